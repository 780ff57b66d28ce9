/* The tables of a map: every wire and connector in its row, counted and sorted apart from the code
 * that does so, and what is placed where. */
#include "unit.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "build.h"
#include "fixture.h"
#include "loomtag/words.h"
#include "map/parts.h"
#include "record_canvas.h"

#define HARNESSES 100

static const char *const samples[] = { "samples/dome-shutter.yaml", "samples/mast-head.yaml",
	"samples/seed-gantry.yaml" };
#define SAMPLES (sizeof samples / sizeof *samples)

static const double papers[][2] = { { 210, 297 }, { 297, 210 }, { 297, 420 }, { 420, 297 },
	{ 215.9, 279.4 }, { 279.4, 215.9 } };
#define PAPERS (sizeof papers / sizeof *papers)

/* The rows as they are read off the pages, without spaces, for words may be broken. */
#define COLUMNS 7
enum table { NO_TABLE, WIRES, SUMMARY, NUMBERS, PLACES };
struct row {
	enum table table;
	size_t page;
	bool group;                 /* one text over all columns */
	bool first;                 /* below the heads at a page's or column's top */
	const char *cells[COLUMNS]; /* from the left, those that there are */
	size_t count;
	double left[COLUMNS], size[COLUMNS];
};

struct drawn {
	struct record record;
	struct lt_arena arena;
	struct lt_map_area area;
	const char **titles;
	struct row *rows;
	size_t count, room;
};

static size_t *some_pages(const struct fixture *fixture)
{
	size_t count = fixture->harness.connector_count;
	size_t *pages = lt_alloc_array(count + 1, sizeof *pages);
	for (size_t i = 0; i < count; i++)
		pages[i] = 3 + i * 7 % 50;
	return pages;
}

static const char *squeeze(struct lt_arena *arena, const char *text)
{
	char *copy = lt_arena_strdup(arena, text);
	char *to = copy;
	for (const char *at = text; *at != '\0'; at++)
		if (*at != ' ')
			*to++ = *at;
	*to = '\0';
	return copy;
}

/* Adds a text to the row: to the cell that begins where it does, or as another one. Text behind a
 * swatch counts as the swatch's cell. */
static void add_text(struct drawn *drawn, struct row *row, const struct record_item *item)
{
	const char *text = squeeze(&drawn->arena, item->text);
	for (size_t i = 0; i < row->count; i++) {
		if (row->left[i] != item->left)
			continue;
		row->cells[i] = lt_arena_printf(&drawn->arena, "%s%s", row->cells[i], text);
		return;
	}
	assert_true(row->count < COLUMNS);
	row->left[row->count] = item->left;
	row->size[row->count] = item->size;
	row->cells[row->count++] = text;
}

static enum table table_of(const struct row *heads)
{
	struct lt_text text = { 0 };
	for (size_t i = 0; i < heads->count; i++)
		lt_text_add(&text, heads->cells[i]);
	const char *all = lt_text_string(&text);
	enum table table = strstr(all, "whatisthere") != NULL ? PLACES
			   : strstr(all, "mateswith") != NULL ? NUMBERS
			   : strstr(all, "inwords") != NULL || strstr(all, "oneend") != NULL
				   ? SUMMARY
			   : strstr(all, "from") != NULL ? WIRES
							 : NO_TABLE;
	lt_text_finish(&text);
	return table;
}

static void keep_row(struct drawn *drawn, const struct row *row)
{
	if (row->count == 0)
		return;
	drawn->rows = lt_grow(drawn->rows, &drawn->room, drawn->count + 1, sizeof *drawn->rows);
	drawn->rows[drawn->count] = *row;
	drawn->rows[drawn->count++].group =
		row->count == 1 && (row->table == PLACES || row->table == NUMBERS);
}

static bool is_crossed(const struct record *record, size_t page, double x)
{
	size_t first = record->pages[page].first;
	for (size_t i = first; i < first + record->pages[page].count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind == RECORD_LINE && item->left < x && item->right > x)
			return true;
	}
	return false;
}

/* Where the column after that one begins, at the least, when there are so many. */
static double behind_column(const struct lt_map_area *area, size_t columns, size_t column)
{
	const double between = 12;
	double step = (area->width + between) / (double)columns;
	return area->x + (double)(column + 1) * step - between / 2;
}

/* Three columns, or two, where no row goes over from one to the next. */
static size_t count_columns(const struct record *record, size_t page,
	const struct lt_map_area *area)
{
	for (size_t columns = 3; columns > 1; columns--) {
		bool crossed = false;
		for (size_t i = 0; i + 1 < columns; i++)
			crossed |= is_crossed(record, page, behind_column(area, columns, i));
		if (!crossed)
			return columns;
	}
	return 1;
}

/* A row begins with a thin rule; a black one ends the heads; and heads begin a page or column. */
static void read_rows(struct drawn *drawn)
{
	struct row row = { 0 };
	enum table table = NO_TABLE;
	size_t page = 0, columns = 1, column = 0;
	bool heads = true;
	for (size_t i = 0; i < drawn->record.count; i++) {
		const struct record_item *item = &drawn->record.items[i];
		if (i == drawn->record.pages[item->page].first)
			columns = count_columns(&drawn->record, item->page, &drawn->area);
		size_t at = 0;
		while (at + 1 < columns && item->left > behind_column(&drawn->area, columns, at))
			at++;
		bool rule = item->kind == RECORD_LINE && item->right - item->left > 20;
		if (item->page != page || at != column) {
			/* Nothing stands at the top of a page or column but heads. */
			keep_row(drawn, &row);
			row = (struct row){ .page = item->page };
			assert_true(!rule);
			heads = true;
		}
		page = item->page;
		column = at;
		if (rule && item->ink.red == 0) {
			table = table_of(&row);
			assert_int_not_equal(table, NO_TABLE);
			heads = false;
			row = (struct row){ .table = table, .page = page, .first = true };
		} else if (rule) {
			assert_false(heads);
			bool first = row.first && row.count == 0;
			keep_row(drawn, &row);
			row = (struct row){ .table = table, .page = page, .first = first };
		} else if (item->kind == RECORD_TEXT && row.count > 0 && !heads &&
			   strchr("WI", item->text[0]) != NULL &&
			   fabs(item->size - 11 * 25.4 / 72) < 1e-9) {
			/* The title of the next table. */
			keep_row(drawn, &row);
			row = (struct row){ .page = page };
			heads = true;
		} else if (item->kind == RECORD_TEXT) {
			if (fabs(item->size - 11 * 25.4 / 72) > 1e-9)
				add_text(drawn, &row, item);
		}
	}
	keep_row(drawn, &row);
}

