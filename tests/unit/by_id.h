/* Finding a connector as a description names it. */
#ifndef LOOMTAG_TESTS_BY_ID_H
#define LOOMTAG_TESTS_BY_ID_H

#include <string.h>

#include "loomtag/harness.h"

static inline size_t connector_by_id(const struct lt_harness *harness, const char *id)
{
	for (size_t i = 0; i < harness->connector_count; i++)
		if (strcmp(harness->connectors[i].id, id) == 0)
			return i;
	return LT_NONE;
}

#endif
