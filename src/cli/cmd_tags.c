/* loomtag tags: number the connectors, keep the register, list the tags. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/base.h"
#include "loomtag/words.h"

static json_t *lookalikes_json(const struct lt_session *session, size_t connector)
{
	const struct lt_tags *tags = &session->tags;
	size_t count = lt_tag_lookalikes(tags, session->lookalikes, connector, NULL, 0);
	unsigned *numbers = lt_alloc_array(count, sizeof(*numbers));
	lt_tag_lookalikes(tags, session->lookalikes, connector, numbers, count);
	json_t *list = json_array();
	for (size_t i = 0; i < count; i++)
		json_array_append_new(list, json_integer(numbers[i]));
	free(numbers);
	return list;
}

static json_t *live_json(const struct lt_session *session, unsigned number, size_t index)
{
	const struct lt_connector *connector = &session->harness.connectors[index];
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, &session->tags, index);
	json_t *letters = json_array();
	json_t *codes = json_object();
	/* There is no M without H, and no X without M. */
	for (enum lt_side side = LT_SIDE_H; side < count; side++) {
		char letter[2] = { lt_side_letter(side), '\0' };
		char code[LT_SCAN_CODE_SIZE];
		lt_scan_code_write(code, number, side, session->harness.code);
		json_array_append_new(letters, json_string(letter));
		json_object_set_new(codes, letter, json_string(code));
	}
	const char *component = NULL;
	if (connector->component != LT_NONE)
		component = session->harness.components[connector->component].id;
	return json_pack("{s:I, s:s, s:s?, s:o, s:o, s:o, s:s, s:s}", "number", (json_int_t)number,
		"connector", connector->id, "component", component, "sides", letters, "codes",
		codes, "look_alikes", lookalikes_json(session, index), "fit",
		lt_fit_unknown(&session->harness, index) ? "unknown" : "known", "state", "live");
}

static json_t *retired_json(const struct lt_register_entry *entry)
{
	return json_pack("{s:I, s:s, s:n, s:[], s:{}, s:[], s:s, s:s}", "number",
		(json_int_t)entry->number, "connector", entry->id, "component", "sides", "codes",
		"look_alikes", "fit", "unknown", "state", "retired");
}

static json_t *unnumbered_json(const struct lt_session *session)
{
	json_t *list = json_array();
	for (size_t i = 0; i < session->harness.connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			json_array_append_new(list, json_string(session->harness.connectors[i].id));
	}
	return list;
}

static int compare_entries(const void *a, const void *b)
{
	unsigned x = ((const struct lt_register_entry *)a)->number;
	unsigned y = ((const struct lt_register_entry *)b)->number;
	return (x > y) - (x < y);
}

/* "3, 5, 9 and 4 more; fit unknown" */
static void add_lookalikes(struct lt_text *out, const struct lt_session *session, size_t connector)
{
	enum { SHOWN = 6 };
	unsigned numbers[SHOWN];
	size_t count =
		lt_tag_lookalikes(&session->tags, session->lookalikes, connector, numbers, SHOWN);
	struct lt_text list = { 0 };
	for (size_t i = 0; i < count && i < SHOWN; i++)
		lt_text_printf(&list, "%s%u", i > 0 ? ", " : "", numbers[i]);
	lt_words_and_more(out, lt_text_string(&list), count > SHOWN ? count - SHOWN : 0);
	lt_text_finish(&list);
	if (lt_fit_unknown(&session->harness, connector))
		lt_text_printf(out, "%s%s", count > 0 ? "; " : "", lt_tags_words.fit_unknown);
}

/* Adds a text, or nothing for NULL, up to `columns` of the terminal, and two spaces. */
static void add_cell(struct lt_text *line, const char *text, size_t columns)
{
	size_t used = text != NULL ? lt_utf8_columns(text) : 0;
	lt_text_add(line, text != NULL ? text : "");
	lt_text_add_times(line, ' ', (used < columns ? columns - used : 0) + 2);
}

static size_t widest(size_t least, const char *text)
{
	size_t columns = text != NULL ? lt_utf8_columns(text) : 0;
	return columns > least ? columns : least;
}

/* How wide the columns of the table are, apart from the first and the last. */
struct columns {
	size_t sides, id, name, component;
};

/* "HM", "HM, paper". */
static void add_sides(struct lt_text *out, const struct lt_session *session, size_t index)
{
	enum lt_side sides[LT_SIDE_COUNT];
	size_t count = lt_tag_sides(sides, &session->tags, index);
	for (size_t i = 0; i < count; i++)
		lt_text_add_char(out, lt_side_letter(sides[i]));
	if (session->harness.connectors[index].marking == LT_MARK_PAPER)
		lt_text_printf(out, ", %s", lt_tags_words.paper);
}

static void print_line(struct lt_text *line)
{
	while (line->length > 0 && line->bytes[line->length - 1] == ' ')
		line->bytes[--line->length] = '\0';
	puts(lt_text_string(line));
	lt_text_finish(line);
}

