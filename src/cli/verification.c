#include "verification.h"

#include "job_options.h"

struct lt_work *verification_open_job(struct session *session, bool fresh)
{
	const struct options *options = session->options;
	struct lt_arena *arena = &session->diags.arena;
	const struct lt_work_options work = {
		.db = options->no_job ? NULL : job_database(options, session->path, arena),
		.who = job_who(options, arena),
		.fresh = fresh,
		.typed = options->typed,
	};
	return lt_work_open(&session->tags, &work, &session->diags);
}

void verification_read_job(struct verification *verification)
{
	const struct lt_job_state *state = lt_work_state(verification->work);
	const enum lt_stage stage = lt_job_state_stage(state);
	verification->machine =
		lt_job_state_machine(state, stage == LT_STAGE_FINISH ? LT_STAGE_RECONNECT : stage);
	verification->plan = *lt_verify_plan(verification->machine);
	verification->plan.stage = stage;
	verification->connectors = lt_arena_array(&verification->session->diags.arena,
		verification->plan.joint_count, sizeof(*verification->connectors));
	for (size_t i = 0; i < verification->plan.joint_count; i++)
		verification->connectors[i] = lt_job_state_connector(state, i);
}

bool verification_scan(struct verification *verification, struct lt_answer *answer, unsigned line,
	const char *scan, size_t length)
{
	struct lt_answer given;
	struct lt_verify_log *log = &verification->log;
	if (verification->work == NULL) {
		given = lt_verify_log_feed(log, verification->feeds, line, scan, length);
	} else {
		size_t count;
		if (!lt_work_scan(verification->work, &given, scan, length,
			    &verification->session->diags))
			return false;
		const struct lt_job_event *events = lt_work_events(verification->work, &count);
		lt_verify_log_note(log, line, scan, length, given, events[count - 1].id);
	}
	if (answer != NULL)
		*answer = given;
	return true;
}
