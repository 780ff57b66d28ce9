/* The marks that the papers share: types, tick boxes, tags, badges, lines to write on, the head.
 * Black and grey alone; nothing depends on colour. Lengths in mm. */
#ifndef LOOMTAG_PAPER_MARKS_H
#define LOOMTAG_PAPER_MARKS_H

#include "paper/flow.h"

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

#endif
