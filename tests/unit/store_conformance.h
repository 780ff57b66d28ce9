/* What every store of jobs has to do, whatever keeps it: run_conformance with a function that opens
 * one. Included behind unit.h. What a kind of store has of its own is tested beside this. */
#ifndef LOOMTAG_TESTS_STORE_CONFORMANCE_H
#define LOOMTAG_TESTS_STORE_CONFORMANCE_H

#include <sys/wait.h>

#include "job_db_fixture.h"

/* Opens the store of a name, and makes it where there is none; NULL where it cannot. Each test has
 * a name of its own. */
typedef struct lt_job_db *store_opener(const char *name);

/* Given to each test as its state. */
struct store_kind {
	store_opener *open;
};

static inline struct lt_job_db *open_store(void **state, const char *name)
{
	const struct store_kind *kind = *state;
	struct lt_job_db *job_db = kind->open(name);
	assert_non_null(job_db);
	return job_db;
}

static inline void forget(struct lt_diags *diags, size_t errors)
{
	assert_int_equal(diags->errors, errors);
	lt_diags_finish(diags);
	lt_diags_init(diags);
}

static void test_keeps(void **state)
{
	struct lt_job_db *job_db = open_store(state, "keeps.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job *jobs;
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_jobs(&jobs, &count, job_db, NULL, &arena, &diags));
	assert_int_equal(count, 0);
	const unsigned long long id = new_job(job_db, &lamp);
	struct lt_job other = { .code = "ZZ1", .harness = "ZZ1" };
	const unsigned long long second = new_job(job_db, &other);
	assert_true(second > id);

	unsigned station;
	assert_true(lt_job_db_begin(job_db, &diags));
	assert_true(lt_job_db_station(&station, job_db, id, &diags));
	assert_int_equal(station, 2);
	assert_true(lt_job_db_station(&station, job_db, id, &diags));
	assert_int_equal(station, 3);
	struct lt_job_event event = scan_of(1700000001000, station);
	assert_true(lt_job_db_append(job_db, id, &event, &diags));
	assert_true(lt_job_db_commit(job_db, &diags));
	event = (struct lt_job_event){
		.at = 1700000002000,
		.who = "Zoë \"); DROP TABLE job; --",
		.station = 1,
		.kind = LT_JOB_SKIP,
		.stage = LT_STAGE_RECONNECT,
		.text = "no room, 'cover' \x1b[31m",
		.number = 99999,
	};
	const unsigned long long skipped = keep(job_db, id, event);
	assert_true(skipped > 0);

	lt_job_db_close(job_db);
	job_db = open_store(state, "keeps.db");
	assert_true(lt_job_db_jobs(&jobs, &count, job_db, NULL, &arena, &diags));
	assert_int_equal(count, 2);
	assert_int_equal(jobs[0].id, second);
	assert_int_equal(jobs[0].origin, second);
	assert_string_equal(jobs[0].code, "ZZ1");
	assert_null(jobs[0].unit);
	assert_null(jobs[0].title);
	assert_null(jobs[0].revision);
	assert_true(lt_job_db_jobs(&jobs, &count, job_db, "GH7U0042", &arena, &diags));
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
	assert_true(lt_job_db_jobs(&jobs, &count, job_db, "GH7", &arena, &diags));
	assert_int_equal(count, 0);

	assert_true(lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags));
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
	assert_true(lt_job_db_events(&events, &count, job_db, id, 2, &arena, &diags));
	assert_int_equal(count, 1);
	assert_int_equal(events[0].id, skipped);
	assert_true(lt_job_db_events(&events, &count, job_db, id, 3, &arena, &diags));
	assert_int_equal(count, 0);
	assert_int_equal(check_chain(job_db, id), 3);
	assert_int_equal(check_chain(job_db, second), 1);
	assert_int_equal(diags.count, 0);
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
	lt_job_db_close(NULL);
}

