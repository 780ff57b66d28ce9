/* Which labels of a part-used sheet are used already. */
#include "unit.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/label.h"

#define LABELS 24u

static void test_reads(void **state)
{
	(void)state;
	/* What is gone is shown as x, row by row. */
	static const struct {
		const char *text, *sheet;
	} cases[] = {
		{ "1", "x......................." },
		{ "24", ".......................x" },
		{ "1-5,9", "xxxxx...x..............." },
		{ "9,1-5", "xxxxx...x..............." },
		{ " 1-5 , 9 ", "xxxxx...x..............." },
		{ "2-2", ".x......................" },
		{ "2-4,3-6,6", ".xxxxx.................." },
		{ "1-23", "xxxxxxxxxxxxxxxxxxxxxxx." },
		{ "2-24", ".xxxxxxxxxxxxxxxxxxxxxxx" },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct lt_diags diags = { 0 };
		bool used[LABELS];
		/* What was there before does not count. */
		memset(used, true, sizeof used);
		if (!lt_used_read(used, LABELS, cases[i].text, &diags) || diags.count)
			fail_msg("\"%s\" is right", cases[i].text);
		for (unsigned label = 0; label < LABELS; label++)
			assert_int_equal(used[label], cases[i].sheet[label] == 'x');
		lt_diags_finish(&diags);
	}
}

static void test_refuses(void **state)
{
	(void)state;
	static const struct {
		const char *text, *message, *hint;
	} cases[] = {
		{ "", "--used names no label", "leave out --used" },
		{ "   ", "--used names no label", "leave out --used" },
		{ "x", "--used: \"x\" is not the number of a label", "from 1 to 24" },
		{ "1,two", "--used: \"two\" is not the number of a label", "1-5,9" },
		{ "1 2", "--used: \"1 2\" is not the number of a label", NULL },
		{ "1;2", "--used: \"1;2\" is not the number of a label", NULL },
		{ "1,", "--used: \"\" is not the number of a label", NULL },
		{ ",1", "--used: \"\" is not the number of a label", NULL },
		{ "-3", "--used: \"-3\" is not the number of a label", NULL },
		{ "3-", "--used: \"3-\" is not the number of a label", NULL },
		{ "1-2-3", "--used: \"1-2-3\" is not the number of a label", NULL },
		{ "01", "--used: \"01\" is not the number of a label", NULL },
		{ "1.5", "--used: \"1.5\" is not the number of a label", NULL },
		{ "0", "--used: \"0\" is not the number of a label", "from 1 to 24" },
		{ "0-3", "--used: \"0-3\" is not the number of a label", NULL },
		{ "1,25", "--used: \"25\" is after the last label",
			"the layout has 24 labels on a sheet" },
		{ "20-25", "--used: \"20-25\" is after the last label", NULL },
		{ "4294967297", "--used: \"4294967297\" is after the last label", NULL },
		{ "99999999999999999999", "--used: \"99999999999999999999\" is after", NULL },
		{ "9-5", "--used: the range \"9-5\"", NULL },
		{ "1-24", "--used: no label is left", "new sheet" },
		{ "13-24,1-12", "--used: no label is left", NULL },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct lt_diags diags = { 0 };
		bool used[LABELS];
		memset(used, true, sizeof used);
		if (lt_used_read(used, LABELS, cases[i].text, &diags))
			fail_msg("\"%s\" is wrong", cases[i].text);
		assert_int_equal(diags.count, 1);
		assert_int_equal(diags.errors, 1);
		const char *hint = diags.items[0].hint;
		if (strncmp(diags.items[0].message, cases[i].message, strlen(cases[i].message)) !=
				0 ||
			!hint || (cases[i].hint && !strstr(hint, cases[i].hint))) {
			lt_diags_print(&diags, 0, stderr, false);
			fail_msg("wanted %s for \"%s\"", cases[i].message, cases[i].text);
		}
		for (unsigned label = 0; label < LABELS; label++)
			assert_false(used[label]);
		lt_diags_finish(&diags);
	}
}

/* A sheet of one label has none left once that is gone, and a long text is cut between
 * characters. */
static void test_ends(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	bool used[1];
	assert_false(lt_used_read(used, 1, "1", &diags));
	assert_false(lt_used_read(used, 1, "2", &diags));
	assert_string_equal(diags.items[1].hint, "the layout has 1 label on a sheet");
	assert_false(lt_used_read(used, 1, "1ääääääääääääääääääääääääääääääää", &diags));
	assert_string_equal(diags.items[2].message,
		"--used: \"1ääääääääääääääääääää\" is not the number of a label");
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reads),
		cmocka_unit_test(test_refuses),
		cmocka_unit_test(test_ends),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
