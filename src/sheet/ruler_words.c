/* What to do with a ruler, in words. */
#include <math.h>

#include "sheet/ruler.h"

/* Where a layout has no inset, its frame still has to be seen on the label. */
#define FRAME_LEAST 1.0

#define COLUMNS 78 /* of a terminal */

double lt_ruler_frame(const struct lt_layout *layout)
{
	return fmax(layout->inset, FRAME_LEAST);
}

/* "--nudge 0.5,-1 --scale 1.004,1" */
static void write_corrections(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_ruler_options *options)
{
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	bool nudged = options->nudge_x != 0 || options->nudge_y != 0;
	bool scaled = sheet && (options->scale_x != 1 || options->scale_y != 1);
	if (!nudged && !scaled)
		return;
	lt_text_add(out, "This page was made with");
	if (nudged)
		lt_text_printf(out, " --nudge %g,%g", options->nudge_x, options->nudge_y);
	if (scaled)
		lt_text_printf(out, " --scale %g,%g", options->scale_x, options->scale_y);
	lt_text_add(out, nudged ? ": add what is still missing to the nudge" : "");
	if (scaled)
		lt_text_add(out, nudged ? ", and multiply the scale by it"
					: ": multiply it by what is still missing");
	lt_text_add(out, ".");
}

static void write_sheet_step(struct lt_text *out, size_t step, double x, double y)
{
	switch (step) {
	case 0:
		lt_text_add(out,
			"Print this page on plain paper at actual size: 100 %, not fitted to the page.");
		break;
	case 1:
		lt_text_printf(out,
			"Measure both bars. X is %g mm to the right, Y %g mm down. What a bar should be, "
			"divided by what it measures, is the scale: --scale X,Y. A bar of 100 mm that "
			"measures 99.6 mm gives 1.004, one that is right gives 1. Unless both are 1, print "
			"this page again with it before you go on.",
			x, y);
		break;
	case 2:
		lt_text_add(out,
			"Lay the page behind a blank sheet of labels, edge on edge, and hold both against "
			"the light. Measure by how many mm the outlines would have to move to the right "
			"and down to lie on the labels: --nudge X,Y. To the left and up is minus. The "
			"cross in a square is the middle of the page.");
		break;
	case 3:
		lt_text_add(out,
			"Print this page again with what you found to see that it is right, then give the "
			"same to loomtag stickers.");
		break;
	default:
		break;
	}
}

/* "a bar of 20 mm to the right (X)", or nothing where it has no room. */
static void write_label_bars(struct lt_text *out, double x, double y)
{
	if (x <= 0 && y <= 0) {
		lt_text_add(out, "The label has no room for a bar of 10 mm.");
		return;
	}
	lt_text_add(out, "Measure the bar");
	if (x > 0)
		lt_text_printf(out, "%s of %g mm to the right", y > 0 ? "s" : "", x);
	if (y > 0)
		lt_text_printf(out, "%s of %g mm down", x > 0 ? " and" : "", y);
	lt_text_add(out,
		". If that is not what comes out, the printer fits pages to the label, or its head has "
		"another resolution than the layout says.");
}

static void write_label_step(struct lt_text *out, size_t step, const struct lt_layout *layout,
	double x, double y)
{
	switch (step) {
	case 0:
		lt_text_add(out, "Print this on one label at actual size: 100 %, not fitted.");
		break;
	case 1:
		write_label_bars(out, x, y);
		break;
	case 2:
		lt_text_printf(out,
			"The frame is to be %g mm from all edges of the label. Half of what is more at "
			"the right than at the left is X, half of what is more at the bottom than at the "
			"top is Y of --nudge X,Y, in mm. Where there is less it is minus.",
			lt_ruler_frame(layout));
		break;
	case 3:
		lt_text_add(out,
			"Print this again with it to see that it is right, then give the same to loomtag "
			"stickers.");
		break;
	default:
		break;
	}
}

void lt_ruler_step(struct lt_text *out, size_t step, const struct lt_layout *layout,
	const struct lt_ruler_options *options)
{
	double x, y;
	lt_ruler_bars(&x, &y, layout);
	if (step == LT_RULER_STEPS - 1)
		write_corrections(out, layout, options);
	else if (layout->medium == LT_MEDIUM_SHEET)
		write_sheet_step(out, step, x, y);
	else
		write_label_step(out, step, layout, x, y);
}

void lt_ruler_write(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_ruler_options *options)
{
	for (size_t i = 0; i < LT_RULER_STEPS; i++) {
		struct lt_text step = { 0 };
		lt_text_printf(&step, "%zu. ", i + 1);
		size_t number = step.length;
		lt_ruler_step(&step, i, layout, options);
		if (step.length > number)
			lt_text_wrap(out, lt_text_string(&step), COLUMNS, number);
		lt_text_finish(&step);
	}
}
