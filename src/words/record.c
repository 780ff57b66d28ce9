/* The texts of the record of a job. */
#include "loomtag/words.h"

const struct lt_record_words lt_record_words = {
	.module = "module",
	.harness_code = "harness code",
	.unit = "unit",
	.revision = "revision",
	.job = "job",
	.started = "opened",
	.last_event = "last event",
	.closed = "closed",
	.program = "recorded with",
	.who = "who",
	.not_described = "not described",
	.unit_missing = "NOT DESCRIBED",
	.unit_own = "its own",
	.not_closed = "NOT CLOSED",
	.nobody = "nobody",
	.time_unknown = "unknown",
	.no_digest = "no last digest (SHA-256)",

	.events_gone = "ALL EVENTS ARE MISSING. This record does not show what was done.",
	.closed_in_doubt = "IT IS NOT CLEAR WHETHER THE JOB IS CLOSED: the database and the "
			   "events do not agree.",
	.no_joint_has_number = "NO JOINT HAS A NUMBER, so no scan proves anything.",
	.not_reconnected = "STAGE RECONNECT IS NOT DONE: a wrong mate is NOT RESOLVED, or a joint "
			   "that was removed from the description was left apart.",
	.not_reconnected_by_strange_event =
		"STAGE RECONNECT IS NOT DONE: an event cannot be understood.",
	.no_wrong_mate = "No wrong mate recorded",
	.nobody_named = "NOBODY IS NAMED: it is not known who did the work.",
	.plan_unknown =
		"CHECKED AGAINST: NOT KNOWN. An older loomtag did not record the description. The "
		"answers are shown as they were given. The state of the joints is not known.",
	.described_anew = "THE DESCRIPTION HAS CHANGED SINCE THE JOB. This record uses the "
			  "description that the job was checked against.",
	.no_unit = "UNIT NOT DESCRIBED: stickers of two identical modules look the same.",

	.summary = "Summary",
	.summary_as_text = "SUMMARY",
	.changes = "Changes to the description during the job",
	.stages = "Stages",
	.joints = "Joints",
	.wrong_mates = "Wrong mates",
	.parts = "Parts to replace",
	.lines = "Joints to check by eye, and last checks",
	.hazards = "Hazards",
	.signatures = "Signatures",
	.events = "Appendix: all events",
	.joints_unknown = "The state of the joints is not known. See the events.",
	.no_number = "No joint has a number.",
	.no_wrong_mate_row = "No wrong mate recorded.",
	.no_part = "No part had to be replaced.",
	.no_line = "There is no line to tick.",
	.no_hazard = "No hazard is described. There can still be hazards.",
	.nothing_before_counts = "Nothing that was recorded before this counts.",
	.no_other_scan = "Other scans to note: 0.",
	.about_events =
		"Each event is shown as it was recorded. The column “terminal” is the number of "
		"the terminal. The digest at the foot of every page covers all events. If an "
		"event is changed later, this digest is different.",
	.technician = "Technician",
	.foreman = "Foreman",
	.sign_name = "name",
	.sign_date = "date",
	.sign_signature = "signature",

	.column_stage = "stage",
	.column_state = "state",
	.column_started = "started",
	.column_last = "last",
	.column_who = "who",
	.column_tags = "tags",
	.column_joint = "joint",
	.column_stickers = "stickers checked",
	.column_apart = "apart",
	.column_new_part = "new part checked",
	.column_made = "made",
	.column_time = "time",
	.column_stickers_scanned = "stickers",
	.column_resolved = "resolved",
	.column_part = "part",
	.column_place = "place",
	.column_joints = "joints",
	.column_part_checked = "new part checked",
	.column_line = "line",
	.column_ticked = "ticked",
	.column_by = "by",
	.column_hazard = "hazard",
	.column_confirmed = "confirmed",
	.column_restored = "restored",
	.column_event = "event",
	.column_terminal = "terminal",
	.column_what = "what",
	.column_answer = "answer",

	.stage_called = {
		[LT_STAGE_TAG] = "tag",
		[LT_STAGE_UNPLUG] = "unplug",
		[LT_STAGE_SWAP] = "swap",
		[LT_STAGE_RECONNECT] = "reconnect",
		[LT_STAGE_FINISH] = "finish",
	},
	.stage_state = {
		[LT_STATE_NOT_BEGUN] = "NEVER STARTED",
		[LT_STATE_BEGUN] = "NOT DONE",
		[LT_STATE_DONE] = "done",
		[LT_STATE_SKIPPED] = "SKIPPED",
		[LT_STATE_NOTHING] = "nothing to do",
	},
	.state_unknown = "NOT KNOWN",
	.made = "made",
	.not_made = "NOT MADE",
	.not_apart = "not recorded as apart",
	.not_checked = "NOT CHECKED",
	.not_resolved = "NOT RESOLVED",
	.not_confirmed = "NOT CONFIRMED",
	.not_ticked = "NOT TICKED",
	.digest_wrong = "DOES NOT FIT ITS DIGEST",
	.not_understood = "CANNOT BE UNDERSTOOD",
	.typed_at = {
		[LT_STAGE_TAG] = "stickers checked",
		[LT_STAGE_SWAP] = "new part checked",
		[LT_STAGE_RECONNECT] = "made",
	},
	.other_scan = {
		[LT_VERDICT_REPEAT] = "scanned before",
		[LT_VERDICT_SAME_SIDE] = "two stickers of one side",
		[LT_VERDICT_OUT_OF_ORDER] = "too early",
		[LT_VERDICT_OLD_PART] = "sticker of an old part",
		[LT_VERDICT_FOREIGN] = "sticker of another harness or unit",
		[LT_VERDICT_UNKNOWN] = "unknown number or side",
		[LT_VERDICT_MISREAD] = "misread",
	},
};

