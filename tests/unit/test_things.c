/* Things that come off: what a description says of them, and which joints they are not. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/words.h"
#include "unit/fixture.h"

static const char things[] =
	"harness: KC1\n"
	"connectors:\n"
	"  - {id: CV1, kind: cover, name: left cover, after: [X1], caution: sharp edge}\n"
	"  - {id: S1, kind: screw, count: 6, size: 4 x 16 mm, tool: T20, torque: 1.2 N m,\n"
	"     cup: C3, after: [CV1]}\n"
	"  - {id: SP1, kind: spring, caution: hold the catch}\n"
	"  - {id: SE1, kind: seal, count: 1}\n"
	"  - {id: CA1, kind: cap, tag: none}\n"
	"  - {id: BR1, kind: bracket, sides: 2}\n"
	"  - {id: X1, family: tab, ways: 3, torque: 20 cN m, size: 0.75 mm2, wires: {1: BN}}\n";

static void test_what_is_read(void **state)
{
	(void)state;
	static const unsigned sides[] = { 1, 1, 1, 1, 1, 2, 2 };
	struct fixture f;
	fixture_read(&f, "things.yaml", things);
	const struct lt_connector *c = f.harness.connectors;
	assert_int_equal(f.diags.count, 0);
	for (size_t i = 0; i < 7; i++) {
		assert_int_equal(c[i].sides, sides[i]);
		assert_int_equal(lt_kind_is_thing(c[i].kind), i < 6);
		assert_false(lt_fit_unknown(&f.harness, i));
	}
	assert_int_equal(c[1].count, 6);
	assert_string_equal(c[1].dimension, "4 x 16 mm");
	assert_false(c[1].size.given);
	assert_string_equal(c[1].tool, "T20");
	assert_string_equal(c[1].torque, "1.2 N m");
	assert_string_equal(c[1].cup, "C3");
	assert_string_equal(c[2].caution, "hold the catch");
	assert_true(c[6].size.given);
	assert_null(c[6].dimension);
	assert_string_equal(c[6].torque, "20 cN m");
	assert_int_equal(f.tags.number_of[4], 0);
	fixture_finish(&f);
}

/* Alike in every field, and still nobody's look-alike; numbers follow each other. */
static void test_things_have_no_look_alikes(void **state)
{
	(void)state;
	struct fixture f;
	fixture_read(&f, "alike.yaml",
		"harness: KC1\nconnectors:\n"
		"  - {id: A, kind: screw, family: f}\n"
		"  - {id: B, kind: screw, family: f}\n"
		"  - {id: C, kind: seal}\n"
		"  - {id: D}\n");
	for (size_t a = 0; a < 4; a++) {
		assert_int_equal(f.tags.number_of[a], a + 1);
		for (size_t b = 0; b < 4; b++) {
			assert_false(lt_lookalike(f.lookalikes, a, b));
			assert_false(lt_lookalike_for_numbering(f.lookalikes, a, b));
		}
	}
	fixture_finish(&f);
}

/* The fact in a medium, and whether it stands out; NULL where it is not shown. */
static const char *fact_in(struct lt_joint_facts *facts, const struct fixture *f, size_t connector,
	enum lt_joint_medium medium, enum lt_joint_fact fact)
{
	*facts = (struct lt_joint_facts){
		.tags = &f->tags, .connector = connector, .medium = medium
	};
	while (lt_joint_facts_next(facts))
		if (facts->fact == fact)
			return lt_text_string(&facts->text);
	return NULL;
}

static void test_caution_and_fastening_in_every_medium(void **state)
{
	(void)state;
	struct fixture f;
	fixture_read(&f, "things.yaml", things);
	for (int medium = 0; medium < LT_JOINT_MEDIA; medium++) {
		struct lt_joint_facts facts;
		assert_string_equal(fact_in(&facts, &f, 0, (enum lt_joint_medium)medium,
					    LT_FACT_CAUTION),
			"sharp edge");
		assert_int_equal(facts.said, LT_SAID_LOUD);
		/* Only a hazard that names the joint stands before it. */
		assert_true(facts.rank <= 2);
		lt_text_finish(&facts.text);
		assert_string_equal(fact_in(&facts, &f, 1, (enum lt_joint_medium)medium,
					    LT_FACT_FASTENING),
			"6 pieces, 4 x 16 mm, T20, 1.2 N m, cup C3");
		lt_text_finish(&facts.text);
		assert_string_equal(fact_in(&facts, &f, 3, (enum lt_joint_medium)medium,
					    LT_FACT_FASTENING),
			"1 piece");
		lt_text_finish(&facts.text);
		assert_null(fact_in(&facts, &f, 4, (enum lt_joint_medium)medium,
			LT_FACT_FASTENING));
		assert_null(fact_in(&facts, &f, 1, (enum lt_joint_medium)medium, LT_FACT_CAUTION));
	}
	fixture_finish(&f);
}

