/* What the live screen says: questions, warnings, the joint to go to, the end of a stage. */
#include "loomtag/words.h"

const struct lt_live_words lt_live_words = {
	.ask_resume = "Enter: continue this job. new: start a new job and close this one. quit: "
		      "stop here.",
	.ask_new_job = "new: start a new job for this unit. quit: stop here.",
	.ask_who = "Type your name. Enter: take the name above. quit: stop here.",
	.ask_changed = "Use the new description from now on? yes: use it. again: read the file "
		       "again. quit: stop here.",
	.ask_hazard = "Is this done and proved? yes: confirm it. quit: stop here.",
	.ask_scan = "Scan a sticker or type a word. help: show the words.",
	.ask_tick = "Is this done? yes: tick it. undo: remove the last tick. quit: stop here.",
	.ask_seen = "Enter: continue. quit: stop here.",
	.ask_next_stage = "Enter: start it. stage NAME: start another stage. quit: stop here.",
	.ask_next_stage_or_back = "next: leave this stage although it is NOT done. back: stay in "
				  "this stage. quit: stop here.",
	.ask_corrected = "Correct the file. Enter: read it again. quit: stop here.",
	.scan_not_counted = "NOT COUNTED: a scan does not answer this question. Answer it, then "
			    "scan again.",

	.stage_begins = {
		[LT_STAGE_TAG] = "Check the stickers. Everything is still plugged in.",
		[LT_STAGE_UNPLUG] = "Unplug. Scan one sticker of each joint when it is apart.",
		[LT_STAGE_SWAP] = "New parts. Scan X on the old part and M on the new part.",
		[LT_STAGE_RECONNECT] = "Reconnect. Scan both stickers of each joint as you make it.",
		[LT_STAGE_FINISH] = "Finish. Do each line, then tick it.",
	},

	.who_works = "Who works here? The name goes into the record of this job.",
	.changed_since = "THE DESCRIPTION HAS CHANGED since the last work on this job:",
	.plan_unknown = "This job does not say which description it used. Nothing recorded so far "
			"counts. Every joint is asked for again.",
	.make_safe = "Make the machine safe before you touch it. Follow the machine's "
		     "instructions, your training and local codes. This list does not replace "
		     "them. If you are not licensed to isolate this energy, stop and get somebody "
		     "who is.",
	.only_yes_confirms = "NOT CONFIRMED SAFE. Type yes when this is done and proved. You "
			     "cannot scan before that.",
	.hazards_confirmed = "You typed yes for each described hazard. There can be others.",
	.no_hazards = "No hazards are described. There can still be hazards. Check before you "
		      "touch anything.",
	.nothing_scanned = "Nothing was scanned.",
	.file_unreadable = "The description can no longer be read. Without it there is no answer. "
			   "Every scan so far is recorded.",
	.new_description = "The new description is used from now on.",

	.stickers_unchecked = "No pair was checked while everything was plugged in. Stickers can "
			      "be on the wrong halves. Check them.",

	.next = "NEXT",
	.now = "NOW",
	.skipped_label = "Skipped:",
	.by_eye_first = "Check by eye first:",
	.would_fit_label = "Would also fit",
	.fit_unknown = "Fit unknown: could fit elsewhere. Check the number.",
	.only_skipped_left = {
		/* Each has a designator, so that no comma can be missing unnoticed.
		 * NOLINTNEXTLINE(bugprone-suspicious-missing-comma) */
		[LT_STAGE_TAG] = "Every remaining joint is skipped. If you can check one now, "
				 "scan both its stickers. If not, type quit.",
		[LT_STAGE_UNPLUG] = "Every remaining joint is skipped and stays plugged in. When "
				    "the module is out, type next.",
		[LT_STAGE_SWAP] = "Every remaining part is skipped. If you can check one now, "
				  "scan X and M. If not, type quit.",
		[LT_STAGE_RECONNECT] = "Every remaining joint is skipped, or comes after a "
				       "skipped one. If you can make one now, scan it. If not, "
				       "type quit.",
		[LT_STAGE_FINISH] = "Every remaining joint is skipped.",
	},
	.new_part_on_paper = "NEW PART: this joint mates with the new part, not with the old part.",
	.all_apart = "Every numbered joint is apart. Check by eye that joints without a number "
		     "are apart too. When the module is out, type next.",
	.rest_stays_in = "Every remaining joint is skipped and stays plugged in. Do not pull the "
			 "module while one of them holds it. When the module is out, type next.",

	.nothing_to_take_back = "There is nothing to undo.",
	.undo_alone = "undo works on the last step only. Type undo alone.",
	.undo_idle = "The last scan changed nothing, so there is nothing to undo. To undo the "
		     "step before it, type undo again.",
	.skip_taken_back = "Undone: the skip.",
	.tick_taken_back = "Undone: the tick.",
	.wrong_mate_stays = {
		/* Each has a designator, so that no comma can be missing unnoticed.
		 * NOLINTNEXTLINE(bugprone-suspicious-missing-comma) */
		[LT_STAGE_TAG] = "You cannot undo a wrong mate. Put each sticker on its correct "
				 "half. Then scan the right pairs.",
		[LT_STAGE_UNPLUG] = "You cannot undo a wrong mate. Take both joints apart.",
		[LT_STAGE_SWAP] = "You cannot undo a wrong mate. Put each sticker on its correct "
				  "part. Then scan the right pairs.",
		[LT_STAGE_RECONNECT] = "You cannot undo a wrong mate. Take both joints apart. "
				       "Then scan the right pairs.",
		[LT_STAGE_FINISH] = "You cannot undo a wrong mate. Take both joints apart. Then "
				    "go to stage reconnect and scan the right pairs.",
	},
	.skip_how = "Type the number and the reason, for example: skip 12 latch broken",
	.stage_how = "Type the stage too: stage tag, stage unplug, stage swap, stage reconnect or "
		     "stage finish.",
	.apart_how = "Only for a wrong mate with a joint that was removed from the description. "
		     "Type both tags, for example: apart 3H 4M. For other wrong mates, scan the "
		     "right pairs.",
	.gone_how = "Only for a joint that was apart and was removed from the description. Type "
		    "its tag, for example: gone 3H",
	.help_scan_word = "scan",
	.help_scan = {
		[LT_STAGE_TAG] = "Scan both stickers of a joint, in any order.",
		[LT_STAGE_UNPLUG] = "When a joint is apart, scan one of its stickers.",
		[LT_STAGE_SWAP] = "Scan X on the old part and M on the new part, in any order.",
		[LT_STAGE_RECONNECT] = "Scan both stickers of a joint, in any order.",
		[LT_STAGE_FINISH] = "Nothing is scanned at this stage.",
	},
	.help_undo = "Undo the last step.",
	.help_skip = {
		/* Each has a designator, so that no comma can be missing unnoticed.
		 * NOLINTNEXTLINE(bugprone-suspicious-missing-comma) */
		[LT_STAGE_TAG] = "skip NUMBER REASON: do not check this joint now. It counts as "
				 "missing.",
		[LT_STAGE_UNPLUG] = "skip NUMBER REASON: this joint stays plugged in.",
		[LT_STAGE_SWAP] = "skip NUMBER REASON: do not check this part now. It counts as "
				  "missing.",
		[LT_STAGE_RECONNECT] = "skip NUMBER REASON: do not make this joint now. It counts "
				       "as missing.",
		[LT_STAGE_FINISH] = "skip: cannot be used at this stage.",
	},
	.help_status = "List every joint and its state.",
	.help_next = "Go to the next stage of the job.",
	.help_apart = "apart 3H 4M: say that you took this wrong mate apart. Only for a joint "
		      "that was removed from the description.",
	.help_gone = "gone 3H: confirm that you looked at this joint. Only for a joint that was "
		     "removed from the description.",
	.help_stage = "stage NAME: go to stage tag, unplug, swap, reconnect or finish.",
	.help_quit = "Stop here and list what is missing. The job can be continued.",
	.help_scans_prove = "A scan shows only that two stickers belong together. Seat each "
			    "joint, pull gently and tick it.",

	.missing = "Missing:",
	.unplug_in_order = "Unplug in the order of the checklist.",
	.to_finish = "Finish:",
	.restore_last = "Restore energy last. First remove the tools, close the covers and warn "
			"everyone. Restore only what local codes and your permit to work allow.",
	.restore = "Restore:",
	.go_back_or_close = "To go back, use loomtag verify FILE --stage NAME. To close the job "
			    "as it is, use loomtag jobs close N REASON.",

	.energy_while_open = "Stage reconnect is NOT DONE. Energy can burn a board or hurt "
			     "someone. Do not restore energy.",
	.ticked = "Ticked.",
	.ticked_while_open = "Ticked, but stage reconnect is NOT DONE. Energy can burn a board or "
			     "hurt someone. Do not restore energy.",
	.not_ticked = "Not ticked now: it was ticked before, or the job is at another stage.",
	.only_yes_ticks = "NOT TICKED. Type yes when the line is done.",

	.enter_before_scans = "No scan counts until you press Enter here.",
	.scanner_lost = "The scanner is disconnected. Check its cable. The keyboard still works.",
};

