#include "live_screen.h"

/* How a joint stands: "made", "skipped: latch broken", "waits for 7", "12H read", "open". */
static void add_standing(struct lt_text *out, const struct lt_live *live, size_t joint)
{
	const struct lt_verify *verify = live->verify;
	const unsigned number = lt_verify_plan(verify)->joints[joint].number;
	const unsigned blocked_by = lt_verify_blocked_by(verify, joint);
	unsigned pending;
	enum lt_side side;
	if (lt_verify_made(verify, joint))
		lt_text_add(out, "made");
	else if (lt_verify_skipped(verify, joint))
		lt_text_printf(out, "skipped: %s", lt_verify_log_reason(live->log, number));
	else if (lt_verify_pending(verify, &pending, &side) && pending == number)
		lt_text_printf(out, "open, only %u%c read", number, lt_side_letter(side));
	else if (blocked_by != 0)
		lt_text_printf(out, "open, waits for %u", blocked_by);
	else
		lt_text_add(out, "open");
}

void live_add_joints(struct lt_text *out, const struct lt_live *live, bool only_open)
{
	const struct lt_plan *plan = lt_verify_plan(live->verify);
	struct lt_text line = { 0 };
	for (size_t i = 0; i < plan->joint_count; i++) {
		const size_t joint = plan->order[i];
		const bool made = lt_verify_made(live->verify, joint);
		if (made && only_open)
			continue;
		char label[32];
		snprintf(label, sizeof(label), "  [%c] %5u  ", made ? 'x' : ' ',
			plan->joints[joint].number);
		lt_text_clear(&line);
		live_name(&line, live, live_connector(live, joint));
		lt_text_add(&line, ": ");
		add_standing(&line, live, joint);
		live_add(out, live, LIVE_PLAIN, label, lt_text_string(&line), 0);
	}
	lt_text_finish(&line);
}

/* Joints with no number. */
static void add_by_eye(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_tags *tags = live->tags;
	const struct lt_harness *harness = tags->harness;
	bool any = false;
	struct lt_text line = { 0 };
	for (size_t i = 0; i < harness->connector_count; i++) {
		const size_t connector = harness->order[i];
		const struct lt_connector *described = &harness->connectors[connector];
		if (tags->number_of[connector] != 0)
			continue;
		if (!any)
			live_add(out, live, LIVE_STRONG, "",
				"No number, nothing scanned. Check these by eye and tick them:", 0);
		any = true;
		lt_text_clear(&line);
		live_name(&line, live, connector);
		if (described->where != NULL)
			lt_text_printf(&line, ", %s", described->where);
		if (described->seat != NULL)
			lt_text_printf(&line, ": %s", described->seat);
		live_add(out, live, LIVE_PLAIN, "  [ ] ", lt_text_string(&line), 0);
	}
	lt_text_finish(&line);
}

static void add_finish(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	if (harness->finish_count > 0)
		live_add(out, live, LIVE_STRONG, "", "To finish:", 0);
	for (size_t i = 0; i < harness->finish_count; i++)
		live_add(out, live, LIVE_PLAIN, "  [ ] ", harness->finish[i].text, 0);
}

static void add_restore(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_harness *harness = live->tags->harness;
	if (harness->hazard_count > 0)
		live_add(out, live, LIVE_STRONG, "",
			"Last, with tools out, covers closed and everyone told, as local codes and "
			"your permit to work ask. Restore:",
			0);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		live_addf(out, live, LIVE_PLAIN, "  [ ] ", "%s%s%s", hazard->energy,
			hazard->restore != NULL ? ": " : "",
			hazard->restore != NULL ? hazard->restore : "");
	}
}

static void add_typed(struct lt_text *out, const struct lt_live *live)
{
	const size_t typed = lt_verify_typed_count(live->verify);
	if (typed > 0)
		live_addf(out, live, LIVE_WAIT, "",
			"%zu of the joints made: typed by hand, not scanned.", typed);
}

static void add_unit_caution(struct lt_text *out, const struct lt_live *live)
{
	if (live->tags->harness->unit == NULL)
		live_add(out, live, LIVE_WAIT, "",
			"No unit was given: stickers of two like modules could not be told apart.",
			0);
}

static void add_made(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_plan *plan = lt_verify_plan(live->verify);
	const char *code = live->tags->harness->code;
	if (plan->joint_count == 0)
		live_addf(out, live, LIVE_WAIT, "",
			"%s has no joint with a number: nothing to scan.", code);
	else if (plan->stage == LT_STAGE_TAG)
		live_addf(out, live, LIVE_GOOD, "",
			"All %zu numbered joints of %s gave a right pair. Unplug in the order of the "
			"checklist.",
			plan->joint_count, code);
	else
		live_addf(out, live, LIVE_GOOD, "",
			"All %zu numbered joints of %s gave a right pair. A scan does not show that a "
			"joint is seated: each one pulled gently, and ticked?",
			plan->joint_count, code);
}

static void add_missing(struct lt_text *out, const struct lt_live *live)
{
	const struct lt_plan *plan = lt_verify_plan(live->verify);
	const struct lt_wrong_mate *wrong;
	live_addf(out, live, LIVE_WRONG, "",
		"NOT ALL MADE: %zu of %zu. Missing:", lt_verify_made_count(live->verify),
		plan->joint_count);
	live_add_joints(out, live, true);
	live_add_wrong(out, live, lt_verify_wrong(live->verify, &wrong));
}

void live_add_end(struct lt_text *out, const struct lt_live *live)
{
	const bool made = lt_verify_ok(live->verify);
	const bool tag_stage = lt_verify_plan(live->verify)->stage == LT_STAGE_TAG;
	if (made)
		add_made(out, live);
	else
		add_missing(out, live);
	add_typed(out, live);
	add_unit_caution(out, live);
	add_by_eye(out, live);
	if (made && !tag_stage) {
		add_finish(out, live);
		add_restore(out, live);
	}
}
