/* Draws the ladder. */
#include <math.h>
#include <stdio.h>

#include "loomtag/label.h"
#include "sheet/ladder.h"

#define RULE 0.25 /* mm */

struct pen {
	struct lt_canvas *canvas;
	const struct lt_ladder *ladder;
	const struct lt_measure *measure;
};

/* The block's lines under each other, from `y` on. */
static void draw_lines(const struct pen *pen, const struct lt_ladder_block *block, double x,
	double y)
{
	struct lt_face_heights heights = pen->measure->heights(pen->measure->data, LT_FACE_REGULAR);
	double size = lt_ladder_size(pen->measure, block->capital);
	for (size_t i = 0; i < block->line_count; i++) {
		double top = y + (double)i * lt_ladder_line(pen->measure, block->capital);
		pen->canvas->text(pen->canvas->data, x, top + heights.ascent * size,
			LT_FACE_REGULAR, size, LT_BLACK, block->lines[i]);
	}
}

static bool draw_code(const struct pen *pen, const struct lt_ladder_block *block,
	struct lt_diags *diags)
{
	char text[16];
	struct lt_arena arena = { 0 };
	struct lt_qr_plan plan;
	struct lt_qr qr;
	snprintf(text, sizeof(text), "DOTS%u", block->dots);
	bool good = lt_qr_plan(&plan, text, LT_QR_M) && plan.modules == LT_LADDER_MODULES &&
		    lt_qr_encode(&qr, &arena, text, &plan, diags);
	if (good) {
		double dot = pen->ladder->dot;
		double module = block->dots * dot;
		double quiet = LT_QR_QUIET * module;
		double symbol = LT_LADDER_MODULES * module + 2 * quiet;
		/* On whole dots, as the block is. */
		double down = round((block->height - symbol) / 2 / dot) * dot;
		pen->canvas->qr(pen->canvas->data, block->x + quiet, block->y + down + quiet,
			module, &qr);
		double caption = 2 * lt_ladder_line(pen->measure, block->capital);
		draw_lines(pen, block, block->x + symbol, block->y + (block->height - caption) / 2);
	}
	lt_arena_finish(&arena);
	return good;
}

static void draw_write(const struct pen *pen, const struct lt_ladder_block *block)
{
	double below = block->y + block->height - RULE / 2;
	pen->canvas->line(pen->canvas->data, block->x, below, block->x + LT_LADDER_RULE, below,
		RULE, LT_BLACK);
	draw_lines(pen, block, block->x + LT_LADDER_RULE + 1,
		block->y + block->height - lt_ladder_line(pen->measure, block->capital));
}

static bool draw_block(const struct pen *pen, const struct lt_ladder_block *block,
	struct lt_diags *diags)
{
	switch (block->kind) {
	case LT_LADDER_CODE:
		return draw_code(pen, block, diags);
	case LT_LADDER_WRITE:
		draw_write(pen, block);
		return true;
	case LT_LADDER_HEIGHT:
	case LT_LADDER_WORDS:
		draw_lines(pen, block, block->x, block->y);
		return true;
	}
	return false;
}

bool lt_ladder_draw(struct lt_canvas *canvas, const struct lt_ladder *ladder,
	const struct lt_measure *measure, struct lt_diags *diags)
{
	const struct pen pen = { canvas, ladder, measure };
	for (unsigned page = 0; page < ladder->pages; page++) {
		canvas->begin_page(canvas->data, ladder->width, ladder->height);
		for (size_t i = 0; i < ladder->count; i++) {
			if (ladder->blocks[i].page == page &&
				!draw_block(&pen, &ladder->blocks[i], diags))
				return false;
		}
		if (!canvas->end_page(canvas->data, diags))
			return false;
	}
	return true;
}
