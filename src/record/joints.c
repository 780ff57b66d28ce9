/* The joints of a job's record: those of the plan in force, and those that were removed from it. */
#include <stdlib.h>
#include <string.h>

#include "record/facts.h"

static const char *tags_of(struct lt_record *record, const struct lt_job_joint *joint)
{
	if (joint->sides == 1)
		return lt_arena_printf(&record->arena, "%uH", joint->number);
	return lt_arena_printf(&record->arena, "%uH – %uM", joint->number, joint->number);
}

/* Names of components are today's: the plan has their ids. */
static const char *mate_of(struct lt_record *record, const struct lt_hash *components,
	const struct lt_job_joint *joint)
{
	if (joint->mate == NULL)
		return NULL;
	const size_t index = lt_hash_get(components, joint->mate);
	const char *name =
		index != LT_HASH_NONE ? record->tags->harness->components[index].name : NULL;
	return lt_arena_printf(&record->arena, "%s%s%s%s%s", joint->mate, name != NULL ? " " : "",
		name != NULL ? name : "", joint->port != NULL ? ", " : "",
		joint->port != NULL ? joint->port : "");
}

static bool is_described(const struct lt_tags *tags, const struct lt_job_joint *joint)
{
	const size_t connector =
		joint->number <= tags->number_max ? tags->connector_of[joint->number] : LT_NONE;
	return connector != LT_NONE &&
	       strcmp(tags->harness->connectors[connector].id, joint->id) == 0;
}

static struct lt_record_joint *add(struct lt_record *record, const struct lt_hash *components,
	const struct lt_job_joint *joint, const struct lt_joint_history *history)
{
	const size_t stays = history->stays;
	struct lt_record_joint *out = &record->joints[record->joint_count++];
	*out = (struct lt_record_joint){
		.plan = joint,
		.history = *history,
		.tags = tags_of(record, joint),
		.mate = mate_of(record, components, joint),
		.stays = stays != LT_NONE && record->events[stays].text != NULL &&
			 record->events[stays].text[0] != '\0',
		.described = is_described(record->tags, joint),
		.next = LT_NONE,
	};
	return out;
}

static int by_number(const void *a, const void *b)
{
	const struct lt_record_joint *first = a, *second = b;
	if (first->plan->number != second->plan->number)
		return first->plan->number < second->plan->number ? -1 : 1;
	return (first->removed > second->removed) - (first->removed < second->removed);
}

static void judge(const struct lt_record *record, struct lt_record_joint *joint)
{
	bool apart = joint->history.unplugged != LT_NONE;
	/* What came apart after it was made is not made. */
	bool made = joint->history.made != LT_NONE &&
		    (!apart || joint->history.made > joint->history.unplugged);
	if (joint->removed)
		joint->needed = apart || !record->unplugging;
	joint->state = made ? LT_RECORD_MADE : joint->needed ? LT_RECORD_OPEN : LT_RECORD_LEFT_IN;
	joint->proven_before = joint->history.proven != LT_NONE &&
			       (!apart || joint->history.proven < joint->history.unplugged);
	joint->typed[LT_STAGE_RECONNECT] = made && joint->typed[LT_STAGE_RECONNECT];
}

/* Once it is judged. */
static unsigned what_it_is(const struct lt_record_joint *joint)
{
	const bool left_in = joint->state == LT_RECORD_LEFT_IN;
	const bool typed = joint->typed[LT_STAGE_TAG] || joint->typed[LT_STAGE_SWAP] ||
			   joint->typed[LT_STAGE_RECONNECT];
	const bool unaccounted = left_in && joint->history.proven == LT_NONE && !joint->stays;
	const bool paper = joint->plan->marking == LT_MARK_PAPER;
	unsigned bits = 0;
	bits |= joint->state == LT_RECORD_OPEN ? LT_RECORD_IS_OPEN : 0;
	bits |= joint->state == LT_RECORD_MADE && joint->needed ? LT_RECORD_IS_MADE : 0;
	bits |= left_in ? LT_RECORD_IS_LEFT_IN : 0;
	bits |= unaccounted ? LT_RECORD_IS_UNACCOUNTED : 0;
	bits |= joint->history.skipped != LT_NONE ? LT_RECORD_IS_SKIPPED : 0;
	bits |= typed && !paper ? LT_RECORD_IS_TYPED : 0;
	bits |= typed && paper ? LT_RECORD_IS_TYPED_OF_PAPER : 0;
	bits |= !joint->proven_before && joint->needed ? LT_RECORD_IS_UNPROVEN : 0;
	bits |= joint->removed ? LT_RECORD_IS_REMOVED : 0;
	return bits;
}

struct lt_record_joint *lt_record_joint_of(const struct lt_record *record, const char *id)
{
	for (size_t i = 0; i < record->joint_count; i++)
		if (strcmp(record->joints[i].plan->id, id) == 0)
			return &record->joints[i];
	return NULL;
}

static void add_known(struct lt_record *record, const struct lt_hash *components, size_t index)
{
	const struct lt_job_state *state = record->state;
	const struct lt_joint_history history = lt_job_state_history(state, index);
	struct lt_record_joint *joint =
		add(record, components, lt_job_state_joint(state, index), &history);
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_FINISH; stage++)
		joint->typed[stage] = stage != LT_STAGE_UNPLUG &&
				      lt_verify_typed(lt_job_state_machine(state, stage), index);
	joint->needed = lt_verify_needed(lt_job_state_machine(state, LT_STAGE_RECONNECT), index);
}

void lt_record_find_joints(struct lt_record *record)
{
	const struct lt_harness *harness = record->tags->harness;
	const struct lt_job_removed *removed;
	const size_t removed_count = lt_job_state_removed(record->state, &removed);
	const size_t known = lt_job_state_joints(record->state);
	struct lt_hash components = { 0 };
	for (size_t i = 0; i < harness->component_count; i++)
		lt_hash_put(&components, harness->components[i].id, i);
	record->joints =
		lt_arena_array(&record->arena, known + removed_count, sizeof *record->joints);
	for (size_t i = 0; i < known; i++)
		add_known(record, &components, i);
	for (size_t i = 0; i < removed_count; i++)
		add(record, &components, removed[i].joint, &removed[i].history)->removed = true;
	lt_hash_finish(&components);
	qsort(record->joints, record->joint_count, sizeof *record->joints, by_number);
	record->unplugging = lt_job_state_unplugging_known(record->state);
	for (size_t i = 0; i < record->joint_count; i++) {
		judge(record, &record->joints[i]);
		record->joints[i].is = what_it_is(&record->joints[i]);
	}
}
