/* The raster canvas, dot by dot, as libpng reads its pictures back. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <png.h>

#include "loomtag/draw.h"

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

/* A page as it came out: a byte a dot, 1 black. */
struct page {
	unsigned width, height;
	unsigned metre; /* dots */
	unsigned char *dots;
	unsigned char *png;
	size_t length;
};

struct pages {
	struct page items[4];
	unsigned count;
	bool refuse;
};

struct reader {
	const unsigned char *bytes;
	size_t left;
};

static void read_bytes(png_structp png, png_bytep out, size_t length)
{
	struct reader *reader = png_get_io_ptr(png);
	assert_true(length <= reader->left);
	memcpy(out, reader->bytes, length);
	reader->bytes += length;
	reader->left -= length;
}

/* A PNG with an error in it ends the program, and so the test. */
static void read_png(struct page *page)
{
	png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
	png_infop info = png_create_info_struct(png);
	struct reader reader = { page->png, page->length };
	png_set_read_fn(png, &reader, read_bytes);
	png_read_info(png, info);
	page->width = png_get_image_width(png, info);
	page->height = png_get_image_height(png, info);
	assert_int_equal(png_get_bit_depth(png, info), 1);
	assert_int_equal(png_get_color_type(png, info), PNG_COLOR_TYPE_GRAY);
	png_uint_32 x, y;
	int unit;
	assert_true(png_get_pHYs(png, info, &x, &y, &unit) != 0);
	assert_int_equal(unit, PNG_RESOLUTION_METER);
	assert_int_equal(x, y);
	page->metre = x;
	png_set_packing(png);
	page->dots = lt_alloc((size_t)page->width * page->height);
	for (unsigned row = 0; row < page->height; row++)
		png_read_row(png, page->dots + (size_t)row * page->width, NULL);
	png_read_end(png, NULL);
	assert_int_equal(reader.left, 0);
	png_destroy_read_struct(&png, &info, NULL);
	for (size_t i = 0; i < (size_t)page->width * page->height; i++)
		page->dots[i] = !page->dots[i];
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
	read_png(page);
	return true;
}

