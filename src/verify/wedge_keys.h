/* Keyboard layouts, and what a key press meant that another layout took for something else. */
#ifndef LOOMTAG_VERIFY_WEDGE_KEYS_H
#define LOOMTAG_VERIFY_WEDGE_KEYS_H

#include <stddef.h>
#include <stdint.h>

#include "loomtag/verify.h"

/* Stands for any character that is not ASCII: no letter, no digit. */
#define LT_WEDGE_OTHER '~'

/* How many mix-ups of two keyboards are known. */
size_t lt_wedge_mixups(void);

/* What is wrong in a mix-up. */
enum lt_wedge_trouble lt_wedge_mixup_trouble(size_t mixup);

/* The character that the scanner meant, small letters as capitals, where the host's keyboard made
 * `came` of its key; LT_WEDGE_OTHER for one that is not ASCII, 0 where no key of the host makes
 * that. */
char lt_wedge_meant(size_t mixup, uint32_t came);

#endif
