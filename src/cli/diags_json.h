/* Diagnostics as JSON. */
#ifndef LOOMTAG_CLI_DIAGS_JSON_H
#define LOOMTAG_CLI_DIAGS_JSON_H

#include <jansson.h>

#include "loomtag/base.h"

/* A list of {"file","line","column","severity","message","hint"}. */
json_t *lt_diags_json(const struct lt_diags *diags);

#endif
