/* What the parts of a map have in common. Lengths in mm. */
#ifndef LOOMTAG_MAP_PARTS_H
#define LOOMTAG_MAP_PARTS_H

#include "loomtag/map.h"

/* The part of every page that a map's part may draw on, from the page's top-left corner. */
struct lt_map_area {
	double x, y, width, height;
};

/* The page, from 1, with the connector's panel. */
size_t lt_map_page_of(const struct lt_map *map, size_t connector);

#endif
