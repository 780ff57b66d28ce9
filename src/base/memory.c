/* Memory: allocation that ends the program when memory runs out, and arenas. */
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"

enum { BLOCK_SIZE = 16 * 1024 };

struct lt_arena_block {
	struct lt_arena_block *next;
	size_t used;
	size_t size;
	max_align_t bytes[];
};

static void out_of_memory(void)
{
	fputs("loomtag: error: out of memory\n", stderr);
	exit(4);
}

void *lt_alloc_array(size_t count, size_t size)
{
	void *memory = calloc(count > 0 ? count : 1, size > 0 ? size : 1);
	if (memory == NULL)
		out_of_memory();
	return memory;
}

void *lt_alloc(size_t size)
{
	return lt_alloc_array(size, 1);
}

void *lt_grow(void *items, size_t *room, size_t need, size_t size)
{
	if (need <= *room)
		return items;
	size_t more = *room < 8 ? 8 : *room;
	while (more < need) {
		if (more > SIZE_MAX / 2)
			out_of_memory();
		more *= 2;
	}
	if (size > 0 && more > SIZE_MAX / size)
		out_of_memory();
	items = realloc(items, size > 0 ? more * size : 1);
	if (items == NULL)
		out_of_memory();
	*room = more;
	return items;
}

void lt_arena_init(struct lt_arena *arena)
{
	arena->blocks = NULL;
}

void lt_arena_finish(struct lt_arena *arena)
{
	if (arena == NULL)
		return;
	struct lt_arena_block *block = arena->blocks;
	while (block != NULL) {
		struct lt_arena_block *next = block->next;
		free(block);
		block = next;
	}
	arena->blocks = NULL;
}

void *lt_arena_alloc(struct lt_arena *arena, size_t size)
{
	size_t unit = sizeof(max_align_t);
	if (size > SIZE_MAX / 2)
		out_of_memory();
	size = (size + unit - 1) / unit * unit;
	struct lt_arena_block *block = arena->blocks;
	if (block == NULL || block->size - block->used < size) {
		size_t room = size > BLOCK_SIZE ? size : BLOCK_SIZE;
		struct lt_arena_block *added = lt_alloc(sizeof(*added) + room);
		added->size = room;
		if (block != NULL && size > BLOCK_SIZE / 2) {
			/* A large one goes behind, so that the room left in front is still used. */
			added->used = size;
			added->next = block->next;
			block->next = added;
			return added->bytes;
		}
		added->next = block;
		arena->blocks = block = added;
	}
	void *memory = (char *)block->bytes + block->used;
	block->used += size;
	return memory;
}

void *lt_arena_array(struct lt_arena *arena, size_t count, size_t size)
{
	if (size > 0 && count > SIZE_MAX / size)
		out_of_memory();
	return lt_arena_alloc(arena, count * size);
}

char *lt_arena_copy(struct lt_arena *arena, const char *bytes, size_t length)
{
	char *copy = lt_arena_alloc(arena, length + 1);
	if (length > 0)
		memcpy(copy, bytes, length);
	copy[length] = '\0';
	return copy;
}

char *lt_arena_strdup(struct lt_arena *arena, const char *text)
{
	return lt_arena_copy(arena, text, strlen(text));
}

char *lt_arena_printf(struct lt_arena *arena, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	va_list again;
	va_copy(again, arguments);
	int length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	char *text = lt_arena_alloc(arena, (length > 0 ? (size_t)length : 0) + 1);
	if (length > 0)
		vsnprintf(text, (size_t)length + 1, format, again);
	va_end(again);
	return text;
}
