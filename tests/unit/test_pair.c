/* What the codes of one picture mean together. */
#include "unit/unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/photo.h"
#include "verify_feed.h"

/* 5 comes after 12, 7 is one-sided, the part of 9 is replaced. */
static const size_t after_5[] = { 0 };
static const struct lt_joint joints[] = {
	{ .number = 12, .has_m = true },
	{ .number = 5, .has_m = true, .after = after_5, .after_count = 1 },
	{ .number = 7 },
	{ .number = 9, .has_m = true, .has_x = true },
};
enum { JOINTS = sizeof(joints) / sizeof(joints[0]) };
static const size_t order[JOINTS] = { 0, 1, 2, 3 };

struct fixture {
	struct lt_arena arena;
	struct lt_verify *verify;
	struct lt_pair pair;
	unsigned line;
};

static void open_job_db(struct fixture *fixture, enum lt_stage stage)
{
	const struct lt_plan plan = { .code = "RV3",
		.joints = joints,
		.joint_count = JOINTS,
		.order = order,
		.stage = stage };
	*fixture = (struct fixture){ .verify = lt_verify_create(&plan) };
}

static void close_bench(struct fixture *fixture)
{
	lt_verify_destroy(fixture->verify);
	lt_arena_finish(&fixture->arena);
}

/* Words become texts: "12H" its scan code, "~12H" another harness's, "@12H" a link, anything else
 * stays as it is. */
static const char *spell(struct fixture *fixture, const char *word)
{
	const char *tag = word[0] == '~' || word[0] == '@' ? word + 1 : word;
	char *end;
	const unsigned long number = strtoul(tag, &end, 10);
	if (end == tag || *end == '\0' || end[1] != '\0')
		return word;
	const enum lt_side side = *end == 'H' ? LT_SIDE_H : *end == 'M' ? LT_SIDE_M : LT_SIDE_X;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, (unsigned)number, side, word[0] == '~' ? "KV7" : "RV3");
	return lt_arena_printf(&fixture->arena, "%s%s", word[0] == '@' ? "HTTP://H/" : "", code);
}

/* As whoever takes pictures does: nothing is pending before, and nothing after. */
static void scan(struct fixture *fixture)
{
	struct lt_pair *pair = &fixture->pair;
	const size_t count = lt_pair_scans(pair, lt_verify_plan(fixture->verify)->stage);
	lt_verify_drop_pending(fixture->verify);
	for (size_t i = 0; i < count; i++) {
		const char *text = pair->codes[i].text;
		const struct lt_answer answer = feed_scan(fixture->verify, text, strlen(text));
		lt_pair_take(pair, i, &answer);
	}
	lt_verify_drop_pending(fixture->verify);
}

/* Shows a picture; returns "mated", or "half" and so on where no verdict was given. */
static const char *show(struct fixture *fixture, const char *words)
{
	const char *texts[8];
	size_t count = 0;
	char *copy = lt_arena_strdup(&fixture->arena, words), *rest = NULL;
	for (char *word = strtok_r(copy, " ", &rest); word != NULL;
		word = strtok_r(NULL, " ", &rest))
		texts[count++] = spell(fixture, word);
	lt_pair_sort(&fixture->pair, &fixture->arena, texts, count, fixture->verify);
	scan(fixture);
	unsigned number;
	enum lt_side side;
	assert_false(lt_verify_pending(fixture->verify, &number, &side));
	if (fixture->pair.kind != LT_PAIR_WHOLE)
		return lt_pair_kind_name(fixture->pair.kind);
	assert_int_not_equal(fixture->pair.answer.verdict, LT_VERDICT_HALF);
	return lt_verdict_name(fixture->pair.answer.verdict);
}

