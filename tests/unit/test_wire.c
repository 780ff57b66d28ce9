/* Wire sizes against ASTM B258. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdio.h>

#include "loomtag/trade.h"

/* Of a gauge. */
static double diameter(double gauge)
{
	struct lt_wire_size size = { .given = true, .awg = true, .value = gauge };
	return lt_wire_conductor(&size);
}

static struct lt_wire_size read_size(const char *text)
{
	struct lt_wire_size size;
	if (!lt_wire_size_read(&size, text))
		fail_msg("\"%s\" is a size", text);
	return size;
}

/* ASTM B258, table of solid round wires, to the digits printed. */
static void test_gauge_diameters(void **state)
{
	(void)state;
	static const struct {
		double gauge;
		const char *mm;
	} table[] = { { 10, "2.588" }, { 12, "2.053" }, { 14, "1.628" }, { 16, "1.291" },
		{ 18, "1.024" }, { 20, "0.812" }, { 22, "0.644" }, { 24, "0.511" }, { 26, "0.405" },
		{ 28, "0.321" }, { 30, "0.255" } };
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		char printed[16];
		snprintf(printed, sizeof(printed), "%.3f", diameter(table[i].gauge));
		assert_string_equal(printed, table[i].mm);
	}
}

/* ASTM B258 defines the gauges by these two: 36 is 0.005 in, 0000 is 0.46 in. */
static void test_gauge_ends(void **state)
{
	(void)state;
	assert_true(fabs(diameter(36) - 0.127) < 1e-12);
	assert_true(fabs(diameter(-3) - 11.684) < 1e-9);
}

/* ASTM B258, areas to the digits printed. */
static void test_gauge_areas(void **state)
{
	(void)state;
	static const struct {
		const char *size;
		const char *mm2;
	} table[] = { { "18 AWG", "0.823" }, { "20 AWG", "0.518" }, { "22 AWG", "0.326" } };
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct lt_wire_size size = read_size(table[i].size);
		char printed[16];
		snprintf(printed, sizeof(printed), "%.3f", lt_wire_area(&size));
		assert_string_equal(printed, table[i].mm2);
	}
}

static void test_area_as_written(void **state)
{
	(void)state;
	struct lt_wire_size size = read_size("0.75 mm2");
	assert_true(lt_wire_area(&size) == 0.75);
	size = (struct lt_wire_size){ .given = false, .value = 3 };
	assert_true(lt_wire_area(&size) == 0.0);
}

static void test_ways_of_writing(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		bool awg;
		double value;
		const char *written;
	} table[] = {
		{ "0.75 mm2", false, 0.75, "0.75 mm²" },
		{ "0.75 mm²", false, 0.75, "0.75 mm²" },
		{ "0.75mm2", false, 0.75, "0.75 mm²" },
		{ " 1.50 MM2 ", false, 1.5, "1.5 mm²" },
		{ "2.5 mm^2", false, 2.5, "2.5 mm²" },
		{ "0.05 mm2", false, 0.05, "0.05 mm²" },
		{ "400 mm2", false, 400, "400 mm²" },
		{ "18 AWG", true, 18, "18 AWG" },
		{ "18awg", true, 18, "18 AWG" },
		{ "AWG 18", true, 18, "18 AWG" },
		{ "AWG18", true, 18, "18 AWG" },
		{ "40 AWG", true, 40, "40 AWG" },
		{ "0 AWG", true, 0, "0 AWG" },
		{ "1/0 AWG", true, 0, "0 AWG" },
		{ "2/0 AWG", true, -1, "2/0 AWG" },
		{ "00 AWG", true, -1, "2/0 AWG" },
		{ "AWG 000", true, -2, "3/0 AWG" },
		{ "0000 AWG", true, -3, "4/0 AWG" },
		{ "AWG 4/0", true, -3, "4/0 AWG" },
	};
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct lt_wire_size size = read_size(table[i].text);
		char written[24];
		assert_true(size.given);
		assert_int_equal(size.awg, table[i].awg);
		assert_true(size.value == table[i].value);
		lt_wire_size_write(written, &size);
		assert_string_equal(written, table[i].written);
		struct lt_wire_size again = read_size(written);
		assert_true(again.awg == size.awg && again.value == size.value);
	}
}

