#include <math.h>

#include "draw/grid.h"

struct lt_grid_symbol lt_grid_symbol(double x, double y, double module, unsigned modules,
	double scale)
{
	/* A little is added before rounding down: 4 dots asked for in mm must not become 3. */
	double dots = floor(module * scale + 1e-6);
	if (!(dots >= 1))
		dots = 1;
	double spare = (module * scale - dots) * modules / 2;
	return (struct lt_grid_symbol){
		.left = round(x * scale + spare),
		.top = round(y * scale + spare),
		.module = dots,
	};
}
