/* Fonts: one TrueType family, found with fontconfig, measured with freetype; for every canvas. */
#ifndef LOOMTAG_FONT_H
#define LOOMTAG_FONT_H

#include <stdbool.h>
#include <stdint.h>

#include "loomtag/diag.h"
#include "loomtag/measure.h"

struct lt_fonts;

/* Finds the faces (DejaVu Sans, Bold, Condensed, Condensed Bold). NULL with an error when one is
 * not installed. */
struct lt_fonts *lt_fonts_create(struct lt_diags *diags);
void lt_fonts_destroy(struct lt_fonts *fonts);

/* Measures by these fonts; valid as long as they are. */
struct lt_measure lt_fonts_measure(struct lt_fonts *fonts);

/* The file of a face; owned by `fonts`. */
const char *lt_font_path(const struct lt_fonts *fonts, enum lt_face face);

/* True when the face shows the code point as itself. It does not show control characters, nor code
 * points beyond the Basic Multilingual Plane: those are drawn, and measured, as U+FFFD. */
bool lt_font_has(struct lt_fonts *fonts, enum lt_face face, uint32_t code);

/* The first code point of `text` that the face cannot show, or 0. */
uint32_t lt_font_missing(struct lt_fonts *fonts, enum lt_face face, const char *text);

/* The freetype face (FT_Face), for canvases. Not to be freed. */
void *lt_font_face(struct lt_fonts *fonts, enum lt_face face);

#endif
