/* Pictures: photographs and drawings, read from PNG (ISO/IEC 15948) and JPEG (ITU-T T.81). */
#ifndef LOOMTAG_IMAGE_H
#define LOOMTAG_IMAGE_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"

/* What is read at most; more is refused before anything is decoded. */
#define LT_IMAGE_BYTES_MOST ((size_t)64 << 20)
#define LT_IMAGE_PIXELS_MOST 50000000ul

/* Rows of pixels from the top left, three bytes each: red, green, blue. A zeroed struct is none. */
struct lt_image {
	unsigned width, height; /* pixels */
	unsigned char *rgb;
};

/* Reads a picture as it is to be seen: turned as its EXIF orientation says, transparent parts on
 * white, 8 bits a colour. One of more than `pixels_most` (1 and more) pixels is scaled down to
 * that, each new pixel the average of those it stands for; the shape is kept to within a pixel.
 *
 * False, with an error at `place` and nothing in `*out`, for what is neither PNG nor JPEG, too
 * large, in any way damaged or cut short, or a JPEG of printing inks (CMYK). `name` is what the
 * error calls the picture. EXIF data that is damaged counts as none, and colour profiles are not
 * looked at.
 *
 * Takes memory for a few rows beside the result; for interlaced PNG 4 bytes, for progressive JPEG
 * up to 6 bytes a pixel of the file. */
bool lt_image_read(struct lt_image *out, struct lt_place place, const char *name,
	const unsigned char *bytes, size_t length, unsigned long pixels_most,
	struct lt_diags *diags);

/* Frees the pixels; takes NULL or a zeroed struct. */
void lt_image_finish(struct lt_image *image);

#endif
