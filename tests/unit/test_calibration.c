/* Calibrations of printers: read, found, set, written, and never lost. */
#include "unit.h"

#include "has_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "folder.h"
#include "label/calibration.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define HEADING \
	"# What was measured of printers. loomtag rewrites this file: your comments are lost.\n"
#define NAME32 "12345678901234567890123456789012"

static void read_good(struct lt_calibrations *set, const char *text, size_t warnings)
{
	struct lt_diags diags = { 0 };
	bool good = lt_calibrations_read(set, "printers.yaml", text, strlen(text), &diags);
	if (!good || diags.count != warnings) {
		lt_diags_print(&diags, 0, stderr, false);
		fail_msg("is right, with %zu warnings:\n%s", warnings, text);
	}
	lt_diags_finish(&diags);
}

static void assert_numbers(const struct lt_calibration *found, double nudge_x, double nudge_y,
	double scale_x, double scale_y)
{
	assert_non_null(found);
	assert_true(fabs(found->nudge_x - nudge_x) < 1e-12);
	assert_true(fabs(found->nudge_y - nudge_y) < 1e-12);
	assert_true(fabs(found->scale_x - scale_x) < 1e-12);
	assert_true(fabs(found->scale_y - scale_y) < 1e-12);
}

static void test_reads(void **state)
{
	(void)state;
	struct lt_calibrations set;
	read_good(&set,
		"printers:\n"
		"  - name: bench 2\n"
		"    nudge: 0.5 x -1 mm\n"
		"    scale: 1 x 0.998\n"
		"  - {name: Büro, nudge: 1 x 0.5 cm}\n"
		"  - {name: '007', scale: 0.9 x 1.1}\n"
		"  - {name: edges, nudge: -50 x 50 mm}\n"
		"  - name: plain\n",
		0);
	assert_int_equal(set.count, 5);
	assert_string_equal(set.items[0].name, "bench 2");
	assert_numbers(lt_calibration_find(&set, "bench 2"), 0.5, -1, 1, 0.998);
	assert_numbers(lt_calibration_find(&set, "Büro"), 10, 5, 1, 1);
	assert_numbers(lt_calibration_find(&set, "007"), 0, 0, 0.9, 1.1);
	assert_numbers(lt_calibration_find(&set, "edges"), -50, 50, 1, 1);
	assert_numbers(lt_calibration_find(&set, "plain"), 0, 0, 1, 1);
	assert_null(lt_calibration_find(&set, "bench"));
	assert_null(lt_calibration_find(&set, "Bench 2"));
	lt_calibrations_finish(&set);
	lt_calibrations_finish(&set);
	lt_calibrations_finish(NULL);
	read_good(&set, "printers: []\n", 0);
	assert_int_equal(set.count, 0);
	assert_null(lt_calibration_find(&set, "bench 2"));
	lt_calibrations_finish(&set);
}

struct fault {
	const char *text;
	unsigned line, column;
	const char *message;
	const char *hint; /* or NULL: any */
};

