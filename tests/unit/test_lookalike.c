/* Look-alikes against a comparison of every pair. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "loomtag/words.h"
#include "unit/build.h"
#include "unit/family_model.h"

/* FAA AC 43.13-1B, 11-235 b: adjacent connectors differ in shell size, coupling means, insert
 * arrangement or keying; here kind and family, ways, key. One difference is enough. */
static void test_one_difference_is_enough(void **state)
{
	(void)state;
	static const struct {
		const char *family, *key;
		enum lt_kind kind;
		unsigned ways;
		bool alike; /* with the first */
	} rows[] = {
		{ "tab 6.3", "A", LT_PLUG, 3, true },
		{ "tab 6.3", "A", LT_PLUG, 3, true },
		{ "tab 6.3", "B", LT_PLUG, 3, false },
		{ "tab 6.3", "A", LT_PLUG, 4, false },
		{ "tab 4.8", "A", LT_PLUG, 3, false },
		{ "tab 6.3", "A", LT_RING, 3, false },
		{ "tab 6.3", "A", LT_PLUG, 0, true },
		{ "tab 6.3", NULL, LT_PLUG, 3, true },
		{ "tab 6.3", NULL, LT_PLUG, 0, true },
		{ NULL, "A", LT_PLUG, 3, false },
		{ " TAB \t 6.3\n", " a", LT_PLUG, 3, true },
		{ "Tab6.30", "A", LT_PLUG, 3, true },
		{ "6,3-TAB", "A", LT_PLUG, 3, true },
		{ "tab 63", "A", LT_PLUG, 3, false },
		{ "tab 6 3", "A", LT_PLUG, 3, false },
		{ "tab-6.31", "A", LT_PLUG, 3, false },
		{ "tab 6.3", "A A", LT_PLUG, 3, false },
		{ "tab 6.3", "  ", LT_PLUG, 3, true },
		{ "tab 6.3", "A", LT_CLIP, 3, false },
	};
	enum { ROWS = sizeof rows / sizeof rows[0] };
	struct lt_harness h;
	build_init(&h, "RV3", ROWS);
	for (size_t i = 0; i < ROWS; i++) {
		struct lt_connector *c = build_connector(&h, NULL);
		c->kind = rows[i].kind;
		c->family = rows[i].family;
		c->ways = rows[i].ways;
		c->key = rows[i].key;
	}
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	assert_false(lt_lookalike(l, 0, 0));
	for (size_t i = 1; i < ROWS; i++) {
		if (lt_lookalike(l, 0, i) != rows[i].alike)
			fail_msg("row %zu", i);
		assert_int_equal(lt_lookalike(l, i, 0), rows[i].alike);
	}
	lt_lookalikes_destroy(l);
	lt_lookalikes_destroy(NULL);
	build_finish(&h);
}

static void test_unknown_fit_is_numbered_apart_and_not_listed(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 4);
	build_connector(&h, NULL)->family = "tab 6.3";
	build_connector(&h, NULL);
	build_connector(&h, NULL)->family = " ";
	build_connector(&h, NULL)->kind = LT_CLIP;
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	assert_false(lt_fit_unknown(&h, 0));
	assert_true(lt_fit_unknown(&h, 1));
	assert_true(lt_fit_unknown(&h, 2));
	assert_false(lt_fit_unknown(&h, 3));
	for (size_t a = 0; a < 4; a++) {
		for (size_t b = 0; b < 4; b++) {
			assert_false(lt_lookalike(l, a, b));
			assert_int_equal(lt_lookalike_for_numbering(l, a, b),
				a != b && a < 3 && b < 3);
		}
	}
	size_t count;
	lt_lookalike_groups(l, &count);
	assert_int_equal(count, 0);
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

