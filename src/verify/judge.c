/* Verdicts: which sticker counts at which stage, which verdict a scan gets, and what the verdict
 * does. */
#include <string.h>

#include "verify/machine.h"

static const struct lt_verdict_row rows[LT_VERDICT_COUNT] = {
	[LT_VERDICT_HALF] = { "half", LT_EFFECT_WAIT, LT_TONE_WAIT, true },
	[LT_VERDICT_MATED] = { "mated", LT_EFFECT_MAKE, LT_TONE_GOOD, true },
	[LT_VERDICT_DONE] = { "done", LT_EFFECT_MAKE, LT_TONE_GOOD, true },
	[LT_VERDICT_REPEAT] = { "repeat", LT_EFFECT_KEEP, LT_TONE_GOOD, true },
	[LT_VERDICT_SAME_SIDE] = { "same-side", LT_EFFECT_WAIT, LT_TONE_WRONG, true },
	[LT_VERDICT_WRONG_MATE] = { "wrong-mate", LT_EFFECT_OPEN, LT_TONE_WRONG, true },
	[LT_VERDICT_OUT_OF_ORDER] = { "out-of-order", LT_EFFECT_EARLY, LT_TONE_WRONG, true },
	[LT_VERDICT_OLD_PART] = { "old-part", LT_EFFECT_DROP, LT_TONE_WRONG, false },
	[LT_VERDICT_FOREIGN] = { "foreign", LT_EFFECT_DROP, LT_TONE_WRONG, false },
	[LT_VERDICT_UNKNOWN] = { "unknown", LT_EFFECT_DROP, LT_TONE_WRONG, false },
	[LT_VERDICT_MISREAD] = { "misread", LT_EFFECT_NOTHING, LT_TONE_WRONG, false },
};

const struct lt_verdict_row *lt_verdict_row(enum lt_verdict verdict)
{
	return &rows[verdict];
}

const char *lt_verdict_name(enum lt_verdict verdict)
{
	return rows[verdict].key;
}

bool lt_verdict_read(enum lt_verdict *out, const char *key)
{
	int verdict = 0;
	while (key != NULL && verdict < LT_VERDICT_COUNT && strcmp(key, rows[verdict].key) != 0)
		verdict++;
	*out = (enum lt_verdict)verdict;
	return key != NULL && verdict < LT_VERDICT_COUNT;
}

const char *lt_stage_name(enum lt_stage stage)
{
	static const char *const names[LT_STAGE_COUNT] = { "tag", "unplug", "swap", "reconnect",
		"finish" };
	return names[stage];
}

bool lt_stage_read(enum lt_stage *out, const char *name)
{
	int stage = 0;
	while (stage < LT_STAGE_COUNT && strcmp(name, lt_stage_name((enum lt_stage)stage)) != 0)
		stage++;
	*out = (enum lt_stage)stage;
	return stage < LT_STAGE_COUNT;
}

/* True when a sticker is answered by itself, with nothing pending. */
static bool is_single(const struct lt_plan *plan, size_t joint)
{
	return plan->stage == LT_STAGE_UNPLUG || !plan->joints[joint].has_m;
}

/* The side that belongs with all others: H, or X at stage swap. */
static enum lt_side first_side(enum lt_stage stage)
{
	return stage == LT_STAGE_SWAP ? LT_SIDE_X : LT_SIDE_H;
}

static bool has_place(const struct lt_joint *joint, enum lt_side side, enum lt_stage stage)
{
	if (stage >= LT_STAGE_FINISH)
		return false;
	if (side == LT_SIDE_H)
		return stage != LT_STAGE_SWAP;
	if (side == LT_SIDE_X || stage == LT_STAGE_SWAP)
		return joint->has_x && (side == LT_SIDE_X || joint->has_m);
	/* While everything is still plugged in, the new part's sticker sticks to nothing here. */
	const bool in_machine = stage == LT_STAGE_RECONNECT || !joint->has_x ||
				(stage == LT_STAGE_UNPLUG && joint->m_is_old);
	return joint->has_m && in_machine;
}

