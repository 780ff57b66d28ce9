/* Checklist: what to make safe, unplug and reconnect, as pages and as text, and the worksheet that
 * is filled in by hand. Both are documents (loomtag/page.h) with texts from loomtag/words.h.
 * To use it: lt_checklist_draw on a canvas, or lt_checklist_write into a text. */
#ifndef LOOMTAG_CHECKLIST_H
#define LOOMTAG_CHECKLIST_H

#include "loomtag/page.h"

/* The unplugging and reconnection checklist, as pages and as plain text. */

struct lt_checklist_options {
	enum lt_paper paper; /* portrait */
	const char *date;    /* "2026-11-25", printed in the head; NULL leaves a line to write on */
	size_t columns;      /* of the text rendering */
};
#define LT_CHECKLIST_OPTIONS_INIT \
	{ \
		LT_PAPER_A4, NULL, 78 \
	}

/* Draws the checklist as pages. Pages break between joints, repeat their head and have "page n of
 * m". */
bool lt_checklist_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Writes it as plain text, UTF-8, lines of at most options->columns columns. */
void lt_checklist_write(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options);

/* The fill-in worksheet for a harness that is not described: a line a number, to be filled in by
 * hand. */
bool lt_worksheet_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_checklist_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

#endif
