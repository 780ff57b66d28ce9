/* Random harnesses: the same ones on every machine. */
#ifndef LOOMTAG_TESTS_UNIT_RANDOM_HARNESS_H
#define LOOMTAG_TESTS_UNIT_RANDOM_HARNESS_H

#include "build.h"
#include "fixture.h"
#include "loomtag/base.h"

/* Reads a sample. */
static inline void fixture_read_sample(struct fixture *fixture, const char *path)
{
	struct lt_diags diags = { 0 };
	char *bytes;
	size_t length;
	if (!lt_file_read(&bytes, &length, path, LT_DESCRIPTION_MAX, &diags))
		abort();
	lt_diags_finish(&diags);
	fixture_read(fixture, path, bytes);
	free(bytes);
}

/* Words of unlike length, some long, some with no place to break. */
static inline const char *random_words(struct lt_text *text, uint64_t *state)
{
	static const char *const words[] = { "valve", "left", "upper limit", "of the", "drum",
		"sensor", "Überdruck", "thermocouple", "A", "intermediate-housing-no-break-at-all",
		"behind", "7" };
	lt_text_clear(text);
	for (unsigned i = 0, count = 1 + build_random(state, 9); i < count; i++)
		lt_text_printf(text, "%s%s", i > 0 ? " " : "",
			words[build_random(state, sizeof words / sizeof *words)]);
	return lt_text_string(text);
}

/* Ways, mostly few, with wires of one, two or three colours, in rows or not. */
static inline void random_ways(struct lt_text *yaml, struct lt_text *words, uint64_t *state)
{
	static const char *const colours[] = { "BK", "WH", "GNYE", "WHRD", "RDBU", "WHGNBU", "TQ" };
	static const char *const notes[] = { "lock", "orient", "seat", "note", "key" };
	unsigned ways = build_random(state, 10) == 0 ? 1 + build_random(state, 120)
						     : build_random(state, 16);
	for (unsigned i = 0; i < sizeof notes / sizeof *notes; i++)
		if (build_random(state, 3) == 0)
			lt_text_printf(yaml, "    %s: \"%s\"\n", notes[i],
				random_words(words, state));
	if (ways == 0)
		return;
	lt_text_printf(yaml, "    ways: %u\n", ways);
	if (build_random(state, 2) == 0)
		lt_text_printf(yaml, "    rows: %u\n",
			1 + build_random(state, ways < 6 ? ways : 6));
	if (build_random(state, 2) == 0)
		lt_text_add(yaml, "    size: 0.75 mm2\n");
	lt_text_add(yaml, "    wires: {");
	const char *comma = "";
	for (unsigned way = 1; way <= ways; way++) {
		const char *colour = colours[build_random(state, sizeof colours / sizeof *colours)];
		unsigned chance = build_random(state, 8);
		if (chance == 0)
			continue;
		lt_text_printf(yaml, chance == 1 ? "%s%u: [%s, BN]" : "%s%u: %s", comma, way,
			colour);
		comma = ", ";
	}
	lt_text_add(yaml, "}\n");
}

static inline void random_connector(struct lt_text *yaml, struct lt_text *words, uint64_t *state,
	unsigned i, unsigned parts, bool wired)
{
	static const char *const kinds[] = { "plug", "ring", "hose", "clip" };
	lt_text_printf(yaml, "  - id: X%u\n    kind: %s\n", i, kinds[build_random(state, 4)]);
	if (build_random(state, 8) != 0)
		lt_text_printf(yaml, "    name: \"%s\"\n", random_words(words, state));
	if (build_random(state, 4) != 0)
		lt_text_printf(yaml, "    place: \"%s\"\n", random_words(words, state));
	if (build_random(state, 4) != 0)
		lt_text_printf(yaml, "    family: f%u\n", build_random(state, 6));
	if (build_random(state, 3) == 0)
		lt_text_printf(yaml, "    port: P%u\n", build_random(state, 30));
	unsigned marking = build_random(state, 12);
	if (marking < 2)
		lt_text_printf(yaml, "    tag: %s\n", marking == 0 ? "paper" : "none");
	if (build_random(state, 6) == 0)
		lt_text_add(yaml, "    sides: 1\n");
	else if (build_random(state, 8) != 0)
		lt_text_printf(yaml, "    mates: M%u\n", build_random(state, parts));
	if (i > 0 && build_random(state, 3) == 0)
		lt_text_printf(yaml, "    after: [X%u]\n", build_random(state, i));
	/* Clusters, ties, and now and then a place far away. */
	unsigned place = build_random(state, 10);
	if (place < 7)
		lt_text_printf(yaml, "    at: %u mm\n",
			place < 2 ? build_random(state, 9000)
				  : 100 * build_random(state, 5) + build_random(state, 20));
	if (wired)
		random_ways(yaml, words, state);
}

/* A harness of `count` connectors, with words of all lengths; with ways and wires when `wired`. */
static inline void random_harness(struct fixture *fixture, uint64_t *state, unsigned count,
	bool wired)
{
	struct lt_text yaml = { 0 }, words = { 0 };
	unsigned parts = 1 + build_random(state, count);
	lt_text_add(&yaml, "harness: RND\n");
	if (build_random(state, 2) != 0) {
		lt_text_add(&yaml, "hazards:\n");
		for (unsigned i = 0, hazards = 1 + build_random(state, 9); i < hazards; i++)
			lt_text_printf(&yaml, "  - {energy: \"%s\", prove: dead at X%u}\n",
				random_words(&words, state), build_random(state, count));
	}
	lt_text_add(&yaml, "components:\n");
	for (unsigned i = 0; i < parts; i++) {
		lt_text_printf(&yaml, "  - {id: M%u, name: \"%s\"%s}\n", i,
			random_words(&words, state),
			build_random(state, 5) == 0 ? ", fate: replace" : "");
	}
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < count; i++)
		random_connector(&yaml, &words, state, i, parts, wired);
	fixture_read(fixture, "random.yaml", lt_text_string(&yaml));
	lt_text_finish(&words);
	lt_text_finish(&yaml);
}

#endif
