/* What the command line says of stickers, read and checked. */
#ifndef LOOMTAG_CLI_STICKER_OPTIONS_H
#define LOOMTAG_CLI_STICKER_OPTIONS_H

#include <stdbool.h>

#include "loomtag/sheet.h"
#include "options.h"

/* Reads the options that are wrong or right in themselves, whatever the layout: all of `sheet`
 * but `only`, `used` and `choice`; and `dpi`, 0 where it is not given. False after saying on stderr
 * what is wrong. */
bool sticker_options_read(struct lt_sheet_options *sheet, double *dpi,
	const struct options *options);

/* Reads "X,Y", each from `least` to `most`. */
bool read_two_numbers(double *x, double *y, const char *text, double least, double most);

#endif
