/* Descriptions: every key, every error with its place, and the order of reconnection. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "loomtag/harness.h"

struct reading {
	struct lt_harness harness;
	struct lt_diags diags;
	bool ok;
};

static void read_with(struct reading *reading, const char *text, const char *unit, const char *base)
{
	const struct lt_harness_options options = { .unit = unit, .base = base };
	*reading = (struct reading){ 0 };
	reading->ok = lt_harness_read(&reading->harness, "roof.yaml", text, strlen(text), &options,
		&reading->diags);
}

static void read_text(struct reading *reading, const char *text)
{
	read_with(reading, text, NULL, NULL);
}

static void finish(struct reading *reading)
{
	lt_harness_finish(&reading->harness);
	lt_diags_finish(&reading->diags);
}

/* Reads what has to be right, with no more warnings than said. */
static void read_good(struct reading *reading, const char *text, size_t warnings)
{
	read_text(reading, text);
	if (!reading->ok || reading->diags.count != warnings)
		lt_diags_print(&reading->diags, 0, stderr, false);
	assert_true(reading->ok);
	assert_int_equal(reading->diags.count, warnings);
}

static const char full[] =
	"harness: RV3\n"
	"title: Polytunnel roof-vent drive\n"
	"unit: \"0042\"\n"
	"revision: C\n"
	"base: http://bench.local:8080/\n"
	"colours: german\n"
	"hazards:\n"
	"  - energy: mains 230 V\n"
	"    isolate: breaker F4 in panel P2, lock and label it\n"
	"    release: wait 5 minutes\n"
	"    prove: no voltage at X1\n"
	"    restore: last, covers closed\n"
	"components:\n"
	"  - {id: M1, name: vent motor, place: left gearbox, fate: replace}\n"
	"  - {id: B4, fate: keep}\n"
	"connectors:\n"
	"  - id: X1\n"
	"    name: motor power\n"
	"    mates: M1\n"
	"    port: PWR\n"
	"    kind: spade\n"
	"    family: 6.3 mm tab housing,\n"
	"      natural\n"
	"    ways: 4\n"
	"    key: no\n"
	"    fits: [X9, X9]\n"
	"    unlike: X4\n"
	"    wires: {3: YEGN, 1: br, 2: [BU, WHRD]}\n"
	"    size: 0.75 mm2\n"
	"    bundle: 6.2 mm\n"
	"    place: behind the left cover\n"
	"    lock: press the latch\n"
	"    orient: latch to the front\n"
	"    seat: clicks once\n"
	"    after: [X4, X9]\n"
	"    at: 32 cm\n"
	"    rows: 2\n"
	"    numbering: from right  down\n"
	"    latch: left\n"
	"    tag: paper\n"
	"    sides: 1\n"
	"    was: X0\n"
	"    photo: photos/x1.jpg\n"
	"    note: 010\n"
	"  - {id: X4, mates: B4, kind: clip, tag: none}\n"
	"  - {id: X9, mates: M1, kind: hose, wires: {B: BK, AA: RD, A: BN, a: GN}, tag: sticker}\n"
	"wires:\n"
	"  - {from: X1.1, to: X9.c, colour: BN, size: 18 AWG, name: W12}\n"
	"  - {from: X1.4, to: X9.c, colour: gr}\n"
	"  - {from: X4.2, to: X4.1}\n"
	"finish:\n"
	"  - No wire pinched\n"
	"  - Earth continuity\n";

static void assert_colour(const struct lt_way *way, size_t index, const char *code)
{
	char parsed[LT_COLOUR_CODE_SIZE];
	assert_true(index < way->count);
	lt_colour_code(parsed, &way->colours[index]);
	assert_string_equal(parsed, code);
	assert_string_equal(way->written[index], code);
}

static void check_top(const struct lt_harness *harness)
{
	assert_string_equal(harness->file, "roof.yaml");
	assert_string_equal(harness->harness, "RV3");
	assert_string_equal(harness->title, "Polytunnel roof-vent drive");
	assert_string_equal(harness->unit, "0042");
	assert_string_equal(harness->code, "RV3U0042");
	assert_string_equal(harness->revision, "C");
	assert_string_equal(harness->base, "http://bench.local:8080");
	assert_int_equal(harness->colours, LT_CONVENTION_GERMAN);
	assert_int_equal(harness->hazard_count, 1);
	assert_string_equal(harness->hazards[0].energy, "mains 230 V");
	assert_string_equal(harness->hazards[0].isolate,
		"breaker F4 in panel P2, lock and label it");
	assert_string_equal(harness->hazards[0].release, "wait 5 minutes");
	assert_string_equal(harness->hazards[0].prove, "no voltage at X1");
	assert_string_equal(harness->hazards[0].restore, "last, covers closed");
	assert_int_equal(harness->hazards[0].place.line, 8);
	assert_int_equal(harness->finish_count, 2);
	assert_string_equal(harness->finish[1].text, "Earth continuity");
	assert_int_equal(harness->finish[1].place.line, 53);
	assert_int_equal(harness->component_count, 2);
	assert_string_equal(harness->components[0].id, "M1");
	assert_string_equal(harness->components[0].name, "vent motor");
	assert_string_equal(harness->components[0].where, "left gearbox");
	assert_true(harness->components[0].replace);
	assert_false(harness->components[1].replace);
	assert_null(harness->components[1].name);
	assert_int_equal(harness->components[1].place.line, 15);
}

