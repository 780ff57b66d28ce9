/* Random scans against a second statement of the rules of verification (verify_model.h). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/verify.h"
#include "verify_feed.h"
#include "verify_model.h"
#include "verify_spell.h"

/* The second statement of the rules. */

enum { SEQUENCE_JOINTS = 7 };

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

/* A row of the numbers from 0, in any order. */
static void shuffle(int *out, int count, uint64_t *seed)
{
	memset(out, 0, (size_t)count * sizeof(*out));
	for (int i = 0; i < count; i++) {
		const int at = below(seed, i + 1);
		out[i] = out[at];
		out[at] = i;
	}
}

/* Any pairs, as long as they lead one way: each node has a place in a hidden order. */
static void random_after(struct model_plan *out, uint64_t *seed)
{
	int hidden[MODEL_NODES];
	shuffle(hidden, MODEL_NODES, seed);
	for (int i = 0; i < MODEL_NODES; i++)
		for (int k = 0; k < MODEL_NODES; k++) {
			const bool passage = i >= MODEL_JOINTS || k >= MODEL_JOINTS;
			out->after[i][k] = hidden[k] < hidden[i] && model_has(out, i) &&
					   model_has(out, k) && one_in(seed, passage ? 3 : 5);
		}
}

static void random_plan(struct model_plan *out, uint64_t *seed)
{
	memset(out, 0, sizeof(*out));
	out->count = 1 + below(seed, SEQUENCE_JOINTS);
	out->passages = one_in(seed, 2) ? 0 : 1 + below(seed, 4);
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
	}
	shuffle(out->order, out->count, seed);
	random_after(out, seed);
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

/* Where the machine has a node of the model. */
static size_t node_of(const struct model_plan *plan, int node)
{
	return (size_t)(node < MODEL_JOINTS ? node : plan->count + node - MODEL_JOINTS);
}

/* Whether a number is that of a joint that holds this one up; 0 where none does. The first of them,
 * where no connector without a number lies between. */
static bool names_a_blocker(const struct model *m, int joint, unsigned number)
{
	const int first = model_blocker(m, joint), named = model_find(m, (int)number);
	if (first < 0 || number == 0)
		return first < 0 && number == 0;
	return named >= 0 && model_holds_up(m, named, joint) &&
	       (m->plan.passages > 0 || named == first);
}

/* False, with why, when the machine and the model are not in the same state. */
static const char *difference(const struct lt_verify *verify, const struct model *m)
{
	unsigned number, station;
	enum lt_side side;
	for (int i = 0; i < m->plan.count; i++) {
		if (!names_a_blocker(m, i, lt_verify_blocked_by(verify, (size_t)i)))
			return "blocked by";
		if (lt_verify_needed(verify, (size_t)i) != model_needed(m, i))
			return "needed";
		if (lt_verify_made(verify, (size_t)i) != (m->now.made[i] != 0))
			return "made";
		if (lt_verify_skipped(verify, (size_t)i) != (m->now.skipped[i] != 0))
			return "skipped";
		if (lt_verify_open(verify, (size_t)i) != (m->now.made[i] == 0))
			return "open";
		if (lt_verify_typed(verify, (size_t)i) != (m->now.made[i] && m->now.by_typing[i]))
			return "typed";
	}
	for (int i = 0; i < m->plan.passages && m->plan.stage == MODEL_RECONNECT; i++)
		if (lt_verify_open(verify, node_of(&m->plan, MODEL_JOINTS + i)) ==
			model_passed(m, i))
			return "passed";
	int waiting = 0, seen = 0;
	for (int i = 0; i < MODEL_STATIONS; i++)
		waiting += m->now.at[i].pending != 0;
	for (size_t i = 0; lt_verify_pending_at(verify, i, &number, &side, &station); i++) {
		if (number != (unsigned)m->now.at[station - 1].pending ||
			(number != 0 && side != side_of(m->now.at[station - 1].side)))
			return "pending at a station";
		seen += number != 0;
	}
	if (seen != waiting || lt_verify_is_pending(verify) != (waiting > 0))
		return "how many are pending";
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
	unsigned long undone, refused, skipped, required, left, deep_reopened, opened_after;
	unsigned long asked, unasked, impossible, through_passage, later_listed, steps;
};

