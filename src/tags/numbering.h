/* Giving new numbers, and who carries which. */
#ifndef LOOMTAG_TAGS_NUMBERING_H
#define LOOMTAG_TAGS_NUMBERING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "loomtag/tags.h"

struct lt_numbering {
	const struct lt_lookalikes *lookalikes;
	unsigned *number_of; /* by connector; 0: none */
	size_t *owner_of;    /* by number; LT_NONE: nobody, or retired */
	unsigned *unused; /* by number: towards the next one never used, itself where it is that */
	struct lt_bars *bars;
};

void lt_numbering_init(struct lt_numbering *numbering, const struct lt_lookalikes *lookalikes,
	size_t connectors);
void lt_numbering_finish(struct lt_numbering *numbering);

/* Takes a number out of use for others; `connector` carries it, or LT_NONE: it is retired. */
void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector);

bool lt_numbering_used(const struct lt_numbering *numbering, unsigned number);

/* The smallest number never used and confusable with the number of none of the connector's
 * look-alikes for numbering; 0 when there is none. */
unsigned lt_numbering_next(struct lt_numbering *numbering, size_t connector);

/* Numbers that are barred to all members of a scope, for passing over them at once. */
struct lt_bars *lt_bars_create(void);
void lt_bars_destroy(struct lt_bars *bars);

/* Bars the numbers from `number` to before `next` to a scope, for good; of these, `number` was not
 * barred to it. */
void lt_bars_add(struct lt_bars *bars, size_t scope, unsigned number, unsigned next);

/* The first number, from this one on, that is not barred to the scope. Amortised constant. */
unsigned lt_bars_pass(struct lt_bars *bars, size_t scope, unsigned number);

#endif
