/* The end of a stage: its answer, what is missing, and what is left to do. */
#include "live/conversation.h"
#include "loomtag/words.h"

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
				lt_result_words.check_by_eye);
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
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "", lt_live_words.to_finish);
	for (size_t i = 0; i < harness->finish_count; i++)
		lt_live_add(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]", harness->finish[i].text);
	if (harness->hazard_count > 0) {
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "", lt_live_words.restore_last);
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_STRONG, "", lt_live_words.restore);
	}
	/* The energy that was isolated first is restored last. */
	for (size_t i = harness->hazard_count; i > 0; i--) {
		const struct lt_hazard *hazard = &harness->hazards[i - 1];
		lt_words_restore(lt_live_put(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]"),
			hazard->energy, hazard->restore);
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

/* How many joints there are, and the answer. */
static void add_answer(struct lt_live *live, unsigned no)
{
	const enum lt_stage stage = lt_live_stage(live);
	const struct lt_verify *machine = lt_live_machine(live);
	const bool others = lt_verify_made_count(machine) < lt_verify_needed_count(machine);
	if (stage != LT_STAGE_FINISH)
		lt_live_count(live);
	lt_live_add(live, LT_LIVE_TEXT, no == 0 ? LT_LIVE_GOOD : LT_LIVE_WRONG, "",
		lt_result_answer(no, stage, others));
}

/* At stage unplug no answer is a fault: it is for the person to say what stays plugged in. */
static void add_unplugged(struct lt_live *live, unsigned no)
{
	struct lt_text left = { 0 };
	if (no == 0)
		add_answer(live, no);
	else
		lt_live_count(live);
	if (lt_live_left(&left, lt_live_machine(live), live->options.tags->number_max) > 0)
		lt_words_not_scanned(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
			lt_text_string(&left));
	lt_text_finish(&left);
}

/* Joints that were left plugged in. */
static void add_not_asked(struct lt_live *live)
{
	struct lt_text left = { 0 };
	if (lt_live_left(&left, lt_live_machine(live), live->options.tags->number_max) > 0)
		lt_words_not_asked(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WAIT, ""),
			lt_text_string(&left));
	lt_text_finish(&left);
}

/* A sticker that waits for its other half keeps the answer from being yes. */
static void add_waiting(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending(machine, &number, &side))
		lt_words_half_pair(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""), number, side,
			0);
	if (lt_verify_pending_elsewhere(machine, &number, &side, &station))
		lt_words_half_pair(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""), number, side,
			station);
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
		lt_words_open_joints(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
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
	lt_words_job_not_closed(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
		lt_work_job(live->options.work));
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		const enum lt_stage_state standing =
			lt_job_state_of_stage(state, (enum lt_stage)stage);
		if (standing == LT_STATE_BEGUN ||
			(standing == LT_STATE_NOT_BEGUN && stage >= LT_STAGE_RECONNECT))
			lt_words_stage_not_done(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN,
							""),
				(enum lt_stage)stage);
	}
	lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN, "", lt_live_words.go_back_or_close);
}

static void add_unticked(struct lt_live *live, unsigned no)
{
	const struct lt_job_state *state = lt_work_state(live->options.work);
	add_answer(live, no);
	for (size_t i = 0; i < lt_job_state_lines(state); i++)
		if (lt_job_state_ticked(state, i) == LT_NONE)
			lt_live_add(live, LT_LIVE_BOX, LT_LIVE_PLAIN, "[ ]",
				lt_job_state_line(state, i)->text);
	if (!lt_job_state_ok(state, LT_STAGE_RECONNECT))
		lt_live_open(live);
}

static void add_missing(struct lt_live *live, unsigned no)
{
	const struct lt_verify *machine = lt_live_machine(live);
	add_answer(live, no);
	if (lt_verify_made_count(machine) < lt_verify_needed_count(machine))
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WRONG, "", lt_live_words.missing);
	lt_live_joints(live, true);
	lt_live_wrong(live);
	add_waiting(live);
}

static void add_doubts(struct lt_live *live)
{
	const size_t typed = lt_verify_typed_count(lt_live_machine(live));
	if (typed > 0)
		lt_words_typed(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WAIT, ""), typed);
	if (lt_harness_unit_missing(live->options.tags->harness))
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WAIT, "", lt_result_words.no_unit);
}

/* The answer, with what is missing where it is no. */
static void add_result(struct lt_live *live, unsigned no)
{
	const enum lt_stage stage = lt_live_stage(live);
	const bool nothing = lt_job_state_joints(lt_work_state(live->options.work)) == 0;
	if (stage == LT_STAGE_FINISH && no != 0) {
		add_unticked(live, no);
	} else if (stage == LT_STAGE_FINISH) {
		add_answer(live, no);
	} else if (nothing) {
		lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WAIT, "", lt_result_words.no_number);
	} else if (stage == LT_STAGE_UNPLUG) {
		add_unplugged(live, no);
	} else if (no != 0) {
		add_missing(live, no);
	} else {
		add_answer(live, no);
		if (stage == LT_STAGE_TAG)
			lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, "",
				lt_live_words.unplug_in_order);
		if (stage == LT_STAGE_RECONNECT)
			add_not_asked(live);
	}
}

void lt_live_ending(struct lt_live *live, unsigned no)
{
	const enum lt_stage stage = lt_live_stage(live);
	add_result(live, no);
	if (stage == LT_STAGE_FINISH)
		return;
	add_doubts(live);
	if (stage == LT_STAGE_SWAP)
		return;
	add_by_eye(live);
	/* Who sits there is asked for them, one after the other. */
	if (no == 0 && stage == LT_STAGE_RECONNECT && !live->options.attended)
		add_finish(live);
}
