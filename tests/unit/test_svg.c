/* The SVG canvas, judged from outside: an XML parser reads it, rsvg-convert draws it, zbar reads
 * its symbols, and the raster canvas has ink in the same places. */
#include "unit/unit.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <png.h>

#include "loomtag/draw.h"

typedef void draw_fn(struct lt_canvas *canvas, void *data);

static struct lt_fonts *fonts;
static char folder[] = "/tmp/test_svg_XXXXXX";

static int set_up(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL || mkdtemp(folder) == NULL;
}

static int tear_down(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	char command[128];
	snprintf(command, sizeof(command), "rm -r '%s'", folder);
	return system(command);
}

/* What a command says, on stdout and stderr, run in the folder. */
static void assert_says(const char *command, const char *expected)
{
	char line[1024];
	snprintf(line, sizeof(line), "cd '%s' && { %s; } 2>&1", folder, command);
	struct lt_text said = { 0 };
	FILE *pipe = popen(line, "r");
	assert_non_null(pipe);
	char block[4096];
	for (size_t got; (got = fread(block, 1, sizeof(block), pipe)) > 0;)
		lt_text_add_bytes(&said, block, got);
	if (pclose(pipe) != 0)
		print_error("%s: %s\n", command, lt_text_string(&said));
	assert_string_equal(lt_text_string(&said), expected);
	lt_text_finish(&said);
}

/* What Python's XML parser makes of 1.svg: `expression` of its tree `t`. */
static void assert_tree(const char *expression, const char *expected)
{
	char command[900];
	snprintf(command, sizeof(command),
		"python3 -c 'import re, xml.etree.ElementTree as e; t = e.parse(\"1.svg\").getroot(); "
		"n = \"{http://www.w3.org/2000/svg}\"; h = \"{http://www.w3.org/1999/xlink}href\"; "
		"print(%s)'",
		expression);
	assert_says(command, expected);
}

static bool keep_page(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)diags;
	char path[64];
	snprintf(path, sizeof(path), "%s/%u.%s", folder, page, (const char *)data);
	FILE *file = fopen(path, "wb");
	assert_non_null(file);
	assert_int_equal(fwrite(bytes, 1, length, file), length);
	assert_int_equal(fclose(file), 0);
	return true;
}

