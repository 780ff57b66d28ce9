/* The store of jobs: what is kept, what it refuses, its digests, its versions. */
#include "unit.h"

#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "store_bench.h"

static void test_keeps(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("keeps.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job *jobs;
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_jobs(&jobs, &count, bench, NULL, &arena, &diags));
	assert_int_equal(count, 0);
	const unsigned long long id = new_job(bench, &lamp);
	struct lt_job other = { .code = "ZZ1", .harness = "ZZ1" };
	const unsigned long long second = new_job(bench, &other);
	assert_true(second > id);

	unsigned station;
	assert_true(lt_job_db_begin(bench, &diags));
	assert_true(lt_job_db_station(&station, bench, id, &diags));
	assert_int_equal(station, 2);
	assert_true(lt_job_db_station(&station, bench, id, &diags));
	assert_int_equal(station, 3);
	struct lt_job_event event = scan_of(1700000001000, station);
	assert_true(lt_job_db_append(bench, id, &event, &diags));
	assert_true(lt_job_db_commit(bench, &diags));
	event = (struct lt_job_event){
		.at = 1700000002000,
		.who = "Zoë \"); DROP TABLE job; --",
		.station = 1,
		.kind = LT_JOB_SKIP,
		.stage = LT_STAGE_RECONNECT,
		.text = "no room, 'cover' \x1b[31m",
		.number = 99999,
	};
	const unsigned long long skipped = keep(bench, id, event);
	assert_true(skipped > 0);

	lt_job_db_close(bench);
	bench = open_bench("keeps.db");
	assert_true(lt_job_db_jobs(&jobs, &count, bench, NULL, &arena, &diags));
	assert_int_equal(count, 2);
	assert_int_equal(jobs[0].id, second);
	assert_int_equal(jobs[0].origin, second);
	assert_string_equal(jobs[0].code, "ZZ1");
	assert_null(jobs[0].unit);
	assert_null(jobs[0].title);
	assert_null(jobs[0].revision);
	assert_true(lt_job_db_jobs(&jobs, &count, bench, "GH7U0042", &arena, &diags));
	assert_int_equal(count, 1);
	assert_int_equal(jobs[0].id, id);
	assert_string_equal(jobs[0].harness, "GH7");
	assert_string_equal(jobs[0].unit, "0042");
	assert_string_equal(jobs[0].title, "Glasshouse lamp rail");
	assert_string_equal(jobs[0].revision, "B");
	assert_true(jobs[0].opened == 1700000000123);
	assert_true(jobs[0].last == 1700000002000);
	assert_int_equal(jobs[0].events, 3);
	assert_int_equal(jobs[0].scans, 1);
	assert_int_equal(jobs[0].stage, LT_STAGE_RECONNECT);
	assert_false(jobs[0].closed);
	assert_true(lt_job_db_jobs(&jobs, &count, bench, "GH7", &arena, &diags));
	assert_int_equal(count, 0);

	assert_true(lt_job_db_events(&events, &count, bench, id, 0, &arena, &diags));
	assert_int_equal(count, 3);
	assert_int_equal(events[0].kind, LT_JOB_OPENED);
	assert_int_equal(events[0].stage, LT_STAGE_TAG);
	assert_string_equal(events[0].text, "Glasshouse lamp rail");
	assert_string_equal(events[1].text, "12HGH7U0042K");
	assert_string_equal(events[1].tag, "12H");
	assert_string_equal(events[1].verdict, "half");
	assert_int_equal(events[1].station, 3);
	assert_true(events[1].typed);
	assert_string_equal(events[2].who, event.who);
	assert_string_equal(events[2].text, event.text);
	assert_null(events[2].tag);
	assert_null(events[2].verdict);
	assert_int_equal(events[2].number, 99999);
	assert_false(events[2].typed);
	assert_string_equal(events[2].kind_name, "skip");
	/* Those behind the first two, however they are numbered. */
	assert_true(lt_job_db_events(&events, &count, bench, id, 2, &arena, &diags));
	assert_int_equal(count, 1);
	assert_int_equal(events[0].id, skipped);
	assert_true(lt_job_db_events(&events, &count, bench, id, 3, &arena, &diags));
	assert_int_equal(count, 0);
	assert_int_equal(check_chain(bench, id), 3);
	assert_int_equal(check_chain(bench, second), 1);
	assert_int_equal(diags.count, 0);
	lt_arena_finish(&arena);
	lt_job_db_close(bench);
	lt_job_db_close(NULL);
}

