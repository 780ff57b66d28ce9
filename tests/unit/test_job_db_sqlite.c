/* The store of jobs in SQLite: what every store does, and its rules, names, locks and versions. */
#include "unit.h"

#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "job/db_sqlite.h"
#include "store_conformance.h"

static sqlite3 *connection(const struct lt_job_db *job_db)
{
	return ((const struct lt_sqlite *)job_db->data)->db;
}

/* No program can change what was recorded, short of taking the rules out first. */
static void test_other_programs_cannot_change_events(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("rules.db");
	struct lt_job_event event = scan_of(1700000003000, 1);
	const unsigned long long id = new_job(job_db, &lamp);
	event.kind = LT_JOB_CLOSED;
	assert_true(keep(job_db, id, event) != 0);
	new_job(job_db, &lamp);
	lt_job_db_close(job_db);
	static const char *const changes[] = {
		"UPDATE event SET verdict = 'mated'",
		"DELETE FROM event WHERE id = 1",
		"DELETE FROM job",
		"UPDATE job SET title = 'another'",
		"UPDATE job SET closed = 0",
		"UPDATE job SET origin = 9",
		"UPDATE job SET origin = NULL",
		/* Nor put one between others, or behind a gap. */
		"INSERT INTO event SELECT job, 1, id, at, who, station, kind, stage, text, tag, verdict,"
		" number, typed, digest FROM event WHERE job = 2",
		"INSERT INTO event SELECT job, 7, id, at, who, station, kind, stage, text, tag, verdict,"
		" number, typed, digest FROM event WHERE job = 2",
		/* Nor behind the end of what is closed. */
		"INSERT INTO event SELECT job, seq + 2, id, at, who, station, kind, stage, text, tag,"
		" verdict, number, typed, digest FROM event WHERE job = 1 AND seq = 1",
	};
	sqlite3 *db;
	assert_int_equal(sqlite3_open("rules.db", &db), SQLITE_OK);
	for (size_t i = 0; i < COUNT(changes); i++)
		if (sqlite3_exec(db, changes[i], NULL, NULL, NULL) != SQLITE_CONSTRAINT)
			fail_msg("taken: %s", changes[i]);
	sqlite3_close(db);
}

static void test_special_names_are_plain_files(void **state)
{
	(void)state;
	static const char *const names[] = { ":memory:", "file:x.db?mode=memory", "a b#c%41?d.db",
		"Käse.db" };
	for (size_t i = 0; i < COUNT(names); i++) {
		struct lt_job_db *job_db = open_job_db(names[i]);
		new_job(job_db, &lamp);
		lt_job_db_close(job_db);
		assert_int_equal(access(names[i], F_OK), 0);
	}
	char path[128];
	snprintf(path, sizeof(path), "/%s/absolute.db", folder);
	lt_job_db_close(open_job_db(path));
	assert_int_equal(access("absolute.db", F_OK), 0);
	/* Behind a link to a plain file it is the file that is used. */
	assert_int_equal(symlink("absolute.db", "linked.db"), 0);
	struct lt_job_db *job_db = open_job_db("linked.db");
	new_job(job_db, &lamp);
	lt_job_db_close(job_db);
	job_db = open_job_db("absolute.db");
	assert_int_equal(check_chain(job_db, 1), 1);
	lt_job_db_close(job_db);
}

