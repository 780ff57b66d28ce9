/* The front view: ways in their rows, or in a circle, as seen on the mating face of the harness
 * half. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/panel.h"

#define MARGIN 1.4 /* from the housing's outline to its ways */
#define LATCH 2.6  /* how far the latch stands out */
#define LATCH_LONG 14.0
#define CELL_LEAST 7.0
#define CELL_PAD 0.6
#define SWATCH 2.4
#define GAP 1.5 /* between pieces */
#define PI 3.14159265358979323846

/* Default rows: one for few ways, two up to here, and then about three times as wide as high. */
#define ONE_ROW_MOST 6u
#define TWO_ROWS_MOST 24u
#define WIDE 3.0

static const struct lt_pen housing = { 0.5, { 0, 0, 0 }, 0 };
static const struct lt_pen cut = { 0.3, { 0, 0, 0 }, 1.2 };
static const struct lt_pen cell_pen = { 0.2, { 0.35, 0.35, 0.35 }, 0 };
static const struct lt_pen cross_pen = { 0.15, { 0.45, 0.45, 0.45 }, 0 };
static const char missing_colour[] = "?";

struct view {
	struct lt_sketch *sketch;
	const struct lt_connector *connector;
	struct lt_panel_ways *ways;
	double width, height;   /* of a piece, at most */
	double cell, cell_high; /* of a way's texts and swatches */
	double y;               /* where the next thing goes */
	bool circle, unrolled, schematic, broken, squeezed;
};

static bool is_circle(const struct lt_connector *connector)
{
	return connector->numbering.path == LT_WAYS_CLOCKWISE ||
	       connector->numbering.path == LT_WAYS_ANTICLOCKWISE;
}

static double text_width(const struct view *view, const struct lt_type *type, const char *text)
{
	return lt_flow_measure(&view->sketch->flow, type, text);
}

static const char *name_of(const struct lt_panel_way *way)
{
	return way->name != NULL ? way->name : "\xE2\x80\x93";
}

/* All ways are as large as the one that says most. */
static void size_cells(struct view *view)
{
	double widest = 0;
	for (size_t i = 0; i < view->ways->count; i++) {
		const struct lt_panel_way *way = &view->ways->items[i];
		widest = fmax(widest, text_width(view, &lt_panel_way, name_of(way)));
		for (size_t j = 0; way->wire != NULL && j < way->wire->count; j++)
			widest = fmax(widest,
				text_width(view, &lt_panel_code, way->wire->written[j]));
	}
	view->cell = fmax(CELL_LEAST, widest + 2 * CELL_PAD);
	double wire = 0.1 + SWATCH + 0.1 + lt_sketch_text_height(view->sketch, &lt_panel_code);
	view->cell_high =
		2 * 0.3 + lt_sketch_text_height(view->sketch, &lt_panel_way) +
		(double)view->ways->wires * wire +
		(double)view->ways->earths * lt_sketch_text_height(view->sketch, &lt_panel_way);
}

/* What one way says, about the middle `x`, in a place of a cell's size. */
static void place_way(struct view *view, const struct lt_panel_way *way, double x, double y)
{
	struct lt_sketch *sketch = view->sketch;
	double left = x - view->cell / 2 + CELL_PAD, wide = view->cell - 2 * CELL_PAD;
	double bottom = y + view->cell_high - 0.8;
	y += 0.3;
	lt_sketch_centred(sketch, x, y, &lt_panel_way, name_of(way));
	y += lt_sketch_text_height(sketch, &lt_panel_way);
	for (size_t i = 0; way->wire != NULL && i < way->wire->count; i++) {
		lt_sketch_swatch(sketch, left, y + 0.1, wide, SWATCH, &way->wire->colours[i]);
		y = lt_sketch_code(sketch, x, y + 0.1 + SWATCH + 0.1, way->wire, i, 0);
	}
	if (way->colour_missing) {
		lt_sketch_centred(sketch, x, y + 0.1 + SWATCH + 0.1, &lt_panel_code,
			missing_colour);
	} else if (way->wire == NULL && view->ways->described) {
		lt_sketch_line(sketch, left, y + 0.6, left + wide, bottom, cross_pen);
		lt_sketch_line(sketch, left, bottom, left + wide, y + 0.6, cross_pen);
	}
}

