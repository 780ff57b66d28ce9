/* Bundle diameters against published packings, a second statement of the lower bound, and by
 * hand. */
#include "unit.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/trade.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

static double pi(void)
{
	return acos(-1.0);
}

/* The bundle of so many wires of diameter 1. */
static double packing(unsigned count)
{
	double ones[LT_PACKING_MAX];
	for (unsigned i = 0; i < count; i++)
		ones[i] = 1;
	return lt_bundle_of(ones, count).diameter;
}

/* The smallest circle for n equal circles: Graham 1968, Pirl 1969, Melissen 1994, Fodor 1999 and
 * others, collected by E. Specht; the digits as printed there, cut off after the third. */
static void test_packing_table(void **state)
{
	(void)state;
	static const char *const printed[] = { "1.000", "2.000", "2.154", "2.414", "2.701", "3.000",
		"3.000", "3.304", "3.613", "3.813", "3.923", "4.029", "4.236", "4.328", "4.521",
		"4.615", "4.792", "4.863", "4.863", "5.122" };
	assert_int_equal(COUNT(printed), LT_PACKING_MAX);
	for (unsigned n = 1; n <= LT_PACKING_MAX; n++) {
		char shown[16];
		snprintf(shown, sizeof shown, "%.3f", packing(n));
		assert_string_equal(shown, printed[n - 1]);
	}
}

/* A ring of n circles that touch, in a circle that they touch. */
static double ring(unsigned n)
{
	return 1 + 1 / sin(pi() / n);
}

/* Where the best arrangement has a closed form, its first three decimals are those of the table:
 * rings (n, or n - 1 round another), for 13 and 19 rings of two sizes, for 15 one of five around
 * five pairs. */
static void test_packing_closed_forms(void **state)
{
	(void)state;
	const struct {
		unsigned n;
		double ratio;
	} forms[] = { { 1, 1 }, { 2, ring(2) }, { 3, ring(3) }, { 4, ring(4) }, { 5, ring(5) },
		{ 6, ring(6) }, { 7, ring(6) }, { 8, ring(7) }, { 9, ring(8) }, { 11, ring(9) },
		{ 13, 2 + sqrt(5) }, { 15, 1 + sqrt(6 + 2 / sqrt(5) + 4 * sqrt(1 + 2 / sqrt(5))) },
		{ 18, 1 + sqrt(2) + sqrt(6) }, { 19, 1 + sqrt(2) + sqrt(6) } };
	for (size_t i = 0; i < COUNT(forms); i++) {
		/* The sine of a sixth of a turn is a rounding off from a half. */
		double cut = floor(forms[i].ratio * 1000 + 1e-9) / 1000;
		if (fabs(packing(forms[i].n) - cut) > 1e-9)
			fail_msg("%u circles: %g, not %g", forms[i].n, packing(forms[i].n), cut);
	}
}

struct point {
	double x, y;
};

/* Where there is no closed form: the middles of circles of diameter 1 in arrangements that were
 * found by trying, with nothing taken from the table. */
