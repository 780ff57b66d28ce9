/* Which job this is about, and who works here. */
#include "live/conversation.h"
#include "loomtag/words.h"

static void show_open_job(struct lt_live *live)
{
	const struct lt_work *work = live->options.work;
	const struct lt_verify *machine = lt_live_machine(live);
	size_t count;
	const struct lt_job_event *events = lt_work_events(work, &count);
	struct lt_words_job job = { .number = lt_work_job(work),
		.opened = events[0].at,
		.last = events[lt_work_resumed(work) - 1].at,
		.stage = lt_live_stage(live),
		.has_plan = machine != NULL };
	if (machine != NULL) {
		job.made = lt_verify_made_count(machine);
		job.needed = lt_verify_needed_count(machine);
	}
	lt_live_page(live);
	lt_words_open_job(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WAIT, ""), &job);
}

static void show_closed_job(struct lt_live *live, const struct lt_job *closed)
{
	lt_live_page(live);
	lt_words_closed_job(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WAIT, ""), closed);
}

/* Without a job of its own: one that is closed is done, and whoever starts the program again may
 * want its record, and no other job. */
static void look_for_closed(struct lt_live *live)
{
	struct lt_arena arena = { 0 };
	struct lt_job closed;
	live->another = true;
	const bool good = lt_live_keep(live,
		lt_work_last_closed(&closed, live->options.work, &arena, live->options.diags));
	if (good && closed.id != 0 && live->options.attended) {
		show_closed_job(live, &closed);
		lt_live_ask(live, LT_LIVE_ASKS_ANOTHER);
	} else if (good) {
		lt_live_go(live, LT_STEP_WHO);
	}
	lt_arena_finish(&arena);
}

/* A job that stopped half-way is continued, but not by mistake: what was made in an old job would
 * be taken for made today. */
void lt_live_enter_job(struct lt_live *live)
{
	live->another = live->options.new_job;
	if (!live->another && !lt_work_has_job(live->options.work)) {
		look_for_closed(live);
		return;
	}
	if (!live->another)
		show_open_job(live);
	if (!live->another && live->options.attended)
		lt_live_ask(live, LT_LIVE_ASKS_RESUME);
	else
		lt_live_go(live, LT_STEP_WHO);
}

void lt_live_take_job(struct lt_live *live, const struct lt_live_input *line)
{
	const bool anew = lt_live_is_word(line, "new");
	live->another = live->another || anew;
	if (lt_live_is_quit(line))
		lt_live_finish(live, LT_LIVE_LEFT);
	else if (anew || (live->view.asks == LT_LIVE_ASKS_RESUME &&
				 (lt_live_is_empty(line) || lt_live_is_word(line, "yes"))))
		lt_live_go(live, LT_STEP_WHO);
}

/* Starts or continues the job, with the name remembered for it. */
static void begin(struct lt_live *live, const char *name)
{
	const struct lt_live_options *options = &live->options;
	if (name != NULL)
		lt_work_set_who(options->work, name);
	if (live->another && !lt_live_keep(live, lt_work_begin(options->work, options->diags)))
		return;
	if (options->keep_name != NULL)
		options->keep_name(options->data, name, lt_work_job(options->work));
	live->follow = LT_FOLLOW_BEGIN;
	lt_live_go(live, LT_STEP_CHANGES);
}

/* Who works here goes into the record, which somebody signs. */
void lt_live_enter_who(struct lt_live *live)
{
	const struct lt_live_options *options = &live->options;
	const char *name = NULL;
	if (options->who != NULL) {
		name = options->who(options->data, live->another ? 0 : lt_work_job(options->work));
		if (name == NULL && !options->attended)
			name = options->suggested;
	}
	if (name != NULL || options->who == NULL) {
		begin(live, name);
		return;
	}
	lt_live_page(live);
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, "", lt_live_words.who_works);
	lt_words_name_offered(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_PLAIN, ""),
		options->suggested);
	lt_live_ask(live, LT_LIVE_ASKS_WHO);
}

/* A scan, or an answer to another question, which was typed too soon. */
static bool is_other_answer(const struct lt_live_input *line)
{
	struct lt_scan scan;
	lt_scan_read(&scan, line->bytes, line->length);
	if (scan.kind != LT_SCAN_MISREAD)
		return true;
	static const char *const words[] = { "yes", "no", "new", "next", "back", "again", "help" };
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (lt_live_is_word(line, words[i]))
			return true;
	return false;
}

/* The name that was typed, or the one that was offered; in the diagnostics' arena, which outlives
 * the work. */
void lt_live_take_who(struct lt_live *live, const struct lt_live_input *line)
{
	struct lt_text clean = { 0 };
	if (lt_live_is_quit(line)) {
		lt_live_finish(live, LT_LIVE_LEFT);
	} else if (!is_other_answer(line)) {
		lt_text_add_clean(&clean, line->bytes, line->length);
		begin(live, clean.length > 0 ? lt_arena_strdup(&live->options.diags->arena,
						       lt_text_string(&clean))
					     : live->options.suggested);
	}
	lt_text_finish(&clean);
}
