/* What may not be readable on stickers, reported once for all of them. */
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

/* How each kind is reported: as a note or a warning, of connectors or of stickers, and what helps.
 */
static const struct {
	bool note, of_connector;
	const char *hint;
} kinds[LT_DOUBT_COUNT] = {
	[LT_DOUBT_SYMBOL] = { .hint = "try each code with your scanner, or use --payload code, a "
				      "larger label or fewer facts" },
	[LT_DOUBT_NUMBER] = { .hint = "use a larger label, or give --distance if the numbers are "
				      "read from nearer" },
	[LT_DOUBT_WARNING] = { .hint = "use a larger label, or follow the checklist" },
	[LT_DOUBT_BEND] = { .hint = "use a flag label, or type these numbers (loomtag verify "
				    "--typed)" },
	[LT_DOUBT_BUNDLE] = { .of_connector = true,
		.hint = "measure the bundle and give \"bundle:\", or describe the wires and their "
			"size" },
	[LT_DOUBT_CLOSE] = { .of_connector = true,
		.hint = "measure the bundle and give \"bundle:\"" },
	[LT_DOUBT_PARTIAL] = { .note = true,
		.of_connector = true,
		.hint = "describe the wires of the other ways, or measure the bundle and give "
			"\"bundle:\"" },
	[LT_DOUBT_MATE] = { .note = true,
		.hint = "give --layout-m to print the machine half on other labels" },
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
	struct lt_text list = { 0 };
	for (size_t i = 0; i < named; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, entry->numbers[i], entry->sides[i]);
		lt_text_add(&list, i > 0 ? ", " : "");
		if (sides)
			lt_text_add(&list, tag);
		else
			lt_text_printf(&list, "%u", entry->numbers[i]);
	}
	if (entry->count > named)
		lt_text_printf(out, "%s and %zu more", lt_text_string(&list), entry->count - named);
	else
		lt_text_add(out, lt_text_string(&list));
	lt_text_finish(&list);
}

/* What doubts are about. */
struct subject {
	const char *layout;
	double distance;
};

static void write_bundle_doubt(struct lt_text *out, enum lt_doubt doubt, const char *layout,
	size_t count, const char *names)
{
	if (doubt == LT_DOUBT_BUNDLE)
		lt_text_printf(out,
			lt_plural(count,
				"layout %s must suit the bundle, but the bundle of %zu connector "
				"is not known: %s",
				"layout %s must suit the bundle, but the bundles of %zu "
				"connectors are not known: %s"),
			layout, count, names);
	else if (doubt == LT_DOUBT_CLOSE)
		lt_text_printf(out,
			lt_plural(count,
				"layout %s only just suits the computed bundle of %zu connector: %s",
				"layout %s only just suits the computed bundles of %zu "
				"connectors: %s"),
			layout, count, names);
	else
		lt_text_printf(out,
			lt_plural(count,
				"layout %s: the bundle of %zu connector is computed, but some of "
				"its ways have no wires described: %s",
				"layout %s: the bundles of %zu connectors are computed, but some "
				"of their ways have no wires described: %s"),
			layout, count, names);
}

static void write_doubt(struct lt_text *out, enum lt_doubt doubt,
	const struct lt_doubt_entry *entry, const struct subject *subject, const char *names)
{
	double distance = subject->distance;
	const char *layout = subject->layout;
	switch (doubt) {
	case LT_DOUBT_SYMBOL:
		lt_text_printf(out,
			"layout %s: QR codes can only just be read, with modules of %u dots, %.2f "
			"mm: %s",
			layout, entry->dots, -entry->worst, names);
		break;
	case LT_DOUBT_NUMBER:
		lt_text_printf(out,
			"layout %s: numbers of %.1f mm are too small to read at %g mm, which needs "
			"%.1f mm: %s",
			layout, -entry->worst, distance, lt_height_least(distance), names);
		break;
	case LT_DOUBT_WARNING:
		lt_text_printf(out,
			"layout %s: the warning text on some stickers is only %.1f mm high, too "
			"small to read at %g mm, which needs %.1f mm: %s",
			layout, -entry->worst, distance, lt_height_least(distance), names);
		break;
	case LT_DOUBT_BEND:
		lt_text_printf(out,
			"layout %s: QR codes go %.0f degrees round the bundle, too far for the "
			"scanner to see all of them at once: %s",
			layout, entry->worst, names);
		break;
	case LT_DOUBT_BUNDLE:
	case LT_DOUBT_CLOSE:
	case LT_DOUBT_PARTIAL:
		write_bundle_doubt(out, doubt, layout, entry->count, names);
		break;
	case LT_DOUBT_MATE:
		lt_text_printf(out,
			"layout %s: stickers of the machine half are cut for the bundle of the "
			"harness half: %s",
			layout, names);
		break;
	case LT_DOUBT_COUNT:
		break;
	}
}

void lt_doubts_report(const struct lt_doubts *doubts, const struct lt_layout *layout,
	double distance, struct lt_diags *diags)
{
	static const char finer[] = "try each code with your scanner, or use --payload code, a "
				    "larger label or a finer print head";
	const struct subject subject = { layout->name, distance };
	for (enum lt_doubt doubt = 0; doubt < LT_DOUBT_COUNT; doubt++) {
		const struct lt_doubt_entry *entry = &doubts->entries[doubt];
		if (entry->count == 0)
			continue;
		struct lt_text names = { 0 };
		struct lt_text message = { 0 };
		add_names(&names, entry, !kinds[doubt].of_connector);
		write_doubt(&message, doubt, entry, &subject, lt_text_string(&names));
		(kinds[doubt].note ? lt_note : lt_warning)(diags, lt_place_none(), "%s",
			lt_text_string(&message));
		lt_hint(diags, "%s",
			doubt == LT_DOUBT_SYMBOL && layout->dpi > 0 ? finer : kinds[doubt].hint);
		lt_text_finish(&names);
		lt_text_finish(&message);
	}
}
