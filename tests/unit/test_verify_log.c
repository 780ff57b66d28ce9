#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/verify_log.h"

/* 12: its part is replaced; 4 and 7: nothing special; 3: a clip, after 7; 9 was retired. */
static struct lt_component components[] = { { .id = "M1", .replace = true } };
static size_t after_seven[] = { 1 };
static struct lt_connector connectors[] = {
	{ .id = "X1", .component = 0, .sides = 2 },
	{ .id = "X2", .component = LT_NONE, .sides = 2 },
	{ .id = "X3", .component = LT_NONE, .sides = 2 },
	{ .id = "C1",
		.kind = LT_CLIP,
		.component = LT_NONE,
		.sides = 1,
		.after = { after_seven, 1 } },
	{ .id = "W1", .component = LT_NONE, .sides = 2, .marking = LT_MARK_NONE },
};
static size_t offered[] = { 2, 1, 4, 0, 3 };
static const struct lt_harness harness = { .harness = "RV3",
	.code = "RV3",
	.components = components,
	.component_count = 1,
	.connectors = connectors,
	.connector_count = 5,
	.order = offered };
static unsigned number_of[] = { 12, 7, 4, 3, 0 };
static size_t connector_of[] = { LT_NONE, LT_NONE, LT_NONE, 3, 2, LT_NONE, LT_NONE, 1, LT_NONE,
	LT_NONE, LT_NONE, LT_NONE, 0 };
static bool retired[13] = { [9] = true };
static const struct lt_tags tags = { .harness = &harness,
	.number_of = number_of,
	.connector_of = connector_of,
	.retired = retired,
	.number_max = 12 };

struct bench {
	struct lt_arena arena;
	struct lt_plan plan;
	size_t *connectors;
	struct lt_verify *verify;
	struct lt_verify_log log;
	unsigned line;
};

static void set_up(struct bench *bench, enum lt_stage stage)
{
	memset(bench, 0, sizeof(*bench));
	lt_plan_build(&bench->plan, &bench->connectors, &bench->arena, &tags, stage, false);
	bench->verify = lt_verify_create(&bench->plan);
}

static void clear_away(struct bench *bench)
{
	lt_verify_destroy(bench->verify);
	lt_verify_log_finish(&bench->log);
	lt_arena_finish(&bench->arena);
}

