/* The rules of verification stated a second time, for comparing: each verdict is a condition of
 * its own over the whole state, nothing is kept up to date, everything is worked out anew, and
 * undo is a pile of copies. Slow, plain, and sharing nothing with src/verify. */
#ifndef TESTS_VERIFY_MODEL_H
#define TESTS_VERIFY_MODEL_H

#include <assert.h>
#include <stdbool.h>
#include <string.h>

enum {
	MODEL_JOINTS = 9,
	MODEL_PASSAGES = 6,
	MODEL_NODES = MODEL_JOINTS + MODEL_PASSAGES,
	MODEL_WRONG = MODEL_JOINTS * MODEL_JOINTS,
	MODEL_DEPTH = 64,
	MODEL_STATIONS = 3
};

enum model_stage { MODEL_TAG, MODEL_UNPLUG, MODEL_SWAP, MODEL_RECONNECT, MODEL_STAGES };

struct model_joint {
	int number;
	bool two_sided, replaced, paper;
	bool old_x; /* an earlier part had an X sticker */
	bool old_m; /* its M sticker is on the part that goes out */
};

/* Joints are nodes 0 to count - 1; the connectors without a number are nodes behind MODEL_JOINTS.
 */
struct model_plan {
	int count, passages;
	struct model_joint joints[MODEL_JOINTS];
	bool after[MODEL_NODES][MODEL_NODES]; /* the first names the second in its `after` */
	int order[MODEL_JOINTS];
	enum model_stage stage;
	bool typed_allowed;
	bool apart_known, apart[MODEL_JOINTS];
};

/* What the person at the bench did with the scanner or keyboard. */
enum model_source { MODEL_OWN, MODEL_OTHER_HARNESS, MODEL_TYPED, MODEL_NOISE };
struct model_scan {
	enum model_source source;
	int number;
	int side; /* 'H', 'M' or 'X' */
};

/* All int, so that two states are the same when their bytes are. */
struct model_state {
	int made[MODEL_JOINTS], by_typing[MODEL_JOINTS], skipped[MODEL_JOINTS];
	int left[MODEL_JOINTS];    /* plugged in from the start, and nobody has found otherwise */
	int unasked[MODEL_JOINTS]; /* open, and it was said that it is not asked for */
	struct {
		int pending, side, typed; /* pending: number or 0 */
	} at[MODEL_STATIONS];
	int wrong_count, wrong[MODEL_WRONG][4]; /* number, mate number, mate side, side */
};

struct model {
	struct model_plan plan;
	int station; /* whose the next scan, skip or undo is */
	struct model_state now;
	struct model_state before[MODEL_DEPTH];
	int whose[MODEL_DEPTH];
	int depth;
	int reopened; /* by the last scan */
};

/* Where something is known to have come apart, the rest is as if it had been made. */
static inline void model_begin(struct model *m)
{
	bool any = false;
	for (int i = 0; i < m->plan.count; i++)
		any = any || m->plan.apart[i];
	memset(&m->now, 0, sizeof(m->now));
	m->depth = m->station = 0;
	if (m->plan.stage != MODEL_RECONNECT || !m->plan.apart_known || !any)
		return;
	for (int i = 0; i < m->plan.count; i++)
		m->now.made[i] = m->now.left[i] = !m->plan.apart[i];
}

static inline int model_pending(const struct model *m)
{
	return m->now.at[m->station].pending;
}

static inline int model_find(const struct model *m, int number)
{
	for (int i = 0; i < m->plan.count; i++)
		if (m->plan.joints[i].number == number)
			return i;
	return -1;
}

static inline bool model_has(const struct model_plan *plan, int node)
{
	return node < plan->count || (node >= MODEL_JOINTS && node < MODEL_JOINTS + plan->passages);
}

/* One comes after another when its `after` names it, or names a connector without a number that
 * comes after it. */