static const struct fault faults[] = {
	{ "", 0, 0, "", NULL },
	{ "printers\n", 1, 1, "list of printers", "measure again" },
	{ "{}\n", 1, 1, "list of printers", NULL },
	{ "printers:\n", 1, 10, "list of printers", NULL },
	{ "printers: {name: a}\n", 1, 11, "list of printers", NULL },
	{ "printers: []\npinters: []\n", 2, 1, "\"pinters\"", "printers" },
	{ "printers: [a]\n", 1, 12, "needs keys", "- name: bench 2" },
	{ "printers: [{nudge: 1 x 1 mm}]\n", 1, 12, "has no name", "name: bench 2" },
	{ "printers: [{name: }]\n", 1, 19, "name is empty", NULL },
	{ "printers: [{name: [a]}]\n", 1, 19, "name|single value", NULL },
	{ "printers: [{name: \"a\\tb\"}]\n", 1, 19, "that cannot be shown", "letters, digits" },
	{ "printers: [{name: \"a\\x85\"}]\n", 1, 19, "that cannot be shown", NULL },
	{ "printers: [{name: \"a\\x7f\"}]\n", 1, 19, "that cannot be shown", NULL },
	{ "printers: [{name: " NAME32 NAME32 NAME32 NAME32 "}]\n", 1, 19, "longer than 127 bytes",
		"shorten" },
	{ "printers: [{name: a}, {name: b}, {name: a}]\n", 1, 41, "two printers|\"a\"", "remove" },
	{ "printers: [{name: a, name: b}]\n", 1, 22, "\"name\"|twice", NULL },
	{ "printers: [{name: a, nudge: }]\n", 1, 29, "nudge: \"\"|two lengths", NULL },
	{ "printers: [{name: a, nudge: 1 mm}]\n", 1, 29, "nudge: \"1 mm\"|two lengths",
		"nudge: 0.5 x -1 mm" },
	{ "printers: [{name: a, nudge: 1 x 1}]\n", 1, 29, "is not two lengths", NULL },
	{ "printers: [{name: a, nudge: {x: 1}}]\n", 1, 29, "nudge|single value", NULL },
	{ "printers: [{name: a, nudge: 0 x 50.0001 mm}]\n", 1, 29,
		"nudge: 0 x 50.0001 mm|out of range", "-50 to 50 mm" },
	{ "printers: [{name: a, nudge: -51 x 0 mm}]\n", 1, 29, "is out of range", NULL },
	{ "printers: [{name: a, scale: 1}]\n", 1, 29, "scale: \"1\"|two numbers",
		"scale: 1 x 0.998" },
	{ "printers: [{name: a, scale: 99 x 100 %}]\n", 1, 29, "scale|two numbers", NULL },
	{ "printers: [{name: a, scale: nan x 1}]\n", 1, 29, "scale|two numbers", NULL },
	{ "printers: [{name: a, scale: 1 x 1.1001}]\n", 1, 29, "scale: 1 x 1.1001|out of range",
		"0.9 to 1.1" },
	{ "printers: [{name: a, scale: 0.8999 x 1}]\n", 1, 29, "is out of range", NULL },
	{ "printers: [{name: a, smallest: three}]\n", 1, 32, "smallest: \"three\"|whole number",
		"smallest: 3" },
	{ "printers: [{name: a, smallest: 3.5}]\n", 1, 32, "is not a whole number", NULL },
	{ "printers: [{name: a, smallest: 1}]\n", 1, 32, "smallest: 1 dots|out of range",
		"2 to 8" },
	{ "printers: [{name: a, smallest: 9}]\n", 1, 32, "is out of range", NULL },
	{ "printers: [{name: a, smallest: 0}]\n", 1, 32, "is out of range", NULL },
	{ "printers: [{name: a, smallest: [3]}]\n", 1, 32, "smallest|single value", NULL },
	{ "printers: [{name: a, dots: [1]}]\n", 1, 22, "unknown key \"dots\"", NULL },
	{ "printers: [{name: a, \"a: b\": 1}]\n", 1, 22, "unknown key \"a: b\"", NULL },
	{ "printers: [{name: &a a}]\n", 1, 19, "anchor", NULL },
	{ "printers: [{name: a}\n", 0, 0, "", NULL },
	{ "printers: [{name: \"\xff\"}]\n", 0, 0, "", NULL },
};

static bool is_told(const struct lt_diags *diags, const struct fault *fault)
{
	if (diags->errors != 1 || diags->count != 1)
		return false;
	const struct lt_diag *diag = &diags->items[0];
	return (fault->line == 0 ||
		       (diag->place.line == fault->line && diag->place.column == fault->column)) &&
	       strcmp(diag->place.file, "printers.yaml") == 0 &&
	       has_parts(diag->message, fault->message) && diag->hint != NULL &&
	       (fault->hint == NULL || strstr(diag->hint, fault->hint) != NULL);
}

