/* Whether a message contains all that it must name: places, keys, values, at most one telling
 * word. */
#ifndef LOOMTAG_TESTS_HAS_PARTS_H
#define LOOMTAG_TESTS_HAS_PARTS_H

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

/* True when all parts, separated by '|', are in the text, in this order. */
static inline bool has_parts(const char *text, const char *parts)
{
	while (*parts != '\0') {
		char part[128];
		size_t length = strcspn(parts, "|");
		snprintf(part, sizeof(part), "%.*s", (int)length, parts);
		text = length < sizeof(part) ? strstr(text, part) : NULL;
		if (text == NULL)
			return false;
		text += length;
		parts += length + (parts[length] == '|');
	}
	return true;
}

#endif
