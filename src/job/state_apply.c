/* What an event does. Where it was answered one way and is answered another now, what it said
 * counts for nothing, and what it concerned is open. */
#include <string.h>

#include "state.h"

static void push_step(struct lt_job_stage *stage, struct lt_job_step step)
{
	stage->steps = lt_grow(stage->steps, &stage->step_room, stage->step_count + 1,
		sizeof(*stage->steps));
	stage->steps[stage->step_count++] = step;
}

/* Opens a joint at a stage for good. */
static void open_at(struct lt_job_state *state, enum lt_stage stage, size_t joint)
{
	if (!lt_verify_require(lt_job_machine(state, stage), joint))
		return;
	state->stages[stage].step_count = 0;
	if (stage != LT_STAGE_RECONNECT)
		return;
	state->reconnect->begun = true;
	lt_job_untick(state);
}

/* It is not known any more what came apart. What was left plugged in is open; which that was is not
 * known itself where the description was another or scans at reconnect were answered otherwise. */
static void doubt_unplugging(struct lt_job_state *state)
{
	state->unplugging_doubted = true;
	lt_job_untick(state);
	if (!state->reconnect->begun) {
		state->reconnect->stale = true;
		return;
	}
	const struct lt_job_stage *stage = &state->stages[LT_STAGE_RECONNECT];
	for (size_t i = 0; i < state->joints; i++)
		if (stage->doubted || state->redescribed || !lt_verify_needed(stage->machine, i))
			open_at(state, LT_STAGE_RECONNECT, i);
}

static void open_all(struct lt_job_state *state, enum lt_stage stage)
{
	if (stage == LT_STAGE_UNPLUG) {
		doubt_unplugging(state);
		return;
	}
	for (size_t i = 0; i < state->joints; i++)
		open_at(state, stage, i);
}

/* Opens a joint at reconnect and all that comes after it, also when it is open already: it may have
 * been made when this happened. */
static void open_after(struct lt_job_state *state, size_t joint)
{
	const struct lt_plan *plan = &state->stages[LT_STAGE_RECONNECT].plan;
	bool *const opened = state->reconnect->opened;
	for (size_t i = 0; i < state->joints; i++)
		opened[i] = i == joint;
	for (size_t i = 0; i < state->joints; i++) {
		const size_t at = state->reconnect->usual[i];
		for (size_t k = 0; k < plan->joints[at].after_count; k++)
			opened[at] = opened[at] || opened[plan->joints[at].after[k]];
		if (opened[at])
			open_at(state, LT_STAGE_RECONNECT, at);
	}
}

/* Opens a joint at reconnect; LT_NONE: one that is gone. By another description other joints would
 * have been opened with it: which ones is not known. */
static void open_if_reconnecting(struct lt_job_state *state, size_t joint)
{
	if (state->reconnect->begun && state->redescribed)
		open_all(state, LT_STAGE_RECONNECT);
	else if (state->reconnect->begun && joint != LT_NONE)
		open_at(state, LT_STAGE_RECONNECT, joint);
	if (state->stages[LT_STAGE_RECONNECT].doubted && state->reconnect->begun &&
		joint != LT_NONE)
		open_after(state, joint);
}

static void came_apart(struct lt_job_state *state, size_t joint)
{
	if (state->ranks[joint] == LT_NONE)
		state->ranks[joint] = state->apart_count++;
	lt_job_untick(state);
	state->reconnect->stale = !state->reconnect->begun;
	open_if_reconnecting(state, joint);
}

/* Its part was replaced: whatever was plugged in before is not plugged into the new one. */
static void was_exchanged(struct lt_job_state *state, size_t joint)
{
	if (joint != LT_NONE)
		state->exchanged[joint] = true;
	lt_job_untick(state);
	state->reconnect->stale = !state->reconnect->begun;
	open_if_reconnecting(state, joint);
}

static void suspect(struct lt_job_stage *stage, size_t joint, bool now)
{
	if (stage->suspect[joint] == now)
		return;
	stage->suspect[joint] = now;
	stage->suspects += now ? 1 : 0;
	stage->suspects -= now ? 0 : 1;
}

