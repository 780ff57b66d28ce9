/* Assigns new numbers: what is on the machine where it can be, and none that is easily confused
 * with the number of a look-alike (trade/legible.c has the rule) or with its marking.
 *
 * A number is barred to a connector when it is used, or confusable with the number of a look-alike,
 * or ends the id or port of one. It stays barred, since no number is taken back during an
 * assignment. So a number that is barred to a whole scope (lt_scopes_of) is remembered and not
 * tried again for any of its members. Three kinds of numbers are left to test for each connector:
 * those barred by its own `fits`; those that its `unlike` may allow, each confusable with the
 * number of a connector in `unlike` or held by it; and those that only it holds itself. The time is
 * therefore near linear in the connectors, and not quadratic. */
#include <stdlib.h>
#include <string.h>

#include "tags/numbering.h"

#define NONE_LEFT (LT_NUMBER_MAX + 1)
#define ROOM_AT_FIRST 1024
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

static struct lt_bars *create_bars(void)
{
	struct lt_bars *bars = lt_alloc(sizeof *bars);
	*bars = (struct lt_bars){
		.slots = lt_alloc_array(ROOM_AT_FIRST, sizeof(struct bar)),
		.room = ROOM_AT_FIRST,
	};
	return bars;
}

static void destroy_bars(struct lt_bars *bars)
{
	free(bars->slots);
	free(bars);
}

void lt_numbering_init(struct lt_numbering *numbering, const struct lt_harness *harness,
	const struct lt_lookalikes *lookalikes, unsigned *number_of)
{
	*numbering = (struct lt_numbering){
		.harness = harness,
		.lookalikes = lookalikes,
		.markings = lt_markings_create(lookalikes),
		.number_of = number_of,
		.owner_of = lt_alloc_array(NONE_LEFT + 1, sizeof *numbering->owner_of),
		.fit = create_bars(),
		.plain = create_bars(),
	};
	for (unsigned i = 0; i <= NONE_LEFT; i++)
		numbering->owner_of[i] = LT_NONE;
	for (unsigned i = 1; i <= LT_NUMBER_MAX; i++)
		if (lt_marking_ends_id(numbering->markings, i))
			add_bar(numbering->plain, USED, i, i + 1);
	for (size_t i = 0; i < harness->connector_count; i++)
		numbering->numbered += harness->connectors[i].marking != LT_MARK_NONE;
}

void lt_numbering_finish(struct lt_numbering *numbering)
{
	free(numbering->owner_of);
	destroy_bars(numbering->fit);
	destroy_bars(numbering->plain);
	lt_markings_destroy(numbering->markings);
	*numbering = (struct lt_numbering){ 0 };
}