static void test_refuses_what_cannot_be(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("cannot.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	const unsigned long long id = new_job(bench, &lamp);
	unsigned long long again;
	unsigned station;
	struct lt_job_event event = scan_of(1700000001000, 1);

	/* Outside of a transaction nothing is written. */
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	assert_false(lt_job_db_new_job(&again, bench, &lamp, &begun, &diags));
	assert_false(lt_job_db_station(&station, bench, id, &diags));
	assert_false(lt_job_db_open_job(&again, bench, lamp.code, &diags));
	assert_int_equal(diags.errors, 4);
	lt_diags_finish(&diags);
	lt_diags_init(&diags);

	assert_false(lt_job_db_job(&job, bench, 77, &arena, &diags));
	assert_error(&diags, "cannot.db", "no job 77");

	assert_true(lt_job_db_begin(bench, &diags));
	assert_false(lt_job_db_new_job(&again, bench, &lamp, &begun, &diags));
	assert_error(&diags, "cannot.db", "open job of GH7U0042 already");
	assert_false(lt_job_db_append(bench, 77, &event, &diags));
	assert_error(&diags, "cannot.db", "no job 77");
	assert_false(lt_job_db_station(&station, bench, 77, &diags));
	assert_int_equal(diags.errors, 1);
	event.text = "\xff";
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	event = scan_of(-1, 1);
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	event = scan_of(1700000001000, 0);
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	event = scan_of(1700000001000, 1);
	event.who = "";
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	assert_int_equal(diags.errors, 5);
	lt_diags_finish(&diags);
	lt_diags_init(&diags);
	lt_job_db_abandon(bench);
	lt_job_db_abandon(bench);
	assert_int_equal(check_chain(bench, id), 1);

	/* Closed is closed; then there may be a new one. */
	event = scan_of(1700000003000, 1);
	event.kind = LT_JOB_CLOSED;
	event.text = "module went back to the maker";
	assert_true(keep(bench, id, event) != 0);
	assert_true(lt_job_db_job(&job, bench, id, &arena, &diags));
	assert_true(job.closed);
	assert_true(lt_job_db_begin(bench, &diags));
	event = scan_of(1700000004000, 1);
	assert_false(lt_job_db_append(bench, id, &event, &diags));
	assert_error(&diags, "cannot.db", "is closed");
	assert_true(lt_job_db_open_job(&again, bench, lamp.code, &diags));
	assert_int_equal(again, 0);
	lt_job_db_abandon(bench);
	again = new_job(bench, &lamp);
	assert_true(again > id);
	unsigned long long found;
	assert_true(lt_job_db_begin(bench, &diags));
	assert_true(lt_job_db_open_job(&found, bench, lamp.code, &diags));
	assert_int_equal(found, again);
	lt_job_db_abandon(bench);
	assert_int_equal(check_chain(bench, id), 2);
	lt_arena_finish(&arena);
	lt_job_db_close(bench);

	/* Nor can another program change what was recorded, short of taking the rules out first. */
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
	assert_int_equal(sqlite3_open("cannot.db", &db), SQLITE_OK);
	for (size_t i = 0; i < COUNT(changes); i++)
		if (sqlite3_exec(db, changes[i], NULL, NULL, NULL) != SQLITE_CONSTRAINT)
			fail_msg("taken: %s", changes[i]);
	sqlite3_close(db);
}

static void test_abandoned_is_not_there(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("abandon.db");
	const unsigned long long id = new_job(bench, &lamp);
	struct lt_diags diags = { 0 };
	assert_true(lt_job_db_begin(bench, &diags));
	struct lt_job_event event = scan_of(1700000001000, 1);
	assert_true(lt_job_db_append(bench, id, &event, &diags));
	assert_true(lt_job_db_append(bench, id, &event, &diags));
	lt_job_db_abandon(bench);
	assert_int_equal(check_chain(bench, id), 1);
	assert_true(lt_job_db_begin(bench, &diags));
	assert_true(lt_job_db_append(bench, id, &event, &diags));
	lt_job_db_close(bench);
	bench = open_bench("abandon.db");
	assert_int_equal(check_chain(bench, id), 1);
	lt_job_db_close(bench);
}

static void test_names_mean_nothing(void **state)
{
	(void)state;
	static const char *const names[] = { ":memory:", "file:x.db?mode=memory", "a b#c%41?d.db",
		"Käse.db" };
	for (size_t i = 0; i < COUNT(names); i++) {
		struct lt_job_db *bench = open_bench(names[i]);
		new_job(bench, &lamp);
		lt_job_db_close(bench);
		assert_int_equal(access(names[i], F_OK), 0);
	}
	char path[128];
	snprintf(path, sizeof(path), "/%s/absolute.db", folder);
	lt_job_db_close(open_bench(path));
	assert_int_equal(access("absolute.db", F_OK), 0);
	/* Behind a link to a plain file it is the file that is used. */
	assert_int_equal(symlink("absolute.db", "linked.db"), 0);
	struct lt_job_db *bench = open_bench("linked.db");
	new_job(bench, &lamp);
	lt_job_db_close(bench);
	bench = open_bench("absolute.db");
	assert_int_equal(check_chain(bench, 1), 1);
	lt_job_db_close(bench);
}

static void test_changes_show(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("chain.db");
	const unsigned long long id = new_job(bench, &lamp);
	for (int i = 0; i < 9; i++)
		assert_true(keep(bench, id, scan_of(1700000001000 + i, 1)) != 0);
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_job(&job, bench, id, &arena, &diags));
	assert_true(lt_job_db_events(&events, &count, bench, id, 0, &arena, &diags));
	assert_int_equal(count, 10);
	assert_int_equal(lt_job_digest_check(&job, events, count), count);
	struct lt_job_event good = events[4];
#define CHANGED(field, value) \
	events[4].field = value; \
	assert_int_equal(lt_job_digest_check(&job, events, count), 4); \
	events[4] = good
	CHANGED(id, good.id + 1);
	CHANGED(at, good.at + 1);
	CHANGED(who, "Adb");
	CHANGED(station, 2);
	CHANGED(kind_name, "undo");
	CHANGED(stage, LT_STAGE_TAG);
	CHANGED(text, NULL);
	CHANGED(text, "");
	CHANGED(tag, "12M");
	CHANGED(tag, NULL);
	CHANGED(verdict, "mated");
	CHANGED(number, 1);
	CHANGED(typed, false);
	/* The same letters, parted otherwise. */
	events[4].text = "12HGH7U0042K1";
	events[4].tag = "2H";
	assert_int_equal(lt_job_digest_check(&job, events, count), 4);
	events[4] = good;
	/* One left out, and two exchanged. */
	assert_int_equal(lt_job_digest_check(&job, events + 1, count - 1), 0);
	struct lt_job_event swap = events[5];
	events[5] = events[6];
	events[6] = swap;
	assert_int_equal(lt_job_digest_check(&job, events, count), 5);
	swap = events[5];
	events[5] = events[6];
	events[6] = swap;
	assert_int_equal(lt_job_digest_check(&job, events, count), count);
	struct lt_job other = job;
	other.id = 9;
	assert_int_equal(lt_job_digest_check(&other, events, count), count);
	other.origin = 9;
	assert_int_equal(lt_job_digest_check(&other, events, count), 0);
	other = job;
	other.title = "Another";
	assert_int_equal(lt_job_digest_check(&other, events, count), 0);
	other = job;
	other.opened++;
	assert_int_equal(lt_job_digest_check(&other, events, count), 0);
	assert_int_equal(lt_job_digest_check(&job, events, 0), 0);
	lt_arena_finish(&arena);
	lt_job_db_close(bench);
}

