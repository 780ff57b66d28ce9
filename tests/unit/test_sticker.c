/* One sticker: its texts, its payload, and what it leaves out when there is no room. */
#include "unit.h"

#include "has_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/base.h"
#include "sticker_fixture.h"

/* What a sticker says */

static const char sample[] =
	"harness: RV3\n"
	"unit: \"0042\"\n"
	"components:\n"
	"  - {id: M1, name: vent motor, fate: replace}\n"
	"  - {id: B4, name: rain sensor}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, port: PWR, family: tab, ways: 3,"
	" wires: {1: BN, 2: BU, 3: GNYE}}\n"
	"  - {id: X2, name: tacho, mates: B4, family: tab, ways: 3}\n"
	"  - {id: X3}\n"
	"  - {id: C1, name: ridge clip, kind: clip, sides: 1}\n";

static void assert_says(const struct lt_sticker *sticker, enum lt_box_role role, const char *text)
{
	const struct lt_box *box = box_of(sticker, role);
	if (text == NULL) {
		assert_null(box);
		return;
	}
	assert_non_null(box);
	assert_string_equal(box->text, text);
}

static void test_texts(void **state)
{
	(void)state;
	static const unsigned numbers[] = { 12, 15, 16, 20, 0 };
	static const struct {
		size_t connector;
		enum lt_side side;
		const char *tag, *banner, *lookalikes, *name, *wires, *mate;
	} cases[] = {
		{ 0, LT_SIDE_H, "12H", NULL, "not on 15", "X1 motor power", "1 BN, 2 BU, 3 GNYE",
			"→ M1 vent motor PWR" },
		{ 0, LT_SIDE_M, "12M", "NEW PART", "not on 15", "X1 motor power",
			"1 BN, 2 BU, 3 GNYE", "on M1 vent motor PWR" },
		{ 0, LT_SIDE_X, "12X", "OLD PART", "not on 15", "X1 motor power",
			"1 BN, 2 BU, 3 GNYE", "on M1 vent motor PWR" },
		{ 1, LT_SIDE_M, "15M", NULL, "not on 12", "X2 tacho", NULL, "on B4 rain sensor" },
		{ 2, LT_SIDE_H, "16H", NULL, "fit unknown", "X3", NULL, NULL },
		{ 3, LT_SIDE_H, "20H", NULL, NULL, "C1 ridge clip", NULL, NULL },
	};
	struct fixture fixture;
	struct lt_layout layout;
	fixture_init(&fixture, sample, numbers);
	fixture_layout(&layout, "a4-3x8");
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		place_well(&sticker, &arena, &fixture, &layout, cases[i].connector, cases[i].side);
		assert_int_equal(sticker.left_out, 0);
		assert_int_equal(sticker.shortened, 0);
		assert_says(&sticker, LT_BOX_TAG, cases[i].tag);
		assert_says(&sticker, LT_BOX_BANNER, cases[i].banner);
		assert_says(&sticker, LT_BOX_LOOKALIKES, cases[i].lookalikes);
		assert_says(&sticker, LT_BOX_NAME, cases[i].name);
		assert_says(&sticker, LT_BOX_WIRES, cases[i].wires);
		assert_says(&sticker, LT_BOX_MATE, cases[i].mate);
		assert_says(&sticker, LT_BOX_HARNESS, "RV3U0042");
		/* About half of the printable 33 mm, and bold. */
		const struct lt_box *tag = box_of(&sticker, LT_BOX_TAG);
		assert_true(capital_of(tag) > 12);
		assert_true(tag->face == LT_TYPEFACE_BOLD ||
			    tag->face == LT_TYPEFACE_CONDENSED_BOLD);
		lt_arena_finish(&arena);
	}
	lt_layout_finish(&layout);
	fixture_finish(&fixture);
}

