/* Sheet: what is printed on labels. Sticker sheets (lt_sheet_plan, then lt_sheet_draw), the ruler
 * to hold against blank labels, the ladder of smaller and smaller symbols, pictures of layouts; and
 * the marks of printed stickers in the register (lt_printed_before). */
#ifndef LOOMTAG_SHEET_H
#define LOOMTAG_SHEET_H

#include "loomtag/draw.h"

/* Sticker sheets: which stickers, in which places, drawn page by page. */

struct lt_sheet_options {
	struct lt_sticker_options sticker;
	const struct lt_selection *only; /* NULL: all */
	unsigned start;                  /* first free label of the first page, from 1 */
	const bool *used;        /* labels of the first page that are used already; NULL: none */
	double nudge_x, nudge_y; /* mm, added to every position */
	double scale_x, scale_y; /* by which every label's position is multiplied first */
	/* With `choice` (from lt_stock_choose) only the stickers whose entry is `medium`. */
	const unsigned char *choice;
	unsigned medium;
	bool apart; /* each sticker on a page of its own, of its label's size */
	/* On a tape, the stickers of a number on one page, so that the cutter does not separate
	 * them. */
	bool together;
	unsigned copies; /* of the stickers of each number, one set after the other */
	/* With `list` exactly these stickers, in their order: `only`, `choice` and `copies` are
	 * ignored. Each must be one that a connector has. */
	const struct lt_sticker_id *list;
	size_t list_count;
};
#define LT_SHEET_OPTIONS_INIT \
	{ \
		LT_STICKER_OPTIONS_INIT, NULL, 1, NULL, 0, 0, 1, 1, NULL, 0, false, false, 1, \
			NULL, 0 \
	}

/* One sticker's place. */
struct lt_slot {
	struct lt_sticker_id id;
	unsigned page;  /* from 1 */
	unsigned label; /* on its page, from 0 */
};

/* Which stickers come where. */
struct lt_sheet {
	struct lt_arena arena;
	const struct lt_layout *layout;
	struct lt_slot *slots;
	size_t count;
	unsigned pages;
	bool apart, together;
	unsigned left_out; /* after drawing: bit per role that had no room on some sticker */
	unsigned shortened;
	size_t payloads[4]; /* after drawing: how many stickers took each payload, by enum */
	double length;      /* after drawing: of all labels of a tape together, mm */
	double longest;     /* after drawing: the widest page, mm */
	bool canvas_failed; /* after drawing failed: because of the canvas or the encoder, not of a
			       sticker */
	struct lt_doubts doubts; /* after drawing */
};

/* Callbacks while a sheet is drawn. Either function may be NULL. */
struct lt_sheet_watcher {
	void (*progress)(void *data, size_t done, size_t all); /* now and then */
	void (*placed)(void *data, const struct lt_sticker *sticker);
	void *data;
};

/* Assigns places: connectors in the order of the description, the stickers of a number together,
 * and on one page if they fit; connectors with tag: paper or none have no stickers. The register
 * shows which X stickers go over an M sticker; a warning lists them. Errors: --start beyond the
 * page, or with too little of it left for the first number; an item of `only` that matches no
 * sticker; nothing to print (not an error with `choice`, since other sheets may have stickers);
 * payload link without a base; each connector whose bundle the layout does not suit. Finish `out`
 * either way. */
bool lt_sheet_plan(struct lt_sheet *out, const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_register *reg, const struct lt_sheet_options *options,
	struct lt_diags *diags);
void lt_sheet_finish(struct lt_sheet *sheet);

/* Places, encodes and draws every sticker; with no canvas it only places them. False when any
 * cannot be placed, or, with `canvas_failed`, when the canvas or the encoder fails. `watcher` may
 * be NULL. */
bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas,
	const struct lt_sticker_source *source, const struct lt_sheet_options *options,
	const struct lt_sheet_watcher *watcher, struct lt_diags *diags);

/* The ruler: a page to hold against blank labels, to measure the error in position and scale of a
 * printer's prints. `corrected` is the correction that is applied already: positions on a sheet are
 * multiplied by the scale, then moved right and down by the nudge. On rolls and tapes the scale is
 * ignored. */

/* Draws one page: for a sheet a whole page, with the outlines and centres of all labels and the
 * page's centre; for a roll or tape one label, with a frame inside it. Both have the zones of flags
 * and wraps, and two bars to measure. A sheet also has the instructions, if there is room. */
bool lt_ruler_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_calibration *corrected, const struct lt_measure *measure,
	struct lt_diags *diags);

/* Writes the instructions, a step a line. */
void lt_ruler_write(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_calibration *corrected);

/* The ladder: QR codes with fewer and fewer dots per module, and smaller and smaller texts. It is
 * printed once, to find out what a scanner, and a person, can still read from this printer. */

#define LT_LADDER_LEAST 2u /* dots a module */
#define LT_LADDER_MOST 8u
#define LT_LADDER_LOWEST 1u /* mm, of capitals */
#define LT_LADDER_HIGHEST 6u
#define LT_LADDER_EDGE 10.0 /* mm that are left blank on a sheet */

