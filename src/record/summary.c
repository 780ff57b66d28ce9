/* The summary of a record: which findings there are, and which of them are faults. */
#include <string.h>

#include "loomtag/words.h"
#include "record/facts.h"

static void add_fixed(struct lt_record *record, bool fault, const char *words)
{
	lt_document_add(&record->document, LT_BLOCK_FINDING, words)->fault = fault;
	record->faults += fault;
}

/* Finishes the text. */
static void add_finding(struct lt_record *record, bool fault, struct lt_text *text)
{
	add_fixed(record, fault, lt_record_keep(record, text));
}

static void add_digest(struct lt_record *record)
{
	struct lt_text text = { 0 };
	const bool fits =
		record->count > 0 && record->misfit == LT_NONE && record->missing_events == 0;
	if (record->count == 0)
		lt_text_add(&text, lt_record_words.events_gone);
	else if (record->misfit != LT_NONE)
		lt_words_events_changed(&text, record->misfit + 1, record->count);
	else if (record->missing_events > 0)
		lt_words_events_missing(&text, record->missing_events,
			record->count + record->missing_events);
	else
		lt_words_events_fit(&text, record->count);
	add_finding(record, !fits, &text);
}

static void add_closed(struct lt_record *record)
{
	struct lt_text text = { 0 };
	if (record->closed != record->job->closed)
		add_fixed(record, true, lt_record_words.closed_in_doubt);
	if (!record->closed)
		lt_text_add(&text, lt_record_words.not_closed);
	else if (record->reason != NULL)
		lt_words_closed_unfinished(&text, record->reason);
	else
		lt_words_closed(&text, lt_record_moment(record, record->job->last));
	add_finding(record, !record->closed || record->reason != NULL, &text);
}

/* How many joints have one of these bits; *numbers lists them as "1–4, 7". */
static size_t pick(const char **numbers, struct lt_record *record, unsigned which)
{
	const struct lt_record_joint *joints = record->joints;
	struct lt_text text = { 0 };
	size_t count = 0;
	for (size_t i = 0; i < record->joint_count; i++) {
		if ((joints[i].is & which) == 0)
			continue;
		size_t last = i;
		while (last + 1 < record->joint_count &&
			joints[last + 1].plan->number == joints[last].plan->number + 1 &&
			(joints[last + 1].is & which) != 0)
			last++;
		/* Two that follow each other are no range. */
		if (last - i < 2)
			last = i;
		lt_text_printf(&text, "%s%u", count > 0 ? ", " : "", joints[i].plan->number);
		if (last > i)
			lt_text_printf(&text, "–%u", joints[last].plan->number);
		count += last - i + 1;
		i = last;
	}
	*numbers = lt_record_keep(record, &text);
	return count;
}

/* One finding for the joints that have one of these bits. */
static void add_joints(struct lt_record *record, bool fault, unsigned which,
	enum lt_joints_found found)
{
	struct lt_text text = { 0 };
	const char *numbers;
	const size_t count = pick(&numbers, record, which);
	if (count == 0)
		return;
	lt_words_joints_found(&text, found, count, numbers);
	add_finding(record, fault, &text);
}

/* Halves that wait for their other halves at reconnect; returns how many. */
static size_t add_waiting(struct lt_record *record)
{
	const struct lt_verify *machine = lt_job_state_machine(record->state, LT_STAGE_RECONNECT);
	unsigned number, station;
	enum lt_side side;
	size_t count = 0;
	for (size_t i = 0; lt_verify_pending_at(machine, i, &number, &side, &station); i++) {
		struct lt_text text = { 0 };
		if (number == 0)
			continue;
		lt_words_record_half(&text, number, side, station);
		add_finding(record, true, &text);
		count++;
	}
	return count;
}

/* Why reconnecting is not finished, though every joint may be made. */
static void add_unfinished(struct lt_record *record, bool all_made)
{
	if (add_waiting(record) > 0 || !all_made || record->reconnected)
		return;
	add_fixed(record, true,
		lt_job_state_strange(record->state) != LT_NONE
			? lt_record_words.not_reconnected_by_strange_event
			: lt_record_words.not_reconnected);
}