static void test_over_m(void **state)
{
	(void)state;
	static const unsigned numbers[] = { 12, 15, 16, 20, 0 };
	static const struct {
		const char *layout, *banner;
	} cases[] = { { "a4-3x8", "OLD PART: STICK OVER 12M" }, { "roll-25x13", "OVER 12M" } };
	struct fixture fixture;
	fixture_init(&fixture, sample, numbers);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_layout layout;
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		struct lt_diags diags = { 0 };
		fixture_layout(&layout, cases[i].layout);
		assert_true(place(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_X,
			LT_PAYLOAD_AUTO, true, &diags));
		assert_says(&sticker, LT_BOX_BANNER, cases[i].banner);
		lt_arena_finish(&arena);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
	fixture_finish(&fixture);
}

/* The smallest label keeps what a wrong pairing would come from, and lets the rest go from the
 * end of the order. */
static void test_warnings_stay(void **state)
{
	(void)state;
	static const unsigned numbers[] = { 12, 15, 16, 20, 0 };
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	fixture_init(&fixture, sample, numbers);
	fixture_layout(&layout, "roll-25x13");
	place_well(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_M);
	assert_says(&sticker, LT_BOX_BANNER, "NEW PART");
	assert_non_null(box_of(&sticker, LT_BOX_LOOKALIKES));
	assert_true(sticker.left_out & (1u << LT_BOX_HARNESS));
	unsigned order[] = { LT_BOX_NAME, LT_BOX_WIRES, LT_BOX_MATE, LT_BOX_HARNESS };
	for (size_t i = 1; i < COUNT(order); i++) {
		if (sticker.left_out & (1u << order[i - 1]))
			assert_true(sticker.left_out & (1u << order[i]));
	}
	lt_arena_finish(&arena);
	lt_layout_finish(&layout);
	fixture_finish(&fixture);
}

/* Numbers that read as another upside down: a bar under the digits and not under the letter. */
static void test_underline(void **state)
{
	(void)state;
	static const struct {
		unsigned number;
		bool barred;
	} cases[] = { { 6, true }, { 9, true }, { 16, true }, { 91, true }, { 66, true },
		{ 89, true }, { 8, false }, { 12, false }, { 69, false }, { 60, false },
		{ 3, false } };
	struct lt_layout layout;
	/* The smallest, where a bar in proportion would be too thin. */
	fixture_layout(&layout, "roll-25x13");
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct fixture fixture;
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		fixture_init(&fixture,
			"harness: RV3\nconnectors: [{id: X1, name: upper limit, family: a}]\n",
			(unsigned[]){ cases[i].number, 0 });
		place_well(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_H);
		const struct lt_box *bar = box_of(&sticker, LT_BOX_UNDERLINE);
		const struct lt_box *tag = box_of(&sticker, LT_BOX_TAG);
		assert_int_equal(bar != NULL, cases[i].barred);
		if (bar != NULL) {
			char digits[8];
			snprintf(digits, sizeof(digits), "%u", cases[i].number);
			double end = tag->x + lt_text_width(&measure, tag->face, tag->size, digits);
			assert_true(bar->height >= 0.4 - SLACK);
			assert_true(bar->y >= tag->baseline);
			assert_true(fabs(bar->x - tag->x) < SLACK);
			assert_true(fabs(bar->x + bar->width - end) < SLACK);
		}
		lt_arena_finish(&arena);
		fixture_finish(&fixture);
	}
	lt_layout_finish(&layout);
}

/* Colours are cut between ways, or GNYE could read GN. */
static void test_colours_are_cut_whole(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	fixture_init(&fixture,
		"harness: RV3\n"
		"connectors:\n"
		"  - {id: X1, family: a, wires: {1: WH, 2: BN, 3: GN, 4: YE, 5: GY, 6: PK, 7: BU,"
		" 8: RD, 9: BK, 10: VT, 11: GYPK, 12: GNYE}}\n",
		NULL);
	fixture_layout(&layout, "a4-5x13");
	place_well(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_H);
	const struct lt_box *box = box_of(&sticker, LT_BOX_WIRES);
	assert_non_null(box);
	assert_true(sticker.shortened & (1u << LT_BOX_WIRES));
	size_t length = strlen(box->text);
	assert_true(length > 8);
	assert_string_equal(box->text + length - 5, ", \xE2\x80\xA6");
	struct lt_text full = { 0 };
	lt_connector_wires(&full, &fixture.harness.connectors[0]);
	assert_int_equal(strncmp(lt_text_string(&full), box->text, length - 4), 0);
	lt_text_finish(&full);
	lt_arena_finish(&arena);
	lt_layout_finish(&layout);
	fixture_finish(&fixture);
}

