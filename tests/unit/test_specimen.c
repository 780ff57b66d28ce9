/* Pictures of layouts, measured: true sizes, nothing off the page, no text over another. */
#include "unit/unit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "label/layout.h"
#include "loomtag/sheet.h"
#include "unit/record_canvas.h"

#define A4_WIDTH 210.0 /* ISO 216 */
#define A4_HEIGHT 297.0

static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };

struct shelf {
	struct lt_arena arena;
	struct lt_layout *layouts;
	size_t count;
};

static void shelf_init(struct shelf *shelf)
{
	struct lt_diags diags = { 0 };
	*shelf = (struct shelf){ 0 };
	const char **names = lt_layout_names(&shelf->count, &shelf->arena, folders);
	assert_true(shelf->count >= 16);
	shelf->layouts = lt_alloc_array(shelf->count, sizeof(*shelf->layouts));
	for (size_t i = 0; i < shelf->count; i++)
		assert_true(lt_layout_find(&shelf->layouts[i], names[i], folders, &diags));
	lt_diags_finish(&diags);
}

static void shelf_finish(struct shelf *shelf)
{
	for (size_t i = 0; i < shelf->count; i++)
		lt_layout_finish(&shelf->layouts[i]);
	free(shelf->layouts);
	lt_arena_finish(&shelf->arena);
}

