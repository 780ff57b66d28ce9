/* A store that is replaced by an older copy or removed while a job is worked on: nothing more is
 * answered or appended. And a store whose open job was changed: it can be closed, but not
 * continued. */
#include "unit.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fixture.h"
#include "job_db_fixture.h"
#include "loomtag/job.h"

static const char RAIL[] = "harness: GH7\n"
			   "unit: \"0042\"\n"
			   "connectors:\n"
			   "  - {id: X1, name: lamp power, ways: 3, family: big}\n"
			   "  - {id: X2, name: fan power, ways: 2, family: small}\n"
			   "finish:\n"
			   "  - Nothing pinched\n";

static struct lt_work *open_work(const struct fixture *fixture, const char *db)
{
	struct lt_diags diags = { 0 };
	const struct lt_work_options options = { .db = db };
	struct lt_work *work = lt_work_open(&fixture->tags, &options, "Bo", &diags);
	assert_non_null(work);
	assert_int_equal(diags.count, 0);
	return work;
}

static void scan(struct lt_work *work, const char *code)
{
	struct lt_diags diags = { 0 };
	struct lt_answer answer;
	bool taken;
	assert_true(lt_work_scan(work, &taken, &answer, code, strlen(code), &diags));
	assert_true(taken);
	assert_int_equal(diags.count, 0);
}

static void scan_tag(struct lt_work *work, unsigned number, enum lt_side side)
{
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, number, side, "GH7U0042");
	scan(work, code);
}

static void write_file(const char *path, const char *bytes, size_t length)
{
	FILE *stream = fopen(path, "wb");
	assert_non_null(stream);
	assert_int_equal(fwrite(bytes, 1, length, stream), length);
	assert_int_equal(fclose(stream), 0);
}

/* What is asked of the work. */
static bool ask_scan(struct lt_work *work, struct lt_diags *diags)
{
	struct lt_answer answer;
	bool taken;
	return lt_work_scan(work, &taken, &answer, "1HGH7U0042G", 11, diags);
}

static bool ask_answer(struct lt_work *work, struct lt_diags *diags)
{
	unsigned no = 0;
	const bool good = lt_work_answer(&no, work, LT_STAGE_RECONNECT, diags);
	assert_true(good || no != 0);
	return good;
}

static bool ask_answer_of_all(struct lt_work *work, struct lt_diags *diags)
{
	unsigned no = 0;
	const bool good = lt_work_answer(&no, work, LT_STAGE_COUNT, diags);
	assert_true(good || no != 0);
	return good;
}

static bool ask_finish(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_finish(work, NULL, diags);
}

static bool ask_close(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_finish(work, "lamp is broken", diags);
}

static bool ask_begin(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_begin(work, diags);
}

static bool ask_skip(struct lt_work *work, struct lt_diags *diags)
{
	bool done;
	return lt_work_skip(work, &done, 2, "no room", diags);
}

static bool ask_undo(struct lt_work *work, struct lt_diags *diags)
{
	bool done;
	size_t undone;
	return lt_work_undo(work, &done, &undone, diags);
}

static bool ask_stage(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_stage(work, LT_STAGE_FINISH, "in a hurry", diags);
}

static bool ask_tick(struct lt_work *work, struct lt_diags *diags)
{
	bool done;
	return lt_work_tick(work, &done, 0, diags);
}

static bool ask_confirm(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_confirm(work, "mains", diags);
}

static bool ask_picture(struct lt_work *work, struct lt_diags *diags)
{
	return lt_work_picture(work, "a.jpg", diags);
}

static bool (*const requests[])(struct lt_work *work, struct lt_diags *diags) = {
	ask_scan,
	ask_answer,
	ask_answer_of_all,
	ask_finish,
	ask_close,
	ask_begin,
	ask_skip,
	ask_undo,
	ask_stage,
	ask_tick,
	ask_confirm,
	ask_picture,
};

/* What was done to the file. */
static void copy_over(const char *older, size_t length)
{
	write_file("jobs.db", older, length);
}

/* As if SQLite had seen each change of it: its counter of changes, and the version it is valid
 * for (https://www.sqlite.org/fileformat.html 1.3). */
