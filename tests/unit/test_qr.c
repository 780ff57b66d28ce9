/* QR symbols against ISO/IEC 18004, and against the encoder's own limits. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <qrencode.h>
#include <stdio.h>
#include <string.h>

#include "loomtag/label.h"

#define TEXT_SIZE 7200

/* `length` characters of the mode, and of none denser. */
static void fill(char text[TEXT_SIZE], size_t length, enum lt_qr_mode mode)
{
	static const char of_mode[] = { '7', 'K', 'k' };
	memset(text, of_mode[mode], length);
	text[length] = '\0';
}

/* Writes one character of two bytes over two others. */
static void put_beyond_ascii(char *at)
{
	at[0] = '\xc3';
	at[1] = '\xbc';
}

static enum lt_qr_mode mode_of(const char *text)
{
	struct lt_qr_plan plan;
	assert_true(lt_qr_plan(&plan, text, LT_QR_L));
	return plan.mode;
}

/* The most characters that are planned for a version: found by halves. */
static unsigned find_capacity(unsigned version, enum lt_qr_level level, enum lt_qr_mode mode)
{
	static char text[TEXT_SIZE];
	unsigned fits = 0;
	for (unsigned step = 4096; step > 0; step /= 2) {
		struct lt_qr_plan plan;
		if (fits + step >= TEXT_SIZE)
			continue;
		fill(text, fits + step, mode);
		if (lt_qr_plan(&plan, text, level) && plan.version <= version)
			fits += step;
	}
	return fits;
}

static unsigned capacity(unsigned version, enum lt_qr_level level, enum lt_qr_mode mode)
{
	static unsigned found[LT_QR_VERSION_MAX + 1][LT_QR_H + 1][LT_QR_BYTES + 1];
	unsigned *of = &found[version][level][mode];
	if (*of == 0)
		*of = find_capacity(version, level, mode);
	return *of;
}

/* ISO/IEC 18004, table of symbol capacities: numeric, alphanumeric, bytes. */
static void test_capacities_printed_in_the_standard(void **state)
{
	(void)state;
	static const unsigned table[5][4][3] = {
		{ { 41, 25, 17 }, { 34, 20, 14 }, { 27, 16, 11 }, { 17, 10, 7 } },
		{ { 77, 47, 32 }, { 63, 38, 26 }, { 48, 29, 20 }, { 34, 20, 14 } },
		{ { 127, 77, 53 }, { 101, 61, 42 }, { 77, 47, 32 }, { 58, 35, 24 } },
		{ { 187, 114, 78 }, { 149, 90, 62 }, { 111, 67, 46 }, { 82, 50, 34 } },
		{ { 255, 154, 106 }, { 202, 122, 84 }, { 144, 87, 60 }, { 106, 64, 44 } },
	};
	for (unsigned v = 1; v <= 5; v++)
		for (unsigned level = LT_QR_L; level <= LT_QR_H; level++)
			for (unsigned mode = LT_QR_NUMERIC; mode <= LT_QR_BYTES; mode++)
				assert_int_equal(capacity(v, level, mode),
					table[v - 1][level][mode]);
	/* The largest symbol, from memory of the same table. */
	assert_int_equal(capacity(40, LT_QR_L, LT_QR_NUMERIC), 7089);
	assert_int_equal(capacity(40, LT_QR_L, LT_QR_ALPHANUMERIC), 4296);
	assert_int_equal(capacity(40, LT_QR_L, LT_QR_BYTES), 2953);
	assert_int_equal(capacity(40, LT_QR_H, LT_QR_BYTES), 1273);
}

/* The version that the encoder takes when asked for `version`; 0 when it refuses. */
static int version_taken(unsigned version, enum lt_qr_level level, enum lt_qr_mode mode,
	const char *text)
{
	static const QRencodeMode modes[] = { QR_MODE_NUM, QR_MODE_AN, QR_MODE_8 };
	QRinput *input = QRinput_new2((int)version, (QRecLevel)level);
	int taken = 0;
	assert_non_null(input);
	if (QRinput_append(input, modes[mode], (int)strlen(text), (const unsigned char *)text) ==
		0) {
		QRcode *symbol = QRcode_encodeInput(input);
		if (symbol)
			taken = symbol->version;
		QRcode_free(symbol);
	}
	QRinput_free(input);
	return taken;
}

/* Every version, level and mode: the encoder takes so many characters and not one more. */
static void test_capacities_match_the_encoder(void **state)
{
	(void)state;
	static char text[TEXT_SIZE];
	for (unsigned v = 1; v <= LT_QR_VERSION_MAX; v++) {
		for (unsigned level = LT_QR_L; level <= LT_QR_H; level++) {
			for (unsigned mode = LT_QR_NUMERIC; mode <= LT_QR_BYTES; mode++) {
				unsigned room = capacity(v, level, mode);
				fill(text, room, mode);
				assert_int_equal(version_taken(v, level, mode, text), v);
				fill(text, room + 1, mode);
				assert_int_equal(version_taken(v, level, mode, text),
					v < 40 ? v + 1 : 0);
			}
		}
	}
}

