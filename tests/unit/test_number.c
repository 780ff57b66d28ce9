/* Numbering against a second statement of its rules, and its running time. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "loomtag/tags.h"
#include "unit/build.h"
#include "unit/random_harness.h"

/* Confusable numbers, stated a second time, on their decimal digits: common practice in the
 * trade, no source. */
static bool misread_pair(char a, char b)
{
	static const char *const pairs[] = { "17", "38", "56", "68", "08", "89" };
	for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
		if ((pairs[i][0] == a && pairs[i][1] == b) ||
			(pairs[i][0] == b && pairs[i][1] == a))
			return true;
	return false;
}

static bool reads_turned(const char *a, const char *b)
{
	static const char upright[] = "01689";
	static const char turned[] = "01986";
	size_t length = strlen(a);
	for (size_t i = 0; i < length; i++) {
		const char *digit = strchr(upright, a[i]);
		if (digit == NULL || turned[digit - upright] != b[length - 1 - i])
			return false;
	}
	return true;
}

static bool taken_for(unsigned x, unsigned y)
{
	char a[12];
	char b[12];
	snprintf(a, sizeof a, "%u", x);
	snprintf(b, sizeof b, "%u", y);
	size_t length = strlen(a);
	if (x == y || strlen(b) != length)
		return false;
	size_t different[12];
	size_t count = 0;
	for (size_t i = 0; i < length; i++)
		if (a[i] != b[i])
			different[count++] = i;
	if (count == 1 && misread_pair(a[different[0]], b[different[0]]))
		return true;
	if (count == 2 && different[1] == different[0] + 1 && a[different[0]] == b[different[1]] &&
		a[different[1]] == b[different[0]])
		return true;
	return reads_turned(a, b);
}

/* A connector whose id ends in no digits: "1q", "2q" … */
static struct lt_connector *build_unmarked(struct lt_harness *h)
{
	return build_connector(h, lt_arena_printf(&h->arena, "%zuq", h->connector_count + 1));
}

struct numbered {
	struct lt_harness *harness;
	struct lt_lookalikes *lookalikes;
	struct lt_tags tags;
	struct lt_diags diags;
	bool good;
};

static void number(struct numbered *out, struct lt_harness *harness, struct lt_register *reg)
{
	out->harness = harness;
	out->lookalikes = lt_lookalikes_create(harness);
	lt_diags_init(&out->diags);
	out->good = lt_tags_assign(&out->tags, harness, out->lookalikes, reg, &out->diags);
}

static void finish(struct numbered *numbered)
{
	lt_tags_finish(&numbered->tags);
	lt_lookalikes_destroy(numbered->lookalikes);
	lt_diags_finish(&numbered->diags);
}

/* The rule of numbering, stated a second time: every number tried against every connector. Each
 * array is by connector; what the register gave stands in `numbers` already, and `used` says which
 * it has ever given. */
enum { TOP = 3000 };

/* The number at the end of a text, and the length of what stands before its digits. */
static unsigned ending(const char *text, size_t *before)
{
	size_t length = text != NULL ? strlen(text) : 0;
	while (length > 0 && strchr("0123456789", text[length - 1]) != NULL)
		length--;
	if (before != NULL)
		*before = length;
	const unsigned long long value = text != NULL ? strtoull(text + length, NULL, 10) : 0;
	return value <= LT_NUMBER_MAX ? (unsigned)value : 0;
}

static bool fits_slowly(const unsigned *numbers, const bool *used, const struct numbered *n,
	size_t c, unsigned candidate)
{
	const struct lt_connector *connectors = n->harness->connectors;
	for (size_t o = 0; o < n->harness->connector_count; o++)
		if (o != c && lt_lookalike_for_numbering(n->lookalikes, c, o) &&
			((numbers[o] != 0 && taken_for(candidate, numbers[o])) ||
				candidate == ending(connectors[o].id, NULL) ||
				candidate == ending(connectors[o].port, NULL)))
			return false;
	return !used[candidate];
}

