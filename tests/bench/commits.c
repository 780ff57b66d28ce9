/* One scan a commit into a new database of jobs, and in turn with it one row a commit into a bare
 * table that is kept just as safely: what the store adds to the disk's own time. Prints the
 * milliseconds of the median and of the slowest in a hundred of the store, and the median of the
 * bare table. Usage: commits FOLDER TIMES */
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "job/db.h"

static double now(void)
{
	struct timespec time;
	clock_gettime(CLOCK_MONOTONIC, &time);
	return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static int by_size(const void *a, const void *b)
{
	const double *one = a, *other = b;
	return (*one > *other) - (*one < *other);
}

static struct lt_job_db *new_job_db(const char *path, unsigned long long *id,
	struct lt_diags *diags)
{
	const struct lt_job job = { .code = "GH7U0042", .harness = "GH7", .unit = "0042" };
	const struct lt_job_event first = { .at = 1700000000000, .who = "Ada", .station = 1 };
	unlink(path);
	struct lt_job_db *job_db = lt_job_db_open(path, true, diags);
	if (job_db != NULL && lt_job_db_begin(job_db, diags) &&
		lt_job_db_new_job(id, job_db, &job, &first, diags) &&
		lt_job_db_commit(job_db, diags))
		return job_db;
	lt_job_db_close(job_db);
	return NULL;
}

static sqlite3_stmt *new_table(sqlite3 **db, const char *path)
{
	static const char rows[] = "PRAGMA journal_mode = DELETE; PRAGMA synchronous = EXTRA;"
				   "CREATE TABLE row (id INTEGER PRIMARY KEY, text TEXT)";
	sqlite3_stmt *insert = NULL;
	unlink(path);
	if (sqlite3_open(path, db) != SQLITE_OK ||
		sqlite3_exec(*db, rows, NULL, NULL, NULL) != SQLITE_OK ||
		sqlite3_prepare_v2(*db, "INSERT INTO row (text) VALUES ('12HGH7U0042K')", -1,
			&insert, NULL) != SQLITE_OK)
		return NULL;
	return insert;
}

static bool keep(struct lt_job_db *job_db, unsigned long long id, struct lt_diags *diags)
{
	struct lt_job_event scan = {
		.at = 1700000001000,
		.who = "Ada",
		.station = 1,
		.kind = LT_JOB_SCAN,
		.stage = LT_STAGE_RECONNECT,
		.text = "12HGH7U0042K",
		.tag = "12H",
		.verdict = "half",
	};
	return lt_job_db_begin(job_db, diags) && lt_job_db_append(job_db, id, &scan, diags) &&
	       lt_job_db_commit(job_db, diags);
}

/* One of each in turn, so that both meet the same disk. */
static bool measure(double *store, double *bare, size_t times, struct lt_job_db *job_db,
	unsigned long long id, sqlite3_stmt *insert, struct lt_diags *diags)
{
	for (size_t i = 0; i < times; i++) {
		double start = now();
		if (!keep(job_db, id, diags))
			return false;
		store[i] = now() - start;
		start = now();
		const int result = sqlite3_step(insert);
		sqlite3_reset(insert);
		if (result != SQLITE_DONE)
			return false;
		bare[i] = now() - start;
	}
	return true;
}

int main(int argc, char **argv)
{
	const long times = argc == 3 ? strtol(argv[2], NULL, 10) : 0;
	if (times < 1) {
		fprintf(stderr, "usage: commits FOLDER TIMES\n");
		return 2;
	}
	const size_t count = (size_t)times;
	struct lt_diags diags = { 0 };
	unsigned long long id;
	sqlite3 *db = NULL;
	char *path = lt_arena_printf(&diags.arena, "%s/commits.db", argv[1]);
	struct lt_job_db *job_db = new_job_db(path, &id, &diags);
	path = lt_arena_printf(&diags.arena, "%s/bare.db", argv[1]);
	sqlite3_stmt *insert = new_table(&db, path);
	double *store = lt_alloc_array(count, sizeof(*store));
	double *bare = lt_alloc_array(count, sizeof(*bare));
	bool good = job_db != NULL && insert != NULL &&
		    measure(store, bare, count, job_db, id, insert, &diags);
	if (good) {
		qsort(store, count, sizeof(*store), by_size);
		qsort(bare, count, sizeof(*bare), by_size);
		printf("%.2f %.2f %.2f\n", store[count / 2], store[count * 99 / 100],
			bare[count / 2]);
	}
	lt_diags_print(&diags, 0, stderr, false);
	sqlite3_finalize(insert);
	sqlite3_close(db);
	lt_job_db_close(job_db);
	lt_diags_finish(&diags);
	free(store);
	free(bare);
	return good ? 0 : 1;
}
