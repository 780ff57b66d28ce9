/* Where a job stands: its events, applied one after the other to a state machine for each stage.
 * No input or output of its own; the same events and tags give the same state. */
#ifndef LOOMTAG_JOB_STATE_H
#define LOOMTAG_JOB_STATE_H

#include "loomtag/job.h"
#include "loomtag/tags.h"
#include "loomtag/verify.h"

/* How a stage of a job stands. */
enum lt_stage_standing {
	LT_STANDING_NOT_BEGUN,
	LT_STANDING_BEGUN,
	LT_STANDING_DONE, /* its machine says ok; unplug: it was begun, and left for a later one */
	LT_STANDING_SKIPPED, /* it was said that it is left out */
	LT_STANDING_NOTHING  /* there is nothing to do: no part is replaced, no line to tick */
};

/* What a job says of one numbered joint, each with the index of the event that says so, or LT_NONE.
 */
struct lt_joint_history {
	size_t proven;      /* at stage tag: its pair belonged together, and was not opened since */
	size_t unplugged;   /* at stage unplug */
	size_t swapped;     /* at stage swap: X and M scanned, the new part carries the number */
	size_t made;        /* at stage reconnect, and not opened since */
	size_t skipped;     /* at the present stage; or the last stage where it was */
	size_t unplug_rank; /* 0 for the first that came apart; LT_NONE */
};

struct lt_job_state;

/* A job with no event yet. `tags` must outlive it. Never NULL. */
struct lt_job_state *lt_job_state_create(const struct lt_tags *tags);
/* Takes NULL. */
void lt_job_state_destroy(struct lt_job_state *state);

/* Applies an event, the same whether it has just happened or is read from the store. A scan's
 * answer is in *answer (NULL where it does not matter) - worked out anew: when the tags have
 * changed since, it may differ from event->verdict. The event's strings must outlive the state.
 * False, and nothing changed, for what cannot be: a skip of no such number or of a joint that is
 * made, an undo where there is nothing to take back or that would take back a wrong mate, a tick
 * of no such line. */
bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer);

/* The stage that the last LT_JOB_STAGE began; before any, LT_STAGE_RECONNECT. */
enum lt_stage lt_job_state_stage(const struct lt_job_state *state);
enum lt_stage_standing lt_job_state_standing(const struct lt_job_state *state, enum lt_stage stage);

/* The machine of a stage, for its plan, what is made, pending and next. NULL for
 * LT_STAGE_FINISH. Its pending sticker is that of the station that scanned last. */
const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage);

/* The connector of a joint of any stage's plan (joints of all plans are the same, by index). */
size_t lt_job_state_connector(const struct lt_job_state *state, size_t joint);
size_t lt_job_state_joints(const struct lt_job_state *state);

struct lt_joint_history lt_job_state_history(const struct lt_job_state *state, size_t joint);

/* What there is to tick at stage finish: each hazard ("mains 230 V: restored: last, covers
 * closed"), then each finish line, then each joint without a number, to be looked at. */
size_t lt_job_state_lines(const struct lt_job_state *state);
const char *lt_job_state_line(const struct lt_job_state *state, size_t line);
/* The index of the event that ticked it, or LT_NONE. */
size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line);

/* True when the stage's answer is yes. At reconnect: every joint that came apart in this job is
 * made, nothing is pending, no wrong mate is unresolved; where the unplugging was not recorded,
 * every joint. At unplug: what came apart is not known to be all, so yes as soon as anything did
 * and nothing is pending. */
bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage);

bool lt_job_state_closed(const struct lt_job_state *state);

#endif
