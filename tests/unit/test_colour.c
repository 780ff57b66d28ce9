/* Colours against IEC 60757, IEC 60445 and DIN 47100. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/trade.h"

static const enum lt_colour_convention conventions[] = { LT_CONVENTION_IEC, LT_CONVENTION_ENGLISH,
	LT_CONVENTION_GERMAN };
#define CUSTOMS 3

static void expect_read(const char *text, enum lt_colour_convention convention, const char *code)
{
	struct lt_colour colour;
	char written[LT_COLOUR_CODE_SIZE];
	const char *doubt;
	if (lt_colour_read(&colour, &doubt, text, convention) != LT_COLOUR_OK)
		fail_msg("\"%s\" is not read", text);
	assert_null(doubt);
	lt_colour_code(written, &colour);
	assert_string_equal(written, code);
}

static void expect_read_by_all(const char *text, const char *code)
{
	for (size_t i = 0; i < CUSTOMS; i++)
		expect_read(text, conventions[i], code);
}

static void expect_unknown(const char *text)
{
	for (size_t i = 0; i < CUSTOMS; i++) {
		struct lt_colour colour = { .count = 2 };
		const char *doubt;
		if (lt_colour_read(&colour, &doubt, text, conventions[i]) != LT_COLOUR_UNKNOWN)
			fail_msg("\"%s\" is no colour", text);
		assert_int_equal(colour.count, 0);
	}
}

static void expect_doubt(const char *text, const char *code, const char *other)
{
	struct lt_colour colour;
	char written[LT_COLOUR_CODE_SIZE];
	const char *doubt;
	assert_int_equal(lt_colour_read(&colour, &doubt, text, LT_CONVENTION_IEC),
		LT_COLOUR_AMBIGUOUS);
	lt_colour_code(written, &colour);
	assert_string_equal(written, code);
	assert_non_null(doubt);
	assert_non_null(strstr(doubt, other));
}

/* IEC 60757:2021, table of colour codes. */
static void test_iec_60757(void **state)
{
	(void)state;
	static const struct {
		enum lt_hue hue;
		const char *code;
		const char *name;
	} table[] = { { LT_HUE_BK, "BK", "black" }, { LT_HUE_BN, "BN", "brown" },
		{ LT_HUE_RD, "RD", "red" }, { LT_HUE_OG, "OG", "orange" },
		{ LT_HUE_YE, "YE", "yellow" }, { LT_HUE_GN, "GN", "green" },
		{ LT_HUE_BU, "BU", "blue" }, { LT_HUE_VT, "VT", "violet" },
		{ LT_HUE_GY, "GY", "grey" }, { LT_HUE_WH, "WH", "white" },
		{ LT_HUE_PK, "PK", "pink" }, { LT_HUE_GD, "GD", "gold" },
		{ LT_HUE_TQ, "TQ", "turquoise" }, { LT_HUE_SR, "SR", "silver" },
		{ LT_HUE_GNYE, "GNYE", "green-and-yellow" } };
	assert_int_equal(sizeof(table) / sizeof(table[0]), LT_HUE_COUNT);
	for (size_t i = 0; i < LT_HUE_COUNT; i++) {
		struct lt_colour colour;
		const char *doubt;
		assert_string_equal(lt_hue_code(table[i].hue), table[i].code);
		assert_string_equal(lt_hue_name(table[i].hue), table[i].name);
		expect_read_by_all(table[i].code, table[i].code);
		expect_read_by_all(table[i].name, table[i].code);
		assert_int_equal(lt_colour_read(&colour, &doubt, table[i].code, LT_CONVENTION_IEC),
			LT_COLOUR_OK);
		assert_int_equal(colour.count, 1);
		assert_int_equal(colour.hues[0], table[i].hue);
	}
	/* 5.1: an item of red and blue is written RDBU. */
	expect_read_by_all("RDBU", "RDBU");
}

/* DIN 47100, cores 1 to 44: base colour first. */
static const char *const din_47100[] = { "WH", "BN", "GN", "YE", "GY", "PK", "BU", "RD", "BK", "VT",
	"GYPK", "RDBU", "WHGN", "BNGN", "WHYE", "YEBN", "WHGY", "GYBN", "WHPK", "PKBN", "WHBU",
	"BNBU", "WHRD", "BNRD", "WHBK", "BNBK", "GYGN", "YEGY", "PKGN", "YEPK", "GNBU", "YEBU",
	"GNRD", "YERD", "GNBK", "YEBK", "GYBU", "PKBU", "GYRD", "PKRD", "GYBK", "PKBK", "BUBK",
	"RDBK" };
#define CORES (sizeof(din_47100) / sizeof(din_47100[0]))

