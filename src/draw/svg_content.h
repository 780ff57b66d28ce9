/* The content of an SVG: numbers, inks, texts and outlines. */
#ifndef LOOMTAG_DRAW_SVG_CONTENT_H
#define LOOMTAG_DRAW_SVG_CONTENT_H

#include <stdint.h>

#include "draw/fonts.h"
#include "loomtag/draw.h"

/* A length in thousandths of a mm, kept within what any page has; what is no number is far off. */
long long lt_svg_mm(double mm);

/* Adds a text in which each '@' stands for the next of the lengths, thousandths of a mm. */
void lt_svg_add(struct lt_text *out, const char *form, const long long *thousandths);

/* Adds ` transform="translate(X Y) scale(ACROSS DOWN)"`; the scales to a millionth of `across` and
 * `down`, which are as small as a mm by a thousand. */
void lt_svg_add_place(struct lt_text *out, double x, double y, double across, double down);

/* Adds ` NAME="#RGB"`, unless it is what `fill` is without: black. */
void lt_svg_add_ink(struct lt_text *out, const char *name, struct lt_ink ink);

/* Adds text with its markup characters escaped; each code point as lt_text_shown has
 * it, which leaves none that XML 1.0 does not take (2.2). */
void lt_svg_add_escaped(struct lt_text *out, const char *text);

/* Adds a path for a character's outline in thousandths of an em, y down, of which `*drawn` says
 * whether there is any. False when freetype refuses. */
bool lt_svg_add_outline(struct lt_text *out, bool *drawn, struct lt_fonts *fonts,
	enum lt_typeface face, uint32_t code);

/* Adds a path for the dark modules, in modules from the top left. */
void lt_svg_add_modules(struct lt_text *out, const struct lt_qr *qr);

/* Adds bytes in base 64 (RFC 4648, 4). False when there is not enough memory. */
bool lt_svg_add_base64(struct lt_text *out, const struct lt_packed *packed);

#endif
