/* Lists of stickers such as "3,7-9,12M". */
#include "unit.h"

#include <string.h>

#include "fixture.h"
#include "label/sticker.h"

static void test_selects(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_selection *selection = lt_selection_read("3,7-9, 12M ,14x,20-21h", &diags);
	assert_non_null(selection);
	assert_int_equal(diags.count, 0);
	static const struct {
		unsigned number;
		const char *sides;
	} cases[] = { { 2, "" }, { 3, "HMX" }, { 6, "" }, { 7, "HMX" }, { 8, "HMX" }, { 9, "HMX" },
		{ 10, "" }, { 12, "M" }, { 14, "X" }, { 20, "H" }, { 21, "H" }, { 22, "" },
		{ 99999, "" }, { 100000, "" } };
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		for (unsigned side = 0; side < LT_SIDE_COUNT; side++) {
			bool wanted =
				strchr(cases[i].sides, lt_side_letter((enum lt_side)side)) != NULL;
			assert_int_equal(lt_selected(selection, cases[i].number,
						 (enum lt_side)side),
				wanted);
		}
	}
	assert_true(lt_selected(NULL, 5, LT_SIDE_X));
	lt_selection_destroy(selection);
	lt_selection_destroy(NULL);
	lt_diags_finish(&diags);
}

static void test_both_sides_by_two_items(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_selection *selection = lt_selection_read("12H,12M,99999", &diags);
	assert_non_null(selection);
	assert_true(lt_selected(selection, 12, LT_SIDE_H));
	assert_true(lt_selected(selection, 12, LT_SIDE_M));
	assert_false(lt_selected(selection, 12, LT_SIDE_X));
	assert_true(lt_selected(selection, 99999, LT_SIDE_X));
	lt_selection_destroy(selection);
	lt_diags_finish(&diags);
}

static void test_refuses(void **state)
{
	(void)state;
	static const struct {
		const char *text, *message;
	} cases[] = { { "", "is not a tag or a number" }, { ",", "is not a tag or a number" },
		{ "3,", "is not a tag or a number" }, { "3,,4", "is not a tag or a number" },
		{ "0", "\"0\" is not a tag or a number" },
		{ "012", "\"012\" is not a tag or a number" },
		{ "3,x,5", "\"x\" is not a tag or a number" },
		{ "12B", "\"12B\" is not a tag or a number" },
		{ "12HM", "is not a tag or a number" }, { "12H-14", "is not a tag or a number" },
		{ "5-", "is not a tag or a number" }, { "-5", "is not a tag or a number" },
		{ "1-2-3", "is not a tag or a number" }, { "3 4", "is not a tag or a number" },
		{ "1,9-7", "range \"9-7\"" }, { "100000", "is not a tag or a number" },
		{ "99999999999999999999", "is not a tag or a number" } };
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_diags diags = { 0 };
		assert_null(lt_selection_read(cases[i].text, &diags));
		assert_int_equal(diags.errors, 1);
		assert_non_null(strstr(diags.items[0].message, cases[i].message));
		assert_non_null(strstr(diags.items[0].hint, "3,7-9,12M"));
		lt_diags_finish(&diags);
	}
}

/* What is asked for and is not there must not be passed over in silence. */
static void test_reports_items_that_select_nothing(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_init(&fixture,
		"harness: RV3\nnumbers: order\n"
		"connectors:\n"
		"  - {id: X1, family: a}\n"
		"  - {id: X2, family: b, tag: paper}\n"
		"  - {id: C1, kind: clip, sides: 1}\n"
		"  - {id: X3, family: c, tag: none}\n",
		NULL);
	static const struct {
		const char *text, *message; /* NULL: all right */
	} cases[] = {
		{ "1-3", NULL },
		{ "1H,3", NULL },
		{ "2-99999", NULL },
		{ "1,2", "number 2, has no sticker (tag: paper)" },
		{ "4", "no connector has number 4" },
		{ "3M", "connector C1 has no sticker 3M" },
		{ "1X", "connector X1 has no sticker 1X" },
		{ "5-9", "no sticker has a number from 5 to 9" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_diags diags = { 0 };
		struct lt_selection *selection = lt_selection_read(cases[i].text, &diags);
		assert_non_null(selection);
		assert_int_equal(lt_selection_check(selection, &fixture.tags, &diags),
			cases[i].message == NULL);
		assert_int_equal(diags.errors, cases[i].message == NULL ? 0 : 1);
		if (cases[i].message != NULL)
			assert_non_null(strstr(diags.items[0].message, cases[i].message));
		lt_selection_destroy(selection);
		lt_diags_finish(&diags);
	}
	assert_true(lt_selection_check(NULL, &fixture.tags, &fixture.diags));
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_selects),
		cmocka_unit_test(test_both_sides_by_two_items),
		cmocka_unit_test(test_refuses),
		cmocka_unit_test(test_reports_items_that_select_nothing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
