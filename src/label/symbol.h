/* Which payload a sticker's QR code carries, and how large its modules are. */
#ifndef LABEL_SYMBOL_H
#define LABEL_SYMBOL_H

#include "loomtag/layout.h"
#include "loomtag/qr.h"
#include "loomtag/tags.h"

struct lt_symbol {
	enum lt_payload payload; /* never AUTO */
	const char *text;        /* from the arena */
	struct lt_qr_plan plan;
	double module; /* mm */
};

/* True when the symbol stands beside the text, at the label's right end; else beneath it. */
bool lt_symbol_beside(const struct lt_layout *layout);

/* Chooses payload, version, level and module size for one sticker. AUTO takes the first of link
 * (where there is a base), facts and code whose modules come out at a good size in the share of
 * the label that a symbol may take; failing that, code at the least size that still reads. With
 * `small` the modules are no larger than is good, so that more is left to the tag. False with an
 * error naming the connector, the layout and what would help. */
bool lt_symbol_choose(struct lt_symbol *out, struct lt_arena *arena, const struct lt_layout *layout,
	const struct lt_tags *tags, size_t connector, enum lt_side side, enum lt_payload wanted,
	bool small, struct lt_diags *diags);

#endif
