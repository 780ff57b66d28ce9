/* Reading wires, those of connectors and those of the wire list; wires.c puts them together. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "harness/read.h"
#include "loomtag/base.h"

#define LETTERED_MAX 3 /* characters of a lettered way */
#define NAMED_MAX 12   /* ways that a hint names */

static bool is_letter(char c)
{
	return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* Reads a way's name: *number is 0 for a lettered one. */
static bool read_way_name(unsigned *number, const char *name)
{
	if (lt_whole_read(number, name, LT_WAYS_MAX))
		return *number > 0;
	*number = 0;
	size_t length = strlen(name);
	if (!is_letter(name[0]) || length > LETTERED_MAX)
		return false;
	for (size_t i = 1; i < length; i++)
		if (!is_letter(name[i]) && !is_digit(name[i]))
			return false;
	return true;
}

/* The names that the connector's own wires give, as a list of its ways, or an example; nothing
 * where they can be no list of so many. */
static void list_names(struct lt_text *out, const struct lt_node *wires, size_t ways)
{
	if (!wires)
		lt_text_add(out, "30, 85, 86, 87");
	if (!wires || wires->kind != LT_MAP || wires->count > ways)
		return;
	for (size_t i = 0; i < wires->count && i < NAMED_MAX; i++) {
		if (!lt_way_name_valid(wires->keys[i].text)) {
			lt_text_clear(out);
			return;
		}
		lt_text_printf(out, i > 0 ? ", %s" : "%s", wires->keys[i].text);
	}
	if (wires->count > NAMED_MAX || wires->count < ways)
		lt_text_add(out, ", ...");
}

/* What to do about a way beyond the number of ways: where the names of the wires can be those on
 * the moulding, shows how to list them. */
static void hint_list(struct lt_reader *reader, size_t connector)
{
	const struct lt_node *wires = lt_node_get(&reader->connector_items[connector], "wires");
	struct lt_text names = { 0 };
	list_names(&names, wires, reader->harness->connectors[connector].ways);
	if (names.length > 0)
		lt_hint(reader->diags,
			"correct the way or the number after ways:. If the moulding has other "
			"names, list them: ways: [%s]",
			lt_text_string(&names));
	else
		lt_hint(reader->diags, "correct the way, or the number after ways:");
	lt_text_finish(&names);
}

/* Names are too short for the nearest one to be meant, but for capitals. */
static void hint_way_names(struct lt_reader *reader, const struct lt_connector *connector,
	const char *name)
{
	struct lt_text names = { 0 };
	const char *meant = NULL;
	for (size_t i = 0; i < connector->ways; i++) {
		const char *one = connector->way_names->names[i];
		if (strcasecmp(one, name) == 0)
			meant = one;
		if (i > NAMED_MAX)
			continue;
		lt_text_add(&names, i > 0 ? ", " : "");
		lt_text_add(&names, i < NAMED_MAX ? one : "...");
	}
	if (meant != NULL)
		lt_hint(reader->diags, "did you mean %s?", meant);
	else
		lt_hint(reader->diags, "the ways in its list are %s", lt_text_string(&names));
	lt_text_finish(&names);
}

/* The entry of a way that may be there; LT_NONE where it is not one of the connector's, which was
 * reported. Adds the entry where there is none yet. */
static size_t enter_way(struct lt_reader *reader, struct lt_place place, size_t connector,
	const char *name)
{
	char shown[LT_QUOTE_SIZE];
	const struct lt_connector *of = &reader->harness->connectors[connector];
	unsigned number = 0;
	if (of->way_names != NULL && lt_way_position(of, name) == LT_NONE) {
		lt_error(reader->diags, place, "connector %s has no way %s", of->id,
			lt_quote(shown, name));
		hint_way_names(reader, of, name);
		return LT_NONE;
	}
	const bool lost = reader->ways_lost[connector] && lt_way_name_valid(name);
	if (of->way_names == NULL && !lost && !read_way_name(&number, name)) {
		lt_read_error_at(reader, place,
			"way %s must be a number from 1 to %u or up to %d letters",
			lt_quote(shown, name), LT_WAYS_MAX, LETTERED_MAX);
		if (strchr(name, ':'))
			lt_hint(reader->diags, "write a space after the colon");
		else if (of->ways && lt_way_name_valid(name))
			hint_list(reader, connector);
		else if (lt_way_name_valid(name))
			lt_hint(reader->diags,
				"if the moulding has such names, list them all: ways: [30, 87, "
				"87a]");
		return LT_NONE;
	}
	if (of->ways && number > of->ways) {
		lt_error(reader->diags, place,
			lt_plural(of->ways, "connector %s has %u way, so there is no way %u",
				"connector %s has %u ways, so there is no way %u"),
			of->id, of->ways, number);
		hint_list(reader, connector);
		return LT_NONE;
	}
	const char *key = lt_arena_printf(&reader->scratch, "%zu.%s", connector, name);
	size_t index = lt_hash_put(&reader->way_index, key, reader->way_count);
	if (index != LT_HASH_NONE)
		return index;
	const size_t most = of->ways ? of->ways : LT_WAYS_MAX;
	if (++reader->ways_of[connector] == most + 1) {
		lt_error(reader->diags, place,
			lt_plural(most, "connector %s has %zu way, so way %s is one too many",
				"connector %s has %zu ways, so way %s is one too many"),
			of->id, most, name);
		hint_list(reader, connector);
	}
	reader->ways = lt_grow(reader->ways, &reader->way_room, reader->way_count + 1,
		sizeof *reader->ways);
	reader->ways[reader->way_count] = (struct lt_way_entry){
		.connector = connector,
		.of = of,
		.name = lt_arena_strdup(&reader->harness->arena, name),
	};
	return reader->way_count++;
}

/* The colours of one way: one, or a list of two. */
static void read_way(struct lt_reader *reader, struct lt_way_entry *entry,
	const struct lt_node *value)
{
	const struct lt_node *items;
	char way[32];
	snprintf(way, sizeof way, "way %s", entry->name);
	size_t count = lt_read_list(&items, reader, way, value);
	if (count > LT_WIRES_OF_A_WAY || (!count && value->kind == LT_LIST)) {
		lt_read_error(reader, value, "%s: must have one or two colours, not %zu", way,
			count);
		lt_hint(reader->diags, "write the colours of one wire together, for example WHRD");
		return;
	}
	for (size_t i = 0; i < count; i++)
		if (lt_read_colour(&entry->colours[entry->colour_count], reader, way, &items[i]))
			entry->colour_count++;
}

void lt_read_ways(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const struct lt_connector *connector = into;
	if (value->kind != LT_MAP) {
		lt_read_error(reader, value, "%s: each colour needs its way", key);
		lt_hint(reader->diags, "write it as {1: BN, 2: BU, 3: GNYE}");
		return;
	}
	size_t index = (size_t)(connector - reader->harness->connectors);
	for (size_t i = 0; i < value->count; i++) {
		size_t way = enter_way(reader, lt_read_place(reader, &value->keys[i]), index,
			value->keys[i].text);
		if (way == LT_NONE)
			continue;
		reader->ways[way].own = true;
		read_way(reader, &reader->ways[way], &value->items[i]);
	}
}

/* One end of a wire: "X1.1". False, and reported, when it is not one of a listed connector. */
static bool read_end(size_t *connector, size_t *way, struct lt_reader *reader, const char *key,
	const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	const char *text = lt_read_word(reader, key, value);
	if (!text)
		return false;
	struct lt_place place = lt_read_place(reader, value);
	const char *dot = strchr(text, '.');
	if (!dot || dot == text || !dot[1]) {
		lt_read_error_at(reader, place, "%s: %s is not a connector and its way", key,
			lt_quote(shown, text));
		lt_hint(reader->diags, "write it as X1.1");
		return false;
	}
	const char *id = lt_arena_copy(&reader->scratch, text, (size_t)(dot - text));
	*connector = lt_hash_get(&reader->connectors, id);
	if (!reader->harness->connector_count)
		return false; /* that there are none was reported */
	if (*connector == LT_HASH_NONE) {
		lt_read_error_at(reader, place, "%s: connector %s is not listed", key,
			lt_quote(shown, id));
		lt_hint_nearest(reader, id, reader->connector_ids,
			reader->harness->connector_count);
		return false;
	}
	*way = enter_way(reader, place, *connector, dot + 1);
	return *way != LT_NONE;
}

/* Lets a wire of the list take one of the connector's own colours. One that stands alone may name
 * two wires of that colour; of two that differ each names one. */
static bool take_colour(struct lt_way_entry *entry, const struct lt_colour *colour)
{
	bool alone = entry->colour_count == 1;
	for (size_t i = 0; i < entry->colour_count; i++) {
		if ((entry->taken[i] && !alone) || !lt_colour_same(&entry->colours[i], colour))
			continue;
		entry->taken[i] = true;
		return true;
	}
	return false;
}

/* Reports that the wire list and the connector's own wires disagree. */
static void report_contradiction(struct lt_reader *reader, struct lt_place place,
	const struct lt_way_entry *entry, const struct lt_wire *wire)
{
	bool again = false;
	for (size_t i = 0; i < entry->colour_count; i++)
		again |= lt_colour_same(&entry->colours[i], &wire->colour);
	char colours[LT_WIRES_OF_A_WAY * (LT_COLOUR_CODE_SIZE + 2)] = "";
	const char *id = reader->harness->connectors[entry->connector].id;
	for (size_t i = 0, at = 0; i < entry->colour_count; i++) {
		char code[LT_COLOUR_CODE_SIZE];
		lt_colour_code(code, &entry->colours[i]);
		at += (size_t)snprintf(colours + at, sizeof colours - at, "%s%s", i ? ", " : "",
			code);
	}
	if (again)
		lt_read_error_at(reader, place,
			"this line adds a wire %s, but way %s of connector %s has only %s",
			wire->colour_code, entry->name, id, colours);
	else
		lt_read_error_at(reader, place,
			"this wire is %s, but way %s of connector %s has %s", wire->colour_code,
			entry->name, id, colours);
	lt_hint(reader->diags, "check the wire, and correct the entry that is wrong");
}

/* Lays a wire of the list on a way at one of its ends. */
static void lay_wire(struct lt_reader *reader, size_t way, const struct lt_wire *wire,
	struct lt_place end, struct lt_place colour_place)
{
	struct lt_way_entry *entry = &reader->ways[way];
	if (++entry->listed > LT_WIRES_OF_A_WAY) {
		lt_read_error_at(reader, end, "this is the third wire at way %s of connector %s",
			entry->name, reader->harness->connectors[entry->connector].id);
		lt_hint(reader->diags, "correct the way. A way has at most two wires");
		return;
	}
	if (!wire->colour.count)
		return;
	if (!entry->own)
		entry->colours[entry->colour_count++] = wire->colour;
	else if (entry->colour_count && !take_colour(entry, &wire->colour))
		report_contradiction(reader, colour_place, entry, wire);
}

static void read_wire_colour(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_wire *wire = into;
	char code[LT_COLOUR_CODE_SIZE];
	if (!lt_read_colour(&wire->colour, reader, key, value))
		return;
	lt_colour_code(code, &wire->colour);
	wire->colour_code = lt_arena_strdup(&reader->harness->arena, code);
}

/* Reads an end that every wire must have. */
static bool need_end(size_t *connector, size_t *way, struct lt_reader *reader, const char *key,
	const struct lt_node *node)
{
	const struct lt_node *value = lt_node_get(node, key);
	if (value)
		return read_end(connector, way, reader, key, value);
	lt_read_missing(reader, node, "a wire", key);
	lt_hint(reader->diags, "write both ends of the wire, from and to");
	return false;
}

static void read_wire(struct lt_reader *reader, struct lt_wire *wire, const struct lt_node *node)
{
	static const struct lt_field fields[] = {
		{ "from", NULL, 0 },
		{ "to", NULL, 0 },
		{ "colour", read_wire_colour, 0 },
		{ "size", lt_field_size, offsetof(struct lt_wire, size) },
		{ "name", lt_field_text, offsetof(struct lt_wire, name) },
	};
	wire->place = lt_read_place(reader, node);
	wire->from = LT_NONE;
	wire->to = LT_NONE;
	if (!lt_read_is_map(reader, node, "a wire", "{from: X1.1, to: X9.4, colour: BN}"))
		return;
	lt_read_fields(reader, wire, node, fields, sizeof fields / sizeof *fields, "a wire");
	size_t from;
	size_t to;
	bool has_from = need_end(&wire->from, &from, reader, "from", node);
	bool has_to = need_end(&wire->to, &to, reader, "to", node);
	const struct lt_node *end = lt_node_get(node, "to");
	if (has_from && has_to && from == to) {
		lt_read_error(reader, end, "this wire begins and ends at the same way");
		return;
	}
	const struct lt_node *colour = lt_node_get(node, "colour");
	struct lt_place place = colour ? lt_read_place(reader, colour) : wire->place;
	if (has_from) {
		wire->from_way = reader->ways[from].name;
		lay_wire(reader, from, wire, lt_read_place(reader, lt_node_get(node, "from")),
			place);
	}
	if (has_to) {
		wire->to_way = reader->ways[to].name;
		lay_wire(reader, to, wire, lt_read_place(reader, end), place);
	}
}

void lt_read_wire_list(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_harness *harness = into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	harness->wires = lt_arena_array(&harness->arena, count, sizeof *harness->wires);
	harness->wire_count = count;
	for (size_t i = 0; i < count; i++)
		read_wire(reader, &harness->wires[i], &items[i]);
}

static int compare_entries(const void *one, const void *other)
{
	const struct lt_way_entry *a = one;
	const struct lt_way_entry *b = other;
	if (a->connector != b->connector)
		return a->connector < b->connector ? -1 : 1;
	return lt_way_compare(a->of, a->name, b->name);
}

static void settle_way(struct lt_way *way, struct lt_arena *arena, const struct lt_way_entry *entry)
{
	way->name = entry->name;
	way->count = entry->colour_count;
	way->colours = lt_arena_array(arena, way->count, sizeof *way->colours);
	way->written = lt_arena_array(arena, way->count, sizeof *way->written);
	way->from_list = !entry->own;
	for (size_t i = 0; i < way->count; i++) {
		char code[LT_COLOUR_CODE_SIZE];
		lt_colour_code(code, &entry->colours[i]);
		way->colours[i] = entry->colours[i];
		way->written[i] = lt_arena_strdup(arena, code);
	}
}

void lt_settle_ways(struct lt_reader *reader)
{
	struct lt_harness *harness = reader->harness;
	if (!reader->way_count)
		return;
	qsort(reader->ways, reader->way_count, sizeof *reader->ways, compare_entries);
	struct lt_way *ways = lt_arena_array(&harness->arena, reader->way_count, sizeof *ways);
	size_t at = 0;
	for (size_t i = 0; i < reader->way_count; i++) {
		const struct lt_way_entry *entry = &reader->ways[i];
		if (!entry->colour_count)
			continue;
		struct lt_connector *connector = &harness->connectors[entry->connector];
		if (!connector->wire_count)
			connector->wires = &ways[at];
		connector->wire_count++;
		settle_way(&ways[at++], &harness->arena, entry);
	}
}
