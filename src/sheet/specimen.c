/* One layout on a page of its own. */
#include <math.h>

#include "loomtag/sheet.h"
#include "loomtag/words.h"
#include "sheet/sheet.h"
#include "sheet/specimen_label.h"

#define MARGIN 5.0
#define BARE_MARGIN 2.0 /* on a terminal there is none to be lost */
#define NAME_SIZE 5.0
#define TEXT_SIZE 3.2
#define LEADING 5.0
#define GAP 4.0

/* Dimension lines. */
#define DIMENSION_SIZE 2.8
#define DIMENSION_AWAY 2.0 /* from the label */
#define DIMENSION_ROW 6.5  /* from one row to the next */
#define DIMENSION_GAP 1.2  /* between two texts */
#define DIMENSION_LINE 0.15
#define TICK 1.2

/* A whole sheet made small. */
#define OVERVIEW_HIGH 60.0
#define OVERVIEW_SCALE 0.25

/* A title that is longer than this is shortened. */
#define TITLE_MOST 160.0

#define SEGMENTS 3
#define FACTS 6

/* What lies one after the other along a side, measured above the label or to the right of it. */
struct chain {
	bool down;
	double lengths[SEGMENTS];
	const char *texts[SEGMENTS];
	size_t count;
	double total;
	const char *total_text; /* NULL where there is one length alone */
};

struct page {
	struct lt_arena arena;
	const struct lt_measure *measure;
	const struct lt_layout *layout;
	struct lt_specimen_label label;
	struct chain across, down;
	const char *facts[FACTS];
	size_t fact_count;
	bool words;
	double margin;
	double overview; /* scale, 0 for none */
	double width, height;
};

static double text_width(const struct page *page, enum lt_typeface face, double size,
	const char *text)
{
	return lt_text_width(page->measure, face, size, text);
}

/* "25.4 mm", to a hundredth. */
static const char *length_text(struct lt_arena *arena, double mm)
{
	return lt_arena_printf(arena, "%g mm", round(mm * 100) / 100);
}

static void add_length(struct chain *chain, struct lt_arena *arena, double length)
{
	if (!(length > 0))
		return;
	chain->lengths[chain->count] = length;
	chain->texts[chain->count++] = length_text(arena, length);
}

static void end_chain(struct chain *chain, struct lt_arena *arena, double total)
{
	chain->total = total;
	if (chain->count == 0)
		add_length(chain, arena, total);
	else if (chain->count > 1)
		chain->total_text = length_text(arena, total);
}

/* What is to be measured along the two sides: faces, loop and tail, then all of them. */
static void measure_sides(struct page *page)
{
	const struct lt_shape *shape = &page->label.shape;
	const struct lt_zone *face = &shape->faces[0], *clear = &shape->clear;
	bool face_first = face->x < clear->x || face->y < clear->y;
	const struct lt_zone *first = face_first ? face : clear;
	const struct lt_zone *second = face_first ? clear : face;
	page->down.down = true;
	if (shape->face_count == 2) {
		add_length(&page->across, &page->arena, face->width);
		add_length(&page->across, &page->arena, shape->loop.width);
		add_length(&page->across, &page->arena, shape->faces[1].width);
	} else if (second->y > 0) {
		add_length(&page->down, &page->arena, first->height);
		add_length(&page->down, &page->arena, second->height);
	} else if (second->x > 0) {
		add_length(&page->across, &page->arena, first->width);
		add_length(&page->across, &page->arena, second->width);
	}
	end_chain(&page->across, &page->arena, shape->width);
	end_chain(&page->down, &page->arena, shape->height);
}

static void add_fact(struct page *page, const char *fact)
{
	page->facts[page->fact_count++] = fact;
}

/* Adds what `text` holds, and empties it. */
static void add_text(struct page *page, struct lt_text *text)
{
	add_fact(page, lt_arena_text(&page->arena, text));
}

static void add_bundles(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	struct lt_text text = { 0 };
	char bundles[LT_BUNDLES_SIZE];
	if (layout->style == LT_STYLE_PLATE) {
		add_fact(page, lt_specimen_words.lies_flat);
	} else if (layout->medium == LT_MEDIUM_TAPE && layout->style == LT_STYLE_FLAG) {
		add_fact(page, lt_specimen_words.loop_is_cut);
	} else {
		lt_words_specimen_bundles(&text, lt_layout_bundle_words(bundles, layout));
		add_text(page, &text);
	}
}

