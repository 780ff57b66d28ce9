/* Layouts as pictures: on the terminal, and in files. */
#ifndef LOOMTAG_CLI_LAYOUT_PICTURE_H
#define LOOMTAG_CLI_LAYOUT_PICTURE_H

#include "loomtag/layout.h"
#include "options.h"

/* Draws one layout on standard output. Returns the exit code after telling in `diags` what is
 * wrong. */
int show_layout_picture(const struct lt_layout *layout, const struct options *options,
	struct lt_diags *diags);

/* Draws into options->output: one layout by itself, or all on a contact sheet. At least one. */
int write_layout_pictures(const struct lt_layout *layouts, size_t count, bool contact,
	const struct options *options, struct lt_diags *diags);

#endif
