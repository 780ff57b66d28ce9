/* Page: what all papers are laid out with: sizes of paper, text in blocks that flow from page to
 * page, marks (tags, badges), colours of wires as swatches; and documents: lists of blocks, to be
 * set as pages or as plain text.
 * To use it: fill a struct lt_document and draw or write it; or, for a paper of another kind, fill
 * a struct lt_flow with blocks, lay it out, then draw it on a canvas. */
#ifndef LOOMTAG_PAGE_H
#define LOOMTAG_PAGE_H

#include "loomtag/draw.h"

/* Paper sizes. */

/* ISO 216 A4 and A3, US letter (8.5 x 11 in) and ledger (11 x 17 in). */
enum lt_paper { LT_PAPER_A4, LT_PAPER_A3, LT_PAPER_LETTER, LT_PAPER_LEDGER, LT_PAPER_COUNT };

/* The size of a paper in mm, portrait. */
void lt_paper_size(double *width, double *height, enum lt_paper paper);

/* Adds the names to an empty text: "a4, a3, letter or ledger" for maps, "a4 or letter" for
 * `documents`. */
void lt_paper_list(struct lt_text *out, bool documents);

/* Reads such a name, in either case; false when there is no paper of that name. */
bool lt_paper_read(enum lt_paper *out, const char *name, bool documents);

/* Page flow: a document as a list of blocks, laid out over pages, then drawn.
 *
 * A block is a group of placed boxes that stays together on one page: a joint, a heading, a line
 * to tick. Blocks are added top to bottom; laying out decides which page each is on; only then is
 * anything drawn, so that every page can say "page n of m". All lengths in mm. Everything here is
 * linear in what is added. */

#define LT_POINT (25.4 / 72)

/* How text is set. Lengths in mm; `ink` is a grey, 0 black to 1 white. */
struct lt_type {
	enum lt_typeface face;
	double size;    /* the em */
	double leading; /* from one baseline to the next */
	double ink;
};

#define LT_TYPE(face, points, leading, ink) \
	{ \
		face, (points)*LT_POINT, leading, ink \
	}

enum lt_flow_kind { LT_FLOW_TEXT, LT_FLOW_FILL, LT_FLOW_FRAME, LT_FLOW_RULE, LT_FLOW_SWATCH };

