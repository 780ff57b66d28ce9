/* The terminal canvas: its lines read back into dots and characters. */
#include "unit/unit.h"

#include <ft2build.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include FT_FREETYPE_H

#include "draw/fonts.h"
#include "loomtag/sheet.h"
#include "unit/fixture.h"

static struct lt_fonts *fonts;

static int set_up(void **state)
{
	(void)state;
	struct lt_diags diags;
	lt_diags_init(&diags);
	fonts = lt_fonts_create(&diags);
	lt_diags_print(&diags, 0, stderr, false);
	lt_diags_finish(&diags);
	return fonts == NULL;
}

static int tear_down(void **state)
{
	(void)state;
	lt_fonts_destroy(fonts);
	return 0;
}

typedef void draw_fn(struct lt_canvas *canvas, void *data);

/* What the canvas writes; the caller frees. */
static char *show(const struct lt_preview_options *options, draw_fn *draw, void *data)
{
	struct lt_diags diags;
	lt_diags_init(&diags);
	char *bytes = NULL;
	size_t length = 0;
	FILE *stream = open_memstream(&bytes, &length);
	struct lt_canvas canvas;
	assert_true(lt_preview_create(&canvas, stream, fonts, options, &diags));
	draw(&canvas, data);
	assert_true(canvas.finish(canvas.data, &diags));
	lt_diags_print(&diags, 0, stderr, false);
	assert_int_equal(diags.count, 0);
	lt_canvas_destroy(&canvas);
	fclose(stream);
	lt_diags_finish(&diags);
	assert_int_equal(lt_utf8_check(bytes, length), length);
	assert_int_equal(strlen(bytes), length);
	return bytes;
}

/* The first page as it came out. */
struct screen {
	uint32_t cells[2100][LT_PREVIEW_COLUMNS_MOST];
	int width, rows; /* without the frame */
};

static struct screen *screen;

/* Reads the lines between the frame, and checks that the frame is whole. */
static void read_screen(const char *text)
{
	free(screen);
	screen = lt_alloc_array(1, sizeof(*screen));
	const char *at = text;
	assert_int_equal(lt_utf8_next(&at), 0x250C);
	uint32_t code;
	while ((code = lt_utf8_next(&at)) == 0x2500)
		screen->width++;
	assert_int_equal(code, 0x2510);
	assert_int_equal(lt_utf8_next(&at), '\n');
	while (lt_utf8_next(&at) == 0x2502) {
		for (int x = 0; x < screen->width; x++)
			screen->cells[screen->rows][x] = lt_utf8_next(&at);
		assert_int_equal(lt_utf8_next(&at), 0x2502);
		assert_int_equal(lt_utf8_next(&at), '\n');
		screen->rows++;
	}
	for (int x = 0; x < screen->width; x++)
		assert_int_equal(lt_utf8_next(&at), 0x2500);
	assert_int_equal(lt_utf8_next(&at), 0x2518);
}

static bool dot(int x, int y)
{
	if (x < 0 || y < 0 || x >= screen->width || y >= 2 * screen->rows)
		return false;
	uint32_t code = screen->cells[y / 2][x];
	return code == 0x2588 || code == (y % 2 == 0 ? 0x2580 : 0x2584);
}

/* Where a text stands: its row and column, or false. */
static bool find(int *row, int *column, const char *text)
{
	for (*row = 0; *row < screen->rows; ++*row) {
		for (*column = 0; *column < screen->width; ++*column) {
			const char *at = text;
			int x = *column;
			uint32_t code;
			while ((code = lt_utf8_next(&at)) != 0 && x < screen->width &&
				screen->cells[*row][x] == code)
				x++;
			if (code == 0)
				return true;
		}
	}
	return false;
}

