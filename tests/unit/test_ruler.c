/* The ruler, measured on a canvas that records. */
#include "unit.h"

#include "has_parts.h"

#include <math.h>

#include "loomtag/words.h"
#include "record_canvas.h"
#include "sheet/ruler.h"

#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

/* To what positions are right: the grid's arithmetic is exact, layouts are written to 0.01 mm. */
#define CLOSE 0.01
/* Lines are thinner than this, and one along the page's edge is moved inside by half of itself. */
#define THIN 0.4

static const char *const folders[] = { LT_SOURCE_LAYOUTS, NULL };

static void draw(struct record *record, const struct lt_layout *layout,
	const struct lt_calibration *options)
{
	struct lt_diags diags = { 0 };
	struct lt_measure measure = record_measure();
	struct lt_canvas canvas = record_canvas(record, measure);
	assert_true(lt_ruler_draw(&canvas, layout, options, &measure, &diags));
	assert_int_equal(diags.count, 0);
	assert_int_equal(record->page_count, 1);
	assert_true(record->pages[0].ended);
}

/* The white ground of words on a sheet, or the record's count. */
static size_t find_panel(const struct record *record)
{
	size_t i = 0;
	while (i < record->count && record->items[i].kind != RECORD_FILL)
		i++;
	return i;
}

/* Whether an outline lies with the middle of its line on a rectangle, or at the page's edge where
 * that is the same. */
static bool has_frame(const struct record *record, double x, double y, double width, double height)
{
	const struct record_page *page = &record->pages[0];
	const double want[4] = { x, y, x + width, y + height };
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind != RECORD_FRAME)
			continue;
		const double outer[4] = { item->left, item->top, item->right, item->bottom };
		const double edge[4] = { 0, 0, page->width, page->height };
		const double half[4] = { 0.1, 0.1, -0.1, -0.1 };
		bool same = true;
		for (size_t k = 0; k < 4; k++) {
			bool middle = fabs(outer[k] + half[k] - want[k]) <= CLOSE;
			bool at_edge = fabs(want[k] - edge[k]) < 0.1 + CLOSE &&
				       fabs(outer[k] - edge[k]) <= CLOSE;
			same = same && (middle || at_edge);
		}
		if (same)
			return true;
	}
	return false;
}

/* Whether two lines cross with their middles at a point, arms `arm` long at least. */
static bool has_cross(const struct record *record, double x, double y, double arm)
{
	bool across = false, down = false;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		if (item->kind != RECORD_LINE || fabs((item->left + item->right) / 2 - x) > CLOSE ||
			fabs((item->top + item->bottom) / 2 - y) > CLOSE)
			continue;
		double width = item->right - item->left;
		double height = item->bottom - item->top;
		across = across || (width >= 2 * arm && height < THIN);
		down = down || (height >= 2 * arm && width < THIN);
	}
	return across && down;
}

/* The line that is `length` long in one direction and thin in the other, from the panel on. */
static const struct record_item *find_bar(const struct record *record, size_t from, double length,
	bool down)
{
	for (size_t i = from; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		double width = item->right - item->left;
		double height = item->bottom - item->top;
		if (item->kind == RECORD_LINE && fabs((down ? height : width) - length) < 1e-9 &&
			(down ? width : height) < THIN)
			return item;
	}
	return NULL;
}

/* Ticks that stand on a bar, at whole tens from its beginning to its end, where they are flush with
 * it. */
static size_t count_ticks(const struct record *record, const struct record_item *bar, bool down)
{
	size_t ticks = 0;
	double start = down ? bar->top : bar->left;
	double end = down ? bar->bottom : bar->right;
	double stem = down ? (bar->left + bar->right) / 2 : (bar->top + bar->bottom) / 2;
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *item = &record->items[i];
		double at = down ? (item->top + item->bottom) / 2 : (item->left + item->right) / 2;
		double foot = down ? item->left : item->top;
		double reach = down ? item->right - item->left : item->bottom - item->top;
		double tens = (at - start) / 10;
		if (item->kind == RECORD_LINE && item != bar && fabs(foot - stem) < THIN / 2 &&
			reach >= 1.5 && reach < 5 && at > start - 1e-9 && at < end + 1e-9 &&
			fabs(tens - round(tens)) < 0.011)
			ticks++;
	}
	return ticks;
}

