/* Checks the sizes of a layout against each other, and warns of layouts that are valid but of
 * little use: what a printer leaves blank, and what has no room. */
#include <math.h>

#include "label/layout.h"
#include "label/shape.h"

#define PI 3.14159265358979323846

/* A rounded corner of radius r cuts the square corner of the printable area unless the inset is at
 * least r x (1 - 1/sqrt 2). */
#define CORNER_CUT 0.2929

/* True when two sizes that ought to be the same are. */
static bool same_size(double a, double b)
{
	/* A difference that is exactly the slack may come out a rounding error above it. */
	return fabs(a - b) <= LT_LAYOUT_SLACK + 1e-9;
}

static struct lt_place place_of(const struct lt_layout_reader *r, const char *key)
{
	return lt_node_get(r->root, key)->place;
}

void lt_layout_check_faces(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	if (layout->shortest <= layout->longest)
		return;
	/* One of them at least was written: the assumed ones are valid together. */
	bool shortest = lt_node_get(r->root, "shortest") != NULL;
	bool longest = lt_node_get(r->root, "longest") != NULL;
	lt_error(r->diags, place_of(r, longest ? "longest" : "shortest"),
		"the shortest face of %g mm is longer than the longest of %g mm", layout->shortest,
		layout->longest);
	if (shortest && longest)
		lt_hint(r->diags, "swap the two");
	else if (longest)
		lt_hint(r->diags, "give \"shortest\" too. If it is missing, it is %g mm",
			LT_TAPE_SHORTEST);
	else
		lt_hint(r->diags, "give \"longest\" too. If it is missing, it is %g mm",
			LT_TAPE_LONGEST);
}

/* Two faces side by side with the loop between, as high as the label. */
static void check_flag(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	if (!same_size(layout->face_height, layout->label_height)) {
		lt_error(r->diags, place_of(r, "face"),
			"the faces are %g mm high, but the label is %g mm high",
			layout->face_height, layout->label_height);
		lt_hint(r->diags, "make the faces as high as the label: they lie side by side");
	}
	double sum = 2 * layout->face_width + layout->loop;
	if (!same_size(sum, layout->label_width)) {
		lt_error(r->diags, place_of(r, "face"),
			"two faces of %g mm and a loop of %g mm are %g mm together, but the label is "
			"%g mm wide",
			layout->face_width, layout->loop, sum, layout->label_width);
		lt_hint(r->diags, "check \"label\", \"face\" and \"loop\"");
	}
}

/* The label that the zones of a wrap make up, against the one that is given. */
static void check_wrap_label(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	bool down = lt_winds_down(layout);
	double printed = down ? layout->printed_width : layout->printed_height;
	double clear = down ? layout->clear_width : layout->clear_height;
	if (!same_size(printed, clear)) {
		if (down)
			lt_error(r->diags, place_of(r, "clear"),
				"the clear tail is %g mm wide, but the printed zone is %g mm wide",
				clear, printed);
		else
			lt_error(r->diags, place_of(r, "clear"),
				"the clear tail is %g mm high, but the printed zone is %g mm high",
				clear, printed);
		lt_hint(r->diags, "make both the same across the direction of the wrap");
		return;
	}
	double width = down ? printed : layout->printed_width + layout->clear_width;
	double height = down ? layout->printed_height + layout->clear_height : printed;
	if (lt_node_get(r->root, "label") != NULL &&
		(!same_size(width, layout->label_width) ||
			!same_size(height, layout->label_height))) {
		lt_error(r->diags, place_of(r, "label"),
			"the label is %g x %g mm, but its zones are %g x %g mm together",
			layout->label_width, layout->label_height, width, height);
		lt_hint(r->diags,
			"check \"printed\", \"clear\" and \"direction\", or leave out \"label\"");
	}
	layout->label_width = width;
	layout->label_height = height;
}

/* Both zones of a tape's wrap lie across its width. */
static void check_wrap_tape(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	if (layout->direction != LT_DOWN) {
		lt_error(r->diags, place_of(r, "direction"), "direction must be down on a tape");
		lt_hint(r->diags, "write \"direction: down\" or remove the line");
	}
	double sum = layout->printed_height + layout->clear_height;
	if (layout->label_height > 0 && !same_size(sum, layout->label_height)) {
		lt_error(r->diags, place_of(r, "printed"),
			"\"printed\" and \"clear\" are %g mm together, but the tape is %g mm wide",
			sum, layout->label_height);
		lt_hint(r->diags, "check \"width\", \"printed\" and \"clear\"");
	}
}

