/* Connector panels: what is drawn where, measured apart from the code that decides it. */
#include "unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/words.h"
#include "map/panel.h"
#include "random_harness.h"
#include "record_canvas.h"

#define HAIR 1e-6
#define RANDOM_HARNESSES 60
#define SIX_POINTS (6 * 25.4 / 72)

/* The frame about a panel is drawn with a line of its own. */
#define FRAME_LINE 0.3

static const char *const samples[] = { "samples/dome-shutter.yaml", "samples/mast-head.yaml",
	"samples/seed-gantry.yaml" };

static const struct lt_map_area areas[] = { { 10, 25, 277, 170 }, { 10, 30, 190, 247 },
	{ 12, 20, 255, 165 }, { 10, 25, 277, 380 }, { 5, 5, 85, 120 }, { 3, 4, 80, 110 } };
#define AREAS (sizeof areas / sizeof *areas)
#define PAGE_WIDTH 300.0
#define PAGE_HEIGHT 420.0

/* QR codes as they were drawn. */
struct symbols {
	struct lt_qr *items;
	size_t count, room;
	struct record *record;
};

/* The recorded box is the symbol with its quiet zone: what must be white. */
static void keep_symbol(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct symbols *symbols = data;
	struct record_item *item = record_add(symbols->record, RECORD_QR);
	double quiet = LT_QR_QUIET * module, side = qr->modules * module;
	record_box(item, x - quiet, y - quiet, x + side + quiet, y + side + quiet);
	assert_true(module >= 0.42 - HAIR && module <= 0.5 + HAIR);
	symbols->items =
		lt_grow(symbols->items, &symbols->room, symbols->count + 1, sizeof *symbols->items);
	struct lt_qr *copy = &symbols->items[symbols->count++];
	size_t cells = (size_t)qr->modules * qr->modules;
	copy->modules = qr->modules;
	copy->cells = lt_alloc(cells);
	memcpy(copy->cells, qr->cells, cells);
}

/* A canvas whose calls but one go to the record. */
struct drawn {
	struct record record;
	struct symbols symbols;
	struct lt_canvas canvas;
};
static struct drawn *current;

static void drawn_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	(void)data;
	keep_symbol(&current->symbols, x, y, module, qr);
}

static void drawn_begin(struct drawn *drawn)
{
	drawn->canvas = record_canvas(&drawn->record, record_measure());
	drawn->symbols = (struct symbols){ .record = &drawn->record };
	drawn->canvas.qr = drawn_qr;
	current = drawn;
}

static void drawn_end(struct drawn *drawn)
{
	for (size_t i = 0; i < drawn->symbols.count; i++)
		free(drawn->symbols.items[i].cells);
	free(drawn->symbols.items);
	record_free(&drawn->record);
}

static struct lt_map_input input_of(struct fixture *fixture, const struct lt_measure *measure)
{
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture->diags.arena, &fixture->tags, fixture->lookalikes,
		measure);
	return input;
}

static void place_and_draw(struct drawn *drawn, struct lt_panels *panels, struct fixture *fixture,
	const struct lt_map_area *area)
{
	struct lt_measure measure = record_measure();
	struct lt_map_input input = input_of(fixture, &measure);
	drawn_begin(drawn);
	assert_true(lt_panels_place(panels, &input, area, &fixture->diags));
	for (size_t page = 0; page < panels->page_count; page++) {
		drawn->canvas.begin_page(drawn->canvas.data, PAGE_WIDTH, PAGE_HEIGHT);
		assert_true(lt_panels_draw(&drawn->canvas, panels, page, &fixture->diags));
		drawn->canvas.end_page(drawn->canvas.data, &fixture->diags);
	}
}

static bool is_frame(const struct record_item *item)
{
	return item->kind == RECORD_POLYGON && item->point_count == 4 && !item->filled &&
	       item->line == FRAME_LINE;
}

static bool inside(const struct record_item *item, const struct record_item *box)
{
	return item->left >= box->left - HAIR && item->right <= box->right + HAIR &&
	       item->top >= box->top - HAIR && item->bottom <= box->bottom + HAIR;
}

static void assert_in_area(const struct record_item *item, const struct lt_map_area *area)
{
	struct record_item box = { .left = area->x,
		.top = area->y,
		.right = area->x + area->width,
		.bottom = area->y + area->height };
	if (!inside(item, &box)) {
		record_tell("leaves the area", item);
		fail();
	}
}

