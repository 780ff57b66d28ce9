#include <string.h>

#include "loomtag/trade.h"

const char *const lt_hue_codes[LT_HUE_COUNT] = { "BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT",
	"GY", "WH", "PK", "GD", "TQ", "SR", "GNYE" };

static const char *const names[LT_HUE_COUNT] = { "black", "brown", "red", "orange", "yellow",
	"green", "blue", "violet", "grey", "white", "pink", "gold", "turquoise", "silver",
	"green-and-yellow" };

struct word {
	const char *text;
	enum lt_hue hue;
};

/* Words that stand for one colour and cannot be run together. Names apart, common practice; IEC
 * 60757 has no tan, and brown is what it comes nearest to. */
static const struct word words[] = {
	{ "black", LT_HUE_BK },
	{ "brown", LT_HUE_BN },
	{ "red", LT_HUE_RD },
	{ "orange", LT_HUE_OG },
	{ "yellow", LT_HUE_YE },
	{ "green", LT_HUE_GN },
	{ "blue", LT_HUE_BU },
	{ "violet", LT_HUE_VT },
	{ "purple", LT_HUE_VT },
	{ "grey", LT_HUE_GY },
	{ "gray", LT_HUE_GY },
	{ "slate", LT_HUE_GY },
	{ "white", LT_HUE_WH },
	{ "pink", LT_HUE_PK },
	{ "gold", LT_HUE_GD },
	{ "turquoise", LT_HUE_TQ },
	{ "silver", LT_HUE_SR },
	{ "tan", LT_HUE_BN },
	{ "blk", LT_HUE_BK },
	{ "brn", LT_HUE_BN },
	{ "org", LT_HUE_OG },
	{ "orn", LT_HUE_OG },
	{ "yel", LT_HUE_YE },
	{ "grn", LT_HUE_GN },
	{ "blu", LT_HUE_BU },
	{ "vio", LT_HUE_VT },
	{ "pur", LT_HUE_VT },
	{ "ppl", LT_HUE_VT },
	{ "gry", LT_HUE_GY },
	{ "gra", LT_HUE_GY },
	{ "wht", LT_HUE_WH },
	{ "pnk", LT_HUE_PK },
};

/* Two-letter abbreviations that are not IEC's, and that every custom which has them reads alike:
 * German shops' (common practice), "or" in English ones too. */
static const struct word pairs[] = {
	{ "sw", LT_HUE_BK },
	{ "rt", LT_HUE_RD },
	{ "or", LT_HUE_OG },
	{ "ge", LT_HUE_YE },
	{ "vi", LT_HUE_VT },
	{ "ws", LT_HUE_WH },
	{ "rs", LT_HUE_PK },
	{ "tk", LT_HUE_TQ },
};

