/* Sticker sheets: which sticker has which place, and what is refused. */
#include "unit.h"

#include "has_parts.h"

#include <stdio.h>
#include <string.h>

#include "sheet_fixture.h"

/* "1H:1/0 …": the tags in their order, each with its page and label. */
static void describe(struct lt_text *out, const struct lt_sheet *sheet,
	const struct fixture *fixture)
{
	lt_text_clear(out);
	for (size_t i = 0; i < sheet->count; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		lt_text_printf(out, "%s%u%c%s:%u/%u", i > 0 ? " " : "",
			fixture->tags.number_of[slot->id.connector], lt_side_letter(slot->id.side),
			slot->id.over_m ? "!" : "", slot->page, slot->label);
	}
}

static void assert_plan(const struct fixture *fixture, const struct lt_layout *layout,
	const struct lt_sheet_options *options, const char *expected, unsigned pages)
{
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_text text = { 0 };
	assert_true(lt_sheet_plan(&sheet, layout, &fixture->tags, &fixture->reg, options, &diags));
	describe(&text, &sheet, fixture);
	assert_string_equal(lt_text_string(&text), expected);
	assert_int_equal(sheet.pages, pages);
	lt_text_finish(&text);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
}

static void test_places(void **state)
{
	(void)state;
	static const struct {
		unsigned columns, rows, start, pages;
		const char *expected;
	} cases[] = {
		{ 3, 8, 1, 1, "1H:1/0 1X:1/1 1M:1/2 2H:1/3 2M:1/4 4H:1/5 5H:1/6 5M:1/7" },
		{ 3, 8, 17, 1, "1H:1/16 1X:1/17 1M:1/18 2H:1/19 2M:1/20 4H:1/21 5H:1/22 5M:1/23" },
		/* A number that does not fit on what is left goes to the next page whole. */
		{ 2, 2, 1, 3, "1H:1/0 1X:1/1 1M:1/2 2H:2/0 2M:2/1 4H:2/2 5H:3/0 5M:3/1" },
		{ 2, 2, 2, 3, "1H:1/1 1X:1/2 1M:1/3 2H:2/0 2M:2/1 4H:2/2 5H:3/0 5M:3/1" },
		/* A page that could not hold it anyway is filled. */
		{ 2, 1, 1, 5, "1H:1/0 1X:1/1 1M:2/0 2H:3/0 2M:3/1 4H:4/0 5H:5/0 5M:5/1" },
		{ 1, 1, 1, 8, "1H:1/0 1X:2/0 1M:3/0 2H:4/0 2M:5/0 4H:6/0 5H:7/0 5M:8/0" },
	};
	struct fixture fixture;
	fixture_init(&fixture, sample, NULL);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_layout layout;
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		options.start = cases[i].start;
		init_layout(&layout, cases[i].columns, cases[i].rows);
		assert_plan(&fixture, &layout, &options, cases[i].expected, cases[i].pages);
	}
	fixture_finish(&fixture);
}

static void test_only(void **state)
{
	(void)state;
	static const struct {
		const char *only, *expected;
	} cases[] = { { "2", "2H:1/0 2M:1/1" }, { "1X,4-5", "1X:1/0 4H:1/1 5H:1/2 5M:1/3" },
		{ "5H,1M", "1M:1/0 5H:1/1" } };
	struct fixture fixture;
	struct lt_layout layout;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_diags diags = { 0 };
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		struct lt_selection *only = lt_selection_read(cases[i].only, &diags);
		options.only = only;
		assert_plan(&fixture, &layout, &options, cases[i].expected, 1);
		lt_selection_destroy(only);
		lt_diags_finish(&diags);
	}
	fixture_finish(&fixture);
}

/* Labels that are gone are passed over; a number stays on one page all the same. */
static void test_used(void **state)
{
	(void)state;
	static const struct {
		const char *used; /* of six labels on the first sheet: x is gone */
		unsigned pages;
		const char *expected; /* NULL: refused */
	} cases[] = {
		{ "......", 2, "1H:1/0 1X:1/1 1M:1/2 2H:1/3 2M:1/4 4H:1/5 5H:2/0 5M:2/1" },
		{ "x.x..x", 2, "1H:1/1 1X:1/3 1M:1/4 2H:2/0 2M:2/1 4H:2/2 5H:2/3 5M:2/4" },
		{ ".x.x..", 2, "1H:1/0 1X:1/2 1M:1/4 2H:2/0 2M:2/1 4H:2/2 5H:2/3 5M:2/4" },
		{ "x.xx.x", 0, NULL },
	};
	struct fixture fixture;
	struct lt_layout layout;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 3, 2);
	for (size_t i = 0; i < COUNT(cases); i++) {
		bool used[6];
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		for (size_t k = 0; k < COUNT(used); k++)
			used[k] = cases[i].used[k] == 'x';
		options.used = used;
		if (cases[i].expected != NULL) {
			assert_plan(&fixture, &layout, &options, cases[i].expected, cases[i].pages);
			continue;
		}
		struct lt_sheet sheet;
		struct lt_diags diags = { 0 };
		assert_false(lt_sheet_plan(&sheet, &layout, &fixture.tags, &fixture.reg, &options,
			&diags));
		assert_int_equal(diags.errors, 1);
		assert_true(has_parts(diags.items[0].message, "--used|number 1"));
		lt_sheet_finish(&sheet);
		lt_diags_finish(&diags);
	}
	fixture_finish(&fixture);
}

