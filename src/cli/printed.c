#include <stdlib.h>
#include <string.h>

#include "cli/printed.h"

/* The live entries by number, 0 to number_max; the caller frees. */
static struct lt_register_entry **entries_by_number(const struct lt_session *session)
{
	const struct lt_register *reg = &session->reg;
	size_t numbers = (size_t)session->tags.number_max + 1;
	struct lt_register_entry **by_number =
		lt_alloc_array(numbers, sizeof(struct lt_register_entry *));
	for (size_t i = 0; i < reg->count; i++) {
		if (reg->entries[i].number < numbers)
			by_number[reg->entries[i].number] = &reg->entries[i];
	}
	return by_number;
}

/* Adds a letter to the sides printed; X before N, in the order of printing. */
static void mark(struct lt_session *session, struct lt_register_entry *entry, char letter)
{
	size_t printed = strlen(entry->printed);
	if (strchr(entry->printed, letter) != NULL || printed + 1 >= sizeof(entry->printed))
		return;
	char *new_part = letter == 'X' ? strchr(entry->printed, 'N') : NULL;
	char *at = new_part != NULL ? new_part : entry->printed + printed;
	memmove(at + 1, at, strlen(at) + 1);
	*at = letter;
	session->tags.changed = true;
}

void lt_mark_before_output(struct lt_session *session, const struct lt_sheet *sheet)
{
	const struct lt_tags *tags = &session->tags;
	struct lt_register_entry **by_number = entries_by_number(session);
	for (size_t i = 0; i < sheet->count; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		if (slot->id.side == LT_SIDE_X)
			continue;
		/* On a new part, M says so; it is not one that an X sticker has to cover. */
		bool new_part = slot->id.side == LT_SIDE_M &&
				lt_connector_replaced(tags->harness, slot->id.connector);
		mark(session, by_number[tags->number_of[slot->id.connector]],
			new_part ? 'N' : lt_side_letter(slot->id.side));
	}
	free(by_number);
}

void lt_mark_after_output(struct lt_session *session, const struct lt_sheet *sheet, size_t count)
{
	const struct lt_tags *tags = &session->tags;
	struct lt_register_entry **by_number = entries_by_number(session);
	for (size_t i = 0; i < count; i++) {
		if (sheet->slots[i].id.side == LT_SIDE_X)
			mark(session, by_number[tags->number_of[sheet->slots[i].id.connector]],
				'X');
	}
	free(by_number);
}

static void unmark(struct lt_session *session, struct lt_register_entry *entry, char letter)
{
	char *at = strchr(entry->printed, letter);
	if (at == NULL)
		return;
	memmove(at, at + 1, strlen(at));
	session->tags.changed = true;
}

void lt_mark_x(struct lt_session *session, unsigned number, bool out)
{
	for (size_t i = 0; i < session->reg.count; i++) {
		struct lt_register_entry *entry = &session->reg.entries[i];
		if (entry->number == number && out)
			mark(session, entry, 'X');
		else if (entry->number == number)
			unmark(session, entry, 'X');
	}
}

int lt_save_before_output(struct lt_session *session)
{
	int code = lt_session_save(session);
	if (code != EXIT_YES) {
		lt_error(&session->diags, lt_place_none(),
			"no stickers were written: the register must hold them first");
		lt_session_tell(session);
	}
	return code;
}

int lt_save_after_output(struct lt_session *session)
{
	int code = lt_session_save(session);
	if (code != EXIT_YES) {
		lt_error(&session->diags, lt_place_none(),
			"the stickers were written, but the register does not hold that the X stickers "
			"were");
		lt_hint(&session->diags, "write the stickers again before you use them");
		lt_session_tell(session);
	}
	return code;
}

void lt_save_without_output(struct lt_session *session)
{
	if (session->all_or_none)
		return;
	if (lt_session_save(session) == EXIT_YES) {
		lt_warning(&session->diags, lt_place_none(),
			"the register keeps the numbers, but not all stickers were written");
		lt_hint(&session->diags, "write them again; every number stays the same");
	} else {
		lt_warning(&session->diags, lt_place_file(session->register_path),
			"the register keeps the numbers, and has stickers as printed that were not "
			"written");
		lt_hint(&session->diags, "write them again, then the register is right");
	}
}

void lt_printed_remember(struct printed_before *out, const struct lt_session *session)
{
	const struct lt_register *reg = &session->reg;
	out->count = reg->count;
	out->entries = lt_alloc_array(reg->count + 1, sizeof(*out->entries));
	for (size_t i = 0; i < reg->count; i++)
		out->entries[i] = reg->entries[i];
}

void lt_printed_restore(const struct printed_before *before, struct lt_session *session)
{
	for (size_t i = 0; i < before->count && i < session->reg.count; i++)
		session->reg.entries[i] = before->entries[i];
	session->tags.changed = true;
}
