/* The chain of digests (its exact form is in job.h), and whether a job is still as it was
 * recorded. */
#include <gnutls/crypto.h>
#include <string.h>

#include "job/db.h"
#include "loomtag/base.h"

enum { SHA256_BYTES = 32 };

static const char *const kind_names[LT_JOB_EVENT_KINDS] = {
	[LT_JOB_OPENED] = "opened",
	[LT_JOB_STAGE] = "stage",
	[LT_JOB_STAGE_SKIPPED] = "stage-skipped",
	[LT_JOB_SCAN] = "scan",
	[LT_JOB_PICTURE] = "picture",
	[LT_JOB_SKIP] = "skip",
	[LT_JOB_UNDO] = "undo",
	[LT_JOB_TICK] = "tick",
	[LT_JOB_CLOSED] = "closed",
	[LT_JOB_HAZARD] = "hazard-confirmed",
	[LT_JOB_PLAN] = "plan",
	[LT_JOB_SETTLED] = "settled",
	[LT_JOB_UNKNOWN] = "unknown",
};

const char *lt_job_event_name(enum lt_job_event_kind kind)
{
	return kind_names[kind];
}

static void add_text(struct lt_text *out, const char *field)
{
	if (field == NULL)
		lt_text_add(out, "-,");
	else
		lt_text_printf(out, "%zu:%s,", strlen(field), field);
}

static void add_number(struct lt_text *out, long long field)
{
	char digits[24];
	snprintf(digits, sizeof(digits), "%lld", field);
	add_text(out, digits);
}

/* Finishes the fields. */
static bool hash(char out[65], struct lt_text *fields)
{
	unsigned char digest[SHA256_BYTES];
	const gnutls_datum_t bytes = { digest, sizeof(digest) };
	size_t size = 65;
	const bool good =
		gnutls_hash_fast(GNUTLS_DIG_SHA256, fields->bytes, fields->length, digest) == 0 &&
		gnutls_hex_encode(&bytes, out, &size) == 0;
	lt_text_finish(fields);
	return good;
}

bool lt_job_digest_first(char out[65], const struct lt_job *job)
{
	struct lt_text fields = { 0 };
	add_text(&fields, "job");
	add_number(&fields, (long long)job->origin);
	add_text(&fields, job->code);
	add_text(&fields, job->harness);
	add_text(&fields, job->unit);
	add_text(&fields, job->title);
	add_text(&fields, job->revision);
	add_number(&fields, job->opened);
	return hash(out, &fields);
}

bool lt_job_digest_event(char out[65], const char *before, const struct lt_job_event *event)
{
	struct lt_text fields = { 0 };
	add_text(&fields, before);
	add_number(&fields, (long long)event->id);
	add_number(&fields, event->at);
	add_text(&fields, event->who);
	add_number(&fields, event->station);
	add_text(&fields,
		event->kind_name != NULL ? event->kind_name : lt_job_event_name(event->kind));
	add_text(&fields, lt_stage_name(event->stage));
	add_text(&fields, event->text);
	add_text(&fields, event->tag);
	add_text(&fields, event->verdict);
	add_number(&fields, event->number);
	add_number(&fields, event->typed ? 1 : 0);
	return hash(out, &fields);
}

size_t lt_job_digest_check(const struct lt_job *job, const struct lt_job_event *events,
	size_t count)
{
	char digest[65];
	if (!lt_job_digest_first(digest, job))
		return 0;
	for (size_t i = 0; i < count; i++) {
		if (!lt_job_digest_event(digest, digest, &events[i]) ||
			strcmp(digest, events[i].digest) != 0)
			return i;
	}
	return count;
}

size_t lt_job_events_missing(const struct lt_job *job, size_t count)
{
	return job->counted > count ? job->counted - count : 0;
}

static void report(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	size_t fit, const char *path, struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(path);
	if (count == 0)
		lt_error(diags, place, "all events of job %llu are missing", job->id);
	else if (fit < count)
		lt_error(diags, place,
			"job %llu was changed after it was recorded: event %zu of %zu (id %llu) "
			"does not fit its digest",
			job->id, fit + 1, count, events[fit].id);
	else
		lt_error(diags, place,
			lt_plural(lt_job_events_missing(job, count),
				"job %llu was changed after it was recorded: the last %zu of %zu "
				"events is missing",
				"job %llu was changed after it was recorded: the last %zu of %zu "
				"events are missing"),
			job->id, lt_job_events_missing(job, count), job->counted);
	lt_hint(diags,
		"bring back an older copy of the database. What was recorded after the change "
		"proves nothing");
}

bool lt_job_sound(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	const char *path, struct lt_diags *diags)
{
	const size_t fit = lt_job_digest_check(job, events, count);
	const bool sound = fit == count && count > 0 && lt_job_events_missing(job, count) == 0;
	if (!sound)
		report(job, events, count, fit, path, diags);
	return sound;
}
