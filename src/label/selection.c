/* Lists of numbers and ranges as they are typed: which stickers to print ("3,7-9,12M"), and which
 * labels of a sheet are used ("1-5,9"). */
#include <stdlib.h>
#include <string.h>

#include "label/sticker.h"

struct range {
	unsigned from, to;
};

/* A number beyond this counts as this. */
#define RANGE_MAX 1000000u

#define SHOWN_MAX 40u /* bytes */

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool read_number(unsigned *number, const char **at)
{
	if (!is_digit(**at) || (**at == '0' && is_digit((*at)[1])))
		return false;
	char *end;
	unsigned long value = strtoul(*at, &end, 10);
	*number = value < RANGE_MAX ? (unsigned)value : RANGE_MAX;
	*at = end;
	return true;
}

static void skip_spaces(const char **at)
{
	while (**at == ' ')
		++*at;
}

/* Reads "3" or "7-9" and moves *at behind it; spaces may stand before it. False where there is no
 * number, or one with a leading zero; 0 is a number. */
static bool read_range(struct range *out, const char **at)
{
	skip_spaces(at);
	if (!read_number(&out->from, at))
		return false;
	out->to = out->from;
	if (**at != '-')
		return true;
	++*at;
	return read_number(&out->to, at);
}

/* Moves *at behind spaces; true when the item of the list ends there. */
static bool item_ends(const char **at)
{
	skip_spaces(at);
	return **at == ',' || **at == '\0';
}

/* The item of a list that begins at `start`, as messages show it; from the arena. */
static const char *item_shown(struct lt_arena *arena, const char *start)
{
	const char *end = start;
	while (*end != '\0' && *end != ',' && (size_t)(end - start) < SHOWN_MAX)
		(void)lt_utf8_next(&end);
	return lt_arena_copy(arena, start, (size_t)(end - start));
}

#define ALL_SIDES ((1u << LT_SIDE_COUNT) - 1)

/* What stands between two commas. */
struct item {
	struct range numbers;
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
	if (!read_range(&out->numbers, at))
		return false;
	out->sides = read_sides(at);
	return item_ends(at) && out->numbers.from > 0 && out->numbers.to > 0 &&
	       out->numbers.from <= LT_NUMBER_MAX && out->numbers.to <= LT_NUMBER_MAX;
}

static bool read_items(struct lt_selection *selection, const char *text, struct lt_diags *diags)
{
	for (const char *at = text;; at++) {
		const char *start = at;
		struct item item;
		if (!read_item(&item, &at)) {
			lt_error(diags, lt_place_none(), "--only: \"%s\" is not a tag or a number",
				item_shown(&diags->arena, start));
			return false;
		}
		if (item.numbers.to < item.numbers.from) {
			lt_error(diags, lt_place_none(),
				"--only: the range \"%s\" begins with its larger number",
				item_shown(&diags->arena, start));
			return false;
		}
		selection->items = lt_grow(selection->items, &selection->room, selection->count + 1,
			sizeof(*selection->items));
		selection->items[selection->count++] = item;
		for (unsigned number = item.numbers.from; number <= item.numbers.to; number++)
			selection->sides[number] |= (unsigned char)item.sides;
		if (*at == '\0')
			return true;
	}
}

