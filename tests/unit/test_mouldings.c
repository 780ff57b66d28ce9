/* What connectors take from mouldings, the names of ways, and what may be left out. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "harness/read.h"

struct reading {
	struct lt_harness harness;
	struct lt_diags diags;
	bool good;
};

static void read_text(struct reading *out, const char *text)
{
	*out = (struct reading){ 0 };
	out->good = lt_harness_read(&out->harness, "m.yaml", text, strlen(text), NULL, &out->diags);
}

static void read_good(struct reading *out, const char *text)
{
	read_text(out, text);
	if (!out->good || out->diags.count > 0)
		lt_diags_print(&out->diags, 0, stderr, false);
	assert_true(out->good);
	assert_int_equal(out->diags.count, 0);
}

static void finish(struct reading *reading)
{
	lt_harness_finish(&reading->harness);
	lt_diags_finish(&reading->diags);
}

static void assert_text(const char *one, const char *other)
{
	assert_int_equal(one == NULL, other == NULL);
	if (one != NULL)
		assert_string_equal(one, other);
}

/* All that a moulding can give. */
static void assert_same(const struct lt_connector *a, const struct lt_connector *b)
{
	assert_text(a->family, b->family);
	assert_text(a->key, b->key);
	assert_text(a->lock, b->lock);
	assert_text(a->seat, b->seat);
	assert_int_equal(a->kind, b->kind);
	assert_int_equal(a->ways, b->ways);
	assert_int_equal(a->rows, b->rows);
	assert_int_equal(a->latch, b->latch);
	assert_int_equal(a->numbering.path, b->numbering.path);
	assert_int_equal(a->numbering.from_right, b->numbering.from_right);
	assert_int_equal(a->way_names == NULL, b->way_names == NULL);
	for (size_t i = 0; a->way_names != NULL && b->way_names != NULL && i < a->ways; i++)
		assert_string_equal(a->way_names->names[i], b->way_names->names[i]);
}

static void test_a_moulding_is_its_keys(void **state)
{
	(void)state;
	struct reading short_one, long_one;
	read_good(&short_one,
		"harness: RV3\n"
		"mouldings:\n"
		"  - {id: R, kind: spade, family: relay socket, ways: [30, 85, 87a],\n"
		"     rows: 1, numbering: down from right, latch: left, key: B,\n"
		"     lock: pull, seat: clicks}\n"
		"  - {id: P, family: tab}\n"
		"connectors:\n"
		"  - {id: X1, moulding: R}\n"
		"  - {id: X2, moulding: P, ways: 3}\n"
		"  - {id: X3, moulding: R, kind: plug, family: tab, ways: 4, rows: 2,\n"
		"     numbering: around, latch: top, key: C, lock: press, seat: home}\n");
	read_good(&long_one,
		"harness: RV3\n"
		"connectors:\n"
		"  - {id: X1, kind: spade, family: relay socket, ways: [30, 85, 87a],\n"
		"     rows: 1, numbering: down from right, latch: left, key: B,\n"
		"     lock: pull, seat: clicks}\n"
		"  - {id: X2, family: tab, ways: 3}\n"
		"  - {id: X3, family: tab, ways: 4, rows: 2,\n"
		"     numbering: around, latch: top, key: C, lock: press, seat: home}\n");
	for (size_t i = 0; i < 3; i++)
		assert_same(&short_one.harness.connectors[i], &long_one.harness.connectors[i]);
	assert_null(short_one.harness.connectors[2].way_names);
	assert_int_equal(short_one.harness.connectors[0].ways, 3);
	finish(&short_one);
	finish(&long_one);
}

#define TOP "harness: RV3\nmouldings:\n"
#define X1 "connectors:\n  - {id: X1, moulding: R"

