/* YAML, read into a tree of texts with their places. */
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "loomtag/base.h"

struct reader {
	yaml_parser_t parser;
	struct lt_arena *arena;
	struct lt_diags *diags;
	const char *file;
	const char *bytes;
	size_t length;
	size_t nodes;
	bool gap; /* the tree lacks a value, since it was an alias */
};

/* What stands in a list or map, copied into the arena when it is whole; a list has no keys. */
struct entry {
	struct lt_node key, value;
};

struct growing {
	struct entry *entries;
	size_t count, room;
};

static struct lt_place place_at(const struct reader *reader, yaml_mark_t mark)
{
	const size_t most = UINT_MAX - 1;
	size_t line = mark.line < most ? mark.line : most;
	size_t column = mark.column < most ? mark.column : most;
	return (struct lt_place){ reader->file, (unsigned)line + 1, (unsigned)column + 1 };
}

/* The place of a byte, whether what stands before it is UTF-8 or not. */
static struct lt_place place_of_byte(const struct reader *reader, size_t offset)
{
	struct lt_place place = { reader->file, 1, 1 };
	for (size_t i = 0; i < offset; i++) {
		if (reader->bytes[i] == '\n') {
			place.line++;
			place.column = 1;
		} else if (((unsigned char)reader->bytes[i] & 0xC0) != 0x80) {
			place.column++;
		}
	}
	return place;
}

/* Encoding */

/* By its byte order mark, or by the NUL that is half of each of its first two characters. */
static bool is_utf16(const char *bytes, size_t length)
{
	if (length >= 2 && (memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0))
		return true;
	return length >= 4 && ((!bytes[0] && bytes[1] && !bytes[2] && bytes[3]) ||
				      (bytes[0] && !bytes[1] && bytes[2] && !bytes[3]));
}

/* Line ends that an editor does not show as such would put every later diagnostic on the wrong
 * line; libyaml takes them for line ends. */
static bool is_odd_line_end(uint32_t code)
{
	return code == 0x85 || code == 0x2028 || code == 0x2029;
}

/* What YAML 1.1 calls printable, apart from the odd line ends. */
static bool is_allowed(uint32_t code)
{
	if (code < 0x20)
		return code == '\t' || code == '\n' || code == '\r';
	if (code < 0xA0)
		return code < 0x7F;
	return !is_odd_line_end(code) && code != 0xFEFF && code != 0xFFFE && code != 0xFFFF;
}

/* Decodes the character at *offset and moves behind it; the bytes need no NUL at their end. */
static uint32_t decode(const struct reader *reader, size_t *offset)
{
	uint32_t code;
	*offset += lt_utf8_take(&code, reader->bytes + *offset, reader->length - *offset);
	return code;
}

/* Looks for the first character that may not stand in a file; the length when there is none. */
static size_t find_refused(const struct reader *reader)
{
	size_t at = 0;
	while (at < reader->length) {
		char byte = reader->bytes[at];
		size_t start = at;
		if (byte == '\r' && (at + 1 == reader->length || reader->bytes[at + 1] != '\n'))
			return at;
		if (byte >= ' ' && byte < 0x7F)
			at++;
		else if (!is_allowed(decode(reader, &at)))
			return start;
	}
	return at;
}

static bool refuse(const struct reader *reader, size_t offset, const char *what, const char *hint)
{
	lt_error(reader->diags, place_of_byte(reader, offset), "%s", what);
	lt_hint(reader->diags, "%s", hint);
	return false;
}

static bool refuse_character(const struct reader *reader, size_t offset)
{
	char what[60];
	size_t behind = offset;
	const uint32_t code = decode(reader, &behind);
	if (code == '\r')
		return refuse(reader, offset,
			"a carriage return without a line feed is not allowed",
			"save the file with LF or CR LF line ends");
	if (is_odd_line_end(code)) {
		snprintf(what, sizeof(what), "the line separator U+%04X is not allowed",
			(unsigned)code);
		return refuse(reader, offset, what, "write a space, or start a new line");
	}
	snprintf(what, sizeof(what), "the character U+%04X is not allowed", (unsigned)code);
	return refuse(reader, offset, what, "delete this invisible character");
}

static bool check_encoding(const struct reader *reader)
{
	char what[40];
	if (is_utf16(reader->bytes, reader->length)) {
		lt_error(reader->diags, lt_place_file(reader->file),
			"the file is UTF-16, but must be UTF-8");
		lt_hint(reader->diags, "save the file as UTF-8");
		return false;
	}
	const size_t bad = lt_utf8_check(reader->bytes, reader->length);
	const char *nul = memchr(reader->bytes, '\0', bad);
	if (nul != NULL)
		return refuse(reader, (size_t)(nul - reader->bytes), "a NUL byte is not allowed",
			"check that this is a text file and that it is not damaged");
	if (bad < reader->length) {
		snprintf(what, sizeof(what), "the byte 0x%02X is not UTF-8",
			(unsigned)(unsigned char)reader->bytes[bad]);
		return refuse(reader, bad, what, "save the file as UTF-8");
	}
	const size_t refused = find_refused(reader);
	return refused == reader->length || refuse_character(reader, refused);
}

