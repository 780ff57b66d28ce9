/* The joints of a job's record: those described today, and those that only its events know. */
#include "job/record_facts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* By a typed tag on either half; `event` may be LT_NONE. */
static bool typed_at(const struct lt_record *record, size_t event, unsigned number)
{
	if (event == LT_NONE)
		return false;
	size_t pending = lt_record_pending(record, event, number);
	return lt_record_is_typed(&record->events[event]) ||
	       (pending != LT_NONE && lt_record_is_typed(&record->events[pending]));
}

static const char *tags_of(struct lt_record *record, size_t connector, unsigned number)
{
	char tag[LT_TAG_SIZE];
	lt_tag_write(tag, number, LT_SIDE_H);
	if (record->tags->harness->connectors[connector].sides == 1)
		return lt_arena_strdup(&record->arena, tag);
	return lt_arena_printf(&record->arena, "%s – %uM", tag, number);
}

static const char *mate_of(struct lt_record *record, const struct lt_connector *connector)
{
	if (connector->component == LT_NONE)
		return NULL;
	const struct lt_component *component =
		&record->tags->harness->components[connector->component];
	return lt_arena_printf(&record->arena, "%s%s%s%s%s", component->id,
		component->name != NULL ? " " : "", component->name != NULL ? component->name : "",
		connector->port != NULL ? ", " : "",
		connector->port != NULL ? connector->port : "");
}

static void add_known(struct lt_record *record, const struct lt_job_state *state, size_t index)
{
	size_t connector = lt_job_state_connector(state, index);
	const struct lt_connector *what = &record->tags->harness->connectors[connector];
	struct lt_joint_history history = lt_job_state_history(state, index);
	struct lt_record_joint *joint = &record->joints[record->joint_count++];
	*joint = (struct lt_record_joint){
		.number = record->tags->number_of[connector],
		.id = what->id,
		.name = what->name,
		.mate = mate_of(record, what),
		.proven = history.proven,
		.unplugged = history.unplugged,
		.swapped = history.swapped,
		.made = history.made,
		.skipped = history.skipped,
		.rank = history.unplug_rank,
		.stays = history.stays != LT_NONE && record->events[history.stays].text != NULL &&
			 record->events[history.stays].text[0] != '\0',
		.needed = lt_verify_needed(lt_job_state_machine(state, LT_STAGE_RECONNECT), index),
		.replaced = lt_connector_replaced(record->tags->harness, connector),
		.paper = what->marking == LT_MARK_PAPER,
	};
	joint->tags = tags_of(record, connector, joint->number);
}

/* A joint that the description does not know, made when it is first met. `rows` says by number
 * which of the record's joints it is, from 1. */
static struct lt_record_joint *unknown_joint(struct lt_record *record, size_t *rows,
	unsigned number)
{
	if (rows[number] == 0) {
		record->joints[record->joint_count] = (struct lt_record_joint){ .number = number,
			.proven = LT_NONE,
			.unplugged = LT_NONE,
			.swapped = LT_NONE,
			.made = LT_NONE,
			.skipped = LT_NONE,
			.rank = LT_NONE };
		rows[number] = ++record->joint_count;
	}
	return &record->joints[rows[number] - 1];
}

static bool is_known(const struct lt_tags *tags, unsigned number)
{
	return number <= tags->number_max && tags->connector_of[number] != LT_NONE;
}

static void note_tag(struct lt_record *record, struct lt_record_joint *joint, const char *tag)
{
	if (joint->tags == NULL)
		joint->tags = tag;
	else if (strstr(joint->tags, tag) == NULL)
		joint->tags = lt_arena_printf(&record->arena, "%s – %s", joint->tags, tag);
}

static void note_made(struct lt_record_joint *joint, enum lt_stage stage, size_t event,
	size_t *unplugged)
{
	switch (stage) {
	case LT_STAGE_TAG:
		joint->proven = event;
		break;
	case LT_STAGE_UNPLUG:
		joint->unplugged = event;
		joint->rank = (*unplugged)++;
		break;
	case LT_STAGE_SWAP:
		joint->swapped = event;
		break;
	case LT_STAGE_RECONNECT:
	case LT_STAGE_FINISH:
	case LT_STAGE_COUNT:
		joint->made = event;
		break;
	}
}

static void note_opened(struct lt_record_joint *joint, enum lt_stage stage)
{
	if (stage == LT_STAGE_TAG) {
		joint->proven = LT_NONE;
	} else if (stage == LT_STAGE_RECONNECT) {
		joint->made = LT_NONE;
		joint->needed = true;
	}
}

#define NUMBER_END 100000ul

/* The number of an event that says something of a joint which is no longer described; 0 for none.
 */
