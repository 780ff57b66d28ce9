/* The photograph of a connector: `photo:` in a description. */
#ifndef LOOMTAG_PHOTO_H
#define LOOMTAG_PHOTO_H

#include <stdbool.h>
#include <stddef.h>

#include "loomtag/diag.h"
#include "loomtag/harness.h"
#include "loomtag/image.h"

/* The path of a connector's photograph: as written where that is absolute, else beside the
 * description. The caller frees; NULL where the connector has none. */
char *lt_photo_path(const struct lt_harness *harness, size_t connector);

/* Whether every photograph that is there is in the description's folder, links followed: others are
 * told as errors at their `photo`. Those that are not there are no matter. */
bool lt_photo_check(const struct lt_harness *harness, struct lt_diags *diags);

/* Reads it, at most `pixels_most` pixels of it. False with nothing in `*out` where there is none
 * (silently), and where it cannot be read or is not in the description's folder: then a warning at
 * the connector says which file and why. A map without one photograph is better than none. */
bool lt_photo_read(struct lt_image *out, const struct lt_harness *harness, size_t connector,
	unsigned long pixels_most, struct lt_diags *diags);

#endif
