/* loomtag record: the record of a job, to sign and keep. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "cli/command.h"
#include "cli/drawing.h"
#include "cli/job_options.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/record.h"
#include "loomtag/words.h"

enum form { FORM_PDF, FORM_TEXT, FORM_JSON, FORMS };

/* A job and all that belongs to it. */
struct file {
	struct lt_session session;
	struct lt_arena arena;
	struct lt_job_db *db;
	const char *database;
	struct lt_job job;
	struct lt_job_event *events;
	size_t count;
};

static bool read_form(enum form *form, const struct options *options)
{
	static const char *const endings[FORMS] = { "pdf", "txt", "json" };
	const char *output = options->output;
	if (output == NULL) {
		lt_usage_error("record",
			"no output file given (-o OUT.pdf, OUT.txt, OUT.json or -)");
		return false;
	}
	const char *ending = strcmp(output, "-") != 0 ? lt_path_extension(output)
			     : options->json          ? "json"
						      : "txt";
	for (*form = FORM_PDF; *form < FORMS && !lt_same_word(ending, endings[*form]);)
		(*form)++;
	if (*form == FORMS)
		lt_usage_error("record", "-o must be a .pdf, .txt or .json file or -, not \"%s\"",
			output);
	else if (options->json && *form != FORM_JSON)
		lt_usage_error("record", "--json needs -o - or a .json file, not \"%s\"", output);
	else
		return true;
	return false;
}

/* The hint names a job of another unit, if there is one. */
static void refuse_no_job(struct file *file)
{
	const struct lt_harness *harness = &file->session.harness;
	struct lt_job *jobs;
	size_t count;
	if (!lt_job_db_jobs(&jobs, &count, file->db, NULL, &file->arena, &file->session.diags))
		return;
	lt_error(&file->session.diags, lt_place_file(file->database), "has no job of %s",
		harness->code);
	for (size_t i = 0; i < count; i++) {
		if (strcmp(jobs[i].harness, harness->harness) != 0)
			continue;
		if (jobs[i].unit != NULL)
			lt_hint(&file->session.diags,
				"job %llu is of unit %s. To use it, give --unit %s", jobs[i].id,
				jobs[i].unit, jobs[i].unit);
		else
			lt_hint(&file->session.diags,
				"job %llu has no unit. To use it, remove the unit from the "
				"description",
				jobs[i].id);
		return;
	}
	lt_hint(&file->session.diags,
		"start a job with loomtag verify, or name another database with --db");
}

/* Nobody signs for a job that was started by mistake. Where none has scans, the newest. */
static size_t newest_with_scans(const struct lt_job *jobs, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (jobs[i].scans > 0)
			return i;
	return 0;
}

static bool take_newest(struct file *file)
{
	struct lt_job *jobs;
	size_t count;
	if (!lt_job_db_jobs(&jobs, &count, file->db, file->session.harness.code, &file->arena,
		    &file->session.diags))
		return false;
	if (count == 0) {
		refuse_no_job(file);
		return false;
	}
	const size_t newest = newest_with_scans(jobs, count);
	file->job = jobs[newest];
	if (newest > 0) {
		lt_note(&file->session.diags, lt_place_file(file->database),
			"job %llu is newer, but it has no scans. This is the record of job %llu",
			jobs[0].id, file->job.id);
		lt_hint(&file->session.diags, "for the newer job, give --job %llu", jobs[0].id);
	}
	return true;
}

/* The tags of another harness or unit would call every scan foreign. */
static bool take_job(struct file *file, unsigned long long id)
{
	const struct lt_harness *harness = &file->session.harness;
	struct lt_diags *diags = &file->session.diags;
	if (!lt_job_db_job(&file->job, file->db, id, &file->arena, diags))
		return false;
	if (strcmp(file->job.code, harness->code) == 0)
		return true;
	lt_error(diags, lt_place_file(file->database), "job %llu is of %s, not of %s", id,
		file->job.code, harness->code);
	if (strcmp(file->job.harness, harness->harness) == 0 && file->job.unit != NULL)
		lt_hint(diags, "give --unit %s", file->job.unit);
	else
		lt_hint(diags, "give the description of %s", file->job.code);
	return false;
}

/* The job may be worked on meanwhile: what follows from its events is taken from those that were
 * read. */
