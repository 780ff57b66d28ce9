/* loomtag verify: check a scanned sequence, from a file or live. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "command.h"
#include "live.h"
#include "loomtag/text.h"
#include "loomtag/verify_log.h"
#include "session.h"
#include "verification.h"
#include "verify_photos.h"

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

static void feed_all(struct verification *verification, FILE *stream)
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
		if (overlong)
			lt_verify_log_overlong(&verification->log, verification->machine, number,
				scan, (size_t)(end - scan));
		else
			lt_verify_log_feed(&verification->log, verification->machine, number, scan,
				(size_t)(end - scan));
	}
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
	feed_all(verification, stream);
	bool failed = ferror(stream) != 0;
	int reason = errno;
	if (!standard)
		fclose(stream);
	if (failed) {
		lt_error(diags, lt_place_file(standard ? "standard input" : path),
			"cannot be read: %s", strerror(reason));
		return session_fail(verification->session, EXIT_INPUT);
	}
	return EXIT_YES;
}

static json_t *numbers_json(const struct verification *verification, bool made)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		if (lt_verify_made(verification->machine, i) == made)
			json_array_append_new(list,
				json_integer(verification->plan.joints[i].number));
	}
	return list;
}

static json_t *wrong_json(const struct verification *verification)
{
	const struct lt_wrong_mate *wrong;
	size_t count = lt_verify_wrong(verification->machine, &wrong);
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++) {
		char h[LT_TAG_SIZE];
		char m[LT_TAG_SIZE];
		lt_tag_write(h, wrong[i].h, LT_SIDE_H);
		lt_tag_write(m, wrong[i].m, wrong[i].mate_side);
		json_array_append_new(list, json_pack("[s, s]", h, m));
	}
	return list;
}

static json_t *skipped_json(const struct verification *verification)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		unsigned number = verification->plan.joints[i].number;
		if (!lt_verify_skipped(verification->machine, i))
			continue;
		const char *reason = lt_verify_log_reason(&verification->log, number);
		json_array_append_new(list, json_pack("{s:I, s:s}", "number", (json_int_t)number,
						    "reason", reason != NULL ? reason : ""));
	}
	return list;
}

static json_t *unnumbered_json(const struct verification *verification)
{
	const struct session *session = verification->session;
	json_t *list = json_array();
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			json_array_append_new(list, json_string(session->harness.connectors[i].id));
	}
	return list;
}

static json_t *events_json(const struct verification *verification)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->log.event_count; i++) {
		const struct lt_event *event = &verification->log.events[i];
		json_t *tag = json_null();
		if (event->answer.has_tag) {
			char text[LT_TAG_SIZE];
			lt_tag_write(text, event->answer.number, event->answer.side);
			tag = json_string(text);
		}
		json_t *row = json_pack("{s:I, s:s, s:o, s:s}", "line", (json_int_t)event->line,
			"scan", event->scan, "tag", tag, "verdict",
			lt_verdict_name(event->answer.verdict));
		if (event->undone)
			json_object_set_new(row, "undone", json_true());
		if (verification->photos != NULL)
			json_object_set_new(row, "photo", verify_photo_of(verification, event));
		json_array_append_new(list, row);
	}
	return list;
}

/* All is made, and there was something to make. */
static bool answer_is_yes(const struct verification *verification)
{
	return verification->plan.joint_count > 0 && lt_verify_ok(verification->machine);
}

static int print_result_json(const struct verification *verification)
{
	const struct lt_verify *machine = verification->machine;
	json_t *result = json_pack("{s:s, s:s, s:b, s:o, s:o, s:o, s:o, s:o, s:I, s:o}", "code",
		verification->plan.code, "stage", lt_stage_name(verification->plan.stage), "ok",
		answer_is_yes(verification), "mated", numbers_json(verification, true), "missing",
		numbers_json(verification, false), "wrong", wrong_json(verification), "skipped",
		skipped_json(verification), "unnumbered", unnumbered_json(verification), "typed",
		(json_int_t)lt_verify_typed_count(machine), "events", events_json(verification));
	if (verification->photos != NULL)
		json_object_set(result, "photos", verification->photos);
	return print_json(result);
}

