/* The file of an unfinished print: written, read back, errors in it, its stickers found. */
#include "unit.h"

#include <stdio.h>
#include <string.h>

#include "folder.h"
#include "print/unfinished.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define GOOD \
	"print: \"SBG7\"\nprinter: \"ipp://roll/ipp/print\"\nlayout: \"roll-54x25\"\ncounted: 2\n" \
	"stickers:\n  - 1H\n  - 2H\n  - 2M\n"

static bool read_text(struct lt_unfinished *out, const char *text, struct lt_diags *diags)
{
	lt_diags_init(diags);
	return lt_unfinished_read(out, "a.print", text, strlen(text), diags);
}

static void test_reads(void **state)
{
	(void)state;
	struct lt_unfinished left;
	struct lt_diags diags;
	assert_true(read_text(&left, GOOD, &diags));
	assert_int_equal(diags.count, 0);
	assert_string_equal(left.code, "SBG7");
	assert_string_equal(left.printer, "ipp://roll/ipp/print");
	assert_string_equal(left.layout, "roll-54x25");
	assert_int_equal(left.counted, 2);
	assert_int_equal(left.count, 3);
	assert_int_equal(left.tags[0].number, 1);
	assert_int_equal(left.tags[0].side, LT_SIDE_H);
	assert_int_equal(left.tags[2].number, 2);
	assert_int_equal(left.tags[2].side, LT_SIDE_M);
	lt_unfinished_finish(&left);
	lt_unfinished_finish(&left);
	lt_unfinished_finish(NULL);
	lt_diags_finish(&diags);
}

static void test_faults(void **state)
{
	(void)state;
	static const struct {
		const char *text;
		unsigned line;
		const char *words;
	} rows[] = {
		{ "", 1, "" },
		{ "- 1H\n", 1, "file of an unfinished print" },
		{ "counted", 1, "file of an unfinished print" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\n", 1, "list \"stickers\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers: []\n", 1,
			"list \"stickers\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers: 1H\n", 1,
			"list \"stickers\"" },
		{ "printer: b\nlayout: c\ncounted: 0\nstickers: [1H]\n", 1, "\"print\"" },
		{ "print: A\nlayout: c\ncounted: 0\nstickers: [1H]\n", 1, "\"printer\"" },
		{ "print: A\nprinter: \"\"\nlayout: c\ncounted: 0\nstickers: [1H]\n", 2,
			"\"printer\"" },
		{ "print: A\nprinter: b\nlayout: [c]\ncounted: 0\nstickers: [1H]\n", 3,
			"\"layout\"" },
		{ "print: A\nprinter: b\nlayout: c\nstickers: [1H]\n", 1, "\"counted\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 2\nstickers: [1H]\n", 4,
			"to 1, not \"2\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: -1\nstickers: [1H]\n", 4,
			"to 1, not \"-1\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: x\nstickers: [1H]\n", 4,
			"to 1, not \"x\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 99999999999999999999\nstickers: "
		  "[1H]\n",
			4, "to 1, not \"9999" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers:\n  - 1H\n  - 1\n", 7,
			"\"1\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers:\n  - 1H 2M\n", 6,
			"\"1H 2M\"" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers:\n  - [1H]\n", 6,
			"each item" },
		{ "print: A\nprinter: b\nlayout: c\ncounted: 0\nstickers: [1H]\nmore: 1\n", 6,
			"more" },
		{ "print: A\nprint: B\n", 2, "print" },
		{ "print: \"A\n", 1, "" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct lt_unfinished left;
		struct lt_diags diags;
		bool good = read_text(&left, rows[i].text, &diags);
		if (good || diags.errors == 0)
			fail_msg("row %zu is taken:\n%s", i, rows[i].text);
		const struct lt_diag *first = &diags.items[0];
		if (strstr(first->message, rows[i].words) == NULL)
			fail_msg("row %zu: \"%s\" not in \"%s\"", i, rows[i].words, first->message);
		assert_string_equal(first->place.file, "a.print");
		if (rows[i].words[0] != '\0') {
			assert_int_equal(first->place.line, rows[i].line);
			assert_non_null(first->hint);
		}
		lt_unfinished_finish(&left);
		lt_diags_finish(&diags);
	}
}

/* Whatever a printer or a layout is called comes back. */
static void test_round_trip(void **state)
{
	(void)state;
	static const struct {
		const char *printer, *back;
	} rows[] = {
		{ "roll", "roll" },
		{ "Büro \"2\"", "Büro \"2\"" },
		{ "C:\\x\\n", "C:\\x\\n" },
		{ "a: b # c", "a: b # c" },
		{ " - ", " - " },
		{ "two\nlines\t\x01\x7f", "two\nlines\t\x01\x7f" },
		{ "\xc2\x85\xe2\x80\xa8\xef\xbb\xbf", "\xc2\x85\xe2\x80\xa8\xef\xbb\xbf" },
		{ "\xf0\x9f\x8f\xb7", "\xf0\x9f\x8f\xb7" },
		{ "latin \xe9.yaml", "latin \xef\xbf\xbd.yaml" },
	};
	struct lt_unfinished_tag tags[] = { { 1, LT_SIDE_H }, { 9999, LT_SIDE_M } };
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct lt_unfinished left = { .code = "SBG7",
			.printer = rows[i].printer,
			.layout = rows[i].printer,
			.counted = 1,
			.tags = tags,
			.count = 2 };
		struct lt_text text = { 0 };
		struct lt_unfinished again;
		struct lt_diags diags;
		lt_unfinished_write(&text, &left);
		if (!read_text(&again, lt_text_string(&text), &diags))
			fail_msg("row %zu is not read back:\n%s%s", i, lt_text_string(&text),
				diags.items[0].message);
		assert_string_equal(again.printer, rows[i].back);
		assert_string_equal(again.layout, rows[i].back);
		assert_int_equal(again.count, 2);
		assert_int_equal(again.counted, 1);
		assert_int_equal(again.tags[1].number, 9999);
		assert_int_equal(again.tags[1].side, LT_SIDE_M);
		lt_unfinished_finish(&again);
		lt_diags_finish(&diags);
		lt_text_finish(&text);
	}
}

