/* PNG files, with their dots per metre. */
#include "draw/png.h"

#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static void write_bytes(png_structp png, png_bytep bytes, size_t length)
{
	lt_text_add_bytes(png_get_io_ptr(png), (const char *)bytes, length);
}

static void flush(png_structp png)
{
	(void)png;
}

/* libpng's own handlers speak on stderr. */
static void fail(png_structp png, png_const_charp message)
{
	(void)message;
	png_longjmp(png, 1);
}

static void ignore(png_structp png, png_const_charp message)
{
	(void)png;
	(void)message;
}

/* Eight dots a byte, leftmost first; in a PNG 1 is white. */
static void pack_dots(unsigned char *out, const unsigned char *dots, unsigned width)
{
	for (; width >= 8; width -= 8, dots += 8) {
		unsigned byte = 0;
		for (unsigned i = 0; i < 8; i++)
			byte = byte << 1 | (dots[i] < 128);
		*out++ = (unsigned char)byte;
	}
	if (width > 0)
		*out = 0;
	for (unsigned i = 0; i < width; i++)
		*out = (unsigned char)(*out | (dots[i] < 128 ? 0x80u >> i : 0));
}

/* 0x00RRGGBB in the machine's order, which cairo aligns for. */
static void pack_words(unsigned char *out, const unsigned char *bytes, unsigned width)
{
	const uint32_t *words = (const uint32_t *)(const void *)bytes;
	for (unsigned x = 0; x < width; x++) {
		*out++ = (unsigned char)(words[x] >> 16);
		*out++ = (unsigned char)(words[x] >> 8);
		*out++ = (unsigned char)words[x];
	}
}

static void copy_colours(unsigned char *out, const unsigned char *rgb, unsigned width)
{
	memcpy(out, rgb, (size_t)width * 3);
}

/* What is to be encoded. */
struct source {
	struct lt_dots rows;
	void (*pack_row)(unsigned char *out, const unsigned char *row, unsigned width);
	double dpi;   /* 0: not said */
	int depth;    /* bits */
	bool drawing; /* areas of few colours: smaller without filters, and sooner */
};

static bool encode(png_structp png, png_infop info, struct lt_text *out, unsigned char *row,
	const struct source *source)
{
	const struct lt_dots *rows = &source->rows;
	if (setjmp(png_jmpbuf(png)) != 0)
		return false;
	png_set_write_fn(png, out, write_bytes, flush);
	png_set_IHDR(png, info, rows->width, rows->height, source->depth,
		source->depth == 1 ? PNG_COLOR_TYPE_GRAY : PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
		PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	if (source->dpi > 0) {
		png_uint_32 metre = (png_uint_32)lround(source->dpi / 0.0254);
		png_set_pHYs(png, info, metre, metre, PNG_RESOLUTION_METER);
	}
	if (source->drawing)
		png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
	png_write_info(png, info);
	for (unsigned y = 0; y < rows->height; y++) {
		source->pack_row(row, rows->bytes + y * rows->stride, rows->width);
		png_write_row(png, row);
	}
	png_write_end(png, info);
	return true;
}

static bool pack(struct lt_packed *out, const struct source *source)
{
	struct lt_text bytes = { 0 };
	png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, fail, ignore);
	png_infop info = png != NULL ? png_create_info_struct(png) : NULL;
	unsigned char *row = lt_alloc_array(source->rows.width, 3);
	bool good = info != NULL && encode(png, info, &bytes, row, source);
	png_destroy_write_struct(&png, &info);
	free(row);
	*out = (struct lt_packed){ 0 };
	if (good)
		*out = (struct lt_packed){ (unsigned char *)bytes.bytes, bytes.length, false };
	else
		lt_text_finish(&bytes);
	return good;
}

bool lt_png_pack_page(struct lt_packed *out, const struct lt_dots *dots, bool colour, double dpi)
{
	const struct source source = {
		.rows = *dots,
		.pack_row = colour ? pack_words : pack_dots,
		.dpi = dpi,
		.depth = colour ? 8 : 1,
		.drawing = colour,
	};
	return pack(out, &source);
}

bool lt_pack_png(struct lt_packed *out, const struct lt_image *image)
{
	const struct source source = {
		.rows = { image->rgb, (size_t)image->width * 3, image->width, image->height },
		.pack_row = copy_colours,
		.depth = 8,
	};
	return pack(out, &source);
}
