/* Which codes a picture of a joint shows, and what they are to each other: a pair, one half, … */
#include <string.h>

#include "loomtag/photo.h"

const char *lt_pair_kind_name(enum lt_pair_kind kind)
{
	static const char *const names[] = { "none", "half", "whole", "apart", "more" };
	return names[kind];
}

static bool same_tag(const struct lt_scan *a, const struct lt_scan *b)
{
	return a->number == b->number && a->side == b->side && strcmp(a->code, b->code) == 0;
}

/* A flag carries its code on both faces, and a sticker printed anew may say more in words. */
static void add_code(struct lt_pair *pair, const char *text, const struct lt_scan *scan)
{
	for (size_t i = 0; i < pair->code_count; i++) {
		if (same_tag(&pair->codes[i].scan, scan))
			return;
	}
	pair->codes[pair->code_count++] = (struct lt_pair_code){ text, *scan };
}

/* The joint that a sticker belongs to, or LT_NONE: another harness, no such number. */
static size_t joint_of(const struct lt_verify *verify, const struct lt_scan *scan)
{
	if (strcmp(scan->code, lt_verify_plan(verify)->code) != 0)
		return LT_NONE;
	return lt_verify_joint(verify, scan->number);
}

static bool is_only_sticker(const struct lt_verify *verify, const struct lt_scan *scan)
{
	const size_t joint = joint_of(verify, scan);
	return joint != LT_NONE && !lt_verify_plan(verify)->joints[joint].has_m;
}

/* What one sticker shows: whole when it needs no other. */
static enum lt_pair_kind kind_of_one(const struct lt_verify *verify, const struct lt_scan *scan)
{
	const bool whole = lt_verify_plan(verify)->stage == LT_STAGE_UNPLUG ||
			   joint_of(verify, scan) == LT_NONE || is_only_sticker(verify, scan);
	return whole ? LT_PAIR_WHOLE : LT_PAIR_HALF;
}

/* Where one sticker says all that there is to say of a joint, two of two joints say it of both, and
 * a picture is of one. */
static enum lt_pair_kind kind_of_two(const struct lt_verify *verify, const struct lt_scan *a,
	const struct lt_scan *b)
{
	const size_t joint = joint_of(verify, a);
	if (lt_verify_plan(verify)->stage == LT_STAGE_UNPLUG &&
		(joint == LT_NONE || joint != joint_of(verify, b)))
		return LT_PAIR_APART;
	return is_only_sticker(verify, a) || is_only_sticker(verify, b) ? LT_PAIR_APART
									: LT_PAIR_WHOLE;
}

static enum lt_pair_kind kind_of(const struct lt_pair *pair, const struct lt_verify *verify)
{
	switch (pair->code_count) {
	case 0:
		return LT_PAIR_NONE;
	case 1:
		return kind_of_one(verify, &pair->codes[0].scan);
	case 2:
		return kind_of_two(verify, &pair->codes[0].scan, &pair->codes[1].scan);
	default:
		return LT_PAIR_MORE;
	}
}

/* H, then the mate, then what does not belong here, whatever its side: so that the last answer is
 * that of the pair. */
static unsigned rank_of(const struct lt_verify *verify, const struct lt_scan *scan)
{
	return joint_of(verify, scan) == LT_NONE ? LT_SIDE_COUNT : (unsigned)scan->side;
}

void lt_pair_sort(struct lt_pair *out, struct lt_arena *arena, const char *const *texts,
	size_t count, const struct lt_verify *verify)
{
	*out = (struct lt_pair){ .codes = lt_arena_array(arena, count + 1, sizeof(*out->codes)),
		.others = lt_arena_array(arena, count + 1, sizeof(*out->others)) };
	for (size_t i = 0; i < count; i++) {
		struct lt_scan scan;
		lt_scan_read(&scan, texts[i], strlen(texts[i]));
		if (scan.kind == LT_SCAN_CODE)
			add_code(out, texts[i], &scan);
		else
			out->others[out->other_count++] = texts[i];
	}
	out->kind = kind_of(out, verify);
	if (out->code_count == 2 &&
		rank_of(verify, &out->codes[0].scan) > rank_of(verify, &out->codes[1].scan)) {
		const struct lt_pair_code first = out->codes[0];
		out->codes[0] = out->codes[1];
		out->codes[1] = first;
	}
}

