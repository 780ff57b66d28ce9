/* The ruler: outlines and centres of blank labels, two bars to measure, and what to do with it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/words.h"
#include "sheet/ruler.h"
#include "sheet/sheet.h"

#define OUTLINE 0.2 /* mm, as all of these */
#define MARK 0.3
#define CROSS 2.5        /* arms of a label's centre mark, where it has room for them */
#define CROSS_SHARE 0.15 /* of the label's shorter side, where it has not */
#define PAGE_CROSS 6.0
#define PAGE_SQUARE 4.0
#define TICK 2.0
#define TICK_LONG 3.5
#define ARROW 4.0
#define ARROW_HEAD 1.2
#define LABEL_GAP 1.5    /* between a label's frame and its bars */
#define LEGEND_ROOM 24.0 /* beside the end of a bar */
#define CAPITAL 2.2
#define LEADING 1.75 /* in capitals */
#define TAPE_FACE 50.0

/* The white panel with the words and bars of a sheet. */
#define PANEL_PAD 4.0
#define PANEL_BELOW 8.0
#define PANEL_EDGE 5.0 /* from the page's edge */
#define WORDS_DOWN 8.0 /* from the bar to the words */
#define WORDS_IN 6.0
#define WORDS_LEAST 70.0 /* narrower lines do not read well */
#define STEP_INDENT 5.0

/* Where a layout has no inset, its frame still has to be seen on the label. */
#define FRAME_LEAST 1.0

#define COLUMNS 78 /* of a terminal */

struct ruler {
	struct lt_canvas *canvas;
	const struct lt_layout *layout;
	const struct lt_calibration *corrected;
	const struct lt_measure *measure;
	struct lt_shape shape;
	double width, height; /* of the page */
	double scale_x, scale_y;
	double bar_x, bar_y; /* the lengths of the bars */
};

/* What is drawn on a small label, so that its legends find a place between. */
struct taken {
	struct lt_zone items[16];
	size_t count;
};

/* How far inside its label the frame of a roll or tape is drawn, in mm. */
static double frame_inset(const struct lt_layout *layout)
{
	return fmax(layout->inset, FRAME_LEAST);
}

/* One label as the ruler shows it: on a tape of a middling length. */
static void make_shape(struct lt_shape *out, const struct lt_layout *layout)
{
	lt_layout_shape(out, layout, fmax(layout->shortest, fmin(TAPE_FACE, layout->longest)), 0);
}

static double whole_steps(double room)
{
	double steps = floor(fmin(room, LT_RULER_BAR) / LT_RULER_STEP + 1e-9);
	return fmax(0, steps) * LT_RULER_STEP;
}

void lt_ruler_bars(double *x, double *y, const struct lt_layout *layout)
{
	if (layout->medium == LT_MEDIUM_SHEET) {
		*x = whole_steps(layout->page_width - 2 * PANEL_EDGE - PANEL_PAD - LEGEND_ROOM);
		*y = whole_steps(layout->page_height - 2 * PANEL_EDGE - PANEL_PAD - PANEL_BELOW);
		return;
	}
	struct lt_shape shape;
	make_shape(&shape, layout);
	double around = 2 * (frame_inset(layout) + LABEL_GAP);
	/* Neither without room for its ticks. */
	double ticks = around - LABEL_GAP + TICK_LONG;
	*x = shape.height >= ticks ? whole_steps(shape.width - around) : 0;
	*y = shape.width >= ticks ? whole_steps(shape.height - around) : 0;
}

/* What the page was printed with, and what to do with what is measured on it. */
static void write_corrections(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_calibration *corrected)
{
	if (corrected->nudge_x != 0 || corrected->nudge_y != 0) {
		lt_words_ruler_nudged(out, corrected->nudge_x, corrected->nudge_y);
		lt_text_add_char(out, '\n');
	}
	if (layout->medium == LT_MEDIUM_SHEET &&
		(corrected->scale_x != 1 || corrected->scale_y != 1)) {
		lt_words_ruler_scaled(out, corrected->scale_x, corrected->scale_y);
		lt_text_add_char(out, '\n');
	}
}

