/* The reconnection state machine: feed(scan) -> verdict. No input or output of its own. */
#ifndef LOOMTAG_VERIFY_H
#define LOOMTAG_VERIFY_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/tags.h"

/* The stages of a job, in their order. */
enum lt_stage {
	LT_STAGE_TAG,       /* everything still plugged in: the stickers are on the right halves */
	LT_STAGE_UNPLUG,    /* each number as it comes apart */
	LT_STAGE_SWAP,      /* X on the old part, M on the new one */
	LT_STAGE_RECONNECT, /* joints are made again */
	LT_STAGE_FINISH,    /* lines are ticked; there is nothing to scan */
	LT_STAGE_COUNT
};

enum lt_verdict {
	LT_VERDICT_HALF,
	LT_VERDICT_MATED,
	LT_VERDICT_DONE,
	LT_VERDICT_REPEAT,
	LT_VERDICT_SAME_SIDE,
	LT_VERDICT_WRONG_MATE,
	LT_VERDICT_OUT_OF_ORDER,
	LT_VERDICT_OLD_PART,
	LT_VERDICT_FOREIGN,
	LT_VERDICT_UNKNOWN,
	LT_VERDICT_MISREAD,
	LT_VERDICT_COUNT
};

/* "half", "mated", … as in the JSON; lives for ever. */
const char *lt_verdict_name(enum lt_verdict verdict);
/* "tag", "unplug", "swap", "reconnect", "finish". */
const char *lt_stage_name(enum lt_stage stage);
/* False when there is no stage of that name. */
bool lt_stage_read(enum lt_stage *out, const char *name);

/* One joint that carries a number. */
struct lt_joint {
	unsigned number;
	bool has_m;          /* two-sided */
	bool has_x;          /* its component is replaced */
	bool paper;          /* a typed tag counts */
	const size_t *after; /* indices of joints that must be made first */
	size_t after_count;
	bool had_x;    /* an X sticker of it went out, now or for an earlier part */
	bool m_is_old; /* its M stickers are on the outgoing part, the new one has none yet */
};

/* What is to be verified; the arrays are the caller's and must outlive the machine. Joints are
 * numbered by index; `order` is the order to offer them in. */
struct lt_plan {
	const char *code; /* harness code, with unit where there is one */
	const struct lt_joint *joints;
	size_t joint_count;
	const size_t *order;
	enum lt_stage stage;
	bool typed; /* typed tags count for every joint */
	/* Stage reconnect: by joint, whether it came apart. The others were left plugged in: they
	 * count as made and are not needed. NULL, or none at all: it is not known, so all did. Read
	 * by lt_verify_create only. */
	const bool *apart;
};

/* What one scan did. */
struct lt_answer {
	enum lt_verdict verdict;
	bool has_tag; /* number and side are those read */
	unsigned number;
	enum lt_side side;
	unsigned other; /* the number that was pending before, 0 for none */
	enum lt_side other_side;
	unsigned blocked_by; /* out-of-order: the first joint that must, or should have, come first
			      */
	size_t reopened;     /* wrong-mate: how many made joints were opened again */
	bool left;           /* repeat: it counts as made because it was left plugged in */
	bool typed;          /* it was a bare tag */
	bool changed;        /* something is different now, which undo would take back */
	char code[LT_HARNESS_CODE_MAX + 1]; /* the scan code's harness code, "" where it had none */
};

struct lt_verify;

/* Never NULL. Numbers of joints must differ; the struct is copied, its arrays are not. There is
 * nothing to scan at stage finish: every sticker is unknown there. */
struct lt_verify *lt_verify_create(const struct lt_plan *plan);
/* Takes NULL. */
void lt_verify_destroy(struct lt_verify *verify);

/* Answers one scan. The first of these that applies, at stages tag and reconnect:
 *   half          nothing pending, a live sticker of a two-sided joint: it is pending
 *   mated         the other side of the pending number, its `after` joints all made: made
 *   done          a one-sided joint's sticker, its `after` joints all made: made
 *   repeat        as mated or done, but it was made before: stays made
 *   same-side     pending H and another H, or mate and mate, any number: the later is pending
 *   wrong-mate    pending H and the mate of another number, or the reverse: both joints are open
 *                 again, and every made joint that comes after one that was opened
 *   out-of-order  as mated or done, but an `after` joint is open: not made
 *   old-part      an X sticker, or an M sticker that is on the outgoing part, unless the stage is
 *                 tag
 *   foreign       another harness or unit
 *   unknown       no such number, or a side that has no place at this stage
 *   misread       not a scan, a wrong check character, or typed and not allowed
 * Afterwards nothing is pending but where it says so; a misread leaves what is pending. A
 * one-sided joint's sticker is answered whatever is pending. At stage tag no joint waits for
 * another, and X is the mate of H where there is one: the M sticker, meant for a part that is not
 * in the machine yet, is then unknown. A joint that was left plugged in counts as made; once it is
 * opened again it is needed as any other.
 *
 * At stage unplug "made" means "apart", and one sticker says it, of either half that is in the
 * machine now: H, M (that of a replaced part only if it is on the outgoing one) or X:
 *   done          its sticker, and every joint that comes after it is apart or skipped: apart
 *   repeat        its sticker, and it was apart before: stays apart
 *   out-of-order  its sticker, and a joint that comes after it is still plugged in, not skipped:
 *                 apart all the same, since it is
 *   foreign, unknown, misread   as above; the M sticker meant for the new part is unknown
 * Nothing is ever pending. To skip a joint is to say that it stays plugged in.
 *
 * At stage swap the joints are those whose part is replaced, and no joint waits for another:
 *   half          nothing pending, X or M of such a joint: it is pending
 *   mated         the other of the two, of the pending number: made, the new part carries it
 *   repeat        as mated, but it was made before: stays made
 *   same-side     pending X and another X, or M and M, any number: the later is pending
 *   wrong-mate    pending X and the M of another number, or the reverse: both are open again
 *   old-part      an M sticker that is on the outgoing part
 *   foreign       another harness or unit
 *   unknown       no such number, its part is not replaced, or an H sticker
 *   misread       as above
 *
 * Amortised constant time apart from joints reopened, wrong mates that the joint is still in, and
 * at stage unplug the joints that come after it. Memory grows with what changed, for undo. */