static void free_pages(struct pages *pages)
{
	for (unsigned i = 0; i < pages->count; i++) {
		free(pages->items[i].dots);
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
	assert_true(lt_raster_create(&canvas, dpi, fonts, &sink, &diags));
	draw(&canvas, data);
	assert_true(canvas.end_page(canvas.data, &diags));
	assert_true(canvas.finish(canvas.data, &diags));
	assert_int_equal(diags.count, 0);
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

static bool black(const struct page *page, unsigned x, unsigned y)
{
	assert_true(x < page->width && y < page->height);
	return page->dots[(size_t)y * page->width + x] != 0;
}

static unsigned count_black(const struct page *page, unsigned x, unsigned y, unsigned width,
	unsigned height)
{
	unsigned count = 0;
	for (unsigned j = y; j < y + height; j++) {
		for (unsigned i = x; i < x + width; i++)
			count += black(page, i, j);
	}
	return count;
}

static unsigned count_all(const struct page *page)
{
	return count_black(page, 0, 0, page->width, page->height);
}

static void draw_nothing(struct lt_canvas *canvas, void *data)
{
	const double *size = data;
	canvas->begin_page(canvas->data, size[0], size[1]);
}

/* Dots a metre: ISO/IEC 15948 (PNG), pHYs; 203 dpi is 7992, 300 dpi 11811. */
static void pages_have_whole_dots(void **state)
{
	(void)state;
	static const struct {
		double dpi, size[2];
		unsigned width, height, metre;
	} cases[] = {
		{ 203, { 54, 25 }, 432, 200, 7992 },
		{ 300, { 25, 13 }, 295, 154, 11811 },
		{ 600, { 25.4, 12.7 }, 600, 300, 23622 },
		{ 203, { 0.1, 0.1 }, 1, 1, 7992 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct pages pages;
		double size[2] = { cases[i].size[0], cases[i].size[1] };
		make_pages(&pages, cases[i].dpi, draw_nothing, size);
		assert_int_equal(pages.count, 1);
		assert_int_equal(pages.items[0].width, cases[i].width);
		assert_int_equal(pages.items[0].height, cases[i].height);
		assert_int_equal(pages.items[0].metre, cases[i].metre);
		assert_int_equal(count_all(&pages.items[0]), 0);
		free_pages(&pages);
	}
}

struct symbol {
	struct lt_qr qr;
	double x, y, module;
};

static void draw_symbol(struct lt_canvas *canvas, void *data)
{
	const struct symbol *symbol = data;
	canvas->begin_page(canvas->data, 30, 30);
	canvas->qr(canvas->data, symbol->x, symbol->y, symbol->module, &symbol->qr);
}

/* Every module is the same square of whole dots, and the symbol is in the middle of its place. */
static void check_symbol(double dpi, double module, unsigned dots)
{
	enum { MODULES = 21 };
	unsigned char cells[MODULES * MODULES];
	unsigned seed = 7;
	for (size_t i = 0; i < sizeof(cells); i++) {
		seed = seed * 1103515245u + 12345u;
		cells[i] = seed >> 16 & 1;
	}
	/* So that the corners can be seen. */
	cells[0] = cells[MODULES - 1] = cells[sizeof(cells) - 1] = 1;
	struct symbol symbol = { { MODULES, cells }, 3.1, 2.3, module };
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
			unsigned filled =
				count_black(page, left + x * dots, top + y * dots, dots, dots);
			assert_int_equal(filled, lt_qr_dark(&symbol.qr, x, y) ? dots * dots : 0);
			sum += filled;
		}
	}
	assert_int_equal(count_all(page), sum);
	free_pages(&pages);
}

static void symbols_have_modules_of_whole_dots(void **state)
{
	(void)state;
	check_symbol(203, 0.5, 3);            /* 3.996 dots are three whole ones */
	check_symbol(203, 4 * 25.4 / 203, 4); /* as a sum of dots is given in mm */
	check_symbol(203, 0.52, 4);
	check_symbol(300, 0.42, 4); /* 4.96 */
	check_symbol(600, 0.33, 7); /* 7.8 */
	check_symbol(203, 0.05, 1); /* never less than one */
	for (int n = 1; n <= 10; n++) {
		check_symbol(203, n * 25.4 / 203, (unsigned)n);
		check_symbol(300, n * 25.4 / 300, (unsigned)n);
	}
}

static void draw_shapes(struct lt_canvas *canvas, void *data)
{
	(void)data;
	/* 254 dpi: ten dots a mm. */
	canvas->begin_page(canvas->data, 40, 30);
	canvas->rectangle(canvas->data, 1.04, 1, 2, 1.02, LT_BLACK);
	canvas->rectangle(canvas->data, 3.04, 1, 2, 0.001, LT_GREY(0.4));
	canvas->rectangle(canvas->data, 1, 5, 2, 1, LT_GREY(0.6));
	canvas->line(canvas->data, 10, 1, 20, 1, 0.3, LT_BLACK);
	canvas->line(canvas->data, 20, 3, 10, 3, 0.001, LT_BLACK);
	canvas->line(canvas->data, 25, 5, 25, 1, 0.2, LT_BLACK);
	canvas->frame(canvas->data, 10, 10, 10, 5, 0.2, LT_BLACK);
	canvas->rectangle(canvas->data, 25, 10, 10, 10, LT_BLACK);
	canvas->rectangle(canvas->data, 26, 11, 8, 8, LT_WHITE);
	canvas->line(canvas->data, 2, 20, 8, 26, 0.1, LT_BLACK);
}

static void shapes_lie_on_dots(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_shapes, NULL);
	const struct page *page = &pages.items[0];
	assert_int_equal(page->width, 400);
	assert_int_equal(count_black(page, 10, 10, 20, 10), 200);
	assert_int_equal(count_black(page, 30, 10, 20, 1), 20);
	/* Only these two in that corner: the lighter grey is white. */
	assert_int_equal(count_black(page, 0, 0, 60, 60), 220);

	/* Three dots about y = 10, one at 30, two about x = 250. */
	assert_int_equal(count_black(page, 100, 9, 100, 3), 300);
	assert_int_equal(count_black(page, 100, 30, 100, 1), 100);
	assert_int_equal(count_black(page, 90, 0, 120, 60), 400);
	assert_int_equal(count_black(page, 249, 10, 2, 40), 80);
	assert_int_equal(count_black(page, 240, 0, 20, 60), 80);

	/* 102 x 52 dots outside, 98 x 48 inside. */
	assert_int_equal(count_black(page, 99, 99, 102, 52), 102 * 52 - 98 * 48);
	assert_int_equal(count_black(page, 101, 101, 98, 48), 0);
	assert_int_equal(count_black(page, 250, 100, 100, 100), 10000 - 6400);

	/* The slanting line has ink all the way. */
	for (unsigned i = 0; i < 60; i += 5)
		assert_true(count_black(page, 20 + i, 200 + i, 5, 5) >= 3);
	assert_true(count_black(page, 15, 195, 70, 70) < 200);
	free_pages(&pages);
}

