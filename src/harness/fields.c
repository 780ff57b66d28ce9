/* Values of single keys: texts, ids, words to choose from, numbers, colours. */
#include <stdarg.h>
#include <string.h>

#include "harness/read.h"

/* As long as the longest message that is kept. */
#define MESSAGE_SIZE 4096
#define WHITE " \t\n"
#define CHOICE_MAX 12 /* words */

struct lt_place lt_read_place(const struct lt_reader *reader, const struct lt_node *node)
{
	struct lt_place place = node->place;
	place.file = reader->harness->file;
	return place;
}

struct lt_place lt_value_place(const struct lt_reader *reader, const struct lt_node *map,
	const char *key)
{
	const struct lt_node *value = lt_node_get(map, key);
	return value ? lt_read_place(reader, value) : lt_place_none();
}

const char *lt_shown(struct lt_reader *reader, const char *text)
{
	return lt_quote(reader->shown, text);
}

static void add_error(struct lt_reader *reader, struct lt_place place, const char *format,
	va_list arguments)
{
	char message[MESSAGE_SIZE];
	vsnprintf(message, sizeof message, format, arguments);
	lt_error(reader->diags, place, "%s%s", reader->subject, message);
}

void lt_read_error(struct lt_reader *reader, const struct lt_node *node, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	add_error(reader, lt_read_place(reader, node), format, arguments);
	va_end(arguments);
}

void lt_read_error_at(struct lt_reader *reader, struct lt_place place, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	add_error(reader, place, format, arguments);
	va_end(arguments);
}

void lt_read_missing(struct lt_reader *reader, const struct lt_node *map, const char *what,
	const char *key)
{
	lt_read_error(reader, map, "%s needs the key \"%s\"", what, key);
}

bool lt_read_is_map(struct lt_reader *reader, const struct lt_node *node, const char *what,
	const char *example)
{
	if (node->kind == LT_MAP)
		return true;
	if (node->kind == LT_LIST)
		lt_read_error(reader, node, "%s must be written with keys, not as a list", what);
	else
		lt_read_error(reader, node, "%s must be written with keys, not as a text", what);
	lt_hint(reader->diags, "write it as %s", example);
	return false;
}

static void report_empty(struct lt_reader *reader, const char *key, const struct lt_node *value)
{
	lt_read_error(reader, value, "%s: the value is missing", key);
	lt_hint(reader->diags, "write a value, or remove the key");
}

const char *lt_read_word(struct lt_reader *reader, const char *key, const struct lt_node *value)
{
	if (value->kind != LT_SCALAR) {
		if (value->kind == LT_LIST)
			lt_read_error(reader, value, "%s: must be a single text, not a list", key);
		else
			lt_read_error(reader, value, "%s: must be a single text, not a map", key);
		return NULL;
	}
	if (!*value->text) {
		report_empty(reader, key, value);
		return NULL;
	}
	return value->text;
}

/* Whether a character is not shown as it is written; white space apart. */
static bool is_control(uint32_t code)
{
	return lt_text_shown(code) != code;
}

/* The first such character of a text; 0 where there is none. */
static uint32_t find_control(const char *text)
{
	while (*(text += strspn(text, WHITE))) {
		const uint32_t code = lt_utf8_next(&text);
		if (is_control(code))
			return code;
	}
	return 0;
}

/* Copies with each run of white space as one space, and none at the ends. */
static char *squeeze(struct lt_arena *arena, const char *text)
{
	char *copy = lt_arena_strdup(arena, text);
	char *to = copy;
	while (*(text += strspn(text, WHITE))) {
		if (to > copy)
			*to++ = ' ';
		for (size_t left = strcspn(text, WHITE); left > 0; left--)
			*to++ = *text++;
	}
	*to = '\0';
	return copy;
}

const char *lt_read_text(struct lt_reader *reader, const char *key, const struct lt_node *value)
{
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return NULL;
	const uint32_t control = find_control(word);
	if (control) {
		lt_read_error(reader, value, "%s: the invisible character U+%04X is not allowed",
			key, (unsigned)control);
		lt_hint(reader->diags, "delete the character");
		return NULL;
	}
	const char *text = squeeze(&reader->scratch, word);
	if (!*text) {
		report_empty(reader, key, value);
		return NULL;
	}
	if (strlen(text) > LT_TEXT_MAX) {
		lt_read_error(reader, value, "%s: the text is longer than %u bytes", key,
			LT_TEXT_MAX);
		lt_hint(reader->diags, "shorten the text so that it fits on paper");
		return NULL;
	}
	return lt_arena_strdup(&reader->harness->arena, text);
}