static void assert_narrow(const char *text, size_t columns)
{
	while (*text != '\0') {
		const char *end = strchr(text, '\n');
		assert_non_null(end);
		char *line = strndup(text, (size_t)(end - text));
		if (lt_utf8_columns(line) > columns)
			fail_msg("wider than %zu columns: %s", columns, line);
		free(line);
		text = end + 1;
	}
}

struct symbol {
	struct lt_arena arena;
	struct lt_qr qr;
	double x, y, module, width, height;
};

static void symbol_init(struct symbol *symbol, const char *text)
{
	struct lt_diags diags = { 0 };
	struct lt_qr_plan plan;
	assert_true(lt_qr_plan(&plan, text, LT_QR_L));
	assert_true(lt_qr_encode(&symbol->qr, &symbol->arena, text, &plan, &diags));
	lt_diags_finish(&diags);
}

static void draw_symbol(struct lt_canvas *canvas, void *data)
{
	struct symbol *symbol = data;
	canvas->begin_page(canvas->data, symbol->width, symbol->height);
	canvas->qr(canvas->data, symbol->x, symbol->y, symbol->module, &symbol->qr);
	assert_true(canvas->end_page(canvas->data, NULL));
}

/* Finds the symbol by its first dot, and compares each module and the quiet zone around it: at
 * least 3 modules here, where ISO/IEC 18004 has 4 and a dot may be lost to rounding. */
static void assert_symbol(const struct lt_qr *qr, int dots)
{
	int left = -1;
	int top = -1;
	for (int y = 0; y < 2 * screen->rows && top < 0; y++) {
		for (int x = 0; x < screen->width && top < 0; x++) {
			if (dot(x, y)) {
				left = x;
				top = y;
			}
		}
	}
	assert_true(top >= 0);
	int side = (int)qr->modules * dots;
	for (int y = -3 * dots; y < side + 3 * dots; y++) {
		for (int x = -3 * dots; x < side + 3 * dots; x++) {
			bool inside = x >= 0 && y >= 0 && x < side && y < side;
			bool dark = inside &&
				    lt_qr_dark(qr, (unsigned)(x / dots), (unsigned)(y / dots));
			if (dot(left + x, top + y) != dark)
				fail_msg("module %d,%d differs", x / dots, y / dots);
		}
	}
}

static void a_symbol_comes_out_module_by_module(void **state)
{
	(void)state;
	static const struct {
		unsigned columns;
		double x, y, module, width, height;
		int dots;
	} cases[] = {
		{ 80, 2, 2, 0.5, 25, 25, 1 },       /* 50 dots across */
		{ 120, 30, 4, 0.5, 54, 25, 1 },     /* 108 dots */
		{ 80, 30.3, 4.2, 0.5, 54, 25, 1 },  /* not all at 2 dots a mm */
		{ 60, 2.1, 3.1, 0.375, 54, 25, 1 }, /* likewise */
		{ 90, 6, 6, 1, 40, 40, 2 },         /* room for two dots a module */
		{ 500, 10, 10, 0.34, 210, 297, 1 }, /* 618 dots would be even */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct symbol symbol = { .x = cases[i].x,
			.y = cases[i].y,
			.module = cases[i].module,
			.width = cases[i].width,
			.height = cases[i].height };
		symbol_init(&symbol, "12HRV3U0042X");
		struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
		options.columns = cases[i].columns;
		char *text = show(&options, draw_symbol, &symbol);
		assert_narrow(text, options.columns);
		read_screen(text);
		assert_symbol(&symbol.qr, cases[i].dots);
		assert_null(strstr(text, "too small"));
		free(text);
		lt_arena_finish(&symbol.arena);
	}
}

