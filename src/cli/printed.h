/* Which sides went out as stickers. */
#ifndef LOOMTAG_CLI_PRINTED_H
#define LOOMTAG_CLI_PRINTED_H

#include "cli/session.h"
#include "loomtag/sheet.h"

/* When a sticker goes out and the register is written afterwards, a power cut between the two
 * leaves a sticker that nobody knows of; in the other order it leaves a mark for a sticker that is
 * not there. Which of them does harm depends on the side:
 *
 * - H, and M on whatever part: a mark too many asks for care that is not needed. An M that is out
 *   and not marked would, once its part is to be replaced, pass for the new part's. They are marked
 *   before the stickers go out.
 * - X: its mark says that the old part's M is covered, so that any M is the new part's. It is
 *   marked when the stickers are out.
 *
 * Numbers go into the register, on disk, before any sticker. */

/* Marks in the register, in memory, the H and M sides of all stickers of a sheet: before they go
 * out. */
void lt_mark_before_output(struct lt_session *session, const struct lt_sheet *sheet);

/* Marks the X sides among the first `count` stickers of a sheet: when they are out. */
void lt_mark_after_output(struct lt_session *session, const struct lt_sheet *sheet, size_t count);

/* Marks the X side of a number when its sticker is out, and takes the mark away when it is not. */
void lt_mark_x(struct lt_session *session, unsigned number, bool out);

/* The register's entries as they were, for taking marks back; malloc'd. */
struct printed_before {
	struct lt_register_entry *entries;
	size_t count;
};
void lt_printed_remember(struct printed_before *out, const struct lt_session *session);

/* Takes the marks back, in memory. */
void lt_printed_restore(const struct printed_before *before, struct lt_session *session);

/* Writes the register before stickers go into files. Returns the exit code, after saying that no
 * stickers were written where it is not EXIT_YES. */
int lt_save_before_output(struct lt_session *session);

/* Writes the register when stickers are out, for their X sides. Returns the exit code, after saying
 * that they are out where it is not EXIT_YES. */
int lt_save_after_output(struct lt_session *session);

/* Writes the register when stickers could not be written, with the marks as they are in memory, and
 * says that it keeps the numbers. */
void lt_save_without_output(struct lt_session *session);

#endif
