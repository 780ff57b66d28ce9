/* Texts that are too small to be drawn in dots, written in characters near their place. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/fonts.h"
#include "draw/preview.h"

/* How far a text may be moved to find room: to the right, to the left, and down. */
#define RIGHT_MOST 2
#define LEFT_MOST 4
#define DOWN_MOST 3

/* What starts so many rows above or below a text, and to the right of it, bounds it: it is likely
 * to belong to the next label of a sheet. */
#define NEIGHBOUR_ROWS 2

/* Marks on one character; more would only pile up. */
#define MARKS_MOST 4

/* One character, its marks included. */
struct glyph {
	const char *bytes;
	unsigned char length;
	unsigned char columns;
};

struct line {
	size_t order;  /* as it was drawn */
	double middle; /* of its height, in dots */
	int row, left;
	int end; /* where it would end on paper */
	bool reversed;
	bool is_text; /* otherwise something that bounds texts */
	struct glyph *glyphs;
	size_t count;
	int columns;
};

struct lines {
	struct line *items;
	size_t count;
};

/* Splits a text into what the terminal moves on by. */
static void split(struct line *line, const struct lt_mark *mark, struct lt_fonts *fonts,
	struct lt_arena *arena)
{
	size_t codes = lt_utf8_count(mark->text);
	line->glyphs = lt_arena_array(arena, codes + 1, sizeof(*line->glyphs));
	char *bytes = lt_arena_alloc(arena, 4 * codes + 1);
	unsigned marks = 0;
	const char *at = mark->text;
	for (uint32_t code; (code = lt_utf8_next(&at)) != 0;) {
		/* As paper shows it, so that what a font lacks is seen before it is printed. */
		char shown[5] = { 0 };
		size_t length = lt_utf8_put(shown, lt_font_shown(fonts, mark->face, code));
		unsigned char columns = (unsigned char)lt_utf8_columns(shown);
		if (columns == 0 && (line->count == 0 || ++marks > MARKS_MOST))
			continue;
		memcpy(bytes, shown, length);
		if (columns == 0) {
			line->glyphs[line->count - 1].length += (unsigned char)length;
		} else {
			line->glyphs[line->count++] =
				(struct glyph){ bytes, (unsigned char)length, columns };
			line->columns += columns;
			marks = 0;
		}
		bytes += length;
	}
}

static int by_place(const void *a, const void *b)
{
	const struct line *x = a;
	const struct line *y = b;
	if (x->middle != y->middle)
		return x->middle < y->middle ? -1 : 1;
	if (x->left != y->left)
		return x->left < y->left ? -1 : 1;
	return (x->order > y->order) - (x->order < y->order);
}

/* The texts to be written and what bounds them, from the top down and from left to right. */
static void collect(struct lines *out, const struct lt_marks *marks, const struct lt_grid *grid,
	struct lt_fonts *fonts, struct lt_arena *arena)
{
	const struct lt_measure measure = lt_fonts_measure(fonts);
	out->items = lt_alloc_array(marks->count + 1, sizeof(*out->items));
	for (size_t i = 0; i < marks->count; i++) {
		const struct lt_mark *mark = &marks->items[i];
		struct line line = { .order = i };
		double x = mark->x;
		double middle = mark->y + mark->size * mark->qr.modules / 2;
		if (mark->kind == LT_MARK_TEXT) {
			double em;
			line.is_text = !lt_text_is_large(&em, mark, grid, fonts);
			double capital = measure.heights(measure.data, mark->face).capital;
			middle = mark->y - capital * mark->size / 2;
			x += lt_text_width(&measure, mark->face, mark->size, mark->text);
		} else if (mark->kind != LT_MARK_QR) {
			continue;
		}
		line.middle = lt_axis_dots(&grid->y, middle);
		line.row = lt_dot(floor(line.middle / 2));
		line.left = lt_dot(lt_axis_dots(&grid->x, mark->x));
		line.end = lt_dot(floor(lt_axis_dots(&grid->x, x)));
		line.reversed = !mark->black;
		if (line.is_text)
			split(&line, mark, fonts, arena);
		out->items[out->count++] = line;
	}
	qsort(out->items, out->count, sizeof(*out->items), by_place);
}

