/* The state of a job: what events and new plans do to it, and the answer. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "job/plan.h"
#include "job/state.h"
#include "job_fixture.h"
#include "loomtag/base.h"
#include "verify_spell.h"

/* 12 and 9 are two-sided; 5 comes after 12; 7 is one-sided, after 5; the part of 9 and 20 is
 * replaced. A strap has no number. */
static void five_joints(struct job_fixture *fixture)
{
	static const size_t first[] = { 0 }, second[] = { 1 };
	job_fixture_begin(fixture);
	job_fixture_add(fixture, 12, 2, false, NULL, 0);
	job_fixture_add(fixture, 5, 2, false, first, 1);
	job_fixture_add(fixture, 7, 1, false, second, 1);
	job_fixture_add(fixture, 9, 2, true, NULL, 0);
	job_fixture_add(fixture, 20, 2, true, NULL, 0);
	fixture->connectors[5] = (struct lt_connector){ .id = "W1",
		.name = "frame strap",
		.component = LT_NONE,
		.sides = 2,
		.marking = LT_MARK_NONE };
	fixture->order[5] = 5;
	fixture->harness.connector_count = 6;
	fixture->hazard = (struct lt_hazard){ .energy = "mains 230 V", .restore = "last" };
	fixture->harness.hazard_count = 1;
	fixture->finish[0].text = "covers closed";
	fixture->harness.finish_count = 1;
}

/* The same, with no part replaced. */
static void five_that_stay(struct job_fixture *fixture)
{
	five_joints(fixture);
	fixture->connectors[3].component = fixture->connectors[4].component = 0;
}

static void set_up(struct job_fixture *fixture, bool parts)
{
	if (parts)
		five_joints(fixture);
	else
		five_that_stay(fixture);
}

/* Does the words of a script: "tag:" to "finish:" begins a stage, "tag!" leaves it out, "@2"
 * changes the station, "-12" skips, "<" takes back, "p" is a picture, "*" ticks the next line, "."
 * closes, anything else is a scan as spelt. Says "no" for each that is refused, else the verdict of
 * a scan or "ok". */
struct player {
	struct job_script script;
	struct lt_text plan; /* of the first event */
	struct lt_job_state *state;
	enum lt_stage stage;
	unsigned station;
	bool typed;
	char said[512];
};

static void say(struct player *player, const char *what)
{
	const size_t used = strlen(player->said);
	snprintf(player->said + used, sizeof(player->said) - used, "%s%s", used > 0 ? " " : "",
		what);
}

static bool names_stage(struct player *player, const char *word, char end)
{
	char name[16];
	snprintf(name, sizeof(name), "%s", word);
	char *last = name + strlen(name) - 1;
	enum lt_stage stage;
	if (*last != end)
		return false;
	*last = '\0';
	if (!lt_stage_read(&stage, name))
		return false;
	player->stage = stage;
	return true;
}

static void make_event(struct player *player, struct lt_job_event *event, const char *word)
{
	char *text = player->script.texts[player->script.count];
	const enum lt_stage before = player->stage;
	if (names_stage(player, word, ':')) {
		event->kind = LT_JOB_STAGE;
		event->stage = player->stage;
	} else if (names_stage(player, word, '!')) {
		event->kind = LT_JOB_STAGE_SKIPPED;
		event->stage = player->stage;
		player->stage = before;
	} else if (word[0] == '-') {
		event->kind = LT_JOB_SKIP;
		event->number = (unsigned)strtoul(word + 1, NULL, 10);
	} else if (word[0] == '<') {
		event->kind = LT_JOB_UNDO;
	} else if (word[0] == 'p') {
		event->kind = LT_JOB_PICTURE;
	} else if (word[0] == '.') {
		event->kind = LT_JOB_CLOSED;
		event->text = word[1] != '\0' ? "lamp is missing" : NULL;
	} else if (word[0] == '*') {
		size_t line = 0;
		while (line + 1 < lt_job_state_lines(player->state) &&
			lt_job_state_ticked(player->state, line) != LT_NONE)
			line++;
		event->kind = LT_JOB_TICK;
		event->text = word[1] != '\0' ? word : lt_job_state_line(player->state, line)->text;
	} else {
		spell(text, word);
		event->text = text;
	}
}

/* As a work does: the verdict becomes a part of the event. At stage finish nothing is judged. */
static void judge(struct player *player, struct lt_job_event *event)
{
	char *tag = player->script.tags[player->script.count];
	if (event->stage >= LT_STAGE_FINISH)
		return;
	const struct lt_answer answer = lt_job_state_judge(player->state, event->station,
		event->typed, event->text, strlen(event->text));
	event->verdict = lt_verdict_name(answer.verdict);
	if (!answer.has_tag)
		return;
	lt_tag_write(tag, answer.number, answer.side);
	event->tag = tag;
}

static void do_word(struct player *player, const char *word)
{
	if (word[0] == '@') {
		player->station = (unsigned)strtoul(word + 1, NULL, 10);
		return;
	}
	struct job_script *script = &player->script;
	struct lt_job_event *event = job_event(script, LT_JOB_SCAN, player->stage, player->station);
	event->typed = player->typed;
	make_event(player, event, word);
	if (event->kind == LT_JOB_SCAN)
		judge(player, event);
	if (!lt_job_state_apply(player->state, event, NULL)) {
		say(player, "no");
		return;
	}
	event->id = ++script->count + 1;
	say(player, event->kind == LT_JOB_SCAN ? event->verdict : "ok");
}

static void play(struct player *player, const char *words)
{
	char copy[512];
	snprintf(copy, sizeof(copy), "%s", words);
	char *rest = NULL;
	player->said[0] = '\0';
	for (char *word = strtok_r(copy, " ", &rest); word != NULL;
		word = strtok_r(NULL, " ", &rest))
		do_word(player, word);
}

