/* Where a job stands: its events, applied one after the other. No input or output of its own; the
 * same events give the same state, whatever the description says today.
 *
 * Nothing is judged here that was judged before: a scan's verdict is part of its event. What a new
 * scan is answered, lt_job_state_judge says, by the plan in force. What the stages say of each
 * other, and what a new plan does, is told in tables in DEVELOPERS.md. */
#ifndef LOOMTAG_JOB_STATE_H
#define LOOMTAG_JOB_STATE_H

#include "loomtag/job.h"
#include "loomtag/job_plan.h"
#include "loomtag/verify.h"

/* How a stage of a job stands. */
enum lt_stage_standing {
	LT_STANDING_NOT_BEGUN,
	LT_STANDING_BEGUN,
	LT_STANDING_DONE,    /* the answer is yes; unplug: something is apart, and it was left for a
				later stage */
	LT_STANDING_SKIPPED, /* it was said that it is left out */
	LT_STANDING_NOTHING  /* there is nothing to do: no part is replaced, no line, no joint */
};

/* What a job says of one numbered joint, each with the index of the event that says so, or LT_NONE.
 * Events are counted from 0 in the order of the job. */
struct lt_joint_history {
	size_t proven;      /* at stage tag: its pair belonged together, and was not opened since */
	size_t unplugged;   /* at stage unplug */
	size_t swapped;     /* at stage swap: X and M scanned, the new part carries the number */
	size_t made;        /* at stage reconnect, and not opened since */
	size_t skipped;     /* at the present stage; or the last stage where it was */
	size_t stays;       /* skipped at stage unplug: it was said that it stays plugged in */
	size_t unplug_rank; /* 0 for the first that came apart; LT_NONE */
};

struct lt_job_state;

/* A job with no event yet. Never NULL. */
struct lt_job_state *lt_job_state_create(void);
/* Takes NULL. */
void lt_job_state_destroy(struct lt_job_state *state);

/* What a scan of a station is answered in the present stage; nothing is changed but whose half is
 * looked at. `typed`: typed tags count for every joint. Only where there is a plan, and before
 * stage finish. */
struct lt_answer lt_job_state_judge(struct lt_job_state *state, unsigned station, bool typed,
	const char *text, size_t length);

/* Applies an event, whether it has just happened (its id is 0, and it becomes one of the job's only
 * if this returns true) or is read from the store (it has an id, and is one either way). The
 * event's strings must outlive the state. *answer, which may be NULL, is what a scan did, for
 * LT_JOB_SCAN. False, and nothing changed, for what cannot be: a scan whose verdict cannot have
 * been given here, a skip of no such number or of a joint that is made, an undo where there is
 * nothing to take back, or that would take back a wrong mate or another station's step, a tick of
 * no such line or at another stage than finish, a plan that cannot be read or is of another code,
 * closing with no reason when lt_job_state_all_done says no, anything after closing, and any kind
 * or verdict that is not known. A stored event that cannot be makes every answer no:
 * lt_job_state_strange. */
bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer);

/* The first event of the store that cannot be, or that this program does not know; LT_NONE. */
size_t lt_job_state_strange(const struct lt_job_state *state);

/* The plan in force; NULL where there is none: a job of version 1 that nobody went on with. */
const struct lt_job_plan *lt_job_state_plan(const struct lt_job_state *state);
/* How many there were, and what the one with an index changed (with index 0 nothing, unless it
 * voids what version 1 noted). */
struct lt_job_replan {
	size_t event;                   /* by which it came into force */
	const struct lt_job_plan *plan; /* itself */
	const struct lt_plan_change *changes;
	size_t change_count;
	bool voids_all; /* nothing that happened before it counts: it is not known by what it was
			   judged */
};
size_t lt_job_state_plans(const struct lt_job_state *state);
const struct lt_job_replan *lt_job_state_replan(const struct lt_job_state *state, size_t index);

/* The stage that the last LT_JOB_STAGE began; before any, LT_STAGE_RECONNECT. */
enum lt_stage lt_job_state_stage(const struct lt_job_state *state);
enum lt_stage_standing lt_job_state_standing(const struct lt_job_state *state, enum lt_stage stage);

/* The machine of a stage, for its plan, what is made, pending and next. NULL for
 * LT_STAGE_FINISH, and where there is no plan. Its pending sticker is that of the station that
 * scanned last, or that was looked from since. Valid until the next event is applied. */
const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage);

/* Until the next event, what is pending is what is pending at this station. */
void lt_job_state_look(struct lt_job_state *state, unsigned station);