/* The machine that is asked, and one that only gets what the first was answered. */
struct pair {
	struct lt_verify *asked, *told;
};

/* What cannot have been answered is refused, and nothing is changed. */
static const char *tell_the_impossible(struct lt_verify *told, const struct model *m,
	uint64_t *seed, struct tally *tally)
{
	const int joint = below(seed, m->plan.count);
	const bool made = m->now.made[joint] != 0;
	const unsigned number = (unsigned)m->plan.joints[joint].number;
	enum lt_verdict verdict = made ? LT_VERDICT_MATED : LT_VERDICT_REPEAT;
	unsigned named = number;
	if (one_in(seed, 4))
		verdict = made ? LT_VERDICT_DONE : LT_VERDICT_REPEAT;
	if (one_in(seed, 4)) {
		verdict = LT_VERDICT_HALF;
		named = 99;
	}
	if (model_pending(m) == 0 && one_in(seed, 4))
		verdict = LT_VERDICT_WRONG_MATE;
	struct lt_answer answer = {
		.verdict = verdict, .has_tag = true, .number = named, .side = LT_SIDE_H
	};
	if (lt_verify_apply(told, &answer))
		return "an answer that cannot be";
	tally->impossible++;
	return difference(told, m);
}

/* In what an answer and the model differ. */
static const char *compare_answer(const struct lt_answer *answer, const struct model *m, int row,
	int pending, int joint)
{
	if (strcmp(lt_verdict_name(answer->verdict), model_rows[row].verdict) != 0)
		return model_rows[row].verdict;
	if (answer->verdict == LT_VERDICT_OUT_OF_ORDER
			? !names_a_blocker(m, joint, answer->blocked_by)
			: answer->blocked_by != 0)
		return "blocked by, as answered";
	return answer->other == (unsigned)pending ? NULL : "other";
}

static const char *scan_step(const struct pair *pair, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	const struct model_scan scan = random_scan(m, seed);
	const int pending = model_pending(m), joint = model_find(m, scan.number);
	const int blocker = joint < 0 ? -1 : model_blocker(m, joint);
	const bool left = joint >= 0 && m->now.left[joint];
	const bool unasked = joint >= 0 && m->now.unasked[joint];
	char text[64];
	bool changed;
	random_text(text, scan, seed);

	struct lt_answer answer = lt_verify_judge(pair->asked, text, strlen(text));
	const char *why = difference(pair->asked, m);
	if (why != NULL)
		return "judging changed something";
	struct lt_answer told = {
		.verdict = answer.verdict,
		.has_tag = answer.has_tag,
		.number = answer.number,
		.side = answer.side,
		.typed = answer.typed,
	};
	const int row = model_verdict(m, scan);
	tally->verdicts[m->plan.stage][row]++;
	if (answer.verdict == LT_VERDICT_OUT_OF_ORDER && blocker >= 0) {
		const bool down = m->plan.stage == MODEL_UNPLUG;
		tally->through_passage +=
			down ? !m->plan.after[blocker][joint] : !m->plan.after[joint][blocker];
		tally->later_listed += down ? blocker < joint : blocker > joint;
	}
	why = compare_answer(&answer, m, row, pending, joint);
	if (why != NULL)
		return why;
	const struct lt_answer judged = answer;
	model_feed(m, scan, &changed);
	if (one_in(seed, 2))
		answer = feed_scan(pair->asked, text, strlen(text));
	else if (!lt_verify_apply(pair->asked, &answer))
		return "an answer that was just given";
	if (!lt_verify_apply(pair->told, &told))
		return "an answer that was kept";
	if (told.other != judged.other ||
		(judged.other != 0 && told.other_side != judged.other_side))
		return "what was pending, of an answer that was kept";
	tally->left += answer.left;
	tally->deep_reopened += m->reopened > 2;
	if (answer.verdict != told.verdict || answer.blocked_by != judged.blocked_by ||
		answer.other != judged.other)
		return "fed, and judged";
	if (answer.reopened != (size_t)m->reopened || told.reopened != answer.reopened)
		return "reopened";
	if (!unasked && answer.left != (left && answer.verdict == LT_VERDICT_REPEAT))
		return "left";
	return answer.changed == changed && told.changed == changed ? NULL : "changed";
}

