/* What a scanner types with a wrong keyboard setting, repaired, against tables of keyboards written
 * apart. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loomtag/verify.h"

/* Keyboards, apart from the tables under test: a key for each position (ISO/IEC 9995-1: row and
 * column), what it types without and with shift. From memory of common operating systems. */
enum { KEYBOARD_KEYS = 46 };
struct key {
	const char *plain, *shifted;
};
typedef struct key keyboard[KEYBOARD_KEYS];

static const keyboard us = {
	/* E01 … E12 */
	{ "1", "!" },
	{ "2", "@" },
	{ "3", "#" },
	{ "4", "$" },
	{ "5", "%" },
	{ "6", "^" },
	{ "7", "&" },
	{ "8", "*" },
	{ "9", "(" },
	{ "0", ")" },
	{ "-", "_" },
	{ "=", "+" },
	/* D01 … D12 */
	{ "q", "Q" },
	{ "w", "W" },
	{ "e", "E" },
	{ "r", "R" },
	{ "t", "T" },
	{ "y", "Y" },
	{ "u", "U" },
	{ "i", "I" },
	{ "o", "O" },
	{ "p", "P" },
	{ "[", "{" },
	{ "]", "}" },
	/* C01 … C12 */
	{ "a", "A" },
	{ "s", "S" },
	{ "d", "D" },
	{ "f", "F" },
	{ "g", "G" },
	{ "h", "H" },
	{ "j", "J" },
	{ "k", "K" },
	{ "l", "L" },
	{ ";", ":" },
	{ "'", "\"" },
	{ "\\", "|" },
	/* B01 … B10 */
	{ "z", "Z" },
	{ "x", "X" },
	{ "c", "C" },
	{ "v", "V" },
	{ "b", "B" },
	{ "n", "N" },
	{ "m", "M" },
	{ ",", "<" },
	{ ".", ">" },
	{ "/", "?" },
};
static const keyboard fr = {
	{ "&", "1" },
	{ "é", "2" },
	{ "\"", "3" },
	{ "'", "4" },
	{ "(", "5" },
	{ "-", "6" },
	{ "è", "7" },
	{ "_", "8" },
	{ "ç", "9" },
	{ "à", "0" },
	{ ")", "°" },
	{ "=", "+" },
	{ "a", "A" },
	{ "z", "Z" },
	{ "e", "E" },
	{ "r", "R" },
	{ "t", "T" },
	{ "y", "Y" },
	{ "u", "U" },
	{ "i", "I" },
	{ "o", "O" },
	{ "p", "P" },
	{ "^", "¨" },
	{ "$", "£" },
	{ "q", "Q" },
	{ "s", "S" },
	{ "d", "D" },
	{ "f", "F" },
	{ "g", "G" },
	{ "h", "H" },
	{ "j", "J" },
	{ "k", "K" },
	{ "l", "L" },
	{ "m", "M" },
	{ "ù", "%" },
	{ "*", "µ" },
	{ "w", "W" },
	{ "x", "X" },
	{ "c", "C" },
	{ "v", "V" },
	{ "b", "B" },
	{ "n", "N" },
	{ ",", "?" },
	{ ";", "." },
	{ ":", "/" },
	{ "!", "§" },
};
static const keyboard de = {
	{ "1", "!" },
	{ "2", "\"" },
	{ "3", "§" },
	{ "4", "$" },
	{ "5", "%" },
	{ "6", "&" },
	{ "7", "/" },
	{ "8", "(" },
	{ "9", ")" },
	{ "0", "=" },
	{ "ß", "?" },
	{ "´", "`" },
	{ "q", "Q" },
	{ "w", "W" },
	{ "e", "E" },
	{ "r", "R" },
	{ "t", "T" },
	{ "z", "Z" },
	{ "u", "U" },
	{ "i", "I" },
	{ "o", "O" },
	{ "p", "P" },
	{ "ü", "Ü" },
	{ "+", "*" },
	{ "a", "A" },
	{ "s", "S" },
	{ "d", "D" },
	{ "f", "F" },
	{ "g", "G" },
	{ "h", "H" },
	{ "j", "J" },
	{ "k", "K" },
	{ "l", "L" },
	{ "ö", "Ö" },
	{ "ä", "Ä" },
	{ "#", "'" },
	{ "y", "Y" },
	{ "x", "X" },
	{ "c", "C" },
	{ "v", "V" },
	{ "b", "B" },
	{ "n", "N" },
	{ "m", "M" },
	{ ",", ";" },
	{ ".", ":" },
	{ "-", "_" },
};

