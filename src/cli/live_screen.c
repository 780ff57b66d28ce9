#include <string.h>

#include "cli/live_screen.h"
#include "loomtag/words.h"

/* How much is left out where the screen is low: each step adds to the one before. */
enum tightness {
	TIGHT_NOT,
	TIGHT_NO_BLANK_LINES,
	TIGHT_NO_LARGE_NEXT,
	TIGHT_NO_LARGE_TAGS,
	TIGHT_ONE_LINE_EACH,
	TIGHT_BARE, /* wrong mates but one, and colours and notes go */
	TIGHT_STEPS
};

enum lt_stage lt_live_stage(const struct lt_live *live)
{
	return lt_job_state_stage(lt_work_state(live->work));
}

const struct lt_verify *lt_live_machine(const struct lt_live *live)
{
	const enum lt_stage stage = lt_live_stage(live);
	return lt_job_state_machine(lt_work_state(live->work),
		stage == LT_STAGE_FINISH ? LT_STAGE_RECONNECT : stage);
}

const char *lt_live_reason(const struct lt_live *live, size_t joint)
{
	size_t count;
	const struct lt_job_event *events = lt_work_events(live->work, &count);
	const size_t event = lt_job_state_skipped_by(lt_work_state(live->work),
		lt_verify_plan(lt_live_machine(live))->stage, joint);
	return event != LT_NONE && events[event].text != NULL ? events[event].text : "";
}

size_t lt_live_connector(const struct lt_live *live, size_t joint)
{
	return lt_work_connector(live->work, joint);
}

void lt_live_name(struct lt_text *out, const struct lt_live *live, size_t connector)
{
	const struct lt_connector *described = &live->tags->harness->connectors[connector];
	if (described->name != NULL)
		lt_text_printf(out, "%s (%s)", described->name, described->id);
	else
		lt_text_add(out, described->id);
}

void lt_live_add_said(struct lt_text *out, const struct lt_live *live, const struct live_said *said)
{
	static const char *const signs[] = { "OK  ", "..  ", "!!  " };
	static const enum live_style styles[] = { LIVE_GOOD, LIVE_WAIT, LIVE_WRONG };
	if (said->words.length > 0)
		lt_live_add(out, live, styles[said->tone], signs[said->tone],
			lt_text_string(&said->words), 0);
}

/* The tag and the verdict, to be seen from where the joint is. */
static void add_large_said(struct lt_text *out, const struct lt_live *live,
	const struct live_said *said)
{
	static const enum live_style styles[] = { LIVE_GOOD, LIVE_WAIT, LIVE_WRONG };
	if (said->word == NULL)
		return;
	lt_live_add_large(out, live, said->tag);
	lt_live_add_word(out, live, styles[said->tone], said->word);
}

void lt_live_add_title(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	lt_live_addf(out, live, LIVE_STRONG, "", "%s%s%s", harness->code,
		harness->title != NULL ? "  " : "", harness->title != NULL ? harness->title : "");
}

void lt_live_add_head(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	static const char *const stages[LT_STAGE_COUNT] = {
		"Checking stickers, all still plugged in.",
		"Unplugging: one scan of each joint as it comes apart.",
		"New parts: X on the old part, then M on the new one.",
		"Reconnecting.",
		"Finishing: what is left to look at and to restore.",
	};
	lt_live_add_title(out, live);
	lt_live_addf(out, live, LIVE_PLAIN, "", "%s%s. %s",
		harness->unit != NULL ? "Unit " : "No unit",
		harness->unit != NULL ? harness->unit
				      : ": stickers of two like modules could not be told apart",
		stages[lt_live_stage(live)]);
}

static void add_progress(struct lt_text *out, const struct lt_live *live)
{
	enum { MOST = 30, BESIDE = 18 };
	const size_t room = lt_live_columns(live) - BESIDE;
	const size_t width = room < MOST ? room : MOST;
	const size_t all = lt_verify_needed_count(lt_live_machine(live));
	const size_t made = lt_verify_made_count(lt_live_machine(live));
	const size_t filled = all == 0 ? width : made * width / all;
	lt_text_printf(out, "%zu of %zu ", made, all);
	lt_text_add_char(out, '[');
	lt_text_add_times(out, '#', filled);
	lt_text_add_times(out, '.', width - filled);
	lt_text_add(out, "]\n");
}

static bool is_made(const struct lt_live *live, unsigned number)
{
	return lt_verify_made(lt_live_machine(live),
		lt_verify_joint(lt_live_machine(live), number));
}

