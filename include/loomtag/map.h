/* Map: a harness on paper: the overview with its trunk and branches, a panel for each connector,
 * indexes and wire tables.
 * To use it: lt_map_create, then lt_map_draw on a canvas. Other documents take the overview alone
 * (lt_overview_place, lt_overview_draw) or the front view of one connector (lt_map_front_place),
 * from what lt_map_input_init has gathered once for all of it. Lengths in mm. */
#ifndef LOOMTAG_MAP_H
#define LOOMTAG_MAP_H

#include "loomtag/draw.h"

/* The harness map on paper: overview, connector panels, wire list and index, each page complete in
 * itself: with its title block, cautions and QR code. */

/* No text on a map is smaller: 6 pt as an em, in mm. */
#define LT_MAP_TEXT_LEAST (6 * 25.4 / 72)

struct lt_map_options {
	double width, height; /* of the paper, mm */
	const char *date;     /* "2026-11-25" */
};
#define LT_MAP_OPTIONS_INIT \
	{ \
		297, 210, NULL \
	}

struct lt_map;

/* Places everything on pages. The arguments must outlive the map. NULL with an error when the paper
 * is too small. n log n in the number of connectors. */
struct lt_map *lt_map_create(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	const struct lt_map_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

/* Takes NULL. */
void lt_map_destroy(struct lt_map *map);

size_t lt_map_pages(const struct lt_map *map);

/* Draws all pages. Photographs are read as they are drawn, one at a time; one that cannot be read
 * causes a warning. */
bool lt_map_draw(struct lt_map *map, struct lt_canvas *canvas, struct lt_diags *diags);

/* What maps are made from, shared by all their parts. */
struct lt_map_input {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const struct lt_measure *measure;
	struct lt_wiring wiring;
	/* By connector: true if the text of a hazard contains its id as a word, in upper or lower
	 * case. */
	const bool *dangers;
	/* Connectors in the order of their numbers, those without one last; and the place of each
	 * in it. */
	const size_t *order, *rank;
};

/* Fills it in. The arguments must outlive it; the rest is from `arena`. n log n. */
void lt_map_input_init(struct lt_map_input *out, struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_measure *measure);

/* A connector or component at a place. */
struct lt_map_spot {
	const char *place; /* NULL: not given */
	size_t connector;  /* LT_NONE: a component that no connector goes to */
	size_t component;  /* the component that is here; LT_NONE: the connector itself is here */
	size_t rank;       /* the connector's, or LT_NONE */
};

/* All connectors and components, sorted by lt_place_compare of their places, then by rank; at the
 * same place a connector before its component. A connector without a place is left out, but not its
 * component if that has one. The caller frees; n log n. */
struct lt_map_spot *lt_map_spots(size_t *count, const struct lt_harness *harness,
	const size_t *rank);

/* A connector's front view: its ways as they are seen on the mating face of the harness half. */
struct lt_map_front {
	double width, height;             /* 0 for a connector without ways to count */
	const struct lt_drawing *drawing; /* from the arena */
};

/* Places it in `width` (at least 35); no piece of it is higher than `piece` (at least 40). */
void lt_map_front_place(struct lt_map_front *out, struct lt_arena *arena,
	const struct lt_map_input *input, size_t connector, double width, double piece);

/* Draws it with its top-left corner at 0, 0. */
void lt_map_front_draw(struct lt_canvas *canvas, const struct lt_map_front *front);

/* The overview: the harness as it lies on a forming board. Placing and drawing are separate
 * functions.
 *
 * On every page a trunk lies along the page and a branch leaves it for every connector, in the
 * order of their places along the harness. At a branch's end are a badge with the number, a label
 * and, beside it, the component. */

struct lt_overview_options {
	double width, height; /* of the page */
	double margin;        /* on all sides */
	double head, foot;    /* within the margins, kept free for others */
	double text_least;    /* no text has a smaller em */
	bool alternating; /* branches alternate between above and below; tests compare with it */
};
#define LT_OVERVIEW_OPTIONS_INIT \
	{ \
		297, 210, 10, 0, 0, LT_MAP_TEXT_LEAST, false \
	}

struct lt_overview {
	struct lt_arena arena;
	double width, height, text; /* the em of its smallest text */
	struct lt_overview_page *pages;
	size_t page_count;
	/* 0 if every page has the hazards in full. Else the pages only name them, and refer to this
	 * page, from 1, which follows the overview and has them in full. */
	size_t hazards_page;
};

/* Places the overview. The text is as large as the least number of pages allows. `out` is
 * initialised by the call; finish it either way. n log n in the number of connectors: the search
 * for sides is bounded by the room on a page. Error: a page that has no room for one connector. */
bool lt_overview_place(struct lt_overview *out, const struct lt_map_input *input,
	const struct lt_overview_options *options, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_overview_finish(struct lt_overview *overview);

/* Draws one page's overview, page from 0, between begin_page and end_page. */
void lt_overview_draw(struct lt_canvas *canvas, const struct lt_overview *overview, size_t page);

#endif
