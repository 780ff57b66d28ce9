/* A job being worked on: stored as it happens, continued, and shared with other terminals. */
#include "unit.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "folder.h"
#include "job/work.h"
#include "job_fixture.h"
#include "loomtag/job.h"

/* Joints 5 and 12, no `after`. */
static void two_joints(struct job_fixture *fixture)
{
	job_fixture_begin(fixture);
	job_fixture_add(fixture, 5, 2, false, NULL, 0);
	job_fixture_add(fixture, 12, 2, false, NULL, 0);
	fixture->harness.hazard_count = 0;
	fixture->harness.finish_count = 0;
}

static struct lt_work *open_work(const struct job_fixture *fixture, const char *db, const char *who,
	bool new_job)
{
	struct lt_diags diags = { 0 };
	const struct lt_work_options options = { .db = db };
	struct lt_work *work = lt_work_open(&fixture->tags, &options, who, &diags);
	if (work == NULL)
		lt_diags_print(&diags, 0, stderr, false);
	assert_non_null(work);
	if (new_job || !lt_work_has_job(work))
		assert_true(lt_work_begin(work, &diags));
	lt_diags_finish(&diags);
	return work;
}

static enum lt_verdict scan(struct lt_work *work, unsigned number, enum lt_side side)
{
	struct lt_diags diags = { 0 };
	struct lt_answer answer;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, number, side, "RV3U42");
	bool taken;
	assert_true(lt_work_scan(work, &taken, &answer, code, strlen(code), &diags) && taken);
	assert_int_equal(diags.count, 0);
	return answer.verdict;
}

static void stage(struct lt_work *work, enum lt_stage to)
{
	struct lt_diags diags = { 0 };
	assert_true(lt_work_stage(work, to, "in a hurry", &diags));
	assert_int_equal(lt_job_state_stage(lt_work_state(work)), to);
}

static size_t events_of(const struct lt_work *work)
{
	size_t count;
	(void)lt_work_events(work, &count);
	return count;
}

/* With and without a store the same happens. */
static void every_step_is_stored(void **state)
{
	(void)state;
	static const char *const stores[] = { NULL, "kept.db" };
	for (size_t i = 0; i < 2; i++) {
		struct job_fixture fixture;
		struct lt_diags diags = { 0 };
		size_t undone;
		bool done;
		two_joints(&fixture);
		struct lt_work *work = open_work(&fixture, stores[i], "Ada", false);
		assert_int_equal(lt_work_resumed(work), 0);
		assert_true((lt_work_job(work) != 0) == (stores[i] != NULL));
		stage(work, LT_STAGE_RECONNECT);
		/* Opened, its plan, tag and unplug left out (nothing is replaced), reconnect begun.
		 */
		assert_int_equal(events_of(work), 5);
		assert_int_equal(scan(work, 5, LT_SIDE_H), LT_VERDICT_HALF);
		assert_int_equal(scan(work, 5, LT_SIDE_M), LT_VERDICT_MATED);
		assert_true(lt_work_undo(work, &done, &undone, &diags) && done);
		size_t count;
		const struct lt_job_event *events = lt_work_events(work, &count);
		assert_string_equal(events[undone].tag, "5M");
		assert_string_equal(events[undone].verdict, "mated");
		assert_int_equal(scan(work, 5, LT_SIDE_M), LT_VERDICT_MATED);
		assert_true(lt_work_skip(work, &done, 5, "late", &diags) && !done);
		assert_true(lt_work_skip(work, &done, 12, "latch\tbroken ", &diags) && done);
		events = lt_work_events(work, &count);
		assert_int_equal(count, 10);
		assert_string_equal(events[9].text, "latch broken");
		assert_string_equal(events[5].tag, "5H");
		for (size_t k = 1; k < count; k++)
			assert_true(events[k].id > events[k - 1].id);
		assert_int_equal(diags.count, 0);
		lt_work_close(work);
	}
}

