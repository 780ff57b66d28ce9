/* The live conversation: what it shows for each input, from the first question to the end of a job.
 */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/live_screen.h"
#include "folder.h"
#include "loomtag/words.h"

#define CLEAR "\033[H\033[2J"

/* A gate's drive: the motor is replaced, the limit switch has no room for a sticker, a clip is
 * one-sided and comes after the motor, the earth stud's cover has no number. */
static struct lt_component components[] = {
	{ .id = "M1", .name = "gate motor", .where = "left pillar", .replace = true },
	{ .id = "B4", .name = "beam receiver" },
};
static size_t after_clip[] = { 3 };
/* Unplugged in this order, so that it is made in the reverse. */
static struct lt_connector connectors[] = {
	{ .id = "W1",
		.name = "stud cover",
		.where = "below the board",
		.seat = "snaps shut",
		.family = "H",
		.component = LT_NONE,
		.sides = 2,
		.marking = LT_MARK_NONE },
	{ .id = "X9",
		.name = "limit switch",
		.family = "G",
		.component = LT_NONE,
		.sides = 2,
		.marking = LT_MARK_PAPER },
	{ .id = "C1",
		.name = "loom clip",
		.kind = LT_CLIP,
		.component = LT_NONE,
		.sides = 1,
		.after = { after_clip, 1 } },
	{ .id = "X1",
		.name = "motor power",
		.family = "F",
		.seat = "clicks once",
		.orient = "latch to the front",
		.where = "behind the plate",
		.component = 0,
		.sides = 2 },
	{ .id = "X2", .name = "receiver", .port = "IN2", .component = 1, .sides = 2 },
};
enum { CONNECTORS = sizeof(connectors) / sizeof(connectors[0]) };
static struct lt_hazard hazards[] = {
	{ .energy = "mains 230 V",
		.isolate = "switch Q1, lock it",
		.release = "wait 5 minutes",
		.prove = "no voltage at X1",
		.restore = "last, covers closed" },
	{ .energy = "gate leaf under its own weight", .isolate = "chock the leaf" },
};
static struct lt_finish_line finish[] = { { .text = "no wire pinched" },
	{ .text = "earth continuity" } };
static size_t offered[] = { 4, 3, 2, 1, 0 };
static struct lt_harness harness = { .harness = "GD7",
	.unit = "0042",
	.code = "GD7U0042",
	.title = "Sliding gate drive",
	.hazards = hazards,
	.hazard_count = 2,
	.components = components,
	.component_count = 2,
	.connectors = connectors,
	.connector_count = CONNECTORS,
	.finish = finish,
	.finish_count = 2,
	.order = offered };
static unsigned number_of[] = { 0, 4, 3, 1, 2 };
static size_t connector_of[] = { LT_NONE, 3, 4, 2, 1 };
static bool retired[5];

/* A conversation, and what a screen made of it. */
struct session {
	struct lt_tags tags;
	struct lt_live_options live;
	struct live_screen screen;
	struct lt_live_scans scans;
	struct lt_diags diags;
	struct lt_live *talk;
	char *out;
	size_t out_length;
	enum lt_live_end end;
	/* What it asked from outside. */
	const struct lt_harness *edited; /* what the description says when it is read again */
	unsigned unreadable;             /* how often it cannot be read before that */
	const char *known, *kept; /* the name of who works here, and the one that was to be kept */
};

static bool reread(void *data)
{
	struct session *session = data;
	if (session->unreadable > 0) {
		session->unreadable--;
		return false;
	}
	if (session->edited != NULL) {
		session->tags.harness = session->edited;
		lt_work_describe(session->live.work, &session->tags);
	}
	return true;
}

static const char *who(void *data, unsigned long long job)
{
	(void)job;
	return ((struct session *)data)->known;
}

static void keep_name(void *data, const char *name, unsigned long long job)
{
	(void)job;
	((struct session *)data)->kept = name;
}

static void open_session(struct session *session, const struct lt_harness *of, enum lt_stage stage,
	const char *db, const char *person)
{
	memset(session, 0, sizeof(*session));
	session->tags = (struct lt_tags){ .harness = of,
		.number_of = number_of,
		.connector_of = connector_of,
		.retired = retired,
		.number_max = 4 };
	const struct lt_work_options options = { .db = db };
	session->live = (struct lt_live_options){ .tags = &session->tags,
		.scans = &session->scans,
		.work = lt_work_open(&session->tags, &options, person, &session->diags),
		.stage = stage,
		.diags = &session->diags,
		.keep_name = keep_name,
		.reread = reread,
		.data = session };
	assert_non_null(session->live.work);
	session->screen = (struct live_screen){ .columns = 200, .rows = 24 };
}

static void start(struct session *session, const struct lt_harness *of, enum lt_stage stage)
{
	open_session(session, of, stage, NULL, "ann");
}

/* At a store, with somebody who can be asked. */
static void start_at(struct session *session, const char *person, enum lt_stage stage)
{
	open_session(session, &harness, stage, "bench.db", person);
	session->live.attended = true;
	session->screen.terminal = true;
}

static void on_terminal(struct session *session)
{
	session->live.attended = session->screen.terminal = true;
}

static const struct lt_live_view *view_of(const struct session *session)
{
	return lt_live_view(session->talk);
}

/* As the program does after each input. */
static void show(struct session *session)
{
	lt_live_screen_show(&session->screen, view_of(session));
	lt_live_screen_ask(&session->screen, view_of(session));
}

static void begin(struct session *session)
{
	session->screen.out = open_memstream(&session->out, &session->out_length);
	assert_non_null(session->screen.out);
	session->talk = lt_live_create(&session->live);
	show(session);
}

static bool give(struct session *session, struct lt_live_input input)
{
	/* The end of what is typed is echoed. */
	if (input.kind == LT_LIVE_LINE)
		session->screen.asking = false;
	const bool changed = lt_live_input(session->talk, &input);
	if (changed)
		show(session);
	return changed;
}

static bool time_passes(struct session *session)
{
	return give(session, (struct lt_live_input){ .kind = LT_LIVE_TIME });
}

static void give_line(struct session *session, const char *bytes, size_t length)
{
	give(session, (struct lt_live_input){ .kind = LT_LIVE_LINE,
			      .bytes = bytes,
			      .length = length < 4097 ? length : 4097,
			      .cut = length > 4097,
			      .scanned = true });
}

