/* PNGs, made in memory. */
#ifndef LOOMTAG_DRAW_PNG_H
#define LOOMTAG_DRAW_PNG_H

#include "loomtag/draw.h"

/* Packs a page with its number of dots a metre (ISO/IEC 15948, pHYs): dots, a bit each; or in
 * colour, where they are words, 0x00RRGGBB in the machine's order, a byte a colour. False, with
 * nothing in `*out`, when the PNG library refuses. */
bool lt_png_pack_page(struct lt_packed *out, const struct lt_dots *dots, bool colour, double dpi);

#endif
