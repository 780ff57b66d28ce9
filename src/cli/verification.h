/* What one run of loomtag verify has at hand. */
#ifndef LOOMTAG_CLI_VERIFICATION_H
#define LOOMTAG_CLI_VERIFICATION_H

#include <jansson.h>

#include "loomtag/verify_log.h"
#include "session.h"

struct verification {
	struct session *session;
	struct lt_plan plan;
	size_t *connectors; /* by joint */
	struct lt_verify *machine;
	struct lt_verify_log log;
	json_t *photos; /* with --photos: a row a picture; events' lines count pictures from 1 */
};

#endif
