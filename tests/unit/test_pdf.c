/* The PDF canvas, judged from outside: poppler's tools and qpdf read what it writes, and complain
 * of nothing. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "draw/fonts.h"
#include "loomtag/draw.h"

static struct lt_fonts *fonts;
static char folder[] = "/tmp/test_pdf_XXXXXX";

static int set_up(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
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

/* What a command says, on stdout and stderr, run in the folder; the caller finishes it. */
static struct lt_text run(const char *command)
{
	char line[512];
	snprintf(line, sizeof(line), "cd '%s' && { %s; } 2>&1", folder, command);
	struct lt_text said = { 0 };
	FILE *pipe = popen(line, "r");
	assert_non_null(pipe);
	char block[4096];
	for (size_t got; (got = fread(block, 1, sizeof(block), pipe)) > 0;)
		lt_text_add_bytes(&said, block, got);
	int status = pclose(pipe);
	if (status != 0)
		print_error("%s: %s\n", command, lt_text_string(&said));
	assert_int_equal(status, 0);
	return said;
}

static void assert_says(const char *command, const char *expected)
{
	struct lt_text said = run(command);
	assert_string_equal(lt_text_string(&said), expected);
	lt_text_finish(&said);
}

static void assert_mentions(const char *command, const char *part)
{
	struct lt_text said = run(command);
	if (strstr(lt_text_string(&said), part) == NULL)
		print_error("%s: %s\n", command, lt_text_string(&said));
	assert_non_null(strstr(lt_text_string(&said), part));
	lt_text_finish(&said);
}

/* Draws with `draw` into out.pdf. */
static void make_pdf_of(const struct lt_pdf_options *options,
	void (*draw)(struct lt_canvas *canvas, void *data), void *data)
{
	char path[64];
	snprintf(path, sizeof(path), "%s/out.pdf", folder);
	FILE *file = fopen(path, "wb");
	assert_non_null(file);
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_canvas canvas;
	assert_true(lt_pdf_create(&canvas, file, fonts, options, &diags));
	draw(&canvas, data);
	assert_true(canvas.finish(canvas.data, &diags));
	assert_int_equal(diags.count, 0);
	lt_canvas_destroy(&canvas);
	lt_diags_finish(&diags);
	assert_int_equal(fclose(file), 0);
}

/* The same for a head of `dpi`. */
static void make_pdf_at(double dpi, const char *title, long long date,
	void (*draw)(struct lt_canvas *canvas, void *data), void *data)
{
	const struct lt_pdf_options options = {
		.title = title, .subject = "check", .date = date, .dpi = dpi
	};
	make_pdf_of(&options, draw, data);
}

static void make_pdf(const char *title, long long date,
	void (*draw)(struct lt_canvas *canvas, void *data), void *data)
{
	make_pdf_at(0, title, date, draw, data);
}

static void end_page(struct lt_canvas *canvas)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	assert_true(canvas->end_page(canvas->data, &diags));
	lt_diags_finish(&diags);
}

/* Nothing is wrong with out.pdf by anybody's reading. */
static void assert_clean(void)
{
	assert_mentions("qpdf --check out.pdf", "No syntax or stream encoding errors found");
	assert_says(
		"qpdf --check out.pdf | grep -i -E 'warn|error' | grep -v -E 'No syntax|cannot detect' || true",
		"");
	assert_says("pdftoppm -r 50 out.pdf page", "");
}

/* One line of text a face. */
static void draw_lines(struct lt_canvas *canvas, void *data)
{
	const char *const *lines = data;
	canvas->begin_page(canvas->data, 297, 210);
	double y = 10;
	for (size_t i = 0; lines[i] != NULL; i++, y += 6)
		canvas->text(canvas->data, 10, y, (enum lt_typeface)(i % LT_TYPEFACE_COUNT), 4,
			LT_BLACK, lines[i]);
	end_page(canvas);
}

static void text_reads_back_in_every_script(void **state)
{
	(void)state;
	static const char *const lines[] = {
		"plain ASCII !\"#$%&'()*+,-./0123456789:;<=>?@[\\]^_`{|}~",
		"Za\u017C\u00F3\u0142\u0107 g\u0119\u015Bl\u0105 ja\u017A\u0144, \u010C\u0159\u017E\u016F, "
		"\u00C4\u00D6\u00DC\u00DF, \u00E9\u00E8\u00EA\u00EB",
		"\u0411\u0443\u043A\u0432\u044B \u0436\u0451\u043B\u0442\u044B\u0435 \u0426\u0429\u042A "
		"\u0457\u0454\u0491",
		"\u0391\u03B2\u03B3 \u03A9\u03BC\u03AD\u03B3\u03B1 \u03C2\u03C3 \u0394 \u03A0",
		"\u0531\u0561 \u0532\u0562 \u0554\u0584 \u0536\u0566",
		"20 \u00B0C, 0.75 mm\u00B2, 10 k\u2126, 5 \u00B5F, X1 \u2192 X9 \u2014 \u2018a\u2019 "
		"\u201Cb\u201D \u2026 \u00D7 \u2264 \u00A7",
		"mixed \u0416 \u03A9 \u0531 \u017C \u2192 in one line",
		NULL,
	};
	make_pdf("scripts", 0, draw_lines, (void *)lines);
	assert_clean();
	struct lt_text expected = { 0 };
	for (size_t i = 0; lines[i] != NULL; i++)
		lt_text_printf(&expected, "%s\n", lines[i]);
	lt_text_add(&expected, "\f");
	assert_says("pdftotext -raw -enc UTF-8 out.pdf -", lt_text_string(&expected));
	lt_text_finish(&expected);
}

