/* Page flow: filling blocks, deciding which page each is on and where, and drawing them. */
#include <stdlib.h>
#include <string.h>

#include "page/marks.h"

/* Sums of widths are compared with a width they may equal. */
#define HAIR 1e-6

void lt_flow_init(struct lt_flow *flow, const struct lt_measure *measure, double page_width,
	double page_height, double margin, double head)
{
	*flow = (struct lt_flow){ .measure = measure,
		.page_width = page_width,
		.page_height = page_height,
		.margin = margin,
		.head = head };
	lt_arena_init(&flow->arena);
}

void lt_flow_finish(struct lt_flow *flow)
{
	if (flow == NULL)
		return;
	lt_arena_finish(&flow->arena);
	free(flow->items);
	free(flow->blocks);
	free(flow->placed);
	free(flow->pages);
	*flow = (struct lt_flow){ 0 };
}

double lt_flow_width(const struct lt_flow *flow)
{
	return flow->page_width - 2 * flow->margin;
}

double lt_flow_height(const struct lt_flow *flow)
{
	return flow->page_height - 2 * flow->margin - flow->head - flow->foot;
}

void lt_flow_begin(struct lt_flow *flow, struct lt_flow_options options)
{
	flow->blocks = lt_grow(flow->blocks, &flow->block_room, flow->block_count + 1,
		sizeof *flow->blocks);
	flow->blocks[flow->block_count] =
		(struct lt_flow_block){ .options = options, .first = flow->item_count };
}

void lt_flow_end(struct lt_flow *flow, double least)
{
	struct lt_flow_block *block = &flow->blocks[flow->block_count++];
	block->count = flow->item_count - block->first;
	block->height = least;
	for (size_t i = block->first; i < flow->item_count; i++) {
		double bottom = flow->items[i].y + flow->items[i].height;
		if (bottom > block->height)
			block->height = bottom;
	}
}

static void add(struct lt_flow *flow, struct lt_flow_item item)
{
	flow->items =
		lt_grow(flow->items, &flow->item_room, flow->item_count + 1, sizeof *flow->items);
	flow->items[flow->item_count++] = item;
}

void lt_flow_fill(struct lt_flow *flow, double x, double y, double width, double height, double ink)
{
	add(flow, (struct lt_flow_item){ LT_FLOW_FILL, .x = x, .y = y, .width = width,
			  .height = height, .ink = ink });
}

void lt_flow_frame(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink)
{
	add(flow, (struct lt_flow_item){ LT_FLOW_FRAME, .x = x, .y = y, .width = width,
			  .height = height, .line = line, .ink = ink });
}

void lt_flow_rule(struct lt_flow *flow, double x, double y, double width, double height,
	double line, double ink)
{
	add(flow, (struct lt_flow_item){ LT_FLOW_RULE, .x = x, .y = y, .width = width,
			  .height = height, .line = line, .ink = ink });
}

void lt_flow_swatch(struct lt_flow *flow, double x, double y, double width, double height,
	const struct lt_colour *colour)
{
	add(flow, (struct lt_flow_item){ LT_FLOW_SWATCH, .x = x, .y = y, .width = width,
			  .height = height, .colour = *colour });
}

double lt_flow_measure(const struct lt_flow *flow, const struct lt_type *type, const char *text)
{
	return lt_text_width(flow->measure, type->face, type->size, text);
}

static struct lt_typeface_heights heights(const struct lt_flow *flow, const struct lt_type *type)
{
	return flow->measure->heights(flow->measure->data, type->face);
}

double lt_flow_baseline(const struct lt_flow *flow, const struct lt_type *type)
{
	struct lt_typeface_heights h = heights(flow, type);
	return (type->leading - (h.ascent + h.descent) * type->size) / 2 + h.ascent * type->size;
}

double lt_flow_capital(const struct lt_flow *flow, const struct lt_type *type)
{
	return heights(flow, type).capital * type->size;
}

static double add_text(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *text, size_t length)
{
	if (length == 0)
		return 0;
	struct lt_typeface_heights h = heights(flow, type);
	struct lt_flow_item item = { .kind = LT_FLOW_TEXT,
		.text = lt_arena_copy(&flow->arena, text, length),
		.face = type->face,
		.size = type->size,
		.ink = type->ink,
		.x = x,
		.y = baseline - h.ascent * type->size,
		.baseline = h.ascent * type->size,
		.height = (h.ascent + h.descent) * type->size };
	item.width = lt_flow_measure(flow, type, item.text);
	add(flow, item);
	return item.width;
}

double lt_flow_line(struct lt_flow *flow, double x, double baseline, const struct lt_type *type,
	const char *text)
{
	return add_text(flow, x, baseline, type, text, strlen(text));
}

static double width_of(const struct lt_flow *flow, const struct lt_type *type, const char *text,
	size_t length)
{
	return type->size * flow->measure->width(flow->measure->data, type->face, text, length);
}

/* The longest beginning of a word that is at most `width` wide, of at least one character;
 * combining marks stay with their letter. */
