#include <string.h>
#include <unistd.h>

#include "cli/live.h"
#include "cli/live_session.h"
#include "loomtag/words.h"

#define PROMPT "Scan, or type a word (help): "

/* How often what others do is looked for, ms. */
enum { LOOK = 700 };

static bool is_space(char c)
{
	return c == ' ' || c == '\t';
}

const char *lt_live_past_spaces(const char *at)
{
	while (is_space(*at))
		at++;
	return at;
}

const char *lt_live_first_word(char *out, size_t size, const char *line)
{
	const char *at = lt_live_past_spaces(line);
	size_t length = 0;
	for (; *at != '\0' && !is_space(*at); at++)
		if (length + 1 < size)
			out[length++] = *at;
	out[length] = '\0';
	return lt_live_past_spaces(at);
}

bool lt_live_is_word(const struct keys_line *line, const char *word)
{
	char first[16];
	return !line->cut && *lt_live_first_word(first, sizeof(first), line->bytes) == '\0' &&
	       lt_same_word(first, word);
}

void lt_live_say(struct live_session *session, enum lt_tone tone, const char *words)
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
		lt_live_say(session, LT_TONE_WRONG,
			"The scanner is gone: look at its cable. The keyboard goes on.");
	} else {
		const struct lt_job_event *last = &events[count - 1];
		lt_live_say(session, LT_TONE_WAIT, "");
		lt_text_printf(&session->said.words,
			"%zu by another terminal (%s), the last: %s%s%s.", fresh, last->who,
			last->tag != NULL ? last->tag : "", last->tag != NULL ? " " : "",
			last->verdict != NULL ? last->verdict : last->kind_name);
	}
	lt_live_draw(session->live, &session->said);
}

bool lt_live_read(struct live_session *session, struct keys_line *line, const char *prompt)
{
	const struct lt_live *live = session->live;
	const int timeout = lt_work_job(live->work) != 0 ? LOOK : -1;
	lt_live_prompt(live, prompt);
	for (;;) {
		const enum keys_result result = lt_keys_read(session->keys, line, timeout);
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
		if (session->wakes && lt_work_moved(live->work)) {
			*line = (struct keys_line){ .length = 0 };
			session->woken = true;
			return true;
		}
		if (session->scanning && (result == KEYS_LOST || fresh > 0)) {
			interrupt(session, result, fresh);
			lt_live_prompt(live, prompt);
		}
	}
}

