/* Draws sticker sheets, page by page. */
#include "sheet/sheet.h"

/* A few stickers that cannot be placed say what there is to say of the rest. */
#define FAILURES_TOLD 3
/* Stickers between two calls of the progress. */
#define PROGRESS_STEP 64

void lt_text_draw(struct lt_canvas *canvas, const struct lt_measure *measure, double x, double y,
	enum lt_face face, double size, const char *text)
{
	if (text[0] != '\0')
		canvas->text(canvas->data, x, y + lt_text_ascent(measure, face, size), face, size,
			LT_BLACK, text);
}

bool lt_zone_is_free(const struct lt_zone *zone, const struct lt_zone *taken, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		if (zone->x < taken[i].x + taken[i].width && taken[i].x < zone->x + zone->width &&
			zone->y < taken[i].y + taken[i].height &&
			taken[i].y < zone->y + zone->height)
			return false;
	}
	return true;
}

static void draw_box(struct lt_canvas *canvas, const struct lt_box *box, double x, double y)
{
	bool banner = box->role == LT_BOX_BANNER;
	if (banner || box->role == LT_BOX_UNDERLINE)
		canvas->rectangle(canvas->data, x + box->x, y + box->y, box->width, box->height,
			LT_BLACK);
	if (box->text != NULL)
		canvas->text(canvas->data, x + box->text_x, y + box->baseline, box->face, box->size,
			banner ? LT_WHITE : LT_BLACK, box->text);
}

static void draw_face(struct lt_canvas *canvas, const struct lt_sticker *sticker,
	const struct lt_qr *qr, double x, double y)
{
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		if (box->role == LT_BOX_QR)
			canvas->qr(canvas->data, x + box->x, y + box->y, box->module, qr);
		else
			draw_box(canvas, box, x, y);
	}
}

bool lt_sticker_draw(struct lt_canvas *canvas, const struct lt_sticker *sticker, double x, double y,
	struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_qr qr;
	if (!lt_qr_encode(&qr, arena, sticker->symbol.text, &sticker->symbol.plan, diags))
		return false;
	for (size_t face = 0; face < sticker->shape.face_count; face++)
		draw_face(canvas, sticker, &qr, x + sticker->shape.faces[face].x,
			y + sticker->shape.faces[face].y);
	return true;
}

/* What drawing a sheet takes. */
struct drawing {
	struct lt_sheet *sheet;
	struct lt_canvas *canvas; /* or NULL */
	const struct lt_sticker_source *source;
	const struct lt_sheet_options *options;
	const struct lt_sheet_watcher *watcher; /* or NULL */
	struct lt_diags *diags;
	unsigned page; /* begun; 0 before the first */
};

/* Between stickers that share a page of tape, a mark on either edge for the scissors, in mm. */
#define MARK_LENGTH 1.5
#define MARK_LINE 0.15

/* Stickers that share a page of tape: each copy of a number has one of its own. */
#define STICKERS_TOGETHER ((size_t)LT_SIDE_COUNT)

/* Some stickers, placed, that are drawn on the same page. */
struct placed {
	const struct lt_slot *slots;
	struct lt_sticker stickers[STICKERS_TOGETHER];
	size_t count;
	struct lt_arena arena;
};

/* Ends the page that was begun and begins that of the stickers, unless it is the same. */
static bool turn_page(struct drawing *d, const struct placed *placed)
{
	struct lt_canvas *canvas = d->canvas;
	unsigned page = placed->slots[0].page;
	if (page == d->page)
		return true;
	if (d->page != 0 && !canvas->end_page(canvas->data, d->diags))
		return false;
	const struct lt_layout *layout = d->sheet->layout;
	bool whole = layout->medium == LT_MEDIUM_SHEET && !d->sheet->apart;
	double width = 0;
	for (size_t i = 0; i < placed->count; i++)
		width += placed->stickers[i].shape.width;
	width = whole ? layout->page_width : width;
	d->sheet->longest = width > d->sheet->longest ? width : d->sheet->longest;
	canvas->begin_page(canvas->data, width,
		whole ? layout->page_height : placed->stickers[0].shape.height);
	d->page = page;
	return true;
}

