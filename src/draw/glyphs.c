#include "draw/glyphs.h"

#include <ft2build.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H

#include "loomtag/memory.h"

/* Enough for the characters of a few texts of a few sizes. A picture goes where its number says,
 * over whatever was there. */
#define KEPT 1024u

/* Largest em to be kept, in 64ths of a dot: with it all pictures together take 10 MB at most. */
#define LARGEST (256L * 64)

void lt_glyphs_init(struct lt_glyphs *out, struct lt_fonts *fonts)
{
	*out = (struct lt_glyphs){ .fonts = fonts };
	out->kept = lt_alloc_array(KEPT, sizeof(*out->kept));
}

void lt_glyphs_finish(struct lt_glyphs *glyphs)
{
	for (size_t i = 0; glyphs->kept != NULL && i < KEPT; i++)
		free(glyphs->kept[i].bits);
	free(glyphs->kept);
	free(glyphs->large.bits);
	*glyphs = (struct lt_glyphs){ 0 };
}

static struct lt_glyph *place_of(struct lt_glyphs *glyphs, enum lt_face face, long em,
	uint32_t code)
{
	if (em > LARGEST)
		return &glyphs->large;
	return &glyphs->kept[(code * 31u + (unsigned)em * 7u + (unsigned)face * 257u) % KEPT];
}

static bool copy_picture(struct lt_glyph *out, const FT_GlyphSlot slot)
{
	const FT_Bitmap *bitmap = &slot->bitmap;
	if (bitmap->pixel_mode != FT_PIXEL_MODE_MONO && bitmap->rows > 0)
		return false;
	out->width = bitmap->width;
	out->rows = bitmap->rows;
	out->stride = (bitmap->width + 7) / 8;
	out->left = slot->bitmap_left;
	out->top = slot->bitmap_top;
	free(out->bits);
	out->bits = lt_alloc(out->stride * out->rows);
	for (unsigned row = 0; row < out->rows && out->stride > 0; row++)
		memcpy(out->bits + row * out->stride,
			bitmap->buffer + (ptrdiff_t)row * bitmap->pitch, out->stride);
	return true;
}

const struct lt_glyph *lt_glyphs_get(struct lt_glyphs *glyphs, enum lt_face face, long em,
	uint32_t code)
{
	struct lt_glyph *glyph = place_of(glyphs, face, em, code);
	if (glyph->em == em && glyph->code == code && glyph->face == face)
		return glyph;
	glyph->em = 0;
	FT_Face ft = lt_font_face(glyphs->fonts, face);
	FT_UInt index = FT_Get_Char_Index(ft, lt_font_shown(glyphs->fonts, face, code));
	if (FT_Set_Char_Size(ft, 0, em, 72, 72) != 0 ||
		FT_Load_Glyph(ft, index, FT_LOAD_RENDER | FT_LOAD_TARGET_MONO) != 0 ||
		!copy_picture(glyph, ft->glyph))
		return NULL;
	glyph->face = face;
	glyph->code = code;
	glyph->em = em;
	return glyph;
}
