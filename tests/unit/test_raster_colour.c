/* The raster canvas in colour, dot by dot, as its pictures are read back. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/draw.h"
#include "photo/picture.h"

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL;
}

static int tear_down(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

struct pages {
	struct page {
		struct lt_image image;
		unsigned char *png;
		size_t length;
		unsigned metre;
	} items[4];
	unsigned count;
	bool refuse;
};

static unsigned number_at(const unsigned char *bytes)
{
	return (unsigned)bytes[0] << 24 | (unsigned)bytes[1] << 16 | (unsigned)bytes[2] << 8 |
	       bytes[3];
}

/* ISO/IEC 15948: IHDR comes first, with 8 bits a sample and colour type 2 (truecolour); pHYs has
 * dots a metre (unit 1) across and down. */
static void read_head(struct page *page)
{
	const unsigned char *png = page->png;
	assert_memory_equal(png + 12, "IHDR", 4);
	assert_int_equal(png[24], 8);
	assert_int_equal(png[25], 2);
	for (size_t at = 8; at + 12 <= page->length; at += 12 + number_at(png + at)) {
		if (memcmp(png + at + 4, "pHYs", 4) != 0)
			continue;
		assert_int_equal(number_at(png + at), 9);
		page->metre = number_at(png + at + 8);
		assert_int_equal(number_at(png + at + 12), page->metre);
		assert_int_equal(png[at + 16], 1);
	}
}

static bool keep_page(void *data, unsigned number, const unsigned char *png, size_t length,
	struct lt_diags *diags)
{
	struct pages *pages = data;
	if (pages->refuse) {
		lt_error(diags, lt_place_none(), "refused");
		return false;
	}
	assert_true(pages->count < 4);
	struct page *page = &pages->items[pages->count++];
	assert_int_equal(number, pages->count);
	page->png = lt_alloc(length);
	memcpy(page->png, png, length);
	page->length = length;
	read_head(page);
	assert_true(lt_image_read(&page->image, lt_place_none(), "page", png, length,
		LT_IMAGE_PIXELS_MOST, diags));
	return true;
}

static void free_pages(struct pages *pages)
{
	for (unsigned i = 0; i < pages->count; i++) {
		lt_image_finish(&pages->items[i].image);
		free(pages->items[i].png);
	}
	*pages = (struct pages){ 0 };
}

static void make_pages(struct pages *pages, double dpi,
	void (*draw)(struct lt_canvas *canvas, void *data), void *data)
{
	*pages = (struct pages){ 0 };
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_page_sink sink = { keep_page, pages };
	struct lt_canvas canvas;
	assert_true(lt_raster_create_colour(&canvas, dpi, fonts, &sink, &diags));
	draw(&canvas, data);
	assert_true(canvas.end_page(canvas.data, &diags));
	assert_true(canvas.finish(canvas.data, &diags));
	assert_int_equal(diags.count, 0);
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

static unsigned dot(const struct page *page, unsigned x, unsigned y)
{
	assert_true(x < page->image.width && y < page->image.height);
	const unsigned char *rgb = page->image.rgb + ((size_t)y * page->image.width + x) * 3;
	return (unsigned)rgb[0] << 16 | (unsigned)rgb[1] << 8 | rgb[2];
}

/* How many dots of a part of the page are of a colour. */
static unsigned count(const struct page *page, unsigned x, unsigned y, unsigned width,
	unsigned height, unsigned colour)
{
	unsigned sum = 0;
	for (unsigned j = y; j < y + height; j++) {
		for (unsigned i = x; i < x + width; i++)
			sum += dot(page, i, j) == colour;
	}
	return sum;
}

/* How much ink there is: 1 for a black dot, 0 for a white one. */
static double darkness(const struct page *page, unsigned x, unsigned y, unsigned width,
	unsigned height)
{
	double sum = 0;
	for (unsigned j = y; j < y + height; j++) {
		for (unsigned i = x; i < x + width; i++)
			sum += 1 - (dot(page, i, j) & 255) / 255.0;
	}
	return sum;
}

static struct lt_ink ink_of(unsigned rgb)
{
	return (struct lt_ink){ (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0,
		(rgb & 255) / 255.0 };
}

static void draw_nothing(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 54, 25);
}

/* ISO/IEC 15948, pHYs: 150 dpi is 5906 dots a metre, 300 dpi 11811. */
static void pages_are_white(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 150, draw_nothing, NULL);
	assert_int_equal(pages.count, 1);
	const struct page *page = &pages.items[0];
	assert_int_equal(page->metre, 5906);
	assert_int_equal(page->image.width, 319);
	assert_int_equal(page->image.height, 148);
	assert_int_equal(count(page, 0, 0, 319, 148, 0xFFFFFF), 319 * 148);
	free_pages(&pages);
	make_pages(&pages, 300, draw_nothing, NULL);
	assert_int_equal(pages.items[0].metre, 11811);
	free_pages(&pages);
}

