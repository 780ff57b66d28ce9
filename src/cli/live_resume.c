/* Whether an open job is gone on with. */
#include "job_words.h"
#include "live_session.h"

static void tell_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	struct lt_text words = { 0 };
	lt_text_printf(&words, "Going on with job %llu, begun ", lt_work_job(live->work));
	job_add_minute(&words, events[0].at);
	lt_text_printf(&words, ", stage %s, %zu of %zu; the last scan or word was of ",
		lt_stage_name(live_stage(live)), lt_verify_made_count(live_machine(live)),
		lt_verify_needed_count(live_machine(live)));
	job_add_minute(&words, events[lt_work_resumed(live->work) - 1].at);
	lt_text_add_char(&words, '.');
	live_add(&session->text, live, LIVE_WAIT, "", lt_text_string(&words), 0);
	if (lt_job_state_changed(lt_work_state(live->work)) > 0)
		live_add(&session->text, live, LIVE_WRONG, "!!  ",
			"The description has changed since: what was scanned may mean something else "
			"now, and such joints are open again.",
			0);
	live_show(live, &session->text);
	lt_text_finish(&words);
}

/* A job that stopped half-way is gone on with, but not by mistake: what was made in an old job
 * would be taken for made today. */
enum lt_live_end live_resume(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	live_clear(&session->text, live);
	live_add_head(&session->text, live);
	tell_job(session);
	if (!live->options.terminal)
		return LT_LIVE_MADE;
	for (;;) {
		if (!live_read(session, &line,
			    "Enter goes on with it; new begins another and closes this one; quit: ") ||
			live_is_word(&line, "quit"))
			return LT_LIVE_LEFT;
		if (live_is_word(&line, "new"))
			return LT_LIVE_ANEW;
		if (*live_past_spaces(line.bytes) == '\0' || live_is_word(&line, "yes"))
			return LT_LIVE_MADE;
	}
}
