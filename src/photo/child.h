/* Work that may hang, crash or take all memory, done in a child process. */
#ifndef LOOMTAG_PHOTO_CHILD_H
#define LOOMTAG_PHOTO_CHILD_H

#include <stddef.h>

#include "loomtag/photo.h"

struct lt_child_limits {
	unsigned seconds; /* of the processor; three times that by the clock */
	size_t memory;    /* bytes of address space; not kept to under the address sanitizer */
	size_t answer;    /* bytes */
};

enum lt_child_end {
	LT_CHILD_DONE,
	LT_CHILD_SLOW,   /* took too long and was stopped */
	LT_CHILD_FAILED, /* crashed, ran out of memory, or gave no whole answer */
	LT_CHILD_NONE,   /* could not be started; errno says why */
};

/* What the child does: writes its answer to `answer`, which the parent gets. It writes nothing to
 * standard output or error, and runs no handlers of the parent. */
typedef void lt_child_work(struct lt_text *answer, void *data);

/* Runs `work` in a child and waits for it. `answer` is initialised by the call and has the whole
 * answer after LT_CHILD_DONE, else nothing; the caller finishes it in any case. What a child that
 * was led astray answers may be anything: it has to be read with care. Not for programs with
 * threads. */
enum lt_child_end lt_child_run(struct lt_text *answer, const struct lt_child_limits *limits,
	lt_child_work *work, void *data);

/* For `work`, once it knows how much there is to do: so many seconds more, if that is less than
 * what is left. */
void lt_child_hurry(unsigned seconds);

#endif
