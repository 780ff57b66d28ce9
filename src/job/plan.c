/* The plan of a job: made from a description, written, read, and given to the machines. */
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "job/plan.h"

#define NUMBER_MOST 99999

static const char *const line_kinds[LT_JOB_LINE_KINDS] = { "eye", "finish", "hazard" };
static const char *const tag_words[] = {
	[LT_MARK_STICKER] = "sticker", [LT_MARK_PAPER] = "paper", [LT_MARK_NONE] = "none"
};

/* Made. */

static int compare_indices(const void *a, const void *b)
{
	const size_t first = *(const size_t *)a, second = *(const size_t *)b;
	return (first > second) - (first < second);
}

/* The joints before one, ascending, each as `called` has it; NULL: as it is. */
static const size_t *sort_after(struct lt_arena *arena, const size_t *after, size_t count,
	const size_t *called)
{
	size_t *items = lt_arena_array(arena, count, sizeof(*items));
	for (size_t k = 0; k < count; k++)
		items[k] = called != NULL ? called[after[k]] : after[k];
	qsort(items, count, sizeof(*items), compare_indices);
	return items;
}

static void make_joint(struct lt_job_joint *out, struct lt_arena *arena, const struct lt_tags *tags,
	size_t index)
{
	const struct lt_harness *harness = tags->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	*out = (struct lt_job_joint){
		.id = connector->id,
		.was = connector->was,
		.name = connector->name,
		.kind = lt_kind_name(connector->kind),
		.mate = connector->component != LT_NONE
				? harness->components[connector->component].id
				: NULL,
		.port = connector->port,
		.number = tags->number_of[index],
		.sides = connector->sides,
		.marking = connector->marking,
		.replaced = lt_connector_replaced(harness, index),
		.x_printed = tags->x_printed != NULL && tags->x_printed[index],
		.m_is_old = tags->m_is_old != NULL && tags->m_is_old[index],
		.after = sort_after(arena, connector->after.items, connector->after.count, NULL),
		.after_count = connector->after.count,
	};
}

static struct lt_job_line *add_line(struct lt_job_plan *out, enum lt_job_line_kind kind,
	const char *text)
{
	out->lines[out->line_count] = (struct lt_job_line){ .kind = kind, .text = text };
	return &out->lines[out->line_count++];
}

/* Energy is restored last, when nobody has anything to do in there any more
 * (29 CFR 1910.147 (e)), and what was isolated first is restored last (common practice). */
static void make_lines(struct lt_job_plan *out, struct lt_arena *arena,
	const struct lt_harness *harness)
{
	out->lines = lt_arena_array(arena,
		harness->hazard_count + harness->finish_count + harness->connector_count,
		sizeof(*out->lines));
	for (size_t i = 0; i < out->joint_count; i++) {
		const char *id = out->joints[i].id, *name = out->joints[i].name;
		if (out->joints[i].number == 0)
			add_line(out, LT_JOB_LINE_EYE,
				lt_arena_printf(arena, "%s%s%s: looked at; it has no number", id,
					name != NULL ? ", " : "", name != NULL ? name : ""));
	}
	for (size_t i = 0; i < harness->finish_count; i++)
		add_line(out, LT_JOB_LINE_FINISH, harness->finish[i].text);
	for (size_t i = harness->hazard_count; i > 0; i--) {
		const char *energy = harness->hazards[i - 1].energy;
		const char *restore = harness->hazards[i - 1].restore;
		struct lt_job_line *line = add_line(out, LT_JOB_LINE_HAZARD,
			lt_arena_printf(arena, "%s: restored%s%s", energy,
				restore != NULL ? ": " : "", restore != NULL ? restore : ""));
		line->energy = energy;
		line->restore = restore;
	}
}

void lt_job_plan_make(struct lt_job_plan *out, struct lt_arena *arena, const struct lt_tags *tags)
{
	const struct lt_harness *harness = tags->harness;
	*out = (struct lt_job_plan){ .code = harness->code,
		.joint_count = harness->connector_count };
	out->joints = lt_arena_array(arena, out->joint_count, sizeof(*out->joints));
	for (size_t i = 0; i < out->joint_count; i++) {
		make_joint(&out->joints[i], arena, tags, i);
		out->numbered += out->joints[i].number != 0;
	}
	make_lines(out, arena, harness);
}

/* Written. */

static json_t *true_or_none(bool value)
{
	return value ? json_true() : NULL;
}

