/* The summary of a record: what was done, in big plain words, and what was not. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "record/facts.h"

/* One line of the summary. */
__attribute__((format(printf, 3, 4))) static void say(struct lt_record *record, bool fault,
	const char *format, ...)
{
	va_list arguments, again;
	va_start(arguments, format);
	va_copy(again, arguments);
	const size_t size = (size_t)vsnprintf(NULL, 0, format, arguments) + 1;
	va_end(arguments);
	char *words = lt_arena_alloc(&record->arena, size);
	vsnprintf(words, size, format, again);
	va_end(again);
	lt_document_add(&record->document, LT_BLOCK_FINDING, words)->fault = fault;
	record->faults += fault;
}

static const char *plural(size_t count, const char *one, const char *many)
{
	return count == 1 ? one : many;
}

static void add_digest(struct lt_record *record)
{
	if (record->count == 0)
		say(record, true, "THE EVENTS ARE GONE: nothing that was done is shown");
	else if (record->misfit != LT_NONE)
		say(record, true,
			"THE EVENTS WERE CHANGED after they were written: event %zu of "
			"%zu does not fit its digest. From there on they prove nothing",
			record->misfit + 1, record->count);
	else if (record->gone > 0)
		say(record, true,
			"EVENTS ARE GONE: of %zu events the last %zu are missing. What is "
			"left does not show how the job ended",
			record->count + record->gone, record->gone);
	else
		say(record, false, "The events fit their digests (%zu)", record->count);
}

static void add_closed(struct lt_record *record)
{
	if (record->closed != record->job->closed)
		say(record, true, "The database and the events do not agree whether it is closed");
	if (!record->closed)
		say(record, true, "NOT CLOSED");
	else if (record->reason != NULL)
		say(record, true, "CLOSED UNFINISHED: %s", record->reason);
	else
		say(record, false, "Closed %s", lt_record_moment(record, record->job->last));
}

/* How many joints are so; *numbers is told as "1–4, 7". */
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

/* One line for joints that are so: "2 joints skipped: 4, 9". */
static void add_joints(struct lt_record *record, bool fault, unsigned which, const char *one,
	const char *many)
{
	const char *numbers;
	const size_t count = pick(&numbers, record, which);
	if (count > 0)
		say(record, fault, "%zu %s: %s", count, plural(count, one, many), numbers);
}

/* Why reconnecting is not finished, though every joint may be made. */
static void add_unfinished(struct lt_record *record, bool all_made)
{
	const struct lt_verify *machine = lt_job_state_machine(record->state, LT_STAGE_RECONNECT);
	struct lt_text text = { 0 };
	unsigned number, station;
	enum lt_side side;
	for (size_t i = 0; lt_verify_pending_at(machine, i, &number, &side, &station); i++)
		if (number != 0)
			lt_text_printf(&text, "%s%u%c, read at terminal %u, waits for its mate",
				text.length > 0 ? "; " : "", number, lt_side_letter(side), station);
	if (text.length == 0 && all_made && !record->reconnected)
		lt_text_add(&text, "a wrong mate of stickers, or one with a joint that is gone, is "
				   "not put right");
	if (text.length > 0)
		say(record, true, "Reconnecting is not finished: %s", lt_text_string(&text));
	lt_text_finish(&text);
}

static void add_left_in(struct lt_record *record)
{
	const char *numbers, *some;
	const size_t left = pick(&numbers, record, LT_RECORD_IS_LEFT_IN);
	const size_t unaccounted = pick(&some, record, LT_RECORD_IS_UNACCOUNTED);
	const bool partly = unaccounted > 0 && unaccounted < left;
	if (left > 0)
		say(record, unaccounted > 0, "%zu %s not noted as apart, so not checked: %s%s%s%s",
			left, plural(left, "joint", "joints"), numbers,
			unaccounted > 0 ? "; NEITHER PROVEN NOR SAID TO STAY" : "",
			partly ? ": " : "", partly ? some : "");
}