/* How the scanner makes capitals, and what caps lock does on the host. */
enum caps {
	BY_SHIFT,    /* shift; caps lock off */
	BY_CAPS,     /* caps lock on round each capital; it makes capitals of letters alone */
	BY_CAPS_ROW, /* the same, and it acts as shift on every key */
	LEFT_ON,     /* shift; somebody left caps lock on; letters alone */
	LEFT_ON_ROW, /* the same, and it acts as shift on every key */
	TRUSTED      /* caps lock on for all, and trusted to act as shift, which it does not */
};
static const struct mix {
	const keyboard *scanner, *host;
	enum caps caps;
	enum lt_wedge_trouble trouble;
} mixes[] = {
	{ &us, &us, BY_SHIFT, LT_WEDGE_FINE },
	{ &us, &fr, BY_SHIFT, LT_WEDGE_FRENCH },
	{ &us, &fr, BY_CAPS, LT_WEDGE_FRENCH },
	{ &us, &fr, BY_CAPS_ROW, LT_WEDGE_FRENCH },
	{ &us, &fr, LEFT_ON, LT_WEDGE_FRENCH },
	{ &us, &fr, LEFT_ON_ROW, LT_WEDGE_FRENCH },
	{ &fr, &us, BY_SHIFT, LT_WEDGE_TO_FRENCH },
	{ &fr, &us, BY_CAPS, LT_WEDGE_TO_FRENCH },
	{ &fr, &us, LEFT_ON, LT_WEDGE_TO_FRENCH },
	{ &fr, &us, TRUSTED, LT_WEDGE_TO_FRENCH },
	{ &us, &de, BY_SHIFT, LT_WEDGE_GERMAN },
	{ &us, &de, BY_CAPS, LT_WEDGE_GERMAN },
	{ &us, &de, LEFT_ON, LT_WEDGE_GERMAN },
	{ &de, &us, BY_SHIFT, LT_WEDGE_GERMAN },
	{ &de, &us, BY_CAPS, LT_WEDGE_GERMAN },
	{ &de, &us, LEFT_ON, LT_WEDGE_GERMAN },
};
enum { MIXES = sizeof(mixes) / sizeof(mixes[0]) };

static bool is_small(const char *c)
{
	return *c >= 'a' && *c <= 'z' && c[1] == '\0';
}

static bool is_capital(const char *c)
{
	return *c >= 'A' && *c <= 'Z' && c[1] == '\0';
}

/* What a host's key types. */
static void add_key(struct lt_text *out, const struct key *key, bool shift, bool caps, bool row)
{
	if (caps && (row || is_small(key->plain)))
		shift = !shift;
	const char *typed = shift ? key->shifted : key->plain;
	const bool accented = (unsigned char)typed[0] == 0xC3 && (unsigned char)typed[1] >= 0xA0;
	if (caps && !row && accented) {
		lt_text_add_char(out, typed[0]); /* U+00E0 and on: capitals 0x20 below */
		lt_text_add_char(out, (char)(typed[1] - 0x20));
	} else {
		lt_text_add(out, typed);
	}
}

