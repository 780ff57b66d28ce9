/* The objects of one PDF that are not pages or fonts: pictures, and what the document says of
 * itself. Errors of libharu go to its error handler. */
#ifndef LOOMTAG_DRAW_PDF_OBJECTS_H
#define LOOMTAG_DRAW_PDF_OBJECTS_H

#include <hpdf.h>

#include "draw/pack.h"

/* The document's object for a picture, which `pictures` keeps. NULL when libharu refuses, which
 * then has called its error handler, or when there is not enough memory to pack it. */
HPDF_Dict lt_pdf_image_object(HPDF_Doc document, struct lt_pictures *pictures,
	const struct lt_image *image);

/* Adds a text string to the document's information: UTF-16 with a byte order mark (ISO 32000-1,
 * 7.9.2.2), which libharu's own call makes of single-byte text only. */
void lt_pdf_add_information(HPDF_Doc document, const char *key, const char *value);

/* Asks the print dialogue for the pages at their actual size: /PrintScaling /None among the viewer
 * preferences (ISO 32000-1, Table 150), which libharu's own call does not have. */
void lt_pdf_ask_actual_size(HPDF_Doc document);

/* Adds when the document was made and changed, in seconds since 1970, UTC. False with an error when
 * that is no date of the years 0 to 9999. */
bool lt_pdf_add_dates(HPDF_Doc document, long long date, struct lt_diags *diags);

#endif