static struct lt_answer scan(struct bench *bench, unsigned number, enum lt_side side,
	const char *code)
{
	char text[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(text, number, side, code);
	return lt_verify_log_feed(&bench->log, bench->verify, ++bench->line, text, strlen(text));
}

static void expect_words(const struct bench *bench, const struct lt_answer *answer,
	const char *words)
{
	struct lt_text out = { 0 };
	lt_answer_words(&out, answer, &tags, bench->plan.stage);
	assert_string_equal(lt_text_string(&out), words);
	lt_text_finish(&out);
}

static void test_plan(void **state)
{
	(void)state;
	struct bench bench;
	set_up(&bench, LT_STAGE_RECONNECT);
	const struct lt_plan *plan = &bench.plan;
	assert_string_equal(plan->code, "RV3");
	assert_int_equal(plan->joint_count, 4);
	assert_int_equal(plan->joints[0].number, 12);
	assert_true(plan->joints[0].has_m && plan->joints[0].has_x);
	assert_true(plan->joints[1].has_m && !plan->joints[1].has_x && !plan->joints[1].paper);
	assert_false(plan->joints[3].has_m);
	assert_int_equal(plan->joints[3].after_count, 1);
	assert_int_equal(plan->joints[3].after[0], 1);
	static const size_t order[] = { 2, 1, 0, 3 };
	assert_memory_equal(plan->order, order, sizeof(order));
	for (size_t i = 0; i < 4; i++)
		assert_int_equal(bench.connectors[i], i);
	clear_away(&bench);
}

struct spoken {
	unsigned number;
	enum lt_side side;
	const char *code;
	enum lt_verdict verdict;
	const char *words;
};

static void expect_spoken(enum lt_stage stage, const struct spoken *spoken, size_t count)
{
	struct bench bench;
	set_up(&bench, stage);
	for (size_t i = 0; i < count; i++) {
		const struct lt_answer answer =
			scan(&bench, spoken[i].number, spoken[i].side, spoken[i].code);
		assert_string_equal(lt_verdict_name(answer.verdict),
			lt_verdict_name(spoken[i].verdict));
		expect_words(&bench, &answer, spoken[i].words);
	}
	clear_away(&bench);
}

static void test_words(void **state)
{
	(void)state;
	static const struct spoken spoken[] = {
		{ 12, LT_SIDE_H, "RV3", LT_VERDICT_HALF, "12H read. Now scan 12M." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_OLD_PART,
			"12X is the outgoing part. The new part carries 12M." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_HALF, "12M read. Now scan 12H." },
		{ 4, LT_SIDE_M, "RV3", LT_VERDICT_SAME_SIDE,
			"12M and 4M are both machine halves. 4M counts now: scan 4H." },
		{ 4, LT_SIDE_M, "RV3", LT_VERDICT_SAME_SIDE, "4M again. 4M counts now: scan 4H." },
		{ 4, LT_SIDE_H, "RV3", LT_VERDICT_MATED,
			"4: right pair. Seat it, pull gently, tick." },
		{ 4, LT_SIDE_H, "RV3", LT_VERDICT_HALF, "4H read. Now scan 4M." },
		{ 7, LT_SIDE_H, "RV3", LT_VERDICT_SAME_SIDE,
			"4H and 7H are both harness halves. 7H counts now: scan 7M." },
		{ 4, LT_SIDE_M, "RV3", LT_VERDICT_WRONG_MATE,
			"WRONG MATE: 4M is not the other half of 7H. Take them apart; both are open "
			"again, and 1 made joint has to be made and scanned again." },
		{ 4, LT_SIDE_H, "RV3", LT_VERDICT_HALF, "4H read. Now scan 4M." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_WRONG_MATE,
			"WRONG MATE: 12M is not the other half of 4H. Take them apart; both are "
			"open again." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_OUT_OF_ORDER,
			"Not yet: 7 must be made before 3. Make 7, then scan 3 again." },
		{ 7, LT_SIDE_M, "RV3", LT_VERDICT_HALF, "7M read. Now scan 7H." },
		{ 7, LT_SIDE_H, "RV3", LT_VERDICT_MATED,
			"7: right pair. Seat it, pull gently, tick." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_DONE,
			"3: read; it has one sticker only. Seat it, pull gently, tick." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_REPEAT,
			"3: read before, and nothing has changed. If you took it apart: seat it, "
			"pull gently." },
		{ 3, LT_SIDE_M, "RV3", LT_VERDICT_UNKNOWN,
			"3M: number 3 has one sticker only, 3H." },
		{ 7, LT_SIDE_X, "RV3", LT_VERDICT_UNKNOWN,
			"7X: number 7 has no outgoing part that is described. Look whether its part "
			"is to be replaced." },
		{ 8, LT_SIDE_H, "RV3", LT_VERDICT_UNKNOWN,
			"8H: this harness has no number 8. Look for a stray sticker." },
		{ 99999, LT_SIDE_H, "RV3", LT_VERDICT_UNKNOWN,
			"99999H: this harness has no number 99999. Look for a stray sticker." },
		{ 9, LT_SIDE_H, "RV3", LT_VERDICT_UNKNOWN,
			"9H is an old sticker: number 9 is no longer in use. Take it off." },
		{ 7, LT_SIDE_H, "RV4", LT_VERDICT_FOREIGN,
			"This sticker belongs to another harness or unit: RV4, not RV3." },
	};
	expect_spoken(LT_STAGE_RECONNECT, spoken, sizeof(spoken) / sizeof(spoken[0]));
}

static void test_words_at_stage_tag(void **state)
{
	(void)state;
	static const struct spoken spoken[] = {
		{ 12, LT_SIDE_H, "RV3", LT_VERDICT_HALF, "12H read. Now scan 12X." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_UNKNOWN,
			"12M is for the new part, which is not in the machine yet. Now scan 12X, on "
			"the outgoing part." },
		{ 12, LT_SIDE_H, "RV3", LT_VERDICT_HALF, "12H read. Now scan 12X." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_MATED,
			"12: right pair. Look that both stickers sit on the two halves of this one "
			"joint." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_DONE,
			"3: read; it has one sticker only. Look that the sticker sits on this joint "
			"and on no other." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_REPEAT,
			"3: read before, and nothing has changed. Go on with the next joint." },
	};
	expect_spoken(LT_STAGE_TAG, spoken, sizeof(spoken) / sizeof(spoken[0]));
}

static void test_words_at_stage_unplug(void **state)
{
	(void)state;
	static const struct spoken spoken[] = {
		{ 12, LT_SIDE_H, "RV3", LT_VERDICT_DONE,
			"12: noted as apart. Leave its stickers on." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_REPEAT,
			"12: noted as apart before, and nothing has changed. Go on with the next joint." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_UNKNOWN,
			"12M is for the new part, which is not in the machine yet. Now scan 12X, on "
			"the outgoing part." },
		{ 7, LT_SIDE_M, "RV3", LT_VERDICT_OUT_OF_ORDER,
			"7: noted as apart, but 3 should have come apart first. Look that nothing was "
			"forced, then take 3 apart and scan it, or skip it if it stays plugged in." },
		{ 3, LT_SIDE_H, "RV3", LT_VERDICT_DONE,
			"3: noted as apart. Leave its stickers on." },
		{ 9, LT_SIDE_H, "RV3", LT_VERDICT_UNKNOWN,
			"9H is an old sticker: number 9 is no longer in use. Take it off." },
		{ 4, LT_SIDE_X, "RV3", LT_VERDICT_UNKNOWN,
			"4X: number 4 has no outgoing part that is described. Look whether its part "
			"is to be replaced." },
		{ 4, LT_SIDE_H, "RV4", LT_VERDICT_FOREIGN,
			"This sticker belongs to another harness or unit: RV4, not RV3." },
	};
	expect_spoken(LT_STAGE_UNPLUG, spoken, sizeof(spoken) / sizeof(spoken[0]));
}

static void test_words_at_stage_swap(void **state)
{
	(void)state;
	static const struct spoken spoken[] = {
		{ 12, LT_SIDE_H, "RV3", LT_VERDICT_UNKNOWN,
			"12H is on the harness. Scan the part's sticker: 12X on the old part or 12M on "
			"the new one." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_HALF,
			"12X read. Now scan 12M, on the new part." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_SAME_SIDE,
			"12X again. 12X counts now: scan 12M." },
		{ 4, LT_SIDE_M, "RV3", LT_VERDICT_UNKNOWN,
			"4M: the part of number 4 is not replaced. Scan the stickers of replaced parts "
			"only." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_HALF,
			"12M read. Now scan 12X, on the old part." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_MATED,
			"12: the new part carries the number of the old one. Look that 12M sits where "
			"12X sits on the old part." },
		{ 12, LT_SIDE_X, "RV3", LT_VERDICT_HALF,
			"12X read. Now scan 12M, on the new part." },
		{ 12, LT_SIDE_M, "RV3", LT_VERDICT_REPEAT,
			"12: read before, and nothing has changed. Go on with the next part." },
		{ 8, LT_SIDE_X, "RV3", LT_VERDICT_UNKNOWN,
			"8X: this harness has no number 8. Look for a stray sticker." },
	};
	expect_spoken(LT_STAGE_SWAP, spoken, sizeof(spoken) / sizeof(spoken[0]));
}

/* Two parts, which the harness of these tests has not. */
static void test_words_of_two_parts_at_stage_swap(void **state)
{
	(void)state;
	struct lt_answer answer = { .verdict = LT_VERDICT_WRONG_MATE,
		.has_tag = true,
		.number = 4,
		.side = LT_SIDE_M,
		.other = 12,
		.other_side = LT_SIDE_X };
	struct bench bench;
	set_up(&bench, LT_STAGE_SWAP);
	expect_words(&bench, &answer,
		"WRONG MATE: 12X and 4M are of two different parts, and both are open again. Put the "
		"stickers of the new parts right, then scan both parts again.");
	answer.verdict = LT_VERDICT_SAME_SIDE;
	answer.other_side = LT_SIDE_M;
	expect_words(&bench, &answer, "12M and 4M are both on new parts. 4M counts now: scan 4X.");
	answer.side = answer.other_side = LT_SIDE_X;
	expect_words(&bench, &answer, "12X and 4X are both on old parts. 4X counts now: scan 4M.");
	answer = (struct lt_answer){
		.verdict = LT_VERDICT_OLD_PART, .has_tag = true, .number = 12, .side = LT_SIDE_M
	};
	expect_words(&bench, &answer,
		"12M went out before the part was to be replaced, so it is on the outgoing part. "
		"Print 12X to stick over it, and 12M for the new part.");
	clear_away(&bench);
}

static void test_words_of_one_left_plugged_in(void **state)
{
	(void)state;
	struct bench bench;
	set_up(&bench, LT_STAGE_RECONNECT);
	static const bool apart[] = { true, false, false, false };
	bench.plan.apart = apart;
	lt_verify_destroy(bench.verify);
	bench.verify = lt_verify_create(&bench.plan);
	const struct lt_answer answer = scan(&bench, 3, LT_SIDE_H, "RV3");
	assert_int_equal(answer.verdict, LT_VERDICT_REPEAT);
	expect_words(&bench, &answer,
		"3: right pair, and not noted as apart in this job. If you took it apart: seat it, "
		"pull gently.");
	clear_away(&bench);
}

/* What was refused is kept by neither. */
static void test_log_with_others(void **state)
{
	(void)state;
	struct bench bench;
	const struct lt_event *event;
	set_up(&bench, LT_STAGE_SWAP);
	assert_false(lt_verify_log_skip(&bench.log, bench.verify, 4, "is not replaced"));
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	scan(&bench, 12, LT_SIDE_X, "RV3");
	lt_verify_station(bench.verify, 2);
	lt_verify_skip(bench.verify, 12);
	lt_verify_station(bench.verify, 1);
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_null(event);
	assert_false(bench.log.events[0].undone);
	lt_verify_station(bench.verify, 2);
	assert_true(lt_verify_undo(bench.verify));
	lt_verify_station(bench.verify, 1);
	assert_true(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_true(bench.log.events[0].undone);
	clear_away(&bench);
}

/* What comes after a joint comes apart before it; else the description's order. */
static void test_plan_of_other_stages(void **state)
{
	(void)state;
	static const size_t unplugged[] = { 0, 2, 3, 1 }, swapped[] = { 0, 1, 2, 3 };
	struct bench bench;
	set_up(&bench, LT_STAGE_UNPLUG);
	assert_memory_equal(bench.plan.order, unplugged, sizeof(unplugged));
	assert_null(bench.plan.apart);
	clear_away(&bench);
	set_up(&bench, LT_STAGE_SWAP);
	assert_memory_equal(bench.plan.order, swapped, sizeof(swapped));
	clear_away(&bench);
}

static void test_words_of_a_misread(void **state)
{
	(void)state;
	struct bench bench;
	set_up(&bench, LT_STAGE_RECONNECT);
	struct lt_answer answer = lt_verify_log_feed(&bench.log, bench.verify, 1, "???", 3);
	expect_words(&bench, &answer, "Misread: scan again.");
	scan(&bench, 7, LT_SIDE_H, "RV3");
	answer = lt_verify_log_feed(&bench.log, bench.verify, 2, "7M", 2);
	expect_words(&bench, &answer,
		"Misread: 7M was typed, and a typed tag proves nothing here. Scan the sticker. 7H "
		"still waits for its other half.");
	clear_away(&bench);
}

/* No answer says more than a scan can show. */
static void test_no_word_too_much(void **state)
{
	(void)state;
	static const char *const too_much[] = { "all right", "correct", "safe", "seated.",
		"connected" };
	for (int stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		for (int verdict = 0; verdict < LT_VERDICT_COUNT; verdict++) {
			const struct lt_answer answer = { .verdict = (enum lt_verdict)verdict,
				.has_tag = true,
				.number = 7,
				.blocked_by = 4,
				.code = "RV4" };
			struct lt_text out = { 0 };
			lt_answer_words(&out, &answer, &tags, (enum lt_stage)stage);
			assert_true(out.length > 10);
			for (size_t i = 0; i < sizeof(too_much) / sizeof(too_much[0]); i++)
				assert_null(strstr(lt_text_string(&out), too_much[i]));
			lt_text_finish(&out);
		}
	assert_int_equal(lt_verdict_tone(LT_VERDICT_MATED), LT_TONE_GOOD);
	assert_int_equal(lt_verdict_tone(LT_VERDICT_HALF), LT_TONE_WAIT);
	assert_int_equal(lt_verdict_tone(LT_VERDICT_WRONG_MATE), LT_TONE_WRONG);
	assert_int_equal(lt_verdict_tone(LT_VERDICT_SAME_SIDE), LT_TONE_WRONG);
	assert_int_equal(lt_verdict_tone(LT_VERDICT_MISREAD), LT_TONE_WRONG);
}

static void test_log(void **state)
{
	(void)state;
	struct bench bench;
	const struct lt_event *event;
	set_up(&bench, LT_STAGE_RECONNECT);
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	scan(&bench, 7, LT_SIDE_H, "RV3");
	lt_verify_log_feed(&bench.log, bench.verify, 2, "  nonsense\a \r", 13);
	scan(&bench, 7, LT_SIDE_M, "RV3");
	assert_false(lt_verify_log_skip(&bench.log, bench.verify, 7, "made already"));
	assert_false(lt_verify_log_skip(&bench.log, bench.verify, 8, "not there"));
	assert_true(lt_verify_log_skip(&bench.log, bench.verify, 4, " latch broken "));
	assert_true(lt_verify_log_skip(&bench.log, bench.verify, 4, "latch gone"));
	assert_string_equal(lt_verify_log_reason(&bench.log, 4), "latch gone");
	assert_null(lt_verify_log_reason(&bench.log, 7));
	assert_int_equal(bench.log.event_count, 3);
	assert_string_equal(bench.log.events[1].scan, "nonsense\xEF\xBF\xBD");
	assert_int_equal(bench.log.events[1].answer.verdict, LT_VERDICT_MISREAD);

	/* The second reason was no step of its own. */
	assert_true(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_null(event);
	assert_false(lt_verify_skipped(bench.verify, 2));
	assert_true(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_ptr_equal(event, &bench.log.events[2]);
	assert_true(event->undone);
	assert_false(lt_verify_made(bench.verify, 1));
	assert_true(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_ptr_equal(event, &bench.log.events[0]);
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_false(bench.log.events[1].undone);

	/* A wrong mate stays, and so does what came before it. */
	scan(&bench, 7, LT_SIDE_H, "RV3");
	scan(&bench, 4, LT_SIDE_M, "RV3");
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_int_equal(event->answer.verdict, LT_VERDICT_WRONG_MATE);
	assert_false(event->undone);
	const struct lt_wrong_mate *wrong;
	assert_int_equal(lt_verify_wrong(bench.verify, &wrong), 1);
	scan(&bench, 7, LT_SIDE_H, "RV3");
	assert_true(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_false(lt_verify_log_undo(&bench.log, bench.verify, &event));
	assert_int_equal(lt_verify_wrong(bench.verify, &wrong), 1);

	const struct lt_answer answer =
		lt_verify_log_overlong(&bench.log, bench.verify, 9, "12HRV3J", 7);
	assert_int_equal(answer.verdict, LT_VERDICT_MISREAD);
	assert_string_equal(bench.log.events[6].scan, "12HRV3J");
	assert_int_equal(bench.log.events[6].line, 9);
	clear_away(&bench);
	lt_verify_log_finish(NULL);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_plan),
		cmocka_unit_test(test_words),
		cmocka_unit_test(test_words_at_stage_tag),
		cmocka_unit_test(test_words_at_stage_unplug),
		cmocka_unit_test(test_words_at_stage_swap),
		cmocka_unit_test(test_words_of_two_parts_at_stage_swap),
		cmocka_unit_test(test_words_of_one_left_plugged_in),
		cmocka_unit_test(test_log_with_others),
		cmocka_unit_test(test_plan_of_other_stages),
		cmocka_unit_test(test_words_of_a_misread),
		cmocka_unit_test(test_no_word_too_much),
		cmocka_unit_test(test_log),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
