#include "loomtag/label.h"

#define ROUNDING 1e-9

/* True when a bundle that is a little thinner or thicker than was computed would not be suited. */
static bool is_close(const struct lt_bundle *bundle, const struct lt_layout *layout)
{
	struct lt_range range = lt_layout_bundles(layout);
	if (bundle->source != LT_BUNDLE_PACKING && bundle->source != LT_BUNDLE_RULE)
		return false;
	return bundle->diameter * (1 - LT_BUNDLE_DOUBT) < range.least ||
	       bundle->diameter * (1 + LT_BUNDLE_DOUBT) > range.most;
}

unsigned lt_doubts_of(const struct lt_sticker *sticker, const struct lt_layout *layout,
	double distance)
{
	unsigned doubts = 0;
	bool round = layout->style != LT_STYLE_PLATE;
	bool known = sticker->bundle.diameter > 0;
	if (sticker->quality < LT_QUALITY_FAIR)
		doubts |= 1u << LT_DOUBT_SYMBOL;
	if (sticker->number_height < lt_height_least(distance) - ROUNDING)
		doubts |= 1u << LT_DOUBT_NUMBER;
	if (sticker->bend > lt_bend_most(sticker->plan.version) + ROUNDING)
		doubts |= 1u << LT_DOUBT_BEND;
	if (sticker->warning_height > 0 &&
		sticker->warning_height < lt_height_least(distance) - ROUNDING)
		doubts |= 1u << LT_DOUBT_WARNING;
	if (round && !known)
		doubts |= 1u << LT_DOUBT_BUNDLE;
	if (round && known && is_close(&sticker->bundle, layout))
		doubts |= 1u << LT_DOUBT_CLOSE;
	if (round && sticker->bundle.partial)
		doubts |= 1u << LT_DOUBT_PARTIAL;
	if (round && known && sticker->side != LT_SIDE_H)
		doubts |= 1u << LT_DOUBT_MATE;
	return doubts;
}

/* What is worse when it is more, as a number; for the other kinds nothing. */
static double measure_of(enum lt_doubt doubt, const struct lt_sticker *sticker)
{
	switch (doubt) {
	case LT_DOUBT_SYMBOL:
		return -sticker->module;
	case LT_DOUBT_NUMBER:
		return -sticker->number_height;
	case LT_DOUBT_WARNING:
		return -sticker->warning_height;
	case LT_DOUBT_BEND:
		return sticker->bend;
	case LT_DOUBT_BUNDLE:
	case LT_DOUBT_CLOSE:
	case LT_DOUBT_PARTIAL:
	case LT_DOUBT_MATE:
	case LT_DOUBT_COUNT:
		break;
	}
	return 0;
}

/* True for what is of a connector, whichever of its stickers it is. */
static bool is_of_connector(enum lt_doubt doubt)
{
	return doubt == LT_DOUBT_BUNDLE || doubt == LT_DOUBT_CLOSE || doubt == LT_DOUBT_PARTIAL;
}

static void count(struct lt_doubt_entry *entry, enum lt_doubt doubt,
	const struct lt_sticker *sticker)
{
	/* The stickers of a connector follow each other. */
	if (is_of_connector(doubt) && entry->last == sticker->number)
		return;
	double measure = measure_of(doubt, sticker);
	if (entry->count == 0 || measure > entry->worst) {
		entry->worst = measure;
		entry->dots = sticker->dots;
	}
	if (entry->count < LT_DOUBTS_NAMED) {
		entry->numbers[entry->count] = sticker->number;
		entry->sides[entry->count] = sticker->side;
	}
	entry->count++;
	entry->last = sticker->number;
}

void lt_doubts_note(struct lt_doubts *doubts, const struct lt_sticker *sticker,
	const struct lt_layout *layout, double distance)
{
	unsigned found = lt_doubts_of(sticker, layout, distance);
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++) {
		if ((found & 1u << doubt) != 0)
			count(&doubts->entries[doubt], doubt, sticker);
	}
}

