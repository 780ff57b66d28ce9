/* A harness, numbered and ready for stickers, as the tests of labels want it. */
#ifndef LOOMTAG_TESTS_BENCH_H
#define LOOMTAG_TESTS_BENCH_H

#include <stdio.h>
#include <string.h>

#include "label/layout.h"

struct bench {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
};

/* Reads a description and numbers it: from 1, or by `numbers`, which ends with 0. */
static inline void bench_init(struct bench *bench, const char *description, const unsigned *numbers)
{
	*bench = (struct bench){ 0 };
	const struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	bool ok = lt_harness_read(&bench->harness, "bench.yaml", description, strlen(description),
		&options, &bench->diags);
	if (!ok)
		lt_diags_print(&bench->diags, 0, stderr, false);
	assert_true(ok);
	bench->lookalikes = lt_lookalikes_create(&bench->harness);
	lt_register_init(&bench->reg);
	for (size_t i = 0; numbers != NULL && numbers[i] != 0; i++)
		lt_register_add(&bench->reg, numbers[i], bench->harness.connectors[i].id);
	assert_true(lt_tags_assign(&bench->tags, &bench->harness, bench->lookalikes, &bench->reg,
		&bench->diags));
}

static inline void bench_finish(struct bench *bench)
{
	lt_tags_finish(&bench->tags);
	lt_register_finish(&bench->reg);
	lt_lookalikes_destroy(bench->lookalikes);
	lt_harness_finish(&bench->harness);
	lt_diags_finish(&bench->diags);
}

static inline void bench_layout(struct lt_layout *layout, const char *name)
{
	static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };
	struct lt_diags diags = { 0 };
	assert_true(lt_layout_find(layout, name, folders, &diags));
	lt_diags_finish(&diags);
}

/* A roll of one's own. */
static inline void bench_roll(struct lt_layout *layout, const char *size, unsigned dpi)
{
	char text[160];
	struct lt_diags diags = { 0 };
	int length = snprintf(text, sizeof(text),
		"layout: own\nkind: roll\nlabel: %s\ngap: 2 mm\ndpi: %u\ninset: 1 mm\n", size, dpi);
	assert_true(lt_layout_read(layout, NULL, text, (size_t)length, &diags));
	lt_diags_finish(&diags);
}

#endif
