/* Code points: how they are written, how wide they are, and which are never shown. */
#include <string.h>

#include "loomtag/base.h"

enum { REPLACEMENT = 0xFFFD };

/* How a sequence of 1 to 4 bytes begins, and the smallest code point it may carry (RFC 3629). */
static const struct {
	unsigned char mask, lead;
	uint32_t smallest;
} forms[] = { { 0x80, 0x00, 0 }, { 0xE0, 0xC0, 0x80 }, { 0xF0, 0xE0, 0x800 },
	{ 0xF8, 0xF0, 0x10000 } };

static bool is_coded(uint32_t code)
{
	return code <= 0x10FFFF && (code < 0xD800 || code > 0xDFFF);
}

/* Decodes one sequence in at most `room` bytes; 0 when it is malformed. */
static size_t decode(uint32_t *code, const char *bytes, size_t room)
{
	const unsigned char *at = (const unsigned char *)bytes;
	size_t length = 1;
	while (length <= 4 && room > 0 && (*at & forms[length - 1].mask) != forms[length - 1].lead)
		length++;
	if (length > 4 || length > room)
		return 0;
	uint32_t value = *at & (unsigned char)~forms[length - 1].mask;
	for (size_t i = 1; i < length; i++) {
		if ((at[i] & 0xC0) != 0x80)
			return 0;
		value = value << 6 | (at[i] & 0x3Fu);
	}
	if (value < forms[length - 1].smallest || !is_coded(value))
		return 0;
	*code = value;
	return length;
}

size_t lt_utf8_take(uint32_t *code, const char *bytes, size_t length)
{
	size_t taken = decode(code, bytes, length);
	if (taken > 0)
		return taken;
	*code = REPLACEMENT;
	return 1;
}

uint32_t lt_utf8_next(const char **at)
{
	uint32_t code = (unsigned char)**at;
	if (code >= 0x80)
		*at += lt_utf8_take(&code, *at, strnlen(*at, 4));
	else if (code > 0)
		*at += 1;
	return code;
}

size_t lt_utf8_check(const char *bytes, size_t length)
{
	size_t at = 0;
	while (at < length) {
		uint32_t code;
		size_t step = decode(&code, bytes + at, length - at);
		if (step == 0)
			return at;
		at += step;
	}
	return length;
}

size_t lt_utf8_put(char out[4], uint32_t code)
{
	if (!is_coded(code))
		code = REPLACEMENT;
	size_t length = 4;
	while (code < forms[length - 1].smallest)
		length--;
	for (size_t i = length; i-- > 1; code >>= 6)
		out[i] = (char)(0x80 | (code & 0x3F));
	out[0] = (char)(forms[length - 1].lead | code);
	return length;
}

size_t lt_utf8_count(const char *string)
{
	size_t count = 0;
	while (lt_utf8_next(&string) != 0)
		count++;
	return count;
}

/* Tables of code points, in order. */
struct range {
	uint32_t first, last;
};

#define IS_IN(table, code) is_in(table, sizeof(table) / sizeof((table)[0]), code)

static bool is_in(const struct range *table, size_t count, uint32_t code)
{
	for (size_t i = 0; i < count && table[i].first <= code; i++) {
		if (code <= table[i].last)
			return true;
	}
	return false;
}

/* From the Unicode Standard, version 15: control codes (23.1), the marks and controls of the
 * direction of text (Annex 9, 2.1 to 2.6), line and paragraph separator (23.2), the zero width
 * space, the word joiner and what is invisible beside it (23.2, 22.6), deprecated format
 * characters (23.3), noncharacters (23.7), the byte order mark (23.8), interlinear annotation
 * (23.8) and tags (23.9). Two texts that differ in these alone would look the same, or one would
 * read otherwise than it was checked. The joiners U+200C and U+200D stay: words of some scripts
 * are spelt with them. */
