/* Draws sticker sheets, page by page. */
#include "loomtag/sheet.h"

/* A few stickers that cannot be placed say what there is to say of the rest. */
#define FAILURES_TOLD 3
/* Stickers between two calls of the progress. */
#define PROGRESS_STEP 64

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
	if (!lt_qr_encode(&qr, arena, sticker->payload_text, &sticker->plan, diags))
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
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const struct lt_sheet_options *options;
	const struct lt_measure *measure;
	const struct lt_sheet_watcher *watcher; /* or NULL */
	struct lt_diags *diags;
	unsigned page; /* begun; 0 before the first */
};

/* Ends the page that was begun and begins that of a slot, unless it is the same. */
static bool turn_page(struct drawing *d, unsigned page, const struct lt_shape *shape)
{
	struct lt_canvas *canvas = d->canvas;
	if (canvas == NULL || page == d->page)
		return true;
	if (d->page != 0 && !canvas->end_page(canvas->data, d->diags))
		return false;
	const struct lt_layout *layout = d->sheet->layout;
	bool whole = layout->medium == LT_MEDIUM_SHEET && !d->sheet->apart;
	canvas->begin_page(canvas->data, whole ? layout->page_width : shape->width,
		whole ? layout->page_height : shape->height);
	d->page = page;
	return true;
}

static void note(const struct drawing *d, const struct lt_sticker *sticker)
{
	struct lt_sheet *sheet = d->sheet;
	sheet->left_out |= sticker->left_out;
	sheet->shortened |= sticker->shortened;
	sheet->payloads[sticker->payload]++;
	if (sheet->layout->medium == LT_MEDIUM_TAPE)
		sheet->length += sticker->shape.width;
	lt_doubts_note(&sheet->doubts, sticker, sheet->layout, d->options->sticker.distance);
	if (d->watcher != NULL && d->watcher->placed != NULL)
		d->watcher->placed(d->watcher->data, sticker);
}

static bool draw_placed(struct drawing *d, const struct lt_slot *slot,
	const struct lt_sticker *sticker, struct lt_arena *arena)
{
	if (d->canvas == NULL)
		return true;
	double x = 0;
	double y = 0;
	if (!d->sheet->apart)
		lt_layout_position(&x, &y, d->sheet->layout, slot->label);
	const struct lt_sheet_options *options = d->options;
	return lt_sticker_draw(d->canvas, sticker, x * options->scale_x + options->nudge_x,
		y * options->scale_y + options->nudge_y, arena, d->diags);
}

enum outcome { DRAWN, NOT_PLACED, NO_PAGE };

/* Places and draws one sticker; what it takes in memory is freed with it. */
static enum outcome draw_slot(struct drawing *d, const struct lt_slot *slot)
{
	struct lt_sticker_options options = d->options->sticker;
	options.over_m = slot->over_m;
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	enum outcome outcome = NOT_PLACED;
	if (lt_sticker_place(&sticker, &arena, d->sheet->layout, d->tags, d->lookalikes,
		    slot->connector, slot->side, &options, d->measure, d->diags)) {
		if (!turn_page(d, slot->page, &sticker.shape))
			outcome = NO_PAGE;
		else if (draw_placed(d, slot, &sticker, &arena))
			outcome = DRAWN;
	}
	if (outcome == DRAWN)
		note(d, &sticker);
	lt_arena_finish(&arena);
	return outcome;
}

bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_sheet_options *options,
	const struct lt_measure *measure, const struct lt_sheet_watcher *watcher,
	struct lt_diags *diags)
{
	struct drawing d = { sheet, canvas, tags, lookalikes, options, measure, watcher, diags, 0 };
	unsigned failures = 0;
	size_t failed = LT_NONE;
	for (size_t i = 0; i < sheet->count && failures < FAILURES_TOLD; i++) {
		const struct lt_slot *slot = &sheet->slots[i];
		/* What keeps one sticker of a connector from its place keeps the others too. */
		if (slot->connector == failed)
			continue;
		enum outcome outcome = draw_slot(&d, slot);
		if (outcome == NO_PAGE)
			return false;
		if (outcome == NOT_PLACED) {
			failed = slot->connector;
			failures++;
		}
		if (watcher != NULL && watcher->progress != NULL &&
			(i % PROGRESS_STEP == 0 || i + 1 == sheet->count))
			watcher->progress(watcher->data, i + 1, sheet->count);
	}
	return (d.page == 0 || canvas->end_page(canvas->data, diags)) && failures == 0;
}
