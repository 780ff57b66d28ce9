/* PWG Raster (PWG 5102.4): pages of dots as a printer takes them, "image/pwg-raster". */
#ifndef LOOMTAG_PWG_H
#define LOOMTAG_PWG_H

#include <stdbool.h>
#include <stdio.h>

#include "loomtag/canvas.h"
#include "loomtag/text.h"

enum lt_pwg_type {
	LT_PWG_BLACK_1, /* a bit a dot, 1 black */
	LT_PWG_SGRAY_8  /* a byte a dot, 255 white */
};

/* "black_1", "sgray_8"; lives for ever. */
const char *lt_pwg_type_name(enum lt_pwg_type type);

struct lt_pwg;

/* Begins a document on `stream`, which is not owned. `pages` is their number, told on every page;
 * 0: not known. False, and told, when the stream cannot be written. */
bool lt_pwg_create(struct lt_pwg **out, FILE *stream, enum lt_pwg_type type, unsigned pages,
	struct lt_diags *diags);

/* Has the pages that follow turned by a quarter clockwise, so that what is their left edge comes
 * out first: of a tape, or of labels that lie across the feed. */
void lt_pwg_turn(struct lt_pwg *pwg, bool turn);

/* Writes a page; pages may differ in size. Its size in points and by name is the one in mm, its
 * dots are those given. Copies are the job's, not the document's. False, and told, when the
 * resolution is not a whole number, the page is not from 1 to 2000 mm a side, or the stream cannot
 * be written. */
bool lt_pwg_page(struct lt_pwg *pwg, const struct lt_dot_page *page, struct lt_diags *diags);

/* Where a raster's pages go (lt_raster_create_dots) to be written. */
struct lt_dot_sink lt_pwg_sink(struct lt_pwg *pwg);

/* Writes what is left. False, and told, when the stream could not be written or the pages are not
 * as many as were told. */
bool lt_pwg_finish(struct lt_pwg *pwg, struct lt_diags *diags);

/* Takes NULL. */
void lt_pwg_destroy(struct lt_pwg *pwg);

/* The self-describing name of a size in mm (PWG 5101.1): the registered one where there is one
 * ("iso_a4_210x297mm"), else a metric one of its own ("om_25x54mm_25x54mm"); the shorter side comes
 * first. */
void lt_media_name_write(struct lt_text *out, double width, double height);

#endif
