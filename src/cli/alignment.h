/* --nudge, --scale, --smallest and --printer: how far a printer prints beside the place, and how
 * small its codes can be. */
#ifndef LOOMTAG_CLI_ALIGNMENT_H
#define LOOMTAG_CLI_ALIGNMENT_H

#include <stdbool.h>

#include "cli/options.h"
#include "loomtag/label.h"

#define LEAST_DPI 100u /* of what goes through a printer */

/* Reads --dpi, `least` to 2400; leaves `dpi` alone where it is not given. Returns the exit
 * code, after reporting on stderr what is wrong. */
int lt_read_dpi(double *dpi, const struct options *options, unsigned least, const char *command);

/* True, after reporting it on stderr, for the URI of a printer with a password in it, which is not
 * repeated. Takes NULL. */
bool lt_refuse_password(const char *printer, const char *command);

/* The moves that the options give, else what is remembered of --printer, else no move at all.
 * Returns the exit code: EXIT_USAGE after reporting on stderr what is wrong with an option,
 * EXIT_INPUT with an error in `diags` where the file of printers cannot be read or knows nothing of
 * the printer and `must_know`, EXIT_SYSTEM where it could not be remembered. What is remembered and
 * used is reported. */
int lt_alignment_read(struct lt_calibration *out, const struct options *options, bool must_know,
	const char *command, struct lt_diags *diags);

/* Remembers the options for --printer, for the next time; nothing where there is no
 * --printer, or nothing new. False, with an error, when the file cannot be written. */
bool lt_alignment_keep(const struct lt_calibration *alignment, const struct options *options,
	struct lt_diags *diags);

#endif
