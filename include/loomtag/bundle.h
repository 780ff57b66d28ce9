/* Bundle diameter: how thick the wires of a connector are together. Lengths in mm. */
#ifndef LOOMTAG_BUNDLE_H
#define LOOMTAG_BUNDLE_H

#include <stdbool.h>
#include <stddef.h>

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
	bool partial; /* computed, from the wires of some of the connector's ways only */
};

#define LT_PACKING_MAX 20u

/* The smallest known circle that holds `count` (1 to LT_PACKING_MAX) circles of diameter 1: its
 * diameter, cut off after the third decimal. Graham 1968, Pirl 1969, Melissen 1994, Fodor 1999 and
 * others, collected by E. Specht. */
double lt_packing(unsigned count);

/* The least that circles with these diameters need, however they lie: for any k the k largest need
 * lt_packing(k) times the k-th largest, the two largest lie side by side at best, and all of them
 * together need their own area. The array is sorted, largest first; 0 for none. */
double lt_bundle_least(double *diameters, size_t count);

/* The bundle of `count` wires with these outer diameters, all above 0; the array is sorted, largest
 * first. Up to LT_PACKING_MAX equal ones lie as in the packing. Others take the rule of thumb
 * D = 1.2 x sqrt(sum of d squared) (common practice), but never less than, for any k, lt_packing(k)
 * times the k-th largest: those k alone need that much. No wires, no bundle. */
struct lt_bundle lt_bundle_of(double *diameters, size_t count);

/* "measured", "packing", "rule of thumb", "not known"; lives for ever. */
const char *lt_bundle_source_name(enum lt_bundle_source source);

#endif
