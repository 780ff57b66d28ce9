/* A job being worked on, kept in step with the store: its events, and the plan in force beside the
 * description here. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "job/work.h"

static long long now(void)
{
	struct timespec time;
	clock_gettime(CLOCK_REALTIME, &time);
	return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000;
}

struct lt_place lt_work_place(const struct lt_work *work)
{
	return lt_place_file(work->options.db != NULL ? work->options.db : "the job");
}

static void find_connectors(struct lt_work *work)
{
	const size_t joints = lt_job_state_joints(work->state);
	work->connectors = lt_arena_array(&work->plan_arena, joints, sizeof(*work->connectors));
	for (size_t i = 0; i < joints; i++)
		work->connectors[i] =
			lt_hash_get(&work->connector_of, lt_job_state_joint(work->state, i)->id);
}

/* To be called when the plan in force or the description is another one. */
void lt_work_compare(struct lt_work *work)
{
	const struct lt_job_plan *in_force = work->state->frame.plan;
	work->change_count = in_force == NULL ? 0
					      : lt_job_plan_compare(&work->changes, NULL,
							&work->plan_arena, &work->plan, in_force);
	/* Without a plan, what came before is of version 1, and was judged by something else. */
	work->voids_all = in_force == NULL && work->begun && work->event_count > 0;
	work->differs = work->change_count > 0 || work->voids_all ||
			(in_force != NULL && strcmp(in_force->code, work->plan.code) != 0);
	find_connectors(work);
}

void lt_work_describe(struct lt_work *work, const struct lt_tags *tags)
{
	lt_hash_finish(&work->connector_of);
	lt_arena_finish(&work->plan_arena);
	lt_arena_init(&work->plan_arena);
	work->tags = tags;
	lt_job_plan_make(&work->plan, &work->plan_arena, tags);
	for (size_t i = 0; i < tags->harness->connector_count; i++)
		lt_hash_put(&work->connector_of, tags->harness->connectors[i].id, i);
	lt_work_compare(work);
}

size_t lt_work_changes(const struct lt_work *work, const struct lt_plan_change **out,
	bool *voids_all)
{
	*out = work->changes;
	*voids_all = work->voids_all;
	return work->change_count;
}

bool lt_work_differs(const struct lt_work *work)
{
	return work->differs;
}

size_t lt_work_connector(const struct lt_work *work, size_t joint)
{
	return work->connectors[joint];
}

static void keep(struct lt_work *work, const struct lt_job_event *event)
{
	work->events = lt_grow(work->events, &work->event_room, work->event_count + 1,
		sizeof(*work->events));
	work->events[work->event_count++] = *event;
	if (event->kind == LT_JOB_PLAN)
		lt_work_compare(work);
}

struct lt_job_event lt_work_event(const struct lt_work *work, enum lt_job_event_kind kind)
{
	return (struct lt_job_event){
		.at = now(),
		.who = work->who,
		.station = work->station,
		.kind = kind,
		.kind_name = lt_job_event_name(kind),
		.stage = lt_job_state_stage(work->state),
		.typed = work->options.typed,
	};
}

static bool refuse_strange(const struct lt_work *work, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	if (event->verdict != NULL)
		lt_error(diags, lt_work_place(work),
			"event %llu of job %llu (%s %s) cannot be understood", event->id, work->job,
			event->kind_name, event->verdict);
	else
		lt_error(diags, lt_work_place(work),
			"event %llu of job %llu (%s) cannot be understood", event->id, work->job,
			event->kind_name);
	lt_hint(diags,
		"use the newest loomtag. A newer loomtag wrote this event, or it was changed");
	return false;
}

/* Takes in the events that are new in the store; within a transaction or not. */
bool lt_work_read_new(struct lt_work *work, size_t *added, struct lt_diags *diags)
{
	struct lt_job_event *events;
	size_t count;
	*added = 0;
	if (work->job == 0)
		return true;
	if (!lt_job_db_events(&events, &count, work->db, work->job, work->event_count, &work->arena,
		    diags))
		return false;
	for (size_t i = 0; i < count; i++) {
		if (!lt_job_state_apply(work->state, &events[i], NULL))
			return refuse_strange(work, &events[i], diags);
		keep(work, &events[i]);
	}
	work->kept = work->event_count;
	*added = count;
	return true;
}

bool lt_work_still_has_all(struct lt_work *work, struct lt_diags *diags)
{
	return work->job == 0 || work->kept == 0 ||
	       lt_job_db_still_has(work->db, work->job, work->kept,
		       work->events[work->kept - 1].digest, diags);
}

