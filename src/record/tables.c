/* The tables of a record: stages, joints, wrong mates, parts, lines; who signs; every event. */
#include <string.h>

#include "loomtag/words.h"
#include "record/facts.h"

static void make_tables(struct lt_record *record)
{
	const struct lt_record_words *words = &lt_record_words;
	const struct lt_block_table tables[LT_RECORD_TABLES] = {
		[LT_RECORD_TABLE_STAGES] = { LT_ROW_CELLS, 5,
			{ words->column_stage, words->column_state, words->column_started,
				words->column_last, words->column_who },
			{ 36, 34, 22, 22, 1 }, false },
		[LT_RECORD_TABLE_JOINTS] = { LT_ROW_CELLS, 7,
			{ words->column_tags, words->column_joint, words->column_stickers,
				words->column_apart, words->column_new_part, words->column_made,
				words->column_state },
			{ 22, 1, 20.5, 20.5, 20.5, 20.5, 30 }, true },
		[LT_RECORD_TABLE_WRONG] = { LT_ROW_CELLS, 5,
			{ words->column_time, words->column_stickers_scanned, words->column_stage,
				words->column_who, words->column_resolved },
			{ 22, 36, 34, 1, 40 }, false },
		[LT_RECORD_TABLE_PARTS] = { LT_ROW_CELLS, 4,
			{ words->column_part, words->column_place, words->column_joints,
				words->column_part_checked },
			{ 1, 50, 34, 40 }, false },
		[LT_RECORD_TABLE_LINES] = { LT_ROW_CELLS, 3,
			{ words->column_line, words->column_ticked, words->column_by },
			{ 1, 23, 32 }, false },
		[LT_RECORD_TABLE_HAZARDS] = { LT_ROW_CELLS, 6,
			{ words->column_hazard, "", words->column_confirmed, words->column_by,
				words->column_restored, words->column_by },
			{ 32, 1, 25, 24, 25, 24 }, false },
		[LT_RECORD_TABLE_EVENTS] = { LT_ROW_SMALL, 7,
			{ words->column_event, words->column_time, words->column_who,
				words->column_terminal, words->column_stage, words->column_what,
				words->column_answer },
			{ 11, 29, 29, 7, 17, 1, 24 }, false },
	};
	memcpy(record->tables, tables, sizeof tables);
}

static void paragraph(struct lt_record *record, const char *words)
{
	lt_document_add(&record->document, LT_BLOCK_PARAGRAPH, words);
}

/* Finishes the text. */
static void add_paragraph(struct lt_record *record, struct lt_text *text)
{
	paragraph(record, lt_record_keep(record, text));
}

/* `none` is what it says where nothing is in it; NULL: something always is. */
static void section(struct lt_record *record, const char *title, size_t count, const char *none)
{
	lt_document_add(&record->document, LT_BLOCK_SECTION, title);
	if (count == 0 && none != NULL)
		paragraph(record, none);
}

/* Cells follow, from left to right. */
static void add_row(struct lt_record *record, enum lt_record_table table)
{
	lt_document_add(&record->document, LT_BLOCK_ROW, NULL)->table = &record->tables[table];
}

/* With a cell that is loud a row is not as it should be. */
static void cell(struct lt_record *record, bool loud, const char *text)
{
	struct lt_document *document = &record->document;
	lt_document_item(document, loud ? LT_ITEM_LOUD : LT_ITEM_PLAIN, "",
		text != NULL ? text : "");
	document->blocks[document->count - 1].fault |= loud;
}

/* Finishes the text. */
static void text_cell(struct lt_record *record, bool loud, struct lt_text *text)
{
	cell(record, loud, lt_record_keep(record, text));
}

/* Between fragments that stand alone in one cell. */
static void add_break(struct lt_text *text)
{
	lt_text_add(text, text->length > 0 ? "; " : "");
}

static void add_stage(struct lt_record *record, enum lt_stage index)
{
	const struct lt_record_stage *stage = &record->stages[index];
	const bool planned = lt_job_state_plans(record->state) > 0;
	const bool fault =
		!planned || (stage->state != LT_STATE_DONE && stage->state != LT_STATE_NOTHING);
	struct lt_text who = { 0 };
	lt_text_add(&who, lt_record_names(record, stage->who.names, stage->who.count, ""));
	if (stage->skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[stage->skipped];
		add_break(&who);
		lt_words_stage_skipped(&who, event->who, event->text);
	}
	add_row(record, LT_RECORD_TABLE_STAGES);
	cell(record, false, lt_record_words.stage_called[index]);
	cell(record, fault,
		planned ? lt_record_words.stage_state[stage->state]
			: lt_record_words.state_unknown);
	cell(record, false, lt_record_time(record, stage->begun));
	cell(record, false, lt_record_time(record, stage->ended));
	text_cell(record, false, &who);
}

static void add_stages(struct lt_record *record)
{
	struct lt_text text = { 0 };
	section(record, lt_record_words.stages, LT_STAGE_COUNT, NULL);
	lt_words_day_of_times(&text, lt_record_moment(record, record->job->opened));
	add_paragraph(record, &text);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		add_stage(record, stage);
}

