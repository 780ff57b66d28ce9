/* Text from outside, made safe to show. */
#include <string.h>

#include "loomtag/base.h"

enum { REPLACEMENT = 0xFFFD };

struct range {
	uint32_t first, last;
};

/* From the Unicode Standard, version 15: control codes (23.1), the marks and controls of the
 * direction of text (Annex 9, 2.1 to 2.6), line and paragraph separator (23.2), the zero width
 * space, the word joiner and what is invisible beside it (23.2, 22.6), deprecated format
 * characters (23.3), noncharacters (23.7), the byte order mark (23.8), interlinear annotation
 * (23.8) and tags (23.9). Two texts that differ in these alone would look the same, or one would
 * read otherwise than it was checked. The joiners U+200C and U+200D stay: words of some scripts
 * are spelt with them. */
static const struct range hidden[] = {
	{ 0x00, 0x1F },
	{ 0x7F, 0x9F },
	{ 0x061C, 0x061C },
	{ 0x180E, 0x180E },
	{ 0x200B, 0x200B },
	{ 0x200E, 0x200F },
	{ 0x2028, 0x202E },
	{ 0x2060, 0x206F },
	{ 0xFDD0, 0xFDEF },
	{ 0xFEFF, 0xFEFF },
	{ 0xFFF9, 0xFFFB },
	{ 0xE0000, 0xE007F },
};

uint32_t lt_text_shown(uint32_t code)
{
	if (code == '\t' || code == '\n' || code == '\r')
		return ' ';
	if (code >= ' ' && code < 0x7F)
		return code;
	for (size_t i = 0; i < sizeof(hidden) / sizeof(hidden[0]) && hidden[i].first <= code; i++) {
		if (code <= hidden[i].last)
			return REPLACEMENT;
	}
	/* The last two of each plane are no characters, nor are surrogates. */
	if ((code & 0xFFFE) == 0xFFFE || (code >= 0xD800 && code <= 0xDFFF) || code > 0x10FFFF)
		return REPLACEMENT;
	return code;
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

static bool is_blank(char c)
{
	return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == '\v' || c == '\f';
}

void lt_text_add_clean(struct lt_text *out, const char *bytes, size_t length)
{
	while (length > 0 && is_blank(bytes[length - 1]))
		length--;
	while (length > 0 && is_blank(*bytes)) {
		bytes++;
		length--;
	}
	lt_text_add_visible(out, bytes, length);
}

const char *lt_arena_visible(struct lt_arena *arena, const char *bytes, size_t length)
{
	struct lt_text visible = { 0 };
	lt_text_add_visible(&visible, bytes, length);
	const char *copy = lt_arena_copy(arena, lt_text_string(&visible), visible.length);
	lt_text_finish(&visible);
	return copy;
}

const char *lt_arena_shown(struct lt_arena *arena, const char *text)
{
	return text == NULL ? NULL : lt_arena_visible(arena, text, strlen(text));
}
