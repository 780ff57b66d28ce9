/* Verify: the rules of scanning. A state machine for one stage of a job: lt_verify_judge answers a
 * scan, lt_verify_apply does what the answer says; no input or output. lt_wedge_undo repairs what a
 * scanner with a wrong keyboard setting typed. The rules are in DEVELOPERS.md, "What the stages
 * say". */
#ifndef LOOMTAG_VERIFY_H
#define LOOMTAG_VERIFY_H

#include "loomtag/tags.h"

/* The reconnection state machine: judge(scan) -> answer, apply(answer). No input or output of its
 * own.
 *
 * Judging changes nothing, and applying judges nothing: an answer that was given is a fact, and a
 * list of answers, applied in order, always leads to the same state. */

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

/* What a verdict does to the state. */
enum lt_effect {
	LT_EFFECT_NOTHING, /* a pending sticker stays pending */
	LT_EFFECT_DROP,    /* nothing is pending afterwards */
	LT_EFFECT_WAIT,    /* its sticker becomes pending */
	LT_EFFECT_MAKE,    /* its joint is made; its stickers are no longer pending */
	LT_EFFECT_KEEP,    /* its joint stays made; its stickers are no longer pending */
	LT_EFFECT_EARLY, /* its stickers are no longer pending; its joint is not made, but at unplug
			    it is apart */
	LT_EFFECT_OPEN   /* both joints are open, and all joints that come after them */
};

/* How urgent an answer is. */
enum lt_tone {
	LT_TONE_GOOD, /* a right pair */
	LT_TONE_WAIT, /* half of a pair: scan the other half */
	LT_TONE_WRONG /* stop and check; the bell rings */
};

/* All that is known of a verdict, apart from its words. */
struct lt_verdict_row {
	const char *key; /* "half", "mated", … as in the JSON and the job */
	enum lt_effect effect;
	enum lt_tone tone;
	bool in_place; /* the sticker is of this harness and is scanned at this stage */
};

/* The row of a verdict: static data. */
const struct lt_verdict_row *lt_verdict_row(enum lt_verdict verdict);
/* Its key. */
const char *lt_verdict_name(enum lt_verdict verdict);
/* False when there is no verdict of that key, or `key` is NULL. */
bool lt_verdict_read(enum lt_verdict *out, const char *key);
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
	bool had_x;    /* an X sticker of it was printed, for this part or an earlier one */
	bool m_is_old; /* its M stickers are on the outgoing part, the new one has none yet */
};

/* What is to be verified; the arrays are the caller's and must outlive the machine. Joints are
 * numbered by index; `order` is the order to offer them in.
 *
 * After the joints the same array has `passage_count` passages: connectors with no number, which no
 * scan can make. Only their `after` is used. A passage is passed when all joints and passages in
 * its `after` are made or passed. What comes after a passage also comes after all that is before
 * it. */
struct lt_plan {
	const char *code; /* harness code, with unit where there is one */
	const struct lt_joint *joints;
	size_t joint_count;
	const size_t *order;
	enum lt_stage stage;
	bool typed; /* typed tags count for every joint */
	/* Stage reconnect: by joint, whether it came apart. The others were left plugged in: they
	 * count as made and are not needed. NULL, or true for no joint: it is not known which came
	 * apart, so all count as apart. Read by lt_verify_create only. */
	const bool *apart;
	size_t passage_count;
	/* By joint and passage: its place among the connectors of the description, each different.
	 * NULL: its index. */
	const size_t *places;
};

/* What one scan did. */
struct lt_answer {
	enum lt_verdict verdict;
	bool has_tag; /* number and side are those read */
	unsigned number;
	enum lt_side side;
	unsigned other; /* the number that was pending before, 0 for none */
	enum lt_side other_side;
	unsigned blocked_by; /* out-of-order: the first joint that must come first, or should have
			      */
	size_t reopened;     /* wrong-mate: how many made joints were opened again */
	bool left;           /* repeat: it counts as made because it was left plugged in */
	bool typed;          /* it was a bare tag */
	bool changed;        /* the state changed; undo can take that back */
	char code[LT_HARNESS_CODE_MAX + 1]; /* the scan code's harness code, "" where it had none */
};

struct lt_verify;

/* Never NULL. Numbers of joints must differ; the struct is copied, its arrays are not. There is
 * nothing to scan at stage finish: every sticker is unknown there. */
struct lt_verify *lt_verify_create(const struct lt_plan *plan);
/* Takes NULL. */
void lt_verify_destroy(struct lt_verify *verify);

