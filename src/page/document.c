/* Documents: filling their blocks. */
#include <stdlib.h>

#include "loomtag/page.h"

void lt_document_init(struct lt_document *document, const struct lt_document_style *style)
{
	*document = (struct lt_document){ .style = style };
	lt_arena_init(&document->arena);
}

void lt_document_finish(struct lt_document *document)
{
	lt_arena_finish(&document->arena);
	free(document->blocks);
	free(document->items);
	*document = (struct lt_document){ 0 };
}

struct lt_block *lt_document_add(struct lt_document *document, enum lt_block_kind kind,
	const char *text)
{
	document->blocks = lt_grow(document->blocks, &document->room, document->count + 1,
		sizeof *document->blocks);
	struct lt_block *block = &document->blocks[document->count++];
	*block = (struct lt_block){ .kind = kind,
		.text = lt_arena_shown(&document->arena, text),
		.first = document->item_count };
	return block;
}

struct lt_block_item *lt_document_item(struct lt_document *document, enum lt_item_kind kind,
	const char *label, const char *text)
{
	document->items = lt_grow(document->items, &document->item_room, document->item_count + 1,
		sizeof *document->items);
	struct lt_block_item *item = &document->items[document->item_count++];
	*item = (struct lt_block_item){
		.kind = kind, .label = label, .text = lt_arena_shown(&document->arena, text)
	};
	document->blocks[document->count - 1].count++;
	return item;
}