/* White space, and what cannot be seen. */
static bool is_invisible(uint32_t code)
{
	return is_control(code) || code == ' ' || code == 0xA0 || code == 0xAD || code == 0x1680 ||
	       (code >= 0x2000 && code <= 0x200F) || code == 0x202F ||
	       (code >= 0x205F && code <= 0x206F) || code == 0x3000 || code == 0xFEFF;
}

static bool is_quote_or_bracket(uint32_t code)
{
	return (code < 0x80 && strchr("\"'`()[]{}", (int)code)) || code == 0xAB || code == 0xBB ||
	       (code >= 0x2018 && code <= 0x201F);
}

/* A dot separates connector and way; the others have a meaning in lists and on the command line. */
static bool is_allowed_in_id(uint32_t code)
{
	return !is_invisible(code) && !is_quote_or_bracket(code) && code != '.' && code != ',' &&
	       code != '#';
}

const char *lt_read_id(struct lt_reader *reader, const char *key, const struct lt_node *value)
{
	const char *id = lt_read_word(reader, key, value);
	if (!id)
		return NULL;
	for (const char *at = id; *at;) {
		const char *start = at;
		const uint32_t code = lt_utf8_next(&at);
		if (is_allowed_in_id(code))
			continue;
		if (is_invisible(code))
			lt_read_error(reader, value,
				"%s: %s contains a space or an invisible character (U+%04X)", key,
				lt_shown(reader, id), (unsigned)code);
		else
			lt_read_error(reader, value, "%s: %s contains the character %.*s", key,
				lt_shown(reader, id), (int)(at - start), start);
		lt_hint(reader->diags, "use only letters, digits and signs such as - and _");
		return NULL;
	}
	if (lt_utf8_count(id) > LT_ID_MAX) {
		lt_read_error(reader, value, "%s: %s is longer than %u characters", key,
			lt_shown(reader, id), LT_ID_MAX);
		lt_hint(reader->diags, "use a short id, and write the rest in name");
		return NULL;
	}
	return lt_arena_strdup(&reader->harness->arena, id);
}

/* Keys whose value is one of some words. */
struct choice {
	const char *key;
	unsigned first; /* what the first word means; the next one means one more */
	const char *words[CHOICE_MAX + 1];
};

static const struct choice *choice_of(const char *key)
{
	static const struct choice choices[] = {
		{ "cap", 0, { "no", "yes" } },
		{ "colours", LT_CONVENTION_IEC, { "iec", "english", "german" } },
		{ "fate", 0, { "keep", "replace" } },
		{ "kind", LT_PLUG,
			{ "plug", "ring", "spade", "hose", "strap", "clip", "screw", "cover",
				"spring", "seal", "cap", "bracket" } },
		{ "latch", LT_EDGE_TOP, { "top", "bottom", "left", "right" } },
		{ "numbers", LT_NUMBERS_OWN, { "own", "order" } },
		{ "sides", 1, { "1", "2" } },
		{ "signal", LT_SIGNAL_DANGER, { "danger", "warning", "caution" } },
		{ "tag", LT_MARK_STICKER, { "sticker", "paper", "none" } },
	};
	const struct choice *choice = choices;
	while (strcmp(choice->key, key) != 0)
		choice++;
	return choice;
}

bool lt_kind_mates(enum lt_kind kind)
{
	return kind <= LT_STRAP;
}

bool lt_kind_is_thing(enum lt_kind kind)
{
	return kind >= LT_SCREW;
}

const char *lt_kind_name(enum lt_kind kind)
{
	return choice_of("kind")->words[kind - LT_PLUG];
}

void lt_field_choice(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const struct choice *choice = choice_of(key);
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return;
	struct lt_text all = { 0 };
	unsigned count = 0;
	for (; choice->words[count]; count++) {
		if (strcmp(word, choice->words[count]) == 0) {
			*(unsigned *)into = choice->first + count;
			lt_text_finish(&all);
			return;
		}
		lt_text_printf(&all, "%s%s", count ? ", " : "", choice->words[count]);
	}
	lt_read_error(reader, value, "%s: %s is not one of %s", key, lt_shown(reader, word),
		lt_text_string(&all));
	lt_text_finish(&all);
	int nearest = lt_nearest(word, choice->words, count);
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean %s?", choice->words[nearest]);
}

bool lt_read_count(unsigned *count, struct lt_reader *reader, const char *key,
	const struct lt_node *value, unsigned max)
{
	unsigned number;
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return false;
	if (!lt_whole_read(&number, word, max) || number == 0) {
		lt_read_error(reader, value, "%s: %s is not a whole number from 1 to %u", key,
			lt_shown(reader, word), max);
		return false;
	}
	*count = number;
	return true;
}