/* Wrong mates of an earlier stage: the stickers are on wrong halves, and pairs made with them prove
 * nothing. */
static void add_wrong_stickers(struct lt_text *out, const struct lt_live *live, enum lt_stage stage)
{
	const struct lt_verify *machine = lt_job_state_machine(lt_work_state(live->work), stage);
	const struct lt_wrong_mate *wrong;
	if (machine == NULL || lt_verify_wrong(machine, &wrong) == 0)
		return;
	lt_live_addf(out, live, LIVE_WRONG, "!!  ",
		"Stickers on wrong halves, found at stage %s and not put right: %u%c with %u%c. Put them "
		"right, then type stage %s and scan those pairs.",
		lt_stage_name(stage), wrong[0].h, lt_side_letter(wrong[0].h_side), wrong[0].m,
		lt_side_letter(wrong[0].mate_side), lt_stage_name(stage));
}

/* What joints that are gone from the description left behind: no scan can settle it. */
static void add_strays(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_job_stray *strays;
	const size_t count = lt_job_state_strays(lt_work_state(live->work), &strays);
	for (size_t i = 0; i < count; i++) {
		const struct lt_job_stray *stray = &strays[i];
		if (stray->settled != LT_NONE)
			continue;
		if (stray->ids[1] == NULL)
			lt_live_addf(out, live, LIVE_WRONG, "!!  ",
				"%s (%s) is gone from the description, but it was recorded as apart and not "
				"made again. See to it, then type: gone %s",
				stray->tags, stray->ids[0], stray->tags);
		else
			lt_live_addf(out, live, LIVE_WRONG, "!!  ",
				"WRONG MATE with a joint that is gone from the description: %s (%s, %s). "
				"Take the two apart, then type: apart %s",
				stray->tags, stray->ids[0], stray->ids[1], stray->tags);
	}
}

