/* What a scanner gives for a word of a test. */
#ifndef TESTS_VERIFY_SPELL_H
#define TESTS_VERIFY_SPELL_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"

/* Turns a word of a test into what a scanner gives. "12H" is the sticker of this harness, "=12H"
 * is typed, "~12H" is another unit's, "!12H" has a wrong check character, anything else is as it
 * is. */
static void spell(char out[64], const char *word)
{
	const char *tag = strchr("=~!", word[0]) != NULL ? word + 1 : word;
	char *end;
	const unsigned long number = strtoul(tag, &end, 10);
	if (*tag == '\0' || end == tag || strchr("HMX", *end) == NULL || end[1] != '\0') {
		snprintf(out, 64, "%s", word);
		return;
	}
	const enum lt_side side = *end == 'H' ? LT_SIDE_H : *end == 'M' ? LT_SIDE_M : LT_SIDE_X;
	if (word[0] == '=')
		lt_tag_write(out, (unsigned)number, side);
	else
		lt_scan_code_write(out, (unsigned)number, side,
			word[0] == '~' ? "RV3U43" : "RV3U42");
	if (word[0] == '!') {
		char *check = out + strlen(out) - 1;
		*check = *check == '0' ? '1' : '0';
	}
}

#endif
