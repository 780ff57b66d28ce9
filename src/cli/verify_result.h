/* How a verification ended, in words and as JSON. */
#ifndef LOOMTAG_CLI_VERIFY_RESULT_H
#define LOOMTAG_CLI_VERIFY_RESULT_H

#include "cli/verification.h"

/* Tells how the stage that the job is at ended: with --json as one document, else, but with
 * --quiet, in words. The exit code by the answer; EXIT_SYSTEM, with nothing told, where the store
 * does not hold what was recorded. */
int lt_verification_tell(struct verification *verification);

#endif
