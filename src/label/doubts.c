#include "label/sticker.h"

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
	if (sticker->symbol.quality < LT_QUALITY_FAIR)
		doubts |= 1u << LT_DOUBT_SYMBOL;
	if (sticker->number_height < lt_height_least(distance) - ROUNDING)
		doubts |= 1u << LT_DOUBT_NUMBER;
	if (sticker->bend > lt_bend_most(sticker->symbol.plan.version) + ROUNDING)
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
	/* What is worse when it is more; of the other kinds nothing is. */
	const double measures[LT_DOUBT_COUNT] = { [LT_DOUBT_SYMBOL] = -sticker->symbol.module,
		[LT_DOUBT_NUMBER] = -sticker->number_height,
		[LT_DOUBT_WARNING] = -sticker->warning_height,
		[LT_DOUBT_BEND] = sticker->bend };
	double measure = measures[doubt];
	if (entry->count == 0 || measure > entry->worst) {
		entry->worst = measure;
		entry->dots = sticker->symbol.dots;
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

/* What is to be told of one kind. */
struct told {
	enum lt_doubt doubt;
	const struct lt_doubt_entry *entry;
	const char *layout, *names;
	bool head; /* the layout is for a print head */
	double distance;
	struct lt_diags *diags;
};

/* Tells of what is hard to read. */
static void tell_reading(const struct told *t)
{
	const struct lt_place nowhere = lt_place_none();
	double worst = t->entry->worst;
	double least = lt_height_least(t->distance);
	switch (t->doubt) {
	case LT_DOUBT_SYMBOL:
		lt_warning(t->diags, nowhere,
			"layout %s: QR codes with modules of %u dots, %.2f mm, are only just readable: "
			"%s",
			t->layout, t->entry->dots, -worst, t->names);
		lt_hint(t->diags, "try each with your scanner; payload code, a larger label%s help",
			t->head ? " or a finer head" : " or fewer facts");
		break;
	case LT_DOUBT_NUMBER:
		lt_warning(t->diags, nowhere,
			"layout %s: numbers of %.1f mm, where reading at %g mm wants %.1f mm: %s",
			t->layout, -worst, t->distance, least, t->names);
		lt_hint(t->diags,
			"take a larger label, or say with --distance from how near they are "
			"read");
		break;
	case LT_DOUBT_WARNING:
		lt_warning(t->diags, nowhere,
			"layout %s: what else a plug would fit, or which part is new, is %.1f mm high, "
			"where reading at %g mm wants %.1f mm: %s",
			t->layout, -worst, t->distance, least, t->names);
		lt_hint(t->diags, "take a larger label, or go by the checklist");
		break;
	case LT_DOUBT_BEND:
		lt_warning(t->diags, nowhere,
			"layout %s: QR codes go %.0f degrees round their bundle, too far for one look: "
			"%s",
			t->layout, worst, t->names);
		lt_hint(t->diags,
			"take a flag; or go by the number there, and type it (verify --typed)");
		break;
	case LT_DOUBT_BUNDLE:
	case LT_DOUBT_CLOSE:
	case LT_DOUBT_PARTIAL:
	case LT_DOUBT_MATE:
	case LT_DOUBT_COUNT:
		break;
	}
}

/* Tells of what does not quite suit the bundle. */
static void tell_bundle(const struct told *t)
{
	const struct lt_place nowhere = lt_place_none();
	size_t count = t->entry->count;
	const char *plural = count == 1 ? "" : "s";
	switch (t->doubt) {
	case LT_DOUBT_BUNDLE:
		lt_warning(t->diags, nowhere,
			"layout %s has to suit the bundle, which is not known of %zu connector%s: %s",
			t->layout, count, plural, t->names);
		lt_hint(t->diags,
			"measure it and give \"bundle:\", or give the wires and their size");
		break;
	case LT_DOUBT_CLOSE:
		lt_warning(t->diags, nowhere,
			"layout %s hardly suits the bundle, as it was computed, of %zu connector%s: %s",
			t->layout, count, plural, t->names);
		lt_hint(t->diags, "measure it and give \"bundle:\"");
		break;
	case LT_DOUBT_PARTIAL:
		lt_note(t->diags, nowhere,
			"layout %s: the bundle of %zu connector%s is computed from the wires that are "
			"described, fewer than there are ways: %s",
			t->layout, count, plural, t->names);
		lt_hint(t->diags,
			"if the other ways have wires too, describe them, or measure the bundle "
			"and give \"bundle:\"");
		break;
	case LT_DOUBT_MATE:
		lt_note(t->diags, nowhere,
			"layout %s: stickers of the machine half are cut for the harness half's "
			"bundle: %s",
			t->layout, t->names);
		lt_hint(t->diags, "--layout-m gives the machine half labels of its own");
		break;
	case LT_DOUBT_SYMBOL:
	case LT_DOUBT_NUMBER:
	case LT_DOUBT_WARNING:
	case LT_DOUBT_BEND:
	case LT_DOUBT_COUNT:
		break;
	}
}

void lt_doubts_tell(const struct lt_doubts *doubts, const struct lt_layout *layout, double distance,
	struct lt_diags *diags)
{
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++) {
		const struct lt_doubt_entry *entry = &doubts->entries[doubt];
		struct lt_text names = { 0 };
		if (entry->count == 0)
			continue;
		add_names(&names, entry, !is_of_connector(doubt));
		const struct told told = { doubt, entry, layout->name, lt_text_string(&names),
			layout->dpi > 0, distance, diags };
		tell_reading(&told);
		tell_bundle(&told);
		lt_text_finish(&names);
	}
}
