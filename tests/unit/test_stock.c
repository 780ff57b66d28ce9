/* Which layout is chosen for each sticker. */
#include "unit.h"

#include "has_parts.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "by_id.h"
#include "folder.h"
#include "loomtag/label.h"
#include "sticker_fixture.h"

static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };

/* Bundles by connector: 1.5, 4, 7 and 12 mm measured, one that is not known, a clip. */
static const char sample[] = "harness: RV3\n"
			     "components: [{id: M1, fate: replace}]\n"
			     "connectors:\n"
			     "  - {id: X1, family: a, bundle: 1.5 mm}\n"
			     "  - {id: X2, family: b, bundle: 4 mm, mates: M1}\n"
			     "  - {id: X3, family: c, bundle: 7 mm}\n"
			     "  - {id: X4, family: d, bundle: 12 mm}\n"
			     "  - {id: X5, family: e}\n"
			     "  - {id: K1, kind: clip, sides: 1}\n"
			     "  - {id: X6, family: f, tag: paper, bundle: 4 mm}\n";

/* A stock chosen from, and what was chosen: "layout" by tag. */
struct choosing {
	struct fixture fixture;
	struct lt_arena arena;
	struct lt_stock stock, known;
	struct lt_sticker_options options;
	unsigned char *choice;
	bool good;
	struct lt_diags diags;
};

static void start(struct choosing *c, const char *list)
{
	*c = (struct choosing){ 0 };
	fixture_init(&c->fixture, sample, NULL);
	assert_true(lt_stock_add_list(&c->stock, list, folders, &c->diags));
	lt_stock_add_all(&c->known, folders);
	c->options = (struct lt_sticker_options)LT_STICKER_OPTIONS_INIT;
	c->options.bundles = lt_harness_bundles(&c->arena, &c->fixture.harness);
	size_t count = c->fixture.harness.connector_count * LT_SIDE_COUNT;
	c->choice = lt_arena_array(&c->arena, count, 1);
	memset(c->choice, LT_STOCK_NONE, count);
}

static void choose(struct choosing *c, const char *list, unsigned sides,
	const struct lt_selection *only)
{
	start(c, list);
	const struct lt_stock_wish wish = { sides, c->stock.count, only };
	const struct lt_sticker_source source = { &c->fixture.tags, c->fixture.lookalikes,
		&measure };
	c->options.known = &c->known;
	c->good = lt_stock_choose(c->choice, &c->stock, &wish, &source, &c->options, &c->diags);
}

static void finish(struct choosing *c)
{
	lt_stock_finish(&c->stock);
	lt_stock_finish(&c->known);
	lt_diags_finish(&c->diags);
	lt_arena_finish(&c->arena);
	fixture_finish(&c->fixture);
}

/* The layout chosen for a connector's side, or "-". */
static const char *chosen(const struct choosing *c, const char *id, enum lt_side side)
{
	size_t connector = connector_by_id(&c->fixture.harness, id);
	assert_int_not_equal(connector, LT_NONE);
	unsigned index = c->choice[connector * LT_SIDE_COUNT + side];
	if (index == LT_STOCK_NONE)
		return "-";
	assert_true(index < c->stock.count);
	return c->stock.layouts[index].name;
}

/* Writes a wrap with the usual lines, but those that `instead` begins a line with. */
static void write_layout(const char *path, const char *const usual[][2], size_t count,
	const char *instead)
{
	FILE *out = fopen(path, "w");
	assert_non_null(out);
	fprintf(out, "layout: w\nkind: roll\nstyle: wrap\n%s\n", instead);
	for (size_t i = 0; i < count; i++) {
		const char *at = strstr(instead, usual[i][0]);
		if (at == NULL || (at > instead && at[-1] != '\n'))
			fprintf(out, "%s: %s\n", usual[i][0], usual[i][1]);
	}
	assert_int_equal(fclose(out), 0);
}

#define ALL_SIDES (1u << LT_SIDE_H | 1u << LT_SIDE_M | 1u << LT_SIDE_X)

