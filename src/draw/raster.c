#include <cairo.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "draw/dither.h"
#include "draw/fonts.h"
#include "draw/glyphs.h"
#include "draw/grid.h"
#include "draw/png.h"
#include "loomtag/canvas.h"
#include "loomtag/memory.h"
#include "loomtag/text.h"

#define DPI_LEAST 10.0
#define DPI_MOST 5000.0

/* Largest page: cairo takes sides to 32767, and a byte is kept for each dot. */
#define SIDE_MOST 30000.0
#define DOTS_MOST 4e8

enum trouble { TROUBLE_NONE, TROUBLE_SIZE, TROUBLE_SURFACE, TROUBLE_GLYPH };

/* A page is a cairo surface of a byte a dot, 0 white and 255 black, with no shades between. Shapes
 * are cairo's; characters are freetype's 1-bit pictures, which its hinting is made for. cairo would
 * keep our fonts in a cache that outlives them. */
struct raster {
	double dpi;
	double scale; /* dots a mm */
	struct lt_fonts *fonts;
	struct lt_glyphs glyphs;
	struct lt_dot_sink sink;
	struct lt_page_sink pictures; /* where the dots go when they are made into PNGs */
	unsigned page;
	cairo_surface_t *surface; /* NULL when no page could be made */
	cairo_t *cairo;
	int width, height; /* dots */
	enum trouble trouble;
	double asked_width, asked_height; /* mm */
};

/* Rounds to a whole dot, far within what an int and cairo hold. */
static int to_dot(double dots)
{
	if (!(dots > -2 * SIDE_MOST))
		return (int)(-2 * SIDE_MOST);
	return dots < 2 * SIDE_MOST ? (int)lround(dots) : (int)(2 * SIDE_MOST);
}

/* A length in dots, from `least` to what cairo holds. */
static double within(double dots, double least)
{
	if (!(dots > least))
		return least;
	return dots < 2 * SIDE_MOST ? dots : 2 * SIDE_MOST;
}

/* Darker than half, by the luminance weights of ITU-R BT.709. */
static bool is_black(struct lt_ink ink)
{
	return 0.2126 * ink.red + 0.7152 * ink.green + 0.0722 * ink.blue < 0.5;
}

static void drop_page(struct raster *raster)
{
	if (raster->cairo != NULL)
		cairo_destroy(raster->cairo);
	if (raster->surface != NULL)
		cairo_surface_destroy(raster->surface);
	raster->cairo = NULL;
	raster->surface = NULL;
}

static void begin_page(void *data, double width, double height)
{
	struct raster *raster = data;
	drop_page(raster);
	raster->page++;
	if (raster->trouble != TROUBLE_NONE)
		return;
	raster->asked_width = width;
	raster->asked_height = height;
	double across = width * raster->scale;
	double down = height * raster->scale;
	if (!(across >= 0.5 && down >= 0.5 && across <= SIDE_MOST && down <= SIDE_MOST &&
		    across * down <= DOTS_MOST)) {
		raster->trouble = TROUBLE_SIZE;
		return;
	}
	raster->width = to_dot(across);
	raster->height = to_dot(down);
	raster->surface =
		cairo_image_surface_create(CAIRO_FORMAT_A8, raster->width, raster->height);
	raster->cairo = cairo_create(raster->surface);
	cairo_set_antialias(raster->cairo, CAIRO_ANTIALIAS_NONE);
	cairo_set_operator(raster->cairo, CAIRO_OPERATOR_SOURCE);
	if (cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS) {
		raster->trouble = TROUBLE_SURFACE;
		drop_page(raster);
	}
}

static void set_ink(struct raster *raster, struct lt_ink ink)
{
	cairo_set_source_rgba(raster->cairo, 0, 0, 0, is_black(ink) ? 1 : 0);
}

/* Puts a character's picture down; its dots leave alone what lies between them. */
static void put_glyph(struct raster *raster, const struct lt_glyph *glyph, int left, int top,
	bool black)
{
	unsigned char *page = cairo_image_surface_get_data(raster->surface);
	int stride = cairo_image_surface_get_stride(raster->surface);
	for (int y = 0; y < (int)glyph->rows; y++) {
		if (top + y < 0 || top + y >= raster->height)
			continue;
		const unsigned char *from = glyph->bits + (size_t)y * glyph->stride;
		unsigned char *to = page + (ptrdiff_t)(top + y) * stride;
		for (int x = 0; x < (int)glyph->width; x++) {
			if (left + x < 0 || left + x >= raster->width)
				continue;
			if ((from[x / 8] & 0x80 >> x % 8) != 0)
				to[left + x] = black ? 255 : 0;
		}
	}
}

