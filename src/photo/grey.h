/* Grey copies of a picture, for looking at it in more than one way. */
#ifndef LOOMTAG_PHOTO_GREY_H
#define LOOMTAG_PHOTO_GREY_H

#include <stdbool.h>

#include "loomtag/photo.h"

/* A byte a pixel, 0 black. A zeroed struct is none. */
struct lt_grey {
	unsigned width, height;
	unsigned char *pixels;
};

/* Lightness as ITU-R BT.601 weighs the colours. */
void lt_grey_make(struct lt_grey *out, const struct lt_image *image);

/* A copy of 1/factor the size, each pixel the average of factor x factor; what is left over at the
 * right and bottom edge is dropped. False, and nothing made, when nothing would remain. */
bool lt_grey_shrink(struct lt_grey *out, const struct lt_grey *grey, unsigned factor);

/* A copy of twice the size less one pixel, those between averages of their neighbours. */
void lt_grey_enlarge(struct lt_grey *out, const struct lt_grey *grey);

/* A copy turned about its middle, large enough to hold all of the picture; what is beyond its edge
 * is grey. `degrees` from 0 to 90. */
void lt_grey_turn(struct lt_grey *out, const struct lt_grey *grey, unsigned degrees);

/* Makes light and contrast the same everywhere: in each neighbourhood the darkest becomes black and
 * the lightest white, but where they hardly differ, so that plain paper is not blown up to noise.
 */
void lt_grey_even(struct lt_grey *grey);

/* Takes NULL or a zeroed struct. */
void lt_grey_finish(struct lt_grey *grey);

#endif
