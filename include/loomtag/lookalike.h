/* Look-alikes: which connectors would physically mate with each other's components.
 *
 * Two connectors are look-alikes when they have the same kind and none of family, ways and key
 * differs; ways or key left out match anything; `fits` and `unlike` overrule either way round, and
 * `fits` overrules `unlike`. Family and key compare as text, with runs of white space as one space
 * and ASCII letters without case.
 * A connector without family has unknown fit: it is numbered as if it were a look-alike of all
 * but clips, and not listed. Clips have none unless `fits` says so. FAA AC 43.13-1B 11-235 b.
 *
 * Nothing here is quadratic unless the answer asked for is. */
#ifndef LOOMTAG_LOOKALIKE_H
#define LOOMTAG_LOOKALIKE_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/harness.h"
#include "loomtag/text.h"

struct lt_lookalikes;

/* Indexes a harness, which must outlive the result. */
struct lt_lookalikes *lt_lookalikes_create(const struct lt_harness *harness);
void lt_lookalikes_destroy(struct lt_lookalikes *lookalikes);

/* True when the connector's fit is unknown: no family, not a clip. */
bool lt_fit_unknown(const struct lt_harness *harness, size_t connector);

/* True when the two are listed look-alikes of each other (known fit, or `fits`). Never of itself.
 * Constant time on average. */
bool lt_lookalike(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

/* True when the two must not have confusable numbers: look-alikes, or one of unknown fit. */
bool lt_lookalike_for_numbering(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

/* The listed look-alikes of one connector, ascending, at most `limit` of them, in `out` (may be
 * NULL with limit 0). Returns how many there are in all. Linear in `limit` and the connector's
 * `fits` and `unlike`. */
size_t lt_lookalikes_of(const struct lt_lookalikes *lookalikes, size_t connector, size_t *out,
	size_t limit);

/* The same in another order: `rank` gives every connector a rank of its own, 1 to LT_RANK_MAX (a
 * tag number, say), or 0 to leave it out. Linear in the harness; `rank` is not kept. */
#define LT_RANK_MAX 1000000u
struct lt_lookalike_order;
struct lt_lookalike_order *lt_lookalike_order_create(const struct lt_lookalikes *lookalikes,
	const unsigned *rank);
void lt_lookalike_order_destroy(struct lt_lookalike_order *order);

/* The ranks of one connector's listed look-alikes, ascending, at most `limit` of them, in `out`.
 * Returns how many there are in all. Linear in `limit` and the connector's `fits` and `unlike`. */
size_t lt_lookalike_ranks(const struct lt_lookalike_order *order, size_t connector, unsigned *out,
	size_t limit);

/* The groups: connected sets of two or more listed look-alikes, each ascending, groups in order
 * of their first member. Owned by `lookalikes`. */
const struct lt_indices *lt_lookalike_groups(const struct lt_lookalikes *lookalikes, size_t *count);

/* True when every connector of a group is a look-alike of every other. Linear in the group and what
 * its connectors say of others. */
bool lt_lookalikes_complete(const struct lt_lookalikes *lookalikes, struct lt_indices group);

/* Says who is whose look-alike in a group that is not complete: "4 with 5 and 6; 5 with 4", in the
 * order given, of at most `most` connectors at most `most` look-alikes each, the others counted:
 * "and 2 more". `name` appends what a connector is called. Linear in the group. */
typedef void lt_lookalike_name(struct lt_text *out, size_t connector, const void *data);
void lt_lookalikes_say(struct lt_text *out, const struct lt_lookalikes *lookalikes,
	struct lt_indices group, size_t most, lt_lookalike_name *name, const void *data);

/* Scopes for numbering. A scope is a set of members and a set of blockers, such that every blocker
 * must not have a number confusable with any member's, `unlike` apart. A connector is a member of
 * at most LT_SCOPES of them; the scopes it is a member of, widest first:
 *   all but clips                blockers: connectors of unknown fit
 *   same kind and family         and those of that kind and family with neither ways nor key
 *   same, and same ways          and those with these ways, or none, and no key
 *   same, and same key           and those with this key, or none, and no ways
 *   same in all four             and every other that matches
 * where, for a member that has no ways, "these ways, or none" are any ways at all; and so for key.
 * The blockers of each are among those of the next, but for the fourth: those of the second are
 * among its own, and both its own and those of the third among those of the fifth.
 * Connectors of unknown fit have the first and one whose blockers are all but clips. A clip has
 * none. Scope ids run from 0 to lt_scope_count - 1. Returns how many. */
#define LT_SCOPES 5
size_t lt_scopes_of(const struct lt_lookalikes *lookalikes, size_t connector,
	size_t out[LT_SCOPES]);
size_t lt_scope_count(const struct lt_lookalikes *lookalikes);

/* True when the connector is one of the scope's blockers. Constant time. */
bool lt_scope_blocked_by(const struct lt_lookalikes *lookalikes, size_t scope, size_t connector);

/* `fits` and `unlike` of a connector, said by it or by the other; ascending, each once. Owned by
 * `lookalikes`. */
struct lt_indices lt_lookalike_fits(const struct lt_lookalikes *lookalikes, size_t connector);
struct lt_indices lt_lookalike_unlike(const struct lt_lookalikes *lookalikes, size_t connector);

#endif