void lt_numbering_take(struct lt_numbering *numbering, unsigned number, size_t connector)
{
	add_bar(numbering->fit, USED, number, number + 1);
	add_bar(numbering->plain, USED, number, number + 1);
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

/* Whether an unused number is fit for the connector. */
static bool is_fit_for(const struct lt_numbering *n, const struct neighbours *neighbours,
	unsigned number, size_t connector)
{
	for (size_t i = 0; i < neighbours->count; i++)
		if (lt_lookalike_for_numbering(n->lookalikes, connector, neighbours->owners[i]))
			return false;
	return !lt_marking_of_lookalike(n->markings, connector, number);
}

static bool is_barred_to(const struct lt_numbering *n, const struct neighbours *neighbours,
	size_t scope)
{
	for (size_t i = 0; i < neighbours->count; i++)
		if (lt_scope_blocked_by(n->lookalikes, scope, neighbours->owners[i]))
			return true;
	return false;
}

static bool ends_in_digit(const char *text)
{
	const size_t length = strlen(text);
	return length > 0 && text[length - 1] >= '0' && text[length - 1] <= '9';
}

/* What one search is about. */
struct search {
	const struct lt_numbering *numbering;
	struct lt_bars *bars;
	size_t connector;
	struct lt_indices scopes; /* lt_scopes_of */
	size_t circles;           /* how many times four of them there are behind the first */
};

/* Notes that the number is barred to the widest of the scopes that it is barred to, if any. */
static bool bar(const struct search *search, unsigned number, const struct neighbours *neighbours)
{
	const struct lt_numbering *n = search->numbering;
	/* The one for several circles together is barred by what bars one of them. */
	const size_t count = search->scopes.count - (search->circles > 1);
	for (size_t i = 0; i < count; i++) {
		if (is_barred_to(n, neighbours, search->scopes.items[i]) ||
			lt_marking_bars_scope(n->markings, search->connector, i, number)) {
			add_bar(search->bars, search->scopes.items[i], number, number + 1);
			return true;
		}
	}
	return false;
}

/* The scopes, by their place among a connector's, whose blockers are all among those of the scope
 * at `place`: the first of them and how far it is from one to the next. */
struct within {
	size_t first, step, count;
};

static struct within within_scope(const struct search *search, size_t place)
{
	enum { FOUR = LT_SCOPES_OF_CIRCLE };
	if (place == 0)
		return (struct within){ 0, 0, 0 };
	if (place > FOUR * search->circles)
		return search->circles > 0 ? (struct within){ FOUR, FOUR, search->circles }
					   : (struct within){ 0, 0, 1 };
	switch ((place - 1) % FOUR) {
	case 0:
		return (struct within){ 0, 0, 1 };
	case 1:
		return (struct within){ place - 1, 0, 1 };
	case 2:
		return (struct within){ place - 2, 0, 1 };
	default:
		return (struct within){ place - 2, 1, 2 };
	}
}

/* The first number, from this one on, that is neither used nor known as barred to the connector's
 * scope at `place` or to one within it. What is passed over is noted as barred to this scope too:
 * used numbers and those barred to various scopes lie mixed, and are gone through only once. */
static unsigned pass(const struct search *search, size_t place, unsigned number)
{
	const struct within within = within_scope(search, place);
	for (;;) {
		number = pass_bars(search->bars, search->scopes.items[place], number);
		unsigned next = pass_bars(search->bars, USED, number);
		for (size_t i = 0; i < within.count; i++)
			next = pass(search, within.first + i * within.step, next);
		if (next == number)
			return number;
		add_bar(search->bars, search->scopes.items[place], number, next);
	}
}

/* The smallest number that no scope of the connector bars and that is fit for it. */
static unsigned next_by_scopes(const struct search *search)
{
	const size_t count = search->scopes.count;
	unsigned number = 1;
	while ((number = count > 0 ? pass(search, count - 1, number)
				   : pass_bars(search->bars, USED, number)) < NONE_LEFT) {
		struct neighbours neighbours;
		find_neighbours(&neighbours, search->numbering, number);
		if (bar(search, number, &neighbours))
			continue;
		if (is_fit_for(search->numbering, &neighbours, number, search->connector))
			break;
		number++;
	}
	return number;
}

/* The number where it is below the limit, not used and fit for the connector; else the limit. */
static unsigned better(const struct search *search, unsigned number, unsigned limit)
{
	struct neighbours neighbours;
	if (number == 0 || number >= limit || pass_bars(search->bars, USED, number) != number)
		return limit;
	find_neighbours(&neighbours, search->numbering, number);
	return is_fit_for(search->numbering, &neighbours, number, search->connector) ? number
										     : limit;
}

/* The smallest number below the limit that one connector, which is `unlike` the searching one,
 * keeps from being found by scopes: by its number, id or port. The limit where there is none. */
static unsigned next_by_unlike(const struct search *search, size_t other, unsigned limit)
{
	const struct lt_numbering *n = search->numbering;
	const struct lt_connector *described = &n->harness->connectors[other];
	unsigned others[LT_CONFUSABLE_MAX];
	const size_t count =
		n->number_of[other] != 0 ? lt_confusable_all(others, n->number_of[other]) : 0;
	for (size_t i = 0; i < count; i++)
		limit = better(search, others[i], limit);
	limit = better(search, lt_marking_number(described->id), limit);
	return better(search, lt_marking_number(described->port), limit);
}

static unsigned next_fit(struct lt_numbering *n, struct lt_bars *bars, size_t connector)
{
	struct search search = { .numbering = n, .bars = bars, .connector = connector };
	const struct lt_connector *described = &n->harness->connectors[connector];
	const struct lt_indices unlike = lt_lookalike_unlike(n->lookalikes, connector);
	search.scopes = lt_scopes_of(n->lookalikes, connector);
	search.circles =
		search.scopes.count > 0 ? (search.scopes.count - 1) / LT_SCOPES_OF_CIRCLE : 0;
	unsigned number = next_by_scopes(&search);
	for (size_t i = 0; i < unlike.count; i++)
		number = next_by_unlike(&search, unlike.items[i], number);
	number = better(&search, lt_marking_number(described->id), number);
	return better(&search, lt_marking_number(described->port), number);
}

unsigned lt_numbering_next(struct lt_numbering *numbering, size_t connector)
{
	unsigned number = NONE_LEFT;
	if (numbering->harness->numbers == LT_NUMBERS_OWN)
		number = next_fit(numbering, numbering->plain, connector);
	if (numbering->harness->numbers != LT_NUMBERS_OWN || number > 2 * numbering->numbered)
		number = next_fit(numbering, numbering->fit, connector);
	return number < NONE_LEFT ? number : 0;
}

unsigned lt_numbering_own(const struct lt_numbering *numbering, size_t connector)
{
	enum { ALWAYS = 99 };
	const struct lt_connector *described = &numbering->harness->connectors[connector];
	const unsigned most =
		2 * numbering->numbered > ALWAYS ? 2 * numbering->numbered : (unsigned)ALWAYS;
	unsigned number = lt_marking_number(described->id);
	if (number == 0 && !ends_in_digit(described->id))
		number = lt_marking_number(described->port);
	const struct search search = {
		.numbering = numbering, .bars = numbering->fit, .connector = connector
	};
	return number <= most && better(&search, number, NONE_LEFT) == number ? number : 0;
}

/* An id up to the digits that end it, and how many connectors share it. */
struct prefix {
	size_t first; /* the first connector that has it */
	size_t count;
};

struct place {
	struct prefix prefix;
	size_t connector;
};

static int compare_places(const void *one, const void *other)
{
	const struct place *a = one, *b = other;
	if (a->prefix.count != b->prefix.count)
		return a->prefix.count > b->prefix.count ? -1 : 1;
	if (a->prefix.first != b->prefix.first)
		return a->prefix.first < b->prefix.first ? -1 : 1;
	return (a->connector > b->connector) - (a->connector < b->connector);
}

size_t *lt_numbering_order(const struct lt_harness *harness)
{
	const size_t count = harness->connector_count;
	struct lt_arena arena = { 0 };
	struct lt_hash known = { 0 };
	struct prefix *prefixes = lt_arena_array(&arena, count, sizeof *prefixes);
	struct place *places = lt_arena_array(&arena, count, sizeof *places);
	size_t *which = lt_arena_array(&arena, count, sizeof *which);
	for (size_t i = 0; i < count; i++) {
		const char *id = harness->connectors[i].id;
		size_t length = strlen(id);
		while (length > 0 && id[length - 1] >= '0' && id[length - 1] <= '9')
			length--;
		const char *prefix = lt_arena_copy(&arena, id, length);
		which[i] = lt_hash_get(&known, prefix);
		if (which[i] == LT_HASH_NONE) {
			which[i] = known.count;
			prefixes[which[i]].first = i;
			lt_hash_put(&known, prefix, which[i]);
		}
		prefixes[which[i]].count += harness->connectors[i].marking != LT_MARK_NONE;
	}
	for (size_t i = 0; i < count; i++)
		places[i] = (struct place){ prefixes[which[i]], i };
	if (count > 0)
		qsort(places, count, sizeof *places, compare_places);
	size_t *order = lt_alloc_array(count + 1, sizeof *order);
	for (size_t i = 0; i < count; i++)
		order[i] = places[i].connector;
	lt_hash_finish(&known);
	lt_arena_finish(&arena);
	return order;
}
