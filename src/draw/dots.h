/* Pages of dots, and what is drawn on them without cairo: characters and pictures. */
#ifndef LOOMTAG_DRAW_DOTS_H
#define LOOMTAG_DRAW_DOTS_H

#include <cairo.h>

#include "loomtag/draw.h"

/* Longest side of a page, dots: cairo takes them to 32767. */
#define LT_DOTS_SIDE_MOST 30000.0

/* A page: in black and white a byte a dot, 0 white and 255 black, with no shades between; in colour
 * a word a dot, 0x00RRGGBB. */
struct lt_bitmap {
	unsigned char *bytes;
	size_t stride;
	int width, height;
	bool colour;
};

/* Rounds to a whole dot, far within what an int and cairo hold. */
int lt_dot(double dots);

/* A length in dots, from `least` to what cairo holds. */
double lt_dots_within(double dots, double least);

/* Fills a place, which may reach beyond the page, with a picture. Where a dot takes the place of
 * several pixels it goes by their average. In black and white, what is rounded is made up for in
 * the dots beside and below (error diffusion by Floyd and Steinberg, 1976), so that as much is
 * black as the picture is dark; what is all black or all white stays so. */
void lt_dots_put_image(const struct lt_bitmap *page, const cairo_rectangle_int_t *place,
	const struct lt_image *image);

/* Characters as pictures by freetype, which its hinting is made for, while cairo would keep our
 * fonts in a cache that outlives them. The last ones drawn are kept: a sticker has the same ones as
 * the one before, and hinting a character takes longer than all else that is done to draw it. */
struct lt_glyph;
struct lt_glyphs {
	struct lt_fonts *fonts;
	bool soft; /* for pages in colour */
	struct lt_glyph *kept;
};

void lt_glyphs_init(struct lt_glyphs *out, struct lt_fonts *fonts, bool soft);
void lt_glyphs_finish(struct lt_glyphs *glyphs);

/* How a text is set. */
struct lt_type {
	enum lt_typeface face;
	double em; /* dots, above 0 */
	struct lt_ink ink;
};

/* Puts down a text that starts `x` dots from the left on line `line`; a character's dots leave
 * alone what lies between them. In black and white each lies on whole dots from a whole dot on, so
 * that a text looks the same wherever it stands; in colour on the nearest quarter of a dot, so that
 * small letters are spaced evenly. False when the em is too large or freetype refuses. */
bool lt_glyphs_put(struct lt_glyphs *glyphs, const struct lt_bitmap *page,
	const struct lt_type *type, double x, int line, const char *text);

#endif
