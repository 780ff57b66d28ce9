/* What is read from the state of a job: states of stages and joints, and the answer. */
#include <stdlib.h>

#include "job/state.h"

void lt_job_frame_finish(struct lt_job_frame *frame)
{
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++) {
		lt_verify_destroy(frame->stages[stage].machine);
		free(frame->stages[stage].steps);
	}
	*frame = (struct lt_job_frame){ 0 };
}

struct lt_job_state *lt_job_state_create(void)
{
	struct lt_job_state *state = lt_alloc_array(1, sizeof(*state));
	*state = (struct lt_job_state){ .stage = LT_STAGE_RECONNECT, .strange = LT_NONE };
	lt_arena_init(&state->arena);
	return state;
}

void lt_job_state_destroy(struct lt_job_state *state)
{
	if (state == NULL)
		return;
	lt_job_frame_finish(&state->frame);
	free(state->plans);
	free(state->before);
	free(state->strays);
	free(state->removed);
	lt_arena_finish(&state->arena);
	free(state);
}

size_t lt_job_state_plans(const struct lt_job_state *state)
{
	return state->plan_count;
}

const struct lt_job_replan *lt_job_state_replan(const struct lt_job_state *state, size_t index)
{
	return &state->plans[index];
}

size_t lt_job_state_strange(const struct lt_job_state *state)
{
	return state->strange;
}

bool lt_job_state_unplugging_known(const struct lt_job_state *state)
{
	return state->apart_count > 0 && !state->unplugging_unknown;
}

/* A part cannot be replaced with its joints made; of a new joint nothing is known. */
static bool was_apart(const struct lt_job_frame *frame, size_t joint)
{
	return frame->ranks[joint] != LT_NONE || frame->exchanged[joint] || frame->asked[joint] ||
	       frame->stages[LT_STAGE_RECONNECT].plan.joints[joint].has_x;
}

void lt_job_order_reconnect(struct lt_job_frame *frame, bool known)
{
	for (size_t i = 0; i < frame->joint_count; i++)
		frame->order[i] = frame->usual[i];
	if (known)
		lt_plan_order(frame->order, &frame->stages[LT_STAGE_RECONNECT].plan, frame->ranks);
}

/* Makes the machine of reconnect anew, by what came apart. */
static void follow_unplugging(struct lt_job_frame *frame, bool known)
{
	struct lt_job_stage *stage = &frame->stages[LT_STAGE_RECONNECT];
	for (size_t i = 0; i < frame->joint_count; i++)
		frame->apart[i] = !known || was_apart(frame, i);
	lt_job_order_reconnect(frame, known);
	lt_verify_destroy(stage->machine);
	stage->machine = lt_verify_create(&stage->plan);
	frame->stale = false;
}

struct lt_verify *lt_job_machine(const struct lt_job_state *state, enum lt_stage stage)
{
	/* The machine is worked out when it is first looked at, which changes nothing that is
	 * known. */
	struct lt_job_frame *frame = (struct lt_job_frame *)&state->frame;
	if (stage == LT_STAGE_RECONNECT && frame->stale)
		follow_unplugging(frame, lt_job_state_unplugging_known(state));
	return frame->stages[stage].machine;
}

const struct lt_verify *lt_job_state_machine(const struct lt_job_state *state, enum lt_stage stage)
{
	return stage < LT_JOB_MACHINES && state->frame.plan != NULL ? lt_job_machine(state, stage)
								    : NULL;
}

struct lt_answer lt_job_state_judge(struct lt_job_state *state, unsigned station, bool typed,
	const char *text, size_t length)
{
	struct lt_verify *machine = lt_job_machine(state, state->stage);
	lt_verify_station(machine, station);
	lt_verify_allow_typed(machine, typed);
	return lt_verify_judge(machine, text, length);
}

enum lt_stage lt_job_state_stage(const struct lt_job_state *state)
{
	return state->stage;
}

static bool nothing_to_do(const struct lt_job_state *state, enum lt_stage stage)
{
	if (state->frame.plan == NULL)
		return false;
	if (stage == LT_STAGE_FINISH)
		return state->frame.plan->line_count == 0;
	const struct lt_verify *machine = lt_job_machine(state, stage);
	for (size_t i = 0; i < state->frame.joint_count; i++)
		if (lt_verify_needed(machine, i))
			return false;
	return true;
}

