/* The numbers that are already on the machine: those that end the ids and ports of connectors. */
#include <stdlib.h>
#include <string.h>

#include "harness/lookalike.h"
#include "harness/rows.h"

/* Holders are listed by pattern, as connectors are for look-alikes (lookalike.h), and in two more
 * lists. An item of a list is number * connectors + connector, so that the holders of one number
 * lie side by side. */
struct lt_markings {
	struct lt_arena arena;
	const struct lt_lookalikes *lookalikes;
	struct lt_indices *lists;
	size_t unknown,
		all;   /* indices of the lists of those of unknown fit, and of all but clips */
	bool *ends_id; /* by number, 0 to LT_NUMBER_MAX */
};

unsigned lt_marking_number(const char *text)
{
	if (text == NULL)
		return 0;
	size_t start = strlen(text);
	while (start > 0 && text[start - 1] >= '0' && text[start - 1] <= '9')
		start--;
	unsigned number = 0;
	for (; text[start] != '\0' && number <= LT_NUMBER_MAX; start++)
		number = number * 10 + (unsigned)(text[start] - '0');
	return number <= LT_NUMBER_MAX ? number : 0;
}

enum { HELD = 2 }; /* by one connector at most */

/* The numbers that a connector holds, each once; returns how many. */
static size_t held_by(unsigned out[HELD], const struct lt_lookalikes *l, size_t connector)
{
	const struct lt_connector *described = &l->harness->connectors[connector];
	const unsigned id = lt_marking_number(described->id);
	const unsigned port = lt_marking_number(described->port);
	size_t count = 0;
	if (id != 0)
		out[count++] = id;
	if (port != 0 && port != id)
		out[count++] = port;
	return count;
}

static bool holds(const struct lt_lookalikes *l, size_t connector, unsigned number)
{
	unsigned held[HELD];
	for (size_t i = held_by(held, l, connector); i > 0; i--)
		if (held[i - 1] == number)
			return true;
	return false;
}

struct lt_markings *lt_markings_create(const struct lt_lookalikes *lookalikes)
{
	const struct lt_lookalikes *l = lookalikes;
	const size_t connectors = l->harness->connector_count;
	struct lt_markings *m = lt_alloc(sizeof *m);
	*m = (struct lt_markings){
		.lookalikes = l, .unknown = l->pattern_count, .all = l->pattern_count + 1
	};
	m->ends_id = lt_arena_array(&m->arena, LT_NUMBER_MAX + 1, sizeof *m->ends_id);
	struct lt_pair *pairs = NULL;
	size_t count = 0, room = 0;
	for (size_t i = 0; i < connectors; i++) {
		unsigned held[HELD];
		m->ends_id[lt_marking_number(l->harness->connectors[i].id)] = true;
		if (!lt_kind_mates(l->harness->connectors[i].kind))
			continue;
		for (size_t k = held_by(held, l, i); k > 0; k--) {
			const size_t item = held[k - 1] * connectors + i;
			pairs = lt_grow(pairs, &room, count + 2, sizeof *pairs);
			pairs[count++] = (struct lt_pair){ m->all, item };
			if (l->class_of[i] == LT_NONE)
				pairs[count++] = (struct lt_pair){ m->unknown, item };
			pairs = lt_fit_add_pairs(pairs, &count, &room, l, i, item);
		}
	}
	m->ends_id[0] = false;
	m->lists = lt_rows_make(&m->arena, m->all + 1, pairs, count);
	free(pairs);
	return m;
}

void lt_markings_destroy(struct lt_markings *markings)
{
	if (markings == NULL)
		return;
	lt_arena_finish(&markings->arena);
	free(markings);
}

bool lt_marking_ends_id(const struct lt_markings *markings, unsigned number)
{
	return markings->ends_id[number];
}

/* How many items of a list are below a bound. */
static size_t count_below(struct lt_indices list, size_t bound)
{
	size_t low = 0, high = list.count;
	while (low < high) {
		const size_t middle = low + (high - low) / 2;
		if (list.items[middle] < bound)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

/* How many of a list hold the number. */
static size_t count_in(const struct lt_markings *m, size_t list, unsigned number)
{
	const size_t connectors = m->lookalikes->harness->connector_count;
	return count_below(m->lists[list], ((size_t)number + 1) * connectors) -
	       count_below(m->lists[list], number * connectors);
}

bool lt_marking_bars_scope(const struct lt_markings *markings, size_t connector, size_t place,
	unsigned number)
{
	const struct lt_lookalikes *l = markings->lookalikes;
	const size_t class = l->class_of[connector];
	if (class == LT_NONE)
		return count_in(markings, place == 0 ? markings->unknown : markings->all, number) >
		       0;
	if (count_in(markings, markings->unknown, number) > 0)
		return true;
	if (place == 0)
		return false;
	/* A scope's blockers stand in the lists of the scopes that are within it, and in its own.
	 */
	const struct lt_fit_class *of = &l->classes[class];
	const size_t first = place - (place - 1) % LT_CLASS_SCOPES;
	for (size_t i = first; i <= place; i++)
		if (!(i == first + 1 && place == first + 2) &&
			count_in(markings, of->scopes[i], number) > 0)
			return true;
	return false;
}

/* What to count: the holders of one number. */
struct holders {
	const struct lt_markings *markings;
	unsigned number;
};

static size_t count_holders(const void *data, size_t list)
{
	const struct holders *holders = data;
	return count_in(holders->markings, list, holders->number);
}

/* How many hold the number and must not be confused with the connector by their fields. */
static size_t count_by_fields(const struct lt_markings *m, size_t connector, unsigned number)
{
	const struct lt_lookalikes *l = m->lookalikes;
	const size_t class = l->class_of[connector];
	if (!lt_kind_mates(l->harness->connectors[connector].kind))
		return 0;
	if (class == LT_NONE)
		return count_in(m, m->all, number);
	const struct holders holders = { m, number };
	return count_in(m, m->unknown, number) +
	       lt_fit_count(&l->classes[class], count_holders, &holders);
}

static bool is_by_fields(const struct lt_lookalikes *l, size_t a, size_t b)
{
	const struct lt_connector *connectors = l->harness->connectors;
	if (!lt_kind_mates(connectors[a].kind) || !lt_kind_mates(connectors[b].kind))
		return false;
	return l->class_of[a] == LT_NONE || l->class_of[b] == LT_NONE || lt_fields_match(l, a, b);
}

bool lt_marking_of_lookalike(const struct lt_markings *markings, size_t connector, unsigned number)
{
	const struct lt_lookalikes *l = markings->lookalikes;
	const struct lt_indices fits = l->fits[connector], unlike = l->unlike[connector];
	for (size_t i = 0; i < fits.count; i++)
		if (fits.items[i] != connector && holds(l, fits.items[i], number))
			return true;
	size_t count = count_by_fields(markings, connector, number);
	if (count == 0)
		return false;
	count -= is_by_fields(l, connector, connector) && holds(l, connector, number);
	for (size_t i = 0; i < unlike.count; i++)
		count -= unlike.items[i] != connector && holds(l, unlike.items[i], number) &&
			 is_by_fields(l, connector, unlike.items[i]);
	return count > 0;
}
