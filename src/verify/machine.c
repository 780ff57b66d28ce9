#include <stdlib.h>
#include <string.h>

#include "loomtag/verify.h"
#include "verify/machine.h"

static const struct lt_waiting nothing_pending = { LT_NONE, LT_SIDE_H, false };

static void index_numbers(struct lt_verify *verify)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++)
		if (verify->plan.joints[i].number > verify->number_max)
			verify->number_max = verify->plan.joints[i].number;
	const size_t size = (size_t)verify->number_max + 1;
	verify->joint_of = lt_alloc_array(size, sizeof(*verify->joint_of));
	for (size_t number = 0; number < size; number++)
		verify->joint_of[number] = LT_NONE;
	for (size_t i = 0; i < verify->plan.joint_count; i++)
		verify->joint_of[verify->plan.joints[i].number] = i;
}

/* Where some joints came apart, the others count as made. Where none did, nobody wrote it down. */
static const bool *came_apart(const struct lt_plan *plan)
{
	if (plan->stage != LT_STAGE_RECONNECT || plan->apart == NULL)
		return NULL;
	for (size_t i = 0; i < plan->joint_count; i++)
		if (plan->apart[i])
			return plan->apart;
	return NULL;
}

static void mark_needed(struct lt_verify *verify)
{
	const bool *const apart = came_apart(&verify->plan);
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		verify->made[i] = apart != NULL && !apart[i];
		verify->needed[i] = lt_joint_asked_for(&verify->plan, i) && !verify->made[i];
		verify->needed_count += verify->needed[i] ? 1 : 0;
	}
}

/* A joint that is made, or at stage unplug said to stay plugged in, holds up nothing. */
void lt_machine_tell_waits(struct lt_verify *verify, size_t joint)
{
	if (!lt_stage_ordered(verify->plan.stage))
		return;
	const bool stays = verify->plan.stage == LT_STAGE_UNPLUG && verify->skipped[joint];
	lt_waits_set(&verify->waits, joint, verify->made[joint] || stays);
}

struct lt_verify *lt_verify_create(const struct lt_plan *plan)
{
	struct lt_verify *verify = lt_alloc_array(1, sizeof(*verify));
	const size_t count = plan->joint_count, nodes = count + plan->passage_count;
	*verify = (struct lt_verify){ .plan = *plan };
	verify->made = lt_alloc_array(count + 1, sizeof(*verify->made));
	verify->typed = lt_alloc_array(count + 1, sizeof(*verify->typed));
	verify->skipped = lt_alloc_array(count + 1, sizeof(*verify->skipped));
	verify->needed = lt_alloc_array(count + 1, sizeof(*verify->needed));
	verify->stack = lt_alloc_array(nodes + 1, sizeof(*verify->stack));
	verify->walked = lt_alloc_array(nodes + 1, sizeof(*verify->walked));
	index_numbers(verify);
	mark_needed(verify);
	if (lt_stage_ordered(plan->stage)) {
		lt_waits_init(&verify->waits, plan, plan->stage == LT_STAGE_UNPLUG);
		for (size_t i = 0; i < count; i++)
			lt_machine_tell_waits(verify, i);
	}
	lt_wrongs_init(&verify->wrongs, count);
	lt_verify_station(verify, 1);
	return verify;
}

void lt_verify_destroy(struct lt_verify *verify)
{
	if (verify == NULL)
		return;
	free(verify->joint_of);
	lt_waits_finish(&verify->waits);
	free(verify->made);
	free(verify->typed);
	free(verify->skipped);
	free(verify->needed);
	free(verify->stations);
	free(verify->waiting);
	lt_wrongs_finish(&verify->wrongs);
	free(verify->stack);
	free(verify->walked);
	free(verify->journal);
	free(verify);
}

static struct lt_wrong wrong_of(const struct lt_verify *verify, const struct lt_waiting *h,
	const struct lt_waiting *mate)
{
	const struct lt_joint *joints = verify->plan.joints;
	return (struct lt_wrong){ { joints[h->joint].number, joints[mate->joint].number, mate->side,
					  h->side },
		h->joint, mate->joint };
}

/* Remembers a wrong mate until both its joints are made. */
static void add_wrong(struct lt_verify *verify, const struct lt_waiting *h,
	const struct lt_waiting *mate)
{
	const struct lt_wrong wrong = wrong_of(verify, h, mate);
	if (!lt_wrongs_has(&verify->wrongs, h->joint, mate->joint))
		lt_machine_add_wrong(verify, &wrong);
}

