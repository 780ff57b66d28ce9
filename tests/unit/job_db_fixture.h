/* What the tests of stores of jobs share: a job, ways to write it, and what must hold of a file.
 * Included behind unit.h. */
#ifndef LOOMTAG_TESTS_JOB_DB_FIXTURE_H
#define LOOMTAG_TESTS_JOB_DB_FIXTURE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "folder.h"
#include "job/db.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* In memory where there is such a place: nothing here tests the disk, and waiting for it is slow.
 */
static inline int enter_quick_folder(void **state)
{
	if (access("/dev/shm", W_OK | X_OK) != 0)
		return enter_folder(state);
	strcpy(folder, "/dev/shm/loomtag-test-XXXXXX");
	return mkdtemp(folder) != NULL && chdir(folder) == 0 ? 0 : -1;
}

static const struct lt_job lamp = {
	.code = "GH7U0042",
	.harness = "GH7",
	.unit = "0042",
	.title = "Glasshouse lamp rail",
	.revision = "B",
};
static const struct lt_job_event begun = {
	.at = 1700000000123,
	.who = "Ada",
	.station = 1,
	.stage = LT_STAGE_TAG,
};

/* Everything that must work; says what was wrong where it does not. */
static inline struct lt_job_db *open_job_db(const char *path)
{
	struct lt_diags diags = { 0 };
	struct lt_job_db *job_db = lt_job_db_open(path, true, &diags);
	if (job_db == NULL)
		lt_diags_print(&diags, 0, stderr, false);
	assert_non_null(job_db);
	assert_int_equal(diags.count, 0);
	lt_diags_finish(&diags);
	return job_db;
}

static inline unsigned long long new_job(struct lt_job_db *job_db, const struct lt_job *job)
{
	struct lt_diags diags = { 0 };
	unsigned long long id = 0;
	assert_true(lt_job_db_begin(job_db, &diags));
	assert_true(lt_job_db_new_job(&id, job_db, job, &begun, &diags));
	assert_true(lt_job_db_commit(job_db, &diags));
	assert_int_equal(diags.count, 0);
	return id;
}

static inline struct lt_job_event scan_of(long long at, unsigned station)
{
	return (struct lt_job_event){
		.at = at,
		.who = "Ada",
		.station = station,
		.kind = LT_JOB_SCAN,
		.stage = LT_STAGE_RECONNECT,
		.text = "12HGH7U0042K",
		.tag = "12H",
		.verdict = "half",
		.typed = true,
	};
}

/* One event in a transaction of its own; 0 when it was not kept. */
static inline unsigned long long keep(struct lt_job_db *job_db, unsigned long long job,
	struct lt_job_event event)
{
	struct lt_diags diags = { 0 };
	bool good = lt_job_db_begin(job_db, &diags);
	good = good && lt_job_db_append(job_db, job, &event, &diags);
	good = good && lt_job_db_commit(job_db, &diags);
	if (!good)
		lt_job_db_abandon(job_db);
	lt_diags_finish(&diags);
	return good ? event.id : 0;
}

/* All events of a job, whose chain must hold and whose ids must ascend. */
static inline size_t check_chain(struct lt_job_db *job_db, unsigned long long id)
{
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_job job;
	struct lt_job_event *events;
	size_t count;
	assert_true(lt_job_db_job(&job, job_db, id, &arena, &diags));
	assert_true(lt_job_db_events(&events, &count, job_db, id, 0, &arena, &diags));
	assert_int_equal(count, job.events);
	assert_int_equal(lt_job_digest_check(&job, events, count), count);
	for (size_t i = 1; i < count; i++)
		assert_true(events[i].id > events[i - 1].id);
	assert_int_equal(diags.count, 0);
	lt_arena_finish(&arena);
	return count;
}

static inline void assert_error(struct lt_diags *diags, const char *path, const char *words)
{
	assert_int_equal(diags->errors, 1);
	assert_string_equal(diags->items[0].place.file, path);
	if (strstr(diags->items[0].message, words) == NULL)
		fail_msg("\"%s\" does not say \"%s\"", diags->items[0].message, words);
	assert_non_null(diags->items[0].hint);
	lt_diags_finish(diags);
	lt_diags_init(diags);
}

static inline char *read_bytes(const char *path, size_t *length)
{
	struct lt_diags diags = { 0 };
	char *bytes = NULL;
	assert_true(lt_file_read(&bytes, length, path, 100000000, &diags));
	return bytes;
}

/* Refused with these words, whether it may be made or not, with no byte changed and nothing left
 * beside it. */
static inline void assert_refused(const char *path, const char *words)
{
	size_t before_length, after_length;
	char *before = read_bytes(path, &before_length);
	for (int make = 0; make < 2; make++) {
		struct lt_diags diags = { 0 };
		assert_null(lt_job_db_open(path, make == 1, &diags));
		assert_error(&diags, path, words);
		char *after = read_bytes(path, &after_length);
		assert_int_equal(after_length, before_length);
		assert_memory_equal(after, before, before_length);
		free(after);
		char beside[128];
		static const char *const endings[] = { "-journal", "-wal", "-shm" };
		for (size_t i = 0; i < COUNT(endings); i++) {
			snprintf(beside, sizeof(beside), "%s%s", path, endings[i]);
			assert_int_equal(access(beside, F_OK), -1);
		}
	}
	free(before);
}

#endif
