/* PWG Raster, read back by libcups, and by a reader of its own made from PWG 5102.4. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>
#include <cups/raster.h>

#include "print/ipp.h"

#define PAGES_MAX 4

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

/* A page that is to come back: a byte a dot, 1 black. */
struct kept {
	unsigned width, height;
	unsigned char *dots;
};

/* Takes pages to keep them, and hands them on. */
struct tee {
	struct kept items[PAGES_MAX];
	unsigned count;
	struct lt_dot_sink next;
};

static bool keep_and_hand_on(void *data, unsigned number, const struct lt_dot_page *page,
	struct lt_diags *diags)
{
	struct tee *tee = data;
	assert_true(tee->count < PAGES_MAX);
	struct kept *kept = &tee->items[tee->count++];
	assert_int_equal(number, tee->count);
	const struct lt_dots *dots = &page->dots;
	kept->width = dots->width;
	kept->height = dots->height;
	kept->dots = lt_alloc((size_t)dots->width * dots->height);
	for (unsigned y = 0; y < dots->height; y++) {
		for (unsigned x = 0; x < dots->width; x++)
			kept->dots[(size_t)y * dots->width + x] =
				dots->bytes[y * dots->stride + x] >= 128;
	}
	return tee->next.page(tee->next.data, number, page, diags);
}

static void free_tee(struct tee *tee)
{
	for (unsigned i = 0; i < tee->count; i++)
		free(tee->items[i].dots);
}

static bool write_page(struct lt_pwg *pwg, const struct lt_dot_page *page, struct lt_diags *diags)
{
	const struct lt_dot_sink sink = lt_pwg_sink(pwg);
	return sink.page(sink.data, 1, page, diags);
}

struct size {
	double width, height; /* mm */
};

/* Something of everything: long runs, short ones, none, and equal lines. */
static void draw_page(struct lt_canvas *canvas, struct size size, struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_qr_plan plan;
	struct lt_qr qr;
	assert_true(lt_qr_plan(&plan, "12HRV3J", LT_QR_M));
	assert_true(lt_qr_encode(&qr, &arena, "12HRV3J", &plan, diags));
	canvas->begin_page(canvas->data, size.width, size.height);
	canvas->qr(canvas->data, 1, 1, 6, &qr);
	canvas->text(canvas->data, 8, 6, LT_TYPEFACE_BOLD, 4, LT_BLACK, "12H");
	canvas->frame(canvas->data, 0.5, 0.5, size.width - 1, size.height - 1, 0.3, LT_BLACK);
	canvas->rectangle(canvas->data, size.width - 3.3, 2, 2.1, 3, LT_BLACK);
	assert_true(canvas->end_page(canvas->data, diags));
	lt_arena_finish(&arena);
}

/* Draws the pages through a raster into a file, rewound. */
static FILE *write_pages(struct tee *tee, enum lt_pwg_type type, double dpi,
	const struct size *sizes, unsigned count)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	FILE *file = tmpfile();
	assert_non_null(file);
	struct lt_pwg *pwg = lt_pwg_create(file, type, count, false, &diags);
	assert_non_null(pwg);
	*tee = (struct tee){ .next = lt_pwg_sink(pwg) };
	struct lt_dot_sink sink = { keep_and_hand_on, tee };
	struct lt_canvas canvas;
	assert_true(lt_raster_create_dots(&canvas, dpi, fonts, &sink, &diags));
	for (unsigned i = 0; i < count; i++)
		draw_page(&canvas, sizes[i], &diags);
	assert_true(canvas.finish(canvas.data, &diags));
	lt_canvas_destroy(&canvas);
	assert_true(lt_pwg_finish(pwg, &diags));
	lt_pwg_destroy(pwg);
	assert_int_equal(diags.count, 0);
	assert_int_equal(tee->count, count);
	lt_diags_finish(&diags);
	rewind(file);
	return file;
}