/* Payloads and module sizes */

static void test_payload_auto(void **state)
{
	(void)state;
	static const char with_base[] = "harness: RV3\nbase: http://fixture.local:8080\n"
					"connectors: [{id: X1, name: motor power, family: a}]\n";
	static const char without[] = "harness: RV3\n"
				      "connectors: [{id: X1, name: motor power, family: a}]\n";
	static const char wordy[] =
		"harness: RV3\n"
		"connectors: [{id: X1, name: a name with a good deal more to it "
		"than would fit into a small symbol, family: a}]\n";
	/* A link that three dots a module would have room for, which auto does not stoop to. */
	static const char long_base[] =
		"harness: RV3\nbase: http://fixture.local:8080/maps/shop\n"
		"connectors: [{id: X1, name: a name with a good deal more to it "
		"than would fit into a small symbol, family: a}]\n";
	static const struct {
		const char *text, *layout;
		enum lt_payload payload;
	} cases[] = {
		{ long_base, "roll-25x13", LT_PAYLOAD_CODE },
		{ with_base, "a4-3x8", LT_PAYLOAD_LINK },
		{ with_base, "roll-25x13", LT_PAYLOAD_LINK },
		{ without, "a4-3x8", LT_PAYLOAD_FACTS },
		{ wordy, "a4-3x8", LT_PAYLOAD_FACTS },
		{ wordy, "roll-25x13", LT_PAYLOAD_CODE },
	};
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct fixture fixture;
		struct lt_layout layout;
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		fixture_init(&fixture, cases[i].text, NULL);
		fixture_layout(&layout, cases[i].layout);
		place_well(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_H);
		assert_int_equal(sticker.symbol.payload, cases[i].payload);
		/* Four dots and more for stable operation, as the symbol's inventor publishes. */
		double module = box_of(&sticker, LT_BOX_QR)->module;
		if (layout.dpi > 0)
			assert_true(module * layout.dpi / 25.4 > 3.99);
		else
			assert_true(module >= 0.33);
		lt_arena_finish(&arena);
		lt_layout_finish(&layout);
		fixture_finish(&fixture);
	}
}

/* Too small for four dots, large enough for three: code goes, since nothing else would. */
static void test_payload_marginal(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_layout layout;
	struct lt_arena arena = { 0 };
	struct lt_sticker sticker;
	fixture_init(&fixture, sample, NULL);
	fixture_roll(&layout, "25 x 13 mm", 203);
	place_well(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_H);
	assert_int_equal(sticker.symbol.payload, LT_PAYLOAD_CODE);
	assert_true(fabs(box_of(&sticker, LT_BOX_QR)->module - 3 * 25.4 / 203) < SLACK);
	lt_arena_finish(&arena);
	lt_layout_finish(&layout);
	fixture_finish(&fixture);
}

