/* Opening a job: continuing the one that is open, or beginning a new one. */
#include <stdlib.h>
#include <string.h>

#include "job/work.h"

/* Whether all that a job of version 1 noted of its description fits the one here. */
static bool mark_fits(struct lt_work *work)
{
	const char *mark = lt_job_mark_v1(&work->arena, work->tags);
	bool any = false;
	for (size_t i = 0; i < work->event_count; i++) {
		const struct lt_job_event *event = &work->events[i];
		if (event->kind != LT_JOB_STAGE)
			continue;
		if (event->text == NULL || strcmp(event->text, mark) != 0)
			return false;
		any = true;
	}
	return any;
}

/* The stage of the open job, whose events may not have been read. */
static bool find_stage(enum lt_stage *stage, struct lt_work *work, struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_job *jobs;
	size_t count;
	const bool good =
		lt_job_db_jobs(&jobs, &count, work->db, work->tags->harness->code, &arena, diags);
	for (size_t i = 0; good && i < count; i++)
		if (jobs[i].id == work->job)
			*stage = jobs[i].stage;
	lt_arena_finish(&arena);
	return good;
}

/* Within a transaction. */
static bool close_old(struct lt_work *work, struct lt_diags *diags)
{
	struct lt_job_event event = lt_work_event(work, LT_JOB_CLOSED);
	event.text = "not finished: another job was begun";
	if (!find_stage(&event.stage, work, diags) ||
		!lt_job_db_append(work->db, work->job, &event, diags))
		return false;
	lt_warning(diags, lt_work_place(work),
		"job %llu of %s was open, and is now closed as not finished", work->job,
		work->tags->harness->code);
	return true;
}

static void forget(struct lt_work *work)
{
	lt_job_state_destroy(work->state);
	work->state = lt_job_state_create();
	work->event_count = work->kept = work->resumed = 0;
	work->job = 0;
	work->station = 1;
	work->begun = false;
}

/* Within a transaction: a job that others may have opened meanwhile is not begun over. */
static bool open_new(struct lt_work *work, struct lt_diags *diags)
{
	const struct lt_harness *harness = work->tags->harness;
	const struct lt_job job = {
		.code = harness->code,
		.harness = harness->harness,
		.unit = harness->unit,
		.title = harness->title,
		.revision = harness->revision,
	};
	size_t added;
	bool done;
	if (work->begun && work->db != NULL && !close_old(work, diags))
		return false;
	forget(work);
	struct lt_job_event first = lt_work_event(work, LT_JOB_OPENED);
	if (harness->title != NULL)
		first.text = lt_arena_strdup(&work->arena, harness->title);
	work->begun = true;
	if (work->db == NULL)
		return lt_work_happen(work, &done, first, NULL, diags);
	if (!lt_job_db_new_job(&work->job, work->db, &job, &first, diags))
		return false;
	return lt_work_read_new(work, &added, diags);
}

bool lt_work_begin(struct lt_work *work, struct lt_diags *diags)
{
	if (!lt_job_db_begin(work->db, diags))
		return false;
	const bool good = lt_work_still_has_all(work, diags) && open_new(work, diags) &&
			  lt_work_put_in_force(work, false, diags) &&
			  lt_work_end(work, true, diags);
	if (!good)
		lt_job_db_abandon(work->db);
	lt_work_acknowledge(work);
	return good;
}

static void refuse_closed(const struct lt_work *work, unsigned long long job,
	struct lt_diags *diags)
{
	lt_error(diags, lt_work_place(work), "job %llu is closed: nothing can be added", job);
	lt_hint(diags, "list the jobs with loomtag jobs");
}

/* The job that is asked for is the open one of this unit, or nothing is done. */
static bool check_asked(struct lt_work *work, struct lt_diags *diags)
{
	const unsigned long long asked = work->options.job;
	const struct lt_place place = lt_work_place(work);
	struct lt_arena arena = { 0 };
	struct lt_job job;
	if (asked == 0 || asked == work->job)
		return true;
	if (lt_job_db_job(&job, work->db, asked, &arena, diags)) {
		if (strcmp(job.code, work->tags->harness->code) != 0) {
			lt_error(diags, place, "job %llu is of %s, not of %s", asked, job.code,
				work->tags->harness->code);
			lt_hint(diags,
				"give the description of this job, and --unit if it has a unit");
		} else {
			refuse_closed(work, asked, diags);
		}
	}
	lt_arena_finish(&arena);
	return false;
}