static void type(struct lt_text *out, const char *payload, const struct mix *mix)
{
	for (; *payload != '\0'; payload++) {
		const char c[2] = { *payload, '\0' };
		size_t at = 0;
		while (at < KEYBOARD_KEYS && strcmp((*mix->scanner)[at].plain, c) != 0 &&
			strcmp((*mix->scanner)[at].shifted, c) != 0)
			at++;
		if (at == KEYBOARD_KEYS) {
			assert_true(c[0] == ' ' || c[0] == '\n' || c[0] == '\r' || c[0] == '\t');
			lt_text_add(out, c);
			continue;
		}
		bool shift = strcmp((*mix->scanner)[at].plain, c) != 0;
		bool caps = mix->caps == LEFT_ON || mix->caps == LEFT_ON_ROW;
		bool row = mix->caps == BY_CAPS_ROW || mix->caps == LEFT_ON_ROW;
		if ((mix->caps == BY_CAPS || mix->caps == BY_CAPS_ROW) && is_capital(c)) {
			caps = true;
			shift = false;
		}
		if (mix->caps == TRUSTED) {
			caps = true;
			shift = !shift;
		}
		add_key(out, &(*mix->host)[at], shift, caps, row);
	}
}

/* From UTF-8, as a terminal that knows Latin-1 alone gives it. */
static void to_latin1(struct lt_text *text)
{
	struct lt_text out = { 0 };
	const char *at = lt_text_string(text);
	uint32_t c;
	while ((c = lt_utf8_next(&at)) != 0) {
		assert_true(c < 0x100);
		lt_text_add_char(&out, (char)c);
	}
	lt_text_clear(text);
	lt_text_add(text, lt_text_string(&out));
	lt_text_finish(&out);
}

/* A harness whose numbers are 1 to `count`: every fifth has one side, every seventh is replaced. */
enum { NUMBERS = 99 };
struct model {
	char code[LT_HARNESS_CODE_MAX + 1];
	struct lt_connector connectors[NUMBERS];
	struct lt_component component;
	struct lt_harness harness;
	unsigned number_of[NUMBERS];
	size_t connector_of[NUMBERS + 1];
	bool retired[NUMBERS + 1];
	struct lt_tags tags;
};

static void set_up(struct model *model, const char *code, size_t count)
{
	memset(model, 0, sizeof(*model));
	snprintf(model->code, sizeof(model->code), "%s", code);
	model->component = (struct lt_component){ .id = "M1", .replace = true };
	model->connector_of[0] = LT_NONE;
	for (size_t i = 0; i < count; i++) {
		model->connectors[i] = (struct lt_connector){ .id = "X",
			.component = i % 7 == 6 ? 0 : LT_NONE,
			.sides = i % 5 == 4 ? 1 : 2 };
		model->number_of[i] = (unsigned)i + 1;
		model->connector_of[i + 1] = i;
	}
	model->harness = (struct lt_harness){ .harness = model->code,
		.components = &model->component,
		.component_count = 1,
		.connectors = model->connectors,
		.connector_count = count };
	snprintf(model->harness.code, sizeof(model->harness.code), "%s", code);
	model->tags = (struct lt_tags){ .harness = &model->harness,
		.number_of = model->number_of,
		.connector_of = model->connector_of,
		.retired = model->retired,
		.number_max = (unsigned)count };
}

static void check(const struct model *model, const char *came, enum lt_wedge_trouble trouble,
	const char *wanted)
{
	struct lt_text out = { 0 };
	const enum lt_wedge_trouble found = lt_wedge_undo(&out, came, strlen(came), &model->tags);
	if (found != trouble || strcmp(lt_text_string(&out), wanted) != 0)
		fail_msg("%s: %d \"%s\", not %d \"%s\"", came, (int)found, lt_text_string(&out),
			(int)trouble, wanted);
	lt_text_finish(&out);
}

