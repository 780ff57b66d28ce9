/* Words that can be typed where scans are asked for: none of them can be a scan. */
#include <ctype.h>
#include <string.h>

#include "live/conversation.h"

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

static void say_taken_back(struct lt_live *live, const struct lt_job_event *event)
{
	struct lt_text *words = &live->words;
	unsigned number;
	enum lt_side side;
	lt_live_say(live, LT_TONE_WAIT, "Taken back: ");
	if (event->kind == LT_JOB_SKIP)
		lt_text_add(words, "the skip.");
	else if (event->kind == LT_JOB_TICK)
		lt_text_add(words, "the tick.");
	else
		lt_text_printf(words, "the scan of %s (%s).",
			event->tag != NULL ? event->tag : event->text, event->verdict);
	if (lt_verify_pending(lt_live_machine(live), &number, &side))
		lt_text_printf(words, " %u%c waits for its other half.", number,
			lt_side_letter(side));
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
		lt_live_say(live, LT_TONE_WRONG,
			"undo takes back the last step, whatever it was; type it alone.");
	} else if (live->idle) {
		live->idle = false;
		lt_live_say(live, LT_TONE_WRONG,
			"The last scan changed nothing, so there is nothing of it to take back. undo "
			"again takes back the step before it.");
	} else if (!lt_live_keep(live,
			   lt_work_undo(options->work, &done, &event, options->diags))) {
		return;
	} else if (done) {
		note_undone(options->scans, event);
		say_taken_back(live, &lt_work_events(options->work, &count)[event]);
	} else {
		lt_live_say(live, LT_TONE_WRONG,
			event == LT_NONE ? "There is nothing to take back."
			: lt_live_stage(live) == LT_STAGE_RECONNECT
				? "A wrong mate is not taken back. Take the two apart, then scan the "
				  "right pairs."
				: "A wrong mate is not taken back. Put the stickers right, then scan "
				  "the right pairs.");
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

static void do_skip(struct lt_live *live, const char *rest)
{
	struct lt_text *words = &live->words;
	char word[16];
	const char *reason = first_word(word, sizeof(word), rest);
	const unsigned number = read_number(word);
	const struct lt_verify *machine = lt_live_machine(live);
	const size_t joint = number == 0 ? LT_NONE : lt_verify_joint(machine, number);
	bool done = false;
	lt_live_say(live, LT_TONE_WRONG, "");
	if (number == 0)
		lt_text_add(words, "Write which and why: skip 12 latch broken, part on order.");
	else if (joint == LT_NONE)
		lt_text_printf(words, "This harness has no number %u; nothing was skipped.",
			number);
	else if (lt_verify_made(machine, joint))
		lt_text_printf(words, "%u is %s; nothing was skipped.", number,
			lt_live_made_word(live));
	else if (reason[0] == '\0')
		lt_text_printf(words,
			"Not skipped yet: write the reason behind it, as in skip %u latch broken.",
			number);
	else if (!lt_live_keep(live, lt_work_skip(live->options.work, &done, number, reason,
					     live->options.diags)))
		return;
	else if (!done)
		lt_text_printf(words, "%u is not asked for at this stage; nothing was skipped.",
			number);
	if (done) {
		live->tone = LT_TONE_WAIT;
		lt_text_printf(words,
			lt_live_stage(live) == LT_STAGE_UNPLUG
				? "%u is skipped: it stays plugged in."
				: "%u is skipped: it stays open, and counts as missing.",
			number);
	}
}

static void do_status(struct lt_live *live, const char *rest)
{
	const struct lt_verify *machine = lt_live_machine(live);
	(void)rest;
	lt_text_printf(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, ""), "%zu of %zu %s.",
		lt_verify_made_count(machine), lt_verify_needed_count(machine),
		lt_live_made_word(live));
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
		lt_live_say(live, LT_TONE_WRONG,
			"Write which: stage tag, stage unplug, stage swap, stage reconnect or stage "
			"finish.");
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

/* Says that what a joint that is gone left behind was seen to; `done_words` and `how` are the
 * answers. */
static void settle(struct lt_live *live, const char *rest, const char *done_words, const char *how)
{
	struct lt_text tags = { 0 };
	bool done;
	add_capitals(&tags, rest);
	lt_live_keep(live, lt_work_settle(live->options.work, &done, lt_text_string(&tags),
				   live->options.diags));
	lt_live_say(live, done ? LT_TONE_WAIT : LT_TONE_WRONG, done ? "" : how);
	if (done)
		lt_text_printf(&live->words, "Recorded, %s: %s", lt_text_string(&tags), done_words);
	lt_text_finish(&tags);
}

static void do_apart(struct lt_live *live, const char *rest)
{
	settle(live, rest, "the two were taken apart.",
		"Write the two tags of a wrong mate with a joint that is gone: apart 3H 4M. Where both "
		"joints are still there, scan their pairs.");
}

static void do_gone(struct lt_live *live, const char *rest)
{
	settle(live, rest, "somebody saw to this joint.",
		"Write the tag of a joint that is gone, and was apart: gone 3H.");
}

static void do_quit(struct lt_live *live, const char *rest)
{
	(void)rest;
	live->quit = true;
}

static void do_help(struct lt_live *live, const char *rest);

enum { WORDS = 9 };
const char *const lt_live_words[WORDS + 1] = { "undo", "skip", "status", "next", "apart", "gone",
	"stage", "quit", "help", NULL };
static const struct {
	void (*run)(struct lt_live *live, const char *rest);
	const char *help;
} words[WORDS] = {
	{ do_undo, "takes back the last step" },
	{ do_skip, "skip NUMBER REASON leaves a joint out; it counts as missing" },
	{ do_status, "lists every joint and how it stands" },
	{ do_next, "goes on with the next stage of the job" },
	{ do_apart, "apart 3H 4M says that a wrong mate with a joint that is gone is apart" },
	{ do_gone, "gone 3H says that you saw to a joint that is gone, and was apart" },
	{ do_stage, "stage NAME goes to tag, unplug, swap, reconnect or finish" },
	{ do_quit, "ends, and says what is missing; the job can be gone on with" },
	{ do_help, NULL },
};

static void do_help(struct lt_live *live, const char *rest)
{
	(void)rest;
	lt_live_add(live, LT_LIVE_WORD, LT_LIVE_PLAIN, "scan",
		"one sticker of a joint, then the other; either may come first");
	for (size_t i = 0; i < WORDS; i++)
		if (words[i].help != NULL)
			lt_live_add(live, LT_LIVE_WORD, LT_LIVE_PLAIN, lt_live_words[i],
				words[i].help);
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, "",
		"A scan shows that two stickers belong together, no more. Seat each joint, pull gently "
		"and tick it.");
	live->still = true;
}

bool lt_live_take_word(struct lt_live *live, const struct lt_live_input *line)
{
	char first[16];
	const char *rest = first_word(first, sizeof(first), line->bytes);
	for (size_t i = 0; i < WORDS; i++)
		if (!line->cut && lt_same_word(first, lt_live_words[i])) {
			words[i].run(live, rest);
			return true;
		}
	return false;
}

const char *lt_live_nearest_word(const struct lt_live_input *line)
{
	char first[16];
	first_word(first, sizeof(first), line->bytes);
	const int nearest = lt_nearest(first, lt_live_words, WORDS);
	return nearest >= 0 ? lt_live_words[nearest] : NULL;
}
