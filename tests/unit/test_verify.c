/* The state machine of verification, by hand: verdicts and what they change at each stage. */
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
#include "verify_spell.h"

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

/* The same with three parts replaced; 31's only M sticker is on the outgoing one, and 44 had an
 * X sticker for an earlier part. */
static const struct lt_joint swapped[JOINTS] = {
	{ 12, true, true, false, NULL, 0, false, false },
	{ 5, true, false, false, after_5, 1, false, false },
	{ 7, false, false, false, NULL, 0, false, false },
	{ 9, true, true, false, NULL, 0, false, false },
	{ 20, false, false, false, after_20, 1, false, false },
	{ 31, true, true, true, NULL, 0, false, true },
	{ 44, true, false, false, after_44, 2, true, false },
};

static struct lt_plan plan_at(enum lt_stage stage, bool typed)
{
	const bool few = stage == LT_STAGE_TAG || stage == LT_STAGE_RECONNECT;
	return (struct lt_plan){ "RV3U42", few ? joints : swapped, JOINTS, order, stage, typed,
		NULL, 0, NULL };
}

static struct lt_answer feed(struct lt_verify *verify, const char *word)
{
	char scan[64];
	spell(scan, word);
	return feed_scan(verify, scan, strlen(scan));
}

static const char *act(struct lt_verify *verify, const char *word)
{
	const unsigned number = (unsigned)strtoul(word + 1, NULL, 10);
	switch (word[0]) {
	case '-':
		return lt_verify_skip(verify, number) ? "ok" : "no";
	case '+':
		return lt_verify_require(verify, lt_verify_joint(verify, number)) ? "ok" : "no";
	case '<':
		return lt_verify_undo(verify) ? "ok" : "no";
	case '@':
		lt_verify_station(verify, number);
		return "ok";
	default:
		return lt_verdict_name(feed(verify, word).verdict);
	}
}

/* Does every word: a scan, "-12" skips, "+12" requires, "<" takes back, "@2" is the station from
 * now on. Writes the verdicts, "ok" or "no" for the others, into `out`. */
