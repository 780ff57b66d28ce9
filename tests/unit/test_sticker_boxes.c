/* Random stickers: no box overlaps another or leaves the printable area, and texts have the right
 * size. */
#include "unit.h"

#include <ft2build.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H

#include "label/shape.h"
#include "label/sticker.h"
#include "sticker_fixture.h"

#include "draw/fonts.h"

/* What every sticker promises */

static bool apart(const struct lt_box *a, const struct lt_box *b, double margin)
{
	return a->x + a->width + margin <= b->x + SLACK ||
	       b->x + b->width + margin <= a->x + SLACK ||
	       a->y + a->height + margin <= b->y + SLACK ||
	       b->y + b->height + margin <= a->y + SLACK;
}

/* The faces are on the label, apart from each other, and alike. */
static void check_faces(const struct lt_shape *shape)
{
	assert_true(shape->face_count >= 1 && shape->face_count <= LT_FACES);
	for (size_t i = 0; i < shape->face_count; i++) {
		const struct lt_zone *face = &shape->faces[i];
		assert_true(face->x >= -SLACK && face->x + face->width <= shape->width + SLACK);
		assert_true(face->y >= -SLACK && face->y + face->height <= shape->height + SLACK);
		assert_true(face->width == shape->faces[0].width);
		assert_true(face->height == shape->faces[0].height);
		assert_true(i == 0 || face->x >= shape->faces[i - 1].x + face->width - SLACK);
	}
}

static void check_places(const struct lt_sticker *sticker, const struct lt_layout *layout)
{
	const struct lt_zone *face = &sticker->shape.faces[0];
	check_faces(&sticker->shape);
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		assert_true(box->width > 0 && box->height > 0);
		assert_true(box->x >= layout->inset - SLACK);
		assert_true(box->y >= layout->inset - SLACK);
		assert_true(box->x + box->width <= face->width - layout->inset + SLACK);
		assert_true(box->y + box->height <= face->height - layout->inset + SLACK);
		for (size_t j = i + 1; j < sticker->box_count; j++)
			assert_true(apart(box, &sticker->boxes[j], 0));
	}
}

/* ISO/IEC 18004: four modules of quiet zone on every side. */
static void check_symbol(const struct lt_sticker *sticker, const struct lt_layout *layout)
{
	const struct lt_box *qr = box_of(sticker, LT_BOX_QR);
	const struct lt_zone *face = &sticker->shape.faces[0];
	assert_non_null(qr);
	double quiet = 4 * qr->module;
	assert_true(fabs(qr->width - qr->module * sticker->symbol.plan.modules) < SLACK);
	assert_true(fabs(qr->height - qr->width) < SLACK);
	assert_true(qr->x >= quiet - SLACK && qr->y >= quiet - SLACK);
	assert_true(qr->x + qr->width + quiet <= face->width + SLACK);
	assert_true(qr->y + qr->height + quiet <= face->height + SLACK);
	for (size_t i = 0; i < sticker->box_count; i++) {
		if (&sticker->boxes[i] != qr)
			assert_true(apart(qr, &sticker->boxes[i], quiet));
	}
	/* Whole dots, three at the least; of the head, or of a sheet's printer at 600 dpi. Standard
	 * scanners read down to about 0.25 mm; less than 0.16 mm is not printed at all. */
	double dots = qr->module * (layout->dpi > 0 ? layout->dpi : 600) / 25.4;
	assert_true(fabs(dots - round(dots)) < SLACK);
	assert_true(round(dots) >= 3 && qr->module >= 0.16);
	assert_int_equal(sticker->symbol.dots, lround(dots));
	bool fair = round(dots) >= 4 && qr->module >= 0.25 - SLACK;
	assert_int_equal(sticker->symbol.quality >= LT_QUALITY_FAIR, fair);
	assert_int_not_equal(sticker->symbol.quality, LT_QUALITY_UNREADABLE);
	struct lt_qr_plan least;
	assert_true(lt_qr_plan(&least, sticker->symbol.text, sticker->symbol.plan.level));
	assert_true(least.version <= sticker->symbol.plan.version);
}

