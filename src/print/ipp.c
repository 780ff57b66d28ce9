/* Attributes of an answer of IPP, read with care. */
#include <math.h>
#include <string.h>

#include "print/ipp.h"

#define DEPTH_MAX 16
#define TEXT_MAX 1023u /* RFC 8011 5.1.3 */

struct bytes {
	const unsigned char *at;
	size_t left;
};

/* Passes over a length of two bytes and as many bytes as it says. */
static bool skip_field(struct bytes *bytes)
{
	if (bytes->left < 2)
		return false;
	size_t length = ((size_t)bytes->at[0] << 8 | bytes->at[1]) + 2;
	if (bytes->left < length)
		return false;
	bytes->at += length;
	bytes->left -= length;
	return true;
}

/* Whether the attributes are whole and their collections not too deep (RFC 8010, 3.1): libcups
 * calls itself for every collection in another, and would run out of stack. */
static bool is_shallow(struct bytes bytes)
{
	unsigned depth = 0;
	while (bytes.left > 0) {
		unsigned tag = *bytes.at++;
		bytes.left--;
		if (tag == IPP_TAG_END)
			return depth == 0;
		if (tag < IPP_TAG_UNSUPPORTED_VALUE)
			continue;
		if (tag == IPP_TAG_BEGIN_COLLECTION && ++depth > DEPTH_MAX)
			return false;
		if (tag == IPP_TAG_END_COLLECTION && depth-- == 0)
			return false;
		/* A tag of four bytes more. */
		if (tag == IPP_TAG_EXTENSION)
			return false;
		bool name = skip_field(&bytes);
		bool value = skip_field(&bytes);
		if (!name || !value)
			return false;
	}
	return false;
}

static ssize_t take(void *context, ipp_uchar_t *buffer, size_t wanted)
{
	struct bytes *bytes = context;
	size_t count = wanted < bytes->left ? wanted : bytes->left;
	memcpy(buffer, bytes->at, count);
	bytes->at += count;
	bytes->left -= count;
	return (ssize_t)count;
}

ipp_t *lt_answer_parse(const char *text, size_t length)
{
	/* Version, status and number of the request come before the attributes. */
	enum { HEADER = 8 };
	const unsigned char *start = (const unsigned char *)text;
	if (length <= HEADER || length > LT_ANSWER_MAX ||
		!is_shallow((struct bytes){ start + HEADER, length - HEADER }))
		return NULL;
	struct bytes bytes = { start, length };
	ipp_t *answer = ippNew();
	ipp_state_t state;
	do
		state = ippReadIO(&bytes, take, 1, NULL, answer);
	while (state != IPP_STATE_DATA && state != IPP_STATE_ERROR && bytes.left > 0);
	if (state == IPP_STATE_DATA)
		return answer;
	ippDelete(answer);
	return NULL;
}

const char *lt_answer_text(struct lt_arena *arena, const char *text)
{
	struct lt_text clean = { 0 };
	lt_text_add_clean(&clean, text, strnlen(text, TEXT_MAX));
	const char *copy = lt_arena_strdup(arena, lt_text_string(&clean));
	lt_text_finish(&clean);
	return copy;
}

int lt_hundredths(double mm)
{
	return (int)lround(mm * 100);
}

void lt_media_name_write(struct lt_text *out, double width, double height)
{
	int shorter = lt_hundredths(fmin(width, height));
	int longer = lt_hundredths(fmax(width, height));
	/* It finds what is near, too. */
	const pwg_media_t *media = pwgMediaForSize(shorter, longer);
	if (media != NULL && media->pwg != NULL && media->width == shorter &&
		media->length == longer && strncmp(media->pwg, "custom_", 7) != 0) {
		lt_text_add(out, media->pwg);
		return;
	}
	char name[64];
	if (pwgFormatSizeName(name, sizeof(name), "om", NULL, shorter, longer, "mm"))
		lt_text_add(out, name);
}
