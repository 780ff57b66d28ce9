/* The store of jobs in SQLite: its statements, and what SQLite reports. Values are always bound,
 * never part of the SQL. */
#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "job/db_sqlite.h"
#include "loomtag/base.h"

/* Whether a job is closed is told by its last event, which is part of the chain of digests; the
 * column is there for the index that allows one open job only. */
static const char *const sql[LT_QUERY_COUNT] = {
	[LT_QUERY_BEGIN] = "BEGIN IMMEDIATE",
	[LT_QUERY_COMMIT] = "COMMIT",
	[LT_QUERY_ABANDON] = "ROLLBACK",
	[LT_QUERY_DATA_VERSION] = "PRAGMA data_version",
	[LT_QUERY_JOBS] =
		"SELECT job.id, job.code, job.harness, job.unit, job.title, job.revision, job.opened,"
		" coalesce(e.kind = 'closed', 0), coalesce(e.at, job.opened),"
		" coalesce(e.stage, 'reconnect'),"
		" (SELECT count(*) FROM event WHERE event.job = job.id),"
		" (SELECT count(*) FROM event WHERE event.job = job.id AND event.kind = 'scan'),"
		" job.events, coalesce(job.origin, 0)"
		" FROM job LEFT JOIN event AS e ON e.job = job.id"
		" AND e.seq = (SELECT max(event.seq) FROM event WHERE event.job = job.id)"
		" WHERE job.code = coalesce(?1, job.code) AND job.id = coalesce(?2, job.id)"
		" ORDER BY job.id DESC",
	[LT_QUERY_OPEN_JOB] = "SELECT id FROM job WHERE code = ?1 AND closed = 0",
	[LT_QUERY_NEW_JOB] =
		"INSERT INTO job (code, harness, unit, title, revision, opened, stations)"
		" VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
	[LT_QUERY_ORIGIN] = "UPDATE job SET origin = id WHERE id = ?1",
	[LT_QUERY_STATION] = "UPDATE job SET stations = 1 + max(stations,"
			     " (SELECT coalesce(max(station), 1) FROM event WHERE job = ?1))"
			     " WHERE id = ?1 RETURNING stations",
	[LT_QUERY_END] = "SELECT job.closed, job.events, e.id, e.digest"
			 " FROM job LEFT JOIN event AS e ON e.job = job.id"
			 " AND e.seq = (SELECT max(seq) FROM event WHERE job = ?1)"
			 " WHERE job.id = ?1",
	[LT_QUERY_APPEND] = "INSERT INTO event (job, seq, id, at, who, station, kind, stage, text,"
			    " tag, verdict, number, typed, digest)"
			    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
	[LT_QUERY_CLOSE_JOB] = "UPDATE job SET closed = 1 WHERE id = ?1",
	[LT_QUERY_EVENTS] = "SELECT id, at, who, station, kind, stage, text, tag, verdict, number,"
			    " typed, digest FROM event WHERE job = ?1 AND seq > ?2 ORDER BY seq",
};

bool lt_sqlite_damaged(const char *path, struct lt_diags *diags, const char *what)
{
	lt_error(diags, lt_place_file(path), "is damaged and was not changed: %s", what);
	lt_hint(diags,
		"move it away and bring back an older copy. Keep the damaged file: most of it "
		"may still be readable");
	return false;
}

/* Where the file cannot be made it is the folder that tells why: SQLite, having failed, tries to
 * read the file, and only says that it is not there. 0: nothing is wrong with either. */
static int why_not_open(const char *path)
{
	struct lt_text folder = { 0 };
	lt_text_add_bytes(&folder, path, (size_t)(lt_path_base(path) - path));
	lt_text_add_char(&folder, '.');
	errno = 0;
	const bool open =
		access(path, F_OK) == 0 || access(lt_text_string(&folder), W_OK | X_OK) == 0;
	const int number = open ? 0 : errno;
	lt_text_finish(&folder);
	return number;
}

