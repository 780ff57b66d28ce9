/* From stage to stage: the work in each, its end, and what other terminals do meanwhile. */
#include <string.h>

#include "live/conversation.h"
#include "loomtag/words.h"

/* Joints that were not recorded as apart are not asked for. */
static void warn_of_left(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const size_t needed = lt_verify_needed_count(machine);
	const size_t all = lt_verify_plan(machine)->joint_count;
	if (needed < all) {
		lt_text_add_char(&live->words, ' ');
		lt_words_asked_for(&live->words, needed, all);
	}
}

/* The joints that were not checked while all was plugged in. */
static void warn_of_unproven(struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	const struct lt_verify *machine = lt_live_machine(live);
	const enum lt_stage_state tagged = lt_job_state_of_stage(state, LT_STAGE_TAG);
	struct lt_text unchecked = { 0 };
	if (lt_job_state_joints(state) == 0 || lt_verify_made_count(machine) > 0)
		return;
	if (tagged != LT_STATE_BEGUN && tagged != LT_STATE_DONE) {
		lt_text_printf(&live->words, " %s", lt_live_words.stickers_unchecked);
		return;
	}
	for (size_t i = 0; i < lt_job_state_joints(state); i++)
		if (lt_job_state_history(state, i).proven == LT_NONE &&
			lt_verify_needed(machine, i))
			lt_text_printf(&unchecked, "%s%u", unchecked.length > 0 ? ", " : "",
				lt_verify_plan(machine)->joints[i].number);
	if (unchecked.length > 0) {
		lt_text_add_char(&live->words, ' ');
		lt_words_not_checked(&live->words, lt_text_string(&unchecked));
	}
	lt_text_finish(&unchecked);
}

/* Nobody can scan what is not printed. */
static void warn_of_no_stickers(struct lt_live *live)
{
	const struct lt_tags *tags = live->options.tags;
	if (!tags->none_printed || tags->harness->file == NULL ||
		lt_verify_made_count(lt_live_machine(live)) > 0)
		return;
	lt_text_add_char(&live->words, ' ');
	lt_words_print_first(&live->words, tags->harness->file);
}

/* Adds to what is said, at the beginning of a stage, what is not known of the joints. */
static void warn_of_joints(struct lt_live *live)
{
	switch (lt_live_stage(live)) {
	case LT_STAGE_TAG:
		warn_of_no_stickers(live);
		break;
	case LT_STAGE_RECONNECT:
		warn_of_unproven(live);
		warn_of_left(live);
		break;
	case LT_STAGE_UNPLUG:
	case LT_STAGE_SWAP:
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		break;
	}
}

/* Goes on with a stage, and says why or, with "", which. */
static void begin_stage(struct lt_live *live, enum lt_stage stage, const char *words)
{
	if (!lt_live_begin(live, stage))
		return;
	lt_live_report(live, LT_TONE_WAIT, words);
	if (words[0] == '\0')
		lt_words_stage_starts(&live->words, stage);
	live->onward = false;
	warn_of_joints(live);
	lt_live_go(live, LT_STEP_WORK);
}

static void end_stage(struct lt_live *live)
{
	unsigned no;
	if (!lt_live_keep(live, lt_work_answer(&no, live->options.work, lt_live_stage(live),
					live->options.diags)))
		return;
	if (no == 0) {
		lt_live_put(live, LT_LIVE_PAGE, LT_LIVE_PLAIN, "");
		lt_live_add_report(live);
	} else if (live->options.attended) {
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
	}
	lt_live_ending(live, no);
	lt_live_go(live, LT_STEP_ONWARD);
}

void lt_live_enter_followed(struct lt_live *live)
{
	switch (live->follow) {
	case LT_FOLLOW_BEGIN:
		warn_of_joints(live);
		if (!live->options.attended)
			lt_live_head(live);
		lt_live_go(live, LT_STEP_WORK);
		break;
	case LT_FOLLOW_WORK:
		lt_live_go(live, LT_STEP_WORK);
		break;
	case LT_FOLLOW_SEEN:
		begin_stage(live, live->going, "");
		break;
	case LT_FOLLOW_END:
		/* Where the file was edited since it was read, the stage goes on by what it says.
		 */
		if (!live->differed)
			end_stage(live);
		else if (live->quit)
			lt_live_go(live, LT_STEP_ONWARD);
		else
			begin_stage(live, lt_live_stage(live), lt_live_words.new_description);
		break;
	}
}

/* The work. */

/* Energy is not to be restored yet. */
static bool is_unfinished(const struct lt_job_state *state)
{
	return lt_job_state_joints(state) > 0 && !lt_job_state_ok(state, LT_STAGE_RECONNECT);
}

