/* The inside of a job that is being worked on: its events, kept in step with the store. */
#ifndef LOOMTAG_JOB_WORK_H
#define LOOMTAG_JOB_WORK_H

#include "job/db.h"
#include "job/state.h"

struct lt_work {
	struct lt_arena arena;
	struct lt_work_options options;
	const char *who;
	struct lt_job_state *state;
	struct lt_job_db *db;   /* NULL: nothing is kept, see db.h */
	bool begun;             /* there is a job */
	unsigned long long job; /* its id in the store */
	unsigned station;
	size_t resumed;
	struct lt_job_event *events;
	size_t event_count, event_room;
	size_t kept; /* of them, committed */

	/* What the description here makes. */
	const struct lt_tags *tags;
	struct lt_arena plan_arena;
	struct lt_job_plan plan;
	struct lt_hash connector_of; /* by id */
	size_t *connectors;          /* by joint of the plan in force */

	/* How it differs from the plan in force, worked out when either changed. */
	struct lt_plan_change *changes;
	size_t change_count;
	bool voids_all, differs;

	enum lt_stage seen_stage; /* that this terminal knows of */
	size_t seen_plans;
	bool seen_closed;
};

/* An event that happens now, here, in the present stage. */
struct lt_job_event lt_work_event(const struct lt_work *work, enum lt_job_event_kind kind);

/* Whether the store still has every event that was read from it; true without a job. */
bool lt_work_still_has_all(struct lt_work *work, struct lt_diags *diags);
/* Takes in the events that are new in the store; within a transaction or not. */
bool lt_work_read_new(struct lt_work *work, size_t *added, struct lt_diags *diags);

/* Begins a transaction, after the events that others have added. */
bool lt_work_start(struct lt_work *work, struct lt_diags *diags);
/* Applies and appends one event, after a start. *done is false for what cannot be. Where it fails
 * all is as before the start. */
bool lt_work_happen(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags);
/* The end of what was started: what happened is committed; or nothing is to happen after all. */
bool lt_work_end(struct lt_work *work, bool happened, struct lt_diags *diags);

/* To be called when the plan in force or the description is another one. */
void lt_work_compare(struct lt_work *work);
/* Puts the plan of the description here in force. False with an error where it cannot be; where it
 * would be `backdated`, so that what was recorded before counts as judged by it, nothing happens
 * then. */
bool lt_work_put_in_force(struct lt_work *work, bool backdated, struct lt_diags *diags);

/* The place that messages about the job name. */
struct lt_place lt_work_place(const struct lt_work *work);

#endif
