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
	struct lt_unfinished left; /* what that file says is left of an earlier print */
	int interrupts_answered;   /* how many Ctrl-C have been handled */
};

/* Opens the link to the printer of --to and asks it what it can do. Returns the exit code. */
int lt_print_open_printer(struct print *print);

/* Chooses the layout that fits what is loaded, or checks the one asked for, and the resolution
 * and format. Returns the exit code. */
int lt_print_choose_layout(struct print *print);

/* Draws the stickers that are wanted, or the ladder, into print->document. Returns the exit
 * code. */
int lt_print_draw_stickers(struct print *print);
int lt_print_draw_ladder(struct print *print);

/* Prints what would be sent: the printer, the layout, the document, and the stickers. */
void lt_print_describe_job(const struct print *print);

/* Sends the document and waits until the job is over. Returns the exit code. */
int lt_print_send(struct print *print);

/* Writes the document to -o, with the register before it. Returns the exit code. */
int lt_print_write(struct print *print);

void lt_print_finish(struct print *print);

/* Following a job until it is over: print_watch.c. */

/* Until `before` is restored, Ctrl-C cancels the job and does not end the program; a second Ctrl-C
 * ends the waiting for that. */
void lt_print_catch_interrupts(struct sigaction *before);

enum watch_end {
	WATCH_OVER,   /* the job is over */
	WATCH_SILENT, /* the printer no longer reports the job */
	WATCH_STUCK   /* it was cancelled, but does not end */
};

enum watch_mode {
	WATCH_ACCEPTED, /* the printer has said that it has the whole document */
	WATCH_DOUBTFUL, /* it has not: a job that does not start is cancelled */
	WATCH_CANCEL    /* cancel the job at once, as Ctrl-C does */
};

/* Shows how far a job is until it is over or the printer no longer reports it. `status` says what
 * was printed by then; finish it. */
enum watch_end lt_print_watch(struct lt_print_job_status *status, struct print *print, int id,
	enum watch_mode mode);

/* Callback of the link, with the print: false when there is a Ctrl-C that was not handled yet. */
bool lt_print_may_continue(void *print);

/* Marks every Ctrl-C so far as handled; a later one interrupts again. */
void lt_print_answer_interrupts(struct print *print);

/* Writes to NAME.print what is sent, and how many stickers of it are printed. */
bool lt_print_record_keep(struct print *print, size_t counted, struct lt_diags *diags);

/* Milliseconds to wait: `usual`, or fewer where LOOMTAG_PATIENCE_MS says so. */
unsigned lt_print_patience(unsigned usual);

/* Cancels a job. NULL when it is cancelled, else the reason why not. */
const char *lt_print_cancel(struct print *print, int id);

/* How many stickers are printed when so many pages are; none when that is not known (-1). */
size_t lt_print_stickers_on(const struct lt_sheet *sheet, long pages);

/* The tag of one of the stickers. */
void lt_print_write_tag(char out[LT_TAG_SIZE], const struct print *print, size_t slot);

#endif
