/* What pictures of layouts share: one label, drawn with its zones and a sample sticker. */
#ifndef LOOMTAG_SHEET_SPECIMEN_LABEL_H
#define LOOMTAG_SHEET_SPECIMEN_LABEL_H

#include "loomtag/sheet.h"

/* One label as it is to be drawn. */
struct lt_specimen_label {
	struct lt_arena arena;
	const struct lt_layout *layout;
	struct lt_shape shape;
	bool placed; /* there is room for the sample */
	struct lt_sticker sticker;
};

/* Places the sample on a label, for a bundle that it suits. */
void lt_specimen_label_init(struct lt_specimen_label *out, const struct lt_layout *layout,
	const struct lt_measure *measure);
void lt_specimen_label_finish(struct lt_specimen_label *label);

struct lt_specimen_style {
	double scale; /* 1: print size; the sample is drawn at that alone */
	bool insets;  /* dashes around what can be printed on */
};

/* Draws the label with its corner at x, y. */
bool lt_specimen_label_draw(struct lt_canvas *canvas, const struct lt_specimen_label *label,
	const struct lt_specimen_style *style, double x, double y, const struct lt_measure *measure,
	struct lt_diags *diags);

#endif
