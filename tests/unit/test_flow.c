/* Page flow: which block comes on which page, and how text is broken. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "page/marks.h"
#include "record_canvas.h"

/* A page of 100 x 100 mm whose blocks have 80 x 70. */
#define MARGIN 10
#define HEAD 10

static const struct lt_type type = { LT_TYPEFACE_REGULAR, 3, 4, 0 };

struct paper {
	struct lt_measure measure;
	struct lt_flow flow;
	struct record record;
	struct lt_diags diags;
};

static void set_up(struct paper *paper)
{
	*paper = (struct paper){ .measure = record_measure() };
	lt_diags_init(&paper->diags);
	lt_flow_init(&paper->flow, &paper->measure, 100, 100, MARGIN, HEAD);
}

static void tear_down(struct paper *paper)
{
	record_free(&paper->record);
	lt_flow_finish(&paper->flow);
	lt_diags_finish(&paper->diags);
}

static void add(struct paper *paper, const char *name, double height,
	struct lt_flow_options options)
{
	lt_flow_begin(&paper->flow, options);
	lt_flow_line(&paper->flow, 0, 3, &type, name);
	lt_flow_end(&paper->flow, height);
}

static void head(struct lt_flow *flow, size_t page, const char *title, void *data)
{
	(void)data;
	lt_flow_line(flow, 0, 3, &type,
		lt_arena_printf(&flow->arena, "%s %zu/%zu", title != NULL ? title : "-", page,
			flow->page_count));
}

static void draw(struct paper *paper)
{
	struct lt_canvas canvas = record_canvas(&paper->record, paper->measure);
	assert_true(lt_flow_draw(&paper->flow, &canvas, head, NULL, &paper->diags));
}

/* The page, from 1, that a text is on; 0 for none. */
static size_t page_of(const struct paper *paper, const char *text)
{
	size_t found = record_find(&paper->record, 0, text);
	return found < paper->record.count ? paper->record.items[found].page + 1 : 0;
}

static double top_of(const struct paper *paper, const char *text)
{
	size_t found = record_find(&paper->record, 0, text);
	assert_true(found < paper->record.count);
	return paper->record.items[found].baseline - 3 - MARGIN - HEAD;
}

#define PLAIN ((struct lt_flow_options){ 0 })

static void blocks_fill_pages(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	add(&paper, "a", 30, (struct lt_flow_options){ .gap = 5, .title = "first" });
	add(&paper, "b", 35, (struct lt_flow_options){ .gap = 5 });
	add(&paper, "c", 1, PLAIN);
	add(&paper, "d", 10,
		(struct lt_flow_options){ .new_page = true, .gap = 5, .title = "second" });
	draw(&paper);
	assert_int_equal(paper.record.page_count, 3);
	assert_int_equal(page_of(&paper, "a"), 1);
	assert_float_equal(top_of(&paper, "a"), 0, 1e-9); /* no gap at the top of a page */
	assert_int_equal(page_of(&paper, "b"), 1);
	assert_float_equal(top_of(&paper, "b"), 35, 1e-9);
	assert_int_equal(page_of(&paper, "c"), 2);
	assert_int_equal(page_of(&paper, "d"), 3);
	assert_float_equal(top_of(&paper, "d"), 0, 1e-9);
	assert_int_equal(page_of(&paper, "first 1/3"), 1);
	assert_int_equal(page_of(&paper, "first 2/3"), 2);
	assert_int_equal(page_of(&paper, "second 3/3"), 3);
	tear_down(&paper);
}

static void a_kept_block_moves_with_the_next(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	add(&paper, "a", 50, PLAIN);
	add(&paper, "title", 5, (struct lt_flow_options){ .keep = true });
	add(&paper, "intro", 5, (struct lt_flow_options){ .keep = true });
	add(&paper, "b", 11, PLAIN);
	draw(&paper);
	assert_int_equal(page_of(&paper, "title"), 2);
	assert_int_equal(page_of(&paper, "intro"), 2);
	assert_int_equal(page_of(&paper, "b"), 2);
	assert_float_equal(top_of(&paper, "b"), 10, 1e-9);
	tear_down(&paper);
}

static void heads_of_columns_are_repeated(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	add(&paper, "columns", 10, (struct lt_flow_options){ .repeats = true, .keep = true });
	add(&paper, "a", 50, PLAIN);
	add(&paper, "b", 50, PLAIN);
	add(&paper, "c", 30, (struct lt_flow_options){ .ends_repeat = true });
	draw(&paper);
	assert_int_equal(paper.record.page_count, 3);
	assert_int_equal(record_count_text(&paper.record, "columns"), 2);
	assert_int_equal(page_of(&paper, "b"), 2);
	assert_float_equal(top_of(&paper, "b"), 10, 1e-9);
	assert_int_equal(page_of(&paper, "c"), 3);
	assert_float_equal(top_of(&paper, "c"), 0, 1e-9);
	tear_down(&paper);
}

