/* What is done about a hazard, in the order of 29 CFR 1910.147 (d): isolated (which is when it is
 * locked and labelled), stored energy released, proved; and at the end restored. */
#ifndef LOOMTAG_PAPER_HAZARD_STEPS_H
#define LOOMTAG_PAPER_HAZARD_STEPS_H

#include "loomtag/harness.h"

#define LT_HAZARD_STEPS 4

/* "isolate", "release", "prove", "restore"; step from 0. */
const char *lt_hazard_step_name(size_t step);

/* What the description says of it, or that it says nothing. */
const char *lt_hazard_step(const struct lt_hazard *hazard, size_t step);

#endif
