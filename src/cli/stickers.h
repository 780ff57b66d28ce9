/* Stickers, for the commands that make them: their options, and how they get into files. */
#ifndef LOOMTAG_CLI_STICKERS_H
#define LOOMTAG_CLI_STICKERS_H

#include "cli/alignment.h"
#include "cli/session.h"
#include "loomtag/sheet.h"

#define DEFAULT_LAYOUT "a4-3x8"
#define DEFAULT_DPI 300

/* The options that do not depend on a layout. A zeroed struct can be finished. */
struct sticker_options {
	struct lt_sheet_options sheet;   /* all of it but `used` and `choice` */
	struct lt_calibration alignment; /* what to remember of the printer */
	double dpi;                      /* 0 where it is not given */
	struct lt_selection *only;       /* of --only; or NULL */
};

/* Reads the options that are wrong or right in themselves. Returns the exit code, after reporting
 * what is wrong, on stderr or in `diags`. */
int lt_sticker_options_read(struct sticker_options *out, const struct options *options,
	struct lt_diags *diags);
void lt_sticker_options_finish(struct sticker_options *options);

/* Reads --used, and checks --start, against a sheet's layout. Returns the exit code. */
int lt_sticker_options_used(struct lt_sheet_options *sheet, const struct lt_layout *layout,
	const struct options *options, struct lt_diags *diags);

/* Plans, draws and writes the stickers that the options ask for to `path` (a file for each layout,
 * where there are several), saves the register with what was printed, and reports on stdout what
 * was written. With `path` NULL nothing is drawn or saved, only explained. Returns the exit code
 * after reporting what is wrong. */
int lt_write_stickers(struct lt_session *session, const char *path);

/* Writes the register, has the files of sheets placed one after the other under their own names,
 * and writes the register again for their X sides (see loomtag/sheet.h). Where one cannot be
 * placed, the register keeps what was written. Returns the exit code after reporting what is wrong.
 */
enum placed { PLACED_NOT, PLACED_IN_PART, PLACED };
int lt_place_stickers(struct lt_session *session, const struct lt_sheet *const *sheets,
	size_t count, enum placed (*place)(void *data, size_t sheet), void *data);

#endif
