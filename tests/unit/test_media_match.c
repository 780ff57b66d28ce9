/* Which layout fits the loaded medium. */
#include "unit.h"

#include <string.h>

#include "loomtag/print.h"

static const struct lt_layout roll = { .name = "roll-54x25",
	.medium = LT_MEDIUM_ROLL,
	.label_width = 54,
	.label_height = 25,
	.columns = 1,
	.rows = 1,
	.dpi = 203 };
static const struct lt_layout tape = { .name = "tape-12",
	.medium = LT_MEDIUM_TAPE,
	.label_height = 12,
	.columns = 1,
	.rows = 1,
	.dpi = 300,
	.shortest = 8,
	.longest = 100 };
static const struct lt_layout sheet = { .name = "a4-3x8",
	.medium = LT_MEDIUM_SHEET,
	.page_width = 210,
	.page_height = 297,
	.label_width = 70,
	.label_height = 37,
	.columns = 3,
	.rows = 8,
	.pitch_x = 70,
	.pitch_y = 37 };

/* A layout by what sets it off from one of the above. */
static struct lt_layout variant(const struct lt_layout *from, const char *name, double width,
	double height, double dpi)
{
	struct lt_layout layout = *from;
	layout.name = name;
	layout.label_width = width;
	layout.label_height = height;
	layout.dpi = dpi;
	return layout;
}

/* A printer with up to two media, 0 where there is none, and resolutions up to a 0. */
struct setup {
	struct lt_media ready[2];
	unsigned dpi[4];
};

static struct lt_media media(double width, double height)
{
	return (struct lt_media){ NULL, width, height, width, height };
}

static struct lt_printer printer_of(struct setup *setup)
{
	struct lt_printer printer = {
		.pwg = true,
		.black_1 = true,
		.ready.items = setup->ready,
		.pwg_resolutions.items = setup->dpi,
	};
	while (printer.ready.count < 2 && setup->ready[printer.ready.count].width > 0) {
		struct lt_media *ready = &setup->ready[printer.ready.count++];
		*ready = media(ready->width, ready->height);
	}
	while (printer.pwg_resolutions.count < 4 && setup->dpi[printer.pwg_resolutions.count] > 0)
		printer.pwg_resolutions.count++;
	return printer;
}

static void a_medium_takes_layouts_of_its_size(void **state)
{
	(void)state;
	static const struct {
		const struct lt_layout *layout;
		double width, height;
		bool takes, turned;
	} cases[] = {
		{ &roll, 54, 25, true, false },
		{ &roll, 54.5, 24.5, true, false },
		{ &roll, 54.7, 25, false, false },
		{ &roll, 54, 24.3, false, false },
		{ &roll, 25, 54, true, true },
		{ &roll, 25, 25, false, false },
		{ &roll, 54, 54, false, false },
		{ &tape, 12, 40, true, true },
		{ &tape, 12, 2000, true, true },
		{ &tape, 11.5, 8, true, true },
		{ &tape, 12, 12, true, true },
		{ &tape, 40, 12, false, false },
		{ &tape, 12.7, 40, false, false },
		{ &sheet, 210, 297, true, false },
		{ &sheet, 297, 210, true, true },
		{ &sheet, 70, 37, false, false },
		{ &sheet, 215.9, 279.4, false, false },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_media medium = media(cases[i].width, cases[i].height);
		const struct lt_printer printer = { .ready = { &medium, 1 } };
		const struct lt_media *found = lt_media_fitting(&printer, cases[i].layout);
		assert_ptr_equal(found, cases[i].takes ? &medium : NULL);
		assert_int_equal(lt_media_turned(&medium, cases[i].layout), cases[i].turned);
	}
}

static void the_loaded_medium_is_found(void **state)
{
	(void)state;
	struct setup setup = { { media(25, 54), media(54, 25) }, { 203 } };
	struct lt_printer printer = printer_of(&setup);
	assert_ptr_equal(lt_media_fitting(&printer, &roll), &setup.ready[1]);
	setup.ready[1] = media(102, 152);
	assert_ptr_equal(lt_media_fitting(&printer, &roll), &setup.ready[0]);
	assert_null(lt_media_fitting(&printer, &tape));
}

