/* YAML read into a tree: places, refusals and limits. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "loomtag/base.h"

/* A document being read, its diagnostics kept. */
struct reading {
	struct lt_arena arena;
	struct lt_diags diags;
	struct lt_node root;
	bool ok;
};

static void read_bytes(struct reading *reading, const char *bytes, size_t length)
{
	*reading = (struct reading){ 0 };
	/* Exactly as long as said, so that a sanitizer sees a step too far. */
	char *copy = malloc(length ? length : 1);
	memcpy(copy, bytes, length);
	reading->ok = lt_yaml_read(&reading->root, &reading->arena, "a.yaml", copy, length,
		&reading->diags);
	free(copy);
}

static void read_text(struct reading *reading, const char *text)
{
	read_bytes(reading, text, strlen(text));
}

static void finish(struct reading *reading)
{
	lt_arena_finish(&reading->arena);
	lt_diags_finish(&reading->diags);
}

static void assert_place(struct lt_place place, unsigned line, unsigned column)
{
	assert_string_equal(place.file, "a.yaml");
	assert_int_equal(place.line, line);
	assert_int_equal(place.column, column);
}

static void test_tree_and_places(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, "# a remark\n"
			    "a: no\n"
			    "\"é ü\": {x: 010, y: '1e3'}\n"
			    "list:\n"
			    "  - é\n"
			    "  - [1, \"two\"]\n"
			    "folded: >\n"
			    "  one\n"
			    "  two\n"
			    "empty:\n");
	assert_true(reading.ok);
	assert_int_equal(reading.diags.count, 0);
	const struct lt_node *root = &reading.root;
	assert_int_equal(root->kind, LT_MAP);
	assert_int_equal(root->count, 5);
	assert_place(root->place, 2, 1);
	const struct lt_node *a = lt_node_get(root, "a");
	assert_string_equal(a->text, "no");
	assert_false(a->quoted);
	assert_place(a->place, 2, 4);
	const struct lt_node *accented = lt_node_get(root, "é ü");
	assert_int_equal(accented->kind, LT_MAP);
	assert_place(accented->place, 3, 8);
	assert_string_equal(lt_node_get(accented, "x")->text, "010");
	assert_string_equal(lt_node_get(accented, "y")->text, "1e3");
	assert_true(lt_node_get(accented, "y")->quoted);
	assert_place(lt_node_get(accented, "y")->place, 3, 20);
	const struct lt_node *list = lt_node_get(root, "list");
	assert_int_equal(list->kind, LT_LIST);
	assert_int_equal(list->count, 2);
	assert_string_equal(list->items[0].text, "é");
	assert_place(list->items[0].place, 5, 5);
	assert_int_equal(list->items[1].kind, LT_LIST);
	assert_place(list->items[1].items[1].place, 6, 9);
	assert_string_equal(lt_node_get(root, "folded")->text, "one two\n");
	assert_string_equal(lt_node_get(root, "empty")->text, "");
	assert_false(lt_node_get(root, "empty")->quoted);
	assert_null(lt_node_get(root, "b"));
	assert_null(lt_node_get(list, "b"));
	finish(&reading);
}

static void test_byte_order_mark_is_skipped(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, "\xEF\xBB\xBF"
			    "a: b\r\n"
			    "c: d\r\n");
	assert_true(reading.ok);
	assert_place(reading.root.keys[0].place, 1, 1);
	assert_place(reading.root.items[1].place, 2, 4);
	assert_string_equal(reading.root.items[0].text, "b");
	finish(&reading);
}