/* Each description has one fault, however many connectors meet it: it is reported once. */
static void test_faults(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		unsigned line, column;
		const char *message, *hint;
	} rows[] = {
		{ TOP "  - {id: T3}\n" X1 "}\n", 5, 24, "\"R\"", NULL },
		{ "harness: RV3\n" X1 "}\n", 3, 24, "\"R\"", "mouldings:" },
		{ TOP "  - {id: R}\n  - {id: R}\n" X1 "}\n", 4, 10, "line 3", "another id" },
		{ TOP "  - {family: f}\n  - {id: R}\n" X1 "}\n", 3, 5, "\"id\"", "id" },
		{ TOP "  - {id: S}\n  - {id: R, moulding: S}\n" X1 "}\n", 4, 13,
			"\"moulding\" in a moulding", "family" },
		{ TOP "  - {id: R, wires: {1: BN}}\n" X1 "}\n", 3, 13, "\"wires\"", "family" },
		{ TOP "  - {id: R, famly: f}\n" X1 "}\n", 3, 13, "\"famly\"", "\"family\"" },
		{ TOP "  - R\nconnectors: [{id: X1}]\n", 3, 5, "moulding", "id:" },
		{ TOP "  - {id: R, rows: 21}\n" X1 "}\n  - {id: X2, moulding: R}\n", 3, 19,
			"moulding R: rows", NULL },
		{ TOP "  - {id: R, rows: 3}\n" X1 ", ways: 2}\n", 5, 33, "connector X1: rows: 3",
			"moulding gives the rows" },
		{ TOP "  - {id: R, ways: 2}\n" X1 ", rows: 3}\n", 5, 33, "connector X1: rows: 3",
			"moulding gives the number" },
		{ TOP "  - {id: R, rows: 3}\n" X1 ", rows: 4, ways: 2}\n", 5, 33,
			"connector X1: rows: 4", "count the rows" },
		{ TOP "  - {id: R, rows: 3}\n" X1 ", rows: many, ways: 2}\n", 5, 33,
			"rows: \"many\"", NULL },
		{ TOP "  - {id: R, rows: 3, ways: 2}\n" X1 "}\n  - {id: X2, moulding: R}\n", 3, 19,
			"moulding R: rows: 3", NULL },
		{ TOP "  - {id: R, numbering: clockwise, ways: 4}\n" X1 ", rows: 2}\n", 5, 33,
			"connector X1: numbering: clockwise", "moulding gives the numbering" },
		{ TOP "  - {id: R, rows: 2, ways: 4}\n" X1 ", numbering: clockwise}\n", 5, 38,
			"connector X1: numbering: clockwise", "moulding gives the rows" },
		{ TOP "  - {id: R, numbering: clockwise, ways: 4}\n" X1
		      ", rows: 2, numbering: anticlockwise}\n",
			5, 47, "connector X1: numbering: anticlockwise", "remove the key rows" },
		{ TOP "  - {id: R, numbering: clockwise, rows: 2, ways: 4}\n" X1
		      "}\n  - {id: X2, moulding: R}\n",
			3, 24, "moulding R: numbering: clockwise", "remove the key rows" },
		{ TOP "  - {id: R, numbering: sideways, ways: 4}\n" X1
		      "}\n  - {id: X2, moulding: R}\n",
			3, 24, "moulding R: numbering: \"sideways\"", NULL },
		{ TOP "  - {id: R, ways: 0, numbering: down}\n" X1 "}\n  - {id: X2, moulding: R}\n",
			3, 19, "moulding R: ways: \"0\"", NULL },
		{ TOP "  - {id: R, ways: [30, 87a, 30]}\n" X1
		      ", wires: {87a: BN, +: BU}}\n  - {id: X2, moulding: R}\n"
		      "wires:\n  - {from: X2.87a, to: X1.30, colour: BN}\n",
			3, 29, "way 30 is given twice", "once" },
		{ TOP "  - {id: T3, ways: [30, 87a]}\n" X1 ", wires: {87a: BN}, numbering: down}\n",
			5, 24, "\"R\" is not listed", NULL },
		{ TOP "  - {id: R, ways: [30, 87a]}\n" X1
		      ", ways: [1, 1], wires: {A4: BN}, rows: 3}\n",
			5, 37, "connector X1: ways: way 1 is given twice", "once" },
		{ TOP "  - {id: R, numbering: down}\n" X1 "}\n", 5, 24, "numbering: ", "ways" },
		{ TOP "  - {id: R, ways: [1, 2, 1]}\n" X1 "}\n", 3, 26, "way 1 is given twice",
			"once" },
		{ TOP "  - {id: R, ways: []}\n" X1 "}\n", 3, 19, "not 0", "list" },
		{ TOP "  - {id: R, ways: [A, B C]}\n" X1 "}\n", 3, 23, "\"B C\"", "87a" },
		{ TOP "  - {id: R, ways: [A, [B]]}\n" X1 "}\n", 3, 23, "list", NULL },
		{ TOP "  - {id: R, ways: [A, \"\"]}\n" X1 "}\n", 3, 23, "missing", "value" },
		{ TOP "  - {id: R, ways: [12345]}\n" X1 "}\n", 3, 20, "\"12345\"", "87a" },
		{ TOP "  - {id: R, ways: LN}\n" X1 "}\n", 3, 19, "\"LN\"", "[L, N, PE]" },
		{ TOP "  - {id: R, ways: {L: 1}}\n" X1 "}\n", 3, 19, "ways: ", NULL },
		{ TOP "  - {id: R, ways: [L, PE]}\n" X1 ", wires: {N: BU}}\n", 5, 35, "way \"N\"",
			"L, PE" },
		{ TOP "  - {id: R, ways: [L, PE]}\n" X1 ", wires: {pe: BU}}\n", 5, 35, "way \"pe\"",
			"did you mean PE?" },
		{ TOP "  - {id: R, ways: [L, PE]}\n" X1 ", wires: {1: BU}}\n", 5, 35, "way \"1\"",
			"L, PE" },
		{ TOP "  - {id: R, ways: 3}\n" X1 ", wires: {30: RD, 1: BN, 2: BU}}\n", 5, 35,
			"no way 30", "ways: [30, 1, 2]" },
		{ TOP "  - {id: R, ways: 3}\n" X1 ", wires: {85: BN, 1: BU}}\n", 5, 35, "no way 85",
			"ways: [85, 1, ...]" },
		{ TOP "  - {id: R, ways: 3}\n" X1 ", wires: {87a: BN}}\n", 5, 35, "\"87a\"",
			"ways: [87a, ...]" },
		{ TOP "  - {id: R}\n" X1 ", wires: {87a: BN}}\n", 5, 35, "\"87a\"", "ways: [" },
		{ TOP "  - {id: R, ways: 3}\n" X1
		      "}\n  - {id: X2}\nwires: [{from: X1.85, to: X2.1}]\n",
			7, 16, "no way 85", "ways: [30, 85, 86, 87]" },
		{ TOP "  - {id: R, ways: 1}\n" X1 ", wires: {2: BN, 1: BU}}\n", 5, 35, "no way 2",
			"correct the way, or the number after ways:" },
		{ TOP "  - {id: R, ways: [A+, B]}\n" X1 "}\n", 3, 20, "\"A+\"", "87a" },
		{ TOP "  - {id: R, ways: [30, 85]}\n" X1
		      "}\n  - {id: X2}\nwires:\n  - {from: X1.86, to: X2.1}\n",
			8, 12, "way \"86\"", "85" },
		{ "harness: RV3\nconnectors:\n  - {id: X1}\n  - {id: X2, mates: X1}\n", 4, 21,
			"\"X1\"", "X1 is a connector" },
		{ "harness: RV3\nconnectors:\n  - {id: X1, mates: M 1}\n", 3, 21, "mates: ", NULL },
		{ "harness: RV3\ncomponents:\n  - {id: M2}\nconnectors:\n  - {id: X1, mates: M1}\n"
		  "  - {id: X2, mates: M2}\n",
			5, 21, "\"M1\"", "M2" },
		{ "harness: RV3\ncomponents: []\nconnectors:\n  - {id: X1, mates: M1}\n", 4, 21,
			"\"M1\"", "components:" },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct reading reading;
		read_text(&reading, rows[i].text);
		const struct lt_diag *first = NULL;
		for (size_t j = 0; j < reading.diags.count && first == NULL; j++)
			if (reading.diags.items[j].severity == LT_ERROR)
				first = &reading.diags.items[j];
		if (first == NULL || first->place.line != rows[i].line ||
			first->place.column != rows[i].column ||
			strstr(first->message, rows[i].message) == NULL ||
			(rows[i].hint != NULL &&
				(first->hint == NULL ||
					strstr(first->hint, rows[i].hint) == NULL))) {
			lt_diags_print(&reading.diags, 0, stderr, false);
			fail_msg("row %zu: %s", i, rows[i].text);
		}
		if (reading.diags.errors != 1) {
			lt_diags_print(&reading.diags, 0, stderr, false);
			fail_msg("row %zu: %zu errors: %s", i, reading.diags.errors, rows[i].text);
		}
		finish(&reading);
	}
}

