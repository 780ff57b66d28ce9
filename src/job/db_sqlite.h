/* What the files of the store in SQLite share. */
#ifndef LOOMTAG_JOB_DB_SQLITE_H
#define LOOMTAG_JOB_DB_SQLITE_H

#include <sqlite3.h>

#include "job/db.h"

/* Of the tables; kept in the database's user_version. */
#define LT_SQLITE_VERSION 2

/* "LTbn", by which a database is known to be this program's. */
#define LT_SQLITE_APPLICATION 0x4c54626e

/* The statements that are kept prepared. */
enum lt_query {
	LT_QUERY_BEGIN,
	LT_QUERY_COMMIT,
	LT_QUERY_ABANDON,
	LT_QUERY_DATA_VERSION,
	LT_QUERY_JOBS,
	LT_QUERY_OPEN_JOB,
	LT_QUERY_NEW_JOB,
	LT_QUERY_ORIGIN,
	LT_QUERY_STATION,
	LT_QUERY_END,
	LT_QUERY_APPEND,
	LT_QUERY_CLOSE_JOB,
	LT_QUERY_EVENTS,
	LT_QUERY_COUNT
};

struct lt_sqlite {
	sqlite3 *db;
	char *path;
	sqlite3_stmt *queries[LT_QUERY_COUNT];
	unsigned long long data_version; /* when it was last asked what changed */
};

/* Prepares the statements, and makes it the store `out`. */
bool lt_sqlite_prepare(struct lt_job_db *out, struct lt_sqlite *sqlite, struct lt_diags *diags);
/* Closes it, whatever of it was opened. */
void lt_sqlite_close(void *data);

/* Says what went wrong with a result code of SQLite's, and what to do. Returns false. */
bool lt_sqlite_fail(const struct lt_sqlite *sqlite, int result, struct lt_diags *diags);
/* Says that what is in the database cannot be. Returns false. */
bool lt_sqlite_damaged(const char *path, struct lt_diags *diags, const char *what);

/* The first row that a PRAGMA or SELECT gives; to be finalized either way. */
bool lt_sqlite_ask(sqlite3_stmt **row, const struct lt_sqlite *sqlite, const char *statement,
	struct lt_diags *diags);
/* The number in it. */
bool lt_sqlite_number(long long *out, const struct lt_sqlite *sqlite, const char *statement,
	struct lt_diags *diags);

/* Runs SQL that takes nothing and gives nothing. */
bool lt_sqlite_execute(const struct lt_sqlite *sqlite, const char *statements,
	struct lt_diags *diags);

/* The SQL that takes a database from the version that is its index to a later one, all that there
 * is up to LT_SQLITE_VERSION. It sets user_version itself, so that no SQL is ever put together from
 * pieces. */
extern const char *const lt_sqlite_steps[LT_SQLITE_VERSION];

/* Brings a database that is empty or this program's up to version `count`, all steps in one
 * transaction; nothing is changed when one fails, or when it is there already. */
bool lt_sqlite_migrate(struct lt_sqlite *sqlite, const char *const *steps, int count,
	struct lt_diags *diags);

#endif
