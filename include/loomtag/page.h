/* Page: what every paper is laid out with: sizes of paper, text in blocks that flow from page to
 * page, marks (tags, boxes to tick, badges), colours of wires as swatches.
 * To use it: fill a struct lt_flow with blocks, lay it out, then draw it on a canvas. */
#ifndef LOOMTAG_PAGE_H
#define LOOMTAG_PAGE_H

#include "loomtag/draw.h"

/* Paper sizes. */

/* ISO 216 A4 and A3, US letter (8.5 x 11 in) and ledger (11 x 17 in). */
enum lt_paper { LT_PAPER_A4, LT_PAPER_LETTER, LT_PAPER_A3, LT_PAPER_LEDGER, LT_PAPER_COUNT };

/* Its size in mm, portrait. */
void lt_paper_size(double *width, double *height, enum lt_paper paper);

/* "a4", "letter", "a3", "ledger"; lives for ever. */
const char *lt_paper_name(enum lt_paper paper);

/* Reads a name, in either case; false when there is no paper of that name. */
bool lt_paper_read(enum lt_paper *out, const char *name);

/* Page flow: a document as a list of blocks, laid out over pages, then drawn.
 *
 * A block is a group of placed boxes that stays together on one page: a joint, a heading, a line
 * to tick. Blocks are added top to bottom; laying out decides which page each is on; only then is
 * anything drawn, so that every page can say "page n of m". All lengths in mm. Everything here is
 * linear in what is added. */

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

/* The marks that the papers share: types, tick boxes, tags, badges, lines to write on, the head.
 * Black and grey alone; nothing depends on colour. Lengths in mm. */

/* Wide enough for any printer and for a clip at the edge. */
#define LT_MARK_MARGIN 15.0
#define LT_MARK_HEAD 26.0

/* A tick box, for a hand in a glove. */
#define LT_MARK_BOX 7.0

/* A tag's capital height at least: read at arm's length, well above what NUREG-0700 prefers at
 * 500 mm (3 mm); and where there is room. */
#define LT_MARK_TAG_LEAST 5.0
#define LT_MARK_TAG_BEST 6.0

/* Greys: a rule to write on, a rule between joints, a label. All darker than half, so that they are
 * still there where a printer knows black alone. */
#define LT_MARK_WRITE 0.35
#define LT_MARK_THIN 0.45
#define LT_MARK_LABEL 0.3

/* Body text: a capital is 2.3 mm high; NUREG-0700 asks for 2.0 at 500 mm. */
extern const struct lt_type lt_type_body, lt_type_strong, lt_type_title, lt_type_label,
	lt_type_small, lt_type_section, lt_type_head, lt_type_badge;

/* A tag's type, with capitals `capital` high. */
struct lt_type lt_type_tag(const struct lt_flow *flow, double capital);

/* An empty box to tick, top-left corner at x, y. */
void lt_mark_box(struct lt_flow *flow, double x, double y);

/* A tag on a baseline, its number underlined where it is `turned`: it reads as another number
 * upside down. Returns its width. */
double lt_mark_tag(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *tag, bool turned);

/* "12H – 12M", or one tag where `mate` is NULL; side by side, or below each other when they are
 * too wide for that. y is the top of the capitals; returns the y below. */
double lt_mark_tags(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const char *tag, const char *mate, bool turned);

/* The capital height for a document's tags: the best one if this pair fits in `width` with it. */
double lt_mark_tag_capital(const struct lt_flow *flow, double width, const char *tag,
	const char *mate);

/* White on black; y is its top. Returns the y below. */
double lt_mark_badge(struct lt_flow *flow, double x, double y, const char *text);

/* A line to write on, with what to write in front of it; ends at x + width. */
void lt_mark_write(struct lt_flow *flow, double x, double baseline, double width,
	const char *label);

/* A framed caution of some paragraphs, as a block of its own. */
void lt_mark_caution(struct lt_flow *flow, struct lt_flow_options options, const char *title,
	const char *const *paragraphs, size_t count);

/* A page's head. */
#define LT_MARK_EXTRA 2
struct lt_mark_head {
	const char *title, *code;
	const char *unit, *date;          /* NULL leaves a line to write on */
	const char *revision;             /* or NULL */
	const char *extra[LT_MARK_EXTRA]; /* labels of more lines to write on; or NULL */
};
/* A block with the title and the revision in full, where the head has no room for them; it stays
 * with what follows. `page_title` is what the head says beside "page n of m". */
void lt_mark_head_in_full(struct lt_flow *flow, const struct lt_mark_head *head,
	const char *page_title);

/* An lt_flow_head; `data` is a struct lt_mark_head. */
void lt_mark_page_head(struct lt_flow *flow, size_t page, const char *title, void *data);

/* A wire's colour as ink: never alone, its code always stands beside it. */

/* Fills the box with the base colour, the further colours as slanted stripes over it, and frames it
 * in black, so that white and what a black-and-white printer makes of the rest are seen as a wire
 * too. Nothing is drawn outside the box. Nothing for no colour. */
void lt_swatch_draw(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_colour *colour);

#endif
