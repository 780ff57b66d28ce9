/* Warnings about layouts that can be read. */
#include "unit.h"

#include "has_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/draw.h"

static struct lt_fonts *fonts;
static struct lt_measure measure;

static int open_fonts(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	if (fonts == NULL)
		return 1;
	measure = lt_fonts_measure(fonts);
	return 0;
}

static int close_fonts(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

#define SHEET "layout: own\nkind: sheet\npage: 210 x 297 mm\n"

/* Every case is read without an error, and has the one warning or none. */
static void test_doubts(void **state)
{
	(void)state;
	static const struct {
		const char *text, *message;
		unsigned line;
	} cases[] = {
		/* 0 + 2 mm at the left; 0.5 + 2 at the top. */
		{ SHEET "label: 70 x 37 mm\ngrid: 3 x 8\nfirst: 0 x 0.5 mm\npitch: 70 x 37 mm\n"
			"inset: 2 mm\n",
			"2 mm|(left)", 6 },
		{ SHEET "label: 70 x 37 mm\ngrid: 3 x 8\nfirst: 0 x 0.5 mm\npitch: 70 x 37 mm\n"
			"inset: 3 mm\n",
			NULL, 0 },
		/* 210 - (8 + 2 x 68 + 64) = 2 mm at the right. */
		{ SHEET "label: 64 x 30 mm\ngrid: 3 x 8\nfirst: 8 x 10 mm\npitch: 68 x 34 mm\n"
			"inset: 0 mm\n",
			"2 mm|(right)", 6 },
		/* 297 - (22 + 7 x 34.5 + 33) = 0.5 mm at the bottom, and 1 of inset. */
		{ SHEET "label: 60 x 33 mm\ngrid: 3 x 8\nfirst: 8 x 22 mm\npitch: 66 x 34.5 mm\n"
			"inset: 1 mm\n",
			"1.5 mm|(bottom)", 6 },
		/* The clear tail of a wrap, 23 mm, is not printed: the page may end 1 mm below. */
		{ SHEET "style: wrap\nprinted: 25 x 11 mm\nclear: 25 x 23 mm\ngrid: 2 x 2\n"
			"first: 10 x 222 mm\npitch: 30 x 40 mm\ninset: 1 mm\n",
			NULL, 0 },
		{ "layout: own\nkind: roll\nlabel: 25 x 13 mm\ngap: 2 mm\ndpi: 300\ninset: 1 mm\n",
			NULL, 0 },
		/* 29 modules (ISO/IEC 18004: 21 and a quiet zone of 4 on each side) of 3 dots at
		 * 300 dpi are 7.4 mm, of 4 dots 9.8 mm. */
		{ "layout: own\nkind: roll\nlabel: 25 x 9 mm\ngap: 2 mm\ndpi: 300\ninset: 1 mm\n",
			"QR code|3 dots|0.25 mm", 3 },
		{ "layout: own\nkind: roll\nlabel: 25 x 7 mm\ngap: 2 mm\ndpi: 300\ninset: 1 mm\n",
			"have no room", 3 },
		{ "layout: own\nkind: tape\nwidth: 7 mm\ndpi: 300\ninset: 1 mm\n", "have no room",
			3 },
		{ "layout: own\nkind: tape\nwidth: 12 mm\ndpi: 300\ninset: 1 mm\n", NULL, 0 },
		{ "layout: own\nkind: roll\nstyle: flag\nlabel: 50 x 9 mm\nface: 20 x 9 mm\n"
		  "loop: 10 mm\ngap: 2 mm\ndpi: 300\ninset: 1 mm\n",
			"QR code|3 dots|0.25 mm", 5 },
		{ "layout: own\nkind: roll\nstyle: wrap\nprinted: 20 x 6.2 mm\n"
		  "clear: 20 x 12 mm\ngap: 2 mm\ndpi: 600\ninset: 0.8 mm\n",
			"QR code|5 dots|0.21 mm", 4 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		bool good = lt_layout_check(&layout, NULL, cases[i].text, strlen(cases[i].text),
			&measure, &diags);
		if (!good || diags.count != (cases[i].message != NULL ? 1 : 0)) {
			lt_diags_print(&diags, 0, stderr, false);
			fail_msg("case %zu", i);
		}
		if (cases[i].message != NULL) {
			if (!has_parts(diags.items[0].message, cases[i].message))
				fail_msg("case %zu: %s", i, diags.items[0].message);
			assert_int_equal(diags.items[0].severity, LT_WARNING);
			assert_int_equal(diags.items[0].place.line, cases[i].line);
			assert_non_null(diags.items[0].hint);
		}
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

/* Whatever is wrong with it: on what is printed, 3.8 mm wide, a module of 21 is 0.18 mm at most,
 * and a tag of three characters lower than the 2 mm of NUREG-0700 11.4.1.5-1 at 500 mm. */
static void test_all_doubts(void **state)
{
	(void)state;
	static const char text[] =
		"layout: own\nkind: roll\nlabel: 9 x 25 mm\ngap: 2 mm\ndpi: 600\ninset: 2.6 mm\n";
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	assert_true(lt_layout_check(&layout, NULL, text, strlen(text), &measure, &diags));
	assert_int_equal(diags.warnings, 2);
	assert_true(has_parts(diags.items[0].message, "QR code|4 dots|0.17 mm"));
	assert_true(has_parts(diags.items[1].message, "number|500 mm"));
	assert_non_null(strstr(diags.items[1].hint, " 2 mm"));
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

/* An error is told, and nothing is doubted beside it. */
static void test_errors_come_first(void **state)
{
	(void)state;
	static const char text[] =
		SHEET "label: 70 x 37 mm\ngrid: 3 x 8\nfirst: 0 x 0.5 mm\npitch: 70 x 37 mm\n"
		      "inset: two\n";
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	assert_false(lt_layout_check(&layout, NULL, text, strlen(text), &measure, &diags));
	assert_int_equal(diags.count, 1);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

/* Of the layouts that come with the program two are doubtful: the sheet whose labels reach the
 * page's edges with 2 mm of inset, and the wrap for the thinnest bundles. */
static void test_own_layouts(void **state)
{
	(void)state;
	static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };
	struct lt_arena arena = { 0 };
	size_t count = 0;
	const char **names = lt_layout_names(&count, &arena, folders);
	assert_true(count >= 16);
	size_t doubtful = 0;
	for (size_t i = 0; i < count; i++) {
		char *path = lt_arena_printf(&arena, "%s/%s.yaml", LT_SOURCE_LAYOUTS, names[i]);
		char *bytes = NULL;
		size_t length = 0;
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_true(lt_file_read(&bytes, &length, path, LT_LAYOUT_FILE_MAX, &diags));
		assert_true(lt_layout_check(&layout, path, bytes, length, &measure, &diags));
		bool known = strcmp(names[i], "a4-3x8") == 0 || strcmp(names[i], "wrap-20x6") == 0;
		if (diags.count != (known ? 1 : 0)) {
			lt_diags_print(&diags, 0, stderr, false);
			fail_msg("%s", names[i]);
		}
		doubtful += diags.count;
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
		free(bytes);
	}
	assert_int_equal(doubtful, 2);
	lt_arena_finish(&arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_doubts),
		cmocka_unit_test(test_all_doubts),
		cmocka_unit_test(test_errors_come_first),
		cmocka_unit_test(test_own_layouts),
	};
	return cmocka_run_group_tests(tests, open_fonts, close_fonts);
}
