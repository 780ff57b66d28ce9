/* The canvas of SVGs. A page is kept as three texts, of which the first and the last go before and
 * behind the drawing itself: outlines and pictures that it uses, and the words that stand over it.
 */
#include <stdlib.h>
#include <string.h>

#include "draw/canvas.h"
#include "draw/pack.h"
#include "draw/svg_content.h"
#include "loomtag/draw.h"

/* Sides of a page, mm. */
#define SIDE_LEAST 0.01
#define SIDE_MOST 100000.0

/* Letters, mm; readers choke on an em of a kilometre. */
#define EM_MOST 1000.0

/* Code points that are drawn as themselves. */
#define CODES 0x10000u

/* What is known of a character of a face on this page. */
enum known { KNOWN_NOT, KNOWN_EMPTY, KNOWN_DRAWN };

struct svg {
	struct lt_fonts *fonts;
	struct lt_measure measure;
	struct lt_page_sink sink;
	struct lt_text title;
	struct lt_diags trouble;
	unsigned page;
	bool open; /* there is a page; what is drawn without one goes with it */
	double width, height;
	struct lt_text used, drawing, words;
	unsigned char *known[LT_TYPEFACE_COUNT]; /* by code point */
	struct lt_pictures pictures;
};

static void begin_page(void *data, double width, double height)
{
	struct svg *svg = data;
	svg->page++;
	svg->open = false;
	if (svg->trouble.count > 0)
		return;
	svg->width = width;
	svg->height = height;
	if (!(width >= SIDE_LEAST && width <= SIDE_MOST && height >= SIDE_LEAST &&
		    height <= SIDE_MOST)) {
		lt_error(&svg->trouble, lt_place_none(),
			"an SVG page cannot be %g x %g mm: its sides must be at most %.0f mm",
			width, height, SIDE_MOST);
		return;
	}
	svg->open = true;
	lt_text_clear(&svg->used);
	lt_text_clear(&svg->drawing);
	lt_text_clear(&svg->words);
	lt_pictures_finish(&svg->pictures);
	for (int face = 0; face < LT_TYPEFACE_COUNT; face++)
		memset(svg->known[face], KNOWN_NOT, CODES);
}

/* What a character's outline is called in the file. */
static void add_name(struct lt_text *out, enum lt_typeface face, uint32_t code)
{
	static const char letters[LT_TYPEFACE_COUNT] = {
		[LT_TYPEFACE_REGULAR] = 'r',
		[LT_TYPEFACE_BOLD] = 'b',
		[LT_TYPEFACE_CONDENSED] = 'c',
		[LT_TYPEFACE_CONDENSED_BOLD] = 'd',
	};
	lt_text_printf(out, "%c%x", letters[face], (unsigned)code);
}

static void note_glyph(struct svg *svg)
{
	lt_error(&svg->trouble, lt_place_none(), "the font library cannot draw a text on page %u",
		svg->page);
}

/* Puts an outline into the file, unless it is there already; false when it has no ink. */
static bool use_outline(struct svg *svg, enum lt_typeface face, uint32_t code)
{
	unsigned char *known = &svg->known[face][code];
	if (*known != KNOWN_NOT)
		return *known == KNOWN_DRAWN;
	struct lt_text outline = { 0 };
	bool drawn;
	if (!lt_svg_add_outline(&outline, &drawn, svg->fonts, face, code))
		note_glyph(svg);
	if (drawn) {
		lt_text_add(&svg->used, "<path id=\"");
		add_name(&svg->used, face, code);
		lt_text_printf(&svg->used, "\" d=\"%s\"/>\n", lt_text_string(&outline));
	}
	lt_text_finish(&outline);
	*known = drawn ? KNOWN_DRAWN : KNOWN_EMPTY;
	return drawn;
}

static void add_words(struct svg *svg, double x, double baseline, enum lt_typeface face,
	double size, const char *text)
{
	struct lt_text *out = &svg->words;
	lt_svg_add(out, "<text x=\"@\" y=\"@\" font-size=\"@\"",
		(long long[]){ lt_svg_mm(x), lt_svg_mm(baseline), lt_svg_mm(size) });
	/* As wide as the outlines, whatever font the reader has. */
	long long width = lt_svg_mm(lt_text_width(&svg->measure, face, size, text));
	if (width > 0)
		lt_svg_add(out, " textLength=\"@\" lengthAdjust=\"spacingAndGlyphs\"", &width);
	lt_text_add_char(out, '>');
	lt_svg_add_escaped(out, text);
	lt_text_add(out, "</text>\n");
}

