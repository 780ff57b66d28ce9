/* Where a symbol comes to lie on a grid of dots: one arithmetic for every canvas, so that a
 * picture and a PDF of the same resolution agree dot for dot. */
#ifndef LOOMTAG_DRAW_GRID_H
#define LOOMTAG_DRAW_GRID_H

#include "loomtag/draw.h"

#define LT_MM_PER_INCH 25.4

/* A symbol on the grid, in dots from the page's top-left corner. */
struct lt_grid_symbol {
	double left, top; /* whole numbers, or whatever nonsense was given */
	double module;    /* a whole number, 1 at least */
};

/* The symbol that was asked for at x, y with modules of `module` (mm), on a grid of `scale` dots a
 * mm: its module rounded down to whole dots, in the middle of the place it was given. */
struct lt_grid_symbol lt_grid_symbol(double x, double y, double module, unsigned modules,
	double scale);

#endif
