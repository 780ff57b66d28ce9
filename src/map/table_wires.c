/* The wire list of a map, and its summary by colour and size. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/table_wires.h"

enum { FROM, FROM_NAME, TO, TO_NAME, COLOUR, SIZE, NAME, COLUMNS };
static const struct lt_table_column wire_columns[COLUMNS] = {
	[FROM] = { .name = "from", .strong = true, .whole = true },
	[FROM_NAME] = { .name = "connector" },
	[TO] = { .name = "to", .strong = true, .whole = true },
	[TO_NAME] = { .name = "connector" },
	[COLOUR] = { .name = "colour", .whole = true, .swatch = true },
	[SIZE] = { .name = "size", .whole = true },
	[NAME] = { .name = "wire" },
};

/* "12H way 1 (X1.1)". */
static const char *end_text(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_strand_end *end)
{
	char tag[LT_TAG_SIZE];
	unsigned number = tags->number_of[end->connector];
	const char *id = lt_arena_shown(arena, tags->harness->connectors[end->connector].id);
	const char *way = lt_arena_shown(arena, end->way);
	if (number == 0)
		return lt_arena_printf(arena, "no number, way %s (%s.%s)", way, id, way);
	lt_tag_write(tag, number, LT_SIDE_H);
	return lt_arena_printf(arena, "%s way %s (%s.%s)", tag, way, id, way);
}

static const char *name_text(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_strand_end *end)
{
	const char *name = tags->harness->connectors[end->connector].name;
	return name != NULL ? lt_arena_shown(arena, name) : "no name";
}

static void add_wire(struct lt_table *table, struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_strand *strand)
{
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	bool open = strand->ends[1].connector == LT_NONE;
	row->cells[FROM] = end_text(arena, tags, &strand->ends[0]);
	row->cells[FROM_NAME] = name_text(arena, tags, &strand->ends[0]);
	row->cells[TO] = open ? NULL : end_text(arena, tags, &strand->ends[1]);
	row->cells[TO_NAME] = open ? "not described" : name_text(arena, tags, &strand->ends[1]);
	row->cells[COLOUR] = strand->colour_text;
	row->cells[SIZE] = strand->size_text;
	row->cells[NAME] = strand->name != NULL ? lt_arena_shown(arena, strand->name) : NULL;
	row->colour = strand->colour;
}

/* In the order of IEC 60757, base colour first; those without a colour last. */
static int compare_colours(const struct lt_strand *a, const struct lt_strand *b)
{
	if (!a->colour.count != !b->colour.count)
		return a->colour.count > 0 ? -1 : 1;
	for (unsigned i = 0; i < a->colour.count && i < b->colour.count; i++)
		if (a->colour.hues[i] != b->colour.hues[i])
			return a->colour.hues[i] < b->colour.hues[i] ? -1 : 1;
	if (a->colour.count != b->colour.count)
		return a->colour.count < b->colour.count ? -1 : 1;
	return strcmp(a->colour_text, b->colour_text);
}

/* From thin to thick; those without a size last. */
static int compare_sizes(const struct lt_strand *a, const struct lt_strand *b)
{
	if (a->size.given != b->size.given)
		return a->size.given ? -1 : 1;
	double one = a->size.given ? lt_wire_area(&a->size) : 0;
	double other = b->size.given ? lt_wire_area(&b->size) : 0;
	if (one < other || one > other)
		return one < other ? -1 : 1;
	return strcmp(a->size_text, b->size_text);
}

static int compare_kinds(const void *one, const void *other)
{
	int colours = compare_colours(one, other);
	return colours != 0 ? colours : compare_sizes(one, other);
}

enum { SUM_COLOUR, SUM_WORDS, SUM_SIZE, SUM_WHOLE, SUM_OPEN, SUM_COLUMNS };
static const struct lt_table_column sum_columns[SUM_COLUMNS] = {
	[SUM_COLOUR] = { .name = "colour", .whole = true, .swatch = true },
	[SUM_WORDS] = { .name = "in words" },
	[SUM_SIZE] = { .name = "size" },
	[SUM_WHOLE] = { .name = "both ends described" },
	[SUM_OPEN] = { .name = "one end described" },
};

struct sum {
	size_t whole, open;
};

/* `listed`: the description says of any wire where it goes. */
static struct lt_table_row *add_sum(struct lt_table *table, struct lt_arena *arena, struct sum sum,
	bool listed)
{
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	if (listed)
		row->cells[SUM_WHOLE] = lt_arena_printf(arena, "%zu", sum.whole);
	row->cells[SUM_OPEN] = lt_arena_printf(arena, "%zu", sum.open);
	return row;
}

static void add_total(struct lt_table *table, struct lt_arena *arena, struct sum sum, bool listed)
{
	add_sum(table, arena, sum, listed)->cells[SUM_COLOUR] = "all";
	if (sum.open == 0 || !listed)
		return;
	lt_table_add(table, LT_TABLE_SAYS)->cells[1] =
		sum.open == 1 ? "Where the one with one end described goes is not described."
			      : lt_arena_printf(arena,
					"Where the %zu with one end described go is not described: "
					"two of them may be the ends of one wire.",
					sum.open);
}

/* Sorts the strands by colour and size, and counts them. */
static bool set_summary(struct lt_flow *flow, struct lt_strand *strands, size_t count, bool listed)
{
	struct lt_table_column columns[SUM_COLUMNS];
	struct lt_table table = {
		.title = "Wires by colour and size", .columns = columns, .column_count = SUM_COLUMNS
	};
	struct sum all = { 0 };
	memcpy(columns, sum_columns, sizeof columns);
	if (!listed) {
		columns[SUM_OPEN].name = "ends";
		lt_table_add(&table, LT_TABLE_SAYS)->cells[1] =
			"The description does not say where wires go; each connector's panel has "
			"its colours. Two ends may be those of one wire.";
	}
	qsort(strands, count, sizeof *strands, compare_kinds);
	for (size_t i = 0; i < count;) {
		const struct lt_strand *first = &strands[i];
		struct sum sum = { 0 };
		for (; i < count && compare_kinds(first, &strands[i]) == 0; i++) {
			bool open = strands[i].ends[1].connector == LT_NONE;
			sum.open += open;
			sum.whole += !open;
		}
		struct lt_table_row *row = add_sum(&table, &flow->arena, sum, listed);
		row->cells[SUM_COLOUR] = first->colour_text;
		row->cells[SUM_WORDS] = first->colour_words;
		row->cells[SUM_SIZE] = first->size_text;
		row->colour = first->colour;
		all.whole += sum.whole;
		all.open += sum.open;
	}
	add_total(&table, &flow->arena, all, listed);
	bool fits = lt_table_set(flow, &table);
	lt_table_finish(&table);
	return fits;
}

bool lt_table_wires(struct lt_flow *flow, const struct lt_tables_from *from)
{
	struct lt_table table = {
		.title = "Wire list", .columns = wire_columns, .column_count = COLUMNS
	};
	size_t count;
	struct lt_strand *strands = lt_strands_gather(&count, &flow->arena, from);
	bool listed = from->tags->harness->wire_count > 0, fits = true;
	for (size_t i = 0; listed && i < count; i++)
		add_wire(&table, &flow->arena, from->tags, &strands[i]);
	if (count == 0)
		lt_table_add(&table, LT_TABLE_SAYS)->cells[1] = "The description gives no wires.";
	if (table.count > 0)
		fits = lt_table_set(flow, &table);
	lt_table_finish(&table);
	if (count > 0)
		fits = set_summary(flow, strands, count, listed) && fits;
	free(strands);
	return fits;
}