static void test_fits_and_unlike_overrule_from_either_side(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 6);
	build_connector(&h, NULL)->family = "round";
	build_connector(&h, NULL)->family = "round";
	build_connector(&h, NULL)->family = "square";
	build_connector(&h, NULL)->kind = LT_CLIP;
	build_connector(&h, NULL);
	build_connector(&h, NULL)->family = "round";
	build_unlike(&h, 1, 0);
	build_unlike(&h, 4, 2);
	build_fits(&h, 2, 0);
	build_fits(&h, 2, 0);
	build_fits(&h, 3, 4);
	build_fits(&h, 5, 0);
	build_unlike(&h, 0, 5);
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	assert_false(lt_lookalike(l, 0, 1));
	assert_false(lt_lookalike_for_numbering(l, 0, 1));
	assert_true(lt_lookalike(l, 0, 2));
	assert_true(lt_lookalike(l, 4, 3));
	assert_true(lt_lookalike_for_numbering(l, 3, 4));
	assert_false(lt_lookalike_for_numbering(l, 2, 4));
	assert_true(lt_lookalike(l, 0, 5)); /* said both ways: the careful one counts */

	size_t out[6];
	assert_int_equal(lt_lookalikes_of(l, 0, out, 6), 2);
	assert_int_equal(out[0], 2);
	assert_int_equal(out[1], 5);
	assert_int_equal(lt_lookalike_unlike(l, 0).count, 2);
	assert_int_equal(lt_lookalike_unlike(l, 0).items[1], 5);
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

/* What the random tests compare with: the fields as numbers, and every pair compared. */
enum { MANY = 40 };
struct model {
	size_t count;
	unsigned kind[MANY], ways[MANY], key[MANY]; /* 0: not given */
	struct family_model family[MANY];
	bool given[MANY];      /* the family */
	bool same[MANY][MANY]; /* kind and family, or nearly so */
	bool fits[MANY][MANY], unlike[MANY][MANY];
};

static bool model_matches(const struct model *m, size_t a, size_t b)
{
	if (m->kind[a] == LT_CLIP || !m->same[a][b])
		return false;
	if (m->ways[a] != 0 && m->ways[b] != 0 && m->ways[a] != m->ways[b])
		return false;
	return m->key[a] == 0 || m->key[b] == 0 || m->key[a] == m->key[b];
}

static bool model_unknown(const struct model *m, size_t a)
{
	return !m->given[a] && m->kind[a] != LT_CLIP;
}

static bool model_by_fields(const struct model *m, size_t a, size_t b)
{
	bool clip = m->kind[a] == LT_CLIP || m->kind[b] == LT_CLIP;
	return model_matches(m, a, b) || (!clip && (model_unknown(m, a) || model_unknown(m, b)));
}

static bool model_alike(const struct model *m, size_t a, size_t b, bool numbering)
{
	if (a == b)
		return false;
	if (m->fits[a][b])
		return true;
	bool by_fields = numbering ? model_by_fields(m, a, b) : model_matches(m, a, b);
	return by_fields && !m->unlike[a][b];
}

/* Of few letters, so that many are nearly the same: once as whole words, once letter by letter. */
static const char *family_at_random(struct lt_harness *h, uint64_t *random, unsigned style)
{
	static const char *const words[] = { "tab", "Tub", "tab", "ring", "tabring", "8", "8.0",
		"6.3" };
	static const char *const spaces[] = { " ", "-", "  ", "" };
	struct lt_text text = { 0 };
	const unsigned parts = 1 + build_random(random, style == 0 ? 4 : 5);
	for (unsigned i = 0; i < parts; i++) {
		if (style == 0)
			lt_text_printf(&text, "%s%s", i > 0 ? spaces[build_random(random, 3)] : "",
				words[build_random(random, 8)]);
		else
			lt_text_printf(&text, "%s%c",
				style == 1 ? "" : spaces[build_random(random, 4)],
				"abA8"[build_random(random, style == 1 ? 3 : 4)]);
	}
	return lt_arena_text(&h->arena, &text);
}

/* Words may be run together where any spelling of the family has them side by side. */
static void compare_families(struct model *m)
{
	for (size_t a = 0; a < m->count; a++)
		for (size_t b = 0; b < m->count; b++) {
			if (!m->given[a] || !m->given[b] || m->kind[a] != m->kind[b])
				continue;
			m->same[a][b] |= family_model_same(&m->family[a], &m->family[b]);
			if (!family_model_near(&m->family[a], &m->family[b]))
				continue;
			for (size_t c = 0; c < m->count; c++)
				for (size_t d = 0; d < m->count; d++)
					if (m->given[c] && m->given[d] &&
						m->kind[c] == m->kind[a] &&
						m->kind[d] == m->kind[a] &&
						family_model_same(&m->family[a], &m->family[c]) &&
						family_model_same(&m->family[b], &m->family[d]))
						m->same[c][d] = true;
		}
}