static void write_plan(struct lt_text *out, const struct job_fixture *fixture, bool backdated)
{
	struct lt_arena arena = { 0 };
	struct lt_job_plan plan;
	lt_job_plan_make(&plan, &arena, &fixture->tags);
	plan.backdated = backdated;
	lt_text_clear(out);
	lt_job_plan_write(out, &plan);
	lt_arena_finish(&arena);
}

/* Event 0 of every job here is its plan; those of the script come behind it. */
static void put_plan(struct lt_job_state *state, const struct lt_text *text)
{
	const struct lt_job_event event = { .id = 1,
		.who = "Ines",
		.station = 1,
		.kind = LT_JOB_PLAN,
		.stage = LT_STAGE_RECONNECT,
		.text = lt_text_string(text) };
	assert_true(lt_job_state_apply(state, &event, NULL));
}

static void begin(struct player *player, const struct job_fixture *fixture)
{
	memset(player, 0, sizeof(*player));
	player->state = lt_job_state_create();
	player->stage = LT_STAGE_RECONNECT;
	player->station = 1;
	write_plan(&player->plan, fixture, false);
	put_plan(player->state, &player->plan);
}

static void end(struct player *player)
{
	lt_job_state_destroy(player->state);
	lt_text_finish(&player->plan);
}

/* "12 5|7" for what is made at a stage and what of it is not needed. */
static void sum_up(const struct lt_job_state *state, enum lt_stage stage, char out[64])
{
	const struct lt_verify *machine = lt_job_state_machine(state, stage);
	const struct lt_plan *plan = lt_verify_plan(machine);
	out[0] = '\0';
	for (size_t i = 0; i < plan->joint_count; i++)
		if (lt_verify_made(machine, i))
			snprintf(out + strlen(out), 64 - strlen(out), "%s%u%s",
				out[0] != '\0' ? " " : "", plan->joints[i].number,
				lt_verify_needed(machine, i) ? "" : "left");
}

/* A state that only read the events. */
static struct lt_job_state *read_again(const struct player *player)
{
	struct lt_job_state *state = lt_job_state_create();
	put_plan(state, &player->plan);
	for (size_t i = 0; i < player->script.count; i++)
		assert_true(lt_job_state_apply(state, &player->script.events[i], NULL));
	return state;
}

#define R LT_STAGE_RECONNECT
#define T LT_STAGE_TAG
#define U LT_STAGE_UNPLUG
#define S LT_STAGE_SWAP

struct row {
	const char *name, *words, *said;
	enum lt_stage stage; /* whose joints are summed up */
	const char *made;
	bool ok;    /* at reconnect */
	bool parts; /* those of 9 and 20 are replaced */
};

