/* Transactions, jobs and their events. Values are always bound, never part of the SQL. */
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "job/store.h"
#include "loomtag/base.h"

/* Whether a job is closed is told by its last event, which is part of the chain of digests; the
 * column is there for the index that allows one open job only. */
#define JOB_COLUMNS \
	"SELECT job.id, job.code, job.harness, job.unit, job.title, job.revision, job.opened," \
	" coalesce(e.kind = 'closed', 0), coalesce(e.at, job.opened), coalesce(e.stage, 'reconnect')," \
	" (SELECT count(*) FROM event WHERE event.job = job.id)," \
	" (SELECT count(*) FROM event WHERE event.job = job.id AND event.kind = 'scan')," \
	" job.events, coalesce(job.origin, 0)" \
	" FROM job LEFT JOIN event AS e ON e.job = job.id" \
	" AND e.seq = (SELECT max(event.seq) FROM event WHERE event.job = job.id)"

static const char *const sql[LT_QUERY_COUNT] = {
	[LT_QUERY_BEGIN] = "BEGIN IMMEDIATE",
	[LT_QUERY_COMMIT] = "COMMIT",
	[LT_QUERY_ABANDON] = "ROLLBACK",
	[LT_QUERY_DATA_VERSION] = "PRAGMA data_version",
	[LT_QUERY_JOBS] = JOB_COLUMNS " ORDER BY job.id DESC",
	[LT_QUERY_JOBS_OF] = JOB_COLUMNS " WHERE job.code = ?1 ORDER BY job.id DESC",
	[LT_QUERY_JOB] = JOB_COLUMNS " WHERE job.id = ?1",
	/* Without what takes counting. */
	[LT_QUERY_JOB_ALONE] = "SELECT id, code, harness, unit, title, revision, opened, closed,"
			       " opened, 'reconnect', 0, 0, events, coalesce(origin, 0)"
			       " FROM job WHERE id = ?1",
	[LT_QUERY_OPEN_JOB] = "SELECT id FROM job WHERE code = ?1 AND closed = 0",
	[LT_QUERY_NEW_JOB] =
		"INSERT INTO job (code, harness, unit, title, revision, opened, stations)"
		" VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
	[LT_QUERY_ORIGIN] = "UPDATE job SET origin = id WHERE id = ?1",
	[LT_QUERY_STATION] = "UPDATE job SET stations = 1 + max(stations,"
			     " (SELECT coalesce(max(station), 1) FROM event WHERE job = ?1))"
			     " WHERE id = ?1 RETURNING stations",
	[LT_QUERY_LAST_EVENT] = "SELECT id, digest FROM event WHERE job = ?1"
				" ORDER BY seq DESC LIMIT 1",
	[LT_QUERY_DIGEST] = "SELECT digest FROM event WHERE job = ?1 AND seq = ?2",
	[LT_QUERY_APPEND] = "INSERT INTO event (job, seq, id, at, who, station, kind, stage, text,"
			    " tag, verdict, number, typed, digest)"
			    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
	[LT_QUERY_CLOSE_JOB] = "UPDATE job SET closed = 1 WHERE id = ?1",
	[LT_QUERY_EVENTS] = "SELECT id, at, who, station, kind, stage, text, tag, verdict, number,"
			    " typed, digest FROM event WHERE job = ?1 AND seq > ?2 ORDER BY seq",
};

bool lt_job_db_prepare(struct lt_job_db *db, struct lt_diags *diags)
{
	for (size_t i = 0; i < LT_QUERY_COUNT; i++) {
		int result = sqlite3_prepare_v3(db->db, sql[i], -1, SQLITE_PREPARE_PERSISTENT,
			&db->queries[i], NULL);
		/* A table or column that is not there, though the version says so. */
		if (result == SQLITE_ERROR)
			return lt_job_db_damaged(db->path, diags, sqlite3_errmsg(db->db));
		if (result != SQLITE_OK)
			return lt_job_db_fail(db, result, diags);
	}
	return true;
}

/* Texts live until the statement is reset, which is before they are given back. */
static void bind_text(sqlite3_stmt *query, int at, const char *text)
{
	sqlite3_bind_text(query, at, text, -1, SQLITE_STATIC);
}

/* As bytes. */
static void bind_bytes(sqlite3_stmt *query, int at, const char *text)
{
	if (text != NULL)
		sqlite3_bind_blob(query, at, text, (int)strlen(text), SQLITE_STATIC);
}

