#include "live.h"

#include <ctype.h>
#include <string.h>

#include "live_screen.h"

/* What one session on the screen knows beside the machine. */
struct session_state {
	const struct lt_live *live;
	struct live_said said;
	struct lt_text text; /* on its way out */
	unsigned line;
	bool after_cr, quit;
};

/* One line of input. */
enum { LINE_MAX_BYTES = 4096 };
struct line {
	char bytes[LINE_MAX_BYTES + 1];
	size_t length;
	bool cut; /* there was more */
};

/* Reads a line without its end; false at the end of input. A scanner may end a line with CR, LF
 * or both: the LF behind a CR is dropped when it comes, since waiting for it could take for ever.
 */
static bool read_line(struct session_state *state, struct line *line)
{
	int c = getc(state->live->in);
	if (state->after_cr && c == '\n')
		c = getc(state->live->in);
	state->after_cr = false;
	line->length = 0;
	line->cut = false;
	if (c == EOF)
		return false;
	for (; c != EOF && c != '\n' && c != '\r'; c = getc(state->live->in)) {
		if (line->length < LINE_MAX_BYTES)
			line->bytes[line->length++] = (char)c;
		else
			line->cut = true;
	}
	state->after_cr = c == '\r';
	line->bytes[line->length] = '\0';
	state->line++;
	return true;
}

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

/* Copies the first word of a line; returns what stands behind it. */
static const char *first_word(char *out, size_t size, const char *line)
{
	const char *at = past_spaces(line);
	size_t length = 0;
	for (; *at != '\0' && !is_space(*at); at++)
		if (length + 1 < size)
			out[length++] = *at;
	out[length] = '\0';
	return past_spaces(at);
}

static bool is_word(const struct line *line, const char *word)
{
	char first[16];
	return !line->cut && *first_word(first, sizeof(first), line->bytes) == '\0' &&
	       lt_same_word(first, word);
}

static void say(struct session_state *state, enum lt_tone tone, const char *words)
{
	state->said.tone = tone;
	lt_text_clear(&state->said.words);
	lt_text_add(&state->said.words, words);
}

/* Hazards, before anything else. */

static void add_hazard(struct lt_text *out, const struct lt_live *live, size_t index)
{
	const struct lt_harness *harness = live->tags->harness;
	const struct lt_hazard *hazard = &harness->hazards[index];
	const struct {
		const char *label, *text;
	} lines[] = { { "  isolate  ", hazard->isolate }, { "  release  ", hazard->release },
		{ "  prove    ", hazard->prove } };
	live_addf(out, live, LIVE_STRONG, "", "Hazard %zu of %zu: %s", index + 1,
		harness->hazard_count, hazard->energy);
	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++)
		live_add(out, live, LIVE_PLAIN, lines[i].label,
			lines[i].text != NULL ? lines[i].text
					      : "not described: find out before you go on",
			0);
}

static void ask_hazard(struct session_state *state, size_t index, const char *waiting)
{
	const struct lt_live *live = state->live;
	live_clear(&state->text, live);
	live_add_head(&state->text, live);
	live_add(&state->text, live, LIVE_WAIT, "",
		"Before anything is touched. This list helps the memory; it does not stand in for the "
		"machine's own instructions, local codes or licensed practice. If you may not isolate "
		"this yourself, stop and get someone who may.",
		0);
	lt_text_add_char(&state->text, '\n');
	add_hazard(&state->text, live, index);
	lt_text_add_char(&state->text, '\n');
	live_add(&state->text, live, LIVE_WRONG, "", waiting, 0);
	lt_text_add(&state->text, "Type yes when this is done and proved: ");
	if (!live->options.terminal)
		lt_text_add_char(&state->text, '\n');
	live_show(live, &state->text);
}

/* True when the person has confirmed it; false on quit and at the end of input. */
static bool confirm_hazard(struct session_state *state, size_t index)
{
	struct line line = { .length = 0 };
	const char *waiting = "";
	for (;;) {
		ask_hazard(state, index, waiting);
		if (!read_line(state, &line) || is_word(&line, "quit"))
			return false;
		if (is_word(&line, "yes"))
			return true;
		waiting = "Waiting: only yes goes on (quit stops). Nothing can be scanned before.";
	}
}

