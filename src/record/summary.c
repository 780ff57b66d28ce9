/* The summary of a record: what was done, in big plain words, and what was not. */
#include <string.h>

#include "loomtag/base.h"
#include "record/model.h"

static void add(struct lt_record_paper *paper, bool fault, struct lt_text *text)
{
	lt_record_add(paper, LT_RECORD_SUMMARY, lt_text_string(text))->fault = fault;
	paper->faults += fault;
	lt_text_finish(text);
	*text = (struct lt_text){ 0 };
}

static void say(struct lt_record_paper *paper, bool fault, const char *words)
{
	struct lt_text text = { 0 };
	lt_text_add(&text, words);
	add(paper, fault, &text);
}

static void add_digest(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	if (record->count == 0) {
		say(paper, true, "THE EVENTS ARE GONE: nothing that was done is shown");
	} else if (record->misfit != LT_NONE) {
		lt_text_printf(&text,
			"THE EVENTS WERE CHANGED after they were written: event %zu of %zu does "
			"not fit its digest. From there on they prove nothing",
			record->misfit + 1, record->count);
		add(paper, true, &text);
	} else if (record->gone > 0) {
		lt_text_printf(&text,
			"EVENTS ARE GONE: of %zu events the last %zu are missing. What is left does not "
			"show how the job ended",
			record->count + record->gone, record->gone);
		add(paper, true, &text);
	} else {
		lt_text_printf(&text, "The events fit their digests (%zu)", record->count);
		add(paper, false, &text);
	}
}

static void add_closed(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	if (record->closed != record->job->closed)
		say(paper, true, "The database and the events do not agree whether it is closed");
	if (!record->closed) {
		say(paper, true, "NOT CLOSED");
	} else if (record->reason != NULL) {
		lt_text_printf(&text, "CLOSED UNFINISHED: %s", record->reason);
		add(paper, true, &text);
	} else {
		lt_text_printf(&text, "Closed %s", lt_record_moment(paper, record->job->last));
		add(paper, false, &text);
	}
}

static bool is_open(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return joint->standing == LT_RECORD_OPEN;
}

static bool is_made(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return joint->standing == LT_RECORD_MADE && joint->needed;
}

static bool is_left_in(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return joint->standing == LT_RECORD_LEFT_IN;
}

/* Nothing shows that it was together, with the right stickers, when the others came apart. */
static bool is_unaccounted(const struct lt_record *record, const struct lt_record_joint *joint)
{
	return is_left_in(record, joint) && joint->proven == LT_NONE && !joint->stays;
}

static bool is_skipped(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return joint->skipped != LT_NONE;
}

static bool by_typed_tags(const struct lt_record_joint *joint)
{
	return joint->proven_typed || joint->swapped_typed || joint->made_typed;
}

static bool is_typed(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return by_typed_tags(joint) && !joint->paper;
}

static bool is_typed_of_paper(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return by_typed_tags(joint) && joint->paper;
}

static bool is_unproven(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return !joint->proven_before && joint->needed;
}

static bool is_gone(const struct lt_record *record, const struct lt_record_joint *joint)
{
	(void)record;
	return joint->gone;
}

/* How many joints are so, with their numbers in `numbers`, which the caller finishes. */
static size_t pick(struct lt_text *numbers, const struct lt_record *record, lt_record_pick *which)
{
	*numbers = (struct lt_text){ 0 };
	return lt_record_numbers(numbers, record, which);
}

/* Why reconnecting is not finished, though every joint may be made. */
static void add_waiting(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	lt_text_add(&text, "Reconnecting is not finished: ");
	for (size_t i = 0; i < record->waiting_count; i++)
		lt_text_printf(&text, "%s%s, read at terminal %u, waits for its mate",
			i > 0 ? "; " : "", record->waiting[i].tag, record->waiting[i].station);
	add(paper, true, &text);
}

static void add_left_in(struct lt_record_paper *paper)
{
	struct lt_text numbers, some, text = { 0 };
	const size_t left = pick(&numbers, paper->record, is_left_in);
	const size_t unaccounted = pick(&some, paper->record, is_unaccounted);
	if (left > 0) {
		lt_record_count(&text, left, "joint", "joints");
		lt_text_printf(&text, " not noted as apart, so not checked: %s",
			lt_text_string(&numbers));
		if (unaccounted > 0 && unaccounted < left)
			lt_text_printf(&text, "; NEITHER PROVEN NOR SAID TO STAY: %s",
				lt_text_string(&some));
		else if (unaccounted > 0)
			lt_text_add(&text, "; NEITHER PROVEN NOR SAID TO STAY");
		add(paper, unaccounted > 0, &text);
	}
	lt_text_finish(&numbers);
	lt_text_finish(&some);
}