static void draw_outlines(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 60, 40);
	const struct lt_pen thin = { .line = 0.001, .ink = LT_BLACK };
	const struct lt_pen thick = { .line = 1, .ink = LT_BLACK };
	const struct lt_pen dashed = { .line = 1, .ink = LT_BLACK, .dash = 2 };
	const struct lt_point square[] = { { 5, 5 }, { 15, 5 }, { 15, 15 }, { 5, 15 } };
	const struct lt_point triangle[] = { { 20, 5 }, { 30, 5 }, { 20, 15 } };
	const struct lt_point level[] = { { 5, 35 }, { 25, 35 } };
	const struct lt_point slope[] = { { 5, 20 }, { 15, 30 }, { 25, 20 } };
	canvas->polygon(canvas->data, square, 4, NULL, &LT_BLACK);
	canvas->polygon(canvas->data, triangle, 3, NULL, &LT_GREY(0.4));
	canvas->polyline(canvas->data, level, 2, &dashed);
	canvas->polyline(canvas->data, slope, 3, &thin);
	canvas->line(canvas->data, 5, 38, 25, 38.5, 0.5, LT_BLACK);
	canvas->circle(canvas->data, 45, 10, 5, NULL, &LT_BLACK);
	canvas->circle(canvas->data, 45, 28, 6, &thick, &LT_WHITE);
	/* Nothing to draw, or nothing to draw with. */
	canvas->polygon(canvas->data, square, 2, &thick, &LT_BLACK);
	canvas->polyline(canvas->data, square, 1, &thick);
	canvas->polyline(canvas->data, NULL, 0, &thick);
	canvas->polygon(canvas->data, level, 2, &thick, NULL);
	canvas->circle(canvas->data, 33, 30, 0, &thick, &LT_BLACK);
	canvas->circle(canvas->data, 33, 30, 3, NULL, NULL);
}

