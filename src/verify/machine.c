#include "loomtag/verify.h"

#include <stdlib.h>
#include <string.h>

#include "loomtag/memory.h"
#include "wrong.h"

/* A sticker that waits for its other half. */
struct pending {
	size_t joint; /* LT_NONE: nothing is pending */
	enum lt_side side;
	bool typed;
};

/* One thing that a feed or skip changed, as it was before. */
enum change_kind { CHANGE_MADE, CHANGE_SKIPPED, CHANGE_PENDING, CHANGE_FOUND, CHANGE_RESOLVED };
struct change {
	unsigned char kind;
	unsigned char side; /* CHANGE_PENDING */
	bool first;         /* of its feed or skip: undo stops here */
	bool typed;         /* CHANGE_MADE, CHANGE_PENDING */
	size_t index;       /* of a joint, or of a wrong mate */
};

struct lt_verify {
	struct lt_plan plan;
	size_t *joint_of; /* by number, 0 to number_max */
	unsigned number_max;

	/* The joints that come directly after joint i: dependents[first_dependent[i]] up to
	 * first_dependent[i + 1]. None at stage tag. */
	size_t *first_dependent, *dependents;

	bool *made, *typed, *skipped;
	size_t made_count, typed_count;
	struct pending pending;

	struct lt_wrongs wrongs;

	size_t *stack; /* of joints to open again */

	struct change *journal;
	size_t journal_count, journal_room;
	bool changed; /* by this feed or skip */
};

static const struct pending nothing_pending = { LT_NONE, LT_SIDE_H, false };

const char *lt_verdict_name(enum lt_verdict verdict)
{
	static const char *const names[LT_VERDICT_COUNT] = { "half", "mated", "done", "repeat",
		"same-side", "wrong-mate", "out-of-order", "old-part", "foreign", "unknown",
		"misread" };
	return names[verdict];
}

const char *lt_stage_name(enum lt_stage stage)
{
	static const char *const names[LT_STAGE_COUNT] = { "tag", "unplug", "swap", "reconnect",
		"finish" };
	return names[stage];
}

bool lt_stage_read(enum lt_stage *out, const char *name)
{
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		*out = (enum lt_stage)stage;
		if (strcmp(name, lt_stage_name(*out)) == 0)
			return true;
	}
	return false;
}

/* How many joints must be made before this one, at this stage. */
static size_t after_count(const struct lt_verify *verify, size_t joint)
{
	return verify->plan.stage == LT_STAGE_TAG ? 0 : verify->plan.joints[joint].after_count;
}

/* Turns `after` round. */
static void index_dependents(struct lt_verify *verify)
{
	const size_t count = verify->plan.joint_count;
	size_t total = 0;
	for (size_t i = 0; i < count; i++) {
		for (size_t k = 0; k < after_count(verify, i); k++)
			verify->first_dependent[verify->plan.joints[i].after[k]]++;
		total += after_count(verify, i);
	}
	verify->dependents = lt_alloc_array(total + 1, sizeof(*verify->dependents));
	for (size_t i = 1; i <= count; i++)
		verify->first_dependent[i] += verify->first_dependent[i - 1];
	/* Each place now holds the end of its run; filling backwards leaves the start there. */
	for (size_t i = count; i-- > 0;)
		for (size_t k = after_count(verify, i); k-- > 0;) {
			const size_t before = verify->plan.joints[i].after[k];
			verify->dependents[--verify->first_dependent[before]] = i;
		}
}

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

struct lt_verify *lt_verify_create(const struct lt_plan *plan)
{
	struct lt_verify *verify = lt_alloc_array(1, sizeof(*verify));
	const size_t count = plan->joint_count;
	*verify = (struct lt_verify){ .plan = *plan, .pending = nothing_pending };
	verify->made = lt_alloc_array(count + 1, sizeof(*verify->made));
	verify->typed = lt_alloc_array(count + 1, sizeof(*verify->typed));
	verify->skipped = lt_alloc_array(count + 1, sizeof(*verify->skipped));
	verify->stack = lt_alloc_array(count + 1, sizeof(*verify->stack));
	verify->first_dependent = lt_alloc_array(count + 1, sizeof(*verify->first_dependent));
	index_numbers(verify);
	index_dependents(verify);
	lt_wrongs_init(&verify->wrongs, count);
	return verify;
}

