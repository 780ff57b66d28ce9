/* Who works at a terminal: asked once a job, and remembered. */
#ifndef LOOMTAG_CLI_WHO_H
#define LOOMTAG_CLI_WHO_H

#include <stdbool.h>

#include "loomtag/base.h"

/* What is remembered of the terminal that standard input is: the name that was given last, and in
 * which job of the database, 0 where that was another; NULL and 0 where there is nothing. */
struct who_remembered {
	const char *name;
	unsigned long long job;
};

/* From the file `terminals` in the state folder; the name from `arena`. What cannot be read is
 * nothing. `database` may be NULL. */
void lt_who_recall(struct who_remembered *out, const char *database, struct lt_arena *arena);

/* Keeps the name for this terminal. What cannot be written is not remembered, which does no harm:
 * it is asked for again. */
void lt_who_remember(const char *name, const char *database, unsigned long long job);

#endif
