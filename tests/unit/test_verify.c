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

/* A small harness: 5 and 44 come after 12 and 5, 7 and 20 are one-sided, 9's part is replaced, 31
 * has no room for a sticker. */
static const size_t after_5[] = { 0 }, after_20[] = { 1 }, after_44[] = { 1, 2 };
static const struct lt_joint joints[] = {
	{ 12, true, false, false, NULL, 0, false, false },
	{ 5, true, false, false, after_5, 1, false, false },
	{ 7, false, false, false, NULL, 0, false, false },
	{ 9, true, true, false, NULL, 0, false, false },
	{ 20, false, false, false, after_20, 1, false, false },
	{ 31, true, false, true, NULL, 0, false, false },
	{ 44, true, false, false, after_44, 2, false, false },
};
enum { JOINTS = sizeof(joints) / sizeof(joints[0]) };
static const size_t order[JOINTS] = { 3, 2, 1, 0, 4, 5, 6 };

static struct lt_plan plan_at(enum lt_stage stage, bool typed)
{
	return (struct lt_plan){ "RV3U42", joints, JOINTS, order, stage, typed };
}

/* Turns a word of a test into what a scanner gives. "12H" is the sticker of this harness, "=12H"
 * is typed, "~12H" is another unit's, "!12H" has a wrong check character, anything else is as it
 * is. */
static void spell(char out[64], const char *word)
{
	const char *tag = strchr("=~!", word[0]) != NULL ? word + 1 : word;
	char *end;
	const unsigned long number = strtoul(tag, &end, 10);
	if (*tag == '\0' || end == tag || strchr("HMX", *end) == NULL || end[1] != '\0') {
		snprintf(out, 64, "%s", word);
		return;
	}
	const enum lt_side side = *end == 'H' ? LT_SIDE_H : *end == 'M' ? LT_SIDE_M : LT_SIDE_X;
	if (word[0] == '=')
		lt_tag_write(out, (unsigned)number, side);
	else
		lt_scan_code_write(out, (unsigned)number, side,
			word[0] == '~' ? "RV3U43" : "RV3U42");
	if (word[0] == '!') {
		char *check = out + strlen(out) - 1;
		*check = *check == '0' ? '1' : '0';
	}
}

static struct lt_answer feed(struct lt_verify *verify, const char *word)
{
	char scan[64];
	spell(scan, word);
	return lt_verify_feed(verify, scan, strlen(scan));
}

/* Does every word: a scan, "-12" skips, "<" takes back. Writes the verdicts, "ok" or "no" for the
 * others, into `out`. */
static void play(struct lt_verify *verify, char *out, size_t size, const char *words)
{
	char copy[512];
	snprintf(copy, sizeof(copy), "%s", words);
	out[0] = '\0';
	char *rest = NULL;
	for (char *word = strtok_r(copy, " ", &rest); word != NULL;
		word = strtok_r(NULL, " ", &rest)) {
		const char *said;
		if (word[0] == '-')
			said = lt_verify_skip(verify, (unsigned)strtoul(word + 1, NULL, 10)) ? "ok"
											     : "no";
		else if (word[0] == '<')
			said = lt_verify_undo(verify) ? "ok" : "no";
		else
			said = lt_verdict_name(feed(verify, word).verdict);
		const size_t used = strlen(out);
		snprintf(out + used, size - used, "%s%s", used > 0 ? " " : "", said);
	}
}

/* "12 5; 9H; 3H4M" for made joints, what is pending, and unresolved wrong mates. */
static void sum_up(const struct lt_verify *verify, char *out, size_t size)
{
	size_t used = 0;
	unsigned number;
	enum lt_side side;
	out[0] = '\0';
	for (size_t i = 0; i < JOINTS; i++)
		if (lt_verify_made(verify, i))
			used += (size_t)snprintf(out + used, size - used, "%s%u",
				used > 0 ? " " : "", joints[i].number);
	used += (size_t)snprintf(out + used, size - used, ";");
	if (lt_verify_pending(verify, &number, &side))
		used += (size_t)snprintf(out + used, size - used, " %u%c", number,
			lt_side_letter(side));
	used += (size_t)snprintf(out + used, size - used, ";");
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(verify, &wrong);
	for (size_t i = 0; i < count; i++)
		used += (size_t)snprintf(out + used, size - used, " %uH%u%c", wrong[i].h,
			wrong[i].m, lt_side_letter(wrong[i].mate_side));
}

