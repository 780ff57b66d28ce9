/* Legibility: which numbers are mistaken for which, and how tall characters must be. */
#ifndef LOOMTAG_LEGIBLE_H
#define LOOMTAG_LEGIBLE_H

#include <stdbool.h>
#include <stddef.h>

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

/* Height in mm that a character subtends `minutes` of arc at `distance` mm:
 * 6.283 x distance x minutes / 21600 (NUREG-0700, 11.4.1.5-1). */
double lt_character_height(double distance, double minutes);

/* The least height (15 minutes of arc, 0.004 x distance) and the preferred one (20 minutes,
 * 0.006 x distance), as NUREG-0700 rounds them. */
double lt_height_least(double distance);
double lt_height_preferred(double distance);

#endif
