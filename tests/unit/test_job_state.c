#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "job_bench.h"
#include "verify_spell.h"

/* 12 and 9 are two-sided; 5 comes after 12; 7 is one-sided, after 5; the part of 9 and 20 is
 * replaced. A strap has no number. */
static void five_joints(struct job_bench *bench)
{
	static const size_t first[] = { 0 }, second[] = { 1 };
	job_bench_begin(bench);
	job_bench_add(bench, 12, 2, false, NULL, 0);
	job_bench_add(bench, 5, 2, false, first, 1);
	job_bench_add(bench, 7, 1, false, second, 1);
	job_bench_add(bench, 9, 2, true, NULL, 0);
	job_bench_add(bench, 20, 2, true, NULL, 0);
	bench->connectors[5] = (struct lt_connector){ .id = "W1",
		.name = "frame strap",
		.component = LT_NONE,
		.sides = 2,
		.marking = LT_MARK_NONE };
	bench->order[5] = 5;
	bench->harness.connector_count = 6;
	bench->hazard = (struct lt_hazard){ .energy = "mains 230 V", .restore = "last" };
	bench->harness.hazard_count = 1;
	bench->finish[0].text = "covers closed";
	bench->harness.finish_count = 1;
}

/* Does the words of a script: "tag:" to "finish:" begins a stage, "tag!" leaves it out, "@2"
 * changes the station, "-12" skips, "<" takes back, "p" is a picture, "*" ticks the next line, "."
 * closes, anything else is a scan as spelt. Says "no" for each that is refused, else the verdict of
 * a scan or "ok". */
struct player {
	struct job_script script;
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
		event->text = lt_job_state_mark(player->state);
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
		event->text = word[1] != '\0' ? word : lt_job_state_line(player->state, line);
	} else {
		spell(text, word);
		event->text = text;
	}
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
	struct lt_answer answer;
	if (!lt_job_state_apply(player->state, event, &answer)) {
		say(player, "no");
		return;
	}
	event->id = ++script->count;
	if (event->kind == LT_JOB_SCAN)
		event->verdict = lt_verdict_name(answer.verdict);
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

