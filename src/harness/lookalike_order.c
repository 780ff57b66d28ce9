/* Look-alikes in a given order, without ever comparing all with all, and the groups they form. */
#include <stdlib.h>

#include "harness/lookalike_index.h"

/* Rows of ranks laid end to end, each ascending. */
struct rank_rows {
	size_t *starts;
	unsigned *ranks;
};

struct lt_lookalike_order {
	struct lt_arena arena;
	const struct lt_lookalikes *lookalikes;
	unsigned *rank;         /* by connector */
	struct rank_rows lists; /* by list: those who stand in it */
	struct rank_rows more;  /* by connector: look-alikes by `fits` alone */
	struct rank_rows fewer; /* by connector: matched by their fields, but `unlike` */
};

/* Ascending ranks that are being read. */
struct run {
	const unsigned *at, *end;
};

static struct run run_of(const struct rank_rows *rows, size_t row)
{
	return (struct run){ rows->ranks + rows->starts[row], rows->ranks + rows->starts[row + 1] };
}

static size_t run_length(struct run run)
{
	return (size_t)(run.end - run.at);
}

/* True when the run goes on with this rank; passes over what is smaller. */
static bool run_meets(struct run *run, unsigned rank)
{
	while (run->at < run->end && *run->at < rank)
		run->at++;
	return run->at < run->end && *run->at == rank;
}

/* Connectors by rank, those without one left out; *count is how many. The caller frees. */
static size_t *sorted_by_rank(size_t *count, const struct lt_lookalike_order *order)
{
	size_t connectors = order->lookalikes->harness->connector_count;
	unsigned max = 0;
	for (size_t i = 0; i < connectors; i++)
		if (order->rank[i] > max)
			max = order->rank[i];
	size_t *behind = lt_alloc_array((size_t)max + 1, sizeof *behind); /* index + 1 */
	for (size_t i = 0; i < connectors; i++)
		behind[order->rank[i]] = i + 1;
	size_t *sorted = lt_alloc_array(connectors, sizeof *sorted);
	*count = 0;
	for (size_t r = 1; r <= max; r++)
		if (behind[r] != 0)
			sorted[(*count)++] = behind[r] - 1;
	free(behind);
	return sorted;
}

/* Lays out rows for the counts that stand in starts[row + 2]. Afterwards starts[row + 1] is where
 * the next rank of the row goes, and once all are in, where the row ends. */
static void lay_out(struct rank_rows *rows, size_t count, struct lt_arena *arena)
{
	for (size_t row = 0; row < count; row++)
		rows->starts[row + 2] += rows->starts[row + 1];
	rows->ranks = lt_arena_array(arena, rows->starts[count + 1] + 1, sizeof *rows->ranks);
}

static void put(struct rank_rows *rows, size_t row, unsigned rank)
{
	rows->ranks[rows->starts[row + 1]++] = rank;
}

static void order_lists(struct lt_lookalike_order *order, const size_t *sorted, size_t count)
{
	const struct lt_lookalikes *l = order->lookalikes;
	struct rank_rows *rows = &order->lists;
	rows->starts = lt_arena_array(&order->arena, l->list_count + 2, sizeof *rows->starts);
	for (size_t i = 0; i < count; i++)
		if (l->class_of[sorted[i]] != LT_NONE)
			for (size_t j = 0; j < LT_CLASS_LISTS; j++)
				rows->starts[l->classes[l->class_of[sorted[i]]].in[j] + 2]++;
	lay_out(rows, l->list_count, &order->arena);
	for (size_t i = 0; i < count; i++)
		if (l->class_of[sorted[i]] != LT_NONE)
			for (size_t j = 0; j < LT_CLASS_LISTS; j++)
				put(rows, l->classes[l->class_of[sorted[i]]].in[j],
					order->rank[sorted[i]]);
}

/* True when what is said of the two changes what their fields say. */
static bool changes(const struct lt_lookalikes *l, size_t a, size_t b, bool fits)
{
	return a != b && lt_fields_match(l, a, b) != lt_lookalike(l, a, b) &&
	       lt_lookalike(l, a, b) == fits;
}

