#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "job/db.h"
#include "job/state.h"

struct lt_work {
	struct lt_arena arena;
	struct lt_work_options options;
	const char *who;
	struct lt_job_state *state;
	struct lt_job_db *db;   /* NULL: nothing is kept */
	bool begun;             /* there is a job */
	unsigned long long job; /* its id in the store */
	unsigned station;
	size_t resumed;
	struct lt_job_event *events;
	size_t event_count, event_room;
	size_t kept; /* of them, committed */

	/* What the description here makes. */
	const struct lt_tags *tags;
	struct lt_arena plan_arena;
	struct lt_job_plan plan;
	struct lt_hash connector_of; /* by id */
	size_t *connectors;          /* by joint of the plan in force */

	/* How it differs from the plan in force, worked out when either changed. */
	struct lt_plan_change *changes;
	size_t change_count;
	bool voids_all, differs;

	enum lt_stage seen_stage; /* that this terminal knows of */
	size_t seen_plans;
	bool seen_closed;
};

static long long now(const struct lt_work *work)
{
	if (work->options.now != NULL)
		return work->options.now(work->options.clock);
	struct timespec time;
	clock_gettime(CLOCK_REALTIME, &time);
	return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000;
}

/* The description here, and the plan in force. */

/* Whether all that a job of version 1 noted of its description fits the one here. */
static bool mark_fits(struct lt_work *work)
{
	const char *mark = lt_job_mark_v1(&work->arena, work->tags);
	bool any = false;
	for (size_t i = 0; i < work->event_count; i++) {
		const struct lt_job_event *event = &work->events[i];
		if (event->kind != LT_JOB_STAGE)
			continue;
		if (event->text == NULL || strcmp(event->text, mark) != 0)
			return false;
		any = true;
	}
	return any;
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
static void compare_plans(struct lt_work *work)
{
	const struct lt_job_plan *in_force = lt_job_state_plan(work->state);
	work->change_count = 0;
	work->voids_all = false;
	if (in_force != NULL) {
		size_t *was =
			lt_arena_array(&work->plan_arena, work->plan.joint_count, sizeof(*was));
		work->change_count = lt_job_plan_compare(&work->changes, was, &work->plan_arena,
			&work->plan, in_force);
	} else {
		/* What came before is of version 1, and was judged by something else. */
		work->voids_all = work->begun && work->event_count > 0;
	}
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
	compare_plans(work);
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

/* Events. */

static void keep(struct lt_work *work, const struct lt_job_event *event)
{
	work->events = lt_grow(work->events, &work->event_room, work->event_count + 1,
		sizeof(*work->events));
	work->events[work->event_count++] = *event;
	if (event->kind == LT_JOB_PLAN)
		compare_plans(work);
}

/* A copy that outlives the call, as it may be shown and kept. */
static const char *copy(struct lt_work *work, const char *bytes, size_t length)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, bytes, length);
	const char *kept = lt_arena_copy(&work->arena, lt_text_string(&clean), clean.length);
	lt_text_finish(&clean);
	return kept;
}

static struct lt_job_event new_event(const struct lt_work *work, enum lt_job_event_kind kind)
{
	return (struct lt_job_event){
		.at = now(work),
		.who = work->who,
		.station = work->station,
		.kind = kind,
		.kind_name = lt_job_event_name(kind),
		.stage = lt_job_state_stage(work->state),
		.typed = work->options.typed,
	};
}

static bool say_strange(const struct lt_work *work, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(work->options.db),
		"event %llu of job %llu (%s%s%s) cannot be understood", event->id, work->job,
		event->kind_name, event->verdict != NULL ? " " : "",
		event->verdict != NULL ? event->verdict : "");
	lt_hint(diags, "a newer loomtag wrote it, or it was changed. Use the newest loomtag here");
	return false;
}

/* Takes in the events that are new in the store; within a transaction or not. */
static bool read_new(struct lt_work *work, size_t *fresh, struct lt_diags *diags)
{
	struct lt_job_event *events;
	size_t count;
	*fresh = 0;
	if (!lt_job_db_events(&events, &count, work->db, work->job, work->event_count, &work->arena,
		    diags))
		return false;
	for (size_t i = 0; i < count; i++) {
		if (!lt_job_state_apply(work->state, &events[i], NULL))
			return say_strange(work, &events[i], diags);
		keep(work, &events[i]);
	}
	work->kept = work->event_count;
	*fresh = count;
	return true;
}

/* The last event that was seen has to be there still: else the store was put back. */
static bool holds(struct lt_work *work, struct lt_diags *diags)
{
	return work->db == NULL || work->job == 0 || work->kept == 0 ||
	       lt_job_db_holds(work->db, work->job, work->kept, work->events[work->kept - 1].digest,
		       diags);
}

