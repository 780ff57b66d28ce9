/* loomtag verify: check a scanned sequence, from a file or live. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "loomtag/text.h"
#include "loomtag/verify_log.h"
#include "session.h"
#include "verification.h"
#include "verify_live.h"
#include "verify_photos.h"
#include "verify_result.h"

enum { LINE_MAX_BYTES = 4096 };

/* Reads one line of at most `room` bytes, without its line end. False at the end of the stream;
 * *overlong when there was more, which is passed over. */
static bool read_line(FILE *stream, char *line, size_t room, size_t *length, bool *overlong)
{
	*length = 0;
	*overlong = false;
	int c = getc(stream);
	if (c == EOF)
		return false;
	for (; c != EOF && c != '\n' && c != '\r'; c = getc(stream)) {
		if (*length < room)
			line[(*length)++] = (char)c;
		else
			*overlong = true;
	}
	if (c == '\r' && (c = getc(stream)) != '\n' && c != EOF)
		ungetc(c, stream);
	return true;
}

static bool digits_at(const char *at, const char *end, size_t count)
{
	if ((size_t)(end - at) < count)
		return false;
	for (size_t i = 0; i < count; i++) {
		if (at[i] < '0' || at[i] > '9')
			return false;
	}
	return true;
}

/* Passes over an RFC 3339 date-time and the tab behind it, where they stand before a scan. */
static const char *skip_time(const char *line, const char *end)
{
	const char *tab = memchr(line, '\t', (size_t)(end - line));
	if (tab == NULL || tab - line < 20 || !digits_at(line, end, 4) || line[4] != '-' ||
		!digits_at(line + 5, end, 2) || line[7] != '-' || !digits_at(line + 8, end, 2) ||
		strchr("Tt ", line[10]) == NULL || !digits_at(line + 11, end, 2) ||
		line[13] != ':' || !digits_at(line + 14, end, 2) || line[16] != ':' ||
		!digits_at(line + 17, end, 2))
		return line;
	const char *at = line + 19;
	if (*at == '.') {
		for (at++; at < tab && *at >= '0' && *at <= '9'; at++)
			;
	}
	if (at + 1 == tab && (*at == 'Z' || *at == 'z'))
		return tab + 1;
	if (at + 6 == tab && (*at == '+' || *at == '-') && digits_at(at + 1, end, 2) &&
		at[3] == ':' && digits_at(at + 4, end, 2))
		return tab + 1;
	return line;
}

static bool is_blank_or_comment(const char *line, const char *end)
{
	while (line < end && (*line == ' ' || *line == '\t'))
		line++;
	return line == end || *line == '#';
}

/* False when a scan could not be kept. */
static bool feed_all(struct verification *verification, FILE *stream)
{
	char line[LINE_MAX_BYTES] = "";
	size_t length;
	bool overlong;
	for (unsigned number = 1; read_line(stream, line, sizeof(line), &length, &overlong);
		number++) {
		const char *end = line + length;
		if (is_blank_or_comment(line, end))
			continue;
		const char *scan = skip_time(line, end);
		/* What is too long to be a scan is none, whatever it begins with. */
		if (overlong && verification->work == NULL)
			lt_verify_log_overlong(&verification->log, verification->feeds, number,
				scan, (size_t)(end - scan));
		else if (!verification_scan(verification, NULL, number, overlong ? "" : scan,
				 overlong ? 0 : (size_t)(end - scan)))
			return false;
	}
	return true;
}

static int feed_file(struct verification *verification, const char *path)
{
	struct lt_diags *diags = &verification->session->diags;
	bool standard = strcmp(path, "-") == 0;
	FILE *stream = standard ? stdin : fopen(path, "rb");
	if (stream == NULL) {
		lt_error(diags, lt_place_file(path), "cannot be opened: %s", strerror(errno));
		return session_fail(verification->session, EXIT_INPUT);
	}
	errno = 0;
	const bool kept = feed_all(verification, stream);
	bool failed = ferror(stream) != 0;
	int reason = errno;
	if (!standard)
		fclose(stream);
	if (!kept)
		return session_fail(verification->session, EXIT_SYSTEM);
	if (failed) {
		lt_error(diags, lt_place_file(standard ? "standard input" : path),
			"cannot be read: %s", strerror(reason));
		return session_fail(verification->session, EXIT_INPUT);
	}
	return EXIT_YES;
}

/* *stage is LT_STAGE_COUNT where none is given. */
static bool read_stage(enum lt_stage *stage, const char *text)
{
	*stage = LT_STAGE_COUNT;
	if (text == NULL || lt_stage_read(stage, text))
		return true;
	usage_error("verify", "--stage is tag, unplug, swap, reconnect or finish, not \"%s\"",
		text);
	return false;
}

/* Numbers that the register does not hold were never printed, so no scan can prove them. */
static void warn_of_new_numbers(struct session *session)
{
	if (!session->tags.changed)
		return;
	lt_warning(&session->diags, lt_place_file(session->register_path),
		"does not hold all of these numbers, so some joints cannot have stickers yet");
	lt_hint(&session->diags, "loomtag stickers numbers them and prints what is missing");
	session_tell(session);
}

