/* Throws bytes at the layout reader. */
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include "loomtag/label.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	struct lt_layout layout;
	struct lt_diags diags = { 0 };
	if (lt_layout_check(&layout, NULL, (const char *)bytes, length, NULL, &diags)) {
		struct lt_shape shape;
		lt_layout_shape(&shape, &layout, layout.shortest, 5);
		/* A face that there is nothing of, or bundles the wrong way round, would go on to
		 * places that trust them. */
		struct lt_range range = lt_layout_bundles(&layout);
		if (!(shape.faces[0].width > 2 * layout.inset) ||
			!(shape.faces[0].height > 2 * layout.inset) || !(range.least < range.most))
			abort();
	}
	lt_layout_finish(&layout);
	lt_diags_finish(&diags);
	return 0;
}
