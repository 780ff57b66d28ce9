/* Which numbers are easily confused (16 and 91, 12 and 21), and how high text must be. */
#include "loomtag/trade.h"

#define DIGITS 5

/* A number's digits, the last one first. */
struct digits {
	unsigned count;
	unsigned char digit[DIGITS];
};

static bool split(struct digits *out, unsigned number)
{
	*out = (struct digits){ .count = 0 };
	if (number == 0 || number > LT_NUMBER_MAX)
		return false;
	for (; number > 0; number /= 10)
		out->digit[out->count++] = (unsigned char)(number % 10);
	return true;
}

static unsigned join(const struct digits *digits)
{
	unsigned number = 0;
	for (unsigned i = digits->count; i-- > 0;)
		number = number * 10 + digits->digit[i];
	return number;
}

/* What a digit looks like upside down, or -1. */
static int turned(unsigned char digit)
{
	static const signed char upside_down[10] = { 0, 1, -1, -1, -1, -1, 9, -1, 8, 6 };
	return upside_down[digit];
}

unsigned lt_upside_down(unsigned number)
{
	struct digits upright;
	if (!split(&upright, number) || upright.digit[0] == 0)
		return 0;
	struct digits other = { .count = upright.count };
	for (unsigned i = 0; i < upright.count; i++) {
		int digit = turned(upright.digit[i]);
		if (digit < 0)
			return 0;
		other.digit[upright.count - 1 - i] = (unsigned char)digit;
	}
	unsigned reading = join(&other);
	return reading == number ? 0 : reading;
}

/* Digits that are taken for this one, as a set of bits: 1/7 3/8 5/6 6/8 0/8 8/9. */
static unsigned misread_as(unsigned char digit)
{
	static const unsigned short sets[10] = { 1u << 8, 1u << 7, 0, 1u << 8, 0, 1u << 6,
		1u << 5 | 1u << 8, 1u << 1, 1u << 0 | 1u << 3 | 1u << 6 | 1u << 9, 1u << 8 };
	return sets[digit];
}

enum lt_confusion lt_confusable(unsigned a, unsigned b)
{
	struct digits in_a;
	struct digits in_b;
	if (a == b || !split(&in_a, a) || !split(&in_b, b) || in_a.count != in_b.count)
		return LT_DISTINCT;
	if (lt_upside_down(a) == b)
		return LT_TURNED;
	unsigned differing = 0, last = 0;
	for (unsigned i = 0; i < in_a.count; i++) {
		if (in_a.digit[i] == in_b.digit[i])
			continue;
		differing++;
		last = i;
	}
	if (differing == 1 && misread_as(in_a.digit[last]) & 1u << in_b.digit[last])
		return LT_ONE_DIGIT;
	return differing == 2 && in_a.digit[last] == in_b.digit[last - 1] &&
			       in_a.digit[last - 1] == in_b.digit[last]
		       ? LT_SWAPPED
		       : LT_DISTINCT;
}

/* Puts a number in its place, once; one that begins with a nought is no number. */
static size_t insert(unsigned out[LT_CONFUSABLE_MAX], size_t count, const struct digits *digits)
{
	if (digits->digit[digits->count - 1] == 0)
		return count;
	unsigned number = join(digits);
	size_t at = count;
	while (at > 0 && out[at - 1] > number)
		at--;
	if ((at > 0 && out[at - 1] == number) || count == LT_CONFUSABLE_MAX)
		return count;
	for (size_t i = count; i > at; i--)
		out[i] = out[i - 1];
	out[at] = number;
	return count + 1;
}

size_t lt_confusable_all(unsigned out[LT_CONFUSABLE_MAX], unsigned number)
{
	struct digits digits;
	size_t count = 0;
	if (!split(&digits, number))
		return 0;
	struct digits other;
	if (split(&other, lt_upside_down(number)))
		count = insert(out, count, &other);
	for (unsigned i = 0; i < digits.count; i++) {
		other = digits;
		if (i + 1 < digits.count && digits.digit[i] != digits.digit[i + 1]) {
			other.digit[i] = digits.digit[i + 1];
			other.digit[i + 1] = digits.digit[i];
			count = insert(out, count, &other);
		}
		other = digits;
		for (unsigned char d = 0; d < 10; d++) {
			if (!(misread_as(digits.digit[i]) & 1u << d))
				continue;
			other.digit[i] = d;
			count = insert(out, count, &other);
		}
	}
	return count;
}

double lt_height_least(double distance)
{
	return 0.004 * distance;
}

double lt_height_preferred(double distance)
{
	return 0.006 * distance;
}