/* What is refused: the first diagnostic of each. */
static const struct refusal {
	const char *what;
	const char *text;
	size_t length; /* 0: up to the NUL */
	unsigned line, column;
	const char *message;
	const char *hint; /* or NULL */
} refusals[] = {
	{ "empty", "", 0, 0, 0, "empty", NULL },
	{ "only remarks", "# nothing\n", 0, 0, 0, "empty", NULL },
	{ "an empty document", "---\n", 0, 0, 0, "empty", NULL },
	{ "Latin-1",
		"a: b\nc: d\xE9"
		"e\n",
		0, 2, 5, "0xE9", "as UTF-8" },
	{ "a bad byte behind characters of several bytes", "\xC3\xA9\xC3\xA9: \xFF", 0, 1, 5,
		"0xFF", "as UTF-8" },
	{ "a surrogate", "a: \xED\xA0\x80", 0, 1, 4, "0xED", "as UTF-8" },
	{ "UTF-16, little end first",
		"\xFF\xFE"
		"a\0:\0",
		6, 0, 0, "UTF-16", "as UTF-8" },
	{ "UTF-16, big end first", "\xFE\xFF\0a\0:", 6, 0, 0, "UTF-16", "as UTF-8" },
	{ "UTF-16 without a mark", "a\0:\0 \0b\0", 8, 0, 0, "UTF-16", "as UTF-8" },
	{ "UTF-16 without a mark, big end first", "\0a\0:\0 \0b", 8, 0, 0, "UTF-16", "as UTF-8" },
	{ "NUL", "a: b\nc: \0d\n", 11, 2, 4, "NUL byte", "text file" },
	{ "an escaped NUL", "a: \"b\\0c\"\n", 0, 1, 4, "NUL character", NULL },
	{ "a control character", "a: b\nc: d\x07", 0, 2, 5, "U+0007", "delete" },
	{ "a C1 control character", "a: \xC2\x9F", 0, 1, 4, "U+009F", NULL },
	{ "a second byte order mark", "a: b\xEF\xBB\xBF", 0, 1, 5, "U+FEFF", NULL },
	{ "a line separator", "a: b\xE2\x80\xA8", 0, 1, 5, "U+2028", "a space" },
	{ "a lone carriage return", "a: b\rc: d\n", 0, 1, 5, "carriage return", "line ends" },
	{ "two documents", "a: b\n---\nc: d\n", 0, 2, 1, "second document", "---" },
	{ "an anchor", "a: &x b\n", 0, 1, 4, "anchor \"x\"", "value" },
	{ "an anchor on a list", "a: &x [b]\n", 0, 1, 4, "anchor \"x\"", NULL },
	{ "an anchor on a map", "a: &x {b: c}\n", 0, 1, 4, "anchor \"x\"", NULL },
	{ "an alias", "a: *x\n", 0, 1, 4, "alias \"x\"", "value" },
	{ "a tag", "a: !!str b\n", 0, 1, 4, "tag \"tag:yaml.org,2002:str\"", "quotes" },
	{ "a tag on a list", "a: !x [b]\n", 0, 1, 4, "tag \"!x\"", NULL },
	{ "a key given twice", "a: b\nc: d\na: e\n", 0, 3, 1,
		"\"a\" is given twice, first in line 1", "keep one" },
	{ "a key given twice in a flow map", "a: {b: 1, b: 2}\n", 0, 1, 11, "\"b\" is given twice",
		NULL },
	{ "a key that is a list", "? [a]\n: b\n", 0, 1, 3, "key", NULL },
	{ "a tab for indentation", "a:\n\tb: c\n", 0, 2, 1, "a tab is", "spaces" },
	{ "a tab among spaces", "a:\n  - b: c\n\td: e\n", 0, 3, 1, "a tab is", "spaces" },
	{ "a character with a meaning", "a: @b\n", 0, 1, 4, "YAML: a text cannot", "quotes" },
	{ "a colon in a text", "a: b: c\n", 0, 1, 5, "YAML: a colon is", "quotes" },
	{ "a brace that is not closed", "a:\n  {b: c\nd: e\n", 0, 3, 2, "YAML: a comma or '}'",
		"the '{' of line 2" },
	{ "a bracket that is not closed", "a: [b, c\nd: e\n", 0, 2, 2, "YAML: a comma or ']'",
		"the '[' of line 1" },
	{ "a quote that is not closed", "a: \"b\n", 0, 2, 1, "YAML: the file ends",
		"the quote of line 1" },
	{ "a quote that the document's end cuts", "a: \"b\n---\nc: d\n", 0, 2, 1,
		"YAML: the document ends", "the quote of line 1" },
	{ "an item too far left", "a:\n    - b\n  - c\n", 0, 3, 3, "YAML: a key", "indentation" },
	{ "a surrogate escape", "a: \"\\uD800\"\n", 0, 1, 7, "YAML", NULL },
	{ "deep nesting", "[[[[[[[[[[[[[[[[[a]]]]]]]]]]]]]]]]]", 0, 1, 17, "16 deep", NULL },
};

static void test_refusals(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++) {
		const struct refusal *refusal = &refusals[i];
		struct reading reading;
		read_bytes(&reading, refusal->text,
			refusal->length ? refusal->length : strlen(refusal->text));
		if (reading.ok || !reading.diags.count)
			fail_msg("%s was read", refusal->what);
		const struct lt_diag *diag = &reading.diags.items[0];
		const char *hint = diag->hint ? diag->hint : "";
		if (diag->severity != LT_ERROR || !strstr(diag->message, refusal->message) ||
			(refusal->hint && !strstr(hint, refusal->hint)) ||
			diag->place.line != refusal->line || diag->place.column != refusal->column)
			fail_msg("%s: %u:%u: %s (%s)", refusal->what, diag->place.line,
				diag->place.column, diag->message, hint);
		assert_string_equal(diag->place.file, "a.yaml");
		finish(&reading);
	}
}

static void test_every_fault_in_one_run(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, "a: &x 1\n"
			    "a: 2\n"
			    "b: !y 3\n"
			    "? {c: d}\n"
			    ": 4\n"
			    "e: 5\n");
	assert_false(reading.ok);
	assert_int_equal(reading.diags.errors, 4);
	assert_place(reading.diags.items[0].place, 1, 4);
	assert_place(reading.diags.items[1].place, 2, 1);
	assert_place(reading.diags.items[2].place, 3, 4);
	assert_place(reading.diags.items[3].place, 4, 3);
	/* The tree is whole, with the first of the two. */
	assert_int_equal(reading.root.count, 3);
	assert_string_equal(lt_node_get(&reading.root, "a")->text, "1");
	assert_string_equal(lt_node_get(&reading.root, "e")->text, "5");
	finish(&reading);
}

