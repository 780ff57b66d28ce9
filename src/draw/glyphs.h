/* Characters as pictures, the last ones drawn kept: a sticker has the same ones as the one
 * before, and hinting a character takes longer than all else that is done to draw it. */
#ifndef LOOMTAG_DRAW_GLYPHS_H
#define LOOMTAG_DRAW_GLYPHS_H

#include "draw/fonts.h"
#include "loomtag/draw.h"

/* Places within a dot where a soft character can begin. */
#define LT_GLYPH_STEPS 4

/* A character's picture. Hard: rows of packed bits, the leftmost dot highest; 1 is ink. Soft: rows
 * of bytes, how much of a dot is covered. */
struct lt_glyph {
	unsigned char *dots;
	unsigned width, rows;
	size_t stride;
	int left, top; /* of its corner: to the right of the pen, and up from the line; dots */

	/* What it is the picture of; the em in 64ths of a dot, 0 for none. */
	enum lt_face face;
	uint32_t code;
	long em;
	unsigned step;
};

struct lt_glyphs {
	bool soft;
	struct lt_fonts *fonts;
	struct lt_glyph *kept;
	struct lt_glyph large; /* the last one that was too large to keep with the others */
};

void lt_glyphs_init(struct lt_glyphs *out, struct lt_fonts *fonts, bool soft);
void lt_glyphs_finish(struct lt_glyphs *glyphs);

/* The picture of `code`, as the face shows it, with an em of `em` 64ths of a dot, 1 at least, that
 * begins `step` of LT_GLYPH_STEPS to the right in its dot (0 for hard ones); good until the next
 * call. NULL when freetype refuses. */
const struct lt_glyph *lt_glyphs_get(struct lt_glyphs *glyphs, enum lt_face face, long em,
	uint32_t code, unsigned step);

#endif
