/* What goes where on one face of a label. */
#ifndef LOOMTAG_LABEL_FACE_H
#define LOOMTAG_LABEL_FACE_H

#include "label/shape.h"
#include "label/lines.h"
#include "label/symbol.h"
#include "loomtag/label.h"

/* One sticker on its way. */
struct lt_face_work {
	struct lt_arena *arena;
	const struct lt_sticker_options *options;
	const struct lt_measure *measure;
	const struct lt_line *lines; /* what there is to say beside tag and symbol */
	size_t line_count;
};

/* How good a placing is. */
struct lt_face_rank {
	bool readable;                /* the number, at the reading distance */
	double number_height;         /* mm; 0 when the tag found no room */
	unsigned left_out, shortened; /* bits by role */
	unsigned small;               /* lines that are less than legible */
};

/* Places tag, symbol and lines on a blank, into the boxes of `out`, and says how good that is. With
 * `beside` the tag stands left of the texts, as tall as the face allows, instead of above them. */
struct lt_face_rank lt_face_place(struct lt_sticker *out, const struct lt_face_work *work,
	const struct lt_blank *blank, const struct lt_symbol *symbol, bool beside);

/* True when `a` is to be preferred: a readable number before an unreadable one; then all warnings
 * said; then the number no smaller, and more said or as much more legibly. */
bool lt_face_better(const struct lt_face_rank *a, const struct lt_face_rank *b);

/* True when `a` is in nothing worse than `b`. */
bool lt_face_as_good(const struct lt_face_rank *a, const struct lt_face_rank *b);

#endif
