/* The raster canvases: pages of dots. Shapes are cairo's, characters freetype's. What is level or
 * upright lies on whole dots; the rest does in black and white, and has soft edges in colour. */
#include <cairo.h>
#include <math.h>
#include <stdlib.h>

#include "draw/canvas.h"
#include "draw/dots.h"
#include "draw/png.h"

#define DPI_LEAST 10.0
#define DPI_MOST 5000.0

/* Largest page, dots: a byte is kept for each in black and white, four in colour. */
#define DOTS_MOST 4e8
#define DOTS_MOST_COLOUR 1.5e8

/* A page is a cairo surface, and a bitmap. */
struct raster {
	bool colour;
	double dpi;
	double scale; /* dots a mm */
	struct lt_glyphs glyphs;
	struct lt_dot_sink dots;      /* where the pages go, */
	struct lt_page_sink pictures; /* or where they go as PNGs */
	unsigned page;
	cairo_surface_t *surface; /* NULL when no page could be made */
	cairo_t *cairo;           /* draws nothing where there is no surface */
	struct lt_bitmap bitmap;
	double width, height; /* mm, as asked for */
	struct lt_diags trouble;
};

static void drop_page(struct raster *raster)
{
	cairo_destroy(raster->cairo);
	cairo_surface_destroy(raster->surface);
	raster->cairo = cairo_create(NULL);
	raster->surface = NULL;
}

static void note_no_memory(struct raster *raster)
{
	lt_error(&raster->trouble, lt_place_none(),
		"there is not enough memory for a picture of %g x %g mm at %g dpi", raster->width,
		raster->height, raster->dpi);
}

/* The surface is white. */
static void make_surface(struct raster *raster, int width, int height)
{
	raster->surface =
		cairo_image_surface_create(raster->colour ? CAIRO_FORMAT_RGB24 : CAIRO_FORMAT_A8,
			width, height);
	raster->cairo = cairo_create(raster->surface);
	if (cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS) {
		note_no_memory(raster);
		drop_page(raster);
		return;
	}
	if (raster->colour) {
		cairo_set_source_rgb(raster->cairo, 1, 1, 1);
		cairo_paint(raster->cairo);
	} else {
		cairo_set_antialias(raster->cairo, CAIRO_ANTIALIAS_NONE);
		cairo_set_operator(raster->cairo, CAIRO_OPERATOR_SOURCE);
	}
	raster->bitmap = (struct lt_bitmap){
		.bytes = cairo_image_surface_get_data(raster->surface),
		.stride = (size_t)cairo_image_surface_get_stride(raster->surface),
		.width = width,
		.height = height,
		.colour = raster->colour,
	};
}

static void begin_page(void *data, double width, double height)
{
	struct raster *raster = data;
	drop_page(raster);
	raster->page++;
	if (raster->trouble.count > 0)
		return;
	raster->width = width;
	raster->height = height;
	double across = width * raster->scale;
	double down = height * raster->scale;
	const double most = raster->colour ? DOTS_MOST_COLOUR : DOTS_MOST;
	if (across >= 0.5 && down >= 0.5 && across <= LT_DOTS_SIDE_MOST &&
		down <= LT_DOTS_SIDE_MOST && across * down <= most) {
		make_surface(raster, lt_dot(across), lt_dot(down));
		return;
	}
	lt_error(&raster->trouble, lt_place_none(),
		"a picture cannot be %g x %g mm at %g dpi: a side must have 1 to %.0f dots, and a page at most %.0f million",
		width, height, raster->dpi, LT_DOTS_SIDE_MOST, most / 1e6);
	lt_hint(&raster->trouble, "give a smaller --dpi, or write a PDF");
}

static void set_ink(struct raster *raster, struct lt_ink ink)
{
	if (!raster->colour) {
		cairo_set_source_rgba(raster->cairo, 0, 0, 0, lt_ink_is_black(ink) ? 1 : 0);
		return;
	}
	unsigned rgb = lt_ink_rgb(ink);
	cairo_set_source_rgb(raster->cairo, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0,
		(rgb & 255) / 255.0);
}

static int to_dot(const struct raster *raster, double mm)
{
	return lt_dot(mm * raster->scale);
}

/* Where a point comes to lie, in dots. */
static double place(const struct raster *raster, double mm)
{
	double dots = mm * raster->scale;
	if (!raster->colour)
		return lt_dot(dots);
	return lt_dots_within(dots, -2 * LT_DOTS_SIDE_MOST);
}