/* Frames do not meet, and all else is within one. */
static void assert_framed(const struct record *record, const struct record_page *page)
{
	size_t frames = 0;
	for (size_t i = page->first; i < page->first + page->count; i++) {
		const struct record_item *item = &record->items[i];
		size_t within = 0;
		for (size_t j = page->first; j < page->first + page->count; j++) {
			const struct record_item *frame = &record->items[j];
			if (!is_frame(frame))
				continue;
			within += inside(item, frame);
			if (i != j && is_frame(item))
				assert_false(record_overlap(item, frame));
		}
		frames += is_frame(item);
		if (within != 1)
			record_tell("in no panel, or in two", item);
		assert_int_equal(within, 1);
	}
	assert_true(frames > 0);
}

/* Nothing is in a symbol or its quiet zone, nor text in the way of a swatch or picture. */
static void assert_symbols_clear(const struct record *record, const struct record_page *page)
{
	for (size_t i = page->first; i < page->first + page->count; i++) {
		const struct record_item *symbol = &record->items[i];
		if (symbol->kind != RECORD_QR)
			continue;
		for (size_t j = page->first; j < page->first + page->count; j++) {
			const struct record_item *item = &record->items[j];
			if (i != j && !is_frame(item) && record_overlap(symbol, item)) {
				record_tell("in a quiet zone", item);
				fail();
			}
		}
	}
}

static void assert_types(const struct record *record)
{
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind == RECORD_TEXT)
			assert_true(item->size >= SIX_POINTS - HAIR);
		/* Greys darker than half, but for what is white on black. */
		if (item->kind == RECORD_TEXT && item->ink.red < 1)
			assert_true(item->ink.red < 0.5);
	}
}

/* The tag is on the page that was told, in capitals that are read at arm's length. */
static void assert_found(const struct record *record, const struct lt_panels *panels,
	const struct fixture *fixture, size_t connector)
{
	char tag[LT_TAG_SIZE];
	if (fixture->tags.number_of[connector] == 0)
		return;
	lt_tag_write(tag, fixture->tags.number_of[connector], LT_SIDE_H);
	size_t found = record_find(record, 0, tag);
	assert_true(found < record->count);
	assert_int_equal(record->items[found].page, panels->page_of[connector]);
	assert_true(record->items[found].capital >= 5 - HAIR);
	assert_int_equal(record_count_text(record, tag), 1);
}

/* The symbols, in the order of the numbers, hold what they should: made again, apart. */
static void assert_symbols(const struct symbols *symbols, const struct fixture *fixture)
{
	size_t at = 0;
	for (unsigned number = 1; number <= fixture->tags.number_max; number++) {
		size_t connector = fixture->tags.connector_of[number];
		if (connector == LT_NONE || fixture->tags.number_of[connector] != number)
			continue;
		struct lt_text text = { 0 };
		struct lt_arena arena = { 0 };
		struct lt_diags diags = { 0 };
		struct lt_qr_plan plan;
		struct lt_qr qr;
		lt_payload_map_write(&text, &fixture->tags, connector);
		assert_true(lt_qr_plan(&plan, lt_text_string(&text), LT_QR_M));
		assert_true(lt_qr_encode(&qr, &arena, lt_text_string(&text), &plan, &diags));
		assert_true(at < symbols->count);
		assert_int_equal(symbols->items[at].modules, qr.modules);
		assert_memory_equal(symbols->items[at].cells, qr.cells,
			(size_t)qr.modules * qr.modules);
		at++;
		lt_text_finish(&text);
		lt_arena_finish(&arena);
		lt_diags_finish(&diags);
	}
	assert_int_equal(at, symbols->count);
}

static void check_pages(struct fixture *fixture, const struct lt_map_area *area)
{
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, fixture, area);
	const struct record *record = &drawn.record;
	assert_int_equal(record_clashes(record), 0);
	for (size_t i = 0; i < record->count; i++)
		assert_in_area(&record->items[i], area);
	for (size_t i = 0; i < record->page_count; i++) {
		assert_framed(record, &record->pages[i]);
		assert_symbols_clear(record, &record->pages[i]);
	}
	assert_types(record);
	for (size_t i = 0; i < fixture->harness.connector_count; i++)
		assert_found(record, &panels, fixture, i);
	assert_symbols(&drawn.symbols, fixture);
	drawn_end(&drawn);
	lt_panels_finish(&panels);
}