/* What a verdict says of the joint. */
enum tells { TELLS_NOTHING, TELLS_HALF, TELLS_RIGHT, TELLS_EARLY, TELLS_WRONG };

static enum tells tells(enum lt_verdict verdict, enum lt_stage stage)
{
	switch (verdict) {
	case LT_VERDICT_HALF:
	case LT_VERDICT_SAME_SIDE:
		return TELLS_HALF;
	case LT_VERDICT_MATED:
	case LT_VERDICT_DONE:
	case LT_VERDICT_REPEAT:
		return TELLS_RIGHT;
	case LT_VERDICT_OUT_OF_ORDER:
		/* Apart is apart. */
		return stage == LT_STAGE_UNPLUG ? TELLS_RIGHT : TELLS_EARLY;
	case LT_VERDICT_WRONG_MATE:
		return TELLS_WRONG;
	default:
		return TELLS_NOTHING;
	}
}

/* A verdict that this program does not know may have said anything: the worst is taken. */
static enum lt_verdict read_verdict(const char *name)
{
	for (int verdict = 0; verdict < LT_VERDICT_COUNT; verdict++)
		if (strcmp(name, lt_verdict_name((enum lt_verdict)verdict)) == 0)
			return (enum lt_verdict)verdict;
	return LT_VERDICT_WRONG_MATE;
}

/* A joint that a scan concerned which told something else when it happened. */
static void doubt_joint(struct lt_job_state *state, enum lt_stage stage, unsigned number,
	bool was_wrong)
{
	const size_t joint = lt_verify_joint(lt_job_machine(state, stage), number);
	if (number == 0 || joint == LT_NONE)
		return;
	if (stage == LT_STAGE_RECONNECT)
		open_after(state, joint);
	else
		open_at(state, stage, joint);
	if (!was_wrong || stage == LT_STAGE_RECONNECT)
		return;
	suspect(&state->stages[stage], joint, true);
	open_if_reconnecting(state, joint);
}

/* A wrong mate of which only one joint is known, or none: it may have been any. */
static void doubt_all(struct lt_job_state *state, enum lt_stage stage)
{
	open_all(state, stage);
	if (stage == LT_STAGE_RECONNECT)
		return;
	for (size_t i = 0; i < state->joints; i++)
		suspect(&state->stages[stage], i,
			lt_verify_needed(state->stages[stage].machine, i));
	if (state->reconnect->begun)
		open_all(state, LT_STAGE_RECONNECT);
}

static void compare(struct lt_job_state *state, const struct lt_job_event *event,
	const struct lt_answer *answer)
{
	const enum lt_stage stage = event->stage;
	if (event->verdict == NULL || strcmp(event->verdict, lt_verdict_name(answer->verdict)) == 0)
		return;
	state->changed++;
	state->stages[stage].doubted = true;
	/* It may have been what reconnection was begun with. */
	state->reconnect->begun = state->reconnect->begun || stage == LT_STAGE_RECONNECT;
	const enum tells then = tells(read_verdict(event->verdict), stage);
	const enum tells now = tells(answer->verdict, stage);
	if (then == now)
		return;
	lt_job_untick(state);
	/* By today's description it is not told which joints were apart for it. */
	if (stage == LT_STAGE_SWAP && then == TELLS_RIGHT && answer->has_tag)
		was_exchanged(state, lt_verify_joint(state->stages[stage].machine, answer->number));
	if (stage == LT_STAGE_UNPLUG) {
		const size_t joint = lt_verify_joint(state->stages[stage].machine, answer->number);
		doubt_unplugging(state);
		open_if_reconnecting(state, joint);
		return;
	}
	lt_verify_drop_pending(state->stages[stage].machine);
	if (then < TELLS_RIGHT && now < TELLS_RIGHT)
		return;
	if (then == TELLS_WRONG && answer->other == 0)
		doubt_all(state, stage);
	if (stage == LT_STAGE_RECONNECT && state->redescribed)
		open_all(state, stage);
	if (answer->has_tag)
		doubt_joint(state, stage, answer->number, then == TELLS_WRONG);
	doubt_joint(state, stage, answer->other, then == TELLS_WRONG);
}

