/* What is not wrong and still worth a look: told as warnings. */
#include <stdlib.h>

#include "harness/bundle.h"
#include "harness/read.h"

static void check_hazards(struct lt_reader *reader)
{
	char shown[LT_QUOTE_SIZE];
	for (size_t i = 0; i < reader->harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &reader->harness->hazards[i];
		if (!hazard->energy)
			continue;
		lt_quote(shown, hazard->energy);
		if (!hazard->isolate) {
			lt_warning(reader->diags, hazard->place,
				"hazard %s has no isolate: nothing says how it is cut off", shown);
			lt_hint(reader->diags,
				"add isolate: and the breaker or valve, and how it is locked");
		}
		if (!hazard->prove) {
			lt_warning(reader->diags, hazard->place,
				"hazard %s has no prove: nothing shows that it is gone", shown);
			lt_hint(reader->diags,
				"add prove: and where it is measured that nothing is left");
		}
	}
}

/* A mate that was not found may well be the component that nobody mates. */
static void check_components(struct lt_reader *reader)
{
	const struct lt_harness *harness = reader->harness;
	bool *mated = lt_arena_array(&reader->scratch, harness->component_count + 1, sizeof *mated);
	for (size_t i = 0; i < harness->connector_count; i++)
		if (harness->connectors[i].component != LT_NONE)
			mated[harness->connectors[i].component] = true;
	for (size_t i = 0; i < harness->component_count; i++) {
		const char *id = harness->components[i].id;
		bool twice = lt_hash_get(&reader->components, id) != i;
		if (mated[i] || twice || reader->mate_lost)
			continue;
		lt_warning(reader->diags, harness->components[i].place,
			"component %s has no connector", id);
		lt_hint(reader->diags, "name it in the mates of its connector, or take it out");
	}
}

static void check_ports(struct lt_reader *reader)
{
	const struct lt_harness *harness = reader->harness;
	struct lt_hash ports = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->component == LT_NONE || !connector->port)
			continue;
		const char *key = lt_arena_printf(&reader->scratch, "%zu %s", connector->component,
			connector->port);
		size_t first = lt_hash_put(&ports, key, i);
		if (first == LT_HASH_NONE)
			continue;
		lt_warning(reader->diags,
			lt_read_place(reader, lt_node_get(&reader->connector_items[i], "port")),
			"connectors %s and %s both go to port %s of component %s",
			harness->connectors[first].id, connector->id, connector->port,
			harness->components[connector->component].id);
		lt_hint(reader->diags, "look at the markings again");
	}
	lt_hash_finish(&ports);
}

/* A bundle that was measured, held against the bare conductors that have to lie in it. */
static void check_bundle(void *data, size_t connector, const struct lt_wire_size *sizes,
	size_t count)
{
	struct lt_reader *reader = data;
	const struct lt_connector *of = &reader->harness->connectors[connector];
	if (!(of->bundle > 0) || !count)
		return;
	double *bare = lt_alloc_array(count, sizeof *bare);
	size_t known = 0;
	for (size_t i = 0; i < count; i++)
		if (sizes[i].given)
			bare[known++] = lt_wire_conductor(&sizes[i]);
	double least = lt_bundle_least(bare, known);
	free(bare);
	if (of->bundle >= least)
		return;
	const struct lt_node *value = lt_node_get(&reader->connector_items[connector], "bundle");
	lt_warning(reader->diags, lt_read_place(reader, value),
		"connector %s: a bundle of %.4g mm is too thin: its bare conductors alone "
		"need %.4g mm",
		of->id, of->bundle, least);
	lt_hint(reader->diags, "measure over all wires again, or correct their size");
}

void lt_check(struct lt_reader *reader)
{
	check_hazards(reader);
	if (!reader->harness->connector_count)
		return; /* why there are none was told */
	check_components(reader);
	check_ports(reader);
	lt_wires_each(reader->harness, check_bundle, reader);
}
