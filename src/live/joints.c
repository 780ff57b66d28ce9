/* The joints of a stage: which is next and what is known of it, how each stands, what is wrong. */
#include <stdio.h>

#include "live/conversation.h"
#include "loomtag/words.h"

void lt_live_name(struct lt_text *out, const struct lt_live *live, size_t connector)
{
	const struct lt_connector *described = &live->options.tags->harness->connectors[connector];
	if (described->name != NULL)
		lt_text_printf(out, "%s (%s)", described->name, described->id);
	else
		lt_text_add(out, described->id);
}

const char *lt_live_made_word(const struct lt_live *live)
{
	static const char *const words[LT_STAGE_COUNT] = { "checked", "apart", "proven", "made",
		"ticked" };
	return words[lt_live_stage(live)];
}

const char *lt_live_reason(const struct lt_work *work, enum lt_stage stage, size_t joint)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(work, &count);
	const size_t event = lt_job_state_skipped_by(lt_work_state(work), stage, joint);
	return event != LT_NONE && events[event].text != NULL ? events[event].text : "";
}

static const char *reason_of(const struct lt_live *live, size_t joint)
{
	return lt_live_reason(live->options.work, lt_verify_plan(lt_live_machine(live))->stage,
		joint);
}

/* How each stands. */

/* "made", "skipped: latch broken", "waits for 7", "12H read", "open". */
static void add_standing(struct lt_text *out, const struct lt_live *live, size_t joint)
{
	const struct lt_verify *verify = lt_live_machine(live);
	const unsigned number = lt_verify_plan(verify)->joints[joint].number;
	const unsigned blocked_by = lt_verify_blocked_by(verify, joint);
	const char *open = lt_live_stage(live) == LT_STAGE_UNPLUG ? "plugged in" : "open";
	unsigned pending;
	enum lt_side side;
	if (!lt_verify_needed(verify, joint))
		lt_text_add(out, lt_live_stage(live) == LT_STAGE_SWAP ? "its part stays"
								      : "left plugged in");
	else if (lt_verify_made(verify, joint))
		lt_text_add(out, lt_live_made_word(live));
	else if (lt_verify_skipped(verify, joint))
		lt_text_printf(out, "skipped: %s", reason_of(live, joint));
	else if (lt_verify_pending(verify, &pending, &side) && pending == number)
		lt_text_printf(out, "open, only %u%c read", number, lt_side_letter(side));
	else if (blocked_by != 0)
		lt_text_printf(out, "%s, waits for %u", open, blocked_by);
	else
		lt_text_add(out, open);
}

void lt_live_joints(struct lt_live *live, bool only_open)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_plan *plan = lt_verify_plan(machine);
	for (size_t i = 0; i < plan->joint_count; i++) {
		const size_t joint = plan->order[i];
		const bool needed = lt_verify_needed(machine, joint);
		const bool made = needed && lt_verify_made(machine, joint);
		if (only_open && (made || !needed))
			continue;
		char label[32];
		snprintf(label, sizeof(label), "[%c] %5u", made ? 'x' : ' ',
			plan->joints[joint].number);
		struct lt_text *line = lt_live_put(live, LT_LIVE_JOINT, LT_LIVE_PLAIN, label);
		lt_live_name(line, live, lt_work_connector(live->options.work, joint));
		lt_text_add(line, ": ");
		add_standing(line, live, joint);
	}
}

static void add_skipped(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_plan *plan = lt_verify_plan(machine);
	struct lt_text list = { 0 };
	for (size_t i = 0; i < plan->joint_count; i++) {
		const size_t joint = plan->order[i];
		if (lt_verify_skipped(machine, joint))
			lt_text_printf(&list, "%s%u (%s)", list.length > 0 ? ", " : "",
				plan->joints[joint].number, reason_of(live, joint));
	}
	if (list.length > 0)
		lt_live_add(live, LT_LIVE_SKIPPED, LT_LIVE_WAIT, "Skipped:", lt_text_string(&list));
	lt_text_finish(&list);
}

/* What is wrong. */

/* Wrong mates of an earlier stage: the stickers are on wrong halves, and pairs made with them prove
 * nothing. */
static void add_wrong_stickers(struct lt_live *live, enum lt_stage stage)
{
	const struct lt_verify *machine =
		lt_job_state_machine(lt_work_state(live->options.work), stage);
	const struct lt_wrong_mate *wrong;
	if (machine == NULL || lt_verify_wrong(machine, &wrong) == 0)
		return;
	lt_text_printf(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
		"Stickers on wrong halves, found at stage %s and not put right: %u%c with %u%c. Put them "
		"right, then type stage %s and scan those pairs.",
		lt_stage_name(stage), wrong[0].h, lt_side_letter(wrong[0].h_side), wrong[0].m,
		lt_side_letter(wrong[0].mate_side), lt_stage_name(stage));
}

