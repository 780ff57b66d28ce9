/* The words of the map on paper: its pages, hazards, overview. */
#include <string.h>

#include "loomtag/words.h"

#define DASH "\xE2\x80\x93"
#define ARROW "\xE2\x86\x92"

const struct lt_map_words lt_map_words = {
	.title = "Harness map",
	.overview = "Overview",
	.hazards = "Hazards",
	.hazards_how = "Live or stored energy can kill or injure you. Do this for each energy, in "
		       "this order: isolate it, release what is stored, prove that it is dead. "
		       "Then unplug. Restore last.",
	.views_and_codes =
		"Front views show the mating face of the harness half. The other half and the "
		"wire side are mirror images. The QR codes of this map only open it. To check a "
		"pair, scan the two stickers on the joint.",
	.on_paper = "on paper",
	.no_number = "no number",
	.new_part = "NEW PART",
	.cover_or_clip = "cover or clip",
	.trunk = "trunk",
	.to_scale = "to scale",
	.not_to_scale = "not to scale",
	.after = "after",
	.after_means = "joints that must be made first",
	.framed = "framed number",
	.framed_means = "no sticker, the number is only on paper",
	.dashed = "dashed branch",
	.dashed_means = "its place on the trunk is not described",
	.unknown_means = "fit unknown, could fit elsewhere",
	.hazard_means =
		"a hazard names this joint, read that hazard first; a joint without ! can hurt "
		"you too",
	.by_eye_means = "no number, checked by eye",
	.more = "more",
};

void lt_map_add_heading(struct lt_text *out, const char *page)
{
	lt_text_printf(out, "Harness map: %s", page);
}

void lt_map_add_connectors(struct lt_text *out, unsigned first, unsigned last)
{
	if (first == 0)
		lt_text_add(out, "Connectors without a number");
	else if (first == last)
		lt_text_printf(out, "Connector %u", first);
	else
		lt_text_printf(out, "Connectors %u to %u", first, last);
}

void lt_map_add_facts(struct lt_text *out, const struct lt_harness *harness, const char *date,
	bool unsaved)
{
	static const char between[] = "   ";
	if (harness->unit != NULL)
		lt_text_printf(out, "unit %s%s", harness->unit, between);
	else if (!harness->own_unit)
		lt_text_printf(out, "no unit%s", between);
	if (harness->revision != NULL)
		lt_text_printf(out, "revision %s", harness->revision);
	else
		lt_text_add(out, "revision not described");
	lt_text_add(out, between);
	lt_text_add(out, date != NULL ? date : "date ____________");
	if (unsaved) {
		lt_text_add(out, between);
		lt_text_add(out, "NUMBERS NOT SAVED YET: they can change");
	}
}

/* "DANGER: mains 230 V; spring". */
static void add_names(struct lt_text *out, const struct lt_harness *harness, const char *between)
{
	for (size_t i = 0; i < harness->hazard_count; i++) {
		if (i > 0)
			lt_text_add(out, between);
		lt_hazard_add(out, &harness->hazards[i]);
	}
}

void lt_map_add_energies(struct lt_text *out, const struct lt_harness *harness, size_t page)
{
	struct lt_text names = { 0 };
	add_names(&names, harness, "; ");
	lt_text_printf(out, "Before you unplug anything, make safe (see page %zu): %s", page,
		lt_text_string(&names));
	lt_text_finish(&names);
}

void lt_map_add_energy_count(struct lt_text *out, size_t hazards, size_t page)
{
	lt_text_printf(out,
		lt_plural(hazards,
			"%zu hazard: before you unplug anything, make it safe (see page %zu)",
			"%zu hazards: before you unplug anything, make them safe (see page %zu)"),
		hazards, page);
}

void lt_overview_add_energies(struct lt_text *out, const struct lt_harness *harness, size_t page)
{
	struct lt_text names = { 0 };
	add_names(&names, harness, " " DASH " ");
	lt_text_printf(out,
		lt_plural(harness->hazard_count,
			"%zu HAZARD: before you unplug anything, make it safe (see page %zu): " DASH
			" %s",
			"%zu HAZARDS: before you unplug anything, make them safe (see page %zu): " DASH
			" %s"),
		harness->hazard_count, page, lt_text_string(&names));
	lt_text_finish(&names);
}

void lt_overview_add_energy_count(struct lt_text *out, size_t hazards, size_t page)
{
	lt_text_printf(out,
		lt_plural(hazards,
			"%zu HAZARD: before you unplug anything, make it safe (see page %zu)",
			"%zu HAZARDS: before you unplug anything, make them safe (see page %zu)"),
		hazards, page);
}

void lt_overview_add_steps(struct lt_text *out, const struct lt_hazard *hazard)
{
	if (hazard->harm != NULL)
		lt_text_printf(out, "%s: %s " DASH " ", lt_hazard_words.harm, hazard->harm);
	for (size_t i = 0; i < LT_HAZARD_STEPS; i++)
		lt_text_printf(out, i == 0 ? "%s: %s" : " " DASH " %s: %s", lt_hazard_step_name(i),
			lt_hazard_step(hazard, i));
}

void lt_overview_add_group(struct lt_text *out, const char *numbers)
{
	lt_text_printf(out, "%s: each would also fit the mates of the others", numbers);
}

void lt_overview_add_some(struct lt_text *out, const char *list, bool whole)
{
	lt_text_printf(out,
		whole ? "some would also fit other mates: %s"
		      : "some would also fit other mates: %s; see the connector pages",
		list);
}

void lt_overview_add_more(struct lt_text *out, const char *numbers, size_t more)
{
	lt_text_printf(out, "%s and %zu more", numbers, more);
}

/* A port that is a number would be taken for a joint's. */
static bool is_number(const char *port)
{
	port += strspn(port, " ");
	return *port >= '0' && *port <= '9';
}

void lt_overview_add_port(struct lt_text *out, const char *id, const char *port)
{
	if (id != NULL)
		lt_text_printf(out, is_number(port) ? "%s " ARROW " port %s" : "%s " ARROW " %s",
			id, port);
	else
		lt_text_printf(out, is_number(port) ? ARROW " port %s" : ARROW " %s", port);
}

void lt_overview_add_place(struct lt_text *out, double mm)
{
	lt_text_printf(out, "at %.7g mm", mm);
}

void lt_overview_add_lists_left(struct lt_text *out, size_t lists)
{
	lt_text_printf(out,
		lt_plural(lists, "%zu list has no room here; see “loomtag check”",
			"%zu lists have no room here; see “loomtag check”"),
		lists);
}

void lt_overview_add_page(struct lt_text *out, size_t page, bool before)
{
	lt_text_printf(out, before ? "from page %zu" : "to page %zu", page);
}

void lt_overview_add_boxes(struct lt_text *out, size_t boxes)
{
	lt_text_printf(out, "same part, %zu boxes", boxes);
}