static void test_no_tree_after_errors_that_end_reading(void **state)
{
	(void)state;
	static const char *const texts[] = { "a: b\nc: [\n", "a: &x b\nc: *x\n" };
	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
		struct reading reading;
		read_text(&reading, texts[i]);
		assert_false(reading.ok);
		assert_int_equal(reading.root.kind, LT_SCALAR);
		assert_null(reading.root.text);
		finish(&reading);
	}
}

static void test_sixteen_deep_is_read(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, "[[[[[[[[[[[[[[[[a]]]]]]]]]]]]]]]]");
	assert_true(reading.ok);
	finish(&reading);
}

static double seconds_since(clock_t start)
{
	return (double)(clock() - start) / CLOCKS_PER_SEC;
}

/* What a hostile file may hold, each with the time it is allowed under sanitizers. */
static void test_hostile_files_end_soon(void **state)
{
	(void)state;
	static const struct {
		const char *unit;
		size_t times;
		const char *message;
	} hostile[] = {
		{ "[", 80000, "16 deep" },
		{ "[\n", 80000, "16 deep" },
		{ "{a: ", 80000, "16 deep" },
		{ "- ", 80000, "16 deep" },
		{ "? ", 80000, "16 deep" },
		{ "}", 80000, "YAML" },
		{ "a ", 500000, "" },
		{ "'", 80001, "YAML" },
		{ "\\", 80000, "" },
		{ "- a\n", 20000, "" },
		{ "a: &b c\n", 20000, "anchor" },
	};
	for (size_t i = 0; i < sizeof hostile / sizeof *hostile; i++) {
		struct lt_text text = { 0 };
		for (size_t j = 0; j < hostile[i].times; j++)
			lt_text_add(&text, hostile[i].unit);
		struct reading reading;
		clock_t start = clock();
		read_bytes(&reading, text.bytes, text.length);
		double seconds = seconds_since(start);
		if (seconds > 0.9)
			fail_msg("\"%s\" took %.2f s", hostile[i].unit, seconds);
		const char *message = reading.diags.count ? reading.diags.items[0].message : "";
		if (!strstr(message, hostile[i].message))
			fail_msg("\"%s\": %s", hostile[i].unit, message);
		finish(&reading);
		lt_text_finish(&text);
	}
}

static void test_too_many_values(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	lt_text_add(&text, "[");
	for (unsigned i = 0; i < LT_YAML_NODES; i++)
		lt_text_add(&text, "a,");
	lt_text_add(&text, "]");
	struct reading reading;
	read_bytes(&reading, text.bytes, text.length);
	assert_false(reading.ok);
	assert_non_null(strstr(reading.diags.items[0].message, "2000000"));
	finish(&reading);
	lt_text_finish(&text);
}

static void test_only_known_keys(void **state)
{
	(void)state;
	static const char *const known[] = { "name", "place", "fate" };
	struct reading reading;
	read_text(&reading, "name: a\nplaec: b\ncolour: c\n");
	assert_true(reading.ok);
	assert_false(lt_node_only(&reading.root, known, 3, "a component", &reading.diags));
	assert_int_equal(reading.diags.errors, 2);
	assert_place(reading.diags.items[0].place, 2, 1);
	assert_non_null(strstr(reading.diags.items[0].message, "\"plaec\" in a component"));
	assert_non_null(strstr(reading.diags.items[0].hint, "did you mean \"place\"?"));
	assert_place(reading.diags.items[1].place, 3, 1);
	assert_non_null(strstr(reading.diags.items[1].hint, "name, place, fate"));
	assert_true(lt_node_only(lt_node_get(&reading.root, "name"), known, 3, "", NULL));
	finish(&reading);
	read_text(&reading, "{name: top arm, north end}");
	assert_false(lt_node_only(&reading.root, known, 3, "a component", &reading.diags));
	assert_non_null(strstr(reading.diags.items[0].hint, "in quotes"));
	finish(&reading);
}

static void test_quote(void **state)
{
	(void)state;
	char out[LT_QUOTE_SIZE];
	assert_string_equal(lt_quote(out, "M7"), "\"M7\"");
	struct lt_text text = { 0 };
	for (int i = 0; i < 60; i++)
		lt_text_add(&text, "\xF0\x9F\x94\xA7");
	assert_int_equal(strlen(lt_quote(out, text.bytes)), 242);
	lt_text_add(&text, "x");
	assert_int_equal(strlen(lt_quote(out, text.bytes)), 245);
	assert_string_equal(out + 241, "…\"");
	lt_text_finish(&text);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_tree_and_places),
		cmocka_unit_test(test_byte_order_mark_is_skipped),
		cmocka_unit_test(test_refusals),
		cmocka_unit_test(test_every_fault_in_one_run),
		cmocka_unit_test(test_no_tree_after_errors_that_end_reading),
		cmocka_unit_test(test_sixteen_deep_is_read),
		cmocka_unit_test(test_hostile_files_end_soon),
		cmocka_unit_test(test_too_many_values),
		cmocka_unit_test(test_only_known_keys),
		cmocka_unit_test(test_quote),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