static unsigned unknown_number(const struct lt_record *record, const struct lt_job_event *event,
	enum lt_verdict verdict)
{
	unsigned long number = event->kind == LT_JOB_SKIP ? event->number : 0;
	bool said = event->kind == LT_JOB_SCAN && event->tag != NULL &&
		    verdict <= LT_VERDICT_OUT_OF_ORDER;
	if (said)
		number = strtoul(event->tag, NULL, 10);
	return number == 0 || number >= NUMBER_END || is_known(record->tags, (unsigned)number)
		       ? 0
		       : (unsigned)number;
}

/* The other number of a wrong mate is opened too. */
static void open_other(struct lt_record *record, const size_t *rows, size_t event)
{
	size_t pending = lt_record_pending(record, event, 0);
	const char *tag = pending != LT_NONE ? record->events[pending].tag : NULL;
	unsigned long number = tag != NULL ? strtoul(tag, NULL, 10) : 0;
	if (number > 0 && number < NUMBER_END && rows[number] != 0)
		note_opened(&record->joints[rows[number] - 1], record->events[event].stage);
}

/* What was answered then counts, since nobody can tell any more. What was taken back is not told
 * apart: such a joint is told to be no longer described, whatever else is said of it. */
static void add_unknown(struct lt_record *record)
{
	size_t *rows = lt_alloc_array(NUMBER_END, sizeof *rows);
	size_t unplugged = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct lt_job_event *event = &record->events[i];
		enum lt_verdict verdict = lt_record_verdict(event->verdict);
		if (event->kind == LT_JOB_SCAN && verdict == LT_VERDICT_WRONG_MATE)
			open_other(record, rows, i);
		unsigned number = unknown_number(record, event, verdict);
		if (number == 0)
			continue;
		struct lt_record_joint *joint = unknown_joint(record, rows, number);
		if (event->kind == LT_JOB_SKIP) {
			joint->skipped = i;
			continue;
		}
		note_tag(record, joint, event->tag);
		/* Apart is apart, also before its turn. */
		if (verdict == LT_VERDICT_MATED || verdict == LT_VERDICT_DONE ||
			(verdict == LT_VERDICT_OUT_OF_ORDER && event->stage == LT_STAGE_UNPLUG))
			note_made(joint, event->stage, i, &unplugged);
		else if (verdict == LT_VERDICT_WRONG_MATE)
			note_opened(joint, event->stage);
	}
	free(rows);
}

static int by_number(const void *a, const void *b)
{
	unsigned first = ((const struct lt_record_joint *)a)->number;
	unsigned second = ((const struct lt_record_joint *)b)->number;
	return (first > second) - (first < second);
}

static void judge(struct lt_record *record, struct lt_record_joint *joint)
{
	bool apart = joint->unplugged != LT_NONE;
	/* What came apart after it was made is not made. */
	bool made = joint->made != LT_NONE && (!apart || joint->made > joint->unplugged);
	if (joint->id == NULL)
		joint->needed = joint->needed || apart || !record->unplugging;
	joint->standing = made            ? LT_RECORD_MADE
			  : joint->needed ? LT_RECORD_OPEN
					  : LT_RECORD_LEFT_IN;
	joint->proven_before =
		joint->proven != LT_NONE && (!apart || joint->proven < joint->unplugged);
	joint->proven_typed = typed_at(record, joint->proven, joint->number);
	joint->swapped_typed = typed_at(record, joint->swapped, joint->number);
	joint->made_typed = made && typed_at(record, joint->made, joint->number);
	if (joint->tags == NULL)
		joint->tags = lt_arena_printf(&record->arena, "%u", joint->number);
}

struct lt_record_joint *lt_record_joint_of(const struct lt_record *record, const char *tag)
{
	unsigned long number = tag != NULL ? strtoul(tag, NULL, 10) : 0;
	size_t low = 0, high = record->joint_count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (record->joints[middle].number < number)
			low = middle + 1;
		else
			high = middle;
	}
	bool found = low < record->joint_count && record->joints[low].number == number;
	return found ? &record->joints[low] : NULL;
}

void lt_record_find_joints(struct lt_record *record, const struct lt_job_state *state)
{
	size_t known = lt_job_state_joints(state);
	record->joints =
		lt_arena_array(&record->arena, known + record->count, sizeof *record->joints);
	for (size_t i = 0; i < known; i++)
		add_known(record, state, i);
	add_unknown(record);
	qsort(record->joints, record->joint_count, sizeof *record->joints, by_number);
	record->unplugging = lt_job_state_unplugging_known(state);
	for (size_t i = 0; i < record->joint_count; i++)
		judge(record, &record->joints[i]);
}