static void bind_number(sqlite3_stmt *query, int at, unsigned long long number)
{
	sqlite3_bind_int64(query, at, (sqlite3_int64)number);
}

/* Ends a statement, also its lock, and says what went wrong if its last step did. */
static bool end(struct lt_job_db *db, sqlite3_stmt *query, int result, struct lt_diags *diags)
{
	bool good =
		result == SQLITE_DONE || result == SQLITE_ROW || lt_job_db_fail(db, result, diags);
	sqlite3_reset(query);
	sqlite3_clear_bindings(query);
	return good;
}

/* Runs a statement that takes nothing and gives nothing. */
static bool run(struct lt_job_db *db, enum lt_query which, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[which];
	return end(db, query, sqlite3_step(query), diags);
}

/* The same for one that takes a job. */
static bool run_on(struct lt_job_db *db, enum lt_query which, unsigned long long job,
	struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[which];
	bind_number(query, 1, job);
	return end(db, query, sqlite3_step(query), diags);
}

bool lt_job_db_begin(struct lt_job_db *db, struct lt_diags *diags)
{
	if (sqlite3_db_readonly(db->db, "main") == 1)
		return lt_job_db_fail(db, SQLITE_READONLY, diags);
	/* What was changed past SQLite may look unchanged to it: the file itself is to be read. */
	sqlite3_db_release_memory(db->db);
	return run(db, LT_QUERY_BEGIN, diags);
}

bool lt_job_db_commit(struct lt_job_db *db, struct lt_diags *diags)
{
	if (run(db, LT_QUERY_COMMIT, diags))
		return true;
	lt_job_db_abandon(db);
	return false;
}

void lt_job_db_abandon(struct lt_job_db *db)
{
	/* Some failures have rolled it back already. */
	if (sqlite3_get_autocommit(db->db) != 0)
		return;
	sqlite3_stmt *query = db->queries[LT_QUERY_ABANDON];
	sqlite3_step(query);
	sqlite3_reset(query);
}

bool lt_job_db_changed(struct lt_job_db *db)
{
	sqlite3_stmt *query = db->queries[LT_QUERY_DATA_VERSION];
	/* What cannot be asked may have changed: reading it will tell what is wrong. */
	bool changed = true;
	if (sqlite3_step(query) == SQLITE_ROW) {
		const long long now = sqlite3_column_int64(query, 0);
		changed = now != db->data_version;
		db->data_version = now;
	}
	sqlite3_reset(query);
	return changed;
}

static bool in_transaction(struct lt_job_db *db, struct lt_diags *diags)
{
	if (sqlite3_get_autocommit(db->db) == 0)
		return true;
	lt_error(diags, lt_place_file(db->path), "is written within a transaction only");
	return false;
}

/* A column's text, copied; NULL for none. *good is false when a byte of it would not be seen. */
static const char *text_of(sqlite3_stmt *query, int column, struct lt_arena *arena, bool *good)
{
	const char *text = (const char *)sqlite3_column_text(query, column);
	if (text == NULL)
		return NULL;
	const size_t length = (size_t)sqlite3_column_bytes(query, column);
	if (memchr(text, '\0', length) != NULL || lt_utf8_check(text, length) != length)
		*good = false;
	return lt_arena_copy(arena, text, length);
}

static bool read_job(struct lt_job *out, sqlite3_stmt *row, struct lt_arena *arena)
{
	bool good = true;
	*out = (struct lt_job){
		.id = (unsigned long long)sqlite3_column_int64(row, 0),
		.code = text_of(row, 1, arena, &good),
		.harness = text_of(row, 2, arena, &good),
		.unit = text_of(row, 3, arena, &good),
		.title = text_of(row, 4, arena, &good),
		.revision = text_of(row, 5, arena, &good),
		.opened = sqlite3_column_int64(row, 6),
		.closed = sqlite3_column_int(row, 7) != 0,
		.last = sqlite3_column_int64(row, 8),
		.events = (size_t)sqlite3_column_int64(row, 10),
		.scans = (size_t)sqlite3_column_int64(row, 11),
		.counted = (size_t)sqlite3_column_int64(row, 12),
		.origin = (unsigned long long)sqlite3_column_int64(row, 13),
	};
	const char *stage = text_of(row, 9, arena, &good);
	return good && out->code != NULL && out->harness != NULL && stage != NULL &&
	       lt_stage_read(&out->stage, stage);
}

