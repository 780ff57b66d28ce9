/* The content of a PDF page: operators and their numbers. */
#include <math.h>

#include "draw/canvas.h"
#include "draw/pdf_content.h"

#define MODULES_MAX (17 + 4 * LT_QR_VERSION_MAX)

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

void lt_pdf_add(struct lt_text *out, const char *form, const long long *hundredths)
{
	lt_numbers_add(out, form, 2, hundredths);
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
	const long long rgb[] = { thousandths(ink.red), thousandths(ink.green),
		thousandths(ink.blue) };
	if (rgb[0] == rgb[1] && rgb[1] == rgb[2])
		lt_numbers_add(out, lines ? "@ G\n" : "@ g\n", 3, rgb);
	else
		lt_numbers_add(out, lines ? "@ @ @ RG\n" : "@ @ @ rg\n", 3, rgb);
}

/* How far a curve's control points lie from its ends for a quarter of a circle with a radius of
 * 1: then the middle of the curve, at (4 + 3 k) / 8 both ways, lies on the circle. */
#define QUARTER (4 * (sqrt(2) - 1) / 3)

void lt_pdf_add_circle(struct lt_text *out, long x, long y, long radius)
{
	static const int turns[][2] = { { 1, 0 }, { 0, 1 }, { -1, 0 }, { 0, -1 }, { 1, 0 } };
	long reach = lround((double)radius * QUARTER);
	lt_pdf_add(out, "@ @ m\n", (long long[]){ x + radius, y });
	for (size_t i = 0; i < 4; i++) {
		const int *from = turns[i], *to = turns[i + 1];
		lt_pdf_add(out, "@ @ @ @ @ @ c\n",
			(long long[]){ x + from[0] * radius + to[0] * reach,
				y + from[1] * radius + to[1] * reach,
				x + to[0] * radius + from[0] * reach,
				y + to[1] * radius + from[1] * reach, x + to[0] * radius,
				y + to[1] * radius });
	}
	lt_text_add(out, "h ");
}

void lt_pdf_add_string_byte(struct lt_text *out, unsigned char byte)
{
	if (byte == '(' || byte == ')' || byte == '\\')
		lt_text_add_char(out, '\\');
	lt_text_add_char(out, (char)byte);
}

/* Dots of a print head are no round share of a point: 72 / 203 has no end. */
#define EXACT_DECIMALS 5

static long long exact(double points)
{
	return in_parts(points, 100000);
}

/* The rows of an image in hexadecimal digits, a bit a module, each row ending on a whole byte: 0 is
 * painted. */
static void add_rows(struct lt_text *out, const struct lt_qr *qr)
{
	for (unsigned y = 0; y < qr->modules; y++) {
		char digits[2 * ((MODULES_MAX + 7) / 8)];
		size_t length = 0;
		for (unsigned x = 0; x < qr->modules; x += 8) {
			unsigned byte = 0;
			for (unsigned i = x; i < x + 8; i++)
				byte = byte << 1 | (i >= qr->modules || !lt_qr_dark(qr, i, y));
			digits[length++] = "0123456789ABCDEF"[byte >> 4];
			digits[length++] = "0123456789ABCDEF"[byte & 15];
		}
		lt_text_add_bytes(out, digits, length);
	}
}

/* How far a symbol stays within its place on every side, in modules. Some readers paint each dot
 * that an image touches, and hold one that ends on the edge of a dot to touch the next: the symbol
 * would be stretched by a dot. Those that go by the middle of a dot do not see a hair. */
#define HAIR 1e-3

void lt_pdf_add_qr(struct lt_text *out, double x, double y, double module, const struct lt_qr *qr)
{
	if (qr->modules > MODULES_MAX)
		return;
	double hair = module * HAIR;
	double size = module * qr->modules;
	const long long side = exact(size - 2 * hair);
	lt_numbers_add(out, "q @ 0 0 @ @ @ cm\n", EXACT_DECIMALS,
		(long long[]){ side, side, exact(x + hair), exact(y - size + hair) });
	/* In hexadecimal, since the bytes themselves could spell the end of the image; deflating
	 * the page takes out again what that adds. */
	lt_text_printf(out, "BI /W %u /H %u /IM true /F /AHx ID ", qr->modules, qr->modules);
	add_rows(out, qr);
	lt_text_add(out, ">\nEI Q\n");
}
