/* Events that a newer program wrote: read, shown, and never mistaken for known ones. */
#include "unit.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fixture.h"
#include "job_db_fixture.h"
#include "loomtag/job.h"
#include "old_store.h"

static const char RAIL[] = "harness: GH7\n"
			   "unit: \"0042\"\n"
			   "connectors:\n"
			   "  - {id: X1, name: lamp power, ways: 3, family: big}\n"
			   "  - {id: X2, name: fan power, ways: 2, family: small}\n";

static const struct {
	struct old_event event;
	const char *words; /* what is not understood */
} rows[] = {
	{ { .kind = "confirm", .text = "12H" }, "(confirm) cannot be understood" },
	{ { .kind = "Scan", .text = "1HGH7U0042G", .tag = "1H", .verdict = "half" },
		"(Scan half) cannot be understood" },
	{ { .kind = "unknown" }, "(unknown) cannot be understood" },
	{ { .kind = "scan", .text = "1HGH7U0042G", .tag = "1H", .verdict = "confirm" },
		"(scan confirm) cannot be understood" },
	{ { .kind = "scan", .text = "1HGH7U0042G", .tag = "1H" }, "(scan) cannot be understood" },
	{ { .kind = "plan",
		  .text = "{\"plan\":2,\"code\":\"GH7U0042\",\"joints\":[],"
			  "\"lines\":[]}" },
		"(plan) cannot be understood" },
};

static struct lt_work *open_work(const struct fixture *fixture, struct lt_diags *diags)
{
	const struct lt_work_options options = { .db = "newer.db" };
	return lt_work_open(&fixture->tags, &options, "Bo", diags);
}

/* Appends it as a newer program would: with a digest that fits, worked out here. */
static void append(const struct old_event *event)
{
	sqlite3 *db;
	sqlite3_stmt *query;
	char digest[65];
	struct old_event whole = *event;
	whole.at = 1700000000000;
	whole.who = "Zoë";
	whole.station = 7;
	whole.stage = "reconnect";
	assert_int_equal(sqlite3_open("newer.db", &db), SQLITE_OK);
	assert_int_equal(sqlite3_prepare_v2(db,
				 "SELECT id, seq, digest FROM event WHERE job = 1"
				 " ORDER BY seq DESC LIMIT 1",
				 -1, &query, NULL),
		SQLITE_OK);
	assert_int_equal(sqlite3_step(query), SQLITE_ROW);
	const int id = sqlite3_column_int(query, 0) + 1;
	const int seq = sqlite3_column_int(query, 1) + 1;
	snprintf(digest, sizeof(digest), "%s", (const char *)sqlite3_column_text(query, 2));
	sqlite3_finalize(query);
	old_next(digest, (unsigned)id, &whole);
	char *sql = sqlite3_mprintf("INSERT INTO event VALUES (1, %d, %d, %lld, %Q, %u, %Q, %Q,"
				    " CAST(%Q AS BLOB), %Q, %Q, %u, 0, %Q)",
		seq, id, whole.at, whole.who, whole.station, whole.kind, whole.stage, whole.text,
		whole.tag, whole.verdict, whole.number, digest);
	old_run(db, sql);
	sqlite3_free(sql);
	sqlite3_close(db);
}

static bool scan(struct lt_work *work, unsigned number, enum lt_side side, struct lt_diags *diags)
{
	struct lt_answer answer;
	bool taken;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, number, side, "GH7U0042");
	return lt_work_scan(work, &taken, &answer, code, strlen(code), diags) && taken;
}

/* A job with everything made. */
static struct lt_work *begin(const struct fixture *fixture)
{
	struct lt_diags diags = { 0 };
	struct lt_work *work = open_work(fixture, &diags);
	assert_non_null(work);
	assert_true(lt_work_begin(work, &diags));
	for (unsigned number = 1; number <= 2; number++) {
		assert_true(scan(work, number, LT_SIDE_H, &diags));
		assert_true(scan(work, number, LT_SIDE_M, &diags));
	}
	unsigned no;
	assert_true(lt_work_answer(&no, work, LT_STAGE_COUNT, &diags));
	assert_int_equal(no, 0);
	assert_int_equal(diags.count, 0);
	return work;
}

