/* Labels as they lie flat, and the bundles that they go round. */
#include "unit.h"

#include <math.h>

#include "label/shape.h"

#define assert_near(value, expected, slack) assert_true(fabs((value) - (expected)) <= (slack))

/* The circumference of a circle of 1 mm, by Archimedes' way: the sides of a polygon inscribed in
 * it, doubled from six on. Not by the constant that the code uses. */
static double round_of(double diameter)
{
	double squared = 0.25; /* of the side of the hexagon */
	double sides = 6;
	for (int i = 0; i < 24; i++, sides *= 2)
		squared = squared / (2 + 2 * sqrt(1 - squared));
	return diameter * sides * sqrt(squared);
}

static void assert_zone(const struct lt_zone *zone, double x, double y, double width, double height)
{
	assert_near(zone->x, x, 1e-9);
	assert_near(zone->y, y, 1e-9);
	assert_near(zone->width, width, 1e-9);
	assert_near(zone->height, height, 1e-9);
}

static struct lt_layout flag(void)
{
	return (struct lt_layout){ .medium = LT_MEDIUM_ROLL,
		.style = LT_STYLE_FLAG,
		.label_width = 70,
		.label_height = 13,
		.face_width = 25,
		.loop = 20 };
}

static struct lt_layout wrap(void)
{
	return (struct lt_layout){ .medium = LT_MEDIUM_ROLL,
		.style = LT_STYLE_WRAP,
		.label_width = 25,
		.label_height = 38,
		.printed_width = 25,
		.printed_height = 13,
		.clear_width = 25,
		.clear_height = 25,
		.thickness = 0.1 };
}

static void test_polygon_is_a_circle(void **state)
{
	(void)state;
	/* Archimedes: between 223/71 and 22/7. */
	assert_true(round_of(1) > 223.0 / 71 && round_of(1) < 22.0 / 7);
	assert_near(round_of(113), 355, 1e-4); /* Zu Chongzhi's 355/113 */
}

static void test_plates(void **state)
{
	(void)state;
	struct lt_layout layout = { .label_width = 70, .label_height = 37 };
	struct lt_shape shape;
	lt_layout_shape(&shape, &layout, 999, 999);
	assert_int_equal(shape.face_count, 1);
	assert_zone(&shape.faces[0], 0, 0, 70, 37);
	assert_zone(&shape.clear, 0, 0, 0, 0);
	assert_zone(&shape.loop, 0, 0, 0, 0);
	layout = (struct lt_layout){ .medium = LT_MEDIUM_TAPE, .label_height = 12 };
	lt_layout_shape(&shape, &layout, 31.5, 999);
	assert_near(shape.width, 31.5, 1e-9);
	assert_near(shape.height, 12, 1e-9);
	assert_zone(&shape.faces[0], 0, 0, 31.5, 12);
	/* Flat on a housing, whatever the bundle. */
	assert_int_equal(lt_layout_fit(&layout, 0), LT_FIT_YES);
	assert_int_equal(lt_layout_fit(&layout, 300), LT_FIT_YES);
	struct lt_range range = lt_layout_bundles(&layout);
	assert_near(range.least, 0, 0);
	assert_true(isinf(range.most));
}

static void test_flags(void **state)
{
	(void)state;
	struct lt_layout layout = flag();
	struct lt_shape shape;
	/* A flag that is cut already is as it is. */
	lt_layout_shape(&shape, &layout, 999, 3);
	assert_near(shape.width, 70, 1e-9);
	assert_near(shape.height, 13, 1e-9);
	assert_int_equal(shape.face_count, 2);
	assert_zone(&shape.faces[0], 0, 0, 25, 13);
	assert_zone(&shape.loop, 25, 0, 20, 13);
	assert_zone(&shape.faces[1], 45, 0, 25, 13);
	assert_zone(&shape.clear, 0, 0, 0, 0);
}

