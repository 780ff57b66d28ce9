#include "draw/glyphs.h"
#include "loomtag/base.h"

#include <ft2build.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H
#include FT_OUTLINE_H

/* Enough for the characters of a few texts of a few sizes. A picture goes where its number says,
 * over whatever was there. */
#define KEPT 1024u

/* Largest em to be kept, in 64ths of a dot: with it all pictures together take 10 MB at most. */
#define LARGEST (256L * 64)
#define LARGEST_SOFT (90L * 64)

void lt_glyphs_init(struct lt_glyphs *out, struct lt_fonts *fonts, bool soft)
{
	*out = (struct lt_glyphs){ .soft = soft, .fonts = fonts };
	out->kept = lt_alloc_array(KEPT, sizeof(*out->kept));
}

void lt_glyphs_finish(struct lt_glyphs *glyphs)
{
	for (size_t i = 0; glyphs->kept != NULL && i < KEPT; i++)
		free(glyphs->kept[i].dots);
	free(glyphs->kept);
	free(glyphs->large.dots);
	*glyphs = (struct lt_glyphs){ 0 };
}

static struct lt_glyph *place_of(struct lt_glyphs *glyphs, enum lt_face face, long em,
	uint32_t code, unsigned step)
{
	if (em > (glyphs->soft ? LARGEST_SOFT : LARGEST))
		return &glyphs->large;
	return &glyphs->kept[(code * 31u + (unsigned)em * 7u + (unsigned)face * 257u +
				     step * 509u) %
			     KEPT];
}

static bool copy_picture(struct lt_glyph *out, const FT_GlyphSlot slot, bool soft)
{
	const FT_Bitmap *bitmap = &slot->bitmap;
	unsigned char mode = soft ? FT_PIXEL_MODE_GRAY : FT_PIXEL_MODE_MONO;
	if (bitmap->pixel_mode != mode && bitmap->rows > 0)
		return false;
	out->width = bitmap->width;
	out->rows = bitmap->rows;
	out->stride = soft ? bitmap->width : (bitmap->width + 7) / 8;
	out->left = slot->bitmap_left;
	out->top = slot->bitmap_top;
	free(out->dots);
	out->dots = lt_alloc(out->stride * out->rows);
	for (unsigned row = 0; row < out->rows && out->stride > 0; row++)
		memcpy(out->dots + row * out->stride,
			bitmap->buffer + (ptrdiff_t)row * bitmap->pitch, out->stride);
	return true;
}

/* Hard ones by the font's instructions for dots; soft ones fitted in height alone, so that they are
 * as wide as they are measured. */
static bool draw_picture(FT_Face ft, FT_UInt index, bool soft, unsigned step)
{
	if (!soft)
		return FT_Load_Glyph(ft, index, FT_LOAD_RENDER | FT_LOAD_TARGET_MONO) == 0;
	if (FT_Load_Glyph(ft, index, FT_LOAD_TARGET_LIGHT | FT_LOAD_NO_BITMAP) != 0)
		return false;
	FT_Outline_Translate(&ft->glyph->outline, (FT_Pos)step * 64 / LT_GLYPH_STEPS, 0);
	return FT_Render_Glyph(ft->glyph, FT_RENDER_MODE_NORMAL) == 0;
}

const struct lt_glyph *lt_glyphs_get(struct lt_glyphs *glyphs, enum lt_face face, long em,
	uint32_t code, unsigned step)
{
	struct lt_glyph *glyph = place_of(glyphs, face, em, code, step);
	if (glyph->em == em && glyph->code == code && glyph->face == face && glyph->step == step)
		return glyph;
	glyph->em = 0;
	FT_Face ft = lt_font_face(glyphs->fonts, face);
	FT_UInt index = FT_Get_Char_Index(ft, lt_font_shown(glyphs->fonts, face, code));
	if (FT_Set_Char_Size(ft, 0, em, 72, 72) != 0 ||
		!draw_picture(ft, index, glyphs->soft, step) ||
		!copy_picture(glyph, ft->glyph, glyphs->soft))
		return NULL;
	glyph->face = face;
	glyph->code = code;
	glyph->em = em;
	glyph->step = step;
	return glyph;
}
