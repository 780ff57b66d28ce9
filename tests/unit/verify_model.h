/* The rules of verification stated a second time, for comparing: each verdict is a condition of
 * its own over the whole state, nothing is kept up to date, everything is worked out anew, and
 * undo is a pile of copies. Slow, plain, and sharing nothing with src/verify. */
#ifndef TESTS_VERIFY_MODEL_H
#define TESTS_VERIFY_MODEL_H

#include <assert.h>
#include <stdbool.h>
#include <string.h>

enum { MODEL_JOINTS = 7, MODEL_WRONG = MODEL_JOINTS * MODEL_JOINTS, MODEL_DEPTH = 128 };

struct model_joint {
	int number;
	bool two_sided, replaced, paper;
	bool after[MODEL_JOINTS];
};

struct model_plan {
	int count;
	struct model_joint joints[MODEL_JOINTS];
	int order[MODEL_JOINTS];
	bool tag_stage, typed_allowed;
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
	int pending, pending_side, pending_typed; /* pending: number or 0 */
	int wrong_count, wrong[MODEL_WRONG][3];   /* H number, mate number, mate side */
};

struct model {
	struct model_plan plan;
	struct model_state now;
	struct model_state before[MODEL_DEPTH];
	int depth;
	int reopened; /* by the last scan */
};

static int model_find(const struct model *m, int number)
{
	for (int i = 0; i < m->plan.count; i++)
		if (m->plan.joints[i].number == number)
			return i;
	return -1;
}

/* Every joint that must come first is made. While all is plugged in none must. */
static bool model_free(const struct model *m, int joint)
{
	for (int i = 0; i < m->plan.count; i++)
		if (!m->plan.tag_stage && m->plan.joints[joint].after[i] && !m->now.made[i])
			return false;
	return true;
}

/* It can be read, is of this harness, and counts although it may be typed. */
static bool model_counts(const struct model *m, struct model_scan s)
{
	const int joint = model_find(m, s.number);
	if (s.source == MODEL_TYPED)
		return m->plan.typed_allowed || (joint >= 0 && m->plan.joints[joint].paper);
	return s.source == MODEL_OWN;
}

/* The connector has or had such a sticker, and it can be there now. */
static bool model_placed(const struct model *m, struct model_scan s)
{
	const int joint = model_find(m, s.number);
	if (joint < 0)
		return false;
	const struct model_joint *j = &m->plan.joints[joint];
	if (s.side == 'X')
		return j->replaced;
	if (s.side == 'M' && m->plan.tag_stage)
		return j->two_sided && !j->replaced;
	return s.side == 'H' || j->two_sided;
}

static bool model_outgoing(const struct model *m, struct model_scan s)
{
	return s.side == 'X' && !m->plan.tag_stage;
}

static bool model_live(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && model_placed(m, s) && !model_outgoing(m, s);
}

static bool model_two(const struct model *m, struct model_scan s)
{
	return model_live(m, s) && m->plan.joints[model_find(m, s.number)].two_sided;
}

static bool model_one(const struct model *m, struct model_scan s)
{
	return model_live(m, s) && !m->plan.joints[model_find(m, s.number)].two_sided;
}

static bool model_opposite(const struct model *m, struct model_scan s)
{
	return m->now.pending != 0 && (m->now.pending_side == 'H') != (s.side == 'H');
}

/* Both halves of one joint, or all there is of a one-sided one. */
static bool model_complete(const struct model *m, struct model_scan s)
{
	return model_one(m, s) ||
	       (model_two(m, s) && model_opposite(m, s) && m->now.pending == s.number);
}

static bool model_is_made(const struct model *m, struct model_scan s)
{
	return m->now.made[model_find(m, s.number)];
}

static bool model_is_free(const struct model *m, struct model_scan s)
{
	return model_free(m, model_find(m, s.number));
}

static bool row_half(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && m->now.pending == 0;
}

static bool row_mated(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_complete(m, s) && !model_is_made(m, s) &&
	       model_is_free(m, s);
}

static bool row_done(const struct model *m, struct model_scan s)
{
	return model_one(m, s) && !model_is_made(m, s) && model_is_free(m, s);
}

static bool row_repeat(const struct model *m, struct model_scan s)
{
	return model_complete(m, s) && model_is_made(m, s);
}

static bool row_same_side(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && m->now.pending != 0 && !model_opposite(m, s);
}

static bool row_wrong_mate(const struct model *m, struct model_scan s)
{
	return model_two(m, s) && model_opposite(m, s) && m->now.pending != s.number;
}

static bool row_out_of_order(const struct model *m, struct model_scan s)
{
	return model_complete(m, s) && !model_is_made(m, s) && !model_is_free(m, s);
}

static bool row_old_part(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && model_placed(m, s) && model_outgoing(m, s);
}

static bool row_foreign(const struct model *m, struct model_scan s)
{
	(void)m;
	return s.source == MODEL_OTHER_HARNESS;
}