/* "3H, 3M, 5H, 5M and 7 more"; numbers alone where it is connectors that are counted. */
static void add_names(struct lt_text *out, const struct lt_doubt_entry *entry, bool sides)
{
	size_t named = entry->count < LT_DOUBTS_NAMED ? entry->count : LT_DOUBTS_NAMED;
	for (size_t i = 0; i < named; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, entry->numbers[i], entry->sides[i]);
		lt_text_add(out, i > 0 ? ", " : "");
		if (sides)
			lt_text_add(out, tag);
		else
			lt_text_printf(out, "%u", entry->numbers[i]);
	}
	if (entry->count > named)
		lt_text_printf(out, " and %zu more", entry->count - named);
}

static void tell(enum lt_doubt doubt, const struct lt_doubt_entry *entry,
	const struct lt_layout *layout, double distance, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	add_names(&text, entry, !is_of_connector(doubt));
	const char *names = lt_text_string(&text);
	struct lt_place nowhere = lt_place_none();
	switch (doubt) {
	case LT_DOUBT_SYMBOL:
		lt_warning(diags, nowhere,
			"layout %s: QR codes with modules of %u dots, %.2f mm, are only just readable: "
			"%s",
			layout->name, entry->dots, -entry->worst, names);
		lt_hint(diags, "try each with your scanner; payload code, a larger label%s help",
			layout->dpi > 0 ? " or a finer head" : " or fewer facts");
		break;
	case LT_DOUBT_NUMBER:
		lt_warning(diags, nowhere,
			"layout %s: numbers of %.1f mm, where reading at %g mm wants %.1f mm: %s",
			layout->name, -entry->worst, distance, lt_height_least(distance), names);
		lt_hint(diags, "take a larger label, or say with --distance from how near they are "
			       "read");
		break;
	case LT_DOUBT_WARNING:
		lt_warning(diags, nowhere,
			"layout %s: what else a plug would fit, or which part is new, is %.1f mm high, "
			"where reading at %g mm wants %.1f mm: %s",
			layout->name, -entry->worst, distance, lt_height_least(distance), names);
		lt_hint(diags, "take a larger label, or go by the checklist");
		break;
	case LT_DOUBT_BEND:
		lt_warning(diags, nowhere,
			"layout %s: QR codes go %.0f degrees round their bundle, too far for one look: "
			"%s",
			layout->name, entry->worst, names);
		lt_hint(diags,
			"take a flag; or go by the number there, and type it (verify --typed)");
		break;
	case LT_DOUBT_BUNDLE:
		lt_warning(diags, nowhere,
			"layout %s has to suit the bundle, which is not known of %zu connector%s: %s",
			layout->name, entry->count, entry->count == 1 ? "" : "s", names);
		lt_hint(diags, "measure it and give \"bundle:\", or give the wires and their size");
		break;
	case LT_DOUBT_CLOSE:
		lt_warning(diags, nowhere,
			"layout %s hardly suits the bundle, as it was computed, of %zu connector%s: %s",
			layout->name, entry->count, entry->count == 1 ? "" : "s", names);
		lt_hint(diags, "measure it and give \"bundle:\"");
		break;
	case LT_DOUBT_PARTIAL:
		lt_note(diags, nowhere,
			"layout %s: the bundle of %zu connector%s is computed from the wires that are "
			"described, fewer than there are ways: %s",
			layout->name, entry->count, entry->count == 1 ? "" : "s", names);
		lt_hint(diags,
			"if the other ways have wires too, describe them, or measure the bundle "
			"and give \"bundle:\"");
		break;
	case LT_DOUBT_MATE:
		lt_note(diags, nowhere,
			"layout %s: stickers of the machine half are cut for the harness half's "
			"bundle: %s",
			layout->name, names);
		lt_hint(diags, "--layout-m gives the machine half labels of its own");
		break;
	case LT_DOUBT_COUNT:
		break;
	}
	lt_text_finish(&text);
}

void lt_doubts_tell(const struct lt_doubts *doubts, const struct lt_layout *layout, double distance,
	struct lt_diags *diags)
{
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++) {
		if (doubts->entries[doubt].count > 0)
			tell(doubt, &doubts->entries[doubt], layout, distance, diags);
	}
}
