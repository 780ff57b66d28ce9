/* Photographs of made joints: the QR codes in a picture. */
#ifndef LOOMTAG_PICTURE_H
#define LOOMTAG_PICTURE_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/image.h"
#include "loomtag/memory.h"

/* Finds and reads the QR codes of a picture with zbar. What is too large, small, dark or uneven for
 * one look is looked at again, scaled and evened. Each text once, in no order that means anything;
 * from `arena`. Texts may hold anything but NUL. Returns how many; 0 for none. */
size_t lt_picture_codes(const char ***out, struct lt_arena *arena, const struct lt_image *image);

/* Reads a file (bounded as lt_image_read is, before it is decoded) and its codes, in a child
 * process with a limit to its time and memory: a picture of n million pixels has 2 + n / 2 seconds
 * of the processor for the search, 10 at most. False with an error at the path when it cannot be
 * read in that time, or at all. Not for programs with threads. */
bool lt_picture_read(const char ***out, size_t *count, struct lt_arena *arena, const char *path,
	struct lt_diags *diags);

#endif