/* Fields of every level of every colour, in rows of 16. */
static void draw_fields(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 51.2, 25);
	for (unsigned level = 0; level < 256; level++) {
		for (unsigned part = 0; part < 3; part++)
			canvas->rectangle(canvas->data, level * 0.2, part, 0.2, 1,
				ink_of(level << part * 8));
		const struct lt_point points[] = { { level * 0.2, 4 }, { level * 0.2 + 0.2, 4 },
			{ level * 0.2 + 0.2, 5 }, { level * 0.2, 5 } };
		struct lt_ink fill = ink_of(level << 16 | (255 - level) << 8 | 0x42);
		canvas->polygon(canvas->data, points, 4, NULL, &fill);
	}
}

static void colours_are_exact(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_fields, NULL);
	const struct page *page = &pages.items[0];
	for (unsigned level = 0; level < 256; level++) {
		for (unsigned part = 0; part < 3; part++)
			assert_int_equal(count(page, level * 2, part * 10, 2, 10,
						 level << part * 8),
				20);
		assert_int_equal(dot(page, level * 2, 44), level << 16 | (255 - level) << 8 | 0x42);
	}
	assert_int_equal(count(page, 0, 31, 512, 8, 0xFFFFFF), 512 * 8);
	free_pages(&pages);
}

struct symbol {
	struct lt_qr qr;
	double module;
};

static void draw_symbol(struct lt_canvas *canvas, void *data)
{
	const struct symbol *symbol = data;
	canvas->begin_page(canvas->data, 30, 30);
	canvas->qr(canvas->data, 3.1, 2.3, symbol->module, &symbol->qr);
}

/* Where the black-and-white raster has it, and with nothing but black and white. */
static void check_symbol(double dpi, double module, unsigned dots)
{
	enum { MODULES = 21 };
	unsigned char cells[MODULES * MODULES];
	unsigned seed = 7;
	for (size_t i = 0; i < sizeof(cells); i++) {
		seed = seed * 1103515245u + 12345u;
		cells[i] = seed >> 16 & 1;
	}
	struct symbol symbol = { { MODULES, cells }, module };
	struct pages pages;
	make_pages(&pages, dpi, draw_symbol, &symbol);
	const struct page *page = &pages.items[0];
	double scale = dpi / 25.4;
	double spare = (module * scale - dots) * MODULES / 2;
	unsigned left = (unsigned)lround(3.1 * scale + spare);
	unsigned top = (unsigned)lround(2.3 * scale + spare);
	unsigned sum = 0;
	for (unsigned y = 0; y < MODULES; y++) {
		for (unsigned x = 0; x < MODULES; x++) {
			unsigned black =
				count(page, left + x * dots, top + y * dots, dots, dots, 0);
			assert_int_equal(black, lt_qr_dark(&symbol.qr, x, y) ? dots * dots : 0);
			sum += black;
		}
	}
	unsigned width = page->image.width, height = page->image.height;
	assert_true(sum > 0);
	assert_int_equal(count(page, 0, 0, width, height, 0), sum);
	assert_int_equal(count(page, 0, 0, width, height, 0xFFFFFF), width * height - sum);
	free_pages(&pages);
}

static void symbols_have_sharp_edges(void **state)
{
	(void)state;
	check_symbol(150, 0.5, 2); /* 2.95 dots are two whole ones */
	check_symbol(203, 0.52, 4);
	check_symbol(300, 0.42, 4);
	check_symbol(150, 0.05, 1);
}

