#include <stdlib.h>

#include "state.h"

static size_t *array_of_none(struct lt_arena *arena, size_t count)
{
	size_t *array = lt_arena_array(arena, count, sizeof(*array));
	for (size_t i = 0; i < count; i++)
		array[i] = LT_NONE;
	return array;
}

static void create_stage(struct lt_job_state *state, enum lt_stage stage)
{
	struct lt_job_stage *made = &state->stages[stage];
	lt_plan_build(&made->plan, &state->connectors, &state->arena, state->tags, stage, false);
	state->joints = made->plan.joint_count;
	made->machine = lt_verify_create(&made->plan);
	made->made_by = array_of_none(&state->arena, state->joints);
	made->skipped_by = array_of_none(&state->arena, state->joints);
	made->suspect = lt_arena_array(&state->arena, state->joints, sizeof(*made->suspect));
}

struct lt_job_state *lt_job_state_create(const struct lt_tags *tags)
{
	struct lt_job_state *state = lt_alloc_array(1, sizeof(*state));
	*state = (struct lt_job_state){ .tags = tags, .stage = LT_STAGE_RECONNECT };
	lt_arena_init(&state->arena);
	state->stages = lt_arena_array(&state->arena, LT_JOB_MACHINES, sizeof(*state->stages));
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++)
		create_stage(state, (enum lt_stage)stage);

	struct lt_plan *plan = &state->stages[LT_STAGE_RECONNECT].plan;
	state->reconnect = lt_arena_alloc(&state->arena, sizeof(*state->reconnect));
	*state->reconnect = (struct lt_job_reconnect){
		.usual = lt_arena_array(&state->arena, state->joints, sizeof(size_t)),
		.order = lt_arena_array(&state->arena, state->joints, sizeof(size_t)),
		.apart = lt_arena_array(&state->arena, state->joints, sizeof(bool)),
		.opened = lt_arena_array(&state->arena, state->joints, sizeof(bool)),
		.stale = true,
	};
	for (size_t i = 0; i < state->joints; i++)
		state->reconnect->usual[i] = plan->order[i];
	plan->order = state->reconnect->order;
	plan->apart = state->reconnect->apart;
	state->ranks = array_of_none(&state->arena, state->joints);
	state->exchanged = lt_arena_array(&state->arena, state->joints, sizeof(bool));
	lt_job_find_lines(state);
	lt_job_make_mark(state);
	return state;
}

void lt_job_state_destroy(struct lt_job_state *state)
{
	if (state == NULL)
		return;
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++) {
		lt_verify_destroy(state->stages[stage].machine);
		free(state->stages[stage].steps);
	}
	lt_arena_finish(&state->arena);
	free(state);
}

bool lt_job_state_unplugging_known(const struct lt_job_state *state)
{
	return state->apart_count > 0 && !state->unplugging_doubted;
}

/* A part cannot be replaced with its joints made. */
static bool was_apart(const struct lt_job_state *state, size_t joint)
{
	return state->ranks[joint] != LT_NONE || state->exchanged[joint] ||
	       state->stages[LT_STAGE_RECONNECT].plan.joints[joint].has_x;
}

/* Makes the machine of reconnect anew, by what came apart. */
static void follow_unplugging(const struct lt_job_state *state)
{
	struct lt_job_stage *stage = &state->stages[LT_STAGE_RECONNECT];
	struct lt_job_reconnect *reconnect = state->reconnect;
	const bool known = lt_job_state_unplugging_known(state);
	for (size_t i = 0; i < state->joints; i++) {
		reconnect->apart[i] = !known || was_apart(state, i);
		reconnect->order[i] = reconnect->usual[i];
	}
	if (known)
		lt_plan_order(reconnect->order, &stage->plan, state->ranks);
	lt_verify_destroy(stage->machine);
	stage->machine = lt_verify_create(&stage->plan);
	reconnect->stale = false;
}

struct lt_verify *lt_job_machine(const struct lt_job_state *state, enum lt_stage stage)
{
	if (stage == LT_STAGE_RECONNECT && state->reconnect->stale)
		follow_unplugging(state);
	return state->stages[stage].machine;
}

const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage)
{
	return stage < LT_JOB_MACHINES ? lt_job_machine(state, stage) : NULL;
}

enum lt_stage lt_job_state_stage(const struct lt_job_state *state)
{
	return state->stage;
}

static bool nothing_to_do(const struct lt_job_state *state, enum lt_stage stage)
{
	if (stage == LT_STAGE_FINISH)
		return state->line_count == 0;
	return lt_verify_needed_count(lt_job_machine(state, stage)) == 0;
}

enum lt_stage_standing lt_job_state_standing(const struct lt_job_state *state, enum lt_stage stage)
{
	if (nothing_to_do(state, stage))
		return LT_STANDING_NOTHING;
	if (state->left_out[stage])
		return LT_STANDING_SKIPPED;
	if (!state->begun[stage])
		return LT_STANDING_NOT_BEGUN;
	const bool left = stage != LT_STAGE_UNPLUG || state->stage > LT_STAGE_UNPLUG;
	return left && lt_job_state_ok(state, stage) ? LT_STANDING_DONE : LT_STANDING_BEGUN;
}

