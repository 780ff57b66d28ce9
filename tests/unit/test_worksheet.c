/* The fill-in worksheet, measured on a canvas that records. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fixture.h"
#include "loomtag/checklist.h"
#include "loomtag/words.h"
#include "record_canvas.h"

#define MARGIN_LEAST 12.0
#define ROW_LEAST 11.0

static char *blank(size_t count)
{
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml, "harness: QK7M2\nconnectors:\n");
	for (size_t i = 1; i <= count; i++)
		lt_text_printf(&yaml, "  - id: X%zu\n", i);
	return yaml.bytes;
}

static void draw(struct record *record, struct fixture *fixture, enum lt_paper paper)
{
	struct lt_checklist_options options = LT_CHECKLIST_OPTIONS_INIT;
	struct lt_measure measure = record_measure();
	struct lt_canvas canvas = record_canvas(record, measure);
	options.paper = paper;
	assert_true(lt_worksheet_draw(&canvas, &fixture->tags, &options, &measure,
		&fixture->diags));
	assert_int_equal(fixture->diags.errors, 0);
	assert_int_equal(record_outside(record, MARGIN_LEAST), 0);
	assert_int_equal(record_clashes(record), 0);
	/* NUREG-0700 11.4.1.5-1, at 500 mm. */
	assert_int_equal(record_too_small(record, lt_height_least(500), 6), 0);
	assert_int_equal(record_coloured(record), 0);
	for (size_t i = 0; i < record->page_count; i++) {
		char line[64];
		snprintf(line, sizeof line, "page %zu of %zu", i + 1, record->page_count);
		size_t found = record_find(record, 0, line);
		assert_true(found < record->count);
		assert_int_equal(record->items[found].page, i);
	}
	assert_int_equal(record_count_text(record, lt_worksheet_words.machine), record->page_count);
	assert_int_equal(record_count_text(record, lt_worksheet_words.technician),
		record->page_count);
}

/* All that is written, a space between. */
static char *all_text(const struct record *record)
{
	struct lt_text text = { 0 };
	for (size_t i = 0; i < record->count; i++)
		if (record->items[i].kind == RECORD_TEXT)
			lt_text_printf(&text, "%s ", record->items[i].text);
	return text.bytes;
}

/* Lines of the page may break it. */
static void assert_holds(const char *text, const char *paragraph)
{
	struct lt_text all = { 0 };
	for (; *text != '\0'; text++)
		if (*text != ' ')
			lt_text_add_char(&all, *text);
	struct lt_text wanted = { 0 };
	for (; *paragraph != '\0'; paragraph++)
		if (*paragraph != ' ')
			lt_text_add_char(&wanted, *paragraph);
	assert_non_null(strstr(lt_text_string(&all), lt_text_string(&wanted)));
	lt_text_finish(&all);
	lt_text_finish(&wanted);
}

/* The cell of a tag: between the rules that reach across the page above and below it. */
static double row_height(const struct record *record, const struct record_item *tag)
{
	double above = -1, below = 1e9;
	const struct record_page *page = &record->pages[tag->page];
	for (size_t i = page->first; i < page->first + page->count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind != RECORD_LINE || item->right - item->left < page->width / 2)
			continue;
		double y = (item->top + item->bottom) / 2;
		if (y <= tag->baseline - tag->capital && y > above)
			above = y;
		if (y >= tag->baseline && y < below)
			below = y;
	}
	return below - above;
}

static void every_number_has_a_row_to_write_in(void **state)
{
	(void)state;
	static const size_t counts[] = { 1, 6, 14, 300 };
	for (size_t c = 0; c < sizeof counts / sizeof counts[0]; c++) {
		struct fixture fixture;
		struct record record;
		char *yaml = blank(counts[c]);
		fixture_read(&fixture, "work/QK7M2.yaml", yaml);
		draw(&record, &fixture, c % 2 == 0 ? LT_PAPER_A4 : LT_PAPER_LETTER);
		for (size_t i = 0; i < counts[c]; i++) {
			char tag[LT_TAG_SIZE];
			lt_tag_write(tag, fixture.tags.number_of[i], LT_SIDE_M);
			assert_int_equal(record_count_text(&record, tag), 1);
			lt_tag_write(tag, fixture.tags.number_of[i], LT_SIDE_H);
			assert_int_equal(record_count_text(&record, tag), 1);
			const struct record_item *item =
				&record.items[record_find(&record, 0, tag)];
			assert_true(item->capital >= 5.0 - 1e-9);
			double height = row_height(&record, item);
			assert_true(height >= ROW_LEAST && height < 40);
			assert_int_equal(record_count_text(&record,
						 fixture.harness.connectors[i].id),
				1);
		}
		record_free(&record);
		fixture_finish(&fixture);
		free(yaml);
	}
}

/* Frames of boxes to tick: squares with a side of 5 to 10 mm. */
static size_t count_boxes(const struct record *record)
{
	size_t count = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		const double width = item->right - item->left, height = item->bottom - item->top;
		count += item->kind == RECORD_FRAME && width >= 5 && width <= 10 &&
			 fabs(width - height) < 0.01;
	}
	return count;
}

