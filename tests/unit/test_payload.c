/* The texts of QR codes on stickers and maps. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "label/sticker.h"
#include "unit/build.h"

/* One connector with number 12. */
struct fixture {
	struct lt_harness h;
	struct lt_tags tags;
	unsigned number;
};

static void set_up(struct fixture *f)
{
	build_init(&f->h, "RV3", 1);
	f->number = 12;
	f->tags = (struct lt_tags){ .harness = &f->h, .number_of = &f->number };
	build_connector(&f->h, "X1");
}

/* Whatever else the text says, it is read back as the tag. */
static void assert_payload(const struct fixture *f, enum lt_payload payload, enum lt_side side,
	const char *expected)
{
	struct lt_text out = { 0 };
	assert_true(lt_payload_write(&out, payload, &f->tags, 0, side));
	assert_string_equal(lt_text_string(&out), expected);
	struct lt_scan scan;
	lt_scan_read(&scan, out.bytes, out.length);
	assert_int_equal(scan.kind, LT_SCAN_CODE);
	assert_int_equal(scan.number, 12);
	assert_int_equal(scan.side, side);
	assert_string_equal(scan.code, f->h.code);
	lt_text_finish(&out);
}

static void set_code(struct fixture *f, const char *code)
{
	f->h.harness = code;
	snprintf(f->h.code, sizeof f->h.code, "%s", code);
}

static void test_code(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	assert_payload(&f, LT_PAYLOAD_CODE, LT_SIDE_H, "12HRV3J");
	assert_payload(&f, LT_PAYLOAD_CODE, LT_SIDE_M, "12MRV3D");
	build_finish(&f.h);
}

static void test_link(void **state)
{
	(void)state;
	static const struct {
		const char *base, *link;
	} rows[] = {
		{ "http://bench.local:8080", "HTTP://BENCH.LOCAL:8080/12HRV3J" },
		{ "http://bench.local:8080/", "HTTP://BENCH.LOCAL:8080/12HRV3J" },
		{ "https://bench.local/Looms/a", "HTTPS://BENCH.LOCAL/Looms/a/12HRV3J" },
		{ "bench.local", "BENCH.LOCAL/12HRV3J" },
		{ "https://[fe80::1]:8080/a", "HTTPS://[FE80::1]:8080/a/12HRV3J" },
	};
	struct fixture f;
	set_up(&f);
	struct lt_text out = { 0 };
	assert_false(lt_payload_write(&out, LT_PAYLOAD_LINK, &f.tags, 0, LT_SIDE_H));
	assert_int_equal(out.length, 0);
	lt_text_finish(&out);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		f.h.base = rows[i].base;
		assert_payload(&f, LT_PAYLOAD_LINK, LT_SIDE_H, rows[i].link);
	}
	build_finish(&f.h);
}

/* ISO/IEC 18004: the alphanumeric set. A link without a path stays in it. */
static void test_a_link_stays_alphanumeric(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	f.h.base = "https://bench-2.local:8443";
	struct lt_text out = { 0 };
	assert_true(lt_payload_write(&out, LT_PAYLOAD_LINK, &f.tags, 0, LT_SIDE_X));
	assert_int_equal(strspn(lt_text_string(&out),
				 "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"),
		out.length);
	lt_text_finish(&out);
	build_finish(&f.h);
}

static void test_facts(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	struct lt_connector *c = &f.h.connectors[0];
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, "12HRV3J X1");
	c->port = "PWR";
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, "12HRV3J X1 to PWR");
	c->component = build_component(&f.h, "M1", NULL);
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, "12HRV3J X1 to M1 PWR");
	f.h.components[0].name = "vent motor";
	c->name = "motor power";
	c->where = "behind the left cover";
	const char *written[] = { "BN", "BU", "GNYE" };
	struct lt_way ways[] = {
		{ .name = "1", .written = &written[0], .count = 1 },
		{ .name = "2", .written = &written[1], .count = 1 },
		{ .name = "3", .written = &written[2], .count = 1 },
	};
	struct lt_colour colours[] = { { 1, { LT_HUE_BN } }, { 1, { LT_HUE_BU } },
		{ 1, { LT_HUE_GNYE } } };
	for (size_t i = 0; i < 3; i++)
		ways[i].colours = &colours[i];
	c->wires = ways;
	c->wire_count = 3;
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_M,
		"12MRV3D X1 motor power to M1 vent motor PWR; behind the left cover; 1 BN, 2 BU, "
		"3 GNYE");
	build_finish(&f.h);
}