static void add_made(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text open, made, text = { 0 };
	size_t open_count = pick(&open, record, is_open);
	size_t made_count = pick(&made, record, is_made);
	if (open_count > 0)
		lt_text_printf(&text, "NOT ALL MADE: %s (", lt_text_string(&open));
	lt_text_printf(&text, "%zu of ", made_count);
	lt_record_count(&text, open_count + made_count, "joint", "joints");
	lt_text_add(&text, record->unplugging ? " that came apart" : "");
	lt_text_add(&text, made_count == 1 ? " was made again" : " were made again");
	if (!record->unplugging)
		lt_text_add(&text, "; which came apart is not known");
	if (open_count > 0)
		lt_text_add_char(&text, ')');
	add(paper, open_count > 0 || !record->unplugging, &text);
	if (record->waiting_count > 0)
		add_waiting(paper);
	else if (!record->reconnected && open_count == 0)
		say(paper, true,
			"Reconnecting is not finished: a wrong mate of stickers, or one with a joint that "
			"is gone, is not put right");
	lt_text_finish(&open);
	lt_text_finish(&made);
	add_left_in(paper);
}

/* One line for joints that are so: "2 joints skipped: 4, 9". */
static void add_joints(struct lt_record_paper *paper, bool fault, lt_record_pick *which,
	const char *one, const char *many)
{
	struct lt_text numbers, text = { 0 };
	size_t count = pick(&numbers, paper->record, which);
	if (count > 0) {
		lt_record_count(&text, count, one, many);
		lt_text_printf(&text, ": %s", lt_text_string(&numbers));
		add(paper, fault, &text);
	}
	lt_text_finish(&numbers);
}

/* Before what, is known only where it is known what came apart. */
static void add_unproven(struct lt_record_paper *paper)
{
	bool known = paper->record->unplugging;
	add_joints(paper, true, is_unproven,
		known ? "joint with stickers NOT PROVEN before it came apart"
		      : "joint with stickers NOT PROVEN",
		known ? "joints with stickers NOT PROVEN before they came apart"
		      : "joints with stickers NOT PROVEN");
}

/* "4H with 5M, 3H with 12M". */
static size_t list_open_wrong(struct lt_text *out, const struct lt_record *record)
{
	size_t open = 0;
	for (size_t i = 0; i < record->wrong_count; i++) {
		const struct lt_record_wrong *wrong = &record->wrong[i];
		if (wrong->righted != LT_NONE)
			continue;
		lt_text_printf(out, "%s%s with %s", open++ > 0 ? ", " : "",
			wrong->first != NULL ? wrong->first : "?",
			wrong->second != NULL ? wrong->second : "?");
	}
	return open;
}

static void add_wrong(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 }, list = { 0 };
	size_t open = list_open_wrong(&list, record);
	if (record->wrong_count == 0)
		lt_text_add(&text, "No wrong mate was met");
	else
		lt_record_count(&text, record->wrong_count, "wrong mate caught",
			"wrong mates caught");
	if (open > 0)
		lt_text_printf(&text, "; NOT SHOWN TO BE PUT RIGHT: %s", lt_text_string(&list));
	else if (record->wrong_count > 0)
		lt_text_add(&text,
			record->wrong_count == 1 ? ", and put right" : ", all put right");
	add(paper, open > 0, &text);
	lt_text_finish(&list);
}

static void add_parts(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	size_t open = 0, count = 0;
	for (size_t i = 0; i < record->part_count; i++) {
		/* A part of which no joint has a number has nothing to prove. */
		if (record->parts[i].joint_count == 0)
			continue;
		count++;
		if (record->parts[i].swapped != LT_NONE)
			continue;
		lt_text_printf(&text, "%s%s",
			open++ > 0 ? ", " : "NUMBER NOT PROVEN ON NEW PART: ", record->parts[i].id);
	}
	if (open == 0 && count > 0) {
		lt_record_count(&text, count, "part", "parts");
		lt_text_add(&text, " replaced, the numbers proven on what is new");
	}
	if (count > 0)
		add(paper, open > 0, &text);
}

/* "Stages skipped: unplugging, last checks". */
static void add_stages(struct lt_record_paper *paper, enum lt_stage_standing standing,
	const char *words)
{
	struct lt_text text = { 0 };
	size_t count = 0;
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++) {
		if (paper->record->stages[stage].standing == standing)
			lt_text_printf(&text, "%s%s", count++ > 0 ? ", " : words,
				lt_record_stage_words(stage));
	}
	if (count > 0)
		add(paper, true, &text);
}

static void add_lines(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	size_t open = 0;
	for (size_t i = 0; i < record->line_count; i++)
		open += record->lines[i].ticked == LT_NONE;
	if (record->line_count == 0)
		return;
	if (open > 0)
		lt_text_printf(&text, "NOT TICKED: %zu of ", open);
	else
		lt_text_add(&text, "Ticked: all ");
	lt_record_count(&text, record->line_count, "hazard and finish line",
		"hazard and finish lines");
	add(paper, open > 0, &text);
}