/* Judges one scan. The verdict is the first of these that applies; at stages tag and reconnect:
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
 * Afterwards nothing is pending unless the list says so; after a misread a pending sticker stays
 * pending. A one-sided joint's sticker is answered whatever is pending. At stage tag no joint waits
 * for another, and X is the mate of H where there is one: the M sticker, meant for a part that is
 * not in the machine yet, is then unknown. A joint that was left plugged in counts as made; once it
 * is opened again it is needed as any other.
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
 * Constant time; where the answer is out-of-order, linear in what comes before the joint. */
struct lt_answer lt_verify_judge(const struct lt_verify *verify, const char *scan, size_t length);

/* Applies an answer, one that was just given or one that was stored; fills in what was pending
 * (other, other_side), reopened and changed. Of a stored answer only verdict, has_tag, number, side
 * and typed must be set. False, with nothing changed, for an answer that is impossible in this
 * state: for a joint that does not exist, or of a verdict that does not fit what is made and
 * pending.
 *
 * Amortised constant time apart from joints reopened and wrong mates that the joint was in. Memory
 * grows with what changed, for undo. */
bool lt_verify_apply(struct lt_verify *verify, struct lt_answer *answer);

/* From now on scans, skips and undos are those of this station; 1 before the first call. Each
 * station has a pending sticker of its own, so that two people who scan at the same time do not
 * cause a wrong mate. When one station scans both stickers of a pair (mated, repeat or
 * out-of-order), these are no longer pending at any station. Linear in the number of stations. */
void lt_verify_station(struct lt_verify *verify, unsigned station);

/* From now on typed tags count for every joint, or only for those on paper. */
void lt_verify_allow_typed(struct lt_verify *verify, bool typed);

/* Skips a joint: it stays open, and lt_verify_ok stays false. False if no joint of this stage has
 * the number. Nothing changes if the joint is already made or skipped. A skipped joint that is made
 * later is no longer skipped. */
bool lt_verify_skip(struct lt_verify *verify, unsigned number);

/* Takes back the last scan or skip that changed something; false when there is none, or it was
 * another station's, which this station may not take back. */
bool lt_verify_undo(struct lt_verify *verify);

/* Stage reconnect: the joint turned out to be apart, or came apart again. It is needed from now on
 * and open, and so is every made joint that comes after it. True if that changed anything; then no
 * earlier scan or skip can be taken back. */
bool lt_verify_require(struct lt_verify *verify, size_t joint);

/* Stage reconnect: every made joint that comes after this one is needed from now on and open,
 * whether this one is open or not. No earlier scan or skip can then be taken back. */
void lt_verify_open_after(struct lt_verify *verify, size_t joint);

/* True when the stage is about this joint at all: at swap its part is replaced. */
bool lt_verify_asks(const struct lt_verify *verify, size_t joint);

/* Sets whether an open joint is needed. Neither this nor any earlier scan or skip can then be taken
 * back. */
void lt_verify_ask(struct lt_verify *verify, size_t joint, bool asked);

/* Copies the state of an old machine into a new one that has another plan and the same stage: for
 * each joint whether it is made, typed, skipped and needed; and the wrong mates of joints that are
 * in both. from[i] is the old machine's joint that joint i is; LT_NONE: it is new, or what was
 * recorded of it is void. became[i] is what the old machine's joint i is now, also where that is
 * void; LT_NONE: it was removed. A wrong mate with a joint that is no longer part of the stage is
 * not copied. Afterwards nothing is pending, and nothing from before can be taken back. Linear. */
void lt_verify_carry(struct lt_verify *verify, const struct lt_verify *old, const size_t *from,
	const size_t *became);

bool lt_verify_made(const struct lt_verify *verify, size_t joint);
/* True for a joint that is not made, and for a passage that is not passed. */
bool lt_verify_open(const struct lt_verify *verify, size_t node);
bool lt_verify_skipped(const struct lt_verify *verify, size_t joint);
/* True when lt_verify_ok is false as long as the joint is open. */
bool lt_verify_needed(const struct lt_verify *verify, size_t joint);
size_t lt_verify_needed_count(const struct lt_verify *verify);
/* Joints that are made and needed. */
size_t lt_verify_made_count(const struct lt_verify *verify);
/* Made by typed tags on either half. */
bool lt_verify_typed(const struct lt_verify *verify, size_t joint);
/* Joints made by typed tags, and not reopened since. */
size_t lt_verify_typed_count(const struct lt_verify *verify);

