/* What runs each command: a file cmd_NAME.c each, and a row in the table in commands.c. */
#ifndef LOOMTAG_CLI_COMMAND_H
#define LOOMTAG_CLI_COMMAND_H

#include "cli/options.h"

int lt_run_check(const struct options *options);
int lt_run_checklist(const struct options *options);
int lt_run_jobs(const struct options *options);
int lt_run_layouts(const struct options *options);
int lt_run_map(const struct options *options);
int lt_run_new(const struct options *options);
int lt_run_printers(const struct options *options);
int lt_run_print(const struct options *options);
int lt_run_quick(const struct options *options);
int lt_run_record(const struct options *options);
int lt_run_ruler(const struct options *options);
int lt_run_stickers(const struct options *options);
int lt_run_tags(const struct options *options);
int lt_run_verify(const struct options *options);

/* The command of that name; NULL after an error on stderr, with the nearest one as a hint. */
const struct lt_command *lt_command_find(const char *name);

#endif
