/* The indexes of a map: what is 12, and what is behind the left cover. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/table.h"

#define WORDS lt_table_words

static const char *number_text(struct lt_arena *arena, unsigned number)
{
	return number != 0 ? lt_arena_printf(arena, "%u", number) : WORDS.by_eye;
}

static const char *page_text(struct lt_arena *arena, const struct lt_tables_from *from,
	size_t connector)
{
	return lt_arena_printf(arena, "%zu", from->page_of[connector]);
}

/* "12H 12M", and below it that there is no sticker. */
static const char *tags_text(struct lt_arena *arena, const struct lt_tags *tags, size_t connector)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, tags, connector);
	struct lt_text text = { 0 };
	for (size_t i = 0; i < count; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, tags->number_of[connector], sides[i]);
		lt_text_printf(&text, i > 0 ? " %s" : "%s", tag);
	}
	if (count > 0 && tags->harness->connectors[connector].marking == LT_MARK_PAPER)
		lt_text_printf(&text, "\n%s", WORDS.no_sticker);
	const char *kept = lt_map_keep(arena, &text);
	return kept != NULL ? kept : "";
}

static const char *component_text(struct lt_arena *arena, const struct lt_harness *harness,
	size_t connector)
{
	const struct lt_connector *of = &harness->connectors[connector];
	const struct lt_component *component =
		of->component == LT_NONE ? NULL : &harness->components[of->component];
	struct lt_text text = { 0 };
	lt_text_add(&text, component == NULL
				   ? WORDS.not_described
				   : lt_table_named(arena, component->name, component->id));
	if (of->port != NULL) {
		lt_text_add(&text, ", ");
		lt_joint_add_port(&text, of);
	}
	if (component != NULL && component->replace)
		lt_text_printf(&text, ", %s", WORDS.new_part);
	const char *shown = lt_arena_shown(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return shown;
}

/* The connector's place, and the component's where that is another one. */
static const char *place_text(struct lt_arena *arena, const struct lt_harness *harness,
	size_t connector)
{
	size_t component = harness->connectors[connector].component;
	const char *here = harness->connectors[connector].where;
	const char *there = component != LT_NONE ? harness->components[component].where : NULL;
	if (here != NULL && there != NULL && strcmp(here, there) == 0)
		there = NULL;
	here = lt_arena_shown(arena, here);
	if (there == NULL)
		return here != NULL ? here : WORDS.not_described;
	const char *id = lt_arena_shown(arena, harness->components[component].id);
	there = lt_arena_shown(arena, there);
	return here != NULL ? lt_arena_printf(arena, "%s\n%s: %s", here, id, there)
			    : lt_arena_printf(arena, "%s: %s", id, there);
}

enum { BY_NUMBER, BY_TAGS, BY_CONNECTOR, BY_COMPONENT, BY_WHERE, BY_PAGE, BY_COUNT };
static void add_connector(struct lt_table *table, struct lt_arena *arena,
	const struct lt_tables_from *from, size_t connector)
{
	const struct lt_harness *harness = from->tags->harness;
	const struct lt_connector *of = &harness->connectors[connector];
	unsigned number = from->tags->number_of[connector];
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	row->cells[BY_NUMBER] = number_text(arena, number);
	row->cells[BY_TAGS] = tags_text(arena, from->tags, connector);
	row->cells[BY_CONNECTOR] = lt_table_named(arena, of->name, of->id);
	row->cells[BY_COMPONENT] = component_text(arena, harness, connector);
	row->cells[BY_WHERE] = place_text(arena, harness, connector);
	row->cells[BY_PAGE] = page_text(arena, from, connector);
	row->turned = number != 0 && lt_upside_down(number) != 0;
}

static void add_retired(struct lt_table *table, struct lt_arena *arena, unsigned number)
{
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_WIDE_TEXT);
	row->cells[0] = number_text(arena, number);
	row->cells[1] = WORDS.retired;
	row->turned = lt_upside_down(number) != 0;
}

