/* The fonts: the faces that were asked for and no others, and measuring by them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <ft2build.h>

#include FT_FREETYPE_H

#include "draw/fonts.h"
#include "loomtag/base.h"

#define assert_close(a, b) assert_true(fabs((a) - (b)) < 1e-9)

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL;
}

static int tear_down(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

static void finds_the_four_faces(void **state)
{
	(void)state;
	static const char *const names[LT_TYPEFACE_COUNT] = {
		[LT_TYPEFACE_REGULAR] = "DejaVuSans",
		[LT_TYPEFACE_BOLD] = "DejaVuSans-Bold",
		[LT_TYPEFACE_CONDENSED] = "DejaVuSansCondensed",
		[LT_TYPEFACE_CONDENSED_BOLD] = "DejaVuSansCondensed-Bold",
	};
	for (int i = 0; i < LT_TYPEFACE_COUNT; i++) {
		FT_Face face = lt_font_face(fonts, (enum lt_typeface)i);
		assert_string_equal(FT_Get_Postscript_Name(face), names[i]);
		FILE *file = fopen(lt_font_path(fonts, (enum lt_typeface)i), "rb");
		assert_non_null(file);
		fclose(file);
	}
}

/* A fontconfig configuration with no font in it. */
static void reports_the_missing_font(void **state)
{
	(void)state;
	char path[] = "/tmp/test_font_XXXXXX";
	int fd = mkstemp(path);
	assert_true(fd >= 0);
	FILE *file = fdopen(fd, "w");
	assert_non_null(file);
	fputs("<?xml version=\"1.0\"?><fontconfig></fontconfig>\n", file);
	fclose(file);
	setenv("FONTCONFIG_FILE", path, 1);

	struct lt_diags diags;
	lt_diags_init(&diags);
	assert_null(lt_fonts_create(&diags));
	assert_int_equal(diags.errors, LT_TYPEFACE_COUNT);
	assert_non_null(strstr(diags.items[0].message, "DejaVu Sans is"));
	assert_non_null(strstr(diags.items[0].hint, "fonts-dejavu-core"));
	assert_non_null(strstr(diags.items[2].message, "DejaVu Sans Condensed is"));
	assert_non_null(strstr(diags.items[2].hint, "fonts-dejavu-extra"));
	lt_diags_finish(&diags);

	unsetenv("FONTCONFIG_FILE");
	remove(path);
}

/* Against the advances in the font file, unscaled; PDF's widths (ISO 32000-1, 9.2.4) are these in
 * thousandths of an em. */
static void measures_by_the_font_file(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	static const uint32_t codes[] = { 'A', 'i', ' ', '~', 0xB0, 0xB2, 0xB5, 0x3A9, 0x416, 0x531,
		0x2014, 0x2026, 0x2192 };
	for (int i = 0; i < LT_TYPEFACE_COUNT; i++) {
		FT_Face face = lt_font_face(fonts, (enum lt_typeface)i);
		for (size_t j = 0; j < sizeof(codes) / sizeof(codes[0]); j++) {
			assert_int_equal(FT_Load_Char(face, codes[j], FT_LOAD_NO_SCALE), 0);
			double em = (double)face->glyph->metrics.horiAdvance / face->units_per_EM;
			char text[4];
			size_t length = lt_utf8_put(text, codes[j]);
			double width =
				measure.width(measure.data, (enum lt_typeface)i, text, length);
			assert_true(width <= em && width > em - 0.001);
			assert_int_equal(lt_font_shown(fonts, (enum lt_typeface)i, codes[j]),
				codes[j]);
		}
	}
}

/* What would turn a line or cannot be seen is drawn as what is missing, though a face has it. */
static void invisible_characters_are_shown(void **state)
{
	(void)state;
	static const uint32_t codes[] = { 0x1B, 0x7F, 0x9B, 0x200B, 0x200F, 0x2028, 0x202E, 0x2067,
		0xFEFF };
	for (size_t i = 0; i < sizeof(codes) / sizeof(codes[0]); i++) {
		assert_int_equal(lt_font_shown(fonts, LT_TYPEFACE_REGULAR, codes[i]),
			LT_REPLACEMENT);
		assert_int_equal(lt_font_advance(fonts, LT_TYPEFACE_REGULAR, codes[i]),
			lt_font_advance(fonts, LT_TYPEFACE_REGULAR, 0xFFFD));
	}
}

static void adds_widths_up_and_scales_them(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	double a = lt_text_width(&measure, LT_TYPEFACE_BOLD, 1, "A");
	double v = lt_text_width(&measure, LT_TYPEFACE_BOLD, 1, "V");
	assert_true(lt_text_width(&measure, LT_TYPEFACE_BOLD, 1, "") == 0);
	/* No kerning: a pair is as wide as its letters. */
	assert_close(lt_text_width(&measure, LT_TYPEFACE_BOLD, 1, "AVA"), a + v + a);
	assert_close(lt_text_width(&measure, LT_TYPEFACE_BOLD, 3.5, "AV"), 3.5 * (a + v));
	assert_close(measure.width(measure.data, LT_TYPEFACE_BOLD, "AVA", 2), a + v);
	assert_true(lt_text_width(&measure, LT_TYPEFACE_CONDENSED, 1, "roof vent") <
		    lt_text_width(&measure, LT_TYPEFACE_REGULAR, 1, "roof vent"));
	assert_true(lt_text_width(&measure, LT_TYPEFACE_CONDENSED_BOLD, 1, "roof vent") <
		    lt_text_width(&measure, LT_TYPEFACE_BOLD, 1, "roof vent"));
}

