/* The tables of a record: stages, joints, wrong mates, parts, lines; and who signs. */
#include "loomtag/base.h"
#include "loomtag/words.h"
#include "record/model.h"

static const struct lt_record_table stage_table = { 5,
	{ "stage", "how it stands", "begun", "last", "who" }, { 36, 34, 22, 22, 0 }, false };
static const struct lt_record_table joint_table = { 7,
	{ "tags", "joint", "proven", "apart", "swapped", "made", "standing" },
	{ 22, 0, 20.5, 20.5, 20.5, 20.5, 30 }, false };
static const struct lt_record_table wrong_table = { 5,
	{ "met", "stickers", "stage", "who", "put right" }, { 22, 36, 34, 0, 40 }, false };
static const struct lt_record_table part_table = { 4,
	{ "part", "where", "joints", "proven on the new part" }, { 0, 50, 34, 40 }, false };
static const struct lt_record_table line_table = { 3, { "line", "ticked", "by" }, { 0, 23, 32 },
	false };
static const struct lt_record_table hazard_table = { 6,
	{ "hazard", "", "made safe", "by", "restored", "by" }, { 32, 0, 25, 24, 25, 24 }, false };
static const struct lt_record_table event_table = { 7,
	{ "event", "time", "who", "at", "stage", "what", "answer" }, { 11, 29, 29, 7, 17, 0, 24 },
	true };

static struct lt_record_entry *add_row(struct lt_record_paper *paper,
	const struct lt_record_table *table)
{
	struct lt_record_entry *row = lt_record_add(paper, LT_RECORD_ROW, NULL);
	row->table = table;
	for (size_t i = 0; i < table->count; i++)
		row->cells[i] = "";
	return row;
}

static const char *clean(struct lt_record_paper *paper, const char *text)
{
	return text == NULL ? "" : lt_arena_shown(&paper->arena, text);
}

static const char *keep(struct lt_record_paper *paper, struct lt_text *text)
{
	const char *copy = clean(paper, lt_text_string(text));
	lt_text_finish(text);
	return copy;
}

static void section(struct lt_record_paper *paper, const char *title)
{
	lt_record_add(paper, LT_RECORD_SECTION, title);
}

static void paragraph(struct lt_record_paper *paper, const char *words)
{
	lt_record_add(paper, LT_RECORD_PARAGRAPH, words);
}

static const char *standing_words(enum lt_stage_standing standing)
{
	switch (standing) {
	case LT_STANDING_NOT_BEGUN:
		return "NEVER BEGUN";
	case LT_STANDING_BEGUN:
		return "NOT FINISHED";
	case LT_STANDING_DONE:
		return "done";
	case LT_STANDING_SKIPPED:
		return "SKIPPED";
	case LT_STANDING_NOTHING:
		break;
	}
	return "nothing to do";
}

static void add_stage(struct lt_record_paper *paper, enum lt_stage index)
{
	const struct lt_record *record = paper->record;
	const struct lt_record_stage *stage = &record->stages[index];
	struct lt_text who = { 0 };
	for (size_t i = 0; i < stage->who_count; i++)
		lt_text_printf(&who, "%s%s", i > 0 ? ", " : "", stage->who[i]);
	if (stage->skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[stage->skipped];
		lt_text_printf(&who, "%sleft out by %s: %s", who.length > 0 ? "; " : "", event->who,
			event->text != NULL ? event->text : "no reason");
	}
	struct lt_record_entry *row = add_row(paper, &stage_table);
	const bool planned = lt_job_state_plans(record->state) > 0;
	row->loud[1] = !planned || (stage->standing != LT_STANDING_DONE &&
					   stage->standing != LT_STANDING_NOTHING);
	row->fault = row->loud[1];
	row->cells[0] = lt_record_stage_words(index);
	row->cells[1] = planned ? standing_words(stage->standing) : "NOT KNOWN";
	row->cells[2] = lt_record_time(paper, stage->begun);
	row->cells[3] = lt_record_time(paper, stage->ended);
	row->cells[4] = keep(paper, &who);
}

static void add_stages(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text line = { 0 };
	section(paper, "Stages");
	lt_text_add(&line, "A time without a date is of the day the job was begun, ");
	lt_text_printf(&line, "%s.", lt_record_moment(paper, record->job->opened));
	paragraph(paper, lt_text_string(&line));
	lt_text_finish(&line);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		add_stage(paper, stage);
}

static void add_word(struct lt_text *text, const char *words)
{
	lt_text_printf(text, "%s%s", text->length > 0 ? "; " : "", words);
}

