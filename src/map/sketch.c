/* Shapes and texts of panels: gathered, kept, drawn. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "map/panel.h"

const struct lt_type lt_panel_text = { LT_TYPEFACE_REGULAR, 8 * LT_POINT, 3.6, 0 };
const struct lt_type lt_panel_strong = { LT_TYPEFACE_BOLD, 8 * LT_POINT, 3.6, 0 };
const struct lt_type lt_panel_label = { LT_TYPEFACE_REGULAR, 7.5 * LT_POINT, 3.6, LT_MARK_LABEL };
const struct lt_type lt_panel_way = { LT_TYPEFACE_BOLD, 7.5 * LT_POINT, 3.3, 0 };
const struct lt_type lt_panel_code = { LT_TYPEFACE_REGULAR, 7.5 * LT_POINT, 3.3, 0 };

void lt_sketch_init(struct lt_sketch *sketch, const struct lt_measure *measure)
{
	*sketch = (struct lt_sketch){ 0 };
	lt_flow_init(&sketch->flow, measure, 0, 0, 0, 0);
}

void lt_sketch_finish(struct lt_sketch *sketch)
{
	lt_flow_finish(&sketch->flow);
	free(sketch->shapes);
	*sketch = (struct lt_sketch){ 0 };
}

static struct lt_panel_shape *add(struct lt_sketch *sketch, enum lt_panel_shape_kind kind, double x,
	double y, double width, double height)
{
	sketch->shapes = lt_grow(sketch->shapes, &sketch->shape_room, sketch->shape_count + 1,
		sizeof *sketch->shapes);
	struct lt_panel_shape *shape = &sketch->shapes[sketch->shape_count++];
	*shape = (struct lt_panel_shape){
		.kind = kind, .x = x, .y = y, .width = width, .height = height
	};
	return shape;
}

void lt_sketch_line(struct lt_sketch *sketch, double x1, double y1, double x2, double y2,
	struct lt_pen pen)
{
	add(sketch, LT_PANEL_LINE, x1, y1, x2 - x1, y2 - y1)->pen = pen;
}

void lt_sketch_box(struct lt_sketch *sketch, double x, double y, double width, double height,
	struct lt_pen pen)
{
	add(sketch, LT_PANEL_BOX, x, y, width, height)->pen = pen;
}

void lt_sketch_circle(struct lt_sketch *sketch, double x, double y, double radius,
	struct lt_pen pen)
{
	add(sketch, LT_PANEL_CIRCLE, x - radius, y - radius, 2 * radius, 2 * radius)->pen = pen;
}

void lt_sketch_polygon(struct lt_sketch *sketch, const struct lt_point *points, size_t count,
	struct lt_pen pen)
{
	double left = points[0].x, right = left, top = points[0].y, bottom = top;
	for (size_t i = 1; i < count; i++) {
		left = fmin(left, points[i].x);
		right = fmax(right, points[i].x);
		top = fmin(top, points[i].y);
		bottom = fmax(bottom, points[i].y);
	}
	struct lt_panel_shape *shape =
		add(sketch, LT_PANEL_POLYGON, left, top, right - left, bottom - top);
	shape->points = points;
	shape->count = count;
	shape->pen = pen;
}

void lt_sketch_swatch(struct lt_sketch *sketch, double x, double y, double width, double height,
	const struct lt_colour *colour)
{
	add(sketch, LT_PANEL_SWATCH, x, y, width, height)->colour = colour;
}

void lt_sketch_glue(struct lt_sketch *sketch, double top, double bottom)
{
	add(sketch, LT_PANEL_GLUE, 0, top, 0, bottom - top);
}

void lt_sketch_centred(struct lt_sketch *sketch, double x, double y, const struct lt_type *type,
	const char *text)
{
	struct lt_typeface_heights heights =
		sketch->flow.measure->heights(sketch->flow.measure->data, type->face);
	lt_flow_line(&sketch->flow, x - lt_flow_measure(&sketch->flow, type, text) / 2,
		y + heights.ascent * type->size, type, text);
}

double lt_sketch_text_height(const struct lt_sketch *sketch, const struct lt_type *type)
{
	struct lt_typeface_heights heights =
		sketch->flow.measure->heights(sketch->flow.measure->data, type->face);
	return (heights.ascent + heights.descent) * type->size;
}

double lt_sketch_code(struct lt_sketch *sketch, double x, double y, const struct lt_way *way,
	size_t wire, double gap)
{
	lt_sketch_centred(sketch, x, y, &lt_panel_code, way->written[wire]);
	y += lt_sketch_text_height(sketch, &lt_panel_code);
	/* IEC 60445: green-and-yellow alone is protective earth. */
	if (!lt_colour_is_earth(&way->colours[wire]))
		return y + gap;
	lt_sketch_centred(sketch, x, y, &lt_panel_way, "PE");
	return y + gap + lt_sketch_text_height(sketch, &lt_panel_way);
}

