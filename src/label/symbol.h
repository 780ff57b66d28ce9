/* Which payload a sticker's QR code carries, and how large its modules are. */
#ifndef LOOMTAG_LABEL_SYMBOL_H
#define LOOMTAG_LABEL_SYMBOL_H

#include "label/shape.h"
#include "loomtag/label.h"

struct lt_symbol {
	enum lt_payload payload; /* never AUTO */
	const char *text;        /* from the arena */
	struct lt_qr_plan plan;
	double module; /* mm */
	unsigned dots; /* of the head, or six hundredths of an inch */
	enum lt_quality quality;
};

/* What is asked of a symbol. */
struct lt_symbol_wish {
	enum lt_payload payload;
	bool small;          /* no larger than is good, so that more is left to the tag */
	unsigned least_dots; /* a module, of a head; 0: what is known to read */
};

/* True when the symbol stands beside the text, at the face's right end; else beneath it. */
bool lt_symbol_beside(const struct lt_blank *blank);

/* Chooses payload, version, level and module size for one sticker. AUTO takes the first of link
 * (where there is a base), facts and code whose modules come out at a good size in the share of
 * the face that a symbol may take; failing that, the first at a fair size; failing that, code at
 * the least size that still reads. False with an error naming the connector, the layout and what
 * would help. */
bool lt_symbol_choose(struct lt_symbol *out, struct lt_arena *arena, const struct lt_blank *blank,
	const struct lt_tags *tags, size_t connector, enum lt_side side,
	const struct lt_symbol_wish *wish, struct lt_diags *diags);

#endif
