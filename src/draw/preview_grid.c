/* How large a page is drawn on a terminal. */
#include <math.h>
#include <stdlib.h>

#include "draw/preview.h"

#define ROUNDING 1e-6

/* A page without QR codes, or with coarse ones, need not fill a wide terminal. */
#define SCALE_MOST 4.0
#define ACROSS_ENOUGH 100.0
#define DOWN_MOST 4000.0

/* More symbols than this find no room on any terminal. */
#define SYMBOLS_MOST 400u

/* What lies beside QR codes keeps this share, at least, of the dots it would have without them. */
#define LEAST_SHARE 0.3

/* Lines of text take a row each where that stretches the page no more than so. */
#define STRETCH_MOST 2.5

/* A part of a side that wants so many dots a mm. */
struct span {
	double from, to;
	double slope;
};

struct spans {
	struct span *items;
	size_t count;
};

static const struct spans no_spans;

static int by_mm(const void *a, const void *b)
{
	double x = ((const struct lt_axis_point *)a)->mm;
	double y = ((const struct lt_axis_point *)b)->mm;
	return (x > y) - (x < y);
}

static double slope_at(const struct spans *spans, double mm, double base)
{
	double slope = base;
	for (size_t i = 0; i < spans->count; i++) {
		const struct span *span = &spans->items[i];
		if (span->from <= mm && mm < span->to && span->slope > slope)
			slope = span->slope;
	}
	return slope;
}

static void axis_make(struct lt_axis *out, double length, const struct spans *spans, double base)
{
	out->count = 2 * spans->count + 2;
	out->points = lt_alloc_array(out->count, sizeof(*out->points));
	out->points[1].mm = length;
	for (size_t i = 0; i < spans->count; i++) {
		out->points[2 * i + 2].mm = fmin(fmax(spans->items[i].from, 0), length);
		out->points[2 * i + 3].mm = fmin(fmax(spans->items[i].to, 0), length);
	}
	qsort(out->points, out->count, sizeof(*out->points), by_mm);
	for (size_t i = 1; i < out->count; i++) {
		struct lt_axis_point *at = &out->points[i];
		double slope = slope_at(spans, (at[-1].mm + at->mm) / 2, base);
		at->dots = at[-1].dots + (at->mm - at[-1].mm) * slope;
	}
}

static double axis_length(const struct lt_axis *axis)
{
	return axis->points[axis->count - 1].dots;
}

static double length_with(double length, const struct spans *spans, double base)
{
	struct lt_axis axis;
	axis_make(&axis, length, spans, base);
	double dots = axis_length(&axis);
	free(axis.points);
	return dots;
}

double lt_axis_dots(const struct lt_axis *axis, double mm)
{
	const struct lt_axis_point *at = axis->points + 1;
	const struct lt_axis_point *last = axis->points + axis->count - 1;
	while (at < last && (mm > at->mm || at->mm <= at[-1].mm))
		at++;
	/* Pieces of no length at the page's end are not to be divided by. */
	while (at > axis->points + 1 && at->mm <= at[-1].mm)
		at--;
	double slope = (at->dots - at[-1].dots) / (at->mm - at[-1].mm);
	return at[-1].dots + (mm - at[-1].mm) * slope;
}

/* The places of the symbols with their quiet zones, at a dot a module. Returns the most dots a mm
 * that one wants, 0 where there is none. */
static double symbol_spans(struct spans *x, struct spans *y, const struct lt_marks *marks)
{
	double most = 0;
	for (size_t i = 0; i < marks->count; i++) {
		const struct lt_mark *mark = &marks->items[i];
		if (mark->kind != LT_MARK_QR || !(mark->size > 0))
			continue;
		double slope = 1 / mark->size;
		double quiet = mark->size * LT_QR_QUIET;
		double side = mark->size * mark->qr.modules;
		x->items[x->count++] =
			(struct span){ mark->x - quiet, mark->x + side + quiet, slope };
		y->items[y->count++] =
			(struct span){ mark->y - quiet, mark->y + side + quiet, slope };
		most = fmax(most, slope);
	}
	return most;
}

/* The most dots a mm, beside the symbols, that keep a side within `most`; 0 where nothing does. */
static double widest_base(double length, const struct spans *spans, double most)
{
	double low = 0;
	double high = most / length;
	for (int i = 0; i < 40; i++) {
		double middle = (low + high) / 2;
		if (length_with(length, spans, middle) <= most)
			low = middle;
		else
			high = middle;
	}
	return low;
}

