/* The wires of a harness, resolved: what the wire list and the connectors' own colours say
 * together. */
#include <stdlib.h>
#include <string.h>

#include "harness/read.h"

struct resolving {
	struct lt_wiring *out;
	/* By wire, for those that give no colour: what the ways at its ends say. */
	struct lt_colour_choice (*choices)[2];
};

static struct lt_resolved_wire *add_wire(struct lt_wiring *out)
{
	struct lt_resolved_wire *wire = &out->wires[out->count++];
	*wire = (struct lt_resolved_wire){ .ends = { { LT_NONE, NULL }, { LT_NONE, NULL } } };
	return wire;
}

/* Notes where a wire ends, unless a description with errors leaves that open. */
static void add_end(struct lt_wiring *out, unsigned side, size_t connector, const char *way)
{
	if (!way)
		return;
	out->wires[out->count - 1].ends[side] = (struct lt_wire_end){ connector, way };
	out->ends[out->end_count++] = (struct lt_end_here){ connector, way, out->count - 1, side };
}

static int compare_ends(const void *one, const void *other)
{
	const struct lt_end_here *a = one;
	const struct lt_end_here *b = other;
	if (a->connector != b->connector)
		return a->connector < b->connector ? -1 : 1;
	int ways = strcmp(a->way, b->way);
	if (ways != 0)
		return ways;
	return a->wire < b->wire ? -1 : a->wire > b->wire;
}

static void add_choice(struct lt_colour_choice *choice, const struct lt_colour *colour)
{
	for (size_t i = 0; i < choice->count; i++)
		if (lt_colour_same(&choice->colours[i], colour))
			return;
	choice->colours[choice->count++] = *colour;
}

/* Lets a line of the wire list that gives a colour take it from the way's. */
static void take_same(bool *taken, const struct lt_way *way, const struct lt_colour *colour)
{
	for (size_t i = 0; i < way->count; i++) {
		if (taken[i] || !lt_colour_same(&way->colours[i], colour))
			continue;
		taken[i] = true;
		return;
	}
}

/* What a connector says of one way, against the lines that end there. A line that gives no colour
 * may have any of those that the others leave; colours that no line has are wires of their own. */
static void resolve_way(struct resolving *resolving, size_t connector, const struct lt_way *way,
	const struct lt_end_here *ends, size_t count)
{
	struct lt_wiring *out = resolving->out;
	bool taken[LT_WIRES_OF_A_WAY] = { false };
	struct lt_colour_choice left = { .count = 0 };
	size_t untaken = 0;
	for (size_t i = 0; i < count; i++)
		if (out->wires[ends[i].wire].line->colour.count > 0)
			take_same(taken, way, &out->wires[ends[i].wire].line->colour);
	for (size_t i = 0; i < way->count; i++) {
		if (taken[i])
			continue;
		add_choice(&left, &way->colours[i]);
		untaken++;
	}
	size_t unlisted = untaken;
	for (size_t i = 0; i < count; i++) {
		if (out->wires[ends[i].wire].line->colour.count > 0)
			continue;
		resolving->choices[ends[i].wire][ends[i].side] = left;
		unlisted -= unlisted > 0;
	}
	bool sure = unlisted == untaken;
	for (size_t i = 0; i < way->count && unlisted > 0; i++) {
		if (taken[i])
			continue;
		add_wire(out);
		add_end(out, 0, connector, way->name);
		struct lt_colour_choice *choice = &resolving->choices[out->count - 1][0];
		if (sure)
			add_choice(choice, &way->colours[i]);
		else
			*choice = left;
		unlisted--;
	}
}