static void test_by_hand(void **state)
{
	(void)state;
	struct model model;
	set_up(&model, "RV3", 14);
	check(&model, "12HRV3J", LT_WEDGE_FINE, "12HRV3J");
	check(&model, "&éHRV\"J", LT_WEDGE_FRENCH, "12HRV3J");
	check(&model, "&\xe9HRV\"J", LT_WEDGE_FRENCH, "12HRV3J");
	check(&model, "&Éhrv\"j", LT_WEDGE_FRENCH, "12HRV3J");
	check(&model, "&é?RV\"D", LT_WEDGE_FRENCH, "12MRV3D");
	check(&model, "!@HRV#J", LT_WEDGE_TO_FRENCH, "12HRV3J");
	check(&model, "!@:RV#D\r", LT_WEDGE_TO_FRENCH, "12MRV3D");
	check(&model, "12;rv3d", LT_WEDGE_TO_FRENCH, "12MRV3D");
	check(&model, "  HTTPM§§BENCH<LOCALM_à_à§&éHRV\"J\t", LT_WEDGE_FINE,
		"  HTTPM§§BENCH<LOCALM_à_à§&éHRV\"J\t"); /* no key of a French keyboard types < so
							  */
	check(&model, "  HTTPM!!BENCH:LOQLM_à_à!&éHRV\"J\t", LT_WEDGE_FRENCH, "12HRV3J");
	/* Words behind it change nothing; a second scan does, however mangled. */
	check(&model, "&éHRV\"J X& ,otor", LT_WEDGE_FRENCH, "12HRV3J");
	check(&model, "&éHRV\"J 12MRV3D", LT_WEDGE_FINE, "&éHRV\"J 12MRV3D");
	check(&model, "&éHRV\"J &é?RV\"D", LT_WEDGE_FINE, "&éHRV\"J &é?RV\"D");
	check(&model, "12HRV3J 12MRV3D", LT_WEDGE_FINE, "12HRV3J 12MRV3D");
	/* Another harness, a wrong check character, a tag, nothing. */
	check(&model, "&éHRV(J", LT_WEDGE_FINE, "&éHRV(J");
	check(&model, "&éHRV\"K", LT_WEDGE_FINE, "&éHRV\"K");
	check(&model, "&éH", LT_WEDGE_FINE, "&éH");
	check(&model, "", LT_WEDGE_FINE, "");
	check(&model, " \r\n", LT_WEDGE_FINE, " \r\n");
	/* Two mix-ups within one token are none that is known. */
	check(&model, "&@HRV\"J", LT_WEDGE_FINE, "&@HRV\"J");
}

static void test_live_tags_alone(void **state)
{
	(void)state;
	struct model model;
	set_up(&model, "RV3", 14);
	const struct {
		unsigned number;
		enum lt_side side;
		bool live;
	} rows[] = { { 4, LT_SIDE_M, true }, { 5, LT_SIDE_H, true }, { 5, LT_SIDE_M, false },
		{ 7, LT_SIDE_X, true }, { 8, LT_SIDE_X, false }, { 14, LT_SIDE_H, true },
		{ 15, LT_SIDE_H, false }, { 99999, LT_SIDE_H, false }, { 3, LT_SIDE_H, false } };
	model.connector_of[3] = LT_NONE;
	model.retired[3] = true;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		char code[LT_SCAN_CODE_SIZE];
		struct lt_text came = { 0 };
		lt_scan_code_write(code, rows[i].number, rows[i].side, "RV3");
		type(&came, code, &mixes[1]);
		check(&model, lt_text_string(&came), rows[i].live ? LT_WEDGE_FRENCH : LT_WEDGE_FINE,
			rows[i].live ? code : lt_text_string(&came));
		lt_text_finish(&came);
	}
}

static void test_prefixes(void **state)
{
	(void)state;
	struct model model;
	set_up(&model, "RV3", 14);
	check(&model, "]Q112HRV3J", LT_WEDGE_PREFIX, "12HRV3J");
	check(&model, "]d212mrv3d", LT_WEDGE_PREFIX, "12MRV3D");
	check(&model, "QR12HRV3J", LT_WEDGE_PREFIX, "12HRV3J");
	check(&model, "scan12HRV3J\r\n", LT_WEDGE_PREFIX, "12HRV3J");
	check(&model, "]Q112HRV3J X1 motor", LT_WEDGE_PREFIX, "12HRV3J");
	/* These read as they are: the last run is the code. */
	check(&model, "QR:12HRV3J", LT_WEDGE_FINE, "QR:12HRV3J");
	check(&model, "]Q1HTTP://BENCH.LOCAL:8080/12HRV3J", LT_WEDGE_FINE,
		"]Q1HTTP://BENCH.LOCAL:8080/12HRV3J");
	/* Digits are part of the number, or of nothing. */
	check(&model, "112HRV3J", LT_WEDGE_FINE, "112HRV3J");
	check(&model, "Q112HRV3J", LT_WEDGE_FINE, "Q112HRV3J");
	check(&model, "QR-112HRV3J", LT_WEDGE_FINE, "QR-112HRV3J");
	check(&model, "]Q12HRV3J", LT_WEDGE_FINE, "]Q12HRV3J");
	check(&model, "QRHRV3J", LT_WEDGE_FINE, "QRHRV3J");
	check(&model, "skip 12HRV3J", LT_WEDGE_FINE, "skip 12HRV3J");
	check(&model, "QR12HRV3K", LT_WEDGE_FINE, "QR12HRV3K");
	check(&model, "]Q1", LT_WEDGE_FINE, "]Q1");
}