static void test_facts_stay_on_one_line(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	f.h.connectors[0].name = "\n motor\r\n\tpower \x1b[1m \n";
	f.h.connectors[0].where = " \n";
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, "12HRV3J X1 motor power [1m");
	f.h.connectors[0].name = "Türantrieb";
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, "12HRV3J X1 Türantrieb");
	build_finish(&f.h);
}

/* The check characters are those of ISO/IEC 7064, MOD 37,36: "2HP500" and "12HRV3J" have right
 * ones, "2HP501" a wrong one. */
static void test_words_that_read_as_scan_codes_are_broken(void **state)
{
	(void)state;
	static const struct {
		const char *name, *facts;
	} rows[] = {
		{ "pump 2HP500", "12HRV3J X1 pump 2 HP500" },
		{ "2hp500 pump", "12HRV3J X1 2 hp500 pump" },
		{ "pump (no. 7/2HP500);", "12HRV3J X1 pump (no. 7/2 HP500);" },
		{ "spare 12HRV3J", "12HRV3J X1 spare 12 HRV3J" },
		{ "\xC3\xBC\xC2\xA0"
		  "2HP500",
			"12HRV3J X1 \xC3\xBC\xC2\xA0"
			"2 HP500" },
		{ "2HP500 2HP500", "12HRV3J X1 2 HP500 2 HP500" },
		/* None of these is one. */
		{ "pump 2HP501", "12HRV3J X1 pump 2HP501" },
		{ "pump 2H-P500", "12HRV3J X1 pump 2H-P500" },
		{ "beam 4M", "12HRV3J X1 beam 4M" },
	};
	struct fixture f;
	set_up(&f);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		f.h.connectors[0].name = rows[i].name;
		assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_H, rows[i].facts);
	}
	struct lt_connector *c = &f.h.connectors[0];
	c->id = "12HRV3J";
	c->name = NULL;
	c->port = "2HP500";
	c->where = "2HP500, left";
	c->component = build_component(&f.h, "2HP500", "2HP500");
	const char *written[] = { "BN" };
	struct lt_colour colours[] = { { 1, { LT_HUE_BN } } };
	struct lt_way ways[] = {
		{ .name = "2HP500", .written = written, .colours = colours, .count = 1 }
	};
	c->wires = ways;
	c->wire_count = 1;
	assert_payload(&f, LT_PAYLOAD_FACTS, LT_SIDE_M,
		"12MRV3D 12 HRV3J to 2 HP500 2 HP500 2 HP500; 2 HP500, left; 2 HP500 BN");
	build_finish(&f.h);
}

/* A word that is likely to be a scan code: number, side, letters, and mostly a check character that
 * fits; small letters, and other characters around it. */
static void add_code_like(struct lt_text *out, uint64_t *seed)
{
	static const char *const before[] = { "", "", "", "-", "(", "\xC2\xA0", "a/", "7 " };
	static const char *const behind[] = { "", "", "", ";", ")", "\xC2\xA0", "\n", ":" };
	char word[24];
	size_t length = (size_t)snprintf(word, sizeof word, "%u%c",
		1 + build_random(seed, 10u + build_random(seed, 99990)),
		"HMXHMXHMXN"[build_random(seed, 10)]);
	for (unsigned i = build_random(seed, 12); i > 0; i--)
		word[length++] = "AHMXRVU0123456789"[build_random(seed, 17)];
	if (build_random(seed, 8) > 0)
		word[length++] = "0HMX7"[build_random(seed, 5)];
	if (build_random(seed, 4) > 0)
		word[length - 1] = lt_iso7064_check(word, length - 1);
	for (size_t i = 0; i < length && build_random(seed, 4) == 0; i++)
		if (word[i] >= 'A' && word[i] <= 'Z')
			word[i] = (char)(word[i] - 'A' + 'a');
	lt_text_add(out, before[build_random(seed, 8)]);
	lt_text_add_bytes(out, word, length);
	lt_text_add(out, behind[build_random(seed, 8)]);
	lt_text_add(out, build_random(seed, 2) == 0 ? " " : "");
}

