/* The check character against ISO/IEC 7064, MOD 37,36. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "loomtag/trade.h"

static const char alphabet[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

static char check_of(const char *text)
{
	return lt_iso7064_check(text, strlen(text));
}

static void test_published_example(void **state)
{
	(void)state;
	/* The worked example of the Global Release Identifier standard, which uses MOD 37,36. */
	assert_int_equal(check_of("A12425GABC1234002"), 'M');
	assert_true(lt_iso7064_valid("A12425GABC1234002M", 18));
}

static void test_scan_codes(void **state)
{
	(void)state;
	assert_int_equal(check_of("12HRV3"), 'J');
	assert_int_equal(check_of("12MRV3"), 'D');
	assert_true(lt_iso7064_valid("12HRV3J", 7));
	assert_true(lt_iso7064_valid("12MRV3D", 7));
	assert_false(lt_iso7064_valid("12HRV3D", 7));
}

/* The standard's definition of a hybrid system, from the other side: the sum over the whole
 * string, check character included, is 1 modulo 36. */
static int whole_sum(const char *text)
{
	int product = 36;
	int sum = 0;
	for (; *text; text++) {
		sum = (product + (int)(strchr(alphabet, *text) - alphabet)) % 36;
		product = (sum == 0 ? 36 : sum) * 2 % 37;
	}
	return sum;
}

static const char *const samples[] = { "1HRV3", "12HRV3", "99999XA1B2C3D4E5F6", "7MZZ", "0", "Z",
	"60HQX7U0042" };
#define SAMPLES (sizeof(samples) / sizeof(samples[0]))

static void test_whole_string_is_one(void **state)
{
	(void)state;
	for (size_t i = 0; i < SAMPLES; i++) {
		char whole[32];
		size_t length = strlen(samples[i]);
		memcpy(whole, samples[i], length);
		whole[length] = check_of(samples[i]);
		whole[length + 1] = '\0';
		assert_int_equal(whole_sum(whole), 1);
		assert_true(lt_iso7064_valid(whole, length + 1));
	}
}

/* ISO/IEC 7064: every single substitution is found, the check character's own too. */
static void test_every_substitution_is_found(void **state)
{
	(void)state;
	for (size_t i = 0; i < SAMPLES; i++) {
		char whole[32];
		size_t length = strlen(samples[i]);
		memcpy(whole, samples[i], length);
		whole[length++] = check_of(samples[i]);
		for (size_t at = 0; at < length; at++) {
			char right = whole[at];
			for (const char *c = alphabet; *c; c++) {
				whole[at] = *c;
				assert_int_equal(lt_iso7064_valid(whole, length), *c == right);
			}
			whole[at] = right;
		}
	}
}

/* Of all exchanges of two neighbours, over all pairs in all places of a long string, the
 * standard's hybrid system misses only a few. */
static void test_nearly_every_swap_is_found(void **state)
{
	(void)state;
	unsigned missed = 0;
	unsigned tried = 0;
	for (int a = 0; a < 36; a++) {
		for (int b = 0; b < 36; b++) {
			if (a == b)
				continue;
			char text[] = "12H..RV3";
			text[3] = alphabet[a];
			text[4] = alphabet[b];
			char whole[] = "12H..RV3?";
			whole[3] = alphabet[b];
			whole[4] = alphabet[a];
			whole[8] = check_of(text);
			missed += lt_iso7064_valid(whole, 9);
			tried++;
		}
	}
	assert_int_equal(tried, 36 * 35);
	assert_true(missed * 100 < tried * 5);
}

static void test_other_characters_have_no_check(void **state)
{
	(void)state;
	assert_int_equal(lt_iso7064_check("", 0), 0);
	assert_int_equal(check_of("12hRV3"), 0);
	assert_int_equal(check_of("12H RV3"), 0);
	assert_int_equal(check_of("12H\xc3\xa4"), 0);
	assert_int_equal(lt_iso7064_check("A\0B", 3), 0);
	assert_false(lt_iso7064_valid("", 0));
	assert_false(lt_iso7064_valid("1", 1));
	assert_false(lt_iso7064_valid("12HRV3j", 7));
	assert_false(lt_iso7064_valid("12hRV3J", 7));
	assert_false(lt_iso7064_valid("*\0", 2));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_published_example),
		cmocka_unit_test(test_scan_codes),
		cmocka_unit_test(test_whole_string_is_one),
		cmocka_unit_test(test_every_substitution_is_found),
		cmocka_unit_test(test_nearly_every_swap_is_found),
		cmocka_unit_test(test_other_characters_have_no_check),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