/* Gives each line of a script, with "@12H" standing for that sticker's scan code. */
static void feed(struct session *session, const char *script)
{
	struct lt_text line = { 0 };
	while (*script != '\0') {
		if (*script == '@') {
			char code[LT_SCAN_CODE_SIZE];
			char *side;
			const unsigned long number = strtoul(script + 1, &side, 10);
			lt_scan_code_write(code, (unsigned)number,
				*side == 'H'   ? LT_SIDE_H
				: *side == 'M' ? LT_SIDE_M
					       : LT_SIDE_X,
				session->tags.harness->code);
			lt_text_add(&line, code);
			script = side + 1;
		} else if (*script != '\n') {
			lt_text_add_char(&line, *script++);
		}
		if (*script == '\n' || *script == '\0') {
			give_line(session, lt_text_string(&line), line.length);
			lt_text_clear(&line);
			script += *script == '\n';
		}
	}
	lt_text_finish(&line);
}

static void finish_session(struct session *session)
{
	for (unsigned i = 0; i < 9 && view_of(session)->asks != LT_LIVE_ASKS_NOTHING; i++)
		give(session, (struct lt_live_input){ .kind = LT_LIVE_NO_MORE });
	assert_int_equal(view_of(session)->asks, LT_LIVE_ASKS_NOTHING);
	session->end = view_of(session)->end;
	fflush(session->screen.out);
}

static void play(struct session *session, const char *script)
{
	begin(session);
	feed(session, script);
	finish_session(session);
}

/* That the question is this one, and that "yes", "" and so on answer it. */
static void expect_asks(const struct session *session, enum lt_live_asks asks, const char *answer)
{
	const struct lt_live_view *view = view_of(session);
	assert_int_equal(view->asks, asks);
	assert_true(view->prompt[0] != '\0');
	for (const char *const *word = view->answers; *word != NULL; word++)
		if (strcmp(*word, answer) == 0)
			return;
	fail_msg("\"%s\" is no answer", answer);
}

/* The last item of a kind that stands there; its words hold `text`. */
static const struct lt_live_item *expect_item(const struct session *session, enum lt_live_kind kind,
	const char *text)
{
	const struct lt_live_view *view = view_of(session);
	for (size_t i = view->count; i-- > 0;)
		if (view->items[i].kind == kind &&
			strstr(lt_text_string(&view->items[i].text), text) != NULL)
			return &view->items[i];
	fail_msg("no item with \"%s\"", text);
	return NULL;
}

/* On the last page. */
static size_t count_items(const struct session *session, enum lt_live_kind kind)
{
	const struct lt_live_view *view = view_of(session);
	size_t count = 0;
	for (size_t i = view->count; i-- > 0 && view->items[i].kind > LT_LIVE_SCREEN;)
		count += view->items[i].kind == kind;
	return count;
}

static const struct lt_verify *machine_of(const struct session *session)
{
	const struct lt_job_state *state = lt_work_state(session->live.work);
	return lt_job_state_machine(state, lt_job_state_stage(state));
}

static const struct lt_job_event *event_of(const struct session *session, size_t scan)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(session->live.work, &count);
	return &events[session->scans.rows[scan].event];
}

static enum lt_verdict verdict_of(const struct session *session, size_t scan)
{
	enum lt_verdict verdict;
	assert_true(lt_verdict_read(&verdict, event_of(session, scan)->verdict));
	return verdict;
}

static void stop(struct session *session)
{
	lt_live_destroy(session->talk);
	lt_work_close(session->live.work);
	lt_live_scans_finish(&session->scans);
	lt_diags_finish(&session->diags);
	fclose(session->screen.out);
	free(session->out);
}

/* Finds each text behind the one before. */
static void expect_in_order(const char *out, const char *const *texts)
{
	const char *at = out;
	for (; *texts != NULL; texts++) {
		const char *found = strstr(at, *texts);
		if (found == NULL) {
			fail_msg("not found: \"%s\" in:\n%s", *texts, at);
			return;
		}
		at = found + strlen(*texts);
	}
}
#define EXPECT(out, ...) expect_in_order((out), (const char *const[]){ __VA_ARGS__, NULL })

static void expect_none(const char *out, const char *text)
{
	if (strstr(out, text) != NULL)
		fail_msg("found: \"%s\" in:\n%s", text, out);
}

static size_t occurrences(const char *out, const char *text)
{
	size_t count = 0;
	for (const char *at = out; (at = strstr(at, text)) != NULL; at += strlen(text))
		count++;
	return count;
}

static void test_nothing_before_hazards_are_confirmed(void **state)
{
	(void)state;
	static const char *const scripts[] = { "", "@1H\n@1M\n", "yes\n@1H\n", "YES\nquit\n",
		"y\nok\nyes please\nyes\nno\n" };
	for (size_t i = 0; i < sizeof(scripts) / sizeof(scripts[0]); i++) {
		for (int stage = LT_STAGE_TAG; stage <= LT_STAGE_RECONNECT; stage++) {
			struct session session;
			start(&session, &harness, (enum lt_stage)stage);
			play(&session, scripts[i]);
			assert_int_equal(session.end, LT_LIVE_UNSAFE);
			assert_int_equal(session.scans.count, 0);
			EXPECT(session.out, "local codes", "not licensed to isolate",
				"Hazard 1 of 2: mains 230 V", "isolate  switch Q1", "release  wait",
				"prove    no voltage",
				"NOT CONFIRMED SAFE: ", lt_live_words.nothing_scanned);
			expect_none(session.out, "NEXT");
			stop(&session);
		}
	}
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, "yes\n@1H\nyes\n");
	EXPECT(session.out, "Hazard 2 of 2: gate leaf", "isolate  chock", "release  not described",
		"prove    not described", "NOT CONFIRMED SAFE", lt_live_words.hazards_confirmed,
		"NEXT");
	assert_int_equal(session.scans.count, 0);
	assert_int_equal(session.end, LT_LIVE_LEFT);
	stop(&session);
}

