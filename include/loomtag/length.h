/* Lengths and sizes as people write them. */
#ifndef LOOMTAG_LENGTH_H
#define LOOMTAG_LENGTH_H

#include <stdbool.h>

/* Reads "6.2 mm", "3 cm", "1.5 in" or "-1 mm" into millimetres. A unit is required except for 0;
 * a decimal point only, no exponent; at most a kilometre either way. */
bool lt_length_read(double *mm, const char *text);

/* Reads "70 x 37 mm" (or "2 x 1 in", "2.5 cm x 13 mm"); × is read as x. A unit behind the second
 * number counts for both when the first has none. */
bool lt_length_pair_read(double *a_mm, double *b_mm, const char *text);

/* Reads "3 x 8" as two whole numbers from 1 to 10000. */
bool lt_count_pair_read(unsigned *a, unsigned *b, const char *text);

/* Reads a decimal number with an optional sign and fraction, no exponent, the whole string. */
bool lt_decimal_read(double *value, const char *text);

/* Reads "1 x 0.998" as two such numbers. */
bool lt_decimal_pair_read(double *a, double *b, const char *text);

/* Reads a whole number without sign or leading zero (0 itself is allowed), at most `max`. */
bool lt_whole_read(unsigned *value, const char *text, unsigned max);

#endif
