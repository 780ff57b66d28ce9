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
};

/* What one scan did. */
struct lt_answer {
	enum lt_verdict verdict;
	bool has_tag; /* number and side are those read */
	unsigned number;
	enum lt_side side;
	unsigned other; /* the number that was pending before, 0 for none */
	enum lt_side other_side;
	unsigned blocked_by; /* out-of-order: the first open joint that must come first */
	size_t reopened;     /* wrong-mate: how many made joints were opened again */
	bool typed;          /* it was a bare tag */
	bool changed;        /* something is different now, which undo would take back */
	char code[LT_HARNESS_CODE_MAX + 1]; /* the scan code's harness code, "" where it had none */
};

struct lt_verify;

/* Never NULL. Numbers of joints must differ; the struct is copied, its arrays are not. */
struct lt_verify *lt_verify_create(const struct lt_plan *plan);
/* Takes NULL. */
void lt_verify_destroy(struct lt_verify *verify);

/* Answers one scan. The first of these that applies:
 *   half          nothing pending, a live sticker of a two-sided joint: it is pending
 *   mated         the other side of the pending number, its `after` joints all made: made
 *   done          a one-sided joint's sticker, its `after` joints all made: made
 *   repeat        as mated or done, but it was made before: stays made
 *   same-side     pending H and another H, or mate and mate, any number: the later is pending
 *   wrong-mate    pending H and the mate of another number, or the reverse: both joints are open
 *                 again, and every made joint that comes after them
 *   out-of-order  as mated or done, but an `after` joint is open: not made
 *   old-part      an X sticker, or an M sticker that is on the outgoing part, unless the stage is
 *                 tag
 *   foreign       another harness or unit
 *   unknown       no such number, or a side that has no place at this stage
 *   misread       not a scan, a wrong check character, or typed and not allowed
 * Afterwards nothing is pending but where it says so; a misread leaves what is pending. A
 * one-sided joint's sticker is answered whatever is pending. At stage tag no joint waits for
 * another, and X is the mate of H where there is one: the M sticker, meant for a part that is not
 * in the machine yet, is then unknown.
 *
 * Amortised constant time apart from joints reopened and wrong mates that the joint is still in.
 * Memory grows with what changed, for undo. */
struct lt_answer lt_verify_feed(struct lt_verify *verify, const char *scan, size_t length);

/* Leaves a joint out, with nothing proven: it stays open and `ok` stays false. False when the
 * number is not one of the plan's; changes nothing when the joint is made or skipped already. A
 * skipped joint that is made later is skipped no more. */
bool lt_verify_skip(struct lt_verify *verify, unsigned number);

/* Takes back the last feed or skip that changed something; false when there is none. */
bool lt_verify_undo(struct lt_verify *verify);

bool lt_verify_made(const struct lt_verify *verify, size_t joint);
bool lt_verify_skipped(const struct lt_verify *verify, size_t joint);
size_t lt_verify_made_count(const struct lt_verify *verify);
/* Joints made by typed tags on either half, made and not reopened since. */
size_t lt_verify_typed_count(const struct lt_verify *verify);

/* The pending sticker: false when there is none. */
bool lt_verify_pending(const struct lt_verify *verify, unsigned *number, enum lt_side *side);

/* Nothing is pending any more: what comes next is of another joint. Undo takes this back together
 * with the feed or skip before it. */
void lt_verify_drop_pending(struct lt_verify *verify);

/* Wrong mates that are not resolved: their two joints were not both made since. Each pair once,
 * in order of finding; returns how many. The array is valid until the next feed or undo. */
struct lt_wrong_mate {
	unsigned h, m; /* numbers: h's H sticker was scanned with m's M (or X) sticker */
	enum lt_side mate_side;
};
size_t lt_verify_wrong(const struct lt_verify *verify, const struct lt_wrong_mate **out);

/* True when every joint is made, nothing is pending and no wrong mate is unresolved. */
bool lt_verify_ok(const struct lt_verify *verify);

/* The index of the joint with a number, or LT_NONE. */
size_t lt_verify_joint(const struct lt_verify *verify, unsigned number);

/* The number of the first joint that must be made before this one and is open; 0 for none. */
unsigned lt_verify_blocked_by(const struct lt_verify *verify, size_t joint);

/* What it was created with. */
const struct lt_plan *lt_verify_plan(const struct lt_verify *verify);

/* The next joint to offer: the first in `order` that is open, not skipped and whose `after`
 * joints are all made; LT_NONE when there is none. */
size_t lt_verify_next(const struct lt_verify *verify);

/* Builds the plan of a harness's numbered connectors; arrays from `arena`. Joint i is connector
 * (*connectors)[i]. */
void lt_plan_build(struct lt_plan *out, size_t **connectors, struct lt_arena *arena,
	const struct lt_tags *tags, enum lt_stage stage, bool typed);

#endif
