#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "job_bench.h"
#include "job_model.h"
#include "verify_spell.h"

static uint64_t chance(uint64_t *seed)
{
	*seed ^= *seed << 13;
	*seed ^= *seed >> 7;
	*seed ^= *seed << 17;
	return *seed >> 11;
}

static int below(uint64_t *seed, int n)
{
	return (int)(chance(seed) % (unsigned)n);
}

static bool one_in(uint64_t *seed, int n)
{
	return below(seed, n) == 0;
}

static void random_plan(struct model_plan *out, uint64_t *seed)
{
	memset(out, 0, sizeof(*out));
	out->count = 1 + below(seed, 5);
	int number = 0;
	for (int i = 0; i < out->count; i++) {
		struct model_joint *joint = &out->joints[i];
		joint->number = number += 1 + below(seed, 3);
		joint->two_sided = !one_in(seed, 5);
		joint->replaced = joint->two_sided && one_in(seed, 3);
		joint->old_m = joint->replaced && one_in(seed, 5);
		joint->old_x = one_in(seed, 6);
		for (int k = 0; k < i; k++)
			joint->after[k] = one_in(seed, 4);
	}
}

/* The description that a plan stands for. */
static void describe(struct job_bench *out, const struct model_plan *plan)
{
	job_bench_begin(out);
	for (int i = 0; i < plan->count; i++) {
		const struct model_joint *joint = &plan->joints[i];
		size_t after[MODEL_JOINTS], count = 0;
		for (int k = 0; k < i; k++)
			if (joint->after[k])
				after[count++] = (size_t)k;
		job_bench_add(out, (unsigned)joint->number, joint->two_sided ? 2 : 1,
			joint->replaced, after, count);
		out->x_printed[i] = joint->old_x;
		out->m_is_old[i] = joint->old_m;
	}
	out->finish[0].text = "covers closed";
	out->finish[1].text = "nothing pinched";
	out->harness.finish_count = 2;
	out->hazard = (struct lt_hazard){ .energy = "mains 230 V" };
	out->harness.hazard_count = 1;
}

/* What somebody at the bench might well scan next. */
static struct model_scan random_scan(const struct model *m, uint64_t *seed)
{
	static const int sides[] = { 'H', 'H', 'M', 'M', 'X' };
	const int pending = model_pending(m), next = model_next(m);
	struct model_scan scan = { MODEL_OWN, 0, 'H' };
	scan.number = m->plan.joints[below(seed, m->plan.count)].number;
	if (next >= 0 && !one_in(seed, 4))
		scan.number = m->plan.joints[next].number;
	scan.side = sides[below(seed, 5)];
	if (m->plan.stage == MODEL_SWAP && !one_in(seed, 5))
		scan.side = one_in(seed, 2) ? 'X' : 'M';
	if (pending != 0 && !one_in(seed, 6)) {
		const bool x = m->plan.stage == MODEL_TAG &&
			       m->plan.joints[model_find(m, pending)].replaced;
		const int side = m->now.at[m->station].side;
		scan.number = pending;
		if (m->plan.stage == MODEL_SWAP)
			scan.side = side == 'X' ? 'M' : 'X';
		else
			scan.side = side != 'H' ? 'H' : x ? 'X' : 'M';
	}
	if (one_in(seed, 30))
		scan.number = 1 + below(seed, 20);
	if (one_in(seed, 12))
		scan.source = (enum model_source)below(seed, MODEL_NOISE + 1);
	return scan;
}

static const enum lt_stage stages[MODEL_STAGES] = { LT_STAGE_TAG, LT_STAGE_UNPLUG, LT_STAGE_SWAP,
	LT_STAGE_RECONNECT };

