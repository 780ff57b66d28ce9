/* The tables of a record: stages, joints, wrong mates, parts, lines; who signs; every event. */
#include "loomtag/words.h"
#include "record/facts.h"

static const struct lt_block_table stage_table = { LT_ROW_CELLS, 5,
	{ "stage", "how it stands", "begun", "last", "who" }, { 36, 34, 22, 22, 1 }, false };
static const struct lt_block_table joint_table = { LT_ROW_CELLS, 7,
	{ "tags", "joint", "proven", "apart", "swapped", "made", "standing" },
	{ 22, 1, 20.5, 20.5, 20.5, 20.5, 30 }, true };
static const struct lt_block_table wrong_table = { LT_ROW_CELLS, 5,
	{ "met", "stickers", "stage", "who", "put right" }, { 22, 36, 34, 1, 40 }, false };
static const struct lt_block_table part_table = { LT_ROW_CELLS, 4,
	{ "part", "where", "joints", "proven on the new part" }, { 1, 50, 34, 40 }, false };
static const struct lt_block_table line_table = { LT_ROW_CELLS, 3, { "line", "ticked", "by" },
	{ 1, 23, 32 }, false };
static const struct lt_block_table hazard_table = { LT_ROW_CELLS, 6,
	{ "hazard", "", "made safe", "by", "restored", "by" }, { 32, 1, 25, 24, 25, 24 }, false };
static const struct lt_block_table event_table = { LT_ROW_SMALL, 7,
	{ "event", "time", "who", "at", "stage", "what", "answer" }, { 11, 29, 29, 7, 17, 1, 24 },
	false };

static void paragraph(struct lt_record *record, const char *words)
{
	lt_document_add(&record->document, LT_BLOCK_PARAGRAPH, words);
}

/* `none` is said where nothing is in it; NULL: something always is. */
static void section(struct lt_record *record, const char *title, size_t count, const char *none)
{
	lt_document_add(&record->document, LT_BLOCK_SECTION, title);
	if (count == 0 && none != NULL)
		paragraph(record, none);
}

/* Cells follow, from left to right. */
static void add_row(struct lt_record *record, const struct lt_block_table *table)
{
	lt_document_add(&record->document, LT_BLOCK_ROW, NULL)->table = table;
}

/* With a cell that is loud a row is not as it should be. */
static void cell(struct lt_record *record, bool loud, const char *text)
{
	struct lt_document *document = &record->document;
	lt_document_item(document, loud ? LT_ITEM_LOUD : LT_ITEM_PLAIN, "",
		text != NULL ? text : "");
	document->blocks[document->count - 1].fault |= loud;
}

static void add_stage(struct lt_record *record, enum lt_stage index)
{
	const struct lt_record_stage *stage = &record->stages[index];
	static const char *const standings[] = { [LT_STANDING_NOT_BEGUN] = "NEVER BEGUN",
		[LT_STANDING_BEGUN] = "NOT FINISHED",
		[LT_STANDING_DONE] = "done",
		[LT_STANDING_SKIPPED] = "SKIPPED",
		[LT_STANDING_NOTHING] = "nothing to do" };
	const bool planned = lt_job_state_plans(record->state) > 0;
	const bool fault = !planned || (stage->standing != LT_STANDING_DONE &&
					       stage->standing != LT_STANDING_NOTHING);
	struct lt_text who = { 0 };
	lt_text_add(&who, lt_record_names(record, stage->who.names, stage->who.count, ""));
	if (stage->skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[stage->skipped];
		lt_text_printf(&who, "%sleft out by %s: %s", who.length > 0 ? "; " : "", event->who,
			event->text != NULL ? event->text : "no reason");
	}
	add_row(record, &stage_table);
	cell(record, false, lt_record_stage_words(index));
	cell(record, fault, planned ? standings[stage->standing] : "NOT KNOWN");
	cell(record, false, lt_record_time(record, stage->begun));
	cell(record, false, lt_record_time(record, stage->ended));
	cell(record, false, lt_record_keep(record, &who));
}

