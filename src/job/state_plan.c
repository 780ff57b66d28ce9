/* A new plan put in force: what is carried over from the old one, and what is opened. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "job/state.h"
#include "loomtag/base.h"

/* An array of the arena, filled with LT_NONE. */
static size_t *none(struct lt_arena *arena, size_t count)
{
	size_t *array = lt_arena_array(arena, count, sizeof(*array));
	for (size_t i = 0; i < count; i++)
		array[i] = LT_NONE;
	return array;
}

static void begin_stage(struct lt_job_frame *frame, struct lt_arena *arena, enum lt_stage stage)
{
	struct lt_job_stage *made = &frame->stages[stage];
	lt_job_plan_machine(&made->plan, frame->joint_of, arena, frame->plan, stage);
	made->made_by = none(arena, frame->joint_count);
	made->skipped_by = none(arena, frame->joint_count);
	if (stage == LT_STAGE_RECONNECT) {
		for (size_t i = 0; i < frame->joint_count; i++)
			frame->usual[i] = made->plan.order[i];
		made->plan.order = frame->order;
		made->plan.apart = frame->apart;
	}
	made->machine = lt_verify_create(&made->plan);
}

/* With nothing noted. */
static void frame_begin(struct lt_job_frame *out, struct lt_arena *arena,
	const struct lt_job_plan *plan)
{
	const size_t joints = plan->numbered;
	*out = (struct lt_job_frame){ .plan = plan, .joint_count = joints, .stale = true };
	out->index_of = lt_arena_array(arena, joints, sizeof(size_t));
	out->joint_of = lt_arena_array(arena, plan->joint_count, sizeof(size_t));
	out->usual = lt_arena_array(arena, joints, sizeof(size_t));
	out->order = lt_arena_array(arena, joints, sizeof(size_t));
	out->apart = lt_arena_array(arena, joints, sizeof(bool));
	out->ranks = none(arena, joints);
	out->exchanged = lt_arena_array(arena, joints, sizeof(bool));
	out->asked = lt_arena_array(arena, joints, sizeof(bool));
	out->ticks = lt_arena_array(arena, plan->line_count, sizeof(*out->ticks));
	for (size_t i = 0; i < plan->line_count; i++)
		out->ticks[i].event = LT_NONE;
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++)
		begin_stage(out, arena, (enum lt_stage)stage);
	for (size_t i = 0; i < plan->joint_count; i++)
		if (out->joint_of[i] < joints)
			out->index_of[out->joint_of[i]] = i;
}

/* From the plan before to the new one. */
struct move {
	struct lt_job_state *state;
	struct lt_job_frame *now;
	struct lt_job_frame *old;
	const size_t *index_was;   /* by index in the new plan: in the old one, or LT_NONE */
	size_t *was;               /* by joint: the old joint of the same connector, or LT_NONE */
	size_t *from;              /* likewise, also LT_NONE where what was noted is void */
	size_t *became;            /* by old joint: the joint of the same connector, or LT_NONE */
	struct lt_verify *machine; /* of reconnect, now */
	const struct lt_verify *old_machine; /* and as it was */
};

/* The joints of the new plan of which nothing that was noted counts. */
static void find_joints(struct move *move, const struct lt_plan_change *changes, size_t count)
{
	struct lt_hash voids = { 0 };
	for (size_t i = 0; i < count; i++)
		if (changes[i].voids)
			lt_hash_set(&voids, changes[i].id, 0);
	for (size_t i = 0; i < move->now->joint_count; i++) {
		const size_t index = move->now->index_of[i];
		const size_t before = move->index_was[index];
		const size_t joint = before != LT_NONE ? move->old->joint_of[before] : LT_NONE;
		const char *id = move->now->plan->joints[index].id;
		if (joint < move->old->joint_count) {
			move->was[i] = joint;
			move->became[joint] = i;
		}
		move->from[i] = lt_hash_get(&voids, id) == LT_HASH_NONE ? move->was[i] : LT_NONE;
	}
	lt_hash_finish(&voids);
}

