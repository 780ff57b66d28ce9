/* The store of jobs, the same for every kind of store: what may be appended, and whether a job in
 * it is sound. */
#include <stdlib.h>
#include <string.h>

#include "job/db.h"
#include "loomtag/base.h"

struct lt_job_db *lt_job_db_open(const char *path, bool make, struct lt_diags *diags)
{
	struct lt_job_db *db = lt_alloc_array(1, sizeof(*db));
	if (lt_sqlite_open(db, path, make, diags))
		return db;
	free(db);
	return NULL;
}

void lt_job_db_close(struct lt_job_db *db)
{
	if (db != NULL)
		db->close(db->data);
	free(db);
}

bool lt_job_db_begin(struct lt_job_db *db, struct lt_diags *diags)
{
	return db == NULL || db->begin(db->data, diags);
}

bool lt_job_db_commit(struct lt_job_db *db, struct lt_diags *diags)
{
	if (db == NULL || db->commit(db->data, diags))
		return true;
	lt_job_db_abandon(db);
	return false;
}

void lt_job_db_abandon(struct lt_job_db *db)
{
	if (db != NULL)
		db->abandon(db->data);
}

static bool in_transaction(struct lt_job_db *db, struct lt_diags *diags)
{
	if (db->in_transaction(db->data))
		return true;
	lt_error(diags, lt_place_file(db->name), "cannot be written outside a transaction");
	return false;
}

static bool refuse_no_job(const struct lt_job_db *db, unsigned long long id, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(db->name), "has no job %llu", id);
	lt_hint(diags, "list the jobs with loomtag jobs");
	return false;
}

bool lt_job_db_jobs(struct lt_job **out, size_t *count, struct lt_job_db *db, const char *code,
	struct lt_arena *arena, struct lt_diags *diags)
{
	return db->jobs(out, count, db->data, code, 0, arena, diags);
}

bool lt_job_db_job(struct lt_job *out, struct lt_job_db *db, unsigned long long id,
	struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_job *found;
	size_t count;
	*out = (struct lt_job){ 0 };
	if (!db->jobs(&found, &count, db->data, NULL, id, arena, diags))
		return false;
	if (id == 0 || count == 0)
		return refuse_no_job(db, id, diags);
	*out = found[0];
	return true;
}

bool lt_job_db_events(struct lt_job_event **out, size_t *count, struct lt_job_db *db,
	unsigned long long job, size_t known, struct lt_arena *arena, struct lt_diags *diags)
{
	return db->events(out, count, db->data, job, known, arena, diags);
}

bool lt_job_db_open_job(unsigned long long *id, struct lt_job_db *db, const char *code,
	struct lt_diags *diags)
{
	*id = 0;
	return in_transaction(db, diags) && db->open_job(id, db->data, code, diags);
}

bool lt_job_db_new_job(unsigned long long *id, struct lt_job_db *db, const struct lt_job *job,
	const struct lt_job_event *first, struct lt_diags *diags)
{
	unsigned long long open;
	if (!lt_job_db_open_job(&open, db, job->code, diags))
		return false;
	if (open != 0) {
		lt_error(diags, lt_place_file(db->name), "already has an open job of %s: job %llu",
			job->code, open);
		lt_hint(diags, "continue this job, or close it: loomtag jobs close %llu REASON",
			open);
		return false;
	}
	struct lt_job opened = *job;
	opened.opened = first->at;
	struct lt_job_event event = {
		.at = first->at,
		.who = first->who,
		.station = first->station,
		.kind = LT_JOB_OPENED,
		.stage = first->stage,
		.text = job->title,
	};
	return db->new_job(id, db->data, &opened, first->station, diags) &&
	       lt_job_db_append(db, *id, &event, diags);
}

bool lt_job_db_station(unsigned *station, struct lt_job_db *db, unsigned long long job,
	struct lt_diags *diags)
{
	return in_transaction(db, diags) && db->station(station, db->data, job, diags) &&
	       (*station != 0 || refuse_no_job(db, job, diags));
}

/* An event that was not understood is not written again, and other programs that read the store may
 * not take what is not UTF-8. */
static bool may_be_kept(const struct lt_job_db *db, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	const struct lt_place place = lt_place_file(db->name);
	const char *const texts[] = { event->who, event->text, event->tag, event->verdict };
	if (event->kind >= LT_JOB_UNKNOWN) {
		lt_error(diags, place, "cannot keep an event of an unknown kind");
		return false;
	}
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		const size_t length = texts[i] != NULL ? strlen(texts[i]) : 0;
		if (length > 0 && lt_utf8_check(texts[i], length) != length) {
			lt_error(diags, place, "cannot keep a text that is not UTF-8");
			return false;
		}
	}
	return true;
}

/* The digest that the first event of a job follows. */
static bool find_first_digest(char out[65], struct lt_job_db *db, unsigned long long id,
	struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_job job;
	const bool good = lt_job_db_job(&job, db, id, &arena, diags);
	if (good && !lt_job_digest_first(out, &job))
		out[0] = '\0';
	lt_arena_finish(&arena);
	return good;
}

bool lt_job_db_append(struct lt_job_db *db, unsigned long long job, struct lt_job_event *event,
	struct lt_diags *diags)
{
	struct lt_job_end end;
	if (db == NULL)
		return true;
	const struct lt_place place = lt_place_file(db->name);
	if (!in_transaction(db, diags) || !may_be_kept(db, event, diags) ||
		!db->end(&end, db->data, job, diags))
		return false;
	if (!end.exists)
		return refuse_no_job(db, job, diags);
	if (end.closed) {
		lt_error(diags, place, "job %llu is closed: nothing can be added", job);
		lt_hint(diags, "start a new job with loomtag verify FILE");
		return false;
	}
	if (end.event == 0 && !find_first_digest(end.digest, db, job, diags))
		return false;
	event->id = end.event + 1;
	event->kind_name = lt_job_event_name(event->kind);
	if (end.digest[0] == '\0' || !lt_job_digest_event(event->digest, end.digest, event)) {
		lt_error(diags, place, "cannot compute SHA-256");
		return false;
	}
	/* Counted, and not where the events end: of those that are gone the gap stays. */
	return db->append(db->data, job, end.counted + 1, event, diags);
}

bool lt_job_db_still_has(struct lt_job_db *db, unsigned long long job, size_t known,
	const char *digest, struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count = 0;
	bool good = db->still_there(db->data, diags) &&
		    db->events(&events, &count, db->data, job, known - 1, &arena, diags);
	if (good && (count == 0 || strcmp(events[0].digest, digest) != 0)) {
		lt_error(diags, lt_place_file(db->name),
			"was replaced while it was in use: job %llu does not have the event that was "
			"recorded last",
			job);
		lt_hint(diags,
			"bring back the newest copy, then start loomtag again. The last step was not "
			"recorded. loomtag jobs show %llu lists the events",
			job);
		good = false;
	}
	lt_arena_finish(&arena);
	return good;
}

bool lt_job_db_sound(struct lt_job_db *db, unsigned long long job, struct lt_diags *diags)
{
	struct lt_arena arena = { 0 };
	struct lt_job found;
	struct lt_job_event *events;
	size_t count;
	const bool good = lt_job_db_job(&found, db, job, &arena, diags) &&
			  lt_job_db_events(&events, &count, db, job, 0, &arena, diags) &&
			  lt_job_sound(&found, events, count, db->name, diags);
	lt_arena_finish(&arena);
	return good;
}