static void write_sheet_steps(struct lt_text *out, double x, double y)
{
	lt_text_printf(out, "%s\n", lt_ruler_words.print_page);
	lt_words_ruler_measure_page(out, x, y);
	lt_text_printf(out, "\n%s\n%s\n", lt_ruler_words.measure_outlines,
		lt_ruler_words.print_page_again);
}

/* A bar that has no room is 0 long. */
static void write_label_steps(struct lt_text *out, const struct lt_layout *layout, double x,
	double y)
{
	lt_text_printf(out, "%s\n", lt_ruler_words.print_label);
	lt_words_ruler_measure_label(out, x, y);
	lt_text_add_char(out, '\n');
	lt_words_ruler_measure_frame(out, frame_inset(layout));
	lt_text_printf(out, "\n%s\n", lt_ruler_words.print_label_again);
}

/* What to do, a step a line, without their numbers. */
static void write_steps(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_calibration *corrected)
{
	double x, y;
	lt_ruler_bars(&x, &y, layout);
	if (layout->medium == LT_MEDIUM_SHEET)
		write_sheet_steps(out, x, y);
	else
		write_label_steps(out, layout, x, y);
	write_corrections(out, layout, corrected);
}

void lt_ruler_write(struct lt_text *out, const struct lt_layout *layout,
	const struct lt_calibration *corrected)
{
	struct lt_text steps = { 0 };
	write_steps(&steps, layout, corrected);
	unsigned number = 0;
	char *rest = NULL;
	for (char *step = strtok_r(steps.bytes, "\n", &rest); step != NULL;
		step = strtok_r(NULL, "\n", &rest)) {
		struct lt_text line = { 0 };
		lt_text_printf(&line, "%u. %s", ++number, step);
		lt_text_wrap(out, lt_text_string(&line), COLUMNS, strlen("1. "));
		lt_text_finish(&line);
	}
	lt_text_finish(&steps);
}

static double to_x(const struct ruler *r, double x)
{
	return x * r->scale_x + r->corrected->nudge_x;
}

static double to_y(const struct ruler *r, double y)
{
	return y * r->scale_y + r->corrected->nudge_y;
}

static void draw_line(const struct ruler *r, double x1, double y1, double x2, double y2,
	double line)
{
	r->canvas->line(r->canvas->data, to_x(r, x1), to_y(r, y1), to_x(r, x2), to_y(r, y2), line,
		LT_BLACK);
}

/* A line along the page's edge would lose the half that is beyond it. */
static double off_edge(double at, double edge, double line)
{
	if (fabs(at) < line / 2)
		return line / 2;
	return fabs(at - edge) < line / 2 ? edge - line / 2 : at;
}

static void draw_frame(const struct ruler *r, double x, double y, const struct lt_zone *zone,
	double line)
{
	double left = off_edge(to_x(r, x + zone->x), r->width, line);
	double right = off_edge(to_x(r, x + zone->x + zone->width), r->width, line);
	double top = off_edge(to_y(r, y + zone->y), r->height, line);
	double bottom = off_edge(to_y(r, y + zone->y + zone->height), r->height, line);
	r->canvas->frame(r->canvas->data, left, top, right - left, bottom - top, line, LT_BLACK);
}

static double cross_arm(const struct lt_shape *shape)
{
	return fmin(CROSS, CROSS_SHARE * fmin(shape->width, shape->height));
}

/* Outline, zones and centre of one label. */
static void draw_label(const struct ruler *r, double x, double y)
{
	const struct lt_shape *shape = &r->shape;
	const struct lt_zone whole = { 0, 0, shape->width, shape->height };
	draw_frame(r, x, y, &whole, OUTLINE);
	for (size_t i = 0; r->layout->style != LT_STYLE_PLATE && i < shape->face_count; i++)
		draw_frame(r, x, y, &shape->faces[i], OUTLINE);
	double arm = cross_arm(shape);
	double middle_x = x + shape->width / 2;
	double middle_y = y + shape->height / 2;
	draw_line(r, middle_x - arm, middle_y, middle_x + arm, middle_y, OUTLINE);
	draw_line(r, middle_x, middle_y - arm, middle_x, middle_y + arm, OUTLINE);
}

static double tick_length(double at, double length)
{
	bool is_long = at == 0 || at == length || (length == LT_RULER_BAR && at == length / 2);
	return is_long ? TICK_LONG : TICK;
}