static void test_modes(void **state)
{
	(void)state;
	assert_int_equal(mode_of("0123456789"), LT_QR_NUMERIC);
	assert_int_equal(mode_of("12HRV3J"), LT_QR_ALPHANUMERIC);
	assert_int_equal(mode_of("HTTP://BENCH.LOCAL:8080/12HRV3J"), LT_QR_ALPHANUMERIC);
	/* ISO/IEC 18004, the alphanumeric set: 45 characters. */
	unsigned in_set = 0;
	for (unsigned c = 1; c < 256; c++) {
		char text[2] = { (char)c, '\0' };
		bool is_in = mode_of(text) != LT_QR_BYTES;
		in_set += is_in;
		assert_int_equal(is_in,
			strchr("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:", (int)c) != NULL);
	}
	assert_int_equal(in_set, 45);
	assert_int_equal(mode_of("12HRV3j"), LT_QR_BYTES);
}

/* The plan against a search of the capacity table, just below, at and above every boundary. */
static void test_plan_takes_the_smallest_and_strongest(void **state)
{
	(void)state;
	static char text[TEXT_SIZE];
	for (unsigned floor = LT_QR_L; floor <= LT_QR_M; floor++) {
		for (unsigned mode = LT_QR_NUMERIC; mode <= LT_QR_BYTES; mode++) {
			unsigned most = capacity(LT_QR_VERSION_MAX, floor, mode);
			for (unsigned length = 1; length <= most; length += length < 300 ? 1 : 17) {
				unsigned v = 1;
				struct lt_qr_plan plan;
				while (capacity(v, floor, mode) < length)
					v++;
				unsigned level = LT_QR_H;
				while (capacity(v, level, mode) < length)
					level--;
				fill(text, length, mode);
				assert_true(lt_qr_plan(&plan, text, floor));
				assert_int_equal(plan.version, v);
				assert_int_equal(plan.level, level);
				assert_int_equal(plan.mode, mode);
				assert_int_equal(plan.modules, 17 + 4 * v);
			}
			struct lt_qr_plan plan;
			fill(text, most, mode);
			assert_true(lt_qr_plan(&plan, text, floor));
			fill(text, most + 1, mode);
			assert_false(lt_qr_plan(&plan, text, floor));
		}
	}
	struct lt_qr_plan plan;
	assert_false(lt_qr_plan(&plan, "", LT_QR_L));
}

/* A scan code alone: version 1 at level H up to 10 characters, Q to 16, M to 20 (ISO/IEC 18004,
 * table of symbol capacities). */
static void test_scan_codes(void **state)
{
	(void)state;
	for (unsigned length = 1; length <= 20; length++) {
		char text[TEXT_SIZE];
		struct lt_qr_plan plan;
		fill(text, length, LT_QR_ALPHANUMERIC);
		assert_true(lt_qr_plan(&plan, text, LT_QR_M));
		assert_int_equal(plan.version, 1);
		assert_int_equal(lt_qr_level_letter(plan.level), length <= 10   ? 'H'
								 : length <= 16 ? 'Q'
										: 'M');
	}
}

/* ISO/IEC 18004: a finder is a dark ring of 7 x 7 round a dark square of 3 x 3, with a light ring
 * between and, towards the symbol, round it. */
static void expect_finder(const struct lt_qr *qr, unsigned left, unsigned top)
{
	for (int y = -1; y <= 7; y++) {
		for (int x = -1; x <= 7; x++) {
			int at_x = (int)left + x;
			int at_y = (int)top + y;
			if (at_x < 0 || at_y < 0 || at_x >= (int)qr->modules ||
				at_y >= (int)qr->modules)
				continue;
			int from_middle_x = x < 3 ? 3 - x : x - 3;
			int from_middle_y = y < 3 ? 3 - y : y - 3;
			int ring = from_middle_x > from_middle_y ? from_middle_x : from_middle_y;
			bool dark = ring <= 1 || ring == 3;
			assert_int_equal(lt_qr_dark(qr, (unsigned)at_x, (unsigned)at_y), dark);
		}
	}
}

static void expect_symbol(const struct lt_qr *qr, const struct lt_qr_plan *plan)
{
	unsigned n = 17 + 4 * plan->version;
	assert_int_equal(qr->modules, n);
	expect_finder(qr, 0, 0);
	expect_finder(qr, n - 7, 0);
	expect_finder(qr, 0, n - 7);
	/* Timing lines: dark and light by turns. */
	for (unsigned i = 8; i < n - 8; i++) {
		assert_int_equal(lt_qr_dark(qr, i, 6), i % 2 == 0);
		assert_int_equal(lt_qr_dark(qr, 6, i), i % 2 == 0);
	}
	/* The module that is always dark. */
	assert_true(lt_qr_dark(qr, 8, n - 8));
	/* Format information: the first two bits, unmasked (the mask begins with 10), are the
	 * level: L 01, M 00, Q 11, H 10. */
	unsigned level = (unsigned)lt_qr_dark(qr, 0, 8) << 1 | (unsigned)lt_qr_dark(qr, 1, 8);
	static const unsigned levels[] = { 1, 0, 3, 2 };
	assert_int_equal(level ^ 2u, levels[plan->level]);
	for (size_t i = 0; i < (size_t)n * n; i++)
		assert_true(qr->cells[i] <= 1);
}