static void check_first_connector(const struct lt_connector *x1)
{
	assert_string_equal(x1->id, "X1");
	assert_int_equal(x1->place.line, 17);
	assert_int_equal(x1->place.column, 5);
	assert_string_equal(x1->place.file, "roof.yaml");
	assert_string_equal(x1->name, "motor power");
	assert_int_equal(x1->component, 0);
	assert_string_equal(x1->port, "PWR");
	assert_int_equal(x1->kind, LT_SPADE);
	assert_string_equal(x1->family, "6.3 mm tab housing, natural");
	assert_int_equal(x1->ways, 4);
	assert_string_equal(x1->key, "no");
	assert_int_equal(x1->fits.count, 1);
	assert_int_equal(x1->fits.items[0], 2);
	assert_int_equal(x1->unlike.count, 1);
	assert_int_equal(x1->unlike.items[0], 1);
	assert_true(x1->size.given && !x1->size.awg && x1->size.value == 0.75);
	assert_true(x1->bundle == 6.2);
	assert_string_equal(x1->where, "behind the left cover");
	assert_string_equal(x1->lock, "press the latch");
	assert_string_equal(x1->orient, "latch to the front");
	assert_string_equal(x1->seat, "clicks once");
	assert_int_equal(x1->after.count, 2);
	assert_int_equal(x1->after.items[0], 1);
	assert_int_equal(x1->after.items[1], 2);
	assert_true(x1->has_at && x1->at == 320);
	assert_int_equal(x1->rows, 2);
	assert_int_equal(x1->numbering.path, LT_WAYS_DOWN);
	assert_true(x1->numbering.from_right);
	assert_int_equal(x1->latch, LT_EDGE_LEFT);
	assert_int_equal(x1->marking, LT_MARK_PAPER);
	assert_int_equal(x1->sides, 1);
	assert_string_equal(x1->was, "X0");
	assert_string_equal(x1->photo, "photos/x1.jpg");
	assert_string_equal(x1->note, "010");
}

static void check_wires(const struct lt_harness *harness)
{
	const struct lt_connector *x1 = &harness->connectors[0];
	const struct lt_connector *x9 = &harness->connectors[2];
	assert_int_equal(x1->wire_count, 4);
	assert_string_equal(x1->wires[0].name, "1");
	assert_colour(&x1->wires[0], 0, "BN");
	assert_false(x1->wires[0].from_list);
	assert_int_equal(x1->wires[1].count, 2);
	assert_colour(&x1->wires[1], 0, "BU");
	assert_colour(&x1->wires[1], 1, "WHRD");
	assert_string_equal(x1->wires[2].name, "3");
	assert_colour(&x1->wires[2], 0, "GNYE");
	assert_string_equal(x1->wires[3].name, "4");
	assert_true(x1->wires[3].from_list);
	assert_colour(&x1->wires[3], 0, "GY");
	static const char *const names[] = { "A", "B", "a", "c", "AA" };
	assert_int_equal(x9->wire_count, 5);
	for (size_t i = 0; i < 5; i++)
		assert_string_equal(x9->wires[i].name, names[i]);
	assert_int_equal(x9->wires[3].count, 2);
	assert_true(x9->wires[3].from_list);
	assert_colour(&x9->wires[3], 0, "BN");
	assert_colour(&x9->wires[3], 1, "GY");
	assert_int_equal(harness->connectors[1].wire_count, 0);
	assert_int_equal(harness->wire_count, 3);
	const struct lt_wire *wire = &harness->wires[0];
	assert_string_equal(wire->name, "W12");
	assert_int_equal(wire->from, 0);
	assert_string_equal(wire->from_way, "1");
	assert_int_equal(wire->to, 2);
	assert_string_equal(wire->to_way, "c");
	assert_string_equal(wire->colour_code, "BN");
	assert_true(wire->size.given && wire->size.awg && wire->size.value == 18);
	assert_int_equal(wire->place.line, 48);
	assert_null(harness->wires[2].colour_code);
	assert_int_equal(harness->wires[2].to, 1);
}

static void test_every_field(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, full, 0);
	const struct lt_harness *harness = &reading.harness;
	check_top(harness);
	assert_int_equal(harness->connector_count, 3);
	check_first_connector(&harness->connectors[0]);
	check_wires(harness);
	assert_int_equal(harness->connectors[1].kind, LT_CLIP);
	assert_int_equal(harness->connectors[1].marking, LT_MARK_NONE);
	assert_int_equal(harness->connectors[2].kind, LT_HOSE);
	assert_int_equal(harness->connectors[2].marking, LT_MARK_STICKER);
	assert_int_equal(harness->order[0], 2);
	assert_int_equal(harness->order[1], 1);
	assert_int_equal(harness->order[2], 0);
	finish(&reading);
}

static void test_what_a_hazard_does(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading,
		"harness: RV\nconnectors: [{id: X1}]\nhazards:\n"
		"- {energy: a, isolate: b, prove: c, signal: danger, harm: it burns the skin}\n"
		"- {energy: a, isolate: b, prove: c, signal: warning}\n"
		"- {energy: a, isolate: b, prove: c, signal: caution}\n"
		"- {energy: a, isolate: b, prove: c, harm: it cuts}\n",
		0);
	const struct lt_hazard *hazards = reading.harness.hazards;
	assert_int_equal(hazards[0].signal, LT_SIGNAL_DANGER);
	assert_string_equal(hazards[0].harm, "it burns the skin");
	assert_int_equal(hazards[1].signal, LT_SIGNAL_WARNING);
	assert_null(hazards[1].harm);
	assert_int_equal(hazards[2].signal, LT_SIGNAL_CAUTION);
	assert_int_equal(hazards[3].signal, LT_SIGNAL_NONE);
	assert_string_equal(hazards[3].harm, "it cuts");
	finish(&reading);
}

static void test_what_is_left_out(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, "harness: RV\nconnectors: [{id: X1}]\n", 0);
	const struct lt_harness *harness = &reading.harness;
	assert_string_equal(harness->code, "RV");
	assert_null(harness->title);
	assert_null(harness->unit);
	assert_null(harness->base);
	assert_int_equal(harness->colours, LT_CONVENTION_IEC);
	assert_int_equal(harness->component_count + harness->hazard_count + harness->finish_count +
				 harness->wire_count,
		0);
	const struct lt_connector *x1 = &harness->connectors[0];
	assert_true(x1->component == LT_NONE);
	assert_int_equal(x1->kind, LT_PLUG);
	assert_int_equal(x1->marking, LT_MARK_STICKER);
	assert_int_equal(x1->sides, 2);
	assert_int_equal(x1->ways + x1->rows, 0);
	assert_true(x1->numbering.path == LT_WAYS_NONE && !x1->numbering.from_right);
	assert_int_equal(x1->latch, LT_EDGE_NONE);
	assert_false(x1->size.given);
	assert_true(x1->bundle == 0 && !x1->has_at);
	assert_int_equal(x1->after.count + x1->fits.count + x1->unlike.count + x1->wire_count, 0);
	assert_null(x1->family);
	assert_null(x1->was);
	finish(&reading);
}