static void copy_over_unnoticed(const char *older, size_t length)
{
	size_t now_length;
	char *now = read_bytes("jobs.db", &now_length);
	char *bent = lt_alloc(length);
	memcpy(bent, older, length);
	assert_int_equal(now_length, length);
	/* The rest by which SQLite knows a file again is the same anyway. */
	assert_memory_equal(bent + 28, now + 28, 12);
	assert_memory_not_equal(bent + 24, now + 24, 4);
	memcpy(bent + 24, now + 24, 4);
	memcpy(bent + 92, now + 92, 4);
	write_file("jobs.db", bent, length);
	free(bent);
	free(now);
}

static void replace(const char *older, size_t length)
{
	write_file("other.db", older, length);
	assert_int_equal(rename("other.db", "jobs.db"), 0);
}

static void take_away(const char *older, size_t length)
{
	(void)older;
	(void)length;
	assert_int_equal(unlink("jobs.db"), 0);
}

/* Somebody went on with the older one: as many events, and others. */
static void copy_and_go_on(const char *older, size_t length)
{
	copy_over(older, length);
	struct lt_job_db *job_db = open_job_db("jobs.db");
	for (int i = 0; i < 9; i++)
		assert_true(keep(job_db, 1, scan_of(1700000000000, 3)) != 0);
	lt_job_db_close(job_db);
}

static void copy_another(const char *older, size_t length)
{
	(void)older;
	(void)length;
	struct lt_job_db *job_db = open_job_db("another.db");
	size_t other_length;
	new_job(job_db, &lamp);
	lt_job_db_close(job_db);
	char *other = read_bytes("another.db", &other_length);
	write_file("jobs.db", other, other_length);
	free(other);
	assert_int_equal(unlink("another.db"), 0);
}

static const struct {
	void (*act)(const char *older, size_t length);
	const char *words;
} deeds[] = {
	{ copy_over, "was replaced while it was in use: job 1 " },
	{ copy_over_unnoticed, "was replaced while it was in use: job 1 " },
	{ copy_and_go_on, "was replaced while it was in use: job 1 " },
	{ copy_another, "was replaced while it was in use: job 1 " },
	{ replace, "was moved or deleted while it was in use" },
	{ take_away, "was moved or deleted while it was in use" },
};

/* The file's bytes; NULL where there is none. */
static char *look(size_t *length)
{
	*length = 0;
	return access("jobs.db", F_OK) == 0 ? read_bytes("jobs.db", length) : NULL;
}

static void assert_same(char *before, size_t length)
{
	size_t now;
	char *after = look(&now);
	assert_int_equal(now, length);
	if (before != NULL)
		assert_memory_equal(after, before, length);
	assert_int_equal(access("jobs.db-journal", F_OK), -1);
	free(after);
}

static void try(const struct fixture *fixture, size_t deed, size_t request)
{
	struct lt_diags diags = { 0 };
	size_t length, count;
	struct lt_work *work = open_work(fixture, "jobs.db");
	assert_true(lt_work_begin(work, &diags));
	scan_tag(work, 1, LT_SIDE_H);
	char *older = read_bytes("jobs.db", &length);
	scan_tag(work, 1, LT_SIDE_M);
	scan_tag(work, 2, LT_SIDE_H);
	scan_tag(work, 2, LT_SIDE_M);
	unsigned no;
	assert_true(lt_work_answer(&no, work, LT_STAGE_RECONNECT, &diags));
	assert_int_equal(no, 0);
	(void)lt_work_events(work, &count);
	deeds[deed].act(older, length);
	free(older);

	char *before = look(&length);
	/* Asked again, it says the same. */
	for (int i = 0; i < 2; i++) {
		if (requests[request](work, &diags))
			fail_msg("request %zu was taken after deed %zu", request, deed);
		assert_error(&diags, "jobs.db", deeds[deed].words);
		assert_same(before, length);
	}
	size_t after;
	(void)lt_work_events(work, &after);
	assert_int_equal(after, count);
	assert_false(lt_job_state_closed(lt_work_state(work)));
	free(before);
	lt_work_close(work);
	(void)unlink("jobs.db");
}

static void nothing_more_is_accepted(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	for (size_t deed = 0; deed < COUNT(deeds); deed++)
		for (size_t request = 0; request < COUNT(requests); request++)
			try(&fixture, deed, request);
	fixture_finish(&fixture);
}