static bool confirm_hazards(struct session_state *state)
{
	const struct lt_harness *harness = state->live->tags->harness;
	for (size_t i = 0; i < harness->hazard_count; i++) {
		if (confirm_hazard(state, i))
			continue;
		lt_text_add_char(&state->text, '\n');
		live_addf(&state->text, state->live, LIVE_WRONG, "",
			"Stopped: \"%s\" was not confirmed. Nothing was scanned.",
			harness->hazards[i].energy);
		live_show(state->live, &state->text);
		return false;
	}
	if (harness->hazard_count == 0)
		say(state, LT_TONE_WAIT,
			"No hazards are described. That does not mean that there are none: look before "
			"you touch.");
	else
		say(state, LT_TONE_WAIT, "Hazards confirmed.");
	return true;
}

/* Commands: words that cannot be a scan. Each returns true when the screen is to be drawn. */

static bool do_undo(struct session_state *state, const char *rest)
{
	const struct lt_live *live = state->live;
	const struct lt_event *event;
	unsigned number;
	enum lt_side side;
	if (rest[0] != '\0') {
		say(state, LT_TONE_WRONG,
			"undo takes back the last step, whatever it was; type it alone.");
		return true;
	}
	if (!lt_verify_log_undo(live->log, live->verify, &event)) {
		say(state, LT_TONE_WRONG,
			event == NULL ? "There is nothing to take back."
			: lt_verify_plan(live->verify)->stage == LT_STAGE_TAG
				? "A wrong mate is not taken back. Put the stickers right, then scan the "
				  "right pairs."
				: "A wrong mate is not taken back. Take the two apart, then scan the right "
				  "pairs.");
		return true;
	}
	say(state, LT_TONE_WAIT, "Taken back: ");
	if (event == NULL)
		lt_text_add(&state->said.words, "the skip.");
	else if (event->answer.has_tag)
		lt_text_printf(&state->said.words, "the scan of %u%c (%s).", event->answer.number,
			lt_side_letter(event->answer.side), lt_verdict_name(event->answer.verdict));
	if (lt_verify_pending(live->verify, &number, &side))
		lt_text_printf(&state->said.words, " %u%c waits for its other half.", number,
			lt_side_letter(side));
	return true;
}

/* Reads a joint's number, with or without a side behind it; 0 when it is not one. */
static unsigned read_number(const char *word)
{
	unsigned number = 0;
	size_t digits = 0;
	for (; digits < 6 && isdigit((unsigned char)word[digits]); digits++)
		number = number * 10 + (unsigned)(word[digits] - '0');
	if (word[digits] != '\0' && strchr("HMXhmx", word[digits]) != NULL)
		word++;
	return digits > 0 && digits < 6 && word[digits] == '\0' ? number : 0;
}

static bool do_skip(struct session_state *state, const char *rest)
{
	const struct lt_live *live = state->live;
	struct lt_text *words = &state->said.words;
	char word[16];
	const char *reason = first_word(word, sizeof(word), rest);
	const unsigned number = read_number(word);
	const size_t joint = number == 0 ? LT_NONE : lt_verify_joint(live->verify, number);
	say(state, LT_TONE_WRONG, "");
	if (number == 0)
		lt_text_add(words, "Write which and why: skip 12 latch broken, part on order.");
	else if (joint == LT_NONE)
		lt_text_printf(words, "This harness has no number %u; nothing was skipped.",
			number);
	else if (lt_verify_made(live->verify, joint))
		lt_text_printf(words, "%u is made; nothing was skipped.", number);
	else if (reason[0] == '\0')
		lt_text_printf(words,
			"Not skipped yet: write the reason behind it, as in skip %u latch broken.",
			number);
	else if (lt_verify_log_skip(live->log, live->verify, number, reason)) {
		state->said.tone = LT_TONE_WAIT;
		lt_text_printf(words, "%u is skipped: it stays open, and counts as missing.",
			number);
	}
	return true;
}

static bool do_status(struct session_state *state, const char *rest)
{
	const struct lt_live *live = state->live;
	const struct lt_wrong_mate *wrong;
	(void)rest;
	live_addf(&state->text, live, LIVE_STRONG, "", "%zu of %zu made.",
		lt_verify_made_count(live->verify), lt_verify_plan(live->verify)->joint_count);
	live_add_joints(&state->text, live, false);
	live_add_wrong(&state->text, live, lt_verify_wrong(live->verify, &wrong));
	live_show(live, &state->text);
	return false;
}

