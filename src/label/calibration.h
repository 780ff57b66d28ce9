/* Calibrations, read from the bytes of a file and written to them. */
#ifndef LOOMTAG_LABEL_CALIBRATION_H
#define LOOMTAG_LABEL_CALIBRATION_H

#include "loomtag/label.h"

/* Reads them. `file` is for the places, and may be NULL. False when there is an error; `out` is
 * then to be finished, and must not be written over the file. A key of a printer that is not known
 * is a warning. */
bool lt_calibrations_read(struct lt_calibrations *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

/* Writes the set as lt_calibrations_read reads it. */
void lt_calibrations_write(struct lt_text *out, const struct lt_calibrations *set);

#endif
