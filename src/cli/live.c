#include "live.h"

#include <string.h>
#include <time.h>
#include <unistd.h>

#include "live_session.h"

#define PROMPT "Scan, or type a word (help): "

/* How often what others do is looked for, ms. */
enum { LOOK = 700 };

static bool is_space(char c)
{
	return c == ' ' || c == '\t';
}

static const char *past_spaces(const char *at)
{
	while (is_space(*at))
		at++;
	return at;
}

const char *live_first_word(char *out, size_t size, const char *line)
{
	const char *at = past_spaces(line);
	size_t length = 0;
	for (; *at != '\0' && !is_space(*at); at++)
		if (length + 1 < size)
			out[length++] = *at;
	out[length] = '\0';
	return past_spaces(at);
}

bool live_is_word(const struct keys_line *line, const char *word)
{
	char first[16];
	return !line->cut && *live_first_word(first, sizeof(first), line->bytes) == '\0' &&
	       lt_same_word(first, word);
}

void live_say(struct live_session *session, enum lt_tone tone, const char *words)
{
	session->said.tone = tone;
	session->said.word = NULL;
	session->said.tag[0] = '\0';
	lt_text_clear(&session->said.words);
	lt_text_add(&session->said.words, words);
}

/* Says what others did last, or that the scanner is gone, and draws the screen anew. */
static void interrupt(struct live_session *session, enum keys_result result, size_t fresh)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(session->live->work, &count);
	if (result == KEYS_LOST) {
		live_say(session, LT_TONE_WRONG,
			"The scanner is gone: look at its cable. The keyboard goes on.");
	} else {
		const struct lt_job_event *last = &events[count - 1];
		live_say(session, LT_TONE_WAIT, "");
		lt_text_printf(&session->said.words,
			"%zu by another terminal (%s), the last: %s%s%s.", fresh, last->who,
			last->tag != NULL ? last->tag : "", last->tag != NULL ? " " : "",
			last->verdict != NULL ? last->verdict : lt_job_event_name(last->kind));
	}
	live_draw(session->live, &session->said);
}

bool live_read(struct live_session *session, struct keys_line *line, const char *prompt)
{
	const struct lt_live *live = session->live;
	const int timeout = lt_work_job(live->work) != 0 ? LOOK : -1;
	live_prompt(live, prompt);
	for (;;) {
		const enum keys_result result = keys_read(session->keys, line, timeout);
		size_t fresh = 0;
		if (result == KEYS_LINE) {
			session->line++;
			return true;
		}
		if (result == KEYS_END)
			return false;
		if (!lt_work_sync(live->work, &fresh, live->diags)) {
			session->failed = true;
			return false;
		}
		if (result == KEYS_LOST || fresh > 0) {
			interrupt(session, result, fresh);
			live_prompt(live, prompt);
		}
	}
}

/* Scans. */

/* What the description says of seating this very joint, where it says so. */
static void add_seating(struct lt_text *out, const struct lt_live *live, unsigned number)
{
	const size_t connector = live->tags->connector_of[number];
	const struct lt_connector *described = &live->tags->harness->connectors[connector];
	if (described->orient != NULL)
		lt_text_printf(out, " Turned: %s.", described->orient);
	if (described->seat != NULL)
		lt_text_printf(out, " Seats: %s.", described->seat);
}

/* Shows what came in where it is not even a tag, and which word was perhaps meant. */
static void add_misread(struct lt_text *out, const struct keys_line *line)
{
	enum { SHOWN = 40 };
	struct lt_text clean = { 0 };
	const char *nearest = live_nearest_word(line);
	lt_text_add_clean(&clean, line->bytes, line->length < SHOWN ? line->length : SHOWN);
	lt_text_printf(out, " What came was \"%s\"%s", lt_text_string(&clean),
		line->length > SHOWN ? " and more." : ".");
	if (nearest != NULL)
		lt_text_printf(out, " Did you mean the word %s?", nearest);
	lt_text_finish(&clean);
}

/* The verdict in a word, for reading at arm's length. */
static const char *large_word(const struct lt_answer *answer, enum lt_stage stage)
{
	static const char *const words[LT_VERDICT_COUNT] = { "HALF", "RIGHT PAIR", "READ", "AGAIN",
		"SAME SIDE", "WRONG MATE", "NOT YET", "OLD PART", "NOT OF THIS HARNESS", "UNKNOWN",
		"MISREAD" };
	if (stage == LT_STAGE_UNPLUG && answer->verdict == LT_VERDICT_DONE)
		return "APART";
	if (stage == LT_STAGE_UNPLUG && answer->verdict == LT_VERDICT_OUT_OF_ORDER)
		return "TOO EARLY";
	return words[answer->verdict];
}