static bool row_unknown(const struct model *m, struct model_scan s)
{
	return model_counts(m, s) && !model_placed(m, s);
}

static bool row_misread(const struct model *m, struct model_scan s)
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

/* Opens made joints until none is left that should wait for an open one. */
static void model_settle(struct model *m)
{
	for (bool again = true; again;) {
		again = false;
		for (int i = 0; i < m->plan.count; i++)
			if (m->now.made[i] && !model_free(m, i)) {
				m->now.made[i] = m->now.by_typing[i] = 0;
				m->reopened++;
				again = true;
			}
	}
}

static void model_open(struct model *m, int joint)
{
	m->reopened += m->now.made[joint];
	m->now.made[joint] = m->now.by_typing[joint] = 0;
	model_settle(m);
}

static void model_find_wrong(struct model *m, int h, int mate, int side)
{
	struct model_state *now = &m->now;
	for (int i = 0; i < now->wrong_count; i++)
		if (now->wrong[i][0] == h && now->wrong[i][1] == mate)
			return;
	assert(now->wrong_count < MODEL_WRONG);
	int *wrong = now->wrong[now->wrong_count++];
	wrong[0] = h;
	wrong[1] = mate;
	wrong[2] = side;
}

/* Forgets the wrong mates whose two joints are both made. */
static void model_resolve(struct model *m)
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

static void model_wait_for(struct model *m, struct model_scan s)
{
	m->now.pending = s.number;
	m->now.pending_side = s.side;
	m->now.pending_typed = s.source == MODEL_TYPED;
}

static void model_wait_for_nothing(struct model *m)
{
	m->now.pending = m->now.pending_side = m->now.pending_typed = 0;
}

static void model_wrong_mate(struct model *m, struct model_scan s)
{
	const int other = m->now.pending, other_side = m->now.pending_side;
	model_open(m, model_find(m, s.number));
	model_open(m, model_find(m, other));
	if (s.side == 'H')
		model_find_wrong(m, s.number, other, other_side);
	else
		model_find_wrong(m, other, s.number, s.side);
}

static void model_make(struct model *m, struct model_scan s)
{
	const int joint = model_find(m, s.number);
	m->now.made[joint] = 1;
	m->now.by_typing[joint] = s.source == MODEL_TYPED || m->now.pending_typed;
	m->now.skipped[joint] = 0;
	model_resolve(m);
}

static bool model_keep(struct model *m, const struct model_state *old)
{
	if (memcmp(old, &m->now, sizeof(*old)) == 0)
		return false;
	assert(m->depth < MODEL_DEPTH);
	m->before[m->depth++] = *old;
	return true;
}

/* The verdict, as an index into model_rows; *changed tells whether undo would take it back. */
static int model_feed(struct model *m, struct model_scan s, bool *changed)
{
	const struct model_state old = m->now;
	int row = 0;
	while (!model_rows[row].applies(m, s))
		row++;
	for (int later = row + 1; later < MODEL_ROWS; later++)
		assert(!model_rows[later].applies(m, s));

	const char *verdict = model_rows[row].verdict;
	m->reopened = 0;
	if (strcmp(verdict, "wrong-mate") == 0)
		model_wrong_mate(m, s);
	if (strcmp(verdict, "done") == 0)
		m->now.pending_typed = 0;
	if (strcmp(verdict, "mated") == 0 || strcmp(verdict, "done") == 0)
		model_make(m, s);
	if (strcmp(verdict, "half") == 0 || strcmp(verdict, "same-side") == 0)
		model_wait_for(m, s);
	else if (strcmp(verdict, "misread") != 0)
		model_wait_for_nothing(m);
	*changed = model_keep(m, &old);
	return row;
}

static bool model_skip(struct model *m, int number)
{
	const struct model_state old = m->now;
	const int joint = model_find(m, number);
	if (joint < 0)
		return false;
	if (!m->now.made[joint])
		m->now.skipped[joint] = 1;
	model_keep(m, &old);
	return true;
}

static bool model_undo(struct model *m)
{
	if (m->depth == 0)
		return false;
	m->now = m->before[--m->depth];
	return true;
}

static int model_made_count(const struct model *m)
{
	int count = 0;
	for (int i = 0; i < m->plan.count; i++)
		count += m->now.made[i];
	return count;
}

static int model_typed_count(const struct model *m)
{
	int count = 0;
	for (int i = 0; i < m->plan.count; i++)
		count += m->now.made[i] && m->now.by_typing[i];
	return count;
}

static bool model_ok(const struct model *m)
{
	return model_made_count(m) == m->plan.count && m->now.pending == 0 &&
	       m->now.wrong_count == 0;
}

/* The next joint to offer, or -1. */
static int model_next(const struct model *m)
{
	for (int i = 0; i < m->plan.count; i++) {
		const int joint = m->plan.order[i];
		if (!m->now.made[joint] && !m->now.skipped[joint] && model_free(m, joint))
			return joint;
	}
	return -1;
}

#endif
