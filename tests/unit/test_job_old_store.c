/* Stores of version 1: updated without loss, and continued by what they record of themselves. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "fixture.h"
#include "job/db_sqlite.h"
#include "job/plan.h"
#include "job_db_fixture.h"
#include "loomtag/job.h"
#include "old_store.h"

/* Number 3 is on paper, number 4 has one side; C1 has no number. */
static const char RAIL[] = "harness: GH7\n"
			   "title: Glasshouse lamp rail\n"
			   "unit: \"%s\"\n"
			   "revision: B\n"
			   "components:\n"
			   "  - {id: L1, name: lamp}\n"
			   "  - {id: L2, name: fan, fate: replace}\n"
			   "connectors:\n"
			   "  - {id: X1, name: lamp power, mates: %s, ways: 3, family: big}\n"
			   "  - {id: X2, name: fan power, mates: L2, ways: 2, family: small,\n"
			   "     after: [C1]}\n"
			   "  - {id: C1, name: cover, kind: clip, tag: none, after: [X1]}\n"
			   "  - {id: E1, name: earth, kind: strap, family: M6, tag: paper,\n"
			   "     after: [X2]}\n"
			   "  - {id: H1, name: hose, kind: hose, family: 8 mm barb, sides: 1}\n"
			   "finish:\n"
			   "  - Nothing pinched\n";
/* What the program of version 1 noted of it, and of it with X1 on L2. */
#define MARK "4 joints, 6215E883"
#define OTHER_MARK "4 joints, 00000000"

static void set_up(struct fixture *fixture, const char *unit, const char *mate)
{
	char yaml[1024];
	snprintf(yaml, sizeof(yaml), RAIL, unit, mate);
	fixture_read(fixture, "rail.yaml", yaml);
}

#define AT 1700000000000

static const struct old_job jobs[] = {
	{ "GH7U0042", "GH7", "0042", "Glasshouse lamp rail", "B", AT, 2, true },
	{ "GH7U7", "GH7", "7", "Glasshouse \x1b[31m“rail”", NULL, AT + 1, 1, false },
	{ "GH7U8", "GH7", "8", NULL, "", AT + 2, 3, false },
	{ "GH7U9", "GH7", "9", "Glasshouse lamp rail", "B", AT + 3, 1, false },
};

#define OF(which, step) .job = (which), .at = AT + 1000 * (step), .who = "Ada", .station = 1
#define STAGE(which, step, at_stage, mark) \
	{ \
		OF(which, step), .kind = "stage", .stage = (at_stage), .text = (mark) \
	}
#define SCAN(which, step, at_stage, code, its_tag, answer) \
	{ \
		OF(which, step), .kind = "scan", .stage = (at_stage), .text = (code), \
				 .tag = (its_tag), .verdict = (answer) \
	}

/* Of four jobs in turn, so that their ids have gaps. */
static const struct old_event events[] = {
	{ OF(1, 0), .kind = "opened", .stage = "reconnect", .text = "Glasshouse lamp rail" },
	{ OF(2, 1), .kind = "opened", .stage = "tag", .text = "Glasshouse \x1b[31m“rail”" },
	STAGE(1, 1, "reconnect", NULL),
	STAGE(2, 2, "tag", MARK),
	SCAN(1, 2, "reconnect", "1HGH7U0042G", "1H", "half"),
	SCAN(2, 3, "tag", "1HGH7U76", "1H", "half"),
	SCAN(1, 3, "reconnect", "1MGH7U00425", "1M", "mated"),
	SCAN(2, 4, "tag", "1MGH7U7X", "1M", "mated"),
	{ OF(3, 2), .kind = "opened", .stage = "tag" },
	STAGE(3, 3, "reconnect", OTHER_MARK),
	SCAN(3, 4, "reconnect", "1HGH7U84", "1H", "half"),
	SCAN(3, 5, "reconnect", "1MGH7U8V", "1M", "mated"),
	SCAN(3, 6, "reconnect", "", NULL, "misread"),
	SCAN(3, 7, "reconnect", "\x1b]0;Käse\a", NULL, "misread"),
	{ OF(1, 4), .kind = "closed", .stage = "reconnect", .text = "lamp is broken" },
	{ OF(2, 5), .kind = "stage-skipped", .stage = "unplug", .text = "a later stage was begun" },
	{ OF(2, 5), .kind = "stage-skipped", .stage = "swap", .text = "a later stage was begun" },
	STAGE(2, 6, "reconnect", MARK),
	SCAN(2, 7, "reconnect", "1HGH7U76", "1H", "half"),
	SCAN(2, 8, "reconnect", "1MGH7U7X", "1M", "mated"),
	SCAN(2, 9, "reconnect", "2HGH7U79", "2H", "half"),
	{ OF(2, 10), .kind = "skip", .stage = "reconnect", .number = 4, .text = "full of oil",
		.typed = true },
	{ OF(4, 4), .kind = "opened", .stage = "tag", .text = "Glasshouse lamp rail" },
	STAGE(4, 5, "reconnect", MARK),
	/* There never was such a number. */
	{ OF(4, 6), .kind = "skip", .stage = "reconnect", .number = 77, .text = "?" },
};

