/* The content of an SVG: elements and their numbers. */
#include "draw/svg_content.h"
#include "draw/canvas.h"

#include <ft2build.h>
#include <gnutls/gnutls.h>
#include <math.h>
#include <string.h>

#include FT_FREETYPE_H
#include FT_OUTLINE_H

/* A kilometre. */
#define FARTHEST 1e6

long long lt_svg_mm(double mm)
{
	if (!(mm > -FARTHEST))
		return llround(-FARTHEST * 1000);
	return llround((mm < FARTHEST ? mm : FARTHEST) * 1000);
}

void lt_svg_add(struct lt_text *out, const char *form, const long long *thousandths)
{
	lt_numbers_add(out, form, 3, thousandths);
}

/* In billionths: an em of a micrometre, and a picture of one pixel on the largest page. */
static long long scale(double scale)
{
	return llround(fmin(fmax(scale, 1e-9), FARTHEST) * 1e9);
}

void lt_svg_add_place(struct lt_text *out, double x, double y, double across, double down)
{
	lt_svg_add(out, " transform=\"translate(@ @)", (long long[]){ lt_svg_mm(x), lt_svg_mm(y) });
	lt_numbers_add(out, across == down ? " scale(@)\"" : " scale(@ @)\"", 9,
		(long long[]){ scale(across), scale(down) });
}

void lt_svg_add_ink(struct lt_text *out, const char *name, struct lt_ink ink)
{
	const unsigned rgb = lt_ink_rgb(ink);
	const unsigned red = rgb >> 16, green = rgb >> 8 & 255, blue = rgb & 255;
	if (red % 17 != 0 || green % 17 != 0 || blue % 17 != 0)
		lt_text_printf(out, " %s=\"#%06x\"", name, rgb);
	else if (rgb > 0 || strcmp(name, "fill") != 0)
		lt_text_printf(out, " %s=\"#%x%x%x\"", name, red / 17, green / 17, blue / 17);
}

void lt_svg_add_escaped(struct lt_text *out, const char *text)
{
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		char bytes[4];
		if (code == '<')
			lt_text_add(out, "&lt;");
		else if (code == '>')
			lt_text_add(out, "&gt;");
		else if (code == '&')
			lt_text_add(out, "&amp;");
		else if (code == '"')
			lt_text_add(out, "&quot;");
		else
			lt_text_add_bytes(out, bytes, lt_utf8_put(bytes, lt_text_shown(code)));
	}
}

struct outline {
	struct lt_text *out;
	double scale; /* thousandths of an em a unit */
	bool open;
};

static void add_point(const struct outline *outline, char operator, const FT_Vector * at)
{
	lt_text_printf(outline->out, "%c%ld %ld", operator, lround((double)at->x * outline->scale),
		lround((double)-at->y * outline->scale));
}

static int move_to(const FT_Vector *to, void *data)
{
	struct outline *outline = data;
	if (outline->open)
		lt_text_add_char(outline->out, 'z');
	outline->open = true;
	add_point(outline, 'M', to);
	return 0;
}

static int line_to(const FT_Vector *to, void *data)
{
	add_point(data, 'L', to);
	return 0;
}

static int conic_to(const FT_Vector *control, const FT_Vector *to, void *data)
{
	add_point(data, 'Q', control);
	add_point(data, ' ', to);
	return 0;
}

static int cubic_to(const FT_Vector *first, const FT_Vector *second, const FT_Vector *to,
	void *data)
{
	add_point(data, 'C', first);
	add_point(data, ' ', second);
	add_point(data, ' ', to);
	return 0;
}

bool lt_svg_add_outline(struct lt_text *out, bool *drawn, struct lt_fonts *fonts,
	enum lt_typeface face, uint32_t code)
{
	static const FT_Outline_Funcs functions = { move_to, line_to, conic_to, cubic_to, 0, 0 };
	FT_Face ft = lt_font_face(fonts, face);
	FT_UInt index = FT_Get_Char_Index(ft, lt_font_shown(fonts, face, code));
	struct outline outline = { .out = out, .scale = 1000.0 / ft->units_per_EM };
	*drawn = false;
	if (FT_Load_Glyph(ft, index, FT_LOAD_NO_SCALE) != 0 ||
		ft->glyph->format != FT_GLYPH_FORMAT_OUTLINE ||
		FT_Outline_Decompose(&ft->glyph->outline, &functions, &outline) != 0)
		return false;
	if (outline.open)
		lt_text_add_char(out, 'z');
	*drawn = outline.open;
	return true;
}

void lt_svg_add_modules(struct lt_text *out, const struct lt_qr *qr)
{
	for (unsigned y = 0; y < qr->modules; y++) {
		for (unsigned x = 0; x < qr->modules; x++) {
			unsigned from = x;
			while (x < qr->modules && lt_qr_dark(qr, x, y))
				x++;
			if (x > from)
				lt_text_printf(out, "M%u %uh%uv1h-%uz", from, y, x - from,
					x - from);
		}
	}
}

bool lt_svg_add_base64(struct lt_text *out, const struct lt_packed *packed)
{
	const gnutls_datum_t from = { packed->bytes, (unsigned)packed->length };
	gnutls_datum_t to;
	if (gnutls_base64_encode2(&from, &to) < 0)
		return false;
	lt_text_add_bytes(out, (const char *)to.data, to.size);
	gnutls_free(to.data);
	return true;
}