/* A small generator of its own, so that every run is the same. */
static unsigned long long seed = 20240617;
static unsigned below(unsigned limit)
{
	seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
	return (unsigned)(seed >> 33) % limit;
}

static void random_code(char out[LT_HARNESS_CODE_MAX + 1], size_t longest)
{
	static const char characters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
	const size_t length = 2 + below((unsigned)longest - 1);
	out[0] = characters[below(26)];
	for (size_t i = 1; i < length; i++)
		out[i] = characters[below(36)];
	out[length] = '\0';
}

enum { PAYLOADS = 3 };
static void make_payload(struct lt_text *out, const char *code, size_t kind)
{
	lt_text_clear(out);
	if (kind == 1)
		lt_text_add(out, "HTTP://BENCH.LOCAL:8080/");
	lt_text_add(out, code);
	if (kind == 2)
		lt_text_add(out,
			" X4 ridge vent to M1 vent motor; behind the left cover; 1 BN, 2 BU");
}

/* The characters of a text's first word, capitals for small letters, from its end. */
static size_t backwards(uint32_t *out, size_t room, const char *at)
{
	uint32_t forwards[256];
	size_t length = 0;
	while (*at != '\0' && *at != ' ' && length < 256) {
		uint32_t c = lt_utf8_next(&at);
		const bool small = (c >= 'a' && c <= 'z') || (c >= 0xE0 && c <= 0xFE);
		/* Keys of M on one of the keyboards: shift and caps lock may be mixed. */
		forwards[length++] = small ? c - 0x20 : c == ';' ? ':' : c == ',' ? '?' : c;
	}
	for (size_t i = 0; i < length && i < room; i++)
		out[i] = forwards[length - 1 - i];
	return length < room ? length : room;
}

/* In how many characters the end of `came` is not what `code` types as. */
static unsigned far(const char *came, const char *code, const struct mix *mix)
{
	uint32_t a[256];
	uint32_t b[256];
	struct lt_text typed = { 0 };
	unsigned count = 0;
	type(&typed, code, mix);
	const size_t a_length = backwards(a, 256, came);
	const size_t b_length = backwards(b, 256, lt_text_string(&typed));
	for (size_t i = 0; i < b_length; i++)
		count += i >= a_length || a[i] != b[i];
	lt_text_finish(&typed);
	return count;
}

/* The least distance of what came to how a live sticker types: any but `not`, or NULL for all. */
static unsigned nearest(const struct model *model, const char *came, const char * not )
{
	unsigned least = 99;
	for (unsigned number = 1; number <= model->tags.number_max; number++) {
		enum lt_side sides[LT_SIDE_COUNT];
		const size_t count = lt_tag_sides(sides, &model->tags, number - 1);
		for (size_t side = 0; side < count; side++)
			for (size_t i = 0; i < MIXES; i++) {
				char code[LT_SCAN_CODE_SIZE];
				lt_scan_code_write(code, number, sides[side], model->code);
				if (not != NULL && strcmp(code, not ) == 0)
					continue;
				const unsigned distance = far(came, code, &mixes[i]);
				least = distance < least ? distance : least;
			}
	}
	return least;
}

