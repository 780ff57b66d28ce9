/* Reading layouts: what its files share. Lengths in mm. */
#ifndef LOOMTAG_LABEL_LAYOUT_READ_H
#define LOOMTAG_LABEL_LAYOUT_READ_H

#include "loomtag/label.h"

/* Sizes are written to a hundredth of a millimetre at best; sums of them are no more exact. */
#define LT_LAYOUT_SLACK 0.01
#define LT_LAYOUT_SIDE_LEAST 1.0
#define LT_LAYOUT_SIDE_MOST 1000.0

/* What is being read. */
struct lt_layout_reader {
	struct lt_layout *layout;
	struct lt_arena *scratch;
	const struct lt_node *root;
	struct lt_diags *diags;
};

/* True when two sizes that ought to be the same are. */
bool lt_layout_same(double a, double b);

/* The value of a key, or NULL with an error when it is missing (`example` then shows how to write
 * it) or is not a single text. With `wanted` false it may be missing. */
const struct lt_node *lt_layout_find_key(const struct lt_layout_reader *r, const char *key,
	const char *example, bool wanted);

/* Tells that what a key says `what`, and shows it. */
void lt_layout_tell(const struct lt_layout_reader *r, const struct lt_node *node, const char *key,
	const char *what);

/* Two lengths, each from `least` on. False when they are missing or were told of. */
bool lt_layout_read_pair(const struct lt_layout_reader *r, double *a, double *b, const char *key,
	const char *example, double least);

/* One length, from `least` on. False when it is missing or was told of; *mm is then as before. */
bool lt_layout_read_length(const struct lt_layout_reader *r, double *mm, const char *key,
	const char *example, double least, bool wanted);

/* One of a list of words. Returns its index, or -1 with an error. A missing word is the first,
 * unless it is `wanted`. */
int lt_layout_read_word(const struct lt_layout_reader *r, const char *key, const char *const *words,
	size_t count, bool wanted);

/* The words for kinds and styles, by their enums. */
extern const char *const lt_layout_kinds[LT_MEDIUM_TAPE + 1];
extern const char *const lt_layout_styles[LT_STYLE_WRAP + 1];

/* Tells of keys that are not known, and of those that belong to another kind or style. `medium` or
 * `style` is -1 where it is not known: then every one will do. */
void lt_layout_check_keys(const struct lt_layout_reader *r, int medium, int style);

/* A tape's width, which is its label's height, its head, and the lengths of its faces. */
void lt_layout_read_tape(const struct lt_layout_reader *r);

/* The label and its zones, as its style has them. False when they are not known well enough to
 * judge what else is there. */
bool lt_layout_read_style(const struct lt_layout_reader *r);

/* What the labels of a sheet or a roll have about them; `sized` when the label's size is known. */
void lt_layout_read_sheet(const struct lt_layout_reader *r, bool sized);
void lt_layout_read_roll(const struct lt_layout_reader *r);

/* Warns of what is doubtful about a layout that reads; see lt_layout_check. */
void lt_layout_doubt(const struct lt_layout_reader *r, const struct lt_measure *measure);

#endif
