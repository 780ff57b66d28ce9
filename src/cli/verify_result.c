/* How a verification ended, in words and as JSON. */
#include "verify_result.h"

#include <stdio.h>

#include "terminal.h"
#include "verify_photos.h"

/* The numbers of joints that are made or not; of those asked for, or of those that are not, since
 * they were left plugged in. */
static json_t *numbers_json(const struct verification *verification, bool made, bool needed)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		if (lt_verify_made(verification->machine, i) == made &&
			lt_verify_needed(verification->machine, i) == needed)
			json_array_append_new(list,
				json_integer(verification->plan.joints[i].number));
	}
	return list;
}

static json_t *wrong_json(const struct verification *verification)
{
	const struct lt_wrong_mate *wrong;
	size_t count = lt_verify_wrong(verification->machine, &wrong);
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++) {
		char h[LT_TAG_SIZE];
		char m[LT_TAG_SIZE];
		lt_tag_write(h, wrong[i].h, wrong[i].h_side);
		lt_tag_write(m, wrong[i].m, wrong[i].mate_side);
		json_array_append_new(list, json_pack("[s, s]", h, m));
	}
	return list;
}

/* The reason given last for skipping a joint; in a job perhaps by somebody else, or earlier. NULL
 * where there is none. */
static const char *skip_reason(const struct verification *verification, unsigned number)
{
	const enum lt_stage stage = lt_verify_plan(verification->machine)->stage;
	size_t count;
	if (verification->work == NULL)
		return lt_verify_log_reason(&verification->log, number);
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	while (count-- > 0)
		if (events[count].kind == LT_JOB_SKIP && events[count].number == number &&
			events[count].stage == stage)
			return events[count].text;
	return NULL;
}

static json_t *skipped_json(const struct verification *verification)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		unsigned number = verification->plan.joints[i].number;
		if (!lt_verify_skipped(verification->machine, i))
			continue;
		const char *reason = skip_reason(verification, number);
		json_array_append_new(list, json_pack("{s:I, s:s}", "number", (json_int_t)number,
						    "reason", reason != NULL ? reason : ""));
	}
	return list;
}

static json_t *unnumbered_json(const struct verification *verification)
{
	const struct session *session = verification->session;
	json_t *list = json_array();
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			json_array_append_new(list, json_string(session->harness.connectors[i].id));
	}
	return list;
}

static json_t *events_json(const struct verification *verification)
{
	json_t *list = json_array();
	for (size_t i = 0; i < verification->log.event_count; i++) {
		const struct lt_event *event = &verification->log.events[i];
		json_t *tag = json_null();
		if (event->answer.has_tag) {
			char text[LT_TAG_SIZE];
			lt_tag_write(text, event->answer.number, event->answer.side);
			tag = json_string(text);
		}
		json_t *row = json_pack("{s:I, s:s, s:o, s:s}", "line", (json_int_t)event->line,
			"scan", event->scan, "tag", tag, "verdict",
			lt_verdict_name(event->answer.verdict));
		if (event->undone)
			json_object_set_new(row, "undone", json_true());
		if (verification->photos != NULL)
			json_object_set_new(row, "photo", verify_photo_of(verification, event));
		json_array_append_new(list, row);
	}
	return list;
}

/* All is made, and there was something to make. */
bool verification_answer(const struct verification *verification)
{
	const struct lt_verify *machine = verification->machine;
	if (verification->plan.joint_count == 0)
		return false;
	if (verification->plan.stage == LT_STAGE_UNPLUG) {
		/* What is skipped was said to stay plugged in. */
		for (size_t i = 0; i < verification->plan.joint_count; i++)
			if (!lt_verify_made(machine, i) && !lt_verify_skipped(machine, i))
				return false;
		return true;
	}
	return verification->work != NULL ? lt_job_state_ok(lt_work_state(verification->work),
						    verification->plan.stage)
					  : lt_verify_ok(verification->machine);
}

int verification_print_json(const struct verification *verification)
{
	const struct lt_verify *machine = verification->machine;
	json_t *result = json_pack("{s:s, s:s, s:b, s:o, s:o, s:o, s:o, s:o, s:I, s:o}", "code",
		verification->plan.code, "stage", lt_stage_name(verification->plan.stage), "ok",
		verification_answer(verification), "mated", numbers_json(verification, true, true),
		"missing", numbers_json(verification, false, true), "wrong",
		wrong_json(verification), "skipped", skipped_json(verification), "unnumbered",
		unnumbered_json(verification), "typed", (json_int_t)lt_verify_typed_count(machine),
		"events", events_json(verification));
	if (verification->work != NULL)
		json_object_set_new(result, "left", numbers_json(verification, true, false));
	if (verification->photos != NULL)
		json_object_set(result, "photos", verification->photos);
	return print_json(result);
}

/* Every answer that asks for something, with the line of the scan. */
void verification_print_answers(const struct verification *verification)
{
	struct lt_text words = { 0 };
	for (size_t i = 0; i < verification->log.event_count; i++) {
		const struct lt_event *event = &verification->log.events[i];
		if (lt_verdict_tone(event->answer.verdict) != LT_TONE_WRONG)
			continue;
		lt_text_clear(&words);
		lt_answer_words(&words, &event->answer, &verification->session->tags,
			verification->plan.stage);
		print_clean("scan %-4u  %-12s  %-12s  %s\n", event->line,
			lt_verdict_name(event->answer.verdict), event->scan,
			lt_text_string(&words));
	}
	lt_text_finish(&words);
}