static bool read_events(struct file *file)
{
	struct lt_job *job = &file->job;
	if (!lt_job_db_events(&file->events, &file->count, file->db, job->id, 0, &file->arena,
		    &file->session.diags))
		return false;
	job->events = file->count;
	job->scans = 0;
	for (size_t i = 0; i < file->count; i++)
		job->scans += file->events[i].kind == LT_JOB_SCAN;
	if (file->count == 0)
		return true;
	const struct lt_job_event *last = &file->events[file->count - 1];
	job->last = last->at;
	job->closed = last->kind == LT_JOB_CLOSED;
	return true;
}

static bool read_job(struct file *file, unsigned long long id)
{
	file->db = lt_job_db_open(file->database, false, &file->session.diags);
	return file->db != NULL && (id > 0 ? take_job(file, id) : take_newest(file)) &&
	       read_events(file);
}

static long local_offset(void *data, long long at)
{
	(void)data;
	const time_t seconds = (time_t)(at / 1000);
	struct tm tm;
	char zone[8];
	if (localtime_r(&seconds, &tm) == NULL || strftime(zone, sizeof(zone), "%z", &tm) != 5)
		return 0;
	const long number = strtol(zone + 1, NULL, 10);
	const long offset = (number / 100 * 60 + number % 100) * 60;
	return zone[0] == '-' ? -offset : offset;
}

static int write_text(struct file *file, const struct lt_record *record, const char *path,
	enum form form)
{
	struct lt_text text = { 0 };
	int code = EXIT_YES;
	if (form == FORM_JSON)
		lt_record_write_json(&text, record);
	else
		lt_record_write(&text, record);
	if (strcmp(path, "-") == 0)
		fputs(lt_text_string(&text), stdout);
	else if (!lt_file_write(path, lt_text_string(&text), text.length,
			 lt_session_keep(&file->session), &file->session.diags))
		code = EXIT_SYSTEM;
	lt_text_finish(&text);
	return code;
}

static bool draw(struct lt_canvas *canvas, const struct drawing *drawing,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	return lt_record_draw(canvas, drawing->data, measure, diags);
}

/* The PDF is of the time of the last event, so that the same job gives the same bytes. */
static int write_pages(struct file *file, struct lt_record *record, const char *path)
{
	struct lt_text title = { 0 };
	lt_words_record_pdf_title(&title, file->job.id, file->job.code);
	struct drawing drawing = { .session = &file->session,
		.pdf = { .title = lt_text_string(&title), .date = file->job.last / 1000 },
		.data = record,
		.draw = draw };
	const int code = lt_drawing_write(NULL, path, &drawing, &file->session.diags);
	lt_text_finish(&title);
	return code;
}

static void print_written(const struct file *file, const struct lt_record *record,
	const struct options *options)
{
	struct lt_text text = { 0 };
	if (options->quiet || strcmp(options->output, "-") == 0)
		return;
	lt_words_record_written(&text, options->output, file->job.id, file->count,
		lt_record_faults(record));
	lt_print_clean("%s\n", lt_text_string(&text));
	lt_text_finish(&text);
}

static int record_job(struct file *file, enum form form, const struct options *options,
	enum lt_paper paper)
{
	struct lt_record_options how = LT_RECORD_OPTIONS_INIT;
	how.paper = paper;
	how.program = "loomtag " LT_VERSION;
	how.offset = local_offset;
	struct lt_record *record =
		lt_record_create(&file->session.tags, &file->job, file->events, file->count, &how);
	int code = form == FORM_PDF ? write_pages(file, record, options->output)
				    : write_text(file, record, options->output, form);
	if (code == EXIT_YES) {
		if (!lt_job_sound(&file->job, file->events, file->count, file->database,
			    &file->session.diags))
			code = EXIT_INPUT;
		print_written(file, record, options);
	}
	lt_record_destroy(record);
	return code;
}

int lt_run_record(const struct options *options)
{
	enum form form;
	enum lt_paper paper;
	unsigned long long id = 0;
	if (!read_form(&form, options) ||
		(options->job != NULL && !lt_job_number(&id, "record", options->job)) ||
		!lt_read_paper(&paper, options, "record"))
		return EXIT_USAGE;
	struct file file = { 0 };
	int code = lt_session_open(&file.session, options, SESSION_READS);
	if (code == EXIT_YES) {
		file.database = lt_job_database(options, file.session.path, &file.arena);
		code = read_job(&file, id) ? record_job(&file, form, options, paper) : EXIT_INPUT;
		lt_session_fail(&file.session, code);
	}
	lt_job_db_close(file.db);
	lt_session_finish(&file.session);
	lt_arena_finish(&file.arena);
	return code;
}