static void begin(struct player *player, const struct job_bench *bench)
{
	memset(player, 0, sizeof(*player));
	player->state = lt_job_state_create(&bench->tags);
	player->stage = LT_STAGE_RECONNECT;
	player->station = 1;
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
static struct lt_job_state *read_again(const struct job_script *script, const struct lt_tags *tags)
{
	struct lt_job_state *state = lt_job_state_create(tags);
	for (size_t i = 0; i < script->count; i++)
		lt_job_state_apply(state, &script->events[i], NULL);
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
	bool ok; /* at reconnect */
};

static const struct row rows[] = {
	{ "no stage was begun", "12H 12M", "half mated", R, "12", false },
	{ "what did not come apart is left", "unplug: 7H 5H reconnect: 5H 5M 7H",
		"ok done done ok half mated done", R, "12left 5 7 9left 20left", true },
	{ "a right pair of one that is left", "unplug: 7H reconnect: 7H 9H 9M",
		"ok done ok done half repeat", R, "12left 5left 7 9left 20left", true },
	{ "nothing came apart: all are needed", "unplug: reconnect: 12H 12M", "ok ok half mated", R,
		"12", false },
	{ "all was skipped at unplug: all are needed",
		"unplug: -12 -5 -7 -9 -20 reconnect: 12H 12M", "ok ok ok ok ok ok ok half mated", R,
		"12", false },
	{ "skipped at unplug: left", "unplug: -7 5H reconnect: 5M 5H", "ok ok done ok half mated",
		R, "12left 5 7left 9left 20left", true },
	{ "unplug was left out: all are needed", "unplug! 12H 12M", "ok half mated", R, "12",
		false },
	{ "unplug was left out later: all are needed", "unplug: 7H unplug! reconnect: 7H",
		"ok done ok ok out-of-order", R, "", false },
	{ "unplug was left out during reconnect", "unplug: 7H reconnect: 7H unplug!",
		"ok done ok done ok", R, "", false },
	{ "unplug begun after it was left out", "unplug! unplug: 7H reconnect: 12H 12M",
		"ok ok done ok half mated", R, "12", false },
	{ "unplug during reconnect", "unplug: 7H reconnect: 7H unplug: 9H",
		"ok done ok done ok done", R, "12left 5left 7 20left", false },
	{ "unplugged again during reconnect", "unplug: 7H reconnect: 7H unplug: 7H",
		"ok done ok done ok repeat", R, "12left 5left 9left 20left", false },
	{ "unplugged again, and made", "unplug: 7H reconnect: 7H unplug: 7H reconnect: 7H",
		"ok done ok done ok repeat ok done", R, "12left 5left 7 9left 20left", true },
	{ "unplugged again, with what comes after it",
		"unplug: 7H 5H 12H reconnect: 12H 12M 5H 5M 7H unplug: 12M",
		"ok done done done ok half mated half mated done ok repeat", R, "9left 20left",
		false },
	{ "unplug begun late", "12H 12M unplug: 9H", "half mated ok done", R, "12", false },
	{ "unplug begun late, of one that was made", "12H 12M unplug: 12H",
		"half mated ok out-of-order", R, "", false },
	{ "unplug taken back before reconnect", "unplug: 7H 9H < reconnect: 7H",
		"ok done done ok ok done", R, "12left 5left 7 9left 20left", true },
	{ "all unplugging taken back", "unplug: 7H < reconnect: 12H 12M",
		"ok done ok ok half mated", R, "12", false },
	{ "unplug taken back during reconnect: stays needed",
		"unplug: 7H reconnect: 7H unplug: 9H < reconnect:", "ok done ok done ok done ok ok",
		R, "12left 5left 7 20left", false },
	{ "no undo beyond what was found apart",
		"unplug: 7H 9H reconnect: 7H unplug: 9H reconnect: <",
		"ok done done ok done ok repeat ok ok", R, "12left 5left 20left", false },
	{ "no undo beyond what was opened", "unplug: 7H reconnect: 7H unplug: 7H reconnect: <",
		"ok done ok done ok repeat ok no", R, "12left 5left 9left 20left", false },
	{ "undo is of its own stage", "tag: 12H 12M unplug: 7H <", "ok half mated ok done ok", T,
		"12", false },
	{ "undo of another station's", "unplug: 7H @2 < @1 <", "ok done no ok", U, "", false },
	{ "undo with nothing to take back", "< unplug: <", "no ok no", U, "", false },
	{ "undo of a wrong mate", "12H 9M <", "half wrong-mate no", R, "", false },
	{ "undo of what came before a wrong mate", "12H 12M 5H 9M < 7H",
		"half mated half wrong-mate no out-of-order", R, "12", false },
	{ "two stations, one job", "unplug: 12H 9H reconnect: 12H @2 9H @1 12M @2 9M",
		"ok out-of-order done ok half half mated mated", R, "12 5left 7left 9 20left",
		true },
	{ "a half at another station", "unplug: 9H reconnect: 9H 9M @2 12H",
		"ok done ok half mated half", R, "12left 5left 7left 9 20left", false },
	{ "a wrong mate of stickers, not resolved", "tag: 12H 5M unplug: 7H reconnect: 7H",
		"ok half wrong-mate ok done ok done", R, "12left 5left 7 9left 20left", false },
	{ "a wrong mate of stickers, resolved",
		"tag: 12H 5M 12H 12M 5H 5M unplug: 7H reconnect: 7H",
		"ok half wrong-mate half mated half mated ok done ok done", R,
		"12left 5left 7 9left 20left", true },
	{ "a wrong mate of stickers, found after reconnecting",
		"unplug: 7H 5H 12H reconnect: 12H 12M 5H 5M 7H tag: 12H 5M 12H 12M 5H 5M",
		"ok done done done ok half mated half mated done ok half wrong-mate half mated half "
		"mated",
		R, "9left 20left", false },
	{ "a wrong mate of parts, not resolved", "swap: 9X 20M unplug: 9H reconnect: 9H 9M",
		"ok half wrong-mate ok done ok half mated", R, "12left 5left 7left 9 20left",
		false },
	{ "a wrong mate of parts, resolved",
		"swap: 9X 20M 9M 9X 20X 20M unplug: 9H reconnect: 9H 9M",
		"ok half wrong-mate half mated half mated ok done ok half mated", R,
		"12left 5left 7left 9 20left", true },
	{ "leaving stage tag out resolves nothing", "tag: 12H 5M tag! unplug: 7H reconnect: 7H",
		"ok half wrong-mate ok ok done ok done", R, "12left 5left 7 9left 20left", false },
	{ "a wrong mate opens one that was left", "unplug: 7H reconnect: 7H 12H 9M",
		"ok done ok done half wrong-mate", R, "20left", false },
	{ "swap", "swap: 9M 9X 20X", "ok half mated half", S, "9", false },
	{ "a picture ends what is pending", "12H p 9M 9H", "half ok half mated", R, "9", false },
	{ "typed is for those who may", "=12H", "misread", R, "", false },
	{ "skips that cannot be", "-13 7H unplug: 7H -7 swap: -12 finish: -12 12H < p",
		"no out-of-order ok done no ok no ok no no no no", U, "7", false },
};

static void test_rows(void **state)
{
	(void)state;
	struct job_bench bench;
	five_joints(&bench);
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct player player;
		char made[64], again[64];
		begin(&player, &bench);
		play(&player, rows[i].words);
		sum_up(player.state, rows[i].stage, made);
		if (strcmp(player.said, rows[i].said) != 0 || strcmp(made, rows[i].made) != 0 ||
			lt_job_state_ok(player.state, R) != rows[i].ok)
			fail_msg("%s\n\tgave   %s (%s)\n\twanted %s (%s)", rows[i].name,
				player.said, made, rows[i].said, rows[i].made);
		struct lt_job_state *read = read_again(&player.script, &bench.tags);
		sum_up(read, rows[i].stage, again);
		assert_string_equal(made, again);
		assert_int_equal(lt_job_state_ok(read, R), rows[i].ok);
		assert_int_equal(lt_job_state_changed(read), 0);
		assert_int_equal(lt_job_state_events(read), player.script.count);
		lt_job_state_destroy(read);
		lt_job_state_destroy(player.state);
	}
}