/* The latch, as a tab on the middle of a side of the housing. */
static void place_latch(struct view *view, const struct lt_map_area *box)
{
	const enum lt_edge edge = view->connector->latch;
	bool across = edge == LT_EDGE_TOP || edge == LT_EDGE_BOTTOM;
	double along = fmin(LATCH_LONG, 0.6 * (across ? box->width : box->height));
	double left = box->x + (box->width - along) / 2, top = box->y + (box->height - along) / 2;
	const struct lt_map_area tabs[] = {
		[LT_EDGE_TOP] = { left, box->y - LATCH, along, LATCH },
		[LT_EDGE_BOTTOM] = { left, box->y + box->height, along, LATCH },
		[LT_EDGE_LEFT] = { box->x - LATCH, top, LATCH, along },
		[LT_EDGE_RIGHT] = { box->x + box->width, top, LATCH, along },
	};
	const struct lt_map_area *tab = &tabs[edge];
	if (edge != LT_EDGE_NONE)
		lt_flow_fill(&view->sketch->flow, tab->x, tab->y, tab->width, tab->height, 0.35);
}

/* A part of the rows and columns. */
struct piece {
	size_t row, rows, column, columns;
	bool is_first_row, is_last_row, is_first_column, is_last_column;
};

static void place_housing(struct view *view, const struct piece *piece,
	const struct lt_map_area *box)
{
	struct lt_sketch *sketch = view->sketch;
	const double half = housing.line / 2, right = box->x + box->width;
	const double bottom = box->y + box->height;
	lt_sketch_line(sketch, box->x - half, box->y, right + half, box->y,
		piece->is_first_row ? housing : cut);
	lt_sketch_line(sketch, box->x - half, bottom, right + half, bottom,
		piece->is_last_row ? housing : cut);
	lt_sketch_line(sketch, box->x, box->y, box->x, bottom,
		piece->is_first_column ? housing : cut);
	lt_sketch_line(sketch, right, box->y, right, bottom, piece->is_last_column ? housing : cut);
	const bool edges[] = { [LT_EDGE_TOP] = piece->is_first_row,
		[LT_EDGE_BOTTOM] = piece->is_last_row,
		[LT_EDGE_LEFT] = piece->is_first_column,
		[LT_EDGE_RIGHT] = piece->is_last_column };
	if (edges[view->connector->latch])
		place_latch(view, box);
}

/* "1–30, 61–90": the ways in the piece, by the runs of them; nothing when there are too many. */
static void add_ways(struct lt_text *out, struct view *view, const struct piece *piece)
{
	enum { RUNS_MOST = 4 };
	size_t runs = 0;
	const struct lt_panel_ways *ways = view->ways;
	for (size_t i = 0; i < ways->count && runs <= RUNS_MOST; i++) {
		size_t first = i, last = LT_NONE;
		for (; i < ways->count; i++) {
			const struct lt_panel_way *way = &ways->items[i];
			if (way->row < piece->row || way->row >= piece->row + piece->rows ||
				way->column < piece->column ||
				way->column >= piece->column + piece->columns)
				break;
			last = i;
		}
		if (last == LT_NONE)
			continue;
		lt_text_printf(out, runs++ == 0 ? "%s" : ", %s", name_of(&ways->items[first]));
		if (last > first)
			lt_text_printf(out, "\xE2\x80\x93%s", name_of(&ways->items[last]));
	}
	if (runs > RUNS_MOST)
		lt_text_clear(out);
}

