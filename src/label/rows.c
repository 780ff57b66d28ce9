#include <math.h>
#include <string.h>

#include "label/rows.h"

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

/* What a row takes in capitals, with the space between rows. */
static double share_of(const struct lt_row *row)
{
	double height = lt_line_height(row->lines[0]);
	return row->count > 1 ? fmax(height, lt_line_height(row->lines[1])) : height;
}

double lt_row_height(const struct lt_row *row)
{
	return share_of(row) * row->capital;
}

/* Sets the largest capitals at which the rows have room, those of warnings at least `warning`, and
 * returns those of the others. A line on its own may be set narrower later, two that share a row
 * may not. */
static double fit_rows(struct lt_row *rows, size_t count, const struct lt_room *room,
	double warning)
{
	double all = 0;
	double warnings = 0;
	double capital = room->most;
	for (size_t i = 0; i < count; i++) {
		double share = share_of(&rows[i]);
		all += share;
		warnings += rows[i].lines[0]->warning ? share : 0;
		if (rows[i].count > 1)
			capital = fmin(capital,
				room->width / (rows[i].lines[0]->slope + rows[i].lines[1]->slope +
						      LT_ROW_GAP));
	}
	double even = fmin(capital, room->height / all);
	bool apart = even < warning && all > warnings;
	double others = even;
	if (apart)
		others = fmin(capital, (room->height - warnings * warning) / (all - warnings));
	for (size_t i = 0; i < count; i++)
		rows[i].capital = apart && rows[i].lines[0]->warning ? warning : others;
	return others;
}

/* The rows that say `count` lines with the largest capitals. Returns these, of the lines that are
 * no warnings. */
static double find_rows(struct lt_row rows[LT_LINES_MAX], size_t *row_count,
	const struct lt_line *lines, size_t count, const struct lt_room *room, double warning)
{
	*row_count = fill_rows(rows, lines, count, 0);
	double capital = fit_rows(rows, *row_count, room, warning);
	for (unsigned joins = 1; joins < 1u << (count - 1); joins++) {
		struct lt_row other[LT_LINES_MAX];
		if (capital >= room->legible || !may_join(lines, count, joins))
			continue;
		size_t other_count = fill_rows(other, lines, count, joins);
		double fitted = fit_rows(other, other_count, room, warning);
		if (fitted < capital * (capital < room->least ? 1 : WORTH))
			continue;
		capital = fitted;
		*row_count = other_count;
		memcpy(rows, other, other_count * sizeof(other[0]));
	}
	return capital;
}

/* The capitals of weight 1 with which the warnings, which weigh more, are just legible. */
static double warning_capital(const struct lt_line *lines, size_t count, const struct lt_room *room)
{
	double capital = 0;
	for (size_t i = 0; i < count; i++) {
		if (lines[i].warning)
			capital = fmax(capital, room->legible / lines[i].weight);
	}
	return fmin(capital, room->most);
}

size_t lt_rows_arrange(struct lt_row rows[LT_LINES_MAX], size_t *row_count,
	const struct lt_line *lines, size_t count, const struct lt_room *room)
{
	double warning = warning_capital(lines, count, room);
	size_t warnings = 0;
	while (warnings < count && lines[warnings].warning)
		warnings++;
	for (; count > 0; count--) {
		/* The warnings alone are as small as they have to be. */
		if (find_rows(rows, row_count, lines, count, room,
			    count > warnings ? warning : 0) >= room->least)
			return count;
	}
	*row_count = 0;
	return 0;
}

/* True for a line that will have to be set smaller or cut; not for one that has a short form. */
static bool is_long(const struct lt_row *row, const struct lt_room *room)
{
	const struct lt_line *line = row->lines[0];
	return row->count == 1 && !line->warning && line->shorter[0] == NULL &&
	       line->slope * fmin(row->capital, room->legible) * SMALLER > room->width;
}

void lt_rows_sink_long(struct lt_row *rows, size_t count, const struct lt_room *room)
{
	struct lt_row sorted[LT_LINES_MAX] = { 0 };
	size_t sorted_count = 0;
	for (int last = 0; last < 2; last++) {
		for (size_t i = 0; i < count; i++) {
			if (is_long(&rows[i], room) == (last == 1))
				sorted[sorted_count++] = rows[i];
		}
	}
	memcpy(rows, sorted, sorted_count * sizeof(rows[0]));
}