/* Facts would fit beside a short number; a long one comes before them. */
static void test_payload_yields_to_tag(void **state)
{
	(void)state;
	static const struct {
		unsigned number;
		enum lt_payload payload;
	} cases[] = { { 7, LT_PAYLOAD_FACTS }, { 12345, LT_PAYLOAD_CODE } };
	struct lt_layout layout;
	fixture_roll(&layout, "20 x 10 mm", 600);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
		options.distance = 500; /* 2 mm by NUREG-0700 */
		struct lt_diags diags = { 0 };
		struct fixture fixture;
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		fixture_init(&fixture,
			"harness: RV3\nunit: \"0042\"\nconnectors: [{id: X1, name: upper limit, family: a}]\n",
			(unsigned[]){ cases[i].number, 0 });
		assert_true(place_as(&sticker, &arena, &fixture, &layout,
			(struct lt_sticker_id){ 0, LT_SIDE_H, false }, &options, &diags));
		assert_true(sticker.number_height >= 2 - SLACK);
		lt_diags_finish(&diags);
		assert_int_equal(sticker.symbol.payload, cases[i].payload);
		lt_arena_finish(&arena);
		fixture_finish(&fixture);
	}
	lt_layout_finish(&layout);
}

static void test_no_room(void **state)
{
	(void)state;
	static const unsigned long_number[] = { 12345, 0 };
	static const struct {
		const char *size;
		unsigned dpi;
		enum lt_payload payload;
		const unsigned *numbers;
		const char *message, *hint;
	} cases[] = {
		{ "25 x 13 mm", 203, LT_PAYLOAD_FACTS, NULL, "connector X1|--payload facts|no room",
			"--payload code" },
		{ "25 x 13 mm", 300, LT_PAYLOAD_LINK, NULL, "--payload link|base", "--base" },
		{ "8 x 8 mm", 203, LT_PAYLOAD_AUTO, NULL,
			"connector X1|no room|layout own (8 x 8 mm", "larger label or a finer" },
		{ "6 x 20 mm", 600, LT_PAYLOAD_CODE, long_number,
			"connector X1|number 12345|no room", "larger label" },
	};
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct fixture fixture;
		struct lt_layout layout;
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		struct lt_diags diags = { 0 };
		fixture_init(&fixture, sample, cases[i].numbers);
		fixture_roll(&layout, cases[i].size, cases[i].dpi);
		assert_false(place(&sticker, &arena, &fixture, &layout, 0, LT_SIDE_H,
			cases[i].payload, false, &diags));
		assert_int_equal(diags.errors, 1);
		assert_true(has_parts(diags.items[0].message, cases[i].message));
		assert_non_null(strstr(diags.items[0].hint, cases[i].hint));
		lt_diags_finish(&diags);
		lt_arena_finish(&arena);
		lt_layout_finish(&layout);
		fixture_finish(&fixture);
	}
}

static void test_role_names(void **state)
{
	(void)state;
	for (int role = 0; role < LT_BOX_ROLE_COUNT; role++)
		assert_true(lt_box_role_name((enum lt_box_role)role)[0] != '\0');
}

/* What a scanner was found to read decides, in both directions. Four dots
 * a module for stable operation, readers manage 0.25 mm (qrcode.com); 2 dots at 300 dpi are 0.169
 * mm, at 600 dpi 0.085. */
