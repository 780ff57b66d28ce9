/* Events applied to the state of a job. */
#include <string.h>

#include "job/state.h"

static void push_step(struct lt_job_stage *stage, struct lt_job_step step)
{
	stage->steps = lt_grow(stage->steps, &stage->step_room, stage->step_count + 1,
		sizeof(*stage->steps));
	stage->steps[stage->step_count++] = step;
}

static void begin_stage(struct lt_job_state *state, enum lt_stage stage)
{
	state->begun[stage] = true;
	state->left_out[stage] = false;
}

/* The machine of the stage where something happens, to be told of the station; NULL: it has none.
 */
static struct lt_verify *machine_at(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->stage >= LT_JOB_MACHINES)
		return NULL;
	struct lt_verify *machine = lt_job_machine(state, event->stage);
	lt_verify_station(machine, event->station);
	return machine;
}

/* Until something is done at reconnect, what is needed there is worked out when it is asked for. */
static void follow(struct lt_job_state *state)
{
	state->frame.stale = !state->reconnecting;
}

/* Opens a joint at reconnect for good, where something was done there; else it is needed anyway.
 * LT_NONE: nothing. */
static void open_joint(struct lt_job_state *state, size_t joint)
{
	if (!state->reconnecting || joint == LT_NONE ||
		!lt_verify_require(lt_job_machine(state, LT_STAGE_RECONNECT), joint))
		return;
	state->frame.stages[LT_STAGE_RECONNECT].step_count = 0;
	lt_job_untick(state);
}

/* What was left plugged in is asked for too. */
static void need_all(struct lt_job_state *state)
{
	const struct lt_verify *machine = lt_job_machine(state, LT_STAGE_RECONNECT);
	for (size_t i = 0; i < state->frame.joint_count; i++)
		if (!lt_verify_needed(machine, i))
			open_joint(state, i);
}

/* A joint came apart, or its part was replaced: whatever was plugged in before is not plugged into
 * the new one. */
static void open_and_untick(struct lt_job_state *state, size_t joint)
{
	lt_job_untick(state);
	follow(state);
	open_joint(state, joint);
}

/* One scan says it; what two say stays so when one of them is taken back, perhaps by somebody else.
 */
static void note_apart(struct lt_job_state *state, size_t joint, bool again)
{
	if (again)
		state->frame.asked[joint] = true;
	if (state->frame.ranks[joint] == LT_NONE)
		state->frame.ranks[joint] = state->apart_count++;
}

/* Keeps what a scan did at its own stage, and what it says of the others. */
static void take_in_scan(struct lt_job_state *state, const struct lt_job_event *event,
	const struct lt_answer *answer)
{
	const enum lt_stage stage = event->stage;
	struct lt_job_stage *own = &state->frame.stages[stage];
	const enum lt_effect effect = lt_verdict_row(answer->verdict)->effect;
	const bool opens = effect == LT_EFFECT_OPEN;
	/* At stage unplug that is apart. */
	const bool makes =
		effect == LT_EFFECT_MAKE || (effect == LT_EFFECT_EARLY && stage == LT_STAGE_UNPLUG);
	const size_t joint = lt_verify_joint(own->machine, answer->number);
	if (answer->changed)
		push_step(own, (struct lt_job_step){ state->events, makes ? joint : LT_NONE,
				       event->station, opens });
	if (answer->changed && makes)
		own->made_by[joint] = state->events;
	if (stage == LT_STAGE_RECONNECT && answer->changed) {
		state->reconnecting = true;
		if (opens || makes)
			lt_job_untick(state);
	}
	if ((stage == LT_STAGE_UNPLUG || stage == LT_STAGE_SWAP) &&
		(makes || effect == LT_EFFECT_KEEP)) {
		if (stage == LT_STAGE_UNPLUG)
			note_apart(state, joint, !answer->changed);
		else
			state->frame.exchanged[joint] = true;
		open_and_untick(state, joint);
	}
	/* Stickers on wrong halves: a pair made with them proves nothing. */
	if (stage != LT_STAGE_RECONNECT && opens) {
		open_joint(state, joint);
		open_joint(state, lt_verify_joint(own->machine, answer->other));
	}
}

