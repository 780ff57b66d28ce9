/* The state of joints, stations and wrong mates: its changes, and taking them back. */
#include <stdlib.h>

#include "verify/machine.h"

const struct lt_waiting lt_nothing_waits = { LT_NONE, LT_SIDE_H, false };

static void index_numbers(struct lt_verify *verify)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++)
		if (verify->plan.joints[i].number > verify->number_max)
			verify->number_max = verify->plan.joints[i].number;
	const size_t size = (size_t)verify->number_max + 1;
	verify->joint_of = lt_arena_array(&verify->arena, size, sizeof(*verify->joint_of));
	for (size_t number = 0; number < size; number++)
		verify->joint_of[number] = LT_NONE;
	for (size_t i = 0; i < verify->plan.joint_count; i++)
		verify->joint_of[verify->plan.joints[i].number] = i;
}

/* Where some joints came apart, the others count as made. Where none did, nobody wrote it down. */
static const bool *recorded_apart(const struct lt_plan *plan)
{
	if (plan->stage != LT_STAGE_RECONNECT || plan->apart == NULL)
		return NULL;
	for (size_t i = 0; i < plan->joint_count; i++)
		if (plan->apart[i])
			return plan->apart;
	return NULL;
}

bool lt_verify_asks(const struct lt_verify *verify, size_t joint)
{
	return verify->plan.stage != LT_STAGE_SWAP || verify->plan.joints[joint].has_x;
}

static void describe_joints(struct lt_verify *verify)
{
	const bool *const apart = recorded_apart(&verify->plan);
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		struct lt_standing *is = &verify->is[i];
		is->made = apart != NULL && !apart[i];
		is->needed = lt_verify_asks(verify, i) && !is->made;
		is->newest[0] = is->newest[1] = LT_NONE;
		verify->needed_count += is->needed ? 1 : 0;
	}
}

/* A joint that is made, or at stage unplug said to stay plugged in, holds up nothing. */
static void update_waiting(struct lt_verify *verify, size_t joint)
{
	if (!lt_stage_ordered(verify->plan.stage))
		return;
	const bool stays = verify->plan.stage == LT_STAGE_UNPLUG && verify->is[joint].skipped;
	lt_waits_set(&verify->waits, joint, verify->is[joint].made || stays);
}

struct lt_verify *lt_verify_create(const struct lt_plan *plan)
{
	struct lt_verify *verify = lt_alloc_array(1, sizeof(*verify));
	const size_t count = plan->joint_count, nodes = count + plan->passage_count;
	*verify = (struct lt_verify){ .plan = *plan };
	verify->is = lt_arena_array(&verify->arena, count, sizeof(*verify->is));
	verify->stack = lt_arena_array(&verify->arena, nodes + 1, sizeof(*verify->stack));
	verify->walked = lt_arena_array(&verify->arena, nodes, sizeof(*verify->walked));
	index_numbers(verify);
	describe_joints(verify);
	if (lt_stage_ordered(plan->stage)) {
		lt_waits_init(&verify->waits, plan, &verify->arena);
		for (size_t i = 0; i < count; i++)
			update_waiting(verify, i);
	}
	lt_verify_station(verify, 1);
	return verify;
}

void lt_verify_destroy(struct lt_verify *verify)
{
	if (verify == NULL)
		return;
	free(verify->seats);
	free(verify->wrongs);
	free(verify->shown);
	free(verify->journal);
	lt_arena_finish(&verify->arena);
	free(verify);
}

/* Remembers what is about to change. */
static void note(struct lt_verify *verify, struct lt_change change)
{
	verify->journal = lt_grow(verify->journal, &verify->journal_room, verify->journal_count + 1,
		sizeof(*verify->journal));
	change.first = !verify->changed;
	change.by = verify->seat;
	verify->changed = true;
	verify->journal[verify->journal_count++] = change;
}

/* Takes a joint into the counts, or out of them. */
static void count(struct lt_verify *verify, size_t joint, bool in)
{
	const struct lt_standing *is = &verify->is[joint];
	size_t *const counts[] = { &verify->needed_count, &verify->made_count,
		&verify->typed_count };
	const bool counted[] = { is->needed, is->made && is->needed, is->typed };
	for (size_t i = 0; i < 3; i++) {
		if (counted[i] && in)
			++*counts[i];
		else if (counted[i])
			--*counts[i];
	}
}

