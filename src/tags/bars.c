/* Numbers barred to scopes: for each a step to a number further on, in one hash table for all
 * scopes. Following the steps shortens them (as in a union-find forest). */
#include <stdlib.h>

#include "tags/numbering.h"

struct bar {
	uint64_t key; /* 0: an empty slot */
	unsigned next;
};

struct lt_bars {
	struct bar *slots;
	size_t room; /* a power of two */
	size_t count;
};

static uint64_t key_of(size_t scope, unsigned number)
{
	return (uint64_t)scope << 32 | number; /* never 0: numbers count from 1 */
}

/* The slot of a key, or the empty one where it would go. */
static struct bar *slot_of(const struct lt_bars *bars, uint64_t key)
{
	uint64_t mixed = key * UINT64_C(0x9E3779B97F4A7C15);
	size_t at = (size_t)(mixed >> 32) & (bars->room - 1);
	while (bars->slots[at].key != 0 && bars->slots[at].key != key)
		at = (at + 1) & (bars->room - 1);
	return &bars->slots[at];
}

struct lt_bars *lt_bars_create(void)
{
	struct lt_bars *bars = lt_alloc(sizeof *bars);
	bars->room = 1024;
	bars->slots = lt_alloc_array(bars->room, sizeof *bars->slots);
	return bars;
}

void lt_bars_destroy(struct lt_bars *bars)
{
	if (bars == NULL)
		return;
	free(bars->slots);
	free(bars);
}

static void grow(struct lt_bars *bars)
{
	struct lt_bars larger = { .room = bars->room * 2, .count = bars->count };
	larger.slots = lt_alloc_array(larger.room, sizeof *larger.slots);
	for (size_t i = 0; i < bars->room; i++)
		if (bars->slots[i].key != 0)
			*slot_of(&larger, bars->slots[i].key) = bars->slots[i];
	free(bars->slots);
	*bars = larger;
}

void lt_bars_add(struct lt_bars *bars, size_t scope, unsigned number, unsigned next)
{
	if (bars->count >= bars->room / 2)
		grow(bars);
	uint64_t key = key_of(scope, number);
	struct bar *slot = slot_of(bars, key);
	if (slot->key == 0) {
		*slot = (struct bar){ key, next };
		bars->count++;
	}
}

unsigned lt_bars_pass(struct lt_bars *bars, size_t scope, unsigned number)
{
	unsigned end = number;
	const struct bar *slot;
	while ((slot = slot_of(bars, key_of(scope, end)))->key != 0)
		end = slot->next;
	while (number != end) {
		struct bar *step = slot_of(bars, key_of(scope, number));
		number = step->next;
		step->next = end;
	}
	return end;
}
