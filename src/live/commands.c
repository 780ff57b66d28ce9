/* Words that can be typed where scans are asked for: none of them can be a scan. */
#include <ctype.h>
#include <string.h>

#include "live/conversation.h"
#include "loomtag/words.h"

static const char *past_spaces(const char *at)
{
	return at + strspn(at, " \t");
}

/* Copies the first word of a line; returns what stands behind it. */
static const char *first_word(char *out, size_t size, const char *line)
{
	const char *at = past_spaces(line);
	const size_t length = strcspn(at, " \t");
	const size_t kept = length < size ? length : size - 1;
	memcpy(out, at, kept);
	out[kept] = '\0';
	return past_spaces(at + length);
}

bool lt_live_is_word(const struct lt_live_input *line, const char *word)
{
	char first[16];
	return line != NULL && !line->cut &&
	       *first_word(first, sizeof(first), line->bytes) == '\0' && lt_same_word(first, word);
}

bool lt_live_is_quit(const struct lt_live_input *line)
{
	return line == NULL || lt_live_is_word(line, "quit");
}

bool lt_live_is_empty(const struct lt_live_input *line)
{
	return *past_spaces(line->bytes) == '\0';
}

static void report_taken_back(struct lt_live *live, const struct lt_job_event *event)
{
	unsigned number;
	enum lt_side side;
	lt_live_report(live, LT_TONE_WAIT, "");
	if (event->kind == LT_JOB_SKIP)
		lt_text_add(&live->words, lt_live_words.skip_taken_back);
	else if (event->kind == LT_JOB_TICK)
		lt_text_add(&live->words, lt_live_words.tick_taken_back);
	else
		lt_words_scan_taken_back(&live->words, event);
	if (lt_verify_pending(lt_live_machine(live), &number, &side))
		lt_words_half_waits(&live->words, number, side);
}

static void note_undone(struct lt_live_scans *scans, size_t event)
{
	for (size_t i = 0; i < scans->count; i++)
		if (scans->rows[i].event == event)
			scans->rows[i].undone = true;
}

static void do_undo(struct lt_live *live, const char *rest)
{
	const struct lt_live_options *options = &live->options;
	size_t event, count;
	bool done;
	if (rest[0] != '\0') {
		lt_live_report(live, LT_TONE_WRONG, lt_live_words.undo_alone);
	} else if (live->idle) {
		live->idle = false;
		lt_live_report(live, LT_TONE_WRONG, lt_live_words.undo_idle);
	} else if (!lt_live_keep(live,
			   lt_work_undo(options->work, &done, &event, options->diags))) {
		return;
	} else if (done) {
		note_undone(options->scans, event);
		report_taken_back(live, &lt_work_events(options->work, &count)[event]);
	} else {
		lt_live_report(live, LT_TONE_WRONG,
			event == LT_NONE ? lt_live_words.nothing_to_take_back
					 : lt_live_words.wrong_mate_stays[lt_live_stage(live)]);
	}
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

/* Why a joint cannot be skipped; LT_SKIPPED where it can. */
static enum lt_words_skip check_skip(const struct lt_live *live, unsigned number,
	const char *reason)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const size_t joint = lt_verify_joint(machine, number);
	if (joint == LT_NONE)
		return LT_SKIP_NO_NUMBER;
	if (lt_verify_made(machine, joint))
		return LT_SKIP_DONE;
	return reason[0] == '\0' ? LT_SKIP_NO_REASON : LT_SKIPPED;
}

static void do_skip(struct lt_live *live, const char *rest)
{
	char word[16];
	const char *reason = first_word(word, sizeof(word), rest);
	const unsigned number = read_number(word);
	lt_live_report(live, LT_TONE_WRONG, number == 0 ? lt_live_words.skip_how : "");
	if (number == 0)
		return;
	enum lt_words_skip result = check_skip(live, number, reason);
	bool done = false;
	if (result == LT_SKIPPED) {
		if (!lt_live_keep(live, lt_work_skip(live->options.work, &done, number, reason,
						live->options.diags)))
			return;
		live->tone = done ? LT_TONE_WAIT : LT_TONE_WRONG;
		result = done ? LT_SKIPPED : LT_SKIP_NOT_ASKED;
	}
	lt_words_skip(&live->words, result, number, lt_live_stage(live));
}

static void do_status(struct lt_live *live, const char *rest)
{
	(void)rest;
	lt_live_count(live);
	lt_live_joints(live, false);
	lt_live_wrong(live);
	live->still = true;
}

static void do_next(struct lt_live *live, const char *rest)
{
	(void)rest;
	live->going = lt_work_next_stage(live->options.work);
	live->onward = true;
}