static void add_made(struct lt_record *record)
{
	struct lt_text text = { 0 };
	const char *open, *made;
	const size_t open_count = pick(&open, record, LT_RECORD_IS_OPEN);
	const size_t made_count = pick(&made, record, LT_RECORD_IS_MADE);
	if (lt_job_state_joints(record->state) == 0 && open_count + made_count == 0) {
		add_fixed(record, true, lt_record_words.no_joint_has_number);
	} else {
		lt_words_joints_made(&text, open, made_count, open_count + made_count,
			record->unplugging);
		add_finding(record, open_count > 0 || !record->unplugging, &text);
		add_unfinished(record, open_count == 0);
	}
	add_joints(record, false, LT_RECORD_IS_LEFT_IN, LT_JOINTS_NOT_APART);
	add_joints(record, true, LT_RECORD_IS_UNACCOUNTED, LT_JOINTS_UNACCOUNTED);
}

static void add_wrong(struct lt_record *record)
{
	struct lt_text open = { 0 }, text = { 0 };
	if (record->wrong_count == 0) {
		add_fixed(record, false, lt_record_words.no_wrong_mate);
		return;
	}
	for (size_t i = 0; i < record->wrong_count; i++) {
		const struct lt_record_wrong *wrong = &record->wrong[i];
		if (wrong->resolved != LT_NONE)
			continue;
		lt_text_add(&open, open.length > 0 ? ", " : "");
		lt_words_wrong_pair(&open, wrong->first, wrong->second);
	}
	lt_words_wrong_mates(&text, record->wrong_count, lt_text_string(&open));
	add_finding(record, open.length > 0, &text);
	lt_text_finish(&open);
}

static void add_parts(struct lt_record *record)
{
	struct lt_text open = { 0 }, text = { 0 };
	size_t count = 0;
	for (size_t i = 0; i < record->part_count; i++) {
		const struct lt_record_part *part = &record->parts[i];
		/* A part of which no joint has a number has nothing to prove. */
		count += part->joint_count > 0;
		if (part->joint_count > 0 && part->swapped == LT_NONE)
			lt_text_printf(&open, "%s%s", open.length > 0 ? ", " : "", part->id);
	}
	if (count > 0) {
		lt_words_parts_checked(&text, count, lt_text_string(&open));
		add_finding(record, open.length > 0, &text);
	}
	lt_text_finish(&open);
}

static void add_stages(struct lt_record *record, enum lt_stage_state state)
{
	const char *names[LT_STAGE_COUNT];
	struct lt_text text = { 0 };
	size_t count = 0;
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		if (record->stages[stage].state == state)
			names[count++] = lt_record_words.stage_called[stage];
	if (count == 0)
		return;
	lt_words_stages_found(&text, state, count, lt_record_names(record, names, count, ""));
	add_finding(record, true, &text);
}

static void add_hazards_and_lines(struct lt_record *record)
{
	size_t hazards = 0, unconfirmed = 0, late = 0, unticked = 0;
	struct lt_text text = { 0 };
	for (size_t i = 0; i < record->line_count; i++) {
		const struct lt_record_line *line = &record->lines[i];
		const bool hazard = line->plan->kind == LT_JOB_LINE_HAZARD;
		hazards += hazard;
		unconfirmed += hazard && line->confirmed == LT_NONE;
		late += line->late;
		unticked += line->ticked == LT_NONE;
	}
	if (hazards > 0) {
		lt_words_hazards_confirmed(&text, unconfirmed, late, hazards);
		add_finding(record, unconfirmed > 0 || late > 0, &text);
	}
	if (record->line_count > 0) {
		lt_words_record_lines(&text, unticked, record->line_count);
		add_finding(record, unticked > 0, &text);
	}
}

