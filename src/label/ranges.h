/* Lists of numbers and ranges as they are typed: "3,7-9". */
#ifndef LOOMTAG_LABEL_RANGES_H
#define LOOMTAG_LABEL_RANGES_H

#include <stdbool.h>

#include "loomtag/label.h"

struct lt_number_range {
	unsigned from, to;
};

/* A number beyond this counts as this. */
#define LT_RANGE_MAX 1000000u

/* Reads "3" or "7-9" and moves *at behind it; spaces may stand before it. False where there is
 * no number, or one with a leading zero; 0 is a number. */
bool lt_range_read(struct lt_number_range *out, const char **at);

/* Moves *at behind spaces; true when the item of the list ends there. */
bool lt_range_ends(const char **at);

/* Tells what is wrong with the item that begins at `start`: --only: "9-7" runs backwards. */
void lt_range_tell(const char *option, const char *start, const char *what, struct lt_diags *diags);

#endif
