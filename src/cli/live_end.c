#include "cli/live_session.h"

const char *lt_live_made_word(const struct lt_live *live)
{
	static const char *const words[LT_STAGE_COUNT] = { "checked", "apart", "proven", "made",
		"ticked" };
	return words[lt_live_stage(live)];
}

/* How a joint stands: "made", "skipped: latch broken", "waits for 7", "12H read", "open". */
static void add_standing(struct lt_text *out, const struct lt_live *live, size_t joint)
{
	const struct lt_verify *verify = lt_live_machine(live);
	const unsigned number = lt_verify_plan(verify)->joints[joint].number;
	const unsigned blocked_by = lt_verify_blocked_by(verify, joint);
	unsigned pending;
	enum lt_side side;
	const bool unplugging = lt_live_stage(live) == LT_STAGE_UNPLUG;
	if (!lt_verify_needed(verify, joint))
		lt_text_add(out, lt_live_stage(live) == LT_STAGE_SWAP ? "its part stays"
								      : "left plugged in");
	else if (lt_verify_made(verify, joint))
		lt_text_add(out, lt_live_made_word(live));
	else if (lt_verify_skipped(verify, joint))
		lt_text_printf(out, "skipped: %s", lt_live_reason(live, joint));
	else if (lt_verify_pending(verify, &pending, &side) && pending == number)
		lt_text_printf(out, "open, only %u%c read", number, lt_side_letter(side));
	else if (blocked_by != 0)
		lt_text_printf(out, "%s, waits for %u", unplugging ? "plugged in" : "open",
			blocked_by);
	else
		lt_text_add(out, unplugging ? "plugged in" : "open");
}

void lt_live_add_joints(struct lt_text *out, const struct lt_live *live, bool only_open)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	struct lt_text line = { 0 };
	for (size_t i = 0; i < plan->joint_count; i++) {
		const size_t joint = plan->order[i];
		const bool made = lt_verify_made(lt_live_machine(live), joint);
		const bool needed = lt_verify_needed(lt_live_machine(live), joint);
		if ((made || !needed) && only_open)
			continue;
		char label[32];
		snprintf(label, sizeof(label), "  [%c] %5u  ", made && needed ? 'x' : ' ',
			plan->joints[joint].number);
		lt_text_clear(&line);
		lt_live_name(&line, live, lt_live_connector(live, joint));
		lt_text_add(&line, ": ");
		add_standing(&line, live, joint);
		lt_live_add(out, live, LIVE_PLAIN, label, lt_text_string(&line), 0);
	}
	lt_text_finish(&line);
}

/* Joints with no number. */
static void add_by_eye(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_tags *tags = live->tags;
	const struct lt_harness *harness = tags->harness;
	bool any = false;
	struct lt_text line = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++) {
		const size_t connector = harness->order[i];
		const struct lt_connector *described = &harness->connectors[connector];
		if (tags->number_of[connector] != 0)
			continue;
		if (!any)
			lt_live_add(out, live, LIVE_STRONG, "",
				"No number, nothing scanned. Check these by eye and tick them:", 0);
		any = true;
		lt_text_clear(&line);
		lt_live_name(&line, live, connector);
		if (described->where != NULL)
			lt_text_printf(&line, ", %s", described->where);
		if (described->seat != NULL)
			lt_text_printf(&line, ": %s", described->seat);
		lt_live_add(out, live, LIVE_PLAIN, "  [ ] ", lt_text_string(&line), 0);
	}
	lt_text_finish(&line);
}

static void add_finish(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	if (harness->finish_count > 0)
		lt_live_add(out, live, LIVE_STRONG, "", "To finish:", 0);
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_live_add(out, live, LIVE_PLAIN, "  [ ] ", harness->finish[i].text, 0);
}

static void add_restore(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	if (harness->hazard_count > 0)
		lt_live_add(out, live, LIVE_STRONG, "",
			"Last, with tools out, covers closed and everyone told, as local codes and "
			"your permit to work ask. Restore:",
			0);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		lt_live_addf(out, live, LIVE_PLAIN, "  [ ] ", "%s%s%s", hazard->energy,
			hazard->restore != NULL ? ": " : "",
			hazard->restore != NULL ? hazard->restore : "");
	}
}

