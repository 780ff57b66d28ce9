/* Connectors as far as they need no other connector, and the mouldings that they take keys from. */
#include <string.h>

#include "harness/read.h"

#define ROWS_MAX 20u
#define BUNDLE_MAX 200.0 /* mm */
#define PIECES_MAX 999u

static void read_rows(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	unsigned *rows = into;
	*rows = 0; /* not those of a moulding where its own are wrong */
	lt_read_count(rows, reader, key, value, ROWS_MAX);
}

/* A length in mm; false, and reported, when it is none. */
static bool read_length(double *mm, struct lt_reader *reader, const char *key,
	const struct lt_node *value)
{
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return false;
	if (lt_length_read(mm, word))
		return true;
	lt_read_error(reader, value, "%s: %s is not a length", key, lt_shown(reader, word));
	lt_hint(reader->diags, "write a number and mm, cm or in, for example 6.2 mm");
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
	lt_read_error(reader, value, "bundle: %s must be more than 0 and at most %g mm",
		lt_shown(reader, value->text), BUNDLE_MAX);
	lt_hint(reader->diags, "measure over all wires, or remove the key bundle");
}

static void read_at(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	double mm;
	if (!read_length(&mm, reader, key, value))
		return;
	if (mm < 0) {
		lt_read_error(reader, value, "at: %s is before the start of the harness",
			lt_shown(reader, value->text));
		lt_hint(reader->diags, "measure from the end of the harness that is the datum");
		return;
	}
	connector->has_at = true;
	connector->at = mm;
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
	const char *photo = lt_read_text(reader, key, value);
	if (!photo)
		return;
	if (photo[0] != '/' && !has_parent(photo)) {
		*(const char **)into = photo;
		return;
	}
	lt_read_error(reader, value, "photo: %s is outside the folder of the description",
		lt_shown(reader, photo));
	lt_hint(reader->diags,
		"copy the photo into the folder of the description, and write its name there");
}

static const char *const path_words[] = { "across", "down", "around", "clockwise",
	"anticlockwise" };
#define PATHS (sizeof path_words / sizeof *path_words)

static void report_numbering(struct lt_reader *reader, const struct lt_node *value,
	const char *word)
{
	static const char *const words[] = { "across", "down", "around", "clockwise",
		"anticlockwise", "from", "right" };
	const size_t count = sizeof words / sizeof *words;
	lt_read_error(reader, value,
		"numbering: %s is not one of across, down, around, clockwise, anticlockwise, "
		"from right",
		lt_shown(reader, word));
	int nearest = lt_nearest(word, words, count);
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean %s?",
			nearest < (int)PATHS ? words[nearest] : "from right");
	else
		lt_hint(reader->diags,
			"look at the mating face of the harness half. Way 1 is at the top left, or "
			"with from right at the top right");
}

/* Reads one word, or the two of "from right", and moves behind them; false when reported. */
static bool read_numbering_word(struct lt_way_order *order, struct lt_reader *reader,
	const struct lt_node *value, const char **at)
{
	const char *word = lt_arena_copy(&reader->scratch, *at, strcspn(*at, " "));
	*at += strlen(word) + strspn(*at + strlen(word), " ");
	if (strcmp(word, "from") == 0 && strcspn(*at, " ") == 5 && strncmp(*at, "right", 5) == 0) {
		*at += 5 + strspn(*at + 5, " ");
		order->from_right = true;
		return true;
	}
	for (size_t i = 0; i < PATHS; i++) {
		if (strcmp(word, path_words[i]) != 0)
			continue;
		enum lt_way_path path = (enum lt_way_path)(LT_WAYS_ACROSS + i);
		if (order->path == LT_WAYS_NONE || order->path == path) {
			order->path = path;
			return true;
		}
		lt_read_error(reader, value, "numbering: %s and %s cannot be used together",
			path_words[order->path - LT_WAYS_ACROSS], word);
		lt_hint(reader->diags, "keep the one that is correct");
		return false;
	}
	report_numbering(reader, value, word);
	return false;
}

static bool is_circle(enum lt_way_path path)
{
	return path == LT_WAYS_CLOCKWISE || path == LT_WAYS_ANTICLOCKWISE;
}

static void read_numbering(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_way_order *out = into;
	struct lt_way_order order = { 0 };
	const char *at = lt_read_text(reader, key, value);
	*out = order;
	if (!at)
		return;
	while (*at)
		if (!read_numbering_word(&order, reader, value, &at))
			return;
	if (order.path == LT_WAYS_NONE)
		order.path = LT_WAYS_ACROSS;
	if (is_circle(order.path) && order.from_right) {
		lt_read_error(reader, value, "numbering: %s and from right cannot be used together",
			path_words[order.path - LT_WAYS_ACROSS]);
		lt_hint(reader->diags, "remove from right. A circle has way 1 at the top");
		return;
	}
	*out = order;
}