static void test_whole_job_as_plain_lines(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	session.screen.colour = true;
	play(&session, "yes\nyes\n@2H\n@2M\n@3H\n@1M\n@1H\n@3H\n4h\n4m\n");
	assert_int_equal(session.end, LT_LIVE_MADE);
	EXPECT(session.out, "GD7U0042  Sliding gate drive", "Unit 0042. ",
		lt_live_words.stage_begins[LT_STAGE_RECONNECT], "0 of 4",
		"NEXT  2H + 2M  receiver (X2)", "port IN2 on beam receiver (B4)",
		"..  2H read. Now scan 2M.", "NOW   2H + 2M",
		"++  2: right pair. Seat it, pull gently, tick.", "1 of 4",
		"NEXT  1H + 1M  motor power (X1)", "gate motor (M1), left pillar",
		"place      behind the plate", "  latch to the front", "  clicks once",
		"NEW PART: it carries 1M", "!!  TOO EARLY: 3 comes after 1 and",
		"..  1M read. Now scan 1H.", "++  1: right pair.", " Facing: latch to the front.",
		" Seat: clicks once.", "2 of 4", "NEXT  3H  loom clip (C1)",
		"++  3: right sticker.", "3 of 4", "NEXT  4H + 4M  limit switch", "type 4H and 4M",
		"++  4: right pair", "GD7U0042, stage reconnect: 4 of 4",
		"yes: every right pair is scanned. A scan does not show that a joint is seated.",
		"tags of 1 joint were typed by hand", "by eye",
		"[ ] stud cover (W1), below the board: snaps shut", lt_live_words.to_finish,
		"[ ] no wire pinched", "[ ] earth continuity", "local codes",
		"Restore:", "[ ] gate leaf", "[ ] mains 230 V: last, covers closed");
	for (size_t i = 0; i < session.out_length; i++)
		assert_true(session.out[i] == '\n' || (unsigned char)session.out[i] >= ' ');
	assert_int_equal(session.scans.count, 8);
	assert_int_equal(session.scans.rows[0].line, 3);
	assert_int_equal(verdict_of(&session, 2), LT_VERDICT_OUT_OF_ORDER);
	stop(&session);
}

/* The screens of a terminal session, one after another. */
static char *next_screen(char **rest)
{
	char *at = strstr(*rest, CLEAR);
	if (at == NULL)
		return NULL;
	at += strlen(CLEAR);
	char *end = strstr(at, CLEAR);
	*rest = end != NULL ? end : at + strlen(at);
	return strndup(at, (size_t)(*rest - at));
}

static void test_wrong_mate_stays_until_right_pairs(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	on_terminal(&session);
	play(&session, "yes\nyes\n@1H\n@2M\n@1H\n@1M\n@2H\n@2M\n");
	/* Screens: two hazards, the first, then one a scan. */
	static const bool wrong[] = { false, false, false, false, true, true, true, true, false };
	char *rest = session.out, *screen;
	size_t i = 0;
	for (; (screen = next_screen(&rest)) != NULL; i++) {
		assert_true(i < sizeof(wrong) / sizeof(wrong[0]));
		assert_int_equal(strstr(screen, "WRONG MATE, NOT RESOLVED: 1H with 2M") != NULL,
			wrong[i]);
		if (i == 4)
			EXPECT(screen, "!!  WRONG MATE: 2M is not the other half of 1H.",
				"hurt someone. Take both joints apart now. Then scan the right "
				"pairs.",
				"pairs of 1 and 2.");
		if (i == 6)
			EXPECT(screen, "++  1: right pair", "1H with 2M. ", "pair of 2.");
		free(screen);
	}
	assert_int_equal(i, sizeof(wrong) / sizeof(wrong[0]));
	stop(&session);
}

static void test_bell_and_colour(void **state)
{
	(void)state;
	for (int with = 0; with < 2; with++) {
		struct session session;
		start(&session, &harness, LT_STAGE_RECONNECT);
		on_terminal(&session);
		session.screen.colour = with == 1;
		/* Wrong: a misread, a number that is not there, a wrong mate, skip with no reason.
		 */
		play(&session, "yes\nyes\nrubbish\n@9H\n@1H\n@2M\n@2M\n@2H\nskip 3\nskip 3 lost\n");
		assert_int_equal(occurrences(session.out, "\a"), 4);
		assert_int_equal(strstr(session.out, "\033[1;31m!!  Misread") != NULL, with == 1);
		assert_int_equal(strstr(session.out, "\033[1;32m++  2: right pair") != NULL,
			with == 1);
		/* The signs are there either way. */
		EXPECT(session.out, "!!  Misread. ", "\"rubbish\".",
			"!!  9H: this harness has no number 9", "..  1H read", "!!  WRONG MATE",
			"++  2: right pair", "!!  3 is not skipped yet", "..  3 is skipped");
		stop(&session);
	}
}

static void test_words_on_the_keyboard(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\nUNDO\n@2H\n@2M\nundo\nundo 2\nskip\nskip 77 gone\nskip 1\n"
		       "skip 1 latch broken\nskip 4H no time\nstatus\nundo\nhelp\nstaus\n@2M\n"
		       "skip 2 x\nquit\n@1H\n");
	EXPECT(session.out, lt_live_words.nothing_to_take_back, "2: right pair",
		"Undone: the scan of 2M (RIGHT PAIR). 2H waits for its other half.",
		lt_live_words.undo_alone, lt_live_words.skip_how, "no number 77",
		"1 is not skipped yet", "1 is skipped. It counts as missing", "NOW   2H",
		"Skipped: 1 (latch broken)", "4 is skipped", "0 of 4 numbered joints made.",
		"2  receiver (X2): only 2H read", "1  motor power (X1): skipped: latch broken",
		"3  loom clip (C1): open, after 1", "4  limit switch (X9): skipped: no time",
		lt_live_words.skip_taken_back, lt_live_words.help_skip[LT_STAGE_RECONNECT],
		"Misread", "Did you mean the word status?", "2: right pair", "2 is already made",
		"1 of 4 numbered joints made.", lt_result_words.no[LT_STAGE_RECONNECT],
		lt_live_words.missing, "1  motor power (X1): skipped",
		"3  loom clip (C1): open, after 1", "4  limit switch (X9): open",
		"stud cover (W1)");
	expect_none(session.out, lt_live_words.to_finish);
	assert_int_equal(session.end, LT_LIVE_LEFT);
	assert_int_equal(session.scans.count, 4); /* nothing after quit */
	assert_true(session.scans.rows[1].undone && !session.scans.rows[0].undone);
	assert_string_equal(lt_live_reason(session.live.work, LT_STAGE_RECONNECT,
				    lt_verify_joint(machine_of(&session), 1)),
		"latch broken");
	stop(&session);
}

static void test_a_wrong_mate_is_not_taken_back(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\n@1H\n@2M\nundo\nstatus\nquit\n");
	EXPECT(session.out, "WRONG MATE", lt_live_words.wrong_mate_stays[LT_STAGE_RECONNECT],
		"WRONG MATE", lt_result_words.no[LT_STAGE_RECONNECT]);
	assert_false(session.scans.rows[1].undone);
	stop(&session);
}

