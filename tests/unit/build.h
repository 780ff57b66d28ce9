/* Harnesses built by hand for tests that are not about reading descriptions. */
#ifndef LOOMTAG_TESTS_BUILD_H
#define LOOMTAG_TESTS_BUILD_H

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/harness.h"

/* An empty harness with room for so many connectors and components. */
static inline void build_init(struct lt_harness *harness, const char *code, size_t room)
{
	*harness = (struct lt_harness){ 0 };
	lt_arena_init(&harness->arena);
	harness->file = "test.yaml";
	harness->harness = code;
	snprintf(harness->code, sizeof harness->code, "%s", code);
	harness->connectors = lt_arena_array(&harness->arena, room, sizeof *harness->connectors);
	harness->components = lt_arena_array(&harness->arena, room, sizeof *harness->components);
}

static inline void build_finish(struct lt_harness *harness)
{
	lt_arena_finish(&harness->arena);
}

/* The next connector: a plug of two sides, at a line of its own. An id of NULL gives X1, X2 … */
static inline struct lt_connector *build_connector(struct lt_harness *harness, const char *id)
{
	size_t index = harness->connector_count++;
	struct lt_connector *connector = &harness->connectors[index];
	connector->id = id != NULL ? id : lt_arena_printf(&harness->arena, "X%zu", index + 1);
	connector->place = (struct lt_place){ harness->file, (unsigned)index + 10, 5 };
	connector->component = LT_NONE;
	connector->sides = 2;
	return connector;
}

static inline size_t build_component(struct lt_harness *harness, const char *id, const char *name)
{
	size_t index = harness->component_count++;
	harness->components[index].id = id;
	harness->components[index].name = name;
	return index;
}

static inline void build_say(struct lt_harness *harness, struct lt_indices *of, size_t other)
{
	size_t *items = lt_arena_array(&harness->arena, of->count + 1, sizeof *items);
	for (size_t i = 0; i < of->count; i++)
		items[i] = of->items[i];
	items[of->count++] = other;
	of->items = items;
}

static inline void build_fits(struct lt_harness *harness, size_t connector, size_t other)
{
	build_say(harness, &harness->connectors[connector].fits, other);
}

static inline void build_unlike(struct lt_harness *harness, size_t connector, size_t other)
{
	build_say(harness, &harness->connectors[connector].unlike, other);
}

/* The same sequence on every machine (xorshift). */
static inline unsigned build_random(uint64_t *state, unsigned below)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return (unsigned)(*state >> 33) % below;
}

#endif
