/* What the readers of pictures share. */
#ifndef LOOMTAG_PHOTO_IMAGE_READ_H
#define LOOMTAG_PHOTO_IMAGE_READ_H

#include <stdint.h>

#include "loomtag/photo.h"

/* Scales down while rows are read, so that the whole is never in memory. */
struct lt_scaler {
	struct lt_image *out;
	unsigned width, height; /* of what is read */
	unsigned row;           /* that comes next */
	unsigned target;        /* row of `out` that is being summed up */
	uint64_t *sums;         /* three a pixel of it */
	unsigned *counts;       /* pixels in each, a row of what is read */
	unsigned rows;          /* summed up */
};

/* Makes `out` a picture of `to_width` x `to_height`, which are no more than `width` x `height`, and
 * not 0. The caller finishes both, in any case. */
void lt_scaler_init(struct lt_scaler *scaler, struct lt_image *out, unsigned width, unsigned height,
	unsigned to_width, unsigned to_height);
void lt_scaler_finish(struct lt_scaler *scaler);

/* Takes the next row, three bytes a pixel. The picture is whole after the last. */
void lt_scaler_add(struct lt_scaler *scaler, const unsigned char *rgb);

/* The size of a picture when it is to have at most `most` pixels. */
void lt_scaled_size(unsigned *to_width, unsigned *to_height, unsigned width, unsigned height,
	unsigned long most);

/* The orientation that EXIF data gives, 1 to 8, from its TIFF header on; 1 where it gives none. */
unsigned lt_exif_orientation(const unsigned char *bytes, size_t length);

enum lt_image_fault {
	LT_IMAGE_DAMAGED,
	LT_IMAGE_TOO_LARGE,
	LT_IMAGE_INKS, /* CMYK */
};

/* A picture on its way. A reader fills `image` and `orientation` and returns true; or returns false
 * after it has set `fault`, and may have left something in `image`. */
struct lt_image_job {
	const unsigned char *bytes;
	size_t length;
	unsigned long pixels_most;

	struct lt_image image;
	unsigned orientation;
	unsigned width, height; /* of what is read */
	enum lt_image_fault fault;
	char why[200]; /* the library's words, for LT_IMAGE_DAMAGED */
};

bool lt_image_read_png(struct lt_image_job *job);
bool lt_image_read_jpeg(struct lt_image_job *job);

/* Notes the size of what is read. False, with the fault set, when that is too large. */
bool lt_image_note_size(struct lt_image_job *job, unsigned width, unsigned height);

#endif
