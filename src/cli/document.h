/* Documents on paper, as PDF. */
#ifndef LOOMTAG_CLI_DOCUMENT_H
#define LOOMTAG_CLI_DOCUMENT_H

#include <stdbool.h>

#include "cli/session.h"
#include "loomtag/checklist.h"

/* Reads --paper. False after saying what is wrong. */
bool lt_read_paper(enum lt_paper *paper, const struct options *options, const char *command);

/* Draws one document on the canvas. */
typedef bool document_drawer(struct lt_canvas *canvas, struct lt_session *session,
	const struct lt_checklist_options *options, const struct lt_measure *measure);

/* Writes a PDF called `what` in its title. Returns the exit code after telling what is wrong. */
int lt_write_document(struct lt_session *session, const char *path, const char *what,
	document_drawer *draw, const struct lt_checklist_options *options);

#endif
