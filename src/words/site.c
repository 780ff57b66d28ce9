/* The words of the map as web pages. */
#include "loomtag/words.h"

const struct lt_site_words lt_site_words = {
	.all_maps = "Harness maps",
	.scan_or_choose = "Scan a sticker, or choose the harness whose code is on it.",
	.harness = "Harness",
	.unit = "Unit",
	.revision = "Revision",
	.written = "Written",
	.on_this_page = "On this page",
	.other_pages = "Other pages",
	.overview = "Overview",
	.by_number = "By number",
	.by_place = "By place",
	.by_eye = "By eye",
	.wire_list = "Wire list",
	.last_checks = "Last checks",
	.all_harnesses = "All harnesses",
	.overview_how = "The harness as it lies on a board. The lists below say the same in words.",
	.overview_parts = "More parts of the overview, along the harness:",
	.by_eye_how = "These joints have no number and no sticker. Check them by eye.",
	.by_place_how = "Sorted without words such as “behind the”.",
	.no_wire_list = "The description does not say where wires go. Each tag’s page has its "
			"colours.",
	.wire_ends_how = "Each end is a number, a connector and a way.",
	.id_and_kind = "Id, kind",
	.mates_with = "Mates with",
	.is_on = "This half is on",
	.was_on = "This half was on",
	.after = "Make after",
	.number = "number",
	.joint = "joint",
	.joint_and_place = "joint, place",
	.mate = "mates with",
	.wire = "wire",
	.from = "from",
	.to = "to",
	.colour = "colour",
	.size = "size",
	.way = "way",
	.row_by_eye = "by eye",
	.is_here = "is here",
	.is_replaced = "is replaced",
	.not_described = "not described",
	.place_not_described = "place not described",
	.mate_not_described = "not described: find it by the number",
	.harness_half = "harness half",
	.machine_half = "machine half",
	.new_half = "new part’s half",
	.old_half = "old part’s half",
	.one_sticker = "one sticker, no second half",
	.partner = "Sticker of the other half",
	.no_partner = "this joint has only one sticker",
	.mates_with_new = "harness half, mates with the new part",
	.old_part = "Old part.",
	.new_part = "New part.",
	.part_replaced = "The part is replaced.",
	.mates_with_new_part = "This half mates with the new part.",
	.hazard_names_it = "! A hazard names this joint: read it first.",
	.would_also_fit = "Would also fit (check the number):",
	.fit_unknown = "Fit unknown, could fit elsewhere.",
	.check_number = "Check the number.",
	.make_after = "Make this joint after:",
	.front = "Front view, harness half",
	.mirror_of_front = "The other half and the wire side are its mirror image.",
	.mirror_of_picture = "This half is the mirror image of the picture.",
	.handling = "Unlock, facing, seat",
	.previous = "previous",
	.next = "next",
	.do_not_use = "Do not use",
	.earlier_map =
		"This sticker is from an earlier map. Do not use it. Ask for the current map.",
	.now = "The joint is now:",
	.hazards = "Hazards",
	.no_hazards =
		"No hazards are described for this harness. A hazard that is not described can "
		"still kill or injure you. Look before you unplug anything.",
	.make_safe = "Before you unplug anything, make safe:",
	.before_unplugging = "Before you unplug anything",
	.who_isolates = "Where local codes ask for a licence, only licensed people may isolate and "
			"restore.",
	.no_unit = "No unit is described: these tags are the same on every such module.",
};

void lt_site_add_harness(struct lt_text *out, const char *code)
{
	lt_text_printf(out, "Harness %s", code);
}

void lt_site_add_map(struct lt_text *out, const struct lt_harness *harness)
{
	lt_text_printf(out, "Harness %s", harness->harness);
	if (harness->unit != NULL)
		lt_text_printf(out, ", unit %s", harness->unit);
	if (harness->revision != NULL)
		lt_text_printf(out, ", revision %s", harness->revision);
}

void lt_site_add_written(struct lt_text *out, const char *date)
{
	lt_text_printf(out, "Written %s", date);
}