static void draw_text(void *data, double x, double baseline, enum lt_face face, double size,
	struct lt_ink ink, const char *text)
{
	struct raster *raster = data;
	double em = size * raster->scale;
	if (raster->surface == NULL || !(em > 0))
		return;
	if (em > SIDE_MOST) {
		raster->trouble = TROUBLE_GLYPH;
		return;
	}
	long parts = lround(em * 64);
	cairo_surface_flush(raster->surface);
	/* From a whole dot on, so that a text looks the same wherever it stands. */
	int start = to_dot(x * raster->scale);
	int line = to_dot(baseline * raster->scale);
	unsigned long thousandths = 0;
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		int pen = start + to_dot(em * (double)thousandths / 1000);
		thousandths += lt_font_advance(raster->fonts, face, code);
		if (pen >= raster->width)
			break;
		const struct lt_glyph *glyph =
			lt_glyphs_get(&raster->glyphs, face, parts > 0 ? parts : 1, code);
		if (glyph == NULL) {
			raster->trouble = TROUBLE_GLYPH;
			break;
		}
		put_glyph(raster, glyph, pen + glyph->left, line - glyph->top, is_black(ink));
	}
	cairo_surface_mark_dirty(raster->surface);
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
	if (raster->surface == NULL)
		return;
	set_ink(raster, fill);
	fill_dots(raster, to_dot(x * raster->scale), to_dot(y * raster->scale),
		to_dot((x + width) * raster->scale), to_dot((y + height) * raster->scale));
}

/* The dots of a line's width, about a centre. */
static void across_line(int *from, int *to, const struct raster *raster, double centre, double line)
{
	int thick = to_dot(line * raster->scale);
	if (thick < 1)
		thick = 1;
	*from = to_dot(centre * raster->scale - thick / 2.0);
	*to = *from + thick;
}

static void draw_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct raster *raster = data;
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
static void stroke(struct raster *raster, double x1, double y1, double x2, double y2, double line)
{
	double thick = line * raster->scale;
	cairo_set_line_width(raster->cairo, thick > 1 ? thick : 1);
	cairo_move_to(raster->cairo, to_dot(x1 * raster->scale), to_dot(y1 * raster->scale));
	cairo_line_to(raster->cairo, to_dot(x2 * raster->scale), to_dot(y2 * raster->scale));
	cairo_stroke(raster->cairo);
}

static void draw_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct raster *raster = data;
	if (raster->surface == NULL)
		return;
	set_ink(raster, ink);
	int from, to;
	if (y1 == y2) {
		across_line(&from, &to, raster, y1, line);
		fill_dots(raster, to_dot(fmin(x1, x2) * raster->scale), from,
			to_dot(fmax(x1, x2) * raster->scale), to);
	} else if (x1 == x2) {
		across_line(&from, &to, raster, x1, line);
		fill_dots(raster, from, to_dot(fmin(y1, y2) * raster->scale), to,
			to_dot(fmax(y1, y2) * raster->scale));
	} else {
		stroke(raster, x1, y1, x2, y2, line);
	}
}

static void add_points(struct raster *raster, const struct lt_point *points, size_t count)
{
	for (size_t i = 0; i < count; i++)
		cairo_line_to(raster->cairo, to_dot(points[i].x * raster->scale),
			to_dot(points[i].y * raster->scale));
}

/* Strokes the path and forgets it; at least one dot thick, and dashes at least one long. */
static void stroke_path(struct raster *raster, const struct lt_pen *pen)
{
	set_ink(raster, pen->ink);
	cairo_set_line_width(raster->cairo, within(pen->line * raster->scale, 1));
	cairo_set_line_join(raster->cairo, CAIRO_LINE_JOIN_ROUND);
	double dash = within(pen->dash * raster->scale, 1);
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
	if (raster->surface == NULL || count < 2)
		return;
	add_points(raster, points, count);
	stroke_path(raster, pen);
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
	if (raster->surface == NULL || count < 3)
		return;
	add_points(raster, points, count);
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

static void draw_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct raster *raster = data;
	if (raster->surface == NULL || !(radius > 0))
		return;
	cairo_arc(raster->cairo, to_dot(x * raster->scale), to_dot(y * raster->scale),
		within(radius * raster->scale, 0.5), 0, 2 * acos(-1));
	cairo_close_path(raster->cairo);
	paint_path(raster, pen, fill);
}

static void draw_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	struct raster *raster = data;
	if (raster->surface == NULL || image->width == 0 || image->height == 0)
		return;
	cairo_surface_flush(raster->surface);
	int left = to_dot(x * raster->scale);
	int top = to_dot(y * raster->scale);
	const struct lt_dither_place place = {
		.bytes = cairo_image_surface_get_data(raster->surface),
		.stride = (size_t)cairo_image_surface_get_stride(raster->surface),
		.page_width = raster->width,
		.page_height = raster->height,
		.left = left,
		.top = top,
		.width = to_dot((x + width) * raster->scale) - left,
		.height = to_dot((y + height) * raster->scale) - top,
	};
	lt_dither(&place, image);
	cairo_surface_mark_dirty(raster->surface);
}

