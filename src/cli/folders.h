/* The folders in which the program looks for things. */
#ifndef LOOMTAG_CLI_FOLDERS_H
#define LOOMTAG_CLI_FOLDERS_H

#include <stdbool.h>

#include "loomtag/base.h"

/* The folders in which layouts are looked for, in turn: the user's, then ../layouts and
 * ../share/loomtag/layouts from where the program lies. NULL-terminated, from `arena`. */
const char *const *lt_layout_folders(struct lt_arena *arena);

/* The folder of the user's own settings; NULL where neither XDG_CONFIG_HOME nor HOME is set. */
const char *lt_config_folder(struct lt_arena *arena);

/* The folder of what the program remembers by itself; NULL where neither XDG_STATE_HOME nor HOME is
 * set. */
const char *lt_state_folder(struct lt_arena *arena);

/* Makes a folder and those above it. */
bool lt_folder_make(const char *path, struct lt_diags *diags);

/* The folder of certificates that are kept for printers, in that of the settings; likewise NULL. */
const char *lt_certificate_folder(struct lt_arena *arena);

#endif