struct row {
	const char *name;
	enum lt_stage stage;
	bool typed;
	const char *words, *verdicts, *state;
};

#define R LT_STAGE_RECONNECT
#define T LT_STAGE_TAG

static const struct row rows[] = {
	{ "half: H first", R, false, "12H", "half", "; 12H;" },
	{ "half: M first", R, false, "12M", "half", "; 12M;" },
	{ "half: before its turn is still a half", R, false, "5H", "half", "; 5H;" },
	{ "mated: H then M", R, false, "12H 12M", "half mated", "12;;" },
	{ "mated: M then H", R, false, "12M 12H", "half mated", "12;;" },
	{ "mated: after-joint made", R, false, "12H 12M 5H 5M", "half mated half mated", "12 5;;" },
	{ "done", R, false, "7H", "done", "7;;" },
	{ "done: whatever is pending", R, false, "12H 7H 12M", "half done half", "7; 12M;" },
	{ "done: after-joint made", R, false, "12H 12M 5H 5M 20H", "half mated half mated done",
		"12 5 20;;" },
	{ "repeat: a pair", R, false, "12H 12M 12M 12H", "half mated half repeat", "12;;" },
	{ "repeat: one-sided", R, false, "7H 7H", "done repeat", "7;;" },
	{ "repeat: one-sided with another pending", R, false, "7H 12M 7H", "done half repeat",
		"7;;" },
	{ "same-side: H, H", R, false, "12H 9H", "half same-side", "; 9H;" },
	{ "same-side: M, M", R, false, "12M 9M", "half same-side", "; 9M;" },
	{ "same-side: the same sticker twice", R, false, "12H 12H", "half same-side", "; 12H;" },
	{ "same-side: the later one is pending", R, false, "9H 12H 12M", "half same-side mated",
		"12;;" },
	{ "same-side: X and M are both mates", T, false, "9X 12M", "half same-side", "; 12M;" },
	{ "wrong-mate: H on M", R, false, "12H 9M", "half wrong-mate", ";; 12H9M" },
	{ "wrong-mate: M on H", R, false, "9M 12H", "half wrong-mate", ";; 12H9M" },
	{ "wrong-mate: one was made", R, false, "12H 12M 12H 9M", "half mated half wrong-mate",
		";; 12H9M" },
	{ "wrong-mate: both open, and all that comes after", R, false,
		"7H 12H 12M 5H 5M 20H 44H 44M 31H 31M 12H 31M",
		"done half mated half mated done half mated half mated half wrong-mate",
		"7;; 12H31M" },
	{ "wrong-mate: only what comes after", R, false,
		"12H 12M 7H 5M 5H 20H 44M 44H 9H 9M 44H 9M",
		"half mated done half mated done half mated half mated half wrong-mate",
		"12 5 7 20;; 44H9M" },
	{ "wrong-mate: kept until both are made", R, false, "12H 9M 12H 12M",
		"half wrong-mate half mated", "12;; 12H9M" },
	{ "wrong-mate: resolved", R, false, "12H 9M 12H 12M 9M 9H",
		"half wrong-mate half mated half mated", "12 9;;" },
	{ "wrong-mate: told once, in order of finding", R, false, "12H 9M 9H 12M 12H 9M",
		"half wrong-mate half wrong-mate half wrong-mate", ";; 12H9M 9H12M" },
	{ "wrong-mate: crossed plugs, both resolved", R, false, "12H 9M 9H 12M 12H 12M 9H 9M",
		"half wrong-mate half wrong-mate half mated half mated", "12 9;;" },
	{ "wrong-mate: an outgoing part at stage tag", T, false, "12H 9X", "half wrong-mate",
		";; 12H9X" },
	{ "wrong-mate: no after at stage tag", T, false, "12H 12M 5H 5M 12H 31M",
		"half mated half mated half wrong-mate", "5;; 12H31M" },
	{ "out-of-order: a pair", R, false, "5H 5M", "half out-of-order", ";;" },
	{ "out-of-order: one-sided", R, false, "20H", "out-of-order", ";;" },
	{ "out-of-order: one-sided, another pending", R, false, "12M 20H", "half out-of-order",
		";;" },
	{ "out-of-order: never at stage tag", T, false, "5H 5M 20H", "half mated done", "5 20;;" },
	{ "old-part", R, false, "9X", "old-part", ";;" },
	{ "old-part: nothing pending after it", R, false, "9H 9X 9M", "half old-part half",
		"; 9M;" },
	{ "old-part: X is the mate at stage tag", T, false, "9H 9X", "half mated", "9;;" },
	{ "old-part: new part's sticker at stage tag", T, false, "9H 9M", "half unknown", ";;" },
	{ "foreign", R, false, "~12H", "foreign", ";;" },
	{ "foreign: nothing pending after it", R, false, "12H ~12M 12M", "half foreign half",
		"; 12M;" },
	{ "foreign: also a number that is not ours", R, false, "~13H", "foreign", ";;" },
	{ "unknown: no such number", R, false, "13H", "unknown", ";;" },
	{ "unknown: beyond all numbers", R, false, "99999H", "unknown", ";;" },
	{ "unknown: M of a one-sided joint", R, false, "7M", "unknown", ";;" },
	{ "unknown: X of a part that stays", R, false, "12X", "unknown", ";;" },
	{ "unknown: X of a part that stays, stage tag", T, false, "12H 12X", "half unknown", ";;" },
	{ "unknown: nothing pending after it", R, false, "12H 13M 12M", "half unknown half",
		"; 12M;" },
	{ "misread: not a scan", R, false, "hello", "misread", ";;" },
	{ "misread: wrong check character", R, false, "!12H", "misread", ";;" },
	{ "misread: what is pending stays", R, false, "12H !12M 12M", "half misread mated",
		"12;;" },
	{ "typed: not allowed", R, false, "12H =12M 12M", "half misread mated", "12;;" },
	{ "typed: unknown number, not allowed", R, false, "=13H", "misread", ";;" },
	{ "typed: a side it never had, not allowed", R, false, "=7M", "misread", ";;" },
	{ "typed: paper", R, false, "=31H =31M", "half mated", "31;;" },
	{ "typed: paper, a side it never had", R, false, "=31X", "unknown", ";;" },
	{ "typed: allowed", R, true, "=12H =12M =7H", "half mated done", "12 7;;" },
	{ "typed: unknown number, allowed", R, true, "12H =13H", "half unknown", ";;" },
	{ "typed: old part, allowed", R, true, "=9X", "old-part", ";;" },
	{ "skip: stays open", R, false, "-12 5H 5M", "ok half out-of-order", ";;" },
	{ "skip: no such number", R, false, "-13 -0", "no no", ";;" },
	{ "undo: nothing to take back", R, false, "<", "no", ";;" },
	{ "undo: a half", R, false, "12H < 12M", "half ok half", "; 12M;" },
	{ "undo: a pair leaves its half pending", R, false, "12H 12M <", "half mated ok",
		"; 12H;" },
	{ "undo: what changed nothing is passed over", R, false, "12H !12M hello 12H <",
		"half misread misread same-side ok", ";;" },
	{ "undo: a wrong mate, with all it opened", R, false, "12H 12M 5H 5M 12H 9M <",
		"half mated half mated half wrong-mate ok", "12 5; 12H;" },
	{ "undo: a resolved wrong mate comes back", R, false, "12H 9M 31H 9M 12H 12M 9H 9M <",
		"half wrong-mate half wrong-mate half mated half mated ok", "12; 9H; 12H9M 31H9M" },
	{ "undo: all the way", R, false, "7H 12H -9 < < < <", "done half ok ok ok ok no", ";;" },
};

