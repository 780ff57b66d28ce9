/* Which layout goes with what is loaded in a printer. */
#ifndef LOOMTAG_MEDIA_MATCH_H
#define LOOMTAG_MEDIA_MATCH_H

#include <stdbool.h>

#include "loomtag/layout.h"
#include "loomtag/printer.h"
#include "loomtag/stock.h"

/* Sizes are equal within this, in mm: names of media are rounded to whole ones in some printers. */
#define LT_MEDIA_SLACK 0.6

/* True when labels of the layout can be printed on the medium: a sheet on its page, a roll on its
 * label, either also where the printer has width and height exchanged; a tape on any length of its
 * width. */
bool lt_media_takes(const struct lt_media *media, const struct lt_layout *layout);

/* True when pages of the layout go onto the medium turned by a quarter: a tape, whose pages are as
 * wide as they are long along the feed, and what the printer has with width and height exchanged.
 * Of a medium that takes the layout. */
bool lt_media_turned(const struct lt_media *media, const struct lt_layout *layout);

/* The loaded medium that takes the layout, one that is not turned before others; or NULL. */
const struct lt_media *lt_media_loaded(const struct lt_printer *printer,
	const struct lt_layout *layout);

/* That, or, where the printer does not say what is loaded, the same of the sizes that it has. */
const struct lt_media *lt_media_meant(const struct lt_printer *printer,
	const struct lt_layout *layout);

/* Says, as an error with both sizes, that what is loaded is not what the layout wants; true when it
 * is. Where the printer does not say what is loaded, a size that is none of those that it has, or
 * can be told, is an error that names them; any other is a warning, and true. */
bool lt_media_check(const struct lt_printer *printer, const struct lt_layout *layout,
	struct lt_diags *diags);

/* The layout of `stock` that goes with what is loaded and with a resolution of the printer: the one
 * at its own head's dots before others. NULL, with an error that names what is loaded and the
 * layouts that come nearest, when there is none, or the printer does not say what is loaded; or,
 * where several differ in what they are (a plate and a wrap of the same size, a label and one with
 * width and height exchanged), with an error that asks for --layout and names them. */
const struct lt_layout *lt_media_layout(const struct lt_printer *printer,
	const struct lt_stock *stock, struct lt_diags *diags);

/* The resolution to draw at: the layout's own where the printer has it, else the printer's nearest.
 * 0, with an error, when it has none that loomtag can draw at. A warning where it differs from the
 * layout's head. For PDF, where the printer tells none, the layout's own, or 600. */
unsigned lt_media_dpi(const struct lt_printer *printer, const struct lt_layout *layout, bool pdf,
	struct lt_diags *diags);

#endif