/* Syntax errors */

/* What libyaml complains of most, in our words. */
enum complaint {
	OTHER,
	COLON,
	TAB,
	NO_TEXT,
	NO_KEY,
	NO_ITEM,
	NO_VALUE,
	OPEN_MAP,
	OPEN_LIST,
	NO_COLON,
	LIST_HERE,
	OPEN_QUOTE,
	QUOTE_PAST_END,
};

static const struct {
	const char *problem; /* how libyaml's own words begin */
	enum complaint complaint;
} complaints[] = {
	{ "mapping values are not allowed", COLON },
	{ "found a tab character", TAB },
	{ "found character that cannot start any token", NO_TEXT },
	{ "did not find expected key", NO_KEY },
	{ "did not find expected '-' indicator", NO_ITEM },
	{ "did not find expected node content", NO_VALUE },
	{ "did not find expected ',' or '}'", OPEN_MAP },
	{ "did not find expected ',' or ']'", OPEN_LIST },
	{ "could not find expected ':'", NO_COLON },
	{ "block sequence entries are not allowed", LIST_HERE },
	{ "found unexpected end of stream", OPEN_QUOTE },
	{ "found unexpected document indicator", QUOTE_PAST_END },
};

static const char *const faults[] = {
	[COLON] = "this is not valid YAML: a colon is not allowed here",
	[TAB] = "this is not valid YAML: a tab is not allowed here",
	[NO_TEXT] = "this is not valid YAML: a text cannot begin with this character",
	[NO_KEY] = "this is not valid YAML: a key must come here",
	[NO_ITEM] = "this is not valid YAML: the '-' of a list item must come here",
	[NO_VALUE] = "this is not valid YAML: a value must come here",
	[OPEN_MAP] = "this is not valid YAML: a comma or '}' must come here",
	[OPEN_LIST] = "this is not valid YAML: a comma or ']' must come here",
	[NO_COLON] = "this is not valid YAML: a colon must come here",
	[LIST_HERE] = "this is not valid YAML: a list is not allowed here",
	[OPEN_QUOTE] = "this is not valid YAML: the file ends inside a text in quotes",
	[QUOTE_PAST_END] = "this is not valid YAML: the document ends inside a text in quotes",
};

/* The first byte of a character, by its number; 0 at the end. libyaml's marks count characters. */
static char character_at(const struct reader *reader, size_t index)
{
	size_t at = 0;
	for (; at < reader->length; at++)
		if (((unsigned char)reader->bytes[at] & 0xC0) != 0x80 && index-- == 0)
			return reader->bytes[at];
	return '\0';
}

static enum complaint complaint_of(const struct reader *reader, const char *problem)
{
	for (size_t i = 0; i < sizeof complaints / sizeof *complaints; i++) {
		if (strncmp(problem, complaints[i].problem, strlen(complaints[i].problem)) != 0)
			continue;
		const bool tab = complaints[i].complaint == NO_TEXT &&
				 character_at(reader, reader->parser.problem_mark.index) == '\t';
		return tab ? TAB : complaints[i].complaint;
	}
	return OTHER;
}

/* What to do; `line` is where what is complained of began. */
static void hint_syntax(struct lt_diags *diags, enum complaint complaint, unsigned line)
{
	switch (complaint) {
	case OTHER:
	case NO_VALUE:
		break;
	case COLON:
		lt_hint(diags,
			"put a text that contains ': ' in quotes, or correct the indentation, "
			"or add the colon in the line above");
		break;
	case TAB:
		lt_hint(diags, "indent with spaces, not with tabs");
		break;
	case NO_TEXT:
		lt_hint(diags, "put the text in quotes");
		break;
	case NO_KEY:
	case NO_ITEM:
		lt_hint(diags, "check the indentation of this line and of the lines above");
		break;
	case OPEN_MAP:
		lt_hint(diags, "close the '{' of line %u, or add the missing comma", line);
		break;
	case OPEN_LIST:
		lt_hint(diags, "close the '[' of line %u, or add the missing comma", line);
		break;
	case NO_COLON:
		lt_hint(diags, "write it as 'key: value', with a space after the colon");
		break;
	case LIST_HERE:
		lt_hint(diags, "begin the list on a line of its own, or write it as [a, b]");
		break;
	case OPEN_QUOTE:
	case QUOTE_PAST_END:
		lt_hint(diags, "close the quote of line %u", line);
		break;
	}
}

