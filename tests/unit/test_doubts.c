/* Doubts about stickers: when they are counted and how they are reported. */
#include "unit.h"

#include "has_parts.h"

#include <string.h>

#include "label/sticker.h"

static const struct lt_layout plate = { .name = "own", .dpi = 300 };
/* It suits 4.0 to 7.9 mm: 12.57 / pi, and 25.45 / pi - 2 x 0.1. */
static const struct lt_layout wrap = { .name = "round",
	.style = LT_STYLE_WRAP,
	.printed_height = 12.57,
	.clear_height = 25.45,
	.thickness = 0.1 };

/* A sticker about which there is no doubt, at 500 mm: NUREG-0700 wants 2 mm, the symbol's inventor
 * 4 dots, and standard readers 0.25 mm. */
static struct lt_sticker good(unsigned number, enum lt_side side)
{
	return (struct lt_sticker){ .number = number,
		.side = side,
		.symbol = { .plan = { .version = 1, .modules = 21 },
			.module = 0.339,
			.dots = 4,
			.quality = LT_QUALITY_GOOD },
		.number_height = 2.0,
		.bundle = { 5, LT_BUNDLE_MEASURED, false } };
}

static void test_kinds(void **state)
{
	(void)state;
	struct lt_sticker s = good(3, LT_SIDE_H);
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 0);
	assert_int_equal(lt_doubts_of(&s, &plate, 501), 1u << LT_DOUBT_NUMBER);
	s.number_height = 1.99;
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 1u << LT_DOUBT_NUMBER);
	assert_int_equal(lt_doubts_of(&s, &plate, 490), 0);
	s = good(3, LT_SIDE_H);
	s.symbol.quality = LT_QUALITY_FAIR;
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	s.symbol.quality = LT_QUALITY_MARGINAL;
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 1u << LT_DOUBT_SYMBOL);
	s = good(3, LT_SIDE_H);
	s.warning_height = 2.0;
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	s.warning_height = 1.9;
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 1u << LT_DOUBT_WARNING);
	s = good(3, LT_SIDE_H);
	s.bundle = (struct lt_bundle){ 4.4, LT_BUNDLE_RULE, false };
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_CLOSE);
	s.bundle = (struct lt_bundle){ 4.5, LT_BUNDLE_PACKING, true };
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_PARTIAL);
	s.bundle = (struct lt_bundle){ 7.3, LT_BUNDLE_PACKING, false };
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_CLOSE);
	s.bundle = (struct lt_bundle){ 7.3, LT_BUNDLE_MEASURED, false };
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 0);
	s = good(3, LT_SIDE_H);
	s.bend = 90;
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 0);
	s.symbol.plan.version = 3;
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_BEND);
	s = good(3, LT_SIDE_H);
	s.bundle = (struct lt_bundle){ 0, LT_BUNDLE_UNKNOWN, false };
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_BUNDLE);
	s = good(3, LT_SIDE_M);
	assert_int_equal(lt_doubts_of(&s, &plate, 500), 0);
	assert_int_equal(lt_doubts_of(&s, &wrap, 500), 1u << LT_DOUBT_MATE);
}

/* Notes stickers 1 to `count`, H and M each, which `change` has made doubtful. */
static void note_many(struct lt_doubts *doubts, const struct lt_layout *layout, unsigned count,
	void (*change)(struct lt_sticker *sticker))
{
	for (unsigned number = 1; number <= count; number++) {
		for (enum lt_side side = LT_SIDE_H; side <= LT_SIDE_M; side++) {
			struct lt_sticker sticker = good(number, side);
			change(&sticker);
			lt_doubts_note(doubts, &sticker, layout, 500);
		}
	}
}

static void make_small(struct lt_sticker *sticker)
{
	sticker->number_height = 1.9 - 0.1 * sticker->number;
}

static void make_marginal(struct lt_sticker *sticker)
{
	sticker->symbol.quality = LT_QUALITY_MARGINAL;
	sticker->symbol.module = sticker->number == 2 ? 0.1693 : 0.2;
	sticker->symbol.dots = sticker->number == 2 ? 4 : 5;
}

static void make_bent(struct lt_sticker *sticker)
{
	sticker->bend = 100 + sticker->number;
}

static void make_unknown(struct lt_sticker *sticker)
{
	sticker->bundle = (struct lt_bundle){ 0, LT_BUNDLE_UNKNOWN, false };
}

static void make_nothing(struct lt_sticker *sticker)
{
	(void)sticker;
}

static void test_words(void **state)
{
	(void)state;
	static const struct {
		const struct lt_layout *layout;
		unsigned count;
		void (*change)(struct lt_sticker *sticker);
		enum lt_severity severity;
		const char *message, *hint;
	} cases[] = {
		{ &plate, 2, make_small, LT_WARNING,
			"layout own|number|1.7 mm|500 mm|2.0 mm|: 1H, 1M, 2H, 2M", "--distance" },
		{ &plate, 5, make_marginal, LT_WARNING,
			"layout own|4 dots|0.17 mm|: 1H, 1M, 2H, 2M and 6 more", "finer" },
		{ &wrap, 1, make_bent, LT_WARNING, "layout round|101 degrees|: 1H, 1M", "flag" },
		/* Connectors are counted, not stickers. */
		{ &wrap, 2, make_unknown, LT_WARNING, "layout round|2 connectors|not known: 1, 2",
			"bundle:" },
		{ &wrap, 2, make_nothing, LT_NOTE, "layout round|machine half|: 1M, 2M",
			"--layout-m" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_doubts doubts = { 0 };
		struct lt_diags diags = { 0 };
		note_many(&doubts, cases[i].layout, cases[i].count, cases[i].change);
		lt_doubts_report(&doubts, cases[i].layout, 500, &diags);
		assert_true(diags.count >= 1);
		assert_int_equal(diags.items[0].severity, cases[i].severity);
		if (!has_parts(diags.items[0].message, cases[i].message))
			fail_msg("%zu: %s", i, diags.items[0].message);
		assert_non_null(strstr(diags.items[0].hint, cases[i].hint));
		lt_diags_finish(&diags);
	}
}

static void test_nothing_to_report(void **state)
{
	(void)state;
	struct lt_doubts doubts = { 0 };
	struct lt_diags diags = { 0 };
	note_many(&doubts, &plate, 3, make_nothing);
	lt_doubts_report(&doubts, &plate, 500, &diags);
	assert_int_equal(diags.count, 0);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_kinds),
		cmocka_unit_test(test_words),
		cmocka_unit_test(test_nothing_to_report),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
