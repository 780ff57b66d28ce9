/* The ladder: sizes exact in dots, everything on its page, nothing over another. */
#include "unit.h"

#include "has_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/sheet.h"
#include "loomtag/words.h"
#include "record_canvas.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define MODULES 21.0 /* ISO/IEC 18004: version 1, with a quiet zone of 4 modules */
#define QUIET 4.0
#define HAIR 1e-6

static struct lt_fonts *fonts;

static int open_fonts(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL;
}

static int close_fonts(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

/* A roll's layout, a tape's where `width` is 0, a sheet's with an A4 page where dpi is. */
static struct lt_layout layout_of(double width, double height, double dpi)
{
	struct lt_layout layout = { .name = "mine",
		.medium = LT_MEDIUM_ROLL,
		.label_width = width,
		.label_height = height,
		.columns = 1,
		.rows = 1,
		.inset = 1.5,
		.dpi = dpi };
	if (width == 0) {
		layout.medium = LT_MEDIUM_TAPE;
		layout.shortest = LT_TAPE_SHORTEST;
		layout.longest = LT_TAPE_LONGEST;
	}
	if (dpi == 0) {
		layout.medium = LT_MEDIUM_SHEET;
		layout.page_width = 210;
		layout.page_height = 297;
	}
	return layout;
}

struct media {
	double width, height, dpi; /* as layout_of has them */
	double drawn;              /* dots an inch */
	unsigned largest;          /* of a code with room; see the arithmetic below */
	unsigned highest;          /* mm */
	unsigned notes;
};

/* A code of d dots with its quiet zone is 29 d dots: at 203 dpi 6 dots are 21.8 mm and 7 are 25.4
 * (no room on 25 mm), at 300 dpi 4 dots are 9.8 mm, 5 are 12.3 and 8 are 19.6, at 360 dpi 4 are 8.2
 * and 5 are 10.2. */
static const struct media media[] = {
	{ 76, 51, 203, 203, 8, 6, 0 },
	{ 54, 25, 203, 203, 6, 6, 1 },
	{ 54, 25, 203, 300, 8, 6, 0 },
	{ 38, 19, 203, 203, 5, 6, 1 },
	{ 25, 13, 300, 300, 5, 5, 2 },
	{ 0, 12, 300, 300, 4, 6, 1 },
	{ 0, 24, 300, 300, 8, 6, 0 },
	{ 0, 9, 360, 360, 4, 5, 2 },
	{ 70, 37, 0, 600, 8, 6, 0 },
	{ 70, 37, 0, 300, 8, 6, 0 },
};

static void plan_well(struct lt_ladder *ladder, const struct media *one,
	const struct lt_measure *measure)
{
	struct lt_diags diags = { 0 };
	struct lt_layout layout = layout_of(one->width, one->height, one->dpi);
	bool good = lt_ladder_plan(ladder, &layout, one->drawn, INFINITY, measure, &diags);
	if (!good || diags.errors + diags.warnings > 0 || diags.count != one->notes) {
		lt_diags_print(&diags, 0, stderr, false);
		fail_msg("%g x %g at %g", one->width, one->height, one->drawn);
	}
	lt_diags_finish(&diags);
}

/* Every code once, from the largest that has room to 2 dots, in this order; then every text. */
static void test_has_every_code_and_text(void **state)
{
	(void)state;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	for (size_t i = 0; i < COUNT(media); i++) {
		struct lt_ladder ladder;
		plan_well(&ladder, &media[i], &measure);
		unsigned dots = media[i].largest;
		unsigned mm = media[i].highest;
		unsigned writes = 0;
		for (size_t b = 0; b < ladder.count; b++) {
			const struct lt_ladder_block *block = &ladder.blocks[b];
			if (block->kind == LT_LADDER_CODE)
				assert_int_equal(block->dots, dots--);
			if (block->kind == LT_LADDER_HEIGHT)
				assert_true(block->capital == mm--);
			writes += block->kind == LT_LADDER_WRITE;
		}
		assert_int_equal(ladder.largest_dots, media[i].largest);
		assert_int_equal(dots, LT_LADDER_LEAST - 1);
		assert_int_equal(mm, LT_LADDER_LOWEST - 1);
		assert_int_equal(writes, 1);
		lt_ladder_finish(&ladder);
	}
	lt_ladder_finish(NULL);
}

static void test_pages(void **state)
{
	(void)state;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	for (size_t i = 0; i < COUNT(media); i++) {
		struct lt_ladder ladder;
		plan_well(&ladder, &media[i], &measure);
		if (media[i].dpi == 0) {
			assert_int_equal(ladder.pages, 1);
			assert_true(ladder.width == 210 && ladder.height == 297);
		} else if (media[i].width == 0) {
			assert_int_equal(ladder.pages, 1);
			assert_true(ladder.height == media[i].height);
			/* In whole half millimetres, and no longer than it has to be. */
			double end = 0;
			for (size_t b = 0; b < ladder.count; b++)
				end = fmax(end, ladder.blocks[b].x + ladder.blocks[b].width);
			assert_true(fabs(remainder(ladder.width, 0.5)) < HAIR);
			assert_true(ladder.width >= end + 1.5 - HAIR);
			assert_true(ladder.width <= end + 1.5 + 0.5);
		} else {
			assert_true(ladder.width == media[i].width);
			assert_true(ladder.height == media[i].height);
			/* None of them is empty. */
			for (unsigned page = 0; page < ladder.pages; page++) {
				size_t on = 0;
				for (size_t b = 0; b < ladder.count; b++)
					on += ladder.blocks[b].page == page;
				assert_true(on > 0);
			}
		}
		lt_ladder_finish(&ladder);
	}
}

static bool is_whole(double dots)
{
	return fabs(dots - round(dots)) < 1e-4;
}

/* What is drawn over a symbol or its quiet zone, which is for it alone and on the page. */
static void check_symbol(const struct record *record, const struct record_item *corner, double dot)
{
	/* The record has one module of it. */
	double module = corner->right - corner->left;
	const struct record_page *page = &record->pages[corner->page];
	struct record_item quiet = *corner;
	assert_true(is_whole(module / dot));
	assert_true(is_whole(corner->left / dot) && is_whole(corner->top / dot));
	quiet.left -= QUIET * module;
	quiet.top -= QUIET * module;
	quiet.right = quiet.left + (MODULES + 2 * QUIET) * module;
	quiet.bottom = quiet.top + (MODULES + 2 * QUIET) * module;
	assert_true(quiet.left >= -HAIR && quiet.top >= -HAIR);
	assert_true(quiet.right <= page->width + HAIR && quiet.bottom <= page->height + HAIR);
	for (size_t i = page->first; i < page->first + page->count; i++) {
		struct record_item other = record->items[i];
		if (&record->items[i] == corner)
			continue;
		if (other.kind == RECORD_QR) {
			double size = other.right - other.left;
			other.right = other.left + MODULES * size;
			other.bottom = other.top + MODULES * size;
		}
		if (record_overlap(&quiet, &other)) {
			record_tell("in the quiet zone", &other);
			fail();
		}
	}
}

static void check_drawn(const struct media *one, struct lt_measure measure)
{
	struct lt_diags diags = { 0 };
	struct lt_ladder ladder;
	struct record record;
	struct lt_canvas canvas = record_canvas(&record, measure);
	plan_well(&ladder, one, &measure);
	assert_true(lt_ladder_draw(&canvas, &ladder, &measure, &diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(record.page_count, ladder.pages);
	assert_int_equal(record_outside(&record, 0), 0);
	assert_int_equal(record_clashes(&record), 0);
	double dot = 25.4 / one->drawn;
	unsigned dots = one->largest;
	for (size_t i = 0; i < record.count; i++) {
		const struct record_item *item = &record.items[i];
		const struct record_page *page = &record.pages[item->page];
		if (item->kind == RECORD_QR) {
			double module = item->right - item->left;
			assert_int_equal((unsigned)round(module / dot), dots--);
			check_symbol(&record, item, dot);
			continue;
		}
		/* Ink keeps off the edge that is not printed, or a sheet's. */
		double edge = (one->dpi == 0 ? LT_LADDER_EDGE : 1.5) - HAIR;
		double top = item->kind == RECORD_TEXT ? item->baseline - item->capital : item->top;
		double below = item->kind == RECORD_TEXT ? item->baseline : item->bottom;
		assert_true(item->left >= edge && item->right <= page->width - edge);
		assert_true(top >= edge && below <= page->height - edge);
	}
	assert_int_equal(dots, LT_LADDER_LEAST - 1);
	/* Each says what it is: 3 dots at that dot are so many mm; a text as high as it says. */
	char three[32];
	snprintf(three, sizeof(three), "%.2f mm", 3 * dot);
	assert_int_equal(record_count_text(&record, "3 dots"), 1);
	assert_true(record_count_text(&record, three) == 1);
	for (unsigned mm = LT_LADDER_LOWEST; mm <= one->highest; mm++) {
		char text[32];
		snprintf(text, sizeof(text), "%u mm", mm);
		assert_int_equal(record_count_text(&record, text), 1);
		const struct record_item *item = &record.items[record_find(&record, 0, text)];
		assert_true(fabs(item->capital - mm) < 1e-9);
	}
	assert_int_equal(record_count_text(&record, "dots"), 1);
	record_free(&record);
	lt_ladder_finish(&ladder);
	lt_diags_finish(&diags);
}

/* Where a strip may be no longer than the printer takes, it is cut, and nothing is left out. */
static void test_short_strips(void **state)
{
	(void)state;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_layout layout = layout_of(0, 12, 300);
	static const double longest[] = { 100, 60, 40 };
	for (size_t i = 0; i < COUNT(longest); i++) {
		struct lt_diags diags = { 0 };
		struct lt_ladder whole, cut;
		assert_true(lt_ladder_plan(&whole, &layout, 300, INFINITY, &measure, &diags));
		assert_true(lt_ladder_plan(&cut, &layout, 300, longest[i], &measure, &diags));
		assert_int_equal(diags.errors + diags.warnings, 0);
		assert_int_equal(whole.pages, 1);
		assert_true(whole.width > longest[i]);
		assert_true(cut.width <= longest[i]);
		assert_true(cut.pages * cut.width >= whole.width - longest[i]);
		assert_true(cut.pages >= 2);
		assert_int_equal(cut.largest_dots, whole.largest_dots);
		unsigned steps = 0;
		for (size_t b = 0; b < cut.count; b++) {
			const struct lt_ladder_block *block = &cut.blocks[b];
			steps += block->kind == LT_LADDER_CODE || block->kind == LT_LADDER_HEIGHT;
			assert_true(block->page < cut.pages);
			assert_true(block->x >= 0 && block->x + block->width <= cut.width);
			for (size_t other = 0; other < b; other++) {
				const struct lt_ladder_block *o = &cut.blocks[other];
				assert_true(o->page != block->page ||
					    o->x + o->width <= block->x + 1e-9 ||
					    o->y + o->height <= block->y + 1e-9);
			}
		}
		/* Codes of 4 to 2 dots, texts of 6 to 1 mm. */
		assert_int_equal(steps, 3 + 6);
		lt_ladder_finish(&whole);
		lt_ladder_finish(&cut);
		lt_diags_finish(&diags);
	}
}

static void test_nothing_overlaps(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT(media); i++)
		check_drawn(&media[i], lt_fonts_measure(fonts));
}

/* The words are all there, however they are broken. */
static void test_words(void **state)
{
	(void)state;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	for (size_t i = 0; i < COUNT(media); i++) {
		struct lt_ladder ladder;
		struct lt_text words = { 0 };
		struct lt_text wanted = { 0 };
		plan_well(&ladder, &media[i], &measure);
		for (size_t b = 0; b < ladder.count; b++) {
			const struct lt_ladder_block *block = &ladder.blocks[b];
			for (size_t n = 0; block->kind == LT_LADDER_WORDS && n < block->line_count;
				n++)
				lt_text_printf(&words, "%s%s", words.length > 0 ? " " : "",
					block->lines[n]);
		}
		lt_words_ladder_scan(&wanted, media[i].drawn);
		lt_text_printf(&wanted, " %s", lt_ladder_words.smallest);
		assert_string_equal(lt_text_string(&words), lt_text_string(&wanted));
		lt_text_finish(&wanted);
		lt_text_finish(&words);
		lt_ladder_finish(&ladder);
	}
}

static void test_no_room(void **state)
{
	(void)state;
	static const double sizes[][2] = { { 20, 6 }, { 8, 30 }, { 0, 5 }, { 4, 4 } };
	const struct lt_measure measure = lt_fonts_measure(fonts);
	for (size_t i = 0; i < COUNT(sizes); i++) {
		struct lt_diags diags = { 0 };
		struct lt_ladder ladder;
		struct lt_layout layout = layout_of(sizes[i][0], sizes[i][1], 203);
		assert_false(lt_ladder_plan(&ladder, &layout, 203, INFINITY, &measure, &diags));
		assert_int_equal(diags.errors, 1);
		assert_int_equal(diags.count, 1);
		assert_non_null(strstr(diags.items[0].message, "no room on layout mine"));
		assert_non_null(diags.items[0].hint);
		lt_ladder_finish(&ladder);
		lt_diags_finish(&diags);
	}
}

static void test_reports_what_is_left_out(void **state)
{
	(void)state;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_diags diags = { 0 };
	struct lt_ladder ladder;
	struct lt_layout layout = layout_of(25, 13, 300);
	assert_true(lt_ladder_plan(&ladder, &layout, 300, INFINITY, &measure, &diags));
	assert_int_equal(diags.count, 2);
	assert_true(has_parts(diags.items[0].message, "codes|6-8 dots|layout mine"));
	assert_true(has_parts(diags.items[1].message, "texts|6 mm|layout mine"));
	lt_ladder_finish(&ladder);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_has_every_code_and_text),
		cmocka_unit_test(test_pages),
		cmocka_unit_test(test_short_strips),
		cmocka_unit_test(test_nothing_overlaps),
		cmocka_unit_test(test_words),
		cmocka_unit_test(test_no_room),
		cmocka_unit_test(test_reports_what_is_left_out),
	};
	return cmocka_run_group_tests(tests, open_fonts, close_fonts);
}