static void test_caps(void **state)
{
	(void)state;
	struct fixture f;
	fixture_read(&f, "caps.yaml",
		"harness: KC1\nconnectors:\n"
		"  - {id: H1, kind: hose, cap: yes, after: [X1]}\n"
		"  - {id: X1, cap: no}\n");
	for (int medium = 0; medium < LT_JOINT_MEDIA; medium++) {
		struct lt_joint_facts facts;
		struct lt_text sentence = { 0 };
		lt_words_cap(&sentence, (enum lt_joint_medium)medium);
		const char *fact =
			fact_in(&facts, &f, 0, (enum lt_joint_medium)medium, LT_FACT_CAP);
		assert_non_null(fact);
		assert_non_null(strstr(lt_text_string(&sentence), fact));
		lt_text_finish(&sentence);
		/* The caps come off before anything else that is to be done. */
		assert_true(medium != LT_JOINT_MATE || facts.rank <= 2);
		lt_text_finish(&facts.text);
		assert_null(fact_in(&facts, &f, 1, (enum lt_joint_medium)medium, LT_FACT_CAP));
	}
	fixture_finish(&f);
}

static void test_faults(void **state)
{
	(void)state;
	static const struct {
		const char *connector;
		unsigned column;
		const char *message;
	} rows[] = {
		{ "kind: screw, torque: 1.2", 35, "torque: \"1.2\"" },
		{ "kind: screw, torque: N m", 35, "torque: \"N m\"" },
		{ "kind: screw, torque: 0 N m", 35, "torque: \"0 N m\"" },
		{ "kind: screw, torque: 0.0 N m", 35, "torque: \"0.0 N m\"" },
		{ "kind: screw, torque: 1. N m", 35, "torque: \"1. N m\"" },
		{ "kind: screw, torque: .5 N m", 35, "torque: \".5 N m\"" },
		{ "kind: screw, torque: -1 N m", 35, "torque: \"-1 N m\"" },
		{ "kind: screw, torque: 1.2 kg", 35, "torque: \"1.2 kg\"" },
		{ "kind: screw, torque: 1 N m or so", 35, "torque: " },
		{ "kind: screw, count: 0", 34, "count: \"0\"" },
		{ "kind: screw, count: six", 34, "count: \"six\"" },
		{ "kind: screw, count: 1000", 34, "count: \"1000\"" },
		{ "count: 6", 21, "count: a plug" },
		{ "kind: hose, cup: C1", 31, "cup: a hose" },
		{ "kind: screw, cup: C1}\n  - {id: S2, kind: seal, cup: C1", 31, "cup C1" },
		{ "kind: hose, cap: maybe", 31, "cap: \"maybe\"" },
		{ "kind: screw, cap: yes", 32, "cap: a screw" },
		{ "kind: bolt", 20, "kind: \"bolt\"" },
		{ "size: 4 x 16 mm", 20, "size: " },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct lt_text text = { 0 };
		struct lt_harness harness;
		struct lt_diags diags = { 0 };
		lt_text_printf(&text, "harness: KC1\nconnectors:\n  - {id: X1, %s}\n",
			rows[i].connector);
		const bool good = lt_harness_read(&harness, "f.yaml", lt_text_string(&text),
			text.length, NULL, &diags);
		if (good || diags.errors != 1 ||
			strstr(diags.items[0].message, rows[i].message) == NULL ||
			diags.items[0].place.column != rows[i].column) {
			lt_diags_print(&diags, 0, stderr, false);
			fail_msg("%s: %u", rows[i].connector, rows[i].column);
		}
		lt_harness_finish(&harness);
		lt_diags_finish(&diags);
		lt_text_finish(&text);
	}
}

static void test_torques_as_people_write_them(void **state)
{
	(void)state;
	static const char *const torques[] = { "1.2 N m", "12Nm", "3 N\xC2\xB7m", "20 cN m",
		"20 cNm", "0.5 lbf ft", "7 lbf in" };
	for (size_t i = 0; i < sizeof torques / sizeof *torques; i++) {
		char text[100];
		struct fixture f;
		snprintf(text, sizeof text,
			"harness: KC1\nconnectors: [{id: S1, kind: screw, torque: %s}]\n",
			torques[i]);
		fixture_read(&f, "t.yaml", text);
		assert_string_equal(f.harness.connectors[0].torque, torques[i]);
		fixture_finish(&f);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_what_is_read),
		cmocka_unit_test(test_things_have_no_look_alikes),
		cmocka_unit_test(test_caution_and_fastening_in_every_medium),
		cmocka_unit_test(test_caps),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_torques_as_people_write_them),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
