#include "verify_live.h"

#include <unistd.h>

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
	const bool terminal = isatty(STDOUT_FILENO) == 1 && isatty(STDIN_FILENO) == 1;
	bool fresh = session->options->new_job;
	for (;;) {
		verification->work = verification_open_job(session, fresh);
		if (verification->work == NULL)
			return session_fail(session, EXIT_SYSTEM);
		if (!terminal &&
			!verification_goes_on(verification,
				stage != LT_STAGE_COUNT
					? stage
					: lt_job_state_stage(lt_work_state(verification->work)))) {
			lt_work_close(verification->work);
			return session_fail(session, EXIT_NO);
		}
		const enum lt_live_end end = run(verification, verification->work, stage);
		if (end != LT_LIVE_ANEW) {
			verification_read_job(verification);
			const int code = end_code(verification, end);
			lt_work_close(verification->work);
			return code;
		}
		lt_work_close(verification->work);
		fresh = true;
	}
}