/* "; tags typed: proven, made". */
static void add_typed(struct lt_text *text, const struct lt_record_joint *joint)
{
	const bool typed[] = { joint->proven_typed, joint->swapped_typed, joint->made_typed };
	static const char *const when[] = { "proven", "swapped", "made" };
	size_t count = 0;
	for (size_t i = 0; i < 3; i++)
		if (typed[i])
			lt_text_printf(text, "%s%s",
				count++ > 0 ? ", " : "; tags typed: ", when[i]);
}

static const char *joint_standing(struct lt_record_paper *paper,
	const struct lt_record_joint *joint)
{
	const struct lt_record *record = paper->record;
	struct lt_text text = { 0 };
	if (joint->standing == LT_RECORD_OPEN)
		add_word(&text, "NOT MADE");
	else
		add_word(&text, joint->standing == LT_RECORD_MADE ? "made" : "not noted as apart");
	if (joint->skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[joint->skipped];
		lt_text_printf(&text, "; SKIPPED (%s): %s", lt_record_stage_words(event->stage),
			event->text != NULL ? event->text : "no reason");
	}
	add_typed(&text, joint);
	return keep(paper, &text);
}

static const char *joint_apart(struct lt_record_paper *paper, const struct lt_record_joint *joint)
{
	const char *time = lt_record_time(paper, joint->unplugged);
	if (joint->rank == LT_NONE)
		return time;
	return lt_arena_printf(&paper->arena, "%s no. %zu", time, joint->rank + 1);
}

static void add_joint(struct lt_record_paper *paper, const struct lt_record_joint *joint)
{
	struct lt_text what = { 0 };
	struct lt_record_entry *row = add_row(paper, &joint_table);
	bool proven = joint->proven_before || !joint->needed;
	lt_text_printf(&what, "%s%s%s%s", joint->id, joint->name != NULL ? " " : "",
		joint->name != NULL ? joint->name : "",
		joint->gone ? " (taken out of the description)" : "");
	row->cells[0] = clean(paper, joint->tags);
	row->cells[1] = keep(paper, &what);
	row->under = joint->mate != NULL
			     ? lt_arena_printf(&paper->arena, "on %s", clean(paper, joint->mate))
			     : NULL;
	row->cells[2] = proven || joint->proven != LT_NONE ? lt_record_time(paper, joint->proven)
							   : "NOT PROVEN";
	row->cells[3] = joint_apart(paper, joint);
	row->cells[4] = joint->replaced && joint->swapped == LT_NONE
				? "NOT PROVEN"
				: lt_record_time(paper, joint->swapped);
	row->cells[5] = lt_record_time(paper, joint->made);
	row->cells[6] = joint_standing(paper, joint);
	row->loud[0] = true;
	row->loud[1] = joint->gone;
	row->loud[2] = !proven;
	row->loud[4] = joint->replaced && joint->swapped == LT_NONE;
	const bool unaccounted =
		joint->standing == LT_RECORD_LEFT_IN && joint->proven == LT_NONE && !joint->stays;
	row->loud[6] = joint->standing == LT_RECORD_OPEN || joint->skipped != LT_NONE ||
		       unaccounted ||
		       (!joint->paper &&
			       (joint->proven_typed || joint->swapped_typed || joint->made_typed));
	row->fault = row->loud[1] || row->loud[2] || row->loud[4] || row->loud[6];
}

static void add_joints(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	section(paper, "Joints");
	if (lt_job_state_plans(record->state) == 0)
		paragraph(paper, "Where joints stand is not known: see the events.");
	else if (record->joint_count == 0)
		paragraph(paper, "No joint has a number.");
	for (size_t i = 0; i < record->joint_count; i++)
		add_joint(paper, &record->joints[i]);
}

static void add_wrong(struct lt_record_paper *paper, const struct lt_record_wrong *wrong)
{
	const struct lt_job_event *event = &paper->record->events[wrong->event];
	struct lt_record_entry *row = add_row(paper, &wrong_table);
	row->fault = wrong->righted == LT_NONE;
	row->loud[4] = row->fault;
	row->cells[0] = lt_record_time(paper, wrong->event);
	row->cells[1] = lt_arena_printf(&paper->arena, "%s with %s",
		wrong->first != NULL ? clean(paper, wrong->first) : "?",
		wrong->second != NULL ? clean(paper, wrong->second) : "?");
	row->cells[2] = lt_record_stage_words(event->stage);
	row->cells[3] = clean(paper, event->who);
	row->cells[4] = row->fault ? "NOT SHOWN TO BE" : lt_record_time(paper, wrong->righted);
}