/* The pending sticker of the present station: false when there is none. */
bool lt_verify_pending(const struct lt_verify *verify, unsigned *number, enum lt_side *side);
/* True when a sticker is pending at any station. */
bool lt_verify_is_pending(const struct lt_verify *verify);
/* A sticker that is pending at another station; false when there is none. */
bool lt_verify_pending_elsewhere(const struct lt_verify *verify, unsigned *number,
	enum lt_side *side, unsigned *station);

/* The sticker that is pending at the station that was named `index`th, from 0: *number is 0 where
 * there is none. False when there are not so many stations. */
bool lt_verify_pending_at(const struct lt_verify *verify, size_t index, unsigned *number,
	enum lt_side *side, unsigned *station);

/* Drops the pending sticker of the present station: the next scan is of another joint. Undo takes
 * this back together with the scan or skip before it, of whichever station. */
void lt_verify_drop_pending(struct lt_verify *verify);

/* Wrong mates that are not resolved: their two joints were not both made since. Each pair once,
 * in order of finding; returns how many. The array is valid until the next call that changes. */
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

/* Puts the joints in the order to offer them in. `order` has room for joint_count; it may be the
 * plan's own. False if a node comes after itself: then not all nodes have a place. n log n.
 *
 * ranks NULL: it is not known what came apart. At stage reconnect topological by `after`, ties by
 * the reverse of the description; at stage unplug the description's, what comes after a joint
 * before it; else the description's.
 * Else the order to make joints in: topological by `after`, of those that could be next the one
 * that came apart last. ranks[i] is 0 for the first that came apart, each once, LT_NONE for one
 * that did not: those come last, by index from the end. */
bool lt_plan_order(size_t *order, const struct lt_plan *plan, const size_t *ranks);

/* Repairs what a keyboard-wedge scanner types with a wrong keyboard setting. Pure functions. */

/* What was wrong with the scanner's settings. */
enum lt_wedge_trouble {
	LT_WEDGE_FINE,      /* nothing was repaired */
	LT_WEDGE_PREFIX,    /* letters or a symbology identifier stood before the code */
	LT_WEDGE_FRENCH,    /* typed for another keyboard, read by a French one */
	LT_WEDGE_TO_FRENCH, /* typed for a French keyboard, read by another one */
	LT_WEDGE_GERMAN     /* Y and Z changed places, and punctuation: a German keyboard */
};

/* Which setting of the scanner to change, in plain sentences; a static string. NULL for FINE. */
const char *lt_wedge_advice(enum lt_wedge_trouble trouble);

/* Repairs a scan. Writes to `out` (which is emptied first) only the scan code as it should have
 * come, and returns what was repaired. Only where the first token of what came is a misread, and
 * where undoing one known mix-up over the whole token gives a scan code with this very harness code
 * (with unit), a number and side that are live in `tags`, and the right check character; in every
 * other case `out` is the text as it came, and the result is LT_WEDGE_FINE. Where two mix-ups would
 * give different codes (of whatever harness), neither is undone; nor where a second scan stands on
 * the line; nor where what came could also be the code of another live sticker, in any mix-up or in
 * none, with one character spoiled.
 *
 * Prefixes: a symbology identifier (ISO/IEC 15424: "]Q1"), or letters alone; digits before a number
 * could be part of it, and are never dropped.
 * Keyboards (layouts as in common operating systems, from memory): French: digits as the row
 * without shift (& e-acute " ' ( - e-grave _ c-cedilla a-grave), A and Q, Z and W, M and the keys
 * beside it changed; the reverse of it on a keyboard that is not French; German: Y and Z, and
 * punctuation. With and without the shift or caps lock that a scanner sends for capitals. UTF-8, or
 * Latin-1 where the token is not UTF-8.
 *
 * Linear in the length of what came, and for what can be undone in the number of tags. */
enum lt_wedge_trouble lt_wedge_undo(struct lt_text *out, const char *bytes, size_t length,
	const struct lt_tags *tags);

/* Double triggers: the same scan twice within LT_WEDGE_TWICE milliseconds is one. */
#define LT_WEDGE_TWICE 300
struct lt_wedge_last {
	char scan[64];
	long long at; /* milliseconds of a clock that does not jump */
	bool any;
};
/* True when this scan is the second of a double trigger; remembers it either way. Zeroed `last`
 * before the first. Longer scans than fit are never the same. */
bool lt_wedge_twice(struct lt_wedge_last *last, const char *bytes, size_t length, long long at);

#endif
