/* The record as JSON. */
#include <jansson.h>
#include <stdlib.h>

#include "loomtag/words.h"
#include "record/facts.h"

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

static json_t *summary_json(const struct lt_record *record)
{
	json_t *list = json_array();
	for (size_t i = 0; i < record->document.count; i++) {
		const struct lt_block *block = &record->document.blocks[i];
		if (block->kind == LT_BLOCK_FINDING)
			json_array_append_new(list, json_pack("{s:b, s:o}", "fault", block->fault,
							    "text", lt_words_json(block->text)));
	}
	return list;
}

static json_t *stage_json(const struct lt_record *record, size_t index)
{
	static const char *const states[] = { [LT_STATE_NOT_BEGUN] = "not-begun",
		[LT_STATE_BEGUN] = "begun",
		[LT_STATE_DONE] = "done",
		[LT_STATE_SKIPPED] = "skipped",
		[LT_STATE_NOTHING] = "nothing" };
	const struct lt_record_stage *stage = &record->stages[index];
	const bool planned = lt_job_state_plans(record->state) > 0;
	const char *reason = stage->skipped != LT_NONE ? record->events[stage->skipped].text : NULL;
	return json_pack("{s:s, s:s, s:o, s:o, s:o, s:o}", "stage",
		lt_stage_name((enum lt_stage)index), "standing",
		planned ? states[stage->state] : "not-known", "begun",
		time_json(record, stage->begun), "last", time_json(record, stage->ended), "who",
		people_json(&stage->who), "reason", lt_words_json(reason));
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

static json_t *joint_json(const struct lt_record *record, size_t index)
{
	static const char *const states[] = { "made", "left-in", "open" };
	const struct lt_record_joint *joint = &record->joints[index];
	return json_pack(
		"{s:I, s:o, s:o, s:o, s:o, s:b, s:b, s:s, s:o, s:b, s:o, s:o, s:o, s:o, s:o, "
		"s:b, s:b, s:b}",
		"number", (json_int_t)joint->plan->number, "tags", lt_words_json(joint->tags),
		"connector", lt_words_json(joint->plan->id), "name",
		lt_words_json(joint->plan->name), "mates", lt_words_json(joint->mate), "described",
		joint->described && !joint->removed, "replaced", joint->plan->replaced, "standing",
		states[joint->state], "proven", time_json(record, joint->history.proven),
		"proven_before", joint->proven_before, "unplugged",
		time_json(record, joint->history.unplugged), "rank",
		ordinal_json(joint->history.unplug_rank), "swapped",
		time_json(record, joint->history.swapped), "made",
		time_json(record, joint->history.made), "skipped",
		skip_json(record, joint->history.skipped), "proven_typed",
		joint->typed[LT_STAGE_TAG], "swapped_typed", joint->typed[LT_STAGE_SWAP],
		"made_typed", joint->typed[LT_STAGE_RECONNECT]);
}

static json_t *wrong_json(const struct lt_record *record, size_t index)
{
	const struct lt_record_wrong *wrong = &record->wrong[index];
	const struct lt_job_event *event = &record->events[wrong->event];
	return json_pack("{s:o, s:o, s:o, s:o, s:s, s:o, s:o}", "event", ordinal_json(wrong->event),
		"at", lt_time_json(event->at), "first", lt_words_json(wrong->first), "second",
		lt_words_json(wrong->second), "stage", lt_stage_name(event->stage), "who",
		lt_words_json(event->who), "righted", time_json(record, wrong->resolved));
}

static json_t *verdicts_json(const struct lt_record *record)
{
	json_t *counts = json_object();
	for (enum lt_verdict i = LT_VERDICT_HALF; i < LT_VERDICT_COUNT; i++)
		json_object_set_new(counts, lt_verdict_name(i),
			json_integer((json_int_t)record->verdicts[i]));
	return counts;
}

static json_t *part_json(const struct lt_record *record, size_t index)
{
	const struct lt_record_part *part = &record->parts[index];
	json_t *numbers = json_array();
	for (size_t i = part->first; i != LT_NONE; i = record->joints[i].next)
		json_array_append_new(numbers, json_integer(record->joints[i].plan->number));
	return json_pack("{s:o, s:o, s:o, s:o, s:o}", "component", lt_words_json(part->id), "name",
		lt_words_json(part->name), "place", lt_words_json(part->place), "joints", numbers,
		"swapped", time_json(record, part->swapped));
}

static json_t *who_json(const struct lt_record *record, size_t event)
{
	return lt_words_json(event != LT_NONE ? record->events[event].who : NULL);
}

static json_t *line_json(const struct lt_record *record, size_t index)
{
	const struct lt_record_line *line = &record->lines[index];
	return json_pack("{s:o, s:b, s:o, s:o, s:o, s:o}", "line", lt_words_json(line->plan->text),
		"hazard", line->plan->kind == LT_JOB_LINE_HAZARD, "confirmed",
		time_json(record, line->confirmed), "confirmed_by",
		who_json(record, line->confirmed), "ticked", time_json(record, line->ticked), "who",
		who_json(record, line->ticked));
}

static json_t *event_json(const struct lt_record *record, size_t index)
{
	json_t *event = lt_job_event_json(&record->events[index], true);
	json_object_set_new(event, "today", json_null());
	return event;
}

static json_t *digest_json(const struct lt_record *record)
{
	const char *last = record->count > 0 ? record->events[record->count - 1].digest : NULL;
	return json_pack("{s:b, s:o, s:o, s:I, s:I}", "fits",
		record->misfit == LT_NONE && record->count > 0 && record->missing_events == 0,
		"misfit", ordinal_json(record->misfit), "last", lt_words_json(last), "events",
		(json_int_t)record->count, "gone", (json_int_t)record->missing_events);
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

static json_t *plan_json(const struct lt_record *record, size_t index)
{
	const struct lt_job_replan *replan = lt_job_state_replan(record->state, index);
	json_t *changes = json_array();
	for (size_t i = 0; i < replan->change_count; i++) {
		struct lt_text words = { 0 };
		lt_plan_change_words(&words, &replan->changes[i]);
		json_array_append_new(changes, lt_words_json(lt_text_string(&words)));
		lt_text_finish(&words);
	}
	return json_pack("{s:o, s:o, s:o, s:b, s:o}", "event", ordinal_json(replan->event), "at",
		time_json(record, replan->event), "who", who_json(record, replan->event),
		"voids_all", replan->voids_all, "changes", changes);
}

static json_t *list_json(const struct lt_record *record, size_t count,
	json_t *(*one)(const struct lt_record *record, size_t index))
{
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		json_array_append_new(list, one(record, i));
	return list;
}

void lt_record_write_json(struct lt_text *out, const struct lt_record *record)
{
	json_t *json =
		json_pack("{s:o, s:b, s:o, s:o, s:b, s:o, s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o, "
			  "s:o}",
			"job", job_json(record), "ok", record->faults == 0, "summary",
			summary_json(record), "digest", digest_json(record), "description_changed",
			record->redescribed || changed_during(record), "plans",
			list_json(record, lt_job_state_plans(record->state), plan_json),
			"unplugging_recorded", record->unplugging, "stages",
			list_json(record, LT_STAGE_COUNT, stage_json), "joints",
			list_json(record, record->joint_count, joint_json), "wrong_mates",
			list_json(record, record->wrong_count, wrong_json), "verdicts",
			verdicts_json(record), "parts",
			list_json(record, record->part_count, part_json), "lines",
			list_json(record, record->line_count, line_json), "events",
			list_json(record, record->count, event_json), "program",
			lt_words_json(record->options.program));
	char *text = json_dumps(json, JSON_INDENT(2) | JSON_ENSURE_ASCII);
	if (text != NULL)
		lt_text_add(out, text);
	lt_text_add_char(out, '\n');
	free(text);
	json_decref(json);
}