/* More characters than a single-byte encoding has room for, one to five of them. */
static void text_reads_back_beyond_one_encoding(void **state)
{
	(void)state;
	struct lt_text texts[24];
	const char *lines[25] = { NULL };
	uint32_t code = 0xC0;
	for (size_t i = 0; i < 24; i++) {
		texts[i] = (struct lt_text){ 0 };
		while (lt_utf8_count(lt_text_string(&texts[i])) < 25) {
			/* Without the letters that a reader may take apart or join. */
			if (code == 0x132 || code == 0x149 || code == 0x1C4)
				code += code == 0x1C4 ? 9 : 2;
			if (code == 0x1F1)
				code += 3;
			if (code == 0x250)
				code = 0x388;
			if (lt_font_shown(fonts, (enum lt_typeface)(i % 4), code) == code &&
				code != 0x3F4) {
				char bytes[4];
				lt_text_add_bytes(&texts[i], bytes, lt_utf8_put(bytes, code));
			}
			code++;
		}
		lines[i] = lt_text_string(&texts[i]);
	}
	make_pdf("many", 0, draw_lines, lines);
	assert_clean();
	struct lt_text expected = { 0 };
	for (size_t i = 0; i < 24; i++) {
		lt_text_printf(&expected, "%s\n", lines[i]);
		lt_text_finish(&texts[i]);
	}
	lt_text_add(&expected, "\f");
	assert_says("pdftotext -raw -enc UTF-8 out.pdf -", lt_text_string(&expected));
	lt_text_finish(&expected);
	/* 600 characters are five encodings, each used by four faces. */
	assert_says("pdffonts out.pdf | grep -c 'yes yes yes'", "20\n");
}

/* Han, beyond the BMP, a control character, a byte that is not UTF-8, and what turns
 * the direction of text. */
static void text_shows_replacements(void **state)
{
	(void)state;
	static const char *const lines[] = { "a\u6F22b\U0001D538c\x07"
					     "d\xFF"
					     "e\u202Ef",
		NULL };
	make_pdf("lacking", 0, draw_lines, (void *)lines);
	assert_clean();
	assert_says("pdftotext -raw out.pdf -", "a\uFFFDb\uFFFDc\uFFFDd\uFFFDe\uFFFDf\n\f");
}

/* A picture of a page, looked up in mm. */
struct picture {
	unsigned width, height;
	unsigned char *grey;
	double dots; /* a mm */
};

static struct picture take_picture(double dpi)
{
	char command[128];
	snprintf(command, sizeof(command), "pdftoppm -gray -r %g -singlefile out.pdf picture", dpi);
	assert_says(command, "");
	char path[64];
	snprintf(path, sizeof(path), "%s/picture.pgm", folder);
	FILE *file = fopen(path, "rb");
	assert_non_null(file);
	struct picture picture = { .dots = dpi / 25.4 };
	unsigned most;
	assert_int_equal(fscanf(file, "P5 %u %u %u", &picture.width, &picture.height, &most), 3);
	fgetc(file);
	size_t size = (size_t)picture.width * picture.height;
	picture.grey = lt_alloc(size);
	assert_int_equal(fread(picture.grey, 1, size, file), size);
	fclose(file);
	return picture;
}

static unsigned char grey_at(const struct picture *picture, double x, double y)
{
	unsigned across = (unsigned)(x * picture->dots);
	unsigned down = (unsigned)(y * picture->dots);
	assert_true(across < picture->width && down < picture->height);
	return picture->grey[(size_t)down * picture->width + across];
}

/* The share of a rectangle that is dark. */
static double darkness(const struct picture *picture, double x, double y, double w, double h)
{
	double sum = 0;
	unsigned across = (unsigned)(w * picture->dots);
	unsigned down = (unsigned)(h * picture->dots);
	for (unsigned j = 0; j < down; j++) {
		for (unsigned i = 0; i < across; i++)
			sum += 255 - grey_at(picture, x + i / picture->dots, y + j / picture->dots);
	}
	return sum / 255 / across / down;
}

/* Characters with a double in Unicode, whose name means one to some readers and the other to
 * others, have ink and not the emptied glyph of the one that is not in the font. */
static void draw_rare(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 100, 60);
	static const char *const rare[] = { "\u03A9", "\u2126", "\u0394", "\u2206", "\u00B5",
		"\u03BC", "\u0531", "\u2192", "\u0416" };
	for (size_t i = 0; i < sizeof(rare) / sizeof(rare[0]); i++)
		canvas->text(canvas->data, 10 * (double)i + 1, 10, LT_TYPEFACE_BOLD, 8, LT_BLACK,
			rare[i]);
	canvas->text(canvas->data, 1, 30, LT_TYPEFACE_REGULAR, 8, LT_BLACK, "\u0416\u2192");
	end_page(canvas);
}

