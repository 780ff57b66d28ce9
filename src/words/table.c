/* The words of a map's tables: index and wire list. */
#include "loomtag/words.h"

const struct lt_table_words lt_table_words = {
	.index_by_number = "Index by number",
	.index_by_place = "Index by place",
	.index_by_place_how = "Index by place (sorted without words such as “behind the”)",
	.wire_list = "Wire list",
	.wires_by_colour = "Wires by colour and size",
	.number = "number",
	.tags = "tags",
	.connector = "connector",
	.mate = "mates with",
	.place = "place",
	.page = "page",
	.what_is_there = "what is there",
	.from = "from",
	.to = "to",
	.colour = "colour",
	.size = "size",
	.wire = "wire",
	.in_words = "in words",
	.both_ends = "both ends described",
	.one_end = "one end described",
	.ends = "ends",
	.by_eye = "by eye",
	.does_not_apply = "\xE2\x80\x93",
	.not_described = "not described",
	.place_not_described = "place not described",
	.no_number = "no number",
	.no_sticker = "no sticker",
	.new_part = "new part",
	.retired = "retired: not used any more",
	.between_choices = " or ",
	.all = "all",
	.no_wires = "No wires are described.",
	.no_wire_list =
		"The description does not say where wires go. Each connector's panel has its "
		"colours. Two ends can be those of one wire.",
};

void lt_table_add_joint_and_mate(struct lt_text *out, const char *joint, const char *mate)
{
	lt_text_printf(out, "%s and its mate %s", joint, mate);
}

void lt_table_add_mate_of(struct lt_text *out, const char *mate, const char *joint)
{
	lt_text_printf(out, "%s, the mate of %s", mate, joint);
}

void lt_table_add_unmated(struct lt_text *out, const char *component)
{
	lt_text_printf(out, "%s: no connector mates with it", component);
}

void lt_table_add_end(struct lt_text *out, const char *tag, const char *id, const char *way)
{
	if (tag != NULL)
		lt_text_printf(out, "%s way %s (%s.%s)", tag, way, id, way);
	else
		lt_text_printf(out, "no number, way %s (%s.%s)", way, id, way);
}

void lt_table_add_open_ends(struct lt_text *out, size_t wires)
{
	lt_text_printf(out,
		lt_plural(wires, "%zu wire has only one end described.",
			"%zu wires have only one end described. Two of them can be the ends of one "
			"wire."),
		wires);
}

static const char *hue(const struct lt_colour *colour, size_t i)
{
	return lt_hue_name((enum lt_hue)colour->hues[i]);
}

void lt_colour_add(struct lt_text *out, const struct lt_colour *colour)
{
	if (lt_colour_is_earth(colour))
		lt_text_printf(out, "%s: protective earth (PE)", hue(colour, 0));
	else if (colour->count == 1)
		lt_text_add(out, hue(colour, 0));
	else if (colour->count == 2)
		lt_text_printf(out, "%s and %s", hue(colour, 0), hue(colour, 1));
	else if (colour->count == 3)
		lt_text_printf(out, "%s, %s and %s", hue(colour, 0), hue(colour, 1),
			hue(colour, 2));
}