/* From one dot to another, at least one dot thick. */
static void fill_dots(struct raster *raster, int left, int top, int right, int bottom)
{
	int width = right > left ? right - left : 1;
	int height = bottom > top ? bottom - top : 1;
	cairo_rectangle(raster->cairo, left, top, width, height);
	cairo_fill(raster->cairo);
}

/* Rounds edges and not sizes, so that what touches still does. */
static void draw_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct raster *raster = data;
	set_ink(raster, fill);
	fill_dots(raster, to_dot(raster, x), to_dot(raster, y), to_dot(raster, x + width),
		to_dot(raster, y + height));
}

/* The dots of a line's width, about a centre. */
static void across_line(int *from, int *to, const struct raster *raster, double centre, double line)
{
	int thick = to_dot(raster, line);
	if (thick < 1)
		thick = 1;
	*from = lt_dot(centre * raster->scale - thick / 2.0);
	*to = *from + thick;
}

static void draw_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct raster *raster = data;
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

static void add_points(struct raster *raster, const struct lt_point *points, size_t count)
{
	for (size_t i = 0; i < count; i++)
		cairo_line_to(raster->cairo, place(raster, points[i].x),
			place(raster, points[i].y));
}

/* Strokes the path and forgets it; at least one dot thick, and dashes at least one long. */
static void stroke_path(struct raster *raster, const struct lt_pen *pen)
{
	set_ink(raster, pen->ink);
	cairo_set_line_width(raster->cairo, lt_dots_within(pen->line * raster->scale, 1));
	cairo_set_line_join(raster->cairo, CAIRO_LINE_JOIN_ROUND);
	double dash = lt_dots_within(pen->dash * raster->scale, 1);
	if (pen->dash > 0)
		cairo_set_dash(raster->cairo, &dash, 1, 0);
	cairo_stroke(raster->cairo);
	cairo_set_dash(raster->cairo, NULL, 0, 0);
	cairo_set_line_join(raster->cairo, CAIRO_LINE_JOIN_MITER);
}

static void draw_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	struct raster *raster = data;
	if (count < 2)
		return;
	add_points(raster, points, count);
	stroke_path(raster, pen);
}

static void draw_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct raster *raster = data;
	set_ink(raster, ink);
	int from, to;
	if (y1 == y2) {
		across_line(&from, &to, raster, y1, line);
		fill_dots(raster, to_dot(raster, fmin(x1, x2)), from, to_dot(raster, fmax(x1, x2)),
			to);
	} else if (x1 == x2) {
		across_line(&from, &to, raster, x1, line);
		fill_dots(raster, from, to_dot(raster, fmin(y1, y2)), to,
			to_dot(raster, fmax(y1, y2)));
	} else {
		draw_polyline(raster, (struct lt_point[]){ { x1, y1 }, { x2, y2 } }, 2,
			&(struct lt_pen){ .line = line, .ink = ink });
	}
}

/* Fills and strokes the path and forgets it. */
static void paint_path(struct raster *raster, const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (fill != NULL) {
		set_ink(raster, *fill);
		cairo_fill_preserve(raster->cairo);
	}
	if (pen != NULL)
		stroke_path(raster, pen);
	cairo_new_path(raster->cairo);
}

static void draw_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	struct raster *raster = data;
	if (count < 3)
		return;
	add_points(raster, points, count);
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

static void draw_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct raster *raster = data;
	if (!(radius > 0))
		return;
	cairo_arc(raster->cairo, place(raster, x), place(raster, y),
		lt_dots_within(radius * raster->scale, 0.5), 0, 2 * acos(-1));
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

static void draw_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct raster *raster = data;
	struct lt_grid_symbol symbol = lt_grid_symbol(x, y, module, qr->modules, raster->scale);
	int left = lt_dot(symbol.left);
	int top = lt_dot(symbol.top);
	int dots = lt_dot(symbol.module);
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
static void draw_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	struct raster *raster = data;
	const struct lt_type type = { face, size * raster->scale, ink };
	if (raster->surface == NULL || !(type.em > 0))
		return;
	cairo_surface_flush(raster->surface);
	if (!lt_glyphs_put(&raster->glyphs, &raster->bitmap, &type, x * raster->scale,
		    to_dot(raster, baseline), text))
		lt_error(&raster->trouble, lt_place_none(),
			"the font library cannot draw a text on page %u", raster->page);
	cairo_surface_mark_dirty(raster->surface);
}