/* Why, in the words of the operating system where it has any, else in SQLite's. */
static const char *reason_of(const struct lt_sqlite *sqlite, int result)
{
	int number = result == SQLITE_CANTOPEN ? why_not_open(sqlite->path) : 0;
	if (number == 0 && result != SQLITE_ERROR)
		number = sqlite3_system_errno(sqlite->db);
	return number != 0 ? strerror(number) : sqlite3_errmsg(sqlite->db);
}

/* By the result; the last is for all others. */
static const struct failure {
	int result;
	bool has_reason; /* it stands behind the message */
	const char *message, *hint;
} failures[] = {
	{ SQLITE_BUSY, false, "is in use: another program kept it locked for five seconds",
		"wait until the other program has finished, then try again" },
	{ SQLITE_FULL, false, "cannot be written: the disk is full",
		"make room on the disk, then do the last step again: it was not recorded" },
	{ SQLITE_READONLY_DBMOVED, false, "was moved or deleted while it was in use",
		"put the file back under this name, then start loomtag again. The last step was "
		"not recorded" },
	{ SQLITE_READONLY, false, "cannot be written: the file or its folder is read-only",
		"allow writing to the file and to its folder, or name another database with --db" },
	{ SQLITE_CANTOPEN, true, "cannot be opened",
		"check that the folder exists, and that the file and the folder can be written" },
	{ SQLITE_IOERR, true, "cannot be read or written",
		"check the disk, then do the last step again: it was not recorded" },
	{ SQLITE_ERROR, true, "cannot be used", "do the last step again: it was not recorded" },
};

bool lt_sqlite_fail(const struct lt_sqlite *sqlite, int result, struct lt_diags *diags)
{
	const struct failure *failure = failures;
	const int kind = (result & 0xff) == SQLITE_LOCKED ? SQLITE_BUSY : result & 0xff;
	if (kind == SQLITE_NOTADB || kind == SQLITE_CORRUPT)
		return lt_sqlite_damaged(sqlite->path, diags, sqlite3_errmsg(sqlite->db));
	while (failure->result != result && failure->result != kind &&
		failure->result != SQLITE_ERROR)
		failure++;
	if (failure->has_reason)
		lt_error(diags, lt_place_file(sqlite->path), "%s: %s", failure->message,
			reason_of(sqlite, failure->result));
	else
		lt_error(diags, lt_place_file(sqlite->path), "%s", failure->message);
	lt_hint(diags, "%s", failure->hint);
	return false;
}

bool lt_sqlite_ask(sqlite3_stmt **row, const struct lt_sqlite *sqlite, const char *statement,
	struct lt_diags *diags)
{
	int result = sqlite3_prepare_v2(sqlite->db, statement, -1, row, NULL);
	if (result == SQLITE_OK)
		result = sqlite3_step(*row);
	return result == SQLITE_ROW || lt_sqlite_fail(sqlite, result, diags);
}

bool lt_sqlite_number(long long *out, const struct lt_sqlite *sqlite, const char *statement,
	struct lt_diags *diags)
{
	sqlite3_stmt *row = NULL;
	const bool good = lt_sqlite_ask(&row, sqlite, statement, diags);
	if (good)
		*out = sqlite3_column_int64(row, 0);
	sqlite3_finalize(row);
	return good;
}

bool lt_sqlite_execute(const struct lt_sqlite *sqlite, const char *statements,
	struct lt_diags *diags)
{
	const int result = sqlite3_exec(sqlite->db, statements, NULL, NULL, NULL);
	return result == SQLITE_OK || lt_sqlite_fail(sqlite, result, diags);
}

static void bind_text(sqlite3_stmt *query, int at, const char *text)
{
	/* It lives until the statement is reset, which is before it is given back. */
	sqlite3_bind_text(query, at, text, -1, SQLITE_STATIC);
}

static void bind_number(sqlite3_stmt *query, int at, unsigned long long number)
{
	sqlite3_bind_int64(query, at, (sqlite3_int64)number);
}

static unsigned long long number_at(sqlite3_stmt *row, int column)
{
	return (unsigned long long)sqlite3_column_int64(row, column);
}

/* A statement with a job as its first value. */
static sqlite3_stmt *query_of(struct lt_sqlite *sqlite, enum lt_query which, unsigned long long job)
{
	bind_number(sqlite->queries[which], 1, job);
	return sqlite->queries[which];
}

