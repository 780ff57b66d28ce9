/* What the files that read a description share. */
#ifndef LOOMTAG_HARNESS_READ_H
#define LOOMTAG_HARNESS_READ_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/harness.h"

#define LT_ID_MAX 32u    /* characters */
#define LT_TEXT_MAX 500u /* bytes */
#define LT_WIRES_OF_A_WAY 2

/* Stands in for an id that is missing or wrong, in a description that has errors. */
#define LT_ID_UNKNOWN "?"

/* One way of one connector, while its wires are gathered from the connector and the wire list. */
struct lt_way_entry {
	size_t connector;
	const struct lt_connector *of; /* the same */
	const char *name;
	struct lt_colour colours[LT_WIRES_OF_A_WAY];
	size_t colour_count;
	size_t listed;                 /* wires of the wire list that end here */
	bool taken[LT_WIRES_OF_A_WAY]; /* own colours that are those of listed wires */
	bool own;                      /* the connector's own `wires` names it */
};

/* What connectors may take over. */
struct lt_moulding {
	struct lt_connector of; /* as if it were a connector */
	bool used;
	bool ways_lost; /* why its ways are not known was reported */
};

/* Two connectors that `fits` or `unlike` names together. */
struct lt_fit_pair {
	size_t low, high;
	bool unlike;
	struct lt_place place;
};

struct lt_reader {
	struct lt_harness *harness;
	struct lt_diags *diags;
	struct lt_arena scratch;   /* the tree, and what reading alone needs */
	char shown[LT_QUOTE_SIZE]; /* lt_shown */
	const char *subject;       /* what messages begin with: "connector X1: "; "" at the top */

	bool mate_lost;                        /* a connector mates nothing that is listed */
	const struct lt_node *connector_items; /* the connectors' maps */
	struct lt_hash connectors, components; /* id to index */
	const char **connector_ids, **component_ids;
	bool has_components; /* the description lists them */

	struct lt_moulding *mouldings;
	size_t moulding_count;
	struct lt_hash moulding_index; /* id to index */
	const char **moulding_ids;
	bool mouldings_cut;  /* there are more than are possible */
	bool moulding_lost;  /* a connector names one that is not listed */
	bool *ways_lost;     /* by connector: why its ways are not known was reported */
	bool *ways_lost_now; /* of the connector or moulding that is being read */
	unsigned hints_left; /* looking for the nearest of many ids is slow: not for ever */

	struct lt_way_entry *ways;
	size_t way_count, way_room;
	struct lt_hash way_index; /* "INDEX.WAY" to index in `ways` */
	size_t *ways_of;          /* how many ways each connector has so far */

	struct lt_fit_pair *pairs;
	size_t pair_count, pair_room;
	struct lt_hash doubts; /* ambiguous colours that were warned of */
};

/* How one key of a map is read: `into` is the object's member at `offset`. A field with no `read`
 * is known, and read elsewhere. */
struct lt_field {
	const char *key;
	void (*read)(struct lt_reader *reader, void *into, const char *key,
		const struct lt_node *value);
	size_t offset;
};
#define LT_FIELDS_MAX 48

/* Reads the fields of a map in the order of the table, and reports keys that are not in it.
 * `what` is what the map describes: "a connector". */
void lt_read_fields(struct lt_reader *reader, void *object, const struct lt_node *map,
	const struct lt_field *fields, size_t count, const char *what);

/* An error at a node or a place: the subject, then a message that stands alone. What is wrong with
 * the value of a key begins with the key: "bundle: "6.2" is not a length". */
void lt_read_error(struct lt_reader *reader, const struct lt_node *node, const char *format, ...)
	__attribute__((format(printf, 3, 4)));