static bool is_numbered(const struct numbered *n, size_t c)
{
	return n->harness->connectors[c].marking != LT_MARK_NONE;
}

/* How many that are numbered have the same beginning of their id, and which of all is the first. */
static size_t count_alike(const struct numbered *n, size_t c, size_t *first)
{
	const struct lt_connector *connectors = n->harness->connectors;
	size_t own, count = 0;
	ending(connectors[c].id, &own);
	*first = c;
	for (size_t o = n->harness->connector_count; o-- > 0;) {
		size_t length;
		ending(connectors[o].id, &length);
		if (length != own || strncmp(connectors[o].id, connectors[c].id, own) != 0)
			continue;
		*first = o;
		count += is_numbered(n, o);
	}
	return count;
}

/* The first pass: whoever is left and comes first is offered its own number. */
static void number_by_marking_slowly(unsigned *numbers, bool *used, const struct numbered *n,
	size_t all)
{
	bool offered[TOP] = { false };
	for (size_t turn = 0; turn < n->harness->connector_count; turn++) {
		size_t best = LT_NONE, best_count = 0, best_first = 0;
		for (size_t c = 0; c < n->harness->connector_count; c++) {
			size_t first;
			const size_t count = count_alike(n, c, &first);
			if (!offered[c] && (best == LT_NONE || count > best_count ||
						   (count == best_count && first < best_first))) {
				best = c;
				best_count = count;
				best_first = first;
			}
		}
		offered[best] = true;
		const struct lt_connector *connector = &n->harness->connectors[best];
		size_t before;
		unsigned own = ending(connector->id, &before);
		if (connector->id[before] == '\0')
			own = ending(connector->port, NULL);
		if (is_numbered(n, best) && numbers[best] == 0 && own != 0 &&
			own <= (2 * all > 99 ? 2 * all : 99) &&
			fits_slowly(numbers, used, n, best, own)) {
			numbers[best] = own;
			used[own] = true;
		}
	}
}

static bool ends_an_id(const struct numbered *n, unsigned candidate)
{
	for (size_t o = 0; o < n->harness->connector_count; o++)
		if (ending(n->harness->connectors[o].id, NULL) == candidate)
			return true;
	return false;
}

static void number_slowly(unsigned *numbers, bool *used, const struct numbered *n)
{
	const bool own = n->harness->numbers == LT_NUMBERS_OWN;
	size_t all = 0;
	for (size_t c = 0; c < n->harness->connector_count; c++)
		all += is_numbered(n, c);
	if (own)
		number_by_marking_slowly(numbers, used, n, all);
	for (size_t c = 0; c < n->harness->connector_count; c++) {
		if (numbers[c] != 0 || !is_numbered(n, c))
			continue;
		unsigned candidate = 1;
		while (own && candidate <= 2 * all &&
			(ends_an_id(n, candidate) || !fits_slowly(numbers, used, n, c, candidate)))
			candidate++;
		if (!own || candidate > 2 * all)
			for (candidate = 1; !fits_slowly(numbers, used, n, c, candidate);)
				assert_true(++candidate < TOP);
		numbers[c] = candidate;
		used[candidate] = true;
	}
}

enum { MANY = 300 };

/* An id of its own: of some letters, most with the digits of nobody in particular behind. */
static const char *id_at_random(struct lt_harness *h, uint64_t *random, unsigned marked,
	unsigned most)
{
	static const char *const letters[] = { "X", "K", "-XS", "E", "P" };
	const char *letter = letters[build_random(random, 1 + build_random(random, 5))];
	for (;;) {
		const char *id = lt_arena_printf(&h->arena, "%zuq", h->connector_count);
		if (build_random(random, 4) < marked)
			id = lt_arena_printf(&h->arena,
				build_random(random, 5) == 0 ? "%s0%u" : "%s%u", letter,
				build_random(random, most));
		bool taken = false;
		for (size_t i = 0; i < h->connector_count; i++)
			taken = taken || strcmp(h->connectors[i].id, id) == 0;
		if (!taken)
			return id;
		marked = build_random(random, 2);
	}
}

