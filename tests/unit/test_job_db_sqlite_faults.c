/* The store of jobs in SQLite where things go wrong: files that are refused untouched, damage,
 * a program that is killed, a disk that is full or may not be written. */
#include "unit.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "job/db_sqlite.h"
#include "job_db_fixture.h"

static void write_bytes(const char *path, const char *bytes, size_t length)
{
	FILE *stream = fopen(path, "wb");
	assert_non_null(stream);
	assert_int_equal(fwrite(bytes, 1, length, stream), length);
	assert_int_equal(fclose(stream), 0);
}

static void execute(const char *path, const char *sql)
{
	sqlite3 *db;
	assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
	char *why = NULL;
	if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", sql, why);
	sqlite3_close(db);
}

static void test_files_that_are_refused(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	/* Not there, and not to be made. */
	assert_null(lt_job_db_open("none.db", false, &diags));
	assert_error(&diags, "none.db", "does not exist");
	assert_int_equal(access("none.db", F_OK), -1);
	assert_null(lt_job_db_open("no-folder/none.db", true, &diags));
	assert_error(&diags, "no-folder/none.db", "cannot be opened");

	/* An empty file may become one. */
	write_plain("empty.db", "");
	assert_null(lt_job_db_open("empty.db", false, &diags));
	assert_error(&diags, "empty.db", "is empty");
	lt_job_db_close(open_job_db("empty.db"));

	/* No plain file. */
	assert_int_equal(mkdir("folder.db", 0700), 0);
	assert_int_equal(mkfifo("fifo.db", 0600), 0);
	assert_int_equal(symlink("nowhere", "dangling.db"), 0);
	assert_int_equal(symlink("fifo.db", "link.db"), 0);
	static const struct {
		const char *path, *words;
	} rows[] = {
		{ "folder.db", "not a plain file" },
		{ "fifo.db", "not a plain file" },
		{ "link.db", "not a plain file" },
		{ "/dev/null", "not a plain file" },
		{ "dangling.db", "cannot be opened" },
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		assert_null(lt_job_db_open(rows[i].path, true, &diags));
		assert_error(&diags, rows[i].path, rows[i].words);
	}
	assert_int_equal(access("nowhere", F_OK), -1);

	/* No database, a short one, one of another program, a newer one, one without a version. */
	write_plain("words.db", "harness: GH7\n");
	assert_refused("words.db", "is not a database");
	char zeros[200] = "";
	write_bytes("zeros.db", zeros, sizeof(zeros));
	assert_refused("zeros.db", "is not a database");
	write_plain("short.db", "SQLite format 3");
	assert_refused("short.db", "another program");
	execute("other.db", "CREATE TABLE job (id); INSERT INTO job VALUES (7)");
	assert_refused("other.db", "another program");
	execute("wal.db", "PRAGMA journal_mode = WAL; CREATE TABLE job (id)");
	assert_refused("wal.db", "another program");
	lt_job_db_close(open_job_db("newer.db"));
	execute("newer.db", "PRAGMA user_version = 3");
	assert_refused("newer.db", "newer loomtag");
	execute("newer.db", "PRAGMA user_version = 0");
	assert_refused("newer.db", "is damaged");
	execute("newer.db", "PRAGMA user_version = -3");
	assert_refused("newer.db", "is damaged");
	/* Turned by another program to a journal of another kind, it is one file again afterwards.
	 */
	lt_job_db_close(open_job_db("turned.db"));
	execute("turned.db", "PRAGMA journal_mode = WAL");
	lt_job_db_close(open_job_db("turned.db"));
	assert_int_equal(access("turned.db-wal", F_OK), -1);
	size_t length;
	char *bytes = read_bytes("turned.db", &length);
	assert_int_equal(bytes[18], 1); /* not 2, which is WAL, in the file's header */
	free(bytes);
	lt_job_db_close(open_job_db("torn.db"));
	execute("torn.db", "DROP TABLE event");
	assert_refused("torn.db", "is damaged");
}

/* Pages overwritten in part: either it is refused untouched, or what is read is as it was, or the
 * chain of digests shows the first event that is not. */
