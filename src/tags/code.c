/* Tags and scan codes: writing them, and reading what a scanner or a person gives. */
#include <stdio.h>
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
static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_capital(char c)
{
	return c >= 'A' && c <= 'Z';
}

static char upper(char c)
{
	return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

static bool is_space(char c)
{
	return c == ' ' || (c >= '\t' && c <= '\r');
}

static bool is_code_character(char c)
{
	return is_digit(c) || is_capital(c);
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

/* A harness code, with or without unit: ALPHA 1*11(ALPHA / DIGIT). */
static bool is_code(const char *code, size_t length)
{
	if (length < 2 || length > LT_HARNESS_CODE_MAX || !is_capital(code[0]))
		return false;
	for (size_t i = 1; i < length; i++)
		if (!is_code_character(code[i]))
			return false;
	return true;
}

bool lt_harness_code_valid(const char *code)
{
	size_t length = strlen(code);
	if (!is_code(code, length))
		return false;
	size_t digits = 0;
	while (is_digit(code[length - 1 - digits]))
		digits++; /* ends at the letter that it begins with */
	return digits == 0 || code[length - 1 - digits] != 'U';
}

/* The first token of `bytes`, between white space; an empty one at the end. */
struct token {
	const char *at;
	size_t length;
};

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

/* Where the last run of letters and digits in a token is. */
struct run {
	size_t from, length;
};

static struct run find_run(struct token token)
{
	size_t end = token.length;
	while (end > 0 && !is_code_character(upper(token.at[end - 1])))
		end--;
	size_t from = end;
	while (from > 0 && is_code_character(upper(token.at[from - 1])))
		from--;
	return (struct run){ from, end - from };
}

/* The last run of letters and digits in a token, upper-cased; *alone tells that it is the only
 * one. Returns its length, of which at most RUN_MAX are written. */
static size_t last_run(char run[RUN_MAX + 1], bool *alone, struct token token)
{
	struct run found = find_run(token);
	for (size_t i = 0; i < RUN_MAX && i < found.length; i++)
		run[i] = upper(token.at[found.from + i]);
	*alone = true;
	for (size_t i = 0; i < found.from; i++)
		*alone = *alone && !is_code_character(upper(token.at[i]));
	return found.length;
}

/* Reads number and side at the start of a run; returns how many characters, 0 for no tag. */
static size_t read_tag(struct lt_scan *out, const char *run, size_t length)
{
	size_t digits = 0;
	unsigned number = 0;
	while (digits < length && digits < DIGITS_MAX && is_digit(run[digits]))
		number = number * 10 + (unsigned)(run[digits++] - '0');
	if (digits == 0 || run[0] == '0' || digits == length)
		return 0;
	const char *side = memchr(side_letters, run[digits], LT_SIDE_COUNT);
	if (side == NULL)
		return 0;
	out->number = number;
	out->side = (enum lt_side)(side - side_letters);
	return digits + 1;
}

/* The address in front of the last segment of a link: what the description gave. */
struct address {
	size_t end;  /* 0 where the token is no link */
	bool second; /* another link begins within it */
};

static struct address find_address(struct token token)
{
	static const char mark[] = "://";
	const size_t length = sizeof mark - 1;
	struct address address = { 0 };
	size_t scheme = 0;
	while (scheme < token.length && upper(token.at[scheme]) >= 'A' &&
		upper(token.at[scheme]) <= 'Z')
		scheme++;
	if (scheme == 0 || scheme + length > token.length ||
		memcmp(token.at + scheme, mark, length) != 0)
		return address;
	for (size_t i = scheme + 1; i < token.length; i++) {
		if (token.at[i] == '/')
			address.end = i;
		if (i + length <= token.length && memcmp(token.at + i, mark, length) == 0)
			address.second = true;
	}
	return address;
}

/* Whether some run of letters and digits between the two is a scan code itself. */
static bool has_code(struct token token, size_t from, size_t end)
{
	while (from < end) {
		char run[RUN_MAX + 1];
		size_t length = 0;
		struct lt_scan scan;
		while (from + length < end && is_code_character(upper(token.at[from + length])))
			length++;
		for (size_t i = 0; i < length && i < RUN_MAX; i++)
			run[i] = upper(token.at[from + i]);
		const size_t tag = length <= RUN_MAX ? read_tag(&scan, run, length) : 0;
		if (tag > 0 && tag < length && is_code(run + tag, length - tag - 1) &&
			lt_iso7064_valid(run, length))
			return true;
		from += length + 1;
	}
	return false;
}

/* Whether more than one sticker may have been read into one token. */
static bool has_another(struct token token)
{
	const struct address address = find_address(token);
	return address.second || has_code(token, address.end, find_run(token).from);
}

static void read_token(struct lt_scan *out, struct token token)
{
	*out = (struct lt_scan){ .kind = LT_SCAN_MISREAD };
	char run[RUN_MAX + 1] = "";
	bool alone;
	size_t run_length = last_run(run, &alone, token);
	if (run_length == 0 || run_length > RUN_MAX)
		return;
	struct lt_scan scan = { 0 };
	size_t tag = read_tag(&scan, run, run_length);
	if (tag == 0)
		return;
	if (tag == run_length) {
		/* A tag has no check character, so nothing else may stand beside it. */
		scan.kind = LT_SCAN_TAG;
		if (alone)
			*out = scan;
		return;
	}
	size_t code_length = run_length - tag - 1;
	if (!is_code(run + tag, code_length) || !lt_iso7064_valid(run, run_length) ||
		has_another(token))
		return;
	scan.kind = LT_SCAN_CODE;
	memcpy(scan.code, run + tag, code_length);
	*out = scan;
}

void lt_scan_read(struct lt_scan *out, const char *bytes, size_t length)
{
	const char *end = bytes + length;
	struct token token = next_token(bytes, length);
	read_token(out, token);
	/* Words may follow, but not a second scan: two on one line are neither of them. */
	while (out->kind != LT_SCAN_MISREAD) {
		const char *rest = token.at + token.length;
		token = next_token(rest, (size_t)(end - rest));
		if (token.length == 0)
			return;
		struct lt_scan second;
		read_token(&second, token);
		if (second.kind == LT_SCAN_CODE ||
			(second.kind == LT_SCAN_TAG && out->kind == LT_SCAN_TAG))
			*out = (struct lt_scan){ .kind = LT_SCAN_MISREAD };
	}
}

size_t lt_scan_break(const char *word, size_t length)
{
	struct token token = { word, length };
	struct lt_scan scan;
	read_token(&scan, token);
	if (scan.kind != LT_SCAN_CODE)
		return 0;
	size_t at = find_run(token).from;
	while (is_digit(word[at]))
		at++; /* ends at the side */
	return at;
}
