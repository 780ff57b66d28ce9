/* One connector's panel: what it says, and where. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/legible.h"
#include "loomtag/photo.h"
#include "loomtag/text.h"
#include "paper/checklist_model.h"
#include "paper/joint_words.h"
#include "paper/map_panel.h"
#include "paper/marks.h"

#define PAD LT_PANEL_PAD
#define LABEL 14.0 /* column of what the facts are */
#define BESIDE 3.0 /* white space between what stands beside each other */
#define FRONT_GAP 1.6

/* A symbol has modules of the best size unless it grew larger than that. */
#define MODULE_BEST 0.5
#define MODULE_LEAST 0.42
#define SYMBOL_BEST 32.0

#define PHOTO_WIDTH 40.0
#define PHOTO_HEIGHT 30.0

/* Higher than any page has room for a piece of. */
#define PIECE_MOST 120.0

#define AFTER_NAMED 12

struct making {
	struct lt_panel *panel;
	const struct lt_map_input *input;
	const struct lt_connector *connector;
	struct lt_arena *arena;
	struct lt_sketch sketch;
	double inner;                 /* width within the padding */
	double beside, beside_bottom; /* the symbol at the right: its left edge and lower end */
	double y;
};

static const struct lt_component *component_of(const struct making *making)
{
	size_t component = making->connector->component;
	return component == LT_NONE ? NULL : &making->input->tags->harness->components[component];
}

/* The width of a line that begins at `x`: what is at the right is left free. */
static double room_at(const struct making *making, double x)
{
	double right = making->y < making->beside_bottom ? making->beside : PAD + making->inner;
	return right - x;
}

static const char *clean(struct making *making, const char *text)
{
	return lt_checklist_clean(making->arena, text);
}

static void paragraph(struct making *making, const struct lt_type *type, const char *text)
{
	making->y = lt_flow_paragraph(&making->sketch.flow, PAD, making->y, room_at(making, PAD),
		type, clean(making, text))
			    .y;
}

/* "label  text"; nothing without text. */
static void fact(struct making *making, const struct lt_type *type, const char *label,
	const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	struct lt_flow *flow = &making->sketch.flow;
	double x = PAD + LABEL;
	lt_flow_line(flow, PAD, making->y + lt_flow_baseline(flow, type), &lt_panel_label, label);
	making->y =
		lt_flow_paragraph(flow, x, making->y, room_at(making, x), type, clean(making, text))
			.y;
}

static void place_symbol(struct making *making)
{
	struct lt_panel *panel = making->panel;
	struct lt_text text = { 0 };
	struct lt_qr_plan plan;
	bool planned = false;
	making->beside = PAD + making->inner;
	if (panel->tags->number_of[panel->connector] == 0)
		return;
	lt_payload_map_write(&text, panel->tags, panel->connector);
	planned = lt_qr_plan(&plan, lt_text_string(&text), LT_QR_M) ||
		  lt_qr_plan(&plan, lt_text_string(&text), LT_QR_L);
	lt_text_finish(&text);
	if (!planned)
		return;
	double modules = plan.modules + 2.0 * LT_QR_QUIET;
	panel->module = modules * MODULE_BEST <= SYMBOL_BEST ? MODULE_BEST : MODULE_LEAST;
	double side = modules * panel->module, quiet = LT_QR_QUIET * panel->module;
	making->beside = PAD + making->inner - side + quiet - BESIDE / 2;
	panel->qr = (struct lt_box){ PAD + making->inner - side + quiet, PAD - 1 + quiet,
		plan.modules * panel->module, plan.modules * panel->module };
	/* The quiet zone may lie in the padding at the right. */
	double shift = fmin(quiet, PAD - 1);
	panel->qr.x += shift;
	making->beside = panel->qr.x - fmax(quiet, BESIDE);
	making->beside_bottom = panel->qr.y + panel->qr.height + quiet;
}