static const char *reconnect_step(const struct pair *pair, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	const int joint = below(seed, m->plan.count);
	if (one_in(seed, 3)) {
		model_open_after(m, joint);
		tally->opened_after += m->reopened > 0;
		lt_verify_open_after(pair->asked, (size_t)joint);
		lt_verify_open_after(pair->told, (size_t)joint);
		return NULL;
	}
	const bool required = model_require(m, joint);
	tally->required += required;
	return lt_verify_require(pair->asked, (size_t)joint) == required &&
			       lt_verify_require(pair->told, (size_t)joint) == required
		       ? NULL
		       : "require";
}

static const char *skip_step(const struct pair *pair, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	const int number = one_in(seed, 8) ? 1 + below(seed, 60)
					   : m->plan.joints[below(seed, m->plan.count)].number;
	const bool skipped = model_skip(m, number);
	tally->skipped += skipped;
	return lt_verify_skip(pair->asked, (unsigned)number) == skipped &&
			       lt_verify_skip(pair->told, (unsigned)number) == skipped
		       ? NULL
		       : "skip";
}

static const char *undo_step(const struct pair *pair, struct model *m, struct tally *tally)
{
	const bool any = m->depth > 0, undone = model_undo(m);
	tally->undone += undone;
	tally->refused += any && !undone;
	return lt_verify_undo(pair->asked) == undone && lt_verify_undo(pair->told) == undone
		       ? NULL
		       : "undo";
}

static void ask_step(const struct pair *pair, struct model *m, uint64_t *seed, struct tally *tally)
{
	const int joint = below(seed, m->plan.count);
	const bool asked = m->now.unasked[joint];
	if (m->now.made[joint] || !model_concerns(m, joint))
		return;
	model_ask(m, joint, asked);
	lt_verify_ask(pair->asked, (size_t)joint, asked);
	lt_verify_ask(pair->told, (size_t)joint, asked);
	*(asked ? &tally->asked : &tally->unasked) += 1;
}

static const char *step(const struct pair *pair, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	tally->steps++;
	m->reopened = 0;
	if (one_in(seed, 6)) {
		m->station = below(seed, MODEL_STATIONS);
		lt_verify_station(pair->asked, (unsigned)m->station + 1);
		lt_verify_station(pair->told, (unsigned)m->station + 1);
	}
	if (one_in(seed, 20)) {
		const char *why = tell_the_impossible(pair->told, m, seed, tally);
		if (why != NULL)
			return why;
	}
	if (m->plan.stage == MODEL_RECONNECT && one_in(seed, 20))
		return reconnect_step(pair, m, seed, tally);
	if (one_in(seed, 60)) {
		model_wait_for_nothing(m, m->station);
		lt_verify_drop_pending(pair->asked);
		lt_verify_drop_pending(pair->told);
	}
	if (one_in(seed, 20))
		ask_step(pair, m, seed, tally);
	if (one_in(seed, 15))
		return undo_step(pair, m, tally);
	if (one_in(seed, 25))
		return skip_step(pair, m, seed, tally);
	return scan_step(pair, m, seed, tally);
}

/* A plan of the model, as the machine is given it. */
struct described {
	struct lt_joint joints[MODEL_NODES];
	size_t after[MODEL_NODES][MODEL_NODES], order[MODEL_JOINTS], places[MODEL_NODES];
	struct lt_plan plan;
};

static const enum lt_stage stages[MODEL_STAGES] = { LT_STAGE_TAG, LT_STAGE_UNPLUG, LT_STAGE_SWAP,
	LT_STAGE_RECONNECT };