static void add_stray(struct lt_job_state *state, enum lt_stage stage, const char *tags,
	const char *id, const char *mate_id)
{
	state->strays = lt_grow(state->strays, &state->stray_room, state->stray_count + 1,
		sizeof(*state->strays));
	struct lt_job_stray *stray = &state->strays[state->stray_count++];
	*stray =
		(struct lt_job_stray){ .stage = stage, .ids = { id, mate_id }, .settled = LT_NONE };
	snprintf(stray->tags, sizeof(stray->tags), "%s", tags);
}

/* A joint that came apart, or whose part was replaced, and that was not made, is still open. */
static void note_loose(struct lt_job_state *state, size_t joint)
{
	const struct lt_joint_history history = lt_job_state_history(state, joint);
	char tag[LT_TAG_SIZE];
	if ((history.unplugged == LT_NONE && history.swapped == LT_NONE) ||
		lt_verify_made(lt_job_machine(state, LT_STAGE_RECONNECT), joint))
		return;
	lt_tag_write(tag, lt_job_state_joint(state, joint)->number, LT_SIDE_H);
	add_stray(state, LT_STAGE_RECONNECT, tag, lt_job_state_joint(state, joint)->id, NULL);
}

/* Keeps the history of the joints that the new plan removes. */
static void note_gone(struct lt_job_state *state, const size_t *became)
{
	for (size_t i = 0; i < state->frame.joint_count; i++) {
		if (became[i] != LT_NONE)
			continue;
		note_loose(state, i);
		state->removed = lt_grow(state->removed, &state->removed_room,
			state->removed_count + 1, sizeof(*state->removed));
		state->removed[state->removed_count++] =
			(struct lt_job_removed){ lt_job_state_joint(state, i),
				lt_job_state_history(state, i), state->events };
	}
}

/* Whether the stage still asks for an old joint: at stage swap its part has to be replaced still.
 */
static bool is_asked_for(const struct move *move, enum lt_stage stage, size_t old_joint)
{
	const size_t joint = move->became[old_joint];
	return joint != LT_NONE && lt_verify_asks(move->now->stages[stage].machine, joint);
}

