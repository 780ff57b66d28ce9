/* What is packed for a document, above all its pictures: each is kept once, however often it is
 * drawn. */
#ifndef LOOMTAG_DRAW_PACK_H
#define LOOMTAG_DRAW_PACK_H

#include "loomtag/draw.h"

/* Deflates bytes (RFC 1950). False, with nothing in `*out`, when there is not
 * enough memory. */
bool lt_pack_bytes(struct lt_packed *out, const void *bytes, size_t length);

/* A picture of a document or page. */
struct lt_picture_kept {
	unsigned width, height; /* pixels */
	struct lt_packed packed;
	void *object; /* the canvas's own; NULL at first */
};

/* A zeroed struct has none. */
struct lt_pictures {
	struct lt_picture_kept *items;
	size_t count, room;
};

/* Gives `*out`, until the next call, the picture as it was kept before, or packs it. False when it
 * cannot be packed. */
bool lt_pictures_keep(struct lt_picture_kept **out, struct lt_pictures *pictures,
	const struct lt_image *image, lt_pack_fn *exact);
void lt_pictures_finish(struct lt_pictures *pictures);

#endif
