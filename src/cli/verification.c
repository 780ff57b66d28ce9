/* A verification of scans, from wherever they come: job, description and answer. */
#include <stdlib.h>

#include "cli/job_options.h"
#include "cli/verification.h"
#include "loomtag/words.h"

static struct lt_place place_of(const struct verification *verification)
{
	return lt_place_file(verification->session->path);
}

bool lt_verification_open(struct verification *verification, bool kept)
{
	struct lt_session *session = verification->session;
	const struct options *options = verification->options;
	struct lt_arena *arena = &verification->diags->arena;
	verification->database = kept ? lt_job_database(options, session->path, arena) : NULL;
	const struct lt_work_options work = {
		.db = verification->database,
		.job = kept ? verification->asked : 0,
		.new_job = options->new_job,
		.typed = options->typed,
	};
	verification->work = lt_work_open(&session->tags, &work, lt_job_who(options, arena),
		verification->diags);
	return verification->work != NULL;
}

bool lt_verification_scan(struct verification *verification, struct lt_answer *answer,
	unsigned line, const char *scan, size_t length)
{
	bool taken;
	if (!lt_work_scan(verification->work, &taken, answer, scan, length, verification->diags))
		return false;
	if (!taken) {
		lt_error(verification->diags, place_of(verification),
			"another terminal changed the stage or the description of this job, or "
			"closed it");
		lt_hint(verification->diags,
			"give the scans from line %u on again: they are not recorded", line);
		return false;
	}
	lt_live_scans_add(&verification->scans, verification->work, line);
	return true;
}

static const char *minute(struct lt_arena *arena, long long at)
{
	struct lt_text text = { 0 };
	lt_job_add_minute(&text, at);
	const char *kept = lt_arena_strdup(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return kept;
}

/* An old job is not taken for today's. */
static bool is_recent(const struct verification *verification, const char *opened)
{
	const long long half_a_day = 12LL * 60 * 60 * 1000;
	const unsigned long long job = lt_work_job(verification->work);
	size_t count;
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	const long long last = events[lt_work_resumed(verification->work) - 1].at;
	if (verification->asked != 0 || llabs(lt_job_now() - last) <= half_a_day)
		return true;
	lt_error(verification->diags, place_of(verification),
		"job %llu, opened %s, was last used %s: too long ago to continue it without --job",
		job, opened, minute(&verification->diags->arena, last));
	lt_hint(verification->diags, "continue it with --job %llu, or start a new job with --new",
		job);
	return false;
}

/* Nor are old scans an answer now. */
static bool is_open(const struct verification *verification, enum lt_stage stage)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	if (stage == LT_STAGE_FINISH || lt_work_differs(verification->work) ||
		!lt_job_state_ok(lt_work_state(verification->work), stage))
		return true;
	lt_error(verification->diags, place_of(verification),
		"stage %s of job %llu, opened %s, is done already by earlier scans: nothing was "
		"checked now",
		lt_stage_name(stage), lt_work_job(verification->work),
		minute(&verification->diags->arena, events[0].at));
	lt_hint(verification->diags,
		"start a new job with --new, or give a later stage with --stage");
	return false;
}

/* Names the job in a warning; an error says why not. */
bool lt_verification_may_go_on(const struct verification *verification, enum lt_stage stage)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	const char *opened = minute(&verification->diags->arena, events[0].at);
	/* At stage unplug it is for the person to say whether more comes apart. */
	if (!is_recent(verification, opened) ||
		(stage != LT_STAGE_UNPLUG && !is_open(verification, stage)))
		return false;
	if (!lt_work_differs(verification->work) || verification->options->changed)
		lt_warning(verification->diags, place_of(verification),
			"continues job %llu, opened %s", lt_work_job(verification->work), opened);
	return true;
}

int lt_verification_refuse_changed(struct verification *verification)
{
	lt_error(verification->diags, place_of(verification),
		"the description or its numbers have changed since job %llu was opened",
		lt_work_job(verification->work));
	lt_hint(verification->diags,
		"read the list above. Then use the new description with --changed, or start a new "
		"job with --new");
	return EXIT_INPUT;
}

/* True where nothing counts that was recorded. */
static bool list_changes(const struct verification *verification)
{
	const struct lt_plan_change *changes;
	bool voids_all;
	const size_t count = lt_work_changes(verification->work, &changes, &voids_all);
	struct lt_text words = { 0 };
	for (size_t i = 0; i < count; i++) {
		lt_text_clear(&words);
		lt_plan_change_words(&words, &changes[i]);
		lt_warning(verification->diags, place_of(verification), "%s",
			lt_text_string(&words));
		if (changes[i].kind == LT_PLAN_NUMBER)
			lt_hint(verification->diags,
				"print the stickers of %u again and remove the old stickers",
				changes[i].number);
	}
	if (voids_all)
		lt_warning(verification->diags, place_of(verification),
			"job %llu does not say which description it used. Nothing recorded in it "
			"counts: every joint is asked for again",
			lt_work_job(verification->work));
	lt_text_finish(&words);
	return voids_all;
}

/* The plan in force is not the description as it is now. */
static int take_changes(struct verification *verification)
{
	if (!lt_work_differs(verification->work))
		return EXIT_YES;
	const bool voids_all = list_changes(verification);
	if (verification->options->changed)
		return lt_work_replan(verification->work, verification->diags) ? EXIT_YES
									       : EXIT_SYSTEM;
	if (!voids_all)
		return lt_verification_refuse_changed(verification);
	lt_error(verification->diags, place_of(verification),
		"job %llu cannot be continued without --changed", lt_work_job(verification->work));
	lt_hint(verification->diags,
		"use this description with --changed, or start a new job with --new");
	return EXIT_INPUT;
}

/* A job that follows on a closed one is named, so that nobody takes the one for the other. */
static int begin_job(struct verification *verification)
{
	struct lt_job closed;
	if (!lt_work_last_closed(&closed, verification->work, &verification->diags->arena,
		    verification->diags) ||
		!lt_work_begin(verification->work, verification->diags))
		return EXIT_SYSTEM;
	if (closed.id != 0)
		lt_warning(verification->diags, place_of(verification),
			"job %llu is closed: this starts job %llu", closed.id,
			lt_work_job(verification->work));
	return EXIT_YES;
}

int lt_verification_begin(struct verification *verification, enum lt_stage stage)
{
	struct lt_work *work = verification->work;
	if (verification->options->new_job || !lt_work_has_job(work))
		return begin_job(verification);
	if (!lt_verification_may_go_on(verification, stage))
		return EXIT_NO;
	const int code = take_changes(verification);
	if (code != EXIT_YES)
		return code;
	return is_open(verification, stage) ? EXIT_YES : EXIT_NO;
}
