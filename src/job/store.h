/* What the files of the job store share. */
#ifndef LOOMTAG_JOB_STORE_H
#define LOOMTAG_JOB_STORE_H

#include <sqlite3.h>

#include "loomtag/job.h"

/* "LTbn", by which a database is known to be this program's. */
#define LT_JOB_DB_APPLICATION 0x4c54626e

/* The statements that are kept prepared. */
enum lt_query {
	LT_QUERY_BEGIN,
	LT_QUERY_COMMIT,
	LT_QUERY_ABANDON,
	LT_QUERY_DATA_VERSION,
	LT_QUERY_JOBS,
	LT_QUERY_JOBS_OF,
	LT_QUERY_JOB,
	LT_QUERY_JOB_ALONE,
	LT_QUERY_OPEN_JOB,
	LT_QUERY_NEW_JOB,
	LT_QUERY_ORIGIN,
	LT_QUERY_STATION,
	LT_QUERY_LAST_EVENT,
	LT_QUERY_DIGEST,
	LT_QUERY_APPEND,
	LT_QUERY_CLOSE_JOB,
	LT_QUERY_EVENTS,
	LT_QUERY_COUNT
};

struct lt_job_db {
	sqlite3 *db;
	char *path;
	sqlite3_stmt *queries[LT_QUERY_COUNT];
	long long data_version; /* when lt_job_db_changed was last asked */
};

/* Takes a database from one version to the next: the step at index n, from n. Its SQL sets
 * user_version itself, so that no SQL is ever put together from pieces. */
struct lt_job_db_step {
	const char *sql;
};

/* All that have been, up to LT_JOB_DB_VERSION. */
extern const struct lt_job_db_step lt_job_db_steps[LT_JOB_DB_VERSION];

/* Brings a database that is empty or this program's up to version `count`, all steps in one
 * transaction; nothing is changed when one fails, or when it is there already. */
bool lt_job_db_migrate(struct lt_job_db *db, const struct lt_job_db_step *steps, int count,
	struct lt_diags *diags);

/* Prepares the statements. */
bool lt_job_db_prepare(struct lt_job_db *db, struct lt_diags *diags);

/* The value of a PRAGMA or SELECT that gives one number. */
bool lt_job_db_number(long long *out, struct lt_job_db *db, const char *sql,
	struct lt_diags *diags);

/* Says what went wrong with a result code of SQLite's, and what to do. Returns false. */
bool lt_job_db_fail(struct lt_job_db *db, int result, struct lt_diags *diags);
/* Says that what is in the database cannot be. Returns false. */
bool lt_job_db_damaged(const char *path, struct lt_diags *diags, const char *what);

/* The first `size` bytes that the database will have when SQLite has played back the journal at
 * `path`: zeros where it was empty. False where that is no journal, or the first page is not in it;
 * *out may be changed then. */
bool lt_job_db_journal_begins(unsigned char *out, size_t size, const char *path);

/* The digest of a job's own fields, from which its chain begins; false when SHA-256 is not to be
 * had. */
bool lt_job_digest_first(char out[65], const struct lt_job *job);
/* The digest of an event that follows the digest `before`, which may be `out`. */
bool lt_job_digest_event(char out[65], const char *before, const struct lt_job_event *event);

#endif
