/* Checks that need the whole description: references to components and to other connectors, and
 * warnings. */
#include <stdlib.h>
#include <string.h>

#include "harness/bundle.h"
#include "harness/read.h"

static struct lt_place value_place(const struct lt_reader *reader, size_t connector,
	const char *key)
{
	return lt_value_place(reader, &reader->connector_items[connector], key);
}

static void link_mate(struct lt_reader *reader, size_t index)
{
	struct lt_harness *harness = reader->harness;
	struct lt_connector *connector = &harness->connectors[index];
	const struct lt_node *value = lt_node_get(&reader->connector_items[index], "mates");
	const char *id = value ? lt_read_word(reader, "mates", value) : NULL;
	if (!id)
		return;
	connector->component = lt_hash_get(&reader->components, id);
	if (connector->component != LT_HASH_NONE)
		return;
	if (!reader->has_components && lt_hash_get(&reader->connectors, id) == LT_HASH_NONE) {
		if (lt_read_id(reader, "mates", value))
			connector->component =
				lt_component_mentioned(reader, id, lt_read_place(reader, value));
		else
			connector->component = LT_NONE;
		return;
	}
	reader->mate_lost = true;
	lt_error(reader->diags, lt_read_place(reader, value),
		"connector %s mates with component %s, which is not listed", connector->id,
		lt_shown(reader, id));
	if (lt_hash_get(&reader->connectors, id) != LT_HASH_NONE)
		lt_hint(reader->diags,
			reader->has_components
				? "give the id of a component. %s is a connector"
				: "%s is a connector. Give another id, or list it under "
				  "components: too",
			id);
	else if (!harness->component_count)
		lt_hint(reader->diags, "list it under components:");
	else
		lt_hint_nearest(reader, id, reader->component_ids, harness->component_count);
}

/* The connector that an item of a list names, LT_NONE when it is none, which was reported. */
static size_t link_item(struct lt_reader *reader, size_t index, const char *key,
	const struct lt_node *item)
{
	const char *own = reader->harness->connectors[index].id;
	const char *id = lt_read_word(reader, key, item);
	if (!id)
		return LT_NONE;
	size_t other = lt_hash_get(&reader->connectors, id);
	if (other != LT_HASH_NONE && other != index)
		return other;
	struct lt_place place = lt_read_place(reader, item);
	if (other == index) {
		lt_error(reader->diags, place, "connector %s names itself in %s", own, key);
		lt_hint(reader->diags, "remove it, or name another connector");
		return LT_NONE;
	}
	lt_error(reader->diags, place, "connector %s: %s: connector %s is not listed", own, key,
		lt_shown(reader, id));
	if (lt_hash_get(&reader->components, id) != LT_HASH_NONE)
		lt_hint(reader->diags, "give the id of a connector. %s is a component", id);
	else
		lt_hint_nearest(reader, id, reader->connector_ids,
			reader->harness->connector_count);
	return LT_NONE;
}

static void add_pair(struct lt_reader *reader, size_t one, size_t other, bool unlike,
	const struct lt_node *item)
{
	reader->pairs = lt_grow(reader->pairs, &reader->pair_room, reader->pair_count + 1,
		sizeof *reader->pairs);
	reader->pairs[reader->pair_count++] = (struct lt_fit_pair){
		.low = one < other ? one : other,
		.high = one < other ? other : one,
		.unlike = unlike,
		.place = lt_read_place(reader, item),
	};
}

enum list { AFTER, FITS, UNLIKE, LISTS };

/* Links one list of one connector. `seen` marks, by connector, the list that named it last, so
 * that one named twice counts once. */