static const struct range hidden[] = { { 0x00, 0x1F }, { 0x7F, 0x9F }, { 0x061C, 0x061C },
	{ 0x180E, 0x180E }, { 0x200B, 0x200B }, { 0x200E, 0x200F }, { 0x2028, 0x202E },
	{ 0x2060, 0x206F }, { 0xFDD0, 0xFDEF }, { 0xFEFF, 0xFEFF }, { 0xFFF9, 0xFFFB },
	{ 0xE0000, 0xE007F } };

/* Marks that are drawn over the character before them, and characters with no width at all. */
static const struct range zero_width[] = { { 0x300, 0x36F }, { 0x483, 0x489 }, { 0x591, 0x5BD },
	{ 0x1AB0, 0x1AFF }, { 0x1DC0, 0x1DFF }, { 0x200B, 0x200F }, { 0x20D0, 0x20FF },
	{ 0xFE00, 0xFE0F }, { 0xFE20, 0xFE2F }, { 0xFEFF, 0xFEFF } };

/* East Asian Wide and Fullwidth by Unicode Standard Annex 11 (version 14). Unassigned code points
 * between them count along, and so do a few signs of the last blocks that are not wide: too wide
 * does less harm than too narrow. */
static const struct range wide[] = { { 0x1100, 0x115F }, { 0x231A, 0x231B }, { 0x2329, 0x232A },
	{ 0x23E9, 0x23EC }, { 0x23F0, 0x23F0 }, { 0x23F3, 0x23F3 }, { 0x25FD, 0x25FE },
	{ 0x2614, 0x2615 }, { 0x2648, 0x2653 }, { 0x267F, 0x267F }, { 0x2693, 0x2693 },
	{ 0x26A1, 0x26A1 }, { 0x26AA, 0x26AB }, { 0x26BD, 0x26BE }, { 0x26C4, 0x26C5 },
	{ 0x26CE, 0x26CE }, { 0x26D4, 0x26D4 }, { 0x26EA, 0x26EA }, { 0x26F2, 0x26F3 },
	{ 0x26F5, 0x26F5 }, { 0x26FA, 0x26FA }, { 0x26FD, 0x26FD }, { 0x2705, 0x2705 },
	{ 0x270A, 0x270B }, { 0x2728, 0x2728 }, { 0x274C, 0x274C }, { 0x274E, 0x274E },
	{ 0x2753, 0x2755 }, { 0x2757, 0x2757 }, { 0x2795, 0x2797 }, { 0x27B0, 0x27B0 },
	{ 0x27BF, 0x27BF }, { 0x2B1B, 0x2B1C }, { 0x2B50, 0x2B50 }, { 0x2B55, 0x2B55 },
	{ 0x2E80, 0x303E }, { 0x3041, 0xA4CF }, { 0xA960, 0xA97C }, { 0xAC00, 0xD7A3 },
	{ 0xF900, 0xFAFF }, { 0xFE10, 0xFE19 }, { 0xFE30, 0xFE6F }, { 0xFF00, 0xFF60 },
	{ 0xFFE0, 0xFFE6 }, { 0x16FE0, 0x1B2FB }, { 0x1F004, 0x1F004 }, { 0x1F0CF, 0x1F0CF },
	{ 0x1F18E, 0x1F19A }, { 0x1F200, 0x1F64F }, { 0x1F680, 0x1F6FF }, { 0x1F7E0, 0x1F7F0 },
	{ 0x1F900, 0x1FAFF }, { 0x20000, 0x3FFFD } };

uint32_t lt_text_shown(uint32_t code)
{
	if (code == '\t' || code == '\n' || code == '\r')
		return ' ';
	if (code >= ' ' && code < 0x7F)
		return code;
	/* The last two of each plane are no characters. */
	bool shown = is_coded(code) && (code & 0xFFFE) != 0xFFFE && !IS_IN(hidden, code);
	return shown ? code : REPLACEMENT;
}

size_t lt_utf8_columns(const char *string)
{
	size_t columns = 0;
	for (uint32_t code; (code = lt_utf8_next(&string)) != 0;) {
		if (!IS_IN(zero_width, code))
			columns += IS_IN(wide, code) ? 2 : 1;
	}
	return columns;
}
