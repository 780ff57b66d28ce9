/* What pictures of layouts share: one label, drawn with its zones and a sample sticker. */
#ifndef LOOMTAG_SHEET_SPECIMEN_LABEL_H
#define LOOMTAG_SHEET_SPECIMEN_LABEL_H

#include "loomtag/sheet.h"

/* An invented harness of two look-alikes, numbered. */
struct lt_sample {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
};

void lt_sample_init(struct lt_sample *sample);
void lt_sample_finish(struct lt_sample *sample);

/* One label as it is to be drawn. */
struct lt_specimen_label {
	struct lt_arena arena;
	const struct lt_layout *layout;
	struct lt_shape shape;
	bool placed; /* there is room for the sample */
	struct lt_sticker sticker;
};

/* Places the sample on a label, for a bundle that it suits. */
void lt_specimen_label_init(struct lt_specimen_label *out, struct lt_sample *sample,
	const struct lt_layout *layout, const struct lt_measure *measure);
void lt_specimen_label_finish(struct lt_specimen_label *label);

struct lt_specimen_style {
	double scale; /* 1: print size; the sample is drawn at that alone */
	bool insets;  /* dashes around what can be printed on */
};

/* Draws the label with its corner at x, y. */
bool lt_specimen_label_draw(struct lt_canvas *canvas, const struct lt_specimen_label *label,
	const struct lt_specimen_style *style, double x, double y, const struct lt_measure *measure,
	struct lt_diags *diags);

/* "25.4 mm", to a hundredth. */
const char *lt_specimen_mm(struct lt_arena *arena, double mm);

#endif
