/* ISO/IEC 7064, MOD 37,36: a check character over digits and capitals.
 *
 * It finds every single substitution and nearly all transpositions of two neighbours. */
#ifndef LOOMTAG_ISO7064_H
#define LOOMTAG_ISO7064_H

#include <stdbool.h>
#include <stddef.h>

/* The check character for `length` characters 0-9 A-Z; 0 when another character is among them or
 * there are none. */
char lt_iso7064_check(const char *characters, size_t length);

/* True when the last of `length` characters (2 or more) is the check character of the rest. */
bool lt_iso7064_valid(const char *characters, size_t length);

#endif