/* Says once which setting of the scanner is to be mended. */
static void advise(struct live_session *session, enum lt_wedge_trouble trouble)
{
	const unsigned bit = 1u << trouble;
	if (trouble == LT_WEDGE_FINE || (session->advised & bit) != 0)
		return;
	session->advised |= bit;
	lt_text_printf(&session->said.words, " %s", lt_wedge_advice(trouble));
}

static void note(struct live_session *session, const char *scan, size_t length,
	const struct lt_answer *answer)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(session->live->work, &count);
	lt_verify_log_note(session->live->log, session->line, scan, length, *answer,
		events[count - 1].id);
}

void live_answer(struct live_session *session, const struct keys_line *line)
{
	const struct lt_live *live = session->live;
	const enum lt_stage stage = live_stage(live);
	struct lt_answer answer;
	struct lt_text undone = { 0 };
	/* What is typed by hand is not mended: a slip of a finger looks like a mix-up of keys. */
	const bool scanned = line->fast || line->source != KEYS_KEYBOARD;
	const enum lt_wedge_trouble trouble =
		scanned ? lt_wedge_undo(&undone, line->bytes, line->length, live->tags)
			: LT_WEDGE_FINE;
	const char *scan = trouble != LT_WEDGE_FINE ? lt_text_string(&undone) : line->bytes;
	size_t length = trouble != LT_WEDGE_FINE ? undone.length : line->length;
	/* What is too long to be a scan is none, whatever it begins with. */
	if (!lt_work_scan(live->work, &answer, line->cut ? "" : scan, line->cut ? 0 : length,
		    live->diags)) {
		session->failed = true;
		lt_text_finish(&undone);
		return;
	}
	note(session, line->bytes, line->length, &answer);
	live_say(session, lt_verdict_tone(answer.verdict), "");
	session->said.word = large_word(&answer, stage);
	if (answer.has_tag)
		lt_tag_write(session->said.tag, answer.number, answer.side);
	lt_answer_words(&session->said.words, &answer, live->tags, stage);
	if (stage == LT_STAGE_RECONNECT &&
		(answer.verdict == LT_VERDICT_MATED || answer.verdict == LT_VERDICT_DONE))
		add_seating(&session->said.words, live, answer.number);
	if (answer.verdict == LT_VERDICT_MISREAD && !answer.has_tag)
		add_misread(&session->said.words, line);
	advise(session, trouble);
	lt_text_finish(&undone);
}

/* A trigger held too long gives a scan twice. Not so on a pipe, where lines have no time. */
static bool is_double(struct live_session *session, const struct keys_line *line)
{
	return line->source != KEYS_PIPE &&
	       lt_wedge_twice(&session->last, line->bytes, line->length, line->at);
}

/* Does what a line asks; true when the screen is to be drawn anew. */
static bool take_line(struct live_session *session, const struct keys_line *line)
{
	bool draw;
	if (live_take_word(session, line, &draw)) {
		/* What is scanned again after a word is meant, however soon. */
		session->last.any = false;
		return draw;
	}
	/* An empty line draws the screen again, as after status. */
	if (*past_spaces(line->bytes) != '\0' || line->length > strlen(line->bytes)) {
		if (is_double(session, line))
			return false;
		live_answer(session, line);
	}
	return true;
}

static bool stage_ok(const struct lt_live *live)
{
	return lt_job_state_ok(lt_work_state(live->work), live_stage(live));
}

/* Until the stage's answer is yes, or the person goes on. What came apart is never known to be
 * all: that stage ends by a word. */
static void scan(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	bool draw = true;
	while (!session->quit && !session->onward && !session->failed &&
		(live_stage(live) == LT_STAGE_UNPLUG || !stage_ok(live))) {
		if (draw)
			live_draw(live, &session->said);
		if (!live_read(session, &line, PROMPT)) {
			session->quit = true;
			return;
		}
		draw = take_line(session, &line);
	}
}

static void end_stage(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (stage_ok(live)) {
		live_clear(&session->text, live);
		live_add_said(&session->text, live, &session->said);
	} else if (live->options.terminal) {
		lt_text_add_char(&session->text, '\n');
	}
	live_add_end(&session->text, live);
	live_show(live, &session->text);
}

/* How many joints nobody noted as apart, so that nobody asks for them. */
static void warn_of_left(struct live_session *session)
{
	const struct lt_verify *machine = live_machine(session->live);
	const size_t needed = lt_verify_needed_count(machine);
	const size_t all = lt_verify_plan(machine)->joint_count;
	if (needed < all)
		lt_text_printf(&session->said.words,
			" %zu of %zu joints were noted as apart; the others are taken for left plugged in.",
			needed, all);
}