/* Where a tick's middle is: the first and last end flush with their bar, so that it is as long as
 * it says from outer edge to outer edge. */
static double tick_middle(double at, double length)
{
	if (at <= 0)
		return OUTLINE / 2;
	return at >= length ? length - OUTLINE / 2 : at;
}

/* A bar to the right or down from a corner, its ticks inwards; nothing of it adds to the length of
 * another from the same corner. */
static void draw_bar(const struct ruler *r, double x, double y, bool down, double length)
{
	double half = MARK / 2;
	if (length <= 0)
		return;
	if (down)
		draw_line(r, x + half, y, x + half, y + length, MARK);
	else
		draw_line(r, x, y + half, x + length, y + half, MARK);
	for (int step = 0; step * LT_RULER_STEP <= length; step++) {
		double at = step * LT_RULER_STEP;
		double middle = (down ? y : x) + tick_middle(at, length);
		double tick = tick_length(at, length);
		if (down)
			draw_line(r, x, middle, x + tick, middle, OUTLINE);
		else
			draw_line(r, middle, y, middle, y + tick, OUTLINE);
	}
}

static double text_size(const struct ruler *r, enum lt_typeface face)
{
	return lt_text_size(r->measure, face, CAPITAL);
}

static double text_width(const struct ruler *r, enum lt_typeface face, const char *text)
{
	return lt_text_width(r->measure, face, text_size(r, face), text);
}

/* Text is moved along with what it stands beside, but keeps its size. */
static void draw_text(const struct ruler *r, double x, double baseline, enum lt_typeface face,
	const char *text)
{
	r->canvas->text(r->canvas->data, to_x(r, x), to_y(r, baseline), face, text_size(r, face),
		LT_BLACK, text);
}

/* What a bar is called and which way it goes: "X 100 mm" and an arrow. */
struct legend {
	char text[32];
	bool down;
	double width, height;
};

static void make_legend(struct legend *out, const struct ruler *r, bool down, double length,
	bool brief)
{
	*out = (struct legend){ .down = down };
	const char *name = down ? lt_ruler_words.down : lt_ruler_words.right;
	if (brief)
		snprintf(out->text, sizeof(out->text), "%s", name);
	else
		snprintf(out->text, sizeof(out->text), "%s %g mm", name, length);
	double arrow = down ? ARROW_HEAD : ARROW;
	out->width = text_width(r, LT_TYPEFACE_BOLD, out->text) + 1 + arrow;
	out->height = down ? fmax(CAPITAL, ARROW) : CAPITAL;
}

static void draw_legend(const struct ruler *r, const struct legend *legend, double x, double y)
{
	draw_text(r, x, y + CAPITAL, LT_TYPEFACE_BOLD, legend->text);
	/* The arrow goes along (along_x, along_y). */
	double along_x = legend->down ? 0 : 1, along_y = legend->down ? 1 : 0;
	double half = ARROW_HEAD / 2;
	double tail_x = x + text_width(r, LT_TYPEFACE_BOLD, legend->text) + 1 + half * along_y;
	double tail_y = y + CAPITAL / 2 * along_x;
	double tip_x = tail_x + ARROW * along_x, tip_y = tail_y + ARROW * along_y;
	draw_line(r, tail_x, tail_y, tip_x, tip_y, OUTLINE);
	for (int step = -1; step <= 1; step += 2) {
		double side = step * half;
		draw_line(r, tip_x - ARROW_HEAD * along_x + side * along_y,
			tip_y - ARROW_HEAD * along_y + side * along_x, tip_x, tip_y, OUTLINE);
	}
}

/* Goes through the words of a sheet, broken into lines, and draws them or not. Returns the height
 * that they take: the title is a line, and one is left blank beneath it. */