static void a_job_is_continued_where_it_stopped(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct lt_diags diags = { 0 };
	two_joints(&fixture);
	struct lt_work *work = open_work(&fixture, "on.db", "Ada", false);
	stage(work, LT_STAGE_RECONNECT);
	scan(work, 5, LT_SIDE_H);
	scan(work, 5, LT_SIDE_M);
	const unsigned long long job = lt_work_job(work);
	const size_t before = events_of(work);
	lt_work_close(work);

	work = open_work(&fixture, "on.db", "Ben", false);
	assert_int_equal(lt_work_job(work), job);
	assert_int_equal(lt_work_resumed(work), before);
	assert_int_equal(work->station, 2);
	assert_int_equal(lt_job_state_stage(lt_work_state(work)), LT_STAGE_RECONNECT);
	assert_int_equal(scan(work, 5, LT_SIDE_H), LT_VERDICT_HALF);
	assert_int_equal(scan(work, 5, LT_SIDE_M), LT_VERDICT_REPEAT);
	scan(work, 12, LT_SIDE_M);
	assert_int_equal(scan(work, 12, LT_SIDE_H), LT_VERDICT_MATED);
	unsigned no;
	assert_true(lt_work_answer(&no, work, LT_STAGE_RECONNECT, &diags));
	assert_int_equal(no, 0);
	assert_int_equal(lt_work_next_stage(work), LT_STAGE_COUNT);
	assert_true(lt_work_finish(work, NULL, &diags));
	lt_work_close(work);

	/* A closed job is not gone on with, and none is begun unasked. */
	const struct lt_work_options options = { .db = "on.db" };
	struct lt_arena arena = { 0 };
	struct lt_job closed;
	work = lt_work_open(&fixture.tags, &options, "Ben", &diags);
	assert_false(lt_work_has_job(work));
	assert_true(lt_work_last_closed(&closed, work, &arena, &diags));
	assert_int_equal(closed.id, job);
	lt_arena_finish(&arena);
	lt_work_close(work);

	/* Nothing of it counts for the next one. */
	work = open_work(&fixture, "on.db", "Ben", false);
	assert_true(lt_work_job(work) != job);
	assert_int_equal(lt_work_resumed(work), 0);
	stage(work, LT_STAGE_RECONNECT);
	assert_false(lt_job_state_ok(lt_work_state(work), LT_STAGE_RECONNECT));
	const unsigned long long second = lt_work_job(work);
	lt_work_close(work);

	/* Nor is an open one that is left for another. */
	work = open_work(&fixture, "on.db", "Cay", true);
	assert_true(lt_work_job(work) > second);
	assert_int_equal(lt_work_resumed(work), 0);
	lt_work_close(work);
}

static void two_see_each_other(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct lt_diags diags = { 0 };
	size_t added;
	two_joints(&fixture);
	struct lt_work *ada = open_work(&fixture, "two.db", "Ada", false);
	struct lt_work *ben = open_work(&fixture, "two.db", "Ben", false);
	assert_int_equal(lt_work_job(ada), lt_work_job(ben));
	stage(ada, LT_STAGE_RECONNECT);
	assert_true(lt_work_sync(ben, &added, &diags));
	assert_int_equal(added, 3);
	assert_int_equal(lt_job_state_stage(lt_work_state(ben)), LT_STAGE_RECONNECT);
	/* It was at reconnect before too, by default; now another stage, and a scan meant for the
	 * one says nothing in the other. */
	stage(ada, LT_STAGE_UNPLUG);
	struct lt_answer answer;
	bool taken = true;
	const size_t before = events_of(ada);
	assert_true(lt_work_scan(ben, &taken, &answer, "5H", 2, &diags));
	assert_false(taken);
	assert_true(lt_work_changed_elsewhere(ben));
	assert_int_equal(events_of(ben), before);
	lt_work_acknowledge(ben);
	assert_false(lt_work_changed_elsewhere(ben));
	stage(ada, LT_STAGE_RECONNECT);
	assert_true(lt_work_sync(ben, &added, &diags));
	lt_work_acknowledge(ben);
	/* Each has a half in the hand, and neither is the other's. */
	assert_int_equal(scan(ada, 5, LT_SIDE_H), LT_VERDICT_HALF);
	assert_int_equal(scan(ben, 12, LT_SIDE_M), LT_VERDICT_HALF);
	assert_int_equal(scan(ada, 5, LT_SIDE_M), LT_VERDICT_MATED);
	assert_int_equal(scan(ben, 12, LT_SIDE_H), LT_VERDICT_MATED);
	assert_true(lt_work_sync(ada, &added, &diags));
	assert_int_equal(added, 1);
	assert_true(lt_job_state_ok(lt_work_state(ada), LT_STAGE_RECONNECT));
	assert_true(lt_job_state_ok(lt_work_state(ben), LT_STAGE_RECONNECT));
	assert_int_equal(events_of(ada), events_of(ben));
	/* One closes it under the other's hands. */
	assert_true(lt_work_finish(ada, NULL, &diags));
	assert_true(lt_work_scan(ben, &taken, &answer, "5H", 2, &diags) && !taken);
	assert_true(lt_work_changed_elsewhere(ben));
	assert_true(lt_job_state_closed(lt_work_state(ben)));
	assert_int_equal(events_of(ben), events_of(ada));
	lt_work_close(ada);
	lt_work_close(ben);
	lt_diags_finish(&diags);
}

