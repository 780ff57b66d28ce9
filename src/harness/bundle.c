/* Which wires meet at a connector, and how thick they are together. */
#include <stdlib.h>
#include <string.h>

#include "harness/bundle.h"
#include "harness/read.h"

/* One end of a wire of the list. */
struct end {
	size_t connector;
	const char *way;
	const struct lt_wire *wire;
};

static int compare_ends(const void *one, const void *other)
{
	const struct end *a = one;
	const struct end *b = other;
	if (a->connector != b->connector)
		return a->connector < b->connector ? -1 : 1;
	return strcmp(a->way, b->way);
}

/* All ends by connector and way, for the caller to free; *count tells how many. */
static struct end *sort_ends(size_t *count, const struct lt_harness *harness)
{
	struct end *ends = lt_alloc_array(2 * harness->wire_count + 1, sizeof *ends);
	*count = 0;
	for (size_t i = 0; i < harness->wire_count; i++) {
		const struct lt_wire *wire = &harness->wires[i];
		/* A description with errors may leave an end open. */
		if (wire->from_way)
			ends[(*count)++] = (struct end){ wire->from, wire->from_way, wire };
		if (wire->to_way)
			ends[(*count)++] = (struct end){ wire->to, wire->to_way, wire };
	}
	qsort(ends, *count, sizeof *ends, compare_ends);
	return ends;
}

/* The first of a connector's ends that is not before that way, or `count`. */
static size_t first_at(const struct end *ends, size_t count, const char *way)
{
	size_t low = 0;
	while (low < count) {
		size_t middle = low + (count - low) / 2;
		if (strcmp(ends[middle].way, way) < 0)
			low = middle + 1;
		else
			count = middle;
	}
	return low;
}

/* The first of a way's colours that is not taken and is that of the wire, or any where the wire
 * gives none; way->count when there is none. */
static size_t find_colour(const struct lt_way *way, const bool *taken, const struct lt_wire *wire)
{
	size_t i = 0;
	while (i < way->count &&
		(taken[i] ||
			(wire->colour.count && !lt_colour_same(&way->colours[i], &wire->colour))))
		i++;
	return i;
}

/* Lets each wire of the list that ends on the way take one of its colours; of all wires there,
 * those that have a colour or those that have none. Returns how many found one. */
static size_t take_colours(bool *taken, const struct lt_way *way, const struct end *ends,
	size_t count, bool coloured)
{
	size_t found = 0;
	for (size_t i = first_at(ends, count, way->name);
		i < count && strcmp(ends[i].way, way->name) == 0; i++) {
		if ((ends[i].wire->colour.count > 0) != coloured)
			continue;
		size_t colour = find_colour(way, taken, ends[i].wire);
		if (colour == way->count)
			continue;
		taken[colour] = true;
		found++;
	}
	return found;
}

/* How many of the colours that a connector gives its way are no wire of the list. */
static size_t not_listed(const struct lt_way *way, const struct end *ends, size_t count)
{
	bool taken[LT_WIRES_OF_A_WAY] = { false };
	size_t listed = take_colours(taken, way, ends, count, true);
	listed += take_colours(taken, way, ends, count, false);
	return way->count - listed;
}

/* A heap array that is used again for every connector. */
struct sizes {
	struct lt_wire_size *items;
	size_t count, room;
};

static void add_size(struct sizes *sizes, struct lt_wire_size size)
{
	sizes->items = lt_grow(sizes->items, &sizes->room, sizes->count + 1, sizeof *sizes->items);
	sizes->items[sizes->count++] = size;
}

static void gather(struct sizes *sizes, const struct lt_connector *connector,
	const struct end *ends, size_t count)
{
	sizes->count = 0;
	for (size_t i = 0; i < count; i++)
		add_size(sizes, ends[i].wire->size.given ? ends[i].wire->size : connector->size);
	for (size_t i = 0; i < connector->wire_count; i++) {
		const struct lt_way *way = &connector->wires[i];
		size_t left = way->from_list ? 0 : not_listed(way, ends, count);
		for (; left > 0; left--)
			add_size(sizes, connector->size);
	}
}

void lt_wires_each(const struct lt_harness *harness, lt_wires_visit *visit, void *data)
{
	struct sizes sizes = { 0 };
	size_t end_count;
	struct end *ends = sort_ends(&end_count, harness);
	size_t at = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		size_t first = at;
		while (at < end_count && ends[at].connector == i)
			at++;
		gather(&sizes, &harness->connectors[i], &ends[first], at - first);
		visit(data, i, sizes.items, sizes.count);
	}
	free(ends);
	free(sizes.items);
}

/* What computing the bundles needs beside the wires. */
struct work {
	const struct lt_harness *harness;
	struct lt_bundle *bundles;
	double *diameters;
	size_t room;
};

static void set_bundle(void *data, size_t connector, const struct lt_wire_size *sizes, size_t count)
{
	struct work *work = data;
	struct lt_bundle *bundle = &work->bundles[connector];
	const struct lt_connector *of = &work->harness->connectors[connector];
	double measured = of->bundle;
	if (measured > 0) {
		*bundle = (struct lt_bundle){ .diameter = measured, .source = LT_BUNDLE_MEASURED };
		return;
	}
	work->diameters = lt_grow(work->diameters, &work->room, count + 1, sizeof *work->diameters);
	for (size_t i = 0; i < count; i++) {
		if (!sizes[i].given)
			return; /* the bundle stays not known */
		work->diameters[i] = lt_wire_outer(&sizes[i]);
	}
	*bundle = lt_bundle_of(work->diameters, count);
	bundle->partial = count > 0 && of->ways > of->wire_count;
}

struct lt_bundle *lt_harness_bundles(struct lt_arena *arena, const struct lt_harness *harness)
{
	struct work work = {
		.harness = harness,
		.bundles =
			lt_arena_array(arena, harness->connector_count + 1, sizeof *work.bundles),
	};
	lt_wires_each(harness, set_bundle, &work);
	free(work.diameters);
	return work.bundles;
}
