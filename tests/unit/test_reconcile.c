/* The register as descriptions change from day to day. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/tags.h"
#include "tags/numbering.h"
#include "unit/build.h"

#define HEAD "loomtag register 1 RV3\n"

/* One run over a register's bytes: `after` gets the bytes that would be written. */
struct run {
	struct lt_diags diags;
	struct lt_register reg;
	struct lt_tags tags;
	struct lt_text after;
	bool good;
};

static void run(struct run *out, const struct lt_harness *h, const char *before)
{
	*out = (struct run){ 0 };
	lt_diags_init(&out->diags);
	assert_true(lt_register_read(&out->reg, "rv3.tags", before, strlen(before), h->harness,
		&out->diags));
	struct lt_lookalikes *lookalikes = lt_lookalikes_create(h);
	out->good = lt_tags_assign(&out->tags, h, lookalikes, &out->reg, &out->diags);
	lt_register_write(&out->after, &out->reg, h->harness);
	lt_lookalikes_destroy(lookalikes);
}

static void run_finish(struct run *run)
{
	lt_text_finish(&run->after);
	lt_tags_finish(&run->tags);
	lt_register_finish(&run->reg);
	lt_diags_finish(&run->diags);
}

/* Runs twice: the first gives `after` with so many warnings, the second changes nothing. */
static void assert_becomes(const struct lt_harness *h, const char *before, const char *after,
	size_t warnings)
{
	struct run first;
	run(&first, h, before);
	assert_true(first.good);
	assert_string_equal(lt_text_string(&first.after), after);
	assert_int_equal(first.diags.errors, 0);
	assert_int_equal(first.diags.warnings, warnings);
	assert_int_equal(first.tags.changed, strcmp(before, after) != 0);
	struct run second;
	run(&second, h, after);
	assert_true(second.good);
	assert_false(second.tags.changed);
	assert_string_equal(lt_text_string(&second.after), after);
	assert_int_equal(second.diags.count, 0);
	run_finish(&second);
	run_finish(&first);
}

static void assert_refused(const struct lt_harness *h, const char *before, unsigned line,
	const char *message, const char *hint)
{
	struct run refused;
	run(&refused, h, before);
	assert_false(refused.good);
	assert_int_equal(refused.diags.errors, 1);
	const struct lt_diag *diag = &refused.diags.items[refused.diags.count - 1];
	assert_int_equal(diag->place.line, line);
	if (strstr(diag->message, message) == NULL)
		fail_msg("%s", diag->message);
	if (diag->hint == NULL || strstr(diag->hint, hint) == NULL)
		fail_msg("%s", diag->hint);
	run_finish(&refused);
}

static void build(struct lt_harness *h, size_t count)
{
	build_init(h, "RV3", count);
	for (size_t i = 0; i < count; i++)
		build_connector(h, NULL);
}

static void test_a_new_harness(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 3);
	h.connectors[1].marking = LT_MARK_NONE;
	h.connectors[2].marking = LT_MARK_PAPER;
	assert_becomes(&h, HEAD, HEAD "1 X1 -\n3 X3 -\n", 0);
	build_finish(&h);
}

static void test_numbers_stay_when_the_order_changes(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 3);
	assert_becomes(&h, HEAD "1 X3 HM\n2 X1 H\n4 X2 -\n", HEAD "1 X3 HM\n2 X1 H\n4 X2 -\n", 0);
	build_finish(&h);
}

static void test_numbers_of_removed_connectors_are_retired(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 2);
	assert_becomes(&h, HEAD "1 X0 HM\n2 X1 HM\n", HEAD "1 X0 HM retired\n2 X1 HM\n3 X2 -\n", 1);

	struct run first;
	run(&first, &h, HEAD "1 X0 HM\n2 X1 HM\n");
	assert_int_equal(first.diags.items[0].place.line, 2);
	assert_string_equal(first.diags.items[0].place.file, "rv3.tags");
	assert_non_null(strstr(first.diags.items[0].message, "X0"));
	assert_non_null(strstr(first.diags.items[0].hint, "was: X0"));
	assert_non_null(strstr(first.diags.items[0].hint, "X2"));
	assert_true(first.tags.retired[1]);
	assert_true(first.tags.connector_of[1] == LT_NONE);
	assert_int_equal(first.tags.number_max, 3);
	run_finish(&first);

	/* With nobody new there is nobody to suggest. */
	run(&first, &h, HEAD "1 X0 HM\n2 X1 HM\n3 X2 -\n");
	assert_null(strstr(first.diags.items[0].hint, "was:"));
	run_finish(&first);
	build_finish(&h);
}

