/* A description from its top: the harness's own keys, hazards, components, the finish list. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "harness/read.h"
#include "loomtag/base.h"

#define HINTS_MAX 50

#define DIGITS "0123456789"
#define CAPITALS "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

static bool ends_like_a_unit(const char *code)
{
	const char *last = strrchr(code, 'U');
	return last && last[1] && !last[1 + strspn(last + 1, DIGITS)];
}

enum code_fault { CODE_GOOD, CODE_LENGTH, CODE_START, CODE_CHARACTER, CODE_UNIT };

/* What is wrong with a harness code in capitals. */
static enum code_fault code_fault(const char *code)
{
	size_t length = strlen(code);
	if (length < 2 || length > LT_HARNESS_CODE_MAX)
		return CODE_LENGTH;
	if (!strspn(code, CAPITALS))
		return CODE_START;
	if (code[strspn(code, CAPITALS DIGITS)])
		return CODE_CHARACTER;
	return ends_like_a_unit(code) ? CODE_UNIT : CODE_GOOD;
}

bool lt_harness_code_valid(const char *code)
{
	return code_fault(code) == CODE_GOOD;
}

static void report_code(struct lt_reader *reader, const struct lt_node *value, const char *text,
	enum code_fault fault)
{
	const char *shown = lt_shown(reader, text);
	switch (fault) {
	case CODE_GOOD:
		return;
	case CODE_LENGTH:
		lt_read_error(reader, value, "harness: %s must have 2 to 12 characters", shown);
		break;
	case CODE_START:
		lt_read_error(reader, value, "harness: %s must begin with a letter A to Z", shown);
		break;
	case CODE_CHARACTER:
		lt_read_error(reader, value,
			"harness: %s must contain only the letters A to Z and digits", shown);
		break;
	case CODE_UNIT:
		lt_read_error(reader, value,
			"harness: %s must not end in U and digits, because a unit is added like that",
			shown);
		lt_hint(reader->diags, "write the digits as unit, or change the end of the code");
		return;
	}
	lt_hint(reader->diags,
		"write a short code, for example RV3. It leaves the most room on a sticker");
}

static void read_code(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const char *text = lt_read_word(reader, key, value);
	if (!text)
		return;
	char *capitals = lt_arena_strdup(&reader->harness->arena, text);
	for (char *c = capitals; *c; c++)
		*c = *c >= 'a' && *c <= 'z' ? (char)(*c - 'a' + 'A') : *c;
	const enum code_fault fault = code_fault(capitals);
	if (fault != CODE_GOOD) {
		report_code(reader, value, text, fault);
	} else if (strcmp(capitals, text) != 0) {
		lt_read_error(reader, value, "harness: %s must be in capitals",
			lt_shown(reader, text));
		lt_hint(reader->diags, "write it as %s", capitals);
	} else {
		*(const char **)into = capitals;
	}
}

/* Takes over a unit; `what` is the key or option that gave it. */
static void take_unit(struct lt_reader *reader, const char *what, const struct lt_node *given)
{
	const char *unit = given->text;
	struct lt_harness *harness = reader->harness;
	size_t digits = strspn(unit, DIGITS);
	size_t length = (harness->harness ? strlen(harness->harness) : 2) + 1 + digits;
	harness->unit = NULL;
	if (!digits || unit[digits]) {
		lt_read_error(reader, given, "%s: %s must contain only digits", what,
			lt_shown(reader, unit));
		lt_hint(reader->diags, "write a number, for example 0042");
	} else if (length > LT_HARNESS_CODE_MAX) {
		lt_read_error(reader, given,
			"%s: %s makes the code on the stickers %zu characters long, but at most %u "
			"are possible",
			what, lt_shown(reader, unit), length, LT_HARNESS_CODE_MAX);
		lt_hint(reader->diags, "use fewer digits, or a shorter harness code");
	} else {
		harness->unit = lt_arena_strdup(&harness->arena, unit);
	}
}