static void check_page_bounds(const struct drawn *drawn)
{
	const struct lt_map_area *area = &drawn->area;
	const double hair = 1e-6;
	for (size_t i = 0; i < drawn->record.count; i++) {
		const struct record_item *item = &drawn->record.items[i];
		bool inside = item->left >= area->x - hair && item->top >= area->y - hair &&
			      item->right <= area->x + area->width + hair &&
			      item->bottom <= area->y + area->height + hair;
		if (!inside)
			record_tell("outside", item);
		assert_true(inside);
		if (item->kind == RECORD_TEXT)
			assert_true(item->size >= LT_MAP_TEXT_LEAST);
		if (item->kind == RECORD_LINE)
			assert_true(item->ink.red < 0.5);
	}
	assert_int_equal(record_clashes(&drawn->record), 0);
}

static void draw_in(struct drawn *drawn, struct fixture *fixture, const struct lt_map_area *area,
	const double paper[2])
{
	struct lt_measure measure = record_measure();
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture->diags.arena, &fixture->tags, fixture->lookalikes,
		&measure);
	size_t *pages = some_pages(fixture);
	*drawn = (struct drawn){ .area = *area };
	struct lt_canvas canvas = record_canvas(&drawn->record, measure);
	size_t titles = 0, room = 0;
	const char **list = NULL;
	for (int kind = LT_TABLES_INDEXES; kind <= LT_TABLES_WIRES; kind++) {
		struct lt_map_tables *tables =
			lt_map_tables_create(&input, (enum lt_map_tables_kind)kind,
				kind == LT_TABLES_INDEXES ? pages : NULL, area, &fixture->diags);
		assert_non_null(tables);
		size_t count = lt_map_tables_pages(tables);
		assert_true(count > 0);
		for (size_t i = 0; i < count; i++) {
			canvas.begin_page(canvas.data, paper[0], paper[1]);
			lt_map_tables_draw(&canvas, tables, i);
			canvas.end_page(canvas.data, &fixture->diags);
			list = lt_grow(list, &room, titles + 1, sizeof *list);
			list[titles++] =
				lt_arena_strdup(&drawn->arena, lt_map_tables_title(tables, i));
		}
		lt_map_tables_destroy(tables);
	}
	free(pages);
	drawn->titles = lt_arena_array(&drawn->arena, titles, sizeof *drawn->titles);
	assert_non_null(list);
	for (size_t i = 0; i < titles; i++)
		drawn->titles[i] = list[i];
	free(list);
	check_page_bounds(drawn);
	read_rows(drawn);
}

static void draw(struct drawn *drawn, struct fixture *fixture, const double paper[2])
{
	const struct lt_map_area area = { 12, 17, paper[0] - 24, paper[1] - 50 };
	draw_in(drawn, fixture, &area, paper);
}

static void drawn_finish(struct drawn *drawn)
{
	record_free(&drawn->record);
	lt_arena_finish(&drawn->arena);
	free(drawn->rows);
}

/* A growing list of strings to be sorted and compared. */
struct list {
	struct lt_arena arena;
	const char **items;
	size_t count, room;
};

static void list_add(struct list *list, const char *text)
{
	list->items = lt_grow(list->items, &list->room, list->count + 1, sizeof *list->items);
	list->items[list->count++] = lt_arena_strdup(&list->arena, text);
}

static void list_finish(struct list *list)
{
	lt_arena_finish(&list->arena);
	free(list->items);
	*list = (struct list){ 0 };
}

static int compare_items(const void *one, const void *other)
{
	return strcmp(*(const char *const *)one, *(const char *const *)other);
}

static void list_sort(struct list *list)
{
	if (list->count > 0)
		qsort(list->items, list->count, sizeof *list->items, compare_items);
}

/* The rows of a table, their cells parted by '|'. Groups begin with '#'; where one is shown again
 * at a page's top it is left out, and must be the one that goes on. */
static void list_rows(struct list *list, const struct drawn *drawn, enum table table)
{
	const char *group = NULL;
	struct lt_text text = { 0 };
	for (size_t i = 0; i < drawn->count; i++) {
		const struct row *row = &drawn->rows[i];
		if (row->table != table)
			continue;
		if (row->group && row->first && group != NULL && strcmp(group, row->cells[0]) == 0)
			continue;
		if (row->group)
			group = row->cells[0];
		else if (row->first && group != NULL)
			fail_msg("\"%s\" is not shown again", group);
		lt_text_clear(&text);
		lt_text_add(&text, row->group ? "#" : "");
		for (size_t j = 0; j < row->count; j++)
			lt_text_printf(&text, "%s%s", j > 0 ? "|" : "", row->cells[j]);
		list_add(list, lt_text_string(&text));
	}
	lt_text_finish(&text);
}

static void assert_lists(const struct list *is, const struct list *should)
{
	for (size_t i = 0; i < is->count && i < should->count; i++)
		assert_string_equal(is->items[i], should->items[i]);
	assert_int_equal(is->count, should->count);
}

/* What a random harness has for wires, as it is being written; from its numbers, later, the rows
 * that there should be. */
#define WAYS 12
#define CONNECTORS 300
struct wire {
	unsigned from, from_way, to, to_way; /* connector CONNECTORS: open */
	const char *colour, *size, *name;
};
struct plan {
	unsigned count;
	const char *own[CONNECTORS][WAYS][2]; /* colours that connectors give */
	bool listed[CONNECTORS][WAYS];
	const char *size[CONNECTORS];
	struct wire wires[CONNECTORS * WAYS * 2];
	unsigned wire_count;
};

static const char *const colours[] = { "BK", "BN", "WHRD", "GNYE", "BU", "VTGY", "WH" };
static const char *const colour_cells[] = { "BK", "BN", "WHRD", "GNYE,PE", "BU", "VTGY", "WH" };
/* IEC 60757's names; green-and-yellow alone is protective earth by IEC 60445. */
static const char *const colour_words[] = { "black", "brown", "whiteandred",
	"green-and-yellow:protectiveearth(PE)", "blue", "violetandgrey", "white" };
