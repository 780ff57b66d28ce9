#include <string.h>
#include <time.h>

#include "loomtag/words.h"

enum { TIME_SIZE = 64, CODE_COLUMNS = 12 };

bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format)
{
	const time_t seconds = (time_t)(at / 1000 + offset);
	struct tm tm;
	char text[TIME_SIZE];
	if (gmtime_r(&seconds, &tm) == NULL || strftime(text, sizeof(text), format, &tm) == 0)
		return false;
	lt_text_add(out, text);
	return true;
}

/* Earlier than 1970 there was no job: what does not fit a calendar is shown as a number. */
static void add_time(struct lt_text *out, long long at, const char *format,
	struct tm *(*parts)(const time_t *, struct tm *))
{
	const time_t seconds = (time_t)(at / 1000);
	struct tm tm;
	char text[TIME_SIZE];
	if (at < 0 || parts(&seconds, &tm) == NULL ||
		strftime(text, sizeof(text), format, &tm) == 0)
		lt_text_printf(out, "%lld ms", at);
	else
		lt_text_add(out, text);
}

/* "2026-03-01 08:15:02 +0100", in the local time of the machine. */
static void add_local_time(struct lt_text *out, long long at)
{
	add_time(out, at, "%Y-%m-%d %H:%M:%S %z", localtime_r);
}

void lt_job_add_minute(struct lt_text *out, long long at)
{
	add_time(out, at, "%Y-%m-%d %H:%M %z", localtime_r);
}

/* "2026-03-01T07:15:02.250Z" (RFC 3339). */
static void add_utc_time(struct lt_text *out, long long at)
{
	add_time(out, at, "%Y-%m-%dT%H:%M:%S", gmtime_r);
	if (at >= 0)
		lt_text_printf(out, ".%03lldZ", at % 1000);
}

/* Text that came from outside, or nothing where there is none. */
static void add_outside(struct lt_text *out, const char *before, const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	lt_text_add(out, before);
	lt_text_add_clean(out, text, strlen(text));
}

void lt_job_add_heading(struct lt_text *out)
{
	lt_text_printf(out, "%5s  %-12s  %-22s  %-22s  %-9s  %5s  %-7s  %s\n", "job", "code",
		"opened", "last", "stage", "scans", "state", "title");
}

void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound)
{
	const char *state = unsound ? "DAMAGED" : job->closed ? "closed" : "open";
	lt_text_printf(out, "%5llu  ", job->id);
	add_outside(out, "", job->code);
	const size_t columns = lt_utf8_columns(job->code);
	lt_text_add_times(out, ' ', (columns < CODE_COLUMNS ? CODE_COLUMNS - columns : 0) + 2);
	lt_job_add_minute(out, job->opened);
	lt_text_add(out, "  ");
	lt_job_add_minute(out, job->last);
	lt_text_printf(out, "  %-9s  %5zu  ", lt_stage_name(job->stage), job->scans);
	if (job->title == NULL)
		lt_text_add(out, state);
	else
		lt_text_printf(out, "%-7s", state);
	add_outside(out, "  ", job->title);
	lt_text_add_char(out, '\n');
}

void lt_job_add_facts(struct lt_text *out, const struct lt_job *job)
{
	lt_text_printf(out, "job %llu", job->id);
	add_outside(out, ": ", job->code);
	add_outside(out, "  ", job->title);
	add_outside(out, ", revision ", job->revision);
	add_outside(out, ", unit ", job->unit);
	lt_text_add(out, "\nopened ");
	add_local_time(out, job->opened);
	lt_text_add(out, ", last event ");
	add_local_time(out, job->last);
	lt_text_printf(out, "\n%s, stage %s, %zu %s\n", job->closed ? "closed" : "open",
		lt_stage_name(job->stage), job->scans, job->scans == 1 ? "scan" : "scans");
}

size_t lt_job_who_columns(const struct lt_job_event *event)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, event->who, strlen(event->who));
	const size_t columns = lt_utf8_columns(lt_text_string(&clean));
	lt_text_finish(&clean);
	return columns;
}

void lt_job_add_event(struct lt_text *out, const struct lt_job_event *event, size_t who_columns)
{
	add_local_time(out, event->at);
	lt_text_printf(out, "  %2u ", event->station);
	add_outside(out, "", event->who);
	lt_text_add_times(out, ' ', who_columns - lt_job_who_columns(event));
	lt_text_printf(out, "  %-9s  ", lt_stage_name(event->stage));
	add_outside(out, "", event->kind_name);
	add_outside(out, "  ", event->verdict);
	if (event->number != 0)
		lt_text_printf(out, "  %u", event->number);
	add_outside(out, "  ", event->tag);
	/* A plan, and the mark of a stage of version 1, are for the program. */
	if (event->kind != LT_JOB_STAGE && event->kind != LT_JOB_PLAN)
		add_outside(out, "  ", event->text);
	if (event->typed)
		lt_text_add(out, "  (typed tags count)");
	lt_text_add_char(out, '\n');
}

static json_t *time_json(long long at)
{
	struct lt_text text = { 0 };
	add_utc_time(&text, at);
	json_t *json = json_string(lt_text_string(&text));
	lt_text_finish(&text);
	return json;
}

json_t *lt_job_json(const struct lt_job *job)
{
	return json_pack("{s:I, s:s, s:s, s:s?, s:s?, s:s?, s:o, s:o, s:s, s:I, s:I, s:b, s:I}",
		"id", (json_int_t)job->id, "code", job->code, "harness", job->harness, "unit",
		job->unit, "title", job->title, "revision", job->revision, "opened",
		time_json(job->opened), "last", time_json(job->last), "stage",
		lt_stage_name(job->stage), "events", (json_int_t)job->events, "scans",
		(json_int_t)job->scans, "closed", job->closed, "origin", (json_int_t)job->origin);
}

json_t *lt_job_event_json(const struct lt_job_event *event)
{
	return json_pack("{s:I, s:o, s:s, s:i, s:s, s:s, s:s?, s:s?, s:s?, s:o, s:b, s:s}", "id",
		(json_int_t)event->id, "at", time_json(event->at), "who", event->who, "station",
		(int)event->station, "kind", event->kind_name, "stage", lt_stage_name(event->stage),
		"text", event->text, "tag", event->tag, "verdict", event->verdict, "number",
		event->number != 0 ? json_integer(event->number) : json_null(), "typed",
		event->typed, "digest", event->digest);
}
