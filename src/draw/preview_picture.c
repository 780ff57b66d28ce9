/* A page in dots, two to a character of the terminal. */
#include <math.h>
#include <stdlib.h>

#include "draw/preview.h"

/* Capitals of fewer dots are written in characters: they would be guesswork. */
#define CAPITAL_LEAST 7.0

/* Letters of more dots than this are no text. */
#define EM_MOST 1.5e4

static void set_dot(struct lt_picture *picture, int x, int y, bool black)
{
	if (x >= 0 && y >= 0 && x < picture->width && y < picture->height)
		picture->dots[(size_t)y * (size_t)picture->width + (size_t)x] = black ? 255 : 0;
}

static int clamp(int value, int least, int most)
{
	return value < least ? least : value > most ? most : value;
}

/* From one dot to another, at least one dot each way. */
static void fill(struct lt_picture *picture, int left, int top, int right, int bottom, bool black)
{
	right = clamp(right > left ? right : left + 1, 0, picture->width);
	bottom = clamp(bottom > top ? bottom : top + 1, 0, picture->height);
	for (int y = clamp(top, 0, picture->height); y < bottom; y++) {
		for (int x = clamp(left, 0, picture->width); x < right; x++)
			set_dot(picture, x, y, black);
	}
}

struct lt_cell *lt_picture_cell(const struct lt_picture *picture, int row, int column)
{
	return &picture->cells[(size_t)row * (size_t)picture->width + (size_t)column];
}

/* Marks the cells of an area of dots: grey, or taken. */
static void mark_cells(struct lt_picture *picture, int left, int top, int right, int bottom,
	bool grey)
{
	int last_row = clamp((bottom + 1) / 2, 0, picture->rows);
	int last_column = clamp(right, 0, picture->width);
	for (int row = clamp(top, 0, picture->height) / 2; row < last_row; row++) {
		for (int column = clamp(left, 0, picture->width); column < last_column; column++) {
			struct lt_cell *cell = lt_picture_cell(picture, row, column);
			cell->grey |= grey;
			cell->taken |= !grey;
		}
	}
}

void lt_picture_take(struct lt_picture *picture, int left, int top, int right, int bottom)
{
	mark_cells(picture, left, top, right, bottom, false);
}

/* The dots of a line's thickness about `centre`, kept on the page when the centre is. */
static void across_line(int *from, int *to, double centre, double dots, int side)
{
	int thick = lt_dot(dots);
	if (thick < 1)
		thick = 1;
	*from = lt_dot(centre - thick / 2.0);
	if (*from < 0 && centre > -0.5)
		*from = 0;
	if (*from + thick > side && centre < side + 0.5)
		*from = side > thick ? side - thick : 0;
	*to = *from + thick;
}

struct drawing {
	struct lt_picture *picture;
	const struct lt_grid *grid;
	struct lt_glyphs *glyphs;
};

/* Dots a mm near a place, the fewer of both directions. */
static double dots_at(const struct lt_grid *grid, double x, double y)
{
	double across = lt_axis_dots(&grid->x, x + 0.5) - lt_axis_dots(&grid->x, x - 0.5);
	double down = lt_axis_dots(&grid->y, y + 0.5) - lt_axis_dots(&grid->y, y - 0.5);
	return fmin(across, down);
}

static int x_dot(const struct lt_grid *grid, double x)
{
	return lt_dot(lt_axis_dots(&grid->x, x));
}

static int y_dot(const struct lt_grid *grid, double y)
{
	return lt_dot(lt_axis_dots(&grid->y, y));
}

static void draw_straight(const struct drawing *d, const struct lt_mark *mark, double x1, double y1,
	double x2, double y2)
{
	const struct lt_grid *grid = d->grid;
	double thick = mark->size * dots_at(grid, x1, y1);
	int from;
	int to;
	if (y1 == y2) {
		across_line(&from, &to, lt_axis_dots(&grid->y, y1), thick, grid->height);
		fill(d->picture, x_dot(d->grid, fmin(x1, x2)), from, x_dot(d->grid, fmax(x1, x2)),
			to, mark->black);
	} else {
		across_line(&from, &to, lt_axis_dots(&grid->x, x1), thick, grid->width);
		fill(d->picture, from, y_dot(d->grid, fmin(y1, y2)), to,
			y_dot(d->grid, fmax(y1, y2)), mark->black);
	}
}