enum { JOBS = COUNT(jobs), EVENTS = COUNT(events), OF_SECOND = 11 };

static char digests[EVENTS][65];

static void make_old(const char *path)
{
	old_store(path, jobs, JOBS, events, EVENTS, digests);
}

/* The rows of a statement, a line each; the caller frees it. */
static char *ask(const char *path, const char *sql)
{
	sqlite3 *db;
	sqlite3_stmt *query;
	struct lt_text text = { 0 };
	assert_int_equal(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
	if (sqlite3_prepare_v2(db, sql, -1, &query, NULL) != SQLITE_OK)
		fail_msg("%s: %s", sql, sqlite3_errmsg(db));
	lt_text_add(&text, "");
	while (sqlite3_step(query) == SQLITE_ROW) {
		for (int i = 0; i < sqlite3_column_count(query); i++) {
			const char *value = (const char *)sqlite3_column_text(query, i);
			lt_text_printf(&text, "%s%s", i > 0 ? "|" : "",
				value != NULL ? value : "NULL");
		}
		lt_text_add_char(&text, '\n');
	}
	sqlite3_finalize(query);
	sqlite3_close(db);
	return text.bytes != NULL ? text.bytes : calloc(1, 1);
}

static void assert_answer(const char *path, const char *sql, const char *expected)
{
	char *answer = ask(path, sql);
	assert_string_equal(answer, expected);
	free(answer);
}

static void add_field(struct lt_text *out, const char *field)
{
	lt_text_printf(out, "|%s", field != NULL ? field : "NULL");
}

/* The rows that the old ones have to become. */
static char *expected_events(void)
{
	struct lt_text text = { 0 };
	for (unsigned job = 1; job <= JOBS; job++) {
		unsigned seq = 0;
		for (unsigned i = 0; i < EVENTS; i++) {
			const struct old_event *event = &events[i];
			if (event->job != job)
				continue;
			lt_text_printf(&text, "%u|%u|%u|%lld|%s|%u|%s|%s", job, ++seq, i + 1,
				event->at, event->who, event->station, event->kind, event->stage);
			add_field(&text, event->text);
			add_field(&text, event->tag);
			add_field(&text, event->verdict);
			lt_text_printf(&text, "|%u|%d|%s|%s\n", event->number, event->typed,
				digests[i], event->text != NULL ? "blob" : "null");
		}
	}
	return text.bytes;
}

static char *expected_jobs(void)
{
	struct lt_text text = { 0 };
	for (unsigned i = 0; i < JOBS; i++) {
		unsigned count = 0;
		for (unsigned k = 0; k < EVENTS; k++)
			count += events[k].job == i + 1;
		lt_text_printf(&text, "%u|%u|%s|%s|%s", i + 1, i + 1, jobs[i].code, jobs[i].harness,
			jobs[i].unit);
		add_field(&text, jobs[i].title);
		add_field(&text, jobs[i].revision);
		lt_text_printf(&text, "|%lld|%u|%d|%u\n", jobs[i].opened, jobs[i].stations,
			jobs[i].closed, count);
	}
	return text.bytes;
}

static void nothing_is_lost(void **state)
{
	(void)state;
	make_old("old.db");
	struct lt_job_db *job_db = open_job_db("old.db");
	char *rows = expected_events(), *heads = expected_jobs();
	assert_answer("old.db", "PRAGMA user_version", "2\n");
	assert_answer("old.db",
		"SELECT job, seq, id, at, who, station, kind, stage, CAST(text AS TEXT), tag,"
		" verdict, number, typed, digest, typeof(text) FROM event ORDER BY job, seq",
		rows);
	assert_answer("old.db",
		"SELECT id, origin, code, harness, unit, title, revision, opened, stations, closed,"
		" events FROM job ORDER BY id",
		heads);
	free(rows);
	free(heads);
	for (unsigned id = 1; id <= JOBS; id++) {
		struct lt_diags diags = { 0 };
		check_chain(job_db, id);
		assert_true(lt_job_db_sound(job_db, id, &diags));
	}
	lt_job_db_close(job_db);
	/* Once is enough. */
	size_t length, again;
	char *before = read_bytes("old.db", &length);
	lt_job_db_close(open_job_db("old.db"));
	char *after = read_bytes("old.db", &again);
	assert_int_equal(length, again);
	assert_memory_equal(before, after, length);
	free(before);
	free(after);
}

/* Whoever reads the file afterwards cannot tell it from one that was made so. */
static void an_updated_store_is_like_a_new_one(void **state)
{
	(void)state;
	static const char schema[] = "SELECT type, name, tbl_name, sql FROM sqlite_schema"
				     " ORDER BY type, name";
	make_old("like.db");
	lt_job_db_close(open_job_db("like.db"));
	lt_job_db_close(open_job_db("new.db"));
	char *expected = ask("new.db", schema);
	assert_answer("like.db", schema, expected);
	free(expected);
	assert_answer("like.db", "PRAGMA integrity_check", "ok\n");
	assert_answer("like.db", "PRAGMA foreign_key_check", "");
	assert_answer("like.db", "PRAGMA application_id", "1280598638\n");
}

static void new_events_follow_the_old_ones(void **state)
{
	(void)state;
	make_old("on.db");
	struct lt_job_db *job_db = open_job_db("on.db");
	struct lt_diags diags = { 0 };
	unsigned station;
	/* Behind its own last event, whatever others have. */
	assert_int_equal(keep(job_db, 2, scan_of(AT + 99000, 2)), 23);
	assert_int_equal(keep(job_db, 2, scan_of(AT + 99001, 2)), 24);
	assert_int_equal(keep(job_db, 3, scan_of(AT + 99002, 2)), 15);
	assert_int_equal(keep(job_db, 1, scan_of(AT + 99003, 2)), 0);
	assert_answer("on.db", "SELECT seq, id FROM event WHERE job = 2 AND seq > 10",
		"11|22\n12|23\n13|24\n");
	assert_int_equal(check_chain(job_db, 2), OF_SECOND + 2);
	assert_true(lt_job_db_begin(job_db, &diags));
	assert_true(lt_job_db_station(&station, job_db, 3, &diags));
	assert_int_equal(station, 4);
	assert_true(lt_job_db_commit(job_db, &diags));
	/* A new job has a new number, also of the unit whose job is closed. */
	struct lt_job job = { .code = "GH7U0042", .harness = "GH7", .unit = "0042" };
	assert_int_equal(new_job(job_db, &job), 5);
	assert_answer("on.db", "SELECT origin, events FROM job WHERE id = 5", "5|1\n");
	lt_job_db_close(job_db);
}

static void assert_still_old(const char *path, const char *before, size_t length)
{
	size_t now;
	char *after = read_bytes(path, &now);
	assert_int_equal(now, length);
	assert_memory_equal(after, before, length);
	free(after);
	assert_answer(path, "PRAGMA user_version", "1\n");
	char beside[64];
	snprintf(beside, sizeof(beside), "%s-journal", path);
	assert_int_equal(access(beside, F_OK), -1);
}

/* Nothing of it is done where not all of it is. */
static void an_update_is_done_completely_or_not_at_all(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	size_t length;
	make_old("half.db");
	char *before = read_bytes("half.db", &length);

	/* A step that breaks off at each of its statements. */
	const char *sql = lt_sqlite_steps[1];
	size_t broken = 0;
	for (const char *end = strchr(sql, ';'); end != NULL; end = strchr(end + 1, ';')) {
		struct lt_text some = { 0 };
		lt_text_add_bytes(&some, sql, (size_t)(end - sql) + 1);
		if (sqlite3_complete(lt_text_string(&some)) != 0) {
			lt_text_add(&some, "SELECT broken;");
			const char *const steps[] = { lt_sqlite_steps[0], some.bytes };
			struct lt_sqlite raw = { .path = (char *)"half.db" };
			assert_int_equal(sqlite3_open("half.db", &raw.db), SQLITE_OK);
			assert_false(lt_sqlite_migrate(&raw, steps, 2, &diags));
			assert_error(&diags, "half.db", "broken");
			sqlite3_close(raw.db);
			assert_still_old("half.db", before, length);
			broken++;
		}
		lt_text_finish(&some);
	}
	assert_true(broken > 15);

	/* No room for it: by SQLite's own limit, which is answered as a full disk is. */
	struct lt_sqlite raw = { .path = (char *)"half.db" };
	assert_int_equal(sqlite3_open("half.db", &raw.db), SQLITE_OK);
	old_run(raw.db, "PRAGMA max_page_count = 1");
	assert_false(lt_sqlite_migrate(&raw, lt_sqlite_steps, LT_SQLITE_VERSION, &diags));
	assert_error(&diags, "half.db", "the disk is full");
	sqlite3_close(raw.db);
	assert_still_old("half.db", before, length);

	/* With room it is done. */
	lt_job_db_close(open_job_db("half.db"));
	assert_answer("half.db", "PRAGMA user_version", "2\n");
	free(before);
}

/* What version 2 does not take was never written by version 1: the file is left as it is. */
static void impossible_stores_are_not_changed(void **state)
{
	(void)state;
	make_old("cannot.db");
	sqlite3 *db;
	assert_int_equal(sqlite3_open("cannot.db", &db), SQLITE_OK);
	old_run(db, "DROP TRIGGER event_stays; PRAGMA ignore_check_constraints = ON;"
		    "UPDATE event SET stage = 'lunch' WHERE id = 6");
	sqlite3_close(db);
	assert_refused("cannot.db", ": CHECK constraint failed");
	assert_answer("cannot.db", "PRAGMA user_version", "1\n");
}

/* Two programs that come to it at once: one brings it up to date, and the other finds it so. */
static void two_processes_update_at_once(void **state)
{
	(void)state;
	enum { PROCESSES = 3, ROUNDS = 5 };
	for (int round = 0; round < ROUNDS; round++) {
		int gate[2];
		pid_t children[PROCESSES];
		char path[32];
		snprintf(path, sizeof(path), "both-%d.db", round);
		make_old(path);
		assert_int_equal(pipe(gate), 0);
		for (int i = 0; i < PROCESSES; i++) {
			children[i] = fork();
			if (children[i] != 0)
				continue;
			char c;
			close(gate[1]);
			if (read(gate[0], &c, 1) != 0)
				_exit(1);
			struct lt_diags diags = { 0 };
			struct lt_job_db *job_db = lt_job_db_open(path, false, &diags);
			if (job_db == NULL)
				lt_diags_print(&diags, 0, stderr, false);
			_exit(job_db != NULL && keep(job_db, 2, scan_of(AT + 99000, 5)) != 0 ? 0
											     : 2);
		}
		close(gate[0]);
		close(gate[1]);
		for (int i = 0; i < PROCESSES; i++) {
			int status;
			assert_int_equal(waitpid(children[i], &status, 0), children[i]);
			assert_int_equal(status, 0);
		}
		struct lt_job_db *job_db = open_job_db(path);
		assert_int_equal(check_chain(job_db, 2), OF_SECOND + PROCESSES);
		lt_job_db_close(job_db);
	}
}

/* As one who may not write: nobody, where the tests are run by root, whom nothing is forbidden. */
static int without_writing(void)
{
	if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0))
		return 1;
	struct lt_diags diags = { 0 };
	if (lt_job_db_open("closed/old.db", false, &diags) != NULL)
		return 2;
	if (diags.errors != 1 || strstr(diags.items[0].message, "older version") == NULL ||
		strstr(diags.items[0].message, "read-only") == NULL || diags.items[0].hint == NULL)
		return 3;
	return 0;
}