/* Copies of a number's stickers follow each other. */
static void test_copies(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct lt_selection *only = lt_selection_read("1-2", &diags);
	options.only = only;
	options.copies = 2;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 3, 2);
	assert_plan(&fixture, &layout, &options,
		"1H:1/0 1X:1/1 1M:1/2 1H:1/3 1X:1/4 1M:1/5 2H:2/0 2M:2/1 2H:2/2 2M:2/3", 2);
	lt_selection_destroy(only);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* What is asked for by itself, in that order; a side that comes again is another copy. */
static void test_list(void **state)
{
	(void)state;
	static const struct lt_sticker_id list[] = { { 0, LT_SIDE_M, false },
		{ 0, LT_SIDE_H, false }, { 0, LT_SIDE_X, false }, { 0, LT_SIDE_M, false },
		{ 1, LT_SIDE_H, false }, { 1, LT_SIDE_H, false } };
	struct fixture fixture;
	struct lt_layout layout, tape;
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	options.list = list;
	options.list_count = COUNT(list);
	options.copies = 7;
	options.together = true;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	fixture_layout(&tape, "tape-12");
	assert_plan(&fixture, &layout, &options, "1M:1/0 1H:1/1 1X:1/2 1M:1/3 2H:2/0 2H:2/1", 2);
	assert_plan(&fixture, &tape, &options, "1M:1/0 1H:1/1 1X:1/2 1M:2/0 2H:3/0 2H:4/0", 4);
	lt_layout_finish(&tape);
	fixture_finish(&fixture);
}

/* On a tape each copy of a number has a page of its own, where a cutter cuts. */
static void test_together(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout tape, roll;
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct lt_diags diags = { 0 };
	struct lt_selection *only = lt_selection_read("1,4", &diags);
	options.only = only;
	options.together = true;
	options.copies = 2;
	fixture_init(&fixture, sample, NULL);
	fixture_layout(&tape, "tape-12");
	fixture_layout(&roll, "roll-54x25");
	assert_plan(&fixture, &tape, &options,
		"1H:1/0 1X:1/1 1M:1/2 1H:2/0 1X:2/1 1M:2/2 4H:3/0 4H:4/0", 4);
	options.copies = 1;
	assert_plan(&fixture, &roll, &options, "1H:1/0 1X:2/0 1M:3/0 4H:4/0", 4);
	lt_layout_finish(&tape);
	lt_layout_finish(&roll);
	lt_selection_destroy(only);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* Each layout gets the stickers that were chosen for it, and none is lost between two. */
static void test_choice(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	unsigned char choice[6 * LT_SIDE_COUNT];
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 3, 2);
	for (size_t i = 0; i < COUNT(choice); i++)
		choice[i] = i % LT_SIDE_COUNT == LT_SIDE_H ? 1 : 0;
	options.choice = choice;
	options.medium = 1;
	assert_plan(&fixture, &layout, &options, "1H:1/0 2H:1/1 4H:1/2 5H:1/3", 1);
	options.medium = 0;
	assert_plan(&fixture, &layout, &options, "1X:1/0 1M:1/1 2M:1/2 5M:1/3", 1);
	options.medium = 2;
	assert_plan(&fixture, &layout, &options, "", 0);
	fixture_finish(&fixture);
}