/* All of `words`, up to a NULL, are in the message or hint of the one diagnostic. */
static void assert_said(struct lt_diags *diags, enum lt_severity severity, const char *const *words)
{
	assert_int_equal(diags->count, 1);
	assert_int_equal(diags->items[0].severity, severity);
	assert_non_null(diags->items[0].hint);
	for (size_t i = 0; i < 5 && words[i] != NULL; i++) {
		if (strstr(diags->items[0].message, words[i]) == NULL &&
			strstr(diags->items[0].hint, words[i]) == NULL)
			fail_msg("\"%s\" is not in \"%s\" (%s)", words[i], diags->items[0].message,
				diags->items[0].hint);
	}
	lt_diags_finish(diags);
	lt_diags_init(diags);
}

static void the_wrong_medium_is_refused_with_both_sizes(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct setup setup = { { media(54, 25) }, { 203 } };
	struct lt_printer printer = printer_of(&setup);
	assert_true(lt_media_check(&printer, &roll, &diags));
	assert_int_equal(diags.count, 0);
	setup.ready[0] = media(38, 19);
	assert_false(lt_media_check(&printer, &roll, &diags));
	assert_said(&diags, LT_ERROR,
		(const char *const[]){ "roll-54x25", "labels of 54 x 25 mm", "38 x 19 mm", NULL });
	assert_false(lt_media_check(&printer, &tape, &diags));
	assert_said(&diags, LT_ERROR,
		(const char *const[]){ "tape 12 mm wide", "38 x 19 mm", NULL });
	assert_false(lt_media_check(&printer, &sheet, &diags));
	assert_said(&diags, LT_ERROR,
		(const char *const[]){ "sheets of 210 x 297 mm", "38 x 19 mm", NULL });
	printer.ready.count = 0;
	assert_true(lt_media_check(&printer, &roll, &diags));
	assert_said(&diags, LT_WARNING,
		(const char *const[]){ "does not say", "labels of 54 x 25 mm", NULL });
	lt_diags_finish(&diags);
}

static void a_size_that_the_printer_lacks_is_refused(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_media known[LT_PRINTER_LIST_MAX] = { media(25, 54), media(38, 19) };
	struct lt_media range = { NULL, 24, 300, 6, 10 };
	struct lt_printer printer = { .known = { known, 2 }, .ranges.items = &range };
	assert_true(lt_media_check(&printer, &roll, &diags));
	assert_said(&diags, LT_WARNING, (const char *const[]){ "does not say", NULL });
	assert_ptr_equal(lt_media_fitting(&printer, &roll), &known[0]);
	assert_false(lt_media_check(&printer, &sheet, &diags));
	assert_said(&diags, LT_ERROR,
		(const char *const[]){
			"sheets of 210 x 297 mm", "25 x 54 mm, 38 x 19 mm", "--layout", NULL });
	assert_null(lt_media_fitting(&printer, &sheet));
	assert_false(lt_media_check(&printer, &tape, &diags));
	assert_said(&diags, LT_ERROR, (const char *const[]){ "tape 12 mm wide", NULL });
	printer.ranges.count = 1;
	assert_true(lt_media_check(&printer, &tape, &diags));
	assert_said(&diags, LT_WARNING, (const char *const[]){ "does not say", NULL });
	assert_false(lt_media_check(&printer, &sheet, &diags));
	assert_said(&diags, LT_ERROR,
		(const char *const[]){ "38 x 19 mm, 6 x 10 to 24 x 300 mm", NULL });
	/* More than are kept: the one that is wanted may be among those that were not. */
	for (size_t i = 2; i < LT_PRINTER_LIST_MAX; i++)
		known[i] = media(30 + (double)i, 30);
	printer.known.count = LT_PRINTER_LIST_MAX;
	assert_true(lt_media_check(&printer, &sheet, &diags));
	assert_said(&diags, LT_WARNING, (const char *const[]){ "does not say", NULL });
	lt_diags_finish(&diags);
}