/* Turns round whether a joint is made, skipped or needed. */
static void turn(struct lt_verify *verify, enum lt_change_kind kind, size_t joint, bool typed)
{
	struct lt_standing *is = &verify->is[joint];
	count(verify, joint, false);
	if (kind == LT_CHANGE_MADE) {
		is->made = !is->made;
		is->typed = is->made && typed;
	} else if (kind == LT_CHANGE_NEEDED) {
		is->needed = !is->needed;
	} else {
		is->skipped = !is->skipped;
	}
	count(verify, joint, true);
	update_waiting(verify, joint);
}

/* The same, to be remembered. */
static void turn_noted(struct lt_verify *verify, enum lt_change_kind kind, size_t joint, bool typed)
{
	note(verify, (struct lt_change){
			     .kind = kind, .typed = verify->is[joint].typed, .index = joint });
	turn(verify, kind, joint, typed);
}

static void put_waiting(struct lt_verify *verify, unsigned seat, struct lt_waiting now)
{
	verify->pending_count -= verify->seats[seat].waiting.joint != LT_NONE ? 1 : 0;
	verify->pending_count += now.joint != LT_NONE ? 1 : 0;
	verify->seats[seat].waiting = now;
}

void lt_machine_wait(struct lt_verify *verify, unsigned seat, struct lt_waiting now)
{
	const struct lt_waiting old = verify->seats[seat].waiting;
	if (old.joint == now.joint &&
		(old.joint == LT_NONE || (old.side == now.side && old.typed == now.typed)))
		return;
	note(verify, (struct lt_change){ .kind = LT_CHANGE_PENDING,
			     .side = old.side,
			     .typed = old.typed,
			     .seat = seat,
			     .index = old.joint });
	put_waiting(verify, seat, now);
}

/* The last wrong mate that was found goes in; its lists are those of its joints. */
static void link_last(struct lt_verify *verify, bool in)
{
	struct lt_wrong *wrong = &verify->wrongs[verify->wrong_count - 1];
	for (int part = 0; part < 2; part++) {
		size_t *newest = &verify->is[wrong->joints[part]].newest[part];
		if (in)
			wrong->older[part] = *newest;
		*newest = in ? verify->wrong_count - 1 : wrong->older[part];
	}
}

void lt_machine_add_wrong(struct lt_verify *verify, const struct lt_waiting *h,
	const struct lt_waiting *mate)
{
	const struct lt_joint *joints = verify->plan.joints;
	for (size_t i = verify->is[h->joint].newest[0]; i != LT_NONE;
		i = verify->wrongs[i].older[0])
		if (!verify->wrongs[i].resolved && verify->wrongs[i].joints[1] == mate->joint)
			return;
	note(verify, (struct lt_change){ .kind = LT_CHANGE_FOUND });
	verify->wrongs = lt_grow(verify->wrongs, &verify->wrong_room, verify->wrong_count + 1,
		sizeof(*verify->wrongs));
	verify->wrongs[verify->wrong_count++] = (struct lt_wrong){
		.pair = { joints[h->joint].number, joints[mate->joint].number, mate->side,
			h->side },
		.joints = { h->joint, mate->joint },
	};
	verify->unresolved++;
	link_last(verify, true);
}

/* Resolves the wrong mates of a joint whose joints are both made now. */
static void resolve(struct lt_verify *verify, size_t joint)
{
	for (int part = 0; part < 2; part++) {
		for (size_t i = verify->is[joint].newest[part]; i != LT_NONE;
			i = verify->wrongs[i].older[part]) {
			struct lt_wrong *wrong = &verify->wrongs[i];
			if (wrong->resolved || !verify->is[wrong->joints[1 - part]].made)
				continue;
			note(verify, (struct lt_change){ .kind = LT_CHANGE_RESOLVED, .index = i });
			wrong->resolved = true;
			verify->unresolved--;
		}
	}
}

void lt_machine_make(struct lt_verify *verify, size_t joint, bool typed)
{
	turn_noted(verify, LT_CHANGE_MADE, joint, typed);
	if (verify->is[joint].skipped)
		turn_noted(verify, LT_CHANGE_SKIPPED, joint, false);
	resolve(verify, joint);
}

static void take_back(struct lt_verify *verify, const struct lt_change *change)
{
	switch (change->kind) {
	case LT_CHANGE_MADE:
	case LT_CHANGE_NEEDED:
	case LT_CHANGE_SKIPPED:
		turn(verify, change->kind, change->index, change->typed);
		break;
	case LT_CHANGE_PENDING:
		put_waiting(verify, change->seat,
			(struct lt_waiting){ change->index, change->side, change->typed });
		break;
	case LT_CHANGE_FOUND:
		link_last(verify, false);
		verify->wrong_count--;
		verify->unresolved--;
		break;
	case LT_CHANGE_RESOLVED:
		verify->wrongs[change->index].resolved = false;
		verify->unresolved++;
		break;
	}
}

