/* Reading codes in pictures, drawn here; how well it does on photographs is for the outside checks
 * to say. */
#include "unit/unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/label.h"
#include "photo/picture.h"

/* A sheet of grey paper. */
static struct lt_image make_image(unsigned width, unsigned height)
{
	struct lt_image image = { width, height, lt_alloc((size_t)width * height * 3) };
	memset(image.rgb, 200, (size_t)width * height * 3);
	return image;
}

/* Draws a code with its quiet zone in two shades of grey, `module` pixels a module. */
static void draw(struct lt_image *image, const char *text, unsigned left, unsigned top,
	unsigned module, unsigned char dark, unsigned char light)
{
	struct lt_arena arena = { NULL };
	struct lt_diags diags = { 0 };
	struct lt_qr_plan plan;
	struct lt_qr qr;
	assert_true(lt_qr_plan(&plan, text, LT_QR_M));
	assert_true(lt_qr_encode(&qr, &arena, text, &plan, &diags));
	const unsigned side = (qr.modules + 2 * LT_QR_QUIET) * module;
	assert_true(left + side <= image->width && top + side <= image->height);
	for (unsigned y = 0; y < side; y++) {
		for (unsigned x = 0; x < side; x++) {
			const unsigned u = x / module - LT_QR_QUIET, v = y / module - LT_QR_QUIET;
			const bool inside = u < qr.modules && v < qr.modules;
			memset(image->rgb + ((size_t)(top + y) * image->width + left + x) * 3,
				inside && lt_qr_dark(&qr, u, v) ? dark : light, 3);
		}
	}
	lt_diags_finish(&diags);
	lt_arena_finish(&arena);
}

/* What is found is what is expected, in whatever order; NULL ends the list. */
static void assert_codes(const struct lt_image *image, const char *const *expected)
{
	struct lt_arena arena = { NULL };
	const char **found;
	const size_t count = lt_picture_codes(&found, &arena, image);
	size_t wanted = 0;
	for (; expected[wanted] != NULL; wanted++) {
		size_t i = 0;
		while (i < count && strcmp(found[i], expected[wanted]) != 0)
			i++;
		if (i == count)
			fail_msg("\"%s\" is not found", expected[wanted]);
	}
	assert_int_equal(count, wanted);
	lt_arena_finish(&arena);
}

static void texts_are_read_back_unchanged(void **state)
{
	(void)state;
	/* Latin with accents, Cyrillic, Greek, an arrow: UTF-8, byte for byte. */
	static const char *const texts[] = { "12HRV3J", "HTTP://BENCH.LOCAL:8080/12HRV3J",
		"12HRV3J Ölstandsgeber à tribord", "12MRV3D датчик глубины",
		"3HRV3 αισθητήρας → Y1; GNYE", "日本 ¥ 漢字", "http://h/12HRV3J/#map" };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		struct lt_image image = make_image(400, 360);
		draw(&image, texts[i], 30, 20, 5, 20, 230);
		assert_codes(&image, (const char *const[]){ texts[i], NULL });
		lt_image_finish(&image);
	}
}

static void every_code_is_found_once_at_every_size(void **state)
{
	(void)state;
	struct lt_image image = make_image(1500, 900);
	draw(&image, "12HRV3J", 10, 10, 3, 20, 230);
	draw(&image, "12HRV3J", 300, 10, 4, 20, 230);
	draw(&image, "12MRV3D", 600, 20, 28, 30, 210);
	draw(&image, "3HRV3", 20, 400, 6, 172, 200); /* hardly any contrast */
	assert_codes(&image, (const char *const[]){ "12HRV3J", "12MRV3D", "3HRV3", NULL });
	lt_image_finish(&image);
}

static void nothing_is_found_in_an_empty_picture(void **state)
{
	(void)state;
	static const unsigned sides[][2] = { { 1, 1 }, { 1, 700 }, { 700, 1 }, { 2, 3 }, { 33, 31 },
		{ 801, 33 } };
	for (size_t i = 0; i < sizeof(sides) / sizeof(sides[0]); i++) {
		struct lt_image image = make_image(sides[i][0], sides[i][1]);
		for (size_t at = 0; at < (size_t)image.width * image.height * 3; at++)
			image.rgb[at] = (unsigned char)(at * at * 2654435761u >> 13);
		assert_codes(&image, (const char *const[]){ NULL });
		lt_image_finish(&image);
	}
}

static void other_files_are_refused(void **state)
{
	(void)state;
	static const char *const paths[] = { "README.md", "samples", "no-such-file.jpg" };
	for (size_t i = 0; i < sizeof(paths) / sizeof(paths[0]); i++) {
		struct lt_arena arena = { NULL };
		struct lt_diags diags = { 0 };
		const char **found;
		size_t count;
		assert_false(lt_picture_read(&found, &count, &arena, paths[i], &diags));
		assert_int_equal(count, 0);
		assert_int_equal(diags.errors, 1);
		assert_string_equal(diags.items[0].place.file, paths[i]);
		lt_diags_finish(&diags);
		lt_arena_finish(&arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(texts_are_read_back_unchanged),
		cmocka_unit_test(every_code_is_found_once_at_every_size),
		cmocka_unit_test(nothing_is_found_in_an_empty_picture),
		cmocka_unit_test(other_files_are_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
