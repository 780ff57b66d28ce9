/* Stickers: what goes where on one label, as placed boxes that can be measured and then drawn.
 * All lengths in mm, y down; boxes from the top-left corner of the face that they stand on. */
#ifndef LOOMTAG_STICKER_H
#define LOOMTAG_STICKER_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/bundle.h"
#include "loomtag/layout.h"
#include "loomtag/measure.h"
#include "loomtag/qr.h"
#include "loomtag/tags.h"

enum lt_box_role {
	LT_BOX_TAG,       /* number and side letter, one text */
	LT_BOX_UNDERLINE, /* a bar under the number */
	LT_BOX_QR,
	LT_BOX_BANNER, /* NEW PART, OUT, stick over M: white on black */
	LT_BOX_LOOKALIKES,
	LT_BOX_NAME,
	LT_BOX_WIRES,
	LT_BOX_MATE,
	LT_BOX_HARNESS,
	LT_BOX_ROLE_COUNT
};

/* A box's x, y, width, height are those of its ink and may not overlap another's nor leave the
 * printable area of the face; for LT_BOX_QR the quiet zone around it (LT_QR_QUIET modules) may lie
 * in the inset but must stay on the face and clear of other boxes. */
struct lt_box {
	enum lt_box_role role;
	double x, y, width, height;
	const char *text; /* texts; from the sheet's arena */
	enum lt_face face;
	double size;     /* em, mm */
	double baseline; /* y of the baseline */
	double text_x;   /* where the text starts (inside a banner it is not x) */
	double module;   /* LT_BOX_QR: mm a module */
};
#define LT_STICKER_BOXES 16

/* How well a symbol reads: its modules are as large as is aimed at; large enough for standard
 * readers, but less than is aimed at on paper (sheets only); only just; not at all. */
enum lt_quality { LT_QUALITY_UNREADABLE, LT_QUALITY_MARGINAL, LT_QUALITY_FAIR, LT_QUALITY_GOOD };

/* Degrees of a bundle that a symbol may go round and still be read in one look: 90 for versions 1
 * and 2, 60 for larger ones. Measured, not published: the outside checks bend symbols round a
 * cylinder and read them. */
double lt_bend_most(unsigned version);

struct lt_sticker {
	unsigned number;
	enum lt_side side;
	size_t connector;
	struct lt_shape shape;   /* the label; each of its faces carries all boxes */
	enum lt_payload payload; /* the one chosen, never AUTO */
	struct lt_qr_plan plan;
	const char *payload_text;
	double module;           /* mm */
	unsigned dots;           /* a module, of the head; of a sheet's printer at 600 dpi */
	enum lt_quality quality; /* of the symbol: never UNREADABLE */
	double number_height;    /* of the tag's capitals and digits, mm */
	double warning_height;   /* of the smallest capitals of banner and look-alikes; 0: none */
	struct lt_bundle bundle; /* of the connector */
	double bend;             /* degrees of the bundle that the symbol goes round; 0 flat */
	struct lt_box boxes[LT_STICKER_BOXES];
	size_t box_count;
	unsigned left_out;  /* bit per role: had something to say, found no room */
	unsigned shortened; /* bit per role: shortened with an ellipsis */
};

/* A symbol is read from about ten times its width (common practice). */
#define LT_READING_WIDTHS 10.0

struct lt_stock;
struct lt_sticker_options {
	enum lt_payload payload;
	bool over_m;       /* the X sticker goes over an M sticker that is already there */
	double distance;   /* reading distance, mm */
	double least_text; /* smallest cap height of any text, mm */
	const struct lt_bundle *bundles; /* by connector; NULL: none is known */
	const struct lt_stock *known;    /* layouts to name where one does not fit, or NULL */
	/* Dots a module that the scanner at hand was found to read, on layouts with a head: fewer
	 * do not read, and what is good has no fewer. 0: what reads as a rule, 3. */
	unsigned least_dots;
};
#define LT_STICKER_OPTIONS_INIT \
	{ \
		LT_PAYLOAD_AUTO, false, 500.0, 1.2, NULL, NULL, 0 \
	}

/* Places one sticker. Text and plan are from `arena`. On a tape the label is as short as it can be
 * with all that finds room on the longest. A number of less than 0.004 x the reading distance is
 * placed, if there is no way to have it larger; that is for the caller to warn of, as is a symbol
 * that is marginal or bends too far. False, with an error naming the connector and what would help,
 * when the tag (at `least_text`) or the QR code cannot be placed at a readable size on this layout,
 * or when the label does not go round the bundle. The symbol itself is not encoded here. */
bool lt_sticker_place(struct lt_sticker *out, struct lt_arena *arena,
	const struct lt_layout *layout, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, size_t connector, enum lt_side side,
	const struct lt_sticker_options *options, const struct lt_measure *measure,
	struct lt_diags *diags);

/* "look-alikes", "name", …: what was left out, for telling the user; lives for ever. */
const char *lt_box_role_name(enum lt_box_role role);

/* Which stickers: a list such as "3,7-9,12M". */
struct lt_selection;
struct lt_selection *lt_selection_read(const char *text, struct lt_diags *diags);
void lt_selection_destroy(struct lt_selection *selection);
/* Tells, as errors, of every item that no sticker answers to. NULL is all right. */
bool lt_selection_check(const struct lt_selection *selection, const struct lt_tags *tags,
	struct lt_diags *diags);
/* NULL selects all. */
bool lt_selected(const struct lt_selection *selection, unsigned number, enum lt_side side);

#endif