/* Two-letter abbreviations that are read in more than one way; all common practice. */
static const struct doubt {
	const char *text;
	enum lt_hue english;
	enum lt_hue german;
	const char *other; /* what those mean who do not mean the English reading */
	const char *said;
} doubts[] = {
	{ "bl", LT_HUE_BU, LT_HUE_BU, "BK",
		"\"BL\" is blue (BU) in German and much English custom, and black (BK) in other "
		"English custom" },
	{ "gr", LT_HUE_GN, LT_HUE_GY, "GY",
		"\"GR\" is green (GN) in English custom and grey (GY) in German custom" },
	{ "br", LT_HUE_BN, LT_HUE_BN, "BKRD",
		"\"BR\" is brown (BN) in German and English custom, and black with red (BKRD) on "
		"drawings with one letter a colour" },
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static char lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool is_letter(char c)
{
	return lower(c) >= 'a' && lower(c) <= 'z';
}

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* Whether `length` letters are `word`, in either case. */
static bool is_word(const char *letters, size_t length, const char *word)
{
	if (strlen(word) != length)
		return false;
	for (size_t i = 0; i < length; i++)
		if (lower(letters[i]) != lower(word[i]))
			return false;
	return true;
}

/* Adds a part; false when there are too many or it was there before. */
static bool add(struct lt_colour *colour, enum lt_hue hue)
{
	if (colour->count == LT_COLOUR_PARTS)
		return false;
	for (unsigned i = 0; i < colour->count; i++)
		if (colour->hues[i] == hue)
			return false;
	colour->hues[colour->count++] = (unsigned char)hue;
	return true;
}

static const struct doubt *doubt_of(const char *letters)
{
	for (size_t i = 0; i < COUNT(doubts); i++)
		if (is_word(letters, 2, doubts[i].text))
			return &doubts[i];
	return NULL;
}

/* Adds the part that two letters stand for; keeps the first doubt that was met. */
static bool add_pair(struct lt_colour *colour, const struct doubt **met, const char *letters,
	enum lt_custom custom)
{
	for (unsigned hue = 0; hue < LT_HUE_GNYE; hue++)
		if (is_word(letters, 2, lt_hue_codes[hue]))
			return add(colour, (enum lt_hue)hue);
	for (size_t i = 0; i < COUNT(pairs); i++)
		if (is_word(letters, 2, pairs[i].text))
			return add(colour, pairs[i].hue);
	const struct doubt *doubt = doubt_of(letters);
	if (!doubt)
		return false;
	if (!*met)
		*met = doubt;
	return add(colour, custom == LT_CUSTOM_GERMAN ? doubt->german : doubt->english);
}

static bool add_letters(struct lt_colour *colour, const struct doubt **met, const char *letters,
	size_t length, enum lt_custom custom)
{
	for (size_t i = 0; i < COUNT(words); i++)
		if (is_word(letters, length, words[i].text))
			return add(colour, words[i].hue);
	if (length % 2 != 0)
		return false;
	for (size_t i = 0; i < length; i += 2)
		if (!add_pair(colour, met, letters + i, custom))
			return false;
	return true;
}

static size_t count_letters(const char *text)
{
	size_t length = 0;
	while (is_letter(text[length]))
		length++;
	return length;
}

static const char *skip_blanks(const char *text)
{
	while (is_blank(*text))
		text++;
	return text;
}

/* What stands behind a joint: one of / - + with or without blanks round it, or blanks alone. The
 * text itself when it does not begin with a joint. */
static const char *skip_joint(const char *text)
{
	text = skip_blanks(text);
	if (*text == '/' || *text == '-' || *text == '+')
		text = skip_blanks(text + 1);
	return text;
}

/* As skip_joint, and past an "and" between two joints. */
static const char *skip_joint_and(const char *text)
{
	const char *word = skip_joint(text);
	size_t length = count_letters(word);
	if (word == text || !is_word(word, length, "and"))
		return word;
	const char *behind = skip_joint(word + length);
	return is_letter(*behind) ? behind : word;
}

/* GN and YE and nothing else, in either order, are one designation: IEC 60757, 5.1. */
static void join_earth(struct lt_colour *colour)
{
	if (colour->count != 2)
		return;
	unsigned char a = colour->hues[0];
	unsigned char b = colour->hues[1];
	if ((a == LT_HUE_GN && b == LT_HUE_YE) || (a == LT_HUE_YE && b == LT_HUE_GN))
		*colour = (struct lt_colour){ .count = 1, .hues = { LT_HUE_GNYE } };
}

/* Reads the whole text by one custom, English or German. */
static bool read_by(struct lt_colour *out, const struct doubt **met, const char *text,
	enum lt_custom custom)
{
	*out = (struct lt_colour){ .count = 0 };
	text = skip_blanks(text);
	do {
		size_t length = count_letters(text);
		if (length == 0 || !add_letters(out, met, text, length, custom))
			return false;
		text += length;
		if (*skip_blanks(text) == '\0')
			break;
		const char *next = skip_joint_and(text);
		if (next == text)
			return false;
		text = next;
	} while (true);
	join_earth(out);
	return true;
}

enum lt_colour_verdict lt_colour_read(struct lt_colour *out, const char **other, const char *text,
	enum lt_custom custom)
{
	const struct doubt *met = NULL;
	enum lt_custom by = custom == LT_CUSTOM_IEC ? LT_CUSTOM_ENGLISH : custom;
	const char *another = NULL;
	bool read = read_by(out, &met, text, by);
	if (met)
		another = met->other;
	/* "grgn" is no colour in English, and core 27 of DIN 47100 in German. */
	if (!read && met && custom == LT_CUSTOM_IEC) {
		another = lt_hue_code(met->english);
		read = read_by(out, &met, text, LT_CUSTOM_GERMAN);
	}
	if (!read) {
		*out = (struct lt_colour){ .count = 0 };
		return LT_COLOUR_UNKNOWN;
	}
	if (!met || custom != LT_CUSTOM_IEC)
		return LT_COLOUR_OK;
	if (other)
		*other = another;
	return LT_COLOUR_AMBIGUOUS;
}

const char *lt_colour_doubt(const char *text)
{
	struct lt_colour colour;
	const struct doubt *met = NULL;
	(void)read_by(&colour, &met, text, LT_CUSTOM_ENGLISH);
	return met ? met->said : NULL;
}

void lt_colour_code(char out[LT_COLOUR_CODE_SIZE], const struct lt_colour *colour)
{
	size_t at = 0;
	for (unsigned i = 0; i < colour->count; i++) {
		const char *code = lt_hue_codes[colour->hues[i]];
		size_t length = strlen(code);
		if (at + length >= LT_COLOUR_CODE_SIZE)
			break;
		memcpy(out + at, code, length);
		at += length;
	}
	out[at] = '\0';
}

bool lt_colour_is_earth(const struct lt_colour *colour)
{
	return colour->count == 1 && colour->hues[0] == LT_HUE_GNYE;
}

bool lt_colour_same(const struct lt_colour *a, const struct lt_colour *b)
{
	return a->count == b->count && memcmp(a->hues, b->hues, a->count) == 0;
}

const char *lt_hue_name(enum lt_hue hue)
{
	return names[hue];
}

const char *lt_hue_code(enum lt_hue hue)
{
	return lt_hue_codes[hue];
}
