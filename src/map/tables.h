/* The tables of a map: the wire list with its summary, and the index by number and by place.
 * Lengths in mm. */
#ifndef LOOMTAG_MAP_TABLES_H
#define LOOMTAG_MAP_TABLES_H

#include "loomtag/map.h"
#include "map/parts.h"

struct lt_map_tables;

/* The tables that stand together. */
enum lt_map_tables_kind {
	LT_TABLES_INDEXES, /* by number, by place */
	LT_TABLES_WIRES    /* the wire list and its summary */
};

/* Places these tables. `page_of` gives the page, as printed, of each connector's panel; it is not
 * kept, and may be NULL for the wires. NULL with an error when the area is too small for a row. */
struct lt_map_tables *lt_map_tables_create(const struct lt_map_input *input,
	enum lt_map_tables_kind kind, const size_t *page_of, const struct lt_map_area *area,
	struct lt_diags *diags);
/* Takes NULL. */
void lt_map_tables_destroy(struct lt_map_tables *tables);

size_t lt_map_tables_pages(const struct lt_map_tables *tables);

/* What a page holds, for its title block: "Wire list", "Index"; page from 0. */
const char *lt_map_tables_title(const struct lt_map_tables *tables, size_t page);

/* Draws one page, from 0, between begin_page and end_page. */
void lt_map_tables_draw(struct lt_canvas *canvas, const struct lt_map_tables *tables, size_t page);

#endif