static void read_layout(struct lt_layout *out, const char *text)
{
	struct lt_diags diags = { 0 };
	bool good = lt_layout_read(out, NULL, text, strlen(text), &diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	assert_true(good);
}

static void draw_one(struct record *record, const struct lt_layout *layout, bool words)
{
	struct lt_diags diags = { 0 };
	struct lt_canvas canvas = record_canvas(record, record_measure());
	assert_true(lt_specimen_draw(&canvas, layout, words, &record->measure, &diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(record->page_count, 1);
	assert_true(record->pages[0].ended);
}

/* Without the room for accents and tails, which a sticker's number does not have. */
static struct record_item ink_of(const struct record_item *item)
{
	struct record_item ink = *item;
	if (item->kind == RECORD_TEXT) {
		ink.top = item->baseline - item->capital;
		ink.bottom = item->baseline;
	}
	return ink;
}

/* How many texts overlap each other. */
static size_t text_overlaps(const struct record *record)
{
	size_t overlaps = 0;
	for (size_t i = 0; i < record->count; i++) {
		for (size_t j = i + 1; j < record->count; j++) {
			const struct record_item a = ink_of(&record->items[i]);
			const struct record_item b = ink_of(&record->items[j]);
			if (a.kind == RECORD_TEXT && b.kind == RECORD_TEXT && a.page == b.page &&
				record_overlap(&a, &b)) {
				record_tell("text", &a);
				record_tell("meets", &b);
				overlaps++;
			}
		}
	}
	return overlaps;
}

/* How many items have ink nearer than that to the page's edge. */
static size_t ink_outside(const struct record *record, double margin)
{
	size_t outside = 0;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item ink = ink_of(&record->items[i]);
		const struct record_page *page = &record->pages[ink.page];
		if (ink.left < margin || ink.top < margin || ink.right > page->width - margin ||
			ink.bottom > page->height - margin) {
			record_tell("outside", &ink);
			outside++;
		}
	}
	return outside;
}

/* The least box around the lines and frames, thick ones only: the label's outline comes first. */
static struct record_item outline_from(const struct record *record, size_t *index)
{
	size_t i = *index;
	while (i < record->count && record->items[i].kind != RECORD_LINE &&
		record->items[i].kind != RECORD_FRAME)
		i++;
	struct record_item box = record->items[i];
	if (box.kind == RECORD_LINE) {
		for (size_t k = 0; k < 4; k++, i++) {
			const struct record_item *item = &record->items[i];
			assert_int_equal(item->kind, RECORD_LINE);
			box.left = fmin(box.left, item->left);
			box.right = fmax(box.right, item->right);
			box.top = fmin(box.top, item->top);
			box.bottom = fmax(box.bottom, item->bottom);
		}
	}
	*index = i;
	return box;
}

static void every_layout_fits_its_picture(void **state)
{
	(void)state;
	struct shelf shelf;
	shelf_init(&shelf);
	for (size_t i = 0; i < shelf.count; i++) {
		for (int words = 0; words < 2; words++) {
			struct record record;
			draw_one(&record, &shelf.layouts[i], words == 1);
			assert_int_equal(ink_outside(&record, words == 1 ? 4 : 1), 0);
			assert_int_equal(text_overlaps(&record), 0);
			assert_int_equal(record_coloured(&record), 0);
			assert_int_equal(record_count_text(&record, shelf.layouts[i].name), words);
			bool flag = shelf.layouts[i].style == LT_STYLE_FLAG;
			assert_int_equal(record_count_text(&record, "12H"), flag ? 2 : 1);
			record_free(&record);
		}
	}
	shelf_finish(&shelf);
}

/* Each dimension is as long as it says: two ticks, and the line between them. */
static void dimensions_are_true(void **state)
{
	(void)state;
	static const struct {
		const char *layout;
		struct {
			bool across;
			double length;
			const char *text;
		} lines[6];
	} cases[] = {
		{ "a4-3x8", { { true, 70, "70 mm" }, { false, 37, "37 mm" } } },
		{ "wrap-25x11", { { true, 25, "25 mm" }, { false, 11, "11 mm" },
					{ false, 21, "21 mm" }, { false, 32, "32 mm" } } },
		{ "flag-25x13", { { true, 25, "25 mm" }, { true, 20, "20 mm" },
					{ true, 70, "70 mm" }, { false, 13, "13 mm" } } },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_diags diags = { 0 };
		struct lt_layout layout;
		assert_true(lt_layout_find(&layout, cases[i].layout, folders, &diags));
		struct record record;
		draw_one(&record, &layout, false);
		for (size_t k = 0; cases[i].lines[k].text != NULL; k++) {
			bool across = cases[i].lines[k].across;
			size_t found = 0;
			for (size_t n = 0; n < record.count; n++) {
				const struct record_item *item = &record.items[n];
				double length = across ? item->right - item->left
						       : item->bottom - item->top;
				double thick = across ? item->bottom - item->top
						      : item->right - item->left;
				found += item->kind == RECORD_LINE && fabs(thick - 0.15) < 1e-6 &&
					 fabs(length - cases[i].lines[k].length) < 0.01;
			}
			if (found == 0)
				fail_msg("%s: no line of %g mm", cases[i].layout,
					cases[i].lines[k].length);
			assert_true(record_count_text(&record, cases[i].lines[k].text) >= 1);
		}
		record_free(&record);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

static bool has_text(const struct record *record, const char *part)
{
	for (size_t i = 0; i < record->count; i++) {
		if (record->items[i].kind == RECORD_TEXT &&
			strstr(record->items[i].text, part) != NULL)
			return true;
	}
	return false;
}

static void the_facts_are_shown(void **state)
{
	(void)state;
	static const struct {
		const char *layout, *facts[4];
	} cases[] = {
		{ "a4-3x8", { "any bundle", "2 mm to an edge", "3 x 8 labels" } },
		/* 11 mm / pi is 3.50; 21 mm / pi less twice 0.1 mm of film is 6.48. */
		{ "wrap-25x11", { "3.6 to 6.4 mm", "300 dpi", "clear" } },
		/* 20 mm / pi is 6.37. */
		{ "flag-25x13", { "up to 6.3 mm", "loop" } },
		{ "tape-12-flag", { "any bundle", "22 to 60 mm", "loop" } },
		{ "tape-12", { "20 to 100 mm" } },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_diags diags = { 0 };
		struct lt_layout layout;
		assert_true(lt_layout_find(&layout, cases[i].layout, folders, &diags));
		struct record record;
		draw_one(&record, &layout, true);
		for (size_t k = 0; cases[i].facts[k] != NULL; k++) {
			if (!has_text(&record, cases[i].facts[k]))
				fail_msg("%s: \"%s\" is not said", cases[i].layout,
					cases[i].facts[k]);
		}
		record_free(&record);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

/* A code in a picture is read like any other. ISO/IEC 18004: 4 modules of quiet zone. */
static void nothing_disturbs_the_sample_code(void **state)
{
	(void)state;
	struct shelf shelf;
	shelf_init(&shelf);
	for (size_t i = 0; i < shelf.count; i++) {
		struct record record;
		draw_one(&record, &shelf.layouts[i], true);
		size_t codes = 0;
		for (size_t n = 0; n < record.count; n++) {
			/* The record knows one module and no more: a corner's quiet zone. */
			struct record_item quiet = record.items[n];
			if (quiet.kind != RECORD_QR)
				continue;
			codes++;
			double module = quiet.right - quiet.left;
			quiet.left -= 3.9 * module;
			quiet.top -= 3.9 * module;
			quiet.right = quiet.left + (3.9 + 21 + 3.9) * module;
			quiet.bottom = quiet.top + (3.9 + 21 + 3.9) * module;
			for (size_t k = 0; k < record.count; k++) {
				/* Grey is what is not the label itself, whose corners are round. */
				bool line = record.items[k].kind == RECORD_LINE;
				bool grey = record.items[k].ink.red > 0;
				if (line && grey && record_overlap(&quiet, &record.items[k])) {
					record_tell("line", &record.items[k]);
					fail_msg("%s: a line in the quiet zone",
						shelf.layouts[i].name);
				}
			}
		}
		assert_true(codes >= 1);
		record_free(&record);
	}
	shelf_finish(&shelf);
}

/* Names and titles of any length, zones of any size, and labels that hold no sticker. */
static void odd_layouts_are_drawn_too(void **state)
{
	(void)state;
	static const char *const texts[] = {
		"layout: tiny\nkind: roll\nlabel: 3 x 2 mm\ngap: 1 mm\ndpi: 300\ninset: 0 mm\nstyle: plate\n",
		"layout: thin\nkind: roll\nlabel: 300 x 2 mm\ngap: 1 mm\ndpi: 300\ninset: 0.2 mm\nstyle: plate\n",
		"layout: tight\nkind: roll\nlabel: 20 x 14 mm\ngap: 1 mm\ndpi: 300\ninset: 0.2 mm\n"
		"style: wrap\nprinted: 20 x 4 mm\nclear: 20 x 10 mm\n",
		"layout: short-loop\nkind: roll\nlabel: 61 x 12 mm\ngap: 1 mm\ndpi: 300\ninset: 0.5 mm\n"
		"style: flag\nface: 30 x 12 mm\nloop: 1 mm\n",
		"layout: up\nkind: roll\nlabel: 25 x 32 mm\ngap: 1 mm\ndpi: 300\ninset: 0.5 mm\n"
		"style: wrap\nprinted: 25 x 11 mm\nclear: 25 x 21 mm\ndirection: up\n",
		"layout: right\nkind: roll\nlabel: 40 x 12 mm\ngap: 1 mm\ndpi: 300\ninset: 0.5 mm\n"
		"style: wrap\nprinted: 13 x 12 mm\nclear: 27 x 12 mm\ndirection: right\n",
	};
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++) {
		struct lt_layout layout;
		read_layout(&layout, texts[i]);
		char title[900];
		memset(title, 'w', sizeof(title) - 1);
		title[sizeof(title) - 1] = '\0';
		layout.title = title;
		struct record record;
		draw_one(&record, &layout, true);
		assert_int_equal(ink_outside(&record, 4), 0);
		assert_int_equal(text_overlaps(&record), 0);
		assert_true(record.pages[0].width < 400);
		if (i < 2)
			assert_true(has_text(&record, "no room"));
		record_free(&record);
		lt_layout_finish(&layout);
	}
}

static void the_contact_sheet_is_at_print_size(void **state)
{
	(void)state;
	struct shelf shelf;
	shelf_init(&shelf);
	struct lt_diags diags = { 0 };
	struct record record;
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	assert_true(lt_specimen_contact(&canvas, shelf.layouts, shelf.count, &record.measure,
		&diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(ink_outside(&record, 9), 0);
	assert_int_equal(text_overlaps(&record), 0);
	for (size_t i = 0; i < record.page_count; i++) {
		assert_true(fabs(record.pages[i].width - A4_WIDTH) < 1e-9);
		assert_true(fabs(record.pages[i].height - A4_HEIGHT) < 1e-9);
		assert_true(record.pages[i].ended);
	}
	assert_false(has_text(&record, "drawn at"));
	/* Below the captions of each label comes its outline. */
	for (size_t i = 0; i < shelf.count; i++) {
		const struct lt_layout *layout = &shelf.layouts[i];
		assert_int_equal(record_count_text(&record, layout->name), 1);
		size_t at = record_find(&record, 0, layout->name);
		const struct record_item *name = &record.items[at];
		struct record_item box = outline_from(&record, &at);
		/* The outline is around the label. */
		const double line = 0.25;
		double width = box.right - box.left - 2 * line;
		double height = box.bottom - box.top - 2 * line;
		if (layout->medium != LT_MEDIUM_TAPE)
			assert_true(fabs(width - layout->label_width) < 0.01);
		assert_true(fabs(height - layout->label_height) < 0.01);
		assert_true(fabs(box.left + line - name->left) < 0.01);
		assert_true(name->top > box.bottom);
	}
	lt_diags_finish(&diags);
	record_free(&record);
	shelf_finish(&shelf);
}

static void labels_larger_than_the_page_are_drawn_smaller(void **state)
{
	(void)state;
	struct lt_layout layout;
	read_layout(&layout,
		"layout: poster\nkind: roll\nlabel: 500 x 120 mm\ngap: 1 mm\ndpi: 203\n"
		"inset: 2 mm\nstyle: plate\n");
	struct lt_diags diags = { 0 };
	struct record record;
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	assert_true(lt_specimen_contact(&canvas, &layout, 1, &record.measure, &diags));
	assert_int_equal(ink_outside(&record, 9), 0);
	/* 500 mm on 190 mm of page. */
	assert_int_equal(record_count_text(&record, "drawn at 1:3"), 1);
	assert_int_equal(record_count_text(&record, "12H"), 0);
	lt_diags_finish(&diags);
	record_free(&record);
	lt_layout_finish(&layout);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_layout_fits_its_picture),
		cmocka_unit_test(dimensions_are_true),
		cmocka_unit_test(the_facts_are_shown),
		cmocka_unit_test(nothing_disturbs_the_sample_code),
		cmocka_unit_test(odd_layouts_are_drawn_too),
		cmocka_unit_test(the_contact_sheet_is_at_print_size),
		cmocka_unit_test(labels_larger_than_the_page_are_drawn_smaller),
	};
	return cmocka_run_group_tests_name("specimen", tests, NULL, NULL);
}
