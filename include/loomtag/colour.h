/* Wire colours: IEC 60757 codes, and the other ways in which shops write them. */
#ifndef LOOMTAG_COLOUR_H
#define LOOMTAG_COLOUR_H

#include <stdbool.h>
#include <stddef.h>

/* The colours of IEC 60757, in its order; GNYE is one designation of its own. */
enum lt_hue {
	LT_HUE_BK,
	LT_HUE_BN,
	LT_HUE_RD,
	LT_HUE_OG,
	LT_HUE_YE,
	LT_HUE_GN,
	LT_HUE_BU,
	LT_HUE_VT,
	LT_HUE_GY,
	LT_HUE_WH,
	LT_HUE_PK,
	LT_HUE_GD,
	LT_HUE_TQ,
	LT_HUE_SR,
	LT_HUE_GNYE,
	LT_HUE_COUNT
};

/* How two-letter codes are meant: `colours:` in a description. */
enum lt_custom { LT_CUSTOM_IEC, LT_CUSTOM_ENGLISH, LT_CUSTOM_GERMAN };

/* One wire's colour: base colour first, then the stripes. Protective earth is count 1, GNYE. */
#define LT_COLOUR_PARTS 3
struct lt_colour {
	unsigned char count; /* 0: none given */
	unsigned char hues[LT_COLOUR_PARTS];
};

/* A code with its NUL: three colours of two letters. */
#define LT_COLOUR_CODE_SIZE 8

enum lt_colour_verdict {
	LT_COLOUR_OK,
	LT_COLOUR_AMBIGUOUS, /* read by IEC's or English custom, but another custom reads it
				otherwise */
	LT_COLOUR_UNKNOWN    /* not a colour; *out is none */
};

/* Reads one wire's colour: IEC codes run together ("WHRD"), in either case, also joined by '/',
 * '-', '+' or a space; English names ("green/yellow", "green and yellow"; "dark" and "light" are
 * not read); usual English and German abbreviations. GN and YE together, in either order and
 * nothing else, are GNYE. A colour given twice ("BKBK") is none. BL, GR and BR are read in more
 * than one way: a given custom (not IEC) reads its own abbreviations without a doubt; otherwise
 * the answer is AMBIGUOUS, `*out` is the usual English reading (the German one where that is no
 * colour), and `*other` (if not NULL) is the IEC code of what others mean by the first such part,
 * a string that lives for ever.
 * Sources: IEC 60757:2021; abbreviations are common practice. */
enum lt_colour_verdict lt_colour_read(struct lt_colour *out, const char **other, const char *text,
	enum lt_custom custom);

/* What a warning about an AMBIGUOUS colour says: `"GR" is green (GN) in English custom and grey
 * (GY) in German custom`, of the first such part; NULL when there is none. Lives for ever. */
const char *lt_colour_doubt(const char *text);

/* Writes the IEC code ("WHRD", "GNYE", "" for none). */
void lt_colour_code(char out[LT_COLOUR_CODE_SIZE], const struct lt_colour *colour);

/* True for GNYE alone: protective earth (IEC 60445), and nothing else. */
bool lt_colour_is_earth(const struct lt_colour *colour);

bool lt_colour_same(const struct lt_colour *a, const struct lt_colour *b);

/* The colours that are seen on the wire, base colour first, as 0xRRGGBB for screen and paper; GNYE
 * is green and yellow. Returns how many, 0 to LT_COLOUR_PARTS. IEC 60757 gives names alone: the
 * shades are chosen so that no two are alike and each says its name. */
size_t lt_colour_inks(unsigned out[LT_COLOUR_PARTS], const struct lt_colour *colour);

/* "brown", "green-and-yellow"; lives for ever. */
const char *lt_hue_name(enum lt_hue hue);

/* "BN"; lives for ever. */
const char *lt_hue_code(enum lt_hue hue);

/* The codes, for hints. */
extern const char *const lt_hue_codes[LT_HUE_COUNT];

#endif
