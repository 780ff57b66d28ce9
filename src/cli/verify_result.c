/* The result of a verification, in words and as JSON. */
#include <stdio.h>
#include <string.h>

#include "cli/terminal.h"
#include "cli/verification.h"
#include "loomtag/words.h"

/* What is printed. */
struct result {
	const struct verification *verification;
	const struct lt_job_state *state;
	enum lt_stage stage;
	const struct lt_plan *plan;
	const struct lt_verify *machine; /* of the stage; at stage finish that of reconnect */
	bool yes;                        /* the answer */
	unsigned no;                     /* why not */
};

/* The numbers of joints that are made or not; of those asked for, or of those that are not, since
 * they were left plugged in. */
static json_t *numbers_json(const struct result *result, bool made, bool needed)
{
	json_t *list = json_array();
	for (size_t i = 0; i < result->plan->joint_count; i++) {
		if (lt_verify_made(result->machine, i) == made &&
			lt_verify_needed(result->machine, i) == needed)
			json_array_append_new(list, json_integer(result->plan->joints[i].number));
	}
	return list;
}

static json_t *wrong_json(const struct result *result)
{
	const struct lt_wrong_mate *wrong;
	size_t count = lt_verify_wrong(result->machine, &wrong);
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

/* Perhaps given at another terminal, or earlier. */
static const char *skip_reason(const struct result *result, size_t joint)
{
	return lt_live_reason(result->verification->work, result->plan->stage, joint);
}

static json_t *skipped_json(const struct result *result)
{
	json_t *list = json_array();
	for (size_t i = 0; i < result->plan->joint_count; i++) {
		unsigned number = result->plan->joints[i].number;
		if (!lt_verify_skipped(result->machine, i))
			continue;
		json_array_append_new(list, json_pack("{s:I, s:s}", "number", (json_int_t)number,
						    "reason", skip_reason(result, i)));
	}
	return list;
}

static json_t *unnumbered_json(const struct result *result)
{
	const struct lt_session *session = result->verification->session;
	json_t *list = json_array();
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			json_array_append_new(list, json_string(session->harness.connectors[i].id));
	}
	return list;
}

/* What removed joints left behind and nobody has resolved: tags, as typed on the live screen. */
static json_t *unsettled_json(const struct result *result)
{
	json_t *list = json_array();
	const struct lt_job_stray *strays;
	const size_t count = lt_job_state_strays(result->state, &strays);
	for (size_t i = 0; i < count; i++)
		if (strays[i].settled == LT_NONE)
			json_array_append_new(list, json_string(strays[i].tags));
	return list;
}

static json_t *events_json(const struct result *result)
{
	const struct verification *verification = result->verification;
	json_t *list = json_array();
	size_t count;
	const struct lt_job_event *events = lt_work_events(verification->work, &count);
	for (size_t i = 0; i < verification->scans.count; i++) {
		const struct lt_live_scan *scan = &verification->scans.rows[i];
		const struct lt_job_event *event = &events[scan->event];
		json_t *row = json_pack("{s:I, s:s, s:s?, s:s}", "line", (json_int_t)scan->line,
			"scan", event->text, "tag", event->tag, "verdict", event->verdict);
		if (scan->undone)
			json_object_set_new(row, "undone", json_true());
		if (verification->photos != NULL)
			json_object_set(row, "photo",
				json_object_get(json_array_get(verification->photos,
							scan->line - 1),
					"photo"));
		json_array_append_new(list, row);
	}
	return list;
}

static int print_result_json(const struct result *result)
{
	const struct lt_verify *machine = result->machine;
	json_t *json = json_pack("{s:s, s:s, s:b, s:o, s:o, s:o, s:o, s:o, s:I, s:o}", "code",
		result->plan->code, "stage", lt_stage_name(result->stage), "ok", result->yes,
		"mated", numbers_json(result, true, true), "missing",
		numbers_json(result, false, true), "wrong", wrong_json(result), "skipped",
		skipped_json(result), "unnumbered", unnumbered_json(result), "typed",
		(json_int_t)lt_verify_typed_count(machine), "events", events_json(result));
	if (lt_work_job(result->verification->work) != 0) {
		json_object_set_new(json, "left", numbers_json(result, true, false));
		json_object_set_new(json, "unsettled", unsettled_json(result));
	}
	if (result->verification->photos != NULL)
		json_object_set(json, "photos", result->verification->photos);
	return lt_print_json(json);
}