static void build_at_random(struct lt_harness *h, uint64_t *random)
{
	/* Of some, two or three are nearly the same. */
	static const char *const families[] = { "tab", "round", "square", "round 8 tab",
		"8 tab round", "round 8 lug", "oval 8 lug" };
	static const char *const keys[] = { "A", "B", "C", "D" };
	/* Few are as large as possible: every number is tried with every pair. */
	const size_t count =
		1 + build_random(random, build_random(random, 12) == 0 ? MANY : MANY / 3);
	unsigned family_count = 1 + build_random(random, 7);
	unsigned unknown = 1 + build_random(random, 12);
	unsigned missing = 1 + build_random(random, 12);
	const unsigned marked = build_random(random, 4), most = 1 + build_random(random, 400);
	build_init(h, "RV3", MANY);
	h->numbers = build_random(random, 4) == 0 ? LT_NUMBERS_ORDER : LT_NUMBERS_OWN;
	for (size_t i = 0; i < count; i++) {
		struct lt_connector *c = build_connector(h, id_at_random(h, random, marked, most));
		if (build_random(random, 3) == 0)
			c->port = lt_arena_printf(&h->arena, "IN%02u", build_random(random, most));
		if (build_random(random, unknown) != 1)
			c->family = families[build_random(random, family_count)];
		if (build_random(random, missing) != 1)
			c->ways = 1 + build_random(random, 4);
		if (build_random(random, missing) != 1)
			c->key = keys[build_random(random, 4)];
		if (build_random(random, 15) == 0)
			c->kind = LT_CLIP;
		if (build_random(random, 15) == 0)
			c->marking = LT_MARK_NONE;
		else if (build_random(random, 15) == 0)
			c->marking = LT_MARK_PAPER;
	}
	size_t said = build_random(random, 2) == 0 ? 0 : build_random(random, 400);
	for (size_t i = 0; i < said; i++) {
		size_t a = build_random(random, (unsigned)count);
		size_t b = build_random(random, (unsigned)count);
		if (a != b && build_random(random, 3) == 0)
			build_fits(h, a, b);
		else if (a != b)
			build_unlike(h, a, b);
	}
}

/* A register that knows some of the connectors, in any order, and some that are gone. */
static void register_at_random(struct lt_register *reg, unsigned *numbers, bool *used,
	const struct lt_harness *h, uint64_t *random)
{
	lt_register_init(reg);
	unsigned share = build_random(random, 4);
	for (size_t i = 0; i < h->connector_count; i++) {
		unsigned wanted = 1 + build_random(random, 250);
		if (build_random(random, 4) >= share || used[wanted])
			continue;
		used[wanted] = true;
		bool gone = build_random(random, 3) == 0;
		char id[16];
		snprintf(id, sizeof id, "G%u", (unsigned)i + 1);
		struct lt_register_entry *entry =
			lt_register_add(reg, wanted, gone ? id : h->connectors[i].id);
		entry->retired = build_random(random, 2) == 0;
		if (!gone && h->connectors[i].marking != LT_MARK_NONE)
			numbers[i] = wanted;
	}
}

static void check_result(const struct numbered *n, const unsigned *numbers, const bool *used,
	const struct lt_register *reg)
{
	size_t entries = 0;
	for (unsigned i = 1; i < TOP; i++)
		entries += used[i];
	assert_int_equal(reg->count, entries);
	for (size_t i = 0; i < n->harness->connector_count; i++) {
		if (n->tags.number_of[i] != numbers[i])
			fail_msg("connector %zu has %u and not %u", i, n->tags.number_of[i],
				numbers[i]);
		if (numbers[i] != 0)
			assert_int_equal(n->tags.connector_of[numbers[i]], i);
	}
	for (size_t i = 0; i < reg->count; i++) {
		const struct lt_register_entry *entry = &reg->entries[i];
		assert_true(entry->number <= n->tags.number_max);
		size_t owner = n->tags.connector_of[entry->number];
		assert_int_equal(entry->retired, owner == LT_NONE);
		assert_int_equal(n->tags.retired[entry->number], entry->retired);
		if (owner != LT_NONE)
			assert_string_equal(entry->id, n->harness->connectors[owner].id);
	}
}

