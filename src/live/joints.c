/* The joints of a stage: the next one and its facts, the state of each, what is wrong. */
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

void lt_live_count(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	lt_words_result_count(lt_live_put(live, LT_LIVE_TEXT, LT_LIVE_STRONG, ""),
		live->options.tags->harness->code, lt_live_stage(live),
		lt_verify_made_count(machine), lt_verify_needed_count(machine));
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

/* The state of each. */

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
		lt_words_joint_state(line, machine, joint, reason_of(live, joint));
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
		lt_live_add(live, LT_LIVE_SKIPPED, LT_LIVE_WAIT, lt_live_words.skipped_label,
			lt_text_string(&list));
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
	const size_t count = machine != NULL ? lt_verify_wrong(machine, &wrong) : 0;
	for (size_t i = 0; i < count; i++)
		lt_words_wrong_stickers(lt_live_put(live, LT_LIVE_WRONG_MATE, LT_LIVE_WRONG, ""),
			&wrong[i], stage);
}

/* What removed joints left behind: no scan can resolve it. */
static void add_strays(struct lt_live *live)
{
	const struct lt_job_stray *strays;
	const size_t count = lt_job_state_strays(lt_work_state(live->options.work), &strays);
	for (size_t i = 0; i < count; i++)
		if (strays[i].settled == LT_NONE)
			lt_words_stray(lt_live_put(live, LT_LIVE_SAID, LT_LIVE_WRONG, ""),
				&strays[i]);
}

void lt_live_wrong(struct lt_live *live)
{
	const struct lt_verify *machine = lt_live_machine(live);
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(machine, &wrong);
	for (size_t i = 0; i < count; i++)
		lt_words_wrong_mate(lt_live_put(live, LT_LIVE_WRONG_MATE, LT_LIVE_WRONG, ""),
			machine, &wrong[i]);
	add_strays(live);
	if (lt_live_stage(live) > LT_STAGE_TAG)
		add_wrong_stickers(live, LT_STAGE_TAG);
	if (lt_live_stage(live) > LT_STAGE_SWAP)
		add_wrong_stickers(live, LT_STAGE_SWAP);
}

void lt_live_changes(struct lt_live *live, const struct lt_plan_change *changes, size_t count)
{
	size_t numbers = 0;
	for (size_t i = 0; i < count; i++) {
		lt_plan_change_words(lt_live_put(live, LT_LIVE_CHANGE,
					     changes[i].voids ? LT_LIVE_WRONG : LT_LIVE_PLAIN, "-"),
			&changes[i]);
		numbers += changes[i].kind == LT_PLAN_NUMBER;
	}
	if (numbers > 0)
		lt_words_print_again(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_WRONG, ""),
			numbers);
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

/* Asked for when the joint comes apart, and before it is made. */
static void add_cap(struct lt_live *live)
{
	const enum lt_stage stage = lt_live_stage(live);
	if (stage == LT_STAGE_UNPLUG)
		lt_words_cap(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_WAIT, ""), LT_JOINT_UNPLUG);
	else if (stage == LT_STAGE_RECONNECT)
		lt_words_cap(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_WAIT, ""), LT_JOINT_MATE);
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
		if (facts.fact == LT_FACT_CAP) {
			add_cap(live);
			continue;
		}
		if (facts.said == LT_SAID_LOUD) {
			lt_words_caution(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_WRONG, ""),
				lt_text_string(&facts.text));
			continue;
		}
		lt_live_add(live, lesser ? LT_LIVE_DETAIL : LT_LIVE_FACT, LT_LIVE_PLAIN,
			facts.label, lt_text_string(&facts.text));
	}
}

/* Joints with no number that come first: no scan shows whether they are open. */
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
		lt_live_add(live, LT_LIVE_OTHERS, LT_LIVE_STRONG, lt_live_words.by_eye_first,
			lt_text_string(&text));
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
		struct lt_text numbers = { 0 };
		for (size_t i = 0; i < count && i < MOST; i++)
			lt_text_printf(&numbers, "%s%u", i > 0 ? ", " : "", like[i]);
		lt_words_would_fit(lt_live_put(live, LT_LIVE_OTHERS, LT_LIVE_STRONG,
					   lt_live_words.would_fit_label),
			lt_text_string(&numbers), count > MOST ? count - MOST : 0);
		lt_text_finish(&numbers);
	} else if (lt_fit_unknown(live->options.tags->harness, connector)) {
		lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_PLAIN, "", lt_live_words.fit_unknown);
	}
}

/* One without a sticker. */
static void add_on_paper(struct lt_live *live, unsigned number, size_t connector)
{
	const enum lt_stage stage = lt_verify_plan(lt_live_machine(live))->stage;
	const enum lt_side mate = lt_mate_side(live->options.tags, connector, stage);
	const bool one = mate == LT_SIDE_H || stage == LT_STAGE_UNPLUG;
	char tag[LT_TAG_SIZE], other[LT_TAG_SIZE];
	lt_tag_write(tag, number, stage == LT_STAGE_SWAP ? LT_SIDE_X : LT_SIDE_H);
	lt_tag_write(other, number, mate);
	lt_words_type_tags(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_STRONG, ""), tag,
		one ? NULL : other);
}

static void add_cautions(struct lt_live *live, size_t joint)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const struct lt_joint *described = &plan->joints[joint];
	const size_t connector = lt_work_connector(live->options.work, joint);
	if (plan->stage == LT_STAGE_RECONNECT)
		add_first_by_eye(live, connector);
	if (described->has_x && !described->paper && plan->stage == LT_STAGE_RECONNECT)
		lt_words_new_part(lt_live_put(live, LT_LIVE_CAUTION, LT_LIVE_STRONG, ""),
			described->number);
	else if (described->has_x && plan->stage == LT_STAGE_RECONNECT)
		lt_live_add(live, LT_LIVE_CAUTION, LT_LIVE_STRONG, "",
			lt_live_words.new_part_on_paper);
	if (described->paper)
		add_on_paper(live, described->number, connector);
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
		add_joint(live, lt_live_words.now, lt_verify_joint(machine, number));
		return;
	}
	if (next != LT_NONE) {
		add_joint(live, lt_live_words.next, next);
		return;
	}
	struct lt_text *words =
		lt_live_put(live, LT_LIVE_NOTHING_NEXT, LT_LIVE_STRONG, lt_live_words.next);
	if (lt_verify_pending_elsewhere(machine, &number, &side, &station))
		lt_words_half_elsewhere(words, number, side);
	else if (lt_live_stage(live) != LT_STAGE_UNPLUG)
		lt_text_add(words, lt_live_words.only_skipped_left[lt_live_stage(live)]);
	else
		lt_text_add(words, lt_verify_ok(machine) ? lt_live_words.all_apart
							 : lt_live_words.rest_stays_in);
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
	lt_live_add_report(live);
	lt_live_wrong(live);
	add_gap(live);
	live->view.made = lt_verify_made_count(machine);
	live->view.needed = lt_verify_needed_count(machine);
	lt_words_progress(lt_live_put(live, LT_LIVE_PROGRESS, LT_LIVE_PLAIN, ""), live->view.made,
		live->view.needed);
	add_next(live);
	add_skipped(live);
	add_gap(live);
	live->view.rings = live->words.length > 0 && live->tone == LT_TONE_WRONG;
}