static void test_history(void **state)
{
	(void)state;
	struct job_bench bench;
	struct player player;
	five_joints(&bench);
	begin(&player, &bench);
	play(&player, "tag: 12H 12M -5 unplug: 7H 5H -9 12H < swap: 20X 20M reconnect: 5M 5H -7");
	const struct lt_job_state *job = player.state;
	struct lt_joint_history history = lt_job_state_history(job, 0);
	assert_int_equal(history.proven, 2);
	assert_int_equal(history.unplugged, LT_NONE);
	assert_int_equal(history.unplug_rank, LT_NONE);
	assert_int_equal(history.made, LT_NONE);
	assert_int_equal(history.skipped, LT_NONE);
	history = lt_job_state_history(job, 1);
	assert_int_equal(history.proven, LT_NONE);
	assert_int_equal(history.unplugged, 6);
	assert_int_equal(history.unplug_rank, 1);
	assert_int_equal(history.made, 15);
	assert_int_equal(history.skipped, 3);
	history = lt_job_state_history(job, 2);
	assert_int_equal(history.unplug_rank, 0);
	assert_int_equal(history.skipped, 16);
	assert_int_equal(lt_job_state_history(job, 3).skipped, 7);
	assert_int_equal(lt_job_state_history(job, 4).swapped, 12);
	assert_int_equal(lt_job_state_joints(job), 5);
	assert_int_equal(lt_job_state_connector(job, 4), 4);
	assert_true(lt_job_state_unplugging_known(job));
	play(&player, "12H 5M"); /* a wrong mate opens it again */
	assert_int_equal(lt_job_state_history(job, 1).made, LT_NONE);
	const struct lt_job_event *last = lt_job_state_last(job, 1);
	assert_string_equal(last->verdict, "wrong-mate");
	assert_null(lt_job_state_last(job, 2));
	lt_job_state_destroy(player.state);
}