static inline bool model_comes_after(const struct model_plan *plan, int node, int before)
{
	if (plan->after[node][before])
		return true;
	for (int i = MODEL_JOINTS; i < MODEL_JOINTS + plan->passages; i++)
		if (plan->after[node][i] && model_comes_after(plan, i, before))
			return true;
	return false;
}

/* What `first` is to be done before `then`, at this stage: joints are made in the order of their
 * `after`, and taken apart in the reverse. With all plugged in, or out, there is no order. */
static inline bool model_precedes(const struct model *m, int first, int then)
{
	switch (m->plan.stage) {
	case MODEL_RECONNECT:
		return model_comes_after(&m->plan, then, first);
	case MODEL_UNPLUG:
		return model_comes_after(&m->plan, first, then);
	default:
		return false;
	}
}

/* A connector without a number is as good as made when all before it are. */
static inline bool model_passed(const struct model *m, int passage)
{
	for (int i = 0; i < m->plan.count; i++)
		if (!m->now.made[i] && model_comes_after(&m->plan, MODEL_JOINTS + passage, i))
			return false;
	return true;
}

/* One of which somebody said that it stays plugged in holds up nothing that comes apart. */
static inline bool model_holds_up(const struct model *m, int first, int then)
{
	return model_precedes(m, first, then) && !m->now.made[first] &&
	       !(m->plan.stage == MODEL_UNPLUG && m->now.skipped[first]);
}

/* The first joint that holds this one up, or -1. */
static inline int model_blocker(const struct model *m, int joint)
{
	for (int i = 0; i < m->plan.count; i++)
		if (model_holds_up(m, i, joint))
			return i;
	return -1;
}

static inline bool model_free(const struct model *m, int joint)
{
	return model_blocker(m, joint) < 0;
}

/* The stage is about this joint at all. */
static inline bool model_concerns(const struct model *m, int joint)
{
	return m->plan.stage != MODEL_SWAP || m->plan.joints[joint].replaced;
}

static inline bool model_needed(const struct model *m, int joint)
{
	return model_concerns(m, joint) && !m->now.left[joint] && !m->now.unasked[joint];
}

/* It can be read, is of this harness, and counts although it may be typed. */
static inline bool model_counts(const struct model *m, struct model_scan s)
{
	const int joint = model_find(m, s.number);
	if (s.source == MODEL_TYPED)
		return m->plan.typed_allowed || (joint >= 0 && m->plan.joints[joint].paper);
	return s.source == MODEL_OWN;
}

/* The part that this sticker is on, or is meant for. */
enum model_part { MODEL_HARNESS, MODEL_STAYS, MODEL_GOES, MODEL_COMES, MODEL_WENT, MODEL_NO_PART };

static inline enum model_part model_part(const struct model *m, struct model_scan s)
{
	const int joint = model_find(m, s.number);
	if (joint < 0)
		return MODEL_NO_PART;
	const struct model_joint *j = &m->plan.joints[joint];
	if (s.side == 'H')
		return MODEL_HARNESS;
	if (s.side == 'X')
		return j->replaced ? MODEL_GOES : j->old_x ? MODEL_WENT : MODEL_NO_PART;
	if (!j->two_sided)
		return MODEL_NO_PART;
	return !j->replaced ? MODEL_STAYS : j->old_m ? MODEL_GOES : MODEL_COMES;
}

/* Which parts a stage is about: those in the machine before, those that leave and come, those in
 * the machine after. */
static inline bool model_in_place(const struct model *m, struct model_scan s)
{
	const enum model_part part = model_part(m, s);
	switch (m->plan.stage) {
	case MODEL_TAG: /* the outgoing part is known by its X there */
		return part == MODEL_HARNESS || part == MODEL_STAYS ||
		       (part == MODEL_GOES && s.side == 'X');
	case MODEL_UNPLUG:
		return part == MODEL_HARNESS || part == MODEL_STAYS || part == MODEL_GOES;
	case MODEL_SWAP:
		return (part == MODEL_GOES && s.side == 'X') || part == MODEL_COMES;
	default:
		return part == MODEL_HARNESS || part == MODEL_STAYS || part == MODEL_COMES;
	}
}

