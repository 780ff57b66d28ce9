/* What the files of the ruler share. */
#ifndef LOOMTAG_SHEET_RULER_H
#define LOOMTAG_SHEET_RULER_H

#include "loomtag/sheet.h"

/* One step of what is to be done, without its number; NULL behind the last. */
#define LT_RULER_STEPS 5
void lt_ruler_step(struct lt_text *out, size_t step, const struct lt_layout *layout,
	const struct lt_ruler_options *options);

/* How far inside its label the frame of a roll or tape is drawn, in mm. */
double lt_ruler_frame(const struct lt_layout *layout);

/* One label as the ruler shows it: on a tape of a middling length. */
void lt_ruler_shape(struct lt_shape *out, const struct lt_layout *layout);

#endif