/* Reports a clear tail that is too short to go round any bundle that the printed zone suits. */
static void check_tail(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	bool down = lt_winds_down(layout);
	struct lt_range range = lt_layout_bundles(layout);
	if (range.least < range.most)
		return;
	lt_error(r->diags, place_of(r, "clear"),
		"the wrap suits no bundle: the printed zone of %g mm needs at least %.2f mm, the clear "
		"tail of %g mm goes round at most %.2f mm",
		down ? layout->printed_height : layout->printed_width, range.least,
		down ? layout->clear_height : layout->clear_width, range.most);
	lt_hint(r->diags,
		"make the clear tail more than %.2f mm longer than the printed zone, along the wrap",
		2 * PI * layout->thickness);
}

void lt_layout_check_label(const struct lt_layout_reader *r)
{
	size_t before = r->diags->errors;
	bool tape = r->layout->medium == LT_MEDIUM_TAPE;
	switch (r->layout->style) {
	case LT_STYLE_PLATE:
		break;
	case LT_STYLE_FLAG:
		if (!tape)
			check_flag(r);
		break;
	case LT_STYLE_WRAP:
		if (tape)
			check_wrap_tape(r);
		else
			check_wrap_label(r);
		if (r->diags->errors == before)
			check_tail(r);
		break;
	}
}

static void hint_size(const struct lt_layout_reader *r, enum lt_style style,
	const struct lt_zone *face)
{
	switch (style) {
	case LT_STYLE_PLATE:
		lt_hint(r->diags, "the label is %g x %g mm", face->width, face->height);
		break;
	case LT_STYLE_FLAG:
		lt_hint(r->diags, "a face is %g x %g mm", face->width, face->height);
		break;
	case LT_STYLE_WRAP:
		lt_hint(r->diags, "the printed zone is %g x %g mm", face->width, face->height);
		break;
	}
}

/* Edge and corners of a label whose size is known. Zones that are printed on have edges of their
 * own. */
void lt_layout_check_edge(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, layout->shortest, 0);
	const struct lt_zone *face = &shape.faces[0];
	if (fmin(face->width, face->height) - 2 * layout->inset < 1) {
		lt_error(r->diags, place_of(r, "inset"),
			"an inset of %g mm leaves nothing to print on", layout->inset);
		hint_size(r, layout->style, face);
	} else if (layout->corner * CORNER_CUT > layout->inset + LT_LAYOUT_SLACK) {
		lt_error(r->diags, place_of(r, "corner"),
			"corners of %g mm cut into what is printed", layout->corner);
		lt_hint(r->diags, "with these corners, make the inset at least %.2f mm",
			layout->corner * CORNER_CUT);
	}
}

/* The labels of a page, along one of its sides. */
struct axis {
	bool down;
	unsigned count;
	double first, pitch, label, page;
};

/* Reports labels that overlap or run off the page. */
static void check_axis(const struct lt_layout_reader *r, const struct axis *axis)
{
	if (axis->count > 1 && axis->pitch < axis->label - LT_LAYOUT_SLACK) {
		if (axis->down)
			lt_error(r->diags, place_of(r, "pitch"),
				"the labels overlap: they are %g mm high, but the pitch is %g mm",
				axis->label, axis->pitch);
		else
			lt_error(r->diags, place_of(r, "pitch"),
				"the labels overlap: they are %g mm wide, but the pitch is %g mm",
				axis->label, axis->pitch);
		lt_hint(r->diags,
			"measure the pitch from the edge of one label to the same edge of "
			"the next");
		return;
	}
	double end = axis->first + (axis->count - 1) * axis->pitch + axis->label;
	if (end > axis->page + LT_LAYOUT_SLACK) {
		if (axis->down)
			lt_error(r->diags, place_of(r, "grid"),
				lt_plural(axis->count,
					"the grid is larger than the page: %u row ends at %g mm, but the "
					"page is %g mm high",
					"the grid is larger than the page: %u rows end at %g mm, but the "
					"page is %g mm high"),
				axis->count, end, axis->page);
		else
			lt_error(r->diags, place_of(r, "grid"),
				lt_plural(axis->count,
					"the grid is larger than the page: %u column ends at %g mm, but "
					"the page is %g mm wide",
					"the grid is larger than the page: %u columns end at %g mm, but "
					"the page is %g mm wide"),
				axis->count, end, axis->page);
		lt_hint(r->diags, "check \"grid\", \"first\", \"pitch\", \"label\" and \"page\"");
	}
}