static void play(struct lt_verify *verify, char *out, size_t size, const char *words)
{
	char copy[512];
	snprintf(copy, sizeof(copy), "%s", words);
	out[0] = '\0';
	char *rest = NULL;
	for (char *word = strtok_r(copy, " ", &rest); word != NULL;
		word = strtok_r(NULL, " ", &rest)) {
		const size_t used = strlen(out);
		snprintf(out + used, size - used, "%s%s", used > 0 ? " " : "", act(verify, word));
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
		used += (size_t)snprintf(out + used, size - used, " %u%c%u%c", wrong[i].h,
			lt_side_letter(wrong[i].h_side), wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
}

struct row {
	const char *name;
	enum lt_stage stage;
	bool typed;
	const char *words, *verdicts, *state;
};

#define R LT_STAGE_RECONNECT
#define T LT_STAGE_TAG
#define U LT_STAGE_UNPLUG
#define S LT_STAGE_SWAP

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

	{ "unplug: done by H", U, false, "44H", "done", "44;;" },
	{ "unplug: done by M", U, false, "44M", "done", "44;;" },
	{ "unplug: done by X, of a replaced part", U, false, "9X", "done", "9;;" },
	{ "unplug: done by an M that is on the outgoing part", U, false, "31M", "done", "31;;" },
	{ "unplug: one-sided, too early", U, false, "7H", "out-of-order", "7;;" },
	{ "unplug: done, what comes after it is apart", U, false, "44H 7H", "done done", "7 44;;" },
	{ "unplug: done, what comes after it stays", U, false, "-44 7H", "ok done", "7;;" },
	{ "unplug: done, only what comes directly after", U, false, "20H 44H 5H 12H",
		"done done done done", "12 5 20 44;;" },
	{ "unplug: repeat", U, false, "44H 44M 44H", "done repeat repeat", "44;;" },
	{ "unplug: out of order, and apart", U, false, "12H", "out-of-order", "12;;" },
	{ "unplug: out of order, then repeat", U, false, "12X 12H", "out-of-order repeat", "12;;" },
	{ "unplug: one of two that come after it stays", U, false, "-20 5M", "ok out-of-order",
		"5;;" },
	{ "unplug: never half", U, false, "44H 5H 44M", "done out-of-order repeat", "5 44;;" },
	{ "unplug: M of the new part", U, false, "9M", "unknown", ";;" },
	{ "unplug: X of a part that stays", U, false, "5X 44X", "unknown unknown", ";;" },
	{ "unplug: a side it never had", U, false, "7M", "unknown", ";;" },
	{ "unplug: no such number", U, false, "13H", "unknown", ";;" },
	{ "unplug: foreign", U, false, "~44H", "foreign", ";;" },
	{ "unplug: misread", U, false, "!44H hello =44H", "misread misread misread", ";;" },
	{ "unplug: typed, paper", U, false, "=31H", "done", "31;;" },
	{ "unplug: typed, allowed", U, true, "=44M", "done", "44;;" },
	{ "unplug: skipped, and apart after all", U, false, "-9 9H -9", "ok done ok", "9;;" },
	{ "unplug: undo", U, false, "44H 7H < 12H < <", "done done ok out-of-order ok ok", ";;" },

	{ "swap: half", S, false, "12X", "half", "; 12X;" },
	{ "swap: half, M first", S, false, "12M", "half", "; 12M;" },
	{ "swap: mated", S, false, "12X 12M", "half mated", "12;;" },
	{ "swap: mated, M first", S, false, "12M 12X", "half mated", "12;;" },
	{ "swap: repeat", S, false, "12X 12M 12M 12X", "half mated half repeat", "12;;" },
	{ "swap: X, X", S, false, "12X 9X 9M", "half same-side mated", "9;;" },
	{ "swap: M, M", S, false, "12M 9M 9X", "half same-side mated", "9;;" },
	{ "swap: wrong mate", S, false, "12X 9M", "half wrong-mate", ";; 12X9M" },
	{ "swap: wrong mate, M first", S, false, "9M 12X", "half wrong-mate", ";; 12X9M" },
	{ "swap: wrong mate, both open again", S, false, "12X 12M 9M 9X 9X 12M",
		"half mated half mated half wrong-mate", ";; 9X12M" },
	{ "swap: wrong mate, resolved", S, false, "9X 12M 9X 9M 12X 12M",
		"half wrong-mate half mated half mated", "12 9;;" },
	{ "swap: H", S, false, "12X 12H 12M", "half unknown half", "; 12M;" },
	{ "swap: a part that stays", S, false, "12X 5M 44X 7H", "half unknown unknown unknown",
		";;" },
	{ "swap: M on the outgoing part", S, false, "31X 31M", "half old-part", ";;" },
	{ "swap: no such number", S, false, "13X", "unknown", ";;" },
	{ "swap: foreign", S, false, "12X ~12M 12M", "half foreign half", "; 12M;" },
	{ "swap: misread", S, false, "12X !12M 12M", "half misread mated", "12;;" },
	{ "swap: typed, paper", S, false, "=31X", "half", "; 31X;" },
	{ "swap: typed, allowed", S, true, "=12X =12M", "half mated", "12;;" },
	{ "swap: skip", S, false, "-12 -5 -13", "ok no no", ";;" },
	{ "swap: undo", S, false, "12X 9M < 12M", "half wrong-mate ok mated", "12;;" },

	{ "finish: nothing to scan", LT_STAGE_FINISH, true, "12H 12M 9X 7H =7H",
		"unknown unknown unknown unknown unknown", ";;" },

	{ "stations: no wrong mate between two", R, false, "12H @2 9M @1 12M @2 9H",
		"half ok half ok mated ok mated", "12 9;;" },
	{ "stations: a pair is read at one", R, false, "12H @2 12M", "half ok half", "; 12M;" },
	{ "stations: no other's step is taken back", R, false, "7H @2 12H @1 < @2 < @1 < @3 <",
		"done ok half ok no ok ok ok ok ok no", ";;" },
	{ "stations: a whole pair ends the waiting of both its stickers", R, false,
		"12H @2 12H 12M @1 9M", "half ok half mated ok half", "12; 9M;" },
	{ "stations: also where it was made before", R, false, "12H 12M 12M @2 12H 12M @1 12H",
		"half mated half ok half repeat ok half", "12; 12H;" },
	{ "stations: undo gives the other his sticker back", R, false, "12H @2 12H 12M < @1 9M",
		"half ok half mated ok ok wrong-mate", ";; 12H9M" },
	{ "stations: a misread leaves both", R, false, "12H @2 9H hello @1 12M @2 9M",
		"half ok half misread ok mated ok mated", "12 9;;" },

	{ "require: opens it, and what comes after", R, false, "12H 12M 5H 5M 20H +12",
		"half mated half mated done ok", ";;" },
	{ "require: open anyway", R, false, "12H +12 <", "half no ok", ";;" },
	{ "require: nothing before is taken back", R, false, "7H 9H +7 < 9M < <",
		"done half ok no mated ok no", "; 9H;" },
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

/* 12 and 44 came apart; 5, 20 and the others were left plugged in. */
static const bool apart[JOINTS] = { true, false, false, false, false, false, true };

static const struct {
	const char *name, *words, *verdicts, *state;
	size_t made, needed;
	bool ok;
} left_rows[] = {
	{ "nothing yet", "", "", "5 7 9 20 31;;", 0, 2, false },
	{ "what came apart is made", "12H 12M 44H 44M", "half mated half mated",
		"12 5 7 9 20 31 44;;", 2, 2, true },
	{ "left plugged in, a right pair", "9H 9M 7H", "half repeat repeat", "5 7 9 20 31;;", 0, 2,
		false },
	{ "left plugged in, half a pair", "12H 12M 44H 44M 9H", "half mated half mated half",
		"12 5 7 9 20 31 44; 9H;", 2, 2, false },
	{ "left plugged in, a wrong mate opens it", "12H 12M 44H 44M 9H 31M",
		"half mated half mated half wrong-mate", "12 5 7 20 44;; 9H31M", 2, 4, false },
	{ "and it wants making", "9H 12M 12H 12M 9H 9M 44H 44M",
		"half wrong-mate half mated half mated half mated", "12 5 7 9 20 31 44;;", 3, 3,
		true },
	{ "what was plugged in while the joint was open is left", "12H 9M", "half wrong-mate",
		"5 7 20 31;; 12H9M", 0, 3, false },
	{ "what comes after one that is opened is opened", "12H 12M 12H 9M",
		"half mated half wrong-mate", "7 31;; 12H9M", 0, 5, false },
	{ "a wrong mate taken back leaves it", "9H 31M <", "half wrong-mate ok", "5 7 9 20 31; 9H;",
		0, 2, false },
	{ "skipping it says nothing", "-9 9H 9M", "ok half repeat", "5 7 9 20 31;;", 0, 2, false },
	{ "found apart after all", "12H 12M 44H 44M +9", "half mated half mated ok",
		"12 5 7 20 31 44;;", 2, 3, false },
	{ "found apart, and what comes after it", "12H 12M 44H 44M +5 5H 5M",
		"half mated half mated ok half mated", "12 5 7 9 31;;", 2, 4, false },
	{ "found apart, and made", "12H 12M +9 9H 9M 44H 44M",
		"half mated ok half mated half mated", "12 5 7 9 20 31 44;;", 3, 3, true },
};

static void test_left_plugged_in(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(left_rows) / sizeof(left_rows[0]); i++) {
		struct lt_plan plan = plan_at(R, false);
		plan.apart = apart;
		struct lt_verify *verify = lt_verify_create(&plan);
		char verdicts[512], sum[512];
		play(verify, verdicts, sizeof(verdicts), left_rows[i].words);
		sum_up(verify, sum, sizeof(sum));
		if (strcmp(verdicts, left_rows[i].verdicts) != 0 ||
			strcmp(sum, left_rows[i].state) != 0)
			fail_msg("%s: gave %s (%s)", left_rows[i].name, verdicts, sum);
		if (lt_verify_made_count(verify) != left_rows[i].made ||
			lt_verify_needed_count(verify) != left_rows[i].needed ||
			lt_verify_ok(verify) != left_rows[i].ok)
			fail_msg("%s: %zu of %zu made", left_rows[i].name,
				lt_verify_made_count(verify), lt_verify_needed_count(verify));
		lt_verify_destroy(verify);
	}
}

/* Unplugging of which nothing was written down frees no joint from being made again. */
static void test_nothing_came_apart(void **state)
{
	(void)state;
	static const bool none[JOINTS] = { false };
	struct lt_plan plan = plan_at(R, false);
	plan.apart = none;
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_false(lt_verify_ok(verify));
	assert_int_equal(lt_verify_needed_count(verify), JOINTS);
	assert_int_equal(lt_verify_made_count(verify), 0);
	lt_verify_destroy(verify);
}

/* Nothing that waits at any station is passed over. */
static void test_pending_elsewhere(void **state)
{
	(void)state;
	static const struct lt_joint one[] = { { 12, true, false, false, NULL, 0, false, false } };
	static const size_t as_listed[] = { 0 };
	const struct lt_plan plan = { "RV3U42", one, 1, as_listed, R, false, NULL, 0, NULL };
	struct lt_verify *verify = lt_verify_create(&plan);
	unsigned number, station;
	enum lt_side side;
	feed(verify, "12H");
	feed(verify, "12M");
	assert_true(lt_verify_ok(verify));
	lt_verify_station(verify, 7);
	feed(verify, "12M");
	lt_verify_station(verify, 1);
	assert_false(lt_verify_pending(verify, &number, &side));
	assert_true(lt_verify_pending_elsewhere(verify, &number, &side, &station));
	assert_int_equal(number, 12);
	assert_int_equal(side, LT_SIDE_M);
	assert_int_equal(station, 7);
	/* By whoever asks, and whoever scanned last. */
	assert_true(lt_verify_pending_at(verify, 0, &number, &side, &station));
	assert_int_equal(number, 0);
	assert_int_equal(station, 1);
	assert_true(lt_verify_pending_at(verify, 1, &number, &side, &station));
	assert_int_equal(number, 12);
	assert_int_equal(side, LT_SIDE_M);
	assert_int_equal(station, 7);
	assert_false(lt_verify_pending_at(verify, 2, &number, &side, &station));
	assert_false(lt_verify_ok(verify));
	feed(verify, "12H");
	assert_true(lt_verify_pending_elsewhere(verify, &number, &side, &station));
	assert_int_equal(station, 7);
	assert_int_equal(feed(verify, "12M").verdict, LT_VERDICT_REPEAT);
	assert_false(lt_verify_pending_elsewhere(verify, &number, &side, &station));
	assert_true(lt_verify_ok(verify));
	lt_verify_destroy(verify);
}

/* Ok where nothing is replaced, and never for a part that is not swapped. */
static void test_swap_takes_only_replaced_parts(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(S, false);
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_int_equal(lt_verify_needed_count(verify), 3);
	assert_false(lt_verify_needed(verify, 1));
	assert_int_equal(lt_verify_next(verify), 3);
	char verdicts[64];
	play(verify, verdicts, sizeof(verdicts), "9X 9M 12X 12M");
	assert_int_equal(lt_verify_made_count(verify), 2);
	assert_int_equal(lt_verify_next(verify), 5);
	assert_false(lt_verify_ok(verify));
	lt_verify_destroy(verify);

	static struct lt_joint joint = { 12, true, true, false, NULL, 0, false, false };
	static const size_t as_listed[] = { 0 };
	const struct lt_plan one = { "RV3U42", &joint, 1, as_listed, S, false, NULL, 0, NULL };
	verify = lt_verify_create(&one);
	assert_false(lt_verify_ok(verify));
	feed(verify, "12X");
	assert_false(lt_verify_ok(verify));
	feed(verify, "12M");
	assert_true(lt_verify_ok(verify));
	lt_verify_destroy(verify);
	joint.has_x = false;
	verify = lt_verify_create(&one);
	assert_true(lt_verify_ok(verify));
	assert_int_equal(lt_verify_needed_count(verify), 0);
	assert_int_equal(lt_verify_next(verify), LT_NONE);
	lt_verify_destroy(verify);
}

/* What is offered next when unplugging is what nothing holds up. */
static void test_unplug_next(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(U, false);
	struct lt_verify *verify = lt_verify_create(&plan);
	char verdicts[64];
	assert_int_equal(lt_verify_next(verify), 3);
	play(verify, verdicts, sizeof(verdicts), "9H");
	assert_int_equal(lt_verify_next(verify), 4);
	lt_verify_skip(verify, 44);
	assert_int_equal(lt_verify_next(verify), 2);
	assert_int_equal(lt_verify_blocked_by(verify, 1), 20);
	play(verify, verdicts, sizeof(verdicts), "7H 20H 5H 12H 31H");
	assert_string_equal(verdicts, "done done done done done");
	assert_false(lt_verify_ok(verify));
	play(verify, verdicts, sizeof(verdicts), "44H");
	assert_true(lt_verify_ok(verify));
	assert_int_equal(lt_verify_made_count(verify), JOINTS);
	lt_verify_destroy(verify);
}

/* Orders: checked pair by pair, since there may be more than one right one. */
static void test_plan_order(void **state)
{
	(void)state;
	const struct lt_plan plan = plan_at(R, false);
	/* Came apart: 44, 31, 5, 12, 7; 9 and 20 did not. */
	static const size_t ranks[JOINTS] = { 3, 2, 4, LT_NONE, LT_NONE, 1, 0 };
	static const size_t wanted[JOINTS] = { 2, 0, 1, 5, 6, 4, 3 };
	size_t got[JOINTS];
	lt_plan_order(got, &plan, ranks);
	assert_memory_equal(got, wanted, sizeof(wanted));
	/* 5 came apart after 12, which it comes after: 12 is first all the same. */
	static const size_t crossed[JOINTS] = { 0, 1, 2, 3, 4, 5, 6 };
	static const size_t still[JOINTS] = { 5, 3, 2, 0, 1, 6, 4 };
	lt_plan_order(got, &plan, crossed);
	assert_memory_equal(got, still, sizeof(still));
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
	const struct lt_plan plan = { "RV3", two, 2, as_listed, R, false, NULL, 0, NULL };
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
		assert_int_equal(feed_scan(verify, scan, strlen(scan)).verdict, steps[i].verdict);
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
	const struct lt_plan plan = { "RV3", two, 2, as_listed, R, false, NULL, 0, NULL };
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
	const struct lt_plan plan = { "RV3", NULL, 0, NULL, R, true, NULL, 0, NULL };
	struct lt_verify *verify = lt_verify_create(&plan);
	assert_true(lt_verify_ok(verify));
	assert_int_equal(lt_verify_next(verify), LT_NONE);
	assert_int_equal(feed(verify, "12HRV3J").verdict, LT_VERDICT_UNKNOWN);
	assert_int_equal(feed_scan(verify, NULL, 0).verdict, LT_VERDICT_MISREAD);
	assert_int_equal(lt_verify_joint(verify, 0), LT_NONE);
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

	/* With nothing left to take back, and behind another station's step. */
	play(verify, said, sizeof(said), "7H 9H +7");
	lt_verify_drop_pending(verify);
	play(verify, said, sizeof(said), "< 9H @2 7H @1");
	assert_string_equal(said, "no half ok done ok");
	lt_verify_drop_pending(verify);
	play(verify, said, sizeof(said), "< 9M @2 < @1 9H");
	assert_string_equal(said, "no half ok no ok mated");
	lt_verify_destroy(verify);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_rows_cover_every_verdict),
		cmocka_unit_test(test_left_plugged_in),
		cmocka_unit_test(test_nothing_came_apart),
		cmocka_unit_test(test_pending_elsewhere),
		cmocka_unit_test(test_swap_takes_only_replaced_parts),
		cmocka_unit_test(test_unplug_next),
		cmocka_unit_test(test_plan_order),
		cmocka_unit_test(test_answers_say_what_was_read),
		cmocka_unit_test(test_stickers_of_earlier_parts),
		cmocka_unit_test(test_whole_job),
		cmocka_unit_test(test_typed_are_counted),
		cmocka_unit_test(test_next_offers_what_can_be_made),
		cmocka_unit_test(test_nothing_to_verify),
		cmocka_unit_test(test_pending_is_dropped),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
