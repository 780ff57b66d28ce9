#include "draw/pdf_images.h"
#include "loomtag/draw.h"

#include <stdlib.h>
#include <string.h>

#include <hpdf_objects.h>
#include <zlib.h>

struct lt_pdf_image {
	unsigned width, height;
	struct lt_packed packed;
	HPDF_Dict object;
};

void lt_pdf_images_init(struct lt_pdf_images *out, HPDF_Doc document)
{
	*out = (struct lt_pdf_images){ .document = document };
}

void lt_pdf_images_finish(struct lt_pdf_images *images)
{
	for (size_t i = 0; i < images->count; i++)
		free(images->items[i].packed.bytes);
	free(images->items);
	*images = (struct lt_pdf_images){ 0 };
}

/* The pixels, deflated (RFC 1950). */
static bool pack_deflated(struct lt_packed *out, const struct lt_image *image)
{
	uLong size = (uLong)image->width * image->height * 3;
	uLongf length = compressBound(size);
	*out = (struct lt_packed){ .bytes = lt_alloc(length) };
	if (compress(out->bytes, &length, image->rgb, size) != Z_OK) {
		free(out->bytes);
		*out = (struct lt_packed){ 0 };
		return false;
	}
	out->length = length;
	return true;
}

/* Called by libharu when it writes a picture's dictionary. */
static HPDF_STATUS write_deflated(HPDF_Dict object, HPDF_Stream stream)
{
	(void)object;
	return HPDF_Stream_WriteStr(stream, "/Filter /FlateDecode\n");
}

static HPDF_STATUS write_jpeg(HPDF_Dict object, HPDF_Stream stream)
{
	(void)object;
	return HPDF_Stream_WriteStr(stream, "/Filter /DCTDecode\n");
}

/* An image (ISO 32000-1, 8.9.5) whose bytes libharu does not look into. */
static HPDF_Dict make_object(HPDF_Doc document, const struct lt_pdf_image *image)
{
	HPDF_Dict object = HPDF_DictStream_New(document->mmgr, document->xref);
	if (object == NULL)
		return NULL;
	object->write_fn = image->packed.jpeg ? write_jpeg : write_deflated;
	bool good = HPDF_Dict_AddName(object, "Type", "XObject") == HPDF_OK &&
		    HPDF_Dict_AddName(object, "Subtype", "Image") == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "Width", (HPDF_INT32)image->width) == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "Height", (HPDF_INT32)image->height) == HPDF_OK &&
		    HPDF_Dict_AddNumber(object, "BitsPerComponent", 8) == HPDF_OK &&
		    HPDF_Dict_AddName(object, "ColorSpace", "DeviceRGB") == HPDF_OK &&
		    HPDF_Stream_Write(object->stream, image->packed.bytes,
			    (HPDF_UINT)image->packed.length) == HPDF_OK;
	return good ? object : NULL;
}

/* The same pixels are packed into the same bytes. */
static const struct lt_pdf_image *find(const struct lt_pdf_images *images,
	const struct lt_pdf_image *like)
{
	for (size_t i = 0; i < images->count; i++) {
		const struct lt_pdf_image *image = &images->items[i];
		if (image->width == like->width && image->height == like->height &&
			image->packed.jpeg == like->packed.jpeg &&
			image->packed.length == like->packed.length &&
			memcmp(image->packed.bytes, like->packed.bytes, like->packed.length) == 0)
			return image;
	}
	return NULL;
}

HPDF_Dict lt_pdf_images_get(struct lt_pdf_images *images, const struct lt_image *image)
{
	struct lt_pdf_image made = { .width = image->width, .height = image->height };
	if (!lt_pack(&made.packed, image, pack_deflated))
		return NULL;
	const struct lt_pdf_image *known = find(images, &made);
	if (known != NULL) {
		free(made.packed.bytes);
		return known->object;
	}
	made.object = make_object(images->document, &made);
	images->items =
		lt_grow(images->items, &images->room, images->count + 1, sizeof(*images->items));
	images->items[images->count++] = made;
	return made.object;
}
