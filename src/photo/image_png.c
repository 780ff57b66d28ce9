/* Reading PNG. */
#include <png.h>
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "photo/image_job.h"

/* Behind a pointer, so that it is whole after libpng has jumped back. */
struct reading {
	struct lt_image_job *job;
	size_t at;
	unsigned char *pixels; /* of a row, or of all, with alpha */
};

static void read_bytes(png_structp png, png_bytep out, size_t length)
{
	struct reading *reading = png_get_io_ptr(png);
	if (length > reading->job->length - reading->at)
		png_error(png, "the file ends too early");
	memcpy(out, reading->job->bytes + reading->at, length);
	reading->at += length;
}

/* libpng's own handlers speak on stderr. */
static void fail(png_structp png, png_const_charp message)
{
	struct lt_image_job *job = png_get_error_ptr(png);
	snprintf(job->why, sizeof(job->why), "%s", message);
	png_longjmp(png, 1);
}

/* Most of what libpng warns of and goes on does not show; but it only warns of pixels whose
 * checksum is wrong, too. */
static void judge_warning(png_structp png, png_const_charp message)
{
	if (strstr(message, "CRC") != NULL)
		fail(png, message);
}

/* Chunks of texts and profiles, which may be vast when unpacked. */
static const unsigned char needless[] = "iCCP\0iTXt\0sPLT\0tEXt\0zTXt";

static void set_limits(png_structp png)
{
	png_set_user_limits(png, PNG_UINT_31_MAX, PNG_UINT_31_MAX); /* ours come later */
	png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, NULL, 0);
	png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, needless,
		(int)(sizeof(needless) / 5));
}

/* Whatever it is, it comes as red, green, blue and alpha of 8 bits. Returns the passes. */
static int set_transforms(png_structp png)
{
	png_set_expand(png);
	png_set_scale_16(png);
	png_set_gray_to_rgb(png);
	png_set_add_alpha(png, 0xFF, PNG_FILLER_AFTER);
	return png_set_interlace_handling(png);
}

/* Lays a row on white. */
static void add_row(struct lt_image_job *job, const unsigned char *pixels)
{
	unsigned char *out = job->scaler.line;
	for (unsigned x = 0; x < job->width; x++, pixels += 4) {
		unsigned alpha = pixels[3];
		for (unsigned i = 0; i < 3; i++)
			*out++ = (unsigned char)((pixels[i] * alpha + 255 * (255 - alpha) + 127) /
						 255);
	}
	lt_image_take_row(job);
}

static void read_rows(png_structp png, png_infop info, struct reading *reading)
{
	struct lt_image_job *job = reading->job;
	int passes = set_transforms(png);
	png_read_update_info(png, info);
	size_t stride = (size_t)job->width * 4;
	if (png_get_rowbytes(png, info) != stride)
		png_error(png, "its format is not known");
	/* The pixels of an interlaced one come scattered over several passes. */
	size_t kept = passes > 1 ? job->height : 1;
	reading->pixels = lt_alloc_array(kept, stride);
	lt_image_start_rows(job, job->width, job->height);
	for (int pass = 1; pass < passes; pass++) {
		for (size_t y = 0; y < kept; y++)
			png_read_row(png, reading->pixels + y * stride, NULL);
	}
	for (size_t y = 0; y < job->height; y++) {
		unsigned char *pixels = reading->pixels + (passes > 1 ? y * stride : 0);
		png_read_row(png, pixels, NULL);
		add_row(job, pixels);
	}
}

static bool read_all(png_structp png, png_infop info, struct reading *reading)
{
	struct lt_image_job *job = reading->job;
	if (setjmp(png_jmpbuf(png)) != 0)
		return false;
	set_limits(png);
	png_set_read_fn(png, reading, read_bytes);
	png_read_info(png, info);
	if (!lt_image_note_size(job, png_get_image_width(png, info),
		    png_get_image_height(png, info)))
		return false;
	read_rows(png, info, reading);
	png_read_end(png, info);
	png_uint_32 length = 0;
	png_bytep exif = NULL;
	if (png_get_eXIf_1(png, info, &length, &exif) != 0 && exif != NULL)
		lt_image_take_exif(job, exif, length);
	return true;
}

bool lt_image_read_png(struct lt_image_job *job)
{
	png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, job, fail, judge_warning);
	png_infop info = png != NULL ? png_create_info_struct(png) : NULL;
	struct reading *reading = lt_alloc_array(1, sizeof(*reading));
	reading->job = job;
	bool good = info != NULL && read_all(png, info, reading);
	png_destroy_read_struct(&png, &info, NULL);
	free(reading->pixels);
	free(reading);
	return good;
}
