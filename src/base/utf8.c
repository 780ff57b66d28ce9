#include "loomtag/text.h"

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
	size_t room = 1;
	while (room < 4 && bytes[room] != '\0')
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

/* East Asian Wide and Fullwidth, in the main blocks of Unicode Standard Annex 11 (from memory). */
static bool is_wide(uint32_t code)
{
	return (code >= 0x1100 && code <= 0x115F) || (code >= 0x2E80 && code <= 0x303E) ||
	       (code >= 0x3041 && code <= 0xA4CF) || (code >= 0xAC00 && code <= 0xD7A3) ||
	       (code >= 0xF900 && code <= 0xFAFF) || (code >= 0xFE30 && code <= 0xFE6F) ||
	       (code >= 0xFF00 && code <= 0xFF60) || (code >= 0xFFE0 && code <= 0xFFE6) ||
	       (code >= 0x1F300 && code <= 0x1F64F) || (code >= 0x1F900 && code <= 0x1F9FF) ||
	       (code >= 0x20000 && code <= 0x3FFFD);
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
