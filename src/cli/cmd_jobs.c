/* loomtag jobs: the jobs of a database, one of them, and closing one. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/job_options.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/words.h"

/* A database that was opened, and what goes with it. */
struct opened {
	const struct options *options;
	struct lt_arena arena;
	struct lt_diags diags;
	const char *path;
	struct lt_job_db *db;
};

static bool opened_init(struct opened *opened, const struct options *options,
	const char *description)
{
	*opened = (struct opened){ .options = options };
	opened->path = lt_job_database(options, description, &opened->arena);
	opened->db = lt_job_db_open(opened->path, false, &opened->diags);
	return opened->db != NULL;
}

static int opened_finish(struct opened *opened, int code)
{
	lt_diags_print(&opened->diags, 0, stderr, opened->options->colour_err);
	lt_job_db_close(opened->db);
	lt_diags_finish(&opened->diags);
	lt_arena_finish(&opened->arena);
	return code;
}

static void print_text(struct lt_text *text)
{
	fputs(lt_text_string(text), stdout);
	lt_text_finish(text);
}

/* Of a unit where it is known which, else of all units of a harness, or (NULL) all there are. */
static bool is_wanted(const struct lt_job *job, const struct lt_harness *harness)
{
	if (harness == NULL)
		return true;
	return harness->unit != NULL ? strcmp(job->code, harness->code) == 0
				     : strcmp(job->harness, harness->harness) == 0;
}

static int print_jobs(struct opened *opened, const struct lt_job *jobs, size_t count)
{
	/* Which of them were changed after they were recorded, or have events missing. */
	bool *unsound = lt_arena_array(&opened->arena, count, sizeof(*unsound));
	int code = EXIT_YES;
	for (size_t i = 0; i < count; i++) {
		unsound[i] = !lt_job_db_sound(opened->db, jobs[i].id, &opened->diags);
		code = unsound[i] ? EXIT_INPUT : code;
	}
	if (opened->options->json) {
		json_t *list = json_array();
		for (size_t i = 0; i < count; i++) {
			json_t *json = lt_job_json(&jobs[i]);
			json_object_set_new(json, "digests_fit", json_boolean(!unsound[i]));
			json_array_append_new(list, json);
		}
		const int printed = lt_print_json(json_pack("{s:o}", "jobs", list));
		return printed == EXIT_YES ? code : printed;
	}
	struct lt_text text = { 0 };
	if (count == 0)
		lt_text_printf(&text, "%s\n", lt_job_words.no_jobs);
	else
		lt_job_add_heading(&text);
	for (size_t i = 0; i < count; i++)
		lt_job_add_line(&text, &jobs[i], unsound[i]);
	print_text(&text);
	return code;
}

static int list(const struct options *options, const char *description,
	const struct lt_harness *harness)
{
	struct opened opened;
	struct lt_job *jobs;
	size_t count, kept = 0;
	if (!opened_init(&opened, options, description) ||
		!lt_job_db_jobs(&jobs, &count, opened.db, NULL, &opened.arena, &opened.diags))
		return opened_finish(&opened, EXIT_INPUT);
	for (size_t i = 0; i < count; i++) {
		if (is_wanted(&jobs[i], harness))
			jobs[kept++] = jobs[i];
	}
	return opened_finish(&opened, print_jobs(&opened, jobs, kept));
}

static int list_of_description(const struct options *options)
{
	struct lt_session session;
	int code = lt_session_read_description(&session, options);
	lt_session_print_diags(&session);
	if (code == EXIT_NO)
		code = EXIT_INPUT;
	if (code == EXIT_YES)
		code = list(options, session.path, &session.harness);
	lt_session_finish(&session);
	return code;
}

static void show_json(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	bool fits)
{
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		json_array_append_new(list, lt_job_event_json(&events[i], false));
	json_t *json = lt_job_json(job);
	json_object_set_new(json, "digests_fit", json_boolean(fits));
	lt_print_json(json_pack("{s:o, s:o}", "job", json, "events", list));
}

