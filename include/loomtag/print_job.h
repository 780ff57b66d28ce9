/* A print job: what is asked for, how far it is, and its end. */
#ifndef LOOMTAG_PRINT_JOB_H
#define LOOMTAG_PRINT_JOB_H

#include <stdbool.h>
#include <stdio.h>

#include "loomtag/link.h"

enum lt_format { LT_FORMAT_PWG, LT_FORMAT_PDF };

/* "image/pwg-raster", "application/pdf"; lives for ever. */
const char *lt_format_type(enum lt_format format);

/* What a job asks of its printer. */
struct lt_job_ticket {
	const char *name;
	enum lt_format format;
	double width, height; /* of the medium, mm, as the printer has it; 0: not said */
	unsigned dpi;         /* 0: not said */
	unsigned trim;        /* one LT_TRIM_ bit, or 0 */
};

enum lt_job_state {
	LT_JOB_WAITING,  /* pending or held */
	LT_JOB_PRINTING, /* processing */
	LT_JOB_STOPPED,  /* the printer waits */
	LT_JOB_CANCELED,
	LT_JOB_ABORTED,
	LT_JOB_FORGOTTEN, /* the printer knows of no such job, or not any more */
	LT_JOB_DONE
};

struct lt_job_status {
	struct lt_arena arena;
	enum lt_job_state state;
	long impressions;     /* completed; -1 where it does not say */
	const char **reasons; /* of the job and of its printer, each once, without "none" */
	size_t reason_count;
	size_t job_reason_count; /* the first of them, which are the job's */
	const char *message;     /* or NULL */
	bool idle;               /* the printer has nothing to do */
	bool incomplete;         /* it lacks some of the job */
};

/* Gives the printer, of which `printer` tells what it takes, a job with the document of `stream`,
 * once. `*id` is the job's number, 0 where there is none or it is not known. `*sent` tells, also
 * after an error, what became of the document: a printer may print a part of which it has no more.
 * One that says that it would take another medium, resolution or scale than the ticket's gets no
 * document. False with an error; a job that was made by then is to be cancelled. */
bool lt_job_send(int *id, struct lt_sent *sent, struct lt_link *link,
	const struct lt_printer *printer, const struct lt_job_ticket *ticket, FILE *stream,
	struct lt_diags *diags);

/* How far the job is. False, with an error, when the printer does not tell. Finish `out` either
 * way. */
bool lt_job_ask(struct lt_job_status *out, struct lt_link *link, int id, struct lt_diags *diags);
void lt_job_status_finish(struct lt_job_status *status);

/* True for the last four states: nothing more will happen. */
bool lt_job_is_over(enum lt_job_state state);

/* Cancels the job at the printer. One that is over already is no error. */
bool lt_job_cancel(struct lt_link *link, int id, struct lt_diags *diags);

#endif