/* Where the glyphs' ink really is, by the font. */
static void check_ink(const struct lt_box *box)
{
	FT_Face face = lt_font_face(fonts, box->face);
	double em = face->units_per_EM;
	const char *at = box->text;
	for (uint32_t code; (code = lt_utf8_next(&at)) != 0;) {
		if (lt_font_shown(fonts, box->face, code) != code)
			code = 0xFFFD;
		assert_int_equal(FT_Load_Glyph(face, FT_Get_Char_Index(face, code),
					 FT_LOAD_NO_SCALE),
			0);
		const FT_Glyph_Metrics *glyph = &face->glyph->metrics;
		double up = (double)glyph->horiBearingY / em * box->size;
		double down = (double)(glyph->height - glyph->horiBearingY) / em * box->size;
		/* A banner's black goes all round; combining marks beyond Latin may stand out a
		 * little above their letter. */
		assert_true(box->baseline - up >= box->y - 0.02 * box->size);
		assert_true(box->baseline + down <= box->y + box->height + 0.02 * box->size);
	}
}

static void check_texts(const struct lt_sticker *sticker, const struct lt_layout *layout)
{
	const struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
	const struct lt_box *tag = box_of(sticker, LT_BOX_TAG);
	assert_non_null(tag);
	assert_true(capital_of(tag) >= options.least_text - SLACK);
	assert_true(fabs(capital_of(tag) - sticker->number_height) < SLACK);
	/* NUREG-0700, 11.4.1.5-1: 0.004 x the viewing distance at the least, else it is told. */
	assert_int_equal((lt_doubts_of(sticker, layout, options.distance) &
				 1u << LT_DOUBT_NUMBER) != 0,
		capital_of(tag) < 0.004 * options.distance - SLACK);
	unsigned seen = 0;
	for (size_t i = 0; i < sticker->box_count; i++) {
		const struct lt_box *box = &sticker->boxes[i];
		assert_false(seen & (1u << box->role));
		seen |= 1u << box->role;
		if (box->text == NULL)
			continue;
		assert_true(box->text[0] != '\0');
		assert_int_equal(lt_utf8_check(box->text, strlen(box->text)), strlen(box->text));
		double width = lt_text_width(&measure, box->face, box->size, box->text);
		assert_true(box->text_x >= box->x - SLACK);
		assert_true(box->text_x + width <= box->x + box->width + SLACK);
		assert_true(capital_of(box) >= options.least_text - SLACK);
		if (box != tag)
			assert_true(capital_of(box) < capital_of(tag));
		check_ink(box);
	}
	assert_int_equal(seen & sticker->left_out, 0);
	assert_int_equal(seen & sticker->shortened, sticker->shortened);
}

/* "not on 3, 5 +2": the numbers are look-alikes' and the sum is right, whatever the room. */
static void check_lookalikes(const struct lt_sticker *sticker, const struct fixture *fixture)
{
	const struct lt_box *box = box_of(sticker, LT_BOX_LOOKALIKES);
	unsigned numbers[64];
	size_t all = lt_tag_lookalikes(&fixture->tags, fixture->lookalikes, sticker->connector,
		numbers, COUNT(numbers));
	if (box == NULL)
		return;
	if (all == 0) {
		assert_true(lt_fit_unknown(&fixture->harness, sticker->connector));
		assert_string_equal(box->text, "fit unknown");
		return;
	}
	const char *at = box->text + strcspn(box->text, "0123456789+");
	size_t listed = 0;
	while (*at != '\0' && *at != '+') {
		char *end = NULL;
		assert_int_equal(strtoul(at, &end, 10), numbers[listed++]);
		at = end + strspn(end, ", ");
	}
	size_t more = *at == '+' ? strtoul(at + 1, NULL, 10) : 0;
	assert_true(listed > 0);
	assert_int_equal(listed + more, all);
}

