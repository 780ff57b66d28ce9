/* Page flow: which page each block is on, and where. */
#include <stdlib.h>

#include "loomtag/page.h"

#define HAIR 1e-6
#define NO_BLOCK ((size_t)-1)

/* Where the next block goes. */
struct cursor {
	struct lt_flow *flow;
	double y;   /* from the top of the body */
	bool fresh; /* nothing on this page yet but what is repeated or must stay with the next */
	size_t repeat;     /* block shown again at a page's top, or NO_BLOCK */
	size_t under;      /* another that is shown again below it, or NO_BLOCK */
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
	flow->titles =
		lt_grow(flow->titles, &flow->page_room, flow->page_count + 1, sizeof *flow->titles);
	flow->titles[flow->page_count++] = cursor->title;
	cursor->y = 0;
	cursor->fresh = true;
	if (cursor->repeat != NO_BLOCK)
		place_block(cursor, &flow->blocks[cursor->repeat]);
	if (cursor->under != NO_BLOCK)
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
		if (cursor->y + bottom - top > room + HAIR && !cursor->fresh) {
			begin_page(cursor);
			top = pieces[i].top;
		}
		for (; i < end; i++)
			place(cursor, pieces[i].item, cursor->y + pieces[i].top - top);
		cursor->fresh = false;
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
		cursor->repeat = NO_BLOCK;
	if (block->options.ends_repeat || block->options.under)
		cursor->under = NO_BLOCK;
	double gap = cursor->y > 0 ? block->options.gap : 0;
	bool overflows = cursor->y + gap + kept > room + HAIR;
	if (cursor->flow->page_count == 0 ||
		(!cursor->fresh && (block->options.new_page || overflows))) {
		begin_page(cursor);
		gap = cursor->y > 0 ? block->options.gap : 0;
	}
	cursor->y += gap;
	if (cursor->y + block->height > room + HAIR)
		place_broken(cursor, block);
	else
		place_block(cursor, block);
	cursor->fresh = cursor->fresh && block->options.keep;
	if (block->options.repeats && block->options.under)
		cursor->under = index;
	else if (block->options.repeats)
		cursor->repeat = index;
}

void lt_flow_lay(struct lt_flow *flow)
{
	struct cursor cursor = {
		.flow = flow, .repeat = NO_BLOCK, .under = NO_BLOCK, .fresh = true
	};
	flow->placed_count = 0;
	flow->page_count = 0;
	double *kept = heights_kept(flow);
	for (size_t i = 0; i < flow->block_count; i++)
		lay_block(&cursor, i, kept[i]);
	free(kept);
}
