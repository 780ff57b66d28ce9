/* Memory: an arena for everything that lives as long as one document, and growable arrays.
 *
 * Running out of memory is not an error that a caller can do anything about: it ends the program
 * with one line on stderr and exit code 4. Output is renamed into place only when it is whole, so
 * nothing half-written is left under its final name.
 */
#ifndef LOOMTAG_MEMORY_H
#define LOOMTAG_MEMORY_H

#include <stddef.h>

struct lt_arena_block;

/* Allocations that are freed all at once. A zeroed struct is an empty arena. */
struct lt_arena {
	struct lt_arena_block *blocks;
};

void lt_arena_init(struct lt_arena *arena);

/* Frees everything allocated from the arena; takes NULL or a zeroed struct. */
void lt_arena_finish(struct lt_arena *arena);

/* Zeroed memory, aligned for any type, owned by the arena. Never NULL. */
void *lt_arena_alloc(struct lt_arena *arena, size_t size);

/* `count` zeroed elements of `size` bytes; an overflowing product counts as out of memory. */
void *lt_arena_array(struct lt_arena *arena, size_t count, size_t size);

/* A copy of `length` bytes with a NUL behind them, owned by the arena. */
char *lt_arena_copy(struct lt_arena *arena, const char *bytes, size_t length);

/* A copy of a string, owned by the arena. */
char *lt_arena_strdup(struct lt_arena *arena, const char *text);

/* A formatted string, owned by the arena. */
char *lt_arena_printf(struct lt_arena *arena, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* malloc, calloc and realloc that never return NULL; the caller frees. */
void *lt_alloc(size_t size);
void *lt_alloc_array(size_t count, size_t size);
void *lt_realloc_array(void *old, size_t count, size_t size);

/* Makes room for at least `need` elements of `size` bytes in the heap array `items`, which now
 * has room for `*room`; doubles, so that appending is linear. Returns the array, never NULL. */
void *lt_grow(void *items, size_t *room, size_t need, size_t size);

#endif
