/* Which stickers are wanted: "3,7-9,12M". */
#include <stdlib.h>

#include "label/ranges.h"
#include "loomtag/label.h"

#define ALL_SIDES ((1u << LT_SIDE_COUNT) - 1)

/* What stands between two commas. */
struct item {
	struct lt_number_range numbers;
	unsigned sides; /* bit per side */
};

struct lt_selection {
	struct item *items;
	size_t count, room;
	unsigned char sides[LT_NUMBER_MAX + 1]; /* by number, bit per side */
};

/* Reads a side letter, in either case; all sides when there is none. */
static unsigned read_sides(const char **at)
{
	for (unsigned side = 0; side < LT_SIDE_COUNT; side++) {
		char letter = lt_side_letter((enum lt_side)side);
		if (**at == letter || **at == letter - 'A' + 'a') {
			(*at)++;
			return 1u << side;
		}
	}
	return ALL_SIDES;
}

static bool read_item(struct item *out, const char **at)
{
	if (!lt_range_read(&out->numbers, at))
		return false;
	out->sides = read_sides(at);
	return lt_range_ends(at) && out->numbers.from > 0 && out->numbers.to > 0 &&
	       out->numbers.from <= LT_NUMBER_MAX && out->numbers.to <= LT_NUMBER_MAX;
}

static void tell(const char *start, const char *what, struct lt_diags *diags)
{
	lt_range_tell("--only", start, what, diags);
	lt_hint(diags, "write numbers, ranges and tags, such as 3,7-9,12M");
}

static bool read_all(struct lt_selection *selection, const char *text, struct lt_diags *diags)
{
	const char *at = text;
	for (;;) {
		const char *start = at;
		struct item item;
		if (!read_item(&item, &at)) {
			tell(start, "is not a tag number", diags);
			return false;
		}
		if (item.numbers.to < item.numbers.from) {
			tell(start, "runs backwards", diags);
			return false;
		}
		selection->items = lt_grow(selection->items, &selection->room, selection->count + 1,
			sizeof(*selection->items));
		selection->items[selection->count++] = item;
		for (unsigned number = item.numbers.from; number <= item.numbers.to; number++)
			selection->sides[number] |= (unsigned char)item.sides;
		if (*at == '\0')
			return true;
		at++;
	}
}

struct lt_selection *lt_selection_read(const char *text, struct lt_diags *diags)
{
	struct lt_selection *selection = lt_alloc_array(1, sizeof(*selection));
	if (read_all(selection, text, diags))
		return selection;
	lt_selection_destroy(selection);
	return NULL;
}

void lt_selection_destroy(struct lt_selection *selection)
{
	if (selection == NULL)
		return;
	free(selection->items);
	free(selection);
}

bool lt_selected(const struct lt_selection *selection, unsigned number, enum lt_side side)
{
	if (selection == NULL)
		return true;
	return number <= LT_NUMBER_MAX && (selection->sides[number] & (1u << side)) != 0;
}

/* The connector that carries a number, or LT_NONE. */
static size_t carrier(const struct lt_tags *tags, unsigned number)
{
	return number <= tags->number_max ? tags->connector_of[number] : LT_NONE;
}

/* The sides of a number that get a printed sticker, bit per side. */
static unsigned sticker_sides(const struct lt_tags *tags, unsigned number)
{
	size_t connector = carrier(tags, number);
	if (connector == LT_NONE || tags->harness->connectors[connector].marking != LT_MARK_STICKER)
		return 0;
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, tags, connector);
	unsigned mask = 0;
	for (size_t i = 0; i < count; i++)
		mask |= 1u << sides[i];
	return mask;
}

/* Says why an item selects nothing. */
static void tell_unmatched(const struct item *item, const struct lt_tags *tags,
	struct lt_diags *diags)
{
	if (item->numbers.from != item->numbers.to) {
		lt_error(diags, lt_place_none(), "--only: no sticker has a number from %u to %u",
			item->numbers.from, item->numbers.to);
		lt_hint(diags, "\"loomtag tags\" lists the numbers");
		return;
	}
	size_t connector = carrier(tags, item->numbers.from);
	if (connector == LT_NONE) {
		lt_error(diags, lt_place_none(), "--only: no connector carries the number %u",
			item->numbers.from);
		lt_hint(diags, "\"loomtag tags\" lists the numbers");
		return;
	}
	const struct lt_connector *c = &tags->harness->connectors[connector];
	if (c->marking != LT_MARK_STICKER) {
		lt_error(diags, c->place,
			"--only: connector %s, number %u, has no sticker (tag: paper)", c->id,
			item->numbers.from);
		lt_hint(diags, "the checklist carries its number");
		return;
	}
	for (unsigned side = 0; side < LT_SIDE_COUNT; side++) {
		if (item->sides != 1u << side)
			continue;
		lt_error(diags, c->place, "--only: connector %s has no sticker %u%c", c->id,
			item->numbers.from, lt_side_letter((enum lt_side)side));
		lt_hint(diags, side == LT_SIDE_X ? "X is for a part that leaves: its component has "
						   "\"fate: replace\""
						 : "a connector with \"sides: 1\" has H alone");
	}
}

bool lt_selection_check(const struct lt_selection *selection, const struct lt_tags *tags,
	struct lt_diags *diags)
{
	if (selection == NULL)
		return true;
	size_t before = diags->errors;
	for (size_t i = 0; i < selection->count; i++) {
		const struct item *item = &selection->items[i];
		unsigned last =
			item->numbers.to < tags->number_max ? item->numbers.to : tags->number_max;
		unsigned found = 0;
		for (unsigned number = item->numbers.from; number <= last && found == 0; number++)
			found = sticker_sides(tags, number) & item->sides;
		if (found == 0)
			tell_unmatched(item, tags, diags);
	}
	return diags->errors == before;
}
