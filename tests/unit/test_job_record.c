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
	"harness: KT4\n"
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
	"  - {id: C1, name: strut clip, kind: clip, tag: none}\n"
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

static void assert_summary(struct work *work, bool faults, const char *expected)
{
	char *said = summary(record(work), faults);
	assert_string_equal(said, expected);
	free(said);
}

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
	assert_summary(&work, true, "");
	assert_summary(&work, false,
		"Closed 2023-11-14 23:16:24 +01:00\n"
		"5 of 5 joints that came apart were made again\n"
		"No wrong mate was met\n"
		"1 joint without stickers, by typed tags: 4\n"
		"1 part replaced, the numbers proven on what is new\n"
		"Confirmed to be made safe before work: all 1 hazard\n"
		"Ticked: all 3 hazard and finish lines\n"
		"The events fit their digests (37)\n");
	assert_int_equal(lt_record_misfit(work.record), LT_NONE);
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
	static const enum lt_record_standing standings[] = { LT_RECORD_OPEN, LT_RECORD_MADE,
		LT_RECORD_LEFT_IN, LT_RECORD_LEFT_IN, LT_RECORD_LEFT_IN };
	for (size_t i = 0; i < 5; i++)
		assert_int_equal(made->joints[i].standing, standings[i]);
	assert_int_equal(made->joints[1].history.unplug_rank, 1);
	assert_written(&work, "! NOT ALL MADE: 1 (1 of 2 joints that came apart was made again)");
	assert_written(&work, "  3 joints not noted as apart, so not checked: 3–5\n");
	assert_written(&work, "  4H – 4M  E1 frame earth");
	tear_down(&work);
}

static void what_nobody_noted_is_not_told_to_be_right(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	say(&work, LT_JOB_STAGE, LT_STAGE_TAG, NULL);
	pair(&work, LT_STAGE_TAG, 3, LT_SIDE_H, LT_SIDE_M);
	unplug(&work, 2);
	assert_written(&work,
		"! 3 joints not noted as apart, so not checked: 3–5; NEITHER PROVEN NOR SAID TO "
		"STAY: 4, 5\n");
	assert_written(&work, "! 4H – 4M E1 frame earth standing: not noted as apart\n");
	assert_written(&work, "  3H – 3M");
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
	assert_written(&work, "; NEITHER PROVEN NOR SAID TO STAY: 5\n");
	add(&work, skips[1]);
	assert_written(&work, "  3 joints not noted as apart, so not checked: 3–5\n");
	tear_down(&work);

	/* A replaced part's joint was apart, whoever noted it. */
	set_up(&work, KILN);
	tag_all(&work);
	say(&work, LT_JOB_STAGE, LT_STAGE_UNPLUG, NULL);
	scan(&work, LT_STAGE_UNPLUG, 2, LT_SIDE_H, "done");
	assert_written(&work, "! NOT ALL MADE: 1, 2 (0 of 2 joints");
	assert_written(&work, "  3 joints not noted as apart, so not checked: 3–5\n");
	tear_down(&work);
}

static void hazards_are_made_safe_and_restored(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	assert_written(&work, "! MADE SAFE NOT CONFIRMED: 1 of 1 hazard\n");
	assert_written(&work,
		"! mains 400 V  restore: last, covers closed made safe: NOT CONFIRMED, restored: "
		"NOT TICKED\n");
	say(&work, LT_JOB_HAZARD, LT_STAGE_RECONNECT, "another");
	assert_written(&work, "! MADE SAFE NOT CONFIRMED: 1 of 1 hazard\n");
	tear_down(&work);

	set_up(&work, KILN);
	whole(&work);
	assert_written(&work, "  Confirmed to be made safe before work: all 1 hazard\n");
	assert_written(&work,
		"  mains 400 V  restore: last, covers closed made safe: confirmed 23:13:25, by: Ada "
		"Brandt, restored: ticked 23:16:08, by: Bo Lindt");
	/* It is no work of a stage. */
	assert_int_equal(work.record->stages[LT_STAGE_RECONNECT].who.count, 1);
	tear_down(&work);

	/* Too late. */
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 1);
	make_safe(&work);
	assert_written(&work, "! MADE SAFE CONFIRMED ONLY AFTER WORK HAD BEGUN: 1 of 1 hazard\n");
	assert_written(&work, "confirmed LATE 23:");
	tear_down(&work);
}

static void a_job_of_nobody_says_so(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	for (size_t i = 0; i < work.count; i++)
		work.events[i].who = "?";
	work.who = "?";
	assert_written(&work, "! NOBODY IS NAMED: whose work it was is not known\n");
	work.who = "Bo Lindt";
	tag_all(&work);
	char *text = written(&work);
	assert_null(strstr(text, "NOBODY IS NAMED"));
	free(text);
	tear_down(&work);
}

