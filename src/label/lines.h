/* The small texts of a sticker: their wording, how they are made to fit, and how they share the
 * height that is left for them. Heights are in mm of capital letters, unless they are in capitals:
 * shares of that height. */
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
	const char *text;       /* the whole of it; lives as long as the arena */
	const char *shorter[2]; /* the same in fewer words; or NULL */
	bool warning;           /* of a wrong pairing: bold, and never cut */
	enum lt_typeface wide, narrow;
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
	enum lt_typeface face;
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
 * in fewer words; then smaller than `legible`; then cut. False when nothing of it fits. */
bool lt_line_fit(struct lt_fitted *out, const struct lt_line *line, double width, double capital,
	double legible, double least, const struct lt_measure *measure);

#define LT_ROW_GAP 1.0 /* between two lines on one row, in capitals */

/* One line, or two short ones side by side. */
struct lt_row {
	const struct lt_line *lines[2];
	size_t count;
	double capital; /* of its lines of weight 1, mm */
};

/* The room for rows, in mm, and the capitals they may have. */
struct lt_room {
	double width, height;
	double most, legible, least;
};

/* Arranges lines in rows, in their order. Where each on its own would come out smaller than
 * `legible`, neighbours that fit side by side share a row; warnings stay legible, and the others
 * make room; what finds no room even at `least` is left out from the end. Returns how many lines
 * are used; sets the rows and the height of their capitals. */
size_t lt_rows_arrange(struct lt_row rows[LT_LINES_MAX], size_t *row_count,
	const struct lt_line *lines, size_t count, const struct lt_room *room);

/* What a row takes, in mm, with the space between rows. */
double lt_row_height(const struct lt_row *row);

/* Moves rows that are too long for the room to the end, keeping their order; warnings stay. */
void lt_rows_sink_long(struct lt_row *rows, size_t count, const struct lt_room *room);

#endif