static void draw_shapes(struct lt_canvas *canvas, void *data)
{
	(void)data;
	/* 254 dpi: ten dots a mm. */
	canvas->begin_page(canvas->data, 60, 40);
	struct lt_ink red = ink_of(0xFF0000);
	const struct lt_pen thin = { .line = 0.001, .ink = LT_BLACK };
	const struct lt_pen ring = { .line = 1, .ink = red };
	const struct lt_pen dashed = { .line = 1, .ink = red, .dash = 2 };
	canvas->rectangle(canvas->data, 1.04, 1, 2, 1.02, red);
	canvas->line(canvas->data, 10, 1, 20, 1, 0.3, red);
	canvas->line(canvas->data, 25, 5, 25, 1, 0.001, red);
	canvas->frame(canvas->data, 10, 10, 10, 5, 0.2, red);
	canvas->line(canvas->data, 2, 20, 8, 26, 0.5, LT_BLACK);
	const struct lt_point slope[] = { { 15, 20 }, { 25, 30 }, { 35, 20 } };
	canvas->polyline(canvas->data, slope, 3, &thin);
	const struct lt_point level[] = { { 5, 35 }, { 25, 35 } };
	canvas->polyline(canvas->data, level, 2, &dashed);
	const struct lt_point triangle[] = { { 28, 2.03 }, { 38, 2.03 }, { 28, 12.03 } };
	canvas->polygon(canvas->data, triangle, 3, NULL, &LT_BLACK);
	canvas->circle(canvas->data, 50, 10, 5, NULL, &LT_BLACK);
	canvas->circle(canvas->data, 50, 28, 6, &ring, &LT_WHITE);
	/* Nothing to draw, or nothing to draw with. */
	canvas->polygon(canvas->data, slope, 2, &ring, &LT_BLACK);
	canvas->polyline(canvas->data, slope, 1, &ring);
	canvas->polyline(canvas->data, NULL, 0, &ring);
	canvas->circle(canvas->data, 40, 35, 0, &ring, &LT_BLACK);
	canvas->circle(canvas->data, 40, 35, 3, NULL, NULL);
	canvas->polygon(canvas->data, slope, 3, NULL, NULL);
}

static void shapes_are_where_they_are_drawn(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_shapes, NULL);
	const struct page *page = &pages.items[0];
	const unsigned red = 0xFF0000, white = 0xFFFFFF;
	assert_int_equal(count(page, 10, 10, 20, 10, red), 200);
	assert_int_equal(count(page, 0, 0, 60, 60, white), 3600 - 200);
	assert_int_equal(count(page, 100, 9, 100, 3, red), 300);
	assert_int_equal(count(page, 90, 0, 120, 60, white), 120 * 60 - 300);
	/* A dot at least. */
	assert_int_equal(count(page, 245, 10, 10, 40, red), 40);
	assert_int_equal(count(page, 99, 99, 102, 52, red), 102 * 52 - 98 * 48);
	assert_int_equal(count(page, 101, 101, 98, 48, white), 98 * 48);

	/* Slanted: as much ink as the area, of which some is neither black nor white. */
	double line = darkness(page, 10, 190, 80, 80);
	assert_true(fabs(line - 5 * 60 * sqrt(2)) < 5);
	unsigned clear = count(page, 10, 190, 80, 80, 0) + count(page, 10, 190, 80, 80, white);
	assert_in_range(clear, 80 * 80 - 400, 80 * 80 - 60);
	double slope = darkness(page, 140, 190, 220, 120);
	assert_true(fabs(slope - 200 * sqrt(2)) < 5);
	assert_true(fabs(darkness(page, 275, 10, 120, 120) - 5000) < 5);
	for (unsigned i = 0; i < 5; i++) {
		assert_int_equal(count(page, 50 + 40 * i, 345, 20, 10, red), 200);
		assert_int_equal(count(page, 70 + 40 * i, 345, 20, 10, white), 200);
	}
	/* A circle's edge is true to a tenth of a dot. */
	double area = darkness(page, 445, 45, 110, 110);
	assert_true(fabs(area - acos(-1) * 50 * 50) < 0.1 * 314);
	double circle = darkness(page, 430, 210, 140, 140);
	assert_true(fabs(circle - acos(-1) * (65 * 65 - 55 * 55)) < 0.1 * (408 + 346));
	assert_int_equal(count(page, 465, 245, 70, 70, white), 4900);
	assert_int_equal(count(page, 365, 315, 70, 70, white), 4900);
	free_pages(&pages);
}

