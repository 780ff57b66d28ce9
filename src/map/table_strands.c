/* Which wires there are: those of the wire list, and those that the connectors alone know of. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"
#include "map/table_wires.h"

#define WIRES_OF_A_WAY 2 /* the most that a description may have on one */

/* The colours that a wire may have, by what is said of a way. */
struct choice {
	struct lt_colour colours[2 * WIRES_OF_A_WAY];
	size_t count;
};

struct gathering {
	const struct lt_harness *harness;
	struct lt_strand *strands;
	size_t count, room;
	/* By strand, for those that give no colour: by what the ways at its ends say. */
	struct choice (*choices)[2];
	size_t choice_room;
};

/* One end of a line of the wire list. */
struct listed_end {
	size_t connector;
	const char *way;
	size_t line;
	unsigned side;
};

static int compare_listed(const void *one, const void *other)
{
	const struct listed_end *a = one;
	const struct listed_end *b = other;
	if (a->connector != b->connector)
		return a->connector < b->connector ? -1 : 1;
	int ways = strcmp(a->way, b->way);
	if (ways != 0)
		return ways;
	return a->line < b->line ? -1 : a->line > b->line;
}

static struct lt_strand *add_strand(struct gathering *gathering)
{
	gathering->strands = lt_grow(gathering->strands, &gathering->room, gathering->count + 1,
		sizeof *gathering->strands);
	gathering->choices = lt_grow(gathering->choices, &gathering->choice_room,
		gathering->count + 1, sizeof *gathering->choices);
	memset(gathering->choices[gathering->count], 0, sizeof *gathering->choices);
	struct lt_strand *strand = &gathering->strands[gathering->count];
	*strand = (struct lt_strand){ .order = gathering->count++ };
	return strand;
}

static struct listed_end *gather_listed(size_t *count, struct gathering *gathering)
{
	const struct lt_harness *harness = gathering->harness;
	struct listed_end *ends = lt_alloc_array(2 * harness->wire_count + 1, sizeof *ends);
	*count = 0;
	for (size_t i = 0; i < harness->wire_count; i++) {
		const struct lt_wire *wire = &harness->wires[i];
		struct lt_strand *strand = add_strand(gathering);
		strand->ends[0] = (struct lt_strand_end){ wire->from, wire->from_way };
		strand->ends[1] = (struct lt_strand_end){ wire->to, wire->to_way };
		strand->colour = wire->colour;
		strand->size = wire->size;
		strand->name = wire->name;
		ends[(*count)++] = (struct listed_end){ wire->from, wire->from_way, i, 0 };
		ends[(*count)++] = (struct listed_end){ wire->to, wire->to_way, i, 1 };
	}
	qsort(ends, *count, sizeof *ends, compare_listed);
	return ends;
}

/* The first of a connector's ends that is not before that way. */
static size_t first_at(const struct listed_end *ends, size_t count, const char *way)
{
	size_t low = 0;
	while (low < count) {
		size_t middle = low + (count - low) / 2;
		if (strcmp(ends[middle].way, way) < 0)
			low = middle + 1;
		else
			count = middle;
	}
	return low;
}

/* Lets lines that give a colour take it from the way's. */
static void take_same(bool *taken, const struct gathering *gathering, const struct lt_way *way,
	const struct listed_end *ends, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const struct lt_colour *colour = &gathering->harness->wires[ends[i].line].colour;
		for (size_t j = 0; colour->count > 0 && j < way->count; j++) {
			if (taken[j] || !lt_colour_same(&way->colours[j], colour))
				continue;
			taken[j] = true;
			break;
		}
	}
}

/* In the order of IEC 60757. */
static int compare_colours(const struct lt_colour *a, const struct lt_colour *b)
{
	for (unsigned i = 0; i < a->count && i < b->count; i++)
		if (a->hues[i] != b->hues[i])
			return a->hues[i] < b->hues[i] ? -1 : 1;
	return (a->count > b->count) - (a->count < b->count);
}

/* Adds a colour in its place, once. */
static void add_choice(struct choice *choice, const struct lt_colour *colour)
{
	size_t at = 0;
	while (at < choice->count && compare_colours(&choice->colours[at], colour) < 0)
		at++;
	if (at < choice->count && compare_colours(&choice->colours[at], colour) == 0)
		return;
	for (size_t i = choice->count++; i > at; i--)
		choice->colours[i] = choice->colours[i - 1];
	choice->colours[at] = *colour;
}

/* Lets lines that give none share what is left: each may have any of these colours. Returns how
 * many of them no line has. */
