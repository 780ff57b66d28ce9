/* What may not be read on a sticker, told once for all that have it. */
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
	bool round = layout->style != LT_STYLE_PLATE;
	bool known = sticker->bundle.diameter > 0;
	double least = lt_height_least(distance) - ROUNDING;
	const bool found[LT_DOUBT_COUNT] = {
		[LT_DOUBT_SYMBOL] = sticker->symbol.quality < LT_QUALITY_FAIR,
		[LT_DOUBT_NUMBER] =
			sticker->number_height<least, [LT_DOUBT_WARNING] =
							      sticker->warning_height> 0 &&
			sticker->warning_height<least, [LT_DOUBT_BEND] = sticker->bend>
					lt_bend_most(sticker->symbol.plan.version) +
				ROUNDING,
		[LT_DOUBT_BUNDLE] = round && !known,
		[LT_DOUBT_CLOSE] = round && known && is_close(&sticker->bundle, layout),
		[LT_DOUBT_PARTIAL] = round && sticker->bundle.partial,
		[LT_DOUBT_MATE] = round && known && sticker->side != LT_SIDE_H,
	};
	unsigned doubts = 0;
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++)
		doubts |= (unsigned)found[doubt] << doubt;
	return doubts;
}

/* How each kind is told: as a note or a warning, of connectors or of stickers, and what would help.
 */
static const struct {
	bool note, of_connector;
	const char *help;
} kinds[LT_DOUBT_COUNT] = {
	[LT_DOUBT_SYMBOL] = { .help = "try each with your scanner; payload code, a larger label or "
				      "fewer facts help" },
	[LT_DOUBT_NUMBER] = { .help = "take a larger label, or say with --distance from how near "
				      "they are read" },
	[LT_DOUBT_WARNING] = { .help = "take a larger label, or go by the checklist" },
	[LT_DOUBT_BEND] = { .help = "take a flag; or go by the number there, and type it (verify "
				    "--typed)" },
	[LT_DOUBT_BUNDLE] = { .of_connector = true,
		.help = "measure it and give \"bundle:\", or give the wires and their size" },
	[LT_DOUBT_CLOSE] = { .of_connector = true, .help = "measure it and give \"bundle:\"" },
	[LT_DOUBT_PARTIAL] = { .note = true,
		.of_connector = true,
		.help = "if the other ways have wires too, describe them, or measure the bundle and "
			"give \"bundle:\"" },
	[LT_DOUBT_MATE] = { .note = true,
		.help = "--layout-m gives the machine half labels of its own" },
};

static void count(struct lt_doubt_entry *entry, enum lt_doubt doubt,
	const struct lt_sticker *sticker)
{
	/* The stickers of a connector follow each other. */
	if (kinds[doubt].of_connector && entry->last == sticker->number)
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

/* Adds what is to be told, behind the name of the layout. */
static void add_words(struct lt_text *out, enum lt_doubt doubt, const struct lt_doubt_entry *entry,
	double distance)
{
	double least = lt_height_least(distance);
	const char *plural = entry->count == 1 ? "" : "s";
	switch (doubt) {
	case LT_DOUBT_SYMBOL:
		lt_text_printf(out,
			": QR codes with modules of %u dots, %.2f mm, are only just readable",
			entry->dots, -entry->worst);
		break;
	case LT_DOUBT_NUMBER:
		lt_text_printf(out, ": numbers of %.1f mm, where reading at %g mm wants %.1f mm",
			-entry->worst, distance, least);
		break;
	case LT_DOUBT_WARNING:
		lt_text_printf(out,
			": what else a plug would fit, or which part is new, is %.1f mm high, where "
			"reading at %g mm wants %.1f mm",
			-entry->worst, distance, least);
		break;
	case LT_DOUBT_BEND:
		lt_text_printf(out,
			": QR codes go %.0f degrees round their bundle, too far for one look",
			entry->worst);
		break;
	case LT_DOUBT_BUNDLE:
		lt_text_printf(out,
			" has to suit the bundle, which is not known of %zu connector%s",
			entry->count, plural);
		break;
	case LT_DOUBT_CLOSE:
		lt_text_printf(out,
			" hardly suits the bundle, as it was computed, of %zu connector%s",
			entry->count, plural);
		break;
	case LT_DOUBT_PARTIAL:
		lt_text_printf(out,
			": the bundle of %zu connector%s is computed from the wires that are "
			"described, fewer than there are ways",
			entry->count, plural);
		break;
	case LT_DOUBT_MATE:
		lt_text_add(out,
			": stickers of the machine half are cut for the harness half's bundle");
		break;
	case LT_DOUBT_COUNT:
		break;
	}
}

void lt_doubts_tell(const struct lt_doubts *doubts, const struct lt_layout *layout, double distance,
	struct lt_diags *diags)
{
	static const char finer[] = "try each with your scanner; payload code, a larger label or a "
				    "finer head help";
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++) {
		const struct lt_doubt_entry *entry = &doubts->entries[doubt];
		if (entry->count == 0)
			continue;
		struct lt_text words = { 0 };
		add_words(&words, doubt, entry, distance);
		lt_text_add(&words, ": ");
		add_names(&words, entry, !kinds[doubt].of_connector);
		(kinds[doubt].note ? lt_note : lt_warning)(diags, lt_place_none(), "layout %s%s",
			layout->name, lt_text_string(&words));
		lt_hint(diags, "%s",
			doubt == LT_DOUBT_SYMBOL && layout->dpi > 0 ? finer : kinds[doubt].help);
		lt_text_finish(&words);
	}
}
