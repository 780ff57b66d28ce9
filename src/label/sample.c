/* A made-up harness to try layouts with. */
#include <string.h>

#include "loomtag/label.h"

bool lt_sample_place(struct lt_sticker *out, struct lt_arena *arena, const char *description,
	const struct lt_layout *layout, const struct lt_sticker_options *options,
	const struct lt_measure *measure)
{
	static const unsigned numbers[] = { 12, 15 };
	const struct lt_harness_options reading = LT_HARNESS_OPTIONS_INIT;
	const struct lt_sticker_id id = { .side = LT_SIDE_H };
	struct lt_diags ignored = { 0 };
	struct lt_harness harness;
	struct lt_register reg;
	struct lt_tags tags;
	lt_harness_read(&harness, "sample", description, strlen(description), &reading, &ignored);
	struct lt_lookalikes *lookalikes = lt_lookalikes_create(&harness);
	lt_register_init(&reg);
	for (size_t i = 0; i < 2 && i < harness.connector_count; i++)
		lt_register_add(&reg, numbers[i], harness.connectors[i].id);
	lt_tags_assign(&tags, &harness, lookalikes, &reg, &ignored);
	const struct lt_sticker_source source = { &tags, lookalikes, measure };
	bool placed = lt_sticker_place(out, arena, layout, &source, id, options, &ignored);
	lt_tags_finish(&tags);
	lt_register_finish(&reg);
	lt_lookalikes_destroy(lookalikes);
	lt_harness_finish(&harness);
	lt_diags_finish(&ignored);
	return placed;
}