static const struct row rows[] = {
	{ "no stage was begun", "12H 12M", "half mated", R, "12", false, false },
	{ "what did not come apart is left", "unplug: 7H 5H reconnect: 5H 5M 7H",
		"ok done done ok half mated done", R, "12left 5 7 9left 20left", true, false },
	{ "a right pair of one that is left", "unplug: 7H reconnect: 7H 9H 9M",
		"ok done ok done half repeat", R, "12left 5left 7 9left 20left", true, false },
	{ "nothing came apart: all are needed", "unplug: reconnect: 12H 12M", "ok ok half mated", R,
		"12", false, false },
	{ "all was skipped at unplug: all are needed",
		"unplug: -12 -5 -7 -9 -20 reconnect: 12H 12M", "ok ok ok ok ok ok ok half mated", R,
		"12", false, false },
	{ "skipped at unplug: left", "unplug: -7 5H reconnect: 5M 5H", "ok ok done ok half mated",
		R, "12left 5 7left 9left 20left", true, false },
	{ "unplug was left out: all are needed", "unplug! 12H 12M", "ok half mated", R, "12", false,
		false },
	{ "unplug was left out later: all are needed", "unplug: 7H unplug! reconnect: 7H",
		"ok done ok ok out-of-order", R, "", false, false },
	{ "unplug was left out during reconnect", "unplug: 7H reconnect: 7H unplug!",
		"ok done ok done ok", R, "", false, false },
	{ "unplug begun after it was left out", "unplug! unplug: 7H reconnect: 12H 12M",
		"ok ok done ok half mated", R, "12", false, false },
	{ "unplug during reconnect", "unplug: 7H reconnect: 7H unplug: 9H",
		"ok done ok done ok done", R, "12left 5left 7 20left", false, false },
	{ "unplugged again during reconnect", "unplug: 7H reconnect: 7H unplug: 7H",
		"ok done ok done ok repeat", R, "12left 5left 9left 20left", false, false },
	{ "unplugged again, and made", "unplug: 7H reconnect: 7H unplug: 7H reconnect: 7H",
		"ok done ok done ok repeat ok done", R, "12left 5left 7 9left 20left", true,
		false },
	{ "unplugged again, with what comes after it",
		"unplug: 7H 5H 12H reconnect: 12H 12M 5H 5M 7H unplug: 12M",
		"ok done done done ok half mated half mated done ok repeat", R, "9left 20left",
		false, false },
	{ "unplug begun late", "12H 12M unplug: 9H", "half mated ok done", R, "12", false, false },
	{ "unplug begun late, of one that was made", "12H 12M unplug: 12H",
		"half mated ok out-of-order", R, "", false, false },
	{ "unplug taken back before reconnect", "unplug: 7H 9H < reconnect: 7H",
		"ok done done ok ok done", R, "12left 5left 7 9left 20left", true, false },
	{ "all unplugging taken back", "unplug: 7H < reconnect: 12H 12M",
		"ok done ok ok half mated", R, "12", false, false },
	{ "unplug taken back during reconnect: stays needed",
		"unplug: 7H reconnect: 7H unplug: 9H < reconnect:", "ok done ok done ok done ok ok",
		R, "12left 5left 7 20left", false, false },
	{ "no undo beyond what was found apart",
		"unplug: 7H 9H reconnect: 7H unplug: 9H reconnect: <",
		"ok done done ok done ok repeat ok ok", R, "12left 5left 20left", false, false },
	{ "no undo beyond what was opened", "unplug: 7H reconnect: 7H unplug: 7H reconnect: <",
		"ok done ok done ok repeat ok no", R, "12left 5left 9left 20left", false, false },
	{ "undo is of its own stage", "tag: 12H 12M unplug: 7H <", "ok half mated ok done ok", T,
		"12", false, false },
	{ "undo of another station's", "unplug: 7H @2 < @1 <", "ok done no ok", U, "", false,
		false },
	{ "undo with nothing to take back", "< unplug: <", "no ok no", U, "", false, false },
	{ "undo of a wrong mate", "12H 9M <", "half wrong-mate no", R, "", false, false },
	{ "undo of what came before a wrong mate", "12H 12M 5H 9M < 7H",
		"half mated half wrong-mate no out-of-order", R, "12", false, false },
	{ "two stations, one job", "unplug: 12H 9H reconnect: 12H @2 9H @1 12M @2 9M",
		"ok out-of-order done ok half half mated mated", R, "12 5left 7left 9 20left", true,
		false },
	{ "a half at another station", "unplug: 9H reconnect: 9H 9M @2 12H",
		"ok done ok half mated half", R, "12left 5left 7left 9 20left", false, false },
	{ "a wrong mate of stickers, not resolved", "tag: 12H 5M unplug: 7H reconnect: 7H",
		"ok half wrong-mate ok done ok done", R, "12left 5left 7 9left 20left", false,
		false },
	{ "a wrong mate of stickers, resolved",
		"tag: 12H 5M 12H 12M 5H 5M unplug: 7H reconnect: 7H",
		"ok half wrong-mate half mated half mated ok done ok done", R,
		"12left 5left 7 9left 20left", true, false },
	{ "a wrong mate of stickers, found after reconnecting",
		"unplug: 7H 5H 12H reconnect: 12H 12M 5H 5M 7H tag: 12H 5M 12H 12M 5H 5M",
		"ok done done done ok half mated half mated done ok half wrong-mate half mated half "
		"mated",
		R, "9left 20left", false, false },
	{ "a wrong mate of parts, not resolved", "swap: 9X 20M unplug: 9H reconnect: 9H 9M",
		"ok half wrong-mate ok done ok half mated", R, "12left 5left 7left 9", false,
		true },
	{ "a wrong mate of parts, resolved",
		"swap: 9X 20M 9M 9X 20X 20M unplug: 9H reconnect: 9H 9M 20M 20H",
		"ok half wrong-mate half mated half mated ok done ok half mated half mated", R,
		"12left 5left 7left 9 20", true, true },
	{ "a replaced part was apart, noted or not", "unplug: 7H reconnect: 7H", "ok done ok done",
		R, "12left 5left 7", false, true },
	{ "a part replaced before reconnecting", "unplug: 7H swap: 9M 9X reconnect: 7H 9H 9M",
		"ok done ok half mated ok done half mated", R, "12left 5left 7 9", false, true },
	{ "a part replaced after reconnecting",
		"unplug: 7H reconnect: 7H 9H 9M 20H 20M swap: 9X 9M",
		"ok done ok done half mated half mated ok half mated", R, "12left 5left 7 20",
		false, true },
	{ "a part replaced after reconnecting, and plugged in",
		"unplug: 7H reconnect: 7H 9H 9M 20H 20M swap: 9X 9M reconnect: 9M 9H",
		"ok done ok done half mated half mated ok half mated ok half mated", R,
		"12left 5left 7 9 20", true, true },
	{ "a part replaced after reconnecting, no unplugging noted",
		"9H 9M swap: 9X 9M reconnect:", "half mated ok half mated ok", R, "", false, true },
	{ "a part replaced twice", "swap: 9X 9M reconnect: 9H 9M swap: 9X 9M",
		"ok half mated ok half mated ok half repeat", R, "", false, true },
	{ "a replacement taken back", "9H 9M swap: 9X 9M < reconnect: <",
		"half mated ok half mated ok ok no", R, "", false, true },
	{ "half a replacement says nothing yet", "9H 9M swap: 9X", "half mated ok half", R, "9",
		false, true },
	{ "leaving stage tag out resolves nothing", "tag: 12H 5M tag! unplug: 7H reconnect: 7H",
		"ok half wrong-mate ok ok done ok done", R, "12left 5left 7 9left 20left", false,
		false },
	{ "a wrong mate opens one that was left", "unplug: 7H reconnect: 7H 12H 9M",
		"ok done ok done half wrong-mate", R, "20left", false, false },
	{ "swap", "swap: 9M 9X 20X", "ok half mated half", S, "9", false, true },
	{ "a picture ends what is pending", "12H p 9M 9H", "half ok half mated", R, "9", false,
		false },
	{ "typed is for those who may", "=12H", "misread", R, "", false, false },
	{ "skips that cannot be", "-13 7H unplug: 7H -7 swap: -12 finish: -12 12H < p",
		"no out-of-order ok done no ok no ok no no no no", U, "7", false, false },
};

