/* The names of ways: as a moulding has them, or counted, or lettered. */
#include <stdlib.h>
#include <string.h>

#include "harness/read.h"

#define NAME_MAX_LENGTH 4 /* characters of a listed way */

/* Letters and digits, or a sign of polarity. */
bool lt_way_name_valid(const char *text)
{
	static const char characters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
					 "0123456789";
	const size_t length = strlen(text);
	if (strcmp(text, "+") == 0 || strcmp(text, "-") == 0)
		return true;
	return length > 0 && length <= NAME_MAX_LENGTH && strspn(text, characters) == length;
}

/* A name and where it stands, to be sorted. */
struct named {
	const char *name;
	size_t position;
};

static int compare_named(const void *one, const void *other)
{
	const struct named *a = one, *b = other;
	const int order = strcmp(a->name, b->name);
	return order != 0 ? order : (a->position > b->position) - (a->position < b->position);
}

/* Sorts the names, and reports those that are there twice. */
static bool sort_names(struct lt_way_names *out, struct lt_reader *reader, const char *key,
	const struct lt_node *items, size_t count)
{
	struct named *named = lt_alloc_array(count, sizeof *named);
	bool good = true;
	for (size_t i = 0; i < count; i++)
		named[i] = (struct named){ out->names[i], i };
	qsort(named, count, sizeof *named, compare_named);
	for (size_t i = 0; i < count; i++) {
		out->sorted[i] = named[i].position;
		if (i == 0 || strcmp(named[i].name, named[i - 1].name) != 0)
			continue;
		lt_read_error(reader, &items[named[i].position], "%s: way %s is given twice", key,
			named[i].name);
		lt_hint(reader->diags, "list each way once, as it is marked on the moulding");
		good = false;
	}
	free(named);
	return good;
}

static bool read_name(const char **out, struct lt_reader *reader, const char *key,
	const struct lt_node *item)
{
	const char *word = lt_read_word(reader, key, item);
	if (!word)
		return false;
	if (!lt_way_name_valid(word)) {
		lt_read_error(reader, item,
			"%s: way %s must have 1 to %d letters and digits, or be + or -", key,
			lt_shown(reader, word), NAME_MAX_LENGTH);
		lt_hint(reader->diags, "write it as it is marked on the moulding, for example 87a");
		return false;
	}
	*out = lt_arena_strdup(&reader->harness->arena, word);
	return true;
}

static void read_list(struct lt_reader *reader, struct lt_connector *connector, const char *key,
	const struct lt_node *value)
{
	struct lt_arena *arena = &reader->harness->arena;
	const size_t count = value->count;
	if (count == 0 || count > LT_WAYS_MAX) {
		lt_read_error(reader, value, "%s: must have 1 to %u ways, not %zu", key,
			LT_WAYS_MAX, count);
		lt_hint(reader->diags, "write how many ways there are, or list their names");
		return;
	}
	struct lt_way_names *list = lt_arena_alloc(arena, sizeof *list);
	list->names = lt_arena_array(arena, count, sizeof *list->names);
	list->sorted = lt_arena_array(arena, count, sizeof *list->sorted);
	bool good = true;
	for (size_t i = 0; i < count; i++)
		good = read_name(&list->names[i], reader, key, &value->items[i]) && good;
	if (!good || !sort_names(list, reader, key, value->items, count))
		return;
	connector->ways = (unsigned)count;
	connector->way_names = list;
}

void lt_read_way_names(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	struct lt_connector *connector = into;
	connector->way_names = NULL;
	connector->ways = 0; /* not those of a moulding where its own are wrong */
	if (value->kind == LT_LIST) {
		read_list(reader, connector, key, value);
	} else if (!lt_read_count(&connector->ways, reader, key, value, LT_WAYS_MAX) &&
		   value->kind == LT_SCALAR && value->text[strspn(value->text, "0123456789.")]) {
		lt_hint(reader->diags,
			"write how many ways there are, or list their names: ways: [L, N, PE]");
	}
	*reader->ways_lost_now = connector->ways == 0;
}

size_t lt_way_position(const struct lt_connector *connector, const char *name)
{
	const struct lt_way_names *list = connector->way_names;
	size_t low = 0, high = list != NULL ? connector->ways : 0;
	while (low < high) {
		const size_t middle = low + (high - low) / 2;
		const int order = strcmp(list->names[list->sorted[middle]], name);
		if (order == 0)
			return list->sorted[middle];
		if (order < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return LT_NONE;
}

int lt_way_compare(const struct lt_connector *connector, const char *a, const char *b)
{
	if (connector->way_names != NULL) {
		const size_t first = lt_way_position(connector, a);
		const size_t second = lt_way_position(connector, b);
		return (first > second) - (first < second);
	}
	unsigned one = 0;
	unsigned other = 0;
	bool numbered = lt_whole_read(&one, a, LT_WAYS_MAX);
	if (numbered != lt_whole_read(&other, b, LT_WAYS_MAX))
		return numbered ? -1 : 1;
	if (numbered && one != other)
		return one < other ? -1 : 1;
	size_t length = strlen(a);
	size_t other_length = strlen(b);
	if (length != other_length)
		return length < other_length ? -1 : 1;
	return strcmp(a, b);
}
