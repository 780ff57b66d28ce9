/* Text on a raster. */
#include <math.h>

#include "draw/raster.h"
#include "loomtag/base.h"

/* Largest em, dots: a character's picture has a byte for each of its dots in colour, a bit in black
 * and white. */
#define EM_MOST LT_RASTER_SIDE_MOST
#define EM_MOST_COLOUR 5000.0

/* Rows and columns of a character's picture that are on the page. */
struct shown {
	int left, right, top, bottom;
};

static struct shown shown_part(const struct lt_raster *raster, const struct lt_glyph *glyph,
	int left, int top)
{
	int right = raster->width - left, bottom = raster->height - top;
	return (struct shown){
		.left = left < 0 ? -left : 0,
		.right = (int)glyph->width < right ? (int)glyph->width : right,
		.top = top < 0 ? -top : 0,
		.bottom = (int)glyph->rows < bottom ? (int)glyph->rows : bottom,
	};
}

/* Puts a character's picture down; its dots leave alone what lies between them. */
static void put_hard(struct lt_raster *raster, const struct lt_glyph *glyph, int left, int top,
	bool black)
{
	struct shown shown = shown_part(raster, glyph, left, top);
	unsigned char *page = cairo_image_surface_get_data(raster->surface);
	int stride = cairo_image_surface_get_stride(raster->surface);
	for (int y = shown.top; y < shown.bottom; y++) {
		const unsigned char *from = glyph->dots + (size_t)y * glyph->stride;
		unsigned char *to = page + (ptrdiff_t)(top + y) * stride;
		for (int x = shown.left; x < shown.right; x++) {
			if ((from[x / 8] & 0x80 >> x % 8) != 0)
				to[left + x] = black ? 255 : 0;
		}
	}
}

/* The part of a byte's way to another that `cover` is of 255, rounded. */
static unsigned mix(unsigned from, unsigned to, unsigned cover)
{
	return (from * (255 - cover) + to * cover + 127) / 255;
}

static void put_soft(struct lt_raster *raster, const struct lt_glyph *glyph, int left, int top,
	unsigned rgb)
{
	struct shown shown = shown_part(raster, glyph, left, top);
	unsigned char *page = cairo_image_surface_get_data(raster->surface);
	int stride = cairo_image_surface_get_stride(raster->surface);
	for (int y = shown.top; y < shown.bottom; y++) {
		const unsigned char *from = glyph->dots + (size_t)y * glyph->stride;
		uint32_t *to = (uint32_t *)(void *)(page + (ptrdiff_t)(top + y) * stride) + left;
		for (int x = shown.left; x < shown.right; x++) {
			unsigned cover = from[x];
			if (cover == 0)
				continue;
			to[x] = mix(to[x] >> 16 & 255, rgb >> 16, cover) << 16 |
				mix(to[x] >> 8 & 255, rgb >> 8 & 255, cover) << 8 |
				mix(to[x] & 255, rgb & 255, cover);
		}
	}
}

/* In black and white from a whole dot on, so that a text looks the same wherever it stands; in
 * colour each character to the nearest of a dot's steps, so that small letters are spaced evenly.
 * Returns in steps. */
static long pen_at(const struct lt_raster *raster, double x, double em, unsigned long thousandths)
{
	double on = em * (double)thousandths / 1000;
	if (!raster->colour)
		return (long)LT_GLYPH_STEPS *
		       (lt_raster_dot(x * raster->scale) + lt_raster_dot(on));
	double within = lt_raster_within(x * raster->scale + on, -2 * LT_RASTER_SIDE_MOST);
	return lround(within * LT_GLYPH_STEPS);
}

void lt_raster_text(void *data, double x, double baseline, enum lt_face face, double size,
	struct lt_ink ink, const char *text)
{
	struct lt_raster *raster = data;
	double em = size * raster->scale;
	if (raster->surface == NULL || !(em > 0))
		return;
	if (em > (raster->colour ? EM_MOST_COLOUR : EM_MOST)) {
		raster->trouble = LT_RASTER_GLYPH;
		return;
	}
	long parts = lround(em * 64);
	cairo_surface_flush(raster->surface);
	int line = lt_raster_dot(baseline * raster->scale);
	unsigned long thousandths = 0;
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		long pen = pen_at(raster, x, em, thousandths);
		unsigned step =
			(unsigned)((pen % LT_GLYPH_STEPS + LT_GLYPH_STEPS) % LT_GLYPH_STEPS);
		int dot = (int)((pen - (long)step) / LT_GLYPH_STEPS);
		thousandths += lt_font_advance(raster->fonts, face, code);
		if (dot >= raster->width)
			break;
		const struct lt_glyph *glyph =
			lt_glyphs_get(&raster->glyphs, face, parts > 0 ? parts : 1, code, step);
		if (glyph == NULL) {
			raster->trouble = LT_RASTER_GLYPH;
			break;
		}
		if (raster->colour)
			put_soft(raster, glyph, dot + glyph->left, line - glyph->top,
				lt_raster_rgb(ink));
		else
			put_hard(raster, glyph, dot + glyph->left, line - glyph->top,
				lt_raster_is_black(ink));
	}
	cairo_surface_mark_dirty(raster->surface);
}
