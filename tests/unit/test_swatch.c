/* Swatches of wire colours, measured on a canvas that remembers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "loomtag/page.h"
#include "unit/record_canvas.h"

static struct record record;

static const struct lt_colour white_red = { 2, { LT_HUE_WH, LT_HUE_RD } };
static const struct lt_colour earth = { 1, { LT_HUE_GNYE } };
static const struct lt_colour three = { 3, { LT_HUE_YE, LT_HUE_GN, LT_HUE_BK } };

static const struct box {
	double x, y, width, height;
} boxes[] = {
	{ 10, 20, 4, 2 },
	{ 0, 0, 12, 3 },
	{ 5, 5, 3, 3 },
	{ 5, 5, 2, 9 },
	{ 1, 1, 40, 1.5 },
	{ 3, 3, 0.3, 0.2 },
	{ 7, 7, 15, 4 },
};
#define BOXES (sizeof boxes / sizeof boxes[0])

static void draw(struct box box, const struct lt_colour *colour)
{
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	canvas.begin_page(canvas.data, 100, 100);
	lt_swatch_draw(&canvas, box.x, box.y, box.width, box.height, colour);
	for (size_t i = 0; i < record.count; i++) {
		const struct record_item *item = &record.items[i];
		assert_true(item->left >= box.x - 1e-9 && item->top >= box.y - 1e-9);
		assert_true(item->right <= box.x + box.width + 1e-9);
		assert_true(item->bottom <= box.y + box.height + 1e-9);
	}
}

static bool same_ink(struct lt_ink ink, unsigned rgb)
{
	return lround(ink.red * 255) == (rgb >> 16) &&
	       lround(ink.green * 255) == (rgb >> 8 & 255) && lround(ink.blue * 255) == (rgb & 255);
}

/* By the sum over its corners. */
static double area(const struct record_item *item)
{
	double twice = 0;
	for (size_t i = 0; i < item->point_count; i++) {
		struct lt_point a = item->points[i], b = item->points[(i + 1) % item->point_count];
		twice += a.x * b.y - b.x * a.y;
	}
	return fabs(twice) / 2;
}

/* The share of the base that the stripes of an ink cover, and how many there are. */
static double share_of(unsigned ink, size_t *count)
{
	assert_int_equal(record.items[0].kind, RECORD_FILL);
	const struct record_item *base = &record.items[0];
	double whole = (base->right - base->left) * (base->bottom - base->top);
	double sum = 0;
	*count = 0;
	for (size_t i = 0; i < record.count; i++) {
		const struct record_item *item = &record.items[i];
		if (item->kind != RECORD_POLYGON || !same_ink(item->fill, ink))
			continue;
		assert_true(item->filled && item->line == 0);
		sum += area(item);
		(*count)++;
	}
	return sum / whole;
}

static void test_one_colour(void **state)
{
	(void)state;
	for (int hue = 0; hue < LT_HUE_GNYE; hue++) {
		struct lt_colour colour = { 1, { (unsigned char)hue } };
		unsigned inks[LT_COLOUR_PARTS];
		lt_colour_inks(inks, &colour);
		for (size_t i = 0; i < BOXES; i++) {
			draw(boxes[i], &colour);
			assert_int_equal(record.count, 2);
			assert_int_equal(record.items[0].kind, RECORD_FILL);
			assert_true(same_ink(record.items[0].ink, inks[0]));
			assert_int_equal(record.items[1].kind, RECORD_FRAME);
			assert_true(same_ink(record.items[1].ink, 0));
			record_free(&record);
		}
	}
}

/* The frame is drawn last, and reaches to the edge of the box all round. */
static void test_the_frame_is_the_box(void **state)
{
	(void)state;
	for (size_t i = 0; i < BOXES; i++) {
		draw(boxes[i], &white_red);
		const struct record_item *frame = &record.items[record.count - 1];
		assert_int_equal(frame->kind, RECORD_FRAME);
		assert_true(fabs(frame->left - boxes[i].x) < 1e-9);
		assert_true(fabs(frame->top - boxes[i].y) < 1e-9);
		assert_true(fabs(frame->right - boxes[i].x - boxes[i].width) < 1e-9);
		assert_true(fabs(frame->bottom - boxes[i].y - boxes[i].height) < 1e-9);
		record_free(&record);
	}
}

static void check_shares(const struct lt_colour *colour, double least, double most)
{
	unsigned inks[LT_COLOUR_PARTS];
	size_t colours = lt_colour_inks(inks, colour);
	for (size_t i = 0; i < BOXES; i++) {
		draw(boxes[i], colour);
		assert_true(same_ink(record.items[0].ink, inks[0]));
		double rest = 1;
		size_t stripes = 0;
		for (size_t j = 1; j < colours; j++) {
			size_t count;
			double share = share_of(inks[j], &count);
			assert_true(count >= 1);
			assert_true(share >= least && share <= most);
			rest -= share;
			stripes += count;
		}
		for (size_t j = 1; j < colours; j++) {
			size_t count;
			assert_true(rest >= share_of(inks[j], &count) - 1e-9);
			assert_int_equal(count * (colours - 1), stripes);
		}
		assert_int_equal(record.count, stripes + 2);
		record_free(&record);
	}
}

