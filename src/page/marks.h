/* What only documents are set with: marks, and pages with a head. */
#ifndef LOOMTAG_PAGE_MARKS_H
#define LOOMTAG_PAGE_MARKS_H

#include "loomtag/page.h"

/* A tick box, for a hand in a glove. */
#define LT_MARK_BOX 7.0

/* Greys: a rule to write on, a rule between joints. Darker than half, so that they are still there
 * where a printer knows black alone. */
#define LT_MARK_WRITE 0.35
#define LT_MARK_THIN 0.45

extern const struct lt_type lt_type_label, lt_type_small, lt_type_section;

/* Adds the items of a page's head; page counts from 1. x and y count from the margins' corner. */
typedef void lt_flow_head(struct lt_flow *flow, size_t page, const char *title, void *data);

/* Lays out, then draws every page. */
bool lt_flow_draw(struct lt_flow *flow, struct lt_canvas *canvas, lt_flow_head *head, void *data,
	struct lt_diags *diags);

/* An outline, centred on its edge. */
void lt_flow_frame(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink);

/* An empty box to tick, top-left corner at x, y. */
void lt_mark_box(struct lt_flow *flow, double x, double y);

/* A line to write on, with what to write in front of it, or NULL; ends at x + width. */
void lt_mark_write(struct lt_flow *flow, double x, double baseline, double width,
	const char *label);

/* A block with the head's title and revision in full, where the head has no room for them; it
 * stays with what follows. `page_title` is what the head says beside "page n of m". */
void lt_mark_head_in_full(struct lt_flow *flow, const struct lt_document_head *head,
	const char *page_title);

/* "page 2 of 7", from the flow's arena. */
const char *lt_mark_page_number(struct lt_flow *flow, size_t page);

/* An lt_flow_head of LT_MARK_HEAD mm; `data` is a struct lt_document_head. */
#define LT_MARK_HEAD 26.0
void lt_mark_page_head(struct lt_flow *flow, size_t page, const char *title, void *data);

#endif