static void order_said(struct lt_lookalike_order *order, const size_t *sorted, size_t count,
	bool fits)
{
	const struct lt_lookalikes *l = order->lookalikes;
	const struct lt_rows *said = fits ? &l->fits : &l->unlike;
	struct rank_rows *rows = fits ? &order->more : &order->fewer;
	size_t connectors = l->harness->connector_count;
	rows->starts = lt_arena_array(&order->arena, connectors + 2, sizeof *rows->starts);
	for (size_t i = 0; i < count; i++) {
		struct lt_indices others = lt_row(said, sorted[i]);
		for (size_t j = 0; j < others.count; j++)
			if (changes(l, sorted[i], others.items[j], fits))
				rows->starts[others.items[j] + 2]++;
	}
	lay_out(rows, connectors, &order->arena);
	for (size_t i = 0; i < count; i++) {
		struct lt_indices others = lt_row(said, sorted[i]);
		for (size_t j = 0; j < others.count; j++)
			if (changes(l, sorted[i], others.items[j], fits))
				put(rows, others.items[j], order->rank[sorted[i]]);
	}
}

struct lt_lookalike_order *lt_lookalike_order_create(const struct lt_lookalikes *lookalikes,
	const unsigned *rank)
{
	struct lt_lookalike_order *order = lt_alloc(sizeof *order);
	lt_arena_init(&order->arena);
	order->lookalikes = lookalikes;
	size_t connectors = lookalikes->harness->connector_count;
	order->rank = lt_arena_array(&order->arena, connectors, sizeof *order->rank);
	for (size_t i = 0; i < connectors; i++)
		order->rank[i] = rank[i];

	size_t count;
	size_t *sorted = sorted_by_rank(&count, order);
	order_lists(order, sorted, count);
	order_said(order, sorted, count, true);
	order_said(order, sorted, count, false);
	free(sorted);
	return order;
}

void lt_lookalike_order_destroy(struct lt_lookalike_order *order)
{
	if (order == NULL)
		return;
	lt_arena_finish(&order->arena);
	free(order);
}

/* Takes the smallest rank off the runs, which have none in common; 0 when all are at their end. */
static unsigned take_smallest(struct run *runs, size_t count)
{
	struct run *smallest = NULL;
	for (size_t i = 0; i < count; i++)
		if (runs[i].at < runs[i].end && (smallest == NULL || *runs[i].at < *smallest->at))
			smallest = &runs[i];
	return smallest != NULL ? *smallest->at++ : 0;
}

size_t lt_lookalike_ranks(const struct lt_lookalike_order *order, size_t connector, unsigned *out,
	size_t limit)
{
	const struct lt_lookalikes *l = order->lookalikes;
	struct run runs[LT_CLASS_LISTS + 1] = { run_of(&order->more, connector) };
	size_t run_count = 1;
	size_t total = run_length(runs[0]);
	struct run fewer = run_of(&order->fewer, connector);
	unsigned self = order->rank[connector];
	if (l->class_of[connector] != LT_NONE) {
		const struct lt_fit_class *class = &l->classes[l->class_of[connector]];
		for (size_t i = 0; i < class->match_count; i++) {
			runs[run_count] = run_of(&order->lists, class->matches[i]);
			total += run_length(runs[run_count++]);
		}
		total -= run_length(fewer) + (self != 0 ? 1 : 0);
	}
	for (size_t given = 0; given < limit && given < total;) {
		unsigned rank = take_smallest(runs, run_count);
		if (rank != self && !run_meets(&fewer, rank))
			out[given++] = rank;
	}
	return total;
}

/* The search for groups. The lists that it works on hold only who may not have been reached yet:
 * whoever is reached is dropped when next met, so that every list is gone through once, apart
 * from those kept for being `unlike` whoever was looking. */