/* Every answer that asks for something, with the line of the scan. */
static void print_answers(const struct verification *verification)
{
	struct lt_text words = { 0 };
	for (size_t i = 0; i < verification->log.event_count; i++) {
		const struct lt_event *event = &verification->log.events[i];
		if (lt_verdict_tone(event->answer.verdict) != LT_TONE_WRONG)
			continue;
		lt_text_clear(&words);
		lt_answer_words(&words, &event->answer, &verification->session->tags,
			verification->plan.stage);
		printf("scan %-4u  %-12s  %-12s  %s\n", event->line,
			lt_verdict_name(event->answer.verdict), event->scan,
			lt_text_string(&words));
	}
	lt_text_finish(&words);
}

static bool read_stage(enum lt_stage *stage, const char *text)
{
	*stage = LT_STAGE_RECONNECT;
	if (text == NULL || strcmp(text, lt_stage_name(LT_STAGE_RECONNECT)) == 0)
		return true;
	*stage = LT_STAGE_TAG;
	if (strcmp(text, lt_stage_name(LT_STAGE_TAG)) == 0)
		return true;
	usage_error("verify", "--stage is tag or reconnect, not \"%s\"", text);
	return false;
}

static void print_missing(const struct verification *verification)
{
	const struct lt_tags *tags = &verification->session->tags;
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		if (lt_verify_made(verification->machine, i))
			continue;
		size_t index = verification->connectors[i];
		const struct lt_connector *connector = &tags->harness->connectors[index];
		unsigned number = verification->plan.joints[i].number;
		printf("missing %5u  %s", number,
			connector->name != NULL ? connector->name : connector->id);
		if (connector->where != NULL)
			printf(", %s", connector->where);
		if (lt_verify_skipped(verification->machine, i)) {
			const char *reason = lt_verify_log_reason(&verification->log, number);
			printf(" (skipped: %s)", reason != NULL ? reason : "no reason given");
		}
		printf("\n");
	}
}

static void print_by_eye(const struct verification *verification)
{
	const struct session *session = verification->session;
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		const struct lt_connector *connector = &session->harness.connectors[i];
		if (session->tags.number_of[i] == 0)
			printf("by eye         %s\n",
				connector->name != NULL ? connector->name : connector->id);
	}
}

static const char *last_words(const struct verification *verification)
{
	bool tagging = verification->plan.stage == LT_STAGE_TAG;
	if (verification->plan.joint_count == 0)
		return "NO: no joint has a number, so no scan could prove anything.";
	if (!answer_is_yes(verification))
		return tagging ? "NO: not everything is checked." : "NO: not everything is made.";
	if (tagging)
		return "yes: every pair belongs together. That each is on its own joint is for you "
		       "to see.";
	return "yes: every pair belongs together. Seated, the right way round: that is for you to "
	       "see.";
}