static void a_cut_end_is_said(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	work.job.counted = work.count;
	assert_summary(&work, true, "");
	work.count -= 2;
	assert_written(&work,
		"! EVENTS ARE GONE: of 37 events the last 2 are missing. What is left does not "
		"show how the job ended\n");
	struct lt_text json = { 0 };
	lt_record_write_json(&json, record(&work));
	assert_non_null(strstr(lt_text_string(&json), "\"fits\": false"));
	assert_non_null(strstr(lt_text_string(&json), "\"gone\": 2"));
	lt_text_finish(&json);
	tear_down(&work);
}

static void nothing_done_is_nothing_shown(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	assert_summary(&work, true,
		"NOT CLOSED\n"
		"NOT ALL MADE: 1–5 (0 of 5 joints were made again; which came apart is not known)\n"
		"5 joints with stickers NOT PROVEN: 1–5\n"
		"NUMBER NOT PROVEN ON NEW PART: M1\n"
		"NEVER BEGUN: stickers checked, unplugging, parts replaced, reconnecting, last "
		"checks\n"
		"MADE SAFE NOT CONFIRMED: 1 of 1 hazard\n"
		"NOT TICKED: 3 of 3 hazard and finish lines\n");
	work.count = 0;
	char *said = summary(record(&work), true);
	assert_non_null(strstr(said, "THE EVENTS ARE GONE"));
	free(said);
	tear_down(&work);
}

static void wrong_mates_put_right_and_not(void **state)
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
	assert_int_equal(made->wrong[0].righted, LT_NONE);
	assert_written(&work, "! 1 wrong mate caught; NOT SHOWN TO BE PUT RIGHT: 2H with 3M\n");
	pair(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_H, LT_SIDE_M);
	made = record(&work);
	assert_int_equal(made->wrong[0].righted, work.count - 1);
	assert_written(&work, "  1 wrong mate caught, and put right\n");
	scan(&work, LT_STAGE_RECONNECT, 4, LT_SIDE_H, "half");
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_M, "wrong-mate");
	made = record(&work);
	assert_int_equal(made->wrong_count, 2);
	/* Number 2 is open again, so that the first is not shown to be right any more. */
	assert_int_equal(made->wrong[0].righted, LT_NONE);
	assert_int_equal(made->wrong[1].righted, LT_NONE);
	assert_written(&work, "NOT ALL MADE: 2, 4, 5 (2 of 5");
	tear_down(&work);
}

static void a_sticker_that_waits_is_said(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	tag_all(&work);
	unplug(&work, 5);
	swap(&work);
	reconnect(&work);
	scan(&work, LT_STAGE_RECONNECT, 2, LT_SIDE_H, "half");
	assert_written(&work,
		"! Reconnecting is not finished: 2H, read at terminal 1, waits for its mate\n");
	/* Also at a terminal that was not the last to scan. */
	scan(&work, LT_STAGE_RECONNECT, 3, LT_SIDE_M, "half");
	work.events[work.count - 1].station = 2;
	assert_written(&work,
		"! Reconnecting is not finished: 2H, read at terminal 1, waits for its mate; 3M, "
		"read at terminal 2, waits for its mate\n");
	tear_down(&work);
}

static void what_was_left_out_is_said_with_its_reason(void **state)
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
	assert_written(&work, "! CLOSED UNFINISHED: sent away\n");
	assert_written(&work, "! 1 joint SKIPPED: 2\n");
	assert_written(&work, "! SKIPPED: stickers checked\n");
	assert_written(&work, "! stickers checked  SKIPPED\n"
			      "      who: left out by Ada Brandt: in a hurry\xef\xbf\xbd[31m\n");
	assert_written(&work, "SKIPPED (reconnecting): pin is bent");
	assert_written(&work, "! 5 joints with stickers NOT PROVEN before they came apart: 1–5\n");
	tear_down(&work);
}

static void proven_after_it_came_apart_is_not_proven(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	unplug(&work, 5);
	tag_all(&work);
	assert_written(&work, "! 5 joints with stickers NOT PROVEN before they came apart: 1–5\n");
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
	assert_written(&work, "! 1 joint by TYPED tags, not scanned: 2\n");
	assert_written(&work, "standing: made; tags typed: made");
	for (size_t i = 0; i < work.count; i++)
		if (work.events[i].tag != NULL && work.events[i].tag[0] == '2')
			work.events[i].text = work.events[i].tag;
	for (size_t i = 0; i < work.count; i++)
		work.events[i].typed = true;
	assert_written(&work, "standing: made; tags typed: proven, made");
	tear_down(&work);
}