/* The column that a text must end before, by what starts to the right of it. */
static int right_bound(const struct lines *lines, size_t index, int width)
{
	const struct line *line = &lines->items[index];
	size_t first = index;
	while (first > 0 && lines->items[first - 1].row >= line->row - NEIGHBOUR_ROWS)
		first--;
	int bound = width;
	for (size_t i = first;
		i < lines->count && lines->items[i].row <= line->row + NEIGHBOUR_ROWS; i++) {
		const struct line *other = &lines->items[i];
		if (i != index && other->left > line->left && other->left >= line->end &&
			other->left - 1 < bound)
			bound = other->left - 1;
	}
	return bound;
}

static bool is_free(const struct lt_picture *picture, int row, int column)
{
	return column >= 0 && column < picture->width &&
	       !lt_picture_cell(picture, row, column)->taken;
}

/* Finds room in a row: where the text starts, and how many columns it has there, 0 when none. */
static int find_room(int *start, const struct lt_picture *picture, const struct line *line, int row,
	int bound)
{
	int left = line->left < 0 ? 0 : line->left;
	int most = left + RIGHT_MOST;
	while (left < most && !is_free(picture, row, left))
		left++;
	int right = left;
	while (right < bound && right - left < line->columns && is_free(picture, row, right))
		right++;
	if (right == left)
		return 0;
	for (int moved = 0; moved < LEFT_MOST && right - left < line->columns &&
			    is_free(picture, row, left - 1);
		moved++)
		left--;
	*start = left;
	return right - left;
}

/* Returns the column behind it. */
static int put_glyph(struct lt_picture *picture, const struct glyph *glyph, int row, int column,
	bool reversed)
{
	struct lt_cell *cell = lt_picture_cell(picture, row, column);
	cell->bytes = glyph->bytes;
	cell->length = glyph->length;
	for (int i = 0; i < glyph->columns; i++) {
		cell[i].reversed = reversed;
		cell[i].covered = i > 0;
	}
	return column + glyph->columns;
}

static void put_text(struct lt_picture *picture, const struct line *line, int row, int start,
	int room)
{
	static const struct glyph ellipsis = { "\xE2\x80\xA6", 3, 1 };
	int column = start;
	bool cut = line->columns > room;
	int end = start + room - (cut ? 1 : 0);
	for (size_t i = 0; i < line->count && column + line->glyphs[i].columns <= end; i++)
		column = put_glyph(picture, &line->glyphs[i], row, column, line->reversed);
	if (cut)
		column = put_glyph(picture, &ellipsis, row, column, line->reversed);
	/* A blank stands between it and the next. */
	lt_picture_take(picture, start - 1, 2 * row, column + 1, 2 * row + 2);
}

/* A cut text says something when a character is left beside the ellipsis. */
static bool is_enough(const struct line *line, int room)
{
	return room >= line->columns || room >= line->glyphs[0].columns + 1;
}

/* No text comes above one that is written there already, though it stands below it on paper. */
static int lowest_above(const int *floors, const struct line *line, int width)
{
	int lowest = 0;
	for (int column = line->left < 0 ? 0 : line->left;
		column < width && column < line->left + line->columns; column++) {
		if (floors[column] > lowest)
			lowest = floors[column];
	}
	return lowest;
}

static bool write_line(struct lt_picture *picture, int *floors, const struct line *line, int bound)
{
	int lowest = lowest_above(floors, line, bound);
	int first = line->row > lowest ? line->row : lowest;
	first = first < 0 ? 0 : first;
	for (int row = first; row <= line->row + DOWN_MOST && row < picture->rows; row++) {
		int start;
		int room = find_room(&start, picture, line, row, bound);
		if (room == 0 || !is_enough(line, room))
			continue;
		put_text(picture, line, row, start, room);
		for (int column = start; column < start + room; column++)
			floors[column] = row;
		return true;
	}
	return false;
}

void lt_picture_write(struct lt_picture *picture, const struct lt_marks *marks,
	const struct lt_grid *grid, struct lt_fonts *fonts, struct lt_arena *arena)
{
	struct lines lines = { 0 };
	collect(&lines, marks, grid, fonts, arena);
	int *floors = lt_alloc_array((size_t)picture->width, sizeof(*floors));
	for (size_t i = 0; i < lines.count; i++) {
		const struct line *line = &lines.items[i];
		if (!line->is_text || line->count == 0)
			continue;
		if (!write_line(picture, floors, line, right_bound(&lines, i, picture->width)))
			picture->texts_left_out++;
	}
	free(floors);
	free(lines.items);
}
