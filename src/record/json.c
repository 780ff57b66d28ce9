/* The record as JSON. */
#include <jansson.h>
#include <stdlib.h>

#include "loomtag/base.h"
#include "loomtag/words.h"
#include "record/paper.h"

/* The time of an event by index, null for none. */
static json_t *time_json(const struct lt_record *record, size_t event)
{
	return event == LT_NONE ? json_null() : lt_time_json(record->events[event].at);
}

/* An index, counted from 1; null for none. */
static json_t *ordinal_json(size_t event)
{
	return event == LT_NONE ? json_null() : json_integer((json_int_t)event + 1);
}

static json_t *people_json(const struct lt_record_people *people)
{
	json_t *list = json_array();
	for (size_t i = 0; i < people->count; i++)
		json_array_append_new(list, lt_words_json(people->names[i]));
	return list;
}

static json_t *job_json(const struct lt_record *record)
{
	const struct lt_job *job = record->job;
	return json_pack("{s:I, s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:o}", "id",
		(json_int_t)job->id, "origin", (json_int_t)job->origin, "code",
		lt_words_json(job->code), "harness", lt_words_json(job->harness), "unit",
		lt_words_json(job->unit), "title", lt_words_json(job->title), "revision",
		lt_words_json(job->revision), "opened", lt_time_json(job->opened), "last",
		lt_time_json(job->last), "who", people_json(&record->who), "closed", record->closed,
		"reason", lt_words_json(record->reason));
}

static json_t *summary_json(const struct lt_record_paper *paper)
{
	json_t *list = json_array();
	for (size_t i = 0; i < paper->document.count; i++) {
		const struct lt_block *block = &paper->document.blocks[i];
		if (block->kind == LT_BLOCK_FINDING)
			json_array_append_new(list, json_pack("{s:b, s:o}", "fault", block->fault,
							    "text", lt_words_json(block->text)));
	}
	return list;
}

static json_t *stages_json(const struct lt_record *record)
{
	static const char *const standings[] = { [LT_STANDING_NOT_BEGUN] = "not-begun",
		[LT_STANDING_BEGUN] = "begun",
		[LT_STANDING_DONE] = "done",
		[LT_STANDING_SKIPPED] = "skipped",
		[LT_STANDING_NOTHING] = "nothing" };
	json_t *list = json_array();
	const bool planned = lt_job_state_plans(record->state) > 0;
	for (enum lt_stage i = LT_STAGE_TAG; i < LT_STAGE_COUNT; i++) {
		const struct lt_record_stage *stage = &record->stages[i];
		const char *reason =
			stage->skipped != LT_NONE ? record->events[stage->skipped].text : NULL;
		json_array_append_new(list,
			json_pack("{s:s, s:s, s:o, s:o, s:o, s:o}", "stage", lt_stage_name(i),
				"standing", planned ? standings[stage->standing] : "not-known",
				"begun", time_json(record, stage->begun), "last",
				time_json(record, stage->ended), "who", people_json(&stage->who),
				"reason", lt_words_json(reason)));
	}
	return list;
}

static json_t *skip_json(const struct lt_record *record, size_t event)
{
	if (event == LT_NONE)
		return json_null();
	const struct lt_job_event *skip = &record->events[event];
	return json_pack("{s:o, s:s, s:o, s:o}", "at", lt_time_json(skip->at), "stage",
		lt_stage_name(skip->stage), "who", lt_words_json(skip->who), "reason",
		lt_words_json(skip->text));
}

static json_t *joint_json(const struct lt_record *record, const struct lt_record_joint *joint)
{
	static const char *const standings[] = { "made", "left-in", "open" };
	return json_pack(
		"{s:I, s:o, s:o, s:o, s:o, s:b, s:b, s:s, s:o, s:b, s:o, s:o, s:o, s:o, s:o, "
		"s:b, s:b, s:b}",
		"number", (json_int_t)joint->number, "tags", lt_words_json(joint->tags),
		"connector", lt_words_json(joint->id), "name", lt_words_json(joint->name), "mates",
		lt_words_json(joint->mate), "described", joint->described && !joint->gone,
		"replaced", joint->replaced, "standing", standings[joint->standing], "proven",
		time_json(record, joint->proven), "proven_before", joint->proven_before,
		"unplugged", time_json(record, joint->unplugged), "rank", ordinal_json(joint->rank),
		"swapped", time_json(record, joint->swapped), "made",
		time_json(record, joint->made), "skipped", skip_json(record, joint->skipped),
		"proven_typed", joint->proven_typed, "swapped_typed", joint->swapped_typed,
		"made_typed", joint->made_typed);
}

static json_t *joints_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->joint_count; i++)
		json_array_append_new(list, joint_json(record, &record->joints[i]));
	return list;
}

