/* What laying the ladder out and drawing it share. */
#ifndef LOOMTAG_SHEET_LADDER_H
#define LOOMTAG_SHEET_LADDER_H

#include "loomtag/sheet.h"

#define LT_LADDER_MODULES 21u /* version 1 (ISO/IEC 18004) */
#define LT_LADDER_RULE 12.0   /* mm, to write on */
#define LT_LADDER_HAND 5.5    /* height of what is written by hand */

/* The em, and the height of a line with all that letters reach above and below, of a text whose
 * capitals are `capital` mm high. */
double lt_ladder_size(const struct lt_measure *measure, double capital);
double lt_ladder_line(const struct lt_measure *measure, double capital);

#endif
