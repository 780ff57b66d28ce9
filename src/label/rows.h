/* How a sticker's lines share the height that is left to them. */
#ifndef LOOMTAG_LABEL_ROWS_H
#define LOOMTAG_LABEL_ROWS_H

#include "label/lines.h"
#include "loomtag/label.h"

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