static size_t count_code(const struct lt_connector *connector, const char *code)
{
	size_t count = 0;
	for (size_t i = 0; i < connector->wire_count; i++)
		for (size_t j = 0; j < connector->wires[i].count; j++)
			count += strcmp(connector->wires[i].written[j], code) == 0;
	return count;
}

/* How many ways say it; other words are of other sizes. */
static size_t count_of_ways(const struct record *record, const char *text)
{
	const double size = 7.5 * 25.4 / 72;
	size_t count = 0;
	for (size_t i = 0; (i = record_find(record, i, text)) < record->count; i++)
		count += fabs(record->items[i].size - size) < HAIR;
	return count;
}

/* The front view has every way's number once and as many codes as there are wires. */
static void check_front(struct fixture *fixture, size_t index, double width)
{
	const struct lt_connector *connector = &fixture->harness.connectors[index];
	struct lt_measure measure = record_measure();
	struct lt_map_input input = input_of(fixture, &measure);
	struct lt_arena arena = { 0 };
	struct drawn drawn;
	struct lt_map_front front;
	lt_map_front_place(&front, &arena, &input, index, width, 120);
	drawn_begin(&drawn);
	drawn.canvas.begin_page(drawn.canvas.data, front.width, front.height);
	lt_map_front_draw(&drawn.canvas, &front);
	drawn.canvas.end_page(drawn.canvas.data, &fixture->diags);
	assert_int_equal(record_outside(&drawn.record, 0), 0);
	bool shown = front.width > 0;
	assert_int_equal(shown,
		connector->kind == LT_PLUG ? connector->ways > 0 : connector->ways > 1);
	for (unsigned way = 1; shown && way <= connector->ways; way++) {
		char name[8];
		snprintf(name, sizeof name, "%u", way);
		assert_int_equal(count_of_ways(&drawn.record, name), 1);
	}
	for (size_t i = 0; shown && i < connector->wire_count; i++)
		for (size_t j = 0; j < connector->wires[i].count; j++) {
			const char *code = connector->wires[i].written[j];
			assert_int_equal(count_of_ways(&drawn.record, code),
				count_code(connector, code));
		}
	drawn_end(&drawn);
	lt_arena_finish(&arena);
}

static void test_samples(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		struct fixture fixture;
		fixture_read_sample(&fixture, samples[i]);
		for (size_t j = 0; j < AREAS; j++)
			check_pages(&fixture, &areas[j]);
		for (size_t j = 0; j < fixture.harness.connector_count; j++)
			if (fixture.harness.connectors[j].ways > 0)
				check_front(&fixture, j, 90);
		fixture_finish(&fixture);
	}
}

static void random_face(struct lt_text *yaml, struct lt_text *words, uint64_t *state)
{
	static const char *const paths[] = { "across", "down", "around", "from right",
		"down from right", "from right around" };
	static const char *const edges[] = { "top", "bottom", "left", "right" };
	static const char *const keys[] = { "lock", "orient", "seat", "note", "key", "family" };
	static const char *const colours[] = { "BK", "WH", "GNYE", "WHRD", "RDBU", "WHGNBU" };
	for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
		if (build_random(state, 3) == 0)
			lt_text_printf(yaml, "    %s: \"%s\"\n", keys[i],
				random_words(words, state));
	if (build_random(state, 4) == 0)
		lt_text_add(yaml, "    photo: none/such.jpg\n");
	unsigned most = build_random(state, 12) == 0 ? 1000 : 24;
	unsigned ways = build_random(state, most);
	if (ways == 0)
		return;
	lt_text_printf(yaml, "    ways: %u\n    latch: %s\n", ways, edges[build_random(state, 4)]);
	unsigned numbering = build_random(state, 4);
	if (numbering == 0)
		lt_text_printf(yaml, "    numbering: %s\n",
			build_random(state, 2) == 0 ? "clockwise" : "anticlockwise");
	else if (numbering > 1)
		lt_text_printf(yaml, "    numbering: %s\n", paths[build_random(state, 6)]);
	if (numbering > 0 && build_random(state, 2) == 0)
		lt_text_printf(yaml, "    rows: %u\n",
			1 + build_random(state, ways < 20 ? ways : 20));
	lt_text_add(yaml, "    wires: {");
	const char *comma = "";
	for (unsigned way = 1; way <= ways; way++) {
		unsigned chance = build_random(state, 8);
		if (chance == 0)
			continue;
		lt_text_printf(yaml, chance == 1 ? "%s%u: [%s, BN]" : "%s%u: %s", comma, way,
			colours[build_random(state, 6)]);
		comma = ", ";
	}
	lt_text_add(yaml, "}\n");
}