static void draw_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	struct svg *svg = data;
	if (text[0] == '\0' || lt_svg_mm(size) <= 0)
		return;
	if (size > EM_MOST) {
		note_glyph(svg);
		return;
	}
	add_words(svg, x, baseline, face, size, text);
	struct lt_text *out = &svg->drawing;
	lt_text_add(out, "<g");
	lt_svg_add_ink(out, "fill", ink);
	lt_svg_add_place(out, x, baseline, size / 1000, size / 1000);
	lt_text_add_char(out, '>');
	unsigned long pen = 0;
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		code = lt_font_shown(svg->fonts, face, code);
		if (use_outline(svg, face, code)) {
			lt_text_add(out, "<use xlink:href=\"#");
			add_name(out, face, code);
			lt_text_printf(out, pen > 0 ? "\" x=\"%lu\"/>" : "\"/>", pen);
		}
		pen += lt_font_advance(svg->fonts, face, code);
	}
	lt_text_add(out, "</g>\n");
}

/* Rounds edges and not sizes, so that what touches still does. A side of nothing would not be
 * drawn, and one of less is an error. */
static long long side(double from, double size)
{
	long long length = lt_svg_mm(from + size) - lt_svg_mm(from);
	return length > 0 ? length : 1;
}

static void add_rectangle(struct lt_text *out, double x, double y, double width, double height)
{
	lt_svg_add(out, "<rect x=\"@\" width=\"@\" y=\"@\" height=\"@\"",
		(long long[]){ lt_svg_mm(x), side(x, width), lt_svg_mm(y), side(y, height) });
}

static void add_line(struct lt_text *out, double line, struct lt_ink ink)
{
	long long width = lt_svg_mm(line);
	lt_svg_add_ink(out, "stroke", ink);
	lt_svg_add(out, " stroke-width=\"@\"", (long long[]){ width > 0 ? width : 1 });
}

/* Ends an element that is a shape. */
static void add_paint(struct lt_text *out, const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (fill != NULL)
		lt_svg_add_ink(out, "fill", *fill);
	else
		lt_text_add(out, " fill=\"none\"");
	if (pen != NULL) {
		add_line(out, pen->line, pen->ink);
		lt_text_add(out, " stroke-linejoin=\"round\"");
		const long long dash = lt_svg_mm(pen->dash);
		if (dash > 0)
			lt_svg_add(out, " stroke-dasharray=\"@\"", &dash);
	}
	lt_text_add(out, "/>\n");
}

static void draw_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct svg *svg = data;
	add_rectangle(&svg->drawing, x, y, width, height);
	add_paint(&svg->drawing, NULL, &fill);
}

static void draw_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct svg *svg = data;
	add_rectangle(&svg->drawing, x, y, width, height);
	lt_text_add(&svg->drawing, " fill=\"none\"");
	add_line(&svg->drawing, line, ink);
	lt_text_add(&svg->drawing, "/>\n");
}

static void draw_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct svg *svg = data;
	lt_svg_add(&svg->drawing, "<path d=\"M@ @L@ @\"",
		(long long[]){ lt_svg_mm(x1), lt_svg_mm(y1), lt_svg_mm(x2), lt_svg_mm(y2) });
	add_line(&svg->drawing, line, ink);
	lt_text_add(&svg->drawing, "/>\n");
}

static void add_points(struct lt_text *out, const struct lt_point *points, size_t count)
{
	lt_text_add(out, "<path d=\"");
	for (size_t i = 0; i < count; i++)
		lt_svg_add(out, i == 0 ? "M@ @" : "L@ @",
			(long long[]){ lt_svg_mm(points[i].x), lt_svg_mm(points[i].y) });
}

static void draw_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	struct svg *svg = data;
	if (count < 2)
		return;
	add_points(&svg->drawing, points, count);
	lt_text_add_char(&svg->drawing, '"');
	add_paint(&svg->drawing, pen, NULL);
}

static void draw_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	struct svg *svg = data;
	if (count < 3 || (pen == NULL && fill == NULL))
		return;
	add_points(&svg->drawing, points, count);
	lt_text_add(&svg->drawing, "z\"");
	add_paint(&svg->drawing, pen, fill);
}

static void draw_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct svg *svg = data;
	if (!(radius > 0) || (pen == NULL && fill == NULL))
		return;
	lt_svg_add(&svg->drawing, "<circle cx=\"@\" cy=\"@\" r=\"@\"",
		(long long[]){ lt_svg_mm(x), lt_svg_mm(y), lt_svg_mm(radius) });
	add_paint(&svg->drawing, pen, fill);
}

