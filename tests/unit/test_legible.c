/* Confusable numbers against a brute force over their printed digits; heights against NUREG-0700.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/trade.h"

/* The other statement of the rules: on strings, as a reader sees them. */

static bool seen_turned(const char *a, const char *b)
{
	static const char upright[] = "01689";
	static const char turned[] = "01986";
	size_t length = strlen(a);
	if (strlen(b) != length)
		return false;
	for (size_t i = 0; i < length; i++) {
		const char *at = strchr(upright, a[i]);
		if (!at || turned[at - upright] != b[length - 1 - i])
			return false;
	}
	return true;
}

static bool seen_swapped(const char *a, const char *b)
{
	for (size_t i = 0; i + 1 < strlen(a); i++) {
		char copy[8];
		snprintf(copy, sizeof(copy), "%s", a);
		copy[i] = a[i + 1];
		copy[i + 1] = a[i];
		if (strcmp(copy, b) == 0)
			return true;
	}
	return false;
}

static bool seen_misread(const char *a, const char *b)
{
	static const char *const misread[] = { "17", "71", "38", "83", "56", "65", "68", "86", "08",
		"80", "89", "98" };
	for (size_t i = 0; a[i]; i++) {
		for (size_t j = 0; j < sizeof(misread) / sizeof(misread[0]); j++) {
			char copy[8];
			if (a[i] != misread[j][0])
				continue;
			snprintf(copy, sizeof(copy), "%s", a);
			copy[i] = misread[j][1];
			if (strcmp(copy, b) == 0)
				return true;
		}
	}
	return false;
}

static enum lt_confusion seen(const char *a, const char *b)
{
	if (strcmp(a, b) == 0 || strlen(a) != strlen(b))
		return LT_DISTINCT;
	if (seen_turned(a, b))
		return LT_TURNED;
	if (seen_swapped(a, b))
		return LT_SWAPPED;
	return seen_misread(a, b) ? LT_ONE_DIGIT : LT_DISTINCT;
}

static void print(char out[8], unsigned number)
{
	snprintf(out, 8, "%u", number);
}

static bool is_listed(const unsigned *all, size_t count, unsigned number)
{
	for (size_t i = 0; i < count; i++)
		if (all[i] == number)
			return true;
	return false;
}

/* All pairs up to 999, by both statements and the list. */
static void test_all_pairs_to_999(void **state)
{
	(void)state;
	for (unsigned a = 1; a <= 999; a++) {
		unsigned all[LT_CONFUSABLE_MAX];
		size_t count = lt_confusable_all(all, a);
		char text_a[8];
		print(text_a, a);
		for (unsigned b = 1; b <= 999; b++) {
			char text_b[8];
			print(text_b, b);
			enum lt_confusion expected = seen(text_a, text_b);
			if (lt_confusable(a, b) != expected)
				fail_msg("%u and %u", a, b);
			assert_int_equal(is_listed(all, count, b), expected != LT_DISTINCT);
		}
	}
}

/* Adds `number` to the set when its text is not `text` and begins with no nought. */
static size_t collect(unsigned *set, size_t count, const char *text, const char *number)
{
	unsigned value = (unsigned)strtoul(number, NULL, 10);
	if (number[0] == '0' || strcmp(text, number) == 0 || is_listed(set, count, value))
		return count;
	set[count] = value;
	return count + 1;
}

/* All that a reader could take a number for, by trying every reading of every digit. */
static size_t all_seen(unsigned *set, unsigned number)
{
	char text[8];
	char copy[8];
	size_t count = 0;
	print(text, number);
	size_t length = strlen(text);
	for (size_t i = 0; i < length; i++) {
		for (const char *c = "0123456789"; *c; c++) {
			snprintf(copy, sizeof(copy), "%s", text);
			copy[i] = *c;
			if (seen_misread(text, copy))
				count = collect(set, count, text, copy);
		}
		snprintf(copy, sizeof(copy), "%s", text);
		if (i + 1 < length) {
			copy[i] = text[i + 1];
			copy[i + 1] = text[i];
			count = collect(set, count, text, copy);
		}
	}
	for (size_t i = 0; i < length; i++) {
		char c = text[length - 1 - i];
		copy[i] = c;
		if (c == '6' || c == '9')
			copy[i] = c == '6' ? '9' : '6';
	}
	copy[length] = '\0';
	if (seen_turned(text, copy))
		count = collect(set, count, text, copy);
	return count;
}

/* All pairs of all numbers: outside the two lists, which are the same, nothing is confusable. */
static void test_lists_of_all_numbers(void **state)
{
	(void)state;
	size_t most = 0;
	for (unsigned number = 1; number <= LT_NUMBER_MAX; number++) {
		/* All up to 9999, every twenty-third beyond. */
		if (number > 9999 && number % 23 != 0)
			continue;
		unsigned all[LT_CONFUSABLE_MAX];
		unsigned expected[64];
		size_t count = lt_confusable_all(all, number);
		if (count != all_seen(expected, number))
			fail_msg("%u", number);
		for (size_t i = 0; i < count; i++) {
			assert_true(is_listed(expected, count, all[i]));
			assert_true(i == 0 || all[i - 1] < all[i]);
			enum lt_confusion why = lt_confusable(number, all[i]);
			assert_int_not_equal(why, LT_DISTINCT);
			assert_int_equal(lt_confusable(all[i], number), why);
		}
		most = count > most ? count : most;
	}
	assert_true(most < LT_CONFUSABLE_MAX);
}

