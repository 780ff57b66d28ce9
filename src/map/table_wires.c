/* The wire list of a map, and its summary by colour and size. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/table.h"

#define WORDS lt_table_words

/* A wire as the tables have it. Its texts live as long as the harness and the arena. */
struct wire {
	struct lt_wire_end ends[2]; /* the lower one first */
	size_t rank[2];             /* of the ends' connectors; LT_NONE for an open one */
	const struct lt_connector *connectors; /* of the harness */
	size_t order;                          /* of the description */
	struct lt_colour colour;               /* none where it is not known for sure */
	const char *colour_text;  /* its code, with PE where it is protective earth; or words */
	const char *colour_words; /* or NULL */
	struct lt_wire_size size; /* the thinnest that it may have */
	const char *size_text;    /* as written, or words */
	const char *name;         /* or NULL */
};

/* In the order of IEC 60757, base colour first. */
static int compare_hues(const void *one, const void *other)
{
	const struct lt_colour *a = one, *b = other;
	for (unsigned i = 0; i < a->count && i < b->count; i++)
		if (a->hues[i] != b->hues[i])
			return a->hues[i] < b->hues[i] ? -1 : 1;
	return (a->count > b->count) - (a->count < b->count);
}

/* The wire's colour; all that it may have where there is a doubt. */
static void fill_in_colour(struct wire *wire, struct lt_arena *arena,
	struct lt_colour_choice choice)
{
	struct lt_text codes = { 0 }, words = { 0 };
	qsort(choice.colours, choice.count, sizeof *choice.colours, compare_hues);
	if (choice.count == 1)
		wire->colour = choice.colours[0];
	for (size_t i = 0; i < choice.count; i++) {
		char code[LT_COLOUR_CODE_SIZE];
		const struct lt_colour *colour = &choice.colours[i];
		lt_colour_code(code, colour);
		if (i > 0) {
			lt_text_add(&codes, WORDS.between_choices);
			lt_text_add(&words, WORDS.between_choices);
		}
		lt_text_printf(&codes, lt_colour_is_earth(colour) ? "%s, PE" : "%s", code);
		lt_colour_add(&words, colour);
	}
	wire->colour_text = choice.count > 0 ? lt_map_keep(arena, &codes) : WORDS.not_described;
	wire->colour_words = lt_map_keep(arena, &words);
}

/* Both sizes where they are written otherwise. */
static void fill_in_size(struct wire *wire, struct lt_arena *arena,
	const struct lt_resolved_wire *resolved)
{
	char texts[2][24];
	wire->size = resolved->sizes[0];
	for (size_t i = 0; i < 2; i++)
		lt_wire_size_write(texts[i], &resolved->sizes[i]);
	if (resolved->size_count == 0)
		wire->size_text = WORDS.not_described;
	else if (resolved->size_count == 2 && strcmp(texts[0], texts[1]) != 0)
		wire->size_text =
			lt_arena_printf(arena, "%s%s%s", texts[0], WORDS.between_choices, texts[1]);
	else
		wire->size_text = lt_arena_strdup(arena, texts[0]);
}

static int compare_ends(const struct wire *a, size_t end, const struct wire *b, size_t other)
{
	if (a->rank[end] != b->rank[other])
		return a->rank[end] < b->rank[other] ? -1 : 1;
	return a->rank[end] == LT_NONE ? 0
				       : lt_way_compare(&a->connectors[a->ends[end].connector],
						 a->ends[end].way, b->ends[other].way);
}

static int compare_wires(const void *one, const void *other)
{
	const struct wire *a = one, *b = other;
	for (size_t i = 0; i < 2; i++) {
		int order = compare_ends(a, i, b, i);
		if (order != 0)
			return order;
	}
	return a->order < b->order ? -1 : a->order > b->order;
}

/* All wires in the order of their numbers, the end with the lower one first; for the caller to
 * free. */
static struct wire *list_wires(size_t *count, struct lt_arena *arena,
	const struct lt_tables_from *from)
{
	const struct lt_wiring *wiring = from->wiring;
	struct wire *wires = lt_alloc_array(wiring->count + 1, sizeof *wires);
	for (size_t i = 0; i < wiring->count; i++) {
		const struct lt_resolved_wire *resolved = &wiring->wires[i];
		struct wire wire = { .order = i, .connectors = from->tags->harness->connectors };
		for (size_t j = 0; j < 2; j++) {
			size_t connector = resolved->ends[j].connector;
			wire.ends[j] = resolved->ends[j];
			wire.rank[j] = connector == LT_NONE ? LT_NONE : from->rank[connector];
		}
		wires[i] = wire;
		if (compare_ends(&wire, 0, &wire, 1) > 0) {
			for (size_t j = 0; j < 2; j++) {
				wires[i].ends[j] = wire.ends[1 - j];
				wires[i].rank[j] = wire.rank[1 - j];
			}
		}
		fill_in_colour(&wires[i], arena, resolved->colour);
		fill_in_size(&wires[i], arena, resolved);
		wires[i].name = resolved->line != NULL ? resolved->line->name : NULL;
	}
	qsort(wires, wiring->count, sizeof *wires, compare_wires);
	*count = wiring->count;
	return wires;
}