static bool boxes_meet(const struct record_item *a, double left, double top, double right,
	double bottom)
{
	return a->left < right - 1e-6 && left < a->right - 1e-6 && a->top < bottom - 1e-6 &&
	       top < a->bottom - 1e-6;
}

/* Whether the capitals of a text meet the ink of another item. */
static bool text_meets(const struct record_item *text, const struct record_item *item)
{
	struct record_item letters = *text;
	letters.top = text->baseline - text->capital;
	letters.bottom = text->baseline;
	if (item->kind != RECORD_FRAME)
		return boxes_meet(&letters, item->left, item->top, item->right, item->bottom);
	return boxes_meet(&letters, item->left, item->top, item->left + 0.3, item->bottom) ||
	       boxes_meet(&letters, item->right - 0.3, item->top, item->right, item->bottom) ||
	       boxes_meet(&letters, item->left, item->top, item->right, item->top + 0.3) ||
	       boxes_meet(&letters, item->left, item->bottom - 0.3, item->right, item->bottom);
}

/* Nothing runs off the page, every text is legible and on free ground: what was drawn before the
 * panel is hidden beneath it. */
static void check_clear(const struct record *record)
{
	size_t panel = find_panel(record);
	size_t from = panel < record->count ? panel + 1 : 0;
	assert_int_equal(record_outside(record, 0), 0);
	for (size_t i = 0; i < record->count; i++) {
		const struct record_item *text = &record->items[i];
		if (text->kind != RECORD_TEXT)
			continue;
		assert_true(i >= from);
		/* NUREG-0700 11.4.1.5-1, at 500 mm. */
		assert_true(text->capital >= 2.0);
		if (from > 0) {
			const struct record_item *ground = &record->items[panel];
			assert_true(text->left > ground->left && text->right < ground->right);
			assert_true(text->top > ground->top && text->bottom < ground->bottom);
		}
		for (size_t k = from; k < record->count; k++) {
			if (k == i || !text_meets(text, &record->items[k]))
				continue;
			record_tell("text", text);
			record_tell("meets", &record->items[k]);
			fail();
		}
	}
}

static void check_labels(const struct record *record, const struct lt_layout *layout,
	const struct lt_calibration *options)
{
	for (unsigned i = 0; i < layout->columns * layout->rows; i++) {
		unsigned column = i % layout->columns;
		unsigned row = i / layout->columns;
		double x = layout->first_x + column * layout->pitch_x;
		double y = layout->first_y + row * layout->pitch_y;
		double width = layout->label_width * options->scale_x;
		double height = layout->label_height * options->scale_y;
		x = x * options->scale_x + options->nudge_x;
		y = y * options->scale_y + options->nudge_y;
		assert_true(has_frame(record, x, y, width, height));
		assert_true(has_cross(record, x + width / 2, y + height / 2, 1));
		if (layout->style == LT_STYLE_FLAG) {
			double face = layout->face_width * options->scale_x;
			assert_true(has_frame(record, x, y, face, height));
			assert_true(has_frame(record, x + width - face, y, face, height));
		} else if (layout->style == LT_STYLE_WRAP) {
			assert_int_equal(layout->direction, LT_DOWN);
			assert_true(has_frame(record, x, y, width,
				layout->printed_height * options->scale_y));
		}
	}
}

static void check_sheet(const struct lt_layout *layout, const struct lt_calibration *options)
{
	struct record record;
	draw(&record, layout, options);
	const struct record_page *page = &record.pages[0];
	assert_near(page->width, layout->page_width, 0);
	assert_near(page->height, layout->page_height, 0);
	check_labels(&record, layout, options);
	assert_true(has_cross(&record, layout->page_width / 2 * options->scale_x + options->nudge_x,
		layout->page_height / 2 * options->scale_y + options->nudge_y, 5));
	size_t panel = find_panel(&record);
	for (int down = 0; down < 2; down++) {
		double length = 100 * (down ? options->scale_y : options->scale_x);
		const struct record_item *bar = find_bar(&record, panel, length, down);
		assert_non_null(bar);
		if (length == 100)
			assert_int_equal(count_ticks(&record, bar, down), 11);
	}
	assert_int_equal(record_count_text(&record, "X 100 mm"), 1);
	assert_int_equal(record_count_text(&record, "Y 100 mm"), 1);
	check_clear(&record);
	record_free(&record);
}