static void outlines_lie_on_dots(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_outlines, NULL);
	const struct page *page = &pages.items[0];
	assert_int_equal(count_black(page, 50, 50, 100, 100), 10000);
	assert_int_equal(count_black(page, 40, 40, 120, 120), 10000);
	assert_true(abs((int)count_black(page, 190, 40, 120, 120) - 5000) <= 100);
	assert_int_equal(count_black(page, 260, 110, 40, 40), 0);
	for (unsigned i = 0; i < 5; i++) {
		assert_int_equal(count_black(page, 50 + 40 * i, 345, 20, 10), 200);
		assert_int_equal(count_black(page, 70 + 40 * i, 345, 20, 10), 0);
	}
	/* The thin line has ink in each of its columns, and is not closed. */
	for (unsigned i = 0; i < 190; i++)
		assert_true(count_black(page, 55 + i, 190, 1, 120) >= 1);
	assert_true(count_black(page, 40, 190, 220, 120) < 420);
	/* A line drawn after a dashed one is whole. */
	for (unsigned i = 0; i < 200; i += 10)
		assert_true(count_black(page, 50 + i, 375, 1, 15) >= 4);
	int area = (int)count_black(page, 395, 45, 110, 110);
	assert_true(abs(area - (int)(acos(-1) * 50 * 50)) < 80);
	assert_int_equal(count_black(page, 400, 50, 14, 14), 0);
	/* A ring about 2 x 6 mm, a mm thick, white within. */
	int ring = (int)count_black(page, 380, 210, 140, 140);
	assert_true(abs(ring - (int)(acos(-1) * (65 * 65 - 55 * 55))) < 120);
	assert_int_equal(count_black(page, 415, 245, 70, 70), 0);
	assert_int_equal(count_black(page, 270, 250, 100, 110), 0);
	free_pages(&pages);
}

/* Four fields: white and black, a grey, and one that is red on the left and green on the right. */
static void draw_images(struct lt_canvas *canvas, void *data)
{
	(void)data;
	unsigned char halves[] = { 255, 255, 255, 0, 0, 0 };
	unsigned char grey[] = { 64, 64, 64 };
	unsigned char coloured[] = { 255, 0, 0, 0, 255, 0 };
	canvas->begin_page(canvas->data, 40, 30);
	canvas->rectangle(canvas->data, 4, 4, 12, 12, LT_BLACK);
	canvas->image(canvas->data, 5, 5, 10, 10, &(struct lt_image){ 2, 1, halves });
	canvas->image(canvas->data, 20, 5, 10, 10, &(struct lt_image){ 1, 1, grey });
	canvas->image(canvas->data, 5, 20, 10, 5, &(struct lt_image){ 2, 1, coloured });
	canvas->image(canvas->data, 36, 26, 10, 10, &(struct lt_image){ 1, 1, grey });
	canvas->image(canvas->data, 20, 20, 10, 5, &(struct lt_image){ 0 });
	/* More pixels than dots, every second one black. */
	unsigned char stripes[60 * 60 * 3];
	for (unsigned i = 0; i < sizeof(stripes); i++)
		stripes[i] = i / 3 % 2 == 0 ? 255 : 0;
	canvas->image(canvas->data, 20, 20, 3, 3, &(struct lt_image){ 60, 60, stripes });
}

static void images_are_as_dark_as_their_dots(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 254, draw_images, NULL);
	const struct page *page = &pages.items[0];
	/* What is white stays white, also where there was ink before. */
	assert_int_equal(count_black(page, 50, 50, 50, 100), 0);
	assert_int_equal(count_black(page, 100, 50, 50, 100), 5000);
	assert_int_equal(count_black(page, 40, 40, 120, 120), 120 * 120 - 5000);
	/* As much as the picture lacks light, evenly; what is lost leaves by the edges. */
	double grey = (255 - 64) / 255.0;
	assert_true(fabs(count_black(page, 200, 50, 100, 100) / 1e4 - grey) < 0.01);
	for (unsigned i = 0; i < 100; i += 10)
		assert_true(fabs(count_black(page, 200 + i, 140 - i, 10, 10) / 100.0 - grey) <
			    0.06);
	assert_int_equal(count_black(page, 180, 40, 20, 120), 0);
	/* ITU-R BT.709: red has 0.2126 of the light of white, green 0.7152. */
	assert_true(fabs(count_black(page, 50, 200, 50, 50) / 2500.0 - (1 - 0.2126)) < 0.02);
	assert_true(fabs(count_black(page, 100, 200, 50, 50) / 2500.0 - (1 - 0.7152)) < 0.02);
	/* Cut off by the page. */
	assert_true(fabs(count_black(page, 360, 260, 40, 40) / 1600.0 - grey) < 0.03);
	/* Averages, not whichever pixel lies under a dot. */
	assert_true(abs((int)count_black(page, 200, 200, 30, 30) - 450) < 20);
	assert_int_equal(count_black(page, 230, 200, 70, 50), 0);
	free_pages(&pages);
}

