/* The description as it is now: made the plan of the job, with its hazards confirmed. */
#include <string.h>

#include "live/conversation.h"
#include "loomtag/words.h"

/* The stage to begin with: the one asked for, else the present one of the job. */
static enum lt_stage first_stage(const struct lt_live *live)
{
	const struct lt_work *work = live->options.work;
	const enum lt_stage next = lt_work_next_stage(work);
	if (live->options.stage != LT_STAGE_COUNT)
		return live->options.stage;
	/* Before anything is unplugged the stickers are checked; on a pipe nobody can be asked to.
	 */
	if (lt_work_resumed(work) == 0)
		return live->options.attended ? LT_STAGE_TAG : LT_STAGE_RECONNECT;
	return lt_live_stage(live) != LT_STAGE_UNPLUG && lt_live_stage_ok(live) &&
			       next != LT_STAGE_COUNT
		       ? next
		       : lt_live_stage(live);
}

/* Shows how the description here differs from what the job is judged by. */
static void show_changes(struct lt_live *live)
{
	const struct lt_plan_change *changes;
	bool voids_all;
	const size_t count = lt_work_changes(live->options.work, &changes, &voids_all);
	lt_live_page(live);
	lt_live_add(live, LT_LIVE_SAID, LT_LIVE_WRONG, "",
		voids_all ? lt_live_words.plan_unknown : lt_live_words.changed_since);
	lt_live_changes(live, changes, count);
}

static void replan(struct lt_live *live)
{
	if (lt_live_keep(live, lt_work_replan(live->options.work, live->options.diags)))
		lt_live_go(live, LT_STEP_CHANGES);
}

/* The person does not go along; before the first stage that is the end. */
static void give_up(struct lt_live *live, enum lt_live_end end)
{
	live->quit = true;
	if (live->follow == LT_FOLLOW_BEGIN)
		lt_live_finish(live, end);
	else
		lt_live_go(live, live->follow == LT_FOLLOW_END ? LT_STEP_ONWARD : LT_STEP_LEAVE);
}

static bool read_again(const struct lt_live *live)
{
	return live->options.reread == NULL || live->options.reread(live->options.data);
}

void lt_live_follow(struct lt_live *live, enum lt_live_follow follow)
{
	/* Where it cannot be read, what was read before is compared. */
	read_again(live);
	live->follow = follow;
	lt_live_go(live, LT_STEP_CHANGES);
}

/* All that is described of hazards. */
static void list_hazards(struct lt_text *out, const struct lt_harness *harness)
{
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		const char *const parts[] = { lt_hazard_words.signals[hazard->signal],
			hazard->energy, hazard->harm, hazard->isolate, hazard->release,
			hazard->prove };
		for (size_t part = 0; part < sizeof(parts) / sizeof(parts[0]); part++)
			lt_text_printf(out, "%s\n", parts[part] != NULL ? parts[part] : "");
	}
}

/* Whether the description says of hazards what was confirmed. */
static bool is_safe(const struct lt_live *live)
{
	struct lt_text now = { 0 };
	list_hazards(&now, live->options.tags->harness);
	const bool same = strcmp(lt_text_string(&now), lt_text_string(&live->safe)) == 0;
	lt_text_finish(&now);
	return same;
}

/* The two are the same by now. */
static void take_as_it_is(struct lt_live *live)
{
	const bool begins = live->follow == LT_FOLLOW_BEGIN;
	live->hazard = 0;
	live->waiting = false;
	if (!begins || lt_live_begin(live, first_stage(live)))
		lt_live_go(live, begins || !is_safe(live) ? LT_STEP_HAZARDS : LT_STEP_FOLLOWED);
}

void lt_live_enter_changes(struct lt_live *live)
{
	if (!lt_work_differs(live->options.work)) {
		take_as_it_is(live);
		return;
	}
	show_changes(live);
	if (live->options.changed && live->follow == LT_FOLLOW_BEGIN) {
		live->options.changed = false; /* said once */
		replan(live);
	} else if (live->options.attended) {
		lt_live_ask(live, LT_LIVE_ASKS_CHANGED);
	} else {
		lt_live_finish(live, LT_LIVE_REFUSED);
	}
}

