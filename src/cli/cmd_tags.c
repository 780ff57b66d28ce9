/* loomtag tags: number the connectors, keep the register, list the tags. */
#include <stdio.h>
#include <stdlib.h>

#include "cli/command.h"
#include "cli/session.h"
#include "cli/terminal.h"
#include "loomtag/base.h"

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

/* "3, 5, 9 +4". */
static void add_lookalikes(struct lt_text *out, const struct lt_session *session, size_t connector)
{
	enum { SHOWN = 6 };
	unsigned numbers[SHOWN];
	size_t count =
		lt_tag_lookalikes(&session->tags, session->lookalikes, connector, numbers, SHOWN);
	for (size_t i = 0; i < count && i < SHOWN; i++)
		lt_text_printf(out, "%s%u", i > 0 ? ", " : "", numbers[i]);
	if (count > SHOWN)
		lt_text_printf(out, " +%zu", count - SHOWN);
	if (lt_fit_unknown(&session->harness, connector))
		lt_text_printf(out, "%sfit unknown", count > 0 ? "; " : "");
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

static void print_row(const struct lt_session *session, unsigned number, size_t index,
	size_t id_columns, size_t name_columns)
{
	const struct lt_harness *harness = &session->harness;
	const struct lt_connector *connector = &harness->connectors[index];
	struct lt_text line = { 0 };
	if (number > 0) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_tag_sides(sides, &session->tags, index);
		char letters[LT_SIDE_COUNT + 1] = "";
		char cell[sizeof(letters) + sizeof(" paper")];
		for (size_t i = 0; i < count; i++)
			letters[i] = lt_side_letter(sides[i]);
		snprintf(cell, sizeof(cell), "%s%s", letters,
			connector->marking == LT_MARK_PAPER ? " paper" : "");
		lt_text_printf(&line, "%6u  ", number);
		add_cell(&line, cell, 9);
	} else {
		lt_text_add(&line, "     -  by eye     ");
	}
	add_cell(&line, connector->id, id_columns);
	add_cell(&line, connector->name, name_columns);
	add_cell(&line,
		connector->component != LT_NONE ? harness->components[connector->component].id
						: NULL,
		9);
	if (number > 0)
		add_lookalikes(&line, session, index);
	while (line.length > 0 && line.bytes[line.length - 1] == ' ')
		line.bytes[--line.length] = '\0';
	puts(lt_text_string(&line));
	lt_text_finish(&line);
}

static void print_table(const struct lt_session *session)
{
	const struct lt_harness *harness = &session->harness;
	size_t id_columns = 9;
	size_t name_columns = 4;
	for (size_t i = 0; i < harness->connector_count; i++) {
		id_columns = widest(id_columns, harness->connectors[i].id);
		name_columns = widest(name_columns, harness->connectors[i].name);
	}
	lt_print_clean("%s%s%s\n", harness->code, harness->title != NULL ? "  " : "",
		harness->title != NULL ? harness->title : "");
	printf("number  sides      %-*s  %-*s  %-9s  would also fit\n", (int)id_columns,
		"connector", (int)name_columns, "name", "component");
	for (size_t i = 0; i < session->reg.count; i++) {
		unsigned number = session->reg.entries[i].number;
		size_t connector = session->tags.connector_of[number];
		if (connector != LT_NONE)
			print_row(session, number, connector, id_columns, name_columns);
		else
			lt_print_clean("%6u  retired    %s\n", number, session->reg.entries[i].id);
	}
	for (size_t i = 0; i < harness->connector_count; i++) {
		if (session->tags.number_of[i] == 0)
			print_row(session, 0, i, id_columns, name_columns);
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
	qsort(session.reg.entries, session.reg.count, sizeof(*session.reg.entries),
		compare_entries);
	if (code == EXIT_YES && options->json)
		code = print_tags_json(&session);
	else if (code == EXIT_YES && !options->quiet)
		print_table(&session);
	lt_session_finish(&session);
	return code;
}