/* Every fault has its place and says what to do. */
static void test_faults(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(faults); i++) {
		struct lt_diags diags = { 0 };
		struct lt_calibrations set;
		const char *text = faults[i].text;
		bool good = lt_calibrations_read(&set, "printers.yaml", text, strlen(text), &diags);
		if (good || !is_told(&diags, &faults[i])) {
			lt_diags_print(&diags, 0, stderr, false);
			fail_msg("wanted %u:%u: %s of\n%s", faults[i].line, faults[i].column,
				faults[i].message, text);
		}
		lt_calibrations_finish(&set);
		lt_diags_finish(&diags);
	}
}

/* All that is wrong is told in one run. */
static void test_every_fault(void **state)
{
	(void)state;
	static const char text[] = "printers:\n"
				   "- {nudge: 60 x 0 mm, scale: 2 x 1}\n"
				   "- {name: a, nudge: 1, scale: 1}\n"
				   "- {name: a}\n";
	struct lt_diags diags = { 0 };
	struct lt_calibrations set;
	assert_false(lt_calibrations_read(&set, NULL, text, strlen(text), &diags));
	assert_int_equal(diags.errors, 6);
	lt_calibrations_finish(&set);
	lt_diags_finish(&diags);
}

static void assert_written(const struct lt_calibrations *set, const char *text)
{
	struct lt_text written = { 0 };
	lt_calibrations_write(&written, set);
	assert_string_equal(lt_text_string(&written), text);
	lt_text_finish(&written);
}

static struct lt_calibration make(const char *name, double x, double y, double scale_x,
	double scale_y)
{
	struct lt_calibration calibration = LT_CALIBRATION_INIT;
	assert_true(calibration.scale_x == 1 && calibration.scale_y == 1);
	calibration.name = name;
	calibration.nudge_x = x;
	calibration.nudge_y = y;
	calibration.scale_x = scale_x;
	calibration.scale_y = scale_y;
	return calibration;
}

static bool put(struct lt_calibrations *set, struct lt_diags *diags, const char *name, double x,
	double y, double scale_x, double scale_y)
{
	const struct lt_calibration calibration = make(name, x, y, scale_x, scale_y);
	return lt_calibration_set(set, &calibration, diags);
}

static void test_sets_and_writes(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_calibrations set = { 0 };
	assert_written(&set, HEADING "printers: []\n");
	char name[] = "bench 2";
	assert_true(put(&set, &diags, name, 0.5, -1, 1, 0.998));
	name[0] = 'B'; /* it was copied */
	assert_true(put(&set, &diags, "a \"b\" \\ ü", 0.1 + 0.2, -0.0004, 1.00000004, 0.9));
	assert_true(put(&set, &diags, "third", 10, 20, 1.1, 1));
	assert_true(put(&set, &diags, "bench 2", 12.3456, 50, 0.98765432, 1));
	assert_int_equal(diags.count, 0);
	assert_int_equal(set.count, 3);
	assert_numbers(lt_calibration_find(&set, "bench 2"), 12.346, 50, 0.98765, 1);
	static const char text[] = HEADING "printers:\n"
					   "  - name: \"bench 2\"\n"
					   "    nudge: 12.346 x 50 mm\n"
					   "    scale: 0.98765 x 1\n"
					   "  - name: \"a \\\"b\\\" \\\\ ü\"\n"
					   "    nudge: 0.3 x 0 mm\n"
					   "    scale: 1 x 0.9\n"
					   "  - name: \"third\"\n"
					   "    nudge: 10 x 20 mm\n"
					   "    scale: 1.1 x 1\n";
	assert_written(&set, text);
	lt_calibrations_finish(&set);
	/* What was written is read back, and written again the same. */
	read_good(&set, text, 0);
	assert_numbers(lt_calibration_find(&set, "a \"b\" \\ ü"), 0.3, 0, 1, 0.9);
	assert_written(&set, text);
	lt_calibrations_finish(&set);
}

