/* The unplugging and reconnection checklist: what it says, and its two renderings. */
#ifndef LOOMTAG_CHECKLIST_H
#define LOOMTAG_CHECKLIST_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/canvas.h"
#include "loomtag/paper.h"
#include "loomtag/tags.h"

struct lt_checklist_options {
	enum lt_paper paper; /* portrait */
	const char *date;    /* "2026-11-25", printed in the head; NULL leaves a line to write on */
	size_t columns;      /* of the text rendering */
};
#define LT_CHECKLIST_OPTIONS_INIT \
	{ \
		LT_PAPER_A4, NULL, 78 \
	}

/* Draws the checklist as pages. Pages break between joints, repeat their head, say page n of m. */
bool lt_checklist_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Writes it as plain text, UTF-8, lines of at most options->columns columns. */
void lt_checklist_write(struct lt_text *out, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_checklist_options *options);

/* The fill-in worksheet for a harness nobody has described: a line a number, to write by hand. */
bool lt_worksheet_draw(struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_checklist_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

#endif
