/* A job that is being worked on at this terminal: where its events leave it, kept in step with the
 * store, and with whoever works on it elsewhere. Every scan of this program goes through it, kept
 * or not, and every yes is said by lt_work_answer.
 *
 * Everything that happens is one transaction: what others did meanwhile is taken in, the last event
 * that was seen has to be there still, then this is judged, applied and appended, and the answer is
 * given when it is on disk. Without a store the events are kept in memory alone. */
#ifndef LOOMTAG_WORK_H
#define LOOMTAG_WORK_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/job.h"
#include "loomtag/job_state.h"

/* A line that is longer than this is no scan, whatever it begins with: it is a misread, of which as
 * many bytes are kept. */
#define LT_SCAN_MAX 4096

struct lt_work_options {
	const char *db;         /* path of the store; NULL: nothing is kept */
	unsigned long long job; /* go on with this job and no other; 0: with the one that is open */
	bool fresh;             /* lt_work_begin comes next: the open job is not read, so that one
				   that was changed since it was kept can be ended too */
	bool typed;             /* typed tags count for every joint */
	long long (*now)(void *data); /* milliseconds since 1970; NULL: the system's clock */
	void *clock;
};

struct lt_work;

/* Opens the store and reads the open job of this harness and unit, if there is one; begins none. A
 * store that is not there is made, but not where a certain job is asked for. NULL with an error
 * when the store cannot be used, the job's events were changed since they were kept or are of a
 * newer program, or options->job is not the open job of this unit. `tags` must outlive it, and so
 * must `who`, the person here. */
struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	const char *who, struct lt_diags *diags);
/* Takes NULL. The job stays as it is. */
void lt_work_close(struct lt_work *work);

/* From now on this person does what is done here. */
void lt_work_is(struct lt_work *work, const char *who);

/* Begins a new job, by the plan of the description here. One that is open is closed as not
 * finished, with a warning. */
bool lt_work_begin(struct lt_work *work, struct lt_diags *diags);

/* True when there is a job: it was open, or was begun. */
bool lt_work_has_job(const struct lt_work *work);

/* The newest job of this unit that is closed, from the store, its strings from `arena`; id 0 where
 * there is none. */
bool lt_work_last_closed(struct lt_job *out, struct lt_work *work, struct lt_arena *arena,
	struct lt_diags *diags);

const struct lt_job_state *lt_work_state(const struct lt_work *work);
/* The events so far, in order; owned by the work, valid until the next call that adds some. */
const struct lt_job_event *lt_work_events(const struct lt_work *work, size_t *count);
/* The job's id in the store; 0 without one. */
unsigned long long lt_work_job(const struct lt_work *work);
/* How many events there were when it was opened: 0 for a new job. */
size_t lt_work_resumed(const struct lt_work *work);
/* This terminal's station. */
unsigned lt_work_station(const struct lt_work *work);

/* How the description here differs from the plan in force: nothing is taken while it does. Returns
 * how many changes there are; *voids_all: nothing that was recorded counts, since the job does not
 * say by what it was judged. The list is valid until the next call that changes. */
size_t lt_work_changes(const struct lt_work *work, const struct lt_plan_change **out,
	bool *voids_all);
/* Also where it is of another harness or unit, which no plan can change. */
bool lt_work_differs(const struct lt_work *work);
/* Puts the description here in force; nothing where it is. */
bool lt_work_replan(struct lt_work *work, struct lt_diags *diags);
/* The description was read again: `tags` takes the place of the ones before. */
void lt_work_describe(struct lt_work *work, const struct lt_tags *tags);

/* The connector, in the tags, of a joint of the plan in force; LT_NONE where they have none. */
size_t lt_work_connector(const struct lt_work *work, size_t joint);

/* The calls below return false, with an error, when the store failed, or was put back, moved or
 * removed: what was asked is not kept then, the state is what it was before, and nothing more can
 * be done with this work. */

/* Takes in what others did since; *fresh (may be NULL): how many events. */
bool lt_work_sync(struct lt_work *work, size_t *fresh, struct lt_diags *diags);

/* Why the answer of a stage, or for LT_STAGE_COUNT of the whole job, is no (lt_job_state_no); 0 for
 * yes, which is said only when the store holds every event that this work has seen. */
bool lt_work_answer(unsigned *no, struct lt_work *work, enum lt_stage stage,
	struct lt_diags *diags);

/* One scan, in the present stage. *taken is false, and nothing is kept, where the job was moved
 * under the hands of whoever scans (lt_work_moved, lt_work_differs). Also false, with an error, at
 * the last stage. */
bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags);

/* True when another terminal took the job to another stage, put another plan in force, or closed
 * it, since this one last did so or said that it has seen it: a scan meant for the one says
 * something else in the other. */
bool lt_work_moved(const struct lt_work *work);
/* The plans that came since then, by index: from *first on, as many as are returned. */
size_t lt_work_unseen_plans(const struct lt_work *work, size_t *first);
void lt_work_see(struct lt_work *work);

/* What is scanned from now on is from a picture of this name; NULL: no more. What is pending at
 * this terminal is dropped either way. */
bool lt_work_picture(struct lt_work *work, const char *name, struct lt_diags *diags);

/* The others also say whether they were possible: *done is false, with nothing kept, for what
 * lt_job_state_apply refuses, and where the job was moved. */
bool lt_work_skip(struct lt_work *work, bool *done, unsigned number, const char *reason,
	struct lt_diags *diags);
/* *undone: the index of the event that was taken back, or would be: a wrong mate is not taken back.
 * LT_NONE where there is nothing. */
bool lt_work_undo(struct lt_work *work, bool *done, size_t *undone, struct lt_diags *diags);
bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags);
/* Keeps that the person here says: what stands in this stray (lt_job_stray.tags) was seen to. */
bool lt_work_settle(struct lt_work *work, bool *done, const char *tags, struct lt_diags *diags);

/* Goes on with a stage. Stages between that were never begun and have something to do are said to
 * be skipped, with `reason`. Nothing when it is the present one and was begun, and where the job
 * was moved (lt_work_moved): that is to be seen first. */
bool lt_work_stage(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags);

/* Keeps that the person here confirmed a hazard to be made safe. */
bool lt_work_confirm(struct lt_work *work, const char *energy, struct lt_diags *diags);

/* The next stage that has something to do after this one; LT_STAGE_COUNT behind the last. */
enum lt_stage lt_work_next_stage(const struct lt_work *work);

/* Closes the job; `reason` NULL: all was done. Where the answer to that is no, since something was
 * opened elsewhere meanwhile or the plan is another, it stays open: lt_job_state_closed tells. */
bool lt_work_finish(struct lt_work *work, const char *reason, struct lt_diags *diags);

#endif
