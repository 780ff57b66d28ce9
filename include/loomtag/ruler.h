/* The ruler: a page to hold against blank labels, to see how far beside its place a printer prints
 * and how much too large or small. */
#ifndef LOOMTAG_RULER_H
#define LOOMTAG_RULER_H

#include <stdbool.h>

#include "loomtag/canvas.h"
#include "loomtag/layout.h"
#include "loomtag/measure.h"
#include "loomtag/text.h"

/* What is corrected already: every length on a sheet is multiplied by the scale, then moved to the
 * right and down, in mm. On rolls and tapes the scale does not count. */
struct lt_ruler_options {
	double nudge_x, nudge_y;
	double scale_x, scale_y;
};
#define LT_RULER_OPTIONS_INIT \
	{ \
		0, 0, 1, 1 \
	}

#define LT_RULER_BAR 100.0 /* mm, where there is room; else the most whole tens that fit */
#define LT_RULER_STEP 10.0 /* mm between two ticks */

/* The lengths of its bars to the right and down, in mm; 0 where not even one step fits. */
void lt_ruler_bars(double *x, double *y, const struct lt_layout *layout);

/* Draws one page: of a sheet the whole of it, with the outlines and centres of all labels and its
 * own centre; of a roll or tape one label, with a frame inside it. On both the zones of flags and
 * wraps, and the two bars. On a sheet also what to do with it, where there is room. */
bool lt_ruler_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_ruler_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

/* What to do with it, a step a line. */
void lt_ruler_write(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_ruler_options *options);

#endif