/* What a program does that sets itself above the triggers. */
static void overrule(struct lt_job_db *bench, const char *statements)
{
	char *why = NULL;
	if (sqlite3_exec(bench->db, statements, NULL, NULL, &why) != SQLITE_OK)
		fail_msg("%s: %s", statements, why);
}

static void test_a_cut_end_shows(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("cut.db");
	const unsigned long long id = new_job(bench, &lamp);
	for (int i = 0; i < 9; i++)
		assert_true(keep(bench, id, scan_of(1700000001000 + i, 1)) != 0);
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	size_t misfit = 0;
	assert_true(lt_job_db_sound(bench, id, &misfit, &diags));
	assert_int_equal(misfit, LT_NONE);
	assert_true(lt_job_db_job(&job, bench, id, &arena, &diags));
	assert_int_equal(job.counted, 10);
	assert_int_equal(lt_job_gone(&job, 10), 0);
	assert_int_equal(lt_job_gone(&job, 11), 0);
	assert_int_equal(lt_job_gone(&job, 7), 3);

	/* The count only goes up, one at a time. */
	static const char *const refused[] = {
		"UPDATE job SET events = 9",
		"UPDATE job SET events = 10",
		"UPDATE job SET events = 12",
	};
	for (size_t i = 0; i < COUNT(refused); i++)
		assert_int_equal(sqlite3_exec(bench->db, refused[i], NULL, NULL, NULL) & 0xFF,
			SQLITE_CONSTRAINT);

	overrule(bench, "DROP TRIGGER event_is_kept; DELETE FROM event WHERE id > 8");
	assert_false(lt_job_db_sound(bench, id, &misfit, &diags));
	assert_int_equal(misfit, 8);
	assert_error(&diags, "cut.db", "of its 10 events the last 2 are gone");
	overrule(bench, "DROP TRIGGER event_stays; UPDATE event SET who = 'Bob' WHERE id = 3");
	assert_false(lt_job_db_sound(bench, id, &misfit, &diags));
	assert_int_equal(misfit, 2);
	assert_error(&diags, "cut.db", "event 3 of 8 (id 3) does not fit its digest");
	overrule(bench, "DELETE FROM event");
	assert_false(lt_job_db_sound(bench, id, NULL, &diags));
	assert_error(&diags, "cut.db", "job 1 has lost its events");
	assert_false(lt_job_db_sound(bench, 5, &misfit, &diags));
	assert_int_equal(misfit, LT_NONE);
	assert_error(&diags, "cut.db", "has no job 5");
	lt_arena_finish(&arena);
	lt_job_db_close(bench);
}