static void rebuild(struct lt_work *work)
{
	lt_job_state_destroy(work->state);
	work->state = lt_job_state_create();
	for (size_t i = 0; i < work->event_count; i++)
		lt_job_state_apply(work->state, &work->events[i], NULL);
	compare_plans(work);
}

/* Nothing of what was not committed has happened. */
static void take_back(struct lt_work *work)
{
	if (work->db != NULL)
		lt_job_db_abandon(work->db);
	if (work->event_count == work->kept)
		return;
	work->event_count = work->kept;
	rebuild(work);
}

/* Begins what is to happen now: whatever others did has happened before it. */
static bool begin(struct lt_work *work, struct lt_diags *diags)
{
	size_t fresh;
	if (work->db == NULL)
		return true;
	if (!lt_job_db_begin(work->db, diags))
		return false;
	if (holds(work, diags) && read_new(work, &fresh, diags))
		return true;
	take_back(work);
	return false;
}

/* Appends an event that was applied. Without a store the ids count on by themselves. */
static bool append(struct lt_work *work, struct lt_job_event *event, struct lt_diags *diags)
{
	event->id = work->event_count + 1;
	const bool good = work->db == NULL || lt_job_db_append(work->db, work->job, event, diags);
	keep(work, event);
	if (!good)
		take_back(work);
	return good;
}

static bool commit(struct lt_work *work, struct lt_diags *diags)
{
	if (work->db != NULL && !lt_job_db_commit(work->db, diags)) {
		take_back(work);
		return false;
	}
	work->kept = work->event_count;
	return true;
}

/* Where the job was moved under somebody's hands, what was asked was meant for something else. */
static bool is_meant(const struct lt_work *work)
{
	return work->begun && !work->differs && !lt_work_moved(work);
}

/* Applies and appends one event, between begin and commit. *done is false for what cannot be. */
static bool happen(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags)
{
	*done = lt_job_state_apply(work->state, &event, answer);
	return !*done || append(work, &event, diags);
}

/* Nothing is to happen after all. */
static void let_go(struct lt_work *work)
{
	if (work->db != NULL)
		lt_job_db_abandon(work->db);
	lt_job_state_look(work->state, work->station);
}

/* The end of a transaction: what happened is committed. */
static bool end(struct lt_work *work, bool happened, struct lt_diags *diags)
{
	if (!happened) {
		let_go(work);
		return true;
	}
	const bool good = commit(work, diags);
	lt_job_state_look(work->state, work->station);
	return good;
}

/* One event by itself. */
static bool do_one(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags)
{
	return happen(work, done, event, answer, diags) && end(work, *done, diags);
}

/* *done is false where it cannot be. */
static bool put_in_force(struct lt_work *work, bool *done, bool backdated, struct lt_diags *diags)
{
	struct lt_text text = { 0 };
	struct lt_job_plan plan = work->plan;
	plan.backdated = backdated;
	lt_job_plan_write(&text, &plan);
	struct lt_job_event event = new_event(work, LT_JOB_PLAN);
	event.text = lt_arena_copy(&work->arena, lt_text_string(&text), text.length);
	lt_text_finish(&text);
	if (!happen(work, done, event, NULL, diags))
		return false;
	if (!*done)
		rebuild(work);
	return true;
}

/* The same where it has to be. */
static bool must_put_in_force(struct lt_work *work, struct lt_diags *diags)
{
	bool done;
	if (!put_in_force(work, &done, false, diags))
		return false;
	if (done)
		return true;
	lt_error(diags, lt_place_file(work->options.db != NULL ? work->options.db : "the job"),
		"the description cannot be taken as the plan of this job");
	take_back(work);
	return false;
}

/* Beginning and going on. */

static struct lt_job describe(const struct lt_harness *harness)
{
	return (struct lt_job){
		.code = harness->code,
		.harness = harness->harness,
		.unit = harness->unit,
		.title = harness->title,
		.revision = harness->revision,
	};
}

/* Within a transaction. */
static bool close_old(struct lt_work *work, struct lt_diags *diags)
{
	struct lt_job_event event = new_event(work, LT_JOB_CLOSED);
	event.text = "not finished: another job was begun";
	if (!lt_job_db_append(work->db, work->job, &event, diags))
		return false;
	lt_warning(diags, lt_place_file(work->options.db),
		"job %llu of %s was open, and is closed as not finished", work->job,
		work->tags->harness->code);
	return true;
}

