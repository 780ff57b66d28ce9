/* A job that is being worked on at this terminal: where its events leave it, kept in step with the
 * store, and with whoever works on it elsewhere.
 *
 * Everything that happens is one transaction: what others did meanwhile is taken in, then this is
 * applied and appended, and the answer is given when it is on disk. Without a store the events are
 * kept in memory alone. */
#ifndef LOOMTAG_WORK_H
#define LOOMTAG_WORK_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/job.h"
#include "loomtag/job_state.h"

struct lt_work_options {
	const char *db;               /* path of the store; NULL: nothing is kept */
	const char *who;              /* the person */
	bool fresh;                   /* an open job is closed, with a reason, and another begun */
	bool typed;                   /* typed tags count for every joint */
	long long (*now)(void *data); /* milliseconds since 1970; NULL: the system's clock */
	void *clock;
};

struct lt_work;

/* Opens the store and goes on with the open job of this harness and unit, or begins one. NULL with
 * an error when the store cannot be used, or the job's events were changed since they were kept.
 * `tags` and the options' strings must outlive it. */
struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	struct lt_diags *diags);
/* Takes NULL. The job stays as it is. */
void lt_work_close(struct lt_work *work);

const struct lt_job_state *lt_work_state(const struct lt_work *work);
/* The events so far, in order; owned by the work, valid until the next call that adds some. */
const struct lt_job_event *lt_work_events(const struct lt_work *work, size_t *count);
/* The job's id in the store; 0 without one. */
unsigned long long lt_work_job(const struct lt_work *work);
/* How many events there were when it was opened: 0 for a new job. */
size_t lt_work_resumed(const struct lt_work *work);
/* This terminal's station. */
unsigned lt_work_station(const struct lt_work *work);

/* The calls below return false, with an error, when the store failed: what was asked is not known
 * to be kept then, nothing more can be done with this work, and nobody may take it for done. */

/* Takes in what others did since; *fresh (may be NULL): how many events. */
bool lt_work_sync(struct lt_work *work, size_t *fresh, struct lt_diags *diags);

/* One scan, in the present stage. *taken is false, and nothing is kept, where the job was moved
 * under the hands of whoever scans: lt_work_moved. Also false, with an error, at the last stage. */
bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags);

/* True when another terminal took the job to another stage, or closed it, since this one last began
 * a stage or said that it has seen it: a scan meant for the one stage says something else in the
 * other. */
bool lt_work_moved(const struct lt_work *work);
void lt_work_see(struct lt_work *work);

/* What is scanned from now on is from a picture of this name; NULL: no more. What is pending at
 * this terminal is dropped either way. */
bool lt_work_picture(struct lt_work *work, const char *name, struct lt_diags *diags);

/* The others also say whether they were possible: *done is false, with nothing kept, for what
 * lt_job_state_apply refuses, and where the job was moved. */
bool lt_work_skip(struct lt_work *work, bool *done, unsigned number, const char *reason,
	struct lt_diags *diags);
/* *undone: the event that was taken back, or would be: a wrong mate is not taken back. NULL where
 * there is nothing. */
bool lt_work_undo(struct lt_work *work, bool *done, const struct lt_job_event **undone,
	struct lt_diags *diags);
bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags);

/* Goes on with a stage. Stages between that were never begun and have something to do are said to
 * be skipped, with `reason`. Nothing when it is the present one and was begun. */
bool lt_work_stage(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags);

/* Keeps that the person here confirmed a hazard to be made safe. */
bool lt_work_confirm(struct lt_work *work, const char *energy, struct lt_diags *diags);

/* The next stage that has something to do after this one; LT_STAGE_COUNT behind the last. */
enum lt_stage lt_work_next_stage(const struct lt_work *work);

/* Closes the job; `reason` NULL: all was done. Where the state refuses that, since something was
 * opened elsewhere meanwhile, it stays open: lt_job_state_closed tells. */
bool lt_work_finish(struct lt_work *work, const char *reason, struct lt_diags *diags);

#endif