void lt_read_error_at(struct lt_reader *reader, struct lt_place place, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

/* The error that a map has no such key. */
void lt_read_missing(struct lt_reader *reader, const struct lt_node *map, const char *what,
	const char *key);

/* Text as a message quotes it; until the next call. */
const char *lt_shown(struct lt_reader *reader, const char *text);

/* A node's place, with the file name that the harness owns. */
struct lt_place lt_read_place(const struct lt_reader *reader, const struct lt_node *node);

/* The place of a key's value; none where the map has no such key. */
struct lt_place lt_value_place(const struct lt_reader *reader, const struct lt_node *map,
	const char *key);

/* The text of a field in one line, in the harness's arena; NULL when it is wrong, which was
 * reported. Runs of white space become one space. */
const char *lt_read_text(struct lt_reader *reader, const char *key, const struct lt_node *value);

/* The scalar as written; NULL, and reported, when it is a list or map, or empty. */
const char *lt_read_word(struct lt_reader *reader, const char *key, const struct lt_node *value);

/* An id; NULL when it is wrong, which was reported. */
const char *lt_read_id(struct lt_reader *reader, const char *key, const struct lt_node *value);

/* The id of a component, connector or moulding (`what`), which is entered with its index;
 * LT_ID_UNKNOWN for one that is missing or wrong, which was reported. `items` are the maps by
 * index. */
const char *lt_read_own_id(struct lt_reader *reader, const struct lt_node *map, const char *what,
	struct lt_hash *ids, size_t index, const struct lt_node *items);

/* A whole number from 1 to `max`; false, and reported, when it is not. */
bool lt_read_count(unsigned *count, struct lt_reader *reader, const char *key,
	const struct lt_node *value, unsigned max);

/* A wire's colour; messages begin with `key`: "way 2" or "colour". False, and reported, when it is
 * none. */
bool lt_read_colour(struct lt_colour *out, struct lt_reader *reader, const char *key,
	const struct lt_node *value);

/* True for a map; reports anything else. `what` is what it describes, `example` how. */
bool lt_read_is_map(struct lt_reader *reader, const struct lt_node *node, const char *what,
	const char *example);

/* What a list holds; a single value counts as a list of one. Returns how many: 0 for an empty
 * text, which was reported, and for an empty list, which was not. */
size_t lt_read_list(const struct lt_node **items, struct lt_reader *reader, const char *key,
	const struct lt_node *value);

/* `read` functions of fields: into a text, an id, a wire size; and into an unsigned number or enum
 * what one of the words of the key means. */
void lt_field_text(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_field_choice(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_field_id(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_field_size(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);

/* Parts of a description; each reports what is wrong in it. */
void lt_read_components(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_read_hazards(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_read_finish(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_read_mouldings(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_read_connectors(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);
void lt_read_wire_list(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);

/* `ways`, as a number or a list of names; `into` is the connector. */
void lt_read_way_names(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);

/* Where a way stands in the connector's list, from 0; LT_NONE where the list has no such name, or
 * the connector no list. log n. */
size_t lt_way_position(const struct lt_connector *connector, const char *name);

/* True when the text could be marked on a moulding as the name of a way. */
bool lt_way_name_valid(const char *text);

/* A connector's own `wires`; `into` is the connector. */
void lt_read_ways(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value);

/* Gives each connector the ways that were gathered, in their order. */
void lt_settle_ways(struct lt_reader *reader);

/* The index of the component that a connector's mate is where none are listed: entered with its
 * first mention. */
size_t lt_component_mentioned(struct lt_reader *reader, const char *id, struct lt_place place);

/* Adds "did you mean M1?" when one of the ids is near. */
void lt_hint_nearest(struct lt_reader *reader, const char *word, const char *const *ids,
	size_t count);

/* Finds what mates, after, fits and unlike name, and checks was. */
void lt_link(struct lt_reader *reader);

/* Reports what is wrong only when all is read, and what is not wrong and still doubtful. */
void lt_check(struct lt_reader *reader);

/* Sets the reconnection order; false, with the cycle reported, when there is none. */
bool lt_order(struct lt_reader *reader);

#endif