void lt_verify_destroy(struct lt_verify *verify)
{
	if (verify == NULL)
		return;
	free(verify->joint_of);
	free(verify->first_dependent);
	free(verify->dependents);
	free(verify->made);
	free(verify->typed);
	free(verify->skipped);
	lt_wrongs_finish(&verify->wrongs);
	free(verify->stack);
	free(verify->journal);
	free(verify);
}

/* Remembers what is about to change. */
static void note(struct lt_verify *verify, struct change change)
{
	verify->journal = lt_grow(verify->journal, &verify->journal_room, verify->journal_count + 1,
		sizeof(*verify->journal));
	change.first = !verify->changed;
	verify->changed = true;
	verify->journal[verify->journal_count++] = change;
}

static void set_pending(struct lt_verify *verify, struct pending now)
{
	const struct pending old = verify->pending;
	if (old.joint == now.joint &&
		(old.joint == LT_NONE || (old.side == now.side && old.typed == now.typed)))
		return;
	note(verify, (struct change){ .kind = CHANGE_PENDING,
			     .side = (unsigned char)old.side,
			     .typed = old.typed,
			     .index = old.joint });
	verify->pending = now;
}

/* Opens a made joint, or makes an open one, and keeps count. */
static void turn_made(struct lt_verify *verify, size_t joint, bool typed)
{
	if (verify->made[joint]) {
		verify->made_count--;
		verify->typed_count -= verify->typed[joint] ? 1 : 0;
	} else {
		verify->made_count++;
		verify->typed_count += typed ? 1 : 0;
	}
	verify->made[joint] = !verify->made[joint];
	verify->typed[joint] = verify->made[joint] && typed;
}

static void change_made(struct lt_verify *verify, size_t joint, bool typed)
{
	note(verify, (struct change){
			     .kind = CHANGE_MADE, .typed = verify->typed[joint], .index = joint });
	turn_made(verify, joint, typed);
}

static void change_skipped(struct lt_verify *verify, size_t joint)
{
	note(verify, (struct change){ .kind = CHANGE_SKIPPED, .index = joint });
	verify->skipped[joint] = !verify->skipped[joint];
}

/* Remembers a wrong mate until both its joints are made. */
static void add_wrong(struct lt_verify *verify, const struct pending *h, const struct pending *mate)
{
	if (lt_wrongs_has(&verify->wrongs, h->joint, mate->joint))
		return;
	const struct lt_joint *joints = verify->plan.joints;
	const struct lt_wrong wrong = { { joints[h->joint].number, joints[mate->joint].number,
						mate->side },
		h->joint, mate->joint };
	note(verify, (struct change){ .kind = CHANGE_FOUND });
	lt_wrongs_add(&verify->wrongs, &wrong);
}

/* Resolves the wrong mates of a joint, in one of its parts, whose joints are both made now. */
static void resolve(struct lt_verify *verify, size_t joint, bool as_mate)
{
	size_t index = lt_wrongs_first(&verify->wrongs, joint, as_mate);
	while (index != LT_NONE) {
		const struct lt_wrong *wrong = &verify->wrongs.items[index];
		const size_t behind = lt_wrongs_behind(&verify->wrongs, index, as_mate);
		if (verify->made[wrong->h] && verify->made[wrong->m]) {
			note(verify, (struct change){ .kind = CHANGE_RESOLVED, .index = index });
			lt_wrongs_resolve(&verify->wrongs, index);
		}
		index = behind;
	}
}

static void make_joint(struct lt_verify *verify, size_t joint, bool typed)
{
	change_made(verify, joint, typed);
	if (verify->skipped[joint])
		change_skipped(verify, joint);
	resolve(verify, joint, false);
	resolve(verify, joint, true);
}

/* Opens a made joint again and every made joint that comes after it; returns how many. Nothing is
 * made that comes after an open joint, so an open one needs no following. */
