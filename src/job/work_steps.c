/* The steps of work on a job: each is one transaction. */
#include <string.h>

#include "job/work.h"

/* A copy that outlives the call, as it may be shown and kept. */
static const char *copy(struct lt_work *work, const char *bytes, size_t length)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, bytes, length);
	const char *kept = lt_arena_copy(&work->arena, lt_text_string(&clean), clean.length);
	lt_text_finish(&clean);
	return kept;
}

/* False where another terminal changed the job: the request was meant for the earlier state. */
static bool is_meant(const struct lt_work *work)
{
	return work->begun && !work->differs && !lt_work_changed_elsewhere(work);
}

static bool may_happen(const struct lt_work *work, const struct lt_job_event *event)
{
	static const bool by_what_was_seen[LT_JOB_EVENT_KINDS] = { [LT_JOB_SCAN] = true,
		[LT_JOB_SKIP] = true,
		[LT_JOB_UNDO] = true,
		[LT_JOB_TICK] = true,
		[LT_JOB_SETTLED] = true };
	if (event->kind == LT_JOB_CLOSED)
		return event->text != NULL || !work->differs;
	return !by_what_was_seen[event->kind] || is_meant(work);
}

/* One event by itself, after a start; adds station, time and person. *done is false, and nothing is
 * kept, for what is impossible or was meant for an earlier state. */
static bool finish_step(struct lt_work *work, bool *done, const struct lt_job_event *step,
	struct lt_diags *diags)
{
	struct lt_job_event event = lt_work_event(work, step->kind);
	event.text = step->text;
	event.number = step->number;
	*done = false;
	return (!may_happen(work, &event) || lt_work_happen(work, done, event, NULL, diags)) &&
	       lt_work_end(work, *done, diags);
}

static bool do_step(struct lt_work *work, bool *done, struct lt_job_event step,
	struct lt_diags *diags)
{
	*done = false;
	return lt_work_start(work, diags) && finish_step(work, done, &step, diags);
}

bool lt_work_replan(struct lt_work *work, struct lt_diags *diags)
{
	if (!lt_work_start(work, diags))
		return false;
	const bool differs = work->differs;
	if (differs && !lt_work_put_in_force(work, false, diags))
		return false;
	const bool good = lt_work_end(work, differs, diags);
	lt_work_acknowledge(work);
	return good;
}

static bool refuse_scan(const struct lt_work *work, struct lt_diags *diags)
{
	if (lt_job_state_closed(work->state))
		lt_error(diags, lt_work_place(work),
			"nothing can be scanned: the job was closed at another terminal");
	else
		lt_error(diags, lt_work_place(work),
			"nothing can be scanned: the job is at its last stage");
	lt_hint(diags, "start or continue a job with loomtag verify");
	return false;
}

/* The event of a scan, with its verdict. */
static struct lt_job_event judge(struct lt_work *work, struct lt_answer *answer, const char *scan,
	size_t length)
{
	struct lt_job_event event = lt_work_event(work, LT_JOB_SCAN);
	const bool overlong = length > LT_SCAN_MAX;
	event.text = copy(work, scan, overlong ? LT_SCAN_MAX : length);
	*answer = lt_job_state_judge(work->state, work->station, work->options.typed,
		overlong ? "" : event.text, overlong ? 0 : strlen(event.text));
	event.verdict = lt_verdict_name(answer->verdict);
	if (answer->has_tag) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, answer->number, answer->side);
		event.tag = lt_arena_copy(&work->arena, tag, strlen(tag));
	}
	return event;
}

bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags)
{
	*taken = false;
	if (!lt_work_start(work, diags))
		return false;
	if (!is_meant(work))
		return lt_work_end(work, false, diags);
	if (lt_job_state_closed(work->state) ||
		lt_job_state_stage(work->state) >= LT_STAGE_FINISH) {
		lt_work_end(work, false, diags);
		return refuse_scan(work, diags);
	}
	struct lt_answer applied;
	const struct lt_job_event event = judge(work, answer, scan, length);
	if (!lt_work_happen(work, taken, event, &applied, diags) ||
		!lt_work_end(work, *taken, diags))
		return false;
	answer->reopened = applied.reopened;
	answer->changed = applied.changed;
	return true;
}