static void test_din_47100(void **state)
{
	(void)state;
	struct lt_colour cores[CORES];
	const char *doubt;
	assert_int_equal(CORES, 44);
	for (size_t i = 0; i < CORES; i++) {
		expect_read_by_all(din_47100[i], din_47100[i]);
		lt_colour_read(&cores[i], &doubt, din_47100[i], LT_CONVENTION_IEC);
		assert_int_equal(cores[i].count, strlen(din_47100[i]) / 2);
		assert_false(lt_colour_is_earth(&cores[i]));
		for (size_t j = 0; j < i; j++)
			assert_false(lt_colour_same(&cores[i], &cores[j]));
		assert_true(lt_colour_same(&cores[i], &cores[i]));
	}
}

/* The same table in the German abbreviations that the cable's own lists use, made from
 * the IEC codes here and turned back by the reader. */
static const char *german_of(const char *part)
{
	static const char *const german[][2] = { { "WH", "ws" }, { "BN", "br" }, { "GN", "gn" },
		{ "YE", "ge" }, { "GY", "gr" }, { "PK", "rs" }, { "BU", "bl" }, { "RD", "rt" },
		{ "BK", "sw" }, { "VT", "vi" } };
	for (size_t i = 0; i < sizeof(german) / sizeof(german[0]); i++)
		if (strncmp(part, german[i][0], 2) == 0)
			return german[i][1];
	fail_msg("%s has no German abbreviation", part);
	return "";
}

static void test_din_47100_in_german(void **state)
{
	(void)state;
	static const char *const joints[] = { "", "/", "-", " ", " + " };
	for (size_t i = 0; i < CORES; i++) {
		const char *core = din_47100[i];
		if (strlen(core) == 2) {
			expect_read(german_of(core), LT_CONVENTION_GERMAN, core);
			continue;
		}
		for (size_t j = 0; j < sizeof(joints) / sizeof(joints[0]); j++) {
			char text[16];
			snprintf(text, sizeof(text), "%s%s%s", german_of(core), joints[j],
				german_of(core + 2));
			expect_read(text, LT_CONVENTION_GERMAN, core);
		}
	}
}

/* IEC 60445: green-and-yellow is protective earth; IEC 60757, 5.1: written GNYE. A three-colour
 * core such as DIN 47100's YEGNBK is not. */
static void test_earth(void **state)
{
	(void)state;
	static const char *const earths[] = { "GNYE", "YEGN", "gnye", "GN/YE", "YE-GN", "GN YE",
		"green/yellow", "yellow and green", "green-and-yellow", "Green + Yellow", "gnge",
		"gegn", "GRN/YEL", " GNYE " };
	static const char *const others[] = { "YEGNBK", "GNYEBK", "BKGNYE", "GN", "YE", "GNBU",
		"YEBU" };
	struct lt_colour colour;
	const char *doubt;
	for (size_t i = 0; i < sizeof(earths) / sizeof(earths[0]); i++) {
		expect_read_by_all(earths[i], "GNYE");
		lt_colour_read(&colour, &doubt, earths[i], LT_CONVENTION_IEC);
		assert_true(lt_colour_is_earth(&colour));
	}
	for (size_t i = 0; i < sizeof(others) / sizeof(others[0]); i++) {
		expect_read_by_all(others[i], others[i]);
		lt_colour_read(&colour, &doubt, others[i], LT_CONVENTION_IEC);
		assert_false(lt_colour_is_earth(&colour));
	}
	colour.count = 0;
	assert_false(lt_colour_is_earth(&colour));
}

static void test_ways_of_writing(void **state)
{
	(void)state;
	static const char *const table[][2] = { { "whrd", "WHRD" }, { "WhRd", "WHRD" },
		{ "WH/RD", "WHRD" }, { "wh-rd", "WHRD" }, { "WH+RD", "WHRD" }, { "WH rd", "WHRD" },
		{ "WH / RD", "WHRD" }, { "white-red", "WHRD" }, { "white and red", "WHRD" },
		{ "White/RD", "WHRD" }, { "\tRED ", "RD" }, { "gray", "GY" }, { "purple", "VT" },
		{ "silver/gold/turquoise", "SRGDTQ" }, { "WHBU BK", "WHBUBK" }, { "brown, ", NULL },
		{ "red-and-white", "RDWH" } };
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		if (table[i][1])
			expect_read_by_all(table[i][0], table[i][1]);
		else
			expect_unknown(table[i][0]);
	}
}