/* Jobs. */

void lt_words_open_job(struct lt_text *out, const struct lt_words_job *job)
{
	struct lt_text opened = { 0 }, last = { 0 };
	lt_job_add_minute(&opened, job->opened);
	lt_job_add_minute(&last, job->last);
	if (job->has_plan)
		lt_text_printf(out,
			"Job %llu is open. Opened: %s. Stage: %s, %zu of %zu. Last event: %s.",
			job->number, lt_text_string(&opened), lt_stage_name(job->stage), job->made,
			job->needed, lt_text_string(&last));
	else
		lt_text_printf(out, "Job %llu is open. Opened: %s. Stage: %s. Last event: %s.",
			job->number, lt_text_string(&opened), lt_stage_name(job->stage),
			lt_text_string(&last));
	lt_text_finish(&opened);
	lt_text_finish(&last);
}

void lt_words_closed_job(struct lt_text *out, const struct lt_job *job)
{
	struct lt_text closed = { 0 };
	lt_job_add_minute(&closed, job->last);
	lt_text_printf(out,
		"Job %llu of %s is closed since %s. To write its record, use loomtag record FILE "
		"-o record.pdf.",
		job->id, job->code, lt_text_string(&closed));
	lt_text_finish(&closed);
}

void lt_words_job_done(struct lt_text *out, unsigned long long job)
{
	lt_text_printf(out,
		"Job %llu is closed. To write its record, use loomtag record FILE -o record.pdf.",
		job);
}

