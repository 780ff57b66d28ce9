/* Layouts as pictures: on the terminal, and in files. */
#ifndef LOOMTAG_CLI_LAYOUT_PICTURE_H
#define LOOMTAG_CLI_LAYOUT_PICTURE_H

#include "cli/options.h"
#include "loomtag/label.h"

/* Draws one layout on standard output. Returns the exit code after telling in `diags` what is
 * wrong. */
int lt_show_layout_picture(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags);

/* Draws into options->output: one layout by itself, or all on a contact sheet. At least one. */
int lt_write_layout_pictures(const struct lt_layout *layouts, size_t count, bool contact,
	const struct options *options, struct lt_diags *diags);

#endif
