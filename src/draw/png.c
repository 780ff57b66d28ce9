#include "draw/png.h"

#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/memory.h"

/* What is being made. Behind a pointer, so that it is whole after libpng has jumped back. */
struct work {
	unsigned char *bytes;
	size_t length;
	size_t room;
	unsigned char *row;
};

static void write_bytes(png_structp png, png_bytep bytes, size_t length)
{
	struct work *work = png_get_io_ptr(png);
	work->bytes = lt_grow(work->bytes, &work->room, work->length + length, 1);
	memcpy(work->bytes + work->length, bytes, length);
	work->length += length;
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
static void pack_row(unsigned char *out, const unsigned char *dots, unsigned width)
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

static bool encode(png_structp png, png_infop info, struct work *work, const struct lt_dots *dots,
	double dpi)
{
	if (setjmp(png_jmpbuf(png)) != 0)
		return false;
	png_set_write_fn(png, work, write_bytes, flush);
	png_set_IHDR(png, info, dots->width, dots->height, 1, PNG_COLOR_TYPE_GRAY,
		PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	png_uint_32 metre = (png_uint_32)lround(dpi / 0.0254);
	png_set_pHYs(png, info, metre, metre, PNG_RESOLUTION_METER);
	png_write_info(png, info);
	for (unsigned y = 0; y < dots->height; y++) {
		pack_row(work->row, dots->bytes + y * dots->stride, dots->width);
		png_write_row(png, work->row);
	}
	png_write_end(png, info);
	return true;
}

bool lt_png_encode(struct lt_png *out, const struct lt_dots *dots, double dpi)
{
	*out = (struct lt_png){ 0 };
	png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, fail, ignore);
	png_infop info = png != NULL ? png_create_info_struct(png) : NULL;
	struct work *work = lt_alloc_array(1, sizeof(*work));
	work->row = lt_alloc((dots->width + 7) / 8);
	bool good = info != NULL && encode(png, info, work, dots, dpi);
	png_destroy_write_struct(&png, &info);
	free(work->row);
	if (good)
		*out = (struct lt_png){ work->bytes, work->length };
	else
		free(work->bytes);
	free(work);
	return good;
}
