/* The result of verifying in words: for the end of a live stage and after a file of scans. */
#include "loomtag/words.h"

const struct lt_result_words lt_result_words = {
	.yes = {
		/* Each has a designator, so that no comma can be missing unnoticed.
		 * NOLINTNEXTLINE(bugprone-suspicious-missing-comma) */
		[LT_STAGE_TAG] = "yes: every right pair is scanned. Check by eye that each "
				 "sticker is on its own joint.",
		[LT_STAGE_UNPLUG] = "yes: every numbered joint is apart.",
		[LT_STAGE_SWAP] = "yes: every new part carries the number of the old part. Check "
				  "by eye that each sticker is in the same place.",
		[LT_STAGE_RECONNECT] = "yes: every right pair is scanned. A scan does not show "
				       "that a joint is seated. Check the facing and the seat of "
				       "each joint, pull gently and tick it.",
		[LT_STAGE_FINISH] = "yes: every line is ticked.",
	},
	.yes_others_skipped = "yes: every numbered joint that is not skipped is apart.",
	.no = {
		[LT_STAGE_TAG] = "NO: not every joint is checked.",
		[LT_STAGE_UNPLUG] = "NO: not every joint is apart.",
		[LT_STAGE_SWAP] = "NO: not every number is checked on its new part.",
		[LT_STAGE_RECONNECT] = "NO: not every joint is made.",
		[LT_STAGE_FINISH] = "NO: not every line is ticked.",
	},
	.no_earlier_stage = "NO: every line is ticked, but an earlier stage is not done.",
	.no_scan = "NO: nothing was scanned this time. Earlier scans are not proof of today's "
		   "work.",
	.no_number = "NO: no joint has a number. A scan cannot prove anything.",
	.no_other_plan = "NO: the description has changed.",
	.no_wrong_mate_open = "NO: a wrong mate is NOT RESOLVED.",
	.no_half_waits = "NO: only one half of a pair was read.",
	.no_strange_event = "NO: an event of this job cannot be understood.",
	.no_plan = "NO: it is not known which description this job used.",
	.no_removed_joint = "NO: a removed joint is NOT RESOLVED.",
	.no_unit = "No unit given: stickers of two identical modules look the same.",
	.check_by_eye = "These joints have no number and cannot be scanned. Check each one by eye:",
	.done = {
		[LT_STAGE_TAG] = "checked",
		[LT_STAGE_UNPLUG] = "apart",
		[LT_STAGE_SWAP] = "checked on the new part",
		[LT_STAGE_RECONNECT] = "made",
		[LT_STAGE_FINISH] = "made",
	},
	.open = {
		[LT_STAGE_TAG] = "not checked",
		[LT_STAGE_UNPLUG] = "not scanned as apart",
		[LT_STAGE_SWAP] = "not scanned",
		[LT_STAGE_RECONNECT] = "open",
		[LT_STAGE_FINISH] = "open",
	},
	.not_asked = {
		[LT_STAGE_TAG] = "left plugged in",
		[LT_STAGE_UNPLUG] = "left plugged in",
		[LT_STAGE_SWAP] = "part not replaced",
		[LT_STAGE_RECONNECT] = "not recorded as apart",
		[LT_STAGE_FINISH] = "not recorded as apart",
	},
	.later_stage_started = "a later stage was started",
	.missing_row = "missing",
	.eye_row = "check by eye",
};

/* Everything is made or ticked, and the answer is still no. */
static const char *not_resolved(unsigned no)
{
	if ((no & LT_NO_STRANGE) != 0)
		return lt_result_words.no_strange_event;
	if ((no & LT_NO_PLAN) != 0)
		return lt_result_words.no_plan;
	if ((no & (LT_NO_WRONG | LT_NO_STICKERS)) != 0)
		return lt_result_words.no_wrong_mate_open;
	return (no & LT_NO_PENDING) != 0 ? lt_result_words.no_half_waits
					 : lt_result_words.no_removed_joint;
}

const char *lt_result_answer(unsigned no, enum lt_stage stage, bool others_skipped)
{
	if (no == 0)
		return stage == LT_STAGE_UNPLUG && others_skipped
			       ? lt_result_words.yes_others_skipped
			       : lt_result_words.yes[stage];
	if ((no & LT_NO_NUMBER) != 0)
		return lt_result_words.no_number;
	if ((no & LT_NO_OTHER_PLAN) != 0)
		return lt_result_words.no_other_plan;
	if (stage == LT_STAGE_FINISH && (no & LT_NO_TICK) == 0)
		return lt_result_words.no_earlier_stage;
	return (no & (LT_NO_OPEN | LT_NO_TICK)) != 0 ? lt_result_words.no[stage] : not_resolved(no);
}

void lt_words_result_count(struct lt_text *out, const char *code, enum lt_stage stage, size_t made,
	size_t needed)
{
	switch (stage) {
	case LT_STAGE_TAG:
		lt_text_printf(out, "%s, stage tag: %zu of %zu numbered joints checked.", code,
			made, needed);
		break;
	case LT_STAGE_UNPLUG:
		lt_text_printf(out, "%s, stage unplug: %zu of %zu numbered joints apart.", code,
			made, needed);
		break;
	case LT_STAGE_SWAP:
		lt_text_printf(out, "%s, stage swap: %zu of %zu numbers checked on the new part.",
			code, made, needed);
		break;
	case LT_STAGE_RECONNECT:
		lt_text_printf(out, "%s, stage reconnect: %zu of %zu numbered joints made.", code,
			made, needed);
		break;
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		lt_text_printf(out, "%s, stage finish: %zu of %zu numbered joints made.", code,
			made, needed);
		break;
	}
}