static void test_chooses_by_bundle(void **state)
{
	(void)state;
	static const struct {
		const char *id;
		enum lt_side side;
		const char *layout;
	} cases[] = {
		/* The flag goes round anything up to its loop. */
		{ "X1", LT_SIDE_H, "flag-22x10" },
		{ "X2", LT_SIDE_H, "wrap-25x11" },
		{ "X3", LT_SIDE_H, "wrap-25x20" },
		/* Nothing goes round it: it lies flat. */
		{ "X4", LT_SIDE_H, "a4-3x8" },
		{ "X5", LT_SIDE_H, "a4-3x8" },
		{ "K1", LT_SIDE_H, "a4-3x8" },
		/* The machine half is a housing. */
		{ "X1", LT_SIDE_M, "a4-3x8" },
		{ "X2", LT_SIDE_M, "a4-3x8" },
		{ "X2", LT_SIDE_X, "a4-3x8" },
		{ "X4", LT_SIDE_M, "a4-3x8" },
		/* No sticker at all. */
		{ "X6", LT_SIDE_H, "-" },
		{ "K1", LT_SIDE_M, "-" },
		{ "X1", LT_SIDE_X, "-" },
	};
	struct choosing c;
	choose(&c, "wrap-25x11,wrap-25x20,flag-22x10,a4-3x8", ALL_SIDES, NULL);
	assert_true(c.good);
	assert_int_equal(c.diags.count, 0);
	for (size_t i = 0; i < COUNT(cases); i++)
		assert_string_equal(chosen(&c, cases[i].id, cases[i].side), cases[i].layout);
	finish(&c);
}

/* Of layouts that do as well, the one that was named first. */
static void test_order_of_stock(void **state)
{
	(void)state;
	struct choosing c;
	choose(&c, "roll-54x25,a4-3x8", ALL_SIDES, NULL);
	assert_string_equal(chosen(&c, "X5", LT_SIDE_H), "roll-54x25");
	finish(&c);
	choose(&c, "a4-3x8,roll-54x25", ALL_SIDES, NULL);
	assert_string_equal(chosen(&c, "X5", LT_SIDE_H), "a4-3x8");
	finish(&c);
}

/* A code that bends out of sight is worse than a flag that does not. */
static void test_readable_first(void **state)
{
	(void)state;
	struct choosing c;
	choose(&c, "wrap-25x20,flag-38x19", 1u << LT_SIDE_H, NULL);
	assert_string_equal(chosen(&c, "X3", LT_SIDE_H), "flag-38x19");
	assert_string_equal(chosen(&c, "X3", LT_SIDE_M), "-");
	finish(&c);
}

static void test_only(void **state)
{
	(void)state;
	struct choosing c;
	struct lt_diags diags = { 0 };
	struct lt_selection *only = lt_selection_read("2H", &diags);
	/* X4 would find nothing here, but is not asked for. */
	choose(&c, "wrap-25x11", ALL_SIDES, only);
	assert_true(c.good);
	assert_string_equal(chosen(&c, "X2", LT_SIDE_H), "wrap-25x11");
	assert_string_equal(chosen(&c, "X2", LT_SIDE_M), "-");
	finish(&c);
	lt_selection_destroy(only);
	lt_diags_finish(&diags);
}

/* Each connector for which nothing will do, with its bundle and what would do. */
static void test_nothing_will_do(void **state)
{
	(void)state;
	struct choosing c;
	choose(&c, "wrap-25x11", 1u << LT_SIDE_H, NULL);
	assert_false(c.good);
	assert_int_equal(c.diags.errors, 3);
	static const char *const messages[] = {
		"connector X1|sticker 1H|bundle of 1.50 mm",
		"connector X3|sticker 3H|bundle of 7.00 mm",
		"connector X4|sticker 4H",
	};
	for (size_t i = 0; i < COUNT(messages); i++) {
		assert_true(has_parts(c.diags.items[i].message, messages[i]));
		assert_null(strstr(c.diags.items[i].hint, "wrap-25x11"));
	}
	/* What goes round the bundle and reads well comes first. */
	assert_non_null(strstr(c.diags.items[1].hint, ": flag-38x19"));
	assert_non_null(strstr(c.diags.items[2].hint, ": tape-12-flag"));
	finish(&c);
}

