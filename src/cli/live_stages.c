/* From stage to stage. */
#include "cli/live_session.h"

bool lt_live_stage_ok(const struct lt_live *live)
{
	return lt_job_state_ok(lt_work_state(live->work), lt_live_stage(live));
}

static void end_stage(struct live_session *session)
{
	const struct lt_live *live = session->live;
	unsigned no;
	if (!lt_work_answer(&no, live->work, lt_live_stage(live), live->diags)) {
		session->failed = true;
		return;
	}
	if (no == 0) {
		lt_live_clear(&session->text, live);
		lt_live_add_said(&session->text, live, &session->said);
	} else if (live->options.terminal) {
		lt_text_add_char(&session->text, '\n');
	}
	lt_live_add_end(&session->text, live, no == 0);
	lt_live_show(live, &session->text);
}

/* How many joints nobody noted as apart, so that nobody asks for them. */
static void warn_of_left(struct live_session *session)
{
	const struct lt_verify *machine = lt_live_machine(session->live);
	const size_t needed = lt_verify_needed_count(machine);
	const size_t all = lt_verify_plan(machine)->joint_count;
	if (needed < all)
		lt_text_printf(&session->said.words,
			" %zu of %zu joints are asked for; the others were not noted as apart.",
			needed, all);
}

/* The joints that nothing proved while all was plugged in. */
static void warn_of_unproven(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const struct lt_job_state *state = lt_work_state(live->work);
	const enum lt_stage_standing tagged = lt_job_state_standing(state, LT_STAGE_TAG);
	struct lt_text *words = &session->said.words;
	size_t unproven = 0;
	if (lt_job_state_joints(state) == 0 || lt_verify_made_count(lt_live_machine(live)) > 0)
		return;
	if (tagged != LT_STANDING_BEGUN && tagged != LT_STANDING_DONE) {
		lt_text_add(words,
			" No pair was proven while all was plugged in: nothing shows that the stickers "
			"were on the right halves.");
		return;
	}
	for (size_t i = 0; i < lt_job_state_joints(state); i++) {
		if (lt_job_state_history(state, i).proven != LT_NONE ||
			!lt_verify_needed(lt_live_machine(live), i))
			continue;
		lt_text_printf(words, "%s%u",
			unproven++ > 0 ? ", " : " Not proven while plugged in: ",
			lt_verify_plan(lt_live_machine(live))->joints[i].number);
	}
	if (unproven > 0)
		lt_text_add(words,
			". Their stickers may be on wrong halves: look at those joints.");
}

void lt_live_warn_of_joints(struct live_session *session)
{
	if (lt_live_stage(session->live) != LT_STAGE_RECONNECT)
		return;
	warn_of_unproven(session);
	warn_of_left(session);
}

bool lt_live_begin_stage(struct live_session *session, enum lt_stage stage)
{
	const struct lt_live *live = session->live;
	if (!lt_work_stage(live->work, stage, "a later stage was begun", live->diags)) {
		session->failed = true;
		return false;
	}
	session->onward = false;
	lt_live_warn_of_joints(session);
	return true;
}

/* Everything is done: so is the job. */
static void close_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!lt_work_finish(live->work, NULL, live->diags)) {
		session->failed = true;
		return;
	}
	const struct lt_job_state *state = lt_work_state(live->work);
	/* Also where another terminal opened a joint at the last moment. */
	if (!lt_job_state_closed(state)) {
		lt_live_add_why_open(&session->text, live);
		lt_live_show(live, &session->text);
		return;
	}
	if (lt_work_job(live->work) != 0)
		lt_live_addf(&session->text, live, LIVE_STRONG, "",
			"Job %llu is closed: loomtag record FILE -o record.pdf writes its record.",
			lt_work_job(live->work));
	lt_live_show(live, &session->text);
}

/* The person who did something of this kind last; "?" where nobody did. */
static const char *who_did(const struct lt_live *live, enum lt_job_event_kind kind)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	while (count > 0 && events[count - 1].kind != kind)
		count--;
	return count > 0 ? events[count - 1].who : "?";
}