/* On a part that is out of the machine, or goes out, where the stage wants the one that stays. */
static bool is_on_old_part(const struct lt_joint *joint, enum lt_side side, enum lt_stage stage)
{
	if (side == LT_SIDE_M)
		return joint->m_is_old &&
		       (stage == LT_STAGE_RECONNECT || (stage == LT_STAGE_SWAP && joint->has_x));
	return side == LT_SIDE_X && stage == LT_STAGE_RECONNECT && (joint->has_x || joint->had_x);
}

/* Why a scan is of no use at this stage, or LT_VERDICT_COUNT when it is a live sticker of joint
 * `index` (LT_NONE: no such number). */
static enum lt_verdict refuse(const struct lt_plan *plan, const struct lt_scan *scan, size_t index)
{
	const struct lt_joint *joint = index == LT_NONE ? NULL : &plan->joints[index];
	const bool paper = joint != NULL && joint->paper;
	if (scan->kind == LT_SCAN_MISREAD)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_TAG && !plan->typed && !paper)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_CODE && strcmp(scan->code, plan->code) != 0)
		return LT_VERDICT_FOREIGN;
	if (joint == NULL)
		return LT_VERDICT_UNKNOWN;
	if (is_on_old_part(joint, scan->side, plan->stage))
		return LT_VERDICT_OLD_PART;
	if (!has_place(joint, scan->side, plan->stage))
		return LT_VERDICT_UNKNOWN;
	return LT_VERDICT_COUNT;
}

/* The answer to both halves of a joint, or to the one sticker of a one-sided one. */
static enum lt_verdict judge_joint(const struct lt_verify *verify, struct lt_answer *answer,
	size_t joint, enum lt_verdict good)
{
	if (verify->is[joint].made) {
		answer->left = !verify->is[joint].needed;
		return LT_VERDICT_REPEAT;
	}
	answer->blocked_by = lt_verify_blocked_by(verify, joint);
	return answer->blocked_by == 0 ? good : LT_VERDICT_OUT_OF_ORDER;
}

/* The answer to a sticker that belongs where it was scanned, of a two-sided joint. */
static enum lt_verdict judge_half(const struct lt_verify *verify, struct lt_answer *answer,
	size_t joint)
{
	const enum lt_side first = first_side(verify->plan.stage);
	const struct lt_waiting old = verify->seats[verify->seat].waiting;
	if (old.joint == LT_NONE)
		return LT_VERDICT_HALF;
	if ((old.side == first) == (answer->side == first))
		return LT_VERDICT_SAME_SIDE;
	if (old.joint == joint)
		return judge_joint(verify, answer, joint, LT_VERDICT_MATED);
	return LT_VERDICT_WRONG_MATE;
}

static enum lt_verdict judge(const struct lt_verify *verify, struct lt_answer *answer,
	const struct lt_scan *scan)
{
	const size_t joint = lt_verify_joint(verify, scan->number);
	const enum lt_verdict refused = refuse(&verify->plan, scan, joint);
	if (refused != LT_VERDICT_COUNT)
		return refused;
	if (is_single(&verify->plan, joint))
		return judge_joint(verify, answer, joint, LT_VERDICT_DONE);
	return judge_half(verify, answer, joint);
}

struct lt_answer lt_verify_judge(const struct lt_verify *verify, const char *scan, size_t length)
{
	struct lt_answer answer = { 0 };
	struct lt_scan read = { .kind = LT_SCAN_MISREAD };
	lt_scan_read(&read, scan, length);
	if (read.kind != LT_SCAN_MISREAD) {
		answer.has_tag = true;
		answer.number = read.number;
		answer.side = read.side;
		answer.typed = read.kind == LT_SCAN_TAG;
		if (!answer.typed)
			memcpy(answer.code, read.code, sizeof(answer.code));
	}
	lt_verify_pending(verify, &answer.other, &answer.other_side);
	answer.verdict = judge(verify, &answer, &read);
	return answer;
}