static void test_options_overrule(void **state)
{
	(void)state;
	struct reading reading;
	read_with(&reading, full, "7", "https://shop.local/x");
	assert_true(reading.ok);
	assert_string_equal(reading.harness.unit, "7");
	assert_string_equal(reading.harness.code, "RV3U7");
	assert_string_equal(reading.harness.base, "https://shop.local/x");
	finish(&reading);

	read_with(&reading, full, "A7", "ftp://x");
	assert_false(reading.ok);
	assert_int_equal(reading.diags.count, 2);
	assert_non_null(strstr(reading.diags.items[0].message, "--unit: \"A7\""));
	assert_string_equal(reading.diags.items[0].place.file, "roof.yaml");
	assert_int_equal(reading.diags.items[0].place.line, 0);
	assert_non_null(strstr(reading.diags.items[1].message,
		"--base: \"ftp://x\" cannot be used for links: it must begin"));
	finish(&reading);

	read_with(&reading, full, "1234567890", NULL);
	assert_false(reading.ok);
	assert_non_null(strstr(reading.diags.items[0].message, "14 "));
	finish(&reading);
}

/* One fault, and what is said of it. Lines count from 1; TOP is one line, X1 three. */
#define TOP "harness: RV3\n"
#define X1 TOP "connectors:\n- id: X1\n"
#define LONG50 "12345678901234567890123456789012345678901234567890"
struct fault {
	const char *text;
	unsigned line, column;
	const char *message;
	const char *hint; /* or NULL: any */
};