static void note(const struct drawing *d, const struct lt_sticker *sticker)
{
	struct lt_sheet *sheet = d->sheet;
	sheet->left_out |= sticker->left_out;
	sheet->shortened |= sticker->shortened;
	sheet->payloads[sticker->symbol.payload]++;
	if (sheet->layout->medium == LT_MEDIUM_TAPE)
		sheet->length += sticker->shape.width;
	lt_doubts_note(&sheet->doubts, sticker, sheet->layout, d->options->sticker.distance);
	if (d->watcher != NULL && d->watcher->placed != NULL)
		d->watcher->placed(d->watcher->data, sticker);
}

static void mark_cut(struct lt_canvas *canvas, double x, double height)
{
	canvas->line(canvas->data, x, 0, x, MARK_LENGTH, MARK_LINE, LT_BLACK);
	canvas->line(canvas->data, x, height - MARK_LENGTH, x, height, MARK_LINE, LT_BLACK);
}

/* Draws stickers that were placed, on the page that was begun: on their labels, or, on a tape, one
 * after the other. */
static bool draw_placed(struct drawing *d, struct placed *placed)
{
	const struct lt_sheet_options *options = d->options;
	double along = 0;
	for (size_t i = 0; i < placed->count; i++) {
		const struct lt_sticker *sticker = &placed->stickers[i];
		double x = along;
		double y = 0;
		if (!d->sheet->apart && !d->sheet->together)
			lt_layout_position(&x, &y, d->sheet->layout, placed->slots[i].label);
		if (i > 0)
			mark_cut(d->canvas, x, sticker->shape.height);
		if (!lt_sticker_draw(d->canvas, sticker, x * options->scale_x + options->nudge_x,
			    y * options->scale_y + options->nudge_y, &placed->arena, d->diags))
			return false;
		along += sticker->shape.width;
	}
	return true;
}

static bool place(struct drawing *d, struct placed *placed)
{
	for (size_t i = 0; i < placed->count; i++) {
		if (!lt_sticker_place(&placed->stickers[i], &placed->arena, d->sheet->layout,
			    d->source, placed->slots[i].id, &d->options->sticker, d->diags))
			return false;
	}
	return true;
}

/* Places and draws `count` stickers of one page; what they take in memory is freed with them. False
 * when they cannot be placed, or, with the sheet's `canvas_failed`, drawn. */
static bool draw_slots(struct drawing *d, const struct lt_slot *slots, size_t count)
{
	struct placed placed = { .slots = slots, .count = count };
	bool good = place(d, &placed);
	if (good && d->canvas != NULL) {
		good = turn_page(d, &placed) && draw_placed(d, &placed);
		d->sheet->canvas_failed = !good;
	}
	for (size_t i = 0; good && i < count; i++)
		note(d, &placed.stickers[i]);
	lt_arena_finish(&placed.arena);
	return good;
}

/* How many stickers from slot `first` on are drawn at once: those that share a page of tape. */
static size_t count_together(const struct lt_sheet *sheet, size_t first)
{
	size_t count = 1;
	while (sheet->together && count < STICKERS_TOGETHER && first + count < sheet->count &&
		sheet->slots[first + count].page == sheet->slots[first].page)
		count++;
	return count;
}

bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas,
	const struct lt_sticker_source *source, const struct lt_sheet_options *options,
	const struct lt_sheet_watcher *watcher, struct lt_diags *diags)
{
	struct drawing d = { sheet, canvas, source, options, watcher, diags, 0 };
	unsigned failures = 0;
	size_t failed = LT_NONE;
	for (size_t i = 0, count = 0; i < sheet->count && failures < FAILURES_TOLD; i += count) {
		const struct lt_slot *slot = &sheet->slots[i];
		count = count_together(sheet, i);
		/* What keeps one sticker of a connector from its place keeps the others too. */
		if (slot->id.connector == failed)
			continue;
		if (!draw_slots(&d, slot, count)) {
			if (sheet->canvas_failed)
				return false;
			failed = slot->id.connector;
			failures++;
		}
		if (watcher != NULL && watcher->progress != NULL &&
			(i % PROGRESS_STEP == 0 || i + count == sheet->count))
			watcher->progress(watcher->data, i + count, sheet->count);
	}
	if (d.page != 0 && !canvas->end_page(canvas->data, diags))
		sheet->canvas_failed = true;
	return !sheet->canvas_failed && failures == 0;
}