static void report_syntax(const struct reader *reader)
{
	const yaml_parser_t *parser = &reader->parser;
	const char *problem = parser->problem ? parser->problem : "out of memory";
	struct lt_place place =
		parser->error == YAML_READER_ERROR
			? place_of_byte(reader, parser->problem_offset < reader->length
							? parser->problem_offset
							: reader->length)
			: place_at(reader, parser->problem_mark);
	const enum complaint complaint = complaint_of(reader, problem);
	if (complaint == OTHER)
		lt_error(reader->diags, place, "this is not valid YAML: %s", problem);
	else
		lt_error(reader->diags, place, "%s", faults[complaint]);
	hint_syntax(reader->diags, complaint, place_at(reader, parser->context_mark).line);
}

/* Events to nodes */

static bool next_event(struct reader *reader, yaml_event_t *event)
{
	if (yaml_parser_parse(&reader->parser, event))
		return true;
	report_syntax(reader);
	return false;
}

static void refuse_properties(struct reader *reader, yaml_mark_t mark, const yaml_char_t *anchor,
	const yaml_char_t *tag)
{
	char shown[LT_QUOTE_SIZE];
	struct lt_place place = place_at(reader, mark);
	if (anchor) {
		lt_error(reader->diags, place, "the anchor %s is not allowed",
			lt_quote(shown, (const char *)anchor));
		lt_hint(reader->diags, "write the value in full in each place");
	}
	if (tag) {
		lt_error(reader->diags, place, "the YAML tag %s is not allowed",
			lt_quote(shown, (const char *)tag));
		lt_hint(reader->diags,
			"remove it. If the text begins with '!', put the text in quotes");
	}
}

static void read_scalar(struct reader *reader, struct lt_node *node, const yaml_event_t *event)
{
	const char *value = (const char *)event->data.scalar.value;
	size_t length = event->data.scalar.length;
	refuse_properties(reader, event->start_mark, event->data.scalar.anchor,
		event->data.scalar.tag);
	if (memchr(value, '\0', length)) {
		lt_error(reader->diags, node->place, "a NUL character is not allowed in a text");
		lt_hint(reader->diags, "remove \"\\0\"");
	}
	node->kind = LT_SCALAR;
	node->text = lt_arena_copy(reader->arena, value, length);
	node->quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
}

static bool read_collection(struct reader *reader, struct lt_node *node, unsigned depth);

/* Reads the node that begins with `event`, and frees the event. False when reading has to end. */
static bool read_node(struct reader *reader, struct lt_node *node, yaml_event_t *event,
	unsigned depth)
{
	bool ok = true;
	char shown[LT_QUOTE_SIZE];
	*node = (struct lt_node){ .place = place_at(reader, event->start_mark) };
	if (++reader->nodes > LT_YAML_NODES) {
		lt_error(reader->diags, node->place, "the file has more than %u keys and values",
			LT_YAML_NODES);
		lt_hint(reader->diags, "divide it into several files");
		ok = false;
	} else if (event->type == YAML_ALIAS_EVENT) {
		lt_error(reader->diags, node->place, "the alias %s is not allowed",
			lt_quote(shown, (const char *)event->data.alias.anchor));
		lt_hint(reader->diags, "write the value in full here. If the text begins with '*', "
				       "put it in quotes");
		node->text = "";
		reader->gap = true;
	} else if (event->type == YAML_SCALAR_EVENT) {
		read_scalar(reader, node, event);
	} else if (depth > LT_YAML_DEPTH) {
		lt_error(reader->diags, node->place, "lists and maps are nested more than %d deep",
			LT_YAML_DEPTH);
		ok = false;
	} else {
		const bool is_map = event->type == YAML_MAPPING_START_EVENT;
		refuse_properties(reader, event->start_mark,
			is_map ? event->data.mapping_start.anchor
			       : event->data.sequence_start.anchor,
			is_map ? event->data.mapping_start.tag : event->data.sequence_start.tag);
		node->kind = is_map ? LT_MAP : LT_LIST;
		ok = read_collection(reader, node, depth);
	}
	yaml_event_delete(event);
	return ok;
}

/* Enters a key that was read. False for one that gets no value in the tree. */
static bool enter_key(struct reader *reader, struct lt_hash *seen, const struct growing *growing,
	const struct lt_node *key)
{
	char shown[LT_QUOTE_SIZE];
	if (key->kind != LT_SCALAR) {
		lt_error(reader->diags, key->place, "a key must be a text, not a list or a map");
		return false;
	}
	size_t first = lt_hash_put(seen, key->text, growing->count);
	if (first == LT_HASH_NONE)
		return true;
	lt_error(reader->diags, key->place, "the key %s is given twice, first in line %u",
		lt_quote(shown, key->text), growing->entries[first].key.place.line);
	lt_hint(reader->diags, "keep one of the two");
	return false;
}

