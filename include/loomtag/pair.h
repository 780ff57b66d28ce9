/* One picture of a made joint: which of the codes found in it are stickers, and what the two of
 * them together say. No input or output of its own. */
#ifndef LOOMTAG_PAIR_H
#define LOOMTAG_PAIR_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/answer.h"
#include "loomtag/memory.h"
#include "loomtag/tags.h"
#include "loomtag/text.h"

enum lt_pair_kind {
	LT_PAIR_NONE,  /* no sticker */
	LT_PAIR_HALF,  /* one sticker of a joint that has two */
	LT_PAIR_WHOLE, /* two stickers; or the one of a joint that has one, or that does not belong
			*/
	LT_PAIR_APART, /* two, one of which is the only sticker of its joint: two joints */
	LT_PAIR_MORE   /* three or more: it cannot be told which belong to one joint */
};

/* "none", "half", "whole", "apart", "more"; lives for ever. */
const char *lt_pair_kind_name(enum lt_pair_kind kind);

/* A sticker's code. */
struct lt_pair_code {
	const char *text; /* as it was read */
	struct lt_scan scan;
};

struct lt_pair {
	enum lt_pair_kind kind;
	struct lt_pair_code *codes; /* each tag once, in the order in which they are fed */
	size_t code_count;
	const char **others; /* what is no sticker: a map's link, a product's label */
	size_t other_count;
	struct lt_answer answer; /* LT_PAIR_WHOLE, once it was fed */
};

/* Sorts out the texts of one picture; arrays from `arena`, the texts stay the caller's. A text is
 * a sticker's when lt_scan_read finds a scan code in it. */
void lt_pair_sort(struct lt_pair *out, struct lt_arena *arena, const char *const *texts,
	size_t count, const struct lt_verify *verify);

/* How many of its codes are to be scanned, from the first on: none but for LT_PAIR_WHOLE, one at
 * stage unplug. Nothing may be pending before, and what is pending after is to be dropped: a
 * picture is one joint, whatever came before it and comes behind it. Each answer, in order, is
 * given to lt_pair_take, which sets pair->answer to that of the picture as a whole: never half. */
size_t lt_pair_scans(const struct lt_pair *pair, enum lt_stage stage);
void lt_pair_take(struct lt_pair *pair, size_t code, const struct lt_answer *answer);

/* Says in one line, without a newline, what a picture that was fed shows: "mated  12H with 12M
 * motor power", "one code only: 12H - ...". Text that came from outside is made harmless. */
void lt_pair_words(struct lt_text *out, const struct lt_pair *pair, const struct lt_tags *tags,
	enum lt_stage stage);

/* How urgent that is. Whatever proves nothing is to be photographed again: LT_TONE_WAIT. */
enum lt_tone lt_pair_tone(const struct lt_pair *pair);

#endif
