/* NAME.print: which stickers of a print may not have been printed. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "print/unfinished.h"

bool lt_unfinished_tag_read(struct lt_unfinished_tag *out, const char *text)
{
	struct lt_scan scan;
	lt_scan_read(&scan, text, strlen(text));
	if (scan.kind != LT_SCAN_TAG || strpbrk(text, " \t\r\n") != NULL)
		return false;
	*out = (struct lt_unfinished_tag){ scan.number, scan.side };
	return true;
}

static void hint_at_damage(struct lt_diags *diags)
{
	lt_hint(diags,
		"this file is damaged. Delete it. Then print the stickers that are left with --only");
}

/* The text of a key, or NULL with an error. */
static const char *read_text(struct lt_unfinished *out, const struct lt_node *root, const char *key,
	struct lt_diags *diags)
{
	const struct lt_node *node = lt_node_get(root, key);
	if (node != NULL && node->kind == LT_SCALAR && node->text[0] != '\0')
		return lt_arena_strdup(&out->arena, node->text);
	lt_error(diags, node != NULL ? node->place : root->place,
		"an unfinished print must have the key \"%s\"", key);
	hint_at_damage(diags);
	return NULL;
}

static bool read_tags(struct lt_unfinished *out, const struct lt_node *root, struct lt_diags *diags)
{
	const struct lt_node *list = lt_node_get(root, "stickers");
	size_t count = list != NULL && list->kind == LT_LIST ? list->count : 0;
	out->tags = lt_arena_array(&out->arena, count + 1, sizeof(*out->tags));
	for (; out->count < count; out->count++) {
		const struct lt_node *item = &list->items[out->count];
		if (item->kind == LT_SCALAR &&
			lt_unfinished_tag_read(&out->tags[out->count], item->text))
			continue;
		char shown[LT_QUOTE_SIZE];
		if (item->kind == LT_SCALAR)
			lt_error(diags, item->place, "stickers: %s is not a tag",
				lt_quote(shown, item->text));
		else
			lt_error(diags, item->place, "stickers: each item must be a tag");
		hint_at_damage(diags);
		return false;
	}
	if (count > 0)
		return true;
	lt_error(diags, root->place, "an unfinished print must have a list \"stickers\"");
	hint_at_damage(diags);
	return false;
}

static bool read_root(struct lt_unfinished *out, const struct lt_node *root, struct lt_diags *diags)
{
	static const char *const known[] = { "print", "printer", "layout", "counted", "stickers" };
	unsigned counted = 0;
	if (root->kind != LT_MAP) {
		lt_error(diags, root->place, "this is not the file of an unfinished print");
		hint_at_damage(diags);
		return false;
	}
	if (!lt_node_only(root, known, sizeof(known) / sizeof(known[0]), "an unfinished print",
		    diags))
		return false;
	out->code = read_text(out, root, "print", diags);
	out->printer = read_text(out, root, "printer", diags);
	out->layout = read_text(out, root, "layout", diags);
	const char *text = read_text(out, root, "counted", diags);
	if (out->code == NULL || out->printer == NULL || out->layout == NULL || text == NULL ||
		!read_tags(out, root, diags))
		return false;
	if (!lt_whole_read(&counted, text, 100000000) || counted > out->count) {
		char shown[LT_QUOTE_SIZE];
		lt_error(diags, lt_node_get(root, "counted")->place,
			"counted must be a whole number from 0 to %zu, not %s", out->count,
			lt_quote(shown, text));
		lt_hint(diags, "write 0, and give the first sticker to print with --from");
		return false;
	}
	out->counted = counted;
	return true;
}

bool lt_unfinished_read(struct lt_unfinished *out, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags)
{
	*out = (struct lt_unfinished){ 0 };
	struct lt_arena scratch = { 0 };
	struct lt_node root = { 0 };
	bool good = lt_yaml_read(&root, &scratch, file, bytes, length, diags) &&
		    read_root(out, &root, diags);
	lt_arena_finish(&scratch);
	return good;
}

bool lt_unfinished_read_file(struct lt_unfinished *out, const char *path, struct lt_diags *diags)
{
	char *bytes = NULL;
	size_t length = 0;
	*out = (struct lt_unfinished){ 0 };
	bool good = lt_file_read_if_there(&bytes, &length, path, LT_UNFINISHED_MAX, diags) &&
		    (bytes == NULL || lt_unfinished_read(out, path, bytes, length, diags));
	free(bytes);
	return good;
}

/* In double quotes, as YAML has it; what is not UTF-8 is lost. */
static void add_quoted(struct lt_text *out, const char *key, const char *text)
{
	lt_text_printf(out, "%s: \"", key);
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		char bytes[4];
		if (code == '"' || code == '\\')
			lt_text_add_char(out, '\\');
		/* YAML does not allow these, or not as text (YAML 1.1, 5.1 and 5.4). */
		if (lt_text_shown(code) == code)
			lt_text_add_bytes(out, bytes, lt_utf8_put(bytes, code));
		else
			lt_text_printf(out, code > 0xffff ? "\\U%08X" : "\\u%04X", (unsigned)code);
	}
	lt_text_add(out, "\"\n");
}

void lt_unfinished_write(struct lt_text *out, const struct lt_unfinished *unfinished)
{
	lt_text_printf(out, "# %s\n", lt_print_words.unfinished_file);
	add_quoted(out, "print", unfinished->code);
	add_quoted(out, "printer", unfinished->printer);
	add_quoted(out, "layout", unfinished->layout);
	lt_text_printf(out, "counted: %zu\nstickers:\n", unfinished->counted);
	for (size_t i = 0; i < unfinished->count; i++) {
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, unfinished->tags[i].number, unfinished->tags[i].side);
		lt_text_printf(out, "  - %s\n", tag);
	}
}

void lt_unfinished_finish(struct lt_unfinished *unfinished)
{
	if (unfinished == NULL)
		return;
	lt_arena_finish(&unfinished->arena);
	*unfinished = (struct lt_unfinished){ 0 };
}

size_t lt_unfinished_find(const struct lt_unfinished *unfinished,
	const struct lt_unfinished_tag *tag, bool printed)
{
	size_t best = unfinished->count;
	size_t least = (size_t)-1;
	size_t wanted = unfinished->counted;
	if (printed && wanted > 0)
		wanted--;
	for (size_t i = 0; i < unfinished->count; i++) {
		size_t away = i > wanted ? i - wanted : wanted - i;
		if (unfinished->tags[i].number == tag->number &&
			unfinished->tags[i].side == tag->side && away < least) {
			least = away;
			best = i;
		}
	}
	return best;
}
