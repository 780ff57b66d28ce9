/* The shades of wire colours: measured as CIE 15 does. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "loomtag/trade.h"

/* Least difference of two colours in CIE 1976 L*u*v*; about 1 can be told apart side by side. */
#define APART_LEAST 25.0

static unsigned shade(enum lt_hue hue)
{
	unsigned inks[LT_COLOUR_PARTS];
	struct lt_colour colour = { .count = 1, .hues = { (unsigned char)hue } };
	assert_int_equal(lt_colour_inks(inks, &colour), 1);
	assert_true(inks[0] <= 0xFFFFFF);
	return inks[0];
}

/* IEC 61966-2-1 (sRGB). */
static double linear(unsigned byte)
{
	double share = byte / 255.0;
	return share <= 0.04045 ? share / 12.92 : pow((share + 0.055) / 1.055, 2.4);
}

struct luv {
	double l, u, v;
};

/* sRGB to XYZ by IEC 61966-2-1, XYZ to L*u*v* by CIE 15, both for the white of D65. */
static struct luv measure(unsigned ink)
{
	double red = linear(ink >> 16 & 255), green = linear(ink >> 8 & 255),
	       blue = linear(ink & 255);
	double x = 0.4124 * red + 0.3576 * green + 0.1805 * blue;
	double y = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
	double z = 0.0193 * red + 0.1192 * green + 0.9505 * blue;
	double sum = x + 15 * y + 3 * z;
	if (sum == 0)
		return (struct luv){ 0 };
	double l = y > 216.0 / 24389 ? 116 * cbrt(y) - 16 : 24389.0 / 27 * y;
	return (struct luv){ l, 13 * l * (4 * x / sum - 0.1978), 13 * l * (9 * y / sum - 0.4683) };
}

/* Degrees: the hue of CIE 15, for reds about 10, yellows 80, greens 130, blues 260. */
static double angle(struct luv colour)
{
	double degrees = atan2(colour.v, colour.u) * 180 / acos(-1);
	return degrees < 0 ? degrees + 360 : degrees;
}

static double chroma(struct luv colour)
{
	return hypot(colour.u, colour.v);
}

static void test_all_shades_differ(void **state)
{
	(void)state;
	for (int a = 0; a < LT_HUE_GNYE; a++) {
		for (int b = a + 1; b < LT_HUE_GNYE; b++) {
			struct luv one = measure(shade((enum lt_hue)a));
			struct luv two = measure(shade((enum lt_hue)b));
			double apart = hypot(one.l - two.l, hypot(one.u - two.u, one.v - two.v));
			if (apart < APART_LEAST)
				fail_msg("%s and %s are %.1f apart", lt_hue_code((enum lt_hue)a),
					lt_hue_code((enum lt_hue)b), apart);
		}
	}
}

/* Each has the hue of its name, is vivid or not, and is light or dark, as the name has it. */
static void test_each_shade_looks_like_its_name(void **state)
{
	(void)state;
	static const struct {
		enum lt_hue hue;
		double from, to;        /* degrees of hue; not looked at where there is no chroma */
		double dullest, purest; /* chroma */
		double darkest, lightest;
	} rows[] = {
		{ LT_HUE_BK, 0, 0, 0, 1, 0, 5 },
		{ LT_HUE_BN, 15, 60, 25, 70, 25, 45 },
		{ LT_HUE_RD, 5, 18, 100, 200, 35, 55 },
		{ LT_HUE_OG, 22, 45, 80, 160, 55, 75 },
		{ LT_HUE_YE, 65, 90, 80, 130, 80, 95 },
		{ LT_HUE_GN, 115, 150, 45, 120, 40, 60 },
		{ LT_HUE_BU, 240, 268, 60, 140, 25, 50 },
		{ LT_HUE_VT, 275, 300, 60, 130, 25, 45 },
		{ LT_HUE_GY, 0, 360, 0, 10, 40, 60 },
		{ LT_HUE_WH, 0, 0, 0, 1, 99, 101 },
		{ LT_HUE_PK, 330, 360, 40, 80, 65, 85 },
		{ LT_HUE_GD, 50, 75, 50, 90, 55, 75 },
		{ LT_HUE_TQ, 170, 205, 35, 80, 60, 80 },
		{ LT_HUE_SR, 0, 360, 0, 12, 68, 85 },
	};
	assert_int_equal(sizeof rows / sizeof rows[0], LT_HUE_GNYE);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct luv ink = measure(shade(rows[i].hue));
		bool hue = rows[i].purest < 2 ||
			   (angle(ink) >= rows[i].from && angle(ink) <= rows[i].to);
		if (!hue || chroma(ink) < rows[i].dullest || chroma(ink) > rows[i].purest ||
			ink.l < rows[i].darkest || ink.l > rows[i].lightest)
			fail_msg("%s is of hue %.0f, chroma %.0f, lightness %.0f",
				lt_hue_code(rows[i].hue), angle(ink), chroma(ink), ink.l);
	}
	assert_int_equal(shade(LT_HUE_WH), 0xFFFFFF);
	assert_int_equal(shade(LT_HUE_BK), 0);
}

static void test_more_than_one(void **state)
{
	(void)state;
	unsigned inks[LT_COLOUR_PARTS];
	assert_int_equal(lt_colour_inks(inks, &(struct lt_colour){ 0 }), 0);
	assert_int_equal(lt_colour_inks(inks, &(struct lt_colour){ 2, { LT_HUE_WH, LT_HUE_RD } }),
		2);
	assert_int_equal(inks[0], shade(LT_HUE_WH));
	assert_int_equal(inks[1], shade(LT_HUE_RD));
	assert_int_equal(lt_colour_inks(inks,
				 &(struct lt_colour){ 3, { LT_HUE_YE, LT_HUE_GN, LT_HUE_BK } }),
		3);
	assert_int_equal(inks[0], shade(LT_HUE_YE));
	assert_int_equal(inks[1], shade(LT_HUE_GN));
	assert_int_equal(inks[2], shade(LT_HUE_BK));
}

/* IEC 60445: protective earth is the combination of green and yellow. */
static void test_earth_is_green_and_yellow(void **state)
{
	(void)state;
	unsigned inks[LT_COLOUR_PARTS];
	assert_int_equal(lt_colour_inks(inks, &(struct lt_colour){ 1, { LT_HUE_GNYE } }), 2);
	assert_int_equal(inks[0], shade(LT_HUE_GN));
	assert_int_equal(inks[1], shade(LT_HUE_YE));
	/* Nonsense does not write beyond the end. */
	struct lt_colour earths = { 3, { LT_HUE_GNYE, LT_HUE_GNYE, LT_HUE_GNYE } };
	assert_int_equal(lt_colour_inks(inks, &earths), LT_COLOUR_PARTS);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_all_shades_differ),
		cmocka_unit_test(test_each_shade_looks_like_its_name),
		cmocka_unit_test(test_more_than_one),
		cmocka_unit_test(test_earth_is_green_and_yellow),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