static const struct arrangement {
	unsigned n;
	struct point middles[LT_PACKING_MAX];
} arrangements[] = { { 10, { { 0.72457, -1.20579 }, { 0.56859, 1.28672 }, { 1.34268, -0.41970 },
				   { -1.21134, 0.71527 }, { -0.25967, -1.38258 },
				   { 1.28231, 0.57848 }, { -0.38782, -0.39082 },
				   { -0.43002, 1.33941 }, { -1.38054, -0.27031 },
				   { 0.31656, 0.31900 } } },
	{ 12, { { -1.42182, -0.52282 }, { -0.78627, -1.29487 }, { 1.16427, -0.96923 },
		      { 0.54178, 0.19917 }, { 0.30666, -1.48354 }, { 1.51455, -0.03259 },
		      { 0.25692, 1.48833 }, { -1.43783, 0.47705 }, { -0.44365, 0.36927 },
		      { -0.73005, 1.32739 }, { -0.09825, -0.56918 }, { 1.13281, 1.00582 } } },
	{ 14, { { 1.17199, -1.18180 }, { -1.26986, 1.07059 }, { -0.09691, -0.71498 },
		      { 1.51164, 0.69655 }, { 1.63771, -0.29687 }, { -0.42699, 1.60870 },
		      { -0.65839, 0.11251 }, { 0.10306, 0.76073 }, { -1.44384, -0.82799 },
		      { 0.83963, 1.43710 }, { -1.65773, 0.14887 }, { 0.66455, -0.06676 },
		      { -0.70875, -1.50596 }, { 0.28321, -1.64013 } } },
	{ 16, { { 0.47503, -1.74438 }, { 0.46490, -0.72273 }, { 0.13285, 1.80301 },
		      { -0.83145, 0.22498 }, { 0.78294, 0.22535 }, { -0.02439, 0.81545 },
		      { -0.53507, -0.73009 }, { 1.07093, 1.45658 }, { -1.56579, 0.90376 },
		      { 1.32959, -1.22503 }, { -1.80645, -0.07229 }, { 1.77736, -0.33088 },
		      { -1.49168, -1.02146 }, { -0.52487, -1.73003 }, { -0.84587, 1.59781 },
		      { 1.68135, 0.66450 } } },
	{ 17, { { -0.83194, 0.61125 }, { 1.43887, -1.23508 }, { 0.06001, -0.95871 },
		      { 1.74756, 0.73606 }, { -1.27797, -1.40091 }, { 0.81600, 1.71170 },
		      { -1.03155, 1.59112 }, { 0.74781, 0.71403 }, { -1.82669, 0.50889 },
		      { 1.87899, -0.25526 }, { -0.83167, -0.50603 }, { -0.38763, -1.85621 },
		      { -0.08315, 1.27405 }, { -0.00239, 0.05281 }, { 0.88945, -0.39953 },
		      { 0.61051, -1.79528 }, { -1.83155, -0.49109 } } },
	{ 20, { { 1.02405, -0.36074 }, { 1.45385, 1.46140 }, { -0.00628, -2.06139 },
		      { 0.02246, 1.11688 }, { -0.88136, 0.68897 }, { -0.07807, 0.05879 },
		      { -0.36856, -1.02127 }, { 1.97055, 0.60523 }, { 0.89654, 0.63109 },
		      { -2.05184, -0.19834 }, { -1.71141, -1.13861 }, { -1.90375, 0.79063 },
		      { -1.05657, -0.29556 }, { -0.97567, -1.81588 }, { 2.02352, -0.39336 },
		      { 0.59502, 1.97366 }, { 1.60030, -1.29939 }, { 0.60083, -1.26677 },
		      { -0.40384, 2.02146 }, { -1.30766, 1.59355 } } } };

/* The diameter around circles as thick as their nearest two are apart, in such diameters. */
static double ratio_of(const struct arrangement *arrangement)
{
	double apart = INFINITY;
	double reach = 0;
	for (unsigned i = 0; i < arrangement->n; i++) {
		const struct point *a = &arrangement->middles[i];
		reach = fmax(reach, hypot(a->x, a->y));
		for (unsigned j = 0; j < i; j++) {
			const struct point *b = &arrangement->middles[j];
			apart = fmin(apart, hypot(a->x - b->x, a->y - b->y));
		}
	}
	return 2 * reach / apart + 1;
}

/* They lie within the printed digits: the table is not too large, and what was found by trying
 * for long is not below it. */
static void test_packing_arrangements(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(arrangements); i++) {
		double ratio = ratio_of(&arrangements[i]);
		double printed = packing(arrangements[i].n);
		if (ratio < printed || ratio >= printed + 0.001)
			fail_msg("%u circles lie in %.5f, not in %.3f", arrangements[i].n, ratio,
				printed);
	}
}

/* No packing is denser than the plane's densest, and one more circle never needs less room. */
static void test_packing_is_possible(void **state)
{
	(void)state;
	for (unsigned n = 2; n <= LT_PACKING_MAX; n++) {
		double density = n / (packing(n) * packing(n));
		assert_true(density < pi() / sqrt(12));
		assert_true(packing(n) >= packing(n - 1));
	}
}

/* The bound once more, without sorting: as many circles as are at least this thick need the
 * packing of their number, each taken as thick as this one. */