static void every_character_has_ink(void **state)
{
	(void)state;
	make_pdf("rare", 0, draw_rare, NULL);
	struct picture picture = take_picture(150);
	for (int i = 0; i < 9; i++)
		assert_true(darkness(&picture, 10 * i + 1, 3, 8, 9) > 0.05);
	assert_true(darkness(&picture, 1, 23, 8, 8) > 0.05);
	free(picture.grey);
}

/* A reader's boxes around words are as wide as we measured. */
static void words_are_as_wide_as_measured(void **state)
{
	(void)state;
	static const char *const lines[] = { "Wattage,\u0416\u0416\u0416\u03A9\u03A9iiiiiiiiAVAVAV",
		NULL };
	make_pdf("width", 0, draw_lines, (void *)lines);
	struct lt_text said = run("pdftotext -bbox out.pdf - | grep '<word'");
	double left, top, right;
	assert_int_equal(sscanf(lt_text_string(&said),
				 " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\"", &left, &top,
				 &right),
		3);
	lt_text_finish(&said);
	struct lt_measure measure = lt_fonts_measure(fonts);
	double width = lt_text_width(&measure, LT_TYPEFACE_REGULAR, 4, lines[0]);
	assert_true(fabs(left / 72 * 25.4 - 10) < 0.01);
	assert_true(fabs((right - left) / 72 * 25.4 - width) < 0.02);
}

/* A symbol of scattered modules, solid blocks and long runs. */
static void fill_symbol(struct lt_qr *qr, unsigned modules)
{
	unsigned seed = 1;
	for (unsigned y = 0; y < modules; y++) {
		for (unsigned x = 0; x < modules; x++) {
			seed = seed * 1103515245u + 12345u;
			bool dark = (seed >> 16 & 1) != 0;
			if (x < 7 && y < 7)
				dark = true;
			if (y == 9 || x == 11)
				dark = true;
			if (x == modules - 1 && y > 12)
				dark = true;
			qr->cells[(size_t)y * modules + x] = dark;
		}
	}
}

static void draw_symbols(struct lt_canvas *canvas, void *data)
{
	canvas->begin_page(canvas->data, 100, 80);
	canvas->text(canvas->data, 1, 5, LT_TYPEFACE_BOLD, 4, LT_GREY(0.5), "12H");
	canvas->qr(canvas->data, 10, 7, 0.5, data);
	canvas->qr(canvas->data, 40.123, 20.456, 1.1, data);
	end_page(canvas);
}

static void symbols_have_their_modules(void **state)
{
	(void)state;
	enum { MODULES = 25 };
	unsigned char cells[MODULES * MODULES];
	struct lt_qr qr = { MODULES, cells };
	fill_symbol(&qr, MODULES);
	make_pdf("symbol", 0, draw_symbols, &qr);
	assert_clean();
	struct picture picture = take_picture(600);
	/* On the grid of 600 dots an inch: 0.5 mm are 11.8 dots, drawn as 11, and 1.1 mm 25.98;
	 * what is lost is halved to both sides. */
	double small = 11 * 25.4 / 600, large = 25 * 25.4 / 600;
	double left = 10 + (0.5 - small) * MODULES / 2, top = 7 + (0.5 - small) * MODULES / 2;
	double right = 40.123 + (1.1 - large) * MODULES / 2;
	double bottom = 20.456 + (1.1 - large) * MODULES / 2;
	for (unsigned y = 0; y < MODULES; y++) {
		for (unsigned x = 0; x < MODULES; x++) {
			bool first = grey_at(&picture, left + small * (x + 0.5),
					     top + small * (y + 0.5)) < 128;
			bool second = grey_at(&picture, right + large * (x + 0.5),
					      bottom + large * (y + 0.5)) < 128;
			assert_true(first == lt_qr_dark(&qr, x, y));
			assert_true(second == lt_qr_dark(&qr, x, y));
		}
	}
	/* No ink in the quiet zone, no seams in what is solid. */
	assert_true(darkness(&picture, 8, 7, left - 8 - 0.05, 12) == 0);
	assert_true(darkness(&picture, left + small * MODULES + 0.05, 7, 2, 12) == 0);
	assert_true(darkness(&picture, left + 0.05, top + 0.05, 7 * small - 0.1, 7 * small - 0.1) >
		    0.999);
	free(picture.grey);
}

static void draw_large(struct lt_canvas *canvas, void *data)
{
	canvas->begin_page(canvas->data, 100, 100);
	canvas->qr(canvas->data, 5, 5, 0.5, data);
	end_page(canvas);
}

/* ISO/IEC 18004: version 40 has 177 modules a side. */
static void the_largest_symbol_has_its_modules(void **state)
{
	(void)state;
	enum { MODULES = 177, DOTS = 11 };
	struct lt_qr qr = { MODULES, lt_alloc((size_t)MODULES * MODULES) };
	fill_symbol(&qr, MODULES);
	make_pdf("large", 0, draw_large, &qr);
	assert_clean();
	struct picture picture = take_picture(600);
	size_t corner = (size_t)lround(5 * 600 / 25.4 + (0.5 * 600 / 25.4 - DOTS) * MODULES / 2);
	for (size_t y = 0; y < (size_t)MODULES * DOTS; y++) {
		for (size_t x = 0; x < (size_t)MODULES * DOTS; x++) {
			bool dark = lt_qr_dark(&qr, (unsigned)(x / DOTS), (unsigned)(y / DOTS));
			size_t at = (corner + y) * picture.width + corner + x;
			assert_int_equal(picture.grey[at], dark ? 0 : 255);
		}
	}
	free(picture.grey);
	free(qr.cells);
}