/* Thin ones first. */
static const char *const sizes[] = { "0.35 mm2", "18 AWG", "1 mm2", "2.5 mm2" };
static const char *const size_words[] = { "0.35mm²", "18AWG", "1mm²", "2.5mm²" };

static const char *random_colour(uint64_t *state)
{
	return colours[build_random(state, sizeof colours / sizeof *colours)];
}

static const char *random_words(struct lt_text *text, uint64_t *state)
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

/* A few places, so that some are shared. */
static const char *random_place(struct lt_text *text, uint64_t *state)
{
	static const char *const places[] = { "under the left cover", "Under the left cover",
		"behind the left cover", "Öl pan", "ridge" };
	if (build_random(state, 3) == 0)
		return random_words(text, state);
	return places[build_random(state, sizeof places / sizeof *places)];
}

static void plan_own(struct plan *plan, unsigned i, uint64_t *state)
{
	plan->size[i] = build_random(state, 3) == 0
				? NULL
				: sizes[build_random(state, sizeof sizes / sizeof *sizes)];
	if (build_random(state, 2) == 0)
		return;
	for (unsigned way = 0; way < WAYS; way++) {
		if (build_random(state, 3) != 0)
			continue;
		plan->own[i][way][0] = random_colour(state);
		if (build_random(state, 6) == 0)
			plan->own[i][way][1] = random_colour(state);
	}
}

/* Whether a line may have that colour as far as one of its ends says; NULL: none given. */
static bool may_be(const struct plan *plan, unsigned i, unsigned way, const char *colour)
{
	const char *const *own = plan->own[i][way];
	if (own[0] == NULL)
		return true;
	if (colour == NULL)
		return own[1] == NULL;
	return strcmp(own[0], colour) == 0 || (own[1] != NULL && strcmp(own[1], colour) == 0);
}

/* Takes a colour off a way; what is left in the end is not listed. */
static void take(struct plan *plan, unsigned i, unsigned way, const char *colour)
{
	const char **own = plan->own[i][way];
	plan->listed[i][way] = true;
	if (own[0] != NULL && (colour == NULL || strcmp(own[0], colour) == 0)) {
		own[0] = own[1];
		own[1] = NULL;
	} else {
		own[1] = NULL;
	}
}

static void plan_line(struct plan *plan, struct lt_text *yaml, uint64_t *state)
{
	unsigned a = build_random(state, plan->count), b = build_random(state, plan->count);
	unsigned x = build_random(state, WAYS), y = build_random(state, WAYS);
	const char *colour = plan->own[a][x][0];
	if (colour == NULL || build_random(state, 3) == 0)
		colour = build_random(state, 4) == 0 ? NULL : random_colour(state);
	bool same = a == b && x == y;
	const char *one = plan->own[a][x][0], *other = plan->own[b][y][0];
	/* What they say of one that gives no colour is tested by hand. */
	bool differ = colour == NULL && one != NULL && other != NULL && strcmp(one, other) != 0;
	if (same || differ || plan->listed[a][x] || plan->listed[b][y] ||
		!may_be(plan, a, x, colour) || !may_be(plan, b, y, colour))
		return;
	struct wire *wire = &plan->wires[plan->wire_count++];
	*wire = (struct wire){ .from = a, .from_way = x, .to = b, .to_way = y };
	lt_text_printf(yaml, "  - {from: X%u.%u, to: X%u.%u", a, x + 1, b, y + 1);
	if (colour != NULL)
		lt_text_printf(yaml, ", colour: %s", colour);
	if (build_random(state, 3) != 0) {
		wire->size = sizes[build_random(state, sizeof sizes / sizeof *sizes)];
		lt_text_printf(yaml, ", size: %s", wire->size);
	}
	if (build_random(state, 3) != 0) {
		static const char *const names[] = { "W1", "W 22", "feed-7" };
		wire->name = names[build_random(state, 3)];
		lt_text_printf(yaml, ", name: %s", wire->name);
	}
	lt_text_add(yaml, "}\n");
	/* Where it gives none, its ends say it. */
	const char *said = plan->own[a][x][0] != NULL ? plan->own[a][x][0] : plan->own[b][y][0];
	wire->colour = colour != NULL ? colour : said;
	take(plan, a, x, colour);
	take(plan, b, y, colour);
}

static void write_connector(const struct plan *plan, struct lt_text *yaml, struct lt_text *words,
	unsigned i, unsigned parts, uint64_t *state)
{
	lt_text_printf(yaml, "  - id: X%u\n    ways: %d\n", i, WAYS);
	if (build_random(state, 8) != 0)
		lt_text_printf(yaml, "    name: \"%s\"\n", random_words(words, state));
	if (build_random(state, 4) != 0)
		lt_text_printf(yaml, "    place: \"%s\"\n", random_place(words, state));
	if (plan->size[i] != NULL)
		lt_text_printf(yaml, "    size: %s\n", plan->size[i]);
	unsigned marking = build_random(state, 10);
	if (marking < 2)
		lt_text_printf(yaml, "    tag: %s\n", marking == 0 ? "paper" : "none");
	if (build_random(state, 6) == 0)
		lt_text_add(yaml, "    sides: 1\n");
	else if (build_random(state, 8) != 0)
		lt_text_printf(yaml, "    mates: M%u\n", build_random(state, parts));
	bool any = false;
	for (unsigned way = 0; way < WAYS; way++) {
		const char *const *own = plan->own[i][way];
		if (own[0] == NULL)
			continue;
		lt_text_add(yaml, any ? ", " : "    wires: {");
		any = true;
		lt_text_printf(yaml, own[1] == NULL ? "%u: %s" : "%u: [%s, %s]", way + 1, own[0],
			own[1]);
	}
	lt_text_add(yaml, any ? "}\n" : "");
}