static void random_sticker(char code[LT_SCAN_CODE_SIZE], const struct model *model)
{
	enum lt_side sides[LT_SIDE_COUNT];
	const unsigned number = 1 + below(model->tags.number_max);
	const size_t count = lt_tag_sides(sides, &model->tags, number - 1);
	lt_scan_code_write(code, number, sides[below((unsigned)count)], model->code);
}

/* Every mix-up of every payload gives the right code back, or is let be where another sticker's
 * code is too near: a few short codes among many numbers. */
static void test_round_trip(void **state)
{
	(void)state;
	unsigned undone = 0;
	unsigned refused = 0;
	struct lt_text payload = { 0 };
	struct lt_text came = { 0 };
	struct lt_text out = { 0 };
	for (unsigned round = 0; round < 60; round++) {
		struct model model;
		char harness[LT_HARNESS_CODE_MAX + 1];
		char code[LT_SCAN_CODE_SIZE];
		random_code(harness, LT_HARNESS_CODE_MAX);
		set_up(&model, harness, round % 2 == 0 ? 14 : NUMBERS);
		random_sticker(code, &model);
		for (size_t i = 0; i < MIXES * PAYLOADS * 2; i++) {
			const struct mix *mix = &mixes[i % MIXES];
			struct lt_scan scan;
			lt_text_clear(&came);
			make_payload(&payload, code, i / MIXES % PAYLOADS);
			type(&came, lt_text_string(&payload), mix);
			char utf8[256];
			snprintf(utf8, sizeof(utf8), "%s", lt_text_string(&came));
			if (i / MIXES / PAYLOADS == 1)
				to_latin1(&came);
			const enum lt_wedge_trouble trouble =
				lt_wedge_undo(&out, came.bytes, came.length, &model.tags);
			lt_scan_read(&scan, came.bytes, came.length);
			if (trouble == LT_WEDGE_FINE) {
				assert_string_equal(lt_text_string(&out), lt_text_string(&came));
				if (scan.kind == LT_SCAN_CODE)
					continue;
				if (nearest(&model, utf8, code) > 1)
					fail_msg("%s of %s was not undone", utf8, code);
				refused++;
				continue;
			}
			assert_int_equal(scan.kind, LT_SCAN_MISREAD);
			assert_string_equal(lt_text_string(&out), code);
			undone++;
			/* Where the two directions of a French mix-up type the same, either may be
			 * told. */
			if (trouble != mix->trouble)
				assert_true(mix->trouble != LT_WEDGE_GERMAN &&
					    trouble != LT_WEDGE_GERMAN);
		}
	}
	print_message("%u undone, %u let be\n", undone, refused);
	assert_true(undone > 2000);
	assert_true(refused * 8 < undone);
	lt_text_finish(&payload);
	lt_text_finish(&came);
	lt_text_finish(&out);
}

/* Adds a character unless it is there. */
static size_t add_character(const char **out, size_t count, const char *character)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(out[i], character) == 0)
			return count;
	out[count] = character;
	return count + 1;
}

/* Every character that any of the keyboards types. */
static size_t all_characters(const char *out[3 * 2 * KEYBOARD_KEYS])
{
	size_t count = 0;
	const keyboard *const all[] = { &us, &fr, &de };
	for (size_t i = 0; i < 3; i++)
		for (size_t key = 0; key < KEYBOARD_KEYS; key++) {
			count = add_character(out, count, (*all[i])[key].plain);
			count = add_character(out, count, (*all[i])[key].shifted);
		}
	return count;
}

/* One character of what came is changed into any other: never another sticker's code. ISO/IEC 7064
 * MOD 37,36 finds every single substitution, but what came differs from the right code in more when
 * it is read by another mix-up than the one that it went through. */
