/* Layouts in words. */
#include <string.h>

#include "loomtag/label.h"

const char *lt_layout_size(struct lt_arena *arena, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_TAPE)
		return lt_arena_printf(arena, "%g mm", layout->label_height);
	if (layout->style == LT_STYLE_FLAG)
		return lt_arena_printf(arena, "2 x %g x %g mm", layout->face_width,
			layout->label_height);
	if (layout->style == LT_STYLE_WRAP)
		return lt_arena_printf(arena, "%g x %g mm", layout->printed_width,
			layout->printed_height);
	return lt_arena_printf(arena, "%g x %g mm", layout->label_width, layout->label_height);
}

/* The label as a whole. */
static void label_words(struct lt_text *out, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out, "  tape     %g mm wide", layout->label_height);
	else
		lt_text_printf(out, "  label    %g x %g mm", layout->label_width,
			layout->label_height);
	lt_text_printf(out, ", unprintable edge %g mm", layout->inset);
	if (layout->corner > 0)
		lt_text_printf(out, ", corners of %g mm", layout->corner);
	lt_text_add(out, "\n");
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out,
			"  length   of a face %g to %g mm, as short as what is printed on it allows\n",
			layout->shortest, layout->longest);
}

static void flag_words(struct lt_text *out, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out,
			"  flag     two faces side by side, between them the loop that the bundle "
			"needs (%g mm where it is not known)\n",
			layout->loop);
	else
		lt_text_printf(out,
			"  flag     two faces of %g x %g mm side by side, between them a loop of "
			"%g mm\n",
			layout->face_width, layout->label_height, layout->loop);
}

static void wrap_words(struct lt_text *out, const struct lt_layout *layout)
{
	/* By enum lt_direction. */
	static const char *const sides[] = { "below it", "above it", "to its right",
		"to its left" };
	const char *side = sides[layout->direction];
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out, "  wrap     printed zone %g mm, clear tail %g mm %s",
			layout->printed_height, layout->clear_height, side);
	else
		lt_text_printf(out, "  wrap     printed zone %g x %g mm, clear tail %g x %g mm %s",
			layout->printed_width, layout->printed_height, layout->clear_width,
			layout->clear_height, side);
	lt_text_printf(out, ", film %g mm thick\n", layout->thickness);
}

void lt_layout_words(struct lt_text *out, const struct lt_layout *layout)
{
	char bundles[LT_BUNDLES_SIZE];
	lt_text_add_clean(out, layout->name, strlen(layout->name));
	lt_text_add(out, ": ");
	lt_text_add_clean(out, layout->title, strlen(layout->title));
	lt_text_add_char(out, '\n');
	label_words(out, layout);
	if (layout->style == LT_STYLE_FLAG)
		flag_words(out, layout);
	else if (layout->style == LT_STYLE_WRAP)
		wrap_words(out, layout);
	lt_text_printf(out, "  bundles  %s\n", lt_layout_bundle_words(bundles, layout));
	if (layout->medium == LT_MEDIUM_SHEET)
		lt_text_printf(out,
			"  sheet    %g x %g mm, %u x %u labels, first at %g, %g mm, pitch %g x %g mm\n",
			layout->page_width, layout->page_height, layout->columns, layout->rows,
			layout->first_x, layout->first_y, layout->pitch_x, layout->pitch_y);
	else if (layout->medium == LT_MEDIUM_ROLL)
		lt_text_printf(out, "  roll     %g mm between labels\n", layout->gap);
	if (layout->dpi > 0)
		lt_text_printf(out, "  head     %g dpi\n", layout->dpi);
}
