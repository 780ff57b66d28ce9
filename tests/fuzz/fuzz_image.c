/* Throws bytes at the readers of pictures: as a whole file, and as patches on a good one, since
 * chance does not find a file that is good enough to be decoded. */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <png.h>
#include <zlib.h>

#include "photo/picture.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

#define WIDTH 20
#define HEIGHT 12

struct file {
	unsigned char *bytes;
	size_t length;
};

static const unsigned char png_head[] = { 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n' };

static void *must(void *memory)
{
	if (memory == NULL)
		abort();
	return memory;
}

/* Makes the checksums of a PNG's chunks right, without which nothing beyond the first would ever be
 * looked at (ISO/IEC 15948, 5.3: length, name, data, checksum of name and data). */
static void mend_checksums(const struct file *file)
{
	unsigned char *bytes = file->bytes;
	for (size_t at = sizeof(png_head); at <= file->length && file->length - at >= 12;) {
		size_t size = (size_t)bytes[at] << 24 | (size_t)bytes[at + 1] << 16 |
			      (size_t)bytes[at + 2] << 8 | bytes[at + 3];
		if (size > file->length - at - 12)
			return;
		unsigned long sum = crc32(0, bytes + at + 4, (uInt)size + 4);
		at += 8 + size;
		for (int shift = 24; shift >= 0; shift -= 8)
			bytes[at++] = (unsigned char)(sum >> shift & 0xFF);
	}
}

static struct file make_png(const unsigned char *pixels, unsigned format)
{
	png_image image = {
		.version = PNG_IMAGE_VERSION, .width = WIDTH, .height = HEIGHT, .format = format
	};
	struct file file = { NULL, 10000 };
	file.bytes = must(malloc(file.length));
	if (!png_image_write_to_memory(&image, file.bytes, &file.length, 0, pixels, 0, NULL))
		abort();
	return file;
}

static struct file make_jpeg(const unsigned char *pixels, bool progressive)
{
	struct jpeg_compress_struct jpeg;
	struct jpeg_error_mgr errors;
	jpeg.err = jpeg_std_error(&errors);
	jpeg_create_compress(&jpeg);
	struct file file = { 0 };
	unsigned long length = 0;
	jpeg_mem_dest(&jpeg, &file.bytes, &length);
	jpeg.image_width = WIDTH;
	jpeg.image_height = HEIGHT;
	jpeg.input_components = 3;
	jpeg.in_color_space = JCS_RGB;
	jpeg_set_defaults(&jpeg);
	if (progressive)
		jpeg_simple_progression(&jpeg);
	jpeg_start_compress(&jpeg, TRUE);
	for (size_t y = 0; y < HEIGHT; y++) {
		JSAMPROW row = (JSAMPROW)(pixels + y * WIDTH * 3);
		jpeg_write_scanlines(&jpeg, &row, 1);
	}
	jpeg_finish_compress(&jpeg);
	jpeg_destroy_compress(&jpeg);
	file.length = length;
	return file;
}

static struct file make_good(unsigned kind)
{
	unsigned char pixels[WIDTH * HEIGHT * 4];
	for (size_t i = 0; i < sizeof(pixels); i++)
		pixels[i] = (unsigned char)(i * i / 7);
	switch (kind) {
	case 0:
		return make_png(pixels, PNG_FORMAT_GRAY);
	case 1:
		return make_png(pixels, PNG_FORMAT_RGBA);
	case 2:
		return make_jpeg(pixels, false);
	default:
		return make_jpeg(pixels, true);
	}
}

/* Two bytes of place and one of value each; a place beyond the end cuts the file there. */
static void patch(struct file *file, const uint8_t *bytes, size_t length)
{
	for (; length >= 3; bytes += 3, length -= 3) {
		size_t at = (size_t)bytes[0] << 8 | bytes[1];
		if (at < file->length)
			file->bytes[at] = bytes[2];
		else
			file->length -= (at - file->length) % 32;
		if (file->length < 64)
			return;
	}
}

static struct file make_file(const uint8_t *bytes, size_t length, unsigned kind)
{
	if (kind >= 4) {
		struct file file = make_good(kind - 4);
		patch(&file, bytes, length);
		return file;
	}
	bool jpeg = kind >= 2;
	size_t head = jpeg ? 3 : sizeof(png_head);
	struct file file = { must(malloc(head + length + 1)), head + length };
	memcpy(file.bytes, jpeg ? (const unsigned char *)"\xFF\xD8\xFF" : png_head, head);
	memcpy(file.bytes + head, bytes, length);
	return file;
}

/* The first byte says what the rest is, and how many pixels are asked for. */
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	if (length == 0)
		return 0;
	unsigned kind = bytes[0] & 7;
	struct file file = make_file(bytes + 1, length - 1, kind);
	if (kind % 4 < 2)
		mend_checksums(&file);
	unsigned long most = 1ul << (bytes[0] >> 4);
	struct lt_diags diags = { 0 };
	struct lt_image image;
	bool good =
		lt_image_read(&image, lt_place_none(), "x", file.bytes, file.length, most, &diags);
	if (good != (diags.errors == 0) || good != (image.rgb != NULL) ||
		(size_t)image.width * image.height > most)
		abort();
	/* Every pixel is there to be read. */
	unsigned long sum = 0;
	for (size_t i = 0; good && i < (size_t)image.width * image.height * 3; i++)
		sum += image.rgb[i];
	if (sum > 255ul * 3 * most)
		abort();
	lt_image_finish(&image);
	lt_diags_finish(&diags);
	free(file.bytes);
	return 0;
}
