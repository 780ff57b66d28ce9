#include "loomtag/work.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "loomtag/text.h"

struct lt_work {
	struct lt_arena arena;
	const struct lt_tags *tags;
	struct lt_work_options options;
	struct lt_job_state *state;
	struct lt_bench *bench; /* NULL: nothing is kept */
	unsigned long long job;
	unsigned station;
	size_t resumed;
	struct lt_job_event *events;
	size_t event_count, event_room;
	unsigned long long last;   /* id of the last event that is known */
	struct lt_job_event taken; /* what was taken back last */
	enum lt_stage stage;       /* that this terminal knows of */
	bool closed;               /* likewise */
};

static long long now(const struct lt_work *work)
{
	if (work->options.now != NULL)
		return work->options.now(work->options.clock);
	struct timespec time;
	clock_gettime(CLOCK_REALTIME, &time);
	return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000;
}

static void keep(struct lt_work *work, const struct lt_job_event *event)
{
	work->events = lt_grow(work->events, &work->event_room, work->event_count + 1,
		sizeof(*work->events));
	work->events[work->event_count++] = *event;
	work->last = event->id;
}

/* Takes in the events that are new in the store; within a transaction or not. */
static bool read_new(struct lt_work *work, size_t *fresh, struct lt_diags *diags)
{
	struct lt_job_event *events;
	size_t count;
	if (!lt_bench_events(&events, &count, work->bench, work->job, work->last, &work->arena,
		    diags))
		return false;
	for (size_t i = 0; i < count; i++) {
		/* What the state refuses had no effect when it happened either. */
		(void)lt_job_state_apply(work->state, &events[i], NULL);
		keep(work, &events[i]);
	}
	*fresh = count;
	return true;
}

static struct lt_job_event new_event(const struct lt_work *work, enum lt_job_event_kind kind)
{
	return (struct lt_job_event){
		.at = now(work),
		.who = work->options.who,
		.station = work->station,
		.kind = kind,
		.stage = lt_job_state_stage(work->state),
		.typed = work->options.typed,
	};
}

/* A copy that outlives the call, cleaned of what could drive a terminal. */
static const char *copy(struct lt_work *work, const char *bytes, size_t length)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, bytes, length);
	const char *kept = lt_arena_copy(&work->arena, lt_text_string(&clean), clean.length);
	lt_text_finish(&clean);
	return kept;
}

/* Begins what is to happen now: whatever others did has happened before it. */
static bool begin(struct lt_work *work, struct lt_diags *diags)
{
	size_t fresh;
	if (work->bench == NULL)
		return true;
	if (!lt_bench_begin(work->bench, diags))
		return false;
	if (read_new(work, &fresh, diags))
		return true;
	lt_bench_abandon(work->bench);
	return false;
}

/* Appends an event that was applied. Without a store the ids count on by themselves. */
static bool append(struct lt_work *work, struct lt_job_event *event, struct lt_diags *diags)
{
	event->id = work->last + 1;
	if (work->bench != NULL && !lt_bench_append(work->bench, work->job, event, diags)) {
		lt_bench_abandon(work->bench);
		return false;
	}
	keep(work, event);
	return true;
}

static bool commit(struct lt_work *work, struct lt_diags *diags)
{
	return work->bench == NULL || lt_bench_commit(work->bench, diags);
}

/* Where the job was moved under somebody's hands, what was asked was meant for something else. */
static bool meant(struct lt_work *work, bool *done)
{
	*done = false;
	return !lt_work_moved(work);
}

static void abandon(struct lt_work *work)
{
	if (work->bench != NULL)
		lt_bench_abandon(work->bench);
}

/* Applies and appends one event, between begin and commit. *done is false for what cannot be. */
static bool happen(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags)
{
	*done = lt_job_state_apply(work->state, &event, answer);
	if (!*done)
		return true;
	if (answer != NULL) {
		char tag[LT_TAG_SIZE];
		event.verdict = lt_verdict_name(answer->verdict);
		if (answer->has_tag) {
			lt_tag_write(tag, answer->number, answer->side);
			event.tag = lt_arena_copy(&work->arena, tag, strlen(tag));
		}
	}
	return append(work, &event, diags);
}

/* One event by itself. */
static bool do_one(struct lt_work *work, bool *done, struct lt_job_event event,
	struct lt_answer *answer, struct lt_diags *diags)
{
	if (!happen(work, done, event, answer, diags))
		return false;
	lt_job_state_look(work->state, work->station);
	if (*done)
		return commit(work, diags);
	abandon(work);
	return true;
}

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

static bool close_old(struct lt_work *work, struct lt_diags *diags)
{
	struct lt_job_event event = new_event(work, LT_JOB_CLOSED);
	event.text = "not finished: another job was begun";
	return lt_bench_append(work->bench, work->job, &event, diags);
}

/* Finds the open job, or begins one; within a transaction. */
static bool find_job(struct lt_work *work, struct lt_diags *diags)
{
	const struct lt_harness *harness = work->tags->harness;
	struct lt_job_event first = new_event(work, LT_JOB_OPENED);
	first.text = harness->title;
	if (!lt_bench_open_job(&work->job, work->bench, harness->code, diags))
		return false;
	if (work->job != 0 && work->options.fresh) {
		if (!lt_bench_station(&work->station, work->bench, work->job, diags) ||
			!close_old(work, diags))
			return false;
		lt_warning(diags, lt_place_file(work->options.db),
			"job %llu of %s was open, and is closed as not finished", work->job,
			harness->code);
		work->job = 0;
	}
	/* What was changed afterwards is no ground to build on. */
	if (work->job != 0 && !lt_bench_sound(work->bench, work->job, NULL, diags)) {
		lt_hint(diags,
			"--new begins another job; loomtag record shows what is left of this one");
		return false;
	}
	if (work->job != 0)
		return lt_bench_station(&work->station, work->bench, work->job, diags) &&
		       read_new(work, &work->resumed, diags);
	const struct lt_job job = describe(harness);
	size_t fresh;
	work->station = first.station = 1;
	return lt_bench_new_job(&work->job, work->bench, &job, &first, diags) &&
	       read_new(work, &fresh, diags);
}