/* Never a symbol that looks like one and is not; and what is said to do does. */
static void a_symbol_without_room_is_grey_and_reported(void **state)
{
	(void)state;
	static const double scales[] = { 0, 8 };
	for (size_t i = 0; i < sizeof(scales) / sizeof(scales[0]); i++) {
		struct symbol symbol = {
			.x = 20, .y = 9, .module = 0.3, .width = 60, .height = 40
		};
		symbol_init(&symbol, "12HRV3J");
		struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
		options.columns = 20;
		options.scale = scales[i];
		char *text = show(&options, draw_symbol, &symbol);
		assert_narrow(text, options.columns);
		read_screen(text);
		for (int y = 0; y < 2 * screen->rows; y++) {
			for (int x = 0; x < screen->width; x++)
				assert_false(dot(x, y));
		}
		assert_non_null(strstr(text, "\xE2\x96\x92"));
		for (char *at = text; (at = strchr(at, '\n')) != NULL;)
			*at = ' ';
		assert_non_null(strstr(text, lt_preview_words.symbols_too_fine));
		const char *columns = strstr(text, "terminal of ");
		assert_non_null(columns);
		options.columns = (unsigned)strtoul(columns + strlen("terminal of "), NULL, 10);
		assert_true(options.columns > 20);
		free(text);
		text = show(&options, draw_symbol, &symbol);
		assert_null(strstr(text, "too small"));
		read_screen(text);
		assert_symbol(&symbol.qr, 1);
		free(text);
		lt_arena_finish(&symbol.arena);
	}
}

struct text_case {
	double width, height;
	size_t count;
	struct {
		double x, baseline, size;
		const char *text;
	} texts[8];
};

static void draw_texts(struct lt_canvas *canvas, void *data)
{
	const struct text_case *texts = data;
	canvas->begin_page(canvas->data, texts->width, texts->height);
	for (size_t i = 0; i < texts->count; i++)
		canvas->text(canvas->data, texts->texts[i].x, texts->texts[i].baseline,
			LT_TYPEFACE_BOLD, texts->texts[i].size, LT_BLACK, texts->texts[i].text);
	assert_true(canvas->end_page(canvas->data, NULL));
}

/* The letter's own 1-bit picture, made here anew, is on the page dot by dot. */
static void a_large_tag_is_drawn_with_the_font(void **state)
{
	(void)state;
	/* 80 columns and 39 mm: 2 dots a mm. */
	struct text_case tag = { 39, 20, 1, { { 4, 15, 12, "6H" } } };
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	char *text = show(&options, draw_texts, &tag);
	read_screen(text);
	assert_int_equal(screen->width, 78);
	assert_int_equal(screen->rows, 20);
	FT_Face face = lt_font_face(fonts, LT_TYPEFACE_BOLD);
	assert_int_equal(FT_Set_Char_Size(face, 0, 24 * 64, 72, 72), 0);
	assert_int_equal(FT_Load_Char(face, '6', FT_LOAD_RENDER | FT_LOAD_TARGET_MONO), 0);
	const FT_Bitmap *bitmap = &face->glyph->bitmap;
	assert_true(bitmap->rows >= 17);
	int left = 8 + face->glyph->bitmap_left;
	int top = 30 - face->glyph->bitmap_top;
	size_t black = 0;
	for (int y = 0; y < (int)bitmap->rows; y++) {
		for (int x = 0; x < (int)bitmap->width; x++) {
			bool dark =
				(bitmap->buffer[y * bitmap->pitch + x / 8] & 0x80 >> x % 8) != 0;
			black += dark;
			assert_int_equal(dot(left + x, top + y), dark);
		}
	}
	assert_true(black > 60);
	int row;
	int column;
	assert_false(find(&row, &column, "6H"));
	free(text);
}

