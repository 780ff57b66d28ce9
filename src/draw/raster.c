/* The raster canvases: their pages, and where these go. */
#include <cairo.h>
#include <math.h>
#include <stdlib.h>

#include "draw/grid.h"
#include "draw/png.h"
#include "draw/raster.h"
#include "loomtag/base.h"

#define DPI_LEAST 10.0
#define DPI_MOST 5000.0

/* Largest page, dots: a byte is kept for each in black and white, four in colour. */
#define DOTS_MOST 4e8
#define DOTS_MOST_COLOUR 1.5e8

int lt_raster_dot(double dots)
{
	if (!(dots > -2 * LT_RASTER_SIDE_MOST))
		return (int)(-2 * LT_RASTER_SIDE_MOST);
	return dots < 2 * LT_RASTER_SIDE_MOST ? (int)lround(dots) : (int)(2 * LT_RASTER_SIDE_MOST);
}

double lt_raster_within(double dots, double least)
{
	if (!(dots > least))
		return least;
	return dots < 2 * LT_RASTER_SIDE_MOST ? dots : 2 * LT_RASTER_SIDE_MOST;
}

bool lt_raster_is_black(struct lt_ink ink)
{
	return 0.2126 * ink.red + 0.7152 * ink.green + 0.0722 * ink.blue < 0.5;
}

/* A share of the light as a byte. */
static unsigned to_byte(double share)
{
	if (!(share > 0))
		return 0;
	return share < 1 ? (unsigned)lround(share * 255) : 255;
}

unsigned lt_raster_rgb(struct lt_ink ink)
{
	return to_byte(ink.red) << 16 | to_byte(ink.green) << 8 | to_byte(ink.blue);
}

static void drop_page(struct lt_raster *raster)
{
	if (raster->cairo != NULL)
		cairo_destroy(raster->cairo);
	if (raster->surface != NULL)
		cairo_surface_destroy(raster->surface);
	raster->cairo = NULL;
	raster->surface = NULL;
}

static double dots_most(const struct lt_raster *raster)
{
	return raster->colour ? DOTS_MOST_COLOUR : DOTS_MOST;
}

/* The surface is white. */
static void make_surface(struct lt_raster *raster)
{
	raster->surface =
		cairo_image_surface_create(raster->colour ? CAIRO_FORMAT_RGB24 : CAIRO_FORMAT_A8,
			raster->width, raster->height);
	raster->cairo = cairo_create(raster->surface);
	if (raster->colour) {
		cairo_set_source_rgb(raster->cairo, 1, 1, 1);
		cairo_paint(raster->cairo);
	} else {
		cairo_set_antialias(raster->cairo, CAIRO_ANTIALIAS_NONE);
		cairo_set_operator(raster->cairo, CAIRO_OPERATOR_SOURCE);
	}
}

static void begin_page(void *data, double width, double height)
{
	struct lt_raster *raster = data;
	drop_page(raster);
	raster->page++;
	if (raster->trouble != LT_RASTER_NO_TROUBLE)
		return;
	raster->asked_width = width;
	raster->asked_height = height;
	double across = width * raster->scale;
	double down = height * raster->scale;
	if (!(across >= 0.5 && down >= 0.5 && across <= LT_RASTER_SIDE_MOST &&
		    down <= LT_RASTER_SIDE_MOST && across * down <= dots_most(raster))) {
		raster->trouble = LT_RASTER_SIZE;
		return;
	}
	raster->width = lt_raster_dot(across);
	raster->height = lt_raster_dot(down);
	make_surface(raster);
	if (cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS) {
		raster->trouble = LT_RASTER_SURFACE;
		drop_page(raster);
	}
}

static bool tell_trouble(const struct lt_raster *raster, struct lt_diags *diags)
{
	switch (raster->trouble) {
	case LT_RASTER_NO_TROUBLE:
		return true;
	case LT_RASTER_SIZE:
		lt_error(diags, lt_place_none(),
			"a picture of %g x %g mm at %g dots an inch cannot be made: a side takes 1 to %.0f dots, a page %.0f million",
			raster->asked_width, raster->asked_height, raster->dpi, LT_RASTER_SIDE_MOST,
			dots_most(raster) / 1e6);
		lt_hint(diags, "use a smaller --dpi, or a PDF");
		return false;
	case LT_RASTER_SURFACE:
		lt_error(diags, lt_place_none(),
			"there is not enough memory for a picture of %g x %g mm at %g dots an inch",
			raster->asked_width, raster->asked_height, raster->dpi);
		return false;
	case LT_RASTER_GLYPH:
		lt_error(diags, lt_place_none(), "the font library cannot draw a text on page %u",
			raster->page);
		return false;
	}
	return false;
}