/* Some of them are named on the screen, and all in the list. */
static void test_many_wrong_mates(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	begin(&session);
	feed(&session, "yes\nyes\n@1H\n@2M\n@2H\n@1M\n@1H\n4M\n@2H\n4M\n4H\n@1M\n4H\n@2M\n");
	assert_int_equal(count_items(&session, LT_LIVE_WRONG_MATE), 6);
	fflush(session.screen.out);
	char *last = strrchr(session.out, '[');
	while (strncmp(last, "!!  WRONG MATE: ", 16) != 0)
		last--;
	assert_int_equal(occurrences(last, "WRONG MATE, NOT RESOLVED: "), 4);
	EXPECT(last, "1H with 2M", "2H with 1M", "1H with 4M", "2H with 4M",
		"!!  2 more wrong mates are NOT RESOLVED. Type status", "\n0 of 4");
	feed(&session, "status\n");
	fflush(session.screen.out);
	EXPECT(strstr(session.out, "0 of 4 numbered joints made."), "2H with 4M", "4H with 1M",
		"4H with 2M");
	finish_session(&session);
	stop(&session);
}

static void test_only_skipped_joints_left(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\nskip 1 a\nskip 2 b\nskip 4 c\n@2H\n@2M\n");
	EXPECT(session.out, "4 is skipped", lt_live_words.only_skipped_left[LT_STAGE_RECONNECT],
		"2: right pair", "Skipped: 1 (a), 4 (c)", "1 of 4 numbered joints made.",
		lt_result_words.no[LT_STAGE_RECONNECT]);
	stop(&session);
}

static void test_lines(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\n@1H\n\n@1M\n@2H\n@2M");
	assert_int_equal(session.scans.count, 4);
	static const unsigned lines[] = { 3, 5, 6, 7 };
	for (size_t i = 0; i < 4; i++)
		assert_int_equal(session.scans.rows[i].line, lines[i]);
	assert_int_equal(lt_verify_made_count(machine_of(&session)), 2);
	stop(&session);

	/* A line too long is a misread even where it begins with a good scan. */
	struct lt_text script = { 0 };
	lt_text_add(&script, "yes\nyes\n@1H\n@1M ");
	lt_text_add_times(&script, 'x', 5000);
	lt_text_add(&script, "\nskip 2 ");
	lt_text_add_times(&script, 'y', 100000);
	lt_text_add(&script, "\n@1M\n");
	start(&session, &harness, LT_STAGE_RECONNECT);
	play(&session, lt_text_string(&script));
	assert_int_equal(session.scans.count, 4);
	assert_int_equal(verdict_of(&session, 1), LT_VERDICT_MISREAD);
	assert_int_equal(verdict_of(&session, 2), LT_VERDICT_MISREAD);
	assert_int_equal(verdict_of(&session, 3), LT_VERDICT_MATED);
	for (size_t i = 0; i < 4; i++)
		assert_int_equal(event_of(&session, i)->kind, LT_JOB_SCAN);
	lt_text_finish(&script);
	stop(&session);
}

/* Neither a description nor a scanner can drive the terminal. */
static void test_no_foreign_control_characters(void **state)
{
	(void)state;
	struct lt_harness evil = harness;
	struct lt_connector copies[CONNECTORS];
	memcpy(copies, connectors, sizeof(copies));
	copies[4].name = "re\033[5mceiver\a";
	copies[4].note = "two\nlines \xC2\x9B"
			 "31m";
	evil.connectors = copies;
	struct session session;
	start(&session, &evil, LT_STAGE_RECONNECT);
	on_terminal(&session);
	play(&session, "yes\nyes\n\033[31mred\a\nskip 2 \033[5m\xFF\n@2H\n");
	expect_none(session.out, "\033[5m");
	expect_none(session.out, "\033[31m");
	assert_int_equal(occurrences(session.out, "\a"), 1); /* of its own, for a misread */
	expect_none(session.out, "\xC2\x9B");
	expect_none(session.out, "\xFF");
	EXPECT(session.out, "re\xEF\xBF\xBD[5mceiver", "two lines");
	assert_null(strchr(event_of(&session, 0)->text, '\033'));
	stop(&session);
}

static void test_stage_tag(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_TAG);
	play(&session, "yes\nyes\n@3H\n@1H\n@1M\n@1H\n@1X\n@2H\n@2M\n4H\n4M\n");
	assert_int_equal(session.end, LT_LIVE_MADE);
	EXPECT(session.out, lt_live_words.stage_begins[LT_STAGE_TAG],
		"++  3:", "1H read. Now scan 1X.",
		"!!  1M is for the new part, which is not in the machine yet. Scan 1X",
		"++  1: right pair", "stage tag: 4 of 4", "yes: every right pair is scanned.",
		lt_live_words.unplug_in_order, "stud cover");
	expect_none(session.out, "Seat it");
	expect_none(session.out, "NEW PART");
	expect_none(session.out, "Restore:");
	stop(&session);
}

