/* The record of a job: what its summary and tables say of jobs made by hand, the text in full, and,
 * measured on a canvas that records, where the pages say it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <jansson.h>

#include "fixture.h"
#include "job/db.h"
#include "job/plan.h"
#include "loomtag/trade.h"
#include "loomtag/words.h"
#include "record/facts.h"
#include "record_canvas.h"

static const char KILN[] =
	"harness: KT4\nnumbers: order\n"
	"title: Kiln trolley drive\n"
	"unit: \"0042\"\n"
	"revision: C\n"
	"hazards:\n"
	"  - energy: mains 400 V\n"
	"    restore: last, covers closed\n"
	"components:\n"
	"  - {id: M1, name: hoist motor, place: left column, fate: replace}\n"
	"  - {id: A2, name: drive board}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, port: PWR, family: big, ways: 3}\n"
	"  - {id: X2, name: encoder, mates: A2, port: J4, family: small, ways: 2}\n"
	"  - {id: X3, name: end switch, mates: A2, family: small, ways: 2}\n"
	"  - {id: C1, name: strut clip, kind: clip, sides: 2, tag: none}\n"
	"  - {id: E1, name: frame earth, kind: strap, family: M6, tag: paper}\n"
	"  - {id: H1, name: drain hose, kind: hose, family: 8 mm barb, sides: 1}\n"
	"finish:\n"
	"  - Nothing pinched\n";

#define EVENTS_MOST 200

/* A job that is written event by event. */
struct work {
	struct fixture fixture;
	struct lt_arena arena;
	struct lt_job job;
	struct lt_job_event events[EVENTS_MOST];
	size_t count;
	long long at;
	const char *who;
	struct lt_record *record;
};

static void add(struct work *work, struct lt_job_event event)
{
	char before[65];
	assert_true(work->count < EVENTS_MOST);
	if (work->count == 0)
		assert_true(lt_job_digest_first(before, &work->job));
	else
		memcpy(before, work->events[work->count - 1].digest, sizeof before);
	event.id = work->count + 1;
	event.at = work->at;
	event.who = work->who;
	event.station = 1;
	assert_true(lt_job_digest_event(event.digest, before, &event));
	work->events[work->count++] = event;
	work->job.last = event.at;
	work->job.events = work->count;
	work->job.scans += event.kind == LT_JOB_SCAN;
	work->job.closed = event.kind == LT_JOB_CLOSED;
	work->at += 5250;
}

static void say(struct work *work, enum lt_job_event_kind kind, enum lt_stage stage,
	const char *text)
{
	add(work, (struct lt_job_event){ .kind = kind, .stage = stage, .text = text });
}

static void scan(struct work *work, enum lt_stage stage, unsigned number, enum lt_side side,
	const char *verdict)
{
	char tag[LT_TAG_SIZE], code[LT_SCAN_CODE_SIZE];
	lt_tag_write(tag, number, side);
	lt_scan_code_write(code, number, side, work->job.code);
	/* Number 4 has no stickers: its tags are typed. */
	add(work, (struct lt_job_event){ .kind = LT_JOB_SCAN,
			  .stage = stage,
			  .text = lt_arena_strdup(&work->arena, number == 4 ? tag : code),
			  .tag = lt_arena_strdup(&work->arena, tag),
			  .verdict = verdict });
}

static void pair(struct work *work, enum lt_stage stage, unsigned number, enum lt_side first,
	enum lt_side second)
{
	if (number == 5) {
		scan(work, stage, number, LT_SIDE_H, "done");
		return;
	}
	scan(work, stage, number, first, "half");
	scan(work, stage, number, second, "mated");
}

/* Puts a description in force, at the time of the event before it. */
static void plan(struct work *work, const struct fixture *fixture, bool backdated)
{
	struct lt_job_plan made;
	struct lt_text text = { 0 };
	lt_job_plan_make(&made, &work->arena, &fixture->tags);
	made.backdated = backdated;
	lt_job_plan_write(&text, &made);
	work->at -= work->count > 0 ? 5250 : 0;
	say(work, LT_JOB_PLAN, LT_STAGE_RECONNECT,
		lt_arena_strdup(&work->arena, lt_text_string(&text)));
	lt_text_finish(&text);
}

/* A job as version 1 of the store kept it: it does not say by what it was judged. */
static void set_up_old(struct work *work, const char *yaml)
{
	*work = (struct work){ .at = 1700000000250, .who = "Ada Brandt" };
	fixture_read(&work->fixture, "kiln.yaml", yaml);
	work->job = (struct lt_job){ .id = 7,
		.origin = 7,
		.code = "KT4U0042",
		.harness = "KT4",
		.unit = "0042",
		.title = "Kiln trolley drive",
		.revision = "C",
		.opened = work->at };
	say(work, LT_JOB_OPENED, LT_STAGE_TAG, "Kiln trolley drive");
}

static void set_up(struct work *work, const char *yaml)
{
	set_up_old(work, yaml);
	plan(work, &work->fixture, false);
}

static void tear_down(struct work *work)
{
	lt_record_destroy(work->record);
	lt_arena_finish(&work->arena);
	fixture_finish(&work->fixture);
}

static void tag_all(struct work *work)
{
	say(work, LT_JOB_STAGE, LT_STAGE_TAG, NULL);
	for (unsigned number = 1; number <= 5; number++)
		pair(work, LT_STAGE_TAG, number, LT_SIDE_H, number == 1 ? LT_SIDE_X : LT_SIDE_M);
}

static void unplug(struct work *work, unsigned last)
{
	say(work, LT_JOB_STAGE, LT_STAGE_UNPLUG, NULL);
	for (unsigned number = 1; number <= last; number++)
		scan(work, LT_STAGE_UNPLUG, number, LT_SIDE_H, "done");
}

static void swap(struct work *work)
{
	say(work, LT_JOB_STAGE, LT_STAGE_SWAP, NULL);
	pair(work, LT_STAGE_SWAP, 1, LT_SIDE_X, LT_SIDE_M);
}