static void add_who(struct lt_record *record)
{
	for (size_t i = 0; i < record->who.count; i++)
		if (strcmp(record->who.names[i], "?") != 0)
			return;
	if (record->who.count > 0)
		add_fixed(record, true, lt_record_words.nobody_named);
}

/* Whether a plan of this job made anything void that was recorded before. */
static bool plan_voids(const struct lt_job_replan *replan)
{
	for (size_t i = 0; i < replan->change_count; i++)
		if (replan->changes[i].voids)
			return true;
	return replan->voids_all;
}

/* What the job was checked against, and whether that changed while it was worked on. */
static void add_plans(struct lt_record *record)
{
	const struct lt_job_state *state = record->state;
	const size_t plans = lt_job_state_plans(state);
	struct lt_text text = { 0 };
	size_t changes = 0;
	bool voids = false;
	if (plans == 0)
		add_fixed(record, true, lt_record_words.plan_unknown);
	for (size_t i = 0; i < plans; i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, i);
		changes += replan->change_count;
		voids = voids || plan_voids(replan);
		if (!replan->voids_all)
			continue;
		lt_words_first_plan_late(&text, replan->event + 1);
		add_finding(record, true, &text);
	}
	if (changes == 0)
		return;
	lt_words_plan_changed(&text, changes, voids);
	add_finding(record, voids, &text);
}

static void add_changes(struct lt_record *record)
{
	const char *now = record->tags->harness->revision, *then = record->job->revision;
	struct lt_text text = { 0 };
	add_plans(record);
	if (record->redescribed)
		add_fixed(record, true, lt_record_words.described_anew);
	if ((now == NULL) != (then == NULL) || (now != NULL && strcmp(now, then) != 0)) {
		lt_words_revision_changed(&text, then, now);
		add_finding(record, true, &text);
	}
	add_joints(record, true, LT_RECORD_IS_REMOVED, LT_JOINTS_REMOVED);
}

static void add_strange(struct lt_record *record)
{
	const size_t strange = lt_job_state_strange(record->state);
	struct lt_text text = { 0 };
	if (strange == LT_NONE)
		return;
	lt_words_event_not_understood(&text, strange + 1);
	add_finding(record, true, &text);
}

/* What follows from the plan beside what was made. */
static void add_work(struct lt_record *record)
{
	add_joints(record, true, LT_RECORD_IS_SKIPPED, LT_JOINTS_SKIPPED);
	/* Before what, is known only where it is known what came apart. */
	add_joints(record, true, LT_RECORD_IS_UNPROVEN,
		record->unplugging ? LT_JOINTS_UNCHECKED_BEFORE : LT_JOINTS_UNCHECKED);
	add_joints(record, true, LT_RECORD_IS_TYPED, LT_JOINTS_TYPED);
	add_joints(record, false, LT_RECORD_IS_TYPED_OF_PAPER, LT_JOINTS_TYPED_OF_PAPER);
	add_parts(record);
	add_stages(record, LT_STATE_SKIPPED);
	add_stages(record, LT_STATE_NOT_BEGUN);
	add_stages(record, LT_STATE_BEGUN);
	add_hazards_and_lines(record);
}

/* What was changed later makes all the rest doubtful, and comes first. */
void lt_record_add_summary(struct lt_record *record)
{
	const bool fits =
		record->count > 0 && record->misfit == LT_NONE && record->missing_events == 0;
	const bool planned = lt_job_state_plans(record->state) > 0;
	lt_document_add(&record->document, LT_BLOCK_SECTION, lt_record_words.summary)->detail =
		lt_record_words.summary_as_text;
	if (!fits)
		add_digest(record);
	add_strange(record);
	add_closed(record);
	if (planned)
		add_made(record);
	add_wrong(record);
	if (planned)
		add_work(record);
	add_changes(record);
	add_who(record);
	if (record->job->unit == NULL && !record->tags->harness->own_unit)
		add_fixed(record, true, lt_record_words.no_unit);
	if (fits)
		add_digest(record);
}