static void test_keeps_every_kind(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("kinds.db");
	const unsigned long long id = new_job(bench, &lamp);
	size_t kept = 1;
	for (int kind = 1; kind < LT_JOB_UNKNOWN; kind++) {
		struct lt_job_event event = scan_of(1700000001000 + kind, 1);
		event.kind = (enum lt_job_event_kind)kind;
		if (kind == LT_JOB_CLOSED)
			continue;
		assert_true(keep(bench, id, event) != 0);
		kept++;
	}
	assert_int_equal(check_chain(bench, id), kept);
	/* One that is not known is read, and never written. */
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.kind = LT_JOB_UNKNOWN;
	assert_int_equal(keep(bench, id, event), 0);
	assert_int_equal(check_chain(bench, id), kept);
	lt_job_db_close(bench);
	assert_string_equal(lt_job_event_name(LT_JOB_HAZARD), "hazard-confirmed");
}

/* SHA-256 by the system's sha256sum (FIPS 180-4). */
static void sha256sum(char out[65], const char *text)
{
	write_plain("hashed", text);
	FILE *pipe = popen("sha256sum hashed", "r");
	assert_non_null(pipe);
	assert_int_equal(fscanf(pipe, "%64s", out), 1);
	assert_int_equal(pclose(pipe), 0);
}

