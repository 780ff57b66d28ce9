/* A YAML document as a tree of text, each node with its place.
 *
 * YAML 1.1 by libyaml's events, UTF-8, one document. Nothing is typed: every scalar is the text
 * that was written. Anchors, aliases and tags are refused, as are keys given twice in a mapping,
 * keys that are not scalars, and nesting deeper than LT_YAML_DEPTH. */
#ifndef LOOMTAG_YAML_H
#define LOOMTAG_YAML_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"

#define LT_YAML_DEPTH 16
#define LT_YAML_NODES 2000000u

enum lt_node_kind { LT_SCALAR, LT_LIST, LT_MAP };

struct lt_node {
	enum lt_node_kind kind;
	struct lt_place place;
	const char *text;      /* LT_SCALAR: its text, NUL inside is refused; "" when empty */
	bool quoted;           /* LT_SCALAR: written in quotes */
	struct lt_node *items; /* LT_LIST, LT_MAP: the values */
	struct lt_node *keys;  /* LT_MAP: their keys, scalars */
	size_t count;
};

/* Reads a document into a tree owned by `arena`. `file` is copied into it for the places. Gives
 * the source to `diags` as well. An empty document is an error. False after any error; then *root
 * is the whole tree where reading could go on (a key given twice has its first value), so that
 * what else is wrong can be told as well, or a zeroed scalar, `text` NULL, where it could not.
 * Linear in `length`; at most LT_YAML_NODES keys and values. */
bool lt_yaml_read(struct lt_node *root, struct lt_arena *arena, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags);

/* The value of a key in a map, or NULL. Linear in the map. */
const struct lt_node *lt_node_get(const struct lt_node *map, const char *key);

/* Tells of every key in the map that is not among `known`, with the nearest known one as a hint. */
bool lt_node_only(const struct lt_node *map, const char *const *known, size_t count,
	const char *what, struct lt_diags *diags);

/* Writes a text as messages show it: in double quotes, and cut with an ellipsis behind
 * LT_QUOTE_MAX characters. Returns `out`. */
#define LT_QUOTE_MAX 60
#define LT_QUOTE_SIZE (4 * LT_QUOTE_MAX + 6)
const char *lt_quote(char out[LT_QUOTE_SIZE], const char *text);

#endif
