/* Which ways a connector has, and where each is on its face. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "map/panel.h"

/* A way that is named anywhere. */
struct named {
	const struct lt_connector *connector;
	const char *name;
	unsigned number; /* 0: lettered */
	const struct lt_way *wire;
	bool colour_missing;
};

static unsigned number_of(const char *name)
{
	unsigned number;
	return lt_whole_read(&number, name, LT_WAYS_MAX) ? number : 0;
}

static int by_name(const void *a, const void *b)
{
	const struct named *first = a, *second = b;
	int order = lt_way_compare(first->connector, first->name, second->name);
	/* The way with colours before its wires without. */
	return order != 0 ? order : (int)first->colour_missing - (int)second->colour_missing;
}

/* Every name once, in order; returns how many. A colour that the connector itself gives is that of
 * the list's wire. */
static size_t gather(struct named *out, const struct lt_wiring *wiring, size_t index,
	const struct lt_connector *connector)
{
	size_t all = 0;
	for (size_t i = 0; i < connector->wire_count; i++) {
		const struct lt_way *way = &connector->wires[i];
		out[all++] =
			(struct named){ connector, way->name, number_of(way->name), way, false };
	}
	for (size_t i = wiring->first[index]; i < wiring->first[index + 1]; i++) {
		const struct lt_wire *line = wiring->wires[wiring->ends[i].wire].line;
		const char *way = wiring->ends[i].way;
		if (line != NULL && line->colour.count == 0)
			out[all++] = (struct named){ connector, way, number_of(way), NULL, true };
	}
	qsort(out, all, sizeof *out, by_name);
	size_t kept = 0;
	for (size_t i = 0; i < all; i++) {
		if (kept == 0 || strcmp(out[kept - 1].name, out[i].name) != 0)
			out[kept++] = out[i];
		else if (out[i].colour_missing)
			out[kept - 1].colour_missing =
				out[kept - 1].wire == NULL || out[kept - 1].wire->from_list;
	}
	return kept;
}

static void add(struct lt_panel_ways *out, const char *name, const struct named *from)
{
	struct lt_panel_way *way = &out->items[out->count++];
	*way = (struct lt_panel_way){ .name = name };
	if (from != NULL) {
		way->wire = from->wire;
		way->colour_missing = from->colour_missing;
		out->described = true;
	}
	size_t earths = 0;
	for (size_t i = 0; way->wire != NULL && i < way->wire->count; i++)
		earths += lt_colour_is_earth(&way->wire->colours[i]);
	if (earths > out->earths)
		out->earths = earths;
	size_t wires = (way->wire != NULL ? way->wire->count : 0) + (way->colour_missing ? 1 : 0);
	if (wires > out->wires)
		out->wires = wires;
	out->unnamed += name == NULL;
	out->empty += wires == 0;
	out->colour_missing += way->colour_missing;
}

/* The ways by the names on the moulding. */
static void add_listed(struct lt_panel_ways *out, struct lt_arena *arena,
	const struct lt_connector *connector, const struct named *named, size_t count)
{
	out->items = lt_arena_array(arena, connector->ways, sizeof *out->items);
	for (size_t i = 0, at = 0; i < connector->ways; i++) {
		const char *name = connector->way_names->names[i];
		const bool given = at < count && strcmp(named[at].name, name) == 0;
		add(out, name, given ? &named[at] : NULL);
		at += given;
	}
}

/* Numbers from 1, then letters. */
static void add_counted(struct lt_panel_ways *out, struct lt_arena *arena,
	const struct lt_connector *connector, const struct named *named, size_t count)
{
	size_t numbered = 0;
	while (numbered < count && named[numbered].number != 0)
		numbered++;
	size_t letters = count - numbered;
	size_t last = numbered > 0 ? named[numbered - 1].number : 0;
	if (letters == 0 && connector->ways > last)
		last = connector->ways;
	/* Numbers that are not named are empty ways, as long as there are ways left for them. */
	bool gaps = letters == 0 || connector->ways == 0 || last + letters <= connector->ways;
	out->items = lt_arena_array(arena, last + letters + connector->ways, sizeof *out->items);
	size_t at = 0;
	for (unsigned number = 1; number <= last; number++) {
		bool given = at < numbered && named[at].number == number;
		if (given || gaps)
			add(out, given ? named[at].name : lt_arena_printf(arena, "%u", number),
				given ? &named[at] : NULL);
		at += given;
	}
	for (at = numbered; at < count; at++)
		add(out, named[at].name, &named[at]);
	while (out->count < connector->ways)
		add(out, NULL, NULL);
}

void lt_panel_ways(struct lt_panel_ways *out, struct lt_arena *arena,
	const struct lt_map_input *input, size_t index)
{
	const struct lt_connector *connector = &input->tags->harness->connectors[index];
	const struct lt_wiring *wiring = &input->wiring;
	*out = (struct lt_panel_ways){ .wires = 1 };
	size_t room = connector->wire_count + wiring->first[index + 1] - wiring->first[index];
	struct named *named = lt_alloc_array(room + 1, sizeof *named);
	size_t count = gather(named, wiring, index, connector);
	if (connector->way_names != NULL)
		add_listed(out, arena, connector, named, count);
	else
		add_counted(out, arena, connector, named, count);
	free(named);
}

/* How many ways the row has. */
static size_t row_length(const struct lt_panel_ways *ways, size_t row)
{
	if (ways->filled)
		return ways->columns;
	return ways->count / ways->rows + (row < ways->count % ways->rows ? 1 : 0);
}

void lt_panel_ways_arrange(struct lt_panel_ways *ways, size_t rows,
	const struct lt_way_order *order)
{
	ways->rows = rows < ways->count ? rows : ways->count;
	if (ways->count == 0)
		return;
	ways->columns = (ways->count + ways->rows - 1) / ways->rows;
	if (ways->filled)
		ways->rows = (ways->count + ways->columns - 1) / ways->columns;
	size_t row = 0, column = 0;
	for (size_t i = 0; i < ways->count; i++) {
		struct lt_panel_way *way = &ways->items[i];
		if (order->path == LT_WAYS_DOWN) {
			row = i % ways->rows;
			column = i / ways->rows;
		} else if (column == row_length(ways, row)) {
			row++;
			column = 0;
		}
		bool back = order->path == LT_WAYS_AROUND && row % 2 == 1;
		way->row = row;
		way->column = back != order->from_right ? ways->columns - 1 - column : column;
		if (order->path != LT_WAYS_DOWN)
			column++;
	}
}