static const struct fault errors[] = {
	{ "- a\n", 1, 1, "harness description", "harness: RV3" },
	{ "text\n", 1, 1, "harness description", NULL },
	{ "connectors: [{id: X1}]\n", 1, 1, "a description needs the key \"harness\"",
		"harness: RV3" },
	{ TOP, 1, 1, "a description needs the key \"connectors\"", "id" },
	{ TOP "connectors:\n", 2, 12, "connectors: the value", NULL },
	{ TOP "connectors: []\n", 2, 13, "connectors: the list", "id" },
	{ TOP "connectors: [X1]\n", 2, 14, "a connector must", "- id: X1" },
	{ TOP "connectors: [{name: a}]\n", 2, 14, "a connector needs the key \"id\"", NULL },
	{ X1 "titel: a\n", 4, 1, "\"titel\" in a description", "\"title\"" },
	{ X1 "  mate: M1\n", 4, 3, "\"mate\" in a connector", "\"mates\"" },
	{ X1 "  id: X2\n", 4, 3, "\"id\" is given twice, first in line 3", "keep" },
	/* The harness code: one letter, then 1 to 11 letters and digits; not U and digits last. */
	{ "harness: rv3\nconnectors: [{id: X1}]\n", 1, 10, "harness: \"rv3\"", "RV3" },
	{ "harness: R\nconnectors: [{id: X1}]\n", 1, 10, "2 to 12", NULL },
	{ "harness: ABCDEFGHIJKLM\nconnectors: [{id: X1}]\n", 1, 10, "2 to 12", NULL },
	{ "harness: 3RV\nconnectors: [{id: X1}]\n", 1, 10, "begin", NULL },
	{ "harness: R-V\nconnectors: [{id: X1}]\n", 1, 10, "A to Z and digits", NULL },
	{ "harness: RÄV\nconnectors: [{id: X1}]\n", 1, 10, "A to Z and digits", NULL },
	{ "harness: RVU42\nconnectors: [{id: X1}]\n", 1, 10, "end in U", "unit" },
	{ "harness: U1\nconnectors: [{id: X1}]\n", 1, 10, "end in U", NULL },
	{ "harness: [RV]\nconnectors: [{id: X1}]\n", 1, 10,
		"harness: must be a single text, not a list", NULL },
	{ "harness:\nconnectors: [{id: X1}]\n", 1, 9, "harness: the value", "remove" },
	{ X1 "unit: 4b\n", 4, 7, "unit: \"4b\"", NULL },
	{ X1 "unit: 123456789\n", 4, 7, "unit: \"123456789\" makes the code on the stickers 13 ",
		"digits" },
	{ X1 "base: bench.local\n", 4, 7,
		"base: \"bench.local\" cannot be used for links: it must begin", "http://" },
	{ X1 "base: http:///x\n", 4, 7, "host", NULL },
	{ X1 "base: http://a b\n", 4, 7, "character 9 must not be a space", "http://" },
	{ X1 "base: http://bénch\n", 4, 7, "character 9 must not be é (U+00E9)", NULL },
	{ X1 "base: 'http://h/\"><script>'\n", 4, 7, "character 10 must not be \" (U+0022)", NULL },
	{ X1 "  photo: /srv/x1.png\n", 4, 10, "photo: \"/srv/x1.png\"", "folder" },
	{ X1 "  photo: ../x1.png\n", 4, 10, "photo: \"../x1.png\"", "folder" },
	{ X1 "  photo: a/../../x1.png\n", 4, 10, "photo: \"a/../../x1.png\"", NULL },
	{ X1 "  photo: a/..\n", 4, 10, "photo: \"a/..\"", NULL },
	{ X1 "colours: germn\n", 4, 10, "colours: \"germn\" is not one of iec, english, german",
		"mean german?" },
	{ X1 "title: \"a\\x07\"\n", 4, 8, "title: the invisible character U+0007", NULL },
	{ X1 "title: \"a\\u202Eb\"\n", 4, 8, "character U+202E", NULL },
	{ X1 "title: a\u200Fb\n", 4, 8, "character U+200F", NULL },
	{ X1 "title: a\u200Bb\n", 4, 8, "character U+200B", NULL },
	{ X1 "title: \"a\\uFEFFb\"\n", 4, 8, "character U+FEFF", NULL },
	{ X1 "title: ' '\n", 4, 8, "title: the value", "remove" },
	{ X1 "title: {a: b}\n", 4, 8, "title: must be a single text, not a map", NULL },
	{ X1 "title: " LONG50 LONG50 LONG50 LONG50 LONG50 LONG50 LONG50 LONG50 LONG50 LONG50 "1\n",
		4, 8, "500 bytes", "shorten" },
	{ X1 "hazards: [{isolate: a, prove: b}]\n", 4, 11, "a hazard needs the key \"energy\"",
		"energy:" },
	{ X1 "hazards: [{energy: a, isolate: b, prove: c, signal: dangr}]\n", 4, 53,
		"signal: \"dangr\"", "danger" },
	{ X1 "hazards: [mains]\n", 4, 11, "a hazard must", NULL },
	{ X1 "hazards:\n", 4, 9, "hazards: the value", NULL },
	{ X1 "hazards: [{energy: a, isolate: b, prove: c, relase: d}]\n", 4, 45,
		"\"relase\" in a hazard", "\"release\"" },
	{ X1 "finish: [a, '']\n", 4, 13, "finish: the value", NULL },
	{ X1 "finish: [a, [b]]\n", 4, 13, "finish: must be a single text, not a list", NULL },
	/* Components. */
	{ X1 "  mates: M1\ncomponents: [{id: M1}, {id: M1}]\n", 5, 29,
		"\"M1\" is given twice, first in line 5", "id" },
	{ X1 "  mates: M1\ncomponents: [{id: M1, fate: repalce}]\n", 5, 29,
		"component M1: fate: \"repalce\" is not one of keep, replace", "mean replace?" },
	{ X1 "  mates: M7\ncomponents: [{id: M1}]\n", 4, 10,
		"component \"M7\", which is not listed", "did you mean M1?" },
	{ X1 "  mates: X1\n", 4, 10, "which is not listed", "X1 is a connector" },
	{ X1 "  mates: M1\ncomponents: []\n", 4, 10, "which is not listed", "components:" },
	{ X1 "  mates: [M1]\n", 4, 10, "connector X1: mates: must be a single text, not a list",
		NULL },
	/* Ids. */
	{ X1 "- id: X1\n", 4, 7, "\"X1\" is given twice, first in line 3", NULL },
	{ X1 "- id: X 2\n", 4, 7, "(U+0020)", NULL },
	{ X1 "- id: X.2\n", 4, 7, "character .", NULL },
	{ X1 "- id: \"X,2\"\n", 4, 7, "character ,", NULL },
	{ X1 "- id: X#2\n", 4, 7, "character #", NULL },
	{ X1 "- id: X'2\n", 4, 7, "character '", NULL },
	{ X1 "- id: X[2]\n", 4, 7, "character [", NULL },
	{ X1 "- id: X\xC2\xA0"
	     "2\n",
		4, 7, "(U+00A0)", NULL },
	{ X1 "- id: X\xE2\x80\x8B"
	     "2\n",
		4, 7, "(U+200B)", NULL },
	{ X1 "- id: \"X\\e2\"\n", 4, 7, "(U+001B)", NULL },
	{ X1 "- id: 123456789012345678901234567890123\n", 4, 7, "32 characters", "name" },
	{ X1 "- id:\n", 4, 6, "id: the value", NULL },
	/* Values of a connector. */
	{ X1 "  kind: plugg\n", 4, 9,
		"connector X1: kind: \"plugg\" is not one of plug, ring, spade, hose, strap, clip",
		"did you mean plug?" },
	{ X1 "  tag: papr\n", 4, 8, "tag: \"papr\" is not one of sticker, paper, none",
		"mean paper?" },
	{ X1 "  sides: 3\n", 4, 10, "sides: \"3\" is not one of 1, 2", NULL },
	{ X1 "  ways: 0\n", 4, 9, "ways: \"0\" is not a whole number from 1 to 999", NULL },
	{ X1 "  ways: 1000\n", 4, 9, "ways: \"1000\"", NULL },
	{ X1 "  ways: 3.0\n", 4, 9, "ways: \"3.0\"", NULL },
	{ X1 "  rows: 21\n", 4, 9, "rows: \"21\" is not a whole number from 1 to 20", NULL },
	{ X1 "  rows: 4\n  ways: 3\n", 4, 9, "rows: 4 is more than the number of ways, 3", NULL },
	{ X1 "  ways: 4\n  numbering: accross\n", 5, 14,
		"connector X1: numbering: \"accross\" is not one of across, down, around, "
		"clockwise, anticlockwise, from right",
		"did you mean across?" },
	{ X1 "  ways: 4\n  numbering: across form right\n", 5, 14, "numbering: \"form\"",
		"did you mean from right?" },
	{ X1 "  ways: 4\n  numbering: from left\n", 5, 14, "numbering: \"from\"", "from right" },
	{ X1 "  ways: 4\n  numbering: serpentine\n", 5, 14, "numbering: \"serpentine\"", "Way 1" },
	{ X1 "  ways: 4\n  numbering: [across]\n", 5, 14, "numbering: must be a single text",
		NULL },
	{ X1 "  ways: 4\n  numbering: down around\n", 5, 14, "numbering: down and around ",
		"keep" },
	{ X1 "  ways: 4\n  numbering: clockwise from right\n", 5, 14,
		"numbering: clockwise and from right ", "way 1" },
	{ X1 "  ways: 4\n  rows: 2\n  numbering: anticlockwise\n", 6, 14,
		"numbering: anticlockwise ", "rows" },
	{ X1 "  numbering: down\n", 4, 14, "connector X1: numbering: ", "ways:" },
	{ X1 "  latch: toop\n", 4, 10,
		"connector X1: latch: \"toop\" is not one of top, bottom, left, right",
		"did you mean top?" },
	{ X1 "  size: fat\n", 4, 9, "size: \"fat\"", "0.75 mm2 or 18 AWG" },
	{ X1 "  bundle: 6.2\n", 4, 11, "bundle: \"6.2\" is not a length", "6.2 mm" },
	{ X1 "  bundle: 0 mm\n", 4, 11, "bundle: \"0 mm\" must", NULL },
	{ X1 "  bundle: 21 cm\n", 4, 11, "bundle: \"21 cm\" must be more than 0 and at most 200 mm",
		NULL },
	{ X1 "  at: -1 mm\n", 4, 7, "at: \"-1 mm\" is before", "datum" },
	{ X1 "  at: far\n", 4, 7, "at: \"far\" is not a length", NULL },
	/* Wires of a connector. */
	{ X1 "  wires: [BN]\n", 4, 10, "wires: each colour", "{1: BN" },
	{ X1 "  wires: {1: BX}\n", 4, 14, "connector X1: way 1: \"BX\" is not a colour",
		"did you mean BK?" },
	{ X1 "  wires: {1: gren}\n", 4, 14, "way 1: \"gren\"", "mean green?" },
	{ X1 "  wires: {1: octarine}\n", 4, 14, "way 1: \"octarine\"", "IEC 60757" },
	{ X1 "  wires: {1: GRYE}\n", 4, 14, "way 1: it is not clear whether \"GRYE\"", "GNYE" },
	{ X1 "  wires: {1: }\n", 4, 14, "way 1: the value", NULL },
	{ X1 "  wires: {1: [BN, BU, BK]}\n", 4, 14, "way 1: must have one or two colours, not 3",
		"WHRD" },
	{ X1 "  wires: {1: []}\n", 4, 14, "way 1: must have one or two colours, not 0", NULL },
	{ X1 "  wires: {1: {a: b}}\n", 4, 14, "way 1: must be a single text, not a map", NULL },
	{ X1 "  wires: {0: BN}\n", 4, 11, "connector X1: way \"0\" must", NULL },
	{ X1 "  wires: {01: BN}\n", 4, 11, "way \"01\" must", NULL },
	{ X1 "  wires: {1:BN}\n", 4, 11, "way \"1:BN\" must", "colon" },
	{ X1 "  wires: {ABCD: BN}\n", 4, 11, "way \"ABCD\" must", NULL },
	{ X1 "  wires: {A-1: BN}\n", 4, 11, "way \"A-1\" must", NULL },
	{ X1 "  wires: {4: BN}\n  ways: 3\n", 4, 11,
		"connector X1 has 3 ways, so there is no way 4", "way" },
	{ X1 "  ways: 2\n  wires: {A: BN, B: BK, C: BU}\n", 5, 25,
		"connector X1 has 2 ways, so way C ", NULL },
	/* Links. */
	{ X1 "  after: [X11]\n", 4, 11, "connector X1: after: connector \"X11\" is not listed",
		"did you mean X1?" },
	{ X1 "  fits: [M1]\n  mates: M1\ncomponents: [{id: M1}]\n", 4, 10,
		"fits: connector \"M1\" is not listed", "M1 is a component" },
	{ X1 "  after: X1\n", 4, 10, "connector X1 names itself in after", NULL },
	{ X1 "  unlike: [X1]\n", 4, 12, "connector X1 names itself in unlike", NULL },
	{ X1 "  after: [[X1]]\n", 4, 11, "after: must be a single text", NULL },
	{ X1 "  after:\n", 4, 9, "after: the value", NULL },
	{ X1 "  fits: X2\n  unlike: X2\n- id: X2\n", 5, 11,
		"connectors X1 and X2: fits: and "
		"unlike:",
		"the fits: in line 4" },
	{ X1 "  unlike: X2\n- id: X2\n  fits: X1\n", 6, 9,
		"connectors X1 and X2: fits: and "
		"unlike:",
		"the unlike: in line 4" },
	{ X1 "  was: X1\n", 4, 8, "connector X1: was: X1", NULL },
	{ X1 "  was: X2\n- id: X2\n", 4, 8,
		"connector X1: was: X2 is still the id of a connector, in line 5", NULL },
	{ X1 "  was: X0\n- id: X2\n  was: X0\n", 6, 8,
		"connectors X1 and X2 cannot both have was: X0", NULL },
	{ X1 "  was: X 0\n", 4, 8, "was: \"X 0\"", NULL },
	{ X1 "  after: X2\n- id: X2\n  after: X1\n", 4, 10,
		"connector X1 comes after itself: X1 -> X2 -> X1", "after" },
	{ X1 "- id: X2\n  after: X4\n- id: X3\n  after: [X1, X2]\n- id: X4\n  after: [X1, X3]\n", 5,
		10, "X2 -> X4 -> X3 -> X2", NULL },
	/* The wire list. */
	{ X1 "wires: [a]\n", 4, 9, "a wire must", NULL },
	{ X1 "wires: [{to: X1.1}]\n", 4, 9, "a wire needs the key \"from\"", NULL },
	{ X1 "wires: [{from: X1.1}]\n", 4, 9, "a wire needs the key \"to\"", NULL },
	{ X1 "wires: [{from: X1, to: X1.2}]\n", 4, 16, "from: \"X1\" is not", "X1.1" },
	{ X1 "wires: [{from: X1., to: X1.2}]\n", 4, 16, "from: \"X1.\" is not", NULL },
	{ X1 "wires: [{from: X2.1, to: X1.2}]\n", 4, 16, "from: connector \"X2\" is not listed",
		"did you mean X1?" },
	{ X1 "wires: [{from: X1.1, to: X1.1}]\n", 4, 26, "the same way", NULL },
	{ X1 "  ways: 2\nwires: [{from: X1.1, to: X1.3}]\n", 5, 26,
		"connector X1 has 2 ways, so there is no way 3", NULL },
	{ X1 "wires: [{from: X1.1, to: X1.2, colour: XX}]\n", 4, 40,
		"colour: \"XX\" is not a colour", NULL },
	{ X1 "wires: [{from: X1.1, to: X1.2, size: 1}]\n", 4, 38, "size: \"1\"", NULL },
	{ X1 "  wires: {1: BU}\nwires: [{from: X1.1, to: X1.2, colour: BN}]\n", 5, 40,
		"this wire is BN, but way 1 of connector X1 has BU", "check" },
	{ X1 "  wires: {2: [BU, BK]}\nwires: [{from: X1.1, to: X1.2, colour: BN}]\n", 5, 40,
		"this wire is BN, but way 2 of connector X1 has BU, BK", NULL },
	{ X1 "  wires: {1: [BN, BU]}\nwires: [{from: X1.1, to: X1.2, colour: BN},\n"
	     "  {from: X1.1, to: X1.3, colour: BN}]\n",
		6, 34, "wire BN, but way 1 of connector X1 has only BN, BU", "check" },
	{ X1 "wires: [{from: X1.1, to: X1.2}, {from: X1.1, to: X1.3}, {from: X1.1, to: X1.4}]\n", 4,
		64, "third wire at way 1 of connector X1", NULL },
};