static void small_texts_are_characters_in_their_row(void **state)
{
	(void)state;
	/* 2 dots a mm, so a row a mm. */
	struct text_case texts = { 39, 20, 5,
		{
			{ 2, 15, 2, "last line" },
			{ 2, 5.2, 2, "first line" },
			{ 20, 5.2, 2, "beside it" },
			{ 2, 8.2, 2, "f\xC3\xBCr 2 \xE2\x86\x92 M1" },
			{ 33, 10.2, 2, "cut at the page's edge" },
		} };
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	char *text = show(&options, draw_texts, &texts);
	assert_narrow(text, 80);
	read_screen(text);
	static const struct {
		const char *text;
		int row, column;
	} wanted[] = {
		{ "first line", 4, 4 },
		{ "beside it", 4, 40 },
		{ "f\xC3\xBCr 2 \xE2\x86\x92 M1", 7, 4 },
		{ "cut at the page\xE2\x80\xA6", 9, 64 },
		{ "last line", 14, 4 },
	};
	for (size_t i = 0; i < sizeof(wanted) / sizeof(wanted[0]); i++) {
		int row = 0;
		int column = 0;
		if (!find(&row, &column, wanted[i].text))
			fail_msg("\"%s\" is missing from\n%s", wanted[i].text, text);
		assert_int_equal(row, wanted[i].row);
		/* What runs over the edge may be moved to the left to be whole. */
		assert_in_range(column, wanted[i].column - 4, wanted[i].column);
	}
	free(text);
}

/* Texts that are wider in characters than on paper do not run into each other, and keep their
 * order from the top. */
static void crowded_texts_do_not_meet(void **state)
{
	(void)state;
	struct text_case texts = { 70, 30, 8,
		{
			{ 2, 4, 1.2, "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA" },
			{ 41, 4, 1.2, "BBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBBB" },
			{ 2, 5.4, 1.2, "CCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCC" },
			{ 41, 5.4, 1.2, "DDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDDD" },
			{ 2, 6.2, 1.2, "EEEE" },
			{ 20, 6.2, 1.2, "FFFF" },
			{ 2, 6.2, 1.2, "GGGG" },
			{ 69, 28, 1.2, "HHHH" },
		} };
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	options.columns = 40;
	char *text = show(&options, draw_texts, &texts);
	assert_narrow(text, 40);
	read_screen(text);
	/* Each letter in one run in one row, no two runs touching. */
	int rows[8] = { -1, -1, -1, -1, -1, -1, -1, -1 };
	for (int y = 0; y < screen->rows; y++) {
		for (int x = 0; x < screen->width; x++) {
			uint32_t code = screen->cells[y][x];
			uint32_t before = x > 0 ? screen->cells[y][x - 1] : ' ';
			if (code < 'A' || code > 'H')
				continue;
			assert_true(before == code || before == ' ');
			if (before == ' ') {
				assert_int_equal(rows[code - 'A'], -1);
				rows[code - 'A'] = y;
			}
		}
	}
	for (int i = 0; i < 8; i++)
		assert_true(rows[i] >= 0);
	assert_int_equal(rows[0], rows[1]);
	assert_true(rows[2] > rows[0] && rows[3] > rows[1]);
	assert_true(rows[4] > rows[2] && rows[6] > rows[4]);
	free(text);
}

/* Two cells for a wide sign, also where it is cut: the frame stays straight. */
static void wide_signs_keep_the_frame_straight(void **state)
{
	(void)state;
#define FLASH "\xE2\x9A\xA1"
	struct text_case texts = { 39, 20, 3,
		{
			{ 2, 4, 2, FLASH " 230 V" },
			{ 32, 8, 2, FLASH FLASH FLASH FLASH FLASH FLASH FLASH FLASH FLASH FLASH },
			{ 32.5, 12, 2, FLASH FLASH FLASH FLASH FLASH FLASH FLASH FLASH FLASH },
		} };
	for (int ascii = 0; ascii < 2; ascii++) {
		struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
		options.ascii = ascii == 1;
		char *text = show(&options, draw_texts, &texts);
		assert_non_null(strstr(text, ascii == 1 ? "?  230 V " : FLASH " 230 V "));
		for (char *at = text, *end; *at != '\0'; at = end + 1) {
			end = strchr(at, '\n');
			*end = '\0';
			assert_int_equal(lt_utf8_columns(at), 80);
		}
		free(text);
	}
#undef FLASH
}