static void random_panels(struct fixture *fixture, uint64_t *state, unsigned count)
{
	struct lt_text yaml = { 0 }, words = { 0 };
	lt_text_add(&yaml, "harness: RND\n");
	if (build_random(state, 2) == 0)
		lt_text_add(&yaml, "base: http://bench.local:8080\n");
	lt_text_printf(&yaml,
		"components:\n  - {id: M0, name: \"%s\", place: \"%s\", "
		"fate: replace}\n",
		random_words(&words, state), "behind the drum");
	lt_text_printf(&yaml, "  - {id: M1, name: \"%s\"}\n", random_words(&words, state));
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < count; i++) {
		static const char *const kinds[] = { "plug", "plug", "plug", "plug", "ring",
			"spade", "hose", "strap", "clip" };
		static const char *const tags[] = { "paper", "none", "sticker", "sticker" };
		lt_text_printf(&yaml, "  - id: X%u\n    kind: %s\n    tag: %s\n", i,
			kinds[build_random(state, 9)], tags[build_random(state, 4)]);
		lt_text_printf(&yaml, "    name: \"%s\"\n", random_words(&words, state));
		if (build_random(state, 3) != 0)
			lt_text_printf(&yaml, "    mates: M%u\n", build_random(state, 2));
		if (i > 0 && build_random(state, 3) == 0)
			lt_text_printf(&yaml, "    after: [X%u]\n", build_random(state, i));
		random_face(&yaml, &words, state);
	}
	fixture_read(fixture, "random.yaml", lt_text_string(&yaml));
	lt_text_finish(&words);
	lt_text_finish(&yaml);
}

static void test_random_harnesses(void **state)
{
	(void)state;
	uint64_t seed = 20260;
	for (unsigned i = 0; i < RANDOM_HARNESSES; i++) {
		struct fixture fixture;
		random_panels(&fixture, &seed, 1 + build_random(&seed, 9));
		check_pages(&fixture, &areas[i % AREAS]);
		for (size_t j = 0; j < fixture.harness.connector_count; j++)
			check_front(&fixture, j, i % 2 == 0 ? 85 : 200);
		fixture_finish(&fixture);
	}
}

/* Where the ways are, read from what was drawn: rows from top to bottom, each from left to right,
 * with a stroke between them. */
static int by_place(const void *a, const void *b)
{
	const struct record_item *first = a, *second = b;
	if (fabs(first->baseline - second->baseline) > 0.1)
		return first->baseline < second->baseline ? -1 : 1;
	return first->left < second->left ? -1 : first->left > second->left;
}

static void read_rows(char *out, size_t room, const struct record *record, const char *names)
{
	struct record_item found[32] = { { 0 } };
	size_t count = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		if (count < 32 && item->kind == RECORD_TEXT && strlen(item->text) == 1 &&
			strchr(names, item->text[0]) != NULL)
			found[count++] = *item;
	}
	qsort(found, count, sizeof *found, by_place);
	size_t length = 0;
	for (size_t i = 0; i < count && length + 3 < room; i++) {
		if (i > 0 && fabs(found[i].baseline - found[i - 1].baseline) > 0.1)
			out[length++] = '/';
		out[length++] = found[i].text[0];
	}
	out[length] = '\0';
}

static void draw_front(struct drawn *drawn, const char *keys)
{
	struct fixture fixture;
	struct lt_text yaml = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_measure measure = record_measure();
	lt_text_printf(&yaml, "harness: RV3\nconnectors:\n  - {id: X1, %s}\n", keys);
	fixture_read(&fixture, "front.yaml", lt_text_string(&yaml));
	struct lt_map_input input = input_of(&fixture, &measure);
	struct lt_panel *panel = lt_panel_place(&arena, &input, 0, 130, 120, false);
	drawn_begin(drawn);
	drawn->canvas.begin_page(drawn->canvas.data, 130, 200);
	assert_true(lt_panel_draw(&drawn->canvas, panel, 0, 0, 0, panel->height, &fixture.diags));
	drawn->canvas.end_page(drawn->canvas.data, &fixture.diags);
	lt_arena_finish(&arena);
	lt_text_finish(&yaml);
	fixture_finish(&fixture);
}