static void damage_all(const struct model *model, const char *code, const char *came)
{
	const char *characters[3 * 2 * KEYBOARD_KEYS];
	const size_t count = all_characters(characters);
	struct lt_text damaged = { 0 };
	struct lt_text out = { 0 };
	for (const char *at = came; *at != '\0';) {
		const char *next = at;
		lt_utf8_next(&next);
		for (size_t i = 0; i < count; i++) {
			lt_text_clear(&damaged);
			lt_text_add_bytes(&damaged, came, (size_t)(at - came));
			lt_text_add(&damaged, characters[i]);
			lt_text_add(&damaged, next);
			const enum lt_wedge_trouble trouble =
				lt_wedge_undo(&out, damaged.bytes, damaged.length, &model->tags);
			const char *wanted = trouble == LT_WEDGE_FINE ? damaged.bytes : code;
			if (strcmp(lt_text_string(&out), wanted) != 0)
				fail_msg("%s, damaged from %s of %s, was undone to %s",
					damaged.bytes, came, code, lt_text_string(&out));
		}
		at = next;
	}
	lt_text_finish(&damaged);
	lt_text_finish(&out);
}

static void test_damage(void **state)
{
	(void)state;
	/* Codes that look alike in several mix-ups, and any. */
	static const char *const codes[] = { "RVX", "RV3", "PUAP", "ZY", "QA1", "B7", "WM9" };
	struct lt_text came = { 0 };
	for (unsigned round = 0; round < 8; round++) {
		struct model model;
		char harness[LT_HARNESS_CODE_MAX + 1];
		char code[LT_SCAN_CODE_SIZE];
		random_code(harness, 4);
		set_up(&model, round % 4 == 3 ? harness : codes[round % 7], NUMBERS);
		random_sticker(code, &model);
		for (size_t i = 0; i < MIXES; i++) {
			lt_text_clear(&came);
			if (round == 0)
				type(&came, "HTTP://V.CH/", &mixes[i]);
			type(&came, code, &mixes[i]);
			damage_all(&model, code, lt_text_string(&came));
		}
	}
	lt_text_finish(&came);
}

/* Whatever is not undone stays; what is, is what a live sticker types. */
static void test_random(void **state)
{
	(void)state;
	static const char *const pieces[] = { "&", "é", "\"", "'", "(", "-", "!", "@", "#", "1",
		"2", "H", "M", "X", "?", ":", "RV3", "RV\"", "RV#", "A", "Q", "Z", "Y", "W", "J",
		"/", "]Q1", "\xe9", " ", "\xff" };
	struct model model;
	struct lt_text came = { 0 };
	struct lt_text out = { 0 };
	unsigned undone = 0;
	set_up(&model, "RV3", NUMBERS);
	for (unsigned round = 0; round < 20000; round++) {
		lt_text_clear(&came);
		lt_text_add(&came, pieces[below(26)]);
		if (below(2) == 0)
			lt_text_add(&came, pieces[below(10)]);
		lt_text_add(&came, pieces[11 + below(5)]);
		lt_text_add(&came, pieces[16 + below(3)]);
		lt_text_add(&came, pieces[below(30)]);
		const enum lt_wedge_trouble trouble =
			lt_wedge_undo(&out, came.bytes, came.length, &model.tags);
		if (trouble == LT_WEDGE_FINE) {
			assert_string_equal(lt_text_string(&out), came.bytes);
			continue;
		}
		struct lt_scan scan;
		undone++;
		lt_scan_read(&scan, came.bytes, came.length);
		assert_int_equal(scan.kind, LT_SCAN_MISREAD);
		lt_scan_read(&scan, out.bytes, out.length);
		assert_int_equal(scan.kind, LT_SCAN_CODE);
		assert_string_equal(scan.code, "RV3");
		assert_true(scan.number >= 1 && scan.number <= NUMBERS);
		assert_true(lt_iso7064_valid(out.bytes, out.length));
		unsigned least = 99;
		for (size_t i = 0; i < MIXES; i++) {
			const unsigned distance = far(came.bytes, out.bytes, &mixes[i]);
			least = distance < least ? distance : least;
		}
		if (least != 0 && memchr(came.bytes, 0xE9, came.length) == NULL)
			fail_msg("%s became %s", came.bytes, out.bytes);
	}
	print_message("%u of 20000 undone\n", undone);
	assert_true(undone > 20);
	lt_text_finish(&came);
	lt_text_finish(&out);
}

