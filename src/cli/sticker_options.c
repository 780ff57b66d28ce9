#include "sticker_options.h"

#include <string.h>

#include "loomtag/length.h"
#include "loomtag/text.h"

enum { LEAST_DPI = 100, MOST_DPI = 2400 };

/* mm: from a hand's breadth to across a room. */
#define DISTANCE_LEAST 100.0
#define DISTANCE_MOST 10000.0

#define NUDGE_MOST 50.0
#define SCALE_LEAST 0.9
#define SCALE_MOST 1.1

static bool read_payload(enum lt_payload *out, const char *text)
{
	if (text == NULL)
		return true;
	for (enum lt_payload payload = LT_PAYLOAD_AUTO; payload <= LT_PAYLOAD_CODE; payload++) {
		if (strcmp(text, lt_payload_name(payload)) == 0) {
			*out = payload;
			return true;
		}
	}
	usage_error("stickers", "--payload is auto, link, facts or code, not \"%s\"", text);
	return false;
}

bool read_two_numbers(double *x, double *y, const char *text, double least, double most)
{
	char first[32];
	const char *comma = strchr(text, ',');
	if (comma == NULL || (size_t)(comma - text) >= sizeof(first))
		return false;
	memcpy(first, text, (size_t)(comma - text));
	first[comma - text] = '\0';
	return lt_decimal_read(x, first) && lt_decimal_read(y, comma + 1) && *x >= least &&
	       *x <= most && *y >= least && *y <= most;
}

static bool read_moves(struct lt_sheet_options *sheet, const struct options *options)
{
	if (options->nudge != NULL && !read_two_numbers(&sheet->nudge_x, &sheet->nudge_y,
					      options->nudge, -NUDGE_MOST, NUDGE_MOST)) {
		usage_error("stickers", "--nudge is two numbers of mm, such as 0.5,-1, not \"%s\"",
			options->nudge);
		return false;
	}
	if (options->scale != NULL && !read_two_numbers(&sheet->scale_x, &sheet->scale_y,
					      options->scale, SCALE_LEAST, SCALE_MOST)) {
		usage_error("stickers",
			"--scale is two factors from %g to %g, such as 1.004,0.998, not \"%s\"",
			SCALE_LEAST, SCALE_MOST, options->scale);
		return false;
	}
	return true;
}

static bool read_distance(struct lt_sheet_options *sheet, const char *text)
{
	if (text == NULL)
		return true;
	double *distance = &sheet->sticker.distance;
	/* A bare number is millimetres, as everywhere on the command line. */
	if ((lt_decimal_read(distance, text) || lt_length_read(distance, text)) &&
		*distance >= DISTANCE_LEAST && *distance <= DISTANCE_MOST)
		return true;
	usage_error("stickers",
		"--distance is how far the eye is from a sticker, %g to %g mm, not \"%s\"",
		DISTANCE_LEAST, DISTANCE_MOST, text);
	return false;
}

bool sticker_options_read(struct lt_sheet_options *sheet, double *dpi,
	const struct options *options)
{
	unsigned value;
	*sheet = (struct lt_sheet_options)LT_SHEET_OPTIONS_INIT;
	*dpi = 0;
	if (!read_payload(&sheet->sticker.payload, options->payload) ||
		!read_moves(sheet, options) || !read_distance(sheet, options->distance))
		return false;
	if (options->start != NULL &&
		(!lt_whole_read(&sheet->start, options->start, 1000000) || sheet->start == 0)) {
		usage_error("stickers", "--start is a label's number, from 1, not \"%s\"",
			options->start);
		return false;
	}
	if (options->dpi != NULL) {
		if (!lt_whole_read(&value, options->dpi, MOST_DPI) || value < LEAST_DPI) {
			usage_error("stickers", "--dpi is a whole number from %d to %d, not \"%s\"",
				LEAST_DPI, MOST_DPI, options->dpi);
			return false;
		}
		*dpi = value;
	}
	return true;
}