/* One label: a frame within it, and bars of as many whole tens as there is room for between. */
static void check_single(const struct lt_layout *layout)
{
	struct record record;
	const struct lt_calibration options = LT_CALIBRATION_INIT;
	draw(&record, layout, &options);
	const struct record_page *page = &record.pages[0];
	assert_near(page->height, layout->label_height, 0);
	if (layout->medium == LT_MEDIUM_ROLL)
		assert_near(page->width, layout->label_width, 0);
	else
		assert_true(page->width >= layout->shortest);
	double in = layout->inset > 1 ? layout->inset : 1;
	assert_true(has_frame(&record, 0, 0, page->width, page->height));
	assert_true(has_frame(&record, in, in, page->width - 2 * in, page->height - 2 * in));
	assert_true(has_cross(&record, page->width / 2, page->height / 2, 1));
	double x, y;
	lt_ruler_bars(&x, &y, layout);
	const double bars[2] = { x, y };
	for (int down = 0; down < 2; down++) {
		double side = down ? page->height : page->width;
		double room = side - 2 * in;
		assert_near(fmod(bars[down], 10), 0, 0);
		assert_true(bars[down] <= room && bars[down] <= 100);
		assert_true(bars[down] == 100 || bars[down] + 10 > room - 4);

		const struct record_item *bar = find_bar(&record, 0, bars[down], down);
		if (bars[down] > 0) {
			assert_non_null(bar);
			assert_int_equal(count_ticks(&record, bar, down),
				1 + (unsigned)(bars[down] / 10));
			assert_true((down ? bar->bottom : bar->right) < side - in);
		}
	}
	check_clear(&record);
	record_free(&record);
}

