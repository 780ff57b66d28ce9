/* The canvas for a terminal. A page's calls are kept, then laid out in dots and characters, then
 * written line by line. */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/canvas.h"
#include "draw/preview.h"

struct preview {
	FILE *stream;
	struct lt_fonts *fonts;
	struct lt_glyphs glyphs;
	struct lt_preview_options options;
	struct lt_marks marks;
	size_t symbols_left_out, texts_left_out; /* of the pages so far */
	unsigned columns_wanted;
};

static void drop_page(struct preview *preview)
{
	lt_arena_finish(&preview->marks.arena);
	free(preview->marks.items);
	preview->marks = (struct lt_marks){ 0 };
}

static void begin_page(void *data, double width, double height)
{
	struct preview *preview = data;
	drop_page(preview);
	preview->marks.width = width;
	preview->marks.height = height;
}

static void add_mark(struct preview *preview, struct lt_mark mark)
{
	struct lt_marks *marks = &preview->marks;
	marks->items = lt_grow(marks->items, &marks->room, marks->count + 1, sizeof(*marks->items));
	marks->items[marks->count++] = mark;
}

static void draw_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	struct preview *preview = data;
	const char *copy = lt_arena_strdup(&preview->marks.arena, text);
	add_mark(preview, (struct lt_mark){ LT_MARK_TEXT, x, baseline, .size = size, .face = face,
				  .text = copy, .black = lt_ink_is_black(ink) });
}

static void draw_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	add_mark(data, (struct lt_mark){ LT_MARK_RECTANGLE, x, y, width, height,
			       .black = lt_ink_is_black(fill) });
}

static void draw_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	add_mark(data, (struct lt_mark){ LT_MARK_FRAME, x, y, width, height, .size = line,
			       .black = lt_ink_is_black(ink) });
}

static void draw_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	add_mark(data, (struct lt_mark){ LT_MARK_LINE, x1, y1, x2 - x1, y2 - y1, .size = line,
			       .black = lt_ink_is_black(ink) });
}

/* Shapes are shown by their edges, unbroken. */
static void draw_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	for (size_t i = 1; i < count; i++)
		draw_line(data, points[i - 1].x, points[i - 1].y, points[i].x, points[i].y,
			pen->line, pen->ink);
}

static void draw_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (count < 3 || (pen == NULL && fill == NULL))
		return;
	struct lt_pen edge = pen != NULL ? *pen : (struct lt_pen){ .ink = *fill };
	draw_polyline(data, points, count, &edge);
	draw_polyline(data, (struct lt_point[]){ points[count - 1], points[0] }, 2, &edge);
}

static void draw_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct lt_point points[24];
	size_t count = sizeof(points) / sizeof(points[0]);
	if (!(radius > 0))
		return;
	for (size_t i = 0; i < count; i++) {
		double turn = 2 * acos(-1) * (double)i / (double)count;
		points[i] = (struct lt_point){ x + radius * cos(turn), y + radius * sin(turn) };
	}
	draw_polygon(data, points, count, pen, fill);
}

static void draw_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	(void)image;
	draw_frame(data, x, y, width, height, 0, LT_BLACK);
}

static void draw_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct preview *preview = data;
	const char *cells = (const char *)qr->cells;
	struct lt_qr copy = { .modules = qr->modules };
	copy.cells = (unsigned char *)lt_arena_copy(&preview->marks.arena, cells,
		(size_t)qr->modules * qr->modules);
	add_mark(preview,
		(struct lt_mark){ LT_MARK_QR, x, y, .size = module, .black = true, .qr = copy });
}

/* The characters of the terminal, and plain ones. */
struct signs {
	const char *dots[4]; /* none, upper, lower, both */
	const char *grey;
	const char *level, *upright;
	const char *corners[4]; /* upper left, upper right, lower left, lower right */
};
static const struct signs block_signs = {
	{ " ", "\xE2\x96\x80", "\xE2\x96\x84", "\xE2\x96\x88" },
	"\xE2\x96\x92",
	"\xE2\x94\x80",
	"\xE2\x94\x82",
	{ "\xE2\x94\x8C", "\xE2\x94\x90", "\xE2\x94\x94", "\xE2\x94\x98" },
};
static const struct signs ascii_signs = {
	{ " ", "\"", "_", "#" },
	"%",
	"-",
	"|",
	{ "+", "+", "+", "+" },
};

