/* Lists of indices by index, made of pairs. */
#ifndef LOOMTAG_HARNESS_ROWS_H
#define LOOMTAG_HARNESS_ROWS_H

#include "loomtag/harness.h"

struct lt_pair {
	size_t row, item;
};

/* The items of each row, ascending, each once; `row_count` of them, from the arena. Sorts the
 * pairs: n log n. */
struct lt_indices *lt_rows_make(struct lt_arena *arena, size_t row_count, struct lt_pair *pairs,
	size_t count);

/* True when an ascending row holds the item. */
bool lt_row_holds(struct lt_indices row, size_t item);

/* For qsort and bsearch, of indices. */
int lt_indices_compare(const void *one, const void *other);

#endif