void lt_words_job_not_closed(struct lt_text *out, unsigned long long job)
{
	lt_text_printf(out, "Job %llu is NOT CLOSED.", job);
}

void lt_words_stage_not_done(struct lt_text *out, enum lt_stage stage)
{
	lt_text_printf(out, "Stage %s is not done.", lt_stage_name(stage));
}

void lt_words_stage_starts(struct lt_text *out, enum lt_stage stage)
{
	lt_text_printf(out, "Stage %s.", lt_stage_name(stage));
}

void lt_words_next_stage(struct lt_text *out, enum lt_stage stage)
{
	lt_text_printf(out, "Next stage: %s.", lt_stage_name(stage));
}

void lt_words_back_at_stage(struct lt_text *out, enum lt_stage stage)
{
	lt_text_printf(out, "Back at stage %s.", lt_stage_name(stage));
}

/* The head of a screen. */

void lt_words_caution(struct lt_text *out, const char *caution)
{
	lt_text_printf(out, "Caution: %s", caution);
}

void lt_words_unit(struct lt_text *out, const struct lt_harness *harness)
{
	if (harness->unit != NULL)
		lt_text_printf(out, "Unit %s. ", harness->unit);
	else if (!harness->own_unit)
		lt_text_printf(out, "%s ", lt_result_words.no_unit);
}

void lt_words_progress(struct lt_text *out, size_t made, size_t needed)
{
	lt_text_printf(out, "%zu of %zu", made, needed);
}

/* The beginning. */

void lt_words_name_offered(struct lt_text *out, const char *name)
{
	lt_text_printf(out, "Press Enter for this name: %s", name);
}

void lt_words_hazard(struct lt_text *out, size_t index, size_t count,
	const struct lt_hazard *hazard)
{
	struct lt_text named = { 0 };
	lt_hazard_add(&named, hazard);
	lt_text_printf(out, "Hazard %zu of %zu: %s", index + 1, count, lt_text_string(&named));
	lt_text_finish(&named);
}