static void newer_events_are_read_unchanged(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	lt_work_close(begin(&fixture));
	struct lt_job_db *store = open_job_db("newer.db");
	const size_t before = check_chain(store, 1);
	for (size_t i = 0; i < COUNT(rows); i++)
		append(&rows[i].event);
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_sound(store, 1, &diags));
	assert_int_equal(check_chain(store, 1), before + COUNT(rows));
	assert_true(lt_job_db_events(&events, &count, store, 1, before, &arena, &diags));
	for (size_t i = 0; i < COUNT(rows); i++)
		assert_string_equal(events[i].kind_name, rows[i].event.kind);
	for (size_t i = 0; i < 3; i++)
		assert_int_equal(events[i].kind, LT_JOB_UNKNOWN);
	assert_string_equal(events[0].text, "12H");
	assert_string_equal(events[0].who, "Zoë");
	assert_int_equal(events[3].kind, LT_JOB_SCAN);
	assert_string_equal(events[3].verdict, "confirm");
	/* With the name that it has: another one is another event. */
	events[0].kind_name = "unknown";
	struct lt_job job;
	struct lt_job_event *all;
	assert_true(lt_job_db_job(&job, store, 1, &arena, &diags));
	assert_true(lt_job_db_events(&all, &count, store, 1, 0, &arena, &diags));
	all[before].kind_name = "unknown";
	assert_int_equal(lt_job_digest_check(&job, all, count), before);
	lt_arena_finish(&arena);
	lt_job_db_close(store);
	fixture_finish(&fixture);
	assert_int_equal(unlink("newer.db"), 0);
}

static void a_job_with_a_newer_event_is_not_continued(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct lt_diags diags = { 0 };
		size_t length, now;
		lt_work_close(begin(&fixture));
		append(&rows[i].event);
		char *before = read_bytes("newer.db", &length);
		assert_null(open_work(&fixture, &diags));
		assert_error(&diags, "newer.db", rows[i].words);
		char *after = read_bytes("newer.db", &now);
		assert_int_equal(now, length);
		assert_memory_equal(after, before, length);
		free(before);
		free(after);
		assert_int_equal(unlink("newer.db"), 0);
	}
	fixture_finish(&fixture);
}

/* It comes while the job is open here: from then on nothing is answered. */
static void a_newer_event_that_arrives_stops_the_work(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "rail.yaml", RAIL);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct lt_diags diags = { 0 };
		size_t count, added;
		unsigned no;
		struct lt_work *work = begin(&fixture);
		/* Another terminal's, which is understood, comes before it. */
		append(&(struct old_event){ .kind = "scan", .text = "x", .verdict = "misread" });
		append(&rows[i].event);
		struct lt_job_db *store = open_job_db("newer.db");
		const size_t before = check_chain(store, 1);
		for (int round = 0; round < 2; round++) {
			assert_false(lt_work_answer(&no, work, LT_STAGE_RECONNECT, &diags));
			assert_int_not_equal(no, 0);
			assert_error(&diags, "newer.db", rows[i].words);
			assert_false(scan(work, 1, LT_SIDE_H, &diags));
			assert_error(&diags, "newer.db", rows[i].words);
			assert_false(lt_work_finish(work, NULL, &diags));
			assert_error(&diags, "newer.db", rows[i].words);
			if (round == 0)
				assert_false(lt_work_sync(work, &added, &diags));
			lt_diags_finish(&diags);
			lt_diags_init(&diags);
		}
		assert_false(lt_job_state_closed(lt_work_state(work)));
		(void)lt_work_events(work, &count);
		assert_true(count < before);
		assert_int_equal(check_chain(store, 1), before);
		lt_job_db_close(store);
		lt_work_close(work);
		assert_int_equal(unlink("newer.db"), 0);
	}
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(newer_events_are_read_unchanged),
		cmocka_unit_test(a_job_with_a_newer_event_is_not_continued),
		cmocka_unit_test(a_newer_event_that_arrives_stops_the_work),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
