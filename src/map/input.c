/* What maps are made from: the order of numbers, which connectors the texts of hazards name, and
 * what is at which place. */
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/parts.h"

/* Dashes and quotes are beyond ASCII, so no character there is taken to go on with a word: a joint
 * marked in vain does less harm than one that is not. */
static bool is_word(char c)
{
	return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z');
}

static void add_folded(struct lt_text *out, const char *text)
{
	for (; text != NULL && *text != '\0'; text++)
		lt_text_add_char(out, (char)(*text >= 'A' && *text <= 'Z' ? *text + 32 : *text));
}

/* Connectors by their ids in small letters. Ids that differ in case alone follow each other. */
struct ids {
	struct lt_arena arena;
	struct lt_hash first;
	size_t *next;
	size_t longest;
};

static void gather_ids(struct ids *ids, const struct lt_harness *harness)
{
	struct lt_text folded = { 0 };
	ids->next = lt_alloc_array(harness->connector_count + 1, sizeof *ids->next);
	for (size_t i = 0; i < harness->connector_count; i++) {
		lt_text_clear(&folded);
		add_folded(&folded, harness->connectors[i].id);
		if (folded.length > ids->longest)
			ids->longest = folded.length;
		const char *id = lt_arena_strdup(&ids->arena, lt_text_string(&folded));
		ids->next[i] = lt_hash_get(&ids->first, id);
		lt_hash_set(&ids->first, id, i);
	}
	lt_text_finish(&folded);
}

static void note_id(bool *named, const struct ids *ids, const char *id)
{
	for (size_t i = lt_hash_get(&ids->first, id); i != LT_HASH_NONE; i = ids->next[i])
		named[i] = true;
}

/* Looks up all that begins and ends as a word does; an id may have signs in it. */
static void note_words(bool *named, const struct ids *ids, const char *text)
{
	char *piece = lt_alloc(ids->longest + 1);
	size_t all = strlen(text);
	for (size_t start = 0; start < all; start++) {
		if (is_word(text[start]) && start > 0 && is_word(text[start - 1]))
			continue;
		for (size_t length = 1; length <= ids->longest && start + length <= all; length++) {
			const char *end = &text[start + length];
			if (is_word(end[-1]) && is_word(*end))
				continue;
			memcpy(piece, &text[start], length);
			piece[length] = '\0';
			note_id(named, ids, piece);
		}
	}
	free(piece);
}

static bool *find_dangers(struct lt_arena *arena, const struct lt_harness *harness)
{
	bool *named = lt_arena_array(arena, harness->connector_count + 1, sizeof *named);
	struct ids ids = { .longest = 0 };
	struct lt_text text = { 0 };
	if (harness->hazard_count > 0)
		gather_ids(&ids, harness);
	for (size_t i = 0; i < harness->hazard_count; i++) {
		const struct lt_hazard *hazard = &harness->hazards[i];
		const char *const texts[] = { hazard->energy, hazard->harm, hazard->isolate,
			hazard->release, hazard->prove, hazard->restore };
		for (size_t j = 0; j < sizeof texts / sizeof *texts; j++) {
			lt_text_clear(&text);
			add_folded(&text, texts[j]);
			note_words(named, &ids, lt_text_string(&text));
		}
	}
	lt_text_finish(&text);
	free(ids.next);
	lt_hash_finish(&ids.first);
	lt_arena_finish(&ids.arena);
	return named;
}

void lt_map_input_init(struct lt_map_input *out, struct lt_arena *arena, const struct lt_tags *tags,
	const struct lt_lookalikes *lookalikes, const struct lt_measure *measure)
{
	const size_t count = tags->harness->connector_count;
	size_t *order = lt_arena_array(arena, count + 1, sizeof *order), at = 0;
	size_t *rank = lt_arena_array(arena, count + 1, sizeof *rank);
	for (unsigned number = 1; number <= tags->number_max; number++)
		if (tags->connector_of[number] != LT_NONE)
			order[at++] = tags->connector_of[number];
	for (size_t i = 0; i < count; i++)
		if (tags->number_of[i] == 0)
			order[at++] = i;
	for (size_t i = 0; i < count; i++)
		rank[order[i]] = i;
	*out = (struct lt_map_input){
		.tags = tags,
		.lookalikes = lookalikes,
		.measure = measure,
		.wiring = lt_harness_wiring(arena, tags->harness),
		.dangers = find_dangers(arena, tags->harness),
		.order = order,
		.rank = rank,
	};
}

static int compare_spots(const void *one, const void *other)
{
	const struct lt_map_spot *a = one, *b = other;
	int places = lt_place_compare(a->place, b->place);
	if (places != 0)
		return places;
	if (a->rank != b->rank)
		return a->rank < b->rank ? -1 : 1;
	/* The connector first, then its component. */
	if (a->rank != LT_NONE)
		return a->component == LT_NONE ? -1 : 1;
	return a->component < b->component ? -1 : 1;
}

struct lt_map_spot *lt_map_spots(size_t *count, const struct lt_harness *harness,
	const size_t *rank)
{
	const size_t most = 2 * harness->connector_count + harness->component_count;
	struct lt_map_spot *spots = lt_alloc_array(most + 1, sizeof *spots);
	bool *joined = lt_alloc_array(harness->component_count + 1, sizeof *joined);
	memset(joined, 0, harness->component_count * sizeof *joined);
	*count = 0;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const char *here = harness->connectors[i].where, *there = NULL;
		size_t component = harness->connectors[i].component;
		if (component != LT_NONE) {
			joined[component] = true;
			there = harness->components[component].where;
		}
		if (here != NULL || there == NULL)
			spots[(*count)++] = (struct lt_map_spot){ here, i, LT_NONE, rank[i] };
		if (there != NULL)
			spots[(*count)++] = (struct lt_map_spot){ there, i, component, rank[i] };
	}
	for (size_t i = 0; i < harness->component_count; i++)
		if (!joined[i])
			spots[(*count)++] = (struct lt_map_spot){ harness->components[i].where,
				LT_NONE, i, LT_NONE };
	free(joined);
	qsort(spots, *count, sizeof *spots, compare_spots);
	return spots;
}

const char *lt_map_keep(struct lt_arena *arena, struct lt_text *text)
{
	const char *kept = text->length > 0 ? lt_arena_strdup(arena, lt_text_string(text)) : NULL;
	lt_text_finish(text);
	return kept;
}
