/* Reading registers of any bytes: what is read without an error is written and read back whole,
 * and what is refused has said why. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"
#include "tags/numbering.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_read_back(const struct lt_register *reg)
{
	struct lt_text first = { 0 };
	struct lt_text second = { 0 };
	lt_register_write(&first, reg, reg->harness);
	struct lt_diags diags;
	struct lt_register again;
	lt_diags_init(&diags);
	if (!lt_register_read(&again, "again.tags", first.bytes, first.length, reg->harness,
		    &diags) ||
		again.count != reg->count)
		abort();
	lt_register_write(&second, &again, reg->harness);
	if (strcmp(lt_text_string(&first), lt_text_string(&second)) != 0)
		abort();
	lt_register_finish(&again);
	lt_diags_finish(&diags);
	lt_text_finish(&second);
	lt_text_finish(&first);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lt_diags diags;
	struct lt_register reg;
	lt_diags_init(&diags);
	bool good = lt_register_read(&reg, "fuzz.tags", (const char *)data, size, "RV3", &diags);
	if (good == (diags.errors != 0))
		abort();
	if (good)
		check_read_back(&reg);
	lt_register_finish(&reg);
	lt_diags_finish(&diags);
	return 0;
}