/* The same of one that was found before the plan: no joint is opened by it. Not for undo. */
static void know_wrong(struct lt_verify *verify, size_t h_joint, size_t mate_joint,
	const struct lt_wrong_mate *found)
{
	const struct lt_waiting h = { h_joint, found->h_side, false };
	const struct lt_waiting mate = { mate_joint, found->mate_side, false };
	const struct lt_wrong wrong = wrong_of(verify, &h, &mate);
	if (lt_wrongs_has(&verify->wrongs, h_joint, mate_joint))
		return;
	lt_wrongs_add(&verify->wrongs, &wrong);
	verify->journal_count = 0;
}

/* Resolves the wrong mates of a joint, in one of its parts, whose joints are both made now. */
static void resolve(struct lt_verify *verify, size_t joint, bool as_mate)
{
	size_t index = lt_wrongs_first(&verify->wrongs, joint, as_mate);
	while (index != LT_NONE) {
		const struct lt_wrong *wrong = &verify->wrongs.items[index];
		const size_t behind = lt_wrongs_behind(&verify->wrongs, index, as_mate);
		if (verify->made[wrong->h] && verify->made[wrong->m])
			lt_machine_resolve_wrong(verify, index);
		index = behind;
	}
}

static void make_joint(struct lt_verify *verify, size_t joint, bool typed)
{
	lt_machine_turn_made(verify, joint, typed);
	if (verify->skipped[joint])
		lt_machine_turn_skipped(verify, joint);
	resolve(verify, joint, false);
	resolve(verify, joint, true);
}

/* A joint that was left plugged in is needed from now on. */
static void open_one(struct lt_verify *verify, size_t joint)
{
	if (!verify->needed[joint])
		lt_machine_turn_needed(verify, joint);
	lt_machine_turn_made(verify, joint, false);
}

/* Opens a joint if it is made, or goes through a passage once in this opening; what lies behind it
 * is then looked at. */
static size_t open_node(struct lt_verify *verify, size_t node, size_t *top)
{
	const bool passage = node >= verify->plan.joint_count;
	if (passage ? verify->walked[node] == verify->opening : !verify->made[node])
		return 0;
	verify->walked[node] = verify->opening;
	verify->stack[(*top)++] = node;
	if (passage)
		return 0;
	open_one(verify, node);
	return 1;
}

/* Opens every made joint that comes after the `top` nodes on the stack; returns how many. An open
 * joint needs no following: what is made after it was left plugged in all the while it was open. */
static size_t open_behind(struct lt_verify *verify, size_t top)
{
	const struct lt_edges *const behind = &verify->waits.behind;
	size_t opened = 0;
	while (top > 0 && lt_stage_ordered(verify->plan.stage)) {
		const size_t at = verify->stack[--top];
		for (size_t k = behind->first[at]; k < behind->first[at + 1]; k++)
			opened += open_node(verify, behind->items[k], &top);
	}
	return opened;
}

/* Opens a made joint again and every made joint that comes after it; returns how many. */
static size_t open_again(struct lt_verify *verify, size_t joint)
{
	size_t top = 0;
	verify->opening++;
	const size_t opened = open_node(verify, joint, &top);
	return opened + open_behind(verify, top);
}

void lt_verify_open_after(struct lt_verify *verify, size_t joint)
{
	verify->opening++;
	verify->stack[0] = joint;
	open_behind(verify, 1);
	verify->journal_count = 0;
}

size_t lt_verify_joint(const struct lt_verify *verify, unsigned number)
{
	return number <= verify->number_max ? verify->joint_of[number] : LT_NONE;
}

unsigned lt_verify_blocked_by(const struct lt_verify *verify, size_t joint)
{
	if (!lt_stage_ordered(verify->plan.stage))
		return 0;
	const size_t first = lt_waits_for(&verify->waits, joint);
	return first == LT_NONE ? 0 : verify->plan.joints[first].number;
}

static void wait_here(struct lt_verify *verify, struct lt_waiting now)
{
	lt_machine_wait(verify, verify->seat, now);
}

/* A pair that was read whole settles where its two stickers are: neither waits any more. */
static void settle(struct lt_verify *verify, size_t joint)
{
	wait_here(verify, nothing_pending);
	for (unsigned seat = 0; verify->pending_count > 0 && seat < verify->seat_count; seat++)
		if (verify->waiting[seat].joint == joint)
			lt_machine_wait(verify, seat, nothing_pending);
}

/* The answer to both halves of a joint, or to the one sticker of a one-sided one. */
static enum lt_verdict judge_joint(const struct lt_verify *verify, struct lt_answer *answer,
	size_t joint, enum lt_verdict good)
{
	if (verify->made[joint]) {
		answer->left = !verify->needed[joint];
		return LT_VERDICT_REPEAT;
	}
	answer->blocked_by = lt_verify_blocked_by(verify, joint);
	return answer->blocked_by == 0 ? good : LT_VERDICT_OUT_OF_ORDER;
}