static const char *const key_texts[][2] = { { "a", "A " }, { "b", " B" }, { "a b", "A  B" } };

static void build_model(struct model *m, struct lt_harness *h, uint64_t *random)
{
	*m = (struct model){ .count = 1 + build_random(random, MANY) };
	const unsigned style = build_random(random, 3);
	build_init(h, "RV3", MANY);
	for (size_t i = 0; i < m->count; i++) {
		struct lt_connector *c = build_connector(h, NULL);
		m->kind[i] =
			build_random(random, 8) == 0 ? (unsigned)LT_CLIP : build_random(random, 2);
		m->given[i] = build_random(random, 8) != 0;
		m->ways[i] = build_random(random, 4);
		m->key[i] = build_random(random, 4);
		c->kind = (enum lt_kind)m->kind[i];
		c->ways = m->ways[i];
		if (m->given[i]) {
			c->family = family_at_random(h, random, style);
			m->family[i] = family_model_of(c->family);
		}
		if (m->key[i] != 0)
			c->key = key_texts[m->key[i] - 1][build_random(random, 2)];
	}
	compare_families(m);
	size_t said = build_random(random, 60);
	for (size_t i = 0; i < said; i++) {
		size_t a = build_random(random, (unsigned)m->count);
		size_t b = build_random(random, (unsigned)m->count);
		if (a == b)
			continue;
		if (build_random(random, 5) == 0) {
			build_fits(h, a, b);
			m->fits[a][b] = m->fits[b][a] = true;
		} else {
			build_unlike(h, a, b);
			m->unlike[a][b] = m->unlike[b][a] = true;
		}
	}
}

static void check_pairs(const struct model *m, const struct lt_lookalikes *l)
{
	for (size_t a = 0; a < m->count; a++) {
		for (size_t b = 0; b < m->count; b++) {
			assert_int_equal(lt_lookalike(l, a, b), model_alike(m, a, b, false));
			assert_int_equal(lt_lookalike_for_numbering(l, a, b),
				model_alike(m, a, b, true));
		}
	}
}

static void check_lists(const struct model *m, const struct lt_lookalikes *l, uint64_t *random)
{
	for (size_t a = 0; a < m->count; a++) {
		size_t expected[MANY];
		size_t count = 0;
		for (size_t b = 0; b < m->count; b++)
			if (model_alike(m, a, b, false))
				expected[count++] = b;
		size_t limit = build_random(random, MANY + 1);
		size_t out[MANY + 1];
		out[limit] = 12345;
		assert_int_equal(lt_lookalikes_of(l, a, out, limit), count);
		assert_int_equal(out[limit], 12345);
		for (size_t i = 0; i < count && i < limit; i++)
			assert_int_equal(out[i], expected[i]);
		assert_int_equal(lt_lookalikes_of(l, a, NULL, 0), count);
	}
}

static void check_ranks(const struct model *m, const struct lt_lookalikes *l, uint64_t *random)
{
	enum { TOP = 90 };
	unsigned rank[MANY] = { 0 };
	size_t by_rank[TOP] = { 0 };
	for (size_t i = 0; i < m->count; i++) {
		unsigned wanted = build_random(random, TOP);
		if (wanted != 0 && by_rank[wanted] == 0) {
			rank[i] = wanted;
			by_rank[wanted] = i + 1;
		}
	}
	struct lt_lookalike_order *order = lt_lookalike_order_create(l, rank);
	for (size_t a = 0; a < m->count; a++) {
		unsigned out[MANY];
		size_t count = lt_lookalike_ranks(order, a, out, MANY);
		size_t expected = 0;
		for (unsigned r = 1; r < TOP; r++)
			if (by_rank[r] != 0 && model_alike(m, a, by_rank[r] - 1, false))
				assert_int_equal(out[expected++], r);
		assert_int_equal(count, expected);
	}
	lt_lookalike_order_destroy(order);
}

static void mark_group(const struct model *m, size_t from, size_t group, size_t *groups)
{
	groups[from] = group;
	for (size_t b = 0; b < m->count; b++)
		if (groups[b] == 0 && model_alike(m, from, b, false))
			mark_group(m, b, group, groups);
}

