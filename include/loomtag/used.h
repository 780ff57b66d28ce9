/* Which labels of a part-used sheet are gone. */
#ifndef LOOMTAG_USED_H
#define LOOMTAG_USED_H

#include <stdbool.h>

#include "loomtag/diag.h"

/* Reads "1-5,9": labels are numbered row by row, from 1, and label n is used[n - 1]. `used` has
 * room for `labels` (1 and more, as many as the layout has on a sheet) and is set as a whole; all
 * false after an error. Errors, each beginning with --used: no number, 0, more than `labels`, a
 * range that runs backwards, no label at all, and every one. A label may be named twice. */
bool lt_used_read(bool *used, unsigned labels, const char *text, struct lt_diags *diags);

#endif