static void test_random_harnesses_against_every_number_and_pair(void **state)
{
	(void)state;
	uint64_t random = 4711;
	for (unsigned round = 0; round < 250; round++) {
		struct lt_harness h;
		struct lt_register reg;
		unsigned numbers[MANY] = { 0 };
		static bool used[TOP];
		memset(used, 0, sizeof used);
		build_at_random(&h, &random);
		register_at_random(&reg, numbers, used, &h, &random);
		struct numbered n;
		number(&n, &h, &reg);
		assert_true(n.good);
		number_slowly(numbers, used, &n);
		check_result(&n, numbers, used, &reg);
		finish(&n);

		/* The same again changes nothing. */
		number(&n, &h, &reg);
		assert_true(n.good);
		assert_false(n.tags.changed);
		check_result(&n, numbers, used, &reg);
		finish(&n);
		lt_register_finish(&reg);
		build_finish(&h);
	}
}

/* Every pair in groups of look-alikes up to 200: since numbers are given in order, the smaller
 * groups are the beginnings of the largest. Common practice, no source. */
static void check_group_of_200(const char *family)
{
	enum { GROUP = 200 };
	struct lt_harness h;
	build_init(&h, "RV3", GROUP);
	for (size_t i = 0; i < GROUP; i++)
		build_unmarked(&h)->family = family;
	struct lt_register reg = { 0 };
	struct numbered n;
	number(&n, &h, &reg);
	assert_true(n.good);
	const unsigned *numbers = n.tags.number_of;
	for (size_t a = 0; a < GROUP; a++) {
		for (size_t b = 0; b < a; b++) {
			if (numbers[a] == numbers[b] || taken_for(numbers[a], numbers[b]))
				fail_msg("%u and %u", numbers[b], numbers[a]);
		}
		/* And none was left out without need. */
		for (unsigned skipped = a > 0 ? numbers[a - 1] + 1 : 1; skipped < numbers[a];
			skipped++) {
			bool needed = false;
			for (size_t b = 0; b < a; b++)
				needed = needed || taken_for(skipped, numbers[b]);
			assert_true(needed);
		}
	}
	assert_int_equal(numbers[0], 1);
	assert_int_equal(numbers[5], 9); /* 1 2 3 4 5 9: 6 is taken for 5, 7 for 1, 8 for 3 */
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

static void test_groups_up_to_200(void **state)
{
	(void)state;
	check_group_of_200("round");
	check_group_of_200(NULL);
}

static void test_connectors_that_differ_get_numbers_in_sequence(void **state)
{
	(void)state;
	enum { COUNT = 300 };
	struct lt_harness h;
	build_init(&h, "RV3", COUNT);
	for (size_t i = 0; i < COUNT; i++) {
		struct lt_connector *c = build_unmarked(&h);
		c->family = "round";
		c->key = c->id;
	}
	struct lt_register reg = { 0 };
	struct numbered n;
	number(&n, &h, &reg);
	for (size_t i = 0; i < COUNT; i++)
		assert_int_equal(n.tags.number_of[i], i + 1);
	assert_int_equal(lt_tags_passed_over(&n.tags, NULL, 0), 0);
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

static void test_numbers_passed_over_and_why(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 9);
	for (size_t i = 0; i < 9; i++)
		build_unmarked(&h);
	struct lt_register reg = { 0 };
	lt_register_add(&reg, 14, "1q");
	lt_register_add(&reg, 11, "gone")->retired = true;
	struct numbered n;
	number(&n, &h, &reg);
	/* 14, then 1 2 3 4 5 9 10 12: 6, 7 and 8 are taken for 5, 1 and 3; 11 is retired; 13 was
	 * not needed. */
	assert_int_equal(n.tags.number_of[8], 12);
	struct lt_passed_over out[4];
	assert_int_equal(lt_tags_passed_over(&n.tags, out, 4), 4);
	assert_int_equal(out[0].number, 6);
	assert_int_equal(out[0].because, 5);
	assert_int_equal(out[0].why, LT_ONE_DIGIT);
	assert_int_equal(out[1].number, 7);
	assert_int_equal(out[1].because, 1);
	assert_int_equal(out[2].number, 8);
	assert_int_equal(out[2].because, 3);
	assert_int_equal(out[3].number, 13);
	assert_int_equal(out[3].because, 0);
	assert_int_equal(out[3].why, LT_DISTINCT);
	out[1].number = 12345;
	assert_int_equal(lt_tags_passed_over(&n.tags, out, 1), 4);
	assert_int_equal(out[1].number, 12345);
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

/* Whether the connector is marked with the number: at the end of its id or port. */
static bool is_marked(const struct lt_connector *connector, unsigned number)
{
	size_t before;
	return ending(connector->id, &before) == number ||
	       (connector->port != NULL && ending(connector->port, &before) == number);
}

static void check_sample(const char *path)
{
	struct fixture f;
	fixture_read_sample(&f, path);
	const struct lt_connector *connectors = f.harness.connectors;
	const size_t count = f.harness.connector_count;
	for (size_t a = 0; a < count; a++)
		for (size_t b = 0; b < count; b++)
			if (f.tags.number_of[a] != 0 && lt_lookalike(f.lookalikes, a, b) &&
				is_marked(&connectors[b], f.tags.number_of[a]))
				fail_msg("%s: %u is on %s", path, f.tags.number_of[a],
					connectors[a].id);
	unsigned marked = 0, own = 0;
	for (unsigned number = 1; number <= LT_NUMBER_MAX; number++) {
		bool is_somewhere = false, is_on_own = false;
		for (size_t i = 0; i < count; i++) {
			if (f.tags.number_of[i] == 0 || !is_marked(&connectors[i], number))
				continue;
			is_somewhere = true;
			is_on_own |= f.tags.number_of[i] == number;
		}
		marked += is_somewhere;
		own += is_on_own;
	}
	assert_in_range(marked, 1, LT_NUMBER_MAX);
	if (2 * own < marked)
		fail_msg("%s: %u of %u", path, own, marked);
	fixture_finish(&f);
}

/* On harnesses as people describe them most marked numbers are where they belong. */
static void test_samples_go_with_their_markings(void **state)
{
	(void)state;
	check_sample("samples/dome-shutter.yaml");
	check_sample("samples/mast-head.yaml");
	check_sample("samples/seed-gantry.yaml");
}

static void test_look_alike_numbers(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 6);
	for (size_t i = 0; i < 5; i++)
		build_unmarked(&h)->family = "round";
	build_unmarked(&h);
	h.connectors[2].marking = LT_MARK_NONE;
	struct lt_register reg = { 0 };
	lt_register_add(&reg, 9, "1q");
	struct numbered n;
	number(&n, &h, &reg);
	unsigned out[4] = { 0 };
	assert_int_equal(lt_tag_lookalikes(&n.tags, n.lookalikes, 1, out, 4), 3);
	assert_int_equal(out[0], 2);
	assert_int_equal(out[1], 3);
	assert_int_equal(out[2], 9);
	assert_int_equal(lt_tag_lookalikes(&n.tags, n.lookalikes, 2, out, 4), 4);
	assert_int_equal(lt_tag_lookalikes(&n.tags, n.lookalikes, 5, out, 4), 0);
	/* The same for tags that were put together by hand. */
	struct lt_lookalike_order *kept = n.tags.by_number;
	n.tags.by_number = NULL;
	assert_int_equal(lt_tag_lookalikes(&n.tags, n.lookalikes, 0, out, 2), 3);
	assert_int_equal(out[0], 1);
	assert_int_equal(out[1], 2);
	n.tags.by_number = kept;
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

static void test_sides(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 5);
	size_t keep = build_component(&h, "M1", NULL);
	size_t replace = build_component(&h, "M2", NULL);
	h.components[replace].replace = true;
	build_connector(&h, NULL)->component = keep;
	build_connector(&h, NULL)->component = replace;
	build_connector(&h, NULL)->component = replace;
	build_connector(&h, NULL)->sides = 1;
	build_connector(&h, NULL)->marking = LT_MARK_NONE;
	h.connectors[2].sides = 1;
	struct lt_register reg = { 0 };
	struct numbered n;
	number(&n, &h, &reg);
	enum lt_side sides[LT_SIDE_COUNT];
	assert_int_equal(lt_tag_sides(sides, &n.tags, 0), 2);
	assert_int_equal(sides[0], LT_SIDE_H);
	assert_int_equal(sides[1], LT_SIDE_M);
	assert_int_equal(lt_tag_sides(sides, &n.tags, 1), 3);
	assert_int_equal(sides[0], LT_SIDE_H);
	assert_int_equal(sides[1], LT_SIDE_X);
	assert_int_equal(sides[2], LT_SIDE_M);
	assert_int_equal(lt_tag_sides(sides, &n.tags, 2), 1);
	assert_int_equal(lt_tag_sides(sides, &n.tags, 3), 1);
	assert_int_equal(sides[0], LT_SIDE_H);
	assert_int_equal(lt_tag_sides(sides, &n.tags, 4), 0);
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

static void test_no_number_left(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 2);
	build_connector(&h, NULL);
	build_connector(&h, NULL);
	struct lt_register reg = { 0 };
	for (unsigned i = 1; i < LT_NUMBER_MAX; i++) {
		char id[12];
		snprintf(id, sizeof id, "G%u", i);
		lt_register_add(&reg, i, id)->retired = true;
	}
	struct numbered n;
	number(&n, &h, &reg);
	assert_false(n.good);
	assert_int_equal(n.tags.number_of[0], LT_NUMBER_MAX);
	assert_int_equal(n.tags.number_of[1], 0);
	assert_int_equal(n.diags.errors, 1);
	assert_int_equal(n.diags.items[n.diags.count - 1].place.line, 11);
	assert_non_null(strstr(n.diags.items[n.diags.count - 1].hint, "family:"));
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
}

/* Large harnesses, of the kinds that a careless rule takes quadratic time for. */
static void all_alike(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
}

static void all_unknown(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = NULL;
}

static void own_key_each(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
	h->connectors[i].key = h->connectors[i].id;
}

static void own_family_each(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = h->connectors[i].id;
}

static void half_without_key(struct lt_harness *h, size_t i)
{
	own_key_each(h, i);
	if (i % 2 == 0)
		h->connectors[i].key = NULL;
}

/* Ways alone first, then keys alone: each of the second matches all of the first. */
static void ways_then_keys(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
	if (i < h->connector_count / 2)
		h->connectors[i].ways = 1;
	else
		h->connectors[i].key = h->connectors[i].id;
}

static void keys_then_ways(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
	if (i < h->connector_count / 2)
		h->connectors[i].key = h->connectors[i].id;
	else
		h->connectors[i].ways = 1 + (unsigned)i % LT_WAYS_MAX;
}

static void many_classes(struct lt_harness *h, size_t i)
{
	static const char *const keys[] = { NULL, "A", "B", "C", "D", "E", "F", "G" };
	h->connectors[i].family = "round";
	h->connectors[i].ways = (unsigned)(i * 7919 % 13);
	h->connectors[i].key = keys[i * 104729 % 8];
}

/* All fit the first besides, which bars 7 to each of them and to no scope. */
static void alike_and_fits_one(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = i == 0 ? "square" : "round";
	if (i > 0)
		build_fits(h, i, 0);
}

static void alike_but_for_neighbours(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
	if (i > 0)
		build_unlike(h, i, i - 1);
}

static void clips(struct lt_harness *h, size_t i)
{
	h->connectors[i].kind = LT_CLIP;
}

/* All end in the same digit, and each has one look-alike. */
static void same_digit_in_pairs(struct lt_harness *h, size_t i)
{
	h->connectors[i].id = lt_arena_printf(&h->arena, "%zuq1", i);
	h->connectors[i].family = h->connectors[i & ~(size_t)1].id;
}

/* Each carries the digits of the next one on its port. */
static void ports_of_others(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = "round";
	h->connectors[i].port = lt_arena_printf(&h->arena, "IN%zu", i + 2);
}

/* Families that differ in one word from each other, and each in another from one of as many. */
static void nearly_all_alike(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = lt_arena_printf(&h->arena, "round %c%c%c%c", 'a' + (int)(i % 26),
		'a' + (int)(i / 26 % 26), 'a' + (int)(i / 676 % 26), 'a' + (int)(i / 17576));
}

static void nearly_alike_by_row_and_column(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = lt_arena_printf(&h->arena, "%c%c round %c%c", 'a' + (int)(i % 10),
		'a' + (int)(i / 10 % 10), 'a' + (int)(i / 100 % 10), 'a' + (int)(i / 1000));
}

static void alike_but_for_a_letter(struct lt_harness *h, size_t i)
{
	h->connectors[i].family = lt_arena_printf(&h->arena, "%c%c%c%c", 'a' + (int)(i % 10),
		'a' + (int)(i / 10 % 10), 'a' + (int)(i / 100 % 10), 'a' + (int)(i / 1000));
}

static double seconds_for(void (*shape)(struct lt_harness *, size_t), size_t count)
{
	struct lt_harness h;
	build_init(&h, "RV3", count);
	for (size_t i = 0; i < count; i++)
		build_connector(&h, NULL);
	for (size_t i = 0; i < count; i++)
		shape(&h, i);
	struct lt_register reg = { 0 };
	struct numbered n;
	clock_t start = clock();
	number(&n, &h, &reg);
	double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
	assert_true(n.good);
	assert_int_equal(reg.count, count);
	for (unsigned k = 1; k < n.tags.number_max; k++)
		if (n.tags.connector_of[k] != LT_NONE)
			assert_int_equal(n.tags.number_of[n.tags.connector_of[k]], k);
	finish(&n);
	lt_register_finish(&reg);
	build_finish(&h);
	return seconds;
}

/* Eight times as many take about eight times as long; sixty-four times would be quadratic. */
static void test_time_grows_with_the_connectors(void **state)
{
	(void)state;
	static void (*const shapes[])(struct lt_harness *, size_t) = { all_alike, all_unknown,
		own_key_each, own_family_each, half_without_key, ways_then_keys, keys_then_ways,
		many_classes, alike_and_fits_one, alike_but_for_neighbours, clips,
		same_digit_in_pairs, ports_of_others, nearly_all_alike,
		nearly_alike_by_row_and_column, alike_but_for_a_letter };
	for (size_t i = 0; i < sizeof shapes / sizeof shapes[0]; i++) {
		double few = seconds_for(shapes[i], LT_CONNECTORS_MAX / 16);
		double many = seconds_for(shapes[i], LT_CONNECTORS_MAX / 2);
		if (getenv("LOOMTAG_TEST_TIMES") != NULL)
			fprintf(stderr, "shape %zu: %.3f s, %.3f s\n", i, few, many);
		if (many > 20 * few + 0.1)
			fail_msg("shape %zu: %.3f s, then %.3f s", i, few, many);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_random_harnesses_against_every_number_and_pair),
		cmocka_unit_test(test_groups_up_to_200),
		cmocka_unit_test(test_connectors_that_differ_get_numbers_in_sequence),
		cmocka_unit_test(test_numbers_passed_over_and_why),
		cmocka_unit_test(test_samples_go_with_their_markings),
		cmocka_unit_test(test_look_alike_numbers),
		cmocka_unit_test(test_sides),
		cmocka_unit_test(test_no_number_left),
		cmocka_unit_test(test_time_grows_with_the_connectors),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