static void test_tape_flags(void **state)
{
	(void)state;
	struct lt_layout layout = flag();
	layout.medium = LT_MEDIUM_TAPE;
	layout.label_width = layout.face_width = 0;
	struct lt_shape shape;
	/* A tape is cut to the loop that the bundle needs, or to the layout's when it is not
	 * known. */
	lt_layout_shape(&shape, &layout, 30, 6);
	double loop = round_of(6);
	assert_near(loop, 18.85, 0.005);
	assert_near(shape.width, 60 + loop, 1e-6);
	assert_zone(&shape.faces[0], 0, 0, 30, 13);
	assert_near(shape.loop.x, 30, 1e-9);
	assert_near(shape.loop.width, loop, 1e-6);
	assert_near(shape.faces[1].x, 30 + loop, 1e-6);
	assert_near(shape.faces[1].width, 30, 1e-9);
	lt_layout_shape(&shape, &layout, 30, 0);
	assert_zone(&shape.loop, 30, 0, 20, 13);
	assert_near(shape.width, 80, 1e-9);
	assert_int_equal(lt_layout_fit(&layout, 0), LT_FIT_UNKNOWN);
	assert_int_equal(lt_layout_fit(&layout, 40), LT_FIT_YES);
	assert_true(isinf(lt_layout_bundles(&layout).most));
}