static void show_text(const struct lt_job *job, const struct lt_job_event *events, size_t count,
	bool fits)
{
	struct lt_text text = { 0 };
	lt_job_add_facts(&text, job);
	lt_text_add(&text, "\n");
	size_t columns = 0;
	for (size_t i = 0; i < count; i++) {
		const size_t takes = lt_job_who_columns(&events[i]);
		columns = takes > columns ? takes : columns;
	}
	for (size_t i = 0; i < count; i++)
		lt_job_add_event(&text, &events[i], columns);
	if (fits) {
		lt_text_add_char(&text, '\n');
		lt_job_add_sound(&text, count, events[count - 1].digest);
	}
	print_text(&text);
}

static int show(const struct options *options)
{
	unsigned long long id;
	if (options->argument_count != 2)
		return lt_usage_error("jobs", "loomtag jobs show needs the number of a job");
	if (!lt_job_number(&id, "jobs", options->arguments[1]))
		return EXIT_USAGE;
	struct opened opened;
	struct lt_job job;
	struct lt_job_event *events;
	size_t count;
	if (!opened_init(&opened, options, NULL) ||
		!lt_job_db_job(&job, opened.db, id, &opened.arena, &opened.diags) ||
		!lt_job_db_events(&events, &count, opened.db, id, 0, &opened.arena, &opened.diags))
		return opened_finish(&opened, EXIT_INPUT);
	const bool fits = lt_job_sound(&job, events, count, opened.path, &opened.diags);
	if (options->json)
		show_json(&job, events, count, fits);
	else
		show_text(&job, events, count, fits);
	return opened_finish(&opened, fits ? EXIT_YES : EXIT_INPUT);
}

/* The rest of the command line, so that a reason needs no quotes. */
static char *read_reason(const struct options *options, struct lt_arena *arena)
{
	struct lt_text words = { 0 }, clean = { 0 };
	for (int i = 2; i < options->argument_count; i++) {
		lt_text_add(&words, options->arguments[i]);
		lt_text_add_char(&words, ' ');
	}
	lt_text_add_clean(&clean, lt_text_string(&words), words.length);
	char *reason = lt_arena_strdup(arena, lt_text_string(&clean));
	lt_text_finish(&words);
	lt_text_finish(&clean);
	return reason;
}

/* Within a transaction. */
static bool close_job(struct opened *opened, const struct lt_job *job, const char *reason)
{
	struct lt_job_event event = {
		.at = lt_job_now(),
		.who = lt_job_who(opened->options, &opened->arena),
		.kind = LT_JOB_CLOSED,
		.stage = job->stage,
		.text = reason,
	};
	return lt_job_db_station(&event.station, opened->db, job->id, &opened->diags) &&
	       lt_job_db_append(opened->db, job->id, &event, &opened->diags) &&
	       lt_job_db_commit(opened->db, &opened->diags);
}

static void print_closed(const struct options *options, unsigned long long id, const char *code)
{
	struct lt_text text = { 0 };
	if (options->quiet)
		return;
	lt_job_add_closed(&text, id, code);
	print_text(&text);
}

static int close_with_reason(const struct options *options, unsigned long long id,
	const char *reason)
{
	struct opened opened;
	struct lt_job job;
	if (!opened_init(&opened, options, NULL))
		return opened_finish(&opened, EXIT_INPUT);
	if (!lt_job_db_begin(opened.db, &opened.diags))
		return opened_finish(&opened, EXIT_SYSTEM);
	if (!lt_job_db_job(&job, opened.db, id, &opened.arena, &opened.diags))
		return opened_finish(&opened, EXIT_INPUT);
	if (!lt_job_db_sound(opened.db, id, &opened.diags)) {
		lt_hint(&opened.diags,
			"close it as not finished and start a new job: loomtag verify FILE --new");
		return opened_finish(&opened, EXIT_INPUT);
	}
	if (!close_job(&opened, &job, reason))
		return opened_finish(&opened, job.closed ? EXIT_INPUT : EXIT_SYSTEM);
	print_closed(options, id, job.code);
	return opened_finish(&opened, EXIT_YES);
}

