/* Which sides went out as stickers. */
#ifndef LOOMTAG_CLI_PRINTED_H
#define LOOMTAG_CLI_PRINTED_H

#include "loomtag/sheet.h"
#include "session.h"

/* Remembers in the register, in memory, the sides of all stickers of a sheet. */
void mark_printed(struct session *session, const struct lt_sheet *sheet);

#endif
