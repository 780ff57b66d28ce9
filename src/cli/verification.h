/* What one run of loomtag verify has at hand. */
#ifndef LOOMTAG_CLI_VERIFICATION_H
#define LOOMTAG_CLI_VERIFICATION_H

#include <jansson.h>

#include "cli/session.h"
#include "loomtag/live.h"

struct verification {
	struct lt_session *session;
	const struct options *options; /* the session's */
	struct lt_diags *diags;        /* likewise */
	unsigned long long asked;      /* the job that is asked for with --job; 0 */
	const char *database;          /* where it is kept, or NULL */
	struct lt_work *work;          /* the job, kept or not */
	struct lt_live_scans scans;
	bool left;      /* live: the person left, or nothing was scanned: that is no yes */
	json_t *photos; /* with --photos: a row a picture; lines of scans count them from 1 */
};

/* Opens the work: on the store where `kept`, else on nothing. False after an error in the session's
 * diagnostics. Closed by the caller. */
bool lt_verification_open(struct verification *verification, bool kept);

/* Where nobody can be asked: continues the open job, or starts one. The exit code; where it is not
 * EXIT_YES, the diagnostics say why. EXIT_NO when the open job is too old to be continued unasked,
 * or `stage` of it is done already, so that its answer would be one of old scans; EXIT_INPUT when
 * the description has changed and --changed is not given. */
int lt_verification_begin(struct verification *verification, enum lt_stage stage);

/* The first half of that: whether an open job may be continued unasked. */
bool lt_verification_may_go_on(const struct verification *verification, enum lt_stage stage);

/* An error: the description is not the one that the job was checked against. EXIT_INPUT. */
int lt_verification_refuse_changed(struct verification *verification);

/* Answers one scan of an input's line. False when it was not taken, after an error in the
 * diagnostics. */
bool lt_verification_scan(struct verification *verification, struct lt_answer *answer,
	unsigned line, const char *scan, size_t length);

/* verify_photos.c: reads the pictures named behind FILE, feeds what each shows, and says it in a
 * line (not with --json or --quiet). Sets verification->photos. EXIT_YES, or EXIT_INPUT when a
 * picture could not be read, after saying which; the others are read all the same. EXIT_SYSTEM when
 * one could not be kept in its job: then no more are read. */
int lt_verify_photos(struct verification *verification);

/* verify_live.c: opens the job and runs the live conversation; `stage` LT_STAGE_COUNT: the present
 * one. Returns the exit code, after the result is shown. */
int lt_verify_live(struct verification *verification, enum lt_stage stage);

/* verify_result.c: prints the result of the present stage: with --json as one document, else, but
 * with
 * --quiet, in words. The exit code by the answer; EXIT_SYSTEM, with nothing printed, where the
 * store does not hold what was recorded. */
int lt_verification_print_result(struct verification *verification);

#endif
