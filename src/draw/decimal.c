#include "draw/decimal.h"

/* Puts the digits of `value` at `out`; returns how many. */
static size_t put_digits(char *out, unsigned long long value)
{
	char reversed[24];
	size_t count = 0;
	do {
		reversed[count++] = (char)('0' + value % 10);
		value /= 10;
	} while (value > 0);
	for (size_t i = 0; i < count; i++)
		out[i] = reversed[count - 1 - i];
	return count;
}

void lt_decimal_add(struct lt_text *out, long long value, unsigned decimals)
{
	char digits[48];
	size_t length = 0;
	unsigned long long size =
		value < 0 ? 0 - (unsigned long long)value : (unsigned long long)value;
	if (value < 0)
		digits[length++] = '-';
	unsigned long long one = 1;
	for (unsigned i = 0; i < decimals; i++)
		one *= 10;
	length += put_digits(digits + length, size / one);
	unsigned long long fraction = size % one;
	if (fraction > 0) {
		digits[length++] = '.';
		for (unsigned i = decimals; i-- > 0; fraction /= 10)
			digits[length + i] = (char)('0' + fraction % 10);
		length += decimals;
		while (digits[length - 1] == '0')
			length--;
	}
	lt_text_add_bytes(out, digits, length);
}
