/* The words for label layouts, on the terminal and on their pictures. */
#include "loomtag/words.h"

const struct lt_layout_table_words lt_layout_table_words = {
	.layout = "layout",
	.size = "size",
	.kind = "kind",
	.style = "style",
	.head = "dpi",
	.bundles = "bundles",
	.labels_a_page = "a page",
	.any_head = "any",
	.any_bundle = "any",
};

const struct lt_layout_words lt_layout_words = {
	.tape = "tape",
	.label = "label",
	.edge = "inset",
	.corners = "corners",
	.length = "length",
	.flag = "flag",
	.printed = "printed",
	.clear = "clear",
	.film = "film",
	.bundles = "bundles",
	.sheet = "sheet",
	.cut = "cut",
	.cut_lines = "plain paper, cut along the printed lines",
	.gap = "gap",
	.head = "dpi",
	.tail_below = "below the printed zone",
	.tail_above = "above the printed zone",
	.tail_right = "to the right of the printed zone",
	.tail_left = "to the left of the printed zone",
};

const char lt_sheet_cut_along[] = "Print at actual size. Cut along the lines. Fix with clear tape.";

const struct lt_specimen_words lt_specimen_words = {
	.title = "Label layouts",
	.heading = "Label layouts at print size",
	.bar = "100 mm when printed at actual size",
	.lies_flat = "lies flat, for any bundle",
	.loop_is_cut = "for any bundle: the loop is cut to length",
	.no_room = "no room for the sample sticker",
	.clear = "clear",
	.loop = "loop",
	.flag = "flag",
	.wrap = "wrap",
};

void lt_words_bundles_between(struct lt_text *out, double least, double most)
{
	lt_text_printf(out, "%.1f to %.1f mm", least, most);
}

void lt_words_bundles_up_to(struct lt_text *out, double most)
{
	lt_text_printf(out, "up to %.1f mm", most);
}

void lt_words_tape_width(struct lt_text *out, double width)
{
	lt_text_printf(out, "%g mm wide", width);
}

void lt_words_not_printed(struct lt_text *out, double inset)
{
	lt_text_printf(out, "%g mm, not printed", inset);
}

void lt_words_corner_radius(struct lt_text *out, double radius)
{
	lt_text_printf(out, "radius %g mm", radius);
}

void lt_words_face_length(struct lt_text *out, double shortest, double longest)
{
	lt_text_printf(out, "each face %g to %g mm, as short as its text allows", shortest,
		longest);
}

void lt_words_flag(struct lt_text *out, double width, double height, double loop)
{
	lt_text_printf(out, "two faces of %g x %g mm side by side, a loop of %g mm between them",
		width, height, loop);
}

void lt_words_tape_flag(struct lt_text *out, double loop)
{
	lt_text_printf(out, "two faces with a loop between, cut to the bundle (%g mm if not known)",
		loop);
}

void lt_words_film(struct lt_text *out, double thickness)
{
	lt_text_printf(out, "%g mm thick", thickness);
}

void lt_words_sheet(struct lt_text *out, const struct lt_sheet_figures *sheet)
{
	lt_text_printf(out, "%g x %g mm, %u x %u labels, first at %g, %g mm, pitch %g x %g mm",
		sheet->width, sheet->height, sheet->columns, sheet->rows, sheet->first_x,
		sheet->first_y, sheet->pitch_x, sheet->pitch_y);
}

void lt_words_label_gap(struct lt_text *out, double gap)
{
	lt_text_printf(out, "%g mm between labels", gap);
}

void lt_words_specimen_title(struct lt_text *out, const char *layout)
{
	lt_text_printf(out, "Label layout %s", layout);
}

void lt_words_specimen_bundles(struct lt_text *out, const char *bundles)
{
	lt_text_printf(out, "for bundles: %s", bundles);
}

void lt_words_specimen_edge(struct lt_text *out, double inset)
{
	lt_text_printf(out, "dashed: no ink nearer than %g mm to an edge", inset);
}

void lt_words_specimen_tape(struct lt_text *out, double shortest, double longest)
{
	lt_text_printf(out, "cut to the text, each face %g to %g mm long", shortest, longest);
}

void lt_words_specimen_head(struct lt_text *out, double dpi)
{
	lt_text_printf(out, "head: %g dpi", dpi);
}

void lt_words_specimen_page(struct lt_text *out, double width, double height, unsigned columns,
	unsigned rows)
{
	lt_text_printf(out, "page %g x %g mm, %u x %u labels", width, height, columns, rows);
}

void lt_words_contact_tape(struct lt_text *out, double width)
{
	lt_text_printf(out, "tape of %g mm", width);
}

void lt_words_contact_scale(struct lt_text *out, double parts)
{
	lt_text_printf(out, "drawn at 1:%g", parts);
}

void lt_words_contact_bundles(struct lt_text *out, const char *bundles)
{
	lt_text_printf(out, "bundles %s", bundles);
}

void lt_words_contact_page(struct lt_text *out, size_t page, size_t pages)
{
	lt_text_printf(out, "page %zu of %zu", page, pages);
}

void lt_words_layout_drawn(struct lt_text *out, const char *file, const char *layout)
{
	lt_text_printf(out, "%s: layout %s at print size", file, layout);
}

void lt_words_layouts_drawn(struct lt_text *out, const char *file, size_t layouts)
{
	lt_text_printf(out,
		lt_plural(layouts, "%s: %zu layout at print size", "%s: %zu layouts at print size"),
		file, layouts);
}

void lt_words_layout_checked(struct lt_text *out, const char *file, size_t errors, size_t warnings)
{
	lt_text_printf(out,
		lt_plural(errors,
			lt_plural(warnings, "%s: %zu error, %zu warning",
				"%s: %zu error, %zu warnings"),
			lt_plural(warnings, "%s: %zu errors, %zu warning",
				"%s: %zu errors, %zu warnings")),
		file, errors, warnings);
}
