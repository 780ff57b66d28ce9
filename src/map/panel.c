/* One connector's panel: its texts and where they are. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/panel.h"

#define PAD LT_PANEL_PAD
#define HAIR 1e-6
#define LABEL 17.0 /* column of what the facts are */
#define BESIDE 3.0 /* white space between what stands beside each other */
#define FRONT_GAP 1.6
#define BELOW_SYMBOL 0.6

/* Widths of a front view at the right of the text in a narrow panel, and of the text at the left
 * of one in a panel that is at least so wide. */
#define FRONT_NARROW 38.0
#define TEXT_WIDE 100.0
#define WIDE 180.0

/* A symbol has modules of the best size unless it grew larger than that. */
#define MODULE_BEST 0.5
#define MODULE_LEAST 0.42
#define SYMBOL_BEST 32.0

#define PHOTO_WIDTH 40.0
#define PHOTO_HEIGHT 30.0

struct making {
	struct lt_panel *panel;
	const struct lt_map_input *input;
	const struct lt_tags *tags;
	size_t index;
	const struct lt_connector *connector;
	const struct lt_panel_ways *ways;
	struct lt_arena *arena;
	struct lt_sketch sketch;
	double inner;                /* width within the padding */
	struct lt_map_area right[2]; /* what stands at the right: the symbol, the front view */
	double piece;                /* height of a piece of the front view, at most */
	double y;
};

/* The right end of what lies between `y` and `bottom`: before what stands at the right. */
static double right_end(const struct making *making, double y, double bottom)
{
	double end = PAD + making->inner;
	for (size_t i = 0; i < 2; i++) {
		const struct lt_map_area *box = &making->right[i];
		if (box->width > 0 && y < box->y + box->height && bottom > box->y)
			end = fmin(end, box->x - BESIDE);
	}
	return end;
}

/* Sets a paragraph, as wide as what stands beside its lines leaves it; returns the y below. */
static double set(struct making *making, double x, double y, const struct lt_type *type,
	const char *text)
{
	struct lt_flow *flow = &making->sketch.flow;
	size_t before = flow->item_count;
	double bottom = y + type->leading, end;
	do {
		flow->item_count = before;
		end = right_end(making, y, bottom);
		bottom = lt_flow_paragraph(flow, x, y, end - x, type, text).y;
	} while (right_end(making, y, bottom) < end);
	return bottom;
}

static const char *clean(struct making *making, const char *text)
{
	return lt_arena_shown(making->arena, text);
}

static void paragraph(struct making *making, const struct lt_type *type, const char *text)
{
	making->y = set(making, PAD, making->y, type, clean(making, text));
}

/* "label  text"; nothing without text. */
static void fact(struct making *making, const struct lt_type *type, const char *label,
	const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	struct lt_flow *flow = &making->sketch.flow;
	lt_flow_line(flow, PAD, making->y + lt_flow_baseline(flow, type), &lt_panel_label, label);
	making->y = set(making, PAD + LABEL, making->y, type, clean(making, text));
}

static void place_symbol(struct making *making)
{
	struct lt_panel *panel = making->panel;
	struct lt_text text = { 0 };
	struct lt_qr_plan plan;
	if (panel->tags->number_of[panel->connector] == 0)
		return;
	bool planned = lt_map_symbol_plan(&plan, &text, panel->tags, panel->connector);
	lt_text_finish(&text);
	if (!planned)
		return;
	double modules = plan.modules + 2.0 * LT_QR_QUIET;
	panel->module = modules * MODULE_BEST <= SYMBOL_BEST ? MODULE_BEST : MODULE_LEAST;
	double side = modules * panel->module, quiet = LT_QR_QUIET * panel->module;
	/* The quiet zone may lie in the padding. */
	double x = PAD + making->inner - side + fmin(quiet, PAD - 1), y = PAD - 1;
	panel->qr = (struct lt_map_area){ x + quiet, y + quiet, plan.modules * panel->module,
		plan.modules * panel->module };
	making->right[0] = (struct lt_map_area){ x, y, side, side };
}

