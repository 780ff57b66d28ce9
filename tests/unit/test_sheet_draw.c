/* Drawing sticker sheets, recorded on a canvas. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/draw.h"
#include "loomtag/words.h"
#include "sheet_fixture.h"

/* A canvas that remembers what was drawn on it. */
struct paper {
	struct lt_text log; /* P for a page begun, E for one ended, and the tags between */
	double page_width, page_height;
	double widths; /* of all pages together */
	double qr_x[32], qr_y[32];
	size_t qr_count;
	size_t white_texts, rectangles, lines, cut_words;
	double frame_x[32], frame_y[32], frame_width, frame_height;
	size_t frame_count;
	bool fails;
};

static void on_begin(void *data, double width, double height)
{
	struct paper *paper = data;
	lt_text_add(&paper->log, "P");
	paper->page_width = width;
	paper->widths += width;
	paper->page_height = height;
}

static void on_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	struct paper *paper = data;
	assert_true(x >= 0 && x < paper->page_width);
	assert_true(baseline > 0 && baseline < paper->page_height);
	assert_true(face < LT_TYPEFACE_COUNT && size > 0);
	if (ink.red > 0.5)
		paper->white_texts++;
	paper->cut_words += strcmp(text, lt_sheet_cut_along) == 0;
	/* Tags alone are digits with a letter behind them. */
	size_t digits = strspn(text, "0123456789");
	if (digits > 0 && strchr("HMX", text[digits]) != NULL && text[digits + 1] == '\0')
		lt_text_printf(&paper->log, " %s ", text);
}

static void on_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct paper *paper = data;
	assert_true(x >= 0 && x + width <= paper->page_width);
	assert_true(y >= 0 && y + height <= paper->page_height);
	assert_true(fill.red < 0.5);
	paper->rectangles++;
}

static void on_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct paper *paper = data;
	assert_true(paper->frame_count < COUNT(paper->frame_x));
	assert_true(line > 0 && ink.red < 0.5);
	paper->frame_x[paper->frame_count] = x;
	paper->frame_y[paper->frame_count++] = y;
	/* The inner edges of its lines. */
	paper->frame_width = width - line;
	paper->frame_height = height - line;
}

static void on_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct paper *paper = data;
	assert_true(x1 == x2 && x1 > 0 && x1 < paper->page_width);
	assert_true(y1 >= 0 && y2 <= paper->page_height && y1 < y2);
	assert_true(line > 0 && ink.red < 0.5);
	paper->lines++;
}

static void on_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct paper *paper = data;
	assert_true(module > 0);
	assert_true(paper->qr_count < COUNT(paper->qr_x));
	/* ISO/IEC 18004: the finder pattern's corner is dark, and its ring light. */
	assert_true(lt_qr_dark(qr, 0, 0));
	assert_false(lt_qr_dark(qr, 1, 1));
	paper->qr_x[paper->qr_count] = x;
	paper->qr_y[paper->qr_count++] = y;
}

static bool on_end(void *data, struct lt_diags *diags)
{
	struct paper *paper = data;
	lt_text_add(&paper->log, "E");
	if (paper->fails)
		lt_error(diags, lt_place_none(), "the paper is torn");
	return !paper->fails;
}

static void count_progress(void *data, size_t done, size_t all)
{
	size_t *last = data;
	assert_true(done > *last && done <= all);
	*last = done;
}

/* Plans and draws; the caller finishes paper->log. */
static bool draw(struct paper *paper, struct lt_sheet *sheet, const struct fixture *fixture,
	const struct lt_layout *layout, const struct lt_sheet_options *options,
	struct lt_diags *diags)
{
	struct lt_canvas canvas = { .begin_page = on_begin,
		.text = on_text,
		.rectangle = on_rectangle,
		.frame = on_frame,
		.line = on_line,
		.qr = on_qr,
		.end_page = on_end,
		.data = paper };
	struct lt_fonts *fonts = lt_fonts_create(diags);
	assert_non_null(fonts);
	struct lt_measure measure = lt_fonts_measure(fonts);
	size_t done = 0;
	assert_true(lt_sheet_plan(sheet, layout, &fixture->tags, &fixture->reg, options, diags));
	const struct lt_sheet_watcher watcher = { count_progress, NULL, &done };
	const struct lt_sticker_source source = { &fixture->tags, fixture->lookalikes, &measure };
	bool ok = lt_sheet_draw(sheet, &canvas, &source, options, &watcher, diags);
	if (ok)
		assert_int_equal(done, sheet->count);
	lt_fonts_destroy(fonts);
	return ok;
}