static void check_groups(const struct model *m, const struct lt_lookalikes *l)
{
	size_t groups[MANY] = { 0 };
	size_t count;
	const struct lt_indices *found = lt_lookalike_groups(l, &count);
	size_t next = 0;
	for (size_t a = 0; a < m->count; a++) {
		if (groups[a] != 0)
			continue;
		mark_group(m, a, a + 1, groups);
		size_t members[MANY];
		size_t size = 0;
		for (size_t b = 0; b < m->count; b++)
			if (groups[b] == a + 1)
				members[size++] = b;
		if (size < 2)
			continue;
		assert_true(next < count);
		assert_int_equal(found[next].count, size);
		assert_memory_equal(found[next].items, members, size * sizeof members[0]);
		next++;
	}
	assert_int_equal(next, count);
}

/* No scope says more than the truth but for `unlike`, and all of them together say all of it but
 * for `fits`. */
static void check_scopes(const struct model *m, const struct lt_lookalikes *l)
{
	for (size_t a = 0; a < m->count; a++) {
		const struct lt_indices scopes = lt_scopes_of(l, a);
		assert_int_equal(scopes.count == 0, m->kind[a] == LT_CLIP);
		for (size_t b = 0; b < m->count; b++) {
			bool blocked = false;
			if (a == b)
				continue;
			for (size_t i = 0; i < scopes.count; i++) {
				if (!lt_scope_blocked_by(l, scopes.items[i], b))
					continue;
				blocked = true;
				assert_true(model_by_fields(m, a, b));
			}
			if (scopes.count != 0)
				assert_int_equal(blocked, model_by_fields(m, a, b));
		}
	}
}

/* Whether two count as look-alikes by families that are nearly the same, unasked. */
static bool model_open(const struct model *m, size_t a, size_t b)
{
	return m->given[a] && m->given[b] && model_matches(m, a, b) && !m->fits[a][b] &&
	       !m->unlike[a][b] && !family_model_same(&m->family[a], &m->family[b]);
}

static bool has_family(const struct model *m, struct lt_indices set, size_t connector)
{
	for (size_t i = 0; i < set.count; i++)
		if (m->kind[set.items[i]] == m->kind[connector] &&
			family_model_same(&m->family[set.items[i]], &m->family[connector]))
			return true;
	return false;
}

/* Each pair that is to be asked about is in one set, and no set has a family without cause. */
static void check_near(const struct model *m, const struct lt_lookalikes *l, size_t *asked)
{
	struct lt_arena arena = { 0 };
	size_t count;
	const struct lt_indices *sets = lt_lookalike_near(&count, l, &arena);
	for (size_t a = 0; a < m->count; a++)
		for (size_t b = 0; b < m->count; b++) {
			size_t in = 0;
			for (size_t i = 0; model_open(m, a, b) && i < count; i++)
				in += has_family(m, sets[i], a) && has_family(m, sets[i], b);
			assert_int_equal(in, model_open(m, a, b));
		}
	for (size_t i = 0; i < count; i++)
		for (size_t j = 0; j < sets[i].count; j++) {
			const struct lt_indices one = { &sets[i].items[j], 1 };
			bool cause = false;
			assert_true(j == 0 || sets[i].items[j - 1] < one.items[0]);
			for (size_t a = 0; a < m->count; a++)
				for (size_t b = 0; b < m->count; b++)
					cause = cause ||
						(model_open(m, a, b) && has_family(m, one, a) &&
							has_family(m, sets[i], b));
			assert_true(cause);
		}
	*asked += count;
	lt_arena_finish(&arena);
}

static void test_random_harnesses_against_every_pair(void **state)
{
	(void)state;
	uint64_t random = 20261125;
	static struct model m;
	size_t asked = 0;
	for (unsigned round = 0; round < 1000; round++) {
		struct lt_harness h;
		build_model(&m, &h, &random);
		struct lt_lookalikes *l = lt_lookalikes_create(&h);
		check_pairs(&m, l);
		check_lists(&m, l, &random);
		check_ranks(&m, l, &random);
		check_groups(&m, l);
		check_scopes(&m, l);
		if (round % 4 == 0)
			check_near(&m, l, &asked);
		lt_lookalikes_destroy(l);
		build_finish(&h);
	}
	assert_true(asked > 0);
}

