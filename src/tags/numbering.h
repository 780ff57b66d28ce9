/* What assigning numbers is made of: giving new ones, and bringing a register up to date with the
 * description that it belongs to. */
#ifndef LOOMTAG_TAGS_NUMBERING_H
#define LOOMTAG_TAGS_NUMBERING_H

#include "loomtag/tags.h"

struct lt_numbering {
	const struct lt_lookalikes *lookalikes;
	unsigned *number_of;  /* by connector; 0: none; the caller's */
	size_t *owner_of;     /* by number; LT_NONE: nobody, or retired */
	struct lt_bars *bars; /* numbers that are used, or barred to scopes */
};

void lt_numbering_init(struct lt_numbering *numbering, const struct lt_lookalikes *lookalikes,
	unsigned *number_of);
void lt_numbering_finish(struct lt_numbering *numbering);

/* Takes a number out of use for others; `connector` carries it, or LT_NONE: it is retired. */
void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector);

/* The smallest number never used and confusable with the number of none of the connector's
 * look-alikes for numbering; 0 when there is none. */
unsigned lt_numbering_next(struct lt_numbering *numbering, size_t connector);

/* Renames entries by `was`, retires those whose connector is gone or is numbered no more, and
 * brings back those whose connector is there again. `entry_of` becomes, by connector, the index of
 * its entry or LT_NONE. The description has no errors, so that no two connectors were the same one
 * and none was one that is still there. Sets *changed when anything in the register changed. False
 * when a `was` conflicts. */
bool lt_register_reconcile(size_t *entry_of, bool *changed, struct lt_register *reg,
	const struct lt_harness *harness, struct lt_diags *diags);

#endif
