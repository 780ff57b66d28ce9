/* A harness read from YAML in a test, numbered with an empty register. */
#ifndef LOOMTAG_TESTS_UNIT_BENCH_HARNESS_H
#define LOOMTAG_TESTS_UNIT_BENCH_HARNESS_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/tags.h"

struct bench {
	struct lt_diags diags;
	struct lt_harness harness;
	struct lt_lookalikes *lookalikes;
	struct lt_register reg;
	struct lt_tags tags;
};

static inline void bench_set_up(struct bench *bench, const char *file, const char *yaml)
{
	const struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	lt_diags_init(&bench->diags);
	lt_register_init(&bench->reg);
	bool read =
		lt_harness_read(&bench->harness, file, yaml, strlen(yaml), &options, &bench->diags);
	bench->lookalikes = read ? lt_lookalikes_create(&bench->harness) : NULL;
	if (!read || !lt_tags_assign(&bench->tags, &bench->harness, bench->lookalikes, &bench->reg,
			     &bench->diags)) {
		lt_diags_print(&bench->diags, 0, stderr, false);
		abort();
	}
}

static inline void bench_tear_down(struct bench *bench)
{
	lt_tags_finish(&bench->tags);
	lt_register_finish(&bench->reg);
	lt_lookalikes_destroy(bench->lookalikes);
	lt_harness_finish(&bench->harness);
	lt_diags_finish(&bench->diags);
}

#endif