static void test_rows(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		const struct lt_plan plan = plan_at(rows[i].stage, rows[i].typed);
		struct lt_verify *verify = lt_verify_create(&plan);
		char verdicts[512], sum[512];
		play(verify, verdicts, sizeof(verdicts), rows[i].words);
		sum_up(verify, sum, sizeof(sum));
		if (strcmp(verdicts, rows[i].verdicts) != 0 || strcmp(sum, rows[i].state) != 0)
			fail_msg("%s: %s\n\tgave   %s (%s)\n\twanted %s (%s)", rows[i].name,
				rows[i].words, verdicts, sum, rows[i].verdicts, rows[i].state);
		lt_verify_destroy(verify);
	}
}

/* Every verdict has at least one row above, so that none goes untested. */
static void test_rows_cover_every_verdict(void **state)
{
	(void)state;
	for (int verdict = 0; verdict < LT_VERDICT_COUNT; verdict++) {
		const char *name = lt_verdict_name((enum lt_verdict)verdict);
		bool found = false;
		for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++)
			found = found || strstr(rows[i].verdicts, name) != NULL;
		if (!found)
			fail_msg("no row gives %s", name);
	}
}

static void test_answers_say_what_was_read(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(R, false);
	struct lt_verify *verify = lt_verify_create(&plan);
	struct lt_answer answer = feed(verify, "12M");
	assert_true(answer.has_tag && !answer.typed && answer.changed);
	assert_int_equal(answer.number, 12);
	assert_int_equal(answer.side, LT_SIDE_M);
	assert_int_equal(answer.other, 0);
	assert_string_equal(answer.code, "RV3U42");

	answer = feed(verify, "=12H");
	assert_int_equal(answer.verdict, LT_VERDICT_MISREAD);
	assert_true(answer.has_tag && answer.typed && !answer.changed);
	assert_int_equal(answer.other, 12);
	assert_int_equal(answer.other_side, LT_SIDE_M);

	answer = feed(verify, "12H");
	assert_int_equal(answer.verdict, LT_VERDICT_MATED);
	feed(verify, "5H");
	feed(verify, "5M");
	feed(verify, "20H");
	feed(verify, "44H");
	answer = feed(verify, "44M");
	assert_int_equal(answer.verdict, LT_VERDICT_OUT_OF_ORDER);
	assert_int_equal(answer.blocked_by, 7);
	assert_int_equal(lt_verify_blocked_by(verify, 6), 7);

	feed(verify, "12H");
	answer = feed(verify, "9M");
	assert_int_equal(answer.verdict, LT_VERDICT_WRONG_MATE);
	assert_int_equal(answer.reopened, 3); /* 12, 5 after it, 20 after that */
	answer = feed(verify, "~7H");
	assert_string_equal(answer.code, "RV3U43");
	assert_true(answer.has_tag);
	answer = feed(verify, "nothing of ours");
	assert_true(!answer.has_tag && !answer.changed);
	lt_verify_destroy(verify);
}