bool lt_job_db_jobs(struct lt_job **out, size_t *count, struct lt_job_db *db, const char *code,
	struct lt_arena *arena, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[code != NULL ? LT_QUERY_JOBS_OF : LT_QUERY_JOBS];
	if (code != NULL)
		bind_text(query, 1, code);
	struct lt_job *jobs = NULL;
	size_t room = 0;
	bool good = true;
	int result;
	*count = 0;
	while (good && (result = sqlite3_step(query)) == SQLITE_ROW) {
		jobs = lt_grow(jobs, &room, *count + 1, sizeof(*jobs));
		good = read_job(&jobs[*count], query, arena);
		++*count;
	}
	if (!good)
		lt_job_db_damaged(db->path, diags, "a job in it cannot be read");
	good = end(db, query, good ? result : SQLITE_DONE, diags) && good;
	*out = lt_arena_array(arena, *count + 1, sizeof(*jobs));
	if (*count > 0)
		memcpy(*out, jobs, *count * sizeof(*jobs));
	free(jobs);
	return good;
}

static bool find_job(struct lt_job *out, struct lt_job_db *db, enum lt_query which,
	unsigned long long id, struct lt_arena *arena, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[which];
	bind_number(query, 1, id);
	*out = (struct lt_job){ 0 };
	bool good = false;
	int result = sqlite3_step(query);
	if (result == SQLITE_ROW) {
		good = read_job(out, query, arena) ||
		       lt_job_db_damaged(db->path, diags, "the job cannot be read");
	} else if (result == SQLITE_DONE) {
		lt_error(diags, lt_place_file(db->path), "has no job %llu", id);
		lt_hint(diags, "loomtag jobs lists them");
	}
	return end(db, query, result, diags) && good;
}

bool lt_job_db_job(struct lt_job *out, struct lt_job_db *db, unsigned long long id,
	struct lt_arena *arena, struct lt_diags *diags)
{
	return find_job(out, db, LT_QUERY_JOB, id, arena, diags);
}

bool lt_job_db_open_job(unsigned long long *id, struct lt_job_db *db, const char *code,
	struct lt_diags *diags)
{
	*id = 0;
	if (!in_transaction(db, diags))
		return false;
	sqlite3_stmt *query = db->queries[LT_QUERY_OPEN_JOB];
	bind_text(query, 1, code);
	int result = sqlite3_step(query);
	if (result == SQLITE_ROW)
		*id = (unsigned long long)sqlite3_column_int64(query, 0);
	return end(db, query, result, diags);
}

static bool insert_job(struct lt_job_db *db, const struct lt_job *job,
	const struct lt_job_event *first, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[LT_QUERY_NEW_JOB];
	bind_text(query, 1, job->code);
	bind_text(query, 2, job->harness);
	bind_text(query, 3, job->unit);
	bind_text(query, 4, job->title);
	bind_text(query, 5, job->revision);
	sqlite3_bind_int64(query, 6, first->at);
	bind_number(query, 7, first->station);
	return end(db, query, sqlite3_step(query), diags);
}

bool lt_job_db_new_job(unsigned long long *id, struct lt_job_db *db, const struct lt_job *job,
	const struct lt_job_event *first, struct lt_diags *diags)
{
	unsigned long long open;
	if (!lt_job_db_open_job(&open, db, job->code, diags))
		return false;
	if (open != 0) {
		lt_error(diags, lt_place_file(db->path), "has an open job of %s already: job %llu",
			job->code, open);
		lt_hint(diags, "go on with it, or close it: loomtag jobs close %llu REASON", open);
		return false;
	}
	if (!insert_job(db, job, first, diags))
		return false;
	*id = (unsigned long long)sqlite3_last_insert_rowid(db->db);
	if (!run_on(db, LT_QUERY_ORIGIN, *id, diags))
		return false;
	struct lt_job_event event = {
		.at = first->at,
		.who = first->who,
		.station = first->station,
		.kind = LT_JOB_OPENED,
		.stage = first->stage,
		.text = job->title,
	};
	return lt_job_db_append(db, *id, &event, diags);
}

