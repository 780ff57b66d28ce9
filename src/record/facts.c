/* The facts of a record: stages, people, wrong mates, parts and lines. */
#include <stdlib.h>
#include <string.h>

#include "record/facts.h"

/* What a kept verdict does; LT_EFFECT_DROP for one that is not known. */
static enum lt_effect effect_of(const struct lt_job_event *event)
{
	enum lt_verdict verdict;
	return lt_verdict_read(&verdict, event->verdict) ? lt_verdict_row(verdict)->effect
							 : LT_EFFECT_DROP;
}

/* The scan that was pending when event `index` came, by what was recorded then: of the same
 * station. LT_NONE where there is none. */
static size_t pending_before(const struct lt_record *record, size_t index)
{
	const struct lt_job_event *event = &record->events[index];
	for (size_t i = index; i-- > 0;) {
		const struct lt_job_event *before = &record->events[i];
		const enum lt_effect effect = effect_of(before);
		if (before->station == event->station && before->kind == LT_JOB_SCAN &&
			effect != LT_EFFECT_NOTHING)
			return before->stage == event->stage && effect == LT_EFFECT_WAIT ? i
											 : LT_NONE;
	}
	return LT_NONE;
}

/* Many names are a damaged database's; those after some are left out rather than compared. */
#define NAMES_MOST 64u

/* Adds a name that is not there yet. */
static void note_name(struct lt_arena *arena, struct lt_record_people *people, const char *name)
{
	for (size_t i = 0; i < people->count; i++)
		if (strcmp(people->names[i], name) == 0)
			return;
	if (people->names == NULL)
		people->names = lt_arena_array(arena, NAMES_MOST, sizeof *people->names);
	if (people->count < NAMES_MOST)
		people->names[people->count++] = name;
}

static void note_stage(struct lt_record *record, size_t index)
{
	const struct lt_job_event *event = &record->events[index];
	struct lt_record_stage *stage = &record->stages[event->stage];
	if (event->kind == LT_JOB_STAGE_SKIPPED)
		stage->skipped = index;
	if (event->kind == LT_JOB_OPENED || event->kind == LT_JOB_CLOSED ||
		event->kind == LT_JOB_STAGE_SKIPPED || event->kind == LT_JOB_HAZARD ||
		event->kind == LT_JOB_PLAN)
		return;
	if (stage->begun == LT_NONE)
		stage->begun = index;
	stage->ended = index;
	note_name(&record->arena, &stage->who, event->who);
}

/* The connector that a tag is of by the plan in force, or NULL. */
static const char *connector_of(const struct lt_job_state *state, const char *tag)
{
	const struct lt_verify *machine = lt_job_state_machine(state, LT_STAGE_TAG);
	if (machine == NULL || tag == NULL)
		return NULL;
	const size_t joint = lt_verify_joint(machine, (unsigned)strtoul(tag, NULL, 10));
	return joint != LT_NONE ? lt_job_state_joint(state, joint)->id : NULL;
}

static void name_wrong(const struct lt_record *record, struct lt_record_wrong *wrong)
{
	wrong->ids[0] = connector_of(record->state, wrong->first);
	wrong->ids[1] = connector_of(record->state, wrong->second);
}

/* `other`: the number that was pending; 0 where the state cannot tell (version 1). */
static void note_wrong(struct lt_record *record, size_t index, const struct lt_answer *answer)
{
	struct lt_record_wrong *wrong = &record->wrong[record->wrong_count++];
	*wrong = (struct lt_record_wrong){
		.event = index, .second = record->events[index].tag, .resolved = LT_NONE
	};
	const size_t pending = pending_before(record, index);
	if (answer->other != 0) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, answer->other, answer->other_side);
		wrong->first = lt_arena_strdup(&record->arena, tag);
	} else if (pending != LT_NONE) {
		wrong->first = record->events[pending].tag;
	}
	name_wrong(record, wrong);
}

/* A connector that a plan renames is the same one. */
static void rename_wrong(struct lt_record *record, const struct lt_plan_change *change)
{
	for (size_t i = 0; i < record->wrong_count; i++)
		for (size_t side = 0; side < 2; side++) {
			const char **id = &record->wrong[i].ids[side];
			if (*id != NULL && strcmp(*id, change->before) == 0)
				*id = change->id;
		}
}

