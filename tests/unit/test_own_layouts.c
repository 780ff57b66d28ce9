/* The layouts that come with the program. */
#include "unit.h"

#include <math.h>

#include "label/shape.h"

#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

/* Those whose names stand for sizes, with the sizes. A new one needs no row here. */
static const struct own {
	const char *name;
	double width, height, dpi;
	enum lt_medium medium;
	enum lt_style style;
	unsigned labels;
} own[] = {
	{ "a4-2x8", 105, 37, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 16 },
	{ "a4-3x8", 70, 37, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 24 },
	{ "a4-4x10", 52.5, 29.7, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 40 },
	{ "a4-5x13", 38.1, 21.2, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 65 },
	{ "a4-7x27", 25.4, 10, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 189 },
	{ "a4-cut", 63.8, 33.8, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 24 },
	{ "a4-flag-3x20", 60, 12, 0, LT_MEDIUM_SHEET, LT_STYLE_FLAG, 60 },
	{ "a4-wrap-6x7", 25, 34, 0, LT_MEDIUM_SHEET, LT_STYLE_WRAP, 42 },
	{ "flag-22x10", 56, 10, 300, LT_MEDIUM_ROLL, LT_STYLE_FLAG, 1 },
	{ "flag-25x13", 70, 13, 300, LT_MEDIUM_ROLL, LT_STYLE_FLAG, 1 },
	{ "flag-38x19", 108, 19, 203, LT_MEDIUM_ROLL, LT_STYLE_FLAG, 1 },
	{ "letter-2x5", 101.6, 50.8, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 10 },
	{ "letter-3x10", 66.7, 25.4, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 30 },
	{ "letter-4x20", 44.45, 12.7, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 80 },
	{ "letter-cut", 64.8, 31.3, 0, LT_MEDIUM_SHEET, LT_STYLE_PLATE, 24 },
	{ "letter-wrap-7x6", 25.4, 38.1, 0, LT_MEDIUM_SHEET, LT_STYLE_WRAP, 42 },
	{ "roll-20x8", 20, 8, 600, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "roll-25x10", 25, 10, 300, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "roll-25x13", 25, 13, 300, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "roll-38x19", 38, 19, 203, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "roll-54x25", 54, 25, 203, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "roll-76x51", 76, 51, 203, LT_MEDIUM_ROLL, LT_STYLE_PLATE, 1 },
	{ "tape-12", 0, 12, 300, LT_MEDIUM_TAPE, LT_STYLE_PLATE, 1 },
	{ "tape-12-flag", 0, 12, 300, LT_MEDIUM_TAPE, LT_STYLE_FLAG, 1 },
	{ "tape-18", 0, 18, 300, LT_MEDIUM_TAPE, LT_STYLE_PLATE, 1 },
	{ "tape-24", 0, 24, 300, LT_MEDIUM_TAPE, LT_STYLE_PLATE, 1 },
	{ "tape-36-wrap", 0, 36, 300, LT_MEDIUM_TAPE, LT_STYLE_WRAP, 1 },
	{ "tape-9", 0, 9, 360, LT_MEDIUM_TAPE, LT_STYLE_PLATE, 1 },
	{ "wrap-20x6", 20, 18.2, 600, LT_MEDIUM_ROLL, LT_STYLE_WRAP, 1 },
	{ "wrap-25x11", 25, 32, 300, LT_MEDIUM_ROLL, LT_STYLE_WRAP, 1 },
	{ "wrap-25x20", 25, 58, 300, LT_MEDIUM_ROLL, LT_STYLE_WRAP, 1 },
	{ "wrap-40x36", 40, 101, 203, LT_MEDIUM_ROLL, LT_STYLE_WRAP, 1 },
};
enum { OWN = sizeof(own) / sizeof(own[0]) };

static const char *const own_folders[] = { "/nowhere/at/all", LT_SOURCE_LAYOUTS, NULL };

static void find_own(struct lt_layout *layout, const char *name)
{
	struct lt_diags diags = { 0 };
	if (!lt_layout_find(layout, name, own_folders, &diags))
		fail_msg("%s: %s", name, diags.count > 0 ? diags.items[0].message : "");
	assert_int_equal(diags.count, 0);
	lt_diags_finish(&diags);
}

/* The grid of a sheet is in the middle of its page. */
static void check_place(const struct lt_layout *layout)
{
	double x = 0;
	double y = 0;
	if (layout->medium != LT_MEDIUM_SHEET)
		return;
	lt_layout_position(&x, &y, layout, lt_layout_labels(layout) - 1);
	assert_near(layout->first_x, layout->page_width - x - layout->label_width, 0.01);
	assert_near(layout->first_y, layout->page_height - y - layout->label_height, 0.01);
}

