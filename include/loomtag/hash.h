/* A table from strings to numbers, for looking ids up in constant time. */
#ifndef LOOMTAG_HASH_H
#define LOOMTAG_HASH_H

#include <stdbool.h>
#include <stddef.h>

#define LT_HASH_NONE ((size_t)-1) /* the same as LT_NONE */

struct lt_hash_slot;

/* Keys are not copied: they must outlive the table. A zeroed struct is an empty table. */
struct lt_hash {
	struct lt_hash_slot *slots;
	size_t room;
	size_t count;
};

void lt_hash_init(struct lt_hash *hash);

/* Frees the table; takes NULL or a zeroed struct. */
void lt_hash_finish(struct lt_hash *hash);

/* Enters a key that is not there yet. Gives LT_HASH_NONE when it was entered; else the value that
 * the key has already, which stays. `value` is anything but LT_HASH_NONE. */
size_t lt_hash_put(struct lt_hash *hash, const char *key, size_t value);

/* Enters a key, or gives the key that is there another value. */
void lt_hash_set(struct lt_hash *hash, const char *key, size_t value);

/* The value of a key, or LT_HASH_NONE. */
size_t lt_hash_get(const struct lt_hash *hash, const char *key);

#endif