static void gather_facts(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	struct lt_text text = { 0 };
	add_bundles(page);
	if (layout->inset > 0) {
		lt_words_specimen_edge(&text, layout->inset);
		add_text(page, &text);
	}
	if (layout->medium == LT_MEDIUM_TAPE) {
		lt_words_specimen_tape(&text, layout->shortest, layout->longest);
		add_text(page, &text);
	}
	if (layout->dpi > 0) {
		lt_words_specimen_head(&text, layout->dpi);
		add_text(page, &text);
	}
	if (layout->medium == LT_MEDIUM_SHEET) {
		lt_words_specimen_page(&text, layout->page_width, layout->page_height,
			layout->columns, layout->rows);
		add_text(page, &text);
	}
	if (!page->label.placed)
		add_fact(page, lt_specimen_words.no_room);
}

static double widest(const struct page *page, const struct chain *chain)
{
	double width = 0;
	for (size_t i = 0; i < chain->count; i++)
		width = fmax(width,
			text_width(page, LT_TYPEFACE_REGULAR, DIMENSION_SIZE, chain->texts[i]));
	return width;
}

/* Where the text at a length starts: in its middle, but never over the one before it, whose end is
 * at *before. */
static double text_start(double *before, const struct page *page, const struct chain *chain,
	double from, double length, const char *text)
{
	double extent = chain->down
				? lt_text_height(page->measure, LT_TYPEFACE_REGULAR, DIMENSION_SIZE)
				: text_width(page, LT_TYPEFACE_REGULAR, DIMENSION_SIZE, text);
	double start = fmax(from + (length - extent) / 2, *before);
	*before = start + extent + (chain->down ? 0 : DIMENSION_GAP);
	return start;
}

/* How far from the label's left top corner the lengths and their texts reach. */
static double chain_end(const struct page *page, const struct chain *chain)
{
	double before = 0;
	double at = 0;
	for (size_t i = 0; i < chain->count; i++) {
		text_start(&before, page, chain, at, chain->lengths[i], chain->texts[i]);
		at += chain->lengths[i];
	}
	return fmax(at, before - (chain->down ? 0 : DIMENSION_GAP));
}

static double rows_of(const struct chain *chain)
{
	return chain->total_text != NULL ? 2 : 1;
}

static double down_width(const struct page *page)
{
	double width = 2 * DIMENSION_AWAY + widest(page, &page->down);
	if (page->down.total_text != NULL)
		width += 2 * DIMENSION_AWAY + text_width(page, LT_TYPEFACE_REGULAR, DIMENSION_SIZE,
						      page->down.total_text);
	return width;
}

/* Decides how large the page is. */
static void size_page(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	double label =
		fmax(page->label.shape.width + down_width(page), chain_end(page, &page->across));
	double width = label;
	double height = rows_of(&page->across) * DIMENSION_ROW + chain_end(page, &page->down);
	if (page->words) {
		width = fmax(width, text_width(page, LT_TYPEFACE_BOLD, NAME_SIZE, layout->name));
		double title = text_width(page, LT_TYPEFACE_REGULAR, TEXT_SIZE,
			layout->title != NULL ? layout->title : "");
		width = fmax(width, fmin(title, TITLE_MOST));
		height += 2 * LEADING + GAP;
		for (size_t i = 0; i < page->fact_count; i++)
			width = fmax(width,
				text_width(page, LT_TYPEFACE_REGULAR, TEXT_SIZE, page->facts[i]));
		height += GAP + (double)page->fact_count * LEADING;
	}
	if (layout->medium == LT_MEDIUM_SHEET) {
		page->overview = fmin(OVERVIEW_SCALE, OVERVIEW_HIGH / layout->page_height);
		width = fmax(width, layout->page_width * page->overview);
		height += GAP + layout->page_height * page->overview;
	}
	page->width = width + 2 * page->margin;
	page->height = height + 2 * page->margin;
}

static double draw_head(const struct page *page, struct lt_canvas *canvas, double y)
{
	char title[1024];
	double room = page->width - 2 * page->margin;
	lt_text_shorten(title, sizeof(title), page->measure, LT_TYPEFACE_BOLD, NAME_SIZE,
		page->layout->name, room);
	lt_text_draw(canvas, page->measure, page->margin, y, LT_TYPEFACE_BOLD, NAME_SIZE, title);
	lt_text_shorten(title, sizeof(title), page->measure, LT_TYPEFACE_REGULAR, TEXT_SIZE,
		page->layout->title != NULL ? page->layout->title : "", room);
	lt_text_draw(canvas, page->measure, page->margin, y + LEADING + 0.8, LT_TYPEFACE_REGULAR,
		TEXT_SIZE, title);
	return y + 2 * LEADING + GAP;
}