static const char *break_word(const struct lt_flow *flow, const struct lt_type *type,
	const char *word, const char *end, double width)
{
	double used = 0;
	const char *at = word;
	while (at < end) {
		const char *next = at;
		lt_utf8_next(&next);
		used += width_of(flow, type, at, (size_t)(next - at));
		if (used > width + HAIR && at > word)
			return at;
		at = next;
	}
	return end;
}

static const char *past_spaces(const char *at)
{
	while (*at == ' ')
		at++;
	return at;
}

/* The end of the line that begins at `text`, which is not a space. */
static const char *line_end(const struct lt_flow *flow, const struct lt_type *type,
	const char *text, double width)
{
	double used = 0;
	double space = width_of(flow, type, " ", 1);
	const char *end = text;
	for (const char *word = text; *word != '\0';) {
		size_t length = strcspn(word, " ");
		double wide = width_of(flow, type, word, length);
		double gap = space * (double)(word - end);
		if (used + gap + wide > width + HAIR)
			return end > text ? end
					  : break_word(flow, type, word, word + length, width);
		used += gap + wide;
		end = word + length;
		word = past_spaces(end);
	}
	return end;
}

struct lt_flow_mark lt_flow_paragraph(struct lt_flow *flow, double x, double y, double width,
	const struct lt_type *type, const char *text)
{
	double below = lt_flow_baseline(flow, type);
	struct lt_flow_mark mark = { y, x, y + below };
	for (text = past_spaces(text); *text != '\0'; text = past_spaces(text)) {
		const char *end = line_end(flow, type, text, width);
		mark.baseline = mark.y + below;
		mark.x = x + add_text(flow, x, mark.baseline, type, text, (size_t)(end - text));
		mark.y += type->leading;
		text = end;
	}
	return mark;
}

/* Where the next block goes. */
struct cursor {
	struct lt_flow *flow;
	double y;   /* from the top of the body */
	bool empty; /* nothing on this page yet but what is repeated or must stay with the next */
	size_t repeat;     /* block shown again at a page's top, or LT_NONE */
	size_t under;      /* another that is shown again below it, or LT_NONE */
	const char *title; /* of pages begun from here on */
};

/* Puts one item on this page, its top at `y` in the body. */
static void place(const struct cursor *cursor, size_t item, double y)
{
	struct lt_flow *flow = cursor->flow;
	flow->placed = lt_grow(flow->placed, &flow->placed_room, flow->placed_count + 1,
		sizeof *flow->placed);
	flow->placed[flow->placed_count++] =
		(struct lt_flow_place){ .item = item, .page = flow->page_count - 1, .y = y };
}

static void place_block(struct cursor *cursor, const struct lt_flow_block *block)
{
	for (size_t i = block->first; i < block->first + block->count; i++)
		place(cursor, i, cursor->y + cursor->flow->items[i].y);
	cursor->y += block->height;
}

static void begin_page(struct cursor *cursor)
{
	struct lt_flow *flow = cursor->flow;
	flow->pages =
		lt_grow(flow->pages, &flow->page_room, flow->page_count + 1, sizeof *flow->pages);
	flow->pages[flow->page_count++] =
		(struct lt_flow_page){ cursor->title, flow->placed_count };
	cursor->y = 0;
	cursor->empty = true;
	if (cursor->repeat != LT_NONE)
		place_block(cursor, &flow->blocks[cursor->repeat]);
	if (cursor->under != LT_NONE)
		place_block(cursor, &flow->blocks[cursor->under]);
}

/* A part of a block that is broken: an item's box, and which item it is. */
struct piece {
	double top, bottom;
	size_t item;
};

static int by_top(const void *a, const void *b)
{
	const struct piece *first = a;
	const struct piece *second = b;
	if (first->top != second->top)
		return first->top < second->top ? -1 : 1;
	return first->item < second->item ? -1 : first->item > second->item;
}

/* The end of the pieces from `from` on that cannot be parted because each stands beside another,
 * and how far down they reach. */
static size_t band_end(const struct piece *pieces, size_t count, size_t from, double *bottom)
{
	size_t to = from + 1;
	*bottom = pieces[from].bottom;
	for (; to < count && pieces[to].top < *bottom - HAIR; to++)
		if (pieces[to].bottom > *bottom)
			*bottom = pieces[to].bottom;
	return to;
}

/* A block higher than a page goes on from page to page, broken where no item is cut. */
static void place_broken(struct cursor *cursor, const struct lt_flow_block *block)
{
	double room = lt_flow_height(cursor->flow);
	struct piece *pieces = lt_alloc_array(block->count, sizeof *pieces);
	for (size_t i = 0; i < block->count; i++) {
		const struct lt_flow_item *item = &cursor->flow->items[block->first + i];
		pieces[i] = (struct piece){ item->y, item->y + item->height, block->first + i };
	}
	qsort(pieces, block->count, sizeof *pieces, by_top);
	double top = 0; /* of what is on this page, in the block */
	for (size_t i = 0; i < block->count;) {
		double bottom;
		size_t end = band_end(pieces, block->count, i, &bottom);
		if (cursor->y + bottom - top > room + HAIR && !cursor->empty) {
			begin_page(cursor);
			top = pieces[i].top;
		}
		for (; i < end; i++)
			place(cursor, pieces[i].item, cursor->y + pieces[i].top - top);
		cursor->empty = false;
	}
	cursor->y += block->height - top;
	free(pieces);
}

