/* A table from texts to indices. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/base.h"

/* Open addressing, a power of two of slots, at most half of them taken. */
struct lt_hash_slot {
	const char *key; /* NULL: free */
	uint64_t code;
	size_t value;
};

#define FIRST_ROOM 16

void lt_hash_finish(struct lt_hash *hash)
{
	if (!hash)
		return;
	free(hash->slots);
	*hash = (struct lt_hash){ 0 };
}

/* FNV-1a, with its high bits folded in, since only the low ones choose the slot. */
static uint64_t code_of(const char *key)
{
	uint64_t code = 14695981039346656037u;
	for (; *key; key++)
		code = (code ^ (unsigned char)*key) * 1099511628211u;
	return code ^ (code >> 32);
}

/* The slot that holds the key, or the free one where it belongs. */
static struct lt_hash_slot *slot_of(const struct lt_hash *hash, const char *key, uint64_t code)
{
	size_t mask = hash->room - 1;
	size_t at = (size_t)code & mask;
	while (hash->slots[at].key &&
		(hash->slots[at].code != code || strcmp(hash->slots[at].key, key) != 0))
		at = (at + 1) & mask;
	return &hash->slots[at];
}

static void make_room(struct lt_hash *hash)
{
	if (hash->count < hash->room / 2)
		return;
	struct lt_hash old = *hash;
	hash->room = old.room ? old.room * 2 : FIRST_ROOM;
	hash->slots = lt_alloc_array(hash->room, sizeof *hash->slots);
	for (size_t i = 0; i < old.room; i++)
		if (old.slots[i].key)
			*slot_of(hash, old.slots[i].key, old.slots[i].code) = old.slots[i];
	free(old.slots);
}

size_t lt_hash_put(struct lt_hash *hash, const char *key, size_t value)
{
	make_room(hash);
	uint64_t code = code_of(key);
	struct lt_hash_slot *slot = slot_of(hash, key, code);
	if (slot->key)
		return slot->value;
	*slot = (struct lt_hash_slot){ key, code, value };
	hash->count++;
	return LT_HASH_NONE;
}

void lt_hash_set(struct lt_hash *hash, const char *key, size_t value)
{
	if (lt_hash_put(hash, key, value) != LT_HASH_NONE)
		slot_of(hash, key, code_of(key))->value = value;
}

size_t lt_hash_get(const struct lt_hash *hash, const char *key)
{
	if (!hash->count)
		return LT_HASH_NONE;
	const struct lt_hash_slot *slot = slot_of(hash, key, code_of(key));
	return slot->key ? slot->value : LT_HASH_NONE;
}