static void draw_texts(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 54, 25);
	canvas->text(canvas->data, 2, 10, LT_TYPEFACE_BOLD, 6, LT_BLACK, "12H\u03A9");
	canvas->rectangle(canvas->data, 30, 0, 24, 25, LT_BLACK);
	canvas->text(canvas->data, 32, 10, LT_TYPEFACE_BOLD, 6, LT_WHITE, "12H\u03A9");
	canvas->text(canvas->data, 2, 22, LT_TYPEFACE_BOLD, 6, LT_BLACK, "\U0001D538\u6F22");
}

static void text_is_black_and_white_where_measured(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 203, draw_texts, NULL);
	const struct page *page = &pages.items[0];
	double scale = 203 / 25.4;
	struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_typeface_heights heights = measure.heights(measure.data, LT_TYPEFACE_BOLD);
	unsigned width =
		(unsigned)ceil(lt_text_width(&measure, LT_TYPEFACE_BOLD, 6, "12H\u03A9") * scale);
	unsigned left = (unsigned)lround(2 * scale);
	unsigned right = (unsigned)lround(32 * scale);
	unsigned baseline = (unsigned)lround(10 * scale);
	unsigned tall = (unsigned)lround(heights.capital * 6 * scale);
	unsigned ink = count_black(page, left, baseline - tall - 1, width, tall + 2);
	assert_in_range(ink, width * tall / 5, width * tall * 3 / 4);
	/* All of it is within its box. */
	assert_int_equal(count_black(page, 0, 0, 235, baseline + 20), ink);

	/* White on black is the same picture turned over. */
	for (unsigned y = 0; y < baseline + 20; y++) {
		for (unsigned x = 0; x < width; x++)
			assert_true(black(page, left + x, y) != black(page, right + x, y));
	}

	/* Two characters that cannot be shown look alike. */
	unsigned step =
		(unsigned)lround(lt_text_width(&measure, LT_TYPEFACE_BOLD, 6, "\uFFFD") * scale);
	unsigned line = (unsigned)lround(22 * scale);
	assert_true(count_black(page, left, line - 40, step, 48) > 100);
	for (unsigned y = line - 40; y < line + 8; y++) {
		for (unsigned x = 0; x < step; x++)
			assert_true(black(page, left + x, y) == black(page, left + step + x, y));
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

static void draw_three(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 25, 13);
	canvas->rectangle(canvas->data, 0, 0, 25, 13, LT_BLACK);
	end_page(canvas);
	canvas->begin_page(canvas->data, 54, 25);
	canvas->text(canvas->data, 2, 10, LT_TYPEFACE_BOLD, 6, LT_BLACK, "x");
	end_page(canvas);
	canvas->begin_page(canvas->data, 54, 25);
	canvas->text(canvas->data, 2, 10, LT_TYPEFACE_BOLD, 6, LT_BLACK, "x");
}

static void pages_start_clean_and_repeat_exactly(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 203, draw_three, NULL);
	assert_int_equal(pages.count, 3);
	assert_int_equal(count_all(&pages.items[0]), pages.items[0].width * pages.items[0].height);
	assert_int_equal(pages.items[1].width, 432);
	assert_int_equal(pages.items[1].length, pages.items[2].length);
	assert_memory_equal(pages.items[1].png, pages.items[2].png, pages.items[1].length);
	free_pages(&pages);
}

