/* What is said at the end of a stage. */
#include "live/conversation.h"

/* Joints with no number. */
static void add_by_eye(struct lt_live *live)
{
	const struct lt_tags *tags = live->options.tags;
	const struct lt_harness *harness = tags->harness;
	bool any = false;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const size_t connector = harness->order[i];
		const struct lt_connector *described = &harness->connectors[connector];
		if (tags->number_of[connector] != 0)
			continue;
		if (!any)
			lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "",
				"No number, nothing scanned. Check these by eye and tick them:");
		any = true;
		struct lt_text *line = lt_live_put(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]");
		lt_live_name(line, live, connector);
		if (described->where != NULL)
			lt_text_printf(line, ", %s", described->where);
		if (described->seat != NULL)
			lt_text_printf(line, ": %s", described->seat);
	}
}

/* What is to be ticked. */
static void add_finish(struct lt_live *live)
{
	const struct lt_harness *harness = live->options.tags->harness;
	if (harness->finish_count > 0)
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "", "To finish:");
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_live_add(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]", harness->finish[i].text);
	if (harness->hazard_count > 0)
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "",
			"Last, with tools out, covers closed and everyone told, as local codes and "
			"your permit to work ask. Restore:");
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		lt_text_printf(lt_live_put(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]"), "%s%s%s",
			hazard->energy, hazard->restore != NULL ? ": " : "",
			hazard->restore != NULL ? hazard->restore : "");
	}
}

size_t lt_live_left(struct lt_text *out, const struct lt_verify *machine, unsigned number_max)
{
	const bool unplugging = lt_verify_plan(machine)->stage == LT_STAGE_UNPLUG;
	size_t count = 0;
	for (unsigned number = 1; number <= number_max; number++) {
		const size_t joint = lt_verify_joint(machine, number);
		if (joint != LT_NONE && (unplugging ? !lt_verify_made(machine, joint) &&
								!lt_verify_skipped(machine, joint)
						    : !lt_verify_needed(machine, joint)))
			lt_text_printf(out, "%s%u", count++ > 0 ? ", " : "", number);
	}
	return count;
}

static void add_unplugged(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const size_t made = lt_verify_made_count(machine);
	struct lt_text left = { 0 };
	lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, ""),
		"%zu joint%s noted as apart.", made, made == 1 ? " is" : "s are");
	if (lt_live_left(&left, machine, live->options.tags->number_max) > 0)
		lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			"Not scanned, so taken for still plugged in: %s. Look at each of them: one that "
			"is apart and not noted is not asked for at reconnecting.",
			lt_text_string(&left));
	lt_text_finish(&left);
}

static void add_reconnected(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const char *code = live->options.tags->harness->code;
	struct lt_text left = { 0 };
	struct lt_text *words = lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_GOOD, "");
	const size_t others = lt_live_left(&left, machine, live->options.tags->number_max);
	lt_text_printf(words,
		"All %zu %sjoints of %s %sgave a right pair. A scan does not show that a joint is "
		"seated: each one pulled gently, and ticked?",
		lt_verify_needed_count(machine), others == 0 ? "numbered " : "", code,
		others == 0 ? "" : "that are asked for ");
	if (others > 0)
		lt_text_printf(words, " Not noted as apart, so not asked for: %s. Look at them.",
			lt_text_string(&left));
	lt_text_finish(&left);
}

static void add_made(struct lt_live *live)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const enum lt_stage stage = lt_live_stage(live);
	const char *code = live->options.tags->harness->code;
	if (plan->joint_count == 0)
		lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WAIT, ""),
			"%s has no joint with a number: nothing to scan.", code);
	else if (stage == LT_STAGE_TAG)
		lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_GOOD, ""),
			"All %zu numbered joints of %s gave a right pair. Unplug in the order of the "
			"checklist.",
			plan->joint_count, code);
	else if (stage == LT_STAGE_UNPLUG)
		add_unplugged(live);
	else if (stage == LT_STAGE_SWAP)
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_GOOD, "",
			"Every new part carries the number of the old one. Look that each sticker sits "
			"where it sat.");
	else if (stage == LT_STAGE_RECONNECT)
		add_reconnected(live);
	else
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_GOOD, "", "Every line is ticked.");
}