static void link_list(struct lt_reader *reader, size_t index, enum list list, size_t *seen)
{
	static const char *const keys[LISTS] = { "after", "fits", "unlike" };
	struct lt_connector *connector = &reader->harness->connectors[index];
	struct lt_indices *lists[LISTS] = { &connector->after, &connector->fits,
		&connector->unlike };
	const struct lt_node *value = lt_node_get(&reader->connector_items[index], keys[list]);
	if (!value)
		return;
	const struct lt_node *items;
	struct lt_indices *out = lists[list];
	size_t count = lt_read_list(&items, reader, keys[list], value);
	size_t mark = index * LISTS + list + 1;
	out->items = lt_arena_array(&reader->harness->arena, count, sizeof *out->items);
	for (size_t i = 0; i < count; i++) {
		size_t other = link_item(reader, index, keys[list], &items[i]);
		if (other == LT_NONE || seen[other] == mark)
			continue;
		seen[other] = mark;
		out->items[out->count++] = other;
		if (list != AFTER)
			add_pair(reader, index, other, list == UNLIKE, &items[i]);
	}
}

/* By connectors, then by place, so that the later of two is the one that is reported. */
static int compare_pairs(const void *one, const void *other)
{
	const struct lt_fit_pair *a = one;
	const struct lt_fit_pair *b = other;
	if (a->low != b->low)
		return a->low < b->low ? -1 : 1;
	if (a->high != b->high)
		return a->high < b->high ? -1 : 1;
	if (a->place.line != b->place.line)
		return a->place.line < b->place.line ? -1 : 1;
	return a->place.column < b->place.column ? -1 : a->place.column > b->place.column;
}

static void check_fits_against_unlike(struct lt_reader *reader)
{
	const struct lt_connector *connectors = reader->harness->connectors;
	if (!reader->pair_count)
		return;
	qsort(reader->pairs, reader->pair_count, sizeof *reader->pairs, compare_pairs);
	for (size_t i = 1; i < reader->pair_count; i++) {
		const struct lt_fit_pair *first = &reader->pairs[i - 1];
		const struct lt_fit_pair *second = &reader->pairs[i];
		if (first->low != second->low || first->high != second->high ||
			first->unlike == second->unlike)
			continue;
		lt_error(reader->diags, second->place,
			"connectors %s and %s: fits: and unlike: contradict each other",
			connectors[first->low].id, connectors[first->high].id);
		if (first->unlike)
			lt_hint(reader->diags, "keep this fits: or the unlike: in line %u",
				first->place.line);
		else
			lt_hint(reader->diags, "keep this unlike: or the fits: in line %u",
				first->place.line);
	}
}

static void check_was(struct lt_reader *reader, size_t index, struct lt_hash *earlier)
{
	const struct lt_connector *connectors = reader->harness->connectors;
	const struct lt_connector *connector = &connectors[index];
	if (!connector->was)
		return;
	struct lt_place place = value_place(reader, index, "was");
	size_t taken = lt_hash_get(&reader->connectors, connector->was);
	if (taken == index || strcmp(connector->was, connector->id) == 0) {
		lt_read_error_at(reader, place, "was: %s is the current id", connector->was);
		lt_hint(reader->diags, "remove was:, or write the earlier id");
		return;
	}
	if (taken != LT_HASH_NONE) {
		lt_read_error_at(reader, place,
			"was: %s is still the id of a connector, in line %u", connector->was,
			connectors[taken].place.line);
		lt_hint(reader->diags, "write an id that is no longer in use, or remove was:");
		return;
	}
	size_t first = lt_hash_put(earlier, connector->was, index);
	if (first == LT_HASH_NONE)
		return;
	lt_error(reader->diags, place, "connectors %s and %s cannot both have was: %s",
		connectors[first].id, connector->id, connector->was);
	lt_hint(reader->diags, "keep was: at one of the two. Only one can take over the number");
}

void lt_link(struct lt_reader *reader)
{
	size_t count = reader->harness->connector_count;
	size_t *seen = lt_arena_array(&reader->scratch, count, sizeof *seen);
	struct lt_hash earlier = { 0 };
	for (size_t i = 0; i < count; i++) {
		if (reader->connector_items[i].kind != LT_MAP)
			continue;
		reader->subject = lt_arena_printf(&reader->scratch,
			"connector %s: ", reader->harness->connectors[i].id);
		link_mate(reader, i);
		link_list(reader, i, AFTER, seen);
		link_list(reader, i, FITS, seen);
		link_list(reader, i, UNLIKE, seen);
		check_was(reader, i, &earlier);
	}
	reader->subject = "";
	lt_hash_finish(&earlier);
	check_fits_against_unlike(reader);
}