static void no_control_sequence_comes_from_a_text(void **state)
{
	(void)state;
	struct text_case texts = { 39, 20, 4,
		{
			{ 2, 4, 2, "a\033[31mb\tc\nd\177e\302\233f" },
			{ 2, 8, 2, "bad \xC0\xAF \xFF utf" },
			{ 2, 12, 2, "turn\xE2\x80\xAEing" },
			{ 2, 16, 2, "e\xCC\x81\xCC\x81\xCC\x81\xCC\x81\xCC\x81\xCC\x81t" },
		} };
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	char *text = show(&options, draw_texts, &texts);
	assert_narrow(text, 80);
	for (const char *at = text; *at != '\0';) {
		uint32_t code = lt_utf8_next(&at);
		assert_true(code == '\n' || (code >= 0x20 && code != 0x7F && code != 0x9B));
		assert_int_not_equal(code, 0x202E);
	}
#define R "\xEF\xBF\xBD"
	assert_non_null(strstr(text, "a" R "[31mb" R "c" R "d" R "e" R "f"));
	assert_non_null(strstr(text, "bad " R R " " R " utf"));
	assert_non_null(strstr(text, "turn" R "ing"));
	/* As many marks as are of use. */
	assert_non_null(strstr(text, "e\xCC\x81\xCC\x81\xCC\x81\xCC\x81t"));
#undef R
	free(text);
}

static void draw_all(struct lt_canvas *canvas, void *data)
{
	struct symbol *symbol = data;
	canvas->begin_page(canvas->data, 25, 25);
	canvas->rectangle(canvas->data, 0, 22, 25, 3, LT_BLACK);
	canvas->text(canvas->data, 2, 24, LT_TYPEFACE_BOLD, 2, LT_WHITE, "NEW PART");
	canvas->text(canvas->data, 2, 20, LT_TYPEFACE_BOLD, 2, LT_BLACK, "\xE2\x86\x92 pump");
	canvas->frame(canvas->data, 0, 0, 25, 25, 0.1, LT_BLACK);
	canvas->line(canvas->data, 0, 18.25, 25, 18.25, 0.1, LT_BLACK);
	canvas->line(canvas->data, 20, 2, 24, 6, 0.1, LT_BLACK);
	canvas->qr(canvas->data, 3, 3, 0.5, &symbol->qr);
	assert_true(canvas->end_page(canvas->data, NULL));
}