static void test_digest_is_as_promised(void **state)
{
	(void)state;
	struct lt_job job = lamp;
	/* The id that it had where it was opened, wherever it is now. */
	job.id = 3;
	job.origin = 7;
	job.opened = 1700000000123;
	char own[65], first[65], expected[65];
	assert_true(lt_job_digest_first(own, &job));
	sha256sum(expected, "3:job,1:7,8:GH7U0042,3:GH7,4:0042,20:Glasshouse lamp rail,1:B,"
			    "13:1700000000123,");
	assert_string_equal(own, expected);
	job.unit = job.title = job.revision = NULL;
	assert_true(lt_job_digest_first(own, &job));
	sha256sum(expected, "3:job,1:7,8:GH7U0042,3:GH7,-,-,-,13:1700000000123,");
	assert_string_equal(own, expected);
	struct lt_job_event event = scan_of(1700000001000, 2);
	event.id = 31;
	event.who = "Zoë";
	assert_true(lt_job_digest_event(first, own, &event));
	char text[512];
	snprintf(text, sizeof(text),
		"64:%s,2:31,13:1700000001000,4:Zoë,1:2,4:scan,9:reconnect,12:12HGH7U0042K,3:12H,"
		"4:half,1:0,1:1,",
		own);
	sha256sum(expected, text);
	assert_string_equal(first, expected);
	event = (struct lt_job_event){ .id = 32, .at = 5, .who = "?", .station = 1 };
	event.kind = LT_JOB_SKIP;
	event.stage = LT_STAGE_SWAP;
	event.number = 12;
	event.text = "";
	assert_true(lt_job_digest_event(own, first, &event));
	snprintf(text, sizeof(text), "64:%s,2:32,1:5,1:?,1:1,4:skip,4:swap,0:,-,-,2:12,1:0,",
		first);
	sha256sum(expected, text);
	assert_string_equal(own, expected);
}

static void test_steps_between_versions(void **state)
{
	(void)state;
	struct lt_job_db *bench = open_bench("steps.db");
	const unsigned long long id = new_job(bench, &lamp);
	struct lt_diags diags = { 0 };
	long long version;
	static const struct lt_job_db_step broken[] = {
		{ "SELECT RAISE(ABORT, 'never run again')" },
		{ "SELECT RAISE(ABORT, 'never run again')" },
		{ "ALTER TABLE job ADD COLUMN place TEXT; PRAGMA user_version = 3" },
		{ "CREATE TABLE shelf (id); CREATE TABLE shelf (id); PRAGMA user_version = 4" },
	};
	static const struct lt_job_db_step forgetful[] = {
		{ "" },
		{ "" },
		{ "ALTER TABLE job ADD COLUMN place TEXT" },
	};
	/* Nothing of it when one step fails, or does not raise the version. */
	assert_false(lt_job_db_migrate(bench, broken, 4, &diags));
	assert_error(&diags, "steps.db", "shelf");
	assert_false(lt_job_db_migrate(bench, forgetful, 3, &diags));
	assert_int_equal(diags.errors, 1);
	lt_diags_finish(&diags);
	lt_diags_init(&diags);
	assert_true(lt_job_db_number(&version, bench, "PRAGMA user_version", &diags));
	assert_int_equal(version, 2);
	assert_true(lt_job_db_number(&version, bench,
		"SELECT count(*) FROM pragma_table_info('job') WHERE name = 'place'", &diags));
	assert_int_equal(version, 0);
	assert_int_equal(check_chain(bench, id), 1);
	/* From 2 to 3, with what was there kept; and none is taken twice. */
	for (int i = 0; i < 2; i++)
		assert_true(lt_job_db_migrate(bench, broken, 3, &diags));
	assert_true(lt_job_db_number(&version, bench, "PRAGMA user_version", &diags));
	assert_int_equal(version, 3);
	assert_true(lt_job_db_number(&version, bench,
		"SELECT count(*) FROM pragma_table_info('job') WHERE name = 'place'", &diags));
	assert_int_equal(version, 1);
	assert_int_equal(check_chain(bench, id), 1);
	/* Never back. */
	assert_false(lt_job_db_migrate(bench, broken, 2, &diags));
	assert_error(&diags, "steps.db", "is of version 3, not 2");
	lt_job_db_close(bench);
	assert_refused("steps.db", "newer loomtag");
	/* From nothing, the way every new database goes. */
	bench = open_bench("made.db");
	assert_true(lt_job_db_number(&version, bench, "PRAGMA user_version", &diags));
	assert_int_equal(version, LT_JOB_DB_VERSION);
	assert_true(lt_job_db_number(&version, bench, "PRAGMA application_id", &diags));
	assert_int_equal(version, LT_JOB_DB_APPLICATION);
	assert_true(lt_job_db_number(&version, bench, "PRAGMA synchronous", &diags));
	assert_true(version >= 2); /* FULL or more */
	assert_true(lt_job_db_number(&version, bench, "PRAGMA foreign_keys", &diags));
	assert_int_equal(version, 1);
	assert_int_equal(diags.count, 0);
	lt_job_db_close(bench);
}