void lt_words_not_confirmed(struct lt_text *out, const char *energy)
{
	lt_text_printf(out, "Stopped. NOT CONFIRMED SAFE: %s.", energy);
}

void lt_words_restore(struct lt_text *out, const char *energy, const char *restore)
{
	if (restore != NULL)
		lt_text_printf(out, "%s: %s", energy, restore);
	else
		lt_text_add(out, energy);
}

void lt_words_print_again(struct lt_text *out, size_t count)
{
	lt_text_printf(out,
		lt_plural(count,
			"%zu number has changed. Print its stickers again. Then replace the old "
			"stickers.",
			"%zu numbers have changed. Print their stickers again. Then replace the "
			"old stickers, one joint at a time."),
		count);
}

/* Lists of numbers. */

void lt_words_asked_for(struct lt_text *out, size_t needed, size_t all)
{
	lt_text_printf(out,
		"%zu of %zu joints must be scanned. The others were not recorded as apart. Check "
		"by eye that they are still plugged in.",
		needed, all);
}

void lt_words_not_checked(struct lt_text *out, const char *numbers)
{
	lt_text_printf(out,
		"Not checked while plugged in: %s. Their stickers can be on the wrong halves. "
		"Check those joints.",
		numbers);
}

void lt_words_not_scanned(struct lt_text *out, const char *numbers)
{
	lt_text_printf(out,
		"NOT SCANNED: %s. They count as still plugged in, so stage reconnect does not ask "
		"for them. Check each one. If it is apart, go back to stage unplug and scan it.",
		numbers);
}

void lt_words_open_joints(struct lt_text *out, const char *numbers)
{
	lt_text_printf(out, "NOT MADE: %s. To go back, type stage reconnect.", numbers);
}

void lt_words_would_fit(struct lt_text *out, const char *numbers, size_t more)
{
	if (more > 0)
		lt_text_printf(out, "%s and %zu more. Check the number.", numbers, more);
	else
		lt_text_printf(out, "%s. Check the number.", numbers);
}

/* The joint to go to. */

void lt_words_seating(struct lt_text *out, const struct lt_connector *connector)
{
	if (connector->orient != NULL)
		lt_text_printf(out, " Facing: %s.", connector->orient);
	if (connector->seat != NULL)
		lt_text_printf(out, " Seat: %s.", connector->seat);
}

void lt_words_new_part(struct lt_text *out, unsigned number)
{
	lt_text_printf(out, "NEW PART: it carries %uM.", number);
}

void lt_words_type_tags(struct lt_text *out, const char *tag, const char *other)
{
	if (other != NULL)
		lt_text_printf(out,
			"No room for a sticker. Find the joint by the checklist. Then type %s and "
			"%s.",
			tag, other);
	else
		lt_text_printf(out,
			"No room for a sticker. Find the joint by the checklist. Then type %s.",
			tag);
}

void lt_words_received(struct lt_text *out, const char *received, bool more, const char *word)
{
	if (more)
		lt_text_printf(out, " Received: \"%s\" and more.", received);
	else
		lt_text_printf(out, " Received: \"%s\".", received);
	if (word != NULL)
		lt_text_printf(out, " Did you mean the word %s?", word);
}

/* Words that are typed. */

void lt_words_scan_taken_back(struct lt_text *out, const struct lt_job_event *event)
{
	const char *scanned = event->tag != NULL ? event->tag : event->text;
	enum lt_verdict verdict;
	if (lt_verdict_read(&verdict, event->verdict))
		lt_text_printf(out, "Undone: the scan of %s (%s).", scanned,
			lt_verdict_word(verdict, event->stage));
	else
		lt_text_printf(out, "Undone: the scan of %s.", scanned);
}

void lt_words_half_waits(struct lt_text *out, unsigned number, enum lt_side side)
{
	lt_text_printf(out, " %u%c waits for its other half.", number, lt_side_letter(side));
}