/* Dark on light whatever the terminal: by colour, by filling what is paper, or as it is. */
static void colour_and_inverse_show_the_same(void **state)
{
	(void)state;
	struct symbol symbol = { 0 };
	symbol_init(&symbol, "12HRV3J");
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	char *plain = show(&options, draw_all, &symbol);
	assert_null(strchr(plain, '\033'));
	read_screen(plain);
	int width = screen->width;
	int rows = screen->rows;
	bool *dots = lt_alloc_array(2 * (size_t)rows * (size_t)width, sizeof(bool));
	for (int i = 0; i < 2 * rows * width; i++)
		dots[i] = dot(i % width, i / width);
	/* The frame is there on all four sides, and the line. */
	assert_int_equal(width, 50);
	for (int i = 0; i < width; i++) {
		assert_true(dots[i]);
		assert_true(dots[i * width]);
		assert_true(dots[i * width + width - 1]);
	}
	assert_true(dots[36 * width + 20] || dots[37 * width + 20]);

	options.inverse = true;
	char *inverse = show(&options, draw_all, &symbol);
	assert_null(strchr(inverse, '\033'));
	read_screen(inverse);
	/* Every dot is turned, but not the blanks within the two texts: two dots each. */
	int same = 0;
	for (int i = 0; i < 2 * rows * width; i++) {
		uint32_t code = screen->cells[i / width / 2][i % width];
		bool is_dots = code == ' ' || (code >= 0x2580 && code <= 0x2588);
		same += is_dots && dot(i % width, i / width) == dots[i];
	}
	assert_int_equal(same, 4);

	options.colour = true; /* which makes inverse needless */
	char *colour = show(&options, draw_all, &symbol);
	/* Without its sequences it is what it was in plain. */
	char *bare = lt_alloc(strlen(colour) + 1);
	size_t length = 0;
	size_t on = 0;
	size_t off = 0;
	size_t reversed = 0;
	for (const char *at = colour; *at != '\0';) {
		if (*at == '\033') {
			on += strncmp(at, "\033[38;5;16;48;5;231m", 19) == 0;
			reversed += strncmp(at, "\033[38;5;231;48;5;16m", 19) == 0;
			off += strncmp(at, "\033[0m", 4) == 0;
			at = strchr(at, 'm') + 1;
		} else {
			bare[length++] = *at++;
		}
	}
	bare[length] = '\0';
	assert_string_equal(bare, plain);
	assert_int_equal(off, rows);
	assert_int_equal(reversed, 1);
	assert_int_equal(on, rows + 1);
	free(bare);

	options = LT_PREVIEW_OPTIONS_INIT;
	options.ascii = true;
	char *ascii = show(&options, draw_all, &symbol);
	for (const char *at = ascii; *at != '\0'; at++)
		assert_true(*at == '\n' || (*at >= ' ' && *at <= '~'));
	assert_non_null(strstr(ascii, "> pump"));
	free(dots);
	free(plain);
	free(inverse);
	free(colour);
	free(ascii);
	lt_arena_finish(&symbol.arena);
}

static const char description[] =
	"harness: DS4\n"
	"unit: \"0042\"\n"
	"components:\n"
	"  - {id: M1, name: shutter motor, place: left}\n"
	"  - {id: B1, name: rain sensor, place: ridge}\n"
	"connectors:\n"
	"  - {id: X1, name: motor power, mates: M1, family: F, ways: 3, wires: {1: BN, 2: BU, 3: GNYE}}\n"
	"  - {id: X2, name: rain sensor of a long name, mates: B1, family: F, ways: 3}\n";

struct sheet_case {
	struct fixture fixture;
	struct lt_layout layout;
};

static void draw_sheet(struct lt_canvas *canvas, void *data)
{
	struct sheet_case *sheet_case = data;
	struct fixture *fixture = &sheet_case->fixture;
	const struct lt_measure measure = lt_fonts_measure(fonts);
	struct lt_sheet_options options = LT_SHEET_OPTIONS_INIT;
	struct lt_sheet sheet;
	assert_true(lt_sheet_plan(&sheet, &sheet_case->layout, &fixture->tags, &fixture->reg,
		&options, &fixture->diags));
	const struct lt_sticker_source source = { &fixture->tags, fixture->lookalikes, &measure };
	assert_true(lt_sheet_draw(&sheet, canvas, &source, &options, NULL, &fixture->diags));
	lt_sheet_finish(&sheet);
}

/* Stickers on any terminal: never too wide, and always the tags. */
static void stickers_show_on_any_terminal(void **state)
{
	(void)state;
	static const char *const layouts[] = { "roll-54x25", "roll-25x13", "a4-3x8", "a4-5x13" };
	static const unsigned columns[] = { 10, 24, 41, 80, 133, 500, 100000 };
	for (size_t i = 0; i < sizeof(layouts) / sizeof(layouts[0]); i++) {
		struct sheet_case sheet_case;
		fixture_init(&sheet_case.fixture, description, NULL);
		fixture_layout(&sheet_case.layout, layouts[i]);
		for (size_t j = 0; j < sizeof(columns) / sizeof(columns[0]); j++) {
			struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
			options.columns = columns[j];
			char *text = show(&options, draw_sheet, &sheet_case);
			assert_narrow(text, columns[j]);
			assert_true(strlen(text) > 100);
			free(text);
		}
		struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
		options.scale = 0.3; /* nothing but characters */
		char *text = show(&options, draw_sheet, &sheet_case);
		static const char *const tags[] = { "1H", "1M", "2H", "2M" };
		for (size_t tag = 0; tag < 4; tag++)
			assert_non_null(strstr(text, tags[tag]));
		free(text);
		lt_layout_finish(&sheet_case.layout);
		fixture_finish(&sheet_case.fixture);
	}
}