/* Where the last step begins; there is one. */
static const struct lt_change *last_step(const struct lt_verify *verify)
{
	const struct lt_change *change = &verify->journal[verify->journal_count - 1];
	while (!change->first)
		change--;
	return change;
}

bool lt_verify_undo(struct lt_verify *verify)
{
	if (verify->journal_count == 0 || last_step(verify)->by != verify->seat)
		return false;
	const struct lt_change *change;
	do {
		change = &verify->journal[--verify->journal_count];
		take_back(verify, change);
	} while (!change->first);
	return true;
}

void lt_verify_drop_pending(struct lt_verify *verify)
{
	if (verify->journal_count == 0) {
		put_waiting(verify, verify->seat, lt_nothing_waits);
		return;
	}
	verify->changed = true; /* not the first change of a step of its own */
	lt_machine_wait(verify, verify->seat, lt_nothing_waits);
}

void lt_verify_station(struct lt_verify *verify, unsigned station)
{
	unsigned seat = 0;
	while (seat < verify->seat_count && verify->seats[seat].station != station)
		seat++;
	verify->seat = seat;
	if (seat < verify->seat_count)
		return;
	verify->seat_count++;
	verify->seats = lt_grow(verify->seats, &verify->seat_room, verify->seat_count,
		sizeof(*verify->seats));
	verify->seats[seat] = (struct lt_seat){ station, lt_nothing_waits };
}

/* Opens a joint if it is made, or goes through a passage once in this opening; what lies behind it
 * is then looked at. */
static size_t open_node(struct lt_verify *verify, size_t node, size_t *top)
{
	const bool passage = node >= verify->plan.joint_count;
	if (passage ? verify->walked[node] == verify->opening : !verify->is[node].made)
		return 0;
	verify->walked[node] = verify->opening;
	verify->stack[(*top)++] = node;
	if (passage)
		return 0;
	/* One that was left plugged in is needed from now on. */
	if (!verify->is[node].needed)
		turn_noted(verify, LT_CHANGE_NEEDED, node, false);
	turn_noted(verify, LT_CHANGE_MADE, node, false);
	return 1;
}

/* Opens every made joint that comes after the `top` nodes on the stack; returns how many. An open
 * joint needs no following: what is made after it was left plugged in all the while it was open. */
static size_t open_following(struct lt_verify *verify, size_t top)
{
	size_t opened = 0;
	while (top > 0 && lt_stage_ordered(verify->plan.stage)) {
		const struct lt_indices *behind = &verify->waits.behind[verify->stack[--top]];
		for (size_t k = 0; k < behind->count; k++)
			opened += open_node(verify, behind->items[k], &top);
	}
	return opened;
}

size_t lt_machine_open(struct lt_verify *verify, size_t joint)
{
	size_t top = 0;
	verify->opening++;
	const size_t opened = open_node(verify, joint, &top);
	return opened + open_following(verify, top);
}

void lt_verify_open_after(struct lt_verify *verify, size_t joint)
{
	verify->opening++;
	verify->stack[0] = joint;
	open_following(verify, 1);
	verify->journal_count = 0;
}

void lt_verify_allow_typed(struct lt_verify *verify, bool typed)
{
	verify->plan.typed = typed;
}

bool lt_verify_skip(struct lt_verify *verify, unsigned number)
{
	const size_t joint = lt_verify_joint(verify, number);
	if (joint == LT_NONE || !lt_verify_asks(verify, joint))
		return false;
	verify->changed = false;
	if (!verify->is[joint].made && !verify->is[joint].skipped)
		turn_noted(verify, LT_CHANGE_SKIPPED, joint, false);
	return true;
}

bool lt_verify_require(struct lt_verify *verify, size_t joint)
{
	if (!lt_verify_asks(verify, joint))
		return false;
	verify->changed = false;
	lt_machine_open(verify, joint);
	if (!verify->is[joint].needed)
		turn_noted(verify, LT_CHANGE_NEEDED, joint, false);
	/* No step of any station, so there is nothing before it that could be taken back. */
	if (verify->changed)
		verify->journal_count = 0;
	return verify->changed;
}

void lt_verify_ask(struct lt_verify *verify, size_t joint, bool asked)
{
	if (verify->is[joint].needed == asked || verify->is[joint].made ||
		!lt_verify_asks(verify, joint))
		return;
	turn_noted(verify, LT_CHANGE_NEEDED, joint, false);
	verify->journal_count = 0;
}

