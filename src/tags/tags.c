/* Which connector carries which number, and questions about it. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"
#include "tags/numbering.h"

/* Look-alikes whose numbers, as the register has them, are easily confused: that happens when a
 * description is corrected after numbers were given. */
static void warn_of_pair(const struct lt_connector *a, const struct lt_connector *b,
	unsigned number, unsigned other, bool listed, struct lt_diags *diags)
{
	if (listed) {
		lt_warning(diags, b->place,
			"connectors %s and %s are look-alikes, and their numbers %u and %u are easily "
			"confused",
			a->id, b->id, number, other);
		lt_hint(diags,
			"to give %s a new number, give it a new id without was:, and print its stickers "
			"again",
			b->id);
		return;
	}
	lt_warning(diags, b->place,
		"connectors %s and %s could be look-alikes (fit unknown), and their numbers %u and %u "
		"are easily confused",
		a->id, b->id, number, other);
	lt_hint(diags,
		"describe family: of both. Or give %s a new id without was:, and print its stickers "
		"again",
		b->id);
}

static void warn_of_confusable(const struct lt_numbering *numbering,
	const struct lt_harness *harness, struct lt_diags *diags)
{
	for (unsigned number = 1; number <= LT_NUMBER_MAX; number++) {
		size_t a = numbering->owner_of[number];
		if (a == LT_NONE)
			continue;
		unsigned others[LT_CONFUSABLE_MAX];
		size_t count = lt_confusable_all(others, number);
		for (size_t i = 0; i < count; i++) {
			size_t b = numbering->owner_of[others[i]];
			if (others[i] < number || b == LT_NONE ||
				!lt_lookalike_for_numbering(numbering->lookalikes, a, b))
				continue;
			warn_of_pair(&harness->connectors[a], &harness->connectors[b], number,
				others[i], lt_lookalike(numbering->lookalikes, a, b), diags);
		}
	}
}

static void give(struct lt_tags *out, struct lt_numbering *numbering, struct lt_register *reg,
	unsigned number, size_t connector)
{
	lt_numbering_take(numbering, number, connector);
	lt_register_add(reg, number, out->harness->connectors[connector].id);
	out->changed = true;
}

/* Whether a connector needs a number and has none yet. */
static bool is_new(const struct lt_tags *tags, size_t connector)
{
	return tags->harness->connectors[connector].marking != LT_MARK_NONE &&
	       tags->number_of[connector] == 0;
}

/* The first pass: the numbers that are on the machine. */
static void number_by_marking(struct lt_tags *out, struct lt_numbering *numbering,
	struct lt_register *reg)
{
	size_t *order = lt_numbering_order(out->harness);
	for (size_t i = 0; i < out->harness->connector_count; i++) {
		const unsigned number =
			is_new(out, order[i]) ? lt_numbering_own(numbering, order[i]) : 0;
		if (number != 0)
			give(out, numbering, reg, number, order[i]);
	}
	free(order);
}

static bool number_new(struct lt_tags *out, struct lt_numbering *numbering, struct lt_register *reg,
	struct lt_diags *diags)
{
	const struct lt_harness *harness = out->harness;
	if (harness->numbers == LT_NUMBERS_OWN)
		number_by_marking(out, numbering, reg);
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (!is_new(out, i))
			continue;
		unsigned number = lt_numbering_next(numbering, i);
		if (number == 0) {
			lt_error(diags, harness->connectors[i].place,
				"connector %s: no number up to %u is left that cannot be confused with "
				"one of its look-alikes",
				harness->connectors[i].id, LT_NUMBER_MAX);
			lt_hint(diags,
				"describe family:, ways: and key: of the connectors, so that "
				"fewer of them are look-alikes");
			return false;
		}
		give(out, numbering, reg, number, i);
	}
	return true;
}

/* A number is retired where its connector is gone, and where that is to have none any more. */
static void find_by_eye(struct lt_tags *out, const struct lt_register *reg)
{
	const struct lt_harness *harness = out->harness;
	struct lt_hash by_eye = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++)
		if (harness->connectors[i].marking == LT_MARK_NONE)
			lt_hash_put(&by_eye, harness->connectors[i].id, i);
	out->by_eye = lt_arena_array(&out->arena, (size_t)out->number_max + 1, sizeof *out->by_eye);
	for (unsigned i = 0; i <= out->number_max; i++)
		out->by_eye[i] = LT_NONE;
	for (size_t i = 0; i < reg->count; i++)
		if (reg->entries[i].retired)
			out->by_eye[reg->entries[i].number] =
				lt_hash_get(&by_eye, reg->entries[i].id);
	lt_hash_finish(&by_eye);
}

