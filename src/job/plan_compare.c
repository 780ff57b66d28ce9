/* Compares two plans: what differs, and which differences void what was recorded of a joint. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/job.h"

struct comparing {
	struct lt_arena *arena;
	const struct lt_job_plan *now, *old;
	struct lt_plan_change *changes;
	size_t count, room;
	const size_t *was;
	size_t *became; /* by old joint; LT_NONE: gone */
};

static void add(struct comparing *comparing, struct lt_plan_change change)
{
	comparing->changes = lt_grow(comparing->changes, &comparing->room, comparing->count + 1,
		sizeof(*comparing->changes));
	comparing->changes[comparing->count++] = change;
}

static bool same(const char *a, const char *b)
{
	return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static void add_of(struct comparing *comparing, const struct lt_job_joint *joint,
	enum lt_plan_change_kind kind, bool voids, const char *before, const char *after)
{
	add(comparing,
		(struct lt_plan_change){ kind, voids, joint->number, joint->id, before, after });
}

/* The joints before it, whatever their order; both lists ascend. */
static bool same_after(const struct comparing *comparing, const struct lt_job_joint *now,
	const struct lt_job_joint *old)
{
	if (now->after_count != old->after_count)
		return false;
	for (size_t k = 0; k < now->after_count; k++) {
		const size_t was = comparing->was[now->after[k]];
		bool found = false;
		/* Mostly at the same place in both lists. */
		for (size_t i = 0; i < old->after_count && !found; i++)
			found = old->after[(k + i) % old->after_count] == was;
		if (!found)
			return false;
	}
	return true;
}

static const char *after_text(struct comparing *comparing, const struct lt_job_plan *plan,
	const struct lt_job_joint *joint)
{
	enum { SHOWN = 12 };
	struct lt_text text = { 0 };
	for (size_t k = 0; k < joint->after_count && k < SHOWN; k++)
		lt_text_printf(&text, "%s%s", k > 0 ? ", " : "", plan->joints[joint->after[k]].id);
	if (joint->after_count > SHOWN)
		lt_text_add(&text, ", …");
	const char *kept = lt_arena_strdup(comparing->arena, lt_text_string(&text));
	lt_text_finish(&text);
	return kept;
}

static void compare_after(struct comparing *comparing, const struct lt_job_joint *now,
	const struct lt_job_joint *old)
{
	if (!same_after(comparing, now, old))
		add_of(comparing, now, LT_PLAN_AFTER, false,
			after_text(comparing, comparing->old, old),
			after_text(comparing, comparing->now, now));
}

static void compare_joint(struct comparing *comparing, const struct lt_job_joint *now,
	const struct lt_job_joint *old)
{
	static const char *const sides[] = { "0", "1", "2" };
	static const char *const fates[] = { "keep", "replace" };
	static const char *const tags[] = { "sticker", "paper", "none" };
	/* Describing what was not described before is no change of the thing. */
	const struct {
		enum lt_plan_change_kind kind;
		bool voids;
		const char *before, *after;
	} said[] = {
		{ LT_PLAN_RENAMED, false, old->id, now->id },
		{ LT_PLAN_MATE, old->mate != NULL, old->mate, now->mate },
		{ LT_PLAN_PORT, old->port != NULL, old->port, now->port },
		{ LT_PLAN_SIDES, true, sides[old->sides], sides[now->sides] },
		{ LT_PLAN_FATE, true, fates[old->replaced], fates[now->replaced] },
		{ LT_PLAN_TAG, old->marking == LT_MARK_PAPER, tags[old->marking],
			tags[now->marking] },
		{ LT_PLAN_KIND, false, old->kind, now->kind },
	};
	if (now->number != old->number)
		add_of(comparing, now, LT_PLAN_NUMBER, true,
			lt_arena_printf(comparing->arena, "%u", old->number),
			lt_arena_printf(comparing->arena, "%u", now->number));
	for (size_t i = 0; i < sizeof(said) / sizeof(said[0]); i++)
		if (!same(said[i].before, said[i].after))
			add_of(comparing, now, said[i].kind, said[i].voids, said[i].before,
				said[i].after);
	compare_after(comparing, now, old);
	/* A pair made with a sticker that is on the outgoing part proves nothing. */
	if (now->m_is_old && !old->m_is_old)
		add_of(comparing, now, LT_PLAN_OLD_STICKER, true, NULL, NULL);
	else if (now->x_printed != old->x_printed || now->m_is_old != old->m_is_old)
		add_of(comparing, now, LT_PLAN_STICKERS, false, NULL, NULL);
}

static void compare_joints(struct comparing *comparing)
{
	const struct lt_job_plan *const now = comparing->now, *const old = comparing->old;
	for (size_t i = 0; i < now->joint_count; i++) {
		const struct lt_job_joint *joint = &now->joints[i];
		const size_t was = comparing->was[i];
		const struct lt_job_joint *before = was != LT_NONE ? &old->joints[was] : NULL;
		const bool numbered = before != NULL && before->number != 0;
		if (joint->number != 0 && numbered)
			compare_joint(comparing, joint, before);
		else if (joint->number != 0)
			add_of(comparing, joint, LT_PLAN_JOINT_NEW, true, NULL, joint->name);
		else if (numbered)
			add_of(comparing, before, LT_PLAN_JOINT_GONE, true, before->name, NULL);
		else if (before != NULL) /* two that no scan can make */
			compare_after(comparing, joint, before);
	}
	const size_t before_count = old->joints != NULL ? old->joint_count : 0;
	for (size_t i = 0; i < before_count; i++)
		if (comparing->became[i] == LT_NONE && old->joints[i].number != 0)
			add_of(comparing, &old->joints[i], LT_PLAN_JOINT_GONE, true,
				old->joints[i].name, NULL);
}

/* The lines of one plan that another has not, or not so often. */
static void compare_lines(struct comparing *comparing, const struct lt_job_plan *these,
	const struct lt_job_plan *those, enum lt_plan_change_kind kind)
{
	struct lt_hash left = { 0 };
	for (size_t i = 0; i < those->line_count; i++) {
		const size_t before = lt_hash_get(&left, those->lines[i].text);
		lt_hash_set(&left, those->lines[i].text, before == LT_HASH_NONE ? 1 : before + 1);
	}
	for (size_t i = 0; i < these->line_count; i++) {
		const size_t count = lt_hash_get(&left, these->lines[i].text);
		if (count != LT_HASH_NONE && count > 0)
			lt_hash_set(&left, these->lines[i].text, count - 1);
		else
			add(comparing, (struct lt_plan_change){
					       .kind = kind, .id = these->lines[i].text });
	}
	lt_hash_finish(&left);
}

/* True where `was` has just been written, and names another joint than the one that had this id:
 * nobody can tell which of the two it is. */
static bool is_doubtful(const struct lt_job_joint *now, const struct lt_job_joint *own,
	const struct lt_hash *ids)
{
	return now->was != NULL && strcmp(now->was, now->id) != 0 &&
	       lt_hash_get(ids, now->was) != LT_NONE &&
	       (own->was == NULL || strcmp(own->was, now->was) != 0);
}

/* Its own id first: `was` is for those that have another now, and stays in a description. */
static void find_was(size_t *was, size_t *became, const struct lt_job_plan *now,
	const struct lt_job_plan *old)
{
	struct lt_hash ids = { 0 };
	for (size_t i = 0; i < old->joint_count; i++) {
		lt_hash_put(&ids, old->joints[i].id, i);
		became[i] = LT_NONE;
	}
	for (size_t i = 0; i < now->joint_count; i++) {
		const size_t own = lt_hash_get(&ids, now->joints[i].id);
		const bool doubtful =
			own != LT_NONE && is_doubtful(&now->joints[i], &old->joints[own], &ids);
		was[i] = doubtful ? LT_NONE : own;
		if (was[i] != LT_NONE)
			became[was[i]] = i;
	}
	for (size_t i = 0; i < now->joint_count; i++) {
		const char *earlier = now->joints[i].was;
		const bool is_new = lt_hash_get(&ids, now->joints[i].id) == LT_NONE;
		const size_t index =
			is_new && earlier != NULL ? lt_hash_get(&ids, earlier) : LT_NONE;
		if (index == LT_NONE || became[index] != LT_NONE)
			continue;
		was[i] = index;
		became[index] = i;
	}
	lt_hash_finish(&ids);
}

size_t lt_job_plan_compare(struct lt_plan_change **out, size_t *was, struct lt_arena *arena,
	const struct lt_job_plan *now, const struct lt_job_plan *old)
{
	if (was == NULL)
		was = lt_arena_array(arena, now->joint_count, sizeof(*was));
	struct comparing comparing = { .arena = arena, .now = now, .old = old, .was = was };
	comparing.became = lt_arena_array(arena, old->joint_count, sizeof(*comparing.became));
	find_was(was, comparing.became, now, old);
	compare_joints(&comparing);
	compare_lines(&comparing, now, old, LT_PLAN_LINE_NEW);
	compare_lines(&comparing, old, now, LT_PLAN_LINE_GONE);
	*out = lt_arena_array(arena, comparing.count, sizeof(**out));
	if (comparing.count > 0)
		memcpy(*out, comparing.changes, comparing.count * sizeof(**out));
	free(comparing.changes);
	return comparing.count;
}
