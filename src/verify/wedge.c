/* Repairs what a keyboard-wedge scanner types with a wrong setting. */
#include <ctype.h>
#include <string.h>
#include <uchar.h>

#include "loomtag/verify.h"

/* Stands for any character that is not ASCII: no letter, no digit. */
#define OTHER '~'

/* The keys that type, row by row from the one left of 1 to the one beside the right shift, without
 * shift and with it; a space where a key makes nothing. From memory of the layouts that common
 * operating systems ship. Dead keys stand as the accent that they are. */
enum { KEYS = 13 + 12 + 12 + 10 };
typedef char32_t layout[2][KEYS + 1];

static const layout american = {
	U"`1234567890-="
	U"qwertyuiop[]"
	U"asdfghjkl;'\\"
	U"zxcvbnm,./",
	U"~!@#$%^&*()_+"
	U"QWERTYUIOP{}"
	U"ASDFGHJKL:\"|"
	U"ZXCVBNM<>?",
};
static const layout french = {
	U"²&é\"'(-è_çà)="
	U"azertyuiop^$"
	U"qsdfghjklmù*"
	U"wxcvbn,;:!",
	U" 1234567890°+"
	U"AZERTYUIOP¨£"
	U"QSDFGHJKLM%µ"
	U"WXCVBN?./§",
};
static const layout german = {
	U"^1234567890ß´"
	U"qwertzuiopü+"
	U"asdfghjklöä#"
	U"yxcvbnm,.-",
	U"°!\"§$%&/()=?`"
	U"QWERTZUIOPÜ*"
	U"ASDFGHJKLÖÄ'"
	U"YXCVBNM;:_",
};

/* `locked`: each key pressed with shift counts without, and the reverse. So it is with French
 * digits where caps lock is on and locks the digit row too, or where the scanner trusts that it
 * does. On the letters it makes no difference, for capitals and small ones read alike. */
static const struct mixup {
	enum lt_wedge_trouble trouble;
	const layout *scanner, *host;
	bool locked;
} mixups[] = {
	{ LT_WEDGE_FRENCH, &american, &french, false },
	{ LT_WEDGE_FRENCH, &american, &french, true },
	{ LT_WEDGE_TO_FRENCH, &french, &american, false },
	{ LT_WEDGE_TO_FRENCH, &french, &american, true },
	{ LT_WEDGE_GERMAN, &american, &german, false },
	{ LT_WEDGE_GERMAN, &german, &american, false },
};

enum { MIXUPS = sizeof(mixups) / sizeof(mixups[0]) };

static char as_capital(char32_t c)
{
	return c > '~' ? OTHER : (char)toupper((int)c);
}

static char meant(const struct mixup *mixup, uint32_t came)
{
	for (size_t level = 0; level < 2; level++)
		for (size_t key = 0; key < KEYS; key++)
			if ((*mixup->host)[level][key] == came)
				return as_capital(
					(*mixup->scanner)[mixup->locked ? 1 - level : level][key]);
	return 0;
}

/* The character that the scanner meant, small letters as capitals, where the host's keyboard made
 * `came` of its key; OTHER for one that is not ASCII, 0 where no key of the host makes that. */
static char scanner_meant(size_t mixup, uint32_t came)
{
	char c = meant(&mixups[mixup], came);
	/* Where caps lock leaves the digit row alone, it still makes capitals of accented letters,
	 * which Latin-1 (and so Unicode) has 0x20 below the small ones. */
	if (c == 0 && came >= 0xC0 && came <= 0xDE)
		c = meant(&mixups[mixup], came + 0x20);
	return c == ' ' ? 0 : c;
}

/* Longer tokens are no payload, and stay what they are. */
enum { TOKEN_MAX = 512 };

/* One word of what came, in code points. */
struct token {
	uint32_t came[TOKEN_MAX];
	size_t length;
	const char *end; /* in the bytes, behind it */
	bool whole;      /* it fitted */
};

/* Ways to read a token: as it is, without its prefix, and one for each mix-up of keyboards. */
enum { WAY_AS_IT_IS, WAY_PREFIX, WAY_KEYBOARDS, WAYS = WAY_KEYBOARDS + MIXUPS };

/* A token read in one way: ASCII, letters as capitals. */
struct reading {
	char text[TOKEN_MAX];
	size_t length;
	bool whole; /* every character has a meaning in this way */
};

