/* Bundle diameters: how thick several wires are together. */
#include <math.h>
#include <stdlib.h>

#include "loomtag/trade.h"

#define LAID_BY_HAND 1.2

/* The smallest known circle that holds `count` (1 to LT_PACKING_MAX) circles of diameter 1: its
 * diameter, cut off after the third decimal. Graham 1968, Pirl 1969, Melissen 1994, Fodor 1999 and
 * others, collected by E. Specht. */
static double packing(unsigned count)
{
	static const double table[LT_PACKING_MAX + 1] = { 0, 1.000, 2.000, 2.154, 2.414, 2.701,
		3.000, 3.000, 3.304, 3.613, 3.813, 3.923, 4.029, 4.236, 4.328, 4.521, 4.615, 4.792,
		4.863, 4.863, 5.122 };
	return table[count];
}

static int compare_largest_first(const void *one, const void *other)
{
	const double *a = one;
	const double *b = other;
	return (*a < *b) - (*a > *b);
}

static double sum_of_squares(const double *diameters, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += diameters[i] * diameters[i];
	return sum;
}

double lt_bundle_least(double *diameters, size_t count)
{
	if (count == 0)
		return 0;
	qsort(diameters, count, sizeof *diameters, compare_largest_first);
	double least = sqrt(sum_of_squares(diameters, count));
	if (count > 1)
		least = fmax(least, diameters[0] + diameters[1]);
	for (unsigned k = 1; k <= LT_PACKING_MAX && k <= count; k++)
		least = fmax(least, packing(k) * diameters[k - 1]);
	return least;
}

struct lt_bundle lt_bundle_of(double *diameters, size_t count)
{
	double least = lt_bundle_least(diameters, count);
	if (count == 0)
		return (struct lt_bundle){ .source = LT_BUNDLE_UNKNOWN };
	if (count <= LT_PACKING_MAX && diameters[0] <= diameters[count - 1])
		return (struct lt_bundle){
			.diameter = packing((unsigned)count) * diameters[0],
			.source = LT_BUNDLE_PACKING,
		};
	double laid = LAID_BY_HAND * sqrt(sum_of_squares(diameters, count));
	return (struct lt_bundle){ .diameter = fmax(laid, least), .source = LT_BUNDLE_RULE };
}

const char *lt_bundle_source_name(enum lt_bundle_source source)
{
	static const char *const names[] = { "not known", "measured", "packing", "rule of thumb" };
	return names[source];
}
