/* Which joints hold up which, at a stage where there is an order. */
#ifndef LOOMTAG_VERIFY_WAITS_H
#define LOOMTAG_VERIFY_WAITS_H

#include "loomtag/verify.h"

/* For each node of a plan (joints, then passages) a list of nodes, ascending: those of node i are
 * items[first[i]] up to items[first[i + 1]]. */
struct lt_edges {
	size_t *first, *items;
};

/* `after` as it stands, and turned round. */
void lt_edges_init(struct lt_edges *after, struct lt_edges *dependents, const struct lt_plan *plan);
void lt_edges_finish(struct lt_edges *edges);

/* A node waits for those before it; a joint that is done with lets those behind it go. */
struct lt_waits {
	struct lt_edges before, behind;
	size_t joint_count, node_count;
	size_t *open;  /* by node: how many directly before it are not done with */
	bool *done;    /* by node; a passage is when nothing before it is open */
	size_t *stack; /* of nodes */
};

/* All joints are not done with. `unplugging`: what comes after a joint is before it. Linear. */
void lt_waits_init(struct lt_waits *out, const struct lt_plan *plan, bool unplugging);
void lt_waits_finish(struct lt_waits *waits);

/* Linear in the passages that open or close by it, and what is directly behind them. */
void lt_waits_set(struct lt_waits *waits, size_t joint, bool done);

/* The first joint before this one that is not done with, through passages in their order; LT_NONE:
 * none. */
size_t lt_waits_for(const struct lt_waits *waits, size_t joint);

#endif