bool lt_live_read_or_wake(struct live_session *session, struct keys_line *line, const char *prompt)
{
	session->wakes = true;
	session->woken = false;
	const bool read = lt_live_read(session, line, prompt);
	session->wakes = false;
	return read;
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
	const char *nearest = lt_live_nearest_word(line);
	lt_text_add_clean(&clean, line->bytes, line->length < SHOWN ? line->length : SHOWN);
	lt_text_printf(out, " What came was \"%s\"%s", lt_text_string(&clean),
		line->length > SHOWN ? " and more." : ".");
	if (nearest != NULL)
		lt_text_printf(out, " Did you mean the word %s?", nearest);
	lt_text_finish(&clean);
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

static void note(struct live_session *session)
{
	size_t count;
	lt_work_events(session->live->work, &count);
	lt_scan_list_add(session->live->scans, count - 1, session->line);
}

void lt_live_answer(struct live_session *session, const struct keys_line *line)
{
	const struct lt_live *live = session->live;
	const enum lt_stage stage = lt_live_stage(live);
	struct lt_answer answer;
	struct lt_text undone = { 0 };
	/* What is typed by hand is not mended: a slip of a finger looks like a mix-up of keys. */
	const bool scanned = !line->cut && (line->fast || line->source != KEYS_KEYBOARD);
	const enum lt_wedge_trouble trouble =
		scanned ? lt_wedge_undo(&undone, line->bytes, line->length, live->tags)
			: LT_WEDGE_FINE;
	const char *scan = trouble != LT_WEDGE_FINE ? lt_text_string(&undone) : line->bytes;
	size_t length = trouble != LT_WEDGE_FINE ? undone.length : line->length;
	bool taken;
	if (!lt_work_scan(live->work, &taken, &answer, scan, length, live->diags))
		session->failed = true;
	if (session->failed || !taken) {
		lt_text_finish(&undone);
		return;
	}
	session->scans++;
	session->idle = !answer.changed;
	note(session);
	const struct lt_verdict_row *const row = lt_verdict_row(answer.verdict);
	lt_live_say(session, row->tone, "");
	session->said.word = stage == LT_STAGE_UNPLUG ? row->unplug_word : row->word;
	if (answer.has_tag)
		lt_tag_write(session->said.tag, answer.number, answer.side);
	/* The two that are to be taken apart. */
	if (answer.verdict == LT_VERDICT_WRONG_MATE) {
		char other[LT_TAG_SIZE];
		lt_tag_write(other, answer.other, answer.other_side);
		snprintf(session->said.tag, sizeof(session->said.tag), "%s %u%c", other,
			answer.number, lt_side_letter(answer.side));
	}
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
	if (lt_live_take_word(session, line, &draw)) {
		/* What is scanned again after a word is meant, however soon. */
		session->last.any = false;
		return draw;
	}
	/* An empty line draws the screen again, as after status. */
	if (*lt_live_past_spaces(line->bytes) != '\0' || line->length > strlen(line->bytes)) {
		if (is_double(session, line))
			return false;
		lt_live_answer(session, line);
	}
	return true;
}

/* At stage unplug it is for the person to say when the module is out. */
static bool is_over(const struct lt_live *live)
{
	if (lt_job_state_joints(lt_work_state(live->work)) == 0)
		return true;
	return lt_live_stage(live) != LT_STAGE_UNPLUG && lt_live_stage_ok(live);
}

void lt_live_scan(struct live_session *session)
{
	const struct lt_live *live = session->live;
	struct keys_line line = { .length = 0 };
	bool draw = true;
	while (!session->quit && !session->onward && !session->failed && lt_live_look_up(session) &&
		!is_over(live)) {
		if (draw)
			lt_live_draw(live, &session->said);
		session->scanning = true;
		const bool read = lt_live_read_or_wake(session, &line, PROMPT);
		session->scanning = false;
		if (!read) {
			session->quit = true;
			return;
		}
		draw = session->woken || take_line(session, &line);
	}
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

/* Where to begin: where it is asked for, else where the job stands. */
static enum lt_stage first_stage(const struct lt_live *live)
{
	if (live->stage != LT_STAGE_COUNT)
		return live->stage;
	/* Before anything is unplugged the stickers are checked; on a pipe nobody can be asked to.
	 */
	if (lt_work_resumed(live->work) == 0)
		return live->options.terminal ? LT_STAGE_TAG : LT_STAGE_RECONNECT;
	const enum lt_stage next = lt_work_next_stage(live->work);
	return lt_live_stage(live) != LT_STAGE_UNPLUG && lt_live_stage_ok(live) &&
			       next != LT_STAGE_COUNT
		       ? next
		       : lt_live_stage(live);
}

static enum lt_live_end run(struct live_session *session)
{
	const struct lt_live *live = session->live;
	const enum lt_live_end end = lt_live_begin_job(session);
	if (end != LT_LIVE_MADE)
		return session->failed ? LT_LIVE_FAILED : end;
	const enum lt_stage stage = first_stage(live);
	if (!lt_live_begin_stage(session, stage))
		return LT_LIVE_FAILED;
	if (!lt_live_confirm_hazards(session))
		return session->failed ? LT_LIVE_FAILED : LT_LIVE_UNSAFE;
	lt_live_warn_of_joints(session);
	return lt_live_run_stages(session);
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
	session.keys = lt_keys_open(&keys, live->diags);
	if (session.keys == NULL)
		return LT_LIVE_FAILED;
	const enum lt_live_end end = run(&session);
	lt_keys_close(session.keys);
	lt_text_finish(&session.said.words);
	lt_text_finish(&session.text);
	lt_text_finish(&session.safe);
	return end;
}
