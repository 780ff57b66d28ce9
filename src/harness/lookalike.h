/* What the files about look-alikes share: which connectors match by their fields. */
#ifndef LOOMTAG_HARNESS_LOOKALIKE_H
#define LOOMTAG_HARNESS_LOOKALIKE_H

#include "loomtag/harness.h"

/* Connectors that are the same in kind, family, ways and key, and so match the same others.
 * Everything is reckoned by class, since a harness may be one class of 20,000.
 *
 * A class (ways, key) matches (ways or none) x (key or none), where none matches any: at most
 * four lists of connectors that have nobody in common. Every connector stands in four lists. */
#define LT_CLASS_LISTS 4
struct lt_fit_class {
	size_t pattern;
	size_t scopes[LT_SCOPES];
	size_t in[LT_CLASS_LISTS];
	size_t matches[LT_CLASS_LISTS];
	size_t match_count;
};

/* What classes, scopes and lists are of: one shell, which is a kind and family, and ways and key,
 * where 0 stands for none given. */
struct lt_pattern {
	size_t shell;
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
	struct lt_pattern *patterns;
	size_t pattern_count, pattern_room;
	struct lt_indices *fits, *unlike; /* by connector, said by either, ascending */
	struct lt_lookalike_order *by_index;
	struct lt_indices *groups;
	size_t group_count;
};

/* Sorts the connectors into classes, with their scopes and lists. */
void lt_fit_classes_make(struct lt_lookalikes *lookalikes);

/* True when the two match by their fields alone: both of known fit. */
bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

#endif
