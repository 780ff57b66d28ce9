/* Wire sizes, in mm2 and by gauge. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "loomtag/trade.h"

#define AREA_LEAST 0.05
#define AREA_MOST 400.0
#define GAUGE_LEAST (-3)
#define GAUGE_MOST 40u
#define NUMBER_SIZE 16

static const char *skip_blanks(const char *text)
{
	return text + strspn(text, " \t");
}

/* Copies the number at the start of the text; returns what stands behind it, NULL when there is
 * no number or it is too long to be one. */
static const char *take_number(char number[NUMBER_SIZE], const char *text)
{
	size_t length = strspn(text, "0123456789./");
	if (length == 0 || length >= NUMBER_SIZE)
		return NULL;
	memcpy(number, text, length);
	number[length] = '\0';
	return text + length;
}

/* "2/0" and "00" are gauge -1: large conductors are counted by their noughts. */
static bool read_gauge(double *gauge, const char *number)
{
	static const struct {
		const char *text;
		int gauge;
	} large[] = { { "1/0", 0 }, { "2/0", -1 }, { "3/0", -2 }, { "4/0", -3 }, { "00", -1 },
		{ "000", -2 }, { "0000", -3 } };
	for (size_t i = 0; i < sizeof(large) / sizeof(large[0]); i++) {
		if (strcmp(number, large[i].text) == 0) {
			*gauge = large[i].gauge;
			return true;
		}
	}
	unsigned whole = 0;
	if (!lt_whole_read(&whole, number, GAUGE_MOST))
		return false;
	*gauge = whole;
	return true;
}

static bool read_area(double *area, const char *number)
{
	return lt_decimal_read(area, number) && *area >= AREA_LEAST && *area <= AREA_MOST;
}

/* Whether the text is `unit` and nothing else but blanks behind it. */
static bool is_unit(const char *text, const char *unit)
{
	size_t length = strlen(unit);
	return strncasecmp(text, unit, length) == 0 && *skip_blanks(text + length) == '\0';
}

static bool is_square_mm(const char *text)
{
	return is_unit(text, "mm2") || is_unit(text, "mm\u00b2") || is_unit(text, "mm^2");
}

bool lt_wire_size_read(struct lt_wire_size *out, const char *text)
{
	struct lt_wire_size size = { .given = true };
	char number[NUMBER_SIZE];
	*out = (struct lt_wire_size){ .given = false };
	text = skip_blanks(text);
	/* "AWG 18": the unit first. */
	const char *behind_unit = strncasecmp(text, "AWG", 3) == 0 ? skip_blanks(text + 3) : NULL;
	const char *unit = take_number(number, behind_unit ? behind_unit : text);
	if (!unit)
		return false;
	unit = skip_blanks(unit);
	if (behind_unit ? *unit == '\0' : is_unit(unit, "AWG")) {
		size.awg = true;
		if (!read_gauge(&size.value, number))
			return false;
	} else if (behind_unit || !is_square_mm(unit) || !read_area(&size.value, number)) {
		return false;
	}
	*out = size;
	return true;
}

/* Solid diameter in mm of a gauge (ASTM B258), for gauges 40 to -3. */
static double awg_diameter(double gauge)
{
	return 0.127 * pow(92.0, (36.0 - gauge) / 39.0);
}

double lt_wire_area(const struct lt_wire_size *size)
{
	if (!size->given)
		return 0.0;
	if (!size->awg)
		return size->value;
	double diameter = awg_diameter(size->value);
	return acos(-1.0) / 4.0 * diameter * diameter;
}

/* Diameter in mm of a solid conductor with that area in mm2. */
static double conductor_diameter(double area)
{
	return sqrt(area * 4.0 / acos(-1.0));
}

double lt_wire_conductor(const struct lt_wire_size *size)
{
	return conductor_diameter(lt_wire_area(size));
}

double lt_wire_outer(const struct lt_wire_size *size)
{
	static const struct {
		double area, outer; /* mm2, mm */
	} cables[] = { { 0.35, 1.4 }, { 0.5, 1.6 }, { 0.75, 1.9 }, { 1, 2.1 }, { 1.5, 2.4 },
		{ 2.5, 3.0 }, { 4, 3.7 }, { 6, 4.3 } };
	const size_t last = sizeof(cables) / sizeof(cables[0]) - 1;
	if (!size->given)
		return 0.0;
	double area = lt_wire_area(size);
	double conductor = conductor_diameter(area);
	double from = conductor_diameter(cables[0].area);
	if (area <= cables[0].area)
		return cables[0].outer + conductor - from;
	for (size_t i = 1; i <= last; i++) {
		double to = conductor_diameter(cables[i].area);
		if (area <= cables[i].area)
			return cables[i - 1].outer + (cables[i].outer - cables[i - 1].outer) *
							     (conductor - from) / (to - from);
		from = to;
	}
	return cables[last].outer * conductor / from;
}

void lt_wire_size_write(char out[24], const struct lt_wire_size *size)
{
	out[0] = '\0';
	if (!size->given)
		return;
	if (!size->awg)
		snprintf(out, 24, "%.6g mm\u00b2", size->value);
	else if (size->value < 0.0 && size->value >= GAUGE_LEAST)
		snprintf(out, 24, "%d/0 AWG", 1 - (int)size->value);
	else
		snprintf(out, 24, "%d AWG", (int)size->value);
}
