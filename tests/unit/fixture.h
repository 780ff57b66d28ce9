/* A harness, numbered and ready for stickers, as the tests of labels want it. */
#ifndef LOOMTAG_TESTS_FIXTURE_H
#define LOOMTAG_TESTS_FIXTURE_H

#include <stdio.h>
#include <string.h>

#include "label/layout.h"

struct fixture {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
};

/* Reads a description and numbers it: from 1, or by `numbers`, which ends with 0. */
static inline void fixture_init(struct fixture *fixture, const char *description,
	const unsigned *numbers)
{
	*fixture = (struct fixture){ 0 };
	const struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	bool ok = lt_harness_read(&fixture->harness, "fixture.yaml", description,
		strlen(description), &options, &fixture->diags);
	if (!ok)
		lt_diags_print(&fixture->diags, 0, stderr, false);
	assert_true(ok);
	fixture->lookalikes = lt_lookalikes_create(&fixture->harness);
	lt_register_init(&fixture->reg);
	for (size_t i = 0; numbers != NULL && numbers[i] != 0; i++)
		lt_register_add(&fixture->reg, numbers[i], fixture->harness.connectors[i].id);
	assert_true(lt_tags_assign(&fixture->tags, &fixture->harness, fixture->lookalikes,
		&fixture->reg, &fixture->diags));
}

static inline void fixture_finish(struct fixture *fixture)
{
	lt_tags_finish(&fixture->tags);
	lt_register_finish(&fixture->reg);
	lt_lookalikes_destroy(fixture->lookalikes);
	lt_harness_finish(&fixture->harness);
	lt_diags_finish(&fixture->diags);
}

static inline void fixture_layout(struct lt_layout *layout, const char *name)
{
	static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };
	struct lt_diags diags = { 0 };
	assert_true(lt_layout_find(layout, name, folders, &diags));
	lt_diags_finish(&diags);
}

/* A roll of one's own. */
static inline void fixture_roll(struct lt_layout *layout, const char *size, unsigned dpi)
{
	char text[160];
	struct lt_diags diags = { 0 };
	int length = snprintf(text, sizeof(text),
		"layout: own\nkind: roll\nlabel: %s\ngap: 2 mm\ndpi: %u\ninset: 1 mm\n", size, dpi);
	assert_true(lt_layout_read(layout, NULL, text, (size_t)length, &diags));
	lt_diags_finish(&diags);
}

#endif
