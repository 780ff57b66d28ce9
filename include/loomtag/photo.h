/* Photo: pictures read, scaled and turned the right way up, and the codes that are in them.
 * To use it: lt_photo_read for a picture that goes on paper, lt_picture_read for the stickers in a
 * photograph, and lt_pair_sort for what these stickers mean together. lt_picture_read works in a
 * child process, since a picture can be made to crash a decoder. */
#ifndef LOOMTAG_PHOTO_H
#define LOOMTAG_PHOTO_H

#include "loomtag/words.h"

/* Pictures: photographs and drawings, read from PNG (ISO/IEC 15948) and JPEG (ITU-T T.81). */

/* The largest file and picture that are read; a larger one is refused before it is decoded. */
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

/* Whether every photograph that exists is below the description's folder, with links followed.
 * Others are errors at their `photo`. A missing photograph is not an error. */
bool lt_photo_check(const struct lt_harness *harness, struct lt_diags *diags);

/* Reads it, scaled down to at most `pixels_most` pixels. False, with `*out` empty, if the
 * connector has none, and, with a warning at the connector, if it cannot be read or is not below
 * the description's folder. A warning only, since a map without one photograph is better than no
 * map. */
bool lt_photo_read(struct lt_image *out, const struct lt_harness *harness, size_t connector,
	unsigned long pixels_most, struct lt_diags *diags);

/* Photographs of made joints: the QR codes in a picture. */

/* Reads a picture file and the texts of its QR codes, from `arena`. Works in a child process with
 * limits of memory and processor time: 2 + n / 2 seconds for n million pixels, at most 10. False,
 * with an error at the path, if it cannot be read within the limits, above all those of size. Do
 * not call it in a program with threads. */
bool lt_picture_read(const char ***out, size_t *count, struct lt_arena *arena, const char *path,
	struct lt_diags *diags);

/* One picture of a made joint: which of the codes found in it are stickers, and what these mean
 * together. Does no input or output. */

enum lt_pair_kind {
	LT_PAIR_NONE,  /* no sticker */
	LT_PAIR_HALF,  /* one sticker of a joint that has two */
	LT_PAIR_WHOLE, /* two stickers; or the only sticker of a joint; or one that does not belong
			* here
			*/
	LT_PAIR_APART, /* two, one of which is the only sticker of its joint: two joints */
	LT_PAIR_MORE   /* three or more: nobody can know which belong to one joint */
};

/* "none", "half", "whole", "apart", "more": a static string. */
const char *lt_pair_kind_name(enum lt_pair_kind kind);

/* A sticker's code. */
struct lt_pair_code {
	const char *text; /* as it was read */
	struct lt_scan scan;
};

struct lt_pair {
	enum lt_pair_kind kind;
	struct lt_pair_code
		*codes; /* each tag once, in the order in which they are to be scanned */
	size_t code_count;
	const char **others; /* codes that are not stickers: a map's link, a product's label */
	size_t other_count;
	struct lt_answer answer; /* of LT_PAIR_WHOLE, after lt_pair_take */
};

/* Sorts out the texts of one picture; arrays from `arena`, the texts stay the caller's. A text
 * belongs to a sticker if lt_scan_read finds a scan code in it. */
void lt_pair_sort(struct lt_pair *out, struct lt_arena *arena, const char *const *texts,
	size_t count, const struct lt_verify *verify);

/* How many of its codes to scan, from the first on: 0 unless it is LT_PAIR_WHOLE; 1 at stage
 * unplug. Nothing may be pending before the first, and the caller drops what is pending after the
 * last: each picture is of one joint, separate from the pictures before and after it. Give each
 * answer, in order, to lt_pair_take, which sets pair->answer to the answer of the picture as a
 * whole: never LT_VERDICT_HALF. */
size_t lt_pair_scans(const struct lt_pair *pair, enum lt_stage stage);
void lt_pair_take(struct lt_pair *pair, size_t code, const struct lt_answer *answer);

/* Adds one line, without a newline, for a picture whose codes were scanned: the verdict and "12H,
 * 12M: motor power.", or what to do. Text that came from outside is cleaned (lt_text_add_clean). */
void lt_pair_words(struct lt_text *out, const struct lt_pair *pair, const struct lt_tags *tags,
	enum lt_stage stage);

#endif