static const struct fault warnings[] = {
	{ X1 "  wires: {1: GR}\n", 4, 14, "way 1: \"GR\" has more", "colours: german" },
	{ X1 "components: [{id: M1}]\n", 4, 14, "component M1", NULL },
	{ X1 "hazards: [{energy: mains, prove: a}]\n", 4, 11, "\"mains\": isolate", NULL },
	{ X1 "hazards: [{energy: mains, isolate: a}]\n", 4, 11, "\"mains\": prove", NULL },
	{ X1 "  mates: M1\n  port: A\n- {id: X2, mates: M1, port: A}\ncomponents: [{id: M1}]\n", 6,
		29, "X1 and X2 both mate with port A of component M1", NULL },
	/* Seven equal circles need 3 diameters (Graham 1968), 2.5 mm2 is 1.784 mm of solid metal.
	 */
	{ X1 "  size: 2.5 mm2\n  bundle: 5.2 mm\n"
	     "  wires: {1: BN, 2: BU, 3: BK, 4: [GY, WH], 5: RD, 6: GNYE}\n",
		5, 11,
		"connector X1: bundle: 5.2 mm is too thin, because the bare conductors alone need "
		"5.352 mm",
		"measure" },
	/* Two of the three are known, and one comes from the wire list: 2 x 1.0237 mm (ASTM B258).
	 */
	{ X1 "  bundle: 2 mm\n  wires: {1: BN}\n"
	     "wires: [{from: X1.2, to: X1.3, size: 18 AWG}]\n",
		4, 11, "bundle: 2 mm is too thin, because the bare conductors alone need 2.047 mm",
		NULL },
};

