/* Reading pictures, made here with libpng and libjpeg. */
#include "unit/unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <png.h>
#include <zlib.h>

#include "photo/picture.h"

struct file {
	unsigned char *bytes;
	size_t length, room;
};

static void add_bytes(struct file *file, const void *bytes, size_t length)
{
	file->bytes = lt_grow(file->bytes, &file->room, file->length + length, 1);
	memcpy(file->bytes + file->length, bytes, length);
	file->length += length;
}

static void write_png_bytes(png_structp png, png_bytep bytes, size_t length)
{
	add_bytes(png_get_io_ptr(png), bytes, length);
}

static void flush(png_structp png)
{
	(void)png;
}

/* A PNG by its form: `rows` are in the form's own bytes. */
struct form {
	unsigned width, height;
	int type, depth;
	bool interlaced;
	const png_color *palette;
	int colours;
	const unsigned char *alphas; /* of the palette */
	const png_color_16 *clear;
	unsigned orientation; /* 0: no EXIF data */
	bool big;             /* EXIF data has the high byte first */
};

/* EXIF data with one entry before the one that counts (TIFF 6.0, section 2). */
static void make_exif(unsigned char out[50], unsigned orientation, bool big)
{
	static const unsigned char little_end[50] = { 'I', 'I', 42, 0, 8, 0, 0, 0, 2, 0, 0x0F, 0x01,
		2, 0, 4, 0, 0, 0, 'c', 'a', 'm', 0, 0x12, 0x01, 3, 0, 1, 0, 0, 0, 0 };
	static const unsigned char big_end[50] = { 'M', 'M', 0, 42, 0, 0, 0, 8, 0, 2, 0x01, 0x0F, 0,
		2, 0, 0, 0, 4, 'c', 'a', 'm', 0, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0 };
	memcpy(out, big ? big_end : little_end, 50);
	out[big ? 31 : 30] = (unsigned char)orientation;
}

