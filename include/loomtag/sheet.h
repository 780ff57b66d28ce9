/* Sheet: papers of labels. Sticker sheets (lt_sheet_plan, then lt_sheet_draw), the ruler that is
 * held against blank labels, the ladder of ever smaller symbols, pictures of layouts; and which
 * stickers went out (lt_printed_before). */
#ifndef LOOMTAG_SHEET_H
#define LOOMTAG_SHEET_H

#include "loomtag/draw.h"

/* Sticker sheets: which stickers, in which places, drawn page by page. */

struct lt_sheet_options {
	struct lt_sticker_options sticker;
	const struct lt_selection *only; /* NULL: all */
	unsigned start;                  /* first free label of the first page, from 1 */
	const bool *used;                /* labels of the first page that are gone; NULL: none */
	double nudge_x, nudge_y;         /* mm, added to every position */
	double scale_x, scale_y;         /* by which every label's position is multiplied first */
	/* With `choice` (of lt_stock_choose) only the stickers whose entry is `medium`. */
	const unsigned char *choice;
	unsigned medium;
	bool apart; /* each sticker on a page of its own, of its label's size */
	/* On a tape, the stickers of a number on one page, so that a cutter keeps them together. */
	bool together;
	unsigned copies; /* of the stickers of each number, one set after the other */
	/* With `list` these stickers, in their order, and no others: `only`, `choice` and `copies`
	 * do not count. Of what has a sticker. */
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
	unsigned left_out; /* after drawing: roles that found no room on some sticker */
	unsigned shortened;
	size_t payloads[4];      /* after drawing: how many stickers took each payload, by enum */
	double length;           /* after drawing: of all labels of a tape together, mm */
	double longest;          /* after drawing: the widest page, mm */
	bool canvas_failed;      /* after drawing that failed: for the canvas, not for a sticker */
	struct lt_doubts doubts; /* after drawing */
};

/* Who wants to know while a sheet is drawn. Either function may be NULL. */
struct lt_sheet_watcher {
	void (*progress)(void *data, size_t done, size_t all); /* now and then */
	void (*placed)(void *data, const struct lt_sticker *sticker);
	void *data;
};

/* Decides places: connectors in the order of the description, the stickers of a number together
 * and on one page where a page has room for them; tag: paper and none get none. The register
 * shows which X stickers go over an M sticker; they are warned of. Errors: --start beyond the
 * page, or with too little of it left for the first number; an item of `only` that matches no
 * sticker; nothing to print (with `choice` that is none, there are other sheets); payload link
 * without a base; a connector whose bundle the layout does not suit, each of them. Finish `out`
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

/* The ruler: a page to hold against blank labels, to see how far beside its place a printer prints
 * and how much too large or small. `corrected` is what is corrected already: every length on a
 * sheet is multiplied by the scale, then moved to the right and down. On rolls and tapes the scale
 * does not count. */

/* Draws one page: of a sheet the whole of it, with the outlines and centres of all labels and its
 * own centre; of a roll or tape one label, with a frame inside it. On both the zones of flags and
 * wraps, and the two bars. On a sheet also what to do with it, where there is room. */
bool lt_ruler_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_calibration *corrected, const struct lt_measure *measure,
	struct lt_diags *diags);

/* What to do with it, a step a line. */
void lt_ruler_write(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_calibration *corrected);

/* The ladder: QR codes of fewer and fewer dots a module and lower and lower texts, printed once to
 * find out what a scanner, and an eye, still reads off this printer. */

#define LT_LADDER_LEAST 2u /* dots a module */
#define LT_LADDER_MOST 8u
#define LT_LADDER_LOWEST 1u /* mm, of capitals */
#define LT_LADDER_HIGHEST 6u
#define LT_LADDER_EDGE 10.0 /* mm that are left blank on a sheet */

enum lt_ladder_kind {
	LT_LADDER_CODE,   /* a symbol that holds "DOTS3", and beside it its dots and mm a module */
	LT_LADDER_HEIGHT, /* a text with its own height */
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

/* Specimens: pictures of label layouts, at print size, with a sample sticker on them. */

/* Draws one layout on a page of its own, as large as it takes: the label with its zones, what it
 * measures in mm beside it, a sample sticker where there is room for one, the bundles it goes
 * round, and of a sheet the whole page made small; with `words` the layout's name and facts too,
 * and its unprintable edges. False when the canvas or the encoder fails. */
bool lt_specimen_draw(struct lt_canvas *canvas, const struct lt_layout *layout, bool words,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Draws all layouts on pages of A4 (ISO 216), each label at print size with its name and size
 * below; one that is larger than the page is drawn smaller, with its scale. `count` is at
 * least 1. */
bool lt_specimen_contact(struct lt_canvas *canvas, const struct lt_layout *layouts, size_t count,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Reports once what labels of this size had no room for. Of a sheet that was drawn. */
void lt_sheet_report_room(const struct lt_sheet *sheet, struct lt_diags *diags);

/* Warns of moves that labels are not made for: ink that leaves its label, or stickers that are
 * larger or smaller than their labels once a printer has stretched them. */
void lt_sheet_warn_of_moves(const struct lt_sheet_options *options, const struct lt_layout *layout,
	struct lt_diags *diags);

/* The longest face of a tape's layout, in mm, with which no sticker is longer than `most`, with the
 * loops that the bundles need. Where a loop leaves no room for any faces nothing helps. */
double lt_sheet_longest(const struct lt_layout *layout, const struct lt_bundle *bundles,
	size_t count, double most);

/* The figures behind each sticker, as a table: a line a sticker, and what the columns mean at a
 * reading distance in mm. The heading is in lt_sticker_run_words. */
void lt_explain_sticker(struct lt_text *out, const struct lt_sticker *sticker,
	const struct lt_layout *layout);
void lt_explain_foot(struct lt_text *out, double distance);

/* From how far a sticker's symbol is read, in mm; and its number, at the least: the height over the
 * share of the distance that NUREG-0700 wants. */
double lt_sticker_code_distance(const struct lt_sticker *sticker);
double lt_sticker_number_distance(const struct lt_sticker *sticker);

/* Which sides went out as stickers. When a sticker goes out and the register is written afterwards,
 * a power cut between the two leaves a sticker that nobody knows of; in the other order it leaves a
 * mark for a sticker that is not there. Which of them does harm depends on the side:
 *
 * - H, and M on whatever part: a mark too many asks for care that is not needed. An M that is out
 *   and not marked would, once its part is to be replaced, pass for the new part's. They are marked
 *   before the stickers go out.
 * - X: its mark means that the old part's M is covered, so that any M is the new part's. It is
 *   marked when the stickers are out.
 *
 * Numbers go into the register, on disk, before any sticker. Marks are made in memory, and
 * tags->changed means that the register is to be written. */

/* Marks the H and M sides of all stickers of a sheet: before they go out. */
void lt_printed_before(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet);

/* Marks the X sides among the first `count` stickers of a sheet: when they are out. */
void lt_printed_after(struct lt_tags *tags, struct lt_register *reg, const struct lt_sheet *sheet,
	size_t count);

/* Marks the X side of a number when its sticker is out, and takes the mark away when it is not. */
void lt_printed_x(struct lt_tags *tags, struct lt_register *reg, unsigned number, bool out);

/* The register's entries as they were, for taking marks back; malloc'd. */
struct lt_printed {
	struct lt_register_entry *entries;
	size_t count;
};
void lt_printed_remember(struct lt_printed *out, const struct lt_register *reg);

/* Takes the marks back. */
void lt_printed_restore(struct lt_tags *tags, struct lt_register *reg,
	const struct lt_printed *before);

#endif
