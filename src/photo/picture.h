/* Pictures in memory: read from the bytes of a file, and searched for codes. */
#ifndef LOOMTAG_PHOTO_PICTURE_H
#define LOOMTAG_PHOTO_PICTURE_H

#include "loomtag/photo.h"

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

/* Finds and reads the QR codes of a picture with zbar. What is too large, small, dark or uneven for
 * one look is looked at again, scaled and evened. Each text once, in no order that means anything;
 * from `arena`. Texts may hold anything but NUL. Returns how many; 0 for none. */
size_t lt_picture_codes(const char ***out, struct lt_arena *arena, const struct lt_image *image);

#endif
