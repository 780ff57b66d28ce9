/* Times, jobs and events for the screen and as JSON. */
#include <string.h>
#include <time.h>

#include "loomtag/words.h"

const struct lt_job_words lt_job_words = {
	.no_jobs = "No jobs.",

	.job = "job",
	.code = "code",
	.unit = "unit",
	.title = "title",
	.revision = "revision",
	.opened = "opened",
	.last = "last",
	.last_event = "last event",
	.stage = "stage",
	.scans = "scans",
	.state = "state",

	.open = "open",
	.closed = "closed",
	.damaged = "DAMAGED",
	.typed_accepted = "typed tags accepted",
};

enum { TIME_SIZE = 64, CODE_COLUMNS = 12 };

static bool add_time(struct lt_text *out, long long at, const char *format,
	struct tm *(*parts)(const time_t *, struct tm *))
{
	const time_t seconds = (time_t)(at / 1000);
	struct tm tm;
	char text[TIME_SIZE];
	if (parts(&seconds, &tm) == NULL || strftime(text, sizeof(text), format, &tm) == 0)
		return false;
	lt_text_add(out, text);
	return true;
}

bool lt_time_add(struct lt_text *out, long long at, long offset, const char *format)
{
	return add_time(out, at + offset * 1000LL, format, gmtime_r);
}

static void add_local_time(struct lt_text *out, long long at, const char *format)
{
	/* Earlier than 1970 there was no job. */
	if (at < 0 || !add_time(out, at, format, localtime_r))
		lt_text_printf(out, "%lld ms", at);
}

json_t *lt_time_json(long long at)
{
	struct lt_text text = { 0 };
	if (at < 0 || !lt_time_add(&text, at, 0, "%Y-%m-%dT%H:%M:%S"))
		return json_null();
	lt_text_printf(&text, ".%03lldZ", at % 1000);
	json_t *json = json_string(lt_text_string(&text));
	lt_text_finish(&text);
	return json;
}

static void add_second(struct lt_text *out, long long at)
{
	add_local_time(out, at, "%Y-%m-%d %H:%M:%S %z");
}

void lt_job_add_minute(struct lt_text *out, long long at)
{
	add_local_time(out, at, "%Y-%m-%d %H:%M %z");
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
	const struct lt_job_words *words = &lt_job_words;
	lt_text_printf(out, "%5s  %-12s  %-22s  %-22s  %-9s  %5s  %-7s  %s\n", words->job,
		words->code, words->opened, words->last, words->stage, words->scans, words->state,
		words->title);
}

static const char *state_of(const struct lt_job *job)
{
	return job->closed ? lt_job_words.closed : lt_job_words.open;
}

void lt_job_add_line(struct lt_text *out, const struct lt_job *job, bool unsound)
{
	const char *state = unsound ? lt_job_words.damaged : state_of(job);
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

static void add_label(struct lt_text *out, const char *label)
{
	lt_text_printf(out, "%-12s  ", label);
}

/* A label and a text that came from outside; nothing where there is none. */
static void add_fact(struct lt_text *out, const char *label, const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	add_label(out, label);
	add_outside(out, "", text);
	lt_text_add_char(out, '\n');
}

void lt_job_add_facts(struct lt_text *out, const struct lt_job *job)
{
	const struct lt_job_words *words = &lt_job_words;
	add_label(out, words->job);
	lt_text_printf(out, "%llu\n", job->id);
	add_fact(out, words->code, job->code);
	add_fact(out, words->title, job->title);
	add_fact(out, words->revision, job->revision);
	add_fact(out, words->unit, job->unit);
	add_label(out, words->opened);
	add_second(out, job->opened);
	lt_text_add_char(out, '\n');
	add_label(out, words->last_event);
	add_second(out, job->last);
	lt_text_add_char(out, '\n');
	add_fact(out, words->state, state_of(job));
	add_fact(out, words->stage, lt_stage_name(job->stage));
	add_label(out, words->scans);
	lt_text_printf(out, "%zu\n", job->scans);
}

void lt_job_add_sound(struct lt_text *out, size_t events, const char *last)
{
	lt_text_printf(out,
		lt_plural(events, "%zu event fits its digest. The last digest is %s\n",
			"All %zu events fit their digests. The last digest is %s\n"),
		events, last);
}

void lt_job_add_closed(struct lt_text *out, unsigned long long job, const char *code)
{
	lt_text_printf(out, "Job %llu of %s is closed.\n", job, code);
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
	add_second(out, event->at);
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
		lt_text_printf(out, "  (%s)", lt_job_words.typed_accepted);
	lt_text_add_char(out, '\n');
}

json_t *lt_words_json(const char *text)
{
	if (text == NULL)
		return json_null();
	json_t *json = json_string(text);
	if (json != NULL)
		return json;
	struct lt_arena arena = { 0 };
	json = json_string(lt_arena_shown(&arena, text));
	lt_arena_finish(&arena);
	return json;
}

json_t *lt_job_json(const struct lt_job *job)
{
	return json_pack("{s:I, s:s, s:s, s:s?, s:s?, s:s?, s:o, s:o, s:s, s:I, s:I, s:b, s:I}",
		"id", (json_int_t)job->id, "code", job->code, "harness", job->harness, "unit",
		job->unit, "title", job->title, "revision", job->revision, "opened",
		lt_time_json(job->opened), "last", lt_time_json(job->last), "stage",
		lt_stage_name(job->stage), "events", (json_int_t)job->events, "scans",
		(json_int_t)job->scans, "closed", job->closed, "origin", (json_int_t)job->origin);
}

json_t *lt_job_event_json(const struct lt_job_event *event, bool milliseconds)
{
	json_t *json =
		json_pack("{s:I, s:o}", "id", (json_int_t)event->id, "at", lt_time_json(event->at));
	if (milliseconds)
		json_object_set_new(json, "at_ms", json_integer(event->at));
	json_t *rest = json_pack("{s:o, s:I, s:s, s:s, s:o, s:o, s:o, s:o, s:b, s:o}", "who",
		lt_words_json(event->who), "station", (json_int_t)event->station, "kind",
		event->kind_name != NULL ? event->kind_name : lt_job_event_name(event->kind),
		"stage", lt_stage_name(event->stage), "text", lt_words_json(event->text), "tag",
		lt_words_json(event->tag), "verdict", lt_words_json(event->verdict), "number",
		event->number != 0 ? json_integer(event->number) : json_null(), "typed",
		event->typed, "digest", lt_words_json(event->digest));
	json_object_update(json, rest);
	json_decref(rest);
	return json;
}