static void test_refuses_invalid_events(void **state)
{
	struct lt_job_db *job_db = open_store(state, "cannot.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	const unsigned long long id = new_job(job_db, &lamp);
	unsigned long long again;
	unsigned station;
	struct lt_job_event event = scan_of(1700000001000, 1);

	/* Outside of a transaction nothing is written. */
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	assert_false(lt_job_db_new_job(&again, job_db, &lamp, &begun, &diags));
	assert_false(lt_job_db_station(&station, job_db, id, &diags));
	assert_false(lt_job_db_open_job(&again, job_db, lamp.code, &diags));
	forget(&diags, 4);

	assert_false(lt_job_db_job(&job, job_db, 77, &arena, &diags));
	assert_error(&diags, job_db->name, "no job 77");

	assert_true(lt_job_db_begin(job_db, &diags));
	assert_false(lt_job_db_new_job(&again, job_db, &lamp, &begun, &diags));
	assert_error(&diags, job_db->name, "an open job of GH7U0042: job ");
	assert_false(lt_job_db_append(job_db, 77, &event, &diags));
	assert_error(&diags, job_db->name, "no job 77");
	assert_false(lt_job_db_station(&station, job_db, 77, &diags));
	assert_int_equal(diags.errors, 1);
	event.text = "\xff";
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	event = scan_of(-1, 1);
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	event = scan_of(1700000001000, 0);
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	event = scan_of(1700000001000, 1);
	event.who = "";
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	forget(&diags, 5);
	lt_job_db_abandon(job_db);
	lt_job_db_abandon(job_db);
	assert_int_equal(check_chain(job_db, id), 1);

	/* Closed is closed; then there may be a new one. */
	event = scan_of(1700000003000, 1);
	event.kind = LT_JOB_CLOSED;
	event.text = "module went back to the maker";
	assert_true(keep(job_db, id, event) != 0);
	assert_true(lt_job_db_job(&job, job_db, id, &arena, &diags));
	assert_true(job.closed);
	assert_true(lt_job_db_begin(job_db, &diags));
	event = scan_of(1700000004000, 1);
	assert_false(lt_job_db_append(job_db, id, &event, &diags));
	assert_error(&diags, job_db->name, "is closed");
	assert_true(lt_job_db_open_job(&again, job_db, lamp.code, &diags));
	assert_int_equal(again, 0);
	lt_job_db_abandon(job_db);
	again = new_job(job_db, &lamp);
	assert_true(again > id);
	unsigned long long found;
	assert_true(lt_job_db_begin(job_db, &diags));
	assert_true(lt_job_db_open_job(&found, job_db, lamp.code, &diags));
	assert_int_equal(found, again);
	lt_job_db_abandon(job_db);
	assert_int_equal(check_chain(job_db, id), 2);
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
}

/* What the store itself refuses, whoever asks. */
static void test_refuses_events_at_the_wrong_time(void **state)
{
	struct lt_job_db *job_db = open_store(state, "next.db");
	struct lt_diags diags = { 0 };
	const unsigned long long open = new_job(job_db, &lamp);
	const unsigned long long closed =
		new_job(job_db, &(struct lt_job){ .code = "ZZ1", .harness = "ZZ1" });
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.kind = LT_JOB_CLOSED;
	assert_true(keep(job_db, closed, event) != 0);
	const struct {
		unsigned long long job;
		size_t seq;
	} rows[] = { { open, 1 }, { open, 3 }, { open, 0 }, { closed, 3 }, { closed, 4 } };
	event = scan_of(1700000002000, 1);
	event.id = 2;
	memset(event.digest, 'a', 64);
	for (size_t i = 0; i < COUNT(rows); i++) {
		assert_true(lt_job_db_begin(job_db, &diags));
		if (job_db->append(job_db->data, rows[i].job, rows[i].seq, &event, &diags))
			fail_msg("row %zu was taken", i);
		lt_job_db_abandon(job_db);
		forget(&diags, 1);
	}
	assert_int_equal(check_chain(job_db, open), 1);
	assert_int_equal(check_chain(job_db, closed), 2);
	lt_job_db_close(job_db);
}

static void test_abandoned_is_not_there(void **state)
{
	struct lt_job_db *job_db = open_store(state, "abandon.db");
	const unsigned long long id = new_job(job_db, &lamp);
	struct lt_diags diags = { 0 };
	assert_true(lt_job_db_begin(job_db, &diags));
	struct lt_job_event event = scan_of(1700000001000, 1);
	assert_true(lt_job_db_append(job_db, id, &event, &diags));
	assert_true(lt_job_db_append(job_db, id, &event, &diags));
	lt_job_db_abandon(job_db);
	assert_int_equal(check_chain(job_db, id), 1);
	assert_true(lt_job_db_begin(job_db, &diags));
	assert_true(lt_job_db_append(job_db, id, &event, &diags));
	lt_job_db_close(job_db);
	job_db = open_store(state, "abandon.db");
	assert_int_equal(check_chain(job_db, id), 1);
	lt_job_db_close(job_db);
}

static void test_changed_events_are_found(void **state)
{
	struct lt_job_db *job_db = open_store(state, "chain.db");
	const unsigned long long id = new_job(job_db, &lamp);
	for (int i = 0; i < 9; i++)
		assert_true(keep(job_db, id, scan_of(1700000001000 + i, 1)) != 0);
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_job(&job, job_db, id, &arena, &diags));
	assert_true(lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags));
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
	lt_job_db_close(job_db);
}

