/* What one run of loomtag verify has at hand. */
#ifndef LOOMTAG_CLI_VERIFICATION_H
#define LOOMTAG_CLI_VERIFICATION_H

#include <jansson.h>

#include "loomtag/verify_log.h"
#include "loomtag/work.h"
#include "session.h"

struct verification {
	struct session *session;
	struct lt_plan plan;
	size_t *connectors;              /* by joint */
	struct lt_verify *feeds;         /* without a job: what scans are fed to; else NULL */
	struct lt_work *work;            /* the job; or NULL */
	const struct lt_verify *machine; /* what the result is read from */
	struct lt_verify_log log;
	json_t *photos; /* with --photos: a row a picture; events' lines count pictures from 1 */
};

/* Opens the job that the options ask for, anew where `fresh`. NULL after an error in the session's
 * diagnostics. */
struct lt_work *verification_open_job(struct session *session, bool fresh);

/* Where the job stands, as the result is to show it. */
void verification_read_job(struct verification *verification);

/* Answers one scan of an input's line, in the job where there is one; *answer may be NULL. False
 * when it could not be kept, after an error in the session's diagnostics. */
bool verification_scan(struct verification *verification, struct lt_answer *answer, unsigned line,
	const char *scan, size_t length);

/* Where nobody can be asked: whether an open job may be gone on with. Names it in a note. False,
 * after an error, when it is too old to be gone on with unasked, or `stage` of it is done already,
 * so that its answer would be one of old scans. */
bool verification_goes_on(const struct verification *verification, enum lt_stage stage);

#endif