static void show_closed(struct live_session *session)
{
	const struct lt_live *live = session->live;
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	const char *reason = count > 0 ? events[count - 1].text : NULL;
	lt_live_addf(&session->text, live, LIVE_WRONG, "!!  ",
		"JOB CLOSED at another terminal by %s: %s. Nothing more is scanned for it.",
		who_did(live, LT_JOB_CLOSED), reason != NULL ? reason : "all was done");
}

/* What another terminal's description changed. */
static void show_new_plans(struct live_session *session, size_t first, size_t count)
{
	const struct lt_live *live = session->live;
	const struct lt_job_state *state = lt_work_state(live->work);
	lt_live_addf(&session->text, live, LIVE_WRONG, "!!  ",
		"THE DESCRIPTION HAS CHANGED at another terminal, by %s:",
		who_did(live, LT_JOB_PLAN));
	for (size_t i = 0; i < count; i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, first + i);
		lt_live_add_changes(&session->text, live, replan->changes, replan->change_count);
	}
	lt_live_add(&session->text, live, LIVE_WRONG, "    ",
		"Nothing is taken before you press Enter here.", 0);
}

/* Says what others did to the job, and asks to look up. */
static void ask_to_look_up(struct live_session *session)
{
	const struct lt_live *live = session->live;
	size_t first;
	const size_t plans = lt_work_unseen_plans(live->work, &first);
	lt_live_clear(&session->text, live);
	lt_live_add_head(&session->text, live);
	lt_text_add_char(&session->text, '\n');
	if (lt_job_state_closed(lt_work_state(live->work))) {
		show_closed(session);
	} else if (plans > 0) {
		show_new_plans(session, first, plans);
	} else {
		lt_live_addf(&session->text, live, LIVE_WRONG, "!!  ",
			"STAGE CHANGED to %s at another terminal by %s. What is scanned means "
			"something else there, and nothing is taken before you press Enter here.",
			lt_stage_name(lt_live_stage(live)), who_did(live, LT_JOB_STAGE));
	}
	lt_live_show(live, &session->text);
}

/* Goes by what the file here says by now, or the person ends here. */
static bool follow_file(struct live_session *session)
{
	if (lt_live_take_changes(session) && lt_live_confirm_new_hazards(session))
		return true;
	session->quit = true;
	return false;
}

static bool read_again(const struct live_session *session)
{
	return session->live->reread == NULL || session->live->reread(session->live->data);
}

/* The same until it can be read, or the person ends here. */
static bool must_read_again(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	while (!read_again(session)) {
		session->failed = !live->options.terminal;
		lt_live_add(&session->text, live, LIVE_WRONG, "!!  ",
			"The description cannot be read any more, so nothing is answered by it. "
			"What was scanned is kept.",
			0);
		lt_live_show(live, &session->text);
		if (session->failed)
			return false;
		if (lt_live_read(session, &line,
			    "Mend the file, then Enter reads it again; quit ends here: ") &&
			!lt_live_is_word(&line, "quit"))
			continue;
		session->quit = true;
		return false;
	}
	return true;
}

/* The plan in force came from another description: the file here may say the same by now. */
static bool follow_plan(struct live_session *session)
{
	if (!lt_work_differs(session->live->work))
		return true;
	read_again(session);
	return follow_file(session);
}

/* False where the file was edited since it was read: then the stage goes on by what it says now. */
static bool is_up_to_date(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!must_read_again(session))
		return false;
	const bool differs = lt_work_differs(live->work);
	const bool follows = follow_file(session);
	if (!differs)
		return follows;
	if (follows) {
		lt_live_say(session, LT_TONE_WAIT, "Going on by the new description.");
		session->moved = session->onward = true;
		session->going = lt_live_stage(live);
	}
	return false;
}

/* Shows what was moved until Enter says that it was seen; LT_STAGE_COUNT: the person has had
 * enough, or the job is closed. */
static enum lt_stage wait_until_seen(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	enum lt_stage shown;
	do {
		/* Also one more move, which is to be seen in its turn. */
		ask_to_look_up(session);
		shown = lt_live_stage(live);
		if (lt_job_state_closed(lt_work_state(live->work)))
			return LT_STAGE_COUNT;
		lt_work_see(live->work);
		do {
			if (!lt_live_read_or_wake(session, &line,
				    "Enter goes on there, quit ends here: ") ||
				lt_live_is_word(&line, "quit"))
				return LT_STAGE_COUNT;
		} while (!session->woken && *lt_live_past_spaces(line.bytes) != '\0');
	} while (session->woken);
	return shown;
}

