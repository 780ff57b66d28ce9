/* Help, as the tables of commands and options have it. */
#ifndef LOOMTAG_CLI_HELP_H
#define LOOMTAG_CLI_HELP_H

#include <stdio.h>

#include "loomtag/cli.h"

/* What the program is for, and its commands; `commands` ends with one that has no name. */
void lt_help_overview(FILE *out, const struct lt_command *commands);

/* A command, its forms and its options. */
void lt_help_command(FILE *out, const struct lt_command *command);

#endif
