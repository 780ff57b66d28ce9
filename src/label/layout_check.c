/* What the sizes of a layout have to be to each other; and layouts that can be read, but will
 * hardly do: what a printer leaves blank, and what has no room. */
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
	/* One of them at least was written: what is assumed is in order. */
	bool shortest = lt_node_get(r->root, "shortest") != NULL;
	bool longest = lt_node_get(r->root, "longest") != NULL;
	lt_error(r->diags, place_of(r, longest ? "longest" : "shortest"),
		"the shortest face, %g mm, is longer than the longest, %g mm", layout->shortest,
		layout->longest);
	if (shortest && longest)
		lt_hint(r->diags, "swap the two");
	else
		lt_hint(r->diags, "give both; without its line %s is %g mm",
			longest ? "shortest" : "longest",
			longest ? LT_TAPE_SHORTEST : LT_TAPE_LONGEST);
}

/* Two faces side by side with the loop between, as high as the label. */
static void check_flag(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	if (!same_size(layout->face_height, layout->label_height)) {
		lt_error(r->diags, place_of(r, "face"),
			"the faces are %g mm high, and the label %g mm", layout->face_height,
			layout->label_height);
		lt_hint(r->diags, "faces lie side by side, each as high as the label");
	}
	double sum = 2 * layout->face_width + layout->loop;
	if (!same_size(sum, layout->label_width)) {
		lt_error(r->diags, place_of(r, "face"),
			"two faces of %g mm and a loop of %g mm make %g mm, and the label is %g mm "
			"wide",
			layout->face_width, layout->loop, sum, layout->label_width);
		lt_hint(r->diags, "check label, face and loop");
	}
}

