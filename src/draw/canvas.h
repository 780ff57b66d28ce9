/* What the canvases share. */
#ifndef LOOMTAG_DRAW_CANVAS_H
#define LOOMTAG_DRAW_CANVAS_H

#include "loomtag/draw.h"

#define LT_MM_PER_INCH 25.4

/* Darker than half, by the luminance weights of ITU-R BT.709. */
bool lt_ink_is_black(struct lt_ink ink);

/* The ink as 0xRRGGBB. */
unsigned lt_ink_rgb(struct lt_ink ink);

/* A symbol on a grid of dots, in dots from the page's top-left corner. */
struct lt_grid_symbol {
	double left, top; /* whole numbers, or whatever nonsense was given */
	double module;    /* a whole number, 1 at least */
};

/* The symbol that was asked for at x, y with modules of `module` (mm), on a grid of `scale` dots a
 * mm: its module rounded down to whole dots, in the middle of the place it was given. One
 * arithmetic for every canvas, so that a picture and a PDF of the same resolution agree dot for
 * dot. */
struct lt_grid_symbol lt_grid_symbol(double x, double y, double module, unsigned modules,
	double scale);

/* Adds a text in which each '@' stands for the next of the numbers, in units of 10^-decimals. They
 * are written with a point, whatever the locale, and no longer than they need to be: "12.3",
 * "-0.05". */
void lt_numbers_add(struct lt_text *out, const char *form, unsigned decimals,
	const long long *numbers);

/* Drawing calls cannot fail: what goes wrong in them is kept in `trouble`. Hands the first of it
 * on; true when there is none. */
bool lt_canvas_report(const struct lt_diags *trouble, struct lt_diags *diags);

#endif
