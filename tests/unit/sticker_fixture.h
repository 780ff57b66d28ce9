/* Stickers placed with the real fonts, for tests. */
#ifndef LOOMTAG_TESTS_STICKER_FIXTURE_H
#define LOOMTAG_TESTS_STICKER_FIXTURE_H

#include <stdio.h>

#include "fixture.h"
#include "loomtag/draw.h"

#define SLACK 1e-6
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static struct lt_fonts *fonts;
static struct lt_measure measure;
/* By connector; NULL where none is known. */
static const struct lt_bundle *bundles;

static inline int open_fonts(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	if (fonts == NULL)
		return 1;
	measure = lt_fonts_measure(fonts);
	return 0;
}

static inline int close_fonts(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

static inline bool place_as(struct lt_sticker *sticker, struct lt_arena *arena,
	const struct fixture *fixture, const struct lt_layout *layout, struct lt_sticker_id id,
	const struct lt_sticker_options *options, struct lt_diags *diags)
{
	const struct lt_sticker_source source = { &fixture->tags, fixture->lookalikes, &measure };
	return lt_sticker_place(sticker, arena, layout, &source, id, options, diags);
}

static inline bool place(struct lt_sticker *sticker, struct lt_arena *arena,
	const struct fixture *fixture, const struct lt_layout *layout, size_t connector,
	enum lt_side side, enum lt_payload payload, bool over_m, struct lt_diags *diags)
{
	struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
	options.payload = payload;
	options.bundles = bundles;
	const struct lt_sticker_id id = { connector, side, over_m };
	return place_as(sticker, arena, fixture, layout, id, &options, diags);
}

/* Places a sticker that must find its place. */
static inline void place_well(struct lt_sticker *sticker, struct lt_arena *arena,
	const struct fixture *fixture, const struct lt_layout *layout, size_t connector,
	enum lt_side side)
{
	struct lt_diags diags = { 0 };
	assert_true(place(sticker, arena, fixture, layout, connector, side, LT_PAYLOAD_AUTO, false,
		&diags));
	assert_int_equal(diags.count, 0);
	lt_diags_finish(&diags);
}

static inline const struct lt_box *box_of(const struct lt_sticker *sticker, enum lt_box_role role)
{
	for (size_t i = 0; i < sticker->box_count; i++) {
		if (sticker->boxes[i].role == role)
			return &sticker->boxes[i];
	}
	return NULL;
}

static inline double capital_of(const struct lt_box *box)
{
	return box->size * measure.heights(measure.data, box->face).capital;
}

#endif
