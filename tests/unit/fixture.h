/* A harness, read from YAML and numbered, and layouts for its stickers. */
#ifndef LOOMTAG_TESTS_FIXTURE_H
#define LOOMTAG_TESTS_FIXTURE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "label/layout.h"

struct fixture {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
};

/* Reads a description called `file` and numbers it: from 1, or by `numbers`, which ends with 0. */
static inline void fixture_number(struct fixture *fixture, const char *file,
	const char *description, const unsigned *numbers)
{
	*fixture = (struct fixture){ 0 };
	bool good = lt_harness_read(&fixture->harness, file, description, strlen(description), NULL,
		&fixture->diags);
	fixture->lookalikes = good ? lt_lookalikes_create(&fixture->harness) : NULL;
	lt_register_init(&fixture->reg);
	for (size_t i = 0; good && numbers != NULL && numbers[i] != 0; i++)
		lt_register_add(&fixture->reg, numbers[i], fixture->harness.connectors[i].id);
	if (!good || !lt_tags_assign(&fixture->tags, &fixture->harness, fixture->lookalikes,
			     &fixture->reg, &fixture->diags)) {
		lt_diags_print(&fixture->diags, 0, stderr, false);
		abort();
	}
}

static inline void fixture_init(struct fixture *fixture, const char *description,
	const unsigned *numbers)
{
	fixture_number(fixture, "fixture.yaml", description, numbers);
}

static inline void fixture_read(struct fixture *fixture, const char *file, const char *description)
{
	fixture_number(fixture, file, description, NULL);
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