static void heads_below_heads_are_repeated(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	const struct lt_flow_options under = { .repeats = true, .under = true, .keep = true };
	add(&paper, "columns", 10, (struct lt_flow_options){ .repeats = true, .keep = true });
	add(&paper, "left", 5, under);
	add(&paper, "a", 50, PLAIN);
	add(&paper, "b", 50, PLAIN);
	add(&paper, "right", 5, under);
	add(&paper, "c", 30, PLAIN);
	add(&paper, "d", 30, (struct lt_flow_options){ .ends_repeat = true });
	draw(&paper);
	assert_int_equal(paper.record.page_count, 4);
	assert_int_equal(record_count_text(&paper.record, "columns"), 3);
	/* Not where the one that comes after it begins the page. */
	assert_int_equal(record_count_text(&paper.record, "left"), 2);
	assert_int_equal(record_count_text(&paper.record, "right"), 1);
	assert_int_equal(page_of(&paper, "b"), 2);
	assert_float_equal(top_of(&paper, "b"), 15, 1e-9);
	assert_int_equal(page_of(&paper, "c"), 3);
	assert_float_equal(top_of(&paper, "c"), 15, 1e-9);
	tear_down(&paper);
}

/* Another document's page, with a part of it for this one. */
static void pages_are_drawn_at_a_given_place(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	add(&paper, "a", 50, PLAIN);
	add(&paper, "b", 50, PLAIN);
	lt_flow_lay(&paper.flow);
	assert_int_equal(paper.flow.page_count, 2);
	struct lt_canvas canvas = record_canvas(&paper.record, paper.measure);
	canvas.begin_page(canvas.data, 300, 200);
	lt_flow_draw_page(&paper.flow, &canvas, 1, 120, 40);
	lt_flow_draw_page(&paper.flow, &canvas, 0, 20, 40);
	assert_int_equal(paper.record.count, 2);
	assert_string_equal(paper.record.items[0].text, "b");
	assert_float_equal(paper.record.items[0].left, 120, 1e-9);
	assert_float_equal(paper.record.items[0].baseline, 43, 1e-9);
	assert_string_equal(paper.record.items[1].text, "a");
	assert_float_equal(paper.record.items[1].left, 20, 1e-9);
	lt_flow_draw_page(&paper.flow, &canvas, 2, 20, 40);
	assert_int_equal(paper.record.count, 2);
	tear_down(&paper);
}

/* A block of many lines beside one of a few: broken between lines, none lost, none doubled. */
static void blocks_higher_than_a_page_are_broken(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	add(&paper, "before", 10, PLAIN);
	add(&paper, "title", 10, (struct lt_flow_options){ .keep = true });
	lt_flow_begin(&paper.flow, PLAIN);
	struct lt_text words = { 0 };
	for (int i = 0; i < 60; i++)
		lt_text_printf(&words, "word%02d ", i);
	struct lt_flow_mark end =
		lt_flow_paragraph(&paper.flow, 20, 0, 20, &type, lt_text_string(&words));
	assert_float_equal(end.y, 240, 1e-6);
	lt_flow_line(&paper.flow, 0, 3, &type, "label");
	lt_flow_end(&paper.flow, end.y);
	add(&paper, "after", 10, PLAIN);
	draw(&paper);
	assert_int_equal(record_outside(&paper.record, MARGIN), 0);
	assert_int_equal(record_clashes(&paper.record), 0);
	assert_int_equal(page_of(&paper, "title"), 2);
	assert_int_equal(page_of(&paper, "label"), 2);
	size_t page = 0;
	for (int i = 0; i < 60; i++) {
		char word[16];
		snprintf(word, sizeof word, "word%02d", i);
		assert_int_equal(record_count_text(&paper.record, word), 1);
		assert_true(page_of(&paper, word) >= page);
		page = page_of(&paper, word);
	}
	/* 60 lines of 4 mm under a title of 10 mm, on pages of 70 mm: 15 lines, then 17, 17, 11. */
	assert_int_equal(page, 5);
	assert_int_equal(page_of(&paper, "word14"), 2);
	assert_int_equal(page_of(&paper, "word15"), 3);
	assert_int_equal(page_of(&paper, "after"), 5);
	/* The first line on a page is at its top without the half of its leading. */
	assert_float_equal(top_of(&paper, "after"), 44, 0.5);
	lt_text_finish(&words);
	tear_down(&paper);
}

static void words_too_wide_are_broken(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	lt_flow_begin(&paper.flow, PLAIN);
	/* 1.8 mm a letter and 20 mm: 11 letters a line; the accent stays on its letter. */
	lt_flow_paragraph(&paper.flow, 0, 0, 20, &type, "  ab  abcdefghijke\xcc\x81xyz end ");
	lt_flow_end(&paper.flow, 0);
	draw(&paper);
	assert_int_equal(record_count_text(&paper.record, "ab"), 1);
	assert_int_equal(record_count_text(&paper.record, "abcdefghijk"), 1);
	assert_int_equal(record_count_text(&paper.record, "e\xcc\x81xyz end"), 1);
	assert_int_equal(record_outside(&paper.record, MARGIN), 0);
	tear_down(&paper);
}

static void an_empty_document_has_no_pages(void **state)
{
	(void)state;
	struct paper paper;
	set_up(&paper);
	draw(&paper);
	assert_int_equal(paper.record.page_count, 0);
	tear_down(&paper);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(blocks_fill_pages),
		cmocka_unit_test(a_kept_block_moves_with_the_next),
		cmocka_unit_test(heads_of_columns_are_repeated),
		cmocka_unit_test(heads_below_heads_are_repeated),
		cmocka_unit_test(pages_are_drawn_at_a_given_place),
		cmocka_unit_test(blocks_higher_than_a_page_are_broken),
		cmocka_unit_test(words_too_wide_are_broken),
		cmocka_unit_test(an_empty_document_has_no_pages),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
