/* Documents on paper: what the commands that draw one share. */
#ifndef LOOMTAG_CLI_DRAWING_H
#define LOOMTAG_CLI_DRAWING_H

#include "cli/pages.h"
#include "cli/session.h"
#include "loomtag/page.h"

/* What is to be drawn, and how. */
struct drawing {
	struct lt_pdf_options pdf;  /* its date is filled in where it is 0 */
	struct pages_options kind;  /* its PDF is filled in */
	const char *const *keep;    /* what it may not replace; NULL: what the session keeps */
	struct lt_session *session; /* of whose texts the fonts may lack characters; or NULL */
	void *data;                 /* for `draw` */
	bool (*draw)(struct lt_canvas *canvas, const struct drawing *drawing,
		const struct lt_measure *measure, struct lt_diags *diags);
};

/* "Checklist RV3: roof", from the session's arena. */
const char *lt_drawing_title(struct lt_session *session, const char *what);

/* Draws a document and writes it to `path`; `*names` (of the diagnostics' arena, NULL: not wanted)
 * says what was written. Returns the exit code after telling in `diags` what is wrong; those of a
 * session are shown. */
int lt_drawing_write(const char **names, const char *path, struct drawing *drawing,
	struct lt_diags *diags);

/* Reads --paper. False after saying what is wrong. */
bool lt_read_paper(enum lt_paper *paper, const struct options *options, const char *command);

#endif
