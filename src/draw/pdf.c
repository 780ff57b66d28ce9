/* The canvas of PDFs. */
#include <errno.h>
#include <hpdf.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "draw/canvas.h"
#include "draw/pdf_content.h"
#include "draw/pdf_fonts.h"
#include "draw/pdf_objects.h"
#include "loomtag/draw.h"

/* What readers take as a page's side, in points (ISO 32000-1, annex C.2). */
#define SIDE_LEAST 3.0
#define SIDE_MOST 14400.0

/* The grid of symbols where no other is asked for. */
#define DPI_DEFAULT 600.0

/* Pages a node of the tree of pages: an array of libharu holds 32,767 elements, and a tree of one
 * level, as it makes of itself, no more pages than that. Two levels hold what a document can. */
#define PAGES_A_NODE 1000

struct pdf {
	HPDF_Doc document;
	FILE *stream;
	double dpi;
	bool turn;
	struct lt_pdf_fonts fonts;
	struct lt_pictures pictures;
	struct lt_diags trouble;
	unsigned pages;

	/* Of the page being drawn; what is drawn without one goes with it: */
	HPDF_Page page;
	double page_height; /* points */
	struct lt_text content;
	HPDF_Font font;
	long font_size;
	struct lt_ink fill, stroke;
	long line, dash;
	bool round; /* corners */
};

/* libharu's memory comes from where all ours does: there is none, or there is enough. */
static void *HPDF_STDCALL allocate(HPDF_UINT size)
{
	return lt_alloc(size);
}

static void HPDF_STDCALL release(void *memory)
{
	free(memory);
}

/* libharu calls this at each error and goes on; the first is reported when the page or the document
 * ends. */
static void HPDF_STDCALL note_trouble(HPDF_STATUS code, HPDF_STATUS detail, void *data)
{
	(void)detail;
	struct pdf *pdf = data;
	lt_error(&pdf->trouble, lt_place_none(), "the PDF library stopped with error 0x%04lX",
		(unsigned long)code);
}

static void note_unpacked(struct pdf *pdf)
{
	lt_error(&pdf->trouble, lt_place_none(), "there is not enough memory to compress page %u",
		pdf->pages);
}

/* What is at the left comes to the top, and what was at the top to the right (ISO 32000-1, 8.3.4):
 * within half a dot, so that what lay on the dots lies on them again. */
static void turn_page(struct pdf *pdf, double across)
{
	double dot = 72 / pdf->dpi;
	double right = round(pdf->page_height / dot) * dot;
	lt_text_printf(&pdf->content, "0 -1 1 0 %.5f %.5f cm\n", right - pdf->page_height,
		(double)(HPDF_REAL)across);
}

static void begin_page(void *data, double width, double height)
{
	struct pdf *pdf = data;
	pdf->page = NULL;
	if (pdf->trouble.count > 0)
		return;
	double across = width * LT_POINTS_PER_MM;
	double down = height * LT_POINTS_PER_MM;
	if (!(across >= SIDE_LEAST && across <= SIDE_MOST && down >= SIDE_LEAST &&
		    down <= SIDE_MOST)) {
		lt_error(&pdf->trouble, lt_place_none(),
			"a PDF page cannot be %g x %g mm: its sides must be from %.0f to %.0f mm",
			width, height, ceil(SIDE_LEAST / LT_POINTS_PER_MM),
			floor(SIDE_MOST / LT_POINTS_PER_MM));
		return;
	}
	pdf->page = HPDF_AddPage(pdf->document);
	if (pdf->page == NULL)
		return;
	HPDF_Page_SetWidth(pdf->page, (HPDF_REAL)(pdf->turn ? down : across));
	HPDF_Page_SetHeight(pdf->page, (HPDF_REAL)(pdf->turn ? across : down));
	pdf->pages++;
	/* As libharu writes it, so that what is measured from the top lies on the grid. */
	pdf->page_height = (HPDF_REAL)down;
	lt_text_clear(&pdf->content);
	if (pdf->turn)
		turn_page(pdf, across);
	/* What a page begins with (ISO 32000-1, 8.4.1). */
	pdf->font = NULL;
	pdf->font_size = 0;
	pdf->fill = LT_BLACK;
	pdf->stroke = LT_BLACK;
	pdf->line = 100;
	pdf->dash = 0;
	pdf->round = false;
}

static bool same_ink(struct lt_ink a, struct lt_ink b)
{
	return a.red == b.red && a.green == b.green && a.blue == b.blue;
}