/* On a part that has gone where the one that stays is wanted. */
static inline bool model_outgoing(const struct model *m, struct model_scan s)
{
	const enum model_part part = model_part(m, s);
	if (m->plan.stage == MODEL_SWAP)
		return part == MODEL_GOES && s.side == 'M';
	return m->plan.stage == MODEL_RECONNECT && (part == MODEL_GOES || part == MODEL_WENT);
}

static inline bool model_live(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && model_in_place(m, s);
}

/* One sticker says all there is to say: the joint has no more, or it comes apart. */
static inline bool model_one(const struct model *m, struct model_scan s)
{
	return model_live(m, s) && (m->plan.stage == MODEL_UNPLUG ||
					   !m->plan.joints[model_find(m, s.number)].two_sided);
}

static inline bool model_two(const struct model *m, struct model_scan s)
{
	return model_live(m, s) && !model_one(m, s);
}

/* What is pending is the kind of half that goes with this one. */
static inline bool model_opposite(const struct model *m, struct model_scan s)
{
	const int old = m->now.at[m->station].side;
	if (model_pending(m) == 0)
		return false;
	if (m->plan.stage == MODEL_SWAP)
		return old != s.side;
	return (old == 'H' && s.side != 'H') || (old != 'H' && s.side == 'H');
}

/* Both halves of one joint, or all there is of a one-sided one. */
static inline bool model_complete(const struct model *m, struct model_scan s)
{
	return model_one(m, s) ||
	       (model_two(m, s) && model_opposite(m, s) && model_pending(m) == s.number);
}

static inline bool model_is_made(const struct model *m, struct model_scan s)
{
	return m->now.made[model_find(m, s.number)];
}

static inline bool model_is_free(const struct model *m, struct model_scan s)
{
	return model_free(m, model_find(m, s.number));
}

static inline bool row_half(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_pending(m) == 0;
}

static inline bool row_mated(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_complete(m, s) && !model_is_made(m, s) &&
	       model_is_free(m, s);
}

static inline bool row_done(const struct model *m, struct model_scan s)
{
	return model_one(m, s) && !model_is_made(m, s) && model_is_free(m, s);
}

static inline bool row_repeat(const struct model *m, struct model_scan s)
{
	return model_complete(m, s) && model_is_made(m, s);
}

static inline bool row_same_side(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_pending(m) != 0 && !model_opposite(m, s);
}

static inline bool row_wrong_mate(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_opposite(m, s) && model_pending(m) != s.number;
}

static inline bool row_out_of_order(const struct model *m, struct model_scan s)
{
	return model_complete(m, s) && !model_is_made(m, s) && !model_is_free(m, s);
}

static inline bool row_old_part(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && model_outgoing(m, s);
}

static inline bool row_foreign(const struct model *m, struct model_scan s)
{
	(void)m;
	return s.source == MODEL_OTHER_HARNESS;
}

static inline bool row_unknown(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && !model_in_place(m, s) && !model_outgoing(m, s);
}

static inline bool row_misread(const struct model *m, struct model_scan s)
{
	return s.source == MODEL_NOISE || (s.source == MODEL_TYPED && !model_counts(m, s));
}

struct model_row {
	const char *verdict;
	bool (*applies)(const struct model *m, struct model_scan s);
};

static const struct model_row model_rows[] = {
	{ "half", row_half },
	{ "mated", row_mated },
	{ "done", row_done },
	{ "repeat", row_repeat },
	{ "same-side", row_same_side },
	{ "wrong-mate", row_wrong_mate },
	{ "out-of-order", row_out_of_order },
	{ "old-part", row_old_part },
	{ "foreign", row_foreign },
	{ "unknown", row_unknown },
	{ "misread", row_misread },
};
enum { MODEL_ROWS = sizeof(model_rows) / sizeof(model_rows[0]) };