/* The joints that nothing proved while all was plugged in. */
static void warn_of_unproven(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const struct lt_job_state *state = lt_work_state(live->work);
	const enum lt_stage_standing tagged = lt_job_state_standing(state, LT_STAGE_TAG);
	struct lt_text *words = &session->said.words;
	size_t unproven = 0;
	if (lt_job_state_joints(state) == 0 || lt_verify_made_count(live_machine(live)) > 0)
		return;
	if (tagged != LT_STANDING_BEGUN && tagged != LT_STANDING_DONE) {
		lt_text_add(words,
			" No pair was proven while all was plugged in: nothing shows that the stickers "
			"were on the right halves.");
		return;
	}
	for (size_t i = 0; i < lt_job_state_joints(state); i++) {
		if (lt_job_state_history(state, i).proven != LT_NONE ||
			!lt_verify_needed(live_machine(live), i))
			continue;
		lt_text_printf(words, "%s%u",
			unproven++ > 0 ? ", " : " Not proven while plugged in: ",
			lt_verify_plan(live_machine(live))->joints[i].number);
	}
	if (unproven > 0)
		lt_text_add(words,
			". Their stickers may be on wrong halves: look at those joints.");
}

static bool begin_stage(struct live_session *session, enum lt_stage stage)
{
	const struct lt_live *live = session->live;
	if (!lt_work_stage(live->work, stage, "a later stage was begun", live->diags)) {
		session->failed = true;
		return false;
	}
	session->onward = false;
	if (stage == LT_STAGE_RECONNECT) {
		warn_of_unproven(session);
		warn_of_left(session);
	}
	return true;
}

/* Everything is done: so is the job. */
static void close_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!lt_job_state_all_done(lt_work_state(live->work)))
		return;
	if (!lt_work_finish(live->work, NULL, live->diags)) {
		session->failed = true;
		return;
	}
	if (lt_work_job(live->work) != 0)
		live_addf(&session->text, live, LIVE_STRONG, "",
			"Job %llu is closed: loomtag record FILE -o record.pdf writes its record.",
			lt_work_job(live->work));
	live_show(live, &session->text);
}

/* What a person has to read before the next screen clears it away. */
static bool leaves_something(const struct lt_live *live)
{
	const struct lt_verify *machine = live_machine(live);
	return !stage_ok(live) ||
	       (live_stage(live) == LT_STAGE_UNPLUG &&
		       lt_verify_made_count(machine) < lt_verify_needed_count(machine));
}

/* Whether to go on at all; session->onward is false then for staying in this stage. */
static bool ask_to_go_on(struct live_session *session, enum lt_stage next)
{
	const struct lt_live *live = session->live;
	const bool may_stay = session->onward;
	struct keys_line line = { .length = 0 };
	lt_text_printf(&session->text, "\nNext is stage %s.\n", lt_stage_name(next));
	live_show(live, &session->text);
	session->onward = true;
	do {
		if (!live_read(session, &line,
			    may_stay ? "Enter goes on with it, back stays here, quit ends here: "
				     : "Enter goes on with it, quit ends here: ") ||
			live_is_word(&line, "quit"))
			return false;
		if (may_stay && live_is_word(&line, "back")) {
			session->onward = false;
			live_say(session, LT_TONE_WAIT, "Back.");
			return true;
		}
	} while (*past_spaces(line.bytes) != '\0' && !live_is_word(&line, "next") &&
		 !live_is_word(&line, "yes"));
	return true;
}

/* After a stage: whether this one or another one goes on. */
static bool go_on(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const enum lt_stage next =
		session->onward ? session->going : lt_work_next_stage(live->work);
	if (session->quit || session->failed)
		return false;
	if (next == LT_STAGE_COUNT) {
		close_job(session);
		return false;
	}
	if (!live->options.terminal) {
		if (!session->onward)
			return false;
	} else if (!session->onward || leaves_something(live)) {
		if (!ask_to_go_on(session, next))
			return false;
		if (!session->onward)
			return true;
	}
	live_say(session, LT_TONE_WAIT, "");
	lt_text_printf(&session->said.words, "Stage %s.", lt_stage_name(next));
	return begin_stage(session, next);
}

/* "2026-11-25 09:12", in local time. */
static void add_time(struct lt_text *out, long long milliseconds)
{
	const time_t seconds = (time_t)(milliseconds / 1000);
	struct tm parts;
	char text[32] = "an unknown time";
	if (localtime_r(&seconds, &parts) != NULL)
		strftime(text, sizeof(text), "%Y-%m-%d %H:%M", &parts);
	lt_text_add(out, text);
}

