/* What the files about look-alikes share: the index of what could go into what. */
#ifndef LOOMTAG_HARNESS_LOOKALIKE_INDEX_H
#define LOOMTAG_HARNESS_LOOKALIKE_INDEX_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/harness.h"

/* In a pattern: any ways, any key. */
#define LT_ANY_WAYS ((unsigned)-1)
#define LT_ANY_KEY ((size_t)-1)

/* Ways and a key within one shell, which is a kind and family. 0 stands for none given. */
struct lt_pattern {
	size_t shell;
	unsigned ways;
	size_t key;
};

/* Connectors that are the same in kind, family, ways and key, and so match the same others.
 * Everything is reckoned by class, since a harness may be one class of 20,000.
 *
 * A class (ways, key) matches (ways or none) x (key or none), where none matches any: at most
 * four lists of connectors that have nobody in common. Every connector stands in four lists. */
#define LT_CLASS_LISTS 4
struct lt_fit_class {
	struct lt_pattern pattern;
	size_t scopes[LT_SCOPES];
	size_t in[LT_CLASS_LISTS];
	size_t matches[LT_CLASS_LISTS];
	size_t match_count;
};

/* The scopes that are no pattern. */
enum { LT_SCOPE_UNKNOWN, LT_SCOPE_ALL, LT_SCOPE_FIRST_PATTERN };

/* Rows laid end to end: row i runs from starts[i] to starts[i + 1]. */
struct lt_rows {
	size_t *starts;
	size_t *items;
};

struct lt_lookalikes {
	struct lt_arena arena;
	const struct lt_harness *harness;
	size_t *class_of; /* by connector; LT_NONE for clips and those of unknown fit */
	struct lt_fit_class *classes;
	size_t class_count, class_room;
	struct lt_pattern *scopes;
	size_t scope_count, scope_room;
	size_t list_count;
	struct lt_rows fits, unlike; /* by connector, said by either, ascending */
	struct lt_lookalike_order *by_index;
	struct lt_indices *groups;
	size_t group_count;
};

/* Sorts the connectors into classes, and those into scopes and lists. */
void lt_classes_index(struct lt_lookalikes *lookalikes);

/* Turns what connectors say of each other into rows. */
void lt_said_index(struct lt_lookalikes *lookalikes);

/* Finds the groups. */
void lt_groups_find(struct lt_lookalikes *lookalikes);

/* True when the two match by their fields alone: both of known fit. */
bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b);

struct lt_indices lt_row(const struct lt_rows *rows, size_t row);

/* True when an ascending row holds the item. */
bool lt_row_holds(struct lt_indices row, size_t item);

#endif
