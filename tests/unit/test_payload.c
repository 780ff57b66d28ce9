#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "loomtag/tags.h"
#include "loomtag/text.h"
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
		{ "http://Bob:pw@bench.local/", "HTTP://Bob:pw@BENCH.LOCAL/12HRV3J" },
		{ "http://bench.local?at=x@y", "HTTP://BENCH.LOCAL?at=x@y/12HRV3J" },
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

static void test_names(void **state)
{
	(void)state;
	assert_string_equal(lt_payload_name(LT_PAYLOAD_AUTO), "auto");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_LINK), "link");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_FACTS), "facts");
	assert_string_equal(lt_payload_name(LT_PAYLOAD_CODE), "code");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_code),
		cmocka_unit_test(test_link),
		cmocka_unit_test(test_a_link_stays_alphanumeric),
		cmocka_unit_test(test_facts),
		cmocka_unit_test(test_facts_stay_on_one_line),
		cmocka_unit_test(test_names),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