/* One fault of a moulding is one fault, however many connectors have it. */
static void test_a_fault_is_reported_once(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, TOP "  - {id: R, latch: above, ways: [1, 1]}\n" X1
				"}\n  - {id: X2, moulding: R}\n  - {id: X3, moulding: R}\n");
	assert_false(reading.good);
	assert_int_equal(reading.diags.count, 2);
	finish(&reading);
}

static void test_an_unused_moulding(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, TOP "  - {id: R}\n  - {id: S}\n" X1 "}\n");
	assert_true(reading.good);
	assert_int_equal(reading.diags.warnings, 1);
	assert_int_equal(reading.diags.items[0].place.line, 4);
	assert_non_null(strstr(reading.diags.items[0].message, "moulding S"));
	finish(&reading);
}

/* The most that are possible, and one more: that is one fault, for whoever names it too. */
static void test_too_many_mouldings(void **state)
{
	(void)state;
	for (unsigned count = LT_CONNECTORS_MAX; count <= LT_CONNECTORS_MAX + 1; count++) {
		struct lt_text text = { 0 };
		struct reading reading;
		lt_text_add(&text, TOP);
		for (unsigned i = 0; i < count; i++)
			lt_text_printf(&text, "  - {id: R%u, family: f}\n", i);
		lt_text_printf(&text, "connectors:\n  - {id: X1, moulding: R%u}\n", count - 1);
		read_text(&reading, lt_text_string(&text));
		if (count == LT_CONNECTORS_MAX) {
			assert_true(reading.good);
			assert_string_equal(reading.harness.connectors[0].family, "f");
		} else {
			assert_int_equal(reading.diags.errors, 1);
			assert_int_equal(reading.diags.items[0].place.line, 3 + count - 1);
		}
		finish(&reading);
		lt_text_finish(&text);
	}
}