static void test_rows(void **state)
{
	(void)state;
	struct job_fixture fixture;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct player player;
		char made[64], again[64];
		set_up(&fixture, rows[i].parts);
		begin(&player, &fixture);
		play(&player, rows[i].words);
		sum_up(player.state, rows[i].stage, made);
		if (strcmp(player.said, rows[i].said) != 0 || strcmp(made, rows[i].made) != 0 ||
			lt_job_state_ok(player.state, R) != rows[i].ok)
			fail_msg("%s\n\tgave   %s (%s)\n\twanted %s (%s)", rows[i].name,
				player.said, made, rows[i].said, rows[i].made);
		struct lt_job_state *read = read_again(&player);
		sum_up(read, rows[i].stage, again);
		assert_string_equal(made, again);
		assert_int_equal(lt_job_state_ok(read, R), rows[i].ok);
		assert_int_equal(lt_job_state_strange(read), LT_NONE);
		assert_int_equal(read->events, player.script.count + 1);
		lt_job_state_destroy(read);
		end(&player);
	}
}

static void test_history(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	play(&player, "tag: 12H 12M -5 unplug: 7H 5H -9 12H < swap: 20X 20M reconnect: 5M 5H -7");
	const struct lt_job_state *job = player.state;
	struct lt_joint_history history = lt_job_state_history(job, 0);
	assert_int_equal(history.proven, 3);
	assert_int_equal(history.unplugged, LT_NONE);
	assert_int_equal(history.unplug_rank, LT_NONE);
	assert_int_equal(history.made, LT_NONE);
	assert_int_equal(history.skipped, LT_NONE);
	history = lt_job_state_history(job, 1);
	assert_int_equal(history.proven, LT_NONE);
	assert_int_equal(history.unplugged, 7);
	assert_int_equal(history.unplug_rank, 1);
	assert_int_equal(history.made, 16);
	assert_int_equal(history.skipped, 4);
	history = lt_job_state_history(job, 2);
	assert_int_equal(history.unplug_rank, 0);
	assert_int_equal(history.skipped, 17);
	assert_int_equal(lt_job_state_history(job, 3).skipped, 8);
	assert_int_equal(lt_job_state_history(job, 4).swapped, 13);
	assert_int_equal(lt_job_state_joints(job), 5);
	assert_string_equal(lt_job_state_joint(job, 4)->id, "X5");
	assert_true(lt_job_state_unplugging_known(job));
	play(&player, "12H 5M"); /* a wrong mate opens it again */
	assert_int_equal(lt_job_state_history(job, 1).made, LT_NONE);
	const size_t last = lt_job_state_last(job, 1);
	assert_string_equal(player.script.events[last - 1].verdict, "wrong-mate");
	assert_int_equal(lt_job_state_last(job, 2), LT_NONE);
	end(&player);
}

/* What comes next at reconnect is the reverse of how it came apart, within `after`. */
static void test_order_of_reconnecting(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	play(&player, "unplug: 20H 7H 9H 5H 12H reconnect:");
	static const char *const steps[] = { "12H 12M", "5H 5M", "9H 9M", "7H", "20H 20M" };
	static const size_t next[] = { 0, 1, 3, 2, 4 };
	for (size_t i = 0; i < 5; i++) {
		assert_int_equal(lt_verify_next(lt_job_state_machine(player.state, R)), next[i]);
		play(&player, steps[i]);
	}
	assert_int_equal(lt_verify_next(lt_job_state_machine(player.state, R)), LT_NONE);
	assert_true(lt_job_state_ok(player.state, R));
	end(&player);
}

static void test_states_of_joints_and_closing(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	const struct lt_job_state *job = player.state;
	assert_int_equal(lt_job_state_stage(job), R);
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++)
		assert_int_equal(lt_job_state_of_stage(job, (enum lt_stage)stage),
			LT_STATE_NOT_BEGUN);
	end(&player);

	five_that_stay(&fixture);
	begin(&player, &fixture);
	job = player.state;
	play(&player, "tag! unplug: .");
	assert_string_equal(player.said, "ok ok no");
	assert_int_equal(lt_job_state_of_stage(job, T), LT_STATE_SKIPPED);
	assert_false(lt_job_state_ok(job, U));
	play(&player, "7H");
	/* Whether all is apart is one question, whether to go on another. */
	assert_int_equal(lt_job_state_no(job, U), LT_NO_OPEN);
	assert_int_equal(lt_job_state_of_stage(job, U), LT_STATE_BEGUN);
	play(&player, "reconnect: 7H");
	assert_int_equal(lt_job_state_of_stage(job, U), LT_STATE_DONE);
	assert_int_equal(lt_job_state_of_stage(job, R), LT_STATE_DONE);
	play(&player, ". * finish: *no * * .");
	assert_string_equal(player.said, "no no ok no ok ok no");
	assert_int_equal(lt_job_state_of_stage(job, LT_STAGE_FINISH), LT_STATE_BEGUN);
	play(&player, "* *");
	assert_int_equal(lt_job_state_of_stage(job, LT_STAGE_FINISH), LT_STATE_DONE);
	assert_true(lt_job_state_ok(job, LT_STAGE_COUNT));
	/* What comes apart now wants its lines ticked again. */
	play(&player, "unplug: 9H");
	assert_int_equal(lt_job_state_ticked(job, 0), LT_NONE);
	assert_false(lt_job_state_ok(job, LT_STAGE_COUNT));
	play(&player, "reconnect: 9H 9M finish: * * * . 12H");
	assert_string_equal(player.said, "ok half mated ok ok ok ok ok no");
	assert_true(lt_job_state_closed(job));
	end(&player);

	begin(&player, &fixture);
	play(&player, "12H . .x <");
	assert_string_equal(player.said, "half no ok no");
	end(&player);
}

static void test_lines(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	const struct lt_job_state *job = player.state;
	assert_int_equal(lt_job_state_lines(job), 3);
	/* 29 CFR 1910.147 (e): the work area is inspected, then energy is restored. */
	assert_string_equal(lt_job_state_line(job, 0)->text,
		"W1, frame strap: looked at; it has no number");
	assert_string_equal(lt_job_state_line(job, 1)->text, "covers closed");
	assert_string_equal(lt_job_state_line(job, 2)->text, "mains 230 V: restored: last");
	assert_string_equal(lt_job_state_line(job, 2)->energy, "mains 230 V");
	end(&player);
	lt_job_state_destroy(NULL);
}

