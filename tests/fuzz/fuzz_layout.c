/* Throws bytes at the layout reader. */
#include <stddef.h>
#include <stdint.h>

#include "loomtag/layout.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	lt_layout_read(&layout, NULL, (const char *)bytes, length, &diags);
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	return 0;
}
