/* The content of a PDF page: operators and numbers, written as short as possible. */
#ifndef LOOMTAG_DRAW_PDF_CONTENT_H
#define LOOMTAG_DRAW_PDF_CONTENT_H

#include "loomtag/draw.h"

#define LT_POINTS_PER_MM (72 / 25.4)

/* Rounds to hundredths of a point, 0.0035 mm. Anything beyond what a page can hold, or not a
 * number, is kept within it. */
long lt_pdf_hundredths(double points);

/* Writes operators in which each '@' stands for the next of the numbers, in hundredths. */
void lt_pdf_add(struct lt_text *out, const char *form, const long long *hundredths);

/* Writes "RED GREEN BLUE rg\n", or "GREY g\n" where they are equal; RG and G for lines. */
void lt_pdf_add_ink(struct lt_text *out, struct lt_ink ink, bool lines);

/* Writes a circle as a path of four curves, to be painted. */
void lt_pdf_add_circle(struct lt_text *out, long x, long y, long radius);

/* Writes a byte of a string in parentheses. */
void lt_pdf_add_string_byte(struct lt_text *out, unsigned char byte);

/* Writes a symbol with its top-left corner at x, y (points, y up) as an image of a bit a module,
 * whose dark modules are painted in the fill colour. `module` is less than 14400. */
void lt_pdf_add_qr(struct lt_text *out, double x, double y, double module, const struct lt_qr *qr);

#endif
