/* The tables of a database in SQLite, version by version, and the way from one to the next. */
#include <stddef.h>

#include "job/db_sqlite.h"

/* What both versions have. Never to be changed, nor are they: files like this are in use.
 *
 * The largest time is the end of the year 9999, the last that a date of four digits can say. What
 * was recorded is never changed nor removed, whoever asks. A job counts its events, so that some
 * that are gone from their end are missed. */
#define JOB_COLUMNS \
	" code TEXT NOT NULL CHECK (code <> '' AND code NOT GLOB '*[^A-Z0-9]*')," \
	" harness TEXT NOT NULL CHECK (harness <> '' AND harness NOT GLOB '*[^A-Z0-9]*')," \
	" unit TEXT CHECK (unit <> '' AND unit NOT GLOB '*[^0-9]*')," \
	" title TEXT," \
	" revision TEXT," \
	" opened INTEGER NOT NULL CHECK (opened BETWEEN 0 AND 253402300799999)," \
	" stations INTEGER NOT NULL CHECK (stations BETWEEN 1 AND 2147483647)," \
	" closed INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1))," \
	" events INTEGER NOT NULL DEFAULT 0 CHECK (events >= 0)"
#define EVENT_WHO \
	" at INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799999)," \
	" who TEXT NOT NULL CHECK (who <> '')," \
	" station INTEGER NOT NULL CHECK (station BETWEEN 1 AND 2147483647),"
#define EVENT_STAGE \
	" stage TEXT NOT NULL CHECK (stage IN ('tag', 'unplug', 'swap', 'reconnect', 'finish')),"
#define EVENT_ANSWER \
	" tag TEXT CHECK (tag <> '')," \
	" verdict TEXT CHECK (verdict <> '')," \
	" number INTEGER NOT NULL CHECK (number BETWEEN 0 AND 99999)," \
	" typed INTEGER NOT NULL CHECK (typed IN (0, 1))," \
	" digest TEXT NOT NULL CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*')"
#define EVENT_RULES \
	"CREATE TRIGGER event_is_kept BEFORE DELETE ON event" \
	" BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;" \
	"CREATE TRIGGER event_stays BEFORE UPDATE ON event" \
	" BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;" \
	"CREATE TRIGGER event_of_open_job BEFORE INSERT ON event" \
	" WHEN (SELECT closed FROM job WHERE id = NEW.job) = 1" \
	" BEGIN SELECT RAISE(ABORT, 'the job is closed'); END;"
#define JOB_RULES \
	"CREATE TRIGGER job_is_kept BEFORE DELETE ON job" \
	" BEGIN SELECT RAISE(ABORT, 'jobs are never removed'); END;" \
	"CREATE TRIGGER job_stays BEFORE UPDATE OF id, code, harness, unit, title, revision, opened" \
	" ON job BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;"
#define COUNT_RULES \
	"CREATE TRIGGER job_stays_closed BEFORE UPDATE OF closed ON job WHEN OLD.closed = 1" \
	" BEGIN SELECT RAISE(ABORT, 'the job is closed'); END;" \
	"CREATE TRIGGER event_is_counted AFTER INSERT ON event" \
	" BEGIN UPDATE job SET events = events + 1 WHERE id = NEW.job; END;" \
	"CREATE TRIGGER job_counts_up BEFORE UPDATE OF events ON job" \
	" WHEN NEW.events IS NOT OLD.events + 1" \
	" BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;"

static const char version_1[] =
	"CREATE TABLE job ("
	" id INTEGER PRIMARY KEY AUTOINCREMENT," JOB_COLUMNS ") STRICT;"
	"CREATE UNIQUE INDEX job_open ON job (code) WHERE closed = 0;"
	"CREATE TABLE event ("
	" id INTEGER PRIMARY KEY AUTOINCREMENT,"
	" job INTEGER NOT NULL REFERENCES job (id)," EVENT_WHO
	" kind TEXT NOT NULL CHECK (kind IN ('opened', 'stage', 'stage-skipped', 'scan',"
	"  'picture', 'skip', 'undo', 'tick', 'closed', 'hazard-confirmed'))," EVENT_STAGE
	" text TEXT," EVENT_ANSWER ") STRICT;"
	"CREATE INDEX event_job ON event (job);" EVENT_RULES JOB_RULES COUNT_RULES
	"PRAGMA application_id = 0x4c54626e;"
	"PRAGMA user_version = 1;";

/* Each job keeps the id that it had where it was opened, and its events are counted by themselves,
 * so that a job can be taken to another store with its digests; an event's own id is a field of its
 * digest, and for what is new the same as its place. Kinds of events are not listed here: a newer
 * program may add one. Texts are bytes, as a scanner gives them. What version 1 kept is copied as
 * it is. */