static void reconnect(struct work *work)
{
	say(work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	for (unsigned number = 1; number <= 5; number++)
		pair(work, LT_STAGE_RECONNECT, number, LT_SIDE_H, LT_SIDE_M);
}

static void finish(struct work *work)
{
	say(work, LT_JOB_STAGE, LT_STAGE_FINISH, NULL);
	say(work, LT_JOB_TICK, LT_STAGE_FINISH, "mains 400 V: restored: last, covers closed");
	say(work, LT_JOB_TICK, LT_STAGE_FINISH, "Nothing pinched");
	say(work, LT_JOB_TICK, LT_STAGE_FINISH, "C1, strut clip: looked at; it has no number");
	say(work, LT_JOB_CLOSED, LT_STAGE_FINISH, NULL);
}

static void make_safe(struct work *work)
{
	say(work, LT_JOB_HAZARD, LT_STAGE_RECONNECT, "mains 400 V");
}

static void whole(struct work *work)
{
	make_safe(work);
	tag_all(work);
	unplug(work, 5);
	swap(work);
	work->who = "Bo Lindt";
	reconnect(work);
	finish(work);
}

static long one_hour(void *data, long long at)
{
	(void)data;
	(void)at;
	return 3600;
}

static const struct lt_record *record_with(struct work *work, enum lt_paper paper)
{
	struct lt_record_options options = LT_RECORD_OPTIONS_INIT;
	options.paper = paper;
	options.program = "loomtag 9.9";
	options.offset = one_hour;
	lt_record_destroy(work->record);
	work->record = lt_record_create(&work->fixture.tags, &work->job, work->events, work->count,
		&options);
	return work->record;
}

static const struct lt_record *record(struct work *work)
{
	return record_with(work, LT_PAPER_A4);
}

/* The summary's lines that stand out, or the others, one below the other. */
static char *summary(const struct lt_record *made, bool faults)
{
	struct lt_text text = { 0 };
	size_t count = 0;
	for (size_t i = 0; i < made->document.count; i++) {
		const struct lt_block *block = &made->document.blocks[i];
		if (block->kind != LT_BLOCK_FINDING || block->fault != faults)
			continue;
		lt_text_printf(&text, "%s\n", block->text);
		count++;
	}
	if (faults)
		assert_int_equal(lt_record_faults(made), count);
	lt_text_add(&text, "");
	return text.bytes != NULL ? text.bytes : calloc(1, 1);
}

/* The summary has a finding that says this; finishes the text. */
static void assert_finding(struct work *work, bool fault, struct lt_text *expected)
{
	const struct lt_record *made = record(work);
	bool found = false;
	for (size_t i = 0; i < made->document.count && !found; i++) {
		const struct lt_block *block = &made->document.blocks[i];
		found = block->kind == LT_BLOCK_FINDING && block->fault == fault &&
			strcmp(block->text, lt_text_string(expected)) == 0;
	}
	if (!found) {
		char *plain = summary(made, false), *faults = summary(made, true);
		print_error("no such finding: %s\n%s%s", lt_text_string(expected), plain, faults);
		free(plain);
		free(faults);
	}
	assert_true(found);
	lt_text_finish(expected);
}

/* Likewise, by the function of the words that adds it. */
#define FINDS(work, fault, add, ...) \
	do { \
		struct lt_text expected_ = { 0 }; \
		add(&expected_, __VA_ARGS__); \
		assert_finding(work, fault, &expected_); \
	} while (0)

/* Likewise, of fixed words. */
#define FINDS_FIXED(work, fault, field) FINDS(work, fault, lt_text_add, lt_record_words.field)

/* How many findings stand out, or do not. */
static void assert_findings(struct work *work, bool faults, size_t count)
{
	char *said = summary(record(work), faults);
	size_t lines = 0;
	for (const char *at = said; (at = strchr(at, '\n')) != NULL; at++)
		lines++;
	if (lines != count)
		fail_msg("%zu findings, not %zu:\n%s", lines, count, said);
	free(said);
}

/* Whether the cells of a row hold these parts, one behind the other. */
static bool row_holds(const struct lt_document *document, const struct lt_block *row,
	const char *const *parts)
{
	const char *at = "";
	size_t cell = 0;
	while (*parts != NULL) {
		const char *found = strstr(at, *parts);
		if (found != NULL)
			at = found + strlen(*parts++);
		else if (cell < row->count)
			at = document->items[row->first + cell++].text;
		else
			return false;
	}
	return true;
}

/* A table has a row with these parts in its cells, in this order. */
static void assert_row(struct work *work, bool fault, const char *const *parts)
{
	const struct lt_document *document = &record(work)->document;
	for (size_t i = 0; i < document->count; i++)
		if (document->blocks[i].kind == LT_BLOCK_ROW &&
			document->blocks[i].fault == fault &&
			row_holds(document, &document->blocks[i], parts))
			return;
	fail_msg("no such row: %s %s", parts[0], parts[1]);
}

#define ROW(work, fault, ...) assert_row(work, fault, (const char *const[]){ __VA_ARGS__, NULL })

static char *written(struct work *work)
{
	struct lt_text text = { 0 };
	lt_record_write(&text, record(work));
	return text.bytes;
}

/* Runs of blanks and line ends as one blank, in place. */
static void flatten(char *text)
{
	char *to = text;
	for (const char *from = text; *from != '\0'; from++) {
		bool blank = *from == ' ' || *from == '\n';
		if (!blank || (to > text && to[-1] != ' '))
			*to++ = blank ? ' ' : *from;
	}
	*to = '\0';
}

/* The text says it, wherever its lines are broken. */
static void assert_written(struct work *work, const char *part)
{
	char *text = written(work);
	char *flat = strdup(part);
	flatten(text);
	flatten(flat);
	if (strstr(text, flat) == NULL)
		fail_msg("not said: %s", flat);
	free(flat);
	free(text);
}

static void a_whole_job_has_no_fault(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	assert_findings(&work, true, 0);
	FINDS(&work, false, lt_words_closed, "2023-11-14 23:16:24 +01:00");
	FINDS(&work, false, lt_words_joints_made, "", 5, 5, true);
	FINDS_FIXED(&work, false, no_wrong_mate);
	FINDS(&work, false, lt_words_joints_found, LT_JOINTS_TYPED_OF_PAPER, 1, "4");
	FINDS(&work, false, lt_words_parts_checked, 1, "");
	FINDS(&work, false, lt_words_hazards_confirmed, 0, 0, 1);
	FINDS(&work, false, lt_words_record_lines, 0, 3);
	FINDS(&work, false, lt_words_events_fit, 37);
	assert_findings(&work, false, 8);
	assert_int_equal(work.record->misfit, LT_NONE);
	tear_down(&work);
}

static void what_was_left_plugged_in_need_not_be_made(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 2);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	pair(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, LT_SIDE_M);
	const struct lt_record *made = record(&work);
	assert_int_equal(made->joint_count, 5);
	static const enum lt_record_joint_state states[] = { LT_RECORD_OPEN, LT_RECORD_MADE,
		LT_RECORD_LEFT_IN, LT_RECORD_LEFT_IN, LT_RECORD_LEFT_IN };
	for (size_t i = 0; i < 5; i++)
		assert_int_equal(made->joints[i].state, states[i]);
	assert_int_equal(made->joints[1].history.unplug_rank, 1);
	FINDS(&work, true, lt_words_joints_made, "1", 1, 2, true);
	FINDS(&work, false, lt_words_joints_found, LT_JOINTS_NOT_APART, 3, "3–5");
	ROW(&work, false, "4H – 4M", "E1 frame earth");
	tear_down(&work);
}

static void unrecorded_joints_are_not_called_made(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	say(&work, LT_JOB_STAGE, LT_STAGE_TAG, NULL);
	pair(&work, LT_STAGE_TAG, 3, LT_SIDE_H, LT_SIDE_M);
	unplug(&work, 2);
	FINDS(&work, false, lt_words_joints_found, LT_JOINTS_NOT_APART, 3, "3–5");
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_UNACCOUNTED, 2, "4, 5");
	ROW(&work, true, "4H – 4M", "E1 frame earth", lt_record_words.not_apart);
	ROW(&work, false, "3H – 3M", lt_record_words.not_apart);
	const struct lt_job_event skips[] = {
		{ .kind = LT_JOB_SKIP,
			.stage = LT_STAGE_UNPLUG,
			.number = 4,
			.text = "not in the way" },
		{ .kind = LT_JOB_SKIP,
			.stage = LT_STAGE_UNPLUG,
			.number = 5,
			.text = "full of oil" },
	};
	add(&work, skips[0]);
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_UNACCOUNTED, 1, "5");
	const size_t faults = lt_record_faults(work.record);
	add(&work, skips[1]);
	FINDS(&work, false, lt_words_joints_found, LT_JOINTS_NOT_APART, 3, "3–5");
	/* Nothing is left of the one fault; that the two are skipped is none. */
	assert_int_equal(lt_record_faults(work.record), faults - 1);
	tear_down(&work);

	/* A replaced part's joint was apart, whoever noted it. */
	set_up(&work, KILN);
	tag_all(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_UNPLUG, NULL);
	scan(&work, LT_STAGE_UNPLUG, 2, LT_SIDE_H, "done");
	FINDS(&work, true, lt_words_joints_made, "1, 2", 0, 2, true);
	FINDS(&work, false, lt_words_joints_found, LT_JOINTS_NOT_APART, 3, "3–5");
	tear_down(&work);
}

