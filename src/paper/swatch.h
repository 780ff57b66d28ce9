/* A wire's colour as ink: never alone, its code always stands beside it. */
#ifndef LOOMTAG_PAPER_SWATCH_H
#define LOOMTAG_PAPER_SWATCH_H

#include "loomtag/canvas.h"
#include "loomtag/colour.h"

/* Fills the box with the base colour, the further colours as slanted stripes over it, and frames it
 * in black, so that white and what a black-and-white printer makes of the rest are seen as a wire
 * too. Nothing is drawn outside the box. Nothing for no colour. */
void lt_swatch_draw(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_colour *colour);

#endif