static void a_read_only_store_is_refused(void **state)
{
	(void)state;
	size_t length;
	assert_int_equal(mkdir("closed", 0755), 0);
	make_old("closed/old.db");
	char *before = read_bytes("closed/old.db", &length);
	assert_int_equal(chmod("closed/old.db", 0444), 0);
	assert_int_equal(chmod(".", 0755), 0);
	assert_int_equal(chmod("closed", 0555), 0);
	pid_t child = fork();
	if (child == 0)
		_exit(without_writing());
	int status;
	assert_int_equal(waitpid(child, &status, 0), child);
	assert_int_equal(chmod("closed", 0755), 0);
	assert_int_equal(status, 0);
	assert_still_old("closed/old.db", before, length);
	free(before);
}

/* Working on. */

static struct lt_work *open_work(const struct fixture *fixture, const char *db)
{
	struct lt_diags diags = { 0 };
	const struct lt_work_options options = { .db = db };
	struct lt_work *work = lt_work_open(&fixture->tags, &options, "Bo", &diags);
	if (work == NULL)
		lt_diags_print(&diags, 0, stderr, false);
	assert_non_null(work);
	assert_int_equal(diags.count, 0);
	return work;
}

static bool scan(struct lt_work *work, const char *unit, unsigned number, enum lt_side side,
	enum lt_verdict *verdict)
{
	struct lt_diags diags = { 0 };
	struct lt_answer answer = { .verdict = LT_VERDICT_MISREAD };
	char harness[16], code[LT_SCAN_CODE_SIZE];
	bool taken;
	snprintf(harness, sizeof(harness), "GH7U%s", unit);
	lt_scan_code_write(code, number, side, harness);
	assert_true(lt_work_scan(work, &taken, &answer, code, strlen(code), &diags));
	assert_int_equal(diags.count, 0);
	*verdict = answer.verdict;
	return taken;
}

