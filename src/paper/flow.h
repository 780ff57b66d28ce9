/* Page flow: a document as a list of blocks, laid out over pages, then drawn.
 *
 * A block is a group of placed boxes that stays together on one page: a joint, a heading, a line
 * to tick. Blocks are added top to bottom; laying out decides which page each is on; only then is
 * anything drawn, so that every page can say "page n of m". All lengths in mm. Everything here is
 * linear in what is added. */
#ifndef LOOMTAG_PAPER_FLOW_H
#define LOOMTAG_PAPER_FLOW_H

#include "loomtag/canvas.h"
#include "loomtag/colour.h"
#include "loomtag/measure.h"
#include "loomtag/memory.h"

#define LT_POINT (25.4 / 72)

/* How text is set. `ink` is a share of grey, 0 black to 1 white. */
struct lt_type {
	enum lt_face face;
	double size;    /* the em */
	double leading; /* from one baseline to the next */
	double ink;
};

enum lt_flow_kind { LT_FLOW_TEXT, LT_FLOW_FILL, LT_FLOW_FRAME, LT_FLOW_RULE, LT_FLOW_SWATCH };

/* One box, in its block: x counts from the body's left edge, y from the block's top. */
struct lt_flow_item {
	enum lt_flow_kind kind;
	enum lt_face face; /* LT_FLOW_TEXT */
	double x, y, width, height;
	double ink;
	double line;             /* LT_FLOW_FRAME, LT_FLOW_RULE: thickness */
	double size, baseline;   /* LT_FLOW_TEXT: the em; baseline below y */
	const char *text;        /* LT_FLOW_TEXT: from the flow's arena */
	struct lt_colour colour; /* LT_FLOW_SWATCH */
};

/* Where an item is on the pages; an item of a block that is repeated is placed more than once. */
struct lt_flow_place {
	size_t item, page; /* both from 0 */
	double y;          /* from the top of the page's body */
};

/* What a block asks of the pages. */
struct lt_flow_options {
	double gap;        /* white space above, except at a page's top */
	bool new_page;     /* begins a page */
	bool keep;         /* stays on one page with the block that follows */
	bool repeats;      /* is shown again at the top of pages that blocks after it begin ... */
	bool ends_repeat;  /* ... up to this one */
	bool under;        /* repeats below what is repeated already, up to the next such block */
	const char *title; /* from here on, for the page's head; NULL: as before */
};

struct lt_flow_block {
	struct lt_flow_options options;
	size_t first, count; /* items */
	double height;
};

struct lt_flow {
	struct lt_arena arena;
	const struct lt_measure *measure;
	double page_width, page_height;
	double margin, head; /* on all sides; height of the page's head within them */
	double foot;         /* height left free above the lower margin; 0 unless set after init */
	struct lt_flow_item *items;
	size_t item_count, item_room;
	struct lt_flow_block *blocks;
	size_t block_count, block_room;
	struct lt_flow_place *placed; /* in page order */
	size_t placed_count, placed_room;
	const char **titles; /* by page */
	size_t page_count, page_room;
};

/* Starts an empty document. `measure` must outlive it. */
void lt_flow_init(struct lt_flow *flow, const struct lt_measure *measure, double page_width,
	double page_height, double margin, double head);
void lt_flow_finish(struct lt_flow *flow);

/* Width and height of the part of the page that blocks have. */
double lt_flow_width(const struct lt_flow *flow);
double lt_flow_height(const struct lt_flow *flow);

void lt_flow_begin(struct lt_flow *flow, struct lt_flow_options options);
/* Ends the block; its height is what its items reach down to, or `least` if that is more. */
void lt_flow_end(struct lt_flow *flow, double least);

/* Where a paragraph ended. */
struct lt_flow_mark {
	double y;        /* below its last line */
	double x;        /* behind its last word */
	double baseline; /* of its last line */
};

/* Sets text, broken into lines at spaces; a word wider than `width` is broken. y is the top of
 * the first line. */
struct lt_flow_mark lt_flow_paragraph(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const char *text);

/* Sets one line, whole, on a baseline; returns its width. */
double lt_flow_line(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *text);

/* The width of one line. */
double lt_flow_measure(const struct lt_flow *flow, const struct lt_type *type, const char *text);

/* The baseline of a paragraph's first line, below its top. */
double lt_flow_baseline(const struct lt_flow *flow, const struct lt_type *type);

/* Height of a capital. */
double lt_flow_capital(const struct lt_flow *flow, const struct lt_type *type);

void lt_flow_fill(struct lt_flow *flow, double x, double y, double width, double height,
	double ink);
void lt_flow_frame(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink);
/* A rule across (height 0) or down (width 0). */
void lt_flow_rule(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink);

/* A wire's colour as ink. */
void lt_flow_swatch(struct lt_flow *flow, double x, double y, double width, double height,
	const struct lt_colour *colour);

/* Draws an item with its top at `y` on the page, its x counting from `left`. */
void lt_flow_draw_item(struct lt_canvas *canvas, const struct lt_flow_item *item, double left,
	double y);

/* Decides the pages. A block higher than a page is broken between its lines. */
void lt_flow_lay(struct lt_flow *flow);

/* Adds the items of a page's head; page counts from 1. x and y count from the margins' corner. */
typedef void lt_flow_head(struct lt_flow *flow, size_t page, const char *title, void *data);

/* Draws what blocks have on a page, from 0, that has been begun: the body's corner at left, top.
 * For documents that have been laid out, and see to their pages themselves. */
void lt_flow_draw_page(const struct lt_flow *flow, struct lt_canvas *canvas, size_t page,
	double left, double top);

/* Lays out, then draws every page. */
bool lt_flow_draw(struct lt_flow *flow, struct lt_canvas *canvas, lt_flow_head *head, void *data,
	struct lt_diags *diags);

#endif