/* Nothing to do is no yes: no scan could prove anything. */
static void test_nothing_to_do(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	job_fixture_begin(&fixture);
	begin(&player, &fixture);
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++)
		assert_int_equal(lt_job_state_of_stage(player.state, (enum lt_stage)stage),
			LT_STATE_NOTHING);
	assert_null(lt_job_state_machine(player.state, LT_STAGE_FINISH));
	for (int stage = 0; stage < LT_STAGE_FINISH; stage++)
		assert_int_equal(lt_job_state_no(player.state, (enum lt_stage)stage), LT_NO_NUMBER);
	assert_true(lt_job_state_ok(player.state, LT_STAGE_COUNT));
	end(&player);
}

static void test_no_plan(void **state)
{
	(void)state;
	struct lt_job_state *job = lt_job_state_create();
	for (int stage = 0; stage <= LT_STAGE_COUNT; stage++)
		assert_int_equal(lt_job_state_no(job, (enum lt_stage)stage), LT_NO_PLAN);
	assert_int_equal(lt_job_state_plans(job), 0);
	assert_null(lt_job_state_machine(job, R));
	const struct lt_job_event scan = {
		.kind = LT_JOB_SCAN, .stage = R, .text = "12H", .verdict = "misread", .who = "Ines"
	};
	assert_false(lt_job_state_apply(job, &scan, NULL));
	lt_job_state_destroy(job);
}

/* The answer of the last stage is that of the whole job. */
static void test_finish_has_the_answer_of_the_job(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	const struct lt_job_state *job = player.state;
	const enum lt_stage finish = LT_STAGE_FINISH;
	play(&player, "unplug: 7H reconnect: 7H finish: * * *");
	assert_int_equal(lt_job_state_ticked(job, 2), 8);
	assert_false(lt_job_state_ok(job, finish)); /* 9 and 20 are open */
	assert_int_equal(lt_job_state_of_stage(job, finish), LT_STATE_BEGUN);
	play(&player, "reconnect: 9H 9M 20H 20M finish: * * ");
	assert_false(lt_job_state_ok(job, finish));
	play(&player, "*");
	assert_true(lt_job_state_ok(job, finish));
	assert_true(lt_job_state_ok(job, LT_STAGE_COUNT));

	/* A part is replaced after all, by whose new plugs nobody has gone. */
	play(&player, "swap: 9X 9M 20X 20M finish:");
	for (size_t i = 0; i < 3; i++)
		assert_int_equal(lt_job_state_ticked(job, i), LT_NONE);
	play(&player, "* * * .");
	assert_string_equal(player.said, "ok ok ok no");
	assert_false(lt_job_state_ok(job, finish));
	assert_false(lt_job_state_ok(job, LT_STAGE_COUNT));
	play(&player, "reconnect: 9H 9M 20H 20M finish: * * * .");
	assert_string_equal(player.said, "ok half mated half mated ok ok ok ok ok");
	end(&player);

	/* A stage that was begun and not finished. */
	begin(&player, &fixture);
	play(&player, "tag: 12H 12M reconnect: 12H 12M 5H 5M 7H 9H 9M 20H 20M finish: * * *");
	assert_true(lt_job_state_ok(player.state, R));
	assert_false(lt_job_state_ok(player.state, finish));
	play(&player, "tag! finish:");
	assert_true(lt_job_state_ok(player.state, finish));
	end(&player);
}

/* "100" for the first of three lines ticked. */
static const char *ticks(const struct lt_job_state *job, char out[4])
{
	for (size_t i = 0; i < 3; i++)
		out[i] = lt_job_state_ticked(job, i) != LT_NONE ? '1' : '0';
	out[3] = '\0';
	return out;
}

static void test_ticks_taken_back(void **state)
{
	(void)state;
	static const struct {
		const char *words, *said, *ticked;
	} steps[] = {
		{ "finish: <", "ok no", "000" },
		{ "* * @2 *", "ok ok ok", "111" },
		{ "@1 <", "ok", "101" },
		{ "@2 <", "ok", "100" },
		{ "<", "no", "100" },
		{ "@3 <", "no", "100" },
		{ "@2 * *", "ok ok", "111" },
		{ "@1 < <", "ok no", "011" },
		{ "@2 < <", "ok ok", "000" },
		/* What was unticked by something else is not there to be taken back. */
		{ "* reconnect: 12H 12M finish: <", "ok ok half mated ok no", "000" },
	};
	struct job_fixture fixture;
	struct player player;
	char ticked[4];
	five_joints(&fixture);
	begin(&player, &fixture);
	for (size_t i = 0; i < sizeof(steps) / sizeof(steps[0]); i++) {
		play(&player, steps[i].words);
		assert_string_equal(player.said, steps[i].said);
		assert_string_equal(ticks(player.state, ticked), steps[i].ticked);
	}
	play(&player, "@1 * @2 *");
	const struct lt_job_event *last =
		&player.script.events[lt_job_state_last(player.state, 1) - 1];
	assert_int_equal(last->kind, LT_JOB_TICK);
	assert_string_equal(last->text, lt_job_state_line(player.state, 0)->text);
	last = &player.script.events[lt_job_state_last(player.state, 2) - 1];
	assert_string_equal(last->text, "covers closed");
	assert_int_equal(lt_job_state_last(player.state, 3), LT_NONE);
	struct lt_job_state *read = read_again(&player);
	assert_string_equal(ticks(read, ticked), "110");
	lt_job_state_destroy(read);
	end(&player);
}