static void test_no_size(void **state)
{
	(void)state;
	static const char *const texts[] = { "", " ", "0.75", "mm2", "AWG", "AWG ", "0.75 mm",
		"0 mm2", "0.04 mm2", "400.1 mm2", "-1 mm2", "+1 mm2", "1e1 mm2", "1/2 mm2",
		"nan mm2", "inf mm2", "1,5 mm2", "0.75 mm2 x", "0.75 mm22", "41 AWG", "-1 AWG",
		"18.5 AWG", "5/0 AWG", "018 AWG", "00000 AWG", "0/0 AWG", "AWG 18 AWG",
		"AWG 18 mm2", "AWG 1 8", "18 AWGs", "18 A WG", "99999999999999999999 AWG",
		"0.75 mm\xb2", "0x12 AWG" };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		struct lt_wire_size size = { .given = true, .value = 7 };
		if (lt_wire_size_read(&size, texts[i]))
			fail_msg("\"%s\" is no size", texts[i]);
		assert_false(size.given);
	}
	char written[24] = "x";
	lt_wire_size_write(written, &(struct lt_wire_size){ .given = false, .value = 1 });
	assert_string_equal(written, "");
}

static double outer(const char *text)
{
	struct lt_wire_size size = read_size(text);
	return lt_wire_outer(&size);
}

/* Largest outer diameters of thin-wall single-core vehicle cable, ISO 6722-1 (from memory). */
static void test_outer_table(void **state)
{
	(void)state;
	static const struct {
		const char *size;
		double mm;
	} table[] = { { "0.35 mm2", 1.4 }, { "0.5 mm2", 1.6 }, { "0.75 mm2", 1.9 },
		{ "1 mm2", 2.1 }, { "1.5 mm2", 2.4 }, { "2.5 mm2", 3.0 }, { "4 mm2", 3.7 },
		{ "6 mm2", 4.3 } };
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		assert_true(fabs(outer(table[i].size) - table[i].mm) < 1e-9);
}

/* By hand. 18 AWG has 0.823 mm2 and 1.0237 mm (ASTM B258), between 0.75 mm2 (0.9772 mm of metal,
 * 1.9 mm in all) and 1 mm2 (1.1284 mm, 2.1 mm): 1.9 + 0.2 x 0.0465 / 0.1512 = 1.9615. 0.25 mm2 is
 * 0.5642 mm thick, 0.1034 less than 0.35 mm2: 1.4 - 0.1034. 24 mm2 has twice the diameter of 6. */
static void test_outer_by_hand(void **state)
{
	(void)state;
	assert_true(fabs(outer("18 AWG") - 1.9615) < 0.0005);
	assert_true(fabs(outer("0.25 mm2") - 1.2966) < 0.0005);
	assert_true(fabs(outer("24 mm2") - 8.6) < 1e-9);
	assert_true(lt_wire_outer(&(struct lt_wire_size){ .given = false, .value = 3 }) == 0.0);
	assert_true(lt_wire_conductor(&(struct lt_wire_size){ .given = false }) == 0.0);
}

/* A larger conductor never makes a thinner wire, and every wire is thicker than its metal. */
static void test_outer_grows(void **state)
{
	(void)state;
	double before = 0;
	for (unsigned hundredths = 5; hundredths <= 40000; hundredths++) {
		struct lt_wire_size size = { .given = true, .value = hundredths / 100.0 };
		double now = lt_wire_outer(&size);
		assert_true(now > before);
		assert_true(now > lt_wire_conductor(&size));
		before = now;
	}
	before = 0;
	for (int gauge = 40; gauge >= -3; gauge--) {
		struct lt_wire_size size = { .given = true, .awg = true, .value = gauge };
		double now = lt_wire_outer(&size);
		assert_true(now > before);
		assert_true(now > lt_wire_conductor(&size));
		before = now;
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gauge_diameters),
		cmocka_unit_test(test_gauge_ends),
		cmocka_unit_test(test_gauge_areas),
		cmocka_unit_test(test_area_as_written),
		cmocka_unit_test(test_ways_of_writing),
		cmocka_unit_test(test_no_size),
		cmocka_unit_test(test_outer_table),
		cmocka_unit_test(test_outer_by_hand),
		cmocka_unit_test(test_outer_grows),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
