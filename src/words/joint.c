/* What the papers say of a joint, in the same words on each. */
#include <stdlib.h>
#include <strings.h>

#include "loomtag/words.h"

/* Look-alikes named on a line; the rest is counted. */
#define LOOKALIKES_NAMED 12

static const struct lt_connector *connector_of(const struct lt_tags *tags, size_t connector)
{
	return &tags->harness->connectors[connector];
}

static const struct lt_component *component_of(const struct lt_tags *tags, size_t connector)
{
	size_t component = connector_of(tags, connector)->component;
	return component == LT_NONE ? NULL : &tags->harness->components[component];
}

const char *lt_joint_port_word(const struct lt_connector *connector)
{
	return strncasecmp(connector->port, "port", 4) == 0 ? "" : "port ";
}

bool lt_joint_mate(struct lt_text *out, const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	const struct lt_component *component = component_of(tags, index);
	if (connector->port != NULL)
		lt_text_printf(out, "%s%s", lt_joint_port_word(connector), connector->port);
	if (component == NULL)
		return connector->port != NULL;
	if (connector->port != NULL)
		lt_text_add(out, " on ");
	if (component->name != NULL)
		lt_text_printf(out, "%s (%s)", component->name, component->id);
	else
		lt_text_add(out, component->id);
	if (component->where != NULL)
		lt_text_printf(out, ", %s", component->where);
	return true;
}

static int by_size(const void *a, const void *b)
{
	unsigned first = *(const unsigned *)a;
	unsigned second = *(const unsigned *)b;
	return first < second ? -1 : first > second;
}

/* What parts an item of a list from those before it. */
static const char *comma(size_t item, size_t count, const char *last)
{
	return item == 0 ? "" : item + 1 == count ? last : ", ";
}

/* The connectors by number, ascending, then by id those that have none; `last` stands before the
 * last one. */
static void write_joints(struct lt_text *out, const struct lt_tags *tags, const size_t *items,
	size_t count, const char *last)
{
	unsigned *numbers = lt_alloc_array(count + 1, sizeof *numbers);
	size_t numbered = 0;
	for (size_t i = 0; i < count; i++)
		if (tags->number_of[items[i]] != 0)
			numbers[numbered++] = tags->number_of[items[i]];
	qsort(numbers, numbered, sizeof *numbers, by_size);
	for (size_t i = 0; i < numbered; i++)
		lt_text_printf(out, "%s%u", comma(i, count, last), numbers[i]);
	for (size_t i = 0, item = numbered; i < count; i++)
		if (tags->number_of[items[i]] == 0)
			lt_text_printf(out, "%s%s (no number)", comma(item++, count, last),
				connector_of(tags, items[i])->id);
	free(numbers);
}

void lt_joint_after(struct lt_text *out, const struct lt_tags *tags, size_t index, size_t most)
{
	const struct lt_indices *after = &connector_of(tags, index)->after;
	size_t named = after->count < most ? after->count : most;
	lt_text_add(out, "after ");
	write_joints(out, tags, after->items, named, ", ");
	if (named < after->count)
		lt_text_printf(out, " and %zu more", after->count - named);
}

void lt_joint_first(struct lt_text *out, const struct lt_tags *tags, size_t index, size_t most)
{
	const struct lt_indices *after = &connector_of(tags, index)->after;
	size_t named = after->count < most ? after->count : most;
	lt_text_add(out, "make ");
	write_joints(out, tags, after->items, named, named < after->count ? ", " : " and ");
	if (named < after->count)
		lt_text_printf(out, " and %zu more", after->count - named);
	lt_text_add(out, " first");
}

static const char *what_to_check(const struct lt_tags *tags, size_t index)
{
	return tags->number_of[index] != 0 ? "check the number" : "check that it is the right one";
}

bool lt_joint_lookalikes(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t index)
{
	size_t items[LOOKALIKES_NAMED];
	size_t all = lt_lookalikes_of(lookalikes, index, items, LOOKALIKES_NAMED);
	size_t named = all < LOOKALIKES_NAMED ? all : LOOKALIKES_NAMED;
	if (all == 0)
		return false;
	lt_text_add(out, "would also fit ");
	write_joints(out, tags, items, named, ", ");
	if (all > named)
		lt_text_printf(out, " and %zu more", all - named);
	lt_text_printf(out, ": %s", what_to_check(tags, index));
	return true;
}

bool lt_joint_unknown_fit(struct lt_text *out, const struct lt_tags *tags, size_t index)
{
	if (!lt_fit_unknown(tags->harness, index))
		return false;
	lt_text_printf(out, "fit unknown, might go on others: %s", what_to_check(tags, index));
	return true;
}

const char *lt_joint_seat(const struct lt_tags *tags, size_t index)
{
	const struct lt_connector *connector = connector_of(tags, index);
	if (connector->seat != NULL)
		return connector->seat;
	/* A cover's screws are not pressed home: as it came off, so it goes back on. */
	if (connector->kind == LT_CLIP && connector->lock != NULL)
		return "right place: fasten it as it was, see that it holds, tick";
	if (connector->kind == LT_CLIP)
		return "press it home until it holds; pull gently, tick";
	if (connector->kind == LT_RING || connector->kind == LT_STRAP)
		return "right place: fasten it tight, pull gently, tick";
	if (connector->sides == 1 || tags->number_of[index] == 0)
		return "right place: seat it, pull gently, tick";
	return "right pair: seat it, pull gently, tick";
}
