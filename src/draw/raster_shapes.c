/* Shapes and symbols on a raster. What is level or upright lies on whole dots; the rest does in
 * black and white, and has soft edges in colour. */
#include <math.h>

#include "draw/grid.h"
#include "draw/raster.h"

static void set_ink(struct lt_raster *raster, struct lt_ink ink)
{
	if (!raster->colour) {
		cairo_set_source_rgba(raster->cairo, 0, 0, 0, lt_raster_is_black(ink) ? 1 : 0);
		return;
	}
	unsigned rgb = lt_raster_rgb(ink);
	cairo_set_source_rgb(raster->cairo, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0,
		(rgb & 255) / 255.0);
}

/* Where a point comes to lie, in dots. */
static double place(const struct lt_raster *raster, double mm)
{
	double dots = mm * raster->scale;
	if (!raster->colour)
		return lt_raster_dot(dots);
	return lt_raster_within(dots, -2 * LT_RASTER_SIDE_MOST);
}

/* From one dot to another, at least one dot thick. */
static void fill_dots(struct lt_raster *raster, int left, int top, int right, int bottom)
{
	int width = right > left ? right - left : 1;
	int height = bottom > top ? bottom - top : 1;
	cairo_rectangle(raster->cairo, left, top, width, height);
	cairo_fill(raster->cairo);
}

/* Rounds edges and not sizes, so that what touches still does. */
void lt_raster_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL)
		return;
	set_ink(raster, fill);
	fill_dots(raster, lt_raster_dot(x * raster->scale), lt_raster_dot(y * raster->scale),
		lt_raster_dot((x + width) * raster->scale),
		lt_raster_dot((y + height) * raster->scale));
}

/* The dots of a line's width, about a centre. */
static void across_line(int *from, int *to, const struct lt_raster *raster, double centre,
	double line)
{
	int thick = lt_raster_dot(line * raster->scale);
	if (thick < 1)
		thick = 1;
	*from = lt_raster_dot(centre * raster->scale - thick / 2.0);
	*to = *from + thick;
}

void lt_raster_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL)
		return;
	int left[2], right[2], top[2], bottom[2];
	across_line(&left[0], &left[1], raster, x, line);
	across_line(&right[0], &right[1], raster, x + width, line);
	across_line(&top[0], &top[1], raster, y, line);
	across_line(&bottom[0], &bottom[1], raster, y + height, line);
	set_ink(raster, ink);
	fill_dots(raster, left[0], top[0], right[1], top[1]);
	fill_dots(raster, left[0], bottom[0], right[1], bottom[1]);
	fill_dots(raster, left[0], top[0], left[1], bottom[1]);
	fill_dots(raster, right[0], top[0], right[1], bottom[1]);
}

/* A line that is neither level nor upright. */
static void stroke(struct lt_raster *raster, double x1, double y1, double x2, double y2,
	double line)
{
	cairo_set_line_width(raster->cairo, lt_raster_within(line * raster->scale, 1));
	cairo_move_to(raster->cairo, place(raster, x1), place(raster, y1));
	cairo_line_to(raster->cairo, place(raster, x2), place(raster, y2));
	cairo_stroke(raster->cairo);
}

void lt_raster_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL)
		return;
	set_ink(raster, ink);
	int from, to;
	if (y1 == y2) {
		across_line(&from, &to, raster, y1, line);
		fill_dots(raster, lt_raster_dot(fmin(x1, x2) * raster->scale), from,
			lt_raster_dot(fmax(x1, x2) * raster->scale), to);
	} else if (x1 == x2) {
		across_line(&from, &to, raster, x1, line);
		fill_dots(raster, from, lt_raster_dot(fmin(y1, y2) * raster->scale), to,
			lt_raster_dot(fmax(y1, y2) * raster->scale));
	} else {
		stroke(raster, x1, y1, x2, y2, line);
	}
}

static void add_points(struct lt_raster *raster, const struct lt_point *points, size_t count)
{
	for (size_t i = 0; i < count; i++)
		cairo_line_to(raster->cairo, place(raster, points[i].x),
			place(raster, points[i].y));
}

/* Strokes the path and forgets it; at least one dot thick, and dashes at least one long. */
static void stroke_path(struct lt_raster *raster, const struct lt_pen *pen)
{
	set_ink(raster, pen->ink);
	cairo_set_line_width(raster->cairo, lt_raster_within(pen->line * raster->scale, 1));
	cairo_set_line_join(raster->cairo, CAIRO_LINE_JOIN_ROUND);
	double dash = lt_raster_within(pen->dash * raster->scale, 1);
	if (pen->dash > 0)
		cairo_set_dash(raster->cairo, &dash, 1, 0);
	cairo_stroke(raster->cairo);
	cairo_set_dash(raster->cairo, NULL, 0, 0);
	cairo_set_line_join(raster->cairo, CAIRO_LINE_JOIN_MITER);
}

void lt_raster_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL || count < 2)
		return;
	add_points(raster, points, count);
	stroke_path(raster, pen);
}

/* Fills and strokes the path and forgets it. */
static void paint_path(struct lt_raster *raster, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	if (fill != NULL) {
		set_ink(raster, *fill);
		cairo_fill_preserve(raster->cairo);
	}
	if (pen != NULL)
		stroke_path(raster, pen);
	cairo_new_path(raster->cairo);
}

void lt_raster_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL || count < 3)
		return;
	add_points(raster, points, count);
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

void lt_raster_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL || !(radius > 0))
		return;
	cairo_arc(raster->cairo, place(raster, x), place(raster, y),
		lt_raster_within(radius * raster->scale, 0.5), 0, 2 * acos(-1));
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

void lt_raster_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct lt_raster *raster = data;
	if (raster->surface == NULL)
		return;
	struct lt_grid_symbol symbol = lt_grid_symbol(x, y, module, qr->modules, raster->scale);
	int left = lt_raster_dot(symbol.left);
	int top = lt_raster_dot(symbol.top);
	int dots = lt_raster_dot(symbol.module);
	set_ink(raster, LT_BLACK);
	for (unsigned row = 0; row < qr->modules; row++) {
		for (unsigned column = 0; column < qr->modules; column++) {
			if (lt_qr_dark(qr, column, row))
				cairo_rectangle(raster->cairo, left + (double)column * dots,
					top + (double)row * dots, dots, dots);
		}
	}
	cairo_fill(raster->cairo);
}
