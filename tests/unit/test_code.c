/* Tags and scan codes: written, and read from what scanners and people give. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/tags.h"
#include "unit/build.h"

static void read_text(struct lt_scan *scan, const char *text)
{
	lt_scan_read(scan, text, strlen(text));
}

static void assert_code(const char *text, unsigned number, enum lt_side side, const char *code)
{
	struct lt_scan scan;
	read_text(&scan, text);
	if (scan.kind != LT_SCAN_CODE)
		fail_msg("\"%s\" is not read as a scan code", text);
	assert_int_equal(scan.number, number);
	assert_int_equal(scan.side, side);
	assert_string_equal(scan.code, code);
}

static void assert_tag(const char *text, unsigned number, enum lt_side side)
{
	struct lt_scan scan;
	read_text(&scan, text);
	if (scan.kind != LT_SCAN_TAG)
		fail_msg("\"%s\" is not read as a tag", text);
	assert_int_equal(scan.number, number);
	assert_int_equal(scan.side, side);
}

static void assert_misread(const char *text)
{
	struct lt_scan scan;
	read_text(&scan, text);
	if (scan.kind != LT_SCAN_MISREAD)
		fail_msg("\"%s\" is read, and is neither", text);
}

static void test_writes_tags_and_codes(void **state)
{
	(void)state;
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, 12, LT_SIDE_H);
	assert_string_equal(tag, "12H");
	lt_tag_write(tag, LT_NUMBER_MAX, LT_SIDE_X);
	assert_string_equal(tag, "99999X");
	char code[LT_SCAN_CODE_SIZE];
	/* The check characters by ISO/IEC 7064, MOD 37,36. */
	lt_scan_code_write(code, 12, LT_SIDE_H, "RV3");
	assert_string_equal(code, "12HRV3J");
	lt_scan_code_write(code, 12, LT_SIDE_M, "RV3");
	assert_string_equal(code, "12MRV3D");
	lt_scan_code_write(code, LT_NUMBER_MAX, LT_SIDE_X, "ABCDEFGHIJKL");
	assert_int_equal(strlen(code), 19);
	assert_code(code, LT_NUMBER_MAX, LT_SIDE_X, "ABCDEFGHIJKL");
}

static void test_reads_what_scanners_give(void **state)
{
	(void)state;
	assert_code("12HRV3J", 12, LT_SIDE_H, "RV3");
	assert_code("12MRV3D\r\n", 12, LT_SIDE_M, "RV3");
	assert_code(" \t12hrv3j ", 12, LT_SIDE_H, "RV3");
	assert_code("HTTP://BENCH.LOCAL:8080/12HRV3J", 12, LT_SIDE_H, "RV3");
	assert_code("http://bench.local/looms/12HRV3J", 12, LT_SIDE_H, "RV3");
	/* The same with the punctuation of another keyboard. */
	assert_code("httpÑ--bench.local-12HRV3J", 12, LT_SIDE_H, "RV3");
	/* An address that reads as a scan code itself, with the sticker's behind it. */
	assert_code("http://h/12HRV3J/12MRV3D", 12, LT_SIDE_M, "RV3");
	assert_code("12HRV3J X1 motor power to M1 vent motor; 1 BN, 2 BU", 12, LT_SIDE_H, "RV3");
	assert_code("]Q3/12HRV3J.", 12, LT_SIDE_H, "RV3");
	assert_code("\xff\xfe"
		    "12HRV3J",
		12, LT_SIDE_H, "RV3");
	struct lt_scan scan;
	lt_scan_read(&scan,
		"\0"
		"12HRV3J\0",
		9);
	assert_int_equal(scan.kind, LT_SCAN_CODE);
	lt_scan_read(&scan, "12HRV3J garbage", 7);
	assert_int_equal(scan.kind, LT_SCAN_CODE);
}

