/* Which wires meet at a connector: from its own colours and from the wire list, none twice. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "loomtag/harness.h"

#define TOP "harness: RV3\nconnectors:\n"

/* The bundles of a description that is right. */
struct reading {
	struct lt_harness harness;
	struct lt_arena arena;
	struct lt_bundle *bundles;
};

static void read_text(struct reading *reading, const char *text)
{
	struct lt_diags diags = { 0 };
	*reading = (struct reading){ 0 };
	if (!lt_harness_read(&reading->harness, "roof.yaml", text, strlen(text), NULL, &diags)) {
		lt_diags_print(&diags, 0, stderr, false);
		fail_msg("is right: %s", text);
	}
	lt_diags_finish(&diags);
	reading->bundles = lt_harness_bundles(&reading->arena, &reading->harness);
}

static void finish(struct reading *reading)
{
	lt_harness_finish(&reading->harness);
	lt_arena_finish(&reading->arena);
}

/* The first connector's bundle. Diameters are by hand: 0.75 mm2 is 1.9 mm thick, 0.5 mm2 1.6 and
 * 2.5 mm2 3.0 (ISO 6722-1); n equal ones lie as Graham 1968 and others found: 2, 2.154, 2.414. */
static void check(const char *text, double diameter, enum lt_bundle_source source)
{
	struct reading reading;
	read_text(&reading, text);
	const struct lt_bundle *bundle = &reading.bundles[0];
	if (fabs(bundle->diameter - diameter) > 1e-6 || bundle->source != source)
		fail_msg("%.4f mm, %s, but should be %.4f mm, %s:\n%s", bundle->diameter,
			lt_bundle_source_name(bundle->source), diameter,
			lt_bundle_source_name(source), text);
	finish(&reading);
}

static void test_sources(void **state)
{
	(void)state;
	check(TOP "- {id: X1, bundle: 6.2 mm, size: 0.75 mm2, wires: {1: BN}}\n", 6.2,
		LT_BUNDLE_MEASURED);
	check(TOP "- {id: X1, bundle: 6.2 mm}\n", 6.2, LT_BUNDLE_MEASURED);
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN, 2: BU, A: GNYE}}\n", 2.154 * 1.9,
		LT_BUNDLE_PACKING);
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.2, to: X2.2, size: 0.5 mm2},\n"
		  "  {from: X1.3, to: X2.3, size: 0.5 mm2}]\n",
		1.2 * sqrt(1.9 * 1.9 + 2 * 1.6 * 1.6), LT_BUNDLE_RULE);
	check(TOP "- {id: X1, size: 0.75 mm2}\n", 0, LT_BUNDLE_UNKNOWN);
	check(TOP "- {id: X1, wires: {1: BN, 2: BU}}\n", 0, LT_BUNDLE_UNKNOWN);
}

/* One wire that has no size, and the rest does not help. */
static void test_one_size_missing(void **state)
{
	(void)state;
	check(TOP "- {id: X1, wires: {1: BN, 2: BU}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.1, to: X2.1, colour: BN, size: 0.75 mm2}]\n",
		0, LT_BUNDLE_UNKNOWN);
	check(TOP "- {id: X1}\n"
		  "- {id: X2, size: 0.75 mm2}\n"
		  "wires: [{from: X1.1, to: X2.1, size: 0.75 mm2}, {from: X1.2, to: X2.2}]\n",
		0, LT_BUNDLE_UNKNOWN);
	/* Of the same wire, X2 knows the size. */
	struct reading reading;
	read_text(&reading, TOP "- {id: X1}\n"
				"- {id: X2, size: 0.75 mm2}\n"
				"wires: [{from: X1.1, to: X2.1}]\n");
	assert_int_equal(reading.bundles[0].source, LT_BUNDLE_UNKNOWN);
	assert_true(fabs(reading.bundles[1].diameter - 1.9) < 1e-9);
	finish(&reading);
}