bool lt_job_db_station(unsigned *station, struct lt_job_db *db, unsigned long long job,
	struct lt_diags *diags)
{
	if (!in_transaction(db, diags))
		return false;
	sqlite3_stmt *query = db->queries[LT_QUERY_STATION];
	bind_number(query, 1, job);
	int result = sqlite3_step(query);
	if (result == SQLITE_ROW) {
		*station = (unsigned)sqlite3_column_int64(query, 0);
		/* An UPDATE takes effect when it is stepped to its end. */
		result = sqlite3_step(query);
	} else if (result == SQLITE_DONE) {
		end(db, query, result, diags);
		lt_error(diags, lt_place_file(db->path), "has no job %llu", job);
		return false;
	}
	return end(db, query, result, diags);
}

/* What the next event of a job follows. */
struct last_event {
	unsigned long long id; /* 0: there is none yet */
	char digest[65];       /* its own, or the job's */
};

static bool read_last(struct last_event *out, struct lt_job_db *db, const struct lt_job *job,
	struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[LT_QUERY_LAST_EVENT];
	bind_number(query, 1, job->id);
	int result = sqlite3_step(query);
	bool good = true;
	*out = (struct last_event){ 0 };
	if (result == SQLITE_ROW) {
		const char *digest = (const char *)sqlite3_column_text(query, 1);
		out->id = (unsigned long long)sqlite3_column_int64(query, 0);
		good = digest != NULL && strlen(digest) == 64;
		if (good)
			memcpy(out->digest, digest, 65);
		else
			lt_job_db_damaged(db->path, diags, "an event has no digest");
	} else if (result == SQLITE_DONE && !lt_job_digest_first(out->digest, job)) {
		lt_error(diags, lt_place_file(db->path), "SHA-256 is not available");
		good = false;
	}
	return end(db, query, result, diags) && good;
}

static bool insert_event(struct lt_job_db *db, unsigned long long job, unsigned long long seq,
	const struct lt_job_event *event, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[LT_QUERY_APPEND];
	bind_number(query, 1, job);
	bind_number(query, 2, seq);
	bind_number(query, 3, event->id);
	sqlite3_bind_int64(query, 4, event->at);
	bind_text(query, 5, event->who);
	bind_number(query, 6, event->station);
	bind_text(query, 7, lt_job_event_name(event->kind));
	bind_text(query, 8, lt_stage_name(event->stage));
	bind_bytes(query, 9, event->text);
	bind_text(query, 10, event->tag);
	bind_text(query, 11, event->verdict);
	bind_number(query, 12, event->number);
	bind_number(query, 13, event->typed ? 1 : 0);
	bind_text(query, 14, event->digest);
	return end(db, query, sqlite3_step(query), diags);
}

/* Other programs that read the database may not take what is not UTF-8. */
static bool check_texts(struct lt_job_db *db, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	const char *const texts[] = { event->who, event->text, event->tag, event->verdict };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		if (texts[i] == NULL)
			continue;
		const size_t length = strlen(texts[i]);
		if (lt_utf8_check(texts[i], length) != length) {
			lt_error(diags, lt_place_file(db->path), "takes no text that is not UTF-8");
			return false;
		}
	}
	return true;
}

/* What was not understood is not written anew. */
static bool check_kind(struct lt_job_db *db, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	if (event->kind < LT_JOB_UNKNOWN)
		return true;
	lt_error(diags, lt_place_file(db->path), "takes no event of a kind that is not known");
	return false;
}

static bool append(struct lt_job_db *db, const struct lt_job *job, struct lt_job_event *event,
	struct lt_diags *diags)
{
	if (job->closed) {
		lt_error(diags, lt_place_file(db->path),
			"job %llu is closed and takes nothing more", job->id);
		lt_hint(diags, "loomtag verify FILE begins a new one");
		return false;
	}
	struct last_event last;
	if (!read_last(&last, db, job, diags))
		return false;
	event->id = last.id + 1;
	event->kind_name = lt_job_event_name(event->kind);
	if (!lt_job_digest_event(event->digest, last.digest, event)) {
		lt_error(diags, lt_place_file(db->path), "SHA-256 is not available");
		return false;
	}
	/* Counted, and not where the events end: of those that are gone the gap stays. */
	return insert_event(db, job->id, job->counted + 1, event, diags) &&
	       (event->kind != LT_JOB_CLOSED || run_on(db, LT_QUERY_CLOSE_JOB, job->id, diags));
}

bool lt_job_db_append(struct lt_job_db *db, unsigned long long job, struct lt_job_event *event,
	struct lt_diags *diags)
{
	if (!in_transaction(db, diags) || !check_kind(db, event, diags) ||
		!check_texts(db, event, diags))
		return false;
	struct lt_arena arena = { 0 };
	struct lt_job found;
	bool good = find_job(&found, db, LT_QUERY_JOB_ALONE, job, &arena, diags) &&
		    append(db, &found, event, diags);
	lt_arena_finish(&arena);
	return good;
}