/* Common practice. */
static void test_abbreviations(void **state)
{
	(void)state;
	static const char *const table[][2] = { { "BLK", "BK" }, { "BRN", "BN" }, { "RED", "RD" },
		{ "ORG", "OG" }, { "ORN", "OG" }, { "YEL", "YE" }, { "GRN", "GN" }, { "BLU", "BU" },
		{ "VIO", "VT" }, { "PUR", "VT" }, { "PPL", "VT" }, { "GRY", "GY" }, { "GRA", "GY" },
		{ "WHT", "WH" }, { "PNK", "PK" }, { "TAN", "BN" }, { "sw", "BK" }, { "rt", "RD" },
		{ "or", "OG" }, { "ge", "YE" }, { "gn", "GN" }, { "vi", "VT" }, { "ws", "WH" },
		{ "rs", "PK" }, { "tk", "TQ" }, { "swrt", "BKRD" }, { "BLK/WHT", "BKWH" } };
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		expect_read_by_all(table[i][0], table[i][1]);
}

/* Common practice: codes that are meant in more than one way. */
static void test_ambiguous(void **state)
{
	(void)state;
	expect_doubt("GR", "GN", "GY");
	expect_doubt("gr", "GN", "GY");
	expect_doubt("BL", "BU", "BK");
	expect_doubt("BR", "BN", "BKRD");
	expect_doubt("GRWH", "GNWH", "GY");
	expect_doubt("WH/GR", "WHGN", "GY");
	/* No colour in English, since green would be there twice: grey and green in German. */
	expect_doubt("GRGN", "GYGN", "GN");
	expect_read("GR", LT_CONVENTION_ENGLISH, "GN");
	expect_read("GR", LT_CONVENTION_GERMAN, "GY");
	expect_read("BL", LT_CONVENTION_ENGLISH, "BU");
	expect_read("BL", LT_CONVENTION_GERMAN, "BU");
	expect_read("BR", LT_CONVENTION_ENGLISH, "BN");
	expect_read("BR", LT_CONVENTION_GERMAN, "BN");
	expect_read("GRWS", LT_CONVENTION_GERMAN, "GYWH");
	expect_read("GRGN", LT_CONVENTION_GERMAN, "GYGN");
	/* Grey with yellow is no earth; nor are these doubted for the letters they contain. */
	expect_read("GRGE", LT_CONVENTION_GERMAN, "GYYE");
	expect_read_by_all("GREY", "GY");
	expect_read_by_all("BLUE", "BU");
	expect_read_by_all("BRN", "BN");
	expect_doubt("WHGR", "WHGN", "GN");
}

static void test_no_colour(void **state)
{
	(void)state;
	static const char *const texts[] = { "", " ", "B", "XX", "BKX", "BKXX", "BKBK", "BK/BK",
		"GNGN", "GNYEGN", "GNYEGNYE", "BKBNRDOG", "BK/BN/RD/OG", "black/black", "blk/black",
		"mauve", "dark blue", "blackred", "/BK", "BK/", "BK//WH", "BK-/WH", "-", "and",
		"red and", "and red", "red andwhite", "red and and white", "BK,WH", "BK1", "1",
		"BK\nWH", "gr\xc3\xbcn", "\xff", "BK\xc2\xa0WH", "BKWHT", "GNYEBKWH" };
	for (size_t i = 0; i < sizeof(texts) / sizeof(texts[0]); i++)
		expect_unknown(texts[i]);
}

static void test_same_and_none(void **state)
{
	(void)state;
	struct lt_colour none = { .count = 0, .hues = { 7, 7, 7 } };
	struct lt_colour red = { .count = 1, .hues = { LT_HUE_RD, 3, 3 } };
	struct lt_colour red_again = { .count = 1, .hues = { LT_HUE_RD, 4, 4 } };
	struct lt_colour red_white = { .count = 2, .hues = { LT_HUE_RD, LT_HUE_WH } };
	struct lt_colour white_red = { .count = 2, .hues = { LT_HUE_WH, LT_HUE_RD } };
	char written[LT_COLOUR_CODE_SIZE] = "x";
	lt_colour_code(written, &none);
	assert_string_equal(written, "");
	assert_true(lt_colour_same(&none, &(struct lt_colour){ .count = 0 }));
	assert_true(lt_colour_same(&red, &red_again));
	assert_false(lt_colour_same(&red, &red_white));
	assert_false(lt_colour_same(&white_red, &red_white));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_iec_60757),
		cmocka_unit_test(test_din_47100),
		cmocka_unit_test(test_din_47100_in_german),
		cmocka_unit_test(test_earth),
		cmocka_unit_test(test_ways_of_writing),
		cmocka_unit_test(test_abbreviations),
		cmocka_unit_test(test_ambiguous),
		cmocka_unit_test(test_no_colour),
		cmocka_unit_test(test_same_and_none),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