struct search {
	struct lt_lookalikes *lookalikes;
	struct rank_rows lists;
	size_t *ends;     /* by list: where it ends by now */
	size_t *group_of; /* by connector: from 1, 0 not reached yet */
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

static void reach_list(struct search *search, size_t list, size_t from, size_t group)
{
	size_t kept = search->lists.starts[list];
	for (size_t i = kept; i < search->ends[list]; i++) {
		unsigned rank = search->lists.ranks[i];
		size_t other = rank - 1;
		if (search->group_of[other] != 0)
			continue;
		if (search->unlike_seen[other] == from + 1)
			search->lists.ranks[kept++] = rank;
		else
			reach(search, other, group);
	}
	search->ends[list] = kept;
}

static void reach_from(struct search *search, size_t from, size_t group)
{
	const struct lt_lookalikes *l = search->lookalikes;
	struct lt_indices fits = lt_row(&l->fits, from);
	for (size_t i = 0; i < fits.count; i++)
		reach(search, fits.items[i], group);
	if (l->class_of[from] == LT_NONE)
		return;
	struct lt_indices unlike = lt_row(&l->unlike, from);
	for (size_t i = 0; i < unlike.count; i++)
		search->unlike_seen[unlike.items[i]] = from + 1;
	const struct lt_fit_class *class = &l->classes[l->class_of[from]];
	for (size_t i = 0; i < class->match_count; i++)
		reach_list(search, class->matches[i], from, group);
}

/* Gives every connector its group's number and *sizes the groups' sizes, by number. Returns the
 * number of groups, those of one connector too. */
static size_t search_groups(struct search *search, size_t *sizes)
{
	size_t groups = 0;
	size_t done = 0;
	for (size_t i = 0; i < search->lookalikes->harness->connector_count; i++) {
		if (search->group_of[i] != 0)
			continue;
		size_t before = done;
		reach(search, i, ++groups);
		while (done < search->queued)
			reach_from(search, search->queue[done++], groups);
		sizes[groups] = done - before;
	}
	return groups;
}

/* Keeps the groups of two and more. */
static void keep_groups(const struct search *search, const size_t *sizes, size_t groups)
{
	struct lt_lookalikes *l = search->lookalikes;
	size_t connectors = l->harness->connector_count;
	size_t *number = lt_alloc_array(groups + 1, sizeof *number); /* from 1; 0: not kept */
	l->groups = lt_arena_array(&l->arena, groups, sizeof *l->groups);
	for (size_t i = 1; i <= groups; i++) {
		if (sizes[i] < 2)
			continue;
		l->groups[l->group_count].items =
			lt_arena_array(&l->arena, sizes[i], sizeof(size_t));
		number[i] = ++l->group_count;
	}
	for (size_t i = 0; i < connectors; i++) {
		size_t kept = number[search->group_of[i]];
		if (kept != 0) {
			struct lt_indices *group = &l->groups[kept - 1];
			group->items[group->count++] = i;
		}
	}
	free(number);
}

void lt_groups_find(struct lt_lookalikes *lookalikes)
{
	const struct rank_rows *lists = &lookalikes->by_index->lists;
	size_t connectors = lookalikes->harness->connector_count;
	size_t list_count = lookalikes->list_count;
	size_t entries = lists->starts[list_count];
	struct lt_arena arena;
	lt_arena_init(&arena);
	struct search search = {
		.lookalikes = lookalikes,
		.lists = { lists->starts, lt_arena_array(&arena, entries, sizeof(unsigned)) },
		.ends = lt_arena_array(&arena, list_count, sizeof(size_t)),
		.group_of = lt_arena_array(&arena, connectors, sizeof(size_t)),
		.queue = lt_arena_array(&arena, connectors, sizeof(size_t)),
		.unlike_seen = lt_arena_array(&arena, connectors, sizeof(size_t)),
	};
	for (size_t i = 0; i < entries; i++)
		search.lists.ranks[i] = lists->ranks[i];
	for (size_t i = 0; i < list_count; i++)
		search.ends[i] = lists->starts[i + 1];

	size_t *sizes = lt_arena_array(&arena, connectors + 1, sizeof *sizes);
	size_t groups = search_groups(&search, sizes);
	keep_groups(&search, sizes, groups);
	lt_arena_finish(&arena);
}
