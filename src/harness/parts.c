/* The parts of a description that are lists of their own: hazards, components, the finish list. */
#include <string.h>

#include "harness/read.h"

const char *lt_read_own_id(struct lt_reader *reader, const struct lt_node *map, const char *what,
	struct lt_hash *ids, size_t index, const struct lt_node *items)
{
	const struct lt_node *value = lt_node_get(map, "id");
	if (!value) {
		lt_read_missing(reader, map, what, "id");
		lt_hint(reader->diags, "write a short id, as it is marked on the machine");
		return LT_ID_UNKNOWN;
	}
	const char *id = lt_read_id(reader, "id", value);
	if (!id)
		return LT_ID_UNKNOWN;
	size_t first = lt_hash_put(ids, id, index);
	if (first != LT_HASH_NONE) {
		lt_read_error(reader, value, "id: \"%s\" is given twice, first in line %u", id,
			lt_node_get(&items[first], "id")->place.line);
		lt_hint(reader->diags, "give one of the two another id");
	}
	return id;
}

static void read_hazard(struct lt_reader *reader, struct lt_hazard *hazard, size_t number,
	const struct lt_node *node)
{
	static const struct lt_field fields[] = {
		{ "energy", lt_field_text, offsetof(struct lt_hazard, energy) },
		{ "signal", lt_field_choice, offsetof(struct lt_hazard, signal) },
		{ "harm", lt_field_text, offsetof(struct lt_hazard, harm) },
		{ "isolate", lt_field_text, offsetof(struct lt_hazard, isolate) },
		{ "release", lt_field_text, offsetof(struct lt_hazard, release) },
		{ "prove", lt_field_text, offsetof(struct lt_hazard, prove) },
		{ "restore", lt_field_text, offsetof(struct lt_hazard, restore) },
	};
	hazard->place = lt_read_place(reader, node);
	if (!lt_read_is_map(reader, node, "a hazard", "{energy: mains 230 V, isolate: breaker F4}"))
		return;
	if (!lt_node_get(node, "energy")) {
		lt_read_missing(reader, node, "a hazard", "energy");
		lt_hint(reader->diags, "name the energy, for example energy: mains 230 V");
	}
	reader->subject = lt_arena_printf(&reader->scratch, "hazard %zu: ", number);
	lt_read_fields(reader, hazard, node, fields, sizeof fields / sizeof *fields, "a hazard");
	reader->subject = "";
}

void lt_read_hazards(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_harness *harness = into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	harness->hazards = lt_arena_array(&harness->arena, count, sizeof *harness->hazards);
	harness->hazard_count = count;
	for (size_t i = 0; i < count; i++)
		read_hazard(reader, &harness->hazards[i], i + 1, &items[i]);
}

static void read_fate(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	unsigned replace = 0;
	lt_field_choice(reader, &replace, key, value);
	*(bool *)into = replace == 1;
}

static void read_component(struct lt_reader *reader, size_t index, const struct lt_node *items)
{
	static const struct lt_field fields[] = {
		{ "id", NULL, 0 },
		{ "name", lt_field_text, offsetof(struct lt_component, name) },
		{ "place", lt_field_text, offsetof(struct lt_component, where) },
		{ "fate", read_fate, offsetof(struct lt_component, replace) },
	};
	struct lt_component *component = &reader->harness->components[index];
	const struct lt_node *node = &items[index];
	component->place = lt_read_place(reader, node);
	component->id = LT_ID_UNKNOWN;
	if (!lt_read_is_map(reader, node, "a component", "{id: M1, name: vent motor}"))
		return;
	component->id =
		lt_read_own_id(reader, node, "a component", &reader->components, index, items);
	reader->subject = lt_arena_printf(&reader->scratch, "component %s: ", component->id);
	lt_read_fields(reader, component, node, fields, sizeof fields / sizeof *fields,
		"a component");
	component->name_place = lt_value_place(reader, node, "name");
	reader->subject = "";
}

void lt_read_components(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_harness *harness = into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	reader->has_components = true;
	harness->components = lt_arena_array(&harness->arena, count, sizeof *harness->components);
	harness->component_count = count;
	reader->component_ids =
		lt_arena_array(&reader->scratch, count, sizeof *reader->component_ids);
	for (size_t i = 0; i < count; i++) {
		read_component(reader, i, items);
		reader->component_ids[i] = harness->components[i].id;
	}
}

size_t lt_component_mentioned(struct lt_reader *reader, const char *id, struct lt_place place)
{
	struct lt_harness *harness = reader->harness;
	size_t index = lt_hash_get(&reader->components, id);
	if (index != LT_HASH_NONE)
		return index;
	if (harness->components == NULL)
		harness->components = lt_arena_array(&harness->arena, harness->connector_count,
			sizeof *harness->components);
	index = harness->component_count++;
	harness->components[index] = (struct lt_component){
		.place = place, .id = lt_arena_strdup(&harness->arena, id), .name_place = place
	};
	lt_hash_put(&reader->components, harness->components[index].id, index);
	return index;
}

void lt_read_finish(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_harness *harness = into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	harness->finish = lt_arena_array(&harness->arena, count, sizeof *harness->finish);
	for (size_t i = 0; i < count; i++) {
		const char *text = lt_read_text(reader, key, &items[i]);
		if (text)
			harness->finish[harness->finish_count++] =
				(struct lt_finish_line){ lt_read_place(reader, &items[i]), text };
	}
}
