/* Notes on what had no room on labels, and warnings of corrections that are too large for them. */
#include <math.h>

#include "loomtag/sheet.h"

/* The names of a set of roles, a bit each. */
static void add_roles(struct lt_text *out, unsigned roles)
{
	for (enum lt_box_role role = 0; role < LT_BOX_ROLE_COUNT; role++) {
		if ((roles & 1u << role) != 0)
			lt_text_printf(out, out->length > 0 ? ", %s" : "%s",
				lt_box_role_name(role));
	}
}

void lt_sheet_report_room(const struct lt_sheet *sheet, struct lt_diags *diags)
{
	const char *layout = sheet->layout->name;
	/* What warns of a wrong mate is missed more than the rest. */
	const unsigned warnings = 1u << LT_BOX_LOOKALIKES | 1u << LT_BOX_BANNER;
	if ((sheet->left_out & warnings) != 0) {
		lt_warning(diags, lt_place_none(),
			"layout %s: some stickers have no room for their warning text (\"not "
			"on\", OLD PART, NEW PART)",
			layout);
		lt_hint(diags, "use a larger label, or follow the checklist");
	}
	struct lt_text left_out = { 0 };
	struct lt_text shortened = { 0 };
	add_roles(&left_out, sheet->left_out);
	add_roles(&shortened, sheet->shortened);
	if (left_out.length > 0)
		lt_note(diags, lt_place_none(), "layout %s: left out on some stickers: %s", layout,
			lt_text_string(&left_out));
	if (shortened.length > 0)
		lt_note(diags, lt_place_none(), "layout %s: shortened on some stickers: %s", layout,
			lt_text_string(&shortened));
	lt_text_finish(&left_out);
	lt_text_finish(&shortened);
}

void lt_sheet_warn_of_moves(const struct lt_sheet_options *options, const struct lt_layout *layout,
	struct lt_diags *diags)
{
	if (fabs(options->nudge_x) > layout->inset || fabs(options->nudge_y) > layout->inset)
		lt_warning(diags, lt_place_none(),
			"--nudge is larger than the inset of %g mm of layout %s: some ink can "
			"miss its label",
			layout->inset, layout->name);
	double wider = fabs(1 / options->scale_x - 1) * layout->label_width;
	double higher = fabs(1 / options->scale_y - 1) * layout->label_height;
	if (layout->medium == LT_MEDIUM_SHEET && fmax(wider, higher) > layout->inset) {
		lt_warning(diags, lt_place_none(),
			"a printer that needs --scale %g,%g prints stickers up to %.1f mm too "
			"large or too small: more than the inset of %g mm of layout %s",
			options->scale_x, options->scale_y, fmax(wider, higher), layout->inset,
			layout->name);
		lt_hint(diags,
			"set the printer to actual size: --scale moves stickers, but does not "
			"resize them");
	}
}

double lt_sheet_longest(const struct lt_layout *layout, const struct lt_bundle *bundles,
	size_t count, double most)
{
	double longest = layout->longest;
	for (size_t i = 0; i < count; i++) {
		struct lt_shape shape;
		lt_layout_shape(&shape, layout, layout->shortest, bundles[i].diameter);
		double more = (most - shape.width) / (double)shape.face_count;
		if (more >= 0)
			longest = fmin(longest, layout->shortest + more);
	}
	return longest;
}