static void test_areas_are_shared_fairly(void **state)
{
	(void)state;
	check_shares(&white_red, 0.30, 0.36);
	check_shares(&three, 0.24, 0.26);
	/* IEC 60445: neither colour less than 30 % or more than 70 % (from memory). */
	check_shares(&earth, 0.45, 0.55);
}

/* How much of what lies from one x to another a slanted stripe covers; counted in thin slices. */
static double covered(double from, double to, const struct record_item *base)
{
	enum { SLICES = 200 };
	size_t inside = 0, all = 0;
	for (size_t i = 0; i < SLICES; i++) {
		double y = base->top + (base->bottom - base->top) * ((double)i + 0.5) / SLICES;
		for (size_t j = 0; j < SLICES; j++) {
			double x = from + (to - from) * ((double)j + 0.5) / SLICES;
			all++;
			for (size_t k = 0; k < record.count; k++) {
				const struct record_item *item = &record.items[k];
				if (item->kind != RECORD_POLYGON)
					continue;
				/* Upper left, upper right, lower right, lower left. */
				const struct lt_point *p = item->points;
				double down = (y - p[0].y) / (p[3].y - p[0].y);
				double left = p[0].x + (p[3].x - p[0].x) * down;
				inside += x >= left && x < left + p[1].x - p[0].x;
			}
		}
	}
	return (double)inside / (double)all;
}

/* IEC 60445: it holds of any 15 mm of the wire (from memory). */
static void test_earth_on_any_15_mm(void **state)
{
	(void)state;
	draw((struct box){ 10, 10, 60, 5 }, &earth);
	const struct record_item base = record.items[0];
	for (double from = base.left; from + 15 <= base.right; from += 1.3) {
		double share = covered(from, from + 15, &base);
		assert_true(share >= 0.30 && share <= 0.70);
	}
	record_free(&record);
}

/* From edge to edge of the wire, slanted, and none over another. */
static void test_stripes_are_whole(void **state)
{
	(void)state;
	static const struct lt_colour *const colours[] = { &white_red, &earth, &three };
	for (size_t c = 0; c < 3; c++) {
		for (size_t i = 0; i < BOXES; i++) {
			draw(boxes[i], colours[c]);
			const struct record_item *base = &record.items[0];
			bool upright = boxes[i].height > boxes[i].width;
			double behind[2] = { 0 };
			for (size_t k = 1; k + 1 < record.count; k++) {
				const struct record_item *item = &record.items[k];
				assert_int_equal(item->kind, RECORD_POLYGON);
				if (upright) {
					assert_true(fabs(item->left - base->left) < 1e-9);
					assert_true(fabs(item->right - base->right) < 1e-9);
					assert_true(fabs(item->points[0].y - item->points[3].y) >
						    (base->right - base->left) / 8);
				} else {
					assert_true(fabs(item->top - base->top) < 1e-9);
					assert_true(fabs(item->bottom - base->bottom) < 1e-9);
					assert_true(fabs(item->points[0].x - item->points[3].x) >
						    (base->bottom - base->top) / 8);
				}
				/* On both edges of the wire it begins behind the last one's end. */
				const struct lt_point *p = item->points;
				assert_true((upright ? p[0].y : p[0].x) > behind[0]);
				assert_true((upright ? p[3].y : p[3].x) > behind[1]);
				behind[0] = upright ? p[1].y : p[1].x;
				behind[1] = upright ? p[2].y : p[2].x;
			}
			record_free(&record);
		}
	}
}

static void test_nothing(void **state)
{
	(void)state;
	draw(boxes[0], &(struct lt_colour){ 0 });
	assert_int_equal(record.count, 0);
	record_free(&record);
	static const struct box bad[] = { { 1, 1, 0, 2 }, { 1, 1, 2, -1 }, { 1, 1, NAN, 2 } };
	for (size_t i = 0; i < 3; i++) {
		struct lt_canvas canvas = record_canvas(&record, record_measure());
		canvas.begin_page(canvas.data, 10, 10);
		lt_swatch_draw(&canvas, bad[i].x, bad[i].y, bad[i].width, bad[i].height, &three);
		assert_int_equal(record.count, 0);
		record_free(&record);
	}
	draw((struct box){ 0, 0, 1e9, 1e-9 }, &three);
	assert_true(record.count < 3000);
	record_free(&record);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_one_colour),
		cmocka_unit_test(test_the_frame_is_the_box),
		cmocka_unit_test(test_areas_are_shared_fairly),
		cmocka_unit_test(test_earth_on_any_15_mm),
		cmocka_unit_test(test_stripes_are_whole),
		cmocka_unit_test(test_nothing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