static void draw_outlines(struct lt_canvas *canvas, void *data)
{
	(void)data;
	const struct lt_pen pen = { .line = 0.1, .ink = LT_BLACK };
	const struct lt_point square[] = { { 2, 2 }, { 12, 2 }, { 12, 12 }, { 2, 12 } };
	const struct lt_point bend[] = { { 22, 2 }, { 32, 12 }, { 32, 18 } };
	canvas->begin_page(canvas->data, 40, 40);
	canvas->polygon(canvas->data, square, 4, &pen, NULL);
	canvas->polyline(canvas->data, bend, 3, &pen);
	canvas->circle(canvas->data, 12, 30, 8, NULL, &LT_BLACK);
	const struct lt_image image = { 1, 1, (unsigned char[]){ 1, 2, 3 } };
	canvas->image(canvas->data, 24, 24, 10, 12, &image);
	assert_true(canvas->end_page(canvas->data, NULL));
}

static void shapes_show_by_their_edges(void **state)
{
	(void)state;
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	options.scale = 1;
	char *text = show(&options, draw_outlines, NULL);
	read_screen(text);
	assert_int_equal(screen->width, 40);
	for (int i = 2; i < 12; i++) {
		assert_true(dot(i, 1) || dot(i, 2));
		assert_true(dot(i, 11) || dot(i, 12));
		assert_true(dot(1, i) || dot(2, i));
		assert_true(dot(11, i) || dot(12, i));
	}
	for (int i = 4; i < 10; i++)
		assert_false(dot(i, i));
	for (int i = 0; i < 10; i++)
		assert_true(dot(22 + i, 2 + i));
	for (int i = 13; i < 18; i++)
		assert_true(dot(31, i) || dot(32, i));
	assert_true(dot(20, 30) || dot(19, 30));
	assert_true(dot(4, 30) || dot(3, 30));
	assert_true(dot(12, 22) || dot(12, 21));
	assert_false(dot(12, 30));
	for (int i = 0; i < 10; i++) {
		assert_true(dot(24 + i, 23) || dot(24 + i, 24));
		assert_true(dot(33, 25 + i) || dot(34, 25 + i));
		assert_false(dot(27, 26 + i % 8));
	}
	free(text);
}

/* What no document would ask for. */
static void draw_wild(struct lt_canvas *canvas, void *data)
{
	const double *size = data;
	struct lt_qr qr = { 1, (unsigned char[]){ 1 } };
	canvas->begin_page(canvas->data, size[0], size[1]);
	canvas->text(canvas->data, -1e12, 1e12, LT_TYPEFACE_BOLD, 3, LT_BLACK, "far");
	canvas->text(canvas->data, 1, 1, LT_TYPEFACE_BOLD, 1e9, LT_BLACK, "vast");
	canvas->text(canvas->data, 1, 1, LT_TYPEFACE_BOLD, 0, LT_BLACK, "nothing");
	canvas->text(canvas->data, NAN, NAN, LT_TYPEFACE_BOLD, NAN, LT_BLACK, "not a number");
	canvas->text(canvas->data, 1, 1, LT_TYPEFACE_BOLD, 1, LT_BLACK, "");
	canvas->rectangle(canvas->data, -1e300, -1e300, 1e305, 1e305, LT_BLACK);
	canvas->rectangle(canvas->data, 5, 5, -3, NAN, LT_WHITE);
	canvas->frame(canvas->data, -5, 3, 1e9, -2, 1e9, LT_WHITE);
	canvas->line(canvas->data, -1e300, -1e300, 1e300, 1e300, 0, LT_BLACK);
	canvas->line(canvas->data, 0, 0, NAN, INFINITY, INFINITY, LT_BLACK);
	const struct lt_pen pen = { INFINITY, LT_BLACK, NAN };
	const struct lt_point points[] = { { 1e300, NAN }, { -1e300, 5 }, { INFINITY, 1 } };
	canvas->polyline(canvas->data, points, 3, &pen);
	canvas->polygon(canvas->data, points, 3, NULL, &LT_BLACK);
	canvas->circle(canvas->data, 1, NAN, 1e300, &pen, NULL);
	canvas->circle(canvas->data, 1, 1, NAN, &pen, NULL);
	canvas->qr(canvas->data, 1e12, -1e12, 1e-9, &qr);
	canvas->qr(canvas->data, 1, 1, NAN, &qr);
	canvas->qr(canvas->data, 1, 1, -4, &qr);
	assert_true(canvas->end_page(canvas->data, NULL));
}