void lt_site_add_overview_alt(struct lt_text *out, size_t part, size_t parts)
{
	lt_text_printf(out, "overview of the harness, part %zu of %zu", part, parts);
}

void lt_site_add_photo_alt(struct lt_text *out, const char *name)
{
	lt_text_printf(out, "photograph of %s", name);
}

void lt_site_add_front_alt(struct lt_text *out, const char *id)
{
	lt_text_printf(out, "Front view of the harness half of %s", id);
}

void lt_site_add_map_of(struct lt_text *out, const char *code)
{
	lt_text_printf(out, "Map of %s", code);
}

void lt_site_add_unnumbered(struct lt_text *out, const char *name)
{
	lt_text_printf(out, "%s (no number, checked by eye)", name);
}

void lt_site_add_wires(struct lt_text *out, const char *size)
{
	if (size[0] != '\0')
		lt_text_printf(out, "Wires, %s each", size);
	else
		lt_text_add(out, "Wires");
}

void lt_site_add_more(struct lt_text *out, size_t more, bool without_number)
{
	lt_text_printf(out, without_number ? "%zu more without a number" : "%zu more", more);
}

void lt_site_add_replaced(struct lt_text *out, const struct lt_tags *tags, size_t connector,
	enum lt_side side)
{
	char h[LT_TAG_SIZE], m[LT_TAG_SIZE], x[LT_TAG_SIZE];
	lt_tag_write(h, tags->number_of[connector], LT_SIDE_H);
	lt_tag_write(m, tags->number_of[connector], LT_SIDE_M);
	lt_tag_write(x, tags->number_of[connector], LT_SIDE_X);
	if (side == LT_SIDE_X)
		lt_text_printf(out,
			"The part with this sticker leaves the machine. Do not reconnect %s to it. "
			"Reconnect %s to %s on the new part.",
			h, h, m);
	else if (side == LT_SIDE_M)
		lt_text_printf(out,
			"On the old part: stick %s. If %s is on the old part, stick %s over it. "
			"On the new part: stick %s in the same place.",
			x, m, x, m);
	else
		lt_text_printf(out,
			"Reconnect %s to %s on the new part. The old part has the sticker %s.", h,
			m, x);
}

void lt_site_add_old_m(struct lt_text *out, unsigned number)
{
	char m[LT_TAG_SIZE], x[LT_TAG_SIZE];
	lt_tag_write(m, number, LT_SIDE_M);
	lt_tag_write(x, number, LT_SIDE_X);
	lt_text_printf(out,
		"There can be an early sticker %s on the old part. If it is there, stick %s over "
		"it. Check which part you have.",
		m, x);
}

void lt_site_add_gone(struct lt_text *out, enum lt_gone why, unsigned number, enum lt_side side)
{
	switch (why) {
	case LT_GONE_UNNUMBERED:
		lt_text_printf(out, "Number %u is no longer on a sticker.", number);
		break;
	case LT_GONE_RETIRED:
		lt_text_printf(out, "Number %u is no longer used. Remove the sticker.", number);
		break;
	case LT_GONE_SIDE:
		lt_text_printf(out, "Number %u has no side %c any more.", number,
			lt_side_letter(side));
		break;
	case LT_GONE_NEVER:
		lt_text_printf(out, "There is no number %u.", number);
		break;
	}
}

void lt_site_add_gone_why(struct lt_text *out, enum lt_gone why, const char *name, const char *code)
{
	switch (why) {
	case LT_GONE_UNNUMBERED:
		lt_text_printf(out,
			"Its joint, %s, has no number any more and is checked by eye in harness "
			"%s.",
			name, code);
		break;
	case LT_GONE_RETIRED:
		lt_text_printf(out, "Its joint is not in harness %s any more.", code);
		break;
	case LT_GONE_SIDE:
		lt_text_printf(out, "There is no such sticker in harness %s.", code);
		break;
	case LT_GONE_NEVER:
		lt_text_printf(out, "No joint in harness %s has it.", code);
		break;
	}
}
