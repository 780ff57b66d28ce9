/* A picture as it is kept and shown: sizes, and the right way up. */
#include <stdlib.h>
#include <string.h>

#include "photo/image_job.h"
#include "photo/picture.h"

/* Where pixel (x, y) of a picture as it is kept comes to lie when it is seen. EXIF 2.3 (TIFF 6.0,
 * "Orientation") says where the first row and the first column of what is kept are in the world:
 * 1 top, left; 2 top, right; 3 bottom, right; 4 bottom, left; 5 left, top; 6 right, top; 7 right,
 * bottom; 8 left, bottom. */
static size_t seen_at(const struct lt_image *kept, unsigned orientation, unsigned x, unsigned y)
{
	bool right = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
	bool bottom = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
	bool turned = orientation >= 5;
	unsigned width = turned ? kept->height : kept->width;
	unsigned height = turned ? kept->width : kept->height;
	unsigned across = turned ? y : x;
	unsigned down = turned ? x : y;
	if (right)
		across = width - 1 - across;
	if (bottom)
		down = height - 1 - down;
	return (size_t)down * width + across;
}

/* Turns and mirrors the picture to how it is seen. */
static void set_upright(struct lt_image *image, unsigned orientation)
{
	if (orientation == 1)
		return;
	unsigned char *seen = lt_alloc_array((size_t)image->width * image->height, 3);
	const unsigned char *from = image->rgb;
	for (unsigned y = 0; y < image->height; y++) {
		for (unsigned x = 0; x < image->width; x++, from += 3)
			memcpy(seen + 3 * seen_at(image, orientation, x, y), from, 3);
	}
	free(image->rgb);
	image->rgb = seen;
	if (orientation >= 5) {
		unsigned width = image->width;
		image->width = image->height;
		image->height = width;
	}
}

static void report_fault(const struct lt_image_job *job, struct lt_place place, const char *name,
	struct lt_diags *diags)
{
	switch (job->fault) {
	case LT_IMAGE_DAMAGED:
		lt_error(diags, place, "the picture \"%s\" is damaged: %s", name, job->why);
		lt_hint(diags, "copy it again from its source, or save it again as PNG or JPEG");
		break;
	case LT_IMAGE_TOO_LARGE:
		lt_error(diags, place,
			"the picture \"%s\" has %u x %u pixels, but at most %lu million can be read",
			name, job->width, job->height, LT_IMAGE_PIXELS_MOST / 1000000);
		lt_hint(diags,
			"save a smaller copy. 1000 pixels for each side are enough on paper");
		break;
	case LT_IMAGE_INKS:
		lt_error(diags, place,
			"the picture \"%s\" uses printing inks (CMYK), so its colours are not known",
			name);
		lt_hint(diags, "save it as RGB");
		break;
	}
}

typedef bool reader_fn(struct lt_image_job *job);

/* The reader for a file, by its first bytes; NULL after reporting that there is none. */
static reader_fn *find_reader(struct lt_place place, const char *name, const unsigned char *bytes,
	size_t length, struct lt_diags *diags)
{
	static const unsigned char png[] = { 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n' };
	static const unsigned char jpeg[] = { 0xFF, 0xD8, 0xFF };
	if (length > LT_IMAGE_BYTES_MOST) {
		lt_error(diags, place,
			"the picture \"%s\" is too large: at most %zu MiB can be read", name,
			LT_IMAGE_BYTES_MOST >> 20);
		lt_hint(diags, "save a smaller copy");
		return NULL;
	}
	if (length >= sizeof(png) && memcmp(bytes, png, sizeof(png)) == 0)
		return lt_image_read_png;
	if (length >= sizeof(jpeg) && memcmp(bytes, jpeg, sizeof(jpeg)) == 0)
		return lt_image_read_jpeg;
	if (length == 0)
		lt_error(diags, place, "the picture \"%s\" is an empty file", name);
	else
		lt_error(diags, place, "the picture \"%s\" is not a PNG or JPEG file", name);
	lt_hint(diags, "save it as PNG or JPEG");
	return NULL;
}

bool lt_image_read(struct lt_image *out, struct lt_place place, const char *name,
	const unsigned char *bytes, size_t length, unsigned long pixels_most,
	struct lt_diags *diags)
{
	*out = (struct lt_image){ 0 };
	reader_fn *read = find_reader(place, name, bytes, length, diags);
	if (read == NULL)
		return false;
	struct lt_image_job job = { .bytes = bytes,
		.length = length,
		.pixels_most = pixels_most > 0 ? pixels_most : 1,
		.orientation = 1,
		.fault = LT_IMAGE_DAMAGED,
		.why = "the library that reads it cannot start" };
	bool good = read(&job);
	lt_image_job_finish(&job);
	if (!good) {
		lt_image_finish(&job.image);
		report_fault(&job, place, name, diags);
		return false;
	}
	set_upright(&job.image, job.orientation);
	*out = job.image;
	return true;
}

void lt_image_finish(struct lt_image *image)
{
	if (image == NULL)
		return;
	free(image->rgb);
	*image = (struct lt_image){ 0 };
}