static void draw_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct raster *raster = data;
	if (raster->surface == NULL)
		return;
	struct lt_grid_symbol symbol = lt_grid_symbol(x, y, module, qr->modules, raster->scale);
	int left = to_dot(symbol.left);
	int top = to_dot(symbol.top);
	int dots = to_dot(symbol.module);
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

static bool tell_trouble(const struct raster *raster, struct lt_diags *diags)
{
	switch (raster->trouble) {
	case TROUBLE_NONE:
		return true;
	case TROUBLE_SIZE:
		lt_error(diags, lt_place_none(),
			"a picture of %g x %g mm at %g dots an inch cannot be made: a side takes 1 to %.0f dots, a page %.0f million",
			raster->asked_width, raster->asked_height, raster->dpi, SIDE_MOST,
			DOTS_MOST / 1e6);
		lt_hint(diags, "use a smaller --dpi, or a PDF");
		return false;
	case TROUBLE_SURFACE:
		lt_error(diags, lt_place_none(),
			"there is not enough memory for a picture of %g x %g mm at %g dots an inch",
			raster->asked_width, raster->asked_height, raster->dpi);
		return false;
	case TROUBLE_GLYPH:
		lt_error(diags, lt_place_none(), "the font library cannot draw a text on page %u",
			raster->page);
		return false;
	}
	return false;
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct raster *raster = data;
	if (raster->cairo != NULL && cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS)
		raster->trouble = TROUBLE_SURFACE;
	if (!tell_trouble(raster, diags)) {
		drop_page(raster);
		return false;
	}
	if (raster->surface == NULL)
		return true;
	cairo_surface_flush(raster->surface);
	struct lt_dot_page page = {
		.dots = {
			.bytes = cairo_image_surface_get_data(raster->surface),
			.stride = (size_t)cairo_image_surface_get_stride(raster->surface),
			.width = (unsigned)raster->width,
			.height = (unsigned)raster->height,
		},
		.dpi = raster->dpi,
		.width = raster->asked_width,
		.height = raster->asked_height,
	};
	bool good = raster->sink.page(raster->sink.data, raster->page, &page, diags);
	drop_page(raster);
	return good;
}

static bool finish(void *data, struct lt_diags *diags)
{
	return tell_trouble(data, diags);
}

static void destroy(void *data)
{
	struct raster *raster = data;
	drop_page(raster);
	lt_glyphs_finish(&raster->glyphs);
	free(raster);
}

/* A dot sink that makes PNGs; `data` is the raster. */
static bool make_picture(void *data, unsigned number, const struct lt_dot_page *page,
	struct lt_diags *diags)
{
	struct raster *raster = data;
	struct lt_png png;
	if (!lt_png_encode(&png, &page->dots, page->dpi)) {
		lt_error(diags, lt_place_none(), "the PNG library cannot encode page %u", number);
		return false;
	}
	/* The page can be large: it goes before somebody copies the picture. */
	drop_page(raster);
	bool good =
		raster->pictures.page(raster->pictures.data, number, png.bytes, png.length, diags);
	free(png.bytes);
	return good;
}

/* The raster, with no sink yet; NULL, and told, where nothing can be drawn at that resolution. */
static struct raster *create(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	struct lt_diags *diags)
{
	*out = (struct lt_canvas){ 0 };
	if (!(dpi >= DPI_LEAST && dpi <= DPI_MOST)) {
		lt_error(diags, lt_place_none(),
			"%g dots an inch is no resolution to draw at; it takes %.0f to %.0f", dpi,
			DPI_LEAST, DPI_MOST);
		return NULL;
	}
	struct raster *raster = lt_alloc(sizeof(*raster));
	*raster = (struct raster){ .dpi = dpi, .scale = dpi / LT_MM_PER_INCH, .fonts = fonts };
	lt_glyphs_init(&raster->glyphs, fonts);
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
	return raster;
}

bool lt_raster_create(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags)
{
	struct raster *raster = create(out, dpi, fonts, diags);
	if (raster == NULL)
		return false;
	raster->pictures = *sink;
	raster->sink = (struct lt_dot_sink){ make_picture, raster };
	return true;
}

bool lt_raster_create_dots(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_dot_sink *sink, struct lt_diags *diags)
{
	struct raster *raster = create(out, dpi, fonts, diags);
	if (raster == NULL)
		return false;
	raster->sink = *sink;
	return true;
}