static void add_typed(struct lt_text *out, const struct lt_live *live)
{
	const size_t typed = lt_verify_typed_count(lt_live_machine(live));
	if (typed > 0)
		lt_live_addf(out, live, LIVE_WAIT, "",
			"%zu of the joints %s: typed by hand, not scanned.", typed,
			lt_live_made_word(live));
}

static void add_unit_caution(struct lt_text *out, const struct lt_live *live)
{
	if (live->tags->harness->unit == NULL)
		lt_live_add(out, live, LIVE_WAIT, "",
			"No unit was given: stickers of two like modules could not be told apart.",
			0);
}

/* The numbers, ascending, of joints that were not noted as apart. */
static size_t add_left(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const bool unplugging = lt_live_stage(live) == LT_STAGE_UNPLUG;
	size_t count = 0;
	for (unsigned number = 1; number <= live->tags->number_max; number++) {
		const size_t joint = lt_verify_joint(machine, number);
		if (joint != LT_NONE && (unplugging ? !lt_verify_made(machine, joint) &&
								!lt_verify_skipped(machine, joint)
						    : !lt_verify_needed(machine, joint)))
			lt_text_printf(out, "%s%u", count++ > 0 ? ", " : "", number);
	}
	return count;
}

static void add_unplugged(struct lt_text *out, const struct lt_live *live)
{
	struct lt_text left = { 0 };
	lt_live_addf(out, live, LIVE_STRONG, "", "%zu joint%s noted as apart.",
		lt_verify_made_count(lt_live_machine(live)),
		lt_verify_made_count(lt_live_machine(live)) == 1 ? " is" : "s are");
	if (add_left(&left, live) > 0)
		lt_live_addf(out, live, LIVE_WRONG, "!!  ",
			"Not scanned, so taken for still plugged in: %s. Look at each of them: one that "
			"is apart and not noted is not asked for at reconnecting.",
			lt_text_string(&left));
	lt_text_finish(&left);
}

static void add_reconnected(struct lt_text *out, const struct lt_live *live)
{
	const char *code = live->tags->harness->code;
	struct lt_text left = { 0 };
	if (add_left(&left, live) == 0)
		lt_live_addf(out, live, LIVE_GOOD, "",
			"All %zu numbered joints of %s gave a right pair. A scan does not show that a "
			"joint is seated: each one pulled gently, and ticked?",
			lt_verify_needed_count(lt_live_machine(live)), code);
	else
		lt_live_addf(out, live, LIVE_GOOD, "",
			"All %zu joints of %s that are asked for gave a right pair. A scan does not show "
			"that a joint is seated: each one pulled gently, and ticked? Not noted as apart, "
			"so not asked for: %s. Look at them.",
			lt_verify_needed_count(lt_live_machine(live)), code, lt_text_string(&left));
	lt_text_finish(&left);
}

static void add_made(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const char *code = live->tags->harness->code;
	if (plan->joint_count == 0) {
		lt_live_addf(out, live, LIVE_WAIT, "",
			"%s has no joint with a number: nothing to scan.", code);
		return;
	}
	switch (lt_live_stage(live)) {
	case LT_STAGE_TAG:
		lt_live_addf(out, live, LIVE_GOOD, "",
			"All %zu numbered joints of %s gave a right pair. Unplug in the order of the "
			"checklist.",
			plan->joint_count, code);
		break;
	case LT_STAGE_UNPLUG:
		add_unplugged(out, live);
		break;
	case LT_STAGE_SWAP:
		lt_live_add(out, live, LIVE_GOOD, "",
			"Every new part carries the number of the old one. Look that each sticker sits "
			"where it sat.",
			0);
		break;
	case LT_STAGE_RECONNECT:
		add_reconnected(out, live);
		break;
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		lt_live_add(out, live, LIVE_GOOD, "", "Every line is ticked.", 0);
		break;
	}
}

static void add_unticked(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->work);
	bool any = false;
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		any = any || lt_job_state_ticked(state, i) == LT_NONE;
	lt_live_add(out, live, LIVE_WRONG, "",
		any ? "NOT ALL TICKED:" : "Every line is ticked, but the job is not done.", 0);
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		if (lt_job_state_ticked(state, i) == LT_NONE)
			lt_live_add(out, live, LIVE_PLAIN, "  [ ] ",
				lt_job_state_line(state, i)->text, 0);
}