static void draw_images(struct lt_canvas *canvas, void *data)
{
	(void)data;
	unsigned char four[] = { 255, 0, 0, 0, 255, 0, 0, 0, 255, 1, 2, 3 };
	canvas->begin_page(canvas->data, 40, 30);
	canvas->image(canvas->data, 5, 5, 10, 10, &(struct lt_image){ 2, 2, four });
	canvas->image(canvas->data, 36, 26, 10, 10, &(struct lt_image){ 2, 2, four });
	canvas->image(canvas->data, 20, 20, 10, 5, &(struct lt_image){ 0 });
	/* More pixels than dots: two of them to one dot across, red and blue by turns. */
	unsigned char stripes[60 * 60 * 3] = { 0 };
	for (unsigned i = 0; i < 3600; i++)
		stripes[3 * i + (i % 2 == 0 ? 0 : 2)] = 255;
	canvas->image(canvas->data, 20, 20, 3, 3, &(struct lt_image){ 60, 60, stripes });
}

static void images_keep_their_colours(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_images, NULL);
	const struct page *page = &pages.items[0];
	assert_int_equal(count(page, 50, 50, 50, 50, 0xFF0000), 2500);
	assert_int_equal(count(page, 100, 50, 50, 50, 0x00FF00), 2500);
	assert_int_equal(count(page, 50, 100, 50, 50, 0x0000FF), 2500);
	assert_int_equal(count(page, 100, 100, 50, 50, 0x010203), 2500);
	assert_int_equal(count(page, 360, 260, 40, 40, 0xFF0000), 1600);
	/* Averages, not whichever pixel lies under a dot. */
	assert_int_equal(count(page, 200, 200, 30, 30, 0x800080), 900);
	assert_int_equal(count(page, 0, 0, 400, 300, 0xFFFFFF), 120000 - 10000 - 1600 - 900);
	free_pages(&pages);
}

static void draw_texts(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 54, 25);
	canvas->text(canvas->data, 2, 10, LT_TYPEFACE_BOLD, 6, LT_BLACK, "12H\u03A9");
	canvas->rectangle(canvas->data, 27, 0, 27, 25, LT_BLACK);
	canvas->text(canvas->data, 29, 10, LT_TYPEFACE_BOLD, 6, ink_of(0xFF8000), "12H\u03A9");
	canvas->text(canvas->data, 2, 22, LT_TYPEFACE_BOLD, 6, LT_BLACK, "\U0001D538\u6F22");
}

static void text_is_antialiased_and_where_measured(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_texts, NULL);
	const struct page *page = &pages.items[0];
	struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_typeface_heights heights = measure.heights(measure.data, LT_TYPEFACE_BOLD);
	unsigned width =
		(unsigned)ceil(lt_text_width(&measure, LT_TYPEFACE_BOLD, 6, "12H\u03A9") * 10);
	unsigned tall = (unsigned)lround(heights.capital * 60);
	double ink = darkness(page, 20, 100 - tall - 1, width, tall + 2);
	assert_true(ink > width * tall / 5.0 && ink < width * tall * 3 / 4.0);
	/* All of it is within its box. */
	assert_true(fabs(darkness(page, 0, 0, 270, 120) - ink) < 1e-6);
	/* Grey at the edges, and no colour there (as dots of a screen's colours would have). */
	unsigned soft = 0;
	for (unsigned y = 0; y < 120; y++) {
		for (unsigned x = 0; x < 270; x++) {
			unsigned here = dot(page, x, y);
			assert_int_equal(here >> 16, here & 255);
			assert_int_equal(here >> 8 & 255, here & 255);
			soft += here != 0 && here != 0xFFFFFF;
		}
	}
	assert_true(soft > 50);
	/* On black: between black and the ink, by as much as the first is between white and black.
	 */
	for (unsigned y = 0; y < 120; y++) {
		for (unsigned x = 0; x < width; x++) {
			unsigned covered = 255 - (dot(page, 20 + x, y) & 255);
			unsigned here = dot(page, 290 + x, y);
			assert_int_equal(here >> 16, covered);
			assert_int_equal(here >> 8 & 255, (covered * 0x80 + 127) / 255);
			assert_int_equal(here & 255, 0);
		}
	}
	/* What cannot be shown is not left out. */
	assert_true(darkness(page, 20, 160, 100, 80) > 200);
	free_pages(&pages);
}

