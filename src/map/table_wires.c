/* The wire list of a map, and its summary by colour and size. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/table.h"

/* A wire as the tables have it. Its texts live as long as the harness and the arena. */
struct wire {
	struct lt_wire_end ends[2]; /* the lower one first */
	size_t rank[2];             /* of the ends' connectors; LT_NONE for an open one */
	size_t order;               /* of the description */
	struct lt_colour colour;    /* none where it is not known for sure */
	const char *colour_text;    /* its code, with PE where it is protective earth; or words */
	const char *colour_words;   /* or NULL */
	struct lt_wire_size size;   /* the thinnest that it may have */
	const char *size_text;      /* as written, or words */
	const char *name;           /* or NULL */
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

/* "white and red"; what green-and-yellow alone means is said (IEC 60445). */
static const char *hue_words(struct lt_arena *arena, const struct lt_colour *colour)
{
	const char *words = "";
	for (unsigned i = 0; i < colour->count; i++)
		words = lt_arena_printf(arena, "%s%s%s", words,
			i == 0                  ? ""
			: i + 1 < colour->count ? ", "
						: " and ",
			lt_hue_name((enum lt_hue)colour->hues[i]));
	return lt_colour_is_earth(colour) ? lt_arena_printf(arena, "%s: protective earth", words)
					  : words;
}

/* The wire's colour; all that it may have where there is a doubt. */
static void say_colour(struct wire *wire, struct lt_arena *arena, struct lt_colour_choice choice)
{
	qsort(choice.colours, choice.count, sizeof *choice.colours, compare_hues);
	if (choice.count == 1)
		wire->colour = choice.colours[0];
	wire->colour_text = choice.count > 0 ? "" : "no colour given";
	wire->colour_words = choice.count > 0 ? "" : NULL;
	for (size_t i = 0; i < choice.count; i++) {
		char code[LT_COLOUR_CODE_SIZE];
		const struct lt_colour *colour = &choice.colours[i];
		const char * or = i > 0 ? " or " : "";
		lt_colour_code(code, colour);
		wire->colour_text = lt_arena_printf(arena, "%s%s%s%s", wire->colour_text, or, code,
			lt_colour_is_earth(colour) ? ", PE" : "");
		wire->colour_words = lt_arena_printf(arena, "%s%s%s", wire->colour_words, or,
			hue_words(arena, colour));
	}
}

/* Both sizes where they are written otherwise. */
static void say_size(struct wire *wire, struct lt_arena *arena,
	const struct lt_resolved_wire *resolved)
{
	char texts[2][24];
	wire->size = resolved->sizes[0];
	for (size_t i = 0; i < 2; i++)
		lt_wire_size_write(texts[i], &resolved->sizes[i]);
	if (resolved->size_count == 0)
		wire->size_text = "no size given";
	else if (resolved->size_count == 2 && strcmp(texts[0], texts[1]) != 0)
		wire->size_text = lt_arena_printf(arena, "%s or %s", texts[0], texts[1]);
	else
		wire->size_text = lt_arena_strdup(arena, texts[0]);
}

static int compare_ends(const struct wire *a, size_t end, const struct wire *b, size_t other)
{
	if (a->rank[end] != b->rank[other])
		return a->rank[end] < b->rank[other] ? -1 : 1;
	return a->rank[end] == LT_NONE ? 0 : lt_way_compare(a->ends[end].way, b->ends[other].way);
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
		struct wire wire = { .order = i };
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
		say_colour(&wires[i], arena, resolved->colour);
		say_size(&wires[i], arena, resolved);
		wires[i].name = resolved->line != NULL ? resolved->line->name : NULL;
	}
	qsort(wires, wiring->count, sizeof *wires, compare_wires);
	*count = wiring->count;
	return wires;
}

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
	const struct lt_wire_end *end)
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
	const struct lt_wire_end *end)
{
	const char *name = tags->harness->connectors[end->connector].name;
	return name != NULL ? lt_arena_shown(arena, name) : "no name";
}

static void add_wire(struct lt_table *table, struct lt_arena *arena, const struct lt_tags *tags,
	const struct wire *wire)
{
	struct lt_table_row *row = lt_table_add(table, LT_TABLE_CELLS);
	bool open = wire->ends[1].connector == LT_NONE;
	row->cells[FROM] = end_text(arena, tags, &wire->ends[0]);
	row->cells[FROM_NAME] = name_text(arena, tags, &wire->ends[0]);
	row->cells[TO] = open ? NULL : end_text(arena, tags, &wire->ends[1]);
	row->cells[TO_NAME] = open ? "not described" : name_text(arena, tags, &wire->ends[1]);
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

/* Sorts the wires by colour and size, and counts them. */
static bool set_summary(struct lt_flow *flow, struct wire *wires, size_t count, bool listed)
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
	struct lt_table table = {
		.title = "Wire list", .columns = wire_columns, .column_count = COLUMNS
	};
	size_t count;
	struct wire *wires = list_wires(&count, &flow->arena, from);
	bool listed = from->tags->harness->wire_count > 0, fits = true;
	for (size_t i = 0; listed && i < count; i++)
		add_wire(&table, &flow->arena, from->tags, &wires[i]);
	if (count == 0)
		lt_table_add(&table, LT_TABLE_SAYS)->cells[1] = "The description gives no wires.";
	if (table.count > 0)
		fits = lt_table_set(flow, &table);
	if (count > 0)
		fits = set_summary(flow, wires, count, listed) && fits;
	free(wires);
	return fits;
}
