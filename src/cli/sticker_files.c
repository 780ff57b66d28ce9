/* Puts files of stickers in place, with the register written at the right moments. */
#include <stdlib.h>

#include "cli/stickers.h"

static int save_before_output(struct lt_session *session)
{
	int code = lt_session_save(session);
	if (code != EXIT_YES) {
		lt_error(&session->diags, lt_place_none(),
			"no stickers were written: the register must be written first");
		lt_session_print_diags(session);
	}
	return code;
}

static int save_after_output(struct lt_session *session)
{
	int code = lt_session_save(session);
	if (code != EXIT_YES) {
		lt_error(&session->diags, lt_place_none(),
			"the stickers were written, but their X stickers are missing from the register");
		lt_hint(&session->diags, "write the stickers again before you use them");
		lt_session_print_diags(session);
	}
	return code;
}

/* Saves the marks as they are in memory, when stickers could not be written. */
static void save_without_output(struct lt_session *session)
{
	if (session->all_or_none)
		return;
	if (lt_session_save(session) == EXIT_YES) {
		lt_warning(&session->diags, lt_place_none(),
			"the numbers are in the register, but some stickers were not written");
		lt_hint(&session->diags, "write the stickers again: their numbers stay the same");
	} else {
		lt_warning(&session->diags, lt_place_file(session->register_path),
			"the register lists stickers as printed that were not written");
		lt_hint(&session->diags, "write the stickers again to correct the register");
	}
}

/* Leaves in the register what was written of sheets that could not all be placed: the first
 * `placed` of them, and where `in_part` a part of the next one. */
static void keep_placed(struct lt_session *session, const struct lt_printed *before,
	const struct lt_sheet *const *sheets, size_t placed, bool in_part)
{
	lt_printed_restore(&session->tags, &session->reg, before);
	for (size_t i = 0; i < placed + in_part; i++)
		lt_printed_before(&session->tags, &session->reg, sheets[i]);
	for (size_t i = 0; i < placed; i++)
		lt_printed_after(&session->tags, &session->reg, sheets[i], sheets[i]->count);
	save_without_output(session);
}

int lt_place_stickers(struct lt_session *session, const struct lt_sheet *const *sheets,
	size_t count, enum placed (*place)(void *data, size_t sheet), void *data)
{
	struct lt_printed before;
	lt_printed_remember(&before, &session->reg);
	for (size_t i = 0; i < count; i++)
		lt_printed_before(&session->tags, &session->reg, sheets[i]);
	int code = save_before_output(session);
	for (size_t i = 0; code == EXIT_YES && i < count; i++) {
		enum placed placed = place(data, i);
		if (placed == PLACED)
			continue;
		keep_placed(session, &before, sheets, i, placed == PLACED_IN_PART);
		code = EXIT_SYSTEM;
	}
	free(before.entries);
	if (code != EXIT_YES)
		return code;
	for (size_t i = 0; i < count; i++)
		lt_printed_after(&session->tags, &session->reg, sheets[i], sheets[i]->count);
	return save_after_output(session);
}