static void show_line(struct lt_live *live, size_t line)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	const size_t lines = lt_job_state_lines(state);
	size_t ticked = 0;
	for (size_t i = 0; i < lines; i++)
		ticked += lt_job_state_ticked(state, i) != LT_NONE;
	lt_live_put(live, LT_LIVE_PAGE, LT_LIVE_PLAIN, "");
	if (live->options.attended) {
		lt_live_head(live);
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
	}
	lt_live_add_report(live);
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WAIT, "", lt_live_words.restore_last);
	if (is_unfinished(state)) {
		lt_live_add(live, LT_LIVE_SAID, LT_LIVE_WRONG, "", lt_live_words.energy_while_open);
		lt_live_open(live);
	}
	lt_words_lines_ticked(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, ""), ticked, lines);
	lt_live_add(live, LT_LIVE_BOX, LT_LIVE_STRONG, "[ ]", lt_job_state_line(state, line)->text);
	if (live->options.attended)
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
}

/* The first line that is not ticked, or how many there are. */
static size_t next_line(const struct lt_job_state *state)
{
	size_t line = 0;
	while (line < lt_job_state_lines(state) && lt_job_state_ticked(state, line) != LT_NONE)
		line++;
	return line;
}

/* At stage unplug it is for the person to say when the module is out. */
static bool is_over(const struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	if (lt_live_stage(live) == LT_STAGE_FINISH)
		return next_line(state) == lt_job_state_lines(state);
	if (lt_job_state_joints(state) == 0)
		return true;
	return lt_live_stage(live) != LT_STAGE_UNPLUG && lt_live_stage_ok(live);
}

void lt_live_enter_work(struct lt_live *live)
{
	const bool still = live->still;
	live->still = false;
	if (lt_work_changed_elsewhere(live->options.work)) {
		lt_live_go(live, LT_STEP_SEEN);
	} else if (lt_work_differs(live->options.work)) {
		lt_live_follow(live, LT_FOLLOW_WORK);
	} else if (is_over(live)) {
		lt_live_go(live, LT_STEP_LEAVE);
	} else if (lt_live_stage(live) == LT_STAGE_FINISH) {
		show_line(live, next_line(lt_work_state(live->options.work)));
		lt_live_ask(live, LT_LIVE_ASKS_TICK);
	} else {
		if (!still)
			lt_live_screen(live);
		lt_live_ask(live, LT_LIVE_ASKS_SCAN);
	}
}

static void tick(struct lt_live *live)
{
	struct lt_work *work = live->options.work;
	const struct lt_job_state *state = lt_work_state(work);
	const size_t line = next_line(state);
	const bool too_early =
		is_unfinished(state) && lt_job_state_line(state, line)->kind == LT_JOB_LINE_HAZARD;
	bool done;
	if (!lt_live_keep(live, lt_work_tick(work, &done, line, live->options.diags)))
		return;
	if (!done)
		lt_live_report(live, LT_TONE_WAIT, lt_live_words.not_ticked);
	else if (too_early)
		lt_live_report(live, LT_TONE_WRONG, lt_live_words.ticked_while_open);
	else
		lt_live_report(live, LT_TONE_GOOD, lt_live_words.ticked);
	live->view.rings = done && too_early;
}

/* A trigger held too long gives a scan twice. Not so on a pipe, where lines have no time. */
static bool is_double(struct lt_live *live, const struct lt_live_input *line)
{
	return line->timed && lt_wedge_twice(&live->last, line->bytes, line->length, line->at);
}

static void take_scan(struct lt_live *live, const struct lt_live_input *line)
{
	/* An empty line shows the screen again, as after status. */
	if (lt_live_is_empty(line) && line->length == strlen(line->bytes))
		return;
	live->still = is_double(live, line);
	if (!live->still)
		lt_live_answer(live, line);
}

void lt_live_take_work(struct lt_live *live, const struct lt_live_input *line)
{
	const bool ticks = live->view.asks == LT_LIVE_ASKS_TICK;
	lt_live_go(live, LT_STEP_WORK);
	if (ticks)
		lt_live_report(live, LT_TONE_WAIT, lt_live_words.only_yes_ticks);
	if (line == NULL)
		live->quit = true;
	else if (ticks && lt_live_is_word(line, "yes"))
		tick(live);
	else if (lt_live_take_word(live, line))
		live->last.any = false; /* what is scanned again after a word is meant */
	else if (!ticks)
		take_scan(live, line);
	if (live->step == LT_STEP_WORK && (live->quit || live->onward))
		lt_live_go(live, LT_STEP_LEAVE);
}

/* What other terminals do. */

/* The person who did something of this kind last; "?" where nobody did. */
static const char *who_did(const struct lt_live *live, enum lt_job_event_kind kind)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->options.work, &count);
	while (count > 0 && events[count - 1].kind != kind)
		count--;
	return count > 0 ? events[count - 1].who : "?";
}

static void show_closed(struct lt_live *live)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->options.work, &count);
	const char *reason = count > 0 ? events[count - 1].text : NULL;
	lt_words_closed_elsewhere(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
		who_did(live, LT_JOB_CLOSED), reason);
}