static struct job_model_event random_event(const struct job_model *now, enum model_stage stage,
	uint64_t *seed)
{
	struct job_model_event event = { .kind = JOB_MODEL_SCAN, .stage = stage };
	const struct model *at = &now->at[stage];
	event.station = one_in(seed, 4) ? 1 : 0;
	event.typed = one_in(seed, 4);
	event.number = at->plan.joints[below(seed, at->plan.count)].number;
	if (one_in(seed, 12))
		event.kind = JOB_MODEL_SKIP;
	if (one_in(seed, 10))
		event.kind = JOB_MODEL_UNDO;
	if (one_in(seed, 60))
		event.kind = JOB_MODEL_LEAVE_OUT;
	if (one_in(seed, 60))
		event.kind = JOB_MODEL_PICTURE;
	if (one_in(seed, 60))
		event.kind = JOB_MODEL_HAZARD;
	if (one_in(seed, 6)) {
		event.kind = one_in(seed, 6) ? JOB_MODEL_UNTICK : JOB_MODEL_TICK;
		event.number = below(seed, JOB_MODEL_LINES);
	}
	struct model copy = { .plan = at->plan, .now = at->now, .station = event.station };
	event.scan = random_scan(&copy, seed);
	return event;
}

static void write_event(struct job_script *script, const struct job_model_event *from,
	const char *mark)
{
	static const enum lt_job_event_kind kinds[JOB_MODEL_KINDS] = { LT_JOB_SCAN, LT_JOB_SKIP,
		LT_JOB_UNDO, LT_JOB_STAGE_SKIPPED, LT_JOB_STAGE, LT_JOB_PICTURE, LT_JOB_TICK,
		LT_JOB_UNDO, LT_JOB_HAZARD };
	static const char *const lines[JOB_MODEL_LINES] = { "covers closed", "nothing pinched",
		"mains 230 V: restored" };
	const bool last = from->kind == JOB_MODEL_TICK || from->kind == JOB_MODEL_UNTICK;
	struct lt_job_event *event = job_event(script, kinds[from->kind],
		last ? LT_STAGE_FINISH : stages[from->stage], (unsigned)from->station + 1);
	char word[16];
	event->typed = from->typed;
	event->number = from->kind == JOB_MODEL_SKIP ? (unsigned)from->number : 0;
	event->text = from->kind == JOB_MODEL_TICK ? lines[from->number] : mark;
	if (from->kind != JOB_MODEL_SCAN)
		return;
	snprintf(word, sizeof(word), "%s%d%c",
		from->scan.source == MODEL_TYPED           ? "="
		: from->scan.source == MODEL_OTHER_HARNESS ? "~"
		: from->scan.source == MODEL_NOISE         ? "!"
							   : "",
		from->scan.number, from->scan.side);
	spell(script->texts[script->count], word);
	event->text = script->texts[script->count];
}

/* In what a state and the model differ, or NULL. */
static const char *difference(const struct lt_job_state *state, const struct job_model *m)
{
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		const struct model *at = &m->at[stage];
		const struct lt_verify *machine = lt_job_state_machine(state, stages[stage]);
		for (int i = 0; i < at->plan.count; i++) {
			if (lt_verify_made(machine, (size_t)i) != (at->now.made[i] != 0))
				return "made";
			if (lt_verify_needed(machine, (size_t)i) != model_needed(at, i))
				return "needed";
			if (lt_verify_skipped(machine, (size_t)i) != (at->now.skipped[i] != 0))
				return "skipped";
		}
		if (lt_verify_made_count(machine) != (size_t)model_made_count(at) ||
			lt_verify_needed_count(machine) != (size_t)model_needed_count(at) ||
			lt_verify_typed_count(machine) != (size_t)model_typed_count(at))
			return "counts";
		if (lt_job_state_ok(state, stages[stage]) !=
			job_model_ok(m, (enum model_stage)stage))
			return "ok";
	}
	for (size_t i = 0; i < JOB_MODEL_LINES; i++)
		if (lt_job_state_ticked(state, i) !=
			(m->ticked[i] < 0 ? LT_NONE : (size_t)m->ticked[i]))
			return "ticked";
	const bool done = job_model_finish_ok(m);
	if (lt_job_state_ok(state, LT_STAGE_FINISH) != done || lt_job_state_all_done(state) != done)
		return "finish";
	if (lt_job_state_standing(state, LT_STAGE_FINISH) !=
		(done                  ? LT_STANDING_DONE
			: m->finishing ? LT_STANDING_BEGUN
				       : LT_STANDING_NOT_BEGUN))
		return "standing of finish";
	for (int i = 0; i < m->at[0].plan.count; i++) {
		const struct lt_joint_history history = lt_job_state_history(state, (size_t)i);
		const int rank = job_model_rank(m, i);
		if (history.unplug_rank != (rank < 0 ? LT_NONE : (size_t)rank))
			return "rank";
		if (history.unplugged != (rank < 0 ? LT_NONE : (size_t)m->unplugged[i]))
			return "unplugged";
	}
	return NULL;
}