const char *lt_wedge_advice(enum lt_wedge_trouble trouble)
{
	static const char *const advice[] = {
		[LT_WEDGE_FINE] = NULL,
		[LT_WEDGE_PREFIX] =
			"The scanner sends extra characters before each code. Switch off its "
			"prefix and its symbology identifier.",
		[LT_WEDGE_FRENCH] =
			"This computer has a French keyboard, and the scanner is set to "
			"another one. Set the keyboard country of the scanner to that of "
			"this computer.",
		[LT_WEDGE_TO_FRENCH] =
			"The scanner is set to a French keyboard, and this computer has another one. Set "
			"the keyboard country of the scanner to that of this computer.",
		[LT_WEDGE_GERMAN] =
			"Only one of scanner and computer is set to a German keyboard (Y and "
			"Z change places). Set the keyboard country of the scanner to that "
			"of this computer.",
	};
	return advice[trouble];
}

/* No locale is set, so that these know ASCII alone. */
static bool is_space(char c)
{
	return isspace((unsigned char)c) != 0;
}

static bool is_code_character(char c)
{
	return isdigit((unsigned char)c) != 0 || isupper((unsigned char)c) != 0;
}

/* Takes the next word from `at`; false when there is none. Bytes that are not UTF-8 are Latin-1,
 * as some terminals still deliver. */
static bool take_token(struct token *out, const char *at, const char *end)
{
	while (at < end && is_space(*at))
		at++;
	const char *start = at;
	while (at < end && !is_space(*at))
		at++;
	const size_t bytes = (size_t)(at - start);
	const bool utf8 = lt_utf8_check(start, bytes) == bytes;
	out->length = 0;
	out->end = at;
	while (start < at && *start != '\0' && out->length < TOKEN_MAX)
		out->came[out->length++] = utf8 ? lt_utf8_next(&start) : (unsigned char)*start++;
	out->whole = start == at;
	return bytes > 0;
}

/* Drops what stands before a number: "]Q1" (ISO/IEC 15424: a bracket, a letter, a modifier), or
 * letters alone; not whole where there is none, or where more than letters and digits follow. */
static void drop_prefix(struct reading *out)
{
	const char *text = out->text;
	size_t prefix = 0;
	if (out->length > 3 && text[0] == ']' && isupper((unsigned char)text[1]) &&
		is_code_character(text[2]))
		prefix = 3;
	else
		while (prefix < out->length && isupper((unsigned char)text[prefix]))
			prefix++;
	out->length -= prefix;
	memmove(out->text, out->text + prefix, out->length);
	out->whole = prefix > 0;
	for (size_t i = 0; i < out->length; i++)
		out->whole = out->whole && is_code_character(out->text[i]);
}

static void read_token(struct reading *out, const struct token *token, size_t way)
{
	out->length = token->length;
	out->whole = token->whole;
	for (size_t i = 0; i < token->length; i++) {
		char c = way < WAY_KEYBOARDS ? as_capital(token->came[i])
					     : scanner_meant(way - WAY_KEYBOARDS, token->came[i]);
		out->whole = out->whole && c != 0;
		out->text[i] = c != 0 ? c : OTHER;
	}
	if (way == WAY_PREFIX && out->whole)
		drop_prefix(out);
}

static bool reads_as_code(struct lt_scan *scan, const struct reading *reading)
{
	lt_scan_read(scan, reading->text, reading->length);
	return scan->kind == LT_SCAN_CODE;
}

static bool same_scan(const struct lt_scan *a, const struct lt_scan *b)
{
	return a->number == b->number && a->side == b->side && strcmp(a->code, b->code) == 0;
}

/* Finds the ways in which the token is a scan code, any harness's. False when there is none, or
 * when two give different codes. */
static bool find_way(size_t *found, struct lt_scan *scan, const struct token *token)
{
	struct reading reading;
	*found = WAY_AS_IT_IS;
	for (size_t way = WAY_PREFIX; way < WAYS; way++) {
		struct lt_scan another;
		read_token(&reading, token, way);
		if (!reading.whole || !reads_as_code(&another, &reading))
			continue;
		if (*found != WAY_AS_IT_IS && !same_scan(scan, &another))
			return false;
		if (*found == WAY_AS_IT_IS)
			*found = way;
		*scan = another;
	}
	return *found != WAY_AS_IT_IS;
}

static bool has_side(const struct lt_tags *tags, unsigned number, enum lt_side side)
{
	enum lt_side sides[LT_SIDE_COUNT];
	if (number == 0 || number > tags->number_max || tags->connector_of[number] == LT_NONE)
		return false;
	const size_t count = lt_tag_sides(sides, tags, tags->connector_of[number]);
	for (size_t i = 0; i < count; i++)
		if (sides[i] == side)
			return true;
	return false;
}