static size_t take_rest(struct gathering *gathering, const struct choice *left, size_t wires,
	const struct listed_end *ends, size_t count)
{
	for (size_t i = 0; i < count && left->count > 0; i++) {
		if (gathering->harness->wires[ends[i].line].colour.count > 0)
			continue;
		gathering->choices[ends[i].line][ends[i].side] = *left;
		wires -= wires > 0;
	}
	return wires;
}

/* What a connector says of one way, against the lines that end there. */
static void gather_way(struct gathering *gathering, size_t connector, const struct lt_way *way,
	const struct listed_end *ends, size_t count)
{
	bool taken[WIRES_OF_A_WAY] = { false };
	struct choice left = { .count = 0 };
	size_t wires = 0;
	size_t first = first_at(ends, count, way->name);
	size_t end = first;
	while (end < count && strcmp(ends[end].way, way->name) == 0)
		end++;
	take_same(taken, gathering, way, &ends[first], end - first);
	for (size_t j = 0; j < way->count; j++) {
		if (taken[j])
			continue;
		add_choice(&left, &way->colours[j]);
		wires++;
	}
	size_t open = take_rest(gathering, &left, wires, &ends[first], end - first);
	bool sure = open == wires;
	for (size_t j = 0; j < way->count && open > 0; j++) {
		if (taken[j])
			continue;
		struct lt_strand *strand = add_strand(gathering);
		strand->ends[0] = (struct lt_strand_end){ connector, way->name };
		strand->ends[1] = (struct lt_strand_end){ LT_NONE, NULL };
		if (sure)
			strand->colour = way->colours[j];
		else
			gathering->choices[gathering->count - 1][0] = left;
		open--;
	}
}

static void gather_all(struct gathering *gathering)
{
	const struct lt_harness *harness = gathering->harness;
	size_t count;
	struct listed_end *ends = gather_listed(&count, gathering);
	size_t at = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		size_t first = at;
		while (at < count && ends[at].connector == i)
			at++;
		for (size_t j = 0; j < connector->wire_count; j++)
			if (!connector->wires[j].from_list)
				gather_way(gathering, i, &connector->wires[j], &ends[first],
					at - first);
	}
	free(ends);
}

/* What both ends allow; or, where they contradict each other, all that either says. */
static void join_choices(struct choice *out, const struct choice both[2])
{
	out->count = 0;
	for (size_t i = 0; i < both[0].count; i++)
		for (size_t j = 0; j < both[1].count; j++)
			if (lt_colour_same(&both[0].colours[i], &both[1].colours[j]))
				add_choice(out, &both[0].colours[i]);
	if (out->count > 0)
		return;
	for (size_t i = 0; i < 2; i++)
		for (size_t j = 0; j < both[i].count; j++)
			add_choice(out, &both[i].colours[j]);
}

/* "white and red"; what green-and-yellow alone means is said (IEC 60445). */
static const char *colour_words(struct lt_arena *arena, const struct lt_colour *colour)
{
	const char *words = "";
	for (unsigned i = 0; i < colour->count; i++)
		words = lt_arena_printf(arena, "%s%s%s", words,
			i == 0                  ? ""
			: i + 1 < colour->count ? ", "
						: " and ",
			lt_hue_name((enum lt_hue)colour->hues[i]));
	if (lt_colour_is_earth(colour))
		words = lt_arena_printf(arena, "%s: protective earth", words);
	return words;
}

/* The strand's own colour; else what its ends say of it, and all of that where there is a doubt. */
static void settle_colour(struct lt_strand *strand, struct lt_arena *arena,
	const struct choice both[2])
{
	char code[LT_COLOUR_CODE_SIZE];
	struct choice choice = { .count = 0 };
	if (strand->colour.count > 0)
		add_choice(&choice, &strand->colour);
	else
		join_choices(&choice, both);
	if (choice.count == 1)
		strand->colour = choice.colours[0];
	strand->colour_text = choice.count > 0 ? "" : "no colour given";
	strand->colour_words = choice.count > 0 ? "" : NULL;
	for (size_t i = 0; i < choice.count; i++) {
		const struct lt_colour *colour = &choice.colours[i];
		const char * or = i > 0 ? " or " : "";
		lt_colour_code(code, colour);
		strand->colour_text = lt_arena_printf(arena, "%s%s%s%s", strand->colour_text, or,
			code, lt_colour_is_earth(colour) ? ", PE" : "");
		strand->colour_words = lt_arena_printf(arena, "%s%s%s", strand->colour_words, or,
			colour_words(arena, colour));
	}
}