/* Symbols all over a page of whole dots and beside them: each is taken to the nearest dots. */
struct scattered {
	double dpi;
	struct lt_qr qr;
};

/* Where symbol `i` is asked for, in dots, and the dots of its module. */
static double asked(unsigned i, double *x, double *y)
{
	unsigned row = i / 3, column = i % 3;
	*x = 40 + 170 * column + 0.13 * i;
	*y = 30 + 170 * row + 0.41 * (i % 4);
	return 3 + i % 3;
}

static void draw_scattered(struct lt_canvas *canvas, void *data)
{
	const struct scattered *scattered = data;
	double dot = 25.4 / scattered->dpi;
	canvas->begin_page(canvas->data, 70.3, 90.7);
	for (unsigned i = 0; i < 9; i++) {
		double x, y;
		double dots = asked(i, &x, &y);
		canvas->qr(canvas->data, x * dot, y * dot, dots * dot, &scattered->qr);
	}
	end_page(canvas);
}

/* Every dot of the page at the head's resolution, and at a multiple of it, is black where a module
 * is and white elsewhere. */
static void symbols_lie_on_the_dots_of_the_head(void **state)
{
	(void)state;
	enum { MODULES = 29 };
	unsigned char cells[MODULES * MODULES];
	struct scattered scattered = { .qr = { MODULES, cells } };
	fill_symbol(&scattered.qr, MODULES);
	static const unsigned heads[][2] = { { 203, 1 }, { 300, 1 }, { 300, 2 }, { 600, 1 } };
	for (size_t h = 0; h < sizeof(heads) / sizeof(heads[0]); h++) {
		scattered.dpi = heads[h][0];
		unsigned fine = heads[h][1];
		make_pdf_at(scattered.dpi, "dots", 0, draw_scattered, &scattered);
		struct picture picture = take_picture(heads[h][0] * fine);
		unsigned long ink = 0;
		for (unsigned i = 0; i < 9; i++) {
			double x, y;
			unsigned dots = (unsigned)asked(i, &x, &y) * fine;
			size_t left = (size_t)lround(x) * fine, top = (size_t)lround(y) * fine;
			for (size_t row = 0; row < MODULES * dots; row++) {
				for (size_t column = 0; column < MODULES * dots; column++) {
					bool dark = lt_qr_dark(&scattered.qr,
						(unsigned)(column / dots), (unsigned)(row / dots));
					ink += dark;
					size_t at = (top + row) * picture.width + left + column;
					assert_int_equal(picture.grey[at], dark ? 0 : 255);
				}
			}
		}
		unsigned long black = 0;
		for (size_t i = 0; i < (size_t)picture.width * picture.height; i++)
			black += picture.grey[i] < 255;
		assert_int_equal(black, ink);
		free(picture.grey);
	}
}

/* A turned page has each dot of the straight one a quarter turn clockwise: the left edge is the
 * upper one, and symbols lie on the dots as they did. */
static void pages_are_turned(void **state)
{
	(void)state;
	enum { MODULES = 29 };
	unsigned char cells[MODULES * MODULES];
	struct scattered scattered = { .qr = { MODULES, cells } };
	fill_symbol(&scattered.qr, MODULES);
	static const double heads[] = { 203, 300, 600 };
	for (size_t h = 0; h < sizeof(heads) / sizeof(heads[0]); h++) {
		scattered.dpi = heads[h];
		struct lt_pdf_options options = { .title = "turned", .dpi = heads[h] };
		make_pdf_of(&options, draw_scattered, &scattered);
		struct picture straight = take_picture(heads[h]);
		options.turn = true;
		make_pdf_of(&options, draw_scattered, &scattered);
		assert_clean();
		struct picture turned = take_picture(heads[h]);
		/* Whole dots of a page of 70.3 x 90.7 mm. */
		unsigned across = (unsigned)lround(70.3 * straight.dots);
		unsigned down = (unsigned)lround(90.7 * straight.dots);
		unsigned long ink = 0;
		assert_in_range(turned.width, down, down + 1);
		assert_in_range(turned.height, across, across + 1);
		for (unsigned y = 0; y < down && y < straight.height; y++) {
			for (unsigned x = 0; x < across && x < straight.width; x++) {
				unsigned char grey = straight.grey[(size_t)y * straight.width + x];
				size_t at = (size_t)x * turned.width + (down - 1 - y);
				assert_int_equal(turned.grey[at], grey);
				ink += grey == 0;
			}
		}
		assert_true(ink > 1000);
		free(straight.grey);
		free(turned.grey);
	}
}

static void draw_shapes(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 60, 40);
	canvas->rectangle(canvas->data, 5, 5, 20, 10, LT_BLACK);
	canvas->text(canvas->data, 6, 13, LT_TYPEFACE_BOLD, 8, LT_WHITE, "MM");
	canvas->frame(canvas->data, 30, 5, 20, 10, 1, LT_BLACK);
	canvas->line(canvas->data, 5, 30, 50, 30, 2, LT_GREY(0.5));
	canvas->rectangle(canvas->data, 5, 35, 5, 2, ((struct lt_ink){ 1, 0, 0.25 }));
	end_page(canvas);
}