void lt_job_state_look(struct lt_job_state *state, unsigned station)
{
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++)
		lt_verify_station(lt_job_machine(state, (enum lt_stage)stage), station);
}

size_t lt_job_state_connector(const struct lt_job_state *state, size_t joint)
{
	return state->connectors[joint];
}

size_t lt_job_state_joints(const struct lt_job_state *state)
{
	return state->joints;
}

/* The event that made a joint at a stage, if it is made still. */
static size_t made_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint)
{
	return lt_verify_made(lt_job_machine(state, stage), joint)
		       ? state->stages[stage].made_by[joint]
		       : LT_NONE;
}

static size_t skipped_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint)
{
	return lt_verify_skipped(lt_job_machine(state, stage), joint)
		       ? state->stages[stage].skipped_by[joint]
		       : LT_NONE;
}

/* At the present stage, else the last that was said at any. */
static size_t find_skipped(const struct lt_job_state *state, size_t joint)
{
	size_t last = LT_NONE;
	if (state->stage < LT_JOB_MACHINES)
		last = skipped_by(state, state->stage, joint);
	if (last != LT_NONE)
		return last;
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++) {
		const size_t event = skipped_by(state, (enum lt_stage)stage, joint);
		if (event != LT_NONE && (last == LT_NONE || event > last))
			last = event;
	}
	return last;
}

struct lt_joint_history lt_job_state_history(const struct lt_job_state *state, size_t joint)
{
	return (struct lt_joint_history){
		.proven = made_by(state, LT_STAGE_TAG, joint),
		.unplugged = made_by(state, LT_STAGE_UNPLUG, joint),
		.swapped = made_by(state, LT_STAGE_SWAP, joint),
		.made = made_by(state, LT_STAGE_RECONNECT, joint),
		.skipped = find_skipped(state, joint),
		.stays = skipped_by(state, LT_STAGE_UNPLUG, joint),
		.unplug_rank = state->ranks[joint],
	};
}

/* Stickers that are known, or were, to be on the wrong halves. */
static bool stickers_wrong(const struct lt_job_state *state, enum lt_stage stage)
{
	const struct lt_wrong_mate *wrong;
	return lt_verify_wrong(state->stages[stage].machine, &wrong) > 0 ||
	       state->stages[stage].suspects > 0;
}

static bool all_ticked(const struct lt_job_state *state)
{
	for (size_t i = 0; i < state->line_count; i++)
		if (state->ticked[i] == LT_NONE)
			return false;
	return true;
}

/* Whether all is done up to the last stage. */
static bool may_be_finished(const struct lt_job_state *state)
{
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++) {
		const enum lt_stage_standing standing =
			lt_job_state_standing(state, (enum lt_stage)stage);
		if (standing == LT_STANDING_BEGUN && stage != LT_STAGE_UNPLUG)
			return false;
	}
	return lt_job_state_ok(state, LT_STAGE_RECONNECT);
}

bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage)
{
	switch (stage) {
	case LT_STAGE_FINISH:
		return all_ticked(state) && may_be_finished(state);
	case LT_STAGE_UNPLUG:
		return state->apart_count > 0;
	case LT_STAGE_RECONNECT:
		return lt_verify_ok(lt_job_machine(state, stage)) &&
		       !stickers_wrong(state, LT_STAGE_TAG) &&
		       !stickers_wrong(state, LT_STAGE_SWAP);
	default:
		return lt_verify_ok(lt_job_machine(state, stage)) &&
		       state->stages[stage].suspects == 0;
	}
}

bool lt_job_state_all_done(const struct lt_job_state *state)
{
	const enum lt_stage_standing finish = lt_job_state_standing(state, LT_STAGE_FINISH);
	return finish != LT_STANDING_BEGUN && finish != LT_STANDING_NOT_BEGUN &&
	       may_be_finished(state);
}

bool lt_job_state_closed(const struct lt_job_state *state)
{
	return state->closed;
}

const struct lt_job_event *lt_job_state_last(const struct lt_job_state *state, unsigned station)
{
	if (state->stage >= LT_JOB_MACHINES) {
		const struct lt_job_tick *tick = lt_job_last_tick(state, station);
		return tick != NULL ? &tick->event : NULL;
	}
	const struct lt_job_stage *stage = &state->stages[state->stage];
	if (stage->step_count == 0)
		return NULL;
	const struct lt_job_event *last = &stage->steps[stage->step_count - 1].event;
	return last->station == station ? last : NULL;
}

size_t lt_job_state_events(const struct lt_job_state *state)
{
	return state->events;
}

size_t lt_job_state_changed(const struct lt_job_state *state)
{
	return state->changed;
}

const char *lt_job_state_mark(const struct lt_job_state *state)
{
	return state->mark;
}