/* The label that the zones of a wrap make up, and what is said of it. */
static void check_wrap_label(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	bool down = lt_winds_down(layout);
	double printed = down ? layout->printed_width : layout->printed_height;
	double clear = down ? layout->clear_width : layout->clear_height;
	if (!same_size(printed, clear)) {
		lt_error(r->diags, place_of(r, "clear"),
			"the clear tail is %g mm %s, and the printed zone %g mm", clear,
			down ? "wide" : "high", printed);
		lt_hint(r->diags, "across the direction of the wrap they are the same");
		return;
	}
	double width = down ? printed : layout->printed_width + layout->clear_width;
	double height = down ? layout->printed_height + layout->clear_height : printed;
	if (lt_node_get(r->root, "label") != NULL &&
		(!same_size(width, layout->label_width) ||
			!same_size(height, layout->label_height))) {
		lt_error(r->diags, place_of(r, "label"),
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
	if (layout->direction != LT_DOWN) {
		lt_error(r->diags, place_of(r, "direction"), "on a tape the clear tail lies down");
		lt_hint(r->diags, "write \"direction: down\", or leave it out");
	}
	double sum = layout->printed_height + layout->clear_height;
	if (layout->label_height > 0 && !same_size(sum, layout->label_height)) {
		lt_error(r->diags, place_of(r, "printed"),
			"printed and clear make %g mm, and the tape is %g mm wide", sum,
			layout->label_height);
		lt_hint(r->diags, "check width, printed and clear");
	}
}

/* Tells when what goes round a bundle once more does not, whatever the bundle. */
static void check_tail(const struct lt_layout_reader *r)
{
	const struct lt_layout *layout = r->layout;
	bool down = lt_winds_down(layout);
	struct lt_range range = lt_layout_bundles(layout);
	if (range.least < range.most)
		return;
	lt_error(r->diags, place_of(r, "clear"),
		"the wrap suits no bundle: the printed zone, %g mm, lies flat round %.2f mm and more, "
		"and the clear tail, %g mm, goes round %.2f mm at most",
		down ? layout->printed_height : layout->printed_width, range.least,
		down ? layout->clear_height : layout->clear_width, range.most);
	lt_hint(r->diags,
		"along the wrap the clear tail has to be longer than the printed zone by more than "
		"%.2f mm",
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

/* Edge and corners of a label whose size is known. Zones that are printed on have edges of their
 * own. */
void lt_layout_check_edge(const struct lt_layout_reader *r)
{
	static const char *const printed[] = { "the label", "a face", "the printed zone" };
	const struct lt_layout *layout = r->layout;
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, layout->shortest, 0);
	const struct lt_zone *face = &shape.faces[0];
	if (fmin(face->width, face->height) - 2 * layout->inset < 1) {
		lt_error(r->diags, place_of(r, "inset"),
			"an inset of %g mm leaves nothing to print on", layout->inset);
		lt_hint(r->diags, "%s is %g x %g mm", printed[layout->style], face->width,
			face->height);
	} else if (layout->corner * CORNER_CUT > layout->inset + LT_LAYOUT_SLACK) {
		lt_error(r->diags, place_of(r, "corner"),
			"corners of %g mm cut into what is printed", layout->corner);
		lt_hint(r->diags, "with these corners the inset has to be at least %.2f mm",
			layout->corner * CORNER_CUT);
	}
}

/* The labels of a page, along one of its sides. */
struct axis {
	const char *what, *across;
	unsigned count;
	double first, pitch, label, page;
};

/* Tells when labels overlap or run off the page. */
static void check_axis(const struct lt_layout_reader *r, const struct axis *axis)
{
	if (axis->count > 1 && axis->pitch < axis->label - LT_LAYOUT_SLACK) {
		lt_error(r->diags, place_of(r, "pitch"),
			"labels overlap: they are %g mm %s, and the pitch is %g mm", axis->label,
			axis->across, axis->pitch);
		lt_hint(r->diags,
			"the pitch is from one label's edge to the same edge of the next");
		return;
	}
	double end = axis->first + (axis->count - 1) * axis->pitch + axis->label;
	if (end > axis->page + LT_LAYOUT_SLACK) {
		lt_error(r->diags, place_of(r, "grid"),
			"the grid runs off the page: %u %s end at %g mm, and the page is %g mm %s",
			axis->count, axis->what, end, axis->page, axis->across);
		lt_hint(r->diags, "check grid, first, pitch, label and page");
	}
}

void lt_layout_check_grid(const struct lt_layout_reader *r)
{
	const struct lt_layout *l = r->layout;
	const struct axis columns = { "columns", "wide", l->columns, l->first_x, l->pitch_x,
		l->label_width, l->page_width };
	const struct axis rows = { "rows", "high", l->rows, l->first_y, l->pitch_y, l->label_height,
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
		"labels are printed to within %.2g mm of the page's %s edge, where few office "
		"printers can print",
		fmax(0, edges[nearest].blank), edges[nearest].name);
	lt_hint(d->diags, "an inset of %.3g mm keeps %g mm clear", layout->inset + missing,
		LT_PAGE_EDGE);
}

/* A code as short as they usually are. */
static const char sample_text[] = "harness: RV3\nconnectors: [{id: X1}]\n";

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
	const char *finer = d->layout->dpi > 0 ? ", or a finer head," : "";
	if (!placed) {
		lt_warning(d->diags, size_place(d),
			"a number of two digits and a short QR code have no room at readable sizes");
		lt_hint(d->diags, "a larger label%s is needed", finer);
		return;
	}
	if (sticker.symbol.quality == LT_QUALITY_MARGINAL) {
		lt_warning(d->diags, size_place(d),
			"the modules of a short QR code come out at %u dots, %.2f mm, which only "
			"just reads",
			sticker.symbol.dots, sticker.symbol.module);
		lt_hint(d->diags,
			"4 dots and 0.25 mm are good to read; a larger label%s has room for them",
			finer);
	}
	if (sticker.number_height < least - 1e-9) {
		lt_warning(d->diags, size_place(d),
			"a number of two digits comes out %.1f mm high, which is hard to read at "
			"%g mm",
			sticker.number_height, options.distance);
		lt_hint(d->diags, "%g mm are needed: a larger label has room for them", least);
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