/* Of a thing its own size; else that of the wires. */
static void read_size(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	if (lt_kind_is_thing(connector->kind))
		lt_field_text(reader, &connector->dimension, key, value);
	else
		lt_field_size(reader, &connector->size, key, value);
}

/* False, and reported, for a key that only things have. */
static bool is_of_things(struct lt_reader *reader, const struct lt_connector *connector,
	const char *key, const struct lt_node *value)
{
	if (lt_kind_is_thing(connector->kind))
		return true;
	lt_read_error(reader, value, "%s: a %s cannot have this key", key,
		lt_kind_name(connector->kind));
	lt_hint(reader->diags, "it is for kind: screw, cover, spring, seal, cap or bracket");
	return false;
}

static void read_pieces(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	if (is_of_things(reader, connector, key, value))
		lt_read_count(&connector->count, reader, key, value, PIECES_MAX);
}

static void read_cup(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	if (is_of_things(reader, connector, key, value))
		lt_field_text(reader, &connector->cup, key, value);
}

static void read_cap(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	unsigned cap = 0;
	if (connector->kind == LT_HOSE || connector->kind == LT_PLUG) {
		lt_field_choice(reader, &cap, key, value);
		connector->cap = cap == 1;
		return;
	}
	lt_read_error(reader, value, "%s: a %s has no open ends to close", key,
		lt_kind_name(connector->kind));
	lt_hint(reader->diags, "cap: is for kind: hose or plug");
}

/* A number and a unit of torque: newton metres (ISO 80000-4), or pound-force feet or inches. */
static void read_torque(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	static const char *const units[] = { "N m", "Nm", "N\u00B7m", "cN m", "cNm", "lbf ft",
		"lbf in" };
	const char *text = lt_read_text(reader, key, value);
	if (text == NULL)
		return;
	const size_t digits = strspn(text, "0123456789");
	size_t number = digits;
	if (text[number] == '.')
		number += 1 + strspn(text + number + 1, "0123456789");
	const char *unit = text + number + strspn(text + number, " ");
	bool known = false;
	for (size_t i = 0; i < sizeof units / sizeof *units; i++)
		known = known || strcmp(unit, units[i]) == 0;
	const bool nothing = strspn(text, "0.") == number;
	if (digits > 0 && text[number - 1] != '.' && known && !nothing) {
		*(const char **)into = text;
		return;
	}
	lt_read_error(reader, value, "%s: %s is not a torque", key, lt_shown(reader, text));
	lt_hint(reader->diags, "write a number and N m, cN m, lbf ft or lbf in: 1.2 N m");
}

static const struct lt_field connector_fields[] = {
	{ "id", NULL, 0 },
	{ "name", lt_field_text, offsetof(struct lt_connector, name) },
	{ "mates", NULL, 0 },
	{ "moulding", NULL, 0 },
	{ "port", lt_field_text, offsetof(struct lt_connector, port) },
	{ "kind", lt_field_choice, offsetof(struct lt_connector, kind) },
	{ "family", lt_field_text, offsetof(struct lt_connector, family) },
	{ "ways", lt_read_way_names, 0 },
	{ "key", lt_field_text, offsetof(struct lt_connector, key) },
	{ "fits", NULL, 0 },
	{ "unlike", NULL, 0 },
	/* Behind `ways`, which they are held against. */
	{ "wires", lt_read_ways, 0 },
	{ "size", read_size, 0 },
	{ "count", read_pieces, 0 },
	{ "tool", lt_field_text, offsetof(struct lt_connector, tool) },
	{ "torque", read_torque, offsetof(struct lt_connector, torque) },
	{ "cup", read_cup, 0 },
	{ "cap", read_cap, 0 },
	{ "caution", lt_field_text, offsetof(struct lt_connector, caution) },
	{ "bundle", read_bundle, offsetof(struct lt_connector, bundle) },
	{ "place", lt_field_text, offsetof(struct lt_connector, where) },
	{ "lock", lt_field_text, offsetof(struct lt_connector, lock) },
	{ "orient", lt_field_text, offsetof(struct lt_connector, orient) },
	{ "seat", lt_field_text, offsetof(struct lt_connector, seat) },
	{ "after", NULL, 0 },
	{ "at", read_at, 0 },
	{ "rows", read_rows, offsetof(struct lt_connector, rows) },
	{ "numbering", read_numbering, offsetof(struct lt_connector, numbering) },
	{ "latch", lt_field_choice, offsetof(struct lt_connector, latch) },
	{ "tag", lt_field_choice, offsetof(struct lt_connector, marking) },
	{ "sides", lt_field_choice, offsetof(struct lt_connector, sides) },
	{ "was", lt_field_id, offsetof(struct lt_connector, was) },
	{ "photo", read_photo, offsetof(struct lt_connector, photo) },
	{ "note", lt_field_text, offsetof(struct lt_connector, note) },
};
_Static_assert(sizeof connector_fields / sizeof *connector_fields <= LT_FIELDS_MAX,
	"all keys fit where unknown ones are found");