/* Or NULL where it has none. */
static const char *tag_of(const struct making *making, enum lt_side side)
{
	char tag[LT_TAG_SIZE];
	return lt_joint_tag(tag, making->tags, making->index, side)
		       ? lt_arena_strdup(making->arena, tag)
		       : NULL;
}

static void place_tags(struct making *making)
{
	struct lt_flow *flow = &making->sketch.flow;
	unsigned number = making->tags->number_of[making->index];
	if (number == 0) {
		paragraph(making, &lt_type_head, lt_panel_words.no_number);
		return;
	}
	const char *tag = tag_of(making, LT_SIDE_H), *mate = tag_of(making, LT_SIDE_M);
	const char *old = tag_of(making, LT_SIDE_X);
	bool turned = lt_upside_down(number) != 0;
	/* Two tags one below the other need no more than three times their height. */
	double room = right_end(making, making->y, making->y + 3 * LT_MARK_TAG_BEST) - PAD;
	const struct lt_tag_pair pair = { tag, mate, turned };
	struct lt_type type = lt_type_tag(flow, lt_mark_tag_capital(flow, room, &pair));
	making->y = lt_mark_tags(flow, PAD, making->y + 0.8, room, &type, &pair);
	if (old != NULL) {
		double below = making->y + lt_flow_capital(flow, &type) + 0.25 * type.size;
		double x = PAD + lt_mark_tag(flow, PAD, below, &type, old, turned) + 2;
		lt_flow_line(flow, x, below, &lt_panel_label, lt_panel_words.on_old_part);
		making->y = below + 0.25 * type.size;
	}
	making->y += 0.6;
}

