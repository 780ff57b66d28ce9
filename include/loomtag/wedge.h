/* Scanners as they are: what a keyboard-wedge scanner types, undone. Pure functions. */
#ifndef LOOMTAG_WEDGE_H
#define LOOMTAG_WEDGE_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/tags.h"
#include "loomtag/text.h"

/* What was wrong with the scanner's settings. */
enum lt_wedge_trouble {
	LT_WEDGE_FINE,      /* it reads as it came */
	LT_WEDGE_PREFIX,    /* letters or a symbology identifier stood before the code */
	LT_WEDGE_FRENCH,    /* typed for another keyboard, read by a French one */
	LT_WEDGE_TO_FRENCH, /* typed for a French keyboard, read by another one */
	LT_WEDGE_GERMAN     /* Y and Z changed places, and punctuation: a German keyboard */
};

/* Which setting of the scanner to mend, in a plain sentence; lives for ever. NULL for FINE. */
const char *lt_wedge_advice(enum lt_wedge_trouble trouble);

/* Undoes what is known to go wrong. Writes to `out` (which is emptied first) the scan code as it
 * should have come, alone, and says what was undone. Only where the first token of what came is a
 * misread, and where undoing one known mix-up over the whole token gives a scan code with this very
 * harness code (with unit), a number and side that are live in `tags`, and the right check
 * character; in every other case `out` is what came, and FINE: it stays what it was. Where two
 * mix-ups would give different codes (of whatever harness), neither is undone; nor where a second
 * scan stands on the line; nor where what came could also be the code of another live sticker,
 * in any mix-up or in none, with one character spoiled.
 *
 * Prefixes: a symbology identifier (ISO/IEC 15424: "]Q1"), or letters alone; digits before a number
 * could be part of it, and are never dropped.
 * Keyboards (layouts as in common operating systems, from memory): French: digits as the row
 * without shift (& e-acute " ' ( - e-grave _ c-cedilla a-grave), A and Q, Z and W, M and the keys
 * beside it changed; the reverse of it on a keyboard that is not French; German: Y and Z, and
 * punctuation. With and without the shift or caps lock that a scanner sends for capitals. UTF-8, or
 * Latin-1 where the token is not UTF-8.
 *
 * Linear in the length of what came, and for what can be undone in the number of tags. */
enum lt_wedge_trouble lt_wedge_undo(struct lt_text *out, const char *bytes, size_t length,
	const struct lt_tags *tags);

/* Double triggers: the same scan twice within LT_WEDGE_TWICE milliseconds is one. */
#define LT_WEDGE_TWICE 300
struct lt_wedge_last {
	char scan[64];
	long long at; /* milliseconds of a clock that does not jump */
	bool any;
};
/* True when this scan is the second of a double trigger; remembers it either way. Zeroed `last`
 * before the first. Longer scans than fit are never the same. */
bool lt_wedge_twice(struct lt_wedge_last *last, const char *bytes, size_t length, long long at);

#endif