static void encode(const char *text, enum lt_qr_level floor)
{
	struct lt_arena arena;
	struct lt_diags diags;
	struct lt_qr_plan plan;
	struct lt_qr qr;
	lt_arena_init(&arena);
	lt_diags_init(&diags);
	assert_true(lt_qr_plan(&plan, text, floor));
	if (!lt_qr_encode(&qr, &arena, text, &plan, &diags))
		fail_msg("\"%s\" is not encoded", text);
	assert_int_equal(diags.count, 0);
	expect_symbol(&qr, &plan);
	lt_diags_finish(&diags);
	lt_arena_finish(&arena);
}

static void test_symbols(void **state)
{
	(void)state;
	static char text[TEXT_SIZE];
	for (unsigned length = 1; length <= 19; length++) {
		fill(text, length, LT_QR_ALPHANUMERIC);
		encode(text, LT_QR_L);
		encode(text, LT_QR_M);
	}
	encode("12HRV3J", LT_QR_M);
	encode("HTTP://BENCH.LOCAL:8080/12HRV3U0042J", LT_QR_M);
	encode("12HRV3J vent motor, left gearbox: 1 BN, 2 BU, 3 GNYE", LT_QR_L);
	for (unsigned v = 1; v <= LT_QR_VERSION_MAX; v += 3) {
		fill(text, capacity(v, LT_QR_M, LT_QR_BYTES), LT_QR_BYTES);
		encode(text, LT_QR_M);
	}
}

/* Text beyond ASCII takes an ECI header; at every length the encoder must go along with the plan,
 * else lt_qr_encode refuses. */
static void test_text_beyond_ascii(void **state)
{
	(void)state;
	static char text[TEXT_SIZE];
	for (unsigned length = 2; length <= 190; length++) {
		fill(text, length, LT_QR_BYTES);
		put_beyond_ascii(text);
		encode(text, LT_QR_L);
		encode(text, LT_QR_M);
	}
	/* The encoder sets 28 bits aside: of the 17 bytes of version 1 at level L, 14 are left. */
	struct lt_qr_plan plan;
	fill(text, 14, LT_QR_BYTES);
	put_beyond_ascii(text);
	assert_true(lt_qr_plan(&plan, text, LT_QR_L));
	assert_int_equal(plan.version, 1);
	fill(text, 15, LT_QR_BYTES);
	assert_true(lt_qr_plan(&plan, text, LT_QR_L));
	assert_int_equal(plan.version, 1);
	put_beyond_ascii(text);
	assert_true(lt_qr_plan(&plan, text, LT_QR_L));
	assert_int_equal(plan.version, 2);
}

/* A plan that the text does not fit: an error that names the text, and no symbol. */
static void expect_refused(const char *text, const char *shown, const struct lt_qr_plan *plan)
{
	struct lt_arena arena;
	struct lt_diags diags;
	struct lt_qr qr = { .modules = 99 };
	lt_arena_init(&arena);
	lt_diags_init(&diags);
	assert_false(lt_qr_encode(&qr, &arena, text, plan, &diags));
	assert_int_equal(diags.errors, 1);
	assert_non_null(strstr(diags.items[0].message, shown));
	assert_non_null(diags.items[0].hint);
	assert_int_equal(qr.modules, 0);
	assert_null(qr.cells);
	lt_diags_finish(&diags);
	lt_arena_finish(&arena);
}

static void test_wrong_plans(void **state)
{
	(void)state;
	struct lt_qr_plan plan;
	assert_true(lt_qr_plan(&plan, "12HRV3J", LT_QR_M));
	/* One character too many for level H: the encoder would silently take version 2. */
	expect_refused("12HRV3U042J", "12HRV3U042J", &plan);
	/* Not of the mode. */
	expect_refused("12hrv3j", "12hrv3j", &plan);
	expect_refused("", "", &plan);
	plan.version = 0;
	expect_refused("12HRV3J", "12HRV3J", &plan);
	plan.version = 41;
	expect_refused("12HRV3J", "12HRV3J", &plan);
	static char text[2 * TEXT_SIZE];
	memset(text, '1', sizeof(text) - 1);
	plan = (struct lt_qr_plan){ .version = 40, .mode = LT_QR_NUMERIC, .modules = 177 };
	expect_refused(text, "\"1111111111111111111111111111111111111111…\"", &plan);
	/* A long text is cut between characters. */
	put_beyond_ascii(text + 39);
	expect_refused(text, "\"111111111111111111111111111111111111111…\"", &plan);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_capacities_printed_in_the_standard),
		cmocka_unit_test(test_capacities_match_the_encoder),
		cmocka_unit_test(test_modes),
		cmocka_unit_test(test_plan_takes_the_smallest_and_strongest),
		cmocka_unit_test(test_scan_codes),
		cmocka_unit_test(test_symbols),
		cmocka_unit_test(test_text_beyond_ascii),
		cmocka_unit_test(test_wrong_plans),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
