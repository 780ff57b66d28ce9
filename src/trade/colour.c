/* Wire colours: reading what shops write, codes and names, and what they look like. */
#include <string.h>
#include <strings.h>

#include "loomtag/trade.h"

/* The colours in IEC 60757's order.
 * Words stand for one colour and cannot be run together; names apart, they are common practice. IEC
 * 60757 has no tan, and brown is what it comes nearest to. Pairs are two-letter abbreviations that
 * are not IEC's, and that every convention which has them reads alike: German shops' (common
 * practice), "or" in English ones too. IEC 60757 has no shades. These keep apart in hue and in
 * lightness, so far as their names allow: any two differ by 25 and more in CIE 1976 L*u*v*. */
static const struct {
	const char *code, *name;
	const char *words; /* beside the name, with spaces round each */
	const char *pairs;
	unsigned shade; /* 0xRRGGBB */
} table[LT_HUE_COUNT] = {
	[LT_HUE_BK] = { "BK", "black", " blk ", " sw ", 0x000000 },
	[LT_HUE_BN] = { "BN", "brown", " brn tan ", "", 0x7B4A21 },
	[LT_HUE_RD] = { "RD", "red", "", " rt ", 0xD0161E },
	[LT_HUE_OG] = { "OG", "orange", " org orn ", " or ", 0xF57C00 },
	[LT_HUE_YE] = { "YE", "yellow", " yel ", " ge ", 0xFFDD00 },
	[LT_HUE_GN] = { "GN", "green", " grn ", "", 0x1E8C3A },
	[LT_HUE_BU] = { "BU", "blue", " blu ", "", 0x1B4FBF },
	[LT_HUE_VT] = { "VT", "violet", " purple vio pur ppl ", " vi ", 0x7A2BA8 },
	[LT_HUE_GY] = { "GY", "grey", " gray slate gry gra ", "", 0x6E7478 },
	[LT_HUE_WH] = { "WH", "white", " wht ", " ws ", 0xFFFFFF },
	[LT_HUE_PK] = { "PK", "pink", " pnk ", " rs ", 0xF79AC0 },
	[LT_HUE_GD] = { "GD", "gold", "", "", 0xC39A1E },
	[LT_HUE_TQ] = { "TQ", "turquoise", "", " tk ", 0x1FB9B5 },
	[LT_HUE_SR] = { "SR", "silver", "", "", 0xB4BCC2 },
	[LT_HUE_GNYE] = { "GNYE", "green-and-yellow", "", "", 0 },
};

/* Two-letter abbreviations that are read in more than one way; all common practice. */
static const struct doubt {
	const char *text;
	enum lt_hue english, german;
	const char *said;
} doubts[] = {
	{ "bl", LT_HUE_BU, LT_HUE_BU,
		"\"BL\" means blue (BU) in German and often in English, but sometimes black (BK) in "
		"English" },
	{ "gr", LT_HUE_GN, LT_HUE_GY,
		"\"GR\" means green (GN) in English and grey (GY) in German" },
	{ "br", LT_HUE_BN, LT_HUE_BN,
		"\"BR\" means brown (BN) in German and English, but black with red (BKRD) on drawings "
		"with one letter for each colour" },
};

static bool is_letter(char c)
{
	return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static const char *skip_blanks(const char *text)
{
	return text + strspn(text, " \t");
}

/* Whether `length` letters are one of some words with spaces between them, in either case. */
static bool is_among(const char *words, const char *letters, size_t length)
{
	while (*(words = skip_blanks(words)) != '\0') {
		size_t word = strcspn(words, " ");
		if (word == length && strncasecmp(words, letters, length) == 0)
			return true;
		words += word;
	}
	return false;
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

/* Adds the part that two letters stand for; keeps the first doubt that was met. */
static bool add_pair(struct lt_colour *colour, const struct doubt **met, const char *letters,
	enum lt_colour_convention convention)
{
	for (unsigned hue = 0; hue < LT_HUE_COUNT; hue++)
		if (is_among(table[hue].code, letters, 2) || is_among(table[hue].pairs, letters, 2))
			return add(colour, (enum lt_hue)hue);
	for (size_t i = 0; i < sizeof(doubts) / sizeof(doubts[0]); i++) {
		if (!is_among(doubts[i].text, letters, 2))
			continue;
		if (!*met)
			*met = &doubts[i];
		return add(colour,
			convention == LT_CONVENTION_GERMAN ? doubts[i].german : doubts[i].english);
	}
	return false;
}

static bool add_letters(struct lt_colour *colour, const struct doubt **met, const char *letters,
	size_t length, enum lt_colour_convention convention)
{
	for (unsigned hue = 0; hue < LT_HUE_COUNT; hue++)
		if (is_among(table[hue].name, letters, length) ||
			is_among(table[hue].words, letters, length))
			return add(colour, (enum lt_hue)hue);
	if (length % 2 != 0)
		return false;
	for (size_t i = 0; i < length; i += 2)
		if (!add_pair(colour, met, letters + i, convention))
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
	if (word == text || !is_among("and", word, length))
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

/* Reads the whole text by one convention; what is in doubt by IEC 60757 as the English do. */
static bool read_by(struct lt_colour *out, const struct doubt **met, const char *text,
	enum lt_colour_convention convention)
{
	*out = (struct lt_colour){ .count = 0 };
	text = skip_blanks(text);
	for (;;) {
		size_t length = count_letters(text);
		if (length == 0 || !add_letters(out, met, text, length, convention))
			return false;
		text += length;
		if (*skip_blanks(text) == '\0')
			break;
		const char *next = skip_joint_and(text);
		if (next == text)
			return false;
		text = next;
	}
	join_earth(out);
	return true;
}

enum lt_colour_verdict lt_colour_read(struct lt_colour *out, const char **doubt, const char *text,
	enum lt_colour_convention convention)
{
	const struct doubt *met = NULL;
	*doubt = NULL;
	bool read = read_by(out, &met, text, convention);
	/* "grgn" is no colour in English, and core 27 of DIN 47100 in German. */
	if (!read && met && convention == LT_CONVENTION_IEC)
		read = read_by(out, &met, text, LT_CONVENTION_GERMAN);
	if (!read) {
		*out = (struct lt_colour){ .count = 0 };
		return LT_COLOUR_UNKNOWN;
	}
	if (!met || convention != LT_CONVENTION_IEC)
		return LT_COLOUR_OK;
	*doubt = met->said;
	return LT_COLOUR_AMBIGUOUS;
}

void lt_colour_code(char out[LT_COLOUR_CODE_SIZE], const struct lt_colour *colour)
{
	size_t at = 0;
	for (unsigned i = 0; i < colour->count; i++) {
		const char *code = table[colour->hues[i]].code;
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
	return table[hue].name;
}

const char *lt_hue_code(enum lt_hue hue)
{
	return table[hue].code;
}

size_t lt_colour_inks(unsigned out[LT_COLOUR_PARTS], const struct lt_colour *colour)
{
	size_t count = 0;
	for (size_t i = 0; i < colour->count && count < LT_COLOUR_PARTS; i++) {
		if (colour->hues[i] != LT_HUE_GNYE) {
			out[count++] = table[colour->hues[i]].shade;
			continue;
		}
		out[count++] = table[LT_HUE_GN].shade;
		if (count < LT_COLOUR_PARTS)
			out[count++] = table[LT_HUE_YE].shade;
	}
	return count;
}
