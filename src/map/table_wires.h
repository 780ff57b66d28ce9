/* The wires of a harness as a map lists them. */
#ifndef LOOMTAG_MAP_TABLE_WIRES_H
#define LOOMTAG_MAP_TABLE_WIRES_H

#include "loomtag/map.h"
#include "map/table.h"

struct lt_strand_end {
	size_t connector; /* LT_NONE: the description does not say where it goes */
	const char *way;
};

/* A wire. Its texts live as long as the harness and the arena. */
struct lt_strand {
	struct lt_strand_end ends[2]; /* the first is always described */
	struct lt_colour colour;      /* none where it is not known for sure */
	const char *colour_text;      /* its code, with PE where it is protective earth; or words */
	const char *colour_words;     /* or NULL */
	struct lt_wire_size size;
	const char *size_text; /* as written, or words */
	const char *name;      /* or NULL */
	size_t order;          /* of the description */
};

/* Every line of the wire list; and one whose other end is not described for each of the connectors'
 * own colours that no line accounts for. A line that gives no colour has that of the way at its
 * ends, and one without a size has the connectors'; all are named where there is more than one. In
 * the order of their numbers, the end with the lower one first. For the caller to free; n log n. */
struct lt_strand *lt_strands_gather(size_t *count, struct lt_arena *arena,
	const struct lt_tables_from *from);

#endif