static void test_wraps(void **state)
{
	(void)state;
	static const struct {
		enum lt_direction direction;
		struct lt_zone face, clear;
		double width, height;
	} cases[] = {
		{ LT_DOWN, { 0, 0, 25, 13 }, { 0, 13, 25, 30 }, 25, 43 },
		{ LT_UP, { 0, 30, 25, 13 }, { 0, 0, 25, 30 }, 25, 43 },
		{ LT_RIGHT, { 0, 0, 13, 25 }, { 13, 0, 30, 25 }, 43, 25 },
		{ LT_LEFT, { 30, 0, 13, 25 }, { 0, 0, 30, 25 }, 43, 25 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct lt_zone *face = &cases[i].face;
		const struct lt_zone *clear = &cases[i].clear;
		struct lt_layout layout = wrap();
		struct lt_shape shape;
		layout.direction = cases[i].direction;
		layout.printed_width = face->width;
		layout.printed_height = face->height;
		layout.clear_width = clear->width;
		layout.clear_height = clear->height;
		lt_layout_shape(&shape, &layout, 999, 5);
		assert_near(shape.width, cases[i].width, 1e-9);
		assert_near(shape.height, cases[i].height, 1e-9);
		assert_int_equal(shape.face_count, 1);
		assert_zone(&shape.faces[0], face->x, face->y, face->width, face->height);
		assert_zone(&shape.clear, clear->x, clear->y, clear->width, clear->height);
		assert_zone(&shape.loop, 0, 0, 0, 0);
		/* Wound along 13 + 30 mm, whichever way they lie. */
		struct lt_range range = lt_layout_bundles(&layout);
		assert_near(round_of(range.least), 13, 1e-6);
		assert_near(round_of(range.most + 0.2), 30, 1e-6);
	}
	struct lt_layout layout = wrap();
	struct lt_shape shape;
	layout.medium = LT_MEDIUM_TAPE;
	layout.printed_width = layout.clear_width = 0;
	lt_layout_shape(&shape, &layout, 27, 5);
	assert_zone(&shape.faces[0], 0, 0, 27, 13);
	assert_zone(&shape.clear, 0, 13, 27, 25);
	assert_near(shape.width, 27, 1e-9);
	assert_near(shape.height, 38, 1e-9);
}

/* The printed zone lies once round at most: its height is at most pi x D. The clear tail goes
 * round once more at least, over the film: pi x (D + 2t). */
static void test_wrap_fits(void **state)
{
	(void)state;
	static const double bundles[] = { 1.97, 2.4, 3.5, 4.2, 6.2, 8, 11.5, 20 };
	static const double films[] = { 0, 0.05, 0.1, 0.25 };
	for (size_t i = 0; i < sizeof(bundles) / sizeof(bundles[0]); i++) {
		for (size_t j = 0; j < sizeof(films) / sizeof(films[0]); j++) {
			double bundle = bundles[i];
			struct lt_layout layout = wrap();
			layout.thickness = films[j];
			double once = round_of(bundle);
			double more = round_of(bundle + 2 * films[j]);
			/* A thousandth of a millimetre on either side of both limits. */
			layout.printed_height = once - 0.001;
			layout.clear_height = more + 0.001;
			assert_int_equal(lt_layout_fit(&layout, bundle), LT_FIT_YES);
			layout.printed_height = once + 0.001;
			layout.clear_height = more + 1;
			assert_int_equal(lt_layout_fit(&layout, bundle), LT_FIT_TOO_THIN);
			layout.printed_height = once - 0.001;
			layout.clear_height = more - 0.001;
			assert_int_equal(lt_layout_fit(&layout, bundle), LT_FIT_TOO_THICK);
		}
	}
	struct lt_layout layout = wrap();
	assert_int_equal(lt_layout_fit(&layout, 0), LT_FIT_UNKNOWN);
	assert_int_equal(lt_layout_fit(&layout, -1), LT_FIT_UNKNOWN);
	assert_int_equal(lt_layout_fit(&layout, (double)NAN), LT_FIT_UNKNOWN);
	/* By hand: 13 / pi = 4.138, 25 / pi - 0.2 = 7.758. */
	assert_int_equal(lt_layout_fit(&layout, 4.13), LT_FIT_TOO_THIN);
	assert_int_equal(lt_layout_fit(&layout, 4.14), LT_FIT_YES);
	assert_int_equal(lt_layout_fit(&layout, 7.75), LT_FIT_YES);
	assert_int_equal(lt_layout_fit(&layout, 7.76), LT_FIT_TOO_THICK);
	/* Just at its limits a layout fits. */
	struct lt_range range = lt_layout_bundles(&layout);
	assert_int_equal(lt_layout_fit(&layout, range.least), LT_FIT_YES);
	assert_int_equal(lt_layout_fit(&layout, range.most), LT_FIT_YES);
	/* Film so thick that nothing is left to go round. */
	layout.thickness = 5;
	assert_near(lt_layout_bundles(&layout).most, 0, 0);
}

/* The loop goes round: it is at least pi x D. */
static void test_flag_fits(void **state)
{
	(void)state;
	static const double bundles[] = { 0.5, 2, 3.82, 6.3, 10.1 };
	for (size_t i = 0; i < sizeof(bundles) / sizeof(bundles[0]); i++) {
		struct lt_layout layout = flag();
		layout.loop = round_of(bundles[i]) + 0.001;
		assert_int_equal(lt_layout_fit(&layout, bundles[i]), LT_FIT_YES);
		/* A flag hangs on a thin wire as well. */
		assert_int_equal(lt_layout_fit(&layout, bundles[i] / 10), LT_FIT_YES);
		layout.loop = round_of(bundles[i]) - 0.001;
		assert_int_equal(lt_layout_fit(&layout, bundles[i]), LT_FIT_TOO_THICK);
	}
	struct lt_layout layout = flag();
	assert_int_equal(lt_layout_fit(&layout, 0), LT_FIT_UNKNOWN);
	/* By hand: 20 / pi = 6.366. */
	assert_int_equal(lt_layout_fit(&layout, 6.36), LT_FIT_YES);
	assert_int_equal(lt_layout_fit(&layout, 6.37), LT_FIT_TOO_THICK);
	assert_near(lt_layout_bundles(&layout).least, 0, 0);
	assert_near(lt_layout_bundles(&layout).most, 6.366, 0.0005);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_polygon_is_a_circle),
		cmocka_unit_test(test_plates),
		cmocka_unit_test(test_flags),
		cmocka_unit_test(test_tape_flags),
		cmocka_unit_test(test_wraps),
		cmocka_unit_test(test_wrap_fits),
		cmocka_unit_test(test_flag_fits),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
