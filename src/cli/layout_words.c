#include <math.h>
#include <string.h>

#include "cli/layout_words.h"

const char *lt_layout_kind(const struct lt_layout *layout)
{
	static const char *const kinds[] = { "sheet", "roll", "tape" };
	return kinds[layout->medium];
}

const char *lt_layout_style(const struct lt_layout *layout)
{
	static const char *const styles[] = { "plate", "flag", "wrap" };
	return styles[layout->style];
}

void lt_layout_size(struct lt_text *out, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_TAPE)
		lt_text_printf(out, "%g mm", layout->label_height);
	else if (layout->style == LT_STYLE_FLAG)
		lt_text_printf(out, "2 x %g x %g mm", layout->face_width, layout->label_height);
	else if (layout->style == LT_STYLE_WRAP)
		lt_text_printf(out, "%g x %g mm", layout->printed_width, layout->printed_height);
	else
		lt_text_printf(out, "%g x %g mm", layout->label_width, layout->label_height);
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
	struct lt_range range = lt_layout_bundles(layout);
	lt_text_add_clean(out, layout->name, strlen(layout->name));
	lt_text_add(out, ": ");
	lt_text_add_clean(out, layout->title, strlen(layout->title));
	lt_text_add_char(out, '\n');
	label_words(out, layout);
	if (layout->style == LT_STYLE_FLAG)
		flag_words(out, layout);
	else if (layout->style == LT_STYLE_WRAP)
		wrap_words(out, layout);
	lt_text_add(out, "  bundles  ");
	lt_range_write(out, &range);
	lt_text_add(out, "\n");
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

/* null where `there` is not so. */
static json_t *number_json(bool there, double value)
{
	return there ? json_real(value) : json_null();
}

static json_t *size_json(bool there, double width, double height)
{
	if (!there)
		return json_null();
	return json_pack("{s:o, s:o}", "width", number_json(width > 0, width), "height",
		number_json(height > 0, height));
}

json_t *lt_layout_json(const struct lt_layout *layout)
{
	/* By enum lt_direction. */
	static const char *const directions[] = { "down", "up", "right", "left" };
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	bool tape = layout->medium == LT_MEDIUM_TAPE;
	bool flag = layout->style == LT_STYLE_FLAG;
	bool wrap = layout->style == LT_STYLE_WRAP;
	struct lt_range range = lt_layout_bundles(layout);
	json_t *object = json_pack("{s:s, s:s, s:s, s:s, s:o, s:f, s:f, s:o}", "name", layout->name,
		"title", layout->title, "kind", lt_layout_kind(layout), "style",
		lt_layout_style(layout), "label",
		size_json(true, layout->label_width, layout->label_height), "inset", layout->inset,
		"corner", layout->corner, "dpi", number_json(layout->dpi > 0, layout->dpi));
	json_object_set_new(object, "labels", json_integer(lt_layout_labels(layout)));
	json_object_set_new(object, "page",
		size_json(sheet, layout->page_width, layout->page_height));
	json_object_set_new(object, "columns", json_integer(layout->columns));
	json_object_set_new(object, "rows", json_integer(layout->rows));
	json_object_set_new(object, "gap",
		number_json(layout->medium == LT_MEDIUM_ROLL, layout->gap));
	json_object_set_new(object, "shortest", number_json(tape, layout->shortest));
	json_object_set_new(object, "longest", number_json(tape, layout->longest));
	json_object_set_new(object, "face",
		size_json(flag, layout->face_width, layout->label_height));
	json_object_set_new(object, "loop", number_json(flag, layout->loop));
	json_object_set_new(object, "printed",
		size_json(wrap, layout->printed_width, layout->printed_height));
	json_object_set_new(object, "clear",
		size_json(wrap, layout->clear_width, layout->clear_height));
	json_object_set_new(object, "direction",
		wrap ? json_string(directions[layout->direction]) : json_null());
	json_object_set_new(object, "thickness", number_json(wrap, layout->thickness));
	json_object_set_new(object, "bundle",
		json_pack("{s:f, s:o}", "least", range.least, "most",
			number_json(!isinf(range.most), range.most)));
	return object;
}
