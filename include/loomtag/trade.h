/* Trade: tables and formulas of the trade, each with its source: colours of wires, wire sizes and
 * bundle diameters, the check character of scan codes, how large text must be to be readable. All
 * functions are pure. */
#ifndef LOOMTAG_TRADE_H
#define LOOMTAG_TRADE_H

#include "loomtag/base.h"

/* Bundle diameter: how thick the wires of a connector are together. Lengths in mm. */

/* Where a bundle's diameter comes from. */
enum lt_bundle_source {
	LT_BUNDLE_UNKNOWN,
	LT_BUNDLE_MEASURED,
	LT_BUNDLE_PACKING, /* equal wires: the best known circle packing */
	LT_BUNDLE_RULE     /* the rule of thumb for mixed sizes, and for more than LT_PACKING_MAX */
};

struct lt_bundle {
	double diameter; /* 0 where it is not known */
	enum lt_bundle_source source;
	bool partial; /* computed from the wires of some of the connector's ways, not all */
};

#define LT_PACKING_MAX 20u

/* A lower bound for the diameter of a bundle of wires with these outer diameters, however they lie.
 * It is the largest of: for each k up to LT_PACKING_MAX the best known packing of k equal circles
 * times the k-th largest diameter; the sum of the two largest; and the circle with the area of all
 * of them. Sorts the array, largest first. 0 for no wires. */
double lt_bundle_least(double *diameters, size_t count);

/* The bundle of `count` wires with these outer diameters, all above 0. Sorts the array, largest
 * first. Equal wires, up to LT_PACKING_MAX, have the best known packing. All others follow the rule
 * of thumb D = 1.2 x sqrt(sum of d squared) (common practice), but at least lt_bundle_least.
 * LT_BUNDLE_UNKNOWN for no wires. */
struct lt_bundle lt_bundle_of(double *diameters, size_t count);

/* "measured", "packing", "rule of thumb", "not known": a static string. */
const char *lt_bundle_source_name(enum lt_bundle_source source);

/* Wire colours: IEC 60757 codes, and the other ways in which shops write them. */

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

/* How a shop writes two-letter colour codes: `colours:` in a description. */
enum lt_colour_convention { LT_CONVENTION_IEC, LT_CONVENTION_ENGLISH, LT_CONVENTION_GERMAN };

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
	LT_COLOUR_AMBIGUOUS, /* has another meaning in another convention */
	LT_COLOUR_UNKNOWN    /* not a colour; *out is none */
};

/* Reads one wire's colour: IEC codes run together ("WHRD"), in either case, also joined by '/',
 * '-', '+' or a space; English names ("green/yellow", "green and yellow"; "dark" and "light" are
 * not read); usual English and German abbreviations. GN and YE together, in either order and
 * nothing else, are GNYE. A colour given twice ("BKBK") is LT_COLOUR_UNKNOWN. BL, GR and BR have
 * two meanings: by LT_CONVENTION_ENGLISH or LT_CONVENTION_GERMAN they are read in that language. By
 * LT_CONVENTION_IEC the answer is LT_COLOUR_AMBIGUOUS, `*out` is the English meaning (the German
 * one if the English is not a colour), and `*doubt` is a static string about the first such pair:
 * `"GR" means green (GN) in English and grey (GY) in German`. Otherwise `*doubt` is NULL. Sources:
 * IEC 60757:2021; abbreviations are common practice. */
enum lt_colour_verdict lt_colour_read(struct lt_colour *out, const char **doubt, const char *text,
	enum lt_colour_convention convention);

/* Writes the IEC code ("WHRD", "GNYE", "" for none). */
void lt_colour_code(char out[LT_COLOUR_CODE_SIZE], const struct lt_colour *colour);

/* True for GNYE alone: protective earth (IEC 60445), and nothing else. */
bool lt_colour_is_earth(const struct lt_colour *colour);

bool lt_colour_same(const struct lt_colour *a, const struct lt_colour *b);