static double bound(const double *diameters, size_t count)
{
	double most = 0;
	for (size_t i = 0; i < count; i++) {
		unsigned as_thick = 0;
		for (size_t j = 0; j < count; j++)
			as_thick += diameters[j] >= diameters[i];
		for (unsigned k = as_thick < LT_PACKING_MAX ? as_thick : LT_PACKING_MAX; k > 0; k--)
			most = fmax(most, packing(k) * diameters[i]);
		/* Two circles of any size lie side by side at best. */
		for (size_t j = 0; j < i; j++)
			most = fmax(most, diameters[j] + diameters[i]);
	}
	return most;
}

static unsigned next_random(unsigned *seed)
{
	*seed = *seed * 1103515245u + 12345u;
	return *seed >> 16 & 0x7FFF;
}

/* Wires from 0.5 to 12 mm; one in four mixes has a few thick ones among many thin. */
static size_t random_mix(double *diameters, size_t most, unsigned *seed)
{
	size_t count = 1 + next_random(seed) % most;
	bool uneven = next_random(seed) % 4 == 0;
	for (size_t i = 0; i < count; i++) {
		diameters[i] = 0.5 + next_random(seed) % 40 / 10.0;
		if (uneven && next_random(seed) % 5 == 0)
			diameters[i] *= 2.5;
	}
	return count;
}

static bool all_equal(const double *diameters, size_t count)
{
	for (size_t i = 1; i < count; i++)
		if (diameters[i] < diameters[0] || diameters[i] > diameters[0])
			return false;
	return true;
}

static void test_random_mixes(void **state)
{
	(void)state;
	enum { MOST = 40, MIXES = 5000 };
	unsigned seed = 7;
	unsigned bound_wins = 0;
	unsigned rule_wins = 0;
	for (unsigned round = 0; round < MIXES; round++) {
		double mix[MOST];
		size_t count = random_mix(mix, MOST, &seed);
		double squares = 0;
		for (size_t i = 0; i < count; i++)
			squares += mix[i] * mix[i];
		double rule = 1.2 * sqrt(squares);
		double least = bound(mix, count);
		bool equal = all_equal(mix, count);
		struct lt_bundle bundle = lt_bundle_of(mix, count);
		assert_true(bundle.diameter >= least - 1e-9);
		if (equal && count <= LT_PACKING_MAX) {
			assert_int_equal(bundle.source, LT_BUNDLE_PACKING);
			assert_near(bundle.diameter, packing((unsigned)count) * mix[0], 1e-9);
			continue;
		}
		assert_int_equal(bundle.source, LT_BUNDLE_RULE);
		assert_near(bundle.diameter, fmax(rule, least), 1e-9);
		*(least > rule ? &bound_wins : &rule_wins) += 1;
	}
	/* Both arms were looked at. */
	assert_true(bound_wins > 20 && rule_wins > 1000);
}

/* A wire more, or all wires thicker, never makes the bundle thinner. */
static void test_monotone(void **state)
{
	(void)state;
	enum { MOST = 30, MIXES = 2000 };
	unsigned seed = 11;
	for (unsigned round = 0; round < MIXES; round++) {
		double mix[MOST + 1];
		double copy[MOST + 1];
		size_t count = random_mix(mix, MOST, &seed);
		memcpy(copy, mix, sizeof mix);
		double before = lt_bundle_of(copy, count).diameter;
		for (size_t i = 0; i < count; i++)
			copy[i] = mix[i] * 1.01;
		assert_true(lt_bundle_of(copy, count).diameter > before);
		memcpy(copy, mix, sizeof mix);
		copy[count] = 0.5 + next_random(&seed) % 40 / 10.0;
		assert_true(lt_bundle_of(copy, count + 1).diameter >= before - 1e-9);
	}
	for (unsigned n = 1; n < 200; n++) {
		double fewer[200];
		double more[200];
		for (unsigned i = 0; i < 200; i++)
			fewer[i] = more[i] = 1.9;
		assert_true(lt_bundle_of(fewer, n).diameter <=
			    lt_bundle_of(more, n + 1).diameter + 1e-9);
	}
}