static void check_fault(const struct fault *fault, enum lt_severity severity)
{
	struct reading reading;
	read_text(&reading, fault->text);
	const struct lt_diags *diags = &reading.diags;
	bool good = diags->count == 1 && reading.ok == (severity != LT_ERROR);
	if (good) {
		const struct lt_diag *diag = &diags->items[0];
		good = diag->severity == severity && diag->place.line == fault->line &&
		       diag->place.column == fault->column &&
		       strcmp(diag->place.file, "roof.yaml") == 0 &&
		       strstr(diag->message, fault->message) &&
		       (!fault->hint || (diag->hint && strstr(diag->hint, fault->hint)));
	}
	if (!good) {
		lt_diags_print(diags, 0, stderr, false);
		fail_msg("wanted %u:%u: %s (%s) alone of\n%s", fault->line, fault->column,
			fault->message, fault->hint ? fault->hint : "", fault->text);
	}
	assert_true((reading.harness.order != NULL) == reading.ok);
	finish(&reading);
}

static void test_errors(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof errors / sizeof *errors; i++)
		check_fault(&errors[i], LT_ERROR);
}

static void test_warnings(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof warnings / sizeof *warnings; i++)
		check_fault(&warnings[i], LT_WARNING);
}

/* The bundle that the bare conductors just fit into is not impossible, and neither is one whose
 * wires have no size. */
static void test_possible_bundles(void **state)
{
	(void)state;
	static const char *const texts[] = {
		X1 "  size: 18 AWG\n  bundle: 2.1 mm\n  wires: {1: BN, 2: BU}\n",
		X1 "  bundle: 0.1 mm\n  wires: {1: BN, 2: BU}\n",
		X1 "  size: 50 mm2\n  bundle: 0.1 mm\n",
	};
	for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
		struct reading reading;
		read_good(&reading, texts[i], 0);
		finish(&reading);
	}
}

static void test_every_fault_in_one_run(void **state)
{
	(void)state;
	static const struct {
		unsigned line, column;
		const char *message;
	} faults[] = {
		{ 1, 10, "harness: \"rv3\"" },
		{ 2, 1, "\"harnes\"" },
		{ 4, 8, "character ." },
		{ 5, 7, "id: must be a single text" },
		{ 6, 10, "after: connector \"X7\"" },
		{ 7, 14, "way 1: \"BX\"" },
		{ 8, 3, "\"id\" is given twice" },
		{ 9, 16, "from: connector \"X1\"" },
		{ 9, 26, "to: connector \"X9\"" },
	};
	struct reading reading;
	read_text(&reading, "harness: rv3\n"
			    "harnes: a\n"
			    "connectors:\n"
			    "- {id: X.1}\n"
			    "- id: [X1]\n"
			    "  after: X7\n"
			    "  wires: {1: BX}\n"
			    "  id: X3\n"
			    "wires: [{from: X1.1, to: X9.1}]\n");
	assert_false(reading.ok);
	lt_diags_sort(&reading.diags);
	size_t count = sizeof faults / sizeof *faults;
	if (reading.diags.count != count)
		lt_diags_print(&reading.diags, 0, stderr, false);
	assert_int_equal(reading.diags.count, count);
	for (size_t i = 0; i < count; i++) {
		assert_int_equal(reading.diags.items[i].place.line, faults[i].line);
		assert_int_equal(reading.diags.items[i].place.column, faults[i].column);
		assert_non_null(strstr(reading.diags.items[i].message, faults[i].message));
	}
	finish(&reading);
}

static void test_columns_count_characters(void **state)
{
	(void)state;
	struct reading reading;
	read_text(&reading, "\xEF\xBB\xBF" X1 "  name: é\n- {name: éäöü, id: X2, after: X9}\n");
	assert_int_equal(reading.diags.count, 1);
	assert_int_equal(reading.diags.items[0].place.line, 5);
	assert_int_equal(reading.diags.items[0].place.column, 31);
	finish(&reading);
}

static void test_ambiguous_colours_are_reported_once(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, X1 "  wires: {1: GR, 2: GR, 3: BL, 4: gn}\n", 2);
	assert_int_equal(reading.diags.items[1].place.column, 28);
	assert_non_null(strstr(reading.diags.items[1].message, "blue (BU)"));
	assert_non_null(strstr(reading.diags.items[1].message, "black (BK)"));
	finish(&reading);
	read_good(&reading, X1 "  wires: {1: GR}\ncolours: english\n", 0);
	assert_colour(&reading.harness.connectors[0].wires[0], 0, "GN");
	finish(&reading);
}

/* IEC 60757:2021, 5.1: an item of red and blue is RDBU; DIN 47100 core 23 is WHRD, 24 BNRD. */
static void test_colours_keep_their_order(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading, X1 "  wires: {1: WHRD, 2: RDWH, 3: RDBU, 4: red/blue, 5: YEGNBK}\n", 0);
	static const char *const codes[] = { "WHRD", "RDWH", "RDBU", "RDBU", "YEGNBK" };
	for (size_t i = 0; i < 5; i++)
		assert_colour(&reading.harness.connectors[0].wires[i], 0, codes[i]);
	struct lt_text text = { 0 };
	lt_connector_wires(&text, &reading.harness.connectors[0]);
	assert_string_equal(text.bytes, "1 WHRD, 2 RDWH, 3 RDBU, 4 RDBU, 5 YEGNBK");
	lt_text_finish(&text);
	finish(&reading);
}