static void hazards_are_made_safe_and_restored(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	FINDS(&work, true, lt_words_hazards_confirmed, 1, 0, 1);
	ROW(&work, true, "mains 400 V", "last, covers closed", lt_record_words.not_confirmed,
		lt_record_words.not_ticked);
	say(&work, LT_JOB_HAZARD, LT_STAGE_RECONNECT, "another");
	FINDS(&work, true, lt_words_hazards_confirmed, 1, 0, 1);
	tear_down(&work);

	set_up(&work, KILN);
	whole(&work);
	FINDS(&work, false, lt_words_hazards_confirmed, 0, 0, 1);
	ROW(&work, false, "mains 400 V", "last, covers closed", "23:13:25", "Ada Brandt",
		"23:16:08", "Bo Lindt");
	/* It is no work of a stage. */
	assert_int_equal(work.record->stages[LT_STAGE_RECONNECT].who.count, 1);
	tear_down(&work);

	/* Too late. */
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 1);
	make_safe(&work);
	FINDS(&work, true, lt_words_hazards_confirmed, 0, 1, 1);
	ROW(&work, true, "mains 400 V", "LATE", "23:");
	tear_down(&work);
}

static void a_job_without_names_is_a_fault(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	for (size_t i = 0; i < work.count; i++)
		work.events[i].who = "?";
	work.who = "?";
	FINDS_FIXED(&work, true, nobody_named);
	work.who = "Bo Lindt";
	tag_all(&work);
	char *text = summary(record(&work), true);
	assert_null(strstr(text, lt_record_words.nobody_named));
	free(text);
	tear_down(&work);
}

static void missing_last_events_are_a_fault(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	work.job.counted = work.count;
	assert_findings(&work, true, 0);
	work.count -= 2;
	FINDS(&work, true, lt_words_events_missing, 2, 37);
	struct lt_text json = { 0 };
	lt_record_write_json(&json, record(&work));
	assert_non_null(strstr(lt_text_string(&json), "\"fits\": false"));
	assert_non_null(strstr(lt_text_string(&json), "\"gone\": 2"));
	lt_text_finish(&json);
	tear_down(&work);
}

static void a_job_without_steps_shows_none(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	struct lt_text stages = { 0 };
	for (enum lt_stage stage = LT_STAGE_TAG; stage < LT_STAGE_COUNT; stage++)
		lt_text_printf(&stages, "%s%s", stage > LT_STAGE_TAG ? ", " : "",
			lt_record_words.stage_called[stage]);
	FINDS_FIXED(&work, true, not_closed);
	FINDS(&work, true, lt_words_joints_made, "1–5", 0, 5, false);
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_UNCHECKED, 5, "1–5");
	FINDS(&work, true, lt_words_parts_checked, 1, "M1");
	FINDS(&work, true, lt_words_stages_found, LT_STATE_NOT_BEGUN, 5, lt_text_string(&stages));
	FINDS(&work, true, lt_words_hazards_confirmed, 1, 0, 1);
	FINDS(&work, true, lt_words_record_lines, 3, 3);
	assert_findings(&work, true, 7);
	lt_text_finish(&stages);
	work.count = 0;
	FINDS_FIXED(&work, true, events_gone);
	tear_down(&work);
}

static void wrong_mates_resolved_and_not(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	pair(&work, LT_STAGE_RECONNECT, 1, LT_SIDE_H, LT_SIDE_M);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	size_t first = work.count;
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "wrong-mate");
	pair(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, LT_SIDE_M);
	const struct lt_record *made = record(&work);
	assert_int_equal(made->wrong_count, 1);
	assert_int_equal(made->wrong[0].event, first);
	assert_string_equal(made->wrong[0].first, "2H");
	assert_string_equal(made->wrong[0].second, "3M");
	/* One of the two is not enough. */
	assert_int_equal(made->wrong[0].resolved, LT_NONE);
	FINDS(&work, true, lt_words_wrong_mates, 1, "2H with 3M");
	ROW(&work, true, "2H", "3M", lt_record_words.not_resolved);
	pair(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_H, LT_SIDE_M);
	made = record(&work);
	assert_int_equal(made->wrong[0].resolved, work.count - 1);
	FINDS(&work, false, lt_words_wrong_mates, 1, "");
	scan(&work, LT_STAGE_RECONNECT, 4, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_M, "wrong-mate");
	made = record(&work);
	assert_int_equal(made->wrong_count, 2);
	/* Number 2 is open again, so the first wrong mate is no longer resolved. */
	assert_int_equal(made->wrong[0].resolved, LT_NONE);
	assert_int_equal(made->wrong[1].resolved, LT_NONE);
	FINDS(&work, true, lt_words_joints_made, "2, 4, 5", 2, 5, true);
	tear_down(&work);
}

/* With every joint made, stickers that were on wrong halves are a reason still. */
static void a_wrong_mate_of_stickers_is_a_fault_at_the_end(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	scan(&work, LT_STAGE_TAG, 2, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_TAG, 3, LT_SIDE_M, "wrong-mate");
	unplug(&work, 5);
	swap(&work);
	reconnect(&work);
	FINDS(&work, false, lt_words_joints_made, "", 5, 5, true);
	FINDS(&work, true, lt_words_wrong_mates, 1, "2H with 3M");
	FINDS_FIXED(&work, true, not_reconnected);
	tear_down(&work);
}

/* Nothing can be scanned, and the record does not say that anything was. */
static void a_job_without_numbers_is_a_fault(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, "harness: KT4\nnumbers: order\n"
		      "title: Kiln trolley drive\n"
		      "unit: \"0042\"\n"
		      "revision: C\n"
		      "connectors:\n"
		      "  - {id: C1, kind: clip, tag: none}\n");
	FINDS_FIXED(&work, true, no_joint_has_number);
	assert_written(&work, lt_record_words.no_number);
	tear_down(&work);
}

static void a_pending_sticker_is_a_fault(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	reconnect(&work);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	FINDS(&work, true, lt_words_record_half, 2, LT_SIDE_H, 1);
	/* Also at a terminal that was not the last to scan. */
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "half");
	work.events[work.count - 1].station = 2;
	FINDS(&work, true, lt_words_record_half, 2, LT_SIDE_H, 1);
	FINDS(&work, true, lt_words_record_half, 3, LT_SIDE_M, 2);
	tear_down(&work);
}

