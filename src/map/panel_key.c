/* The codes of colours in words, for who does not know them by heart. */
#include "loomtag/base.h"
#include "map/panel.h"

#define PAD 1.5

static void note_colour(bool on[LT_HUE_COUNT], const struct lt_colour *colour)
{
	for (unsigned i = 0; i < colour->count; i++)
		on[colour->hues[i]] = true;
}

static void note_all(bool on[LT_HUE_COUNT], const struct lt_harness *harness)
{
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *connector = &harness->connectors[i];
		for (size_t j = 0; j < connector->wire_count; j++)
			for (size_t k = 0; k < connector->wires[j].count; k++)
				note_colour(on, &connector->wires[j].colours[k]);
	}
	for (size_t i = 0; i < harness->wire_count; i++)
		note_colour(on, &harness->wires[i].colour);
}

/* "BN brown, BU blue": a code and its first word stay on one line. The codes are IEC 60757's. */
static void write_key(struct lt_text *out, const bool on[LT_HUE_COUNT])
{
	for (int hue = 0; hue < LT_HUE_COUNT; hue++) {
		if (!on[hue])
			continue;
		lt_text_printf(out, "%s%s\xC2\xA0%s",
			out->length > 0 ? ", " : "Colours: ", lt_hue_code((enum lt_hue)hue),
			lt_hue_name((enum lt_hue)hue));
		if (hue == LT_HUE_GNYE)
			lt_text_add(out, ": protective earth (PE)");
	}
}

void lt_panel_key(struct lt_drawing *out, struct lt_arena *arena, const struct lt_measure *measure,
	const struct lt_harness *harness, double width)
{
	bool on[LT_HUE_COUNT] = { false };
	struct lt_text text = { 0 };
	*out = (struct lt_drawing){ 0 };
	note_all(on, harness);
	write_key(&text, on);
	if (text.length > 0) {
		struct lt_sketch sketch;
		lt_sketch_init(&sketch, measure);
		double bottom = lt_flow_paragraph(&sketch.flow, PAD, PAD, width - 2 * PAD,
			&lt_panel_text, lt_text_string(&text))
					.y;
		lt_sketch_keep(out, arena, &sketch);
		lt_sketch_finish(&sketch);
		out->width = width;
		out->height = bottom + PAD;
	}
	lt_text_finish(&text);
}
