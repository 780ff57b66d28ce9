/* Look-alikes listed, in any order, without ever comparing all with all, and the groups they form.
 */
#include <stdlib.h>

#include "harness/lookalike.h"
#include "harness/rows.h"

struct lt_lookalike_order {
	struct lt_arena arena;
	const struct lt_lookalikes *lookalikes;
	unsigned *rank;           /* by connector; 0: left out */
	struct lt_indices *lists; /* by list: the ranks of those who stand in it, ascending */
};

struct lt_lookalike_order *lt_lookalike_order_create(const struct lt_lookalikes *lookalikes,
	const unsigned *rank)
{
	struct lt_lookalike_order *order = lt_alloc(sizeof *order);
	*order = (struct lt_lookalike_order){ .lookalikes = lookalikes };
	size_t connectors = lookalikes->harness->connector_count;
	order->rank = lt_arena_array(&order->arena, connectors, sizeof *order->rank);
	struct lt_pair *pairs = NULL;
	size_t pair_count = 0, room = 0;
	for (size_t i = 0; i < connectors; i++) {
		order->rank[i] = rank[i];
		if (rank[i] != 0)
			pairs = lt_fit_add_pairs(pairs, &pair_count, &room, lookalikes, i, rank[i]);
	}
	order->lists = lt_rows_make(&order->arena, lookalikes->pattern_count, pairs, pair_count);
	free(pairs);
	return order;
}

void lt_lookalike_order_destroy(struct lt_lookalike_order *order)
{
	if (order == NULL)
		return;
	lt_arena_finish(&order->arena);
	free(order);
}

/* The ranks of those that are look-alikes by `fits` alone, or are none by `unlike` alone;
 * ascending. The caller frees the items. */
static struct lt_indices described_ranks(const struct lt_lookalike_order *order, size_t connector,
	bool fits)
{
	const struct lt_lookalikes *l = order->lookalikes;
	struct lt_indices said = fits ? l->fits[connector] : l->unlike[connector];
	struct lt_indices ranks = { lt_alloc_array(said.count + 1, sizeof *ranks.items), 0 };
	for (size_t i = 0; i < said.count; i++) {
		size_t other = said.items[i];
		if (order->rank[other] != 0 && other != connector &&
			lt_fields_match(l, connector, other) != fits &&
			lt_lookalike(l, connector, other) == fits)
			ranks.items[ranks.count++] = order->rank[other];
	}
	qsort(ranks.items, ranks.count, sizeof *ranks.items, lt_indices_compare);
	return ranks;
}

static size_t take_first(struct lt_indices *run)
{
	run->count--;
	return *run->items++;
}

/* Takes the smallest off all runs that begin with it. False when all are at their end. */
static bool take_smallest(size_t *out, struct lt_indices *runs, size_t count)
{
	const struct lt_indices *smallest = NULL;
	for (size_t i = 0; i < count; i++)
		if (runs[i].count != 0 && (smallest == NULL || *runs[i].items < *smallest->items))
			smallest = &runs[i];
	if (smallest == NULL)
		return false;
	*out = *smallest->items;
	for (size_t i = 0; i < count; i++)
		if (runs[i].count != 0 && *runs[i].items == *out)
			take_first(&runs[i]);
	return true;
}

size_t lt_lookalike_order_count(const struct lt_lookalike_order *order, size_t list)
{
	return order->lists[list].count;
}

static size_t count_ranks(const void *order, size_t list)
{
	return lt_lookalike_order_count(order, list);
}

size_t lt_lookalike_ranks(const struct lt_lookalike_order *order, size_t connector, unsigned *out,
	size_t limit)
{
	const struct lt_lookalikes *l = order->lookalikes;
	const struct lt_indices more = described_ranks(order, connector, true);
	const struct lt_indices fewer = described_ranks(order, connector, false);
	const unsigned self = order->rank[connector];
	const struct lt_fit_class *class =
		l->class_of[connector] != LT_NONE ? &l->classes[l->class_of[connector]] : NULL;
	size_t near_count = 0;
	const struct lt_fit_lists *near =
		class != NULL ? lt_fit_lists_of(&near_count, class) : NULL;
	struct lt_indices *runs = lt_alloc_array(1 + LT_CLASS_LISTS * near_count, sizeof *runs);
	size_t run_count = 0;
	runs[run_count++] = more;
	for (size_t i = 0; i < near_count; i++)
		for (size_t j = 0; j < near[i].match_count; j++)
			runs[run_count++] = order->lists[near[i].matches[j]];
	size_t total = more.count;
	if (class != NULL)
		total += lt_fit_count(class, count_ranks, order) -
			 (fewer.count + (self != 0 ? 1 : 0));
	struct lt_indices left_out = fewer;
	size_t rank;
	for (size_t given = 0;
		given < limit && given < total && take_smallest(&rank, runs, run_count);) {
		while (left_out.count != 0 && *left_out.items < rank)
			take_first(&left_out);
		if (rank != self && (left_out.count == 0 || *left_out.items != rank))
			out[given++] = (unsigned)rank;
	}
	free(runs);
	free(more.items);
	free(fewer.items);
	return total;
}