static ssize_t read_file(void *data, unsigned char *bytes, size_t length)
{
	return (ssize_t)fread(bytes, 1, length, data);
}

/* True when the dot is black, by what PWG 5102.4 says of black_1 and sgray_8. */
static bool is_black(const unsigned char *row, unsigned x, enum lt_pwg_type type)
{
	if (type == LT_PWG_BLACK_1)
		return (row[x / 8] & 0x80 >> x % 8) != 0;
	assert_true(row[x] == 0 || row[x] == 255);
	return row[x] == 0;
}

static void compare_row(const struct kept *kept, unsigned y, const unsigned char *row,
	enum lt_pwg_type type)
{
	for (unsigned x = 0; x < kept->width; x++)
		assert_int_equal(kept->dots[(size_t)y * kept->width + x], is_black(row, x, type));
	for (unsigned x = kept->width; type == LT_PWG_BLACK_1 && x % 8 != 0; x++)
		assert_false(is_black(row, x, type));
}

/* What a page's header has to say. */
struct expected {
	unsigned dpi, points[2], dots[2];
	const char *name;
};

static void check_header(const cups_page_header2_t *header, const struct expected *expected,
	enum lt_pwg_type type, unsigned pages)
{
	bool bits = type == LT_PWG_BLACK_1;
	assert_string_equal(header->MediaClass, "PwgRaster");
	assert_int_equal(header->HWResolution[0], expected->dpi);
	assert_int_equal(header->HWResolution[1], expected->dpi);
	assert_int_equal(header->PageSize[0], expected->points[0]);
	assert_int_equal(header->PageSize[1], expected->points[1]);
	assert_int_equal(header->cupsWidth, expected->dots[0]);
	assert_int_equal(header->cupsHeight, expected->dots[1]);
	assert_int_equal(header->cupsBitsPerColor, bits ? 1 : 8);
	assert_int_equal(header->cupsBitsPerPixel, bits ? 1 : 8);
	assert_int_equal(header->cupsBytesPerLine,
		bits ? (expected->dots[0] + 7) / 8 : expected->dots[0]);
	assert_int_equal(header->cupsColorSpace, bits ? CUPS_CSPACE_K : CUPS_CSPACE_SW);
	assert_int_equal(header->cupsNumColors, 1);
	assert_int_equal(header->NumCopies, 0);
	assert_int_equal(header->Duplex, 0);
	assert_int_equal(header->cupsInteger[CUPS_RASTER_PWG_TotalPageCount], pages);
	assert_int_equal(header->cupsInteger[CUPS_RASTER_PWG_CrossFeedTransform], 1);
	assert_int_equal(header->cupsInteger[CUPS_RASTER_PWG_FeedTransform], 1);
	assert_string_equal(header->cupsPageSizeName, expected->name);
}

static void check_by_libcups(FILE *file, const struct tee *tee, const struct expected *expected,
	enum lt_pwg_type type)
{
	cups_raster_t *raster = cupsRasterOpenIO(read_file, file, CUPS_RASTER_READ);
	assert_non_null(raster);
	cups_page_header2_t header;
	for (unsigned i = 0; i < tee->count; i++) {
		assert_true(cupsRasterReadHeader2(raster, &header) != 0);
		check_header(&header, &expected[i], type, tee->count);
		unsigned char *row = lt_alloc(header.cupsBytesPerLine);
		for (unsigned y = 0; y < header.cupsHeight; y++) {
			assert_int_equal(cupsRasterReadPixels(raster, row, header.cupsBytesPerLine),
				header.cupsBytesPerLine);
			compare_row(&tee->items[i], y, row, type);
		}
		free(row);
	}
	assert_int_equal(cupsRasterReadHeader2(raster, &header), 0);
	cupsRasterClose(raster);
}