static const char *tag_of(struct making *making, enum lt_side side)
{
	enum lt_side sides[LT_SIDE_COUNT];
	const struct lt_panel *panel = making->panel;
	size_t count = lt_tag_sides(sides, panel->tags, panel->connector);
	for (size_t i = 0; i < count; i++) {
		if (sides[i] != side)
			continue;
		char tag[LT_TAG_SIZE];
		lt_tag_write(tag, panel->tags->number_of[panel->connector], side);
		return lt_arena_strdup(making->arena, tag);
	}
	return NULL;
}

static void place_tags(struct making *making)
{
	struct lt_flow *flow = &making->sketch.flow;
	unsigned number = making->panel->tags->number_of[making->panel->connector];
	if (number == 0) {
		paragraph(making, &lt_type_head, "no number, by eye");
		return;
	}
	const char *tag = tag_of(making, LT_SIDE_H), *mate = tag_of(making, LT_SIDE_M);
	const char *old = tag_of(making, LT_SIDE_X);
	bool turned = lt_upside_down(number) != 0;
	double room = room_at(making, PAD);
	struct lt_type type = lt_type_tag(flow, lt_mark_tag_capital(flow, room, tag, mate));
	making->y = lt_mark_tags(flow, PAD, making->y + 0.8, room, &type, tag, mate, turned);
	if (old != NULL) {
		double below = making->y + lt_flow_capital(flow, &type) + 0.25 * type.size;
		double x = PAD + lt_mark_tag(flow, PAD, below, &type, old, turned) + 2;
		lt_flow_line(flow, x, below, &lt_panel_label, "on the old part");
		making->y = below + 0.25 * type.size;
	}
	making->y += 0.6;
}

/* White on black, one behind the other, on as many lines as they need. */
static void place_badges(struct making *making)
{
	const struct lt_component *component = component_of(making);
	const char *badges[3] = { NULL };
	size_t count = 0;
	if (component != NULL && component->replace)
		badges[count++] = "NEW PART";
	if (making->connector->marking == LT_MARK_PAPER)
		badges[count++] = "ON PAPER";
	double x = PAD, bottom = making->y;
	for (size_t i = 0; i < count; i++) {
		double wide = lt_flow_measure(&making->sketch.flow, &lt_type_badge, badges[i]) + 3;
		if (x > PAD && x + wide > PAD + room_at(making, PAD)) {
			x = PAD;
			making->y = bottom + 0.8;
		}
		bottom = lt_mark_badge(&making->sketch.flow, x, making->y, badges[i]);
		x += wide + 1.5;
	}
	making->y = count > 0 ? bottom + 0.8 : bottom;
}

/* "X1, plug", or the kind alone where the id is the title. */
static void place_title(struct making *making)
{
	const struct lt_connector *connector = making->connector;
	const char *kind = lt_kind_name(connector->kind);
	paragraph(making, &lt_type_title,
		connector->name != NULL ? connector->name : connector->id);
	struct lt_text text = { 0 };
	if (connector->name != NULL)
		lt_text_printf(&text, "%s, ", connector->id);
	lt_text_add(&text, kind);
	if (connector->ways > 0)
		lt_text_printf(&text, ", %u way%s", connector->ways,
			connector->ways == 1 ? "" : "s");
	if (connector->family != NULL)
		lt_text_printf(&text, ", %s", connector->family);
	if (connector->key != NULL)
		lt_text_printf(&text, ", key %s", connector->key);
	paragraph(making, &lt_panel_text, lt_text_string(&text));
	lt_text_finish(&text);
	making->y += 0.8;
}

static void place_mate(struct making *making)
{
	struct lt_text text = { 0 };
	if (lt_joint_mate(&text, making->panel->tags, making->panel->connector))
		fact(making, &lt_panel_strong, "mates", lt_text_string(&text));
	else
		fact(making, &lt_panel_text, "mates", "not described");
	lt_text_finish(&text);
}

static void place_order(struct making *making)
{
	if (making->connector->after.count == 0)
		return;
	struct lt_text text = { 0 };
	lt_joint_after(&text, making->panel->tags, making->panel->connector, AFTER_NAMED);
	fact(making, &lt_panel_strong, "order", lt_text_string(&text));
	lt_text_finish(&text);
}

