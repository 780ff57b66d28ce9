/* Which connectors would mate with which components, by their fields and by `fits` and `unlike`:
 * classes, pairs and scopes. */
#include <stdlib.h>
#include <string.h>

#include "harness/family.h"
#include "harness/lookalike.h"
#include "harness/rows.h"

/* In a pattern: any ways, any key. */
#define ANY_WAYS ((unsigned)-1)
#define ANY_KEY ((size_t)-1)

#define WHITE " \t\n\v\f\r"

/* The scopes that are no pattern. */
enum { SCOPE_UNKNOWN, SCOPE_ALL, SCOPE_FIRST_PATTERN };

/* What is needed only while the classes are made. */
struct builder {
	struct lt_lookalikes *lookalikes;
	struct lt_hash spellings, shells, keys, patterns; /* text to number */
	struct lt_text text;                              /* that is looked up */
	size_t *shell_of_spelling;
	size_t spelling_count, spelling_room;
	size_t *shell_of; /* by connector; LT_NONE as class_of */
	struct lt_family_index families;
};

/* Adds a key as it is compared: its words, without case, each behind a space. */
static void add_folded(struct lt_text *out, const char *text)
{
	while (*(text += strspn(text, WHITE)) != '\0') {
		lt_text_add_char(out, ' ');
		for (size_t left = strcspn(text, WHITE); left > 0; left--, text++)
			lt_text_add_char(out,
				*text >= 'A' && *text <= 'Z' ? (char)(*text - 'A' + 'a') : *text);
	}
}

static bool is_given(const char *text)
{
	return text != NULL && text[strspn(text, WHITE)] != '\0';
}

/* Clips and things have no look-alikes but by `fits`. */
static bool mates(const struct lt_harness *harness, size_t connector)
{
	return lt_kind_mates(harness->connectors[connector].kind);
}

bool lt_fit_unknown(const struct lt_harness *harness, size_t connector)
{
	return mates(harness, connector) && !lt_family_given(harness->connectors[connector].family);
}

/* The number of the builder's text, which is emptied: from 0, in order of first being met. */
static size_t number_text(struct builder *b, struct lt_hash *table)
{
	const char *text = lt_text_string(&b->text);
	size_t number = lt_hash_get(table, text);
	if (number == LT_HASH_NONE) {
		number = table->count;
		lt_hash_put(table, lt_arena_strdup(&b->lookalikes->arena, text), number);
	}
	lt_text_clear(&b->text);
	return number;
}

/* Families are read once for each spelling. */
static size_t shell_of(struct builder *b, const struct lt_connector *connector)
{
	lt_text_printf(&b->text, "%d %s", (int)connector->kind, connector->family);
	const size_t spelling = number_text(b, &b->spellings);
	if (spelling == b->spelling_count) {
		b->shell_of_spelling = lt_grow(b->shell_of_spelling, &b->spelling_room,
			spelling + 1, sizeof *b->shell_of_spelling);
		lt_text_printf(&b->text, "%d", (int)connector->kind);
		lt_family_fold(&b->text, connector->family);
		const size_t shell = number_text(b, &b->shells);
		lt_family_add(&b->families, shell, connector->kind, connector->family);
		b->shell_of_spelling[spelling] = shell;
		b->spelling_count++;
	}
	return b->shell_of_spelling[spelling];
}

/* Keys count from 1; 0 is none. */
static size_t key_of(struct builder *b, const struct lt_connector *connector)
{
	if (!is_given(connector->key))
		return 0;
	add_folded(&b->text, connector->key);
	return number_text(b, &b->keys) + 1;
}