/* A plan that came into force. */
static void note_plan(struct lt_record *record)
{
	const size_t plans = lt_job_state_plans(record->state);
	if (plans == 0)
		return;
	const struct lt_job_replan *replan = lt_job_state_replan(record->state, plans - 1);
	/* A backdated plan shows which connectors earlier tags belonged to. */
	for (size_t i = 0; i < record->wrong_count && plans == 1 && replan->plan->backdated; i++)
		name_wrong(record, &record->wrong[i]);
	for (size_t i = 0; i < replan->change_count; i++)
		if (replan->changes[i].kind == LT_PLAN_RENAMED)
			rename_wrong(record, &replan->changes[i]);
}

static void note_scan(struct lt_record *record, size_t index, const struct lt_answer *answer)
{
	enum lt_verdict verdict;
	if (!lt_verdict_read(&verdict, record->events[index].verdict))
		return;
	record->verdicts[verdict]++;
	if (lt_verdict_row(verdict)->effect == LT_EFFECT_OPEN)
		note_wrong(record, index, answer);
}

static void go_through(struct lt_record *record)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct lt_job_event *event = &record->events[i];
		struct lt_answer answer = { .other = 0 };
		lt_job_state_apply(record->state, event, &answer);
		note_name(&record->arena, &record->who, event->who);
		note_stage(record, i);
		if (event->kind == LT_JOB_SCAN)
			note_scan(record, i, &answer);
		if (event->kind == LT_JOB_PLAN)
			note_plan(record);
		if (event->kind == LT_JOB_CLOSED) {
			record->closed = true;
			record->reason = event->text;
		}
	}
}

/* Whether today's description is what the job was judged by last. */
static void compare_today(struct lt_record *record)
{
	const size_t plans = lt_job_state_plans(record->state);
	struct lt_job_plan today;
	struct lt_plan_change *changes;
	if (plans == 0)
		return;
	lt_job_plan_make(&today, &record->arena, record->tags);
	record->redescribed = lt_job_plan_compare(&changes, NULL, &record->arena, &today,
				      lt_job_state_replan(record->state, plans - 1)->plan) > 0;
}

/* Whether work began on the machine. Scans at stage tag do not count: all is plugged in then. */
static bool is_touching(const struct lt_job_event *event)
{
	enum lt_verdict verdict;
	return event->kind == LT_JOB_SCAN && event->stage != LT_STAGE_TAG &&
	       lt_verdict_read(&verdict, event->verdict) && lt_verdict_row(verdict)->in_place;
}

/* Of hazards that are called the same, one after the other. */
static void note_confirmed(struct lt_record *record, size_t index, bool touched)
{
	const char *energy = record->events[index].text;
	for (size_t i = 0; energy != NULL && i < record->line_count; i++) {
		struct lt_record_line *line = &record->lines[i];
		if (line->plan->kind != LT_JOB_LINE_HAZARD || line->confirmed != LT_NONE ||
			strcmp(line->plan->energy, energy) != 0)
			continue;
		line->confirmed = index;
		line->late = touched;
		return;
	}
}

static void find_lines(struct lt_record *record)
{
	bool touched = false;
	record->line_count = lt_job_state_lines(record->state);
	record->lines = lt_arena_array(&record->arena, record->line_count, sizeof *record->lines);
	for (size_t i = 0; i < record->line_count; i++)
		record->lines[i] = (struct lt_record_line){
			.plan = lt_job_state_line(record->state, i),
			.ticked = lt_job_state_ticked(record->state, i),
			.confirmed = LT_NONE,
		};
	for (size_t i = 0; i < record->count; i++) {
		touched = touched || is_touching(&record->events[i]);
		if (record->events[i].kind == LT_JOB_HAZARD)
			note_confirmed(record, i, touched);
	}
}

/* The event by which a joint was right at a stage. */
static size_t right_at(const struct lt_record_joint *joint, enum lt_stage stage)
{
	const struct lt_joint_history *history = &joint->history;
	const size_t events[LT_STAGE_COUNT] = { history->proven, history->unplugged,
		history->swapped, history->made, history->made };
	return events[stage];
}

/* The event by which somebody confirmed that the two were taken apart, where a joint was removed.
 */
static size_t settled_by(const struct lt_record *record, const struct lt_record_wrong *wrong)
{
	const struct lt_job_stray *strays;
	const size_t count = lt_job_state_strays(record->state, &strays);
	for (size_t i = 0; i < count; i++) {
		const char *const *ids = strays[i].ids;
		if (ids[1] == NULL)
			continue;
		const bool same =
			(strcmp(ids[0], wrong->ids[0]) == 0 &&
				strcmp(ids[1], wrong->ids[1]) == 0) ||
			(strcmp(ids[0], wrong->ids[1]) == 0 && strcmp(ids[1], wrong->ids[0]) == 0);
		if (same && strays[i].settled != LT_NONE && strays[i].settled > wrong->event)
			return strays[i].settled;
	}
	return LT_NONE;
}