static void random_harness(struct fixture *fixture, struct plan *plan, unsigned count,
	uint64_t *state)
{
	struct lt_text yaml = { 0 }, words = { 0 };
	unsigned parts = 1 + build_random(state, count);
	*plan = (struct plan){ .count = count };
	lt_text_add(&yaml, "harness: RND\nnumbers: order\ncomponents:\n");
	for (unsigned i = 0; i < parts; i++) {
		lt_text_printf(&yaml, "  - {id: M%u, name: \"%s\"", i, random_words(&words, state));
		if (build_random(state, 2) == 0)
			lt_text_printf(&yaml, ", place: \"%s\"", random_place(&words, state));
		lt_text_add(&yaml, build_random(state, 5) == 0 ? ", fate: replace}\n" : "}\n");
	}
	lt_text_add(&yaml, "connectors:\n");
	for (unsigned i = 0; i < count; i++) {
		plan_own(plan, i, state);
		write_connector(plan, &yaml, &words, i, parts, state);
	}
	if (build_random(state, 4) != 0) {
		lt_text_add(&yaml, "wires:\n");
		for (unsigned i = 0, lines = 1 + count * build_random(state, 4); i < lines; i++)
			plan_line(plan, &yaml, state);
		if (plan->wire_count == 0)
			lt_text_add(&yaml, "  []\n");
	}
	for (unsigned i = 0; i < count; i++) {
		for (unsigned j = 0; j < 2 * WAYS; j++) {
			const char *colour = plan->own[i][j / 2][j % 2];
			if (colour != NULL)
				plan->wires[plan->wire_count++] = (struct wire){ i, j / 2,
					CONNECTORS, 0, colour, NULL, NULL };
		}
	}
	fixture_read(fixture, "random.yaml", lt_text_string(&yaml));
	lt_text_finish(&words);
	lt_text_finish(&yaml);
}

/* Its cell, or its words; for none given what is said then. */
static const char *colour_cell(const char *colour, const char *const *cells, const char *none)
{
	for (size_t i = 0; i < sizeof colours / sizeof *colours; i++)
		if (colour != NULL && strcmp(colour, colours[i]) == 0)
			return cells[i];
	return none;
}

static const char *size_word(const char *size)
{
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
		if (size != NULL && strcmp(size, sizes[i]) == 0)
			return size_words[i];
	return NULL;
}

/* By hand from what was written: "0.35mm²", "18AWGor1mm²", "notdescribed". */
static const char *expected_size(struct lt_arena *arena, const struct plan *plan,
	const struct wire *wire)
{
	const char *own = size_word(wire->size);
	if (own != NULL)
		return own;
	const char *one = size_word(plan->size[wire->from]);
	const char *other = wire->to == CONNECTORS ? NULL : size_word(plan->size[wire->to]);
	if (one == NULL || other == NULL || one == other)
		return one != NULL ? one : other != NULL ? other : "notdescribed";
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
		if (size_words[i] == one || size_words[i] == other)
			return lt_arena_printf(arena, "%sor%s", size_words[i],
				size_words[i] == one ? other : one);
	return NULL;
}

/* Sorts as the end should: by number, way; without number last, by id. */
static const char *end_key(struct lt_arena *arena, const struct fixture *fixture,
	unsigned connector, unsigned way)
{
	if (connector == CONNECTORS)
		return "~";
	unsigned number = fixture->tags.number_of[connector];
	return lt_arena_printf(arena, "%06u %-8s %03u", number != 0 ? number : 900000,
		fixture->harness.connectors[connector].id, way);
}

static const char *end_cells(struct lt_arena *arena, const struct fixture *fixture,
	unsigned connector, unsigned way)
{
	if (connector == CONNECTORS)
		return "notdescribed";
	unsigned number = fixture->tags.number_of[connector];
	const struct lt_connector *of = &fixture->harness.connectors[connector];
	const char *name = of->name != NULL ? squeeze(arena, of->name) : "notdescribed";
	if (number == 0)
		return lt_arena_printf(arena, "nonumber,way%u(X%u.%u)|%s", way + 1, connector,
			way + 1, name);
	return lt_arena_printf(arena, "%uHway%u(X%u.%u)|%s", number, way + 1, connector, way + 1,
		name);
}

/* The wire list's rows, in order. Lines that begin and end at the same ways keep the order of the
 * description; there are none such here. */
static void expect_wires(struct list *list, const struct fixture *fixture, const struct plan *plan)
{
	struct list keyed = { 0 };
	struct lt_arena *arena = &keyed.arena;
	for (unsigned i = 0; i < plan->wire_count; i++) {
		const struct wire *wire = &plan->wires[i];
		const char *key[2] = { end_key(arena, fixture, wire->from, wire->from_way),
			end_key(arena, fixture, wire->to, wire->to_way) };
		const char *cells[2] = { end_cells(arena, fixture, wire->from, wire->from_way),
			end_cells(arena, fixture, wire->to, wire->to_way) };
		int swapped = strcmp(key[0], key[1]) > 0;
		/* Two open wires on one way: in the order of their colours as written. */
		list_add(&keyed,
			lt_arena_printf(arena, "%s %s %05u\t%s|%s|%s|%s%s%s", key[swapped],
				key[!swapped], i, cells[swapped], cells[!swapped],
				colour_cell(wire->colour, colour_cells, "notdescribed"),
				expected_size(arena, plan, wire), wire->name != NULL ? "|" : "",
				wire->name != NULL ? squeeze(arena, wire->name) : ""));
	}
	list_sort(&keyed);
	for (size_t i = 0; i < keyed.count && fixture->harness.wire_count > 0; i++)
		list_add(list, strchr(keyed.items[i], '\t') + 1);
	if (plan->wire_count == 0)
		list_add(list, squeeze(arena, lt_table_words.no_wires));
	list_finish(&keyed);
}

/* "colour|in words|size|both ends described|one end described", sorted by letters, and the row for
 * all; without the last but one, and with a sentence, where there is no wire list. */
