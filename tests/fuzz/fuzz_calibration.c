/* Reading calibrations of any bytes: what is read without an error is written and read back whole,
 * and what is refused has said why. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "label/calibration.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_same(const struct lt_calibration *one, const struct lt_calibration *other)
{
	if (strcmp(one->name, other->name) != 0 || one->other_count != other->other_count ||
		one->nudge_x != other->nudge_x || one->nudge_y != other->nudge_y ||
		one->scale_x != other->scale_x || one->scale_y != other->scale_y)
		abort();
	for (size_t i = 0; i < one->other_count; i++)
		if (strcmp(one->others[i].key, other->others[i].key) != 0 ||
			strcmp(one->others[i].value, other->others[i].value) != 0)
			abort();
}

static void check_read_back(const struct lt_calibrations *set)
{
	struct lt_text text = { 0 };
	struct lt_diags diags;
	struct lt_calibrations again;
	lt_diags_init(&diags);
	lt_calibrations_write(&text, set);
	if (!lt_calibrations_read(&again, "again.yaml", text.bytes, text.length, &diags) ||
		again.count != set->count)
		abort();
	for (size_t i = 0; i < set->count; i++)
		check_same(&set->items[i], &again.items[i]);
	lt_calibrations_finish(&again);
	lt_diags_finish(&diags);
	lt_text_finish(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct lt_diags diags;
	struct lt_calibrations set;
	lt_diags_init(&diags);
	bool good = lt_calibrations_read(&set, "fuzz.yaml", (const char *)data, size, &diags);
	if (good == (diags.errors != 0))
		abort();
	if (good)
		check_read_back(&set);
	lt_calibrations_finish(&set);
	lt_diags_finish(&diags);
	return 0;
}