/* The stages at which tags of the joint were typed; adds nothing where there are none. */
static void add_typed(struct lt_text *out, const struct lt_record_joint *joint)
{
	struct lt_text when = { 0 };
	for (enum lt_stage i = LT_STAGE_TAG; i < LT_STAGE_FINISH; i++)
		if (joint->typed[i])
			lt_text_printf(&when, "%s%s", when.length > 0 ? ", " : "",
				lt_record_words.typed_at[i]);
	if (when.length > 0) {
		add_break(out);
		lt_words_joint_typed(out, lt_text_string(&when));
	}
	lt_text_finish(&when);
}

/* "NOT MADE; SKIPPED (reconnecting): latch broken; tags typed by hand: stickers checked". */
static void add_state(struct lt_record *record, const struct lt_record_joint *joint)
{
	const char *const states[] = { [LT_RECORD_MADE] = lt_record_words.made,
		[LT_RECORD_LEFT_IN] = lt_record_words.not_apart,
		[LT_RECORD_OPEN] = lt_record_words.not_made };
	const unsigned faults = LT_RECORD_IS_OPEN | LT_RECORD_IS_SKIPPED |
				LT_RECORD_IS_UNACCOUNTED | LT_RECORD_IS_TYPED;
	struct lt_text text = { 0 };
	lt_text_add(&text, states[joint->state]);
	if (joint->history.skipped != LT_NONE) {
		const struct lt_job_event *event = &record->events[joint->history.skipped];
		add_break(&text);
		lt_words_joint_skipped(&text, event->stage, event->text);
	}
	add_typed(&text, joint);
	text_cell(record, (joint->is & faults) != 0, &text);
}

/* The time of an event, or that it was not checked by a scan. */
static void add_check(struct lt_record *record, bool checked, size_t event)
{
	cell(record, !checked,
		checked ? lt_record_time(record, event) : lt_record_words.not_checked);
}

static void add_joint(struct lt_record *record, const struct lt_record_joint *joint)
{
	struct lt_document *document = &record->document;
	const struct lt_joint_history *history = &joint->history;
	const bool proven = joint->proven_before || !joint->needed;
	const bool unswapped = joint->plan->replaced && history->swapped == LT_NONE;
	struct lt_text mate = { 0 }, called = { 0 }, apart = { 0 };
	add_row(record, LT_RECORD_TABLE_JOINTS);
	if (joint->mate != NULL) {
		lt_words_joint_mates(&mate, joint->mate);
		document->blocks[document->count - 1].detail =
			lt_arena_shown(&record->arena, lt_record_keep(record, &mate));
	}
	cell(record, false, joint->tags);
	lt_words_joint_called(&called, joint->plan->id, joint->plan->name, joint->removed);
	text_cell(record, joint->removed, &called);
	cell(record, !proven,
		proven || history->proven != LT_NONE ? lt_record_time(record, history->proven)
						     : lt_record_words.not_checked);
	if (history->unplug_rank != LT_NONE)
		lt_words_apart_at(&apart, lt_record_time(record, history->unplugged),
			history->unplug_rank + 1);
	else
		lt_text_add(&apart, lt_record_time(record, history->unplugged));
	text_cell(record, false, &apart);
	add_check(record, !unswapped, history->swapped);
	cell(record, false, lt_record_time(record, history->made));
	add_state(record, joint);
}

static void add_joints(struct lt_record *record)
{
	section(record, lt_record_words.joints, record->joint_count,
		lt_job_state_plans(record->state) == 0 ? lt_record_words.joints_unknown
						       : lt_record_words.no_number);
	for (size_t i = 0; i < record->joint_count; i++)
		add_joint(record, &record->joints[i]);
}

static void add_wrong(struct lt_record *record, const struct lt_record_wrong *wrong)
{
	const struct lt_job_event *event = &record->events[wrong->event];
	const bool open = wrong->resolved == LT_NONE;
	struct lt_text pair = { 0 };
	add_row(record, LT_RECORD_TABLE_WRONG);
	cell(record, false, lt_record_time(record, wrong->event));
	lt_words_wrong_pair(&pair, wrong->first, wrong->second);
	text_cell(record, false, &pair);
	cell(record, false, lt_record_words.stage_called[event->stage]);
	cell(record, false, event->who);
	cell(record, open,
		open ? lt_record_words.not_resolved : lt_record_time(record, wrong->resolved));
}

/* "Other scans to note: made before (1), misread (2)." */
static void add_other_scans(struct lt_record *record)
{
	struct lt_text counts = { 0 }, text = { 0 };
	for (enum lt_verdict i = LT_VERDICT_HALF; i < LT_VERDICT_COUNT; i++)
		if (lt_record_words.other_scan[i] != NULL && record->verdicts[i] > 0)
			lt_text_printf(&counts, "%s%s (%zu)", counts.length > 0 ? ", " : "",
				lt_record_words.other_scan[i], record->verdicts[i]);
	if (counts.length > 0)
		lt_words_other_scans(&text, lt_text_string(&counts));
	else
		lt_text_add(&text, lt_record_words.no_other_scan);
	lt_text_finish(&counts);
	add_paragraph(record, &text);
}