/* Dots a mm all over the page, with the finest symbol at `slope`; 0 where that is too wide. */
static double even_base(double width, double slope, double most)
{
	if (width * slope > most + ROUNDING)
		return 0;
	double enough = fmin(most, ACROSS_ENOUGH);
	double times = floor(enough / (width * slope) + ROUNDING);
	return slope * fmin(fmax(times, 1), fmax(1, floor(SCALE_MOST / slope)));
}

/* The columns that hold the symbols at a dot a module, by the least share of what lies beside. */
static unsigned columns_wanted(double width, const struct spans *spans)
{
	double beside = 0;
	struct lt_axis axis;
	axis_make(&axis, width, spans, 0);
	double least = axis_length(&axis);
	for (const struct lt_axis_point *at = axis.points + 1; at < axis.points + axis.count;
		at++) {
		if (at->dots <= at[-1].dots)
			beside += at->mm - at[-1].mm;
	}
	free(axis.points);
	double wanted = ceil(least / (1 - LEAST_SHARE * beside / width)) + 3;
	return wanted < 1e6 ? (unsigned)wanted : 1000000u;
}

/* Dots a mm down the page, so that lines of the smallest text do not share a row. */
static double down_base(const struct lt_marks *marks, double base)
{
	double least = INFINITY;
	for (size_t i = 0; i < marks->count; i++) {
		const struct lt_mark *mark = &marks->items[i];
		if (mark->kind == LT_MARK_TEXT && mark->size > 0)
			least = fmin(least, mark->size);
	}
	double wanted = fmin(fmax(base, 2 / least), base * STRETCH_MOST);
	return fmax(base, fmin(wanted, DOWN_MOST / marks->height));
}

static void make_grid(struct lt_grid *out, const struct lt_marks *marks, const struct spans *x,
	const struct spans *y, double base)
{
	axis_make(&out->x, marks->width, x, base);
	axis_make(&out->y, marks->height, y, down_base(marks, base));
	out->width = (int)fmax(1, ceil(axis_length(&out->x) - ROUNDING));
	out->height = (int)fmax(1, ceil(axis_length(&out->y) - ROUNDING));
}

/* Makes the grid around the symbols, each module a dot; false when the page has no room. */
static bool fit_symbols(struct lt_grid *out, const struct lt_marks *marks, const struct spans *x,
	const struct spans *y, double slope, double across)
{
	double base = even_base(marks->width, slope, across);
	if (base > 0 && base * marks->height <= DOWN_MOST) {
		make_grid(out, marks, &no_spans, &no_spans, base);
		return true;
	}
	base = widest_base(marks->width, x, across);
	if (base < LEAST_SHARE * across / marks->width ||
		length_with(marks->height, y, base) > DOWN_MOST / STRETCH_MOST)
		return false;
	make_grid(out, marks, x, y, base);
	return true;
}

void lt_grid_choose(struct lt_grid *out, const struct lt_marks *marks, int across, double scale)
{
	*out = (struct lt_grid){ 0 };
	struct spans x = { lt_alloc_array(marks->count, sizeof(struct span)), 0 };
	struct spans y = { lt_alloc_array(marks->count, sizeof(struct span)), 0 };
	double slope = symbol_spans(&x, &y, marks);
	bool done = false;
	if (x.count > 0 && x.count <= SYMBOLS_MOST) {
		done = !(scale > 0) && fit_symbols(out, marks, &x, &y, slope, across);
		if (!(scale > 0))
			out->columns_wanted = columns_wanted(marks->width, &x);
		else if (scale >= slope && slope * marks->width < 1e6)
			out->columns_wanted = (unsigned)ceil(slope * marks->width) + 2;
	}
	if (!done) {
		double base = fmin(scale > 0 ? scale : SCALE_MOST, across / marks->width);
		make_grid(out, marks, &no_spans, &no_spans, fmin(base, DOWN_MOST / marks->height));
	}
	free(x.items);
	free(y.items);
}

void lt_grid_finish(struct lt_grid *grid)
{
	free(grid->x.points);
	free(grid->y.points);
	*grid = (struct lt_grid){ 0 };
}
