/* The tables of a map, one after the other, in one column of rows, or in more on wide paper. */
#include <stdlib.h>

#include "loomtag/base.h"
#include "loomtag/words.h"
#include "map/table.h"

/* With less than that the wire list's columns would be too narrow for its words. */
#define WIDTH_LEAST 160.0
#define HEIGHT_LEAST 60.0

/* From here on a page has two columns of rows, with white space between; and from here on where no
 * text has to be broken for it. */
#define TWO_COLUMNS 340.0
#define TWO_IF_THEY_FIT 220.0
#define BETWEEN 12.0

/* From here on it may have three, where that takes fewer pages. */
#define THREE_IF_THEY_FIT 250.0

#define TABLES 2
struct kind {
	const char *const *title; /* points to a text of lt_table_words */
	bool (*set)(struct lt_flow *flow, const struct lt_tables_from *from);
	bool narrow; /* it may stand in three columns */
};
static const struct {
	struct kind tables[TABLES];
	size_t count;
} kinds[] = {
	[LT_TABLES_INDEXES] = { { { &lt_table_words.index_by_number, lt_table_by_number, false },
					{ &lt_table_words.index_by_place, lt_table_by_place,
						true } },
		2 },
	[LT_TABLES_WIRES] = { { { &lt_table_words.wire_list, lt_table_wires, false } }, 1 },
};

/* Tables that follow each other on pages with the same number of columns. */
struct part {
	struct lt_flow flow; /* its pages are columns of the map's */
	size_t columns;
	size_t first_table, table_count;
	size_t behind[TABLES]; /* by table in it: the flow's items behind its last one */
	size_t first_page, pages;
};

struct lt_map_tables {
	struct lt_arena arena;
	struct lt_map_area area;
	const struct lt_measure *measure;
	const struct kind *kinds;
	size_t kind_count;
	struct part parts[TABLES];
	size_t part_count;
	size_t pages;
	const char **titles; /* by page */
};

static double column_width(const struct lt_map_tables *tables, size_t columns)
{
	double between = BETWEEN * (double)(columns - 1);
	return (tables->area.width - between) / (double)columns;
}

static void begin_flow(struct lt_flow *flow, const struct lt_map_tables *tables, size_t columns)
{
	lt_flow_init(flow, tables->measure, column_width(tables, columns), tables->area.height, 0,
		0);
}

static bool fits_in(const struct lt_map_tables *tables, size_t table, size_t columns,
	const struct lt_tables_from *from)
{
	struct lt_flow flow;
	begin_flow(&flow, tables, columns);
	bool fits = tables->kinds[table].set(&flow, from);
	lt_flow_finish(&flow);
	return fits;
}

static size_t columns_for(const struct lt_map_tables *tables, size_t table,
	const struct lt_tables_from *from)
{
	if (tables->area.width >= TWO_COLUMNS)
		return 2;
	if (tables->area.width < TWO_IF_THEY_FIT)
		return 1;
	return fits_in(tables, table, 2, from) ? 2 : 1;
}

static void set_tables(struct lt_map_tables *tables, const size_t columns[TABLES],
	const struct lt_tables_from *from)
{
	struct part *part = NULL;
	for (size_t i = 0; i < tables->kind_count; i++) {
		if (part == NULL || part->columns != columns[i]) {
			part = &tables->parts[tables->part_count++];
			part->columns = columns[i];
			part->first_table = i;
			begin_flow(&part->flow, tables, columns[i]);
		}
		tables->kinds[i].set(&part->flow, from);
		part->behind[part->table_count++] = part->flow.item_count;
	}
	for (size_t i = 0; i < tables->part_count; i++) {
		part = &tables->parts[i];
		lt_flow_lay(&part->flow);
		part->first_page = tables->pages;
		part->pages = (part->flow.page_count + part->columns - 1) / part->columns;
		tables->pages += part->pages;
	}
}

static void forget_parts(struct lt_map_tables *tables)
{
	for (size_t i = 0; i < tables->part_count; i++) {
		lt_flow_finish(&tables->parts[i].flow);
		tables->parts[i] = (struct part){ 0 };
	}
	tables->part_count = tables->pages = 0;
}

