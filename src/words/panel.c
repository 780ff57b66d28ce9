/* The words of a map's panels: front views and what stands beside them. */
#include "loomtag/words.h"

#define DASH "\xE2\x80\x93"

const struct lt_panel_words lt_panel_words = {
	.no_number = "no number, checked by eye",
	.on_old_part = "on the old part",
	.symbol = "QR code",
	.no_symbol = "none, the text is too long",
	.no_photo = "the photograph cannot be read",
	.colour_not_described = "colour not described",
	.ways_not_described = "no front view: the ways are not described",
	.front = "seen from the front (mating face of the harness half)",
	.latches = { [LT_EDGE_TOP] = "latch at the top",
		[LT_EDGE_BOTTOM] = "latch at the bottom",
		[LT_EDGE_LEFT] = "latch on the left",
		[LT_EDGE_RIGHT] = "latch on the right" },
	.paths = { [LT_WAYS_ACROSS] = "ways row after row",
		[LT_WAYS_DOWN] = "ways column after column",
		[LT_WAYS_AROUND] = "ways along one row and back along the next",
		[LT_WAYS_CLOCKWISE] = "ways clockwise, drawn from the top",
		[LT_WAYS_ANTICLOCKWISE] = "ways anticlockwise, drawn from the top" },
	.paths_from_right = { [LT_WAYS_ACROSS] = "ways row after row, from the right",
		[LT_WAYS_DOWN] = "ways column after column, from the right",
		[LT_WAYS_AROUND] = "ways along one row and back along the next, from the right" },
	.first_left = "the first way is on the left",
	.first_right = "the first way is on the right",
	.unrolled = "too many ways to draw a circle: here they are in rows",
	.schematic = "schematic: count the ways on the moulding",
	.uneven_rows = "rows of different length: check on the moulding where each row begins",
	.unnamed_way = DASH ": a way whose name is not described",
	.no_wires = "wires are not described",
	.empty_way = "crossed: no wire is described",
	.colour_unknown = "?: a wire whose colour is not described",
};

void lt_panel_add_kind(struct lt_text *out, const struct lt_connector *connector)
{
	if (connector->name != NULL)
		lt_text_printf(out, "%s, %s", connector->id, lt_kind_name(connector->kind));
	else
		lt_text_add(out, lt_kind_name(connector->kind));
	if (connector->ways > 0)
		lt_text_printf(out, lt_plural(connector->ways, ", %u way", ", %u ways"),
			connector->ways);
	if (connector->family != NULL)
		lt_text_printf(out, ", %s", connector->family);
	if (connector->key != NULL)
		lt_text_printf(out, ", coding %s", connector->key);
}

void lt_panel_add_earth(struct lt_text *out, const char *ways, size_t count, bool first)
{
	if (count == 0)
		lt_text_add(out,
			first ? "protective earth, make this joint first" : "protective earth");
	else if (first)
		lt_text_printf(out,
			lt_plural(count, "protective earth on way %s, make this joint first",
				"protective earth on ways %s, make this joint first"),
			ways);
	else
		lt_text_printf(out,
			lt_plural(count, "protective earth on way %s",
				"protective earth on ways %s"),
			ways);
}

void lt_panel_add_continued(struct lt_text *out, const char *tag, const char *mate, const char *id)
{
	if (tag == NULL)
		lt_text_printf(out, "%s, continued", id);
	else if (mate == NULL)
		lt_text_printf(out, "%s  %s, continued", tag, id);
	else
		lt_text_printf(out, "%s " DASH " %s  %s, continued", tag, mate, id);
}

void lt_panel_add_piece(struct lt_text *out, size_t piece, size_t pieces, const char *ways)
{
	if (ways != NULL)
		lt_text_printf(out, "part %zu of %zu: ways %s", piece, pieces, ways);
	else
		lt_text_printf(out, "part %zu of %zu", piece, pieces);
}

void lt_panel_add_first_way(struct lt_text *out, const char *way)
{
	lt_text_printf(out, "schematic: find way %s on the moulding", way);
}

void lt_panel_add_coding(struct lt_text *out, const char *key)
{
	lt_text_printf(out, "coding %s", key);
}

void lt_panel_add_sign(struct lt_text *out, const char *kind)
{
	lt_text_printf(out, "symbol for a %s, not its shape", kind);
}

void lt_panel_add_colours(struct lt_text *out, const bool on[LT_HUE_COUNT])
{
	/* A code and its first word stay on one line. */
	struct lt_text colours = { 0 };
	for (int i = 0; i < LT_HUE_COUNT; i++) {
		const enum lt_hue hue = (enum lt_hue)i;
		if (!on[i])
			continue;
		if (colours.length > 0)
			lt_text_add(&colours, ", ");
		lt_text_printf(&colours,
			hue == LT_HUE_GNYE ? "%s\xC2\xA0%s: protective earth (PE)" : "%s\xC2\xA0%s",
			lt_hue_code(hue), lt_hue_name(hue));
	}
	if (colours.length > 0)
		lt_text_printf(out, "Colours: %s", lt_text_string(&colours));
	lt_text_finish(&colours);
}
