/* The conversation as a whole: its steps, its questions, and what others do meanwhile. */
#include <stdlib.h>
#include <string.h>

#include "live/conversation.h"
#include "loomtag/words.h"

static void enter_over(struct lt_live *live)
{
	lt_live_ask(live, LT_LIVE_ASKS_NOTHING);
}

static const struct {
	void (*enter)(struct lt_live *live);
	void (*take)(struct lt_live *live,
		const struct lt_live_input *line); /* NULL: asks nothing */
} steps[LT_STEPS] = {
	[LT_STEP_JOB] = { lt_live_enter_job, lt_live_take_job },
	[LT_STEP_WHO] = { lt_live_enter_who, lt_live_take_who },
	[LT_STEP_CHANGES] = { lt_live_enter_changes, lt_live_take_changes },
	[LT_STEP_HAZARDS] = { lt_live_enter_hazards, lt_live_take_hazards },
	[LT_STEP_FOLLOWED] = { lt_live_enter_followed, NULL },
	[LT_STEP_WORK] = { lt_live_enter_work, lt_live_take_work },
	[LT_STEP_SEEN] = { lt_live_enter_seen, lt_live_take_seen },
	[LT_STEP_LEAVE] = { lt_live_enter_leave, NULL },
	[LT_STEP_REREAD] = { lt_live_enter_reread, lt_live_take_reread },
	[LT_STEP_ONWARD] = { lt_live_enter_onward, lt_live_take_onward },
	[LT_STEP_OVER] = { enter_over, NULL },
};

#define WORDS(...) ((const char *const[]){ __VA_ARGS__, NULL })

static const struct {
	const char *const *prompt; /* NULL: none */
	const char *const *answers;
	bool wakes; /* a move of the job by others ends it */
} questions[] = {
	[LT_LIVE_ASKS_NOTHING] = { NULL, (const char *const[]){ NULL }, false },
	[LT_LIVE_ASKS_RESUME] = { &lt_live_words.ask_resume, WORDS("", "yes", "new", "quit"),
		false },
	[LT_LIVE_ASKS_ANOTHER] = { &lt_live_words.ask_new_job, WORDS("new", "quit"), false },
	[LT_LIVE_ASKS_WHO] = { &lt_live_words.ask_who, WORDS("", "quit"), false },
	[LT_LIVE_ASKS_CHANGED] = { &lt_live_words.ask_changed, WORDS("yes", "again", "quit"),
		false },
	[LT_LIVE_ASKS_HAZARD] = { &lt_live_words.ask_hazard, WORDS("yes", "quit"), false },
	[LT_LIVE_ASKS_SCAN] = { &lt_live_words.ask_scan, lt_live_commands, true },
	[LT_LIVE_ASKS_TICK] = { &lt_live_words.ask_tick, WORDS("yes", "undo", "quit"), true },
	[LT_LIVE_ASKS_SEEN] = { &lt_live_words.ask_seen, WORDS("", "quit"), true },
	[LT_LIVE_ASKS_ONWARD] = { &lt_live_words.ask_next_stage, WORDS("", "stage", "quit"), true },
	[LT_LIVE_ASKS_ONWARD_OR_BACK] = { &lt_live_words.ask_next_stage_or_back,
		WORDS("next", "stage", "back", "quit"), true },
	[LT_LIVE_ASKS_REREAD] = { &lt_live_words.ask_corrected, WORDS("", "quit"), false },
};

static void run_steps(struct lt_live *live)
{
	while (!live->entered)
		steps[live->step].enter(live);
	const char *const *prompt = questions[live->view.asks].prompt;
	live->view.prompt = prompt != NULL ? *prompt : "";
	live->view.answers = questions[live->view.asks].answers;
}

struct lt_live *lt_live_create(const struct lt_live_options *options)
{
	struct lt_live *live = lt_alloc_array(1, sizeof(*live));
	live->options = *options;
	run_steps(live);
	return live;
}