/* What one opens while the other closes is open. */
static void nothing_is_closed_over_an_open_joint(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct lt_diags diags = { 0 };
	two_joints(&fixture);
	struct lt_work *ada = open_work(&fixture, "last.db", "Ada", false);
	struct lt_work *ben = open_work(&fixture, "last.db", "Ben", false);
	stage(ada, LT_STAGE_RECONNECT);
	for (unsigned number = 5; number <= 12; number += 7) {
		scan(ada, number, LT_SIDE_H);
		scan(ada, number, LT_SIDE_M);
	}
	assert_true(lt_job_state_ok(lt_work_state(ada), LT_STAGE_COUNT));
	assert_true(lt_work_sync(ben, NULL, &diags));
	lt_work_acknowledge(ben);
	scan(ben, 5, LT_SIDE_H);
	assert_int_equal(scan(ben, 12, LT_SIDE_M), LT_VERDICT_WRONG_MATE);
	/* Ada's screen does not know of it yet. */
	assert_true(lt_job_state_ok(lt_work_state(ada), LT_STAGE_COUNT));
	assert_true(lt_work_finish(ada, NULL, &diags));
	assert_false(lt_job_state_closed(lt_work_state(ada)));
	assert_false(lt_job_state_ok(lt_work_state(ada), LT_STAGE_RECONNECT));
	lt_work_close(ada);
	lt_work_close(ben);
	lt_diags_finish(&diags);
}

/* What the description of one terminal changes, the other has to see before it scans. */
static void a_new_plan_is_seen_first(void **state)
{
	(void)state;
	struct job_fixture fixture, other;
	struct lt_diags diags = { 0 };
	struct lt_answer answer;
	const struct lt_plan_change *changes;
	bool taken, voids_all;
	size_t first;
	two_joints(&fixture);
	two_joints(&other);
	other.number_of[1] = 20;
	other.connector_of[20] = 1;
	other.connector_of[12] = LT_NONE;
	struct lt_work *ada = open_work(&fixture, "plan.db", "Ada", false);
	stage(ada, LT_STAGE_RECONNECT);
	scan(ada, 12, LT_SIDE_H);
	scan(ada, 12, LT_SIDE_M);
	scan(ada, 5, LT_SIDE_H);

	struct lt_work *ben = open_work(&other, "plan.db", "Ben", false);
	assert_true(lt_work_differs(ben));
	assert_int_equal(lt_work_changes(ben, &changes, &voids_all), 1);
	assert_int_equal(changes[0].kind, LT_PLAN_NUMBER);
	assert_true(lt_work_scan(ben, &taken, &answer, "5H", 2, &diags) && !taken);
	assert_true(lt_work_finish(ben, NULL, &diags));
	assert_false(lt_job_state_closed(lt_work_state(ben)));
	unsigned no;
	assert_true(lt_work_answer(&no, ben, LT_STAGE_RECONNECT, &diags));
	assert_true((no & LT_NO_OTHER_PLAN) != 0);
	assert_true(lt_work_replan(ben, &diags));
	assert_false(lt_work_differs(ben));
	assert_int_equal(scan(ben, 5, LT_SIDE_H), LT_VERDICT_HALF);
	assert_int_equal(scan(ben, 5, LT_SIDE_M), LT_VERDICT_MATED);
	scan(ben, 20, LT_SIDE_H);
	assert_int_equal(scan(ben, 20, LT_SIDE_M), LT_VERDICT_MATED);
	assert_true(lt_work_answer(&no, ben, LT_STAGE_RECONNECT, &diags));
	assert_int_equal(no, 0);

	/* Ada's description still says 12. */
	assert_true(lt_work_scan(ada, &taken, &answer, "5M", 2, &diags) && !taken);
	assert_true(lt_work_changed_elsewhere(ada));
	assert_int_equal(lt_work_unseen_plans(ada, &first), 1);
	assert_int_equal(first, 1);
	lt_work_acknowledge(ada);
	assert_true(lt_work_differs(ada));
	assert_true(lt_work_scan(ada, &taken, &answer, "5M", 2, &diags) && !taken);
	/* Her file is read again. */
	lt_work_describe(ada, &other.tags);
	assert_false(lt_work_differs(ada));
	assert_int_equal(scan(ada, 5, LT_SIDE_M), LT_VERDICT_HALF);
	assert_int_equal(lt_work_connector(ada, 1), 1);
	lt_work_close(ada);
	lt_work_close(ben);
	lt_diags_finish(&diags);
}

