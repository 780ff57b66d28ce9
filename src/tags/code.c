/* Tags and scan codes: writing them, and reading what a scanner or a person gives. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"

#define DIGITS_MAX 5
/* Number, side, harness code, check character: longer runs are no scan code. */
#define RUN_MAX (DIGITS_MAX + 1 + LT_HARNESS_CODE_MAX + 1)

static const char side_letters[] = "HMX";

char lt_side_letter(enum lt_side side)
{
	return side_letters[side];
}

/* Whatever the locale: scanners and stickers know ASCII. */
static char upper(char c)
{
	return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

static bool is_capital(char c)
{
	return c >= 'A' && c <= 'Z';
}

static bool is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
}

/* A letter in either case, or a digit. */
static bool is_code_character(char c)
{
	return (c >= '0' && c <= '9') || is_capital(upper(c));
}

void lt_tag_write(char out[LT_TAG_SIZE], unsigned number, enum lt_side side)
{
	snprintf(out, LT_TAG_SIZE, "%u%c", number, lt_side_letter(side));
}

void lt_scan_code_write(char out[LT_SCAN_CODE_SIZE], unsigned number, enum lt_side side,
	const char *code)
{
	int length =
		snprintf(out, LT_SCAN_CODE_SIZE - 1, "%u%c%s", number, lt_side_letter(side), code);
	size_t end = length < LT_SCAN_CODE_SIZE - 2 ? (size_t)length : LT_SCAN_CODE_SIZE - 2;
	out[end] = lt_iso7064_check(out, end);
	out[end + 1] = '\0';
}

/* A harness code in capitals, with or without unit: ALPHA 1*11(ALPHA / DIGIT). */
static bool is_code(const char *code, size_t length)
{
	return length >= 2 && length <= LT_HARNESS_CODE_MAX && is_capital(code[0]);
}

/* A part of what was scanned. */
struct token {
	const char *at;
	size_t length;
};

/* The first token of `bytes`, between white space; an empty one at the end. */
static struct token next_token(const char *bytes, size_t length)
{
	size_t start = 0;
	while (start < length && is_space(bytes[start]))
		start++;
	size_t end = start;
	while (end < length && !is_space(bytes[end]))
		end++;
	return (struct token){ bytes + start, end - start };
}

/* The last run of letters and digits among the first `end` characters of a token; empty, at its
 * start, where there is none. */
static struct token last_run(struct token token, size_t end)
{
	while (end > 0 && !is_code_character(token.at[end - 1]))
		end--;
	size_t from = end;
	while (from > 0 && is_code_character(token.at[from - 1]))
		from--;
	return (struct token){ token.at + from, end - from };
}

/* What a run of letters and digits is by itself, a tag or a scan code or neither. */
static struct lt_scan read_run(struct token run)
{
	struct lt_scan scan = { .kind = LT_SCAN_MISREAD };
	char text[RUN_MAX + 1] = "";
	for (size_t i = 0; i < RUN_MAX && i < run.length; i++)
		text[i] = upper(run.at[i]);
	size_t digits = strspn(text, "0123456789");
	const char *side = memchr(side_letters, text[digits], LT_SIDE_COUNT);
	if (run.length > RUN_MAX || digits == 0 || digits > DIGITS_MAX || text[0] == '0' ||
		side == NULL)
		return scan;
	const char *code = text + digits + 1;
	if (*code == '\0') {
		scan.kind = LT_SCAN_TAG;
	} else if (is_code(code, strlen(code) - 1) && lt_iso7064_valid(text, run.length)) {
		scan.kind = LT_SCAN_CODE;
		memcpy(scan.code, code, strlen(code) - 1);
	} else {
		return scan;
	}
	scan.number = (unsigned)strtoul(text, NULL, 10);
	scan.side = (enum lt_side)(side - side_letters);
	return scan;
}

static bool has_mark(struct token token, size_t at)
{
	static const char mark[] = "://";
	const size_t length = sizeof mark - 1;
	return at + length <= token.length && memcmp(token.at + at, mark, length) == 0;
}

/* Where the address in front of the last segment of a link ends: what the description gave. 0 where
 * the token is no link. *second: whether another link begins within it. */
static size_t address_end(bool *second, struct token token)
{
	size_t scheme = 0;
	size_t end = 0;
	*second = false;
	while (scheme < token.length && is_capital(upper(token.at[scheme])))
		scheme++;
	if (scheme == 0 || !has_mark(token, scheme))
		return 0;
	for (size_t i = scheme + 1; i < token.length; i++) {
		if (token.at[i] == '/')
			end = i;
		*second |= has_mark(token, i);
	}
	return end;
}

/* Whether more than one sticker may have been read into one token: its last run begins at
 * `before`. */
static bool has_another(struct token token, size_t before)
{
	bool second;
	const size_t end = address_end(&second, token);
	while (!second && before > end) {
		const struct token run = last_run(token, before);
		before = (size_t)(run.at - token.at);
		second = before >= end && read_run(run).kind == LT_SCAN_CODE;
	}
	return second;
}

static struct lt_scan read_token(struct token token)
{
	const struct token run = last_run(token, token.length);
	const size_t before = (size_t)(run.at - token.at);
	struct lt_scan scan = read_run(run);
	/* A tag has no check character, so nothing else may stand beside it. */
	if ((scan.kind == LT_SCAN_TAG && last_run(token, before).length > 0) ||
		(scan.kind == LT_SCAN_CODE && has_another(token, before)))
		return (struct lt_scan){ .kind = LT_SCAN_MISREAD };
	return scan;
}

void lt_scan_read(struct lt_scan *out, const char *bytes, size_t length)
{
	const char *end = bytes + length;
	struct token token = next_token(bytes, length);
	*out = read_token(token);
	/* Words may follow, but not a second scan: two on one line are neither of them. */
	while (out->kind != LT_SCAN_MISREAD) {
		const char *rest = token.at + token.length;
		token = next_token(rest, (size_t)(end - rest));
		if (token.length == 0)
			return;
		struct lt_scan second = read_token(token);
		if (second.kind == LT_SCAN_CODE ||
			(second.kind == LT_SCAN_TAG && out->kind == LT_SCAN_TAG))
			*out = (struct lt_scan){ .kind = LT_SCAN_MISREAD };
	}
}

size_t lt_scan_break(const char *word, size_t length)
{
	const struct token token = { word, length };
	if (read_token(token).kind != LT_SCAN_CODE)
		return 0;
	const char *number = last_run(token, length).at;
	return (size_t)(number - word) + strspn(number, "0123456789"); /* ends at the side */
}