/* What a program does that sets itself above the triggers. */
static void overrule(struct lt_job_db *job_db, const char *statements)
{
	char *why = NULL;
	if (sqlite3_exec(connection(job_db), statements, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", statements, why);
}

static void test_missing_last_events_are_found(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("cut.db");
	const unsigned long long id = new_job(job_db, &lamp);
	for (int i = 0; i < 9; i++)
		assert_true(keep(job_db, id, scan_of(1700000001000 + i, 1)) != 0);
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	assert_true(lt_job_db_sound(job_db, id, &diags));
	assert_true(lt_job_db_job(&job, job_db, id, &arena, &diags));
	assert_int_equal(job.counted, 10);
	assert_int_equal(lt_job_events_missing(&job, 10), 0);
	assert_int_equal(lt_job_events_missing(&job, 11), 0);
	assert_int_equal(lt_job_events_missing(&job, 7), 3);

	/* The count only goes up, one at a time. */
	static const char *const refused[] = {
		"UPDATE job SET events = 9",
		"UPDATE job SET events = 10",
		"UPDATE job SET events = 12",
	};
	for (size_t i = 0; i < COUNT(refused); i++)
		assert_int_equal(sqlite3_exec(connection(job_db), refused[i], NULL, NULL, NULL) &
					 0xFF,
			SQLITE_CONSTRAINT);

	overrule(job_db, "DROP TRIGGER event_is_kept; DELETE FROM event WHERE id > 8");
	assert_false(lt_job_db_sound(job_db, id, &diags));
	assert_error(&diags, "cut.db", "the last 2 of 10 events");
	overrule(job_db, "DROP TRIGGER event_stays; UPDATE event SET who = 'Bob' WHERE id = 3");
	assert_false(lt_job_db_sound(job_db, id, &diags));
	assert_error(&diags, "cut.db", "event 3 of 8 (id 3)");
	overrule(job_db, "DELETE FROM event");
	assert_false(lt_job_db_sound(job_db, id, &diags));
	assert_error(&diags, "cut.db", "all events of job 1 ");
	assert_false(lt_job_db_sound(job_db, 5, &diags));
	assert_error(&diags, "cut.db", "no job 5");
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
}

static void test_steps_between_versions(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("steps.db");
	const unsigned long long id = new_job(job_db, &lamp);
	struct lt_diags diags = { 0 };
	long long version;
	static const char *const broken[] = {
		"SELECT RAISE(ABORT, 'never run again')",
		"SELECT RAISE(ABORT, 'never run again')",
		"ALTER TABLE job ADD COLUMN place TEXT; PRAGMA user_version = 3",
		"CREATE TABLE shelf (id); CREATE TABLE shelf (id); PRAGMA user_version = 4",
	};
	static const char *const forgetful[] = {
		"",
		"",
		"ALTER TABLE job ADD COLUMN place TEXT",
	};
	/* Nothing of it when one step fails, or does not raise the version. */
	assert_false(lt_sqlite_migrate(job_db->data, broken, 4, &diags));
	assert_error(&diags, "steps.db", "shelf");
	assert_false(lt_sqlite_migrate(job_db->data, forgetful, 3, &diags));
	assert_int_equal(diags.errors, 1);
	lt_diags_finish(&diags);
	lt_diags_init(&diags);
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA user_version", &diags));
	assert_int_equal(version, 2);
	assert_true(lt_sqlite_number(&version, job_db->data,
		"SELECT count(*) FROM pragma_table_info('job') WHERE name = 'place'", &diags));
	assert_int_equal(version, 0);
	assert_int_equal(check_chain(job_db, id), 1);
	/* From 2 to 3, with what was there kept; and none is taken twice. */
	for (int i = 0; i < 2; i++)
		assert_true(lt_sqlite_migrate(job_db->data, broken, 3, &diags));
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA user_version", &diags));
	assert_int_equal(version, 3);
	assert_true(lt_sqlite_number(&version, job_db->data,
		"SELECT count(*) FROM pragma_table_info('job') WHERE name = 'place'", &diags));
	assert_int_equal(version, 1);
	assert_int_equal(check_chain(job_db, id), 1);
	/* Never back. */
	assert_false(lt_sqlite_migrate(job_db->data, broken, 2, &diags));
	assert_error(&diags, "steps.db", "version 3, not 2");
	lt_job_db_close(job_db);
	assert_refused("steps.db", "newer loomtag");
	/* From nothing, the way every new database goes. */
	job_db = open_job_db("made.db");
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA user_version", &diags));
	assert_int_equal(version, LT_SQLITE_VERSION);
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA application_id", &diags));
	assert_int_equal(version, LT_SQLITE_APPLICATION);
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA synchronous", &diags));
	assert_true(version >= 2); /* FULL or more */
	assert_true(lt_sqlite_number(&version, job_db->data, "PRAGMA foreign_keys", &diags));
	assert_int_equal(version, 1);
	assert_int_equal(diags.count, 0);
	lt_job_db_close(job_db);
}

/* Whoever reads the file finds the texts of events as bytes. */
static void test_texts_are_blobs(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("blobs.db");
	struct lt_diags diags = { 0 };
	long long blobs;
	const unsigned long long id = new_job(job_db, &lamp);
	assert_true(keep(job_db, id, scan_of(1700000001000, 1)) != 0);
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.text = NULL;
	assert_true(keep(job_db, id, event) != 0);
	assert_true(lt_sqlite_number(&blobs, job_db->data,
		"SELECT count(*) FROM event WHERE typeof(text) = 'blob'", &diags));
	assert_int_equal(blobs, 2);
	lt_job_db_close(job_db);
}

/* Opening the file once more looks at it without taking away a lock that is held. */
static void test_a_lock_is_kept(void **state)
{
	(void)state;
	struct lt_job_db *job_db = open_job_db("lock.db");
	struct lt_diags diags = { 0 };
	new_job(job_db, &lamp);
	assert_true(lt_job_db_begin(job_db, &diags));
	lt_job_db_close(open_job_db("lock.db"));
	pid_t child = fork();
	if (child == 0) {
		/* Another process: locks of one process are no hindrance to itself. */
		struct lt_job_db *third = lt_job_db_open("lock.db", false, &diags);
		if (third == NULL)
			_exit(2);
		sqlite3_busy_timeout(connection(third), 50);
		if (lt_job_db_begin(third, &diags))
			_exit(3);
		_exit(strstr(diags.items[0].message, "is in use") != NULL ? 0 : 4);
	}
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_int_equal(status, 0);
	lt_job_db_abandon(job_db);
	lt_job_db_close(job_db);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_other_programs_cannot_change_events),
		cmocka_unit_test(test_special_names_are_plain_files),
		cmocka_unit_test(test_missing_last_events_are_found),
		cmocka_unit_test(test_steps_between_versions),
		cmocka_unit_test(test_texts_are_blobs),
		cmocka_unit_test(test_a_lock_is_kept),
	};
	const int failed = run_conformance(open_job_db, enter_quick_folder, leave_folder);
	return failed + cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
