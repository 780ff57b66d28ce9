/* What was measured of printers, kept by the printer's name: how far it prints beside the place,
 * how much too large or small, and how small a symbol of its dots the scanner at hand reads.
 *
 * The file is YAML, with every value of a printer on a line of its own:
 *
 *     printers:
 *       - name: "bench 2"
 *         nudge: 0.5 x -1 mm
 *         scale: 1 x 0.998
 *         smallest: 3
 *
 * What a later version writes of a printer beside these is kept as it is. */
#ifndef LOOMTAG_CALIBRATION_H
#define LOOMTAG_CALIBRATION_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"
#include "loomtag/text.h"

#define LT_CALIBRATION_FILE_MAX (1u * 1024 * 1024) /* bytes */
#define LT_PRINTER_NAME_MAX 127u                   /* bytes */
#define LT_NUDGE_MAX 50.0                          /* mm, either way */
#define LT_SCALE_LEAST 0.9
#define LT_SCALE_MOST 1.1
#define LT_SMALLEST_LEAST 2u /* dots a module */
#define LT_SMALLEST_MOST 8u

struct lt_kept_key {
	const char *key, *value;
};

struct lt_calibration {
	const char *name;           /* UTF-8 with no control characters, 1 to LT_PRINTER_NAME_MAX */
	double nudge_x, nudge_y;    /* mm to the right and down; written to 0.001 */
	double scale_x, scale_y;    /* 1 is true to size; written to 0.00001 */
	unsigned smallest;          /* dots a module that still read; 0: not known, not written */
	struct lt_kept_key *others; /* keys that this version does not know */
	size_t other_count;
};
#define LT_CALIBRATION_INIT \
	{ \
		.scale_x = 1, .scale_y = 1 \
	}

/* Owns all its strings. A zeroed struct knows no printer. */
struct lt_calibrations {
	struct lt_arena arena;
	struct lt_calibration *items; /* in the order of the file; malloc'd */
	size_t count, room;
};

/* Takes NULL or a zeroed struct. */
void lt_calibrations_finish(struct lt_calibrations *set);

/* Reads a file's bytes. `file` is for the places, and may be NULL. False when there is an error;
 * `out` is then to be finished, and must not be written over the file. A key of a printer that is
 * not known is a warning. */
bool lt_calibrations_read(struct lt_calibrations *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

/* Reads a file; one that is not there knows no printer. */
bool lt_calibrations_read_file(struct lt_calibrations *out, const char *path,
	struct lt_diags *diags);

/* The calibration of the printer with just that name, or NULL. Valid until the set is changed. */
const struct lt_calibration *lt_calibration_find(const struct lt_calibrations *set,
	const char *name);

/* Enters or replaces a printer's calibration; all of it is copied but `others`: those of the set
 * stay. False, and told, and nothing changed, where the name or a number is out of range. */
bool lt_calibration_set(struct lt_calibrations *set, const struct lt_calibration *calibration,
	struct lt_diags *diags);

/* Writes the set as lt_calibrations_read reads it. */
void lt_calibrations_write(struct lt_text *out, const struct lt_calibrations *set);

/* Sets one printer's calibration in the file: reads it, and writes it whole, under one lock. The
 * file need not be there, its folder must. A file with errors is told of and left as it is. */
bool lt_calibration_store(const char *path, const struct lt_calibration *calibration,
	struct lt_diags *diags);

#endif