/* Black on white, the reverse, and the terminal's own: the two ends of the grey ramp, since the
 * eight plain colours may be any. */
#define PAPER_ON "\033[38;5;16;48;5;231m"
#define REVERSED_ON "\033[38;5;231;48;5;16m"
#define PAPER_OFF "\033[0m"

static void add_frame(struct lt_text *out, const struct signs *signs, int width, bool top)
{
	lt_text_add(out, signs->corners[top ? 0 : 2]);
	for (int column = 0; column < width; column++)
		lt_text_add(out, signs->level);
	lt_text_add(out, signs->corners[top ? 1 : 3]);
	lt_text_add_char(out, '\n');
}

static unsigned dots_of(const struct lt_picture *picture, int row, int column)
{
	const unsigned char *upper =
		picture->dots + (size_t)(2 * row) * (size_t)picture->width + (size_t)column;
	unsigned lower = 2 * row + 1 < picture->height ? upper[picture->width] : 0;
	return (*upper > 0 ? 1u : 0) | (lower > 0 ? 2u : 0);
}

/* A character in place of one that is not ASCII. */
static void add_ascii(struct lt_text *out, const struct lt_cell *cell)
{
	const char *at = cell->bytes;
	uint32_t code = lt_utf8_next(&at);
	if (code == 0x2026) /* an ellipsis */
		code = '.';
	else if (code == 0x2192) /* an arrow to the right */
		code = '>';
	lt_text_add_char(out, code < 0x80 ? (char)code : '?');
}

static void add_cell(struct lt_text *out, const struct preview *preview,
	const struct lt_picture *picture, int row, int column)
{
	const struct signs *signs = preview->options.ascii ? &ascii_signs : &block_signs;
	const struct lt_cell *cell = lt_picture_cell(picture, row, column);
	if (cell->covered) {
		if (preview->options.ascii)
			lt_text_add_char(out, ' ');
	} else if (cell->bytes != NULL && preview->options.ascii) {
		add_ascii(out, cell);
	} else if (cell->bytes != NULL) {
		lt_text_add_bytes(out, cell->bytes, cell->length);
	} else if (cell->grey) {
		lt_text_add(out, signs->grey);
	} else {
		unsigned dots = dots_of(picture, row, column);
		bool inverse = preview->options.inverse && !preview->options.colour;
		lt_text_add(out, signs->dots[inverse ? 3 - dots : dots]);
	}
}

static void add_row(struct lt_text *out, const struct preview *preview,
	const struct lt_picture *picture, int row)
{
	const struct signs *signs = preview->options.ascii ? &ascii_signs : &block_signs;
	bool colour = preview->options.colour;
	bool reversed = false;
	lt_text_add(out, signs->upright);
	lt_text_add(out, colour ? PAPER_ON : "");
	for (int column = 0; column < picture->width; column++) {
		if (colour && lt_picture_cell(picture, row, column)->reversed != reversed) {
			reversed = !reversed;
			lt_text_add(out, reversed ? REVERSED_ON : PAPER_ON);
		}
		add_cell(out, preview, picture, row, column);
	}
	lt_text_add(out, colour ? PAPER_OFF : "");
	lt_text_add(out, signs->upright);
	lt_text_add_char(out, '\n');
}

static void add_page(struct lt_text *out, struct preview *preview)
{
	const struct signs *signs = preview->options.ascii ? &ascii_signs : &block_signs;
	struct lt_grid grid;
	struct lt_picture picture;
	struct lt_arena arena = { 0 };
	lt_grid_choose(&grid, &preview->marks, (int)preview->options.columns - 2,
		preview->options.scale);
	lt_picture_draw(&picture, &preview->marks, &grid, &preview->glyphs);
	lt_picture_write(&picture, &preview->marks, &grid, preview->fonts, &arena);
	add_frame(out, signs, picture.width, true);
	for (int row = 0; row < picture.rows; row++)
		add_row(out, preview, &picture, row);
	add_frame(out, signs, picture.width, false);
	preview->symbols_left_out += picture.symbols_left_out;
	preview->texts_left_out += picture.texts_left_out;
	if (picture.symbols_left_out > 0 && grid.columns_wanted > preview->columns_wanted)
		preview->columns_wanted = grid.columns_wanted;
	lt_picture_finish(&picture);
	lt_grid_finish(&grid);
	lt_arena_finish(&arena);
}