bool lt_work_picture(struct lt_work *work, const char *name, struct lt_diags *diags)
{
	bool done;
	const char *text = name != NULL ? copy(work, name, strlen(name)) : NULL;
	return do_step(work, &done, (struct lt_job_event){ .kind = LT_JOB_PICTURE, .text = text },
		diags);
}

bool lt_work_skip(struct lt_work *work, bool *done, unsigned number, const char *reason,
	struct lt_diags *diags)
{
	const char *text = copy(work, reason, strlen(reason));
	return do_step(work, done,
		(struct lt_job_event){ .kind = LT_JOB_SKIP, .number = number, .text = text },
		diags);
}

bool lt_work_undo(struct lt_work *work, bool *done, size_t *undone, struct lt_diags *diags)
{
	*done = false;
	if (!lt_work_start(work, diags))
		return false;
	*undone = is_meant(work) ? lt_job_state_last(work->state, work->station) : LT_NONE;
	return finish_step(work, done, &(struct lt_job_event){ .kind = LT_JOB_UNDO }, diags);
}

bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags)
{
	struct lt_job_event tick = { .kind = LT_JOB_TICK };
	if (line < lt_job_state_lines(work->state))
		tick.text =
			lt_arena_strdup(&work->arena, lt_job_state_line(work->state, line)->text);
	return do_step(work, done, tick, diags);
}

bool lt_work_settle(struct lt_work *work, bool *done, const char *tags, struct lt_diags *diags)
{
	const char *text = copy(work, tags, strlen(tags));
	return do_step(work, done, (struct lt_job_event){ .kind = LT_JOB_SETTLED, .text = text },
		diags);
}

/* Records that the stages before `stage` that were never begun are left out. */
static bool skip_stages(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags)
{
	bool done;
	for (int passed = 0; passed < (int)stage; passed++) {
		if (lt_job_state_of_stage(work->state, (enum lt_stage)passed) != LT_STATE_NOT_BEGUN)
			continue;
		struct lt_job_event event = lt_work_event(work, LT_JOB_STAGE_SKIPPED);
		event.stage = (enum lt_stage)passed;
		event.text = reason;
		if (!lt_work_happen(work, &done, event, NULL, diags))
			return false;
	}
	return true;
}

bool lt_work_stage(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags)
{
	bool done = false;
	if (!lt_work_start(work, diags))
		return false;
	/* The person who asks has not seen what others did. */
	if (lt_work_changed_elsewhere(work))
		return lt_work_end(work, false, diags);
	const enum lt_stage_state state = lt_job_state_of_stage(work->state, stage);
	if (lt_job_state_stage(work->state) != stage ||
		(state != LT_STATE_BEGUN && state != LT_STATE_DONE)) {
		if (!skip_stages(work, stage, reason, diags))
			return false;
		struct lt_job_event event = lt_work_event(work, LT_JOB_STAGE);
		event.stage = stage;
		if (!lt_work_happen(work, &done, event, NULL, diags))
			return false;
	}
	if (!lt_work_end(work, done, diags))
		return false;
	lt_work_acknowledge(work);
	return true;
}

bool lt_work_confirm(struct lt_work *work, const char *energy, struct lt_diags *diags)
{
	bool done;
	const char *text = lt_arena_strdup(&work->arena, energy);
	return do_step(work, &done, (struct lt_job_event){ .kind = LT_JOB_HAZARD, .text = text },
		diags);
}

enum lt_stage lt_work_next_stage(const struct lt_work *work)
{
	int stage = (int)lt_job_state_stage(work->state) + 1;
	while (stage < LT_STAGE_COUNT &&
		lt_job_state_of_stage(work->state, (enum lt_stage)stage) == LT_STATE_NOTHING)
		stage++;
	return (enum lt_stage)stage;
}

bool lt_work_finish(struct lt_work *work, const char *reason, struct lt_diags *diags)
{
	bool done;
	const char *text = reason != NULL ? copy(work, reason, strlen(reason)) : NULL;
	if (!do_step(work, &done, (struct lt_job_event){ .kind = LT_JOB_CLOSED, .text = text },
		    diags))
		return false;
	if (reason != NULL || !work->differs)
		lt_work_acknowledge(work);
	return true;
}
