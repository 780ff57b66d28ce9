/* PNGs, made in memory. */
#ifndef LOOMTAG_DRAW_PNG_H
#define LOOMTAG_DRAW_PNG_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/draw.h"

struct lt_png {
	unsigned char *bytes; /* the caller frees */
	size_t length;
};

/* Encodes the dots, a bit each, with their number a metre (ISO/IEC 15948, pHYs). False, with
 * nothing in `*out`, when the PNG library refuses. */
bool lt_png_encode(struct lt_png *out, const struct lt_dots *dots, double dpi);

/* Encodes dots that are words, 0x00RRGGBB in the machine's order, a byte a colour; likewise. */
bool lt_png_encode_words(struct lt_png *out, const struct lt_dots *words, double dpi);

/* Encodes a picture in its colours, likewise. */
bool lt_png_encode_colours(struct lt_png *out, const struct lt_image *image);

#endif
