/* What the readers of PNG and JPEG share: rows scaled as they come, and which way up EXIF says. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "photo/image_job.h"

/* The size of a picture when it is to have at most `most` pixels. */
static void scale_size(unsigned *to_width, unsigned *to_height, unsigned width, unsigned height,
	unsigned long most)
{
	*to_width = width;
	*to_height = height;
	if ((uint64_t)width * height <= most)
		return;
	double scale = sqrt((double)most / ((double)width * height));
	*to_width = (unsigned)(width * scale);
	*to_height = (unsigned)(height * scale);
	/* A picture may be so long and narrow that its narrow side vanishes. */
	if (*to_width == 0) {
		*to_width = 1;
		*to_height = height < most ? height : (unsigned)most;
	} else if (*to_height == 0) {
		*to_height = 1;
		*to_width = width < most ? width : (unsigned)most;
	}
}

bool lt_image_note_size(struct lt_image_job *job, unsigned width, unsigned height)
{
	job->width = width;
	job->height = height;
	if ((uint64_t)width * height > LT_IMAGE_PIXELS_MOST) {
		job->fault = LT_IMAGE_TOO_LARGE;
		return false;
	}
	scale_size(&job->image.width, &job->image.height, width, height, job->pixels_most);
	return true;
}

/* The pixel of `to` pixels in which pixel `at` of `from` comes to lie. */
static unsigned lies_in(unsigned at, unsigned from, unsigned to)
{
	return (unsigned)((uint64_t)at * to / from);
}

void lt_image_start_rows(struct lt_image_job *job, unsigned width, unsigned height)
{
	const size_t across = job->image.width;
	job->image.rgb = lt_alloc_array(across * job->image.height, 3);
	job->scaler = (struct lt_scaler){
		.line = lt_alloc_array(width, 3),
		.width = width,
		.height = height,
		.sums = lt_alloc_array(across * 3, sizeof(*job->scaler.sums)),
		.counts = lt_alloc_array(across, sizeof(*job->scaler.counts)),
	};
	for (unsigned x = 0; x < width; x++)
		job->scaler.counts[lies_in(x, width, job->image.width)]++;
}

void lt_image_job_finish(struct lt_image_job *job)
{
	free(job->scaler.line);
	free(job->scaler.sums);
	free(job->scaler.counts);
}

/* Writes the averages of the rows summed up, and starts anew. */
static void end_row(struct lt_scaler *scaler, const struct lt_image *out)
{
	size_t width = out->width;
	unsigned char *row = out->rgb + scaler->target * width * 3;
	for (size_t x = 0; x < width; x++) {
		uint64_t count = (uint64_t)scaler->counts[x] * scaler->rows;
		if (count == 0) /* never, since a picture is not scaled up */
			continue;
		for (size_t i = 3 * x; i < 3 * x + 3; i++)
			row[i] = (unsigned char)((scaler->sums[i] + count / 2) / count);
	}
	memset(scaler->sums, 0, width * 3 * sizeof(*scaler->sums));
	scaler->rows = 0;
	scaler->target++;
}

void lt_image_take_row(struct lt_image_job *job)
{
	struct lt_scaler *scaler = &job->scaler;
	const struct lt_image *out = &job->image;
	const unsigned char *rgb = scaler->line;
	if (scaler->row >= scaler->height)
		return;
	uint64_t *sums = scaler->sums;
	for (unsigned x = 0; x < out->width; x++, sums += 3) {
		for (unsigned i = 0; i < scaler->counts[x]; i++, rgb += 3) {
			sums[0] += rgb[0];
			sums[1] += rgb[1];
			sums[2] += rgb[2];
		}
	}
	scaler->row++;
	scaler->rows++;
	if (scaler->row == scaler->height ||
		lies_in(scaler->row, scaler->height, out->height) != scaler->target)
		end_row(scaler, out);
}

/* EXIF data is a TIFF file: a header, and a directory of entries of 12 bytes each (TIFF 6.0,
 * section 2). */
#define ORIENTATION 0x0112u
#define SHORT 3u

struct tiff {
	const unsigned char *bytes;
	size_t length;
	bool little; /* the low byte of a number first */
};

/* A number of `size` bytes, 0 beyond the end. */
static uint32_t number_at(const struct tiff *tiff, size_t at, size_t size)
{
	if (at > tiff->length || tiff->length - at < size)
		return 0;
	uint32_t number = 0;
	for (size_t i = 0; i < size; i++)
		number = number << 8 | tiff->bytes[tiff->little ? at + size - 1 - i : at + i];
	return number;
}

static unsigned orientation_of(const unsigned char *bytes, size_t length)
{
	if (length < 8 || bytes[0] != bytes[1] || (bytes[0] != 'I' && bytes[0] != 'M'))
		return 1;
	const struct tiff tiff = { bytes, length, bytes[0] == 'I' };
	if (number_at(&tiff, 2, 2) != 42)
		return 1;
	size_t directory = number_at(&tiff, 4, 4);
	uint32_t count = number_at(&tiff, directory, 2);
	for (uint32_t i = 0; i < count; i++) {
		size_t entry = directory + 2 + (size_t)i * 12;
		if (number_at(&tiff, entry, 2) != ORIENTATION)
			continue;
		uint32_t orientation = number_at(&tiff, entry + 8, 2);
		bool good = number_at(&tiff, entry + 2, 2) == SHORT &&
			    number_at(&tiff, entry + 4, 4) == 1 && orientation >= 1 &&
			    orientation <= 8;
		return good ? orientation : 1;
	}
	return 1;
}

void lt_image_take_exif(struct lt_image_job *job, const unsigned char *bytes, size_t length)
{
	job->orientation = orientation_of(bytes, length);
}