static void shapes_are_where_they_were_drawn(void **state)
{
	(void)state;
	make_pdf("shapes", 0, draw_shapes, NULL);
	assert_clean();
	struct picture picture = take_picture(254);
	assert_true(fabs(picture.width / picture.dots - 60) < 0.2);
	assert_true(fabs(picture.height / picture.dots - 40) < 0.2);
	assert_true(darkness(&picture, 5.1, 5.1, 19.8, 0.8) > 0.999);
	assert_true(darkness(&picture, 3, 3, 1.9, 14) == 0);
	assert_true(darkness(&picture, 3, 15.2, 24, 2) == 0);
	double letters = darkness(&picture, 6, 7, 16, 6);
	assert_true(letters > 0.2 && letters < 0.9);
	assert_true(darkness(&picture, 29.6, 5, 0.8, 10) > 0.95);
	assert_true(darkness(&picture, 30.6, 5.6, 18.8, 8.8) == 0);
	double grey = darkness(&picture, 6, 29.2, 40, 1.6);
	assert_true(grey > 0.48 && grey < 0.52);
	free(picture.grey);
}

static double share_of_red(const char *file, double x, double y)
{
	char command[160];
	snprintf(command, sizeof(command),
		"pdftoppm -r 254 -singlefile out.pdf colour && tail -c +16 colour.ppm >%s", file);
	assert_says(command, "");
	char path[64];
	snprintf(path, sizeof(path), "%s/%s", folder, file);
	FILE *in = fopen(path, "rb");
	assert_non_null(in);
	unsigned char rgb[3];
	assert_int_equal(fseek(in, ((long)(y * 10) * 600 + (long)(x * 10)) * 3, SEEK_SET), 0);
	assert_int_equal(fread(rgb, 1, 3, in), 3);
	fclose(in);
	return rgb[0] / 255.0 - (rgb[1] + rgb[2]) / 510.0;
}

static void draw_outlines(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 60, 40);
	const struct lt_ink red = { 1, 0, 0 };
	const struct lt_pen thick = { .line = 1, .ink = LT_BLACK };
	const struct lt_pen dashed = { .line = 1, .ink = LT_BLACK, .dash = 2 };
	const struct lt_point triangle[] = { { 5, 5 }, { 15, 5 }, { 5, 15 } };
	const struct lt_point right[] = { { 25, 5 }, { 35, 5 }, { 25, 15 } };
	const struct lt_point bend[] = { { 5, 20 }, { 15, 20 }, { 15, 30 } };
	const struct lt_point level[] = { { 5, 35 }, { 25, 35 } };
	canvas->polygon(canvas->data, triangle, 3, NULL, &red);
	canvas->polygon(canvas->data, right, 3, &thick, NULL);
	canvas->polyline(canvas->data, bend, 3, &thick);
	canvas->polyline(canvas->data, level, 2, &dashed);
	canvas->line(canvas->data, 5, 38, 25, 38, 1, LT_BLACK);
	canvas->circle(canvas->data, 45, 10, 5, NULL, &(struct lt_ink){ 0, 0, 0 });
	canvas->circle(canvas->data, 45, 28, 6, &thick, &red);
	/* Nothing to draw, or nothing to draw with. */
	canvas->polygon(canvas->data, right, 2, &thick, &red);
	canvas->polyline(canvas->data, right, 1, &thick);
	canvas->polyline(canvas->data, NULL, 0, &thick);
	canvas->polygon(canvas->data, triangle, 3, NULL, NULL);
	canvas->circle(canvas->data, 30, 30, 0, &thick, &red);
	canvas->circle(canvas->data, 30, 30, 5, NULL, NULL);
	end_page(canvas);
}

static void outlines_are_where_they_were_drawn(void **state)
{
	(void)state;
	make_pdf("outlines", 0, draw_outlines, NULL);
	assert_clean();
	struct picture picture = take_picture(254);
	/* Half of its square is inside a triangle; red alone is 0.7 dark. */
	assert_true(fabs(darkness(&picture, 5, 5, 10, 10) / darkness(&picture, 5.5, 5.5, 2, 2) -
			    0.5) < 0.02);
	assert_true(darkness(&picture, 11, 11, 4, 4) == 0);
	assert_true(share_of_red("red", 6, 6) > 0.99);
	/* An outline alone, closed to the first point, and not beyond half a line. */
	assert_true(darkness(&picture, 26, 6, 2.5, 2.5) == 0);
	assert_true(darkness(&picture, 24.6, 5, 0.8, 9) > 0.99);
	assert_true(darkness(&picture, 25, 4.6, 9, 0.8) > 0.99);
	assert_true(darkness(&picture, 23, 3, 1.4, 14) == 0);
	/* Not closed; the bend is rounded. */
	assert_true(darkness(&picture, 5.1, 19.6, 10, 0.8) > 0.99);
	assert_true(darkness(&picture, 14.6, 20, 0.8, 9.9) > 0.99);
	assert_true(darkness(&picture, 7, 21, 5, 8) == 0);
	assert_true(darkness(&picture, 15.4, 19.5, 0.1, 0.1) < 0.2);
	/* Dashes and gaps of 2 mm; what is drawn next has none. */
	for (int i = 0; i < 5; i++) {
		assert_true(darkness(&picture, 5.1 + 4 * i, 34.6, 1.8, 0.8) > 0.99);
		assert_true(darkness(&picture, 7.1 + 4 * i, 34.6, 1.8, 0.8) == 0);
	}
	assert_true(darkness(&picture, 5.1, 37.6, 19.8, 0.8) > 0.99);
	/* The area of a circle, and nothing in the corners of its square. */
	assert_true(fabs(darkness(&picture, 40, 5, 10, 10) - acos(-1) / 4) < 0.005);
	assert_true(darkness(&picture, 40, 5, 1.4, 1.4) == 0);
	assert_true(share_of_red("red", 45, 28) > 0.99);
	assert_true(darkness(&picture, 44.5, 21.6, 1, 0.8) > 0.99);
	assert_true(darkness(&picture, 51, 28, 0.4, 0.4) > 0.99);
	assert_true(darkness(&picture, 44, 20, 2, 1.4) == 0);
	assert_true(darkness(&picture, 25.6, 23, 9, 11) == 0);
	free(picture.grey);
}

