/* Sticker sheets: which stickers, in which places, drawn page by page. */
#ifndef LOOMTAG_SHEET_H
#define LOOMTAG_SHEET_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/canvas.h"
#include "loomtag/doubts.h"
#include "loomtag/sticker.h"

/* One sticker that is asked for by itself. */
struct lt_listed {
	size_t connector;
	enum lt_side side;
};

struct lt_sheet_options {
	struct lt_sticker_options sticker;
	const struct lt_selection *only; /* NULL: all */
	unsigned start;                  /* first free label of the first page, from 1 */
	const bool *used;                /* labels of the first page that are gone; NULL: none */
	double nudge_x, nudge_y;         /* mm, added to every position */
	double scale_x, scale_y;         /* by which every label's position is multiplied first */
	/* With `choice` (of lt_stock_choose) only the stickers for which it says `medium`. */
	const unsigned char *choice;
	unsigned medium;
	bool apart; /* each sticker on a page of its own, of its label's size */
	/* On a tape, the stickers of a number on one page, so that a cutter keeps them together. */
	bool together;
	unsigned copies; /* of the stickers of each number, one set after the other */
	/* With `list` these stickers, in their order, and no others: `only`, `choice` and `copies`
	 * do not count. Of what has a sticker. */
	const struct lt_listed *list;
	size_t list_count;
};
#define LT_SHEET_OPTIONS_INIT \
	{ \
		LT_STICKER_OPTIONS_INIT, NULL, 1, NULL, 0, 0, 1, 1, NULL, 0, false, false, 1, \
			NULL, 0 \
	}

/* One sticker's place. */
struct lt_slot {
	size_t connector;
	enum lt_side side;
	bool over_m;
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
 * tells which X stickers go over an M sticker, and a warning says so. Errors: --start beyond the
 * page, or with too little of it left for the first number; an item of `only` that no sticker
 * answers to; nothing to print (with `choice` that is none, there are other sheets); payload link
 * without a base; a connector whose bundle the layout does not suit, each of them. Finish `out`
 * either way. */
bool lt_sheet_plan(struct lt_sheet *out, const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_register *reg, const struct lt_sheet_options *options,
	struct lt_diags *diags);
void lt_sheet_finish(struct lt_sheet *sheet);

/* Places, encodes and draws every sticker; with no canvas it only places them. False when any
 * cannot be placed, or, with `canvas_failed`, when the canvas or the encoder fails. `watcher` may
 * be NULL. */
bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_sheet_options *options,
	const struct lt_measure *measure, const struct lt_sheet_watcher *watcher,
	struct lt_diags *diags);

/* Draws one placed sticker, all its faces, with its label's corner at x, y. */
bool lt_sticker_draw(struct lt_canvas *canvas, const struct lt_sticker *sticker, double x, double y,
	struct lt_arena *arena, struct lt_diags *diags);

#endif