/* A whole job, to the end, with the codes written out. */
/* A part replaced after its M sticker went out and before the new one's: that M is on the part that
 * leaves. And an X sticker of an earlier replacement. */
static void test_stickers_of_earlier_parts(void **state)
{
	(void)state;
	static const struct lt_joint two[] = { { 12, true, true, false, NULL, 0, true, true },
		{ 7, true, false, false, NULL, 0, true, false } };
	static const size_t as_listed[] = { 0, 1 };
	const struct lt_plan plan = { "RV3", two, 2, as_listed, R, false };
	static const struct {
		unsigned number;
		enum lt_side side;
		enum lt_verdict verdict;
	} steps[] = {
		{ 12, LT_SIDE_H, LT_VERDICT_HALF },
		{ 12, LT_SIDE_M, LT_VERDICT_OLD_PART },
		{ 12, LT_SIDE_X, LT_VERDICT_OLD_PART },
		{ 7, LT_SIDE_X, LT_VERDICT_OLD_PART },
		{ 7, LT_SIDE_H, LT_VERDICT_HALF },
		{ 7, LT_SIDE_M, LT_VERDICT_MATED },
	};
	struct lt_verify *verify = lt_verify_create(&plan);
	for (size_t i = 0; i < sizeof(steps) / sizeof(steps[0]); i++) {
		char scan[LT_SCAN_CODE_SIZE];
		lt_scan_code_write(scan, steps[i].number, steps[i].side, "RV3");
		assert_int_equal(lt_verify_feed(verify, scan, strlen(scan)).verdict,
			steps[i].verdict);
	}
	assert_false(lt_verify_ok(verify));
	lt_verify_destroy(verify);
}

