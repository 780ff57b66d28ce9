/* A description from its top: the harness's own keys, hazards, components, the finish list. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "harness/read.h"
#include "loomtag/base.h"

#define HINTS_MAX 50

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_capital(char c)
{
	return c >= 'A' && c <= 'Z';
}

static bool is_small(char c)
{
	return c >= 'a' && c <= 'z';
}

static bool ends_like_a_unit(const char *code)
{
	size_t length = strlen(code);
	size_t at = length;
	while (at > 0 && is_digit(code[at - 1]))
		at--;
	return at < length && at > 0 && code[at - 1] == 'U';
}

/* What is wrong with a harness code in capitals; NULL when nothing is. */
static const char *code_fault(const char *code)
{
	size_t length = strlen(code);
	if (length < 2 || length > LT_HARNESS_CODE_MAX)
		return "has not 2 to 12 characters";
	if (!is_capital(code[0]))
		return "does not begin with a letter A to Z";
	for (; *code; code++)
		if (!is_capital(*code) && !is_digit(*code))
			return "has something other than A to Z and 0 to 9 in it";
	return NULL;
}

static void read_code(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	char shown[LT_QUOTE_SIZE];
	const char *text = lt_read_word(reader, key, value);
	if (!text)
		return;
	char *capitals = lt_arena_strdup(&reader->harness->arena, text);
	for (char *c = capitals; *c; c++)
		*c = is_small(*c) ? (char)(*c - 'a' + 'A') : *c;
	struct lt_place place = lt_read_place(reader, value);
	const char *fault = code_fault(capitals);
	if (fault) {
		lt_error(reader->diags, place, "harness code %s %s", lt_quote(shown, text), fault);
		lt_hint(reader->diags, "a short one such as RV3 leaves the most room on a sticker");
	} else if (ends_like_a_unit(capitals)) {
		lt_error(reader->diags, place,
			"harness code %s ends in U and digits, which is how a unit is added to it",
			lt_quote(shown, text));
		lt_hint(reader->diags, "give the digits as unit, or end the code another way");
	} else if (strcmp(capitals, text) != 0) {
		lt_error(reader->diags, place, "harness code %s is not all in capitals",
			lt_quote(shown, text));
		lt_hint(reader->diags, "write it as %s", capitals);
	} else {
		*(const char **)into = capitals;
	}
}

/* Checks a unit; `what` is the key or option that gave it. */
static const char *check_unit(struct lt_reader *reader, struct lt_place place, const char *what,
	const char *unit)
{
	char shown[LT_QUOTE_SIZE];
	const char *harness = reader->harness->harness;
	size_t digits = strspn(unit, "0123456789");
	if (!digits || unit[digits]) {
		lt_error(reader->diags, place, "%s %s is not digits alone", what,
			lt_quote(shown, unit));
		lt_hint(reader->diags, "a unit is a number such as 0042");
		return NULL;
	}
	size_t length = (harness ? strlen(harness) : 2) + 1 + digits;
	if (length > LT_HARNESS_CODE_MAX) {
		lt_error(reader->diags, place,
			"%s %s makes the code on the stickers %zu characters long, and %u is the "
			"most",
			what, lt_quote(shown, unit), length, LT_HARNESS_CODE_MAX);
		lt_hint(reader->diags, "use fewer digits, or a shorter harness code");
		return NULL;
	}
	return lt_arena_strdup(&reader->harness->arena, unit);
}

static void read_unit(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const char *unit = lt_read_word(reader, key, value);
	if (unit)
		*(const char **)into =
			check_unit(reader, lt_read_place(reader, value), "unit", unit);
}

static const char *check_base(struct lt_reader *reader, struct lt_place place, const char *what,
	const char *base)
{
	char shown[LT_QUOTE_SIZE];
	struct lt_text fault = { 0 };
	const bool good = lt_base_check(&fault, base);
	if (!good) {
		lt_error(reader->diags, place, "%s %s %s", what, lt_quote(shown, base),
			lt_text_string(&fault));
		lt_hint(reader->diags, "write it as http://bench.local:8080 or "
				       "https://shop.local/tags");
	}
	lt_text_finish(&fault);
	if (!good)
		return NULL;
	size_t length = strlen(base);
	if (base[length - 1] == '/')
		length--;
	return lt_arena_copy(&reader->harness->arena, base, length);
}

static void read_base(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const char *base = lt_read_word(reader, key, value);
	if (base)
		*(const char **)into =
			check_base(reader, lt_read_place(reader, value), "base", base);
}

static void read_custom(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	static const char *const words[] = { "iec", "english", "german" };
	static const enum lt_custom customs[] = { LT_CUSTOM_IEC, LT_CUSTOM_ENGLISH,
		LT_CUSTOM_GERMAN };
	size_t index;
	if (lt_read_choice(&index, reader, key, value, words, 3))
		*(enum lt_custom *)into = customs[index];
}

