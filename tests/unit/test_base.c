/* Memory, strings, UTF-8, lengths and diagnostics. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"

static void arena_gives_zeroed_aligned_memory(void **state)
{
	(void)state;
	struct lt_arena arena;
	lt_arena_init(&arena);
	unsigned char *blocks[300];
	for (size_t i = 0; i < 300; i++) {
		size_t size = i * 97 + 1;
		blocks[i] = lt_arena_alloc(&arena, size);
		assert_int_equal((uintptr_t)blocks[i] % _Alignof(max_align_t), 0);
		for (size_t k = 0; k < size; k++)
			assert_int_equal(blocks[i][k], 0);
		memset(blocks[i], (int)i & 0xFF, size);
	}
	for (size_t i = 0; i < 300; i++)
		assert_int_equal(blocks[i][i * 97], i & 0xFF);
	assert_string_equal(lt_arena_printf(&arena, "%d-%s", 7, "x"), "7-x");
	assert_string_equal(lt_arena_copy(&arena, "abcdef", 3), "abc");
	lt_arena_finish(&arena);
	lt_arena_finish(&arena);
	lt_arena_finish(NULL);
}

static void text_grows(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	assert_string_equal(lt_text_string(&text), "");
	for (int i = 0; i < 1000; i++)
		lt_text_printf(&text, "%03d,", i);
	assert_int_equal(text.length, 4000);
	assert_memory_equal(text.bytes + 3996, "999,", 5);
	lt_text_clear(&text);
	lt_text_add_times(&text, '-', 3);
	lt_text_add_char(&text, '>');
	assert_string_equal(lt_text_string(&text), "--->");
	lt_text_finish(&text);
	lt_text_finish(NULL);
}

static void plural_depends_on_the_count(void **state)
{
	(void)state;
	static const char *const expected[] = { "0 stickers are left.", "1 sticker is left.",
		"2 stickers are left." };
	struct lt_text text = { 0 };
	for (size_t n = 0; n < 3; n++) {
		lt_text_clear(&text);
		lt_text_printf(&text,
			lt_plural(n, "%zu sticker is left.", "%zu stickers are left."), n);
		assert_string_equal(lt_text_string(&text), expected[n]);
	}
	lt_text_finish(&text);
}

/* RFC 3629: section 3 for the forms, section 10 for overlong ones. */
static void utf8_is_checked_strictly(void **state)
{
	(void)state;
	static const struct {
		const char *bytes;
		size_t good; /* bytes before the first bad one */
	} cases[] = {
		{ "plain", 5 },
		{ "\xC3\xA4 \xE2\x82\xAC \xF0\x9F\x94\xA7", 11 },
		{ "ab\xC0\x80", 2 },
		{ "\xE0\x80\xAF", 0 },
		{ "x\xED\xA0\x80", 1 },
		{ "\xF4\x90\x80\x80", 0 },
		{ "\xC3", 0 },
		{ "\x80", 0 },
		{ "a\xFF", 1 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		assert_int_equal(lt_utf8_check(cases[i].bytes, strlen(cases[i].bytes)),
			cases[i].good);
	const char *at = "\xE2\x82\xACz\xFF";
	assert_int_equal(lt_utf8_next(&at), 0x20AC);
	assert_int_equal(lt_utf8_next(&at), 'z');
	assert_int_equal(lt_utf8_next(&at), 0xFFFD);
	assert_int_equal(lt_utf8_next(&at), 0);
	/* Not a byte behind a whole sequence is looked at: the sanitizer would see it. */
	static const char whole[] = { '\xE2', '\x82', '\xAC', 'z' };
	char *end = lt_alloc(sizeof(whole));
	memcpy(end, whole, sizeof(whole));
	at = end;
	assert_int_equal(lt_utf8_next(&at), 0x20AC);
	assert_int_equal(lt_utf8_next(&at), 'z');
	assert_ptr_equal(at, end + sizeof(whole));
	free(end);
}

static void utf8_round_trips(void **state)
{
	(void)state;
	for (uint32_t code = 1; code <= 0x10FFFF; code += code < 0x3000 ? 1 : 37) {
		if (code >= 0xD800 && code <= 0xDFFF)
			continue;
		char bytes[5] = { 0 };
		lt_utf8_put(bytes, code);
		const char *at = bytes;
		assert_int_equal(lt_utf8_next(&at), code);
		assert_int_equal(*at, '\0');
	}
	assert_int_equal(lt_utf8_columns("e\xCC\x81\xE4\xB8\xAD"), 3);
	/* Unicode Standard Annex 11: of two signs side by side one is wide. */
	assert_int_equal(lt_utf8_columns("\xE2\x9A\xA0"), 1);     /* U+26A0, neutral */
	assert_int_equal(lt_utf8_columns("\xE2\x9A\xA1"), 2);     /* U+26A1, wide */
	assert_int_equal(lt_utf8_columns("\xE2\x86\x92"), 1);     /* U+2192, ambiguous */
	assert_int_equal(lt_utf8_columns("\xF0\x9F\x9A\xA7"), 2); /* U+1F6A7, wide */
}

#define BAD "\xEF\xBF\xBD"

/* Unicode Standard 15: what may not go out as it is, and its neighbours that may. */
static void code_points_are_shown_or_not(void **state)
{
	(void)state;
	static const struct {
		uint32_t first, last;
		uint32_t shown; /* 0 for itself */
	} cases[] = {
		{ 0x00, 0x08, 0xFFFD },
		{ 0x09, 0x0A, ' ' },
		{ 0x0B, 0x0C, 0xFFFD },
		{ 0x0D, 0x0D, ' ' },
		{ 0x0E, 0x1F, 0xFFFD },
		{ 0x20, 0x7E, 0 },
		{ 0x7F, 0x9F, 0xFFFD }, /* DEL, C1 with CSI and NEL */
		{ 0xA0, 0x61B, 0 },
		{ 0x61C, 0x61C, 0xFFFD }, /* Arabic letter mark */
		{ 0x61D, 0x180D, 0 },
		{ 0x200A, 0x200A, 0 },
		{ 0x200B, 0x200B, 0xFFFD }, /* zero width space */
		{ 0x200C, 0x200D, 0 },      /* joiners that words are spelt with */
		{ 0x200E, 0x200F, 0xFFFD }, /* marks of direction */
		{ 0x2010, 0x2027, 0 },
		{ 0x2028, 0x202E, 0xFFFD }, /* separators, embeddings, overrides */
		{ 0x202F, 0x205F, 0 },
		{ 0x2060, 0x206F, 0xFFFD }, /* word joiner, isolates, deprecated */
		{ 0x2070, 0xD7FF, 0 },
		{ 0xD800, 0xDFFF, 0xFFFD }, /* surrogates */
		{ 0xE000, 0xFDCF, 0 },
		{ 0xFDD0, 0xFDEF, 0xFFFD }, /* noncharacters */
		{ 0xFDF0, 0xFEFE, 0 },
		{ 0xFEFF, 0xFEFF, 0xFFFD }, /* byte order mark */
		{ 0xFF00, 0xFFF8, 0 },
		{ 0xFFF9, 0xFFFB, 0xFFFD }, /* interlinear annotation */
		{ 0xFFFC, 0xFFFD, 0 },
		{ 0xFFFE, 0xFFFF, 0xFFFD },
		{ 0x10000, 0x1FFFD, 0 },
		{ 0x1FFFE, 0x1FFFF, 0xFFFD },
		{ 0xE0000, 0xE007F, 0xFFFD }, /* tags */
		{ 0xE0100, 0xE01EF, 0 },      /* variants of a letter */
		{ 0x10FFFE, 0x110000, 0xFFFD },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		for (uint32_t code = cases[i].first; code <= cases[i].last; code++)
			assert_int_equal(lt_text_shown(code),
				cases[i].shown != 0 ? cases[i].shown : code);
}

static void outside_text_is_cleaned(void **state)
{
	(void)state;
	static const struct {
		const char *bytes;
		size_t length;
		const char *clean;
		const char *visible; /* NULL for the same */
	} cases[] = {
		{ "", 0, "", NULL },
		{ " \t a\tb \r\n", 9, "a b", "   a b   " },
		{ "a\0b\0", 4, "a" BAD "b" BAD, NULL },
		{ "\033[2J", 4, BAD "[2J", NULL },
		{ "\x7F\xC2\x85", 3, BAD BAD, NULL },
		{ "\xC3\xA9\xC3", 3, "\xC3\xA9" BAD, NULL },
		{ "\xE2\x80\xAE"
		  "12H\xE2\x80\xA9\xEF\xBB\xBF.",
			13, BAD "12H" BAD BAD ".", NULL },
		{ "\xE2\x80\xAE", 2, BAD BAD, NULL }, /* cut short by its length */
		{ "\xFF\xF0\x9F\x94\xA7", 5, BAD "\xF0\x9F\x94\xA7", NULL },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		/* No byte behind the text is looked at: the sanitizer would see it. */
		char *bytes = lt_alloc(cases[i].length);
		memcpy(bytes, cases[i].bytes, cases[i].length);
		const char *visible = cases[i].visible != NULL ? cases[i].visible : cases[i].clean;
		struct lt_text out = { 0 };
		lt_text_add_clean(&out, bytes, cases[i].length);
		assert_string_equal(lt_text_string(&out), cases[i].clean);
		lt_text_clear(&out);
		lt_text_add_visible(&out, bytes, cases[i].length);
		assert_string_equal(lt_text_string(&out), visible);
		lt_text_finish(&out);
		free(bytes);
	}
}

static void nearest_word_is_near(void **state)
{
	(void)state;
	static const char *const words[] = { "connectors", "components", "wires", "finish" };
	assert_int_equal(lt_nearest("conectors", words, 4), 0);
	assert_int_equal(lt_nearest("Wiers", words, 4), 2);
	assert_int_equal(lt_nearest("photograph", words, 4), -1);
	assert_int_equal(lt_nearest("abdc", (const char *const[]){ "abcd" }, 1), 0);
	assert_int_equal(lt_nearest("kitten", (const char *const[]){ "sitting" }, 1), -1);
	assert_int_equal(lt_nearest("kitten", (const char *const[]){ "sitten", "mitten" }, 2), 0);
	assert_int_equal(lt_nearest("a", (const char *const[]){ "bcdefgh" }, 1), -1);
}

static void wrapping_keeps_to_the_columns(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	lt_text_wrap(&text, "press the latch on the long side, then pull", 16, 2);
	assert_string_equal(lt_text_string(&text),
		"press the latch\n  on the long\n  side, then\n  pull\n");
	lt_text_clear(&text);
	lt_text_wrap(&text, "abcdefghijkl", 5, 0);
	assert_string_equal(lt_text_string(&text), "abcde\nfghij\nkl\n");
	lt_text_clear(&text);
	lt_text_wrap(&text, "", 5, 0);
	assert_string_equal(lt_text_string(&text), "\n");
	lt_text_finish(&text);
}

static void lengths_are_read_with_their_units(void **state)
{
	(void)state;
	double a = 0;
	double b = 0;
	assert_true(lt_length_read(&a, "6.2 mm"));
	assert_float_equal(a, 6.2, 1e-9);
	assert_true(lt_length_read(&a, "1.5in"));
	assert_float_equal(a, 38.1, 1e-9);
	assert_true(lt_length_read(&a, "-3 cm"));
	assert_float_equal(a, -30, 1e-9);
	assert_true(lt_length_read(&a, "0"));
	assert_true(lt_length_read(&a, "24500 mm"));
	assert_float_equal(a, 24500, 1e-9);
	static const char *const bad[] = { "", "6.2", "mm", "1000001 mm", "1e3 mm", "6,2 mm", "6 m",
		"1 mm x", "99999999 mm", "0x10 mm", "nan mm", "inf mm", "- 3 mm" };
	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++)
		assert_false(lt_length_read(&a, bad[i]));
	assert_true(lt_length_pair_read(&a, &b, "70 x 37 mm"));
	assert_float_equal(a, 70, 1e-9);
	assert_float_equal(b, 37, 1e-9);
	assert_true(lt_length_pair_read(&a, &b, "2.5 cm \xC3\x97 13 mm"));
	assert_float_equal(a, 25, 1e-9);
	assert_false(lt_length_pair_read(&a, &b, "70 x 37"));
	assert_false(lt_length_pair_read(&a, &b, "70 37 mm"));
	unsigned m = 0;
	unsigned n = 0;
	assert_true(lt_count_pair_read(&m, &n, "3 x 8"));
	assert_int_equal(m, 3);
	assert_int_equal(n, 8);
	assert_false(lt_count_pair_read(&m, &n, "0 x 8"));
	assert_false(lt_count_pair_read(&m, &n, "3 x 8 x 2"));
	assert_true(lt_decimal_pair_read(&a, &b, " 1 x 0.998 "));
	assert_true(a == 1 && b == 0.998);
	assert_true(lt_decimal_pair_read(&a, &b, "1.5\u00d7-2"));
	assert_true(a == 1.5 && b == -2);
	static const char *const no_pairs[] = { "", "1", "1 x", "x 1", "1 1", "1 x 2 x 3",
		"1 x 2 mm", "1 mm x 2", "1e1 x 2", "a x b" };
	for (size_t i = 0; i < sizeof(no_pairs) / sizeof(no_pairs[0]); i++)
		assert_false(lt_decimal_pair_read(&a, &b, no_pairs[i]));
	assert_true(a == 1.5 && b == -2);
	assert_true(lt_whole_read(&m, "0", 9));
	assert_false(lt_whole_read(&m, "010", 99));
	assert_false(lt_whole_read(&m, "10", 9));
	assert_false(lt_whole_read(&m, "99999999999999999999", 9));
}

static const char *printed(const struct lt_diags *diags, char **buffer)
{
	size_t size = 0;
	FILE *stream = open_memstream(buffer, &size);
	lt_diags_print(diags, 0, stream, false);
	fclose(stream);
	return *buffer;
}

static void diagnostics_look_like_those_of_compilers(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	const char *source = "harness: RV3\n  - id: X\xC3\x84\tmates: M7\n";
	lt_diags_source(&diags, "roof.yaml", source, strlen(source));
	struct lt_place place = { "roof.yaml", 2, 13 };
	lt_error(&diags, place, "connector %s mates with component \"%s\", which is not listed",
		"X1", "M7");
	lt_hint(&diags, "did you mean %s?", "M1");
	lt_warning(&diags, (struct lt_place){ "roof.yaml", 1, 1 }, "bell \a and escape \033[2J");
	char *buffer = NULL;
	assert_string_equal(printed(&diags, &buffer),
		"roof.yaml:2:13: error: connector X1 mates with component \"M7\", which is not listed\n"
		"    - id: X\xC3\x84 mates: M7\n"
		"              ^\n"
		"  hint: did you mean M1?\n"
		"roof.yaml:1:1: warning: bell \xEF\xBF\xBD and escape \xEF\xBF\xBD[2J\n"
		"  harness: RV3\n"
		"  ^\n");
	free(buffer);
	assert_int_equal(diags.errors, 1);
	assert_int_equal(diags.warnings, 1);
	lt_diags_sort(&diags);
	assert_int_equal(diags.items[0].severity, LT_WARNING);
	lt_diags_finish(&diags);
	lt_diags_finish(NULL);
}

static void diagnostics_are_bounded(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	for (int i = 0; i < LT_DIAGS_MAX + 50; i++) {
		lt_error(&diags, lt_place_none(), "fault %d", i);
		lt_hint(&diags, "mend %d", i);
	}
	/* However many warnings there are, an error among them is kept. */
	struct lt_diags many;
	lt_diags_init(&many);
	for (int i = 0; i < 2 * LT_DIAGS_MAX; i++)
		lt_warning(&many, lt_place_none(), "warning %d", i);
	lt_error(&many, lt_place_none(), "the fault");
	assert_string_equal(many.items[many.count - 1].message, "the fault");
	lt_diags_finish(&many);
	assert_int_equal(diags.errors, LT_DIAGS_MAX + 50);
	assert_int_equal(diags.count, LT_DIAGS_MAX);
	assert_int_equal(diags.left_out, 50);
	assert_string_equal(diags.items[LT_DIAGS_MAX - 1].hint, "mend 999");
	char *buffer = NULL;
	assert_non_null(strstr(printed(&diags, &buffer), " 50 "));
	free(buffer);
	lt_diags_finish(&diags);
}

/* The caret stands below its column, whatever is before it and however long the line is. */
static void carets_stand_below_their_columns(void **state)
{
	(void)state;
	struct lt_text source = { 0 };
	lt_text_add(&source, "id: \xE2\x80\xAE\xE4\xB8\xAD\xFFX\r\n");
	for (size_t i = 0; i < 1000; i++)
		lt_text_add(&source, "\xC3\x84\xE4\xB8\xAD"); /* one column, and two */
	lt_text_add(&source, "\nlast");
	struct lt_diags diags;
	lt_diags_init(&diags);
	lt_diags_source(&diags, "a\xE2\x80\xAE.yaml", source.bytes, source.length);
	static const struct lt_place places[] = {
		{ "a\xE2\x80\xAE.yaml", 1, 7 }, { "a\xE2\x80\xAE.yaml", 2, 1001 },
		{ "a\xE2\x80\xAE.yaml", 2, 2000 },
		{ "a\xE2\x80\xAE.yaml", 2, 1001 }, /* back again */
		{ "a\xE2\x80\xAE.yaml", 2, 4 },
		{ "a\xE2\x80\xAE.yaml", 3, 9 }, /* behind the end of the line */
		{ "a\xE2\x80\xAE.yaml", 4, 1 }, /* no such line */
	};
	for (size_t i = 0; i < sizeof(places) / sizeof(places[0]); i++)
		lt_error(&diags, places[i], "here");
	struct lt_text want = { 0 };
	lt_text_add(&want, "a" BAD ".yaml:1:7: error: here\n"
			   "  id: " BAD "\xE4\xB8\xAD" BAD "X\n         ^\n");
	for (size_t turn = 0; turn < 3; turn++) {
		const size_t column = turn == 1 ? 2000 : 1001;
		lt_text_printf(&want, "a" BAD ".yaml:2:%zu: error: here\n  ", column);
		for (size_t i = column - 60; i < column + 60 && i <= 2000; i++)
			lt_text_add(&want, i % 2 == 1 ? "\xC3\x84" : "\xE4\xB8\xAD");
		lt_text_add(&want, turn == 1 ? "\n" : "\xE2\x80\xA6\n");
		lt_text_add_times(&want, ' ', 2 + 90);
		lt_text_add(&want, "^\n");
	}
	lt_text_add(&want, "a" BAD ".yaml:2:4: error: here\n  ");
	for (size_t i = 1; i < 64; i++)
		lt_text_add(&want, i % 2 == 1 ? "\xC3\x84" : "\xE4\xB8\xAD");
	lt_text_add(&want, "\xE2\x80\xA6\n      ^\n");
	lt_text_add(&want, "a" BAD ".yaml:3:9: error: here\n  last\n      ^\n");
	lt_text_add(&want, "a" BAD ".yaml:4:1: error: here\n");
	char *buffer = NULL;
	assert_string_equal(printed(&diags, &buffer), lt_text_string(&want));
	free(buffer);
	lt_text_finish(&want);
	lt_text_finish(&source);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(arena_gives_zeroed_aligned_memory),
		cmocka_unit_test(text_grows),
		cmocka_unit_test(plural_depends_on_the_count),
		cmocka_unit_test(utf8_is_checked_strictly),
		cmocka_unit_test(utf8_round_trips),
		cmocka_unit_test(code_points_are_shown_or_not),
		cmocka_unit_test(outside_text_is_cleaned),
		cmocka_unit_test(nearest_word_is_near),
		cmocka_unit_test(wrapping_keeps_to_the_columns),
		cmocka_unit_test(lengths_are_read_with_their_units),
		cmocka_unit_test(diagnostics_look_like_those_of_compilers),
		cmocka_unit_test(carets_stand_below_their_columns),
		cmocka_unit_test(diagnostics_are_bounded),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
