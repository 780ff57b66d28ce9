/* The ladder: laid out as blocks, then drawn. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/words.h"
#include "sheet/sheet.h"

#define GAP 2.0     /* mm between blocks */
#define ROW_GAP 1.0 /* mm between rows */
#define SHEET_ROW_GAP 8.0
#define WORDS_MOST 80.0
#define WORDS_LEAST 25.0 /* on a tape the words are as narrow as its width lets them be */
#define CAPITAL 1.6
#define TAPE_STEP 0.5
#define HAIR 1e-6
#define MODULES 21u      /* version 1 (ISO/IEC 18004) */
#define RULE 0.25        /* mm, a line to write on */
#define RULE_LENGTH 12.0 /* mm */
#define HAND 5.5         /* height of what is written by hand */

/* Where on a page the blocks go: row by row; on a strip, which ends where they do, column by
 * column. */
struct bed {
	const struct lt_layout *layout;
	const struct lt_measure *measure;
	struct lt_zone zone; /* of the page, its blank edge within it */
	double inset;
	bool endless; /* to the right, as far as `end` */
	double end;
	double dot; /* mm */
	unsigned page;
	double x, row;       /* where the next block goes */
	double below, right; /* the ends of the row, or column, that has been begun */
	double farthest;     /* the right end of all pages so far */
};

static double text_size(const struct lt_measure *measure, double capital)
{
	return lt_text_size(measure, LT_TYPEFACE_REGULAR, capital);
}

/* The height of a line with all that letters reach above and below. */
static double line_height(const struct lt_measure *measure, double capital)
{
	return lt_text_height(measure, LT_TYPEFACE_REGULAR, text_size(measure, capital));
}

static double text_width(const struct lt_measure *measure, double capital, const char *text)
{
	return lt_text_width(measure, LT_TYPEFACE_REGULAR, text_size(measure, capital), text);
}

static void make_bed(struct bed *out, const struct lt_layout *layout, double dpi, double longest,
	const struct lt_measure *measure)
{
	*out = (struct bed){
		.layout = layout, .measure = measure, .inset = layout->inset, .dot = 25.4 / dpi
	};
	out->endless = layout->medium == LT_MEDIUM_TAPE;
	out->end = longest;
	if (layout->medium == LT_MEDIUM_SHEET) {
		out->zone = (struct lt_zone){ 0, 0, layout->page_width, layout->page_height };
		out->inset = LT_LADDER_EDGE;
	} else {
		struct lt_shape shape;
		lt_layout_shape(&shape, layout, layout->shortest, 0);
		out->zone = shape.faces[0];
	}
	out->row = out->below = out->zone.y;
	out->x = out->right = out->zone.x;
}

/* The blank edge that a block keeps from the zone's: its own white counts. */
static double margin(const struct bed *bed, double overhang)
{
	return fmax(0, bed->inset - overhang);
}

static double to_dot_above(const struct bed *bed, double mm)
{
	return ceil(mm / bed->dot - HAIR) * bed->dot;
}

static bool fits_down(const struct bed *bed, const struct lt_ladder_block *block)
{
	return block->y + block->height <=
	       bed->zone.y + bed->zone.height - margin(bed, block->overhang_y) + HAIR;
}

static bool fits_across(const struct bed *bed, const struct lt_ladder_block *block)
{
	double end = bed->endless ? bed->end : bed->zone.x + bed->zone.width;
	/* Captions stand at the right: there nothing is white. */
	return block->x + block->width <= end - bed->inset + HAIR;
}

static void put(const struct bed *bed, struct lt_ladder_block *block)
{
	block->page = bed->page;
	block->x = to_dot_above(bed, fmax(bed->x, bed->zone.x + margin(bed, block->overhang_x)));
	block->y = to_dot_above(bed, fmax(bed->row, bed->zone.y + margin(bed, block->overhang_y)));
}