size_t lt_pair_scans(const struct lt_pair *pair, enum lt_stage stage)
{
	if (pair->kind != LT_PAIR_WHOLE)
		return 0;
	return stage == LT_STAGE_UNPLUG ? 1 : pair->code_count;
}

/* When the first was refused, the second waits for a half that does not come, and the refusal is
 * what there is to say. */
void lt_pair_take(struct lt_pair *pair, size_t code, const struct lt_answer *answer)
{
	if (code == 0 || answer->verdict != LT_VERDICT_HALF)
		pair->answer = *answer;
}

/* "12H, 12M", for the caller to finish. */
static struct lt_text list_tags(const struct lt_pair *pair)
{
	struct lt_text list = { 0 };
	for (size_t i = 0; i < pair->code_count; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, pair->codes[i].scan.number, pair->codes[i].scan.side);
		lt_text_printf(&list, "%s%s", i > 0 ? ", " : "", tag);
	}
	return list;
}

static const char *name_of(const struct lt_pair *pair, const struct lt_tags *tags)
{
	const size_t connector = pair->answer.number <= tags->number_max
					 ? tags->connector_of[pair->answer.number]
					 : LT_NONE;
	if (connector == LT_NONE)
		return NULL;
	const struct lt_connector *it = &tags->harness->connectors[connector];
	return it->name != NULL ? it->name : it->id;
}

static void add_answer(struct lt_text *out, const struct lt_pair *pair, const char *list,
	const struct lt_tags *tags, enum lt_stage stage)
{
	const enum lt_verdict verdict = pair->answer.verdict;
	lt_text_printf(out, "%s  ", lt_verdict_name(verdict));
	if (lt_verdict_row(verdict)->tone != LT_TONE_GOOD) {
		if (verdict == LT_VERDICT_SAME_SIDE)
			lt_words_picture_same_side(out, list, pair->answer.side);
		else
			lt_answer_words(out, &pair->answer, tags, stage);
		return;
	}
	lt_words_picture_joint(out, list, name_of(pair, tags));
	if (verdict == LT_VERDICT_REPEAT)
		lt_text_printf(out, " %s", lt_picture_words.nothing_changed);
}

/* What is no sticker is named, so that a wrong code in view is noticed; its beginning will do. */
static void add_others(struct lt_text *out, const struct lt_pair *pair)
{
	enum { SHOWN = 40 };
	if (pair->other_count == 0)
		return;
	struct lt_text list = { 0 };
	for (size_t i = 0; i < pair->other_count; i++) {
		const char *end = pair->others[i];
		for (int shown = 0; shown < SHOWN && *end != '\0'; shown++)
			lt_utf8_next(&end);
		lt_text_add(&list, i > 0 ? ", " : "");
		lt_text_add_clean(&list, pair->others[i], (size_t)(end - pair->others[i]));
		lt_text_add(&list, *end != '\0' ? "…" : "");
	}
	lt_text_add_char(out, ' ');
	lt_words_picture_ignored(out, lt_text_string(&list), pair->other_count);
	lt_text_finish(&list);
}

void lt_pair_words(struct lt_text *out, const struct lt_pair *pair, const struct lt_tags *tags,
	enum lt_stage stage)
{
	struct lt_text list = list_tags(pair);
	switch (pair->kind) {
	case LT_PAIR_NONE:
		lt_text_add(out, lt_picture_words.no_code);
		break;
	case LT_PAIR_HALF:
		lt_words_picture_half(out, lt_text_string(&list));
		break;
	case LT_PAIR_APART:
		lt_words_picture_two_joints(out, lt_text_string(&list));
		break;
	case LT_PAIR_MORE:
		lt_words_picture_many(out, lt_text_string(&list), pair->code_count);
		break;
	case LT_PAIR_WHOLE:
		add_answer(out, pair, lt_text_string(&list), tags, stage);
		break;
	}
	add_others(out, pair);
	lt_text_finish(&list);
}
