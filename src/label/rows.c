#include "label/rows.h"

#include <math.h>
#include <string.h>

/* A line may be set that much smaller than the others before it has to move. */
#define SMALLER 0.8
/* Two lines on a row are harder to find than two rows: it has to be worth it. */
#define WORTH 1.15

/* Which neighbours share a row: bit i for lines i and i + 1. */
static bool may_join(const struct lt_line *lines, size_t count, unsigned joins)
{
	if ((joins & (joins << 1)) != 0)
		return false;
	for (size_t i = 0; i + 1 < count; i++) {
		if ((joins >> i & 1) != 0 && (lines[i].warning || lines[i + 1].warning))
			return false;
	}
	return true;
}

static size_t fill_rows(struct lt_row rows[LT_LINES_MAX], const struct lt_line *lines, size_t count,
	unsigned joins)
{
	size_t filled = 0;
	for (size_t i = 0; i < count; i++) {
		struct lt_row *row = &rows[filled++];
		row->lines[0] = &lines[i];
		row->count = 1;
		if ((joins >> i & 1) != 0) {
			row->lines[1] = &lines[++i];
			row->count = 2;
		}
	}
	return filled;
}

double lt_row_height(const struct lt_row *row)
{
	double height = lt_line_height(row->lines[0]);
	return row->count > 1 ? fmax(height, lt_line_height(row->lines[1])) : height;
}

/* The largest capitals at which the rows have room. A line on its own may be set narrower later,
 * two that share a row may not. */
static double fit_rows(const struct lt_row *rows, size_t count, const struct lt_room *room)
{
	double height = 0;
	double capital = room->most;
	for (size_t i = 0; i < count; i++) {
		height += lt_row_height(&rows[i]);
		if (rows[i].count > 1)
			capital = fmin(capital,
				room->width / (rows[i].lines[0]->slope + rows[i].lines[1]->slope +
						      LT_ROW_GAP));
	}
	return fmin(capital, room->height / height);
}

size_t lt_rows_arrange(struct lt_row rows[LT_LINES_MAX], size_t *row_count, double *capital,
	const struct lt_line *lines, size_t count, const struct lt_room *room)
{
	for (; count > 0; count--) {
		*row_count = fill_rows(rows, lines, count, 0);
		*capital = fit_rows(rows, *row_count, room);
		for (unsigned joins = 1; joins < 1u << (count - 1); joins++) {
			struct lt_row other[LT_LINES_MAX];
			if (*capital >= room->legible || !may_join(lines, count, joins))
				continue;
			size_t other_count = fill_rows(other, lines, count, joins);
			double fitted = fit_rows(other, other_count, room);
			if (fitted < *capital * (*capital < room->least ? 1 : WORTH))
				continue;
			*capital = fitted;
			*row_count = other_count;
			memcpy(rows, other, other_count * sizeof(other[0]));
		}
		if (*capital >= room->least)
			return count;
	}
	*row_count = 0;
	*capital = 0;
	return 0;
}

/* True for a line that will have to be set smaller or cut; not for one that has a short form. */
static bool is_long(const struct lt_row *row, const struct lt_room *room, double capital)
{
	const struct lt_line *line = row->lines[0];
	return row->count == 1 && !line->warning && line->shorter[0] == NULL &&
	       line->slope * fmin(capital, room->legible) * SMALLER > room->width;
}

void lt_rows_sink_long(struct lt_row *rows, size_t count, const struct lt_room *room,
	double capital)
{
	struct lt_row sorted[LT_LINES_MAX] = { 0 };
	size_t sorted_count = 0;
	for (int last = 0; last < 2; last++) {
		for (size_t i = 0; i < count; i++) {
			if (is_long(&rows[i], room, capital) == (last == 1))
				sorted[sorted_count++] = rows[i];
		}
	}
	memcpy(rows, sorted, sorted_count * sizeof(rows[0]));
}