/* Draws with `draw` into 1.svg, 2.svg … */
static void make_svg(const char *title, draw_fn *draw, void *data)
{
	struct lt_diags diags = { 0 };
	const struct lt_page_sink sink = { keep_page, (void *)"svg" };
	struct lt_canvas canvas;
	lt_svg_create(&canvas, &sink, fonts, title);
	draw(&canvas, data);
	assert_true(canvas.finish(canvas.data, &diags));
	assert_int_equal(diags.count, 0);
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

/* The same into 1.png at 254 dots an inch. */
static void make_raster(draw_fn *draw, void *data)
{
	struct lt_diags diags = { 0 };
	const struct lt_page_sink sink = { keep_page, (void *)"png" };
	struct lt_canvas canvas;
	assert_true(lt_raster_create(&canvas, 254, fonts, &sink, &diags));
	draw(&canvas, data);
	assert_true(canvas.finish(canvas.data, &diags));
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

static void end_page(struct lt_canvas *canvas)
{
	assert_true(canvas->end_page(canvas->data, NULL));
}

/* A picture of ten dots a mm, four bytes a dot. */
struct picture {
	unsigned width, height;
	unsigned char *rgba;
};

static struct picture open_picture(const char *name)
{
	char path[64];
	snprintf(path, sizeof(path), "%s/%s", folder, name);
	png_image png = { .version = PNG_IMAGE_VERSION };
	assert_true(png_image_begin_read_from_file(&png, path) != 0);
	png.format = PNG_FORMAT_RGBA;
	struct picture picture = { png.width, png.height, lt_alloc(PNG_IMAGE_SIZE(png)) };
	assert_true(png_image_finish_read(&png, NULL, picture.rgba, 0, NULL) != 0);
	return picture;
}

static struct picture take_picture(void)
{
	assert_says("rsvg-convert -d 254 -p 254 -o drawn.png 1.svg", "");
	return open_picture("drawn.png");
}

static const unsigned char *dot_at(const struct picture *picture, unsigned x, unsigned y)
{
	assert_true(x < picture->width && y < picture->height);
	return picture->rgba + ((size_t)y * picture->width + x) * 4;
}

/* The share of a rectangle, in dots, that is not white. */
static double darkness(const struct picture *picture, unsigned x, unsigned y, unsigned w,
	unsigned h)
{
	double sum = 0;
	for (unsigned j = y; j < y + h; j++) {
		for (unsigned i = x; i < x + w; i++) {
			const unsigned char *dot = dot_at(picture, i, j);
			assert_int_equal(dot[3], 255);
			sum += 1 - (dot[0] + dot[1] + dot[2]) / 765.0;
		}
	}
	return sum / w / h;
}

static void assert_colour(const struct picture *picture, unsigned x, unsigned y, unsigned colour)
{
	const unsigned char *dot = dot_at(picture, x, y);
	unsigned found = (unsigned)dot[0] << 16 | (unsigned)dot[1] << 8 | dot[2];
	if (found != colour)
		print_error("(%u, %u) is %06X, not %06X\n", x, y, found, colour);
	assert_int_equal(found, colour);
}

static void draw_shapes(struct lt_canvas *canvas, void *data)
{
	(void)data;
	const struct lt_ink red = { 1, 0, 0 };
	const struct lt_ink odd = { 0.07, 0.5, 0.9 };
	const struct lt_pen thick = { .line = 1, .ink = LT_BLACK };
	const struct lt_pen dashed = { .line = 1, .ink = LT_BLACK, .dash = 2 };
	const struct lt_point triangle[] = { { 5, 5 }, { 15, 5 }, { 5, 15 } };
	const struct lt_point right[] = { { 25, 5 }, { 35, 5 }, { 25, 15 } };
	const struct lt_point bend[] = { { 5, 20 }, { 15, 20 }, { 15, 30 } };
	const struct lt_point level[] = { { 5, 35 }, { 25, 35 } };
	canvas->begin_page(canvas->data, 80, 40);
	canvas->polygon(canvas->data, triangle, 3, NULL, &red);
	canvas->polygon(canvas->data, right, 3, &thick, NULL);
	canvas->polyline(canvas->data, bend, 3, &thick);
	canvas->polyline(canvas->data, level, 2, &dashed);
	canvas->line(canvas->data, 5, 38, 25, 38, 1, LT_BLACK);
	canvas->circle(canvas->data, 45, 10, 5, NULL, &LT_BLACK);
	canvas->circle(canvas->data, 45, 28, 6, &thick, &red);
	canvas->rectangle(canvas->data, 60, 5, 10, 5, odd);
	canvas->rectangle(canvas->data, 60, 10, 10, 5, LT_BLACK);
	canvas->frame(canvas->data, 60, 20, 10, 5, 1, LT_BLACK);
	/* Nothing to draw, or nothing to draw with. */
	canvas->polygon(canvas->data, right, 2, &thick, &red);
	canvas->polyline(canvas->data, right, 1, &thick);
	canvas->polygon(canvas->data, triangle, 3, NULL, NULL);
	canvas->circle(canvas->data, 30, 30, 0, &thick, &red);
	canvas->circle(canvas->data, 30, 30, 5, NULL, NULL);
	end_page(canvas);
}

static void shapes_are_where_they_were_drawn(void **state)
{
	(void)state;
	make_svg("shapes", draw_shapes, NULL);
	assert_tree("t.tag == n + \"svg\", t.get(\"width\"), t.get(\"height\"), t.get(\"viewBox\")",
		"True 80mm 40mm 0 0 80 40\n");
	struct picture picture = take_picture();
	assert_int_equal(picture.width, 800);
	assert_int_equal(picture.height, 400);
	assert_colour(&picture, 60, 60, 0xFF0000);
	assert_true(fabs(darkness(&picture, 50, 50, 100, 100) * 1.5 - 0.5) < 0.01);
	assert_true(darkness(&picture, 260, 60, 25, 25) == 0);
	assert_true(darkness(&picture, 246, 50, 8, 90) > 0.99);
	assert_true(darkness(&picture, 230, 30, 14, 140) == 0);
	assert_true(darkness(&picture, 51, 196, 100, 8) > 0.99);
	assert_true(darkness(&picture, 146, 200, 8, 99) > 0.99);
	assert_true(darkness(&picture, 70, 210, 50, 80) == 0);
	for (unsigned i = 0; i < 5; i++) {
		assert_true(darkness(&picture, 51 + 40 * i, 346, 18, 8) > 0.99);
		assert_true(darkness(&picture, 71 + 40 * i, 346, 18, 8) == 0);
	}
	assert_true(darkness(&picture, 51, 376, 198, 8) > 0.99);
	assert_true(fabs(darkness(&picture, 400, 50, 100, 100) - acos(-1) / 4) < 0.003);
	assert_colour(&picture, 450, 280, 0xFF0000);
	assert_true(darkness(&picture, 445, 216, 10, 8) > 0.99);
	assert_true(darkness(&picture, 440, 200, 20, 14) == 0);
	assert_true(darkness(&picture, 256, 230, 90, 110) == 0);
	/* 0.07, 0.5 and 0.9 of 255 are 17.85, 127.5 and 229.5. */
	assert_colour(&picture, 650, 75, 0x1280E6);
	assert_true(darkness(&picture, 600, 100, 100, 50) > 0.999);
	assert_true(darkness(&picture, 595, 195, 110, 60) > 0.999 - 90.0 * 40 / (110 * 60));
	assert_true(darkness(&picture, 605, 205, 90, 40) == 0);
	free(picture.rgba);
}

/* A control character, one that XML does not take, a stray byte, one that turns text, and what the
 * fonts lack. */
static const char odd[] = "bell\x07"
			  " \uFFFE byte\xFF\u202E han\u6F22 \U0001D538";

static const char *const lines[] = {
	"12H motor & drive <left> \"a\" 'b'",
	"\u017B\u00F3\u0142\u0107 \u0416\u0443\u043A \u03A9 \u2192 0.75 mm\u00B2",
	"12H 12M 12H 12M",
	" ",
	odd,
};

static void draw_lines(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 100, 60);
	for (size_t i = 0; i < 5; i++)
		canvas->text(canvas->data, 5, 10 + 8 * (double)i,
			(enum lt_typeface)(i % LT_TYPEFACE_COUNT), 5, LT_BLACK, lines[i]);
	canvas->text(canvas->data, 5, 55, LT_TYPEFACE_BOLD, 5, LT_GREY(0.5), "");
	canvas->text(canvas->data, 5, 55, LT_TYPEFACE_BOLD, 0, LT_BLACK, "none");
	end_page(canvas);
}

static void texts_can_be_searched_and_outlines_are_drawn(void **state)
{
	(void)state;
	make_svg("a < b & c\u202E", draw_lines, NULL);
	assert_tree("t.find(n + \"title\").text", "a < b & c\uFFFD\n");
	assert_tree("\"|\".join(x.text for x in t.iter(n + \"text\"))",
		"12H motor & drive <left> \"a\" 'b'|"
		"\u017B\u00F3\u0142\u0107 \u0416\u0443\u043A \u03A9 \u2192 0.75 mm\u00B2|"
		"12H 12M 12H 12M| |bell\uFFFD \uFFFD byte\uFFFD\uFFFD han\u6F22 \U0001D538\n");
	/* Each outline is there once, and each that is used. "12H 12M 12H 12M" in condensed: four.
	 */
	assert_tree(
		"(lambda d, u: (len(d) == len(set(d)), set(u) == set(d), len(u) > len(d), "
		"sum(x[0] == \"c\" for x in d)))([x.get(\"id\") for x in t.iter(n + \"path\") if "
		"x.get(\"id\")], [x.get(h)[1:] for x in t.iter(n + \"use\")])",
		"(True, True, True, 4)\n");

	/* The same ink as the raster canvas, whose letters keep to whole dots. */
	struct picture drawn = take_picture();
	make_raster(draw_lines, NULL);
	struct picture raster = open_picture("1.png");
	assert_int_equal(drawn.width, raster.width);
	for (unsigned line = 0; line < 5; line++) {
		for (unsigned x = 40; x < 960; x += 40) {
			double ours = darkness(&drawn, x, 55 + 80 * line, 40, 60);
			double other = darkness(&raster, x, 55 + 80 * line, 40, 60);
			assert_true(fabs(ours - other) < 0.06);
			assert_true(line == 3 || x > 160 || x < 60 || ours > 0.05);
		}
	}
	assert_true(darkness(&drawn, 0, 510, 1000, 90) == 0);
	free(raster.rgba);

	/* Nothing that is seen comes from an installed font. */
	assert_says("FONTCONFIG_FILE=/dev/null rsvg-convert -d 254 -p 254 -o bare.png 1.svg "
		    "2>/dev/null; cmp drawn.png bare.png",
		"");
	free(drawn.rgba);
}

/* A word stands where its outlines do, as wide as measured. */
static void words_lie_over_their_outlines(void **state)
{
	(void)state;
	make_svg("words", draw_lines, NULL);
	struct lt_measure measure = lt_fonts_measure(fonts);
	double width = lt_text_width(&measure, LT_TYPEFACE_REGULAR, 5, lines[0]);
	char expected[64];
	snprintf(expected, sizeof(expected), "5 10 5 %.3f\n", width);
	assert_tree("*(lambda x: (x.get(\"x\"), x.get(\"y\"), x.get(\"font-size\"), "
		    "\"%.3f\" % float(x.get(\"textLength\"))))(t.find(\".//\" + n + \"text\"))",
		expected);
}

static void draw_symbol(struct lt_canvas *canvas, void *data)
{
	canvas->begin_page(canvas->data, 40, 40);
	canvas->qr(canvas->data, 5, 7, 1, data);
	end_page(canvas);
	canvas->begin_page(canvas->data, 40, 40);
	canvas->qr(canvas->data, 5.123, 4.456, 0.777, data);
	end_page(canvas);
}

static void symbols_have_their_modules_and_are_read(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_arena arena = { 0 };
	struct lt_qr_plan plan;
	struct lt_qr qr;
	assert_true(lt_qr_plan(&plan, "12HRV3J", LT_QR_M));
	assert_true(lt_qr_encode(&qr, &arena, "12HRV3J", &plan, &diags));
	make_svg("symbol", draw_symbol, &qr);
	assert_tree("all(re.fullmatch(r\"(M\\d+ \\d+h\\d+v1h-\\d+z)+\", x.get(\"d\")) for x in "
		    "t.iter(n + \"path\")), len(list(t.iter(n + \"path\")))",
		"True 1\n");
	struct picture picture = take_picture();
	double ink = 0;
	for (unsigned y = 0; y < qr.modules; y++) {
		for (unsigned x = 0; x < qr.modules; x++) {
			bool dark = lt_qr_dark(&qr, x, y);
			assert_true(darkness(&picture, 50 + 10 * x, 70 + 10 * y, 10, 10) == dark);
			ink += 100 * dark;
		}
	}
	assert_true(fabs(darkness(&picture, 0, 0, 400, 400) * 160000 - ink) < 0.5);
	free(picture.rgba);
	assert_says("zbarimg -q --raw drawn.png 2>/dev/null", "12HRV3J\n");
	assert_says(
		"rsvg-convert -d 96 -p 96 -z 2 -o drawn.png 2.svg; zbarimg -q --raw drawn.png 2>/dev/null",
		"12HRV3J\n");
	lt_arena_finish(&arena);
	lt_diags_finish(&diags);
}

static struct lt_image make_image(bool photograph)
{
	struct lt_image image = { 200, 100, lt_alloc(200 * 100 * 3) };
	unsigned seed = 7;
	for (unsigned i = 0; i < 200 * 100 * 3; i++) {
		unsigned x = i / 3 % 200, y = i / 600;
		seed = seed * 1103515245u + 12345u;
		unsigned char drawn = (i % 3 == 0) == (x < 100 && y < 50) ? 255 : 0;
		image.rgb[i] = photograph ? (unsigned char)(x + (seed >> 16) % 40) : drawn;
	}
	return image;
}

static void draw_images(struct lt_canvas *canvas, void *data)
{
	(void)data;
	struct lt_image drawing = make_image(false);
	struct lt_image again = make_image(false);
	struct lt_image photograph = make_image(true);
	for (int page = 0; page < 2; page++) {
		canvas->begin_page(canvas->data, 60, 40);
		canvas->image(canvas->data, 5, 5, 20, 10, &drawing);
		canvas->image(canvas->data, 30, 5, 20, 10, &photograph);
		canvas->image(canvas->data, 5, 20, 10, 15, &again);
		canvas->image(canvas->data, 30, 20, 20, 10, &(struct lt_image){ 0 });
		end_page(canvas);
	}
	lt_image_finish(&drawing);
	lt_image_finish(&again);
	lt_image_finish(&photograph);
}

static void images_are_where_they_were_drawn_and_kept_once(void **state)
{
	(void)state;
	make_svg("images", draw_images, NULL);
	assert_tree("[x.get(h)[:16] for x in t.iter(n + \"image\")]",
		"['data:image/png;b', 'data:image/jpeg;']\n");
	struct picture picture = take_picture();
	assert_colour(&picture, 52, 52, 0xFF0000);
	assert_colour(&picture, 145, 95, 0xFF0000);
	assert_colour(&picture, 155, 95, 0x00FFFF);
	assert_colour(&picture, 145, 105, 0x00FFFF);
	assert_colour(&picture, 245, 145, 0x00FFFF);
	assert_colour(&picture, 95, 270, 0xFF0000);
	assert_colour(&picture, 95, 280, 0x00FFFF);
	assert_true(darkness(&picture, 252, 0, 46, 400) == 0);
	assert_true(darkness(&picture, 300, 200, 200, 100) == 0);
	assert_true(fabs(darkness(&picture, 302, 52, 16, 96) - (1 - 29.5 / 255)) < 0.03);
	free(picture.rgba);
	/* Every page is whole by itself, and the same calls give the same bytes. */
	assert_says("cmp 1.svg 2.svg; mv 1.svg first.svg", "");
	make_svg("images", draw_images, NULL);
	assert_says("cmp 1.svg first.svg", "");
}

static void draw_nonsense(struct lt_canvas *canvas, void *data)
{
	(void)data;
	static const double strange[] = { 1e300, -1e300, (double)NAN, (double)INFINITY, 1e-9, -3 };
	canvas->begin_page(canvas->data, 20, 20);
	unsigned char cell = 1;
	const struct lt_qr qr = { 1, &cell };
	const struct lt_image image = { 1, 1, (unsigned char[]){ 1, 2, 3 } };
	for (size_t i = 0; i < 6; i++) {
		double at = strange[i];
		const struct lt_pen pen = { at, LT_GREY(at), at };
		const struct lt_point points[] = { { at, 1 }, { 1, at }, { at, at } };
		canvas->text(canvas->data, at, at, LT_TYPEFACE_BOLD, at < 1 ? at : 4, LT_BLACK,
			"Mj");
		canvas->text(canvas->data, 19, 1, LT_TYPEFACE_BOLD, 4, LT_GREY(at), "Mj");
		canvas->rectangle(canvas->data, at, 1, 1, at, LT_BLACK);
		canvas->line(canvas->data, 1, at, 1, 1, at, LT_BLACK);
		canvas->frame(canvas->data, 1, at, 1, at, at, LT_BLACK);
		canvas->polyline(canvas->data, points, 3, &pen);
		canvas->polygon(canvas->data, points, 3, &pen, &LT_BLACK);
		canvas->circle(canvas->data, 1, 1, at, &pen, &LT_BLACK);
		canvas->circle(canvas->data, at, 1, 1, &pen, &LT_BLACK);
		canvas->image(canvas->data, 1, at, at, 1, &image);
		canvas->image(canvas->data, at, 1, 1, at, &image);
		canvas->qr(canvas->data, at, 1, at, &qr);
	}
	end_page(canvas);
}

static void invalid_calls_do_no_harm(void **state)
{
	(void)state;
	make_svg("nonsense", draw_nonsense, NULL);
	/* Every number is one, and nothing has a size below 0, which would be an error (SVG 1.1).
	 */
	assert_tree(
		"len(re.findall(r\"nan|inf|[0-9]e\", \" \".join(v for x in t.iter() for k, v in "
		"x.items() if k not in (h, \"id\", \"font-family\")))), "
		"[x for x in t.iter() for k in (\"width\", \"height\", \"r\", \"font-size\", "
		"\"stroke-width\", \"stroke-dasharray\") if x.get(k, \"1\").startswith(\"-\")]",
		"0 []\n");
	struct picture picture = take_picture();
	assert_int_equal(picture.width, 200);
	free(picture.rgba);
}

static bool refuse_page(void *data, unsigned page, const unsigned char *bytes, size_t length,
	struct lt_diags *diags)
{
	(void)data;
	(void)page;
	(void)bytes;
	(void)length;
	lt_error(diags, lt_place_none(), "refused");
	return false;
}

static void reports_what_is_wrong(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	const struct lt_page_sink sink = { refuse_page, NULL };
	static const double sizes[][2] = { { 0, 10 }, { 10, -1 }, { (double)NAN, 10 },
		{ 10, 1e6 } };
	struct lt_canvas canvas;
	for (size_t i = 0; i < 4; i++) {
		lt_svg_create(&canvas, &sink, fonts, "t");
		canvas.begin_page(canvas.data, sizes[i][0], sizes[i][1]);
		canvas.rectangle(canvas.data, 1, 1, 2, 2, LT_BLACK);
		canvas.text(canvas.data, 1, 1, LT_TYPEFACE_BOLD, 2, LT_BLACK, "x");
		assert_false(canvas.end_page(canvas.data, &diags));
		assert_non_null(strstr(diags.items[diags.count - 1].message, "cannot be "));
		assert_false(canvas.finish(canvas.data, &diags));
		lt_canvas_destroy(&canvas);
	}
	lt_svg_create(&canvas, &sink, fonts, "t");
	canvas.begin_page(canvas.data, 10, 10);
	assert_false(canvas.end_page(canvas.data, &diags));
	assert_string_equal(diags.items[diags.count - 1].message, "refused");
	lt_canvas_destroy(&canvas);

	/* Letters larger than any page; what was refused stays so. */
	lt_svg_create(&canvas, &sink, fonts, "t");
	canvas.begin_page(canvas.data, 10, 10);
	canvas.text(canvas.data, 1, 1, LT_TYPEFACE_BOLD, 1e9, LT_BLACK, "x");
	assert_false(canvas.end_page(canvas.data, &diags));
	assert_non_null(strstr(diags.items[diags.count - 1].message, "cannot draw a text"));
	assert_false(canvas.finish(canvas.data, &diags));
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(shapes_are_where_they_were_drawn),
		cmocka_unit_test(texts_can_be_searched_and_outlines_are_drawn),
		cmocka_unit_test(words_lie_over_their_outlines),
		cmocka_unit_test(symbols_have_their_modules_and_are_read),
		cmocka_unit_test(images_are_where_they_were_drawn_and_kept_once),
		cmocka_unit_test(invalid_calls_do_no_harm),
		cmocka_unit_test(reports_what_is_wrong),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
