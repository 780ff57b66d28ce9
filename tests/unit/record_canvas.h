/* A canvas that draws nothing and remembers every call, so that a test can measure what a document
 * puts where: overlaps, page bounds, which text is on which page. With it a measure of text that
 * needs no font. */
#ifndef LOOMTAG_TESTS_UNIT_RECORD_CANVAS_H
#define LOOMTAG_TESTS_UNIT_RECORD_CANVAS_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/draw.h"

enum record_kind {
	RECORD_TEXT,
	RECORD_FILL,
	RECORD_FRAME,
	RECORD_LINE,
	RECORD_POLYLINE,
	RECORD_POLYGON,
	RECORD_CIRCLE,
	RECORD_IMAGE,
	RECORD_QR
};

struct record_item {
	enum record_kind kind;
	size_t page; /* from 0 */
	double left, top, right, bottom;
	double baseline, size, capital; /* RECORD_TEXT */
	struct lt_ink ink;
	char *text;       /* RECORD_TEXT */
	unsigned modules; /* RECORD_QR: a side; the box is that of one module */

	/* RECORD_POLYLINE, RECORD_POLYGON and RECORD_CIRCLE; of a circle its centre */
	struct lt_point *points;
	size_t point_count;
	double radius;
	double line, dash; /* 0 for none */
	bool filled;
	struct lt_ink fill;
};

struct record_page {
	double width, height;
	size_t first, count; /* items */
	bool ended;
};

struct record {
	struct lt_measure measure;
	struct record_item *items;
	size_t count, room;
	struct record_page *pages;
	size_t page_count, page_room;
};

static inline double record_measure_width(void *data, enum lt_typeface face, const char *text,
	size_t length)
{
	(void)data;
	/* Letters of unlike width, so that a mix-up of texts shows. */
	double width = 0;
	for (const char *at = text; at < text + length;) {
		uint32_t code = lt_utf8_next(&at);
		if (code >= 0x300 && code < 0x370)
			continue;
		width += code == ' ' ? 0.32 : code < 'a' ? 0.68 : code == 'm' ? 0.97 : 0.6;
	}
	bool condensed = face == LT_TYPEFACE_CONDENSED || face == LT_TYPEFACE_CONDENSED_BOLD;
	return condensed ? width * 0.9 : width;
}

static inline struct lt_typeface_heights record_measure_heights(void *data, enum lt_typeface face)
{
	(void)data;
	(void)face;
	return (struct lt_typeface_heights){ .capital = 0.73, .ascent = 0.94, .descent = 0.24 };
}

static inline struct lt_measure record_measure(void)
{
	return (struct lt_measure){ record_measure_width, record_measure_heights, NULL };
}

static inline struct record_item *record_add(struct record *record, enum record_kind kind)
{
	if (record->page_count == 0 || record->pages[record->page_count - 1].ended) {
		fprintf(stderr, "drawn outside of a page\n");
		abort();
	}
	record->items =
		lt_grow(record->items, &record->room, record->count + 1, sizeof *record->items);
	struct record_item *item = &record->items[record->count++];
	*item = (struct record_item){ .kind = kind, .page = record->page_count - 1 };
	record->pages[item->page].count++;
	return item;
}

static inline void record_box(struct record_item *item, double left, double top, double right,
	double bottom)
{
	item->left = left;
	item->top = top;
	item->right = right;
	item->bottom = bottom;
}

static inline void record_begin_page(void *data, double width, double height)
{
	struct record *record = data;
	record->pages = lt_grow(record->pages, &record->page_room, record->page_count + 1,
		sizeof *record->pages);
	record->pages[record->page_count++] =
		(struct record_page){ .width = width, .height = height, .first = record->count };
}

static inline void record_text(void *data, double x, double baseline, enum lt_typeface face,
	double size, struct lt_ink ink, const char *text)
{
	struct record *record = data;
	struct lt_typeface_heights heights = record->measure.heights(record->measure.data, face);
	struct record_item *item = record_add(record, RECORD_TEXT);
	record_box(item, x, baseline - heights.ascent * size,
		x + lt_text_width(&record->measure, face, size, text),
		baseline + heights.descent * size);
	item->baseline = baseline;
	item->size = size;
	item->capital = heights.capital * size;
	item->ink = ink;
	size_t length = strlen(text);
	item->text = lt_alloc(length + 1);
	memcpy(item->text, text, length + 1);
}

static inline void record_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct record_item *item = record_add(data, RECORD_FILL);
	record_box(item, x, y, x + width, y + height);
	item->ink = fill;
}

static inline void record_frame(void *data, double x, double y, double width, double height,
	double line, struct lt_ink ink)
{
	struct record_item *item = record_add(data, RECORD_FRAME);
	record_box(item, x - line / 2, y - line / 2, x + width + line / 2, y + height + line / 2);
	item->ink = ink;
}

