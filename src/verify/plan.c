#include "loomtag/verify.h"

#include "loomtag/memory.h"
#include "machine.h"

static void describe(struct lt_joint *out, const struct lt_tags *tags, size_t connector)
{
	const struct lt_connector *described = &tags->harness->connectors[connector];
	out->number = tags->number_of[connector];
	out->has_m = described->sides == 2;
	out->has_x = lt_connector_replaced(tags->harness, connector);
	out->had_x = out->has_x || (tags->x_printed != NULL && tags->x_printed[connector]);
	out->m_is_old = tags->m_is_old != NULL && tags->m_is_old[connector];
	out->paper = described->marking == LT_MARK_PAPER;
}

void lt_plan_build(struct lt_plan *out, size_t **connectors, struct lt_arena *arena,
	const struct lt_tags *tags, enum lt_stage stage, bool typed)
{
	const struct lt_harness *harness = tags->harness;
	const size_t all = harness->connector_count;
	size_t *joint_of = lt_arena_array(arena, all, sizeof(*joint_of));
	size_t *order = lt_arena_array(arena, all, sizeof(*order));
	struct lt_joint *joints = lt_arena_array(arena, all, sizeof(*joints));
	size_t count = 0, ordered = 0;

	*connectors = lt_arena_array(arena, all, sizeof(**connectors));
	for (size_t i = 0; i < all; i++) {
		joint_of[i] = LT_NONE;
		if (tags->number_of[i] == 0)
			continue;
		joint_of[i] = count;
		(*connectors)[count] = i;
		describe(&joints[count++], tags, i);
	}
	for (size_t i = 0; i < count; i++) {
		const struct lt_indices after =
			lt_connector_after(harness, (*connectors)[i], arena);
		size_t *mapped = lt_arena_array(arena, after.count, sizeof(*mapped));
		for (size_t k = 0; k < after.count; k++)
			if (joint_of[after.items[k]] != LT_NONE)
				mapped[joints[i].after_count++] = joint_of[after.items[k]];
		joints[i].after = mapped;
	}
	*out = (struct lt_plan){ harness->code, joints, count, order, stage, typed, NULL };
	if (stage == LT_STAGE_UNPLUG)
		lt_unplug_order(order, out);
	else
		for (size_t i = 0; i < all; i++) {
			const size_t next = stage == LT_STAGE_SWAP ? i : harness->order[i];
			if (joint_of[next] != LT_NONE)
				order[ordered++] = joint_of[next];
		}
}