static void describe(struct described *out, const struct model_plan *plan)
{
	memset(out, 0, sizeof(*out));
	for (int i = 0; i < plan->count; i++) {
		const struct model_joint *joint = &plan->joints[i];
		out->order[i] = (size_t)plan->order[i];
		out->joints[i] = (struct lt_joint){ .number = (unsigned)joint->number,
			.has_m = joint->two_sided,
			.has_x = joint->replaced,
			.paper = joint->paper,
			.had_x = joint->old_x,
			.m_is_old = joint->old_m };
	}
	for (int i = 0; i < MODEL_NODES; i++) {
		if (!model_has(plan, i))
			continue;
		struct lt_joint *joint = &out->joints[node_of(plan, i)];
		size_t *after = out->after[node_of(plan, i)];
		joint->after = after;
		for (int k = 0; k < MODEL_NODES; k++)
			if (plan->after[i][k])
				after[joint->after_count++] = node_of(plan, k);
	}
	out->plan = (struct lt_plan){ .code = "RV3U42",
		.joints = out->joints,
		.joint_count = (size_t)plan->count,
		.passage_count = (size_t)plan->passages,
		.order = out->order,
		.stage = stages[plan->stage],
		.typed = plan->typed_allowed,
		.apart = plan->apart_known ? plan->apart : NULL };
}

static void compare_sequence(struct model *m, uint64_t seed, struct tally *tally)
{
	uint64_t random = seed * 0x9E3779B97F4A7C15u + 1;
	static struct described described;
	random_plan(&m->plan, &random);
	model_begin(m);
	describe(&described, &m->plan);
	const struct pair pair = { lt_verify_create(&described.plan),
		lt_verify_create(&described.plan) };
	const int steps = 6 + 4 * m->plan.count;
	for (int i = 0; i < steps; i++) {
		const char *why = step(&pair, m, &random, tally);
		const char *where = "";
		if (why == NULL)
			why = difference(pair.asked, m);
		if (why == NULL) {
			why = difference(pair.told, m);
			where = ", of the one that was told";
		}
		if (why != NULL)
			fail_msg("sequence %llu, step %d, at %s: they differ in: %s%s",
				(unsigned long long)seed, i, lt_stage_name(described.plan.stage),
				why, where);
		tally->finished[m->plan.stage] += model_ok(m);
	}
	lt_verify_destroy(pair.asked);
	lt_verify_destroy(pair.told);
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
	assert_true(tally.required > 1000 && tally.left > 1000 && tally.deep_reopened > 200);
	assert_true(tally.opened_after > 500 && tally.asked > 1000 && tally.unasked > 1000);
	assert_true(tally.through_passage > 1000 && tally.later_listed > 1000);
	assert_true(tally.impossible > 1000);
}

/* Whether a node could come next, where those that are `placed` came before. */
static bool could_be_next(const struct model_plan *plan, const bool placed[MODEL_NODES], int node)
{
	bool could = model_has(plan, node) && !placed[node];
	for (int i = 0; i < MODEL_NODES; i++) {
		if (placed[i])
			continue;
		if (plan->stage == MODEL_RECONNECT)
			could = could && !plan->after[node][i];
		if (plan->stage == MODEL_UNPLUG)
			could = could && node < plan->count &&
				(i >= plan->count || !model_comes_after(plan, i, node));
	}
	return could;
}

/* The usual order, a step at a time: of what could be next, at reconnect the last of the
 * description, else the first. At reconnect a connector without a number has its turn as well, as
 * on the checklist. */
static void usual_order(int out[MODEL_JOINTS], const struct described *described,
	const struct model_plan *plan)
{
	bool placed[MODEL_NODES] = { false };
	for (int joints = 0; joints < plan->count;) {
		int best = -1;
		for (int i = 0; i < MODEL_NODES; i++) {
			if (!could_be_next(plan, placed, i))
				continue;
			const size_t place = described->places[node_of(plan, i)];
			const bool earlier =
				best >= 0 && place < described->places[node_of(plan, best)];
			if (best < 0 || earlier == (plan->stage != MODEL_RECONNECT))
				best = i;
		}
		assert(best >= 0);
		placed[best] = true;
		if (best < MODEL_JOINTS)
			out[joints++] = best;
	}
}