static void skipped_joints_and_stages_have_their_reasons(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	say(&work, LT_JOB_STAGE_SKIPPED, LT_STAGE_TAG, "in a hurry\x1b[31m");
	unplug(&work, 5);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	add(&work, (struct lt_job_event){ .kind = LT_JOB_SKIP,
			   .stage = LT_STAGE_RECONNECT,
			   .number = 2,
			   .text = "pin is bent" });
	say(&work, LT_JOB_CLOSED, LT_STAGE_RECONNECT, "sent away");
	FINDS(&work, true, lt_words_closed_unfinished, "sent away");
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_SKIPPED, 1, "2");
	FINDS(&work, true, lt_words_stages_found, LT_STATE_SKIPPED, 1,
		lt_record_words.stage_called[LT_STAGE_TAG]);
	ROW(&work, true, lt_record_words.stage_called[LT_STAGE_TAG],
		lt_record_words.stage_state[LT_STATE_SKIPPED], "Ada Brandt",
		"in a hurry\xef\xbf\xbd[31m");
	ROW(&work, true, "2H – 2M", lt_record_words.not_made, "SKIPPED",
		lt_record_words.stage_called[LT_STAGE_RECONNECT], "pin is bent");
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_UNCHECKED_BEFORE, 5, "1–5");
	tear_down(&work);
}

static void proof_after_unplugging_does_not_count(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	unplug(&work, 5);
	tag_all(&work);
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_UNCHECKED_BEFORE, 5, "1–5");
	tear_down(&work);
}

static void typed_tags_are_counted(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	add(&work, (struct lt_job_event){ .kind = LT_JOB_SCAN,
			   .stage = LT_STAGE_RECONNECT,
			   .text = "2m",
			   .tag = "2M",
			   .verdict = "mated",
			   .typed = true });
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_TYPED, 1, "2");
	ROW(&work, true, "2H – 2M", lt_record_words.made, "; ",
		lt_record_words.typed_at[LT_STAGE_RECONNECT]);
	for (size_t i = 0; i < work.count; i++)
		if (work.events[i].tag != NULL && work.events[i].tag[0] == '2')
			work.events[i].text = work.events[i].tag;
	for (size_t i = 0; i < work.count; i++)
		work.events[i].typed = true;
	ROW(&work, true, "2H – 2M", lt_record_words.made, "; ",
		lt_record_words.typed_at[LT_STAGE_TAG], ", ",
		lt_record_words.typed_at[LT_STAGE_RECONNECT]);
	tear_down(&work);
}

static void a_changed_event_is_named(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	work.events[16].at += 1;
	FINDS(&work, true, lt_words_events_changed, 17, 37);
	assert_findings(&work, true, 1);
	assert_int_equal(work.record->misfit, 16);
	ROW(&work, true, "17", lt_record_words.digest_wrong);
	tear_down(&work);
}

/* A description with the register as it would be by now. */
static void set_up_later(struct fixture *fixture, const char *yaml)
{
	static const char *const ids[] = { "X1", "X2", "X3", "E1", "H1" };
	fixture_read(fixture, "kiln.yaml", yaml);
	lt_tags_finish(&fixture->tags);
	lt_register_finish(&fixture->reg);
	lt_register_init(&fixture->reg);
	for (unsigned i = 0; i < 5; i++)
		lt_register_add(&fixture->reg, i + 1, ids[i]);
	assert_true(lt_tags_assign(&fixture->tags, &fixture->harness, fixture->lookalikes,
		&fixture->reg, &fixture->diags));
}

/* KILN with one line replaced, or left out (NULL); the caller frees it. */
static char *kiln_with(const char *yaml, const char *line, const char *other)
{
	struct lt_text text = { 0 };
	const char *at = strstr(yaml, line);
	assert_non_null(at);
	lt_text_add_bytes(&text, yaml, (size_t)(at - yaml));
	if (other != NULL)
		lt_text_printf(&text, "%s\n", other);
	lt_text_add(&text, strchr(at, '\n') + 1);
	return text.bytes;
}

/* The record as JSON, read back. */
static json_t *record_json(struct work *work)
{
	struct lt_text text = { 0 };
	lt_record_write_json(&text, record(work));
	json_t *json = json_loads(lt_text_string(&text), JSON_REJECT_DUPLICATES, NULL);
	assert_non_null(json);
	lt_text_finish(&text);
	return json;
}

static const char *text_at(const json_t *list, size_t index, const char *key)
{
	const char *text = json_string_value(json_object_get(json_array_get(list, index), key));
	return text != NULL ? text : "";
}

/* As in the list of events of a job: no number is no number, and not zero. */
static void an_event_without_number_has_none(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	add(&work, (struct lt_job_event){ .kind = LT_JOB_SKIP, .number = 3, .text = "bent" });
	json_t *json = record_json(&work);
	const json_t *events = json_object_get(json, "events");
	const json_t *opened = json_array_get(events, 0), *skip = json_array_get(events, 2);
	assert_true(json_is_null(json_object_get(opened, "number")));
	assert_int_equal(json_integer_value(json_object_get(skip, "number")), 3);
	for (size_t i = 0; i < json_array_size(events); i++) {
		json_t *listed = lt_job_event_json(&work.events[i], false);
		for (void *at = json_object_iter(listed); at != NULL;
			at = json_object_iter_next(listed, at))
			assert_true(json_equal(json_object_iter_value(at),
				json_object_get(json_array_get(events, i),
					json_object_iter_key(at))));
		json_decref(listed);
	}
	json_decref(json);
	tear_down(&work);
}

static void a_changed_description_is_shown(void **state)
{
	(void)state;
	struct work work;
	struct fixture now;
	set_up(&work, KILN);
	whole(&work);
	/* X3, which had number 3, is gone; the revision is another. */
	char *less = kiln_with(KILN, "  - {id: X3", NULL);
	char *yaml = kiln_with(less, "revision: C", "revision: D");
	set_up_later(&now, yaml);
	struct fixture then = work.fixture;
	work.fixture = now;
	/* What was answered stands, and so do the joints of the plan that it was answered by. */
	const struct lt_record *made = record(&work);
	assert_int_equal(made->joint_count, 5);
	assert_string_equal(made->joints[2].plan->id, "X3");
	assert_string_equal(made->joints[2].tags, "3H – 3M");
	assert_int_equal(made->joints[2].state, LT_RECORD_MADE);
	assert_false(made->joints[2].removed);
	assert_false(made->joints[2].described);
	assert_true(made->joints[1].described);
	FINDS_FIXED(&work, true, described_anew);
	FINDS(&work, true, lt_words_revision_changed, "C", "D");
	assert_findings(&work, true, 2);
	ROW(&work, false, "3H – 3M", "X3 end switch");
	assert_written(&work, "  3H – 3M  X3 end switch, mates with A2 drive board\n");
	json_t *json = record_json(&work);
	assert_true(json_is_false(json_object_get(json, "ok")));
	assert_true(json_is_true(json_object_get(json, "description_changed")));
	assert_int_equal(json_array_size(json_object_get(json, "plans")), 1);
	const json_t *events = json_object_get(json, "events");
	for (size_t i = 0; i < json_array_size(events); i++)
		assert_true(json_is_null(json_object_get(json_array_get(events, i), "today")));
	json_decref(json);
	work.fixture = then;
	fixture_finish(&now);
	free(less);
	free(yaml);
	tear_down(&work);
}