struct lt_answer lt_verify_feed(struct lt_verify *verify, const char *scan, size_t length);

/* From now on scans, skips and undos are those of this station; 1 before the first call. Each
 * station has a pending sticker of its own, so that two who scan at once make no wrong mate out of
 * two right pairs. A pair that is read whole at one station (mated, repeat or out-of-order) ends
 * the waiting of its stickers at all. Linear in the number of stations. */
void lt_verify_station(struct lt_verify *verify, unsigned station);

/* From now on typed tags count for every joint, or only for those on paper. */
void lt_verify_allow_typed(struct lt_verify *verify, bool typed);

/* Leaves a joint out, with nothing proven: it stays open and `ok` stays false. False when the
 * number is not one that is asked for at this stage; changes nothing when the joint is made or
 * skipped already. A skipped joint that is made later is skipped no more. */
bool lt_verify_skip(struct lt_verify *verify, unsigned number);

/* Takes back the last feed or skip that changed something; false when there is none, or it was
 * another station's: what others saw since is not pulled away from under them. */
bool lt_verify_undo(struct lt_verify *verify);

/* Stage reconnect: the joint is apart after all, or again. It is needed from now on and open, and
 * so is every made joint that comes after it. True when that is something new; nothing that came
 * before can then be taken back. */
bool lt_verify_require(struct lt_verify *verify, size_t joint);

bool lt_verify_made(const struct lt_verify *verify, size_t joint);
bool lt_verify_skipped(const struct lt_verify *verify, size_t joint);
/* True when `ok` asks for the joint. */
bool lt_verify_needed(const struct lt_verify *verify, size_t joint);
size_t lt_verify_needed_count(const struct lt_verify *verify);
/* Joints that are made and needed. */
size_t lt_verify_made_count(const struct lt_verify *verify);
/* Joints made by typed tags on either half, made and not reopened since. */
size_t lt_verify_typed_count(const struct lt_verify *verify);

/* The pending sticker of the present station: false when there is none. */
bool lt_verify_pending(const struct lt_verify *verify, unsigned *number, enum lt_side *side);
/* A sticker that is pending at another station; false when there is none. */
bool lt_verify_pending_elsewhere(const struct lt_verify *verify, unsigned *number,
	enum lt_side *side, unsigned *station);

/* The sticker that is pending at the station that was named `index`th, from 0: *number is 0 where
 * there is none. False when there are not so many stations. */
bool lt_verify_pending_at(const struct lt_verify *verify, size_t index, unsigned *number,
	enum lt_side *side, unsigned *station);

/* Nothing is pending any more at the present station: what comes next is of another joint. Undo
 * takes this back together with the feed or skip before it, whosever that was. */
void lt_verify_drop_pending(struct lt_verify *verify);

/* Wrong mates that are not resolved: their two joints were not both made since. Each pair once,
 * in order of finding; returns how many. The array is valid until the next feed or undo. */
struct lt_wrong_mate {
	unsigned h, m; /* numbers: h's H sticker was scanned with m's M (or X) sticker */
	enum lt_side mate_side;
	enum lt_side h_side; /* H; at stage swap X, scanned with m's M */
};
size_t lt_verify_wrong(const struct lt_verify *verify, const struct lt_wrong_mate **out);

/* True when every joint that is needed is made, nothing is pending at any station and no wrong mate
 * is unresolved. */
bool lt_verify_ok(const struct lt_verify *verify);

/* The index of the joint with a number, or LT_NONE. */
size_t lt_verify_joint(const struct lt_verify *verify, unsigned number);

/* The number of the first joint that must be made before this one and is open; at stage unplug, of
 * the first that comes after it and is still plugged in, not skipped; 0 for none. */
unsigned lt_verify_blocked_by(const struct lt_verify *verify, size_t joint);

/* What it was created with. */
const struct lt_plan *lt_verify_plan(const struct lt_verify *verify);

/* The next joint to offer: the first in `order` that is needed, open, not skipped and that nothing
 * blocks; LT_NONE when there is none. */
size_t lt_verify_next(const struct lt_verify *verify);

/* Builds the plan of a harness's numbered connectors; arrays from `arena`. Joint i is connector
 * (*connectors)[i], the same at every stage. The order is that of reconnection; at stage unplug
 * that of the description, what comes after a joint before it; at stage swap that of the
 * description. */
void lt_plan_build(struct lt_plan *out, size_t **connectors, struct lt_arena *arena,
	const struct lt_tags *tags, enum lt_stage stage, bool typed);

/* The order to make joints in, where the order in which they came apart is known: topological by
 * `after`, of those that could be next the one that came apart last. ranks[i] is 0 for the first
 * that came apart, each once, LT_NONE for one that did not: those come last, by index from the end.
 * `order` has room for joint_count; it may be the plan's own. n log n. */
void lt_plan_order(size_t *order, const struct lt_plan *plan, const size_t *ranks);

#endif
