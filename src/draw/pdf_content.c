#include "draw/pdf_content.h"

#include <math.h>

/* Twice the largest page that readers take, in points. */
#define FARTHEST 28800

/* A number of points in units of which a point has `parts`. */
static long long in_parts(double points, long long parts)
{
	double value = points * (double)parts;
	double most = (double)(FARTHEST * parts);
	if (!(value > -most))
		return -FARTHEST * parts;
	return value < most ? llround(value) : FARTHEST * parts;
}

long lt_pdf_hundredths(double points)
{
	return (long)in_parts(points, 100);
}

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

/* Writes value / 10^decimals and a space, with no more decimals than it needs. */
static void add_decimal(struct lt_text *out, long long value, unsigned decimals)
{
	char digits[48];
	size_t length = 0;
	unsigned long long size =
		value < 0 ? 0 - (unsigned long long)value : (unsigned long long)value;
	if (value < 0)
		digits[length++] = '-';
	static const unsigned long long powers[] = { 1, 10, 100, 1000, 10000, 100000 };
	unsigned long long one = powers[decimals];
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
	digits[length++] = ' ';
	lt_text_add_bytes(out, digits, length);
}

void lt_pdf_add_hundredths(struct lt_text *out, long hundredths)
{
	add_decimal(out, hundredths, 2);
}

/* A share of the light, 0 to 1, in thousandths. */
static long thousandths(double share)
{
	if (!(share > 0))
		return 0;
	return share < 1 ? lround(share * 1000) : 1000;
}

void lt_pdf_add_ink(struct lt_text *out, struct lt_ink ink, bool lines)
{
	long red = thousandths(ink.red);
	long green = thousandths(ink.green);
	long blue = thousandths(ink.blue);
	add_decimal(out, red, 3);
	if (red == green && green == blue) {
		lt_text_add(out, lines ? "G\n" : "g\n");
		return;
	}
	add_decimal(out, green, 3);
	add_decimal(out, blue, 3);
	lt_text_add(out, lines ? "RG\n" : "rg\n");
}

void lt_pdf_add_string_byte(struct lt_text *out, unsigned char byte)
{
	if (byte == '(' || byte == ')' || byte == '\\')
		lt_text_add_char(out, '\\');
	lt_text_add_char(out, (char)byte);
}

static void add_module_rectangle(struct lt_text *out, unsigned x, unsigned y, unsigned width,
	unsigned height)
{
	char digits[64];
	size_t length = put_digits(digits, x);
	digits[length++] = ' ';
	length += put_digits(digits + length, y);
	digits[length++] = ' ';
	length += put_digits(digits + length, width);
	digits[length++] = ' ';
	length += put_digits(digits + length, height);
	lt_text_add_bytes(out, digits, length);
	lt_text_add_bytes(out, " re\n", 4);
}

/* True when the dark modules from x to x + width are a whole run of row y. */
static bool is_run(const struct lt_qr *qr, unsigned x, unsigned y, unsigned width)
{
	const unsigned char *row = qr->cells + (size_t)y * qr->modules;
	if ((x > 0 && row[x - 1]) || (x + width < qr->modules && row[x + width]))
		return false;
	for (unsigned i = x; i < x + width; i++) {
		if (!row[i])
			return false;
	}
	return true;
}

/* A rectangle a run of modules, equal runs below each other in one. */
static void add_modules(struct lt_text *out, const struct lt_qr *qr)
{
	for (unsigned y = 0; y < qr->modules; y++) {
		unsigned x = 0;
		while (x < qr->modules) {
			unsigned width = 0;
			while (x + width < qr->modules && lt_qr_dark(qr, x + width, y))
				width++;
			if (width > 0 && (y == 0 || !is_run(qr, x, y - 1, width))) {
				unsigned height = 1;
				while (y + height < qr->modules && is_run(qr, x, y + height, width))
					height++;
				add_module_rectangle(out, x, y, width, height);
			}
			x += width + 1;
		}
	}
}

/* Dots of a print head are no round share of a point: 72 / 203 has no end. */
static void add_exact(struct lt_text *out, double points)
{
	add_decimal(out, in_parts(points, 100000), 5);
}

void lt_pdf_add_qr(struct lt_text *out, double x, double y, double module, const struct lt_qr *qr)
{
	lt_text_add(out, "q ");
	add_exact(out, module);
	lt_text_add(out, "0 0 ");
	add_exact(out, -module);
	add_exact(out, x);
	add_exact(out, y);
	lt_text_add(out, "cm\n");
	add_modules(out, qr);
	lt_text_add(out, "f Q\n");
}
