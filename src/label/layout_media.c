/* What sheets, rolls and tapes have about their labels. */
#include "label/layout_read.h"
#include "loomtag/base.h"

#define DPI_LEAST 100u
#define DPI_MOST 2400u

/* Tells when labels along one axis overlap or run off the page. */
static void check_axis(const struct lt_layout_reader *r, unsigned count, double first, double pitch,
	double label, double page, const char *what, const char *across)
{
	if (count > 1 && pitch < label - LT_LAYOUT_SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "pitch")->place,
			"labels overlap: they are %g mm %s, and the pitch is %g mm", label, across,
			pitch);
		lt_hint(r->diags,
			"the pitch is from one label's edge to the same edge of the next");
		return;
	}
	double end = first + (count - 1) * pitch + label;
	if (end > page + LT_LAYOUT_SLACK) {
		lt_error(r->diags, lt_node_get(r->root, "grid")->place,
			"the grid runs off the page: %u %s end at %g mm, and the page is %g mm %s",
			count, what, end, page, across);
		lt_hint(r->diags, "check grid, first, pitch, label and page");
	}
}

void lt_layout_read_sheet(const struct lt_layout_reader *r, bool sized)
{
	struct lt_layout *layout = r->layout;
	size_t before = r->diags->errors;
	lt_layout_read_pair(r, &layout->page_width, &layout->page_height, "page", "210 x 297 mm",
		LT_LAYOUT_SIDE_LEAST);
	lt_layout_read_pair(r, &layout->first_x, &layout->first_y, "first", "0 x 0.5 mm", 0);
	lt_layout_read_pair(r, &layout->pitch_x, &layout->pitch_y, "pitch", "70 x 37 mm", 0);
	const struct lt_node *grid = lt_layout_find_key(r, "grid", "3 x 8", true);
	if (grid != NULL && !lt_count_pair_read(&layout->columns, &layout->rows, grid->text)) {
		lt_layout_tell(r, grid, "grid", "is not columns x rows");
		lt_hint(r->diags, "write it as \"3 x 8\"");
	}
	if (r->diags->errors > before || !sized)
		return;
	check_axis(r, layout->columns, layout->first_x, layout->pitch_x, layout->label_width,
		layout->page_width, "columns", "wide");
	check_axis(r, layout->rows, layout->first_y, layout->pitch_y, layout->label_height,
		layout->page_height, "rows", "high");
}

static void read_head(const struct lt_layout_reader *r)
{
	unsigned dpi = 0;
	const struct lt_node *node = lt_layout_find_key(r, "dpi", "203", true);
	if (node == NULL)
		return;
	if (!lt_whole_read(&dpi, node->text, DPI_MOST) || dpi < DPI_LEAST) {
		lt_layout_tell(r, node, "dpi", "is not a print head's dots per inch");
		lt_hint(r->diags, "it is a whole number from %u to %u", DPI_LEAST, DPI_MOST);
		return;
	}
	r->layout->dpi = dpi;
}

void lt_layout_read_roll(const struct lt_layout_reader *r)
{
	r->layout->columns = r->layout->rows = 1;
	lt_layout_read_length(r, &r->layout->gap, "gap", "3 mm", 0, true);
	read_head(r);
}

void lt_layout_read_tape(const struct lt_layout_reader *r)
{
	struct lt_layout *layout = r->layout;
	layout->columns = layout->rows = 1;
	layout->shortest = LT_TAPE_SHORTEST;
	layout->longest = LT_TAPE_LONGEST;
	lt_layout_read_length(r, &layout->label_height, "width", "12 mm", LT_LAYOUT_SIDE_LEAST,
		true);
	read_head(r);
	size_t before = r->diags->errors;
	bool shortest = lt_layout_read_length(r, &layout->shortest, "shortest", "8 mm",
		LT_LAYOUT_SIDE_LEAST, false);
	bool longest = lt_layout_read_length(r, &layout->longest, "longest", "100 mm",
		LT_LAYOUT_SIDE_LEAST, false);
	if (r->diags->errors > before || layout->shortest <= layout->longest)
		return;
	/* One of them at least was written: what is assumed is in order. */
	const char *culprit = longest ? "longest" : "shortest";
	lt_error(r->diags, lt_node_get(r->root, culprit)->place,
		"the shortest face, %g mm, is longer than the longest, %g mm", layout->shortest,
		layout->longest);
	if (shortest && longest)
		lt_hint(r->diags, "swap the two");
	else
		lt_hint(r->diags, "give both; without its line %s is %g mm",
			longest ? "shortest" : "longest",
			longest ? LT_TAPE_SHORTEST : LT_TAPE_LONGEST);
}
