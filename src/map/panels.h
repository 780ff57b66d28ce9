/* Connector panels: what each connector looks like from the front, way by way, and all that there
 * is to know of it. A panel is first a list of placed boxes, then ink. Lengths in mm. */
#ifndef LOOMTAG_MAP_PANELS_H
#define LOOMTAG_MAP_PANELS_H

#include "loomtag/map.h"
#include "map/parts.h"

struct lt_panel;
struct lt_drawing;

/* All panels, in the order of their numbers, those without number last, on pages. The codes of
 * colours are told in words before the first, where it leaves room on its page. */
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

#endif