static void test_families_that_are_nearly_the_same(void **state)
{
	(void)state;
	static const struct {
		const char *one, *other;
		bool alike;
	} rows[] = {
		{ "M12 round", "round M12", true },
		{ "M12 round", "M 12-ROUND", true },
		{ "M12 round", "M12 ronud", true },  /* a slip */
		{ "M12 round", "M12 square", true }, /* one word differs: asked */
		{ "M12 round", "M12", true },
		{ "M12", "12", true },
		{ "M12 round", "M8 round", false }, /* never another number */
		{ "M12 round", "M12 8 round", false },
		{ "M12 round", "rund", false },
		{ "M12 round A", "M12 square B", false }, /* two words differ */
		{ "round", "square", false },             /* nothing is the same */
		{ "round", "ruond", true },
		{ "round", "rond", true },
		{ "round", "rounds", true },
		{ "round", "Round", true },
		{ "round", "runod", false },
		{ "n\303\244chst", "nachst", true },
		{ "n\303\244chst", "na\314\210chst", true }, /* a mark of its own */
		{ "push-in 4 mm", "4 mm pushin", true },
		{ "push-in", "push in", true },
		{ "3/8 in", "3/8 in. ", true },
		{ "\303\230 6.3", "\303\230 6.30", true },
		{ "6.3 \342\200\223 tab", "tab 6,3", true }, /* a dash of Unicode */
		{ "6.3 tab", "63 tab", false },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct lt_harness h;
		build_init(&h, "RV3", 2);
		build_connector(&h, NULL)->family = rows[i].one;
		build_connector(&h, NULL)->family = rows[i].other;
		struct lt_lookalikes *l = lt_lookalikes_create(&h);
		if (lt_lookalike(l, 0, 1) != rows[i].alike)
			fail_msg("%s, %s", rows[i].one, rows[i].other);
		size_t out[2];
		assert_int_equal(lt_lookalikes_of(l, 1, out, 2), rows[i].alike);
		lt_lookalikes_destroy(l);
		build_unlike(&h, 0, 1);
		l = lt_lookalikes_create(&h);
		assert_false(lt_lookalike(l, 0, 1));
		lt_lookalikes_destroy(l);
		build_finish(&h);
	}
}

/* A family that has neither letter nor number says nothing. */
static void test_family_without_parts_is_unknown(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 1);
	build_connector(&h, NULL)->family = " - / \302\267 \342\200\223";
	assert_true(lt_fit_unknown(&h, 0));
	build_finish(&h);
}