/* What is NULL is left out. */
static json_t *joint_json(const struct lt_job_joint *joint)
{
	json_t *after = joint->after_count > 0 ? json_array() : NULL;
	json_t *number = joint->number != 0 ? json_integer((json_int_t)joint->number) : NULL;
	for (size_t k = 0; k < joint->after_count; k++)
		json_array_append_new(after, json_integer((json_int_t)joint->after[k]));
	return json_pack(
		"{s:s, s:o*, s:s*, s:s, s:s*, s:s*, s:i, s:s, s:o*, s:s*, s:s*, s:o*, s:o*}", "id",
		joint->id, "number", number, "name", joint->name, "kind", joint->kind, "mates",
		joint->mate, "port", joint->port, "sides", (int)joint->sides, "tag",
		tag_words[joint->marking], "after", after, "fate",
		joint->replaced ? "replace" : NULL, "was", joint->was, "x_printed",
		true_or_none(joint->x_printed), "m_is_old", true_or_none(joint->m_is_old));
}

static json_t *line_json(const struct lt_job_line *line)
{
	return json_pack("{s:s, s:s, s:s*, s:s*}", "kind", line_kinds[line->kind], "text",
		line->text, "energy", line->energy, "restore", line->restore);
}

void lt_job_plan_write(struct lt_text *out, const struct lt_job_plan *plan)
{
	json_t *joints = json_array(), *lines = json_array();
	for (size_t i = 0; i < plan->joint_count; i++)
		json_array_append_new(joints, joint_json(&plan->joints[i]));
	for (size_t i = 0; i < plan->line_count; i++)
		json_array_append_new(lines, line_json(&plan->lines[i]));
	json_t *json = json_pack("{s:i, s:s, s:o*, s:o, s:o}", "plan", 1, "code", plan->code,
		"backdated", true_or_none(plan->backdated), "joints", joints, "lines", lines);
	char *text = json_dumps(json, JSON_COMPACT);
	if (text != NULL)
		lt_text_add(out, text);
	free(text);
	json_decref(json);
}

/* Given to the machines. */

static void describe(struct lt_joint *out, const struct lt_job_joint *joint, const size_t *joint_of,
	struct lt_arena *arena)
{
	*out = (struct lt_joint){
		.number = joint->number,
		.has_m = joint->sides == 2,
		.has_x = joint->replaced,
		.had_x = joint->replaced || joint->x_printed,
		.m_is_old = joint->m_is_old,
		.paper = joint->marking == LT_MARK_PAPER,
		.after = sort_after(arena, joint->after, joint->after_count, joint_of),
		.after_count = joint->after_count,
	};
}

bool lt_job_plan_machine(struct lt_plan *out, size_t *joint_of, struct lt_arena *arena,
	const struct lt_job_plan *plan, enum lt_stage stage)
{
	struct lt_joint *joints = lt_arena_array(arena, plan->joint_count, sizeof(*joints));
	size_t *places = lt_arena_array(arena, plan->joint_count, sizeof(*places));
	size_t *order = lt_arena_array(arena, plan->numbered, sizeof(*order));
	size_t joint = 0, passage = plan->numbered;
	for (size_t i = 0; i < plan->joint_count; i++) {
		joint_of[i] = plan->joints[i].number != 0 ? joint++ : passage++;
		places[joint_of[i]] = i;
	}
	for (size_t i = 0; i < plan->joint_count; i++)
		describe(&joints[joint_of[i]], &plan->joints[i], joint_of, arena);
	*out = (struct lt_plan){
		.code = plan->code,
		.joints = joints,
		.joint_count = plan->numbered,
		.order = order,
		.stage = stage,
		.passage_count = plan->joint_count - plan->numbered,
		.places = places,
	};
	return lt_plan_order(order, out, NULL);
}

/* Read. */

/* What is read, and whether all of it was understood so far. */
struct reading {
	struct lt_arena *arena;
	bool good;
};

static const char *get_text(struct reading *reading, const json_t *object, const char *key,
	bool required)
{
	const json_t *value = json_object_get(object, key);
	if (value == NULL && !required)
		return NULL;
	if (json_string_length(value) > 0)
		return lt_arena_strdup(reading->arena, json_string_value(value));
	reading->good = false;
	return "";
}

/* A whole number up to `most`; 0 where there is none. */
static size_t get_number(struct reading *reading, const json_t *value, size_t most)
{
	if (value == NULL)
		return 0;
	const json_int_t number = json_integer_value(value);
	if (!json_is_integer(value) || number < 0 || (unsigned long long)number > most) {
		reading->good = false;
		return 0;
	}
	return (size_t)number;
}

static bool get_true(struct reading *reading, const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);
	reading->good = reading->good && (value == NULL || json_is_true(value));
	return value != NULL;
}