static void expect_summary(struct list *list, const struct fixture *fixture,
	const struct plan *plan)
{
	bool listed = fixture->harness.wire_count > 0;
	struct list kinds = { 0 };
	for (unsigned i = 0; i < plan->wire_count; i++) {
		const struct wire *wire = &plan->wires[i];
		list_add(&kinds, lt_arena_printf(&kinds.arena, "%s%s%s|%s|%s",
					 colour_cell(wire->colour, colour_cells, "notdescribed"),
					 wire->colour != NULL ? "|" : "",
					 colour_cell(wire->colour, colour_words, ""),
					 expected_size(&kinds.arena, plan, wire),
					 wire->to == CONNECTORS ? "open" : "whole"));
	}
	list_sort(&kinds);
	unsigned whole = 0, open = 0;
	for (size_t i = 0; i < kinds.count;) {
		size_t length = (size_t)(strrchr(kinds.items[i], '|') - kinds.items[i]);
		const char *first = kinds.items[i];
		unsigned counts[2] = { 0, 0 };
		for (; i < kinds.count && strncmp(kinds.items[i], first, length + 1) == 0; i++)
			counts[strcmp(&kinds.items[i][length + 1], "open") == 0]++;
		list_add(list, listed ? lt_arena_printf(&kinds.arena, "%.*s|%u|%u", (int)length,
						first, counts[0], counts[1])
				      : lt_arena_printf(&kinds.arena, "%.*s|%u", (int)length, first,
						counts[1]));
		whole += counts[0];
		open += counts[1];
	}
	if (plan->wire_count > 0 && !listed)
		list_add(list, squeeze(&kinds.arena, lt_table_words.no_wire_list));
	if (plan->wire_count > 0)
		list_add(list, listed ? lt_arena_printf(&kinds.arena, "all|%u|%u", whole, open)
				      : lt_arena_printf(&kinds.arena, "all|%u", open));
	list_finish(&kinds);
}

/* "12|12H12M|name(X1)|name(M1)|place|page". */
static const char *number_cells(struct lt_arena *arena, const struct fixture *fixture,
	const size_t *pages, size_t index)
{
	const struct lt_connector *of = &fixture->harness.connectors[index];
	const struct lt_component *part =
		of->component == LT_NONE ? NULL : &fixture->harness.components[of->component];
	unsigned number = fixture->tags.number_of[index];
	struct lt_text text = { 0 };
	if (number == 0)
		lt_text_add(&text, "by eye");
	else
		lt_text_printf(&text, "%u|%uH", number, number);
	if (number != 0 && of->sides == 2 && part != NULL && part->replace)
		lt_text_printf(&text, "%uX", number);
	if (number != 0 && of->sides == 2)
		lt_text_printf(&text, "%uM", number);
	if (number != 0 && of->marking == LT_MARK_PAPER)
		lt_text_add(&text, "nosticker");
	lt_text_printf(&text, of->name != NULL ? "|%s(%s)|" : "|%s%s|",
		of->name != NULL ? of->name : "", of->id);
	if (part == NULL)
		lt_text_add(&text, "not described");
	else
		lt_text_printf(&text, part->name != NULL ? "%s(%s)" : "%s%s",
			part->name != NULL ? part->name : "", part->id);
	lt_text_printf(&text, of->port != NULL ? ",port%s" : "%s",
		of->port != NULL ? of->port : "");
	lt_text_add(&text, part != NULL && part->replace ? ",newpart|" : "|");
	bool there = part != NULL && part->where != NULL &&
		     (of->where == NULL || strcmp(of->where, part->where) != 0);
	if (of->where == NULL && !there)
		lt_text_add(&text, "not described");
	lt_text_add(&text, of->where != NULL ? of->where : "");
	if (there)
		lt_text_printf(&text, "%s:%s", part->id, part->where);
	lt_text_printf(&text, "|%zu", pages[index]);
	const char *cells = squeeze(arena, lt_text_string(&text));
	lt_text_finish(&text);
	return cells;
}

static void expect_numbers(struct list *list, const struct fixture *fixture, const size_t *pages)
{
	struct list keyed = { 0 };
	bool none = false;
	for (size_t i = 0; i < fixture->harness.connector_count; i++) {
		unsigned number = fixture->tags.number_of[i];
		none |= number == 0;
		list_add(&keyed,
			lt_arena_printf(&keyed.arena, "%06u %s\t%s", number != 0 ? number : 900000,
				fixture->harness.connectors[i].id,
				number_cells(&keyed.arena, fixture, pages, i)));
	}
	for (unsigned i = 1; i <= fixture->tags.number_max; i++)
		if (fixture->tags.retired[i])
			list_add(&keyed, lt_arena_printf(&keyed.arena,
						 "%06u\t%u|retired:notusedanymore", i, i));
	if (none)
		list_add(&keyed, "890000\t#nonumber");
	list_sort(&keyed);
	for (size_t i = 0; i < keyed.count; i++)
		list_add(list, strchr(keyed.items[i], '\t') + 1);
	list_finish(&keyed);
}

/* Whether the text's first word is one of these, each between spaces. */
static bool begins_with(const char *text, const char *words, size_t *length)
{
	*length = strcspn(text, " ");
	if (text[*length] == '\0')
		return false;
	char word[32] = " ";
	for (size_t i = 0; i <= *length && i < sizeof word - 2; i++)
		word[i + 1] = (char)tolower((unsigned char)text[i]);
	return strstr(words, word) != NULL;
}

/* What is behind "under the", "left of a" and the like, of the places that there are here. */
static const char *thing_of(const char *place)
{
	const char *at = place;
	for (bool more = true; more;) {
		size_t first, second;
		more = begins_with(at, " behind under inside on over through above along of the a ",
			&first);
		if (more) {
			at += first + 1;
		} else if (begins_with(at, " left right top end foot middle back ", &first)) {
			more = begins_with(&at[first + 1], " of ", &second);
			at += more ? first + second + 2 : 0;
		}
	}
	return *at != '\0' ? at : place;
}

/* In small letters, and with numbers of one length. */
static const char *sort_key(struct lt_arena *arena, const char *text)
{
	struct lt_text key = { 0 };
	for (const char *at = text; *at != '\0';) {
		size_t digits = strspn(at, "0123456789");
		if (digits > 0)
			lt_text_printf(&key, "%08lu", strtoul(at, NULL, 10));
		else
			lt_text_add_char(&key, (char)(*at >= 'A' && *at <= 'Z' ? *at + 32 : *at));
		at += digits > 0 ? digits : 1;
	}
	const char *kept = lt_arena_strdup(arena, lt_text_string(&key));
	lt_text_finish(&key);
	return kept;
}

