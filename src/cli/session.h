/* What most commands begin with: they open a session of their description, by the options of the
 * command line, and print its diagnostics. */
#ifndef LOOMTAG_CLI_SESSION_H
#define LOOMTAG_CLI_SESSION_H

#include <jansson.h>
#include <stdbool.h>

#include "cli/options.h"
#include "loomtag/draw.h"

enum session_mode {
	SESSION_READS, /* leaves the register as it is */
	SESSION_WRITES /* locks the register, to be saved by lt_session_save */
};

/* Reads the description named on the command line, its register, and numbers the connectors in
 * memory; with SESSION_WRITES all of it under the register's lock, which is held up to
 * lt_session_finish. EXIT_YES, or the exit code after showing what is wrong. Finish it either way.
 */
int lt_session_open(struct lt_session *session, const struct options *options,
	enum session_mode mode);

/* The same with SESSION_READS for a description that is in no file: the first argument of the
 * command line is only its name. */
int lt_session_open_text(struct lt_session *session, const struct options *options,
	const struct lt_text *description);

/* The first half of lt_session_open with SESSION_READS: the description alone. EXIT_NO when it has
 * errors; shows nothing. */
int lt_session_read_description(struct lt_session *session, const struct options *options);

/* Reads both again, into the same places. False, after showing why, when they cannot be read now:
 * what was read before stays then. */
bool lt_session_read_again(struct lt_session *session);

/* Says that there was no register, where there was none: one that was lost gave other numbers. */
void lt_session_note_new_register(struct lt_session *session);

/* Warns where the register does not hold all numbers yet: what is on paper could differ from the
 * stickers. */
void lt_session_warn_of_new_numbers(struct lt_session *session);

/* Shows diagnostics not yet shown on stderr; notes only when not --quiet. */
void lt_session_print_diags(struct lt_session *session);

/* Shows them and returns `code`. */
int lt_session_fail(struct lt_session *session, int code);

/* Writes the register when it was changed, and waits until it is on disk, also when it was not.
 * EXIT_YES, or EXIT_SYSTEM after telling why not. */
int lt_session_save(struct lt_session *session);

/* The files that output may never replace: NULL-terminated, owned by the session's arena. */
const char *const *lt_session_keep(struct lt_session *session);

/* Warns of every text that has a character the fonts lack. */
void lt_session_warn_of_glyphs(struct lt_session *session, struct lt_fonts *fonts);

/* Diagnostics as a list of {"file","line","column","severity","message","hint"}. */
json_t *lt_diags_json(const struct lt_diags *diags);

/* Prints one JSON document on stdout and frees it. */
int lt_print_json(json_t *document);

/* The time for documents: SOURCE_DATE_EPOCH when set, else now. False when it is set and is not a
 * number of seconds, after saying so. */
bool lt_document_time(long long *seconds);

#endif