void lt_live_take_changes(struct lt_live *live, const struct lt_live_input *line)
{
	if (lt_live_is_quit(line)) {
		give_up(live, LT_LIVE_LEFT);
	} else if (lt_live_is_word(line, "yes")) {
		replan(live);
	} else {
		if (lt_live_is_word(line, "again"))
			read_again(live);
		lt_live_go(live, LT_STEP_CHANGES);
	}
}

static void show_hazard(struct lt_live *live)
{
	const struct lt_harness *harness = live->options.tags->harness;
	const struct lt_hazard *hazard = &harness->hazards[live->hazard];
	lt_live_put(live, LT_LIVE_PAGE, LT_LIVE_PLAIN, "");
	lt_live_head(live);
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WAIT, "", lt_live_words.make_safe);
	lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
	lt_words_hazard(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, ""), live->hazard,
		harness->hazard_count, hazard);
	if (hazard->harm != NULL)
		lt_live_add(live, LT_LIVE_STEP, LT_LIVE_STRONG, lt_hazard_words.harm, hazard->harm);
	/* The last step is to restore it. */
	for (size_t i = 0; i + 1 < LT_HAZARD_STEPS; i++) {
		lt_live_add(live, LT_LIVE_STEP, LT_LIVE_PLAIN, lt_hazard_step_name(i),
			lt_hazard_step(hazard, i));
		if (i == 0)
			lt_live_add(live, LT_LIVE_STEP, LT_LIVE_PLAIN, lt_hazard_words.lock,
				lt_hazard_words.lock_on);
	}
	lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
	lt_live_add(live, LT_LIVE_TEXT, LT_LIVE_WRONG, "",
		live->waiting ? lt_live_words.only_yes_confirms : "");
}

void lt_live_enter_hazards(struct lt_live *live)
{
	const struct lt_harness *harness = live->options.tags->harness;
	if (live->hazard < harness->hazard_count) {
		show_hazard(live);
		lt_live_ask(live, LT_LIVE_ASKS_HAZARD);
		return;
	}
	lt_text_clear(&live->safe);
	list_hazards(&live->safe, harness);
	lt_live_report(live, LT_TONE_WAIT,
		harness->hazard_count > 0 ? lt_live_words.hazards_confirmed
					  : lt_live_words.no_hazards);
	lt_live_go(live, LT_STEP_FOLLOWED);
}

void lt_live_take_hazards(struct lt_live *live, const struct lt_live_input *line)
{
	const char *energy = live->options.tags->harness->hazards[live->hazard].energy;
	live->waiting = !lt_live_is_word(line, "yes");
	lt_live_go(live, LT_STEP_HAZARDS);
	if (lt_live_is_quit(line)) {
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
		struct lt_text *words = lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_WRONG, "");
		lt_words_not_confirmed(words, energy);
		if (live->scanned == 0)
			lt_text_printf(words, " %s", lt_live_words.nothing_scanned);
		give_up(live, LT_LIVE_UNSAFE);
	} else if (!live->waiting && lt_live_keep(live, lt_work_confirm(live->options.work, energy,
								live->options.diags))) {
		live->hazard++;
	}
}

void lt_live_enter_reread(struct lt_live *live)
{
	if (read_again(live)) {
		live->differed = lt_work_differs(live->options.work);
		live->follow = LT_FOLLOW_END;
		lt_live_go(live, LT_STEP_CHANGES);
		return;
	}
	lt_live_add(live, LT_LIVE_SAID, LT_LIVE_WRONG, "", lt_live_words.file_unreadable);
	if (live->options.attended)
		lt_live_ask(live, LT_LIVE_ASKS_REREAD);
	else
		lt_live_finish(live, LT_LIVE_FAILED);
}

void lt_live_take_reread(struct lt_live *live, const struct lt_live_input *line)
{
	live->quit = live->quit || lt_live_is_quit(line);
	lt_live_go(live, lt_live_is_quit(line) ? LT_STEP_ONWARD : LT_STEP_REREAD);
}
