/* Measuring text: what deciding needs to know of fonts, so that it need not draw. */
#ifndef LOOMTAG_MEASURE_H
#define LOOMTAG_MEASURE_H

#include <stddef.h>

enum lt_face {
	LT_FACE_REGULAR,
	LT_FACE_BOLD,
	LT_FACE_CONDENSED,
	LT_FACE_CONDENSED_BOLD,
	LT_FACE_COUNT
};

/* Heights are shares of the size (the em). `width` gives the advance width of a UTF-8 string in
 * ems: times the size it is in the size's unit. */
struct lt_face_heights {
	double capital; /* of H, above the baseline */
	double ascent;  /* highest ink of ASCII and of Latin letters with accents, to U+017F */
	double descent; /* their lowest ink below the baseline, positive */
};
struct lt_measure {
	double (*width)(void *data, enum lt_face face, const char *text, size_t length);
	struct lt_face_heights (*heights)(void *data, enum lt_face face);
	void *data;
};

double lt_text_width(const struct lt_measure *measure, enum lt_face face, double size,
	const char *text);

/* Shortens `text` with an ellipsis until it is at most `width` wide; the whole text when it fits,
 * "" when not even one character and the ellipsis do. Writes at most `room` bytes with the NUL.
 * Breaks between code points, never inside one. */
void lt_text_shorten(char *out, size_t room, const struct lt_measure *measure, enum lt_face face,
	double size, const char *text, double width);

#endif