/* Prints a line, cleaned of what could drive a terminal, and empties it. */
static void print_line(struct lt_text *line)
{
	lt_print_clean("%s\n", lt_text_string(line));
	lt_text_clear(line);
}

/* "motor power (X1), left gearbox", each as far as it is described. */
static void add_name(struct lt_text *out, const char *name, const char *id, const char *place)
{
	if (name != NULL)
		lt_text_printf(out, "%s (%s)", name, id);
	else
		lt_text_add(out, id);
	if (place != NULL)
		lt_text_printf(out, ", %s", place);
}

static void print_missing(const struct result *result)
{
	const struct lt_tags *tags = &result->verification->session->tags;
	struct lt_text line = { 0 };
	for (size_t i = 0; i < result->plan->joint_count; i++) {
		if (lt_verify_made(result->machine, i) || !lt_verify_needed(result->machine, i))
			continue;
		const struct lt_job_joint *joint = lt_job_state_joint(result->state, i);
		const size_t index = lt_work_connector(result->verification->work, i);
		lt_text_printf(&line, "%s %5u  ", lt_result_words.missing_row, joint->number);
		add_name(&line, joint->name, joint->id,
			index != LT_NONE ? tags->harness->connectors[index].where : NULL);
		lt_text_add(&line, ": ");
		lt_words_joint_state(&line, result->machine, i, skip_reason(result, i));
		print_line(&line);
	}
	lt_text_finish(&line);
}

/* Joints that were left plugged in are not asked for: they are named instead. */
static void print_left(const struct result *result)
{
	const struct lt_tags *tags = &result->verification->session->tags;
	struct lt_text left = { 0 }, line = { 0 };
	if (lt_live_left(&left, result->machine, tags->number_max) > 0) {
		lt_words_not_asked(&line, lt_text_string(&left));
		print_line(&line);
	}
	lt_text_finish(&line);
	lt_text_finish(&left);
}

static void print_by_eye(const struct result *result)
{
	const struct lt_session *session = result->verification->session;
	struct lt_text line = { 0 };
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		const struct lt_connector *connector = &session->harness.connectors[i];
		if (session->tags.number_of[i] != 0)
			continue;
		lt_text_printf(&line, "%s  ", lt_result_words.eye_row);
		add_name(&line, connector->name, connector->id, connector->where);
		print_line(&line);
	}
	lt_text_finish(&line);
}

/* A joint that is to stay plugged in. */
static bool has_skipped(const struct result *result)
{
	for (size_t i = 0; i < result->plan->joint_count; i++)
		if (lt_verify_skipped(result->machine, i))
			return true;
	return false;
}

static const char *answer_of(const struct result *result)
{
	if (!result->yes && result->no == 0)
		return lt_result_words.no_scan;
	return lt_result_answer(result->no, result->stage, has_skipped(result));
}

/* Wrong mates of an earlier stage of the job: they keep this one from being yes. */
static void print_wrong_stickers(const struct result *result)
{
	static const enum lt_stage stages[] = { LT_STAGE_TAG, LT_STAGE_SWAP };
	struct lt_text line = { 0 };
	if (result->stage < LT_STAGE_RECONNECT)
		return;
	for (size_t i = 0; i < 2; i++) {
		const struct lt_wrong_mate *wrong;
		const size_t count =
			lt_verify_wrong(lt_job_state_machine(result->state, stages[i]), &wrong);
		for (size_t k = 0; k < count; k++) {
			lt_words_wrong_stickers(&line, &wrong[k], stages[i]);
			print_line(&line);
		}
	}
	lt_text_finish(&line);
}