enum { ROLL, ROLL_300, ROLL_TURNED, WRAP, TAPE, TAPE_FLAG, SHEET, SHEET_2, KINDS };

/* The stock of one case, by bits of the above. */
static void fill_stock(struct lt_stock *stock, unsigned which)
{
	struct lt_layout all[KINDS] = {
		[ROLL] = roll,
		[ROLL_300] = variant(&roll, "roll-300", 54, 25, 300),
		[ROLL_TURNED] = variant(&roll, "roll-25x54", 25, 54, 203),
		[WRAP] = variant(&roll, "wrap-54x25", 54, 25, 203),
		[TAPE] = tape,
		[TAPE_FLAG] = variant(&tape, "tape-12-flag", 0, 12, 300),
		[SHEET] = sheet,
		[SHEET_2] = variant(&sheet, "a4-2x8", 105, 37, 0),
	};
	all[WRAP].style = LT_STYLE_WRAP;
	all[WRAP].printed_height = 10;
	all[TAPE_FLAG].style = LT_STYLE_FLAG;
	all[SHEET_2].columns = 2;
	stock->count = 0;
	for (unsigned i = 0; i < KINDS; i++) {
		if ((which & 1u << i) != 0)
			stock->layouts[stock->count++] = all[i];
	}
}

static void the_layout_is_chosen_by_what_is_loaded(void **state)
{
	(void)state;
	enum { A = 1 << ROLL, B = 1 << ROLL_300, C = 1 << ROLL_TURNED, D = 1 << WRAP };
	enum { E = 1 << TAPE, F = 1 << TAPE_FLAG, G = 1 << SHEET, H = 1 << SHEET_2 };
	static const struct {
		unsigned stock;
		struct setup setup;
		const char *layout;   /* NULL: refused */
		const char *words[4]; /* said then */
	} cases[] = {
		{ A | E | G, { { { .width = 54, .height = 25 } }, { 203 } }, "roll-54x25", { 0 } },
		{ A | E | G, { { { .width = 25, .height = 54 } }, { 203 } }, "roll-54x25", { 0 } },
		{ A | E | G, { { { .width = 12, .height = 60 } }, { 300 } }, "tape-12", { 0 } },
		{ A | E | G, { { { .width = 210, .height = 297 } }, { 600 } }, "a4-3x8", { 0 } },
		/* The head's own dots. */
		{ A | B, { { { .width = 54, .height = 25 } }, { 203 } }, "roll-54x25", { 0 } },
		{ A | B, { { { .width = 54, .height = 25 } }, { 300 } }, "roll-300", { 0 } },
		{ A | B, { { { .width = 54, .height = 25 } }, { 203, 300 } }, "roll-300", { 0 } },
		{ A, { { { .width = 54, .height = 25 } }, { 300 } }, "roll-54x25", { 0 } },
		/* Which of them it is cannot be seen. */
		{ A | D, { { { .width = 54, .height = 25 } }, { 203 } }, NULL,
			{ "--layout", "roll-54x25", "wrap-54x25" } },
		{ A | C, { { { .width = 54, .height = 25 } }, { 203 } }, NULL,
			{ "--layout", "roll-54x25", "roll-25x54" } },
		{ B | C, { { { .width = 25, .height = 54 } }, { 203 } }, NULL,
			{ "--layout", "roll-300", "roll-25x54" } },
		{ E | F, { { { .width = 12, .height = 60 } }, { 300 } }, NULL,
			{ "--layout", "tape-12", "tape-12-flag" } },
		{ G | H, { { { .width = 210, .height = 297 } }, { 600 } }, NULL,
			{ "--layout", "a4-3x8", "a4-2x8" } },
		{ A | E,
			{ { { .width = 54, .height = 25 }, { .width = 12, .height = 60 } },
				{ 203 } },
			NULL, { "--layout", "roll-54x25", "tape-12" } },
		/* None of it. */
		{ A | E | G, { { { .width = 38, .height = 19 } }, { 203 } }, NULL,
			{ "38 x 19 mm", ": roll-54x25 (labels of 54 x 25 mm)" } },
		{ 0, { { { .width = 38, .height = 19 } }, { 203 } }, NULL, { "38 x 19 mm" } },
		{ A, { { { 0 } }, { 203 } }, NULL, { "does not say", "--layout" } },
	};
	static struct lt_stock stock;
	struct lt_diags diags;
	lt_diags_init(&diags);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct setup setup = cases[i].setup;
		struct lt_printer printer = printer_of(&setup);
		fill_stock(&stock, cases[i].stock);
		const struct lt_layout *found = lt_media_layout(&printer, &stock, &diags);
		if (cases[i].layout == NULL) {
			assert_null(found);
			assert_said(&diags, LT_ERROR, cases[i].words);
			continue;
		}
		assert_int_equal(diags.count, 0);
		assert_non_null(found);
		assert_string_equal(found->name, cases[i].layout);
	}
	lt_diags_finish(&diags);
}