/* Facts say what the map's facts do behind "CODE map NUMBER:", which are not broken, but for
 * spaces. True when there are more of them. */
static bool assert_same_words(const struct lt_text *facts, const struct lt_text *map)
{
	const char *a = strchr(facts->bytes, ' ');
	const char *b = strstr(map->bytes, ": ") + 1;
	bool more = false;
	for (; *a != '\0'; a++) {
		bool same = *a == *b;
		if (!same && *a != ' ')
			fail_msg("\"%s\" does not say \"%s\"", facts->bytes, map->bytes);
		more = more || !same;
		b += same;
	}
	assert_int_equal(*b, '\0');
	return more;
}

/* Whatever the words: every payload reads back as its own scan code, and says all that was to be
 * said but for spaces. */
static void test_every_payload_reads_back(void **state)
{
	(void)state;
	static const char *const bases[] = { "http://h", "http://h/12HRV3J", "http://2hp500",
		"http://h/?2HP500", "http://h/a#" };
	struct fixture f;
	set_up(&f);
	uint64_t seed = 7;
	size_t broken = 0;
	for (int i = 0; i < 20000; i++) {
		struct lt_text texts[5] = { 0 };
		const char *words[5];
		for (size_t k = 0; k < 5; k++) {
			add_code_like(&texts[k], &seed);
			if (k > 0 && build_random(&seed, 2) == 0)
				add_code_like(&texts[k], &seed);
			words[k] = lt_text_string(&texts[k]);
		}
		char code[13] = "A";
		size_t length = 1 + build_random(&seed, 11);
		for (size_t k = 1; k <= length; k++)
			code[k] = "AHMXRVU0123456789"[build_random(&seed, 17)];
		code[length + 1] = '\0';
		set_code(&f, code);
		f.number = 1 + build_random(&seed, 99999);
		f.h.base = bases[build_random(&seed, 5)];
		struct lt_connector *c = &f.h.connectors[0];
		f.h.component_count = 0;
		c->component = build_component(&f.h, words[0], words[1]);
		c->name = words[2];
		c->port = words[3];
		c->where = words[4];
		enum lt_side side = (enum lt_side)build_random(&seed, LT_SIDE_COUNT);
		for (enum lt_payload payload = LT_PAYLOAD_LINK; payload <= LT_PAYLOAD_CODE;
			payload++) {
			struct lt_text out = { 0 };
			assert_true(lt_payload_write(&out, payload, &f.tags, 0, side));
			struct lt_scan scan;
			lt_scan_read(&scan, out.bytes, out.length);
			if (scan.kind != LT_SCAN_CODE || scan.number != f.number ||
				scan.side != side || strcmp(scan.code, code) != 0)
				fail_msg("\"%s\" does not read back", lt_text_string(&out));
			struct lt_text map = { 0 };
			if (payload == LT_PAYLOAD_FACTS) {
				const char *base = f.h.base;
				f.h.base = NULL;
				lt_payload_map_write(&map, &f.tags, 0);
				f.h.base = base;
				broken += assert_same_words(&out, &map);
			}
			lt_text_finish(&map);
			lt_text_finish(&out);
		}
		for (size_t k = 0; k < 5; k++)
			lt_text_finish(&texts[k]);
	}
	/* Else nothing was tested. */
	assert_true(broken > 10000);
	build_finish(&f.h);
}

static void test_names(void **state)
{
	(void)state;
	assert_string_equal(lt_payload_name(LT_PAYLOAD_AUTO), "auto");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_LINK), "link");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_FACTS), "facts");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_CODE), "code");
}

