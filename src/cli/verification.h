/* What one run of loomtag verify has at hand. */
#ifndef LOOMTAG_CLI_VERIFICATION_H
#define LOOMTAG_CLI_VERIFICATION_H

#include <jansson.h>

#include "loomtag/job_state.h"
#include "loomtag/verify_log.h"
#include "session.h"

struct verification {
	struct session *session;
	struct lt_plan plan;
	size_t *connectors;              /* by joint */
	struct lt_verify *feeds;         /* of a file or pictures: what they are fed to */
	const struct lt_verify *machine; /* what the result is read from */
	const struct lt_job_state *job;  /* live: the job; else NULL */
	struct lt_verify_log log;
	json_t *photos; /* with --photos: a row a picture; events' lines count pictures from 1 */
};

#endif
