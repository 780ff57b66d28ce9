/* loomtag verify at a terminal: the loop between keys, conversation and screen. */
#include <stdio.h>
#include <unistd.h>

#include "cli/job_options.h"
#include "cli/keys.h"
#include "cli/live_screen.h"
#include "cli/verification.h"
#include "cli/who.h"

/* Somebody who scans: what they work on, and what they see. */
struct station {
	struct verification *verification;
	struct live_screen screen;
	struct lt_live *live; /* NULL until it has begun */
	struct who_remembered remembered;
};

/* Reads description and register again, into the same session; errors in them are printed below
 * what is shown. */
static bool reread(void *data)
{
	struct station *station = data;
	struct verification *verification = station->verification;
	if (station->live != NULL)
		lt_live_screen_show(&station->screen, lt_live_view(station->live));
	lt_live_screen_end_line(&station->screen);
	if (!lt_session_read_again(verification->session))
		return false;
	lt_work_describe(verification->work, &verification->session->tags);
	return true;
}

/* --who, or the name that was given at this terminal in the same job; else it is asked for. */
static const char *who(void *data, unsigned long long job)
{
	const struct station *station = data;
	const struct options *options = station->verification->options;
	if (options->who != NULL || options->no_job)
		return lt_job_who(options, &station->verification->session->diags.arena);
	return job != 0 && job == station->remembered.job ? station->remembered.name : NULL;
}

static void keep_name(void *data, const char *name, unsigned long long job)
{
	const struct verification *verification = ((struct station *)data)->verification;
	if (verification->options->who == NULL && job != 0 && isatty(STDIN_FILENO) == 1)
		lt_who_remember(name, verification->database, job);
}

/* A closed job said its yes when it was closed, with no reason given. */
static bool was_closed_as_done(const struct lt_work *work)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(work, &count);
	return count > 0 && events[count - 1].kind == LT_JOB_CLOSED &&
	       events[count - 1].text == NULL;
}

static int end_code(struct verification *verification, enum lt_live_end end)
{
	const bool json = verification->options->json;
	unsigned no = 0;
	if (end == LT_LIVE_FAILED)
		return EXIT_SYSTEM;
	if (end == LT_LIVE_REFUSED)
		return lt_verification_refuse_changed(verification);
	lt_session_print_diags(verification->session);
	verification->left = end != LT_LIVE_MADE;
	if (json && lt_work_has_job(verification->work))
		return lt_verification_print_result(verification);
	if (end != LT_LIVE_MADE)
		return EXIT_NO;
	const struct lt_job_state *state = lt_work_state(verification->work);
	if (lt_job_state_closed(state))
		return was_closed_as_done(verification->work) ? EXIT_YES : EXIT_NO;
	if (!lt_work_answer(&no, verification->work, lt_job_state_stage(state),
		    verification->diags))
		return EXIT_SYSTEM;
	return no == 0 ? EXIT_YES : EXIT_NO;
}

/* Whether a line that has no end yet reads as a scan, repaired or not. */
static bool is_scan(void *data, const char *bytes, size_t length)
{
	const struct station *station = data;
	struct lt_scan read;
	struct lt_text undone = { 0 };
	lt_scan_read(&read, bytes, length);
	const bool good = read.kind == LT_SCAN_CODE ||
			  lt_wedge_undo(&undone, bytes, length,
				  &station->verification->session->tags) != LT_WEDGE_FINE;
	lt_text_finish(&undone);
	return good;
}

static struct lt_live_input input_of(enum keys_result result, const struct keys_line *line)
{
	static const enum lt_live_input_kind kinds[] = { [KEYS_LINE] = LT_LIVE_LINE,
		[KEYS_TIMEOUT] = LT_LIVE_TIME,
		[KEYS_LOST] = LT_LIVE_LOST,
		[KEYS_END] = LT_LIVE_NO_MORE };
	return (struct lt_live_input){
		.kind = kinds[result],
		.bytes = line->bytes,
		.length = line->length,
		.cut = line->cut,
		.scanned = line->fast || line->source != KEYS_KEYBOARD,
		.timed = line->source != KEYS_PIPE,
		.at = line->at,
	};
}

/* Hands on what comes from the keyboard and from scanners, until the conversation is over. */
static enum lt_live_end converse(struct station *station, struct keys *keys)
{
	enum { LOOK = 700 }; /* how often the job is read again for what others did, ms */
	const struct lt_live_view *view = lt_live_view(station->live);
	struct keys_line line = { .length = 0 };
	bool changed = true;
	for (;;) {
		if (changed) {
			lt_live_screen_show(&station->screen, view);
			lt_live_screen_ask(&station->screen, view);
		}
		if (view->asks == LT_LIVE_ASKS_NOTHING)
			return view->end;
		const enum keys_result result = lt_keys_read(keys, &line, LOOK);
		/* A terminal echoes the end of a line; what comes from a scanner's device it does
		 * not show. */
		if (result == KEYS_LINE && line.source == KEYS_KEYBOARD)
			station->screen.asking = false;
		const struct lt_live_input input = input_of(result, &line);
		changed = lt_live_input(station->live, &input);
	}
}

static enum lt_live_end run(struct station *station, enum lt_stage stage)
{
	struct verification *verification = station->verification;
	struct lt_session *session = verification->session;
	const struct options *options = verification->options;
	const struct keys_options how = {
		.in = STDIN_FILENO,
		.echo = station->screen.terminal ? STDOUT_FILENO : -1,
		.device = options->device,
		.is_scan = is_scan,
		.data = station,
	};
	lt_session_print_diags(session);
	lt_who_recall(&station->remembered, verification->database, &verification->diags->arena);
	const struct lt_live_options live = {
		.tags = &session->tags,
		.lookalikes = (const struct lt_lookalikes *const *)&session->lookalikes,
		.work = verification->work,
		.scans = &verification->scans,
		.diags = verification->diags,
		.attended = station->screen.terminal,
		.stage = stage,
		.new_job = options->new_job,
		.changed = options->changed,
		.who = who,
		.keep_name = keep_name,
		.suggested = station->remembered.name != NULL && options->who == NULL
				     ? station->remembered.name
				     : lt_job_who(options, &verification->diags->arena),
		.reread = reread,
		.data = station,
	};
	struct keys *keys = lt_keys_open(&how, verification->diags);
	if (keys == NULL)
		return LT_LIVE_FAILED;
	station->live = lt_live_create(&live);
	const enum lt_live_end end = converse(station, keys);
	lt_live_destroy(station->live);
	lt_live_screen_end_line(&station->screen);
	lt_keys_close(keys);
	return end;
}

int lt_verify_live(struct verification *verification, enum lt_stage stage)
{
	const struct options *options = verification->options;
	const bool terminal = isatty(STDOUT_FILENO) == 1 && isatty(STDIN_FILENO) == 1;
	if (!lt_verification_open(verification, !options->no_job))
		return verification->asked != 0 ? EXIT_INPUT : EXIT_SYSTEM;
	if (!terminal && !options->new_job && lt_work_has_job(verification->work)) {
		const enum lt_stage present = lt_job_state_stage(lt_work_state(verification->work));
		if (!lt_verification_may_go_on(verification,
			    stage != LT_STAGE_COUNT ? stage : present))
			return EXIT_NO;
	}
	/* With --json the conversation goes to stderr, and stdout carries the document alone. */
	struct station station = {
		.verification = verification,
		.screen = { .out = options->json ? stderr : stdout,
			.terminal = terminal && !options->json,
			.colour = options->json ? options->colour_err : options->colour_out },
	};
	return end_code(verification, run(&station, stage));
}