void lt_layout_check_grid(const struct lt_layout_reader *r)
{
	const struct lt_layout *l = r->layout;
	const struct axis columns = { false, l->columns, l->first_x, l->pitch_x, l->label_width,
		l->page_width };
	const struct axis rows = { true, l->rows, l->first_y, l->pitch_y, l->label_height,
		l->page_height };
	check_axis(r, &columns);
	check_axis(r, &rows);
}

/* What is doubted. */
struct doubter {
	const struct lt_layout *layout;
	const struct lt_node *root;
	const struct lt_measure *measure;
	struct lt_diags *diags;
};

/* Where the size of what is printed on is given. */
static struct lt_place size_place(const struct doubter *d)
{
	static const char *const keys[] = { "face", "printed", "label", "width" };
	for (size_t i = 0; i < sizeof(keys) / sizeof(keys[0]); i++) {
		const struct lt_node *node = lt_node_get(d->root, keys[i]);
		if (node != NULL)
			return node->place;
	}
	return d->root->place;
}

/* What is printed on of a label, from its left top corner: all of its faces, without the inset. */
static struct lt_zone printed_part(const struct lt_layout *layout)
{
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, layout->shortest, 0);
	const struct lt_zone *first = &shape.faces[0];
	const struct lt_zone *last = &shape.faces[shape.face_count - 1];
	double inset = layout->inset;
	return (struct lt_zone){ first->x + inset, first->y + inset,
		last->x + last->width - first->x - 2 * inset, first->height - 2 * inset };
}

static void doubt_page(const struct doubter *d)
{
	const struct lt_layout *layout = d->layout;
	struct lt_zone part = printed_part(layout);
	double last_x, last_y;
	lt_layout_position(&last_x, &last_y, layout, lt_layout_labels(layout) - 1);
	const struct {
		const char *name;
		double blank;
	} edges[] = {
		{ "left", layout->first_x + part.x },
		{ "top", layout->first_y + part.y },
		{ "right", layout->page_width - (last_x + part.x + part.width) },
		{ "bottom", layout->page_height - (last_y + part.y + part.height) },
	};
	size_t nearest = 0;
	for (size_t i = 1; i < sizeof(edges) / sizeof(edges[0]); i++) {
		if (edges[i].blank < edges[nearest].blank - LT_LAYOUT_SLACK)
			nearest = i;
	}
	double missing = LT_PAGE_EDGE - edges[nearest].blank;
	if (missing <= LT_LAYOUT_SLACK)
		return;
	lt_warning(d->diags, lt_node_get(d->root, "first")->place,
		"labels are printed up to %.2g mm from an edge of the page (%s), where few office "
		"printers can print",
		fmax(0, edges[nearest].blank), edges[nearest].name);
	lt_hint(d->diags, "make the inset %.3g mm, which leaves %g mm blank",
		layout->inset + missing, LT_PAGE_EDGE);
}

/* A code as short as they usually are. */
static const char sample_text[] = "harness: RV3\nconnectors: [{id: X1}]\n";

static void hint_larger(const struct doubter *d)
{
	if (d->layout->dpi > 0)
		lt_hint(d->diags, "use a larger label or a finer print head");
	else
		lt_hint(d->diags, "use a larger label");
}

static void doubt_room(const struct doubter *d)
{
	struct lt_sticker sticker;
	struct lt_arena arena = { 0 };
	struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
	options.payload = LT_PAYLOAD_CODE;
	bool placed =
		lt_sample_place(&sticker, &arena, sample_text, d->layout, &options, d->measure);
	lt_arena_finish(&arena);
	double least = lt_height_least(options.distance);
	if (!placed) {
		lt_warning(d->diags, size_place(d),
			"a number of two digits and a short QR code have no room at readable sizes");
		hint_larger(d);
		return;
	}
	if (sticker.symbol.quality == LT_QUALITY_MARGINAL) {
		lt_warning(d->diags, size_place(d),
			"a short QR code can only just be read, with modules of %u dots, %.2f mm",
			sticker.symbol.dots, sticker.symbol.module);
		hint_larger(d);
	}
	if (sticker.number_height < least - 1e-9) {
		lt_warning(d->diags, size_place(d),
			"a number of two digits is %.1f mm high, too small to read at %g mm",
			sticker.number_height, options.distance);
		lt_hint(d->diags, "use a larger label: the number must be %g mm high", least);
	}
}

void lt_layout_doubt(const struct lt_layout *layout, const struct lt_node *root,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct doubter doubter = { layout, root, measure, diags };
	if (layout->medium == LT_MEDIUM_SHEET)
		doubt_page(&doubter);
	if (measure != NULL)
		doubt_room(&doubter);
}
