#include <stdlib.h>

#include "loomtag/base.h"
#include "verify/wrong.h"

/* The lists that a wrong mate is in. */
enum { IN_H, IN_M, IN_ALL, LISTS };

/* The head of a joint's two lists; of the list of all, whatever the joint. */
static size_t head_of(const struct lt_wrongs *wrongs, size_t joint, size_t list)
{
	return list == IN_ALL ? 2 * wrongs->joint_count : 2 * joint + list;
}

static size_t head_count(const struct lt_wrongs *wrongs)
{
	return 2 * wrongs->joint_count + 1;
}

static size_t link_of(const struct lt_wrongs *wrongs, size_t index, size_t list)
{
	return head_count(wrongs) + index * LISTS + list;
}

/* The wrong mate behind a link, LT_NONE at the end of its list. */
static size_t index_behind(const struct lt_wrongs *wrongs, size_t link)
{
	const size_t behind = wrongs->links[link].behind;
	return behind < head_count(wrongs) ? LT_NONE : (behind - head_count(wrongs)) / LISTS;
}

void lt_wrongs_init(struct lt_wrongs *wrongs, size_t joint_count)
{
	*wrongs = (struct lt_wrongs){ .joint_count = joint_count };
	wrongs->links =
		lt_grow(NULL, &wrongs->link_room, head_count(wrongs), sizeof(*wrongs->links));
	for (size_t head = 0; head < head_count(wrongs); head++)
		wrongs->links[head] = (struct lt_wrong_link){ head, head };
}

void lt_wrongs_finish(struct lt_wrongs *wrongs)
{
	free(wrongs->items);
	free(wrongs->shown);
	free(wrongs->links);
}

size_t lt_wrongs_first(const struct lt_wrongs *wrongs, size_t joint, bool as_mate)
{
	return index_behind(wrongs, head_of(wrongs, joint, as_mate ? IN_M : IN_H));
}

size_t lt_wrongs_behind(const struct lt_wrongs *wrongs, size_t index, bool as_mate)
{
	return index_behind(wrongs, link_of(wrongs, index, as_mate ? IN_M : IN_H));
}

bool lt_wrongs_has(const struct lt_wrongs *wrongs, size_t h, size_t m)
{
	for (size_t i = lt_wrongs_first(wrongs, h, false); i != LT_NONE;
		i = lt_wrongs_behind(wrongs, i, false))
		if (wrongs->items[i].m == m)
			return true;
	return false;
}

void lt_wrongs_resolve(struct lt_wrongs *wrongs, size_t index)
{
	for (size_t list = 0; list < LISTS; list++) {
		const struct lt_wrong_link *link = &wrongs->links[link_of(wrongs, index, list)];
		wrongs->links[link->before].behind = link->behind;
		wrongs->links[link->behind].before = link->before;
	}
	wrongs->unresolved--;
}

void lt_wrongs_restore(struct lt_wrongs *wrongs, size_t index)
{
	for (size_t list = 0; list < LISTS; list++) {
		const size_t at = link_of(wrongs, index, list);
		wrongs->links[wrongs->links[at].before].behind = at;
		wrongs->links[wrongs->links[at].behind].before = at;
	}
	wrongs->unresolved++;
}

void lt_wrongs_add(struct lt_wrongs *wrongs, const struct lt_wrong *wrong)
{
	const size_t index = wrongs->count++;
	size_t room = wrongs->room;
	wrongs->items = lt_grow(wrongs->items, &room, index + 1, sizeof(*wrongs->items));
	wrongs->shown = lt_grow(wrongs->shown, &wrongs->room, index + 1, sizeof(*wrongs->shown));
	wrongs->links = lt_grow(wrongs->links, &wrongs->link_room, link_of(wrongs, index + 1, 0),
		sizeof(*wrongs->links));
	wrongs->items[index] = *wrong;
	for (size_t list = 0; list < LISTS; list++) {
		const size_t head = head_of(wrongs, list == IN_M ? wrong->m : wrong->h, list);
		wrongs->links[link_of(wrongs, index, list)] =
			(struct lt_wrong_link){ wrongs->links[head].before, head };
	}
	lt_wrongs_restore(wrongs, index);
}

void lt_wrongs_drop(struct lt_wrongs *wrongs)
{
	lt_wrongs_resolve(wrongs, --wrongs->count);
}

size_t lt_wrongs_list(const struct lt_wrongs *wrongs, const struct lt_wrong_mate **out)
{
	size_t count = 0;
	for (size_t i = index_behind(wrongs, head_of(wrongs, 0, IN_ALL)); i != LT_NONE;
		i = index_behind(wrongs, link_of(wrongs, i, IN_ALL)))
		wrongs->shown[count++] = wrongs->items[i].pair;
	*out = wrongs->shown;
	return count;
}
