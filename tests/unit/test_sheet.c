#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bench.h"
#include "loomtag/font.h"
#include "loomtag/sheet.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Three stickers for X1 (replaced), two for X2, one for the clip, none for X3 and X4. */
static const char sample[] = "harness: RV3\n"
			     "components:\n"
			     "  - {id: M1, fate: replace}\n"
			     "connectors:\n"
			     "  - {id: X1, mates: M1, family: a}\n"
			     "  - {id: X2, family: b}\n"
			     "  - {id: X3, family: c, tag: paper}\n"
			     "  - {id: X4, family: d, tag: none}\n"
			     "  - {id: C1, kind: clip, sides: 1}\n"
			     "  - {id: X5, family: e}\n";

/* A sheet of columns x rows labels of 60 x 30 mm. */
static void init_layout(struct lt_layout *layout, unsigned columns, unsigned rows)
{
	*layout = (struct lt_layout){ .name = "own", .medium = LT_MEDIUM_SHEET };
	layout->label_width = 60;
	layout->label_height = 30;
	layout->columns = columns;
	layout->rows = rows;
	layout->page_width = 20 + columns * 61;
	layout->page_height = 20 + rows * 31;
	layout->first_x = layout->first_y = 10;
	layout->pitch_x = 61;
	layout->pitch_y = 31;
	layout->inset = 2;
}

/* "1H:1/0 …": the tags in their order, each with its page and label. */
static void describe(struct lt_text *out, const struct lt_sheet *sheet, const struct bench *bench)
{
	lt_text_clear(out);
	for (size_t i = 0; i < sheet->count; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		lt_text_printf(out, "%s%u%c%s:%u/%u", i > 0 ? " " : "",
			bench->tags.number_of[slot->connector], lt_side_letter(slot->side),
			slot->over_m ? "!" : "", slot->page, slot->label);
	}
}

static void assert_plan(const struct bench *bench, const struct lt_layout *layout,
	const struct lt_sheet_options *options, const char *expected, unsigned pages)
{
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_text text = { 0 };
	assert_true(lt_sheet_plan(&sheet, layout, &bench->tags, &bench->reg, options, &diags));
	describe(&text, &sheet, bench);
	assert_string_equal(lt_text_string(&text), expected);
	assert_int_equal(sheet.pages, pages);
	lt_text_finish(&text);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
}

static void test_places(void **state)
{
	(void)state;
	static const struct {
		unsigned columns, rows, start, pages;
		const char *expected;
	} cases[] = {
		{ 3, 8, 1, 1, "1H:1/0 1X:1/1 1M:1/2 2H:1/3 2M:1/4 4H:1/5 5H:1/6 5M:1/7" },
		{ 3, 8, 17, 1, "1H:1/16 1X:1/17 1M:1/18 2H:1/19 2M:1/20 4H:1/21 5H:1/22 5M:1/23" },
		/* A number that does not fit on what is left goes to the next page whole. */
		{ 2, 2, 1, 3, "1H:1/0 1X:1/1 1M:1/2 2H:2/0 2M:2/1 4H:2/2 5H:3/0 5M:3/1" },
		{ 2, 2, 2, 3, "1H:1/1 1X:1/2 1M:1/3 2H:2/0 2M:2/1 4H:2/2 5H:3/0 5M:3/1" },
		/* A page that could not hold it anyway is filled. */
		{ 2, 1, 1, 5, "1H:1/0 1X:1/1 1M:2/0 2H:3/0 2M:3/1 4H:4/0 5H:5/0 5M:5/1" },
		{ 1, 1, 1, 8, "1H:1/0 1X:2/0 1M:3/0 2H:4/0 2M:5/0 4H:6/0 5H:7/0 5M:8/0" },
	};
	struct bench bench;
	bench_init(&bench, sample, NULL);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_layout layout;
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		options.start = cases[i].start;
		init_layout(&layout, cases[i].columns, cases[i].rows);
		assert_plan(&bench, &layout, &options, cases[i].expected, cases[i].pages);
	}
	bench_finish(&bench);
}

static void test_only(void **state)
{
	(void)state;
	static const struct {
		const char *only, *expected;
	} cases[] = { { "2", "2H:1/0 2M:1/1" }, { "1X,4-5", "1X:1/0 4H:1/1 5H:1/2 5M:1/3" },
		{ "5H,1M", "1M:1/0 5H:1/1" } };
	struct bench bench;
	struct lt_layout layout;
	bench_init(&bench, sample, NULL);
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_diags diags = { 0 };
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		struct lt_selection *only = lt_selection_read(cases[i].only, &diags);
		options.only = only;
		assert_plan(&bench, &layout, &options, cases[i].expected, 1);
		lt_selection_destroy(only);
		lt_diags_finish(&diags);
	}
	bench_finish(&bench);
}