static const struct {
	const char *keys, *rows, *says;
} fronts[] = {
	{ "ways: 6, rows: 2, numbering: across", "123/456", "ways row after row" },
	{ "ways: 6, rows: 2, numbering: around", "123/654",
		"ways along one row and back along the next" },
	{ "ways: 6, rows: 2, numbering: down", "135/246", "ways column after column" },
	{ "ways: 6, rows: 2, numbering: across from right", "321/654",
		"ways row after row, from the right" },
	{ "ways: 6, rows: 2, numbering: from right around", "321/456",
		"ways along one row and back along the next, from the right" },
	{ "ways: 6, rows: 2, numbering: from right down", "531/642",
		"ways column after column, from the right" },
	{ "ways: 9, rows: 3, numbering: around", "123/654/789", NULL },
	{ "ways: 3, rows: 1, numbering: across, latch: top", "123",
		"latch at the top; the first way is on the left" },
	{ "ways: 3, rows: 1, numbering: from right, key: A", "321",
		"coding A; the first way is on the right" },
	{ "ways: 5, rows: 2, numbering: across", "123/45", "rows of different length" },
	{ "ways: 5, rows: 2, numbering: down", "135/24", NULL },
	{ "ways: 5, rows: 2, numbering: around", "123/54", NULL },
	/* Not described: a sensible shape, which says that it is none of the moulding's. */
	{ "ways: 6", "123456", "schematic: count the ways" },
	{ "ways: 8", "1234/5678", "schematic: count the ways" },
	{ "ways: 7", "1234/567", "schematic: count the ways" },
	{ "ways: 6, rows: 2", "123/456", "schematic: count the ways" },
	{ "ways: 1", "1", "wires are not described" },
	/* At the top, and on with the clock, or against it. */
	{ "ways: 4, numbering: clockwise", "1/42/3",
		"ways clockwise, drawn from the top schematic: find way 1 on the moulding" },
	{ "ways: 4, numbering: anticlockwise", "1/24/3",
		"ways anticlockwise, drawn from the top schematic: find way 1 on the moulding" },
	{ "ways: 2, rows: 1, numbering: across", "12",
		"seen from the front (mating face of the harness half)" },
	/* By the names on the moulding, in the order of its list. */
	{ "ways: [9, 3, A, 1], rows: 2, numbering: across, wires: {A: BN}", "93/A1",
		"ways row after row crossed: no wire is described" },
	{ "ways: [9, 3, A, 1], rows: 2, numbering: from right down, wires: {1: BN, 9: BU}", "A9/13",
		"ways column after column, from the right" },
	{ "ways: [9, 3, A, 1], rows: 2, numbering: around", "93/1A", NULL },
	{ "ways: [9, 3, A, 1], numbering: clockwise", "9/13/A", "find way 9 on the moulding" },
	{ "ways: [3, 1, 4]", "314", "schematic: count the ways" },
	{ "ways: [B, A, 3], rows: 1, numbering: from right", "3AB",
		"the first way is on the right" },
	/* Letters, and what is not known. */
	{ "ways: 4, wires: {B: RD, A: BK}", "AB",
		"\xE2\x80\x93: a way whose name is not described" },
	{ "ways: 3, rows: 1, numbering: across, wires: {1: BN}", "123",
		"crossed: no wire is described" },
	{ "wires: {2: BN}", "12", "crossed: no wire is described" },
};

/* True when the texts, one behind the other, say so: lines may end anywhere. */
static bool has_words(const struct record *record, const char *words)
{
	struct lt_text all = { 0 };
	for (size_t i = 0; i < record->count; i++)
		if (record->items[i].kind == RECORD_TEXT)
			lt_text_printf(&all, "%s ", record->items[i].text);
	bool found = strstr(lt_text_string(&all), words) != NULL;
	lt_text_finish(&all);
	return found;
}

static void test_directions(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof fronts / sizeof *fronts; i++) {
		struct drawn drawn;
		char rows[64];
		draw_front(&drawn, fronts[i].keys);
		read_rows(rows, sizeof rows, &drawn.record, "123456789AB");
		assert_string_equal(rows, fronts[i].rows);
		if (fronts[i].says != NULL && !has_words(&drawn.record, fronts[i].says))
			fail_msg("not said: %s", fronts[i].says);
		drawn_end(&drawn);
	}
}