static void add_stages(struct lt_record *record)
{
	section(record, "Stages", LT_STAGE_COUNT, NULL);
	paragraph(record, lt_arena_printf(&record->arena,
				  "A time without a date is of the day the job was begun, %s.",
				  lt_record_moment(record, record->job->opened)));
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		add_stage(record, stage);
}

/* "NOT MADE; SKIPPED (reconnecting): latch broken; tags typed: proven, made". */
static void add_standing(struct lt_record *record, const struct lt_record_joint *joint)
{
	static const char *const when[] = { [LT_STAGE_TAG] = "proven",
		[LT_STAGE_SWAP] = "swapped",
		[LT_STAGE_RECONNECT] = "made" };
	static const char *const standings[] = { [LT_RECORD_MADE] = "made",
		[LT_RECORD_LEFT_IN] = "not noted as apart",
		[LT_RECORD_OPEN] = "NOT MADE" };
	struct lt_text text = { 0 };
	size_t count = 0;
	lt_text_add(&text, standings[joint->standing]);
	if (joint->history.skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[joint->history.skipped];
		lt_text_printf(&text, "; SKIPPED (%s): %s", lt_record_stage_words(event->stage),
			event->text != NULL ? event->text : "no reason");
	}
	for (enum lt_stage i = LT_STAGE_TAG; i < LT_STAGE_FINISH; i++)
		if (joint->typed[i])
			lt_text_printf(&text, "%s%s",
				count++ > 0 ? ", " : "; tags typed: ", when[i]);
	const unsigned faults = LT_RECORD_IS_OPEN | LT_RECORD_IS_SKIPPED |
				LT_RECORD_IS_UNACCOUNTED | LT_RECORD_IS_TYPED;
	cell(record, (joint->is & faults) != 0, lt_record_keep(record, &text));
}

static void add_joint(struct lt_record *record, const struct lt_record_joint *joint)
{
	struct lt_document *document = &record->document;
	struct lt_arena *arena = &record->arena;
	const bool proven = joint->proven_before || !joint->needed;
	const bool unswapped = joint->plan->replaced && joint->history.swapped == LT_NONE;
	const char *apart = lt_record_time(record, joint->history.unplugged);
	if (joint->history.unplug_rank != LT_NONE)
		apart = lt_arena_printf(arena, "%s no. %zu", apart, joint->history.unplug_rank + 1);
	add_row(record, &joint_table);
	if (joint->mate != NULL)
		document->blocks[document->count - 1].detail =
			lt_arena_shown(arena, lt_arena_printf(arena, "on %s", joint->mate));
	cell(record, false, joint->tags);
	cell(record, joint->gone,
		lt_arena_printf(arena, "%s%s%s%s", joint->plan->id,
			joint->plan->name != NULL ? " " : "",
			joint->plan->name != NULL ? joint->plan->name : "",
			joint->gone ? " (taken out of the description)" : ""));
	cell(record, !proven,
		proven || joint->history.proven != LT_NONE
			? lt_record_time(record, joint->history.proven)
			: "NOT PROVEN");
	cell(record, false, apart);
	cell(record, unswapped,
		unswapped ? "NOT PROVEN" : lt_record_time(record, joint->history.swapped));
	cell(record, false, lt_record_time(record, joint->history.made));
	add_standing(record, joint);
}

static void add_joints(struct lt_record *record)
{
	section(record, "Joints", record->joint_count,
		lt_job_state_plans(record->state) == 0
			? "Where joints stand is not known: see the events."
			: "No joint has a number.");
	for (size_t i = 0; i < record->joint_count; i++)
		add_joint(record, &record->joints[i]);
}