void lt_words_record_written(struct lt_text *out, const char *path, unsigned long long job,
	size_t events, size_t faults)
{
	lt_text_printf(out,
		lt_plural(events, "%s: the record of job %llu has %zu event.",
			"%s: the record of job %llu has %zu events."),
		path, job, events);
	if (faults > 0)
		lt_text_printf(out,
			lt_plural(faults, " %zu thing is NOT as it should be: see the summary.",
				" %zu things are NOT as they should be: see the summary."),
			faults);
}

void lt_words_record_pdf_title(struct lt_text *out, unsigned long long job, const char *code)
{
	lt_text_printf(out, "Record of job %llu, %s", job, code);
}

void lt_words_record_title(struct lt_text *out, unsigned long long job)
{
	lt_text_printf(out, "Record of job %llu", job);
}

void lt_words_record_foot(struct lt_text *out, const char *code, unsigned long long job,
	size_t events)
{
	lt_text_printf(out,
		lt_plural(events, "%s, job %llu, %zu event", "%s, job %llu, %zu events"), code, job,
		events);
}

void lt_words_record_digest(struct lt_text *out, const char *digest)
{
	enum { GROUP = 4 };
	struct lt_text groups = { 0 };
	if (digest == NULL) {
		lt_text_add(out, lt_record_words.no_digest);
		return;
	}
	for (size_t i = 0; digest[i] != '\0'; i++) {
		if (i > 0 && i % GROUP == 0)
			lt_text_add_char(&groups, ' ');
		lt_text_add_char(&groups, digest[i]);
	}
	lt_text_printf(out, "last digest (SHA-256) %s", lt_text_string(&groups));
	lt_text_finish(&groups);
}

void lt_words_events_changed(struct lt_text *out, size_t event, size_t all)
{
	lt_text_printf(out,
		"THE EVENTS WERE CHANGED after they were recorded: event %zu of %zu does not fit "
		"its digest. This event and all later events prove nothing.",
		event, all);
}

void lt_words_events_missing(struct lt_text *out, size_t missing, size_t all)
{
	lt_text_printf(out,
		"EVENTS ARE MISSING: the last %zu of %zu. This record does not show how the job "
		"ended.",
		missing, all);
}

void lt_words_events_fit(struct lt_text *out, size_t all)
{
	lt_text_printf(out,
		lt_plural(all, "%zu event fits its digest.", "All %zu events fit their digests."),
		all);
}

void lt_words_event_not_understood(struct lt_text *out, size_t event)
{
	lt_text_printf(out,
		"EVENT %zu CANNOT BE UNDERSTOOD: a newer loomtag wrote it, or it was changed. From "
		"this event on, do not rely on this record.",
		event);
}

void lt_words_closed(struct lt_text *out, const char *moment)
{
	lt_text_printf(out, "Closed: %s", moment);
}

void lt_words_closed_unfinished(struct lt_text *out, const char *reason)
{
	lt_text_printf(out, "CLOSED UNFINISHED: %s", reason);
}

void lt_words_joints_made(struct lt_text *out, const char *open, size_t made, size_t all,
	bool apart_known)
{
	if (open[0] != '\0')
		lt_text_printf(out, "NOT ALL MADE: %s. ", open);
	if (apart_known)
		lt_text_printf(out,
			lt_plural(all, "Made again: %zu of %zu joint that was apart.",
				"Made again: %zu of %zu joints that were apart."),
			made, all);
	else
		lt_text_printf(out,
			lt_plural(all,
				"Made again: %zu of %zu joint. It is not known whether it was "
				"apart.",
				"Made again: %zu of %zu joints. It is not known which of them were "
				"apart."),
			made, all);
}