/* Opens these joints and, of those that are made, whatever comes after one that was opened. None of
 * them was left plugged in then. */
static inline void model_open_all(struct model *m, bool opened[MODEL_JOINTS])
{
	for (bool again = true; again;) {
		again = false;
		for (int i = 0; i < m->plan.count; i++)
			for (int k = 0; k < m->plan.count; k++)
				if (opened[k] && model_precedes(m, k, i) && m->now.made[i] &&
					!opened[i])
					again = opened[i] = true;
	}
	for (int i = 0; i < m->plan.count; i++)
		if (opened[i]) {
			m->now.made[i] = m->now.by_typing[i] = m->now.left[i] = 0;
			m->now.unasked[i] = 0;
			m->reopened++;
		}
}

static inline void model_open(struct model *m, int one, int other)
{
	bool opened[MODEL_JOINTS] = { false };
	opened[one] = m->now.made[one] != 0;
	opened[other] = m->now.made[other] != 0;
	model_open_all(m, opened);
}

static inline void model_find_wrong(struct model *m, int number, int side, int mate, int mate_side)
{
	struct model_state *now = &m->now;
	for (int i = 0; i < now->wrong_count; i++)
		if (now->wrong[i][0] == number && now->wrong[i][1] == mate)
			return;
	assert(now->wrong_count < MODEL_WRONG);
	int *wrong = now->wrong[now->wrong_count++];
	wrong[0] = number;
	wrong[1] = mate;
	wrong[2] = mate_side;
	wrong[3] = side;
}

/* Forgets the wrong mates whose two joints are both made. */
static inline void model_resolve(struct model *m)
{
	const struct model_state old = m->now;
	m->now.wrong_count = 0;
	memset(m->now.wrong, 0, sizeof(m->now.wrong));
	for (int i = 0; i < old.wrong_count; i++)
		if (!old.made[model_find(m, old.wrong[i][0])] ||
			!old.made[model_find(m, old.wrong[i][1])])
			memcpy(m->now.wrong[m->now.wrong_count++], old.wrong[i],
				sizeof(old.wrong[i]));
}

static inline void model_wait_for(struct model *m, struct model_scan s)
{
	m->now.at[m->station].pending = s.number;
	m->now.at[m->station].side = s.side;
	m->now.at[m->station].typed = s.source == MODEL_TYPED;
}

static inline void model_wait_for_nothing(struct model *m, int station)
{
	memset(&m->now.at[station], 0, sizeof(m->now.at[station]));
}

static inline void model_wrong_mate(struct model *m, struct model_scan s)
{
	const int other = model_pending(m), other_side = m->now.at[m->station].side;
	model_open(m, model_find(m, s.number), model_find(m, other));
	if (s.side == 'H' || (m->plan.stage == MODEL_SWAP && s.side == 'X'))
		model_find_wrong(m, s.number, s.side, other, other_side);
	else
		model_find_wrong(m, other, other_side, s.number, s.side);
}

static inline void model_make(struct model *m, struct model_scan s, bool pair)
{
	const int joint = model_find(m, s.number);
	m->now.made[joint] = 1;
	m->now.by_typing[joint] = s.source == MODEL_TYPED || (pair && m->now.at[m->station].typed);
	m->now.skipped[joint] = 0;
	model_resolve(m);
}

static inline bool model_keep(struct model *m, const struct model_state *old)
{
	if (memcmp(old, &m->now, sizeof(*old)) == 0)
		return false;
	assert(m->depth < MODEL_DEPTH);
	m->whose[m->depth] = m->station;
	m->before[m->depth++] = *old;
	return true;
}

/* The verdict, as an index into model_rows: one row applies, and no other. */
static inline int model_verdict(const struct model *m, struct model_scan s)
{
	int row = 0;
	while (!model_rows[row].applies(m, s))
		row++;
	for (int later = row + 1; later < MODEL_ROWS; later++)
		assert(!model_rows[later].applies(m, s));
	return row;
}

