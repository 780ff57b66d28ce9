/* Strings: a growable one, UTF-8, and the nearest word for a hint. */
#ifndef LOOMTAG_TEXT_H
#define LOOMTAG_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A growable string, always NUL-terminated once anything was added. A zeroed struct is empty. */
struct lt_text {
	char *bytes;
	size_t length;
	size_t room;
};

void lt_text_init(struct lt_text *text);

/* Frees the bytes; takes NULL or a zeroed struct. */
void lt_text_finish(struct lt_text *text);

/* Empties the string and keeps its room. */
void lt_text_clear(struct lt_text *text);

void lt_text_add(struct lt_text *text, const char *string);
void lt_text_add_bytes(struct lt_text *text, const char *bytes, size_t length);
void lt_text_add_char(struct lt_text *text, char c);
void lt_text_add_times(struct lt_text *text, char c, size_t times);
void lt_text_printf(struct lt_text *text, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* The string, "" when nothing was added. Owned by `text`. */
const char *lt_text_string(const struct lt_text *text);

/* What is shown for a code point that came from outside, on a terminal as on paper: a space for a
 * tab, a line feed or a carriage return; U+FFFD for what would drive a terminal, turn the direction
 * of a line, cannot be seen or is no character; else the code point itself. Nothing that goes out
 * decides this otherwise. */
uint32_t lt_text_shown(uint32_t code);

/* Adds text that came from outside to `out`, each code point as lt_text_shown has it; a byte that
 * is not of UTF-8 becomes U+FFFD. The first drops blanks at the ends of the text, the second keeps
 * them. The bytes may hold a NUL and need none at their end. */
void lt_text_add_clean(struct lt_text *out, const char *bytes, size_t length);
void lt_text_add_visible(struct lt_text *out, const char *bytes, size_t length);

/* lt_text_add_visible as a copy in an arena. */
struct lt_arena;
const char *lt_arena_visible(struct lt_arena *arena, const char *bytes, size_t length);

/* Decodes the code point at *at and moves *at behind it; at the end (NUL) returns 0 and stays.
 * A malformed sequence gives U+FFFD and moves one byte. */
uint32_t lt_utf8_next(const char **at);

/* Decodes the code point that begins at `bytes`, of which there are `length`, at least 1; returns
 * how many bytes it takes. A malformed sequence gives U+FFFD and takes one byte. */
size_t lt_utf8_take(uint32_t *code, const char *bytes, size_t length);

/* The offset of the first byte that is not UTF-8 (RFC 3629: no surrogates, no overlong forms,
 * nothing above U+10FFFF), or `length` when all is well. */
size_t lt_utf8_check(const char *bytes, size_t length);

/* Writes one code point, 1 to 4 bytes, no NUL; returns how many. */
size_t lt_utf8_put(char out[4], uint32_t code);

/* Code points in a string. */
size_t lt_utf8_count(const char *string);

/* Columns that the string takes on a terminal (wcwidth-like: wide East Asian 2, combining 0). */
size_t lt_utf8_columns(const char *string);

/* Levenshtein distance with adjacent transpositions, capped: a result above `limit` is given as
 * limit + 1. ASCII letters compare without case. */
unsigned lt_edit_distance(const char *a, const char *b, unsigned limit);

/* The index of the word nearest to `word`, or -1 when none is near enough to be worth a hint
 * (at most a third of the word's length, at least 1). */
int lt_nearest(const char *word, const char *const *words, size_t count);

/* Case-insensitive compare of ASCII letters, whatever the locale. */
bool lt_same_word(const char *a, const char *b);

/* The lines of `text` broken to at most `columns` terminal columns at spaces (a longer word is
 * broken), each appended to `out` behind `indent` spaces and ended with a newline; the first line
 * has no indent. */
void lt_text_wrap(struct lt_text *out, const char *text, size_t columns, size_t indent);

#endif
