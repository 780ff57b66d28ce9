/* Answers questions about a harness that was read. */
#include <stdlib.h>
#include <string.h>

#include "harness/rows.h"
#include "loomtag/harness.h"

void lt_harness_finish(struct lt_harness *harness)
{
	if (!harness)
		return;
	lt_arena_finish(&harness->arena);
	*harness = (struct lt_harness){ 0 };
}

bool lt_connector_replaced(const struct lt_harness *harness, size_t connector)
{
	const struct lt_connector *of = &harness->connectors[connector];
	return of->component != LT_NONE && harness->components[of->component].replace &&
	       of->sides == 2 && of->marking != LT_MARK_NONE;
}

const char *lt_connector_mate_name(const struct lt_harness *harness, size_t connector)
{
	size_t index = harness->connectors[connector].component;
	if (index == LT_NONE)
		return "";
	const struct lt_component *component = &harness->components[index];
	return component->name ? component->name : component->id;
}

void lt_connector_wires(struct lt_text *out, const struct lt_connector *connector)
{
	for (size_t i = 0; i < connector->wire_count; i++) {
		const struct lt_way *way = &connector->wires[i];
		lt_text_printf(out, "%s%s ", i ? ", " : "", way->name);
		for (size_t j = 0; j < way->count; j++)
			lt_text_printf(out, "%s%s", j ? "+" : "", way->written[j]);
	}
}

/* Connectors that were come to, each once. */
struct reached {
	bool *seen;
	size_t *items;
	size_t count, room;
};

static void reach(struct reached *reached, const struct lt_indices *after)
{
	for (size_t i = 0; i < after->count; i++) {
		if (reached->seen[after->items[i]])
			continue;
		reached->seen[after->items[i]] = true;
		reached->items = lt_grow(reached->items, &reached->room, reached->count + 1,
			sizeof *reached->items);
		reached->items[reached->count++] = after->items[i];
	}
}

struct lt_indices lt_connector_after(const struct lt_harness *harness, size_t connector,
	struct lt_arena *arena)
{
	struct lt_indices out = { 0 };
	const struct lt_connector *connectors = harness->connectors;
	if (!connectors[connector].after.count)
		return out;
	struct reached reached = {
		.seen = lt_alloc_array(harness->connector_count, sizeof *reached.seen),
	};
	reach(&reached, &connectors[connector].after);
	for (size_t i = 0; i < reached.count; i++)
		if (connectors[reached.items[i]].marking == LT_MARK_NONE)
			reach(&reached, &connectors[reached.items[i]].after);
	out.items = lt_arena_array(arena, reached.count, sizeof *out.items);
	for (size_t i = 0; i < reached.count; i++)
		if (connectors[reached.items[i]].marking != LT_MARK_NONE)
			out.items[out.count++] = reached.items[i];
	if (out.count)
		qsort(out.items, out.count, sizeof *out.items, lt_indices_compare);
	free(reached.seen);
	free(reached.items);
	return out;
}
