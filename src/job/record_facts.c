/* What a job says: its stages, people, wrong mates, parts and lines. */
#include "job/record_facts.h"

#include <stdlib.h>
#include <string.h>

enum lt_verdict lt_record_verdict(const char *name)
{
	enum lt_verdict verdict = LT_VERDICT_HALF;
	while (verdict < LT_VERDICT_COUNT &&
		(name == NULL || strcmp(lt_verdict_name(verdict), name) != 0))
		verdict++;
	return verdict;
}

bool lt_record_is_typed(const struct lt_job_event *event)
{
	struct lt_scan scan;
	if (event->text == NULL)
		return false;
	lt_scan_read(&scan, event->text, strlen(event->text));
	return scan.kind == LT_SCAN_TAG;
}

static bool is_of_number(const struct lt_job_event *event, unsigned number)
{
	return number == 0 || (event->tag != NULL && strtoul(event->tag, NULL, 10) == number);
}

size_t lt_record_pending(const struct lt_record *record, size_t index, unsigned number)
{
	const struct lt_job_event *event = &record->events[index];
	for (size_t i = index; i-- > 0;) {
		const struct lt_job_event *before = &record->events[i];
		if (before->station != event->station || before->kind != LT_JOB_SCAN)
			continue;
		enum lt_verdict verdict = lt_record_verdict(before->verdict);
		if (before->stage != event->stage ||
			(verdict != LT_VERDICT_HALF && verdict != LT_VERDICT_SAME_SIDE &&
				verdict != LT_VERDICT_MISREAD))
			return LT_NONE;
		if (verdict != LT_VERDICT_MISREAD && is_of_number(before, number))
			return i;
	}
	return LT_NONE;
}

/* Adds a name that is not there yet. The array has room for it. */
static void add_name(const char **names, size_t *count, const char *name)
{
	for (size_t i = 0; i < *count; i++)
		if (strcmp(names[i], name) == 0)
			return;
	names[(*count)++] = name;
}

/* Many names are a damaged database's; those after some are left out rather than compared. */
#define NAMES_MOST 64u

static void note_name(struct lt_arena *arena, const char ***names, size_t *count, const char *name)
{
	if (*names == NULL)
		*names = lt_arena_array(arena, NAMES_MOST, sizeof **names);
	if (*count < NAMES_MOST)
		add_name(*names, count, name);
}

static void note_stage(struct lt_record *record, size_t index)
{
	const struct lt_job_event *event = &record->events[index];
	struct lt_record_stage *stage = &record->stages[event->stage];
	if (event->kind == LT_JOB_STAGE_SKIPPED)
		stage->skipped = index;
	if (event->kind == LT_JOB_OPENED || event->kind == LT_JOB_CLOSED ||
		event->kind == LT_JOB_STAGE_SKIPPED || event->kind == LT_JOB_HAZARD)
		return;
	if (stage->begun == LT_NONE)
		stage->begun = index;
	stage->ended = index;
	note_name(&record->arena, &stage->who, &stage->who_count, event->who);
}

/* A wrong mate by what was answered then or would be now. */
static void note_wrong(struct lt_record *record, size_t index, const struct lt_answer *answer)
{
	const struct lt_job_event *event = &record->events[index];
	struct lt_record_wrong *wrong = &record->wrong[record->wrong_count++];
	*wrong = (struct lt_record_wrong){
		.event = index, .second = event->tag, .righted = LT_NONE
	};
	size_t pending = lt_record_pending(record, index, 0);
	if (answer->verdict == LT_VERDICT_WRONG_MATE && answer->other != 0) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, answer->other, answer->other_side);
		wrong->first = lt_arena_strdup(&record->arena, tag);
	} else if (pending != LT_NONE) {
		wrong->first = record->events[pending].tag;
	}
}

static void note_scan(struct lt_record *record, size_t index, const struct lt_answer *answer)
{
	const struct lt_job_event *event = &record->events[index];
	enum lt_verdict recorded = lt_record_verdict(event->verdict);
	const char *today = lt_verdict_name(answer->verdict);
	if (recorded < LT_VERDICT_COUNT)
		record->verdicts[recorded]++;
	if (event->verdict == NULL || strcmp(event->verdict, today) != 0)
		record->now[index] = today;
	if (recorded == LT_VERDICT_WRONG_MATE || answer->verdict == LT_VERDICT_WRONG_MATE)
		note_wrong(record, index, answer);
}

