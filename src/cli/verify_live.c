#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/job_options.h"
#include "cli/live.h"
#include "cli/verify_live.h"
#include "cli/verify_result.h"
#include "cli/who.h"

static const char *full_path(struct lt_arena *arena, const char *path)
{
	char *real = realpath(path, NULL);
	const char *kept = lt_arena_strdup(arena, real != NULL ? real : path);
	free(real);
	return kept;
}

/* Reads description and register again, into the same session. */
static bool reread(void *data)
{
	struct verification *verification = data;
	if (!lt_session_read_again(verification->session))
		return false;
	lt_work_describe(verification->work, &verification->session->tags);
	return true;
}

/* --who, or what this terminal was told in the same job; else it is asked for. */
static const char *who(void *data, unsigned long long job)
{
	struct verification *verification = data;
	const struct lt_session *session = verification->session;
	struct lt_arena *arena = &verification->session->diags.arena;
	struct who_remembered remembered;
	if (session->options->who != NULL || session->options->no_job)
		return lt_job_who(session->options, arena);
	lt_who_recall(&remembered, arena);
	const char *database = full_path(arena, verification->database);
	return job != 0 && remembered.job == job && strcmp(remembered.database, database) == 0
		       ? remembered.name
		       : NULL;
}

static void is(void *data, const char *name, unsigned long long job)
{
	struct verification *verification = data;
	const struct lt_session *session = verification->session;
	struct lt_arena *arena = &verification->session->diags.arena;
	if (session->options->who == NULL && job != 0 && isatty(STDIN_FILENO) == 1)
		lt_who_remember(name, full_path(arena, verification->database), job);
}

/* Offered where the name is asked for: what this terminal was told last. */
static const char *suggest(struct verification *verification)
{
	struct lt_arena *arena = &verification->session->diags.arena;
	struct who_remembered remembered = { 0 };
	if (verification->session->options->who == NULL)
		lt_who_recall(&remembered, arena);
	return remembered.name != NULL ? remembered.name
				       : lt_job_who(verification->session->options, arena);
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
	const bool json = verification->session->options->json;
	unsigned no = 0;
	if (end == LT_LIVE_FAILED)
		return EXIT_SYSTEM;
	if (end == LT_LIVE_REFUSED)
		return lt_verification_say_changed(verification);
	lt_session_tell(verification->session);
	verification->left = end != LT_LIVE_MADE;
	if (json && lt_work_has_job(verification->work))
		return lt_verification_tell(verification);
	if (end != LT_LIVE_MADE)
		return EXIT_NO;
	const struct lt_job_state *state = lt_work_state(verification->work);
	if (lt_job_state_closed(state))
		return was_closed_as_done(verification->work) ? EXIT_YES : EXIT_NO;
	if (!lt_work_answer(&no, verification->work, lt_job_state_stage(state),
		    &verification->session->diags))
		return EXIT_SYSTEM;
	return no == 0 ? EXIT_YES : EXIT_NO;
}

static enum lt_live_end run(struct verification *verification, enum lt_stage stage, bool terminal)
{
	struct lt_session *session = verification->session;
	const struct options *options = session->options;
	const struct lt_lookalikes *const *lookalikes =
		(const struct lt_lookalikes *const *)&session->lookalikes;
	/* With --json the conversation goes to stderr, and stdout carries the document alone. */
	const struct lt_live live = {
		.in = STDIN_FILENO,
		.out = options->json ? stderr : stdout,
		.tags = &session->tags,
		.lookalikes = lookalikes,
		.work = verification->work,
		.stage = stage,
		.fresh = options->new_job,
		.changed = options->changed,
		.scans = &verification->scans,
		.options = {
			.terminal = terminal && !options->json,
			.colour = options->json ? options->colour_err : options->colour_out,
			.bell = terminal,
			.device = options->device,
		},
		.diags = &session->diags,
		.who = who,
		.is = is,
		.suggested = suggest(verification),
		.reread = reread,
		.data = verification,
	};
	lt_session_tell(session);
	return lt_live_run(&live);
}

int lt_verify_live(struct verification *verification, enum lt_stage stage)
{
	struct lt_session *session = verification->session;
	const struct options *options = session->options;
	const bool terminal = isatty(STDOUT_FILENO) == 1 && isatty(STDIN_FILENO) == 1;
	const char *user = lt_job_who(options, &session->diags.arena);
	if (!lt_verification_open(verification, user, !options->no_job))
		return verification->asked != 0 ? EXIT_INPUT : EXIT_SYSTEM;
	if (!terminal && !options->new_job && lt_work_has_job(verification->work)) {
		const enum lt_stage present = lt_job_state_stage(lt_work_state(verification->work));
		if (!lt_verification_may_go_on(verification,
			    stage != LT_STAGE_COUNT ? stage : present))
			return EXIT_NO;
	}
	return end_code(verification, run(verification, stage, terminal));
}