static void draw_small_text(struct lt_canvas *canvas, void *data)
{
	const double *x = data;
	canvas->begin_page(canvas->data, 60, 10);
	canvas->text(canvas->data, *x, 5, LT_TYPEFACE_REGULAR, 2.1, LT_BLACK,
		"lllllllllllllllllll");
}

/* At 150 dpi a small letter's width is few dots: its place is rounded to less than one. */
static void small_letters_are_spaced_evenly(void **state)
{
	(void)state;
	double x = 3;
	struct pages pages;
	make_pages(&pages, 150, draw_small_text, &x);
	const struct page *page = &pages.items[0];
	struct lt_measure measure = lt_fonts_measure(fonts);
	double step = lt_text_width(&measure, LT_TYPEFACE_REGULAR, 2.1, "l") * 150 / 25.4;
	double first = 0;
	for (unsigned i = 0; i < 19; i++) {
		double from = 3 * 150 / 25.4 + i * step;
		/* The letter's middle, by the weight of its ink. */
		double sum = 0, weight = 0;
		for (unsigned at = (unsigned)floor(from); at < from + step; at++) {
			double ink = darkness(page, at, 0, 1, page->image.height);
			double share = fmin(at + 1, from + step) - fmax(at, from);
			sum += ink * share * (at + 0.5 - from);
			weight += ink * share;
		}
		assert_true(weight > 5);
		if (i == 0)
			first = sum / weight;
		assert_true(fabs(sum / weight - first) < 0.3);
	}
	free_pages(&pages);
}

static void end_page(struct lt_canvas *canvas)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	assert_true(canvas->end_page(canvas->data, &diags));
	lt_diags_finish(&diags);
}

static void draw_mixed(struct lt_canvas *canvas)
{
	canvas->begin_page(canvas->data, 54, 25);
	canvas->circle(canvas->data, 10, 10, 7.3, NULL, &LT_GREY(0.3));
	canvas->text(canvas->data, 2, 10, LT_TYPEFACE_BOLD, 6, LT_BLACK, "12H");
	canvas->text(canvas->data, 2, 20, LT_TYPEFACE_BOLD, 14, LT_BLACK, "x");
	canvas->line(canvas->data, 1, 1, 50, 20, 0.3, ink_of(0x123456));
}

static void draw_three(struct lt_canvas *canvas, void *data)
{
	(void)data;
	draw_mixed(canvas);
	end_page(canvas);
	canvas->begin_page(canvas->data, 25, 13);
	canvas->rectangle(canvas->data, 0, 0, 25, 13, LT_BLACK);
	canvas->text(canvas->data, 2, 10.1, LT_TYPEFACE_REGULAR, 4, LT_WHITE, "34\u0441");
	end_page(canvas);
	draw_mixed(canvas);
}

static void pages_repeat_exactly(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 203, draw_three, NULL);
	assert_int_equal(pages.count, 3);
	assert_int_equal(pages.items[0].length, pages.items[2].length);
	assert_memory_equal(pages.items[0].png, pages.items[2].png, pages.items[0].length);
	free_pages(&pages);
}