/* The register knows which M stickers went out before the component was to be replaced. */
static void test_covers_old_stickers(void **state)
{
	(void)state;
	static const struct {
		const char *printed;
		bool covers;
	} cases[] = { { "", false }, { "H", false }, { "HM", true }, { "M", true },
		{ "HXM", false }, { "XM", false }, { "HMX", true } };
	struct lt_layout layout;
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct bench bench;
		struct lt_sheet sheet;
		struct lt_diags diags = { 0 };
		const struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		bench_init(&bench, sample, NULL);
		for (size_t j = 0; j < bench.reg.count; j++)
			snprintf(bench.reg.entries[j].printed, sizeof(bench.reg.entries[j].printed),
				"%s", cases[i].printed);
		assert_true(lt_sheet_plan(&sheet, &layout, &bench.tags, &bench.reg, &options,
			&diags));
		for (size_t j = 0; j < sheet.count; j++)
			assert_int_equal(sheet.slots[j].over_m,
				cases[i].covers && sheet.slots[j].side == LT_SIDE_X);
		/* It says so: for X1 alone, since no other has an X sticker. */
		assert_int_equal(diags.warnings, cases[i].covers ? 1 : 0);
		if (cases[i].covers) {
			assert_non_null(strstr(diags.items[0].message,
				"connector X1: its sticker 1M"));
			assert_non_null(strstr(diags.items[0].hint, "stick 1X over it"));
		}
		lt_sheet_finish(&sheet);
		lt_diags_finish(&diags);
		bench_finish(&bench);
	}
}

static void test_refuses(void **state)
{
	(void)state;
	static const struct {
		unsigned start;
		const char *only, *message;
	} cases[] = {
		{ 0, NULL, "--start 0: layout own has 24 labels a page" },
		{ 25, NULL, "--start 25: layout own has 24 labels a page" },
		{ 23, NULL, "too little of the page for the stickers of number 1 together" },
		{ 1, "3", "has no sticker (tag: paper)" },
		{ 1, "77", "no connector carries the number 77" },
	};
	struct bench bench;
	struct lt_layout layout;
	bench_init(&bench, sample, NULL);
	init_layout(&layout, 3, 8);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_sheet sheet;
		struct lt_diags diags = { 0 };
		struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
		struct lt_selection *only = NULL;
		if (cases[i].only != NULL)
			only = lt_selection_read(cases[i].only, &diags);
		options.start = cases[i].start;
		options.only = only;
		assert_false(lt_sheet_plan(&sheet, &layout, &bench.tags, &bench.reg, &options,
			&diags));
		assert_int_equal(diags.errors, 1);
		assert_non_null(strstr(diags.items[0].message, cases[i].message));
		lt_selection_destroy(only);
		lt_sheet_finish(&sheet);
		lt_diags_finish(&diags);
	}
	bench_finish(&bench);
	struct lt_sheet sheet;
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	bench_init(&bench, "harness: RV3\nconnectors: [{id: X1, tag: paper}]\n", NULL);
	size_t before = bench.diags.errors;
	assert_false(lt_sheet_plan(&sheet, &layout, &bench.tags, NULL, &options, &bench.diags));
	assert_int_equal(bench.diags.errors, before + 1);
	lt_sheet_finish(&sheet);
	options.sticker.payload = LT_PAYLOAD_LINK;
	assert_false(lt_sheet_plan(&sheet, &layout, &bench.tags, NULL, &options, &bench.diags));
	assert_int_equal(bench.diags.errors, before + 2);
	assert_non_null(strstr(bench.diags.items[bench.diags.count - 1].hint, "--base"));
	lt_sheet_finish(&sheet);
	lt_sheet_finish(NULL);
	bench_finish(&bench);
}

/* A canvas that remembers what was drawn on it. */
struct paper {
	struct lt_text log; /* P for a page begun, E for one ended, and the tags between */
	double page_width, page_height;
	double qr_x[32], qr_y[32];
	size_t qr_count;
	size_t white_texts, rectangles;
	bool fails;
};

