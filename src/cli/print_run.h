/* One print: the printer, the layout that is loaded, the document, and the job. */
#ifndef LOOMTAG_CLI_PRINT_RUN_H
#define LOOMTAG_CLI_PRINT_RUN_H

#include <stdbool.h>
#include <stdio.h>

#include "cli/printed.h"
#include "cli/session.h"
#include "cli/sticker_options.h"
#include "loomtag/print.h"
#include "loomtag/sheet.h"

struct print {
	const struct options *options;
	struct lt_session *session; /* NULL for the ladder */
	struct lt_diags *diags;
	struct lt_link *link; /* NULL where the job goes into a file alone */
	struct lt_printer printer;
	struct lt_stock stock;
	struct lt_layout *layout;     /* in the stock, with the printer's dots */
	char typed[256];              /* a password, until the link has it */
	const struct lt_media *media; /* loaded, or of its sizes; or NULL */
	unsigned dpi;
	enum lt_format format;
	enum lt_pwg_type type;
	struct lt_fonts *fonts;
	struct lt_measure measure;
	struct lt_calibration alignment;
	struct lt_sheet_options wanted;
	struct lt_sheet sheet;
	FILE *document;
	unsigned pages;
	double longest;            /* page, mm */
	char *record_path;         /* NAME.print */
	struct lt_unfinished left; /* with --resume */
	int heeded;                /* how many Ctrl-C have been acted on */
};

/* Opens the way to the printer of --to and asks it what it can do. Returns the exit code. */
int lt_print_open_printer(struct print *print);

/* Chooses the layout that goes with what is loaded, or checks the one asked for, and the resolution
 * and format. Returns the exit code. */
int lt_print_choose_layout(struct print *print);

/* Draws the stickers that are wanted, or the ladder, into print->document. Returns the exit code.
 */
int lt_print_draw_stickers(struct print *print);
int lt_print_draw_ladder(struct print *print);

/* Says what would be sent. */
void lt_print_tell_plan(const struct print *print);

/* Sends the document and stays until the job is over. Returns the exit code. */
int lt_print_send(struct print *print);

/* Keeps in NAME.print what is sent, of which so many stickers came out. */
bool lt_print_record_keep(struct print *print, size_t counted, struct lt_diags *diags);

/* What stood in NAME.print and in the register before; free the bytes and the entries. */
struct print_earlier {
	char *bytes; /* NULL: it was not there */
	size_t length;
	struct printed_before printed;
};

/* Keeps what is about to be sent; and puts back what was there, when nothing was sent after all. */
bool lt_print_record_begin(struct print_earlier *earlier, struct print *print);
void lt_print_record_back(const struct print_earlier *earlier, struct print *print);

/* Milliseconds to wait where that many are usual: fewer where LOOMTAG_PATIENCE_MS says so. */
unsigned lt_print_patience(unsigned usual);

/* Writes the document to -o, with the register before it. Returns the exit code. */
int lt_print_write(struct print *print);

void lt_print_finish(struct print *print);

#endif