static void tell_job(struct live_session *session)
{
	const struct lt_live *live = session->live;
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	struct lt_text words = { 0 };
	lt_text_printf(&words, "Going on with job %llu, begun ", lt_work_job(live->work));
	add_time(&words, events[0].at);
	lt_text_printf(&words, ", stage %s, %zu of %zu; the last scan or word was of ",
		lt_stage_name(live_stage(live)), lt_verify_made_count(live_machine(live)),
		lt_verify_needed_count(live_machine(live)));
	add_time(&words, events[lt_work_resumed(live->work) - 1].at);
	lt_text_add_char(&words, '.');
	live_add(&session->text, live, LIVE_WAIT, "", lt_text_string(&words), 0);
	if (lt_job_state_changed(lt_work_state(live->work)) > 0)
		live_add(&session->text, live, LIVE_WRONG, "!!  ",
			"The description has changed since: what was scanned may mean something else "
			"now, and such joints are open again.",
			0);
	live_show(live, &session->text);
	lt_text_finish(&words);
}

/* A job that stopped half-way is gone on with, but not by mistake: what was made in an old job
 * would be taken for made today. */
static enum lt_live_end resume(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	live_clear(&session->text, live);
	live_add_head(&session->text, live);
	tell_job(session);
	if (!live->options.terminal) {
		const enum lt_stage stage =
			live->stage != LT_STAGE_COUNT ? live->stage : live_stage(live);
		if (live->stage == LT_STAGE_COUNT ||
			!lt_job_state_ok(lt_work_state(live->work), stage))
			return LT_LIVE_MADE;
		live_addf(&session->text, live, LIVE_WRONG, "",
			"Stage %s of it is done already, so nothing was scanned for it now. For another "
			"job: --new; else go on with a later stage.",
			lt_stage_name(stage));
		live_show(live, &session->text);
		return LT_LIVE_LEFT;
	}
	for (;;) {
		if (!live_read(session, &line,
			    "Enter goes on with it; new begins another and closes this one; quit: ") ||
			live_is_word(&line, "quit"))
			return LT_LIVE_LEFT;
		if (live_is_word(&line, "new"))
			return LT_LIVE_ANEW;
		if (*past_spaces(line.bytes) == '\0' || live_is_word(&line, "yes"))
			return LT_LIVE_MADE;
	}
}

/* Where to begin: where it is asked for, else where the job stands. */
static enum lt_stage first_stage(const struct lt_live *live)
{
	if (live->stage != LT_STAGE_COUNT)
		return live->stage;
	if (lt_work_resumed(live->work) == 0)
		return LT_STAGE_RECONNECT;
	const enum lt_stage next = lt_work_next_stage(live->work);
	return live_stage(live) != LT_STAGE_UNPLUG && stage_ok(live) && next != LT_STAGE_COUNT
		       ? next
		       : live_stage(live);
}

static enum lt_live_end run_stages(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (!live->options.terminal) {
		live_add_head(&session->text, live);
		live_show(live, &session->text);
	}
	do {
		if (live_stage(live) == LT_STAGE_FINISH)
			live_finish_lines(session);
		else
			scan(session);
		if (!session->failed)
			end_stage(session);
	} while (go_on(session));
	if (session->failed)
		return LT_LIVE_FAILED;
	return stage_ok(live) ? LT_LIVE_MADE : LT_LIVE_LEFT;
}

static enum lt_live_end run(struct live_session *session)
{
	const struct lt_live *live = session->live;
	if (lt_work_resumed(live->work) > 0) {
		const enum lt_live_end end = resume(session);
		if (end != LT_LIVE_MADE)
			return session->failed ? LT_LIVE_FAILED : end;
	}
	const enum lt_stage stage = first_stage(live);
	if (!begin_stage(session, stage))
		return LT_LIVE_FAILED;
	if (!live_confirm_hazards(session))
		return session->failed ? LT_LIVE_FAILED : LT_LIVE_UNSAFE;
	if (stage == LT_STAGE_RECONNECT) {
		warn_of_unproven(session);
		warn_of_left(session);
	}
	return run_stages(session);
}

/* A scan with no end is one when it reads as one, mended or not. */
static bool is_scan(void *data, const char *bytes, size_t length)
{
	const struct live_session *session = data;
	struct lt_scan read;
	struct lt_text undone = { 0 };
	lt_scan_read(&read, bytes, length);
	const bool good =
		read.kind == LT_SCAN_CODE ||
		lt_wedge_undo(&undone, bytes, length, session->live->tags) != LT_WEDGE_FINE;
	lt_text_finish(&undone);
	return good;
}

enum lt_live_end lt_live_run(const struct lt_live *live)
{
	struct live_session session = { .live = live };
	const struct keys_options keys = {
		.in = live->in,
		.echo = live->options.terminal ? fileno(live->out) : -1,
		.device = live->options.device,
		.is_scan = is_scan,
		.data = &session,
	};
	session.keys = keys_open(&keys, live->diags);
	if (session.keys == NULL)
		return LT_LIVE_FAILED;
	const enum lt_live_end end = run(&session);
	keys_close(session.keys);
	lt_text_finish(&session.said.words);
	lt_text_finish(&session.text);
	return end;
}