static void set_fill(struct pdf *pdf, struct lt_ink ink)
{
	if (!same_ink(pdf->fill, ink))
		lt_pdf_add_ink(&pdf->content, ink, false);
	pdf->fill = ink;
}

static long across(double x)
{
	return lt_pdf_hundredths(x * LT_POINTS_PER_MM);
}

static long up(const struct pdf *pdf, double y)
{
	return lt_pdf_hundredths(pdf->page_height - y * LT_POINTS_PER_MM);
}

/* The corners of lines and frames are not rounded. */
static void set_pen(struct pdf *pdf, const struct lt_pen *pen, bool round)
{
	long line = across(pen->line) > 0 ? across(pen->line) : 1;
	long dash = pen->dash > 0 ? across(pen->dash) : 0;
	if (!same_ink(pdf->stroke, pen->ink))
		lt_pdf_add_ink(&pdf->content, pen->ink, true);
	if (line != pdf->line)
		lt_pdf_add(&pdf->content, "@ w\n", (long long[]){ line });
	if (dash != pdf->dash)
		lt_pdf_add(&pdf->content, dash > 0 ? "[@ ] 0 d\n" : "[] 0 d\n",
			(long long[]){ dash });
	if (round != pdf->round)
		lt_text_add(&pdf->content, round ? "1 j\n" : "0 j\n");
	pdf->stroke = pen->ink;
	pdf->line = line;
	pdf->dash = dash;
	pdf->round = round;
}

static bool set_font(struct pdf *pdf, enum lt_typeface face, unsigned encoding, long size)
{
	HPDF_Font font = lt_pdf_fonts_get(&pdf->fonts, face, encoding);
	if (font == NULL)
		return false;
	if (font == pdf->font && size == pdf->font_size)
		return true;
	const char *name = HPDF_Page_GetLocalFontName(pdf->page, font);
	if (name == NULL)
		return false;
	lt_text_printf(&pdf->content, "/%s ", name);
	lt_pdf_add(&pdf->content, "@ Tf\n", (long long[]){ size });
	pdf->font = font;
	pdf->font_size = size;
	return true;
}

/* Strings in one encoding each: a reader goes on where the last one ended. */
static void add_strings(struct pdf *pdf, enum lt_typeface face, long size, const char *text)
{
	bool open = false;
	unsigned encoding = 0;
	for (uint32_t code; (code = lt_utf8_next(&text)) != 0;) {
		unsigned before = encoding;
		unsigned char byte = lt_pdf_fonts_place(&encoding, &pdf->fonts, face, code);
		if (open && encoding != before) {
			lt_text_add(&pdf->content, ") Tj\n");
			open = false;
		}
		if (!open) {
			if (!set_font(pdf, face, encoding, size))
				return;
			lt_text_add_char(&pdf->content, '(');
			open = true;
		}
		lt_pdf_fonts_use(&pdf->fonts, face, encoding, byte);
		lt_pdf_add_string_byte(&pdf->content, byte);
	}
	if (open)
		lt_text_add(&pdf->content, ") Tj\n");
}

static void draw_text(void *data, double x, double baseline, enum lt_typeface face, double size,
	struct lt_ink ink, const char *text)
{
	struct pdf *pdf = data;
	long points = lt_pdf_hundredths(size * LT_POINTS_PER_MM);
	if (pdf->page == NULL || text[0] == '\0' || points <= 0)
		return;
	set_fill(pdf, ink);
	lt_pdf_add(&pdf->content, "BT\n@ @ Td\n", (long long[]){ across(x), up(pdf, baseline) });
	add_strings(pdf, face, points, text);
	lt_text_add(&pdf->content, "ET\n");
}

/* Rounds edges and not sizes, so that what touches still does. */
static void add_rectangle(struct pdf *pdf, const char *form, double x, double y, double width,
	double height)
{
	long left = across(x);
	long bottom = up(pdf, y + height);
	lt_pdf_add(&pdf->content, form,
		(long long[]){ left, bottom, across(x + width) - left, up(pdf, y) - bottom });
}

static void draw_rectangle(void *data, double x, double y, double width, double height,
	struct lt_ink fill)
{
	struct pdf *pdf = data;
	set_fill(pdf, fill);
	add_rectangle(pdf, "@ @ @ @ re\nf\n", x, y, width, height);
}

static void draw_frame(void *data, double x, double y, double width, double height, double line,
	struct lt_ink ink)
{
	struct pdf *pdf = data;
	set_pen(pdf, &(struct lt_pen){ .line = line, .ink = ink }, false);
	add_rectangle(pdf, "@ @ @ @ re\nS\n", x, y, width, height);
}

