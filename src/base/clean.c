/* Text from outside, made safe to show. */
#include "loomtag/text.h"

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
	/* A copy, since decoding ends at a NUL and there may be some inside. */
	struct lt_text copy = { 0 };
	for (size_t i = 0; i < length; i++)
		lt_text_add_char(&copy, bytes[i] == '\0' ? '\x01' : bytes[i]);
	const char *at = lt_text_string(&copy);
	uint32_t code;
	while ((code = lt_utf8_next(&at)) != 0) {
		if (code == '\t' || code == '\n' || code == '\r')
			code = ' ';
		if (code < 0x20 || (code >= 0x7F && code < 0xA0))
			code = 0xFFFD;
		char put[4];
		lt_text_add_bytes(out, put, lt_utf8_put(put, code));
	}
	lt_text_finish(&copy);
}