/* Two files of the same name are not one layout, whatever it is that differs. */
static void test_same_name(void **state)
{
	(void)state;
	static const char *const lines[] = { "label: 25 x 40 mm\nprinted: 25 x 14 mm",
		"clear: 25 x 27 mm\nlabel: 25 x 40 mm", "direction: up", "gap: 4 mm", "dpi: 203",
		"inset: 0.9 mm", "corner: 0.5 mm", "thickness: 0.2 mm" };
	static const char *const usual[][2] = { { "label", "25 x 39 mm" },
		{ "printed", "25 x 13 mm" }, { "clear", "25 x 26 mm" }, { "direction", "down" },
		{ "gap", "3 mm" }, { "dpi", "300" }, { "inset", "1 mm" }, { "corner", "1 mm" },
		{ "thickness", "0.1 mm" } };
	for (size_t i = 0; i <= COUNT(lines); i++) {
		struct lt_stock stock = { 0 };
		struct lt_diags diags = { 0 };
		size_t first, second;
		assert_int_equal(mkdir("other", 0777) == 0 || errno == EEXIST, 1);
		write_layout("w.yaml", usual, COUNT(usual), "");
		write_layout("other/w.yaml", usual, COUNT(usual), i < COUNT(lines) ? lines[i] : "");
		assert_true(lt_stock_add(&stock, &first, "./w.yaml", folders, &diags));
		assert_int_equal(lt_stock_add(&stock, &second, "other/w.yaml", folders, &diags),
			i == COUNT(lines));
		if (i < COUNT(lines) &&
			!has_parts(diags.items[0].message, "two different layouts|w"))
			fail_msg("%s: %s", lines[i], diags.items[0].message);
		lt_stock_finish(&stock);
		lt_diags_finish(&diags);
	}
}

/* What the hint names does go round the bundle, and all that is named first is of the same style.
 */
static void test_fit_hints(void **state)
{
	(void)state;
	static const struct {
		const char *layout, *id;
		bool fits;
		const char *message, *hint;
	} cases[] = {
		{ "a4-3x8", "X4", true, NULL, NULL },
		{ "wrap-25x11", "X5", true, NULL, NULL },
		{ "wrap-25x11", "X2", true, NULL, NULL },
		{ "wrap-25x11", "X1", false, "connector X1|1.50 mm is too thin|wrap-25x11",
			"flag-" },
		{ "flag-25x13", "X3", false, "connector X3|7.00 mm is too thick|flag-25x13",
			": flag-38x19" },
	};
	struct choosing c;
	start(&c, "a4-3x8");
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_diags diags = { 0 };
		size_t index, connector = connector_by_id(&c.fixture.harness, cases[i].id);
		assert_true(lt_stock_add(&c.stock, &index, cases[i].layout, folders, &diags));
		assert_int_equal(lt_layout_check_fit(&c.stock.layouts[index],
					 &c.fixture.harness.connectors[connector],
					 c.options.bundles[connector].diameter, &c.known, &diags),
			cases[i].fits);
		assert_int_equal(diags.errors, cases[i].fits ? 0 : 1);
		if (!cases[i].fits) {
			assert_true(has_parts(diags.items[0].message, cases[i].message));
			assert_non_null(strstr(diags.items[0].hint, cases[i].hint));
		}
		lt_diags_finish(&diags);
	}
	finish(&c);
}

static void test_adds(void **state)
{
	(void)state;
	struct lt_stock stock = { 0 };
	struct lt_diags diags = { 0 };
	size_t first, again;
	assert_true(lt_stock_add(&stock, &first, "tape-12", folders, &diags));
	assert_true(lt_stock_add(&stock, &again, "tape-12", folders, &diags));
	assert_int_equal(first, again);
	assert_int_equal(stock.count, 1);
	assert_false(lt_stock_add_list(&stock, "tape-12,,tape-13", folders, &diags));
	assert_int_equal(diags.errors, 2);
	assert_non_null(strstr(diags.items[0].message, "comma"));
	assert_non_null(strstr(diags.items[1].message, "tape-13"));
	assert_int_equal(stock.count, 1);
	lt_stock_finish(&stock);
	lt_stock_finish(NULL);
	lt_diags_finish(&diags);
}

static int begin(void **state)
{
	return enter_folder(state) == 0 ? open_fonts(state) : -1;
}

static int end(void **state)
{
	close_fonts(state);
	return leave_folder(state);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_chooses_by_bundle),
		cmocka_unit_test(test_order_of_stock),
		cmocka_unit_test(test_readable_first),
		cmocka_unit_test(test_only),
		cmocka_unit_test(test_nothing_will_do),
		cmocka_unit_test(test_same_name),
		cmocka_unit_test(test_fit_hints),
		cmocka_unit_test(test_adds),
	};
	return cmocka_run_group_tests(tests, begin, end);
}