/* The strand's own size, else its connectors'; both where they differ, the thin one first. */
static void settle_size(struct lt_strand *strand, struct lt_arena *arena,
	const struct lt_harness *harness)
{
	struct lt_wire_size of[2] = { strand->size, { 0 } };
	for (size_t i = 0; !strand->size.given && i < 2; i++)
		if (strand->ends[i].connector != LT_NONE)
			of[i] = harness->connectors[strand->ends[i].connector].size;
	bool second = !of[0].given || (of[1].given && lt_wire_area(&of[1]) < lt_wire_area(&of[0]));
	if (second) {
		struct lt_wire_size size = of[0];
		of[0] = of[1];
		of[1] = size;
	}
	char texts[2][24];
	lt_wire_size_write(texts[0], &of[0]);
	lt_wire_size_write(texts[1], &of[1]);
	strand->size = of[0];
	if (!of[0].given)
		strand->size_text = "no size given";
	else if (of[1].given && strcmp(texts[0], texts[1]) != 0)
		strand->size_text = lt_arena_printf(arena, "%s or %s", texts[0], texts[1]);
	else
		strand->size_text = lt_arena_strdup(arena, texts[0]);
}

/* Numbers first, then letters as they go on: Z, a, …, AA. */
static int compare_ways(const char *a, const char *b)
{
	unsigned one = 0, other = 0;
	bool a_number = lt_whole_read(&one, a, LT_WAYS_MAX);
	bool b_number = lt_whole_read(&other, b, LT_WAYS_MAX);
	if (a_number != b_number)
		return a_number ? -1 : 1;
	if (a_number && one != other)
		return one < other ? -1 : 1;
	size_t a_length = strlen(a), b_length = strlen(b);
	if (a_length != b_length)
		return a_length < b_length ? -1 : 1;
	return strcmp(a, b);
}

/* A strand with what it is sorted by. */
struct sorted {
	struct lt_strand strand;
	size_t rank[2]; /* of its ends; LT_NONE for an open one */
};

static int compare_ends(const struct sorted *a, const struct sorted *b, size_t end)
{
	if (a->rank[end] != b->rank[end])
		return a->rank[end] < b->rank[end] ? -1 : 1;
	return a->rank[end] == LT_NONE
		       ? 0
		       : compare_ways(a->strand.ends[end].way, b->strand.ends[end].way);
}

static int compare_sorted(const void *one, const void *other)
{
	const struct sorted *a = one;
	const struct sorted *b = other;
	int order = compare_ends(a, b, 0);
	if (order == 0)
		order = compare_ends(a, b, 1);
	if (order != 0)
		return order;
	return a->strand.order < b->strand.order ? -1 : a->strand.order > b->strand.order;
}

static void turn(struct sorted *item)
{
	struct lt_strand_end end = item->strand.ends[0];
	item->strand.ends[0] = item->strand.ends[1];
	item->strand.ends[1] = end;
	size_t rank = item->rank[0];
	item->rank[0] = item->rank[1];
	item->rank[1] = rank;
}

static void sort_strands(struct lt_strand *strands, size_t count, const size_t *rank)
{
	struct sorted *items = lt_alloc_array(count + 1, sizeof *items);
	for (size_t i = 0; i < count; i++) {
		struct sorted *item = &items[i];
		item->strand = strands[i];
		for (size_t j = 0; j < 2; j++) {
			size_t connector = strands[i].ends[j].connector;
			item->rank[j] = connector == LT_NONE ? LT_NONE : rank[connector];
		}
		bool same = item->rank[0] == item->rank[1];
		if (item->rank[0] > item->rank[1] ||
			(same && compare_ways(strands[i].ends[0].way, strands[i].ends[1].way) > 0))
			turn(item);
	}
	qsort(items, count, sizeof *items, compare_sorted);
	for (size_t i = 0; i < count; i++)
		strands[i] = items[i].strand;
	free(items);
}

struct lt_strand *lt_strands_gather(size_t *count, struct lt_arena *arena,
	const struct lt_tables_from *from)
{
	const struct lt_harness *harness = from->tags->harness;
	struct gathering gathering = { .harness = harness };
	gather_all(&gathering);
	for (size_t i = 0; i < gathering.count; i++) {
		settle_colour(&gathering.strands[i], arena, gathering.choices[i]);
		settle_size(&gathering.strands[i], arena, harness);
	}
	free(gathering.choices);
	sort_strands(gathering.strands, gathering.count, from->rank);
	*count = gathering.count;
	return gathering.strands;
}