/* What no laying can beat: the packing of the thickest, and the area of all together. */
static void test_least(void **state)
{
	(void)state;
	double none[1] = { 0 };
	assert_true(lt_bundle_least(none, 0) == 0);
	double few[] = { 1, 4, 1, 4 };
	assert_near(lt_bundle_least(few, 4), 8, 1e-9);
	double many[100];
	for (size_t i = 0; i < 100; i++)
		many[i] = 2;
	assert_near(lt_bundle_least(many, 100), 20, 1e-9);
	unsigned seed = 3;
	for (unsigned round = 0; round < 1000; round++) {
		double mix[40];
		double copy[40];
		size_t count = random_mix(mix, 40, &seed);
		memcpy(copy, mix, sizeof mix);
		double least = lt_bundle_least(copy, count);
		assert_true(least >= bound(mix, count) - 1e-9);
		assert_true(least <= lt_bundle_of(copy, count).diameter + 1e-9);
	}
}

/* By hand, with the packings above and ISO 6722-1's thin-wall diameters. */
static void test_worked_examples(void **state)
{
	(void)state;
	struct lt_bundle bundle;
	/* Three of 0.75 mm2, 1.9 mm each: 2.154 x 1.9. */
	double three[] = { 1.9, 1.9, 1.9 };
	bundle = lt_bundle_of(three, 3);
	assert_near(bundle.diameter, 4.0926, 1e-9);
	assert_int_equal(bundle.source, LT_BUNDLE_PACKING);
	/* Two of 2.5 mm2 and one of 0.35: 1.2 x sqrt(9 + 9 + 1.96) = 5.361, but the two lie side by
	 * side in no less than 6. */
	double thick[] = { 3.0, 1.4, 3.0 };
	bundle = lt_bundle_of(thick, 3);
	assert_near(bundle.diameter, 6.0, 1e-9);
	assert_int_equal(bundle.source, LT_BUNDLE_RULE);
	assert_true(thick[0] >= thick[1] && thick[1] >= thick[2]);
	/* One of 6 mm2 and one of 1.5 mm2: 1.2 x sqrt(4.3 x 4.3 + 2.4 x 2.4) = 5.909, but side by
	 * side they are 4.3 + 2.4. */
	double uneven[] = { 2.4, 4.3 };
	bundle = lt_bundle_of(uneven, 2);
	assert_near(bundle.diameter, 6.7, 1e-9);
	assert_int_equal(bundle.source, LT_BUNDLE_RULE);
	/* Four of 0.5 mm2 and eight of 0.35: 1.2 x sqrt(4 x 2.56 + 8 x 1.96) = 6.109, more than
	 * 4.029 x 1.4 = 5.641. */
	double twelve[] = { 1.4, 1.6, 1.4, 1.4, 1.6, 1.4, 1.4, 1.6, 1.4, 1.4, 1.6, 1.4 };
	bundle = lt_bundle_of(twelve, 12);
	assert_near(bundle.diameter, 6.109, 0.0005);
	assert_int_equal(bundle.source, LT_BUNDLE_RULE);
	/* Twenty-one equal ones are beyond the table: 1.2 x sqrt(21) x 2. */
	double many[21];
	for (size_t i = 0; i < 21; i++)
		many[i] = 2;
	bundle = lt_bundle_of(many, 21);
	assert_near(bundle.diameter, 10.998, 0.0005);
	assert_int_equal(bundle.source, LT_BUNDLE_RULE);
	double one[] = { 35.1 };
	bundle = lt_bundle_of(one, 1);
	assert_near(bundle.diameter, 35.1, 1e-9);
	assert_int_equal(bundle.source, LT_BUNDLE_PACKING);
	bundle = lt_bundle_of(one, 0);
	assert_true(bundle.diameter == 0);
	assert_int_equal(bundle.source, LT_BUNDLE_UNKNOWN);
}

static void test_names(void **state)
{
	(void)state;
	assert_string_equal(lt_bundle_source_name(LT_BUNDLE_UNKNOWN), "not known");
	assert_string_equal(lt_bundle_source_name(LT_BUNDLE_MEASURED), "measured");
	assert_string_equal(lt_bundle_source_name(LT_BUNDLE_PACKING), "packing");
	assert_string_equal(lt_bundle_source_name(LT_BUNDLE_RULE), "rule of thumb");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_packing_table),
		cmocka_unit_test(test_packing_closed_forms),
		cmocka_unit_test(test_packing_arrangements),
		cmocka_unit_test(test_packing_is_possible),
		cmocka_unit_test(test_random_mixes),
		cmocka_unit_test(test_monotone),
		cmocka_unit_test(test_least),
		cmocka_unit_test(test_worked_examples),
		cmocka_unit_test(test_names),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