/* Sets a paragraph over the whole width. */
static void set_note(struct view *view, const struct lt_type *type, const char *text)
{
	view->y = lt_flow_paragraph(&view->sketch->flow, 0, view->y, view->width, type, text).y;
}

static void label_piece(struct view *view, const struct piece *piece, size_t number, size_t count)
{
	struct lt_text ways = { 0 }, label = { 0 };
	add_ways(&ways, view, piece);
	lt_panel_add_piece(&label, number, count, ways.length > 0 ? lt_text_string(&ways) : NULL);
	set_note(view, &lt_panel_strong, lt_text_string(&label));
	lt_text_finish(&ways);
	lt_text_finish(&label);
}

static double latch_room(const struct view *view, enum lt_edge edge)
{
	return view->connector->latch == edge ? LATCH : 0;
}

/* Ways by row and column: index, or LT_NONE. */
static size_t *make_grid(const struct lt_panel_ways *ways)
{
	size_t *grid = lt_alloc_array(ways->rows * ways->columns, sizeof *grid);
	for (size_t i = 0; i < ways->rows * ways->columns; i++)
		grid[i] = LT_NONE;
	for (size_t i = 0; i < ways->count; i++)
		grid[ways->items[i].row * ways->columns + ways->items[i].column] = i;
	return grid;
}

static void place_piece(struct view *view, const size_t *grid, const struct piece *piece)
{
	const double edge = housing.line; /* with the corners */
	double x = edge + latch_room(view, LT_EDGE_LEFT);
	double y = view->y + edge + (piece->is_first_row ? latch_room(view, LT_EDGE_TOP) : 0);
	double width = (double)piece->columns * view->cell + 2 * MARGIN;
	double height = (double)piece->rows * view->cell_high + 2 * MARGIN;
	place_housing(view, piece, &(const struct lt_map_area){ x, y, width, height });
	for (size_t row = 0; row < piece->rows; row++) {
		for (size_t column = 0; column < piece->columns; column++) {
			size_t way = grid[(piece->row + row) * view->ways->columns + piece->column +
					  column];
			if (way == LT_NONE)
				continue;
			double left = x + MARGIN + (double)column * view->cell;
			double top = y + MARGIN + (double)row * view->cell_high;
			lt_sketch_box(view->sketch, left, top, view->cell, view->cell_high,
				cell_pen);
			place_way(view, &view->ways->items[way], left + view->cell / 2, top);
		}
	}
	view->y = y + height + edge + (piece->is_last_row ? latch_room(view, LT_EDGE_BOTTOM) : 0);
}

/* Shares `all` among as few parts of at most `most` as do, all but the last equally large. */
static size_t share(size_t all, double most)
{
	size_t each = most >= 1 ? (size_t)most : 1;
	size_t parts = (all + each - 1) / each;
	return (all + parts - 1) / parts;
}

static double columns_most(const struct view *view)
{
	double latch = latch_room(view, LT_EDGE_LEFT) + latch_room(view, LT_EDGE_RIGHT);
	return floor((view->width - 2 * MARGIN - 2 * housing.line - latch + 1e-9) / view->cell);
}

static void place_rows(struct view *view)
{
	const struct lt_panel_ways *ways = view->ways;
	double latch = latch_room(view, LT_EDGE_TOP) + latch_room(view, LT_EDGE_BOTTOM);
	double rows_most = floor((view->height - 2 * MARGIN - latch - 5) / view->cell_high);
	size_t columns = share(ways->columns, columns_most(view));
	size_t rows = share(ways->rows, rows_most);
	size_t across = (ways->columns + columns - 1) / columns;
	size_t count = across * ((ways->rows + rows - 1) / rows), number = 0;
	view->broken |= across > 1;
	size_t *grid = make_grid(ways);
	for (size_t row = 0; row < ways->rows; row += rows) {
		for (size_t column = 0; column < ways->columns; column += columns) {
			struct piece piece = { .row = row, .column = column };
			piece.rows = row + rows < ways->rows ? rows : ways->rows - row;
			piece.columns =
				column + columns < ways->columns ? columns : ways->columns - column;
			piece.is_first_row = row == 0;
			piece.is_last_row = row + piece.rows == ways->rows;
			piece.is_first_column = column == 0;
			piece.is_last_column = column + piece.columns == ways->columns;
			double top = view->y;
			if (count > 1)
				label_piece(view, &piece, ++number, count);
			place_piece(view, grid, &piece);
			lt_sketch_glue(view->sketch, top, view->y);
			view->y += GAP;
		}
	}
	free(grid);
}