static void rebuild(struct lt_work *work)
{
	lt_job_state_destroy(work->state);
	work->state = lt_job_state_create();
	for (size_t i = 0; i < work->event_count; i++)
		lt_job_state_apply(work->state, &work->events[i], NULL);
	lt_work_compare(work);
}

/* Forgets the events that were not committed. */
static void take_back(struct lt_work *work)
{
	lt_job_db_abandon(work->db);
	if (work->event_count == work->kept)
		return;
	work->event_count = work->kept;
	rebuild(work);
}

bool lt_work_start(struct lt_work *work, struct lt_diags *diags)
{
	size_t added;
	if (!lt_job_db_begin(work->db, diags))
		return false;
	if (lt_work_still_has_all(work, diags) && lt_work_read_new(work, &added, diags))
		return true;
	take_back(work);
	return false;
}

bool lt_work_happen(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags)
{
	*done = lt_job_state_apply(work->state, &event, answer);
	if (!*done)
		return true;
	/* Without a store the ids count on by themselves. */
	event.id = work->event_count + 1;
	const bool good = lt_job_db_append(work->db, work->job, &event, diags);
	keep(work, &event);
	if (!good)
		take_back(work);
	return good;
}

bool lt_work_end(struct lt_work *work, bool happened, struct lt_diags *diags)
{
	const bool good = !happened || lt_job_db_commit(work->db, diags);
	if (happened && good)
		work->kept = work->event_count;
	else
		take_back(work);
	lt_job_state_look(work->state, work->station);
	return good;
}

bool lt_work_put_in_force(struct lt_work *work, bool backdated, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	struct lt_job_plan plan = work->plan;
	bool done;
	plan.backdated = backdated;
	lt_job_plan_write(&text, &plan);
	struct lt_job_event event = lt_work_event(work, LT_JOB_PLAN);
	event.text = lt_arena_copy(&work->arena, lt_text_string(&text), text.length);
	lt_text_finish(&text);
	if (!lt_work_happen(work, &done, event, NULL, diags))
		return false;
	if (done)
		return true;
	rebuild(work);
	if (backdated)
		return true;
	lt_error(diags, lt_work_place(work),
		"the description cannot be used as the plan of this job");
	take_back(work);
	return false;
}

void lt_work_set_who(struct lt_work *work, const char *who)
{
	work->who = who;
}

bool lt_work_has_job(const struct lt_work *work)
{
	return work->begun;
}

const struct lt_job_state *lt_work_state(const struct lt_work *work)
{
	return work->state;
}

const struct lt_job_event *lt_work_events(const struct lt_work *work, size_t *count)
{
	*count = work->event_count;
	return work->events;
}

unsigned long long lt_work_job(const struct lt_work *work)
{
	return work->job;
}

size_t lt_work_resumed(const struct lt_work *work)
{
	return work->resumed;
}

bool lt_work_sync(struct lt_work *work, size_t *added, struct lt_diags *diags)
{
	size_t count = 0;
	bool good = work->job == 0 || !work->db->changed(work->db->data) ||
		    (lt_work_still_has_all(work, diags) && lt_work_read_new(work, &count, diags));
	lt_job_state_look(work->state, work->station);
	if (added != NULL)
		*added = count;
	return good;
}

bool lt_work_changed_elsewhere(const struct lt_work *work)
{
	return lt_job_state_stage(work->state) != work->seen_stage ||
	       lt_job_state_plans(work->state) != work->seen_plans ||
	       lt_job_state_closed(work->state) != work->seen_closed;
}

size_t lt_work_unseen_plans(const struct lt_work *work, size_t *first)
{
	*first = work->seen_plans;
	return lt_job_state_plans(work->state) - work->seen_plans;
}

void lt_work_acknowledge(struct lt_work *work)
{
	work->seen_stage = lt_job_state_stage(work->state);
	work->seen_plans = lt_job_state_plans(work->state);
	work->seen_closed = lt_job_state_closed(work->state);
}

bool lt_work_answer(unsigned *no, struct lt_work *work, enum lt_stage stage, struct lt_diags *diags)
{
	size_t added;
	*no = LT_NO_STRANGE;
	if (!lt_work_still_has_all(work, diags) || !lt_work_read_new(work, &added, diags))
		return false;
	lt_job_state_look(work->state, work->station);
	*no = lt_job_state_no(work->state, stage) | (work->differs ? LT_NO_OTHER_PLAN : 0u);
	return true;
}