static struct job_model model, read_model;

struct job {
	struct model_plan plan;
	struct job_bench bench;
	struct job_script script;
	struct job_model_event events[JOB_MODEL_EVENTS];
	struct lt_job_state *state;
	uint64_t seed;
};

struct tally {
	unsigned long accepted[JOB_MODEL_KINDS], refused[JOB_MODEL_KINDS];
	unsigned long ok, finished, ok_changed, compared;
};

static void one_event(struct job *job, const struct job_model_event *event, struct tally *tally)
{
	const int count = (int)job->script.count;
	struct lt_answer answer;
	job->events[count] = *event;
	job_model_go_through(&model, &job->plan, job->events, count + 1);
	write_event(&job->script, event,
		event->kind == JOB_MODEL_GO_ON ? lt_job_state_mark(job->state) : "a reason");
	struct lt_job_event *written = &job->script.events[count];
	const bool accepted = lt_job_state_apply(job->state, written, &answer);
	if (accepted != model.accepted)
		fail_msg("seed %llu, event %d: accepted", (unsigned long long)job->seed, count);
	if (event->kind == JOB_MODEL_SCAN &&
		strcmp(lt_verdict_name(answer.verdict), model_rows[model.row].verdict) != 0)
		fail_msg("seed %llu, event %d: %s", (unsigned long long)job->seed, count,
			model_rows[model.row].verdict);
	(accepted ? tally->accepted : tally->refused)[event->kind]++;
	if (!accepted)
		job_model_go_through(&model, &job->plan, job->events, count);
	const char *why = difference(job->state, &model);
	if (why != NULL)
		fail_msg("seed %llu, event %d: %s", (unsigned long long)job->seed, count, why);
	tally->ok += job_model_ok(&model, MODEL_RECONNECT);
	tally->finished += job_model_finish_ok(&model);
	if (!accepted)
		return;
	written->id = ++job->script.count;
	if (event->kind == JOB_MODEL_SCAN)
		written->verdict = lt_verdict_name(answer.verdict);
}

static void play(struct job *job, uint64_t seed, struct tally *tally)
{
	uint64_t random = seed * 0x9E3779B97F4A7C15u + 1;
	enum model_stage stage = MODEL_RECONNECT;
	job->seed = seed;
	job->script.count = 0;
	random_plan(&job->plan, &random);
	describe(&job->bench, &job->plan);
	job->state = lt_job_state_create(&job->bench.tags);
	job_model_go_through(&model, &job->plan, job->events, 0);
	for (int i = 0; i < 40 && job->script.count + 2 < JOB_MODEL_EVENTS; i++) {
		if (i == 0 || one_in(&random, 7)) {
			stage = one_in(&random, 3) ? (enum model_stage)below(&random, MODEL_STAGES)
				: one_in(&random, 3) ? MODEL_UNPLUG
						     : MODEL_RECONNECT;
			const struct job_model_event begun = { .kind = JOB_MODEL_GO_ON,
				.stage = stage };
			one_event(job, &begun, tally);
		}
		const struct job_model_event event = random_event(&model, stage, &random);
		one_event(job, &event, tally);
	}
}

/* Events that are only read lead to the same. */
static void read_again(const struct job *job)
{
	struct lt_job_state *state = lt_job_state_create(&job->bench.tags);
	for (size_t i = 0; i < job->script.count; i++)
		assert_true(lt_job_state_apply(state, &job->script.events[i], NULL));
	job_model_go_through(&read_model, &job->plan, job->events, (int)job->script.count);
	const char *why = difference(state, &read_model);
	if (why != NULL)
		fail_msg("seed %llu, read again: %s", (unsigned long long)job->seed, why);
	assert_int_equal(lt_job_state_changed(state), 0);
	lt_job_state_destroy(state);
}

