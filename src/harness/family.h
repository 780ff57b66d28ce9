/* Families as people mean them: compared part by part, and which are nearly the same. */
#ifndef LOOMTAG_HARNESS_FAMILY_H
#define LOOMTAG_HARNESS_FAMILY_H

#include <stdint.h>

#include "loomtag/harness.h"

/* True when a text has a part: a letter or a number. Takes NULL. */
bool lt_family_given(const char *text);

/* Adds the parts of a text, sorted, each after a space: runs of letters, ASCII capitals as small
 * letters; and numbers with their decimals, without needless zeros. Whatever else it has only
 * separates them. "M12 round", "round M 12" and "ROUND-m012" give the same. */
void lt_family_fold(struct lt_text *out, const char *text);

/* Finds the families that are nearly the same.
 *
 * Two families are near when their numbers are the same and
 * - one word differs, or one of them has one word more, and they share another part; or
 * - each is a single word, of two letters or more, and one letter differs, is missing, or two
 *   neighbours are swapped; or
 * - they differ in one blank: "push-in" and "pushin".
 * So that no two families are compared, each is entered under what is left of it without a word or
 * letter. Those that meet under one key are a circle: each is near every other. Two families share
 * at most one circle. */
struct lt_family_index {
	struct lt_family_entry *entries;
	size_t count, room;
};

/* Enters a family, numbered `shell`, which is compared with others of this kind alone. The same
 * shell may be entered again with its words in another order. Linear in the text. */
void lt_family_add(struct lt_family_index *index, size_t shell, enum lt_kind kind,
	const char *family);

/* The circles, each two or more shells, ascending. From the arena. n log n. */
struct lt_indices *lt_family_circles(size_t *count, struct lt_family_index *index,
	struct lt_arena *arena);

void lt_family_index_finish(struct lt_family_index *index);

#endif