static void go_through(struct lt_record *record, struct lt_job_state *state)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct lt_job_event *event = &record->events[i];
		struct lt_answer answer = { .verdict = LT_VERDICT_MISREAD };
		bool applied = lt_job_state_apply(state, event, &answer);
		note_name(&record->arena, &record->who, &record->who_count, event->who);
		note_stage(record, i);
		if (event->kind == LT_JOB_SCAN)
			note_scan(record, i, &answer);
		else if (!applied)
			record->now[i] = "";
		if (event->kind == LT_JOB_STAGE && event->text != NULL &&
			strcmp(event->text, lt_job_state_mark(state)) != 0)
			record->redescribed = true;
		if (event->kind == LT_JOB_CLOSED) {
			record->closed = true;
			record->reason = event->text;
		}
		record->differ += record->now[i] != NULL;
	}
}

static void find_stages(struct lt_record *record, const struct lt_job_state *state)
{
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		record->stages[stage].standing = lt_job_state_standing(state, stage);
	record->reconnected = lt_job_state_ok(state, LT_STAGE_RECONNECT);
}

static void find_waiting(struct lt_record *record, const struct lt_job_state *state)
{
	const struct lt_verify *machine = lt_job_state_machine(state, LT_STAGE_RECONNECT);
	unsigned number, station;
	enum lt_side side;
	size_t stations = 0;
	while (lt_verify_pending_at(machine, stations, &number, &side, &station))
		stations++;
	record->waiting = lt_arena_array(&record->arena, stations, sizeof *record->waiting);
	for (size_t i = 0; i < stations; i++) {
		char tag[LT_TAG_SIZE];
		lt_verify_pending_at(machine, i, &number, &side, &station);
		if (number == 0)
			continue;
		lt_tag_write(tag, number, side);
		record->waiting[record->waiting_count++] =
			(struct lt_record_waiting){ lt_arena_strdup(&record->arena, tag), station };
	}
}

/* Whether something was taken in hand: with all plugged in, stickers may be scanned. */
static bool is_touching(const struct lt_job_event *event)
{
	const enum lt_verdict verdict = lt_record_verdict(event->verdict);
	return event->kind == LT_JOB_SCAN && event->stage != LT_STAGE_TAG &&
	       verdict <= LT_VERDICT_OUT_OF_ORDER;
}

/* Of hazards that are called the same, one after the other. */
static void note_confirmed(struct lt_record *record, struct lt_record_line *hazards, size_t index,
	bool touched)
{
	const struct lt_harness *harness = record->tags->harness;
	const char *energy = record->events[index].text;
	for (size_t i = 0; energy != NULL && i < harness->hazard_count; i++) {
		if (hazards[i].confirmed != LT_NONE ||
			strcmp(harness->hazards[i].energy, energy) != 0)
			continue;
		hazards[i].confirmed = index;
		hazards[i].late = touched;
		return;
	}
}

/* They are the last lines there are. */
static void find_hazards(struct lt_record *record)
{
	const size_t count = record->tags->harness->hazard_count;
	struct lt_record_line *hazards = &record->lines[record->line_count - count];
	bool touched = false;
	for (size_t i = 0; i < count; i++)
		hazards[i].hazard = true;
	for (size_t i = 0; i < record->count; i++) {
		touched = touched || is_touching(&record->events[i]);
		if (record->events[i].kind == LT_JOB_HAZARD)
			note_confirmed(record, hazards, i, touched);
	}
}

static void find_lines(struct lt_record *record, const struct lt_job_state *state)
{
	record->line_count = lt_job_state_lines(state);
	record->lines = lt_arena_array(&record->arena, record->line_count, sizeof *record->lines);
	for (size_t i = 0; i < record->line_count; i++)
		record->lines[i] = (struct lt_record_line){
			.text = lt_arena_strdup(&record->arena, lt_job_state_line(state, i)),
			.ticked = lt_job_state_ticked(state, i),
			.confirmed = LT_NONE,
		};
	find_hazards(record);
}

/* The event by which a joint was right at a stage. */
static size_t right_at(const struct lt_record_joint *joint, enum lt_stage stage)
{
	switch (stage) {
	case LT_STAGE_TAG:
		return joint->proven;
	case LT_STAGE_UNPLUG:
		return joint->unplugged;
	case LT_STAGE_SWAP:
		return joint->swapped;
	default:
		return joint->made;
	}
}

