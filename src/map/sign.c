/* Signs for what has no ways to count: rings, spades, hoses, straps, clips, and things that are
 * taken off. They show the kind, not its shape. */
#include <math.h>

#include "loomtag/words.h"
#include "map/panel.h"

#define SIGN_WIDTH 24.0
#define SIGN_HEIGHT 11.0
#define MIDDLE (SIGN_HEIGHT / 2)
#define SWATCH_WIDTH 13.0
#define SWATCH_HEIGHT 3.0

static const struct lt_pen pen = { 0.4, { 0, 0, 0 }, 0 };
static const struct lt_pen thin = { 0.25, { 0.35, 0.35, 0.35 }, 0 };

/* The barrel that holds the wire, from x on. */
static void place_barrel(struct lt_sketch *sketch, double x)
{
	lt_sketch_box(sketch, x, MIDDLE - 1.6, SIGN_WIDTH - x, 3.2, pen);
	lt_sketch_line(sketch, x + 3, MIDDLE - 1.6, x + 3, MIDDLE + 1.6, thin);
}

static void place_ring(struct lt_sketch *sketch)
{
	lt_sketch_circle(sketch, MIDDLE, MIDDLE, MIDDLE - 0.5, pen);
	lt_sketch_circle(sketch, MIDDLE, MIDDLE, 2.4, pen);
	place_barrel(sketch, SIGN_HEIGHT - 0.5);
}

static void place_spade(struct lt_sketch *sketch)
{
	static const struct lt_point fork[] = { { 0.5, 1 }, { 9, 1 }, { 13, MIDDLE - 1.6 },
		{ 13, MIDDLE + 1.6 }, { 9, SIGN_HEIGHT - 1 }, { 0.5, SIGN_HEIGHT - 1 },
		{ 0.5, MIDDLE + 2 }, { 7, MIDDLE + 2 }, { 7, MIDDLE - 2 }, { 0.5, MIDDLE - 2 } };
	lt_sketch_polygon(sketch, fork, sizeof fork / sizeof *fork, pen);
	place_barrel(sketch, 13);
}

static void place_hose(struct lt_sketch *sketch)
{
	lt_sketch_box(sketch, 0.5, 1, 6, SIGN_HEIGHT - 2, pen);
	lt_sketch_line(sketch, 6.5, MIDDLE - 3, SIGN_WIDTH, MIDDLE - 3, pen);
	lt_sketch_line(sketch, 6.5, MIDDLE + 3, SIGN_WIDTH, MIDDLE + 3, pen);
	lt_sketch_line(sketch, 2.5, 1, 2.5, SIGN_HEIGHT - 1, thin);
	lt_sketch_line(sketch, 4.5, 1, 4.5, SIGN_HEIGHT - 1, thin);
}

static void place_strap(struct lt_sketch *sketch)
{
	const double eye = 3.6;
	lt_sketch_circle(sketch, eye + 0.5, MIDDLE, eye, pen);
	lt_sketch_circle(sketch, eye + 0.5, MIDDLE, 1.6, pen);
	lt_sketch_box(sketch, 2 * eye + 0.5, MIDDLE - 2, SIGN_WIDTH - 2 * eye - 0.5, 4, pen);
	for (int i = 0; i < 5; i++) {
		double x = 2 * eye + 2 + 2.5 * i;
		lt_sketch_line(sketch, x, MIDDLE + 2, x + 2.5, MIDDLE - 2, thin);
	}
}

static void place_clip(struct lt_sketch *sketch)
{
	static const struct lt_point barbs[] = { { 1, MIDDLE }, { 8, 1.5 }, { 8, MIDDLE - 1 },
		{ 15, MIDDLE - 1 }, { 15, 0.8 }, { 17.5, 0.8 }, { 17.5, SIGN_HEIGHT - 0.8 },
		{ 15, SIGN_HEIGHT - 0.8 }, { 15, MIDDLE + 1 }, { 8, MIDDLE + 1 },
		{ 8, SIGN_HEIGHT - 1.5 } };
	lt_sketch_polygon(sketch, barbs, sizeof barbs / sizeof *barbs, pen);
}

/* The head from above, and the thread from the side. */
static void place_screw(struct lt_sketch *sketch)
{
	const double radius = MIDDLE - 1;
	lt_sketch_circle(sketch, radius + 0.5, MIDDLE, radius, pen);
	lt_sketch_line(sketch, 2, MIDDLE, 2 * radius - 1, MIDDLE, pen);
	lt_sketch_line(sketch, radius + 0.5, 2.5, radius + 0.5, SIGN_HEIGHT - 2.5, pen);
	lt_sketch_box(sketch, 12, MIDDLE - 3, 2.5, 6, pen);
	lt_sketch_box(sketch, 14.5, MIDDLE - 1.5, SIGN_WIDTH - 14.5, 3, pen);
	for (int i = 0; i < 4; i++)
		lt_sketch_line(sketch, 16 + 2 * i, MIDDLE + 1.5, 17 + 2 * i, MIDDLE - 1.5, thin);
}

static void place_cover(struct lt_sketch *sketch)
{
	lt_sketch_box(sketch, 0.5, 0.5, SIGN_WIDTH - 0.5, SIGN_HEIGHT - 1, pen);
	for (int i = 0; i < 4; i++)
		lt_sketch_circle(sketch, i % 2 == 0 ? 2.5 : SIGN_WIDTH - 2,
			i / 2 == 0 ? 2.5 : SIGN_HEIGHT - 2.5, 0.8, thin);
}

