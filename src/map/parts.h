/* What the parts of a map have in common. Lengths in mm. */
#ifndef LOOMTAG_MAP_PARTS_H
#define LOOMTAG_MAP_PARTS_H

#include "loomtag/map.h"

/* What a map is made of; nothing in it is owned. */
struct lt_map_input {
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const struct lt_measure *measure;
};

/* The part of every page that a map's part may draw on, from the page's top-left corner. */
struct lt_map_area {
	double x, y, width, height;
};

#endif
