/* The hash table from strings to indices. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "loomtag/base.h"

static void test_empty(void **state)
{
	(void)state;
	struct lt_hash hash = { 0 };
	assert_true(lt_hash_get(&hash, "X1") == LT_HASH_NONE);
	lt_hash_finish(&hash);
	lt_hash_finish(NULL);
}

static void test_first_value_stays(void **state)
{
	(void)state;
	struct lt_hash hash = { 0 };
	assert_true(lt_hash_put(&hash, "X1", 7) == LT_HASH_NONE);
	assert_int_equal(lt_hash_put(&hash, "X1", 8), 7);
	assert_int_equal(lt_hash_get(&hash, "X1"), 7);
	lt_hash_set(&hash, "X1", 9);
	assert_int_equal(lt_hash_get(&hash, "X1"), 9);
	lt_hash_set(&hash, "X2", 0);
	assert_int_equal(lt_hash_get(&hash, "X2"), 0);
	assert_true(lt_hash_get(&hash, "x1") == LT_HASH_NONE);
	assert_true(lt_hash_get(&hash, "") == LT_HASH_NONE);
	assert_int_equal(hash.count, 2);
	lt_hash_finish(&hash);
	assert_true(lt_hash_get(&hash, "X1") == LT_HASH_NONE);
}

static void test_many(void **state)
{
	(void)state;
	enum { MANY = 20000 };
	static char keys[MANY][8];
	struct lt_hash hash = { 0 };
	for (size_t i = 0; i < MANY; i++) {
		snprintf(keys[i], sizeof keys[i], "X%zu", i);
		assert_true(lt_hash_put(&hash, keys[i], i) == LT_HASH_NONE);
	}
	assert_int_equal(hash.count, MANY);
	for (size_t i = 0; i < MANY; i++) {
		char same[8];
		snprintf(same, sizeof same, "X%zu", i);
		assert_int_equal(lt_hash_get(&hash, same), i);
	}
	assert_true(lt_hash_get(&hash, "X20000") == LT_HASH_NONE);
	lt_hash_finish(&hash);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_empty),
		cmocka_unit_test(test_first_value_stays),
		cmocka_unit_test(test_many),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