/* What comes next at reconnect is the reverse of how it came apart, within `after`. */
static void test_order_of_reconnecting(void **state)
{
	(void)state;
	struct job_bench bench;
	struct player player;
	five_joints(&bench);
	begin(&player, &bench);
	play(&player, "unplug: 20H 7H 9H 5H 12H reconnect:");
	static const char *const steps[] = { "12H 12M", "5H 5M", "9H 9M", "7H", "20H 20M" };
	static const size_t next[] = { 0, 1, 3, 2, 4 };
	for (size_t i = 0; i < 5; i++) {
		assert_int_equal(lt_verify_next(lt_job_state_machine(player.state, R)), next[i]);
		play(&player, steps[i]);
	}
	assert_int_equal(lt_verify_next(lt_job_state_machine(player.state, R)), LT_NONE);
	assert_true(lt_job_state_ok(player.state, R));
	lt_job_state_destroy(player.state);
}

static void test_standing_and_closing(void **state)
{
	(void)state;
	struct job_bench bench;
	struct player player;
	five_joints(&bench);
	begin(&player, &bench);
	const struct lt_job_state *job = player.state;
	assert_int_equal(lt_job_state_stage(job), R);
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++)
		assert_int_equal(lt_job_state_standing(job, (enum lt_stage)stage),
			LT_STANDING_NOT_BEGUN);
	play(&player, "tag! unplug: .");
	assert_string_equal(player.said, "ok ok no");
	assert_int_equal(lt_job_state_standing(job, T), LT_STANDING_SKIPPED);
	assert_false(lt_job_state_ok(job, U));
	play(&player, "7H");
	assert_true(lt_job_state_ok(job, U));
	assert_int_equal(lt_job_state_standing(job, U), LT_STANDING_BEGUN);
	play(&player, "reconnect: 7H");
	assert_int_equal(lt_job_state_standing(job, U), LT_STANDING_DONE);
	assert_int_equal(lt_job_state_standing(job, R), LT_STANDING_DONE);
	play(&player, ". * finish: *no * * .");
	assert_string_equal(player.said, "no no ok no ok ok no");
	assert_int_equal(lt_job_state_standing(job, LT_STAGE_FINISH), LT_STANDING_BEGUN);
	play(&player, "* *");
	assert_int_equal(lt_job_state_standing(job, LT_STAGE_FINISH), LT_STANDING_DONE);
	assert_true(lt_job_state_all_done(job));
	/* What comes apart now wants its lines ticked again. */
	play(&player, "unplug: 9H");
	assert_int_equal(lt_job_state_ticked(job, 0), LT_NONE);
	assert_false(lt_job_state_all_done(job));
	play(&player, "reconnect: 9H 9M finish: * * * . 12H");
	assert_string_equal(player.said, "ok half mated ok ok ok ok ok no");
	assert_true(lt_job_state_closed(job));
	lt_job_state_destroy(player.state);

	begin(&player, &bench);
	play(&player, "12H . .x <");
	assert_string_equal(player.said, "half no ok no");
	lt_job_state_destroy(player.state);
}