/* The same, and does what it says; *changed tells whether undo would take it back. */
static inline int model_feed(struct model *m, struct model_scan s, bool *changed)
{
	const struct model_state old = m->now;
	const int row = model_verdict(m, s);
	const char *verdict = model_rows[row].verdict;
	const bool whole = model_complete(m, s);
	m->reopened = 0;
	if (strcmp(verdict, "wrong-mate") == 0)
		model_wrong_mate(m, s);
	if (strcmp(verdict, "mated") == 0 || strcmp(verdict, "done") == 0)
		model_make(m, s, strcmp(verdict, "mated") == 0);
	if (strcmp(verdict, "out-of-order") == 0 && m->plan.stage == MODEL_UNPLUG)
		model_make(m, s, false);
	if (strcmp(verdict, "half") == 0 || strcmp(verdict, "same-side") == 0)
		model_wait_for(m, s);
	else if (strcmp(verdict, "misread") != 0)
		model_wait_for_nothing(m, m->station);
	for (int i = 0; i < MODEL_STATIONS; i++)
		if (whole && m->now.at[i].pending == s.number)
			model_wait_for_nothing(m, i);
	*changed = model_keep(m, &old);
	return row;
}

/* It turns out to be apart. Nothing from before that is taken back. */
static inline bool model_require(struct model *m, int joint)
{
	const struct model_state old = m->now;
	if (!model_concerns(m, joint))
		return false;
	model_open(m, joint, joint);
	m->now.unasked[joint] = 0;
	if (memcmp(&old, &m->now, sizeof(old)) == 0)
		return false;
	m->depth = 0;
	return true;
}

/* All that come after it turn out to be apart, whether it is itself or not. */
static inline void model_open_after(struct model *m, int joint)
{
	bool opened[MODEL_JOINTS] = { false };
	for (int i = 0; i < m->plan.count; i++)
		opened[i] = m->now.made[i] && model_precedes(m, joint, i);
	model_open_all(m, opened);
	m->depth = 0;
}

/* An open joint is not asked for, or is after all. */
static inline void model_ask(struct model *m, int joint, bool asked)
{
	m->now.unasked[joint] = !asked;
	m->depth = 0;
}

static inline bool model_skip(struct model *m, int number)
{
	const struct model_state old = m->now;
	const int joint = model_find(m, number);
	if (joint < 0 || !model_concerns(m, joint))
		return false;
	if (!m->now.made[joint])
		m->now.skipped[joint] = 1;
	model_keep(m, &old);
	return true;
}

static inline bool model_undo(struct model *m)
{
	if (m->depth == 0 || m->whose[m->depth - 1] != m->station)
		return false;
	m->now = m->before[--m->depth];
	return true;
}

static inline int model_needed_count(const struct model *m)
{
	int count = 0;
	for (int i = 0; i < m->plan.count; i++)
		count += model_needed(m, i);
	return count;
}

static inline int model_made_count(const struct model *m)
{
	int count = 0;
	for (int i = 0; i < m->plan.count; i++)
		count += m->now.made[i] && model_needed(m, i);
	return count;
}

static inline int model_typed_count(const struct model *m)
{
	int count = 0;
	for (int i = 0; i < m->plan.count; i++)
		count += m->now.made[i] && m->now.by_typing[i];
	return count;
}

static inline bool model_ok(const struct model *m)
{
	for (int i = 0; i < MODEL_STATIONS; i++)
		if (m->now.at[i].pending != 0)
			return false;
	for (int i = 0; i < m->plan.count; i++)
		if (model_needed(m, i) && !m->now.made[i])
			return false;
	return m->now.wrong_count == 0;
}

/* The next joint to offer, or -1. */
static inline int model_next(const struct model *m)
{
	for (int i = 0; i < m->plan.count; i++) {
		const int joint = m->plan.order[i];
		if (model_needed(m, joint) && !m->now.made[joint] && !m->now.skipped[joint] &&
			model_free(m, joint))
			return joint;
	}
	return -1;
}

#endif