static void test_whole_job(void **state)
{
	(void)state;
	static const struct lt_joint two[] = { { 12, true, false, false, NULL, 0, false, false },
		{ 7, false, false, false, NULL, 0, false, false } };
	static const size_t as_listed[] = { 1, 0 };
	const struct lt_plan plan = { "RV3", two, 2, as_listed, R, false };
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_int_equal(lt_verify_next(verify), 1);
	assert_int_equal(feed(verify, "http://bench.local:8080/12HRV3J").verdict, LT_VERDICT_HALF);
	assert_false(lt_verify_ok(verify));
	assert_int_equal(feed(verify, "12MRV3D").verdict, LT_VERDICT_MATED);
	assert_false(lt_verify_ok(verify));
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, 7, LT_SIDE_H, "RV3");
	assert_int_equal(feed(verify, code).verdict, LT_VERDICT_DONE);
	assert_true(lt_verify_ok(verify));
	assert_int_equal(lt_verify_next(verify), LT_NONE);
	assert_int_equal(lt_verify_made_count(verify), 2);
	/* With a half left pending it is not. */
	assert_int_equal(feed(verify, "12HRV3J").verdict, LT_VERDICT_HALF);
	assert_false(lt_verify_ok(verify));
	lt_verify_destroy(verify);
}

static void test_typed_are_counted(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(R, true);
	struct lt_verify *verify = lt_verify_create(&plan);
	feed(verify, "12H");
	feed(verify, "12M");
	assert_int_equal(lt_verify_typed_count(verify), 0);
	feed(verify, "=9H");
	feed(verify, "9M");
	feed(verify, "31H");
	feed(verify, "=31M");
	feed(verify, "=7H");
	assert_int_equal(lt_verify_typed_count(verify), 3);
	feed(verify, "9H");
	feed(verify, "31M"); /* a wrong mate opens both again */
	assert_int_equal(lt_verify_typed_count(verify), 1);
	feed(verify, "9H");
	feed(verify, "9M");
	assert_int_equal(lt_verify_typed_count(verify), 1);
	lt_verify_undo(verify);
	lt_verify_undo(verify);
	lt_verify_undo(verify);
	assert_int_equal(lt_verify_typed_count(verify), 3);
	/* A typed half that gives way to a scanned one does not count. */
	feed(verify, "=12H");
	feed(verify, "44H");
	feed(verify, "5H");
	feed(verify, "5M");
	assert_int_equal(lt_verify_typed_count(verify), 3);
	lt_verify_destroy(verify);
}

static void test_next_offers_what_can_be_made(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(R, false);
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_int_equal(lt_verify_next(verify), 3);
	assert_true(lt_verify_skip(verify, 9));
	assert_true(lt_verify_skipped(verify, 3));
	assert_int_equal(lt_verify_next(verify), 2);
	feed(verify, "7H");
	assert_int_equal(lt_verify_next(verify), 0); /* 5 comes earlier but after 12 */
	feed(verify, "9H");
	feed(verify, "9M");
	assert_false(lt_verify_skipped(verify, 3)); /* made after all */
	lt_verify_undo(verify);
	assert_true(lt_verify_skipped(verify, 3));
	lt_verify_skip(verify, 12);
	lt_verify_skip(verify, 31);
	assert_int_equal(lt_verify_next(verify), LT_NONE);
	assert_false(lt_verify_ok(verify));
	assert_true(lt_verify_skip(verify, 7)); /* made: left as it is */
	assert_false(lt_verify_skipped(verify, 2));
	lt_verify_destroy(verify);
	lt_verify_destroy(NULL);
}