static void test_own_layouts(void **state)
{
	(void)state;
	const struct lt_calibration options = LT_CALIBRATION_INIT;
	struct lt_arena arena = { 0 };
	size_t count = 0, sheets = 0;
	const char **names = lt_layout_names(&count, &arena, folders);
	for (size_t i = 0; i < count; i++) {
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_true(lt_layout_find(&layout, names[i], folders, &diags));
		if (layout.medium == LT_MEDIUM_SHEET) {
			check_sheet(&layout, &options);
			sheets++;
		} else {
			check_single(&layout);
		}
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
	assert_true(sheets > 0 && sheets < count);
	lt_arena_finish(&arena);
}

/* What was read off one ruler is what the next one is corrected by: as stickers are, first the
 * scale, then the nudge. */
static void test_corrections(void **state)
{
	(void)state;
	static const struct lt_calibration cases[] = { { NULL, 0.5, 1, 1, 1, 0, NULL, 0 },
		{ NULL, 0, 0, 1.004, 0.998, 0, NULL, 0 },
		{ NULL, 1.25, 0.75, 0.99, 0.996, 0, NULL, 0 } };
	static const char *const names[] = { "a4-5x13", "letter-3x10", "a4-flag-3x20",
		"letter-wrap-7x6" };
	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_true(lt_layout_find(&layout, names[i], folders, &diags));
		for (size_t k = 0; k < sizeof(cases) / sizeof(cases[0]); k++)
			check_sheet(&layout, &cases[k]);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

/* Pages and labels of any size: what has no room is left out, and nothing is drawn over. */
static void test_any_size(void **state)
{
	(void)state;
	const struct lt_calibration options = LT_CALIBRATION_INIT;
	size_t with_words = 0, without = 0;
	static const double sides[] = { 4, 5.3, 7.7, 9, 12, 15.5, 20.1, 26, 38, 49, 61.8, 77, 98.3,
		126, 148, 176, 210, 251, 297, 330, 420 };
	enum { SIDES = sizeof(sides) / sizeof(sides[0]) };
	for (size_t i = 0; i < SIDES; i++) {
		for (size_t k = 0; k < SIDES; k++) {
			double width = sides[i];
			double height = sides[k];
			struct lt_layout layout = { .name = "own",
				.medium = LT_MEDIUM_SHEET,
				.page_width = width,
				.page_height = height,
				.label_width = width / 2,
				.label_height = height / 2,
				.columns = 2,
				.rows = 2,
				.pitch_x = width / 2,
				.pitch_y = height / 2 };
			struct record record;
			draw(&record, &layout, &options);
			if (width > 40 && height > 40)
				check_clear(&record);
			struct lt_text title = { 0 };
			lt_words_ruler_title(&title, "own");
			bool words = record_count_text(&record, lt_text_string(&title)) == 1;
			lt_text_finish(&title);
			with_words += words;
			without += !words;
			record_free(&record);
			layout.medium = LT_MEDIUM_ROLL;
			layout.label_width = width;
			layout.label_height = height;
			draw(&record, &layout, &options);
			check_clear(&record);
			record_free(&record);
		}
	}
	assert_true(with_words > 10 && without > 10);
}

static char *all_words(const struct lt_layout *layout, const struct lt_calibration *options)
{
	struct lt_text words = { 0 };
	lt_ruler_write(&words, layout, options);
	size_t columns = 0;
	for (const char *c = lt_text_string(&words); *c != '\0'; c++) {
		columns = *c == '\n' ? 0 : columns + 1;
		assert_true(columns <= 78);
	}
	/* As one line, so that a phrase is found wherever it was broken. */
	char *one = lt_alloc(words.length + 1);
	size_t length = 0;
	for (const char *c = lt_text_string(&words); *c != '\0'; c++) {
		bool space = *c == ' ' || *c == '\n';
		if (!space)
			one[length++] = *c;
		else if (length > 0 && one[length - 1] != ' ')
			one[length++] = ' ';
	}
	one[length] = '\0';
	lt_text_finish(&words);
	return one;
}

static void test_words(void **state)
{
	(void)state;
	const struct lt_ruler_words *w = &lt_ruler_words;
	const struct {
		const char *name;
		struct lt_calibration options;
		const char *said[4], *absent[2]; /* said: parts, see has_parts.h */
	} cases[] = {
		{ "a4-3x8", { NULL, 0, 0, 1, 1, 0, NULL, 0 },
			{ "X|100 mm|right|Y 100 mm down|--scale X,Y|--nudge X,Y", w->print_page,
				w->measure_outlines, w->print_page_again },
			{ "--nudge 0", "--scale 1" } },
		{ "a4-3x8", { NULL, 0.5, -1, 1.004, 1, 0, NULL, 0 },
			{ "5. |--nudge 0.5,-1|Add|6. |--scale 1.004,1|Multiply", NULL }, { NULL } },
		{ "roll-54x25", { NULL, 0, 0, 1, 1, 0, NULL, 0 },
			{ "X|40 mm|right|Y 10 mm down|1.5 mm from every edge|--nudge X,Y",
				w->print_label, w->print_label_again, NULL },
			{ "--scale", "--nudge 0" } },
		{ "tape-12", { NULL, 0, 0.25, 1, 1, 0, NULL, 0 },
			{ "the bar.|X|40 mm|right", "5. |--nudge 0,0.25|Add", NULL },
			{ "mm down.", NULL } },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct lt_layout layout;
		struct lt_diags diags = { 0 };
		assert_true(lt_layout_find(&layout, cases[i].name, folders, &diags));
		char *words = all_words(&layout, &cases[i].options);
		for (size_t k = 0; k < 4 && cases[i].said[k] != NULL; k++) {
			const char *said = cases[i].said[k];
			if (strchr(said, '|') != NULL ? !has_parts(words, said)
						      : strstr(words, said) == NULL)
				fail_msg("no \"%s\" in: %s", said, words);
		}
		for (size_t k = 0; k < 2 && cases[i].absent[k] != NULL; k++)
			assert_null(strstr(words, cases[i].absent[k]));
		free(words);
		lt_layout_finish(&layout);
		lt_diags_finish(&diags);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_own_layouts),
		cmocka_unit_test(test_corrections),
		cmocka_unit_test(test_any_size),
		cmocka_unit_test(test_words),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
