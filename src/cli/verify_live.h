/* Scanning live, within a job. */
#ifndef LOOMTAG_CLI_VERIFY_LIVE_H
#define LOOMTAG_CLI_VERIFY_LIVE_H

#include "cli/verification.h"

/* Opens the job and runs the live screen; `stage` LT_STAGE_COUNT: where the job stands. Returns the
 * exit code after telling how it ended. */
int lt_verify_live(struct verification *verification, enum lt_stage stage);

#endif
