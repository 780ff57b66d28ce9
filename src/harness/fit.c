/* Which connectors would mate with which components, by their fields and by `fits` and `unlike`:
 * classes, pairs and scopes. */
#include <stdlib.h>
#include <string.h>

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
	struct lt_hash shells, keys, patterns; /* text to number */
	struct lt_text text;                   /* that is looked up */
};

/* Adds text as it is compared: its words, without case, each behind a space. */
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

static bool is_clip(const struct lt_harness *harness, size_t connector)
{
	return harness->connectors[connector].kind == LT_CLIP;
}

bool lt_fit_unknown(const struct lt_harness *harness, size_t connector)
{
	return !is_clip(harness, connector) && !is_given(harness->connectors[connector].family);
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

static size_t shell_of(struct builder *b, const struct lt_connector *connector)
{
	lt_text_printf(&b->text, "%d", (int)connector->kind);
	add_folded(&b->text, connector->family);
	return number_text(b, &b->shells);
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
static size_t pattern_at(struct builder *b, size_t shell, unsigned ways, size_t key)
{
	struct lt_lookalikes *l = b->lookalikes;
	lt_text_printf(&b->text, "%zu %u %zu", shell, ways, key);
	size_t index = number_text(b, &b->patterns) + SCOPE_FIRST_PATTERN;
	if (index >= l->pattern_count) {
		l->patterns =
			lt_grow(l->patterns, &l->pattern_room, index + 1, sizeof *l->patterns);
		l->patterns[index] = (struct lt_pattern){ shell, ways, key, LT_NONE };
		l->pattern_count = index + 1;
	}
	return index;
}

static struct lt_fit_class make_class(struct builder *b, size_t shell, unsigned ways, size_t key)
{
	unsigned own_ways = ways != 0 ? ways : ANY_WAYS;
	size_t own_key = key != 0 ? key : ANY_KEY;
	struct lt_fit_class class = {
		.pattern = pattern_at(b, shell, ways, key),
		.scopes = { SCOPE_UNKNOWN, pattern_at(b, shell, 0, 0),
			pattern_at(b, shell, own_ways, 0), pattern_at(b, shell, 0, own_key),
			pattern_at(b, shell, own_ways, own_key) },
		.in = { pattern_at(b, shell, ways, key), pattern_at(b, shell, ways, ANY_KEY),
			pattern_at(b, shell, ANY_WAYS, key),
			pattern_at(b, shell, ANY_WAYS, ANY_KEY) },
	};
	class.matches[class.match_count++] = pattern_at(b, shell, own_ways, own_key);
	if (key != 0)
		class.matches[class.match_count++] = pattern_at(b, shell, own_ways, 0);
	if (ways != 0)
		class.matches[class.match_count++] = pattern_at(b, shell, 0, own_key);
	if (ways != 0 && key != 0)
		class.matches[class.match_count++] = pattern_at(b, shell, 0, 0);
	return class;
}

static size_t class_of(struct builder *b, const struct lt_connector *connector)
{
	struct lt_lookalikes *l = b->lookalikes;
	size_t shell = shell_of(b, connector);
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
	for (size_t i = 0; i < count; i++) {
		bool known = !is_clip(l->harness, i) && !lt_fit_unknown(l->harness, i);
		l->class_of[i] = known ? class_of(&b, &l->harness->connectors[i]) : LT_NONE;
	}
	l->fits = described_rows(l, true);
	l->unlike = described_rows(l, false);
	lt_hash_finish(&b.shells);
	lt_hash_finish(&b.keys);
	lt_hash_finish(&b.patterns);
	lt_text_finish(&b.text);
}

static bool is_unknown(const struct lt_lookalikes *l, size_t connector)
{
	return l->class_of[connector] == LT_NONE && !is_clip(l->harness, connector);
}

/* The pattern of a connector of known fit. */
static const struct lt_pattern *pattern_of(const struct lt_lookalikes *l, size_t connector)
{
	return &l->patterns[l->classes[l->class_of[connector]].pattern];
}

bool lt_fields_match(const struct lt_lookalikes *lookalikes, size_t a, size_t b)
{
	if (lookalikes->class_of[a] == LT_NONE || lookalikes->class_of[b] == LT_NONE)
		return false;
	const struct lt_pattern *p = pattern_of(lookalikes, a);
	const struct lt_pattern *q = pattern_of(lookalikes, b);
	return p->shell == q->shell && (p->ways == 0 || q->ways == 0 || p->ways == q->ways) &&
	       (p->key == 0 || q->key == 0 || p->key == q->key);
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
	bool unknown = !is_clip(harness, a) && !is_clip(harness, b) &&
		       (is_unknown(lookalikes, a) || is_unknown(lookalikes, b));
	return a != b && overruled(lookalikes, a, b, unknown || lt_fields_match(lookalikes, a, b));
}

struct lt_indices lt_lookalike_unlike(const struct lt_lookalikes *lookalikes, size_t connector)
{
	return lookalikes->unlike[connector];
}

size_t lt_scopes_of(const struct lt_lookalikes *lookalikes, size_t connector, size_t out[LT_SCOPES])
{
	if (is_clip(lookalikes->harness, connector))
		return 0;
	if (is_unknown(lookalikes, connector)) {
		out[0] = SCOPE_UNKNOWN;
		out[1] = SCOPE_ALL;
		return 2;
	}
	memcpy(out, lookalikes->classes[lookalikes->class_of[connector]].scopes,
		LT_SCOPES * sizeof *out);
	return LT_SCOPES;
}

bool lt_scope_blocked_by(const struct lt_lookalikes *lookalikes, size_t scope, size_t connector)
{
	if (is_clip(lookalikes->harness, connector))
		return false;
	if (scope == SCOPE_ALL || is_unknown(lookalikes, connector))
		return true;
	if (scope == SCOPE_UNKNOWN)
		return false;
	const struct lt_pattern *s = &lookalikes->patterns[scope];
	const struct lt_pattern *p = pattern_of(lookalikes, connector);
	return s->shell == p->shell &&
	       (s->ways == ANY_WAYS || p->ways == 0 || s->ways == p->ways) &&
	       (s->key == ANY_KEY || p->key == 0 || s->key == p->key);
}