/* The joint that a scan made, or at stage unplug took apart. */
static size_t made_joint(const struct lt_answer *answer, const struct lt_verify *machine,
	enum lt_stage stage)
{
	const bool made = answer->verdict == LT_VERDICT_MATED ||
			  answer->verdict == LT_VERDICT_DONE ||
			  (stage == LT_STAGE_UNPLUG && answer->verdict == LT_VERDICT_OUT_OF_ORDER);
	return made ? lt_verify_joint(machine, answer->number) : LT_NONE;
}

/* Keeps what a scan changed at its own stage. */
static void keep_scan(struct lt_job_state *state, const struct lt_job_event *event,
	const struct lt_answer *answer)
{
	struct lt_job_stage *stage = &state->stages[event->stage];
	const size_t joint = made_joint(answer, stage->machine, event->stage);
	struct lt_job_step step = { *event, joint, joint != LT_NONE && stage->suspect[joint] };
	step.event.verdict = lt_verdict_name(answer->verdict);
	push_step(stage, step);
	if (joint == LT_NONE)
		return;
	stage->made_by[joint] = state->events;
	/* Only what was a right pair when it happened clears it. */
	if (event->verdict == NULL ||
		tells(read_verdict(event->verdict), event->stage) == TELLS_RIGHT)
		suspect(stage, joint, false);
}

/* What a scan says of other stages. */
static void spread_scan(struct lt_job_state *state, enum lt_stage stage,
	const struct lt_answer *answer)
{
	const struct lt_verify *machine = state->stages[stage].machine;
	const bool wrong = answer->verdict == LT_VERDICT_WRONG_MATE;
	if (stage == LT_STAGE_UNPLUG && tells(answer->verdict, stage) == TELLS_RIGHT)
		came_apart(state, lt_verify_joint(machine, answer->number));
	if (stage == LT_STAGE_SWAP && tells(answer->verdict, stage) == TELLS_RIGHT)
		was_exchanged(state, lt_verify_joint(machine, answer->number));
	if (stage == LT_STAGE_RECONNECT && answer->changed) {
		state->reconnect->begun = true;
		if (wrong || made_joint(answer, machine, stage) != LT_NONE)
			lt_job_untick(state);
	}
	const bool doubted = state->stages[LT_STAGE_RECONNECT].doubted || state->redescribed;
	if (wrong && (stage != LT_STAGE_RECONNECT || doubted)) {
		open_if_reconnecting(state, lt_verify_joint(machine, answer->number));
		open_if_reconnecting(state, lt_verify_joint(machine, answer->other));
	}
}

static bool apply_scan(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *out)
{
	if (event->stage >= LT_JOB_MACHINES)
		return false;
	struct lt_verify *machine = lt_job_machine(state, event->stage);
	const char *text = event->text != NULL ? event->text : "";
	lt_verify_station(machine, event->station);
	lt_verify_allow_typed(machine, event->typed);
	const struct lt_answer answer = lt_verify_feed(machine, text, strlen(text));
	if (out != NULL)
		*out = answer;
	state->begun[event->stage] = true;
	state->left_out[event->stage] = false;
	if (answer.changed)
		keep_scan(state, event, &answer);
	spread_scan(state, event->stage, &answer);
	compare(state, event, &answer);
	return true;
}

static bool apply_skip(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->stage >= LT_JOB_MACHINES)
		return false;
	struct lt_verify *machine = lt_job_machine(state, event->stage);
	struct lt_job_stage *stage = &state->stages[event->stage];
	const size_t joint = lt_verify_joint(machine, event->number);
	if (joint == LT_NONE || lt_verify_made(machine, joint))
		return false;
	const bool already = lt_verify_skipped(machine, joint);
	lt_verify_station(machine, event->station);
	if (!lt_verify_skip(machine, event->number))
		return false;
	if (!already)
		push_step(stage, (struct lt_job_step){ *event, LT_NONE, false });
	stage->skipped_by[joint] = state->events;
	state->begun[event->stage] = true;
	state->left_out[event->stage] = false;
	if (event->stage == LT_STAGE_RECONNECT)
		state->reconnect->begun = true;
	return true;
}