static void every_joint_has_three_boxes(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	char *yaml = blank(14);
	fixture_read(&fixture, "work/QK7M2.yaml", yaml);
	draw(&record, &fixture, LT_PAPER_A4);
	assert_int_equal(count_boxes(&record), 3 * 14);
	char *text = all_text(&record);
	assert_holds(text, lt_worksheet_words.stickers_on);
	assert_holds(text, lt_worksheet_words.unplugged);
	assert_int_equal(record_count_text(&record, lt_worksheet_words.made), record.page_count);
	free(text);
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
}

/* What quick writes is its own unit: nothing is left to write it on. */
static void a_unit_is_asked_for_only_where_there_can_be_one(void **state)
{
	(void)state;
	for (int own = 0; own < 2; own++) {
		struct fixture fixture;
		struct record record;
		fixture_read(&fixture, "u.yaml",
			own ? "harness: QK7M2\nunit: own\nconnectors: [{id: T1}]\n"
			    : "harness: QK7M2\nconnectors: [{id: T1}]\n");
		draw(&record, &fixture, LT_PAPER_A4);
		assert_int_equal(record_count_text(&record, lt_page_words.unit), !own);
		record_free(&record);
		fixture_finish(&fixture);
	}
}

static void six_plugs_are_one_page(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	char *yaml = blank(6);
	fixture_read(&fixture, "work/QK7M2.yaml", yaml);
	for (int paper = LT_PAPER_A4; paper <= LT_PAPER_LETTER; paper++) {
		draw(&record, &fixture, (enum lt_paper)paper);
		assert_int_equal(record.page_count, 1);
		record_free(&record);
	}
	fixture_finish(&fixture);
	free(yaml);
}

static void it_lists_unused_numbers_and_the_next_steps(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	char *yaml = blank(14);
	fixture_read(&fixture, "work/QK7M2.yaml", yaml);
	draw(&record, &fixture, LT_PAPER_A4);
	char *text = all_text(&record);
	struct lt_passed_over passed[8];
	size_t count = lt_tags_passed_over(&fixture.tags, passed, 8);
	assert_true(count > 0 && count <= 8);
	for (size_t i = 0; i < count; i++) {
		char start[32];
		snprintf(start, sizeof start, " %u (", passed[i].number);
		assert_non_null(strstr(text, start));
	}
	/* 6 can be read as 5: the first number that is left out when all may be alike. */
	assert_int_equal(passed[0].number, 6);
	assert_non_null(strstr(text, "6 (can be read as 5)"));
	assert_non_null(strstr(text, "QK7M2.yaml"));
	assert_null(strstr(text, "work/"));
	assert_holds(text, lt_legend_words.sides);
	assert_non_null(strstr(text, "loomtag verify QK7M2.yaml --stage reconnect"));
	assert_holds(text, lt_caution_work);
	assert_holds(text, lt_caution_scan);
	assert_holds(text, lt_worksheet_words.order);
	/* IEC 60757, for writing the colours. */
	assert_non_null(strstr(text, "BK black, BN brown"));
	assert_non_null(strstr(text, "GNYE green-and-yellow"));
	free(text);
	record_free(&record);
	fixture_finish(&fixture);
	free(yaml);
}

static void known_facts_are_filled_in(void **state)
{
	(void)state;
	struct fixture fixture;
	struct record record;
	struct lt_text yaml = { 0 };
	lt_text_add(&yaml,
		"harness: QK8\ncomponents: [{id: M1, name: crane motor}]\nconnectors:\n"
		"  - {id: X1, name: brake, mates: M1, place: top, wires: {1: BN}, note: hot}\n"
		"  - {id: X2, sides: 1}\n"
		"  - {id: X3, tag: none, name: cover}\n"
		"  - {id: X4, note: \"");
	for (int i = 0; i < 80; i++)
		lt_text_add(&yaml, i < 30 ? "unbroken" : "word ");
	lt_text_add(&yaml, "\"}\n");
	fixture_read(&fixture, NULL, lt_text_string(&yaml));
	draw(&record, &fixture, LT_PAPER_LETTER);
	static const char *const known[] = { "X1: brake", "crane motor", "top; hot", "1 BN",
		"by eye", "X3: cover" };
	for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
		assert_int_equal(record_count_text(&record, known[i]), 1);
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, fixture.tags.number_of[1], LT_SIDE_H);
	assert_int_equal(record_count_text(&record, tag), 1);
	lt_tag_write(tag, fixture.tags.number_of[1], LT_SIDE_M);
	assert_int_equal(record_count_text(&record, tag), 0);
	record_free(&record);
	fixture_finish(&fixture);
	lt_text_finish(&yaml);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_number_has_a_row_to_write_in),
		cmocka_unit_test(six_plugs_are_one_page),
		cmocka_unit_test(every_joint_has_three_boxes),
		cmocka_unit_test(a_unit_is_asked_for_only_where_there_can_be_one),
		cmocka_unit_test(it_lists_unused_numbers_and_the_next_steps),
		cmocka_unit_test(known_facts_are_filled_in),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