/* The colours that are seen on the wire, base colour first, as 0xRRGGBB for screen and paper; GNYE
 * is green and yellow. Returns how many, 0 to LT_COLOUR_PARTS. IEC 60757 gives only names: the
 * shades are chosen so that each looks like its name and no two look alike. */
size_t lt_colour_inks(unsigned out[LT_COLOUR_PARTS], const struct lt_colour *colour);

/* "brown", "green-and-yellow": a static string. */
const char *lt_hue_name(enum lt_hue hue);

/* "BN": a static string. */
const char *lt_hue_code(enum lt_hue hue);

/* ISO/IEC 7064, MOD 37,36: a check character over digits and capitals.
 *
 * It finds every single substitution and nearly all transpositions of two neighbours. */

/* The check character for `length` characters 0-9 A-Z; 0 when another character is among them or
 * there are none. */
char lt_iso7064_check(const char *characters, size_t length);

/* True when the last of `length` characters (2 or more) is the check character of the rest. */
bool lt_iso7064_valid(const char *characters, size_t length);

/* Legibility: which numbers are easily confused, and how tall characters must be. */

#define LT_NUMBER_MAX 99999u

/* Why two numbers of equal length are confusable. */
enum lt_confusion {
	LT_DISTINCT, /* they are not */
	LT_TURNED,   /* one is the other turned upside down: 6/9, 16/91, 68/89 */
	LT_SWAPPED,  /* two adjacent digits swapped: 12/21 */
	LT_ONE_DIGIT /* one digit of a pair that is misread: 1/7 3/8 5/6 6/8 0/8 8/9 */
};

/* Numbers are 1 to LT_NUMBER_MAX. A number is not confusable with itself. The pairs are common
 * practice; the first reason that applies is given, in the order of the enum. */
enum lt_confusion lt_confusable(unsigned a, unsigned b);

/* All numbers confusable with `number`, each once, ascending; returns how many (at most
 * LT_CONFUSABLE_MAX). */
#define LT_CONFUSABLE_MAX 32
size_t lt_confusable_all(unsigned out[LT_CONFUSABLE_MAX], unsigned number);

/* The number that this one reads as upside down, another one of the same length; 0 when there is
 * none (a digit that has no upside-down reading, a leading zero, or the same number again). */
unsigned lt_upside_down(unsigned number);

/* The least height of characters at `distance`, both in mm (15 minutes of arc, 0.004 x distance),
 * and the preferred one (20 minutes, 0.006 x distance), as NUREG-0700, 11.4.1.5-1, rounds them. */
double lt_height_least(double distance);
double lt_height_preferred(double distance);

/* Wire sizes. */

/* A conductor's size, as it was written. */
struct lt_wire_size {
	bool given;
	bool awg;     /* value is a gauge number, else mm2 */
	double value; /* 0.05 to 400 mm2; AWG 40 to 0, and 00, 000, 0000 as -1, -2, -3 */
};

/* Reads "0.75 mm2", "0.75 mm²", "18 AWG", "AWG 18", "2/0 AWG". */
bool lt_wire_size_read(struct lt_wire_size *out, const char *text);

/* Area of the conductor in mm2. AWG by ASTM B258: d = 0.127 mm x 92^((36 - n) / 39). */
double lt_wire_area(const struct lt_wire_size *size);

/* Least diameter of the conductor in mm: that of a solid one. 0 where the size is not given. */
double lt_wire_conductor(const struct lt_wire_size *size);

/* Largest outer diameter in mm of a single-core cable with a conductor of that size: thin-wall
 * vehicle cable by ISO 6722-1 for 0.35 to 6 mm2, interpolated between its sizes by the diameter of
 * the conductor. Smaller cables have the insulation thickness of the smallest size, larger ones the
 * ratio of outer to conductor diameter of the largest size (both common practice, no source). 0
 * where the size is not given. */
double lt_wire_outer(const struct lt_wire_size *size);

/* Writes "0.75 mm²" or "18 AWG"; "" where not given. At most 24 bytes with the NUL. */
void lt_wire_size_write(char out[24], const struct lt_wire_size *size);

#endif
