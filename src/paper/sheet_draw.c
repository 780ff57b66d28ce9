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

bool lt_sticker_draw(struct lt_canvas *canvas, const struct lt_sticker *sticker, double x, double y,
	struct lt_arena *arena, struct lt_diags *diags)
{
	struct lt_qr qr;
	if (!lt_qr_encode(&qr, arena, sticker->payload_text, &sticker->plan, diags))
		return false;
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		if (box->role == LT_BOX_QR)
			canvas->qr(canvas->data, x + box->x, y + box->y, box->module, &qr);
		else
			draw_box(canvas, box, x, y);
	}
	return true;
}

/* What drawing a sheet takes. */
struct drawing {
	struct lt_sheet *sheet;
	struct lt_canvas *canvas;
	const struct lt_tags *tags;
	const struct lt_lookalikes *lookalikes;
	const struct lt_sheet_options *options;
	const struct lt_measure *measure;
	struct lt_diags *diags;
};

/* Places and draws one sticker; what it takes in memory is freed with it. */
static bool draw_slot(const struct drawing *d, const struct lt_slot *slot)
{
	struct lt_sheet *sheet = d->sheet;
	struct lt_sticker_options options = d->options->sticker;
	options.over_m = slot->over_m;
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	double x = 0;
	double y = 0;
	lt_layout_position(&x, &y, sheet->layout, slot->label);
	bool ok = lt_sticker_place(&sticker, &arena, sheet->layout, d->tags, d->lookalikes,
			  slot->connector, slot->side, &options, d->measure, d->diags) &&
		  lt_sticker_draw(d->canvas, &sticker, x + d->options->nudge_x,
			  y + d->options->nudge_y, &arena, d->diags);
	lt_arena_finish(&arena);
	if (!ok)
		return false;
	sheet->left_out |= sticker.left_out;
	sheet->shortened |= sticker.shortened;
	sheet->payloads[sticker.payload]++;
	return true;
}

static void begin_page(const struct drawing *d)
{
	const struct lt_layout *layout = d->sheet->layout;
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	d->canvas->begin_page(d->canvas->data, sheet ? layout->page_width : layout->label_width,
		sheet ? layout->page_height : layout->label_height);
}

bool lt_sheet_draw(struct lt_sheet *sheet, struct lt_canvas *canvas, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_sheet_options *options,
	const struct lt_measure *measure, void (*progress)(void *data, size_t done, size_t all),
	void *progress_data, struct lt_diags *diags)
{
	const struct drawing d = { sheet, canvas, tags, lookalikes, options, measure, diags };
	unsigned failures = 0;
	size_t failed = LT_NONE;
	unsigned page = 0;
	for (size_t i = 0; i < sheet->count && failures < FAILURES_TOLD; i++) {
		if (sheet->slots[i].page != page) {
			if (page != 0 && !canvas->end_page(canvas->data, diags))
				return false;
			begin_page(&d);
			page = sheet->slots[i].page;
		}
		/* What keeps one sticker of a connector from its place keeps the others too. */
		if (sheet->slots[i].connector != failed && !draw_slot(&d, &sheet->slots[i])) {
			failed = sheet->slots[i].connector;
			failures++;
		}
		if (progress != NULL && (i % PROGRESS_STEP == 0 || i + 1 == sheet->count))
			progress(progress_data, i + 1, sheet->count);
	}
	return page != 0 && canvas->end_page(canvas->data, diags) && failures == 0;
}
