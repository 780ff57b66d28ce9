#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "loomtag/file.h"
#include "loomtag/layout.h"

#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

static const char good_sheet[] = "layout: mine\n"
				 "title: Nine labels\n"
				 "kind: sheet\n"
				 "page: 210 x 297 mm\n"
				 "label: 60 x 90 mm\n"
				 "grid: 3 x 3\n"
				 "first: 10 x 12 mm\n"
				 "pitch: 65 x 91.5 mm\n"
				 "inset: 2 mm\n"
				 "corner: 3 mm\n"
				 "style: plate\n";

static const char good_roll[] = "layout: mine\n"
				"kind: roll\n"
				"label: 54 x 25 mm\n"
				"gap: 3 mm\n"
				"dpi: 203\n"
				"inset: 1.5 mm\n";

static bool read_as(struct lt_layout *layout, struct lt_diags *diags, const char *file,
	const char *text)
{
	*diags = (struct lt_diags){ 0 };
	return lt_layout_read(layout, file, text, strlen(text), diags);
}

static void test_reads_sheet(void **state)
{
	(void)state;
	struct lt_layout layout;
	struct lt_diags diags;
	assert_true(read_as(&layout, &diags, "some/where/mine.yaml", good_sheet));
	assert_string_equal(layout.name, "mine");
	assert_string_equal(layout.title, "Nine labels");
	assert_int_equal(layout.medium, LT_MEDIUM_SHEET);
	assert_int_equal(layout.style, LT_STYLE_PLATE);
	assert_near(layout.page_width, 210, 1e-9);
	assert_near(layout.page_height, 297, 1e-9);
	assert_near(layout.label_width, 60, 1e-9);
	assert_near(layout.label_height, 90, 1e-9);
	assert_near(layout.inset, 2, 1e-9);
	assert_near(layout.corner, 3, 1e-9);
	assert_near(layout.dpi, 0, 0);
	assert_int_equal(lt_layout_labels(&layout), 9);
	double x = 0;
	double y = 0;
	lt_layout_position(&x, &y, &layout, 0);
	assert_near(x, 10, 1e-9);
	assert_near(y, 12, 1e-9);
	/* Row by row: the sixth label ends the second row. */
	lt_layout_position(&x, &y, &layout, 5);
	assert_near(x, 140, 1e-9);
	assert_near(y, 103.5, 1e-9);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

static void test_reads_roll(void **state)
{
	(void)state;
	struct lt_layout layout;
	struct lt_diags diags;
	assert_true(read_as(&layout, &diags, "mine.yaml", good_roll));
	assert_int_equal(layout.medium, LT_MEDIUM_ROLL);
	assert_string_equal(layout.title, "mine");
	assert_near(layout.gap, 3, 1e-9);
	assert_near(layout.dpi, 203, 0);
	assert_int_equal(lt_layout_labels(&layout), 1);
	double x = 7;
	double y = 7;
	lt_layout_position(&x, &y, &layout, 0);
	assert_near(x, 0, 1e-9);
	assert_near(y, 0, 0);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	lt_layout_finish(NULL);
}

/* `text` with the line that begins with `key` replaced by `line`, or left out when it is NULL. The
 * caller frees. */
static char *with_line(const char *text, const char *key, const char *line)
{
	const char *at = strstr(text, key);
	assert_non_null(at);
	const char *end = strchr(at, '\n') + 1;
	size_t room = strlen(text) + (line != NULL ? strlen(line) : 0) + 2;
	char *out = malloc(room);
	snprintf(out, room, "%.*s%s%s%s", (int)(at - text), text, line != NULL ? line : "",
		line != NULL ? "\n" : "", end);
	return out;
}

static void test_tells_faults(void **state)
{
	(void)state;
	static const struct {
		const char *text, *key, *line, *message;
		unsigned at;
	} cases[] = {
		{ good_sheet, "layout:", "layout: yours",
			"called \"yours\", but its file mine.yaml", 1 },
		{ good_sheet, "layout:", "layout: a/b", "cannot be called \"a/b\"", 1 },
		{ good_sheet, "layout:", NULL, "does not give its layout", 1 },
		{ good_sheet, "page:", NULL, "does not give its page", 1 },
		{ good_sheet, "label:", NULL, "does not give its label", 1 },
		{ good_sheet, "grid:", NULL, "does not give its grid", 1 },
		{ good_sheet, "first:", NULL, "does not give its first", 1 },
		{ good_sheet, "pitch:", NULL, "does not give its pitch", 1 },
		{ good_sheet, "inset:", NULL, "does not give its inset", 1 },
		{ good_sheet, "kind:", NULL, "does not give its kind", 1 },
		{ good_sheet, "kind:", "kind: tape", "kind \"tape\" is not supported yet", 3 },
		{ good_sheet, "kind:", "kind: shet", "there is no kind \"shet\"", 3 },
		{ good_sheet, "style:", "style: flag", "style \"flag\" is not supported yet", 11 },
		{ good_sheet, "style:", "style: wrap", "style \"wrap\" is not supported yet", 11 },
		{ good_sheet, "style:", "style: []", "style is not a single value", 11 },
		{ good_sheet, "title:", "colour: red", "colour", 2 },
		{ good_sheet, "title:", "dpi: 203", "dpi", 2 },
		{ good_sheet, "grid:", "grid: 4 x 3", "runs off the page: 4 columns end at 265 mm",
			6 },
		{ good_sheet, "grid:", "grid: 3 x 4", "runs off the page: 4 rows end at 376.5 mm",
			6 },
		{ good_sheet, "grid:", "grid: 0 x 4", "grid is not columns x rows", 6 },
		{ good_sheet, "pitch:", "pitch: 59 x 91 mm", "labels overlap: they are 60 mm wide",
			8 },
		{ good_sheet, "pitch:", "pitch: 65 x 80 mm", "labels overlap: they are 90 mm high",
			8 },
		{ good_sheet, "first:", "first: -1 x 12 mm", "first is out of range", 7 },
		{ good_sheet, "page:", "page: 210 mm", "page is not two lengths", 4 },
		{ good_sheet, "page:", "page: 1001 x 297 mm", "page is out of range", 4 },
		{ good_sheet, "label:", "label: 0 x 90 mm", "label is out of range", 5 },
		{ good_sheet, "inset:", "inset: 30 mm", "leaves nothing to print on", 9 },
		{ good_sheet, "inset:", "inset: two", "inset is not a length", 9 },
		{ good_sheet, "inset:", "inset: -1 mm", "inset is out of range", 9 },
		{ good_sheet, "corner:", "corner: 9 mm", "cut into what is printed", 10 },
		{ good_roll, "gap:", NULL, "does not give its gap", 1 },
		{ good_roll, "dpi:", NULL, "does not give its dpi", 1 },
		{ good_roll, "dpi:", "dpi: 20", "dpi is not a print head's dots per inch", 5 },
		{ good_roll, "dpi:", "dpi: 203.2", "dpi is not a print head's dots per inch", 5 },
		{ good_roll, "gap:", "grid: 3 x 8", "grid", 4 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *text = with_line(cases[i].text, cases[i].key, cases[i].line);
		struct lt_layout layout;
		struct lt_diags diags;
		assert_false(read_as(&layout, &diags, "mine.yaml", text));
		bool found = false;
		for (size_t j = 0; j < diags.count; j++) {
			if (strstr(diags.items[j].message, cases[i].message) == NULL)
				continue;
			found = true;
			assert_int_equal(diags.items[j].place.line, cases[i].at);
			assert_non_null(diags.items[j].hint);
		}
		if (!found)
			fail_msg("case %zu: no \"%s\" but \"%s\"", i, cases[i].message,
				diags.items[0].message);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
		free(text);
	}
}

/* Every fault in one run, not the first alone. */
static void test_tells_all_faults(void **state)
{
	(void)state;
	struct lt_layout layout;
	struct lt_diags diags;
	assert_false(read_as(&layout, &diags, "mine.yaml",
		"layout: mine\nkind: sheet\npage: big\ngrid: 3\nlabel: 70 x 37 mm\ninset: 1 mm\n"
		"first: 0 x 0 mm\npitch: none\n"));
	assert_int_equal(diags.errors, 3);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

static void test_bad_documents(void **state)
{
	(void)state;
	static const char *const texts[] = { "", "- a\n- b\n", "word", "layout: [", "\xff\xfe",
		"layout: {}\nkind: []\nlabel: []\n", "layout: mine\n---\nlayout: mine\n" };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		struct lt_layout layout;
		struct lt_diags diags;
		assert_false(read_as(&layout, &diags, "mine.yaml", texts[i]));
		assert_true(diags.errors > 0);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
	char *large = malloc(LT_LAYOUT_FILE_MAX + 1);
	memset(large, ' ', LT_LAYOUT_FILE_MAX + 1);
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	assert_false(lt_layout_read(&layout, "mine.yaml", large, LT_LAYOUT_FILE_MAX + 1, &diags));
	assert_non_null(strstr(diags.items[0].message, "too long for a layout"));
	lt_diags_finish(&diags);
	free(large);
}

/* The layouts that come with the program: each reads, lies on its page and is symmetric there. */
static void test_own_layouts(void **state)
{
	(void)state;
	static const struct {
		const char *name;
		double width, height, dpi;
		enum lt_medium medium;
		unsigned labels;
	} own[] = {
		{ "a4-3x8", 70, 37, 0, LT_MEDIUM_SHEET, 24 },
		{ "a4-5x13", 38.1, 21.2, 0, LT_MEDIUM_SHEET, 65 },
		{ "letter-3x10", 66.7, 25.4, 0, LT_MEDIUM_SHEET, 30 },
		{ "roll-25x13", 25, 13, 300, LT_MEDIUM_ROLL, 1 },
		{ "roll-54x25", 54, 25, 203, LT_MEDIUM_ROLL, 1 },
	};
	static const char *const folders[] = { "/nowhere/at/all", LT_SOURCE_LAYOUTS, NULL };
	struct lt_arena arena = { 0 };
	size_t count = 0;
	const char **names = lt_layout_names(&count, &arena, folders);
	assert_int_equal(count, sizeof(own) / sizeof(own[0]));
	for (size_t i = 0; i < count; i++) {
		assert_string_equal(names[i], own[i].name);
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_true(lt_layout_find(&layout, names[i], folders, &diags));
		assert_int_equal(layout.medium, own[i].medium);
		assert_near(layout.label_width, own[i].width, 1e-9);
		assert_near(layout.label_height, own[i].height, 1e-9);
		assert_int_equal(lt_layout_labels(&layout), own[i].labels);
		assert_near(layout.dpi, own[i].dpi, 0);
		if (layout.medium == LT_MEDIUM_SHEET) {
			double x = 0;
			double y = 0;
			lt_layout_position(&x, &y, &layout, own[i].labels - 1);
			assert_near(layout.first_x, layout.page_width - x - own[i].width, 0.01);
			assert_near(layout.first_y, layout.page_height - y - own[i].height, 0.01);
		}
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
	lt_arena_finish(&arena);
}

static void test_finds(void **state)
{
	(void)state;
	static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };
	static const char *const none[] = { NULL };
	static const struct {
		const char *name, *const *folders;
		const char *message, *hint;
	} cases[] = {
		{ "a4-3x9", folders, "there is no layout \"a4-3x9\"", "did you mean a4-3x8?" },
		{ "nothing-of-the-sort", folders, "there is no layout", "loomtag layouts" },
		{ "", folders, "there is no layout \"\"", "loomtag layouts" },
		{ "a4-3x8", none, "there is no layout", "no layouts are installed" },
		{ "nowhere/a4-3x8.yaml", folders, "", NULL },
		{ "a4-3x8.yaml", folders, "", NULL },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_false(lt_layout_find(&layout, cases[i].name, cases[i].folders, &diags));
		assert_int_equal(diags.errors, 1);
		assert_non_null(strstr(diags.items[0].message, cases[i].message));
		if (cases[i].hint != NULL)
			assert_non_null(strstr(diags.items[0].hint, cases[i].hint));
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	assert_true(lt_layout_find(&layout, LT_SOURCE_LAYOUTS "/a4-3x8.yaml", none, &diags));
	assert_string_equal(layout.name, "a4-3x8");
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

/* The first folder wins, and a name in both is listed once. */
static void test_first_folder_wins(void **state)
{
	(void)state;
	char folder[] = "/tmp/loomtag-layouts-XXXXXX";
	assert_non_null(mkdtemp(folder));
	char path[64];
	snprintf(path, sizeof(path), "%s/a4-3x8.yaml", folder);
	char *text = with_line(good_sheet, "layout:", "layout: a4-3x8");
	struct lt_diags diags = { 0 };
	assert_true(lt_file_write(path, text, strlen(text), NULL, &diags));
	const char *const folders[] = { folder, LT_SOURCE_LAYOUTS, NULL };
	struct lt_layout layout;
	assert_true(lt_layout_find(&layout, "a4-3x8", folders, &diags));
	assert_string_equal(layout.title, "Nine labels");
	lt_layout_finish(&layout);
	struct lt_arena arena = { 0 };
	size_t count = 0;
	lt_layout_names(&count, &arena, folders);
	assert_int_equal(count, 5);
	lt_arena_finish(&arena);
	lt_diags_finish(&diags);
	free(text);
	unlink(path);
	rmdir(folder);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reads_sheet),
		cmocka_unit_test(test_reads_roll),
		cmocka_unit_test(test_tells_faults),
		cmocka_unit_test(test_tells_all_faults),
		cmocka_unit_test(test_bad_documents),
		cmocka_unit_test(test_own_layouts),
		cmocka_unit_test(test_finds),
		cmocka_unit_test(test_first_folder_wins),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