static void drop_items(struct lt_live *live, size_t count)
{
	if (count == 0)
		return;
	for (size_t i = 0; i < count; i++)
		lt_text_finish(&live->items[i].text);
	live->view.first += count;
	live->view.count -= count;
	memmove(live->items, live->items + count, live->view.count * sizeof(*live->items));
}

void lt_live_destroy(struct lt_live *live)
{
	if (live == NULL)
		return;
	drop_items(live, live->view.count);
	free(live->items);
	lt_text_finish(&live->words);
	lt_text_finish(&live->safe);
	free(live);
}

/* Removes what is above the last page. */
static void turn_page(struct lt_live *live)
{
	for (size_t i = live->view.count; i-- > 0;)
		if (live->items[i].kind == LT_LIVE_PAGE || live->items[i].kind == LT_LIVE_SCREEN) {
			drop_items(live, i);
			return;
		}
}

/* Shows what others did last, or that the scanner is disconnected, with the screen. */
static void interrupt(struct lt_live *live, bool lost, size_t added)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->options.work, &count);
	const struct lt_job_event *last = &events[count - 1];
	lt_live_report(live, lost ? LT_TONE_WRONG : LT_TONE_WAIT,
		lost ? lt_live_words.scanner_lost : "");
	if (!lost)
		lt_words_events_elsewhere(&live->words, added, last);
	lt_live_screen(live);
}

/* Takes in what others do to the job meanwhile: it is shown with the screen, but not where
 * something else is asked. */
static bool look_elsewhere(struct lt_live *live, bool lost)
{
	size_t added = 0;
	const enum lt_live_asks asks = live->view.asks;
	if (!lt_work_sync(live->options.work, &added, live->options.diags)) {
		lt_live_finish(live, LT_LIVE_FAILED);
	} else if (questions[asks].wakes && lt_work_changed_elsewhere(live->options.work)) {
		live->onward = false;
		lt_live_go(live, LT_STEP_WORK);
	} else if (asks == LT_LIVE_ASKS_SCAN && (lost || added > 0)) {
		interrupt(live, lost, added);
	} else {
		return false;
	}
	return true;
}

/* A scan where something else is asked; but not the second one of a trigger that was held too long,
 * whose first one was taken. */
static bool is_stray_scan(const struct lt_live *live, const struct lt_live_input *input)
{
	struct lt_wedge_last last = live->last;
	struct lt_scan scan;
	const enum lt_live_asks asks = live->view.asks;
	if (asks == LT_LIVE_ASKS_SCAN || asks == LT_LIVE_ASKS_NOTHING || input->cut)
		return false;
	lt_scan_read(&scan, input->bytes, input->length);
	return scan.kind != LT_SCAN_MISREAD &&
	       !(input->timed && lt_wedge_twice(&last, input->bytes, input->length, input->at));
}

static void take_line(struct lt_live *live, const struct lt_live_input *input)
{
	const bool stray = is_stray_scan(live, input);
	live->line++;
	steps[live->step].take(live, input);
	run_steps(live);
	if (stray && live->view.asks != LT_LIVE_ASKS_NOTHING) {
		lt_live_add(live, LT_LIVE_SAID, LT_LIVE_WRONG, "", lt_live_words.scan_not_counted);
		live->view.rings = true;
	}
}

bool lt_live_input(struct lt_live *live, const struct lt_live_input *input)
{
	bool changed = true;
	if (live->step == LT_STEP_OVER)
		return false;
	turn_page(live);
	live->view.rings = false;
	if (input->kind == LT_LIVE_LINE) {
		take_line(live, input);
	} else if (input->kind == LT_LIVE_NO_MORE) {
		steps[live->step].take(live, NULL);
	} else {
		changed = look_elsewhere(live, input->kind == LT_LIVE_LOST);
	}
	run_steps(live);
	return changed;
}

const struct lt_live_view *lt_live_view(const struct lt_live *live)
{
	return &live->view;
}
