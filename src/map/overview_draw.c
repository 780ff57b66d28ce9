/* The overview in ink. Black, grey and white alone. */
#include <math.h>

#include "loomtag/map.h"
#include "map/overview.h"

#define FRAME 0.25
#define FRAME_REPLACED 0.7
#define DASH 1.0
#define MATE 0.25
#define END_WIDTH 0.5 /* of the marks at the ends of a trunk that is to scale */
#define END_HEIGHT 4.0

static const struct lt_ink trunk_ink = { 0.35, 0.35, 0.35 };

static void fill(struct lt_canvas *canvas, const struct lt_map_area *box, struct lt_ink ink)
{
	canvas->rectangle(canvas->data, box->x, box->y, box->width, box->height, ink);
}

/* A frame whose outer edge is the box. */
static void frame(struct lt_canvas *canvas, const struct lt_map_area *box, double line)
{
	canvas->frame(canvas->data, box->x + line / 2, box->y + line / 2, box->width - line,
		box->height - line, line, LT_BLACK);
}

static void draw_mark(struct lt_canvas *canvas, const struct lt_map_area *box, bool filled)
{
	if (filled)
		fill(canvas, box, LT_BLACK);
	else
		frame(canvas, box, FRAME);
}

static void draw_piece(struct lt_canvas *canvas, double x1, double y1, double x2, double y2)
{
	canvas->line(canvas->data, x1, y1, x2, y2, LT_OVERVIEW_LINE, LT_BLACK);
}

/* Dashes and gaps of about the same length that begin and end with a dash, so that corners are
 * seen. */
static void draw_dashed(struct lt_canvas *canvas, double x1, double y1, double x2, double y2)
{
	double length = fabs(x2 - x1) + fabs(y2 - y1);
	size_t parts = 2 * (size_t)(length / DASH / 2) + 1;
	for (size_t i = 0; i < parts; i += 2) {
		double from = (double)i / (double)parts, to = (double)(i + 1) / (double)parts;
		draw_piece(canvas, x1 + from * (x2 - x1), y1 + from * (y2 - y1),
			x1 + to * (x2 - x1), y1 + to * (y2 - y1));
	}
}

static void draw_branch(struct lt_canvas *canvas, const struct lt_overview_label *label)
{
	const struct lt_overview_branch *branch = &label->branch;
	for (size_t i = 0; i + 1 < branch->count; i++)
		(label->guessed ? draw_dashed : draw_piece)(canvas, branch->x[i], branch->y[i],
			branch->x[i + 1], branch->y[i + 1]);
	/* Lines end where they end: corners are filled. */
	const double line = LT_OVERVIEW_LINE;
	for (size_t i = 1; i + 1 < branch->count; i++)
		canvas->rectangle(canvas->data, branch->x[i] - line / 2, branch->y[i] - line / 2,
			line, line, LT_BLACK);
	if (label->mates)
		canvas->line(canvas->data, label->mate_from, label->mate_y, label->mate_to,
			label->mate_y, MATE, LT_BLACK);
}

static void draw_texts(struct lt_canvas *canvas, const struct lt_overview_page *page)
{
	/* Badges are in the order of the labels. */
	const struct lt_overview_label *label = page->labels;
	for (size_t i = 0; i < page->text_count; i++) {
		const struct lt_overview_text *text = &page->texts[i];
		const struct lt_ink ink = text->white ? LT_WHITE : LT_BLACK;
		canvas->text(canvas->data, text->box.x, text->baseline, text->face, text->size, ink,
			text->text);
		/* A line under a number that reads as another one upside down. */
		if (text->role == LT_OVERVIEW_BADGE && label++->turned)
			canvas->rectangle(canvas->data, text->box.x,
				text->baseline + 0.07 * text->size, text->box.width,
				0.08 * text->size, ink);
	}
}

/* Where the first and the last place on the trunk are. */
static void draw_ends(struct lt_canvas *canvas, const struct lt_map_area *trunk)
{
	const double in = LT_OVERVIEW_TRUNK_END, y = trunk->y + (trunk->height - END_HEIGHT) / 2;
	const double ends[2] = { trunk->x + in, trunk->x + trunk->width - in };
	for (size_t i = 0; i < 2; i++)
		canvas->rectangle(canvas->data, ends[i] - END_WIDTH / 2, y, END_WIDTH, END_HEIGHT,
			LT_BLACK);
}

void lt_overview_draw(struct lt_canvas *canvas, const struct lt_overview *overview, size_t index)
{
	const struct lt_overview_page *page = &overview->pages[index];
	fill(canvas, &page->trunk, trunk_ink);
	if (page->to_scale)
		draw_ends(canvas, &page->trunk);
	for (size_t i = 0; i < page->label_count; i++)
		draw_branch(canvas, &page->labels[i]);
	for (size_t i = 0; i < page->label_count; i++)
		draw_mark(canvas, &page->labels[i].badge,
			page->labels[i].marking == LT_MARK_STICKER);
	for (size_t i = 0; i < page->component_count; i++)
		frame(canvas, &page->components[i].box,
			page->components[i].replaced ? FRAME_REPLACED : FRAME);
	for (size_t i = 0; i < page->sign_count; i++)
		draw_mark(canvas, &page->signs[i].box, page->signs[i].kind == LT_OVERVIEW_DANGER);
	draw_texts(canvas, page);
}
