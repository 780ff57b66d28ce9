/* Draw: the canvas, and what draws on it: PDF, raster, SVG and the characters of a terminal.
 * To use it: create a canvas, begin a page, call its functions, end it; see struct lt_canvas.
 * All lengths are in mm from the top left corner of the page. */
#ifndef LOOMTAG_DRAW_H
#define LOOMTAG_DRAW_H

#include "loomtag/label.h"
#include "loomtag/photo.h"

/* Fonts opened; see lt_fonts_create. */
struct lt_fonts;

/* The canvas: where documents are drawn. Lengths in mm from the page's top-left corner, y down.
 * What is drawn later lies over what was drawn before.
 *
 * An interface of function pointers with `data` behind it: pdf.c, raster.c, svg.c and preview.c
 * make them. Drawing calls do not fail: a canvas keeps the first error, and end_page or finish
 * reports it. */

/* Ink, 0 (none of the light) to 1. */
struct lt_ink {
	double red, green, blue;
};
#define LT_BLACK ((struct lt_ink){ 0, 0, 0 })
#define LT_WHITE ((struct lt_ink){ 1, 1, 1 })
#define LT_GREY(share) ((struct lt_ink){ (share), (share), (share) })

struct lt_point {
	double x, y;
};

/* How an outline is drawn: centred on the edge of the shape, with round joins and square-cut ends.
 * Lengths in mm. */
struct lt_pen {
	double line; /* its width */
	struct lt_ink ink;
	double dash; /* length of the dashes and of the gaps between; 0: unbroken */
};

struct lt_canvas {
	void (*begin_page)(void *data, double width, double height);
	/* `x` is where the text starts, `baseline` its y; `size` the em. Characters that the font
	 * lacks are drawn as U+FFFD. */
	void (*text)(void *data, double x, double baseline, enum lt_typeface face, double size,
		struct lt_ink ink, const char *text);
	void (*rectangle)(void *data, double x, double y, double width, double height,
		struct lt_ink fill);
	/* An outline, centred on the edge. */
	void (*frame)(void *data, double x, double y, double width, double height, double line,
		struct lt_ink ink);
	void (*line)(void *data, double x1, double y1, double x2, double y2, double line,
		struct lt_ink ink);
	/* Straight from point to point. Fewer than two draw nothing. */
	void (*polyline)(void *data, const struct lt_point *points, size_t count,
		const struct lt_pen *pen);
	/* An area whose last point is joined to the first: filled, unless `fill` is NULL, and then
	 * outlined, unless `pen` is NULL. If the outline crosses itself, the non-zero winding rule
	 * decides what is inside. Fewer than three points draw nothing. */
	void (*polygon)(void *data, const struct lt_point *points, size_t count,
		const struct lt_pen *pen, const struct lt_ink *fill);
	/* As a polygon, about x, y. A radius that is not above 0 draws nothing. */
	void (*circle)(void *data, double x, double y, double radius, const struct lt_pen *pen,
		const struct lt_ink *fill);
	/* A picture, stretched to width and height. It need not outlive the call. */
	void (*image)(void *data, double x, double y, double width, double height,
		const struct lt_image *image);
	/* A symbol, top-left module at x, y; black. */
	void (*qr)(void *data, double x, double y, double module, const struct lt_qr *qr);
	bool (*end_page)(void *data, struct lt_diags *diags);
	/* Writes the end of the document. */
	bool (*finish)(void *data, struct lt_diags *diags);
	void (*destroy)(void *data);
	void *data;
};

/* Destroys a canvas; takes NULL or a zeroed struct. */
void lt_canvas_destroy(struct lt_canvas *canvas);

struct lt_pdf_options {
	const char *title;   /* UTF-8 */
	const char *subject; /* or NULL */
	long long date;      /* seconds since 1970, UTC */
	double dpi;          /* dots per inch of the head that will print it; 0: 600 */
	bool turn;           /* pages are turned by a quarter clockwise, as by lt_pwg_create */
};

/* A PDF written to `out` by finish. The canvas keeps `fonts` until destroyed and does not own
 * `out`. Text is text, searchable in UTF-8. QR modules and corners lie on the dots of options->dpi,
 * as in a raster of that resolution. A picture is kept once, however often it is drawn: photographs
 * as JPEG, others without loss. The same calls give the same bytes. */
bool lt_pdf_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_pdf_options *options, struct lt_diags *diags);

/* Receives pages that are a file each: called once a page with the bytes of a PNG or SVG; `page`
 * counts from 1. False, with an error, stops the document. */
struct lt_page_sink {
	bool (*page)(void *data, unsigned page, const unsigned char *bytes, size_t length,
		struct lt_diags *diags);
	void *data;
};

/* A canvas of 1-bit black-and-white PNGs at `dpi` dots per inch, pHYs set. QR modules are whole
 * dots, at least one, edges on dots: the module size is rounded down to whole dots and the symbol
 * centred in the place it was given. Ink darker than half grey is black, also in filled areas; only
 * pictures have shades, by dithering. */