/* Every line of the index by place as "place <sort key> \t place \t row"; none given is last. */
static void add_at(struct list *keyed, const char *place, const char *key, const char *row)
{
	struct lt_arena *arena = &keyed->arena;
	const char *sort = place != NULL ? sort_key(arena, thing_of(place)) : "\xff";
	list_add(keyed,
		lt_arena_printf(arena, "%s\x01%s\x01%s\x01%s\t%s\t%s", sort,
			place != NULL ? sort_key(arena, place) : "", place != NULL ? place : "",
			key, place != NULL ? place : lt_table_words.place_not_described, row));
}

static const char *named(struct lt_arena *arena, const char *name, const char *id)
{
	return name != NULL ? lt_arena_printf(arena, "%s (%s)", name, id) : id;
}

static void keyed_places(struct list *keyed, const struct fixture *fixture, const size_t *pages)
{
	const struct lt_harness *harness = &fixture->harness;
	struct lt_arena *arena = &keyed->arena;
	for (size_t i = 0; i < harness->connector_count; i++) {
		const struct lt_connector *of = &harness->connectors[i];
		bool mated = of->component != LT_NONE;
		const struct lt_component *part = &harness->components[mated ? of->component : 0];
		unsigned number = fixture->tags.number_of[i];
		const char *joint = named(arena, of->name, of->id);
		const char *mate = mated ? named(arena, part->name, part->id) : NULL;
		const char *there = mated ? part->where : NULL;
		const char *key =
			lt_arena_printf(arena, "%06u %s", number != 0 ? number : 900000, of->id);
		const char *digits = number != 0 ? lt_arena_printf(arena, "%u", number) : "by eye";
		bool both = of->where != NULL && there != NULL && strcmp(of->where, there) == 0;
		if (both)
			add_at(keyed, there, key,
				lt_arena_printf(arena, "%s|%s and its mate %s|%zu", digits, joint,
					mate, pages[i]));
		if (!both && (of->where != NULL || there == NULL))
			add_at(keyed, of->where, key,
				lt_arena_printf(arena, "%s|%s|%zu", digits, joint, pages[i]));
		if (!both && there != NULL)
			add_at(keyed, there, key,
				lt_arena_printf(arena, "%s|%s, the mate of %s|%zu", digits, mate,
					joint, pages[i]));
	}
	for (size_t i = 0; i < harness->component_count; i++) {
		const struct lt_component *part = &harness->components[i];
		bool joined = false;
		for (size_t j = 0; j < harness->connector_count && !joined; j++)
			joined = harness->connectors[j].component == i;
		if (!joined)
			add_at(keyed, part->where, lt_arena_printf(arena, "950000 %06zu", i),
				lt_arena_printf(arena, "–|%s: no connector mates with it|–",
					named(arena, part->name, part->id)));
	}
}

static void expect_places(struct list *list, const struct fixture *fixture, const size_t *pages)
{
	struct list keyed = { 0 };
	keyed_places(&keyed, fixture, pages);
	list_sort(&keyed);
	const char *last = NULL;
	for (size_t i = 0; i < keyed.count; i++) {
		const char *place = strchr(keyed.items[i], '\t') + 1;
		const char *row = strchr(place, '\t') + 1;
		const char *squeezed = squeeze(&keyed.arena,
			lt_arena_copy(&keyed.arena, place, (size_t)(row - 1 - place)));
		if (last == NULL || strcmp(squeezed, last) != 0)
			list_add(list, lt_arena_printf(&keyed.arena, "#%s", squeezed));
		last = squeezed;
		list_add(list, squeeze(&keyed.arena, row));
	}
	list_finish(&keyed);
}

typedef void expect_table(struct list *list, const struct fixture *fixture, const size_t *pages);

static void check_index(const struct drawn *drawn, const struct fixture *fixture, enum table table,
	expect_table *expect)
{
	size_t *pages = some_pages(fixture);
	struct list is = { 0 }, should = { 0 };
	list_rows(&is, drawn, table);
	expect(&should, fixture, pages);
	assert_lists(&is, &should);
	list_finish(&is);
	list_finish(&should);
	free(pages);
}

static void check_wires(const struct drawn *drawn, const struct fixture *fixture,
	const struct plan *plan)
{
	struct list is = { 0 }, should = { 0 };
	list_rows(&is, drawn, WIRES);
	expect_wires(&should, fixture, plan);
	assert_lists(&is, &should);
	list_finish(&is);
	list_finish(&should);
	list_rows(&is, drawn, SUMMARY);
	expect_summary(&should, fixture, plan);
	/* Where any are open, one more row tells what that means. */
	const char *all = should.count > 0 ? should.items[should.count - 1] : "|0";
	if (fixture->harness.wire_count > 0 && strcmp(strrchr(all, '|'), "|0") != 0) {
		assert_int_equal(is.count, should.count + 1);
		assert_non_null(strstr(is.items[--is.count], "onlyoneend"));
	}
	/* Their order is that of colours, not of letters. */
	list_sort(&is);
	list_sort(&should);
	assert_lists(&is, &should);
	list_finish(&is);
	list_finish(&should);
}

/* A page is named after the tables that it has rows of. */
static void check_titles(const struct drawn *drawn)
{
	for (size_t i = 0; i < drawn->record.page_count; i++) {
		bool on[PLACES + 1] = { false };
		for (size_t j = 0; j < drawn->count; j++)
			if (drawn->rows[j].page == i)
				on[drawn->rows[j].table] = true;
		struct lt_text title = { 0 };
		if (on[NUMBERS])
			lt_text_add(&title, lt_table_words.index_by_number);
		if (on[PLACES])
			lt_text_printf(&title, title.length > 0 ? ", %s" : "%s",
				lt_table_words.index_by_place);
		if (on[WIRES] || on[SUMMARY])
			lt_text_printf(&title, title.length > 0 ? ", %s" : "%s",
				lt_table_words.wire_list);
		assert_string_equal(drawn->titles[i], lt_text_string(&title));
		lt_text_finish(&title);
	}
}

static void random_harnesses_are_listed_whole(void **state)
{
	(void)state;
	uint64_t seed = 20261125;
	struct plan *plan = lt_alloc(sizeof *plan);
	for (unsigned i = 0; i < HARNESSES; i++) {
		struct fixture fixture;
		struct drawn drawn;
		unsigned most = i % 10 == 0 ? CONNECTORS : i % 3 == 0 ? 60 : 12;
		random_harness(&fixture, plan, i == 90 ? CONNECTORS : 1 + build_random(&seed, most),
			&seed);
		draw(&drawn, &fixture, papers[i % PAPERS]);
		check_wires(&drawn, &fixture, plan);
		check_index(&drawn, &fixture, NUMBERS, expect_numbers);
		check_index(&drawn, &fixture, PLACES, expect_places);
		check_titles(&drawn);
		drawn_finish(&drawn);
		fixture_finish(&fixture);
	}
	free(plan);
}

