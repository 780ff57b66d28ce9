/* The small texts of a sticker: what they say, and how they are made to fit. Heights are in mm of
 * capital letters, unless they are said to be in capitals: shares of that height. */
#ifndef LOOMTAG_LABEL_LINES_H
#define LOOMTAG_LABEL_LINES_H

#include "loomtag/label.h"

#define LT_LINES_MAX 6
#define LT_LINE_LEADING 0.25 /* between two lines, in capitals */
#define LT_LINE_INK 1.39     /* height of an ASCII line's ink, in capitals */
#define LT_LINE_NUMBERS 8    /* look-alikes listed */
#define LT_LINE_ROOM 512     /* bytes of a text with its NUL; longer ones end in an ellipsis */

/* One line to be placed. The roles come in the order of their right to the space. */
struct lt_line {
	enum lt_box_role role;
	const char *text;       /* the whole of it; from the arena */
	const char *shorter[2]; /* say the same in fewer words; or NULL */
	bool warning;           /* of a wrong pairing: bold, and never cut */
	enum lt_face wide, narrow;
	double weight;       /* its height beside the others' */
	double above, below; /* ink above and below the baseline, in capitals */
	double pad;          /* left and right of the text, in capitals: the banner's */
	double slope;        /* its width in the narrow face, padding and all, in capitals */
	unsigned numbers[LT_LINE_NUMBERS]; /* look-alikes: the first of them */
	size_t listed, all;                /* how many of them; and in all */
};

/* A line made to fit. */
struct lt_fitted {
	char text[LT_LINE_ROOM];
	enum lt_face face;
	double capital;
	double width; /* with the padding */
	bool cut;     /* shortened with an ellipsis */
};

/* Writes the lines of one sticker; returns how many. */
size_t lt_lines_write(struct lt_line out[LT_LINES_MAX], struct lt_arena *arena,
	const struct lt_sticker_source *source, struct lt_sticker_id id);

/* What a line takes beside the others, in capitals, with the space between lines. */
double lt_line_height(const struct lt_line *line);

/* Fits a line into `width`, with capitals of at most `capital` and at least `least`: as it is; then
 * said shorter; then smaller than `legible`; then cut. False when nothing of it fits. */
bool lt_line_fit(struct lt_fitted *out, const struct lt_line *line, double width, double capital,
	double legible, double least, const struct lt_measure *measure);

#endif
