/* The mark by which version 1 of the store recognised a description. */
#include <inttypes.h>
#include <stdint.h>

#include "job/plan.h"

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
static void add_joint(uint64_t *hash, const struct lt_tags *tags, size_t index)
{
	const struct lt_harness *harness = tags->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_arena arena = { 0 };
	const struct lt_indices after = lt_connector_after(harness, index, &arena);
	add_number(hash, tags->number_of[index]);
	add_text(hash, connector->id);
	add_text(hash, connector->component != LT_NONE
			       ? harness->components[connector->component].id
			       : NULL);
	add_number(hash, connector->sides);
	add_number(hash, (unsigned)connector->marking);
	add_byte(hash, lt_connector_replaced(harness, index));
	add_byte(hash, tags->m_is_old != NULL && tags->m_is_old[index]);
	for (size_t k = 0; k < after.count; k++)
		if (tags->number_of[after.items[k]] != 0)
			add_number(hash, tags->number_of[after.items[k]]);
	add_number(hash, 0);
	lt_arena_finish(&arena);
}

const char *lt_job_mark_v1(struct lt_arena *arena, const struct lt_tags *tags)
{
	uint64_t hash = 0xCBF29CE484222325u;
	size_t count = 0;
	for (size_t i = 0; i < tags->harness->connector_count; i++) {
		if (tags->number_of[i] == 0)
			continue;
		add_joint(&hash, tags, i);
		count++;
	}
	return lt_arena_printf(arena, "%zu joint%s, %08" PRIX32, count, count == 1 ? "" : "s",
		(uint32_t)(hash ^ (hash >> 32)));
}