/* What joints that are gone from the description left behind: no scan can settle it. */
static void add_strays(struct lt_live *live)
{
	const struct lt_job_stray *strays;
	const size_t count = lt_job_state_strays(lt_work_state(live->options.work), &strays);
	for (size_t i = 0; i < count; i++) {
		const struct lt_job_stray *stray = &strays[i];
		if (stray->settled != LT_NONE)
			continue;
		struct lt_text *words = lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, "");
		if (stray->ids[1] == NULL)
			lt_text_printf(words,
				"%s (%s) is gone from the description, but it was recorded as apart and not "
				"made again. See to it, then type: gone %s",
				stray->tags, stray->ids[0], stray->tags);
		else
			lt_text_printf(words,
				"WRONG MATE with a joint that is gone from the description: %s (%s, %s). "
				"Take the two apart, then type: apart %s",
				stray->tags, stray->ids[0], stray->ids[1], stray->tags);
	}
}

static bool is_open(const struct lt_verify *machine, unsigned number)
{
	return !lt_verify_made(machine, lt_verify_joint(machine, number));
}

void lt_live_wrong(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(machine, &wrong);
	for (size_t i = 0; i < count; i++) {
		const bool h = is_open(machine, wrong[i].h), m = is_open(machine, wrong[i].m);
		struct lt_text *words = lt_live_put(live, LT_LIVE_WRONG_MATE, LT_LIVE_WRONG, "");
		lt_text_printf(words, "WRONG MATE, not put right yet: %u%c on %u%c. Scan the ",
			wrong[i].h, lt_side_letter(wrong[i].h_side), wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
		if (h && m)
			lt_text_printf(words, "pairs of %u and %u.", wrong[i].h, wrong[i].m);
		else
			lt_text_printf(words, "pair of %u.", h ? wrong[i].h : wrong[i].m);
	}
	add_strays(live);
	if (lt_live_stage(live) >= LT_STAGE_RECONNECT) {
		add_wrong_stickers(live, LT_STAGE_TAG);
		add_wrong_stickers(live, LT_STAGE_SWAP);
	}
}

void lt_live_changes(struct lt_live *live, const struct lt_plan_change *changes, size_t count)
{
	for (size_t i = 0; i < count; i++)
		lt_plan_change_words(lt_live_put(live, LT_LIVE_CHANGE,
					     changes[i].voids ? LT_LIVE_WRONG : LT_LIVE_PLAIN, "-"),
			&changes[i]);
}

/* The next one. */

static void add_tags_of(struct lt_text *out, const struct lt_live *live, size_t joint,
	const char *between)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const unsigned number = plan->joints[joint].number;
	const enum lt_side mate = lt_mate_side(live->options.tags,
		lt_work_connector(live->options.work, joint), plan->stage);
	lt_text_printf(out, plan->stage == LT_STAGE_SWAP ? "%uX" : "%uH", number);
	if (mate != LT_SIDE_H)
		lt_text_printf(out, "%s%u%c", between, number, lt_side_letter(mate));
}

/* What has no place at this stage is left out. */
static void add_facts(struct lt_live *live, size_t connector)
{
	const enum lt_stage stage = lt_live_stage(live);
	struct lt_joint_facts facts = {
		.tags = live->options.tags, .connector = connector, .medium = LT_JOINT_SCREEN
	};
	while (lt_joint_facts_next(&facts)) {
		const bool at_end = facts.fact == LT_FACT_FACING || facts.fact == LT_FACT_SEAT;
		const bool lesser = facts.fact == LT_FACT_WIRES || facts.fact == LT_FACT_NOTE;
		if ((facts.fact == LT_FACT_UNLOCK && stage != LT_STAGE_UNPLUG) ||
			(at_end && stage != LT_STAGE_RECONNECT))
			continue;
		lt_live_add(live, lesser ? LT_LIVE_DETAIL : LT_LIVE_FACT, LT_LIVE_PLAIN,
			facts.label, lt_text_string(&facts.text));
	}
}

/* Joints with no number that come first: no scan can tell that they are open. */
static void add_first_by_eye(struct lt_live *live, size_t connector)
{
	const struct lt_tags *tags = live->options.tags;
	const struct lt_indices *after = &tags->harness->connectors[connector].after;
	struct lt_text text = { 0 };
	for (size_t i = 0; i < after->count; i++) {
		if (tags->number_of[after->items[i]] != 0)
			continue;
		lt_text_add(&text, text.length > 0 ? ", " : "");
		lt_live_name(&text, live, after->items[i]);
	}
	if (text.length > 0)
		lt_live_add(live, LT_LIVE_OTHERS, LT_LIVE_STRONG,
			"First, by eye:", lt_text_string(&text));
	lt_text_finish(&text);
}