static void test_no_schematic_if_numbering_is_described(void **state)
{
	(void)state;
	for (size_t i = 0; i < 12; i++) {
		struct drawn drawn;
		draw_front(&drawn, fronts[i].keys);
		assert_false(has_words(&drawn.record, "schematic"));
		drawn_end(&drawn);
	}
}

/* IEC 60445: green-and-yellow alone is the protective conductor, PE; with another colour it is
 * none.
 */
static void test_protective_earth(void **state)
{
	(void)state;
	static const struct {
		const char *keys, *says;
		size_t marks;
	} earths[] = {
		{ "ways: 3, wires: {1: BN, 2: BU, 3: GNYE}", "protective earth on way 3", 1 },
		{ "ways: 4, wires: {1: [GNYE, GNYE], 4: GNYE}", "protective earth on ways 1, 4",
			3 },
		{ "kind: ring, wires: {1: GNYE}", "protective earth", 1 },
		{ "kind: strap, wires: {1: [BK, GNYE]}", "protective earth", 1 },
		{ "ways: 2, wires: {1: YEGNBK, 2: GN}", NULL, 0 },
	};
	for (size_t i = 0; i < sizeof earths / sizeof *earths; i++) {
		struct drawn drawn;
		draw_front(&drawn, earths[i].keys);
		assert_int_equal(record_clashes(&drawn.record), 0);
		assert_int_equal(record_count_text(&drawn.record, "PE"), earths[i].marks);
		if (earths[i].says != NULL)
			assert_true(record_count_text(&drawn.record, earths[i].says) == 1);
		assert_false(has_words(&drawn.record, "make this joint first"));
		drawn_end(&drawn);
	}
}

/* The latch is a filled tab outside of the ways, on its side. */
static void test_latch(void **state)
{
	(void)state;
	static const char *const edges[] = { "top", "bottom", "left", "right" };
	for (size_t i = 0; i < 4; i++) {
		struct drawn drawn;
		char keys[80];
		snprintf(keys, sizeof keys, "ways: 3, rows: 1, numbering: across, latch: %s",
			edges[i]);
		draw_front(&drawn, keys);
		const struct record_item *way =
			&drawn.record.items[record_find(&drawn.record, 0, "2")];
		struct record_item tab = { .ink = LT_WHITE };
		for (size_t j = 0; j < drawn.record.count; j++)
			if (drawn.record.items[j].kind == RECORD_FILL &&
				drawn.record.items[j].ink.red > 0)
				tab = drawn.record.items[j];
		assert_true(tab.ink.red < 0.5);
		assert_true(i == 0   ? tab.bottom < way->top
			    : i == 1 ? tab.top > way->bottom
			    : i == 2 ? tab.right < way->left
				     : tab.left > way->right);
		drawn_end(&drawn);
	}
}

static void test_texts_of_a_panel(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\n"
		"components:\n  - {id: M1, name: vent motor, place: left gearbox, fate: replace}\n"
		"connectors:\n"
		"  - {id: X1, name: motor power, mates: M1, port: PWR, family: tab, key: A,\n"
		"     ways: 3, rows: 1, numbering: across, wires: {1: BN, 3: [BU, WHRD]},\n"
		"     place: behind the cover, lock: press, orient: up, seat: clicks, after: [X4],\n"
		"     note: mind the edge, size: 0.75 mm2}\n"
		"  - {id: X4, family: tab, key: A, ways: 3, tag: paper}\n"
		"  - {id: C1, kind: clip, tag: none}\n"
		"  - {id: R1, kind: ring, family: M6, wires: {1: GNYE}}\n"
		"  - {id: X9, ways: 2}\n"
		"  - {id: X10, ways: 2, family: bare}\n"
		"wires:\n  - {from: X9.1, to: X10.2}\n");
	static const char *const says[] = { "1H", "1M", "1X", "on the old part", "NEW PART",
		"motor power", "X1, plug, 3 ways, tab, coding A", "port PWR on vent motor (M1)",
		"press", "behind the cover", "up", "clicks", "after 4",
		"would also fit 4: check the number", "1M is on the new part", "mind the edge",
		"0.75 mm²", "ON PAPER", "the checklist carries the number",
		"no number, checked by eye", "GNYE", "symbol for a ring", "fit unknown",
		"a wire whose colour is not described" };
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, &fixture, &areas[1]);
	for (size_t i = 0; i < sizeof says / sizeof *says; i++)
		if (!has_words(&drawn.record, says[i]))
			fail_msg("not said: %s", says[i]);
	/* Both colours of the shared way, and the one whose colour is not known, at either end. */
	assert_int_equal(record_count_text(&drawn.record, "BU"), 1);
	assert_int_equal(record_count_text(&drawn.record, "WHRD"), 1);
	assert_int_equal(record_count_text(&drawn.record, "?"), 2);
	/* One connector has no number, and so no QR code. */
	assert_int_equal(drawn.symbols.count, 5);
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

