/* What stickers and quick share: options to layout and sheet, drawn into files. */
#ifndef LOOMTAG_CLI_STICKER_RUN_H
#define LOOMTAG_CLI_STICKER_RUN_H

#include <stdbool.h>

#include "cli/folders.h"
#include "cli/session.h"

#define DEFAULT_LAYOUT "a4-3x8"

/* Plans, draws and writes the stickers that the options ask for to `path` (a file for each layout,
 * where there are several), saves the register with what was printed, and says on stdout what came
 * out. With `path` NULL nothing is drawn or saved, only explained. Returns the exit code after
 * telling what is wrong. */
int lt_write_stickers(struct lt_session *session, const char *path);

#endif
