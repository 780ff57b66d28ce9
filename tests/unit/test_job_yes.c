/* The answers of a job: when they become yes, and what must prevent that. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "job_play.h"

/* A job in which nothing goes wrong: the answer of each stage is yes with its last scan, and never
 * before. */

static void not_yet(const struct job *job, enum lt_stage stage)
{
	if (lt_job_state_no(job->state, stage) == 0 ||
		lt_job_state_no(job->state, LT_STAGE_FINISH) == 0 ||
		lt_job_state_no(job->state, LT_STAGE_COUNT) == 0)
		fail_msg("plan %llu, at %s: yes, too early", (unsigned long long)job->seed,
			lt_stage_name(stage));
}

/* Each joint as it is offered, with all the stickers that it takes. */
static void do_stage(struct job *job, enum lt_stage stage)
{
	happens(job, LT_JOB_STAGE, stage, NULL);
	const size_t needed = lt_verify_needed_count(lt_job_state_machine(job->state, stage));
	for (size_t done = 0; done < needed; done++) {
		not_yet(job, stage);
		const size_t next = lt_verify_next(lt_job_state_machine(job->state, stage));
		assert_true(next != LT_NONE);
		const struct lt_job_joint *joint = lt_job_state_joint(job->state, next);
		const bool x = joint->replaced && stage == LT_STAGE_TAG;
		const bool pair = stage != LT_STAGE_UNPLUG && joint->sides == 2;
		scan_one(job, stage, joint->number, stage == LT_STAGE_SWAP ? 'X' : 'H');
		if (!pair)
			continue;
		not_yet(job, stage);
		scan_one(job, stage, joint->number, x ? 'X' : 'M');
	}
	assert_int_equal(lt_job_state_no(job->state, stage), 0);
}

static void finish_job(struct job *job)
{
	happens(job, LT_JOB_STAGE, LT_STAGE_FINISH, NULL);
	for (size_t i = 0; i < lt_job_state_lines(job->state); i++) {
		not_yet(job, LT_STAGE_FINISH);
		happens(job, LT_JOB_TICK, LT_STAGE_FINISH, lt_job_state_line(job->state, i)->text);
	}
	assert_int_equal(lt_job_state_no(job->state, LT_STAGE_FINISH), 0);
	assert_int_equal(lt_job_state_no(job->state, LT_STAGE_COUNT), 0);
}

static void do_all(struct job *job)
{
	for (int stage = 0; stage < LT_STAGE_FINISH; stage++)
		if (lt_job_state_of_stage(job->state, (enum lt_stage)stage) != LT_STATE_NOTHING)
			do_stage(job, (enum lt_stage)stage);
	finish_job(job);
}

static void test_yes_comes_with_the_last_scan(void **state)
{
	(void)state;
	static struct job job;
	for (uint64_t seed = 1; seed <= 3000; seed++) {
		job.seed = seed;
		job.random = seed * 0xD1342543DE82EF95u + 1;
		begin_job(&job);
		random_description(&job.description, &job.random);
		for (int i = 0; i < job.description.plan.count; i++)
			job.description.plan.connectors[i].old_m = false;
		replan(&job, LT_STAGE_TAG);
		do_all(&job);
		happens(&job, LT_JOB_CLOSED, LT_STAGE_FINISH, NULL);
		end_job(&job);
	}
}

/* X1 with number 1 to X3 with number 3, and three lines. */
static void three_joints(struct job *job)
{
	memset(&job->description, 0, sizeof(job->description));
	for (int i = 0; i < 3; i++) {
		job->description.plan.connectors[i] = (struct job_model_connector){
			.id = i + 1, .number = i + 1, .mate = 1, .two_sided = true
		};
		job->description.plan.finish[i] = true;
	}
	job->description.plan.count = 3;
	begin_job(job);
	replan(job, LT_STAGE_TAG);
}

static bool asked_at_reconnect(const struct job *job, size_t joint)
{
	const struct lt_verify *machine = lt_job_state_machine(job->state, LT_STAGE_RECONNECT);
	return lt_verify_needed(machine, joint) && !lt_verify_made(machine, joint);
}