/* Which of some words; the first where it is none of them. */
static size_t get_word(struct reading *reading, const json_t *object, const char *key,
	const char *const *words, size_t count)
{
	const char *text = get_text(reading, object, key, true);
	for (size_t i = 0; i < count; i++)
		if (strcmp(text, words[i]) == 0)
			return i;
	reading->good = false;
	return 0;
}

static void read_joint(struct reading *reading, struct lt_job_joint *out, const json_t *json,
	size_t count)
{
	const json_t *after = json_object_get(json, "after");
	const char *fate = get_text(reading, json, "fate", false);
	*out = (struct lt_job_joint){
		.id = get_text(reading, json, "id", true),
		.was = get_text(reading, json, "was", false),
		.name = get_text(reading, json, "name", false),
		.kind = get_text(reading, json, "kind", true),
		.mate = get_text(reading, json, "mates", false),
		.port = get_text(reading, json, "port", false),
		.number =
			(unsigned)get_number(reading, json_object_get(json, "number"), NUMBER_MOST),
		.sides = (unsigned)get_number(reading, json_object_get(json, "sides"), 2),
		.marking = (enum lt_marking)get_word(reading, json, "tag", tag_words, 3),
		.replaced = fate != NULL && strcmp(fate, "replace") == 0,
		.x_printed = get_true(reading, json, "x_printed"),
		.m_is_old = get_true(reading, json, "m_is_old"),
		.after_count = json_array_size(after),
	};
	size_t *items = lt_arena_array(reading->arena, out->after_count, sizeof(*items));
	for (size_t k = 0; k < out->after_count; k++) {
		items[k] = get_number(reading, json_array_get(after, k), count - 1);
		if (k > 0 && items[k] <= items[k - 1])
			reading->good = false;
	}
	out->after = items;
	if ((after != NULL && !json_is_array(after)) || out->sides == 0 ||
		(fate != NULL && !out->replaced))
		reading->good = false;
}

static void read_joints(struct reading *reading, struct lt_job_plan *out, const json_t *joints)
{
	struct lt_hash ids = { 0 };
	bool *used = lt_alloc_array(NUMBER_MOST + 1, sizeof(*used));
	out->joint_count = json_array_size(joints);
	out->joints = lt_arena_array(reading->arena, out->joint_count, sizeof(*out->joints));
	for (size_t i = 0; i < out->joint_count && reading->good; i++) {
		struct lt_job_joint *joint = &out->joints[i];
		read_joint(reading, joint, json_array_get(joints, i), out->joint_count);
		if (lt_hash_put(&ids, joint->id, i) != LT_HASH_NONE ||
			(joint->number != 0 && used[joint->number]))
			reading->good = false;
		used[joint->number] = true;
		out->numbered += joint->number != 0;
	}
	lt_hash_finish(&ids);
	free(used);
}

static void read_lines(struct reading *reading, struct lt_job_plan *out, const json_t *lines)
{
	out->line_count = json_array_size(lines);
	out->lines = lt_arena_array(reading->arena, out->line_count, sizeof(*out->lines));
	for (size_t i = 0; i < out->line_count; i++) {
		const json_t *json = json_array_get(lines, i);
		const enum lt_job_line_kind kind = (enum lt_job_line_kind)get_word(reading, json,
			"kind", line_kinds, LT_JOB_LINE_KINDS);
		out->lines[i] = (struct lt_job_line){
			.kind = kind,
			.text = get_text(reading, json, "text", true),
			.energy = get_text(reading, json, "energy", kind == LT_JOB_LINE_HAZARD),
			.restore = get_text(reading, json, "restore", false),
		};
	}
}

bool lt_job_plan_read(struct lt_job_plan *out, struct lt_arena *arena, const char *text)
{
	struct reading reading = { arena, true };
	*out = (struct lt_job_plan){ 0 };
	json_t *json = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
	json_t *joints, *lines;
	json_int_t version;
	if (json_unpack(json, "{s:I, s:o, s:o}", "plan", &version, "joints", &joints, "lines",
		    &lines) != 0 ||
		version != 1 || !json_is_array(joints) || !json_is_array(lines)) {
		json_decref(json);
		return false;
	}
	out->code = get_text(&reading, json, "code", true);
	out->backdated = get_true(&reading, json, "backdated");
	read_joints(&reading, out, joints);
	if (reading.good)
		read_lines(&reading, out, lines);
	json_decref(json);
	if (!reading.good)
		return false;
	/* No joint may come after itself. */
	struct lt_arena scratch = { 0 };
	struct lt_plan machine;
	size_t *joint_of = lt_arena_array(&scratch, out->joint_count, sizeof(*joint_of));
	const bool good =
		lt_job_plan_machine(&machine, joint_of, &scratch, out, LT_STAGE_RECONNECT);
	lt_arena_finish(&scratch);
	return good;
}
