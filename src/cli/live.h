/* The live screen: scans answered as they come, from a terminal or a pipe. */
#ifndef LOOMTAG_CLI_LIVE_H
#define LOOMTAG_CLI_LIVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "loomtag/verify_log.h"

struct lt_live_options {
	bool terminal;  /* `out` is one: clear it and draw it anew after each line */
	bool colour;    /* on a terminal; signs and words say the same without */
	bool bell;      /* on a terminal: ring for everything that is not right */
	size_t columns; /* 0: ask the terminal each time, 80 where it does not say */
	size_t rows;    /* likewise, 24 */
};

struct lt_live {
	FILE *in, *out;
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes; /* or NULL */
	struct lt_verify *verify;               /* of a plan built from `tags` */
	struct lt_verify_log *log;
	struct lt_live_options options;
};

enum lt_live_end {
	LT_LIVE_MADE,  /* lt_verify_ok */
	LT_LIVE_LEFT,  /* quit or end of input with something missing, which was said */
	LT_LIVE_UNSAFE /* a hazard was not confirmed; nothing was scanned */
};

/* Has the hazards confirmed, then answers each line until all is made, `quit` or the end of input,
 * and says what is left to do. What was scanned is in the log, the state in the machine. Lines are
 * ended by LF, CR or both; of one longer than 4096 bytes the rest is dropped and it is a misread.
 */
enum lt_live_end lt_live_run(const struct lt_live *live);

#endif
