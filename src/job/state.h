/* The inside of a job's state. */
#ifndef LOOMTAG_JOB_STATE_INSIDE_H
#define LOOMTAG_JOB_STATE_INSIDE_H

#include "loomtag/job_state.h"

/* A scan or skip that changed something at its stage and was not taken back. */
struct lt_job_step {
	struct lt_job_event event; /* with its verdict */
	size_t joint;              /* that it made, or at stage unplug took apart; else LT_NONE */
	bool was_suspect;          /* that joint, before */
};

/* One of the four stages that have a machine. */
struct lt_job_stage {
	struct lt_plan plan;
	struct lt_verify *machine;
	size_t *made_by, *skipped_by; /* by joint: event that made or skipped it last */
	struct lt_job_step *steps;
	size_t step_count, step_room;
	bool doubted;  /* an event was answered otherwise than now */
	bool *suspect; /* by joint: in a wrong mate that is none any more, and not made since */
	size_t suspects;
};

/* Made anew when it is asked for, until it is begun. */
struct lt_job_reconnect {
	bool begun, stale;
	size_t *usual, *order; /* to offer joints in: as nothing is known, and as it is */
	bool *apart;
	bool *opened; /* for going through what comes after a joint */
};

#define LT_JOB_MACHINES LT_STAGE_FINISH

/* A line that was ticked and was not unticked since. */
struct lt_job_tick {
	struct lt_job_event event;
	size_t line;
};

struct lt_job_state {
	struct lt_arena arena;
	const struct lt_tags *tags;
	size_t joints, *connectors;
	struct lt_job_stage *stages; /* LT_JOB_MACHINES of them */
	struct lt_job_reconnect *reconnect;

	bool redescribed; /* what happens now was done by another description */
	bool unplugging_doubted;
	size_t *ranks; /* by joint: how many came apart before it, or LT_NONE */
	size_t apart_count;
	bool *exchanged; /* by joint: its part was replaced, so that it was apart */

	const char **lines;
	size_t *ticked; /* by line: event, or LT_NONE */
	size_t line_count;
	struct lt_job_tick *ticks; /* in the order they were made */
	size_t tick_count;

	enum lt_stage stage;
	bool begun[LT_STAGE_COUNT], left_out[LT_STAGE_COUNT];
	bool closed;
	size_t events, changed;
	const char *mark;
};

/* The stage's machine as it is now. */
struct lt_verify *lt_job_machine(const struct lt_job_state *state, enum lt_stage stage);

/* Finds out what there is to tick. */
void lt_job_find_lines(struct lt_job_state *state);
/* False when there is no such line. The first of several that is not ticked is. */
bool lt_job_tick(struct lt_job_state *state, const struct lt_job_event *event);
void lt_job_untick(struct lt_job_state *state);
/* The last tick of a station, or NULL. */
const struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station);
/* False when the station has ticked nothing. */
bool lt_job_take_tick_back(struct lt_job_state *state, unsigned station);

/* Makes state->mark. */
void lt_job_make_mark(struct lt_job_state *state);

#endif