void lt_live_add_wrong(struct lt_text *out, const struct lt_live *live, size_t limit)
{
	const struct lt_wrong_mate *wrong;
	const size_t count = lt_verify_wrong(lt_live_machine(live), &wrong);
	for (size_t i = 0; i < count && i < limit; i++) {
		const bool h = !is_made(live, wrong[i].h), m = !is_made(live, wrong[i].m);
		struct lt_text text = { 0 };
		lt_text_printf(&text, "WRONG MATE, not put right yet: %u%c on %u%c. Scan the ",
			wrong[i].h, lt_side_letter(wrong[i].h_side), wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
		if (h && m)
			lt_text_printf(&text, "pairs of %u and %u.", wrong[i].h, wrong[i].m);
		else
			lt_text_printf(&text, "pair of %u.", h ? wrong[i].h : wrong[i].m);
		lt_live_add(out, live, LIVE_WRONG, "!!  ", lt_text_string(&text), 0);
		lt_text_finish(&text);
	}
	if (count > limit)
		lt_live_addf(out, live, LIVE_WRONG, "!!  ",
			"and %zu more wrong mates; the word status lists them.", count - limit);
	add_strays(out, live);
	if (lt_live_stage(live) >= LT_STAGE_RECONNECT) {
		add_wrong_stickers(out, live, LT_STAGE_TAG);
		add_wrong_stickers(out, live, LT_STAGE_SWAP);
	}
}

static void add_skipped(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	struct lt_text list = { 0 };
	for (size_t i = 0; i < plan->joint_count; i++) {
		const size_t joint = plan->order[i];
		const unsigned number = plan->joints[joint].number;
		if (lt_verify_skipped(lt_live_machine(live), joint))
			lt_text_printf(&list, "%s%u (%s)", list.length > 0 ? ", " : "", number,
				lt_live_reason(live, joint));
	}
	if (list.length > 0)
		lt_live_add(out, live, LIVE_WAIT, "Skipped: ", lt_text_string(&list), 2);
	lt_text_finish(&list);
}

static void add_tags_of(struct lt_text *out, const struct lt_live *live, size_t joint,
	const char *between)
{
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const unsigned number = plan->joints[joint].number;
	const enum lt_side mate =
		lt_mate_side(live->tags, lt_live_connector(live, joint), plan->stage);
	lt_text_printf(out, plan->stage == LT_STAGE_SWAP ? "%uX" : "%uH", number);
	if (mate != LT_SIDE_H)
		lt_text_printf(out, "%s%u%c", between, number, lt_side_letter(mate));
}

static void add_field(struct lt_text *out, const struct lt_live *live, const char *label,
	const char *text, enum tightness tightness)
{
	if (text != NULL && text[0] != '\0')
		lt_live_add(out, live, LIVE_PLAIN, label, text,
			tightness >= TIGHT_ONE_LINE_EACH ? 1 : 2);
}

/* What the joint goes on to. */
static void add_mate(struct lt_text *out, const struct lt_live *live, size_t connector,
	enum tightness tightness)
{
	const struct lt_harness *harness = live->tags->harness;
	const struct lt_connector *described = &harness->connectors[connector];
	if (described->component == LT_NONE)
		return;
	const struct lt_component *component = &harness->components[described->component];
	struct lt_text text = { 0 };
	lt_text_add(&text, lt_connector_mate_name(harness, connector));
	if (component->name != NULL)
		lt_text_printf(&text, " (%s)", component->id);
	if (described->port != NULL)
		lt_text_printf(&text, ", at %s", described->port);
	if (component->where != NULL)
		lt_text_printf(&text, ", %s", component->where);
	add_field(out, live, "    on      ", lt_text_string(&text), tightness);
	lt_text_finish(&text);
}

/* Joints with no number that come first: no scan can tell that they are open. */
static void add_first_by_eye(struct lt_text *out, const struct lt_live *live, size_t connector)
{
	const struct lt_indices *after = &live->tags->harness->connectors[connector].after;
	struct lt_text text = { 0 };
	for (size_t i = 0; i < after->count; i++) {
		if (live->tags->number_of[after->items[i]] != 0)
			continue;
		lt_text_add(&text, text.length > 0 ? ", " : "");
		lt_live_name(&text, live, after->items[i]);
	}
	if (text.length > 0)
		lt_live_add(out, live, LIVE_STRONG, "    First, by eye: ", lt_text_string(&text),
			2);
	lt_text_finish(&text);
}

static void add_cautions(struct lt_text *out, const struct lt_live *live, size_t joint)
{
	enum { MOST = 8 };
	const struct lt_plan *plan = lt_verify_plan(lt_live_machine(live));
	const struct lt_joint *described = &plan->joints[joint];
	const size_t connector = lt_live_connector(live, joint);
	unsigned like[MOST];
	size_t count = 0;
	if (plan->stage == LT_STAGE_RECONNECT)
		add_first_by_eye(out, live, connector);
	if (described->has_x && plan->stage == LT_STAGE_RECONNECT)
		lt_live_addf(out, live, LIVE_STRONG, "    ", "NEW PART: it carries %uM.",
			described->number);
	if (described->paper)
		lt_live_addf(out, live, LIVE_STRONG, "    ",
			"No room for a sticker: find it by the checklist, then type %uH and %u%c.",
			described->number, described->number,
			lt_side_letter(lt_mate_side(live->tags, connector, plan->stage)));
	if (live->lookalikes != NULL && *live->lookalikes != NULL)
		count = lt_tag_lookalikes(live->tags, *live->lookalikes, connector, like, MOST);
	if (count > 0) {
		struct lt_text text = { 0 };
		for (size_t i = 0; i < count && i < MOST; i++)
			lt_text_printf(&text, "%s%u", i > 0 ? ", " : "", like[i]);
		if (count > MOST)
			lt_text_printf(&text, " and %zu more", count - MOST);
		lt_text_add(&text, ": go by the number, not by the shape.");
		lt_live_add(out, live, LIVE_STRONG, "    Would also fit on ", lt_text_string(&text),
			2);
		lt_text_finish(&text);
	} else if (lt_fit_unknown(live->tags->harness, connector)) {
		lt_live_add(out, live, LIVE_PLAIN, "    ",
			"Fit unknown: it may go on other mates too. Go by the number.", 0);
	}
}

static void add_joint(struct lt_text *out, const struct lt_live *live, const char *label,
	size_t joint, enum tightness tightness)
{
	const size_t connector = lt_live_connector(live, joint);
	const struct lt_connector *described = &live->tags->harness->connectors[connector];
	struct lt_text text = { 0 };
	add_tags_of(&text, live, joint, " + ");
	lt_text_add(&text, "  ");
	lt_live_name(&text, live, connector);
	lt_live_add(out, live, LIVE_STRONG, label, lt_text_string(&text), 2);
	lt_text_clear(&text);
	if (live->options.terminal && tightness < TIGHT_NO_LARGE_NEXT) {
		add_tags_of(&text, live, joint, "+");
		lt_live_add_large(out, live, lt_text_string(&text));
		lt_text_clear(&text);
	}
	add_mate(out, live, connector, tightness);
	add_field(out, live, "    place   ", described->where, tightness);
	if (lt_live_stage(live) == LT_STAGE_UNPLUG)
		add_field(out, live, "    unlock  ", described->lock, tightness);
	if (lt_live_stage(live) == LT_STAGE_RECONNECT) {
		add_field(out, live, "    turned  ", described->orient, tightness);
		add_field(out, live, "    seats   ", described->seat, tightness);
	}
	if (tightness < TIGHT_BARE) {
		lt_connector_wires(&text, described);
		add_field(out, live, "    wires   ", lt_text_string(&text), tightness);
		add_field(out, live, "    note    ", described->note, tightness);
	}
	add_cautions(out, live, joint);
	lt_text_finish(&text);
}

/* The joint that is begun, else the one to make next. */
static void add_next(struct lt_text *out, const struct lt_live *live, enum tightness tightness)
{
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending(lt_live_machine(live), &number, &side)) {
		add_joint(out, live, "NOW   ", lt_verify_joint(lt_live_machine(live), number),
			tightness);
		return;
	}
	const size_t next = lt_verify_next(lt_live_machine(live));
	if (next != LT_NONE)
		add_joint(out, live, "NEXT  ", next, tightness);
	else if (lt_verify_pending_elsewhere(lt_live_machine(live), &number, &side, &station))
		lt_live_addf(out, live, LIVE_STRONG, "NEXT  ",
			"%u%c was read at another terminal, or before, and its other half was not: "
			"scan the pair of %u.",
			number, lt_side_letter(side), number);
	else if (lt_live_stage(live) == LT_STAGE_UNPLUG)
		lt_live_add(out, live, LIVE_STRONG, "NEXT  ",
			lt_verify_ok(lt_live_machine(live))
				? "All numbered joints are apart. Type next when the module is out."
				: "What is left is skipped, so it stays plugged in. Type next when the "
				  "module is out.",
			0);
	else
		lt_live_add(out, live, LIVE_STRONG, "NEXT  ",
			"All that is left is skipped, or waits for a joint that is. Scan one when it "
			"can be made after all, or type quit.",
			0);
}