/* 54 mm are 153.07 points and, at 8 dots a mm (203 dpi), 432 dots; 25 mm 70.87 points, 200 dots.
 * Tapes have pages of unlike length; A4 (ISO 216) and letter have registered names in PWG 5101.1,
 * all others a metric one with the shorter side first. */
static void reads_back_dot_for_dot(void **state)
{
	(void)state;
	static const struct {
		double dpi;
		unsigned count;
		struct size sizes[3];
		struct expected expected[3];
	} cases[] = {
		{ 203, 1, { { 54, 25 } },
			{ { 203, { 153, 71 }, { 432, 200 }, "om_25x54mm_25x54mm" } } },
		{ 300, 3, { { 40, 12 }, { 31.5, 12 }, { 12, 47.25 } },
			{ { 300, { 113, 34 }, { 472, 142 }, "om_12x40mm_12x40mm" },
				{ 300, { 89, 34 }, { 372, 142 }, "om_12x31.5mm_12x31.5mm" },
				{ 300, { 34, 134 }, { 142, 558 }, "om_12x47.25mm_12x47.25mm" } } },
		{ 100, 2, { { 210, 297 }, { 279.4, 215.9 } },
			{ { 100, { 595, 842 }, { 827, 1169 }, "iso_a4_210x297mm" },
				{ 100, { 792, 612 }, { 1100, 850 }, "na_letter_8.5x11in" } } },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		for (int type = LT_PWG_BLACK_1; type <= LT_PWG_SGRAY_8; type++) {
			struct tee tee;
			FILE *file = write_pages(&tee, (enum lt_pwg_type)type, cases[i].dpi,
				cases[i].sizes, cases[i].count);
			check_by_libcups(file, &tee, cases[i].expected, (enum lt_pwg_type)type);
			fclose(file);
			free_tee(&tee);
		}
	}
}

static unsigned read_number(const unsigned char *bytes)
{
	return (unsigned)bytes[0] << 24 | (unsigned)bytes[1] << 16 | (unsigned)bytes[2] << 8 |
	       bytes[3];
}

static unsigned read_byte(FILE *file)
{
	int c = getc(file);
	assert_true(c != EOF);
	return (unsigned)c;
}

/* PWG 5102.4, 4.3: a row is how often it is repeated, less one; then runs: to 127 one more times
 * the byte that follows, from 129 on 257 less so many bytes as they are. */
static unsigned read_row(FILE *file, unsigned char *row, unsigned bytes)
{
	unsigned repeats = read_byte(file) + 1;
	for (unsigned x = 0; x < bytes;) {
		unsigned code = read_byte(file);
		assert_int_not_equal(code, 128);
		unsigned run = code < 128 ? code + 1 : 257 - code;
		assert_true(x + run <= bytes);
		unsigned char byte = code < 128 ? (unsigned char)read_byte(file) : 0;
		for (unsigned i = 0; i < run; i++)
			row[x++] = code < 128 ? byte : (unsigned char)read_byte(file);
	}
	return repeats;
}

/* PWG 5102.4, 4.1 and 4.2: "RaS2", then 1796 bytes a header with its numbers at the offsets named
 * here, most significant byte first. */
