/* Layouts that can be read, but will hardly do: what a printer leaves blank, and what has no room.
 */
#include <math.h>

#include "label/layout.h"

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