/* All pairs of four digits: each number is marked against its list, and lt_confusable must agree
 * with the mark. */
static void test_all_pairs_of_four_digits(void **state)
{
	(void)state;
	unsigned found = 0;
	unsigned listed = 0;
	for (unsigned a = 1000; a <= 9999; a += 41) {
		unsigned expected[64];
		listed += (unsigned)all_seen(expected, a);
		for (unsigned b = 1; b <= 10999; b++)
			found += lt_confusable(a, b) != LT_DISTINCT;
	}
	assert_int_equal(found, listed);
}

static void test_reasons(void **state)
{
	(void)state;
	assert_int_equal(lt_confusable(6, 9), LT_TURNED);
	assert_int_equal(lt_confusable(16, 91), LT_TURNED);
	assert_int_equal(lt_confusable(68, 89), LT_TURNED);
	assert_int_equal(lt_confusable(12, 21), LT_SWAPPED);
	assert_int_equal(lt_confusable(1, 7), LT_ONE_DIGIT);
	assert_int_equal(lt_confusable(80, 30), LT_ONE_DIGIT);
	/* 69 upside down is 69 again; 69 and 96 are swapped digits. */
	assert_int_equal(lt_confusable(69, 96), LT_SWAPPED);
	/* Two misread digits, two swaps, another length, the same number. */
	assert_int_equal(lt_confusable(11, 77), LT_DISTINCT);
	assert_int_equal(lt_confusable(1234, 2143), LT_DISTINCT);
	assert_int_equal(lt_confusable(1, 11), LT_DISTINCT);
	assert_int_equal(lt_confusable(12, 12), LT_DISTINCT);
	assert_int_equal(lt_confusable(1, 2), LT_DISTINCT);
}

static void test_out_of_range(void **state)
{
	(void)state;
	unsigned all[LT_CONFUSABLE_MAX];
	assert_int_equal(lt_confusable_all(all, 0), 0);
	assert_int_equal(lt_confusable_all(all, LT_NUMBER_MAX + 1), 0);
	assert_int_equal(lt_confusable(0, 8), LT_DISTINCT);
	assert_int_equal(lt_confusable(100006, 900001), LT_DISTINCT);
	assert_int_equal(lt_upside_down(0), 0);
	assert_int_equal(lt_upside_down(100006), 0);
}

static void test_upside_down(void **state)
{
	(void)state;
	assert_int_equal(lt_upside_down(6), 9);
	assert_int_equal(lt_upside_down(9), 6);
	assert_int_equal(lt_upside_down(16), 91);
	assert_int_equal(lt_upside_down(68), 89);
	assert_int_equal(lt_upside_down(106), 901);
	/* The same again, a leading nought, a digit with no such reading. */
	assert_int_equal(lt_upside_down(1), 0);
	assert_int_equal(lt_upside_down(69), 0);
	assert_int_equal(lt_upside_down(60), 0);
	assert_int_equal(lt_upside_down(12), 0);
	for (unsigned number = 1; number <= LT_NUMBER_MAX; number++) {
		unsigned other = lt_upside_down(number);
		if (other != 0)
			assert_int_equal(lt_upside_down(other), number);
	}
}

/* The formula of NUREG-0700, 11.4.1.5-1. */
static double character_height(double distance, double minutes)
{
	return 6.283 * distance * minutes / 21600.0;
}

/* NUREG-0700, 11.4.1.5-1: at 500 mm, 15 minutes of arc are 2.0 (2.2 by the formula) and 20
 * minutes 3.0 mm (2.9 by the formula). */
static void test_heights(void **state)
{
	(void)state;
	assert_true(fabs(lt_height_least(500) - 2.0) < 1e-9);
	assert_true(fabs(lt_height_preferred(500) - 3.0) < 1e-9);
	assert_true(fabs(character_height(500, 15) - lt_height_least(500)) < 0.2);
	assert_true(fabs(character_height(500, 20) - lt_height_preferred(500)) < 0.1);
	/* The formula is the angle itself, for small angles: 2 tan(15'/2). */
	double angle = 15.0 / 60.0 * acos(-1.0) / 180.0;
	assert_true(fabs(character_height(1000, 15) - 2000 * tan(angle / 2)) < 0.001);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_all_pairs_to_999),
		cmocka_unit_test(test_lists_of_all_numbers),
		cmocka_unit_test(test_all_pairs_of_four_digits),
		cmocka_unit_test(test_reasons),
		cmocka_unit_test(test_out_of_range),
		cmocka_unit_test(test_upside_down),
		cmocka_unit_test(test_heights),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