static void test_a_connector_that_returns_has_its_number_again(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 2);
	assert_becomes(&h, HEAD "1 X2 HM retired\n2 X1 HM\n", HEAD "1 X2 HM\n2 X1 HM\n", 1);
	build_finish(&h);
}

static void test_not_numbered_any_more(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 3);
	h.connectors[0].marking = LT_MARK_NONE;
	h.connectors[1].marking = LT_MARK_NONE;
	assert_becomes(&h, HEAD "1 X1 HXM\n2 X2 -\n",
		HEAD "1 X1 HXM retired\n2 X2 - retired\n3 X3 -\n", 1);
	struct run first;
	run(&first, &h, HEAD "1 X1 HXM\n2 X2 -\n");
	assert_non_null(strstr(first.diags.items[0].message, ": 1H, 1X, 1M"));
	assert_int_equal(first.tags.number_of[0], 0);
	run_finish(&first);
	h.connectors[0].marking = LT_MARK_STICKER;
	h.connectors[1].marking = LT_MARK_PAPER;
	assert_becomes(&h, HEAD "1 X1 HXM retired\n2 X2 - retired\n3 X3 -\n",
		HEAD "1 X1 HM\n2 X2 -\n3 X3 -\n", 1);
	build_finish(&h);
}

/* Once the new part is the part that is kept, its M sticker is one like any other. */
static void test_new_part_is_kept(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 3);
	assert_becomes(&h, HEAD "1 X1 HXN\n2 X2 N\n3 X3 HMXN\n", HEAD "1 X1 HM\n2 X2 M\n3 X3 HM\n",
		0);
	h.connectors[2].marking = LT_MARK_NONE;
	struct run shown;
	run(&shown, &h, HEAD "1 X1 HM\n2 X2 M\n3 X3 HMN\n");
	/* M and N are the same sticker to whoever looks for it. */
	assert_non_null(strstr(shown.diags.items[0].message, ": 3H, 3M"));
	run_finish(&shown);
	build_finish(&h);
}

static void test_was_keeps_the_number(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 2);
	h.connectors[1].was = "X0";
	assert_becomes(&h, HEAD "1 X0 HM\n2 X1 H\n", HEAD "1 X2 HM\n2 X1 H\n", 0);
	/* Retired meanwhile. */
	assert_becomes(&h, HEAD "1 X0 HM retired\n2 X1 H\n", HEAD "1 X2 HM\n2 X1 H\n", 0);
	/* Renamed long ago. */
	assert_becomes(&h, HEAD "1 X2 HM\n2 X1 H\n", HEAD "1 X2 HM\n2 X1 H\n", 0);
	/* Taken along before anything was numbered. */
	assert_becomes(&h, HEAD, HEAD "1 X1 -\n2 X2 -\n", 0);
	build_finish(&h);
}

/* `was` was forgotten and a number given, but nothing printed: the suggestion can be followed. */
static void test_was_added_a_run_later(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 2);
	assert_becomes(&h, HEAD "1 X0 HM\n2 X1 H\n", HEAD "1 X0 HM retired\n2 X1 H\n3 X2 -\n", 1);
	h.connectors[1].was = "X0";
	assert_becomes(&h, HEAD "1 X0 HM retired\n2 X1 H\n3 X2 -\n",
		HEAD "1 X2 HM\n2 X1 H\n3 (none) - retired\n", 0);
	/* Once printed, or written by hand, it is for the technician to say. */
	assert_refused(&h, HEAD "1 X0 HM retired\n2 X1 H\n3 X2 H\n", 11,
		"connector X2 has number 3 in the register, but its earlier id X0 has number 1",
		"stickers 3H and delete line 4 of rv3.tags");
	h.connectors[1].marking = LT_MARK_PAPER;
	assert_refused(&h, HEAD "1 X0 HM retired\n2 X1 H\n3 X2 -\n", 11, "connector X2", "line 4");
	build_finish(&h);
}

