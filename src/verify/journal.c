/* Changes of the state machine, and taking them back; stations. */
#include "loomtag/base.h"
#include "verify/machine.h"

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

static void put_waiting(struct lt_verify *verify, unsigned seat, struct lt_waiting now)
{
	verify->pending_count -= verify->waiting[seat].joint != LT_NONE ? 1 : 0;
	verify->pending_count += now.joint != LT_NONE ? 1 : 0;
	verify->waiting[seat] = now;
}

/* Opens a made joint, or makes an open one, and keeps count. */
static void turn_made(struct lt_verify *verify, size_t joint, bool typed)
{
	const size_t one = verify->needed[joint] ? 1 : 0;
	if (verify->made[joint]) {
		verify->made_count -= one;
		verify->typed_count -= verify->typed[joint] ? 1 : 0;
	} else {
		verify->made_count += one;
		verify->typed_count += typed ? 1 : 0;
	}
	verify->made[joint] = !verify->made[joint];
	verify->typed[joint] = verify->made[joint] && typed;
	lt_machine_tell_waits(verify, joint);
}

static void turn_skipped(struct lt_verify *verify, size_t joint)
{
	verify->skipped[joint] = !verify->skipped[joint];
	lt_machine_tell_waits(verify, joint);
}

static void turn_needed(struct lt_verify *verify, size_t joint)
{
	const size_t made = verify->made[joint] ? 1 : 0;
	if (verify->needed[joint]) {
		verify->needed_count--;
		verify->made_count -= made;
	} else {
		verify->needed_count++;
		verify->made_count += made;
	}
	verify->needed[joint] = !verify->needed[joint];
}

void lt_machine_wait(struct lt_verify *verify, unsigned seat, struct lt_waiting now)
{
	const struct lt_waiting old = verify->waiting[seat];
	if (old.joint == now.joint &&
		(old.joint == LT_NONE || (old.side == now.side && old.typed == now.typed)))
		return;
	note(verify, (struct lt_change){ .kind = LT_CHANGE_PENDING,
			     .side = (unsigned char)old.side,
			     .typed = old.typed,
			     .seat = seat,
			     .index = old.joint });
	put_waiting(verify, seat, now);
}

void lt_machine_turn_made(struct lt_verify *verify, size_t joint, bool typed)
{
	note(verify,
		(struct lt_change){
			.kind = LT_CHANGE_MADE, .typed = verify->typed[joint], .index = joint });
	turn_made(verify, joint, typed);
}

void lt_machine_turn_needed(struct lt_verify *verify, size_t joint)
{
	note(verify, (struct lt_change){ .kind = LT_CHANGE_NEEDED, .index = joint });
	turn_needed(verify, joint);
}

void lt_machine_turn_skipped(struct lt_verify *verify, size_t joint)
{
	note(verify, (struct lt_change){ .kind = LT_CHANGE_SKIPPED, .index = joint });
	turn_skipped(verify, joint);
}

void lt_machine_add_wrong(struct lt_verify *verify, const struct lt_wrong *wrong)
{
	note(verify, (struct lt_change){ .kind = LT_CHANGE_FOUND });
	lt_wrongs_add(&verify->wrongs, wrong);
}

void lt_machine_resolve_wrong(struct lt_verify *verify, size_t index)
{
	note(verify, (struct lt_change){ .kind = LT_CHANGE_RESOLVED, .index = index });
	lt_wrongs_resolve(&verify->wrongs, index);
}

static void take_back(struct lt_verify *verify, const struct lt_change *change)
{
	switch ((enum lt_change_kind)change->kind) {
	case LT_CHANGE_MADE:
		turn_made(verify, change->index, change->typed);
		break;
	case LT_CHANGE_NEEDED:
		turn_needed(verify, change->index);
		break;
	case LT_CHANGE_SKIPPED:
		turn_skipped(verify, change->index);
		break;
	case LT_CHANGE_PENDING:
		put_waiting(verify, change->seat,
			(struct lt_waiting){
				change->index, (enum lt_side)change->side, change->typed });
		break;
	case LT_CHANGE_FOUND:
		lt_wrongs_drop(&verify->wrongs);
		break;
	case LT_CHANGE_RESOLVED:
		lt_wrongs_restore(&verify->wrongs, change->index);
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
		put_waiting(verify, verify->seat, (struct lt_waiting){ .joint = LT_NONE });
		return;
	}
	verify->changed = true; /* not the first change of a step of its own */
	lt_machine_wait(verify, verify->seat, (struct lt_waiting){ .joint = LT_NONE });
}

void lt_verify_station(struct lt_verify *verify, unsigned station)
{
	unsigned seat = 0;
	while (seat < verify->seat_count && verify->stations[seat] != station)
		seat++;
	verify->seat = seat;
	if (seat < verify->seat_count)
		return;
	verify->seat_count++;
	verify->stations = lt_grow(verify->stations, &verify->station_room, verify->seat_count,
		sizeof(*verify->stations));
	verify->waiting = lt_grow(verify->waiting, &verify->waiting_room, verify->seat_count,
		sizeof(*verify->waiting));
	verify->stations[seat] = station;
	verify->waiting[seat] = (struct lt_waiting){ .joint = LT_NONE };
}

/* The sticker that waits at a seat. */
static bool say_waiting(const struct lt_verify *verify, unsigned seat, unsigned *number,
	enum lt_side *side)
{
	const struct lt_waiting *waiting = &verify->waiting[seat];
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

bool lt_verify_pending_elsewhere(const struct lt_verify *verify, unsigned *number,
	enum lt_side *side, unsigned *station)
{
	*number = *station = 0;
	*side = LT_SIDE_H;
	for (unsigned seat = 0; verify->pending_count > 0 && seat < verify->seat_count; seat++)
		if (seat != verify->seat && say_waiting(verify, seat, number, side)) {
			*station = verify->stations[seat];
			return true;
		}
	return false;
}

bool lt_verify_pending_at(const struct lt_verify *verify, size_t index, unsigned *number,
	enum lt_side *side, unsigned *station)
{
	if (index >= verify->seat_count)
		return false;
	say_waiting(verify, (unsigned)index, number, side);
	*station = verify->stations[index];
	return true;
}