static void check_hazards(struct lt_reader *reader)
{
	for (size_t i = 0; i < reader->harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &reader->harness->hazards[i];
		if (!hazard->energy)
			continue;
		const char *shown = lt_shown(reader, hazard->energy);
		if (!hazard->isolate) {
			lt_warning(reader->diags, hazard->place,
				"hazard %s: isolate: is not described", shown);
			lt_hint(reader->diags,
				"write under isolate: which breaker or valve cuts it off, and how "
				"to lock it");
		}
		if (!hazard->prove) {
			lt_warning(reader->diags, hazard->place,
				"hazard %s: prove: is not described", shown);
			lt_hint(reader->diags,
				"write under prove: where to measure that no energy is left");
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
			"no connector mates with component %s", id);
		lt_hint(reader->diags, "name it with mates: at its connector, or remove it");
	}
}

/* One that was not found may well be the one that nobody names. */
static void check_mouldings(struct lt_reader *reader)
{
	for (size_t i = 0; i < reader->moulding_count; i++) {
		const struct lt_moulding *moulding = &reader->mouldings[i];
		const char *id = moulding->of.id;
		if (moulding->used || reader->moulding_lost ||
			lt_hash_get(&reader->moulding_index, id) != i)
			continue;
		lt_warning(reader->diags, moulding->of.place, "no connector has moulding %s", id);
		lt_hint(reader->diags, "name it with moulding: at its connectors, or remove it");
	}
}

/* Screws that lie in one cup cannot be told apart. */
static void check_cups(struct lt_reader *reader)
{
	const struct lt_harness *harness = reader->harness;
	struct lt_hash cups = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->cup == NULL)
			continue;
		const size_t first = lt_hash_put(&cups, connector->cup, i);
		if (first == LT_HASH_NONE)
			continue;
		lt_error(reader->diags, value_place(reader, i, "cup"),
			"%s and %s cannot both be in cup %s", harness->connectors[first].id,
			connector->id, connector->cup);
		lt_hint(reader->diags, "give each set a cup or bag of its own");
	}
	lt_hash_finish(&cups);
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
		lt_warning(reader->diags, value_place(reader, i, "port"),
			"connectors %s and %s both mate with port %s of component %s",
			harness->connectors[first].id, connector->id, connector->port,
			harness->components[connector->component].id);
		lt_hint(reader->diags, "check the markings on the machine");
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
	lt_warning(reader->diags, value_place(reader, connector, "bundle"),
		"connector %s: bundle: %.4g mm is too thin, because the bare conductors alone need "
		"%.4g mm",
		of->id, of->bundle, least);
	lt_hint(reader->diags, "measure again over all wires, or correct the size of the wires");
}

static void check_numbering(struct lt_reader *reader)
{
	const struct lt_harness *harness = reader->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		if (connector->numbering.path == LT_WAYS_NONE || connector->ways ||
			reader->ways_of[i] || reader->ways_lost[i])
			continue;
		const char *key = lt_node_get(&reader->connector_items[i], "numbering")
					  ? "numbering"
					  : "moulding";
		lt_error(reader->diags, value_place(reader, i, key),
			"connector %s: numbering: the connector has no ways", connector->id);
		lt_hint(reader->diags, "write under ways: how many ways it has");
	}
}

void lt_check(struct lt_reader *reader)
{
	check_numbering(reader);
	check_hazards(reader);
	if (!reader->harness->connector_count)
		return; /* why there are none was reported */
	check_components(reader);
	check_mouldings(reader);
	check_ports(reader);
	check_cups(reader);
	lt_wires_each(reader->harness, check_bundle, reader);
}