/* A certain job or none. */
static void only_the_requested_job_is_opened(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct lt_diags diags = { 0 };
	two_joints(&fixture);
	struct lt_work *work = open_work(&fixture, "asked.db", "Ada", false);
	assert_int_equal(lt_work_job(work), 1);
	lt_work_close(work);
	struct lt_work_options options = { .db = "asked.db", .job = 2 };
	assert_null(lt_work_open(&fixture.tags, &options, "Ada", &diags));
	options.job = 1;
	work = lt_work_open(&fixture.tags, &options, "Ada", &diags);
	assert_non_null(work);
	lt_work_close(work);
	options.db = "askd.db";
	assert_null(lt_work_open(&fixture.tags, &options, "Ada", &diags));
	assert_int_equal(access("askd.db", F_OK), -1);
	lt_diags_finish(&diags);
}

/* A line that is too long is one misread, of which the beginning is kept. */
static void a_line_that_is_too_long(void **state)
{
	(void)state;
	static const char *const stores[] = { NULL, "long.db" };
	for (size_t i = 0; i < 2; i++) {
		struct job_fixture fixture;
		struct lt_diags diags = { 0 };
		struct lt_answer answer;
		char line[LT_SCAN_MAX + 1];
		bool taken;
		size_t count;
		two_joints(&fixture);
		struct lt_work *work = open_work(&fixture, stores[i], "Ada", false);
		stage(work, LT_STAGE_RECONNECT);
		memset(line, 'A', sizeof(line));
		lt_scan_code_write(line, 5, LT_SIDE_H, "RV3U42");
		line[strlen(line)] = ' ';
		assert_true(lt_work_scan(work, &taken, &answer, line, sizeof(line), &diags));
		assert_int_equal(answer.verdict, LT_VERDICT_MISREAD);
		const struct lt_job_event *events = lt_work_events(work, &count);
		assert_int_equal(strlen(events[count - 1].text), LT_SCAN_MAX);
		assert_null(events[count - 1].tag);
		lt_work_close(work);
		lt_diags_finish(&diags);
	}
}

/* What is not on disk was not answered. */
static void a_store_that_fails_answers_nothing(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct lt_diags diags = { 0 };
	struct lt_answer answer;
	two_joints(&fixture);
	struct lt_work *work = open_work(&fixture, "full.db", "Ada", false);
	stage(work, LT_STAGE_RECONNECT);
	const size_t before = events_of(work);
	lt_work_close(work);

	/* Another holds the database for longer than anybody waits. */
	work = open_work(&fixture, "full.db", "Ada", false);
	struct lt_job_db *other = lt_job_db_open("full.db", true, &diags);
	assert_non_null(other);
	assert_true(lt_job_db_begin(other, &diags));
	bool taken;
	assert_false(lt_work_scan(work, &taken, &answer, "5H", 2, &diags));
	assert_false(taken);
	assert_true(diags.errors > 0);
	lt_job_db_abandon(other);
	lt_job_db_close(other);
	lt_work_close(work);
	work = open_work(&fixture, "full.db", "Ada", false);
	assert_int_equal(lt_work_resumed(work), before);
	lt_work_close(work);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_step_is_stored),
		cmocka_unit_test(a_job_is_continued_where_it_stopped),
		cmocka_unit_test(two_see_each_other),
		cmocka_unit_test(nothing_is_closed_over_an_open_joint),
		cmocka_unit_test(a_new_plan_is_seen_first),
		cmocka_unit_test(only_the_requested_job_is_opened),
		cmocka_unit_test(a_line_that_is_too_long),
		cmocka_unit_test(a_store_that_fails_answers_nothing),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