/* The first of the ends from `low` up to `high` that is not before that way of the connector. */
static size_t first_at(const struct lt_wiring *wiring, size_t high, size_t connector,
	const char *way)
{
	const struct lt_end_here key = { connector, way, 0, 0 };
	size_t low = 0;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (compare_ends(&wiring->ends[middle], &key) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

static void resolve_connector(struct resolving *resolving, size_t listed, size_t connector,
	const struct lt_connector *of)
{
	const struct lt_end_here *ends = resolving->out->ends;
	for (size_t i = 0; i < of->wire_count; i++) {
		const struct lt_way *way = &of->wires[i];
		if (way->from_list)
			continue;
		size_t first = first_at(resolving->out, listed, connector, way->name);
		size_t behind = first;
		while (behind < listed && ends[behind].connector == connector &&
			strcmp(ends[behind].way, way->name) == 0)
			behind++;
		resolve_way(resolving, connector, way, &ends[first], behind - first);
	}
}

/* What both ends allow; or, where they contradict each other, all that either says. */
static void join_choices(struct lt_colour_choice *out, const struct lt_colour_choice both[2])
{
	for (size_t i = 0; i < both[0].count; i++)
		for (size_t j = 0; j < both[1].count; j++)
			if (lt_colour_same(&both[0].colours[i], &both[1].colours[j]))
				add_choice(out, &both[0].colours[i]);
	if (out->count > 0)
		return;
	for (size_t i = 0; i < 2; i++)
		for (size_t j = 0; j < both[i].count; j++)
			add_choice(out, &both[i].colours[j]);
}

/* The line's own size, else those of its connectors, the thin one first. */
static void settle_size(struct lt_resolved_wire *wire, const struct lt_harness *harness)
{
	if (wire->line && wire->line->size.given) {
		wire->sizes[wire->size_count++] = wire->line->size;
		return;
	}
	for (size_t i = 0; i < 2; i++) {
		size_t connector = wire->ends[i].connector;
		if (connector != LT_NONE && harness->connectors[connector].size.given)
			wire->sizes[wire->size_count++] = harness->connectors[connector].size;
	}
	struct lt_wire_size first = wire->sizes[0];
	if (wire->size_count < 2 || lt_wire_area(&wire->sizes[1]) >= lt_wire_area(&first))
		return;
	wire->sizes[0] = wire->sizes[1];
	wire->sizes[1] = first;
}

/* All that there can be. */
static size_t count_wires(const struct lt_harness *harness)
{
	size_t count = harness->wire_count;
	for (size_t i = 0; i < harness->connector_count; i++)
		for (size_t j = 0; j < harness->connectors[i].wire_count; j++)
			count += harness->connectors[i].wires[j].count;
	return count;
}

struct lt_wiring lt_harness_wiring(struct lt_arena *arena, const struct lt_harness *harness)
{
	const size_t connectors = harness->connector_count, most = count_wires(harness);
	struct lt_wiring out = {
		.wires = lt_arena_array(arena, most + 1, sizeof *out.wires),
		.ends = lt_arena_array(arena, 2 * most + 1, sizeof *out.ends),
		.first = lt_arena_array(arena, connectors + 1, sizeof *out.first),
	};
	struct resolving resolving = { &out, lt_alloc_array(most + 1, sizeof *resolving.choices) };
	memset(resolving.choices, 0, (most + 1) * sizeof *resolving.choices);
	for (size_t i = 0; i < harness->wire_count; i++) {
		const struct lt_wire *line = &harness->wires[i];
		add_wire(&out)->line = line;
		add_end(&out, 0, line->from, line->from_way);
		add_end(&out, 1, line->to, line->to_way);
	}
	qsort(out.ends, out.end_count, sizeof *out.ends, compare_ends);
	for (size_t i = 0, listed = out.end_count; i < connectors; i++)
		resolve_connector(&resolving, listed, i, &harness->connectors[i]);
	qsort(out.ends, out.end_count, sizeof *out.ends, compare_ends);
	for (size_t i = 0, at = 0; i <= connectors; i++) {
		while (at < out.end_count && out.ends[at].connector < i)
			at++;
		out.first[i] = at;
	}
	for (size_t i = 0; i < out.count; i++) {
		struct lt_resolved_wire *wire = &out.wires[i];
		if (wire->line && wire->line->colour.count > 0)
			add_choice(&wire->colour, &wire->line->colour);
		else
			join_choices(&wire->colour, resolving.choices[i]);
		settle_size(wire, harness);
	}
	free(resolving.choices);
	return out;
}