static void test_confirmed_hazards_change_nothing(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	five_joints(&fixture);
	begin(&player, &fixture);
	play(&player, "12H 12M finish: *");
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++) {
		struct lt_job_event *event =
			job_event(&player.script, LT_JOB_HAZARD, (enum lt_stage)stage, 1);
		assert_false(lt_job_state_apply(player.state, event, NULL));
		event->text = "mains 230 V";
		assert_true(lt_job_state_apply(player.state, event, NULL));
		event->id = ++player.script.count + 1;
		assert_int_equal(lt_job_state_stage(player.state), LT_STAGE_FINISH);
		assert_int_equal(lt_job_state_ticked(player.state, 0), 4);
		assert_int_equal(lt_job_state_of_stage(player.state, T), LT_STATE_NOT_BEGUN);
		assert_true(lt_verify_made(lt_job_state_machine(player.state, R), 0));
	}
	assert_int_equal(player.state->events, player.script.count + 1);
	end(&player);
}

/* A new plan in the middle of a job. */

static void add_event(struct player *player, enum lt_job_event_kind kind, const char *text)
{
	struct lt_job_event *event =
		job_event(&player->script, kind, player->stage, player->station);
	event->text = text;
	const bool done = lt_job_state_apply(player->state, event, NULL);
	if (done)
		event->id = ++player->script.count + 1;
	say(player, done ? "ok" : "no");
}

static void change_nothing(struct job_fixture *fixture)
{
	(void)fixture;
}

static void renumber(struct job_fixture *fixture, size_t joint, unsigned number)
{
	fixture->number_of[joint] = number;
	fixture->connector_of[number] = joint;
}

static void exchange_numbers(struct job_fixture *fixture)
{
	renumber(fixture, 0, 9);
	renumber(fixture, 3, 12);
}

static void lose_nine(struct job_fixture *fixture)
{
	fixture->connector_of[9] = LT_NONE;
	fixture->number_of[3] = 0;
	fixture->connectors[3].marking = LT_MARK_NONE;
}

static void add_thirty_one(struct job_fixture *fixture)
{
	static const size_t first[] = { 0 };
	fixture->harness.connector_count = 5;
	job_fixture_add(fixture, 31, 2, false, first, 1);
}

static void rename_five(struct job_fixture *fixture)
{
	fixture->connectors[1].id = "X77";
}

static void rename_five_and_say_so(struct job_fixture *fixture)
{
	fixture->connectors[1].id = "X77";
	fixture->connectors[1].was = "X2";
}

static void mate_five_with_another(struct job_fixture *fixture)
{
	static struct lt_component others[2] = { { .id = "B4" }, { .id = "B5" } };
	fixture->harness.components = others;
	fixture->connectors[1].component = 1;
}

static void port_of_five(struct job_fixture *fixture)
{
	fixture->connectors[1].port = "PWR";
}

static void one_side_for_five(struct job_fixture *fixture)
{
	fixture->connectors[1].sides = 1;
}

static void replace_the_part_of_five(struct job_fixture *fixture)
{
	fixture->components[1].replace = true;
	fixture->connectors[1].component = 1;
}

static void paper_for_five(struct job_fixture *fixture)
{
	fixture->connectors[1].marking = LT_MARK_PAPER;
}

static void free_five(struct job_fixture *fixture)
{
	fixture->connectors[1].after.count = 0;
}

static void nine_before_twelve(struct job_fixture *fixture)
{
	fixture->after[0][0] = 3;
	fixture->connectors[0].after = (struct lt_indices){ fixture->after[0], 1 };
}

static void another_finish_line(struct job_fixture *fixture)
{
	fixture->finish[1].text = "nothing pinched";
	fixture->harness.finish_count = 2;
}

/* None of the parts is replaced, but where a change says so. */
static const struct {
	const char *name, *before;
	void (*change)(struct job_fixture *fixture);
	const char *made; /* at reconnect, after the change */
	const char *after, *said;
	unsigned no; /* at reconnect, at last */
} plan_rows[] = {
	{ "nothing", "12H 12M 5H 5M", change_nothing, "12 5", "7H", "done", LT_NO_OPEN },
	{ "nothing, before the unplugging was over", "unplug: 7H", change_nothing,
		"12left 5left 9left 20left", "reconnect: 7H", "ok done", 0 },
	{ "two numbers exchanged", "12H 12M 9H 9M 5H 5M 7H", exchange_numbers, "", "5H 5M 12H 12M",
		"half out-of-order half mated", LT_NO_OPEN },
	{ "two numbers exchanged, of joints that were left in", "unplug: 7H reconnect: 7H",
		exchange_numbers, "20left", "9H 9M 12H 12M 5H 5M 7H",
		"half mated half mated half mated done", 0 },
	{ "two numbers exchanged while it came apart", "unplug: 7H", exchange_numbers, "20left",
		"reconnect: 9H 9M 12H 12M 5H 5M 7H", "ok half mated half mated half mated done",
		0 },
	{ "a joint gone", "12H 12M 5H 5M 7H 9H 9M 20H 20M", lose_nine, "12 5 7 20", "", "", 0 },
	{ "a joint gone that a wrong mate was with", "12H 9M 12H 12M 5H 5M 7H 20H 20M", lose_nine,
		"12 5 7 20", "", "", LT_NO_STRAY },
	{ "a joint gone that was apart", "unplug: 9H 7H reconnect: 7H", lose_nine,
		"12left 5left 7 20left", "", "", LT_NO_STRAY },
	{ "a joint gone that was made again", "unplug: 9H 7H reconnect: 7H 9H 9M", lose_nine,
		"12left 5left 7 20left", "", "", 0 },
	{ "a joint gone that waited for its other half", "9H", lose_nine, "",
		"12H 12M 5H 5M 7H 20H 20M", "half mated half mated done half mated", 0 },
	{ "a new joint", "12H 12M 5H 5M 7H 9H 9M 20H 20M", add_thirty_one, "12 5 7 9 20", "31H 31M",
		"half mated", 0 },
	{ "a new joint where others were left in", "unplug: 7H reconnect: 7H", add_thirty_one,
		"12left 5left 7 9left 20left", "31H 31M", "half mated", 0 },
	{ "a new joint while it came apart", "unplug: 7H", add_thirty_one,
		"12left 5left 9left 20left", "reconnect: 7H 31H 31M", "ok done half mated", 0 },
	{ "a joint by another name", "12H 12M 5H 5M 7H", rename_five, "12", "5H 5M 7H",
		"half mated done", LT_NO_OPEN },
	{ "a joint renamed", "12H 12M 5H 5M 7H", rename_five_and_say_so, "12 5 7", "", "",
		LT_NO_OPEN },
	{ "another mate", "12H 12M 5H 5M 7H", mate_five_with_another, "12", "", "", LT_NO_OPEN },
	{ "a port described for the first time", "12H 12M 5H 5M 7H", port_of_five, "12 5 7", "", "",
		LT_NO_OPEN },
	{ "one side", "12H 12M 5H 5M 7H", one_side_for_five, "12", "5H 5M", "done unknown",
		LT_NO_OPEN },
	{ "its part is replaced after all", "12H 12M 5H 5M 7H", replace_the_part_of_five, "12",
		"5H 5X", "half old-part", LT_NO_OPEN },
	{ "paper, which was a sticker", "12H 12M 5H 5M 7H", paper_for_five, "12 5 7", "", "",
		LT_NO_OPEN },
	{ "fewer joints first", "12H 12M", free_five, "12", "5H 5M 9H 9M 20H 20M 7H",
		"half mated half mated half mated done", 0 },
	{ "another joint first, which is open", "12H 12M 5H 5M 7H", nine_before_twelve, "",
		"12H 12M 9M 9H 12H 12M", "half out-of-order half mated half mated", LT_NO_OPEN },
	{ "another joint first, which is made", "9H 9M 12H 12M 5H 5M 7H", nine_before_twelve,
		"12 5 7 9", "20H 20M", "half mated", 0 },
	{ "no undo past a plan", "12H 12M", another_finish_line, "12", "<", "no", LT_NO_OPEN },
	{ "what waited is let go", "12H", another_finish_line, "", "12M 12H", "half mated",
		LT_NO_OPEN },
};

