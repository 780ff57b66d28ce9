/* Assigns new numbers: none that is easily confused with the number of a look-alike
 * (trade/legible.c has the rule).
 *
 * A number is barred to a connector when it is used, or confusable with the number of a look-alike.
 * It stays barred, since no number is taken back during an assignment. So a number that is barred
 * to a whole scope (lt_scopes_of) is remembered and not tried again for any of its members. Two
 * kinds of numbers are left to test for each connector: those barred by its own `fits`, and those
 * that its `unlike` may allow, each confusable with the number of a connector in `unlike`. The time
 * is therefore near linear in the connectors, and not quadratic. */
#include <stdlib.h>

#include "tags/numbering.h"

#define NONE_LEFT (LT_NUMBER_MAX + 1)
#define ROOM_AT_FIRST 1024
#define NO_SCOPE LT_SCOPES
#define USED UINT32_MAX /* the scope to which numbers in use are barred */

struct bar {
	uint64_t key; /* 0: an empty slot */
	unsigned next;
};

/* Numbers barred to scopes: for each a step to a number further on, in one hash table for all
 * scopes. Following the steps shortens them (as in a union-find forest). */
struct lt_bars {
	struct bar *slots;
	size_t room; /* a power of two */
	size_t count;
};

static uint64_t key_of(size_t scope, unsigned number)
{
	return (uint64_t)scope << 32 | number; /* never 0: numbers count from 1 */
}

/* The slot of a key, or the empty one where it would go. */
static struct bar *slot_of(const struct lt_bars *bars, uint64_t key)
{
	uint64_t mixed = key * UINT64_C(0x9E3779B97F4A7C15);
	size_t at = (size_t)(mixed >> 32) & (bars->room - 1);
	while (bars->slots[at].key != 0 && bars->slots[at].key != key)
		at = (at + 1) & (bars->room - 1);
	return &bars->slots[at];
}

static void grow(struct lt_bars *bars)
{
	struct lt_bars larger = { .room = bars->room * 2, .count = bars->count };
	larger.slots = lt_alloc_array(larger.room, sizeof *larger.slots);
	for (size_t i = 0; i < bars->room; i++)
		if (bars->slots[i].key != 0)
			*slot_of(&larger, bars->slots[i].key) = bars->slots[i];
	free(bars->slots);
	*bars = larger;
}

/* Bars the numbers from `number` to before `next` to a scope, for good. */
static void add_bar(struct lt_bars *bars, size_t scope, unsigned number, unsigned next)
{
	if (bars->count >= bars->room / 2)
		grow(bars);
	uint64_t key = key_of(scope, number);
	struct bar *slot = slot_of(bars, key);
	if (slot->key == 0) {
		*slot = (struct bar){ key, next };
		bars->count++;
	}
}

/* The first number, from this one on, that is not barred to the scope. Amortised constant. */
static unsigned pass_bars(struct lt_bars *bars, size_t scope, unsigned number)
{
	unsigned end = number;
	const struct bar *slot;
	while ((slot = slot_of(bars, key_of(scope, end)))->key != 0)
		end = slot->next;
	while (number != end) {
		struct bar *step = slot_of(bars, key_of(scope, number));
		number = step->next;
		step->next = end;
	}
	return end;
}

void lt_numbering_init(struct lt_numbering *numbering, const struct lt_lookalikes *lookalikes,
	unsigned *number_of)
{
	*numbering = (struct lt_numbering){ .lookalikes = lookalikes, .number_of = number_of };
	numbering->owner_of = lt_alloc_array(NONE_LEFT + 1, sizeof *numbering->owner_of);
	for (unsigned i = 0; i <= NONE_LEFT; i++)
		numbering->owner_of[i] = LT_NONE;
	numbering->bars = lt_alloc(sizeof *numbering->bars);
	*numbering->bars = (struct lt_bars){
		.slots = lt_alloc_array(ROOM_AT_FIRST, sizeof(struct bar)),
		.room = ROOM_AT_FIRST,
	};
}

void lt_numbering_finish(struct lt_numbering *numbering)
{
	free(numbering->owner_of);
	free(numbering->bars->slots);
	free(numbering->bars);
	*numbering = (struct lt_numbering){ 0 };
}

void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector)
{
	add_bar(numbering->bars, USED, number, number + 1);
	numbering->owner_of[number] = connector;
	if (connector != LT_NONE)
		numbering->number_of[connector] = number;
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
			add_bar(n->bars, scopes[i], number, number + 1);
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
		return pass_bars(n->bars, USED, number);
	for (;;) {
		number = pass_bars(n->bars, scopes[place], number);
		unsigned next = pass(n, scopes, within[place][0], number);
		if (within[place][1] != NO_SCOPE)
			next = pass(n, scopes, within[place][1], next);
		if (next == number)
			return number;
		add_bar(n->bars, scopes[place], number, next);
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
			if (pass_bars(n->bars, USED, others[j]) != others[j])
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
