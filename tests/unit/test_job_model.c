/* Random jobs, event by event against a second statement of the rules (job_model.h). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "job_compare.h"

enum { STATIONS = MODEL_STATIONS, STEPS = 60, JOBS = 6000 };

/* What somebody at the fixture might well scan next; `careful` makes few mistakes. */
static struct model_scan random_scan(const struct model *m, bool careful, uint64_t *seed)
{
	static const int sides[] = { 'H', 'H', 'M', 'M', 'X' };
	const int pending = model_pending(m), next = model_next(m);
	struct model_scan scan = { MODEL_OWN, 1 + below(seed, 20), sides[below(seed, 5)] };
	if (m->plan.count > 0)
		scan.number = m->plan.joints[below(seed, m->plan.count)].number;
	if (next >= 0 && (careful || !one_in(seed, 4)))
		scan.number = m->plan.joints[next].number;
	if (careful && next >= 0)
		scan.side = m->plan.stage == MODEL_SWAP ? 'X' : 'H';
	if (m->plan.stage == MODEL_SWAP && !one_in(seed, 5))
		scan.side = one_in(seed, 2) ? 'X' : 'M';
	if (pending != 0 && (careful || !one_in(seed, 6))) {
		const bool x = m->plan.stage == MODEL_TAG &&
			       m->plan.joints[model_find(m, pending)].replaced;
		const int side = m->now.at[m->station].side;
		scan.number = pending;
		if (m->plan.stage == MODEL_SWAP)
			scan.side = side == 'X' ? 'M' : 'X';
		else
			scan.side = side != 'H' ? 'H' : x ? 'X' : 'M';
		/* The mate of another. */
		if (one_in(seed, m->plan.stage == MODEL_SWAP ? 4 : careful ? 40 : 6))
			scan.number = m->plan.joints[below(seed, m->plan.count)].number;
	}
	if (one_in(seed, careful ? 90 : 30))
		scan.number = 1 + below(seed, 20);
	if (one_in(seed, careful ? 60 : 12))
		scan.source = (enum model_source)below(seed, MODEL_NOISE + 1);
	return scan;
}

static struct job_model model;

struct tally {
	unsigned long accepted[JOB_MODEL_KINDS], refused[JOB_MODEL_KINDS];
	unsigned long changes[CHANGES], verdicts[MODEL_STAGES][MODEL_ROWS];
	unsigned long yes[JOB_MODEL_STAGES + 1], no[JOB_MODEL_STAGES + 1];
	unsigned long standing[JOB_MODEL_STAGES][LT_STATE_NOTHING + 1];
	unsigned long voided, opened, kept, strays, unasked, left, ticks_kept, without_number;
	unsigned long events;
};

static struct job_model_event random_event(struct job *job, const struct job_model *now)
{
	uint64_t *seed = &job->random;
	struct job_model_event event = { .kind = JOB_MODEL_SCAN, .stage = now->stage };
	const int rare = job->careful ? 3 : 1;
	event.station = one_in(seed, 4 * rare) ? 1 + below(seed, STATIONS - 1) : 0;
	event.typed = one_in(seed, 4);
	if (one_in(seed, 12 * rare))
		event.kind = JOB_MODEL_SKIP;
	if (one_in(seed, 10 * rare))
		event.kind = JOB_MODEL_UNDO;
	if (one_in(seed, 60))
		event.kind = JOB_MODEL_PICTURE;
	if (one_in(seed, 60))
		event.kind = JOB_MODEL_HAZARD;
	if (now->stage == MODEL_FINISH ? event.kind == JOB_MODEL_SCAN : one_in(seed, 60)) {
		event.kind = JOB_MODEL_TICK;
		event.number = below(seed, now->plan.line_count + 1);
	}
	if (one_in(seed, 50 * rare)) {
		event.kind = JOB_MODEL_LEAVE_OUT;
		event.stage = below(seed, JOB_MODEL_STAGES);
	}
	if (one_in(seed, now->stray_count > 0 ? 15 : 200)) {
		event.kind = JOB_MODEL_APART;
		event.number = below(seed, now->stray_count + 1);
	}
	if (one_in(seed, job->script.count > 30 ? 20 : 150)) {
		event.kind = JOB_MODEL_CLOSE;
		event.number = one_in(seed, 12);
	}
	if (event.stage == MODEL_FINISH)
		return event;
	const struct model *at = &now->at[event.stage];
	static struct model copy;
	copy = *at;
	copy.station = event.station;
	event.scan = random_scan(&copy, job->careful, seed);
	if (event.kind == JOB_MODEL_SKIP)
		event.number = one_in(seed, 10) || at->plan.count == 0
				       ? 1 + below(seed, 20)
				       : at->plan.joints[below(seed, at->plan.count)].number;
	return event;
}

