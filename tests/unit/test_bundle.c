/* Bundle diameters against published packings, a bound stated a second time, and by hand. */
#include "unit.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/bundle.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

static double pi(void)
{
	return acos(-1.0);
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
		snprintf(shown, sizeof shown, "%.3f", lt_packing(n));
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
		if (fabs(lt_packing(forms[i].n) - cut) > 1e-9)
			fail_msg("%u circles: %g, not %g", forms[i].n, lt_packing(forms[i].n), cut);
	}
}

/* No packing is denser than the plane's densest, and one more circle never needs less room. */
static void test_packing_is_possible(void **state)
{
	(void)state;
	for (unsigned n = 2; n <= LT_PACKING_MAX; n++) {
		double density = n / (lt_packing(n) * lt_packing(n));
		assert_true(density < pi() / sqrt(12));
		assert_true(lt_packing(n) >= lt_packing(n - 1));
	}
	assert_true(lt_packing(0) == 0);
	assert_true(lt_packing(LT_PACKING_MAX + 1) == 0);
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
			most = fmax(most, lt_packing(k) * diameters[i]);
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
			assert_near(bundle.diameter, lt_packing((unsigned)count) * mix[0], 1e-9);
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
		cmocka_unit_test(test_packing_is_possible),
		cmocka_unit_test(test_random_mixes),
		cmocka_unit_test(test_monotone),
		cmocka_unit_test(test_least),
		cmocka_unit_test(test_worked_examples),
		cmocka_unit_test(test_names),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
