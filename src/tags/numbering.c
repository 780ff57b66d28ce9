/* Giving new numbers.
 *
 * Every number that a connector must pass over is either used or confusable with one that a
 * look-alike carries. Both last: numbers are given and never taken back while this works. So a
 * number found barred to a whole scope (see lookalike.h) is noted, and never tried again for any
 * of its members. What is left to try for one connector are the few numbers that its own `fits`
 * bar; and those that its `unlike` may set free, which are all confusable with the number of one
 * of them. So the work grows with the connectors, and not with their pairs. */
#include <stdlib.h>

#include "tags/numbering.h"

#define NONE_LEFT (LT_NUMBER_MAX + 1)
#define NO_SCOPE LT_SCOPES

void lt_numbering_init(struct lt_numbering *numbering, const struct lt_lookalikes *lookalikes,
	size_t connectors)
{
	*numbering = (struct lt_numbering){ .lookalikes = lookalikes };
	numbering->number_of = lt_alloc_array(connectors, sizeof *numbering->number_of);
	numbering->owner_of = lt_alloc_array(NONE_LEFT + 1, sizeof *numbering->owner_of);
	numbering->unused = lt_alloc_array(NONE_LEFT + 1, sizeof *numbering->unused);
	for (unsigned i = 0; i <= NONE_LEFT; i++) {
		numbering->owner_of[i] = LT_NONE;
		numbering->unused[i] = i;
	}
	numbering->bars = lt_bars_create();
}

void lt_numbering_finish(struct lt_numbering *numbering)
{
	free(numbering->number_of);
	free(numbering->owner_of);
	free(numbering->unused);
	lt_bars_destroy(numbering->bars);
	*numbering = (struct lt_numbering){ 0 };
}

void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector)
{
	numbering->unused[number] = number + 1;
	numbering->owner_of[number] = connector;
	if (connector != LT_NONE)
		numbering->number_of[connector] = number;
}

bool lt_numbering_used(const struct lt_numbering *numbering, unsigned number)
{
	return numbering->unused[number] != number;
}

/* The first number never used, from this one on. */
static unsigned pass_used(struct lt_numbering *n, unsigned number)
{
	while (n->unused[number] != number) {
		n->unused[number] = n->unused[n->unused[number]];
		number = n->unused[number];
	}
	return number;
}

/* The connectors whose numbers a number is confusable with. */
struct neighbours {
	size_t owners[LT_CONFUSABLE_MAX];
	size_t count;
};

static void find_neighbours(struct neighbours *out, const struct lt_numbering *n, unsigned number)
{
	unsigned others[LT_CONFUSABLE_MAX];
	size_t count = lt_confusable_all(others, number);
	out->count = 0;
	for (size_t i = 0; i < count; i++)
		if (n->owner_of[others[i]] != LT_NONE)
			out->owners[out->count++] = n->owner_of[others[i]];
}

static bool is_free_for(const struct lt_numbering *n, const struct neighbours *neighbours,
	size_t connector)
{
	for (size_t i = 0; i < neighbours->count; i++)
		if (lt_lookalike_for_numbering(n->lookalikes, connector, neighbours->owners[i]))
			return false;
	return true;
}

static bool is_barred_to(const struct lt_numbering *n, const struct neighbours *neighbours,
	size_t scope)
{
	for (size_t i = 0; i < neighbours->count; i++)
		if (lt_scope_blocked_by(n->lookalikes, scope, neighbours->owners[i]))
			return true;
	return false;
}

/* Notes that the number is barred to the widest of the scopes that it is barred to, if any. */
static bool bar(struct lt_numbering *n, unsigned number, const struct neighbours *neighbours,
	const size_t *scopes, size_t scope_count)
{
	for (size_t i = 0; i < scope_count; i++) {
		if (is_barred_to(n, neighbours, scopes[i])) {
			lt_bars_add(n->bars, scopes[i], number, number + 1);
			return true;
		}
	}
	return false;
}

/* By the place of a scope among a connector's: those whose blockers are all among its own. */
static const size_t within[LT_SCOPES][2] = {
	{ NO_SCOPE, NO_SCOPE },
	{ 0, NO_SCOPE },
	{ 1, NO_SCOPE },
	{ 1, NO_SCOPE },
	{ 2, 3 },
};

/* The first number, from this one on, that is neither used nor known as barred to the connector's
 * scope at `place` or to one within it. What is passed over is noted as barred to this scope too:
 * used numbers and those barred to various scopes lie mixed, and are gone through only once. */
static unsigned pass(struct lt_numbering *n, const size_t *scopes, size_t place, unsigned number)
{
	if (place == NO_SCOPE)
		return pass_used(n, number);
	for (;;) {
		number = lt_bars_pass(n->bars, scopes[place], number);
		unsigned next = pass(n, scopes, within[place][0], number);
		if (within[place][1] != NO_SCOPE)
			next = pass(n, scopes, within[place][1], next);
		if (next == number)
			return number;
		lt_bars_add(n->bars, scopes[place], number, next);
	}
}

/* The smallest number that no scope of the connector bars and that is free for it. */
static unsigned next_by_scopes(struct lt_numbering *n, size_t connector)
{
	size_t scopes[LT_SCOPES];
	size_t scope_count = lt_scopes_of(n->lookalikes, connector, scopes);
	size_t last = scope_count > 0 ? scope_count - 1 : NO_SCOPE;
	unsigned number = 1;
	while ((number = pass(n, scopes, last, number)) < NONE_LEFT) {
		struct neighbours neighbours;
		find_neighbours(&neighbours, n, number);
		if (bar(n, number, &neighbours, scopes, scope_count))
			continue;
		if (is_free_for(n, &neighbours, connector))
			break;
		number++;
	}
	return number;
}

/* The smallest number below `limit` that is free for the connector since those whose numbers it
 * is confusable with are `unlike`; `limit` where there is none. */
static unsigned next_by_unlike(const struct lt_numbering *n, size_t connector, unsigned limit)
{
	struct lt_indices unlike = lt_lookalike_unlike(n->lookalikes, connector);
	for (size_t i = 0; i < unlike.count; i++) {
		if (n->number_of[unlike.items[i]] == 0)
			continue;
		unsigned others[LT_CONFUSABLE_MAX];
		size_t count = lt_confusable_all(others, n->number_of[unlike.items[i]]);
		for (size_t j = 0; j < count && others[j] < limit; j++) {
			struct neighbours neighbours;
			if (lt_numbering_used(n, others[j]))
				continue;
			find_neighbours(&neighbours, n, others[j]);
			if (is_free_for(n, &neighbours, connector))
				limit = others[j];
		}
	}
	return limit;
}

unsigned lt_numbering_next(struct lt_numbering *numbering, size_t connector)
{
	unsigned number = next_by_scopes(numbering, connector);
	number = next_by_unlike(numbering, connector, number);
	return number < NONE_LEFT ? number : 0;
}