static bool open_store(struct lt_work *work, struct lt_diags *diags)
{
	work->bench = lt_bench_open(work->options.db, true, diags);
	if (work->bench == NULL || !lt_bench_begin(work->bench, diags))
		return false;
	const bool found = find_job(work, diags);
	lt_job_state_look(work->state, work->station);
	if (found)
		return lt_bench_commit(work->bench, diags);
	lt_bench_abandon(work->bench);
	return false;
}

struct lt_work *lt_work_open(const struct lt_tags *tags, const struct lt_work_options *options,
	struct lt_diags *diags)
{
	struct lt_work *work = lt_alloc_array(1, sizeof(*work));
	*work = (struct lt_work){
		.tags = tags,
		.options = *options,
		.state = lt_job_state_create(tags),
		.station = 1,
	};
	lt_arena_init(&work->arena);
	bool good, done;
	if (options->db != NULL) {
		good = open_store(work, diags);
	} else {
		struct lt_job_event first = new_event(work, LT_JOB_OPENED);
		first.text = tags->harness->title;
		good = do_one(work, &done, first, NULL, diags);
	}
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
	lt_bench_close(work->bench);
	free(work->events);
	lt_arena_finish(&work->arena);
	free(work);
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

bool lt_work_sync(struct lt_work *work, size_t *fresh, struct lt_diags *diags)
{
	size_t count = 0;
	bool good = work->bench == NULL || !lt_bench_changed(work->bench) ||
		    read_new(work, &count, diags);
	lt_job_state_look(work->state, work->station);
	if (fresh != NULL)
		*fresh = count;
	return good;
}

bool lt_work_moved(const struct lt_work *work)
{
	return lt_job_state_stage(work->state) != work->stage ||
	       lt_job_state_closed(work->state) != work->closed;
}

void lt_work_see(struct lt_work *work)
{
	work->stage = lt_job_state_stage(work->state);
	work->closed = lt_job_state_closed(work->state);
}

bool lt_work_scan(struct lt_work *work, bool *taken, struct lt_answer *answer, const char *scan,
	size_t length, struct lt_diags *diags)
{
	bool done;
	*taken = false;
	if (!begin(work, diags))
		return false;
	if (lt_work_moved(work)) {
		abandon(work);
		return true;
	}
	struct lt_job_event event = new_event(work, LT_JOB_SCAN);
	event.text = copy(work, scan, length);
	if (!do_one(work, &done, event, answer, diags))
		return false;
	*taken = done;
	if (done)
		return true;
	lt_error(diags, lt_place_file(work->options.db != NULL ? work->options.db : "the job"),
		"nothing more is scanned for this job: %s",
		lt_job_state_closed(work->state) ? "it was closed elsewhere meanwhile"
						 : "it is at its last stage");
	lt_hint(diags, "loomtag verify begins or goes on with a job");
	return false;
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
	if (!begin(work, diags))
		return false;
	if (!meant(work, done)) {
		abandon(work);
		return true;
	}
	struct lt_job_event event = new_event(work, LT_JOB_SKIP);
	event.number = number;
	event.text = copy(work, reason, strlen(reason));
	return do_one(work, done, event, NULL, diags);
}

/* The event, with its id and tag, that the state knows as `known`: they share their text. */
static const struct lt_job_event *find_event(const struct lt_work *work,
	const struct lt_job_event *known)
{
	for (size_t i = work->event_count; known != NULL && i-- > 0;)
		if (work->events[i].text == known->text && work->events[i].kind == known->kind)
			return &work->events[i];
	return NULL;
}

bool lt_work_undo(struct lt_work *work, bool *done, const struct lt_job_event **undone,
	struct lt_diags *diags)
{
	if (!begin(work, diags))
		return false;
	*undone = NULL;
	if (!meant(work, done)) {
		abandon(work);
		return true;
	}
	const struct lt_job_event *last =
		find_event(work, lt_job_state_last(work->state, work->station));
	if (last != NULL) {
		/* Appending moves the events. */
		work->taken = *last;
		*undone = &work->taken;
	}
	return do_one(work, done, new_event(work, LT_JOB_UNDO), NULL, diags);
}

bool lt_work_tick(struct lt_work *work, bool *done, size_t line, struct lt_diags *diags)
{
	if (!begin(work, diags))
		return false;
	if (!meant(work, done)) {
		abandon(work);
		return true;
	}
	struct lt_job_event event = new_event(work, LT_JOB_TICK);
	event.text = lt_job_state_line(work->state, line);
	return do_one(work, done, event, NULL, diags);
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
	const enum lt_stage_standing standing = lt_job_state_standing(work->state, stage);
	if (lt_job_state_stage(work->state) == stage &&
		(standing == LT_STANDING_BEGUN || standing == LT_STANDING_DONE)) {
		lt_job_state_look(work->state, work->station);
		abandon(work);
		lt_work_see(work);
		return true;
	}
	if (!skip_stages(work, stage, reason, diags))
		return false;
	struct lt_job_event event = new_event(work, LT_JOB_STAGE);
	event.stage = stage;
	event.text = lt_job_state_mark(work->state);
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
	event.text = copy(work, energy, strlen(energy));
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
	if (!do_one(work, &done, event, NULL, diags))
		return false;
	lt_work_see(work);
	return true;
}