/* The smallest code that reads is written only where it is known, and goes when it is set so. */
static void test_smallest(void **state)
{
	(void)state;
	static const char text[] = HEADING "printers:\n"
					   "  - name: \"a\"\n"
					   "    nudge: 1 x 2 mm\n"
					   "    scale: 1 x 1\n"
					   "    smallest: 3\n"
					   "    darkness: \"7\"\n"
					   "  - name: \"b\"\n"
					   "    nudge: 0 x 0 mm\n"
					   "    scale: 1 x 1\n";
	struct lt_diags diags = { 0 };
	struct lt_calibrations set;
	read_good(&set, text, 1);
	assert_int_equal(lt_calibration_find(&set, "a")->smallest, 3);
	assert_int_equal(lt_calibration_find(&set, "b")->smallest, 0);
	assert_written(&set, text);
	struct lt_calibration calibration = make("b", 0, 0, 1, 1);
	static const unsigned good[] = { 2, 8, 0 };
	for (size_t i = 0; i < COUNT(good); i++) {
		calibration.smallest = good[i];
		assert_true(lt_calibration_set(&set, &calibration, &diags));
		assert_int_equal(lt_calibration_find(&set, "b")->smallest, good[i]);
	}
	assert_written(&set, text);
	calibration.smallest = 9;
	assert_false(lt_calibration_set(&set, &calibration, &diags));
	calibration.smallest = 1;
	assert_false(lt_calibration_set(&set, &calibration, &diags));
	assert_int_equal(diags.errors, 2);
	assert_written(&set, text);
	lt_calibrations_finish(&set);
	lt_diags_finish(&diags);
}

static void test_refuses_to_set(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_calibrations set = { 0 };
	assert_true(put(&set, &diags, "a", 1, 2, 1, 1));
	static const char too_long[] = NAME32 NAME32 NAME32 NAME32;
	static const char *const names[] = { "", "a\nb", "\x1b[2J", "\xff", "a\xc2\x80", too_long };
	for (size_t i = 0; i < COUNT(names); i++)
		assert_false(put(&set, &diags, names[i], 0, 0, 1, 1));
	assert_int_equal(diags.errors, COUNT(names));
	static const double numbers[][4] = { { 50.1, 0, 1, 1 }, { 0, -50.1, 1, 1 },
		{ 0, 0, 0.89, 1 }, { 0, 0, 1, 1.11 }, { NAN, 0, 1, 1 }, { 0, INFINITY, 1, 1 },
		{ 0, 0, NAN, 1 }, { 0, 0, 1, -INFINITY } };
	for (size_t i = 0; i < COUNT(numbers); i++)
		assert_false(put(&set, &diags, "a", numbers[i][0], numbers[i][1], numbers[i][2],
			numbers[i][3]));
	assert_int_equal(diags.errors, COUNT(names) + COUNT(numbers));
	for (size_t i = 0; i < diags.count; i++)
		assert_non_null(diags.items[i].hint);
	assert_int_equal(set.count, 1);
	assert_numbers(lt_calibration_find(&set, "a"), 1, 2, 1, 1);
	lt_calibrations_finish(&set);
	lt_diags_finish(&diags);
}

/* What a later version wrote of a printer outlives this one, whatever is in it. */
static void test_keeps_unknown_keys(void **state)
{
	(void)state;
	static const char text[] = HEADING
		"printers:\n"
		"  - name: \"a\"\n"
		"    nudge: 1 x 0 mm\n"
		"    scale: 1 x 1\n"
		"    dots: \"300\"\n"
		"    darkness: \"two \\\"lines\\\"\\u000Aand \\u2028\\uFEFF\\u001B\\u0085 ü\"\n";
	struct lt_diags diags = { 0 };
	struct lt_calibrations set;
	read_good(&set, text, 2);
	assert_written(&set, text);
	assert_int_equal(set.items[0].other_count, 2);
	assert_string_equal(set.items[0].others[0].value, "300");
	assert_true(put(&set, &diags, "a", 1, 0, 1, 1));
	assert_written(&set, text);
	lt_calibrations_finish(&set);
	/* It may be a typing error. */
	static const char slip[] = "printers: [{name: a, nugde: 1 x 1 mm}]\n";
	assert_true(lt_calibrations_read(&set, "printers.yaml", slip, strlen(slip), &diags));
	assert_int_equal(diags.warnings, 1);
	assert_int_equal(diags.items[0].place.column, 22);
	assert_non_null(strstr(diags.items[0].hint, "nudge"));
	lt_calibrations_finish(&set);
	lt_diags_finish(&diags);
}