struct writing {
	enum lt_typeface face;
	double em; /* dots */
	const char *text;
};

static void draw_writing(struct lt_canvas *canvas, void *data)
{
	const struct writing *writing = data;
	canvas->begin_page(canvas->data, 200, 60);
	canvas->text(canvas->data, 2, 40, writing->face, writing->em * 25.4 / 254, LT_BLACK,
		writing->text);
}

/* Other characters, sizes and faces, one unlike the last page each, then the last page. Characters
 * 1024 codes apart, and sizes 16 dots apart, are kept in the same place if any are; too large ones
 * are all in one place. */
static void draw_crowd(struct lt_canvas *canvas, void *data)
{
	const struct writing *last = data;
	struct writing before = *last;
	before.em = last->em + 16;
	draw_writing(canvas, &before);
	end_page(canvas);
	before = *last;
	before.text = "ABC\u0441\u0442\u0443";
	draw_writing(canvas, &before);
	end_page(canvas);
	before = *last;
	before.face = (last->face + 1) % LT_TYPEFACE_COUNT;
	draw_writing(canvas, &before);
	end_page(canvas);
	draw_writing(canvas, data);
}

static bool forget_page(void *data, unsigned number, const unsigned char *png, size_t length,
	struct lt_diags *diags)
{
	struct pages *pages = data;
	free_pages(pages);
	return keep_page(pages, 1, png, length, diags) && number > 0;
}

/* Characters that are kept from earlier pages are drawn as when they are drawn first. */
static void pages_do_not_depend_on_those_before(void **state)
{
	(void)state;
	static const struct writing writings[] = { { LT_TYPEFACE_REGULAR, 20, "ABC" },
		{ LT_TYPEFACE_CONDENSED_BOLD, 20, "\u0441\u0442\u0443" },
		{ LT_TYPEFACE_BOLD, 40.28125, "6H 66M 9X" }, { LT_TYPEFACE_CONDENSED, 270, "A" },
		{ LT_TYPEFACE_REGULAR, 270, "0120" } };
	for (size_t i = 0; i < sizeof(writings) / sizeof(writings[0]); i++) {
		struct writing writing = writings[i];
		struct pages alone, last = { 0 };
		make_pages(&alone, 254, draw_writing, &writing);
		struct lt_diags diags;
		struct lt_canvas canvas;
		lt_diags_init(&diags);
		const struct lt_page_sink sink = { forget_page, &last };
		assert_true(lt_raster_create(&canvas, 254, fonts, &sink, &diags));
		draw_crowd(&canvas, &writing);
		assert_true(canvas.end_page(canvas.data, &diags));
		assert_int_equal(alone.items[0].length, last.items[0].length);
		assert_memory_equal(alone.items[0].png, last.items[0].png, last.items[0].length);
		assert_true(count_all(&last.items[0]) > 100);
		lt_canvas_destroy(&canvas);
		lt_diags_finish(&diags);
		free_pages(&alone);
		free_pages(&last);
	}
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
		canvas->rectangle(canvas->data, at, 1, 1, at, LT_BLACK);
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
		assert_false(lt_raster_create(&canvas, resolutions[i], fonts, &sink, &diags));
		assert_int_equal(diags.errors, i + 1);
		assert_null(canvas.data);
	}

	/* Pages that are none, or larger than any printer's. */
	static const double sizes[][2] = { { 0, 10 }, { -1, 10 }, { (double)NAN, 10 }, { 4000, 10 },
		{ 3000, 3000 } };
	for (size_t i = 0; i < 5; i++) {
		assert_true(lt_raster_create(&canvas, 203, fonts, &sink, &diags));
		canvas.begin_page(canvas.data, sizes[i][0], sizes[i][1]);
		canvas.text(canvas.data, 1, 1, LT_TYPEFACE_BOLD, 2, LT_BLACK, "x");
		canvas.rectangle(canvas.data, 1, 1, 2, 2, LT_BLACK);
		assert_false(canvas.end_page(canvas.data, &diags));
		assert_non_null(strstr(diags.items[diags.count - 1].message, "cannot be "));
		assert_false(canvas.finish(canvas.data, &diags));
		lt_canvas_destroy(&canvas);
	}
	assert_int_equal(pages.count, 0);

	/* Nowhere to put it. */
	pages.refuse = true;
	assert_true(lt_raster_create(&canvas, 203, fonts, &sink, &diags));
	canvas.begin_page(canvas.data, 10, 10);
	assert_false(canvas.end_page(canvas.data, &diags));
	assert_string_equal(diags.items[diags.count - 1].message, "refused");
	lt_canvas_destroy(&canvas);
	lt_canvas_destroy(&canvas);
	lt_canvas_destroy(NULL);
	lt_diags_finish(&diags);
}

