/* The harness map on paper: overview, connector panels, wire list and index, each page complete in
 * itself: with its title block, cautions and QR code. */
#ifndef LOOMTAG_MAP_H
#define LOOMTAG_MAP_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/canvas.h"
#include "loomtag/lookalike.h"
#include "loomtag/measure.h"
#include "loomtag/tags.h"

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

/* The page, from 1, with the connector's panel. */
size_t lt_map_page_of(const struct lt_map *map, size_t connector);

/* Draws all pages. Photographs are read as they are drawn, one at a time; one that cannot be read
 * is warned of. */
bool lt_map_draw(struct lt_map *map, struct lt_canvas *canvas, struct lt_diags *diags);

#endif