/* Sets the tables, those that may in three columns where that takes fewer pages. */
static void set_best(struct lt_map_tables *tables, const struct lt_tables_from *from)
{
	size_t columns[TABLES] = { 0 }, more[TABLES] = { 0 };
	bool other = false;
	for (size_t i = 0; i < tables->kind_count; i++) {
		columns[i] = more[i] = columns_for(tables, i, from);
		if (tables->area.width < THREE_IF_THEY_FIT || !tables->kinds[i].narrow ||
			!fits_in(tables, i, 3, from))
			continue;
		more[i] = 3;
		other = true;
	}
	set_tables(tables, columns, from);
	if (!other)
		return;
	size_t pages = tables->pages;
	forget_parts(tables);
	set_tables(tables, more, from);
	if (tables->pages < pages)
		return;
	forget_parts(tables);
	set_tables(tables, columns, from);
}

/* Notes which tables each page has something of: a bit each. */
static void note_tables(unsigned *on, const struct part *part)
{
	for (size_t i = 0; i < part->flow.placed_count; i++) {
		const struct lt_flow_place *place = &part->flow.placed[i];
		size_t table = 0;
		while (place->item >= part->behind[table])
			table++;
		on[part->first_page + place->page / part->columns] |=
			1u << (part->first_table + table);
	}
}

static void name_pages(struct lt_map_tables *tables)
{
	unsigned *on = lt_arena_array(&tables->arena, tables->pages + 1, sizeof *on);
	for (size_t i = 0; i < tables->part_count; i++)
		note_tables(on, &tables->parts[i]);
	tables->titles = lt_arena_array(&tables->arena, tables->pages + 1, sizeof *tables->titles);
	for (size_t i = 0; i < tables->pages; i++) {
		struct lt_text text = { 0 };
		for (size_t j = 0; j < tables->kind_count; j++)
			if ((on[i] >> j & 1) != 0)
				lt_text_printf(&text, text.length > 0 ? ", %s" : "%s",
					*tables->kinds[j].title);
		tables->titles[i] = lt_map_keep(&tables->arena, &text);
	}
}

struct lt_map_tables *lt_map_tables_create(const struct lt_map_input *input,
	enum lt_map_tables_kind kind, const size_t *page_of, const struct lt_map_area *area,
	struct lt_diags *diags)
{
	if (!(area->width >= WIDTH_LEAST && area->height >= HEIGHT_LEAST)) {
		lt_error(diags, lt_place_none(),
			"the page leaves %.0f x %.0f mm for the wire list and the index, which need "
			"%.0f x %.0f mm",
			area->width, area->height, WIDTH_LEAST, HEIGHT_LEAST);
		lt_hint(diags, "choose a larger paper size");
		return NULL;
	}
	struct lt_map_tables *tables = lt_alloc(sizeof *tables);
	*tables = (struct lt_map_tables){ .area = *area, .measure = input->measure };
	tables->kinds = kinds[kind].tables;
	tables->kind_count = kinds[kind].count;
	size_t connectors = input->tags->harness->connector_count;
	size_t *rank = lt_arena_array(&tables->arena, connectors + 1, sizeof *rank);
	struct lt_tables_from from = {
		.tags = input->tags, .wiring = &input->wiring, .page_of = page_of, .rank = rank
	};
	from.order = lt_table_ranks(rank, &tables->arena, input);
	set_best(tables, &from);
	name_pages(tables);
	return tables;
}

void lt_map_tables_destroy(struct lt_map_tables *tables)
{
	if (tables == NULL)
		return;
	forget_parts(tables);
	lt_arena_finish(&tables->arena);
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
	const struct part *part = tables->parts;
	while (page >= part->first_page + part->pages)
		part++;
	double step = column_width(tables, part->columns) + BETWEEN;
	for (size_t i = 0; i < part->columns; i++)
		lt_flow_draw_page(&part->flow, canvas,
			(page - part->first_page) * part->columns + i,
			tables->area.x + (double)i * step, tables->area.y);
}