static inline void record_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct record_item *item = record_add(data, RECORD_LINE);
	bool across = y1 == y2;
	record_box(item, x1 - (across ? 0 : line / 2), y1 - (across ? line / 2 : 0),
		x2 + (across ? 0 : line / 2), y2 + (across ? line / 2 : 0));
	item->ink = ink;
}

static inline struct record_item *record_shape(void *data, enum record_kind kind,
	const struct lt_point *points, size_t count, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct record_item *item = record_add(data, kind);
	item->points = lt_alloc_array(count, sizeof(*points));
	memcpy(item->points, points, count * sizeof(*points));
	item->point_count = count;
	if (pen != NULL) {
		item->line = pen->line;
		item->dash = pen->dash;
		item->ink = pen->ink;
	}
	if (fill != NULL) {
		item->filled = true;
		item->fill = *fill;
	}
	if (pen == NULL && fill != NULL)
		item->ink = *fill;
	return item;
}

/* The box of the points and `reach` about them. */
static inline void record_box_points(struct record_item *item, double reach)
{
	const struct lt_point *points = item->points;
	record_box(item, points[0].x, points[0].y, points[0].x, points[0].y);
	for (size_t i = 1; i < item->point_count; i++)
		record_box(item, fmin(item->left, points[i].x), fmin(item->top, points[i].y),
			fmax(item->right, points[i].x), fmax(item->bottom, points[i].y));
	record_box(item, item->left - reach, item->top - reach, item->right + reach,
		item->bottom + reach);
}

static inline void record_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	if (count >= 2)
		record_box_points(record_shape(data, RECORD_POLYLINE, points, count, pen, NULL),
			pen->line / 2);
}

static inline void record_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (count >= 3 && (pen != NULL || fill != NULL))
		record_box_points(record_shape(data, RECORD_POLYGON, points, count, pen, fill),
			pen != NULL ? pen->line / 2 : 0);
}

static inline void record_circle(void *data, double x, double y, double radius,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (!(radius > 0) || (pen == NULL && fill == NULL))
		return;
	struct lt_point centre = { x, y };
	struct record_item *item = record_shape(data, RECORD_CIRCLE, &centre, 1, pen, fill);
	item->radius = radius;
	record_box_points(item, radius + item->line / 2);
}

static inline void record_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	(void)image;
	record_box(record_add(data, RECORD_IMAGE), x, y, x + width, y + height);
}

static inline void record_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct record_item *item = record_add(data, RECORD_QR);
	record_box(item, x, y, x + module, y + module);
	item->modules = qr->modules;
}

static inline bool record_end_page(void *data, struct lt_diags *diags)
{
	(void)diags;
	struct record *record = data;
	record->pages[record->page_count - 1].ended = true;
	return true;
}

static inline bool record_finish(void *data, struct lt_diags *diags)
{
	(void)data;
	(void)diags;
	return true;
}

static inline void record_destroy(void *data)
{
	(void)data;
}

/* A canvas that fills `record`, which starts empty and is finished by record_free. */
static inline struct lt_canvas record_canvas(struct record *record, struct lt_measure measure)
{
	*record = (struct record){ .measure = measure };
	return (struct lt_canvas){
		.begin_page = record_begin_page,
		.text = record_text,
		.rectangle = record_rectangle,
		.frame = record_frame,
		.line = record_line,
		.polyline = record_polyline,
		.polygon = record_polygon,
		.circle = record_circle,
		.image = record_image,
		.qr = record_qr,
		.end_page = record_end_page,
		.finish = record_finish,
		.destroy = record_destroy,
		.data = record,
	};
}

static inline void record_free(struct record *record)
{
	for (size_t i = 0; i < record->count; i++) {
		free(record->items[i].text);
		free(record->items[i].points);
	}
	free(record->items);
	free(record->pages);
	*record = (struct record){ 0 };
}

/* The first text item from `from` on that is `text`, or the record's count. */
static inline size_t record_find(const struct record *record, size_t from, const char *text)
{
	while (from < record->count && (record->items[from].kind != RECORD_TEXT ||
					       strcmp(record->items[from].text, text) != 0))
		from++;
	return from;
}

static inline size_t record_count_text(const struct record *record, const char *text)
{
	size_t count = 0;
	for (size_t i = 0; (i = record_find(record, i, text)) < record->count; i++)
		count++;
	return count;
}

/* True when the insides of two boxes meet by more than a hair. */
static inline bool record_overlap(const struct record_item *a, const struct record_item *b)
{
	const double hair = 1e-6;
	return a->left < b->right - hair && b->left < a->right - hair &&
	       a->top < b->bottom - hair && b->top < a->bottom - hair;
}

static inline void record_tell(const char *what, const struct record_item *item)
{
	fprintf(stderr, "%s: page %zu, x %.2f to %.2f, y %.2f to %.2f, \"%s\"\n", what,
		item->page + 1, item->left, item->right, item->top, item->bottom,
		item->text != NULL ? item->text : "");
}

