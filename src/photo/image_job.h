/* A picture that is being decoded, from the bytes of a file to rows of pixels. */
#ifndef LOOMTAG_PHOTO_IMAGE_JOB_H
#define LOOMTAG_PHOTO_IMAGE_JOB_H

#include "loomtag/photo.h"

enum lt_image_fault {
	LT_IMAGE_DAMAGED,
	LT_IMAGE_TOO_LARGE,
	LT_IMAGE_INKS, /* CMYK */
};

/* Scales down while rows come, so that the whole is never in memory. */
struct lt_scaler {
	unsigned char *line;    /* what comes next is put here, three bytes a pixel */
	unsigned width, height; /* of what comes */
	unsigned row;           /* that comes next */
	unsigned target;        /* row of the picture that is being summed up */
	uint64_t *sums;         /* three a pixel of it */
	unsigned *counts;       /* pixels in each, a row of what comes */
	unsigned rows;          /* summed up */
};

/* A reader notes the size, starts the rows, hands them in, takes the EXIF data, and returns true;
 * or returns false after it has set `fault`, and may have left something in `image`. */
struct lt_image_job {
	const unsigned char *bytes;
	size_t length;
	unsigned long pixels_most;

	struct lt_image image;
	unsigned orientation;   /* as EXIF numbers it */
	unsigned width, height; /* of the file */
	enum lt_image_fault fault;
	char why[200]; /* the library's words, for LT_IMAGE_DAMAGED */
	struct lt_scaler scaler;
};

bool lt_image_read_png(struct lt_image_job *job);
bool lt_image_read_jpeg(struct lt_image_job *job);

/* Notes the size of the file, and gives the picture the one that it will have. False, with the
 * fault set, for a file that is too large. */
bool lt_image_note_size(struct lt_image_job *job, unsigned width, unsigned height);

/* Makes ready for `height` rows of `width` pixels: the file's, or fewer, but no fewer than the
 * picture has. */
void lt_image_start_rows(struct lt_image_job *job, unsigned width, unsigned height);

/* Takes the row that was put into job->scaler.line. The picture is whole after the last. */
void lt_image_take_row(struct lt_image_job *job);

/* Takes the orientation from EXIF data, from its TIFF header on; 1 where it gives none. */
void lt_image_take_exif(struct lt_image_job *job, const unsigned char *bytes, size_t length);

/* Frees what only the job needs, not the picture. */
void lt_image_job_finish(struct lt_image_job *job);

#endif