static void carry_wrong(struct lt_verify *verify, const struct lt_verify *old, const size_t *became)
{
	for (size_t i = 0; i < old->wrong_count; i++) {
		const struct lt_wrong *wrong = &old->wrongs[i];
		const struct lt_waiting h = { became[wrong->joints[0]], wrong->pair.h_side, false };
		const struct lt_waiting mate = { became[wrong->joints[1]], wrong->pair.mate_side,
			false };
		if (!wrong->resolved && h.joint != LT_NONE && mate.joint != LT_NONE &&
			lt_verify_asks(verify, h.joint) && lt_verify_asks(verify, mate.joint))
			lt_machine_add_wrong(verify, &h, &mate);
	}
}

void lt_verify_carry(struct lt_verify *verify, const struct lt_verify *old, const size_t *from,
	const size_t *became)
{
	for (size_t i = 0; i < verify->plan.joint_count; i++) {
		const size_t other = from[i];
		if (other == LT_NONE)
			continue;
		if (verify->is[i].needed != (old->is[other].needed && lt_verify_asks(verify, i)))
			turn_noted(verify, LT_CHANGE_NEEDED, i, false);
		if (verify->is[i].made != old->is[other].made)
			turn_noted(verify, LT_CHANGE_MADE, i, old->is[other].typed);
		if (verify->is[i].skipped != old->is[other].skipped)
			turn_noted(verify, LT_CHANGE_SKIPPED, i, false);
	}
	carry_wrong(verify, old, became);
	verify->journal_count = 0;
	verify->changed = false;
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

bool lt_verify_made(const struct lt_verify *verify, size_t joint)
{
	return verify->is[joint].made;
}

bool lt_verify_open(const struct lt_verify *verify, size_t node)
{
	if (node < verify->plan.joint_count)
		return !verify->is[node].made;
	return lt_stage_ordered(verify->plan.stage) && !verify->waits.done[node];
}

bool lt_verify_typed(const struct lt_verify *verify, size_t joint)
{
	return verify->is[joint].typed;
}

bool lt_verify_skipped(const struct lt_verify *verify, size_t joint)
{
	return verify->is[joint].skipped;
}

bool lt_verify_needed(const struct lt_verify *verify, size_t joint)
{
	return verify->is[joint].needed;
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
	/* Where they are put together to be shown changes nothing that is known. */
	struct lt_verify *shown = (struct lt_verify *)verify;
	size_t count = 0;
	shown->shown = lt_grow(shown->shown, &shown->shown_room, verify->unresolved + 1,
		sizeof(*shown->shown));
	for (size_t i = 0; i < verify->wrong_count; i++)
		if (!verify->wrongs[i].resolved)
			shown->shown[count++] = verify->wrongs[i].pair;
	*out = shown->shown;
	return count;
}

bool lt_verify_ok(const struct lt_verify *verify)
{
	return verify->made_count == verify->needed_count && verify->unresolved == 0 &&
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
		if (verify->is[joint].needed && !verify->is[joint].made &&
			!verify->is[joint].skipped && lt_verify_blocked_by(verify, joint) == 0)
			return joint;
	}
	return LT_NONE;
}

/* The sticker that waits at a seat. */
static bool say_waiting(const struct lt_verify *verify, unsigned seat, unsigned *number,
	enum lt_side *side)
{
	const struct lt_waiting *waiting = &verify->seats[seat].waiting;
	const bool any = waiting->joint != LT_NONE;
	*number = any ? verify->plan.joints[waiting->joint].number : 0;
	*side = any ? waiting->side : LT_SIDE_H;
	return any;
}

bool lt_verify_pending(const struct lt_verify *verify, unsigned *number, enum lt_side *side)
{
	return say_waiting(verify, verify->seat, number, side);
}

bool lt_verify_is_pending(const struct lt_verify *verify)
{
	return verify->pending_count > 0;
}

bool lt_verify_pending_at(const struct lt_verify *verify, size_t index, unsigned *number,
	enum lt_side *side, unsigned *station)
{
	if (index >= verify->seat_count)
		return false;
	say_waiting(verify, (unsigned)index, number, side);
	*station = verify->seats[index].station;
	return true;
}

bool lt_verify_pending_elsewhere(const struct lt_verify *verify, unsigned *number,
	enum lt_side *side, unsigned *station)
{
	for (size_t seat = 0; lt_verify_pending_at(verify, seat, number, side, station); seat++)
		if (seat != verify->seat && *number != 0)
			return true;
	*number = *station = 0;
	*side = LT_SIDE_H;
	return false;
}