static void begin_row(struct bed *bed)
{
	bool sheet = bed->layout->medium == LT_MEDIUM_SHEET;
	bed->x = bed->zone.x;
	bed->row = bed->below + (sheet ? SHEET_ROW_GAP : ROW_GAP);
}

static void begin_page(struct bed *bed)
{
	bed->page++;
	bed->x = bed->right = bed->zone.x;
	bed->row = bed->below = bed->zone.y;
}

static void place_in_row(struct bed *bed, struct lt_ladder_block *block)
{
	put(bed, block);
	if (!fits_across(bed, block)) {
		begin_row(bed);
		put(bed, block);
	}
	if (!fits_down(bed, block)) {
		begin_page(bed);
		put(bed, block);
	}
	bed->x = block->x + block->width + GAP;
	bed->below = fmax(bed->below, block->y + block->height);
}

static void place_in_column(struct bed *bed, struct lt_ladder_block *block)
{
	put(bed, block);
	if (!fits_down(bed, block)) {
		bed->x = bed->right + GAP;
		bed->row = bed->zone.y;
		put(bed, block);
	}
	if (!fits_across(bed, block)) {
		begin_page(bed);
		put(bed, block);
	}
	bed->row = block->y + block->height + ROW_GAP;
	bed->right = fmax(bed->right, block->x + block->width);
	bed->farthest = fmax(bed->farthest, bed->right);
}

/* Adds a block in its place. False when it has none even on an empty page. */
static bool add(struct lt_ladder *ladder, struct bed *bed, const struct lt_ladder_block *block)
{
	struct lt_ladder_block *placed = &ladder->blocks[ladder->count];
	struct bed empty = *bed;
	*placed = *block;
	begin_page(&empty);
	put(&empty, placed);
	if (!fits_across(&empty, placed) || !fits_down(&empty, placed))
		return false;
	if (bed->endless)
		place_in_column(bed, placed);
	else
		place_in_row(bed, placed);
	ladder->count++;
	return true;
}

static bool add_code(struct lt_ladder *ladder, struct bed *bed, unsigned dots)
{
	double module = dots * bed->dot;
	struct lt_ladder_block block = {
		.kind = LT_LADDER_CODE, .dots = dots, .capital = CAPITAL, .line_count = 2
	};
	struct lt_text text = { 0 };
	lt_words_dots(&text, dots);
	block.lines[0] = lt_arena_text(&ladder->arena, &text);
	block.lines[1] = lt_arena_printf(&ladder->arena, "%.2f mm", module);
	double caption = 2 * line_height(bed->measure, CAPITAL);
	double symbol = (MODULES + 2 * LT_QR_QUIET) * module;
	block.width = symbol + fmax(text_width(bed->measure, CAPITAL, block.lines[0]),
				       text_width(bed->measure, CAPITAL, block.lines[1]));
	block.height = fmax(symbol, caption);
	block.overhang_x = LT_QR_QUIET * module;
	block.overhang_y = (block.height - fmax(MODULES * module, caption)) / 2;
	if (!add(ladder, bed, &block))
		return false;
	if (dots > ladder->largest_dots)
		ladder->largest_dots = dots;
	return true;
}

static bool add_height(struct lt_ladder *ladder, struct bed *bed, unsigned mm)
{
	struct lt_typeface_heights heights =
		bed->measure->heights(bed->measure->data, LT_TYPEFACE_REGULAR);
	struct lt_ladder_block block = { .kind = LT_LADDER_HEIGHT, .capital = mm, .line_count = 1 };
	double size = text_size(bed->measure, mm);
	block.lines[0] = lt_arena_printf(&ladder->arena, "%u mm", mm);
	block.width = text_width(bed->measure, mm, block.lines[0]);
	block.height = line_height(bed->measure, mm);
	/* Figures have nothing above their capitals' height, nor below the line. */
	block.overhang_y = fmin(heights.ascent - heights.capital, heights.descent) * size;
	return add(ladder, bed, &block);
}