static void print_missing(const struct verification *verification)
{
	const struct lt_tags *tags = &verification->session->tags;
	for (size_t i = 0; i < verification->plan.joint_count; i++) {
		if (lt_verify_made(verification->machine, i) ||
			!lt_verify_needed(verification->machine, i))
			continue;
		size_t index = verification->connectors[i];
		const struct lt_connector *connector = &tags->harness->connectors[index];
		unsigned number = verification->plan.joints[i].number;
		print_clean("missing %5u  %s", number,
			connector->name != NULL ? connector->name : connector->id);
		if (connector->where != NULL)
			print_clean(", %s", connector->where);
		if (lt_verify_skipped(verification->machine, i)) {
			const char *reason = skip_reason(verification, number);
			print_clean(" (skipped: %s)", reason != NULL ? reason : "no reason given");
		}
		printf("\n");
	}
}

/* Joints that nobody noted as apart are not asked for: they are named instead. */
static void print_left(const struct verification *verification)
{
	const struct lt_verify *machine = verification->machine;
	size_t count = 0;
	for (unsigned number = 1; number <= verification->session->tags.number_max; number++) {
		const size_t joint = lt_verify_joint(machine, number);
		if (joint != LT_NONE && !lt_verify_needed(machine, joint))
			printf("%s%u", count++ > 0 ? ", " : "not asked for  ", number);
	}
	if (count > 0)
		puts(": not noted as apart; look at them");
}

static void print_by_eye(const struct verification *verification)
{
	const struct session *session = verification->session;
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		const struct lt_connector *connector = &session->harness.connectors[i];
		if (session->tags.number_of[i] == 0)
			print_clean("by eye         %s\n",
				connector->name != NULL ? connector->name : connector->id);
	}
}

static const char *last_words(const struct verification *verification)
{
	static const char *const no[LT_STAGE_COUNT] = { "NO: not everything is checked.",
		"NO: not everything is apart.", "NO: not every new part is proven.",
		"NO: not everything is made.", "NO: not everything is ticked." };
	static const char *const yes[LT_STAGE_COUNT] = {
		"yes: every pair belongs together. That each is on its own joint is for you to see.",
		"yes: everything is apart.",
		"yes: every new part carries the number of the old one. That it sits alike is for you to see.",
		"yes: every pair belongs together. Seated, the right way round: that is for you to see.",
		"yes: everything is ticked.",
	};
	const enum lt_stage stage = verification->plan.stage;
	if (verification->plan.joint_count == 0)
		return "NO: no joint has a number, so no scan could prove anything.";
	if (!verification_answer(verification) &&
		lt_verify_made_count(verification->machine) ==
			lt_verify_needed_count(verification->machine))
		return "NO: something above is not put right.";
	return (verification_answer(verification) ? yes : no)[stage];
}

/* Wrong mates of an earlier stage of the job: they keep this one from being yes. */
static void print_wrong_stickers(const struct verification *verification)
{
	static const enum lt_stage stages[] = { LT_STAGE_TAG, LT_STAGE_SWAP };
	if (verification->work == NULL || verification->plan.stage < LT_STAGE_RECONNECT)
		return;
	for (size_t i = 0; i < 2; i++) {
		const struct lt_wrong_mate *wrong;
		const size_t count =
			lt_verify_wrong(lt_job_state_machine(lt_work_state(verification->work),
						stages[i]),
				&wrong);
		for (size_t k = 0; k < count; k++)
			printf("wrong stickers %u%c with %u%c, found at stage %s and not put right\n",
				wrong[k].h, lt_side_letter(wrong[k].h_side), wrong[k].m,
				lt_side_letter(wrong[k].mate_side), lt_stage_name(stages[i]));
	}
}

void verification_print(const struct verification *verification)
{
	const struct lt_wrong_mate *wrong;
	size_t wrong_count = lt_verify_wrong(verification->machine, &wrong);
	for (size_t i = 0; i < wrong_count; i++)
		printf("wrong mate     %u%c with %u%c\n", wrong[i].h,
			lt_side_letter(wrong[i].h_side), wrong[i].m,
			lt_side_letter(wrong[i].mate_side));
	size_t seen = 0;
	for (size_t i = 0; i < verification->log.event_count; i++)
		seen += verification->log.events[i].answer.verdict == LT_VERDICT_WRONG_MATE;
	if (seen > 0 && wrong_count == 0)
		printf("put right      %zu wrong mate%s: look at those joints for damage\n", seen,
			seen == 1 ? "" : "s");
	print_wrong_stickers(verification);
	unsigned number, station;
	enum lt_side side;
	if (lt_verify_pending_elsewhere(verification->machine, &number, &side, &station))
		printf("half a pair    %u%c was scanned at terminal %u, and its other half was not\n",
			number, lt_side_letter(side), station);
	if (lt_verify_pending(verification->machine, &number, &side))
		printf("half a pair    %u%c was scanned last, and its other half was not\n", number,
			lt_side_letter(side));
	print_missing(verification);
	if (verification->plan.stage == LT_STAGE_RECONNECT)
		print_left(verification);
	print_by_eye(verification);
	size_t made = lt_verify_made_count(verification->machine);
	static const char *const what[LT_STAGE_COUNT] = { "checked", "apart", "proven", "made",
		"made" };
	print_clean("%s, stage %s: %zu of %zu numbered joints %s", verification->plan.code,
		lt_stage_name(verification->plan.stage), made,
		lt_verify_needed_count(verification->machine), what[verification->plan.stage]);
	size_t typed = lt_verify_typed_count(verification->machine);
	if (typed > 0)
		printf(", %zu of them by tags typed by hand", typed);
	printf("\n");
	if (verification->session->harness.unit == NULL)
		printf("no unit given: stickers of two like modules could not be told apart\n");
	puts(last_words(verification));
}
