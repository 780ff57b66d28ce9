/* The reconnection state machine: feed(scan) -> verdict. No input or output of its own. */
#ifndef LOOMTAG_VERIFY_H
#define LOOMTAG_VERIFY_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/tags.h"

enum lt_stage { LT_STAGE_TAG, LT_STAGE_RECONNECT };

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
/* "tag", "reconnect". */
const char *lt_stage_name(enum lt_stage stage);

/* One joint that carries a number. */
struct lt_joint {
	unsigned number;
	bool has_m;          /* two-sided */
	bool has_x;          /* its component is replaced */
	bool paper;          /* a typed tag counts */
	const size_t *after; /* indices of joints that must be made first */
	size_t after_count;
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
};

struct lt_verify;

struct lt_verify *lt_verify_create(const struct lt_plan *plan);
void lt_verify_destroy(struct lt_verify *verify);

/* Answers one scan by section 8's table. Amortised constant time apart from joints reopened. */
struct lt_answer lt_verify_feed(struct lt_verify *verify, const char *scan, size_t length);

/* Leaves a joint out, with nothing proven: it stays open and `ok` stays false. False when the
 * number is not one of the plan's. A skipped joint that is made later is skipped no more. */
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

/* Wrong mates that are not resolved: either of their joints is still open. In order of their
 * finding; returns how many. Pointers valid until the next feed. */
struct lt_wrong_mate {
	unsigned h, m; /* numbers: h's H sticker was scanned with m's M (or X) sticker */
	enum lt_side mate_side;
};
size_t lt_verify_wrong(const struct lt_verify *verify, const struct lt_wrong_mate **out);

/* True when every joint is made, nothing is pending and no wrong mate is unresolved. */
bool lt_verify_ok(const struct lt_verify *verify);

/* The next joint to offer: the first in `order` that is open, not skipped and whose `after`
 * joints are all made; LT_NONE when there is none. */
size_t lt_verify_next(const struct lt_verify *verify);

/* Builds the plan of a harness's numbered connectors; arrays from `arena`. Joint i is connector
 * (*connectors)[i]. */
void lt_plan_build(struct lt_plan *out, size_t **connectors, struct lt_arena *arena,
	const struct lt_tags *tags, enum lt_stage stage, bool typed);

#endif
