/* Topological order with weights, by a heap of the nodes that are ready. */
#include "loomtag/base.h"

/* What could be next, the heaviest on top. */
struct heap {
	const size_t *weight; /* by node */
	size_t *nodes;
	size_t count;
};

static void swap(size_t *a, size_t *b)
{
	const size_t c = *a;
	*a = *b;
	*b = c;
}

static void push(struct heap *heap, size_t node)
{
	size_t at = heap->count++;
	heap->nodes[at] = node;
	for (; at > 0; at = (at - 1) / 2) {
		size_t *const above = &heap->nodes[(at - 1) / 2];
		if (heap->weight[*above] > heap->weight[heap->nodes[at]])
			return;
		swap(above, &heap->nodes[at]);
	}
}

static size_t pop(struct heap *heap)
{
	const size_t top = heap->nodes[0];
	heap->nodes[0] = heap->nodes[--heap->count];
	for (size_t at = 0;;) {
		size_t heaviest = at;
		for (size_t child = 2 * at + 1; child <= 2 * at + 2 && child < heap->count; child++)
			if (heap->weight[heap->nodes[child]] > heap->weight[heap->nodes[heaviest]])
				heaviest = child;
		if (heaviest == at)
			return top;
		swap(&heap->nodes[at], &heap->nodes[heaviest]);
		at = heaviest;
	}
}

size_t lt_order_by_weight(size_t *order, size_t *blocked, size_t count,
	const struct lt_indices *waiting, const size_t *weight)
{
	struct lt_arena arena = { 0 };
	struct heap ready = { weight, lt_arena_array(&arena, count, sizeof(*ready.nodes)), 0 };
	size_t done = 0;
	for (size_t i = 0; i < count; i++)
		if (blocked[i] == 0)
			push(&ready, i);
	while (ready.count > 0) {
		const size_t next = pop(&ready);
		order[done++] = next;
		for (size_t k = 0; k < waiting[next].count; k++)
			if (--blocked[waiting[next].items[k]] == 0)
				push(&ready, waiting[next].items[k]);
	}
	lt_arena_finish(&arena);
	return done;
}