/* "12H" of a scan that had a tag, as it is written. */
static bool read_tag(struct lt_answer *out, const char *tag)
{
	struct lt_scan scan;
	char written[LT_TAG_SIZE];
	lt_scan_read(&scan, tag, strlen(tag));
	if (scan.kind != LT_SCAN_TAG)
		return false;
	out->number = scan.number;
	out->side = scan.side;
	lt_tag_write(written, scan.number, scan.side);
	return strcmp(written, tag) == 0;
}

static bool was_typed(const struct lt_job_event *event)
{
	struct lt_scan scan;
	lt_scan_read(&scan, event->text, strlen(event->text));
	return scan.kind == LT_SCAN_TAG;
}

static bool apply_scan(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *out)
{
	struct lt_answer answer = { .has_tag = event->tag != NULL };
	if (event->text == NULL || !lt_verdict_read(&answer.verdict, event->verdict) ||
		(event->tag != NULL && !read_tag(&answer, event->tag)))
		return false;
	struct lt_verify *machine = machine_at(state, event);
	answer.typed = was_typed(event);
	if (machine == NULL || !lt_verify_apply(machine, &answer))
		return false;
	if (out != NULL)
		*out = answer;
	begin_stage(state, event->stage);
	take_in_scan(state, event, &answer);
	return true;
}

static bool apply_skip(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_verify *machine = machine_at(state, event);
	if (machine == NULL)
		return false;
	struct lt_job_stage *stage = &state->frame.stages[event->stage];
	const size_t joint = lt_verify_joint(machine, event->number);
	if (joint == LT_NONE || lt_verify_made(machine, joint))
		return false;
	const bool already = lt_verify_skipped(machine, joint);
	if (!lt_verify_skip(machine, event->number))
		return false;
	if (!already)
		push_step(stage,
			(struct lt_job_step){ state->events, LT_NONE, event->station, false });
	stage->skipped_by[joint] = state->events;
	begin_stage(state, event->stage);
	if (event->stage == LT_STAGE_RECONNECT)
		state->reconnecting = true;
	return true;
}

static bool apply_undo(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->stage >= LT_JOB_MACHINES) {
		struct lt_job_tick *tick = lt_job_last_tick(state, event->station);
		if (tick != NULL)
			tick->event = LT_NONE;
		return tick != NULL;
	}
	const struct lt_job_step *step = lt_job_last_step(state, event->stage, event->station);
	if (step == NULL || step->opened || !lt_verify_undo(machine_at(state, event)))
		return false;
	state->frame.stages[event->stage].step_count--;
	if (step->joint == LT_NONE)
		return true;
	if (event->stage == LT_STAGE_UNPLUG) {
		state->frame.ranks[step->joint] = LT_NONE;
		state->apart_count--;
		follow(state);
		/* Others were left plugged in since some were noted as apart; none is any more. */
		if (state->apart_count == 0)
			need_all(state);
	}
	if (event->stage == LT_STAGE_UNPLUG || event->stage == LT_STAGE_RECONNECT)
		lt_job_untick(state);
	return true;
}

/* Who goes back to a stage is asked there for what came into the plan since. At reconnect what is
 * asked for follows from what came apart. */
static bool apply_stage(struct lt_job_state *state, const struct lt_job_event *event)
{
	state->stage = event->stage;
	begin_stage(state, event->stage);
	if (event->stage >= LT_STAGE_RECONNECT)
		return true;
	for (size_t i = 0; i < state->frame.joint_count; i++)
		lt_verify_ask(lt_job_machine(state, event->stage), i, true);
	return true;
}

static bool apply_stage_skipped(struct lt_job_state *state, const struct lt_job_event *event)
{
	state->left_out[event->stage] = true;
	if (event->stage != LT_STAGE_UNPLUG)
		return true;
	/* It is not known what came apart. */
	state->unplugging_unknown = true;
	lt_job_untick(state);
	follow(state);
	need_all(state);
	return true;
}

/* A picture is one joint, whatever comes before it and behind it. */
static bool apply_picture(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_verify *machine = machine_at(state, event);
	if (machine != NULL)
		lt_verify_drop_pending(machine);
	return machine != NULL;
}

