/* Measuring text: widths, heights and where lines break. */
#include <string.h>

#include "loomtag/label.h"

static const char ellipsis[] = "\xE2\x80\xA6";

double lt_text_size(const struct lt_measure *measure, enum lt_typeface face, double capital)
{
	return capital / measure->heights(measure->data, face).capital;
}

double lt_text_ascent(const struct lt_measure *measure, enum lt_typeface face, double size)
{
	return measure->heights(measure->data, face).ascent * size;
}

double lt_text_height(const struct lt_measure *measure, enum lt_typeface face, double size)
{
	struct lt_typeface_heights heights = measure->heights(measure->data, face);
	return (heights.ascent + heights.descent) * size;
}

double lt_text_width(const struct lt_measure *measure, enum lt_typeface face, double size,
	const char *text)
{
	return size * measure->width(measure->data, face, text, strlen(text));
}

size_t lt_text_break(const struct lt_measure *measure, enum lt_typeface face, double size,
	const char *text, double width)
{
	size_t fits = 0;
	for (size_t at = 1;; at++) {
		if (text[at] != ' ' && text[at] != '\0')
			continue;
		if (measure->width(measure->data, face, text, at) * size > width)
			return fits > 0 ? fits : at;
		fits = at;
		if (text[at] == '\0')
			return at;
	}
}

void lt_text_shorten(char *out, size_t room, const struct lt_measure *measure,
	enum lt_typeface face, double size, const char *text, double width)
{
	if (room == 0)
		return;
	out[0] = '\0';
	size_t length = strlen(text);
	if (length < room && lt_text_width(measure, face, size, text) <= width) {
		memcpy(out, text, length + 1);
		return;
	}
	double left = width - lt_text_width(measure, face, size, ellipsis);
	size_t best = 0;
	for (const char *at = text; *at != '\0';) {
		lt_utf8_next(&at);
		size_t here = (size_t)(at - text);
		if (here + sizeof(ellipsis) > room ||
			size * measure->width(measure->data, face, text, here) > left)
			break;
		/* A space before the ellipsis is room wasted. */
		if (at[-1] != ' ')
			best = here;
	}
	if (best > 0)
		snprintf(out, room, "%.*s%s", (int)best, text, ellipsis);
}
