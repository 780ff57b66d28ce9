/* All panels on pages: columns that are filled from top to bottom. */
#include <math.h>
#include <stdlib.h>

#include "loomtag/words.h"
#include "map/panel.h"

#define COLUMN_LEAST 85.0
#define GAP 3.0
#define AREA_WIDTH_LEAST 80.0
#define AREA_HEIGHT_LEAST 110.0
#define HAIR 1e-6
#define KEY_PAD 1.5

/* Room that a page must have beside a piece of a front view: the panel's head where it goes on,
 * what stands over the piece, and padding. */
#define BESIDE_PIECE 30.0

/* A panel on a page, or a part of one. */
struct lt_panel_spot {
	const struct lt_panel *panel;
	size_t page;
	double x, y, top, bottom;
};

/* Where the next panel goes. */
struct filling {
	struct lt_panels *out;
	size_t room;
	struct lt_map_area area;
	size_t columns, column;
	double width;  /* of a column */
	double y;      /* below what the column holds, from the area's top */
	double top;    /* where columns begin: below the last panel of the whole width */
	double lowest; /* what any column of the page reaches down to */
};

static void begin_page(struct filling *filling)
{
	filling->out->page_count++;
	filling->column = 0;
	filling->y = filling->top = filling->lowest = 0;
}

static void put(struct filling *filling, const struct lt_panel *panel, double top, double bottom,
	double height)
{
	struct lt_panels *out = filling->out;
	out->spots = lt_grow(out->spots, &filling->room, out->spot_count + 1, sizeof *out->spots);
	out->spots[out->spot_count++] = (struct lt_panel_spot){
		.panel = panel,
		.page = out->page_count - 1,
		.x = filling->area.x + (double)filling->column * (filling->width + GAP),
		.y = filling->area.y + filling->y,
		.top = top,
		.bottom = bottom,
	};
	if (top <= 0)
		out->page_of[panel->connector] = out->page_count - 1;
	filling->y += height + GAP;
	filling->lowest = fmax(filling->lowest, filling->y);
}

static bool fits(const struct filling *filling, double height)
{
	return filling->y + height <= filling->area.height + HAIR;
}

static void put_in_column(struct filling *filling, const struct lt_panel *panel)
{
	while (!fits(filling, panel->height)) {
		if (filling->column + 1 < filling->columns &&
			filling->top + panel->height <= filling->area.height + HAIR) {
			filling->column++;
			filling->y = filling->top;
		} else {
			begin_page(filling);
		}
	}
	put(filling, panel, 0, panel->height, panel->height);
}

/* Below all columns, over the whole width; what follows begins columns below it. */
static void begin_wide(struct filling *filling)
{
	filling->column = 0;
	filling->y = filling->lowest;
}

static void end_wide(struct filling *filling)
{
	filling->top = filling->y;
}

static void put_wide(struct filling *filling, const struct lt_panel *panel)
{
	begin_wide(filling);
	if (!fits(filling, panel->height))
		begin_page(filling);
	put(filling, panel, 0, panel->height, panel->height);
	end_wide(filling);
}

/* Higher than a page: it goes on from page to page, parted where nothing is cut. */
static void put_parts(struct filling *filling, const struct lt_panel *panel)
{
	struct lt_arena scratch = { 0 };
	double *breaks;
	size_t count = lt_panel_breaks(&breaks, &scratch, panel);
	begin_wide(filling);
	if (filling->y > 0)
		begin_page(filling);
	double top = 0;
	for (size_t i = 0; top < panel->height;) {
		double head = top > 0 ? LT_PANEL_CONTINUED : 0;
		double room = filling->area.height - head;
		double bottom = panel->height;
		if (panel->height - top > room + HAIR) {
			/* The last break that is on this page, or the next one in any case. */
			for (; i < count && breaks[i] <= top; i++)
				;
			bottom = i < count ? breaks[i] : panel->height;
			for (; i < count && breaks[i] - top + LT_PANEL_PAD <= room + HAIR; i++)
				bottom = breaks[i];
		}
		if (top > 0)
			begin_page(filling);
		double foot = bottom < panel->height ? LT_PANEL_PAD : 0;
		put(filling, panel, top, bottom, head + bottom - top + foot);
		top = bottom;
	}
	end_wide(filling);
	lt_arena_finish(&scratch);
}

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

/* The codes of colours that the description has, in words, for who does not know them by heart, in
 * a frame; no height where there are none. */
