/* Pictures compressed for PDF and SVG, as JPEG or without loss, each once however often it is
 * drawn. */
#include "draw/pack.h"

#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#include <jpeglib.h>

/* libjpeg's scale, to 100: what the eye does not tell from the original on paper. */
#define QUALITY 85

/* Behind a pointer, so that it is whole after libjpeg's errors have jumped back. */
struct packing {
	struct jpeg_compress_struct jpeg;
	struct jpeg_error_mgr errors;
	jmp_buf back;
	unsigned char *bytes;
	unsigned long length;
};

static void fail(j_common_ptr jpeg)
{
	struct packing *packing = jpeg->client_data;
	longjmp(packing->back, 1);
}

static void say_nothing(j_common_ptr jpeg)
{
	(void)jpeg;
}

static bool write_jpeg(struct packing *packing, const struct lt_image *image)
{
	struct jpeg_compress_struct *jpeg = &packing->jpeg;
	if (setjmp(packing->back) != 0)
		return false;
	jpeg_create_compress(jpeg);
	jpeg_mem_dest(jpeg, &packing->bytes, &packing->length);
	jpeg->image_width = image->width;
	jpeg->image_height = image->height;
	jpeg->input_components = 3;
	jpeg->in_color_space = JCS_RGB;
	jpeg_set_defaults(jpeg);
	jpeg_set_quality(jpeg, QUALITY, TRUE);
	jpeg_start_compress(jpeg, TRUE);
	while (jpeg->next_scanline < jpeg->image_height) {
		JSAMPROW row = image->rgb + (size_t)jpeg->next_scanline * image->width * 3;
		jpeg_write_scanlines(jpeg, &row, 1);
	}
	jpeg_finish_compress(jpeg);
	return true;
}

static bool pack_jpeg(struct lt_packed *out, const struct lt_image *image)
{
	struct packing *packing = lt_alloc_array(1, sizeof(*packing));
	packing->jpeg.err = jpeg_std_error(&packing->errors);
	packing->jpeg.client_data = packing;
	packing->errors.error_exit = fail;
	packing->errors.output_message = say_nothing;
	bool good = write_jpeg(packing, image);
	jpeg_destroy_compress(&packing->jpeg);
	*out = (struct lt_packed){ 0 };
	if (good)
		*out = (struct lt_packed){ packing->bytes, packing->length, true };
	else
		free(packing->bytes);
	free(packing);
	return good;
}

bool lt_pack_bytes(struct lt_packed *out, const void *bytes, size_t length)
{
	uLongf room = compressBound(length);
	*out = (struct lt_packed){ .bytes = lt_alloc(room) };
	bool good = compress(out->bytes, &room, bytes, length) == Z_OK;
	out->length = room;
	if (!good) {
		free(out->bytes);
		*out = (struct lt_packed){ 0 };
	}
	return good;
}

/* About how long the pixels are without loss, at a fraction of the time of packing them. */
static size_t guess_length(const struct lt_image *image)
{
	uLong size = (uLong)image->width * image->height * 3;
	uLongf length = compressBound(size);
	unsigned char *bytes = lt_alloc(length);
	if (compress2(bytes, &length, image->rgb, size, Z_BEST_SPEED) != Z_OK)
		length = size;
	free(bytes);
	return length;
}

bool lt_pack(struct lt_packed *out, const struct lt_image *image, lt_pack_fn *exact)
{
	if (!pack_jpeg(out, image))
		return exact(out, image);
	if (out->length < guess_length(image) / 2)
		return true;
	free(out->bytes);
	return exact(out, image);
}

/* The same pixels are packed into the same bytes. */
static struct lt_picture_kept *find(const struct lt_pictures *pictures,
	const struct lt_picture_kept *like)
{
	for (size_t i = 0; i < pictures->count; i++) {
		struct lt_picture_kept *kept = &pictures->items[i];
		if (kept->width == like->width && kept->height == like->height &&
			kept->packed.jpeg == like->packed.jpeg &&
			kept->packed.length == like->packed.length &&
			memcmp(kept->packed.bytes, like->packed.bytes, like->packed.length) == 0)
			return kept;
	}
	return NULL;
}

bool lt_pictures_keep(struct lt_picture_kept **out, struct lt_pictures *pictures,
	const struct lt_image *image, lt_pack_fn *exact)
{
	struct lt_picture_kept made = { .width = image->width, .height = image->height };
	if (!lt_pack(&made.packed, image, exact))
		return false;
	*out = find(pictures, &made);
	if (*out != NULL) {
		free(made.packed.bytes);
		return true;
	}
	pictures->items = lt_grow(pictures->items, &pictures->room, pictures->count + 1,
		sizeof(*pictures->items));
	*out = &pictures->items[pictures->count++];
	**out = made;
	return true;
}

void lt_pictures_finish(struct lt_pictures *pictures)
{
	for (size_t i = 0; i < pictures->count; i++)
		free(pictures->items[i].packed.bytes);
	free(pictures->items);
	*pictures = (struct lt_pictures){ 0 };
}
