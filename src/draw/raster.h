/* The raster canvases: what their pages are, and how each kind of thing is drawn on them. */
#ifndef LOOMTAG_DRAW_RASTER_H
#define LOOMTAG_DRAW_RASTER_H

#include <cairo.h>

#include "draw/fonts.h"
#include "draw/glyphs.h"
#include "loomtag/draw.h"

/* Longest side of a page, dots: cairo takes them to 32767. */
#define LT_RASTER_SIDE_MOST 30000.0

enum lt_raster_trouble { LT_RASTER_NO_TROUBLE, LT_RASTER_SIZE, LT_RASTER_SURFACE, LT_RASTER_GLYPH };

/* A page is a cairo surface: in black and white of a byte a dot, 0 white and 255 black, with no
 * shades between; in colour of a word a dot, 0x00RRGGBB. Shapes are cairo's; characters are
 * freetype's pictures, which its hinting is made for. cairo would keep our fonts in a cache that
 * outlives them. */
struct lt_raster {
	bool colour;
	double dpi;
	double scale; /* dots a mm */
	struct lt_fonts *fonts;
	struct lt_glyphs glyphs;
	struct lt_dot_sink sink;      /* where the pages go in black and white */
	struct lt_page_sink pictures; /* where the pages go that are made into PNGs */
	unsigned page;
	cairo_surface_t *surface; /* NULL when no page could be made */
	cairo_t *cairo;
	int width, height; /* dots */
	enum lt_raster_trouble trouble;
	double asked_width, asked_height; /* mm */
};

/* Rounds to a whole dot, far within what an int and cairo hold. */
int lt_raster_dot(double dots);

/* A length in dots, from `least` to what cairo holds. */
double lt_raster_within(double dots, double least);

/* Darker than half, by the luminance weights of ITU-R BT.709. */
bool lt_raster_is_black(struct lt_ink ink);

/* The ink as 0xRRGGBB. */
unsigned lt_raster_rgb(struct lt_ink ink);

/* The functions of the canvas; `data` is a struct lt_raster. */
void lt_raster_text(void *data, double x, double baseline, enum lt_face face, double size,
	struct lt_ink ink, const char *text);
void lt_raster_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill);
void lt_raster_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink);
void lt_raster_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink);
void lt_raster_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen);
void lt_raster_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill);
void lt_raster_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill);
void lt_raster_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image);
void lt_raster_qr(void *data, double x, double y, double module, const struct lt_qr *qr);

#endif