/* Joints with a number in the plan in force; of the machines of all stages, by index. */
size_t lt_job_state_joints(const struct lt_job_state *state);
/* What the plan says of one. */
const struct lt_job_joint *lt_job_state_joint(const struct lt_job_state *state, size_t joint);

struct lt_joint_history lt_job_state_history(const struct lt_job_state *state, size_t joint);

/* The event that skipped a joint at a stage, if it is skipped still; else LT_NONE. */
size_t lt_job_state_skipped_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint);

/* What there is to tick at stage finish: each joint without a number, to be looked at, then each
 * finish line, then each hazard. */
size_t lt_job_state_lines(const struct lt_job_state *state);
const struct lt_job_line *lt_job_state_line(const struct lt_job_state *state, size_t line);
/* The index of the event that ticked it, or LT_NONE. */
size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line);

/* What a joint that is no longer in the plan left behind, where no scan can settle it: a wrong mate
 * with it (at stage swap also one whose part is no longer replaced), or that it was noted as apart,
 * or its part as replaced, and was not made. It stands until somebody says that it was seen to
 * (LT_JOB_SETTLED). */
struct lt_job_stray {
	enum lt_stage stage;
	char tags[2 * LT_TAG_SIZE]; /* as they were: "3H 4M"; of one that was not made "3H" */
	const char *ids[2];         /* of the connectors, as they were; the second may be NULL */
	size_t settled;             /* the event that says so, or LT_NONE */
};
/* All that there were, in order. */
size_t lt_job_state_strays(const struct lt_job_state *state, const struct lt_job_stray **out);

/* A joint that an earlier plan had and a later one has not, as it was when it went. */
struct lt_job_gone {
	const struct lt_job_joint *joint;
	struct lt_joint_history history;
	size_t event; /* the plan that has it no more */
};
size_t lt_job_state_gone(const struct lt_job_state *state, const struct lt_job_gone **out);

/* Why the answer is no. */
enum {
	LT_NO_PLAN = 1 << 0,     /* the job has no plan: it is not known by what it was judged */
	LT_NO_STRANGE = 1 << 1,  /* an event cannot be, or is not known */
	LT_NO_NUMBER = 1 << 2,   /* no joint has a number, so no scan proves anything */
	LT_NO_OPEN = 1 << 3,     /* a joint is open; at unplug one is neither apart nor skipped */
	LT_NO_PENDING = 1 << 4,  /* half a pair waits for its other half */
	LT_NO_WRONG = 1 << 5,    /* a wrong mate is not resolved */
	LT_NO_STICKERS = 1 << 6, /* at reconnect: stickers on wrong halves, found at tag or swap */
	LT_NO_STRAY = 1 << 7,    /* what a joint that is gone left behind is not settled */
	LT_NO_TICK = 1 << 8,     /* at finish: a line is not ticked */
	LT_NO_EARLIER = 1 << 9,  /* at finish: an earlier stage is not done */
	LT_NO_OTHER_PLAN = 1 << 10 /* the description here is not what the job is judged by; said by
				      lt_work_answer */
};

/* THE answer: 0 for yes, else why not, whatever asks and wherever the job is kept. Of a stage, or
 * for LT_STAGE_COUNT of the whole job, that it may be closed with no reason.
 *
 * tag, swap, reconnect: every joint that the stage asks for is made, nothing is pending, no wrong
 *   mate is unresolved; at reconnect neither at tag and swap.
 * unplug: every joint is apart, or it was said that it stays plugged in.
 * finish: every line is ticked, reconnect is done, and neither tag nor swap was left half-way.
 * the job: finish is done, left out or has nothing to do, and the rest as for finish. */
unsigned lt_job_state_no(const struct lt_job_state *state, enum lt_stage stage);
bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage);
bool lt_job_state_all_done(const struct lt_job_state *state);

/* The scan, skip or tick that an undo at this station, in the present stage, is about, by its
 * index: also a wrong mate, which is not taken back. LT_NONE when there is none, or the last step
 * is another station's (ticks of others do not matter), or a plan came since. */
size_t lt_job_state_last(const struct lt_job_state *state, unsigned station);

/* How many events there are. */
size_t lt_job_state_events(const struct lt_job_state *state);

/* False when every joint is needed at reconnect since it is not known what came apart: nothing was
 * recorded, or the stage was left out. */
bool lt_job_state_unplugging_known(const struct lt_job_state *state);

bool lt_job_state_closed(const struct lt_job_state *state);

#endif
