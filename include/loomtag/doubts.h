/* Doubts: what is not quite right with stickers that were placed all the same. */
#ifndef LOOMTAG_DOUBTS_H
#define LOOMTAG_DOUBTS_H

#include "loomtag/sticker.h"

enum lt_doubt {
	LT_DOUBT_SYMBOL,  /* the symbol's modules are only just readable */
	LT_DOUBT_NUMBER,  /* the number is smaller than the reading distance wants */
	LT_DOUBT_WARNING, /* so are the look-alike numbers, or the banner */
	LT_DOUBT_BEND,    /* the symbol goes too far round its bundle */
	LT_DOUBT_BUNDLE,  /* the layout depends on a bundle that is not known */
	LT_DOUBT_CLOSE,   /* the bundle is computed, and hardly within what the layout suits */
	LT_DOUBT_PARTIAL, /* the bundle is computed from some of the ways only */
	LT_DOUBT_MATE,    /* a machine half's sticker is cut for the harness half's bundle */
	LT_DOUBT_COUNT
};

#define LT_DOUBTS_NAMED 4u

/* What a computed bundle may be off by: common practice, no source. */
#define LT_BUNDLE_DOUBT 0.1

/* Of one kind of doubt: how many stickers (or connectors, where it is the bundle), the first of
 * them, and the worst measure: mm a module, mm of number, degrees. */
struct lt_doubt_entry {
	size_t count;
	unsigned numbers[LT_DOUBTS_NAMED];
	enum lt_side sides[LT_DOUBTS_NAMED];
	unsigned last; /* the number counted last */
	double worst;
	unsigned dots; /* a module, at the worst */
};
struct lt_doubts {
	struct lt_doubt_entry entries[LT_DOUBT_COUNT];
};

/* The doubts about one sticker, a bit each. */
unsigned lt_doubts_of(const struct lt_sticker *sticker, const struct lt_layout *layout,
	double distance);

/* Counts them. Start with a zeroed struct. */
void lt_doubts_note(struct lt_doubts *doubts, const struct lt_sticker *sticker,
	const struct lt_layout *layout, double distance);

/* Tells each kind once, with what would help: warnings; the last two kinds are notes. */
void lt_doubts_tell(const struct lt_doubts *doubts, const struct lt_layout *layout, double distance,
	struct lt_diags *diags);

#endif
