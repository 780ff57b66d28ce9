/* The fonts of all canvases: opened, measured, and which characters they have. */
#include "draw/fonts.h"
#include "loomtag/base.h"

#include <fontconfig/fontconfig.h>
#include <ft2build.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H
#include FT_ADVANCES_H

/* Both canvases draw code points up to here; PDF's fonts are addressed by 16 bits. */
#define CODES 0x10000u

/* Asked for by the name inside the font file, since asking for a family and a style always
 * answers with something, be it another family. */
static const struct {
	const char *postscript;
	const char *name;
	const char *package;
} wanted[LT_TYPEFACE_COUNT] = {
	[LT_TYPEFACE_REGULAR] = { "DejaVuSans", "DejaVu Sans", "fonts-dejavu-core" },
	[LT_TYPEFACE_BOLD] = { "DejaVuSans-Bold", "DejaVu Sans Bold", "fonts-dejavu-core" },
	[LT_TYPEFACE_CONDENSED] = { "DejaVuSansCondensed", "DejaVu Sans Condensed",
		"fonts-dejavu-extra" },
	[LT_TYPEFACE_CONDENSED_BOLD] = { "DejaVuSansCondensed-Bold", "DejaVu Sans Condensed Bold",
		"fonts-dejavu-extra" },
};

/* What is known of a code point, in 16 bits: 0 nothing yet, else its advance plus one, and whether
 * the face lacks it. */
#define LACKS 0x8000u
#define ADVANCE 0x7FFFu

struct face {
	char *path;
	FT_Face ft;
	uint16_t *known;
	bool has_heights;
	struct lt_typeface_heights heights;
};

struct lt_fonts {
	FT_Library library;
	struct face faces[LT_TYPEFACE_COUNT];
};

/* The file of the installed TrueType font with this PostScript name; the caller frees. Of several
 * copies, always the same. */
static char *find_file(FcConfig *config, const char *postscript)
{
	FcPattern *wanted_font = FcPatternBuild(NULL, FC_POSTSCRIPT_NAME, FcTypeString, postscript,
		FC_FONTFORMAT, FcTypeString, "TrueType", FC_INDEX, FcTypeInteger, 0, (char *)NULL);
	FcObjectSet *objects = FcObjectSetBuild(FC_FILE, (char *)NULL);
	FcFontSet *found = NULL;
	if (wanted_font != NULL && objects != NULL)
		found = FcFontList(config, wanted_font, objects);
	const char *best = NULL;
	for (int i = 0; found != NULL && i < found->nfont; i++) {
		FcChar8 *file;
		if (FcPatternGetString(found->fonts[i], FC_FILE, 0, &file) == FcResultMatch &&
			(best == NULL || strcmp((const char *)file, best) < 0))
			best = (const char *)file;
	}
	struct lt_text path = { 0 };
	if (best != NULL)
		lt_text_add(&path, best);
	if (found != NULL)
		FcFontSetDestroy(found);
	if (objects != NULL)
		FcObjectSetDestroy(objects);
	if (wanted_font != NULL)
		FcPatternDestroy(wanted_font);
	return path.bytes;
}

/* True when the file holds the face that was asked for, scalable and with a Unicode map. */
static bool open_face(struct face *face, FT_Library library, const char *postscript)
{
	if (FT_New_Face(library, face->path, 0, &face->ft) != 0) {
		face->ft = NULL;
		return false;
	}
	const char *name = FT_Get_Postscript_Name(face->ft);
	return name != NULL && strcmp(name, postscript) == 0 && FT_IS_SCALABLE(face->ft) &&
	       face->ft->units_per_EM > 0 && FT_Select_Charmap(face->ft, FT_ENCODING_UNICODE) == 0;
}

static bool load_faces(struct lt_fonts *fonts, FcConfig *config, struct lt_diags *diags)
{
	bool good = true;
	for (int i = 0; i < LT_TYPEFACE_COUNT; i++) {
		struct face *face = &fonts->faces[i];
		face->path = find_file(config, wanted[i].postscript);
		if (face->path == NULL) {
			lt_error(diags, lt_place_none(), "the font %s is not installed",
				wanted[i].name);
			lt_hint(diags, "install the Debian package %s", wanted[i].package);
			good = false;
			continue;
		}
		face->known = lt_alloc_array(CODES, sizeof(*face->known));
		if (!open_face(face, fonts->library, wanted[i].postscript)) {
			lt_error(diags, lt_place_file(face->path),
				"this file cannot be used as the font %s", wanted[i].name);
			lt_hint(diags, "install the Debian package %s again", wanted[i].package);
			good = false;
		}
	}
	return good;
}

