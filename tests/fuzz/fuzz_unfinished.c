/* Reading what is left of a print from any bytes: what is read without an error is written and read
 * back whole, and what is refused has said why. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "print/unfinished.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_same(const struct lt_unfinished *one, const struct lt_unfinished *other)
{
	if (strcmp(one->code, other->code) != 0 || strcmp(one->printer, other->printer) != 0 ||
		strcmp(one->layout, other->layout) != 0 || one->counted != other->counted ||
		one->count != other->count)
		abort();
	for (size_t i = 0; i < one->count; i++) {
		if (one->tags[i].number != other->tags[i].number ||
			one->tags[i].side != other->tags[i].side)
			abort();
		size_t found = lt_unfinished_find(one, &one->tags[i], i % 2 == 0);
		if (found >= one->count || one->tags[found].number != one->tags[i].number)
			abort();
	}
}

static void check_read_back(const struct lt_unfinished *left)
{
	struct lt_text text = { 0 };
	struct lt_diags diags;
	struct lt_unfinished again;
	lt_diags_init(&diags);
	lt_unfinished_write(&text, left);
	if (!lt_unfinished_read(&again, "again.print", text.bytes, text.length, &diags))
		abort();
	check_same(left, &again);
	lt_unfinished_finish(&again);
	lt_diags_finish(&diags);
	lt_text_finish(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lt_diags diags;
	struct lt_unfinished left;
	lt_diags_init(&diags);
	bool good = lt_unfinished_read(&left, "fuzz.print", (const char *)data, size, &diags);
	if (good == (diags.errors != 0) || (good && left.counted > left.count))
		abort();
	if (good)
		check_read_back(&left);
	lt_unfinished_finish(&left);
	lt_diags_finish(&diags);
	return 0;
}
