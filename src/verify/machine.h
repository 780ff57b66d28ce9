/* The inside of the state machine: its state, and the changes that can be taken back. */
#ifndef LOOMTAG_VERIFY_MACHINE_H
#define LOOMTAG_VERIFY_MACHINE_H

#include "loomtag/verify.h"
#include "verify/order.h"

/* A sticker that waits for its other half. */
struct lt_waiting {
	size_t joint; /* LT_NONE: nothing is pending */
	enum lt_side side;
	bool typed;
};

extern const struct lt_waiting lt_nothing_waits;

/* One thing that a scan or skip changed, as it was before. */
enum lt_change_kind {
	LT_CHANGE_MADE,
	LT_CHANGE_NEEDED,
	LT_CHANGE_SKIPPED,
	LT_CHANGE_PENDING,
	LT_CHANGE_FOUND,
	LT_CHANGE_RESOLVED
};
struct lt_change {
	enum lt_change_kind kind;
	enum lt_side side; /* LT_CHANGE_PENDING */
	bool first;        /* of its scan or skip: undo stops here */
	bool typed;        /* LT_CHANGE_MADE, LT_CHANGE_PENDING */
	unsigned by;       /* the seat of the station that did it */
	unsigned seat;     /* LT_CHANGE_PENDING: whose */
	size_t index;      /* of a joint, or of a wrong mate */
};

/* A wrong mate, with its H joint and its mate's joint. It is in a list of each. */
struct lt_wrong {
	struct lt_wrong_mate pair;
	size_t joints[2];
	size_t older[2]; /* the one before it in the list of that joint; LT_NONE: none */
	bool resolved;
};

/* The state of a joint; newest[0] is the last wrong mate that it was the H joint of, newest[1] the
 * last that it was the mate of, LT_NONE: none. */
struct lt_standing {
	bool made, typed, skipped, needed;
	size_t newest[2];
};

/* A station that was named. */
struct lt_seat {
	unsigned station;
	struct lt_waiting waiting;
};

struct lt_verify {
	struct lt_arena arena;
	struct lt_plan plan;
	size_t *joint_of; /* by number, 0 to number_max */
	unsigned number_max;

	struct lt_waits waits;  /* only where lt_stage_ordered */
	struct lt_standing *is; /* by joint */
	size_t made_count;      /* and needed */
	size_t needed_count, typed_count;

	struct lt_seat *seats; /* in order of naming */
	size_t seat_room;
	unsigned seat_count, seat; /* the present one */
	size_t pending_count;      /* seats where something is pending */

	struct lt_wrong *wrongs; /* every one that was found and not taken back */
	size_t wrong_count, wrong_room, unresolved;
	struct lt_wrong_mate *shown;
	size_t shown_room;

	size_t *stack;    /* of nodes behind which to open joints again */
	unsigned *walked; /* by node: the last opening that went through it */
	unsigned opening; /* how many there were */

	struct lt_change *journal;
	size_t journal_count, journal_room;
	bool changed; /* by this scan or skip */
};

/* Changes that are remembered for undo. */

/* What is pending at a seat from now on. */
void lt_machine_wait(struct lt_verify *verify, unsigned seat, struct lt_waiting now);
/* Remembers a wrong mate until both its joints are made. */
void lt_machine_add_wrong(struct lt_verify *verify, const struct lt_waiting *h,
	const struct lt_waiting *mate);
/* Makes an open joint; its wrong mates whose joints are both made now are resolved. */
void lt_machine_make(struct lt_verify *verify, size_t joint, bool typed);
/* Opens a made joint again and every made joint that comes after it; returns how many. */
size_t lt_machine_open(struct lt_verify *verify, size_t joint);

#endif