static void do_stage(struct lt_live *live, const char *rest)
{
	char name[16];
	const char *behind = first_word(name, sizeof(name), rest);
	live->onward = behind[0] == '\0' && lt_stage_read(&live->going, name);
	if (!live->onward)
		lt_live_report(live, LT_TONE_WRONG, lt_live_words.stage_how);
}

bool lt_live_take_stage(struct lt_live *live, const struct lt_live_input *line)
{
	char first[16];
	const char *rest = first_word(first, sizeof(first), line->bytes);
	if (line->cut || !lt_same_word(first, "stage"))
		return false;
	do_stage(live, rest);
	return live->onward;
}

/* "3h 4m" as the screen shows it: "3H 4M". */
static void add_capitals(struct lt_text *out, const char *text)
{
	char tag[2 * LT_TAG_SIZE];
	for (const char *at = text; *at != '\0';) {
		at = first_word(tag, sizeof(tag), at);
		for (size_t i = 0; tag[i] != '\0'; i++)
			tag[i] = (char)toupper((unsigned char)tag[i]);
		lt_text_printf(out, "%s%s", out->length > 0 ? " " : "", tag);
	}
}

/* Records that what a removed joint left behind was dealt with; `how` says what to type. */
static void settle(struct lt_live *live, const char *rest, bool wrong_mate, const char *how)
{
	struct lt_text tags = { 0 };
	bool done;
	add_capitals(&tags, rest);
	lt_live_keep(live, lt_work_settle(live->options.work, &done, lt_text_string(&tags),
				   live->options.diags));
	lt_live_report(live, done ? LT_TONE_WAIT : LT_TONE_WRONG, done ? "" : how);
	if (done)
		lt_words_settled(&live->words, lt_text_string(&tags), wrong_mate);
	lt_text_finish(&tags);
}

static void do_apart(struct lt_live *live, const char *rest)
{
	settle(live, rest, true, lt_live_words.apart_how);
}

static void do_gone(struct lt_live *live, const char *rest)
{
	settle(live, rest, false, lt_live_words.gone_how);
}

static void do_quit(struct lt_live *live, const char *rest)
{
	(void)rest;
	live->quit = true;
}

static void do_help(struct lt_live *live, const char *rest);

enum { COMMANDS = 9 };
const char *const lt_live_commands[COMMANDS + 1] = { "undo", "skip", "status", "next", "apart",
	"gone", "stage", "quit", "help", NULL };
static const struct {
	void (*run)(struct lt_live *live, const char *rest);
	const char *const *help; /* one text, or where `by_stage` one for each stage */
	bool by_stage;
} commands[COMMANDS] = {
	{ do_undo, &lt_live_words.help_undo, false },
	{ do_skip, lt_live_words.help_skip, true },
	{ do_status, &lt_live_words.help_status, false },
	{ do_next, &lt_live_words.help_next, false },
	{ do_apart, &lt_live_words.help_apart, false },
	{ do_gone, &lt_live_words.help_gone, false },
	{ do_stage, &lt_live_words.help_stage, false },
	{ do_quit, &lt_live_words.help_quit, false },
	{ do_help, NULL, false },
};

static void do_help(struct lt_live *live, const char *rest)
{
	const enum lt_stage stage = lt_live_stage(live);
	(void)rest;
	lt_live_add(live, LT_LIVE_WORD, LT_LIVE_PLAIN, lt_live_words.help_scan_word,
		lt_live_words.help_scan[stage]);
	for (size_t i = 0; i < COMMANDS; i++)
		if (commands[i].help != NULL)
			lt_live_add(live, LT_LIVE_WORD, LT_LIVE_PLAIN, lt_live_commands[i],
				commands[i].help[commands[i].by_stage ? stage : 0]);
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, "", lt_live_words.help_scans_prove);
	live->still = true;
}

bool lt_live_take_word(struct lt_live *live, const struct lt_live_input *line)
{
	char first[16];
	const char *rest = first_word(first, sizeof(first), line->bytes);
	for (size_t i = 0; i < COMMANDS; i++)
		if (!line->cut && lt_same_word(first, lt_live_commands[i])) {
			commands[i].run(live, rest);
			return true;
		}
	return false;
}

const char *lt_live_nearest_word(const struct lt_live_input *line)
{
	char first[16];
	first_word(first, sizeof(first), line->bytes);
	const int nearest = lt_nearest(first, lt_live_commands, COMMANDS);
	return nearest >= 0 ? lt_live_commands[nearest] : NULL;
}