static void test_damaged(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("damaged.db");
	const unsigned long long id = new_job(job_db, &lamp);
	struct lt_diags diags = { 0 };
	assert_true(lt_job_db_begin(job_db, &diags));
	for (int i = 0; i < 300; i++) {
		struct lt_job_event event = scan_of(1700000001000 + i, 1);
		assert_true(lt_job_db_append(job_db, id, &event, &diags));
	}
	assert_true(lt_job_db_commit(job_db, &diags));
	lt_job_db_close(job_db);
	size_t length;
	char *whole = read_bytes("damaged.db", &length);
	assert_true(length > 10 * 4096);

	/* Cut short, and a page of nonsense in every place. */
	write_bytes("damaged.db", whole, length - 4096);
	assert_refused("damaged.db", "is damaged");
	size_t refused = 0, pages = 0, shown = 0;
	char *bent = lt_alloc(length);
	for (size_t page = 4096; page < length; page += 4096) {
		memcpy(bent, whole, length);
		for (size_t i = 0; i < 64; i++)
			bent[page + i] = (char)(bent[page + i] ^ (int)(0x55 + i));
		write_bytes("damaged.db", bent, length);
		assert_refused("damaged.db", "is damaged");
		refused++;
		pages++;
	}
	assert_int_equal(refused, pages);

	/* One byte anywhere: a third of them are letters of an event, which no check of the file
	 * itself can miss; the chain does not. */
	srand(5);
	for (int round = 0; round < 150; round++) {
		memcpy(bent, whole, length);
		const size_t at = 4096 + (size_t)rand() % (length - 4096);
		bent[at] = (char)(bent[at] ^ 1 << rand() % 8);
		write_bytes("damaged.db", bent, length);
		job_db = lt_job_db_open("damaged.db", false, &diags);
		if (job_db == NULL) {
			assert_true(diags.errors > 0);
			shown++;
		} else {
			struct lt_arena arena = { 0 };
			struct lt_job job;
			struct lt_job_event *events;
			size_t count = 0;
			const bool read =
				lt_job_db_job(&job, job_db, id, &arena, &diags) &&
				lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags);
			const size_t fit = read ? lt_job_digest_check(&job, events, count) : 0;
			if (!read || count != 301 || fit != count)
				shown++;
			/* What fits the chain is what was written. */
			for (size_t i = 1; i < fit; i++) {
				assert_true(events[i].at == 1700000000999 + (long long)i);
				assert_string_equal(events[i].verdict, "half");
			}
			lt_arena_finish(&arena);
		}
		lt_job_db_close(job_db);
		lt_diags_finish(&diags);
		lt_diags_init(&diags);
	}
	assert_true(shown > 50);
	free(bent);
	free(whole);
}

/* Appends for ever, and tells each id once it is committed. */
static void append_until_killed(const char *path, int tell)
{
	struct lt_diags diags = { 0 };
	struct lt_job_db *job_db = lt_job_db_open(path, false, &diags);
	if (job_db == NULL)
		_exit(1);
	for (long long at = 1;; at++) {
		const unsigned long long id = keep(job_db, 1, scan_of(at, 1));
		if (id == 0 || write(tell, &id, sizeof(id)) != sizeof(id))
			_exit(1);
	}
}

/* Killed at random moments: what was answered is there, and the file is whole. This tests the
 * program, not the disk: what the system was given is written whoever is killed; a power cut is
 * another matter. */
static void test_killed(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("killed.db");
	new_job(job_db, &lamp);
	lt_job_db_close(job_db);
	unsigned long long last = 0;
	size_t answered = 1, halfway = 0;
	srand((unsigned)time(NULL));
	for (int round = 0; round < 30; round++) {
		int ends[2];
		assert_int_equal(pipe(ends), 0);
		pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0) {
			close(ends[0]);
			append_until_killed("killed.db", ends[1]);
		}
		close(ends[1]);
		unsigned long long id;
		/* It is at work; then the axe falls some time within the next few events. */
		assert_int_equal(read(ends[0], &id, sizeof(id)), sizeof(id));
		assert_true(id > last);
		last = id;
		answered++;
		nanosleep(&(struct timespec){ .tv_nsec = rand() % 20000000 }, NULL);
		assert_int_equal(kill(child, SIGKILL), 0);
		int status;
		assert_int_equal(waitpid(child, &status, 0), child);
		assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
		while (read(ends[0], &id, sizeof(id)) == sizeof(id)) {
			assert_true(id > last);
			last = id;
			answered++;
		}
		close(ends[0]);

		if (access("killed.db-journal", F_OK) == 0)
			halfway++;
		struct lt_diags diags = { 0 };
		struct lt_arena arena = { 0 };
		struct lt_job_event *events;
		size_t count;
		job_db = open_job_db("killed.db");
		assert_true(lt_job_db_events(&events, &count, job_db, 1, 0, &arena, &diags));
		/* One more may have been committed than the child came to tell of. */
		assert_true(count == answered || count == answered + 1);
		assert_true(events[answered - 1].id == last);
		answered = count;
		last = events[count - 1].id;
		assert_int_equal(check_chain(job_db, 1), count);
		long long fine;
		assert_true(lt_sqlite_number(&fine, job_db->data,
			"SELECT count(*) FROM pragma_integrity_check WHERE integrity_check = 'ok'",
			&diags));
		assert_int_equal(fine, 1);
		lt_arena_finish(&arena);
		lt_job_db_close(job_db);
	}
	/* Some were killed within a transaction, or this would have tested nothing. */
	assert_true(halfway > 0);
}