static void on_begin(void *data, double width, double height)
{
	struct paper *paper = data;
	lt_text_add(&paper->log, "P");
	paper->page_width = width;
	paper->page_height = height;
}

static void on_text(void *data, double x, double baseline, enum lt_face face, double size,
	struct lt_ink ink, const char *text)
{
	struct paper *paper = data;
	assert_true(x >= 0 && x < paper->page_width);
	assert_true(baseline > 0 && baseline < paper->page_height);
	assert_true(face < LT_FACE_COUNT && size > 0);
	if (ink.red > 0.5)
		paper->white_texts++;
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
static bool draw(struct paper *paper, struct lt_sheet *sheet, const struct bench *bench,
	const struct lt_layout *layout, const struct lt_sheet_options *options,
	struct lt_diags *diags)
{
	struct lt_canvas canvas = { .begin_page = on_begin,
		.text = on_text,
		.rectangle = on_rectangle,
		.qr = on_qr,
		.end_page = on_end,
		.data = paper };
	struct lt_fonts *fonts = lt_fonts_create(diags);
	assert_non_null(fonts);
	struct lt_measure measure = lt_fonts_measure(fonts);
	size_t done = 0;
	assert_true(lt_sheet_plan(sheet, layout, &bench->tags, &bench->reg, options, diags));
	const struct lt_sheet_watcher watcher = { count_progress, NULL, &done };
	bool ok = lt_sheet_draw(sheet, &canvas, &bench->tags, bench->lookalikes, options, &measure,
		&watcher, diags);
	if (ok)
		assert_int_equal(done, sheet->count);
	lt_fonts_destroy(fonts);
	return ok;
}

static void test_draws(void **state)
{
	(void)state;
	struct bench bench;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	const struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	bench_init(&bench, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_true(draw(&paper, &sheet, &bench, &layout, &options, &diags));
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
	assert_true(draw(&moved, &sheet, &bench, &layout, &nudged, &diags));
	for (size_t i = 0; i < moved.qr_count; i++) {
		assert_true(fabs(moved.qr_x[i] - paper.qr_x[i] - 0.75) < 1e-9);
		assert_true(fabs(moved.qr_y[i] - paper.qr_y[i] + 0.5) < 1e-9);
	}
	lt_text_finish(&moved.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	bench_finish(&bench);
}

/* From a roll every label is a page. */
static void test_draws_roll(void **state)
{
	(void)state;
	struct bench bench;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_selection *only = lt_selection_read("1X,2", &diags);
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper paper = { 0 };
	options.only = only;
	bench_init(&bench, sample, NULL);
	bench_layout(&layout, "roll-25x13");
	assert_true(draw(&paper, &sheet, &bench, &layout, &options, &diags));
	assert_string_equal(lt_text_string(&paper.log), "P 1X EP 2H EP 2M E");
	assert_true(paper.page_width == 25 && paper.page_height == 13);
	assert_int_equal(sheet.pages, 3);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_selection_destroy(only);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	bench_finish(&bench);
}

static void test_drawing_fails(void **state)
{
	(void)state;
	struct bench bench;
	struct lt_layout layout;
	struct lt_sheet sheet;
	struct lt_diags diags = { 0 };
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct paper torn = { .fails = true };
	bench_init(&bench, sample, NULL);
	init_layout(&layout, 2, 2);
	assert_false(draw(&torn, &sheet, &bench, &layout, &options, &diags));
	assert_int_equal(diags.errors, 1);
	lt_text_finish(&torn.log);
	lt_sheet_finish(&sheet);

	/* What cannot be placed is told: each connector once, and three at the most. */
	struct paper paper = { 0 };
	layout.label_width = layout.label_height = 7;
	assert_false(draw(&paper, &sheet, &bench, &layout, &options, &diags));
	assert_int_equal(diags.errors, 4);
	assert_non_null(strstr(diags.items[1].message, "connector X1"));
	assert_non_null(strstr(diags.items[2].message, "connector X2"));
	assert_non_null(strstr(diags.items[3].message, "connector C1"));
	assert_int_equal(paper.qr_count, 0);
	lt_text_finish(&paper.log);
	lt_sheet_finish(&sheet);
	lt_diags_finish(&diags);
	bench_finish(&bench);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_places),
		cmocka_unit_test(test_only),
		cmocka_unit_test(test_covers_old_stickers),
		cmocka_unit_test(test_refuses),
		cmocka_unit_test(test_draws),
		cmocka_unit_test(test_draws_roll),
		cmocka_unit_test(test_drawing_fails),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
