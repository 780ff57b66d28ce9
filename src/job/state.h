/* The inside of a job's state. */
#ifndef LOOMTAG_JOB_STATE_H
#define LOOMTAG_JOB_STATE_H

#include "loomtag/job.h"

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

/* What stands on the plan in force; NULL arrays where there is none. */
struct lt_job_tick;
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

	size_t *ticked;            /* by line: event, or LT_NONE */
	struct lt_job_tick *ticks; /* since the plan, in the order they were made */
	size_t tick_count;
};

/* A line that was ticked and was not unticked since. */
struct lt_job_tick {
	size_t event; /* its index */
	size_t line;
	unsigned station;
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

	struct lt_job_gone *gone;
	size_t gone_count, gone_room;

	bool reconnecting; /* something was done at reconnect: what is needed follows no more */
	bool unplugging_unknown;
	size_t apart_count;

	enum lt_stage stage;
	bool begun[LT_STAGE_COUNT], left_out[LT_STAGE_COUNT];
	bool closed;
	size_t events;
	size_t strange;
};

/* An array of the arena, filled with LT_NONE. */
size_t *lt_job_none(struct lt_arena *arena, size_t count);

/* The stage's machine as it is now; there is a plan. */
struct lt_verify *lt_job_machine(const struct lt_job_state *state, enum lt_stage stage);

/* Opens a joint at reconnect for good, where something was done there; else it is needed anyway.
 * LT_NONE: nothing. */
void lt_job_open(struct lt_job_state *state, size_t joint);

/* Puts a plan into force; false when it cannot be read or is of another code. */
bool lt_job_take_plan(struct lt_job_state *state, const struct lt_job_event *event);
void lt_job_frame_finish(struct lt_job_frame *frame);

/* Ticks. The first of several lines of one text that is not ticked is; false: there is no such
 * line. */
bool lt_job_tick(struct lt_job_state *state, const struct lt_job_event *event);
void lt_job_untick(struct lt_job_state *state);
/* The last tick of a station, or NULL. */
const struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station);
/* False when the station has ticked nothing. */
bool lt_job_take_tick_back(struct lt_job_state *state, unsigned station);

#endif
