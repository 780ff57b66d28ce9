/* A store as version 1 of the program wrote it: its tables, and events with digests computed here.
 * Included after unit.h. */
#ifndef LOOMTAG_TESTS_OLD_STORE_H
#define LOOMTAG_TESTS_OLD_STORE_H

#include <gnutls/crypto.h>
#include <sqlite3.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* Never to be changed: files like this are in use. */
static const char old_sql[] =
	"CREATE TABLE job ("
	" id INTEGER PRIMARY KEY AUTOINCREMENT,"
	" code TEXT NOT NULL CHECK (code <> '' AND code NOT GLOB '*[^A-Z0-9]*'),"
	" harness TEXT NOT NULL CHECK (harness <> '' AND harness NOT GLOB '*[^A-Z0-9]*'),"
	" unit TEXT CHECK (unit <> '' AND unit NOT GLOB '*[^0-9]*'),"
	" title TEXT,"
	" revision TEXT,"
	" opened INTEGER NOT NULL CHECK (opened BETWEEN 0 AND 253402300799999),"
	" stations INTEGER NOT NULL CHECK (stations BETWEEN 1 AND 2147483647),"
	" closed INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),"
	" events INTEGER NOT NULL DEFAULT 0 CHECK (events >= 0)"
	") STRICT;"
	"CREATE UNIQUE INDEX job_open ON job (code) WHERE closed = 0;"
	"CREATE TABLE event ("
	" id INTEGER PRIMARY KEY AUTOINCREMENT,"
	" job INTEGER NOT NULL REFERENCES job (id),"
	" at INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799999),"
	" who TEXT NOT NULL CHECK (who <> ''),"
	" station INTEGER NOT NULL CHECK (station BETWEEN 1 AND 2147483647),"
	" kind TEXT NOT NULL CHECK (kind IN ('opened', 'stage', 'stage-skipped', 'scan',"
	"  'picture', 'skip', 'undo', 'tick', 'closed', 'hazard-confirmed')),"
	" stage TEXT NOT NULL CHECK (stage IN ('tag', 'unplug', 'swap', 'reconnect', 'finish')),"
	" text TEXT,"
	" tag TEXT CHECK (tag <> ''),"
	" verdict TEXT CHECK (verdict <> ''),"
	" number INTEGER NOT NULL CHECK (number BETWEEN 0 AND 99999),"
	" typed INTEGER NOT NULL CHECK (typed IN (0, 1)),"
	" digest TEXT NOT NULL CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*')"
	") STRICT;"
	"CREATE INDEX event_job ON event (job);"
	"CREATE TRIGGER event_is_kept BEFORE DELETE ON event"
	" BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;"
	"CREATE TRIGGER event_stays BEFORE UPDATE ON event"
	" BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;"
	"CREATE TRIGGER event_of_open_job BEFORE INSERT ON event"
	" WHEN (SELECT closed FROM job WHERE id = NEW.job) = 1"
	" BEGIN SELECT RAISE(ABORT, 'the job is closed'); END;"
	"CREATE TRIGGER job_is_kept BEFORE DELETE ON job"
	" BEGIN SELECT RAISE(ABORT, 'jobs are never removed'); END;"
	"CREATE TRIGGER job_stays BEFORE UPDATE OF id, code, harness, unit, title, revision, opened"
	" ON job BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;"
	"CREATE TRIGGER job_stays_closed BEFORE UPDATE OF closed ON job WHEN OLD.closed = 1"
	" BEGIN SELECT RAISE(ABORT, 'the job is closed'); END;"
	"CREATE TRIGGER event_is_counted AFTER INSERT ON event"
	" BEGIN UPDATE job SET events = events + 1 WHERE id = NEW.job; END;"
	"CREATE TRIGGER job_counts_up BEFORE UPDATE OF events ON job"
	" WHEN NEW.events IS NOT OLD.events + 1"
	" BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;"
	"PRAGMA application_id = 0x4c54626e;"
	"PRAGMA user_version = 1;";

struct old_job {
	const char *code, *harness, *unit, *title, *revision;
	long long opened;
	unsigned stations;
	bool closed;
};

struct old_event {
	unsigned job; /* from 1 */
	long long at;
	const char *who;
	unsigned station;
	const char *kind, *stage, *text, *tag, *verdict;
	unsigned number;
	bool typed;
};

/* The fields of a digest, each with its length before it. */
struct old_row {
	char bytes[4096];
	size_t length;
};

static inline void old_text(struct old_row *row, const char *field)
{
	const size_t room = sizeof(row->bytes) - row->length;
	row->length += (size_t)(field != NULL ? snprintf(row->bytes + row->length, room, "%zu:%s,",
							strlen(field), field)
					      : snprintf(row->bytes + row->length, room, "-,"));
	assert_true(row->length < sizeof(row->bytes));
}

static inline void old_number(struct old_row *row, long long field)
{
	char digits[32];
	snprintf(digits, sizeof(digits), "%lld", field);
	old_text(row, digits);
}