/* What removed joints left behind. */
static void print_strays(const struct result *result)
{
	const struct lt_job_stray *strays;
	struct lt_text line = { 0 };
	const size_t count = lt_job_state_strays(result->state, &strays);
	for (size_t i = 0; i < count; i++) {
		if (strays[i].settled != LT_NONE)
			continue;
		lt_words_stray(&line, &strays[i]);
		print_line(&line);
	}
	lt_text_finish(&line);
}

static void print_pending(const struct result *result)
{
	unsigned number, station;
	enum lt_side side;
	struct lt_text line = { 0 };
	if (lt_verify_pending_elsewhere(result->machine, &number, &side, &station)) {
		lt_words_half_pair(&line, number, side, station);
		print_line(&line);
	}
	if (lt_verify_pending(result->machine, &number, &side)) {
		lt_words_half_pair(&line, number, side, 0);
		print_line(&line);
	}
	lt_text_finish(&line);
}

static void print_wrong(const struct result *result)
{
	const struct lt_wrong_mate *wrong;
	const struct lt_live_scans *scans = &result->verification->scans;
	const char *key = lt_verdict_name(LT_VERDICT_WRONG_MATE);
	size_t count, seen = 0;
	struct lt_text line = { 0 };
	const struct lt_job_event *events = lt_work_events(result->verification->work, &count);
	const size_t wrong_count = lt_verify_wrong(result->machine, &wrong);
	for (size_t i = 0; i < wrong_count; i++) {
		lt_words_wrong_mate(&line, result->machine, &wrong[i]);
		print_line(&line);
	}
	for (size_t i = 0; i < scans->count; i++)
		seen += strcmp(events[scans->rows[i].event].verdict, key) == 0;
	if (seen > 0 && wrong_count == 0) {
		lt_words_resolved(&line, seen);
		print_line(&line);
	}
	lt_text_finish(&line);
}

static void print_counts(const struct result *result)
{
	const size_t typed = lt_verify_typed_count(result->machine);
	struct lt_text line = { 0 };
	lt_words_result_count(&line, result->plan->code, result->stage,
		lt_verify_made_count(result->machine), lt_verify_needed_count(result->machine));
	print_line(&line);
	if (typed > 0) {
		lt_words_typed(&line, typed);
		print_line(&line);
	}
	lt_text_finish(&line);
}

static void print_no_stickers(const struct lt_session *session)
{
	struct lt_text line = { 0 };
	if (!session->tags.none_printed)
		return;
	lt_words_print_first(&line, session->path);
	print_line(&line);
	lt_text_finish(&line);
}

static void print_result(const struct result *result)
{
	print_wrong(result);
	print_wrong_stickers(result);
	print_strays(result);
	print_pending(result);
	print_missing(result);
	if (result->stage == LT_STAGE_RECONNECT)
		print_left(result);
	print_by_eye(result);
	print_counts(result);
	if (result->stage == LT_STAGE_TAG)
		print_no_stickers(result->verification->session);
	if (lt_harness_unit_missing(&result->verification->session->harness))
		puts(lt_result_words.no_unit);
	puts(answer_of(result));
}

int lt_verification_print_result(struct verification *verification)
{
	struct lt_session *session = verification->session;
	const struct options *options = verification->options;
	struct result result = { .verification = verification };
	enum lt_stage stage = lt_job_state_stage(lt_work_state(verification->work));
	int code = EXIT_YES;
	if (!lt_work_answer(&result.no, verification->work, stage, verification->diags))
		return lt_session_fail(session, EXIT_SYSTEM);
	result.yes = result.no == 0 && !verification->left;
	result.state = lt_work_state(verification->work);
	result.stage = stage;
	result.machine = lt_job_state_machine(result.state,
		stage == LT_STAGE_FINISH ? LT_STAGE_RECONNECT : stage);
	result.plan = lt_verify_plan(result.machine);
	lt_session_print_diags(session);
	if (options->json) {
		code = print_result_json(&result);
		if (lt_harness_unit_missing(&session->harness))
			fprintf(stderr, "%s\n", lt_result_words.no_unit);
	} else if (!options->quiet) {
		print_result(&result);
	}
	if (code != EXIT_YES)
		return code;
	return result.yes ? EXIT_YES : EXIT_NO;
}
