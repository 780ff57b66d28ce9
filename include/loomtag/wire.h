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

/* Writes "0.75 mm²" or "18 AWG"; "" where not given. At most 24 bytes with the NUL. */
void lt_wire_size_write(char out[24], const struct lt_wire_size *size);

#endif