/* Each reads, lies on its page and is in the middle there. */
static void test_own_layouts(void **state)
{
	(void)state;
	struct lt_arena arena = { 0 };
	size_t count = 0;
	const char **names = lt_layout_names(&count, &arena, own_folders);
	assert_true(count >= OWN);
	for (size_t i = 0; i < count; i++) {
		struct lt_layout layout;
		find_own(&layout, names[i]);
		check_place(&layout);
		lt_layout_finish(&layout);
	}
	lt_arena_finish(&arena);
	for (size_t i = 0; i < OWN; i++) {
		struct lt_layout layout;
		find_own(&layout, own[i].name);
		assert_int_equal(layout.medium, own[i].medium);
		assert_int_equal(layout.style, own[i].style);
		assert_near(layout.label_width, own[i].width, 1e-9);
		assert_near(layout.label_height, own[i].height, 1e-9);
		assert_int_equal(lt_layout_labels(&layout), own[i].labels);
		assert_near(layout.dpi, own[i].dpi, 0);
		lt_layout_finish(&layout);
	}
}

/* The most dots a module with which a symbol of version 1, 21 modules (ISO/IEC 18004), has its ink
 * in what is printed of a face, and its quiet zone of 4 modules on the face. */
static unsigned most_dots(const struct lt_zone *face, double inset, double dot)
{
	double side = fmin(face->width, face->height);
	unsigned dots = 0;
	while (21 * (dots + 1) * dot <= side - 2 * inset && 29 * (dots + 1) * dot <= side)
		dots++;
	return dots;
}

/* A short code has modules that read, at least 3 dots and 0.16 mm, on every one of them. A tag of
 * three characters has room beside it at 2 mm (NUREG-0700 11.4.1.5-1, at 500 mm), when each is as
 * wide as it is high. Returns whether the modules come out at a good size, 4 dots and 0.25 mm. */
static bool check_room(const struct lt_layout *layout)
{
	struct lt_shape shape;
	lt_layout_shape(&shape, layout, layout->shortest, 0);
	const struct lt_zone *face = &shape.faces[0];
	double dot = 25.4 / (layout->dpi > 0 ? layout->dpi : 600);
	unsigned dots = most_dots(face, layout->inset, dot);
	if (dots < 3 || dots * dot < 0.16)
		fail_msg("%s: %u dots, %g mm", layout->name, dots, dots * dot);
	unsigned used = dots > 4 && 4 * dot >= 0.25 ? 4 : dots;
	double symbol = 21 * used * dot;
	double quiet = 4 * used * dot;
	assert_true(face->height - 2 * layout->inset >= 2);
	double beside = face->width - layout->inset - quiet - symbol - fmax(layout->inset, quiet);
	if (beside < 3 * 2.0)
		fail_msg("%s: %g mm beside the symbol", layout->name, beside);
	return dots >= 4 && dots * dot >= 0.25;
}

static void test_own_layouts_can_be_printed(void **state)
{
	(void)state;
	struct lt_arena arena = { 0 };
	size_t count = 0;
	const char **names = lt_layout_names(&count, &arena, own_folders);
	for (size_t i = 0; i < count; i++) {
		struct lt_layout layout;
		find_own(&layout, names[i]);
		/* The smallest wrap has no room for better. */
		if (!check_room(&layout))
			assert_string_equal(names[i], "wrap-20x6");
		lt_layout_finish(&layout);
	}
	lt_arena_finish(&arena);
}

/* The four sizes of wraps on rolls leave out no bundle from 2 to 20 mm. */
static void test_own_wraps_follow_each_other(void **state)
{
	(void)state;
	static const char *const names[] = { "wrap-20x6", "wrap-25x11", "wrap-25x20",
		"wrap-40x36" };
	double reached = 2;
	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		struct lt_layout layout;
		find_own(&layout, names[i]);
		struct lt_range range = lt_layout_bundles(&layout);
		assert_true(range.least <= reached);
		assert_true(range.most > reached);
		assert_int_equal(lt_layout_fit(&layout, reached), LT_FIT_YES);
		reached = range.most;
		lt_layout_finish(&layout);
	}
	assert_true(reached >= 20);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_own_layouts),
		cmocka_unit_test(test_own_layouts_can_be_printed),
		cmocka_unit_test(test_own_wraps_follow_each_other),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