/* Words may follow, but not a second scan, however it is read. */
static bool second_scan(const char *at, const char *end)
{
	struct token token;
	struct reading reading;
	struct lt_scan scan;
	while (take_token(&token, at, end)) {
		for (size_t way = WAY_AS_IT_IS; way < WAYS; way++) {
			read_token(&reading, &token, way);
			if (reads_as_code(&scan, &reading))
				return true;
		}
		at = token.end;
	}
	return false;
}

/* In how many characters two strings differ, as far as 2. */
static unsigned differences(const char *a, const char *b, size_t length)
{
	unsigned count = 0;
	for (size_t i = 0; i < length && count < 2; i++)
		count += a[i] != b[i];
	return count;
}

/* True when another sticker's scan code differs from what stands before `end` in one character at
 * most. The check character tells one wrong character from a right code, but not when a mix-up has
 * changed a second one: what came must not be another code with one character spoiled. */
static bool near_another(const struct reading *reading, size_t end, const struct lt_scan *scan,
	const struct lt_tags *tags)
{
	const char *code = tags->harness->code;
	const size_t code_length = strlen(code);
	if (end < code_length + 1 ||
		differences(reading->text + end - 1 - code_length, code, code_length) > 1)
		return false;
	for (unsigned number = 1; number <= tags->number_max; number++)
		for (enum lt_side side = LT_SIDE_H; side < LT_SIDE_COUNT; side++) {
			char other[LT_SCAN_CODE_SIZE];
			if ((number == scan->number && side == scan->side) ||
				!has_side(tags, number, side))
				continue;
			lt_scan_code_write(other, number, side, code);
			const size_t length = strlen(other);
			if (length > end)
				return false; /* as are those of all larger numbers */
			const char *at = reading->text + end - length;
			/* A code begins where no letter or digit stands before it. */
			const unsigned before = length < end && is_code_character(at[-1]);
			if (before + differences(at, other, length) <= 1)
				return true;
		}
	return false;
}

/* How many characters there are up to the end of the last run of letters and digits. */
static size_t run_end(const struct reading *reading)
{
	size_t end = reading->length;
	while (end > 0 && !is_code_character(reading->text[end - 1]))
		end--;
	return end;
}

static bool is_doubtful(const struct token *token, size_t found, const struct lt_scan *scan,
	const struct lt_tags *tags)
{
	struct reading reading;
	read_token(&reading, token, found);
	const size_t end = token->length - (reading.length - run_end(&reading));
	for (size_t way = WAY_AS_IT_IS; way < WAYS; way++) {
		if (way == WAY_PREFIX)
			continue; /* its characters are those of the token as it is */
		read_token(&reading, token, way);
		if (near_another(&reading, end, scan, tags))
			return true;
	}
	return false;
}

enum lt_wedge_trouble lt_wedge_undo(struct lt_text *out, const char *bytes, size_t length,
	const struct lt_tags *tags)
{
	struct token token;
	struct lt_scan scan;
	size_t way;
	lt_text_clear(out);
	lt_text_add_bytes(out, bytes, length);
	if (!take_token(&token, bytes, bytes + length) || !token.whole)
		return LT_WEDGE_FINE;
	lt_scan_read(&scan, bytes, (size_t)(token.end - bytes));
	if (scan.kind != LT_SCAN_MISREAD || !find_way(&way, &scan, &token))
		return LT_WEDGE_FINE;
	if (strcmp(scan.code, tags->harness->code) != 0 || !has_side(tags, scan.number, scan.side))
		return LT_WEDGE_FINE;
	if (second_scan(token.end, bytes + length) || is_doubtful(&token, way, &scan, tags))
		return LT_WEDGE_FINE;
	char code[LT_SCAN_CODE_SIZE];
	lt_scan_code_write(code, scan.number, scan.side, scan.code);
	lt_text_clear(out);
	lt_text_add(out, code);
	return way == WAY_PREFIX ? LT_WEDGE_PREFIX : mixups[way - WAY_KEYBOARDS].trouble;
}

bool lt_wedge_twice(struct lt_wedge_last *last, const char *bytes, size_t length, long long at)
{
	const bool fits = length < sizeof(last->scan) && memchr(bytes, '\0', length) == NULL;
	const bool twice = fits && last->any && at >= last->at && at - last->at <= LT_WEDGE_TWICE &&
			   strlen(last->scan) == length && memcmp(last->scan, bytes, length) == 0;
	last->any = fits;
	last->at = at;
	if (fits) {
		memcpy(last->scan, bytes, length);
		last->scan[length] = '\0';
	}
	return twice;
}
