/* Which joints wait for which, and the order to offer joints in during a job. The order on paper is
 * in harness/order.c. */
#include <stdint.h>

#include "loomtag/base.h"
#include "verify/order.h"

bool lt_stage_ordered(enum lt_stage stage)
{
	return stage == LT_STAGE_RECONNECT || stage == LT_STAGE_UNPLUG;
}

/* What stands in `after`, and the same reversed; where a machine is unplugged, what comes after
 * a joint is before it. */
static void find_neighbours(struct lt_waits *out, const struct lt_plan *plan, bool unplugging,
	struct lt_arena *arena)
{
	const size_t count = plan->joint_count + plan->passage_count;
	struct lt_indices *after = lt_arena_array(arena, count, sizeof(*after));
	struct lt_indices *dependents = lt_arena_array(arena, count, sizeof(*dependents));
	for (size_t i = 0; i < count; i++) {
		const struct lt_joint *joint = &plan->joints[i];
		after[i].count = joint->after_count;
		after[i].items = lt_arena_array(arena, joint->after_count, sizeof(size_t));
		for (size_t k = 0; k < joint->after_count; k++) {
			after[i].items[k] = joint->after[k];
			dependents[joint->after[k]].count++;
		}
	}
	for (size_t i = 0; i < count; i++) {
		dependents[i].items = lt_arena_array(arena, dependents[i].count, sizeof(size_t));
		dependents[i].count = 0;
	}
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < after[i].count; k++) {
			struct lt_indices *of = &dependents[after[i].items[k]];
			of->items[of->count++] = i;
		}
	out->before = unplugging ? dependents : after;
	out->behind = unplugging ? after : dependents;
}

/* Tells those behind a node, and behind every passage that opens or closes by it. */
static void spread(struct lt_waits *waits, size_t node)
{
	size_t top = 0;
	waits->stack[top++] = node;
	while (top > 0) {
		const size_t at = waits->stack[--top];
		for (size_t k = 0; k < waits->behind[at].count; k++) {
			const size_t next = waits->behind[at].items[k];
			if (waits->done[at])
				waits->open[next]--;
			else
				waits->open[next]++;
			if (next < waits->joint_count ||
				waits->done[next] == (waits->open[next] == 0))
				continue;
			waits->done[next] = !waits->done[next];
			waits->stack[top++] = next;
		}
	}
}

void lt_waits_init(struct lt_waits *out, const struct lt_plan *plan, struct lt_arena *arena)
{
	const size_t count = plan->joint_count + plan->passage_count;
	*out = (struct lt_waits){ .joint_count = plan->joint_count };
	find_neighbours(out, plan, plan->stage == LT_STAGE_UNPLUG, arena);
	out->open = lt_arena_array(arena, count, sizeof(*out->open));
	out->done = lt_arena_array(arena, count, sizeof(*out->done));
	out->stack = lt_arena_array(arena, count, sizeof(*out->stack));
	for (size_t i = 0; i < count; i++)
		out->open[i] = out->before[i].count;
	for (size_t i = plan->joint_count; i < count; i++)
		if (out->before[i].count == 0 && !out->done[i]) {
			out->done[i] = true;
			spread(out, i);
		}
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
		const size_t *before = waits->before[at].items;
		while (waits->done[*before])
			before++;
		at = *before;
		if (at < waits->joint_count)
			return at;
	}
	return LT_NONE;
}

/* How early a node has its turn among those that could be next. */
static size_t weigh(const struct lt_plan *plan, size_t node, const size_t *ranks, bool unplugging)
{
	const size_t count = plan->joint_count + plan->passage_count;
	/* A passage is no step: where it is not known when it had its turn, it has it at once. */
	if (node >= plan->joint_count && (ranks != NULL || unplugging))
		return SIZE_MAX - node;
	if (unplugging)
		return count - node;
	if (ranks != NULL && ranks[node] != LT_NONE)
		return count + ranks[node];
	return plan->places != NULL ? plan->places[node] : node;
}

bool lt_plan_order(size_t *order, const struct lt_plan *plan, const size_t *ranks)
{
	const size_t count = plan->joint_count + plan->passage_count;
	const bool unplugging = plan->stage == LT_STAGE_UNPLUG && ranks == NULL;
	struct lt_arena arena = { 0 };
	size_t *weight = lt_arena_array(&arena, count, sizeof(*weight));
	size_t *blocked = lt_arena_array(&arena, count, sizeof(*blocked));
	size_t *nodes = lt_arena_array(&arena, count, sizeof(*nodes));
	struct lt_waits waits;
	size_t joints = 0;
	find_neighbours(&waits, plan, unplugging, &arena);
	for (size_t i = 0; i < count; i++) {
		weight[i] = weigh(plan, i, ranks, unplugging);
		blocked[i] = waits.before[i].count;
	}
	const size_t turns = lt_order_by_weight(nodes, blocked, count, waits.behind, weight);
	for (size_t i = 0; i < turns; i++)
		if (nodes[i] < plan->joint_count)
			order[joints++] = nodes[i];
	/* Where nothing waits, what the description says is as good as any. */
	const bool ordered = ranks != NULL || lt_stage_ordered(plan->stage);
	for (size_t i = 0; i < plan->joint_count && !ordered; i++)
		order[i] = i;
	lt_arena_finish(&arena);
	return turns == count;
}