/* Off the page, off the scale, and not numbers at all. */
static void draw_nonsense(struct lt_canvas *canvas, void *data)
{
	(void)data;
	static const double strange[] = { 1e300, -1e300, (double)NAN, (double)INFINITY, 1e-9, -3 };
	canvas->begin_page(canvas->data, 20, 20);
	unsigned char cell = 1;
	struct lt_qr qr = { 1, &cell };
	for (size_t i = 0; i < 6; i++) {
		double at = strange[i];
		canvas->text(canvas->data, at, at, LT_TYPEFACE_BOLD, 4, LT_BLACK, "Mj");
		canvas->text(canvas->data, 19, 1, LT_TYPEFACE_BOLD, 4, LT_GREY(at), "Mj");
		canvas->text(canvas->data, -1, 21, LT_TYPEFACE_BOLD, 4, LT_GREY(at), "Mj");
		canvas->rectangle(canvas->data, at, 1, 1, at, LT_GREY(at));
		canvas->line(canvas->data, 1, at, 1, 1, at, LT_BLACK);
		canvas->line(canvas->data, 1, at, 2, 1, at, LT_BLACK);
		canvas->frame(canvas->data, 1, at, 1, at, at, LT_BLACK);
		const struct lt_pen pen = { at, LT_BLACK, at };
		const struct lt_point points[] = { { at, 1 }, { 1, at }, { at, at } };
		canvas->polyline(canvas->data, points, 3, &pen);
		canvas->polygon(canvas->data, points, 3, &pen, &LT_BLACK);
		canvas->circle(canvas->data, 1, 1, at, &pen, &LT_BLACK);
		canvas->circle(canvas->data, at, 1, 1, &pen, &LT_BLACK);
		const struct lt_image image = { 1, 1, (unsigned char[]){ 1, 2, 3 } };
		canvas->image(canvas->data, 1, at, at, 1, &image);
		canvas->image(canvas->data, at, 1, 1, at, &image);
		canvas->qr(canvas->data, at, 1, at, &qr);
	}
}

static void invalid_calls_do_no_harm(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 203, draw_nonsense, NULL);
	assert_int_equal(pages.count, 1);
	free_pages(&pages);
}

static void reports_what_is_wrong(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct pages pages = { 0 };
	struct lt_page_sink sink = { keep_page, &pages };
	struct lt_canvas canvas;
	static const double resolutions[] = { 0, -203, 9, 5001, (double)NAN, (double)INFINITY };
	for (size_t i = 0; i < 6; i++) {
		assert_false(lt_raster_create_colour(&canvas, resolutions[i], fonts, &sink,
			&diags));
		assert_int_equal(diags.errors, i + 1);
		assert_null(canvas.data);
	}
	/* The last ones fit in black and white, and would take more than half a gigabyte here. */
	static const double sizes[][2] = { { 0, 10 }, { -1, 10 }, { (double)NAN, 10 }, { 4000, 10 },
		{ 2000, 2000 } };
	for (size_t i = 0; i < 5; i++) {
		assert_true(lt_raster_create_colour(&canvas, 203, fonts, &sink, &diags));
		canvas.begin_page(canvas.data, sizes[i][0], sizes[i][1]);
		canvas.text(canvas.data, 1, 1, LT_TYPEFACE_BOLD, 2, LT_BLACK, "x");
		canvas.polyline(canvas.data, (struct lt_point[]){ { 1, 1 }, { 2, 2 } }, 2,
			&(struct lt_pen){ .line = 1 });
		assert_false(canvas.end_page(canvas.data, &diags));
		const char *message = diags.items[diags.count - 1].message;
		assert_non_null(strstr(message, "cannot be "));
		assert_non_null(strstr(message, "a page at most 150 million"));
		assert_false(canvas.finish(canvas.data, &diags));
		lt_canvas_destroy(&canvas);
	}
	assert_int_equal(pages.count, 0);
	pages.refuse = true;
	assert_true(lt_raster_create_colour(&canvas, 203, fonts, &sink, &diags));
	canvas.begin_page(canvas.data, 10, 10);
	assert_false(canvas.end_page(canvas.data, &diags));
	assert_string_equal(diags.items[diags.count - 1].message, "refused");
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(pages_are_white),
		cmocka_unit_test(colours_are_exact),
		cmocka_unit_test(symbols_have_sharp_edges),
		cmocka_unit_test(shapes_are_where_they_are_drawn),
		cmocka_unit_test(images_keep_their_colours),
		cmocka_unit_test(text_is_antialiased_and_where_measured),
		cmocka_unit_test(small_letters_are_spaced_evenly),
		cmocka_unit_test(pages_repeat_exactly),
		cmocka_unit_test(invalid_calls_do_no_harm),
		cmocka_unit_test(reports_what_is_wrong),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
