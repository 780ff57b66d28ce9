/* What stands on every page of a map: the title block at its head, hazards and cautions at its
 * foot. Lengths in mm. */
#ifndef LOOMTAG_MAP_TITLE_H
#define LOOMTAG_MAP_TITLE_H

#include "loomtag/map.h"
#include "map/parts.h"

struct lt_map_title {
	const struct lt_map_input *input;
	double width, height, margin; /* of the page; the margin is inside */
	double head, foot;     /* heights within the margins, with the space to what is between */
	const char *date;      /* or NULL: a line to write on */
	const char *hazards;   /* one line, whole; or NULL */
	const char **cautions; /* lines that fit the width */
	size_t caution_count;
	struct lt_qr qr; /* the harness's link or facts; modules 0: none */
	double module;
};

/* Works out the heights and encodes the QR code; all from `arena`. `out` keeps pointers to `input`
 * and `date`. */
bool lt_map_title_place(struct lt_map_title *out, struct lt_arena *arena,
	const struct lt_map_input *input, double width, double height, const char *date,
	struct lt_diags *diags);

/* Sets the line on hazards once it is known which page, from 1, has them in full: with their
 * energies where these fit, else with their number. */
void lt_map_title_hazards(struct lt_map_title *title, struct lt_arena *arena, size_t page);

/* Draws it; page from 1. `what` the page shows: "Overview". */
void lt_map_title_draw(struct lt_canvas *canvas, const struct lt_map_title *title, const char *what,
	size_t page, size_t pages);

#endif