/* Resolved: both joints were made after it, at the same stage, and were not opened since. */
static void find_resolved(struct lt_record *record)
{
	for (size_t i = 0; i < record->wrong_count; i++) {
		struct lt_record_wrong *wrong = &record->wrong[i];
		if (wrong->ids[0] == NULL || wrong->ids[1] == NULL)
			continue;
		const struct lt_record_joint *first = lt_record_joint_of(record, wrong->ids[0]);
		const struct lt_record_joint *second = lt_record_joint_of(record, wrong->ids[1]);
		wrong->resolved = settled_by(record, wrong);
		if (first == NULL || second == NULL || wrong->resolved != LT_NONE)
			continue;
		enum lt_stage stage = record->events[wrong->event].stage;
		size_t a = right_at(first, stage), b = right_at(second, stage);
		if (a != LT_NONE && b != LT_NONE && a > wrong->event && b > wrong->event)
			wrong->resolved = a > b ? a : b;
	}
}

/* Whose numbers have to be carried over to a new part. */
static bool is_of_part(const struct lt_record_joint *joint)
{
	return !joint->removed && joint->plan->replaced && joint->plan->mate != NULL;
}

static void add_part(struct lt_record *record, const char *id)
{
	const struct lt_harness *harness = record->tags->harness;
	struct lt_record_part *part = &record->parts[record->part_count++];
	*part = (struct lt_record_part){ .id = id, .first = LT_NONE, .swapped = LT_NONE };
	for (size_t i = 0; i < harness->component_count; i++)
		if (strcmp(harness->components[i].id, id) == 0) {
			part->name = harness->components[i].name;
			part->place = harness->components[i].where;
		}
}

/* Those of the plan, and those of today's description of which no joint has a number. */
static void list_parts(struct lt_record *record, struct lt_hash *ids)
{
	const struct lt_harness *harness = record->tags->harness;
	record->parts = lt_arena_array(&record->arena,
		harness->component_count + record->joint_count, sizeof *record->parts);
	for (size_t i = 0; i < harness->component_count; i++) {
		if (!harness->components[i].replace)
			continue;
		lt_hash_put(ids, harness->components[i].id, record->part_count);
		add_part(record, harness->components[i].id);
	}
	for (size_t i = 0; i < record->joint_count; i++) {
		const struct lt_record_joint *joint = &record->joints[i];
		if (is_of_part(joint) &&
			lt_hash_put(ids, joint->plan->mate, record->part_count) == LT_HASH_NONE)
			add_part(record, joint->plan->mate);
	}
}

static void find_parts(struct lt_record *record)
{
	struct lt_hash ids = { 0 };
	if (lt_job_state_plans(record->state) == 0)
		return;
	list_parts(record, &ids);
	/* From the last on, so that each part's joints are in their order. */
	for (size_t i = record->joint_count; i-- > 0;) {
		struct lt_record_joint *joint = &record->joints[i];
		if (!is_of_part(joint))
			continue;
		struct lt_record_part *part = &record->parts[lt_hash_get(&ids, joint->plan->mate)];
		const size_t last = part->joint_count++ > 0 ? part->swapped : 0;
		joint->next = part->first;
		part->first = i;
		/* LT_NONE is above all events. */
		part->swapped = joint->history.swapped > last ? joint->history.swapped : last;
	}
	lt_hash_finish(&ids);
}

void lt_record_find_facts(struct lt_record *record)
{
	const size_t fit = lt_job_digest_check(record->job, record->events, record->count);
	record->misfit = fit == record->count ? LT_NONE : fit;
	record->missing_events = lt_job_events_missing(record->job, record->count);
	record->wrong = lt_arena_array(&record->arena, record->count, sizeof *record->wrong);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		record->stages[stage] = (struct lt_record_stage){
			.begun = LT_NONE, .ended = LT_NONE, .skipped = LT_NONE
		};
	go_through(record);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		record->stages[stage].state = lt_job_state_of_stage(record->state, stage);
	record->reconnected = lt_job_state_ok(record->state, LT_STAGE_RECONNECT);
	compare_today(record);
	lt_record_find_joints(record);
	find_lines(record);
	find_resolved(record);
	find_parts(record);
}