static size_t open_again(struct lt_verify *verify, size_t joint)
{
	size_t opened = 0, top = 0;
	if (!verify->made[joint])
		return 0;
	change_made(verify, joint, false);
	verify->stack[top++] = joint;
	while (top > 0) {
		const size_t at = verify->stack[--top];
		opened++;
		for (size_t k = verify->first_dependent[at]; k < verify->first_dependent[at + 1];
			k++) {
			const size_t dependent = verify->dependents[k];
			if (!verify->made[dependent])
				continue;
			change_made(verify, dependent, false);
			verify->stack[top++] = dependent;
		}
	}
	return opened;
}

size_t lt_verify_joint(const struct lt_verify *verify, unsigned number)
{
	return number <= verify->number_max ? verify->joint_of[number] : LT_NONE;
}

unsigned lt_verify_blocked_by(const struct lt_verify *verify, size_t joint)
{
	for (size_t k = 0; k < after_count(verify, joint); k++) {
		const size_t before = verify->plan.joints[joint].after[k];
		if (!verify->made[before])
			return verify->plan.joints[before].number;
	}
	return 0;
}

/* The answer to both halves of a joint, or the one sticker of a one-sided one. */
static enum lt_verdict judge_joint(struct lt_verify *verify, struct lt_answer *answer, size_t joint,
	enum lt_verdict good, bool typed)
{
	set_pending(verify, nothing_pending);
	if (verify->made[joint])
		return LT_VERDICT_REPEAT;
	answer->blocked_by = lt_verify_blocked_by(verify, joint);
	if (answer->blocked_by != 0)
		return LT_VERDICT_OUT_OF_ORDER;
	make_joint(verify, joint, typed);
	return good;
}

/* A sticker that belongs where it was scanned, of a two-sided joint. */
static enum lt_verdict judge_half(struct lt_verify *verify, struct lt_answer *answer,
	struct pending now)
{
	const struct pending old = verify->pending;
	if (old.joint == LT_NONE || (old.side == LT_SIDE_H) == (now.side == LT_SIDE_H)) {
		set_pending(verify, now);
		return old.joint == LT_NONE ? LT_VERDICT_HALF : LT_VERDICT_SAME_SIDE;
	}
	if (old.joint == now.joint)
		return judge_joint(verify, answer, now.joint, LT_VERDICT_MATED,
			old.typed || now.typed);
	const struct pending h = now.side == LT_SIDE_H ? now : old;
	const struct pending mate = now.side == LT_SIDE_H ? old : now;
	set_pending(verify, nothing_pending);
	answer->reopened = open_again(verify, h.joint) + open_again(verify, mate.joint);
	add_wrong(verify, &h, &mate);
	return LT_VERDICT_WRONG_MATE;
}

static bool side_has_place(const struct lt_verify *verify, const struct lt_joint *joint,
	enum lt_side side)
{
	switch (side) {
	case LT_SIDE_H:
		return true;
	case LT_SIDE_X:
		return joint->has_x;
	default:
		/* While everything is still plugged in, the new part's sticker sticks to nothing
		 * here. */
		return joint->has_m && !(joint->has_x && verify->plan.stage == LT_STAGE_TAG);
	}
}

static bool is_on_old_part(const struct lt_joint *joint, enum lt_side side)
{
	return joint != NULL && ((side == LT_SIDE_X && (joint->has_x || joint->had_x)) ||
					(side == LT_SIDE_M && joint->m_is_old));
}

/* Why a scan is of no use here, or LT_VERDICT_COUNT when it is the sticker of joint `index`. */
static enum lt_verdict refuse(const struct lt_verify *verify, const struct lt_scan *scan,
	size_t index)
{
	const struct lt_joint *joint = index == LT_NONE ? NULL : &verify->plan.joints[index];
	const bool paper = joint != NULL && joint->paper;
	const bool has_place = joint != NULL && side_has_place(verify, joint, scan->side);
	if (scan->kind == LT_SCAN_MISREAD)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_TAG && !verify->plan.typed && !paper)
		return LT_VERDICT_MISREAD;
	if (scan->kind == LT_SCAN_CODE && strcmp(scan->code, verify->plan.code) != 0)
		return LT_VERDICT_FOREIGN;
	if (verify->plan.stage == LT_STAGE_RECONNECT && is_on_old_part(joint, scan->side))
		return LT_VERDICT_OLD_PART;
	if (!has_place)
		return LT_VERDICT_UNKNOWN;
	return LT_VERDICT_COUNT;
}