static void every_byte_follows_the_standard(void **state)
{
	(void)state;
	enum { HEADER = 1796 };
	static const struct size size = { 54, 25 };
	static const struct {
		unsigned offset, value;
	} numbers[] = { { 272, 0 }, { 276, 203 }, { 280, 203 }, { 284, 0 }, { 288, 0 }, { 292, 0 },
		{ 296, 0 }, { 340, 0 }, { 352, 153 }, { 356, 71 }, { 372, 432 }, { 376, 200 },
		{ 384, 1 }, { 388, 1 }, { 392, 54 }, { 396, 0 }, { 400, 3 }, { 420, 1 }, { 452, 1 },
		{ 456, 1 }, { 460, 1 }, { 464, 0 }, { 468, 0 }, { 472, 0 }, { 476, 0 } };
	struct tee tee;
	FILE *file = write_pages(&tee, LT_PWG_BLACK_1, 203, &size, 1);
	unsigned char head[4 + HEADER];
	assert_int_equal(fread(head, 1, sizeof(head), file), sizeof(head));
	assert_memory_equal(head, "RaS2", 4);
	const unsigned char *header = head + 4;
	assert_string_equal((const char *)header, "PwgRaster");
	assert_string_equal((const char *)header + 1732, "om_25x54mm_25x54mm");
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++)
		assert_int_equal(read_number(header + numbers[i].offset), numbers[i].value);
	unsigned char row[54];
	unsigned y = 0, packed = 0;
	while (y < 200) {
		unsigned repeats = read_row(file, row, sizeof(row));
		assert_true(y + repeats <= 200);
		packed++;
		for (; repeats > 0; repeats--)
			compare_row(&tee.items[0], y++, row, LT_PWG_BLACK_1);
	}
	assert_true(packed < 200);
	assert_int_equal(getc(file), EOF);
	fclose(file);
	free_tee(&tee);
}

/* A page of 11 x 3 dots, where the twelfth column is beyond the page, written and read back. */
static cups_raster_t *write_drawing(FILE *file, bool turn, const struct expected *expected)
{
	static const char drawing[] = "#..........."
				      "##.....#...."
				      "#.........##";
	unsigned char dots[36];
	for (size_t i = 0; i < sizeof(dots); i++)
		dots[i] = drawing[i] == '#' ? 255 : 0;
	struct lt_dot_page page = { { dots, 12, 11, 3 }, 100, 20, 10 };
	struct lt_diags diags = { 0 };
	assert_non_null(file);
	struct lt_pwg *pwg = lt_pwg_create(file, LT_PWG_BLACK_1, 1, turn, &diags);
	assert_non_null(pwg);
	assert_true(write_page(pwg, &page, &diags));
	assert_true(lt_pwg_finish(pwg, &diags));
	lt_pwg_destroy(pwg);
	lt_diags_finish(&diags);
	rewind(file);
	cups_raster_t *raster = cupsRasterOpenIO(read_file, file, CUPS_RASTER_READ);
	cups_page_header2_t header;
	assert_true(cupsRasterReadHeader2(raster, &header) != 0);
	check_header(&header, expected, LT_PWG_BLACK_1, 1);
	return raster;
}

static void turns_pages_with_the_left_edge_first(void **state)
{
	(void)state;
	static const struct expected turned = { 100, { 28, 57 }, { 3, 11 }, "om_10x20mm_10x20mm" };
	static const struct expected straight = { 100, { 57, 28 }, { 11, 3 },
		"om_10x20mm_10x20mm" };
	/* Upwards by columns: ### .#. ... */
	static const unsigned char rows[11] = { 0xE0, 0x40, 0, 0, 0, 0, 0, 0x40, 0, 0, 0x80 };
	FILE *file = tmpfile();
	cups_raster_t *raster = write_drawing(file, true, &turned);
	for (size_t y = 0; y < sizeof(rows); y++) {
		unsigned char row;
		assert_int_equal(cupsRasterReadPixels(raster, &row, 1), 1);
		assert_int_equal(row, rows[y]);
	}
	cupsRasterClose(raster);
	fclose(file);
	file = tmpfile();
	cupsRasterClose(write_drawing(file, false, &straight));
	fclose(file);
}

static void assert_error(struct lt_diags *diags, const char *words)
{
	assert_int_equal(diags->errors, 1);
	if (strstr(diags->items[diags->count - 1].message, words) == NULL)
		fail_msg("\"%s\" is not in \"%s\"", words, diags->items[diags->count - 1].message);
	lt_diags_finish(diags);
	lt_diags_init(diags);
}

static struct lt_dot_page page_of(double dpi, double width, double height)
{
	static const unsigned char dots[64];
	return (struct lt_dot_page){ { dots, 8, 8, 8 }, dpi, width, height };
}

