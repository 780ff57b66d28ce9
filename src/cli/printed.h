/* Which sides went out as stickers. */
#ifndef LOOMTAG_CLI_PRINTED_H
#define LOOMTAG_CLI_PRINTED_H

#include "loomtag/register.h"
#include "loomtag/sheet.h"
#include "session.h"

/* Remembers in the register, in memory, the sides of all stickers of a sheet. */
void mark_printed(struct session *session, const struct lt_sheet *sheet);

/* The register's entries as they were, for taking a mark back; malloc'd. */
struct printed_before {
	struct lt_register_entry *entries;
	size_t count;
};
void printed_remember(struct printed_before *out, const struct session *session);

/* Takes the marks back, in memory. */
void printed_restore(const struct printed_before *before, struct session *session);

#endif
