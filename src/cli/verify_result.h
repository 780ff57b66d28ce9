/* How a verification ended, in words and as JSON. */
#ifndef LOOMTAG_CLI_VERIFY_RESULT_H
#define LOOMTAG_CLI_VERIFY_RESULT_H

#include "verification.h"

/* All that is asked for is made, and there was something to make. */
bool verification_answer(const struct verification *verification);

/* Every answer that asks for something, with the line of the scan. */
void verification_print_answers(const struct verification *verification);

/* What is wrong, missing and left to look at, and the answer. */
void verification_print(const struct verification *verification);

/* One JSON document on stdout. Returns the exit code of having written it. */
int verification_print_json(const struct verification *verification);

#endif