/* Bytes of a scan are kept as they came, and are read by whoever asks for bytes. */
static void test_texts_are_bytes(void **state)
{
	(void)state;
	static const char *const texts[] = { "", " ", "007", "1e3", "Käse \"x\"", "\t" };
	struct lt_job_db *bench = open_bench("bytes.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count;
	long long blobs;
	const unsigned long long id = new_job(bench, &lamp);
	for (size_t i = 0; i < COUNT(texts); i++) {
		struct lt_job_event event = scan_of(1700000001000, 1);
		event.text = texts[i];
		assert_true(keep(bench, id, event) != 0);
	}
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.text = NULL;
	assert_true(keep(bench, id, event) != 0);
	assert_true(lt_job_db_events(&events, &count, bench, id, 1, &arena, &diags));
	assert_int_equal(count, COUNT(texts) + 1);
	for (size_t i = 0; i < COUNT(texts); i++)
		assert_string_equal(events[i].text, texts[i]);
	assert_null(events[COUNT(texts)].text);
	assert_true(lt_job_db_number(&blobs, bench,
		"SELECT count(*) FROM event WHERE typeof(text) = 'blob'", &diags));
	assert_int_equal(blobs, COUNT(texts) + 1);
	assert_int_equal(check_chain(bench, id), COUNT(texts) + 2);
	lt_arena_finish(&arena);
	lt_job_db_close(bench);
}

static void test_two_connections(void **state)
{
	(void)state;
	struct lt_job_db *one = open_bench("two.db");
	struct lt_job_db *two = open_bench("two.db");
	const unsigned long long id = new_job(one, &lamp);
	assert_true(lt_job_db_changed(two));
	assert_false(lt_job_db_changed(two));
	/* Its own changes are no news. */
	assert_false(lt_job_db_changed(one));
	unsigned long long last = 0;
	for (int i = 0; i < 20; i++) {
		unsigned long long now = keep(i % 2 == 0 ? one : two, id, scan_of(1 + i, 1));
		assert_true(now > last);
		last = now;
	}
	assert_true(lt_job_db_changed(one));
	assert_true(lt_job_db_changed(two));
	assert_int_equal(check_chain(two, id), 21);

	/* Opening a third looks at the file without taking away a lock that is held. */
	struct lt_diags diags = { 0 };
	assert_true(lt_job_db_begin(one, &diags));
	lt_job_db_close(open_bench("two.db"));
	pid_t child = fork();
	if (child == 0) {
		/* Another process: locks of one process are no hindrance to itself. */
		struct lt_job_db *three = lt_job_db_open("two.db", false, &diags);
		if (three == NULL)
			_exit(2);
		sqlite3_busy_timeout(three->db, 50);
		if (lt_job_db_begin(three, &diags))
			_exit(3);
		_exit(strstr(diags.items[0].message, "is in use") != NULL ? 0 : 4);
	}
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_int_equal(status, 0);
	lt_job_db_abandon(one);
	lt_job_db_close(one);
	lt_job_db_close(two);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_keeps),
		cmocka_unit_test(test_refuses_what_cannot_be),
		cmocka_unit_test(test_abandoned_is_not_there),
		cmocka_unit_test(test_names_mean_nothing),
		cmocka_unit_test(test_changes_show),
		cmocka_unit_test(test_a_cut_end_shows),
		cmocka_unit_test(test_keeps_every_kind),
		cmocka_unit_test(test_digest_is_as_promised),
		cmocka_unit_test(test_steps_between_versions),
		cmocka_unit_test(test_texts_are_bytes),
		cmocka_unit_test(test_two_connections),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