static void place_lookalikes(struct making *making)
{
	const struct lt_tags *tags = making->panel->tags;
	struct lt_text text = { 0 };
	if (lt_joint_lookalikes(&text, tags, making->input->lookalikes, making->panel->connector))
		fact(making, &lt_panel_strong, "check", lt_text_string(&text));
	lt_text_clear(&text);
	if (lt_joint_unknown_fit(&text, tags, making->panel->connector))
		fact(making, &lt_panel_strong, "check", lt_text_string(&text));
	lt_text_finish(&text);
}

/* What is done with a part that is replaced, and with the stickers that are on it. */
static void place_new_part(struct making *making)
{
	const struct lt_component *component = component_of(making);
	if (component == NULL || !component->replace)
		return;
	const char *old = tag_of(making, LT_SIDE_X), *mate = tag_of(making, LT_SIDE_M);
	const char *text = "NEW PART goes in: this goes on it";
	if (old != NULL && mate != NULL && making->connector->marking == LT_MARK_STICKER)
		text = lt_arena_printf(making->arena,
			"NEW PART goes in: %s is on the new part, %s stays on the old one", mate,
			old);
	fact(making, &lt_panel_strong, "replaced", text);
}

static void place_size(struct making *making)
{
	const struct lt_connector *connector = making->connector;
	struct lt_text text = { 0 };
	if (connector->size.given)
		lt_text_printf(&text, connector->size.awg ? "%.6g AWG" : "%.6g mm2",
			connector->size.value);
	if (connector->bundle > 0)
		lt_text_printf(&text, "%sbundle %.4g mm", text.length > 0 ? ", " : "",
			connector->bundle);
	fact(making, &lt_panel_text, "wires", lt_text_string(&text));
	lt_text_finish(&text);
}

static void place_facts(struct making *making)
{
	const struct lt_connector *connector = making->connector;
	place_mate(making);
	fact(making, &lt_panel_text, "place", connector->where);
	if (connector->has_at)
		fact(making, &lt_panel_text, "along",
			lt_arena_printf(making->arena, "at %.7g mm", connector->at));
	fact(making, &lt_panel_text, "unlock", connector->lock);
	fact(making, &lt_panel_text, "facing", connector->orient);
	fact(making, &lt_panel_text, "seat",
		lt_joint_seat(making->panel->tags, making->panel->connector));
	place_order(making);
	place_lookalikes(making);
	place_new_part(making);
	if (connector->marking == LT_MARK_PAPER)
		fact(making, &lt_panel_text, "sticker", "none: its tag is on paper");
	fact(making, &lt_panel_text, "note", connector->note);
	place_size(making);
	if (making->panel->tags->number_of[making->panel->connector] != 0 &&
		making->panel->qr.width <= 0)
		fact(making, &lt_panel_text, "QR code", "none: too much text for one");
}

/* What stands in the box when there is no picture to put there. */
static void make_no_photo(struct making *making)
{
	struct lt_sketch sketch;
	struct lt_box box = making->panel->photo;
	lt_sketch_init(&sketch, making->input->measure);
	lt_flow_paragraph(&sketch.flow, 2, box.height / 2 - lt_panel_strong.leading, box.width - 4,
		&lt_panel_strong, "photograph cannot be read");
	lt_sketch_keep(&making->panel->no_photo, making->arena, &sketch);
	lt_sketch_finish(&sketch);
}