/* A tick that a plan left is not taken back any more; one that came later is. */
static void test_no_undo_of_ticks_past_a_plan(void **state)
{
	(void)state;
	static struct job job;
	three_joints(&job);
	happens(&job, LT_JOB_STAGE, LT_STAGE_FINISH, NULL);
	happens(&job, LT_JOB_TICK, LT_STAGE_FINISH, "covers closed");
	replan(&job, LT_STAGE_FINISH);
	assert_true(lt_job_state_ticked(job.state, 0) != LT_NONE);
	assert_true(lt_job_state_last(job.state, 1) == LT_NONE);
	struct lt_job_event *undo = job_event(&job.script, LT_JOB_UNDO, LT_STAGE_FINISH, 1);
	assert_false(lt_job_state_apply(job.state, undo, NULL));
	assert_true(lt_job_state_ticked(job.state, 0) != LT_NONE);
	happens(&job, LT_JOB_TICK, LT_STAGE_FINISH, "nothing pinched");
	happens(&job, LT_JOB_UNDO, LT_STAGE_FINISH, NULL);
	assert_true(lt_job_state_ticked(job.state, 0) != LT_NONE);
	assert_true(lt_job_state_ticked(job.state, 1) == LT_NONE);
	replan(&job, LT_STAGE_FINISH);
	assert_true(lt_job_state_ticked(job.state, 0) != LT_NONE);
	end_job(&job);
}

/* Whether anything was done at reconnect or not: a joint that was left plugged in is asked for when
 * it now comes after one that is apart, and when one that it comes after is void. */
static void test_a_plan_opens_before_reconnect(void **state)
{
	(void)state;
	static struct job job;
	for (int begun = 0; begun < 2; begun++) {
		three_joints(&job);
		job.description.plan.connectors[2].after[1] = true;
		replan(&job, LT_STAGE_TAG);
		happens(&job, LT_JOB_STAGE, LT_STAGE_UNPLUG, NULL);
		scan_one(&job, LT_STAGE_UNPLUG, 1, 'H');
		happens(&job, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
		if (begun)
			scan_one(&job, LT_STAGE_RECONNECT, 1, 'H');
		assert_false(asked_at_reconnect(&job, 1) || asked_at_reconnect(&job, 2));
		job.description.plan.connectors[1].mate = 2;
		replan(&job, LT_STAGE_RECONNECT);
		assert_true(asked_at_reconnect(&job, 1) && asked_at_reconnect(&job, 2));
		end_job(&job);

		three_joints(&job);
		happens(&job, LT_JOB_STAGE, LT_STAGE_UNPLUG, NULL);
		scan_one(&job, LT_STAGE_UNPLUG, 1, 'H');
		happens(&job, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
		if (begun)
			scan_one(&job, LT_STAGE_RECONNECT, 1, 'H');
		job.description.plan.connectors[2].after[0] = true;
		replan(&job, LT_STAGE_RECONNECT);
		assert_true(asked_at_reconnect(&job, 2) && !asked_at_reconnect(&job, 1));
		end_job(&job);
	}
}

/* An event of the store that cannot be, or is not known, takes every yes back. */
static void test_impossible_events_make_the_answer_no(void **state)
{
	(void)state;
	static const struct lt_job_event strange[] = {
		{ .kind = LT_JOB_UNKNOWN, .kind_name = "weighed" },
		{ .kind = LT_JOB_SCAN, .text = "1H", .tag = "1H", .verdict = "weighed" },
		{ .kind = LT_JOB_SCAN, .text = "1H", .tag = "1H", .verdict = "mated" },
		{ .kind = LT_JOB_SCAN, .text = "9H", .tag = "9H", .verdict = "half" },
		{ .kind = LT_JOB_SKIP, .text = "a reason", .number = 9 },
		{ .kind = LT_JOB_SKIP, .text = "a reason", .number = 1 },
		{ .kind = LT_JOB_UNDO },
		{ .kind = LT_JOB_TICK, .text = "covers closed" },
		{ .kind = LT_JOB_PLAN, .text = "{}" },
		{ .kind = LT_JOB_SETTLED, .text = "1H 2M" },
	};
	static struct job job;
	for (size_t i = 0; i < sizeof(strange) / sizeof(strange[0]); i++) {
		three_joints(&job);
		do_all(&job);
		struct lt_job_event event = strange[i];
		event.who = "Ines";
		event.station = 2;
		event.stage = LT_STAGE_RECONNECT;
		assert_false(lt_job_state_apply(job.state, &event, NULL));
		assert_int_equal(lt_job_state_no(job.state, LT_STAGE_COUNT), 0);
		event.id = job.script.count + 1;
		assert_false(lt_job_state_apply(job.state, &event, NULL));
		assert_int_equal(lt_job_state_strange(job.state), job.script.count);
		for (int stage = 0; stage <= LT_STAGE_COUNT; stage++)
			assert_int_equal(lt_job_state_no(job.state, (enum lt_stage)stage),
				LT_NO_STRANGE);
		end_job(&job);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_yes_comes_with_the_last_scan),
		cmocka_unit_test(test_no_undo_of_ticks_past_a_plan),
		cmocka_unit_test(test_a_plan_opens_before_reconnect),
		cmocka_unit_test(test_impossible_events_make_the_answer_no) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