/* The room that a line has at the least: from where it starts to the symbol, or to the edge. */
static double column_of(const struct lt_sticker *sticker, const struct lt_layout *layout,
	const struct lt_box *line)
{
	const struct lt_box *qr = box_of(sticker, LT_BOX_QR);
	const struct lt_zone *face = &sticker->shape.faces[0];
	bool beside = face->width >= face->height;
	double right = beside ? qr->x - 4 * qr->module : face->width - layout->inset;
	return right - line->x;
}

/* Nothing is shortened that would have fitted at the smallest size. */
static void check_shortened(const struct lt_sticker *sticker, const struct lt_layout *layout,
	enum lt_box_role role, const char *full)
{
	const struct lt_sticker_options options = LT_STICKER_OPTIONS_INIT;
	const struct lt_box *box = box_of(sticker, role);
	if (box == NULL)
		return;
	if ((sticker->shortened & (1u << role)) == 0) {
		if (role != LT_BOX_MATE)
			assert_string_equal(box->text, full);
		return;
	}
	double em =
		options.least_text / measure.heights(measure.data, LT_TYPEFACE_CONDENSED).capital;
	assert_non_null(strstr(box->text, "\xE2\x80\xA6"));
	assert_true(lt_text_width(&measure, LT_TYPEFACE_CONDENSED, em, full) >
		    column_of(sticker, layout, box) - SLACK);
}

static void check_sticker(const struct lt_sticker *sticker, const struct lt_layout *layout,
	const struct fixture *fixture)
{
	const struct lt_connector *connector = &fixture->harness.connectors[sticker->connector];
	check_places(sticker, layout);
	check_symbol(sticker, layout);
	check_texts(sticker, layout);
	check_lookalikes(sticker, fixture);
	struct lt_text text = { 0 };
	lt_text_printf(&text, "%s%s%s", connector->id, connector->name != NULL ? " " : "",
		connector->name != NULL ? connector->name : "");
	check_shortened(sticker, layout, LT_BOX_NAME, lt_text_string(&text));
	lt_text_clear(&text);
	lt_connector_wires(&text, connector);
	check_shortened(sticker, layout, LT_BOX_WIRES, lt_text_string(&text));
	check_shortened(sticker, layout, LT_BOX_HARNESS, fixture->harness.code);
	lt_text_finish(&text);
	bool barred = lt_upside_down(sticker->number) != 0;
	assert_int_equal(box_of(sticker, LT_BOX_UNDERLINE) != NULL, barred);
}

/* Random stickers */

static unsigned next(unsigned *seed, unsigned below)
{
	*seed = *seed * 1664525u + 1013904223u;
	return (*seed >> 8) % below;
}

/* Words of many scripts and widths, as YAML in double quotes. */
static void add_random(struct lt_text *out, unsigned *seed, unsigned most)
{
	static const char *const pieces[] = { "W", "i", "motor ", "sensor ", "left ", "gy|{}", "Å",
		"Größe ", "датчик ", "Йод", "e\xCC\x81", "A\xCC\x8A\xCC\xA7", "電動機", "ｆｕｌｌ",
		"€", "→", "…", "Ő", "ņ", "\\u200d", "0.75 mm²", "🔧", "WWWWWWWWWWWWWWWWWWWW" };
	lt_text_add_char(out, '"');
	lt_text_add_char(out, 'n');
	for (unsigned i = next(seed, most + 1); i > 0; i--)
		lt_text_add(out, pieces[next(seed, COUNT(pieces))]);
	lt_text_add_char(out, '"');
}

