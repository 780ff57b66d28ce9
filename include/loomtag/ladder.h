/* The ladder: QR codes of fewer and fewer dots a module and lower and lower texts, printed once to
 * find out what a scanner, and an eye, still reads off this printer. */
#ifndef LOOMTAG_LADDER_H
#define LOOMTAG_LADDER_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/canvas.h"
#include "loomtag/layout.h"
#include "loomtag/measure.h"
#include "loomtag/memory.h"

#define LT_LADDER_LEAST 2u /* dots a module */
#define LT_LADDER_MOST 8u
#define LT_LADDER_LOWEST 1u /* mm, of capitals */
#define LT_LADDER_HIGHEST 6u
#define LT_LADDER_EDGE 10.0 /* mm that are left blank on a sheet */

enum lt_ladder_kind {
	LT_LADDER_CODE,   /* a symbol that says "DOTS3", and beside it its dots and mm a module */
	LT_LADDER_HEIGHT, /* a text that says how high it is */
	LT_LADDER_WORDS,  /* what to do */
	LT_LADDER_WRITE   /* a line to write a number on */
};

#define LT_LADDER_LINES 8

/* A thing on a page, with all its white; mm. Of a code the quiet zone is within it, and may lie on
 * the edge of the label that is not printed. */
struct lt_ladder_block {
	enum lt_ladder_kind kind;
	unsigned page; /* from 0 */
	double x, y, width, height;
	double overhang_x, overhang_y; /* white within it on each side */
	unsigned dots;                 /* LT_LADDER_CODE */
	double capital;                /* height of its texts' capitals */
	const char *lines[LT_LADDER_LINES];
	size_t line_count;
};

struct lt_ladder {
	struct lt_arena arena;
	struct lt_ladder_block *blocks;
	size_t count;
	unsigned pages;
	double width, height;  /* of every page, mm */
	double dot;            /* mm */
	unsigned largest_dots; /* of a code that had room; 0: not one */
};

/* Lays the ladder out for a head, or a sheet's printer, of `dpi` dots an inch: on one page of a
 * sheet, on one strip of a tape as long as it has to be, or on more where that is longer than
 * `longest` (mm, or INFINITY; tape alone), on as many labels of a roll as it takes,
 * and of them on the printed zone or first face. What is too large for the labels is left out, and
 * a note says so. False, with an error, when not even a code of LT_LADDER_LEAST dots or what to do
 * has room. Finish `out` either way. */
bool lt_ladder_plan(struct lt_ladder *out, const struct lt_layout *layout, double dpi,
	double longest, const struct lt_measure *measure, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_ladder_finish(struct lt_ladder *ladder);

/* Draws all of its pages, on a canvas of the same dots; the canvas is the caller's to finish. */
bool lt_ladder_draw(struct lt_canvas *canvas, const struct lt_ladder *ladder,
	const struct lt_measure *measure, struct lt_diags *diags);

#endif