/* The index of a pattern, which also stands for the scope and for the list of that pattern. */
static size_t pattern_at(struct builder *b, size_t set, unsigned ways, size_t key)
{
	struct lt_lookalikes *l = b->lookalikes;
	lt_text_printf(&b->text, "%zu %u %zu", set, ways, key);
	size_t index = number_text(b, &b->patterns) + SCOPE_FIRST_PATTERN;
	if (index >= l->pattern_count) {
		l->patterns =
			lt_grow(l->patterns, &l->pattern_room, index + 1, sizeof *l->patterns);
		l->patterns[index] = (struct lt_pattern){ set, ways, key, LT_NONE };
		l->pattern_count = index + 1;
	}
	return index;
}

static struct lt_fit_lists lists_of(struct builder *b, size_t set, unsigned ways, size_t key)
{
	unsigned own_ways = ways != 0 ? ways : ANY_WAYS;
	size_t own_key = key != 0 ? key : ANY_KEY;
	struct lt_fit_lists lists = {
		.scopes = { pattern_at(b, set, 0, 0), pattern_at(b, set, own_ways, 0),
			pattern_at(b, set, 0, own_key), pattern_at(b, set, own_ways, own_key) },
		.in = { pattern_at(b, set, ways, key), pattern_at(b, set, ways, ANY_KEY),
			pattern_at(b, set, ANY_WAYS, key), pattern_at(b, set, ANY_WAYS, ANY_KEY) },
	};
	lists.matches[lists.match_count++] = pattern_at(b, set, own_ways, own_key);
	if (key != 0)
		lists.matches[lists.match_count++] = pattern_at(b, set, own_ways, 0);
	if (ways != 0)
		lists.matches[lists.match_count++] = pattern_at(b, set, 0, own_key);
	if (ways != 0 && key != 0)
		lists.matches[lists.match_count++] = pattern_at(b, set, 0, 0);
	return lists;
}

static void add_scopes(struct lt_fit_class *class, const struct lt_fit_lists *lists)
{
	for (size_t i = 0; i < LT_CLASS_SCOPES; i++)
		class->scopes[class->scope_count++] = lists->scopes[i];
}

static struct lt_fit_class make_class(struct builder *b, size_t shell, unsigned ways, size_t key)
{
	struct lt_lookalikes *l = b->lookalikes;
	const struct lt_indices circles = l->near[shell];
	struct lt_fit_class class = {
		.shell = shell, .ways = ways, .key = key, .own = lists_of(b, shell, ways, key)
	};
	class.scopes = lt_arena_array(&l->arena, 2 + LT_CLASS_SCOPES * (circles.count + 1),
		sizeof *class.scopes);
	class.scopes[class.scope_count++] = SCOPE_UNKNOWN;
	class.near = lt_arena_array(&l->arena, circles.count, sizeof *class.near);
	for (size_t i = 0; i < circles.count; i++) {
		class.near[i] = lists_of(b, l->shell_count + circles.items[i], ways, key);
		add_scopes(&class, &class.near[i]);
	}
	class.near_count = circles.count;
	if (circles.count == 0)
		add_scopes(&class, &class.own);
	else if (circles.count > 1)
		class.scopes[class.scope_count++] = class.own.scopes[LT_CLASS_SCOPES - 1];
	return class;
}

static size_t class_of(struct builder *b, const struct lt_connector *connector, size_t shell)
{
	struct lt_lookalikes *l = b->lookalikes;
	size_t key = key_of(b, connector);
	size_t pattern = pattern_at(b, shell, connector->ways, key);
	if (l->patterns[pattern].class == LT_NONE) {
		l->patterns[pattern].class = l->class_count;
		l->classes =
			lt_grow(l->classes, &l->class_room, l->class_count + 1, sizeof *l->classes);
		l->classes[l->class_count++] = make_class(b, shell, connector->ways, key);
	}
	return l->patterns[pattern].class;
}