static void add_connector(struct lt_text *out, unsigned *seed, unsigned index)
{
	static const char *const colours[] = { "BN", "WHRD", "GNYE", "YEGNBK", "BU", "[RD, BK]" };
	unsigned most = next(seed, 4) == 0 ? 60 : 4;
	lt_text_printf(out, "  - {id: X%u", index);
	if (next(seed, 4) != 0) {
		lt_text_add(out, ", name: ");
		add_random(out, seed, most);
	}
	if (next(seed, 4) != 0)
		lt_text_printf(out, ", mates: M%u", next(seed, 3));
	if (next(seed, 2) != 0) {
		lt_text_add(out, ", port: ");
		add_random(out, seed, 1);
	}
	if (next(seed, 3) != 0)
		lt_text_printf(out, ", family: f%u", next(seed, 2));
	if (next(seed, 8) == 0)
		lt_text_add(out, ", sides: 1");
	unsigned ways = next(seed, 3) == 0 ? 40 : next(seed, 5);
	for (unsigned way = 1; way <= ways; way++)
		lt_text_printf(out, "%s%u: %s", way == 1 ? ", wires: {" : ", ", way,
			colours[next(seed, COUNT(colours))]);
	lt_text_add(out, ways > 0 ? "}}\n" : "}\n");
}

#define RANDOM_CONNECTORS 10u

static void add_harness(struct lt_text *out, unsigned *seed)
{
	lt_text_add(out, next(seed, 2) == 0 ? "harness: RV3\n" : "harness: RV3ABCDEFG12\n");
	if (next(seed, 2) == 0)
		lt_text_add(out, "base: http://fixture.local:8080/a/path/to/it\n");
	lt_text_add(out, "components:\n");
	for (unsigned i = 0; i < 3; i++) {
		lt_text_printf(out, "  - {id: M%u, fate: %s, name: ", i,
			i == 0 ? "replace" : "keep");
		add_random(out, seed, i == 1 ? 40 : 3);
		lt_text_add(out, "}\n");
	}
	lt_text_add(out, "connectors:\n");
	for (unsigned i = 0; i < RANDOM_CONNECTORS; i++)
		add_connector(out, seed, i);
}

/* Bundles that the layout suits, thin and thick. */
static void random_bundles(struct lt_bundle out[RANDOM_CONNECTORS], const struct lt_layout *layout,
	unsigned *seed)
{
	struct lt_range range = lt_layout_bundles(layout);
	double most = fmin(range.most, 40);
	for (size_t i = 0; i < RANDOM_CONNECTORS; i++) {
		double share = (double)next(seed, 11) / 10;
		out[i].diameter = range.least + share * (most - range.least);
		out[i].source = LT_BUNDLE_MEASURED;
		out[i].partial = false;
		assert_int_equal(lt_layout_fit(layout, out[i].diameter),
			layout->style != LT_STYLE_PLATE && out[i].diameter <= 0 ? LT_FIT_UNKNOWN
										: LT_FIT_YES);
	}
}

/* On a wrap the number is seen from one side: it takes a third of the circumference at most. */
static void check_seen(const struct lt_sticker *sticker, const struct lt_layout *layout)
{
	if (layout->style != LT_STYLE_WRAP)
		return;
	const struct lt_box *tag = box_of(sticker, LT_BOX_TAG);
	double seen = sticker->bundle.diameter * 3.14159265 / 3;
	bool down = layout->direction == LT_DOWN || layout->direction == LT_UP;
	assert_true((down ? capital_of(tag) : tag->width) <= seen + 1e-5);
}

/* All sides of all connectors of a fixture. Returns how many were placed. */
static size_t check_all(const struct fixture *fixture, const struct lt_layout *layout,
	enum lt_payload payload, bool over_m)
{
	size_t placed = 0;
	for (size_t i = 0; i < fixture->harness.connector_count; i++) {
		enum lt_side sides[LT_SIDE_COUNT];
		size_t count = lt_tag_sides(sides, &fixture->tags, i);
		for (size_t k = 0; k < count; k++) {
			struct lt_sticker sticker;
			struct lt_arena arena = { 0 };
			struct lt_diags diags = { 0 };
			if (place(&sticker, &arena, fixture, layout, i, sides[k], payload, over_m,
				    &diags)) {
				check_sticker(&sticker, layout, fixture);
				check_seen(&sticker, layout);
				assert_int_equal(diags.count, 0);
				assert_true(payload == LT_PAYLOAD_AUTO ||
					    sticker.symbol.payload == payload);
				placed++;
			} else {
				assert_int_equal(diags.errors, 1);
				assert_non_null(diags.items[0].hint);
				/* The shortest one has a place on every layout that we ship. */
				assert_true(payload == LT_PAYLOAD_LINK ||
					    payload == LT_PAYLOAD_FACTS);
			}
			lt_arena_finish(&arena);
			lt_diags_finish(&diags);
		}
	}
	return placed;
}