static void read_unit(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	(void)into;
	const char *word = lt_read_word(reader, key, value);
	struct lt_harness *harness = reader->harness;
	harness->unit_place = lt_read_place(reader, value);
	harness->own_unit = word && strcmp(word, "own") == 0;
	if (word && !harness->own_unit)
		take_unit(reader, key, value);
	harness->described_unit = harness->own_unit ? "own" : harness->unit;
}

/* Takes over a base address, without a slash at its end. */
static void take_base(struct lt_reader *reader, const char *what, const struct lt_node *given)
{
	struct lt_harness *harness = reader->harness;
	struct lt_text fault = { 0 };
	harness->base = NULL;
	if (lt_base_check(&fault, given->text)) {
		size_t length = strlen(given->text);
		harness->base = lt_arena_copy(&harness->arena, given->text,
			length - (given->text[length - 1] == '/'));
	} else {
		lt_read_error(reader, given, "%s: %s cannot be used for links: %s", what,
			lt_shown(reader, given->text), lt_text_string(&fault));
		lt_hint(reader->diags, "write it as http://bench.local:8080 or "
				       "https://shop.local/tags");
	}
	lt_text_finish(&fault);
}

static void read_base(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	(void)into;
	if (lt_read_word(reader, key, value))
		take_base(reader, key, value);
}

static const struct lt_field top_fields[] = {
	/* In the order in which they need each other: colours before wires, ids before links. */
	{ "harness", read_code, offsetof(struct lt_harness, harness) },
	{ "title", lt_field_text, offsetof(struct lt_harness, title) },
	{ "unit", read_unit, 0 },
	{ "revision", lt_field_text, offsetof(struct lt_harness, revision) },
	{ "base", read_base, 0 },
	{ "colours", lt_field_choice, offsetof(struct lt_harness, colours) },
	{ "numbers", lt_field_choice, offsetof(struct lt_harness, numbers) },
	{ "hazards", lt_read_hazards, 0 },
	{ "components", lt_read_components, 0 },
	{ "mouldings", lt_read_mouldings, 0 },
	{ "connectors", lt_read_connectors, 0 },
	{ "wires", lt_read_wire_list, 0 },
	{ "finish", lt_read_finish, 0 },
};

/* Options overrule what the description says. */
static void apply_options(struct lt_reader *reader, const struct lt_harness_options *options)
{
	struct lt_harness *harness = reader->harness;
	if (options && options->unit) {
		harness->own_unit = false;
		take_unit(reader, "--unit", &(struct lt_node){ .text = options->unit });
	}
	if (options && options->base)
		take_base(reader, "--base", &(struct lt_node){ .text = options->base });
	if (harness->harness)
		snprintf(harness->code, sizeof harness->code, "%s%s%s", harness->harness,
			harness->unit ? "U" : "", harness->unit ? harness->unit : "");
}

static void read_root(struct lt_reader *reader, const struct lt_node *root,
	const struct lt_harness_options *options)
{
	if (root->kind != LT_MAP) {
		lt_read_error(reader, root, "this is not a harness description: it has no keys");
		lt_hint(reader->diags, "begin the file with a line such as harness: RV3");
		return;
	}
	if (!lt_node_get(root, "harness")) {
		lt_read_missing(reader, root, "a description", "harness");
		lt_hint(reader->diags, "begin the file with a line such as harness: RV3");
	}
	if (!lt_node_get(root, "connectors")) {
		lt_read_missing(reader, root, "a description", "connectors");
		lt_hint(reader->diags, "list the connectors under connectors:, each with an id");
	}
	reader->harness->unit_place = lt_read_place(reader, root);
	lt_read_fields(reader, reader->harness, root, top_fields,
		sizeof top_fields / sizeof *top_fields, "a description");
	apply_options(reader, options);
	lt_link(reader);
	lt_settle_ways(reader);
	lt_check(reader);
}

bool lt_harness_unit_missing(const struct lt_harness *harness)
{
	return harness->unit == NULL && !harness->own_unit;
}

static void finish_reader(struct lt_reader *reader)
{
	lt_hash_finish(&reader->connectors);
	lt_hash_finish(&reader->components);
	lt_hash_finish(&reader->moulding_index);
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
		lt_error(diags, lt_place_file(file), "is too large: at most %u MiB can be read",
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