static void add_made(struct lt_record *record)
{
	const char *open, *made;
	const size_t open_count = pick(&open, record, LT_RECORD_IS_OPEN);
	const size_t made_count = pick(&made, record, LT_RECORD_IS_MADE);
	const size_t all = open_count + made_count;
	const char *counted = lt_arena_printf(&record->arena, "%zu of %zu %s%s %s made again%s",
		made_count, all, plural(all, "joint", "joints"),
		record->unplugging ? " that came apart" : "", plural(made_count, "was", "were"),
		record->unplugging ? "" : "; which came apart is not known");
	if (open_count > 0)
		say(record, true, "NOT ALL MADE: %s (%s)", open, counted);
	else
		say(record, !record->unplugging, "%s", counted);
	add_unfinished(record, open_count == 0);
	add_left_in(record);
}

/* Before what, is known only where it is known what came apart. */
static void add_unproven(struct lt_record *record)
{
	const bool known = record->unplugging;
	add_joints(record, true, LT_RECORD_IS_UNPROVEN,
		known ? "joint with stickers NOT PROVEN before it came apart"
		      : "joint with stickers NOT PROVEN",
		known ? "joints with stickers NOT PROVEN before they came apart"
		      : "joints with stickers NOT PROVEN");
}

static void add_wrong(struct lt_record *record)
{
	const size_t count = record->wrong_count;
	const char *caught = plural(count, "wrong mate caught", "wrong mates caught");
	struct lt_text text = { 0 };
	for (size_t i = 0; i < count; i++) {
		const struct lt_record_wrong *wrong = &record->wrong[i];
		if (wrong->righted == LT_NONE)
			lt_text_printf(&text, "%s%s with %s", text.length > 0 ? ", " : "",
				wrong->first != NULL ? wrong->first : "?",
				wrong->second != NULL ? wrong->second : "?");
	}
	const char *open = lt_record_keep(record, &text);
	if (count == 0)
		say(record, false, "No wrong mate was met");
	else if (open[0] != '\0')
		say(record, true, "%zu %s; NOT SHOWN TO BE PUT RIGHT: %s", count, caught, open);
	else
		say(record, false, "%zu %s%s", count, caught,
			plural(count, ", and put right", ", all put right"));
}

static void add_parts(struct lt_record *record)
{
	struct lt_text text = { 0 };
	size_t count = 0;
	for (size_t i = 0; i < record->part_count; i++) {
		const struct lt_record_part *part = &record->parts[i];
		/* A part of which no joint has a number has nothing to prove. */
		count += part->joint_count > 0;
		if (part->joint_count > 0 && part->swapped == LT_NONE)
			lt_text_printf(&text, "%s%s", text.length > 0 ? ", " : "", part->id);
	}
	const char *open = lt_record_keep(record, &text);
	if (open[0] != '\0')
		say(record, true, "NUMBER NOT PROVEN ON NEW PART: %s", open);
	else if (count > 0)
		say(record, false, "%zu %s replaced, the numbers proven on what is new", count,
			plural(count, "part", "parts"));
}

/* "SKIPPED: unplugging, last checks". */
static void add_stages(struct lt_record *record, enum lt_stage_standing standing, const char *words)
{
	const char *names[LT_STAGE_COUNT];
	size_t count = 0;
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		if (record->stages[stage].standing == standing)
			names[count++] = lt_record_stage_words(stage);
	if (count > 0)
		say(record, true, "%s: %s", words, lt_record_names(record, names, count, ""));
}

static void add_hazards_and_lines(struct lt_record *record)
{
	size_t hazards = 0, unsafe = 0, late = 0, unticked = 0;
	for (size_t i = 0; i < record->line_count; i++) {
		const struct lt_record_line *line = &record->lines[i];
		const bool hazard = line->plan->kind == LT_JOB_LINE_HAZARD;
		hazards += hazard;
		unsafe += hazard && line->confirmed == LT_NONE;
		late += line->late;
		unticked += line->ticked == LT_NONE;
	}
	const char *words = plural(hazards, "hazard", "hazards");
	if (unsafe > 0)
		say(record, true, "MADE SAFE NOT CONFIRMED: %zu of %zu %s", unsafe, hazards, words);
	else if (late > 0)
		say(record, true, "MADE SAFE CONFIRMED ONLY AFTER WORK HAD BEGUN: %zu of %zu %s",
			late, hazards, words);
	else if (hazards > 0)
		say(record, false, "Confirmed to be made safe before work: all %zu %s", hazards,
			words);
	words = plural(record->line_count, "hazard and finish line", "hazard and finish lines");
	if (unticked > 0)
		say(record, true, "NOT TICKED: %zu of %zu %s", unticked, record->line_count, words);
	else if (record->line_count > 0)
		say(record, false, "Ticked: all %zu %s", record->line_count, words);
}