static bool store(const char *path, struct lt_diags *diags, const char *name, double nudge_x)
{
	const struct lt_calibration calibration = make(name, nudge_x, 0, 1, 1);
	return lt_calibration_store(path, &calibration, diags);
}

static void test_stores(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_calibrations set;
	assert_true(lt_calibrations_read_file(&set, "printers.yaml", &diags));
	assert_int_equal(set.count, 0);
	lt_calibrations_finish(&set);
	assert_true(store("printers.yaml", &diags, "one", 1));
	assert_true(store("printers.yaml", &diags, "two", 2));
	assert_true(store("printers.yaml", &diags, "one", 3));
	assert_int_equal(diags.count, 0);
	assert_holds("printers.yaml", HEADING "printers:\n"
					      "  - name: \"one\"\n"
					      "    nudge: 3 x 0 mm\n"
					      "    scale: 1 x 1\n"
					      "  - name: \"two\"\n"
					      "    nudge: 2 x 0 mm\n"
					      "    scale: 1 x 1\n");
	assert_true(lt_calibrations_read_file(&set, "printers.yaml", &diags));
	assert_int_equal(set.count, 2);
	lt_calibrations_finish(&set);
	assert_true(access("printers.yaml.lock", F_OK) != 0);
	lt_diags_finish(&diags);
}

/* A file that cannot be understood is left as it is, down to the byte. */
static void test_never_overwrites_what_it_cannot_read(void **state)
{
	(void)state;
	static const char *const texts[] = { "", "printers: [{name: a}\n",
		"printers: [{name: a, nudge: far}]\n", "something: else\n" };
	for (size_t i = 0; i < COUNT(texts); i++) {
		struct lt_diags diags = { 0 };
		write_plain("damaged.yaml", texts[i]);
		assert_false(store("damaged.yaml", &diags, "b", 1));
		assert_true(diags.errors > 0);
		assert_holds("damaged.yaml", texts[i]);
		lt_diags_finish(&diags);
	}
	struct lt_diags diags = { 0 };
	write_plain("good.yaml", "printers: [{name: a}]\n");
	assert_false(store("good.yaml", &diags, "", 1));
	assert_holds("good.yaml", "printers: [{name: a}]\n");
	assert_false(store("away/printers.yaml", &diags, "a", 1));
	assert_int_equal(symlink("away", "link.yaml"), 0);
	assert_false(store("link.yaml", &diags, "a", 1));
	assert_false(store(".", &diags, "a", 1));
	assert_int_equal(diags.errors, 4);
	lt_diags_finish(&diags);
}

/* A file as large as is read has room for no more: nothing is written that would not be read. */
static void test_too_large(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_text text = { 0 };
	lt_text_add(&text, "printers: [{name: a, note: '");
	lt_text_add_times(&text, '"', LT_CALIBRATION_FILE_MAX - text.length - 10);
	lt_text_add(&text, "'}]\n");
	write_plain("large.yaml", text.bytes);
	assert_false(store("large.yaml", &diags, "b", 1));
	assert_int_equal(diags.errors, 1);
	assert_non_null(strstr(diags.items[diags.count - 1].message, "1024 KiB"));
	struct stat status;
	assert_int_equal(stat("large.yaml", &status), 0);
	assert_int_equal(status.st_size, text.length);
	lt_text_add_times(&text, '#', 20);
	struct lt_calibrations set;
	assert_false(lt_calibrations_read(&set, NULL, text.bytes, text.length, &diags));
	assert_non_null(strstr(diags.items[diags.count - 1].message, "1024 KiB"));
	lt_calibrations_finish(&set);
	lt_text_finish(&text);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reads),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_every_fault),
		cmocka_unit_test(test_sets_and_writes),
		cmocka_unit_test(test_smallest),
		cmocka_unit_test(test_refuses_to_set),
		cmocka_unit_test(test_keeps_unknown_keys),
		cmocka_unit_test(test_stores),
		cmocka_unit_test(test_never_overwrites_what_it_cannot_read),
		cmocka_unit_test(test_too_large),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