static bool take_back(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_job_stage *stage = &state->stages[event->stage];
	if (stage->step_count == 0)
		return false;
	const struct lt_job_step *step = &stage->steps[stage->step_count - 1];
	const char *verdict = step->event.kind == LT_JOB_SCAN ? step->event.verdict : "";
	if (step->event.station != event->station ||
		strcmp(verdict, lt_verdict_name(LT_VERDICT_WRONG_MATE)) == 0)
		return false;
	struct lt_verify *machine = lt_job_machine(state, event->stage);
	lt_verify_station(machine, event->station);
	if (!lt_verify_undo(machine))
		return false;
	stage->step_count--;
	if (step->joint == LT_NONE)
		return true;
	suspect(stage, step->joint, step->was_suspect);
	if (event->stage == LT_STAGE_UNPLUG) {
		state->ranks[step->joint] = LT_NONE;
		state->apart_count--;
		state->reconnect->stale = !state->reconnect->begun;
	}
	if (event->stage == LT_STAGE_UNPLUG || event->stage == LT_STAGE_RECONNECT)
		lt_job_untick(state);
	return true;
}

static void drop_pending(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_verify *machine = lt_job_machine(state, event->stage);
	lt_verify_station(machine, event->station);
	lt_verify_drop_pending(machine);
}

static bool apply_undo(struct lt_job_state *state, const struct lt_job_event *event)
{
	const bool stored = event->id != 0;
	if (event->stage >= LT_JOB_MACHINES) {
		const bool done = lt_job_take_tick_back(state, event->station);
		/* What it took back then cannot be told. */
		if (stored && !done)
			lt_job_untick(state);
		return done;
	}
	if (stored && state->stages[event->stage].doubted) {
		open_all(state, event->stage);
		drop_pending(state, event);
		return true;
	}
	if (take_back(state, event))
		return true;
	if (stored) {
		open_all(state, event->stage);
		drop_pending(state, event);
	}
	return false;
}

static bool apply_stage(struct lt_job_state *state, const struct lt_job_event *event)
{
	state->stage = event->stage;
	state->begun[event->stage] = true;
	state->left_out[event->stage] = false;
	state->redescribed = event->text != NULL && strcmp(event->text, state->mark) != 0;
	if (event->stage == LT_STAGE_UNPLUG && state->redescribed)
		doubt_unplugging(state);
	return true;
}

static bool apply_stage_skipped(struct lt_job_state *state, const struct lt_job_event *event)
{
	state->left_out[event->stage] = true;
	if (event->stage == LT_STAGE_UNPLUG)
		doubt_unplugging(state);
	return true;
}

static bool apply_picture(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->stage >= LT_JOB_MACHINES)
		return false;
	drop_pending(state, event);
	return true;
}

static bool apply_tick(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->stage != LT_STAGE_FINISH || !lt_job_tick(state, event))
		return false;
	state->begun[event->stage] = true;
	state->left_out[event->stage] = false;
	return true;
}

static bool apply_closed(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->id == 0 && event->text == NULL && !lt_job_state_all_done(state))
		return false;
	state->closed = true;
	return true;
}

static bool apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer)
{
	if (state->closed || event->stage >= LT_STAGE_COUNT)
		return false;
	switch (event->kind) {
	case LT_JOB_OPENED:
		return true;
	case LT_JOB_STAGE:
		return apply_stage(state, event);
	case LT_JOB_STAGE_SKIPPED:
		return apply_stage_skipped(state, event);
	case LT_JOB_SCAN:
		return apply_scan(state, event, answer);
	case LT_JOB_PICTURE:
		return apply_picture(state, event);
	case LT_JOB_SKIP:
		return apply_skip(state, event);
	case LT_JOB_UNDO:
		return apply_undo(state, event);
	case LT_JOB_TICK:
		return apply_tick(state, event);
	case LT_JOB_CLOSED:
		return apply_closed(state, event);
	case LT_JOB_HAZARD:
		return event->text != NULL;
	default:
		return false;
	}
}

bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer)
{
	const bool done = apply(state, event, answer);
	const bool stored = event->id != 0;
	if (stored && !done) {
		state->changed++;
		if (event->stage < LT_JOB_MACHINES)
			state->stages[event->stage].doubted = true;
	}
	if (stored || done)
		state->events++;
	return done;
}