static void draw_line(void *data, double x1, double y1, double x2, double y2, double line,
	struct lt_ink ink)
{
	struct pdf *pdf = data;
	set_pen(pdf, &(struct lt_pen){ .line = line, .ink = ink }, false);
	lt_pdf_add(&pdf->content, "@ @ m @ @ l S\n",
		(long long[]){ across(x1), up(pdf, y1), across(x2), up(pdf, y2) });
}

static void add_points(struct pdf *pdf, const struct lt_point *points, size_t count)
{
	for (size_t i = 0; i < count; i++)
		lt_pdf_add(&pdf->content, i == 0 ? "@ @ m\n" : "@ @ l\n",
			(long long[]){ across(points[i].x), up(pdf, points[i].y) });
}

/* Sets the inks of a shape; returns the operator that paints it, or NULL. */
static const char *set_paint(struct pdf *pdf, const struct lt_pen *pen, const struct lt_ink *fill)
{
	if (fill != NULL)
		set_fill(pdf, *fill);
	if (pen != NULL)
		set_pen(pdf, pen, true);
	if (pen != NULL)
		return fill != NULL ? "B\n" : "S\n";
	return fill != NULL ? "f\n" : NULL;
}

static void draw_polyline(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen)
{
	struct pdf *pdf = data;
	if (count < 2)
		return;
	set_pen(pdf, pen, true);
	add_points(pdf, points, count);
	lt_text_add(&pdf->content, "S\n");
}

static void draw_polygon(void *data, const struct lt_point *points, size_t count,
	const struct lt_pen *pen, const struct lt_ink *fill)
{
	struct pdf *pdf = data;
	if (count < 3)
		return;
	const char *paint = set_paint(pdf, pen, fill);
	if (paint == NULL)
		return;
	add_points(pdf, points, count);
	lt_text_add(&pdf->content, "h ");
	lt_text_add(&pdf->content, paint);
}

static void draw_circle(void *data, double x, double y, double radius, const struct lt_pen *pen,
	const struct lt_ink *fill)
{
	struct pdf *pdf = data;
	if (!(radius > 0))
		return;
	const char *paint = set_paint(pdf, pen, fill);
	if (paint == NULL)
		return;
	lt_pdf_add_circle(&pdf->content, across(x), up(pdf, y), across(radius));
	lt_text_add(&pdf->content, paint);
}

static void draw_image(void *data, double x, double y, double width, double height,
	const struct lt_image *image)
{
	struct pdf *pdf = data;
	if (pdf->page == NULL || image->width == 0 || image->height == 0)
		return;
	HPDF_Dict object = lt_pdf_image_object(pdf->document, &pdf->pictures, image);
	const char *name = object != NULL ? HPDF_Page_GetXObjectName(pdf->page, object) : NULL;
	if (name == NULL) {
		note_unpacked(pdf);
		return;
	}
	long left = across(x);
	long bottom = up(pdf, y + height);
	lt_pdf_add(&pdf->content, "q @ 0 0 @ @ @ cm ",
		(long long[]){ across(x + width) - left, up(pdf, y) - bottom, left, bottom });
	lt_text_printf(&pdf->content, "/%s Do Q\n", name);
}

static void draw_qr(void *data, double x, double y, double module, const struct lt_qr *qr)
{
	struct pdf *pdf = data;
	if (!(module > 0 && module * LT_POINTS_PER_MM < SIDE_MOST))
		return;
	set_fill(pdf, LT_BLACK);
	struct lt_grid_symbol symbol =
		lt_grid_symbol(x, y, module, qr->modules, pdf->dpi / LT_MM_PER_INCH);
	double points = 72 / pdf->dpi;
	lt_pdf_add_qr(&pdf->content, symbol.left * points, pdf->page_height - symbol.top * points,
		symbol.module * points, qr);
}

/* Called by libharu when it writes the dictionary of a page's content. */
static HPDF_STATUS write_filter(HPDF_Dict content, HPDF_Stream stream)
{
	(void)content;
	return HPDF_Stream_WriteStr(stream, "/Filter /FlateDecode\n");
}

/* Hands libharu the content deflated, as something that it does not look into: it would keep the
 * content of all pages as it is until the document is saved, at five times the size. */
