/* EXIF data is a TIFF file: a header, and a directory of entries of 12 bytes each (TIFF 6.0,
 * section 2). */
#include "photo/image_read.h"

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

unsigned lt_exif_orientation(const unsigned char *bytes, size_t length)
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