static void add_wrong(struct lt_record *record, const struct lt_record_wrong *wrong)
{
	const struct lt_job_event *event = &record->events[wrong->event];
	const bool open = wrong->righted == LT_NONE;
	add_row(record, &wrong_table);
	cell(record, false, lt_record_time(record, wrong->event));
	cell(record, false,
		lt_arena_printf(&record->arena, "%s with %s",
			wrong->first != NULL ? wrong->first : "?",
			wrong->second != NULL ? wrong->second : "?"));
	cell(record, false, lt_record_stage_words(event->stage));
	cell(record, false, event->who);
	cell(record, open, open ? "NOT SHOWN TO BE" : lt_record_time(record, wrong->righted));
}

static void add_wrongs(struct lt_record *record)
{
	struct lt_text line = { 0 };
	section(record, "Wrong mates caught", record->wrong_count, "No wrong mate was met.");
	for (size_t i = 0; i < record->wrong_count; i++)
		add_wrong(record, &record->wrong[i]);
	for (enum lt_verdict i = LT_VERDICT_HALF; i < LT_VERDICT_COUNT; i++) {
		const char *words = lt_verdict_words.out_of_place[i];
		if (words != NULL && record->verdicts[i] > 0)
			lt_text_printf(&line, "%s%zu %s",
				line.length > 0 ? ", " : "Other scans that were out of place: ",
				record->verdicts[i], words);
	}
	lt_text_add(&line, line.length > 0 ? "." : "Other scans that were out of place: none.");
	paragraph(record, lt_record_keep(record, &line));
}

static void add_part(struct lt_record *record, const struct lt_record_part *part)
{
	const bool open = part->swapped == LT_NONE && part->joint_count > 0;
	struct lt_text text = { 0 };
	add_row(record, &part_table);
	cell(record, false,
		lt_arena_printf(&record->arena, "%s %s", part->id,
			part->name != NULL ? part->name : ""));
	cell(record, false, part->place);
	for (size_t i = part->first; i != LT_NONE; i = record->joints[i].next)
		lt_text_printf(&text, "%s%u", i != part->first ? ", " : "",
			record->joints[i].plan->number);
	cell(record, false, lt_record_keep(record, &text));
	cell(record, open, open ? "NOT PROVEN" : lt_record_time(record, part->swapped));
}

static void add_parts(struct lt_record *record)
{
	section(record, "Parts replaced", record->part_count, "No part was to be replaced.");
	for (size_t i = 0; i < record->part_count; i++)
		add_part(record, &record->parts[i]);
}

/* When something happened and by whom, or what it is not. */
static void add_moment(struct lt_record *record, bool loud, const char *words, const char *instead,
	size_t event)
{
	const bool any = event != LT_NONE;
	cell(record, loud,
		any ? lt_arena_printf(&record->arena, "%s%s", words, lt_record_time(record, event))
		    : instead);
	cell(record, false, any ? record->events[event].who : "–");
}

static void add_line(struct lt_record *record, const struct lt_record_line *line)
{
	add_row(record, &line_table);
	cell(record, false, line->plan->text);
	add_moment(record, line->ticked == LT_NONE, "", "NOT TICKED", line->ticked);
}

static void add_hazard(struct lt_record *record, const struct lt_record_line *hazard)
{
	add_row(record, &hazard_table);
	cell(record, false, hazard->plan->energy);
	cell(record, false,
		hazard->plan->restore != NULL
			? lt_arena_printf(&record->arena, "restore: %s", hazard->plan->restore)
			: NULL);
	add_moment(record, hazard->confirmed == LT_NONE || hazard->late,
		hazard->late ? "confirmed LATE " : "confirmed ", "NOT CONFIRMED",
		hazard->confirmed);
	add_moment(record, hazard->ticked == LT_NONE, "ticked ", "NOT TICKED", hazard->ticked);
}

