/* How thick the bundle at each connector is: measured, worked out, or not known. */
#include <stdlib.h>

#include "harness/bundle.h"

void lt_wires_each(const struct lt_harness *harness, lt_wires_visit *visit, void *data)
{
	struct lt_arena scratch = { 0 };
	struct lt_wiring wiring = lt_harness_wiring(&scratch, harness);
	struct lt_wire_size *sizes = lt_alloc_array(wiring.end_count + 1, sizeof *sizes);
	for (size_t i = 0; i < harness->connector_count; i++) {
		size_t count = 0;
		for (size_t at = wiring.first[i]; at < wiring.first[i + 1]; at++) {
			const struct lt_wire *line = wiring.wires[wiring.ends[at].wire].line;
			sizes[count++] =
				line && line->size.given ? line->size : harness->connectors[i].size;
		}
		visit(data, i, sizes, count);
	}
	free(sizes);
	lt_arena_finish(&scratch);
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
