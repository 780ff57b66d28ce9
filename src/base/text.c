/* Growable strings, the nearest word for a hint, and text wrapped into lines. */
#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "loomtag/base.h"

void lt_text_finish(struct lt_text *text)
{
	if (text == NULL)
		return;
	free(text->bytes);
	*text = (struct lt_text){ 0 };
}

void lt_text_clear(struct lt_text *text)
{
	text->length = 0;
	if (text->bytes != NULL)
		text->bytes[0] = '\0';
}

static void make_room(struct lt_text *text, size_t more)
{
	text->bytes = lt_grow(text->bytes, &text->room, text->length + more + 1, 1);
}

void lt_text_add_bytes(struct lt_text *text, const char *bytes, size_t length)
{
	make_room(text, length);
	if (length > 0)
		memcpy(text->bytes + text->length, bytes, length);
	text->length += length;
	text->bytes[text->length] = '\0';
}

void lt_text_add(struct lt_text *text, const char *string)
{
	lt_text_add_bytes(text, string, strlen(string));
}

void lt_text_add_char(struct lt_text *text, char c)
{
	lt_text_add_bytes(text, &c, 1);
}

void lt_text_add_times(struct lt_text *text, char c, size_t times)
{
	make_room(text, times);
	memset(text->bytes + text->length, c, times);
	text->length += times;
	text->bytes[text->length] = '\0';
}

void lt_text_printf(struct lt_text *text, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	va_list again;
	va_copy(again, arguments);
	int length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	if (length > 0) {
		make_room(text, (size_t)length);
		vsnprintf(text->bytes + text->length, (size_t)length + 1, format, again);
		text->length += (size_t)length;
	}
	va_end(again);
}

const char *lt_plural(size_t count, const char *one, const char *many)
{
	return count == 1 ? one : many;
}

const char *lt_text_string(const struct lt_text *text)
{
	return text->bytes != NULL ? text->bytes : "";
}

const char *lt_arena_text(struct lt_arena *arena, struct lt_text *text)
{
	const char *string = lt_arena_strdup(arena, lt_text_string(text));
	lt_text_finish(text);
	return string;
}

void lt_text_add_visible(struct lt_text *out, const char *bytes, size_t length)
{
	size_t at = 0;
	while (at < length) {
		const size_t start = at;
		while (at < length && bytes[at] >= ' ' && bytes[at] < 0x7F)
			at++;
		lt_text_add_bytes(out, bytes + start, at - start);
		if (at == length)
			break;
		uint32_t code;
		char put[4];
		at += lt_utf8_take(&code, bytes + at, length - at);
		lt_text_add_bytes(out, put, lt_utf8_put(put, lt_text_shown(code)));
	}
}

void lt_text_add_clean(struct lt_text *out, const char *bytes, size_t length)
{
	while (length > 0 && isspace((unsigned char)bytes[length - 1]))
		length--;
	while (length > 0 && isspace((unsigned char)*bytes)) {
		bytes++;
		length--;
	}
	lt_text_add_visible(out, bytes, length);
}

const char *lt_arena_shown(struct lt_arena *arena, const char *text)
{
	if (text == NULL)
		return NULL;
	struct lt_text visible = { 0 };
	lt_text_add_visible(&visible, text, strlen(text));
	const char *copy = lt_arena_strdup(arena, lt_text_string(&visible));
	lt_text_finish(&visible);
	return copy;
}

bool lt_same_word(const char *a, const char *b)
{
	return strcasecmp(a, b) == 0;
}

/* Longer words are alike only where they are the same. */
enum { WORD_MAX = 64 };

static unsigned least(unsigned a, unsigned b)
{
	return a < b ? a : b;
}

/* Levenshtein distance with adjacent transpositions, capped: a result above `limit` is given as
 * limit + 1. ASCII letters compare without case. */
static unsigned edit_distance(const char *a, const char *b, unsigned limit)
{
	size_t la = strlen(a);
	size_t lb = strlen(b);
	if (la > WORD_MAX || lb > WORD_MAX)
		return strcmp(a, b) == 0 ? 0 : limit + 1;
	if (la > lb + limit || lb > la + limit)
		return limit + 1;
	unsigned rows[3][WORD_MAX + 1];
	for (unsigned j = 0; j <= lb; j++)
		rows[0][j] = j;
	for (size_t i = 1; i <= la; i++) {
		unsigned *row = rows[i % 3];
		const unsigned *before = rows[(i + 2) % 3];
		const unsigned *before_that = rows[(i + 1) % 3];
		row[0] = (unsigned)i;
		for (size_t j = 1; j <= lb; j++) {
			int ca = tolower((unsigned char)a[i - 1]);
			int cb = tolower((unsigned char)b[j - 1]);
			unsigned cost = ca == cb ? 0 : 1;
			row[j] = least(least(before[j] + 1, row[j - 1] + 1), before[j - 1] + cost);
			if (i > 1 && j > 1 && ca == tolower((unsigned char)b[j - 2]) &&
				tolower((unsigned char)a[i - 2]) == cb)
				row[j] = least(row[j], before_that[j - 2] + 1);
		}
	}
	return least(rows[la % 3][lb], limit + 1);
}

int lt_nearest(const char *word, const char *const *words, size_t count)
{
	size_t length = strlen(word);
	unsigned limit = length < 6 ? 1 : (unsigned)(length / 3);
	int nearest = -1;
	unsigned distance = limit + 1;
	for (size_t i = 0; i < count && distance > 0; i++) {
		unsigned found = edit_distance(word, words[i], limit);
		if (found < distance) {
			distance = found;
			nearest = (int)i;
		}
	}
	return nearest;
}

/* The end of the longest piece of `line` that takes at most `columns`, at a space if there is
 * one. */
static const char *line_end(const char *line, size_t columns)
{
	const char *at = line;
	const char *space = NULL;
	size_t used = 0;
	while (*at != '\0') {
		const char *before = at;
		uint32_t code = lt_utf8_next(&at);
		char one[5] = { 0 };
		lt_utf8_put(one, code);
		used += lt_utf8_columns(one);
		if (used > columns) {
			if (code == ' ')
				return before;
			if (space != NULL)
				return space;
			return before > line ? before : at;
		}
		if (code == ' ')
			space = before;
	}
	return at;
}

void lt_text_wrap(struct lt_text *out, const char *text, size_t columns, size_t indent)
{
	size_t before = 0;
	do {
		while (*text == ' ')
			text++;
		const char *end = line_end(text, columns > before ? columns - before : 1);
		lt_text_add_times(out, ' ', before);
		lt_text_add_bytes(out, text, (size_t)(end - text));
		lt_text_add_char(out, '\n');
		text = end;
		while (*text == ' ')
			text++;
		before = indent;
	} while (*text != '\0');
}
