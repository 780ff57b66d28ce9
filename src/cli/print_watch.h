/* Staying with a job until it is over. */
#ifndef LOOMTAG_CLI_PRINT_WATCH_H
#define LOOMTAG_CLI_PRINT_WATCH_H

#include <signal.h>

#include "cli/print_run.h"

/* Until they are let go, Ctrl-C cancels the job and does not end the program; the second time it
 * ends the waiting for that. */
void lt_print_catch_interrupts(struct sigaction *before);
void lt_print_let_interrupts_go(const struct sigaction *before);

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

/* For lt_link_go_on, with the print: false when Ctrl-C came since they were heeded last. */
bool lt_print_goes_on(void *print);
void lt_print_heed_interrupts(struct print *print);

/* Cancels a job, where the printer can do that. False with an error that says why it is not. */
bool lt_print_cancel(struct print *print, int id, struct lt_diags *diags);

/* How many stickers are out when so many pages are; none when that is not known (-1). */
size_t lt_print_stickers_on(const struct lt_sheet *sheet, long pages);

/* The tag of one of the stickers. */
void lt_print_write_tag(char out[LT_TAG_SIZE], const struct print *print, size_t slot);

#endif