/* While the job was worked on: a joint on another mate, one renamed, one gone, one new. */
static char *changed_kiln(void)
{
	char *mate = kiln_with(KILN, "  - {id: X2",
		"  - {id: X2, name: encoder, mates: M1, port: J4, family: small, ways: 2}");
	char *renamed = kiln_with(mate, "  - {id: E1",
		"  - {id: E7, was: E1, name: frame earth, kind: strap, family: M6, tag: paper}");
	char *yaml = kiln_with(renamed, "  - {id: X3",
		"  - {id: X9, name: lamp, mates: A2, family: large, ways: 2}");
	free(mate);
	free(renamed);
	return yaml;
}

static void a_plan_that_changed_shows_joint_by_joint(void **state)
{
	(void)state;
	struct work work;
	struct fixture now;
	set_up(&work, KILN);
	make_safe(&work);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	reconnect(&work);
	char *yaml = changed_kiln();
	set_up_later(&now, yaml);
	work.who = "Bo Lindt";
	const size_t before = work.count;
	plan(&work, &now, false);
	struct fixture then = work.fixture;
	work.fixture = now;
	const struct lt_record *made = record(&work);
	static const struct {
		const char *id;
		unsigned number;
		enum lt_record_joint_state state;
		bool removed;
	} joints[] = {
		{ "X1", 1, LT_RECORD_MADE, false },
		{ "X2", 2, LT_RECORD_OPEN, false },
		{ "X3", 3, LT_RECORD_MADE, true },
		{ "E7", 4, LT_RECORD_MADE, false },
		{ "H1", 5, LT_RECORD_MADE, false },
		{ "X9", 6, LT_RECORD_OPEN, false },
	};
	assert_int_equal(made->joint_count, 6);
	for (size_t i = 0; i < 6; i++) {
		assert_string_equal(made->joints[i].plan->id, joints[i].id);
		assert_int_equal(made->joints[i].plan->number, joints[i].number);
		assert_int_equal(made->joints[i].state, joints[i].state);
		assert_int_equal(made->joints[i].removed, joints[i].removed);
	}
	/* What is void is void at every stage. */
	assert_int_equal(made->joints[1].history.proven, LT_NONE);
	assert_int_equal(made->joints[1].history.unplugged, LT_NONE);
	assert_int_equal(made->joints[1].history.made, LT_NONE);
	assert_int_not_equal(made->joints[3].history.made, LT_NONE);
	assert_false(made->redescribed);
	FINDS(&work, true, lt_words_plan_changed, 5, true);
	FINDS(&work, true, lt_words_joints_found, LT_JOINTS_REMOVED, 1, "3");
	FINDS(&work, true, lt_words_joints_made, "2, 6", 4, 6, true);
	struct lt_text called = { 0 };
	lt_words_joint_called(&called, "X3", "end switch", true);
	ROW(&work, true, "3H – 3M", lt_text_string(&called));
	lt_text_finish(&called);
	assert_written(&work, lt_record_words.changes);
	assert_written(&work, ", by Bo Lindt: 2 X2: ");
	static const struct lt_plan_change changes[] = {
		{ LT_PLAN_MATE, true, 2, "X2", "A2", "M1" },
		{ LT_PLAN_FATE, true, 2, "X2", "keep", "replace" },
		{ LT_PLAN_JOINT_NEW, true, 6, "X9", NULL, NULL },
		{ LT_PLAN_JOINT_GONE, true, 3, "X3", NULL, NULL },
		{ LT_PLAN_RENAMED, false, 4, "E7", "E1", "E7" },
	};
	for (size_t i = 0; i < 5; i++) {
		struct lt_text words = { 0 };
		lt_plan_change_words(&words, &changes[i]);
		assert_written(&work, lt_text_string(&words));
		lt_text_finish(&words);
	}
	json_t *json = record_json(&work);
	const json_t *plans = json_object_get(json, "plans");
	assert_int_equal(json_array_size(plans), 2);
	const json_t *second = json_array_get(plans, 1);
	assert_int_equal(json_integer_value(json_object_get(second, "event")), before + 1);
	assert_string_equal(text_at(plans, 0, "who"), "Ada Brandt");
	assert_string_equal(text_at(plans, 1, "who"), "Bo Lindt");
	assert_true(json_is_false(json_object_get(second, "voids_all")));
	assert_int_equal(json_array_size(json_object_get(second, "changes")), 5);
	assert_true(json_is_true(json_object_get(json, "description_changed")));
	json_decref(json);
	/* All of it made by the new plan, a yes is none yet: it tells what was changed. */
	work.fixture = then;
	fixture_finish(&now);
	free(yaml);
	tear_down(&work);
}

/* A wrong mate with a joint that is gone stands until somebody says that it was taken apart. */
static void a_wrong_mate_with_a_removed_joint(void **state)
{
	(void)state;
	struct work work;
	struct fixture now;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_M, "wrong-mate");
	char *yaml = kiln_with(KILN, "  - {id: X3", NULL);
	set_up_later(&now, yaml);
	plan(&work, &now, false);
	for (unsigned number = 1; number <= 5; number++)
		if (number != 3)
			pair(&work, LT_STAGE_RECONNECT, number, LT_SIDE_H, LT_SIDE_M);
	const struct lt_record *made = record(&work);
	assert_false(made->reconnected);
	assert_int_equal(made->wrong[0].resolved, LT_NONE);
	FINDS(&work, true, lt_words_wrong_mates, 1, "3H with 2M");
	say(&work, LT_JOB_SETTLED, LT_STAGE_RECONNECT, "3H 2M");
	made = record(&work);
	assert_int_equal(made->wrong[0].resolved, work.count - 1);
	/* Its own half hangs loose still. */
	assert_false(made->reconnected);
	say(&work, LT_JOB_SETTLED, LT_STAGE_RECONNECT, "3H");
	made = record(&work);
	assert_true(made->reconnected);
	FINDS(&work, false, lt_words_wrong_mates, 1, "");
	assert_written(&work, "reconnect  settled: 3H 2M\n");
	fixture_finish(&now);
	free(yaml);
	tear_down(&work);
}

/* It is the same connector, whatever it is called by now. */
static void a_wrong_mate_of_a_joint_that_was_renamed(void **state)
{
	(void)state;
	struct work work;
	struct fixture now;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_M, "wrong-mate");
	char *yaml = kiln_with(KILN, "  - {id: X3",
		"  - {id: X7, was: X3, name: end switch, mates: A2, family: small, ways: 2}");
	set_up_later(&now, yaml);
	plan(&work, &now, false);
	const struct lt_record *made = record(&work);
	assert_string_equal(made->wrong[0].ids[0], "X7");
	assert_string_equal(made->wrong[0].ids[1], "X2");
	assert_int_equal(made->wrong[0].resolved, LT_NONE);
	for (unsigned number = 1; number <= 5; number++)
		pair(&work, LT_STAGE_RECONNECT, number, LT_SIDE_H, LT_SIDE_M);
	FINDS(&work, false, lt_words_wrong_mates, 1, "");
	fixture_finish(&now);
	free(yaml);
	tear_down(&work);
}

