/* What canvases need to know of fonts beyond measuring. */
#ifndef LOOMTAG_DRAW_FONTS_H
#define LOOMTAG_DRAW_FONTS_H

#include "loomtag/draw.h"

#define LT_REPLACEMENT 0xFFFDu

/* The file of a face; owned by `fonts`. */
const char *lt_font_path(const struct lt_fonts *fonts, enum lt_typeface face);

/* The freetype face (FT_Face). Not to be freed. */
void *lt_font_face(struct lt_fonts *fonts, enum lt_typeface face);

/* The code point that is drawn for `code`: itself, or U+FFFD for what is not shown as it is
 * (lt_text_shown), one beyond the Basic Multilingual Plane, or one that the face has no glyph for.
 */
uint32_t lt_font_shown(struct lt_fonts *fonts, enum lt_typeface face, uint32_t code);

/* The advance of what is drawn for `code`, in thousandths of an em, rounded down. PDF keeps
 * widths so (ISO 32000, "Widths"); measuring and every canvas go by it, so all place alike. */
unsigned lt_font_advance(struct lt_fonts *fonts, enum lt_typeface face, uint32_t code);

#endif