static void missing_characters_are_replaced(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	double replacement = lt_text_width(&measure, LT_TYPEFACE_REGULAR, 1, "\xEF\xBF\xBD");
	assert_true(replacement > 0);
	/* A control character, a Han character, one beyond the BMP, and a byte that is not UTF-8.
	 */
	static const char *const lacking[] = { "\x07", "\xE6\xBC\xA2", "\xF0\x9D\x94\xB8", "\xFF" };
	for (size_t i = 0; i < sizeof(lacking) / sizeof(lacking[0]); i++)
		assert_close(lt_text_width(&measure, LT_TYPEFACE_REGULAR, 1, lacking[i]),
			replacement);
	assert_int_equal(lt_font_shown(fonts, LT_TYPEFACE_REGULAR, 0x1D538), LT_REPLACEMENT);
	assert_int_equal(lt_font_shown(fonts, LT_TYPEFACE_REGULAR, 0x85), LT_REPLACEMENT);
	assert_int_equal(lt_font_shown(fonts, LT_TYPEFACE_REGULAR, 0x416), 0x416);
	assert_int_equal(lt_font_shown(fonts, LT_TYPEFACE_REGULAR, 0x1F600), LT_REPLACEMENT);
	assert_int_equal(lt_font_missing(fonts, LT_TYPEFACE_BOLD, "vent \xC2\xB0 \xE6\xBC\xA2"),
		0x6F22);
	assert_int_equal(lt_font_missing(fonts, LT_TYPEFACE_BOLD, "vent 20 \xC2\xB0"), 0);
}

static void heights_hold_every_letter(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	for (int i = 0; i < LT_TYPEFACE_COUNT; i++) {
		FT_Face face = lt_font_face(fonts, (enum lt_typeface)i);
		struct lt_typeface_heights heights =
			measure.heights(measure.data, (enum lt_typeface)i);
		assert_true(heights.capital > 0.6 && heights.capital < 0.8);
		assert_true(heights.ascent > heights.capital && heights.ascent < 1.1);
		assert_true(heights.descent > 0.1 && heights.descent < 0.4);
		double em = face->units_per_EM;
		for (FT_ULong code = 0xC0; code < 0x180; code++) {
			assert_int_equal(FT_Load_Char(face, code, FT_LOAD_NO_SCALE), 0);
			FT_Glyph_Metrics ink = face->glyph->metrics;
			assert_true((double)ink.horiBearingY <= heights.ascent * em);
			assert_true((double)(ink.height - ink.horiBearingY) <=
				    heights.descent * em);
		}
		assert_int_equal(FT_Load_Char(face, 'H', FT_LOAD_NO_SCALE), 0);
		assert_close(heights.capital, (double)face->glyph->metrics.horiBearingY / em);
	}
}

static void shortens_with_an_ellipsis(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	static const char text[] = "motor \xD0\xBF\xD1\x80\xD0\xB8\xD0\xB2\xD0\xBE\xD0\xB4 "
				   "\xE2\x84\xA6 10 k";
	double whole = lt_text_width(&measure, LT_TYPEFACE_REGULAR, 2, text);
	char out[64];
	lt_text_shorten(out, sizeof(out), &measure, LT_TYPEFACE_REGULAR, 2, text, whole);
	assert_string_equal(out, text);

	size_t before = strlen(text);
	for (int step = 399; step >= 0; step--) {
		double width = whole * step / 400;
		lt_text_shorten(out, sizeof(out), &measure, LT_TYPEFACE_REGULAR, 2, text, width);
		size_t length = strlen(out);
		assert_true(lt_text_width(&measure, LT_TYPEFACE_REGULAR, 2, out) <= width);
		assert_int_equal(lt_utf8_check(out, length), length);
		assert_true(length <= before + 3);
		before = length;
		if (length == 0)
			continue;
		assert_true(length > 3);
		assert_string_equal(out + length - 3, "\xE2\x80\xA6");
		assert_memory_equal(out, text, length - 3);
		assert_int_not_equal(out[length - 4], ' ');
	}
	assert_int_equal(before, 0);
}

static void shortens_to_the_room_there_is(void **state)
{
	(void)state;
	struct lt_measure measure = lt_fonts_measure(fonts);
	char out[8];
	lt_text_shorten(out, sizeof(out), &measure, LT_TYPEFACE_REGULAR, 1, "connector", 1000);
	assert_string_equal(out, "conn\xE2\x80\xA6");
	lt_text_shorten(out, sizeof(out), &measure, LT_TYPEFACE_REGULAR, 1, "connect", 1000);
	assert_string_equal(out, "connect");
	lt_text_shorten(out, 4, &measure, LT_TYPEFACE_REGULAR, 1, "connector", 1000);
	assert_string_equal(out, "");
	lt_text_shorten(out, sizeof(out), &measure, LT_TYPEFACE_REGULAR, 1, "", 0);
	assert_string_equal(out, "");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(finds_the_four_faces),
		cmocka_unit_test(reports_the_missing_font),
		cmocka_unit_test(measures_by_the_font_file),
		cmocka_unit_test(invisible_characters_are_shown),
		cmocka_unit_test(adds_widths_up_and_scales_them),
		cmocka_unit_test(missing_characters_are_replaced),
		cmocka_unit_test(heights_hold_every_letter),
		cmocka_unit_test(shortens_with_an_ellipsis),
		cmocka_unit_test(shortens_to_the_room_there_is),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