/* One block of words: as many lines as it has room for. Returns what is left of the text. */
static const char *fill_words(struct lt_ladder *ladder, struct lt_ladder_block *block,
	const struct bed *bed, const char *text, double width)
{
	double line = line_height(bed->measure, CAPITAL);
	double room = bed->zone.height - 2 * bed->inset;
	*block = (struct lt_ladder_block){ .kind = LT_LADDER_WORDS, .capital = CAPITAL };
	while (*text != '\0' && block->line_count < LT_LADDER_LINES &&
		(block->line_count == 0 ||
			(double)(block->line_count + 1) * line <= room - bed->dot)) {
		size_t length = lt_text_break(bed->measure, LT_TYPEFACE_REGULAR,
			text_size(bed->measure, CAPITAL), text, width);
		const char *copy = lt_arena_copy(&ladder->arena, text, length);
		block->lines[block->line_count++] = copy;
		block->width = fmax(block->width, text_width(bed->measure, CAPITAL, copy));
		text += length + strspn(text + length, " ");
	}
	block->height = (double)block->line_count * line;
	return text;
}

static bool add_words(struct lt_ladder *ladder, struct bed *bed, const char *text)
{
	struct lt_ladder_block block;
	double width = fmin(bed->zone.width - 2 * bed->inset, WORDS_MOST);
	/* A strip has them in one piece. */
	if (bed->endless) {
		width = WORDS_LEAST;
		while (*fill_words(ladder, &block, bed, text, width) != '\0' &&
			width < bed->end - 2 * bed->inset - WORDS_LEAST / 5)
			width += WORDS_LEAST / 5;
	}
	while (*text != '\0') {
		text = fill_words(ladder, &block, bed, text, width);
		if (!add(ladder, bed, &block))
			return false;
	}
	return true;
}

static bool add_write(struct lt_ladder *ladder, struct bed *bed)
{
	struct lt_ladder_block block = {
		.kind = LT_LADDER_WRITE, .capital = CAPITAL, .line_count = 1
	};
	block.lines[0] = lt_ladder_words.dots;
	block.width = RULE_LENGTH + 1 + text_width(bed->measure, CAPITAL, block.lines[0]);
	block.height = HAND;
	return add(ladder, bed, &block);
}

/* "7-8", or "8" alone. */
static const char *range_of(struct lt_arena *arena, unsigned from, unsigned to)
{
	if (from == to)
		return lt_arena_printf(arena, "%u", from);
	return lt_arena_printf(arena, "%u-%u", from, to);
}

static bool lay(struct lt_ladder *ladder, struct bed *bed, double dpi, struct lt_diags *diags)
{
	/* A sheet has room to begin a row with what is of another kind; labels are not to be
	 * wasted. */
	bool sheet = bed->layout->medium == LT_MEDIUM_SHEET;
	unsigned most = LT_LADDER_MOST + 1;
	unsigned highest = LT_LADDER_HIGHEST + 1;
	struct lt_text scan = { 0 };
	lt_words_ladder_scan(&scan, dpi);
	bool good = add_words(ladder, bed, lt_arena_text(&ladder->arena, &scan));
	if (sheet)
		begin_row(bed);
	for (unsigned dots = LT_LADDER_MOST; dots >= LT_LADDER_LEAST; dots--) {
		if (!add_code(ladder, bed, dots))
			most = dots;
	}
	if (sheet)
		begin_row(bed);
	good = good && add_words(ladder, bed, lt_ladder_words.smallest) && add_write(ladder, bed);
	if (sheet)
		begin_row(bed);
	for (unsigned mm = LT_LADDER_HIGHEST; mm >= LT_LADDER_LOWEST; mm--) {
		if (!add_height(ladder, bed, mm))
			highest = mm;
	}
	if (!good || most <= LT_LADDER_LEAST) {
		lt_error(diags, lt_place_none(),
			"the ladder has no room on layout %s (%.4g x %.4g mm)", bed->layout->name,
			bed->zone.width, bed->zone.height);
		lt_hint(diags, "print the ladder on larger labels: it tests the printer, not the "
			       "labels");
		return false;
	}
	if (most <= LT_LADDER_MOST)
		lt_note(diags, lt_place_none(),
			"the ladder has no codes of %s dots a module: layout %s has no room for them",
			range_of(&ladder->arena, most, LT_LADDER_MOST), bed->layout->name);
	if (highest <= LT_LADDER_HIGHEST)
		lt_note(diags, lt_place_none(),
			"the ladder has no texts of %s mm: layout %s has no room for them",
			range_of(&ladder->arena, highest, LT_LADDER_HIGHEST), bed->layout->name);
	return true;
}

