/* The parts of a map, and what they have in common. Lengths in mm. */
#ifndef LOOMTAG_MAP_PARTS_H
#define LOOMTAG_MAP_PARTS_H

#include "loomtag/map.h"
#include "loomtag/page.h"

/* A part of a page, from its top-left corner. Without width: none. */
struct lt_map_area {
	double x, y, width, height;
};

/* The text as a copy in the arena, NULL for an empty one; the text is finished. */
const char *lt_map_keep(struct lt_arena *arena, struct lt_text *text);

/* The page, from 1, with the connector's panel. */
size_t lt_map_page_of(const struct lt_map *map, size_t connector);

/* What the QR code of a connector, or for LT_NONE of the map, holds, and how large it is; false
 * when it holds too much for one. Finish the payload either way. */
bool lt_map_symbol_plan(struct lt_qr_plan *plan, struct lt_text *payload,
	const struct lt_tags *tags, size_t connector);

/* What stands on every page: the title block at its head, hazards and cautions at its foot. */
struct lt_map_title {
	const struct lt_map_input *input;
	double width, height, margin; /* of the page; the margin is inside */
	double head, foot;     /* heights within the margins, with the space to what is between */
	const char *date;      /* or NULL: a line to write on */
	const char *hazards;   /* one line, whole; or NULL */
	const char **cautions; /* lines that fit the width */
	size_t caution_count;
	struct lt_qr qr; /* the harness's link or facts; modules 0: none */
	double module;
};

/* Works out the heights and encodes the QR code; all from `arena`. `out` keeps pointers to `input`
 * and `date`. */
bool lt_map_title_place(struct lt_map_title *out, struct lt_arena *arena,
	const struct lt_map_input *input, double width, double height, const char *date,
	struct lt_diags *diags);

/* Sets the line on hazards once it is known which page, from 1, has them in full: with their
 * energies where these fit, else with their number. */
void lt_map_title_hazards(struct lt_map_title *title, struct lt_arena *arena, size_t page);

/* Draws it; page from 1. `what` the page shows: "Overview". */
void lt_map_title_draw(struct lt_canvas *canvas, const struct lt_map_title *title, const char *what,
	size_t page, size_t pages);

/* Sets all hazards in full, on pages of their own: for when the overview has no room for them. The
 * flow is laid out; finish it. */
void lt_map_hazards_place(struct lt_flow *out, const struct lt_map_input *input,
	const struct lt_map_area *area);

/* All panels, in the order of their numbers, those without number last, on pages. The codes of
 * colours are explained in words before the first, where it leaves room on its page. */
struct lt_drawing;
struct lt_panels {
	struct lt_arena arena;
	size_t page_count;
	size_t *page_of; /* by connector, from 0 */
	struct lt_panel_spot *spots;
	size_t spot_count;
	struct lt_drawing *key; /* of colours, at the head of the first page; or NULL */
	struct lt_map_area area;
};

/* Finish `out` either way. Error: an area too small for a panel. */
bool lt_panels_place(struct lt_panels *out, const struct lt_map_input *input,
	const struct lt_map_area *area, struct lt_diags *diags);
/* Takes NULL or a zeroed struct. */
void lt_panels_finish(struct lt_panels *panels);

/* Draws a page of them, from 0, between begin_page and end_page. */
bool lt_panels_draw(struct lt_canvas *canvas, const struct lt_panels *panels, size_t page,
	struct lt_diags *diags);

/* The tables: the wire list with its summary, and the index by number and by place. */
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