static void test_reads_what_people_type(void **state)
{
	(void)state;
	assert_tag("12H", 12, LT_SIDE_H);
	assert_tag(" 7m\n", 7, LT_SIDE_M);
	assert_tag("99999x", 99999, LT_SIDE_X);
	assert_tag("(3H)", 3, LT_SIDE_H);
	assert_tag("3H relay", 3, LT_SIDE_H);
}

static void test_never_guesses(void **state)
{
	(void)state;
	static const char *const texts[] = { "", " ", "\n", "12", "H", "12B", "H12", "012H", "0H",
		"100000H", "123456H", "12HH", "12 HRV3J", "12-H", "12HRV3K", "12HRV3", "13HRV3J",
		"12MRV3J", "21HRV3J", "12HVR3J", "12HRV3JJ", "012HRV3J", "12HRV3J?x=1", "12HRV3Ü",
		"-12HRV", "3H 4M", "12HRV3J 12MRV3D", "12HRV3J,12MRV3D", "12HRV3J/12MRV3D",
		"http://h/12HRV3J#12MRV3D", "http://h/12HRV3Jhttp://h/12MRV3D",
		"http://h/12HRV3J,http://h/12MRV3D", "12HRV3J,http://h/12MRV3D",
		"://12HRV3J/12MRV3D", "http/12HRV3J/12MRV3D", "http://other/1H", "QX-1H",
		"99999999999999999999999999999999H", "\xd9\xa1H" };
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
		assert_misread(texts[i]);
}

/* Codes whose check character is right, and which no harness can have. */
static void test_right_check_and_wrong_form(void **state)
{
	(void)state;
	static const char *const codes[] = { "R", "3RV", "ABCDEFGHIJKLM" };
	char text[40];
	for (size_t i = 0; i < 3; i++) {
		int length = snprintf(text, sizeof text - 1, "12H%s", codes[i]);
		text[length] = lt_iso7064_check(text, (size_t)length);
		text[length + 1] = '\0';
		assert_misread(text);
	}
}

