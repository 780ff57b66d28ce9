/* What labels have no room for, and moves that they are not made for. */
#include <math.h>

#include "loomtag/sheet.h"

static void add_roles(struct lt_text *out, unsigned roles)
{
	const char *between = " ";
	for (enum lt_box_role role = 0; role < LT_BOX_ROLE_COUNT; role++) {
		if ((roles & 1u << role) != 0) {
			lt_text_printf(out, "%s%s", between, lt_box_role_name(role));
			between = ", ";
		}
	}
}

void lt_sheet_tell_of_room(const struct lt_sheet *sheet, struct lt_diags *diags)
{
	if (sheet->left_out == 0 && sheet->shortened == 0)
		return;
	/* What keeps a plug off a wrong mate is missed more than the rest. */
	const unsigned warnings = 1u << LT_BOX_LOOKALIKES | 1u << LT_BOX_BANNER;
	if ((sheet->left_out & warnings) != 0) {
		lt_warning(diags, lt_place_none(),
			"layout %s has no room on some labels for what else a plug would fit, or for "
			"which part is new",
			sheet->layout->name);
		lt_hint(diags, "take a larger label, or go by the checklist");
	}
	struct lt_text words = { 0 };
	if (sheet->left_out != 0) {
		lt_text_add(&words, "left out on some labels:");
		add_roles(&words, sheet->left_out);
	}
	if (sheet->shortened != 0) {
		lt_text_add(&words,
			words.length > 0 ? "; shortened:" : "shortened on some labels:");
		add_roles(&words, sheet->shortened);
	}
	lt_note(diags, lt_place_none(), "layout %s has no room for everything; %s",
		sheet->layout->name, lt_text_string(&words));
	lt_text_finish(&words);
}

void lt_sheet_warn_of_moves(const struct lt_sheet_options *options, const struct lt_layout *layout,
	struct lt_diags *diags)
{
	if (fabs(options->nudge_x) > layout->inset || fabs(options->nudge_y) > layout->inset)
		lt_warning(diags, lt_place_none(),
			"--nudge moves ink by more than the %g mm edge that layout %s leaves: some may "
			"miss its label",
			layout->inset, layout->name);
	double wider = fabs(1 / options->scale_x - 1) * layout->label_width;
	double higher = fabs(1 / options->scale_y - 1) * layout->label_height;
	if (layout->medium == LT_MEDIUM_SHEET && fmax(wider, higher) > layout->inset) {
		lt_warning(diags, lt_place_none(),
			"a printer that wants --scale %g,%g makes stickers up to %.1f mm too large or "
			"small, more than the %g mm edge that layout %s leaves",
			options->scale_x, options->scale_y, fmax(wider, higher), layout->inset,
			layout->name);
		lt_hint(diags,
			"--scale moves the labels; see that the printer prints at actual size");
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