static void print_result(const struct verification *verification)
{
	const struct lt_wrong_mate *wrong;
	size_t wrong_count = lt_verify_wrong(verification->machine, &wrong);
	for (size_t i = 0; i < wrong_count; i++)
		printf("wrong mate     %uH with %u%c\n", wrong[i].h, wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
	size_t seen = 0;
	for (size_t i = 0; i < verification->log.event_count; i++)
		seen += verification->log.events[i].answer.verdict == LT_VERDICT_WRONG_MATE;
	if (seen > 0 && wrong_count == 0)
		printf("put right      %zu wrong mate%s: look at those joints for damage\n", seen,
			seen == 1 ? "" : "s");
	unsigned number;
	enum lt_side side;
	if (lt_verify_pending(verification->machine, &number, &side))
		printf("half a pair    %u%c was scanned last, and its other half was not\n", number,
			lt_side_letter(side));
	print_missing(verification);
	print_by_eye(verification);
	size_t made = lt_verify_made_count(verification->machine);
	bool tagging = verification->plan.stage == LT_STAGE_TAG;
	printf("%s, stage %s: %zu of %zu numbered joints %s", verification->plan.code,
		lt_stage_name(verification->plan.stage), made, verification->plan.joint_count,
		tagging ? "checked" : "made");
	size_t typed = lt_verify_typed_count(verification->machine);
	if (typed > 0)
		printf(", %zu of them by tags typed by hand", typed);
	printf("\n");
	if (verification->session->harness.unit == NULL)
		printf("no unit given: stickers of two like modules could not be told apart\n");
	puts(last_words(verification));
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
static int tell_result(const struct verification *verification)
{
	int code = EXIT_YES;
	if (verification->session->options->json) {
		code = print_result_json(verification);
		if (verification->session->harness.unit == NULL)
			fputs("no unit given: stickers of two like modules could not be told apart\n",
				stderr);
	} else if (!verification->session->options->quiet) {
		print_result(verification);
	}
	if (code != EXIT_YES)
		return code;
	return answer_is_yes(verification) ? EXIT_YES : EXIT_NO;
}

static int run_batch(struct verification *verification, const char *path)
{
	const struct options *options = verification->session->options;
	const int code = feed_file(verification, path);
	if (code != EXIT_YES)
		return code;
	if (!options->json && !options->quiet)
		print_answers(verification);
	return tell_result(verification);
}

static int run_photos(struct verification *verification)
{
	const int read = verify_photos(verification);
	const int code = tell_result(verification);
	json_decref(verification->photos);
	return read == EXIT_YES || code == EXIT_SYSTEM ? code : read;
}

static int run_live(struct verification *verification)
{
	const struct session *session = verification->session;
	bool terminal = isatty(STDOUT_FILENO) == 1 && isatty(STDIN_FILENO) == 1;
	bool json = session->options->json;
	/* With --json the conversation goes to stderr, and stdout carries the document alone. */
	const struct lt_live live = {
		.in = stdin,
		.out = json ? stderr : stdout,
		.tags = &session->tags,
		.lookalikes = session->lookalikes,
		.verify = verification->machine,
		.log = &verification->log,
		.options = {
			.terminal = terminal && !json,
			.colour = json ? session->options->colour_err : session->options->colour_out,
			.bell = terminal,
		},
	};
	enum lt_live_end end = lt_live_run(&live);
	if (json && print_result_json(verification) != EXIT_YES)
		return EXIT_SYSTEM;
	return end == LT_LIVE_MADE && answer_is_yes(verification) ? EXIT_YES : EXIT_NO;
}

int run_verify(const struct options *options)
{
	enum lt_stage stage;
	if (!read_stage(&stage, options->stage))
		return EXIT_USAGE;
	if (options->photos && options->argument_count < 2)
		return usage_error("verify", "--photos wants pictures behind the description");
	if (!options->photos && options->argument_count > 2)
		return usage_error("verify", "one file of scans at a time; pictures want --photos");
	struct session session;
	int code = session_open(&session, options, SESSION_READS);
	if (code == EXIT_YES) {
		struct verification verification = { .session = &session };
		struct lt_arena arena;
		lt_arena_init(&arena);
		warn_of_new_numbers(&session);
		warn_of_old_stickers(&session);
		lt_plan_build(&verification.plan, &verification.connectors, &arena, &session.tags,
			stage, options->typed);
		verification.machine = lt_verify_create(&verification.plan);
		if (options->photos)
			code = run_photos(&verification);
		else if (options->argument_count > 1)
			code = run_batch(&verification, options->arguments[1]);
		else
			code = run_live(&verification);
		lt_verify_destroy(verification.machine);
		lt_verify_log_finish(&verification.log);
		lt_arena_finish(&arena);
	}
	session_finish(&session);
	return code;
}