static void test_files(void **state)
{
	(void)state;
	struct lt_unfinished left;
	struct lt_diags diags;
	lt_diags_init(&diags);
	assert_true(lt_unfinished_read_file(&left, "none.print", &diags));
	assert_null(left.code);
	assert_int_equal(diags.count, 0);
	lt_unfinished_finish(&left);
	write_plain("some.print", GOOD);
	assert_true(lt_unfinished_read_file(&left, "some.print", &diags));
	assert_non_null(left.code);
	assert_int_equal(left.count, 3);
	lt_unfinished_finish(&left);
	write_plain("bad.print", "stickers\n");
	assert_false(lt_unfinished_read_file(&left, "bad.print", &diags));
	assert_string_equal(diags.items[0].place.file, "bad.print");
	lt_unfinished_finish(&left);
	lt_diags_finish(&diags);
}

static void test_tags(void **state)
{
	(void)state;
	struct lt_unfinished_tag tag;
	assert_true(lt_unfinished_tag_read(&tag, "12m"));
	assert_int_equal(tag.number, 12);
	assert_int_equal(tag.side, LT_SIDE_M);
	static const char *const wrong[] = { "", "-", "M", "12", "12Z", "0H", "12M x", "12M 13M",
		"M12", "99999999999H", "1.2H" };
	for (size_t i = 0; i < COUNT(wrong); i++)
		if (lt_unfinished_tag_read(&tag, wrong[i]))
			fail_msg("\"%s\" is read as %u", wrong[i], tag.number);
}

/* Two copies of 1H 1M 2H 2M; of a tag that stands twice the one by the printer's count is meant. */
static void test_find(void **state)
{
	(void)state;
	struct lt_unfinished_tag tags[8];
	for (unsigned i = 0; i < 8; i++)
		tags[i] = (struct lt_unfinished_tag){ i % 4 / 2 + 1,
			i % 2 == 0 ? LT_SIDE_H : LT_SIDE_M };
	struct lt_unfinished left = { .tags = tags, .count = 8 };
	const struct lt_unfinished_tag first = { 1, LT_SIDE_H };
	const struct lt_unfinished_tag last = { 2, LT_SIDE_M };
	const struct lt_unfinished_tag none = { 3, LT_SIDE_H };
	static const struct {
		size_t counted, first_next, first_out, last_next, last_out;
	} rows[] = {
		{ 0, 0, 0, 3, 3 },
		{ 1, 0, 0, 3, 3 },
		{ 3, 4, 0, 3, 3 },
		{ 4, 4, 4, 3, 3 },
		{ 5, 4, 4, 3, 3 },
		{ 6, 4, 4, 7, 3 },
		{ 8, 4, 4, 7, 7 },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		left.counted = rows[i].counted;
		assert_int_equal(lt_unfinished_find(&left, &first, false), rows[i].first_next);
		assert_int_equal(lt_unfinished_find(&left, &first, true), rows[i].first_out);
		assert_int_equal(lt_unfinished_find(&left, &last, false), rows[i].last_next);
		assert_int_equal(lt_unfinished_find(&left, &last, true), rows[i].last_out);
		assert_int_equal(lt_unfinished_find(&left, &none, false), 8);
		assert_int_equal(lt_unfinished_find(&left, &none, true), 8);
	}
	left.count = 0;
	assert_int_equal(lt_unfinished_find(&left, &first, true), 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reads),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_round_trip),
		cmocka_unit_test(test_files),
		cmocka_unit_test(test_tags),
		cmocka_unit_test(test_find),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