static void read_sample(struct fixture *fixture, const char *path)
{
	struct lt_diags diags = { 0 };
	char *bytes;
	size_t length;
	assert_true(lt_file_read(&bytes, &length, path, LT_DESCRIPTION_MAX, &diags));
	lt_diags_finish(&diags);
	fixture_read(fixture, path, bytes);
	free(bytes);
}

static void samples_are_listed_whole(void **state)
{
	(void)state;
	for (size_t i = 0; i < SAMPLES * PAPERS; i++) {
		struct fixture fixture;
		struct drawn drawn;
		read_sample(&fixture, samples[i / PAPERS]);
		draw(&drawn, &fixture, papers[i % PAPERS]);
		assert_true(papers[i % PAPERS][0] < 340 ||
			    count_columns(&drawn.record, 0, &drawn.area) > 1);
		check_index(&drawn, &fixture, NUMBERS, expect_numbers);
		check_index(&drawn, &fixture, PLACES, expect_places);
		check_titles(&drawn);
		drawn_finish(&drawn);
		fixture_finish(&fixture);
	}
}

static const char odd[] =
	"harness: ODD\nnumbers: order\n"
	"components:\n"
	"  - {id: M1, name: motor, place: left gearbox, fate: replace}\n"
	"  - {id: B5, name: lone part, place: Ridge}\n"
	"connectors:\n"
	"  - {id: X1, name: power, mates: M1, port: PWR, ways: 3, size: 0.75 mm2,\n"
	"     wires: {1: BN, 2: [BU, BK], 3: GNYE}, place: under the left cover}\n"
	"  - {id: X2, ways: 60, wires: {a: WHRD, AA: WH, B: RD, 10: GY, 9: GY}, size: 18 AWG,\n"
	"     place: Under the Left Cover}\n"
	"  - {id: X3, name: hall, tag: paper, ways: 5, place: ridge}\n"
	"  - {id: X9, tag: none, kind: clip, ways: 3, wires: {1: PK}}\n"
	"wires:\n"
	"  - {from: X2.a, to: X1.1, name: W1}\n"
	"  - {from: X3.1, to: X1.2, name: W2}\n"
	"  - {from: X3.2, to: X3.3, colour: TQ, size: 2.5 mm2}\n"
	"  - {from: X9.2, to: X3.4}\n";

static void read_odd(struct fixture *fixture)
{
	lt_diags_init(&fixture->diags);
	lt_register_init(&fixture->reg);
	lt_register_add(&fixture->reg, 2, "X1");
	lt_register_add(&fixture->reg, 5, "X7")->retired = true;
	lt_register_add(&fixture->reg, 9, "X0")->retired = true;
	lt_register_add(&fixture->reg, 10, "X3");
	lt_register_add(&fixture->reg, 12, "X2");
	const struct lt_harness_options options = LT_HARNESS_OPTIONS_INIT;
	assert_true(lt_harness_read(&fixture->harness, "odd.yaml", odd, strlen(odd), &options,
		&fixture->diags));
	fixture->lookalikes = lt_lookalikes_create(&fixture->harness);
	assert_true(lt_tags_assign(&fixture->tags, &fixture->harness, fixture->lookalikes,
		&fixture->reg, &fixture->diags));
}

static void assert_rows(const struct drawn *drawn, enum table table, const char *const *rows,
	size_t count)
{
	struct list is = { 0 };
	list_rows(&is, drawn, table);
	for (size_t i = 0; i < is.count && i < count; i++)
		assert_string_equal(is.items[i], rows[i]);
	assert_int_equal(is.count, count);
	list_finish(&is);
}
#define ASSERT_ROWS(drawn, table, rows) \
	assert_rows(drawn, table, rows, sizeof(rows) / sizeof *(rows))

#define OPEN_ENDS "7wireshaveonlyoneenddescribed.Twoofthemcanbetheendsofonewire."

/* What differs between two ends, or may be either of two, is not made up; ways with letters come
 * behind those with numbers. */
static void unknown_values_are_marked(void **state)
{
	(void)state;
	static const char *const wires[] = {
		"2Hway1(X1.1)|power|12Hwaya(X2.a)|notdescribed|BNorWHRD|0.75mm²or18AWG|W1",
		"2Hway2(X1.2)|power|10Hway1(X3.1)|hall|BKorBU|0.75mm²|W2",
		"2Hway2(X1.2)|power|notdescribed|BKorBU|0.75mm²",
		"2Hway3(X1.3)|power|notdescribed|GNYE,PE|0.75mm²",
		"10Hway2(X3.2)|hall|10Hway3(X3.3)|hall|TQ|2.5mm²",
		"10Hway4(X3.4)|hall|nonumber,way2(X9.2)|notdescribed|notdescribed|notdescribed",
		"12Hway9(X2.9)|notdescribed|notdescribed|GY|18AWG",
		"12Hway10(X2.10)|notdescribed|notdescribed|GY|18AWG",
		"12HwayB(X2.B)|notdescribed|notdescribed|RD|18AWG",
		"12HwayAA(X2.AA)|notdescribed|notdescribed|WH|18AWG",
		"nonumber,way1(X9.1)|notdescribed|notdescribed|PK|notdescribed",
	};
	/* Colours in the order of IEC 60757, then what is in doubt, then what is not given. */
	static const char *const summary[] = { "RD|red|18AWG|0|1", "GY|grey|18AWG|0|2",
		"WH|white|18AWG|0|1", "PK|pink|notdescribed|0|1", "TQ|turquoise|2.5mm²|1|0",
		"GNYE,PE|green-and-yellow:protectiveearth(PE)|0.75mm²|0|1",
		"BKorBU|blackorblue|0.75mm²|1|1", "BNorWHRD|brownorwhiteandred|0.75mm²or18AWG|1|0",
		"notdescribed|notdescribed|1|0", "all|4|7", OPEN_ENDS };
	struct fixture fixture;
	struct drawn drawn;
	read_odd(&fixture);
	draw(&drawn, &fixture, papers[1]);
	ASSERT_ROWS(&drawn, WIRES, wires);
	ASSERT_ROWS(&drawn, SUMMARY, summary);
	drawn_finish(&drawn);
	fixture_finish(&fixture);
}

