#include "verification.h"

#include "job_options.h"
#include "job_words.h"
#include "loomtag/length.h"

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
		bool taken;
		struct lt_diags *diags = &verification->session->diags;
		if (!lt_work_scan(verification->work, &taken, &given, scan, length, diags))
			return false;
		if (!taken) {
			lt_error(diags, lt_place_file(verification->session->path),
				"the job was taken to another stage, or closed, by another terminal");
			return false;
		}
		const struct lt_job_event *events = lt_work_events(verification->work, &count);
		lt_verify_log_note(log, line, scan, length, given, events[count - 1].id);
	}
	if (answer != NULL)
		*answer = given;
	return true;
}

static const char *minute(struct lt_arena *arena, long long at)
{
	struct lt_text text = { 0 };
	job_add_minute(&text, at);
	const char *kept = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return kept;
}

bool verification_goes_on(const struct verification *verification, enum lt_stage stage)
{
	const long long half_a_day = 12LL * 60 * 60 * 1000;
	struct session *session = verification->session;
	struct lt_work *work = verification->work;
	const struct lt_place place = lt_place_file(session->path);
	const size_t before = lt_work_resumed(work);
	size_t count;
	const struct lt_job_event *events = lt_work_events(work, &count);
	unsigned named;
	if (before == 0)
		return true;
	const struct lt_job_state *state = lt_work_state(work);
	const long long last = events[before - 1].at;
	const char *begun = minute(&session->diags.arena, events[0].at);
	const bool asked = session->options->job != NULL &&
			   lt_whole_read(&named, session->options->job, 1000000000) &&
			   named == lt_work_job(work);
	if (session->options->job != NULL && !asked) {
		lt_error(&session->diags, place, "the open job of this unit is job %llu, not %s",
			lt_work_job(work), session->options->job);
	} else if (!asked && (job_now() - last > half_a_day || last - job_now() > half_a_day)) {
		lt_error(&session->diags, place,
			"job %llu, begun %s, was left at %s: that is too long ago to go on with it "
			"unasked",
			lt_work_job(work), begun, minute(&session->diags.arena, last));
		lt_hint(&session->diags, "--job %llu goes on with it, --new begins another",
			lt_work_job(work));
	} else if (stage != LT_STAGE_FINISH && stage != LT_STAGE_UNPLUG &&
		   lt_job_state_ok(state, stage)) {
		lt_error(&session->diags, place,
			"stage %s of job %llu, begun %s, is done already: an answer now would be one of "
			"old scans",
			lt_stage_name(stage), lt_work_job(work), begun);
		lt_hint(&session->diags,
			"--new begins another job, --stage goes on with a later stage");
	} else {
		lt_warning(&session->diags, place, "goes on with job %llu, begun %s",
			lt_work_job(work), begun);
		return true;
	}
	return false;
}
