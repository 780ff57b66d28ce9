/* The tables of a map: one flow over all pages, in one column, or in two on wide paper. */
#include "paper/map_tables.h"

#include <stdlib.h>

#include "loomtag/text.h"
#include "paper/map_table.h"

/* With less than that the wire list's columns would be too narrow for its words. */
#define WIDTH_LEAST 160.0
#define HEIGHT_LEAST 60.0

/* From here on a page has two columns of rows, with white space between. */
#define TWO_COLUMNS 340.0
#define BETWEEN 12.0

#define TABLES 3
static const char *const titles[TABLES] = { "Wire list", "Index by number", "Index by place" };

struct lt_map_tables {
	struct lt_map_area area;
	struct lt_measure measure;
	struct lt_flow flow; /* its pages are columns of the map's */
	size_t columns;
	size_t pages;
	const char **titles; /* by page; from the flow's arena */
};

/* Which tables each page has something of, as their titles joined. */
static void name_pages(struct lt_map_tables *tables, const size_t *behind)
{
	struct lt_flow *flow = &tables->flow;
	bool(*on)[TABLES] = lt_alloc_array(tables->pages + 1, sizeof *on);
	for (size_t i = 0; i < tables->pages; i++)
		for (size_t j = 0; j < TABLES; j++)
			on[i][j] = false;
	for (size_t i = 0; i < flow->placed_count; i++) {
		size_t table = 0;
		while (flow->placed[i].item >= behind[table])
			table++;
		on[flow->placed[i].page / tables->columns][table] = true;
	}
	tables->titles = lt_arena_array(&flow->arena, tables->pages + 1, sizeof *tables->titles);
	struct lt_text text = { 0 };
	for (size_t i = 0; i < tables->pages; i++) {
		lt_text_clear(&text);
		for (size_t j = 0; j < TABLES; j++)
			if (on[i][j])
				lt_text_printf(&text, "%s%s", text.length > 0 ? " and " : "",
					titles[j]);
		tables->titles[i] = lt_arena_strdup(&flow->arena, lt_text_string(&text));
	}
	lt_text_finish(&text);
	free(on);
}

struct lt_map_tables *lt_map_tables_create(const struct lt_map_input *input, const size_t *page_of,
	const struct lt_map_area *area, struct lt_diags *diags)
{
	if (!(area->width >= WIDTH_LEAST && area->height >= HEIGHT_LEAST)) {
		lt_error(diags, lt_place_none(),
			"the page has %.0f x %.0f mm for the wire list and the index, which need "
			"%.0f x %.0f mm",
			area->width, area->height, WIDTH_LEAST, HEIGHT_LEAST);
		lt_hint(diags, "take a larger page");
		return NULL;
	}
	struct lt_map_tables *tables = lt_alloc(sizeof *tables);
	*tables = (struct lt_map_tables){ .area = *area,
		.measure = *input->measure,
		.columns = area->width >= TWO_COLUMNS ? 2 : 1 };
	double between = BETWEEN * (double)(tables->columns - 1);
	struct lt_flow *flow = &tables->flow;
	lt_flow_init(flow, &tables->measure, (area->width - between) / (double)tables->columns,
		area->height, 0, 0);
	size_t *rank = lt_arena_array(&flow->arena, input->tags->harness->connector_count + 1,
		sizeof *rank);
	struct lt_tables_from from = { .tags = input->tags, .page_of = page_of, .rank = rank };
	from.order = lt_table_ranks(rank, &flow->arena, input->tags);
	size_t behind[TABLES];
	lt_table_wires(flow, &from);
	behind[0] = flow->item_count;
	lt_table_by_number(flow, &from);
	behind[1] = flow->item_count;
	lt_table_by_place(flow, &from);
	behind[2] = flow->item_count;
	lt_flow_lay(flow);
	tables->pages = (flow->page_count + tables->columns - 1) / tables->columns;
	name_pages(tables, behind);
	return tables;
}

void lt_map_tables_destroy(struct lt_map_tables *tables)
{
	if (tables == NULL)
		return;
	lt_flow_finish(&tables->flow);
	free(tables);
}

size_t lt_map_tables_pages(const struct lt_map_tables *tables)
{
	return tables->pages;
}

const char *lt_map_tables_title(const struct lt_map_tables *tables, size_t page)
{
	return tables->titles[page];
}

void lt_map_tables_draw(struct lt_canvas *canvas, const struct lt_map_tables *tables, size_t page)
{
	const struct lt_flow *flow = &tables->flow;
	double step = lt_flow_width(flow) + BETWEEN;
	for (size_t i = 0; i < tables->columns; i++)
		lt_flow_draw_page(flow, canvas, page * tables->columns + i,
			tables->area.x + (double)i * step, tables->area.y);
}