/* The answer to a sticker that belongs where it was scanned, of a two-sided joint. */
static enum lt_verdict judge_half(const struct lt_verify *verify, struct lt_answer *answer,
	size_t joint)
{
	const enum lt_side first = lt_first_side(verify->plan.stage);
	const struct lt_waiting old = verify->waiting[verify->seat];
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
	const enum lt_verdict refused = lt_refuse(&verify->plan, scan, joint);
	if (refused != LT_VERDICT_COUNT)
		return refused;
	if (lt_joint_single(&verify->plan, joint))
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

struct lt_answer lt_verify_recall(const struct lt_verify *verify, enum lt_verdict verdict,
	bool has_tag, unsigned number, enum lt_side side, bool typed)
{
	struct lt_answer answer = { .verdict = verdict,
		.has_tag = has_tag,
		.number = number,
		.side = side,
		.typed = typed };
	lt_verify_pending(verify, &answer.other, &answer.other_side);
	return answer;
}

/* What an answer takes for granted of its joint and of what is pending. */
static bool can_be(const struct lt_verify *verify, const struct lt_answer *answer, size_t joint)
{
	const struct lt_waiting *const old = &verify->waiting[verify->seat];
	switch (lt_verdict_row(answer->verdict)->effect) {
	case LT_EFFECT_NOTHING:
	case LT_EFFECT_DROP:
		return true;
	case LT_EFFECT_WAIT:
		return joint != LT_NONE;
	case LT_EFFECT_MAKE:
	case LT_EFFECT_EARLY:
		return joint != LT_NONE && !verify->made[joint];
	case LT_EFFECT_KEEP:
		return joint != LT_NONE && verify->made[joint];
	case LT_EFFECT_OPEN:
		return joint != LT_NONE && old->joint != LT_NONE && old->joint != joint &&
		       (old->side == lt_first_side(verify->plan.stage)) !=
			       (answer->side == lt_first_side(verify->plan.stage));
	}
	return false;
}

/* A pair of two joints: both are open. */
static void open_both(struct lt_verify *verify, struct lt_answer *answer, struct lt_waiting now)
{
	const enum lt_side first = lt_first_side(verify->plan.stage);
	const struct lt_waiting old = verify->waiting[verify->seat];
	const struct lt_waiting h = now.side == first ? now : old;
	const struct lt_waiting mate = now.side == first ? old : now;
	wait_here(verify, nothing_pending);
	answer->reopened = open_again(verify, h.joint) + open_again(verify, mate.joint);
	add_wrong(verify, &h, &mate);
}

static void take_effect(struct lt_verify *verify, struct lt_answer *answer, size_t joint)
{
	const struct lt_waiting now = { joint, answer->side, answer->typed };
	const struct lt_waiting old = verify->waiting[verify->seat];
	const bool typed = answer->typed || (old.joint == joint && old.typed &&
						    !lt_joint_single(&verify->plan, joint));
	switch (lt_verdict_row(answer->verdict)->effect) {
	case LT_EFFECT_NOTHING:
		break;
	case LT_EFFECT_DROP:
		wait_here(verify, nothing_pending);
		break;
	case LT_EFFECT_WAIT:
		wait_here(verify, now);
		break;
	case LT_EFFECT_KEEP:
		settle(verify, joint);
		break;
	case LT_EFFECT_MAKE:
		settle(verify, joint);
		make_joint(verify, joint, typed);
		break;
	case LT_EFFECT_EARLY:
		settle(verify, joint);
		/* What came apart too early is apart all the same. */
		if (verify->plan.stage == LT_STAGE_UNPLUG)
			make_joint(verify, joint, typed);
		break;
	case LT_EFFECT_OPEN:
		open_both(verify, answer, now);
		break;
	}
}

bool lt_verify_apply(struct lt_verify *verify, struct lt_answer *answer)
{
	const size_t joint = answer->has_tag ? lt_verify_joint(verify, answer->number) : LT_NONE;
	answer->reopened = 0;
	answer->changed = verify->changed = false;
	if (!can_be(verify, answer, joint))
		return false;
	take_effect(verify, answer, joint);
	answer->changed = verify->changed;
	return true;
}

struct lt_answer lt_verify_feed(struct lt_verify *verify, const char *scan, size_t length)
{
	struct lt_answer answer = lt_verify_judge(verify, scan, length);
	lt_verify_apply(verify, &answer);
	return answer;
}

void lt_verify_allow_typed(struct lt_verify *verify, bool typed)
{
	verify->plan.typed = typed;
}

bool lt_verify_skip(struct lt_verify *verify, unsigned number)
{
	const size_t joint = lt_verify_joint(verify, number);
	if (joint == LT_NONE || !lt_joint_asked_for(&verify->plan, joint))
		return false;
	verify->changed = false;
	if (!verify->made[joint] && !verify->skipped[joint])
		lt_machine_turn_skipped(verify, joint);
	return true;
}

bool lt_verify_require(struct lt_verify *verify, size_t joint)
{
	if (!lt_joint_asked_for(&verify->plan, joint))
		return false;
	verify->changed = false;
	open_again(verify, joint);
	if (!verify->needed[joint])
		lt_machine_turn_needed(verify, joint);
	/* No step of any station, so there is nothing before it that could be taken back. */
	if (verify->changed)
		verify->journal_count = 0;
	return verify->changed;
}

bool lt_verify_asks(const struct lt_verify *verify, size_t joint)
{
	return lt_joint_asked_for(&verify->plan, joint);
}

void lt_verify_ask(struct lt_verify *verify, size_t joint, bool asked)
{
	if (verify->needed[joint] == asked || verify->made[joint] ||
		!lt_joint_asked_for(&verify->plan, joint))
		return;
	lt_machine_turn_needed(verify, joint);
	verify->journal_count = 0;
}

static void carry_wrong(struct lt_verify *verify, const struct lt_verify *old, const size_t *was)
{
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(old, &wrong);
	if (count == 0)
		return;
	size_t *now = lt_alloc_array(old->plan.joint_count + 1, sizeof(*now));
	for (size_t i = 0; i < old->plan.joint_count; i++)
		now[i] = LT_NONE;
	for (size_t i = 0; i < verify->plan.joint_count; i++)
		if (was[i] != LT_NONE)
			now[was[i]] = i;
	for (size_t i = 0; i < count; i++) {
		const size_t h = now[lt_verify_joint(old, wrong[i].h)];
		const size_t mate = now[lt_verify_joint(old, wrong[i].m)];
		if (h != LT_NONE && mate != LT_NONE && lt_verify_asks(verify, h) &&
			lt_verify_asks(verify, mate))
			know_wrong(verify, h, mate, &wrong[i]);
	}
	free(now);
}

void lt_verify_carry(struct lt_verify *verify, const struct lt_verify *old, const size_t *from,
	const size_t *was)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		const size_t other = from[i];
		if (other == LT_NONE)
			continue;
		if (verify->needed[i] !=
			(old->needed[other] && lt_joint_asked_for(&verify->plan, i)))
			lt_machine_turn_needed(verify, i);
		if (verify->made[i] != old->made[other])
			lt_machine_turn_made(verify, i, old->typed[other]);
		if (verify->skipped[i] != old->skipped[other])
			lt_machine_turn_skipped(verify, i);
	}
	carry_wrong(verify, old, was);
	verify->journal_count = 0;
	verify->changed = false;
}