/* Another description: a joint gone, or come, another part replaced, another order. */
static void change_plan(struct model_plan *plan, uint64_t *seed)
{
	const int at = below(seed, plan->count);
	struct model_joint *joint = &plan->joints[at];
	switch (below(seed, 5)) {
	case 0:
		if (plan->count == 1)
			return;
		for (int i = at; i + 1 < plan->count; i++) {
			plan->joints[i] = plan->joints[i + 1];
			for (int k = at; k + 1 < MODEL_JOINTS; k++)
				plan->joints[i].after[k] = plan->joints[i].after[k + 1];
		}
		plan->count--;
		break;
	case 1:
		plan->joints[plan->count] =
			(struct model_joint){ .number = 30 + plan->count, .two_sided = true };
		plan->count++;
		break;
	case 2:
		joint->replaced = joint->two_sided && !joint->replaced;
		joint->old_m = joint->replaced;
		break;
	case 3:
		joint->two_sided = !joint->two_sided;
		joint->replaced = joint->old_m = false;
		break;
	default:
		for (int k = 0; k < at; k++)
			joint->after[k] = one_in(seed, 2);
		break;
	}
}

/* A joint of a wrong mate that is there still, and was not made at that stage since. */
static bool still_open(const struct job *job, const struct lt_verify *now, enum lt_stage stage,
	unsigned number)
{
	const struct lt_verify *then = lt_job_state_machine(job->state, stage);
	return lt_verify_joint(now, number) != LT_NONE &&
	       !lt_verify_made(then, lt_verify_joint(then, number));
}

/* Whatever was changed since: no joint is taken for made that was not, nor one for left that was
 * not there. */
static void read_with_another(const struct job *job, uint64_t *seed, struct tally *tally)
{
	struct model_plan plan = job->plan;
	struct job_bench bench;
	for (int times = 1 + below(seed, 2); times > 0; times--)
		change_plan(&plan, seed);
	describe(&bench, &plan);
	struct lt_job_state *state = lt_job_state_create(&bench.tags);
	for (size_t i = 0; i < job->script.count; i++)
		lt_job_state_apply(state, &job->script.events[i], NULL);

	const struct lt_verify *now = lt_job_state_machine(state, LT_STAGE_RECONNECT);
	const struct lt_verify *then = lt_job_state_machine(job->state, LT_STAGE_RECONNECT);
	for (int i = 0; i < plan.count; i++) {
		const size_t before = lt_verify_joint(then, (unsigned)plan.joints[i].number);
		if (lt_verify_made(now, (size_t)i) &&
			(before == LT_NONE || !lt_verify_made(then, before)))
			fail_msg("seed %llu: joint %d is taken for made",
				(unsigned long long)job->seed, plan.joints[i].number);
		tally->compared += lt_verify_made(now, (size_t)i);
	}
	static const enum lt_stage sticker_stages[] = { LT_STAGE_TAG, LT_STAGE_SWAP };
	for (size_t s = 0; s < 2; s++) {
		const enum lt_stage stage = sticker_stages[s];
		const struct lt_wrong_mate *wrong;
		const size_t count =
			lt_verify_wrong(lt_job_state_machine(job->state, stage), &wrong);
		for (size_t i = 0; i < count; i++)
			if (lt_job_state_ok(state, LT_STAGE_RECONNECT) &&
				(still_open(job, now, stage, wrong[i].h) ||
					still_open(job, now, stage, wrong[i].m)))
				fail_msg("seed %llu: a wrong mate is forgotten",
					(unsigned long long)job->seed);
	}
	tally->ok_changed += lt_job_state_ok(state, LT_STAGE_RECONNECT);
	lt_job_state_destroy(state);
}

static void test_against_the_model(void **state)
{
	(void)state;
	static struct job job;
	struct tally tally = { .ok = 0 };
	for (uint64_t seed = 1; seed <= 1500; seed++) {
		uint64_t random = seed * 0xD1342543DE82EF95u + 1;
		play(&job, seed, &tally);
		read_again(&job);
		for (int i = 0; i < 4; i++)
			read_with_another(&job, &random, &tally);
		lt_job_state_destroy(job.state);
	}
	for (int kind = 0; kind < JOB_MODEL_KINDS; kind++)
		assert_true(tally.accepted[kind] > 200);
	assert_true(tally.refused[JOB_MODEL_UNDO] > 200 && tally.refused[JOB_MODEL_SKIP] > 200);
	assert_true(tally.finished > 50);
	assert_true(tally.ok > 500 && tally.ok_changed > 50 && tally.compared > 1000);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_against_the_model) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
