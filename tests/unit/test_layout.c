/* Reading and finding layouts, and every error in one. */
#include "unit.h"

#include "has_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "label/layout.h"

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

static const char good_tape[] = "layout: mine\n"
				"kind: tape\n"
				"width: 12 mm\n"
				"dpi: 180\n"
				"inset: 1 mm\n"
				"shortest: 10 mm\n"
				"longest: 80 mm\n";

static const char good_flag[] = "layout: mine\n"
				"kind: roll\n"
				"style: flag\n"
				"label: 70 x 13 mm\n"
				"face: 25 x 13 mm\n"
				"loop: 20 mm\n"
				"gap: 3 mm\n"
				"dpi: 300\n"
				"inset: 1 mm\n";

static const char good_wrap[] = "layout: mine\n"
				"kind: roll\n"
				"style: wrap\n"
				"label: 25 x 38 mm\n"
				"printed: 25 x 13 mm\n"
				"clear: 25 x 25 mm\n"
				"direction: down\n"
				"thickness: 0.05 mm\n"
				"gap: 3 mm\n"
				"dpi: 300\n"
				"inset: 1 mm\n";

static const char good_tape_flag[] = "layout: mine\n"
				     "kind: tape\n"
				     "style: flag\n"
				     "width: 12 mm\n"
				     "dpi: 300\n"
				     "inset: 1 mm\n"
				     "loop: 16 mm\n";

static const char good_tape_wrap[] = "layout: mine\n"
				     "kind: tape\n"
				     "style: wrap\n"
				     "width: 24 mm\n"
				     "printed: 8 mm\n"
				     "clear: 16 mm\n"
				     "direction: down\n"
				     "dpi: 300\n"
				     "inset: 1 mm\n";

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

static void test_reads_tape(void **state)
{
	(void)state;
	struct lt_layout layout;
	struct lt_diags diags;
	assert_true(read_as(&layout, &diags, "mine.yaml", good_tape));
	assert_int_equal(layout.medium, LT_MEDIUM_TAPE);
	assert_int_equal(layout.style, LT_STYLE_PLATE);
	assert_near(layout.label_width, 0, 0);
	assert_near(layout.label_height, 12, 1e-9);
	assert_near(layout.dpi, 180, 0);
	assert_near(layout.shortest, 10, 1e-9);
	assert_near(layout.longest, 80, 1e-9);
	assert_int_equal(lt_layout_labels(&layout), 1);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	assert_true(read_as(&layout, &diags, "mine.yaml", good_tape_flag));
	assert_int_equal(layout.style, LT_STYLE_FLAG);
	assert_near(layout.loop, 16, 1e-9);
	assert_near(layout.shortest, LT_TAPE_SHORTEST, 0);
	assert_near(layout.longest, LT_TAPE_LONGEST, 0);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	assert_true(read_as(&layout, &diags, "mine.yaml", good_tape_wrap));
	assert_int_equal(layout.style, LT_STYLE_WRAP);
	assert_int_equal(layout.direction, LT_DOWN);
	assert_near(layout.printed_height, 8, 1e-9);
	assert_near(layout.clear_height, 16, 1e-9);
	assert_near(layout.thickness, LT_FILM_THICKNESS, 0);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
}

static char *with_line(const char *text, const char *key, const char *line);