/* By block: its height with that of what must stay with it. */
static double *heights_kept(const struct lt_flow *flow)
{
	double *kept = lt_alloc_array(flow->block_count, sizeof *kept);
	for (size_t i = flow->block_count; i-- > 0;) {
		const struct lt_flow_block *block = &flow->blocks[i];
		kept[i] = block->height;
		if (block->options.keep && i + 1 < flow->block_count)
			kept[i] += flow->blocks[i + 1].options.gap + kept[i + 1];
	}
	return kept;
}

static void lay_block(struct cursor *cursor, size_t index, double kept)
{
	const struct lt_flow_block *block = &cursor->flow->blocks[index];
	double room = lt_flow_height(cursor->flow);
	if (block->options.title != NULL)
		cursor->title = block->options.title;
	if (block->options.ends_repeat)
		cursor->repeat = LT_NONE;
	if (block->options.ends_repeat || block->options.under)
		cursor->under = LT_NONE;
	double gap = cursor->y > 0 ? block->options.gap : 0;
	bool overflows = cursor->y + gap + kept > room + HAIR;
	if (cursor->flow->page_count == 0 ||
		(!cursor->empty && (block->options.new_page || overflows))) {
		begin_page(cursor);
		gap = cursor->y > 0 ? block->options.gap : 0;
	}
	cursor->y += gap;
	if (cursor->y + block->height > room + HAIR)
		place_broken(cursor, block);
	else
		place_block(cursor, block);
	cursor->empty = cursor->empty && block->options.keep;
	if (block->options.repeats && block->options.under)
		cursor->under = index;
	else if (block->options.repeats)
		cursor->repeat = index;
}

void lt_flow_lay(struct lt_flow *flow)
{
	struct cursor cursor = { .flow = flow, .repeat = LT_NONE, .under = LT_NONE, .empty = true };
	flow->placed_count = 0;
	flow->page_count = 0;
	double *kept = heights_kept(flow);
	for (size_t i = 0; i < flow->block_count; i++)
		lay_block(&cursor, i, kept[i]);
	free(kept);
}

void lt_flow_draw_item(struct lt_canvas *canvas, const struct lt_flow_item *item, double left,
	double y)
{
	void *data = canvas->data;
	double x = left + item->x;
	struct lt_ink ink = LT_GREY(item->ink);
	switch (item->kind) {
	case LT_FLOW_TEXT:
		canvas->text(data, x, y + item->baseline, item->face, item->size, ink, item->text);
		break;
	case LT_FLOW_FILL:
		canvas->rectangle(data, x, y, item->width, item->height, ink);
		break;
	case LT_FLOW_FRAME:
		canvas->frame(data, x, y, item->width, item->height, item->line, ink);
		break;
	case LT_FLOW_RULE:
		canvas->line(data, x, y, x + item->width, y + item->height, item->line, ink);
		break;
	case LT_FLOW_SWATCH:
		lt_swatch_draw(canvas, x, y, item->width, item->height, &item->colour);
		break;
	}
}

/* The head's items are made, drawn and forgotten, a page at a time. */
static void draw_head(struct lt_flow *flow, struct lt_canvas *canvas, size_t page,
	lt_flow_head *head, void *data)
{
	size_t before = flow->item_count;
	head(flow, page + 1, flow->pages[page].title, data);
	for (size_t i = before; i < flow->item_count; i++)
		lt_flow_draw_item(canvas, &flow->items[i], flow->margin,
			flow->margin + flow->items[i].y);
	flow->item_count = before;
}

void lt_flow_draw_page(const struct lt_flow *flow, struct lt_canvas *canvas, size_t page,
	double left, double top)
{
	for (size_t i = page < flow->page_count ? flow->pages[page].first : flow->placed_count;
		i < flow->placed_count && flow->placed[i].page == page; i++)
		lt_flow_draw_item(canvas, &flow->items[flow->placed[i].item], left,
			top + flow->placed[i].y);
}

bool lt_flow_draw(struct lt_flow *flow, struct lt_canvas *canvas, lt_flow_head *head, void *data,
	struct lt_diags *diags)
{
	lt_flow_lay(flow);
	for (size_t page = 0; page < flow->page_count; page++) {
		canvas->begin_page(canvas->data, flow->page_width, flow->page_height);
		draw_head(flow, canvas, page, head, data);
		lt_flow_draw_page(flow, canvas, page, flow->margin, flow->margin + flow->head);
		if (!canvas->end_page(canvas->data, diags))
			return false;
	}
	return true;
}