static struct lt_job_event *write_event(struct job *job, const struct job_model_event *from)
{
	static const enum lt_job_event_kind kinds[JOB_MODEL_KINDS] = { LT_JOB_SCAN, LT_JOB_SKIP,
		LT_JOB_UNDO, LT_JOB_STAGE_SKIPPED, LT_JOB_STAGE, LT_JOB_PICTURE, LT_JOB_TICK,
		LT_JOB_HAZARD, LT_JOB_PLAN, LT_JOB_SETTLED, LT_JOB_CLOSED };
	struct lt_job_event *event = job_event(&job->script, kinds[from->kind], stages[from->stage],
		(unsigned)from->station + 1);
	event->typed = from->typed;
	event->number = from->kind == JOB_MODEL_SKIP ? (unsigned)from->number : 0;
	event->text = "a reason";
	if (from->kind == JOB_MODEL_SCAN)
		write_scan(job, event, &from->scan);
	if (from->kind == JOB_MODEL_TICK)
		event->text = from->number < model.plan.line_count
				      ? lt_arena_strdup(&job->arena, model.plan.lines[from->number])
				      : "no such line";
	if (from->kind == JOB_MODEL_APART)
		event->text =
			from->number < model.stray_count
				? lt_arena_strdup(&job->arena, model.strays[from->number].tags)
				: "77H 78M";
	if (from->kind == JOB_MODEL_PLAN)
		event->text = make_plan(&job->plan, &job->fixture, &job->arena);
	if (from->kind == JOB_MODEL_GO_ON || (from->kind == JOB_MODEL_CLOSE && from->number == 0))
		event->text = NULL;
	return event;
}

static void count_what_was(struct tally *tally, const struct job_model_event *event)
{
	for (int stage = 0; stage < JOB_MODEL_STAGES; stage++) {
		const bool ok = stage == MODEL_FINISH ? job_model_finish_ok(&model)
						      : job_model_ok(&model, stage);
		*(ok ? &tally->yes[stage] : &tally->no[stage]) += 1;
		tally->standing[stage][standing_of(&model, stage)]++;
	}
	*(job_model_all_done(&model) ? &tally->yes[JOB_MODEL_STAGES]
				     : &tally->no[JOB_MODEL_STAGES]) += 1;
	if (event->kind == JOB_MODEL_SCAN)
		tally->verdicts[event->stage][model.row]++;
	tally->events++;
	if (event->kind == JOB_MODEL_PLAN)
		for (int i = 0; i < model.stray_count; i++)
			tally->strays++;
	tally->without_number += model.at[0].plan.count == 0;
	for (int i = 0; i < model.at[0].plan.count; i++) {
		tally->left += model.at[MODEL_RECONNECT].now.left[i] != 0;
		for (int stage = 0; stage < MODEL_STAGES; stage++)
			tally->unasked += model.at[stage].now.unasked[i] != 0;
	}
	if (event->kind != JOB_MODEL_PLAN || model.plans == 1)
		return;
	tally->voided += (unsigned long)model.voided;
	tally->opened += (unsigned long)model.opened;
	tally->kept += (unsigned long)model.kept;
	for (int i = 0; i < model.plan.line_count; i++)
		tally->ticks_kept += model.ticked[i] >= 0;
}