static void keep_items(struct lt_drawing *out, struct lt_arena *arena, const struct lt_flow *flow)
{
	struct lt_flow_item *items = lt_arena_array(arena, flow->item_count, sizeof *items);
	for (size_t i = 0; i < flow->item_count; i++) {
		items[i] = flow->items[i];
		if (items[i].text != NULL)
			items[i].text = lt_arena_strdup(arena, items[i].text);
		out->width = fmax(out->width, items[i].x + items[i].width);
		out->height = fmax(out->height, items[i].y + items[i].height);
	}
	out->items = items;
	out->item_count = flow->item_count;
}

static void keep_shapes(struct lt_drawing *out, struct lt_arena *arena,
	const struct lt_sketch *sketch)
{
	struct lt_panel_shape *shapes = lt_arena_array(arena, sketch->shape_count, sizeof *shapes);
	for (size_t i = 0; i < sketch->shape_count; i++) {
		struct lt_panel_shape *shape = &shapes[i];
		*shape = sketch->shapes[i];
		double reach = shape->pen.line / 2;
		out->width = fmax(out->width, shape->x + fmax(shape->width, 0) + reach);
		out->height = fmax(out->height, shape->y + fmax(shape->height, 0) + reach);
	}
	out->shapes = shapes;
	out->shape_count = sketch->shape_count;
}

void lt_sketch_keep(struct lt_drawing *out, struct lt_arena *arena, const struct lt_sketch *sketch)
{
	*out = (struct lt_drawing){ 0 };
	keep_items(out, arena, &sketch->flow);
	keep_shapes(out, arena, sketch);
}

double lt_drawing_paragraph(struct lt_drawing *out, struct lt_arena *arena,
	const struct lt_measure *measure, const struct lt_map_area *box, const struct lt_type *type,
	const char *text)
{
	struct lt_sketch sketch;
	lt_sketch_init(&sketch, measure);
	double below = lt_flow_paragraph(&sketch.flow, box->x, box->y, box->width, type, text).y;
	lt_sketch_keep(out, arena, &sketch);
	lt_sketch_finish(&sketch);
	return below;
}

static void draw_polygon(struct lt_canvas *canvas, const struct lt_panel_shape *shape, double x,
	double y)
{
	enum { POINTS_MOST = 16 };
	struct lt_point points[POINTS_MOST];
	size_t count = shape->count < POINTS_MOST ? shape->count : POINTS_MOST;
	for (size_t i = 0; i < count; i++)
		points[i] = (struct lt_point){ x + shape->points[i].x, y + shape->points[i].y };
	canvas->polygon(canvas->data, points, count, &shape->pen, NULL);
}

static void draw_box(struct lt_canvas *canvas, const struct lt_panel_shape *shape, double x,
	double y)
{
	struct lt_point points[4] = { { x, y }, { x + shape->width, y },
		{ x + shape->width, y + shape->height }, { x, y + shape->height } };
	canvas->polygon(canvas->data, points, 4, &shape->pen, NULL);
}

static void draw_shape(struct lt_canvas *canvas, const struct lt_panel_shape *shape, double x,
	double y)
{
	double left = x + shape->x, top = y + shape->y;
	switch (shape->kind) {
	case LT_PANEL_LINE: {
		struct lt_point ends[2] = { { left, top },
			{ left + shape->width, top + shape->height } };
		canvas->polyline(canvas->data, ends, 2, &shape->pen);
		break;
	}
	case LT_PANEL_BOX:
		draw_box(canvas, shape, left, top);
		break;
	case LT_PANEL_CIRCLE:
		canvas->circle(canvas->data, left + shape->width / 2, top + shape->height / 2,
			shape->width / 2, &shape->pen, NULL);
		break;
	case LT_PANEL_POLYGON:
		draw_polygon(canvas, shape, x, y);
		break;
	case LT_PANEL_SWATCH:
		lt_swatch_draw(canvas, left, top, shape->width, shape->height, shape->colour);
		break;
	case LT_PANEL_GLUE:
		break;
	}
}

void lt_drawing_draw(struct lt_canvas *canvas, const struct lt_drawing *drawing, double x, double y,
	double top, double bottom)
{
	for (size_t i = 0; i < drawing->shape_count; i++) {
		const struct lt_panel_shape *shape = &drawing->shapes[i];
		double begins = shape->y + fmin(shape->height, 0);
		if (begins >= top && begins < bottom)
			draw_shape(canvas, shape, x, y);
	}
	for (size_t i = 0; i < drawing->item_count; i++) {
		const struct lt_flow_item *item = &drawing->items[i];
		if (item->y >= top && item->y < bottom)
			lt_flow_draw_item(canvas, item, x, y + item->y);
	}
}