static void test_least_dots(void **state)
{
	(void)state;
	static const unsigned numbers[] = { 12, 15, 16, 20, 0 };
	static const struct {
		double width, height, dpi;
		unsigned least, dots; /* dots 0: refused */
		enum lt_quality quality;
		bool scanner; /* the hint speaks of it */
	} cases[] = {
		/* Room for 2 dots a module. */
		{ 25, 6, 300, 0, 0, LT_QUALITY_UNREADABLE, false },
		{ 25, 6, 300, 3, 0, LT_QUALITY_UNREADABLE, false },
		{ 25, 6, 300, 2, 2, LT_QUALITY_MARGINAL, false },
		{ 20, 3, 600, 2, 0, LT_QUALITY_UNREADABLE, false },
		/* For 3. */
		{ 25, 8.5, 300, 0, 3, LT_QUALITY_MARGINAL, false },
		{ 25, 8.5, 300, 2, 3, LT_QUALITY_MARGINAL, false },
		{ 25, 8.5, 300, 4, 0, LT_QUALITY_UNREADABLE, true },
		/* For 4. */
		{ 40, 16, 203, 0, 4, LT_QUALITY_GOOD, false },
		{ 40, 16, 203, 2, 4, LT_QUALITY_GOOD, false },
		{ 40, 16, 203, 4, 4, LT_QUALITY_GOOD, false },
		{ 40, 16, 203, 5, 0, LT_QUALITY_UNREADABLE, true },
		/* For 6. */
		{ 54, 25, 203, 6, 6, LT_QUALITY_GOOD, false },
		{ 54, 25, 203, 8, 0, LT_QUALITY_UNREADABLE, true },
	};
	struct fixture fixture;
	fixture_init(&fixture, sample, numbers);
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct lt_layout layout = { .name = "mine",
			.medium = LT_MEDIUM_ROLL,
			.style = LT_STYLE_PLATE,
			.label_width = cases[i].width,
			.label_height = cases[i].height,
			.columns = 1,
			.rows = 1,
			.inset = 0.5,
			.dpi = cases[i].dpi };
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		struct lt_diags diags = { 0 };
		struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
		options.payload = LT_PAYLOAD_CODE;
		options.least_text = 1;
		options.least_dots = cases[i].least;
		bool placed = place_as(&sticker, &arena, &fixture, &layout,
			(struct lt_sticker_id){ 2, LT_SIDE_H, false }, &options, &diags);
		assert_int_equal(placed, cases[i].dots != 0);
		if (placed) {
			assert_int_equal(sticker.symbol.dots, cases[i].dots);
			assert_int_equal(sticker.symbol.quality, cases[i].quality);
		} else {
			assert_int_equal(diags.errors, 1);
			assert_non_null(strstr(diags.items[0].message, "its QR code"));
			assert_int_equal(strstr(diags.items[0].hint, "--smallest") != NULL,
				cases[i].scanner);
		}
		lt_diags_finish(&diags);
		lt_arena_finish(&arena);
	}
	fixture_finish(&fixture);
}

/* Sheets go through printers of which it says nothing. */
static void test_least_dots_not_on_sheets(void **state)
{
	(void)state;
	static const unsigned numbers[] = { 12, 15, 16, 20, 0 };
	static const unsigned least[] = { 0, 2, 8 };
	struct fixture fixture;
	struct lt_layout layout = { .name = "mine",
		.medium = LT_MEDIUM_SHEET,
		.style = LT_STYLE_PLATE,
		.page_width = 210,
		.page_height = 297,
		.label_width = 25,
		.label_height = 7,
		.columns = 1,
		.rows = 1,
		.inset = 0.5 };
	fixture_init(&fixture, sample, numbers);
	for (size_t i = 0; i < COUNT(least); i++) {
		struct lt_arena arena = { 0 };
		struct lt_sticker sticker;
		struct lt_diags diags = { 0 };
		struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
		options.payload = LT_PAYLOAD_CODE;
		options.least_dots = least[i];
		assert_true(place_as(&sticker, &arena, &fixture, &layout,
			(struct lt_sticker_id){ 2, LT_SIDE_H, false }, &options, &diags));
		assert_int_equal(sticker.symbol.dots, 5);
		assert_int_equal(sticker.symbol.quality, LT_QUALITY_MARGINAL);
		lt_diags_finish(&diags);
		lt_arena_finish(&arena);
	}
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_least_dots),
		cmocka_unit_test(test_least_dots_not_on_sheets),
		cmocka_unit_test(test_texts),
		cmocka_unit_test(test_over_m),
		cmocka_unit_test(test_warnings_stay),
		cmocka_unit_test(test_underline),
		cmocka_unit_test(test_colours_are_cut_whole),
		cmocka_unit_test(test_payload_auto),
		cmocka_unit_test(test_payload_marginal),
		cmocka_unit_test(test_payload_yields_to_tag),
		cmocka_unit_test(test_no_room),
		cmocka_unit_test(test_role_names),
	};
	return cmocka_run_group_tests(tests, open_fonts, close_fonts);
}
