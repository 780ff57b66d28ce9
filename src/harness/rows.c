/* Lists of indices by index, made of pairs. */
#include <stdlib.h>

#include "harness/rows.h"

static int compare_pairs(const void *one, const void *other)
{
	const struct lt_pair *a = one;
	const struct lt_pair *b = other;
	if (a->row != b->row)
		return a->row < b->row ? -1 : 1;
	return (a->item > b->item) - (a->item < b->item);
}

struct lt_indices *lt_rows_make(struct lt_arena *arena, size_t row_count, struct lt_pair *pairs,
	size_t count)
{
	struct lt_indices *rows = lt_arena_array(arena, row_count, sizeof *rows);
	size_t *next = lt_arena_array(arena, count, sizeof *next);
	if (count > 0)
		qsort(pairs, count, sizeof *pairs, compare_pairs);
	for (size_t i = 0; i < count; i++) {
		struct lt_indices *row = &rows[pairs[i].row];
		if (row->count == 0)
			row->items = next;
		else if (row->items[row->count - 1] == pairs[i].item)
			continue;
		row->items[row->count++] = pairs[i].item;
		next++;
	}
	return rows;
}

bool lt_row_holds(struct lt_indices row, size_t item)
{
	return row.count != 0 &&
	       bsearch(&item, row.items, row.count, sizeof *row.items, lt_indices_compare) != NULL;
}

int lt_indices_compare(const void *one, const void *other)
{
	size_t a = *(const size_t *)one;
	size_t b = *(const size_t *)other;
	return (a > b) - (a < b);
}
