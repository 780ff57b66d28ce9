/* Connectors: their own keys, as far as they need no other connector. */
#include <string.h>

#include "harness/read.h"
#include "loomtag/base.h"

#define ROWS_MAX 20u
#define BUNDLE_MAX 200.0 /* mm */

static void read_kind(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const char *words[LT_KIND_COUNT];
	size_t index;
	for (size_t i = 0; i < LT_KIND_COUNT; i++)
		words[i] = lt_kind_name((enum lt_kind)i);
	if (lt_read_choice(&index, reader, key, value, words, LT_KIND_COUNT))
		*(enum lt_kind *)into = (enum lt_kind)index;
}

static void read_marking(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	static const char *const words[] = { "sticker", "paper", "none" };
	size_t index;
	if (lt_read_choice(&index, reader, key, value, words, 3))
		*(enum lt_marking *)into = (enum lt_marking)index;
}

static void read_sides(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	static const char *const words[] = { "1", "2" };
	size_t index;
	if (lt_read_choice(&index, reader, key, value, words, 2))
		*(unsigned *)into = (unsigned)index + 1;
}

static void read_number_of_ways(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	lt_read_count(into, reader, key, value, LT_WAYS_MAX);
}

static void read_rows(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	if (!lt_read_count(&connector->rows, reader, key, value, ROWS_MAX))
		return;
	if (connector->ways && connector->rows > connector->ways) {
		lt_error(reader->diags, lt_read_place(reader, value),
			"%s%u rows are more than its %u ways", reader->subject, connector->rows,
			connector->ways);
		lt_hint(reader->diags, "count rows along the moulding's longer side");
	}
}

/* A length from `least` to `most` mm; false, and told, when it is none. */
static bool read_length(double *mm, struct lt_reader *reader, const char *key,
	const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return false;
	if (lt_length_read(mm, word))
		return true;
	lt_error(reader->diags, lt_read_place(reader, value), "%s%s %s is not a length",
		reader->subject, key, lt_quote(shown, word));
	lt_hint(reader->diags, "write a number and mm, cm or in, such as 6.2 mm");
	return false;
}

static void read_bundle(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	double mm;
	if (!read_length(&mm, reader, key, value))
		return;
	if (mm > 0 && mm <= BUNDLE_MAX) {
		*(double *)into = mm;
		return;
	}
	lt_error(reader->diags, lt_read_place(reader, value),
		"%sbundle %s is not a diameter above 0 and up to %g mm", reader->subject,
		value->text, BUNDLE_MAX);
	lt_hint(reader->diags, "measure over all wires, or leave bundle out");
}

static void read_at(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	double mm;
	if (!read_length(&mm, reader, key, value))
		return;
	if (mm < 0) {
		lt_error(reader->diags, lt_read_place(reader, value),
			"%sat %s lies before the harness begins", reader->subject, value->text);
		lt_hint(reader->diags, "measure from the end of the harness that is the datum");
		return;
	}
	connector->has_at = true;
	connector->at = mm;
}

static void read_was(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	*(const char **)into = lt_read_id(reader, key, value);
}

static void read_name(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	connector->name = lt_read_text(reader, key, value);
	connector->name_place = lt_read_place(reader, value);
}

static void read_port(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	connector->port = lt_read_text(reader, key, value);
	connector->port_place = lt_read_place(reader, value);
}

static void read_where(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	connector->where = lt_read_text(reader, key, value);
	connector->where_place = lt_read_place(reader, value);
}

/* Whether a step of the path leads upwards. */
static bool has_parent(const char *path)
{
	for (const char *step = path; step != NULL; step = strchr(step, '/')) {
		step += *step == '/';
		if (strncmp(step, "..", 2) == 0 && (step[2] == '/' || step[2] == '\0'))
			return true;
	}
	return false;
}

/* A photograph is published with the map, so a description names none but those of its folder.
 * Where links lead is seen when it is read: lt_photo_check. */