static bool do_help(struct session_state *state, const char *rest)
{
	static const char *const lines[][2] = {
		{ "  scan    ", "one sticker of a joint, then the other; either may come first" },
		{ "  undo    ", "takes back the last step" },
		{ "  skip    ", "skip NUMBER REASON leaves a joint out; it counts as missing" },
		{ "  status  ", "lists every joint and how it stands" },
		{ "  quit    ", "ends, and says what is missing" },
	};
	(void)rest;
	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++)
		live_add(&state->text, state->live, LIVE_PLAIN, lines[i][0], lines[i][1], 0);
	live_add(&state->text, state->live, LIVE_PLAIN, "",
		"A scan shows that two stickers belong together, no more. Seat each joint, pull gently "
		"and tick it.",
		0);
	live_show(state->live, &state->text);
	return false;
}

static bool do_quit(struct session_state *state, const char *rest)
{
	(void)rest;
	state->quit = true;
	return false;
}

struct word {
	const char *name;
	bool (*run)(struct session_state *state, const char *rest);
};
static const struct word words[] = { { "undo", do_undo }, { "skip", do_skip },
	{ "status", do_status }, { "quit", do_quit }, { "help", do_help } };
enum { WORDS = sizeof(words) / sizeof(words[0]) };

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
static void add_misread(struct lt_text *out, const struct line *line)
{
	enum { SHOWN = 40 };
	const char *names[WORDS];
	char first[16];
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, line->bytes, line->length < SHOWN ? line->length : SHOWN);
	lt_text_printf(out, " What came was \"%s\"%s", lt_text_string(&clean),
		line->length > SHOWN ? " and more." : ".");
	for (size_t i = 0; i < WORDS; i++)
		names[i] = words[i].name;
	first_word(first, sizeof(first), line->bytes);
	const int nearest = lt_nearest(first, names, WORDS);
	if (nearest >= 0)
		lt_text_printf(out, " Did you mean the word %s?", names[nearest]);
	lt_text_finish(&clean);
}

static void answer_scan(struct session_state *state, const struct line *line)
{
	const struct lt_live *live = state->live;
	const enum lt_stage stage = lt_verify_plan(live->verify)->stage;
	const struct lt_answer answer =
		(line->cut ? lt_verify_log_overlong : lt_verify_log_feed)(live->log, live->verify,
			state->line, line->bytes, line->length);
	struct lt_text *said = &state->said.words;
	say(state, lt_verdict_tone(answer.verdict), "");
	lt_answer_words(said, &answer, live->tags, stage);
	if (stage == LT_STAGE_RECONNECT &&
		(answer.verdict == LT_VERDICT_MATED || answer.verdict == LT_VERDICT_DONE))
		add_seating(said, live, answer.number);
	if (answer.verdict == LT_VERDICT_MISREAD && !answer.has_tag)
		add_misread(said, line);
}

/* Does what a line asks; true when the screen is to be drawn anew. */
static bool take_line(struct session_state *state, const struct line *line)
{
	char first[16];
	const char *rest = first_word(first, sizeof(first), line->bytes);
	for (size_t i = 0; i < WORDS; i++)
		if (!line->cut && lt_same_word(first, words[i].name))
			return words[i].run(state, rest);
	/* An empty line draws the screen again, as after status. */
	if (first[0] != '\0' || line->length > 0)
		answer_scan(state, line);
	return true;
}

static void scan(struct session_state *state)
{
	struct line line = { .length = 0 };
	bool draw = true;
	while (!lt_verify_ok(state->live->verify) && !state->quit) {
		if (draw)
			live_draw(state->live, &state->said);
		live_prompt(state->live);
		if (!read_line(state, &line))
			break;
		draw = take_line(state, &line);
	}
}

static void end(struct session_state *state)
{
	const struct lt_live *live = state->live;
	if (lt_verify_ok(live->verify)) {
		live_clear(&state->text, live);
		live_add_said(&state->text, live, &state->said);
	} else if (live->options.terminal) {
		lt_text_add_char(&state->text, '\n');
	}
	live_add_end(&state->text, live);
	live_show(live, &state->text);
}

enum lt_live_end lt_live_run(const struct lt_live *live)
{
	struct session_state state = { .live = live };
	enum lt_live_end how = LT_LIVE_UNSAFE;
	if (confirm_hazards(&state)) {
		if (!live->options.terminal) {
			live_add_head(&state.text, live);
			live_show(live, &state.text);
		}
		scan(&state);
		end(&state);
		how = lt_verify_ok(live->verify) ? LT_LIVE_MADE : LT_LIVE_LEFT;
	}
	lt_text_finish(&state.said.words);
	lt_text_finish(&state.text);
	return how;
}
