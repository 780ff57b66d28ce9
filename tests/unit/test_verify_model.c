#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/verify.h"
#include "verify_model.h"
#include "verify_spell.h"

/* The second statement of the rules. */

static uint64_t chance(uint64_t *seed)
{
	*seed ^= *seed << 13;
	*seed ^= *seed >> 7;
	*seed ^= *seed << 17;
	return *seed >> 11;
}

static bool one_in(uint64_t *seed, unsigned n)
{
	return chance(seed) % n == 0;
}

static int below(uint64_t *seed, int n)
{
	return (int)(chance(seed) % (unsigned)n);
}

static void random_plan(struct model_plan *out, uint64_t *seed)
{
	memset(out, 0, sizeof(*out));
	out->count = 1 + below(seed, MODEL_JOINTS);
	out->stage = (enum model_stage)below(seed, MODEL_STAGES);
	out->apart_known = one_in(seed, 2);
	out->typed_allowed = one_in(seed, 3);
	int first = 1 + below(seed, 20);
	for (int i = 0; i < out->count; i++) {
		struct model_joint *joint = &out->joints[i];
		joint->number = first;
		first += 1 + below(seed, 3);
		joint->two_sided = !one_in(seed, 5);
		joint->replaced =
			joint->two_sided && one_in(seed, out->stage == MODEL_SWAP ? 2 : 4);
		joint->paper = one_in(seed, 5);
		joint->old_x = one_in(seed, 5);
		joint->old_m = joint->replaced && one_in(seed, 4);
		out->apart[i] = !one_in(seed, 3);
		for (int k = 0; k < i; k++)
			joint->after[k] = one_in(seed, 4);
		const int at = below(seed, i + 1);
		out->order[i] = out->order[at];
		out->order[at] = i;
	}
}

/* The side that goes with another, mostly. */
static int other_side(const struct model_plan *plan, int joint, int side)
{
	if (plan->stage == MODEL_SWAP)
		return side == 'X' ? 'M' : 'X';
	if (side != 'H')
		return 'H';
	return plan->stage == MODEL_TAG && plan->joints[joint].replaced ? 'X' : 'M';
}

/* Mostly what a person would do next, so that sequences get far; now and then anything. */
static struct model_scan random_scan(const struct model *m, uint64_t *seed)
{
	static const int sides[] = { 'H', 'H', 'M', 'M', 'X' };
	struct model_scan scan = { MODEL_OWN, 0, 'H' };
	const struct model_plan *plan = &m->plan;
	const int pending = model_pending(m);
	if (pending != 0 && !one_in(seed, 4)) {
		scan.number = pending;
		scan.side = other_side(plan, model_find(m, pending), m->now.at[m->station].side);
	} else {
		const int next = model_next(m);
		const int any = below(seed, plan->count);
		scan.number = plan->joints[next < 0 || one_in(seed, 2) ? any : next].number;
		scan.side = sides[below(seed, 5)];
		if (plan->stage == MODEL_SWAP && !one_in(seed, 4))
			scan.side = sides[3 + below(seed, 2)];
	}
	if (one_in(seed, 25))
		scan.number = 1 + below(seed, 45);
	if (one_in(seed, 12))
		scan.side = sides[below(seed, 3) * 2];
	if (one_in(seed, 6))
		scan.source = (enum model_source)below(seed, MODEL_NOISE + 1);
	return scan;
}

static enum lt_side side_of(int letter)
{
	return letter == 'H' ? LT_SIDE_H : letter == 'M' ? LT_SIDE_M : LT_SIDE_X;
}

static void random_text(char out[64], struct model_scan scan, uint64_t *seed)
{
	static const char *const noise[] = { "", "12", "H12", "000", "yes", "012HRV3", "12HRV3",
		"\xFF\xFE" };
	char word[16];
	snprintf(word, sizeof(word), "%s%d%c",
		scan.source == MODEL_TYPED           ? "="
		: scan.source == MODEL_OTHER_HARNESS ? "~"
		: scan.source == MODEL_NOISE         ? "!"
						     : "",
		scan.number, scan.side);
	if (scan.source == MODEL_NOISE && one_in(seed, 2))
		snprintf(out, 64, "%s", noise[below(seed, 8)]);
	else
		spell(out, word);
}