static void test_order(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading,
		TOP "connectors: [{id: A, after: E}, {id: B}, {id: C, after: [A]}, {id: D}, "
		    "{id: E, after: B}]\n",
		0);
	/* Free at first: B and D. The later unplugged goes first: D; then B frees E, E frees A. */
	static const size_t order[] = { 3, 1, 4, 0, 2 };
	for (size_t i = 0; i < 5; i++)
		assert_int_equal(reading.harness.order[i], order[i]);
	finish(&reading);
}

static void test_questions_about_connectors(void **state)
{
	(void)state;
	struct reading reading;
	read_good(&reading,
		TOP "components: [{id: M1, name: motor, fate: replace}, {id: M2}]\n"
		    "connectors:\n"
		    "- {id: A, mates: M1}\n"
		    "- {id: B, mates: M1, sides: 1}\n"
		    "- {id: C, mates: M1, tag: none, after: [A, D]}\n"
		    "- {id: D, mates: M2, tag: none, after: [B, A]}\n"
		    "- {id: E, tag: paper, after: [C, D], wires: {1: [BN, BU], 2: GNYE}}\n"
		    "- {id: F, mates: M1, tag: paper}\n",
		0);
	const struct lt_harness *harness = &reading.harness;
	static const bool replaced[] = { true, false, false, false, false, true };
	for (size_t i = 0; i < 6; i++)
		assert_int_equal(lt_connector_replaced(harness, i), replaced[i]);
	assert_string_equal(lt_connector_mate_name(harness, 0), "motor");
	assert_string_equal(lt_connector_mate_name(harness, 3), "M2");
	assert_string_equal(lt_connector_mate_name(harness, 4), "");
	struct lt_text text = { 0 };
	lt_connector_wires(&text, &harness->connectors[4]);
	assert_string_equal(text.bytes, "1 BN+BU, 2 GNYE");
	lt_text_finish(&text);
	struct lt_arena arena = { 0 };
	struct lt_indices after = lt_connector_after(harness, 4, &arena);
	assert_int_equal(after.count, 2);
	assert_int_equal(after.items[0], 0);
	assert_int_equal(after.items[1], 1);
	assert_int_equal(lt_connector_after(harness, 0, &arena).count, 0);
	lt_arena_finish(&arena);
	assert_string_equal(lt_kind_name(LT_STRAP), "strap");
	finish(&reading);
}

static double seconds_since(clock_t start)
{
	return (double)(clock() - start) / CLOCKS_PER_SEC;
}

/* As many connectors as are allowed, or more; each but the first `after` the one before it, and
 * mating a component that is not listed where `dangling`. */
static void write_many(struct lt_text *text, unsigned count, bool cycle, bool dangling)
{
	lt_text_add(text, TOP "connectors:\n");
	for (unsigned i = 1; i <= count; i++) {
		unsigned before = i > 1 ? i - 1 : count;
		lt_text_printf(text, "- {id: X%u", i);
		if (i > 1 || cycle)
			lt_text_printf(text, ", after: X%u", before);
		if (dangling)
			lt_text_printf(text, ", mates: M%u", i);
		lt_text_add(text, "}\n");
	}
}

static void test_twenty_thousand_connectors(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	struct reading reading;
	write_many(&text, LT_CONNECTORS_MAX, false, false);
	clock_t start = clock();
	read_good(&reading, text.bytes, 0);
	assert_true(seconds_since(start) < 2);
	for (size_t i = 0; i < LT_CONNECTORS_MAX; i++)
		assert_int_equal(reading.harness.order[i], i);
	finish(&reading);

	lt_text_clear(&text);
	write_many(&text, LT_CONNECTORS_MAX + 1, false, false);
	read_text(&reading, text.bytes);
	assert_false(reading.ok);
	assert_int_equal(reading.diags.count, 1);
	assert_non_null(strstr(reading.diags.items[0].message, "20001 connectors"));
	assert_non_null(strstr(reading.diags.items[0].message, "20000"));
	assert_int_equal(reading.diags.items[0].place.line, 20003);
	finish(&reading);

	lt_text_clear(&text);
	write_many(&text, LT_CONNECTORS_MAX, true, true);
	lt_text_add(&text, "components: [{id: Y1}]\n");
	start = clock();
	read_text(&reading, text.bytes);
	assert_true(seconds_since(start) < 3);
	assert_int_equal(reading.diags.errors, LT_CONNECTORS_MAX + 1);
	assert_int_equal(reading.diags.count, LT_DIAGS_MAX);
	finish(&reading);
	lt_text_finish(&text);
}

static void test_a_long_cycle_is_cut(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	struct reading reading;
	write_many(&text, 100, true, false);
	read_text(&reading, text.bytes);
	assert_int_equal(reading.diags.count, 1);
	assert_non_null(strstr(reading.diags.items[0].message,
		": X1 -> X100 -> X99 -> X98 -> X97 -> X96 -> X95 -> X94 -> X93 -> X92 -> X91 -> "
		"X90 -> … (88 more) -> X1"));
	finish(&reading);
	lt_text_finish(&text);
}

static void test_too_large(void **state)
{
	(void)state;
	struct lt_text text = { 0 };
	lt_text_add_times(&text, '#', 17u * 1024 * 1024);
	struct reading reading;
	read_text(&reading, text.bytes);
	assert_false(reading.ok);
	assert_int_equal(reading.diags.count, 1);
	assert_non_null(strstr(reading.diags.items[0].message, "16 MiB"));
	finish(&reading);
	lt_text_finish(&text);
}