/* How many items reach over the margin on their page. */
static inline size_t record_outside(const struct record *record, double margin)
{
	size_t outside = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		const struct record_page *page = &record->pages[item->page];
		if (item->left < margin - 1e-6 || item->top < margin - 1e-6 ||
			item->right > page->width - margin + 1e-6 ||
			item->bottom > page->height - margin + 1e-6) {
			record_tell("outside", item);
			outside++;
		}
	}
	return outside;
}

/* True when a line from one point to another, `reach` wide to both sides, meets a box. By the
 * directions in which a line and a box can be apart: across, down, and square to the line. */
static inline bool record_line_meets(struct lt_point from, struct lt_point to, double reach,
	const struct record_item *box)
{
	if (fmax(from.x, to.x) + reach <= box->left || fmin(from.x, to.x) - reach >= box->right ||
		fmax(from.y, to.y) + reach <= box->top || fmin(from.y, to.y) - reach >= box->bottom)
		return false;
	double across = to.x - from.x, down = to.y - from.y;
	double length = hypot(across, down);
	double middle_x = (box->left + box->right) / 2 - from.x;
	double middle_y = (box->top + box->bottom) / 2 - from.y;
	double apart = fabs(across * middle_y - down * middle_x);
	double half =
		(fabs(across) * (box->bottom - box->top) + fabs(down) * (box->right - box->left)) /
		2;
	return apart < half + reach * length;
}

/* True when the outline of a shape goes through a box. */
static inline bool record_outline_meets(const struct record_item *shape,
	const struct record_item *box)
{
	if (shape->kind == RECORD_CIRCLE) {
		struct lt_point centre = shape->points[0];
		double near_x = fmax(0, fmax(box->left - centre.x, centre.x - box->right));
		double near_y = fmax(0, fmax(box->top - centre.y, centre.y - box->bottom));
		double far_x = fmax(fabs(box->left - centre.x), fabs(box->right - centre.x));
		double far_y = fmax(fabs(box->top - centre.y), fabs(box->bottom - centre.y));
		return hypot(near_x, near_y) < shape->radius + shape->line / 2 &&
		       hypot(far_x, far_y) > shape->radius - shape->line / 2;
	}
	size_t count = shape->point_count;
	for (size_t i = shape->kind == RECORD_POLYGON ? 0 : 1; i < count; i++) {
		if (record_line_meets(shape->points[i > 0 ? i - 1 : count - 1], shape->points[i],
			    shape->line / 2, box))
			return true;
	}
	return false;
}

/* True when `a`, a text, may not meet `b`: another text, a tick box, or a line or outline through
 * its letters. Fills are backgrounds and underlines, and are measured apart. */
static inline bool record_clash(const struct record_item *a, const struct record_item *b)
{
	if (b->kind == RECORD_FILL || !record_overlap(a, b))
		return false;
	if (b->kind == RECORD_POLYLINE || b->kind == RECORD_POLYGON || b->kind == RECORD_CIRCLE) {
		struct record_item letters = *a;
		letters.top = a->baseline - a->capital;
		letters.bottom = a->baseline;
		return record_outline_meets(b, &letters);
	}
	return b->kind != RECORD_LINE ||
	       (b->top < a->baseline && b->bottom > a->baseline - a->capital);
}

/* How many texts meet what they must not meet. */
static inline size_t record_clashes(const struct record *record)
{
	size_t clashes = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *a = &record->items[i];
		const struct record_page *page = &record->pages[a->page];
		if (a->kind != RECORD_TEXT)
			continue;
		for (size_t j = page->first; j < page->first + page->count; j++) {
			const struct record_item *b = &record->items[j];
			if (i == j || (b->kind == RECORD_TEXT && j < i) || !record_clash(a, b))
				continue;
			record_tell("text", a);
			record_tell("meets", b);
			clashes++;
		}
	}
	return clashes;
}

/* How many texts have capitals lower than `least` mm, and how many frames are smaller than `box`
 * mm a side (every frame on these papers is a box to tick). */
static inline size_t record_too_small(const struct record *record, double least, double box)
{
	size_t small = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		bool text = item->kind == RECORD_TEXT && item->capital < least;
		bool frame = item->kind == RECORD_FRAME &&
			     (item->right - item->left < box || item->bottom - item->top < box);
		if (text || frame) {
			record_tell("too small", item);
			small++;
		}
	}
	return small;
}

/* How many items are in any colour but black, grey and white. */
static inline size_t record_coloured(const struct record *record)
{
	size_t coloured = 0;
	for (size_t i = 0; i < record->count; i++) {
		struct lt_ink ink = record->items[i].ink;
		struct lt_ink fill = record->items[i].fill;
		coloured += ink.red != ink.green || ink.green != ink.blue ||
			    fill.red != fill.green || fill.green != fill.blue;
	}
	return coloured;
}

#endif