/* Which families are nearly the same, once all are known. */
static void find_circles(struct builder *b)
{
	struct lt_lookalikes *l = b->lookalikes;
	l->shell_count = b->shells.count;
	l->circles = lt_family_circles(&l->circle_count, &b->families, &l->arena);
	size_t pair_count = 0, room = 0;
	struct lt_pair *pairs = NULL;
	for (size_t i = 0; i < l->circle_count; i++)
		for (size_t j = 0; j < l->circles[i].count; j++) {
			pairs = lt_grow(pairs, &room, pair_count + 1, sizeof *pairs);
			pairs[pair_count++] = (struct lt_pair){ l->circles[i].items[j], i };
		}
	l->near = lt_rows_make(&l->arena, l->shell_count, pairs, pair_count);
	free(pairs);
}

/* What either of two says of the other, by connector. */
static struct lt_indices *described_rows(struct lt_lookalikes *l, bool fits)
{
	size_t count = l->harness->connector_count;
	struct lt_pair *pairs = NULL;
	size_t pair_count = 0, room = 0;
	for (size_t i = 0; i < count; i++) {
		const struct lt_connector *connector = &l->harness->connectors[i];
		const struct lt_indices *others = fits ? &connector->fits : &connector->unlike;
		pairs = lt_grow(pairs, &room, pair_count + 2 * others->count + 1, sizeof *pairs);
		for (size_t j = 0; j < others->count; j++) {
			pairs[pair_count++] = (struct lt_pair){ i, others->items[j] };
			pairs[pair_count++] = (struct lt_pair){ others->items[j], i };
		}
	}
	struct lt_indices *rows = lt_rows_make(&l->arena, count, pairs, pair_count);
	free(pairs);
	return rows;
}

void lt_fit_classes_make(struct lt_lookalikes *lookalikes)
{
	struct lt_lookalikes *l = lookalikes;
	struct builder b = { .lookalikes = l };
	size_t count = l->harness->connector_count;
	l->pattern_count = SCOPE_FIRST_PATTERN;
	l->class_of = lt_arena_array(&l->arena, count, sizeof *l->class_of);
	b.shell_of = lt_alloc_array(count + 1, sizeof *b.shell_of);
	for (size_t i = 0; i < count; i++) {
		const bool known = mates(l->harness, i) && !lt_fit_unknown(l->harness, i);
		b.shell_of[i] = known ? shell_of(&b, &l->harness->connectors[i]) : LT_NONE;
	}
	find_circles(&b);
	for (size_t i = 0; i < count; i++)
		l->class_of[i] = b.shell_of[i] != LT_NONE
					 ? class_of(&b, &l->harness->connectors[i], b.shell_of[i])
					 : LT_NONE;
	l->fits = described_rows(l, true);
	l->unlike = described_rows(l, false);
	free(b.shell_of);
	free(b.shell_of_spelling);
	lt_family_index_finish(&b.families);
	lt_hash_finish(&b.spellings);
	lt_hash_finish(&b.shells);
	lt_hash_finish(&b.keys);
	lt_hash_finish(&b.patterns);
	lt_text_finish(&b.text);
}

static bool is_unknown(const struct lt_lookalikes *l, size_t connector)
{
	return l->class_of[connector] == LT_NONE && mates(l->harness, connector);
}

/* Two ascending lists have an item in common. */
static bool have_common(struct lt_indices a, struct lt_indices b)
{
	size_t i = 0, j = 0;
	while (i < a.count && j < b.count) {
		if (a.items[i] == b.items[j])
			return true;
		if (a.items[i] < b.items[j])
			i++;
		else
			j++;
	}
	return false;
}

bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	const struct lt_lookalikes *l = lookalikes;
	if (l->class_of[a] == LT_NONE || l->class_of[b] == LT_NONE)
		return false;
	const struct lt_fit_class *p = &l->classes[l->class_of[a]];
	const struct lt_fit_class *q = &l->classes[l->class_of[b]];
	return (p->ways == 0 || q->ways == 0 || p->ways == q->ways) &&
	       (p->key == 0 || q->key == 0 || p->key == q->key) &&
	       (p->shell == q->shell || have_common(l->near[p->shell], l->near[q->shell]));
}

