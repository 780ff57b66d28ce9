/* The fonts of one PDF: which font and which byte stand for a character.
 *
 * libharu's own UTF-8 encoding writes a map back to Unicode that readers warn of, so characters
 * are given bytes of single-byte encodings made up as the text goes along: ASCII keeps its places
 * in each, all else takes the next free byte from 128 on, and a new encoding is begun when one is
 * full. Every font of an encoding carries the map back to Unicode. */
#ifndef LOOMTAG_DRAW_PDF_FONTS_H
#define LOOMTAG_DRAW_PDF_FONTS_H

#include <hpdf.h>
#include <stdbool.h>
#include <stdint.h>

#include "draw/fonts.h"
#include "loomtag/draw.h"

struct lt_pdf_encoding;

struct lt_pdf_fonts {
	HPDF_Doc document;
	struct lt_fonts *fonts;
	const char *names[LT_TYPEFACE_COUNT]; /* libharu's, of the faces used so far */
	uint16_t *places;                     /* by code point: encoding and byte; 0 for none yet */
	struct lt_pdf_encoding *encodings;
	size_t count;
	size_t room;
};

void lt_pdf_fonts_init(struct lt_pdf_fonts *out, HPDF_Doc document, struct lt_fonts *fonts);
void lt_pdf_fonts_finish(struct lt_pdf_fonts *fonts);

/* Where a character of a face stands. ASCII stands in every encoding and keeps `*encoding` as it
 * was; what the face cannot show stands as U+FFFD. */
unsigned char lt_pdf_fonts_place(unsigned *encoding, struct lt_pdf_fonts *fonts,
	enum lt_typeface face, uint32_t code);

/* The font of a face in an encoding; NULL when libharu refuses, which then has called its error
 * handler. */
HPDF_Font lt_pdf_fonts_get(struct lt_pdf_fonts *fonts, enum lt_typeface face, unsigned encoding);

/* Makes sure that the font file kept in the PDF has the glyph of a byte. */
void lt_pdf_fonts_use(struct lt_pdf_fonts *fonts, enum lt_typeface face, unsigned encoding,
	unsigned char byte);

/* Writes the maps back to Unicode: once, when all text is drawn. */
void lt_pdf_fonts_close(struct lt_pdf_fonts *fonts);

#endif