static void test_names_of_ways(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, "harness: RV3\nconnectors:\n"
			    "  - {id: K1, ways: [30, 85, 9, 87a, +, PE],\n"
			    "     wires: {PE: GNYE, 9: BN, 30: RD}}\n"
			    "  - {id: X1, ways: 12, wires: {10: BN, 2: BU}}\n"
			    "wires: [{from: K1.87a, to: X1.1, colour: WH}]\n");
	const struct lt_connector *k1 = &reading.harness.connectors[0];
	static const char *const names[] = { "30", "85", "9", "87a", "+", "PE" };
	for (size_t i = 0; i < 6; i++)
		assert_int_equal(lt_way_position(k1, names[i]), i);
	assert_int_equal(lt_way_position(k1, "3"), LT_NONE);
	assert_int_equal(lt_way_position(k1, "pe"), LT_NONE);
	static const char *const wired[] = { "30", "9", "87a", "PE" };
	assert_int_equal(k1->wire_count, 4);
	for (size_t i = 0; i < 4; i++)
		assert_string_equal(k1->wires[i].name, wired[i]);
	assert_true(lt_way_compare(k1, "85", "9") < 0);
	assert_true(lt_way_compare(k1, "+", "87a") > 0);
	const struct lt_connector *x1 = &reading.harness.connectors[1];
	assert_int_equal(lt_way_position(x1, "2"), LT_NONE);
	assert_true(lt_way_compare(x1, "10", "2") > 0);
	assert_int_equal(k1->ways, 6);
	finish(&reading);
}

/* The most that are possible, and one more. */
static void test_a_thousand_ways(void **state)
{
	(void)state;
	for (unsigned count = LT_WAYS_MAX; count <= LT_WAYS_MAX + 1; count++) {
		struct lt_text text = { 0 };
		struct reading reading;
		lt_text_add(&text, "harness: RV3\nconnectors:\n  - {id: X1, ways: [");
		for (unsigned i = count; i > 0; i--)
			lt_text_printf(&text, i > 1 ? "%u, " : "%u]}\n", i);
		read_text(&reading, lt_text_string(&text));
		assert_int_equal(reading.good, count == LT_WAYS_MAX);
		if (reading.good)
			for (unsigned i = 1; i <= count; i++) {
				char name[8];
				snprintf(name, sizeof name, "%u", i);
				assert_int_equal(lt_way_position(&reading.harness.connectors[0],
							 name),
					count - i);
			}
		finish(&reading);
		lt_text_finish(&text);
	}
}