static enum lt_verdict judge(struct lt_verify *verify, struct lt_answer *answer,
	const struct lt_scan *scan)
{
	const size_t index = lt_verify_joint(verify, scan->number);
	const enum lt_verdict refused = refuse(verify, scan, index);
	if (refused != LT_VERDICT_COUNT) {
		if (refused != LT_VERDICT_MISREAD)
			set_pending(verify, nothing_pending);
		return refused;
	}
	if (!verify->plan.joints[index].has_m)
		return judge_joint(verify, answer, index, LT_VERDICT_DONE, answer->typed);
	return judge_half(verify, answer, (struct pending){ index, scan->side, answer->typed });
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

bool lt_verify_skip(struct lt_verify *verify, unsigned number)
{
	const size_t joint = lt_verify_joint(verify, number);
	if (joint == LT_NONE)
		return false;
	verify->changed = false;
	if (!verify->made[joint] && !verify->skipped[joint])
		change_skipped(verify, joint);
	return true;
}

static void take_back(struct lt_verify *verify, const struct change *change)
{
	switch ((enum change_kind)change->kind) {
	case CHANGE_MADE:
		turn_made(verify, change->index, change->typed);
		break;
	case CHANGE_SKIPPED:
		verify->skipped[change->index] = !verify->skipped[change->index];
		break;
	case CHANGE_PENDING:
		verify->pending = (struct pending){ change->index, (enum lt_side)change->side,
			change->typed };
		break;
	case CHANGE_FOUND:
		lt_wrongs_drop(&verify->wrongs);
		break;
	case CHANGE_RESOLVED:
		lt_wrongs_restore(&verify->wrongs, change->index);
		break;
	}
}

bool lt_verify_undo(struct lt_verify *verify)
{
	if (verify->journal_count == 0)
		return false;
	const struct change *change;
	do {
		change = &verify->journal[--verify->journal_count];
		take_back(verify, change);
	} while (!change->first);
	return true;
}

void lt_verify_drop_pending(struct lt_verify *verify)
{
	verify->changed = true; /* not the first change of a step of its own */
	set_pending(verify, nothing_pending);
}

bool lt_verify_made(const struct lt_verify *verify, size_t joint)
{
	return verify->made[joint];
}

bool lt_verify_skipped(const struct lt_verify *verify, size_t joint)
{
	return verify->skipped[joint];
}

size_t lt_verify_made_count(const struct lt_verify *verify)
{
	return verify->made_count;
}

size_t lt_verify_typed_count(const struct lt_verify *verify)
{
	return verify->typed_count;
}

bool lt_verify_pending(const struct lt_verify *verify, unsigned *number, enum lt_side *side)
{
	const bool any = verify->pending.joint != LT_NONE;
	*number = any ? verify->plan.joints[verify->pending.joint].number : 0;
	*side = any ? verify->pending.side : LT_SIDE_H;
	return any;
}

size_t lt_verify_wrong(const struct lt_verify *verify, const struct lt_wrong_mate **out)
{
	return lt_wrongs_list(&verify->wrongs, out);
}

bool lt_verify_ok(const struct lt_verify *verify)
{
	return verify->made_count == verify->plan.joint_count && verify->wrongs.unresolved == 0 &&
	       verify->pending.joint == LT_NONE;
}

const struct lt_plan *lt_verify_plan(const struct lt_verify *verify)
{
	return &verify->plan;
}

size_t lt_verify_next(const struct lt_verify *verify)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		const size_t joint = verify->plan.order[i];
		if (!verify->made[joint] && !verify->skipped[joint] &&
			lt_verify_blocked_by(verify, joint) == 0)
			return joint;
	}
	return LT_NONE;
}