/* Hands a picture on, and frees it. The page can be large: it goes before somebody copies it. */
static bool give_picture(struct lt_raster *raster, struct lt_png *png, struct lt_diags *diags)
{
	drop_page(raster);
	bool good = raster->pictures.page(raster->pictures.data, raster->page, png->bytes,
		png->length, diags);
	free(png->bytes);
	return good;
}

static bool tell_refused(const struct lt_raster *raster, struct lt_diags *diags)
{
	lt_error(diags, lt_place_none(), "the PNG library cannot encode page %u", raster->page);
	return false;
}

/* A dot sink that makes PNGs; `data` is the raster. */
static bool make_picture(void *data, unsigned number, const struct lt_dot_page *page,
	struct lt_diags *diags)
{
	(void)number;
	struct lt_raster *raster = data;
	struct lt_png png;
	if (!lt_png_encode(&png, &page->dots, page->dpi))
		return tell_refused(raster, diags);
	return give_picture(raster, &png, diags);
}

static bool give_colours(struct lt_raster *raster, struct lt_diags *diags)
{
	const struct lt_dots words = {
		.bytes = cairo_image_surface_get_data(raster->surface),
		.stride = (size_t)cairo_image_surface_get_stride(raster->surface),
		.width = (unsigned)raster->width,
		.height = (unsigned)raster->height,
	};
	struct lt_png png;
	if (!lt_png_encode_words(&png, &words, raster->dpi))
		return tell_refused(raster, diags);
	return give_picture(raster, &png, diags);
}

static bool give_dots(struct lt_raster *raster, struct lt_diags *diags)
{
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
	return raster->sink.page(raster->sink.data, raster->page, &page, diags);
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct lt_raster *raster = data;
	if (raster->cairo != NULL && cairo_status(raster->cairo) != CAIRO_STATUS_SUCCESS)
		raster->trouble = LT_RASTER_SURFACE;
	if (!tell_trouble(raster, diags)) {
		drop_page(raster);
		return false;
	}
	if (raster->surface == NULL)
		return true;
	cairo_surface_flush(raster->surface);
	bool good = raster->colour ? give_colours(raster, diags) : give_dots(raster, diags);
	drop_page(raster);
	return good;
}

static bool finish(void *data, struct lt_diags *diags)
{
	return tell_trouble(data, diags);
}

static void destroy(void *data)
{
	struct lt_raster *raster = data;
	drop_page(raster);
	lt_glyphs_finish(&raster->glyphs);
	free(raster);
}

/* The raster, with no sink yet; NULL, and told, where nothing can be drawn at that resolution. */
static struct lt_raster *create(struct lt_canvas *out, bool colour, double dpi,
	struct lt_fonts *fonts, struct lt_diags *diags)
{
	*out = (struct lt_canvas){ 0 };
	if (!(dpi >= DPI_LEAST && dpi <= DPI_MOST)) {
		lt_error(diags, lt_place_none(),
			"%g dots an inch is no resolution to draw at; it takes %.0f to %.0f", dpi,
			DPI_LEAST, DPI_MOST);
		return NULL;
	}
	struct lt_raster *raster = lt_alloc(sizeof(*raster));
	*raster = (struct lt_raster){
		.colour = colour,
		.dpi = dpi,
		.scale = dpi / LT_MM_PER_INCH,
		.fonts = fonts,
	};
	lt_glyphs_init(&raster->glyphs, fonts, colour);
	*out = (struct lt_canvas){
		.begin_page = begin_page,
		.text = lt_raster_text,
		.rectangle = lt_raster_rectangle,
		.frame = lt_raster_frame,
		.line = lt_raster_line,
		.polyline = lt_raster_polyline,
		.polygon = lt_raster_polygon,
		.circle = lt_raster_circle,
		.image = lt_raster_image,
		.qr = lt_raster_qr,
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
	struct lt_raster *raster = create(out, false, dpi, fonts, diags);
	if (raster == NULL)
		return false;
	raster->pictures = *sink;
	raster->sink = (struct lt_dot_sink){ make_picture, raster };
	return true;
}

bool lt_raster_create_dots(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_dot_sink *sink, struct lt_diags *diags)
{
	struct lt_raster *raster = create(out, false, dpi, fonts, diags);
	if (raster == NULL)
		return false;
	raster->sink = *sink;
	return true;
}

bool lt_raster_create_colour(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags)
{
	struct lt_raster *raster = create(out, true, dpi, fonts, diags);
	if (raster == NULL)
		return false;
	raster->pictures = *sink;
	return true;
}
