/* Building the index of look-alikes: classes, their scopes and lists, and what overrules them. */
#include <stdlib.h>

#include "harness/lookalike_index.h"
#include "loomtag/base.h"

/* What is needed only while the classes are indexed. */
struct builder {
	struct lt_lookalikes *lookalikes;
	struct lt_hash shells, keys, classes, scopes, lists;
	size_t shell_count, key_count;
	struct lt_text scratch;
};

static bool is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
}

static char lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Adds text as it is compared: trimmed, runs of white space as one space, without case. */
static void add_folded(struct lt_text *out, const char *text)
{
	bool gap = false;
	bool first = true;
	for (; *text != '\0'; text++) {
		if (is_space(*text)) {
			gap = true;
			continue;
		}
		if (gap && !first)
			lt_text_add_char(out, ' ');
		lt_text_add_char(out, lower(*text));
		gap = false;
		first = false;
	}
}

static bool is_given(const char *text)
{
	if (text == NULL)
		return false;
	while (is_space(*text))
		text++;
	return *text != '\0';
}

bool lt_fit_unknown(const struct lt_harness *harness, size_t connector)
{
	const struct lt_connector *c = &harness->connectors[connector];
	return c->kind != LT_CLIP && !is_given(c->family);
}

/* The number of the text in scratch: `next` when it was not met before. */
static size_t intern(struct builder *b, struct lt_hash *table, size_t next)
{
	const char *text = lt_text_string(&b->scratch);
	size_t number = lt_hash_get(table, text);
	if (number != LT_HASH_NONE)
		return number;
	lt_hash_put(table, lt_arena_strdup(&b->lookalikes->arena, text), next);
	return next;
}

static size_t intern_pattern(struct builder *b, struct lt_hash *table, struct lt_pattern pattern,
	size_t next)
{
	lt_text_clear(&b->scratch);
	lt_text_printf(&b->scratch, "%zu %u %zu", pattern.shell, pattern.ways, pattern.key);
	return intern(b, table, next);
}

static size_t shell_of(struct builder *b, const struct lt_connector *connector)
{
	lt_text_clear(&b->scratch);
	lt_text_printf(&b->scratch, "%d ", (int)connector->kind);
	add_folded(&b->scratch, connector->family);
	size_t shell = intern(b, &b->shells, b->shell_count);
	if (shell == b->shell_count)
		b->shell_count++;
	return shell;
}

/* Keys count from 1; 0 is none. */
static size_t key_of(struct builder *b, const struct lt_connector *connector)
{
	if (!is_given(connector->key))
		return 0;
	lt_text_clear(&b->scratch);
	add_folded(&b->scratch, connector->key);
	size_t key = intern(b, &b->keys, b->key_count + 1);
	if (key == b->key_count + 1)
		b->key_count++;
	return key;
}

static size_t scope_of(struct builder *b, struct lt_pattern pattern)
{
	struct lt_lookalikes *l = b->lookalikes;
	size_t scope = intern_pattern(b, &b->scopes, pattern, l->scope_count);
	if (scope == l->scope_count) {
		l->scopes = lt_grow(l->scopes, &l->scope_room, scope + 1, sizeof *l->scopes);
		l->scopes[l->scope_count++] = pattern;
	}
	return scope;
}

static void class_scopes(struct builder *b, struct lt_fit_class *class)
{
	struct lt_pattern p = class->pattern;
	unsigned ways = p.ways != 0 ? p.ways : LT_ANY_WAYS;
	size_t key = p.key != 0 ? p.key : LT_ANY_KEY;
	class->scopes[0] = LT_SCOPE_UNKNOWN;
	class->scopes[1] = scope_of(b, (struct lt_pattern){ p.shell, 0, 0 });
	class->scopes[2] = scope_of(b, (struct lt_pattern){ p.shell, ways, 0 });
	class->scopes[3] = scope_of(b, (struct lt_pattern){ p.shell, 0, key });
	class->scopes[4] = scope_of(b, (struct lt_pattern){ p.shell, ways, key });
}

static size_t list_of(struct builder *b, size_t shell, unsigned ways, size_t key)
{
	struct lt_lookalikes *l = b->lookalikes;
	struct lt_pattern pattern = { shell, ways, key };
	size_t list = intern_pattern(b, &b->lists, pattern, l->list_count);
	if (list == l->list_count)
		l->list_count++;
	return list;
}

static void class_lists(struct builder *b, struct lt_fit_class *class)
{
	struct lt_pattern p = class->pattern;
	class->in[0] = list_of(b, p.shell, p.ways, p.key);
	class->in[1] = list_of(b, p.shell, p.ways, LT_ANY_KEY);
	class->in[2] = list_of(b, p.shell, LT_ANY_WAYS, p.key);
	class->in[3] = list_of(b, p.shell, LT_ANY_WAYS, LT_ANY_KEY);

	unsigned ways[2] = { p.ways != 0 ? p.ways : LT_ANY_WAYS, 0 };
	size_t keys[2] = { p.key != 0 ? p.key : LT_ANY_KEY, 0 };
	size_t way_count = p.ways != 0 ? 2 : 1;
	size_t key_count = p.key != 0 ? 2 : 1;
	for (size_t w = 0; w < way_count; w++)
		for (size_t k = 0; k < key_count; k++)
			class->matches[class->match_count++] =
				list_of(b, p.shell, ways[w], keys[k]);
}