static void add_lookalikes(struct lt_live *live, size_t connector)
{
	enum { MOST = 8 };
	const struct lt_lookalikes *const *lookalikes = live->options.lookalikes;
	unsigned like[MOST];
	const size_t count =
		lookalikes == NULL || *lookalikes == NULL
			? 0
			: lt_tag_lookalikes(live->options.tags, *lookalikes, connector, like, MOST);
	if (count > 0) {
		struct lt_text *text =
			lt_live_put(live, LT_LIVE_OTHERS, LT_LIVE_STRONG, "Would also fit on");
		for (size_t i = 0; i < count && i < MOST; i++)
			lt_text_printf(text, "%s%u", i > 0 ? ", " : "", like[i]);
		if (count > MOST)
			lt_text_printf(text, " and %zu more", count - MOST);
		lt_text_add(text, ": go by the number, not by the shape.");
	} else if (lt_fit_unknown(live->options.tags->harness, connector)) {
		lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN, "",
			"Fit unknown: it may go on other mates too. Go by the number.");
	}
}

static void add_cautions(struct lt_live *live, size_t joint)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const struct lt_joint *described = &plan->joints[joint];
	const size_t connector = lt_work_connector(live->options.work, joint);
	if (plan->stage == LT_STAGE_RECONNECT)
		add_first_by_eye(live, connector);
	if (described->has_x && plan->stage == LT_STAGE_RECONNECT)
		lt_text_printf(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_STRONG, ""),
			"NEW PART: it carries %uM.", described->number);
	if (described->paper)
		lt_text_printf(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_STRONG, ""),
			"No room for a sticker: find it by the checklist, then type %uH and %u%c.",
			described->number, described->number,
			lt_side_letter(lt_mate_side(live->options.tags, connector, plan->stage)));
	add_lookalikes(live, connector);
}

static void add_joint(struct lt_live *live, const char *label, size_t joint)
{
	const size_t connector = lt_work_connector(live->options.work, joint);
	struct lt_text *name = lt_live_put(live, LT_LIVE_NEXT, LT_LIVE_STRONG, label);
	add_tags_of(name, live, joint, " + ");
	lt_text_add(name, "  ");
	lt_live_name(name, live, connector);
	/* What is to be taken apart is not to be mixed up with what comes next. */
	if (live->verdict == NULL || live->tone != LT_TONE_WRONG)
		add_tags_of(lt_live_put(live, LT_LIVE_TAGS, LT_LIVE_PLAIN, ""), live, joint, "+");
	add_facts(live, connector);
	add_cautions(live, joint);
}

/* The joint that is begun, else the one to make next. */
static void add_next(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const size_t next = lt_verify_next(machine);
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending(machine, &number, &side)) {
		add_joint(live, "NOW", lt_verify_joint(machine, number));
		return;
	}
	if (next != LT_NONE) {
		add_joint(live, "NEXT", next);
		return;
	}
	struct lt_text *words = lt_live_put(live, LT_LIVE_NOTHING_NEXT, LT_LIVE_STRONG, "NEXT");
	if (lt_verify_pending_elsewhere(machine, &number, &side, &station))
		lt_text_printf(words,
			"%u%c was read at another terminal, or before, and its other half was not: "
			"scan the pair of %u.",
			number, lt_side_letter(side), number);
	else if (lt_live_stage(live) != LT_STAGE_UNPLUG)
		lt_text_add(words,
			"All that is left is skipped, or waits for a joint that is. Scan one when it "
			"can be made after all, or type quit.");
	else if (lt_verify_ok(machine))
		lt_text_add(words,
			"All numbered joints are apart. Type next when the module is out.");
	else
		lt_text_add(words,
			"What is left is skipped, so it stays plugged in. Type next when the module is "
			"out.");
}

static void add_gap(struct lt_live *live)
{
	if (live->options.attended)
		lt_live_put(live, LT_LIVE_GAP, LT_LIVE_PLAIN, "");
}

void lt_live_screen(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	lt_live_put(live, LT_LIVE_SCREEN, LT_LIVE_PLAIN, "");
	if (live->options.attended)
		lt_live_head(live);
	add_gap(live);
	if (live->verdict != NULL)
		lt_live_add(live, LT_LIVE_VERDICT, lt_live_style_of(live->tone), live->tags,
			live->verdict);
	lt_live_said(live);
	lt_live_wrong(live);
	add_gap(live);
	live->view.made = lt_verify_made_count(machine);
	live->view.needed = lt_verify_needed_count(machine);
	lt_text_printf(lt_live_put(live, LT_LIVE_PROGRESS, LT_LIVE_PLAIN, ""), "%zu of %zu",
		live->view.made, live->view.needed);
	add_next(live);
	add_skipped(live);
	add_gap(live);
	live->view.rings = live->words.length > 0 && live->tone == LT_TONE_WRONG;
}