static void size_pages(struct lt_ladder *ladder, const struct bed *bed)
{
	const struct lt_layout *layout = bed->layout;
	bool sheet = layout->medium == LT_MEDIUM_SHEET;
	ladder->pages = bed->page + 1;
	ladder->width = sheet ? layout->page_width : layout->label_width;
	ladder->height = sheet ? layout->page_height : layout->label_height;
	if (!bed->endless)
		return;
	double end = bed->farthest + bed->inset;
	ladder->width = fmax(layout->shortest, ceil(end / TAPE_STEP - HAIR) * TAPE_STEP);
}

bool lt_ladder_plan(struct lt_ladder *out, const struct lt_layout *layout, double dpi,
	double longest, const struct lt_measure *measure, struct lt_diags *diags)
{
	enum { BLOCKS_MOST = 200 };
	struct bed bed;
	*out = (struct lt_ladder){ 0 };
	make_bed(&bed, layout, dpi, longest, measure);
	out->dot = bed.dot;
	out->blocks = lt_arena_array(&out->arena, BLOCKS_MOST, sizeof(*out->blocks));
	bool good = lay(out, &bed, dpi, diags);
	size_pages(out, &bed);
	return good;
}

void lt_ladder_finish(struct lt_ladder *ladder)
{
	if (ladder == NULL)
		return;
	lt_arena_finish(&ladder->arena);
	*ladder = (struct lt_ladder){ 0 };
}

struct pen {
	struct lt_canvas *canvas;
	const struct lt_ladder *ladder;
	const struct lt_measure *measure;
};

/* The block's lines under each other, from `y` on. */
static void draw_lines(const struct pen *pen, const struct lt_ladder_block *block, double x,
	double y)
{
	double size = text_size(pen->measure, block->capital);
	for (size_t i = 0; i < block->line_count; i++) {
		double top = y + (double)i * line_height(pen->measure, block->capital);
		lt_text_draw(pen->canvas, pen->measure, x, top, LT_TYPEFACE_REGULAR, size,
			block->lines[i]);
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
	bool good = lt_qr_plan(&plan, text, LT_QR_M) && plan.modules == MODULES &&
		    lt_qr_encode(&qr, &arena, text, &plan, diags);
	if (good) {
		double dot = pen->ladder->dot;
		double module = block->dots * dot;
		double quiet = LT_QR_QUIET * module;
		double symbol = MODULES * module + 2 * quiet;
		/* On whole dots, as the block is. */
		double down = round((block->height - symbol) / 2 / dot) * dot;
		pen->canvas->qr(pen->canvas->data, block->x + quiet, block->y + down + quiet,
			module, &qr);
		double caption = 2 * line_height(pen->measure, block->capital);
		draw_lines(pen, block, block->x + symbol, block->y + (block->height - caption) / 2);
	}
	lt_arena_finish(&arena);
	return good;
}

static void draw_write(const struct pen *pen, const struct lt_ladder_block *block)
{
	double below = block->y + block->height - RULE / 2;
	pen->canvas->line(pen->canvas->data, block->x, below, block->x + RULE_LENGTH, below, RULE,
		LT_BLACK);
	draw_lines(pen, block, block->x + RULE_LENGTH + 1,
		block->y + block->height - line_height(pen->measure, block->capital));
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
