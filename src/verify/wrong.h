/* The wrong mates that are not resolved: of all, and of each joint. */
#ifndef LOOMTAG_VERIFY_WRONG_H
#define LOOMTAG_VERIFY_WRONG_H

#include "loomtag/verify.h"

/* A wrong mate with its H joint and its mate's joint. */
struct lt_wrong {
	struct lt_wrong_mate pair;
	size_t h, m;
};

/* Doubly linked lists in one array of links: first the heads, one for all and two a joint, then
 * three links a wrong mate. A link that is taken out keeps its neighbours, so that undo, which
 * goes strictly backwards, can put it back where it was. */
struct lt_wrong_link {
	size_t before, behind;
};

struct lt_wrongs {
	struct lt_wrong *items; /* every one that was found and not taken back */
	struct lt_wrong_mate *shown;
	size_t count, room;
	size_t unresolved;
	struct lt_wrong_link *links;
	size_t link_room;
	size_t joint_count;
};

void lt_wrongs_init(struct lt_wrongs *wrongs, size_t joint_count);
void lt_wrongs_finish(struct lt_wrongs *wrongs);

/* True when this one is among the unresolved. */
bool lt_wrongs_has(const struct lt_wrongs *wrongs, size_t h, size_t m);

/* Appends one; its index is the count before. */
void lt_wrongs_add(struct lt_wrongs *wrongs, const struct lt_wrong *wrong);

/* Takes back the last that was added. */
void lt_wrongs_drop(struct lt_wrongs *wrongs);

/* Resolves one, and takes that back: the latter strictly in the reverse order of the former. */
void lt_wrongs_resolve(struct lt_wrongs *wrongs, size_t index);
void lt_wrongs_restore(struct lt_wrongs *wrongs, size_t index);

/* The indices of the unresolved that a joint is in: the first, and the one behind another, or
 * LT_NONE. `as_mate` asks for those where it is the mate, else for those where it is H. */
size_t lt_wrongs_first(const struct lt_wrongs *wrongs, size_t joint, bool as_mate);
size_t lt_wrongs_behind(const struct lt_wrongs *wrongs, size_t index, bool as_mate);

/* All unresolved in order of finding; the array is good until the next call that changes. */
size_t lt_wrongs_list(const struct lt_wrongs *wrongs, const struct lt_wrong_mate **out);

#endif