/* False, with why, when the machine and the model are not in the same state. */
static const char *difference(const struct lt_verify *verify, const struct model *m)
{
	unsigned number, station;
	enum lt_side side;
	for (int i = 0; i < m->plan.count; i++) {
		const int blocker = model_blocker(m, i);
		if (lt_verify_blocked_by(verify, (size_t)i) !=
			(blocker < 0 ? 0 : (unsigned)m->plan.joints[blocker].number))
			return "blocked by";
		if (lt_verify_needed(verify, (size_t)i) != model_needed(m, i))
			return "needed";
		if (lt_verify_made(verify, (size_t)i) != (m->now.made[i] != 0))
			return "made";
		if (lt_verify_skipped(verify, (size_t)i) != (m->now.skipped[i] != 0))
			return "skipped";
	}
	if (lt_verify_pending(verify, &number, &side) != (model_pending(m) != 0) ||
		number != (unsigned)model_pending(m) ||
		(number != 0 && side != side_of(m->now.at[m->station].side)))
		return "pending";
	bool elsewhere = false;
	for (int i = 0; i < MODEL_STATIONS; i++)
		elsewhere = elsewhere || (i != m->station && m->now.at[i].pending != 0);
	if (lt_verify_pending_elsewhere(verify, &number, &side, &station) != elsewhere ||
		(elsewhere && (number != (unsigned)m->now.at[station - 1].pending ||
				      side != side_of(m->now.at[station - 1].side))))
		return "pending elsewhere";
	const struct lt_wrong_mate *wrong;
	if (lt_verify_wrong(verify, &wrong) != (size_t)m->now.wrong_count)
		return "count of wrong mates";
	for (int i = 0; i < m->now.wrong_count; i++)
		if (wrong[i].h != (unsigned)m->now.wrong[i][0] ||
			wrong[i].m != (unsigned)m->now.wrong[i][1] ||
			wrong[i].mate_side != side_of(m->now.wrong[i][2]) ||
			wrong[i].h_side != side_of(m->now.wrong[i][3]))
			return "wrong mates";
	if (lt_verify_made_count(verify) != (size_t)model_made_count(m))
		return "made count";
	if (lt_verify_needed_count(verify) != (size_t)model_needed_count(m))
		return "needed count";
	if (lt_verify_typed_count(verify) != (size_t)model_typed_count(m))
		return "typed count";
	if (lt_verify_ok(verify) != model_ok(m))
		return "ok";
	const int next = model_next(m);
	if (lt_verify_next(verify) != (next < 0 ? LT_NONE : (size_t)next))
		return "next";
	return NULL;
}

/* How often each thing happened, so that the comparison is known to have compared it. */
struct tally {
	unsigned long verdicts[MODEL_STAGES][MODEL_ROWS];
	unsigned long finished[MODEL_STAGES];
	unsigned long undone, refused, skipped, required, left, deep_reopened;
};

static const char *step(struct lt_verify *verify, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	if (one_in(seed, 6)) {
		m->station = below(seed, MODEL_STATIONS);
		lt_verify_station(verify, (unsigned)m->station + 1);
	}
	if (m->plan.stage == MODEL_RECONNECT && one_in(seed, 40)) {
		const int joint = below(seed, m->plan.count);
		const bool required = model_require(m, joint);
		tally->required += required;
		return lt_verify_require(verify, (size_t)joint) == required ? NULL : "require";
	}
	if (one_in(seed, 60)) {
		model_wait_for_nothing(m, m->station);
		lt_verify_drop_pending(verify);
	}
	if (one_in(seed, 15)) {
		const bool any = m->depth > 0, undone = model_undo(m);
		tally->undone += undone;
		tally->refused += any && !undone;
		return lt_verify_undo(verify) == undone ? NULL : "undo";
	}
	if (one_in(seed, 25)) {
		const int number = one_in(seed, 8)
					   ? 1 + below(seed, 60)
					   : m->plan.joints[below(seed, m->plan.count)].number;
		const bool skipped = model_skip(m, number);
		tally->skipped += skipped;
		return lt_verify_skip(verify, (unsigned)number) == skipped ? NULL : "skip";
	}
	const struct model_scan scan = random_scan(m, seed);
	const int pending = model_pending(m), joint = model_find(m, scan.number);
	const int blocker = joint < 0 ? -1 : model_blocker(m, joint);
	const bool left = joint >= 0 && m->now.left[joint];
	char text[64];
	bool changed;
	random_text(text, scan, seed);
	const struct lt_answer answer = lt_verify_feed(verify, text, strlen(text));
	const int row = model_feed(m, scan, &changed);
	tally->verdicts[m->plan.stage][row]++;
	tally->left += answer.left;
	tally->deep_reopened += m->reopened > 2;
	if (strcmp(lt_verdict_name(answer.verdict), model_rows[row].verdict) != 0)
		return model_rows[row].verdict;
	if (answer.reopened != (size_t)m->reopened)
		return "reopened";
	if (answer.left != (left && answer.verdict == LT_VERDICT_REPEAT))
		return "left";
	if (answer.blocked_by != (answer.verdict == LT_VERDICT_OUT_OF_ORDER
						 ? (unsigned)m->plan.joints[blocker].number
						 : 0))
		return "blocked by, as answered";
	if (answer.other != (unsigned)pending)
		return "other";
	return answer.changed == changed ? NULL : "changed";
}

