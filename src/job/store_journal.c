/* What a journal says of the database beside it, by SQLite's own description of its format. */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "job/store.h"

enum { HEAD = 28, PAGES_AT = 8, BEFORE_AT = 16, SECTOR_AT = 20, PAGE_AT = 24 };
static const unsigned char magic[8] = { 0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7 };

static uint32_t big_endian(const unsigned char *at)
{
	return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

/* Finds the first page among those that were put into the journal. */
static bool find_first_page(unsigned char *out, size_t size, FILE *stream,
	const unsigned char head[HEAD])
{
	const uint32_t pages = big_endian(head + PAGES_AT), page = big_endian(head + PAGE_AT);
	const uint32_t sector = big_endian(head + SECTOR_AT);
	unsigned char number[4];
	/* The largest that SQLite has; what is larger is rubbish. */
	if (page > 65536 || page < size || sector > 65536)
		return false;
	for (uint32_t i = 0; i < pages; i++) {
		/* Each has its number before it, and a checksum behind it. */
		const long at = (long)sector + (long)i * ((long)page + 8);
		if (fseek(stream, at, SEEK_SET) != 0 ||
			fread(number, 1, sizeof(number), stream) != sizeof(number))
			return false;
		if (big_endian(number) == 1)
			return fread(out, 1, size, stream) == size;
	}
	return false;
}

bool lt_job_db_journal_begins(unsigned char *out, size_t size, const char *path)
{
	unsigned char head[HEAD];
	FILE *stream = fopen(path, "rb");
	if (stream == NULL)
		return false;
	bool good = fread(head, 1, HEAD, stream) == HEAD && memcmp(head, magic, sizeof(magic)) == 0;
	if (good && big_endian(head + BEFORE_AT) == 0)
		memset(out, 0, size);
	else
		good = good && find_first_page(out, size, stream, head);
	fclose(stream);
	return good;
}