static void test_none_twice(void **state)
{
	(void)state;
	/* The list says again what the connector says, and of one wire the size. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN, 2: BU, 3: BK}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.1, to: X2.1, colour: BN}, {from: X2.2, to: X1.2}]\n",
		2.154 * 1.9, LT_BUNDLE_PACKING);
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN, 2: BU}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.1, to: X2.1, colour: BN, size: 2.5 mm2},\n"
		  "  {from: X2.2, to: X1.2, size: 2.5 mm2}]\n",
		2 * 3.0, LT_BUNDLE_PACKING);
	/* Way 10 is not way 1, and X1's is not X2's. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN}}\n"
		  "- {id: X2, size: 2.5 mm2, wires: {1: BN}}\n"
		  "wires: [{from: X1.10, to: X2.1, colour: BN}]\n",
		2 * 1.9, LT_BUNDLE_PACKING);
}

static void test_none_missed(void **state)
{
	(void)state;
	/* Two colours of one way. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: [BN, BU], 2: BK}}\n", 2.154 * 1.9,
		LT_BUNDLE_PACKING);
	/* One of them is on the list. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: [BN, BU]}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.1, to: X2.1, colour: BU}]\n",
		2 * 1.9, LT_BUNDLE_PACKING);
	/* Two of a colour on the list, on a way that names it once. */
	check(TOP
		"- {id: X1, size: 0.75 mm2, wires: {1: BN}}\n"
		"- {id: X2}\n"
		"wires: [{from: X1.1, to: X2.1, colour: BN}, {from: X1.1, to: X2.2, colour: BN}]\n",
		2 * 1.9, LT_BUNDLE_PACKING);
	check(TOP
		"- {id: X1, size: 0.75 mm2, wires: {1: [BN, BN]}}\n"
		"- {id: X2}\n"
		"wires: [{from: X1.1, to: X2.1, colour: BN}, {from: X1.1, to: X2.2, colour: BN}]\n",
		2 * 1.9, LT_BUNDLE_PACKING);
	/* The one with no colour leaves brown to the one that has it, whatever comes first: blue
	 * is not a third. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: [BN, BU]}}\n"
		  "- {id: X2}\n"
		  "wires: [{from: X1.1, to: X2.1}, {from: X1.1, to: X2.2, colour: BN}]\n",
		2 * 1.9, LT_BUNDLE_PACKING);
	/* Wires with no colour are on no way that the connector shows, but they are there. */
	check(TOP
		"- {id: X1, size: 0.75 mm2}\n"
		"- {id: X2}\n"
		"wires: [{from: X1.1, to: X2.1}, {from: X2.2, to: X1.1}, {from: X1.3, to: X2.1}]\n",
		2.154 * 1.9, LT_BUNDLE_PACKING);
	/* From a connector to itself: both ends are in its bundle. */
	check(TOP "- {id: X1, size: 0.75 mm2, wires: {1: BN, 2: BN, 3: GY, 4: WH}}\n"
		  "wires: [{from: X1.1, to: X1.2, colour: BN}]\n",
		2.414 * 1.9, LT_BUNDLE_PACKING);
	check(TOP "- {id: X1}\nwires: [{from: X1.1, to: X1.2, size: 0.5 mm2}]\n", 2 * 1.6,
		LT_BUNDLE_PACKING);
}

/* A harness with errors has open ends; what is known is still counted. */
static void test_open_ends(void **state)
{
	(void)state;
	static const char text[] =
		TOP "- {id: X1, size: 0.75 mm2, ways: 2}\n"
		    "wires: [{from: X1.1, to: X9.1}, {from: X1.7, to: X1.2}, {}]\n";
	struct lt_diags diags = { 0 };
	struct lt_harness harness;
	struct lt_arena arena = { 0 };
	assert_false(lt_harness_read(&harness, NULL, text, strlen(text), NULL, &diags));
	struct lt_bundle *bundles = lt_harness_bundles(&arena, &harness);
	assert_true(fabs(bundles[0].diameter - 2 * 1.9) < 1e-9);
	lt_arena_finish(&arena);
	lt_harness_finish(&harness);
	lt_diags_finish(&diags);
}

/* All wires of 20,000 connectors end on the first few: no connector is looked at for each wire. */
static void test_many(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	struct reading reading;
	lt_text_add(&text, TOP);
	for (unsigned i = 0; i < LT_CONNECTORS_MAX; i++)
		lt_text_printf(&text, "- {id: X%u, wires: {1: BN}, size: 0.5 mm2}\n", i);
	lt_text_add(&text, "wires:\n");
	for (unsigned i = 0; i < LT_CONNECTORS_MAX; i++)
		lt_text_printf(&text, "- {from: X%u.%u, to: X%u.2, size: 0.5 mm2}\n", i / 500,
			500 + i % 499, i);
	clock_t start = clock();
	read_text(&reading, text.bytes);
	assert_true((double)(clock() - start) / CLOCKS_PER_SEC < 4);
	/* Its own brown one, way 2, and those that go out: 500. */
	assert_true(fabs(reading.bundles[3].diameter - 1.2 * sqrt(502) * 1.6) < 1e-6);
	assert_true(fabs(reading.bundles[19999].diameter - 2 * 1.6) < 1e-9);
	finish(&reading);
	lt_text_finish(&text);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_sources),
		cmocka_unit_test(test_one_size_missing),
		cmocka_unit_test(test_none_twice),
		cmocka_unit_test(test_none_missed),
		cmocka_unit_test(test_open_ends),
		cmocka_unit_test(test_many),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