static void test_a_new_plan(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(plan_rows) / sizeof(plan_rows[0]); i++) {
		struct job_fixture fixture;
		struct player player;
		struct lt_text text = { 0 };
		char made[64];
		five_that_stay(&fixture);
		begin(&player, &fixture);
		play(&player, plan_rows[i].before);
		plan_rows[i].change(&fixture);
		write_plan(&text, &fixture, false);
		add_event(&player, LT_JOB_PLAN, lt_text_string(&text));
		sum_up(player.state, R, made);
		if (strcmp(made, plan_rows[i].made) != 0)
			fail_msg("%s: made %s", plan_rows[i].name, made);
		play(&player, plan_rows[i].after);
		const unsigned no = lt_job_state_no(player.state, R);
		if (strcmp(player.said, plan_rows[i].said) != 0 || no != plan_rows[i].no)
			fail_msg("%s: %s, no %x", plan_rows[i].name, player.said, no);
		struct lt_job_state *read = read_again(&player);
		assert_int_equal(lt_job_state_no(read, R), no);
		lt_job_state_destroy(read);
		lt_text_finish(&text);
		end(&player);
	}
}

/* Who took a wrong mate apart whose joint is gone has to say so. */
static void test_a_wrong_mate_with_a_removed_joint(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	struct lt_text text = { 0 };
	const struct lt_job_stray *strays;
	five_that_stay(&fixture);
	begin(&player, &fixture);
	play(&player, "12H 9M 12H 12M 5H 5M 7H 20H 20M");
	lose_nine(&fixture);
	write_plan(&text, &fixture, false);
	add_event(&player, LT_JOB_PLAN, lt_text_string(&text));
	assert_int_equal(lt_job_state_strays(player.state, &strays), 1);
	assert_string_equal(strays[0].tags, "12H 9M");
	assert_string_equal(strays[0].ids[0], "X1");
	assert_string_equal(strays[0].ids[1], "X4");
	assert_int_equal(lt_job_state_no(player.state, R), LT_NO_STRAY);
	player.said[0] = '\0';
	add_event(&player, LT_JOB_SETTLED, "9H 12M");
	add_event(&player, LT_JOB_SETTLED, "12H 9M");
	add_event(&player, LT_JOB_SETTLED, "12H 9M");
	assert_string_equal(player.said, "no ok no");
	assert_true(lt_job_state_ok(player.state, R));
	lt_text_finish(&text);
	end(&player);
}

/* Nor can stickers of parts be scanned that stay after all. */
static void test_a_wrong_mate_of_parts_that_stay(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	struct lt_text text = { 0 };
	const struct lt_job_stray *strays;
	five_joints(&fixture);
	begin(&player, &fixture);
	play(&player, "swap: 9X 20M reconnect:");
	five_that_stay(&fixture);
	write_plan(&text, &fixture, false);
	add_event(&player, LT_JOB_PLAN, lt_text_string(&text));
	play(&player, "12H 12M 5H 5M 7H 9H 9M 20H 20M");
	assert_int_equal(lt_job_state_no(player.state, R), LT_NO_STRAY);
	assert_int_equal(lt_job_state_strays(player.state, &strays), 1);
	assert_string_equal(strays[0].tags, "9X 20M");
	add_event(&player, LT_JOB_SETTLED, "9X 20M");
	assert_true(lt_job_state_ok(player.state, R));
	lt_text_finish(&text);
	end(&player);
}

