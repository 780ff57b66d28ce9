/* Looking up values in a tree of text, and reporting keys that it should not have. */
#include <string.h>

#include "loomtag/base.h"

const char *lt_quote(char out[LT_QUOTE_SIZE], const char *text)
{
	char *to = out;
	*to++ = '"';
	for (size_t i = 0; *text && i < LT_QUOTE_MAX; i++) {
		uint32_t code = lt_utf8_next(&text);
		to += lt_utf8_put(to, code);
	}
	if (*text)
		to += lt_utf8_put(to, 0x2026);
	*to++ = '"';
	*to = '\0';
	return out;
}

const struct lt_node *lt_node_get(const struct lt_node *map, const char *key)
{
	if (map->kind != LT_MAP)
		return NULL;
	for (size_t i = 0; i < map->count; i++)
		if (strcmp(map->keys[i].text, key) == 0)
			return &map->items[i];
	return NULL;
}

static bool is_known(const char *key, const char *const *known, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(key, known[i]) == 0)
			return true;
	return false;
}

/* Whether a key was hardly meant as one: a text between braces that has a comma in it. */
static bool is_rest_of_a_text(const struct lt_node *key, const struct lt_node *value)
{
	return value->kind == LT_SCALAR && !value->quoted && value->text[0] == '\0' &&
	       strchr(key->text, ' ') != NULL;
}

static void hint_keys(const char *const *known, size_t count, struct lt_diags *diags)
{
	struct lt_text all = { 0 };
	for (size_t i = 0; i < count; i++)
		lt_text_printf(&all, "%s%s", i > 0 ? ", " : "", known[i]);
	lt_hint(diags, "use one of these keys: %s", lt_text_string(&all));
	lt_text_finish(&all);
}

bool lt_node_only(const struct lt_node *map, const char *const *known, size_t count,
	const char *what, struct lt_diags *diags)
{
	char shown[LT_QUOTE_SIZE];
	bool ok = true;
	for (size_t i = 0; map->kind == LT_MAP && i < map->count; i++) {
		const struct lt_node *key = &map->keys[i];
		if (is_known(key->text, known, count))
			continue;
		ok = false;
		lt_error(diags, key->place, "unknown key %s in %s", lt_quote(shown, key->text),
			what);
		int nearest = lt_nearest(key->text, known, count);
		if (nearest >= 0)
			lt_hint(diags, "did you mean \"%s\"?", known[nearest]);
		else if (is_rest_of_a_text(key, &map->items[i]))
			lt_hint(diags,
				"put the text in quotes, because a comma inside braces ends it");
		else
			hint_keys(known, count, diags);
	}
	return ok;
}