/* Puts a picture into the file. */
static bool add_image(struct lt_text *out, size_t number, const struct lt_picture_kept *picture)
{
	lt_text_printf(out,
		"<image id=\"i%zu\" width=\"%u\" height=\"%u\" preserveAspectRatio=\"none\" "
		"xlink:href=\"data:image/%s;base64,",
		number, picture->width, picture->height, picture->packed.jpeg ? "jpeg" : "png");
	bool good = lt_svg_add_base64(out, &picture->packed);
	lt_text_add(out, "\"/>\n");
	return good;
}

static void draw_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	struct svg *svg = data;
	if (image->width == 0 || image->height == 0 || !(width > 0) || !(height > 0))
		return;
	struct lt_picture_kept *picture;
	const size_t known = svg->pictures.count;
	bool good = lt_pictures_keep(&picture, &svg->pictures, image, lt_pack_png);
	const size_t number = good ? (size_t)(picture - svg->pictures.items) : 0;
	if (good && number == known)
		good = add_image(&svg->used, number, picture);
	if (!good) {
		lt_error(&svg->trouble, lt_place_none(),
			"the PNG library cannot encode a picture on page %u", svg->page);
		return;
	}
	lt_text_printf(&svg->drawing, "<use xlink:href=\"#i%zu\"", number);
	lt_svg_add_place(&svg->drawing, x, y, width / image->width, height / image->height);
	lt_text_add(&svg->drawing, "/>\n");
}

static void draw_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct svg *svg = data;
	if (!(module > 0))
		return;
	lt_text_add(&svg->drawing, "<path shape-rendering=\"crispEdges\"");
	lt_svg_add_place(&svg->drawing, x, y, module, module);
	lt_text_add(&svg->drawing, " d=\"");
	lt_svg_add_modules(&svg->drawing, qr);
	lt_text_add(&svg->drawing, "\"/>\n");
}

static void add_head(struct lt_text *out, const struct svg *svg)
{
	const long long sides[] = { lt_svg_mm(svg->width), lt_svg_mm(svg->height),
		lt_svg_mm(svg->width), lt_svg_mm(svg->height) };
	lt_svg_add(out,
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
		"<svg xmlns=\"http://www.w3.org/2000/svg\" "
		"xmlns:xlink=\"http://www.w3.org/1999/xlink\" version=\"1.1\" "
		"width=\"@mm\" height=\"@mm\" viewBox=\"0 0 @ @\">\n<title>",
		sides);
	lt_svg_add_escaped(out, lt_text_string(&svg->title));
	lt_svg_add(out, "</title>\n<rect width=\"@\" height=\"@\" fill=\"#fff\"/>\n", sides);
}

static void add_part(struct lt_text *out, const char *before, const struct lt_text *part,
	const char *behind)
{
	if (part->length == 0)
		return;
	lt_text_add(out, before);
	lt_text_add_bytes(out, part->bytes, part->length);
	lt_text_add(out, behind);
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct svg *svg = data;
	if (!lt_canvas_report(&svg->trouble, diags))
		return false;
	if (!svg->open)
		return true;
	svg->open = false;
	struct lt_text file = { 0 };
	add_head(&file, svg);
	add_part(&file, "<defs>\n", &svg->used, "</defs>\n");
	add_part(&file, "", &svg->drawing, "");
	add_part(&file, "<g font-family=\"sans-serif\" fill-opacity=\"0\">\n", &svg->words,
		"</g>\n");
	lt_text_add(&file, "</svg>\n");
	bool good = svg->sink.page(svg->sink.data, svg->page, (const unsigned char *)file.bytes,
		file.length, diags);
	lt_text_finish(&file);
	return good;
}

static bool finish(void *data, struct lt_diags *diags)
{
	const struct svg *svg = data;
	return lt_canvas_report(&svg->trouble, diags);
}

static void destroy(void *data)
{
	struct svg *svg = data;
	for (int face = 0; face < LT_TYPEFACE_COUNT; face++)
		free(svg->known[face]);
	lt_pictures_finish(&svg->pictures);
	lt_diags_finish(&svg->trouble);
	lt_text_finish(&svg->title);
	lt_text_finish(&svg->used);
	lt_text_finish(&svg->drawing);
	lt_text_finish(&svg->words);
	free(svg);
}

void lt_svg_create(struct lt_canvas *out, const struct lt_page_sink *sink, struct lt_fonts *fonts,
	const char *title)
{
	struct svg *svg = lt_alloc(sizeof(*svg));
	*svg = (struct svg){ .fonts = fonts, .measure = lt_fonts_measure(fonts), .sink = *sink };
	for (int face = 0; face < LT_TYPEFACE_COUNT; face++)
		svg->known[face] = lt_alloc(CODES);
	lt_text_add(&svg->title, title);
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
		.data = svg,
	};
}