bool lt_table_by_number(struct lt_flow *flow, const struct lt_tables_from *from)
{
	const struct lt_tags *tags = from->tags;
	struct lt_arena *arena = &flow->arena;
	const struct lt_table_column columns[BY_COUNT] = {
		[BY_NUMBER] = { .name = WORDS.number, .strong = true, .whole = true },
		[BY_TAGS] = { .name = WORDS.tags, .whole = true },
		[BY_CONNECTOR] = { .name = WORDS.connector },
		[BY_COMPONENT] = { .name = WORDS.mate },
		[BY_WHERE] = { .name = WORDS.place },
		[BY_PAGE] = { .name = WORDS.page, .strong = true, .whole = true },
	};
	struct lt_table table = {
		.title = WORDS.index_by_number, .columns = columns, .column_count = BY_COUNT
	};
	for (unsigned number = 1; number <= tags->number_max; number++) {
		if (tags->connector_of[number] != LT_NONE)
			add_connector(&table, arena, from, tags->connector_of[number]);
		else if (tags->retired[number])
			add_retired(&table, arena, number);
	}
	bool headed = false;
	for (size_t i = 0; i < tags->harness->connector_count; i++) {
		if (tags->number_of[from->order[i]] != 0)
			continue;
		if (!headed)
			lt_table_add(&table, LT_TABLE_GROUP)->cells[0] = WORDS.no_number;
		headed = true;
		add_connector(&table, arena, from, from->order[i]);
	}
	return lt_table_set(flow, &table);
}

enum { AT_NUMBER, AT_WHAT, AT_PAGE, AT_COUNT };
/* One row; `both`: the connector and its component are in one place. */
static void add_spot(struct lt_table *table, struct lt_arena *arena,
	const struct lt_tables_from *from, const struct lt_map_spot *spot, bool both)
{
	const struct lt_harness *harness = from->tags->harness;
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	size_t component = spot->component;
	if (both)
		component = harness->connectors[spot->connector].component;
	const struct lt_component *of =
		component != LT_NONE ? &harness->components[component] : NULL;
	const char *part = of != NULL ? lt_table_named(arena, of->name, of->id) : NULL;
	struct lt_text what = { 0 };
	if (spot->connector == LT_NONE) {
		lt_table_add_unmated(&what, part);
		row->cells[AT_NUMBER] = WORDS.does_not_apply;
		row->cells[AT_WHAT] = lt_map_keep(arena, &what);
		row->cells[AT_PAGE] = WORDS.does_not_apply;
		return;
	}
	const struct lt_connector *connector = &harness->connectors[spot->connector];
	const char *joint = lt_table_named(arena, connector->name, connector->id);
	unsigned number = from->tags->number_of[spot->connector];
	row->cells[AT_NUMBER] = number_text(arena, number);
	if (part == NULL)
		lt_text_add(&what, joint);
	else if (both)
		lt_table_add_joint_and_mate(&what, joint, part);
	else
		lt_table_add_mate_of(&what, part, joint);
	row->cells[AT_WHAT] = lt_map_keep(arena, &what);
	row->cells[AT_PAGE] = page_text(arena, from, spot->connector);
	row->turned = number != 0 && lt_upside_down(number) != 0;
}

bool lt_table_by_place(struct lt_flow *flow, const struct lt_tables_from *from)
{
	struct lt_arena *arena = &flow->arena;
	const struct lt_table_column columns[AT_COUNT] = {
		[AT_NUMBER] = { .name = WORDS.number, .strong = true, .whole = true },
		[AT_WHAT] = { .name = WORDS.what_is_there },
		[AT_PAGE] = { .name = WORDS.page, .strong = true, .whole = true },
	};
	struct lt_table table = {
		/* Else nobody would look for what is behind the drum among the letters D. */
		.title = WORDS.index_by_place_how,
		.columns = columns,
		.column_count = AT_COUNT
	};
	size_t count;
	struct lt_map_spot *spots = lt_map_spots(&count, from->tags->harness, from->rank);
	for (size_t i = 0; i < count; i++) {
		const char *place = spots[i].place;
		if (i == 0 || lt_place_compare(spots[i - 1].place, place) != 0)
			lt_table_add(&table, LT_TABLE_GROUP)->cells[0] =
				place != NULL ? lt_arena_shown(arena, place)
					      : WORDS.place_not_described;
		bool both = i + 1 < count && spots[i].connector != LT_NONE &&
			    spots[i].connector == spots[i + 1].connector &&
			    lt_place_compare(place, spots[i + 1].place) == 0;
		add_spot(&table, arena, from, &spots[i], both);
		i += both;
	}
	free(spots);
	return lt_table_set(flow, &table);
}