/* A drawing of two reds and a blue, or a photograph: noise on a slope of light. */
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

/* The same drawing from two places, and once more on another page. */
static void draw_images(struct lt_canvas *canvas, void *data)
{
	(void)data;
	struct lt_image drawing = make_image(false);
	struct lt_image photograph = make_image(true);
	canvas->begin_page(canvas->data, 60, 40);
	canvas->image(canvas->data, 5, 5, 20, 10, &drawing);
	lt_image_finish(&drawing);
	drawing = make_image(false);
	canvas->image(canvas->data, 5, 20, 10, 15, &drawing);
	canvas->image(canvas->data, 30, 5, 20, 10, &photograph);
	canvas->rectangle(canvas->data, 35, 8, 2, 2, LT_BLACK);
	canvas->image(canvas->data, 30, 20, 20, 10, &(struct lt_image){ 0 });
	end_page(canvas);
	canvas->begin_page(canvas->data, 60, 40);
	canvas->image(canvas->data, 5, 5, 20, 10, &drawing);
	end_page(canvas);
	lt_image_finish(&drawing);
	lt_image_finish(&photograph);
}

static void images_are_where_they_were_drawn_and_kept_once(void **state)
{
	(void)state;
	make_pdf("images", 0, draw_images, NULL);
	assert_clean();
	/* Page, number, kind, width, height, colours, components, bits, packing, interpolation,
	 * object: the drawing is one object, and not packed with loss. */
	assert_says("pdfimages -list out.pdf | tail -n +3 | awk '{ print $1, $4, $5, $6, $9 }'",
		"1 200 100 rgb image\n1 200 100 rgb image\n1 200 100 rgb jpeg\n"
		"2 200 100 rgb image\n");
	assert_says("pdfimages -list out.pdf | tail -n +3 | awk '{ print $11 }' | sort -u | wc -l",
		"2\n");
	/* Its top left quarter is red, all else is not. */
	assert_true(share_of_red("red", 5.2, 5.2) > 0.99);
	assert_true(share_of_red("red", 14.7, 9.7) > 0.99);
	assert_true(share_of_red("red", 15.3, 9.7) < -0.9);
	assert_true(share_of_red("red", 14.7, 10.3) < -0.9);
	assert_true(share_of_red("red", 24.7, 14.7) < -0.9);
	assert_true(share_of_red("red", 9.7, 27.2) > 0.99);
	assert_true(share_of_red("red", 9.7, 27.8) < -0.9);
	struct picture picture = take_picture(254);
	assert_true(darkness(&picture, 25.1, 0, 4.8, 40) == 0);
	assert_true(darkness(&picture, 0, 15.1, 60, 4.8) == 0);
	assert_true(darkness(&picture, 30, 20, 20, 10) == 0);
	assert_true(darkness(&picture, 35, 8, 2, 2) > 0.99);
	/* x + 20 of 255 is how light it is on the average. */
	assert_true(fabs(darkness(&picture, 30, 5.1, 2, 9.8) - (1 - 30 / 255.0)) < 0.03);
	assert_true(fabs(darkness(&picture, 48, 5.1, 2, 9.8) - (1 - 210 / 255.0)) < 0.03);
	free(picture.grey);
	assert_says("mv out.pdf first.pdf", "");
	make_pdf("images", 0, draw_images, NULL);
	assert_says("cmp first.pdf out.pdf", "");
}

static void information_reads_back(void **state)
{
	(void)state;
	static const char *const lines[] = { "x", NULL };
	/* 2001-09-09 01:46:40 UTC is the second 1000000000. */
	make_pdf("Stickers \u2014 \u0416\u0443\u043A (\\) \U0001D538 \u0141\u202E.", 1000000000,
		draw_lines, (void *)lines);
	assert_clean();
	assert_mentions("pdfinfo -enc UTF-8 out.pdf",
		"Title:           Stickers \u2014 \u0416\u0443\u043A (\\) \U0001D538 \u0141\uFFFD.\n");
	assert_mentions("pdfinfo out.pdf", "Subject:         check\n");
	assert_mentions("pdfinfo -isodates out.pdf", "CreationDate:    2001-09-09T01:46:40Z\n");
	assert_mentions("pdfinfo -isodates out.pdf", "ModDate:         2001-09-09T01:46:40Z\n");
	assert_mentions("pdfinfo out.pdf", "Page size:       841.89 x 595.276 pts (A4)\n");
	assert_says(
		"qpdf --qdf --object-streams=disable out.pdf - | grep -a -c '/PrintScaling /None'",
		"1\n");
}

