/* One page of the overview, placed. */
#ifndef LOOMTAG_MAP_OVERVIEW_PAGE_H
#define LOOMTAG_MAP_OVERVIEW_PAGE_H

#include "loomtag/map.h"
#include "map/overview.h"

/* Which stops are on which page: page i has firsts[i] to firsts[i + 1] - 1. */
struct lt_overview_plan {
	struct lt_overview_sizes sizes;
	double scale;                 /* of the text, in its least size */
	double height;                /* of the page between head and foot */
	enum lt_overview_hazards how; /* the head tells of hazards */
	double hazards;               /* height that they take */
	double lists_most;            /* and that lists may take */
	size_t *firsts;
	size_t count;
};

/* The tiers that a board of this height has room for on each side. */
size_t lt_overview_page_tiers(const struct lt_overview_sizes *sizes, double height);

/* Fills pages[page]; those before it are filled. */
void lt_overview_place_page(struct lt_overview_page *pages, size_t page,
	const struct lt_overview_context *context, const struct lt_overview_plan *plan,
	struct lt_overview_box board);

/* Adds what the components' boxes of a page say, once context->boxes is known. */
void lt_overview_say_components(struct lt_overview_page *page,
	const struct lt_overview_context *context, const struct lt_overview_sizes *sizes);

#endif