static void print_row(const struct lt_session *session, unsigned number, size_t index,
	const struct columns *columns)
{
	const struct lt_harness *harness = &session->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_text line = { 0 };
	if (number > 0) {
		struct lt_text sides = { 0 };
		add_sides(&sides, session, index);
		lt_text_printf(&line, "%6u  ", number);
		add_cell(&line, lt_text_string(&sides), columns->sides);
		lt_text_finish(&sides);
	} else {
		lt_text_printf(&line, "%6s  ", "");
		add_cell(&line, lt_tags_words.checked_by_eye, columns->sides);
	}
	add_cell(&line, connector->id, columns->id);
	add_cell(&line, connector->name, columns->name);
	add_cell(&line,
		connector->component != LT_NONE ? harness->components[connector->component].id
						: NULL,
		columns->component);
	if (number > 0)
		add_lookalikes(&line, session, index);
	print_line(&line);
}

static void print_retired(const struct lt_register_entry *entry, const struct columns *columns)
{
	struct lt_text line = { 0 };
	lt_text_printf(&line, "%6u  ", entry->number);
	add_cell(&line, lt_tags_words.retired, columns->sides);
	lt_text_add_clean(&line, entry->id, strlen(entry->id));
	print_line(&line);
}

static struct columns measure_columns(const struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	struct columns columns = {
		.sides = widest(9, lt_tags_words.sides),
		.id = widest(0, lt_tags_words.connector),
		.name = widest(0, lt_tags_words.name),
		.component = widest(0, lt_tags_words.component),
	};
	for (size_t i = 0; i < harness->connector_count; i++) {
		columns.id = widest(columns.id, harness->connectors[i].id);
		columns.name = widest(columns.name, harness->connectors[i].name);
		if (session->tags.number_of[i] == 0)
			columns.sides = widest(columns.sides, lt_tags_words.checked_by_eye);
	}
	return columns;
}

static void print_heads(const struct columns *columns)
{
	struct lt_text line = { 0 };
	add_cell(&line, lt_tags_words.number, 6);
	add_cell(&line, lt_tags_words.sides, columns->sides);
	add_cell(&line, lt_tags_words.connector, columns->id);
	add_cell(&line, lt_tags_words.name, columns->name);
	add_cell(&line, lt_tags_words.component, columns->component);
	lt_text_add(&line, lt_tags_words.would_also_fit);
	print_line(&line);
}

static void print_table(const struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	const struct columns columns = measure_columns(session);
	lt_print_clean("%s%s%s\n", harness->code, harness->title != NULL ? "  " : "",
		harness->title != NULL ? harness->title : "");
	print_heads(&columns);
	for (size_t i = 0; i < session->reg.count; i++) {
		unsigned number = session->reg.entries[i].number;
		size_t connector = session->tags.connector_of[number];
		if (connector != LT_NONE)
			print_row(session, number, connector, &columns);
		else
			print_retired(&session->reg.entries[i], &columns);
	}
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			print_row(session, 0, i, &columns);
	}
}

/* Prints one member of an object and frees its value. */
static bool print_member(const char *key, json_t *value, const char *end)
{
	printf("  \"%s\": ", key);
	bool good = lt_print_json_value(value, JSON_ENCODE_ANY);
	fputs(end, stdout);
	json_decref(value);
	return good;
}

/* Prints the tags one by one: of 10,000 connectors that are all alike, each has 9,999 look-alikes
 * to list, which together would not fit in memory. */
static bool print_tags(const struct lt_session *session)
{
	bool good = true;
	fputs("  \"tags\": [", stdout);
	for (size_t i = 0; i < session->reg.count && good; i++) {
		const struct lt_register_entry *entry = &session->reg.entries[i];
		size_t connector = session->tags.connector_of[entry->number];
		json_t *tag = connector != LT_NONE ? live_json(session, entry->number, connector)
						   : retired_json(entry);
		fputs(i > 0 ? ",\n    " : "\n    ", stdout);
		good = lt_print_json_value(tag, 0);
		json_decref(tag);
	}
	fputs(session->reg.count > 0 ? "\n  ],\n" : "],\n", stdout);
	return good;
}

static int print_tags_json(const struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	json_t *unit = harness->unit != NULL ? json_string(harness->unit) : json_null();
	fputs("{\n", stdout);
	bool good = print_member("harness", json_string(harness->harness), ",\n") &&
		    print_member("unit", unit, ",\n") &&
		    print_member("code", json_string(harness->code), ",\n") &&
		    print_tags(session) &&
		    print_member("unnumbered", unnumbered_json(session), "\n");
	fputs("}\n", stdout);
	return good ? EXIT_YES : EXIT_SYSTEM;
}

int lt_run_tags(const struct options *options)
{
	struct lt_session session;
	int code = lt_session_open(&session, options, SESSION_WRITES);
	if (code == EXIT_YES)
		code = lt_session_save(&session);
	if (code == EXIT_YES)
		lt_session_note_new_register(&session);
	if (session.reg.count > 0)
		qsort(session.reg.entries, session.reg.count, sizeof(*session.reg.entries),
			compare_entries);
	if (code == EXIT_YES && options->json)
		code = print_tags_json(&session);
	else if (code == EXIT_YES && !options->quiet)
		print_table(&session);
	lt_session_finish(&session);
	return code;
}