static void test_draws(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	const struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_true(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&paper.log), "P 1H  1X  1M EP 2H  2M  4H EP 5H  5M E");
	assert_true(paper.page_width == layout.page_width);
	assert_true(paper.page_height == layout.page_height);
	assert_int_equal(paper.qr_count, 8);
	/* OLD PART and NEW PART, and no bars: no number here reads as another upside down. */
	assert_int_equal(paper.white_texts, 2);
	assert_int_equal(paper.rectangles, 2);
	assert_int_equal(sheet.payloads[LT_PAYLOAD_FACTS], 8);
	/* 1H and 1X side by side, 1M below 1H. */
	assert_true(fabs(paper.qr_x[1] - paper.qr_x[0] - 61) < 1e-9);
	assert_true(fabs(paper.qr_y[1] - paper.qr_y[0]) < 1e-9);
	assert_true(fabs(paper.qr_x[2] - paper.qr_x[0]) < 1e-9);
	assert_true(fabs(paper.qr_y[2] - paper.qr_y[0] - 31) < 1e-9);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);

	struct paper moved = { 0 };
	struct lt_sheet_options nudged = LT_SHEET_OPTIONS_INIT;
	nudged.nudge_x = 0.75;
	nudged.nudge_y = -0.5;
	assert_true(draw(&moved, &sheet, &fixture, &layout, &nudged, &diags));
	for (size_t i = 0; i < moved.qr_count; i++) {
		assert_true(fabs(moved.qr_x[i] - paper.qr_x[i] - 0.75) < 1e-9);
		assert_true(fabs(moved.qr_y[i] - paper.qr_y[i] + 0.5) < 1e-9);
	}
	lt_text_finish(&moved.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* Plain paper has lines round the labels that carry a sticker, and outside them: what is on a label
 * is a code's quiet zone too. A sheet that was used before has the words already. */
static void test_draws_lines_to_cut(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	layout.first_y = 20;
	layout.page_height += 10;
	for (unsigned start = 1; start <= 2; start++) {
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		options.start = start;
		options.nudge_x = 0.5;
		for (unsigned cut = LT_CUT_NONE; cut <= LT_CUT_LINES; cut++) {
			struct paper paper = { 0 };
			layout.cut = cut;
			assert_true(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
			assert_int_equal(paper.qr_count, 8);
			assert_int_equal(paper.frame_count, cut == LT_CUT_LINES ? 8 : 0);
			assert_int_equal(paper.cut_words,
				cut == LT_CUT_LINES ? sheet.pages - (start > 1) : 0);
			for (size_t i = 0; i < paper.frame_count; i++) {
				double x, y;
				lt_layout_position(&x, &y, &layout, sheet.slots[i].label);
				assert_true(paper.frame_x[i] < x + 0.5 && paper.frame_y[i] < y);
				assert_true(paper.frame_x[i] > x && paper.frame_y[i] > y - 0.5);
				assert_true(paper.frame_width >= layout.label_width - 1e-9);
				assert_true(paper.frame_height >= layout.label_height - 1e-9);
			}
			lt_text_finish(&paper.log);
			lt_sheet_finish(&sheet);
		}
	}
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* From a roll every label is a page. */
static void test_draws_roll(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_selection *only = lt_selection_read("1X,2", &diags);
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	options.only = only;
	fixture_init(&fixture, sample, NULL);
	fixture_layout(&layout, "roll-25x13");
	assert_true(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&paper.log), "P 1X EP 2H EP 2M E");
	assert_true(paper.page_width == 25 && paper.page_height == 13);
	assert_int_equal(sheet.pages, 3);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_selection_destroy(only);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* Where the page is stretched, labels move and stickers stay as they are. */
static void test_scales_positions(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper plain = { 0 };
	struct paper scaled = { 0 };
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_true(draw(&plain, &sheet, &fixture, &layout, &options, &diags));
	lt_sheet_finish(&sheet);
	options.scale_x = 1.01;
	options.scale_y = 0.99;
	options.nudge_x = 0.5;
	assert_true(draw(&scaled, &sheet, &fixture, &layout, &options, &diags));
	assert_int_equal(scaled.qr_count, plain.qr_count);
	for (size_t i = 0; i < sheet.count; i++) {
		double x, y;
		lt_layout_position(&x, &y, &layout, sheet.slots[i].label);
		assert_true(fabs(scaled.qr_x[i] - plain.qr_x[i] - (0.01 * x + 0.5)) < 1e-9);
		assert_true(fabs(scaled.qr_y[i] - plain.qr_y[i] + 0.01 * y) < 1e-9);
	}
	lt_text_finish(&plain.log);
	lt_text_finish(&scaled.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* Each alone, as a preview wants them. */
static void test_draws_apart(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	options.apart = true;
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_true(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&paper.log),
		"P 1H EP 1X EP 1M EP 2H EP 2M EP 4H EP 5H EP 5M E");
	assert_true(paper.page_width == 60 && paper.page_height == 30);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* A flag shows everything on both of its faces, which the loop keeps apart: pi x D on a tape. */
static void test_draws_flags(void **state)
{
	(void)state;
	static const struct lt_bundle bundles[] = { { 5, LT_BUNDLE_MEASURED, false } };
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	options.sticker.bundles = bundles;
	fixture_init(&fixture, "harness: RV3\nnumbers: order\nconnectors: [{id: X1, family: a}]\n",
		NULL);
	fixture_layout(&layout, "tape-12-flag");
	assert_true(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&paper.log), "P 1H  1H EP 1M  1M E");
	assert_int_equal(paper.qr_count, 4);
	double face = (paper.page_width - 3.14159265 * 5) / 2;
	assert_true(fabs(paper.qr_x[3] - paper.qr_x[2] - (face + 3.14159265 * 5)) < 1e-6);
	assert_true(paper.qr_y[3] == paper.qr_y[2]);
	assert_true(paper.page_height == 12);
	assert_true(fabs(sheet.length - paper.widths) < 1e-9);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

/* Stickers that share a page of tape stand one after the other, with marks between for scissors. */
static void test_draws_together(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper apart = { 0 };
	struct paper together = { 0 };
	fixture_init(&fixture, sample, NULL);
	fixture_layout(&layout, "tape-12");
	assert_true(draw(&apart, &sheet, &fixture, &layout, &options, &diags));
	assert_int_equal(apart.lines, 0);
	lt_sheet_finish(&sheet);
	options.together = true;
	assert_true(draw(&together, &sheet, &fixture, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&together.log),
		"P 1H  1X  1M EP 2H  2M EP 4H EP 5H  5M E");
	assert_int_equal(together.lines, 2 * 4);
	assert_true(fabs(together.widths - apart.widths) < 1e-9);
	assert_true(together.qr_x[1] > together.qr_x[0] + 20);
	assert_true(together.qr_x[2] > together.qr_x[1] + 20);
	lt_text_finish(&apart.log);
	lt_text_finish(&together.log);
	lt_sheet_finish(&sheet);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

static void test_drawing_fails(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper torn = { .fails = true };
	fixture_init(&fixture, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_false(draw(&torn, &sheet, &fixture, &layout, &options, &diags));
	assert_int_equal(diags.errors, 1);
	assert_true(sheet.canvas_failed);
	lt_text_finish(&torn.log);
	lt_sheet_finish(&sheet);

	/* What cannot be placed is told: each connector once, and three at the most. */
	struct paper paper = { 0 };
	layout.label_width = layout.label_height = 7;
	assert_false(draw(&paper, &sheet, &fixture, &layout, &options, &diags));
	assert_int_equal(diags.errors, 4);
	assert_false(sheet.canvas_failed);
	assert_non_null(strstr(diags.items[1].message, "connector X1"));
	assert_non_null(strstr(diags.items[2].message, "connector X2"));
	assert_non_null(strstr(diags.items[3].message, "connector C1"));
	assert_int_equal(paper.qr_count, 0);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_draws),
		cmocka_unit_test(test_draws_lines_to_cut),
		cmocka_unit_test(test_draws_roll),
		cmocka_unit_test(test_scales_positions),
		cmocka_unit_test(test_draws_apart),
		cmocka_unit_test(test_draws_flags),
		cmocka_unit_test(test_draws_together),
		cmocka_unit_test(test_drawing_fails),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