/* One dot thick, whatever was asked for. */
static void draw_slanting(const struct drawing *d, const struct lt_mark *mark)
{
	double x = lt_axis_dots(&d->grid->x, mark->x);
	double y = lt_axis_dots(&d->grid->y, mark->y);
	double across = lt_axis_dots(&d->grid->x, mark->x + mark->width) - x;
	double down = lt_axis_dots(&d->grid->y, mark->y + mark->height) - y;
	int steps = (int)fmin(ceil(fmax(fabs(across), fabs(down))), 2e4);
	for (int step = 0; step < steps; step++)
		set_dot(d->picture, lt_dot(floor(x + across * step / steps)),
			lt_dot(floor(y + down * step / steps)), mark->black);
}

static void draw_line(const struct drawing *d, const struct lt_mark *mark)
{
	if (mark->width == 0 || mark->height == 0)
		draw_straight(d, mark, mark->x, mark->y, mark->x + mark->width,
			mark->y + mark->height);
	else
		draw_slanting(d, mark);
}

static void draw_frame(const struct drawing *d, const struct lt_mark *mark)
{
	double right = mark->x + mark->width;
	double bottom = mark->y + mark->height;
	draw_straight(d, mark, mark->x, mark->y, right, mark->y);
	draw_straight(d, mark, mark->x, bottom, right, bottom);
	draw_straight(d, mark, mark->x, mark->y, mark->x, bottom);
	draw_straight(d, mark, right, mark->y, right, bottom);
	/* The corner where the last two lines end. */
	double thick = mark->size * dots_at(d->grid, mark->x, mark->y);
	int across[2];
	int down[2];
	across_line(&across[0], &across[1], lt_axis_dots(&d->grid->x, right), thick,
		d->grid->width);
	across_line(&down[0], &down[1], lt_axis_dots(&d->grid->y, bottom), thick, d->grid->height);
	fill(d->picture, across[0], down[0], across[1], down[1], mark->black);
}

static void draw_rectangle(const struct drawing *d, const struct lt_mark *mark)
{
	fill(d->picture, x_dot(d->grid, mark->x), y_dot(d->grid, mark->y),
		x_dot(d->grid, mark->x + mark->width), y_dot(d->grid, mark->y + mark->height),
		mark->black);
}

/* Marks the place of a symbol that has fewer dots than modules. */
static void leave_out_symbol(struct lt_picture *picture, int left, int top, int right, int bottom)
{
	picture->symbols_left_out++;
	fill(picture, left, top, right, bottom, false);
	mark_cells(picture, left, top, right > left ? right : left + 1,
		bottom > top ? bottom : top + 1, true);
	lt_picture_take(picture, left, top, right, bottom);
}

/* Whole dots a module, centred in the place: fewer would not be read. */
static void draw_symbol(const struct drawing *d, const struct lt_mark *mark)
{
	double side = mark->size * mark->qr.modules;
	double left = lt_axis_dots(&d->grid->x, mark->x);
	double top = lt_axis_dots(&d->grid->y, mark->y);
	double across = lt_axis_dots(&d->grid->x, mark->x + side) - left;
	double down = lt_axis_dots(&d->grid->y, mark->y + side) - top;
	int modules = (int)mark->qr.modules;
	int dots = lt_dot(floor(fmin(across, down) / modules + 1e-6));
	if (dots < 1) {
		leave_out_symbol(d->picture, lt_dot(left), lt_dot(top), lt_dot(left + across),
			lt_dot(top + down));
		return;
	}
	int x = lt_dot(left + (across - dots * modules) / 2);
	int y = lt_dot(top + (down - dots * modules) / 2);
	int end = dots * modules;
	for (int row = 0; row < modules; row++) {
		for (int column = 0; column < modules; column++) {
			if (lt_qr_dark(&mark->qr, (unsigned)column, (unsigned)row))
				fill(d->picture, x + column * dots, y + row * dots,
					x + (column + 1) * dots, y + (row + 1) * dots, true);
		}
	}
	/* A text beside the quiet zone may have been rounded into it by a dot. */
	int quiet = dots * (int)LT_QR_QUIET - 1;
	lt_picture_take(d->picture, x - quiet, y - quiet + 1, x + end + quiet, y + end + quiet - 1);
}