static void add_answers(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	struct lt_text line = { 0 };
	bool any = false;
	lt_text_add(&line, "Other scans that were out of place: ");
	for (size_t i = 0; i < LT_VERDICT_COUNT; i++) {
		const char *words = lt_verdict_row((enum lt_verdict)i)->out_of_place;
		if (words == NULL || record->verdicts[i] == 0)
			continue;
		lt_text_printf(&line, "%s%zu %s", any ? ", " : "", record->verdicts[i], words);
		any = true;
	}
	lt_text_add(&line, any ? "." : "none.");
	paragraph(paper, lt_text_string(&line));
	lt_text_finish(&line);
}

static void add_wrongs(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	section(paper, "Wrong mates caught");
	if (record->wrong_count == 0)
		paragraph(paper, "No wrong mate was met.");
	for (size_t i = 0; i < record->wrong_count; i++)
		add_wrong(paper, &record->wrong[i]);
	add_answers(paper);
}

static void add_part(struct lt_record_paper *paper, const struct lt_record_part *part)
{
	struct lt_text joints = { 0 };
	for (size_t i = 0; i < part->joint_count; i++)
		lt_text_printf(&joints, "%s%u", i > 0 ? ", " : "",
			paper->record->joints[part->joints[i]].number);
	struct lt_record_entry *row = add_row(paper, &part_table);
	row->fault = part->swapped == LT_NONE && part->joint_count > 0;
	row->loud[3] = row->fault;
	row->cells[0] = lt_arena_printf(&paper->arena, "%s %s", clean(paper, part->id),
		clean(paper, part->name));
	row->cells[1] = clean(paper, part->place);
	row->cells[2] = keep(paper, &joints);
	row->cells[3] = row->fault ? "NOT PROVEN" : lt_record_time(paper, part->swapped);
}

static void add_parts(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	section(paper, "Parts replaced");
	if (record->part_count == 0)
		paragraph(paper, "No part was to be replaced.");
	for (size_t i = 0; i < record->part_count; i++)
		add_part(paper, &record->parts[i]);
}

static void add_line(struct lt_record_paper *paper, const struct lt_record_line *line)
{
	struct lt_record_entry *row = add_row(paper, &line_table);
	row->fault = line->ticked == LT_NONE;
	row->loud[1] = row->fault;
	row->cells[0] = clean(paper, line->text);
	row->cells[1] = row->fault ? "NOT TICKED" : lt_record_time(paper, line->ticked);
	row->cells[2] = row->fault ? "–" : clean(paper, paper->record->events[line->ticked].who);
}

/* "confirmed 08:15:02", or why not. */
static void add_moment(struct lt_record_paper *paper, struct lt_record_entry *row, size_t cell,
	const char *words, size_t event)
{
	row->cells[cell] =
		lt_arena_printf(&paper->arena, "%s %s", words, lt_record_time(paper, event));
	row->cells[cell + 1] = clean(paper, paper->record->events[event].who);
}

static void add_hazard(struct lt_record_paper *paper, const struct lt_record_line *hazard)
{
	struct lt_record_entry *row = add_row(paper, &hazard_table);
	row->cells[0] = clean(paper, hazard->energy);
	if (hazard->restore != NULL)
		row->cells[1] = lt_arena_printf(&paper->arena, "restore: %s",
			clean(paper, hazard->restore));
	row->cells[2] = "NOT CONFIRMED";
	row->cells[4] = "NOT TICKED";
	row->cells[3] = row->cells[5] = "–";
	if (hazard->confirmed != LT_NONE)
		add_moment(paper, row, 2, hazard->late ? "confirmed LATE" : "confirmed",
			hazard->confirmed);
	if (hazard->ticked != LT_NONE)
		add_moment(paper, row, 4, "ticked", hazard->ticked);
	row->loud[2] = hazard->confirmed == LT_NONE || hazard->late;
	row->loud[4] = hazard->ticked == LT_NONE;
	row->fault = row->loud[2] || row->loud[4];
}

static size_t count_hazards(const struct lt_record *record)
{
	size_t count = 0;
	for (size_t i = 0; i < record->line_count; i++)
		count += record->lines[i].hazard;
	return count;
}

