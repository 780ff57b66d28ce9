/* Reading layouts: what its files share. Lengths in mm. */
#ifndef LOOMTAG_LABEL_LAYOUT_H
#define LOOMTAG_LABEL_LAYOUT_H

#include "loomtag/label.h"

/* Sizes are written to a hundredth of a millimetre at best; sums of them are no more exact. */
#define LT_LAYOUT_SLACK 0.01

/* What is being read. */
struct lt_layout_reader {
	struct lt_layout *layout;
	struct lt_arena *scratch;
	const struct lt_node *root;
	const char *file; /* or NULL */
	struct lt_diags *diags;
};

/* Each reports sizes that contradict each other: the lengths of a tape's faces; a label and the
 * zones that make it up; the edge and corners of a label whose size is known; the labels on a page.
 * The keys that it needs have been read. */
void lt_layout_check_faces(const struct lt_layout_reader *r);
void lt_layout_check_label(const struct lt_layout_reader *r);
void lt_layout_check_edge(const struct lt_layout_reader *r);
void lt_layout_check_grid(const struct lt_layout_reader *r);

/* Reads a layout as lt_layout_check does, and warns of nothing. */
bool lt_layout_read(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	struct lt_diags *diags);

/* True when all sizes of two layouts are the same, whatever they are called. */
bool lt_layout_same(const struct lt_layout *a, const struct lt_layout *b);

/* Warns of what is doubtful about a layout that reads; see lt_layout_check. The keys of `root` give
 * the places. */
void lt_layout_doubt(const struct lt_layout *layout, const struct lt_node *root,
	const struct lt_measure *measure, struct lt_diags *diags);

#endif
