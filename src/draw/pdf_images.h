/* The pictures of one PDF: each is kept once, however often it is drawn. */
#ifndef LOOMTAG_DRAW_PDF_IMAGES_H
#define LOOMTAG_DRAW_PDF_IMAGES_H

#include <hpdf.h>

#include "loomtag/draw.h"

struct lt_pdf_image;

struct lt_pdf_images {
	HPDF_Doc document;
	struct lt_pdf_image *items;
	size_t count, room;
};

void lt_pdf_images_init(struct lt_pdf_images *out, HPDF_Doc document);
void lt_pdf_images_finish(struct lt_pdf_images *images);

/* The document's object for a picture, or for one with the same pixels. NULL when libharu refuses,
 * which then has told its error handler, or when there is not enough memory to pack it. */
HPDF_Dict lt_pdf_images_get(struct lt_pdf_images *images, const struct lt_image *image);

#endif