/* A stage that is over is not begun again for what is new; who goes back is asked. */
static void test_finished_stages_stay_finished(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	struct lt_text text = { 0 };
	five_that_stay(&fixture);
	begin(&player, &fixture);
	play(&player, "tag: 12H 12M 5H 5M 7H 9H 9M 20H 20M reconnect:");
	assert_int_equal(lt_job_state_of_stage(player.state, T), LT_STATE_DONE);
	add_thirty_one(&fixture);
	write_plan(&text, &fixture, false);
	add_event(&player, LT_JOB_PLAN, lt_text_string(&text));
	assert_int_equal(lt_job_state_of_stage(player.state, T), LT_STATE_DONE);
	assert_int_equal(lt_job_state_history(player.state, 5).proven, LT_NONE);
	play(&player, "tag:");
	assert_int_equal(lt_job_state_no(player.state, T), LT_NO_OPEN);
	play(&player, "31H 31M");
	assert_true(lt_job_state_ok(player.state, T));
	lt_text_finish(&text);
	end(&player);
}

static void test_impossible_events_are_refused(void **state)
{
	(void)state;
	static const struct lt_job_event events[] = {
		{ .kind = LT_JOB_UNKNOWN, .kind_name = "confirm", .stage = R },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x", .verdict = "confirm" },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x", .verdict = "mated", .tag = "12H!" },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x", .verdict = "mated", .tag = "88H" },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x", .verdict = "mated" },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x" },
		{ .kind = LT_JOB_SCAN, .stage = R, .verdict = "misread" },
		{ .kind = LT_JOB_SCAN, .stage = R, .text = "x", .verdict = "repeat", .tag = "12H" },
		{ .kind = LT_JOB_SCAN,
			.stage = R,
			.text = "x",
			.verdict = "wrong-mate",
			.tag = "12M" },
		{ .kind = LT_JOB_SCAN, .stage = LT_STAGE_FINISH, .text = "x", .verdict = "half" },
		{ .kind = LT_JOB_UNDO, .stage = R },
		{ .kind = LT_JOB_TICK, .stage = LT_STAGE_FINISH, .text = "no such line" },
		{ .kind = LT_JOB_PLAN, .stage = R, .text = "{}" },
		{ .kind = LT_JOB_PLAN, .stage = R },
		{ .kind = LT_JOB_SETTLED, .stage = R, .text = "12H 9M" },
		{ .kind = LT_JOB_SKIP, .stage = R, .number = 88 },
	};
	struct job_fixture fixture;
	five_joints(&fixture);
	for (size_t i = 0; i < sizeof(events) / sizeof(events[0]); i++) {
		struct player player;
		struct lt_job_event event = events[i];
		event.who = "Ines";
		event.station = 1;
		begin(&player, &fixture);
		if (lt_job_state_apply(player.state, &event, NULL))
			fail_msg("row %zu was taken", i);
		assert_int_equal(player.state->events, 1);
		assert_int_equal(lt_job_state_strange(player.state), LT_NONE);
		/* In a store it stays, and no answer is yes any more. */
		event.id = 2;
		assert_false(lt_job_state_apply(player.state, &event, NULL));
		assert_int_equal(lt_job_state_strange(player.state), 1);
		play(&player, "12H 12M 5H 5M 7H 9H 9M 20H 20M finish: * * *");
		for (int stage = 0; stage <= LT_STAGE_COUNT; stage++)
			assert_int_equal(lt_job_state_no(player.state, (enum lt_stage)stage),
				LT_NO_STRANGE);
		end(&player);
	}
}

/* Jobs of version 1 have no plan until somebody goes on with them. */
static void test_events_before_the_plan(void **state)
{
	(void)state;
	struct job_fixture fixture;
	struct player player;
	char made[64];
	five_that_stay(&fixture);
	begin(&player, &fixture);
	play(&player, "unplug: 7H 5H reconnect: 5H 5M");
	for (int backdated = 0; backdated < 2; backdated++) {
		struct lt_text text = { 0 };
		struct lt_job_state *job = lt_job_state_create();
		struct lt_job_event plan = {
			.id = 20, .who = "Ines", .station = 1, .kind = LT_JOB_PLAN, .stage = R
		};
		for (size_t i = 0; i < player.script.count; i++)
			assert_true(lt_job_state_apply(job, &player.script.events[i], NULL));
		assert_int_equal(lt_job_state_stage(job), R);
		assert_int_equal(lt_job_state_no(job, R), LT_NO_PLAN);
		write_plan(&text, &fixture, backdated == 1);
		plan.text = lt_text_string(&text);
		assert_true(lt_job_state_apply(job, &plan, NULL));
		sum_up(job, R, made);
		assert_string_equal(made, backdated == 1 ? "12left 5 9left 20left" : "");
		assert_int_equal(lt_job_state_replan(job, 0)->voids_all, backdated == 0);
		if (backdated == 1)
			assert_int_equal(lt_job_state_history(job, 1).made, 5);
		lt_job_state_destroy(job);
		lt_text_finish(&text);
	}
	end(&player);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_history),
		cmocka_unit_test(test_order_of_reconnecting),
		cmocka_unit_test(test_states_of_joints_and_closing),
		cmocka_unit_test(test_lines),
		cmocka_unit_test(test_finish_has_the_answer_of_the_job),
		cmocka_unit_test(test_ticks_taken_back),
		cmocka_unit_test(test_confirmed_hazards_change_nothing),
		cmocka_unit_test(test_nothing_to_do),
		cmocka_unit_test(test_no_plan),
		cmocka_unit_test(test_a_new_plan),
		cmocka_unit_test(test_a_wrong_mate_with_a_removed_joint),
		cmocka_unit_test(test_a_wrong_mate_of_parts_that_stay),
		cmocka_unit_test(test_finished_stages_stay_finished),
		cmocka_unit_test(test_impossible_events_are_refused),
		cmocka_unit_test(test_events_before_the_plan),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
