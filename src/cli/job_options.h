/* What every command that works on jobs asks of its options: which database, and who works. */
#ifndef LOOMTAG_CLI_JOB_OPTIONS_H
#define LOOMTAG_CLI_JOB_OPTIONS_H

#include "cli/options.h"
#include "loomtag/base.h"

/* --db, or bench.db beside the description; in the current folder where `description` is NULL. */
const char *lt_job_database(const struct options *options, const char *description,
	struct lt_arena *arena);

/* --who, or the name of the user that is logged in, or "?"; without what could drive a terminal. */
const char *lt_job_who(const struct options *options, struct lt_arena *arena);

/* Reads the number of a job: digits alone, from 1. False after a usage error. */
bool lt_job_number(unsigned long long *out, const char *command, const char *text);

/* Milliseconds since 1970, UTC. */
long long lt_job_now(void);

#endif