struct lt_fonts *lt_fonts_create(struct lt_diags *diags)
{
	struct lt_fonts *fonts = lt_alloc(sizeof(*fonts));
	*fonts = (struct lt_fonts){ 0 };
	if (FT_Init_FreeType(&fonts->library) != 0) {
		fonts->library = NULL;
		lt_error(diags, lt_place_none(), "the font library cannot start");
		lt_fonts_destroy(fonts);
		return NULL;
	}
	/* A configuration of our own, so that none is left behind in the library. */
	FcConfig *config = FcInitLoadConfigAndFonts();
	if (config == NULL)
		lt_error(diags, lt_place_none(), "the list of installed fonts cannot be read");
	bool good = config != NULL && load_faces(fonts, config, diags);
	if (config != NULL)
		FcConfigDestroy(config);
	if (!good) {
		lt_fonts_destroy(fonts);
		return NULL;
	}
	return fonts;
}

void lt_fonts_destroy(struct lt_fonts *fonts)
{
	if (fonts == NULL)
		return;
	for (int i = 0; i < LT_TYPEFACE_COUNT; i++) {
		if (fonts->faces[i].ft != NULL)
			FT_Done_Face(fonts->faces[i].ft);
		free(fonts->faces[i].known);
		free(fonts->faces[i].path);
	}
	if (fonts->library != NULL)
		FT_Done_FreeType(fonts->library);
	free(fonts);
}

static unsigned advance_of(FT_Face ft, uint32_t code)
{
	FT_Fixed units = 0;
	if (FT_Get_Advance(ft, FT_Get_Char_Index(ft, code), FT_LOAD_NO_SCALE, &units) != 0 ||
		units < 0)
		return 0;
	unsigned long thousandths = (unsigned long)units * 1000 / ft->units_per_EM;
	return thousandths < ADVANCE ? (unsigned)thousandths : ADVANCE - 1;
}

/* Looks a code point up once, and remembers. */
static uint16_t know(struct face *face, uint32_t code)
{
	uint32_t place = code < CODES ? code : LT_REPLACEMENT;
	if (face->known[place] == 0) {
		bool lacks =
			lt_text_shown(place) != place || FT_Get_Char_Index(face->ft, place) == 0;
		unsigned advance = advance_of(face->ft, lacks ? LT_REPLACEMENT : place);
		face->known[place] = (uint16_t)((advance + 1) | (lacks ? LACKS : 0));
	}
	return code < CODES ? face->known[place] : (uint16_t)(face->known[place] | LACKS);
}

uint32_t lt_font_shown(struct lt_fonts *fonts, enum lt_typeface face, uint32_t code)
{
	return (know(&fonts->faces[face], code) & LACKS) != 0 ? LT_REPLACEMENT : code;
}

unsigned lt_font_advance(struct lt_fonts *fonts, enum lt_typeface face, uint32_t code)
{
	return (know(&fonts->faces[face], code) & ADVANCE) - 1;
}

uint32_t lt_font_missing(struct lt_fonts *fonts, enum lt_typeface face, const char *text)
{
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		if ((know(&fonts->faces[face], code) & LACKS) != 0)
			return code;
	}
	return 0;
}

const char *lt_font_path(const struct lt_fonts *fonts, enum lt_typeface face)
{
	return fonts->faces[face].path;
}

void *lt_font_face(struct lt_fonts *fonts, enum lt_typeface face)
{
	return fonts->faces[face].ft;
}

/* Goes by whole code points: one that `length` cuts in two counts whole. */
static double width(void *data, enum lt_typeface face, const char *text, size_t length)
{
	struct lt_fonts *fonts = data;
	const char *end = text + length;
	unsigned long sum = 0;
	for (uint32_t code; text < end && (code = lt_utf8_next(&text)) != 0;)
		sum += lt_font_advance(fonts, face, code);
	return (double)sum / 1000;
}

static bool is_latin_letter(uint32_t code)
{
	return (code >= 'A' && code <= 'Z') || (code >= 'a' && code <= 'z') ||
	       (code >= 0xC0 && code <= 0x17F && code != 0xD7 && code != 0xF7);
}

/* Widens the heights to hold one glyph. */
static void reach(struct lt_typeface_heights *heights, FT_Face ft, uint32_t code)
{
	FT_UInt glyph = FT_Get_Char_Index(ft, code);
	if (glyph == 0 || FT_Load_Glyph(ft, glyph, FT_LOAD_NO_SCALE) != 0)
		return;
	const FT_Glyph_Metrics *metrics = &ft->glyph->metrics;
	double em = ft->units_per_EM;
	double top = (double)metrics->horiBearingY / em;
	double bottom = (double)(metrics->height - metrics->horiBearingY) / em;
	if (code == 'H')
		heights->capital = top;
	if (top > heights->ascent)
		heights->ascent = top;
	if (bottom > heights->descent)
		heights->descent = bottom;
}

static struct lt_typeface_heights heights(void *data, enum lt_typeface face)
{
	struct lt_fonts *fonts = data;
	struct face *of = &fonts->faces[face];
	if (!of->has_heights) {
		for (uint32_t code = '!'; code < 0x180; code++) {
			if (is_latin_letter(code) || code < 0x7F)
				reach(&of->heights, of->ft, code);
		}
		of->has_heights = true;
	}
	return of->heights;
}

struct lt_measure lt_fonts_measure(struct lt_fonts *fonts)
{
	return (struct lt_measure){ .width = width, .heights = heights, .data = fonts };
}
