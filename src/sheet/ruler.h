/* What tests ask of the ruler. */
#ifndef LOOMTAG_SHEET_RULER_H
#define LOOMTAG_SHEET_RULER_H

#include "loomtag/sheet.h"

#define LT_RULER_BAR 100.0 /* mm, where there is room; else the most whole tens that fit */
#define LT_RULER_STEP 10.0 /* mm between two ticks */

/* The lengths of its bars to the right and down, in mm; 0 where not even one step fits. */
void lt_ruler_bars(double *x, double *y, const struct lt_layout *layout);

#endif
