/* One layout on a page of its own. */
#include <math.h>

#include "loomtag/sheet.h"
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

/* What lies one after the other along a side. */
struct chain {
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

static double text_width(const struct page *page, enum lt_face face, double size, const char *text)
{
	return lt_text_width(page->measure, face, size, text);
}

static double ascent(const struct page *page, double size)
{
	return page->measure->heights(page->measure->data, LT_FACE_REGULAR).ascent * size;
}

static void add_length(struct chain *chain, struct lt_arena *arena, double length)
{
	if (!(length > 0))
		return;
	chain->lengths[chain->count] = length;
	chain->texts[chain->count++] = lt_specimen_mm(arena, length);
}

static void end_chain(struct chain *chain, struct lt_arena *arena, double total)
{
	chain->total = total;
	if (chain->count == 0)
		add_length(chain, arena, total);
	else if (chain->count > 1)
		chain->total_text = lt_specimen_mm(arena, total);
}

/* What is to be measured along the two sides: faces, loop and tail, then all of them. */
static void measure_sides(struct page *page)
{
	const struct lt_shape *shape = &page->label.shape;
	struct lt_zone face = shape->faces[0];
	if (shape->face_count == 2) {
		add_length(&page->across, &page->arena, face.width);
		add_length(&page->across, &page->arena, shape->loop.width);
		add_length(&page->across, &page->arena, shape->faces[1].width);
	} else if (shape->clear.y > 0 || face.y > 0) {
		bool first = face.y < shape->clear.y;
		add_length(&page->down, &page->arena, first ? face.height : shape->clear.height);
		add_length(&page->down, &page->arena, first ? shape->clear.height : face.height);
	} else if (shape->clear.x > 0 || face.x > 0) {
		bool first = face.x < shape->clear.x;
		add_length(&page->across, &page->arena, first ? face.width : shape->clear.width);
		add_length(&page->across, &page->arena, first ? shape->clear.width : face.width);
	}
	end_chain(&page->across, &page->arena, shape->width);
	end_chain(&page->down, &page->arena, shape->height);
}

static void add_fact(struct page *page, const char *fact)
{
	page->facts[page->fact_count++] = fact;
}

static const char *bundle_fact(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	if (layout->style == LT_STYLE_PLATE)
		return "lies flat, for any bundle";
	if (layout->medium == LT_MEDIUM_TAPE && layout->style == LT_STYLE_FLAG)
		return "for any bundle: the loop is cut to go round it";
	struct lt_range range = lt_layout_bundles(layout);
	struct lt_text words = { 0 };
	lt_range_write(&words, &range);
	const char *fact =
		lt_arena_printf(&page->arena, "goes round bundles: %s", lt_text_string(&words));
	lt_text_finish(&words);
	return fact;
}

static void gather_facts(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	struct lt_arena *arena = &page->arena;
	add_fact(page, bundle_fact(page));
	if (layout->inset > 0)
		add_fact(page, lt_arena_printf(arena, "dashed: no ink nearer than %g mm to an edge",
				       layout->inset));
	if (layout->medium == LT_MEDIUM_TAPE)
		add_fact(page, lt_arena_printf(arena, "cut to the text, a face %g to %g mm long",
				       layout->shortest, layout->longest));
	if (layout->dpi > 0)
		add_fact(page, lt_arena_printf(arena, "head: %g dpi", layout->dpi));
	if (layout->medium == LT_MEDIUM_SHEET)
		add_fact(page, lt_arena_printf(arena, "page %g x %g mm, %u x %u labels",
				       layout->page_width, layout->page_height, layout->columns,
				       layout->rows));
	if (!page->label.placed)
		add_fact(page, "the sample sticker has no room");
}

static double widest(const struct page *page, const struct chain *chain)
{
	double width = 0;
	for (size_t i = 0; i < chain->count; i++)
		width = fmax(width,
			text_width(page, LT_FACE_REGULAR, DIMENSION_SIZE, chain->texts[i]));
	return width;
}

/* Where the text over segment `i` starts: in its middle, but never over the one before it. */
static double across_text(const struct page *page, double *before, double left, double length,
	const char *text)
{
	double width = text_width(page, LT_FACE_REGULAR, DIMENSION_SIZE, text);
	double x = fmax(left + (length - width) / 2, *before);
	*before = x + width + DIMENSION_GAP;
	return x;
}

/* How far right of the label's left edge the texts above it reach. */
static double across_end(const struct page *page)
{
	double before = 0;
	double at = 0;
	for (size_t i = 0; i < page->across.count; i++) {
		across_text(page, &before, at, page->across.lengths[i], page->across.texts[i]);
		at += page->across.lengths[i];
	}
	return fmax(at, before - DIMENSION_GAP);
}

static double text_height(const struct page *page, double size)
{
	struct lt_face_heights heights =
		page->measure->heights(page->measure->data, LT_FACE_REGULAR);
	return (heights.ascent + heights.descent) * size;
}

/* How far below the label's top the texts beside it reach. */
static double down_end(const struct page *page)
{
	double height = text_height(page, DIMENSION_SIZE);
	double before = 0;
	double at = 0;
	for (size_t i = 0; i < page->down.count; i++) {
		before = fmax(at + (page->down.lengths[i] - height) / 2, before) + height;
		at += page->down.lengths[i];
	}
	return fmax(at, before);
}

static double rows_of(const struct chain *chain)
{
	return chain->total_text != NULL ? 2 : 1;
}

static double down_width(const struct page *page)
{
	double width = 2 * DIMENSION_AWAY + widest(page, &page->down);
	if (page->down.total_text != NULL)
		width += 2 * DIMENSION_AWAY +
			 text_width(page, LT_FACE_REGULAR, DIMENSION_SIZE, page->down.total_text);
	return width;
}

/* Decides how large the page is. */
static void size_page(struct page *page)
{
	const struct lt_layout *layout = page->layout;
	double label = fmax(page->label.shape.width + down_width(page), across_end(page));
	double width = label;
	double height = rows_of(&page->across) * DIMENSION_ROW + down_end(page);
	if (page->words) {
		width = fmax(width, text_width(page, LT_FACE_BOLD, NAME_SIZE, layout->name));
		double title = text_width(page, LT_FACE_REGULAR, TEXT_SIZE,
			layout->title != NULL ? layout->title : "");
		width = fmax(width, fmin(title, TITLE_MOST));
		height += 2 * LEADING + GAP;
		for (size_t i = 0; i < page->fact_count; i++)
			width = fmax(width,
				text_width(page, LT_FACE_REGULAR, TEXT_SIZE, page->facts[i]));
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

static void put(const struct page *page, struct lt_canvas *canvas, double x, double y,
	enum lt_face face, double size, const char *text)
{
	canvas->text(canvas->data, x, y + ascent(page, size), face, size, LT_BLACK, text);
}

static double draw_head(const struct page *page, struct lt_canvas *canvas, double y)
{
	char title[1024];
	double room = page->width - 2 * page->margin;
	lt_text_shorten(title, sizeof(title), page->measure, LT_FACE_BOLD, NAME_SIZE,
		page->layout->name, room);
	put(page, canvas, page->margin, y, LT_FACE_BOLD, NAME_SIZE, title);
	lt_text_shorten(title, sizeof(title), page->measure, LT_FACE_REGULAR, TEXT_SIZE,
		page->layout->title != NULL ? page->layout->title : "", room);
	put(page, canvas, page->margin, y + LEADING + 0.8, LT_FACE_REGULAR, TEXT_SIZE, title);
	return y + 2 * LEADING + GAP;
}

/* A dimension line from one end to the other, with a tick at each. */
static void draw_across(struct lt_canvas *canvas, double left, double right, double y)
{
	canvas->line(canvas->data, left, y, right, y, DIMENSION_LINE, LT_BLACK);
	canvas->line(canvas->data, left, y - TICK / 2, left, y + TICK / 2, DIMENSION_LINE,
		LT_BLACK);
	canvas->line(canvas->data, right, y - TICK / 2, right, y + TICK / 2, DIMENSION_LINE,
		LT_BLACK);
}

static void draw_down(struct lt_canvas *canvas, double x, double top, double bottom)
{
	canvas->line(canvas->data, x, top, x, bottom, DIMENSION_LINE, LT_BLACK);
	canvas->line(canvas->data, x - TICK / 2, top, x + TICK / 2, top, DIMENSION_LINE, LT_BLACK);
	canvas->line(canvas->data, x - TICK / 2, bottom, x + TICK / 2, bottom, DIMENSION_LINE,
		LT_BLACK);
}

/* The dimensions above the label, whose top edge is at `y`. */
static void draw_widths(const struct page *page, struct lt_canvas *canvas, double x, double y)
{
	const struct chain *chain = &page->across;
	double text = text_height(page, DIMENSION_SIZE);
	double line = y - DIMENSION_AWAY;
	double before = x;
	double at = x;
	for (size_t i = 0; i < chain->count; i++) {
		draw_across(canvas, at, at + chain->lengths[i], line);
		double start = across_text(page, &before, at, chain->lengths[i], chain->texts[i]);
		put(page, canvas, start, line - TICK / 2 - text, LT_FACE_REGULAR, DIMENSION_SIZE,
			chain->texts[i]);
		at += chain->lengths[i];
	}
	if (chain->total_text == NULL)
		return;
	line -= DIMENSION_ROW;
	draw_across(canvas, x, x + chain->total, line);
	before = x;
	double start = across_text(page, &before, x, chain->total, chain->total_text);
	put(page, canvas, start, line - TICK / 2 - text, LT_FACE_REGULAR, DIMENSION_SIZE,
		chain->total_text);
}

/* The dimensions to the right of the label, whose right edge is at `x`. */
static void draw_heights(const struct page *page, struct lt_canvas *canvas, double x, double y)
{
	const struct chain *chain = &page->down;
	double text = text_height(page, DIMENSION_SIZE);
	double line = x + DIMENSION_AWAY;
	double before = y;
	double at = y;
	for (size_t i = 0; i < chain->count; i++) {
		draw_down(canvas, line, at, at + chain->lengths[i]);
		double top = fmax(at + (chain->lengths[i] - text) / 2, before);
		put(page, canvas, line + TICK, top, LT_FACE_REGULAR, DIMENSION_SIZE,
			chain->texts[i]);
		before = top + text;
		at += chain->lengths[i];
	}
	if (chain->total_text == NULL)
		return;
	line += DIMENSION_AWAY + widest(page, chain) + TICK;
	draw_down(canvas, line, y, y + chain->total);
	put(page, canvas, line + TICK, y + (chain->total - text) / 2, LT_FACE_REGULAR,
		DIMENSION_SIZE, chain->total_text);
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
	draw_widths(page, canvas, page->margin, y);
	draw_heights(page, canvas, page->margin + page->label.shape.width, y);
	const struct lt_specimen_style style = { 1, page->words };
	bool good = lt_specimen_label_draw(canvas, &page->label, &style, page->margin, y,
		page->measure, diags);
	y += down_end(page);
	if (page->words) {
		y += GAP;
		for (size_t i = 0; i < page->fact_count; i++, y += LEADING)
			put(page, canvas, page->margin, y, LT_FACE_REGULAR, TEXT_SIZE,
				page->facts[i]);
	}
	if (page->overview > 0)
		draw_overview(page, canvas, y + GAP);
	return canvas->end_page(canvas->data, diags) && good;
}

bool lt_specimen_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_specimen_options *options, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	struct lt_sample sample;
	lt_sample_init(&sample, lt_specimen_sample);
	struct page page = { .measure = measure,
		.layout = layout,
		.words = options->words,
		.margin = options->words ? MARGIN : BARE_MARGIN };
	lt_specimen_label_init(&page.label, &sample, layout, measure);
	measure_sides(&page);
	gather_facts(&page);
	size_page(&page);
	bool good = draw_page(&page, canvas, diags);
	lt_specimen_label_finish(&page.label);
	lt_arena_finish(&page.arena);
	lt_sample_finish(&sample);
	return good;
}