/* The moulding that a connector names; LT_NONE for none, or one that is not listed, which was
 * reported. */
static size_t moulding_of(struct lt_reader *reader, const struct lt_node *node)
{
	const struct lt_node *value = lt_node_get(node, "moulding");
	const char *id = value ? lt_read_word(reader, "moulding", value) : NULL;
	if (value && value->kind == LT_MAP)
		lt_hint(reader->diags,
			"write these keys at the connector itself, or list them under mouldings: "
			"with an id");
	if (!id)
		return LT_NONE;
	const size_t index = lt_hash_get(&reader->moulding_index, id);
	if (index != LT_HASH_NONE) {
		reader->mouldings[index].used = true;
		return index;
	}
	*reader->ways_lost_now = true;
	if (reader->mouldings_cut)
		return LT_NONE;
	reader->moulding_lost = true;
	lt_read_error(reader, value, "moulding: %s is not listed", lt_shown(reader, id));
	if (!reader->moulding_count)
		lt_hint(reader->diags, "list it under mouldings:, with its id");
	else
		lt_hint_nearest(reader, id, reader->moulding_ids, reader->moulding_count);
	return LT_NONE;
}

/* Rows against ways, of a connector or moulding that `node` describes. What a connector takes from
 * its moulding alone was reported there. */
static void check_rows(struct lt_reader *reader, const struct lt_connector *of,
	const struct lt_node *node)
{
	const struct lt_node *rows = lt_node_get(node, "rows"), *ways = lt_node_get(node, "ways");
	const struct lt_node *at = rows ? rows : ways;
	if (!of->ways || of->rows <= of->ways || !at)
		return;
	lt_read_error(reader, at, "rows: %u is more than the number of ways, %u", of->rows,
		of->ways);
	if (rows && ways)
		lt_hint(reader->diags, "count the rows along the longer side of the moulding");
	else if (rows)
		lt_hint(reader->diags,
			"its moulding gives the number of ways. Correct rows, or write ways here "
			"too");
	else
		lt_hint(reader->diags,
			"its moulding gives the rows. Correct ways, or write rows here too");
}

/* The order in which ways are counted, against rows; as above. */
static void check_circle(struct lt_reader *reader, const struct lt_connector *of,
	const struct lt_node *node)
{
	const struct lt_node *rows = lt_node_get(node, "rows");
	const struct lt_node *numbering = lt_node_get(node, "numbering");
	const struct lt_node *at = numbering ? numbering : rows;
	if (!is_circle(of->numbering.path) || !of->rows || !at)
		return;
	lt_read_error(reader, at, "numbering: %s cannot be used together with rows",
		path_words[of->numbering.path - LT_WAYS_ACROSS]);
	if (rows && numbering)
		lt_hint(reader->diags, "remove the key rows, or write across, down or around");
	else if (numbering)
		lt_hint(reader->diags,
			"its moulding gives the rows. Write across, down or around, or remove rows "
			"from the moulding");
	else
		lt_hint(reader->diags,
			"its moulding gives the numbering. Remove the key rows, or write numbering "
			"here too");
}

/* A moulding's keys, which a connector takes over. */
static void take_moulding(struct lt_reader *reader, struct lt_connector *connector,
	const struct lt_moulding *from)
{
	const struct lt_connector *moulding = &from->of;
	*reader->ways_lost_now = from->ways_lost;
	connector->kind = moulding->kind;
	connector->family = moulding->family;
	connector->ways = moulding->ways;
	connector->way_names = moulding->way_names;
	connector->rows = moulding->rows;
	connector->numbering = moulding->numbering;
	connector->latch = moulding->latch;
	connector->key = moulding->key;
	connector->lock = moulding->lock;
	connector->seat = moulding->seat;
}

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
		lt_read_own_id(reader, node, "a connector", &reader->connectors, index, items);
	reader->subject = lt_arena_printf(&reader->scratch, "connector %s: ", connector->id);
	reader->ways_lost_now = &reader->ways_lost[index];
	const size_t moulding = moulding_of(reader, node);
	if (moulding != LT_NONE)
		take_moulding(reader, connector, &reader->mouldings[moulding]);
	lt_read_fields(reader, connector, node, connector_fields,
		sizeof connector_fields / sizeof *connector_fields, "a connector");
	check_rows(reader, connector, node);
	check_circle(reader, connector, node);
	/* A thing, and a clip that mates with nothing, have no other half to mark. */
	const bool lone = connector->kind == LT_CLIP && !lt_node_get(node, "mates");
	if ((lone || lt_kind_is_thing(connector->kind)) && !lt_node_get(node, "sides"))
		connector->sides = 1;
	connector->name_place = lt_value_place(reader, node, "name");
	connector->port_place = lt_value_place(reader, node, "port");
	connector->where_place = lt_value_place(reader, node, "place");
	connector->photo_place = lt_value_place(reader, node, "photo");
	reader->subject = "";
}