static const char version_2[] =
	"ALTER TABLE event RENAME TO event_1;"
	"ALTER TABLE job RENAME TO job_1;"
	"DROP INDEX IF EXISTS job_open;"
	"CREATE TABLE job ("
	" id INTEGER PRIMARY KEY AUTOINCREMENT,"
	" origin INTEGER CHECK (origin > 0)," JOB_COLUMNS ") STRICT;"
	"CREATE TABLE event ("
	" job INTEGER NOT NULL REFERENCES job (id),"
	" seq INTEGER NOT NULL CHECK (seq > 0),"
	" id INTEGER NOT NULL CHECK (id > 0)," EVENT_WHO
	" kind TEXT NOT NULL CHECK (kind <> '')," EVENT_STAGE " text BLOB," EVENT_ANSWER ","
	" PRIMARY KEY (job, seq)"
	") STRICT, WITHOUT ROWID;"
	"INSERT INTO job (id, origin, code, harness, unit, title, revision, opened, stations, closed,"
	"  events)"
	" SELECT id, id, code, harness, unit, title, revision, opened, stations, closed, events"
	" FROM job_1;"
	"INSERT INTO event (job, seq, id, at, who, station, kind, stage, text, tag, verdict, number,"
	"  typed, digest)"
	" SELECT job, row_number() OVER (PARTITION BY job ORDER BY id), id, at, who, station, kind,"
	"  stage, CAST(text AS BLOB), tag, verdict, number, typed, digest FROM event_1;"
	"DROP TABLE event_1;"
	"DROP TABLE job_1;"
	"CREATE UNIQUE INDEX job_open ON job (code) WHERE closed = 0;" EVENT_RULES
	"CREATE TRIGGER event_is_next BEFORE INSERT ON event"
	" WHEN NEW.seq IS NOT (SELECT events + 1 FROM job WHERE id = NEW.job)"
	" BEGIN SELECT RAISE(ABORT, 'the event is not the next of its job'); END;" JOB_RULES
	"CREATE TRIGGER job_stays_where_it_is_from BEFORE UPDATE OF origin ON job"
	" WHEN OLD.origin IS NOT NULL OR NEW.origin IS NULL"
	" BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;" COUNT_RULES
	"PRAGMA user_version = 2;";

const char *const lt_sqlite_steps[LT_SQLITE_VERSION] = {
	version_1, /* a new database is one of version 0, with nothing in it */
	version_2,
};

/* Within the transaction, since another program may have written first: nothing there yet, or
 * this program's own. */
static bool may_be_changed(struct lt_sqlite *sqlite, struct lt_diags *diags)
{
	long long application, things;
	if (!lt_sqlite_number(&application, sqlite, "PRAGMA application_id", diags) ||
		!lt_sqlite_number(&things, sqlite, "SELECT count(*) FROM sqlite_schema", diags))
		return false;
	if (application == LT_SQLITE_APPLICATION || (application == 0 && things == 0))
		return true;
	lt_error(diags, lt_place_file(sqlite->path), "is a database of another program");
	lt_hint(diags, "name another database with --db");
	return false;
}

/* Takes one step; *version becomes the one it leads to. */
static bool take_step(long long *version, struct lt_sqlite *sqlite, const char *step,
	struct lt_diags *diags)
{
	const long long before = *version;
	const int result = sqlite3_exec(sqlite->db, step, NULL, NULL, NULL);
	/* What is not there, or cannot be, though the version says so. */
	if (result == SQLITE_ERROR || (result & 0xff) == SQLITE_CONSTRAINT)
		return lt_sqlite_damaged(sqlite->path, diags, sqlite3_errmsg(sqlite->db));
	if (result != SQLITE_OK)
		return lt_sqlite_fail(sqlite, result, diags);
	if (!lt_sqlite_number(version, sqlite, "PRAGMA user_version", diags))
		return false;
	if (*version <= before)
		lt_error(diags, lt_place_file(sqlite->path), "cannot be updated from version %lld",
			before);
	return *version > before;
}

static bool take_steps(struct lt_sqlite *sqlite, const char *const *steps, int count,
	struct lt_diags *diags)
{
	long long version;
	if (!may_be_changed(sqlite, diags) ||
		!lt_sqlite_number(&version, sqlite, "PRAGMA user_version", diags))
		return false;
	while (version >= 0 && version < count)
		if (!take_step(&version, sqlite, steps[version], diags))
			return false;
	if (version == count)
		return true;
	/* Another, newer loomtag was quicker. */
	lt_error(diags, lt_place_file(sqlite->path), "has version %lld, not %d", version, count);
	lt_hint(diags, "use the loomtag that wrote it");
	return false;
}

static bool refuse_old(struct lt_sqlite *sqlite, struct lt_diags *diags)
{
	lt_error(diags, lt_place_file(sqlite->path),
		"has an older version and cannot be updated: the file or its folder is read-only");
	lt_hint(diags,
		"allow writing to the file and to its folder, or copy it and name the copy with "
		"--db");
	return false;
}

bool lt_sqlite_migrate(struct lt_sqlite *sqlite, const char *const *steps, int count,
	struct lt_diags *diags)
{
	long long version;
	if (!lt_sqlite_number(&version, sqlite, "PRAGMA user_version", diags))
		return false;
	if (version == count)
		return true;
	if (sqlite3_db_readonly(sqlite->db, "main") == 1)
		return refuse_old(sqlite, diags);
	if (!lt_sqlite_execute(sqlite, "BEGIN IMMEDIATE", diags))
		return false;
	const bool good = take_steps(sqlite, steps, count, diags) &&
			  lt_sqlite_execute(sqlite, "COMMIT", diags);
	if (!good && sqlite3_get_autocommit(sqlite->db) == 0)
		sqlite3_exec(sqlite->db, "ROLLBACK", NULL, NULL, NULL);
	return good;
}