/* Adds notes on what the terminal could not show of all pages. */
static void add_notes(struct lt_text *out, const struct preview *preview)
{
	struct lt_text note = { 0 };
	if (preview->symbols_left_out > 0) {
		lt_text_add(&note, lt_preview_words.symbols_too_fine);
		if (preview->columns_wanted > preview->options.columns &&
			preview->columns_wanted <= LT_PREVIEW_COLUMNS_MOST) {
			lt_text_add_char(&note, ' ');
			lt_words_preview_columns(&note, preview->columns_wanted);
		}
		lt_text_wrap(out, lt_text_string(&note), preview->options.columns, 0);
	}
	if (preview->texts_left_out > 0) {
		lt_text_clear(&note);
		lt_words_preview_texts(&note, preview->texts_left_out);
		lt_text_wrap(out, lt_text_string(&note), preview->options.columns, 0);
	}
	lt_text_finish(&note);
}

/* Writes a text and frees it. */
static bool put(struct preview *preview, struct lt_text *text, struct lt_diags *diags)
{
	errno = 0;
	bool good =
		fwrite(lt_text_string(text), 1, text->length, preview->stream) == text->length &&
		fflush(preview->stream) == 0;
	if (!good)
		lt_error(diags, lt_place_none(), "the preview cannot be written: %s",
			errno != 0 ? strerror(errno) : "reason unknown");
	lt_text_finish(text);
	return good;
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct preview *preview = data;
	const struct lt_marks *marks = &preview->marks;
	/* Sides beyond these are no page, nor are those that are no number. */
	if (!(marks->width > 1e-3 && marks->height > 1e-3 && marks->width < 1e6 &&
		    marks->height < 1e6)) {
		lt_error(diags, lt_place_none(), "a page of %g x %g mm cannot be shown",
			marks->width, marks->height);
		drop_page(preview);
		return false;
	}
	struct lt_text text = { 0 };
	add_page(&text, preview);
	drop_page(preview);
	return put(preview, &text, diags);
}

static bool finish(void *data, struct lt_diags *diags)
{
	struct preview *preview = data;
	struct lt_text text = { 0 };
	add_notes(&text, preview);
	return put(preview, &text, diags);
}

static void destroy(void *data)
{
	struct preview *preview = data;
	drop_page(preview);
	lt_glyphs_finish(&preview->glyphs);
	free(preview);
}

bool lt_preview_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_preview_options *options, struct lt_diags *diags)
{
	*out = (struct lt_canvas){ 0 };
	if (options->columns < LT_PREVIEW_COLUMNS_LEAST) {
		lt_error(diags, lt_place_none(),
			"the terminal has only %u columns, but a drawing needs %u",
			options->columns, LT_PREVIEW_COLUMNS_LEAST);
		return false;
	}
	struct preview *preview = lt_alloc(sizeof(*preview));
	*preview = (struct preview){ .stream = stream, .fonts = fonts, .options = *options };
	lt_glyphs_init(&preview->glyphs, fonts, false);
	if (preview->options.columns > LT_PREVIEW_COLUMNS_MOST)
		preview->options.columns = LT_PREVIEW_COLUMNS_MOST;
	*out = (struct lt_canvas){
		.begin_page = begin_page,
		.text = draw_text,
		.rectangle = draw_rectangle,
		.frame = draw_frame,
		.line = draw_line,
		.polyline = draw_polyline,
		.polygon = draw_polygon,
		.circle = draw_circle,
		.image = draw_image,
		.qr = draw_qr,
		.end_page = end_page,
		.finish = finish,
		.destroy = destroy,
		.data = preview,
	};
	return true;
}