static void compare_sequence(struct model *m, uint64_t seed, struct tally *tally)
{
	static const enum lt_stage stages[MODEL_STAGES] = { LT_STAGE_TAG, LT_STAGE_UNPLUG,
		LT_STAGE_SWAP, LT_STAGE_RECONNECT };
	uint64_t random = seed * 0x9E3779B97F4A7C15u + 1;
	random_plan(&m->plan, &random);
	model_begin(m);

	struct lt_joint described[MODEL_JOINTS];
	size_t after[MODEL_JOINTS][MODEL_JOINTS], offered[MODEL_JOINTS];
	for (int i = 0; i < m->plan.count; i++) {
		const struct model_joint *joint = &m->plan.joints[i];
		described[i] = (struct lt_joint){ (unsigned)joint->number, joint->two_sided,
			joint->replaced, joint->paper, after[i], 0, joint->old_x, joint->old_m };
		for (int k = 0; k < m->plan.count; k++)
			if (joint->after[k])
				after[i][described[i].after_count++] = (size_t)k;
		offered[i] = (size_t)m->plan.order[i];
	}
	const struct lt_plan plan = { "RV3U42", described, (size_t)m->plan.count, offered,
		stages[m->plan.stage], m->plan.typed_allowed,
		m->plan.apart_known ? m->plan.apart : NULL };
	struct lt_verify *verify = lt_verify_create(&plan);
	const int steps = 6 + 4 * m->plan.count;
	for (int i = 0; i < steps; i++) {
		const char *why = step(verify, m, &random, tally);
		if (why == NULL)
			why = difference(verify, m);
		if (why != NULL)
			fail_msg("sequence %llu, step %d, at %s: they differ in: %s",
				(unsigned long long)seed, i, lt_stage_name(plan.stage), why);
		tally->finished[m->plan.stage] += model_ok(m);
	}
	lt_verify_destroy(verify);
}

/* What cannot come up at a stage. */
static bool never(int stage, const char *verdict)
{
	static const char *const not_at[MODEL_STAGES] = {
		[MODEL_TAG] = "out-of-order old-part",
		[MODEL_UNPLUG] = "half mated same-side wrong-mate old-part",
		[MODEL_SWAP] = "done out-of-order",
		[MODEL_RECONNECT] = "",
	};
	return strstr(not_at[stage], verdict) != NULL;
}

static void test_against_the_model(void **state)
{
	(void)state;
	static struct model m;
	struct tally tally = { .undone = 0 };
	for (uint64_t seed = 1; seed <= 100000; seed++)
		compare_sequence(&m, seed, &tally);
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		assert_true(tally.finished[stage] > 1000);
		for (int row = 0; row < MODEL_ROWS; row++) {
			const unsigned long times = tally.verdicts[stage][row];
			const char *verdict = model_rows[row].verdict;
			if (never(stage, verdict) ? times > 0 : times < 1000)
				fail_msg("stage %d: %s came up %lu times", stage, verdict, times);
		}
	}
	assert_true(tally.undone > 1000 && tally.refused > 1000 && tally.skipped > 1000);
	assert_true(tally.required > 1000 && tally.left > 1000 && tally.deep_reopened > 100);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_against_the_model) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