static void place_spring(struct lt_sketch *sketch)
{
	enum { TURNS = 7 };
	const double step = (SIGN_WIDTH - 4) / TURNS;
	lt_sketch_line(sketch, 0.5, MIDDLE, 2, MIDDLE, pen);
	for (int i = 0; i < TURNS; i++) {
		const double x = 2 + step * i;
		lt_sketch_line(sketch, x, i % 2 == 0 ? MIDDLE : 1.5, x + step / 2,
			i % 2 == 0 ? 1.5 : SIGN_HEIGHT - 1.5, pen);
		lt_sketch_line(sketch, x + step / 2, i % 2 == 0 ? 1.5 : SIGN_HEIGHT - 1.5, x + step,
			i % 2 == 0 ? 1.5 : MIDDLE, pen);
	}
}

static void place_seal(struct lt_sketch *sketch)
{
	lt_sketch_circle(sketch, MIDDLE, MIDDLE, MIDDLE - 0.5, pen);
	lt_sketch_circle(sketch, MIDDLE, MIDDLE, MIDDLE - 2, pen);
	lt_sketch_circle(sketch, SIGN_WIDTH - 8, MIDDLE, 1, pen);
	lt_sketch_circle(sketch, SIGN_WIDTH - 2, MIDDLE, 1, pen);
	lt_sketch_line(sketch, SIGN_WIDTH - 8, MIDDLE, SIGN_WIDTH - 2, MIDDLE, thin);
}

static void place_cap(struct lt_sketch *sketch)
{
	static const struct lt_point edge[] = { { 4, SIGN_HEIGHT - 1 }, { 4, 4 }, { 6, 1 },
		{ 16, 1 }, { 18, 4 }, { 18, SIGN_HEIGHT - 1 } };
	lt_sketch_polygon(sketch, edge, sizeof edge / sizeof *edge, pen);
	for (int i = 0; i < 5; i++)
		lt_sketch_line(sketch, 6 + 2.5 * i, 5, 6 + 2.5 * i, SIGN_HEIGHT - 2, thin);
}

static void place_bracket(struct lt_sketch *sketch)
{
	static const struct lt_point angle[] = { { 1, 0.5 }, { 4, 0.5 }, { 4, SIGN_HEIGHT - 3.5 },
		{ 20, SIGN_HEIGHT - 3.5 }, { 20, SIGN_HEIGHT - 0.5 }, { 1, SIGN_HEIGHT - 0.5 } };
	lt_sketch_polygon(sketch, angle, sizeof angle / sizeof *angle, pen);
	lt_sketch_line(sketch, 4, 2.5, 14, SIGN_HEIGHT - 3.5, thin);
}

static void (*const signs[LT_KIND_COUNT])(struct lt_sketch *sketch) = {
	[LT_RING] = place_ring,
	[LT_SPADE] = place_spade,
	[LT_HOSE] = place_hose,
	[LT_STRAP] = place_strap,
	[LT_CLIP] = place_clip,
	[LT_SCREW] = place_screw,
	[LT_COVER] = place_cover,
	[LT_SPRING] = place_spring,
	[LT_SEAL] = place_seal,
	[LT_CAP] = place_cap,
	[LT_BRACKET] = place_bracket,
};

/* The wire goes on from the sign: its colours, with their codes under them. Returns the y below. */
static double place_wire(struct lt_sketch *sketch, const struct lt_panel_way *way)
{
	double x = SIGN_WIDTH + 1, y = MIDDLE - SWATCH_HEIGHT / 2;
	size_t count = way->wire != NULL ? way->wire->count : 0;
	if (count > 1)
		y = 0;
	for (size_t i = 0; i < count; i++) {
		lt_sketch_swatch(sketch, x, y, SWATCH_WIDTH, SWATCH_HEIGHT, &way->wire->colours[i]);
		y = lt_sketch_code(sketch, x + SWATCH_WIDTH / 2, y + SWATCH_HEIGHT + 0.2, way->wire,
			i, 0.2);
	}
	if (count == 0 && way->colour_missing)
		lt_flow_paragraph(&sketch->flow, x, MIDDLE - lt_panel_text.leading / 2,
			2 * SWATCH_WIDTH, &lt_panel_text, lt_panel_words.colour_not_described);
	return y;
}

void lt_panel_sign(struct lt_drawing *out, struct lt_arena *arena, const struct lt_measure *measure,
	const struct lt_connector *connector, const struct lt_panel_ways *ways, double width)
{
	struct lt_sketch sketch;
	lt_sketch_init(&sketch, measure);
	double y = 0;
	if (connector->kind != LT_PLUG) {
		signs[connector->kind](&sketch);
		y = SIGN_HEIGHT + 1;
		if (ways->count > 0)
			y = fmax(y, place_wire(&sketch, &ways->items[0]) + 0.2);
		if (ways->wires > 1)
			y = fmax(y, SIGN_HEIGHT + 3);
	}
	struct lt_text text = { 0 };
	if (connector->kind == LT_PLUG)
		lt_text_add(&text, lt_panel_words.ways_not_described);
	else
		lt_panel_add_sign(&text, lt_kind_name(connector->kind));
	lt_flow_paragraph(&sketch.flow, 0, y, width, &lt_panel_label, lt_text_string(&text));
	lt_text_finish(&text);
	lt_sketch_glue(&sketch, 0, y + 1);
	lt_sketch_keep(out, arena, &sketch);
	lt_sketch_finish(&sketch);
}
