/* Pictures made of dots. */
#ifndef LOOMTAG_DRAW_DITHER_H
#define LOOMTAG_DRAW_DITHER_H

#include "loomtag/draw.h"

/* A page of dots, and a place on it that may reach beyond. */
struct lt_dither_place {
	unsigned char *bytes;
	size_t stride;
	int page_width, page_height;
	int left, top, width, height;
};

/* Fills the place with the picture in black and white, a byte a dot: 0 white and 255 black. Where a
 * dot takes the place of several pixels it goes by their average. What is rounded to black or white
 * is made up for in the dots beside and below (error diffusion by Floyd and Steinberg, 1976), so
 * that as much is black as the picture is dark; what is all black or all white stays so. */
void lt_dither(const struct lt_dither_place *to, const struct lt_image *image);

/* Fills the place with the picture in its colours, a word a dot, 0x00RRGGBB. Averages likewise. */
void lt_dither_colours(const struct lt_dither_place *to, const struct lt_image *image);

#endif
