/* Feeds bytes to the reader of descriptions: no input may crash it, and what it lets pass must
 * keep the promises that the rest of the program builds on. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/harness.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

#define DEMAND(what) \
	do { \
		if (!(what)) { \
			fprintf(stderr, "not so: %s\n", #what); \
			abort(); \
		} \
	} while (0)

static void demand_indices(const struct lt_indices *indices, size_t own, size_t count)
{
	for (size_t i = 0; i < indices->count; i++)
		DEMAND(indices->items[i] < count && indices->items[i] != own);
}

/* Each name once, in an order of its own; and the wires in this order. */
static void demand_names(const struct lt_connector *connector)
{
	const struct lt_way_names *list = connector->way_names;
	DEMAND(connector->ways > 0 && connector->ways <= LT_WAYS_MAX);
	for (size_t i = 0; i < connector->ways; i++)
		DEMAND(*list->names[i] && list->sorted[i] < connector->ways);
	for (size_t i = 1; i < connector->ways; i++)
		DEMAND(strcmp(list->names[list->sorted[i - 1]], list->names[list->sorted[i]]) < 0);
	for (size_t i = 0; i < connector->wire_count; i++) {
		size_t at = 0;
		while (at < connector->ways &&
			strcmp(list->names[at], connector->wires[i].name) != 0)
			at++;
		DEMAND(at < connector->ways);
		if (i > 0)
			DEMAND(lt_way_compare(connector, connector->wires[i - 1].name,
				       connector->wires[i].name) < 0);
	}
}

static void demand_ways(const struct lt_connector *connector)
{
	if (connector->ways)
		DEMAND(connector->wire_count <= connector->ways);
	if (connector->way_names)
		demand_names(connector);
	for (size_t i = 0; i < connector->wire_count; i++) {
		const struct lt_way *way = &connector->wires[i];
		DEMAND(way->count == 1 || way->count == 2);
		for (size_t j = 0; j < way->count; j++)
			DEMAND(way->colours[j].count && *way->written[j]);
	}
	struct lt_text text = { 0 };
	lt_connector_wires(&text, connector);
	lt_text_finish(&text);
}

/* Each connector once, and none before those it comes after. */
static void demand_order(const struct lt_harness *harness)
{
	size_t count = harness->connector_count;
	bool *made = calloc(count, sizeof *made);
	DEMAND(made && harness->order);
	for (size_t i = 0; i < count; i++) {
		size_t next = harness->order[i];
		DEMAND(next < count && !made[next]);
		const struct lt_indices *after = &harness->connectors[next].after;
		for (size_t j = 0; j < after->count; j++)
			DEMAND(made[after->items[j]]);
		made[next] = true;
	}
	free(made);
}

static void demand_promises(const struct lt_harness *harness)
{
	struct lt_arena arena = { 0 };
	struct lt_hash ids = { 0 };
	size_t count = harness->connector_count;
	DEMAND(harness->harness && count > 0 && strlen(harness->code) >= 2);
	for (size_t i = 0; i < count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		DEMAND(*connector->id && lt_hash_put(&ids, connector->id, i) == LT_HASH_NONE);
		DEMAND(connector->component == LT_NONE ||
			connector->component < harness->component_count);
		DEMAND(connector->sides == 1 || connector->sides == 2);
		demand_indices(&connector->after, i, count);
		demand_indices(&connector->fits, i, count);
		demand_indices(&connector->unlike, i, count);
		demand_ways(connector);
		struct lt_indices after = lt_connector_after(harness, i, &arena);
		demand_indices(&after, i, count);
		(void)lt_connector_mate_name(harness, i);
	}
	for (size_t i = 0; i < harness->wire_count; i++)
		DEMAND(harness->wires[i].from < count && harness->wires[i].to < count);
	demand_order(harness);
	lt_hash_finish(&ids);
	lt_arena_finish(&arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	struct lt_harness harness;
	struct lt_diags diags = { 0 };
	bool ok = lt_harness_read(&harness, "fuzz.yaml", (const char *)bytes, length, NULL, &diags);
	DEMAND(ok == (diags.errors == 0));
	if (ok)
		demand_promises(&harness);
	FILE *nowhere = fopen("/dev/null", "w");
	if (nowhere) {
		lt_diags_sort(&diags);
		lt_diags_print(&diags, 0, nowhere, true);
		fclose(nowhere);
	}
	lt_harness_finish(&harness);
	lt_diags_finish(&diags);
	return 0;
}