static const struct lt_field top_fields[] = {
	/* In the order in which they need each other: colours before wires, ids before links. */
	{ "harness", read_code, offsetof(struct lt_harness, harness) },
	{ "title", lt_field_text, offsetof(struct lt_harness, title) },
	{ "unit", read_unit, offsetof(struct lt_harness, unit) },
	{ "revision", lt_field_text, offsetof(struct lt_harness, revision) },
	{ "base", read_base, offsetof(struct lt_harness, base) },
	{ "colours", read_custom, offsetof(struct lt_harness, colours) },
	{ "hazards", lt_read_hazards, 0 },
	{ "components", lt_read_components, 0 },
	{ "connectors", lt_read_connectors, 0 },
	{ "wires", lt_read_wire_list, 0 },
	{ "finish", lt_read_finish, 0 },
};

/* Options overrule what the description says. */
static void apply_options(struct lt_reader *reader, const struct lt_harness_options *options)
{
	struct lt_harness *harness = reader->harness;
	struct lt_place place = lt_place_file(harness->file);
	if (options && options->unit)
		harness->unit = check_unit(reader, place, "--unit", options->unit);
	if (options && options->base)
		harness->base = check_base(reader, place, "--base", options->base);
	if (harness->harness)
		snprintf(harness->code, sizeof harness->code, "%s%s%s", harness->harness,
			harness->unit ? "U" : "", harness->unit ? harness->unit : "");
}

static void tell_missing(struct lt_reader *reader, const struct lt_node *root)
{
	if (!lt_node_get(root, "harness")) {
		lt_error(reader->diags, lt_read_place(reader, root),
			"the description has no harness code");
		lt_hint(reader->diags, "begin it with a line such as harness: RV3");
	}
	if (!lt_node_get(root, "connectors")) {
		lt_error(reader->diags, lt_read_place(reader, root),
			"the description lists no connectors");
		lt_hint(reader->diags, "list them under connectors:, each with an id");
	}
}

static void read_root(struct lt_reader *reader, const struct lt_node *root,
	const struct lt_harness_options *options)
{
	if (root->kind != LT_MAP) {
		lt_error(reader->diags, lt_read_place(reader, root),
			"this is not a harness description: it has no keys");
		lt_hint(reader->diags, "begin it with a line such as harness: RV3");
		return;
	}
	tell_missing(reader, root);
	lt_read_fields(reader, reader->harness, root, top_fields,
		sizeof top_fields / sizeof *top_fields, "a description");
	apply_options(reader, options);
	lt_link(reader);
	lt_settle_ways(reader);
	lt_check_numbering(reader);
	lt_check(reader);
}

static void finish_reader(struct lt_reader *reader)
{
	lt_hash_finish(&reader->connectors);
	lt_hash_finish(&reader->components);
	lt_hash_finish(&reader->way_index);
	lt_hash_finish(&reader->doubts);
	free(reader->ways);
	free(reader->pairs);
	lt_arena_finish(&reader->scratch);
}

bool lt_harness_read(struct lt_harness *out, const char *file, const char *bytes, size_t length,
	const struct lt_harness_options *options, struct lt_diags *diags)
{
	size_t errors = diags->errors;
	*out = (struct lt_harness){ 0 };
	out->file = file ? lt_arena_strdup(&out->arena, file) : NULL;
	if (length > LT_DESCRIPTION_MAX) {
		lt_error(diags, lt_place_file(file), "is larger than %u MiB, the most that is read",
			LT_DESCRIPTION_MAX / (1024 * 1024));
		return false;
	}
	struct lt_reader reader = {
		.harness = out,
		.diags = diags,
		.subject = "",
		.hints_left = HINTS_MAX,
	};
	struct lt_node root;
	lt_yaml_read(&root, &reader.scratch, file, bytes, length, diags);
	if (root.kind != LT_SCALAR || root.text) {
		read_root(&reader, &root, options);
		bool ordered = lt_order(&reader);
		if (!ordered || diags->errors != errors)
			out->order = NULL;
	}
	finish_reader(&reader);
	return diags->errors == errors;
}

bool lt_harness_read_file(struct lt_harness *out, const char *path,
	const struct lt_harness_options *options, struct lt_diags *diags)
{
	char *bytes;
	size_t length;
	*out = (struct lt_harness){ 0 };
	if (!lt_file_read(&bytes, &length, path, LT_DESCRIPTION_MAX, diags))
		return false;
	bool ok = lt_harness_read(out, path, bytes, length, options, diags);
	free(bytes);
	return ok;
}