/* The register knows which M stickers went out before the component was to be replaced. */
static void test_covers_old_stickers(void **state)
{
	(void)state;
	static const struct {
		const char *printed;
		bool covers;
	} cases[] = { { "", false }, { "H", false }, { "HM", true }, { "M", true },
		{ "HXM", false }, { "XM", false }, { "HMX", true },
		/* An M for the new part is no M on the old one. */
		{ "N", false }, { "HNX", false }, { "HMNX", true }, { "HXN", false } };
	struct lt_layout layout;
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct fixture fixture;
		struct lt_sheet sheet;
		struct lt_diags diags = { 0 };
		const struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		fixture_init(&fixture, sample, NULL);
		for (size_t j = 0; j < fixture.reg.count; j++)
			snprintf(fixture.reg.entries[j].printed,
				sizeof(fixture.reg.entries[j].printed), "%s", cases[i].printed);
		assert_true(lt_sheet_plan(&sheet, &layout, &fixture.tags, &fixture.reg, &options,
			&diags));
		for (size_t j = 0; j < sheet.count; j++)
			assert_int_equal(sheet.slots[j].id.over_m,
				cases[i].covers && sheet.slots[j].id.side == LT_SIDE_X);
		/* It says so: for X1 alone, since no other has an X sticker. */
		assert_int_equal(diags.warnings, cases[i].covers ? 1 : 0);
		if (cases[i].covers) {
			assert_true(has_parts(diags.items[0].message, "connector X1|sticker 1M"));
			assert_non_null(strstr(diags.items[0].hint, "stick 1X over it"));
		}
		lt_sheet_finish(&sheet);
		lt_diags_finish(&diags);
		fixture_finish(&fixture);
	}
}

static void test_refuses(void **state)
{
	(void)state;
	static const struct {
		unsigned start;
		const char *only, *message;
	} cases[] = {
		{ 0, NULL, "--start 0|layout own has 24 labels" },
		{ 25, NULL, "--start 25|layout own has 24 labels" },
		{ 23, NULL, "--start|number 1" },
		{ 1, "3", "has no sticker (tag: paper)" },
		{ 1, "77", "no connector|number 77" },
	};
	struct fixture fixture;
	struct lt_layout layout;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_sheet sheet;
		struct lt_diags diags = { 0 };
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		struct lt_selection *only = NULL;
		if (cases[i].only != NULL)
			only = lt_selection_read(cases[i].only, &diags);
		options.start = cases[i].start;
		options.only = only;
		assert_false(lt_sheet_plan(&sheet, &layout, &fixture.tags, &fixture.reg, &options,
			&diags));
		assert_int_equal(diags.errors, 1);
		assert_true(has_parts(diags.items[0].message, cases[i].message));
		lt_selection_destroy(only);
		lt_sheet_finish(&sheet);
		lt_diags_finish(&diags);
	}
	fixture_finish(&fixture);
	struct lt_sheet sheet;
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	fixture_init(&fixture, "harness: RV3\nnumbers: order\nconnectors: [{id: X1, tag: paper}]\n",
		NULL);
	size_t before = fixture.diags.errors;
	assert_false(lt_sheet_plan(&sheet, &layout, &fixture.tags, NULL, &options, &fixture.diags));
	assert_int_equal(fixture.diags.errors, before + 1);
	lt_sheet_finish(&sheet);
	options.sticker.payload = LT_PAYLOAD_LINK;
	assert_false(lt_sheet_plan(&sheet, &layout, &fixture.tags, NULL, &options, &fixture.diags));
	assert_int_equal(fixture.diags.errors, before + 2);
	assert_non_null(strstr(fixture.diags.items[fixture.diags.count - 1].hint, "--base"));
	lt_sheet_finish(&sheet);
	lt_sheet_finish(NULL);
	fixture_finish(&fixture);
}

/* A bundle that does not suit is told of every connector, before anything is drawn. */
static void test_refuses_what_does_not_fit(void **state)
{
	(void)state;
	static const struct lt_bundle bundles[] = { { 5, LT_BUNDLE_MEASURED, false },
		{ 50, LT_BUNDLE_MEASURED, false }, { 0, LT_BUNDLE_UNKNOWN, false },
		{ 1, LT_BUNDLE_MEASURED, false } };
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	options.sticker.bundles = bundles;
	fixture_init(&fixture,
		"harness: RV3\nnumbers: order\nconnectors: [{id: X1, family: a}, {id: X2, family: b}, "
		"{id: X3, family: c}, {id: X4, family: d}]\n",
		NULL);
	fixture_layout(&layout, "wrap-25x11");
	assert_false(lt_sheet_plan(&sheet, &layout, &fixture.tags, NULL, &options, &diags));
	assert_int_equal(diags.errors, 2);
	assert_non_null(strstr(diags.items[0].message, "connector X2: its bundle of 50.00 mm"));
	assert_non_null(strstr(diags.items[1].message, "connector X4: its bundle of 1.00 mm"));
	lt_sheet_finish(&sheet);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_places),
		cmocka_unit_test(test_only),
		cmocka_unit_test(test_used),
		cmocka_unit_test(test_copies),
		cmocka_unit_test(test_list),
		cmocka_unit_test(test_together),
		cmocka_unit_test(test_choice),
		cmocka_unit_test(test_covers_old_stickers),
		cmocka_unit_test(test_refuses),
		cmocka_unit_test(test_refuses_what_does_not_fit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
