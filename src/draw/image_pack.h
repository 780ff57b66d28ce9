/* Pictures packed for a document. */
#ifndef LOOMTAG_DRAW_IMAGE_PACK_H
#define LOOMTAG_DRAW_IMAGE_PACK_H

#include "loomtag/image.h"

struct lt_packed {
	unsigned char *bytes; /* the caller frees */
	size_t length;
	bool jpeg; /* a JPEG file; else what `exact` made */
};

/* Packs without loss. False, with nothing in `*out`, when the library that does it refuses. */
typedef bool lt_pack_fn(struct lt_packed *out, const struct lt_image *image);

/* The pixels, deflated (RFC 1950). */
lt_pack_fn lt_pack_deflated;

/* A PNG file. */
lt_pack_fn lt_pack_png;

/* Packs by `exact`, or as a JPEG where that takes less than about half: a photograph, whose edges
 * are soft anyhow, while a drawing is the smaller without loss, and stays sharp. The same pixels
 * give the same bytes. */
bool lt_pack(struct lt_packed *out, const struct lt_image *image, lt_pack_fn *exact);

#endif
