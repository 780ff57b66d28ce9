/* The answers to scans in plain words. */
#ifndef LOOMTAG_ANSWER_H
#define LOOMTAG_ANSWER_H

#include "loomtag/text.h"
#include "loomtag/verify.h"

/* Says an answer in one to three plain sentences, no newline. It never says that a joint is all
 * right, only that the two stickers belong together, and asks for the rest. */
void lt_answer_words(struct lt_text *out, const struct lt_answer *answer,
	const struct lt_tags *tags, enum lt_stage stage);

/* The side that is the mate of H for this connector at this stage: X while the outgoing part is
 * still in (tag, unplug), else M; H for a one-sided connector. */
enum lt_side lt_mate_side(const struct lt_tags *tags, size_t connector, enum lt_stage stage);

#endif