/* A wrong mate of which the stage has a joint no more cannot be resolved by scans. */
static void add_strays(struct move *move, enum lt_stage stage)
{
	const struct lt_verify *old = move->old->stages[stage].machine;
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(old, &wrong);
	struct lt_job_state *state = move->state;
	for (size_t i = 0; i < count; i++) {
		const size_t h = lt_verify_joint(old, wrong[i].h);
		const size_t mate = lt_verify_joint(old, wrong[i].m);
		if (is_asked_for(move, stage, h) && is_asked_for(move, stage, mate))
			continue;
		char tags[2 * LT_TAG_SIZE];
		snprintf(tags, sizeof(tags), "%u%c %u%c", wrong[i].h,
			lt_side_letter(wrong[i].h_side), wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
		add_stray(state, stage, tags, lt_job_state_joint(state, h)->id,
			lt_job_state_joint(state, mate)->id);
	}
}

/* A stage that was left half-way stays so. */
static bool was_open(const struct lt_verify *old, size_t joint)
{
	return joint != LT_NONE && lt_verify_needed(old, joint) && !lt_verify_made(old, joint);
}

static void carry_stage(struct move *move, enum lt_stage stage)
{
	struct lt_job_stage *now = &move->now->stages[stage];
	const struct lt_job_stage *old = &move->old->stages[stage];
	/* A stage that is over is not begun again for what is new; to go back to it is. */
	const bool over = move->state->begun[stage] && move->state->stage > stage;
	lt_verify_carry(now->machine, old->machine, move->from, move->became);
	add_strays(move, stage);
	for (size_t i = 0; i < move->now->joint_count; i++) {
		const size_t from = move->from[i];
		if (from != LT_NONE) {
			now->made_by[i] = old->made_by[from];
			now->skipped_by[i] = old->skipped_by[from];
		} else if (over && stage != LT_STAGE_RECONNECT &&
			   !was_open(old->machine, move->was[i])) {
			lt_verify_ask(now->machine, i, false);
		}
	}
}

static bool edge_is_new(const struct move *move, size_t index, size_t k)
{
	const size_t index_was = move->index_was[index];
	const size_t before = move->index_was[move->now->plan->joints[index].after[k]];
	if (index_was == LT_NONE || before == LT_NONE)
		return true;
	const struct lt_job_joint *old = &move->old->plan->joints[index_was];
	for (size_t i = 0; i < old->after_count; i++)
		if (old->after[(k + i) % old->after_count] == before)
			return false;
	return true;
}

/* Whether something that is open comes before the node by the new plan, and did not by the old one:
 * itself, or through a passage of which that is known. */
static bool is_newly_blocked(const struct move *move, const bool *passage_newly_blocked,
	size_t index)
{
	const struct lt_job_joint *joint = &move->now->plan->joints[index];
	for (size_t k = 0; k < joint->after_count; k++) {
		const size_t before = joint->after[k];
		if (lt_verify_open(move->machine, move->now->joint_of[before]) &&
			(passage_newly_blocked[before] || edge_is_new(move, index, k)))
			return true;
	}
	return false;
}

/* By index; from both ends in turn, since passages mostly follow each other in one direction. */
static void find_passages(bool *newly_blocked, const struct move *move)
{
	const struct lt_job_plan *plan = move->now->plan;
	const size_t count = plan->joint_count;
	bool again = plan->numbered < count;
	for (unsigned round = 0; again; round++) {
		again = false;
		for (size_t i = 0; i < count; i++) {
			const size_t index = round % 2 == 0 ? i : count - 1 - i;
			if (plan->joints[index].number != 0 || newly_blocked[index] ||
				!is_newly_blocked(move, newly_blocked, index))
				continue;
			newly_blocked[index] = again = true;
		}
	}
}

/* What a plan opens at reconnect: joints that are void, with what comes after them, and joints that
 * are made with something new and open before them. */
static void open_changed(struct move *move)
{
	bool *newly_blocked =
		lt_alloc_array(move->now->plan->joint_count + 1, sizeof(*newly_blocked));
	for (size_t i = 0; i < move->now->joint_count; i++)
		if (move->from[i] == LT_NONE && move->was[i] != LT_NONE &&
			lt_verify_made(move->old_machine, move->was[i]))
			lt_verify_open_after(move->machine, i);
	find_passages(newly_blocked, move);
	for (size_t i = 0; i < move->now->joint_count; i++) {
		const size_t joint = move->now->usual[i];
		if (lt_verify_made(move->machine, joint) &&
			lt_verify_blocked_by(move->machine, joint) != 0 &&
			(lt_verify_needed(move->machine, joint) ||
				is_newly_blocked(move, newly_blocked, move->now->index_of[joint])))
			lt_verify_require(move->machine, joint);
	}
	free(newly_blocked);
}

/* True for a joint that was made, is not void, and is open now. */
static bool is_opened(const struct move *move, size_t joint)
{
	return move->from[joint] != LT_NONE &&
	       lt_verify_made(move->old_machine, move->from[joint]) &&
	       !lt_verify_made(move->machine, joint);
}

/* What was left plugged in and is opened by the plan stays asked for, also where what is needed is
 * worked out again from what came apart. Where nothing counts any more of what was noted as apart,
 * every joint is asked for. */
static void ask_for_opened(struct move *move)
{
	for (size_t i = 0; i < move->now->joint_count; i++)
		if (is_opened(move, i))
			move->now->asked[i] = true;
	for (size_t i = 0; i < move->now->joint_count && move->state->apart_count == 0; i++)
		if (!lt_verify_needed(move->machine, i))
			lt_verify_require(move->machine, i);
}

/* What came apart, and in which order; of joints that are void it is not known. */
static void carry_unplugging(struct move *move)
{
	struct lt_job_frame *now = move->now;
	const struct lt_job_frame *old = move->old;
	size_t *joint_at = none(&move->state->arena, old->joint_count); /* by its rank before */
	size_t count = 0;
	for (size_t i = 0; i < now->joint_count; i++) {
		const size_t from = move->from[i];
		now->asked[i] = from == LT_NONE || old->asked[from];
		if (from == LT_NONE)
			continue;
		now->exchanged[i] = old->exchanged[from];
		if (old->ranks[from] != LT_NONE)
			joint_at[old->ranks[from]] = i;
	}
	for (size_t rank = 0; rank < old->joint_count; rank++)
		if (joint_at[rank] != LT_NONE)
			now->ranks[joint_at[rank]] = count++;
	move->state->apart_count = count;
}

/* They stay, but cannot be taken back any more. The lines mostly follow each other as before. */
static void carry_ticks(struct move *move)
{
	struct lt_job_frame *now = move->now;
	const struct lt_job_frame *old = move->old;
	const size_t lines = now->plan->line_count;
	size_t next = 0;
	for (size_t i = 0; i < old->plan->line_count; i++) {
		const char *text = old->plan->lines[i].text;
		for (size_t k = 0; old->ticks[i].event != LT_NONE && k < lines; k++) {
			const size_t at = (next + k) % lines;
			if (now->ticks[at].event != LT_NONE ||
				strcmp(now->plan->lines[at].text, text) != 0)
				continue;
			now->ticks[at].event = old->ticks[i].event;
			next = at + 1;
			break;
		}
	}
}

/* Whether any joint is open at reconnect that was not. */
static bool opens_any(const struct move *move)
{
	for (size_t i = 0; i < move->now->joint_count; i++)
		if (move->from[i] == LT_NONE || is_opened(move, i))
			return true;
	return false;
}

static void carry(struct move *move)
{
	struct lt_job_state *state = move->state;
	/* Is to be there before it is carried over. */
	move->old_machine = lt_job_machine(state, LT_STAGE_RECONNECT);
	move->machine = move->now->stages[LT_STAGE_RECONNECT].machine;
	note_gone(state, move->became);
	carry_unplugging(move);
	for (int stage = 0; stage < LT_JOB_MACHINES; stage++)
		carry_stage(move, (enum lt_stage)stage);
	move->now->stale = !state->reconnecting;
	open_changed(move);
	ask_for_opened(move);
	carry_ticks(move);
}

static void replace_frame(struct lt_job_state *state, struct lt_job_frame *now,
	const struct lt_job_replan *replan, const size_t *index_was)
{
	struct move move = { .state = state, .now = now, .old = &state->frame };
	move.index_was = index_was;
	move.was = none(&state->arena, now->joint_count);
	move.became = none(&state->arena, state->frame.joint_count);
	move.from = lt_arena_array(&state->arena, now->joint_count, sizeof(*move.from));
	find_joints(&move, replan->changes, replan->change_count);
	carry(&move);
	const bool untick = opens_any(&move);
	lt_job_frame_finish(&state->frame);
	state->frame = *now;
	if (untick)
		lt_job_untick(state);
	/* The order in which joints came apart is that of the plan before. */
	lt_job_order_reconnect(&state->frame, lt_job_state_unplugging_known(state));
}

bool lt_job_take_plan(struct lt_job_state *state, const struct lt_job_event *event)
{
	struct lt_job_plan *plan = lt_arena_alloc(&state->arena, sizeof(*plan));
	const struct lt_job_plan *old = state->frame.plan;
	struct lt_job_replan replan = { .event = state->events, .plan = plan };
	struct lt_job_frame frame;
	if (event->text == NULL || !lt_job_plan_read(plan, &state->arena, event->text) ||
		(old != NULL && (plan->backdated || strcmp(plan->code, old->code) != 0)))
		return false;
	frame_begin(&frame, &state->arena, plan);
	if (old == NULL) {
		state->frame = frame;
		replan.voids_all = state->before_count > 0 && !plan->backdated;
	} else {
		struct lt_plan_change *changes;
		size_t *was = lt_arena_array(&state->arena, plan->joint_count, sizeof(*was));
		replan.change_count = lt_job_plan_compare(&changes, was, &state->arena, plan, old);
		replan.changes = changes;
		replace_frame(state, &frame, &replan, was);
	}
	state->plans = lt_grow(state->plans, &state->plan_room, state->plan_count + 1,
		sizeof(*state->plans));
	state->plans[state->plan_count++] = replan;
	return true;
}
