/* Specimens: pictures of label layouts, at print size, with a sample sticker on them. */
#ifndef LOOMTAG_SPECIMEN_H
#define LOOMTAG_SPECIMEN_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/canvas.h"
#include "loomtag/layout.h"

struct lt_specimen_options {
	bool words; /* the layout's name and facts too, and its unprintable edges */
};
#define LT_SPECIMEN_OPTIONS_INIT \
	{ \
		true \
	}

/* Draws one layout on a page of its own, as large as it takes: the label with its zones, what it
 * measures in mm beside it, a sample sticker where there is room for one, the bundles it goes
 * round, and of a sheet the whole page made small. False when the canvas or the encoder fails. */
bool lt_specimen_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_specimen_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

/* Draws all layouts on pages of A4 (ISO 216), each label at print size with its name and size
 * below; one that is larger than the page is drawn smaller, which is said there. `count` is at
 * least 1. */
bool lt_specimen_contact(struct lt_canvas *canvas, const struct lt_layout *const *layouts,
	size_t count, const struct lt_measure *measure, struct lt_diags *diags);

#endif