void lt_words_print_first(struct lt_text *out, const char *file)
{
	lt_text_printf(out,
		"No sticker is printed yet. To print them, run: loomtag stickers %s -o "
		"stickers.pdf",
		file);
}

void lt_words_typed(struct lt_text *out, size_t count)
{
	lt_text_printf(out,
		lt_plural(count, "The tags of %zu joint were typed by hand, not scanned.",
			"The tags of %zu joints were typed by hand, not scanned."),
		count);
}

static void add_open(struct lt_text *out, const struct lt_verify *machine, size_t joint)
{
	const struct lt_plan *plan = lt_verify_plan(machine);
	const unsigned blocked_by = lt_verify_blocked_by(machine, joint);
	unsigned pending;
	enum lt_side side;
	if (lt_verify_pending(machine, &pending, &side) && pending == plan->joints[joint].number)
		lt_text_printf(out, "only %u%c read", pending, lt_side_letter(side));
	else if (blocked_by != 0)
		lt_text_printf(out,
			plan->stage == LT_STAGE_UNPLUG ? "not scanned as apart, unplug %u first"
						       : "open, after %u",
			blocked_by);
	else
		lt_text_add(out, lt_result_words.open[plan->stage]);
}

void lt_words_joint_state(struct lt_text *out, const struct lt_verify *machine, size_t joint,
	const char *skip_reason)
{
	const enum lt_stage stage = lt_verify_plan(machine)->stage;
	if (!lt_verify_needed(machine, joint))
		lt_text_add(out, lt_result_words.not_asked[stage]);
	else if (lt_verify_made(machine, joint))
		lt_text_add(out, lt_result_words.done[stage]);
	else if (lt_verify_skipped(machine, joint))
		lt_text_printf(out, "skipped: %s", skip_reason);
	else
		add_open(out, machine, joint);
}

static bool is_open(const struct lt_verify *machine, unsigned number)
{
	return !lt_verify_made(machine, lt_verify_joint(machine, number));
}

/* "3H with 4M". */
static void add_pair(struct lt_text *out, const struct lt_wrong_mate *wrong)
{
	lt_text_printf(out, "%u%c with %u%c", wrong->h, lt_side_letter(wrong->h_side), wrong->m,
		lt_side_letter(wrong->mate_side));
}

void lt_words_wrong_mate(struct lt_text *out, const struct lt_verify *machine,
	const struct lt_wrong_mate *wrong)
{
	const bool h = is_open(machine, wrong->h), m = is_open(machine, wrong->m);
	struct lt_text pair = { 0 };
	add_pair(&pair, wrong);
	if (h && m)
		lt_text_printf(out,
			"WRONG MATE, NOT RESOLVED: %s. Scan the right pairs of %u and %u.",
			lt_text_string(&pair), wrong->h, wrong->m);
	else
		lt_text_printf(out, "WRONG MATE, NOT RESOLVED: %s. Scan the right pair of %u.",
			lt_text_string(&pair), h ? wrong->h : wrong->m);
	lt_text_finish(&pair);
}

void lt_words_wrong_stickers(struct lt_text *out, const struct lt_wrong_mate *wrong,
	enum lt_stage stage)
{
	struct lt_text pair = { 0 };
	const char *name = lt_stage_name(stage);
	add_pair(&pair, wrong);
	lt_text_printf(out,
		"STICKERS ON WRONG HALVES, NOT RESOLVED: %s, found at stage %s. Put each sticker "
		"on its correct half. Then scan both pairs again at stage %s.",
		lt_text_string(&pair), name, name);
	lt_text_finish(&pair);
}

void lt_words_resolved(struct lt_text *out, size_t count)
{
	lt_text_printf(out,
		lt_plural(count,
			"%zu wrong mate was found and resolved. Check its joints for damage.",
			"%zu wrong mates were found and resolved. Check their joints for damage."),
		count);
}

void lt_words_stray(struct lt_text *out, const struct lt_job_stray *stray)
{
	if (stray->ids[1] == NULL)
		lt_text_printf(out,
			"NOT RESOLVED: %s (%s) was recorded as apart, but not as made again. It "
			"is removed from the description. Check the joint. Then start loomtag "
			"verify and type: gone %s",
			stray->tags, stray->ids[0], stray->tags);
	else
		lt_text_printf(out,
			"WRONG MATE, NOT RESOLVED: %s (%s, %s). One of the joints is removed from "
			"the description. Take the two apart. Then start loomtag verify and type: "
			"apart %s",
			stray->tags, stray->ids[0], stray->ids[1], stray->tags);
}

void lt_words_half_pair(struct lt_text *out, unsigned number, enum lt_side side, unsigned station)
{
	const char letter = lt_side_letter(side);
	if (station == 0)
		lt_text_printf(out,
			"HALF A PAIR: %u%c was read, but its other half was not. Scan both.",
			number, letter);
	else
		lt_text_printf(out,
			"HALF A PAIR: %u%c was read at terminal %u, but its other half was not. "
			"Scan both.",
			number, letter, station);
}

void lt_words_not_asked(struct lt_text *out, const char *numbers)
{
	lt_text_printf(out,
		"NOT ASKED FOR, because no scan shows that they were apart: %s. Check "
		"by eye that each is still plugged in.",
		numbers);
}