static void draw_line(struct lt_canvas *canvas, double x1, double y1, double x2, double y2)
{
	canvas->line(canvas->data, x1, y1, x2, y2, DIMENSION_LINE, LT_BLACK);
}

/* Draws a dimension line from one end to the other, level or `down`, with a tick at each, and its
 * text, which starts at `text_at` along the line. */
static void draw_dimension(const struct page *page, struct lt_canvas *canvas, struct lt_point from,
	struct lt_point to, double text_at, const char *text)
{
	bool down = from.x == to.x;
	double tick_x = down ? TICK / 2 : 0, tick_y = down ? 0 : TICK / 2;
	draw_line(canvas, from.x, from.y, to.x, to.y);
	draw_line(canvas, from.x - tick_x, from.y - tick_y, from.x + tick_x, from.y + tick_y);
	draw_line(canvas, to.x - tick_x, to.y - tick_y, to.x + tick_x, to.y + tick_y);
	double height = lt_text_height(page->measure, LT_TYPEFACE_REGULAR, DIMENSION_SIZE);
	lt_text_draw(canvas, page->measure, down ? from.x + TICK : text_at,
		down ? text_at : from.y - TICK / 2 - height, LT_TYPEFACE_REGULAR, DIMENSION_SIZE,
		text);
}

/* Draws the dimensions of a chain that begins at x, y: of each length and, farther away, of all. */
static void draw_chain(const struct page *page, struct lt_canvas *canvas, const struct chain *chain,
	double x, double y)
{
	bool down = chain->down;
	double start = down ? y : x, at = start, before = start;
	double line = down ? x + DIMENSION_AWAY : y - DIMENSION_AWAY;
	for (size_t i = 0; i <= chain->count; i++) {
		bool total = i == chain->count;
		if (total && chain->total_text == NULL)
			break;
		if (total) {
			at = before = start;
			line += down ? DIMENSION_AWAY + widest(page, chain) + TICK : -DIMENSION_ROW;
		}
		const char *text = total ? chain->total_text : chain->texts[i];
		double length = total ? chain->total : chain->lengths[i];
		double text_at = text_start(&before, page, chain, at, length, text);
		draw_dimension(page, canvas,
			down ? (struct lt_point){ line, at } : (struct lt_point){ at, line },
			down ? (struct lt_point){ line, at + length }
			     : (struct lt_point){ at + length, line },
			text_at, text);
		at += length;
	}
}

static void draw_overview(const struct page *page, struct lt_canvas *canvas, double y)
{
	const struct lt_layout *layout = page->layout;
	double scale = page->overview;
	canvas->frame(canvas->data, page->margin, y, layout->page_width * scale,
		layout->page_height * scale, 0.25, LT_BLACK);
	for (unsigned i = 0; i < lt_layout_labels(layout); i++) {
		double left = 0;
		double top = 0;
		lt_layout_position(&left, &top, layout, i);
		canvas->frame(canvas->data, page->margin + left * scale, y + top * scale,
			layout->label_width * scale, layout->label_height * scale, 0.1, LT_BLACK);
	}
}

static bool draw_page(const struct page *page, struct lt_canvas *canvas, struct lt_diags *diags)
{
	canvas->begin_page(canvas->data, page->width, page->height);
	double y = page->margin;
	if (page->words)
		y = draw_head(page, canvas, y);
	y += rows_of(&page->across) * DIMENSION_ROW;
	draw_chain(page, canvas, &page->across, page->margin, y);
	draw_chain(page, canvas, &page->down, page->margin + page->label.shape.width, y);
	const struct lt_specimen_style style = { 1, page->words };
	bool good = lt_specimen_label_draw(canvas, &page->label, &style, page->margin, y,
		page->measure, diags);
	y += chain_end(page, &page->down);
	if (page->words) {
		y += GAP;
		for (size_t i = 0; i < page->fact_count; i++, y += LEADING)
			lt_text_draw(canvas, page->measure, page->margin, y, LT_TYPEFACE_REGULAR,
				TEXT_SIZE, page->facts[i]);
	}
	if (page->overview > 0)
		draw_overview(page, canvas, y + GAP);
	return canvas->end_page(canvas->data, diags) && good;
}

bool lt_specimen_draw(struct lt_canvas *canvas, const struct lt_layout *layout, bool words,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	struct page page = { .measure = measure,
		.layout = layout,
		.words = words,
		.margin = words ? MARGIN : BARE_MARGIN };
	lt_specimen_label_init(&page.label, layout, measure);
	measure_sides(&page);
	gather_facts(&page);
	size_page(&page);
	bool good = draw_page(&page, canvas, diags);
	lt_specimen_label_finish(&page.label);
	lt_arena_finish(&page.arena);
	return good;
}