/* Put right: both joints were made after it, at the same stage, and were not opened since. */
static void find_righted(struct lt_record *record)
{
	for (size_t i = 0; i < record->wrong_count; i++) {
		struct lt_record_wrong *wrong = &record->wrong[i];
		const struct lt_record_joint *first = lt_record_joint_of(record, wrong->first);
		const struct lt_record_joint *second = lt_record_joint_of(record, wrong->second);
		if (first == NULL || second == NULL)
			continue;
		enum lt_stage stage = record->events[wrong->event].stage;
		size_t a = right_at(first, stage), b = right_at(second, stage);
		if (a != LT_NONE && b != LT_NONE && a > wrong->event && b > wrong->event)
			wrong->righted = a > b ? a : b;
	}
}

/* The component of a joint that has a number to carry over to a new part, or LT_NONE. */
static size_t replaced_component(const struct lt_record *record,
	const struct lt_record_joint *joint)
{
	if (joint->id == NULL || !joint->replaced)
		return LT_NONE;
	size_t connector = record->tags->connector_of[joint->number];
	return record->tags->harness->connectors[connector].component;
}

/* Each part with room for its joints, which are counted first: one array holds those of all. */
static void begin_parts(struct lt_record *record, size_t *part_of, size_t *counts)
{
	const struct lt_harness *harness = record->tags->harness;
	size_t *joints = lt_arena_array(&record->arena, record->joint_count, sizeof *joints);
	for (size_t i = 0; i < harness->component_count; i++) {
		if (!harness->components[i].replace)
			continue;
		part_of[i] = record->part_count;
		record->parts[record->part_count++] = (struct lt_record_part){
			.component = i, .joints = joints, .swapped = LT_NONE
		};
		joints += counts[i];
	}
}

static void add_to_part(struct lt_record_part *part, const struct lt_record *record, size_t index)
{
	size_t swapped = record->joints[index].swapped;
	part->joints[part->joint_count++] = index;
	part->open = part->open || swapped == LT_NONE;
	if (part->open)
		part->swapped = LT_NONE;
	else if (part->swapped == LT_NONE || swapped > part->swapped)
		part->swapped = swapped;
}

static void find_parts(struct lt_record *record)
{
	const struct lt_harness *harness = record->tags->harness;
	const size_t count = harness->component_count;
	record->parts = lt_arena_array(&record->arena, count, sizeof *record->parts);
	size_t *counts = lt_alloc_array(count, sizeof *counts);
	size_t *part_of = lt_alloc_array(count, sizeof *part_of);
	for (size_t i = 0; i < record->joint_count; i++) {
		size_t component = replaced_component(record, &record->joints[i]);
		if (component != LT_NONE)
			counts[component]++;
	}
	begin_parts(record, part_of, counts);
	for (size_t i = 0; i < record->joint_count; i++) {
		size_t component = replaced_component(record, &record->joints[i]);
		if (component != LT_NONE)
			add_to_part(&record->parts[part_of[component]], record, i);
	}
	free(counts);
	free(part_of);
}

struct lt_record *lt_record_create(const struct lt_tags *tags, const struct lt_job *job,
	const struct lt_job_event *events, size_t count, const struct lt_record_options *options)
{
	struct lt_record *record = lt_alloc_array(1, sizeof *record);
	*record = (struct lt_record){
		.options = *options, .tags = tags, .job = job, .events = events, .count = count
	};
	lt_arena_init(&record->arena);
	record->now = lt_arena_array(&record->arena, count, sizeof *record->now);
	record->wrong = lt_arena_array(&record->arena, count, sizeof *record->wrong);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		record->stages[stage] = (struct lt_record_stage){
			.begun = LT_NONE, .ended = LT_NONE, .skipped = LT_NONE
		};
	record->misfit = lt_job_digest_check(job, events, count);
	if (record->misfit == count)
		record->misfit = LT_NONE;
	struct lt_job_state *state = lt_job_state_create(tags);
	go_through(record, state);
	record->gone = lt_job_gone(job, count);
	find_stages(record, state);
	find_waiting(record, state);
	lt_record_find_joints(record, state);
	find_lines(record, state);
	find_righted(record);
	find_parts(record);
	lt_job_state_destroy(state);
	return record;
}

void lt_record_destroy(struct lt_record *record)
{
	if (record == NULL)
		return;
	lt_arena_finish(&record->arena);
	free(record);
}

size_t lt_record_misfit(const struct lt_record *record)
{
	return record->misfit;
}
