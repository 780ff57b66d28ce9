/* The inside of a job's state. */
#ifndef LOOMTAG_JOB_STATE_H
#define LOOMTAG_JOB_STATE_H

#include "job/plan.h"

/* A scan or skip that changed something at its stage and was not taken back. */
struct lt_job_step {
	size_t event; /* its index */
	size_t joint; /* that it made, or at stage unplug took apart; else LT_NONE */
	unsigned station;
	bool opened; /* it was a wrong mate, which is not taken back */
};

/* One of the four stages that have a machine. */
struct lt_job_stage {
	struct lt_plan plan;
	struct lt_verify *machine;
	size_t *made_by, *skipped_by; /* by joint: event that made or skipped it last */
	struct lt_job_step *steps;
	size_t step_count, step_room;
};

#define LT_JOB_MACHINES LT_STAGE_FINISH

/* By what a line is ticked. */
struct lt_job_tick {
	size_t event;     /* its index, or LT_NONE */
	unsigned station; /* 0: a plan came since, and it cannot be taken back */
};

/* What depends on the plan in force; NULL arrays where there is none. */
struct lt_job_frame {
	const struct lt_job_plan *plan;
	size_t joint_count;
	size_t *index_of; /* by joint: its index in the plan */
	size_t *joint_of; /* by index in the plan: its joint; a passage's is joint_count or more */
	struct lt_job_stage stages[LT_JOB_MACHINES];

	size_t *usual; /* the order at reconnect where nothing is known */
	size_t *order; /* and as it is */
	bool *apart;   /* what the machine of reconnect was made with */
	bool stale;    /* it is to be made anew when it is asked for */

	size_t *ranks;   /* by joint: how many came apart before it, or LT_NONE */
	bool *exchanged; /* by joint: its part was replaced, so that it was apart */
	bool *asked;     /* by joint: at reconnect whatever came apart, by a plan or two scans */

	struct lt_job_tick *ticks; /* by line */
};

struct lt_job_state {
	struct lt_arena arena;
	struct lt_job_frame frame;
	struct lt_job_replan *plans;
	size_t plan_count, plan_room;

	/* Events of a job of version 1 that came before its plan, to be applied when it has one. */
	struct lt_job_event *before;
	size_t before_count, before_room;

	struct lt_job_stray *strays;
	size_t stray_count, stray_room;

	struct lt_job_removed *removed;
	size_t removed_count, removed_room;

	bool reconnecting; /* something was done at reconnect: what is needed follows no more */
	bool unplugging_unknown;
	size_t apart_count;

	enum lt_stage stage;
	bool begun[LT_STAGE_COUNT], left_out[LT_STAGE_COUNT];
	bool closed;
	size_t events;
	size_t strange;
};

/* The stage's machine as it is now; there is a plan. */
struct lt_verify *lt_job_machine(const struct lt_job_state *state, enum lt_stage stage);

/* The order to offer joints in at reconnect: the usual one, or where it is known the one in which
 * they came apart. */
void lt_job_order_reconnect(struct lt_job_frame *frame, bool known);

/* Puts a plan into force; false when it cannot be read or is of another code. */
bool lt_job_take_plan(struct lt_job_state *state, const struct lt_job_event *event);
void lt_job_frame_finish(struct lt_job_frame *frame);

/* All ticks go. */
void lt_job_untick(struct lt_job_state *state);
/* The last step at a stage with a machine, or NULL where it is another station's. */
const struct lt_job_step *lt_job_last_step(const struct lt_job_state *state, enum lt_stage stage,
	unsigned station);
/* The line that a station ticked last, of those that are ticked still; NULL: none. */
struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station);

/* The answer to a scan of a station in the present stage. Changes only whose pending half is shown.
 * `typed`: typed tags count for every joint. Only where there is a plan, and before stage finish.
 */
struct lt_answer lt_job_state_judge(struct lt_job_state *state, unsigned station, bool typed,
	const char *text, size_t length);

/* Until the next event, what is pending is what is pending at this station. */
void lt_job_state_look(struct lt_job_state *state, unsigned station);

/* The one answer: 0 for yes, else the reasons for no. For a stage, or with LT_STAGE_COUNT for the
 * whole job: whether it may be closed without a reason.
 *
 * tag, swap, reconnect: every joint that the stage asks for is made, nothing is pending, no wrong
 *   mate is unresolved; at reconnect neither at tag and swap.
 * unplug: every joint is apart, or skipped, which means that it stays plugged in.
 * finish: every line is ticked, reconnect is done, and neither tag nor swap was left half-way.
 * the job: finish is done, left out or has nothing to do, and the rest as for finish. */
unsigned lt_job_state_no(const struct lt_job_state *state, enum lt_stage stage);

/* The scan, skip or tick that an undo at this station, in the present stage, is about, by its
 * index: also a wrong mate, which is not taken back. LT_NONE when there is none, or the last step
 * is another station's (ticks of others do not matter), or a plan came since. */
size_t lt_job_state_last(const struct lt_job_state *state, unsigned station);

#endif