/* Says `expected` (unless it is NULL), and is neither a scan code nor a tag to who scans it. */
static void assert_map(const struct fixture *f, size_t connector, const char *expected)
{
	struct lt_text out = { 0 };
	lt_payload_map_write(&out, &f->tags, connector);
	assert_true(out.length > 0);
	if (expected != NULL)
		assert_string_equal(lt_text_string(&out), expected);
	struct lt_scan scan;
	lt_scan_read(&scan, out.bytes, out.length);
	if (scan.kind != LT_SCAN_MISREAD)
		fail_msg("\"%s\" reads as a scan", lt_text_string(&out));
	lt_text_finish(&out);
}

static void test_map_links(void **state)
{
	(void)state;
	static const struct {
		const char *code, *base, *connector, *harness;
	} rows[] = {
		{ "RV3", "http://bench.local:8080", "HTTP://BENCH.LOCAL:8080/12HRV3J/#map",
			"HTTP://BENCH.LOCAL:8080/RV3/" },
		{ "RV3", "http://bench.local:8080/", "HTTP://BENCH.LOCAL:8080/12HRV3J/#map",
			"HTTP://BENCH.LOCAL:8080/RV3/" },
		{ "RV3", "http://h/12HRV3J", "HTTP://H/12HRV3J/12HRV3J/#map",
			"HTTP://H/12HRV3J/RV3/" },
		{ "RV3", "http://h/maps/12H/", "HTTP://H/maps/12H/12HRV3J/#map",
			"HTTP://H/maps/12H/RV3/" },
		{ "RV3", "http://12H", "HTTP://12H/12HRV3J/#map", "HTTP://12H/RV3/" },
		{ "RV3", "http://h/?#", "HTTP://H/?#/12HRV3J/#map", "HTTP://H/?#/RV3/" },
		{ "A1", "http://h", NULL, "HTTP://H/A1/" },
		{ "RV3U0042", "http://h", NULL, "HTTP://H/RV3U0042/" },
		{ "H12H", "http://h", NULL, "HTTP://H/H12H/" },
	};
	struct fixture f;
	set_up(&f);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		set_code(&f, rows[i].code);
		f.h.base = rows[i].base;
		f.number = 12;
		assert_map(&f, 0, rows[i].connector);
		assert_map(&f, LT_NONE, rows[i].harness);
		f.number = 0;
		assert_map(&f, 0, rows[i].harness);
	}
	build_finish(&f.h);
}

/* A server is asked for the page of the scan code (RFC 3986, 3.5: the fragment stays behind). */
static void test_a_map_link_asks_for_the_tags_page(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	f.h.base = "http://h";
	struct lt_text sticker = { 0 };
	struct lt_text map = { 0 };
	assert_true(lt_payload_write(&sticker, LT_PAYLOAD_LINK, &f.tags, 0, LT_SIDE_H));
	lt_payload_map_write(&map, &f.tags, 0);
	lt_text_add(&sticker, "/");
	assert_int_equal(strcspn(lt_text_string(&map), "#"), sticker.length);
	assert_memory_equal(map.bytes, sticker.bytes, sticker.length);
	lt_text_finish(&sticker);
	lt_text_finish(&map);
	build_finish(&f.h);
}

static void test_map_facts(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	struct lt_connector *c = &f.h.connectors[0];
	assert_map(&f, 0, "RV3 map 12: X1");
	assert_map(&f, LT_NONE, "RV3 map: 1 joint");
	c->name = "motor power";
	c->component = build_component(&f.h, "M1", "vent motor");
	c->port = "PWR";
	c->where = "behind the\nleft cover";
	assert_map(&f, 0, "RV3 map 12: X1 motor power to M1 vent motor PWR; behind the left cover");
	f.number = 0;
	assert_map(&f, 0, "RV3 map: X1 motor power to M1 vent motor PWR; behind the left cover");
	f.number = 12;
	c->id = "12HRV3J";
	c->name = "12H";
	assert_map(&f, 0, "RV3 map 12: 12HRV3J 12H to M1 vent motor PWR; behind the left cover");
	f.h.title = "Polytunnel\troof-vent drive";
	f.h.revision = "C";
	f.h.unit = "0042";
	f.h.connector_count = 12;
	set_code(&f, "RV3U0042");
	assert_map(&f, LT_NONE,
		"RV3U0042 map: Polytunnel roof-vent drive; 12 joints; revision C; unit 0042");
	set_code(&f, "A1");
	f.h.title = "12H";
	assert_map(&f, LT_NONE, "A1 map: 12H; 12 joints; revision C; unit 0042");
	build_finish(&f.h);
}

