/* What the tables of a map share: a table as rows of cells, set as blocks of a flow. Lengths in mm.
 */
#ifndef LOOMTAG_MAP_TABLE_H
#define LOOMTAG_MAP_TABLE_H

#include "map/parts.h"

#define LT_TABLE_COLUMNS 7

struct lt_table_column {
	const char *name;
	bool strong;
	bool whole;  /* its texts are better not broken, if that leaves enough to the others */
	bool swatch; /* a row's colour stands before the text */
};

enum lt_table_row_kind {
	LT_TABLE_CELLS, /* a text a column */
	LT_TABLE_GROUP, /* cells[0], over the whole width: what the rows after it have in common */
	LT_TABLE_WIDE_TEXT /* cells[1] over all columns but the first, or over all without cells[0]
			    */
};

struct lt_table_row {
	enum lt_table_row_kind kind;
	const char *cells[LT_TABLE_COLUMNS]; /* lines are parted by '\n'; or NULL */
	struct lt_colour colour;
	bool turned; /* the first cell is a number that reads as another one upside down */
};

struct lt_table {
	const char *title;
	const struct lt_table_column *columns;
	size_t column_count;
	struct lt_table_row *rows;
	size_t count, room;
};

/* Appends an empty row; the pointer is good until the next one. */
struct lt_table_row *lt_table_add(struct lt_table *table, enum lt_table_row_kind kind);

/* Sets title, column heads and rows as blocks behind those that the flow has. Columns are as wide
 * as what is in them; where that is too much, the wide ones share what the others leave. Columns
 * that no row has anything in are left out. Texts must outlive the call alone. Frees the
 * rows. Returns false where a column had to be narrower than what is in it. */
bool lt_table_set(struct lt_flow *flow, const struct lt_table *table);

/* What the tables are made from. */
struct lt_tables_from {
	const struct lt_tags *tags;
	const struct lt_wiring *wiring;
	const size_t *page_of; /* by connector */
	const size_t *rank;    /* by connector: by number, those without one last, by id */
	const size_t *order;   /* connectors by rank */
};

/* Connectors by rank; and the other way round in `rank`. n log n. */
size_t *lt_table_ranks(size_t *rank, struct lt_arena *arena, const struct lt_map_input *input);

/* "motor power (X1)", or "X1" where it has no name; a component likewise. Without control
 * characters. */
const char *lt_table_named(struct lt_arena *arena, const char *name, const char *id);

/* The tables; the flow's arena is for texts. They return what lt_table_set does. */
bool lt_table_wires(struct lt_flow *flow, const struct lt_tables_from *from);
bool lt_table_by_number(struct lt_flow *flow, const struct lt_tables_from *from);
bool lt_table_by_place(struct lt_flow *flow, const struct lt_tables_from *from);

#endif
