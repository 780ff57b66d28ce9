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
 * make them. Drawing calls do not fail; a canvas that runs into trouble remembers it and says so in
 * end_page or finish. */

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

/* How the outline of a shape is drawn: centred on its edge, corners rounded, ends cut off square.
 */
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
	 * outlined, unless `pen` is NULL. Of outlines that cross themselves, what is wound about at
	 * all is inside. Fewer than three points draw nothing. */
	void (*polygon)(void *data, const struct lt_point *points, size_t count,
		const struct lt_pen *pen, const struct lt_ink *fill);
	/* As a polygon, about x, y. A radius that is not above 0 draws nothing. */
	void (*circle)(void *data, double x, double y, double radius, const struct lt_pen *pen,
		const struct lt_ink *fill);
	/* A picture, stretched to the place. It need not outlive the call. */
	void (*image)(void *data, double x, double y, double width, double height,
		const struct lt_image *image);
	/* A symbol, top-left module at x, y; black. */
	void (*qr)(void *data, double x, double y, double module, const struct lt_qr *qr);
	bool (*end_page)(void *data, struct lt_diags *diags);
	/* Writes what is left to write. */
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
	double dpi;          /* of the head that will print it; 0: 600 */
	bool turn; /* pages by a quarter clockwise, as a label printer needs it whose paper is
		      narrower than the page is wide */
};

/* A PDF written to `out` by finish. The canvas keeps `fonts` until destroyed and does not own
 * `out`. Text is text, searchable in UTF-8. QR modules and corners lie on the dots of options->dpi,
 * as in a raster of that resolution. A picture is kept once, however often it is drawn: photographs
 * as JPEG, others without loss. The same calls give the same bytes. */
bool lt_pdf_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_pdf_options *options, struct lt_diags *diags);

/* Where pages go that are a file each: called once a page with the bytes of a PNG or SVG, page
 * counting from 1. */
struct lt_page_sink {
	bool (*page)(void *data, unsigned page, const unsigned char *bytes, size_t length,
		struct lt_diags *diags);
	void *data;
};

/* A canvas of 1-bit black-and-white PNGs at `dpi` dots per inch, pHYs set. QR modules are whole
 * dots, at least one, edges on dots: the module size is rounded down to whole dots and the symbol
 * centred in the place it was given. Ink darker than half is black, also where it fills an area;
 * only pictures have shades, made of dots. */
bool lt_raster_create(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags);

/* A canvas of PNGs in colour, 8 bits each of red, green and blue, at `dpi` dots per inch, pHYs set;
 * text, circles and what is slanted have soft edges. Rectangles, frames, and level and upright
 * lines lie on whole dots, a line one dot thick at least; QR codes are placed as by
 * lt_raster_create. Larger pages than 150 million dots are refused. */
bool lt_raster_create_colour(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_page_sink *sink, struct lt_diags *diags);

/* A page of dots, a byte each: 128 and more is black. */
struct lt_dots {
	const unsigned char *bytes;
	size_t stride; /* bytes from a row to the next */
	unsigned width, height;
};

/* A page as dots, with the size it was begun with: the dots are whole ones, so that they cover up
 * to half a dot more or less. */
struct lt_dot_page {
	struct lt_dots dots;
	double dpi;
	double width, height; /* mm */
};

/* Where a raster's pages go as dots: called once a page, page counting from 1. The dots are valid
 * during the call. */
struct lt_dot_sink {
	bool (*page)(void *data, unsigned number, const struct lt_dot_page *page,
		struct lt_diags *diags);
	void *data;
};

/* As lt_raster_create, and the same dots, but not made into a PNG. */
bool lt_raster_create_dots(struct lt_canvas *out, double dpi, struct lt_fonts *fonts,
	const struct lt_dot_sink *sink, struct lt_diags *diags);

/* A canvas of SVGs (version 1.1), one a page, with its size in mm and lengths in mm within. What is
 * drawn of a font stands in the file as outlines, each once a page, so that no font need be
 * installed; the words stand over them, unseen, to be searched and copied, and read aloud. QR
 * modules have whole numbers for coordinates in their own scale and are drawn without soft edges. A
 * picture is in the file once a page, however often it is drawn: photographs as JPEG, others as
 * PNG. The page is white. The canvas keeps `fonts` until destroyed. The same calls give the same
 * bytes. */
void lt_svg_create(struct lt_canvas *out, const struct lt_page_sink *sink, struct lt_fonts *fonts,
	const char *title);

#define LT_PREVIEW_COLUMNS_LEAST 10u
#define LT_PREVIEW_COLUMNS_MOST 500u

struct lt_preview_options {
	unsigned columns; /* of the terminal; LT_PREVIEW_COLUMNS_LEAST and more */
	/* Dots a mm all over the page, fewer where the columns do not suffice; 0: as they suit its
	 * QR codes, for which what lies beside them may come out smaller. */
	double scale;
	bool colour;  /* black on white, by control sequences */
	bool inverse; /* without colour: the terminal is light on dark */
	bool ascii;   /* nothing but ASCII; a QR code is not readable then */
};
#define LT_PREVIEW_OPTIONS_INIT ((struct lt_preview_options){ .columns = 80 })

/* A canvas for a terminal: each page is lines of UTF-8 with block characters, two dots one above
 * the other in a character, inside a frame, no line wider than the columns. QR modules are whole
 * dots, dark on light, so that a phone reads them off the screen; where the columns do not suffice
 * for that a grey square stands in the symbol's place, and `finish` writes a line that says so.
 * Of shapes only the edges are shown, of pictures an empty frame. Texts are drawn in dots where
 * their capitals come out at 7 dots or more; others are written in characters, near their place,
 * shortened with an ellipsis where there is no room. What a font would not show, control characters
 * above all, is written as U+FFFD. The canvas keeps `fonts` until destroyed and does not own
 * `stream`. */
bool lt_preview_create(struct lt_canvas *out, FILE *stream, struct lt_fonts *fonts,
	const struct lt_preview_options *options, struct lt_diags *diags);

/* Fonts: one TrueType family, found with fontconfig, measured with freetype; for every canvas. */

/* Finds the faces (DejaVu Sans, Bold, Condensed, Condensed Bold). NULL with an error when one is
 * not installed. */
struct lt_fonts *lt_fonts_create(struct lt_diags *diags);
void lt_fonts_destroy(struct lt_fonts *fonts);

/* Measures by these fonts; valid as long as they are. */
struct lt_measure lt_fonts_measure(struct lt_fonts *fonts);

/* The first code point of `text` that the face cannot show, or 0. It shows neither control
 * characters nor code points beyond the Basic Multilingual Plane: those are drawn, and measured, as
 * U+FFFD. */
uint32_t lt_font_missing(struct lt_fonts *fonts, enum lt_typeface face, const char *text);

/* Pictures packed for a document. */

struct lt_packed {
	unsigned char *bytes; /* the caller frees */
	size_t length;
	bool jpeg; /* a JPEG file; else what `exact` made */
};

/* Packs without loss. False, with nothing in `*out`, when the library that does it refuses. */
typedef bool lt_pack_fn(struct lt_packed *out, const struct lt_image *image);

/* A PNG file. */
lt_pack_fn lt_pack_png;

/* Packs by `exact`, or as a JPEG where that takes less than about half: a photograph, whose edges
 * are soft anyhow, while a drawing is the smaller without loss, and stays sharp. The same pixels
 * give the same bytes. */
bool lt_pack(struct lt_packed *out, const struct lt_image *image, lt_pack_fn *exact);

#endif
