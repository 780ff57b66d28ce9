/* Which files the drawn pages are written to. */
#include "unit/unit.h"

#include <unistd.h>

#include "cli/pages.h"
#include "loomtag/draw.h"
#include "unit/folder.h"

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_finish(&diags);
	return fonts != NULL ? enter_folder(state) : -1;
}

static int tear_down(void **state)
{
	lt_fonts_destroy(fonts);
	return leave_folder(state);
}

static const struct lt_pdf_options pdf = { .title = "Harness map RV3" };

/* Draws so many pages; the words that say what was written are for the caller to free. */
static char *write_pages(const char *path, const struct pages_options *options, unsigned count)
{
	struct lt_diags diags = { 0 };
	struct pages pages;
	assert_true(lt_pages_open(&pages, path, NULL, fonts, options, &diags));
	struct lt_canvas *canvas = &pages.canvas;
	for (unsigned i = 0; i < count; i++) {
		canvas->begin_page(canvas->data, 25.4, 25.4);
		canvas->rectangle(canvas->data, 5, 5, 10, 10, (struct lt_ink){ 1, 0, 0 });
		assert_true(canvas->end_page(canvas->data, &diags));
	}
	assert_true(lt_pages_commit(&pages, &diags));
	assert_int_equal(diags.count, 0);
	char *names = strdup(lt_pages_names(&diags.arena, &pages));
	lt_pages_finish(&pages);
	lt_diags_finish(&diags);
	return names;
}

/* The file's bytes from `at` on; whether they are these. */
static bool has(const char *path, size_t at, const void *bytes, size_t length)
{
	struct lt_diags diags = { 0 };
	char *all;
	size_t all_length;
	assert_true(lt_file_read(&all, &all_length, path, 1000000, &diags));
	bool same = all_length >= at + length && memcmp(all + at, bytes, length) == 0;
	free(all);
	lt_diags_finish(&diags);
	assert_int_equal(unlink(path), 0);
	return same;
}

static void expect_names(char *names, const char *expected)
{
	assert_string_equal(names, expected);
	free(names);
}

/* ISO/IEC 15948: width and height at 16 and 20, bit depth and colour type at 24 and 25. */
static void test_each_kind(void **state)
{
	(void)state;
	const struct pages_options grey = { .pdf = &pdf, .dpi = 100 };
	const struct pages_options all = { .pdf = &pdf, .dpi = 200, .colour = true, .svg = true };
	expect_names(write_pages("map.pdf", &all, 2), "map.pdf");
	assert_true(has("map.pdf", 0, "%PDF", 4));
	expect_names(write_pages("map.PNG", &grey, 1), "map.PNG");
	assert_true(has("map.PNG", 16, "\0\0\0\x64\0\0\0\x64\x01\0", 10));
	expect_names(write_pages("map.png", &all, 1), "map.png");
	assert_true(has("map.png", 16, "\0\0\0\xC8\0\0\0\xC8\x08\x02", 10));
	expect_names(write_pages("map.svg", &all, 1), "map.svg");
	assert_true(has("map.svg", 0, "<?xml", 5));
}

static void test_more_pages_are_numbered(void **state)
{
	(void)state;
	const struct pages_options all = { .pdf = &pdf, .dpi = 100, .colour = true, .svg = true };
	expect_names(write_pages("map.svg", &all, 3), "map-01.svg to map-03.svg");
	for (unsigned i = 1; i <= 3; i++) {
		char name[32];
		snprintf(name, sizeof name, "map-%02u.svg", i);
		assert_true(has(name, 0, "<?xml", 5));
	}
	expect_names(write_pages("map.png", &all, 2), "map-01.png to map-02.png");
	assert_true(has("map-01.png", 1, "PNG", 3));
	assert_true(has("map-02.png", 1, "PNG", 3));
}

/* A title is written into an SVG as its text. */
static void test_an_svg_has_the_title(void **state)
{
	(void)state;
	free(write_pages("title.svg", &(struct pages_options){ .pdf = &pdf, .svg = true }, 1));
	struct lt_diags diags = { 0 };
	char *bytes;
	size_t length;
	assert_true(lt_file_read(&bytes, &length, "title.svg", 100000, &diags));
	assert_non_null(strstr(bytes, "<title>Harness map RV3</title>"));
	free(bytes);
	lt_diags_finish(&diags);
}

static void test_other_endings(void **state)
{
	(void)state;
	static const struct {
		const char *path;
		struct pages_options options;
		const char *named;
	} rows[] = {
		{ "map.jpg", { .pdf = &pdf, .dpi = 100, .svg = true }, "n .pdf, .png or .svg" },
		{ "map", { .pdf = &pdf, .dpi = 100, .colour = true, .svg = true },
			"n .pdf, .png or .svg" },
		{ "map.svg", { .pdf = &pdf, .dpi = 100 }, "n .pdf or .png" },
		{ "map.png", { .pdf = &pdf, .svg = true }, "n .pdf or .svg" },
		{ "map.png", { .pdf = &pdf, .dpi = 0 }, "n .pdf" },
		{ "svg", { .pdf = &pdf, .svg = true }, "n .pdf or .svg" },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct lt_diags diags = { 0 };
		struct pages pages;
		assert_false(lt_pages_open(&pages, rows[i].path, NULL, fonts, &rows[i].options,
			&diags));
		assert_int_equal(diags.errors, 1);
		const char *message = diags.items[0].message;
		size_t tail = strlen(message) - strlen(rows[i].named);
		assert_string_equal(message + tail, rows[i].named);
		lt_pages_finish(&pages);
		lt_diags_finish(&diags);
		assert_int_not_equal(access(rows[i].path, F_OK), 0);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_each_kind),
		cmocka_unit_test(test_more_pages_are_numbered),
		cmocka_unit_test(test_an_svg_has_the_title),
		cmocka_unit_test(test_other_endings),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