bool lt_live_look_up(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!lt_work_moved(live->work))
		return follow_plan(session);
	const enum lt_stage shown = wait_until_seen(session);
	if (shown == LT_STAGE_COUNT) {
		session->quit = true;
		return false;
	}
	if (!follow_plan(session))
		return false;
	lt_live_say(session, LT_TONE_WAIT, "");
	lt_text_printf(&session->said.words, "Stage %s.", lt_stage_name(shown));
	session->moved = session->onward = true;
	session->going = shown;
	return false;
}

/* Whether to go on at all; session->onward is false then for staying in this stage. */
static bool ask_to_go_on(struct live_session *session, enum lt_stage next)
{
	const struct lt_live *live = session->live;
	const bool may_stay = session->onward;
	struct keys_line line = { .length = 0 };
	lt_text_printf(&session->text, "\nNext is stage %s.\n", lt_stage_name(next));
	lt_live_show(live, &session->text);
	session->onward = true;
	do {
		if (!lt_live_read_or_wake(session, &line,
			    may_stay ? "Enter goes on with it, back stays here, quit ends here: "
				     : "Enter goes on with it, quit ends here: ") ||
			lt_live_is_word(&line, "quit"))
			return false;
		/* What others did is to be seen first. */
		if (session->woken) {
			session->onward = false;
			return true;
		}
		if (lt_live_take_stage(session, &line))
			return true;
		if (may_stay && lt_live_is_word(&line, "back")) {
			session->onward = false;
			lt_live_say(session, LT_TONE_WAIT, "Back.");
			return true;
		}
	} while (*lt_live_past_spaces(line.bytes) != '\0' && !lt_live_is_word(&line, "next") &&
		 !lt_live_is_word(&line, "yes"));
	return true;
}

/* After a stage: whether this one or another one goes on. */
static bool go_on(struct live_session *session)
{
	const struct lt_live *live = session->live;
	enum lt_stage next = session->onward ? session->going : lt_work_next_stage(live->work);
	if (session->quit || session->failed)
		return false;
	if (session->moved) {
		session->moved = false;
		return lt_live_begin_stage(session, next);
	}
	if (next == LT_STAGE_COUNT) {
		close_job(session);
		return false;
	}
	if (!live->options.terminal) {
		if (!session->onward)
			return false;
	} else if (!session->onward || !lt_live_stage_ok(live)) {
		session->going = next;
		if (!ask_to_go_on(session, next))
			return false;
		if (!session->onward)
			return true;
		next = session->going;
		if (next == LT_STAGE_COUNT)
			return false;
	}
	lt_live_say(session, LT_TONE_WAIT, "");
	lt_text_printf(&session->said.words, "Stage %s.", lt_stage_name(next));
	return lt_live_begin_stage(session, next);
}

enum lt_live_end lt_live_run_stages(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!live->options.terminal) {
		lt_live_add_head(&session->text, live);
		lt_live_show(live, &session->text);
	}
	do {
		if (lt_live_stage(live) == LT_STAGE_FINISH)
			lt_live_finish_lines(session);
		else
			lt_live_scan(session);
		/* Of a job that others closed nothing more is said, nor of joints that the
		 * description here does not know. */
		if (!session->failed && !session->moved && !lt_work_differs(live->work) &&
			!lt_job_state_closed(lt_work_state(live->work)) && is_up_to_date(session))
			end_stage(session);
	} while (go_on(session));
	if (session->failed)
		return LT_LIVE_FAILED;
	if (session->refused)
		return LT_LIVE_REFUSED;
	if (session->scans == 0 && lt_work_resumed(live->work) > 0 &&
		lt_live_stage(live) != LT_STAGE_FINISH) {
		lt_live_add(&session->text, live, LIVE_WRONG, "!!  ",
			"Nothing was scanned now: what is made was made before.", 0);
		lt_live_show(live, &session->text);
		return LT_LIVE_LEFT;
	}
	return lt_live_stage_ok(live) ? LT_LIVE_MADE : LT_LIVE_LEFT;
}
