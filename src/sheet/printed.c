/* Which sides were printed as stickers, in the register. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/sheet.h"

/* The live entries by number, 0 to number_max; the caller frees. */
static struct lt_register_entry **entries_by_number(const struct lt_tags *tags,
	const struct lt_register *reg)
{
	size_t numbers = (size_t)tags->number_max + 1;
	struct lt_register_entry **by_number =
		lt_alloc_array(numbers, sizeof(struct lt_register_entry *));
	for (size_t i = 0; i < reg->count; i++) {
		if (reg->entries[i].number < numbers)
			by_number[reg->entries[i].number] = &reg->entries[i];
	}
	return by_number;
}

/* Adds a letter to the sides printed; X before N, in the order of printing. */
static void mark(struct lt_tags *tags, struct lt_register_entry *entry, char letter)
{
	size_t printed = strlen(entry->printed);
	if (strchr(entry->printed, letter) != NULL || printed + 1 >= sizeof(entry->printed))
		return;
	char *new_part = letter == 'X' ? strchr(entry->printed, 'N') : NULL;
	char *at = new_part != NULL ? new_part : entry->printed + printed;
	memmove(at + 1, at, strlen(at) + 1);
	*at = letter;
	tags->changed = true;
}

/* Marks the X sides, or all others, among the first `count` stickers of a sheet. */
static void mark_sides(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet,
	size_t count, bool x)
{
	struct lt_register_entry **by_number = entries_by_number(tags, reg);
	for (size_t i = 0; i < count; i++) {
		const struct lt_sticker_id *id = &sheet->slots[i].id;
		if ((id->side == LT_SIDE_X) != x)
			continue;
		/* N is an M sticker for a new part: an X sticker need not cover it. */
		bool new_part = id->side == LT_SIDE_M &&
				lt_connector_replaced(tags->harness, id->connector);
		mark(tags, by_number[tags->number_of[id->connector]],
			new_part ? 'N' : lt_side_letter(id->side));
	}
	free(by_number);
}

void lt_printed_before(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet)
{
	mark_sides(tags, reg, sheet, sheet->count, false);
}

void lt_printed_after(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet,
	size_t count)
{
	mark_sides(tags, reg, sheet, count, true);
}

static void unmark(struct lt_tags *tags, struct lt_register_entry *entry, char letter)
{
	char *at = strchr(entry->printed, letter);
	if (at == NULL)
		return;
	memmove(at, at + 1, strlen(at));
	tags->changed = true;
}

void lt_printed_x(struct lt_tags *tags, struct lt_register *reg, unsigned number, bool out)
{
	for (size_t i = 0; i < reg->count; i++) {
		struct lt_register_entry *entry = &reg->entries[i];
		if (entry->number == number && out)
			mark(tags, entry, 'X');
		else if (entry->number == number)
			unmark(tags, entry, 'X');
	}
}

void lt_printed_remember(struct lt_printed *out, const struct lt_register *reg)
{
	out->count = reg->count;
	out->entries = lt_alloc_array(reg->count + 1, sizeof(*out->entries));
	memcpy(out->entries, reg->entries, reg->count * sizeof(*out->entries));
}

void lt_printed_restore(struct lt_tags *tags, struct lt_register *reg,
	const struct lt_printed *before)
{
	for (size_t i = 0; i < before->count && i < reg->count; i++)
		reg->entries[i] = before->entries[i];
	tags->changed = true;
}
