/* loomtag verify: check a scanned sequence, from a file or live. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/job_options.h"
#include "cli/session.h"
#include "cli/verification.h"
#include "loomtag/words.h"

/* A line without end is no list of scans. */
enum { LINE_MOST = 1 << 20, TIME_MOST = 64 };

enum reading { READ_LINE, READ_END, READ_ENDLESS };

/* Reads one line, without its line end, of which the first `room` bytes are kept; *length is how
 * many those are. */
static enum reading read_line(FILE *stream, char *line, size_t room, size_t *length)
{
	size_t read = 0;
	int c = getc(stream);
	if (c == EOF)
		return READ_END;
	for (; c != EOF && c != '\n' && c != '\r'; c = getc(stream)) {
		if (read < room)
			line[read] = (char)c;
		if (++read > LINE_MOST)
			return READ_ENDLESS;
	}
	if (c == '\r' && (c = getc(stream)) != '\n' && c != EOF)
		ungetc(c, stream);
	*length = read <= room ? read : room;
	return READ_LINE;
}

/* True where each character is one of the set that begins with the pattern's. */
static bool fits(const char *at, const char *pattern)
{
	static const char *const sets[] = { "0123456789", "-", "Tt ", ":", "+-", "Zz" };
	for (; *pattern != '\0'; pattern++, at++) {
		size_t set = 0;
		while (sets[set][0] != *pattern)
			set++;
		if (*at == '\0' || strchr(sets[set], *at) == NULL)
			return false;
	}
	return true;
}

/* Skips an RFC 3339 date-time and the tab behind it, where they stand before a scan: as much as the
 * line has room for beside it. */
static const char *skip_time(const char *line, const char *end)
{
	static const char moment[] = "0000-00-00T00:00:00";
	enum { MOMENT = sizeof(moment) - 1 };
	const char *tab = memchr(line, '\t', (size_t)(end - line));
	if (tab == NULL || tab - line <= MOMENT || tab - line >= TIME_MOST || !fits(line, moment))
		return line;
	const char *zone = line + MOMENT;
	if (*zone == '.')
		zone += 1 + strspn(zone + 1, "0123456789");
	const bool fit =
		(tab - zone == 1 && fits(zone, "Z")) || (tab - zone == 6 && fits(zone, "+00:00"));
	return fit ? tab + 1 : line;
}

static bool is_blank_or_comment(const char *line, const char *end)
{
	while (line < end && (*line == ' ' || *line == '\t'))
		line++;
	return line == end || *line == '#';
}

/* A scan that needs attention is printed at once, with its line. */
static void print_answer(const struct verification *verification, const struct lt_answer *answer,
	unsigned line)
{
	const struct options *options = verification->options;
	const struct lt_verdict_row *row = lt_verdict_row(answer->verdict);
	if (options->json || options->quiet || row->tone != LT_TONE_WRONG)
		return;
	size_t count;
	struct lt_text words = { 0 };
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	lt_answer_words(&words, answer, &verification->session->tags, events[count - 1].stage);
	printf("scan %-4u  %-12s  %-12s  %s\n", line, row->key, events[count - 1].text,
		lt_text_string(&words));
	lt_text_finish(&words);
}

/* EXIT_YES, or why it was not read to its end. */
static int feed_all(struct verification *verification, FILE *stream, const char *name)
{
	char line[LT_SCAN_MAX + TIME_MOST] = "";
	enum reading reading;
	size_t length;
	unsigned number = 1;
	for (; (reading = read_line(stream, line, sizeof(line), &length)) == READ_LINE; number++) {
		const char *end = line + length;
		struct lt_answer answer;
		if (is_blank_or_comment(line, end))
			continue;
		const char *scan = skip_time(line, end);
		if (!lt_verification_scan(verification, &answer, number, scan,
			    (size_t)(end - scan)))
			return EXIT_SYSTEM;
		print_answer(verification, &answer, number);
	}
	if (reading == READ_END)
		return EXIT_YES;
	lt_error(verification->diags, lt_place_file(name),
		"line %u is longer than 1 MiB: this is not a list of scans", number);
	lt_hint(verification->diags, "write one scan on each line");
	return EXIT_INPUT;
}

static int feed_file(struct verification *verification, const char *path)
{
	struct lt_diags *diags = verification->diags;
	bool standard = strcmp(path, "-") == 0;
	FILE *stream = standard ? stdin : fopen(path, "rb");
	if (stream == NULL) {
		lt_error(diags, lt_place_file(path), "cannot be opened: %s", strerror(errno));
		return lt_session_fail(verification->session, EXIT_INPUT);
	}
	const char *name = standard ? "standard input" : path;
	errno = 0;
	int code = feed_all(verification, stream, name);
	const int reason = errno;
	if (code == EXIT_YES && ferror(stream) != 0) {
		lt_error(diags, lt_place_file(name), "cannot be read: %s", strerror(reason));
		code = EXIT_INPUT;
	}
	if (!standard)
		fclose(stream);
	return code == EXIT_YES ? code : lt_session_fail(verification->session, code);
}