static size_t made_count(const struct lt_work *work, enum lt_stage stage)
{
	return lt_verify_made_count(lt_job_state_machine(lt_work_state(work), stage));
}

static void the_mark_is_computed_as_before(void **state)
{
	(void)state;
	struct fixture fixture, other;
	struct lt_arena arena = { 0 };
	set_up(&fixture, "7", "L1");
	set_up(&other, "7", "L2");
	assert_string_equal(lt_job_mark_v1(&arena, &fixture.tags), MARK);
	assert_string_not_equal(lt_job_mark_v1(&arena, &other.tags), MARK);
	lt_arena_finish(&arena);
	fixture_finish(&fixture);
	fixture_finish(&other);
}

static void a_job_whose_mark_fits_is_continued(void **state)
{
	(void)state;
	struct fixture fixture;
	size_t count;
	enum lt_verdict verdict;
	make_old("fits.db");
	set_up(&fixture, "7", "L1");
	struct lt_work *work = open_work(&fixture, "fits.db");
	const struct lt_job_event *kept = lt_work_events(work, &count);
	assert_int_equal(lt_work_job(work), 2);
	assert_int_equal(lt_work_resumed(work), OF_SECOND);
	assert_int_equal(count, OF_SECOND + 1);
	assert_int_equal(kept[OF_SECOND].kind, LT_JOB_PLAN);
	assert_false(lt_work_differs(work));
	assert_true(lt_job_state_replan(lt_work_state(work), 0)->plan->backdated);
	assert_int_equal(lt_job_state_strange(lt_work_state(work)), LT_NONE);
	/* What was made counts, by the event that made it; and so does what was skipped. */
	assert_int_equal(made_count(work, LT_STAGE_TAG), 1);
	assert_int_equal(made_count(work, LT_STAGE_RECONNECT), 1);
	assert_int_equal(lt_job_state_history(lt_work_state(work), 0).made, 8);
	assert_int_equal(lt_job_state_history(lt_work_state(work), 3).skipped, 10);
	assert_true(scan(work, "7", 2, LT_SIDE_H, &verdict));
	assert_true(scan(work, "7", 2, LT_SIDE_M, &verdict));
	assert_int_equal(verdict, LT_VERDICT_MATED);
	assert_int_equal(made_count(work, LT_STAGE_RECONNECT), 2);
	lt_work_close(work);

	/* The next one finds the plan there. */
	work = open_work(&fixture, "fits.db");
	assert_int_equal(lt_job_state_plans(lt_work_state(work)), 1);
	assert_int_equal(made_count(work, LT_STAGE_RECONNECT), 2);
	lt_work_close(work);
	fixture_finish(&fixture);

	/* And one with another description is told what is another. */
	const struct lt_plan_change *changes;
	bool voids_all;
	set_up(&fixture, "7", "L2");
	work = open_work(&fixture, "fits.db");
	assert_true(lt_work_changes(work, &changes, &voids_all) > 0);
	assert_false(voids_all);
	assert_int_equal(changes[0].number, 1);
	lt_work_close(work);
	fixture_finish(&fixture);
}