/* ISO/IEC 7064: MOD 37,36 finds every single substitution. */
static void test_every_single_substitution_is_a_misread(void **state)
{
	(void)state;
	static const char characters[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
	static const char *const harnesses[] = { "RV3", "RV3U0042", "ZZ9PLURALZAL" };
	for (size_t i = 0; i < 3; i++) {
		char code[LT_SCAN_CODE_SIZE];
		lt_scan_code_write(code, 16 + (unsigned)i, LT_SIDE_M, harnesses[i]);
		for (size_t at = 0; code[at] != '\0'; at++) {
			char right = code[at];
			for (size_t j = 0; j < 36; j++) {
				code[at] = characters[j];
				if (characters[j] != right)
					assert_misread(code);
			}
			code[at] = right;
		}
		assert_code(code, 16 + (unsigned)i, LT_SIDE_M, harnesses[i]);
	}
}

static void test_what_is_written_is_read_back(void **state)
{
	(void)state;
	static const char characters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
	uint64_t random = 1;
	for (unsigned round = 0; round < 5000; round++) {
		char harness[LT_HARNESS_CODE_MAX + 1] = { 0 };
		size_t length = 2 + build_random(&random, LT_HARNESS_CODE_MAX - 1);
		for (size_t i = 0; i < length; i++)
			harness[i] = characters[build_random(&random, i == 0 ? 26 : 36)];
		unsigned number = 1 + build_random(&random, LT_NUMBER_MAX);
		enum lt_side side = (enum lt_side)build_random(&random, LT_SIDE_COUNT);
		char code[LT_SCAN_CODE_SIZE];
		lt_scan_code_write(code, number, side, harness);
		assert_code(code, number, side, harness);
	}
}

static void test_noise_is_read_only_when_it_is_right(void **state)
{
	(void)state;
	static const char characters[] = "12HMXRV3J0 /\t\n\0\xc3\x9c";
	uint64_t random = 2;
	unsigned read = 0;
	for (unsigned round = 0; round < 200000; round++) {
		char noise[24];
		size_t length = build_random(&random, sizeof noise);
		for (size_t i = 0; i < length; i++)
			noise[i] = characters[build_random(&random, sizeof characters - 1)];
		struct lt_scan scan;
		lt_scan_read(&scan, noise, length);
		if (scan.kind == LT_SCAN_MISREAD)
			continue;
		read++;
		char expected[LT_SCAN_CODE_SIZE];
		if (scan.kind == LT_SCAN_CODE)
			lt_scan_code_write(expected, scan.number, scan.side, scan.code);
		else
			lt_tag_write(expected, scan.number, scan.side);
		bool found = false;
		size_t size = strlen(expected);
		for (size_t i = 0; i + size <= length; i++)
			found = found || memcmp(noise + i, expected, size) == 0;
		assert_true(found);
	}
	assert_true(read > 100);
}

static enum lt_scan_kind kind_of(const char *word, size_t length)
{
	struct lt_scan scan;
	lt_scan_read(&scan, word, length);
	return scan.kind;
}

/* Neither half of a broken word is a scan code or a tag, and words that are none are not broken. */
static void test_scan_codes_are_broken(void **state)
{
	(void)state;
	assert_int_equal(lt_scan_break("12HRV3J", 7), 2);
	assert_int_equal(lt_scan_break("(12hrv3j)", 9), 3);
	assert_int_equal(lt_scan_break("7/12HRV3J", 9), 4);
	assert_int_equal(lt_scan_break("12HRV3K", 7), 0);
	assert_int_equal(lt_scan_break("12H", 3), 0);
	assert_int_equal(lt_scan_break("", 0), 0);
	uint64_t seed = 5;
	size_t broken = 0;
	for (int i = 0; i < 100000; i++) {
		char word[24];
		size_t length = 3 + build_random(&seed, 15);
		for (size_t k = 0; k < length; k++)
			word[k] = "0123456789HMXHMXUR-/"[build_random(&seed, 20)];
		word[length] = '\0';
		if (build_random(&seed, 4) > 0 && strcspn(word, "-/") >= length - 1)
			word[length - 1] = lt_iso7064_check(word, length - 1);
		size_t at = lt_scan_break(word, length);
		assert_true((at > 0) == (kind_of(word, length) == LT_SCAN_CODE));
		if (at == 0)
			continue;
		broken++;
		assert_true(at < length);
		assert_int_equal(kind_of(word, at), LT_SCAN_MISREAD);
		assert_int_equal(kind_of(word + at, length - at), LT_SCAN_MISREAD);
	}
	assert_true(broken > 1000);
}

static void test_harness_codes(void **state)
{
	(void)state;
	static const char *const good[] = { "RV3", "AB", "A1", "ABCDEFGHIJKL", "RVU", "UU", "U1A",
		"RVU12B", "X1" };
	static const char *const bad[] = { "", "R", "3RV", "rv3", "RV-3", "RV 3", "ABCDEFGHIJKLM",
		"RV3U0042", "U1", "RVU1", "RÜ3", "RV3\n" };
	for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
		if (!lt_harness_code_valid(good[i]))
			fail_msg("%s is refused", good[i]);
	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
		if (lt_harness_code_valid(bad[i]))
			fail_msg("%s is accepted", bad[i]);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_writes_tags_and_codes),
		cmocka_unit_test(test_reads_what_scanners_give),
		cmocka_unit_test(test_reads_what_people_type),
		cmocka_unit_test(test_never_guesses),
		cmocka_unit_test(test_right_check_and_wrong_form),
		cmocka_unit_test(test_every_single_substitution_is_a_misread),
		cmocka_unit_test(test_what_is_written_is_read_back),
		cmocka_unit_test(test_noise_is_read_only_when_it_is_right),
		cmocka_unit_test(test_scan_codes_are_broken),
		cmocka_unit_test(test_harness_codes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