static void a_changed_event_is_named(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	whole(&work);
	work.events[16].at += 1;
	assert_summary(&work, true,
		"THE EVENTS WERE CHANGED after they were written: event 17 of 37 does not fit its "
		"digest. From there on they prove nothing\n");
	assert_int_equal(lt_record_misfit(work.record), 16);
	assert_written(&work, "DOES NOT FIT ITS DIGEST");
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

static void another_description_shows(void **state)
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
	assert_int_equal(made->joints[2].standing, LT_RECORD_MADE);
	assert_false(made->joints[2].gone);
	assert_false(made->joints[2].described);
	assert_true(made->joints[1].described);
	assert_summary(&work, true,
		"THE DESCRIPTION HAS CHANGED since the job. This record is by the description that "
		"the job was checked against\n"
		"The description is of revision D now\n");
	assert_written(&work, "  3H – 3M  X3 end switch, on A2 drive board\n");
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
		enum lt_record_standing standing;
		bool gone;
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
		assert_int_equal(made->joints[i].standing, joints[i].standing);
		assert_int_equal(made->joints[i].gone, joints[i].gone);
	}
	/* What is void is void at every stage. */
	assert_int_equal(made->joints[1].history.proven, LT_NONE);
	assert_int_equal(made->joints[1].history.unplugged, LT_NONE);
	assert_int_equal(made->joints[1].history.made, LT_NONE);
	assert_int_not_equal(made->joints[3].history.made, LT_NONE);
	assert_false(made->redescribed);
	assert_written(&work,
		"! THE DESCRIPTION WAS CHANGED DURING THE JOB: 5 changes. What no longer counted was "
		"asked for again\n");
	assert_written(&work, "! 1 joint was taken out of the description during the job: 3\n");
	assert_written(&work, "! NOT ALL MADE: 2, 6 (4 of 6 joints");
	assert_written(&work, "3H – 3M  X3 end switch (taken out of the description)");
	assert_written(&work, "Changes of the description during the job\n"
			      "-----------------------------------------\n");
	assert_written(&work, ", by Bo Lindt:\n"
			      "2 X2: the mate was A2, and is now M1. What was recorded of it no "
			      "longer counts.\n");
	assert_written(&work, "2 X2: the fate of its part was keep, and is now replace.");
	assert_written(&work, "6 X9: this joint is new. It is asked for.\n");
	assert_written(&work, "3 X3: this joint is gone. It is not asked for.\n");
	assert_written(&work, "4 E7: the id was E1, and is now E7.\n");
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
static void a_wrong_mate_with_a_joint_that_is_gone(void **state)
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
	assert_int_equal(made->wrong[0].righted, LT_NONE);
	assert_written(&work, "! 1 wrong mate caught; NOT SHOWN TO BE PUT RIGHT: 3H with 2M\n");
	say(&work, LT_JOB_SETTLED, LT_STAGE_RECONNECT, "3H 2M");
	made = record(&work);
	assert_int_equal(made->wrong[0].righted, work.count - 1);
	/* Its own half hangs loose still. */
	assert_false(made->reconnected);
	say(&work, LT_JOB_SETTLED, LT_STAGE_RECONNECT, "3H");
	made = record(&work);
	assert_true(made->reconnected);
	assert_written(&work, "  1 wrong mate caught, and put right\n");
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
	assert_int_equal(made->wrong[0].righted, LT_NONE);
	for (unsigned number = 1; number <= 5; number++)
		pair(&work, LT_STAGE_RECONNECT, number, LT_SIDE_H, LT_SIDE_M);
	assert_written(&work, "  1 wrong mate caught, and put right\n");
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
	assert_written(&work,
		"! CHECKED AGAINST: NOT KNOWN. An older version of the program did not keep it. The "
		"answers stand as they were given; where joints stand is not worked out\n");
	assert_written(&work, "Where joints stand is not known: see the events.\n");
	assert_written(&work, "scan 5H: 5HKT4U0042I done\n");
	assert_written(&work, "  The events fit their digests (36)\n");
	char *text = written(&work);
	assert_null(strstr(text, "NEVER BEGUN"));
	assert_null(strstr(text, "NOT ALL MADE"));
	assert_null(strstr(text, "replaced, the numbers proven"));
	assert_non_null(strstr(text, "! reconnecting  NOT KNOWN\n"));
	free(text);
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
	assert_summary(&work, true, "");
	assert_written(&work, "  1 wrong mate caught, and put right\n");
	tear_down(&work);

	/* By another description: nothing of it counts. */
	set_up_old(&work, KILN);
	whole(&work);
	work.count--;
	work.job.closed = false;
	plan(&work, &work.fixture, false);
	assert_written(&work,
		"! NOTHING COUNTS THAT WAS RECORDED BEFORE THE FIRST PLAN: every joint was asked for "
		"again\n");
	assert_written(&work, "Nothing that was recorded before counts.\n");
	assert_written(&work, "! NOT ALL MADE: 1–5 (0 of 5 joints");
	json_t *json = record_json(&work);
	const json_t *first = json_array_get(json_object_get(json, "plans"), 0);
	assert_true(json_is_true(json_object_get(first, "voids_all")));
	assert_true(json_is_true(json_object_get(json, "description_changed")));
	json_decref(json);
	tear_down(&work);
}

