/* Stage finish: every line looked at and ticked, one after the other. */
#include "cli/live_session.h"

static size_t next_line(const struct lt_job_state *state)
{
	size_t line = 0;
	while (line < lt_job_state_lines(state) && lt_job_state_ticked(state, line) != LT_NONE)
		line++;
	return line;
}

static void ask_line(struct live_session *session, size_t line)
{
	const struct lt_live *live = session->live;
	const struct lt_job_state *state = lt_work_state(live->work);
	size_t ticked = 0;
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		ticked += lt_job_state_ticked(state, i) != LT_NONE;
	if (live->options.terminal) {
		lt_live_clear(&session->text, live);
		lt_live_add_head(&session->text, live);
		lt_text_add_char(&session->text, '\n');
	}
	lt_live_add_said(&session->text, live, &session->said);
	lt_live_add(&session->text, live, LIVE_WAIT, "",
		"Energy is restored last, with tools out, covers closed and everyone told, by those "
		"whom local codes and your permit to work allow.",
		0);
	if (!lt_job_state_ok(state, LT_STAGE_RECONNECT))
		lt_live_add_open(&session->text, live);
	lt_live_addf(&session->text, live, LIVE_PLAIN, "", "%zu of %zu ticked.", ticked,
		lt_job_state_lines(state));
	lt_live_add(&session->text, live, LIVE_STRONG, "  [ ] ",
		lt_job_state_line(state, line)->text, 0);
	lt_text_add(&session->text, live->options.terminal ? "\n" : "");
	lt_live_show(live, &session->text);
}

void lt_live_finish_lines(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const struct lt_job_state *state = lt_work_state(live->work);
	struct keys_line line = { .length = 0 };
	size_t next;
	while (lt_live_look_up(session) && (next = next_line(state)) < lt_job_state_lines(state)) {
		bool done, draw;
		ask_line(session, next);
		if (!lt_live_read_or_wake(session, &line,
			    "Type yes when it is so (quit stops): ")) {
			session->quit = true;
			return;
		}
		if (session->woken)
			continue;
		if (lt_live_is_word(&line, "yes")) {
			if (!lt_work_tick(live->work, &done, next, live->diags)) {
				session->failed = true;
				return;
			}
			lt_live_say(session, done ? LT_TONE_GOOD : LT_TONE_WAIT,
				done ? "Ticked." : "It was ticked already, or the job was moved.");
			continue;
		}
		lt_live_say(session, LT_TONE_WAIT, "Only yes ticks a line; quit stops here.");
		if (lt_live_take_word(session, &line, &draw) &&
			(session->quit || session->onward || session->failed))
			return;
	}
}