/* Adds up in `all` how many were placed with each payload. */
static void check_layout(size_t all[4], struct lt_layout *layout, unsigned seed, unsigned rounds)
{
	static const unsigned numbers[][RANDOM_CONNECTORS + 1] = {
		{ 1, 2, 3, 4, 5, 6, 7, 9, 10, 11, 0 },
		{ 6, 9, 16, 68, 89, 91, 66, 99, 98, 86, 0 },
		{ 12345, 98765, 88888, 60006, 99999, 11111, 10001, 44444, 76543, 55555, 0 },
	};
	size_t placed[4] = { 0 };
	for (unsigned round = 0; round < rounds; round++) {
		struct lt_text text = { 0 };
		struct fixture fixture;
		struct lt_bundle random[RANDOM_CONNECTORS];
		random_bundles(random, layout, &seed);
		bundles = random;
		add_harness(&text, &seed);
		fixture_init(&fixture, lt_text_string(&text), numbers[round % COUNT(numbers)]);
		for (int payload = LT_PAYLOAD_AUTO; payload <= LT_PAYLOAD_CODE; payload++)
			placed[payload] += check_all(&fixture, layout, (enum lt_payload)payload,
				round % 2 == 1);
		fixture_finish(&fixture);
		lt_text_finish(&text);
	}
	assert_true(placed[LT_PAYLOAD_AUTO] > 0 && placed[LT_PAYLOAD_CODE] > 0);
	for (int payload = LT_PAYLOAD_AUTO; payload <= LT_PAYLOAD_CODE; payload++)
		all[payload] += placed[payload];
	bundles = NULL;
	lt_layout_finish(layout);
}

static void test_random_on_own_layouts(void **state)
{
	(void)state;
	static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };
	struct lt_arena arena = { 0 };
	size_t all[4] = { 0 };
	size_t count = 0;
	const char **names = lt_layout_names(&count, &arena, folders);
	assert_true(count >= 16);
	for (unsigned i = 0; i < count; i++) {
		struct lt_layout layout;
		fixture_layout(&layout, names[i]);
		check_layout(all, &layout, 7 + i, 3);
	}
	assert_true(all[LT_PAYLOAD_LINK] > 0 && all[LT_PAYLOAD_FACTS] > 0);
	lt_arena_finish(&arena);
}

/* Layouts that a shop may write for itself: upright, square, large, with a fine head. */
static void test_random_on_other_layouts(void **state)
{
	(void)state;
	static const struct {
		const char *size;
		unsigned dpi;
	} rolls[] = { { "25 x 54 mm", 203 }, { "40 x 40 mm", 300 }, { "25 x 25 mm", 300 },
		{ "100 x 150 mm", 203 }, { "150 x 30 mm", 600 } };
	size_t all[4] = { 0 };
	for (unsigned i = 0; i < COUNT(rolls); i++) {
		struct lt_layout layout;
		fixture_roll(&layout, rolls[i].size, rolls[i].dpi);
		check_layout(all, &layout, 70 + i, 6);
	}
	assert_true(all[LT_PAYLOAD_LINK] > 0 && all[LT_PAYLOAD_FACTS] > 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_random_on_own_layouts),
		cmocka_unit_test(test_random_on_other_layouts),
	};
	return cmocka_run_group_tests(tests, open_fonts, close_fonts);
}