static struct file make_png(const struct form *form, const unsigned char *rows)
{
	struct file file = { 0 };
	png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
	png_infop info = png_create_info_struct(png);
	png_set_write_fn(png, &file, write_png_bytes, flush);
	png_set_IHDR(png, info, form->width, form->height, form->depth, form->type,
		form->interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE,
		PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	if (form->palette != NULL)
		png_set_PLTE(png, info, form->palette, form->colours);
	if (form->alphas != NULL || form->clear != NULL)
		png_set_tRNS(png, info, form->alphas, form->alphas != NULL ? form->colours : 1,
			form->clear);
	unsigned char exif[50];
	if (form->orientation > 0) {
		make_exif(exif, form->orientation, form->big);
		png_set_eXIf_1(png, info, sizeof(exif), exif);
	}
	png_write_info(png, info);
	size_t stride = png_get_rowbytes(png, info);
	int passes = png_set_interlace_handling(png);
	for (int pass = 0; pass < passes; pass++) {
		for (size_t y = 0; y < form->height; y++)
			png_write_row(png, rows + y * stride);
	}
	png_write_end(png, info);
	png_destroy_write_struct(&png, &info);
	return file;
}

/* A JPEG of `components` bytes a pixel, without loss that matters. */
static struct file make_jpeg(unsigned width, unsigned height, int components, J_COLOR_SPACE space,
	const unsigned char *rows, unsigned orientation, const jpeg_scan_info *scans,
	int scan_count)
{
	struct jpeg_compress_struct jpeg;
	struct jpeg_error_mgr errors;
	jpeg.err = jpeg_std_error(&errors);
	jpeg_create_compress(&jpeg);
	unsigned char *bytes = NULL;
	unsigned long length = 0;
	jpeg_mem_dest(&jpeg, &bytes, &length);
	jpeg.image_width = width;
	jpeg.image_height = height;
	jpeg.input_components = components;
	jpeg.in_color_space = space;
	jpeg_set_defaults(&jpeg);
	jpeg_set_quality(&jpeg, 100, TRUE);
	jpeg.comp_info[0].h_samp_factor = 1;
	jpeg.comp_info[0].v_samp_factor = 1;
	if (scans != NULL) {
		jpeg.scan_info = scans;
		jpeg.num_scans = scan_count;
	}
	jpeg_start_compress(&jpeg, TRUE);
	if (orientation > 0) {
		unsigned char marker[56] = "Exif\0";
		make_exif(marker + 6, orientation, orientation % 2 == 0);
		jpeg_write_marker(&jpeg, JPEG_APP0 + 1, (const JOCTET *)"other", 5);
		jpeg_write_marker(&jpeg, JPEG_APP0 + 1, marker, sizeof(marker));
	}
	for (unsigned y = 0; y < height; y++) {
		JSAMPROW row = (JSAMPROW)(rows + (size_t)y * width * (size_t)components);
		jpeg_write_scanlines(&jpeg, &row, 1);
	}
	jpeg_finish_compress(&jpeg);
	jpeg_destroy_compress(&jpeg);
	struct file file = { 0 };
	add_bytes(&file, bytes, length);
	free(bytes);
	return file;
}

static void read_good(struct lt_image *image, const struct file *file, unsigned long most)
{
	struct lt_diags diags = { 0 };
	bool good = lt_image_read(image, lt_place_none(), "a.png", file->bytes, file->length, most,
		&diags);
	lt_diags_print(&diags, 0, stderr, false);
	assert_true(good);
	assert_int_equal(diags.count, 0);
	lt_diags_finish(&diags);
}

/* Every error names the picture and the place, and says what to do. */
static void read_bad(const unsigned char *bytes, size_t length, const char *part)
{
	struct lt_diags diags = { 0 };
	struct lt_image image = { 1, 1, NULL };
	const struct lt_place place = { "harness.yaml", 7, 12 };
	bool good = lt_image_read(&image, place, "photos/x1.jpg", bytes, length, 100000, &diags);
	if (good)
		print_error("read, though %zu bytes should be: %s\n", length, part);
	assert_false(good);
	assert_null(image.rgb);
	assert_int_equal(image.width, 0);
	assert_int_equal(diags.errors, 1);
	assert_int_equal(diags.items[0].place.line, 7);
	assert_non_null(strstr(diags.items[0].message, "photos/x1.jpg"));
	assert_non_null(diags.items[0].hint);
	if (strstr(diags.items[0].message, part) == NULL)
		print_error("\"%s\" lacks \"%s\"\n", diags.items[0].message, part);
	assert_non_null(strstr(diags.items[0].message, part));
	lt_diags_finish(&diags);
}

/* A pixel within `off` of what is expected. */
static void assert_pixel(const struct lt_image *image, unsigned x, unsigned y, unsigned expected,
	int off)
{
	assert_true(x < image->width && y < image->height);
	const unsigned char *rgb = image->rgb + ((size_t)y * image->width + x) * 3;
	for (int i = 0; i < 3; i++) {
		int wanted = (int)(expected >> (16 - 8 * i) & 0xFF);
		if (abs(rgb[i] - wanted) > off)
			print_error("(%u, %u) is %02X%02X%02X, not %06X\n", x, y, rgb[0], rgb[1],
				rgb[2], expected);
		assert_true(abs(rgb[i] - wanted) <= off);
	}
}

/* Two rows of two pixels in every form of ISO/IEC 15948, table 11.1, each as it is and interlaced.
 */
static void every_form_of_png_is_read(void **state)
{
	(void)state;
	static const png_color palette[] = { { 255, 0, 0 }, { 0, 255, 0 }, { 10, 20, 30 } };
	static const unsigned char alphas[] = { 255, 0, 51 };
	static const png_color_16 clear_grey = { .gray = 3 };
	static const png_color_16 clear_rgb = { .red = 1, .green = 2, .blue = 3 };
	static const struct {
		struct form form;
		unsigned char rows[32];
		unsigned pixels[4];
	} cases[] = {
		{ { .type = PNG_COLOR_TYPE_GRAY, .depth = 1 }, { 0x40, 0x80 },
			{ 0x000000, 0xFFFFFF, 0xFFFFFF, 0x000000 } },
		{ { .type = PNG_COLOR_TYPE_GRAY, .depth = 2 }, { 0x10, 0xB0 },
			{ 0x000000, 0x555555, 0xAAAAAA, 0xFFFFFF } },
		{ { .type = PNG_COLOR_TYPE_GRAY, .depth = 4, .clear = &clear_grey }, { 0x13, 0x2F },
			{ 0x111111, 0xFFFFFF, 0x222222, 0xFFFFFF } },
		{ { .type = PNG_COLOR_TYPE_GRAY, .depth = 8 }, { 1, 2, 100, 255 },
			{ 0x010101, 0x020202, 0x646464, 0xFFFFFF } },
		{ { .type = PNG_COLOR_TYPE_GRAY, .depth = 16 },
			{ 1, 1, 0x80, 0x80, 0, 0, 255, 255 },
			{ 0x010101, 0x808080, 0x000000, 0xFFFFFF } },
		{ { .type = PNG_COLOR_TYPE_RGB, .depth = 8, .clear = &clear_rgb },
			{ 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 },
			{ 0xFFFFFF, 0x040506, 0x070809, 0x0A0B0C } },
		{ { .type = PNG_COLOR_TYPE_RGB, .depth = 16 },
			{ 1, 1, 2, 2, 3, 3, 0, 0, 0, 0, 0, 0, 9, 9, 8, 8, 7, 7, 255, 255, 0, 0, 1,
				1 },
			{ 0x010203, 0x000000, 0x090807, 0xFF0001 } },
		{ { .type = PNG_COLOR_TYPE_PALETTE, .depth = 1, .palette = palette, .colours = 2 },
			{ 0x40, 0x80 }, { 0xFF0000, 0x00FF00, 0x00FF00, 0xFF0000 } },
		{ { .type = PNG_COLOR_TYPE_PALETTE, .depth = 2, .palette = palette, .colours = 3 },
			{ 0x20, 0x10 }, { 0xFF0000, 0x0A141E, 0xFF0000, 0x00FF00 } },
		{ { .type = PNG_COLOR_TYPE_PALETTE, .depth = 4, .palette = palette, .colours = 3 },
			{ 0x02, 0x01 }, { 0xFF0000, 0x0A141E, 0xFF0000, 0x00FF00 } },
		/* 10 of 255 with an alpha of 51 of 255 on white is (10 x 51 + 255 x 204) / 255. */
		{ { .type = PNG_COLOR_TYPE_PALETTE,
			  .depth = 8,
			  .palette = palette,
			  .colours = 3,
			  .alphas = alphas },
			{ 0, 1, 2, 0 }, { 0xFF0000, 0xFFFFFF, 0xCED0D2, 0xFF0000 } },
		{ { .type = PNG_COLOR_TYPE_GRAY_ALPHA, .depth = 8 },
			{ 0, 255, 0, 0, 0, 51, 100, 255 },
			{ 0x000000, 0xFFFFFF, 0xCCCCCC, 0x646464 } },
		{ { .type = PNG_COLOR_TYPE_GRAY_ALPHA, .depth = 16 },
			{ 0, 0, 255, 255, 0, 0, 0, 0, 0, 0, 51, 51, 100, 100, 255, 255 },
			{ 0x000000, 0xFFFFFF, 0xCCCCCC, 0x646464 } },
		{ { .type = PNG_COLOR_TYPE_RGB_ALPHA, .depth = 8 },
			{ 9, 8, 7, 255, 1, 1, 1, 0, 255, 0, 0, 51, 0, 0, 255, 255 },
			{ 0x090807, 0xFFFFFF, 0xFFCCCC, 0x0000FF } },
		{ { .type = PNG_COLOR_TYPE_RGB_ALPHA, .depth = 16 },
			{ 9, 9, 8, 8, 7, 7, 255, 255, 1, 1, 1, 1, 1, 1, 0, 0, 255, 255, 0, 0, 0, 0,
				51, 51, 0, 0, 0, 0, 255, 255, 255, 255 },
			{ 0x090807, 0xFFFFFF, 0xFFCCCC, 0x0000FF } },
	};
	for (size_t i = 0; i < 2 * sizeof(cases) / sizeof(cases[0]); i++) {
		struct form form = cases[i / 2].form;
		form.width = form.height = 2;
		form.interlaced = i % 2 == 1;
		struct file file = make_png(&form, cases[i / 2].rows);
		struct lt_image image;
		read_good(&image, &file, 100);
		assert_int_equal(image.width, 2);
		assert_int_equal(image.height, 2);
		for (unsigned p = 0; p < 4; p++)
			assert_pixel(&image, p % 2, p / 2, cases[i / 2].pixels[p], 0);
		lt_image_finish(&image);
		free(file.bytes);
	}
}

/* Large enough that every pass of an interlaced one has rows. */
static void interlaced_pixels_are_where_they_belong(void **state)
{
	(void)state;
	enum { SIDE = 19 };
	unsigned char rows[SIDE * SIDE * 3];
	for (unsigned i = 0; i < SIDE * SIDE; i++) {
		rows[3 * i] = (unsigned char)(i % SIDE * 13);
		rows[3 * i + 1] = (unsigned char)(i / SIDE * 13);
		rows[3 * i + 2] = (unsigned char)i;
	}
	struct form form = { .width = SIDE,
		.height = SIDE,
		.type = PNG_COLOR_TYPE_RGB,
		.depth = 8,
		.interlaced = true };
	struct file file = make_png(&form, rows);
	struct lt_image image;
	read_good(&image, &file, 1000);
	assert_int_equal(image.width * image.height, SIDE * SIDE);
	assert_memory_equal(image.rgb, rows, sizeof(rows));
	lt_image_finish(&image);
	free(file.bytes);
}

static const unsigned six[] = { 0xFF0000, 0x00FF00, 0x0000FF, 0x000000, 0xFFFF00, 0x808080 };

/* Three by two fields of `side` pixels, each of one of the six colours. */
static unsigned char *make_fields(unsigned side)
{
	unsigned char *rows = lt_alloc((size_t)side * side * 6 * 3);
	unsigned char *at = rows;
	for (unsigned y = 0; y < 2 * side; y++) {
		for (unsigned x = 0; x < 3 * side; x++) {
			unsigned colour = six[y / side * 3 + x / side];
			for (int shift = 16; shift >= 0; shift -= 8)
				*at++ = (unsigned char)(colour >> shift & 0xFF);
		}
	}
	return rows;
}

static void jpeg_is_read(void **state)
{
	(void)state;
	unsigned char *rows = make_fields(16);
	struct file file = make_jpeg(48, 32, 3, JCS_RGB, rows, 0, NULL, 0);
	struct lt_image image;
	read_good(&image, &file, 10000);
	assert_int_equal(image.width, 48);
	assert_int_equal(image.height, 32);
	for (unsigned i = 0; i < 6; i++)
		assert_pixel(&image, i % 3 * 16 + 8, i / 3 * 16 + 8, six[i], 4);
	lt_image_finish(&image);

	/* As far as the library halves, and beyond. */
	read_good(&image, &file, 6 * 16);
	assert_int_equal(image.width, 12);
	for (unsigned i = 0; i < 6; i++)
		assert_pixel(&image, i % 3 * 4 + 2, i / 3 * 4 + 2, six[i], 4);
	lt_image_finish(&image);
	read_good(&image, &file, 6);
	assert_int_equal(image.width, 3);
	for (unsigned i = 0; i < 6; i++)
		assert_pixel(&image, i % 3, i / 3, six[i], 4);
	lt_image_finish(&image);
	free(file.bytes);

	file = make_jpeg(48, 32, 1, JCS_GRAYSCALE, rows, 0, NULL, 0);
	read_good(&image, &file, 10000);
	assert_int_equal(image.width, 48);
	assert_int_equal(image.rgb[0], image.rgb[1]);
	assert_int_equal(image.rgb[0], image.rgb[2]);
	assert_true(abs(image.rgb[0] - 255) < 20);
	lt_image_finish(&image);
	free(file.bytes);
	free(rows);
}

/* What the six fields, A B C over D E F, look like upright (TIFF 6.0, "Orientation"): the first row
 * of what is kept is at the top, top, bottom, bottom, left, right, right, left of what is seen, its
 * first column at the left, right, right, left, top, top, bottom, bottom. */
static const char *const seen[9] = { "ABC/DEF", "ABC/DEF", "CBA/FED", "FED/CBA", "DEF/ABC",
	"AD/BE/CF", "DA/EB/FC", "FC/EB/DA", "CF/BE/AD" };

static void assert_fields(const struct lt_image *image, const char *fields, unsigned side, int off)
{
	unsigned across = (unsigned)strcspn(fields, "/");
	unsigned down = 6 / across;
	assert_int_equal(image->width, across * side);
	assert_int_equal(image->height, down * side);
	for (unsigned y = 0; y < down; y++) {
		for (unsigned x = 0; x < across; x++)
			assert_pixel(image, x * side + side / 2, y * side + side / 2,
				six[(unsigned)(fields[y * (across + 1) + x] - 'A') % 6], off);
	}
}

static void pictures_stand_upright(void **state)
{
	(void)state;
	unsigned char *small = make_fields(1);
	unsigned char *large = make_fields(16);
	for (unsigned orientation = 0; orientation <= 8; orientation++) {
		struct form form = { .width = 3,
			.height = 2,
			.type = PNG_COLOR_TYPE_RGB,
			.depth = 8,
			.orientation = orientation };
		struct lt_image image;
		for (int big = 0; big < 2; big++) {
			form.big = big == 1;
			struct file png = make_png(&form, small);
			read_good(&image, &png, 100);
			assert_fields(&image, seen[orientation], 1, 0);
			lt_image_finish(&image);
			free(png.bytes);
		}
		struct file jpeg = make_jpeg(48, 32, 3, JCS_RGB, large, orientation, NULL, 0);
		read_good(&image, &jpeg, 10000);
		assert_fields(&image, seen[orientation], 16, 4);
		lt_image_finish(&image);
		free(jpeg.bytes);
	}
	/* Not an orientation: as it is kept. */
	struct file jpeg = make_jpeg(48, 32, 3, JCS_RGB, large, 9, NULL, 0);
	struct lt_image image;
	read_good(&image, &jpeg, 10000);
	assert_fields(&image, seen[1], 16, 4);
	lt_image_finish(&image);
	free(jpeg.bytes);
	free(small);
	free(large);
}

static struct file make_grey(unsigned width, unsigned height, const unsigned char *rows)
{
	struct form form = {
		.width = width, .height = height, .type = PNG_COLOR_TYPE_GRAY, .depth = 8
	};
	return make_png(&form, rows);
}

static void large_pictures_are_scaled_to_averages(void **state)
{
	(void)state;
	/* Fields of 10 x 10, each of 50 pixels of one grey and 50 of another. */
	enum { WIDTH = 400, HEIGHT = 200 };
	unsigned char *rows = lt_alloc((size_t)WIDTH * HEIGHT);
	for (unsigned y = 0; y < HEIGHT; y++) {
		for (unsigned x = 0; x < WIDTH; x++)
			rows[y * WIDTH + x] =
				(unsigned char)(x / 10 * 5 + y / 10 + ((x + y) % 2 == 0 ? 0 : 20));
	}
	struct file file = make_grey(WIDTH, HEIGHT, rows);
	struct lt_image image;
	read_good(&image, &file, 800);
	assert_int_equal(image.width, 40);
	assert_int_equal(image.height, 20);
	for (unsigned y = 0; y < 20; y++) {
		for (unsigned x = 0; x < 40; x++)
			assert_pixel(&image, x, y, (x * 5 + y + 10) * 0x010101, 0);
	}
	lt_image_finish(&image);

	/* Never more than asked for, and of the same shape. */
	static const unsigned long most[] = { 1, 2, 7, 799, 79999, 80000 };
	for (size_t i = 0; i < 6; i++) {
		read_good(&image, &file, most[i]);
		unsigned long pixels = (unsigned long)image.width * image.height;
		assert_in_range(pixels, 1, most[i]);
		if (most[i] > 100) {
			assert_true(pixels * 100 >= most[i] * 90);
			assert_true(abs((int)image.width - 2 * (int)image.height) <= 2);
		}
		lt_image_finish(&image);
	}
	free(file.bytes);
	free(rows);

	/* A thread of a picture keeps a pixel across. */
	unsigned char *thread = lt_alloc_array(3000, 1);
	file = make_grey(3000, 1, thread);
	read_good(&image, &file, 10);
	assert_int_equal(image.width, 10);
	assert_int_equal(image.height, 1);
	lt_image_finish(&image);
	free(file.bytes);
	file = make_grey(1, 3000, thread);
	read_good(&image, &file, 10);
	assert_int_equal(image.width, 1);
	assert_int_equal(image.height, 10);
	lt_image_finish(&image);
	free(file.bytes);
	free(thread);
}

/* Cut short at any byte, and with any byte wrong. */
static void damage_is_reported(void **state)
{
	(void)state;
	unsigned char *rows = make_fields(8);
	struct form form = {
		.width = 24, .height = 16, .type = PNG_COLOR_TYPE_RGB, .depth = 8, .orientation = 6
	};
	struct file png = make_png(&form, rows);
	struct file jpeg = make_jpeg(24, 16, 3, JCS_RGB, rows, 6, NULL, 0);
	for (size_t i = 8; i < png.length; i++)
		read_bad(png.bytes, i, "is damaged: ");
	for (size_t i = 3; i < jpeg.length; i++)
		read_bad(jpeg.bytes, i, "is damaged: ");

	/* Every byte of a PNG is under a checksum. */
	struct lt_image whole;
	read_good(&whole, &png, 1000);
	assert_fields(&whole, seen[6], 8, 0);
	lt_image_finish(&whole);
	for (size_t i = 8; i < png.length; i++) {
		png.bytes[i] ^= 0x41;
		read_bad(png.bytes, png.length, "the picture");
		png.bytes[i] ^= 0x41;
	}
	/* A JPEG has none, so that a wrong byte may pass for another picture: at least no harm. */
	size_t read = 0;
	for (size_t i = 3; i < jpeg.length; i++) {
		jpeg.bytes[i] ^= 0x41;
		struct lt_diags diags = { 0 };
		struct lt_image image;
		bool good = lt_image_read(&image, lt_place_none(), "x", jpeg.bytes, jpeg.length,
			1000, &diags);
		assert_true(good == (diags.errors == 0));
		assert_true(good == (image.rgb != NULL));
		read += good;
		lt_image_finish(&image);
		lt_diags_finish(&diags);
		jpeg.bytes[i] ^= 0x41;
	}
	assert_in_range(read, 1, jpeg.length - 100);
	free(png.bytes);
	free(jpeg.bytes);
	free(rows);
}

static void put_number(unsigned char *at, uint32_t number)
{
	for (int i = 0; i < 4; i++)
		at[i] = (unsigned char)(number >> (24 - 8 * i) & 0xFF);
}

/* A PNG that claims a size; its pixels are those of a small one. */
static void read_claim(uint32_t width, uint32_t height, const char *part)
{
	unsigned char rows[4] = { 0 };
	struct file file = make_grey(2, 2, rows);
	put_number(file.bytes + 16, width);
	put_number(file.bytes + 20, height);
	put_number(file.bytes + 29, (uint32_t)crc32(0, file.bytes + 12, 17));
	read_bad(file.bytes, file.length, part);
	free(file.bytes);
}

static void too_large_pictures_are_refused(void **state)
{
	(void)state;
	read_claim(50000001, 1, "50000001 x 1 pixels, but at most 50 million");
	read_claim(1, 50000001, "has 1 x 50000001 pixels");
	read_claim(7072, 7072, "has 7072 x 7072 pixels");
	read_claim(0x7FFFFFFF, 0x7FFFFFFF, "has 2147483647 x 2147483647 pixels");
	read_claim(0, 5, "is damaged");
	read_claim(50000000, 1, "is damaged");

	unsigned char *rows = make_fields(8);
	struct file jpeg = make_jpeg(24, 16, 3, JCS_RGB, rows, 0, NULL, 0);
	/* The frame header (ITU-T T.81, B.2.2): FF C0, length, 8, then the height and the width. */
	size_t at = 0;
	while (jpeg.bytes[at] != 0xFF || jpeg.bytes[at + 1] != 0xC0)
		at++;
	memcpy(jpeg.bytes + at + 5, "\x27\x10\x13\x89", 4);
	read_bad(jpeg.bytes, jpeg.length, "has 5001 x 10000 pixels");
	free(jpeg.bytes);
	free(rows);

	struct file vast = { lt_alloc_array(LT_IMAGE_BYTES_MOST + 1, 1), 0, 0 };
	memcpy(vast.bytes, "\xFF\xD8\xFF", 3);
	read_bad(vast.bytes, LT_IMAGE_BYTES_MOST + 1, "64 MiB");
	read_bad(vast.bytes, LT_IMAGE_BYTES_MOST, "is damaged");
	free(vast.bytes);
}

static void unsupported_pictures_are_refused(void **state)
{
	(void)state;
	read_bad((const unsigned char *)"", 0, "is an empty file");
	read_bad((const unsigned char *)"GIF89a...", 9, "PNG or JPEG");
	read_bad((const unsigned char *)"\x89PNG\r\n\x1A", 7, "PNG or JPEG");
	unsigned char *rows = make_fields(8);
	struct file file = make_jpeg(16, 16, 4, JCS_CMYK, rows, 0, NULL, 0);
	read_bad(file.bytes, file.length, "printing inks (CMYK)");
	free(file.bytes);
	free(rows);
}

/* Each coefficient of each colour twice: 1 + 3 x 63 x 2 scans. */
static void progressive_pictures_are_read_within_limits(void **state)
{
	(void)state;
	unsigned char *rows = make_fields(8);
	jpeg_scan_info scans[1 + 3 * 63 * 2] = { { .comps_in_scan = 3,
		.component_index = { 0, 1, 2 } } };
	int count = 1;
	for (int high = 1; high >= 0; high--) {
		for (int i = 0; i < 3 * 63; i++)
			scans[count++] = (jpeg_scan_info){ .comps_in_scan = 1,
				.component_index = { i / 63 },
				.Ss = 1 + i % 63,
				.Se = 1 + i % 63,
				.Ah = 1 - high,
				.Al = high };
	}
	/* The first half of them is a whole picture but for its last bits. */
	struct file file = make_jpeg(24, 16, 3, JCS_RGB, rows, 0, scans, 1 + 3 * 63);
	struct lt_image image;
	read_good(&image, &file, 1000);
	assert_fields(&image, seen[1], 8, 12);
	lt_image_finish(&image);
	free(file.bytes);

	file = make_jpeg(24, 16, 3, JCS_RGB, rows, 0, scans, count);
	read_bad(file.bytes, file.length, "it has more than 200 scans");
	free(file.bytes);
	free(rows);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_form_of_png_is_read),
		cmocka_unit_test(interlaced_pixels_are_where_they_belong),
		cmocka_unit_test(jpeg_is_read),
		cmocka_unit_test(pictures_stand_upright),
		cmocka_unit_test(large_pictures_are_scaled_to_averages),
		cmocka_unit_test(damage_is_reported),
		cmocka_unit_test(too_large_pictures_are_refused),
		cmocka_unit_test(unsupported_pictures_are_refused),
		cmocka_unit_test(progressive_pictures_are_read_within_limits),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
