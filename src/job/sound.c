/* Whether a job is as it was recorded. */
#include "job/store.h"

size_t lt_job_gone(const struct lt_job *job, size_t count)
{
	return job->counted > count ? job->counted - count : 0;
}

static void tell(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	size_t fit, const char *path, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(path);
	if (count == 0)
		lt_error(diags, place, "job %llu has lost its events", job->id);
	else if (fit < count)
		lt_error(diags, place,
			"job %llu was changed after it was recorded: event %zu of %zu (id %llu) "
			"does not fit its digest",
			job->id, fit + 1, count, events[fit].id);
	else
		lt_error(diags, place,
			"job %llu was changed after it was recorded: of its %zu events the last "
			"%zu are gone",
			job->id, job->counted, lt_job_gone(job, count));
	lt_hint(diags, "what was recorded from there on proves nothing; bring back a copy from "
		       "before");
}

/* The index of the first event that does not fit or is gone; LT_NONE: all fit. */
static size_t find_misfit(const struct lt_job *job, const struct lt_job_event *events, size_t count)
{
	const size_t fit = lt_job_digest_check(job, events, count);
	return fit == count && count > 0 && lt_job_gone(job, count) == 0 ? LT_NONE : fit;
}

bool lt_job_sound(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	const char *path, struct lt_diags *diags)
{
	const size_t misfit = find_misfit(job, events, count);
	if (misfit != LT_NONE)
		tell(job, events, count, misfit, path, diags);
	return misfit == LT_NONE;
}

bool lt_job_db_sound(struct lt_job_db *db, unsigned long long job, size_t *misfit,
	struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_job found;
	struct lt_job_event *events;
	size_t count, at = LT_NONE;
	bool good = lt_job_db_job(&found, db, job, &arena, diags) &&
		    lt_job_db_events(&events, &count, db, job, 0, &arena, diags);
	if (good) {
		at = find_misfit(&found, events, count);
		good = lt_job_sound(&found, events, count, db->path, diags);
	}
	if (misfit != NULL)
		*misfit = at;
	lt_arena_finish(&arena);
	return good;
}
