/* The live screen: scans answered as they come, from a terminal or a pipe, through the stages of a
 * job. */
#ifndef LOOMTAG_CLI_LIVE_H
#define LOOMTAG_CLI_LIVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "cli/scan_list.h"
#include "loomtag/job.h"

struct lt_live_options {
	bool terminal;      /* `out` is one: clear it and draw it anew after each line */
	bool colour;        /* on a terminal; signs and words say the same without */
	bool bell;          /* on a terminal: ring for everything that is not right */
	size_t columns;     /* 0: ask the terminal each time, 80 where it does not say */
	size_t rows;        /* likewise, 24 */
	const char *device; /* path of a serial scanner beside the keyboard, or NULL */
};

struct lt_live {
	int in; /* descriptor */
	FILE *out;
	const struct lt_tags *tags;
	const struct lt_lookalikes *const *lookalikes; /* of the same tags; or NULL */
	struct lt_work *work;                          /* of the same tags */
	enum lt_stage stage;     /* to begin or go on with; LT_STAGE_COUNT: where the job stands */
	bool fresh;              /* begin another job, unasked */
	bool changed;            /* go on by a description that has changed, unasked */
	struct scan_list *scans; /* gets what was scanned in this run */
	struct lt_live_options options;
	struct lt_diags *diags;
	/* The person who works here in this job (0: one that is yet to be begun), where it is
	 * known; where it gives NULL it is asked for on a terminal, with `suggested` offered, which
	 * is also taken where nobody can be asked. */
	const char *(*who)(void *data, unsigned long long job);
	/* Keeps the name that was given; `name` lives as long as the work. */
	void (*is)(void *data, const char *name, unsigned long long job);
	const char *suggested;
	/* Reads the description again, into the same tags, and gives it to the work; where it
	 * cannot be read, says so, leaves all as it was, and returns false. NULL: it cannot change.
	 */
	bool (*reread)(void *data);
	void *data; /* of these; each may be NULL, and then is not asked */
};

enum lt_live_end {
	LT_LIVE_MADE,    /* the answer of the stage that it ended in is yes, by what was done now */
	LT_LIVE_LEFT,    /* quit or end of input with something missing, which was said */
	LT_LIVE_UNSAFE,  /* a hazard was not confirmed; nothing was scanned */
	LT_LIVE_REFUSED, /* the description has changed, and nobody can be asked; it was said */
	LT_LIVE_FAILED   /* the store or the device failed; `diags` says how */
};

/* Asks whether to go on with a job that was begun before, or to begin another after one that was
 * closed, and how to go on where the description has changed; then has the hazards confirmed, and
 * answers
 * each line until the stage's answer is yes, `quit` or the end of input, and says what is left to
 * do; on a terminal it then offers the next stage. What was scanned is kept when it is answered.
 * Lines end as lt_keys reads them; of one longer than 4096 bytes the rest is dropped and it is a
 * misread. */
enum lt_live_end lt_live_run(const struct lt_live *live);

#endif
