/* The wires at each connector, from its own colours and from the wire list, none twice. */
#ifndef LOOMTAG_HARNESS_BUNDLE_H
#define LOOMTAG_HARNESS_BUNDLE_H

#include "loomtag/harness.h"

/* What is done with one connector's wires; a size that is not given is among them as such. The
 * array is gone afterwards. */
typedef void lt_wires_visit(void *data, size_t connector, const struct lt_wire_size *sizes,
	size_t count);

/* Visits every connector, also those with no wires, in their order. n log n. */
void lt_wires_each(const struct lt_harness *harness, lt_wires_visit *visit, void *data);

#endif