/* Why a job cannot be closed as done. */
static void refuse_not_done(struct lt_session *session, const struct lt_work *work,
	unsigned long long id, const char *path)
{
	if (lt_work_differs(work)) {
		lt_error(&session->diags, lt_place_file(session->path),
			"this is not the description that job %llu was checked against", id);
		lt_hint(&session->diags, "run loomtag verify: it shows what has changed");
		return;
	}
	lt_error(&session->diags, lt_place_file(path), "job %llu is not finished", id);
	lt_hint(&session->diags,
		"continue it with loomtag verify. To close it as it is: loomtag jobs close %llu "
		"REASON",
		id);
}

/* A finished job needs no reason; only the description shows that it is finished. */
static int close_done(const struct options *options, unsigned long long id, char *description)
{
	struct options only = *options;
	char *arguments[] = { description, NULL };
	only.arguments = arguments;
	only.argument_count = 1;
	struct lt_session session;
	int code = lt_session_open(&session, &only, SESSION_READS);
	if (code == EXIT_YES) {
		struct lt_diags *diags = &session.diags;
		const struct lt_work_options how = {
			.db = lt_job_database(options, session.path, &diags->arena), .job = id
		};
		struct lt_work *work = lt_work_open(&session.tags, &how,
			lt_job_who(options, &diags->arena), diags);
		code = EXIT_INPUT;
		if (work != NULL && !lt_work_finish(work, NULL, diags))
			code = EXIT_SYSTEM;
		else if (work != NULL && lt_job_state_closed(lt_work_state(work)))
			code = EXIT_YES;
		else if (work != NULL)
			refuse_not_done(&session, work, id, how.db);
		lt_session_print_diags(&session);
		if (code == EXIT_YES)
			print_closed(options, id, session.harness.code);
		lt_work_close(work);
	}
	lt_session_finish(&session);
	return code == EXIT_NO ? EXIT_INPUT : code;
}

static bool is_description(const char *word)
{
	const char *ending = lt_path_extension(word);
	return lt_same_word(ending, "yaml") || lt_same_word(ending, "yml");
}

static int close_one(const struct options *options)
{
	unsigned long long id;
	if (options->argument_count < 2)
		return lt_usage_error("jobs",
			"loomtag jobs close needs the number of a job, and a reason or a "
			"description");
	if (!lt_job_number(&id, "jobs", options->arguments[1]))
		return EXIT_USAGE;
	if (options->argument_count == 3 && is_description(options->arguments[2]))
		return close_done(options, id, options->arguments[2]);
	struct lt_arena arena = { 0 };
	const char *reason = read_reason(options, &arena);
	int code = EXIT_USAGE;
	if (reason[0] != '\0')
		code = close_with_reason(options, id, reason);
	else
		lt_usage_error("jobs",
			"loomtag jobs close needs a reason (loomtag jobs close %llu REASON) or, "
			"for a finished job, the description (loomtag jobs close %llu FILE.yaml)",
			id, id);
	lt_arena_finish(&arena);
	return code;
}

int lt_run_jobs(const struct options *options)
{
	const char *word = options->argument_count > 0 ? options->arguments[0] : NULL;
	if (word == NULL)
		return list(options, NULL, NULL);
	if (strcmp(word, "show") == 0)
		return show(options);
	if (strcmp(word, "close") == 0)
		return close_one(options);
	if (options->argument_count > 1)
		return lt_usage_error("jobs",
			"loomtag jobs can be used with one description, show N, close N REASON or "
			"close N FILE");
	if (lt_same_word(lt_path_extension(word), "db"))
		return lt_usage_error("jobs",
			"%s is not a description. To list the jobs in it: loomtag jobs --db %s",
			word, word);
	return list_of_description(options);
}
