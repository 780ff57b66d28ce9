/* What the command line says of stickers, read and checked. */
#ifndef LOOMTAG_CLI_STICKER_OPTIONS_H
#define LOOMTAG_CLI_STICKER_OPTIONS_H

#include "cli/alignment.h"
#include "loomtag/sheet.h"

/* Reads the options that are wrong or right in themselves, whatever the layout: all of `sheet`
 * but `only`, `used` and `choice`; and `dpi`, 0 where it is not given. `alignment` is what to
 * remember of the printer. Returns the exit code, after saying on stderr or in `diags` what is
 * wrong. */
int lt_sticker_options_read(struct lt_sheet_options *sheet, struct lt_calibration *alignment,
	double *dpi, const struct options *options, struct lt_diags *diags);

/* Reads --used, and checks --start, against a sheet's layout. Returns the exit code. */
int lt_sticker_options_used(struct lt_sheet_options *sheet, const struct lt_layout *layout,
	const struct options *options, struct lt_diags *diags);

#endif