static void test_fewer_ways_of_the_same_family(void **state)
{
	(void)state;
	static const unsigned ways[] = { 5, 3, 5, 0, 8, 4, 3 };
	static const char *const families[] = { "tab", "tab", "tab", "tab", "tab", "lug", "lug" };
	enum { ALL = sizeof ways / sizeof ways[0] };
	struct lt_harness h;
	build_init(&h, "RV3", ALL);
	for (size_t i = 0; i < ALL; i++) {
		struct lt_connector *c = build_connector(&h, NULL);
		c->family = families[i];
		c->ways = ways[i];
	}
	h.connectors[5].key = "A";
	h.connectors[6].key = "B";
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	size_t count;
	const struct lt_narrower *found = lt_lookalike_narrower(&count, l, &h.arena);
	assert_int_equal(count, 2);
	assert_int_equal(found[0].narrow, 1);
	assert_int_equal(found[0].wide, 0);
	assert_int_equal(found[1].narrow, 0);
	assert_int_equal(found[1].wide, 4);
	assert_false(lt_lookalike(l, 1, 0)); /* not assumed */
	lt_lookalikes_destroy(l);
	build_fits(&h, 1, 0);
	build_unlike(&h, 4, 0);
	h.connectors[6].key = "a";
	l = lt_lookalikes_create(&h);
	found = lt_lookalike_narrower(&count, l, &h.arena);
	assert_int_equal(count, 1);
	assert_int_equal(found[0].narrow, 6);
	assert_int_equal(found[0].wide, 5);
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

static void test_all_mutually_unlike_are_no_group(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 12);
	for (size_t i = 0; i < 12; i++)
		build_connector(&h, NULL)->family = "round";
	for (size_t i = 0; i < 11; i++)
		for (size_t j = 0; j < i; j++)
			build_unlike(&h, i, j);
	for (size_t i = 0; i < 10; i++)
		build_unlike(&h, i, 11);
	/* 11 is left with 10 alone; the others have nobody. */
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	size_t count;
	const struct lt_indices *groups = lt_lookalike_groups(l, &count);
	assert_int_equal(count, 1);
	assert_int_equal(groups[0].count, 2);
	assert_int_equal(groups[0].items[0], 10);
	assert_int_equal(groups[0].items[1], 11);
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

/* As many as a description may hold, all of one group; a few of each are asked for, as a sticker
 * does; comparing every pair would be 200 million of them. */
static void test_twenty_thousand_alike(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", LT_CONNECTORS_MAX);
	for (size_t i = 0; i < LT_CONNECTORS_MAX; i++) {
		struct lt_connector *c = build_connector(&h, NULL);
		c->family = "round";
		c->key = i % 2 == 0 ? NULL : c->id;
		if (i > 0)
			build_unlike(&h, i, i - 1);
	}
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	size_t count;
	const struct lt_indices *groups = lt_lookalike_groups(l, &count);
	assert_int_equal(count, 1);
	assert_int_equal(groups[0].count, LT_CONNECTORS_MAX);
	for (size_t i = 2; i < LT_CONNECTORS_MAX - 2; i++) {
		size_t out[4];
		size_t own = i % 2 == 0 ? LT_CONNECTORS_MAX - 3 : LT_CONNECTORS_MAX / 2 - 2;
		assert_int_equal(lt_lookalikes_of(l, i, out, 4), own);
		assert_int_equal(out[0], 0);
	}
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

static void test_nothing(void **state)
{
	(void)state;
	struct lt_harness h;
	build_init(&h, "RV3", 1);
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	size_t count = 1;
	lt_lookalike_groups(l, &count);
	assert_int_equal(count, 0);
	lt_lookalikes_destroy(l);
	build_finish(&h);
}

static void name_number(struct lt_text *out, size_t connector, const void *first)
{
	lt_text_printf(out, "%zu", connector + *(const size_t *)first);
}

/* 1 and 2 differ in their key, 0 has none and matches either: not every two are look-alikes. */
static void test_groups_are_listed_exactly(void **state)
{
	(void)state;
	static const char *const keys[] = { NULL, "A", "B", "B" };
	enum { ALL = sizeof keys / sizeof keys[0] };
	const size_t first = 4;
	struct lt_harness h;
	build_init(&h, "RV3", ALL);
	for (size_t i = 0; i < ALL; i++) {
		struct lt_connector *c = build_connector(&h, NULL);
		c->family = "tab 6.3";
		c->key = keys[i];
	}
	struct lt_lookalikes *l = lt_lookalikes_create(&h);
	size_t order[] = { 0, 1, 2, 3 }, pair[] = { 0, 1 };
	const struct lt_indices group = { order, ALL }, two = { pair, 2 };
	size_t count;
	assert_int_equal(lt_lookalike_groups(l, &count)[0].count, ALL);
	assert_int_equal(count, 1);
	assert_false(lt_lookalikes_complete(l, group));
	struct lt_text said = { 0 };
	lt_lookalikes_say(&said, l, group, 8, name_number, &first);
	assert_string_equal(lt_text_string(&said),
		"4 with 5, 6, 7; 5 with 4; 6 with 4, 7; 7 with 4, 6");
	lt_text_clear(&said);
	lt_lookalikes_say(&said, l, group, 2, name_number, &first);
	assert_string_equal(lt_text_string(&said), "4 with 5, 6 and 1 more; 5 with 4; 2 more");
	lt_text_finish(&said);
	lt_lookalikes_destroy(l);
	h.connectors[1].key = NULL;
	h.connector_count = 2;
	l = lt_lookalikes_create(&h);
	assert_true(lt_lookalikes_complete(l, two));
	lt_lookalikes_destroy(l);
	h.connector_count = ALL;
	build_finish(&h);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_one_difference_is_enough),
		cmocka_unit_test(test_groups_are_listed_exactly),
		cmocka_unit_test(test_unknown_fit_is_numbered_apart_and_not_listed),
		cmocka_unit_test(test_fits_and_unlike_overrule_from_either_side),
		cmocka_unit_test(test_random_harnesses_against_every_pair),
		cmocka_unit_test(test_families_that_are_nearly_the_same),
		cmocka_unit_test(test_family_without_parts_is_unknown),
		cmocka_unit_test(test_fewer_ways_of_the_same_family),
		cmocka_unit_test(test_all_mutually_unlike_are_no_group),
		cmocka_unit_test(test_twenty_thousand_alike),
		cmocka_unit_test(test_nothing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
