/* The hazards of a map on pages of their own, for when the overview has no room for them. Lengths
 * in mm. */
#ifndef LOOMTAG_MAP_HAZARDS_H
#define LOOMTAG_MAP_HAZARDS_H

#include "loomtag/map.h"
#include "loomtag/page.h"
#include "map/parts.h"

struct lt_map_hazards {
	struct lt_flow flow;
	struct lt_map_area area;
	struct lt_measure measure;
	size_t page_count;
};

/* Sets all hazards in full, on as many pages as they take; finish it. */
void lt_map_hazards_place(struct lt_map_hazards *out, const struct lt_map_input *input,
	const struct lt_map_area *area);
/* Takes a zeroed struct, too. */
void lt_map_hazards_finish(struct lt_map_hazards *hazards);

/* Draws one page, from 0, between begin_page and end_page. */
void lt_map_hazards_draw(struct lt_canvas *canvas, const struct lt_map_hazards *hazards,
	size_t page);

#endif
