/* The state machine's inside: what it knows, and the changes that can be taken back. */
#ifndef LOOMTAG_VERIFY_MACHINE_H
#define LOOMTAG_VERIFY_MACHINE_H

#include "loomtag/verify.h"
#include "verify/waits.h"
#include "verify/wrong.h"

/* A sticker that waits for its other half. */
struct lt_waiting {
	size_t joint; /* LT_NONE: nothing is pending */
	enum lt_side side;
	bool typed;
};

/* One thing that a feed or skip changed, as it was before. */
enum lt_change_kind {
	LT_CHANGE_MADE,
	LT_CHANGE_NEEDED,
	LT_CHANGE_SKIPPED,
	LT_CHANGE_PENDING,
	LT_CHANGE_FOUND,
	LT_CHANGE_RESOLVED
};
struct lt_change {
	unsigned char kind;
	unsigned char side; /* LT_CHANGE_PENDING */
	bool first;         /* of its feed or skip: undo stops here */
	bool typed;         /* LT_CHANGE_MADE, LT_CHANGE_PENDING */
	unsigned by;        /* the seat of the station that did it */
	unsigned seat;      /* LT_CHANGE_PENDING: whose */
	size_t index;       /* of a joint, or of a wrong mate */
};

struct lt_verify {
	struct lt_plan plan;
	size_t *joint_of; /* by number, 0 to number_max */
	unsigned number_max;

	struct lt_waits waits; /* only where lt_stage_ordered */
	bool *made, *typed, *skipped, *needed;
	size_t made_count; /* and needed */
	size_t needed_count, typed_count;

	/* A seat for each station that was named, in order of naming. */
	unsigned *stations;
	struct lt_waiting *waiting; /* by seat */
	size_t station_room, waiting_room;
	unsigned seat_count, seat; /* the present one */
	size_t pending_count;      /* seats where something is pending */

	struct lt_wrongs wrongs;

	size_t *stack;    /* of nodes behind which to open joints again */
	unsigned *walked; /* by node: the last opening that went through it */
	unsigned opening; /* how many there were */

	struct lt_change *journal;
	size_t journal_count, journal_room;
	bool changed; /* by this feed or skip */
};

/* Changes that are remembered for undo. Each turns what is said round, or puts it in place. */
void lt_machine_wait(struct lt_verify *verify, unsigned seat, struct lt_waiting now);
void lt_machine_turn_made(struct lt_verify *verify, size_t joint, bool typed);
void lt_machine_turn_needed(struct lt_verify *verify, size_t joint);
void lt_machine_turn_skipped(struct lt_verify *verify, size_t joint);
void lt_machine_add_wrong(struct lt_verify *verify, const struct lt_wrong *wrong);
void lt_machine_resolve_wrong(struct lt_verify *verify, size_t index);

/* To be called when a joint was made, opened or skipped, or that was taken back. */
void lt_machine_tell_waits(struct lt_verify *verify, size_t joint);

/* True when joints wait for others at this stage. */
bool lt_stage_ordered(enum lt_stage stage);
/* True when a joint is asked for at this stage, whatever came apart. */
bool lt_joint_asked_for(const struct lt_plan *plan, size_t joint);
/* True when a sticker is answered by itself, with nothing pending. */
bool lt_joint_single(const struct lt_plan *plan, size_t joint);
/* The side that belongs with all others: H, or X at stage swap. */
enum lt_side lt_first_side(enum lt_stage stage);
/* Why a scan is of no use at this stage, or LT_VERDICT_COUNT when it is a live sticker of joint
 * `index` (LT_NONE: no such number). */
enum lt_verdict lt_refuse(const struct lt_plan *plan, const struct lt_scan *scan, size_t index);

#endif