static const char *done_already(enum lt_stage stage)
{
	static const char *const sentences[LT_STAGE_COUNT] = {
		[LT_STAGE_TAG] = "%u is already checked. Nothing was skipped.",
		[LT_STAGE_UNPLUG] = "%u is already apart. Nothing was skipped.",
		[LT_STAGE_SWAP] = "%u is already checked on the new part. Nothing was skipped.",
		[LT_STAGE_RECONNECT] = "%u is already made. Nothing was skipped.",
		[LT_STAGE_FINISH] = "%u is already made. Nothing was skipped.",
	};
	return sentences[stage];
}

void lt_words_skip(struct lt_text *out, enum lt_words_skip result, unsigned number,
	enum lt_stage stage)
{
	switch (result) {
	case LT_SKIP_NO_NUMBER:
		lt_text_printf(out, "This harness has no number %u. Nothing was skipped.", number);
		break;
	case LT_SKIP_DONE:
		lt_text_printf(out, done_already(stage), number);
		break;
	case LT_SKIP_NO_REASON:
		lt_text_printf(out,
			"%u is not skipped yet. Type the reason too, for example: skip %u latch "
			"broken",
			number, number);
		break;
	case LT_SKIP_NOT_ASKED:
		lt_text_printf(out, "%u is not asked for at this stage. Nothing was skipped.",
			number);
		break;
	case LT_SKIPPED:
		if (stage == LT_STAGE_UNPLUG)
			lt_text_printf(out, "%u is skipped. It stays plugged in.", number);
		else
			lt_text_printf(out, "%u is skipped. It counts as missing.", number);
		break;
	}
}

void lt_words_settled(struct lt_text *out, const char *tags, bool wrong_mate)
{
	if (wrong_mate)
		lt_text_printf(out, "Recorded: %s were taken apart.", tags);
	else
		lt_text_printf(out, "Recorded: the joint of %s was checked.", tags);
}

/* Stage finish. */

void lt_words_lines_ticked(struct lt_text *out, size_t ticked, size_t lines)
{
	lt_text_printf(out, "%zu of %zu ticked.", ticked, lines);
}

/* Other terminals. */

void lt_words_closed_elsewhere(struct lt_text *out, const char *who, const char *reason)
{
	if (reason != NULL)
		lt_text_printf(out,
			"JOB CLOSED at another terminal by %s. Reason: %s. No more scans count.",
			who, reason);
	else
		lt_text_printf(out,
			"JOB CLOSED at another terminal by %s. All was done. No more scans count.",
			who);
}

void lt_words_plan_elsewhere(struct lt_text *out, const char *who)
{
	lt_text_printf(out, "THE DESCRIPTION HAS CHANGED at another terminal, by %s:", who);
}

void lt_words_stage_elsewhere(struct lt_text *out, enum lt_stage stage, const char *who)
{
	lt_text_printf(out,
		"STAGE CHANGED to %s at another terminal, by %s. In this stage a scan means "
		"something else. Press Enter to go there too. No scan counts before that.",
		lt_stage_name(stage), who);
}

/* What an event was: a verdict as it is shown, else its kind. */
static const char *what_happened(const struct lt_job_event *event)
{
	enum lt_verdict verdict;
	return lt_verdict_read(&verdict, event->verdict) ? lt_verdict_word(verdict, event->stage)
							 : event->kind_name;
}

void lt_words_events_elsewhere(struct lt_text *out, size_t count, const struct lt_job_event *last)
{
	if (last->tag != NULL)
		lt_text_printf(out,
			lt_plural(count, "%zu event at another terminal, by %s: %s %s.",
				"%zu events at another terminal. The last one, by %s: %s %s."),
			count, last->who, last->tag, what_happened(last));
	else
		lt_text_printf(out,
			lt_plural(count, "%zu event at another terminal, by %s: %s.",
				"%zu events at another terminal. The last one, by %s: %s."),
			count, last->who, what_happened(last));
}

void lt_words_half_elsewhere(struct lt_text *out, unsigned number, enum lt_side side)
{
	lt_text_printf(out,
		"%u%c was read at another terminal or before, but its other half was not. Scan "
		"the pair of %u.",
		number, lt_side_letter(side), number);
}

void lt_words_more_wrong(struct lt_text *out, size_t count)
{
	lt_text_printf(out,
		lt_plural(count, "%zu more wrong mate is NOT RESOLVED. Type status to list it.",
			"%zu more wrong mates are NOT RESOLVED. Type status to list them."),
		count);
}
