#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "photo/image_read.h"

void lt_scaled_size(unsigned *to_width, unsigned *to_height, unsigned width, unsigned height,
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

/* The pixel of `to` pixels in which pixel `at` of `from` comes to lie. */
static unsigned lies_in(unsigned at, unsigned from, unsigned to)
{
	return (unsigned)((uint64_t)at * to / from);
}

void lt_scaler_init(struct lt_scaler *scaler, struct lt_image *out, unsigned width, unsigned height,
	unsigned to_width, unsigned to_height)
{
	*out = (struct lt_image){ .width = to_width, .height = to_height };
	out->rgb = lt_alloc_array((size_t)to_width * to_height, 3);
	*scaler = (struct lt_scaler){ .out = out, .width = width, .height = height };
	scaler->sums = lt_alloc_array((size_t)to_width * 3, sizeof(*scaler->sums));
	scaler->counts = lt_alloc_array(to_width, sizeof(*scaler->counts));
	for (unsigned x = 0; x < width; x++)
		scaler->counts[lies_in(x, width, to_width)]++;
}

void lt_scaler_finish(struct lt_scaler *scaler)
{
	free(scaler->sums);
	free(scaler->counts);
	*scaler = (struct lt_scaler){ 0 };
}

/* Writes the averages of the rows summed up, and starts anew. */
static void end_row(struct lt_scaler *scaler)
{
	const struct lt_image *out = scaler->out;
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

void lt_scaler_add(struct lt_scaler *scaler, const unsigned char *rgb)
{
	const struct lt_image *out = scaler->out;
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
		end_row(scaler);
}
