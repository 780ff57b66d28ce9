/* What a sticker is placed on: one face of a label, and what that asks of it. Lengths in mm. */
#ifndef LOOMTAG_LABEL_BLANK_H
#define LOOMTAG_LABEL_BLANK_H

#include "loomtag/label.h"

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

/* The share of the circumference that is seen well from one side: 120 degrees. Common practice, no
 * source. */
#define LT_SEEN_SHARE (1.0 / 3.0)

/* The blank of a layout's face for a bundle (0 where it is not known), `length` long on a tape. */
struct lt_blank lt_blank_of(const struct lt_layout *layout, double length, double bundle);

/* How far round the bundle, in degrees, a length of `mm` along a wrap goes; 0 where it lies flat or
 * the bundle is not known. */
double lt_blank_bend(const struct lt_layout *layout, double bundle, double mm);

#endif