static size_t class_of(struct builder *b, const struct lt_connector *connector)
{
	struct lt_lookalikes *l = b->lookalikes;
	size_t shell = shell_of(b, connector);
	size_t key = key_of(b, connector);
	struct lt_pattern pattern = { shell, connector->ways, key };
	size_t number = intern_pattern(b, &b->classes, pattern, l->class_count);
	if (number == l->class_count) {
		l->classes = lt_grow(l->classes, &l->class_room, number + 1, sizeof *l->classes);
		struct lt_fit_class *class = &l->classes[l->class_count++];
		*class = (struct lt_fit_class){ .pattern = pattern };
		class_scopes(b, class);
		class_lists(b, class);
	}
	return number;
}

void lt_classes_index(struct lt_lookalikes *lookalikes)
{
	struct lt_lookalikes *l = lookalikes;
	struct builder b = { .lookalikes = l };
	l->scopes = lt_grow(NULL, &l->scope_room, LT_SCOPE_FIRST_PATTERN, sizeof *l->scopes);
	for (; l->scope_count < LT_SCOPE_FIRST_PATTERN; l->scope_count++)
		l->scopes[l->scope_count] = (struct lt_pattern){ LT_NONE, 0, 0 };

	size_t count = l->harness->connector_count;
	l->class_of = lt_arena_array(&l->arena, count, sizeof *l->class_of);
	for (size_t i = 0; i < count; i++) {
		const struct lt_connector *connector = &l->harness->connectors[i];
		if (connector->kind == LT_CLIP || lt_fit_unknown(l->harness, i))
			l->class_of[i] = LT_NONE;
		else
			l->class_of[i] = class_of(&b, connector);
	}
	lt_hash_finish(&b.shells);
	lt_hash_finish(&b.keys);
	lt_hash_finish(&b.classes);
	lt_hash_finish(&b.scopes);
	lt_hash_finish(&b.lists);
	lt_text_finish(&b.scratch);
}

static int compare_indices(const void *a, const void *b)
{
	size_t x = *(const size_t *)a;
	size_t y = *(const size_t *)b;
	return (x > y) - (x < y);
}

/* Sorts each row and takes out what is in it twice, moving the rows together. */
static void tidy_rows(struct lt_rows *rows, size_t count)
{
	size_t end = 0;
	size_t start = 0;
	for (size_t row = 0; row < count; row++) {
		size_t stop = rows->starts[row + 1];
		qsort(&rows->items[start], stop - start, sizeof *rows->items, compare_indices);
		rows->starts[row] = end;
		for (size_t i = start; i < stop; i++)
			if (end == rows->starts[row] || rows->items[end - 1] != rows->items[i])
				rows->items[end++] = rows->items[i];
		start = stop;
	}
	rows->starts[count] = end;
}

static struct lt_indices said_by(const struct lt_harness *harness, size_t connector, bool fits)
{
	const struct lt_connector *c = &harness->connectors[connector];
	return fits ? c->fits : c->unlike;
}

/* What either of two says of the other, as rows by connector. */
static void index_said(struct lt_rows *rows, struct lt_lookalikes *l, bool fits)
{
	size_t count = l->harness->connector_count;
	rows->starts = lt_arena_array(&l->arena, count + 2, sizeof *rows->starts);
	size_t *ends = rows->starts + 1; /* ends[i] moves from the start of row i to its end */
	size_t total = 0;
	for (size_t i = 0; i < count; i++) {
		struct lt_indices others = said_by(l->harness, i, fits);
		for (size_t j = 0; j < others.count; j++) {
			ends[i + 1]++;
			ends[others.items[j] + 1]++;
			total += 2;
		}
	}
	for (size_t i = 0; i < count; i++)
		ends[i + 1] += ends[i];
	rows->items = lt_arena_array(&l->arena, total + 1, sizeof *rows->items);
	for (size_t i = 0; i < count; i++) {
		struct lt_indices others = said_by(l->harness, i, fits);
		for (size_t j = 0; j < others.count; j++) {
			rows->items[ends[i]++] = others.items[j];
			rows->items[ends[others.items[j]]++] = i;
		}
	}
	tidy_rows(rows, count);
}

void lt_said_index(struct lt_lookalikes *lookalikes)
{
	index_said(&lookalikes->fits, lookalikes, true);
	index_said(&lookalikes->unlike, lookalikes, false);
}

struct lt_indices lt_row(const struct lt_rows *rows, size_t row)
{
	size_t start = rows->starts[row];
	return (struct lt_indices){ rows->items + start, rows->starts[row + 1] - start };
}

bool lt_row_holds(struct lt_indices row, size_t item)
{
	return row.count != 0 &&
	       bsearch(&item, row.items, row.count, sizeof *row.items, compare_indices) != NULL;
}