size_t lt_lookalikes_of(const struct lt_lookalikes *lookalikes, size_t connector, size_t *out,
	size_t limit)
{
	size_t room = lookalikes->harness->connector_count;
	if (room > limit)
		room = limit;
	unsigned *ranks = lt_alloc_array(room + 1, sizeof *ranks);
	size_t count = lt_lookalike_ranks(lookalikes->by_index, connector, ranks, room);
	for (size_t i = 0; i < count && i < room; i++)
		out[i] = ranks[i] - 1;
	free(ranks);
	return count;
}

/* The search for groups. The lists that it works on hold only who may not have been reached yet:
 * whoever is reached is dropped when next met, so that every list is gone through once, apart
 * from those kept for being `unlike` whoever was looking. */
struct search {
	const struct lt_lookalikes *lookalikes;
	struct lt_indices *lists; /* ranks: index + 1 */
	size_t *group_of;         /* by connector: from 1, 0 not reached yet */
	size_t *queue;
	size_t queued;
	size_t *unlike_seen; /* by connector: 1 + the last connector that it was found unlike */
};

static void reach(struct search *search, size_t connector, size_t group)
{
	if (search->group_of[connector] != 0)
		return;
	search->group_of[connector] = group;
	search->queue[search->queued++] = connector;
}

static void reach_list(struct search *search, struct lt_indices *list, size_t from, size_t group)
{
	size_t kept = 0;
	for (size_t i = 0; i < list->count; i++) {
		size_t rank = list->items[i];
		if (search->group_of[rank - 1] != 0)
			continue;
		if (search->unlike_seen[rank - 1] == from + 1)
			list->items[kept++] = rank;
		else
			reach(search, rank - 1, group);
	}
	list->count = kept;
}

static void reach_from(struct search *search, size_t from, size_t group)
{
	const struct lt_lookalikes *l = search->lookalikes;
	for (size_t i = 0; i < l->fits[from].count; i++)
		reach(search, l->fits[from].items[i], group);
	if (l->class_of[from] == LT_NONE)
		return;
	for (size_t i = 0; i < l->unlike[from].count; i++)
		search->unlike_seen[l->unlike[from].items[i]] = from + 1;
	size_t count;
	const struct lt_fit_lists *near = lt_fit_lists_of(&count, &l->classes[l->class_of[from]]);
	for (size_t i = 0; i < count; i++)
		for (size_t j = 0; j < near[i].match_count; j++)
			reach_list(search, &search->lists[near[i].matches[j]], from, group);
}

/* Finds the groups, and keeps those of two and more. `lists` are used up. */
static void find_groups(struct lt_lookalikes *l, struct lt_indices *lists)
{
	struct lt_arena arena = { 0 };
	size_t connectors = l->harness->connector_count;
	struct search search = {
		.lookalikes = l,
		.lists = lists,
		.group_of = lt_arena_array(&arena, connectors, sizeof(size_t)),
		.queue = lt_arena_array(&arena, connectors, sizeof(size_t)),
		.unlike_seen = lt_arena_array(&arena, connectors, sizeof(size_t)),
	};
	struct lt_pair *members = lt_arena_array(&arena, connectors, sizeof *members);
	size_t member_count = 0;
	size_t done = 0;
	for (size_t i = 0; i < connectors; i++) {
		size_t first = done;
		reach(&search, i, i + 1);
		while (done < search.queued)
			reach_from(&search, search.queue[done++], i + 1);
		if (done - first < 2)
			continue;
		for (size_t j = first; j < done; j++)
			members[member_count++] =
				(struct lt_pair){ l->group_count, search.queue[j] };
		l->group_count++;
	}
	l->groups = lt_rows_make(&l->arena, l->group_count, members, member_count);
	lt_arena_finish(&arena);
}

struct lt_lookalikes *lt_lookalikes_create(const struct lt_harness *harness)
{
	struct lt_lookalikes *l = lt_alloc(sizeof *l);
	*l = (struct lt_lookalikes){ .harness = harness };
	lt_fit_classes_make(l);

	unsigned *rank = lt_alloc_array(harness->connector_count + 1, sizeof *rank);
	for (size_t i = 0; i < harness->connector_count; i++)
		rank[i] = (unsigned)i + 1;
	l->by_index = lt_lookalike_order_create(l, rank);
	struct lt_lookalike_order *used_up = lt_lookalike_order_create(l, rank);
	find_groups(l, used_up->lists);
	lt_lookalike_order_destroy(used_up);
	free(rank);
	return l;
}

void lt_lookalikes_destroy(struct lt_lookalikes *lookalikes)
{
	if (lookalikes == NULL)
		return;
	lt_lookalike_order_destroy(lookalikes->by_index);
	free(lookalikes->classes);
	free(lookalikes->patterns);
	lt_arena_finish(&lookalikes->arena);
	free(lookalikes);
}

const struct lt_indices *lt_lookalike_groups(const struct lt_lookalikes *lookalikes, size_t *count)
{
	*count = lookalikes->group_count;
	return lookalikes->groups;
}

static size_t count_of(const struct lt_lookalikes *lookalikes, size_t connector)
{
	unsigned none;
	return lt_lookalike_ranks(lookalikes->by_index, connector, &none, 0);
}

bool lt_lookalikes_complete(const struct lt_lookalikes *lookalikes, struct lt_indices group)
{
	/* All that a member has are in its group. */
	for (size_t i = 0; i < group.count; i++)
		if (count_of(lookalikes, group.items[i]) + 1 != group.count)
			return false;
	return true;
}