/* Reads what begins with `event`: a key and its value, or in a list a value alone. */
static bool read_entry(struct reader *reader, struct growing *growing, struct lt_hash *keys,
	yaml_event_t *event, unsigned depth)
{
	struct entry entry = { 0 };
	bool wanted = true;
	if (keys != NULL) {
		if (!read_node(reader, &entry.key, event, depth))
			return false;
		wanted = enter_key(reader, keys, growing, &entry.key);
		if (!next_event(reader, event))
			return false;
	}
	if (!read_node(reader, &entry.value, event, depth))
		return false;
	if (!wanted)
		return true;
	growing->entries = lt_grow(growing->entries, &growing->room, growing->count + 1,
		sizeof *growing->entries);
	growing->entries[growing->count++] = entry;
	return true;
}

static void settle(struct lt_node *node, struct lt_arena *arena, const struct growing *growing)
{
	const size_t count = growing->count;
	node->count = count;
	if (count == 0)
		return;
	node->items = lt_arena_array(arena, count, sizeof *node->items);
	if (node->kind == LT_MAP)
		node->keys = lt_arena_array(arena, count, sizeof *node->keys);
	for (size_t i = 0; i < count; i++) {
		node->items[i] = growing->entries[i].value;
		if (node->kind == LT_MAP)
			node->keys[i] = growing->entries[i].key;
	}
}

/* Reads what stands in a list or map up to its end. */
static bool read_collection(struct reader *reader, struct lt_node *node, unsigned depth)
{
	struct growing growing = { 0 };
	struct lt_hash keys = { 0 };
	yaml_event_t event;
	bool ok;
	while ((ok = next_event(reader, &event))) {
		if (event.type == YAML_SEQUENCE_END_EVENT || event.type == YAML_MAPPING_END_EVENT) {
			yaml_event_delete(&event);
			break;
		}
		ok = read_entry(reader, &growing, node->kind == LT_MAP ? &keys : NULL, &event,
			depth + 1);
		if (!ok)
			break;
	}
	if (ok)
		settle(node, reader->arena, &growing);
	free(growing.entries);
	lt_hash_finish(&keys);
	return ok;
}

static bool is_empty(const struct lt_node *root)
{
	return root->kind == LT_SCALAR && !root->quoted && !*root->text;
}

/* Reads the stream to its end, so that a second document and errors after the first are reported.
 */
static bool read_stream(struct reader *reader, struct lt_node *root)
{
	unsigned documents = 0;
	for (;;) {
		yaml_event_t event;
		if (!next_event(reader, &event))
			return false;
		yaml_event_type_t type = event.type;
		struct lt_place place = place_at(reader, event.start_mark);
		if (type == YAML_SCALAR_EVENT || type == YAML_ALIAS_EVENT ||
			type == YAML_SEQUENCE_START_EVENT || type == YAML_MAPPING_START_EVENT) {
			if (!read_node(reader, root, &event, 1))
				return false;
			continue;
		}
		yaml_event_delete(&event);
		if (type == YAML_STREAM_END_EVENT)
			break;
		if (type == YAML_DOCUMENT_START_EVENT && ++documents > 1) {
			lt_error(reader->diags, place,
				"a second document begins here, but a file can have only one");
			lt_hint(reader->diags, "remove the '---', or divide the file in two");
			return true;
		}
	}
	if (!documents || is_empty(root)) {
		lt_error(reader->diags, lt_place_file(reader->file),
			"the file is empty: it has no keys");
		return false;
	}
	return !reader->gap;
}

bool lt_yaml_read(struct lt_node *root, struct lt_arena *arena, const char *file, const char *bytes,
	size_t length, struct lt_diags *diags)
{
	size_t errors = diags->errors;
	*root = (struct lt_node){ 0 };
	if (!length)
		bytes = "";
	if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
		bytes += 3;
		length -= 3;
	}
	struct reader reader = {
		.arena = arena,
		.diags = diags,
		.file = file ? lt_arena_strdup(arena, file) : NULL,
		.bytes = bytes,
		.length = length,
	};
	if (file)
		lt_diags_source(diags, file, bytes, length);
	if (!check_encoding(&reader))
		return false;
	if (!yaml_parser_initialize(&reader.parser)) {
		lt_error(diags, lt_place_file(file), "out of memory");
		return false;
	}
	yaml_parser_set_encoding(&reader.parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(&reader.parser, (const unsigned char *)bytes, length);
	if (!read_stream(&reader, root))
		*root = (struct lt_node){ 0 };
	yaml_parser_delete(&reader.parser);
	return diags->errors == errors;
}