static void add_who(struct lt_record *record)
{
	for (size_t i = 0; i < record->who.count; i++)
		if (strcmp(record->who.names[i], "?") != 0)
			return;
	if (record->who.count > 0)
		say(record, true, "NOBODY IS NAMED: whose work it was is not known");
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
static void add_plans(struct lt_record *record)
{
	const struct lt_job_state *state = record->state;
	const size_t plans = lt_job_state_plans(state);
	size_t changes = 0;
	bool voids = false;
	if (plans == 0)
		say(record, true,
			"CHECKED AGAINST: NOT KNOWN. An older version of the program did not keep it. The "
			"answers stand as they were given; where joints stand is not worked out");
	for (size_t i = 0; i < plans; i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, i);
		changes += replan->change_count;
		voids = voids || plan_voids(replan);
		if (replan->voids_all)
			say(record, true,
				"NOTHING COUNTS THAT WAS RECORDED BEFORE THE FIRST PLAN: every joint was "
				"asked for again");
	}
	if (changes > 0)
		say(record, voids, "THE DESCRIPTION WAS CHANGED DURING THE JOB: %zu %s%s", changes,
			plural(changes, "change", "changes"),
			voids ? ". What no longer counted was asked for again" : "");
}

static void add_changes(struct lt_record *record)
{
	const char *now = record->tags->harness->revision, *then = record->job->revision;
	add_plans(record);
	if (record->redescribed)
		say(record, true,
			"THE DESCRIPTION HAS CHANGED since the job. This record is by the description "
			"that the job was checked against");
	if ((now == NULL) != (then == NULL) || (now != NULL && strcmp(now, then) != 0))
		say(record, true, "The description is of revision %s now",
			now != NULL ? now : "none");
	add_joints(record, true, LT_RECORD_IS_GONE,
		"joint was taken out of the description during the job",
		"joints were taken out of the description during the job");
}

static void add_strange(struct lt_record *record)
{
	const size_t strange = lt_job_state_strange(record->state);
	if (strange != LT_NONE)
		say(record, true,
			"EVENT %zu CANNOT BE UNDERSTOOD. A newer program wrote it, or it "
			"was changed. This record shows nothing that can be relied on from "
			"there on",
			strange + 1);
}

/* What follows from the plan beside what was made. */
static void add_work(struct lt_record *record)
{
	add_joints(record, true, LT_RECORD_IS_SKIPPED, "joint SKIPPED", "joints SKIPPED");
	add_unproven(record);
	add_joints(record, true, LT_RECORD_IS_TYPED, "joint by TYPED tags, not scanned",
		"joints by TYPED tags, not scanned");
	add_joints(record, false, LT_RECORD_IS_TYPED_OF_PAPER,
		"joint without stickers, by typed tags", "joints without stickers, by typed tags");
	add_parts(record);
	add_stages(record, LT_STANDING_SKIPPED, "SKIPPED");
	add_stages(record, LT_STANDING_NOT_BEGUN, "NEVER BEGUN");
	add_stages(record, LT_STANDING_BEGUN, "NOT FINISHED");
	add_hazards_and_lines(record);
}

/* What was changed later makes all the rest doubtful, and comes first. */
void lt_record_add_summary(struct lt_record *record)
{
	const bool fits = record->count > 0 && record->misfit == LT_NONE && record->gone == 0;
	const bool planned = lt_job_state_plans(record->state) > 0;
	lt_document_add(&record->document, LT_BLOCK_SECTION, "Summary")->detail = "SUMMARY";
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
	if (record->job->unit == NULL)
		say(record, true,
			"UNIT NOT GIVEN: stickers of two like modules could not be told apart");
	if (fits)
		add_digest(record);
}