static void fail_at(const struct job *job, const char *why, int stage, const char *who)
{
	if (getenv("SHOW") != NULL)
		for (size_t i = 0; i <= job->script.count; i++) {
			const struct lt_job_event *e = &job->script.events[i];
			print_message("%zu: %s %s st%u n%u %s %s\n", i, lt_job_event_name(e->kind),
				lt_stage_name(e->stage), e->station, e->number,
				e->tag != NULL && e->kind == LT_JOB_SCAN ? e->tag
				: e->text != NULL                        ? e->text
									 : "",
				e->verdict != NULL ? e->verdict : "");
		}
	fail_msg("seed %llu, event %zu%s: %s (%s)", (unsigned long long)job->seed,
		job->script.count, who, why,
		stage < MODEL_STAGES ? lt_stage_name(stages[stage]) : "the whole");
}

/* What is taken back is what undo was said to be about; what it is about and is not taken back is a
 * wrong mate, or the job is closed. */
static bool fits_undo(const struct job *job, size_t last, bool accepted)
{
	if (last == LT_NONE)
		return !accepted;
	const struct lt_job_event *event = &job->script.events[last];
	return accepted || model.closed ||
	       (event->kind == LT_JOB_SCAN && strcmp(event->verdict, "wrong-mate") == 0);
}

/* What happens to one state is read by the other. */
static void one_event(struct job *job, const struct job_model_event *event, struct tally *tally)
{
	static struct job_model before;
	int stage = MODEL_STAGES;
	before = model;
	struct lt_job_event *written = write_event(job, event);
	const char *why = difference(job->state, &model, &stage);
	if (why != NULL)
		fail_at(job, why, stage, ", judging");
	job_model_event(&model, event, (int)job->script.count);
	const size_t last = lt_job_state_last(job->state, written->station);
	const bool accepted = lt_job_state_apply(job->state, written, NULL);
	if (event->kind == JOB_MODEL_UNDO && !fits_undo(job, last, accepted))
		fail_at(job, "what undo is about", stage, "");
	if (accepted != model.accepted)
		fail_at(job, accepted ? "is accepted" : "is refused", stage, "");
	(accepted ? tally->accepted : tally->refused)[event->kind]++;
	if (event->kind == JOB_MODEL_SCAN && accepted &&
		strcmp(written->verdict, model_rows[model.row].verdict) != 0)
		fail_at(job, model_rows[model.row].verdict, event->stage, "");
	if (!accepted)
		model = before;
	why = difference(job->state, &model, &stage);
	if (why != NULL)
		fail_at(job, why, stage, "");
	if (!accepted)
		return;
	written->id = job->script.count + 1;
	if (!lt_job_state_apply(job->reader, written, NULL))
		fail_at(job, "is not read again", stage, "");
	why = difference(job->reader, &model, &stage);
	if (why != NULL)
		fail_at(job, why, stage, ", read again");
	job->script.count++;
	count_what_was(tally, event);
}

/* A connector of a wrong mate that is not resolved, where there is one. */
static int wrong_connector(void)
{
	for (int stage = 0; stage < MODEL_STAGES; stage++) {
		const struct model *at = &model.at[stage];
		if (at->now.wrong_count > 0)
			return model.connector_of[model_find(at, at->now.wrong[0][0])];
	}
	return -1;
}

static void change_plan(struct job *job, struct tally *tally)
{
	static struct job_model_event event;
	event = (struct job_model_event){ .kind = JOB_MODEL_PLAN, .stage = model.stage };
	for (int times = model.plans == 0 ? 0 : 1 + below(&job->random, 2); times > 0; times--) {
		const enum change change = (enum change)below(&job->random, CHANGES);
		tally->changes[change]++;
		change_description(&job->description, change, &job->random);
	}
	const int wrong = model.plans > 0 ? wrong_connector() : -1;
	if (wrong >= 0 && one_in(&job->random, 3)) {
		job->description.plan = model.plan;
		remove_connector(&job->description, wrong);
	}
	job->plan = job->description.plan;
	event.plan = &job->plan;
	one_event(job, &event, tally);
}

static void begin_stage(struct job *job, struct tally *tally)
{
	uint64_t *random = &job->random;
	struct job_model_event begun = { .kind = JOB_MODEL_GO_ON };
	begun.stage = model.begun[model.stage] ? model.stage + 1 : below(random, 2);
	if (begun.stage >= JOB_MODEL_STAGES || one_in(random, job->careful ? 6 : 2))
		begun.stage = below(random, JOB_MODEL_STAGES);
	begun.station = below(random, STATIONS);
	one_event(job, &begun, tally);
}