static void numbers_and_places_are_found(void **state)
{
	(void)state;
	static const char *const numbers[] = {
		"2|2H2X2M|power(X1)|motor(M1),portPWR,newpart|undertheleftcoverM1:leftgearbox|3",
		"5|retired:notusedanymore",
		"9|retired:notusedanymore",
		"10|10H10Mnosticker|hall(X3)|notdescribed|ridge|17",
		"12|12H12M|X2|notdescribed|UndertheLeftCover|10",
		"#nonumber",
		"byeye|X9|notdescribed|notdescribed|24",
	};
	static const char *const places[] = {
		"#UndertheLeftCover",
		"12|X2|10",
		"#undertheleftcover",
		"2|power(X1)|3",
		"#leftgearbox",
		"2|motor(M1),themateofpower(X1)|3",
		"#Ridge",
		"–|lonepart(B5):noconnectormateswithit|–",
		"#ridge",
		"10|hall(X3)|17",
		"#placenotdescribed",
		"byeye|X9|24",
	};
	struct fixture fixture;
	struct drawn drawn;
	read_odd(&fixture);
	draw(&drawn, &fixture, papers[1]);
	ASSERT_ROWS(&drawn, NUMBERS, numbers);
	ASSERT_ROWS(&drawn, PLACES, places);
	drawn_finish(&drawn);
	fixture_finish(&fixture);
}

/* Words for more than a page in a name, and for much of one in a place's head. */
static void rows_higher_than_a_page_are_not_cut(void **state)
{
	(void)state;
	struct lt_text yaml = { 0 };
	struct fixture fixture;
	struct drawn drawn;
	lt_text_add(&yaml,
		"harness: HIGH\nnumbers: order\nconnectors:\n  - {id: X2, ways: 2}\n  - {id: X1, ways: 2, wires: {1: BN}, place: \"");
	for (int i = 0; i < 80; i++)
		lt_text_printf(&yaml, "P%03d ", i);
	lt_text_add(&yaml, "end\", name: \"");
	for (int i = 0; i < 80; i++)
		lt_text_printf(&yaml, "N%03d ", i);
	lt_text_add(&yaml, "end\"}\nwires:\n  - {from: X2.1, to: X1.2}\n");
	fixture_read(&fixture, "high.yaml", lt_text_string(&yaml));
	const struct lt_map_area area = { 20, 30, 160, 60 };
	const double paper[2] = { 210, 120 };
	struct lt_measure measure = record_measure();
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture.diags.arena, &fixture.tags, fixture.lookalikes,
		&measure);
	const size_t page_of[] = { 3, 4 };
	drawn = (struct drawn){ .area = area };
	struct lt_canvas canvas = record_canvas(&drawn.record, measure);
	for (int kind = LT_TABLES_INDEXES; kind <= LT_TABLES_WIRES; kind++) {
		struct lt_map_tables *tables = lt_map_tables_create(&input,
			(enum lt_map_tables_kind)kind, page_of, &area, &fixture.diags);
		assert_non_null(tables);
		for (size_t i = 0; i < lt_map_tables_pages(tables); i++) {
			canvas.begin_page(canvas.data, paper[0], paper[1]);
			lt_map_tables_draw(&canvas, tables, i);
			canvas.end_page(canvas.data, &fixture.diags);
		}
		lt_map_tables_destroy(tables);
	}
	check_page_bounds(&drawn);
	size_t found[2] = { 0, 0 };
	for (size_t i = 0; i < drawn.record.count; i++) {
		const char *text = drawn.record.items[i].text;
		for (const char *at = text; at != NULL && *at != '\0'; at++) {
			found[0] += *at == 'P' && at[1] >= '0' && at[1] <= '9';
			found[1] += *at == 'N' && at[1] >= '0' && at[1] <= '9';
		}
	}
	assert_int_equal(found[0], 2 * 80); /* by number, by place */
	assert_int_equal(found[1], 4 * 80); /* twice in the wire list, by number, by place */
	drawn_finish(&drawn);
	fixture_finish(&fixture);
	lt_text_finish(&yaml);
}

static void too_small_an_area_is_refused(void **state)
{
	(void)state;
	struct fixture fixture;
	struct lt_measure measure = record_measure();
	read_odd(&fixture);
	struct lt_map_input input;
	lt_map_input_init(&input, &fixture.diags.arena, &fixture.tags, fixture.lookalikes,
		&measure);
	size_t *pages = some_pages(&fixture);
	const struct lt_map_area areas[] = { { 5, 5, 159, 200 }, { 5, 5, 200, 59 },
		{ 0, 0, -3, 0 } };
	for (size_t i = 0; i < sizeof areas / sizeof *areas; i++) {
		struct lt_diags diags = { 0 };
		assert_null(lt_map_tables_create(&input, LT_TABLES_INDEXES, pages, &areas[i],
			&diags));
		assert_int_equal(diags.errors, 1);
		lt_diags_finish(&diags);
	}
	lt_map_tables_destroy(NULL);
	free(pages);
	fixture_finish(&fixture);
}

/* Where the wire list has room, an end stands on one line. */
static void ends_are_not_broken_without_need(void **state)
{
	(void)state;
	struct fixture fixture;
	struct drawn drawn;
	read_sample(&fixture, samples[2]);
	draw(&drawn, &fixture, papers[0]);
	assert_int_equal(record_count_text(&drawn.record, "14H way 1 (XL1.1)"), 1);
	assert_int_equal(record_count_text(&drawn.record, "66H way 11 (XH1.11)"), 1);
	drawn_finish(&drawn);
	fixture_finish(&fixture);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_harnesses_are_listed_whole),
		cmocka_unit_test(samples_are_listed_whole),
		cmocka_unit_test(unknown_values_are_marked),
		cmocka_unit_test(numbers_and_places_are_found),
		cmocka_unit_test(rows_higher_than_a_page_are_not_cut),
		cmocka_unit_test(too_small_an_area_is_refused),
		cmocka_unit_test(ends_are_not_broken_without_need),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
