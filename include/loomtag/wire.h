/* Wire sizes. */
#ifndef LOOMTAG_WIRE_H
#define LOOMTAG_WIRE_H

#include <stdbool.h>

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

/* Solid diameter in mm of a gauge (ASTM B258), for gauges 40 to -3. */
double lt_awg_diameter(double gauge);

/* Diameter in mm that the conductor has at least: that of a solid one. 0 where not given. */
double lt_wire_conductor(const struct lt_wire_size *size);

/* Largest outer diameter in mm of a single-core cable with a conductor of that size: thin-wall
 * vehicle cable by ISO 6722-1 for 0.35 to 6 mm2, between its sizes by the diameter of the
 * conductor; below them with the insulation of the smallest, above them growing as the largest
 * (both common practice, with no source). 0 where the size is not given. */
double lt_wire_outer(const struct lt_wire_size *size);

/* Writes "0.75 mm²" or "18 AWG"; "" where not given. At most 24 bytes with the NUL. */
void lt_wire_size_write(char out[24], const struct lt_wire_size *size);

#endif