static void test_lines(void **state)
{
	(void)state;
	struct job_bench bench;
	five_joints(&bench);
	struct lt_job_state *job = lt_job_state_create(&bench.tags);
	assert_int_equal(lt_job_state_lines(job), 3);
	assert_string_equal(lt_job_state_line(job, 0), "mains 230 V: restored: last");
	assert_string_equal(lt_job_state_line(job, 1), "covers closed");
	assert_string_equal(lt_job_state_line(job, 2),
		"W1, frame strap: looked at; it has no number");
	lt_job_state_destroy(job);
	lt_job_state_destroy(NULL);

	job_bench_begin(&bench);
	job = lt_job_state_create(&bench.tags);
	for (int stage = 0; stage < LT_STAGE_COUNT; stage++)
		assert_int_equal(lt_job_state_standing(job, (enum lt_stage)stage),
			LT_STANDING_NOTHING);
	assert_null(lt_job_state_machine(job, LT_STAGE_FINISH));
	lt_job_state_destroy(job);
}

/* What was answered otherwise before the description changed. */
struct change_row {
	const char *name, *words;
	void (*change)(struct job_bench *bench);
	size_t changed;
	const char *made; /* at reconnect, read again */
	bool ok;
};

static void change_nothing(struct job_bench *bench)
{
	(void)bench;
}

static void add_a_joint(struct job_bench *bench)
{
	bench->harness.connector_count = 5;
	job_bench_add(bench, 31, 2, false, NULL, 0);
}

static void retire_nine(struct job_bench *bench)
{
	bench->number_of[3] = 0;
	bench->connector_of[9] = LT_NONE;
	bench->retired[9] = true;
}

static void replace_twelve(struct job_bench *bench)
{
	bench->connectors[0].component = 1;
	bench->m_is_old[0] = true;
}

static void free_five(struct job_bench *bench)
{
	bench->connectors[1].after.count = 0;
}

static const struct change_row change_rows[] = {
	{ "nothing", "unplug: 7H reconnect: 7H", change_nothing, 0, "12left 5left 7 9left 20left",
		true },
	{ "a joint that nobody could unplug", "unplug: 7H reconnect: 7H", add_a_joint, 1, "",
		false },
	{ "a joint that is gone, in a wrong mate", "12H 12M 12H 9M", retire_nine, 1, "", false },
	{ "a joint that is gone, in a wrong mate of stickers",
		"tag: 12H 9X unplug: 7H reconnect: 7H", retire_nine, 2, "", false },
	{ "a pair with the old part", "unplug: 12H reconnect: 12H 12M", replace_twelve, 1,
		"9left 20left", false },
	{ "too early then, and not now", "5H 5M 12H 12M", free_five, 1, "12", false },
	{ "an undo of nobody knows what", "12H 12M 5H 9H 9M < <", retire_nine, 2, "", false },
	{ "opened with another then", "12H 12M 5H 5M reconnect: 12H 9M", free_five, 0, "", false },
};

static void test_changed_descriptions(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(change_rows) / sizeof(change_rows[0]); i++) {
		const struct change_row *row = &change_rows[i];
		struct job_bench bench, changed;
		struct player player;
		char made[64];
		five_joints(&bench);
		begin(&player, &bench);
		play(&player, row->words);
		five_joints(&changed);
		row->change(&changed);
		struct lt_job_state *read = read_again(&player.script, &changed.tags);
		sum_up(read, R, made);
		if (strcmp(made, row->made) != 0 || lt_job_state_ok(read, R) != row->ok ||
			lt_job_state_changed(read) != row->changed)
			fail_msg("%s: %s, made %s, %zu changed", row->name, player.said, made,
				lt_job_state_changed(read));
		lt_job_state_destroy(read);
		lt_job_state_destroy(player.state);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_history),
		cmocka_unit_test(test_order_of_reconnecting),
		cmocka_unit_test(test_standing_and_closing),
		cmocka_unit_test(test_lines),
		cmocka_unit_test(test_changed_descriptions),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
