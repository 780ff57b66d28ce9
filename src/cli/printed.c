#include "printed.h"

#include <stdlib.h>
#include <string.h>

void mark_printed(struct session *session, const struct lt_sheet *sheet)
{
	struct lt_register *reg = &session->reg;
	const struct lt_tags *tags = &session->tags;
	struct lt_register_entry **by_number =
		lt_alloc_array((size_t)tags->number_max + 1, sizeof(struct lt_register_entry *));
	for (size_t i = 0; i < reg->count; i++) {
		if (reg->entries[i].number <= tags->number_max)
			by_number[reg->entries[i].number] = &reg->entries[i];
	}
	for (size_t i = 0; i < sheet->count; i++) {
		struct lt_register_entry *entry =
			by_number[tags->number_of[sheet->slots[i].connector]];
		/* On a new part, M says so; it is not one that an X sticker has to cover. */
		bool new_part = sheet->slots[i].side == LT_SIDE_M &&
				lt_connector_replaced(tags->harness, sheet->slots[i].connector);
		char letter = new_part ? 'N' : lt_side_letter(sheet->slots[i].side);
		size_t printed = strlen(entry->printed);
		if (strchr(entry->printed, letter) == NULL &&
			printed + 1 < sizeof(entry->printed)) {
			entry->printed[printed] = letter;
			session->tags.changed = true;
		}
	}
	free(by_number);
}

void printed_remember(struct printed_before *out, const struct session *session)
{
	const struct lt_register *reg = &session->reg;
	out->count = reg->count;
	out->entries = lt_alloc_array(reg->count + 1, sizeof(*out->entries));
	for (size_t i = 0; i < reg->count; i++)
		out->entries[i] = reg->entries[i];
}

void printed_restore(const struct printed_before *before, struct session *session)
{
	for (size_t i = 0; i < before->count && i < session->reg.count; i++)
		session->reg.entries[i] = before->entries[i];
	session->tags.changed = true;
}