static void test_components_left_out(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, "harness: RV3\nconnectors:\n  - {id: X1, mates: M2}\n  - {id: X2}\n"
			    "  - {id: X3, mates: B1, port: 3}\n  - {id: X4, mates: M2}\n");
	const struct lt_harness *h = &reading.harness;
	assert_int_equal(h->component_count, 2);
	assert_string_equal(h->components[0].id, "M2");
	assert_string_equal(h->components[1].id, "B1");
	assert_int_equal(h->components[0].place.line, 3);
	assert_null(h->components[0].name);
	assert_int_equal(h->connectors[0].component, 0);
	assert_int_equal(h->connectors[1].component, LT_NONE);
	assert_int_equal(h->connectors[3].component, 0);
	finish(&reading);
	/* Markings are still compared. */
	read_text(&reading, "harness: RV3\nconnectors:\n  - {id: X1, mates: M2, port: 1}\n"
			    "  - {id: X2, mates: M2, port: 1}\n");
	assert_int_equal(reading.diags.warnings, 1);
	assert_int_equal(reading.diags.items[0].place.line, 4);
	finish(&reading);
}

static void test_sides_of_a_clip(void **state)
{
	(void)state;
	static const unsigned sides[] = { 1, 2, 2, 1, 2, 1 };
	struct reading reading;
	read_good(&reading, "harness: RV3\nmouldings:\n  - {id: C, kind: clip}\nconnectors:\n"
			    "  - {id: C1, kind: clip}\n"
			    "  - {id: C2, kind: clip, mates: M1}\n"
			    "  - {id: C3, kind: clip, sides: 2}\n"
			    "  - {id: C4, moulding: C}\n"
			    "  - {id: X1}\n"
			    "  - {id: C5, kind: clip, mates: M1, sides: 1}\n");
	for (size_t i = 0; i < 6; i++)
		assert_int_equal(reading.harness.connectors[i].sides, sides[i]);
	finish(&reading);
}

/* Reads so many connectors of as many mouldings, or of one, with a list of ways. */
static double seconds_for(unsigned count, bool one)
{
	struct lt_text text = { 0 };
	lt_text_add(&text, "harness: RV3\nmouldings:\n");
	for (unsigned i = 0; i < (one ? 1 : count); i++)
		lt_text_printf(&text, "  - {id: R%u, family: f, ways: [30, 85, 86, 87, 87a]}\n", i);
	lt_text_add(&text, "connectors:\n");
	for (unsigned i = 0; i < count; i++)
		lt_text_printf(&text,
			"  - {id: X%u, moulding: R%u, mates: M%u, wires: {87a: BN}}\n", i,
			one ? 0 : i, i);
	struct reading reading;
	const clock_t start = clock();
	read_good(&reading, lt_text_string(&text));
	const double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
	assert_int_equal(reading.harness.component_count, count);
	assert_int_equal(reading.harness.connectors[count - 1].ways, 5);
	finish(&reading);
	lt_text_finish(&text);
	return seconds;
}

/* Eight times as many take about eight times as long; sixty-four times would be quadratic. */
static void test_time_grows_with_the_connectors(void **state)
{
	(void)state;
	for (int one = 0; one < 2; one++) {
		const double few = seconds_for(LT_CONNECTORS_MAX / 8, one);
		const double many = seconds_for(LT_CONNECTORS_MAX, one);
		if (many > 20 * few + 0.1)
			fail_msg("%.3f s, then %.3f s", few, many);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_a_moulding_is_its_keys),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_a_fault_is_reported_once),
		cmocka_unit_test(test_an_unused_moulding),
		cmocka_unit_test(test_too_many_mouldings),
		cmocka_unit_test(test_names_of_ways),
		cmocka_unit_test(test_a_thousand_ways),
		cmocka_unit_test(test_components_left_out),
		cmocka_unit_test(test_sides_of_a_clip),
		cmocka_unit_test(test_time_grows_with_the_connectors),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
