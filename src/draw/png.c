#include "draw/png.h"
#include "loomtag/base.h"

#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

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

/* What is to be encoded, one or the other. */
struct source {
	const struct lt_dots *dots, *words;
	double dpi;
	const struct lt_image *image;
};

static void set_resolution(png_structp png, png_infop info, double dpi)
{
	png_uint_32 metre = (png_uint_32)lround(dpi / 0.0254);
	png_set_pHYs(png, info, metre, metre, PNG_RESOLUTION_METER);
}

static void encode_dots(png_structp png, png_infop info, struct work *work,
	const struct lt_dots *dots, double dpi)
{
	png_set_IHDR(png, info, dots->width, dots->height, 1, PNG_COLOR_TYPE_GRAY,
		PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	set_resolution(png, info, dpi);
	png_write_info(png, info);
	work->row = lt_alloc((dots->width + 7) / 8);
	for (unsigned y = 0; y < dots->height; y++) {
		pack_row(work->row, dots->bytes + y * dots->stride, dots->width);
		png_write_row(png, work->row);
	}
}

/* Not filtered: a drawing has areas of few colours, and comes out smaller so, and sooner. */
static void encode_words(png_structp png, png_infop info, struct work *work,
	const struct lt_dots *words, double dpi)
{
	png_set_IHDR(png, info, words->width, words->height, 8, PNG_COLOR_TYPE_RGB,
		PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	set_resolution(png, info, dpi);
	png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
	png_write_info(png, info);
	work->row = lt_alloc_array(words->width, 3);
	for (unsigned y = 0; y < words->height; y++) {
		const uint32_t *from =
			(const uint32_t *)(const void *)(words->bytes + y * words->stride);
		unsigned char *to = work->row;
		for (unsigned x = 0; x < words->width; x++) {
			*to++ = (unsigned char)(from[x] >> 16);
			*to++ = (unsigned char)(from[x] >> 8);
			*to++ = (unsigned char)from[x];
		}
		png_write_row(png, work->row);
	}
}

static void encode_colours(png_structp png, png_infop info, const struct lt_image *image)
{
	png_set_IHDR(png, info, image->width, image->height, 8, PNG_COLOR_TYPE_RGB,
		PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_BASE, PNG_FILTER_TYPE_BASE);
	png_write_info(png, info);
	for (size_t y = 0; y < image->height; y++)
		png_write_row(png, image->rgb + y * image->width * 3);
}

static bool encode_all(png_structp png, png_infop info, struct work *work,
	const struct source *source)
{
	if (setjmp(png_jmpbuf(png)) != 0)
		return false;
	png_set_write_fn(png, work, write_bytes, flush);
	if (source->image != NULL)
		encode_colours(png, info, source->image);
	else if (source->words != NULL)
		encode_words(png, info, work, source->words, source->dpi);
	else if (source->dots != NULL)
		encode_dots(png, info, work, source->dots, source->dpi);
	png_write_end(png, info);
	return true;
}

static bool encode(struct lt_png *out, const struct source *source)
{
	*out = (struct lt_png){ 0 };
	png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, fail, ignore);
	png_infop info = png != NULL ? png_create_info_struct(png) : NULL;
	struct work *work = lt_alloc_array(1, sizeof(*work));
	bool good = info != NULL && encode_all(png, info, work, source);
	png_destroy_write_struct(&png, &info);
	free(work->row);
	if (good)
		*out = (struct lt_png){ work->bytes, work->length };
	else
		free(work->bytes);
	free(work);
	return good;
}

bool lt_png_encode(struct lt_png *out, const struct lt_dots *dots, double dpi)
{
	return encode(out, &(struct source){ .dots = dots, .dpi = dpi });
}

bool lt_png_encode_words(struct lt_png *out, const struct lt_dots *words, double dpi)
{
	return encode(out, &(struct source){ .words = words, .dpi = dpi });
}

bool lt_png_encode_colours(struct lt_png *out, const struct lt_image *image)
{
	return encode(out, &(struct source){ .image = image });
}