static double set_words(const struct ruler *r, double x, double y, double width, bool draw)
{
	char line[256];
	double size = text_size(r, LT_TYPEFACE_REGULAR);
	if (draw) {
		struct lt_text title = { 0 };
		lt_words_ruler_title(&title, r->layout->name);
		lt_text_shorten(line, sizeof(line), r->measure, LT_TYPEFACE_BOLD,
			text_size(r, LT_TYPEFACE_BOLD), lt_text_string(&title), width);
		lt_text_finish(&title);
		draw_text(r, x, y + CAPITAL, LT_TYPEFACE_BOLD, line);
	}
	y += CAPITAL;
	y += 2 * LEADING * CAPITAL;
	size_t count = 2;
	struct lt_text steps = { 0 };
	write_steps(&steps, r->layout, r->corrected);
	unsigned number = 0;
	char *rest = NULL;
	for (char *at = strtok_r(steps.bytes, "\n", &rest); at != NULL;
		at = strtok_r(NULL, "\n", &rest)) {
		snprintf(line, sizeof(line), "%u", ++number);
		if (draw)
			draw_text(r, x, y, LT_TYPEFACE_BOLD, line);
		while (*at != '\0') {
			size_t length = lt_text_break(r->measure, LT_TYPEFACE_REGULAR, size, at,
				width - STEP_INDENT);
			snprintf(line, sizeof(line), "%.*s", (int)length, at);
			if (draw)
				draw_text(r, x + STEP_INDENT, y, LT_TYPEFACE_REGULAR, line);
			y += LEADING * CAPITAL;
			count++;
			at += length;
			at += strspn(at, " ");
		}
	}
	lt_text_finish(&steps);
	return (double)count * LEADING * CAPITAL;
}

/* Where the white panel lies, as high as its bar and the legend beneath: above the middle of the
 * page, whose mark stays free, or at its top where the page is too low for that. */
static struct lt_zone panel_zone(const struct ruler *r)
{
	struct lt_zone zone = { 0, 0, PANEL_PAD + r->bar_x + LEGEND_ROOM,
		PANEL_PAD + r->bar_y + PANEL_BELOW };
	zone.x = (r->layout->page_width - zone.width) / 2;
	zone.y = fmax(PANEL_EDGE,
		r->layout->page_height / 2 - PAGE_CROSS - PANEL_EDGE - zone.height);
	return zone;
}

static void draw_page_centre(const struct ruler *r)
{
	double x = r->layout->page_width / 2;
	double y = r->layout->page_height / 2;
	const struct lt_zone square = { -PAGE_SQUARE / 2, -PAGE_SQUARE / 2, PAGE_SQUARE,
		PAGE_SQUARE };
	draw_line(r, x - PAGE_CROSS, y, x + PAGE_CROSS, y, MARK);
	draw_line(r, x, y - PAGE_CROSS, x, y + PAGE_CROSS, MARK);
	draw_frame(r, x, y, &square, MARK);
}

static void draw_panel(const struct ruler *r)
{
	struct lt_zone zone = panel_zone(r);
	r->canvas->rectangle(r->canvas->data, to_x(r, zone.x), to_y(r, zone.y),
		zone.width * r->scale_x, zone.height * r->scale_y, LT_WHITE);
	double x = zone.x + PANEL_PAD;
	double y = zone.y + PANEL_PAD;
	struct legend legend;
	draw_bar(r, x, y, false, r->bar_x);
	draw_bar(r, x, y, true, r->bar_y);
	if (r->bar_x > 0) {
		make_legend(&legend, r, false, r->bar_x, false);
		draw_legend(r, &legend, x + r->bar_x + 2, y - CAPITAL / 2);
	}
	if (r->bar_y > 0) {
		make_legend(&legend, r, true, r->bar_y, false);
		draw_legend(r, &legend, x, y + r->bar_y + 2);
	}
	/* As wide as the panel, with a margin. */
	double width = r->bar_x + LEGEND_ROOM - WORDS_IN - PANEL_PAD;
	x += WORDS_IN;
	y += WORDS_DOWN;
	if (width - STEP_INDENT >= WORDS_LEAST &&
		WORDS_DOWN + set_words(r, x, y, width, false) <= r->bar_y)
		set_words(r, x, y, width, true);
}

static void draw_sheet(const struct ruler *r)
{
	for (unsigned i = 0; i < lt_layout_labels(r->layout); i++) {
		double x, y;
		lt_layout_position(&x, &y, r->layout, i);
		draw_label(r, x, y);
	}
	draw_page_centre(r);
	draw_panel(r);
}

static void take(struct taken *taken, double x, double y, double width, double height)
{
	taken->items[taken->count++] = (struct lt_zone){ x, y, width, height };
}

