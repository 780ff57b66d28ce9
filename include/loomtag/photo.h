/* Photo: pictures read, scaled and turned the right way up, and the codes that are in them.
 * To use it: lt_photo_read for a picture that goes on paper, lt_picture_read for the stickers in a
 * photograph, which works in a child process, since a picture can be made to crash a decoder, and
 * lt_pair_sort for what the stickers say together. */
#ifndef LOOMTAG_PHOTO_H
#define LOOMTAG_PHOTO_H

#include "loomtag/words.h"

/* Pictures: photographs and drawings, read from PNG (ISO/IEC 15948) and JPEG (ITU-T T.81). */

/* What is read at most; more is refused before anything is decoded. */
#define LT_IMAGE_BYTES_MOST ((size_t)64 << 20)
#define LT_IMAGE_PIXELS_MOST 50000000ul

/* Rows of pixels from the top left, three bytes each: red, green, blue. A zeroed struct is none. */
struct lt_image {
	unsigned width, height; /* pixels */
	unsigned char *rgb;
};

/* Frees the pixels; takes NULL or a zeroed struct. */
void lt_image_finish(struct lt_image *image);

/* The photograph of a connector: `photo:` in a description. */

/* The path of a connector's photograph: as written where that is absolute, else beside the
 * description. The caller frees; NULL where the connector has none. */
char *lt_photo_path(const struct lt_harness *harness, size_t connector);

/* Whether every photograph that is there is in the description's folder, links followed: others are
 * reported as errors at their `photo`. Those that are not there are no matter. */
bool lt_photo_check(const struct lt_harness *harness, struct lt_diags *diags);

/* Reads it, at most `pixels_most` pixels of it. False with nothing in `*out` where there is none
 * (silently), and where it cannot be read or is not in the description's folder: then a warning at
 * the connector says which file and why. A map without one photograph is better than none. */
bool lt_photo_read(struct lt_image *out, const struct lt_harness *harness, size_t connector,
	unsigned long pixels_most, struct lt_diags *diags);

/* Photographs of made joints: the QR codes in a picture. */

/* Reads a file, of no more than above, and its codes, in a child
 * process with a limit to its time and memory: a picture of n million pixels has 2 + n / 2 seconds
 * of the processor for the search, 10 at most. False with an error at the path when it cannot be
 * read in that time, or at all. Not for programs with threads. */
bool lt_picture_read(const char ***out, size_t *count, struct lt_arena *arena, const char *path,
	struct lt_diags *diags);

/* One picture of a made joint: which of the codes found in it are stickers, and what the two of
 * them together say. No input or output of its own. */

enum lt_pair_kind {
	LT_PAIR_NONE,  /* no sticker */
	LT_PAIR_HALF,  /* one sticker of a joint that has two */
	LT_PAIR_WHOLE, /* two stickers; or the one of a joint that has one, or that does not belong
			*/
	LT_PAIR_APART, /* two, one of which is the only sticker of its joint: two joints */
	LT_PAIR_MORE   /* three or more: nobody can know which belong to one joint */
};

/* "none", "half", "whole", "apart", "more"; a static string. */
const char *lt_pair_kind_name(enum lt_pair_kind kind);

/* A sticker's code. */
struct lt_pair_code {
	const char *text; /* as it was read */
	struct lt_scan scan;
};

struct lt_pair {
	enum lt_pair_kind kind;
	struct lt_pair_code *codes; /* each tag once, in the order in which they are fed */
	size_t code_count;
	const char **others; /* what is no sticker: a map's link, a product's label */
	size_t other_count;
	struct lt_answer answer; /* LT_PAIR_WHOLE, once it was fed */
};

/* Sorts out the texts of one picture; arrays from `arena`, the texts stay the caller's. A text is
 * a sticker's when lt_scan_read finds a scan code in it. */
void lt_pair_sort(struct lt_pair *out, struct lt_arena *arena, const char *const *texts,
	size_t count, const struct lt_verify *verify);

/* How many of its codes are to be scanned, from the first on: none but for LT_PAIR_WHOLE, one at
 * stage unplug. Nothing may be pending before, and what is pending after is to be dropped: a
 * picture is one joint, whatever came before it and comes behind it. Each answer, in order, is
 * given to lt_pair_take, which sets pair->answer to that of the picture as a whole: never half. */
size_t lt_pair_scans(const struct lt_pair *pair, enum lt_stage stage);
void lt_pair_take(struct lt_pair *pair, size_t code, const struct lt_answer *answer);

/* Adds one line, without a newline, for what a picture that was fed shows: the verdict and "12H,
 * 12M: motor power.", or what to do. Text that came from outside is made harmless. */
void lt_pair_words(struct lt_text *out, const struct lt_pair *pair, const struct lt_tags *tags,
	enum lt_stage stage);

#endif
