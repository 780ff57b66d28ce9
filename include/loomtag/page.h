/* Page: what every paper is laid out with: sizes of paper, text in blocks that flow from page to
 * page, marks (tags, badges), colours of wires as swatches; and documents, lists of what a paper
 * says that are set as pages or as plain text.
 * To use it: fill a struct lt_document and draw or write it; or, for a paper of another kind, fill
 * a struct lt_flow with blocks, lay it out, then draw it on a canvas. */
#ifndef LOOMTAG_PAGE_H
#define LOOMTAG_PAGE_H

#include "loomtag/draw.h"

/* Paper sizes. */

/* ISO 216 A4 and A3, US letter (8.5 x 11 in) and ledger (11 x 17 in). */
enum lt_paper { LT_PAPER_A4, LT_PAPER_A3, LT_PAPER_LETTER, LT_PAPER_LEDGER, LT_PAPER_COUNT };

/* Its size in mm, portrait. */
void lt_paper_size(double *width, double *height, enum lt_paper paper);

/* "a4, a3, letter or ledger", of maps; "a4 or letter", of documents. Adds to an empty text. */
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

/* How text is set. `ink` is a share of grey, 0 black to 1 white. */
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

/* Draws what blocks have on a page, from 0, that has been begun: the body's corner at left, top.
 * For documents that have been laid out, and see to their pages themselves. */
void lt_flow_draw_page(const struct lt_flow *flow, struct lt_canvas *canvas, size_t page,
	double left, double top);

/* The marks that papers and maps share: types, tags, badges. Lengths in mm. */

/* Wide enough for any printer and for a clip at the edge. */
#define LT_PAGE_MARGIN 15.0

/* A tag's capital height at least: read at arm's length, well above what NUREG-0700 prefers at
 * 500 mm (3 mm); and where there is room. */
#define LT_MARK_TAG_LEAST 5.0
#define LT_MARK_TAG_BEST 6.0

/* The grey of a label: darker than half, so that it is still there where a printer knows black
 * alone. */
#define LT_MARK_LABEL 0.3

/* Body text: a capital is 2.3 mm high; NUREG-0700 asks for 2.0 at 500 mm. */
extern const struct lt_type lt_type_body, lt_type_strong, lt_type_title, lt_type_head,
	lt_type_badge;

/* A tag's type, with capitals `capital` high. */
struct lt_type lt_type_tag(const struct lt_flow *flow, double capital);

/* The tags of a joint as they are drawn. */
struct lt_tag_pair {
	const char *tag, *mate; /* "12H", "12M"; NULL where there is none */
	bool turned;            /* the number reads as another one upside down */
};

/* A tag on a baseline, its number underlined where it is `turned`. Returns its width. */
double lt_mark_tag(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *tag, bool turned);

/* "12H – 12M", or one tag; side by side, or below each other when they are too wide for that. y is
 * the top of the capitals; returns the y below. */
double lt_mark_tags(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const struct lt_tag_pair *tags);

/* The capital height for a document's tags: the best one if this pair fits in `width` with it. */
double lt_mark_tag_capital(const struct lt_flow *flow, double width,
	const struct lt_tag_pair *tags);

/* White on black; y is its top. Returns the y below. */
double lt_mark_badge(struct lt_flow *flow, double x, double y, const char *text);

/* Documents: what a paper says, apart from how it is set: a list of blocks from top to bottom,
 * which is set as pages or as plain text. How papers differ is data: their style. */

enum lt_block_kind {
	LT_BLOCK_PART,      /* text: the blocks from here on begin a page, with it in the head */
	LT_BLOCK_SECTION,   /* text; detail: what plain text says instead, or NULL */
	LT_BLOCK_PARAGRAPH, /* text; it stays with what it is about */
	LT_BLOCK_NOTE,      /* text: a paragraph that stands apart */
	LT_BLOCK_REMARK,    /* text, and detail before it: what it is about */
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
	LT_ITEM_TICK  /* has a box of its own */
};

struct lt_block_item {
	enum lt_item_kind kind;
	bool wide;         /* LT_BLOCK_FACTS: has a line of its own */
	const char *label; /* "" for none; a static string */
	const char *text;  /* NULL: a line to write on */
};

/* How a table looks: in cells; as small as may be, a row a line; or in ruled cells that are wide
 * enough to write in, with the row's tags in the first. */
enum lt_row_look { LT_ROW_CELLS, LT_ROW_SMALL, LT_ROW_GRID, LT_ROW_LOOKS };

#define LT_ROW_MOST 7
struct lt_block_table {
	enum lt_row_look look;
	size_t count;
	const char *headings[LT_ROW_MOST];
	double widths[LT_ROW_MOST]; /* mm; up to 1: a share of what the others leave */
	bool strong;                /* the first cell of a row stands out */
};

#define LT_BLOCK_BADGES 2
struct lt_block {
	enum lt_block_kind kind;
	bool fault;         /* findings and rows: not as it should be, stands out */
	bool new_page;      /* begins a page */
	bool sticker;       /* LT_BLOCK_UNPLUG: there is a sticker to check */
	double gap;         /* white space above, mm; 0: as the style has it */
	const char *text;   /* hazards and lines to tick: NULL for a line to write on */
	const char *detail; /* joints: id and kind; rows: below the second cell; or NULL */
	const char *badges[LT_BLOCK_BADGES]; /* joints; NULL where there is none */
	struct lt_tag_pair tags;             /* joints and rows */
	const struct lt_block_table *table;  /* rows */
	size_t first, count;                 /* items */
};

/* What is written on a line that is signed, from left to right. */
#define LT_SIGN_FIELDS 3
struct lt_sign_field {
	const char *label; /* NULL: the block's text */
	double width,
		gap; /* mm; up to 1: a share, as in tables; the gap is of the width, at its end */
};

struct lt_document_style {
	double margin;
	bool landscape;
	bool compact;           /* the head is the title, and the last lines are at every foot */
	bool trims;             /* lines of plain text do not end in blanks */
	double label_width;     /* of items' labels, mm */
	size_t label_columns;   /* of the same in plain text */
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
	const char *subtitle;             /* of a compact head */
	const char *unit, *date;          /* NULL leaves a line to write on */
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

/* Appends a block, its text copied as lt_text_shown has it (NULL for none). The pointer is good
 * until the next one. */
struct lt_block *lt_document_add(struct lt_document *document, enum lt_block_kind kind,
	const char *text);

/* Appends an item to the last block, its text likewise. The pointer is good until the next one. */
struct lt_block_item *lt_document_item(struct lt_document *document, enum lt_item_kind kind,
	const char *label, const char *text);

/* Draws it as pages, black and grey alone; nothing depends on colour. Pages break between blocks,
 * and say page n of m. */
bool lt_document_draw(struct lt_canvas *canvas, const struct lt_document *document,
	enum lt_paper paper, const struct lt_measure *measure, struct lt_diags *diags);

/* Writes it as plain text, UTF-8, lines of at most `columns` columns; 0: 78. */
void lt_document_write(struct lt_text *out, const struct lt_document *document, size_t columns);

/* A wire's colour as ink: never alone, its code always stands beside it. */

/* Fills the box with the base colour, the further colours as slanted stripes over it, and frames it
 * in black, so that white and what a black-and-white printer makes of the rest are seen as a wire
 * too. Nothing is drawn outside the box. Nothing for no colour. */
void lt_swatch_draw(struct lt_canvas *canvas, double x, double y, double width, double height,
	const struct lt_colour *colour);

#endif
