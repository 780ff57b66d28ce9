/* The map as a whole: which pages there are, and in which order. */
#include <stdlib.h>

#include "loomtag/words.h"
#include "map/parts.h"

struct lt_map {
	struct lt_arena arena;
	struct lt_map_input input;
	double width, height;
	struct lt_map_title title;
	struct lt_map_area area; /* of the pages, but for the overview */
	struct lt_overview overview;
	struct lt_flow hazards; /* no pages where the overview has them in full */
	struct lt_panels panels;
	struct lt_map_tables *indexes, *wires;
	size_t index_pages;
};

static bool place_overview(struct lt_map *map, struct lt_diags *diags)
{
	struct lt_overview_options options = LT_OVERVIEW_OPTIONS_INIT;
	options.width = map->width;
	options.height = map->height;
	options.margin = map->title.margin;
	options.head = map->title.head;
	options.foot = map->title.foot;
	options.text_least = LT_MAP_TEXT_LEAST;
	return lt_overview_place(&map->overview, &map->input, &options, diags);
}

static void place_hazards(struct lt_map *map)
{
	size_t page = map->overview.hazards_page;
	if (page != 0)
		lt_map_hazards_place(&map->hazards, &map->input, &map->area);
	lt_map_title_hazards(&map->title, &map->arena, page != 0 ? page : 1);
}

/* The pages before the panels. */
static size_t before_panels(const struct lt_map *map)
{
	return map->overview.page_count + map->hazards.page_count + map->index_pages;
}

size_t lt_map_page_of(const struct lt_map *map, size_t connector)
{
	return before_panels(map) + map->panels.page_of[connector] + 1;
}

static bool place_indexes(struct lt_map *map, size_t *pages, struct lt_diags *diags)
{
	for (size_t i = 0; i < map->input.tags->harness->connector_count; i++)
		pages[i] = lt_map_page_of(map, i);
	lt_map_tables_destroy(map->indexes);
	map->indexes =
		lt_map_tables_create(&map->input, LT_TABLES_INDEXES, pages, &map->area, diags);
	return map->indexes != NULL;
}

/* The indexes stand before the panels whose pages they name: they are placed once to see how many
 * pages they take, and again until that is so. Longer page numbers take no less room, so that the
 * pages grow to where they stay; the tries are bounded all the same. */
static bool place_tables(struct lt_map *map, struct lt_diags *diags)
{
	const size_t count = map->input.tags->harness->connector_count;
	size_t *pages = lt_arena_array(&map->arena, count, sizeof(*pages));
	for (int tries = 0; tries < 6; tries++) {
		if (!place_indexes(map, pages, diags))
			return false;
		size_t placed = lt_map_tables_pages(map->indexes);
		if (placed == map->index_pages)
			break;
		map->index_pages = placed;
	}
	map->wires = lt_map_tables_create(&map->input, LT_TABLES_WIRES, NULL, &map->area, diags);
	return map->wires != NULL;
}

struct lt_map *lt_map_create(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	const struct lt_map_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	struct lt_map *map = lt_alloc_array(1, sizeof(*map));
	*map = (struct lt_map){
		.width = options->width,
		.height = options->height,
	};
	lt_map_input_init(&map->input, &map->arena, tags, lookalikes, measure);
	bool good = lt_map_title_place(&map->title, &map->arena, &map->input, map->width,
		map->height, options->date, diags);
	const struct lt_map_title *title = &map->title;
	map->area = (struct lt_map_area){
		.x = title->margin,
		.y = title->margin + title->head,
		.width = map->width - 2 * title->margin,
		.height = map->height - 2 * title->margin - title->head - title->foot,
	};
	good = good && place_overview(map, diags);
	if (good)
		place_hazards(map);
	if (!good || !lt_panels_place(&map->panels, &map->input, &map->area, diags) ||
		!place_tables(map, diags)) {
		lt_map_destroy(map);
		return NULL;
	}
	return map;
}

void lt_map_destroy(struct lt_map *map)
{
	if (map == NULL)
		return;
	lt_map_tables_destroy(map->wires);
	lt_map_tables_destroy(map->indexes);
	lt_panels_finish(&map->panels);
	lt_flow_finish(&map->hazards);
	lt_overview_finish(&map->overview);
	lt_arena_finish(&map->arena);
	free(map);
}

size_t lt_map_pages(const struct lt_map *map)
{
	return before_panels(map) + map->panels.page_count + lt_map_tables_pages(map->wires);
}

/* What the pages of panels are called: "Connectors 4 to 9". Filled for all of them at once. */
struct numbers {
	unsigned first, last; /* 0: none on this page has a number */
};

/* Panels are in the order of their numbers, those without one last. */
static struct numbers *numbers_on_pages(const struct lt_map *map, struct lt_arena *arena)
{
	const struct lt_tags *tags = map->input.tags;
	struct numbers *on = lt_arena_array(arena, map->panels.page_count, sizeof(*on));
	for (size_t i = 0; i < tags->harness->connector_count; i++) {
		size_t connector = map->input.order[i];
		struct numbers *page = &on[map->panels.page_of[connector]];
		if (page->first == 0)
			page->first = tags->number_of[connector];
		if (tags->number_of[connector] != 0)
			page->last = tags->number_of[connector];
	}
	return on;
}

static const char *panels_title(struct lt_arena *arena, const struct numbers *numbers)
{
	struct lt_text title = { 0 };
	lt_map_add_connectors(&title, numbers->first, numbers->last);
	return lt_map_keep(arena, &title);
}

static bool draw_page(struct lt_map *map, struct lt_canvas *canvas, struct lt_arena *arena,
	const struct numbers *numbers, size_t page, struct lt_diags *diags)
{
	const size_t pages = lt_map_pages(map), overviews = map->overview.page_count;
	const size_t indexes = overviews + map->hazards.page_count;
	const size_t before = before_panels(map), panels = map->panels.page_count;
	canvas->begin_page(canvas->data, map->width, map->height);
	const char *what;
	bool good = true;
	if (page < overviews) {
		what = lt_map_words.overview;
		lt_overview_draw(canvas, &map->overview, page);
	} else if (page < indexes) {
		what = lt_map_words.hazards;
		lt_flow_draw_page(&map->hazards, canvas, page - overviews, map->area.x,
			map->area.y);
	} else if (page < before) {
		what = lt_map_tables_title(map->indexes, page - indexes);
		lt_map_tables_draw(canvas, map->indexes, page - indexes);
	} else if (page - before < panels) {
		what = panels_title(arena, &numbers[page - before]);
		good = lt_panels_draw(canvas, &map->panels, page - before, diags);
	} else {
		what = lt_map_tables_title(map->wires, page - before - panels);
		lt_map_tables_draw(canvas, map->wires, page - before - panels);
	}
	lt_map_title_draw(canvas, &map->title, what, page + 1, pages);
	return canvas->end_page(canvas->data, diags) && good;
}

bool lt_map_draw(struct lt_map *map, struct lt_canvas *canvas, struct lt_diags *diags)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	const struct numbers *numbers = numbers_on_pages(map, &arena);
	bool good = true;
	for (size_t page = 0; good && page < lt_map_pages(map); page++)
		good = draw_page(map, canvas, &arena, numbers, page, diags);
	lt_arena_finish(&arena);
	return good;
}