/* One box, in its block: x counts from the body's left edge, y from the block's top. */
struct lt_flow_item {
	enum lt_flow_kind kind;
	enum lt_typeface face; /* LT_FLOW_TEXT */
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

struct lt_flow_page {
	const char *title;
	size_t first; /* of the items placed on it */
};

/* Where a block may be placed. */
struct lt_flow_options {
	double gap;       /* white space above, mm; none at the top of a page */
	bool new_page;    /* begins a page */
	bool keep;        /* stays on one page with the block that follows */
	bool repeats;     /* is shown again at the top of later pages ... */
	bool ends_repeat; /* ... until a block that sets this */
	bool under; /* is also repeated, below the repeated block, until the next block that sets
		       this */
	const char *title; /* for the page's head from here on; NULL: unchanged */
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
	struct lt_flow_page *pages;
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
/* Ends the block. Its height is the lowest edge of its items, at least `least`. */
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

/* Sets one line, unbroken, on a baseline; returns its width. */
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
/* A rule across (height 0) or down (width 0). */
void lt_flow_rule(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink);

/* A wire's colour as ink. */
void lt_flow_swatch(struct lt_flow *flow, double x, double y, double width, double height,
	const struct lt_colour *colour);

/* Draws an item with its top at `y` on the page, its x counting from `left`. */
void lt_flow_draw_item(struct lt_canvas *canvas, const struct lt_flow_item *item, double left,
	double y);

/* Places the blocks on pages. A block higher than a page is broken between its lines. */
void lt_flow_lay(struct lt_flow *flow);

/* Draws what the blocks have on a page, from 0, with the top-left corner of the body at left, top.
 * After lt_flow_lay; the caller begins and ends the canvas's page. */
void lt_flow_draw_page(const struct lt_flow *flow, struct lt_canvas *canvas, size_t page,
	double left, double top);

/* The marks that papers and maps share: types, tags, badges. Lengths in mm. */

/* Wide enough for any printer and for a clip at the edge. */
#define LT_PAGE_MARGIN 15.0

/* Height of a tag's capitals in mm: the least, and the best where there is room. Readable at arm's
 * length: NUREG-0700 prefers 3 mm at 500 mm. */
#define LT_MARK_TAG_LEAST 5.0
#define LT_MARK_TAG_BEST 6.0

/* The grey of a label's text: darker than half, so that it is still printed by a printer that has
 * only black. */
#define LT_MARK_LABEL 0.3

/* Body text: a capital is 2.3 mm high; NUREG-0700 asks for 2.0 at 500 mm. */
extern const struct lt_type lt_type_body, lt_type_strong, lt_type_title, lt_type_head,
	lt_type_badge;

/* A tag's type, with capitals `capital` high. */
struct lt_type lt_type_tag(const struct lt_flow *flow, double capital);

/* The tags of a joint as they are drawn. */
struct lt_tag_pair {
	const char *tag, *mate; /* "12H", "12M"; NULL where there is none */
	bool turned;            /* upside down the number is another number */
};

/* A tag on a baseline, its number underlined where it is `turned`. Returns its width. */
double lt_mark_tag(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *tag, bool turned);

/* "12H – 12M", or one tag; side by side, or below each other if they are too wide. y is the top of
 * the capitals; returns the y below the tags. */
double lt_mark_tags(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const struct lt_tag_pair *tags);

/* Height of the capitals of a document's tags: LT_MARK_TAG_BEST if this pair fits in `width` with
 * it, else LT_MARK_TAG_LEAST. */
double lt_mark_tag_capital(const struct lt_flow *flow, double width,
	const struct lt_tag_pair *tags);

/* A badge, white on black; y is its top. Returns the y below it. */
double lt_mark_badge(struct lt_flow *flow, double x, double y, const char *text);

/* Documents: the content of a paper without its layout: a list of blocks from top to bottom, to be
 * set as pages or as plain text. Papers differ by their struct lt_document_style. */

enum lt_block_kind {
	LT_BLOCK_PART,      /* text: the blocks from here on begin a page, with it in the head */
	LT_BLOCK_SECTION,   /* text; detail: the text to use in plain text instead, or NULL */
	LT_BLOCK_PARAGRAPH, /* text; stays on one page with the next block */
	LT_BLOCK_NOTE,      /* text: a paragraph with white space around it */
	LT_BLOCK_REMARK,    /* text; detail: the label before it */
	LT_BLOCK_CAUTION,   /* text and items, in a frame */
	LT_BLOCK_FACTS,     /* items, two beside each other */
	LT_BLOCK_FINDING,   /* text, to be read at arm's length */
	LT_BLOCK_HAZARD,    /* text and items, with room for initials */
	LT_BLOCK_UNPLUG,    /* a joint that comes apart; two boxes: stickers checked, unplugged */
	LT_BLOCK_MATE,      /* a joint that is made; one box, and room for initials */
	LT_BLOCK_TICK,      /* text: one line to tick */
	LT_BLOCK_ROW,  /* items are the cells of a table's row; rows of a table follow each other */
	LT_BLOCK_SIGN, /* text: who signs */
	LT_BLOCK_KINDS
};

enum lt_item_kind {
	LT_ITEM_PLAIN,
	LT_ITEM_LOUD, /* stands out */
	LT_ITEM_TICK  /* has a box of its own; in a row's cell the box alone */
};

struct lt_block_item {
	enum lt_item_kind kind;
	bool wide;         /* LT_BLOCK_FACTS: has a line of its own */
	const char *label; /* "" for none; must outlive the document */
	const char *text;  /* NULL: a line to write on */
};

/* How a table looks: cells; small print with one line a row; or ruled cells that are wide enough to
 * write in, with the row's tags in the first. */
enum lt_row_look { LT_ROW_CELLS, LT_ROW_SMALL, LT_ROW_GRID, LT_ROW_LOOKS };

#define LT_ROW_MOST 8
struct lt_block_table {
	enum lt_row_look look;
	size_t count;
	const char *headings[LT_ROW_MOST];
	double widths[LT_ROW_MOST]; /* mm; values up to 1: a share of the remaining width */
	bool strong;                /* the first cell of a row is bold */
};

#define LT_BLOCK_BADGES 2
struct lt_block {
	enum lt_block_kind kind;
	bool fault;         /* findings and rows: a fault, which stands out */
	bool new_page;      /* begins a page */
	bool sticker;       /* LT_BLOCK_UNPLUG: there is a sticker to check */
	double gap;         /* white space above, mm; 0: the style's */
	const char *text;   /* hazards and lines to tick: NULL for a line to write on */
	const char *detail; /* joints: id and kind; rows: below the second cell; or NULL */
	const char *badges[LT_BLOCK_BADGES]; /* joints; NULL where there is none */
	struct lt_tag_pair tags;             /* joints and rows */
	const struct lt_block_table *table;  /* rows */
	size_t first, count;                 /* items */
};

/* The fields of a line to sign on, from left to right. */
#define LT_SIGN_FIELDS 3
struct lt_sign_field {
	const char *label; /* NULL: the block's text */
	double width,
		gap; /* mm; up to 1: a share, as in tables; the gap is of the width, at its end */
};

struct lt_document_style {
	double margin;
	bool landscape;
	bool compact;         /* the head is only the title; every page has head.foot at its foot */
	bool trims;           /* lines of plain text have no blanks at their ends */
	double label_width;   /* of items' labels, mm */
	size_t label_columns; /* of the same in plain text */
	double below_paragraph; /* white space, mm */
	double tag_best;        /* height of the tags' capitals where there is room for it, mm */
	double gaps[LT_BLOCK_KINDS]; /* white space above a block, mm */
	unsigned spaced; /* 1 << kind of blocks below a blank line in plain text; a part has one
			    more */
	double sign_height,
		sign_title; /* mm; width of who signs, where that has a place of its own */
	struct lt_sign_field sign[LT_SIGN_FIELDS];
};

#define LT_HEAD_EXTRA 2
struct lt_document_head {
	const char *title, *code;
	const char *subtitle; /* of a compact head */
	/* NULL leaves a line to write on; a unit of "" is left out. */
	const char *unit, *date;
	const char *revision;             /* or NULL */
	const char *extra[LT_HEAD_EXTRA]; /* labels of more lines to write on; or NULL */
	const char *foot[2];              /* with a compact head: the last lines */
};

struct lt_document {
	struct lt_arena arena;
	const struct lt_document_style *style;
	struct lt_document_head head;
	struct lt_block *blocks;
	size_t count, room;
	struct lt_block_item *items;
	size_t item_count, item_room;
};

/* Starts an empty document; the style must outlive it. The head is filled in by the caller, with
 * texts that are clean and outlive the document: from its arena. */
void lt_document_init(struct lt_document *document, const struct lt_document_style *style);
void lt_document_finish(struct lt_document *document);

/* Appends a block. Copies the text, each character as lt_text_shown gives it; NULL for none. The
 * pointer is valid until the next block is added. */
struct lt_block *lt_document_add(struct lt_document *document, enum lt_block_kind kind,
	const char *text);

/* Appends an item to the last block; the text as above. The pointer is valid until the next item is
 * added. */
struct lt_block_item *lt_document_item(struct lt_document *document, enum lt_item_kind kind,
	const char *label, const char *text);

/* Draws it as pages, in black and grey only. Pages break between blocks and have "page n of m". */
bool lt_document_draw(struct lt_canvas *canvas, const struct lt_document *document,
	enum lt_paper paper, const struct lt_measure *measure, struct lt_diags *diags);

/* Writes it as plain text, UTF-8, lines of at most `columns` columns; 0: 78. */
void lt_document_write(struct lt_text *out, const struct lt_document *document, size_t columns);

/* A wire's colour as ink. Never use it without the colour's code beside it. */

/* Fills the box with the base colour, draws the other colours as slanted stripes over it, and a
 * black frame, so that white is visible too, and every colour on a black-and-white printer. Draws
 * nothing outside the box, and nothing at all if there is no colour. */
void lt_swatch_draw(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_colour *colour);

#endif