/* A sticker that waits for its other half keeps the answer from being yes. */
static void add_waiting(struct lt_text *out, const struct lt_live *live)
{
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending(lt_live_machine(live), &number, &side))
		lt_live_addf(out, live, LIVE_WRONG, "!!  ",
			"%u%c was read, and its other half was not: scan both.", number,
			lt_side_letter(side));
	if (lt_verify_pending_elsewhere(lt_live_machine(live), &number, &side, &station))
		lt_live_addf(out, live, LIVE_WRONG, "!!  ",
			"%u%c was read at terminal %u, and its other half was not: scan both, here or "
			"there.",
			number, lt_side_letter(side), station);
}

void lt_live_add_open(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_wrong_mate *wrong;
	struct lt_text open = { 0 };
	for (unsigned number = 1; number <= live->tags->number_max; number++) {
		const size_t joint = lt_verify_joint(machine, number);
		if (joint != LT_NONE && lt_verify_needed(machine, joint) &&
			!lt_verify_made(machine, joint))
			lt_text_printf(&open, "%s%u", open.length > 0 ? ", " : "", number);
	}
	if (open.length > 0)
		lt_live_addf(out, live, LIVE_WRONG, "!!  ",
			"NOT ALL MADE, still open: %s. stage reconnect goes back there.",
			lt_text_string(&open));
	lt_live_add_wrong(out, live, lt_verify_wrong(machine, &wrong));
	add_waiting(out, live);
	lt_text_finish(&open);
}

void lt_live_add_why_open(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->work);
	if (lt_work_job(live->work) == 0)
		return;
	lt_live_addf(out, live, LIVE_WRONG, "!!  ",
		"Job %llu is NOT closed:", lt_work_job(live->work));
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		const enum lt_stage_standing standing =
			lt_job_state_standing(state, (enum lt_stage)stage);
		if (standing == LT_STANDING_BEGUN ||
			(standing == LT_STANDING_NOT_BEGUN && stage >= LT_STAGE_RECONNECT))
			lt_live_addf(out, live, LIVE_PLAIN, "    ", "stage %s is not done.",
				lt_stage_name((enum lt_stage)stage));
	}
	lt_live_add(out, live, LIVE_PLAIN, "    ",
		"stage NAME goes back to it; loomtag jobs close ID REASON ends the job as it is.",
		0);
}

static void add_missing(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_wrong_mate *wrong;
	static const char *const what[LT_STAGE_COUNT] = { "CHECKED", "APART", "PROVEN", "MADE",
		"TICKED" };
	if (lt_live_stage(live) == LT_STAGE_FINISH) {
		add_unticked(out, live);
		if (!lt_job_state_ok(lt_work_state(live->work), LT_STAGE_RECONNECT))
			lt_live_add_open(out, live);
		return;
	}
	lt_live_addf(out, live, LIVE_WRONG, "",
		"NOT ALL %s: %zu of %zu. Missing:", what[lt_live_stage(live)],
		lt_verify_made_count(lt_live_machine(live)),
		lt_verify_needed_count(lt_live_machine(live)));
	lt_live_add_joints(out, live, true);
	lt_live_add_wrong(out, live, lt_verify_wrong(lt_live_machine(live), &wrong));
	add_waiting(out, live);
}

void lt_live_add_end(struct lt_text *out, const struct lt_live *live, bool yes)
{
	const enum lt_stage stage = lt_live_stage(live);
	const bool nothing = lt_job_state_joints(lt_work_state(live->work)) == 0;
	if (yes || stage == LT_STAGE_UNPLUG || (nothing && stage != LT_STAGE_FINISH))
		add_made(out, live);
	else
		add_missing(out, live);
	if (stage == LT_STAGE_FINISH)
		return;
	add_typed(out, live);
	add_unit_caution(out, live);
	if (stage == LT_STAGE_UNPLUG || stage == LT_STAGE_SWAP)
		return;
	add_by_eye(out, live);
	/* On a terminal they are asked for, one after the other. */
	if (yes && stage == LT_STAGE_RECONNECT && !live->options.terminal) {
		add_finish(out, live);
		add_restore(out, live);
	}
}
