/* What to ask about families: which are nearly the same, and which have several numbers of ways. */
#include <stdlib.h>

#include "harness/lookalike.h"
#include "harness/rows.h"

static size_t shell_of(const struct lt_lookalikes *l, size_t connector)
{
	return l->classes[l->class_of[connector]].shell;
}

/* How many of a list that is said of a connector match it by another family of the circle. */
static size_t count_said(const struct lt_lookalikes *l, struct lt_indices said, size_t connector,
	size_t circle)
{
	size_t count = 0;
	for (size_t i = 0; i < said.count; i++) {
		const size_t other = said.items[i];
		count += lt_fields_match(l, connector, other) &&
			 shell_of(l, other) != shell_of(l, connector) &&
			 lt_row_holds(l->near[shell_of(l, other)], circle);
	}
	return count;
}

static size_t count_matches(const struct lt_lookalikes *l, const struct lt_fit_lists *lists)
{
	size_t count = 0;
	for (size_t i = 0; i < lists->match_count; i++)
		count += lt_lookalike_order_count(l->by_index, lists->matches[i]);
	return count;
}

/* Whether a connector matches one of another family of its `nth` circle, and neither `fits` nor
 * `unlike` says anything of the two. */
static bool is_open(const struct lt_lookalikes *l, size_t connector, size_t nth)
{
	const struct lt_fit_class *class = &l->classes[l->class_of[connector]];
	const size_t circle = l->near[class->shell].items[nth];
	const struct lt_indices unlike = l->unlike[connector];
	size_t said = count_said(l, l->fits[connector], connector, circle);
	for (size_t i = 0; i < unlike.count; i++)
		if (!lt_row_holds(l->fits[connector], unlike.items[i]))
			said += count_said(l, (struct lt_indices){ &unlike.items[i], 1 }, connector,
				circle);
	return count_matches(l, &class->near[nth]) > count_matches(l, &class->own) + said;
}

struct lt_indices *lt_lookalike_near(size_t *count, const struct lt_lookalikes *lookalikes,
	struct lt_arena *arena)
{
	const struct lt_lookalikes *l = lookalikes;
	struct lt_pair *pairs = NULL;
	size_t pair_count = 0, room = 0;
	for (size_t i = 0; i < l->harness->connector_count; i++) {
		if (l->class_of[i] == LT_NONE)
			continue;
		const struct lt_indices circles = l->near[shell_of(l, i)];
		for (size_t j = 0; j < circles.count; j++) {
			if (!is_open(l, i, j))
				continue;
			pairs = lt_grow(pairs, &room, pair_count + 1, sizeof *pairs);
			pairs[pair_count++] = (struct lt_pair){ circles.items[j], i };
		}
	}
	struct lt_indices *rows = lt_rows_make(arena, l->circle_count, pairs, pair_count);
	size_t *seen = lt_alloc_array(l->shell_count + 1, sizeof *seen);
	*count = 0;
	for (size_t i = 0; i < l->circle_count; i++) {
		struct lt_indices firsts = { rows[i].items, 0 };
		for (size_t j = 0; j < rows[i].count; j++) {
			const size_t shell = shell_of(l, rows[i].items[j]);
			if (seen[shell] != i + 1)
				firsts.items[firsts.count++] = rows[i].items[j];
			seen[shell] = i + 1;
		}
		if (firsts.count > 1)
			rows[(*count)++] = firsts;
	}
	free(seen);
	free(pairs);
	return rows;
}

/* A connector that has ways. */
struct sized {
	size_t shell, connector;
	unsigned ways;
};

static int compare_sized(const void *one, const void *other)
{
	const struct sized *a = one, *b = other;
	if (a->shell != b->shell)
		return a->shell < b->shell ? -1 : 1;
	if (a->ways != b->ways)
		return a->ways < b->ways ? -1 : 1;
	return (a->connector > b->connector) - (a->connector < b->connector);
}

static bool keys_differ(const struct lt_lookalikes *l, size_t one, size_t other)
{
	const size_t a = l->classes[l->class_of[one]].key, b = l->classes[l->class_of[other]].key;
	return a != 0 && b != 0 && a != b;
}

/* The first connectors of each shell and number of ways; returns how many. */
static size_t find_sizes(struct sized *sized, const struct lt_lookalikes *l)
{
	size_t all = 0, kept = 0;
	for (size_t i = 0; i < l->harness->connector_count; i++)
		if (l->class_of[i] != LT_NONE && l->harness->connectors[i].ways != 0)
			sized[all++] =
				(struct sized){ shell_of(l, i), i, l->harness->connectors[i].ways };
	if (all > 0)
		qsort(sized, all, sizeof *sized, compare_sized);
	for (size_t i = 0; i < all; i++)
		if (i == 0 || sized[i].shell != sized[kept - 1].shell ||
			sized[i].ways != sized[kept - 1].ways)
			sized[kept++] = sized[i];
	return kept;
}

struct lt_narrower *lt_lookalike_narrower(size_t *count, const struct lt_lookalikes *lookalikes,
	struct lt_arena *arena)
{
	const struct lt_lookalikes *l = lookalikes;
	const size_t connectors = l->harness->connector_count;
	struct sized *sized = lt_alloc_array(connectors + 1, sizeof *sized);
	struct lt_narrower *out = lt_arena_array(arena, connectors, sizeof *out);
	const size_t sizes = find_sizes(sized, l);
	*count = 0;
	for (size_t i = 0; i < sizes; i++) {
		const size_t narrow = sized[i].connector;
		size_t j = i + 1;
		while (j < sizes && sized[j].shell == sized[i].shell &&
			keys_differ(l, narrow, sized[j].connector))
			j++;
		if (j == sizes || sized[j].shell != sized[i].shell)
			continue;
		const size_t wide = sized[j].connector;
		if (!lt_row_holds(l->fits[narrow], wide) && !lt_row_holds(l->unlike[narrow], wide))
			out[(*count)++] = (struct lt_narrower){ narrow, wide };
	}
	free(sized);
	return out;
}