static void test_was_that_conflicts(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 3);
	h.connectors[1].was = "X0";
	assert_refused(&h, HEAD "1 X0 HM\n2 X2 -\n", 11, "connector X2 has number 2",
		"number 1, delete line 3");
	build_finish(&h);
}

static void test_every_conflict_in_one_run(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 4);
	h.connectors[1].was = "A";
	h.connectors[2].was = "B";
	h.connectors[3].was = "C";
	struct run refused;
	run(&refused, &h, HEAD "1 A HM\n2 X2 -\n3 B - retired\n4 X3 M\n5 C HM\n");
	assert_false(refused.good);
	assert_int_equal(refused.diags.errors, 2);
	run_finish(&refused);
	build_finish(&h);
}

static void test_was_that_nobody_knows(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 2);
	h.connectors[1].was = "x0";
	struct run first;
	run(&first, &h, HEAD "1 X0 HM\n2 X1 H\n");
	assert_true(first.good);
	assert_int_equal(first.diags.warnings, 2);
	assert_int_equal(first.diags.items[0].place.line, 11);
	assert_non_null(strstr(first.diags.items[0].message, "not in the register"));
	assert_string_equal(lt_text_string(&first.after), HEAD "1 X0 HM retired\n2 X1 H\n3 X2 -\n");
	run_finish(&first);
	build_finish(&h);
}

static void test_confusable_numbers_given_before(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 4);
	for (size_t i = 0; i < 3; i++)
		h.connectors[i].family = "round";
	h.connectors[3].family = "square";
	struct run first;
	run(&first, &h, HEAD "6 X4 HM\n12 X1 HM\n16 X2 HM\n21 X3 HM\n61 gone HM retired\n");
	assert_true(first.good);
	assert_false(first.tags.changed);
	assert_int_equal(first.diags.count, 1);
	assert_int_equal(first.diags.items[0].place.line, 12);
	assert_non_null(strstr(first.diags.items[0].message, "X1 and X3 are look-alikes"));
	assert_non_null(strstr(first.diags.items[0].message, "12 and 21 "));
	assert_non_null(first.diags.items[0].hint);
	run_finish(&first);
	h.connectors[2].family = NULL;
	run(&first, &h, HEAD "6 X4 HM\n12 X1 HM\n16 X2 HM\n21 X3 HM\n");
	assert_int_equal(first.diags.count, 1);
	assert_non_null(strstr(first.diags.items[0].message, "X1 and X3 could be look-alikes"));
	run_finish(&first);
	build_finish(&h);
}

/* A worksheet filled in: what was of unknown fit is known now, and keeps its number. */
static void test_a_description_filled_in_later(void **state)
{
	(void)state;
	struct lt_harness h;
	build(&h, 9);
	static const char numbered[] = HEAD "1 X1 -\n2 X2 -\n3 X3 -\n4 X4 -\n5 X5 -\n9 X9 -\n"
					    "10 X6 -\n11 X7 -\n12 X8 -\n";
	assert_becomes(&h, HEAD, numbered, 0);
	for (size_t i = 0; i < 9; i++)
		h.connectors[i].family = i % 2 == 0 ? "round" : "square";
	assert_becomes(&h, numbered, numbered, 0);
	build_finish(&h);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_a_new_harness),
		cmocka_unit_test(test_numbers_stay_when_the_order_changes),
		cmocka_unit_test(test_numbers_of_removed_connectors_are_retired),
		cmocka_unit_test(test_a_connector_that_returns_has_its_number_again),
		cmocka_unit_test(test_not_numbered_any_more),
		cmocka_unit_test(test_new_part_is_kept),
		cmocka_unit_test(test_was_keeps_the_number),
		cmocka_unit_test(test_was_added_a_run_later),
		cmocka_unit_test(test_was_that_conflicts),
		cmocka_unit_test(test_every_conflict_in_one_run),
		cmocka_unit_test(test_was_that_nobody_knows),
		cmocka_unit_test(test_confusable_numbers_given_before),
		cmocka_unit_test(test_a_description_filled_in_later),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
