#include "loomtag/verify.h"

#include <stdlib.h>
#include <string.h>

#include "loomtag/memory.h"
#include "machine.h"

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

struct lt_verify *lt_verify_create(const struct lt_plan *plan)
{
	struct lt_verify *verify = lt_alloc_array(1, sizeof(*verify));
	const size_t count = plan->joint_count;
	*verify = (struct lt_verify){ .plan = *plan };
	verify->made = lt_alloc_array(count + 1, sizeof(*verify->made));
	verify->typed = lt_alloc_array(count + 1, sizeof(*verify->typed));
	verify->skipped = lt_alloc_array(count + 1, sizeof(*verify->skipped));
	verify->needed = lt_alloc_array(count + 1, sizeof(*verify->needed));
	verify->stack = lt_alloc_array(count + 1, sizeof(*verify->stack));
	index_numbers(verify);
	lt_dependents_init(&verify->dependents, plan->joints, count);
	mark_needed(verify);
	lt_wrongs_init(&verify->wrongs, count);
	lt_verify_station(verify, 1);
	return verify;
}

void lt_verify_destroy(struct lt_verify *verify)
{
	if (verify == NULL)
		return;
	free(verify->joint_of);
	lt_dependents_finish(&verify->dependents);
	free(verify->made);
	free(verify->typed);
	free(verify->skipped);
	free(verify->needed);
	free(verify->stations);
	free(verify->waiting);
	lt_wrongs_finish(&verify->wrongs);
	free(verify->stack);
	free(verify->journal);
	free(verify);
}

/* Remembers a wrong mate until both its joints are made. */
static void add_wrong(struct lt_verify *verify, const struct lt_waiting *h,
	const struct lt_waiting *mate)
{
	if (lt_wrongs_has(&verify->wrongs, h->joint, mate->joint))
		return;
	const struct lt_joint *joints = verify->plan.joints;
	const struct lt_wrong wrong = { { joints[h->joint].number, joints[mate->joint].number,
						mate->side, h->side },
		h->joint, mate->joint };
	lt_machine_add_wrong(verify, &wrong);
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

/* Opens a made joint again and every made joint that comes after it; returns how many. An open
 * joint needs no following: what is made after it was left plugged in all the while it was open. */
static size_t open_again(struct lt_verify *verify, size_t joint)
{
	const struct lt_dependents *const dependents = &verify->dependents;
	const bool ordered = lt_stage_ordered(verify->plan.stage);
	size_t opened = 0, top = 0;
	if (!verify->made[joint])
		return 0;
	open_one(verify, joint);
	verify->stack[top++] = joint;
	while (top > 0) {
		const size_t at = verify->stack[--top];
		opened++;
		for (size_t k = dependents->first[at]; ordered && k < dependents->first[at + 1];
			k++) {
			const size_t dependent = dependents->items[k];
			if (!verify->made[dependent])
				continue;
			open_one(verify, dependent);
			verify->stack[top++] = dependent;
		}
	}
	return opened;
}

size_t lt_verify_joint(const struct lt_verify *verify, unsigned number)
{
	return number <= verify->number_max ? verify->joint_of[number] : LT_NONE;
}

/* The first joint that comes after this one and is plugged in, with nobody having said that it
 * stays so. */
static unsigned held_by(const struct lt_verify *verify, size_t joint)
{
	const struct lt_dependents *const dependents = &verify->dependents;
	for (size_t k = dependents->first[joint]; k < dependents->first[joint + 1]; k++) {
		const size_t dependent = dependents->items[k];
		if (!verify->made[dependent] && !verify->skipped[dependent])
			return verify->plan.joints[dependent].number;
	}
	return 0;
}

/* The first joint that must be made before this one and is open. */
static unsigned waits_for(const struct lt_verify *verify, size_t joint)
{
	const struct lt_joint *const described = &verify->plan.joints[joint];
	for (size_t k = 0; k < described->after_count; k++)
		if (!verify->made[described->after[k]])
			return verify->plan.joints[described->after[k]].number;
	return 0;
}

unsigned lt_verify_blocked_by(const struct lt_verify *verify, size_t joint)
{
	if (!lt_stage_ordered(verify->plan.stage))
		return 0;
	return verify->plan.stage == LT_STAGE_UNPLUG ? held_by(verify, joint)
						     : waits_for(verify, joint);
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

/* The answer to both halves of a joint, or the one sticker of a one-sided one. */
static enum lt_verdict judge_joint(struct lt_verify *verify, struct lt_answer *answer, size_t joint,
	enum lt_verdict good, bool typed)
{
	settle(verify, joint);
	if (verify->made[joint]) {
		answer->left = !verify->needed[joint];
		return LT_VERDICT_REPEAT;
	}
	answer->blocked_by = lt_verify_blocked_by(verify, joint);
	/* What came apart too early is apart all the same. */
	if (answer->blocked_by == 0 || verify->plan.stage == LT_STAGE_UNPLUG)
		make_joint(verify, joint, typed);
	return answer->blocked_by == 0 ? good : LT_VERDICT_OUT_OF_ORDER;
}

/* A sticker that belongs where it was scanned, of a two-sided joint. */
static enum lt_verdict judge_half(struct lt_verify *verify, struct lt_answer *answer,
	struct lt_waiting now)
{
	const enum lt_side first = lt_first_side(verify->plan.stage);
	const struct lt_waiting old = verify->waiting[verify->seat];
	if (old.joint == LT_NONE || (old.side == first) == (now.side == first)) {
		wait_here(verify, now);
		return old.joint == LT_NONE ? LT_VERDICT_HALF : LT_VERDICT_SAME_SIDE;
	}
	if (old.joint == now.joint)
		return judge_joint(verify, answer, now.joint, LT_VERDICT_MATED,
			old.typed || now.typed);
	const struct lt_waiting h = now.side == first ? now : old;
	const struct lt_waiting mate = now.side == first ? old : now;
	wait_here(verify, nothing_pending);
	answer->reopened = open_again(verify, h.joint) + open_again(verify, mate.joint);
	add_wrong(verify, &h, &mate);
	return LT_VERDICT_WRONG_MATE;
}

static enum lt_verdict judge(struct lt_verify *verify, struct lt_answer *answer,
	const struct lt_scan *scan)
{
	const size_t index = lt_verify_joint(verify, scan->number);
	const enum lt_verdict refused = lt_refuse(&verify->plan, scan, index);
	if (refused != LT_VERDICT_COUNT) {
		if (refused != LT_VERDICT_MISREAD)
			wait_here(verify, nothing_pending);
		return refused;
	}
	if (lt_joint_single(&verify->plan, index))
		return judge_joint(verify, answer, index, LT_VERDICT_DONE, answer->typed);
	return judge_half(verify, answer, (struct lt_waiting){ index, scan->side, answer->typed });
}

struct lt_answer lt_verify_feed(struct lt_verify *verify, const char *scan, size_t length)
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
	verify->changed = false;
	answer.verdict = judge(verify, &answer, &read);
	answer.changed = verify->changed;
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
	/* No step of any station, so there is nothing before it that could be taken back. */
	if (verify->changed)
		verify->journal_count = 0;
	return verify->changed;
}

bool lt_verify_made(const struct lt_verify *verify, size_t joint)
{
	return verify->made[joint];
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