static struct lt_pair *add_pairs(struct lt_pair *pairs, size_t *count, size_t *room,
	const struct lt_fit_lists *lists, size_t item)
{
	pairs = lt_grow(pairs, room, *count + LT_CLASS_LISTS, sizeof *pairs);
	for (size_t i = 0; i < LT_CLASS_LISTS; i++)
		pairs[(*count)++] = (struct lt_pair){ lists->in[i], item };
	return pairs;
}

struct lt_pair *lt_fit_add_pairs(struct lt_pair *pairs, size_t *count, size_t *room,
	const struct lt_lookalikes *lookalikes, size_t connector, size_t item)
{
	if (lookalikes->class_of[connector] == LT_NONE)
		return pairs;
	const struct lt_fit_class *class = &lookalikes->classes[lookalikes->class_of[connector]];
	pairs = add_pairs(pairs, count, room, &class->own, item);
	for (size_t i = 0; i < class->near_count; i++)
		pairs = add_pairs(pairs, count, room, &class->near[i], item);
	return pairs;
}

size_t lt_fit_count(const struct lt_fit_class *class, lt_list_count *count, const void *data)
{
	size_t sum = 0, own = 0;
	for (size_t i = 0; i < class->own.match_count; i++)
		own += count(data, class->own.matches[i]);
	for (size_t i = 0; i < class->near_count; i++) {
		for (size_t j = 0; j < class->near[i].match_count; j++)
			sum += count(data, class->near[i].matches[j]);
		sum -= own;
	}
	return sum + own;
}

/* What the description says of the two overrules what their fields say. */
static bool overruled(const struct lt_lookalikes *l, size_t a, size_t b, bool by_fields)
{
	return lt_row_holds(l->fits[a], b) || (by_fields && !lt_row_holds(l->unlike[a], b));
}

bool lt_lookalike(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	return a != b && overruled(lookalikes, a, b, lt_fields_match(lookalikes, a, b));
}

bool lt_lookalike_for_numbering(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	const struct lt_harness *harness = lookalikes->harness;
	bool unknown = mates(harness, a) && mates(harness, b) &&
		       (is_unknown(lookalikes, a) || is_unknown(lookalikes, b));
	return a != b && overruled(lookalikes, a, b, unknown || lt_fields_match(lookalikes, a, b));
}

struct lt_indices lt_lookalike_unlike(const struct lt_lookalikes *lookalikes, size_t connector)
{
	return lookalikes->unlike[connector];
}

struct lt_indices lt_scopes_of(const struct lt_lookalikes *lookalikes, size_t connector)
{
	static size_t of_unknown[] = { SCOPE_UNKNOWN, SCOPE_ALL };
	if (!mates(lookalikes->harness, connector))
		return (struct lt_indices){ NULL, 0 };
	if (is_unknown(lookalikes, connector))
		return (struct lt_indices){ of_unknown, 2 };
	const struct lt_fit_class *class = &lookalikes->classes[lookalikes->class_of[connector]];
	return (struct lt_indices){ class->scopes, class->scope_count };
}

bool lt_scope_blocked_by(const struct lt_lookalikes *lookalikes, size_t scope, size_t connector)
{
	const struct lt_lookalikes *l = lookalikes;
	if (!mates(l->harness, connector))
		return false;
	if (scope == SCOPE_ALL || is_unknown(l, connector))
		return true;
	if (scope == SCOPE_UNKNOWN)
		return false;
	const struct lt_pattern *s = &l->patterns[scope];
	const struct lt_fit_class *p = &l->classes[l->class_of[connector]];
	return (s->ways == ANY_WAYS || p->ways == 0 || s->ways == p->ways) &&
	       (s->key == ANY_KEY || p->key == 0 || s->key == p->key) &&
	       (s->set < l->shell_count ? s->set == p->shell
					: lt_row_holds(l->near[p->shell], s->set - l->shell_count));
}