/* What another terminal's description changed. */
static void show_new_plans(struct lt_live *live, size_t first, size_t count)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	lt_words_plan_elsewhere(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
		who_did(live, LT_JOB_PLAN));
	for (size_t i = 0; i < count; i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, first + i);
		lt_live_changes(live, replan->changes, replan->change_count);
	}
	lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_WRONG, "", lt_live_words.enter_before_scans);
}

/* Says what others did to the job, and asks to look up; one more move is seen in its turn. */
void lt_live_enter_seen(struct lt_live *live)
{
	struct lt_work *work = live->options.work;
	size_t first;
	const size_t plans = lt_work_unseen_plans(work, &first);
	lt_live_put(live, LT_LIVE_PAGE, LT_LIVE_PLAIN, "");
	lt_live_head(live);
	lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
	if (lt_job_state_closed(lt_work_state(work))) {
		show_closed(live);
		live->quit = true;
		lt_live_go(live, LT_STEP_LEAVE);
		return;
	}
	live->going = lt_live_stage(live);
	if (plans > 0)
		show_new_plans(live, first, plans);
	else
		lt_words_stage_elsewhere(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			live->going, who_did(live, LT_JOB_STAGE));
	lt_work_acknowledge(work);
	lt_live_ask(live, LT_LIVE_ASKS_SEEN);
}

void lt_live_take_seen(struct lt_live *live, const struct lt_live_input *line)
{
	live->follow = LT_FOLLOW_SEEN;
	if (lt_live_is_quit(line)) {
		live->quit = true;
		lt_live_go(live, LT_STEP_LEAVE);
	} else if (lt_live_is_empty(line) && lt_work_differs(live->options.work)) {
		lt_live_follow(live, LT_FOLLOW_SEEN);
	} else if (lt_live_is_empty(line)) {
		lt_live_go(live, LT_STEP_FOLLOWED);
	}
}

/* The end of a stage, and the way to the next. */

/* Of a job that others closed nothing more is said, nor of joints that the description here does
 * not know. */
void lt_live_enter_leave(struct lt_live *live)
{
	const struct lt_work *work = live->options.work;
	lt_live_go(live, lt_work_differs(work) || lt_job_state_closed(lt_work_state(work))
				 ? LT_STEP_ONWARD
				 : LT_STEP_REREAD);
}

static void conclude(struct lt_live *live)
{
	const bool idle = live->scanned == 0 && lt_work_resumed(live->options.work) > 0 &&
			  lt_live_stage(live) != LT_STAGE_FINISH;
	if (idle)
		lt_live_add(live, LT_LIVE_SAID, LT_LIVE_WRONG, "", lt_result_words.no_scan);
	lt_live_finish(live, !idle && lt_live_stage_ok(live) ? LT_LIVE_MADE : LT_LIVE_LEFT);
}

/* Everything is done: so is the job. */
static void close_job(struct lt_live *live)
{
	struct lt_work *work = live->options.work;
	if (!lt_live_keep(live, lt_work_finish(work, NULL, live->options.diags)))
		return;
	/* Also where another terminal opened a joint at the last moment. */
	if (!lt_job_state_closed(lt_work_state(work)))
		lt_live_why_open(live);
	else if (lt_work_job(work) != 0)
		lt_words_job_done(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, ""),
			lt_work_job(work));
	conclude(live);
}

/* Whether this stage or another one goes on. */
void lt_live_enter_onward(struct lt_live *live)
{
	if (!live->onward)
		live->going = lt_work_next_stage(live->options.work);
	if (live->quit ||
		(!live->options.attended && !live->onward && live->going != LT_STAGE_COUNT)) {
		conclude(live);
	} else if (live->going == LT_STAGE_COUNT) {
		close_job(live);
	} else if (live->options.attended && (!live->onward || !lt_live_stage_ok(live))) {
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
		lt_words_next_stage(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, ""),
			live->going);
		lt_live_ask(live, live->onward ? LT_LIVE_ASKS_ONWARD_OR_BACK : LT_LIVE_ASKS_ONWARD);
	} else {
		begin_stage(live, live->going, "");
	}
}

void lt_live_take_onward(struct lt_live *live, const struct lt_live_input *line)
{
	if (lt_live_is_quit(line)) {
		conclude(live);
	} else if (live->view.asks == LT_LIVE_ASKS_ONWARD_OR_BACK &&
		   lt_live_is_word(line, "back")) {
		live->onward = false;
		lt_live_report(live, LT_TONE_WAIT, "");
		lt_words_back_at_stage(&live->words, lt_live_stage(live));
		lt_live_go(live, LT_STEP_WORK);
	} else if (lt_live_take_stage(live, line) || lt_live_is_word(line, "next") ||
		   lt_live_is_word(line, "yes") ||
		   (live->view.asks == LT_LIVE_ASKS_ONWARD && lt_live_is_empty(line))) {
		begin_stage(live, live->going, "");
	}
}