/* Bytes that came from no file, read beside those of one. */
static void test_no_file_name(void **state)
{
	(void)state;
	static const char text[] = X1 "  ways: 0\n";
	struct reading reading;
	read_text(&reading, text);
	lt_harness_finish(&reading.harness);
	assert_false(lt_harness_read(&reading.harness, NULL, text, strlen(text), NULL,
		&reading.diags));
	assert_null(reading.harness.file);
	assert_int_equal(reading.diags.count, 2);
	assert_null(reading.diags.items[1].place.file);
	assert_int_equal(reading.diags.items[1].place.line, 4);
	char shown[200] = "";
	FILE *stream = fmemopen(shown, sizeof shown, "w");
	lt_diags_print(&reading.diags, 1, stream, false);
	fclose(stream);
	assert_string_equal(shown, "loomtag:4:9: error: connector X1: ways: \"0\" is not a whole "
				   "number from 1 to 999\n");
	finish(&reading);
}

/* RFC 3986: 3.1 the scheme, 3.2.2 the host, 3.2.3 the port, 3.3 the path; RFC 1123, 2.1 for names.
 */
static void base_addresses_are_checked(void **state)
{
	(void)state;
#define L63 "a23456789b123456789c123456789d123456789e123456789f123456789g123"
	static const char longest[] = "http://" L63 ".x";
	static const char *const good[] = { "http://bench.local:8080", "https://h", "HTTP://H/",
		"hTTps://h/a/b/", "http://10.0.0.7", "http://10.0.0.7:1/x", "http://[::1]",
		"http://[fe80::1:2]:65535/", "http://[::ffff:10.0.0.7]/x", "http://a-b.c_d.local.",
		"http://1a.2b", "http://h/-._~!$&()*+,;=:@", "http://h/%C3%a9//x", longest };
	for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
		struct lt_text fault = { 0 };
		assert_true(lt_base_check(&fault, good[i]));
		assert_int_equal(fault.length, 0);
		lt_text_finish(&fault);
	}
	static const struct {
		const char *base, *fault;
	} bad[] = {
		{ "", "begin with http:// or https://" },
		{ "ftp://h", "begin with" },
		{ "http:/h", "begin with" },
		{ " http://h", "begin with" },
		{ "javascript://h", "begin with" },
		{ "http://", "the host is missing" },
		{ "http:///x", "the host is missing" },
		{ "http://:80", "the host is missing" },
		{ "http://?x", "the host is missing" },
		{ "http://u@h", "character 9 must not be @ (U+0040)" },
		{ "http://u:p@h/", "character 11 must not be @ (U+0040)" },
		{ "http://u:8@h/", "character 11 must not be @ (U+0040)" },
		{ "http://-a", "character 8 must not be - (U+002D)" },
		{ "http://a-.b", "character 9 must not be - (U+002D)" },
		{ "http://a-", "character 9 must not be - (U+002D)" },
		{ "http://.a", "character 8 must not be . (U+002E)" },
		{ "http://a..b", "character 10 must not be . (U+002E)" },
		{ "http://" L63 "x", "longer than 63" },
		{ "http://" L63 "." L63 "." L63 "." L63, "longer than 253" },
		{ "http://a%41", "character 9 must not be % (U+0025)" },
		{ "http://10.0.0", "IPv4" },
		{ "http://10.0.0.256/", "IPv4" },
		{ "http://7", "IPv4" },
		{ "http://[::1", "complete" },
		{ "http://[::1%25eth0]", "character 12 must not be % (U+0025)" },
		{ "http://[1:2]", "IPv6" },
		{ "http://[::1]x", "character 13 must not be x (U+0078)" },
		{ "http://h:", "port" },
		{ "http://h:/x", "port" },
		{ "http://h:0", "port" },
		{ "http://h:65536", "port" },
		{ "http://h:99999999999999999999", "port" },
		{ "http://h:8o", "character 11 must not be o (U+006F)" },
		{ "http://h?a", "character 9 must not be ? (U+003F)" },
		{ "http://h/?a", "character 10 must not be ? (U+003F)" },
		{ "http://h/a#b", "character 11 must not be # (U+0023)" },
		{ "http://h/a b", "character 11 must not be a space" },
		{ "http://h/a'b", "character 11 must not be ' (U+0027)" },
		{ "http://h/a\"b", "character 11 must not be \" (U+0022)" },
		{ "http://h/<a>", "character 10 must not be < (U+003C)" },
		{ "http://h/a\\b", "character 11 must not be \\ (U+005C)" },
		{ "http://h\\b", "character 9 must not be \\ (U+005C)" },
		{ "http://h/%", "character 10 must not be % (U+0025)" },
		{ "http://h/%4", "character 10 must not be % (U+0025)" },
		{ "http://h/%4g", "character 12 must not be g (U+0067)" },
		{ "http://h/\u00E9\u00E9", "character 10 must not be \u00E9 (U+00E9)" },
		{ "http://h/\x07", "character 10 must not be \x07 (U+0007)" },
		{ "http://h/\xFF", "character 10 must not be \xFF (U+FFFD)" },
	};
	for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
		struct lt_text fault = { 0 };
		assert_false(lt_base_check(&fault, bad[i].base));
		if (!strstr(lt_text_string(&fault), bad[i].fault))
			fail_msg("%s: %s", bad[i].base, lt_text_string(&fault));
		lt_text_finish(&fault);
	}
	char text[502];
	memset(text, 'x', sizeof text);
	memcpy(text, "http://h/", 9);
	for (size_t length = 500; length <= 501; length++) {
		struct lt_text fault = { 0 };
		text[length] = '\0';
		assert_int_equal(lt_base_check(&fault, text), length == 500);
		lt_text_finish(&fault);
		text[length] = 'x';
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_every_field),
		cmocka_unit_test(test_what_a_hazard_does),
		cmocka_unit_test(test_what_is_left_out),
		cmocka_unit_test(test_options_overrule),
		cmocka_unit_test(test_errors),
		cmocka_unit_test(test_warnings),
		cmocka_unit_test(test_possible_bundles),
		cmocka_unit_test(test_every_fault_in_one_run),
		cmocka_unit_test(test_columns_count_characters),
		cmocka_unit_test(test_ambiguous_colours_are_reported_once),
		cmocka_unit_test(test_colours_keep_their_order),
		cmocka_unit_test(test_order),
		cmocka_unit_test(test_questions_about_connectors),
		cmocka_unit_test(test_twenty_thousand_connectors),
		cmocka_unit_test(test_a_long_cycle_is_cut),
		cmocka_unit_test(test_too_large),
		cmocka_unit_test(test_no_file_name),
		cmocka_unit_test(base_addresses_are_checked),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