bool lt_raster_create(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags);

/* A canvas of PNGs in colour, 8 bits each of red, green and blue, at `dpi` dots per inch, pHYs set;
 * text, circles and slanted lines are antialiased. Rectangles, frames, and horizontal and vertical
 * lines lie on whole dots, lines at least one dot thick; QR codes are placed as by
 * lt_raster_create. Larger pages than 150 million dots are refused. */
bool lt_raster_create_colour(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags);

/* A page of dots, a byte each: 128 and more is black. */
struct lt_dots {
	const unsigned char *bytes;
	size_t stride; /* bytes from a row to the next */
	unsigned width, height;
};

/* A page as dots, with the size that begin_page got: `dots` is rounded to whole dots, so it can be
 * up to half a dot larger or smaller. */
struct lt_dot_page {
	struct lt_dots dots;
	double dpi;
	double width, height; /* mm */
};

/* Receives a raster's pages as dots: called once a page; `number` counts from 1. The dots are valid
 * during the call. False, with an error, stops the document. */
struct lt_dot_sink {
	bool (*page)(void *data, unsigned number, const struct lt_dot_page *page,
		struct lt_diags *diags);
	void *data;
};

/* As lt_raster_create, with the same dots, but not encoded as PNG. */
bool lt_raster_create_dots(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_dot_sink *sink, struct lt_diags *diags);

/* A canvas of SVGs (version 1.1), one a page, with its size in mm and lengths in mm within.
 * Characters are in the file as outlines, each once a page, so that no font must be installed; the
 * text lies over them, invisible, for searching, copying and screen readers. QR modules have whole
 * numbers as coordinates, in a scale of their own, and are not antialiased. A picture is in the
 * file once a page, however often it is drawn: photographs as JPEG, others as PNG. The page is
 * white. The canvas keeps `fonts` until destroyed. The same calls give the same bytes. */
void lt_svg_create(struct lt_canvas *out, const struct lt_page_sink *sink, struct lt_fonts *fonts,
	const char *title);

#define LT_PREVIEW_COLUMNS_LEAST 10u
#define LT_PREVIEW_COLUMNS_MOST 500u

struct lt_preview_options {
	unsigned columns; /* of the terminal; LT_PREVIEW_COLUMNS_LEAST to LT_PREVIEW_COLUMNS_MOST */
	/* Dots per mm of the page, fewer if there are not enough columns. 0: chosen to suit the
	 * page's QR codes; what lies beside them may then be smaller. */
	double scale;
	bool colour;  /* black on white, by control sequences */
	bool inverse; /* without colour: the terminal is light on dark */
	bool ascii;   /* only ASCII; QR codes are then not readable */
};
#define LT_PREVIEW_OPTIONS_INIT ((struct lt_preview_options){ .columns = 80 })

/* A canvas for a terminal: each page is lines of UTF-8 with block characters, two dots one above
 * the other in a character, inside a frame, no line wider than the columns. QR modules are whole
 * dots, dark on light, so that a phone can read them from the screen; if there are not enough
 * columns for that, a grey square replaces the symbol, and `finish` writes a line about it. Shapes
 * are shown by their edges only, pictures by an empty frame. Texts whose capitals are at least 7
 * dots high are drawn in dots; others are written in characters, near their place, shortened with
 * an ellipsis if there is no room. Control characters and others that no font shows are written as
 * U+FFFD. The canvas keeps `fonts` until destroyed and does not own `stream`. */
bool lt_preview_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_preview_options *options, struct lt_diags *diags);

/* Fonts: one TrueType family for every canvas, found with fontconfig and measured with freetype. */

/* Finds the fonts of enum lt_typeface (DejaVu Sans, Bold, Condensed, Condensed Bold). NULL with an
 * error when one is not installed. */
struct lt_fonts *lt_fonts_create(struct lt_diags *diags);
void lt_fonts_destroy(struct lt_fonts *fonts);

/* Measures with these fonts; valid as long as `fonts`. */
struct lt_measure lt_fonts_measure(struct lt_fonts *fonts);

/* The first code point of `text` that the font cannot show, or 0. Control characters and code
 * points beyond the Basic Multilingual Plane cannot be shown: they are drawn and measured as
 * U+FFFD. */
uint32_t lt_font_missing(struct lt_fonts *fonts, enum lt_typeface face, const char *text);

/* Pictures, compressed for a document. */

struct lt_packed {
	unsigned char *bytes; /* the caller frees */
	size_t length;
	bool jpeg; /* a JPEG file; else what `exact` made */
};

/* Compresses without loss. False, with `*out` empty, if the library fails. */
typedef bool lt_pack_fn(struct lt_packed *out, const struct lt_image *image);

/* A PNG file. */
lt_pack_fn lt_pack_png;

/* Compresses with `exact`, or as a JPEG if that is less than about half as large: photographs
 * become JPEGs, drawings stay exact and sharp. The same pixels give the same bytes. */
bool lt_pack(struct lt_packed *out, const struct lt_image *image, lt_pack_fn *exact);

#endif