/* The free place nearest to where a legend is wanted. False when there is none on the label. */
static bool find_place(double *x, double *y, const struct taken *taken, const struct lt_zone *area,
	const struct legend *legend, double near_x, double near_y)
{
	const double step = 0.25;
	double best = INFINITY;
	for (double at_y = area->y; at_y + legend->height <= area->y + area->height; at_y += step) {
		for (double at_x = area->x; at_x + legend->width <= area->x + area->width;
			at_x += step) {
			double off = hypot(at_x - near_x, at_y - near_y);
			const struct lt_zone zone = { at_x, at_y, legend->width, legend->height };
			if (off >= best || !lt_zone_is_free(&zone, taken->items, taken->count))
				continue;
			best = off;
			*x = at_x;
			*y = at_y;
		}
	}
	return !isinf(best);
}

/* A legend in full, or its letter alone, or nothing, as there is room. */
static void place_legend(const struct ruler *r, struct taken *taken, const struct lt_zone *area,
	bool down, double length, double near_x, double near_y)
{
	struct legend legend;
	double x = 0, y = 0;
	for (int brief = 0; length > 0 && brief < 2; brief++) {
		make_legend(&legend, r, down, length, brief == 1);
		if (!find_place(&x, &y, taken, area, &legend, near_x, near_y))
			continue;
		draw_legend(r, &legend, x, y);
		take(taken, x - 1, y - 1, legend.width + 2, legend.height + 2);
		return;
	}
}

static void draw_single(const struct ruler *r)
{
	const struct lt_shape *shape = &r->shape;
	double frame = frame_inset(r->layout);
	const struct lt_zone inner = { frame, frame, shape->width - 2 * frame,
		shape->height - 2 * frame };
	double at = frame + LABEL_GAP;
	draw_label(r, 0, 0);
	draw_frame(r, 0, 0, &inner, OUTLINE);
	draw_bar(r, at, at, false, r->bar_x);
	draw_bar(r, at, at, true, r->bar_y);
	struct taken taken = { 0 };
	double around = 0.4;
	double arm = cross_arm(shape) + around;
	take(&taken, shape->width / 2 - arm, shape->height / 2 - arm, 2 * arm, 2 * arm);
	take(&taken, at, at - around, r->bar_x + around, TICK_LONG + 2 * around);
	take(&taken, at - around, at, TICK_LONG + 2 * around, r->bar_y + around);
	/* The lines between zones, wherever they lie. */
	for (size_t i = 0; r->layout->style != LT_STYLE_PLATE && i < shape->face_count; i++) {
		const struct lt_zone *face = &shape->faces[i];
		take(&taken, face->x - around, face->y, 2 * around, face->height);
		take(&taken, face->x + face->width - around, face->y, 2 * around, face->height);
		take(&taken, face->x, face->y - around, face->width, 2 * around);
		take(&taken, face->x, face->y + face->height - around, face->width, 2 * around);
	}
	const struct lt_zone area = { inner.x + 0.5, inner.y + 0.5, inner.width - 1,
		inner.height - 1 };
	place_legend(r, &taken, &area, false, r->bar_x, at + TICK_LONG + 1, at + TICK_LONG + 1);
	place_legend(r, &taken, &area, true, r->bar_y, at + TICK_LONG + 1, at + r->bar_y);
}

bool lt_ruler_draw(struct lt_canvas *canvas, const struct lt_layout *layout,
	const struct lt_calibration *corrected, const struct lt_measure *measure,
	struct lt_diags *diags)
{
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	struct ruler r = { .canvas = canvas,
		.layout = layout,
		.corrected = corrected,
		.measure = measure,
		.scale_x = sheet ? corrected->scale_x : 1,
		.scale_y = sheet ? corrected->scale_y : 1 };
	make_shape(&r.shape, layout);
	lt_ruler_bars(&r.bar_x, &r.bar_y, layout);
	r.width = sheet ? layout->page_width : r.shape.width;
	r.height = sheet ? layout->page_height : r.shape.height;
	canvas->begin_page(canvas->data, r.width, r.height);
	if (sheet)
		draw_sheet(&r);
	else
		draw_single(&r);
	return canvas->end_page(canvas->data, diags);
}