bool lt_text_is_large(double *em, const struct lt_mark *mark, const struct lt_grid *grid,
	struct lt_fonts *fonts)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	double capital = mark->size * measure.heights(measure.data, mark->face).capital;
	double width = lt_text_width(&measure, mark->face, mark->size, mark->text);
	*em = 0;
	if (!(capital > 0 && width > 0))
		return false;
	double down = lt_axis_dots(&grid->y, mark->y) - lt_axis_dots(&grid->y, mark->y - capital);
	double across = lt_axis_dots(&grid->x, mark->x + width) - lt_axis_dots(&grid->x, mark->x);
	double scale = fmin(down / capital, across / width);
	*em = mark->size * scale;
	return capital * scale >= CAPITAL_LEAST && *em < EM_MOST;
}

static void draw_large(const struct drawing *d, const struct lt_mark *mark, double em)
{
	struct lt_picture *picture = d->picture;
	const struct lt_measure measure = lt_fonts_measure(d->glyphs->fonts);
	double width = lt_text_width(&measure, mark->face, mark->size, mark->text);
	double place = lt_axis_dots(&d->grid->x, mark->x);
	double room = lt_axis_dots(&d->grid->x, mark->x + width) - place;
	/* Where the page is wider than high, the text keeps its shape in the middle of its place.
	 */
	double drawn = em * width / mark->size;
	int start = lt_dot(place + (room - drawn) / 2);
	int baseline = y_dot(d->grid, mark->y);
	const struct lt_bitmap page = { picture->dots, (size_t)picture->width, picture->width,
		picture->height, false };
	const struct lt_type type = { mark->face, em, mark->black ? LT_BLACK : LT_WHITE };
	lt_glyphs_put(d->glyphs, &page, &type, start, baseline, mark->text);
	double capital = em * measure.heights(measure.data, mark->face).capital;
	lt_picture_take(picture, start, lt_dot(baseline - capital), lt_dot(start + drawn),
		baseline);
}

void lt_picture_draw(struct lt_picture *out, const struct lt_marks *marks,
	const struct lt_grid *grid, struct lt_glyphs *glyphs)
{
	int rows = (grid->height + 1) / 2;
	size_t columns = (size_t)grid->width;
	*out = (struct lt_picture){ .width = grid->width, .height = grid->height, .rows = rows };
	out->dots = lt_alloc_array(columns * (size_t)grid->height, 1);
	out->cells = lt_alloc_array(columns * (size_t)rows, sizeof(*out->cells));
	const struct drawing d = { out, grid, glyphs };
	for (size_t i = 0; i < marks->count; i++) {
		const struct lt_mark *mark = &marks->items[i];
		double em;
		switch (mark->kind) {
		case LT_MARK_TEXT:
			if (lt_text_is_large(&em, mark, grid, glyphs->fonts))
				draw_large(&d, mark, em);
			break;
		case LT_MARK_RECTANGLE:
			draw_rectangle(&d, mark);
			break;
		case LT_MARK_FRAME:
			draw_frame(&d, mark);
			break;
		case LT_MARK_LINE:
			draw_line(&d, mark);
			break;
		case LT_MARK_QR:
			draw_symbol(&d, mark);
			break;
		}
	}
}

void lt_picture_finish(struct lt_picture *picture)
{
	free(picture->dots);
	free(picture->cells);
	*picture = (struct lt_picture){ 0 };
}
