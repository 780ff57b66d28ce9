/* Which connectors would mate with which: questions about one or two of them. */
#include <stdlib.h>

#include "harness/lookalike_index.h"
#include "loomtag/harness.h"

struct lt_lookalikes *lt_lookalikes_create(const struct lt_harness *harness)
{
	struct lt_lookalikes *l = lt_alloc(sizeof *l);
	*l = (struct lt_lookalikes){ .harness = harness };
	lt_arena_init(&l->arena);
	lt_classes_index(l);
	lt_said_index(l);

	unsigned *rank = lt_alloc_array(harness->connector_count + 1, sizeof *rank);
	for (size_t i = 0; i < harness->connector_count; i++)
		rank[i] = (unsigned)i + 1;
	l->by_index = lt_lookalike_order_create(l, rank);
	free(rank);
	lt_groups_find(l);
	return l;
}

void lt_lookalikes_destroy(struct lt_lookalikes *lookalikes)
{
	if (lookalikes == NULL)
		return;
	lt_lookalike_order_destroy(lookalikes->by_index);
	free(lookalikes->classes);
	free(lookalikes->scopes);
	lt_arena_finish(&lookalikes->arena);
	free(lookalikes);
}

struct lt_indices lt_lookalike_fits(const struct lt_lookalikes *lookalikes, size_t connector)
{
	return lt_row(&lookalikes->fits, connector);
}

struct lt_indices lt_lookalike_unlike(const struct lt_lookalikes *lookalikes, size_t connector)
{
	return lt_row(&lookalikes->unlike, connector);
}

static bool is_clip(const struct lt_lookalikes *l, size_t connector)
{
	return l->harness->connectors[connector].kind == LT_CLIP;
}

static bool is_unknown(const struct lt_lookalikes *l, size_t connector)
{
	return l->class_of[connector] == LT_NONE && !is_clip(l, connector);
}

/* The pattern of a connector of known fit. */
static const struct lt_pattern *pattern_of(const struct lt_lookalikes *l, size_t connector)
{
	return &l->classes[l->class_of[connector]].pattern;
}

bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	if (lookalikes->class_of[a] == LT_NONE || lookalikes->class_of[b] == LT_NONE)
		return false;
	const struct lt_pattern *p = pattern_of(lookalikes, a);
	const struct lt_pattern *q = pattern_of(lookalikes, b);
	return p->shell == q->shell && (p->ways == 0 || q->ways == 0 || p->ways == q->ways) &&
	       (p->key == 0 || q->key == 0 || p->key == q->key);
}

/* What the description says of the two overrules what their fields say. */
static bool overruled(const struct lt_lookalikes *l, size_t a, size_t b, bool by_fields)
{
	if (lt_row_holds(lt_row(&l->fits, a), b))
		return true;
	return by_fields && !lt_row_holds(lt_row(&l->unlike, a), b);
}

bool lt_lookalike(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	return a != b && overruled(lookalikes, a, b, lt_fields_match(lookalikes, a, b));
}

bool lt_lookalike_for_numbering(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	if (a == b)
		return false;
	bool unknown = !is_clip(lookalikes, a) && !is_clip(lookalikes, b) &&
		       (is_unknown(lookalikes, a) || is_unknown(lookalikes, b));
	return overruled(lookalikes, a, b, unknown || lt_fields_match(lookalikes, a, b));
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

const struct lt_indices *lt_lookalike_groups(const struct lt_lookalikes *lookalikes, size_t *count)
{
	*count = lookalikes->group_count;
	return lookalikes->groups;
}

size_t lt_scopes_of(const struct lt_lookalikes *lookalikes, size_t connector, size_t out[LT_SCOPES])
{
	if (is_clip(lookalikes, connector))
		return 0;
	if (is_unknown(lookalikes, connector)) {
		out[0] = LT_SCOPE_UNKNOWN;
		out[1] = LT_SCOPE_ALL;
		return 2;
	}
	const struct lt_fit_class *class = &lookalikes->classes[lookalikes->class_of[connector]];
	for (size_t i = 0; i < LT_SCOPES; i++)
		out[i] = class->scopes[i];
	return LT_SCOPES;
}

size_t lt_scope_count(const struct lt_lookalikes *lookalikes)
{
	return lookalikes->scope_count;
}

bool lt_scope_blocked_by(const struct lt_lookalikes *lookalikes, size_t scope, size_t connector)
{
	if (is_clip(lookalikes, connector))
		return false;
	if (scope == LT_SCOPE_ALL || is_unknown(lookalikes, connector))
		return true;
	if (scope == LT_SCOPE_UNKNOWN)
		return false;
	const struct lt_pattern *s = &lookalikes->scopes[scope];
	const struct lt_pattern *p = pattern_of(lookalikes, connector);
	return s->shell == p->shell &&
	       (s->ways == LT_ANY_WAYS || p->ways == 0 || s->ways == p->ways) &&
	       (s->key == LT_ANY_KEY || p->key == 0 || s->key == p->key);
}
