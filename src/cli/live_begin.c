/* Which job this is about, and by which description it is judged. */
#include "cli/live_session.h"
#include "loomtag/words.h"

static void tell_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	struct lt_text words = { 0 };
	lt_text_printf(&words, "Going on with job %llu, begun ", lt_work_job(live->work));
	lt_job_add_minute(&words, events[0].at);
	lt_text_printf(&words, ", stage %s", lt_stage_name(lt_live_stage(live)));
	if (lt_live_machine(live) != NULL)
		lt_text_printf(&words, ", %zu of %zu", lt_verify_made_count(lt_live_machine(live)),
			lt_verify_needed_count(lt_live_machine(live)));
	lt_text_add(&words, "; the last scan or word was of ");
	lt_job_add_minute(&words, events[lt_work_resumed(live->work) - 1].at);
	lt_text_add_char(&words, '.');
	lt_live_add(&session->text, live, LIVE_WAIT, "", lt_text_string(&words), 0);
	lt_live_show(live, &session->text);
	lt_text_finish(&words);
}

/* What was answered to a question with words. */
enum choice { CHOICE_YES, CHOICE_NEW, CHOICE_QUIT };

/* A job that stopped half-way is gone on with, but not by mistake: what was made in an old job
 * would be taken for made today. */
static enum choice ask_to_resume(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	lt_live_clear(&session->text, live);
	lt_live_add_title(&session->text, live);
	tell_job(session);
	if (!live->options.terminal)
		return CHOICE_YES;
	for (;;) {
		if (!lt_live_read(session, &line,
			    "Enter goes on with it; new begins another and closes this one; quit: ") ||
			lt_live_is_word(&line, "quit"))
			return CHOICE_QUIT;
		if (lt_live_is_word(&line, "new"))
			return CHOICE_NEW;
		if (*lt_live_past_spaces(line.bytes) == '\0' || lt_live_is_word(&line, "yes"))
			return CHOICE_YES;
	}
}

/* One that is closed is done: whoever starts the program again may want its record, and no other
 * job. */
static enum choice ask_to_begin_another(struct live_session *session, const struct lt_job *closed)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	struct lt_text words = { 0 };
	lt_text_printf(&words, "Job %llu of %s was closed ", closed->id, closed->code);
	lt_job_add_minute(&words, closed->last);
	lt_text_printf(&words, ". loomtag record FILE -o record.pdf writes its record.");
	lt_live_clear(&session->text, live);
	lt_live_add_title(&session->text, live);
	lt_live_add(&session->text, live, LIVE_WAIT, "", lt_text_string(&words), 0);
	lt_text_finish(&words);
	lt_live_show(live, &session->text);
	for (;;) {
		if (!lt_live_read(session, &line,
			    "new begins another job of this unit, quit ends here: ") ||
			lt_live_is_word(&line, "quit"))
			return CHOICE_QUIT;
		if (lt_live_is_word(&line, "new"))
			return CHOICE_NEW;
	}
}

static enum choice choose_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct lt_arena arena = { 0 };
	struct lt_job closed;
	enum choice choice = CHOICE_NEW;
	if (lt_work_has_job(live->work))
		return ask_to_resume(session);
	if (!lt_work_last_closed(&closed, live->work, &arena, live->diags)) {
		session->failed = true;
		choice = CHOICE_QUIT;
	} else if (closed.id != 0 && live->options.terminal) {
		choice = ask_to_begin_another(session, &closed);
	}
	lt_arena_finish(&arena);
	return choice;
}

void lt_live_add_changes(struct lt_text *out, const struct lt_live *live,
	const struct lt_plan_change *changes, size_t count)
{
	struct lt_text words = { 0 };
	for (size_t i = 0; i < count; i++) {
		lt_text_clear(&words);
		lt_plan_change_words(&words, &changes[i]);
		lt_live_add(out, live, changes[i].voids ? LIVE_WRONG : LIVE_PLAIN, "  - ",
			lt_text_string(&words), 0);
	}
	lt_text_finish(&words);
}