/* A circle of circles, as far from the middle as they need not to meet. */
struct ring {
	double radius; /* of a way */
	double middle; /* from the middle to a way's middle */
	double outer;  /* of the housing */
};

static struct ring size_ring(const struct view *view)
{
	struct ring ring = { hypot(view->cell - CELL_PAD, view->cell_high) / 2, 0, 0 };
	double apart = 2 * ring.radius + 0.8;
	if (view->ways->count > 1)
		ring.middle = apart / 2 / sin(PI / (double)view->ways->count);
	ring.outer = ring.middle + ring.radius + MARGIN;
	return ring;
}

static bool ring_fits(const struct view *view, const struct ring *ring)
{
	double across = 2 * ring->outer + housing.line;
	return across + latch_room(view, LT_EDGE_LEFT) + latch_room(view, LT_EDGE_RIGHT) <=
		       view->width &&
	       across + latch_room(view, LT_EDGE_TOP) + latch_room(view, LT_EDGE_BOTTOM) <=
		       view->height;
}

static void place_ring(struct view *view, const struct ring *ring)
{
	double half = housing.line / 2, top = view->y;
	double x = half + latch_room(view, LT_EDGE_LEFT) + ring->outer;
	double y = view->y + half + latch_room(view, LT_EDGE_TOP) + ring->outer;
	lt_sketch_circle(view->sketch, x, y, ring->outer, housing);
	place_latch(view, &(const struct lt_map_area){ x - ring->outer, y - ring->outer,
				  2 * ring->outer, 2 * ring->outer });
	double turn = view->connector->numbering.path == LT_WAYS_CLOCKWISE ? 1 : -1;
	for (size_t i = 0; i < view->ways->count; i++) {
		double angle = turn * 2 * PI * (double)i / (double)view->ways->count;
		double way_x = x + ring->middle * sin(angle), way_y = y - ring->middle * cos(angle);
		lt_sketch_circle(view->sketch, way_x, way_y, ring->radius, cell_pen);
		place_way(view, &view->ways->items[i], way_x, way_y - view->cell_high / 2);
	}
	view->y = y + ring->outer + half + latch_room(view, LT_EDGE_BOTTOM);
	lt_sketch_glue(view->sketch, top, view->y);
	view->y += GAP;
}

/* A number of rows that keeps the front fairly wide, and within the width where that can be. */
static size_t default_rows(struct view *view)
{
	size_t count = view->ways->count;
	size_t rows = count <= ONE_ROW_MOST ? 1 : 2;
	if (count > TWO_ROWS_MOST)
		rows = (size_t)ceil(sqrt((double)count * view->cell / view->cell_high / WIDE));
	double most = fmax(1, columns_most(view));
	size_t needed = (size_t)ceil((double)count / most);
	view->squeezed = needed > rows;
	return rows > needed ? rows : needed;
}

/* How the ways are counted; NULL for one alone, or where it is not described. */
static const char *path_words(const struct view *view)
{
	const struct lt_way_order *numbering = &view->connector->numbering;
	if (view->ways->count < 2 || numbering->path == LT_WAYS_NONE)
		return NULL;
	if (view->ways->rows == 1 && !is_circle(view->connector))
		return numbering->from_right ? lt_panel_words.first_right
					     : lt_panel_words.first_left;
	return numbering->from_right ? lt_panel_words.paths_from_right[numbering->path]
				     : lt_panel_words.paths[numbering->path];
}

