/* Numbers as documents have them: with a point, whatever the locale, and no longer than they need
 * to be. */
#ifndef LOOMTAG_DRAW_DECIMAL_H
#define LOOMTAG_DRAW_DECIMAL_H

#include "loomtag/draw.h"

#define LT_DECIMALS_MOST 9u

/* Adds value / 10^decimals: "12.3", "-0.05". */
void lt_decimal_add(struct lt_text *out, long long value, unsigned decimals);

#endif