/* It was closed by the program before: its answers are shown, and no more. */
static void a_job_without_plan_shows_its_answers_alone(void **state)
{
	(void)state;
	struct work work;
	set_up_old(&work, KILN);
	whole(&work);
	const struct lt_record *made = record(&work);
	assert_int_equal(made->joint_count, 0);
	assert_int_equal(made->verdicts[LT_VERDICT_MATED], 9);
	assert_false(made->reconnected);
	FINDS_FIXED(&work, true, plan_unknown);
	assert_written(&work, lt_record_words.joints_unknown);
	ROW(&work, false, "scan 5H: 5HKT4U0042I", "done");
	FINDS(&work, false, lt_words_events_fit, 36);
	/* Nothing of what was made, replaced or ticked. */
	FINDS(&work, false, lt_words_closed, "2023-11-14 23:16:24 +01:00");
	FINDS_FIXED(&work, false, no_wrong_mate);
	assert_findings(&work, true, 1);
	assert_findings(&work, false, 3);
	ROW(&work, true, lt_record_words.stage_called[LT_STAGE_RECONNECT],
		lt_record_words.state_unknown);
	json_t *json = record_json(&work);
	assert_true(json_is_false(json_object_get(json, "ok")));
	assert_int_equal(json_array_size(json_object_get(json, "plans")), 0);
	assert_int_equal(json_array_size(json_object_get(json, "joints")), 0);
	assert_string_equal(text_at(json_object_get(json, "stages"), 3, "standing"), "not-known");
	assert_int_equal(json_array_size(json_object_get(json, "events")), 36);
	json_decref(json);
	/* Not even with nothing wrong in it. */
	assert_true(lt_record_faults(work.record) > 0);
	tear_down(&work);
}

/* One of version 1 that was open, and gone on with by the description that it was judged by. */
static void a_plan_that_came_later_counts_for_what_was_before(void **state)
{
	(void)state;
	struct work work;
	set_up_old(&work, KILN);
	make_safe(&work);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "wrong-mate");
	plan(&work, &work.fixture, true);
	for (unsigned number = 1; number <= 5; number++)
		pair(&work, LT_STAGE_RECONNECT, number, LT_SIDE_H, LT_SIDE_M);
	finish(&work);
	assert_findings(&work, true, 0);
	FINDS(&work, false, lt_words_wrong_mates, 1, "");
	tear_down(&work);

	/* By another description: nothing of it counts. */
	set_up_old(&work, KILN);
	whole(&work);
	work.count--;
	work.job.closed = false;
	plan(&work, &work.fixture, false);
	FINDS(&work, true, lt_words_first_plan_late, work.count);
	assert_written(&work, lt_record_words.nothing_before_counts);
	FINDS(&work, true, lt_words_joints_made, "1–5", 0, 5, false);
	json_t *json = record_json(&work);
	const json_t *first = json_array_get(json_object_get(json, "plans"), 0);
	assert_true(json_is_true(json_object_get(first, "voids_all")));
	assert_true(json_is_true(json_object_get(json, "description_changed")));
	json_decref(json);
	tear_down(&work);
}

/* What a newer program wrote, or somebody who made the digests fit. */
static void an_impossible_event_is_named(void **state)
{
	(void)state;
	static const struct lt_job_event rows[] = {
		{ .kind = LT_JOB_UNKNOWN, .kind_name = "confirm", .text = "12H" },
		{ .kind = LT_JOB_SCAN, .text = "2H", .tag = "2H", .verdict = "accepted" },
		{ .kind = LT_JOB_SCAN, .text = "2H", .tag = "2H", .verdict = NULL },
		{ .kind = LT_JOB_SKIP, .number = 77, .text = "x" },
		{ .kind = LT_JOB_PLAN, .text = "{\"plan\":2}" },
		{ .kind = LT_JOB_PLAN, .text = NULL },
		{ .kind = LT_JOB_SETTLED, .text = "1H 2M" },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct work work;
		struct lt_job_event event = rows[i];
		set_up(&work, KILN);
		make_safe(&work);
		tag_all(&work);
		unplug(&work, 5);
		swap(&work);
		reconnect(&work);
		const size_t at = work.count;
		event.stage = LT_STAGE_RECONNECT;
		add(&work, event);
		finish(&work);
		assert_int_equal(record(&work)->misfit, LT_NONE);
		char number[24];
		snprintf(number, sizeof number, "%zu", at + 1);
		FINDS(&work, true, lt_words_event_not_understood, at + 1);
		ROW(&work, true, number, "23:", lt_record_words.not_understood);
		json_t *json = record_json(&work);
		assert_true(json_is_false(json_object_get(json, "ok")));
		const json_t *events = json_object_get(json, "events");
		assert_string_equal(text_at(events, at, "kind"),
			i == 0 ? "confirm" : lt_job_event_name(event.kind));
		assert_true(json_is_true(json_object_get(json_object_get(json, "digest"), "fits")));
		json_decref(json);
		tear_down(&work);
	}
}

static void a_job_without_unit_has_a_finding(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	work.job.unit = NULL;
	FINDS_FIXED(&work, true, no_unit);
	tear_down(&work);
}

