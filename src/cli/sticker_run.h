/* What stickers and quick share: options to layout and sheet, drawn into files. */
#ifndef LOOMTAG_CLI_STICKER_RUN_H
#define LOOMTAG_CLI_STICKER_RUN_H

#include <stdbool.h>

#include "loomtag/layout.h"
#include "loomtag/sheet.h"
#include "session.h"

#define DEFAULT_LAYOUT "a4-3x8"

/* The folders in which layouts are looked for, in turn: NULL-terminated, from `arena`. */
const char *const *layout_folders(struct lt_arena *arena);

/* Plans, draws and writes the stickers that the options ask for to `path`, saves the register
 * with what was printed, and says on stdout what came out. Returns the exit code after telling
 * what is wrong. */
int write_stickers(struct session *session, const char *path);

#endif