/* Whether it is time to go on: whoever is careful does when the stage is done, mostly. */
static bool is_time(struct job *job)
{
	uint64_t *random = &job->random;
	if (model.stage == MODEL_FINISH)
		return one_in(random, job_model_all_ticked(&model) ? 3 : 12);
	if (!job->careful)
		return one_in(random, 9);
	const struct model *at = &model.at[model.stage];
	if (model.stage == MODEL_UNPLUG && job_model_apart_count(&model) > 0)
		return one_in(random, 4);
	const bool done = model_next(at) < 0 && model_pending(at) == 0;
	return one_in(random, done ? 2 : model.stage < MODEL_RECONNECT ? 10 : 60);
}

static void play(struct job *job, uint64_t seed, struct tally *tally)
{
	job->seed = seed;
	job->random = seed * 0x9E3779B97F4A7C15u + 1;
	job->careful = one_in(&job->random, 2);
	job->script.count = 0;
	lt_arena_init(&job->arena);
	job->state = lt_job_state_create();
	job->reader = lt_job_state_create();
	random_description(&job->description, &job->random);
	job_model_begin(&model);
	change_plan(job, tally);
	for (int i = 0; i < STEPS && (!model.closed || one_in(&job->random, 2)); i++) {
		if ((i == 0 && !one_in(&job->random, 3)) || is_time(job))
			begin_stage(job, tally);
		if (one_in(&job->random, 14))
			change_plan(job, tally);
		const struct job_model_event event = random_event(job, &model);
		one_event(job, &event, tally);
	}
	lt_job_state_destroy(job->state);
	lt_job_state_destroy(job->reader);
	lt_arena_finish(&job->arena);
}

/* What cannot come up at a stage. */
static bool never(int stage, int row)
{
	static const char *const not_at[MODEL_STAGES] = {
		[MODEL_TAG] = "out-of-order old-part",
		[MODEL_UNPLUG] = "half mated same-side wrong-mate old-part",
		[MODEL_SWAP] = "done out-of-order",
		[MODEL_RECONNECT] = "",
	};
	return strstr(not_at[stage], model_rows[row].verdict) != NULL;
}

/* Everything came up that was to be compared. */
static void assert_nothing_was_vacuous(const struct tally *tally)
{
	for (int kind = 0; kind < JOB_MODEL_KINDS; kind++)
		assert_true(tally->accepted[kind] > 100 &&
			    (kind == JOB_MODEL_SCAN || tally->refused[kind] > 5));
	for (int stage = 0; stage <= JOB_MODEL_STAGES; stage++)
		assert_true(tally->yes[stage] > 5000 && tally->no[stage] > 5000);
	for (int stage = 0; stage < JOB_MODEL_STAGES; stage++)
		for (int i = 0; i <= LT_STATE_NOTHING; i++)
			assert_true(tally->standing[stage][i] > 1000);
	for (int stage = 0; stage < MODEL_STAGES; stage++)
		for (int row = 0; row < MODEL_ROWS; row++)
			if (never(stage, row) ? tally->verdicts[stage][row] > 0
					      : tally->verdicts[stage][row] < 30)
				fail_msg("stage %d: %s came up %lu times", stage,
					model_rows[row].verdict, tally->verdicts[stage][row]);
	for (int change = 0; change < CHANGES; change++)
		assert_true(tally->changes[change] > 500);
	assert_true(tally->voided > 1000 && tally->opened > 500 && tally->kept > 5000);
	assert_true(tally->strays > 300 && tally->unasked > 5000 && tally->left > 5000);
	assert_true(tally->ticks_kept > 1000 && tally->without_number > 1000);
}

static void test_against_the_model(void **state)
{
	(void)state;
	static struct job job;
	static struct tally tally;
	for (uint64_t seed = 1; seed <= JOBS; seed++)
		play(&job, seed, &tally);
	assert_nothing_was_vacuous(&tally);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_against_the_model) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
