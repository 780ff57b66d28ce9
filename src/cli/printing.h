/* One print: the printer, the layout that is loaded, the document, and the job. */
#ifndef LOOMTAG_CLI_PRINTING_H
#define LOOMTAG_CLI_PRINTING_H

#include <signal.h>
#include <stdio.h>

#include "cli/stickers.h"
#include "loomtag/print.h"

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
	struct sticker_options wanted;
	struct lt_sheet sheet;
	FILE *document;
	unsigned pages;
	double longest;            /* page, mm */
	char *record_path;         /* NAME.print */
	struct lt_unfinished left; /* what an earlier print has left there */
	int interrupts_answered;   /* how many Ctrl-C have been acted on */
};

/* Opens the link to the printer of --to and asks it what it can do. Returns the exit code. */
int lt_print_open_printer(struct print *print);

/* Chooses the layout that goes with what is loaded, or checks the one asked for, and the resolution
 * and format. Returns the exit code. */
int lt_print_choose_layout(struct print *print);

/* Draws the stickers that are wanted, or the ladder, into print->drawing. Returns the exit code.
 */
int lt_print_draw_stickers(struct print *print);
int lt_print_draw_ladder(struct print *print);

/* Says what would be sent: the printer, the layout, the document, and the stickers. */
void lt_print_describe_job(const struct print *print);

/* Sends the document and stays until the job is over. Returns the exit code. */
int lt_print_send(struct print *print);

/* Writes the document to -o, with the register before it. Returns the exit code. */
int lt_print_write(struct print *print);

void lt_print_finish(struct print *print);

/* Staying with a job until it is over: print_watch.c. */

/* Until SIGINT does as before again, Ctrl-C cancels the job and does not end the program; the
 * second time it ends the waiting for that. */
void lt_print_catch_interrupts(struct sigaction *before);

enum watch_end {
	WATCH_OVER,   /* the job is over */
	WATCH_SILENT, /* the printer did not tell of it any more */
	WATCH_STUCK   /* it was cancelled, and does not end */
};

enum watch_how {
	WATCH_TAKEN,    /* the printer has said that it has the whole document */
	WATCH_DOUBTFUL, /* it has not: one that just waits is waiting for the rest, and cancelled */
	WATCH_CANCEL    /* to be cancelled at once, as Ctrl-C does */
};

/* Shows how far a job is until it is over or nothing is heard of it. What it had printed by then is
 * in `status`; finish that. */
enum watch_end lt_print_watch(struct lt_print_job_status *status, struct print *print, int id,
	enum watch_how how);

/* For the link, with the print: false when Ctrl-C came since they were answered last. */
bool lt_print_goes_on(void *print);

/* From here on what was interrupted is seen to; another Ctrl-C interrupts that. */
void lt_print_answer_interrupts(struct print *print);

/* Keeps in NAME.print what is sent, of which so many stickers came out. */
bool lt_print_record_keep(struct print *print, size_t counted, struct lt_diags *diags);

/* Milliseconds to wait where that many are usual: fewer where LOOMTAG_PATIENCE_MS says so. */
unsigned lt_print_patience(unsigned usual);

/* Cancels a job. NULL when it is, else why it is not. */
const char *lt_print_cancel(struct print *print, int id);

/* How many stickers are out when so many pages are; none when that is not known (-1). */
size_t lt_print_stickers_on(const struct lt_sheet *sheet, long pages);

/* The tag of one of the stickers. */
void lt_print_write_tag(char out[LT_TAG_SIZE], const struct print *print, size_t slot);

#endif