/* Stickers on wrong halves: the work does not go on by an Enter, and each stays on the screen. */
static void test_wrong_stickers_stay_on_the_screen(void **state)
{
	(void)state;
	struct session session;
	start_at(&session, "ann", LT_STAGE_TAG);
	begin(&session);
	feed(&session, "yes\nyes\n@1H\n@2M\n@2H\n4M\nnext\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD_OR_BACK, "next");
	feed(&session, "\n@3H\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD_OR_BACK, "back");
	assert_int_equal(lt_job_state_stage(lt_work_state(session.live.work)), LT_STAGE_TAG);
	static const char *const onward[] = { "next\n", "stage swap\nnext\n",
		"stage reconnect\nnext\n" };
	for (size_t i = 0; i < sizeof(onward) / sizeof(onward[0]); i++) {
		feed(&session, onward[i]);
		expect_asks(&session, LT_LIVE_ASKS_SCAN, "status");
		expect_item(&session, LT_LIVE_WRONG_MATE,
			"1H with 2M, found at stage tag. Put each sticker on its correct half.");
		expect_item(&session, LT_LIVE_WRONG_MATE, "2H with 4M, found at stage tag.");
	}
	finish_session(&session);
	stop(&session);
}

static void test_no_unit_no_hazards(void **state)
{
	(void)state;
	struct lt_harness bare = harness;
	bare.unit = NULL;
	snprintf(bare.code, sizeof(bare.code), "GD7");
	bare.hazard_count = 0;
	struct session session;
	start(&session, &bare, LT_STAGE_RECONNECT);
	play(&session, "@1H\n@1M\n");
	EXPECT(session.out, lt_result_words.no_unit, "No hazards are described.", "1: right pair",
		lt_result_words.no[LT_STAGE_RECONNECT], lt_result_words.no_unit);
	assert_int_equal(session.end, LT_LIVE_LEFT);
	stop(&session);
}

static void test_nothing_to_scan(void **state)
{
	(void)state;
	struct lt_harness empty = harness;
	empty.connector_count = 1;
	empty.order = (size_t[]){ 0 };
	struct session session;
	start(&session, &empty, LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\n");
	/* Where no scan proves anything the answer is no. */
	assert_int_equal(session.end, LT_LIVE_LEFT);
	EXPECT(session.out, lt_result_words.no_number, "by eye", "stud cover");
	expect_none(session.out, "yes: every");
	stop(&session);
}

/* From a written description to the screen, with nothing made up in between. */
static void test_from_a_description(void **state)
{
	(void)state;
	static const char yaml[] =
		"harness: GD7\n"
		"components:\n"
		"  - {id: K1, name: brake relay, fate: replace}\n"
		"connectors:\n"
		"  - {id: X1, name: brake, mates: K1, family: F6, ways: 2, wires: {1: BN, 2: BU}}\n"
		"  - {id: X2, name: horn, family: F6, ways: 2}\n"
		"  - {id: W1, tag: none, family: lid, after: [X2]}\n"
		"  - {id: X3, name: lamp, family: F9, ways: 3, after: [W1]}\n";
	struct lt_diags diags = { 0 };
	struct lt_harness described;
	struct lt_register reg = { 0 };
	struct session session;
	assert_true(lt_harness_read(&described, "gd7.yaml", yaml, sizeof(yaml) - 1,
		&(struct lt_harness_options)LT_HARNESS_OPTIONS_INIT, &diags));
	struct lt_lookalikes *lookalikes = lt_lookalikes_create(&described);
	const struct lt_lookalikes *const shown = lookalikes;
	struct lt_tags tags = { 0 };
	assert_true(lt_tags_assign(&tags, &described, lookalikes, &reg, &diags));
	start(&session, &described, LT_STAGE_RECONNECT);
	session.tags = tags;
	lt_work_describe(session.live.work, &session.tags);
	session.live.lookalikes = &shown;
	/* X3 waits for X2, by way of a joint that has no number. */
	play(&session, "@3H\n@3M\n@2H\n@2M\n@1X\n@1H\n@1M\n@3M\n@3H\n");
	assert_int_equal(session.end, LT_LIVE_MADE);
	EXPECT(session.out, "NEXT  2H + 2M  horn (X2)", "Would also fit 1. Check the number.",
		"!!  TOO EARLY: 3 comes after 2 and", "++  2: right pair",
		"!!  1X is on the old part. Scan 1M on the new part.", "NOW   1H + 1M  brake (X1)",
		"mates with brake relay (K1)", "wires      1 BN, 2 BU", "NEW PART: it carries 1M",
		"Would also fit 2. Check", "++  1: right pair", "NEXT  3H + 3M  lamp (X3)",
		lt_live_words.by_eye_first, "W1", "++  3: right pair",
		"GD7, stage reconnect: 3 of 3", "[ ] W1");
	stop(&session);
	lt_tags_finish(&tags);
	lt_lookalikes_destroy(lookalikes);
	lt_register_finish(&reg);
	lt_harness_finish(&described);
	lt_diags_finish(&diags);
}

/* Each question, what answers it, and what stands there, from the first to the last stage. */
static void test_whole_job_as_a_conversation(void **state)
{
	(void)state;
	struct session session;
	start_at(&session, "?", LT_STAGE_COUNT);
	session.live.who = who;
	session.live.suggested = "guest";
	begin(&session);
	/* An answer to another question, or a scan, is no name. */
	feed(&session, "yes\n@1H\n");
	expect_asks(&session, LT_LIVE_ASKS_WHO, "");
	feed(&session, "Ada L\n");
	assert_string_equal(session.kept, "Ada L");
	expect_asks(&session, LT_LIVE_ASKS_HAZARD, "yes");
	assert_int_equal(count_items(&session, LT_LIVE_STEP), 4);
	feed(&session, "yes\nno\n");
	assert_int_equal(expect_item(&session, LT_LIVE_TEXT, lt_live_words.only_yes_confirms)
				 ->style,
		LT_LIVE_WRONG);
	feed(&session, "yes\n");
	expect_asks(&session, LT_LIVE_ASKS_SCAN, "skip");
	expect_item(&session, LT_LIVE_SAID, lt_live_words.hazards_confirmed);
	assert_string_equal(expect_item(&session, LT_LIVE_NEXT, "")->label, "NEXT");
	assert_int_equal(view_of(&session)->needed, 4);

	feed(&session, "@1H\n");
	assert_string_equal(expect_item(&session, LT_LIVE_NEXT, "1H + 1X")->label, "NOW");
	assert_string_equal(expect_item(&session, LT_LIVE_VERDICT, "")->label, "1H");
	assert_false(view_of(&session)->rings);
	feed(&session, "@1X\n@2H\n@2M\n@3H\n4H\n");
	assert_int_equal(view_of(&session)->made, 3);
	feed(&session, "4M\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD, "");
	expect_item(&session, LT_LIVE_TEXT, "unplug");
	/* A scan is not passed over in silence. */
	feed(&session, "@1H\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD, "");
	assert_int_equal(expect_item(&session, LT_LIVE_SAID, lt_live_words.scan_not_counted)->style,
		LT_LIVE_WRONG);
	assert_true(view_of(&session)->rings);
	assert_int_equal(session.scans.count, 7);

	feed(&session, "\n@3H\n@1H\n@2H\n4H\n");
	expect_asks(&session, LT_LIVE_ASKS_SCAN, "next");
	expect_item(&session, LT_LIVE_NOTHING_NEXT, lt_live_words.all_apart);
	feed(&session, "next\n");
	expect_item(&session, LT_LIVE_SAID, "Stage swap.");
	feed(&session, "@1X\n@1M\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD, "stage");
	feed(&session, "stage nowhere\nstage reconnect\n");

	feed(&session, "skip 2 latch bent\nnext\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD_OR_BACK, "back");
	feed(&session, "back\n");
	expect_item(&session, LT_LIVE_SAID, "Back at stage reconnect.");
	expect_item(&session, LT_LIVE_SKIPPED, "2 (latch bent)");
	feed(&session, "@2H\n@2M\n@1H\n@1M\n@3H\n4H\n4M\n");
	expect_asks(&session, LT_LIVE_ASKS_ONWARD, "");

	feed(&session, "yes\n");
	expect_asks(&session, LT_LIVE_ASKS_TICK, "yes");
	expect_item(&session, LT_LIVE_BOX, "stud cover");
	feed(&session, "so\n");
	expect_item(&session, LT_LIVE_SAID, lt_live_words.only_yes_ticks);
	feed(&session, "yes\nundo\n");
	expect_item(&session, LT_LIVE_SAID, lt_live_words.tick_taken_back);
	feed(&session, "yes\nyes\nyes\nyes\n");
	expect_item(&session, LT_LIVE_BOX, "gate leaf");
	feed(&session, "yes\n");
	expect_item(&session, LT_LIVE_TEXT, "Job 1 is closed");
	finish_session(&session);
	assert_int_equal(session.end, LT_LIVE_MADE);
	assert_true(lt_job_state_closed(lt_work_state(session.live.work)));
	assert_false(time_passes(&session));
	stop(&session);

	/* It is done: nobody begins another by mistake. */
	start_at(&session, "ann", LT_STAGE_COUNT);
	begin(&session);
	feed(&session, "\nyes\n");
	expect_asks(&session, LT_LIVE_ASKS_ANOTHER, "new");
	expect_item(&session, LT_LIVE_TEXT, "Job 1 of GD7U0042 is closed");
	feed(&session, "new\n");
	expect_asks(&session, LT_LIVE_ASKS_HAZARD, "quit");
	feed(&session, "quit\n");
	const struct lt_live_item *stopped =
		expect_item(&session, LT_LIVE_TEXT, "NOT CONFIRMED SAFE: mains 230 V.");
	assert_non_null(strstr(lt_text_string(&stopped->text), lt_live_words.nothing_scanned));
	finish_session(&session);
	assert_int_equal(session.end, LT_LIVE_UNSAFE);
	stop(&session);
}

/* The same gate, with the receiver at another port; and with another hazard beside that. */
static struct lt_connector moved_connectors[CONNECTORS];
static struct lt_hazard moved_hazards[2];
static struct lt_harness moved, riskier;

static void move_a_port(void)
{
	memcpy(moved_connectors, connectors, sizeof(connectors));
	memcpy(moved_hazards, hazards, sizeof(hazards));
	moved_connectors[4].port = "IN3";
	moved_hazards[1].isolate = "chock the leaf on both sides";
	moved = harness;
	moved.connectors = moved_connectors;
	riskier = moved;
	riskier.hazards = moved_hazards;
}

static void test_a_changed_plan_is_asked_about(void **state)
{
	(void)state;
	struct session session;
	move_a_port();
	start_at(&session, "ann", LT_STAGE_RECONNECT);
	play(&session, "yes\nyes\n@2H\n@2M\nquit\n");
	assert_int_equal(session.end, LT_LIVE_LEFT);
	stop(&session);

	/* Where nobody can be asked nothing goes on. */
	start_at(&session, "ann", LT_STAGE_RECONNECT);
	session.tags.harness = &moved;
	lt_work_describe(session.live.work, &session.tags);
	session.live.attended = session.screen.terminal = false;
	play(&session, "yes\nyes\n@1H\n");
	assert_int_equal(session.end, LT_LIVE_REFUSED);
	assert_int_equal(session.scans.count, 0);
	EXPECT(session.out, "Job 1 is open.", "THE DESCRIPTION HAS CHANGED", "  - 2 X2");
	stop(&session);

	start_at(&session, "ann", LT_STAGE_RECONNECT);
	session.tags.harness = &moved;
	lt_work_describe(session.live.work, &session.tags);
	begin(&session);
	feed(&session, "@1H\n");
	expect_asks(&session, LT_LIVE_ASKS_RESUME, "new");
	expect_item(&session, LT_LIVE_TEXT, "Job 1 is open.");
	feed(&session, "\n");
	expect_asks(&session, LT_LIVE_ASKS_CHANGED, "again");
	assert_int_equal(count_items(&session, LT_LIVE_CHANGE), 1);
	assert_int_equal(expect_item(&session, LT_LIVE_CHANGE, "IN3")->style, LT_LIVE_WRONG);
	feed(&session, "@1H\nagain\n");
	expect_asks(&session, LT_LIVE_ASKS_CHANGED, "yes");
	assert_true(lt_work_differs(session.live.work));
	feed(&session, "yes\n");
	expect_asks(&session, LT_LIVE_ASKS_HAZARD, "yes");
	feed(&session, "yes\nyes\n");
	assert_int_equal(view_of(&session)->made, 0);
	finish_session(&session);
	stop(&session);

	/* Or it is said beforehand. */
	start_at(&session, "ann", LT_STAGE_RECONNECT);
	session.live.changed = true;
	play(&session, "\nyes\nyes\n");
	EXPECT(session.out, "THE DESCRIPTION HAS CHANGED", "Hazard 1 of 2");
	assert_false(lt_work_differs(session.live.work));
	stop(&session);
}

/* The file is edited while somebody scans: it is read again before anything is said by it. */
static void test_a_file_that_is_edited_meanwhile(void **state)
{
	(void)state;
	struct session session;
	move_a_port();
	start_at(&session, "ann", LT_STAGE_RECONNECT);
	begin(&session);
	feed(&session, "yes\nyes\n@2H\n@2M\n");
	session.unreadable = 2;
	session.edited = &riskier;
	feed(&session, "next\n");
	expect_asks(&session, LT_LIVE_ASKS_REREAD, "");
	feed(&session, "\n");
	expect_asks(&session, LT_LIVE_ASKS_REREAD, "quit");
	expect_item(&session, LT_LIVE_SAID, lt_live_words.file_unreadable);
	feed(&session, "\n");
	expect_asks(&session, LT_LIVE_ASKS_CHANGED, "yes");
	feed(&session, "yes\n");
	/* Another hazard is confirmed anew. */
	expect_asks(&session, LT_LIVE_ASKS_HAZARD, "yes");
	feed(&session, "yes\nyes\n");
	expect_asks(&session, LT_LIVE_ASKS_SCAN, "help");
	expect_item(&session, LT_LIVE_SAID, lt_live_words.new_description);
	assert_int_equal(view_of(&session)->made, 0);
	session.edited = &moved;
	feed(&session, "quit\n");
	/* So it is when they are read at the end; who leaves then has said so. */
	expect_asks(&session, LT_LIVE_ASKS_HAZARD, "quit");
	feed(&session, "quit\n");
	expect_item(&session, LT_LIVE_TEXT, "NOT CONFIRMED SAFE: ");
	finish_session(&session);
	assert_int_equal(session.end, LT_LIVE_LEFT);
	stop(&session);

	/* With nobody to mend it. */
	start(&session, &harness, LT_STAGE_RECONNECT);
	session.unreadable = 1;
	play(&session, "yes\nyes\nquit\n");
	assert_int_equal(session.end, LT_LIVE_FAILED);
	EXPECT(session.out, "The description can no longer be read.");
	stop(&session);
}

static void begin_with_hazards_confirmed(struct session *session, const char *person)
{
	start_at(session, person, LT_STAGE_RECONNECT);
	begin(session);
	feed(session,
		view_of(session)->asks == LT_LIVE_ASKS_RESUME ? "\nyes\nyes\n" : "yes\nyes\n");
	assert_int_equal(view_of(session)->asks, LT_LIVE_ASKS_SCAN);
}

static void test_changes_by_other_terminals(void **state)
{
	(void)state;
	struct session here, there;
	move_a_port();
	begin_with_hazards_confirmed(&there, "bob");
	begin_with_hazards_confirmed(&here, "ann");
	assert_false(time_passes(&here));
	feed(&there, "@2H\n");
	assert_true(time_passes(&here));
	expect_asks(&here, LT_LIVE_ASKS_SCAN, "undo");
	expect_item(&here, LT_LIVE_SAID, "1 event at another terminal, by bob: 2H HALF.");
	assert_false(time_passes(&here));

	/* Nothing that is scanned before it was seen is taken. */
	feed(&there, "stage unplug\nnext\n");
	feed(&here, "@1H\n");
	assert_int_equal(here.scans.count, 0);
	expect_asks(&here, LT_LIVE_ASKS_SEEN, "");
	expect_item(&here, LT_LIVE_SAID, "STAGE CHANGED to unplug at another terminal, by bob.");
	feed(&here, "@1H\n");
	expect_asks(&here, LT_LIVE_ASKS_SEEN, "quit");
	/* One more move is seen in its turn. */
	feed(&there, "stage reconnect\nnext\n");
	assert_true(time_passes(&here));
	expect_item(&here, LT_LIVE_SAID, "STAGE CHANGED to reconnect");
	feed(&here, "\n");
	expect_item(&here, LT_LIVE_SAID, "Stage reconnect.");

	/* Another plan; the file says the same here by then. */
	there.edited = here.edited = &moved;
	feed(&there, "next\nyes\n");
	assert_true(time_passes(&here));
	expect_asks(&here, LT_LIVE_ASKS_SEEN, "");
	expect_item(&here, LT_LIVE_SAID,
		"THE DESCRIPTION HAS CHANGED at another terminal, by bob:");
	expect_item(&here, LT_LIVE_CHANGE, "IN3");
	feed(&here, "\n");
	expect_asks(&here, LT_LIVE_ASKS_SCAN, "status");

	/* A question is not disturbed, unless the job is moved under it. */
	feed(&here, "next\n");
	expect_asks(&here, LT_LIVE_ASKS_ONWARD_OR_BACK, "back");
	feed(&there, "@1H\n");
	assert_false(time_passes(&here));
	assert_true(lt_work_finish(there.live.work, "enough", &there.diags));
	assert_true(time_passes(&here));
	assert_int_equal(view_of(&here)->asks, LT_LIVE_ASKS_NOTHING);
	expect_item(&here, LT_LIVE_SAID, "JOB CLOSED at another terminal by bob. Reason: enough.");
	assert_int_equal(view_of(&here)->end, LT_LIVE_LEFT);
	stop(&here);
	stop(&there);
}

/* Each has its own half of a pair, its own question, and the same job. */
static void test_several_terminals_at_one_database(void **state)
{
	(void)state;
	enum { PEOPLE = 3 };
	static const char *const names[PEOPLE] = { "ann", "bob", "eve" };
	struct session people[PEOPLE];
	for (size_t i = 0; i < PEOPLE; i++)
		begin_with_hazards_confirmed(&people[i], names[i]);
	feed(&people[0], "@2H\n");
	feed(&people[1], "@1H\n");
	feed(&people[2], "help\n");
	assert_int_equal(count_items(&people[2], LT_LIVE_WORD), 9);
	feed(&people[0], "@2M\n");
	expect_item(&people[0], LT_LIVE_SAID, "2: right pair.");
	feed(&people[1], "@1M\n");
	expect_item(&people[1], LT_LIVE_SAID, "1: right pair.");
	feed(&people[2], "@3H\n4H\n4M\n");
	for (size_t i = 0; i < PEOPLE; i++) {
		if (time_passes(&people[i]))
			feed(&people[i], "\n");
		expect_asks(&people[i], LT_LIVE_ASKS_ONWARD, "");
		expect_item(&people[i], LT_LIVE_TEXT, "GD7U0042, stage reconnect: 4 of 4");
		assert_int_equal(people[i].scans.count, i == 2 ? 3 : 2);
	}
	feed(&people[0], "yes\nyes\n");
	feed(&people[1], "yes\n");
	expect_asks(&people[1], LT_LIVE_ASKS_SEEN, "");
	feed(&people[1], "\n");
	expect_item(&people[1], LT_LIVE_TEXT, "1 of 5 ticked.");
	for (size_t i = 0; i < PEOPLE; i++)
		stop(&people[i]);
}

static void test_a_database_that_is_removed(void **state)
{
	(void)state;
	struct session session;
	begin_with_hazards_confirmed(&session, "ann");
	assert_int_equal(unlink("bench.db"), 0);
	feed(&session, "@1H\n");
	assert_int_equal(view_of(&session)->asks, LT_LIVE_ASKS_NOTHING);
	assert_int_equal(view_of(&session)->end, LT_LIVE_FAILED);
	assert_int_equal(session.scans.count, 0);
	assert_int_equal(session.diags.count, 1);
	stop(&session);
}

static void test_scanners(void **state)
{
	(void)state;
	struct session session;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, 1, LT_SIDE_H, harness.code);
	struct lt_live_input scan = { .kind = LT_LIVE_LINE,
		.bytes = code,
		.length = strlen(code),
		.scanned = true,
		.timed = true,
		.at = 1000 };
	start(&session, &harness, LT_STAGE_RECONNECT);
	on_terminal(&session);
	begin(&session);
	assert_false(give(&session, (struct lt_live_input){ .kind = LT_LIVE_LOST }));
	feed(&session, "yes\nyes\n");
	/* A double trigger is one scan, and the screen stays as it is. */
	give(&session, scan);
	const size_t shown = view_of(&session)->first + view_of(&session)->count;
	scan.at += LT_WEDGE_TWICE - 1;
	give(&session, scan);
	assert_int_equal(session.scans.count, 1);
	assert_int_equal(view_of(&session)->first + view_of(&session)->count, shown);
	scan.at += LT_WEDGE_TWICE + 1;
	give(&session, scan);
	assert_int_equal(session.scans.count, 2);
	assert_true(give(&session, (struct lt_live_input){ .kind = LT_LIVE_LOST }));
	assert_int_equal(expect_item(&session, LT_LIVE_SAID, lt_live_words.scanner_lost)->style,
		LT_LIVE_WRONG);
	assert_true(view_of(&session)->rings);
	finish_session(&session);
	stop(&session);
}

/* What a scanner's device sends is not echoed: nothing else begins behind a question. */
static void test_a_question_is_on_a_line_of_its_own(void **state)
{
	(void)state;
	struct session session;
	start(&session, &harness, LT_STAGE_RECONNECT);
	on_terminal(&session);
	begin(&session);
	lt_live_screen_ask(&session.screen, view_of(&session));
	lt_live_screen_end_line(&session.screen);
	lt_live_screen_end_line(&session.screen);
	fputs("error", session.screen.out);
	fflush(session.screen.out);
	EXPECT(session.out, lt_live_words.ask_hazard, " > \n", lt_live_words.ask_hazard,
		" > \nerror");
	finish_session(&session);
	stop(&session);
}

/* Columns of a line, without the sequences that set it. */
static size_t shown_columns(const char *line, size_t length)
{
	struct lt_text text = { 0 };
	for (size_t i = 0; i < length; i++) {
		if (line[i] == '\033') {
			while (line[i] != 'm')
				i++;
			continue;
		}
		if (line[i] != '\a')
			lt_text_add_char(&text, line[i]);
	}
	const size_t columns = lt_utf8_columns(lt_text_string(&text));
	lt_text_finish(&text);
	return columns;
}

static void expect_to_fit(const char *screen, size_t columns, size_t rows)
{
	size_t lines = 1;
	for (const char *at = screen; *at != '\0';) {
		const char *end = strchr(at, '\n');
		const size_t length = end != NULL ? (size_t)(end - at) : strlen(at);
		if (shown_columns(at, length) > columns)
			fail_msg("wider than %zu: %.*s", columns, (int)length, at);
		lines += end != NULL;
		at += length + (end != NULL);
	}
	if (lines > rows)
		fail_msg("higher than %zu:\n%s", rows, screen);
}

static void test_screen_fits(void **state)
{
	(void)state;
	static const char long_text[] =
		"a text that goes on for a good while, since whoever wrote "
		"it meant to leave nothing out and had the time for it, and "
		"then thought of one thing more that ought to be said here";
	struct lt_harness full = harness;
	struct lt_connector copies[CONNECTORS];
	memcpy(copies, connectors, sizeof(copies));
	for (size_t i = 0; i < CONNECTORS; i++) {
		copies[i].where = copies[i].orient = copies[i].seat = copies[i].note = long_text;
		copies[i].family = NULL;
	}
	copies[4].name = long_text;
	full.connectors = copies;
	full.hazard_count = 0;
	struct session session;
	start(&session, &full, LT_STAGE_RECONNECT);
	on_terminal(&session);
	session.screen.columns = 80;
	session.screen.colour = true;
	play(&session, "@1H\n@2M\n@2H\n@1M\nskip 3 it is at the bottom of the river, and the "
		       "river is deep where it is\nskip 4 b\n@1H\n@2M\n");
	char *rest = session.out, *screen;
	size_t screens = 0;
	/* The last one has the end behind it, which scrolls. */
	for (; (screen = next_screen(&rest)) != NULL && *rest != '\0'; screens++) {
		expect_to_fit(screen, 80, 24);
		EXPECT(screen, "GD7U0042", "of 4 [", lt_live_words.ask_scan, " > ");
		free(screen);
	}
	free(screen);
	assert_int_equal(screens, 8);
	stop(&session);

	/* With room, the tags are large: five rows of reversed blanks. */
	start(&session, &harness, LT_STAGE_RECONNECT);
	on_terminal(&session);
	play(&session, "yes\nyes\n");
	EXPECT(session.out, "NEXT  2H + 2M", "\033[7m     \033[0m",
		"mates with port IN2 on beam receiver");
	stop(&session);
}

static int forget_store(void **state)
{
	(void)state;
	unlink("bench.db");
	return 0;
}
#define AT_A_STORE(test) cmocka_unit_test_setup(test, forget_store)

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing_before_hazards_are_confirmed),
		cmocka_unit_test(test_whole_job_as_plain_lines),
		cmocka_unit_test(test_wrong_mate_stays_until_right_pairs),
		cmocka_unit_test(test_bell_and_colour),
		cmocka_unit_test(test_words_on_the_keyboard),
		cmocka_unit_test(test_a_wrong_mate_is_not_taken_back),
		cmocka_unit_test(test_many_wrong_mates),
		cmocka_unit_test(test_only_skipped_joints_left),
		cmocka_unit_test(test_lines),
		cmocka_unit_test(test_no_foreign_control_characters),
		cmocka_unit_test(test_stage_tag),
		cmocka_unit_test(test_wrong_stickers_stay_on_the_screen),
		cmocka_unit_test(test_no_unit_no_hazards),
		cmocka_unit_test(test_nothing_to_scan),
		cmocka_unit_test(test_from_a_description),
		cmocka_unit_test(test_screen_fits),
		cmocka_unit_test(test_scanners),
		cmocka_unit_test(test_a_question_is_on_a_line_of_its_own),
		AT_A_STORE(test_whole_job_as_a_conversation),
		AT_A_STORE(test_a_changed_plan_is_asked_about),
		AT_A_STORE(test_a_file_that_is_edited_meanwhile),
		AT_A_STORE(test_changes_by_other_terminals),
		AT_A_STORE(test_several_terminals_at_one_database),
		AT_A_STORE(test_a_database_that_is_removed),
	};
	return cmocka_run_group_tests(tests, enter_folder, leave_folder);
}