void lt_words_joints_found(struct lt_text *out, enum lt_joints_found which, size_t count,
	const char *numbers)
{
	switch (which) {
	case LT_JOINTS_NOT_APART:
		lt_text_printf(out,
			lt_plural(count,
				"%zu joint was not recorded as apart, so it was not checked again: "
				"%s",
				"%zu joints were not recorded as apart, so they were not checked "
				"again: %s"),
			count, numbers);
		return;
	case LT_JOINTS_UNACCOUNTED:
		lt_text_printf(out,
			lt_plural(count, "NOT KNOWN WHETHER %zu JOINT STAYED PLUGGED IN: %s",
				"NOT KNOWN WHETHER %zu JOINTS STAYED PLUGGED IN: %s"),
			count, numbers);
		return;
	case LT_JOINTS_UNCHECKED:
		lt_text_printf(out,
			lt_plural(count, "STICKERS NOT CHECKED on %zu joint: %s",
				"STICKERS NOT CHECKED on %zu joints: %s"),
			count, numbers);
		return;
	case LT_JOINTS_UNCHECKED_BEFORE:
		lt_text_printf(out,
			lt_plural(count,
				"STICKERS NOT CHECKED on %zu joint before it was apart: %s",
				"STICKERS NOT CHECKED on %zu joints before they were apart: %s"),
			count, numbers);
		return;
	case LT_JOINTS_SKIPPED:
		lt_text_printf(out,
			lt_plural(count, "%zu joint was SKIPPED: %s",
				"%zu joints were SKIPPED: %s"),
			count, numbers);
		return;
	case LT_JOINTS_TYPED:
		lt_text_printf(out,
			lt_plural(count, "%zu joint has tags TYPED BY HAND, not scanned: %s",
				"%zu joints have tags TYPED BY HAND, not scanned: %s"),
			count, numbers);
		return;
	case LT_JOINTS_TYPED_OF_PAPER:
		lt_text_printf(out,
			lt_plural(count,
				"%zu joint has no stickers. Its tags were typed by hand: %s",
				"%zu joints have no stickers. Their tags were typed by hand: %s"),
			count, numbers);
		return;
	case LT_JOINTS_REMOVED:
		lt_text_printf(out,
			lt_plural(count,
				"%zu joint was REMOVED FROM THE DESCRIPTION during the job: %s",
				"%zu joints were REMOVED FROM THE DESCRIPTION during the job: %s"),
			count, numbers);
		return;
	}
}

void lt_words_record_half(struct lt_text *out, unsigned number, enum lt_side side, unsigned station)
{
	lt_text_printf(out,
		"STAGE RECONNECT IS NOT DONE: %u%c waits for its other half at terminal %u.",
		number, lt_side_letter(side), station);
}

void lt_words_wrong_mates(struct lt_text *out, size_t count, const char *open)
{
	if (open[0] != '\0')
		lt_text_printf(out,
			lt_plural(count, "%zu wrong mate recorded. NOT RESOLVED: %s",
				"%zu wrong mates recorded. NOT RESOLVED: %s"),
			count, open);
	else
		lt_text_printf(out,
			lt_plural(count, "%zu wrong mate recorded. It was resolved.",
				"%zu wrong mates recorded. All were resolved."),
			count);
}

void lt_words_parts_checked(struct lt_text *out, size_t count, const char *open)
{
	if (open[0] != '\0')
		lt_text_printf(out, "NUMBER NOT CHECKED ON NEW PART: %s", open);
	else
		lt_text_printf(out,
			lt_plural(count, "Number checked on %zu new part.",
				"Numbers checked on %zu new parts."),
			count);
}

void lt_words_stages_found(struct lt_text *out, enum lt_stage_state state, size_t count,
	const char *names)
{
	switch (state) {
	case LT_STATE_SKIPPED:
		lt_text_printf(out, lt_plural(count, "STAGE SKIPPED: %s", "STAGES SKIPPED: %s"),
			names);
		return;
	case LT_STATE_NOT_BEGUN:
		lt_text_printf(out,
			lt_plural(count, "STAGE NEVER STARTED: %s", "STAGES NEVER STARTED: %s"),
			names);
		return;
	case LT_STATE_BEGUN:
		lt_text_printf(out, lt_plural(count, "STAGE NOT DONE: %s", "STAGES NOT DONE: %s"),
			names);
		return;
	case LT_STATE_DONE:
	case LT_STATE_NOTHING:
		return;
	}
}

