/* Layouts: label media and their sizes. All lengths in mm. */
#ifndef LOOMTAG_LAYOUT_H
#define LOOMTAG_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/measure.h"
#include "loomtag/memory.h"

#define LT_LAYOUT_FILE_MAX (256u * 1024) /* bytes */

enum lt_medium { LT_MEDIUM_SHEET, LT_MEDIUM_ROLL, LT_MEDIUM_TAPE };
/* How a sticker sits: flat; folded round the wire with two faces back to back; or wound round it, a
 * printed zone that a clear tail then covers. */
enum lt_style { LT_STYLE_PLATE, LT_STYLE_FLAG, LT_STYLE_WRAP };
/* Where the clear tail of a wrap lies, seen from its printed zone. */
enum lt_direction { LT_DOWN, LT_UP, LT_RIGHT, LT_LEFT };

struct lt_layout {
	struct lt_arena arena;
	const char *name, *title;
	const char *file; /* that it was read from, or NULL */
	enum lt_medium medium;
	enum lt_style style;
	double page_width, page_height; /* sheet */
	double label_width;             /* 0 on a tape: computed for each sticker */
	double label_height;            /* on a tape its width */
	unsigned columns, rows;         /* sheet; 1 x 1 otherwise */
	double first_x, first_y;        /* top-left corner of the first label on the page */
	double pitch_x, pitch_y;
	double inset;             /* unprintable edge of each label */
	double corner;            /* radius of the corners */
	double gap;               /* roll: between labels */
	double dpi;               /* the head's dots per inch; 0 for a sheet, where any will do */
	double shortest, longest; /* tape: of a face */
	/* Wrap. On a tape only the heights count, and the direction is LT_DOWN. */
	double printed_width, printed_height, clear_width, clear_height;
	enum lt_direction direction;
	double thickness; /* of the film */
	/* Flag: two faces side by side with the loop between. Of a tape's flag the loop is that for
	 * a bundle that is not known. */
	double face_width, loop;
};

#define LT_TAPE_SHORTEST 8.0  /* mm, where the layout does not say */
#define LT_TAPE_LONGEST 100.0 /* likewise */
#define LT_FILM_THICKNESS 0.1 /* mm, of a wrap's film, likewise: common practice, no source */

/* Reads a layout. `name` of the file (without folder and .yaml) must be the layout's own. Errors
 * name their line: unknown keys, missing sizes, a grid that runs off its page, labels that
 * overlap, an inset that leaves nothing to print on, corners that cut into what is printed, zones
 * that do not make up the label, an unknown kind, style or direction. `file` may be NULL. Finish
 * `out` either way. */
bool lt_layout_read(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	struct lt_diags *diags);
bool lt_layout_read_file(struct lt_layout *out, const char *path, struct lt_diags *diags);

/* The same, and where there is no error warns of what is doubtful: a sheet that is printed nearer
 * than LT_PAGE_EDGE to the page's edge; a label on which a two-digit tag with a short code has no
 * room, has modules that only just read, or a number lower than can be read at 500 mm. `measure`
 * NULL leaves out all but the first. */
#define LT_PAGE_EDGE 3.0 /* mm that office printers leave blank: common practice, no source */
bool lt_layout_check(struct lt_layout *out, const char *file, const char *bytes, size_t length,
	const struct lt_measure *measure, struct lt_diags *diags);

/* Takes NULL or a zeroed struct. */
void lt_layout_finish(struct lt_layout *layout);

/* Labels on one page: columns x rows. */
unsigned lt_layout_labels(const struct lt_layout *layout);

/* Top-left corner of label `index` (0 is the first, row by row) on its page. For a roll the page
 * is the label, so 0, 0. */
void lt_layout_position(double *x, double *y, const struct lt_layout *layout, unsigned index);

/* A part of a label. */
struct lt_zone {
	double x, y, width, height;
};

#define LT_FACES 2

/* One label as it lies flat: a plate is all face; a wrap has its printed zone as face and a clear
 * tail; a flag has two equal faces and a loop between. */
struct lt_shape {
	double width, height;
	struct lt_zone faces[LT_FACES]; /* equal in size; the inset is within them */
	size_t face_count;
	struct lt_zone clear; /* all 0 where there is none */
	struct lt_zone loop;  /* likewise */
};

/* The shape of a label. On a tape a face is `length` long, and the loop of a flag is pi x `bundle`
 * (mm; 0 where it is not known: the layout's loop then); otherwise neither counts. */
void lt_layout_shape(struct lt_shape *out, const struct lt_layout *layout, double length,
	double bundle);

/* The bundles that a layout suits, in mm. Plates lie flat and suit all: 0 to INFINITY. */
struct lt_range {
	double least, most;
};
struct lt_range lt_layout_bundles(const struct lt_layout *layout);

/* How a layout goes round a bundle. */
enum lt_fit {
	LT_FIT_YES,
	LT_FIT_UNKNOWN,   /* the bundle is not known, and the style depends on it */
	LT_FIT_TOO_THIN,  /* the printed zone of a wrap would cover itself: it is higher than pi x D
			   */
	LT_FIT_TOO_THICK, /* the clear tail does not go round once more, pi x (D + 2t); or the loop
			     of a flag is shorter than pi x D */
};
enum lt_fit lt_layout_fit(const struct lt_layout *layout, double bundle);

/* False, with what is wrong in `out` ("its bundle of 9.20 mm is too thick for layout …, which suits
 * 3.2 to 6.8 mm"), when the layout does not fit; true when it does or the bundle is not known. */
struct lt_text;
bool lt_layout_fit_words(struct lt_text *out, const struct lt_layout *layout, double bundle);

/* "3.2 to 6.8 mm", "up to 6.3 mm", "any". */
void lt_range_write(struct lt_text *out, const struct lt_range *range);

/* Finds a layout: a name containing '/' or ending in .yaml is a path; else NAME.yaml is looked for
 * in `folders` (NULL-terminated) in turn. Reads it. An unknown name gets the nearest known one as
 * a hint. */
bool lt_layout_find(struct lt_layout *out, const char *name, const char *const *folders,
	struct lt_diags *diags);

/* The names of the layouts in `folders`, sorted, each once; strings and array from `arena`. */
const char **lt_layout_names(size_t *count, struct lt_arena *arena, const char *const *folders);

#endif
