/* Words that can be typed at the live screen: none of them can be a scan. */
#include <ctype.h>
#include <string.h>

#include "cli/live_session.h"

/* Each returns true when the screen is to be drawn anew. */
struct word {
	const char *name;
	bool (*run)(struct live_session *session, const char *rest);
};

/* What the store did not take is not done. */
static bool keep(struct live_session *session, bool good)
{
	if (!good)
		session->failed = true;
	return good;
}

static void say_taken_back(struct live_session *session, const struct lt_job_event *event)
{
	struct lt_text *words = &session->said.words;
	unsigned number;
	enum lt_side side;
	lt_live_say(session, LT_TONE_WAIT, "Taken back: ");
	if (event->kind == LT_JOB_SKIP)
		lt_text_add(words, "the skip.");
	else if (event->kind == LT_JOB_TICK)
		lt_text_add(words, "the tick.");
	else
		lt_text_printf(words, "the scan of %s (%s).",
			event->tag != NULL ? event->tag : event->text, event->verdict);
	if (lt_verify_pending(lt_live_machine(session->live), &number, &side))
		lt_text_printf(words, " %u%c waits for its other half.", number,
			lt_side_letter(side));
}

static bool do_undo(struct live_session *session, const char *rest)
{
	const struct lt_live *live = session->live;
	size_t event, count;
	bool done;
	if (rest[0] != '\0') {
		lt_live_say(session, LT_TONE_WRONG,
			"undo takes back the last step, whatever it was; type it alone.");
		return true;
	}
	if (session->idle) {
		session->idle = false;
		lt_live_say(session, LT_TONE_WRONG,
			"The last scan changed nothing, so there is nothing of it to take back. undo "
			"again takes back the step before it.");
		return true;
	}
	if (!keep(session, lt_work_undo(live->work, &done, &event, live->diags)))
		return false;
	if (done) {
		lt_scan_list_undo(live->scans, event);
		say_taken_back(session, &lt_work_events(live->work, &count)[event]);
		return true;
	}
	lt_live_say(session, LT_TONE_WRONG,
		event == LT_NONE ? "There is nothing to take back."
		: lt_live_stage(live) == LT_STAGE_RECONNECT
			? "A wrong mate is not taken back. Take the two apart, then scan the right "
			  "pairs."
			: "A wrong mate is not taken back. Put the stickers right, then scan the "
			  "right pairs.");
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

static bool do_skip(struct live_session *session, const char *rest)
{
	const struct lt_live *live = session->live;
	struct lt_text *words = &session->said.words;
	char word[16];
	const char *reason = lt_live_first_word(word, sizeof(word), rest);
	const unsigned number = read_number(word);
	const size_t joint = number == 0 ? LT_NONE : lt_verify_joint(lt_live_machine(live), number);
	bool done = false;
	lt_live_say(session, LT_TONE_WRONG, "");
	if (number == 0)
		lt_text_add(words, "Write which and why: skip 12 latch broken, part on order.");
	else if (joint == LT_NONE)
		lt_text_printf(words, "This harness has no number %u; nothing was skipped.",
			number);
	else if (lt_verify_made(lt_live_machine(live), joint))
		lt_text_printf(words, "%u is %s; nothing was skipped.", number,
			lt_live_made_word(live));
	else if (reason[0] == '\0')
		lt_text_printf(words,
			"Not skipped yet: write the reason behind it, as in skip %u latch broken.",
			number);
	else if (!keep(session, lt_work_skip(live->work, &done, number, reason, live->diags)))
		return false;
	else if (!done)
		lt_text_printf(words, "%u is not asked for at this stage; nothing was skipped.",
			number);
	if (done) {
		session->said.tone = LT_TONE_WAIT;
		lt_text_printf(words,
			lt_live_stage(live) == LT_STAGE_UNPLUG
				? "%u is skipped: it stays plugged in."
				: "%u is skipped: it stays open, and counts as missing.",
			number);
	}
	return true;
}

static bool do_status(struct live_session *session, const char *rest)
{
	const struct lt_live *live = session->live;
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_wrong_mate *wrong;
	(void)rest;
	lt_live_addf(&session->text, live, LIVE_STRONG, "", "%zu of %zu %s.",
		lt_verify_made_count(machine), lt_verify_needed_count(machine),
		lt_live_made_word(live));
	lt_live_add_joints(&session->text, live, false);
	lt_live_add_wrong(&session->text, live, lt_verify_wrong(machine, &wrong));
	lt_live_show(live, &session->text);
	return false;
}

static bool do_next(struct live_session *session, const char *rest)
{
	(void)rest;
	session->going = lt_work_next_stage(session->live->work);
	session->onward = true;
	return false;
}

static bool do_stage(struct live_session *session, const char *rest)
{
	char name[16];
	const char *behind = lt_live_first_word(name, sizeof(name), rest);
	if (behind[0] == '\0' && lt_stage_read(&session->going, name)) {
		session->onward = true;
		return false;
	}
	lt_live_say(session, LT_TONE_WRONG,
		"Write which: stage tag, stage unplug, stage swap, stage reconnect or stage finish.");
	return true;
}

bool lt_live_take_stage(struct live_session *session, const struct keys_line *line)
{
	char first[16];
	const char *rest = lt_live_first_word(first, sizeof(first), line->bytes);
	if (line->cut || !lt_same_word(first, "stage"))
		return false;
	return !do_stage(session, rest);
}

/* "3h 4m" as the screen shows it: "3H 4M". */
static void add_capitals(struct lt_text *out, const char *text)
{
	char tag[2 * LT_TAG_SIZE];
	for (const char *at = text; *at != '\0';) {
		at = lt_live_first_word(tag, sizeof(tag), at);
		for (size_t i = 0; tag[i] != '\0'; i++)
			tag[i] = (char)toupper((unsigned char)tag[i]);
		lt_text_printf(out, "%s%s", out->length > 0 ? " " : "", tag);
	}
}

/* Says that what a joint that is gone left behind was seen to; `done` and `how` are the answers. */
static bool settle(struct live_session *session, const char *rest, const char *done_words,
	const char *how)
{
	const struct lt_live *live = session->live;
	struct lt_text tags = { 0 };
	bool done;
	add_capitals(&tags, rest);
	const bool kept = keep(session,
		lt_work_settle(live->work, &done, lt_text_string(&tags), live->diags));
	lt_live_say(session, done ? LT_TONE_WAIT : LT_TONE_WRONG, "");
	if (done)
		lt_text_printf(&session->said.words, "Recorded, %s: %s", lt_text_string(&tags),
			done_words);
	else
		lt_text_add(&session->said.words, how);
	lt_text_finish(&tags);
	return kept;
}

static bool do_apart(struct live_session *session, const char *rest)
{
	return settle(session, rest, "the two were taken apart.",
		"Write the two tags of a wrong mate with a joint that is gone: apart 3H 4M. Where both "
		"joints are still there, scan their pairs.");
}

static bool do_gone(struct live_session *session, const char *rest)
{
	return settle(session, rest, "somebody saw to this joint.",
		"Write the tag of a joint that is gone, and was apart: gone 3H.");
}

static bool do_help(struct live_session *session, const char *rest)
{
	static const char *const lines[][2] = {
		{ "  scan    ", "one sticker of a joint, then the other; either may come first" },
		{ "  undo    ", "takes back the last step" },
		{ "  skip    ", "skip NUMBER REASON leaves a joint out; it counts as missing" },
		{ "  status  ", "lists every joint and how it stands" },
		{ "  next    ", "goes on with the next stage of the job" },
		{ "  apart   ",
			"apart 3H 4M says that a wrong mate with a joint that is gone is apart" },
		{ "  gone    ",
			"gone 3H says that you saw to a joint that is gone, and was apart" },
		{ "  stage   ", "stage NAME goes to tag, unplug, swap, reconnect or finish" },
		{ "  quit    ", "ends, and says what is missing; the job can be gone on with" },
	};
	(void)rest;
	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++)
		lt_live_add(&session->text, session->live, LIVE_PLAIN, lines[i][0], lines[i][1], 0);
	lt_live_add(&session->text, session->live, LIVE_PLAIN, "",
		"A scan shows that two stickers belong together, no more. Seat each joint, pull gently "
		"and tick it.",
		0);
	lt_live_show(session->live, &session->text);
	return false;
}

static bool do_quit(struct live_session *session, const char *rest)
{
	(void)rest;
	session->quit = true;
	return false;
}

static const struct word words[] = { { "undo", do_undo }, { "skip", do_skip },
	{ "status", do_status }, { "quit", do_quit }, { "help", do_help }, { "next", do_next },
	{ "stage", do_stage }, { "apart", do_apart }, { "gone", do_gone } };
enum { WORDS = sizeof(words) / sizeof(words[0]) };

bool lt_live_take_word(struct live_session *session, const struct keys_line *line, bool *draw)
{
	char first[16];
	const char *rest = lt_live_first_word(first, sizeof(first), line->bytes);
	for (size_t i = 0; i < WORDS; i++)
		if (!line->cut && lt_same_word(first, words[i].name)) {
			*draw = words[i].run(session, rest);
			return true;
		}
	return false;
}

const char *lt_live_nearest_word(const struct keys_line *line)
{
	const char *names[WORDS];
	char first[16];
	for (size_t i = 0; i < WORDS; i++)
		names[i] = words[i].name;
	lt_live_first_word(first, sizeof(first), line->bytes);
	const int nearest = lt_nearest(first, names, WORDS);
	return nearest >= 0 ? names[nearest] : NULL;
}