/* What a dot sink is handed, to be compared with the picture. */
static bool compare_page(void *data, unsigned number, const struct lt_dot_page *dot_page,
	struct lt_diags *diags)
{
	(void)diags;
	struct pages *pages = data;
	const struct lt_dots *dots = &dot_page->dots;
	assert_int_equal(number, ++pages->count);
	const struct page *page = &pages->items[number - 1];
	assert_true(dot_page->dpi == 203 && dot_page->width == 54.2 && dot_page->height == 25.1);
	assert_int_equal(dots->width, page->width);
	assert_int_equal(dots->height, page->height);
	for (unsigned y = 0; y < dots->height; y++) {
		for (unsigned x = 0; x < dots->width; x++)
			assert_int_equal(dots->bytes[y * dots->stride + x] >= 128,
				black(page, x, y));
	}
	return !pages->refuse;
}

static void draw_label(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 54.2, 25.1);
	canvas->text(canvas->data, 3, 12, LT_TYPEFACE_BOLD, 9, LT_BLACK, "12H");
	canvas->line(canvas->data, 1, 20, 50, 23, 0.4, LT_BLACK);
	canvas->rectangle(canvas->data, 40, 2, 9, 9, LT_GREY(0.3));
	canvas->rectangle(canvas->data, 42, 4, 4, 5, LT_WHITE);
}

static void dots_are_those_of_the_picture(void **state)
{
	(void)state;
	struct pages pages;
	make_pages(&pages, 203, draw_label, NULL);
	assert_true(count_all(&pages.items[0]) > 1000);
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_dot_sink sink = { compare_page, &pages };
	struct lt_canvas canvas;
	assert_true(lt_raster_create_dots(&canvas, 203, fonts, &sink, &diags));
	pages.count = 0;
	draw_label(&canvas, NULL);
	assert_true(canvas.end_page(canvas.data, &diags));
	assert_int_equal(pages.count, 1);
	assert_true(canvas.finish(canvas.data, &diags));
	lt_canvas_destroy(&canvas);
	assert_false(lt_raster_create_dots(&canvas, 5, fonts, &sink, &diags));
	assert_int_equal(diags.errors, 1);
	lt_diags_finish(&diags);
	free_pages(&pages);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(dots_are_those_of_the_picture),
		cmocka_unit_test(pages_have_whole_dots),
		cmocka_unit_test(symbols_have_modules_of_whole_dots),
		cmocka_unit_test(shapes_lie_on_dots),
		cmocka_unit_test(outlines_lie_on_dots),
		cmocka_unit_test(images_are_as_dark_as_their_dots),
		cmocka_unit_test(text_is_black_and_white_where_measured),
		cmocka_unit_test(pages_start_clean_and_repeat_exactly),
		cmocka_unit_test(pages_do_not_depend_on_those_before),
		cmocka_unit_test(invalid_calls_do_no_harm),
		cmocka_unit_test(reports_what_is_wrong),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