/* "coding A; latch at the top; ways row after row, from the right". */
static void set_face(struct view *view)
{
	const char *const words[] = { lt_panel_words.latches[view->connector->latch],
		path_words(view) };
	struct lt_text text = { 0 };
	if (view->connector->key != NULL)
		lt_panel_add_coding(&text, view->connector->key);
	for (size_t i = 0; i < sizeof words / sizeof *words; i++)
		if (words[i] != NULL)
			lt_text_printf(&text, text.length > 0 ? "; %s" : "%s", words[i]);
	if (text.length > 0)
		set_note(view, &lt_panel_text, lt_text_string(&text));
	lt_text_finish(&text);
}

/* What the picture does not say by itself. */
static void set_doubts(struct view *view)
{
	const struct lt_panel_ways *ways = view->ways;
	struct lt_text first = { 0 };
	if (view->unrolled)
		set_note(view, &lt_panel_strong, lt_panel_words.unrolled);
	else if (view->schematic)
		set_note(view, &lt_panel_strong, lt_panel_words.schematic);
	else if (!view->circle && ways->count % ways->rows != 0)
		set_note(view, &lt_panel_strong, lt_panel_words.uneven_rows);
	/* Where a circle begins depends on its key, whose place is not described. */
	if (is_circle(view->connector) && ways->count > 1) {
		lt_panel_add_first_way(&first, name_of(&ways->items[0]));
		set_note(view, &lt_panel_strong, lt_text_string(&first));
	}
	lt_text_finish(&first);
	if (ways->unnamed > 0)
		set_note(view, &lt_panel_text, lt_panel_words.unnamed_way);
	if (!ways->described)
		set_note(view, &lt_panel_text, lt_panel_words.no_wires);
	else if (ways->empty > 0)
		set_note(view, &lt_panel_text, lt_panel_words.empty_way);
	if (ways->colour_missing > 0)
		set_note(view, &lt_panel_text, lt_panel_words.colour_unknown);
}

/* Rows are known when both they and the way of counting are. */
static bool is_schematic(const struct lt_connector *connector, const struct lt_panel_ways *ways)
{
	if (ways->count == 1)
		return false;
	if (is_circle(connector))
		return ways->unnamed > 0;
	return ways->unnamed > 0 || connector->numbering.path == LT_WAYS_NONE ||
	       connector->rows == 0;
}

static void place_view(struct view *view)
{
	const struct lt_connector *connector = view->connector;
	size_cells(view);
	view->circle = is_circle(connector);
	struct ring ring = size_ring(view);
	if (view->circle && ring_fits(view, &ring)) {
		place_ring(view, &ring);
	} else {
		view->unrolled = view->circle;
		view->broken = view->circle;
		view->circle = false;
		size_t rows = connector->rows > 0 ? connector->rows : default_rows(view);
		view->ways->filled = connector->rows == 0;
		lt_panel_ways_arrange(view->ways, rows, &connector->numbering);
		place_rows(view);
	}
	view->schematic = is_schematic(connector, view->ways);
	set_note(view, &lt_panel_label, lt_panel_words.front);
	set_face(view);
	set_doubts(view);
}

void lt_front_place(struct lt_front *out, struct lt_arena *arena, const struct lt_measure *measure,
	const struct lt_connector *connector, const struct lt_panel_ways *ways, double width,
	double height)
{
	*out = (struct lt_front){ 0 };
	if (ways->count == 0)
		return;
	struct lt_panel_ways own = *ways;
	struct lt_sketch sketch;
	lt_sketch_init(&sketch, measure);
	struct view view = { .sketch = &sketch, .connector = connector, .ways = &own };
	view.width = width;
	view.height = height;
	place_view(&view);
	lt_sketch_keep(&out->drawing, arena, &sketch);
	out->broken = view.broken;
	out->squeezed = view.squeezed;
	lt_sketch_finish(&sketch);
}