/* Shows how the description here differs from what the job is judged by. */
static void show_changes(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const struct lt_plan_change *changes;
	bool voids_all;
	const size_t count = lt_work_changes(live->work, &changes, &voids_all);
	lt_live_clear(&session->text, live);
	lt_live_add_title(&session->text, live);
	lt_live_add(&session->text, live, LIVE_WRONG, "!!  ",
		voids_all
			? "This job does not say which description it was checked against. Nothing "
			  "that was recorded counts: every joint is asked for again."
			: "THE DESCRIPTION HAS CHANGED since this job was last worked on:",
		0);
	lt_live_add_changes(&session->text, live, changes, count);
	lt_live_show(live, &session->text);
}

bool lt_live_take_changes(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	while (lt_work_differs(live->work)) {
		show_changes(session);
		if (!live->options.terminal) {
			session->refused = true;
			return false;
		}
		if (!lt_live_read(session, &line,
			    "yes goes on by this description, again reads the file again, quit: ") ||
			lt_live_is_word(&line, "quit"))
			return false;
		if (lt_live_is_word(&line, "again") && live->reread != NULL)
			live->reread(live->data);
		if (lt_live_is_word(&line, "yes") && !lt_work_replan(live->work, live->diags))
			session->failed = true;
		if (session->failed)
			return false;
	}
	return true;
}

/* The name that was typed, or the one that was offered; in the diagnostics' arena, which outlives
 * the work. */
static const char *read_name(const struct lt_live *live, const struct keys_line *line)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, line->bytes, line->length);
	const char *name = clean.length > 0
				   ? lt_arena_strdup(&live->diags->arena, lt_text_string(&clean))
				   : live->suggested;
	lt_text_finish(&clean);
	return name;
}

/* A scan, or an answer to another question, which was typed too soon. */
static bool is_no_name(const struct keys_line *line)
{
	struct lt_scan scan;
	lt_scan_read(&scan, line->bytes, line->length);
	if (scan.kind != LT_SCAN_MISREAD)
		return true;
	static const char *const words[] = { "yes", "no", "new", "next", "back", "again", "help" };
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (lt_live_is_word(line, words[i]))
			return true;
	return false;
}

/* Who works here goes into the record, which somebody signs. False on quit. */
static bool ask_who(struct live_session *session, unsigned long long job, const char **name)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	if (live->who == NULL)
		return true;
	*name = live->who(live->data, job);
	if (*name == NULL && !live->options.terminal)
		*name = live->suggested;
	if (*name != NULL)
		return true;
	lt_live_clear(&session->text, live);
	lt_live_add_title(&session->text, live);
	lt_live_add(&session->text, live, LIVE_PLAIN, "",
		"Who works here? The name goes into the record of this job.", 0);
	lt_live_addf(&session->text, live, LIVE_PLAIN, "", "Enter alone takes %s.",
		live->suggested);
	lt_live_show(live, &session->text);
	do {
		if (!lt_live_read(session, &line, "Your name, or quit: ") ||
			lt_live_is_word(&line, "quit"))
			return false;
	} while (is_no_name(&line));
	*name = read_name(live, &line);
	return true;
}

/* Remembered with the job that the name is for. */
static bool begin_new(const struct lt_live *live, const char *name)
{
	if (!lt_work_begin(live->work, live->diags))
		return false;
	if (live->is != NULL)
		live->is(live->data, name, lt_work_job(live->work));
	return true;
}

enum lt_live_end lt_live_begin_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const enum choice choice = live->fresh ? CHOICE_NEW : choose_job(session);
	const char *name = NULL;
	if (choice == CHOICE_QUIT ||
		!ask_who(session, choice == CHOICE_NEW ? 0 : lt_work_job(live->work), &name))
		return LT_LIVE_LEFT;
	if (name != NULL)
		lt_work_is(live->work, name);
	if (choice == CHOICE_NEW)
		return begin_new(live, name) ? LT_LIVE_MADE : LT_LIVE_FAILED;
	if (live->is != NULL)
		live->is(live->data, name, lt_work_job(live->work));
	if (live->changed && lt_work_differs(live->work)) {
		show_changes(session);
		if (!lt_work_replan(live->work, live->diags))
			return LT_LIVE_FAILED;
	}
	if (lt_live_take_changes(session))
		return LT_LIVE_MADE;
	return session->refused ? LT_LIVE_REFUSED : LT_LIVE_LEFT;
}