/* Nobody can tell afterwards whether two of them were exchanged. */
static void warn_of_ports(const struct lt_work *work, struct lt_diags *diags)
{
	const struct lt_harness *harness = work->tags->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (harness->connectors[i].port == NULL)
			continue;
		lt_warning(diags, lt_work_place(work),
			"job %llu was started with an older loomtag, which did not record the ports",
			work->job);
		lt_hint(diags,
			"if a port was changed since then, scan that joint again, or start a new "
			"job with --new");
		return;
	}
}

/* A job of version 1 has no plan. Puts the plan of the description in force, if the job's mark
 * shows that it was judged by this description. */
static bool take_over(struct lt_work *work, struct lt_diags *diags)
{
	if (work->state->frame.plan != NULL || !mark_fits(work))
		return true;
	warn_of_ports(work, diags);
	return lt_work_put_in_force(work, true, diags);
}

/* Within a transaction. */
static bool continue_job(struct lt_work *work, struct lt_diags *diags)
{
	if (!lt_job_db_open_job(&work->job, work->db, work->tags->harness->code, diags) ||
		!check_asked(work, diags))
		return false;
	if (work->job == 0)
		return true;
	work->begun = true;
	if (work->options.new_job)
		return lt_job_db_station(&work->station, work->db, work->job, diags);
	/* Nothing is added to a job that was changed afterwards. */
	if (!lt_job_db_sound(work->db, work->job, diags)) {
		lt_hint(diags,
			"start a new job with --new. loomtag record shows what is left of this "
			"one");
		return false;
	}
	if (!lt_job_db_station(&work->station, work->db, work->job, diags) ||
		!lt_work_read_new(work, &work->resumed, diags))
		return false;
	/* The events count, not the columns beside them. */
	if (lt_job_state_closed(work->state)) {
		refuse_closed(work, work->job, diags);
		return false;
	}
	lt_work_compare(work);
	return take_over(work, diags);
}

static bool open_store(struct lt_work *work, struct lt_diags *diags)
{
	work->db = lt_job_db_open(work->options.db, work->options.job == 0, diags);
	if (work->db == NULL || !lt_job_db_begin(work->db, diags))
		return false;
	if (continue_job(work, diags))
		return lt_work_end(work, true, diags);
	lt_job_db_abandon(work->db);
	return false;
}

struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	const char *who, struct lt_diags *diags)
{
	struct lt_work *work = lt_alloc_array(1, sizeof(*work));
	*work = (struct lt_work){
		.options = *options, .who = who, .state = lt_job_state_create(), .station = 1
	};
	lt_arena_init(&work->arena);
	lt_arena_init(&work->plan_arena);
	lt_work_describe(work, tags);
	const bool good = options->db == NULL || open_store(work, diags);
	lt_work_acknowledge(work);
	if (good)
		return work;
	lt_work_close(work);
	return NULL;
}

void lt_work_close(struct lt_work *work)
{
	if (work == NULL)
		return;
	lt_job_state_destroy(work->state);
	lt_job_db_close(work->db);
	free(work->events);
	lt_hash_finish(&work->connector_of);
	lt_arena_finish(&work->plan_arena);
	lt_arena_finish(&work->arena);
	free(work);
}

bool lt_work_last_closed(struct lt_job *out, struct lt_work *work, struct lt_arena *arena,
	struct lt_diags *diags)
{
	struct lt_job *jobs;
	size_t count;
	*out = (struct lt_job){ 0 };
	if (work->db == NULL)
		return true;
	if (!lt_job_db_jobs(&jobs, &count, work->db, work->tags->harness->code, arena, diags))
		return false;
	for (size_t i = count; i-- > 0;)
		if (jobs[i].closed)
			*out = jobs[i];
	return true;
}