/* The order where it is known what came apart: of the joints that could be next, the one that came
 * apart last; those that did not are last, from the end. */
static void known_order(int out[MODEL_JOINTS], const size_t ranks[MODEL_JOINTS],
	const struct model_plan *plan)
{
	bool placed[MODEL_NODES] = { false };
	for (int joints = 0; joints < plan->count; joints++) {
		int best = -1;
		for (int i = 0; i < plan->count; i++) {
			bool could = !placed[i];
			for (int k = 0; k < plan->count; k++)
				could = could && (placed[k] || !model_comes_after(plan, i, k));
			if (!could)
				continue;
			if (best < 0 || (ranks[i] == LT_NONE) < (ranks[best] == LT_NONE) ||
				((ranks[i] == LT_NONE) == (ranks[best] == LT_NONE) &&
					(ranks[i] == LT_NONE || ranks[i] > ranks[best])))
				best = i;
		}
		assert(best >= 0);
		placed[best] = true;
		out[joints] = best;
	}
}

static void test_orders(void **state)
{
	(void)state;
	static struct described described;
	for (uint64_t seed = 1; seed <= 20000; seed++) {
		uint64_t random = seed * 0x9E3779B97F4A7C15u + 1;
		struct model_plan plan;
		int apart[MODEL_JOINTS], wanted[MODEL_JOINTS];
		size_t ranks[MODEL_JOINTS], order[MODEL_JOINTS];
		random_plan(&plan, &random);
		describe(&described, &plan);
		int joint = 0, passage = 0;
		for (size_t place = 0; joint < plan.count || passage < plan.passages; place++) {
			const bool next = joint < plan.count &&
					  (passage == plan.passages || one_in(&random, 2));
			described.places[next ? joint++ : plan.count + passage++] = place;
		}
		described.plan.places = described.places;
		usual_order(wanted, &described, &plan);
		lt_plan_order(order, &described.plan, NULL);
		for (int i = 0; i < plan.count; i++)
			if (order[i] != (size_t)wanted[i])
				fail_msg("plan %llu, at %s: usual order, place %d",
					(unsigned long long)seed,
					lt_stage_name(described.plan.stage), i);

		const int gone = below(&random, plan.count + 1);
		shuffle(apart, plan.count, &random);
		for (int i = 0; i < plan.count; i++)
			ranks[i] = apart[i] < gone ? (size_t)apart[i] : LT_NONE;
		known_order(wanted, ranks, &plan);
		lt_plan_order(order, &described.plan, ranks);
		for (int i = 0; i < plan.count; i++)
			if (order[i] != (size_t)wanted[i])
				fail_msg("plan %llu: order by what came apart, place %d",
					(unsigned long long)seed, i);
	}
}

/* Nobody scans a joint that is not asked for; that it is found apart makes it asked for. */
static void test_required_is_needed(void **state)
{
	(void)state;
	static const struct lt_joint joints[] = { { .number = 1, .has_m = true } };
	static const size_t order[] = { 0 };
	const struct lt_plan plan = { .code = "RV3U42",
		.joints = joints,
		.joint_count = 1,
		.order = order,
		.stage = LT_STAGE_RECONNECT };
	struct lt_verify *verify = lt_verify_create(&plan);
	lt_verify_ask(verify, 0, false);
	assert_true(lt_verify_ok(verify));
	assert_true(lt_verify_require(verify, 0));
	assert_true(lt_verify_needed(verify, 0));
	assert_false(lt_verify_ok(verify));
	lt_verify_destroy(verify);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_required_is_needed),
		cmocka_unit_test(test_orders), cmocka_unit_test(test_against_the_model) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