static json_t *wrong_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->wrong_count; i++) {
		const struct lt_record_wrong *wrong = &record->wrong[i];
		const struct lt_job_event *event = &record->events[wrong->event];
		json_array_append_new(list,
			json_pack("{s:o, s:o, s:o, s:o, s:s, s:o, s:o}", "event",
				ordinal_json(wrong->event), "at", lt_time_json(event->at), "first",
				lt_words_json(wrong->first), "second", lt_words_json(wrong->second),
				"stage", lt_stage_name(event->stage), "who",
				lt_words_json(event->who), "righted",
				time_json(record, wrong->righted)));
	}
	return list;
}

static json_t *verdicts_json(const struct lt_record *record)
{
	json_t *counts = json_object();
	for (enum lt_verdict i = LT_VERDICT_HALF; i < LT_VERDICT_COUNT; i++)
		json_object_set_new(counts, lt_verdict_name(i),
			json_integer((json_int_t)record->verdicts[i]));
	return counts;
}

static json_t *parts_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->part_count; i++) {
		const struct lt_record_part *part = &record->parts[i];
		json_t *numbers = json_array();
		for (size_t j = part->first; j != LT_NONE; j = record->joints[j].next)
			json_array_append_new(numbers, json_integer(record->joints[j].number));
		json_array_append_new(list,
			json_pack("{s:o, s:o, s:o, s:o, s:o}", "component", lt_words_json(part->id),
				"name", lt_words_json(part->name), "place",
				lt_words_json(part->place), "joints", numbers, "swapped",
				time_json(record, part->swapped)));
	}
	return list;
}

static json_t *who_json(const struct lt_record *record, size_t event)
{
	return lt_words_json(event != LT_NONE ? record->events[event].who : NULL);
}

static json_t *lines_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->line_count; i++) {
		const struct lt_record_line *line = &record->lines[i];
		json_array_append_new(list,
			json_pack("{s:o, s:b, s:o, s:o, s:o, s:o}", "line",
				lt_words_json(line->text), "hazard", line->hazard, "confirmed",
				time_json(record, line->confirmed), "confirmed_by",
				who_json(record, line->confirmed), "ticked",
				time_json(record, line->ticked), "who",
				who_json(record, line->ticked)));
	}
	return list;
}

static json_t *events_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->count; i++) {
		json_t *event = lt_job_event_json(&record->events[i], true);
		json_object_set_new(event, "today", json_null());
		json_array_append_new(list, event);
	}
	return list;
}

static json_t *digest_json(const struct lt_record *record)
{
	const char *last = record->count > 0 ? record->events[record->count - 1].digest : NULL;
	return json_pack("{s:b, s:o, s:o, s:I, s:I}", "fits",
		record->misfit == LT_NONE && record->count > 0 && record->gone == 0, "misfit",
		ordinal_json(record->misfit), "last", lt_words_json(last), "events",
		(json_int_t)record->count, "gone", (json_int_t)record->gone);
}

static bool changed_during(const struct lt_record *record)
{
	for (size_t i = 0; i < lt_job_state_plans(record->state); i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(record->state, i);
		if (replan->change_count > 0 || replan->voids_all)
			return true;
	}
	return false;
}

static json_t *plans_json(const struct lt_record *record)
{
	json_t *list = json_array();
	struct lt_text words = { 0 };
	for (size_t i = 0; i < lt_job_state_plans(record->state); i++) {
		const struct lt_job_replan *replan = lt_job_state_replan(record->state, i);
		json_t *changes = json_array();
		for (size_t k = 0; k < replan->change_count; k++) {
			lt_text_clear(&words);
			lt_plan_change_words(&words, &replan->changes[k]);
			json_array_append_new(changes, lt_words_json(lt_text_string(&words)));
		}
		json_array_append_new(list,
			json_pack("{s:o, s:o, s:o, s:b, s:o}", "event", ordinal_json(replan->event),
				"at", time_json(record, replan->event), "who",
				lt_words_json(record->events[replan->event].who), "voids_all",
				replan->voids_all, "changes", changes));
	}
	lt_text_finish(&words);
	return list;
}

void lt_record_write_json(struct lt_text *out, const struct lt_record *record)
{
	struct lt_record_paper paper;
	lt_record_build(&paper, record);
	json_t *json =
		json_pack("{s:o, s:b, s:o, s:o, s:b, s:o, s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o, "
			  "s:o}",
			"job", job_json(record), "ok", paper.faults == 0, "summary",
			summary_json(&paper), "digest", digest_json(record), "description_changed",
			record->redescribed || changed_during(record), "plans", plans_json(record),
			"unplugging_recorded", record->unplugging, "stages", stages_json(record),
			"joints", joints_json(record), "wrong_mates", wrong_json(record),
			"verdicts", verdicts_json(record), "parts", parts_json(record), "lines",
			lines_json(record), "events", events_json(record), "program",
			lt_words_json(record->options.program));
	char *text = json_dumps(json, JSON_INDENT(2) | JSON_ENSURE_ASCII);
	if (text != NULL)
		lt_text_add(out, text);
	lt_text_add_char(out, '\n');
	free(text);
	json_decref(json);
	lt_record_paper_finish(&paper);
}
