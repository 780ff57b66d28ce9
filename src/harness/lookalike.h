/* What the files about look-alikes share: which connectors match by their fields. */
#ifndef LOOMTAG_HARNESS_LOOKALIKE_H
#define LOOMTAG_HARNESS_LOOKALIKE_H

#include "harness/rows.h"
#include "loomtag/harness.h"

/* Connectors that are the same in kind, family, ways and key, and so match the same others.
 * Everything is reckoned by class, since a harness may be one class of 20,000.
 *
 * A shell is a kind and family. A circle is a set of shells whose families are nearly the same
 * (family.h). A class matches the connectors of its own shell, and of every circle that its shell
 * is in: ways and key permitting, as one that is not given matches any. Within one shell or circle
 * that are (ways or none) x (key or none): at most four lists of connectors that have nobody in
 * common. Every connector stands in four lists of its shell, and in four of each circle. */
#define LT_CLASS_LISTS 4
#define LT_CLASS_SCOPES 4
struct lt_fit_lists {
	size_t in[LT_CLASS_LISTS];
	size_t matches[LT_CLASS_LISTS];
	size_t match_count;
	size_t scopes[LT_CLASS_SCOPES]; /* of lt_scopes_of, from the second on */
};
struct lt_fit_class {
	size_t shell;
	unsigned ways;
	size_t key;
	struct lt_fit_lists own;   /* of its shell */
	struct lt_fit_lists *near; /* of each of its circles, in the order of lt_lookalikes.near */
	size_t near_count;
	size_t *scopes;
	size_t scope_count;
};

/* What lists and scopes are of: one shell or circle, and ways and key, where 0 stands for none
 * given. */
struct lt_pattern {
	size_t set;    /* a shell, or behind the shells a circle */
	unsigned ways; /* or any */
	size_t key;    /* or any */
	size_t class;  /* index of the class with this pattern, or LT_NONE */
};

struct lt_lookalikes {
	struct lt_arena arena;
	const struct lt_harness *harness;
	size_t *class_of; /* by connector; LT_NONE for clips and those of unknown fit */
	struct lt_fit_class *classes;
	size_t class_count, class_room;
	size_t shell_count;
	struct lt_indices *circles; /* of shells */
	size_t circle_count;
	struct lt_indices *near; /* by shell: its circles */
	struct lt_pattern *patterns;
	size_t pattern_count, pattern_room;
	struct lt_indices *fits, *unlike; /* by connector, said by either, ascending */
	struct lt_lookalike_order *by_index;
	struct lt_indices *groups;
	size_t group_count;
};

/* Sorts the connectors into classes, with their scopes and lists. */
void lt_fit_classes_make(struct lt_lookalikes *lookalikes);

/* The lists to go through for everybody that a class matches: `count` of them. Where its shell is
 * in circles, they contain it. */
static inline const struct lt_fit_lists *lt_fit_lists_of(size_t *count,
	const struct lt_fit_class *class)
{
	*count = class->near_count > 0 ? class->near_count : 1;
	return class->near_count > 0 ? class->near : &class->own;
}

/* Adds to the pairs that make lists (rows.h) one of `item` for every list that the connector stands
 * in. Returns the pairs, which may have moved. */
struct lt_pair *lt_fit_add_pairs(struct lt_pair *pairs, size_t *count, size_t *room,
	const struct lt_lookalikes *lookalikes, size_t connector, size_t item);

/* How many a class matches, each counted once, when `count` gives how many of a list there are. Two
 * circles have nothing but the class's own shell in common. */
typedef size_t lt_list_count(const void *data, size_t list);
size_t lt_fit_count(const struct lt_fit_class *class, lt_list_count *count, const void *data);

/* How many stand in a list. */
size_t lt_lookalike_order_count(const struct lt_lookalike_order *order, size_t list);

/* True when the two match by their fields alone: both of known fit. */
bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

#endif