/* A job of version 1 whose own words do not count: nothing does, until a plan is put in force. */
static void check_voided(const char *db, const char *unit, size_t events_before)
{
	struct fixture fixture;
	struct lt_diags diags = { 0 };
	const struct lt_plan_change *changes;
	enum lt_verdict verdict;
	bool voids_all;
	size_t count;
	unsigned no;
	set_up(&fixture, unit, "L1");
	struct lt_work *work = open_work(&fixture, db);
	(void)lt_work_events(work, &count);
	assert_int_equal(count, events_before);
	assert_int_equal(lt_work_changes(work, &changes, &voids_all), 0);
	assert_true(voids_all);
	assert_true(lt_work_differs(work));
	assert_int_equal(lt_job_state_plans(lt_work_state(work)), 0);
	/* No scan, no yes, no end. */
	assert_false(scan(work, unit, 1, LT_SIDE_H, &verdict));
	assert_true(lt_work_answer(&no, work, LT_STAGE_RECONNECT, &diags));
	assert_int_equal(no, LT_NO_PLAN | LT_NO_OTHER_PLAN);
	assert_true(lt_work_finish(work, NULL, &diags));
	assert_false(lt_job_state_closed(lt_work_state(work)));
	(void)lt_work_events(work, &count);
	assert_int_equal(count, events_before);

	assert_true(lt_work_replan(work, &diags));
	assert_false(lt_work_differs(work));
	assert_true(lt_job_state_replan(lt_work_state(work), 0)->voids_all);
	for (int stage = 0; stage < LT_STAGE_FINISH; stage++)
		assert_int_equal(made_count(work, (enum lt_stage)stage), 0);
	for (size_t i = 0; i < 4; i++)
		assert_true(lt_verify_needed(lt_job_state_machine(lt_work_state(work),
						     LT_STAGE_RECONNECT),
			i));
	assert_true(lt_work_answer(&no, work, LT_STAGE_RECONNECT, &diags));
	assert_int_equal(no, LT_NO_OPEN);
	assert_int_equal(lt_job_state_stage(lt_work_state(work)), LT_STAGE_RECONNECT);
	assert_true(scan(work, unit, 1, LT_SIDE_H, &verdict));
	assert_true(scan(work, unit, 1, LT_SIDE_M, &verdict));
	assert_int_equal(verdict, LT_VERDICT_MATED);
	assert_int_equal(made_count(work, LT_STAGE_RECONNECT), 1);
	assert_int_equal(diags.count, 0);
	lt_work_close(work);

	work = open_work(&fixture, db);
	assert_false(lt_work_differs(work));
	assert_int_equal(lt_job_state_strange(lt_work_state(work)), LT_NONE);
	assert_int_equal(made_count(work, LT_STAGE_RECONNECT), 1);
	lt_work_close(work);
	fixture_finish(&fixture);
}