static void test_keeps_every_kind(void **state)
{
	struct lt_job_db *job_db = open_store(state, "kinds.db");
	const unsigned long long id = new_job(job_db, &lamp);
	size_t kept = 1;
	for (int kind = 1; kind < LT_JOB_UNKNOWN; kind++) {
		struct lt_job_event event = scan_of(1700000001000 + kind, 1);
		event.kind = (enum lt_job_event_kind)kind;
		if (kind == LT_JOB_CLOSED)
			continue;
		assert_true(keep(job_db, id, event) != 0);
		kept++;
	}
	assert_int_equal(check_chain(job_db, id), kept);
	/* One that is not known is read, and never written. */
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.kind = LT_JOB_UNKNOWN;
	assert_int_equal(keep(job_db, id, event), 0);
	assert_int_equal(check_chain(job_db, id), kept);
	lt_job_db_close(job_db);
	assert_string_equal(lt_job_event_name(LT_JOB_HAZARD), "hazard-confirmed");
}

/* Bytes of a scan are kept as they came, and are read by whoever asks for bytes. */
static void test_texts_are_bytes(void **state)
{
	static const char *const texts[] = { "", " ", "007", "1e3", "Käse \"x\"", "\t" };
	struct lt_job_db *job_db = open_store(state, "bytes.db");
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count;
	const unsigned long long id = new_job(job_db, &lamp);
	for (size_t i = 0; i < COUNT(texts); i++) {
		struct lt_job_event event = scan_of(1700000001000, 1);
		event.text = texts[i];
		assert_true(keep(job_db, id, event) != 0);
	}
	struct lt_job_event event = scan_of(1700000001000, 1);
	event.text = NULL;
	assert_true(keep(job_db, id, event) != 0);
	assert_true(lt_job_db_events(&events, &count, job_db, id, 1, &arena, &diags));
	assert_int_equal(count, COUNT(texts) + 1);
	for (size_t i = 0; i < COUNT(texts); i++)
		assert_string_equal(events[i].text, texts[i]);
	assert_null(events[COUNT(texts)].text);
	assert_int_equal(check_chain(job_db, id), COUNT(texts) + 2);
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
}

static void test_two_connections(void **state)
{
	struct lt_job_db *one = open_store(state, "two.db");
	struct lt_job_db *two = open_store(state, "two.db");
	const unsigned long long id = new_job(one, &lamp);
	assert_true(two->changed(two->data));
	assert_false(two->changed(two->data));
	/* Its own changes are no news. */
	assert_false(one->changed(one->data));
	unsigned long long last = 0;
	for (int i = 0; i < 20; i++) {
		unsigned long long now = keep(i % 2 == 0 ? one : two, id, scan_of(1 + i, 1));
		assert_true(now > last);
		last = now;
	}
	assert_true(one->changed(one->data));
	assert_true(two->changed(two->data));
	assert_int_equal(check_chain(two, id), 21);
	lt_job_db_close(one);
	lt_job_db_close(two);
}