static void lay_out(struct lt_tags *out, const struct lt_numbering *numbering,
	const struct lt_register *reg)
{
	for (size_t i = 0; i < reg->count; i++)
		if (reg->entries[i].number > out->number_max)
			out->number_max = reg->entries[i].number;
	size_t numbers = (size_t)out->number_max + 1;
	size_t connectors = out->harness->connector_count;
	out->connector_of = lt_arena_array(&out->arena, numbers, sizeof *out->connector_of);
	out->retired = lt_arena_array(&out->arena, numbers, sizeof *out->retired);
	out->x_printed = lt_arena_array(&out->arena, connectors, sizeof *out->x_printed);
	out->m_is_old = lt_arena_array(&out->arena, connectors, sizeof *out->m_is_old);
	for (size_t i = 0; i < numbers; i++)
		out->connector_of[i] = numbering->owner_of[i];
	for (size_t i = 0; i < connectors; i++)
		out->none_printed |= out->harness->connectors[i].marking == LT_MARK_STICKER;
	for (size_t i = 0; i < reg->count; i++) {
		const struct lt_register_entry *entry = &reg->entries[i];
		size_t connector = out->connector_of[entry->number];
		out->retired[entry->number] = entry->retired;
		out->none_printed &= entry->printed[0] == '\0';
		if (connector == LT_NONE)
			continue;
		out->x_printed[connector] = strchr(entry->printed, 'X') != NULL;
		out->m_is_old[connector] = lt_connector_replaced(out->harness, connector) &&
					   !out->x_printed[connector] &&
					   strchr(entry->printed, 'M') != NULL;
	}
	find_by_eye(out, reg);
}

bool lt_tags_assign(struct lt_tags *out, const struct lt_harness *harness,
	const struct lt_lookalikes *lookalikes, struct lt_register *reg, struct lt_diags *diags)
{
	size_t count = harness->connector_count;
	*out = (struct lt_tags){ .harness = harness };
	out->number_of = lt_arena_array(&out->arena, count, sizeof *out->number_of);

	struct lt_numbering numbering;
	lt_numbering_init(&numbering, harness, lookalikes, out->number_of);
	size_t *entry_of = lt_alloc_array(count, sizeof *entry_of);
	bool good = lt_register_reconcile(entry_of, &out->changed, reg, harness, diags);
	if (good) {
		for (size_t i = 0; i < reg->count; i++)
			lt_numbering_take(&numbering, reg->entries[i].number, LT_NONE);
		for (size_t i = 0; i < count; i++)
			if (entry_of[i] != LT_NONE)
				lt_numbering_take(&numbering, reg->entries[entry_of[i]].number, i);
		warn_of_confusable(&numbering, harness, diags);
		good = number_new(out, &numbering, reg, diags);
	}
	lay_out(out, &numbering, reg);
	out->by_number = lt_lookalike_order_create(lookalikes, out->number_of);
	free(entry_of);
	lt_numbering_finish(&numbering);
	return good;
}

void lt_tags_finish(struct lt_tags *tags)
{
	if (tags == NULL)
		return;
	lt_lookalike_order_destroy(tags->by_number);
	lt_arena_finish(&tags->arena);
	*tags = (struct lt_tags){ 0 };
}

size_t lt_tag_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_tags *tags, size_t connector)
{
	size_t count = 0;
	if (tags->number_of[connector] == 0)
		return 0;
	out[count++] = LT_SIDE_H;
	if (tags->harness->connectors[connector].sides != 2)
		return count;
	if (lt_connector_replaced(tags->harness, connector))
		out[count++] = LT_SIDE_X;
	out[count++] = LT_SIDE_M;
	return count;
}

size_t lt_tag_lookalikes(const struct lt_tags *tags, const struct lt_lookalikes *lookalikes,
	size_t connector, unsigned *out, size_t limit)
{
	if (tags->by_number != NULL)
		return lt_lookalike_ranks(tags->by_number, connector, out, limit);
	struct lt_lookalike_order *order = lt_lookalike_order_create(lookalikes, tags->number_of);
	size_t count = lt_lookalike_ranks(order, connector, out, limit);
	lt_lookalike_order_destroy(order);
	return count;
}

/* The smallest number in use that this one is confusable with, 0 for none. */
static unsigned taken_for(const struct lt_tags *tags, unsigned number)
{
	unsigned others[LT_CONFUSABLE_MAX];
	size_t count = lt_confusable_all(others, number);
	for (size_t i = 0; i < count && others[i] <= tags->number_max; i++)
		if (tags->connector_of[others[i]] != LT_NONE)
			return others[i];
	return 0;
}

size_t lt_tags_passed_over(const struct lt_tags *tags, struct lt_passed_over *out, size_t limit)
{
	size_t count = 0;
	for (unsigned number = 1; number < tags->number_max; number++) {
		if (tags->connector_of[number] != LT_NONE || tags->retired[number])
			continue;
		if (count < limit) {
			unsigned because = taken_for(tags, number);
			out[count] = (struct lt_passed_over){ number, because,
				because != 0 ? lt_confusable(number, because) : LT_DISTINCT };
		}
		count++;
	}
	return count;
}
