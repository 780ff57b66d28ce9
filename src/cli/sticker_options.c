/* Options of commands that make stickers. */
#include <string.h>

#include "cli/stickers.h"

#define COPIES_MOST 100u
/* mm: from a hand's width to across a room. */
#define DISTANCE_LEAST 100.0
#define DISTANCE_MOST 10000.0

static int read_payload(enum lt_payload *out, const struct options *options)
{
	const char *text = options->payload;
	if (text == NULL)
		return EXIT_YES;
	for (enum lt_payload payload = LT_PAYLOAD_AUTO; payload <= LT_PAYLOAD_CODE; payload++) {
		if (strcmp(text, lt_payload_name(payload)) == 0) {
			*out = payload;
			return EXIT_YES;
		}
	}
	return lt_usage_error(options->command,
		"--payload must be auto, link, facts or code, not "
		"\"%s\"",
		text);
}

static int read_distance(double *distance, const struct options *options)
{
	const char *text = options->distance;
	/* A bare number is millimetres, as everywhere on the command line. */
	if (text == NULL || ((lt_decimal_read(distance, text) || lt_length_read(distance, text)) &&
				    *distance >= DISTANCE_LEAST && *distance <= DISTANCE_MOST))
		return EXIT_YES;
	return lt_usage_error(options->command,
		"--distance must be a length from %g to %g mm, not \"%s\"", DISTANCE_LEAST,
		DISTANCE_MOST, text);
}

int lt_sticker_options_read(struct sticker_options *out, const struct options *options,
	struct lt_diags *diags)
{
	struct lt_sheet_options *sheet = &out->sheet;
	*out = (struct sticker_options){ .sheet = LT_SHEET_OPTIONS_INIT };
	if (read_payload(&sheet->sticker.payload, options) != EXIT_YES ||
		read_distance(&sheet->sticker.distance, options) != EXIT_YES ||
		lt_read_dpi(&out->dpi, options, LEAST_DPI, options->command) != EXIT_YES)
		return EXIT_USAGE;
	if (options->copies != NULL &&
		(!lt_whole_read(&sheet->copies, options->copies, COPIES_MOST) ||
			sheet->copies == 0))
		return lt_usage_error(options->command,
			"--copies must be a whole number from 1 to %u, not \"%s\"", COPIES_MOST,
			options->copies);
	if (options->start != NULL &&
		(!lt_whole_read(&sheet->start, options->start, 1000000) || sheet->start == 0))
		return lt_usage_error(options->command,
			"--start must be a whole number from 1, not \"%s\"", options->start);
	int code = lt_alignment_read(&out->alignment, options, options->to == NULL,
		options->command, diags);
	sheet->nudge_x = out->alignment.nudge_x;
	sheet->nudge_y = out->alignment.nudge_y;
	sheet->scale_x = out->alignment.scale_x;
	sheet->scale_y = out->alignment.scale_y;
	sheet->sticker.least_dots = out->alignment.smallest;
	if (code == EXIT_YES && options->only != NULL) {
		sheet->only = out->only = lt_selection_read(options->only, diags);
		code = out->only != NULL ? EXIT_YES : EXIT_USAGE;
	}
	return code;
}

void lt_sticker_options_finish(struct sticker_options *options)
{
	lt_selection_destroy(options->only);
	options->only = NULL;
}

int lt_sticker_options_used(struct lt_sheet_options *sheet, const struct lt_layout *layout,
	const struct options *options, struct lt_diags *diags)
{
	unsigned all = lt_layout_labels(layout);
	if (options->start != NULL && sheet->start > all)
		return lt_usage_error(options->command,
			lt_plural(all, "--start %u: layout %s has %u label on a sheet",
				"--start %u: layout %s has %u labels on a sheet"),
			sheet->start, layout->name, all);
	if (options->used == NULL)
		return EXIT_YES;
	bool *used = lt_arena_array(&diags->arena, all, sizeof(*used));
	sheet->used = used;
	return lt_used_read(used, all, options->used, diags) ? EXIT_YES : EXIT_USAGE;
}