/* What an answer takes for granted of its joint and of what is pending. */
static bool can_be(const struct lt_verify *verify, const struct lt_answer *answer, size_t joint)
{
	const struct lt_waiting *const old = &verify->seats[verify->seat].waiting;
	switch (lt_verdict_row(answer->verdict)->effect) {
	case LT_EFFECT_NOTHING:
	case LT_EFFECT_DROP:
		return true;
	case LT_EFFECT_WAIT:
		return joint != LT_NONE;
	case LT_EFFECT_MAKE:
	case LT_EFFECT_EARLY:
		return joint != LT_NONE && !verify->is[joint].made;
	case LT_EFFECT_KEEP:
		return joint != LT_NONE && verify->is[joint].made;
	case LT_EFFECT_OPEN:
		return joint != LT_NONE && old->joint != LT_NONE && old->joint != joint &&
		       (old->side == first_side(verify->plan.stage)) !=
			       (answer->side == first_side(verify->plan.stage));
	}
	return false;
}

/* A pair that was read whole settles where its two stickers are: neither waits any more. */
static void settle(struct lt_verify *verify, size_t joint)
{
	lt_machine_wait(verify, verify->seat, lt_nothing_waits);
	for (unsigned seat = 0; verify->pending_count > 0 && seat < verify->seat_count; seat++)
		if (verify->seats[seat].waiting.joint == joint)
			lt_machine_wait(verify, seat, lt_nothing_waits);
}

/* A pair of two joints: both are open. */
static void open_both(struct lt_verify *verify, struct lt_answer *answer, struct lt_waiting now)
{
	const enum lt_side first = first_side(verify->plan.stage);
	const struct lt_waiting old = verify->seats[verify->seat].waiting;
	const struct lt_waiting h = now.side == first ? now : old;
	const struct lt_waiting mate = now.side == first ? old : now;
	lt_machine_wait(verify, verify->seat, lt_nothing_waits);
	answer->reopened = lt_machine_open(verify, h.joint) + lt_machine_open(verify, mate.joint);
	lt_machine_add_wrong(verify, &h, &mate);
}

static void take_effect(struct lt_verify *verify, struct lt_answer *answer, size_t joint)
{
	const struct lt_waiting now = { joint, answer->side, answer->typed };
	const struct lt_waiting old = verify->seats[verify->seat].waiting;
	const bool typed = answer->typed ||
			   (old.joint == joint && old.typed && !is_single(&verify->plan, joint));
	switch (lt_verdict_row(answer->verdict)->effect) {
	case LT_EFFECT_NOTHING:
		break;
	case LT_EFFECT_DROP:
		lt_machine_wait(verify, verify->seat, lt_nothing_waits);
		break;
	case LT_EFFECT_WAIT:
		lt_machine_wait(verify, verify->seat, now);
		break;
	case LT_EFFECT_KEEP:
		settle(verify, joint);
		break;
	case LT_EFFECT_MAKE:
		settle(verify, joint);
		lt_machine_make(verify, joint, typed);
		break;
	case LT_EFFECT_EARLY:
		settle(verify, joint);
		/* What came apart too early is apart all the same. */
		if (verify->plan.stage == LT_STAGE_UNPLUG)
			lt_machine_make(verify, joint, typed);
		break;
	case LT_EFFECT_OPEN:
		open_both(verify, answer, now);
		break;
	}
}

bool lt_verify_apply(struct lt_verify *verify, struct lt_answer *answer)
{
	const size_t joint = answer->has_tag ? lt_verify_joint(verify, answer->number) : LT_NONE;
	lt_verify_pending(verify, &answer->other, &answer->other_side);
	answer->reopened = 0;
	answer->changed = verify->changed = false;
	if (!can_be(verify, answer, joint))
		return false;
	take_effect(verify, answer, joint);
	answer->changed = verify->changed;
	return true;
}
