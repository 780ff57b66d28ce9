/* What the parts of the terminal canvas share: the calls of a page are kept until it ends, since
 * only then is known which scale suits its QR codes. */
#ifndef LOOMTAG_DRAW_BLOCKS_H
#define LOOMTAG_DRAW_BLOCKS_H

#include "draw/dots.h"
#include "loomtag/draw.h"

enum lt_mark_kind { LT_MARK_TEXT, LT_MARK_RECTANGLE, LT_MARK_FRAME, LT_MARK_LINE, LT_MARK_QR };

/* One call. */
struct lt_mark {
	enum lt_mark_kind kind;
	double x, y;          /* of a text its start and baseline, of a line one end */
	double width, height; /* of a line what leads to its other end */
	double size;          /* em, thickness or module */
	bool black;
	enum lt_typeface face;
	const char *text;
	struct lt_qr qr;
};

struct lt_marks {
	struct lt_arena arena; /* texts and symbols */
	struct lt_mark *items;
	size_t count, room;
	double width, height; /* mm */
};

/* From mm to dots along one side of the page: rising, in straight pieces, since QR codes may take
 * more dots a mm than what lies beside them. */
struct lt_axis {
	struct lt_axis_point {
		double mm, dots;
	} * points;   /* where the pieces meet */
	size_t count; /* of those, 2 and more */
};

struct lt_grid {
	struct lt_axis x, y;
	int width, height;       /* dots */
	unsigned columns_wanted; /* frame included, for the QR codes; 0 where none would do */
};

/* Chooses dots for a page. `across` is the most that its width may take; `scale` dots a mm, 0 to
 * choose. */
void lt_grid_choose(struct lt_grid *out, const struct lt_marks *marks, int across, double scale);
void lt_grid_finish(struct lt_grid *grid);

/* Where `mm` comes to lie. */
double lt_axis_dots(const struct lt_axis *axis, double mm);

/* One character of the terminal. */
struct lt_cell {
	const char *bytes; /* a character with the marks on it; NULL: dots */
	unsigned char length;
	bool reversed; /* light on dark */
	bool covered;  /* by the wide character before it */
	bool taken;    /* no text may come here */
	bool grey;     /* stands for a symbol that cannot be drawn */
};

struct lt_picture {
	int width, height;   /* dots */
	unsigned char *dots; /* a byte each, 255 black */
	int rows;            /* of cells; columns are `width` */
	struct lt_cell *cells;
	size_t symbols_left_out; /* too fine for dots */
	size_t texts_left_out;   /* found no room */
};

/* Draws the marks, but for texts that are too small for dots. */
void lt_picture_draw(struct lt_picture *out, const struct lt_marks *marks,
	const struct lt_grid *grid, struct lt_glyphs *glyphs);
void lt_picture_finish(struct lt_picture *picture);

struct lt_cell *lt_picture_cell(const struct lt_picture *picture, int row, int column);

/* Puts down in characters the texts that are too small for dots. What a cell holds lives as long as
 * `arena`. */
void lt_picture_write(struct lt_picture *picture, const struct lt_marks *marks,
	const struct lt_grid *grid, struct lt_fonts *fonts, struct lt_arena *arena);

/* The size of a text's em in dots, and whether it is to be drawn in dots. */
bool lt_text_is_large(double *em, const struct lt_mark *mark, const struct lt_grid *grid,
	struct lt_fonts *fonts);

/* Keeps texts out of an area of dots. */
void lt_picture_take(struct lt_picture *picture, int left, int top, int right, int bottom);

#endif