enum lt_stage_state lt_job_state_of_stage(const struct lt_job_state *state, enum lt_stage stage)
{
	if (nothing_to_do(state, stage))
		return LT_STATE_NOTHING;
	if (state->left_out[stage])
		return LT_STATE_SKIPPED;
	if (!state->begun[stage])
		return LT_STATE_NOT_BEGUN;
	bool done = lt_job_state_ok(state, stage);
	if (stage == LT_STAGE_UNPLUG)
		done = state->stage > stage && (state->apart_count > 0 || done);
	return done ? LT_STATE_DONE : LT_STATE_BEGUN;
}

void lt_job_state_look(struct lt_job_state *state, unsigned station)
{
	for (int stage = 0; stage < LT_JOB_MACHINES && state->frame.plan != NULL; stage++)
		lt_verify_station(lt_job_machine(state, (enum lt_stage)stage), station);
}

size_t lt_job_state_joints(const struct lt_job_state *state)
{
	return state->frame.joint_count;
}

const struct lt_job_joint *lt_job_state_joint(const struct lt_job_state *state, size_t joint)
{
	return &state->frame.plan->joints[state->frame.index_of[joint]];
}

/* The event that made a joint at a stage, if it is made still. */
static size_t made_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint)
{
	return lt_verify_made(lt_job_machine(state, stage), joint)
		       ? state->frame.stages[stage].made_by[joint]
		       : LT_NONE;
}

size_t lt_job_state_skipped_by(const struct lt_job_state *state, enum lt_stage stage, size_t joint)
{
	return stage < LT_JOB_MACHINES && lt_verify_skipped(lt_job_machine(state, stage), joint)
		       ? state->frame.stages[stage].skipped_by[joint]
		       : LT_NONE;
}

/* At the present stage, else the last that was said at any. */
static size_t find_skipped(const struct lt_job_state *state, size_t joint)
{
	size_t last = lt_job_state_skipped_by(state, state->stage, joint);
	if (last != LT_NONE)
		return last;
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++) {
		const size_t event = lt_job_state_skipped_by(state, (enum lt_stage)stage, joint);
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
		.stays = lt_job_state_skipped_by(state, LT_STAGE_UNPLUG, joint),
		.unplug_rank = state->frame.ranks[joint],
	};
}

size_t lt_job_state_strays(const struct lt_job_state *state, const struct lt_job_stray **out)
{
	*out = state->strays;
	return state->stray_count;
}

size_t lt_job_state_removed(const struct lt_job_state *state, const struct lt_job_removed **out)
{
	*out = state->removed;
	return state->removed_count;
}

static bool has_stray(const struct lt_job_state *state, enum lt_stage stage)
{
	for (size_t i = 0; i < state->stray_count; i++)
		if (state->strays[i].stage == stage && state->strays[i].settled == LT_NONE)
			return true;
	return false;
}

static bool all_ticked(const struct lt_job_frame *frame)
{
	for (size_t i = 0; i < frame->plan->line_count; i++)
		if (frame->ticks[i].event == LT_NONE)
			return false;
	return true;
}

/* At unplug what is skipped was said to stay plugged in. */
static bool has_open(const struct lt_verify *machine, enum lt_stage stage, size_t joints)
{
	if (stage != LT_STAGE_UNPLUG)
		return lt_verify_made_count(machine) < lt_verify_needed_count(machine);
	for (size_t i = 0; i < joints; i++)
		if (!lt_verify_made(machine, i) && !lt_verify_skipped(machine, i))
			return true;
	return false;
}

static bool has_wrong(const struct lt_job_state *state, enum lt_stage stage)
{
	const struct lt_wrong_mate *wrong;
	return lt_verify_wrong(lt_job_machine(state, stage), &wrong) > 0;
}

