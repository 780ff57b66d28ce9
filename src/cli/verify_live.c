#include "verify_live.h"

#include <unistd.h>

#include "job_options.h"
#include "live.h"
#include "verify_result.h"

static int end_code(struct verification *verification, enum lt_live_end end)
{
	const bool json = verification->session->options->json;
	if (end == LT_LIVE_FAILED)
		return session_fail(verification->session, EXIT_SYSTEM);
	session_tell(verification->session);
	if (json && verification_print_json(verification) != EXIT_YES)
		return EXIT_SYSTEM;
	return end == LT_LIVE_MADE && verification_answer(verification) ? EXIT_YES : EXIT_NO;
}

/* Where the job stands, as the result shows it. */
static void read_result(struct verification *verification, const struct lt_work *work)
{
	const struct lt_job_state *state = lt_work_state(work);
	const enum lt_stage stage = lt_job_state_stage(state);
	verification->job = state;
	verification->machine =
		lt_job_state_machine(state, stage == LT_STAGE_FINISH ? LT_STAGE_RECONNECT : stage);
	verification->plan = *lt_verify_plan(verification->machine);
	verification->plan.stage = stage;
	verification->connectors = lt_arena_array(&verification->session->diags.arena,
		verification->plan.joint_count, sizeof(*verification->connectors));
	for (size_t i = 0; i < verification->plan.joint_count; i++)
		verification->connectors[i] = lt_job_state_connector(state, i);
}

static enum lt_live_end run(struct verification *verification, struct lt_work *work,
	enum lt_stage stage)
{
	struct session *session = verification->session;
	const struct options *options = session->options;
	const bool terminal = isatty(STDOUT_FILENO) == 1 && isatty(STDIN_FILENO) == 1;
	/* With --json the conversation goes to stderr, and stdout carries the document alone. */
	const struct lt_live live = {
		.in = STDIN_FILENO,
		.out = options->json ? stderr : stdout,
		.tags = &session->tags,
		.lookalikes = session->lookalikes,
		.work = work,
		.stage = stage,
		.log = &verification->log,
		.options = {
			.terminal = terminal && !options->json,
			.colour = options->json ? options->colour_err : options->colour_out,
			.bell = terminal,
			.device = options->device,
		},
		.diags = &session->diags,
	};
	session_tell(session);
	return lt_live_run(&live);
}

int verify_live(struct verification *verification, enum lt_stage stage)
{
	struct session *session = verification->session;
	const struct options *options = session->options;
	struct lt_work_options work_options = {
		.db = options->no_job ? NULL
				      : job_database(options, session->path, &session->diags.arena),
		.who = job_who(options, &session->diags.arena),
		.fresh = options->new_job,
		.typed = options->typed,
	};
	for (;;) {
		struct lt_work *work = lt_work_open(&session->tags, &work_options, &session->diags);
		if (work == NULL)
			return session_fail(session, EXIT_SYSTEM);
		const enum lt_live_end end = run(verification, work, stage);
		if (end != LT_LIVE_ANEW) {
			read_result(verification, work);
			const int code = end_code(verification, end);
			lt_work_close(work);
			return code;
		}
		lt_work_close(work);
		work_options.fresh = true;
	}
}