enum { FROM, FROM_NAME, TO, TO_NAME, COLOUR, SIZE, NAME, COLUMNS };

static const char *end_text(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_wire_end *end)
{
	char tag[LT_TAG_SIZE];
	struct lt_text text = { 0 };
	unsigned number = tags->number_of[end->connector];
	if (number != 0)
		lt_tag_write(tag, number, LT_SIDE_H);
	lt_table_add_end(&text, number != 0 ? tag : NULL,
		lt_arena_shown(arena, tags->harness->connectors[end->connector].id),
		lt_arena_shown(arena, end->way));
	return lt_map_keep(arena, &text);
}

static const char *name_text(struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_wire_end *end)
{
	const char *name = tags->harness->connectors[end->connector].name;
	return name != NULL ? lt_arena_shown(arena, name) : WORDS.not_described;
}

static void add_wire(struct lt_table *table, struct lt_arena *arena, const struct lt_tags *tags,
	const struct wire *wire)
{
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	bool open = wire->ends[1].connector == LT_NONE;
	row->cells[FROM] = end_text(arena, tags, &wire->ends[0]);
	row->cells[FROM_NAME] = name_text(arena, tags, &wire->ends[0]);
	row->cells[TO] = open ? NULL : end_text(arena, tags, &wire->ends[1]);
	row->cells[TO_NAME] = open ? WORDS.not_described : name_text(arena, tags, &wire->ends[1]);
	row->cells[COLOUR] = wire->colour_text;
	row->cells[SIZE] = wire->size_text;
	row->cells[NAME] = wire->name != NULL ? lt_arena_shown(arena, wire->name) : NULL;
	row->colour = wire->colour;
}

/* Those without a colour last. */
static int compare_colours(const struct wire *a, const struct wire *b)
{
	if (!a->colour.count != !b->colour.count)
		return a->colour.count > 0 ? -1 : 1;
	int order = compare_hues(&a->colour, &b->colour);
	return order != 0 ? order : strcmp(a->colour_text, b->colour_text);
}

/* From thin to thick; those without a size last. */
static int compare_sizes(const struct wire *a, const struct wire *b)
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
	struct lt_text text = { 0 };
	add_sum(table, arena, sum, listed)->cells[SUM_COLOUR] = WORDS.all;
	if (sum.open == 0 || !listed)
		return;
	lt_table_add_open_ends(&text, sum.open);
	lt_table_add(table, LT_TABLE_WIDE_TEXT)->cells[1] = lt_map_keep(arena, &text);
}

/* Sorts the wires by colour and size, and counts them. */
static bool set_summary(struct lt_flow *flow, struct wire *wires, size_t count, bool listed)
{
	const struct lt_table_column columns[SUM_COLUMNS] = {
		[SUM_COLOUR] = { .name = WORDS.colour, .whole = true, .swatch = true },
		[SUM_WORDS] = { .name = WORDS.in_words },
		[SUM_SIZE] = { .name = WORDS.size },
		[SUM_WHOLE] = { .name = WORDS.both_ends },
		[SUM_OPEN] = { .name = listed ? WORDS.one_end : WORDS.ends },
	};
	struct lt_table table = {
		.title = WORDS.wires_by_colour, .columns = columns, .column_count = SUM_COLUMNS
	};
	struct sum all = { 0 };
	if (!listed)
		lt_table_add(&table, LT_TABLE_WIDE_TEXT)->cells[1] = WORDS.no_wire_list;
	qsort(wires, count, sizeof *wires, compare_kinds);
	for (size_t i = 0; i < count;) {
		const struct wire *first = &wires[i];
		struct sum sum = { 0 };
		for (; i < count && compare_kinds(first, &wires[i]) == 0; i++) {
			bool open = wires[i].ends[1].connector == LT_NONE;
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
	return lt_table_set(flow, &table);
}

bool lt_table_wires(struct lt_flow *flow, const struct lt_tables_from *from)
{
	const struct lt_table_column columns[COLUMNS] = {
		[FROM] = { .name = WORDS.from, .strong = true, .whole = true },
		[FROM_NAME] = { .name = WORDS.connector },
		[TO] = { .name = WORDS.to, .strong = true, .whole = true },
		[TO_NAME] = { .name = WORDS.connector },
		[COLOUR] = { .name = WORDS.colour, .whole = true, .swatch = true },
		[SIZE] = { .name = WORDS.size, .whole = true },
		[NAME] = { .name = WORDS.wire },
	};
	struct lt_table table = {
		.title = WORDS.wire_list, .columns = columns, .column_count = COLUMNS
	};
	size_t count;
	struct wire *wires = list_wires(&count, &flow->arena, from);
	bool listed = from->tags->harness->wire_count > 0, fits = true;
	for (size_t i = 0; listed && i < count; i++)
		add_wire(&table, &flow->arena, from->tags, &wires[i]);
	if (count == 0)
		lt_table_add(&table, LT_TABLE_WIDE_TEXT)->cells[1] = WORDS.no_wires;
	if (table.count > 0)
		fits = lt_table_set(flow, &table);
	if (count > 0)
		fits = set_summary(flow, wires, count, listed) && fits;
	free(wires);
	return fits;
}