static void reports_what_cannot_be_written(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	FILE *file = tmpfile();
	assert_non_null(file);
	struct lt_pwg *pwg = lt_pwg_create(file, LT_PWG_SGRAY_8, 2, false, &diags);
	assert_non_null(pwg);
	struct lt_dot_page page = page_of(203.2, 54, 25);
	assert_false(write_page(pwg, &page, &diags));
	assert_error(&diags, "whole number");
	page = page_of(203, 54, 2000.5);
	assert_false(write_page(pwg, &page, &diags));
	assert_error(&diags, "54 x 2000.5 mm");
	page = page_of(203, 0.9, 25);
	assert_false(write_page(pwg, &page, &diags));
	assert_error(&diags, "0.9 x 25 mm");
	page = page_of(203, 1, 1);
	assert_true(write_page(pwg, &page, &diags));
	assert_false(lt_pwg_finish(pwg, &diags));
	assert_error(&diags, "1 of 2 pages");
	lt_pwg_destroy(pwg);
	lt_pwg_destroy(NULL);
	fclose(file);
	lt_diags_finish(&diags);
}

/* A stream that takes so many bytes and no more. */
struct full {
	char bytes[6000];
	FILE *file;
};

/* Whatever byte the stream breaks at, some call says so, and none says all is well after it. The
 * whole is "RaS2" and twice a header and three bytes: 3602. */
static void reports_a_full_disk_at_any_byte(void **state)
{
	(void)state;
	struct lt_dot_page page = page_of(203, 10, 10);
	struct lt_diags diags;
	static const size_t rooms[] = { 1, 2, 4, 5, 1000, 1799, 1800, 1802, 1803, 3000, 3598, 3600,
		3601 };
	for (size_t i = 0; i < sizeof(rooms) / sizeof(rooms[0]); i++) {
		struct full full;
		lt_diags_init(&diags);
		full.file = fmemopen(full.bytes, rooms[i], "wb");
		assert_non_null(full.file);
		setvbuf(full.file, NULL, _IONBF, 0);
		struct lt_pwg *pwg = lt_pwg_create(full.file, LT_PWG_SGRAY_8, 2, false, &diags);
		bool good = pwg != NULL && write_page(pwg, &page, &diags);
		good = good && write_page(pwg, &page, &diags);
		good = good && lt_pwg_finish(pwg, &diags);
		assert_false(good);
		assert_error(&diags, "cannot write the PWG raster: ");
		if (pwg != NULL)
			assert_false(lt_pwg_finish(pwg, &diags));
		lt_pwg_destroy(pwg);
		fclose(full.file);
		lt_diags_finish(&diags);
	}
}

static void names_media_with_the_shorter_side_first(void **state)
{
	(void)state;
	static const struct {
		struct size size;
		const char *name;
	} cases[] = {
		{ { 54, 25 }, "om_25x54mm_25x54mm" },
		{ { 25, 54 }, "om_25x54mm_25x54mm" },
		{ { 210, 297 }, "iso_a4_210x297mm" },
		{ { 210.3, 297 }, "om_210.3x297mm_210.3x297mm" },
		{ { 12, 100.05 }, "om_12x100.05mm_12x100.05mm" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_text name = { 0 };
		lt_media_name_write(&name, cases[i].size.width, cases[i].size.height);
		assert_string_equal(lt_text_string(&name), cases[i].name);
		lt_text_finish(&name);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(reads_back_dot_for_dot),
		cmocka_unit_test(every_byte_follows_the_standard),
		cmocka_unit_test(turns_pages_with_the_left_edge_first),
		cmocka_unit_test(reports_what_cannot_be_written),
		cmocka_unit_test(reports_a_full_disk_at_any_byte),
		cmocka_unit_test(names_media_with_the_shorter_side_first),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