/* Replaced parts whose new M sticker was never printed: the M that is about is on the old part. */
static void warn_of_old_stickers(struct session *session)
{
	const struct lt_harness *harness = &session->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		unsigned number = session->tags.number_of[i];
		if (number == 0 || !session->tags.m_is_old[i] ||
			harness->connectors[i].marking != LT_MARK_STICKER)
			continue;
		lt_warning(&session->diags, harness->connectors[i].place,
			"the part of connector %s is replaced, but its only sticker %uM is on the "
			"outgoing part",
			harness->connectors[i].id, number);
		lt_hint(&session->diags,
			"loomtag stickers --only %u prints %uX to stick over it, and %uM for the new "
			"part",
			number, number, number);
	}
	session_tell(session);
}

/* Tells how it ended; the exit code by the answer. */
static int tell_result(struct verification *verification)
{
	if (verification->work != NULL)
		verification_read_job(verification);
	int code = EXIT_YES;
	if (verification->session->options->json) {
		code = verification_print_json(verification);
		if (verification->session->harness.unit == NULL)
			fputs("no unit given: stickers of two like modules could not be told apart\n",
				stderr);
	} else if (!verification->session->options->quiet) {
		verification_print(verification);
	}
	if (code != EXIT_YES)
		return code;
	return verification_answer(verification) ? EXIT_YES : EXIT_NO;
}

static int run_batch(struct verification *verification, const char *path)
{
	const struct options *options = verification->session->options;
	const int code = feed_file(verification, path);
	if (code != EXIT_YES)
		return code;
	if (!options->json && !options->quiet)
		verification_print_answers(verification);
	return tell_result(verification);
}

static int run_photos(struct verification *verification)
{
	const int read = verify_photos(verification);
	const int code = tell_result(verification);
	json_decref(verification->photos);
	return read == EXIT_YES || code == EXIT_SYSTEM ? code : read;
}

static int run_given(struct verification *verification)
{
	const struct options *options = verification->session->options;
	return options->photos ? run_photos(verification)
			       : run_batch(verification, options->arguments[1]);
}

/* What is not live is checked by itself, unless it is said where to keep it. */
static int run_apart(struct verification *verification, enum lt_stage stage)
{
	struct lt_arena arena;
	lt_arena_init(&arena);
	lt_plan_build(&verification->plan, &verification->connectors, &arena,
		&verification->session->tags, stage, verification->session->options->typed);
	verification->feeds = lt_verify_create(&verification->plan);
	verification->machine = verification->feeds;
	const int code = run_given(verification);
	lt_verify_destroy(verification->feeds);
	lt_arena_finish(&arena);
	return code;
}

static int run_kept(struct verification *verification, enum lt_stage stage)
{
	struct session *session = verification->session;
	int code = EXIT_SYSTEM;
	verification->work = verification_open_job(session, session->options->new_job);
	if (verification->work == NULL)
		return session_fail(session, EXIT_SYSTEM);
	if (!verification_goes_on(verification, stage)) {
		code = EXIT_NO;
	} else if (lt_work_stage(verification->work, stage, "a later stage was begun",
			   &session->diags)) {
		session_tell(session);
		verification_read_job(verification);
		code = run_given(verification);
	}
	lt_work_close(verification->work);
	return session_fail(session, code);
}

static bool arguments_fit(const struct options *options, enum lt_stage stage)
{
	const bool live = !options->photos && options->argument_count < 2;
	if (options->photos && options->argument_count < 2)
		usage_error("verify", "--photos wants pictures behind the description");
	else if (!options->photos && options->argument_count > 2)
		usage_error("verify", "one file of scans at a time; pictures want --photos");
	else if (!live && stage == LT_STAGE_FINISH)
		usage_error("verify", "there is nothing to scan at stage finish");
	else if (!live && options->device != NULL)
		usage_error("verify", "--device is for scanning live");
	else if (!live && (options->new_job || options->job != NULL) && options->db == NULL)
		usage_error("verify", "a file or pictures are kept in a job with --db only");
	else if (options->no_job &&
		 (options->db != NULL || options->new_job || options->job != NULL))
		usage_error("verify", "--no-job goes with none of --db, --new and --job");
	else if (options->new_job && options->job != NULL)
		usage_error("verify", "--new and --job exclude each other");
	else
		return true;
	return false;
}

int run_verify(const struct options *options)
{
	enum lt_stage stage;
	if (!read_stage(&stage, options->stage) || !arguments_fit(options, stage))
		return EXIT_USAGE;
	struct session session;
	int code = session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		struct verification verification = { .session = &session };
		warn_of_new_numbers(&session);
		warn_of_old_stickers(&session);
		if (options->photos || options->argument_count > 1)
			code = (options->db != NULL ? run_kept : run_apart)(&verification,
				stage == LT_STAGE_COUNT ? LT_STAGE_RECONNECT : stage);
		else
			code = verify_live(&verification, stage);
		lt_verify_log_finish(&verification.log);
	}
	session_finish(&session);
	return code;
}
