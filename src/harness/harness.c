/* Asking a harness that was read. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/harness.h"

void lt_harness_finish(struct lt_harness *harness)
{
	if (!harness)
		return;
	lt_arena_finish(&harness->arena);
	*harness = (struct lt_harness){ 0 };
}

size_t lt_harness_connector(const struct lt_harness *harness, const char *id)
{
	for (size_t i = 0; i < harness->connector_count; i++)
		if (strcmp(harness->connectors[i].id, id) == 0)
			return i;
	return LT_NONE;
}

const char *lt_kind_name(enum lt_kind kind)
{
	static const char *const names[LT_KIND_COUNT] = { "plug", "ring", "spade", "hose", "strap",
		"clip" };
	return names[kind];
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

static int compare_indices(const void *one, const void *other)
{
	size_t a = *(const size_t *)one;
	size_t b = *(const size_t *)other;
	return a < b ? -1 : a > b;
}

/* Joints found so far, and those that are still to be followed. */
struct search {
	const struct lt_harness *harness;
	bool *seen;
	size_t *found;
	size_t found_count, found_room;
	size_t *open;
	size_t open_count, open_room;
};

static void visit(struct search *search, const struct lt_indices *after)
{
	for (size_t i = 0; i < after->count; i++) {
		size_t at = after->items[i];
		if (search->seen[at])
			continue;
		search->seen[at] = true;
		if (search->harness->connectors[at].marking == LT_MARK_NONE) {
			search->open = lt_grow(search->open, &search->open_room,
				search->open_count + 1, sizeof *search->open);
			search->open[search->open_count++] = at;
		} else {
			search->found = lt_grow(search->found, &search->found_room,
				search->found_count + 1, sizeof *search->found);
			search->found[search->found_count++] = at;
		}
	}
}

struct lt_indices lt_connector_after(const struct lt_harness *harness, size_t connector,
	struct lt_arena *arena)
{
	struct lt_indices out = { 0 };
	const struct lt_indices *after = &harness->connectors[connector].after;
	if (!after->count)
		return out;
	struct search search = { .harness = harness };
	search.seen = lt_alloc_array(harness->connector_count, sizeof *search.seen);
	visit(&search, after);
	while (search.open_count)
		visit(&search, &harness->connectors[search.open[--search.open_count]].after);
	if (search.found_count) {
		out.count = search.found_count;
		out.items = lt_arena_array(arena, out.count, sizeof *out.items);
		memcpy(out.items, search.found, out.count * sizeof *out.items);
		qsort(out.items, out.count, sizeof *out.items, compare_indices);
	}
	free(search.seen);
	free(search.found);
	free(search.open);
	return out;
}
