/* Prints the stickers of a new job at once. */
#ifndef LOOMTAG_CLI_QUICK_PRINT_H
#define LOOMTAG_CLI_QUICK_PRINT_H

#include "cli/options.h"

/* Prints the stickers of a description on the printer of that name or address; NULL for the one
 * that has labels loaded: where several have, asks at a terminal. Returns the exit code, after
 * saying why nothing or not all is printed, and that `pdf` has the stickers too. */
int lt_quick_print(const struct options *options, char *description, const char *pdf,
	const char *printer);

#endif