/* What a newer program wrote, or somebody who made the digests fit. */
static void an_event_that_cannot_be_is_named(void **state)
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
		assert_int_equal(lt_record_misfit(record(&work)), LT_NONE);
		char words[256];
		snprintf(words, sizeof words,
			"EVENT %zu CANNOT BE UNDERSTOOD. A newer program wrote it, or it was changed. "
			"This record shows nothing that can be relied on from there on\n",
			at + 1);
		char *faults = summary(work.record, true);
		assert_non_null(strstr(faults, words));
		free(faults);
		assert_written(&work, "CANNOT BE UNDERSTOOD\n");
		snprintf(words, sizeof words, "! %zu  23:", at + 1);
		assert_written(&work, words);
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

static void a_job_without_unit_says_so(void **state)
{
	(void)state;
	struct work work;
	set_up(&work, KILN);
	work.job.unit = NULL;
	assert_written(&work,
		"! UNIT NOT GIVEN: stickers of two like modules could not be told apart\n");
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

static const char TEXT[] =
	"Record of job 7\n"
	"\n"
	"module         Kiln trolley drive\n"
	"harness code   KT4U0042\n"
	"unit           0042\n"
	"revision       C\n"
	"job            7\n"
	"begun          2023-11-14 23:13:20 +01:00\n"
	"last event     2023-11-14 23:15:21 +01:00\n"
	"closed         NOT CLOSED\n"
	"recorded with  loomtag 9.9\n"
	"who            Ada Brandt, Bo Lindt\n"
	"\n"
	"SUMMARY\n"
	"-------\n"
	"! NOT CLOSED\n"
	"! NOT ALL MADE: 2, 3 (1 of 3 joints that came apart was made again)\n"
	"  2 joints not noted as apart, so not checked: 4, 5\n"
	"! 1 wrong mate caught; NOT SHOWN TO BE PUT RIGHT: 2H with 3M\n"
	"  1 joint without stickers, by typed tags: 4\n"
	"  1 part replaced, the numbers proven on what is new\n"
	"! NEVER BEGUN: last checks\n"
	"! NOT FINISHED: reconnecting\n"
	"! MADE SAFE NOT CONFIRMED: 1 of 1 hazard\n"
	"! NOT TICKED: 3 of 3 hazard and finish lines\n"
	"  The events fit their digests (25)\n"
	"\n"
	"A scan proves only that two stickers belong together. The joint can still be\n"
	"loose or face the wrong way, or its stickers can be on the wrong halves. Such\n"
	"a joint can overheat, leak or move the machine. Look at each joint, pull\n"
	"gently, and tick it by hand.\n"
	"\n"
	"Live or stored energy can kill or injure you. Follow the machine’s own\n"
	"instructions, your training and local codes. This list does not replace them.\n"
	"If you are not licensed to isolate or restore, get somebody who is. If in\n"
	"doubt, stop and ask.\n"
	"\n"
	"Stages\n"
	"------\n"
	"A time without a date is of the day the job was begun, 2023-11-14 23:13:20\n"
	"+01:00.\n"
	"  stickers checked  done\n"
	"      begun: 23:13:25, last: 23:14:12, who: Ada Brandt\n"
	"  unplugging  done\n"
	"      begun: 23:14:18, last: 23:14:33, who: Ada Brandt\n"
	"  parts replaced  done\n"
	"      begun: 23:14:39, last: 23:14:49, who: Ada Brandt\n"
	"! reconnecting  NOT FINISHED\n"
	"      begun: 23:14:54, last: 23:15:21, who: Bo Lindt\n"
	"! last checks  NEVER BEGUN\n"
	"\n"
	"Joints\n"
	"------\n"
	"  1H – 1M  X1 motor power, on M1 hoist motor, PWR\n"
	"      proven: 23:13:36, apart: 23:14:23 no. 1, swapped: 23:14:49, made:\n"
	"      23:15:05, standing: made\n"
	"! 2H – 2M  X2 encoder, on A2 drive board, J4\n"
	"      proven: 23:13:46, apart: 23:14:28 no. 2, standing: NOT MADE\n"
	"! 3H – 3M  X3 end switch, on A2 drive board\n"
	"      proven: 23:13:57, apart: 23:14:33 no. 3, standing: NOT MADE\n"
	"  4H – 4M  E1 frame earth\n"
	"      proven: 23:14:07, standing: not noted as apart; tags typed: proven\n"
	"  5H  H1 drain hose\n"
	"      proven: 23:14:12, standing: not noted as apart\n"
	"\n"
	"Wrong mates caught\n"
	"------------------\n"
	"! 23:15:15  2H with 3M\n"
	"      stage: reconnecting, who: Bo Lindt, put right: NOT SHOWN TO BE\n"
	"Other scans that were out of place: 1 misread.\n"
	"\n"
	"Parts replaced\n"
	"--------------\n"
	"  M1 hoist motor  left column\n"
	"      joints: 1, proven on the new part: 23:14:49\n"
	"\n"
	"Joints by eye, finish lines\n"
	"---------------------------\n"
	"! C1, strut clip: looked at; it has no number  NOT TICKED\n"
	"! Nothing pinched  NOT TICKED\n"
	"\n"
	"Hazards\n"
	"-------\n"
	"! mains 400 V  restore: last, covers closed\n"
	"      made safe: NOT CONFIRMED, restored: NOT TICKED\n"
	"\n"
	"Signed\n"
	"------\n"
	"\n"
	"Technician\n"
	"\n"
	"name           ______________________________\n"
	"\n"
	"date           ______________________________\n"
	"\n"
	"signature      ______________________________\n"
	"\n"
	"Foreman\n"
	"\n"
	"name           ______________________________\n"
	"\n"
	"date           ______________________________\n"
	"\n"
	"signature      ______________________________\n"
	"\n";

static const char APPENDIX[] =
	"Appendix: every event\n"
	"---------------------\n"
	"As it was kept. “At” is the terminal that it came from. The digest at the foot\n"
	"of every page is of the last event and of all before it: when any is changed\n"
	"later, the digest is another one.\n"
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
	"\n"
	"KT4U0042, job 7, 25 events\n"
	"last digest (SHA-256) 6fa5 2806 9644 5651 6048 8950 4b72 2d2e dbed 96b2 8cd9\n"
	"4a76 726b 2bdd 5bc6 96d4\n";

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
	char *text = written(&work);
	char *appendix = strstr(text, "Appendix");
	assert_non_null(appendix);
	assert_string_equal(appendix, APPENDIX);
	*appendix = '\0';
	assert_string_equal(text, TEXT);
	free(text);
	tear_down(&work);
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
		cmocka_unit_test(what_nobody_noted_is_not_told_to_be_right),
		cmocka_unit_test(hazards_are_made_safe_and_restored),
		cmocka_unit_test(a_job_of_nobody_says_so),
		cmocka_unit_test(a_cut_end_is_said),
		cmocka_unit_test(nothing_done_is_nothing_shown),
		cmocka_unit_test(wrong_mates_put_right_and_not),
		cmocka_unit_test(a_sticker_that_waits_is_said),
		cmocka_unit_test(what_was_left_out_is_said_with_its_reason),
		cmocka_unit_test(proven_after_it_came_apart_is_not_proven),
		cmocka_unit_test(typed_tags_are_counted),
		cmocka_unit_test(a_changed_event_is_named),
		cmocka_unit_test(an_event_without_number_has_none),
		cmocka_unit_test(another_description_shows),
		cmocka_unit_test(a_plan_that_changed_shows_joint_by_joint),
		cmocka_unit_test(a_wrong_mate_with_a_joint_that_is_gone),
		cmocka_unit_test(a_wrong_mate_of_a_joint_that_was_renamed),
		cmocka_unit_test(a_job_without_plan_shows_its_answers_alone),
		cmocka_unit_test(a_plan_that_came_later_counts_for_what_was_before),
		cmocka_unit_test(an_event_that_cannot_be_is_named),
		cmocka_unit_test(a_job_without_unit_says_so),
		cmocka_unit_test(pages_hold_what_they_must),
		cmocka_unit_test(the_text_in_full),
		cmocka_unit_test(no_line_is_longer_than_asked),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