/* White on black, one behind the other, on as many lines as they need. */
static void place_badges(struct making *making)
{
	const char *badges[3] = { NULL };
	size_t count = 0;
	if (lt_joint_part_replaced(making->tags, making->index))
		badges[count++] = lt_checklist_words.new_part;
	if (making->connector->marking == LT_MARK_PAPER)
		badges[count++] = lt_checklist_words.on_paper;
	double x = PAD, bottom = making->y;
	for (size_t i = 0; i < count; i++) {
		double wide = lt_flow_measure(&making->sketch.flow, &lt_type_badge, badges[i]) + 3;
		if (x > PAD && x + wide > right_end(making, making->y,
						  making->y + lt_type_badge.leading)) {
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
	struct lt_text text = { 0 };
	paragraph(making, &lt_type_title,
		connector->name != NULL ? connector->name : connector->id);
	lt_panel_add_kind(&text, connector);
	paragraph(making, &lt_panel_text, lt_text_string(&text));
	lt_text_finish(&text);
	making->y += 0.8;
}

/* The first joint to be made, and others come after it. */
static bool is_first(const struct lt_harness *harness, size_t connector)
{
	if (harness->order == NULL || harness->order[0] != connector)
		return false;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_indices *after = &harness->connectors[i].after;
		for (size_t j = 0; j < after->count; j++)
			if (after->items[j] == connector)
				return true;
	}
	return false;
}

/* Green-and-yellow alone is protective earth (IEC 60445). It is the first to be made where the
 * description says so; nothing is added to it. */
static void add_earth(struct lt_text *out, const struct making *making)
{
	const struct lt_panel_ways *ways = making->ways;
	struct lt_text names = { 0 };
	size_t named = 0;
	if (ways->earths == 0)
		return;
	for (size_t i = 0; i < ways->count && ways->count > 1; i++) {
		const struct lt_way *wire = ways->items[i].wire;
		bool earth = false;
		for (size_t j = 0; wire != NULL && j < wire->count; j++)
			earth |= lt_colour_is_earth(&wire->colours[j]);
		if (earth)
			lt_text_printf(&names, named++ == 0 ? "%s" : ", %s", wire->name);
	}
	lt_panel_add_earth(out, lt_text_string(&names), named,
		is_first(making->tags->harness, making->index));
	lt_text_finish(&names);
}

/* A sign that is seen before the words. */
static void place_hazard(struct making *making, const char *sign, const char *text)
{
	double badge = lt_flow_measure(&making->sketch.flow, &lt_type_badge, sign) + 3 + 1.5;
	double bottom = lt_mark_badge(&making->sketch.flow, PAD, making->y, sign);
	double y = making->y + (lt_type_badge.leading - lt_panel_strong.leading) / 2;
	making->y = set(making, PAD + badge, fmax(making->y, y), &lt_panel_strong, text);
	making->y = fmax(making->y, bottom) + 0.8;
}

static void place_facts(struct making *making)
{
	struct lt_text earth = { 0 };
	add_earth(&earth, making);
	struct lt_joint_facts facts = { .tags = making->tags,
		.lookalikes = making->input->lookalikes,
		.connector = making->index,
		.medium = LT_JOINT_PANEL,
		.in_hazard = making->input->dangers[making->index],
		.earth = lt_text_string(&earth) };
	while (lt_joint_facts_next(&facts)) {
		const char *text = lt_text_string(&facts.text);
		if (facts.fact == LT_FACT_HAZARD)
			place_hazard(making, facts.label, text);
		else
			fact(making, facts.said == LT_SAID_LOUD ? &lt_panel_strong : &lt_panel_text,
				facts.label, text);
	}
	lt_text_finish(&earth);
	if (making->tags->number_of[making->index] != 0 && making->panel->qr.width <= 0)
		fact(making, &lt_panel_text, lt_panel_words.symbol, lt_panel_words.no_symbol);
}

/* Places the front view, or what stands for it, in so much width. */
static void place_front(struct making *making, double width)
{
	const struct lt_panel_ways *ways = making->ways;
	struct lt_panel *panel = making->panel;
	const struct lt_measure *measure = making->input->measure;
	bool sign = making->connector->kind != LT_PLUG && ways->count <= 1;
	panel->has_front = !sign && ways->count > 0;
	panel->front = (struct lt_front){ 0 };
	if (panel->has_front)
		lt_front_place(&panel->front, making->arena, measure, making->connector, ways,
			width, making->piece);
	else
		lt_panel_sign(&panel->front.drawing, making->arena, measure, making->connector,
			ways, width);
}

/* The front view at the right of the text, below the symbol, or before it where the panel is wide
 * enough; false when it has no room there. */
static bool place_front_beside(struct making *making)
{
	struct lt_panel *panel = making->panel;
	const struct lt_map_area *symbol = &making->right[0];
	bool wide = making->inner >= WIDE;
	double right = wide ? right_end(making, PAD, PAD + 1) : PAD + making->inner;
	double width = wide ? right - PAD - TEXT_WIDE - BESIDE : FRONT_NARROW;
	place_front(making, width);
	if (panel->front.broken || panel->front.squeezed ||
		panel->front.drawing.width > width + HAIR)
		return false;
	panel->front_y = wide ? PAD : fmax(PAD, symbol->y + symbol->height + BELOW_SYMBOL);
	/* What stands beside each other cannot be parted by a page's end. */
	if (panel->front_y + panel->front.drawing.height > making->piece)
		return false;
	panel->front_x = wide ? PAD + TEXT_WIDE + BESIDE : right - panel->front.drawing.width;
	making->right[1] = (struct lt_map_area){ panel->front_x, panel->front_y,
		panel->front.drawing.width, panel->front.drawing.height };
	return true;
}

/* The photograph, its top left corner at x, y; and what stands in its box when it cannot be read.
 */
static void place_photo(struct making *making, double x, double y)
{
	const struct lt_map_area text = { 2, PHOTO_HEIGHT / 2 - lt_panel_strong.leading,
		PHOTO_WIDTH - 4, 0 };
	making->panel->photo = (struct lt_map_area){ x, y, PHOTO_WIDTH, PHOTO_HEIGHT };
	lt_drawing_paragraph(&making->panel->no_photo, making->arena, making->input->measure, &text,
		&lt_panel_strong, lt_panel_words.no_photo);
}

/* Below the text: the front view, and the photograph at its right, or above it. */
static void place_pictures_below(struct making *making)
{
	struct lt_panel *panel = making->panel;
	bool photo = making->connector->photo != NULL;
	double beside = making->inner - PHOTO_WIDTH - BESIDE;
	place_front(making, photo ? beside : making->inner);
	bool above = photo && (panel->front.broken || panel->front.squeezed ||
				      panel->front.drawing.width > beside + HAIR);
	if (above) {
		place_photo(making, PAD, making->y);
		making->y += PHOTO_HEIGHT + FRONT_GAP;
		place_front(making, making->inner);
	} else if (photo) {
		place_photo(making, PAD + making->inner - PHOTO_WIDTH, making->y);
	}
	panel->front_x = PAD;
	panel->front_y = making->y;
	making->y += fmax(panel->front.drawing.height, photo && !above ? PHOTO_HEIGHT : 0);
}

static void make_continued(struct making *making)
{
	const struct lt_map_area box = { PAD, 1.5, making->inner, 0 };
	const char *tag = tag_of(making, LT_SIDE_H), *mate = tag_of(making, LT_SIDE_M);
	struct lt_text line = { 0 };
	lt_panel_add_continued(&line, tag, mate, making->connector->id);
	lt_drawing_paragraph(&making->panel->continued, making->arena, making->input->measure, &box,
		&lt_type_strong, lt_text_string(&line));
	lt_text_finish(&line);
}

/* The lower end of what stands at the right. */
static double right_bottom(const struct making *making)
{
	double bottom = 0;
	for (size_t i = 0; i < 2; i++)
		bottom = fmax(bottom, making->right[i].y + making->right[i].height);
	return bottom;
}

/* Places everything, the front view beside the text or below it; false when it has no room
 * beside it. */
static bool place_all(struct making *making, bool beside)
{
	struct lt_panel *panel = making->panel;
	bool photo = making->connector->photo != NULL;
	making->y = PAD;
	place_symbol(making);
	if (beside && !place_front_beside(making))
		return false;
	place_tags(making);
	place_title(making);
	place_badges(making);
	place_facts(making);
	making->y = fmax(making->y, right_bottom(making));
	if (!beside || photo)
		making->y += FRONT_GAP;
	if (!beside) {
		place_pictures_below(making);
	} else if (photo) {
		place_photo(making, PAD, making->y);
		making->y += PHOTO_HEIGHT;
	}
	make_continued(making);
	lt_sketch_keep(&panel->body, making->arena, &making->sketch);
	panel->height = making->y + PAD;
	return true;
}

struct lt_panel *lt_panel_place(struct lt_arena *arena, const struct lt_map_input *input,
	size_t connector, double width, double piece, bool beside)
{
	struct lt_panel *best = NULL;
	struct lt_panel_ways ways;
	lt_panel_ways(&ways, arena, input, connector);
	/* Below the text, or beside it: the one that takes less of the page. */
	for (int right = 0; right < (beside ? 2 : 1); right++) {
		struct lt_panel *panel = lt_arena_alloc(arena, sizeof *panel);
		panel->tags = input->tags;
		panel->connector = connector;
		panel->width = width;
		struct making making = { .panel = panel,
			.input = input,
			.tags = input->tags,
			.index = connector,
			.connector = &input->tags->harness->connectors[connector],
			.ways = &ways,
			.arena = arena,
			.inner = width - 2 * PAD,
			.piece = piece };
		lt_sketch_init(&making.sketch, input->measure);
		bool placed = place_all(&making, right != 0);
		lt_sketch_finish(&making.sketch);
		if (placed && (best == NULL || panel->height < best->height))
			best = panel;
	}
	return best;
}

void lt_map_front_place(struct lt_map_front *out, struct lt_arena *arena,
	const struct lt_map_input *input, size_t connector, double width, double piece)
{
	const struct lt_panel *panel = lt_panel_place(arena, input, connector, width, piece, false);
	*out = (struct lt_map_front){ 0 };
	if (panel->has_front)
		*out = (struct lt_map_front){ panel->front.drawing.width,
			panel->front.drawing.height, &panel->front.drawing };
}

void lt_map_front_draw(struct lt_canvas *canvas, const struct lt_map_front *front)
{
	if (front->drawing != NULL)
		lt_drawing_draw(canvas, front->drawing, 0, 0, -HUGE_VAL, HUGE_VAL);
}