/* 6 reads as 9 upside down: a rule under its digits, at both tags. */
static void test_turned_numbers_are_underlined(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml", "harness: RV3\nconnectors:\n  - {id: X1, ways: 2}\n");
	fixture.tags.number_of[0] = 6;
	struct lt_measure measure = record_measure();
	struct lt_map_input input = input_of(&fixture, &measure);
	struct lt_arena arena = { 0 };
	struct drawn drawn;
	drawn_begin(&drawn);
	struct lt_panel *panel = lt_panel_place(&arena, &input, 0, 90, 120, false);
	drawn.canvas.begin_page(drawn.canvas.data, 90, 200);
	assert_true(lt_panel_draw(&drawn.canvas, panel, 0, 0, 0, panel->height, &fixture.diags));
	drawn.canvas.end_page(drawn.canvas.data, &fixture.diags);
	size_t rules = 0;
	for (size_t i = 0; i < drawn.record.count; i++)
		rules += drawn.record.items[i].kind == RECORD_FILL;
	assert_int_equal(rules, 2);
	drawn_end(&drawn);
	lt_arena_finish(&arena);
	fixture_finish(&fixture);
}

/* A port that is a number is not read as a joint; nothing goes onto a one-sided clip; screws are
 * not pressed home; joints before this one are given as an order. */
static void test_what_a_panel_leaves_out(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\n"
		"components:\n  - {id: V0, name: air manifold}\n"
		"connectors:\n"
		"  - {id: X1, mates: V0, port: 9, family: a, after: [X4, X2, C1]}\n"
		"  - {id: X2, mates: V0, port: port 7, family: b, after: [X4]}\n"
		"  - {id: C1, kind: clip, tag: none, lock: four screws}\n"
		"  - {id: C2, kind: clip, sides: 1, lock: lift, seat: it snaps in}\n"
		"  - {id: X4, family: c}\n");
	static const char *const says[] = { "port 9 on air manifold (V0)",
		"mates with port 7 on air manifold (V0)", "after 2, 4, C1 (no number)", "after 4",
		"fasten it as it was", "it snaps in" };
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, &fixture, &areas[1]);
	for (size_t i = 0; i < sizeof says / sizeof *says; i++)
		if (!has_words(&drawn.record, says[i]))
			fail_msg("not said: %s", says[i]);
	assert_false(has_words(&drawn.record, "press it until it holds"));
	assert_int_equal(record_count_text(&drawn.record, "not described"), 1);
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

/* An id in a hazard is found as a whole word in any case, and not within another. */
static void test_hazards_name_connectors(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\n"
		"hazards:\n"
		"  - {energy: mains, prove: \"no voltage at x6, ways 1 and 2\"}\n"
		"  - {energy: air, isolate: valve, release: bleed it at XA-2.1, restore: E1}\n"
		"  - {energy: springs at X7–X8}\n"
		"connectors:\n"
		"  - {id: X6, family: a, ways: 1, wires: {1: BN}, after: [E1]}\n"
		"  - {id: x, family: b}\n"
		"  - {id: X60, family: c}\n"
		"  - {id: XA-2, family: d}\n"
		"  - {id: A, family: e}\n"
		"  - {id: X7, family: g}\n"
		"  - {id: X8, family: g}\n"
		"  - {id: E1, kind: ring, family: f, wires: {1: GNYE}}\n");
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, &fixture, &areas[1]);
	assert_int_equal(record_count_text(&drawn.record, "!"), 5);
	assert_true(has_words(&drawn.record, "a hazard names this joint: read that hazard first"));
	struct lt_measure measure = record_measure();
	struct lt_map_input input = input_of(&fixture, &measure);
	for (size_t i = 0; i < fixture.harness.connector_count; i++)
		assert_int_equal(input.dangers[i], i == 0 || i == 3 || i >= 5);
	/* Others come after the earth, which is the first by the order: only so is that said. */
	assert_true(has_words(&drawn.record, "protective earth, make this joint first"));
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

