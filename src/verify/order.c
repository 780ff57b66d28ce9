/* The order to offer joints in. */
#include <stdint.h>
#include <stdlib.h>

#include "loomtag/base.h"
#include "verify/machine.h"

/* Joints that could be next, the heaviest on top. No two weigh the same. */
struct heap {
	const size_t *weight; /* by joint */
	size_t *items;
	size_t count;
};

static void swap(size_t *a, size_t *b)
{
	const size_t c = *a;
	*a = *b;
	*b = c;
}

static void push(struct heap *heap, size_t joint)
{
	size_t at = heap->count++;
	heap->items[at] = joint;
	for (; at > 0; at = (at - 1) / 2) {
		size_t *const above = &heap->items[(at - 1) / 2];
		if (heap->weight[*above] > heap->weight[heap->items[at]])
			return;
		swap(above, &heap->items[at]);
	}
}

static size_t pop(struct heap *heap)
{
	const size_t top = heap->items[0];
	heap->items[0] = heap->items[--heap->count];
	for (size_t at = 0;;) {
		size_t heaviest = at;
		for (size_t child = 2 * at + 1; child <= 2 * at + 2 && child < heap->count; child++)
			if (heap->weight[heap->items[child]] > heap->weight[heap->items[heaviest]])
				heaviest = child;
		if (heaviest == at)
			return top;
		swap(&heap->items[at], &heap->items[heaviest]);
		at = heaviest;
	}
}

/* Sorts by what comes before what, of those that could be next the heaviest. `weight` is by node;
 * passages take their turn and are left out. */
static void sort(size_t *order, const struct lt_plan *plan, const size_t *weight, bool unplugging)
{
	const size_t count = plan->joint_count + plan->passage_count;
	size_t *blocked = lt_alloc_array(count + 1, sizeof(*blocked));
	struct heap ready = { weight, lt_alloc_array(count + 1, sizeof(*ready.items)), 0 };
	struct lt_edges before, behind;
	size_t placed = 0;

	if (unplugging)
		lt_edges_init(&behind, &before, plan);
	else
		lt_edges_init(&before, &behind, plan);
	for (size_t i = 0; i < count; i++) {
		blocked[i] = before.first[i + 1] - before.first[i];
		if (blocked[i] == 0)
			push(&ready, i);
	}
	while (ready.count > 0) {
		const size_t next = pop(&ready);
		if (next < plan->joint_count)
			order[placed++] = next;
		for (size_t k = behind.first[next]; k < behind.first[next + 1]; k++)
			if (--blocked[behind.items[k]] == 0)
				push(&ready, behind.items[k]);
	}
	lt_edges_finish(&before);
	lt_edges_finish(&behind);
	free(ready.items);
	free(blocked);
}

static size_t place_of(const struct lt_plan *plan, size_t node)
{
	return plan->places != NULL ? plan->places[node] : node;
}

/* A passage is no step: where it is not known when it had its turn, it has it at once. */
static size_t weight_at_once(size_t node)
{
	return SIZE_MAX - node;
}

void lt_plan_order(size_t *order, const struct lt_plan *plan, const size_t *ranks)
{
	const size_t count = plan->joint_count + plan->passage_count;
	size_t *weight = lt_alloc_array(count + 1, sizeof(*weight));
	for (size_t i = 0; i < count; i++)
		weight[i] = i >= plan->joint_count ? weight_at_once(i)
			    : ranks[i] == LT_NONE  ? place_of(plan, i)
						   : count + ranks[i];
	sort(order, plan, weight, false);
	free(weight);
}

void lt_plan_usual_order(size_t *order, const struct lt_plan *plan)
{
	const size_t count = plan->joint_count + plan->passage_count;
	const bool unplugging = plan->stage == LT_STAGE_UNPLUG;
	if (!lt_stage_ordered(plan->stage)) {
		for (size_t i = 0; i < plan->joint_count; i++)
			order[i] = i;
		return;
	}
	size_t *weight = lt_alloc_array(count + 1, sizeof(*weight));
	for (size_t i = 0; i < count; i++)
		weight[i] = !unplugging              ? place_of(plan, i)
			    : i >= plan->joint_count ? weight_at_once(i)
						     : count - i;
	sort(order, plan, weight, unplugging);
	free(weight);
}
