/* The order to offer joints in. */
#include <stdlib.h>

#include "loomtag/memory.h"
#include "machine.h"

void lt_dependents_init(struct lt_dependents *out, const struct lt_joint *joints, size_t count)
{
	size_t total = 0;
	out->first = lt_alloc_array(count + 1, sizeof(*out->first));
	for (size_t i = 0; i < count; i++) {
		for (size_t k = 0; k < joints[i].after_count; k++)
			out->first[joints[i].after[k]]++;
		total += joints[i].after_count;
	}
	out->items = lt_alloc_array(total + 1, sizeof(*out->items));
	for (size_t i = 1; i <= count; i++)
		out->first[i] += out->first[i - 1];
	/* Each place now holds the end of its run; filling backwards leaves the start there. */
	for (size_t i = count; i-- > 0;)
		for (size_t k = joints[i].after_count; k-- > 0;)
			out->items[--out->first[joints[i].after[k]]] = i;
}

void lt_dependents_finish(struct lt_dependents *dependents)
{
	free(dependents->first);
	free(dependents->items);
}

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

/* Those that a joint holds up: what comes after it, or at stage unplug what it comes after. */
static const size_t *held_up(size_t *count, const struct lt_plan *plan,
	const struct lt_dependents *dependents, size_t joint, bool unplugging)
{
	if (unplugging) {
		*count = plan->joints[joint].after_count;
		return plan->joints[joint].after;
	}
	*count = dependents->first[joint + 1] - dependents->first[joint];
	return &dependents->items[dependents->first[joint]];
}

static void sort(size_t *order, const struct lt_plan *plan, const size_t *weight, bool unplugging)
{
	const size_t count = plan->joint_count;
	size_t *blocked = lt_alloc_array(count + 1, sizeof(*blocked));
	struct heap ready = { weight, lt_alloc_array(count + 1, sizeof(*ready.items)), 0 };
	struct lt_dependents dependents;
	size_t placed = 0, held;

	lt_dependents_init(&dependents, plan->joints, count);
	for (size_t i = 0; i < count; i++) {
		/* Whom it waits for is whom it would hold up the other way round. */
		held_up(&blocked[i], plan, &dependents, i, !unplugging);
		if (blocked[i] == 0)
			push(&ready, i);
	}
	while (ready.count > 0) {
		const size_t next = pop(&ready);
		order[placed++] = next;
		const size_t *const freed = held_up(&held, plan, &dependents, next, unplugging);
		for (size_t k = 0; k < held; k++)
			if (--blocked[freed[k]] == 0)
				push(&ready, freed[k]);
	}
	lt_dependents_finish(&dependents);
	free(ready.items);
	free(blocked);
}

void lt_plan_order(size_t *order, const struct lt_plan *plan, const size_t *ranks)
{
	size_t *weight = lt_alloc_array(plan->joint_count + 1, sizeof(*weight));
	for (size_t i = 0; i < plan->joint_count; i++)
		weight[i] = ranks[i] == LT_NONE ? i : plan->joint_count + ranks[i];
	sort(order, plan, weight, false);
	free(weight);
}

void lt_unplug_order(size_t *order, const struct lt_plan *plan)
{
	size_t *weight = lt_alloc_array(plan->joint_count + 1, sizeof(*weight));
	for (size_t i = 0; i < plan->joint_count; i++)
		weight[i] = plan->joint_count - i;
	sort(order, plan, weight, true);
	free(weight);
}
