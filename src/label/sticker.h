/* What the files share that place one sticker: its symbol, and what goes where on a face of its
 * label. */
#ifndef LOOMTAG_LABEL_STICKER_H
#define LOOMTAG_LABEL_STICKER_H

#include "label/lines.h"
#include "label/shape.h"

/* The sticker on its way. */
struct lt_placing {
	struct lt_arena *arena;
	const struct lt_layout *layout;
	const struct lt_sticker_source *source;
	struct lt_sticker_id id;
	const struct lt_sticker_options *options;
	double bundle;                      /* mm, or 0 */
	struct lt_line lines[LT_LINES_MAX]; /* the texts beside tag and symbol */
	size_t line_count;
};

/* True when the symbol stands beside the text, at the face's right end; else beneath it. */
bool lt_symbol_beside(const struct lt_blank *blank);

/* Chooses payload, version, level and module size. AUTO takes the first of link (where there is a
 * base), facts and code whose modules come out at a good size in the share of the face that a
 * symbol may take; failing that, the first at a fair size; failing that, code at the least size
 * that still reads. With `small` it is no larger than is good, so that more is left to the tag.
 * False with an error naming the connector, the layout and what would help. */
bool lt_symbol_choose(struct lt_symbol *out, const struct lt_placing *placing,
	const struct lt_blank *blank, enum lt_payload payload, bool small, struct lt_diags *diags);

/* Degrees of a bundle that a symbol may go round and still be read in one look: 90 for versions 1
 * and 2, 60 for larger ones. Measured, not published: the outside checks bend symbols round a
 * cylinder and read them. */
double lt_bend_most(unsigned version);

/* How good a placing is. */
struct lt_face_rank {
	bool readable;                /* the number, at the reading distance */
	double number_height;         /* mm; 0 when the tag found no room */
	unsigned left_out, shortened; /* bits by role */
	unsigned small;               /* lines that are less than legible */
};

/* Places tag, symbol and lines on a blank, into the boxes of `out`, and returns how good that is.
 * With `beside` the tag stands left of the texts, as tall as the face allows, instead of above
 * them. */
struct lt_face_rank lt_face_place(struct lt_sticker *out, const struct lt_placing *placing,
	const struct lt_blank *blank, const struct lt_symbol *symbol, bool beside);

/* True when `a` is to be preferred: a readable number before an unreadable one; then all warnings
 * said; then the number no smaller, and more said or as much more legibly. */
bool lt_face_better(const struct lt_face_rank *a, const struct lt_face_rank *b);

/* True when `a` is in nothing worse than `b`. */
bool lt_face_as_good(const struct lt_face_rank *a, const struct lt_face_rank *b);

/* The height of a box's capitals, mm. */
double lt_box_capital(const struct lt_box *box, const struct lt_measure *measure);

/* The doubts about one sticker, a bit each. */
unsigned lt_doubts_of(const struct lt_sticker *sticker, const struct lt_layout *layout,
	double distance);

/* Writes the text of a payload: link = BASE/ + scan code, with scheme and host in capitals;
 * facts = scan code, a space, the mapping in words on one line; code = the scan code alone. A word
 * of the facts that is itself a scan code is broken by a space. False, with nothing written, for
 * link when the harness has no base, and for a text that lt_scan_read would not take for the
 * tag's own scan code. Not for AUTO. */
bool lt_payload_write(struct lt_text *out, enum lt_payload payload, const struct lt_tags *tags,
	size_t connector, enum lt_side side);

/* Whether a sticker is selected; NULL selects all. */
bool lt_selected(const struct lt_selection *selection, unsigned number, enum lt_side side);

#endif