static size_t line_count(const struct lt_text *text)
{
	size_t count = 0;
	for (size_t i = 0; i < text->length; i++)
		count += text->bytes[i] == '\n';
	return count;
}

static void compose(struct lt_text *out, const struct lt_live *live, const struct live_said *said,
	enum tightness tightness)
{
	enum { WRONG_MOST = 4 };
	const char *between =
		live->options.terminal && tightness < TIGHT_NO_BLANK_LINES ? "\n" : "";
	if (live->options.terminal)
		lt_live_add_head(out, live);
	lt_text_add(out, between);
	if (live->options.terminal && tightness < TIGHT_NO_LARGE_TAGS)
		add_large_said(out, live, said);
	lt_live_add_said(out, live, said);
	lt_live_add_wrong(out, live, tightness >= TIGHT_BARE ? 1 : WRONG_MOST);
	lt_text_add(out, between);
	add_progress(out, live);
	/* What is to be taken apart is not to be mixed up with what comes next. */
	const bool wrong = said->word != NULL && said->tone == LT_TONE_WRONG;
	add_next(out, live,
		wrong && tightness < TIGHT_NO_LARGE_NEXT ? TIGHT_NO_LARGE_NEXT : tightness);
	add_skipped(out, live);
	lt_text_add(out, between);
}

void lt_live_draw(const struct lt_live *live, const struct live_said *said)
{
	struct lt_text body = { 0 }, screen = { 0 };
	const size_t rows = lt_live_rows(live);
	for (int step = TIGHT_NOT; step < TIGHT_STEPS; step++) {
		lt_text_clear(&body);
		compose(&body, live, said, (enum tightness)step);
		/* The prompt takes the last row. */
		if (!live->options.terminal || line_count(&body) < rows)
			break;
	}
	lt_live_clear(&screen, live);
	lt_text_add_bytes(&screen, lt_text_string(&body), body.length);
	if (live->options.terminal && live->options.bell && said->words.length > 0 &&
		said->tone == LT_TONE_WRONG)
		lt_text_add_char(&screen, '\a');
	lt_live_show(live, &screen);
	lt_text_finish(&screen);
	lt_text_finish(&body);
}

void lt_live_prompt(const struct lt_live *live, const char *prompt)
{
	if (!live->options.terminal)
		return;
	fputs(prompt, live->out);
	fflush(live->out);
}