struct lt_selection *lt_selection_read(const char *text, struct lt_diags *diags)
{
	struct lt_selection *selection = lt_alloc_array(1, sizeof(*selection));
	if (read_items(selection, text, diags))
		return selection;
	lt_hint(diags, "write numbers, ranges and tags, for example 3,7-9,12M");
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

size_t lt_selected_sides(enum lt_side out[LT_SIDE_COUNT], const struct lt_selection *selection,
	const struct lt_tags *tags, size_t connector)
{
	if (tags->harness->connectors[connector].marking != LT_MARK_STICKER)
		return 0;
	size_t count = lt_tag_sides(out, tags, connector);
	size_t kept = 0;
	for (size_t i = 0; i < count; i++) {
		if (lt_selected(selection, tags->number_of[connector], out[i]))
			out[kept++] = out[i];
	}
	return kept;
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
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = connector != LT_NONE ? lt_selected_sides(sides, NULL, tags, connector) : 0;
	unsigned mask = 0;
	for (size_t i = 0; i < count; i++)
		mask |= 1u << sides[i];
	return mask;
}

/* Reports why an item selects nothing. */
static void report_unmatched(const struct item *item, const struct lt_tags *tags,
	struct lt_diags *diags)
{
	if (item->numbers.from != item->numbers.to) {
		lt_error(diags, lt_place_none(), "--only: no sticker has a number from %u to %u",
			item->numbers.from, item->numbers.to);
		lt_hint(diags, "run \"loomtag tags\" to see the numbers");
		return;
	}
	size_t connector = carrier(tags, item->numbers.from);
	if (connector == LT_NONE) {
		lt_error(diags, lt_place_none(), "--only: no connector has number %u",
			item->numbers.from);
		lt_hint(diags, "run \"loomtag tags\" to see the numbers");
		return;
	}
	const struct lt_connector *c = &tags->harness->connectors[connector];
	if (c->marking != LT_MARK_STICKER) {
		lt_error(diags, c->place,
			"--only: connector %s, number %u, has no sticker (tag: paper)", c->id,
			item->numbers.from);
		lt_hint(diags, "find its number on the checklist");
		return;
	}
	for (unsigned side = 0; side < LT_SIDE_COUNT; side++) {
		if (item->sides != 1u << side)
			continue;
		lt_error(diags, c->place, "--only: connector %s has no sticker %u%c", c->id,
			item->numbers.from, lt_side_letter((enum lt_side)side));
		if (side == LT_SIDE_X)
			lt_hint(diags, "only a component with \"fate: replace\" has X stickers");
		else
			lt_hint(diags, "a connector with \"sides: 1\" has only an H sticker");
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
			report_unmatched(item, tags, diags);
	}
	return diags->errors == before;
}

/* How many labels are named; 0, and reported, where an item is wrong. */
static unsigned read_used(bool *used, unsigned labels, const char *text, struct lt_diags *diags)
{
	unsigned count = 0;
	for (const char *at = text;; at++) {
		const char *item = item_shown(&diags->arena, at + strspn(at, " "));
		struct range range;
		bool number = read_range(&range, &at) && item_ends(&at);
		if (!number || range.from == 0 || range.to == 0) {
			lt_error(diags, lt_place_none(),
				"--used: \"%s\" is not the number of a label", item);
			lt_hint(diags,
				"count the labels row by row from 1 to %u, and write for example 1-5,9",
				labels);
			return 0;
		}
		if (range.from > labels || range.to > labels) {
			lt_error(diags, lt_place_none(), "--used: \"%s\" is after the last label",
				item);
			lt_hint(diags,
				lt_plural(labels, "the layout has %u label on a sheet",
					"the layout has %u labels on a sheet"),
				labels);
			return 0;
		}
		if (range.to < range.from) {
			lt_error(diags, lt_place_none(),
				"--used: the range \"%s\" begins with its larger number", item);
			lt_hint(diags, "write the smaller number first, for example 1-5,9");
			return 0;
		}
		for (unsigned label = range.from - 1; label < range.to; label++) {
			count += !used[label];
			used[label] = true;
		}
		if (*at == '\0')
			return count;
	}
}

bool lt_used_read(bool *used, unsigned labels, const char *text, struct lt_diags *diags)
{
	memset(used, 0, labels * sizeof(*used));
	unsigned count = 0;
	if (text[strspn(text, " ")] == '\0') {
		lt_error(diags, lt_place_none(), "--used names no label");
		lt_hint(diags, "write for example 1-5,9, or leave out --used for a new sheet");
	} else {
		count = read_used(used, labels, text, diags);
	}
	if (count == labels) {
		lt_error(diags, lt_place_none(), "--used: no label is left on the sheet");
		lt_hint(diags, "use a new sheet and leave out --used");
	}
	if (count > 0 && count < labels)
		return true;
	memset(used, 0, labels * sizeof(*used));
	return false;
}