/* The first of several lines of one text that is not ticked is; there must be such a line. */
static bool apply_tick(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_job_frame *const frame = &state->frame;
	struct lt_job_tick *found = NULL;
	if (event->stage != LT_STAGE_FINISH || event->text == NULL)
		return false;
	for (size_t i = 0; i < frame->plan->line_count; i++)
		if ((found == NULL || found->event != LT_NONE) &&
			strcmp(frame->plan->lines[i].text, event->text) == 0)
			found = &frame->ticks[i];
	if (found == NULL)
		return false;
	if (found->event == LT_NONE)
		*found = (struct lt_job_tick){ state->events, event->station };
	begin_stage(state, event->stage);
	return true;
}

static bool apply_settled(struct lt_job_state *state, const struct lt_job_event *event)
{
	for (size_t i = 0; i < state->stray_count; i++) {
		struct lt_job_stray *stray = &state->strays[i];
		if (stray->settled != LT_NONE || event->text == NULL ||
			strcmp(stray->tags, event->text) != 0)
			continue;
		stray->settled = state->events;
		return true;
	}
	return false;
}

/* What can be applied only where there is a plan. */
static bool apply_on_plan(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *out)
{
	static bool (*const apply_of[LT_JOB_EVENT_KINDS])(struct lt_job_state *,
		const struct lt_job_event *) = {
		[LT_JOB_STAGE] = apply_stage,
		[LT_JOB_STAGE_SKIPPED] = apply_stage_skipped,
		[LT_JOB_PICTURE] = apply_picture,
		[LT_JOB_SKIP] = apply_skip,
		[LT_JOB_UNDO] = apply_undo,
		[LT_JOB_TICK] = apply_tick,
		[LT_JOB_SETTLED] = apply_settled,
	};
	if (event->kind == LT_JOB_SCAN)
		return apply_scan(state, event, out);
	if (event->kind == LT_JOB_HAZARD)
		return event->text != NULL;
	return apply_of[event->kind] != NULL && apply_of[event->kind](state, event);
}

/* A job of version 1 has no plan yet: what is in it waits for one. New events want a plan. */
static bool wait_for_plan(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->id == 0)
		return false;
	state->before = lt_grow(state->before, &state->before_room, state->before_count + 1,
		sizeof(*state->before));
	state->before[state->before_count++] = *event;
	if (event->kind == LT_JOB_STAGE)
		state->stage = event->stage;
	return true;
}

/* The events that waited, each at its place in the job. Where the plan is not what they were judged
 * by, only the stages count: that one was begun or left out says nothing of any joint. */
static bool apply_waiting(struct lt_job_state *state, bool judged_by_it)
{
	const size_t now = state->events;
	bool good = true;
	for (size_t i = 0; i < state->before_count && good; i++) {
		const struct lt_job_event *event = &state->before[i];
		const bool stage =
			event->kind == LT_JOB_STAGE || event->kind == LT_JOB_STAGE_SKIPPED;
		state->events = now - state->before_count + i;
		if (judged_by_it || stage)
			good = apply_on_plan(state, event, NULL);
	}
	state->events = now;
	state->before_count = 0;
	return good;
}

static bool apply_plan(struct lt_job_state *state, const struct lt_job_event *event)
{
	return lt_job_take_plan(state, event) && apply_waiting(state, state->frame.plan->backdated);
}

static bool apply_closed(struct lt_job_state *state, const struct lt_job_event *event)
{
	if (event->id == 0 && event->text == NULL && !lt_job_state_ok(state, LT_STAGE_COUNT))
		return false;
	state->closed = true;
	return true;
}

static bool apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *out)
{
	if (state->closed || event->stage >= LT_STAGE_COUNT)
		return false;
	if (event->kind == LT_JOB_OPENED)
		return true;
	if (event->kind == LT_JOB_PLAN)
		return apply_plan(state, event);
	if (event->kind == LT_JOB_CLOSED)
		return apply_closed(state, event);
	if (event->kind >= LT_JOB_UNKNOWN)
		return false;
	return state->frame.plan != NULL ? apply_on_plan(state, event, out)
					 : wait_for_plan(state, event);
}

bool lt_job_state_apply(struct lt_job_state *state, const struct lt_job_event *event,
	struct lt_answer *answer)
{
	const bool done = apply(state, event, answer);
	const bool stored = event->id != 0;
	if (stored && !done && state->strange == LT_NONE)
		state->strange = state->events;
	if (stored || done)
		state->events++;
	return done;
}
