/* What of a print is unfinished, read from the bytes of its file. */
#ifndef LOOMTAG_PRINT_UNFINISHED_H
#define LOOMTAG_PRINT_UNFINISHED_H

#include "loomtag/print.h"

/* Reads the bytes of a file, whose name errors give. False, with an error, when it is damaged.
 * Finish `out` either way. */
bool lt_unfinished_read(struct lt_unfinished *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

#endif