/* Two processes make the same new store at once, and then both append. */
static void test_two_processes(void **state)
{
	enum { EVENTS = 200, PROCESSES = 2 };
	for (int round = 0; round < 5; round++) {
		char path[32];
		snprintf(path, sizeof(path), "race-%d.db", round);
		int gate[2];
		assert_int_equal(pipe(gate), 0);
		pid_t children[PROCESSES];
		for (unsigned i = 0; i < PROCESSES; i++) {
			children[i] = fork();
			assert_true(children[i] >= 0);
			if (children[i] != 0)
				continue;
			char c;
			close(gate[1]);
			if (read(gate[0], &c, 1) != 0)
				_exit(9);
			struct lt_diags diags = { 0 };
			struct lt_job_db *job_db = open_store(state, path);
			unsigned long long id = 0;
			if (!lt_job_db_begin(job_db, &diags) ||
				!lt_job_db_open_job(&id, job_db, lamp.code, &diags) ||
				(id == 0 &&
					!lt_job_db_new_job(&id, job_db, &lamp, &begun, &diags)) ||
				!lt_job_db_commit(job_db, &diags)) {
				lt_diags_print(&diags, 0, stderr, false);
				_exit(1);
			}
			const int events = round == 0 ? EVENTS : 5;
			for (int n = 0; n < events; n++) {
				if (keep(job_db, id, scan_of(1 + n, 1 + i)) == 0)
					_exit(2);
			}
			lt_job_db_close(job_db);
			_exit(0);
		}
		close(gate[0]);
		close(gate[1]);
		for (size_t i = 0; i < PROCESSES; i++) {
			int status;
			assert_int_equal(waitpid(children[i], &status, 0), children[i]);
			assert_int_equal(status, 0);
		}
		struct lt_job_db *job_db = open_store(state, path);
		const size_t each = round == 0 ? EVENTS : 5;
		assert_int_equal(check_chain(job_db, 1), 1 + PROCESSES * each);
		lt_job_db_close(job_db);
	}
}

/* Whether an event is what it was, within a transaction or not. */
static void test_still_has_an_event(void **state)
{
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count;
	struct lt_job_db *job_db = open_store(state, "holds.db");
	const unsigned long long id = new_job(job_db, &lamp);
	assert_true(keep(job_db, id, scan_of(1700000001000, 1)) != 0);
	assert_true(keep(job_db, id, scan_of(1700000002000, 1)) != 0);
	assert_true(lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags));
	assert_int_equal(count, 3);
	for (int inside = 0; inside < 2; inside++) {
		if (inside == 1)
			assert_true(lt_job_db_begin(job_db, &diags));
		for (size_t i = 0; i < count; i++)
			assert_true(lt_job_db_still_has(job_db, id, i + 1, events[i].digest,
				&diags));
		assert_false(lt_job_db_still_has(job_db, id, 3, events[1].digest, &diags));
		assert_error(&diags, job_db->name, "was replaced");
		assert_false(lt_job_db_still_has(job_db, id, 4, events[2].digest, &diags));
		assert_error(&diags, job_db->name, "was replaced");
		assert_false(lt_job_db_still_has(job_db, id + 1, 3, events[2].digest, &diags));
		assert_error(&diags, job_db->name, "was replaced");
		lt_job_db_abandon(job_db);
	}
	/* What others appended is no loss. */
	struct lt_job_db *other = open_store(state, "holds.db");
	assert_true(keep(other, id, scan_of(1700000003000, 2)) != 0);
	lt_job_db_close(other);
	assert_true(lt_job_db_still_has(job_db, id, 3, events[2].digest, &diags));
	lt_arena_finish(&arena);
	lt_job_db_close(job_db);
}

static inline int run_conformance(store_opener *open, CMFixtureFunction set_up,
	CMFixtureFunction tear_down)
{
	static struct store_kind kind;
	kind.open = open;
	const struct CMUnitTest conformance[] = {
		cmocka_unit_test_prestate(test_keeps, &kind),
		cmocka_unit_test_prestate(test_refuses_invalid_events, &kind),
		cmocka_unit_test_prestate(test_refuses_events_at_the_wrong_time, &kind),
		cmocka_unit_test_prestate(test_abandoned_is_not_there, &kind),
		cmocka_unit_test_prestate(test_changed_events_are_found, &kind),
		cmocka_unit_test_prestate(test_keeps_every_kind, &kind),
		cmocka_unit_test_prestate(test_texts_are_bytes, &kind),
		cmocka_unit_test_prestate(test_two_connections, &kind),
		cmocka_unit_test_prestate(test_two_processes, &kind),
		cmocka_unit_test_prestate(test_still_has_an_event, &kind),
	};
	return cmocka_run_group_tests(conformance, set_up, tear_down);
}

#endif