static void two_hours(struct work *work)
{
	set_up(work, KILN);
	whole(work);
	work->who = "A person with a name that is longer than its column is wide";
	say(work, LT_JOB_SCAN, LT_STAGE_RECONNECT,
		"awordthatislongerthananycolumnonthispagecouldeverbeandgoesonandonandonandonandon");
	work->at += 86400000;
	tag_all(work);
	say(work, LT_JOB_STAGE_SKIPPED, LT_STAGE_SWAP, "no part to be had before next week");
	scan(work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	scan(work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "wrong-mate");
	add(work,
		(struct lt_job_event){ .kind = LT_JOB_SKIP,
			.stage = LT_STAGE_RECONNECT,
			.number = 3,
			.text = "thread is damaged, and the spare is on its way from elsewhere" });
}

/* What must hold of any record's pages. */
static void measure(struct work *work, enum lt_paper size)
{
	struct record pages;
	struct lt_diags diags = { 0 };
	struct lt_measure widths = record_measure();
	struct lt_canvas canvas = record_canvas(&pages, widths);
	const struct lt_record *made = record_with(work, size);
	assert_true(lt_record_draw(&canvas, made, &widths, &diags));
	assert_int_equal(diags.errors, 0);
	assert_int_equal(record_outside(&pages, 15), 0);
	assert_int_equal(record_clashes(&pages), 0);
	assert_int_equal(record_coloured(&pages), 0);
	assert_int_equal(record_too_small(&pages, 1.9, 6), 0);
	double width, height;
	lt_paper_size(&width, &height, size);
	for (size_t i = 0; i < pages.page_count; i++) {
		char line[64];
		snprintf(line, sizeof line, "page %zu of %zu", i + 1, pages.page_count);
		assert_int_equal(record_count_text(&pages, line), 1);
		size_t at = record_find(&pages, 0, line);
		assert_int_equal(pages.items[at].page, i);
		assert_true(pages.items[at].top > height - 30);
		assert_true(pages.pages[i].width == width && pages.pages[i].height == height);
	}
	/* The summary is read at arm's length: NUREG-0700 11.4.1.5-1 prefers 3.0 mm at 500 mm. */
	assert_int_equal(record_count_text(&pages, made->document.head.foot[1]), pages.page_count);
	for (size_t i = 0; i < made->document.count; i++) {
		const struct lt_block *block = &made->document.blocks[i];
		if (block->kind != LT_BLOCK_FINDING || strlen(block->text) > 40)
			continue;
		/* The title block says some of it in smaller letters. */
		size_t at = record_find(&pages, 0, block->text);
		while (at < pages.count && pages.items[at].capital < lt_height_preferred(500))
			at = record_find(&pages, at + 1, block->text);
		assert_true(at < pages.count);
	}
	record_free(&pages);
	lt_diags_finish(&diags);
}

static void pages_hold_what_they_must(void **state)
{
	(void)state;
	for (int kind = 0; kind < 3; kind++) {
		struct work work;
		if (kind == 2)
			two_hours(&work);
		else
			set_up(&work, KILN);
		if (kind == 1)
			whole(&work);
		measure(&work, LT_PAPER_A4);
		measure(&work, LT_PAPER_LETTER);
		tear_down(&work);
	}
}

static const char EVENTS[] =
	"  1  23:13:20  Ada Brandt  1  tag  opened: Kiln trolley drive\n"
	"  2  23:13:20  Ada Brandt  1  reconnect  plan\n"
	"  3  23:13:25  Ada Brandt  1  tag  stage\n"
	"  4  23:13:30  Ada Brandt  1  tag  scan 1H: 1HKT4U00424  half\n"
	"  5  23:13:36  Ada Brandt  1  tag  scan 1X: 1XKT4U00427  mated\n"
	"  6  23:13:41  Ada Brandt  1  tag  scan 2H: 2HKT4U00420  half\n"
	"  7  23:13:46  Ada Brandt  1  tag  scan 2M: 2MKT4U0042O  mated\n"
	"  8  23:13:51  Ada Brandt  1  tag  scan 3H: 3HKT4U0042B  half\n"
	"  9  23:13:57  Ada Brandt  1  tag  scan 3M: 3MKT4U0042P  mated\n"
	"  10  23:14:02  Ada Brandt  1  tag  scan 4H: 4H  half\n"
	"  11  23:14:07  Ada Brandt  1  tag  scan 4M: 4M  mated\n"
	"  12  23:14:12  Ada Brandt  1  tag  scan 5H: 5HKT4U0042I  done\n"
	"  13  23:14:18  Ada Brandt  1  unplug  stage\n"
	"  14  23:14:23  Ada Brandt  1  unplug  scan 1H: 1HKT4U00424  done\n"
	"  15  23:14:28  Ada Brandt  1  unplug  scan 2H: 2HKT4U00420  done\n"
	"  16  23:14:33  Ada Brandt  1  unplug  scan 3H: 3HKT4U0042B  done\n"
	"  17  23:14:39  Ada Brandt  1  swap  stage\n"
	"  18  23:14:44  Ada Brandt  1  swap  scan 1X: 1XKT4U00427  half\n"
	"  19  23:14:49  Ada Brandt  1  swap  scan 1M: 1MKT4U0042R  mated\n"
	"  20  23:14:54  Bo Lindt  1  reconnect  stage\n"
	"  21  23:15:00  Bo Lindt  1  reconnect  scan 1H: 1HKT4U00424  half\n"
	"  22  23:15:05  Bo Lindt  1  reconnect  scan 1M: 1MKT4U0042R  mated\n"
	"  23  23:15:10  Bo Lindt  1  reconnect  scan 2H: 2HKT4U00420  half\n"
	"! 24  23:15:15  Bo Lindt  1  reconnect  scan 3M: 3MKT4U0042P  wrong-mate\n"
	"  25  23:15:21  Bo Lindt  1  reconnect  scan: 12345  misread\n"
	"\n";

static const char DIGEST[] = "6fa5280696445651604889504b722d2edbed96b28cd94a76726b2bdd5bc696d4";

/* Each part stands in the text behind the one before it, wherever lines are broken. */
static void assert_in_order(const char *text, const char *const *parts, size_t count)
{
	const char *at = text;
	for (size_t i = 0; i < count; i++) {
		const char *found = strstr(at, parts[i]);
		if (found == NULL)
			fail_msg("part %zu is not where it belongs: %s", i, parts[i]);
		else
			at = found + strlen(parts[i]);
	}
}

static void the_text_in_full(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 3);
	swap(&work);
	work.who = "Bo Lindt";
	say(&work, LT_JOB_STAGE, LT_STAGE_RECONNECT, NULL);
	pair(&work, LT_STAGE_RECONNECT, 1, LT_SIDE_H, LT_SIDE_M);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "wrong-mate");
	add(&work, (struct lt_job_event){ .kind = LT_JOB_SCAN,
			   .stage = LT_STAGE_RECONNECT,
			   .text = "12345",
			   .verdict = "misread" });
	const struct lt_record_words *words = &lt_record_words;
	struct lt_text end = { 0 };
	char *text = written(&work);
	lt_words_record_foot(&end, "KT4U0042", 7, 25);
	lt_text_add_char(&end, ' ');
	lt_words_record_digest(&end, DIGEST);
	char *appendix = strstr(text, EVENTS);
	assert_non_null(appendix);
	char *foot = appendix + strlen(EVENTS);
	flatten(foot);
	assert_memory_equal(foot, lt_text_string(&end), end.length);
	*appendix = '\0';
	flatten(text);
	const char *const parts[] = { /* The head. */
		words->module, " Kiln trolley drive ", words->harness_code, " KT4U0042 ",
		words->unit, " 0042 ", words->revision, " C ", words->job, " 7 ", words->started,
		" 2023-11-14 23:13:20 +01:00 ", words->last_event, " 2023-11-14 23:15:21 +01:00 ",
		words->closed, words->not_closed, words->program, " loomtag 9.9 ", words->who,
		" Ada Brandt, Bo Lindt ", words->summary_as_text, "! ", words->not_closed, "! ",
		"2, 3", "4, 5", "! ", "2H with 3M", lt_caution_scan, lt_caution_work,
		/* Stages. */
		words->stages, words->stage_called[LT_STAGE_TAG], "23:13:25", "23:14:12",
		"Ada Brandt", words->stage_called[LT_STAGE_UNPLUG], "23:14:18", "23:14:33",
		words->stage_called[LT_STAGE_SWAP], "23:14:39", "23:14:49", "! ",
		words->stage_called[LT_STAGE_RECONNECT], words->stage_state[LT_STATE_BEGUN],
		"23:14:54", "23:15:21", "Bo Lindt", "! ", words->stage_called[LT_STAGE_FINISH],
		words->stage_state[LT_STATE_NOT_BEGUN],
		/* Joints. */
		words->joints, " 1H – 1M X1 motor power", "M1 hoist motor, PWR ",
		words->column_stickers, ": 23:13:36, ", words->column_apart,
		": 23:14:23, order 1, ", words->column_new_part, ": 23:14:49, ", words->column_made,
		": 23:15:05, ", words->column_state, ": ", words->made, " ! 2H – 2M X2 encoder",
		"A2 drive board, J4 ", ": 23:13:46, ", ": 23:14:28, order 2, ", words->column_state,
		": ", words->not_made, " ! 3H – 3M X3 end switch", "A2 drive board ",
		": 23:13:57, ", ": 23:14:33, order 3, ", words->not_made,
		" 4H – 4M E1 frame earth ", ": 23:14:07, ", words->not_apart, "; ",
		words->typed_at[LT_STAGE_TAG], " 5H H1 drain hose ", ": 23:14:12, ",
		words->not_apart,
		/* Wrong mates, parts, lines, hazards. */
		words->wrong_mates, " ! 23:15:15 2H with 3M ",
		words->stage_called[LT_STAGE_RECONNECT], "Bo Lindt", words->not_resolved,
		words->other_scan[LT_VERDICT_MISREAD], " (1)", words->parts,
		" M1 hoist motor left column ", words->column_joints, ": 1, ",
		words->column_part_checked, ": 23:14:49 ", words->lines,
		"! C1, strut clip: looked at; it has no number ", words->not_ticked,
		"! Nothing pinched ", words->not_ticked, words->hazards, "! mains 400 V ",
		"last, covers closed ", words->not_confirmed, words->not_ticked,
		/* The end. */
		words->signatures, words->technician, words->sign_name, "____", words->sign_date,
		"____", words->sign_signature, "____", words->foreman, words->sign_name, "____",
		words->events, words->about_events
	};
	assert_in_order(text, parts, sizeof parts / sizeof *parts);
	lt_text_finish(&end);
	free(text);
	tear_down(&work);
}

