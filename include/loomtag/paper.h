/* Paper sizes. */
#ifndef LOOMTAG_PAPER_H
#define LOOMTAG_PAPER_H

#include <stdbool.h>

/* ISO 216 A4 and A3, US letter (8.5 x 11 in) and ledger (11 x 17 in). */
enum lt_paper { LT_PAPER_A4, LT_PAPER_LETTER, LT_PAPER_A3, LT_PAPER_LEDGER, LT_PAPER_COUNT };

/* Its size in mm, portrait. */
void lt_paper_size(double *width, double *height, enum lt_paper paper);

/* "a4", "letter", "a3", "ledger"; lives for ever. */
const char *lt_paper_name(enum lt_paper paper);

/* Reads a name, in either case; false when there is no paper of that name. */
bool lt_paper_read(enum lt_paper *out, const char *name);

#endif