static void forget(struct lt_work *work)
{
	lt_job_state_destroy(work->state);
	work->state = lt_job_state_create();
	work->event_count = work->kept = work->resumed = 0;
	work->job = 0;
	work->station = 1;
	work->begun = false;
}

/* Within a transaction: a job that others may have opened meanwhile is not begun over. */
static bool open_new(struct lt_work *work, struct lt_diags *diags)
{
	const struct lt_harness *harness = work->tags->harness;
	const struct lt_job job = describe(harness);
	size_t fresh;
	bool done;
	if (work->begun && work->db != NULL && !close_old(work, diags))
		return false;
	forget(work);
	struct lt_job_event first = new_event(work, LT_JOB_OPENED);
	if (harness->title != NULL)
		first.text = lt_arena_strdup(&work->arena, harness->title);
	work->begun = true;
	if (work->db == NULL)
		return happen(work, &done, first, NULL, diags);
	if (!lt_job_db_new_job(&work->job, work->db, &job, &first, diags))
		return false;
	return read_new(work, &fresh, diags);
}

bool lt_work_begin(struct lt_work *work, struct lt_diags *diags)
{
	if (work->db != NULL && !lt_job_db_begin(work->db, diags))
		return false;
	const bool good = holds(work, diags) && open_new(work, diags) &&
			  must_put_in_force(work, diags) && end(work, true, diags);
	if (!good && work->db != NULL)
		lt_job_db_abandon(work->db);
	lt_work_see(work);
	return good;
}

static void say_closed(const struct lt_work *work, unsigned long long job, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(work->options.db),
		"job %llu is closed and takes nothing more", job);
	lt_hint(diags, "loomtag jobs lists the jobs that are open");
}

/* The job that is asked for is the open one of this unit, or nothing is done. */
static bool check_asked(struct lt_work *work, struct lt_diags *diags)
{
	const unsigned long long asked = work->options.job;
	const struct lt_place place = lt_place_file(work->options.db);
	struct lt_arena arena = { 0 };
	struct lt_job job;
	if (asked == 0 || asked == work->job)
		return true;
	if (lt_job_db_job(&job, work->db, asked, &arena, diags)) {
		if (strcmp(job.code, work->tags->harness->code) != 0) {
			lt_error(diags, place, "job %llu is of %s, not of %s", asked, job.code,
				work->tags->harness->code);
			lt_hint(diags, "give its own description, and --unit where it has one");
		} else {
			say_closed(work, asked, diags);
		}
	}
	lt_arena_finish(&arena);
	return false;
}

/* Nor can anybody tell afterwards whether two of them were exchanged. */
static void warn_of_ports(const struct lt_work *work, struct lt_diags *diags)
{
	const struct lt_harness *harness = work->tags->harness;
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (harness->connectors[i].port == NULL)
			continue;
		lt_warning(diags, lt_place_file(work->options.db),
			"job %llu was begun with an older loomtag, which did not keep the ports",
			work->job);
		lt_hint(diags,
			"where a port was changed since, scan that joint again, or begin another "
			"job with --new");
		return;
	}
}

/* An open job of version 1 takes the plan of the description, where it is what it was judged by. */
static bool take_over(struct lt_work *work, struct lt_diags *diags)
{
	bool done;
	if (lt_job_state_plan(work->state) != NULL || !mark_fits(work))
		return true;
	warn_of_ports(work, diags);
	return put_in_force(work, &done, true, diags);
}

/* Within a transaction. */
static bool go_on(struct lt_work *work, struct lt_diags *diags)
{
	if (!lt_job_db_open_job(&work->job, work->db, work->tags->harness->code, diags) ||
		!check_asked(work, diags))
		return false;
	if (work->job == 0)
		return true;
	work->begun = true;
	if (work->options.fresh)
		return lt_job_db_station(&work->station, work->db, work->job, diags);
	/* What was changed afterwards is no ground to build on. */
	if (!lt_job_db_sound(work->db, work->job, diags)) {
		lt_hint(diags,
			"--new begins another job; loomtag record shows what is left of this one");
		return false;
	}
	if (!lt_job_db_station(&work->station, work->db, work->job, diags) ||
		!read_new(work, &work->resumed, diags))
		return false;
	/* Its events are what counts, whatever the store says beside them. */
	if (lt_job_state_closed(work->state)) {
		say_closed(work, work->job, diags);
		return false;
	}
	compare_plans(work);
	return take_over(work, diags);
}

static bool open_store(struct lt_work *work, struct lt_diags *diags)
{
	work->db = lt_job_db_open(work->options.db, work->options.job == 0, diags);
	if (work->db == NULL || !lt_job_db_begin(work->db, diags))
		return false;
	if (go_on(work, diags))
		return end(work, true, diags);
	lt_job_db_abandon(work->db);
	return false;
}

struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	const char *who, struct lt_diags *diags)
{
	struct lt_work *work = lt_alloc_array(1, sizeof(*work));
	*work = (struct lt_work){
		.options = *options, .who = who, .state = lt_job_state_create(), .station = 1
	};
	lt_arena_init(&work->arena);
	lt_arena_init(&work->plan_arena);
	lt_work_describe(work, tags);
	const bool good = options->db == NULL || open_store(work, diags);
	lt_work_see(work);
	if (good)
		return work;
	lt_work_close(work);
	return NULL;
}

void lt_work_close(struct lt_work *work)
{
	if (work == NULL)
		return;
	lt_job_state_destroy(work->state);
	lt_job_db_close(work->db);
	free(work->events);
	lt_hash_finish(&work->connector_of);
	lt_arena_finish(&work->plan_arena);
	lt_arena_finish(&work->arena);
	free(work);
}

void lt_work_is(struct lt_work *work, const char *who)
{
	work->who = who;
}

bool lt_work_has_job(const struct lt_work *work)
{
	return work->begun;
}

bool lt_work_last_closed(struct lt_job *out, struct lt_work *work, struct lt_arena *arena,
	struct lt_diags *diags)
{
	struct lt_job *jobs;
	size_t count;
	*out = (struct lt_job){ 0 };
	if (work->db == NULL)
		return true;
	if (!lt_job_db_jobs(&jobs, &count, work->db, work->tags->harness->code, arena, diags))
		return false;
	for (size_t i = count; i-- > 0;)
		if (jobs[i].closed)
			*out = jobs[i];
	return true;
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

unsigned lt_work_station(const struct lt_work *work)
{
	return work->station;
}

/* Going along with others. */

bool lt_work_sync(struct lt_work *work, size_t *fresh, struct lt_diags *diags)
{
	size_t count = 0;
	bool good = work->db == NULL || work->job == 0 || !lt_job_db_changed(work->db) ||
		    (holds(work, diags) && read_new(work, &count, diags));
	lt_job_state_look(work->state, work->station);
	if (fresh != NULL)
		*fresh = count;
	return good;
}

bool lt_work_moved(const struct lt_work *work)
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

void lt_work_see(struct lt_work *work)
{
	work->seen_stage = lt_job_state_stage(work->state);
	work->seen_plans = lt_job_state_plans(work->state);
	work->seen_closed = lt_job_state_closed(work->state);
}

bool lt_work_answer(unsigned *no, struct lt_work *work, enum lt_stage stage, struct lt_diags *diags)
{
	size_t fresh;
	*no = LT_NO_STRANGE;
	if (!holds(work, diags) ||
		(work->db != NULL && work->job != 0 && !read_new(work, &fresh, diags)))
		return false;
	lt_job_state_look(work->state, work->station);
	*no = lt_job_state_no(work->state, stage) | (work->differs ? LT_NO_OTHER_PLAN : 0u);
	return true;
}

bool lt_work_replan(struct lt_work *work, struct lt_diags *diags)
{
	if (!begin(work, diags))
		return false;
	const bool differs = work->differs;
	if (differs && !must_put_in_force(work, diags))
		return false;
	const bool good = end(work, differs, diags);
	lt_work_see(work);
	return good;
}

/* What happens here. */

static bool say_no_more_scans(const struct lt_work *work, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(work->options.db != NULL ? work->options.db : "the job"),
		"nothing more is scanned for this job: %s",
		lt_job_state_closed(work->state) ? "it was closed elsewhere meanwhile"
						 : "it is at its last stage");
	lt_hint(diags, "loomtag verify begins or goes on with a job");
	return false;
}

/* The event of a scan, with its verdict. */
static struct lt_job_event judge(struct lt_work *work, struct lt_answer *answer, const char *scan,
	size_t length)
{
	struct lt_job_event event = new_event(work, LT_JOB_SCAN);
	const bool overlong = length > LT_SCAN_MAX;
	event.text = copy(work, scan, overlong ? LT_SCAN_MAX : length);
	*answer = lt_job_state_judge(work->state, work->station, work->options.typed,
		overlong ? "" : event.text, overlong ? 0 : strlen(event.text));
	event.verdict = lt_verdict_name(answer->verdict);
	if (answer->has_tag) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, answer->number, answer->side);
		event.tag = lt_arena_copy(&work->arena, tag, strlen(tag));
	}
	return event;
}

bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags)
{
	*taken = false;
	if (!begin(work, diags))
		return false;
	if (!is_meant(work)) {
		let_go(work);
		return true;
	}
	if (lt_job_state_closed(work->state) ||
		lt_job_state_stage(work->state) >= LT_STAGE_FINISH) {
		let_go(work);
		return say_no_more_scans(work, diags);
	}
	struct lt_answer applied;
	const struct lt_job_event event = judge(work, answer, scan, length);
	if (!do_one(work, taken, event, &applied, diags))
		return false;
	answer->reopened = applied.reopened;
	answer->changed = applied.changed;
	return true;
}

/* One event that is not taken where the job was moved. */
static bool do_meant(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_diags *diags)
{
	*done = false;
	if (is_meant(work))
		return do_one(work, done, event, NULL, diags);
	let_go(work);
	return true;
}

bool lt_work_picture(struct lt_work *work, const char *name, struct lt_diags *diags)
{
	bool done;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_PICTURE);
	event.text = name == NULL ? NULL : copy(work, name, strlen(name));
	return do_one(work, &done, event, NULL, diags);
}

bool lt_work_skip(struct lt_work *work, bool *done, unsigned number, const char *reason,
	struct lt_diags *diags)
{
	*done = false;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_SKIP);
	event.number = number;
	event.text = copy(work, reason, strlen(reason));
	return do_meant(work, done, event, diags);
}

bool lt_work_undo(struct lt_work *work, bool *done, size_t *undone, struct lt_diags *diags)
{
	*done = false;
	if (!begin(work, diags))
		return false;
	*undone = is_meant(work) ? lt_job_state_last(work->state, work->station) : LT_NONE;
	return do_meant(work, done, new_event(work, LT_JOB_UNDO), diags);
}

bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags)
{
	*done = false;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_TICK);
	if (is_meant(work) && line < lt_job_state_lines(work->state))
		event.text =
			lt_arena_strdup(&work->arena, lt_job_state_line(work->state, line)->text);
	return do_meant(work, done, event, diags);
}

bool lt_work_settle(struct lt_work *work, bool *done, const char *tags, struct lt_diags *diags)
{
	*done = false;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_SETTLED);
	event.text = copy(work, tags, strlen(tags));
	return do_meant(work, done, event, diags);
}

/* Says that the stages before `stage` that were never begun are left out. */
static bool skip_stages(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags)
{
	bool done;
	for (int passed = 0; passed < (int)stage; passed++) {
		if (lt_job_state_standing(work->state, (enum lt_stage)passed) !=
			LT_STANDING_NOT_BEGUN)
			continue;
		struct lt_job_event event = new_event(work, LT_JOB_STAGE_SKIPPED);
		event.stage = (enum lt_stage)passed;
		event.text = reason;
		if (!happen(work, &done, event, NULL, diags))
			return false;
	}
	return true;
}

bool lt_work_stage(struct lt_work *work, enum lt_stage stage, const char *reason,
	struct lt_diags *diags)
{
	bool done;
	if (!begin(work, diags))
		return false;
	/* Whoever asks for it has not seen what others did. */
	if (lt_work_moved(work)) {
		let_go(work);
		return true;
	}
	const enum lt_stage_standing standing = lt_job_state_standing(work->state, stage);
	if (lt_job_state_stage(work->state) == stage &&
		(standing == LT_STANDING_BEGUN || standing == LT_STANDING_DONE)) {
		let_go(work);
		lt_work_see(work);
		return true;
	}
	if (!skip_stages(work, stage, reason, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_STAGE);
	event.stage = stage;
	if (!do_one(work, &done, event, NULL, diags))
		return false;
	lt_work_see(work);
	return true;
}

bool lt_work_confirm(struct lt_work *work, const char *energy, struct lt_diags *diags)
{
	bool done;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_HAZARD);
	event.text = lt_arena_strdup(&work->arena, energy);
	return do_one(work, &done, event, NULL, diags);
}

enum lt_stage lt_work_next_stage(const struct lt_work *work)
{
	int stage = (int)lt_job_state_stage(work->state) + 1;
	while (stage < LT_STAGE_COUNT &&
		lt_job_state_standing(work->state, (enum lt_stage)stage) == LT_STANDING_NOTHING)
		stage++;
	return (enum lt_stage)stage;
}

bool lt_work_finish(struct lt_work *work, const char *reason, struct lt_diags *diags)
{
	bool done;
	if (!begin(work, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_CLOSED);
	event.text = reason == NULL ? NULL : copy(work, reason, strlen(reason));
	if (reason == NULL && work->differs) {
		let_go(work);
		return true;
	}
	if (!do_one(work, &done, event, NULL, diags))
		return false;
	lt_work_see(work);
	return true;
}
