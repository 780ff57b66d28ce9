/* By what a description is known again. */
#include <inttypes.h>
#include <stdint.h>

#include "state.h"

/* FNV-1a: a change that somebody made shows; it guards against no forger. */
static void add_byte(uint64_t *hash, unsigned value)
{
	*hash ^= value & 0xFFu;
	*hash *= 0x100000001B3u;
}

static void add_number(uint64_t *hash, unsigned value)
{
	for (unsigned byte = 0; byte < sizeof(value); byte++)
		add_byte(hash, value >> (8 * byte));
}

/* With its end, so that what follows is not taken for a part of it. */
static void add_text(uint64_t *hash, const char *text)
{
	for (size_t i = 0; text != NULL && text[i] != '\0'; i++)
		add_byte(hash, (unsigned char)text[i]);
	add_byte(hash, 0);
}

/* What a joint is, and what must be made before it. */
static void add_joint(uint64_t *hash, const struct lt_job_state *state, size_t index)
{
	const struct lt_joint *joints = state->stages[0].plan.joints;
	const struct lt_joint *joint = &joints[index];
	const struct lt_harness *harness = state->tags->harness;
	const struct lt_connector *connector = &harness->connectors[state->connectors[index]];
	add_number(hash, joint->number);
	add_text(hash, connector->id);
	add_text(hash, connector->component != LT_NONE
			       ? harness->components[connector->component].id
			       : NULL);
	add_number(hash, connector->sides);
	add_number(hash, (unsigned)connector->marking);
	add_byte(hash, joint->has_x);
	add_byte(hash, joint->m_is_old);
	for (size_t k = 0; k < joint->after_count; k++)
		add_number(hash, joints[joint->after[k]].number);
	add_number(hash, 0);
}

void lt_job_make_mark(struct lt_job_state *state)
{
	uint64_t hash = 0xCBF29CE484222325u;
	for (size_t i = 0; i < state->joints; i++)
		add_joint(&hash, state, i);
	state->mark = lt_arena_printf(&state->arena, "%zu joint%s, %08" PRIX32, state->joints,
		state->joints == 1 ? "" : "s", (uint32_t)(hash ^ (hash >> 32)));
}
