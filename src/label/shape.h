/* The geometry of labels, as placing stickers asks of it. Lengths in mm. */
#ifndef LOOMTAG_LABEL_SHAPE_H
#define LOOMTAG_LABEL_SHAPE_H

#include "loomtag/label.h"

/* True when a wrap is wound along its label's height. */
bool lt_winds_down(const struct lt_layout *layout);

/* How a layout goes round a bundle. */
enum lt_fit {
	LT_FIT_YES,
	LT_FIT_UNKNOWN,   /* the bundle is not known, and the style depends on it */
	LT_FIT_TOO_THIN,  /* the printed zone of a wrap would cover itself: it is higher than pi x D
			   */
	LT_FIT_TOO_THICK, /* the clear tail does not go round once more, pi x (D + 2t); or the loop
			     of a flag is shorter than pi x D */
};
enum lt_fit lt_layout_fit(const struct lt_layout *layout, double bundle);

/* How little a layout is wanted: 0 is best. */
#define LT_DISLIKE_MOST 15u /* of what will do */
#define LT_WILL_NOT_DO 1000u

/* Hints at the layouts that would do, the most wanted first; or, where there are none or `known` is
 * NULL, how to find some. `penalties` is by layout. */
void lt_layout_hint(const struct lt_stock *known, const unsigned penalties[LT_STOCK_MAX],
	struct lt_diags *diags);

/* What a sticker is placed on: one face of a label, and what that asks of it. */
struct lt_blank {
	const struct lt_layout *layout;
	double width, height;
	bool endless; /* a tape's: as long as it has to be, so that a symbol may take any share */
	/* The circumference of the bundle that a wrap goes round, of the thickest that it suits
	 * where that is not known; else INFINITY. */
	double round;
	/* What can be seen of it from one side; else INFINITY. */
	double tag_width_most, tag_height_most;
};

/* The blank of a layout's face for a bundle (0 where it is not known), `length` long on a tape. */
struct lt_blank lt_blank_of(const struct lt_layout *layout, double length, double bundle);

#endif