static void test_long_and_strange(void **state)
{
	(void)state;
	struct model model;
	struct lt_text out = { 0 };
	char long_token[5000];
	set_up(&model, "RV3", 14);
	memset(long_token, '&', sizeof(long_token));
	assert_int_equal(lt_wedge_undo(&out, long_token, sizeof(long_token), &model.tags),
		LT_WEDGE_FINE);
	assert_int_equal(out.length, sizeof(long_token));
	/* The code at the very end of what is too long. */
	static const char code[] = { '&', '\xc3', '\xa9', 'H', 'R', 'V', '"', 'J' };
	memcpy(long_token + sizeof(long_token) - sizeof(code), code, sizeof(code));
	assert_int_equal(lt_wedge_undo(&out, long_token, sizeof(long_token), &model.tags),
		LT_WEDGE_FINE);
	/* Bytes of any value. */
	for (int c = 0; c < 256; c++) {
		const char came[] = { (char)c, '&', (char)c, 'H', 'R', 'V', '"', (char)c };
		lt_wedge_undo(&out, came, sizeof(came), &model.tags);
		assert_int_equal(out.length, sizeof(came));
		assert_memory_equal(out.bytes, came, sizeof(came));
	}
	lt_text_finish(&out);
}

static void test_advice(void **state)
{
	(void)state;
	assert_null(lt_wedge_advice(LT_WEDGE_FINE));
	for (int i = LT_WEDGE_PREFIX; i <= LT_WEDGE_GERMAN; i++)
		assert_true(strlen(lt_wedge_advice((enum lt_wedge_trouble)i)) > 40);
	assert_non_null(strstr(lt_wedge_advice(LT_WEDGE_PREFIX), "prefix"));
	assert_non_null(strstr(lt_wedge_advice(LT_WEDGE_FRENCH), "French"));
	assert_non_null(strstr(lt_wedge_advice(LT_WEDGE_GERMAN), "German"));
}

static void test_twice(void **state)
{
	(void)state;
	struct lt_wedge_last last = { .any = false };
	assert_false(lt_wedge_twice(&last, "12HRV3J", 7, 1000));
	assert_true(lt_wedge_twice(&last, "12HRV3J", 7, 1000 + LT_WEDGE_TWICE));
	assert_true(lt_wedge_twice(&last, "12HRV3J", 7, 1500));
	assert_false(lt_wedge_twice(&last, "12HRV3J", 7, 1501 + LT_WEDGE_TWICE));
	assert_false(lt_wedge_twice(&last, "12MRV3D", 7, 1900));
	assert_false(lt_wedge_twice(&last, "12HRV3J", 7, 1950));
	assert_false(lt_wedge_twice(&last, "12HRV3", 6, 1951));
	assert_false(lt_wedge_twice(&last, "12HRV3", 6, 1900)); /* a clock that jumped */
	assert_true(lt_wedge_twice(&last, "12HRV3", 6, 1900));
	assert_false(lt_wedge_twice(&last, "", 0, 1900));
	assert_true(lt_wedge_twice(&last, "", 0, 1900));
	char scan[100];
	memset(scan, 'A', sizeof(scan));
	assert_false(lt_wedge_twice(&last, scan, 63, 3000));
	assert_true(lt_wedge_twice(&last, scan, 63, 3000));
	assert_false(lt_wedge_twice(&last, scan, 64, 3000));
	assert_false(lt_wedge_twice(&last, scan, 64, 3000));
	assert_false(lt_wedge_twice(&last, scan, 63, 3000));
	scan[3] = '\0';
	assert_false(lt_wedge_twice(&last, scan, 10, 3000));
	assert_false(lt_wedge_twice(&last, scan, 10, 3000));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_by_hand),
		cmocka_unit_test(test_live_tags_alone),
		cmocka_unit_test(test_prefixes),
		cmocka_unit_test(test_round_trip),
		cmocka_unit_test(test_damage),
		cmocka_unit_test(test_random),
		cmocka_unit_test(test_long_and_strange),
		cmocka_unit_test(test_advice),
		cmocka_unit_test(test_twice),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