static void test_nothing_to_verify(void **state)
{
	(void)state;
	const struct lt_plan plan = { "RV3", NULL, 0, NULL, R, true };
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_true(lt_verify_ok(verify));
	assert_int_equal(lt_verify_next(verify), LT_NONE);
	assert_int_equal(feed(verify, "12HRV3J").verdict, LT_VERDICT_UNKNOWN);
	assert_int_equal(lt_verify_feed(verify, NULL, 0).verdict, LT_VERDICT_MISREAD);
	assert_int_equal(lt_verify_joint(verify, 0), LT_NONE);
	lt_verify_destroy(verify);
}

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
	out->tag_stage = one_in(seed, 3);
	out->typed_allowed = one_in(seed, 3);
	int first = 1 + below(seed, 20);
	for (int i = 0; i < out->count; i++) {
		struct model_joint *joint = &out->joints[i];
		joint->number = first;
		first += 1 + below(seed, 3);
		joint->two_sided = !one_in(seed, 5);
		joint->replaced = joint->two_sided && one_in(seed, 4);
		joint->paper = one_in(seed, 5);
		for (int k = 0; k < i; k++)
			joint->after[k] = one_in(seed, 4);
		const int at = below(seed, i + 1);
		out->order[i] = out->order[at];
		out->order[at] = i;
	}
}