void lt_words_hazards_confirmed(struct lt_text *out, size_t unconfirmed, size_t late, size_t all)
{
	if (unconfirmed > 0)
		lt_text_printf(out,
			lt_plural(all, "NOT CONFIRMED SAFE: %zu of %zu hazard",
				"NOT CONFIRMED SAFE: %zu of %zu hazards"),
			unconfirmed, all);
	else if (late > 0)
		lt_text_printf(out,
			lt_plural(all, "CONFIRMED ONLY AFTER WORK HAD STARTED: %zu of %zu hazard",
				"CONFIRMED ONLY AFTER WORK HAD STARTED: %zu of %zu hazards"),
			late, all);
	else
		lt_text_printf(out,
			lt_plural(all, "Confirmed before work: %zu described hazard",
				"Confirmed before work: all %zu described hazards"),
			all);
}

void lt_words_record_lines(struct lt_text *out, size_t unticked, size_t all)
{
	if (unticked > 0)
		lt_text_printf(out,
			lt_plural(all, "NOT TICKED: %zu of %zu line",
				"NOT TICKED: %zu of %zu lines"),
			unticked, all);
	else
		lt_text_printf(out, lt_plural(all, "Ticked: %zu line", "Ticked: all %zu lines"),
			all);
}

void lt_words_first_plan_late(struct lt_text *out, size_t event)
{
	lt_text_printf(out,
		"EVENTS BEFORE EVENT %zu DO NOT COUNT: it is not known what they were checked "
		"against. Every joint had to be done again.",
		event);
}

void lt_words_plan_changed(struct lt_text *out, size_t changes, bool voids)
{
	lt_text_printf(out,
		lt_plural(changes, "THE DESCRIPTION CHANGED DURING THE JOB: %zu change.",
			"THE DESCRIPTION CHANGED DURING THE JOB: %zu changes."),
		changes);
	if (voids)
		lt_text_add(out, " Some of what was recorded before no longer counts.");
}

void lt_words_revision_changed(struct lt_text *out, const char *then, const char *now)
{
	const char *not_described = lt_record_words.not_described;
	lt_text_printf(out,
		"THE REVISION HAS CHANGED. When the job was opened: %s. In the description now: %s.",
		then != NULL ? then : not_described, now != NULL ? now : not_described);
}

void lt_words_day_of_times(struct lt_text *out, const char *moment)
{
	lt_text_printf(out, "A time without a date is on the day when the job was opened: %s.",
		moment);
}

void lt_words_replanned(struct lt_text *out, const char *time, const char *who)
{
	lt_text_printf(out, "%s, by %s:", time, who);
}

void lt_words_stage_skipped(struct lt_text *out, const char *who, const char *reason)
{
	if (reason != NULL)
		lt_text_printf(out, "skipped by %s: %s", who, reason);
	else
		lt_text_printf(out, "skipped by %s, no reason recorded", who);
}

void lt_words_joint_skipped(struct lt_text *out, enum lt_stage stage, const char *reason)
{
	const char *called = lt_record_words.stage_called[stage];
	if (reason != NULL)
		lt_text_printf(out, "SKIPPED (%s): %s", called, reason);
	else
		lt_text_printf(out, "SKIPPED (%s), no reason recorded", called);
}

void lt_words_joint_typed(struct lt_text *out, const char *when)
{
	lt_text_printf(out, "tags typed by hand: %s", when);
}

void lt_words_joint_called(struct lt_text *out, const char *id, const char *name, bool removed)
{
	if (removed && name != NULL)
		lt_text_printf(out, "%s %s (removed from the description)", id, name);
	else if (removed)
		lt_text_printf(out, "%s (removed from the description)", id);
	else if (name != NULL)
		lt_text_printf(out, "%s %s", id, name);
	else
		lt_text_add(out, id);
}

void lt_words_joint_mates(struct lt_text *out, const char *mate)
{
	lt_text_printf(out, "mates with %s", mate);
}

void lt_words_apart_at(struct lt_text *out, const char *time, size_t rank)
{
	lt_text_printf(out, "%s, order %zu", time, rank);
}

void lt_words_wrong_pair(struct lt_text *out, const char *first, const char *second)
{
	lt_text_printf(out, "%s with %s", first != NULL ? first : "?",
		second != NULL ? second : "?");
}

void lt_words_other_scans(struct lt_text *out, const char *counts)
{
	lt_text_printf(out, "Other scans to note: %s.", counts);
}

void lt_words_record_restore(struct lt_text *out, const char *how)
{
	lt_text_printf(out, "restore: %s", how);
}

void lt_words_confirmed_late(struct lt_text *out, const char *time)
{
	lt_text_printf(out, "LATE: %s", time);
}
