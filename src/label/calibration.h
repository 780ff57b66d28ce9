/* What reading and setting calibrations share. */
#ifndef LOOMTAG_LABEL_CALIBRATION_H
#define LOOMTAG_LABEL_CALIBRATION_H

#include "loomtag/label.h"

/* Each is true where the value may be kept, and has told of one that may not. */
bool lt_printer_name_check(const char *name, struct lt_place place, struct lt_diags *diags);
bool lt_nudge_check(double x, double y, struct lt_place place, struct lt_diags *diags);
bool lt_scale_check(double x, double y, struct lt_place place, struct lt_diags *diags);
bool lt_smallest_check(unsigned dots, struct lt_place place, struct lt_diags *diags);

/* Copies the numbers, to the digits that are written. */
void lt_calibration_fill(struct lt_calibration *out, const struct lt_calibration *from);

/* Adds a printer that the set does not have, true to size and place; `name` is copied. */
struct lt_calibration *lt_calibration_add(struct lt_calibrations *set, const char *name);

#endif
