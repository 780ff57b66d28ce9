/* Reads lengths and pairs of lengths ("37 mm", "70 x 37 mm"), and whole numbers. */
#include <stddef.h>
#include <string.h>

#include "loomtag/base.h"

/* What reads a part gives the place behind it, or NULL where it is not there; after NULL nothing
 * else is there either. */

static const char *skip_spaces(const char *at)
{
	while (at != NULL && (*at == ' ' || *at == '\t'))
		at++;
	return at;
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* Reads digits with an optional sign and fraction. */
static const char *read_number(double *value, const char *at)
{
	double sign = 1;
	if (at == NULL)
		return NULL;
	if (*at == '-' || *at == '+') {
		sign = *at == '-' ? -1 : 1;
		at++;
	}
	if (!is_digit(*at) && !(*at == '.' && is_digit(at[1])))
		return NULL;
	double number = 0;
	size_t digits = 0;
	for (; is_digit(*at); at++, digits++)
		number = number * 10 + (*at - '0');
	if (*at == '.') {
		double share = 1;
		double fraction = 0;
		for (at++; is_digit(*at); at++, digits++) {
			/* Digits beyond what a double holds add nothing. */
			if (share < 1e15) {
				fraction = fraction * 10 + (*at - '0');
				share *= 10;
			}
		}
		number += fraction / share;
	}
	if (digits > 64)
		return NULL;
	*value = sign * number;
	return at;
}

/* Reads mm, cm or in; *scale is millimetres a unit, untouched where there is none. */
static const char *read_unit(double *scale, const char *at)
{
	static const struct {
		const char *name;
		double scale;
	} units[] = { { "mm", 1 }, { "cm", 10 }, { "in", 25.4 } };
	for (size_t i = 0; at != NULL && i < sizeof(units) / sizeof(units[0]); i++) {
		if (strncmp(at, units[i].name, 2) == 0) {
			*scale = units[i].scale;
			return at + 2;
		}
	}
	return at;
}

static bool within_reason(double mm)
{
	return mm >= -1e6 && mm <= 1e6;
}

static bool is_end(const char *at)
{
	return at != NULL && *at == '\0';
}

bool lt_length_read(double *mm, const char *text)
{
	double value = 0;
	double scale = 0;
	const char *at = read_number(&value, skip_spaces(text));
	at = skip_spaces(read_unit(&scale, skip_spaces(at)));
	if (!is_end(at) || (scale == 0 && value != 0) || !within_reason(value * scale))
		return false;
	*mm = value * scale;
	return true;
}

/* An x or a multiplication sign, and the spaces about it. */
static const char *read_times(const char *at)
{
	at = skip_spaces(at);
	if (at != NULL && (*at == 'x' || *at == 'X'))
		return skip_spaces(at + 1);
	return at != NULL && strncmp(at, "\xC3\x97", 2) == 0 ? skip_spaces(at + 2) : NULL;
}

bool lt_length_pair_read(double *a_mm, double *b_mm, const char *text)
{
	double a = 0;
	double b = 0;
	double scale_a = 0;
	double scale_b = 0;
	const char *at = read_number(&a, skip_spaces(text));
	at = read_number(&b, read_times(read_unit(&scale_a, skip_spaces(at))));
	at = skip_spaces(read_unit(&scale_b, skip_spaces(at)));
	if (scale_a == 0)
		scale_a = scale_b;
	if (!is_end(at) || scale_b == 0 || !within_reason(a * scale_a) ||
		!within_reason(b * scale_b))
		return false;
	*a_mm = a * scale_a;
	*b_mm = b * scale_b;
	return true;
}

/* Reads a whole number of at most `max`. */
static const char *read_whole(unsigned *value, const char *at, unsigned max)
{
	if (at == NULL || !is_digit(*at) || (*at == '0' && is_digit(at[1])))
		return NULL;
	unsigned long long number = 0;
	for (; is_digit(*at); at++) {
		number = number * 10 + (unsigned)(*at - '0');
		if (number > max)
			return NULL;
	}
	*value = (unsigned)number;
	return at;
}

bool lt_count_pair_read(unsigned *a, unsigned *b, const char *text)
{
	enum { MOST = 10000 };
	unsigned first = 0;
	unsigned second = 0;
	const char *at = read_whole(&first, skip_spaces(text), MOST);
	at = read_whole(&second, read_times(at), MOST);
	if (!is_end(skip_spaces(at)) || first == 0 || second == 0)
		return false;
	*a = first;
	*b = second;
	return true;
}

bool lt_decimal_read(double *value, const char *text)
{
	double number = 0;
	if (!is_end(read_number(&number, text)))
		return false;
	*value = number;
	return true;
}

bool lt_decimal_pair_read(double *a, double *b, const char *text)
{
	double first = 0;
	double second = 0;
	const char *at = read_number(&first, skip_spaces(text));
	at = read_number(&second, read_times(at));
	if (!is_end(skip_spaces(at)))
		return false;
	*a = first;
	*b = second;
	return true;
}

bool lt_whole_read(unsigned *value, const char *text, unsigned max)
{
	unsigned number = 0;
	if (!is_end(read_whole(&number, text, max)))
		return false;
	*value = number;
	return true;
}