/* Long facts are cut, never within a character, and only when they are too long. */
static void test_long_map_facts_are_cut(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	static const char *const characters[] = { "a", "\xC3\xBC", "\xE2\x82\xAC",
		"\xF0\x9F\x94\xA7" };
	for (size_t i = 0; i < 4; i++) {
		struct lt_text name = { 0 };
		while (name.length < 330) {
			lt_text_add(&name, characters[i]);
			f.h.connectors[0].name = lt_text_string(&name);
			struct lt_text facts = { 0 };
			lt_payload_map_write(&facts, &f.tags, 0);
			size_t whole = strlen("RV3 map 12: X1 ") + name.length;
			assert_true(facts.length <= 300);
			assert_int_equal(lt_utf8_check(facts.bytes, facts.length), facts.length);
			assert_int_equal(strlen(facts.bytes), facts.length);
			if (whole <= 300) {
				assert_int_equal(facts.length, whole);
			} else {
				assert_true(facts.length > 300 - 4);
				assert_string_equal(facts.bytes + facts.length - 3, "\xE2\x80\xA6");
			}
			lt_text_finish(&facts);
		}
		lt_text_finish(&name);
	}
	build_finish(&f.h);
}

/* A word of up to 11 of the characters. */
static const char *random_word(char out[12], uint64_t *seed, const char *characters)
{
	size_t length = 1 + build_random(seed, 11);
	for (size_t i = 0; i < length; i++)
		out[i] = characters[build_random(seed, (unsigned)strlen(characters))];
	out[length] = '\0';
	return out;
}

/* Whatever the names: who scans a map has not had a sticker in the hand. */
static void test_maps_never_read_as_scans(void **state)
{
	(void)state;
	struct fixture f;
	set_up(&f);
	uint64_t seed = 20;
	for (int i = 0; i < 20000; i++) {
		char code[13], base[32], path[12], id[12], name[12], title[12];
		code[0] = (char)('A' + build_random(&seed, 26));
		random_word(code + 1, &seed, "HMXU0123456789HMXRV");
		set_code(&f, code);
		f.number = 1 + build_random(&seed, 99999);
		random_word(path, &seed, "12HMXRVJ/. ?#-");
		snprintf(base, sizeof base, "http://h/%s", path);
		f.h.base = build_random(&seed, 2) == 0 ? NULL : base;
		if (strchr(path, ' ') != NULL) /* the description's reader refuses it */
			f.h.base = NULL;
		f.h.connectors[0].id = random_word(id, &seed, "12HMXRV3J");
		f.h.connectors[0].name = random_word(name, &seed, "12HMXRV3J \n:;");
		f.h.title = random_word(title, &seed, "12HMXRV3J \n:;");
		assert_map(&f, 0, NULL);
		assert_map(&f, LT_NONE, NULL);
		f.number = 0;
		assert_map(&f, 0, NULL);
	}
	build_finish(&f.h);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_code),
		cmocka_unit_test(test_link),
		cmocka_unit_test(test_a_link_stays_alphanumeric),
		cmocka_unit_test(test_facts),
		cmocka_unit_test(test_facts_stay_on_one_line),
		cmocka_unit_test(test_words_that_read_as_scan_codes_are_broken),
		cmocka_unit_test(test_every_payload_reads_back),
		cmocka_unit_test(test_map_links),
		cmocka_unit_test(test_a_map_link_asks_for_the_tags_page),
		cmocka_unit_test(test_map_facts),
		cmocka_unit_test(test_long_map_facts_are_cut),
		cmocka_unit_test(test_maps_never_read_as_scans),
		cmocka_unit_test(test_names),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