static void place_key(struct lt_drawing *out, struct lt_arena *arena,
	const struct lt_measure *measure, const struct lt_harness *harness, double width)
{
	bool on[LT_HUE_COUNT] = { false };
	struct lt_text text = { 0 };
	*out = (struct lt_drawing){ 0 };
	note_all(on, harness);
	lt_panel_add_colours(&text, on);
	if (text.length > 0) {
		const struct lt_map_area box = { KEY_PAD, KEY_PAD, width - 2 * KEY_PAD, 0 };
		double below = lt_drawing_paragraph(out, arena, measure, &box, &lt_panel_text,
			lt_text_string(&text));
		out->width = width;
		out->height = below + KEY_PAD;
	}
	lt_text_finish(&text);
}

/* The key of colours goes over the first panel, unless that is as high as the page. */
static void add_key(struct filling *filling, const struct lt_map_input *input, double first)
{
	struct lt_panels *out = filling->out;
	struct lt_drawing *key = lt_arena_alloc(&out->arena, sizeof *key);
	place_key(key, &out->arena, input->measure, input->tags->harness, filling->area.width);
	if (key->height <= 0 || key->height + GAP + first > filling->area.height + HAIR)
		return;
	out->key = key;
	filling->y = filling->top = filling->lowest = key->height + GAP;
}

static void add_panel(struct filling *filling, const struct lt_map_input *input, size_t connector)
{
	double height = filling->area.height;
	double piece = fmin(height - BESIDE_PIECE, 120);
	struct lt_arena *arena = &filling->out->arena;
	struct lt_panel *panel =
		lt_panel_place(arena, input, connector, filling->width, piece, true);
	bool wide = filling->columns > 1 && (panel->front.broken || panel->height > height + HAIR);
	if (wide)
		panel = lt_panel_place(arena, input, connector, filling->area.width, piece, true);
	if (filling->out->spot_count == 0)
		add_key(filling, input, panel->height);
	if (panel->height > height + HAIR)
		put_parts(filling, panel);
	else if (wide)
		put_wide(filling, panel);
	else
		put_in_column(filling, panel);
}

bool lt_panels_place(struct lt_panels *out, const struct lt_map_input *input,
	const struct lt_map_area *area, struct lt_diags *diags)
{
	const struct lt_harness *harness = input->tags->harness;
	*out = (struct lt_panels){ .area = *area };
	if (area->width < AREA_WIDTH_LEAST || area->height < AREA_HEIGHT_LEAST) {
		lt_error(diags, lt_place_file(harness->file),
			"the page leaves %.4g x %.4g mm for a connector panel, which needs %g x %g mm",
			area->width, area->height, AREA_WIDTH_LEAST, AREA_HEIGHT_LEAST);
		lt_hint(diags, "choose a larger paper size");
		return false;
	}
	out->page_of = lt_arena_array(&out->arena, harness->connector_count, sizeof *out->page_of);
	struct filling filling = { .out = out, .area = *area, .columns = 1 };
	double columns = floor((area->width + GAP + HAIR) / (COLUMN_LEAST + GAP));
	if (columns > 1)
		filling.columns = (size_t)columns;
	filling.width = (area->width + GAP) / (double)filling.columns - GAP;
	if (harness->connector_count > 0)
		begin_page(&filling);
	for (size_t i = 0; i < harness->connector_count; i++)
		add_panel(&filling, input, input->order[i]);
	return true;
}

void lt_panels_finish(struct lt_panels *panels)
{
	if (panels == NULL)
		return;
	free(panels->spots);
	lt_arena_finish(&panels->arena);
	*panels = (struct lt_panels){ 0 };
}

/* The first spot that is not on a page before this one. */
static size_t first_spot(const struct lt_panels *panels, size_t page)
{
	size_t low = 0, high = panels->spot_count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (panels->spots[middle].page < page)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

bool lt_panels_draw(struct lt_canvas *canvas, const struct lt_panels *panels, size_t page,
	struct lt_diags *diags)
{
	const struct lt_map_area *area = &panels->area;
	if (page == 0 && panels->key != NULL) {
		lt_panel_outline(canvas, area->x, area->y, panels->key->width, panels->key->height,
			&lt_panel_frame);
		lt_drawing_draw(canvas, panels->key, area->x, area->y, -HUGE_VAL, HUGE_VAL);
	}
	for (size_t i = first_spot(panels, page);
		i < panels->spot_count && panels->spots[i].page == page; i++) {
		const struct lt_panel_spot *spot = &panels->spots[i];
		if (!lt_panel_draw(canvas, spot->panel, spot->x, spot->y, spot->top, spot->bottom,
			    diags))
			return false;
	}
	return true;
}