static void keep_content(struct pdf *pdf)
{
	struct lt_packed packed;
	if (!lt_pack_bytes(&packed, lt_text_string(&pdf->content), pdf->content.length)) {
		note_unpacked(pdf);
		return;
	}
	HPDF_PageAttr page = pdf->page->attr;
	page->contents->filter = HPDF_STREAM_FILTER_NONE;
	page->contents->write_fn = write_filter;
	HPDF_Stream_Write(page->stream, packed.bytes, (HPDF_UINT)packed.length);
	free(packed.bytes);
}

static bool end_page(void *data, struct lt_diags *diags)
{
	struct pdf *pdf = data;
	if (pdf->page != NULL && pdf->trouble.count == 0)
		keep_content(pdf);
	pdf->page = NULL;
	return lt_canvas_report(&pdf->trouble, diags);
}

/* Copies what libharu has saved in memory. */
static bool copy_out(struct pdf *pdf, struct lt_diags *diags)
{
	static const size_t block = 65536;
	HPDF_BYTE *bytes = lt_alloc(block);
	HPDF_ResetStream(pdf->document);
	HPDF_UINT32 left = HPDF_GetStreamSize(pdf->document);
	bool good = true;
	while (good && left > 0 && pdf->trouble.count == 0) {
		HPDF_UINT32 size = left < block ? left : (HPDF_UINT32)block;
		HPDF_ReadFromStream(pdf->document, bytes, &size);
		if (size == 0)
			break;
		left -= size;
		errno = 0;
		good = fwrite(bytes, 1, size, pdf->stream) == size;
	}
	free(bytes);
	if (!good || ferror(pdf->stream)) {
		lt_error(diags, lt_place_none(), "the PDF cannot be written: %s",
			errno != 0 ? strerror(errno) : "reason unknown");
		return false;
	}
	if (left > 0 && pdf->trouble.count == 0) {
		lt_error(diags, lt_place_none(),
			"the PDF library returned only a part of the document");
		return false;
	}
	return lt_canvas_report(&pdf->trouble, diags);
}

static bool finish(void *data, struct lt_diags *diags)
{
	struct pdf *pdf = data;
	if (!lt_canvas_report(&pdf->trouble, diags))
		return false;
	if (pdf->pages == 0) {
		lt_error(diags, lt_place_none(), "the document has no page");
		return false;
	}
	lt_pdf_fonts_close(&pdf->fonts);
	if (HPDF_SaveToStream(pdf->document) != HPDF_OK)
		note_trouble(0, 0, pdf);
	return lt_canvas_report(&pdf->trouble, diags) && copy_out(pdf, diags);
}

static void destroy(void *data)
{
	struct pdf *pdf = data;
	if (pdf->document != NULL)
		HPDF_Free(pdf->document);
	lt_pdf_fonts_finish(&pdf->fonts);
	lt_pictures_finish(&pdf->pictures);
	lt_diags_finish(&pdf->trouble);
	lt_text_finish(&pdf->content);
	free(pdf);
}

static bool start(struct pdf *pdf, const struct lt_pdf_options *options, struct lt_diags *diags)
{
	pdf->document = HPDF_NewEx(note_trouble, allocate, release, 0, pdf);
	if (pdf->document == NULL) {
		lt_error(diags, lt_place_none(), "the PDF library cannot start");
		return false;
	}
	HPDF_SetPagesConfiguration(pdf->document, PAGES_A_NODE);
	HPDF_SetCompressionMode(pdf->document, HPDF_COMP_ALL);
	HPDF_SetInfoAttr(pdf->document, HPDF_INFO_CREATOR, "loomtag");
	if (pdf->trouble.count == 0) {
		lt_pdf_ask_actual_size(pdf->document);
		lt_pdf_add_information(pdf->document, "Title", options->title);
		if (options->subject != NULL)
			lt_pdf_add_information(pdf->document, "Subject", options->subject);
	}
	return lt_canvas_report(&pdf->trouble, diags) &&
	       lt_pdf_add_dates(pdf->document, options->date, diags) &&
	       lt_canvas_report(&pdf->trouble, diags);
}

bool lt_pdf_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_pdf_options *options, struct lt_diags *diags)
{
	*out = (struct lt_canvas){ 0 };
	struct pdf *pdf = lt_alloc(sizeof(*pdf));
	*pdf = (struct pdf){ .stream = stream,
		.dpi = options->dpi > 0 ? options->dpi : DPI_DEFAULT,
		.turn = options->turn };
	if (!start(pdf, options, diags)) {
		destroy(pdf);
		return false;
	}
	lt_pdf_fonts_init(&pdf->fonts, pdf->document, fonts);
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
		.data = pdf,
	};
	return true;
}
