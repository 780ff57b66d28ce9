/* The label and its zones: plates, flags, wraps. */
#include <math.h>

#include "label/layout_read.h"

#define PI 3.14159265358979323846

static bool read_label(const struct lt_layout_reader *r, const char *example)
{
	return lt_layout_read_pair(r, &r->layout->label_width, &r->layout->label_height, "label",
		example, LT_LAYOUT_SIDE_LEAST);
}

/* Two faces side by side with the loop between, as high as the label. */
static void check_flag(const struct lt_layout_reader *r, double face_height)
{
	const struct lt_layout *layout = r->layout;
	if (!lt_layout_same(face_height, layout->label_height)) {
		lt_error(r->diags, lt_node_get(r->root, "face")->place,
			"the faces are %g mm high, and the label %g mm", face_height,
			layout->label_height);
		lt_hint(r->diags, "faces lie side by side, each as high as the label");
	}
	double sum = 2 * layout->face_width + layout->loop;
	if (!lt_layout_same(sum, layout->label_width)) {
		lt_error(r->diags, lt_node_get(r->root, "face")->place,
			"two faces of %g mm and a loop of %g mm make %g mm, and the label is %g mm "
			"wide",
			layout->face_width, layout->loop, sum, layout->label_width);
		lt_hint(r->diags, "check label, face and loop");
	}
}

static bool read_flag(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	double height = 0;
	if (layout->medium != LT_MEDIUM_TAPE) {
		read_label(r, "70 x 13 mm");
		lt_layout_read_pair(r, &layout->face_width, &height, "face", "25 x 13 mm",
			LT_LAYOUT_SIDE_LEAST);
	}
	lt_layout_read_length(r, &layout->loop, "loop", "20 mm", LT_LAYOUT_SIDE_LEAST, true);
	if (r->diags->errors > before)
		return false;
	if (layout->medium != LT_MEDIUM_TAPE)
		check_flag(r, height);
	return r->diags->errors == before;
}

/* Tells when what goes round a bundle once more does not, whatever the bundle. */
static void check_tail(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	bool down = layout->direction == LT_DOWN || layout->direction == LT_UP;
	double printed = down ? layout->printed_height : layout->printed_width;
	double clear = down ? layout->clear_height : layout->clear_width;
	struct lt_range range = lt_layout_bundles(layout);
	if (range.least < range.most)
		return;
	lt_error(r->diags, lt_node_get(r->root, "clear")->place,
		"the wrap suits no bundle: the printed zone, %g mm, lies flat round %.2f mm and more, "
		"and the clear tail, %g mm, goes round %.2f mm at most",
		printed, range.least, clear, range.most);
	lt_hint(r->diags,
		"along the wrap the clear tail has to be longer than the printed zone by more than "
		"%.2f mm",
		2 * PI * layout->thickness);
}

/* The label that the zones make up, and what is said of it. */
static void check_wrap_label(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	bool down = layout->direction == LT_DOWN || layout->direction == LT_UP;
	double printed = down ? layout->printed_width : layout->printed_height;
	double clear = down ? layout->clear_width : layout->clear_height;
	if (!lt_layout_same(printed, clear)) {
		lt_error(r->diags, lt_node_get(r->root, "clear")->place,
			"the clear tail is %g mm %s, and the printed zone %g mm", clear,
			down ? "wide" : "high", printed);
		lt_hint(r->diags, "across the direction of the wrap they are the same");
		return;
	}
	double width = down ? printed : layout->printed_width + layout->clear_width;
	double height = down ? layout->printed_height + layout->clear_height : printed;
	const struct lt_node *label = lt_node_get(r->root, "label");
	if (label != NULL && (!lt_layout_same(width, layout->label_width) ||
				     !lt_layout_same(height, layout->label_height))) {
		lt_error(r->diags, label->place,
			"the label is %g x %g mm, and its zones make up %g x %g mm",
			layout->label_width, layout->label_height, width, height);
		lt_hint(r->diags, "check printed, clear and direction, or leave label out");
	}
	layout->label_width = width;
	layout->label_height = height;
}

/* Both zones of a tape's wrap lie across its width. */
static void check_wrap_tape(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	const struct lt_node *direction = lt_node_get(r->root, "direction");
	if (direction != NULL && layout->direction != LT_DOWN) {
		lt_error(r->diags, direction->place, "on a tape the clear tail lies down");
		lt_hint(r->diags, "write \"direction: down\", or leave it out");
	}
	double sum = layout->printed_height + layout->clear_height;
	if (layout->label_height > 0 && !lt_layout_same(sum, layout->label_height)) {
		lt_error(r->diags, lt_node_get(r->root, "printed")->place,
			"printed and clear make %g mm, and the tape is %g mm wide", sum,
			layout->label_height);
		lt_hint(r->diags, "check width, printed and clear");
	}
}

static void read_zones(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	if (layout->medium == LT_MEDIUM_TAPE) {
		lt_layout_read_length(r, &layout->printed_height, "printed", "8 mm",
			LT_LAYOUT_SIDE_LEAST, true);
		lt_layout_read_length(r, &layout->clear_height, "clear", "16 mm",
			LT_LAYOUT_SIDE_LEAST, true);
		return;
	}
	lt_layout_read_pair(r, &layout->printed_width, &layout->printed_height, "printed",
		"25 x 13 mm", LT_LAYOUT_SIDE_LEAST);
	lt_layout_read_pair(r, &layout->clear_width, &layout->clear_height, "clear", "25 x 25 mm",
		LT_LAYOUT_SIDE_LEAST);
	if (lt_node_get(r->root, "label") != NULL)
		read_label(r, "25 x 38 mm");
}

static bool read_wrap(const struct lt_layout_reader *r)
{
	/* By enum lt_direction. */
	static const char *const directions[] = { "down", "up", "right", "left" };
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	layout->thickness = LT_FILM_THICKNESS;
	read_zones(r);
	lt_layout_read_length(r, &layout->thickness, "thickness", "0.1 mm", 0, false);
	int direction = lt_layout_read_word(r, "direction", directions,
		sizeof(directions) / sizeof(directions[0]), false);
	if (r->diags->errors > before)
		return false;
	layout->direction = (enum lt_direction)direction;
	if (layout->medium == LT_MEDIUM_TAPE)
		check_wrap_tape(r);
	else
		check_wrap_label(r);
	if (r->diags->errors == before)
		check_tail(r);
	return r->diags->errors == before;
}

bool lt_layout_read_style(const struct lt_layout_reader *r)
{
	switch (r->layout->style) {
	case LT_STYLE_FLAG:
		return read_flag(r);
	case LT_STYLE_WRAP:
		return read_wrap(r);
	case LT_STYLE_PLATE:
		break;
	}
	return r->layout->medium == LT_MEDIUM_TAPE || read_label(r, "70 x 37 mm");
}
