/* What the papers of labels share. */
#ifndef LOOMTAG_SHEET_SHEET_H
#define LOOMTAG_SHEET_SHEET_H

#include "loomtag/sheet.h"

/* Draws one placed sticker, all its faces, with its label's corner at x, y. */
bool lt_sticker_draw(struct lt_canvas *canvas, const struct lt_sticker *sticker, double x, double y,
	struct lt_arena *arena, struct lt_diags *diags);

/* Draws a line of text in black with its top at y; nothing for "". */
void lt_text_draw(struct lt_canvas *canvas, const struct lt_measure *measure, double x, double y,
	enum lt_typeface face, double size, const char *text);

/* True when a zone covers nothing of those that are taken. */
bool lt_zone_is_free(const struct lt_zone *zone, const struct lt_zone *taken, size_t count);

#endif