/* Each sentence has its values, and another one for 1 than for more. */
static void findings_hold_their_values(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	for (int which = LT_JOINTS_NOT_APART; which <= LT_JOINTS_REMOVED; which++) {
		struct lt_text many = { 0 };
		lt_text_clear(&text);
		lt_words_joints_found(&text, (enum lt_joints_found)which, 1, "43–45, 99");
		lt_words_joints_found(&many, (enum lt_joints_found)which, 2, "43–45, 99");
		assert_non_null(strstr(lt_text_string(&text), ": 43–45, 99"));
		assert_non_null(strstr(lt_text_string(&many), ": 43–45, 99"));
		assert_non_null(strchr(lt_text_string(&text), '1'));
		assert_non_null(strchr(lt_text_string(&many), '2'));
		assert_true(many.length > text.length);
		lt_text_finish(&many);
	}
	lt_text_clear(&text);
	lt_words_joints_made(&text, "7, 9", 3, 5, true);
	assert_non_null(strstr(lt_text_string(&text), "NOT ALL MADE: 7, 9."));
	assert_non_null(strstr(lt_text_string(&text), " 3 of 5 joints"));
	lt_text_clear(&text);
	lt_words_joints_made(&text, "", 5, 5, false);
	assert_null(strstr(lt_text_string(&text), "NOT ALL MADE"));
	assert_non_null(strstr(lt_text_string(&text), "not known"));
	lt_text_clear(&text);
	lt_words_wrong_mates(&text, 2, "1H with 2M");
	assert_non_null(strstr(lt_text_string(&text), "2 wrong mates"));
	assert_non_null(strstr(lt_text_string(&text), "NOT RESOLVED: 1H with 2M"));
	lt_text_clear(&text);
	lt_words_wrong_mates(&text, 2, "");
	assert_null(strstr(lt_text_string(&text), "NOT"));
	lt_text_clear(&text);
	lt_words_hazards_confirmed(&text, 1, 1, 3);
	assert_non_null(strstr(lt_text_string(&text), "NOT CONFIRMED SAFE: 1 of 3 hazards"));
	lt_text_clear(&text);
	lt_words_hazards_confirmed(&text, 0, 2, 3);
	assert_non_null(strstr(lt_text_string(&text), "ONLY AFTER WORK HAD STARTED: 2 of 3"));
	lt_text_clear(&text);
	lt_words_hazards_confirmed(&text, 0, 0, 3);
	assert_null(strstr(lt_text_string(&text), "NOT"));
	lt_text_finish(&text);
}

/* What changed is named with both values, and whether what was recorded still counts. */
static void changes_of_the_plan_hold_their_values(void **state)
{
	(void)state;
	struct lt_text text = { 0 }, counting = { 0 };
	for (int kind = LT_PLAN_JOINT_NEW; kind <= LT_PLAN_LINE_GONE; kind++) {
		const bool line = kind == LT_PLAN_LINE_NEW || kind == LT_PLAN_LINE_GONE;
		const bool values = kind >= LT_PLAN_NUMBER && kind <= LT_PLAN_AFTER;
		struct lt_plan_change change = { (enum lt_plan_change_kind)kind, false,
			line ? 0 : 12, "X41", values ? "was77" : NULL, NULL };
		lt_text_clear(&counting);
		lt_plan_change_words(&counting, &change);
		const char *words = lt_text_string(&counting);
		assert_non_null(strstr(words, line ? ": X41" : "12 X41: "));
		assert_int_equal(strstr(words, "was77") != NULL, values);
		assert_int_equal(strstr(words, "now not described") != NULL, values);
		change.voids = true;
		lt_text_clear(&text);
		lt_plan_change_words(&text, &change);
		assert_memory_equal(lt_text_string(&text), words, counting.length);
		assert_int_equal(text.length > counting.length,
			kind != LT_PLAN_JOINT_NEW && kind != LT_PLAN_JOINT_GONE);
	}
	lt_text_finish(&text);
	lt_text_finish(&counting);
}

static void no_line_is_longer_than_asked(void **state)
{
	(void)state;
	struct lt_text columns = { 0 };
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	for (size_t width = 20; width < 120; width += 7) {
		struct lt_record_options options = LT_RECORD_OPTIONS_INIT;
		options.columns = width;
		struct lt_record *made = lt_record_create(&work.fixture.tags, &work.job,
			work.events, work.count, &options);
		lt_text_clear(&columns);
		lt_record_write(&columns, made);
		lt_record_destroy(made);
		for (char *line = strtok(columns.bytes, "\n"); line != NULL;
			line = strtok(NULL, "\n")) {
			assert_true(lt_utf8_columns(line) <= width);
			assert_true(line[strlen(line) - 1] != ' ');
		}
		columns.length = 0;
	}
	lt_text_finish(&columns);
	tear_down(&work);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_whole_job_has_no_fault),
		cmocka_unit_test(what_was_left_plugged_in_need_not_be_made),
		cmocka_unit_test(unrecorded_joints_are_not_called_made),
		cmocka_unit_test(hazards_are_made_safe_and_restored),
		cmocka_unit_test(a_job_without_names_is_a_fault),
		cmocka_unit_test(missing_last_events_are_a_fault),
		cmocka_unit_test(a_job_without_steps_shows_none),
		cmocka_unit_test(wrong_mates_resolved_and_not),
		cmocka_unit_test(a_wrong_mate_of_stickers_is_a_fault_at_the_end),
		cmocka_unit_test(a_job_without_numbers_is_a_fault),
		cmocka_unit_test(a_pending_sticker_is_a_fault),
		cmocka_unit_test(skipped_joints_and_stages_have_their_reasons),
		cmocka_unit_test(proof_after_unplugging_does_not_count),
		cmocka_unit_test(typed_tags_are_counted),
		cmocka_unit_test(a_changed_event_is_named),
		cmocka_unit_test(an_event_without_number_has_none),
		cmocka_unit_test(a_changed_description_is_shown),
		cmocka_unit_test(a_plan_that_changed_shows_joint_by_joint),
		cmocka_unit_test(a_wrong_mate_with_a_removed_joint),
		cmocka_unit_test(a_wrong_mate_of_a_joint_that_was_renamed),
		cmocka_unit_test(a_job_without_plan_shows_its_answers_alone),
		cmocka_unit_test(a_plan_that_came_later_counts_for_what_was_before),
		cmocka_unit_test(an_impossible_event_is_named),
		cmocka_unit_test(a_job_without_unit_has_a_finding),
		cmocka_unit_test(pages_hold_what_they_must),
		cmocka_unit_test(the_text_in_full),
		cmocka_unit_test(findings_hold_their_values),
		cmocka_unit_test(changes_of_the_plan_hold_their_values),
		cmocka_unit_test(no_line_is_longer_than_asked),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