/* The photograph stands at the right of the front view, or above it. */
static void place_pictures(struct making *making, const struct lt_panel_ways *ways, double piece)
{
	struct lt_panel *panel = making->panel;
	struct lt_arena *arena = making->arena;
	const struct lt_measure *measure = making->input->measure;
	bool sign = making->connector->kind != LT_PLUG && ways->count <= 1;
	bool photo = making->connector->photo != NULL;
	double beside = making->inner - PHOTO_WIDTH - BESIDE;
	making->y = fmax(making->y, making->beside_bottom) + FRONT_GAP;
	panel->has_front = !sign && ways->count > 0;
	bool stacked = !photo;
	for (;;) {
		double width = stacked ? making->inner : beside;
		if (panel->has_front)
			lt_front_place(&panel->front, arena, measure, making->connector, ways,
				width, piece);
		else
			lt_panel_sign(&panel->front.drawing, arena, measure, making->connector,
				ways, width);
		if (stacked || (!panel->front.broken && panel->front.drawing.width <= beside))
			break;
		stacked = true;
	}
	panel->front_x = PAD;
	panel->front_y = making->y;
	double bottom = making->y;
	if (photo) {
		panel->photo = (struct lt_box){ PAD + making->inner - PHOTO_WIDTH, making->y,
			PHOTO_WIDTH, PHOTO_HEIGHT };
		if (stacked) {
			panel->photo.x = PAD;
			panel->front_y += PHOTO_HEIGHT + FRONT_GAP;
		}
		bottom = making->y + PHOTO_HEIGHT;
		make_no_photo(making);
	}
	making->y = fmax(bottom, panel->front_y + panel->front.drawing.height);
}

static void make_continued(struct making *making)
{
	struct lt_sketch sketch;
	lt_sketch_init(&sketch, making->input->measure);
	const char *tag = tag_of(making, LT_SIDE_H), *mate = tag_of(making, LT_SIDE_M);
	const struct lt_connector *connector = making->connector;
	const char *line = lt_arena_printf(making->arena, "%s%s%s%s%s, continued",
		tag != NULL ? tag : "", mate != NULL ? " \xE2\x80\x93 " : "",
		mate != NULL ? mate : "", tag != NULL ? "  " : "", connector->id);
	lt_flow_paragraph(&sketch.flow, PAD, 1.5, making->inner, &lt_type_strong, line);
	lt_sketch_keep(&making->panel->continued, making->arena, &sketch);
	lt_sketch_finish(&sketch);
}

struct lt_panel *lt_panel_build(struct lt_arena *arena, const struct lt_map_input *input,
	size_t connector, const struct lt_panel_unsaid *unsaid, double width, double piece)
{
	struct lt_panel *panel = lt_arena_alloc(arena, sizeof *panel);
	panel->tags = input->tags;
	panel->connector = connector;
	panel->width = width;
	struct making making = { .panel = panel, .input = input, .arena = arena, .y = PAD };
	making.connector = &input->tags->harness->connectors[connector];
	making.inner = width - 2 * PAD;
	lt_sketch_init(&making.sketch, input->measure);
	struct lt_panel_ways ways;
	lt_panel_ways(&ways, arena, making.connector, unsaid);
	place_symbol(&making);
	place_tags(&making);
	place_title(&making);
	place_badges(&making);
	place_facts(&making);
	place_pictures(&making, &ways, piece);
	make_continued(&making);
	lt_sketch_keep(&panel->body, arena, &making.sketch);
	lt_sketch_finish(&making.sketch);
	panel->broken = panel->front.broken;
	panel->height = making.y + PAD;
	return panel;
}

struct lt_panel *lt_panel_place(struct lt_arena *arena, const struct lt_map_input *input,
	size_t connector, double width)
{
	struct lt_arena scratch = { 0 };
	struct lt_panel_unsaid *unsaid = lt_panel_find_unsaid(&scratch, input->tags->harness);
	/* Names are the harness's: only the list of them is forgotten. */
	struct lt_panel *panel =
		lt_panel_build(arena, input, connector, &unsaid[connector], width, PIECE_MOST);
	lt_arena_finish(&scratch);
	return panel;
}

double lt_panel_width(const struct lt_panel *panel)
{
	return panel->width;
}

double lt_panel_height(const struct lt_panel *panel)
{
	return panel->height;
}

void lt_panel_front_size(double *width, double *height, const struct lt_panel *panel)
{
	*width = panel->has_front ? panel->front.drawing.width : 0;
	*height = panel->has_front ? panel->front.drawing.height : 0;
}

void lt_panel_front_draw(struct lt_canvas *canvas, const struct lt_panel *panel, double x, double y)
{
	if (panel->has_front)
		lt_drawing_draw(canvas, &panel->front.drawing, x, y, -HUGE_VAL, HUGE_VAL);
}