/* A kind that is not known is one of a newer program. */
static enum lt_job_event_kind read_kind(const char *name)
{
	int kind = 0;
	while (kind < LT_JOB_UNKNOWN &&
		strcmp(name, lt_job_event_name((enum lt_job_event_kind)kind)) != 0)
		kind++;
	return (enum lt_job_event_kind)kind;
}

/* A whole number from 0 to `most`; anything else spoils *good. */
static unsigned number_of(sqlite3_stmt *row, int column, long long most, bool *good)
{
	const long long number = sqlite3_column_int64(row, column);
	if (number < 0 || number > most)
		*good = false;
	return (unsigned)number;
}

static bool read_event(struct lt_job_event *out, sqlite3_stmt *row, struct lt_arena *arena)
{
	bool good = true;
	*out = (struct lt_job_event){
		.id = (unsigned long long)sqlite3_column_int64(row, 0),
		.at = sqlite3_column_int64(row, 1),
		.who = text_of(row, 2, arena, &good),
		.station = number_of(row, 3, INT_MAX, &good),
		.text = text_of(row, 6, arena, &good),
		.tag = text_of(row, 7, arena, &good),
		.verdict = text_of(row, 8, arena, &good),
		.number = number_of(row, 9, INT_MAX, &good),
		.typed = number_of(row, 10, 1, &good) == 1,
	};
	out->kind_name = text_of(row, 4, arena, &good);
	const char *stage = text_of(row, 5, arena, &good);
	const char *digest = text_of(row, 11, arena, &good);
	if (!good || out->who == NULL || out->kind_name == NULL || stage == NULL ||
		digest == NULL || strlen(digest) != 64)
		return false;
	memcpy(out->digest, digest, 65);
	out->kind = read_kind(out->kind_name);
	return lt_stage_read(&out->stage, stage);
}

bool lt_job_db_events(struct lt_job_event **out, size_t *count, struct lt_job_db *db,
	unsigned long long job, size_t known, struct lt_arena *arena, struct lt_diags *diags)
{
	sqlite3_stmt *query = db->queries[LT_QUERY_EVENTS];
	bind_number(query, 1, job);
	bind_number(query, 2, known);
	struct lt_job_event *events = NULL;
	size_t room = 0;
	bool good = true;
	int result;
	*count = 0;
	while (good && (result = sqlite3_step(query)) == SQLITE_ROW) {
		events = lt_grow(events, &room, *count + 1, sizeof(*events));
		good = read_event(&events[*count], query, arena);
		++*count;
	}
	if (!good)
		lt_job_db_damaged(db->path, diags, "an event in it cannot be read");
	good = end(db, query, good ? result : SQLITE_DONE, diags) && good;
	*out = lt_arena_array(arena, *count + 1, sizeof(*events));
	if (*count > 0)
		memcpy(*out, events, *count * sizeof(*events));
	free(events);
	return good;
}

static bool say_put_back(const char *path, struct lt_diags *diags, unsigned long long job)
{
	lt_error(diags, lt_place_file(path),
		"was replaced while it was in use: job %llu is not as this program left it", job);
	lt_hint(diags,
		"the last step was not recorded, and nothing more will be. Bring back the newest "
		"copy, then start again: loomtag jobs show %llu lists what it holds",
		job);
	return false;
}

bool lt_job_db_holds(struct lt_job_db *db, unsigned long long job, size_t known, const char *digest,
	struct lt_diags *diags)
{
	int moved = 0;
	sqlite3_stmt *query = db->queries[LT_QUERY_DIGEST];
	if (sqlite3_file_control(db->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved) == SQLITE_OK &&
		moved != 0)
		return lt_job_db_fail(db, SQLITE_READONLY_DBMOVED, diags);
	if (sqlite3_get_autocommit(db->db) != 0)
		sqlite3_db_release_memory(db->db);
	bind_number(query, 1, job);
	bind_number(query, 2, known);
	int result = sqlite3_step(query);
	const char *found =
		result == SQLITE_ROW ? (const char *)sqlite3_column_text(query, 0) : NULL;
	const bool same = found != NULL && strcmp(found, digest) == 0;
	if (!end(db, query, result, diags))
		return false;
	return same || say_put_back(db->path, diags, job);
}