/* Emptied, or overwritten with something else: whatever is said, nothing is taken. */
static void an_invalid_file_is_refused(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	for (int i = 0; i < 2; i++) {
		for (size_t request = 0; request < COUNT(requests); request++) {
			struct lt_diags diags = { 0 };
			struct lt_work *work = open_work(&fixture, "jobs.db");
			assert_true(lt_work_begin(work, &diags));
			scan_tag(work, 1, LT_SIDE_H);
			char words[8192] = "harness: GH7\n";
			write_file("jobs.db", words, i == 0 ? 0 : sizeof(words));
			assert_false(requests[request](work, &diags));
			assert_true(diags.errors > 0);
			assert_non_null(diags.items[0].hint);
			assert_same(words, i == 0 ? 0 : sizeof(words));
			lt_diags_finish(&diags);
			lt_work_close(work);
			assert_int_equal(unlink("jobs.db"), 0);
		}
	}
	fixture_finish(&fixture);
}

/* The question itself, of the store. */
static void an_older_copy_lacks_the_last_event(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count, length;
	struct lt_job_db *job_db = open_job_db("jobs.db");
	const unsigned long long id = new_job(job_db, &lamp);
	assert_true(keep(job_db, id, scan_of(1700000001000, 1)) != 0);
	char *older = read_bytes("jobs.db", &length);
	assert_true(keep(job_db, id, scan_of(1700000002000, 1)) != 0);
	assert_true(lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags));
	assert_true(lt_job_db_still_has(job_db, id, 3, events[2].digest, &diags));
	copy_over_unnoticed(older, length);
	assert_false(lt_job_db_still_has(job_db, id, 3, events[2].digest, &diags));
	assert_error(&diags, "jobs.db", "was replaced");
	assert_true(lt_job_db_still_has(job_db, id, 2, events[1].digest, &diags));
	free(older);
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
	assert_int_equal(unlink("jobs.db"), 0);
}

/* One that was changed is not gone on with, but can be ended, and another begun. */
static void a_changed_job_can_be_closed(void **state)
{
	(void)state;
	static const char *const changes[] = {
		"DROP TRIGGER event_stays; UPDATE event SET verdict = 'mated' WHERE seq = 3",
		"DROP TRIGGER event_is_kept; DELETE FROM event WHERE seq = 4",
		"DROP TRIGGER event_stays; UPDATE event SET kind = 'confirm' WHERE seq = 3",
	};
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	for (size_t i = 0; i < COUNT(changes); i++) {
		struct lt_diags diags = { 0 };
		struct lt_work_options options = { .db = "jobs.db" };
		struct lt_work *work = open_work(&fixture, "jobs.db");
		assert_true(lt_work_begin(work, &diags));
		scan_tag(work, 1, LT_SIDE_H);
		scan_tag(work, 1, LT_SIDE_M);
		lt_work_close(work);
		sqlite3 *db;
		assert_int_equal(sqlite3_open("jobs.db", &db), SQLITE_OK);
		assert_int_equal(sqlite3_exec(db, changes[i], NULL, NULL, NULL), SQLITE_OK);
		sqlite3_close(db);

		assert_null(lt_work_open(&fixture.tags, &options, "Bo", &diags));
		assert_error(&diags, "jobs.db", "was changed after it was recorded");
		options.new_job = true;
		work = lt_work_open(&fixture.tags, &options, "Bo", &diags);
		assert_non_null(work);
		assert_true(lt_work_has_job(work));
		assert_true(lt_work_begin(work, &diags));
		assert_int_equal(diags.errors, 0);
		assert_int_equal(diags.count, 1);
		assert_int_equal(diags.items[0].severity, LT_WARNING);
		assert_non_null(strstr(diags.items[0].message, "job 1 of GH7U0042 was open"));
		assert_int_equal(lt_work_job(work), 2);
		scan_tag(work, 1, LT_SIDE_H);
		scan_tag(work, 1, LT_SIDE_M);
		lt_work_close(work);
		/* What was changed shows still. */
		struct lt_job_db *store = open_job_db("jobs.db");
		lt_diags_finish(&diags);
		lt_diags_init(&diags);
		assert_false(lt_job_db_sound(store, 1, &diags));
		lt_diags_finish(&diags);
		assert_int_equal(check_chain(store, 2), 4);
		lt_job_db_close(store);
		assert_int_equal(unlink("jobs.db"), 0);
	}
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(nothing_more_is_accepted),
		cmocka_unit_test(an_invalid_file_is_refused),
		cmocka_unit_test(an_older_copy_lacks_the_last_event),
		cmocka_unit_test(a_changed_job_can_be_closed),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
