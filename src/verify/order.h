/* Which joints hold up which, at a stage where there is an order. */
#ifndef LOOMTAG_VERIFY_ORDER_H
#define LOOMTAG_VERIFY_ORDER_H

#include "loomtag/verify.h"

/* Who waits for whom. Nodes are the joints of a plan, then its passages; a list of nodes ascends. A
 * node waits for those before it; a joint that is done with lets those behind it go. */
struct lt_waits {
	struct lt_indices *before, *behind;
	size_t joint_count;
	size_t *open;  /* how many directly before it are not done with */
	bool *done;    /* a passage is when nothing before it is open */
	size_t *stack; /* of nodes */
};

/* True when joints wait for others at this stage. */
bool lt_stage_ordered(enum lt_stage stage);

/* All joints are not done with. At stage unplug what comes after a joint is before it. Arrays from
 * `arena`. Linear. */
void lt_waits_init(struct lt_waits *out, const struct lt_plan *plan, struct lt_arena *arena);

/* Linear in the passages that open or close by it, and what is directly behind them. */
void lt_waits_set(struct lt_waits *waits, size_t joint, bool done);

/* The first joint before this one that is not done with, through passages in their order; LT_NONE:
 * none. */
size_t lt_waits_for(const struct lt_waits *waits, size_t joint);

#endif