static void test_reads_styles(void **state)
{
	(void)state;
	struct lt_layout layout;
	struct lt_diags diags;
	assert_true(read_as(&layout, &diags, "mine.yaml", good_flag));
	assert_int_equal(layout.style, LT_STYLE_FLAG);
	assert_near(layout.label_width, 70, 1e-9);
	assert_near(layout.face_width, 25, 1e-9);
	assert_near(layout.loop, 20, 1e-9);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	assert_true(read_as(&layout, &diags, "mine.yaml", good_wrap));
	assert_int_equal(layout.style, LT_STYLE_WRAP);
	assert_near(layout.printed_width, 25, 1e-9);
	assert_near(layout.printed_height, 13, 1e-9);
	assert_near(layout.clear_width, 25, 1e-9);
	assert_near(layout.clear_height, 25, 1e-9);
	assert_near(layout.thickness, 0.05, 1e-9);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	/* A label that is left out is what its zones make up. */
	char *text = with_line(good_wrap, "label:", NULL);
	assert_true(read_as(&layout, &diags, "mine.yaml", text));
	assert_near(layout.label_width, 25, 1e-9);
	assert_near(layout.label_height, 38, 1e-9);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	free(text);
	/* In every direction. */
	static const struct {
		const char *word;
		enum lt_direction direction;
		double width, height;
	} cases[] = { { "down", LT_DOWN, 20, 68 }, { "up", LT_UP, 20, 68 },
		{ "right", LT_RIGHT, 68, 20 }, { "left", LT_LEFT, 68, 20 } };
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char sheet[512];
		bool down = cases[i].width < cases[i].height;
		snprintf(sheet, sizeof(sheet),
			"layout: mine\nkind: sheet\nstyle: wrap\npage: 210 x 297 mm\n"
			"printed: %s mm\nclear: %s mm\ndirection: %s\n"
			"grid: 2 x 3\nfirst: 10 x 10 mm\npitch: 70 x 70 mm\ninset: 1 mm\n",
			down ? "20 x 23" : "23 x 20", down ? "20 x 45" : "45 x 20", cases[i].word);
		assert_true(read_as(&layout, &diags, "mine.yaml", sheet));
		assert_int_equal(layout.direction, cases[i].direction);
		assert_near(layout.label_width, cases[i].width, 1e-9);
		assert_near(layout.label_height, cases[i].height, 1e-9);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

/* What is written to a hundredth of a millimetre adds up to a hundredth, and not to two. */
static void test_sums_have_slack(void **state)
{
	(void)state;
	static const struct {
		const char *text, *key, *line;
		bool good;
	} cases[] = {
		{ good_flag, "label:", "label: 70.01 x 13 mm", true },
		{ good_flag, "label:", "label: 70.02 x 13 mm", false },
		{ good_flag, "label:", "label: 69.99 x 13.01 mm", true },
		{ good_flag, "face:", "face: 25 x 12.98 mm", false },
		{ good_wrap, "label:", "label: 25.01 x 37.99 mm", true },
		{ good_wrap, "label:", "label: 25 x 38.02 mm", false },
		{ good_wrap, "clear:", "clear: 25.02 x 25 mm", false },
		{ good_tape_wrap, "width:", "width: 24.01 mm", true },
		{ good_tape_wrap, "width:", "width: 23.98 mm", false },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *text = with_line(cases[i].text, cases[i].key, cases[i].line);
		struct lt_layout layout;
		struct lt_diags diags;
		assert_int_equal(read_as(&layout, &diags, "mine.yaml", text), cases[i].good);
		assert_int_equal(diags.errors, cases[i].good ? 0 : 1);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
		free(text);
	}
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

static void test_reports_errors(void **state)
{
	(void)state;
	static const struct {
		const char *text, *key, *line, *message;
		unsigned at;
	} cases[] = {
		{ good_sheet, "layout:", "layout: yours", "\"yours\"|mine.yaml", 1 },
		{ good_sheet, "layout:", "layout: a/b", "layout|\"a/b\"", 1 },
		{ good_sheet, "layout:", NULL, "needs \"layout\"", 1 },
		{ good_sheet, "page:", NULL, "needs \"page\"", 1 },
		{ good_sheet, "label:", NULL, "needs \"label\"", 1 },
		{ good_sheet, "grid:", NULL, "needs \"grid\"", 1 },
		{ good_sheet, "first:", NULL, "needs \"first\"", 1 },
		{ good_sheet, "pitch:", NULL, "needs \"pitch\"", 1 },
		{ good_sheet, "inset:", "inset: 1 mm\ncut: line", "cut|lines|\"line\"", 10 },
		{ good_roll, "gap:", "cut: lines", "\"cut\"|kind|sheet", 4 },
		{ good_sheet, "inset:", NULL, "needs \"inset\"", 1 },
		{ good_sheet, "kind:", NULL, "needs \"kind\"", 1 },
		{ good_sheet, "kind:", "kind: shet", "kind|sheet, roll|\"shet\"", 3 },
		{ good_sheet, "style:", "style: ring", "style|plate, flag|\"ring\"", 11 },
		{ good_sheet, "style:", "style: flag", "needs \"face\"", 1 },
		{ good_sheet, "style:", "style: wrap", "needs \"printed\"", 1 },
		{ good_sheet, "style:", "style: []", "style|single value", 11 },
		{ good_sheet, "title:", "colour: red", "colour", 2 },
		{ good_sheet, "title:", "dpi: 203", "\"dpi\"|kind|roll, tape", 2 },
		{ good_sheet, "title:", "loop: 9 mm", "\"loop\"|style|flag", 2 },
		{ good_sheet, "title:", "width: 9 mm", "\"width\"|kind|tape", 2 },
		{ good_sheet, "kind:", "lable: 60 x 90 mm", "\"lable\" in a layout", 3 },
		{ good_sheet, "grid:", "grid: 4 x 3", "grid|4 column|265 mm", 6 },
		{ good_sheet, "grid:", "grid: 3 x 4", "grid|4 row|376.5 mm", 6 },
		{ good_sheet, "grid:", "grid: 0 x 4", "grid|\"0 x 4\"|columns x rows", 6 },
		{ good_sheet, "pitch:", "pitch: 59 x 91 mm", "overlap|60 mm wide|59 mm", 8 },
		{ good_sheet, "pitch:", "pitch: 65 x 80 mm", "overlap|90 mm high|80 mm", 8 },
		{ good_sheet, "first:", "first: -1 x 12 mm", "first|is out of range", 7 },
		{ good_sheet, "page:", "page: 210 mm", "page|is not two lengths", 4 },
		{ good_sheet, "page:", "page: 1001 x 297 mm", "page|is out of range", 4 },
		{ good_sheet, "label:", "label: 0 x 90 mm", "label|is out of range", 5 },
		{ good_sheet, "inset:", "inset: 30 mm", "leaves nothing to print on", 9 },
		{ good_sheet, "inset:", "inset: two", "inset|is not a length", 9 },
		{ good_sheet, "inset:", "inset: -1 mm", "inset|is out of range", 9 },
		{ good_sheet, "corner:", "corner: 9 mm", "cut into what is printed", 10 },
		{ good_roll, "gap:", NULL, "needs \"gap\"", 1 },
		{ good_roll, "dpi:", NULL, "needs \"dpi\"", 1 },
		{ good_roll, "dpi:", "dpi: 20", "dpi|\"20\"|dots per inch", 5 },
		{ good_roll, "dpi:", "dpi: 203.2", "dpi|\"203.2\"|dots per inch", 5 },
		{ good_roll, "gap:", "grid: 3 x 8", "\"grid\"|kind|sheet", 4 },
		{ good_roll, "gap:", "gab: 3 mm", "\"gab\"", 4 },
		{ good_tape, "width:", NULL, "needs \"width\"", 1 },
		{ good_tape, "width:", "width: 12 x 3 mm", "width|is not a length", 3 },
		{ good_tape, "width:", "width: 0.5 mm", "width|is out of range", 3 },
		{ good_tape, "width:", "width: 2.9 mm", "leaves nothing to print on", 5 },
		{ good_tape, "width:", "label: 70 x 12 mm", "\"label\"|kind|sheet, roll", 3 },
		{ good_tape, "dpi:", NULL, "needs \"dpi\"", 1 },
		{ good_tape, "dpi:", "gap: 3 mm", "\"gap\"|kind|roll", 4 },
		{ good_tape, "inset:", NULL, "needs \"inset\"", 1 },
		{ good_tape, "shortest:", "shortest: 81 mm", "shortest|81 mm|longest|80 mm", 7 },
		{ good_tape, "shortest:", "shortest: 2.5 mm", "leaves nothing to print on", 5 },
		{ good_tape, "longest:", "longest: 9 mm", "shortest|longest|9 mm", 7 },
		{ good_tape, "longest:", "longest: far", "longest|is not a length", 7 },
		{ good_tape, "longest:", "corner: 1 mm", "\"corner\"|kind|sheet, roll", 7 },
		{ good_tape_flag, "loop:", NULL, "needs \"loop\"", 1 },
		{ good_tape_flag, "loop:", "loop: 0", "loop|is out of range", 7 },
		{ good_tape_flag, "dpi:", "face: 9 x 12 mm", "\"face\"|kind|sheet, roll", 5 },
		{ good_tape_wrap, "printed:", "printed: 8 x 8 mm", "printed|is not a length", 5 },
		{ good_tape_wrap, "clear:", "clear: 15 mm", "printed|clear|23 mm", 5 },
		{ good_tape_wrap, "clear:", NULL, "needs \"clear\"", 1 },
		{ good_tape_wrap, "direction:", "direction: up", "direction|down", 7 },
		{ good_tape_wrap, "width:", "width: wide", "width|is not a length", 4 },
		{ good_flag, "label:", NULL, "needs \"label\"", 1 },
		{ good_flag, "face:", "face: 24 x 13 mm", "loop of 20 mm|68 mm|70 mm", 5 },
		{ good_flag, "face:", "face: 25 x 12 mm", "12 mm high|13 mm high", 5 },
		{ good_flag, "face:", "face: 25 mm", "face|is not two lengths", 5 },
		{ good_flag, "loop:", "loop: 19 mm", "loop of 19 mm|69 mm|70 mm", 5 },
		{ good_flag, "loop:", "clear: 9 x 9 mm", "\"clear\"|style|wrap", 6 },
		{ good_flag, "inset:", "inset: 6.1 mm", "leaves nothing to print on", 9 },
		{ good_wrap, "label:", "label: 25 x 40 mm", "25 x 40 mm|zones|25 x 38 mm", 4 },
		{ good_wrap, "printed:", NULL, "needs \"printed\"", 1 },
		{ good_wrap, "clear:", "clear: 24 x 25 mm", "24 mm wide|25 mm wide", 6 },
		{ good_wrap, "direction:", "direction: right", "25 mm high|13 mm high", 6 },
		{ good_wrap, "direction:", "direction: dwon", "direction|down, up|\"dwon\"", 7 },
		{ good_wrap, "thickness:", "thickness: -1 mm", "thickness|is out of range", 8 },
		{ good_wrap, "thickness:", "loop: 3 mm", "\"loop\"|style|flag", 8 },
		{ good_wrap, "thickness:", "thickness: 2 mm", "no bundle", 6 },
		{ good_wrap, "inset:", "inset: 6.1 mm", "leaves nothing to print on", 11 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *text = with_line(cases[i].text, cases[i].key, cases[i].line);
		struct lt_layout layout;
		struct lt_diags diags;
		assert_false(read_as(&layout, &diags, "mine.yaml", text));
		bool found = false;
		for (size_t j = 0; j < diags.count; j++) {
			if (!has_parts(diags.items[j].message, cases[i].message))
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

/* The tail has to go round once more on what the printed zone lies flat round: 13 mm of it are pi x
 * 4.14 mm, and 2 x pi x 0.05 mm are 0.314 mm more. */
static void test_tail_longer_than_zone(void **state)
{
	(void)state;
	static const struct {
		const char *label, *clear;
		bool good;
	} cases[] = { { NULL, "clear: 25 x 12 mm", false }, { NULL, "clear: 25 x 13 mm", false },
		{ NULL, "clear: 25 x 13.31 mm", false }, { NULL, "clear: 25 x 13.32 mm", true } };
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *unlabelled = with_line(good_wrap, "label:", cases[i].label);
		char *text = with_line(unlabelled, "clear:", cases[i].clear);
		struct lt_layout layout;
		struct lt_diags diags;
		assert_int_equal(read_as(&layout, &diags, "mine.yaml", text), cases[i].good);
		if (!cases[i].good) {
			assert_int_equal(diags.errors, 1);
			assert_true(has_parts(diags.items[0].message, "13 mm|4.14 mm"));
			assert_non_null(strstr(diags.items[0].hint, "0.31 mm"));
		}
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
		free(unlabelled);
		free(text);
	}
}

/* Every fault in one run, not the first alone. */
static void test_reports_all_errors(void **state)
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
	assert_non_null(strstr(diags.items[0].message, "256 KiB"));
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	free(large);
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
		{ "a4-3x9", folders, "\"a4-3x9\"", "a4-3x8" },
		{ "nothing-of-the-sort", folders, "\"nothing-of-the-sort\"", "loomtag layouts" },
		{ "", folders, "\"\"", "loomtag layouts" },
		{ "a4-3x8", none, "no folder", ".yaml" },
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
	size_t own = 0;
	lt_layout_names(&own, &arena, folders + 1);
	assert_true(own > 0);
	assert_int_equal(count, own);
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
		cmocka_unit_test(test_reads_tape),
		cmocka_unit_test(test_reads_styles),
		cmocka_unit_test(test_sums_have_slack),
		cmocka_unit_test(test_reports_errors),
		cmocka_unit_test(test_tail_longer_than_zone),
		cmocka_unit_test(test_reports_all_errors),
		cmocka_unit_test(test_bad_documents),
		cmocka_unit_test(test_finds),
		cmocka_unit_test(test_first_folder_wins),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
