/* A job that is played on a random description. */
#ifndef TESTS_JOB_PLAY_H
#define TESTS_JOB_PLAY_H

#include "job/state.h"
#include "job_random.h"
#include "verify_spell.h"

static const enum lt_stage stages[JOB_MODEL_STAGES] = { LT_STAGE_TAG, LT_STAGE_UNPLUG,
	LT_STAGE_SWAP, LT_STAGE_RECONNECT, LT_STAGE_FINISH };

/* A job that is being played: what the model, the state that the events happen to, and one that
 * reads them from the store each say of it. */
struct job {
	uint64_t seed, random;
	bool careful;
	struct description description;
	struct job_fixture fixture;
	struct job_script script;
	struct lt_arena arena;
	struct lt_job_state *state, *reader;
	struct job_model_plan plan; /* of a plan event */
};

static inline void write_scan(struct job *job, struct lt_job_event *event,
	const struct model_scan *scan)
{
	char word[16];
	snprintf(word, sizeof(word), "%s%d%c",
		scan->source == MODEL_TYPED           ? "="
		: scan->source == MODEL_OTHER_HARNESS ? "~"
		: scan->source == MODEL_NOISE         ? "!"
						      : "",
		scan->number, scan->side);
	char *text = job->script.texts[job->script.count];
	spell(text, word);
	event->text = text;
	const struct lt_answer answer =
		lt_job_state_judge(job->state, event->station, event->typed, text, strlen(text));
	event->verdict = lt_verdict_name(answer.verdict);
	if (!answer.has_tag)
		return;
	char *tag = job->script.tags[job->script.count];
	lt_tag_write(tag, answer.number, answer.side);
	event->tag = tag;
}

static inline void keep(struct job *job, struct lt_job_event *event)
{
	assert_true(lt_job_state_apply(job->state, event, NULL));
	event->id = ++job->script.count;
}

static inline void happens(struct job *job, enum lt_job_event_kind kind, enum lt_stage stage,
	const char *text)
{
	struct lt_job_event *event = job_event(&job->script, kind, stage, 1);
	event->text = text;
	keep(job, event);
}

static inline void scan_one(struct job *job, enum lt_stage stage, unsigned number, char side)
{
	const struct model_scan scan = { MODEL_OWN, (int)number, side };
	struct lt_job_event *event = job_event(&job->script, LT_JOB_SCAN, stage, 1);
	enum lt_verdict verdict;
	write_scan(job, event, &scan);
	assert_true(lt_verdict_read(&verdict, event->verdict));
	if (lt_verdict_row(verdict)->tone == LT_TONE_WRONG)
		fail_msg("plan %llu, at %s: %s", (unsigned long long)job->seed,
			lt_stage_name(stage), event->verdict);
	keep(job, event);
}

static inline void begin_job(struct job *job)
{
	job->script.count = 0;
	lt_arena_init(&job->arena);
	job->state = lt_job_state_create();
}

static inline void end_job(struct job *job)
{
	lt_job_state_destroy(job->state);
	lt_arena_finish(&job->arena);
}

/* Puts the description as it is now in force. */
static inline void replan(struct job *job, enum lt_stage stage)
{
	happens(job, LT_JOB_PLAN, stage,
		make_plan(&job->description.plan, &job->fixture, &job->arena));
}

#endif