static void add_hazards(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	size_t count = 0, open = 0, late = 0;
	for (size_t i = 0; i < record->line_count; i++) {
		count += record->lines[i].hazard;
		open += record->lines[i].hazard && record->lines[i].confirmed == LT_NONE;
		late += record->lines[i].late;
	}
	if (count == 0)
		return;
	if (open > 0)
		lt_text_printf(&text, "MADE SAFE NOT CONFIRMED: %zu of ", open);
	else if (late > 0)
		lt_text_printf(&text, "MADE SAFE CONFIRMED ONLY AFTER WORK HAD BEGUN: %zu of ",
			late);
	else
		lt_text_add(&text, "Confirmed to be made safe before work: all ");
	lt_record_count(&text, count, "hazard", "hazards");
	add(paper, open > 0 || late > 0, &text);
}

static void add_who(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	for (size_t i = 0; i < record->who_count; i++)
		if (strcmp(record->who[i], "?") != 0)
			return;
	if (record->who_count > 0)
		say(paper, true, "NOBODY IS NAMED: whose work it was is not known");
}

static bool same(const char *a, const char *b)
{
	return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* Whether a plan of this job made anything count no more. */
static bool plan_voids(const struct lt_job_replan *replan)
{
	for (size_t i = 0; i < replan->change_count; i++)
		if (replan->changes[i].voids)
			return true;
	return replan->voids_all;
}

/* What the job was checked against, and whether that changed while it was worked on. */
static void add_plans(struct lt_record_paper *paper)
{
	const struct lt_job_state *state = paper->record->state;
	const size_t plans = lt_job_state_plans(state);
	size_t changes = 0;
	bool voids = false;
	struct lt_text text = { 0 };
	if (plans == 0) {
		say(paper, true,
			"CHECKED AGAINST: NOT KNOWN. An older version of the program did not keep it. The "
			"answers stand as they were given; where joints stand is not worked out");
		return;
	}
	for (size_t i = 0; i < plans; i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, i);
		changes += replan->change_count;
		voids = voids || plan_voids(replan);
		if (replan->voids_all)
			say(paper, true,
				"NOTHING COUNTS THAT WAS RECORDED BEFORE THE FIRST PLAN: every joint was "
				"asked for again");
	}
	if (changes == 0)
		return;
	lt_text_add(&text, "THE DESCRIPTION WAS CHANGED DURING THE JOB: ");
	lt_record_count(&text, changes, "change", "changes");
	if (voids)
		lt_text_add(&text, ". What no longer counted was asked for again");
	add(paper, voids, &text);
}

static void add_changes(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	const struct lt_harness *harness = record->tags->harness;
	struct lt_text text = { 0 };
	add_plans(paper);
	if (record->redescribed)
		say(paper, true,
			"THE DESCRIPTION HAS CHANGED since the job. This record is by the description "
			"that the job was checked against");
	if (!same(harness->revision, record->job->revision)) {
		lt_text_printf(&text, "The description is of revision %s now",
			harness->revision != NULL ? harness->revision : "none");
		add(paper, true, &text);
	}
	add_joints(paper, true, is_gone, "joint was taken out of the description during the job",
		"joints were taken out of the description during the job");
}

static void add_strange(struct lt_record_paper *paper)
{
	const size_t strange = lt_job_state_strange(paper->record->state);
	struct lt_text text = { 0 };
	if (strange == LT_NONE)
		return;
	lt_text_printf(&text,
		"EVENT %zu CANNOT BE UNDERSTOOD. A newer program wrote it, or it was changed. This "
		"record shows nothing that can be relied on from there on",
		strange + 1);
	add(paper, true, &text);
}

/* What follows from the plan beside what was made. */
static void add_work(struct lt_record_paper *paper)
{
	add_joints(paper, true, is_skipped, "joint SKIPPED", "joints SKIPPED");
	add_unproven(paper);
	add_joints(paper, true, is_typed, "joint by TYPED tags, not scanned",
		"joints by TYPED tags, not scanned");
	add_joints(paper, false, is_typed_of_paper, "joint without stickers, by typed tags",
		"joints without stickers, by typed tags");
	add_parts(paper);
	add_stages(paper, LT_STANDING_SKIPPED, "SKIPPED: ");
	add_stages(paper, LT_STANDING_NOT_BEGUN, "NEVER BEGUN: ");
	add_stages(paper, LT_STANDING_BEGUN, "NOT FINISHED: ");
	add_hazards(paper);
	add_lines(paper);
}

/* What was changed later makes all the rest doubtful, and comes first. */
void lt_record_add_summary(struct lt_record_paper *paper)
{
	bool fits = paper->record->count > 0 && paper->record->misfit == LT_NONE &&
		    paper->record->gone == 0;
	const bool planned = lt_job_state_plans(paper->record->state) > 0;
	if (!fits)
		add_digest(paper);
	add_strange(paper);
	add_closed(paper);
	if (planned)
		add_made(paper);
	add_wrong(paper);
	if (planned)
		add_work(paper);
	add_changes(paper);
	add_who(paper);
	if (paper->record->job->unit == NULL)
		say(paper, true,
			"UNIT NOT GIVEN: stickers of two like modules could not be told apart");
	if (fits)
		add_digest(paper);
}
