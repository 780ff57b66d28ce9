/* The ruler and the ladder: papers that show how a printer prints and what a scanner reads. */
#include "loomtag/words.h"

const struct lt_ruler_words lt_ruler_words = {
	.print_page =
		"Print this page on plain paper at actual size: 100 %, not fitted to the page.",
	.measure_outlines =
		"Lay the page behind a blank sheet of labels, edge on edge. Hold both against the "
		"light. Measure how far the outlines must move to lie on the labels: this is "
		"--nudge X,Y, in mm. To the right and down is plus, to the left and up is minus. "
		"The cross in a square is the middle of the page.",
	.print_page_again =
		"Print this page again with these values and check the outlines. If they lie on "
		"the labels, give the same values to loomtag stickers.",
	.print_label = "Print this on one label at actual size: 100 %, not fitted to the label.",
	.no_bar = "The label has no room for a bar of 10 mm.",
	.print_label_again =
		"Print this again with --nudge X,Y and check the frame. If it is right, give the "
		"same values to loomtag stickers.",
	.right = "X",
	.down = "Y",
};

const struct lt_ladder_words lt_ladder_words = {
	.smallest = "Smallest code that the scanner reads:",
	.dots = "dots",
};

void lt_words_ruler_title(struct lt_text *out, const char *layout)
{
	lt_text_printf(out, "Ruler for layout %s", layout);
}

void lt_words_ruler_written(struct lt_text *out, const char *file, const char *layout)
{
	lt_text_printf(out, "%s: ruler for layout %s", file, layout);
}

void lt_words_ruler_measure_page(struct lt_text *out, double x, double y)
{
	lt_text_printf(out,
		"Measure both bars. X must be %g mm to the right, Y %g mm down. Divide the length "
		"that a bar must have by the length that you measure: this is the scale. A bar of "
		"100 mm that measures 99.6 mm gives 1.004. If both scales are 1, go on. If not, "
		"print this page again with --scale X,Y.",
		x, y);
}

void lt_words_ruler_measure_label(struct lt_text *out, double x, double y)
{
	if (x > 0 && y > 0)
		lt_text_printf(out,
			"Measure both bars. X must be %g mm to the right, Y %g mm down. If not, "
			"check two things. The printer must not fit pages to the label. Its head "
			"must have the resolution of the layout.",
			x, y);
	else if (x > 0)
		lt_text_printf(out,
			"Measure the bar. X must be %g mm to the right. If not, check two things. "
			"The printer must not fit pages to the label. Its head must have the "
			"resolution of the layout.",
			x);
	else if (y > 0)
		lt_text_printf(out,
			"Measure the bar. Y must be %g mm down. If not, check two things. The "
			"printer must not fit pages to the label. Its head must have the "
			"resolution of the layout.",
			y);
	else
		lt_text_add(out, lt_ruler_words.no_bar);
}

void lt_words_ruler_measure_frame(struct lt_text *out, double inset)
{
	lt_text_printf(out,
		"The frame must be %g mm from every edge of the label. If not, measure these "
		"gaps. X is the gap at the right minus the gap at the left, divided by 2. Y is "
		"the gap at the bottom minus the gap at the top, divided by 2. These are --nudge "
		"X,Y, in mm.",
		inset);
}

void lt_words_ruler_nudged(struct lt_text *out, double x, double y)
{
	lt_text_printf(out,
		"This was printed with --nudge %g,%g. Add the X and Y that you get to these "
		"values.",
		x, y);
}

void lt_words_ruler_scaled(struct lt_text *out, double x, double y)
{
	lt_text_printf(out,
		"This was printed with --scale %g,%g. Multiply these values by the scale that you "
		"get.",
		x, y);
}

void lt_words_ladder_scan(struct lt_text *out, double dpi)
{
	lt_text_printf(out, "Ladder at %g dpi: scan the codes, from large to small.", dpi);
}

void lt_words_dots(struct lt_text *out, unsigned dots)
{
	lt_text_printf(out, "%u dots", dots);
}