static void test_full_disk(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("full.db");
	const unsigned long long id = new_job(job_db, &lamp);
	/* As large as it may become, by SQLite's own limit: the same answer as of a full disk. */
	struct lt_diags diags = { 0 };
	assert_int_equal(sqlite3_exec(((const struct lt_sqlite *)job_db->data)->db,
				 "PRAGMA max_page_count = 1", NULL, NULL, NULL),
		SQLITE_OK);
	assert_true(lt_job_db_begin(job_db, &diags));
	bool good = true;
	size_t kept = 0;
	for (; good && kept < 1000; kept++) {
		struct lt_job_event event = scan_of(5, 1);
		good = lt_job_db_append(job_db, id, &event, &diags);
	}
	assert_false(good);
	assert_error(&diags, "full.db", "the disk is full");
	lt_job_db_abandon(job_db);
	assert_int_equal(check_chain(job_db, id), 1);
	lt_job_db_close(job_db);
}

/* As one who may not write: nobody, where the tests are run by root, whom nothing is forbidden. */
static int without_writing(void)
{
	if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0))
		return 1;
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job *jobs;
	size_t count;
	/* The folder, for a new one. */
	if (lt_job_db_open("closed/new.db", true, &diags) != NULL)
		return 2;
	if (strstr(diags.items[0].message, "cannot be opened: Permission denied") == NULL) {
		lt_diags_print(&diags, 0, stderr, false);
		return 3;
	}
	/* The file: it can be looked at, and that is all. */
	if (lt_job_db_open("closed/file.db", true, &diags) != NULL)
		return 4;
	if (strstr(diags.items[1].message, "read-only") == NULL)
		return 5;
	struct lt_job_db *job_db = lt_job_db_open("closed/file.db", false, &diags);
	if (job_db == NULL || !lt_job_db_jobs(&jobs, &count, job_db, NULL, &arena, &diags) ||
		count != 1)
		return 6;
	if (lt_job_db_begin(job_db, &diags) || diags.errors != 3)
		return 7;
	lt_job_db_close(job_db);
	/* The folder alone: there is no room for the journal. */
	job_db = lt_job_db_open("closed/open.db", false, &diags);
	struct lt_job_event event = scan_of(5, 1);
	if (job_db == NULL)
		return 8;
	if (lt_job_db_begin(job_db, &diags) && lt_job_db_append(job_db, 1, &event, &diags) &&
		lt_job_db_commit(job_db, &diags))
		return 9;
	if (diags.errors != 4 || strstr(diags.items[3].message, "its folder is read-only") == NULL)
		return 10;
	lt_job_db_abandon(job_db);
	lt_job_db_close(job_db);
	/* One that may not even be read. */
	if (lt_job_db_open("closed/secret.db", false, &diags) != NULL ||
		strstr(diags.items[4].message, "Permission denied") == NULL)
		return 11;
	return 0;
}

static void test_may_only_be_read(void **state)
{
	(void)state;
	static const char *const paths[] = { "closed/file.db", "closed/open.db",
		"closed/secret.db" };
	static const mode_t modes[] = { 0444, 0666, 0 };
	assert_int_equal(mkdir("closed", 0755), 0);
	for (size_t i = 0; i < COUNT(paths); i++) {
		struct lt_job_db *job_db = open_job_db(paths[i]);
		new_job(job_db, &lamp);
		lt_job_db_close(job_db);
		assert_int_equal(chmod(paths[i], modes[i]), 0);
	}
	assert_int_equal(chmod(".", 0755), 0);
	assert_int_equal(chmod("closed", 0555), 0);
	pid_t child = fork();
	if (child == 0)
		_exit(without_writing());
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_int_equal(chmod("closed", 0755), 0);
	assert_true(WIFEXITED(status));
	assert_int_equal(WEXITSTATUS(status), 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_files_that_are_refused),
		cmocka_unit_test(test_damaged),
		cmocka_unit_test(test_killed),
		cmocka_unit_test(test_full_disk),
		cmocka_unit_test(test_may_only_be_read),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