/* A sticker that waits for its other half keeps the answer from being yes. */
static void add_waiting(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending(machine, &number, &side))
		lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			"%u%c was read, and its other half was not: scan both.", number,
			lt_side_letter(side));
	if (lt_verify_pending_elsewhere(machine, &number, &side, &station))
		lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			"%u%c was read at terminal %u, and its other half was not: scan both, here or "
			"there.",
			number, lt_side_letter(side), station);
}

void lt_live_open(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	struct lt_text open = { 0 };
	for (unsigned number = 1; number <= live->options.tags->number_max; number++) {
		const size_t joint = lt_verify_joint(machine, number);
		if (joint != LT_NONE && lt_verify_needed(machine, joint) &&
			!lt_verify_made(machine, joint))
			lt_text_printf(&open, "%s%u", open.length > 0 ? ", " : "", number);
	}
	if (open.length > 0)
		lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			"NOT ALL MADE, still open: %s. stage reconnect goes back there.",
			lt_text_string(&open));
	lt_text_finish(&open);
	lt_live_wrong(live);
	add_waiting(live);
}

void lt_live_why_open(struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	if (lt_work_job(live->options.work) == 0)
		return;
	lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
		"Job %llu is NOT closed:", lt_work_job(live->options.work));
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		const enum lt_stage_state standing =
			lt_job_state_of_stage(state, (enum lt_stage)stage);
		if (standing == LT_STATE_BEGUN ||
			(standing == LT_STATE_NOT_BEGUN && stage >= LT_STAGE_RECONNECT))
			lt_text_printf(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN, ""),
				"stage %s is not done.", lt_stage_name((enum lt_stage)stage));
	}
	lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN, "",
		"stage NAME goes back to it; loomtag jobs close ID REASON ends the job as it is.");
}

static void add_unticked(struct lt_live *live)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	struct lt_text *head = lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WRONG, "");
	bool any = false;
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		any = any || lt_job_state_ticked(state, i) == LT_NONE;
	lt_text_add(head,
		any ? "NOT ALL TICKED:" : "Every line is ticked, but the job is not done.");
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		if (lt_job_state_ticked(state, i) == LT_NONE)
			lt_live_add(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]",
				lt_job_state_line(state, i)->text);
	if (!lt_job_state_ok(state, LT_STAGE_RECONNECT))
		lt_live_open(live);
}

static void add_missing(struct lt_live *live)
{
	static const char *const what[LT_STAGE_COUNT] = { "CHECKED", "APART", "PROVEN", "MADE",
		"TICKED" };
	const struct lt_verify *machine = lt_live_machine(live);
	lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WRONG, ""),
		"NOT ALL %s: %zu of %zu. Missing:", what[lt_live_stage(live)],
		lt_verify_made_count(machine), lt_verify_needed_count(machine));
	lt_live_joints(live, true);
	lt_live_wrong(live);
	add_waiting(live);
}

static void add_doubts(struct lt_live *live)
{
	const size_t typed = lt_verify_typed_count(lt_live_machine(live));
	if (typed > 0)
		lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WAIT, ""),
			"%zu of the joints %s: typed by hand, not scanned.", typed,
			lt_live_made_word(live));
	if (live->options.tags->harness->unit == NULL)
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WAIT, "",
			"No unit was given: stickers of two like modules could not be told apart.");
}

void lt_live_ending(struct lt_live *live, bool yes)
{
	const enum lt_stage stage = lt_live_stage(live);
	const bool nothing = lt_job_state_joints(lt_work_state(live->options.work)) == 0;
	if (yes || stage == LT_STAGE_UNPLUG || (nothing && stage != LT_STAGE_FINISH))
		add_made(live);
	else if (stage == LT_STAGE_FINISH)
		add_unticked(live);
	else
		add_missing(live);
	if (stage == LT_STAGE_FINISH)
		return;
	add_doubts(live);
	if (stage == LT_STAGE_UNPLUG || stage == LT_STAGE_SWAP)
		return;
	add_by_eye(live);
	/* Who sits there is asked for them, one after the other. */
	if (yes && stage == LT_STAGE_RECONNECT && !live->options.attended)
		add_finish(live);
}