static void read_photo(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	struct lt_connector *connector = into;
	const char *photo = lt_read_text(reader, key, value);
	if (!photo)
		return;
	connector->photo_place = lt_read_place(reader, value);
	if (photo[0] != '/' && !has_parent(photo)) {
		connector->photo = photo;
		return;
	}
	lt_error(reader->diags, connector->photo_place,
		"%sphoto %s is not in the description's folder", reader->subject,
		lt_quote(shown, photo));
	lt_hint(reader->diags,
		"put the photograph beside the description, and write its name from there on");
}

static const struct lt_field fields[] = {
	{ "id", NULL, 0 },
	{ "name", read_name, 0 },
	{ "mates", NULL, 0 },
	{ "port", read_port, 0 },
	{ "kind", read_kind, offsetof(struct lt_connector, kind) },
	{ "family", lt_field_text, offsetof(struct lt_connector, family) },
	{ "ways", read_number_of_ways, offsetof(struct lt_connector, ways) },
	{ "key", lt_field_text, offsetof(struct lt_connector, key) },
	{ "fits", NULL, 0 },
	{ "unlike", NULL, 0 },
	/* Behind `ways`, which they are held against. */
	{ "wires", lt_read_ways, 0 },
	{ "size", lt_field_size, offsetof(struct lt_connector, size) },
	{ "bundle", read_bundle, offsetof(struct lt_connector, bundle) },
	{ "place", read_where, 0 },
	{ "lock", lt_field_text, offsetof(struct lt_connector, lock) },
	{ "orient", lt_field_text, offsetof(struct lt_connector, orient) },
	{ "seat", lt_field_text, offsetof(struct lt_connector, seat) },
	{ "after", NULL, 0 },
	{ "at", read_at, 0 },
	{ "rows", read_rows, 0 },
	{ "numbering", lt_read_numbering, 0 },
	{ "latch", lt_read_latch, offsetof(struct lt_connector, latch) },
	{ "tag", read_marking, offsetof(struct lt_connector, marking) },
	{ "sides", read_sides, offsetof(struct lt_connector, sides) },
	{ "was", read_was, offsetof(struct lt_connector, was) },
	{ "photo", read_photo, 0 },
	{ "note", lt_field_text, offsetof(struct lt_connector, note) },
};

static void read_connector(struct lt_reader *reader, size_t index, const struct lt_node *items)
{
	struct lt_connector *connector = &reader->harness->connectors[index];
	const struct lt_node *node = &items[index];
	connector->place = lt_read_place(reader, node);
	connector->id = LT_ID_UNKNOWN;
	connector->component = LT_NONE;
	connector->sides = 2;
	if (!lt_read_is_map(reader, node, "a connector", "- id: X1"))
		return;
	connector->id =
		lt_read_own_id(reader, node, "connector", &reader->connectors, index, items);
	reader->subject = lt_arena_printf(&reader->scratch, "connector %s: ", connector->id);
	lt_read_fields(reader, connector, node, fields, sizeof fields / sizeof *fields,
		"a connector");
	reader->subject = "";
}

void lt_read_connectors(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_harness *harness = into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	if (!count) {
		if (value->kind == LT_SCALAR)
			return;
		lt_error(reader->diags, lt_read_place(reader, value), "%s is empty", key);
		lt_hint(reader->diags, "list at least one, with its id");
		return;
	}
	if (count > LT_CONNECTORS_MAX) {
		lt_error(reader->diags, lt_read_place(reader, &items[LT_CONNECTORS_MAX]),
			"there are %zu connectors, and %u are the most", count, LT_CONNECTORS_MAX);
		lt_hint(reader->diags, "divide the description at the module's own borders");
		return;
	}
	harness->connectors = lt_arena_array(&harness->arena, count, sizeof *harness->connectors);
	harness->connector_count = count;
	reader->connector_items = items;
	reader->connector_ids =
		lt_arena_array(&reader->scratch, count, sizeof *reader->connector_ids);
	reader->ways_of = lt_arena_array(&reader->scratch, count, sizeof *reader->ways_of);
	for (size_t i = 0; i < count; i++) {
		read_connector(reader, i, items);
		reader->connector_ids[i] = harness->connectors[i].id;
	}
}