/* The lines that are hazards, or those that are not. */
static void add_lines(struct lt_record *record, bool hazards, const char *title, const char *none)
{
	size_t count = 0;
	for (size_t i = 0; i < record->line_count; i++)
		count += (record->lines[i].plan->kind == LT_JOB_LINE_HAZARD) == hazards;
	section(record, title, count, none);
	for (size_t i = 0; i < record->line_count; i++)
		if ((record->lines[i].plan->kind == LT_JOB_LINE_HAZARD) == hazards)
			(hazards ? add_hazard : add_line)(record, &record->lines[i]);
}

static void add_replan(struct lt_record *record, const struct lt_job_replan *replan)
{
	const struct lt_job_event *event = &record->events[replan->event];
	struct lt_text words = { 0 };
	lt_text_printf(&words, "%s, by %s:", lt_record_time(record, replan->event), event->who);
	paragraph(record, lt_text_string(&words));
	if (replan->voids_all)
		paragraph(record, "Nothing that was recorded before counts.");
	for (size_t i = 0; i < replan->change_count; i++) {
		lt_text_clear(&words);
		lt_plan_change_words(&words, &replan->changes[i]);
		paragraph(record, lt_text_string(&words));
	}
	lt_text_finish(&words);
}

static void add_replans(struct lt_record *record)
{
	const struct lt_job_state *state = record->state;
	bool any = false;
	for (size_t i = 0; i < lt_job_state_plans(state); i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(state, i);
		if (replan->change_count == 0 && !replan->voids_all)
			continue;
		if (!any)
			section(record, "Changes of the description during the job", 1, NULL);
		any = true;
		add_replan(record, replan);
	}
}

void lt_record_add_tables(struct lt_record *record)
{
	add_replans(record);
	add_stages(record);
	add_joints(record);
	add_wrongs(record);
	if (lt_job_state_plans(record->state) > 0) {
		add_parts(record);
		add_lines(record, false, "Joints by eye, finish lines",
			"Nothing is listed to tick.");
		add_lines(record, true, "Hazards",
			"None is listed. That does not mean that there are none.");
	}
	section(record, "Signed", 1, NULL);
	lt_document_add(&record->document, LT_BLOCK_SIGN, "Technician");
	lt_document_add(&record->document, LT_BLOCK_SIGN, "Foreman");
}

static void add_what(struct lt_record *record, const struct lt_job_event *event)
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
	cell(record, false, lt_record_keep(record, &text));
}

static void add_event(struct lt_record *record, size_t index)
{
	const struct lt_job_event *event = &record->events[index];
	const bool misfit = index == record->misfit;
	const bool strange = index == lt_job_state_strange(record->state);
	enum lt_verdict verdict;
	const bool wrong = lt_verdict_read(&verdict, event->verdict) &&
			   lt_verdict_row(verdict)->effect == LT_EFFECT_OPEN;
	struct lt_arena *arena = &record->arena;
	struct lt_text text = { 0 };
	add_row(record, &event_table);
	cell(record, false, lt_arena_printf(arena, "%zu", index + 1));
	cell(record, false, lt_record_time(record, index));
	cell(record, false, event->who);
	cell(record, false, lt_arena_printf(arena, "%u", event->station));
	cell(record, false, lt_stage_name(event->stage));
	add_what(record, event);
	lt_text_add(&text, event->verdict != NULL ? event->verdict : "");
	if (misfit)
		lt_text_printf(&text, "%sDOES NOT FIT ITS DIGEST", text.length > 0 ? "; " : "");
	if (strange)
		lt_text_printf(&text, "%sCANNOT BE UNDERSTOOD", text.length > 0 ? "; " : "");
	cell(record, misfit || strange || wrong, lt_record_keep(record, &text));
}

void lt_record_add_events(struct lt_record *record)
{
	section(record, "Appendix: every event", record->count, NULL);
	record->document.blocks[record->document.count - 1].new_page = true;
	paragraph(record,
		"As it was kept. “At” is the terminal that it came from. The digest at the "
		"foot of every page is of the last event and of all before it: when any is "
		"changed later, the digest is another one.");
	for (size_t i = 0; i < record->count; i++)
		add_event(record, i);
}
