#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "verify/waits.h"

static size_t edge_count(const struct lt_plan *plan)
{
	size_t count = 0;
	for (size_t i = 0; i < plan->joint_count + plan->passage_count; i++)
		count += plan->joints[i].after_count;
	return count;
}

static void turn_round(struct lt_edges *out, const struct lt_plan *plan, size_t total)
{
	const size_t count = plan->joint_count + plan->passage_count;
	out->first = lt_alloc_array(count + 1, sizeof(*out->first));
	out->items = lt_alloc_array(total + 1, sizeof(*out->items));
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < plan->joints[i].after_count; k++)
			out->first[plan->joints[i].after[k]]++;
	for (size_t i = 1; i <= count; i++)
		out->first[i] += out->first[i - 1];
	/* Each place now holds the end of its run; filling backwards leaves the start there. */
	for (size_t i = count; i-- > 0;)
		for (size_t k = plan->joints[i].after_count; k-- > 0;)
			out->items[--out->first[plan->joints[i].after[k]]] = i;
}

void lt_edges_init(struct lt_edges *after, struct lt_edges *dependents, const struct lt_plan *plan)
{
	const size_t count = plan->joint_count + plan->passage_count;
	const size_t total = edge_count(plan);
	after->first = lt_alloc_array(count + 1, sizeof(*after->first));
	after->items = lt_alloc_array(total + 1, sizeof(*after->items));
	for (size_t i = 0; i < count; i++) {
		const struct lt_joint *joint = &plan->joints[i];
		after->first[i + 1] = after->first[i] + joint->after_count;
		if (joint->after_count > 0)
			memcpy(&after->items[after->first[i]], joint->after,
				joint->after_count * sizeof(*joint->after));
	}
	turn_round(dependents, plan, total);
}

void lt_edges_finish(struct lt_edges *edges)
{
	free(edges->first);
	free(edges->items);
}

/* Tells those behind a node, and behind every passage that opens or closes by it. */
static void spread(struct lt_waits *waits, size_t node)
{
	size_t top = 0;
	waits->stack[top++] = node;
	while (top > 0) {
		const size_t at = waits->stack[--top];
		const bool done = waits->done[at];
		for (size_t k = waits->behind.first[at]; k < waits->behind.first[at + 1]; k++) {
			const size_t next = waits->behind.items[k];
			waits->open[next] -= done ? 1 : 0;
			waits->open[next] += done ? 0 : 1;
			if (next < waits->joint_count ||
				waits->done[next] == (waits->open[next] == 0))
				continue;
			waits->done[next] = !waits->done[next];
			waits->stack[top++] = next;
		}
	}
}

void lt_waits_init(struct lt_waits *out, const struct lt_plan *plan, bool unplugging)
{
	const size_t count = plan->joint_count + plan->passage_count;
	*out = (struct lt_waits){ .joint_count = plan->joint_count, .node_count = count };
	if (unplugging)
		lt_edges_init(&out->behind, &out->before, plan);
	else
		lt_edges_init(&out->before, &out->behind, plan);
	out->open = lt_alloc_array(count + 1, sizeof(*out->open));
	out->done = lt_alloc_array(count + 1, sizeof(*out->done));
	out->stack = lt_alloc_array(count + 1, sizeof(*out->stack));
	for (size_t i = 0; i < count; i++)
		out->open[i] = out->before.first[i + 1] - out->before.first[i];
	for (size_t i = plan->joint_count; i < count; i++)
		if (out->before.first[i + 1] == out->before.first[i] && !out->done[i]) {
			out->done[i] = true;
			spread(out, i);
		}
}

void lt_waits_finish(struct lt_waits *waits)
{
	lt_edges_finish(&waits->before);
	lt_edges_finish(&waits->behind);
	free(waits->open);
	free(waits->done);
	free(waits->stack);
}

void lt_waits_set(struct lt_waits *waits, size_t joint, bool done)
{
	if (waits->done[joint] == done)
		return;
	waits->done[joint] = done;
	spread(waits, joint);
}

size_t lt_waits_for(const struct lt_waits *waits, size_t joint)
{
	size_t at = joint;
	/* Before a passage that is not passed there is always something that is not done with. */
	while (waits->open[at] > 0) {
		size_t k = waits->before.first[at];
		while (waits->done[waits->before.items[k]])
			k++;
		at = waits->before.items[k];
		if (at < waits->joint_count)
			return at;
	}
	return LT_NONE;
}