static void read_moulding(struct lt_reader *reader, size_t index, const struct lt_node *items)
{
	static const struct lt_field fields[] = {
		{ "id", NULL, 0 },
		{ "kind", lt_field_choice, offsetof(struct lt_connector, kind) },
		{ "family", lt_field_text, offsetof(struct lt_connector, family) },
		{ "ways", lt_read_way_names, 0 },
		{ "rows", read_rows, offsetof(struct lt_connector, rows) },
		{ "numbering", read_numbering, offsetof(struct lt_connector, numbering) },
		{ "latch", lt_field_choice, offsetof(struct lt_connector, latch) },
		{ "key", lt_field_text, offsetof(struct lt_connector, key) },
		{ "lock", lt_field_text, offsetof(struct lt_connector, lock) },
		{ "seat", lt_field_text, offsetof(struct lt_connector, seat) },
	};
	struct lt_connector *moulding = &reader->mouldings[index].of;
	const struct lt_node *node = &items[index];
	moulding->place = lt_read_place(reader, node);
	moulding->id = LT_ID_UNKNOWN;
	if (!lt_read_is_map(reader, node, "a moulding", "{id: T3, family: 6.3 mm tab housing}"))
		return;
	moulding->id =
		lt_read_own_id(reader, node, "a moulding", &reader->moulding_index, index, items);
	reader->subject = lt_arena_printf(&reader->scratch, "moulding %s: ", moulding->id);
	reader->ways_lost_now = &reader->mouldings[index].ways_lost;
	lt_read_fields(reader, moulding, node, fields, sizeof fields / sizeof *fields,
		"a moulding");
	check_rows(reader, moulding, node);
	check_circle(reader, moulding, node);
	reader->subject = "";
}

void lt_read_mouldings(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	(void)into;
	const struct lt_node *items;
	size_t count = lt_read_list(&items, reader, key, value);
	if (count > LT_CONNECTORS_MAX) {
		lt_read_error(reader, &items[LT_CONNECTORS_MAX],
			"there are %zu mouldings, but at most %u are possible", count,
			LT_CONNECTORS_MAX);
		lt_hint(reader->diags, "list only mouldings that a connector has");
		reader->mouldings_cut = true;
		count = LT_CONNECTORS_MAX;
	}
	reader->mouldings = lt_arena_array(&reader->scratch, count, sizeof *reader->mouldings);
	reader->moulding_count = count;
	reader->moulding_ids =
		lt_arena_array(&reader->scratch, count, sizeof *reader->moulding_ids);
	for (size_t i = 0; i < count; i++) {
		read_moulding(reader, i, items);
		reader->moulding_ids[i] = reader->mouldings[i].of.id;
	}
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
		lt_read_error(reader, value, "%s: the list is empty", key);
		lt_hint(reader->diags, "list at least one connector, with its id");
		return;
	}
	if (count > LT_CONNECTORS_MAX) {
		lt_read_error(reader, &items[LT_CONNECTORS_MAX],
			"there are %zu connectors, but at most %u are possible", count,
			LT_CONNECTORS_MAX);
		lt_hint(reader->diags,
			"write a description of its own for each part of the module");
		return;
	}
	harness->connectors = lt_arena_array(&harness->arena, count, sizeof *harness->connectors);
	harness->connector_count = count;
	reader->connector_items = items;
	reader->connector_ids =
		lt_arena_array(&reader->scratch, count, sizeof *reader->connector_ids);
	reader->ways_of = lt_arena_array(&reader->scratch, count, sizeof *reader->ways_of);
	reader->ways_lost = lt_arena_array(&reader->scratch, count, sizeof *reader->ways_lost);
	for (size_t i = 0; i < count; i++) {
		read_connector(reader, i, items);
		reader->connector_ids[i] = harness->connectors[i].id;
	}
}