static void invalid_calls_do_no_harm(void **state)
{
	(void)state;
	static double sizes[][2] = { { 20, 20 }, { 0.01, 9e5 }, { 9e5, 0.01 }, { 9e5, 9e5 } };
	for (size_t i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++) {
		struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
		char *text = show(&options, draw_wild, sizes[i]);
		assert_narrow(text, 80);
		free(text);
	}
}

static void pages_that_cannot_be_shown_are_errors(void **state)
{
	(void)state;
	struct lt_diags diags = { 0 };
	struct lt_canvas canvas;
	struct lt_preview_options options = LT_PREVIEW_OPTIONS_INIT;
	options.columns = LT_PREVIEW_COLUMNS_LEAST - 1;
	assert_false(lt_preview_create(&canvas, stdout, fonts, &options, &diags));
	assert_int_equal(diags.errors, 1);
	lt_canvas_destroy(&canvas);

	options.columns = 80;
	static const double sizes[][2] = { { 0, 5 }, { 5, -1 }, { NAN, 5 }, { 5, INFINITY } };
	FILE *full = fopen("/dev/full", "w");
	assert_non_null(full);
	assert_true(lt_preview_create(&canvas, full, fonts, &options, &diags));
	for (size_t i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++) {
		canvas.begin_page(canvas.data, sizes[i][0], sizes[i][1]);
		assert_false(canvas.end_page(canvas.data, &diags));
		assert_int_equal(diags.errors, i + 2);
	}
	canvas.begin_page(canvas.data, 20, 20);
	assert_false(canvas.end_page(canvas.data, &diags));
	assert_non_null(strstr(diags.items[diags.count - 1].message, "cannot be written"));
	lt_canvas_destroy(&canvas);
	fclose(full);
	lt_diags_finish(&diags);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_symbol_comes_out_module_by_module),
		cmocka_unit_test(a_symbol_without_room_is_grey_and_reported),
		cmocka_unit_test(a_large_tag_is_drawn_with_the_font),
		cmocka_unit_test(small_texts_are_characters_in_their_row),
		cmocka_unit_test(crowded_texts_do_not_meet),
		cmocka_unit_test(wide_signs_keep_the_frame_straight),
		cmocka_unit_test(no_control_sequence_comes_from_a_text),
		cmocka_unit_test(colour_and_inverse_show_the_same),
		cmocka_unit_test(stickers_show_on_any_terminal),
		cmocka_unit_test(shapes_show_by_their_edges),
		cmocka_unit_test(invalid_calls_do_no_harm),
		cmocka_unit_test(pages_that_cannot_be_shown_are_errors),
	};
	int failed = cmocka_run_group_tests_name("blocks", tests, set_up, tear_down);
	free(screen);
	return failed;
}
