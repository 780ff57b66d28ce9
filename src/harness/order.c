/* The order of reconnection on paper: what must be made first comes first, else the reverse of the
 * description. The order during a job, which depends on how the joints were unplugged, is in
 * verify/order.c. */
#include <string.h>

#include "harness/read.h"
#include "harness/rows.h"

#define SHOWN_MAX 12 /* connectors of a cycle that a message shows */

/* Who waits for whom, by connector. */
static struct lt_indices *turn_round(struct lt_arena *arena, const struct lt_harness *harness)
{
	size_t count = 0;
	for (size_t i = 0; i < harness->connector_count; i++)
		count += harness->connectors[i].after.count;
	struct lt_pair *pairs = lt_arena_array(arena, count, sizeof *pairs);
	struct lt_pair *pair = pairs;
	for (size_t i = 0; i < harness->connector_count; i++)
		for (size_t j = 0; j < harness->connectors[i].after.count; j++)
			*pair++ = (struct lt_pair){ harness->connectors[i].after.items[j], i };
	return lt_rows_make(arena, harness->connector_count, pairs, count);
}

static struct lt_place after_place(const struct lt_reader *reader, size_t connector, size_t other)
{
	const struct lt_node *value = lt_node_get(&reader->connector_items[connector], "after");
	const char *id = reader->harness->connectors[other].id;
	for (size_t i = 0; value->kind == LT_LIST && i < value->count; i++)
		if (value->items[i].text && strcmp(value->items[i].text, id) == 0)
			return lt_read_place(reader, &value->items[i]);
	return lt_read_place(reader, value);
}

/* Reports the cycle path[0] -> path[1] -> … -> path[0], from its first connector on. */
static void report_cycle(struct lt_reader *reader, const size_t *path, size_t count)
{
	const struct lt_connector *connectors = reader->harness->connectors;
	size_t first = 0;
	for (size_t i = 1; i < count; i++)
		if (path[i] < path[first])
			first = i;
	struct lt_text cycle = { 0 };
	for (size_t i = 0; i < count && i < SHOWN_MAX; i++)
		lt_text_printf(&cycle, "%s -> ", connectors[path[(first + i) % count]].id);
	if (count > SHOWN_MAX)
		lt_text_printf(&cycle, "… (%zu more) -> ", count - SHOWN_MAX);
	lt_text_add(&cycle, connectors[path[first]].id);
	lt_error(reader->diags, after_place(reader, path[first], path[(first + 1) % count]),
		"connector %s comes after itself: %s", connectors[path[first]].id,
		lt_text_string(&cycle));
	lt_hint(reader->diags, "remove one of these ids from an after: list. Each connector has "
			       "the next one in its after: list");
	lt_text_finish(&cycle);
}

/* A connector that must come before this one and was never freed. */
static size_t blocker(const struct lt_connector *connector, const size_t *blocked)
{
	size_t i = 0;
	while (!blocked[connector->after.items[i]])
		i++;
	return connector->after.items[i];
}

/* Every connector that is left blocked waits for one that is, so that going on from each leads
 * into a cycle. */
static void report_cycles(struct lt_reader *reader, const size_t *blocked)
{
	const struct lt_harness *harness = reader->harness;
	size_t count = harness->connector_count;
	size_t *walk_of = lt_arena_array(&reader->scratch, count, sizeof *walk_of);
	size_t *path = lt_arena_array(&reader->scratch, count, sizeof *path);
	for (size_t i = 0; i < count; i++) {
		size_t length = 0;
		size_t at = i;
		while (blocked[at] && !walk_of[at]) {
			walk_of[at] = i + 1;
			path[length++] = at;
			at = blocker(&harness->connectors[at], blocked);
		}
		if (!length || walk_of[at] != i + 1)
			continue;
		size_t start = 0;
		while (start + 1 < length && path[start] != at)
			start++;
		report_cycle(reader, path + start, length - start);
	}
}

bool lt_order(struct lt_reader *reader)
{
	struct lt_harness *harness = reader->harness;
	size_t count = harness->connector_count;
	size_t *blocked = lt_arena_array(&reader->scratch, count, sizeof *blocked);
	size_t *weight = lt_arena_array(&reader->scratch, count, sizeof *weight);
	harness->order = lt_arena_array(&harness->arena, count, sizeof *harness->order);
	for (size_t i = 0; i < count; i++) {
		blocked[i] = harness->connectors[i].after.count;
		weight[i] = i;
	}
	if (lt_order_by_weight(harness->order, blocked, count,
		    turn_round(&reader->scratch, harness), weight) == count)
		return true;
	harness->order = NULL;
	report_cycles(reader, blocked);
	return false;
}
