/* The recording canvas, with which other tests measure documents: when a text counts as touching a
 * shape. */
#include "unit/unit.h"

#include "unit/record_canvas.h"

/* Whether the text, "AAAA" from (10, 20) with capitals 2.92 high, meets what `draw` draws. */
static size_t clashes(void (*draw)(struct lt_canvas *canvas))
{
	struct record record;
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	canvas.begin_page(canvas.data, 100, 100);
	canvas.text(canvas.data, 10, 20, LT_TYPEFACE_REGULAR, 4, LT_BLACK, "AAAA");
	draw(&canvas);
	assert_true(canvas.end_page(canvas.data, NULL));
	/* Its four letters are 0.68 wide each. */
	assert_true(fabs(record.items[0].right - 20.88) < 1e-9);
	size_t count = record_clashes(&record);
	record_free(&record);
	return count;
}

static const struct lt_pen pen = { .line = 0.2, .ink = { 0, 0, 0 } };

static void polyline(struct lt_canvas *canvas, double x1, double y1, double x2, double y2)
{
	const struct lt_point points[] = { { 90, 90 }, { x1, y1 }, { x2, y2 } };
	canvas->polyline(canvas->data, points + 1, 2, &pen);
}

static void through(struct lt_canvas *canvas)
{
	polyline(canvas, 5, 10, 30, 30);
}

/* Its box holds the text, its ink does not come near. */
static void beside(struct lt_canvas *canvas)
{
	polyline(canvas, 5, 19, 40, 54);
}

static void hair_beside(struct lt_canvas *canvas)
{
	polyline(canvas, 5, 20.11, 40, 20.11);
}

static void edge_on(struct lt_canvas *canvas)
{
	polyline(canvas, 5, 20.09, 40, 20.09);
}

static void about(struct lt_canvas *canvas)
{
	canvas->circle(canvas->data, 15, 18, 8, &pen, NULL);
}

static void ring_on(struct lt_canvas *canvas)
{
	canvas->circle(canvas->data, 15, 18, 5.5, &pen, NULL);
}

static void ring_beside(struct lt_canvas *canvas)
{
	canvas->circle(canvas->data, 8, 14, 3.2, &pen, &LT_WHITE);
}

static void closing_edge(struct lt_canvas *canvas)
{
	const struct lt_point points[] = { { 5, 10 }, { 30, 5 }, { 30, 30 } };
	canvas->polygon(canvas->data, points, 3, &pen, NULL);
}

static void shapes_meet_texts_by_their_ink(void **state)
{
	(void)state;
	assert_int_equal(clashes(through), 1);
	assert_int_equal(clashes(beside), 0);
	assert_int_equal(clashes(hair_beside), 0);
	assert_int_equal(clashes(edge_on), 1);
	assert_int_equal(clashes(about), 0);
	assert_int_equal(clashes(ring_on), 1);
	assert_int_equal(clashes(ring_beside), 0);
	assert_int_equal(clashes(closing_edge), 1);
}

static void shapes_have_boxes(void **state)
{
	(void)state;
	struct record record;
	struct lt_canvas canvas = record_canvas(&record, record_measure());
	canvas.begin_page(canvas.data, 10, 10);
	canvas.circle(canvas.data, 5, 5, 4.95, &pen, NULL);
	polyline(&canvas, 1, 2, 9.95, 3);
	canvas.polygon(canvas.data, (struct lt_point[]){ { 0, 0 }, { 10, 0 }, { 0, 10 } }, 3, NULL,
		&LT_GREY(0.5));
	assert_true(canvas.end_page(canvas.data, NULL));
	assert_int_equal(record_outside(&record, 0), 2);
	assert_true(fabs(record.items[1].left - 0.9) < 1e-9);
	assert_true(fabs(record.items[1].bottom - 3.1) < 1e-9);
	assert_true(record.items[2].filled && record.items[2].line == 0);
	assert_int_equal(record_coloured(&record), 0);
	record_free(&record);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(shapes_meet_texts_by_their_ink),
		cmocka_unit_test(shapes_have_boxes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
