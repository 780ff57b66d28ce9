/* The description of a layout for people to read. */
#include <string.h>

#include "loomtag/label.h"
#include "loomtag/words.h"

#define NAME_COLUMNS 9u

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

/* Adds a line, "  label    70 x 37 mm", and empties `value`. */
static void add_line(struct lt_text *out, const char *name, struct lt_text *value)
{
	size_t columns = lt_utf8_columns(name);
	lt_text_printf(out, "  %s", name);
	lt_text_add_times(out, ' ', columns < NAME_COLUMNS ? NAME_COLUMNS - columns : 1);
	lt_text_printf(out, "%s\n", lt_text_string(value));
	lt_text_finish(value);
}

static void add_label(struct lt_text *out, const struct lt_layout *layout)
{
	struct lt_text value = { 0 };
	if (layout->medium == LT_MEDIUM_TAPE) {
		lt_words_tape_width(&value, layout->label_height);
		add_line(out, lt_layout_words.tape, &value);
	} else {
		lt_text_printf(&value, "%g x %g mm", layout->label_width, layout->label_height);
		add_line(out, lt_layout_words.label, &value);
	}
	lt_words_not_printed(&value, layout->inset);
	add_line(out, lt_layout_words.edge, &value);
	if (layout->corner > 0) {
		lt_words_corner_radius(&value, layout->corner);
		add_line(out, lt_layout_words.corners, &value);
	}
	if (layout->medium == LT_MEDIUM_TAPE) {
		lt_words_face_length(&value, layout->shortest, layout->longest);
		add_line(out, lt_layout_words.length, &value);
	}
}

static void add_flag(struct lt_text *out, const struct lt_layout *layout)
{
	struct lt_text value = { 0 };
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_words_tape_flag(&value, layout->loop);
	else
		lt_words_flag(&value, layout->face_width, layout->label_height, layout->loop);
	add_line(out, lt_layout_words.flag, &value);
}

/* Where the clear tail lies. */
static const char *tail_place(enum lt_direction direction)
{
	switch (direction) {
	case LT_UP:
		return lt_layout_words.tail_above;
	case LT_RIGHT:
		return lt_layout_words.tail_right;
	case LT_LEFT:
		return lt_layout_words.tail_left;
	case LT_DOWN:
		break;
	}
	return lt_layout_words.tail_below;
}

/* A tape's zones are as long as the text. */
static void add_zone(struct lt_text *value, bool tape, double width, double height)
{
	if (tape)
		lt_text_printf(value, "%g mm", height);
	else
		lt_text_printf(value, "%g x %g mm", width, height);
}

static void add_wrap(struct lt_text *out, const struct lt_layout *layout)
{
	struct lt_text value = { 0 };
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	add_zone(&value, tape, layout->printed_width, layout->printed_height);
	add_line(out, lt_layout_words.printed, &value);
	add_zone(&value, tape, layout->clear_width, layout->clear_height);
	lt_text_printf(&value, ", %s", tail_place(layout->direction));
	add_line(out, lt_layout_words.clear, &value);
	lt_words_film(&value, layout->thickness);
	add_line(out, lt_layout_words.film, &value);
}

static void add_medium(struct lt_text *out, const struct lt_layout *layout)
{
	struct lt_text value = { 0 };
	if (layout->medium == LT_MEDIUM_SHEET) {
		const struct lt_sheet_figures sheet = { layout->page_width, layout->page_height,
			layout->columns, layout->rows, layout->first_x, layout->first_y,
			layout->pitch_x, layout->pitch_y };
		lt_words_sheet(&value, &sheet);
		add_line(out, lt_layout_words.sheet, &value);
		if (layout->cut == LT_CUT_LINES) {
			lt_text_add(&value, lt_layout_words.cut_lines);
			add_line(out, lt_layout_words.cut, &value);
		}
	} else if (layout->medium == LT_MEDIUM_ROLL) {
		lt_words_label_gap(&value, layout->gap);
		add_line(out, lt_layout_words.gap, &value);
	}
	if (layout->dpi > 0) {
		lt_text_printf(&value, "%g dpi", layout->dpi);
		add_line(out, lt_layout_words.head, &value);
	}
}

void lt_layout_describe(struct lt_text *out, const struct lt_layout *layout)
{
	char bundles[LT_BUNDLES_SIZE];
	struct lt_text value = { 0 };
	lt_text_add_clean(out, layout->name, strlen(layout->name));
	lt_text_add(out, ": ");
	lt_text_add_clean(out, layout->title, strlen(layout->title));
	lt_text_add_char(out, '\n');
	add_label(out, layout);
	if (layout->style == LT_STYLE_FLAG)
		add_flag(out, layout);
	else if (layout->style == LT_STYLE_WRAP)
		add_wrap(out, layout);
	lt_text_add(&value, lt_layout_bundle_words(bundles, layout));
	add_line(out, lt_layout_words.bundles, &value);
	add_medium(out, layout);
}
