/* The figures behind each sticker, as a table. */
#include <math.h>

#include "loomtag/sheet.h"
#include "loomtag/words.h"

double lt_sticker_code_distance(const struct lt_sticker *sticker)
{
	return LT_READING_WIDTHS * sticker->symbol.plan.modules * sticker->symbol.module;
}

double lt_sticker_number_distance(const struct lt_sticker *sticker)
{
	return sticker->number_height / lt_height_least(1);
}

void lt_explain_sticker(struct lt_text *out, const struct lt_sticker *sticker,
	const struct lt_layout *layout)
{
	char tag[LT_TAG_SIZE];
	char version[8];
	lt_tag_write(tag, sticker->number, sticker->side);
	snprintf(version, sizeof(version), "%u-%c", sticker->symbol.plan.version,
		lt_qr_level_letter(sticker->symbol.plan.level));
	lt_text_printf(out, "%-7s %-14s %-7s %-5s %7u %4u %6.3f mm %6.0f mm %6.2f mm %6.0f mm  ",
		tag, layout->name, lt_payload_name(sticker->symbol.payload), version,
		sticker->symbol.plan.modules, sticker->symbol.dots, sticker->symbol.module,
		lt_sticker_code_distance(sticker), sticker->number_height,
		lt_sticker_number_distance(sticker));
	if (sticker->bundle.diameter > 0)
		lt_text_printf(out, "%.2f mm, ", sticker->bundle.diameter);
	lt_text_add(out, lt_sticker_run_words.bundle_source[sticker->bundle.source]);
	if (sticker->bend > 0) {
		lt_text_add(out, ", ");
		lt_words_figures_bend(out, sticker->bend);
	}
	lt_text_add_char(out, '\n');
}

void lt_explain_foot(struct lt_text *out, double distance)
{
	lt_words_figures_foot(out, distance, lt_height_least(distance),
		lt_height_preferred(distance));
}