/* Of a stage with a machine. */
static unsigned why_no_machine(const struct lt_job_state *state, enum lt_stage stage)
{
	const struct lt_verify *machine = lt_job_machine(state, stage);
	unsigned no = 0;
	if (state->frame.joint_count == 0)
		no |= LT_NO_NUMBER;
	if (has_open(machine, stage, state->frame.joint_count))
		no |= LT_NO_OPEN;
	if (lt_verify_is_pending(machine))
		no |= LT_NO_PENDING;
	if (has_wrong(state, stage))
		no |= LT_NO_WRONG;
	if (has_stray(state, stage))
		no |= LT_NO_STRAY;
	if (stage != LT_STAGE_RECONNECT)
		return no;
	if (has_wrong(state, LT_STAGE_TAG) || has_wrong(state, LT_STAGE_SWAP))
		no |= LT_NO_STICKERS;
	if (has_stray(state, LT_STAGE_TAG) || has_stray(state, LT_STAGE_SWAP))
		no |= LT_NO_STRAY;
	return no;
}

/* Whether all is done up to the last stage. What cannot be scanned at all is ticked. */
static unsigned why_no_earlier(const struct lt_job_state *state)
{
	const unsigned reconnect =
		why_no_machine(state, LT_STAGE_RECONNECT) & ~(unsigned)LT_NO_NUMBER;
	const bool half_way = lt_job_state_of_stage(state, LT_STAGE_TAG) == LT_STATE_BEGUN ||
			      lt_job_state_of_stage(state, LT_STAGE_SWAP) == LT_STATE_BEGUN;
	return reconnect | (reconnect != 0 || half_way ? LT_NO_EARLIER : 0u);
}

unsigned lt_job_state_no(const struct lt_job_state *state, enum lt_stage stage)
{
	if (state->strange != LT_NONE)
		return LT_NO_STRANGE;
	if (state->frame.plan == NULL)
		return LT_NO_PLAN;
	if (stage < LT_JOB_MACHINES)
		return why_no_machine(state, stage);
	const bool asked = stage == LT_STAGE_FINISH || !state->left_out[LT_STAGE_FINISH];
	return why_no_earlier(state) | (asked && !all_ticked(&state->frame) ? LT_NO_TICK : 0u);
}

bool lt_job_state_ok(const struct lt_job_state *state, enum lt_stage stage)
{
	return lt_job_state_no(state, stage) == 0;
}

bool lt_job_state_closed(const struct lt_job_state *state)
{
	return state->closed;
}

struct lt_job_tick *lt_job_last_tick(const struct lt_job_state *state, unsigned station)
{
	struct lt_job_tick *last = NULL;
	for (size_t i = 0; i < state->frame.plan->line_count; i++) {
		struct lt_job_tick *tick = &state->frame.ticks[i];
		if (tick->event != LT_NONE && tick->station == station &&
			(last == NULL || tick->event > last->event))
			last = tick;
	}
	return last;
}

const struct lt_job_step *lt_job_last_step(const struct lt_job_state *state, enum lt_stage stage,
	unsigned station)
{
	const struct lt_job_stage *of = &state->frame.stages[stage];
	if (of->step_count == 0 || of->steps[of->step_count - 1].station != station)
		return NULL;
	return &of->steps[of->step_count - 1];
}

size_t lt_job_state_last(const struct lt_job_state *state, unsigned station)
{
	if (state->frame.plan == NULL)
		return LT_NONE;
	if (state->stage >= LT_JOB_MACHINES) {
		const struct lt_job_tick *tick = lt_job_last_tick(state, station);
		return tick != NULL ? tick->event : LT_NONE;
	}
	const struct lt_job_step *step = lt_job_last_step(state, state->stage, station);
	return step != NULL ? step->event : LT_NONE;
}

void lt_job_untick(struct lt_job_state *state)
{
	for (size_t i = 0; i < state->frame.plan->line_count; i++)
		state->frame.ticks[i].event = LT_NONE;
}

size_t lt_job_state_lines(const struct lt_job_state *state)
{
	return state->frame.plan != NULL ? state->frame.plan->line_count : 0;
}

const struct lt_job_line *lt_job_state_line(const struct lt_job_state *state, size_t line)
{
	return &state->frame.plan->lines[line];
}

size_t lt_job_state_ticked(const struct lt_job_state *state, size_t line)
{
	return state->frame.ticks[line].event;
}