/* Ends a statement, also its lock, and says what went wrong if its last step did. */
static bool end(struct lt_sqlite *sqlite, sqlite3_stmt *query, int result, struct lt_diags *diags)
{
	const bool good = result == SQLITE_DONE || result == SQLITE_ROW ||
			  lt_sqlite_fail(sqlite, result, diags);
	sqlite3_reset(query);
	sqlite3_clear_bindings(query);
	return good;
}

/* Runs a statement to its end; *number, which may be NULL, is what its row gives, 0 without one. */
static bool run(unsigned long long *number, struct lt_sqlite *sqlite, sqlite3_stmt *query,
	struct lt_diags *diags)
{
	int result = sqlite3_step(query);
	if (number != NULL)
		*number = result == SQLITE_ROW ? number_at(query, 0) : 0;
	/* An UPDATE takes effect when it is stepped to its end. */
	if (result == SQLITE_ROW)
		result = sqlite3_step(query);
	return end(sqlite, query, result, diags);
}

static bool in_transaction(void *data)
{
	const struct lt_sqlite *sqlite = data;
	return sqlite3_get_autocommit(sqlite->db) == 0;
}

static bool begin(void *data, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	if (sqlite3_db_readonly(sqlite->db, "main") == 1)
		return lt_sqlite_fail(sqlite, SQLITE_READONLY, diags);
	/* What was changed past SQLite may look unchanged to it: the file itself is to be read. */
	sqlite3_db_release_memory(sqlite->db);
	return run(NULL, sqlite, sqlite->queries[LT_QUERY_BEGIN], diags);
}

static bool commit(void *data, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	return run(NULL, sqlite, sqlite->queries[LT_QUERY_COMMIT], diags);
}

static void abandon(void *data)
{
	struct lt_sqlite *sqlite = data;
	/* Some failures have rolled it back already. */
	if (!in_transaction(sqlite))
		return;
	sqlite3_step(sqlite->queries[LT_QUERY_ABANDON]);
	sqlite3_reset(sqlite->queries[LT_QUERY_ABANDON]);
}

static bool changed(void *data)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = sqlite->queries[LT_QUERY_DATA_VERSION];
	/* What cannot be asked may have changed: reading it will tell what is wrong. */
	bool changed = true;
	if (sqlite3_step(query) == SQLITE_ROW) {
		changed = number_at(query, 0) != sqlite->data_version;
		sqlite->data_version = number_at(query, 0);
	}
	sqlite3_reset(query);
	return changed;
}