static void add_wrongs(struct lt_record *record)
{
	section(record, lt_record_words.wrong_mates, record->wrong_count,
		lt_record_words.no_wrong_mate_row);
	for (size_t i = 0; i < record->wrong_count; i++)
		add_wrong(record, &record->wrong[i]);
	add_other_scans(record);
}

static void add_part(struct lt_record *record, const struct lt_record_part *part)
{
	const bool open = part->swapped == LT_NONE && part->joint_count > 0;
	struct lt_text numbers = { 0 }, called = { 0 };
	add_row(record, LT_RECORD_TABLE_PARTS);
	lt_words_joint_called(&called, part->id, part->name, false);
	text_cell(record, false, &called);
	cell(record, false, part->place);
	for (size_t i = part->first; i != LT_NONE; i = record->joints[i].next)
		lt_text_printf(&numbers, "%s%u", i != part->first ? ", " : "",
			record->joints[i].plan->number);
	text_cell(record, false, &numbers);
	add_check(record, !open, part->swapped);
}

static void add_parts(struct lt_record *record)
{
	section(record, lt_record_words.parts, record->part_count, lt_record_words.no_part);
	for (size_t i = 0; i < record->part_count; i++)
		add_part(record, &record->parts[i]);
}

/* When something happened and who did it, or what it is not. */
static void add_moment(struct lt_record *record, bool late, const char *instead, size_t event)
{
	struct lt_text text = { 0 };
	if (event == LT_NONE) {
		cell(record, true, instead);
		cell(record, false, "–");
		return;
	}
	if (late)
		lt_words_confirmed_late(&text, lt_record_time(record, event));
	else
		lt_text_add(&text, lt_record_time(record, event));
	text_cell(record, late, &text);
	cell(record, false, record->events[event].who);
}

static void add_line(struct lt_record *record, const struct lt_record_line *line)
{
	add_row(record, LT_RECORD_TABLE_LINES);
	cell(record, false, line->plan->text);
	add_moment(record, false, lt_record_words.not_ticked, line->ticked);
}

static void add_hazard(struct lt_record *record, const struct lt_record_line *hazard)
{
	struct lt_text restore = { 0 };
	add_row(record, LT_RECORD_TABLE_HAZARDS);
	cell(record, false, hazard->plan->energy);
	if (hazard->plan->restore != NULL)
		lt_words_record_restore(&restore, hazard->plan->restore);
	text_cell(record, false, &restore);
	add_moment(record, hazard->late, lt_record_words.not_confirmed, hazard->confirmed);
	add_moment(record, false, lt_record_words.not_ticked, hazard->ticked);
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
	struct lt_text text = { 0 };
	lt_words_replanned(&text, lt_record_time(record, replan->event), event->who);
	add_paragraph(record, &text);
	if (replan->voids_all)
		paragraph(record, lt_record_words.nothing_before_counts);
	for (size_t i = 0; i < replan->change_count; i++) {
		lt_plan_change_words(&text, &replan->changes[i]);
		add_paragraph(record, &text);
	}
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
			section(record, lt_record_words.changes, 1, NULL);
		any = true;
		add_replan(record, replan);
	}
}

void lt_record_add_tables(struct lt_record *record)
{
	make_tables(record);
	add_replans(record);
	add_stages(record);
	add_joints(record);
	add_wrongs(record);
	if (lt_job_state_plans(record->state) > 0) {
		add_parts(record);
		add_lines(record, false, lt_record_words.lines, lt_record_words.no_line);
		add_lines(record, true, lt_record_words.hazards, lt_record_words.no_hazard);
	}
	section(record, lt_record_words.signatures, 1, NULL);
	lt_document_add(&record->document, LT_BLOCK_SIGN, lt_record_words.technician);
	lt_document_add(&record->document, LT_BLOCK_SIGN, lt_record_words.foreman);
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
		lt_text_printf(&text, " (%s)", lt_job_words.typed_accepted);
	text_cell(record, false, &text);
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
	add_row(record, LT_RECORD_TABLE_EVENTS);
	cell(record, false, lt_arena_printf(arena, "%zu", index + 1));
	cell(record, false, lt_record_time(record, index));
	cell(record, false, event->who);
	cell(record, false, lt_arena_printf(arena, "%u", event->station));
	cell(record, false, lt_stage_name(event->stage));
	add_what(record, event);
	lt_text_add(&text, event->verdict != NULL ? event->verdict : "");
	if (misfit) {
		add_break(&text);
		lt_text_add(&text, lt_record_words.digest_wrong);
	}
	if (strange) {
		add_break(&text);
		lt_text_add(&text, lt_record_words.not_understood);
	}
	text_cell(record, misfit || strange || wrong, &text);
}

void lt_record_add_events(struct lt_record *record)
{
	section(record, lt_record_words.events, record->count, NULL);
	record->document.blocks[record->document.count - 1].new_page = true;
	paragraph(record, lt_record_words.about_events);
	for (size_t i = 0; i < record->count; i++)
		add_event(record, i);
}