static void refuses_an_impossible_date(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_canvas canvas;
	static const long long dates[] = { 253402300800, -62167219201, INT64_MAX, INT64_MIN };
	for (size_t i = 0; i < 4; i++) {
		struct lt_pdf_options options = { .title = "t", .date = dates[i] };
		assert_false(lt_pdf_create(&canvas, stdout, fonts, &options, &diags));
		assert_int_equal(diags.errors, i + 1);
		assert_null(canvas.data);
	}
	lt_diags_finish(&diags);
}

static void same_calls_give_same_bytes(void **state)
{
	(void)state;
	static const char *const lines[] = { "a \u0416", "b \u03A9", "c", "d", NULL };
	make_pdf("twice", 5, draw_lines, (void *)lines);
	assert_says("mv out.pdf first.pdf", "");
	make_pdf("twice", 5, draw_lines, (void *)lines);
	assert_says("cmp first.pdf out.pdf", "");
}

/* Only what is drawn of a font is kept: the four files have 2.8 MB. */
static void fonts_have_only_the_used_characters(void **state)
{
	(void)state;
	static const char *const lines[] = { "a", "b", "c", "d", NULL };
	make_pdf("size", 0, draw_lines, (void *)lines);
	struct lt_text said = run("wc -c <out.pdf");
	assert_in_range(strtoul(lt_text_string(&said), NULL, 10), 10000, 300000);
	lt_text_finish(&said);
	static const char *const one[] = { "a", NULL };
	make_pdf("size", 0, draw_lines, (void *)one);
	assert_says("pdffonts out.pdf | tail -n +3 | wc -l", "1\n");
}

static void draw_many_pages(struct lt_canvas *canvas, void *data)
{
	unsigned pages = *(unsigned *)data;
	for (unsigned i = 1; i <= pages; i++) {
		char text[32];
		snprintf(text, sizeof(text), "page %u", i);
		canvas->begin_page(canvas->data, 54 + i % 100, 25);
		canvas->text(canvas->data, 2, 10, LT_TYPEFACE_REGULAR, 4, LT_BLACK, text);
		end_page(canvas);
	}
}

static void pages_have_their_own_sizes(void **state)
{
	(void)state;
	unsigned pages = 60;
	make_pdf("pages", 0, draw_many_pages, &pages);
	assert_clean();
	assert_mentions("pdfinfo out.pdf", "Pages:           60\n");
	assert_mentions("pdftotext -f 60 -l 60 -raw out.pdf -", "page 60\n");
	/* 114 mm is 323.15 points. */
	assert_mentions("pdfinfo -f 60 -l 60 out.pdf", "323.15 x 70.86");
}

/* An array of libharu holds 32,767 elements (hpdf_consts.h), and so many pages are no more than the
 * labels of a large harness. */
static void many_pages(void **state)
{
	(void)state;
	unsigned pages = 33000;
	make_pdf("pages", 0, draw_many_pages, &pages);
	assert_mentions("qpdf --check out.pdf", "No syntax or stream encoding errors found");
	assert_mentions("pdfinfo out.pdf", "Pages:           33000\n");
	assert_mentions("pdftotext -f 1 -l 1 -raw out.pdf -", "page 1\n");
	assert_mentions("pdftotext -f 20000 -l 20000 -raw out.pdf -", "page 20000\n");
	assert_mentions("pdftotext -f 33000 -l 33000 -raw out.pdf -", "page 33000\n");
}

static void draw_empty(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 54, 25);
	end_page(canvas);
}

static void a_page_may_be_empty(void **state)
{
	(void)state;
	make_pdf("empty", 0, draw_empty, NULL);
	assert_clean();
	assert_mentions("pdfinfo out.pdf", "Pages:           1\n");
}

/* Each page's content is deflated: a thousand lines alike take little. */
static void draw_repeated(struct lt_canvas *canvas, void *data)
{
	(void)data;
	canvas->begin_page(canvas->data, 100, 100);
	for (unsigned i = 0; i < 1000; i++)
		canvas->line(canvas->data, 1, 1, 90, 90, 1, LT_BLACK);
	end_page(canvas);
}

static void pages_are_compressed(void **state)
{
	(void)state;
	make_pdf("packed", 0, draw_repeated, NULL);
	assert_clean();
	struct lt_text said = run("wc -c <out.pdf");
	assert_in_range(strtoul(lt_text_string(&said), NULL, 10), 500, 3000);
	lt_text_finish(&said);
	assert_says("qpdf --qdf out.pdf - | grep -a -c 'l S$'", "1000\n");
}