static bool still_there(void *data, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	int moved = 0;
	if (sqlite3_file_control(sqlite->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved) == SQLITE_OK &&
		moved != 0)
		return lt_sqlite_fail(sqlite, SQLITE_READONLY_DBMOVED, diags);
	if (!in_transaction(sqlite))
		sqlite3_db_release_memory(sqlite->db);
	return true;
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

/* A whole number from 0 to `most`; anything else spoils *good. */
static unsigned number_of(sqlite3_stmt *row, int column, long long most, bool *good)
{
	const long long number = sqlite3_column_int64(row, column);
	if (number < 0 || number > most)
		*good = false;
	return (unsigned)number;
}

/* "..." of 64 characters; false where it is none. */
static bool digest_of(char out[65], sqlite3_stmt *row, int column)
{
	const char *digest = (const char *)sqlite3_column_text(row, column);
	const bool good = digest != NULL && strlen(digest) == 64;
	if (good)
		memcpy(out, digest, 65);
	return good;
}

static bool read_job(void *into, sqlite3_stmt *row, struct lt_arena *arena)
{
	struct lt_job *out = into;
	bool good = true;
	*out = (struct lt_job){
		.id = number_at(row, 0),
		.code = text_of(row, 1, arena, &good),
		.harness = text_of(row, 2, arena, &good),
		.unit = text_of(row, 3, arena, &good),
		.title = text_of(row, 4, arena, &good),
		.revision = text_of(row, 5, arena, &good),
		.opened = sqlite3_column_int64(row, 6),
		.closed = sqlite3_column_int(row, 7) != 0,
		.last = sqlite3_column_int64(row, 8),
		.events = number_at(row, 10),
		.scans = number_at(row, 11),
		.counted = number_at(row, 12),
		.origin = number_at(row, 13),
	};
	const char *stage = text_of(row, 9, arena, &good);
	return good && out->code != NULL && out->harness != NULL && stage != NULL &&
	       lt_stage_read(&out->stage, stage);
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

static bool read_event(void *into, sqlite3_stmt *row, struct lt_arena *arena)
{
	struct lt_job_event *out = into;
	bool good = true;
	*out = (struct lt_job_event){
		.id = number_at(row, 0),
		.at = sqlite3_column_int64(row, 1),
		.who = text_of(row, 2, arena, &good),
		.station = number_of(row, 3, INT_MAX, &good),
		.kind_name = text_of(row, 4, arena, &good),
		.text = text_of(row, 6, arena, &good),
		.tag = text_of(row, 7, arena, &good),
		.verdict = text_of(row, 8, arena, &good),
		.number = number_of(row, 9, INT_MAX, &good),
		.typed = number_of(row, 10, 1, &good) == 1,
	};
	const char *stage = text_of(row, 5, arena, &good);
	if (!good || out->who == NULL || out->kind_name == NULL || stage == NULL ||
		!digest_of(out->digest, row, 11))
		return false;
	out->kind = read_kind(out->kind_name);
	return lt_stage_read(&out->stage, stage);
}

/* How the rows of a statement are read. */
struct reading {
	size_t size; /* of what a row becomes */
	bool (*read)(void *out, sqlite3_stmt *row, struct lt_arena *arena);
	const char *damage; /* where it cannot be read */
};

/* All rows, in an array from `arena`; NULL with an error. */
static void *read_rows(size_t *count, struct lt_sqlite *sqlite, sqlite3_stmt *query,
	const struct reading *reading, struct lt_arena *arena, struct lt_diags *diags)
{
	char *rows = NULL;
	size_t room = 0;
	bool good = true;
	int result;
	*count = 0;
	while (good && (result = sqlite3_step(query)) == SQLITE_ROW) {
		rows = lt_grow(rows, &room, *count + 1, reading->size);
		good = reading->read(rows + *count * reading->size, query, arena);
		++*count;
	}
	if (!good)
		lt_sqlite_damaged(sqlite->path, diags, reading->damage);
	good = end(sqlite, query, good ? result : SQLITE_DONE, diags) && good;
	void *out = lt_arena_array(arena, *count + 1, reading->size);
	if (*count > 0)
		memcpy(out, rows, *count * reading->size);
	free(rows);
	return good ? out : NULL;
}

static bool jobs(struct lt_job **out, size_t *count, void *data, const char *code,
	unsigned long long id, struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = sqlite->queries[LT_QUERY_JOBS];
	const struct reading reading = { sizeof(**out), read_job, "a job cannot be read" };
	bind_text(query, 1, code);
	if (id != 0)
		bind_number(query, 2, id);
	*out = read_rows(count, sqlite, query, &reading, arena, diags);
	return *out != NULL;
}

static bool events(struct lt_job_event **out, size_t *count, void *data, unsigned long long job,
	size_t known, struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = query_of(sqlite, LT_QUERY_EVENTS, job);
	const struct reading reading = { sizeof(**out), read_event, "an event cannot be read" };
	bind_number(query, 2, known);
	*out = read_rows(count, sqlite, query, &reading, arena, diags);
	return *out != NULL;
}

static bool open_job(unsigned long long *id, void *data, const char *code, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = sqlite->queries[LT_QUERY_OPEN_JOB];
	bind_text(query, 1, code);
	return run(id, sqlite, query, diags);
}

static bool new_job(unsigned long long *id, void *data, const struct lt_job *job, unsigned station,
	struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = sqlite->queries[LT_QUERY_NEW_JOB];
	bind_text(query, 1, job->code);
	bind_text(query, 2, job->harness);
	bind_text(query, 3, job->unit);
	bind_text(query, 4, job->title);
	bind_text(query, 5, job->revision);
	sqlite3_bind_int64(query, 6, job->opened);
	bind_number(query, 7, station);
	if (!run(NULL, sqlite, query, diags))
		return false;
	*id = (unsigned long long)sqlite3_last_insert_rowid(sqlite->db);
	return run(NULL, sqlite, query_of(sqlite, LT_QUERY_ORIGIN, *id), diags);
}

static bool station(unsigned *station, void *data, unsigned long long job, struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	unsigned long long number;
	const bool good = run(&number, sqlite, query_of(sqlite, LT_QUERY_STATION, job), diags);
	*station = (unsigned)number;
	return good;
}

static bool find_end(struct lt_job_end *out, void *data, unsigned long long job,
	struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = query_of(sqlite, LT_QUERY_END, job);
	const int result = sqlite3_step(query);
	bool good = true;
	*out = (struct lt_job_end){ .exists = result == SQLITE_ROW };
	if (out->exists) {
		out->closed = sqlite3_column_int(query, 0) != 0;
		out->counted = number_at(query, 1);
		out->event = number_at(query, 2);
		good = sqlite3_column_type(query, 2) == SQLITE_NULL ||
		       digest_of(out->digest, query, 3) ||
		       lt_sqlite_damaged(sqlite->path, diags, "an event has no digest");
	}
	return end(sqlite, query, result, diags) && good;
}

static bool append(void *data, unsigned long long job, size_t seq, const struct lt_job_event *event,
	struct lt_diags *diags)
{
	struct lt_sqlite *sqlite = data;
	sqlite3_stmt *query = query_of(sqlite, LT_QUERY_APPEND, job);
	bind_number(query, 2, seq);
	bind_number(query, 3, event->id);
	sqlite3_bind_int64(query, 4, event->at);
	bind_text(query, 5, event->who);
	bind_number(query, 6, event->station);
	bind_text(query, 7, lt_job_event_name(event->kind));
	bind_text(query, 8, lt_stage_name(event->stage));
	/* Bytes, as a scanner gave them. */
	if (event->text != NULL)
		sqlite3_bind_blob(query, 9, event->text, (int)strlen(event->text), SQLITE_STATIC);
	bind_text(query, 10, event->tag);
	bind_text(query, 11, event->verdict);
	bind_number(query, 12, event->number);
	bind_number(query, 13, event->typed ? 1 : 0);
	bind_text(query, 14, event->digest);
	return run(NULL, sqlite, query, diags) &&
	       (event->kind != LT_JOB_CLOSED ||
		       run(NULL, sqlite, query_of(sqlite, LT_QUERY_CLOSE_JOB, job), diags));
}

void lt_sqlite_close(void *data)
{
	struct lt_sqlite *sqlite = data;
	for (size_t i = 0; i < LT_QUERY_COUNT; i++)
		sqlite3_finalize(sqlite->queries[i]);
	sqlite3_close(sqlite->db);
	free(sqlite->path);
	free(sqlite);
}

bool lt_sqlite_prepare(struct lt_job_db *out, struct lt_sqlite *sqlite, struct lt_diags *diags)
{
	for (size_t i = 0; i < LT_QUERY_COUNT; i++) {
		const int result = sqlite3_prepare_v3(sqlite->db, sql[i], -1,
			SQLITE_PREPARE_PERSISTENT, &sqlite->queries[i], NULL);
		/* A table or column that is not there, though the version says so. */
		if (result == SQLITE_ERROR)
			return lt_sqlite_damaged(sqlite->path, diags, sqlite3_errmsg(sqlite->db));
		if (result != SQLITE_OK)
			return lt_sqlite_fail(sqlite, result, diags);
	}
	changed(sqlite);
	*out = (struct lt_job_db){
		.close = lt_sqlite_close,
		.begin = begin,
		.commit = commit,
		.abandon = abandon,
		.in_transaction = in_transaction,
		.changed = changed,
		.still_there = still_there,
		.jobs = jobs,
		.events = events,
		.open_job = open_job,
		.new_job = new_job,
		.station = station,
		.end = find_end,
		.append = append,
		.name = sqlite->path,
		.data = sqlite,
	};
	return true;
}