static void draw_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	struct raster *raster = data;
	if (raster->surface == NULL || image->width == 0 || image->height == 0)
		return;
	cairo_rectangle_int_t place = { .x = to_dot(raster, x), .y = to_dot(raster, y) };
	place.width = to_dot(raster, x + width) - place.x;
	place.height = to_dot(raster, y + height) - place.y;
	cairo_surface_flush(raster->surface);
	lt_dots_put_image(&raster->bitmap, &place, image);
	cairo_surface_mark_dirty(raster->surface);
}

/* The page can be large: it goes before somebody copies its picture. */
static bool give_picture(struct raster *raster, const struct lt_dots *dots, struct lt_diags *diags)
{
	struct lt_packed png;
	if (!lt_png_pack_page(&png, dots, raster->colour, raster->dpi)) {
		lt_error(diags, lt_place_none(), "the PNG library cannot encode page %u",
			raster->page);
		return false;
	}
	drop_page(raster);
	bool good = raster->pictures.page(raster->pictures.data, raster->page, png.bytes,
		png.length, diags);
	free(png.bytes);
	return good;
}

static bool give_page(struct raster *raster, struct lt_diags *diags)
{
	const struct lt_dot_page page = {
		.dots = { raster->bitmap.bytes, raster->bitmap.stride,
			(unsigned)raster->bitmap.width, (unsigned)raster->bitmap.height },
		.dpi = raster->dpi,
		.width = raster->width,
		.height = raster->height,
	};
	cairo_surface_flush(raster->surface);
	if (raster->dots.page == NULL)
		return give_picture(raster, &page.dots, diags);
	return raster->dots.page(raster->dots.data, raster->page, &page, diags);
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct raster *raster = data;
	if (raster->surface != NULL && cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS)
		note_no_memory(raster);
	bool good = lt_canvas_report(&raster->trouble, diags) &&
		    (raster->surface == NULL || give_page(raster, diags));
	drop_page(raster);
	return good;
}

static bool finish(void *data, struct lt_diags *diags)
{
	const struct raster *raster = data;
	return lt_canvas_report(&raster->trouble, diags);
}

static void destroy(void *data)
{
	struct raster *raster = data;
	drop_page(raster);
	lt_glyphs_finish(&raster->glyphs);
	lt_diags_finish(&raster->trouble);
	free(raster);
}

/* A canvas of what is given: the resolution, the sink, and whether in colour. */
static bool create(struct lt_canvas *out, const struct raster *given, struct lt_fonts *fonts,
	struct lt_diags *diags)
{
	*out = (struct lt_canvas){ 0 };
	if (!(given->dpi >= DPI_LEAST && given->dpi <= DPI_MOST)) {
		lt_error(diags, lt_place_none(),
			"a resolution of %g dpi is not possible: it must be from %.0f to %.0f dpi",
			given->dpi, DPI_LEAST, DPI_MOST);
		return false;
	}
	struct raster *raster = lt_alloc(sizeof(*raster));
	*raster = *given;
	raster->scale = given->dpi / LT_MM_PER_INCH;
	lt_glyphs_init(&raster->glyphs, fonts, given->colour);
	drop_page(raster);
	*out = (struct lt_canvas){
		.begin_page = begin_page,
		.text = draw_text,
		.rectangle = draw_rectangle,
		.frame = draw_frame,
		.line = draw_line,
		.polyline = draw_polyline,
		.polygon = draw_polygon,
		.circle = draw_circle,
		.image = draw_image,
		.qr = draw_qr,
		.end_page = end_page,
		.finish = finish,
		.destroy = destroy,
		.data = raster,
	};
	return true;
}

bool lt_raster_create(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags)
{
	return create(out, &(struct raster){ .dpi = dpi, .pictures = *sink }, fonts, diags);
}

bool lt_raster_create_dots(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_dot_sink *sink, struct lt_diags *diags)
{
	return create(out, &(struct raster){ .dpi = dpi, .dots = *sink }, fonts, diags);
}

bool lt_raster_create_colour(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags)
{
	return create(out, &(struct raster){ .colour = true, .dpi = dpi, .pictures = *sink }, fonts,
		diags);
}
