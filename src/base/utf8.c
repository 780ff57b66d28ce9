#include "loomtag/base.h"

/* How many bytes a sequence has by its first one, and the smallest code point it may carry. */
static size_t sequence_length(unsigned char first, uint32_t *smallest)
{
	if (first < 0x80) {
		*smallest = 0;
		return 1;
	}
	if (first >= 0xC2 && first <= 0xDF) {
		*smallest = 0x80;
		return 2;
	}
	if (first >= 0xE0 && first <= 0xEF) {
		*smallest = 0x800;
		return 3;
	}
	if (first >= 0xF0 && first <= 0xF4) {
		*smallest = 0x10000;
		return 4;
	}
	return 0;
}

/* Decodes one sequence in at most `room` bytes; 0 when it is malformed. */
static size_t decode(uint32_t *code, const unsigned char *bytes, size_t room)
{
	uint32_t smallest;
	size_t length = room > 0 ? sequence_length(bytes[0], &smallest) : 0;
	if (length == 0 || length > room)
		return 0;
	if (length == 1) {
		*code = bytes[0];
		return 1;
	}
	uint32_t value = bytes[0] & (0xFFu >> (length + 1));
	for (size_t i = 1; i < length; i++) {
		if ((bytes[i] & 0xC0) != 0x80)
			return 0;
		value = value << 6 | (bytes[i] & 0x3Fu);
	}
	if (value < smallest || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF))
		return 0;
	*code = value;
	return length;
}

uint32_t lt_utf8_next(const char **at)
{
	const unsigned char *bytes = (const unsigned char *)*at;
	if (bytes[0] == '\0')
		return 0;
	/* No farther than the sequence goes: there may be nothing behind it. */
	uint32_t smallest;
	size_t wanted = sequence_length(bytes[0], &smallest);
	size_t room = 1;
	while (room < wanted && bytes[room] != '\0')
		room++;
	uint32_t code;
	size_t length = decode(&code, bytes, room);
	if (length == 0) {
		*at += 1;
		return 0xFFFD;
	}
	*at += length;
	return code;
}

size_t lt_utf8_take(uint32_t *code, const char *bytes, size_t length)
{
	size_t taken = decode(code, (const unsigned char *)bytes, length);
	if (taken > 0)
		return taken;
	*code = 0xFFFD;
	return 1;
}

size_t lt_utf8_check(const char *bytes, size_t length)
{
	size_t at = 0;
	while (at < length) {
		uint32_t code;
		size_t step = decode(&code, (const unsigned char *)bytes + at, length - at);
		if (step == 0)
			return at;
		at += step;
	}
	return length;
}

size_t lt_utf8_put(char out[4], uint32_t code)
{
	if (code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
		code = 0xFFFD;
	if (code < 0x80) {
		out[0] = (char)code;
		return 1;
	}
	if (code < 0x800) {
		out[0] = (char)(0xC0 | code >> 6);
		out[1] = (char)(0x80 | (code & 0x3F));
		return 2;
	}
	if (code < 0x10000) {
		out[0] = (char)(0xE0 | code >> 12);
		out[1] = (char)(0x80 | (code >> 6 & 0x3F));
		out[2] = (char)(0x80 | (code & 0x3F));
		return 3;
	}
	out[0] = (char)(0xF0 | code >> 18);
	out[1] = (char)(0x80 | (code >> 12 & 0x3F));
	out[2] = (char)(0x80 | (code >> 6 & 0x3F));
	out[3] = (char)(0x80 | (code & 0x3F));
	return 4;
}

size_t lt_utf8_count(const char *string)
{
	size_t count = 0;
	while (lt_utf8_next(&string) != 0)
		count++;
	return count;
}

/* Marks that are drawn over the character before them, and characters with no width at all. */
static bool is_zero_width(uint32_t code)
{
	return (code >= 0x300 && code <= 0x36F) || (code >= 0x483 && code <= 0x489) ||
	       (code >= 0x591 && code <= 0x5BD) || (code >= 0x1AB0 && code <= 0x1AFF) ||
	       (code >= 0x1DC0 && code <= 0x1DFF) || (code >= 0x200B && code <= 0x200F) ||
	       (code >= 0x20D0 && code <= 0x20FF) || (code >= 0xFE00 && code <= 0xFE0F) ||
	       (code >= 0xFE20 && code <= 0xFE2F) || code == 0xFEFF;
}

/* East Asian Wide and Fullwidth by Unicode Standard Annex 11 (version 14). Unassigned code points
 * between them count along, and so do a few signs of the last blocks that are not wide: too wide
 * does less harm than too narrow. */
static bool is_wide(uint32_t code)
{
	static const struct {
		uint32_t first, last;
	} ranges[] = {
		{ 0x1100, 0x115F },
		{ 0x231A, 0x231B },
		{ 0x2329, 0x232A },
		{ 0x23E9, 0x23EC },
		{ 0x23F0, 0x23F0 },
		{ 0x23F3, 0x23F3 },
		{ 0x25FD, 0x25FE },
		{ 0x2614, 0x2615 },
		{ 0x2648, 0x2653 },
		{ 0x267F, 0x267F },
		{ 0x2693, 0x2693 },
		{ 0x26A1, 0x26A1 },
		{ 0x26AA, 0x26AB },
		{ 0x26BD, 0x26BE },
		{ 0x26C4, 0x26C5 },
		{ 0x26CE, 0x26CE },
		{ 0x26D4, 0x26D4 },
		{ 0x26EA, 0x26EA },
		{ 0x26F2, 0x26F3 },
		{ 0x26F5, 0x26F5 },
		{ 0x26FA, 0x26FA },
		{ 0x26FD, 0x26FD },
		{ 0x2705, 0x2705 },
		{ 0x270A, 0x270B },
		{ 0x2728, 0x2728 },
		{ 0x274C, 0x274C },
		{ 0x274E, 0x274E },
		{ 0x2753, 0x2755 },
		{ 0x2757, 0x2757 },
		{ 0x2795, 0x2797 },
		{ 0x27B0, 0x27B0 },
		{ 0x27BF, 0x27BF },
		{ 0x2B1B, 0x2B1C },
		{ 0x2B50, 0x2B50 },
		{ 0x2B55, 0x2B55 },
		{ 0x2E80, 0x303E },
		{ 0x3041, 0xA4CF },
		{ 0xA960, 0xA97C },
		{ 0xAC00, 0xD7A3 },
		{ 0xF900, 0xFAFF },
		{ 0xFE10, 0xFE19 },
		{ 0xFE30, 0xFE6F },
		{ 0xFF00, 0xFF60 },
		{ 0xFFE0, 0xFFE6 },
		{ 0x16FE0, 0x1B2FB },
		{ 0x1F004, 0x1F004 },
		{ 0x1F0CF, 0x1F0CF },
		{ 0x1F18E, 0x1F19A },
		{ 0x1F200, 0x1F64F },
		{ 0x1F680, 0x1F6FF },
		{ 0x1F7E0, 0x1F7F0 },
		{ 0x1F900, 0x1FAFF },
		{ 0x20000, 0x3FFFD },
	};
	for (size_t i = 0; i < sizeof(ranges) / sizeof(ranges[0]) && ranges[i].first <= code; i++) {
		if (code <= ranges[i].last)
			return true;
	}
	return false;
}

size_t lt_utf8_columns(const char *string)
{
	size_t columns = 0;
	uint32_t code;
	while ((code = lt_utf8_next(&string)) != 0) {
		if (is_zero_width(code))
			continue;
		columns += is_wide(code) ? 2 : 1;
	}
	return columns;
}