enum lt_ladder_kind {
	LT_LADDER_CODE, /* a symbol with the text "DOTS3", and beside it its dots and mm per module
			 */
	LT_LADDER_HEIGHT, /* a text with its own height */
	LT_LADDER_WORDS,  /* what to do */
	LT_LADDER_WRITE   /* a line to write a number on */
};

#define LT_LADDER_LINES 8

/* One block on a page, with the white around it; mm. It includes a code's quiet zone, which may lie
 * on the unprintable edge of the label. */
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
	unsigned largest_dots; /* of the codes that had room; 0: none */
};

/* Lays the ladder out for a printer of `dpi` dots per inch: on one page of a sheet; on one strip of
 * a tape as long as needed, or more strips if that is longer than `longest` (mm, or INFINITY; tapes
 * only); or on as many labels of a roll as needed. On labels it uses the printed zone or the first
 * face. Blocks that are too large for the labels are left out, with a note. False, with an error,
 * if neither a code of LT_LADDER_LEAST dots nor the instructions fit. Finish `out` either way. */
bool lt_ladder_plan(struct lt_ladder *out, const struct lt_layout *layout, double dpi,
	double longest, const struct lt_measure *measure, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_ladder_finish(struct lt_ladder *ladder);

/* Draws all pages, on a canvas of the same resolution; the caller finishes the canvas. */
bool lt_ladder_draw(struct lt_canvas *canvas, const struct lt_ladder *ladder,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Specimens: pictures of label layouts, at print size, with a sample sticker on them. */

/* Draws one layout on a page of its own, as large as it takes: the label with its zones, what it
 * measures in mm beside it, a sample sticker where there is room for one, the bundles that it
 * suits, and for a sheet a small picture of the page. With `words` also the layout's name and
 * facts, and its unprintable edges. False when the canvas or the encoder fails. */
bool lt_specimen_draw(struct lt_canvas *canvas, const struct lt_layout *layout, bool words,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Draws all layouts on pages of A4 (ISO 216), each label at print size with its name and size
 * below; one that is larger than the page is drawn smaller, with its scale. `count` is at
 * least 1. */
bool lt_specimen_contact(struct lt_canvas *canvas, const struct lt_layout *layouts, size_t count,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Adds one note about what had no room on labels of this size. Call it after lt_sheet_draw. */
void lt_sheet_report_room(const struct lt_sheet *sheet, struct lt_diags *diags);

/* Warns if the nudge or the scale is larger than the inset of the labels allows: ink can then miss
 * its label, or stickers are printed larger or smaller than their labels. */
void lt_sheet_warn_of_moves(const struct lt_sheet_options *options, const struct lt_layout *layout,
	struct lt_diags *diags);

/* The longest face of a tape's layout, in mm, with which no sticker is longer than `most`, with the
 * loops that the bundles need. A bundle whose loop leaves no room for faces is ignored. */
double lt_sheet_longest(const struct lt_layout *layout, const struct lt_bundle *bundles,
	size_t count, double most);

/* The figures behind each sticker, as a table: a line a sticker, and what the columns mean at a
 * reading distance in mm. Its heading is lt_sticker_run_words.figures_heading. */
void lt_explain_sticker(struct lt_text *out, const struct lt_sticker *sticker,
	const struct lt_layout *layout);
void lt_explain_foot(struct lt_text *out, double distance);

/* The greatest distance in mm at which a sticker's symbol can be read (LT_READING_WIDTHS), and its
 * number: the height divided by 0.004, the least that NUREG-0700 allows. */
double lt_sticker_code_distance(const struct lt_sticker *sticker);
double lt_sticker_number_distance(const struct lt_sticker *sticker);

/* Marks in the register for the sides that were printed as stickers. If the stickers are printed
 * before the register is written, a power cut in between leaves a sticker without a mark; in the
 * other order it leaves a mark without a sticker. Which of these does harm depends on the side:
 *
 * - H and M: a mark without a sticker is harmless. But an M sticker without a mark could
 *   be taken for the new part's, once its part is to be replaced. So H and M are marked
 *   before printing.
 * - X: the mark means that the old part's M sticker is covered, so that any other M sticker
 *   is the new part's. So X is marked after printing.
 *
 * Numbers are in the register, on disk, before any sticker is printed. The functions below change
 * the register in memory, and set tags->changed if it must be written. */

/* Marks the H and M sides of all stickers of a sheet: before they are printed. */
void lt_printed_before(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet);

/* Marks the X sides among the first `count` stickers of a sheet: after they are printed. */
void lt_printed_after(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet,
	size_t count);

/* Marks the X side of a number if its sticker is `out` (printed), else removes the mark. */
void lt_printed_x(struct lt_tags *tags, struct lt_register *reg, unsigned number, bool out);

/* A copy of the register's entries, for taking marks back; `entries` is malloc'd. */
struct lt_printed {
	struct lt_register_entry *entries;
	size_t count;
};
void lt_printed_remember(struct lt_printed *out, const struct lt_register *reg);

/* Restores the entries; the copy stays the caller's. */
void lt_printed_restore(struct lt_tags *tags, struct lt_register *reg,
	const struct lt_printed *before);

#endif
