/* Reading scans of any bytes: what is read as right must be what would have been written. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static char upper(uint8_t byte)
{
	return byte >= 'a' && byte <= 'z' ? (char)(byte - 'a' + 'A') : (char)byte;
}

static int stands_in(const char *text, const uint8_t *data, size_t size)
{
	size_t length = strlen(text);
	for (size_t at = 0; at + length <= size; at++) {
		size_t same = 0;
		while (same < length && upper(data[at + same]) == text[same])
			same++;
		if (same == length)
			return 1;
	}
	return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lt_scan scan;
	lt_scan_read(&scan, (const char *)data, size);
	if (scan.kind == LT_SCAN_MISREAD)
		return 0;
	char expected[LT_SCAN_CODE_SIZE];
	if (scan.kind == LT_SCAN_CODE)
		lt_scan_code_write(expected, scan.number, scan.side, scan.code);
	else
		lt_tag_write(expected, scan.number, scan.side);
	if (!stands_in(expected, data, size))
		abort();
	return 0;
}