/* Pictures one after the other, and what each is answered. Order within a picture means nothing. */
static void pictures_are_answered(void **state)
{
	(void)state;
	static const struct {
		enum lt_stage stage;
		const char *shown[4], *answers[4];
		size_t made;
	} rows[] = {
		{ LT_STAGE_RECONNECT, { "12H 12M", "5M 5H" }, { "mated", "mated" }, 2 },
		{ LT_STAGE_RECONNECT, { "12H 12M", "12M 12H" }, { "mated", "repeat" }, 1 },
		/* Halves of two pictures are no pair. */
		{ LT_STAGE_RECONNECT, { "12H", "12M", "12H" }, { "half", "half", "half" }, 0 },
		{ LT_STAGE_RECONNECT, { "12H 5H", "12M", "5M 12M" },
			{ "same-side", "half", "same-side" }, 0 },
		{ LT_STAGE_RECONNECT, { "", "12H 12M 9H", "12H 12M 5H 5M" },
			{ "none", "more", "more" }, 0 },
		{ LT_STAGE_RECONNECT, { "12H 12M", "12H 9M", "9M 12H", "12M 12H" },
			{ "mated", "wrong-mate", "wrong-mate", "mated" }, 1 },
		{ LT_STAGE_RECONNECT, { "12M 9H" }, { "wrong-mate" }, 0 },
		{ LT_STAGE_RECONNECT, { "5H 5M" }, { "out-of-order" }, 0 },
		/* A one-sided joint's sticker alone, and beside what it cannot be joined to. */
		{ LT_STAGE_RECONNECT, { "7H", "7H" }, { "done", "repeat" }, 1 },
		{ LT_STAGE_RECONNECT, { "7H 12H", "12M 7H" }, { "apart", "apart" }, 0 },
		{ LT_STAGE_RECONNECT, { "9H 9X", "9X 9M", "9M 9H" },
			{ "old-part", "old-part", "mated" }, 1 },
		/* One sticker says that a joint is apart; two of different joints are too much. */
		{ LT_STAGE_UNPLUG, { "5M", "12M 12H", "12H", "5H 9H" },
			{ "done", "done", "repeat", "apart" }, 2 },
		{ LT_STAGE_UNPLUG, { "12H ~12M", "~12H ~12M", "~12H", "5H 5M 12H" },
			{ "apart", "apart", "foreign", "more" }, 0 },
		{ LT_STAGE_SWAP, { "9M 9X", "9X", "9H 9X", "12H 12M" },
			{ "mated", "half", "unknown", "unknown" }, 1 },
		{ LT_STAGE_TAG, { "9X 9H", "9M 9H", "5H 5M" }, { "mated", "unknown", "mated" }, 2 },
		/* Another harness's, on either side, alone, and a one-sided number of another. */
		{ LT_STAGE_RECONNECT, { "12H ~12M", "~12H 12M", "~12H ~12M", "~7H" },
			{ "foreign", "foreign", "foreign", "foreign" }, 0 },
		{ LT_STAGE_RECONNECT, { "88H 12M", "12H 88M", "88H", "7M" },
			{ "unknown", "unknown", "unknown", "unknown" }, 0 },
		/* What is no sticker is passed over; a sticker whose code is there twice is one. */
		{ LT_STAGE_RECONNECT, { "HTTP://H/12HRV3J/#map", "12H 12M http://h/#map" },
			{ "none", "mated" }, 1 },
		{ LT_STAGE_RECONNECT, { "12H @12H", "12H @12H 12M", "=12H =12M" },
			{ "half", "mated", "none" }, 1 },
	};
	for (size_t row = 0; row < sizeof(rows) / sizeof(rows[0]); row++) {
		struct fixture fixture;
		open_job_db(&fixture, rows[row].stage);
		for (size_t i = 0; i < 4 && rows[row].shown[i] != NULL; i++) {
			const char *answer = show(&fixture, rows[row].shown[i]);
			if (strcmp(answer, rows[row].answers[i]) != 0)
				fail_msg("row %zu, picture %zu: %s, not %s", row, i, answer,
					rows[row].answers[i]);
		}
		assert_int_equal(lt_verify_made_count(fixture.verify), rows[row].made);
		close_bench(&fixture);
	}
}

/* A sticker scanned by hand before a picture does not pair with one that is in it. */
static void a_pending_sticker_is_not_paired(void **state)
{
	(void)state;
	static const char *const shown[] = { "12M", "", "12M 9M 5M", "12M 7H", "9M 9H" };
	for (size_t i = 0; i < sizeof(shown) / sizeof(shown[0]); i++) {
		struct fixture fixture;
		open_job_db(&fixture, LT_STAGE_RECONNECT);
		const char *before = spell(&fixture, "12H");
		feed_scan(fixture.verify, before, strlen(before));
		show(&fixture, shown[i]);
		assert_false(lt_verify_made(fixture.verify, 0));
		const char *behind = spell(&fixture, "12M");
		assert_int_equal(feed_scan(fixture.verify, behind, strlen(behind)).verdict,
			LT_VERDICT_HALF);
		close_bench(&fixture);
	}
}

static void other_codes_are_kept(void **state)
{
	(void)state;
	struct fixture fixture;
	open_job_db(&fixture, LT_STAGE_RECONNECT);
	show(&fixture, "12H");
	show(&fixture, "label-of-a-product 12M @12H");
	assert_int_equal(fixture.pair.other_count, 1);
	assert_string_equal(fixture.pair.others[0], "label-of-a-product");
	assert_int_equal(fixture.pair.code_count, 2);
	assert_int_equal(fixture.pair.codes[0].scan.side, LT_SIDE_H);
	assert_int_equal(fixture.pair.answer.verdict, LT_VERDICT_MATED);
	close_bench(&fixture);
}

static void every_kind_has_its_words(void **state)
{
	(void)state;
	static const struct {
		const char *shown, *words;
	} rows[] = {
		{ "12H", "12H " },
		{ "12H 12M 9H", "3 stickers found: 12H, 12M, 9H." },
		{ "12H 12M 9H 9M", "4 stickers found: 12H, 12M, 9H, 9M." },
		{ "7H 12H", "7H, 12H belong to two joints" },
		{ "12M 12H", "mated  12H, 12M." },
		{ "9H 12H", "same-side  9H, 12H are both harness halves" },
		{ "12M 9M", "same-side  12M, 9M are both machine halves" },
		{ "http://h/\x1B[2J#map",
			"1 other code was ignored: http://h/\xEF\xBF\xBD[2J#map" },
		{ "12H a-1234567890-1234567890-1234567890-1234567890 b",
			"2 other codes were ignored: a-1234567890-1234567890-1234567890-12345…, b" },
	};
	struct lt_tags tags = { .number_max = 0 };
	for (size_t row = 0; row < sizeof(rows) / sizeof(rows[0]); row++) {
		struct fixture fixture;
		struct lt_text words = { 0 };
		open_job_db(&fixture, LT_STAGE_RECONNECT);
		show(&fixture, rows[row].shown);
		lt_pair_words(&words, &fixture.pair, &tags, LT_STAGE_RECONNECT);
		if (strstr(lt_text_string(&words), rows[row].words) == NULL)
			fail_msg("%s: %s", rows[row].shown, lt_text_string(&words));
		assert_int_equal(strstr(lt_text_string(&words), lt_picture_words.no_code) != NULL,
			fixture.pair.kind == LT_PAIR_NONE);
		lt_text_finish(&words);
		close_bench(&fixture);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(pictures_are_answered),
		cmocka_unit_test(a_pending_sticker_is_not_paired),
		cmocka_unit_test(other_codes_are_kept),
		cmocka_unit_test(every_kind_has_its_words),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