static void a_job_with_another_mark_is_void(void **state)
{
	(void)state;
	make_old("other.db");
	check_voided("other.db", "8", 6);
}

static void an_impossible_job_is_void(void **state)
{
	(void)state;
	make_old("strange.db");
	check_voided("strange.db", "9", 3);
}

/* Only the closed job knew what it was judged by, and took it with it. */
static void a_closed_job_is_not_changed(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job last;
	make_old("closed.db");
	set_up(&fixture, "0042", "L1");
	struct lt_work *work = open_work(&fixture, "closed.db");
	assert_false(lt_work_has_job(work));
	assert_true(lt_work_last_closed(&last, work, &arena, &diags));
	assert_int_equal(last.id, 1);
	assert_true(lt_work_begin(work, &diags));
	assert_int_equal(lt_work_job(work), 5);
	assert_answer("closed.db", "SELECT count(*), max(id) FROM event WHERE job = 1", "5|15\n");
	lt_work_close(work);
	lt_arena_finish(&arena);
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(nothing_is_lost),
		cmocka_unit_test(an_updated_store_is_like_a_new_one),
		cmocka_unit_test(new_events_follow_the_old_ones),
		cmocka_unit_test(an_update_is_done_completely_or_not_at_all),
		cmocka_unit_test(impossible_stores_are_not_changed),
		cmocka_unit_test(two_processes_update_at_once),
		cmocka_unit_test(a_read_only_store_is_refused),
		cmocka_unit_test(the_mark_is_computed_as_before),
		cmocka_unit_test(a_job_whose_mark_fits_is_continued),
		cmocka_unit_test(a_job_with_another_mark_is_void),
		cmocka_unit_test(an_impossible_job_is_void),
		cmocka_unit_test(a_closed_job_is_not_changed),
	};
	return cmocka_run_group_tests(tests, enter_quick_folder, leave_folder);
}