void lt_read_fields(struct lt_reader *reader, void *object, const struct lt_node *map,
	const struct lt_field *fields, size_t count, const char *what)
{
	const char *known[LT_FIELDS_MAX] = { NULL };
	for (size_t i = 0; i < count; i++)
		known[i] = fields[i].key;
	lt_node_only(map, known, count, what, reader->diags);
	for (size_t i = 0; i < count; i++) {
		const struct lt_node *value = lt_node_get(map, fields[i].key);
		if (value && fields[i].read)
			fields[i].read(reader, (char *)object + fields[i].offset, fields[i].key,
				value);
	}
}

size_t lt_read_list(const struct lt_node **items, struct lt_reader *reader, const char *key,
	const struct lt_node *value)
{
	*items = value->kind == LT_LIST ? value->items : value;
	if (value->kind == LT_LIST)
		return value->count;
	if (value->kind == LT_SCALAR && !*value->text) {
		report_empty(reader, key, value);
		return 0;
	}
	return 1;
}

void lt_field_text(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	*(const char **)into = lt_read_text(reader, key, value);
}

void lt_field_id(struct lt_reader *reader, void *into, const char *key, const struct lt_node *value)
{
	*(const char **)into = lt_read_id(reader, key, value);
}

void lt_field_size(struct lt_reader *reader, void *into, const char *key,
	const struct lt_node *value)
{
	const char *word = lt_read_word(reader, key, value);
	if (!word || lt_wire_size_read(into, word))
		return;
	lt_read_error(reader, value, "%s: %s is not a wire size", key, lt_shown(reader, word));
	lt_hint(reader->diags, "write it as 0.75 mm2 or 18 AWG");
}

/* The codes and names of all colours, for the nearest one. */
static void hint_colour(struct lt_reader *reader, const char *word)
{
	const char *words[2 * LT_HUE_COUNT];
	for (size_t i = 0; i < LT_HUE_COUNT; i++) {
		words[i] = lt_hue_code((enum lt_hue)i);
		words[LT_HUE_COUNT + i] = lt_hue_name((enum lt_hue)i);
	}
	int nearest = lt_nearest(word, words, 2 * LT_HUE_COUNT);
	if (nearest >= 0)
		lt_hint(reader->diags, "did you mean %s?", words[nearest]);
	else
		lt_hint(reader->diags,
			"use an IEC 60757 code: BK BN RD OG YE GN BU VT GY WH PK GD TQ SR "
			"GNYE. For more colours write two or three codes together");
}

bool lt_read_colour(struct lt_colour *out, struct lt_reader *reader, const char *key,
	const struct lt_node *value)
{
	const char *word = lt_read_word(reader, key, value);
	if (!word)
		return false;
	struct lt_place place = lt_read_place(reader, value);
	const char *doubt;
	enum lt_colour_verdict verdict =
		lt_colour_read(out, &doubt, word, reader->harness->colours);
	if (verdict == LT_COLOUR_UNKNOWN) {
		lt_read_error(reader, value, "%s: %s is not a colour", key, lt_shown(reader, word));
		hint_colour(reader, word);
		return false;
	}
	if (verdict == LT_COLOUR_AMBIGUOUS && lt_colour_is_earth(out)) {
		lt_read_error(reader, value,
			"%s: it is not clear whether %s is protective earth: %s", key,
			lt_shown(reader, word), doubt);
		lt_hint(reader->diags,
			"write GNYE for protective earth, or else the IEC code of the colour");
		return false;
	}
	if (verdict == LT_COLOUR_AMBIGUOUS &&
		lt_hash_put(&reader->doubts, value->text, 0) == LT_HASH_NONE) {
		lt_warning(reader->diags, place,
			"%s%s: %s has more than one meaning, here and in every other place: %s",
			reader->subject, key, lt_shown(reader, word), doubt);
		lt_hint(reader->diags,
			"write the IEC code of the colour, or set colours: english or "
			"colours: german at the top");
	}
	return true;
}

void lt_hint_nearest(struct lt_reader *reader, const char *word, const char *const *ids,
	size_t count)
{
	if (!reader->hints_left)
		return;
	reader->hints_left--;
	int nearest = lt_nearest(word, ids, count);
	if (nearest >= 0 && strcmp(ids[nearest], LT_ID_UNKNOWN) != 0)
		lt_hint(reader->diags, "did you mean %s?", ids[nearest]);
}
