/* Texts on a page of dots. */
#include "draw/canvas.h"
#include "draw/dots.h"
#include "draw/fonts.h"

#include <ft2build.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H
#include FT_OUTLINE_H

/* Places within a dot where a soft character can begin. */
#define STEPS 4

/* Enough for the characters of a few texts of a few sizes. A picture goes where its number says,
 * over whatever was there; the last place is for those that are too large to be kept. */
#define KEPT 1024u

/* Largest em to be kept, in 64ths of a dot: with it all pictures together take 10 MB at most. */
#define KEPT_EM (256L * 64)
#define KEPT_EM_SOFT (90L * 64)

/* Largest em, dots: a character's picture has a byte for each of its dots in colour, a bit in black
 * and white. */
#define EM_MOST LT_DOTS_SIDE_MOST
#define EM_MOST_SOFT 5000.0

/* A character's picture. Hard: rows of packed bits, the leftmost dot highest; 1 is ink. Soft: rows
 * of bytes, how much of a dot is covered. */
struct lt_glyph {
	unsigned char *dots;
	int width, rows;
	size_t stride;
	int left, top; /* of its corner: to the right of the pen, and up from the line; dots */

	/* What it is the picture of; the em in 64ths of a dot, 0 for none. */
	enum lt_typeface face;
	uint32_t code;
	long em;
	unsigned step;
};

int lt_dot(double dots)
{
	return (int)lround(lt_dots_within(dots, -2 * LT_DOTS_SIDE_MOST));
}

double lt_dots_within(double dots, double least)
{
	if (!(dots > least))
		return least;
	return dots < 2 * LT_DOTS_SIDE_MOST ? dots : 2 * LT_DOTS_SIDE_MOST;
}

void lt_glyphs_init(struct lt_glyphs *out, struct lt_fonts *fonts, bool soft)
{
	*out = (struct lt_glyphs){ .soft = soft, .fonts = fonts };
	out->kept = lt_alloc_array(KEPT + 1, sizeof(*out->kept));
}

void lt_glyphs_finish(struct lt_glyphs *glyphs)
{
	for (size_t i = 0; glyphs->kept != NULL && i <= KEPT; i++)
		free(glyphs->kept[i].dots);
	free(glyphs->kept);
	*glyphs = (struct lt_glyphs){ 0 };
}

static struct lt_glyph *place_of(struct lt_glyphs *glyphs, enum lt_typeface face, long em,
	uint32_t code, unsigned step)
{
	if (em > (glyphs->soft ? KEPT_EM_SOFT : KEPT_EM))
		return &glyphs->kept[KEPT];
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
	out->width = (int)bitmap->width;
	out->rows = (int)bitmap->rows;
	out->stride = soft ? bitmap->width : (bitmap->width + 7) / 8;
	out->left = slot->bitmap_left;
	out->top = slot->bitmap_top;
	free(out->dots);
	out->dots = lt_alloc(out->stride * bitmap->rows);
	for (unsigned row = 0; row < bitmap->rows && out->stride > 0; row++)
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
	FT_Outline_Translate(&ft->glyph->outline, (FT_Pos)step * 64 / STEPS, 0);
	return FT_Render_Glyph(ft->glyph, FT_RENDER_MODE_NORMAL) == 0;
}

/* The picture of `code`, as the face shows it, with an em of `em` 64ths of a dot, that begins
 * `step` of STEPS to the right in its dot (0 for hard ones); good until the next call. NULL when
 * freetype refuses. */
static const struct lt_glyph *find_glyph(struct lt_glyphs *glyphs, enum lt_typeface face, long em,
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

/* The part of a byte's way to another that `cover` is of 255, rounded. */
static unsigned mix(unsigned from, unsigned to, unsigned cover)
{
	return (from * (255 - cover) + to * cover + 127) / 255;
}

static uint32_t mix_rgb(uint32_t from, uint32_t to, unsigned cover)
{
	return mix(from >> 16 & 255, to >> 16, cover) << 16 |
	       mix(from >> 8 & 255, to >> 8 & 255, cover) << 8 | mix(from & 255, to & 255, cover);
}

/* Puts down as much of a character's picture as is on the page. */
static void put_glyph(const struct lt_bitmap *page, const struct lt_glyph *glyph, int left, int top,
	struct lt_ink ink)
{
	const uint32_t rgb = lt_ink_rgb(ink);
	const unsigned char hard = lt_ink_is_black(ink) ? 255 : 0;
	int end = glyph->width < page->width - left ? glyph->width : page->width - left;
	for (int y = top < 0 ? -top : 0; y < glyph->rows && top + y < page->height; y++) {
		const unsigned char *dots = glyph->dots + (size_t)y * glyph->stride;
		unsigned char *row = page->bytes + (size_t)(top + y) * page->stride;
		uint32_t *words = (uint32_t *)(void *)row;
		for (int x = left < 0 ? -left : 0; x < end; x++) {
			if (page->colour)
				words[left + x] = mix_rgb(words[left + x], rgb, dots[x]);
			else if ((dots[x / 8] & 0x80 >> x % 8) != 0)
				row[left + x] = hard;
		}
	}
}

/* Where the pen is `on` dots behind the start of a text at `x`, in steps. */
static long pen_at(const struct lt_glyphs *glyphs, double x, double on)
{
	if (!glyphs->soft)
		return STEPS * ((long)lt_dot(x) + lt_dot(on));
	return lround(lt_dots_within(x + on, -2 * LT_DOTS_SIDE_MOST) * STEPS);
}

bool lt_glyphs_put(struct lt_glyphs *glyphs, const struct lt_bitmap *page,
	const struct lt_type *type, double x, int line, const char *text)
{
	if (type->em > (glyphs->soft ? EM_MOST_SOFT : EM_MOST))
		return false;
	long em = (long)fmax(1, round(type->em * 64));
	unsigned long thousandths = 0;
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		long pen = pen_at(glyphs, x, type->em * (double)thousandths / 1000);
		long step = (pen % STEPS + STEPS) % STEPS;
		int dot = (int)((pen - step) / STEPS);
		if (dot >= page->width)
			break;
		const struct lt_glyph *glyph =
			find_glyph(glyphs, type->face, em, code, (unsigned)step);
		if (glyph == NULL)
			return false;
		put_glyph(page, glyph, dot + glyph->left, line - glyph->top, type->ink);
		thousandths += lt_font_advance(glyphs->fonts, type->face, code);
	}
	return true;
}
