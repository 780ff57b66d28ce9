/* A panel in ink, whole or in parts. */
#include <math.h>
#include <stdlib.h>

#include "loomtag/photo.h"
#include "map/panel.h"

/* A photograph has no more dots than print shows: 300 to the inch. */
#define PHOTO_DOTS_A_MM (300 / 25.4)

#define HAIR 1e-6

const struct lt_pen lt_panel_frame = { 0.3, { 0.45, 0.45, 0.45 }, 0 };
static const struct lt_pen photo_pen = { 0.2, { 0.35, 0.35, 0.35 }, 0 };

void lt_panel_outline(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_pen *pen)
{
	const double in = pen->line / 2;
	struct lt_point corners[4] = { { x + in, y + in }, { x + width - in, y + in },
		{ x + width - in, y + height - in }, { x + in, y + height - in } };
	canvas->polygon(canvas->data, corners, 4, pen, NULL);
}

static bool draw_symbol(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y,
	struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_text text = { 0 };
	struct lt_qr_plan plan;
	struct lt_qr qr;
	bool made = lt_map_symbol_plan(&plan, &text, panel->tags, panel->connector) &&
		    lt_qr_encode(&qr, &arena, lt_text_string(&text), &plan, diags);
	if (made)
		canvas->qr(canvas->data, x + panel->qr.x, y + panel->qr.y, panel->module, &qr);
	lt_text_finish(&text);
	lt_arena_finish(&arena);
	return made;
}

/* The picture as large as the box has room for, in its shape, at its top left corner. */
static void draw_picture(struct lt_canvas *canvas, const struct lt_image *image, double x, double y,
	const struct lt_map_area *box)
{
	double scale = fmin(box->width / image->width, box->height / image->height);
	canvas->image(canvas->data, x, y, scale * image->width, scale * image->height, image);
}

static void draw_photo(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y,
	struct lt_diags *diags)
{
	const struct lt_map_area *box = &panel->photo;
	double dots = box->width * box->height * PHOTO_DOTS_A_MM * PHOTO_DOTS_A_MM;
	struct lt_image image = { 0 };
	x += box->x;
	y += box->y;
	if (lt_photo_read(&image, panel->tags->harness, panel->connector, (unsigned long)dots,
		    diags)) {
		draw_picture(canvas, &image, x, y, box);
	} else {
		lt_panel_outline(canvas, x, y, box->width, box->height, &photo_pen);
		lt_drawing_draw(canvas, &panel->no_photo, x, y, -HUGE_VAL, HUGE_VAL);
	}
	lt_image_finish(&image);
}

static bool within(const struct lt_map_area *box, double top, double bottom)
{
	return box->width > 0 && box->y >= top && box->y < bottom;
}

bool lt_panel_draw(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y,
	double top, double bottom, struct lt_diags *diags)
{
	bool continued = top > 0, ends = bottom >= panel->height;
	double head = continued ? LT_PANEL_CONTINUED : 0, foot = ends ? 0 : LT_PANEL_PAD;
	lt_panel_outline(canvas, x, y, panel->width, head + bottom - top + foot, &lt_panel_frame);
	if (continued)
		lt_drawing_draw(canvas, &panel->continued, x, y, -HUGE_VAL, HUGE_VAL);
	y += head - top;
	lt_drawing_draw(canvas, &panel->body, x, y, top, bottom);
	lt_drawing_draw(canvas, &panel->front.drawing, x + panel->front_x, y + panel->front_y,
		top - panel->front_y, bottom - panel->front_y);
	if (within(&panel->photo, top, bottom))
		draw_photo(canvas, panel, x, y, diags);
	return !within(&panel->qr, top, bottom) || draw_symbol(canvas, panel, x, y, diags);
}

/* From top to bottom of something that cannot be parted. */
struct reach {
	double top, bottom;
};

static int by_top(const void *a, const void *b)
{
	double first = ((const struct reach *)a)->top, second = ((const struct reach *)b)->top;
	return first < second ? -1 : first > second;
}

static size_t add_reaches(struct reach *reaches, size_t count, const struct lt_drawing *drawing,
	double y)
{
	for (size_t i = 0; i < drawing->item_count; i++) {
		const struct lt_flow_item *item = &drawing->items[i];
		reaches[count++] = (struct reach){ y + item->y, y + item->y + item->height };
	}
	for (size_t i = 0; i < drawing->shape_count; i++) {
		const struct lt_panel_shape *shape = &drawing->shapes[i];
		reaches[count++] = (struct reach){ y + shape->y + fmin(shape->height, 0),
			y + shape->y + fmax(shape->height, 0) };
	}
	return count;
}

static size_t add_box(struct reach *reaches, size_t count, const struct lt_map_area *box,
	double quiet)
{
	if (box->width > 0)
		reaches[count++] = (struct reach){ box->y - quiet, box->y + box->height + quiet };
	return count;
}

size_t lt_panel_breaks(double **out, struct lt_arena *arena, const struct lt_panel *panel)
{
	const struct lt_drawing *front = &panel->front.drawing;
	size_t room = panel->body.item_count + panel->body.shape_count + front->item_count +
		      front->shape_count + 2;
	struct reach *reaches = lt_alloc_array(room, sizeof *reaches);
	size_t count = add_reaches(reaches, 0, &panel->body, 0);
	count = add_reaches(reaches, count, front, panel->front_y);
	count = add_box(reaches, count, &panel->qr, LT_QR_QUIET * panel->module);
	count = add_box(reaches, count, &panel->photo, 0);
	qsort(reaches, count, sizeof *reaches, by_top);
	*out = lt_arena_array(arena, count, sizeof **out);
	size_t breaks = 0;
	double bottom = count > 0 ? reaches[0].bottom : 0;
	for (size_t i = 1; i < count; i++) {
		if (reaches[i].top > bottom + 2 * HAIR)
			(*out)[breaks++] = (bottom + reaches[i].top) / 2;
		bottom = fmax(bottom, reaches[i].bottom);
	}
	free(reaches);
	return breaks;
}