/* Mostly what a person would do next, so that sequences get far; now and then anything. */
static struct model_scan random_scan(const struct model *m, uint64_t *seed)
{
	static const int sides[] = { 'H', 'H', 'M', 'M', 'X' };
	struct model_scan scan = { MODEL_OWN, 0, 'H' };
	const struct model_plan *plan = &m->plan;
	if (m->now.pending != 0 && !one_in(seed, 4)) {
		const int joint = model_find(m, m->now.pending);
		scan.number = m->now.pending;
		if (m->now.pending_side == 'H')
			scan.side = plan->tag_stage && plan->joints[joint].replaced ? 'X' : 'M';
	} else {
		const int next = model_next(m);
		const int any = below(seed, plan->count);
		scan.number = plan->joints[next < 0 || one_in(seed, 2) ? any : next].number;
		scan.side = sides[below(seed, 5)];
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
	unsigned number;
	enum lt_side side;
	for (int i = 0; i < m->plan.count; i++) {
		if (lt_verify_made(verify, (size_t)i) != (m->now.made[i] != 0))
			return "made";
		if (lt_verify_skipped(verify, (size_t)i) != (m->now.skipped[i] != 0))
			return "skipped";
	}
	if (lt_verify_pending(verify, &number, &side) != (m->now.pending != 0) ||
		number != (unsigned)m->now.pending ||
		(number != 0 && side != side_of(m->now.pending_side)))
		return "pending";
	const struct lt_wrong_mate *wrong;
	if (lt_verify_wrong(verify, &wrong) != (size_t)m->now.wrong_count)
		return "count of wrong mates";
	for (int i = 0; i < m->now.wrong_count; i++)
		if (wrong[i].h != (unsigned)m->now.wrong[i][0] ||
			wrong[i].m != (unsigned)m->now.wrong[i][1] ||
			wrong[i].mate_side != side_of(m->now.wrong[i][2]))
			return "wrong mates";
	if (lt_verify_made_count(verify) != (size_t)model_made_count(m))
		return "made count";
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
	unsigned long verdicts[MODEL_ROWS];
	unsigned long undone, skipped, finished, deep_reopened;
};

static const char *step(struct lt_verify *verify, struct model *m, uint64_t *seed,
	struct tally *tally)
{
	if (one_in(seed, 15)) {
		const bool undone = model_undo(m);
		tally->undone += undone;
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
	const int pending = m->now.pending;
	char text[64];
	bool changed;
	random_text(text, scan, seed);
	const struct lt_answer answer = lt_verify_feed(verify, text, strlen(text));
	const int row = model_feed(m, scan, &changed);
	tally->verdicts[row]++;
	tally->deep_reopened += m->reopened > 2;
	if (strcmp(lt_verdict_name(answer.verdict), model_rows[row].verdict) != 0)
		return model_rows[row].verdict;
	if (answer.reopened != (size_t)m->reopened)
		return "reopened";
	if (answer.other != (unsigned)pending)
		return "other";
	return answer.changed == changed ? NULL : "changed";
}

static void compare_sequence(uint64_t seed, struct tally *tally)
{
	struct model m = { .depth = 0 };
	uint64_t random = seed * 0x9E3779B97F4A7C15u + 1;
	random_plan(&m.plan, &random);

	struct lt_joint described[MODEL_JOINTS];
	size_t after[MODEL_JOINTS][MODEL_JOINTS], offered[MODEL_JOINTS];
	for (int i = 0; i < m.plan.count; i++) {
		const struct model_joint *joint = &m.plan.joints[i];
		described[i] = (struct lt_joint){ (unsigned)joint->number, joint->two_sided,
			joint->replaced, joint->paper, after[i], 0, false, false };
		for (int k = 0; k < m.plan.count; k++)
			if (joint->after[k])
				after[i][described[i].after_count++] = (size_t)k;
		offered[i] = (size_t)m.plan.order[i];
	}
	const struct lt_plan plan = { "RV3U42", described, (size_t)m.plan.count, offered,
		m.plan.tag_stage ? T : R, m.plan.typed_allowed };
	struct lt_verify *verify = lt_verify_create(&plan);
	for (int i = 0; i < 60; i++) {
		const char *why = step(verify, &m, &random, tally);
		if (why == NULL)
			why = difference(verify, &m);
		if (why != NULL)
			fail_msg("sequence %llu, step %d: they differ in: %s",
				(unsigned long long)seed, i, why);
		tally->finished += model_ok(&m);
	}
	lt_verify_destroy(verify);
}

/* What was pending pairs with nothing after it is dropped, and undo has no step of its own for it.
 */
static void test_pending_is_dropped(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(LT_STAGE_RECONNECT, false);
	struct lt_verify *verify = lt_verify_create(&plan);
	char said[64];
	char sum[64];
	lt_verify_drop_pending(verify);
	assert_false(lt_verify_undo(verify));
	play(verify, said, sizeof(said), "12H hello");
	lt_verify_drop_pending(verify);
	lt_verify_drop_pending(verify);
	sum_up(verify, sum, sizeof(sum));
	assert_string_equal(sum, ";;");
	play(verify, said, sizeof(said), "12M 12H");
	assert_string_equal(said, "half mated");
	lt_verify_drop_pending(verify);
	play(verify, said, sizeof(said), "9H");
	lt_verify_drop_pending(verify);
	assert_true(lt_verify_undo(verify));
	sum_up(verify, sum, sizeof(sum));
	assert_string_equal(sum, "12;;");
	assert_true(lt_verify_undo(verify) && lt_verify_undo(verify) && lt_verify_undo(verify));
	assert_false(lt_verify_undo(verify));
	sum_up(verify, sum, sizeof(sum));
	assert_string_equal(sum, ";;");
	lt_verify_destroy(verify);
}

static void test_against_the_model(void **state)
{
	(void)state;
	struct tally tally = { .undone = 0 };
	for (uint64_t seed = 1; seed <= 20000; seed++)
		compare_sequence(seed, &tally);
	for (int row = 0; row < MODEL_ROWS; row++)
		if (tally.verdicts[row] < 1000)
			fail_msg("%s came up only %lu times", model_rows[row].verdict,
				tally.verdicts[row]);
	assert_true(tally.undone > 1000 && tally.skipped > 1000);
	assert_true(tally.finished > 1000 && tally.deep_reopened > 100);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_rows_cover_every_verdict),
		cmocka_unit_test(test_answers_say_what_was_read),
		cmocka_unit_test(test_stickers_of_earlier_parts),
		cmocka_unit_test(test_whole_job),
		cmocka_unit_test(test_typed_are_counted),
		cmocka_unit_test(test_next_offers_what_can_be_made),
		cmocka_unit_test(test_nothing_to_verify),
		cmocka_unit_test(test_pending_is_dropped),
		cmocka_unit_test(test_against_the_model),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