bool lt_verify_made(const struct lt_verify *verify, size_t joint)
{
	return verify->made[joint];
}

bool lt_verify_open(const struct lt_verify *verify, size_t node)
{
	if (node < verify->plan.joint_count)
		return !verify->made[node];
	return lt_stage_ordered(verify->plan.stage) && !verify->waits.done[node];
}

bool lt_verify_typed(const struct lt_verify *verify, size_t joint)
{
	return verify->typed[joint];
}

bool lt_verify_skipped(const struct lt_verify *verify, size_t joint)
{
	return verify->skipped[joint];
}

bool lt_verify_needed(const struct lt_verify *verify, size_t joint)
{
	return verify->needed[joint];
}

size_t lt_verify_needed_count(const struct lt_verify *verify)
{
	return verify->needed_count;
}

size_t lt_verify_made_count(const struct lt_verify *verify)
{
	return verify->made_count;
}

size_t lt_verify_typed_count(const struct lt_verify *verify)
{
	return verify->typed_count;
}

size_t lt_verify_wrong(const struct lt_verify *verify, const struct lt_wrong_mate **out)
{
	return lt_wrongs_list(&verify->wrongs, out);
}

bool lt_verify_ok(const struct lt_verify *verify)
{
	return verify->made_count == verify->needed_count && verify->wrongs.unresolved == 0 &&
	       verify->pending_count == 0;
}

const struct lt_plan *lt_verify_plan(const struct lt_verify *verify)
{
	return &verify->plan;
}

size_t lt_verify_next(const struct lt_verify *verify)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		const size_t joint = verify->plan.order[i];
		if (verify->needed[joint] && !verify->made[joint] && !verify->skipped[joint] &&
			lt_verify_blocked_by(verify, joint) == 0)
			return joint;
	}
	return LT_NONE;
}