/* *stage is LT_STAGE_COUNT where none is given. */
static bool read_stage(enum lt_stage *stage, const char *text)
{
	*stage = LT_STAGE_COUNT;
	if (text == NULL || lt_stage_read(stage, text))
		return true;
	lt_usage_error("verify",
		"--stage must be tag, unplug, swap, reconnect or finish, not \"%s\"", text);
	return false;
}

/* Numbers that the register does not hold were never printed, so no scan can prove them. */
static void warn_of_new_numbers(struct lt_session *session)
{
	if (!session->tags.changed)
		return;
	lt_warning(&session->diags, lt_place_file(session->register_path),
		"some joints have no saved number, so they can be without stickers");
	lt_hint(&session->diags,
		"run loomtag tags to save the numbers, then print the missing stickers with "
		"loomtag stickers --only");
	lt_session_print_diags(session);
}

/* Replaced parts whose new M sticker was never printed: the only M is on the old part. */
static void warn_of_old_stickers(struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		unsigned number = session->tags.number_of[i];
		if (number == 0 || !session->tags.m_is_old[i] ||
			harness->connectors[i].marking != LT_MARK_STICKER)
			continue;
		lt_warning(&session->diags, harness->connectors[i].place,
			"the part of connector %s is replaced, but its only sticker %uM is on the "
			"old part",
			harness->connectors[i].id, number);
		lt_hint(&session->diags,
			"run loomtag stickers --only %u: it prints %uX to stick over it, and %uM "
			"for the new part",
			number, number, number);
	}
	lt_session_print_diags(session);
}

static int run_photos(struct verification *verification)
{
	const int read = lt_verify_photos(verification);
	const int code = lt_verification_print_result(verification);
	json_decref(verification->photos);
	return read == EXIT_YES || code == EXIT_SYSTEM ? code : read;
}

static int run_file(struct verification *verification, const char *path)
{
	const int code = feed_file(verification, path);
	verification->left = verification->scans.count == 0;
	return code == EXIT_YES ? lt_verification_print_result(verification) : code;
}

/* Scans of a file and pictures are kept only where a database is named. */
static int run_given(struct verification *verification, enum lt_stage stage)
{
	struct lt_session *session = verification->session;
	const struct options *options = verification->options;
	if (!lt_verification_open(verification, options->db != NULL))
		return lt_session_fail(session,
			verification->asked != 0 ? EXIT_INPUT : EXIT_SYSTEM);
	int code = lt_verification_begin(verification, stage);
	if (code == EXIT_YES && !lt_work_stage(verification->work, stage,
					lt_result_words.later_stage_started, verification->diags))
		code = EXIT_SYSTEM;
	lt_session_print_diags(session);
	if (code != EXIT_YES)
		return code;
	return options->photos ? run_photos(verification)
			       : run_file(verification, options->arguments[1]);
}

static bool arguments_fit(const struct options *options, enum lt_stage stage)
{
	const bool live = !options->photos && options->argument_count < 2;
	if (options->photos && options->argument_count < 2)
		lt_usage_error("verify", "--photos needs pictures after the description");
	else if (!options->photos && options->argument_count > 2)
		lt_usage_error("verify",
			"only one file of scans can be given; pictures need --photos");
	else if (!live && stage == LT_STAGE_FINISH)
		lt_usage_error("verify",
			"stage finish has nothing to scan: give no scans and no pictures");
	else if (!live && options->device != NULL)
		lt_usage_error("verify", "--device can only be used for live scanning");
	else if (!live && (options->new_job || options->job != NULL) && options->db == NULL)
		lt_usage_error("verify", "with scans or pictures, --new and --job need --db");
	else if (!live && options->changed && options->db == NULL)
		lt_usage_error("verify", "with scans or pictures, --changed needs --db");
	else if (options->no_job &&
		 (options->db != NULL || options->new_job || options->job != NULL))
		lt_usage_error("verify",
			"cannot be used together: --no-job and --db, --new or --job");
	else if (options->new_job && options->job != NULL)
		lt_usage_error("verify", "cannot be used together: --new and --job");
	else
		return true;
	return false;
}

int lt_run_verify(const struct options *options)
{
	enum lt_stage stage;
	struct verification verification = { 0 };
	if (!read_stage(&stage, options->stage) || !arguments_fit(options, stage) ||
		(options->job != NULL &&
			!lt_job_number(&verification.asked, "verify", options->job)))
		return EXIT_USAGE;
	struct lt_session session;
	int code = lt_session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		verification.session = &session;
		verification.options = options;
		verification.diags = &session.diags;
		warn_of_new_numbers(&session);
		warn_of_old_stickers(&session);
		if (options->photos || options->argument_count > 1)
			code = run_given(&verification,
				stage == LT_STAGE_COUNT ? LT_STAGE_RECONNECT : stage);
		else
			code = lt_verify_live(&verification, stage);
		code = lt_session_fail(&session, code);
		lt_work_close(verification.work);
		lt_live_scans_finish(&verification.scans);
	}
	lt_session_finish(&session);
	return code;
}