static void it_is_drawn_at_the_resolution_of_the_head(void **state)
{
	(void)state;
	static const struct {
		const struct lt_layout *layout;
		unsigned dpi[4];
		bool pdf;
		unsigned expected;
		bool warned;
	} cases[] = {
		{ &roll, { 203, 300, 600 }, false, 203, false },
		{ &roll, { 300, 600 }, false, 300, true },
		{ &tape, { 180, 360 }, false, 360, true },
		{ &tape, { 250, 350 }, false, 350, true },
		{ &sheet, { 300, 600, 1200 }, false, 600, false },
		{ &sheet, { 300, 2400 }, false, 300, false },
		{ &roll, { 75, 100, 4800 }, false, 100, true },
		{ &sheet, { 300 }, true, 600, false },
		{ &roll, { 300 }, true, 203, false },
		{ &roll, { 0 }, true, 203, false },
	};
	struct lt_diags diags;
	lt_diags_init(&diags);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct setup setup = { { { 0 } }, { 0 } };
		memcpy(setup.dpi, cases[i].dpi, sizeof(setup.dpi));
		struct lt_printer printer = printer_of(&setup);
		assert_int_equal(lt_media_dpi(&printer, cases[i].layout, cases[i].pdf, &diags),
			cases[i].expected);
		if (cases[i].warned)
			assert_said(&diags, LT_WARNING, (const char *const[]){ "dots", NULL });
		assert_int_equal(diags.count, 0);
	}
	/* A PDF goes by the resolutions of the printer as such, where it tells any that will do. */
	struct setup laser = { { { 0 } }, { 300, 1200 } };
	struct lt_printer other = { .pdf = true, .resolutions = { laser.dpi, 2 } };
	assert_int_equal(lt_media_dpi(&other, &sheet, true, &diags), 300);
	assert_int_equal(lt_media_dpi(&other, &roll, true, &diags), 300);
	assert_said(&diags, LT_WARNING, (const char *const[]){ "203 dots", "has 300", NULL });
	laser.dpi[0] = laser.dpi[1] = 72;
	assert_int_equal(lt_media_dpi(&other, &sheet, true, &diags), 600);
	assert_int_equal(diags.count, 0);
	struct setup setup = { { { 0 } }, { 75, 4800 } };
	struct lt_printer printer = printer_of(&setup);
	assert_int_equal(lt_media_dpi(&printer, &roll, false, &diags), 0);
	assert_said(&diags, LT_ERROR, (const char *const[]){ "100 to 2400", NULL });
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_medium_takes_layouts_of_its_size),
		cmocka_unit_test(the_loaded_medium_is_found),
		cmocka_unit_test(the_wrong_medium_is_refused_with_both_sizes),
		cmocka_unit_test(a_size_that_the_printer_lacks_is_refused),
		cmocka_unit_test(the_layout_is_chosen_by_what_is_loaded),
		cmocka_unit_test(it_is_drawn_at_the_resolution_of_the_head),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