/* SHA-256 (FIPS 180-4), in hex. */
static inline void old_digest(char out[65], const struct old_row *row)
{
	unsigned char bytes[32];
	assert_int_equal(gnutls_hash_fast(GNUTLS_DIG_SHA256, row->bytes, row->length, bytes), 0);
	for (size_t i = 0; i < sizeof(bytes); i++)
		snprintf(out + 2 * i, 3, "%02x", bytes[i]);
}

static inline void old_first(char out[65], unsigned id, const struct old_job *job)
{
	struct old_row row = { .length = 0 };
	old_text(&row, "job");
	old_number(&row, id);
	old_text(&row, job->code);
	old_text(&row, job->harness);
	old_text(&row, job->unit);
	old_text(&row, job->title);
	old_text(&row, job->revision);
	old_number(&row, job->opened);
	old_digest(out, &row);
}

/* `digest`: of the event before; becomes that of this one. */
static inline void old_next(char digest[65], unsigned id, const struct old_event *event)
{
	struct old_row row = { .length = 0 };
	old_text(&row, digest);
	old_number(&row, id);
	old_number(&row, event->at);
	old_text(&row, event->who);
	old_number(&row, event->station);
	old_text(&row, event->kind);
	old_text(&row, event->stage);
	old_text(&row, event->text);
	old_text(&row, event->tag);
	old_text(&row, event->verdict);
	old_number(&row, event->number);
	old_number(&row, event->typed);
	old_digest(digest, &row);
}

static inline void old_run(sqlite3 *db, const char *sql)
{
	char *why = NULL;
	if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", sql, why);
}

static inline void old_insert_job(sqlite3 *db, const struct old_job *job)
{
	sqlite3_stmt *query;
	assert_int_equal(sqlite3_prepare_v2(db,
				 "INSERT INTO job (code, harness, unit, title, revision, opened,"
				 " stations) VALUES (?, ?, ?, ?, ?, ?, ?)",
				 -1, &query, NULL),
		SQLITE_OK);
	const char *const texts[] = { job->code, job->harness, job->unit, job->title,
		job->revision };
	for (int i = 0; i < 5; i++)
		sqlite3_bind_text(query, i + 1, texts[i], -1, SQLITE_STATIC);
	sqlite3_bind_int64(query, 6, job->opened);
	sqlite3_bind_int64(query, 7, job->stations);
	assert_int_equal(sqlite3_step(query), SQLITE_DONE);
	sqlite3_finalize(query);
}

static inline void old_insert_event(sqlite3 *db, unsigned id, const struct old_event *event,
	const char *digest)
{
	sqlite3_stmt *query;
	assert_int_equal(sqlite3_prepare_v2(db,
				 "INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
				 -1, &query, NULL),
		SQLITE_OK);
	const char *const texts[] = { event->kind, event->stage, event->text, event->tag,
		event->verdict };
	sqlite3_bind_int64(query, 1, id);
	sqlite3_bind_int64(query, 2, event->job);
	sqlite3_bind_int64(query, 3, event->at);
	sqlite3_bind_text(query, 4, event->who, -1, SQLITE_STATIC);
	sqlite3_bind_int64(query, 5, event->station);
	for (int i = 0; i < 5; i++)
		sqlite3_bind_text(query, i + 6, texts[i], -1, SQLITE_STATIC);
	sqlite3_bind_int64(query, 11, event->number);
	sqlite3_bind_int64(query, 12, event->typed);
	sqlite3_bind_text(query, 13, digest, -1, SQLITE_STATIC);
	assert_int_equal(sqlite3_step(query), SQLITE_DONE);
	sqlite3_finalize(query);
}

enum { OLD_JOBS_MOST = 8 };

/* Makes the file. Ids count over all jobs, in the order given. digests[i], of event i, where that
 * is not NULL. */
static inline void old_store(const char *path, const struct old_job *jobs, size_t job_count,
	const struct old_event *events, size_t event_count, char (*digests)[65])
{
	sqlite3 *db;
	char last[OLD_JOBS_MOST][65];
	assert_true(job_count <= OLD_JOBS_MOST);
	assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
	old_run(db, old_sql);
	old_run(db, "BEGIN");
	for (size_t i = 0; i < job_count; i++) {
		old_insert_job(db, &jobs[i]);
		old_first(last[i], (unsigned)i + 1, &jobs[i]);
	}
	for (size_t i = 0; i < event_count; i++) {
		char *digest = last[events[i].job - 1];
		old_next(digest, (unsigned)i + 1, &events[i]);
		old_insert_event(db, (unsigned)i + 1, &events[i], digest);
		if (digests != NULL)
			memcpy(digests[i], digest, 65);
	}
	for (size_t i = 0; i < job_count; i++) {
		char sql[80];
		snprintf(sql, sizeof(sql), "UPDATE job SET closed = 1 WHERE id = %zu", i + 1);
		if (jobs[i].closed)
			old_run(db, sql);
	}
	old_run(db, "COMMIT");
	assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

#endif
