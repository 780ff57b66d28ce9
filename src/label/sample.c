/* A made-up harness to try layouts with. */
#include <string.h>

#include "loomtag/label.h"

void lt_sample_init(struct lt_sample *out, const char *description)
{
	static const unsigned numbers[] = { 12, 15 };
	const struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	*out = (struct lt_sample){ 0 };
	lt_harness_read(&out->harness, "sample", description, strlen(description), &options,
		&out->diags);
	out->lookalikes = lt_lookalikes_create(&out->harness);
	lt_register_init(&out->reg);
	for (size_t i = 0; i < 2 && i < out->harness.connector_count; i++)
		lt_register_add(&out->reg, numbers[i], out->harness.connectors[i].id);
	lt_tags_assign(&out->tags, &out->harness, out->lookalikes, &out->reg, &out->diags);
}

void lt_sample_finish(struct lt_sample *sample)
{
	lt_tags_finish(&sample->tags);
	lt_register_finish(&sample->reg);
	lt_lookalikes_destroy(sample->lookalikes);
	lt_harness_finish(&sample->harness);
	lt_diags_finish(&sample->diags);
}

bool lt_sample_place(struct lt_sticker *out, struct lt_arena *arena, const struct lt_sample *sample,
	const struct lt_layout *layout, const struct lt_sticker_options *options,
	const struct lt_measure *measure)
{
	const struct lt_sticker_source source = { &sample->tags, sample->lookalikes, measure };
	struct lt_diags unheard = { 0 };
	bool placed = lt_sticker_place(out, arena, layout, &source,
		(struct lt_sticker_id){ .side = LT_SIDE_H }, options, &unheard);
	lt_diags_finish(&unheard);
	return placed;
}
