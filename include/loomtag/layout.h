/* Layouts: label media and their sizes. All lengths in mm. */
#ifndef LOOMTAG_LAYOUT_H
#define LOOMTAG_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/memory.h"

#define LT_LAYOUT_FILE_MAX (256u * 1024) /* bytes */

enum lt_medium { LT_MEDIUM_SHEET, LT_MEDIUM_ROLL, LT_MEDIUM_TAPE };
enum lt_style { LT_STYLE_PLATE, LT_STYLE_FLAG, LT_STYLE_WRAP };

struct lt_layout {
	struct lt_arena arena;
	const char *name, *title;
	enum lt_medium medium;
	enum lt_style style;
	double page_width, page_height; /* sheet */
	double label_width, label_height;
	unsigned columns, rows;  /* sheet; 1 x 1 otherwise */
	double first_x, first_y; /* top-left corner of the first label on the page */
	double pitch_x, pitch_y;
	double inset;  /* unprintable edge of each label */
	double corner; /* radius of the corners */
	double gap;    /* roll: between labels */
	double dpi;    /* the head's dots per inch; 0 for a sheet, where any will do */
};

/* Reads a layout. `name` of the file (without folder and .yaml) must be the layout's own. Errors
 * name their line: unknown keys, missing sizes, a grid that runs off its page, labels that
 * overlap, an inset that leaves nothing to print on, corners that cut into what is printed, a kind
 * or style that this version does not know (it knows sheet, roll and plate). `file` may be NULL.
 * Finish `out` either way. */
bool lt_layout_read(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	struct lt_diags *diags);
bool lt_layout_read_file(struct lt_layout *out, const char *path, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_layout_finish(struct lt_layout *layout);

/* Labels on one page: columns x rows. */
unsigned lt_layout_labels(const struct lt_layout *layout);

/* Top-left corner of label `index` (0 is the first, row by row) on its page. For a roll the page
 * is the label, so 0, 0. */
void lt_layout_position(double *x, double *y, const struct lt_layout *layout, unsigned index);

/* Finds a layout: a name containing '/' or ending in .yaml is a path; else NAME.yaml is looked for
 * in `folders` (NULL-terminated) in turn. Reads it. An unknown name gets the nearest known one as
 * a hint. */
bool lt_layout_find(struct lt_layout *out, const char *name, const char *const *folders,
	struct lt_diags *diags);

/* The names of the layouts in `folders`, sorted, each once; strings and array from `arena`. */
const char **lt_layout_names(size_t *count, struct lt_arena *arena, const char *const *folders);

#endif