static void reports_what_is_wrong(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	struct lt_pdf_options options = { .title = "t" };
	FILE *file = tmpfile();
	assert_non_null(file);
	struct lt_canvas canvas;

	/* No page. */
	assert_true(lt_pdf_create(&canvas, file, fonts, &options, &diags));
	assert_false(canvas.finish(canvas.data, &diags));
	assert_non_null(strstr(diags.items[0].message, "no page"));
	lt_canvas_destroy(&canvas);

	/* Sides that are none. Drawing on such a page does nothing. */
	static const double sides[][2] = { { 0, 10 }, { 10, 6000 }, { (double)NAN, 10 },
		{ -5, 10 } };
	for (size_t i = 0; i < 4; i++) {
		assert_true(lt_pdf_create(&canvas, file, fonts, &options, &diags));
		canvas.begin_page(canvas.data, sides[i][0], sides[i][1]);
		canvas.text(canvas.data, 1, 1, LT_TYPEFACE_BOLD, 1, LT_BLACK, "x");
		canvas.rectangle(canvas.data, 1, 1, 1, 1, LT_BLACK);
		assert_false(canvas.end_page(canvas.data, &diags));
		assert_non_null(strstr(diags.items[diags.count - 1].message, "cannot be "));
		assert_false(canvas.finish(canvas.data, &diags));
		lt_canvas_destroy(&canvas);
	}
	fclose(file);

	/* A full disk. */
	FILE *full = fopen("/dev/full", "wb");
	assert_non_null(full);
	assert_true(lt_pdf_create(&canvas, full, fonts, &options, &diags));
	canvas.begin_page(canvas.data, 100, 100);
	canvas.text(canvas.data, 10, 10, LT_TYPEFACE_BOLD, 4, LT_BLACK, "x");
	assert_true(canvas.end_page(canvas.data, &diags));
	assert_false(canvas.finish(canvas.data, &diags));
	assert_string_equal(diags.items[diags.count - 1].message,
		"the PDF cannot be written: No space left on device");
	lt_canvas_destroy(&canvas);
	fclose(full);
	lt_diags_finish(&diags);
}

/* Numbers that no page has are kept out of the document. */
static void draw_nonsense(struct lt_canvas *canvas, void *data)
{
	(void)data;
	static const double strange[] = { 1e300, -1e300, (double)NAN, (double)INFINITY, 1e-9, 0 };
	canvas->begin_page(canvas->data, 100, 100);
	for (size_t i = 0; i < 6; i++) {
		double at = strange[i];
		canvas->text(canvas->data, at, at, LT_TYPEFACE_BOLD, at, LT_BLACK, "x");
		canvas->text(canvas->data, at, 5, LT_TYPEFACE_BOLD, 4, LT_GREY(at), "x");
		canvas->rectangle(canvas->data, at, 1, 1, at, LT_BLACK);
		canvas->line(canvas->data, 1, at, 1, 1, at, LT_BLACK);
		canvas->frame(canvas->data, 1, at, 1, at, at, LT_BLACK);
		const struct lt_pen pen = { at, LT_GREY(at), at };
		const struct lt_point points[] = { { at, 1 }, { 1, at }, { at, at } };
		canvas->polyline(canvas->data, points, 3, &pen);
		canvas->polygon(canvas->data, points, 3, &pen, &LT_BLACK);
		canvas->circle(canvas->data, 1, 1, at, &pen, &LT_BLACK);
		canvas->circle(canvas->data, at, 1, 1, &pen, &LT_BLACK);
		const struct lt_image image = { 1, 1, (unsigned char[]){ 1, 2, 3 } };
		canvas->image(canvas->data, 1, at, at, 1, &image);
		canvas->image(canvas->data, at, 1, 1, at, &image);
		unsigned char cell = 1;
		struct lt_qr qr = { 1, &cell };
		canvas->qr(canvas->data, at, 1, at, &qr);
	}
	end_page(canvas);
}

static void invalid_calls_do_no_harm(void **state)
{
	(void)state;
	make_pdf("nonsense", 0, draw_nonsense, NULL);
	assert_clean();
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(text_reads_back_in_every_script),
		cmocka_unit_test(text_reads_back_beyond_one_encoding),
		cmocka_unit_test(text_shows_replacements),
		cmocka_unit_test(every_character_has_ink),
		cmocka_unit_test(words_are_as_wide_as_measured),
		cmocka_unit_test(symbols_have_their_modules),
		cmocka_unit_test(the_largest_symbol_has_its_modules),
		cmocka_unit_test(symbols_lie_on_the_dots_of_the_head),
		cmocka_unit_test(shapes_are_where_they_were_drawn),
		cmocka_unit_test(outlines_are_where_they_were_drawn),
		cmocka_unit_test(images_are_where_they_were_drawn_and_kept_once),
		cmocka_unit_test(information_reads_back),
		cmocka_unit_test(refuses_an_impossible_date),
		cmocka_unit_test(same_calls_give_same_bytes),
		cmocka_unit_test(fonts_have_only_the_used_characters),
		cmocka_unit_test(pages_have_their_own_sizes),
		cmocka_unit_test(many_pages),
		cmocka_unit_test(a_page_may_be_empty),
		cmocka_unit_test(pages_are_turned),
		cmocka_unit_test(pages_are_compressed),
		cmocka_unit_test(reports_what_is_wrong),
		cmocka_unit_test(invalid_calls_do_no_harm),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
