/* Where connectors leave the trunk, and what else has to be known of them. */
#include <stdlib.h>

#include "map/overview.h"

/* Places for connectors `first` to `last` - 1, none of which has one, evenly between two. */
static void spread(struct lt_overview_stop *stops, size_t first, size_t last, double from,
	double to)
{
	double step = (to - from) / (double)(last - first + 1);
	for (size_t i = first; i < last; i++)
		stops[i].place = from + step * (double)(i - first + 1);
}

/* Between neighbours in the description that say where they are; before the first of them from
 * the datum on, behind the last towards the harness's end. */
static void guess(struct lt_overview_stop *stops, const struct lt_harness *harness)
{
	size_t count = harness->connector_count, given = 0;
	double least = 0, most = 0;
	for (size_t i = 0; i < count; i++) {
		if (!harness->connectors[i].has_at)
			continue;
		double at = harness->connectors[i].at;
		least = given == 0 || at < least ? at : least;
		most = given == 0 || at > most ? at : most;
		given++;
	}
	double pitch = most > least ? (most - least) / (double)given : 10;
	double before = least > 0 ? 0 : least - pitch;
	size_t open = 0; /* the first that is still without a place */
	for (size_t i = 0; i < count; i++) {
		if (!harness->connectors[i].has_at)
			continue;
		stops[i].place = harness->connectors[i].at;
		stops[i].guessed = false;
		spread(stops, open, i, before, stops[i].place);
		before = stops[i].place;
		open = i + 1;
	}
	spread(stops, open, count, before, given > 0 ? most + pitch : (double)count + 1);
}

struct sorted {
	struct lt_overview_stop stop;
	size_t component, order;
};

static int compare_stops(const void *a, const void *b)
{
	const struct sorted *one = a, *other = b;
	if (one->stop.place != other->stop.place)
		return one->stop.place < other->stop.place ? -1 : 1;
	if (one->component != other->component)
		return one->component < other->component ? -1 : 1;
	return one->order < other->order ? -1 : one->order > other->order;
}

struct lt_overview_stop *lt_overview_stops(struct lt_arena *arena, const struct lt_harness *harness,
	bool *known)
{
	size_t count = harness->connector_count;
	struct lt_overview_stop *stops = lt_arena_array(arena, count, sizeof *stops);
	*known = false;
	for (size_t i = 0; i < count; i++) {
		stops[i] = (struct lt_overview_stop){ .connector = i, .guessed = true };
		*known = *known || harness->connectors[i].has_at;
	}
	if (count == 0)
		return stops;
	guess(stops, harness);
	struct sorted *sorted = lt_alloc_array(count, sizeof *sorted);
	for (size_t i = 0; i < count; i++)
		sorted[i] = (struct sorted){ stops[i], harness->connectors[i].component, i };
	qsort(sorted, count, sizeof *sorted, compare_stops);
	for (size_t i = 0; i < count; i++)
		stops[i] = sorted[i].stop;
	free(sorted);
	return stops;
}

void lt_overview_facts(struct lt_overview_facts *out, struct lt_arena *arena,
	const struct lt_tags *tags, const struct lt_lookalikes *lookalikes)
{
	size_t count = tags->harness->connector_count;
	out->group = lt_arena_array(arena, count, sizeof *out->group);
	out->groups = lt_lookalike_groups(lookalikes, &out->group_count);
	for (size_t i = 0; i < count; i++)
		out->group[i] = LT_NONE;
	for (size_t i = 0; i < out->group_count; i++)
		for (size_t j = 0; j < out->groups[i].count; j++)
			out->group[out->groups[i].items[j]] = i;
	out->joints = lt_arena_array(arena, tags->harness->component_count, sizeof *out->joints);
	for (size_t i = 0; i < count; i++)
		if (tags->harness->connectors[i].component != LT_NONE)
			out->joints[tags->harness->connectors[i].component]++;
}

const char *lt_overview_letter(struct lt_arena *arena, size_t group)
{
	enum { ROOM = 16 };
	char letters[ROOM];
	size_t at = ROOM - 1;
	letters[at] = '\0';
	for (size_t rest = group + 1; rest > 0; rest = (rest - 1) / 26)
		letters[--at] = (char)('A' + (rest - 1) % 26);
	return lt_arena_strdup(arena, letters + at);
}