static void add_lines(struct lt_record_paper *paper)
{
	const struct lt_record *record = paper->record;
	const size_t hazards = count_hazards(record);
	section(paper, "Joints by eye, finish lines");
	if (record->line_count == hazards)
		paragraph(paper, "Nothing is listed to tick.");
	for (size_t i = 0; i < record->line_count; i++)
		if (!record->lines[i].hazard)
			add_line(paper, &record->lines[i]);
	section(paper, "Hazards");
	if (hazards == 0)
		paragraph(paper, "None is listed. That does not mean that there are none.");
	for (size_t i = 0; i < record->line_count; i++)
		if (record->lines[i].hazard)
			add_hazard(paper, &record->lines[i]);
}

static void add_replan(struct lt_record_paper *paper, const struct lt_job_replan *replan)
{
	const struct lt_job_event *event = &paper->record->events[replan->event];
	struct lt_text words = { 0 };
	lt_text_printf(&words, "%s, by %s:", lt_record_time(paper, replan->event), event->who);
	paragraph(paper, lt_text_string(&words));
	if (replan->voids_all)
		paragraph(paper, "Nothing that was recorded before counts.");
	for (size_t i = 0; i < replan->change_count; i++) {
		lt_text_clear(&words);
		lt_plan_change_words(&words, &replan->changes[i]);
		paragraph(paper, lt_text_string(&words));
	}
	lt_text_finish(&words);
}

static void add_replans(struct lt_record_paper *paper)
{
	const struct lt_job_state *state = paper->record->state;
	bool any = false;
	for (size_t i = 0; i < lt_job_state_plans(state); i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, i);
		if (replan->change_count == 0 && !replan->voids_all)
			continue;
		if (!any)
			section(paper, "Changes of the description during the job");
		any = true;
		add_replan(paper, replan);
	}
}

void lt_record_add_tables(struct lt_record_paper *paper)
{
	add_replans(paper);
	add_stages(paper);
	add_joints(paper);
	add_wrongs(paper);
	if (lt_job_state_plans(paper->record->state) > 0) {
		add_parts(paper);
		add_lines(paper);
	}
	section(paper, "Signed");
	lt_record_add(paper, LT_RECORD_SIGN, "Technician");
	lt_record_add(paper, LT_RECORD_SIGN, "Foreman");
}

static const char *event_what(struct lt_record_paper *paper, const struct lt_job_event *event)
{
	struct lt_text text = { 0 };
	lt_text_add(&text,
		event->kind_name != NULL ? event->kind_name : lt_job_event_name(event->kind));
	if (event->number != 0)
		lt_text_printf(&text, " %u", event->number);
	if (event->tag != NULL)
		lt_text_printf(&text, " %s", event->tag);
	/* A plan, and the mark of a stage of version 1, are for the program. */
	if (event->text != NULL && event->kind != LT_JOB_STAGE && event->kind != LT_JOB_PLAN)
		lt_text_printf(&text, ": %s", event->text);
	if (event->typed)
		lt_text_add(&text, " (typed tags count)");
	return keep(paper, &text);
}

static void add_event(struct lt_record_paper *paper, size_t index)
{
	const struct lt_record *record = paper->record;
	const struct lt_job_event *event = &record->events[index];
	struct lt_text answer = { 0 };
	lt_text_add(&answer, event->verdict != NULL ? event->verdict : "");
	if (index == record->misfit)
		add_word(&answer, "DOES NOT FIT ITS DIGEST");
	struct lt_record_entry *row = add_row(paper, &event_table);
	enum lt_verdict verdict;
	if (index == lt_job_state_strange(record->state))
		add_word(&answer, "CANNOT BE UNDERSTOOD");
	row->fault = index == record->misfit || index == lt_job_state_strange(record->state) ||
		     (lt_verdict_read(&verdict, event->verdict) &&
			     lt_verdict_row(verdict)->effect == LT_EFFECT_OPEN);
	row->loud[6] = row->fault;
	row->cells[0] = lt_arena_printf(&paper->arena, "%zu", index + 1);
	row->cells[1] = lt_record_time(paper, index);
	row->cells[2] = clean(paper, event->who);
	row->cells[3] = lt_arena_printf(&paper->arena, "%u", event->station);
	row->cells[4] = lt_stage_name(event->stage);
	row->cells[5] = event_what(paper, event);
	row->cells[6] = keep(paper, &answer);
}

void lt_record_add_events(struct lt_record_paper *paper)
{
	section(paper, "Appendix: every event");
	paper->entries[paper->count - 1].new_page = true;
	paragraph(paper,
		"As it was kept. “At” is the terminal that it came from. The digest at the "
		"foot of every page is of the last event and of all before it: when any is "
		"changed later, the digest is another one.");
	for (size_t i = 0; i < paper->record->count; i++)
		add_event(paper, i);
}