/* The colours that occur, in the words of IEC 60757, at the head of the first page alone. */
static void test_key_of_colours(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\nconnectors:\n"
		"  - {id: X1, ways: 3, wires: {1: WHRD, 2: BU, 3: GNYE}}\n"
		"  - {id: X2, ways: 999, rows: 1}\n"
		"wires:\n  - {from: X1.1, to: X2.5, colour: WHRD}\n"
		"  - {from: X2.7, to: X2.8, colour: SR}\n");
	static const char key[] = "Colours: RD\xC2\xA0"
				  "red, BU\xC2\xA0"
				  "blue, WH\xC2\xA0"
				  "white, "
				  "SR\xC2\xA0"
				  "silver, GNYE\xC2\xA0"
				  "green-and-yellow: protective "
				  "earth (PE)";
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, &fixture, &areas[0]);
	assert_true(panels.page_count > 1);
	assert_int_equal(record_count_text(&drawn.record, key), 1);
	assert_int_equal(drawn.record.items[record_find(&drawn.record, 0, key)].page, 0);
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

static void test_a_photograph_that_cannot_be_read(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\nconnectors:\n  - {id: X1, ways: 2, photo: no/such/file.png}\n");
	struct drawn drawn;
	struct lt_panels panels;
	size_t before = fixture.diags.warnings;
	place_and_draw(&drawn, &panels, &fixture, &areas[0]);
	assert_int_equal(fixture.diags.warnings, before + 1);
	assert_true(has_words(&drawn.record, lt_panel_words.no_photo));
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

/* All of 999 ways in one row, on pages that have no room for them: every way once. */
static void test_more_than_a_page(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml",
		"harness: RV3\nconnectors:\n"
		"  - {id: X1, ways: 999, rows: 1, numbering: across}\n"
		"  - {id: X2, ways: 2}\n");
	struct drawn drawn;
	struct lt_panels panels;
	place_and_draw(&drawn, &panels, &fixture, &areas[0]);
	assert_true(panels.page_count > 1);
	assert_int_equal(panels.page_of[0], 0);
	for (unsigned way = 3; way <= 999; way++) {
		char name[8];
		snprintf(name, sizeof name, "%u", way);
		assert_int_equal(record_count_text(&drawn.record, name), 1);
	}
	assert_true(has_words(&drawn.record, "1H \xE2\x80\x93 1M  X1, continued"));
	drawn_end(&drawn);
	lt_panels_finish(&panels);
	fixture_finish(&fixture);
}

static void test_too_small(void **state)
{
	(void)state;
	struct fixture fixture;
	fixture_read(&fixture, "panels.yaml", "harness: RV3\nconnectors:\n  - {id: X1, ways: 2}\n");
	struct lt_measure measure = record_measure();
	struct lt_map_input input = input_of(&fixture, &measure);
	const struct lt_map_area small[] = { { 0, 0, 79, 200 }, { 0, 0, 200, 109 } };
	for (size_t i = 0; i < 2; i++) {
		struct lt_panels panels;
		assert_false(lt_panels_place(&panels, &input, &small[i], &fixture.diags));
		assert_int_equal(fixture.diags.errors, i + 1);
		lt_panels_finish(&panels);
	}
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_samples),
		cmocka_unit_test(test_random_harnesses),
		cmocka_unit_test(test_directions),
		cmocka_unit_test(test_no_schematic_if_numbering_is_described),
		cmocka_unit_test(test_protective_earth),
		cmocka_unit_test(test_latch),
		cmocka_unit_test(test_hazards_name_connectors),
		cmocka_unit_test(test_key_of_colours),
		cmocka_unit_test(test_texts_of_a_panel),
		cmocka_unit_test(test_what_a_panel_leaves_out),
		cmocka_unit_test(test_turned_numbers_are_underlined),
		cmocka_unit_test(test_a_photograph_that_cannot_be_read),
		cmocka_unit_test(test_more_than_a_page),
		cmocka_unit_test(test_too_small),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
